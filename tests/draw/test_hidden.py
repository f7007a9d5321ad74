"""What the body hides, against every point of every ray; and answers kept for the results that they were given for."""

from __future__ import annotations

import numpy as np
import pytest

from controlkit.draw.page.kept import kept
from controlkit.draw.wearer.posed import covered
from controlkit.mechanics import Pose, Wearer
from controlkit.mechanics.body.outline import VIEWS, directions, hidden
from controlkit.mechanics.body.placed import to_right
from controlkit.mechanics.body.remembered import stand
from controlkit.mechanics.surface.field import Field

RAY = np.concatenate(
    [[0.012, 0.025], np.linspace(0.05, 0.6, 14), np.linspace(0.645, 1.05, 10)]
)  # towards the viewer [m]
INSIDE = -0.002  # of the surface, for a point that is in the body and not only on it [m]


def asked_everywhere(wearer: Wearer, pose: Pose, points: np.ndarray, view: str) -> np.ndarray:
    """Whether any point of a ray to the viewer is inside the body, each of them asked for."""
    _, towards = directions(view, wearer.amputated)
    rays = to_right((points[:, None] + RAY[:, None] * towards).reshape(-1, 3), wearer.amputated)
    field = Field(stand(wearer, pose).surface, np.zeros(1, dtype=np.intp))
    value = field.value(np.ascontiguousarray(rays.T)).reshape(len(points), -1)
    return np.asarray((value < INSIDE).any(axis=1))


@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize("side", ["left", "right"])
def test_no_ray_that_is_passed_over_meets_the_body(view: str, side: str) -> None:
    """Rays that lead off the body for good are not followed; none of them would have met it."""
    random = np.random.default_rng(7)
    share = []
    for sex in ("female", "male"):
        wearer = Wearer.average(sex, amputated=side)
        for _ in range(12):
            girdle = dict(zip(("scapular_abduction", "shoulder_elevation"), random.uniform(-0.15, 0.4, 2), strict=True))
            pose = Pose(arm_flexion=random.uniform(-0.5, 1.5), arm_abduction=random.uniform(0.2, 1.3), **girdle)
            points = random.uniform([-0.25, -0.45, -0.40], [0.45, 0.25, 0.40], (400, 3))
            plain = asked_everywhere(wearer, pose, points, view)
            assert (hidden(wearer, pose, points, view) == plain).all()
            assert covered(wearer, pose, points, view)[plain].all(), "what straps lie on hides, whatever else does"
            share.append(plain.mean())
    assert 0.1 < np.mean(share) < 0.9, "points lie on both sides of the body"


@pytest.mark.parametrize("side", ["left", "right"])
def test_a_deep_chest_hides_what_a_long_arm_holds_out(side: str) -> None:
    """Far before the belly of a very large man, seen from obliquely behind."""
    wearer = Wearer.measured("male", stature=1.93, mass=130.0).with_(amputated=side)
    sign = 1.0 if side == "right" else -1.0
    far = np.array([[0.67, -0.19, 0.30 * sign], [0.65, -0.15, 0.32 * sign], [0.62, -0.17, 0.31 * sign]])
    turned = np.deg2rad(325.0)
    assert hidden(wearer, Pose(arm_flexion=np.deg2rad(40.0)), far, turned).all()
    assert not hidden(wearer, Pose(arm_flexion=np.deg2rad(40.0)), far, turned + np.pi).any()


def test_an_answer_is_kept_for_its_own_results_alone() -> None:
    """Equal results are not the same result; the oldest answer goes first, and a result made anew never meets it."""
    asked = []

    @kept(2)
    def summed(numbers: np.ndarray, units: str = "metric") -> float:
        asked.append(units)
        return float(numbers.sum())

    one, other = np.ones(3), np.ones(3)
    assert [summed(one), summed(one), summed(other), summed(one, units="inch-pound")] == [3.0] * 4
    assert asked == ["metric", "metric", "inch-pound"]
    assert [summed(np.full(3, float(k))) for k in range(50)] == [3.0 * k for k in range(50)]
    summed(one)
    assert len(asked) == 3 + 50 + 1
