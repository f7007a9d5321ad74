"""The surface's own calculus, and how the girdle moves."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from controlkit.mechanics import Pose, Wearer
from controlkit.mechanics.body.placed import CLAVICLE_SHARE, RHYTHM, arm_axes, girdle, place
from controlkit.mechanics.body.remembered import built
from controlkit.mechanics.body.shape import build
from controlkit.mechanics.surface import Field
from controlkit.mechanics.surface.field import PAIRS, SQUARE
from controlkit.units import deg, mm

WHO = np.zeros(1, dtype=np.intp)
POSES = (Pose(), Pose(arm_flexion=deg(60)), Pose(arm_abduction=deg(70), scapular_abduction=deg(20)))


def _near_the_skin(wearer: Wearer, pose: Pose, count: int = 300) -> tuple[object, np.ndarray]:
    """Points within 3 cm of the skin, anywhere from the waist to the neck."""
    union = place(build([wearer]), WHO, [pose]).surface
    points = np.random.default_rng(5).uniform([-0.25, -0.5, -0.35], [0.25, 0.12, 0.35], (60 * count, 3)).T
    near = np.abs(Field(union, np.zeros(points.shape[1], dtype=np.intp)).value(points)) < mm(30)
    return union, np.ascontiguousarray(points[:, near][:, :count])


@pytest.mark.parametrize("pose", POSES)
@pytest.mark.parametrize("sex", ["female", "male"])
def test_gradient_and_hessian_are_the_rates_of_the_value(sex: str, pose: Pose) -> None:
    union, points = _near_the_skin(Wearer.average(sex), pose)
    field, step = Field(union, np.zeros(points.shape[1], dtype=np.intp)), 1e-6  # type: ignore[attr-defined]
    value, gradient, rows = field.curvature(points)
    assert points.shape[1] == 300
    assert rows.shape == (6, 300)
    hessian = rows[SQUARE]
    assert all(np.array_equal(hessian[pair], row) for pair, row in zip(PAIRS, rows, strict=True))
    assert value == pytest.approx(field.value(points), abs=1e-13)
    assert np.allclose(field.slope(points)[1], gradient, atol=1e-12)
    size = np.abs(hessian).max(axis=(0, 1))
    for d in range(3):
        push = np.zeros((3, 1))
        push[d] = step
        ahead, back = field.slope(points + push), field.slope(points - push)
        assert np.abs((ahead[0] - back[0]) / (2 * step) - gradient[d]).max() < 1e-6
        # the ends of a capsule join its side with a jump in curvature: those few points are left out
        wrong = np.abs((ahead[1] - back[1]) / (2 * step) - hessian[:, d]).max(axis=0) > 1e-3 * (1.0 + size)
        assert wrong.sum() <= 1


@pytest.mark.parametrize("sex", ["female", "male"])
def test_near_the_skin_the_value_is_about_the_distance(sex: str) -> None:
    """The slope is near one where straps lie, so that a step by the value lands on the skin."""
    for pose in POSES:
        union, points = _near_the_skin(Wearer.average(sex), pose)
        field = Field(union, np.zeros(points.shape[1], dtype=np.intp))  # type: ignore[attr-defined]
        for _ in range(20):
            value, gradient = field.slope(points)
            points = points - value / (gradient**2).sum(axis=0) * gradient
        assert np.abs(field.value(points)).max() < 1e-9
        size = np.sqrt((gradient**2).sum(axis=0))
        assert np.percentile(size, 5) > 0.5
        assert np.percentile(size, 95) < 2.0


@settings(max_examples=25)
@given(st.floats(0.0, deg(170)), st.floats(0.0, deg(120)))
def test_arm_axes_are_square_and_turn_forward(flexion: float, abduction: float) -> None:
    axes = arm_axes(np.array([flexion]), np.array([abduction]))[0]
    assert np.allclose(axes.T @ axes, np.eye(3), atol=1e-12)
    assert np.linalg.det(axes) == pytest.approx(1.0)
    hanging = -axes[:, 1]  # from shoulder to elbow
    assert hanging[0] == pytest.approx(np.sin(flexion) * np.cos(abduction))  # forward
    assert hanging[2] == pytest.approx(np.sin(abduction))  # outward


@settings(max_examples=25)
@given(st.floats(deg(-25), deg(30)), st.floats(deg(-10), deg(35)))
def test_the_clavicle_keeps_its_length(protraction: float, elevation: float) -> None:
    shape = built(Wearer.average("male"))
    rest = (shape.clavicle_tip - shape.clavicle)[0]
    shift = girdle(shape, WHO, np.array([protraction]), np.array([elevation]))[0]
    assert np.linalg.norm(rest + shift) == pytest.approx(np.linalg.norm(rest), rel=1e-12)


def _joint(**angles: float) -> np.ndarray:
    return place(built(Wearer.average("male")), WHO, [Pose(arm_abduction=0.0, **angles)]).joint[0]


def test_girdle_motions_go_where_their_names_say() -> None:
    rest = _joint()
    assert _joint(scapular_abduction=deg(20))[0, 0] > rest[0, 0] + mm(30)  # forward
    assert _joint(scapular_abduction=-deg(20))[0, 0] < rest[0, 0] - mm(30)
    assert _joint(shoulder_elevation=deg(20))[0, 1] > rest[0, 1] + mm(30)  # up
    assert _joint(shoulder_elevation=-deg(10))[0, 1] < rest[0, 1] - mm(15)
    for angles in ({"scapular_abduction": deg(20)}, {"shoulder_elevation": deg(20)}, {"arm_flexion": deg(90)}):
        assert np.array_equal(_joint(**angles)[1], rest[1])  # the sound side stays
    moved = _joint(sound_scapular_abduction=deg(20))
    assert np.array_equal(moved[0], rest[0])
    assert moved[1, 0] > rest[1, 0] + mm(30)


def test_raising_the_arm_lifts_the_girdle_by_the_rhythms_share() -> None:
    """The same shift as a shrug by that share: what the arm does by itself is not counted twice."""
    raised = deg(80)
    share = CLAVICLE_SHARE * raised / (1.0 + RHYTHM)
    assert np.allclose(_joint(arm_flexion=raised)[0], _joint(shoulder_elevation=share)[0], atol=1e-12)
    both = _joint(arm_flexion=raised, shoulder_elevation=deg(10))
    assert np.allclose(both[0], _joint(shoulder_elevation=share + deg(10))[0], atol=1e-12)


def test_both_sides_mirror() -> None:
    """A girdle motion of the sound side is the mirror image of the same motion of the amputated side."""
    one = _joint(scapular_abduction=deg(15))[0]
    other = _joint(sound_scapular_abduction=deg(15))[1]
    lift = _joint()[1] - _joint()[0] * [1, 1, -1]  # the sound arm hangs abducted, so its girdle is lifted a little
    assert one[0] == pytest.approx(other[0], abs=mm(2))
    assert np.abs(lift).max() < mm(15)
