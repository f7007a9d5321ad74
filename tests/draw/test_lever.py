"""The moment arm as drawn, against the mechanics: virtual work knows nothing of the picture."""

from __future__ import annotations

import numpy as np
import pytest

from controlkit.draw import Dot, Line, Scene, wearer_scene
from controlkit.draw.page.scene import Points
from controlkit.mechanics import Pose, Pull, SingleControl, Wearer, figure_of_eight
from controlkit.mechanics.harness.layout import CONTROL_STRAP
from controlkit.units import deg, show

WEARERS = {
    "small woman": lambda side: Wearer.at_percentile("female", 5, amputated=side),
    "very large man": lambda side: Wearer.at_percentile("male", 95, amputated=side),
}
POSES = [Pose(arm_flexion=deg(angle), elbow_flexion=deg(90 - angle)) for angle in (0, 20, 45, 70, 90)]


@pytest.fixture(scope="module", params=[(who, side) for who in WEARERS for side in ("left", "right")], ids=" ".join)
def worn(request: pytest.FixtureRequest) -> tuple[SingleControl, tuple[Pull, ...]]:
    """Both wearers, either side, through the flexion of the arm."""
    who, side = request.param
    system = SingleControl(figure_of_eight(WEARERS[who](side)))
    return system, system.over(POSES)


def _line(scene: Scene, name: str) -> Points:
    (points,) = (item.points for item in scene.items if isinstance(item, Line) and item.name == name)
    return points


def _slant(pull: Pull) -> float:
    """Share of the pull at the crossbar that lies in the plane of the side view [-]."""
    last = pull.straps[CONTROL_STRAP][-2] - pull.straps[CONTROL_STRAP][-1]
    return float(np.hypot(last[0], last[1]) / np.linalg.norm(last))


def test_the_moment_arm_is_drawn_as_long_as_it_is_from_the_joint_square_to_the_pull(
    worn: tuple[SingleControl, tuple[Pull, ...]],
) -> None:
    """Its end lies on the perpendicular, which ends on the line through the crossbar along the strap."""
    system, pulls = worn
    for pull in pulls:
        scene = wearer_scene(pull, "side", system=system, plain=True, lever=True)
        arm, square, line = (_line(scene, name) for name in ("moment arm", "square to the pull", "line of the pull"))
        assert np.hypot(*(arm[1] - arm[0])) == pytest.approx(pull.moment_arm, abs=1e-9)
        (joint,) = (item.at for item in scene.items if isinstance(item, Dot) and item.name == "shoulder joint")
        assert arm[0].tolist() == square[0].tolist() == list(joint)
        along, way = square[1] - square[0], line[1] - line[0]
        assert abs(along @ way) < 1e-9 * np.hypot(*along) * np.hypot(*way) + 1e-12
        assert np.cross(np.append(along, 0.0), np.append(arm[1] - arm[0], 0.0))[2] == pytest.approx(0.0, abs=1e-12)
        assert show(pull.moment_arm, "length") in scene.words


def test_the_perpendicular_and_the_slant_give_the_moment_that_virtual_work_finds(
    worn: tuple[SingleControl, tuple[Pull, ...]],
) -> None:
    """Only the part of the pull in the picture's plane turns the arm about the joint: distance times share times T.

    The moment comes from lengths of taut straps on a turned arm (`strap_moments`), which knows no line of pull. They
    agree but for the curve of the last piece of the strap, of which the line is the chord.
    """
    system, pulls = worn
    compared = 0
    for pull in pulls:
        square = _line(wearer_scene(pull, "side", system=system, lever=True), "square to the pull")
        distance = float(np.hypot(*(square[1] - square[0])))
        if pull.harness_force > 1.0:
            moment = pull.shoulder_moment.straps[CONTROL_STRAP]
            assert distance * _slant(pull) * pull.harness_force == pytest.approx(moment, rel=0.004)
            compared += 1
    assert compared >= 3


def test_moment_arm_falls_short_of_the_distance_by_the_slant_and_by_the_scapula(
    worn: tuple[SingleControl, tuple[Pull, ...]],
) -> None:
    """At the hanging arm the scapula rests and the slant explains all; later it goes along, which takes more off."""
    system, pulls = worn
    for pull in pulls:
        scene = wearer_scene(pull, "side", system=system, lever=True)
        square = _line(scene, "square to the pull")
        about_joint = float(np.hypot(*(square[1] - square[0]))) * _slant(pull)
        if pull.pose.arm_flexion == 0.0:
            assert pull.moment_arm == pytest.approx(about_joint, rel=0.001)
        else:
            assert 0.75 * about_joint < pull.moment_arm < about_joint
        assert "slants" in scene.words


@pytest.mark.parametrize("view", ["back", "front"])
def test_it_is_not_drawn_where_it_would_not_be_to_scale(
    worn: tuple[SingleControl, tuple[Pull, ...]], view: str
) -> None:
    """From behind and from the front the perpendicular points at the viewer."""
    system, pulls = worn
    plain, asked = (
        wearer_scene(pulls[1], view, system=system, lever=lever)  # type: ignore[arg-type]
        for lever in (False, True)
    )
    assert len(plain.items) == len(asked.items)
    assert plain.words == asked.words
