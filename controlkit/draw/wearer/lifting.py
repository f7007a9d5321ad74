"""Dual control from the side: the cable across the elbow, its lever, the weight that it lifts, lock and stop."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal, get_args

import numpy as np

from controlkit.draw.gear.arm import Arm
from controlkit.draw.gear.humeral import HELD, Gap, forward
from controlkit.draw.page.labels import Note, cleared, dense, in_margins
from controlkit.draw.page.scene import Arrow, Dot, Frame, Item, Line, Points, Region, Ribbon, Scene
from controlkit.draw.wearer.above_elbow import ElbowFit, above_elbow
from controlkit.draw.wearer.at_wrist import at_wrist
from controlkit.draw.wearer.seen import SeenArm
from controlkit.draw.words.dual import Lifting, lift_words, lock_word, near_words
from controlkit.draw.words.pull import Units, degrees
from controlkit.mechanics.body.placed import to_right
from controlkit.mechanics.body.pose import Pose
from controlkit.mechanics.elbow import ElbowLock
from controlkit.mechanics.harness.route import bodies_of, crossbar_point
from controlkit.mechanics.inputs import kind, within
from controlkit.units import InputError, show

if TYPE_CHECKING:
    from controlkit.mechanics import DualControl

__all__ = ["elbow_plane", "lift_scene"]

Window = Literal["labelled", "plain", "near"]
"""How much of the arm a picture shows."""
_NEAR = {"moment arm", "lift force", "end of the", "lift loop", "elbow axis"}  # what is named in a picture of the elbow
_LETTERS = 0.036  # height of their letters, share of the picture's width [-]
_BEYOND = 0.030  # of the cable's line, drawn on beyond the foot of the perpendicular [m]
_SQUARE = 0.010  # side of the mark of the right angle [m]
_LEAST = 0.002  # of a lever that is drawn [m]
_LONGEST, _NEWTON = 0.15, 0.0028  # of the longer force's arrow, and of one newton if that is not longer [m]
_SHORTEST = 0.030  # of a force's arrow, so that a light forearm's can be seen [m]
_BESIDE = 0.013  # from the cable to the arrow of its pull [m]
_ARC, _TICK = 0.118, 0.008  # radius of the arc of elbow angles, and half the length of its ticks [m]
_PAWL = 0.017, 0.007, 0.006  # of the sign of the lock: its length and half breadth, and how far off it stands [m]


@dataclass(frozen=True, eq=False, kw_only=True)
class _Plane:
    """Where things lie in the plane of the elbow.

    Parameters
    ----------
    axis, up, front, along, ahead : numpy.ndarray
        The elbow's axis [m], up the upper arm and forward of it, along the forearm and forward of it [-], shape (2,).
    """

    axis: Points
    up: Points
    front: Points
    along: Points
    ahead: Points

    def at(self, angle: float, far: float) -> Points:
        """A place round the axis, by the elbow angle at which the forearm would point there."""
        return np.asarray(self.axis + far * (np.sin(angle) * self.front - np.cos(angle) * self.up))


def lift_scene(
    lifting: Lifting,
    *,
    locked: bool = False,
    lock: ElbowLock | None = None,
    opening: float = 0.0,
    window: Window = "labelled",
    units: Units = "both",
) -> Scene:
    """Draw what lifts the forearm at one elbow angle, from the side of the prosthesis.

    Parameters
    ----------
    lifting : Lifting
        The system, what it found, and which elbow angle of it is drawn.
    locked : bool
        Whether the elbow is locked.
    lock : ElbowLock, optional
        Its positions are marked, if it is given.
    opening : float
        Distance of the device's fingertips [m].
    window : str
        "labelled"; "plain", the whole of it without words; or "near", the elbow alone, with words.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    Scene
        The drawing with its words. The elbow's axis stays in its place; the upper arm is drawn as far forward as the
        control motion has brought it.

    Raises
    ------
    InputError
        If something is of another kind or outside its range, in words that say which.
    """
    kind("The lifting", lifting, Lifting, "Lifting(system=system, lifted=system.lift(), at=0)")
    if lock is not None:
        kind("The lock", lock, ElbowLock, "ElbowLock.evenly(11)")
    if window not in get_args(Window):
        allowed = ", ".join(f'"{one}"' for one in get_args(Window))
        raise InputError(given=f"The window was given as {window!r}.", do=f"Give one of {allowed}.")
    system, wearer = lifting.system, lifting.system.harness.wearer
    within("The opening", opening, 0.0, system.device.full_opening, example="mm(30)", of="length")
    seen, axis = elbow_plane(system, arm_flexion=lifting.inclination, elbow_flexion=lifting.elbow_flexion)
    arm, flat = seen.arm, seen.bare.flat
    plane = _Plane(
        axis=axis,
        up=flat(-arm.along),
        front=flat(forward(arm)),
        along=flat(arm.heading),
        ahead=flat(arm.volar),
    )
    side = 1.0 if wearer.amputated == "right" else -1.0
    frame = _frame(arm, plane.axis, side) if window == "labelled" else _close(arm, plane.axis, side, window=window)
    held: tuple[Sequence[Item], Sequence[Item]] = (), ()
    if window != "near":
        held = at_wrist(arm, seen.bare, system.device, amputated=wearer.amputated, opening=opening, held=HELD)
    limb = _residual(arm, wearer.residual_share, seen)
    items: list[Item] = [*held[0], *seen.over, *held[1], limb]
    items += _arc(plane, lifting, locked=locked, lock=lock)
    notes = _gap(plane, lifting, side, units, items=items)
    if not locked:
        notes += _pull(plane, lifting, side, units, items=items)
    weight = _weight(plane, lifting, side, units, items=items)
    named = _named(seen, plane, lifting, side, limb=limb, locked=locked)
    if window == "near":
        notes = [note for note in (*notes, *named) if note.lines[0] in _NEAR]
    else:
        notes += [*weight, *named]
    if lock is not None:
        said = f"{len(lock.positions)} positions", "of the lock"
        notes.append(Note(said, _at(plane.at(lock.positions[-1], _ARC)), "right" if side > 0.0 else "left"))
    if window != "plain":
        items.extend(cleared(in_margins(notes, frame), frame, dense(_edges(items), 0.3 * frame.text)))
    if window == "near":
        return Scene("The elbow, close to", near_words(lifting, units), frame, tuple(items))
    words = lift_words(lifting, locked=locked, lock=lock, units=units)
    return Scene("Lifting the forearm, from the side", words, frame, tuple(items))


def elbow_plane(system: DualControl, *, arm_flexion: float, elbow_flexion: float) -> tuple[SeenArm, Points]:
    """Draw the arm alone, its elbow bending in the plane of the picture, from the side of the prosthesis.

    Parameters
    ----------
    system : DualControl
        The system.
    arm_flexion, elbow_flexion : float
        Angles of upper arm and elbow [rad].

    Returns
    -------
    tuple
        The arm, and where in the picture its elbow's axis lies, shape (2,) [m].
    """
    wearer, line = system.harness.wearer, system.line
    pose = Pose(arm_abduction=0.0, arm_flexion=arm_flexion, elbow_flexion=elbow_flexion)
    bodies = bodies_of(wearer, (pose,))
    bar = to_right(crossbar_point(bodies.posed, bodies.upper_arm, system.harness.crossbar)[0], wearer.amputated)
    gap = Gap(
        end_above=line.end_above, end_ahead=line.end_ahead, loop_along=line.loop_along, loop_ahead=line.loop_ahead
    )
    seen = above_elbow(wearer, pose, "side", ElbowFit(crossbar=bar.tobytes(), gap=gap))
    return seen, seen.bare.flat(seen.arm.elbow)


def _frame(arm: Arm, axis: Points, side: float) -> Frame:
    """Choose a window round the elbow's axis that depends on the wearer alone."""
    reach = float(np.linalg.norm(arm.tip - arm.elbow))
    behind, ahead = 0.72 * reach + 0.20, reach + 0.16
    left, right = (behind, ahead) if side > 0.0 else (ahead, behind)
    x, y = float(axis[0]), float(axis[1])
    return Frame(x - left, y - reach - 0.02, x + right, y + reach + 0.02, text=0.0285 * (left + right))


