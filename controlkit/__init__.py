"""A course in the control of body-powered arm prostheses: the names that a lesson uses.

Each name is loaded when it is first used, so that importing the package costs next to nothing.

>>> from controlkit import mm, show
>>> show(mm(101.6), "length")
'101.6 mm (4.00 in)'
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from controlkit.benchtable import read_bench
    from controlkit.draw import excursion_scene, wearer_scene
    from controlkit.labs import strap_lab
    from controlkit.mechanics import (
        FAULTS,
        POSITIONS,
        ControlCable,
        Housing,
        Motion,
        Pose,
        Pull,
        SingleControl,
        VoluntaryClosing,
        VoluntaryOpening,
        Wearer,
        budget,
        checkout,
        chest_strap,
        figure_of_eight,
        figure_of_nine,
        operating_sequence,
        population,
        reach,
        tension_ratio,
    )
    from controlkit.sources import source, survey
    from controlkit.units import InputError, cm, deg, inch, kg, kgf, lbf, mm, newton, pound, read, show

__version__ = "0.1.0"

__all__ = [
    "FAULTS",
    "POSITIONS",
    "ControlCable",
    "Housing",
    "InputError",
    "Motion",
    "Pose",
    "Pull",
    "SingleControl",
    "VoluntaryClosing",
    "VoluntaryOpening",
    "Wearer",
    "__version__",
    "budget",
    "checkout",
    "chest_strap",
    "cm",
    "deg",
    "excursion_scene",
    "figure_of_eight",
    "figure_of_nine",
    "inch",
    "kg",
    "kgf",
    "lbf",
    "mm",
    "newton",
    "operating_sequence",
    "population",
    "pound",
    "reach",
    "read",
    "read_bench",
    "show",
    "source",
    "strap_lab",
    "survey",
    "tension_ratio",
    "wearer_scene",
]

_PART_OF = {
    "read_bench": "benchtable",
    **dict.fromkeys(("excursion_scene", "wearer_scene"), "draw"),
    "strap_lab": "labs",
    **dict.fromkeys(
        (
            "ControlCable",
            "FAULTS",
            "Housing",
            "Motion",
            "POSITIONS",
            "Pose",
            "Pull",
            "SingleControl",
            "VoluntaryClosing",
            "VoluntaryOpening",
            "Wearer",
            "budget",
            "checkout",
            "chest_strap",
            "figure_of_eight",
            "figure_of_nine",
            "operating_sequence",
            "population",
            "reach",
            "tension_ratio",
        ),
        "mechanics",
    ),
    **dict.fromkeys(("source", "survey"), "sources"),
    **dict.fromkeys(
        ("InputError", "cm", "deg", "inch", "kg", "kgf", "lbf", "mm", "newton", "pound", "read", "show"), "units"
    ),
}


def __getattr__(name: str) -> object:
    if name not in _PART_OF:
        raise AttributeError(f"controlkit has no {name!r}")
    found = getattr(import_module(f"controlkit.{_PART_OF[name]}"), name)
    globals()[name] = found
    return found


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
