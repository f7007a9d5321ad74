"""Drillis R, Contini R 1966, as in Winter DA, Biomechanics and Motor Control of Human Movement, 2009, fig. 4.1.

Segments as shares of stature, read in three unrelated public files that agree. Compared with the
military survey (Gordon et al. 2014): other people, other landmarks, so they lie near but not on it.
"""

from __future__ import annotations

import math

import pytest

from controlkit.mechanics import Pose, Wearer
from controlkit.mechanics.body.outline import CHIN, outlines
from controlkit.sources import source, survey

# proportion, measure of the survey, ratio printed for men and women
PAIRS = [
    ("upper_arm_of_stature", "acromion_radiale_length", 0.191, 0.191),
    ("forearm_of_stature", "radiale_stylion_length", 0.152, 0.148),
    ("hand_of_stature", "hand_length", 0.110, 0.111),
    ("shoulder_height_of_stature", "acromial_height", 0.820, 0.820),
    ("shoulder_width_of_stature", "biacromial_breadth", 0.237, 0.224),
]


def _ratio(sex: str, measure: str) -> tuple[float, float]:
    """Return mean and SD of a measure over stature, to first order in the spreads."""
    people = survey(sex)
    at, tall = people.index(measure), people.index("stature")
    ratio = float(people.mean[at] / people.mean[tall])
    one, other = float(people.sd[at] / people.mean[at]), float(people.sd[tall] / people.mean[tall])
    r = float(people.correlation[at, tall])
    return ratio, ratio * math.sqrt(one**2 + other**2 - 2 * r * one * other)


@pytest.mark.parametrize(("proportion", "measure", "men", "women"), PAIRS)
def test_survey_ratios_beside_the_proportions(proportion: str, measure: str, men: float, women: float) -> None:
    assert _ratio("male", measure)[0] == pytest.approx(men, abs=0.00055)
    assert _ratio("female", measure)[0] == pytest.approx(women, abs=0.00055)


@pytest.mark.parametrize(("proportion", "measure"), [pair[:2] for pair in PAIRS[:4]])
@pytest.mark.parametrize("sex", ["male", "female"])
def test_drillis_contini_lies_among_the_people_measured(sex: str, proportion: str, measure: str) -> None:
    printed = source(proportion).si
    mean, spread = _ratio(sex, measure)
    assert abs(printed - mean) < 2 * spread


@pytest.mark.parametrize("sex", ["male", "female"])
def test_drillis_contini_shoulder_width_is_wider_than_biacromial(sex: str) -> None:
    mean, spread = _ratio(sex, "biacromial_breadth")
    assert source("shoulder_width_of_stature").si > mean + 2 * spread


def test_drillis_contini_half_of_the_shoulder_width() -> None:
    whole, half = source("shoulder_width_of_stature"), source("half_shoulder_width_of_stature")
    assert whole.si / 2 == pytest.approx(half.si, abs=half.digit / 2 + whole.digit / 4)


@pytest.mark.parametrize("sex", ["male", "female"])
def test_drillis_contini_chin_is_where_the_head_is_drawn(sex: str) -> None:
    printed, wearer = source("chin_height_of_stature"), Wearer.average(sex)
    assert printed.si == CHIN
    (head,) = (part for part in outlines(wearer, Pose(), "back") if part.name == "head")
    lowest = float(head.points[:, 1].min()) + wearer.suprasternale_height
    assert lowest == pytest.approx(printed.si * wearer.stature, abs=0.01 * wearer.stature)


@pytest.mark.parametrize("sex", ["male", "female"])
def test_drillis_contini_hip_is_below_the_waist_and_as_broad(sex: str) -> None:
    """The survey in use has no hip: its waist lies higher and is about as broad, within two SD of the ratio."""
    assert source("hip_height_of_stature").si < _ratio(sex, "waist_height")[0]
    mean, spread = _ratio(sex, "waist_breadth")
    assert source("hip_width_of_stature").si == pytest.approx(mean, abs=2 * spread)
