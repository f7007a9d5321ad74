"""Parts of a single-control system, numbered on their wearer, and the object of the task."""

from __future__ import annotations

import textwrap
from collections.abc import Mapping
from typing import TYPE_CHECKING

import numpy as np

from controlkit.draw.page.labels import Note, cleared, in_margins
from controlkit.draw.page.room import room_in
from controlkit.draw.page.scene import Frame, Item, Label, Line, Points, Region, Scene
from controlkit.draw.wearer.clear import keep_clear
from controlkit.draw.wearer.named import LIFT, own_side, sideways
from controlkit.draw.wearer.posed import posed_joints
from controlkit.draw.wearer.scene import wearer_scene
from controlkit.draw.wearer.seen import Place, SeenHarness
from controlkit.draw.wearer.worn import look
from controlkit.draw.words.pull import Units, View
from controlkit.mechanics.body.outline import project
from controlkit.mechanics.body.pose import Pose
from controlkit.mechanics.harness.layout import AXILLA_LOOP, CONTROL_STRAP
from controlkit.mechanics.harness.patterns.eight import FRONT_STRAP

if TYPE_CHECKING:
    from controlkit.mechanics import Pull, SingleControl

__all__ = ["PARTS", "parts_scene"]

PARTS: Mapping[str, str] = {
    AXILLA_LOOP: "goes round the sound shoulder and through its armpit; everything pulls against it",
    "ring": "joins the straps on the back and floats where their forces balance",
    FRONT_STRAP: "holds the prosthesis up against a downward pull",
    CONTROL_STRAP: "hands the motion of arm and scapula on to the cable",
    "hanger": "joins the strap to the cable; its place on the strap is where length is set",
    "triceps pad": "lies behind the upper arm, spreads what straps and housing press on it, and bears the crossbar",
    "crossbar": "holds the housing on the pad, so that only the cable moves",
    "cable and housing": "lead travel and force past the elbow; the housing keeps the path as long as it is",
    "hinges": "join the pad to the socket, so that the harness carries the socket; flexible ones let the forearm turn",
    "socket": "holds the residual limb and carries the forearm",
    "wrist unit": "holds the device on the socket, and lets it be turned before it is used: pre-positioning",
    "terminal device": "takes hold: bands or a spring move it one way, the cable the other",
}
"""Parts from the sound shoulder to the fingertips, and what each is for."""

_BAND = 0.22  # from below the table to above the object that stands on it [m]
_UNDER = {"wrist unit": 0.035, "cable and housing": 0.07, "socket": 0.14}
"""From the table down to words that would cross it [m]."""
_ABOVE = 0.12  # from the device up to its name [m]
_CLEAR = (
    "contour", "socket", "wrist unit", "body", "fixed finger", "moving finger", "operating lever", "triceps pad",
    "band of the pad", "crossbar", "base plate", "cable", "housing", "hinge", "object", "table",
)  # fmt: skip
_WITHIN = (0.85, 0.65, 0.4, 0.15)  # how far from a sheet's middle to its edge it is looked at [-]
_TURNS = np.deg2rad([0.0, 25.0, -25.0, 50.0, -50.0, 75.0, -75.0, 105.0, -105.0, 130.0, -130.0, 155.0, -155.0, 180.0])
_TRIED = [(far, turn) for far in (1.3, 1.8, 2.4, 3.1, 3.9, 4.8, 5.8, 7.0, 8.5) for turn in _TURNS]
_OFF = np.array([far for far, _ in _TRIED])  # of a number from its part, in lines of text [-]
_WAYS = np.array([[np.cos(turn), np.sin(turn)] for _, turn in _TRIED])
_SHARES = np.linspace(0.0, 1.0, 6)[:, None]
_CORNERS = np.array([[x, y] for x in (-1.0, 0.0, 1.0) for y in (-1.0, 0.0, 1.0)])
_NARROW = 16, 13  # letters in a line beside the wearer, and before or behind a wearer who is seen from a side


