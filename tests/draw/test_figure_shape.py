"""The drawn person as a shape: no holes where straps lie, one contour, mirrored, the same in every process, opaque."""

from __future__ import annotations

import os
import subprocess
import sys
from functools import cache

import numpy as np
import pytest

from controlkit.draw.figure import body_items
from controlkit.draw.figure.body import Figure, figure
from controlkit.draw.page.scene import Frame, Line, Points, Region, Shade
from controlkit.draw.wearer.posed import covered
from controlkit.mechanics import Pose, SingleControl, Wearer, figure_of_eight
from controlkit.mechanics.body.outline import directions, project
from controlkit.mechanics.body.placed import to_right
from controlkit.mechanics.body.remembered import built, stand
from controlkit.mechanics.surface import Field
from controlkit.units import deg, mm

WEARERS = {
    "small woman": Wearer.at_percentile("female", 5),
    "average man": Wearer.average("male"),
    "very large man": Wearer.measured("male", stature=1.93, mass=130.0),
}
POSES = {
    "hanging": Pose(),
    "flexed": Pose(arm_flexion=deg(60), elbow_flexion=deg(40)),
    "straight ahead": Pose(arm_flexion=deg(90), arm_abduction=0.0),
    "aside": Pose(arm_abduction=deg(60)),
    "shoulders forward": Pose(arm_flexion=deg(30), scapular_abduction=deg(15), shoulder_elevation=deg(5)),
}
AZIMUTHS = (0.0, deg(35), deg(90), deg(180), deg(225), deg(300))
WINDOW = Frame(-0.70, -0.75, 0.70, 0.45)
WHO = np.zeros(1, dtype=np.intp)

GAP = mm(3)
"""Between the drawn skin and the mechanics', where straps lie [m]."""
BESIDE = mm(15)
"""To either side of a strap's middle, more than half its breadth [m]."""
ON_SKIN = mm(0.1)
"""A node of a strap that is nearer to the mechanics' skin lies on it [m]."""
REACH = mm(10)
"""Length of the two chords of a contour between which its bend is taken [m]."""
HOLLOW = deg(30)
"""Bend inward from one chord to the next that reads as a doll's joint; limbs laid over a trunk have more [rad]."""
DOT = mm(5)
"""What a figure drawn in dots may differ by from its mirror image, or from a preset view [m]."""


def _cells(body: Figure) -> Points:
    """Corners of every drawn cell, shape (cells, 4, 3), in the mechanics' axes [m]."""
    found = []
    for patch in (*body.still, *body.moving):
        grid, sound = patch.points, patch.sound
        if patch.whole:
            grid, sound = (np.concatenate([part, part[:, :1]], axis=1) for part in (grid, sound))
        drawn = sound[:-1, :-1] & sound[:-1, 1:] & sound[1:, :-1] & sound[1:, 1:]
        corners = np.stack([grid[:-1, :-1], grid[:-1, 1:], grid[1:, 1:], grid[1:, :-1]], axis=2)
        found.append(corners[drawn])
    return np.concatenate(found)


def _between(cells: Points, count: int) -> Points:
    """Points spread over cells, shape (points, 3)."""
    u, v = (part.ravel()[:, None] for part in np.meshgrid(*2 * [np.linspace(0.0, 1.0, count)]))
    weights = np.concatenate([(1 - u) * (1 - v), u * (1 - v), u * v, (1 - u) * v], axis=1)
    return np.asarray(np.einsum("pk,nkd->npd", weights, cells).reshape(-1, 3))


@cache
def _system(name: str) -> SingleControl:
    return SingleControl(figure_of_eight(WEARERS[name], ring_below_c7=mm(80)))


