"""The forces on the ring, or on what stands in its place: named arrows to one scale, that scale, and words."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from controlkit.draw.gear.metal import RING
from controlkit.draw.gear.sight import Sight
from controlkit.draw.page.labels import LETTER, Box, boxes, first_free
from controlkit.draw.page.room import Room, room_in
from controlkit.draw.page.scene import Arrow, Frame, Item, Label, Line, Points
from controlkit.draw.words.pull import Units, forces_on_ring, joined
from controlkit.mechanics.harness.layout import AXILLA_LOOP, CONTROL_STRAP
from controlkit.mechanics.harness.patterns.above_elbow import LATERAL_SUSPENSOR
from controlkit.mechanics.harness.patterns.chest import CHEST_STRAP, SADDLE_STRAP, SUSPENSOR
from controlkit.mechanics.harness.patterns.eight import FRONT_STRAP
from controlkit.units import show

if TYPE_CHECKING:
    from collections.abc import Sequence

    from controlkit.mechanics import DualPull, Pull

__all__ = ["RingForce", "force_arrows", "force_names", "force_scale", "force_text", "ring_forces", "ring_words"]

RingForce = tuple[Points, Points]
"""Tail and tip of an arrow in the picture, shape (2,) each [m]."""

_LONGEST = 0.15  # of the longest force arrow [m]
_LEAST, _NAMED = 0.005, 0.012  # length in the picture of an arrow, and of one that is named [m]
_GAP = 0.007  # from the middle of the ring's wire to an arrow's tail [m]
_SHORT = {
    AXILLA_LOOP: "loop",
    CONTROL_STRAP: "control",
    FRONT_STRAP: "support",
    CHEST_STRAP: "chest",
    SADDLE_STRAP: "saddle",
    SUSPENSOR: "suspension",
    LATERAL_SUSPENSOR: "suspensor",
}
"""What tells a strap's force from the others where there is little room."""
_TURNS = (0.0, 40.0, -40.0, 75.0, -75.0, 110.0, -110.0, 150.0, -150.0)  # of a name about an arrow's tip [deg]
_TRIED = [(far, turn) for far in (0.3, 1.0, 1.6, 2.3, 3.2, 4.5) for turn in _TURNS if abs(turn) < 120.0 or far > 3.0]
_FAR, _TURNED = np.array(_TRIED).T  # from the tip in lines of text [-], and which way
_COS, _SIN = np.cos(np.deg2rad(_TURNED)), np.sin(np.deg2rad(_TURNED))
_LED = (_FAR > 0.5) | (np.abs(_TURNED) > 50.0)  # far enough off for a leader
_NEWTON = 4.4482216152605  # in a pound of force [N]
_STEPS = (1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0)  # of the force whose arrow is the scale


def _metres(pull: Pull | DualPull) -> float:
    """Length of the arrow of one newton [m/N]."""
    return _LONGEST / max(*(float(np.linalg.norm(force)) for force in forces_on_ring(pull).values()), 1e-9)


def ring_forces(pull: Pull | DualPull, sight: Sight) -> dict[str, RingForce]:
    """Lay out what each strap and the skin do to where the straps meet, all to one scale.

    Parameters
    ----------
    pull : Pull or DualPull
        What the mechanics found.
    sight : Sight
        The view.

    Returns
    -------
    dict
        By name where an arrow begins, at the ring's edge so that the ring can be seen, and where it ends; forces too
        small to be seen beside the others are left out.
    """
    forces, long = forces_on_ring(pull), _metres(pull)
    seen = {name: force for name, force in forces.items() if np.linalg.norm(force) >= max(0.03 * _LONGEST / long, 0.5)}
    middle, *tips = sight.flat(np.stack([pull.ring, *(pull.ring + force * long for force in seen.values())]))
    found: dict[str, RingForce] = {}
    for name, tip in zip(seen, tips, strict=True):
        reach = float(np.hypot(*(tip - middle)))
        if reach > _LEAST:
            off = (RING + _GAP) / reach * (tip - middle)
            found[name] = middle + off, tip + off
    return found


def force_arrows(forces: dict[str, RingForce], middle: str) -> list[Item]:
    """Draw the forces on what is called `middle`, as `ring_forces` lays them out."""
    return [
        Arrow((x0, y0), (x1, y1), "force", f"{name} on the {middle}")
        for name, ((x0, y0), (x1, y1)) in (
            (name, (tail.tolist(), tip.tolist())) for name, (tail, tip) in forces.items()
        )
    ]