def _close(arm: Arm, axis: Points, side: float, *, window: Window) -> Frame:
    """Choose a window with the axis in one place: about the whole arm in any pose, or about the elbow alone."""
    reach = float(np.linalg.norm(arm.tip - arm.elbow))
    plain = window == "plain"
    behind, ahead, tall = (0.80 * reach, reach + 0.02, reach + 0.02) if plain else (0.20, 0.20, 0.155)
    left, right = (behind, ahead) if side > 0.0 else (ahead, behind)
    x, y = float(axis[0]), float(axis[1])
    return Frame(x - left, y - tall, x + right, y + tall, text=_LETTERS * (left + right))


def _residual(arm: Arm, share: float, seen: SeenArm) -> Line:
    """The residual limb inside its socket, dashed."""
    radius = 0.82 * arm.size
    ends = seen.bare.flat(arm.shoulder + np.outer([0.30, share - radius / arm.length], arm.length * arm.along))
    along = (ends[1] - ends[0]) / max(float(np.hypot(*(ends[1] - ends[0]))), 1e-9)
    across = np.array([-along[1], along[0]])
    turn = np.linspace(-0.5 * np.pi, 0.5 * np.pi, 15)[:, None]
    end = ends[1] + radius * (np.cos(turn) * along + np.sin(turn) * across)
    points = np.vstack([ends[0] - radius * across, end, ends[0] + radius * across])
    return Line(points, "outline", "residual limb", hidden=np.ones(len(points), dtype=bool))


