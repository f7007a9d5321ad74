"""An arm from the side with its cable: crossbar, housing, retainer, elbow, and the forces at both ends."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from controlkit.draw.device.mount import Mount
from controlkit.draw.device.terminal import cable_end, terminal_device
from controlkit.draw.page.curves import through
from controlkit.draw.page.labels import Note, cleared, dense, in_margins
from controlkit.draw.page.scene import Arrow, Dot, Frame, Item, Line, Points, Region, Scene
from controlkit.draw.page.solids import eye_of, far_to_near
from controlkit.draw.words.cable import STROKES, Stroke, at_device, route_words
from controlkit.draw.words.pull import Units, degrees
from controlkit.mechanics.body.outline import outlines, project
from controlkit.mechanics.body.places import joints
from controlkit.mechanics.body.pose import Pose
from controlkit.units import show

if TYPE_CHECKING:
    from controlkit.mechanics import SingleControl, Wearer
    from controlkit.mechanics.cable import CableLine

__all__ = ["housing_scene"]

_LONGEST = 0.11  # of the longer force arrow [m]
_TAIL = 0.055  # of cable drawn beyond the crossbar, towards the hanger [m]
_LEAN = float(np.deg2rad(30.0))  # of that piece, backward
_SLEEVE = 0.6  # share of a free cable that a loose housing is drawn over


@dataclass(frozen=True, eq=False, kw_only=True)
class _Placed:
    """Where cable and arm lie in the picture, the elbow axis at the origin."""

    run: Points
    hanger: Points
    wrist: Points
    flexion: float
    side: float


def housing_scene(
    line: CableLine,
    elbow_flexion: float,
    *,
    system: SingleControl,
    pull: float,
    stroke: Stroke = "pulling",
    pinned: CableLine | None = None,
    plain: bool = False,
    units: Units = "both",
) -> Scene:
    """Draw the cable's path past the elbow.

    Parameters
    ----------
    line : CableLine
        What the mechanics found for one elbow angle.
    elbow_flexion : float
        The angle that was asked for; a housing that is too short stops the elbow before [rad].
    system : SingleControl
        The system that was asked; it knows wearer and cable.
    pull : float
        Force at the harness [N].
    stroke : str
        "pulling" or "letting back".
    pinned : CableLine, optional
        The line of an earlier setting on the same arm, drawn grey.
    plain : bool
        Whether words shall be large enough for a picture 300 points high, with room for them on either side.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    Scene
        The drawing with its words.
    """
    wearer = system.harness.wearer
    reached = min(elbow_flexion, line.elbow_limit)
    side = 1.0 if wearer.amputated == "right" else -1.0
    frame = _frame(wearer, side, plain)
    arm, wrist = _arm(system, reached, frame)
    items: list[Item] = list(arm)
    turned = np.array([side, 1.0])
    run = line.points * turned
    if pinned is not None:
        items.append(Line(pinned.points * turned, "pinned", "pinned cable"))
    hanger = run[0] + _TAIL * np.array([-side * np.sin(_LEAN), np.cos(_LEAN)])
    held = system.cable.housing is not None and system.cable.housing.fixed
    cable = np.vstack([hanger, run, wrist]) if held else np.vstack([hanger, run])
    items.append(Line(cable, "cable", "cable"))
    if held:
        items.append(Line(run, "housing", "housing"))
        items.append(Dot(_at(run[-1]), 0.008, "hanger", "retainer"))
    elif system.cable.housing is not None:
        items.append(Line(_middle(run, _SLEEVE), "housing", "loose housing"))
    if not held:  # a bare cable still runs through it; a loose housing has come off it
        at = _end(system.arm_line.forearm, reached) + system.arm_line.forearm_offset * np.array(
            [np.cos(reached), np.sin(reached)]
        )
        items.append(Dot(_at(at * turned), 0.008, "hanger", "retainer"))
    bar = np.array([[-0.024, 0.0], [0.024, 0.0]])
    items.append(Line(run[0] + bar, "crossbar", "crossbar"))
    items.append(Dot((0.0, 0.0), 0.007, "ring", "elbow axis"))
    placed = _Placed(run=run, hanger=hanger, wrist=wrist, flexion=reached, side=side)
    notes = _notes(placed, held=held, housing=system.cable.housing is not None)
    if abs(line.elbow_arm) > 0.003:
        foot = _foot(run)
        items.append(Line(np.vstack([np.zeros(2), foot]), "now", "moment arm"))
        near = 0.5 * foot
        said = ("moment arm", show(abs(line.elbow_arm), "length", units))
        notes.append(Note(said, _at(near), "right" if side > 0 else "left"))
    items.extend(_forces(placed, line, pull=pull, stroke=stroke))
    front = "right" if side > 0 else "left"
    device = at_device(line, pull, stroke)
    notes.append(Note(("harness", show(pull, "force", units)), _at(hanger), "left" if side > 0 else "right"))
    notes.append(Note(("hook", show(device, "force", units)), _at(wrist), front))
    items.extend(cleared(in_margins(notes, frame), frame, dense(_edges(items), 0.3 * frame.text)))
    words = route_words(line, elbow_flexion, system, units)
    return Scene("Cable and housing at the elbow", f"{words} {STROKES[stroke]}", frame, tuple(items))


def _edges(items: list[Item]) -> list[Points]:
    """All that no words may cover."""
    lines = [item.points for item in items if isinstance(item, Line) and len(item.points) > 1]
    lines += [np.vstack([item.points, item.points[:1]]) for item in items if isinstance(item, Region)]
    return lines + [np.array([item.start, item.end]) for item in items if isinstance(item, Arrow)]


def _frame(wearer: Wearer, side: float, plain: bool) -> Frame:
    """Choose a window that depends on the wearer alone."""
    size = wearer.stature / 1.7
    behind, ahead, text = (0.42, 0.62, 0.031) if plain else (0.36, 0.56, 0.025)
    left, right = (-behind * size, ahead * size) if side > 0 else (-ahead * size, behind * size)
    return Frame(left, -0.46 * size, right, 0.31 * size, text=text * size)


def _at(point: Points) -> tuple[float, float]:
    return float(point[0]), float(point[1])


def _end(along: float, flexion: float) -> Points:
    """A point of the forearm's line, forward and upward of the elbow axis."""
    return along * np.array([np.sin(flexion), -np.cos(flexion)])


