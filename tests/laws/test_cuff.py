"""What the pad gives along the limb: its law, the balance along the limb, and what it spares the straps."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from controlkit.mechanics import Cuff, Pose, Pull, SingleControl, Wearer, figure_of_eight
from controlkit.mechanics.harness import RIGID, Harness, chest_strap, figure_of_nine
from controlkit.mechanics.harness.motion import follow
from controlkit.mechanics.harness.suspension import carried
from controlkit.sources import source
from controlkit.units import deg, mm

PEOPLE = {
    "small woman": Wearer.at_percentile("female", 5),
    "average man": Wearer.average("male"),
    "very large man": Wearer.measured("male", stature=1.93, mass=130.0),
}
FORWARD, BOTH = deg(20), {"scapular_abduction": deg(20), "sound_scapular_abduction": deg(20)}
POSES = [
    Pose(arm_flexion=deg(60)),
    Pose(arm_flexion=deg(90)),
    Pose(scapular_abduction=FORWARD),
    Pose(**BOTH),
    Pose(arm_abduction=deg(60)),
]


@cache
def _pulls(who: str, cuff: Cuff) -> tuple[Pull, ...]:
    return tuple(SingleControl(figure_of_eight(PEOPLE[who], cuff=cuff)).over(POSES))


def test_the_measured_stiffness_stands_within_what_was_measured() -> None:
    """Alone it is as stiff as the cuffs that were measured, in either direction."""
    cuff = Cuff(socket=0.0)
    give = mm(1) * np.array([0.1, 1.0, 10.0, 20.0])
    force, rate = cuff.pull(give)
    measured = source("cuff_along")
    assert cuff.stiffness == pytest.approx(0.5 * (measured.si_low + measured.si_high), rel=0.03)
    assert np.all(rate[:3] <= measured.si_high)
    assert np.all(force / give < 1.1 * measured.si_high)
    assert np.all(force / give > measured.si_low)
    assert np.array_equal(cuff.pull(-give)[0], -force)


def test_by_default_the_socket_holds_half_as_well_as_one_on_the_lower_leg() -> None:
    assert Cuff().socket == pytest.approx(0.5 * 90.0 / source("socket_give_lower_leg").si)


@pytest.mark.parametrize("cuff", [Cuff(), Cuff(stiffening=0.0), Cuff(stiffness=500.0, stiffening=80.0, socket=0.0)])
def test_its_pull_rises_smoothly_and_its_rate_is_the_slope(cuff: Cuff) -> None:
    give = np.linspace(-mm(90), mm(90), 3601)
    force, rate = cuff.pull(give)
    assert np.all(np.diff(force) > 0.0)
    assert np.all(np.diff(rate[give >= 0.0]) >= -1e-9 * rate.max())
    middle = 0.5 * (rate[1:] + rate[:-1])
    assert np.abs(np.diff(force) / np.diff(give) / middle - 1.0).max() < 1e-4
    assert force[1800] == 0.0


@pytest.mark.parametrize("make", [figure_of_eight, figure_of_nine, chest_strap], ids=lambda make: make.__name__)
@pytest.mark.parametrize("who", PEOPLE)
def test_what_the_straps_pull_along_the_limb_is_what_the_cuff_holds(who: str, make: object) -> None:
    harness: Harness = make(PEOPLE[who])  # type: ignore[operator]
    found = follow(harness, POSES, SingleControl(harness).law)
    rows = list(found.asked)
    assert found.net.settled.all()
    assert np.allclose(harness.cuff.pull(found.net.give[rows])[0], carried(found), atol=2e-3)
    assert found.net.give[0] == pytest.approx(0.0, abs=1e-9)  # just snug, nothing pulls


@pytest.mark.parametrize("who", PEOPLE)
def test_the_softer_the_hold_the_further_the_pad_and_the_less_the_support_strap_bears(who: str) -> None:
    holds = [RIGID, Cuff(socket=15_000.0), Cuff(), Cuff(socket=0.0)]
    pulls = [_pulls(who, cuff) for cuff in holds]
    assert all(pull.settled for each in pulls for pull in each)
    for k in range(len(POSES)):
        shift = [each[k].pad_shift for each in pulls]
        assert shift[0] == 0.0
        assert shift == sorted(shift)
        assert shift[1] > mm(1)
        captured = [each[k].excursion.captured for each in pulls]
        assert captured == sorted(captured, reverse=True)
    forward = [each[2].strap_tension["anterior support strap"] for each in pulls]
    assert forward == sorted(forward, reverse=True)
    assert forward[2] < 0.7 * forward[0]


@pytest.mark.parametrize("who", PEOPLE)
def test_a_cuff_that_hardly_gives_comes_to_one_that_does_not(who: str) -> None:
    for hard, rigid in zip(_pulls(who, Cuff(stiffness=1e6, socket=1e6)), _pulls(who, RIGID), strict=True):
        assert hard.excursion.captured == pytest.approx(rigid.excursion.captured, abs=mm(0.3))
        assert hard.harness_force == pytest.approx(rigid.harness_force, abs=0.3)


def test_a_slip_asked_for_keeps_the_prosthesis_where_it_is() -> None:
    """Where a load drags the socket, the load acts on the prosthesis itself: the cuff has no say."""
    soft = figure_of_eight(PEOPLE["average man"])
    poses = [Pose(socket_slip=mm(10)), Pose(socket_slip=mm(25), arm_flexion=deg(30))]
    found = [follow(harness, poses, SingleControl(harness).law) for harness in (soft, replace(soft, cuff=RIGID))]
    rows = list(found[0].asked)
    assert np.array_equal(found[0].net.give[rows], np.zeros(len(rows)))
    assert np.allclose(found[0].net.tension[:, rows], found[1].net.tension[:, rows], atol=2e-3)


def test_a_pad_that_rides_up_is_told() -> None:
    """Both scapulae forward, the arm hanging, draw at the support strap most; flexion lets it hang."""
    flexed, forward = (_pulls("average man", Cuff())[k] for k in (0, 3))
    (said,) = (state for state in forward.states if state.code == "pad-ridden-up")
    assert said.values["risen"] == forward.pad_shift > mm(10)
    assert "pad-ridden-up" not in {state.code for state in flexed.states}


def test_left_and_right_give_alike() -> None:
    left, right = (
        SingleControl(figure_of_eight(Wearer.average("male", amputated=side))).at(**BOTH) for side in ("left", "right")
    )
    assert left.pad_shift == pytest.approx(right.pad_shift, abs=1e-12)
