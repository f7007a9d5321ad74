"""What is fixed to the arm above the elbow: humeral socket, elbow unit, forearm shell, split housing, lift loop."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from controlkit.draw.gear.arm import Arm, arm_of
from controlkit.draw.gear.humeral import (
    Gap,
    Lay,
    Split,
    elbow_grid,
    elbow_unit,
    forearm_grid,
    humeral_grid,
    pivots,
    split_housing,
    turntable_grid,
)
from controlkit.draw.gear.metal import base_plate
from controlkit.draw.gear.sight import Asks, Panel, Sight, at_once, disc, unit
from controlkit.draw.page.scene import Item, Line, Points, Region
from controlkit.draw.page.solids import Viewpoint, seen
from controlkit.draw.wearer.on_arm import behind_socket, sight_of
from controlkit.draw.wearer.posed import posed_joints
from controlkit.draw.wearer.seen import Place, SeenArm
from controlkit.draw.words.pull import View
from controlkit.mechanics.body.places import on_skin

if TYPE_CHECKING:
    from controlkit.mechanics import Pose, Wearer

__all__ = ["ElbowFit", "above_elbow"]

_CROSSBAR = 0.022  # half the length of the drawn crossbar [m]
_FERRULE = 0.013  # at the end of a housing [m]
_RIGHT_ANGLE = 0.5 * np.pi
_BROAD = ("humeral socket", "turntable", "elbow unit", "forearm shell")
_STANDS_OFF = (
    0.3  # of elbow unit and shell towards the viewer, when it is asked what hides them: no part of the arm [-]
)
_CLOSED = 0.004  # between the edges of a sheet that goes all round [m]
_AWAY = -0.03  # heading so far from the viewer, the forearm stands behind the upper arm [-]


@dataclass(frozen=True, kw_only=True)
class ElbowFit:
    """What a drawing of the arm depends on besides wearer, pose and view.

    Parameters
    ----------
    crossbar : bytes
        Where the control strap ends, three numbers, ISB axes [m].
    gap : Gap
        Where the housing ends and the lift loop sits.
    """

    crossbar: bytes
    gap: Gap


@lru_cache(maxsize=64)
def above_elbow(wearer: Wearer, pose: Pose, view: View, fitted: ElbowFit) -> SeenArm:
    """Draw what is fixed to the arm.

    Parameters
    ----------
    wearer : Wearer
        The wearer.
    pose : Pose
        The pose.
    view : str or float
        From where [rad].
    fitted : ElbowFit
        What else it depends on.

    Returns
    -------
    SeenArm
        Items in drawing order, and where each part can be seen.
    """
    bar = np.frombuffer(fitted.crossbar)
    bent = posed_joints(wearer, replace(pose, elbow_flexion=_RIGHT_ANGLE))["wrist"]
    arm = arm_of(posed_joints(wearer, pose), bent, bar, wearer.amputated)
    bare, sight = sight_of(wearer, pose, view), sight_of(wearer, pose, view, arm)

    def lay(points: Points) -> Points:
        return on_skin(wearer, pose, points)

    under: list[Item] = []
    socket: list[Item] = []
    elbow: list[Item] = []
    shell: list[Item] = []
    fixed: list[Item] = []
    spots: dict[str, Place | None] = {}
    parts = (
        _humeral(arm, bare, lay, over=socket),
        _elbow(arm, bare, under=under, over=elbow),
        _forearm(arm, bare, under=under, over=shell),
        behind_socket(_cable(arm, sight, bar, fitted.gap, over=fixed, spots=spots), arm, bare.towards),
    )
    at_once(bare, *parts)
    upper = (*elbow, *socket) if _away(arm.along, sight) else (*socket, *elbow)
    over = (*shell, *upper, *fixed) if _away(arm.heading, sight) else (*upper, *shell, *fixed)
    return SeenArm(arm=arm, sight=sight, bare=bare, under=tuple(under), over=over, spots=spots, broad=_BROAD)


def _away(way: Points, sight: Sight) -> bool:
    """Whether a way leads off from the viewer."""
    return float(way @ sight.towards) < _AWAY


def _sheet(grid: Points, sight: Sight, hidden: np.ndarray) -> Panel:
    return Panel(sight.flat(grid), hidden.reshape(grid.shape[:2]))


def _shaded(sheet: Panel, grid: Points, name: str) -> list[Item]:
    """A laminated shell, darker on the side away from the light, which comes from above and ahead."""
    items: list[Item] = [*sheet.regions("shell", name)]
    if float(np.linalg.norm(grid[-1, 0] - grid[-1, -1])) < _CLOSED:  # seen from its end, all round
        return [*items, *sheet.edges("shell edge", name, sides="ab")]
    rows = sheet.hidden.shape[1]
    middle = grid.mean(axis=(0, 1))
    across = [unit(grid[:, row].mean(axis=0) - middle) for row in (0, -1)]
    light = [float(way @ [0.35, 1.0, 0.0]) for way in across]
    dark = np.s_[:, : rows // 3] if light[0] < light[1] else np.s_[:, rows - rows // 3 :]
    items.extend(Panel(sheet.flat[dark], sheet.hidden[dark]).regions("shell shade", f"shade of the {name}"))
    return [*items, *sheet.edges("shell edge", name)]


def _humeral(arm: Arm, sight: Sight, lay: Lay, *, over: list[Item]) -> Asks:
    grid = humeral_grid(arm, sight, lay)
    hidden = yield grid.reshape(-1, 3)
    sheet = _sheet(grid, sight, hidden)
    over.extend(_shaded(sheet, grid, "humeral socket"))


def _elbow(arm: Arm, sight: Sight, *, under: list[Item], over: list[Item]) -> Asks:
    ring, grid = turntable_grid(arm, sight), elbow_grid(arm, sight)
    hidden = yield np.vstack([ring.reshape(-1, 3), grid.reshape(-1, 3) + _STANDS_OFF * arm.size * sight.towards])
    ringed, own = np.split(hidden, [ring.shape[0] * ring.shape[1]])
    table, sheet = _sheet(ring, sight, ringed), _sheet(grid, sight, own)
    whole = seen(elbow_unit(arm), Viewpoint(sight.right, np.array([0.0, 1.0, 0.0]), sight.towards))
    turning: list[Item] = [*table.regions("metal", "turntable"), *table.edges("shell edge", "turntable", dashed=False)]
    unit_: list[Item] = [*sheet.regions("cuff", "elbow unit")] if own.any() else [*whole]
    if own.any():
        under.extend(whole)
    first, last = (unit_, turning) if _away(arm.along, sight) else (turning, unit_)
    over.extend(first)
    over.extend(last)


def _forearm(arm: Arm, sight: Sight, *, under: list[Item], over: list[Item]) -> Asks:
    grid, inside = forearm_grid(arm, sight), forearm_grid(arm, replace(sight, towards=-sight.towards))
    bolts = pivots(arm)
    rim = disc(arm.wrist, arm.heading, float(arm.radius(1.0)))
    middles = np.stack([bolt.points.mean(axis=0) for bolt in bolts])
    parts = [
        grid.reshape(-1, 3) + _STANDS_OFF * arm.size * sight.towards,
        inside.reshape(-1, 3),
        middles,
        rim + 0.01 * arm.heading,
    ]
    hidden = yield np.vstack(parts)
    own, farther, bolted, ended = np.split(hidden, np.cumsum([len(part) for part in parts])[:-1])
    sheet = _sheet(grid, sight, own)
    if sheet.hidden.any():  # the body's own edge cuts it off
        under.extend(_sheet(grid, sight, np.zeros(len(own), dtype=bool)).regions("prosthesis", "forearm shell"))
    if _away(arm.heading, sight):
        far = _sheet(inside, sight, farther)
        over.extend(far.regions("shell shade", "inside of the forearm shell"))
        over.extend(far.edges("shell edge", "far edge", dashed=False))
    over.extend(_shaded(sheet, grid, "forearm shell"))
    if float(arm.heading @ sight.towards) > 0.03 and not ended.any():
        over.append(Region(sight.flat(rim), "prosthesis", "end of the forearm shell"))
    eye = Viewpoint(sight.right, np.array([0.0, 1.0, 0.0]), sight.towards)
    for bolt, gone in zip(bolts, bolted, strict=True):
        if not gone and float((bolt.points.mean(axis=0) - arm.elbow) @ sight.towards) > 0.0:
            over.extend(seen(bolt, eye))


def _cable(arm: Arm, sight: Sight, bar: Points, gap: Gap, *, over: list[Item], spots: dict[str, Place | None]) -> Asks:
    split = split_housing(arm, bar, gap)
    cross = bar + 0.008 * arm.out + np.linspace(-_CROSSBAR, _CROSSBAR, 9)[:, None] * arm.across
    parts = [split.above, split.bare, split.beyond, cross]
    hidden = yield np.vstack(parts)
    above, bare, beyond, barred = np.split(hidden, np.cumsum([len(part) for part in parts])[:-1])
    if not barred[4]:
        over.extend(base_plate(bar + 0.005 * arm.out, arm.along, arm.out, sight))
    for name, at, along, way, gone in (
        ("end of the housing", split.above[-1], arm.along, split.end_way, above[-1]),
        ("lift loop", split.beyond[0], arm.heading, split.loop_way, beyond[0]),
    ):
        if not gone:
            over.extend(base_plate(at - 0.004 * way, along, way, sight))
        spots[name] = None if gone else _place(sight, at)
    over.append(Line(sight.flat(split.above), "housing", "housing", hidden=above))
    over.append(Line(sight.flat(split.beyond), "housing", "second housing", hidden=beyond))
    over.append(Line(sight.flat(split.bare), "cable", "bare cable across the elbow", hidden=bare))
    over.extend(_ends(split, sight, (bool(above[-1]), bool(beyond[0]))))
    over.append(Line(sight.flat(cross), "crossbar", "crossbar", hidden=barred))
    spots["base plate"] = None if barred[4] else _place(sight, cross[4])


def _ends(split: Split, sight: Sight, gone: tuple[bool, bool]) -> list[Item]:
    """Ferrules on both ends of the gap, and the loop that holds the second."""
    items: list[Item] = []
    for line, out_of_sight, name in (
        (split.above[::-1], gone[0], "end of the housing"),
        (split.beyond, gone[1], "end of the second housing"),
    ):
        if not out_of_sight:
            back = unit(line[0] - line[2])
            items.append(Line(sight.flat(line[0] + np.outer([0.002, -_FERRULE], back)), "ferrule", name))
    if not gone[1]:
        back = unit(split.beyond[0] - split.beyond[2])
        side = 0.011 * np.cross(back, split.loop_way)
        clip = split.beyond[0] - 0.5 * _FERRULE * back + 0.004 * split.loop_way + np.array([-side, side])
        items.append(Line(sight.flat(clip), "wire", "lift loop"))
    return items


def _place(sight: Sight, point: Points) -> Place:
    x, y = sight.flat(point).tolist()
    return x, y