def _arc(plane: _Plane, lifting: Lifting, *, locked: bool, lock: ElbowLock | None) -> list[Item]:
    """The arc of elbow angles with the lock's positions, the stop on which the forearm hangs, and the lock's sign."""
    low, high = lifting.system.hangs_at, max(lifting.elbow_flexion, lifting.highest)
    turn = np.linspace(low, high, 40)
    items: list[Item] = [Line(np.array([plane.at(angle, _ARC) for angle in turn]), "axis", "arc of elbow angles")]
    for angle in () if lock is None else lock.positions:
        tick = np.array([plane.at(angle, _ARC - _TICK), plane.at(angle, _ARC + _TICK)])
        items.append(Line(tick, "axis", "position of the lock"))
    stop = np.array(
        [
            plane.at(low, _ARC - 2.0 * _TICK),
            plane.at(low, _ARC + 2.0 * _TICK),
            plane.at(low - 0.09, _ARC + 2.0 * _TICK),
            plane.at(low - 0.09, _ARC - 2.0 * _TICK),
        ]
    )
    items.append(Region(stop, "landmark", "pre-flexion stop"))
    long, half, off = _PAWL
    near = _ARC + (0.0 if locked else off + _TICK)
    tip = plane.at(lifting.elbow_flexion, near)
    back = plane.at(lifting.elbow_flexion, near + long)
    across = (tip - back) @ np.array([[0.0, 1.0], [-1.0, 0.0]]) / long
    pawl = np.array([tip, back + half * across, back - half * across])
    name = f"sign of the lock, {lock_word(locked)}"
    items.append(Region(pawl, "landmark" if locked else "body", name))
    return items


def _cable(plane: _Plane, lifting: Lifting) -> tuple[Points, Points, Points, Points]:
    """End of the housing, lift loop, the way from the loop to the end, and the foot of the perpendicular on it."""
    line = lifting.system.line
    end = plane.axis + line.end_above * plane.up + line.end_ahead * plane.front
    loop = plane.axis + line.loop_along * plane.along + line.loop_ahead * plane.ahead
    way = (end - loop) / max(float(np.hypot(*(end - loop))), 1e-9)
    return end, loop, way, loop + way * float((plane.axis - loop) @ way)


def _gap(plane: _Plane, lifting: Lifting, side: float, units: Units, *, items: list[Item]) -> list[Note]:
    """The bare cable as a straight line, and the perpendicular on it from the axis."""
    end, loop, way, foot = _cable(plane, lifting)
    outer = foot + _BEYOND * np.copysign(1.0, float((foot - loop) @ way)) * way
    ends = np.vstack([end, loop, foot, outer])
    order = np.argsort((ends - loop) @ way)
    items.append(Line(ends[[order[0], order[-1]]], "line of pull", "line of the cable"))
    if abs(lifting.moment_arm) < _LEAST:
        return []
    square = (foot - plane.axis) / float(np.hypot(*(foot - plane.axis)))
    inward = np.copysign(_SQUARE, float((loop - foot) @ way)) * way
    corner = foot - _SQUARE * square
    items.append(Line(np.stack([plane.axis, foot]), "moment arm", "moment arm"))
    items.append(Line(np.stack([corner, corner + inward, foot + inward]), "axis", "right angle"))
    said = "moment arm", show(abs(lifting.moment_arm), "length", units, 0)
    return [Note(said, _at(0.5 * (plane.axis + foot)), "left" if side > 0.0 else "right")]


