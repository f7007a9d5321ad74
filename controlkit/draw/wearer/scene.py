"""The wearer with the harness on: from behind, from the side, from the front.

The mechanics hands over outlines and straps as points; this module chooses
the window, puts nearer parts over farther ones, dashes what the body hides,
and sets the labels in the margins.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from controlkit.draw.page.labels import Note, fits, in_margins
from controlkit.draw.page.scene import Arrow, Dot, Item, Line, Points, Region, Scene
from controlkit.draw.page.style import FORK, STRAP_STYLES
from controlkit.draw.wearer.anatomy import landmarks
from controlkit.draw.wearer.body_layers import body_layers
from controlkit.draw.wearer.fittings import RING, has_ring
from controlkit.draw.wearer.lever import lever_items, lever_words
from controlkit.draw.wearer.loads import load_bands
from controlkit.draw.wearer.posed import posed_joints
from controlkit.draw.wearer.seen import SeenHarness, SeenLine
from controlkit.draw.wearer.window import plain_window, scale_bar, wide_window, window
from controlkit.draw.wearer.worn import look
from controlkit.draw.words.pull import (
    Units,
    View,
    force_words,
    forces_on_ring,
    harness_words,
    joined,
    load_words,
    view_words,
)
from controlkit.mechanics.body.outline import project
from controlkit.mechanics.body.pose import Pose
from controlkit.mechanics.harness.layout import AXILLA_LOOP, CONTROL_STRAP
from controlkit.mechanics.harness.patterns.chest import CHEST_STRAP, SADDLE_STRAP, SUSPENSOR
from controlkit.mechanics.harness.patterns.eight import CROSS_BACK, FRONT_STRAP
from controlkit.units import show

if TYPE_CHECKING:
    from controlkit.mechanics import Pull, SingleControl, Wearer

__all__ = ["LIFT", "person", "wearer_scene"]

LIFT = 0.045
"""Of words beside the sound arm, which stands off, as a share of stature [-]."""
_ASIDE = 0.18  # of words over an arm held out to the side, as a share of stature [-]
_LONGEST = 0.15  # of the longest force arrow [m]
_TITLES = {"back": "The wearer from behind", "side": "The wearer from the side", "front": "The wearer from the front"}
_SADDLE = "saddle"  # a pad, no strap
_LABELS: dict[str, tuple[str, ...]] = {
    **{name: (name,) for name in (AXILLA_LOOP, CHEST_STRAP, CROSS_BACK, SADDLE_STRAP, FORK)},
    **{name: tuple(name.split(" ", 1)) for name in (SUSPENSOR, FRONT_STRAP, CONTROL_STRAP)},
    _SADDLE: ("shoulder", "saddle"),
}
"""Words beside a part, line by line."""


@dataclass(frozen=True, eq=False, kw_only=True)
class _Seen:
    """A wearer from one side: what every part of the drawing asks for."""

    wearer: Wearer
    pull: Pull
    view: View
    worn: SeenHarness
    middle: str
    units: Units

    def flat(self, points: Points) -> Points:
        """Points in the picture."""
        return project(np.atleast_2d(points), self.view, self.wearer.amputated)


def person(wearer: Wearer) -> str:
    """Say in a few words who is drawn."""
    limb = "below" if wearer.level == "transradial" else "above"
    name = wearer.name or ("a woman" if wearer.sex == "female" else "a man")
    return f"{name}, {wearer.amputated} arm amputated {limb} the elbow"


def wearer_scene(
    pull: Pull,
    view: View = "back",
    *,
    system: SingleControl,
    pinned: Pull | None = None,
    forces: bool = False,
    loads: bool = False,
    plain: bool = False,
    wide: bool = False,
    lever: bool = False,
    scale: bool = True,
    units: Units = "both",
) -> Scene:
    """Draw a wearer in one pose with all that is worn.

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
        Whether to draw the forces on the ring, or on what stands in its place.
    loads : bool
        Whether to draw what the straps press on the skin along their course.
    plain : bool
        Whether to leave out the words in the margins, in a narrow window that stands still while the arm flexes; two
        such pictures stand beside each other, and `legend` tells the straps apart.
    wide : bool
        Whether the window of a plain picture holds the device wherever the arm may bring it.
    lever : bool
        Whether to draw the moment arm of the control attachment strap; only from the side, where it is to scale.
    scale : bool
        Whether to draw the scale; beside another picture to the same scale it is needed once.
    units : str
        "metric", "inch-pound" or "both", for numbers in labels and words.

    Returns
    -------
    Scene
        The drawing with its words.
    """
    wearer = system.harness.wearer
    frame = (plain_window if plain else window)(wearer, pull.pose, view)
    if plain and wide:
        frame = wide_window(wearer, pull.pose, view)
    sewn = system.harness.layout.sewn
    harness = harness_words(system.harness.pattern.name, sewn)
    worn = look(system.harness, pull, view)
    seen = _Seen(wearer=wearer, pull=pull, view=view, worn=worn, middle=harness[1], units=units)
    ring = has_ring(pull, sewn)
    items = body_layers(wearer, pull, worn, view)
    items.extend(landmarks(wearer, pull.pose, view))
    if pinned is not None:
        items.extend(_ghost(look(system.harness, pinned, view)))
    items.extend(_straps(worn))
    if loads:
        items.extend(load_bands(pull, worn))
    items.extend(_fittings(worn, ring))
    notes = [] if plain else _notes(seen, forces=forces, narrow=view == "side")
    if not fits(notes, frame):
        notes = _notes(seen, forces=forces)
    drawn = forces and not worn.ring.covered[0]
    if drawn:
        items.extend(_forces(seen))
    items.extend(in_margins(notes, frame))
    if scale:
        items.extend(scale_bar(frame, units, right=(wearer.amputated == "right") == (view == "back")))
    if lever and view == "side":
        items.extend(lever_items(wearer, pull, frame, drawn=items, units=units))
    words = view_words(pull, view, person(wearer), units, harness=harness)
    if forces:
        words = f"{words} {_ring_words(seen, drawn)} {force_words(pull, units)}"
    if loads:
        words = f"{words} {load_words(pull, units)}"
    if lever and view == "side":
        words = f"{words} {lever_words(wearer, pull, units)}"
    return Scene(_TITLES[view], words, frame, tuple(items))


def _straps(worn: SeenHarness) -> list[Item]:
    items: list[Item] = [_line(worn.cable, "cable"), _line(worn.lead, "cable")]
    items.extend(_line(run, name) for name, run in worn.straps.items())
    return items


def _fittings(worn: SeenHarness, ring: bool) -> list[Item]:
    items: list[Item] = []
    if not worn.lead.covered[0]:
        items.append(Dot(worn.lead.place(0), 0.011, "hanger", "hanger"))
    hidden_bar = np.full(2, worn.bar_hidden)
    items.append(Line(worn.crossbar.flat, "crossbar", "crossbar", hidden=hidden_bar))
    if worn.ring.covered[0]:
        return items
    if ring:
        items.append(Dot(worn.ring.place(0), RING, "ring", "ring"))
    else:
        middle = worn.ring.flat[0]
        items.append(Region(worn.edge.flat, "patch", "sewn patch"))
        items.append(Line(middle + 0.68 * (worn.edge.flat - middle), "stitch", "stitches", closed=True))
    return items


def _line(run: SeenLine, name: str) -> Line:
    return Line(run.flat, STRAP_STYLES.get(name, name), name, hidden=run.covered)


def _ghost(worn: SeenHarness) -> list[Item]:
    items: list[Item] = [
        Line(run.flat, "pinned", f"pinned {name}", hidden=run.covered) for name, run in worn.straps.items()
    ]
    items.append(Line(worn.lead.flat, "pinned", "pinned cable", hidden=worn.lead.covered))
    edge = worn.edge.flat
    if not len(edge):
        turn = np.linspace(0.0, 2.0 * np.pi, 25)
        edge = worn.ring.flat[0] + RING * np.stack([np.cos(turn), np.sin(turn)], axis=1)
    items.append(Line(edge, "pinned", "pinned ring" if len(edge) > 4 else "pinned patch", closed=True))
    return items


def _notes(seen: _Seen, *, forces: bool, narrow: bool = False) -> list[Note]:
    """Choose what is labelled, and in which margin."""
    wearer, pull, worn, view, middle = seen.wearer, seen.pull, seen.worn, seen.view, seen.middle
    amputated_right = wearer.amputated == "right"
    if view == "side":  # the prosthesis reaches forward: words stand behind the back
        own = sound = "left" if amputated_right else "right"
    else:
        own = "right" if amputated_right == (view == "back") else "left"
        sound = "left" if own == "right" else "right"
    on_ring = forces_on_ring(pull) if forces else {}
    notes: list[Note] = []
    for name in worn.straps:
        target = _seen_middle(worn, name)
        if target is None or name not in _LABELS:
            continue
        lines = _LABELS[name]
        if narrow:  # little room between the margin and the back
            lines = tuple(word for line in lines for word in line.split(" "))
        if name in on_ring:
            lines = (*lines, _force(seen, name))
        notes.append(Note(lines, target, sound if name in (AXILLA_LOOP, CHEST_STRAP, CROSS_BACK) else own))
    legs = [name for name in worn.straps if STRAP_STYLES.get(name) == FORK]
    target = next(filter(None, (_seen_middle(worn, name) for name in legs[::-1])), None)
    if target is not None:
        notes.append(Note(_LABELS[FORK], target, own))
    for piece in worn.pads[_SADDLE].seen()[:1] if _SADDLE in worn.pads else ():
        x, y = piece.mean(axis=0).tolist()
        notes.append(Note(_LABELS[_SADDLE], (x, y), own))
    ring = worn.ring.place(0)
    if not worn.ring.covered[0]:
        notes.append(Note(("sewn", "cross-point") if middle == "sewn cross-point" else (middle,), ring, sound))
    if not worn.bar_hidden:
        x, y = worn.crossbar.flat.mean(axis=0).tolist()
        notes.append(Note(("crossbar",), (x, y), own))
    if view == "back":
        x, y = seen.flat(posed_joints(wearer, pull.pose)["c7"])[0].tolist()
        notes.append(Note(("C7",), (x, y), sound))
    if forces and not worn.ring.covered[0] and float(np.linalg.norm(on_ring["skin"])) > 0.5:
        lines = (f"skin on {middle.split()[-1]}", _force(seen, "skin"))
        notes.append(Note(lines, (ring[0], ring[1] - RING), sound))
    if view == "side":
        return notes
    out = max(math.sin(pull.pose.arm_abduction) - math.sin(Pose().arm_abduction), 0.0)
    beside = LIFT if view == "back" else 0.0  # the device, seen past the arm
    lift = {sound: LIFT * wearer.stature, own: (beside + _ASIDE * out) * wearer.stature}
    return [replace(note, level=note.height + lift[note.side]) for note in notes]


def _force(seen: _Seen, name: str) -> str:
    size = show(float(np.linalg.norm(forces_on_ring(seen.pull)[name])), "force", seen.units, 0)
    return f"{'both ends ' if name == AXILLA_LOOP else ''}{size}"


def _seen_middle(worn: SeenHarness, name: str) -> tuple[float, float] | None:
    """Find the middle of the longest piece of a strap that the viewer sees."""
    run = worn.straps[name]
    away = np.linalg.norm(run.space - worn.ring.space[0], axis=1) < RING
    best: tuple[int, int] = (0, -1)
    start: int | None = None
    for index, out_of_sight in enumerate([*(run.covered | away).tolist(), True]):
        if not out_of_sight and start is None:
            start = index
        elif out_of_sight and start is not None:
            if index - start > best[1] - best[0] + 1:
                best = (start, index - 1)
            start = None
    if best[1] - best[0] < 2:
        return None
    return run.place((best[0] + best[1]) // 2)


def _forces(seen: _Seen) -> list[Item]:
    """Draw what each strap and the skin do to where the straps meet, all to one scale."""
    forces = forces_on_ring(seen.pull)
    sizes = {name: float(np.linalg.norm(force)) for name, force in forces.items()}
    most = max(*sizes.values(), 1e-9)
    items: list[Item] = []
    for name, force in forces.items():
        if sizes[name] < max(0.03 * most, 0.5):
            continue
        ends = np.stack([seen.pull.ring, seen.pull.ring + force * (_LONGEST / most)])
        start, end = seen.flat(ends).tolist()
        items.append(Arrow((start[0], start[1]), (end[0], end[1]), "force", f"{name} on the {seen.middle}"))
    return items


def _ring_words(seen: _Seen, drawn: bool) -> str:
    parts, middle = [], seen.middle
    for name, force in forces_on_ring(seen.pull).items():
        size = show(float(np.linalg.norm(force)), "force", seen.units)
        parts.append(f"{name}{' (both ends together)' if name == AXILLA_LOOP else ''} {size}")
    if not drawn:
        return f"The body hides the {middle} here, so the forces on the {middle} are not drawn: {joined(parts)}."
    return f"Arrows show the forces on the {middle}, to one scale; together they balance: {joined(parts)}."
