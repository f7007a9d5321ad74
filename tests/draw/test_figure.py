"""The drawn person: on the mechanics' skin where straps lie, always the same, hidden and seen as rays say, any view."""

from __future__ import annotations

import math

import numpy as np
import pytest
from matplotlib.path import Path

from controlkit.draw import Frame, Scene, render_svg
from controlkit.draw.figure.body import figure
from controlkit.draw.figure.contours import edges, loops, visible
from controlkit.draw.figure.drawn import body_items, eye_of, hides
from controlkit.draw.figure.patches import Patch
from controlkit.draw.figure.raster import DOT, Canvas, covers
from controlkit.draw.page.scene import Line, Shade
from controlkit.draw.wearer.window import wide_window
from controlkit.mechanics import Pose, SingleControl, Wearer, figure_of_eight, figure_of_nine
from controlkit.mechanics.body.outline import project
from controlkit.mechanics.body.placed import to_right
from controlkit.mechanics.body.places import joints
from controlkit.mechanics.body.remembered import built, stand
from controlkit.mechanics.surface.field import Field
from controlkit.units import deg, mm

WEARERS = {
    "small woman": Wearer.at_percentile("female", 5),
    "average man": Wearer.average("male"),
    "very large man": Wearer.measured("male", stature=1.93, mass=130.0).with_(amputated="left"),
}
FRAME = Frame(-0.5, -0.45, 0.5, 0.36)
VIEWS = ("back", "side", "front", deg(35.0), deg(225.0), deg(300.0))
POSES = (Pose(), Pose(arm_flexion=deg(60.0)), Pose(arm_flexion=deg(90.0), scapular_abduction=deg(15.0)))
GAP = mm(3.0)
"""Between the drawn skin and that on which straps lie, at most [m]."""


@pytest.mark.parametrize("pattern", [figure_of_eight, figure_of_nine])
@pytest.mark.parametrize("who", WEARERS)
def test_straps_lie_on_the_drawn_skin(who: str, pattern: object) -> None:
    """Every node of a strap that touches the mechanics' skin touches the drawn one, and nothing drawn buries it."""
    wearer = WEARERS[who]
    system = SingleControl(pattern(wearer))  # type: ignore[operator]
    for pull in system.over(POSES):
        body = figure(wearer, pull.pose)
        nodes = to_right(np.vstack(list(pull.straps.values())), wearer.amputated)
        field = Field(stand(wearer, pull.pose).surface, np.zeros(1, dtype=np.intp))
        touching = nodes[np.abs(field.value(np.ascontiguousarray(nodes.T))) < 0.002]
        touching = field.onto(np.ascontiguousarray(touching.T), 4).T  # from skin to skin, not from what hovers over it
        assert len(touching) > 40
        points, normals = (np.vstack(each) for each in zip(*map(_closely, (*body.moving, *body.still)), strict=True))
        gaps = []
        for node in touching:
            away = np.linalg.norm(points - node, axis=1)
            near = int(away.argmin())
            if away[near] < 0.010:  # further off a flat piece of skin says nothing of a fold
                gaps.append(float((node - points[near]) @ normals[near]))
        assert len(gaps) > 0.9 * len(touching)
        assert np.abs(gaps).max() <= GAP


def _closely(patch: Patch) -> tuple[np.ndarray, np.ndarray]:
    """Points of a patch and their normals, four to a cell's side, where all of a cell is skin."""
    wide = patch.sound.shape[1] - (0 if patch.whole else 1)
    corners = [np.roll(np.arange(patch.sound.size).reshape(patch.sound.shape), -k, axis=1)[:, :wide] for k in (0, 1)]
    quads = np.stack([corners[0][:-1], corners[1][:-1], corners[0][1:], corners[1][1:]]).reshape(4, -1)
    quads = quads[:, patch.sound.ravel()[quads].all(axis=0)]
    share = (np.arange(4) + 0.5) / 4.0
    weights = np.array([[(1 - v) * (1 - u), (1 - v) * u, v * (1 - u), v * u] for v in share for u in share])
    points, normals = (part.reshape(-1, 3)[quads] for part in (patch.points, patch.normals))
    return np.tensordot(weights, points, 1).reshape(-1, 3), np.tensordot(weights, normals, 1).reshape(-1, 3)


