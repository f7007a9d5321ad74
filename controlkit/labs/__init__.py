"""Labs: named controls beside pictures that follow them."""

from controlkit.labs.straps import strap_lab

__all__ = ["strap_lab"]