@lru_cache(maxsize=256)
def _arm(system: SingleControl, flexion: float, frame: Frame) -> tuple[tuple[Item, ...], Points]:
    """Draw upper arm, socket and hook, the elbow axis at the origin; tell where on the hook the cable ends."""
    wearer, device = system.harness.wearer, system.device
    pose = Pose(arm_abduction=0.0, elbow_flexion=flexion)
    where = joints(wearer, pose)
    elbow = project(where["elbow"], "side", wearer.amputated)
    parts = {part.name: part.points - elbow for part in outlines(wearer, pose, "side")}
    upper = parts["upper arm"]
    top = frame.top - 0.02
    upper = np.stack([upper[:, 0], np.minimum(upper[:, 1], top)], axis=1)
    eye = eye_of("side", wearer.amputated)
    out = where["device"] - where["wrist"]
    reach = float(np.linalg.norm(out))
    ahead = eye.flat(out) / reach  # the lever stands on that side of the forearm where the retainer is
    side = np.copysign(1.0, system.arm_line.forearm_offset) * (1.0 if wearer.amputated == "right" else -1.0)
    lever = side * (ahead[0] * eye.up - ahead[1] * eye.right)
    lever = lever - float(lever @ out) / reach**2 * out
    mount = Mount(
        where["wrist"] - where["elbow"], out / reach, lever / np.linalg.norm(lever), reach, arm=wearer.amputated
    )
    rest = 0.0 if device.opens else device.full_opening
    residual = parts["residual limb"]
    items = (
        Region(upper, "body", "upper arm"),
        Region(parts["socket"], "prosthesis", "forearm of the prosthesis"),
        Line(residual, "outline", "residual limb", closed=True, hidden=np.ones(len(residual), dtype=bool)),
        *far_to_near(terminal_device(device, mount, rest), eye),
    )
    return items, eye.flat(cable_end(device, mount, rest))


def _middle(run: Points, share: float) -> Points:
    """Cut the middle out of a line."""
    step = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(run, axis=0).T))])
    at = step[-1] * np.linspace(0.5 - share / 2, 0.5 + share / 2, 12)
    sag = 0.012 * np.sin(np.linspace(0.0, 2.0 * np.pi, 12))  # it hangs loose on the cable
    middle = np.stack([np.interp(at, step, run[:, 0]), np.interp(at, step, run[:, 1])], axis=1)
    heading = run[-1] - run[0]
    across = np.array([-heading[1], heading[0]]) / max(float(np.hypot(*heading)), 1e-9)
    return through(middle + 0.3 * sag[:, None] * across)


def _foot(run: Points) -> Points:
    """Foot of the perpendicular from the elbow axis to the piece of a free cable that passes it."""
    start, way = run[0], run[1] - run[0]
    return np.asarray(start - way * (start @ way) / (way @ way))


def _forces(placed: _Placed, line: CableLine, *, pull: float, stroke: Stroke) -> list[Item]:
    """Draw the pull at both ends to one scale, and which way the cable slides."""
    run = placed.run
    device = at_device(line, pull, stroke)
    most = max(pull, device, 1e-9)
    up = (placed.hanger - run[0]) / _TAIL
    out = _end(1.0, placed.flexion) * np.array([placed.side, 1.0])
    items: list[Item] = []
    for start, way, force, name in (
        (placed.hanger, up, pull, "pull of the harness"),
        (placed.wrist, out, device, "pull of the hook"),
    ):
        if force > 0.02 * most:
            items.append(Arrow(_at(start), _at(start + way * _LONGEST * force / most), "force", name))
    half = len(run) // 2
    here, heading = 0.5 * (run[half] + run[half - 1]), run[half - 1] - run[half]
    heading = heading / max(float(np.hypot(*heading)), 1e-9) * (1.0 if stroke == "pulling" else -1.0)
    aside = np.array([-heading[1], heading[0]])
    aside *= 0.022 * np.sign(aside @ here or 1.0)
    tail = here + aside - 0.03 * heading
    items.append(Arrow(_at(tail), _at(tail + 0.06 * heading), "slides", "the cable slides this way"))
    return items


def _notes(placed: _Placed, *, held: bool, housing: bool) -> list[Note]:
    run, flexion = placed.run, placed.flexion
    behind, ahead = ("left", "right") if placed.side > 0 else ("right", "left")
    half = len(run) // 2
    middle = 0.5 * (run[half] + run[half - 1])
    notes = [
        Note(("crossbar",), _at(run[0]), behind),
        Note(("elbow", degrees(round(flexion, 4))), (0.0, 0.0), behind),
    ]
    if held:
        notes.append(Note(("housing",), _at(run[2 * len(run) // 5]), behind))
        notes.append(Note(("retainer",), _at(run[-1]), behind if flexion < 1.0 else ahead))
    else:
        notes.append(Note(("loose housing",) if housing else ("free cable",), _at(middle), ahead))
    return notes