def _pull(plane: _Plane, lifting: Lifting, side: float, units: Units, *, items: list[Item]) -> list[Note]:
    """What the cable pulls the loop with, drawn beside it, away from the axis."""
    if not 0.0 < lifting.lift_force < np.inf:
        return []
    _, loop, way, _ = _cable(plane, lifting)
    aside = np.array([way[1], -way[0]])
    start = loop + np.copysign(_BESIDE, float((loop - plane.axis) @ aside)) * aside
    tip = start + _long(lifting, lifting.lift_force) * way
    items.append(Arrow(_at(start), _at(tip), "force", "lift force"))
    said = "lift force", show(lifting.lift_force, "force", units, 0)
    return [Note(said, _at(tip), "right" if side > 0.0 else "left")]


def _long(lifting: Lifting, force: float) -> float:
    """Length of a force's arrow, to one scale but for the smallest [m]."""
    most = lifting.weight if not np.isfinite(lifting.lift_force) else max(lifting.lift_force, lifting.weight)
    return max(force * min(_NEWTON, _LONGEST / most), _SHORTEST)


def _weight(plane: _Plane, lifting: Lifting, side: float, units: Units, *, items: list[Item]) -> list[Note]:
    """The weight at its centre, and how far its line passes the axis."""
    centre = plane.axis + lifting.centre * plane.along
    level = np.array([centre[0], plane.axis[1]])
    items.append(Line(np.stack([plane.axis, level]), "now", "lever of the weight"))
    items.append(Line(np.stack([level, centre]), "now", "line of the weight"))
    items.append(Dot(_at(centre), 0.0055, "landmark", "centre of weight"))
    tip = centre - [0.0, _long(lifting, lifting.weight)]
    items.append(Arrow(_at(centre), _at(tip), "force", "weight of forearm and load"))
    ahead = "right" if side > 0.0 else "left"
    turns = "extends with" if lifting.moment >= 0.0 else "flexes with"
    said = "weight", show(lifting.weight, "force", units), turns, show(abs(lifting.moment), "moment", units)
    return [Note(said, _at(tip), ahead)]


def _named(seen: SeenArm, plane: _Plane, lifting: Lifting, side: float, *, limb: Line, locked: bool) -> list[Note]:
    ahead, behind = ("right", "left") if side > 0.0 else ("left", "right")
    words = {
        "end of the housing": ("end of the", "housing"),
        "lift loop": ("lift loop",),
        "base plate": ("base plate",),
        "turntable": ("turntable",),
    }
    margins = {"end of the housing": ahead, "lift loop": ahead}
    notes = [
        Note(lines, spot, margins.get(part, behind))
        for part, lines in words.items()
        if (spot := seen.place(part)) is not None
    ]
    lock = "lock on" if locked else "lock off"
    where = plane.at(lifting.elbow_flexion, _ARC + _PAWL[0])
    notes.append(Note((f"elbow {degrees(round(lifting.elbow_flexion, 4))},", lock), _at(where), ahead))
    stop = plane.at(lifting.system.hangs_at - 0.045, _ARC)
    notes.append(Note(("stop at", degrees(round(lifting.system.hangs_at, 4))), _at(stop), behind))
    notes.append(Note(("elbow axis",), _at(plane.axis), behind))
    notes.append(Note(("residual", "limb"), _at(limb.points[len(limb.points) // 2]), behind))
    return notes


def _edges(items: list[Item]) -> list[Points]:
    """All that no words may cover."""
    lines: list[Points] = []
    for item in items:
        if isinstance(item, Ribbon):
            lines += [item.points + share * item.across for share in (-1.0, 0.0, 1.0)]
        elif isinstance(item, Line) and len(item.points) > 1:
            lines.append(item.points)
        elif isinstance(item, Region):
            lines.append(np.vstack([item.points, item.points[:1]]))
        elif isinstance(item, Arrow):
            lines.append(np.array([item.start, item.end]))
    return lines


def _at(point: Points) -> tuple[float, float]:
    return float(point[0]), float(point[1])
