"""The blended surface that straps lie on, and shortest paths over it; it knows no body."""

from controlkit.mechanics.surface.field import Field
from controlkit.mechanics.surface.row import path_length
from controlkit.mechanics.surface.shapes import BLEND, Capsules, Trunks, Union, capsule, sphere
from controlkit.mechanics.surface.taut import Draft, Paths, resample, tighten

__all__ = [
    "BLEND",
    "Capsules",
    "Draft",
    "Field",
    "Paths",
    "Trunks",
    "Union",
    "capsule",
    "path_length",
    "resample",
    "sphere",
    "tighten",
]