def parts_scene(
    pull: Pull,
    view: View,
    *,
    system: SingleControl,
    part: str = "",
    thing: tuple[str, float] | None = None,
    table: np.ndarray | None = None,
    plain: bool = False,
    scale: bool = True,
    units: Units = "both",
) -> Scene:
    """Draw a wearer with numbered parts, and the object of the task.

    Parameters
    ----------
    pull : Pull
        The pose, and how far the device is open.
    view : str or float
        As in `wearer_scene` [rad].
    system : SingleControl
        The system; it knows the wearer.
    part : str
        The part to ring, one of `PARTS`; empty for none.
    thing : tuple of str and float, optional
        Where the object is ("on the table", "out of reach" or in the device) and its width [m].
    table : numpy.ndarray, optional
        Where the device is at the table, ISB axes [m], shape (3,).
    plain, scale : bool
        As in `wearer_scene`; the parts of a plain picture bear their numbers alone, in the order of `PARTS`.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    Scene
        The drawing with its words.
    """
    wearer = system.harness.wearer
    hanging = float(posed_joints(wearer, Pose())["device"][1]) - 0.05
    scale = plain and scale
    scene = wearer_scene(pull, view, system=system, plain=plain, wide=plain, scale=scale, bottom=hanging, units=units)
    frame = scene.frame
    items: list[Item] = [item for item in scene.items if plain or not isinstance(item, Label)]
    device = posed_joints(wearer, pull.pose)["device"]
    own = own_side(view, wearer.amputated)
    aside = sideways(view, wearer.amputated)
    front = own  # seen from a side
    worn = look(system, pull, view)
    clear: tuple[float, float] | None = None
    if thing is not None and table is not None:
        stand, now = project(np.stack([table, device]), view, wearer.amputated)
        ahead = 0.0 if not aside else 1.0 if front == "right" else -1.0
        drawn = _thing(stand, now, *thing, ahead)
        items = [*items, *drawn] if worn.sight.towards[0] > 0.7 else [*drawn, *items]
        if aside:
            clear = float(stand[1]) - 0.075, max(float(stand[1]), float(now[1])) + _ABOVE
    notes = []
    centre = 0.5 * (frame.left + frame.right)
    places = _places(pull, view, system, worn)
    for number, name in enumerate(PARTS, 1):
        place = places[name]
        if place is None:
            continue
        if plain:
            notes.append(Note((str(number),), place, "left" if place[0] < centre else "right"))
            if name == part:
                items.append(_ringed(name, place))
            continue
        lines = tuple(textwrap.wrap(f"{number} {name}", _NARROW[aside]))
        side = "left" if place[0] < centre else "right"
        at = None
        if not aside:
            at = place[1] + LIFT * wearer.stature if side != own else None
        elif clear is not None and side == front:
            at = _clear_of_table(name, place[1], clear)
        notes.append(Note(lines, place, side, at))
        if name == part:
            items.append(_ringed(name, place))
    if plain:
        _number(notes, frame, items)
    else:
        items.extend(cleared(in_margins(notes, frame), frame, keep_clear(items, frame)))
    words = scene.words
    if part:
        where = "hidden in this view" if places[part] is None else "ringed in the picture"
        words = f"Part {list(PARTS).index(part) + 1}, {part} ({where}): it {PARTS[part]}. {words}"
    return Scene(scene.title, words, frame, tuple(items))


def _ringed(name: str, place: Place) -> Line:
    turn = np.linspace(0.0, 2.0 * np.pi, 25)
    ring = np.array(place) + 0.034 * np.stack([np.cos(turn), np.sin(turn)], axis=1)
    return Line(ring, "body edge", f"ring round {name}", closed=True)


