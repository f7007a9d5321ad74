"""The ring with the straps that meet there, as a wearer of average build wears them."""

from __future__ import annotations

from dataclasses import replace

from controlkit.draw.details.spots import Part, inset, within
from controlkit.draw.page.scene import Frame, Scene
from controlkit.draw.wearer.straps import strap_items
from controlkit.draw.wearer.worn import look
from controlkit.mechanics import SingleControl, Wearer, figure_of_eight
from controlkit.mechanics.harness.layout import AXILLA_LOOP, CONTROL_STRAP
from controlkit.mechanics.harness.patterns.eight import FRONT_STRAP

__all__ = ["ring_detail"]

_HALF = 0.150, 0.098  # half the window [m]


def ring_detail() -> Scene:
    """Draw the ring of a figure-of-eight harness from behind.

    Returns
    -------
    Scene
        The detail.
    """
    system = SingleControl(figure_of_eight(replace(Wearer.average("male"), amputated="right")))
    worn = look(system, system.at(), "back", "flexible")
    x, y = worn.ring.flat[0].tolist()
    frame = Frame(x - _HALF[0], y - _HALF[1], x + _HALF[0], y + _HALF[1], text=0.0084)
    parts: list[Part] = [
        ((AXILLA_LOOP,), AXILLA_LOOP, (0.47, 0.18)),
        (("ring",), "ring", (0.36, 0.86)),
        (tuple(FRONT_STRAP.split(" ", 1)), FRONT_STRAP, (0.70, 0.88)),
        (("folded back", "and sewn"), f"folded end of the {CONTROL_STRAP}", (0.725, 0.375)),
        (tuple(CONTROL_STRAP.split(" ", 1)), CONTROL_STRAP, (0.66, 0.06)),
    ]
    words = (
        "The ring on the back, close to, seen from behind. Each strap is led round the ring's wire, folded back "
        "on itself and sewn down with a cross in a box: both ends of the axilla loop on the sound side, the "
        "anterior support strap and the control attachment strap on the side of the prosthesis. The straps turn "
        "round the ring freely."
    )
    return inset("The ring", words, frame, items=within(strap_items(worn, has_ring=True), frame), parts=parts)
