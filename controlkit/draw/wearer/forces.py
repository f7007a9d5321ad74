"""The forces on the ring, or on what stands in its place: arrows to one scale, the scale beside them, and words."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from controlkit.draw.gear.sight import Sight
from controlkit.draw.page.labels import LETTER, boxes, first_free
from controlkit.draw.page.scene import Arrow, Frame, Item, Label
from controlkit.draw.wearer.clear import keep_clear
from controlkit.draw.words.pull import Units, forces_on_ring, joined
from controlkit.mechanics.harness.layout import AXILLA_LOOP
from controlkit.units import show

if TYPE_CHECKING:
    from collections.abc import Sequence

    from controlkit.mechanics import Pull

__all__ = ["force_arrows", "force_scale", "force_text", "ring_words"]

_LONGEST = 0.15  # of the longest force arrow [m]
_NEWTON = 4.4482216152605  # in a pound of force [N]
_STEPS = (1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0)  # of the force whose arrow is the scale


def _metres(pull: Pull) -> float:
    """Length of the arrow of one newton [m/N]."""
    return _LONGEST / max(*(float(np.linalg.norm(force)) for force in forces_on_ring(pull).values()), 1e-9)


def force_arrows(pull: Pull, sight: Sight, middle: str) -> list[Item]:
    """Draw what each strap and the skin do to where the straps meet, all to one scale.

    Parameters
    ----------
    pull : Pull
        What the mechanics found.
    sight : Sight
        The view.
    middle : str
        What the forces act on.

    Returns
    -------
    list
        Arrows from the ring; forces too small to be seen beside the others are left out.
    """
    forces, long = forces_on_ring(pull), _metres(pull)
    items: list[Item] = []
    for name, force in forces.items():
        size = float(np.linalg.norm(force))
        if size < max(0.03 * _LONGEST / long, 0.5):
            continue
        start, end = sight.flat(np.stack([pull.ring, pull.ring + force * long])).tolist()
        items.append(Arrow((start[0], start[1]), (end[0], end[1]), "force", f"{name} on the {middle}"))
    return items


def force_scale(pull: Pull, frame: Frame, units: Units, *, right: bool, drawn: Sequence[Item]) -> list[Item]:
    """Draw the arrow of a round force near a lower corner, above the scale of lengths if there is room.

    Parameters
    ----------
    pull : Pull
        What the mechanics found.
    frame : Frame
        The window.
    units : str
        "metric", "inch-pound" or "both".
    right : bool
        Whether the scale of lengths stands in the right corner.
    drawn : sequence of Item
        What is drawn already; the words keep clear of straps, arm, device and other words.

    Returns
    -------
    list
        An arrow and its force in words.
    """
    long = _metres(pull)
    unit = _NEWTON if units == "inch-pound" else 1.0
    step = max((step for step in _STEPS if step * unit * long < 0.7 * _LONGEST), default=_STEPS[0])
    size, text = step * unit * long, f"{step:g} {'lbf' if units == 'inch-pound' else 'N'}"
    inner = 0.02 * frame.width
    wide = max(size, len(text) * LETTER * frame.text)
    sides = [frame.left + inner, frame.right - inner - wide]
    if right:
        sides.reverse()
    low = frame.bottom + 0.03 * frame.height
    places = [
        Label((text,), (x + 0.5 * wide, low + (1.0 + up) * frame.text), "middle")
        for x in sides
        for up in (2.4, 4.4, 6.4, 8.4)
    ]
    taken = boxes([item for item in drawn if isinstance(item, Label)], frame)
    label = first_free(places, frame, taken, keep_clear(drawn, frame))
    x, y = label.at[0], label.at[1] - 0.85 * frame.text
    return [Arrow((x - 0.5 * size, y), (x + 0.5 * size, y), "force", "scale of the forces"), label]


def force_text(pull: Pull, name: str, units: Units) -> tuple[str, ...]:
    """Write one force as a label has it, line by line."""
    size = show(float(np.linalg.norm(forces_on_ring(pull)[name])), "force", units, 0)
    return ("both ends", size) if name == AXILLA_LOOP else (size,)


def ring_words(pull: Pull, middle: str, units: Units, *, drawn: bool) -> str:
    """Say which forces act where the straps meet.

    Parameters
    ----------
    pull : Pull
        What the mechanics found.
    middle : str
        What they act on.
    units : str
        "metric", "inch-pound" or "both".
    drawn : bool
        Whether arrows are drawn.

    Returns
    -------
    str
        A sentence or two.
    """
    parts = []
    for name, force in forces_on_ring(pull).items():
        size = show(float(np.linalg.norm(force)), "force", units)
        parts.append(f"{name}{' (both ends together)' if name == AXILLA_LOOP else ''} {size}")
    if not drawn:
        return f"The body hides the {middle} here, so the forces on the {middle} are not drawn: {joined(parts)}."
    return f"Arrows show the forces on the {middle}, to one scale; together they balance: {joined(parts)}."
