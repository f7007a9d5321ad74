"""Both shares in words and bars: each with its own strength, and nothing that mixes them."""

from __future__ import annotations

from functools import lru_cache

import pytest

from controlkit.draw.charts.effort import shoulder_group
from controlkit.draw.words.effort import cable_share_words, shoulder_share_words
from controlkit.draw.words.pull import comparison_words, force_words
from controlkit.mechanics import Pull, SingleControl, Strength, Wearer, figure_of_eight
from controlkit.units import deg, mm


@lru_cache(maxsize=8)
def _pull(flexion: float, *, flexion_moment: float | None = None, ring: float = mm(60)) -> Pull:
    harness = figure_of_eight(Wearer.average("male"), ring_below_c7=ring)
    system = SingleControl(harness, strength=Strength(flexion_moment=flexion_moment))
    return system.at(arm_flexion=deg(flexion), elbow_flexion=deg(90))


def test_each_share_names_its_own_strength() -> None:
    pull = _pull(30.0)
    cable, shoulder = cable_share_words(pull, Strength(), "metric"), shoulder_share_words(pull, "metric")
    assert f"{100 * pull.cable_share:.0f} % of the wearer's strongest pull of 280.0 N ({pull.fatigue})" in cable
    assert f"{100 * pull.shoulder_share:.0f} % of a flexion moment of {pull.flexion_strength:.2f} N m" in shoulder
    assert pull.fatigue not in shoulder
    assert "N m" not in cable
    assert "cable" not in shoulder


@pytest.mark.parametrize(
    ("flexion", "own", "said"),
    [
        (30.0, 70.0, "for about"),
        (30.0, 15.0, "for less than 5 minutes"),
        (30.0, 250.0, "for ever it cannot"),
        (-40.0, None, "none;"),
    ],
)
def test_how_long_is_said_where_it_was_measured(flexion: float, own: float | None, said: str) -> None:
    assert said in shoulder_share_words(_pull(flexion, flexion_moment=own))


def test_beyond_the_measured_angle_the_sentence_says_so() -> None:
    assert "reckoned on" not in shoulder_share_words(_pull(45.0))
    assert "reckoned on" in shoulder_share_words(_pull(46.0))


def test_forces_tell_both_shares_and_a_pinned_ring_the_change_of_moment() -> None:
    low, high = _pull(30.0, ring=mm(110)), _pull(30.0)
    words = force_words(low, "metric")
    assert "cable share of" in words
    assert shoulder_share_words(low, "metric") in words
    more = low.shoulder_moment.total - high.shoulder_moment.total
    assert f"moment that the shoulder makes {more:.2f} N m more" in comparison_words(low, high, "metric")


def test_what_moves_the_scapula_is_said_to_be_left_out() -> None:
    system = SingleControl(figure_of_eight(Wearer.average("male")))
    arm, scapula, raised = (
        shoulder_share_words(system.at(**{name: deg(15)}))
        for name in ("arm_flexion", "scapular_abduction", "shoulder_elevation")
    )
    assert "scapula" not in arm
    assert "not in this share" in scapula
    assert "not in this share" in raised


def test_bars_lie_end_to_end_and_add_up() -> None:
    pull = _pull(30.0)
    weight, straps, both, most = shoulder_group(pull).bars
    assert (weight.end, straps.end) == (straps.start, both.end)
    assert both.end == pull.shoulder_moment.total
    assert both.end / most.end == pytest.approx(pull.shoulder_share)
