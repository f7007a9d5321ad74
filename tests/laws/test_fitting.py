"""One set-up on many wearers: who is drawn, what a trial finds, how it is judged, and how sure a share is."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import Any

import numpy as np
import pytest

from controlkit.mechanics import POSITIONS, SingleControl, Wearer, budget, figure_of_eight, hook_opening
from controlkit.mechanics.chain import on_command
from controlkit.mechanics.study import Trial, candidates, interval, mean_strength, served, try_on
from controlkit.mechanics.study.fitting import CLEARANCE, MOST, TrialNumbers
from controlkit.sources import source
from controlkit.units import InputError, mm


@pytest.fixture(scope="module")
def woman() -> Wearer:
    """An average woman."""
    return Wearer.average("female")


def _trial(position: str = "waist", bands: int = 3, **worn: Any) -> Trial:
    harness = figure_of_eight(Wearer.average("male"), **{"ring_below_c7": mm(60), **worn})
    return Trial(system=SingleControl(harness, device=hook_opening(bands)), position=position)


def test_a_trial_is_what_the_chain_answers(woman: Wearer) -> None:
    """On the wearer, whoever the system was first made for; the same two poses."""
    trial = _trial()
    found = try_on(trial, woman).tried
    system = trial.system.on(woman)
    held = on_command(woman, POSITIONS["waist"], trial.forward)
    reaching, pull = system.over([POSITIONS["waist"], held.pose])
    assert (found.reached, found.commanded) == (reaching.travel, pull.travel)
    assert found.efficiency == system.line(held.pose.elbow_flexion).efficiency


def test_judged_as_the_budget_of_a_position_is(woman: Wearer) -> None:
    """For the whole opening both say the same force and the same share."""
    on = try_on(_trial(), woman)
    assert on.pull is not None
    device = on.system.device
    found = served(on.tried, 280.0, width=device.full_opening - CLEARANCE, allowed=0.2)
    one = budget(on.system, on.pull)
    assert found.force == pytest.approx(one.harness_force)
    assert found.share == pytest.approx(one.cable_share)
    assert found.excursion_left == pytest.approx(one.by_excursion - device.travel)


def test_each_budget_fails_alone_at_its_own_limit(woman: Wearer) -> None:
    tried = try_on(_trial(ring_below_c7=mm(110)), woman).tried
    good = served(tried, 280.0, width=mm(25), allowed=0.2)
    assert good.fails == ()
    assert served(tried, 0.999 * good.force / 0.2, width=mm(25), allowed=0.2).fails == ("force",)
    assert served(tried, 1.001 * good.force / 0.2, width=mm(25), allowed=0.2).fails == ()
    assert served(tried, 280.0, width=mm(70), allowed=0.2).fails == ("excursion",)
    at_table = try_on(_trial("table", ring_below_c7=mm(110)), woman).tried
    thin = served(at_table, 280.0, width=mm(15), allowed=0.2)
    assert thin.fails == ("drops",)
    assert thin.keeps < 0.0
    assert served(at_table, 280.0, width=mm(40), allowed=0.2).fails == ()


def test_no_answer_is_no_hold(woman: Wearer) -> None:
    nothing = TrialNumbers(device=hook_opening(3))
    assert served(nothing, 280.0, width=mm(25), allowed=0.2).fails == ("no hold",)
    unsettled = replace(try_on(_trial(), woman).tried, settled=False)
    assert served(unsettled, 280.0, width=mm(25), allowed=0.2).fails == ("no hold",)


def test_strength_and_object_need_no_new_trial_and_move_the_right_way(woman: Wearer) -> None:
    tried = try_on(_trial(), woman).tried
    wider = [served(tried, 200.0, width=mm(wide), allowed=0.2) for wide in (10, 25, 40, 60)]
    for thin, thick in pairwise(wider):
        assert thick.excursion_left < thin.excursion_left
        assert thick.force > thin.force
        assert thick.keeps > thin.keeps
    assert {served(tried, pull, width=mm(25), allowed=0.2).excursion_left for pull in (100.0, 300.0)} == {
        wider[1].excursion_left
    }


def test_fewer_bands_leave_more_excursion(woman: Wearer) -> None:
    """The device asks for the same travel; less pull lets the ring slip and flesh give less."""
    three, two = (served(try_on(_trial(bands=n), woman).tried, 280.0, width=mm(25), allowed=0.2) for n in (3, 2))
    assert two.force == pytest.approx(two.share * 280.0) == pytest.approx(three.force * 2 / 3, rel=1e-6)
    assert two.excursion_left > three.excursion_left + mm(1)


def test_broad_shoulders_lose_to_the_front_strap_what_scapulae_give() -> None:
    """The average man's scapulae generate more and his harness captures less; let out, that strap gives it back."""
    found = {
        (sex, out): try_on(_trial(support_strap=mm(out)), Wearer.average(sex)).pull
        for sex in ("female", "male")
        for out in (0, 20)
    }
    assert all(found.values())
    woman, man, eased = (found[key].excursion for key in (("female", 0), ("male", 0), ("male", 20)))  # type: ignore[union-attr]
    assert man.generated > woman.generated
    assert man.captured < woman.captured
    assert eased.captured > man.captured + mm(5)
    assert man.lost["ring"] - woman.lost["ring"] > man.generated - woman.generated


