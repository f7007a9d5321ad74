"""Harness patterns, the net of their straps, and how skin holds them."""

from .net import STRAPS
from .pattern import LIMITS, Harness, figure_of_eight
from .skin import Skin

__all__ = ["LIMITS", "STRAPS", "Harness", "Skin", "figure_of_eight"]
