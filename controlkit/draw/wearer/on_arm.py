"""What is fixed to the amputated side's arm, drawn once for a pose: pad, hinges, socket, crossbar, cable and device."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING, Literal

import numpy as np

from controlkit.draw.gear.arm import Arm, arm_of
from controlkit.draw.gear.cable import cable_way, retainer
from controlkit.draw.gear.cuff import band_grid, hinge_joints, hinge_lines, hinge_starts, leather, pad_grid
from controlkit.draw.gear.metal import base_plate
from controlkit.draw.gear.sight import Asks, Panel, Sight, at_once, disc, hull
from controlkit.draw.gear.socket import shell_grid, socket_rings
from controlkit.draw.gear.webbing import Web, ribbon
from controlkit.draw.page.scene import Dot, Item, Line, Points, Region
from controlkit.draw.page.shapes import runs
from controlkit.draw.wearer.posed import covered, posed_joints
from controlkit.draw.wearer.seen import Place, SeenArm
from controlkit.draw.words.pull import View
from controlkit.mechanics.body.outline import directions
from controlkit.mechanics.body.places import on_skin

if TYPE_CHECKING:
    from controlkit.mechanics import Pose, Wearer

__all__ = ["ArmFit", "Hinges", "behind_socket", "on_arm", "sight_of"]

Hinges = Literal["flexible", "rigid"]

_CROSSBAR = 0.030  # half the length of the drawn crossbar [m]
_RIGHT_ANGLE = 0.5 * np.pi


@dataclass(frozen=True, kw_only=True)
class ArmFit:
    """What a drawing of the arm depends on besides wearer, pose and view.

    Parameters
    ----------
    crossbar : bytes
        Where the control strap ends, three numbers, ISB axes [m].
    level : float
        How far down the upper arm the pad's front strap lies; none where it is negative [m].
    held : float
        From the elbow's axis to the retainer along the forearm [m].
    housing : str
        "held", "loose" or "none".
    hinges : str
        "flexible" or "rigid".
    """

    crossbar: bytes
    level: float
    held: float
    housing: str
    hinges: Hinges


def sight_of(wearer: Wearer, pose: Pose, view: View, arm: Arm | None = None) -> Sight:
    """See a posed body; the forearm of the prosthesis hides, too, once the arm is known."""
    right, towards = directions(view, wearer.amputated)

    def hides(points: Points) -> np.ndarray:
        behind = covered(wearer, pose, np.ascontiguousarray(points), view)
        return behind if arm is None else behind | arm.behind_socket(points, towards)

    return Sight(right=right, towards=towards, hides=hides)


@lru_cache(maxsize=64)
def on_arm(wearer: Wearer, pose: Pose, view: View, fitted: ArmFit) -> SeenArm:
    """Draw what is fixed to the arm.

    Parameters
    ----------
    wearer : Wearer
        The wearer.
    pose : Pose
        The pose.
    view : str or float
        From where [rad].
    fitted : ArmFit
        What else it depends on.

    Returns
    -------
    SeenArm
        Items in drawing order, and where each part can be seen.
    """
    bar = np.frombuffer(fitted.crossbar)
    joints, bent = (
        _dragged(posed_joints(wearer, one), pose) for one in (pose, replace(pose, elbow_flexion=_RIGHT_ANGLE))
    )
    arm = arm_of(joints, bent["wrist"], bar, wearer.amputated)
    bare, sight = sight_of(wearer, pose, view), sight_of(wearer, pose, view, arm)

    band = band_grid(arm, sight, fitted.level)[: None if fitted.level >= 0.0 else 0]
    grids = band, pad_grid(arm, sight), hinge_starts(arm)
    laid = np.split(on_skin(wearer, pose, np.vstack([grid.reshape(-1, 3) for grid in grids])), _ends(grids))
    band, pad, starts = (on.reshape(grid.shape) for on, grid in zip(laid, grids, strict=True))
    under: list[Item] = []
    over: list[Item] = []
    spots: dict[str, Place | None] = {}
    behind = [
        _pad(sight, leather(arm, band), leather(arm, pad), over=over, spots=spots),
        _hinges(arm, sight, starts, fitted.hinges, over=over, spots=spots),
        _cable(arm, sight, fitted, bar, over=over, spots=spots),
    ]
    at_once(
        bare,
        _socket(arm, bare, under, over, spots=spots),
        *(behind_socket(part, arm, bare.towards) for part in behind),
    )
    return SeenArm(arm=arm, sight=sight, bare=bare, under=tuple(under), over=tuple(over), spots=spots)


def _dragged(joints: dict[str, Points], pose: Pose) -> dict[str, Points]:
    """Joints of the prosthesis where the socket has been dragged down the limb."""
    along = joints["elbow"] - joints["shoulder"]
    down = pose.socket_slip / float(np.linalg.norm(along)) * along
    return {name: place + down if name in ("elbow", "wrist", "device") else place for name, place in joints.items()}


def behind_socket(part: Asks, arm: Arm, towards: Points) -> Asks:
    """Draw a part that the forearm of the prosthesis hides, too, seen by one who does not know of it."""
    points = next(part)
    hidden = yield points
    with suppress(StopIteration):
        part.send(hidden | arm.behind_socket(points, towards))


def _ends(grids: Sequence[Points]) -> Points:
    """Where each of some grids ends in one list of all their points, but for the last."""
    return np.cumsum([grid.size // 3 for grid in grids])[:-1]


def _middle(sheet: Panel) -> Place | None:
    """The middle of what can be seen of a sheet."""
    shown = sheet.flat[~sheet.hidden]
    if len(shown) < 6:
        return None
    near = shown[np.argmin(((shown - shown.mean(axis=0)) ** 2).sum(axis=1))]
    return float(near[0]), float(near[1])


def _socket(arm: Arm, sight: Sight, under: list[Item], over: list[Item], *, spots: dict[str, Place | None]) -> Asks:
    grid, rings = shell_grid(arm, sight)
    rim = disc(arm.wrist, arm.heading, float(arm.radius(1.0)))
    hidden = yield np.vstack([grid.reshape(-1, 3), rings.reshape(-1, 3), rim + 0.01 * arm.heading])
    shell, ringed, rimmed = np.split(hidden, _ends((grid, rings, rim)))
    sheet = Panel(sight.flat(grid), shell.reshape(grid.shape[:2]))
    if sheet.hidden.any() or float(arm.heading @ sight.towards) < -0.3:  # the body's own edge cuts it off
        under.append(Region(hull(sight.flat(socket_rings(arm))), "prosthesis", "far side of the socket"))
    over.extend(sheet.regions("shell", "socket"))
    rows = sheet.hidden.shape[1]
    low = sheet.flat[:, 0, 1].mean() < sheet.flat[:, -1, 1].mean()
    dark = np.s_[:, : rows // 3] if low else np.s_[:, rows - rows // 3 :]  # the side away from the light
    over.extend(Panel(sheet.flat[dark], sheet.hidden[dark]).regions("shell shade", "shade of the socket"))
    over.extend(sheet.edges("shell edge", "socket"))
    if float(arm.heading @ sight.towards) > 0.03 and not rimmed.any():
        over.append(Region(sight.flat(rim), "prosthesis", "end of the socket"))
    for ring, behind in zip(sight.flat(rings), ringed.reshape(rings.shape[:2]), strict=True):
        over.extend(Line(ring[a : b + 1], "lamination", "lamination") for a, b, gone in runs(behind) if not gone)
    spots["socket"] = _middle(sheet)


def _pad(sight: Sight, band: Points, pad: Points, *, over: list[Item], spots: dict[str, Place | None]) -> Asks:
    hidden = yield np.vstack([band.reshape(-1, 3), pad.reshape(-1, 3)])
    own = np.split(hidden, [band.size // 3])
    sheets = [Panel(sight.flat(grid), out.reshape(grid.shape[:2])) for grid, out in zip((band, pad), own, strict=True)]
    for sheet, name in zip(sheets, ("band of the pad", "triceps pad"), strict=True):
        if not len(sheet.flat):
            continue
        over.extend(sheet.regions("leather", name))
        over.extend(sheet.edges("leather edge", name, dashed=False))
    if len(pad):
        over.extend(sheets[1].within(0.12).edges("stitch", "stitches", dashed=False))
    spots["triceps pad"] = _middle(sheets[1])


def _hinges(
    arm: Arm, sight: Sight, starts: Points, kind: Hinges, *, over: list[Item], spots: dict[str, Place | None]
) -> Asks:
    rigid = kind == "rigid"
    style = "hinge bar" if rigid else "hinge"
    spots["hinges"] = None
    lines = hinge_lines(arm, starts, rigid)
    joints = hinge_joints(arm, lines) if rigid else [arm.elbow[None]] * len(lines)
    parts = [*(line for line, _ in lines), *joints]
    told = np.split((yield np.vstack(parts)), _ends(parts))
    webs = [Web(line, across, under) for (line, across), under in zip(lines, told[: len(lines)], strict=True)]
    both = zip(webs, joints, told[len(lines) :], strict=True)
    for web, joint, behind in sorted(both, key=lambda one: -int(one[0].hidden.sum())):
        over.append(ribbon(web, sight, style, "hinge"))
        for share in (0.03, 0.97):
            point, *_, out_of_sight = web.at(share * float(web.along[-1]))
            if not out_of_sight:
                over.append(Dot(_place(sight, point), 0.0024, "rivet", "rivet"))
        if rigid and not behind.any():
            over.append(Region(sight.flat(joint), "plate", "joint of the hinge"))
            over.append(Dot(_place(sight, joint.mean(axis=0)), 0.003, "rivet", "axis of the hinge"))
        seen = np.flatnonzero(~web.hidden)
        if len(seen) > 3:
            spots["hinges"] = _place(sight, web.space[seen[len(seen) // 3]])


def _cable(
    arm: Arm, sight: Sight, fitted: ArmFit, bar: Points, *, over: list[Item], spots: dict[str, Place | None]
) -> Asks:
    housing, _ = cable_way(arm, bar, arm.held(fitted.held), arm.tip)
    held, way = retainer(arm, arm.held(fitted.held))
    cross = bar + 0.008 * arm.out + np.linspace(-_CROSSBAR, _CROSSBAR, 9)[:, None] * arm.across
    hidden = yield np.vstack([housing, cross, held[None]])
    sheathed, barred, gone = np.split(hidden, _ends((housing, cross, held)))
    if not barred[4]:
        over.extend(base_plate(bar + 0.005 * arm.out, arm.along, arm.out, sight))
    if not gone[0]:
        over.extend(base_plate(held + 0.002 * way, arm.heading, way, sight))
    if fitted.housing == "held":
        over.append(Line(sight.flat(housing), "housing", "housing", hidden=sheathed))
    else:
        over.append(Line(sight.flat(housing), "cable", "cable past the elbow", hidden=sheathed))
    if fitted.housing == "loose":
        sleeve = slice(len(housing) // 5, 4 * len(housing) // 5)
        over.append(Line(sight.flat(housing[sleeve]), "housing", "loose housing", hidden=sheathed[sleeve]))
    if not gone[0]:
        side = 0.011 * np.cross(arm.heading, way)
        clip = held + 0.008 * way + np.array([-side, side])
        over.append(Line(sight.flat(clip), "wire", "retainer"))
    over.append(Line(sight.flat(cross), "crossbar", "crossbar", hidden=barred))
    spots["crossbar"] = None if barred[4] else _place(sight, cross[4])
    seen = np.flatnonzero(~sheathed)
    spots["cable and housing"] = _place(sight, housing[seen[len(seen) // 2]]) if len(seen) else None


def _place(sight: Sight, point: Points) -> Place:
    x, y = sight.flat(point).tolist()
    return x, y
