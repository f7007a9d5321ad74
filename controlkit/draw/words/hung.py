"""Sentences about a wearer with the arm down and a load at the device."""

from __future__ import annotations

from typing import TYPE_CHECKING

from controlkit.draw.words.pull import Units, View, joined, load_words, posture_words, seen_from
from controlkit.units import show

if TYPE_CHECKING:
    from controlkit.mechanics.harness.suspension import Suspension

__all__ = ["hung_words"]

_LEAST = 1.0  # a tension that is told [N]


def hung_words(held: Suspension, view: View, wearer: str, units: Units = "both", *, loads: bool = False) -> str:
    """Say who is drawn, from where, how far the socket hangs down, and what each strap bears.

    Parameters
    ----------
    held : Suspension
        What the load does.
    view : str or float
        "back", "side" or "front", or how far the viewer has gone round [rad].
    wearer : str
        Who it is, for instance "average woman, left arm amputated".
    units : str
        "metric", "inch-pound" or "both".
    loads : bool
        Whether to say where straps press too.

    Returns
    -------
    str
        A few sentences.
    """
    bears = sorted(held.strap_tension.items(), key=lambda one: -one[1])
    told = [f"{name} {show(tension, 'force', units)}" for name, tension in bears if tension >= _LEAST]
    straps = f"straps bear: {joined(told)}" if told else "no strap bears anything"
    text = (
        f"Seen {seen_from(view)}: {wearer}, {show(held.load, 'force', units)} at the device; "
        f"{posture_words(held.pose)}. The socket is drawn {show(held.pose.socket_slip, 'length', units)} lower than "
        f"where it was put on; {straps}."
    )
    return f"{text} {load_words(held, units)}" if loads else text
