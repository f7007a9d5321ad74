"""Forces on the ring laid tip to tail: where they balance, the polygon closes."""

from __future__ import annotations

import math
from itertools import product
from typing import TYPE_CHECKING

import numpy as np

from controlkit.draw.charts.drawn_in import drawn_in
from controlkit.draw.page.labels import boxes, dense, first_free
from controlkit.draw.page.scene import Arrow, Frame, Item, Label, Line, Points, Scene
from controlkit.draw.page.style import STRAP_STYLES
from controlkit.draw.words.pull import Units, forces_on_ring, joined
from controlkit.mechanics.harness.layout import AXILLA_LOOP
from controlkit.units import show

if TYPE_CHECKING:
    from controlkit.mechanics import DualPull, Pull

__all__ = ["LEAST_FORCE", "force_polygon_scene"]

LEAST_FORCE = 0.5
"""A force smaller than this has no arrow of its own [N]."""

_SIDE = 0.250  # of the page
_TEXT = 0.012
_ROOM = np.array([0.190, 0.130])  # that the polygon may take, across and up
_SCALES = (0.003, 0.002, 0.001, 0.0005, 0.0002, 0.0001)  # of the page for a newton; few, so that more force is seen
_STEPS = (0.5, 0.9, 1.4, 2.2, 3.2, 4.4, 6.0)  # from an arrow to its words, in lines of text
_ALONG = (0.5, 0.7, 0.3, 0.9, 0.1)  # of the arrow, where its words stand
_AROUND = tuple(math.radians(turn) for turn in (0.0, 25.0, -25.0, 50.0, -50.0, 80.0, -80.0))  # of the way straight out


def force_polygon_scene(pull: Pull | DualPull, units: Units = "both", *, middle: str = "ring") -> Scene:
    """Draw the forces on the ring tip to tail, seen square to the back there.

    Parameters
    ----------
    pull : Pull or DualPull
        What the mechanics found for one pose.
    units : str
        "metric", "inch-pound" or "both".
    middle : str
        What the straps meet at, as `harness_words` names it.

    Returns
    -------
    Scene
        Arrows in the colours of their straps, each with its name and its force; a picture of 250 by 250 points.

    Notes
    -----
    Drawn in the plane in which the back bears no force: what presses the ring straight on to the back, and the
    back's answer, cancel and are left out. Arrows are as long as their parts in this plane.
    """
    forces = forces_on_ring(pull)
    right, up = _plane(forces)
    flat = {name: np.array([force @ right, force @ up]) for name, force in forces.items() if name != "back"}
    flat = {name: force for name, force in flat.items() if float(np.hypot(*force)) >= LEAST_FORCE}
    frame = Frame(0.0, 0.0, _SIDE, _SIDE, text=_TEXT)
    title = f"Forces on the {middle}"
    items: list[Item] = [Label((title,), (0.004, _SIDE - 0.011), "start")]
    if len(flat) < 2:
        items.append(Label(("no strap pulls",), (_SIDE / 2, _SIDE / 2), "middle"))
        return Scene(
            title,
            f"No strap pulls at the {middle}, so there are no forces to lay out.",
            frame,
            tuple(items),
            beside=True,
        )
    order = sorted(flat, key=lambda name: math.atan2(flat[name][1], flat[name][0]))
    corners = np.vstack([np.zeros(2), np.cumsum([flat[name] for name in order], axis=0)])
    scale = next((one for one in _SCALES if (np.ptp(corners, axis=0) * one <= _ROOM).all()), _SCALES[-1])
    low, high = corners.min(axis=0) * scale, corners.max(axis=0) * scale
    corners = corners * scale + (np.array([_SIDE, _SIDE - 0.02]) - low - high) / 2
    arrows = [
        Arrow(_at(tail), _at(tip), f"force {STRAP_STYLES.get(name, name)}", f"{name} on the {middle}")
        for name, tail, tip in zip(order, corners[:-1], corners[1:], strict=True)
    ]
    items.extend(arrows)
    items.extend(_scale(scale, units))
    covered = dense([np.array([arrow.start, arrow.end]) for arrow in arrows], _TEXT / 12)
    for name, arrow in zip(order, arrows, strict=True):
        size = show(float(np.linalg.norm(forces[name])), "force", "metric" if units == "both" else units)
        lines = (*_name(name), size)
        taken = boxes([item for item in items if isinstance(item, Label)], frame)
        items.append(first_free(_places(lines, arrow), frame, taken, covered))
    parts = [f"{_said(name)} {show(float(np.linalg.norm(forces[name])), 'force', units)}" for name in order]
    words = (
        f"The forces on the {middle} laid tip to tail, to one scale, seen square to the back: {joined(parts)}. "
        f"The last tip meets the first tail: together they balance."
    )
    return Scene(title, words, frame, tuple(items), beside=True)


def _scale(scale: float, units: Units) -> list[Item]:
    """Draw how long a round force is."""
    unit, newton = drawn_in(units, "force")
    size = next(size for size in (5.0, 10.0, 20.0, 50.0, 100.0, 200.0) if size / newton * scale > 0.025)
    x, y, tick = 0.008, 0.010, 0.003
    end = x + size / newton * scale
    bar = np.array([[x, y + tick], [x, y - tick], [x, y], [end, y], [end, y + tick], [end, y - tick]])
    return [Line(bar, "scale", "scale"), Label((f"{size:g} {unit}",), (end + 0.006, y), "start")]


def _plane(forces: dict[str, Points]) -> tuple[Points, Points]:
    """Directions to the right and up, as seen from behind, in the plane of the back at the ring."""
    push = forces.get("back", np.array([-1.0, 0.0, 0.0]))
    out = push / float(np.linalg.norm(push))
    right = np.array([0.0, 0.0, 1.0]) - out[2] * out
    right = right / float(np.linalg.norm(right))
    return right, np.cross(out, right)


def _at(point: Points) -> tuple[float, float]:
    return float(point[0]), float(point[1])


def _name(name: str) -> tuple[str, ...]:
    """A name in lines short enough to stand beside an arrow."""
    if name == AXILLA_LOOP:
        return name, "both ends"
    first, _, rest = name.partition(" ")
    return (first, rest) if len(name) > 12 and rest else (name,)


def _said(name: str) -> str:
    return f"{name} (both ends together)" if name == AXILLA_LOOP else name


def _places(lines: tuple[str, ...], arrow: Arrow) -> list[Label]:
    """List where words may stand, outside of an arrow; arrows go round anticlockwise."""
    tail, tip = np.array(arrow.start), np.array(arrow.end)
    along = (tip - tail) / max(float(np.hypot(*(tip - tail))), 1e-9)
    out = np.array([along[1], -along[0]])
    places = []
    half = 0.56 * len(lines) * _TEXT
    for step, share, turn in product(_STEPS, _ALONG, _AROUND):
        cos, sin = math.cos(turn), math.sin(turn)
        across, up = out[0] * cos - out[1] * sin, out[0] * sin + out[1] * cos
        x, y = tail + share * (tip - tail)
        anchor = "start" if across > 0.5 else "end" if across < -0.5 else "middle"
        at = float(x + step * _TEXT * across), float(y + (step * _TEXT + half) * up)
        places.append(Label(lines, at, anchor))
    return places
