"""The wearer with the harness on: from behind, from the side, from the front.

The mechanics hands over outlines and straps as points; this module chooses
the window, puts nearer parts over farther ones, dashes what the body hides,
and sets the labels in the margins.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from controlkit.draw.anatomy import landmarks
from controlkit.draw.body_layers import body_layers
from controlkit.draw.labels import Note, in_margins
from controlkit.draw.scene import Arrow, Dot, Frame, Item, Label, Line, Points, Scene
from controlkit.draw.words import Units, View, force_words, view_words
from controlkit.mechanics.outline import hidden, joints, project
from controlkit.units import show

if TYPE_CHECKING:
    from controlkit.mechanics import Pull, SingleControl, Wearer

__all__ = ["person", "wearer_scene"]

_RING = 0.019  # radius of the drawn ring [m]
_CROSSBAR = 0.030  # half the length of the drawn crossbar [m]
_HANGER = 0.050  # from the crossbar back to the hanger [m]
_ARROW = 0.0022  # length of a force arrow for one newton [m/N]
_LONGEST = 0.16  # of a force arrow [m]
_TITLES = {"back": "The wearer from behind", "side": "The wearer from the side", "front": "The wearer from the front"}
_TWO_LINES = {
    "axilla loop": ("axilla", "loop"),
    "anterior support strap": ("anterior", "support strap"),
    "control attachment strap": ("control", "attachment strap"),
}


def person(wearer: Wearer) -> str:
    """Say in a few words who is drawn.

    Parameters
    ----------
    wearer : Wearer
        The wearer.

    Returns
    -------
    str
        Name, amputated side and level.
    """
    limb = "below" if wearer.level == "transradial" else "above"
    return f"{wearer.name}, {wearer.amputated} arm amputated {limb} the elbow"


def wearer_scene(
    pull: Pull,
    view: View = "back",
    *,
    system: SingleControl,
    pinned: Pull | None = None,
    forces: bool = False,
    units: Units = "both",
) -> Scene:
    """Draw a wearer in one pose with straps, ring, crossbar and hanger.

    Parameters
    ----------
    pull : Pull
        What the mechanics found for the pose.
    view : str
        "back", "side" (the amputated side) or "front".
    system : SingleControl
        The system that was asked; it knows the wearer.
    pinned : Pull, optional
        An earlier setting, drawn as a thin grey ghost.
    forces : bool
        Whether to draw the forces on the ring.
    units : str
        "metric", "inch-pound" or "both", for numbers in labels and words.

    Returns
    -------
    Scene
        The drawing with its words.
    """
    wearer = system.harness.wearer
    frame = _frame(wearer, view)
    items = body_layers(wearer, pull, view)
    items.extend(landmarks(wearer, pull.pose, view))
    if pinned is not None:
        items.extend(_ghost(wearer, pinned, view))
    items.extend(_harness(wearer, pull, view))
    notes = _notes(wearer, pull, view, forces, units)
    if forces:
        items.extend(_forces(wearer, pull, view))
    items.extend(in_margins(notes, frame))
    items.extend(_scale_bar(frame, units))
    words = view_words(pull, view, person(wearer), units)
    if forces:
        words = f"{words} {_ring_words(pull, units)} {force_words(pull, units)}"
    return Scene(_TITLES[view], words, frame, tuple(items))


def _frame(wearer: Wearer, view: View) -> Frame:
    """Choose a window that depends on the wearer alone, so that it stands still in motion."""
    tall = wearer.stature
    top = tall * 1.015 - wearer.suprasternale_height
    height, width = 0.50 * tall, 0.64 * tall
    middle = 0.0
    if view == "side":
        middle = 0.10 * tall * (1.0 if wearer.amputated == "right" else -1.0)
    return Frame(middle - width / 2, top - height, middle + width / 2, top, text=0.0165 * tall)


def _flat(wearer: Wearer, points: Points, view: View) -> Points:
    return project(np.atleast_2d(points), view, wearer.amputated)


def _harness(wearer: Wearer, pull: Pull, view: View) -> list[Item]:
    behind: list[Item] = []
    ahead: list[Item] = []
    for name, points in pull.straps.items():
        covered = hidden(wearer, pull.pose, points, view)
        flat = _flat(wearer, points, view)
        if name == "control attachment strap":
            cut = _hanger_index(points)
            ahead.append(Line(flat[: cut + 1], name, name, False, covered[: cut + 1]))
            if cut < len(flat) - 1:
                ahead.insert(0, Line(flat[cut:], "cable", "cable", False, covered[cut:]))
                if not covered[cut]:
                    ahead.append(Dot((float(flat[cut, 0]), float(flat[cut, 1])), 0.011, "hanger", "hanger"))
        else:
            ahead.append(Line(flat, "cable" if name == "cable" else name, name, False, covered))
    bar = _crossbar(wearer, pull)
    at_bar = hidden(wearer, pull.pose, bar, view)
    ahead.append(Line(_flat(wearer, bar, view), "crossbar", "crossbar", False, np.full(2, bool(at_bar.all()))))
    ring = _flat(wearer, pull.ring, view)[0]
    if not hidden(wearer, pull.pose, np.atleast_2d(pull.ring), view)[0]:
        ahead.append(Dot((float(ring[0]), float(ring[1])), _RING, "ring", "ring"))
    return behind + ahead


def _hanger_index(points: Points) -> int:
    """Find the node of the control attachment strap where the hanger sits."""
    steps = np.linalg.norm(np.diff(points, axis=0), axis=1)
    left = steps[::-1].cumsum()[::-1]  # from each node to the crossbar
    return int(np.argmin(np.abs(np.append(left, 0.0) - _HANGER)))


def _crossbar(wearer: Wearer, pull: Pull) -> Points:
    """Place the ends of the crossbar: across the arm, flat on its pad."""
    at = pull.straps["control attachment strap"][-1]
    body = joints(wearer, pull.pose)
    along = body["elbow"] - body["shoulder"]
    along = along / np.linalg.norm(along)
    out = at - body["shoulder"]
    out = out - along * (out @ along)
    across = np.cross(along, out)
    across = across / max(float(np.linalg.norm(across)), 1e-9)
    return np.stack([at - _CROSSBAR * across, at + _CROSSBAR * across])


def _ghost(wearer: Wearer, pinned: Pull, view: View) -> list[Item]:
    items: list[Item] = []
    for name, points in pinned.straps.items():
        covered = hidden(wearer, pinned.pose, points, view)
        items.append(Line(_flat(wearer, points, view), "pinned", f"pinned {name}", False, covered))
    x, y = _flat(wearer, pinned.ring, view)[0]
    turn = np.linspace(0.0, 2.0 * np.pi, 25)
    ring = np.stack([x + _RING * np.cos(turn), y + _RING * np.sin(turn)], axis=1)
    items.append(Line(ring, "pinned", "pinned ring", True))
    return items


def _notes(wearer: Wearer, pull: Pull, view: View, forces: bool, units: Units) -> list[Note]:
    """Choose what is labelled, and in which margin."""
    amputated_right = wearer.amputated == "right"
    if view == "side":  # the prosthesis reaches forward: words stand behind the back
        own = sound = "left" if amputated_right else "right"
    else:
        own = "right" if amputated_right == (view == "back") else "left"
        sound = "left" if own == "right" else "right"
    notes: list[Note] = []
    for name, margin in (
        ("axilla loop", sound),
        ("anterior support strap", own),
        ("control attachment strap", own),
    ):
        target = _seen_middle(wearer, pull, name, view)
        if target is not None:
            lines = _TWO_LINES[name]
            if forces:
                lines = (*lines, _tension(pull, name, units))
            notes.append(Note(lines, target, margin))
    ring = _flat(wearer, pull.ring, view)[0]
    if not hidden(wearer, pull.pose, np.atleast_2d(pull.ring), view)[0]:
        notes.append(Note(("ring",), (float(ring[0]), float(ring[1])), sound))
    bar = _crossbar(wearer, pull)
    if not hidden(wearer, pull.pose, bar, view).all():
        middle = _flat(wearer, bar.mean(axis=0), view)[0]
        notes.append(Note(("crossbar",), (float(middle[0]), float(middle[1])), own))
    return notes


def _tension(pull: Pull, name: str, units: Units) -> str:
    return show(pull.strap_tension[name], "force", units, 0)


def _seen_middle(wearer: Wearer, pull: Pull, name: str, view: View) -> tuple[float, float] | None:
    """Find the middle of the longest piece of a strap that the viewer sees."""
    points = pull.straps[name]
    if name == "control attachment strap":
        points = points[: _hanger_index(points) + 1]
    covered = hidden(wearer, pull.pose, points, view)
    away = np.linalg.norm(points - pull.ring, axis=1) < _RING
    best: tuple[int, int] = (0, -1)
    start: int | None = None
    for index, out_of_sight in enumerate([*(covered | away).tolist(), True]):
        if not out_of_sight and start is None:
            start = index
        elif out_of_sight and start is not None:
            if index - start > best[1] - best[0] + 1:
                best = (start, index - 1)
            start = None
    if best[1] < best[0]:
        return None
    x, y = _flat(wearer, points[(best[0] + best[1]) // 2], view)[0]
    return float(x), float(y)


def _forces(wearer: Wearer, pull: Pull, view: View) -> list[Item]:
    """Draw what each strap does to the ring, to one scale."""
    items: list[Item] = []
    ring = pull.ring
    for name, points in pull.straps.items():
        tension = pull.strap_tension.get(name, 0.0)
        if name == "cable" or tension <= 0.0:
            continue
        for end, order in ((points[0], points), (points[-1], points[::-1])):
            if np.linalg.norm(end - ring) > _RING:
                continue
            away = np.linalg.norm(order - ring, axis=1)
            heading = order[int(np.argmax(away > 0.03))] - ring
            heading = heading / max(float(np.linalg.norm(heading)), 1e-9)
            tip = ring + heading * min(tension * _ARROW, _LONGEST)
            ends = _flat(wearer, np.stack([ring, tip]), view)
            items.append(Arrow(tuple(ends[0].tolist()), tuple(ends[1].tolist()), "force", f"{name} on the ring"))
    return items


def _ring_words(pull: Pull, units: Units) -> str:
    parts = [
        f"{name} {show(tension, 'force', units)}"
        for name, tension in pull.strap_tension.items()
        if name != "cable"
    ]
    return f"Forces on the ring: {'; '.join(parts)}."


def _scale_bar(frame: Frame, units: Units) -> list[Item]:
    size, name = (0.1016, "4 in") if units == "inch-pound" else (0.1, "100 mm")
    x, y = frame.left + 0.02 * frame.width, frame.bottom + 0.03 * frame.height
    tick = 0.008
    bar = np.array([[x, y + tick], [x, y - tick], [x, y], [x + size, y], [x + size, y + tick], [x + size, y - tick]])
    return [Line(bar, "scale", "scale"), Label((name,), (x + size / 2, y + frame.text * 0.95), "middle")]