@pytest.mark.parametrize("pose", POSES)
@pytest.mark.parametrize("name", WEARERS)
def test_drawn_skin_lies_on_the_mechanics_where_straps_lie(name: str, pose: str) -> None:
    """Wherever a node lies on the skin something is drawn, and nothing beside it stands out over the straps."""
    wearer = WEARERS[name]
    (pull,) = _system(name).over([POSES[pose]])
    cells = _cells(figure(wearer, pull.pose))
    assert np.isfinite(cells).all()
    field = Field(stand(wearer, pull.pose).surface, WHO)
    nodes = to_right(np.concatenate(list(pull.straps.values())), wearer.amputated)
    nodes = nodes[np.abs(field.value(np.ascontiguousarray(nodes.T))) < ON_SKIN]
    assert len(nodes) > 100, "most of a harness lies on the skin"
    for node in nodes:
        near = (np.abs(cells - node) < 2.0 * BESIDE).all(axis=2).any(axis=1)
        there = _between(cells[near], 7)
        away = np.linalg.norm(there - node, axis=1)
        assert away.min(initial=np.inf) < GAP, f"nothing is drawn at {node}"
        above = field.value(np.ascontiguousarray(there[away < BESIDE].T))
        assert above.max() < GAP, f"the skin drawn at {node} stands out over the strap"


@pytest.mark.parametrize("name", WEARERS)
def test_every_way_an_arm_may_point_has_its_surface(name: str) -> None:
    """No point and no normal is lost where an arm runs along an axis of the body."""
    ways = [(flexion, aside) for flexion in (-30, 0, 45, 90, 120) for aside in (0, 10, 90)]
    for flexion, aside in ways:
        body = figure(WEARERS[name], Pose(arm_flexion=deg(flexion), arm_abduction=deg(aside)))
        for patch in (*body.still, *body.moving):
            assert np.isfinite(patch.points).all(), (patch.name, flexion, aside)
            np.testing.assert_allclose(np.linalg.norm(patch.normals, axis=2).min(), 1.0, atol=0.02)


def _loops(wearer: Wearer, pose: Pose, view: str | float) -> tuple[Points, ...]:
    (shade,) = (item for item in body_items(wearer, pose, view, WINDOW) if isinstance(item, Shade))
    return shade.loops


def _shoulder(loops: tuple[Points, ...], joint: Points, root: float) -> Points:
    """Contour from the root of the neck to the elbow as seen from the joint, laid to the right; shape (places, 2)."""
    side = np.sign(joint[0])
    turn = np.linspace(-deg(70), deg(140), 500)
    ray = np.stack([side * np.sin(turn), np.cos(turn)], axis=1)
    far = np.full(len(turn), np.inf)
    for loop in loops:
        start, edge = loop - joint, np.roll(loop, -1, axis=0) - loop
        det = np.outer(ray[:, 0], edge[:, 1]) - np.outer(ray[:, 1], edge[:, 0])
        det[det == 0.0] = np.inf
        reach = (start[:, 0] * edge[:, 1] - start[:, 1] * edge[:, 0]) / det
        share = (np.outer(ray[:, 1], start[:, 0]) - np.outer(ray[:, 0], start[:, 1])) / det
        met = (share >= 0.0) & (share <= 1.0) & (reach > 0.0)
        far = np.minimum(far, np.where(met, reach, np.inf).min(axis=1))
    assert np.isfinite(far).all(), "the contour is closed round the shoulder"
    line = (joint + far[:, None] * ray) * [side, 1.0]
    return line[int(np.flatnonzero(line[:, 0] < root).max(initial=-1)) + 1 :]


def _sharpest_hollow(line: Points) -> float:
    """Most that a contour turns inward from one chord to the next; it goes clockwise, so that is to the left [rad]."""
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(line, axis=0).T))])
    step = REACH / 5
    x, y = (np.interp(np.arange(0.0, along[-1], step), along, part) for part in line.T)
    heading = np.arctan2(y[5:] - y[:-5], x[5:] - x[:-5])
    turned = (heading[5:] - heading[:-5] + np.pi) % (2.0 * np.pi) - np.pi
    return float(turned.max())


ARMS = [Pose(), Pose(arm_abduction=deg(30)), Pose(arm_abduction=deg(60)), Pose(arm_flexion=deg(60))]


@pytest.mark.parametrize("side", ["left", "right"])
@pytest.mark.parametrize("name", WEARERS)
def test_one_contour_leads_from_the_neck_over_the_shoulder_to_the_arm(name: str, side: str) -> None:
    """Trapezius, acromion, deltoid and arm are one line without a notch, from behind and from the front."""
    wearer = WEARERS[name].with_(amputated=side)
    root = float(built(wearer).neck_radius[0])
    for pose in ARMS:
        for view in ("back", "front"):
            for joint in project(to_right(stand(wearer, pose).joint[0], side), view, side):
                hollow = _sharpest_hollow(_shoulder(_loops(wearer, pose, view), joint, root))
                assert hollow < HOLLOW, (pose, view, np.rad2deg(hollow))


