"""Tension and friction of the control cable, and its way to the device."""

from .friction import tension_ratio
from .line import ControlCable

__all__ = ["ControlCable", "tension_ratio"]
