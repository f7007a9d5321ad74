"""Whether to fit, and how to wear: what sources print, beside what the package makes of it."""

from __future__ import annotations

import pytest

from controlkit.mechanics.study.fitting import mean_strength
from controlkit.sources import source


def test_strength_falls_as_a_review_says() -> None:
    """Hurley 1995: level to the fourth or fifth decade, then 12 to 15 % a decade to the eighth."""
    printed = source("strength_fall_decade")
    for sex in ("male", "female"):
        assert mean_strength(sex, 25.0) == mean_strength(sex, 49.0)
        for age in (50.0, 60.0, 70.0):
            fall = 1.0 - mean_strength(sex, age + 10.0) / mean_strength(sex, age)
            assert printed.si_low <= fall <= printed.si_high


def test_rates_of_rejection_conflict_and_all_are_printed() -> None:
    """Biddiss and Chau twice, and a later survey: no one number; the wider range seen elsewhere holds them but one."""
    rates = [
        source(f"rejection_{of}").si for of in ("own_survey", "body_powered_adults", "traumatic_loss",
                                                "body_powered_children")
    ]  # fmt: skip
    assert rates == sorted(rates)
    assert rates[-1] > 2.0 * rates[0]
    wider = source("rejection_rate")
    assert [wider.si_low <= rate <= wider.si_high for rate in rates] == [False, True, True, True]
    electric, pulled = (
        [source(f"rejection_{kind}_{whom}").si for whom in ("adults", "children")]
        for kind in ("electric", "body_powered")
    )
    assert all(less < more for less, more in zip(electric, pulled, strict=True))
    assert max(more - less for less, more in zip(electric, pulled, strict=True)) < rates[-1] - rates[0]


def test_two_surveys_find_more_complaints_with_arm_absence() -> None:
    """Østlie 2011 and Postema 2016: more than half have complaints; nearly twice as many as with two arms."""
    with_two_arms = source("arm_absence_complaints_controls").si
    assert min(source("sound_side_pain").si, source("arm_absence_complaints").si) > 0.5
    assert source("arm_absence_complaints").si / with_two_arms == pytest.approx(65 / 34)


def test_schedules_conflict_and_both_are_printed() -> None:
    """One clinic begins with three times half an hour, the other with one; marks may last 20 or up to 30 minutes."""
    assert source("wear_first_day").si == source("wear_first_day_elsewhere").si
    assert "Three times" in source("wear_first_day").note
    assert source("wear_first_day_elsewhere").what.endswith("once")
    assert source("skin_marks_elsewhere").si_low == source("skin_marks").si < source("skin_marks_elsewhere").si_high