@pytest.mark.parametrize("view", VIEWS)
def test_the_raster_sees_what_rays_meet(view: str | float) -> None:
    """Rays walked through the mechanics' field from the viewer meet the skin where the dots have it."""
    wearer = WEARERS["average man"]
    body, eye, canvas = figure(wearer, POSES[1]), eye_of(view, wearer.amputated), Canvas.of(FRAME)
    seen = covers((*body.moving, *(p for p in body.still if p not in body.extra)), eye, canvas)
    rows, columns = np.mgrid[6 : canvas.rows : 5, 6 : canvas.columns : 5]
    x, y = canvas.left + (columns.ravel() + 0.5) * DOT, canvas.top - (rows.ravel() + 0.5) * DOT
    level = y > float(built(wearer).height["waist"][0]) + 0.02  # below it the hips are for the eye
    x, y, rows, columns = x[level], y[level], rows.ravel()[level], columns.ravel()[level]
    depth = np.full(len(x), -np.inf)
    for ahead in np.arange(0.6, -0.6, -0.002):
        points = x * eye.right[:, None] + np.array([[0.0], [1.0], [0.0]]) * y + ahead * eye.towards[:, None]
        met = ~np.isfinite(depth) & (body.field.value(points) < 0.0)
        depth[met] = ahead
    ours = seen.depth[rows, columns]
    assert (np.isfinite(ours) == np.isfinite(depth)).mean() > 0.97  # edges fall between dots
    both = np.isfinite(ours) & np.isfinite(depth)
    assert both.sum() > 150
    assert (np.abs(ours[both] - depth[both]) < 0.012).mean() > 0.95


def test_what_only_the_eye_knows_hides_too() -> None:
    """Behind the head, from the front, a point is hidden; before it, and beside it, it is not."""
    wearer = WEARERS["average man"]
    middle = 0.5 * (0.87 + 1.0) * wearer.stature - wearer.suprasternale_height
    points = np.array([[-0.15, middle, 0.0], [0.20, middle, 0.0], [-0.15, middle, 0.2]])
    assert hides(wearer, Pose(), points, "front", frame=FRAME).tolist() == [True, False, False]
    assert hides(wearer, Pose(), points, "back", frame=FRAME).tolist() == [False, True, False]


@pytest.mark.parametrize("who", WEARERS)
def test_the_shoulder_line_has_no_notch(who: str) -> None:
    """From the neck's root out to the deltoid the contour seen from behind sinks without a dip of more than 4 mm."""
    wearer = WEARERS[who]
    body, eye, canvas = figure(wearer, Pose()), eye_of("back", wearer.amputated), Canvas.of(FRAME)
    seen = covers((*body.moving, *body.still), eye, canvas)
    filled = np.isfinite(seen.depth)
    shape = built(wearer)
    for side in (-1.0, 1.0):
        out = np.arange(
            1.3 * float(shape.neck_radius[0]), float(shape.joint[0, 2]) + 0.3 * float(shape.deltoid[0]), DOT
        )
        column = ((side * out - canvas.left) / DOT).astype(int)
        top = canvas.top - filled[:, column].argmax(axis=0) * DOT
        lowest = np.minimum.accumulate(top)
        assert (top - lowest).max() <= 0.004 + DOT


@pytest.mark.parametrize("view", VIEWS)
def test_the_edge_is_drawn_all_round(view: str | float) -> None:
    """Of the line round all that is filled, at most 4 % has no contour near it."""
    wearer = WEARERS["small woman"]
    body, eye, canvas = figure(wearer, POSES[1]), eye_of(view, wearer.amputated), Canvas.of(FRAME)
    patches = (*body.moving, *body.still)
    seen = covers(patches, eye, canvas)
    drawn = np.vstack([c.points for c in visible([e for p in patches for e in edges(p, eye)], seen, canvas)])
    rim = np.vstack(loops(seen, canvas))
    inside = (np.abs(rim[:, 0]) < 0.5) & (rim[:, 1] > FRAME.bottom) & (rim[:, 1] < FRAME.top)
    away = np.array([np.hypot(*(drawn - place).T).min() for place in rim[inside]])
    assert (away > 0.012).mean() <= 0.04


def test_drawn_twice_it_is_the_same_text() -> None:
    wearer = WEARERS["average man"]

    def text() -> str:
        body_items.cache_clear()
        figure.cache_clear()
        return render_svg(Scene("One", "One person.", FRAME, body_items(wearer, POSES[1], deg(35.0), FRAME)))

    first = text()
    assert first == text()
    assert len(first) < 45_000


