"""Tension and friction of the control cable, the housing's route, and its way to the device."""

from .friction import tension_ratio
from .housing import Housing
from .line import CableLine, ControlCable
from .linings import LININGS, Lining, lining
from .route import ArmLine

__all__ = ["LININGS", "ArmLine", "CableLine", "ControlCable", "Housing", "Lining", "lining", "tension_ratio"]
