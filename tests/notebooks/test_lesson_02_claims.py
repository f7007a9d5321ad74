"""What lesson 2 says in words is what the model computes, for women and men."""

from __future__ import annotations

import numpy as np
import pytest

from controlkit.mechanics import Pose, SingleControl, Strength, Wearer, figure_of_eight
from controlkit.mechanics.chain.motions import Apart, take_apart
from controlkit.mechanics.study.drivers import drivers
from controlkit.mechanics.study.population import population
from controlkit.sources import source
from controlkit.units import deg

ELBOW = deg(90)


@pytest.fixture(scope="module", params=["female", "male"])
def system(request: pytest.FixtureRequest) -> SingleControl:
    """Yusuf's harness, on a man and on a woman of average build."""
    return SingleControl(figure_of_eight(Wearer.average(request.param, amputated="left")))


def _made(system: SingleControl, **degrees: float) -> Apart:
    return take_apart(system, Pose(**{"elbow_flexion": ELBOW, **{name: deg(a) for name, a in degrees.items()}}))


def test_a_shrug_slackens_and_depression_pulls(system: SingleControl) -> None:
    assert _made(system, shoulder_elevation=20).shares[0].generated < 0
    assert _made(system, shoulder_elevation=-10).shares[0].generated > 0
    assert _made(system, arm_flexion=-20).shares[0].generated < 0
    assert _made(system, arm_abduction=40).shares[0].generated > 0
    crossbar = system.at(elbow_flexion=ELBOW).straps["control attachment strap"][-1]
    assert system.at(elbow_flexion=ELBOW).ring[1] > crossbar[1] + 0.05, "the ring lies higher than the crossbar"


def test_blade_and_flexion_give_more_than_their_sum_abduction_less(system: SingleControl) -> None:
    blade = _made(system, arm_flexion=60, scapular_abduction=20)
    assert blade.pull.excursion.generated > blade.summed + 0.003
    out = _made(system, arm_flexion=60, arm_abduction=60)
    assert out.pull.excursion.generated < out.summed - 0.010
    shrug = _made(system, arm_flexion=60, shoulder_elevation=20)
    assert shrug.pull.excursion.generated < system.at(arm_flexion=deg(60), elbow_flexion=ELBOW).excursion.generated


def test_why_they_do_not_add(system: SingleControl) -> None:
    """The strap at the crossbar points down with the arm hanging, forward when it is flexed, outward when out."""

    def heading(**degrees: float) -> np.ndarray:
        strap = _made(system, **degrees).pull.straps["control attachment strap"]
        last = strap[-1] - strap[-4]
        return np.asarray(last / np.linalg.norm(last))

    rest, flexed, out = heading(), heading(arm_flexion=60), heading(arm_abduction=60)
    assert -rest[1] > rest[0], "down rather than forward"
    assert flexed[0] > rest[0] + 0.2
    assert abs(out[2]) > abs(rest[2]) + 0.2


def test_reaching_and_quiet_motions(system: SingleControl) -> None:
    """Arm flexion gives more and moves the device far; the blade gives less and hardly moves it."""
    flexed, blade = _made(system, arm_flexion=60), _made(system, scapular_abduction=20)
    assert flexed.shares[0].generated > 1.5 * blade.shares[0].generated
    assert flexed.moved > 5 * blade.moved
    assert blade.moved < 0.09
    for share, least in ((flexed, 5.0), (blade, 1.0)):
        assert share.moved / share.shares[0].generated > least
    assert blade.moved / blade.shares[0].generated < 3.0


def test_two_roads_to_one_opening(system: SingleControl) -> None:
    """With the blade forward the same opening needs less flexion, and the device moves less."""

    def needed(blade: float) -> tuple[float, float]:
        angles = np.arange(0.0, 91.0, 5.0)
        motion = system.sweep(np.deg2rad(angles), elbow_flexion=ELBOW, scapular_abduction=deg(blade))
        angle = float(np.interp(motion.required[0], motion.captured, angles))
        return angle, _made(system, arm_flexion=angle, scapular_abduction=blade).moved

    alone, helped = needed(0), needed(20)
    assert helped[0] < alone[0] - 10
    assert helped[1] < alone[1] - 0.05


def test_both_blades_capture_more_than_one_and_the_device_goes_no_further(system: SingleControl) -> None:
    """The sound side draws the ring through the loop: it generates, and part of that is captured."""
    one, sound, both = (
        _made(system, arm_flexion=20, scapular_abduction=a, sound_scapular_abduction=b)
        for a, b in ((20, 0), (0, 20), (20, 20))
    )
    only = system.at(arm_flexion=deg(20), elbow_flexion=ELBOW)
    assert both.pull.excursion.captured > one.pull.excursion.captured + 0.005
    assert sound.pull.excursion.captured > only.excursion.captured
    drawn = sound.pull.excursion.generated - only.excursion.generated
    assert drawn > 0.010
    assert sound.pull.excursion.captured - only.excursion.captured < drawn
    assert both.moved == pytest.approx(one.moved, abs=1e-6)
    assert both.pull.strap_tension["axilla loop"] > 0.0
    forward = _made(system, scapular_abduction=20).pull.strap_tension
    assert forward["anterior support strap"] > only.strap_tension["anterior support strap"] + 10.0


def test_a_straight_elbow_takes_the_device_further_for_the_same_excursion(system: SingleControl) -> None:
    bent, straight = (_made(system, arm_flexion=45, elbow_flexion=np.rad2deg(e)) for e in (ELBOW, 0.0))
    assert straight.moved > 1.2 * bent.moved
    assert straight.shares[0].generated == pytest.approx(bent.shares[0].generated, rel=1e-6)


def test_strength_changes_the_share_and_not_the_pull(system: SingleControl) -> None:
    weak = SingleControl(system.harness, strength=Strength(cable=source("user_maximum_force").si_low))
    pull, other = _made(system, arm_flexion=60).pull, _made(weak, arm_flexion=60).pull
    assert other.harness_force == pytest.approx(pull.harness_force)
    assert other.cable_share > 2 * pull.cable_share


def test_figures_in_the_text_are_those_of_the_sources() -> None:
    """About 8 % held, 14 % repeated, 20 % in use; common practice about twice the survey."""
    shares = [source(f"fatigue_{name}").si for name in ("share_sustained", "share_intermittent", "free_share")]
    assert [round(100 * share) for share in shares] == [8, 14, 20]
    practice, survey = source("shoulder_flexion_excursion_practice"), source("arm_flexion_excursion")
    assert 1.5 < 0.5 * (practice.si_low + practice.si_high) / survey.si < 2.6
    assert source("shrug_excursion").si > 2 * 0.0254


def test_slope_of_the_shoulders_matters_most_and_stature_hardly() -> None:
    """The table that the lesson prints, of the people it draws."""
    for sex in ("female", "male"):
        found = drivers(population(sex, 200, seed=1, arm_flexion=(0.0, deg(60)), processes=1))
        depends = dict(zip(found.measures, found.coefficient, strict=True))
        assert found.unanswered == 0
        assert max(depends, key=lambda name: abs(depends[name])) == "c7_above_acromion"
        assert depends["c7_above_acromion"] < -0.4
        assert abs(depends["stature"]) < 0.1
        assert min(depends["chest_circumference"], depends["biceps_circumference_flexed"]) > 0.1
