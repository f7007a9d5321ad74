"""Straps that a lab lets out or takes in at their buckles."""

from __future__ import annotations

from controlkit.labs.controls import Slider
from controlkit.mechanics.harness import LIMITS

__all__ = ["buckle"]


def buckle(key: str, label: str, limit: str = "") -> Slider:
    """A slider for what one strap is let out or taken in, just snug at the start.

    Parameters
    ----------
    key : str
        The choice of a `Harness`, for instance "control_strap".
    label : str
        Name of the strap.
    limit : str
        Under which name the mechanics knows its limits, if not under the key.

    Returns
    -------
    Slider
        From its lower to its upper limit [m].

    Examples
    --------
    >>> buckle("support_strap", "Anterior support strap").start
    0.0
    """
    hint = "from just snug; above zero is let out, below is taken in"
    return Slider(key, label, "length", LIMITS[limit or key], start=0.0, hint=hint)
