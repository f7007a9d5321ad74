"""Tension and friction of the control cable, the housing's route, and its way to the device."""

from controlkit.mechanics.cable.friction import bend_from, friction_from, tension_ratio
from controlkit.mechanics.cable.housing import Housing
from controlkit.mechanics.cable.line import CableLine, ControlCable
from controlkit.mechanics.cable.linings import LININGS, Lining, lining
from controlkit.mechanics.cable.route import ArmLine

__all__ = [
    "LININGS",
    "ArmLine",
    "CableLine",
    "ControlCable",
    "Housing",
    "Lining",
    "bend_from",
    "friction_from",
    "lining",
    "tension_ratio",
]