def test_left_and_right_are_one_figure_seen_in_a_mirror() -> None:
    right = Wearer.average("female", amputated="right")
    left = right.with_(amputated="left")
    for one, other in zip(figure(right, POSES[1]).moving, figure(left, POSES[1]).moving, strict=True):
        np.testing.assert_array_equal(one.points, other.points)
    for view in VIEWS:
        mine, theirs = eye_of(view, "right"), eye_of(view, "left")
        np.testing.assert_allclose(mine.towards, theirs.towards, atol=1e-12)
        np.testing.assert_allclose(mine.right, -theirs.right, atol=1e-12)


def test_it_reads_without_its_tone() -> None:
    """Without light and shadow the same lines are there, and the tone is empty."""
    wearer = WEARERS["small woman"]
    shaded, plain = (body_items(wearer, Pose(), "front", FRAME, shaded) for shaded in (True, False))
    assert [item.name for item in shaded] == [item.name for item in plain]
    assert isinstance(shaded[0], Shade)
    assert isinstance(plain[0], Shade)
    assert shaded[0].tone.max() > 40
    assert plain[0].tone.max() == 0


def test_landmarks_move_with_the_girdle() -> None:
    """Raising the arm carries the scapula outward; the spine stays."""
    wearer = WEARERS["average man"]

    def places(pose: Pose, name: str) -> np.ndarray:
        return np.vstack(
            [i.points for i in body_items(wearer, pose, "back", FRAME) if isinstance(i, Line) and i.name == name]
        )

    still, raised = places(Pose(), "scapula"), places(Pose(scapular_abduction=deg(20.0)), "scapula")
    assert raised[:, 0].max() > still[:, 0].max() + 0.005
    np.testing.assert_allclose(places(Pose(), "spine")[:, 0], 0.0, atol=1e-9)
    assert math.isclose(places(Pose(), "spine")[:, 1].max(), places(Pose(arm_flexion=1.0), "spine")[:, 1].max())


@pytest.mark.parametrize("view", ["back", "front"])
@pytest.mark.parametrize("sex", ["female", "male"])
def test_contours_do_not_run_on_past_each_other(view: str, sex: str) -> None:
    """At elbow, wrist and neck one part's line goes on in the next one's: none ends there."""
    wearer, pose = Wearer.average(sex), Pose(elbow_flexion=deg(90))  # type: ignore[arg-type]
    drawn = body_items(wearer, pose, view, wide_window(wearer, pose, view))  # type: ignore[arg-type]
    lines = [item.points for item in drawn if isinstance(item, Line) and item.name == "contour"]
    ends = np.array([line[at] for line in lines for at in (0, -1)])
    body = joints(wearer, pose)
    elbow = project(body["sound elbow"][None], view, wearer.amputated)[0]  # type: ignore[arg-type]
    wrist = project(body["sound wrist"][None], view, wearer.amputated)[0]  # type: ignore[arg-type]
    assert np.hypot(*(ends - elbow).T).min() > 0.07
    assert np.hypot(*(ends - wrist).T).min() > 0.03
    neck = ends[(np.abs(ends[:, 0]) < 0.09) & (ends[:, 1] > 0.06) & (ends[:, 1] < 0.20)]
    assert len(neck) == 0


@pytest.mark.parametrize("view", ["side", "front", 1.0, 2.0])
def test_no_landmark_hangs_in_the_air(view: float) -> None:
    """Clavicle and scapula lie on the drawn figure, however far arm and scapula are abducted."""
    wearer = Wearer.average("male")
    for pose in (Pose(scapular_abduction=deg(20)), Pose(arm_abduction=deg(80)), Pose(arm_flexion=deg(90))):
        drawn = body_items(wearer, pose, view, wide_window(wearer, pose, view))  # type: ignore[arg-type]
        (body,) = (item for item in drawn if isinstance(item, Shade))
        edge = np.vstack(body.loops)
        whole = Path.make_compound_path(*(Path(np.vstack([loop, loop[:1]])) for loop in body.loops))
        for item in drawn:
            if isinstance(item, Line) and item.style == "furrow":
                off = np.hypot(*(item.points[:, None] - edge).transpose(2, 0, 1)).min(axis=1)
                assert (whole.contains_points(item.points) | (off < 0.006)).all(), item.name