def test_two_parts_that_are_laid_over_each_other_have_a_notch() -> None:
    """What is asked of the shoulder fails for an arm drawn as a limb of its own over a trunk that slopes to it."""
    turn = np.linspace(-np.pi, np.pi, 400, endpoint=False)
    joint, ray = np.array([0.17, 0.0]), np.stack([np.sin(turn), np.cos(turn)], axis=1)
    ball = np.full(len(turn), 0.06)
    slope = 0.045 / np.cos(np.clip(turn - deg(10), -deg(80), 0.0))  # of the trunk, beneath the ball's top
    parts = np.maximum(ball, np.where(turn > -deg(70), slope, slope.max()))
    notched, smooth = (_shoulder((joint + size[:, None] * ray,), joint, 0.05) for size in (parts, ball))
    assert _sharpest_hollow(notched) > HOLLOW
    assert _sharpest_hollow(smooth) < 0.0


@pytest.mark.parametrize("azimuth", AZIMUTHS)
@pytest.mark.parametrize("name", WEARERS)
def test_the_outline_is_drawn_all_round(name: str, azimuth: float) -> None:
    """Lines lie along the whole edge of the body, apart from where the window cuts it."""
    for pose in (POSES["hanging"], POSES["flexed"]):
        items = body_items(WEARERS[name], pose, azimuth, WINDOW)
        drawn = np.vstack([item.points for item in items if isinstance(item, Line | Region)])
        edge = np.vstack(_loops(WEARERS[name], pose, azimuth))
        edge = edge[edge[:, 1] > WINDOW.bottom]
        bare = np.array([np.hypot(*(drawn - place).T).min() > 2.0 * DOT for place in edge])
        assert bare.mean() < 0.01, f"no line near {edge[bare]}"


def _apart(one: tuple[Points, ...], other: tuple[Points, ...]) -> float:
    """How far the farthest corner of either outline is from the nearest of the other [m]."""
    first, second = np.vstack(one), np.vstack(other)
    gaps = np.hypot(*(first[:, None] - second).transpose(2, 0, 1))
    return float(max(gaps.min(axis=0).max(), gaps.min(axis=1).max()))


@pytest.mark.parametrize("name", WEARERS)
def test_left_and_right_mirror_exactly(name: str) -> None:
    """The same surface to the last digit; its picture is cut into dots, and mirrors to within two."""
    right, left = (WEARERS[name].with_(amputated=side) for side in ("right", "left"))
    for pose in POSES.values():
        one, other = figure(right, pose), figure(left, pose)
        for patch, twin in zip((*one.still, *one.moving), (*other.still, *other.moving), strict=True):
            assert patch.name.replace("left", "right") == twin.name.replace("left", "right")
            assert np.array_equal(patch.points, twin.points)
            assert np.array_equal(patch.sound, twin.sound)
        for view in ("back", "side", "front", deg(35), deg(225)):
            turned = tuple(loop * [-1.0, 1.0] for loop in _loops(left, pose, view))
            assert _apart(_loops(right, pose, view), turned) < 2.0 * DOT


@pytest.mark.parametrize(("view", "azimuth"), [("back", 0.0), ("side", np.pi / 2), ("front", np.pi)])
def test_presets_are_azimuths(view: str, azimuth: float) -> None:
    """Turned all the way to a preset, the figure is that of the preset."""
    for wearer in WEARERS.values():
        assert _apart(_loops(wearer, Pose(), view), _loops(wearer, Pose(), azimuth)) < DOT


SAID = """
from controlkit.draw.figure import body_items
from controlkit.draw.ink.svg import render_svg
from controlkit.draw.page.scene import Frame, Scene
from controlkit.mechanics import Pose, Wearer
frame = Frame(-0.5, -0.5, 0.5, 0.42)
for view in ("back", 4.0):
    print(render_svg(Scene("", "", frame, body_items(Wearer.average("female"), Pose(arm_flexion=0.5), view, frame))))
"""