def test_the_same_people_each_time_and_fewer_are_the_first_of_more() -> None:
    many = candidates(("female", "male"), 20)
    assert candidates(("female", "male"), 7) == many[:7]
    assert [one.wearer.sex for one in many[:4]] == ["female", "male", "female", "male"]
    assert candidates(("male",), 10) == many[1::2]
    assert len({one.wearer.name for one in many}) == 20


def test_builds_are_the_quarters_of_each_sex() -> None:
    """Shortest and tallest quarter of what was drawn, each sex by itself."""
    for sex in ("female", "male"):
        small, any_, large = (
            np.array([one.wearer.stature for one in candidates((sex,), MOST, build)])
            for build in ("small", "any", "large")
        )
        assert small.max() < np.median(any_) < large.min()
        assert 0.15 < (any_ <= small.max()).mean() < 0.35
        assert 0.15 < (any_ >= large.min()).mean() < 0.35


def test_strength_is_spread_as_published_about_the_mean() -> None:
    luck = np.array([one.luck for sex in ("female", "male") for one in candidates((sex,), MOST)])
    printed = source("strength_spread")
    assert abs(luck.mean() - 1.0) < 3.0 * luck.std() / np.sqrt(len(luck))
    assert printed.si_low < luck.std() / luck.mean() < printed.si_high
    assert mean_strength("female", 30.0) == pytest.approx(
        source("shoulder_flexion_women_of_men").si * mean_strength("male", 30.0)
    )


def test_strength_of_those_drawn_lies_within_what_was_measured_on_wearers() -> None:
    """87 to 538 N of 23 wearers: most of those drawn, not all; the weakest women lie below."""
    low, high = source("user_maximum_force").si_low, source("user_maximum_force").si_high
    drawn = np.array([one.strength(40.0) for one in candidates(("female", "male"), MOST)])
    assert ((low <= drawn) & (drawn <= high)).mean() > 0.9
    assert drawn.min() < low


@pytest.mark.parametrize("share", [0.05, 0.3, 0.5, 0.9])
@pytest.mark.parametrize("tries", [12, 24, 60])
def test_the_interval_holds_the_share_as_often_as_it_says(share: float, tries: int) -> None:
    """Over all outcomes of a binomial trial, weighed by their chance: near 95 of 100."""
    hits = np.arange(tries + 1)
    chance = np.ones(tries + 1)
    for k in range(1, tries + 1):
        chance[k] = chance[k - 1] * (tries - k + 1) / k
    chance = chance * share**hits * (1.0 - share) ** (tries - hits)
    inside = [interval(int(k), tries)[0] <= share <= interval(int(k), tries)[1] for k in hits]
    assert chance.sum() == pytest.approx(1.0)
    assert 0.91 < chance[inside].sum() <= 1.0


def test_the_interval_narrows_with_the_root_of_the_number() -> None:
    wide = [np.subtract(*interval(n // 2, n)[::-1]) for n in (100, 400, 1600)]
    assert wide[0] / wide[1] == pytest.approx(2.0, rel=0.02)
    assert wide[1] / wide[2] == pytest.approx(2.0, rel=0.01)


def test_what_cannot_be_asked_is_refused_in_words() -> None:
    with pytest.raises(InputError, match="120"):
        candidates(("female",), 121)
    with pytest.raises(InputError, match="build"):
        candidates(("female",), 3, "stout")
    with pytest.raises(InputError, match="position"):
        _trial("lap")
    with pytest.raises(InputError, match="at least one"):
        interval(0, 0)
    with pytest.raises(InputError, match="years"):
        mean_strength("female", 90.0)