def force_names(
    pull: Pull | DualPull,
    forces: dict[str, RingForce],
    frame: Frame,
    units: Units,
    *,
    drawn: Sequence[Item],
    clear: Points,
) -> list[Label]:
    """Write beside each arrow whose force it is and how large, where there is room.

    Parameters
    ----------
    pull : Pull or DualPull
        What the mechanics found.
    forces : dict
        The arrows, as `ring_forces` lays them out.
    frame : Frame
        The window.
    units : str
        "metric", "inch-pound" or "both".
    drawn : sequence of Item
        What is drawn already; the names keep clear of contours and other words.
    clear : numpy.ndarray
        What else no words may cover, arrows among it, shape (N, 2) [m].

    Returns
    -------
    list
        The words; those that find no room stay away, and are in the words of the picture still.
    """
    room = room_in(frame, np.vstack([clear, *_contours(drawn)]))
    taken = boxes([item for item in drawn if isinstance(item, Label)], frame)
    sizes = forces_on_ring(pull)
    labels: list[Label] = []
    for name, (tail, tip) in sorted(forces.items(), key=lambda one: -float(np.hypot(*(one[1][1] - one[1][0])))):
        if float(np.hypot(*(tip - tail))) < _NAMED:
            break
        size = float(np.linalg.norm(sizes[name]))
        lines = _SHORT.get(name, name), show(size, "force", "metric" if units == "both" else units, 0)
        found = _beside(lines, (tail, tip), frame, taken=taken, room=room)
        if found is not None:
            labels.append(found)
            taken.extend(boxes([found], frame))
    return labels


def _contours(drawn: Sequence[Item]) -> list[Points]:
    return [item.points for item in drawn if isinstance(item, Line) and item.name == "contour"]


def _beside(lines: tuple[str, str], end: RingForce, frame: Frame, *, taken: Sequence[Box], room: Room) -> Label | None:
    """Set words round the tip of an arrow, with a leader where they stand off."""
    half = np.array([0.5 * max(map(len, lines)) * frame.text * LETTER, 0.56 * len(lines) * frame.text])
    tail, tip = end
    ahead = (tip - tail) / max(float(np.hypot(*(tip - tail))), 1e-9)
    way = np.stack([_COS * ahead[0] - _SIN * ahead[1], _SIN * ahead[0] + _COS * ahead[1]], axis=1)
    reach = (half / np.maximum(np.abs(way), 1e-9)).min(axis=1)
    middle = tip + (reach + (0.2 + _FAR) * frame.text)[:, None] * way
    places = np.hstack([middle - half, middle + half])
    free = room.free(places)
    for left, low, right, high in taken:
        free &= (places[:, 0] >= right) | (places[:, 2] <= left) | (places[:, 1] >= high) | (places[:, 3] <= low)
    if not free.any():
        return None
    first = int(free.argmax())
    x, y = middle[first].tolist()
    return Label(lines, (x, y), "middle", (float(tip[0]), float(tip[1])) if _LED[first] else None)


def force_scale(
    pull: Pull | DualPull,
    frame: Frame,
    units: Units,
    *,
    beside: Sequence[Item],
    right: bool,
    drawn: Sequence[Item],
    clear: Points,
) -> list[Item]:
    """Draw the arrow of a round force with the scale of lengths: above it, or inward of it where the arm is above.

    Parameters
    ----------
    pull : Pull or DualPull
        What the mechanics found.
    frame : Frame
        The window.
    units : str
        "metric", "inch-pound" or "both".
    beside : sequence of Item
        The scale of lengths.
    right : bool
        Whether that stands in the right corner.
    drawn : sequence of Item
        What is drawn already; the scale keeps clear of contours and other words.
    clear : numpy.ndarray
        What else no words may cover, shape (N, 2) [m].

    Returns
    -------
    list
        An arrow and its force in words.
    """
    long = _metres(pull)
    unit = _NEWTON if units == "inch-pound" else 1.0
    step = max((step for step in _STEPS if step * unit * long < 0.7 * _LONGEST), default=_STEPS[0])
    size, text = step * unit * long, f"{step:g} {'lbf' if units == 'inch-pound' else 'N'}"
    wide = max(size, len(text) * LETTER * frame.text)
    taken = boxes([item for item in drawn if isinstance(item, Label)], frame)
    low = frame.bottom + 0.03 * frame.height
    left, _, end, high = boxes([item for item in beside if isinstance(item, Label)], frame)[0]
    inward = -1.0 if right else 1.0
    outer = end - 0.5 * wide if right else left + 0.5 * wide
    places = [Label((text,), (outer, high + 1.4 * frame.text), "middle")]
    places += [
        Label((text,), ((left if right else end) + inward * (0.5 * wide + step), low + 0.95 * frame.text), "middle")
        for step in np.array([0.8, 1.6, 2.4, 4.0, 6.0]) * frame.text
    ]
    clear = np.vstack([clear, *_contours(drawn)])
    low_down = clear[:, 1] < places[0].at[1] + frame.text
    label = first_free(places, frame, taken, clear[low_down])
    x, y = label.at[0], label.at[1] - 0.95 * frame.text
    return [Arrow((x - 0.5 * size, y), (x + 0.5 * size, y), "force", "scale of the forces"), label]


def force_text(pull: Pull | DualPull, name: str, units: Units) -> tuple[str, ...]:
    """Write one force as a label has it, line by line."""
    size = show(float(np.linalg.norm(forces_on_ring(pull)[name])), "force", units, 0)
    return ("both ends", size) if name == AXILLA_LOOP else (size,)


def ring_words(pull: Pull | DualPull, middle: str, units: Units, *, drawn: bool) -> str:
    """Say which forces act where the straps meet.

    Parameters
    ----------
    pull : Pull or DualPull
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