def _number(notes: list[Note], frame: Frame, items: list[Item]) -> None:
    """Set each number beside its part with a thin leader, where it covers no other, no strap and no part of the arm."""
    room = room_in(frame, np.vstack([keep_clear(items, frame), *_filled(items)]))
    half = np.array([0.8, 0.62]) * frame.text
    taken = np.empty((0, 2))  # of numbers: their corners and middles, and along their leaders
    for note in notes:
        target = np.array(note.target)
        middle = target + _OFF[:, None] * frame.text * _WAYS * [1.0 if note.side == "right" else -1.0, 1.0]
        places = np.hstack([middle - half, middle + half])
        free = np.flatnonzero(room.free(places))
        at = middle[next((int(one) for one in free if _apart(places[one], taken)), 0)]
        items.append(Label(note.lines, (float(at[0]), float(at[1])), "middle", note.target))
        taken = np.vstack([taken, at + half * _CORNERS, target + _SHARES * (at - target)])


def _apart(box: Points, points: Points) -> bool:
    """Tell whether no point lies in a box."""
    x, y = points.T
    return not bool(((x > box[0]) & (x < box[2]) & (y > box[1]) & (y < box[3])).any())


def _filled(items: list[Item]) -> list[np.ndarray]:
    """Points all over what numbers may not cover, of sheets also within their edges."""
    found = [item.points for item in items if isinstance(item, Line | Region) and item.name in _CLEAR]
    for item in items:
        if isinstance(item, Region) and item.name in _CLEAR and len(item.points):
            middle = item.points.mean(axis=0)
            found += [middle + share * (item.points - middle) for share in _WITHIN]
    return found


def _clear_of_table(name: str, level: float, clear: tuple[float, float]) -> float | None:
    """Where words stand beside a table: the device's above the object, others that would cross it below the table."""
    below, above = clear
    if name == "terminal device":
        return above
    return below - _UNDER[name] if name in _UNDER and below < level < below + _BAND else None


def _places(pull: Pull, view: View, system: SingleControl, worn: SeenHarness) -> dict[str, Place | None]:
    """Find a spot of each part that the viewer sees."""
    wearer = system.harness.wearer
    body = posed_joints(wearer, pull.pose)

    def seen(name: str) -> Place | None:
        run = worn.straps[name]
        away = np.linalg.norm(run.space - worn.ring.space[0], axis=1) > 0.03
        free = np.flatnonzero(~run.covered & away)
        return run.place(int(free[len(free) // 2])) if free.size else None

    def spot(*ends: str) -> Place:
        x, y = project(np.mean([body[end] for end in ends], axis=0)[None], view, wearer.amputated)[0].tolist()
        return x, y

    return {
        AXILLA_LOOP: seen(AXILLA_LOOP),
        "ring": None if worn.ring.covered[0] else worn.ring.place(0),
        FRONT_STRAP: seen(FRONT_STRAP),
        CONTROL_STRAP: seen(CONTROL_STRAP),
        "hanger": None if worn.lead.covered[0] else worn.lead.place(0),
        **worn.arm.spots,
        "wrist unit": spot("wrist"),
        "terminal device": spot("wrist", "device"),
    }


def _thing(stand: np.ndarray, now: np.ndarray, where: str, width: float, ahead: float) -> list[Item]:
    """Draw the table, and the object where it is; a table seen from its end reaches as far either way."""
    top = float(stand[1]) - 0.055
    x, y = (
        (float(stand[0]), top) if where in ("on the table", "out of reach") else (float(now[0]), float(now[1]) - 0.055)
    )
    tall = 0.11
    if where == "out of reach":  # knocked over, beyond its place
        left = x - 0.05 - tall if ahead < 0.0 else x + 0.05
        box = np.array([[left, y], [left + tall, y], [left + tall, y + width], [left, y + width]])
    else:
        box = np.array([[x, y], [x + width, y], [x + width, y + tall], [x, y + tall]]) - [width / 2, 0.0]
    back, on = (-0.05 * ahead, 0.30 * ahead) if ahead else (-0.12, 0.12)
    edge = np.array([[float(stand[0]) + back, top], [float(stand[0]) + on, top]])
    return [Line(edge, "body edge", "table"), Region(box, "cuff", "object")]