def test_every_process_draws_the_same_picture() -> None:
    """No name and no order of what is drawn hangs on the process that draws it."""
    told = [
        subprocess.run(
            [sys.executable, "-c", SAID],
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            check=True,
            text=True,
        ).stdout
        for seed in ("1", "2")
    ]
    assert told[0] == told[1]
    assert told[0].count("<svg") == 2
    assert "<image" in told[0]


BESIDE_A_RAY = mm(8)
"""Rays beside a point that all say the same make its answer certain: dots are 5 mm wide [m]."""
DEEP, FLAT = mm(20), mm(-5)
"""Nearer to the viewer than a point by the first, a surface surely hides it; by the second, surely not [m]."""


def _in_front(points: Points, cells: Points, axes: Points) -> np.ndarray:
    """How far the nearest drawn surface lies before each point and before those beside it, shape (points, 9) [m]."""
    x, y, near = (cells @ axes.T).transpose(2, 0, 1)[..., [[0, 1, 2], [0, 2, 3]]].reshape(3, -1, 3)
    double = (x[:, 1] - x[:, 0]) * (y[:, 2] - y[:, 0]) - (x[:, 2] - x[:, 0]) * (y[:, 1] - y[:, 0])
    whole = np.abs(double) > 1e-12
    x, y, near, double = x[whole], y[whole], near[whole], double[whole]
    left, right, low, high = x.min(axis=1), x.max(axis=1), y.min(axis=1), y.max(axis=1)
    steps = BESIDE_A_RAY * np.array([(i, j) for i in (-1.0, 0.0, 1.0) for j in (-1.0, 0.0, 1.0)])
    before = np.empty((len(points), len(steps)))
    for k, (across, up, depth) in enumerate(points @ axes.T):
        room = BESIDE_A_RAY
        close = (left < across + room) & (right > across - room) & (low < up + room) & (high > up - room)
        a, b, c, twice = x[close], y[close], near[close], double[close]
        p, q = across + steps[:, :1], up + steps[:, 1:]
        second = ((p - a[:, 0]) * (b[:, 2] - b[:, 0]) - (a[:, 2] - a[:, 0]) * (q - b[:, 0])) / twice
        third = ((a[:, 1] - a[:, 0]) * (q - b[:, 0]) - (p - a[:, 0]) * (b[:, 1] - b[:, 0])) / twice
        there = c[:, 0] + second * (c[:, 1] - c[:, 0]) + third * (c[:, 2] - c[:, 0])
        met = (second >= 0.0) & (third >= 0.0) & (second + third <= 1.0)
        before[k] = np.where(met, there - depth, -np.inf).max(axis=1, initial=-np.inf)
    return before


@pytest.mark.parametrize("azimuth", AZIMUTHS)
@pytest.mark.parametrize("name", ["small woman", "very large man"])
def test_the_figure_hides_what_stands_behind_any_of_its_surfaces(name: str, azimuth: float) -> None:
    """Against rays through every drawn cell; points are asked for that no dot's breadth would decide otherwise."""
    wearer, pose = WEARERS[name], POSES["flexed"]
    cells = _cells(figure(wearer, pose))
    random = np.random.default_rng(11)
    around = random.uniform([-0.25, -0.50, -0.40], [0.35, 0.40, 0.40], (200, 3))
    by_skin = random.choice(_between(cells, 2), 200) + random.uniform(-0.03, 0.03, (200, 3))
    points = np.concatenate([around, by_skin])
    points = points[points[:, 2] > -0.25]  # nothing is worn on the sound forearm
    right, towards = (to_right(way, wearer.amputated) for way in directions(azimuth, wearer.amputated))
    before = _in_front(points, cells, np.stack([right, [0.0, 1.0, 0.0], towards]))
    behind, free = (before > DEEP).all(axis=1), (before < FLAT).all(axis=1)
    assert min(behind.sum(), free.sum()) > 40, "points lie on both sides of the body"
    told = covered(wearer, pose, np.ascontiguousarray(to_right(points, wearer.amputated)), azimuth)
    assert told[behind].all(), f"seen through the body: {points[behind & ~told]}"
    assert not told[free].any(), f"hidden by nothing: {points[free & told]}"
