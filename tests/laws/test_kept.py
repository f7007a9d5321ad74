"""What is kept with a wearer, a body or a motion is what would be found anew."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from controlkit.mechanics import Pose, SingleControl, VoluntaryClosing, VoluntaryOpening, Wearer, figure_of_eight
from controlkit.mechanics.body import placed
from controlkit.mechanics.body.placed import place
from controlkit.mechanics.body.remembered import built
from controlkit.mechanics.body.shape import Build, build
from controlkit.mechanics.chain import budget
from controlkit.mechanics.chain.generated import generated
from controlkit.mechanics.harness.motion import Followed
from controlkit.mechanics.harness.turned import TURN, turned
from controlkit.units import deg

MAN, WOMAN = Wearer.average("male"), Wearer.average("female")
POSES = [
    Pose(),
    Pose(arm_flexion=deg(50)),
    Pose(sound_scapular_abduction=deg(20)),
    Pose(sound_arm_abduction=deg(60), arm_flexion=deg(20)),
    Pose(sound_scapular_abduction=deg(20), scapular_abduction=deg(10)),
]


@pytest.fixture(scope="module")
def system() -> SingleControl:
    return SingleControl(figure_of_eight(MAN))


@pytest.fixture(scope="module")
def found(system: SingleControl) -> Followed:
    return system.follow([Pose(arm_flexion=deg(40)), Pose(scapular_abduction=deg(15))])


@pytest.fixture
def shape() -> Build:
    """A man's shape of which nothing is known yet."""
    return build([MAN])


def _sound(shape: Build, poses: list[Pose], wearer: int = 0) -> np.ndarray:
    """Where the sound elbow comes to."""
    return place(shape, np.full(len(poses), wearer, dtype=np.intp), poses).elbow[:, 1]


def test_the_sound_arm_is_cleared_alike_however_often_and_in_whatever_company(shape: Build) -> None:
    together = _sound(build([WOMAN, MAN]), POSES, wearer=1)  # nothing is kept of two wearers
    assert np.ptp(together, axis=0).max() > 0.02
    for poses in (POSES, POSES[::-1], POSES[1:3], POSES):
        wanted = together[[POSES.index(pose) for pose in poses]]
        assert _sound(shape, poses) == pytest.approx(wanted, abs=1e-12)


def test_what_is_kept_of_the_sound_arm_is_bounded(shape: Build, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(placed, "KEPT", 3)
    wanted = _sound(build([WOMAN, MAN]), POSES, wearer=1)
    for _ in range(2):
        for pose, elbow in zip(POSES, wanted, strict=True):
            assert _sound(shape, [pose])[0] == pytest.approx(elbow, abs=1e-12)
        for angle in np.linspace(0.0, deg(15), 5):
            _sound(shape, [Pose(sound_scapular_abduction=float(angle))])
    (kept,) = (value for name, value in vars(shape).items() if "sound arm" in name)
    assert 0 < len(kept) <= 4


def test_turned_bodies_are_those_of_the_poses_turned() -> None:
    poses = (POSES[1], POSES[3])
    for held in (False, True):
        bodies = turned(MAN, poses, girdle_held=held)
        assert turned(MAN, poses, girdle_held=held) is bodies
        assert bodies is not turned(WOMAN, poses, girdle_held=held)
        more = np.array([TURN, TURN, -TURN, -TURN])
        anew = place(built(MAN), np.zeros(4, dtype=np.intp), [*poses, *poses], more_flexion=more, girdle_held=held)
        assert np.array_equal(bodies.posed.axes, anew.axes)
        assert np.array_equal(bodies.posed.joint, anew.joint)


def test_what_a_motion_generates_stays_with_it_and_cannot_be_written_over(found: Followed) -> None:
    kept = generated(found)
    assert np.array_equal(kept, generated(replace(found)))
    assert generated(found).base is kept.base or np.shares_memory(generated(found), kept)
    with pytest.raises(ValueError, match="read-only"):
        kept[0] = 1.0


def test_a_moment_arm_asked_for_late_is_that_of_its_pose(system: SingleControl, found: Followed) -> None:
    one, other = (system.answer(found, k) for k in range(2))
    arms = other.moment_arm, one.moment_arm
    assert arms[::-1] == tuple(found.moment_arm(at) for at in found.asked)
    assert arms[0] != pytest.approx(arms[1], rel=1e-3)


@pytest.mark.parametrize("task", ["repeat", "hold"])
def test_a_budget_reads_the_forces_of_its_own_device(system: SingleControl, task: str) -> None:
    devices = [VoluntaryOpening(bands=2), VoluntaryClosing(), VoluntaryOpening(bands=2), VoluntaryOpening(bands=9)]
    pays = []
    for device in devices:
        fitted = replace(system, device=device)
        drawn = budget(fitted, fitted.at(elbow_flexion=deg(90)), task)
        line, may = fitted.line(deg(90)), drawn.allowed * fitted.strength.cable
        travel = np.linspace(0.0, device.travel, 201)
        if task == "hold":
            needs = [device.force_back(float(x)) * line.efficiency_back for x in travel]
        else:
            needs = [device.force(float(x)) / line.efficiency for x in travel]
        beyond = [k for k, need in enumerate(needs) if need > may]
        assert drawn.by_force == (travel[max(beyond[0] - 1, 0)] if beyond else np.inf)
        pays.append(drawn.by_force)
    assert len(set(pays)) > 1
