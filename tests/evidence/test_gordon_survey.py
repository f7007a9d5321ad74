"""Gordon CC et al. 2012 Anthropometric Survey of U.S. Army Personnel: Methods and Summary Statistics.

NATICK/TR-15/007, 2014. Public-domain data of the US government, 4,082 men and 1,986 women. The
tables below were computed from the full public file, apart from the statistics in the package; the
tests derive them again from means, spreads and correlations. Lengths in mm, mass in kg.
"""

from __future__ import annotations

import math
from itertools import product

import numpy as np
import pytest

from controlkit.sources import Survey, source, survey

SEXES = ("male", "female")
# measure: (mean, SD, percentile 5, percentile 95) of men, then of women; percentiles where printed
TABLE: dict[str, tuple[tuple[float, ...], tuple[float, ...]]] = {
    "stature": ((1756.2, 68.6, 1648, 1870), (1628.5, 64.2, 1525, 1740)),
    "cervicale_height": ((1517.3, 63.3, 1416, 1623), (1395.7, 59.5, 1300, 1498)),
    "acromial_height": ((1440.7, 63.3, 1339, 1546), (1335.1, 58.1, 1242, 1434)),
    "axilla_height": ((1329.1, 59.5, 1234, 1427), (1239.0, 55.8, 1149, 1333)),
    "suprasternale_height": ((1438.6, 61.3, 1341, 1540), (1329.7, 57.2, 1236, 1428)),
    "biacromial_breadth": ((415.7, 19.2, 384, 447), (365.4, 18.3, 335, 396)),
    "bideltoid_breadth": ((510.4, 32.5, 459, 567), (450.3, 28.7, 406, 499)),
    "interscye": ((430.9, 35.2, 374, 491), (373.4, 29.8, 326, 423)),
    "chest_breadth": ((289.4, 18.3, 261, 320), (269.3, 18.6, 241, 302)),
    "chest_depth": ((253.9, 26.3, 211, 298), (247.4, 27.3, 205, 296)),
    "chest_circumference": ((1058.7, 87.4, 922, 1207), (946.9, 82.7, 824, 1094)),
    "waist_circumference": ((940.6, 111.7, 768, 1131), (860.9, 99.9, 710, 1040)),
    "waist_breadth": ((326.4, 34.7), (299.9, 33.0)),
    "waist_depth": ((237.8, 34.7), (213.0, 31.4)),
    "shoulder_length": ((149.8, 10.5, 133, 167), (135.4, 10.3, 120, 153)),
    "acromion_radiale_length": ((335.2, 17.5, 307, 365), (311.2, 17.2, 283, 340)),
    "radiale_stylion_length": ((267.9, 15.4, 244, 295), (241.3, 15.2, 218, 268)),
    "shoulder_elbow_length": ((363.7, 18.2, 334, 394), (334.3, 17.3, 307, 363)),
    "forearm_hand_length": ((480.2, 23.3, 444, 520), (439.9, 23.4, 404, 480)),
    "hand_length": ((193.3, 10.0, 177, 210), (181.1, 10.1, 165, 199)),
    "biceps_circumference_flexed": ((358.1, 34.6), (305.6, 30.8)),
}
# measure: (ratio to stature, its SD, slope, intercept, r, standard error of estimate)
ON_STATURE: dict[str, tuple[tuple[float, ...], tuple[float, ...]]] = {
    "acromial_height": ((0.8203, 0.0096, 0.8926, -126.9, 0.967, 16.2), (0.8198, 0.0087, 0.8793, -96.9, 0.972, 13.7)),
    "cervicale_height": ((0.8639, 0.0066, 0.9084, -78.1, 0.984, 11.2), (0.8570, 0.0068, 0.9126, -90.4, 0.984, 10.5)),
    "biacromial_breadth": ((0.2368, 0.0098, 0.1486, 154.6, 0.532, 16.2), (0.2244, 0.0096, 0.1612, 102.8, 0.566, 15.1)),
    "acromion_radiale_length": (
        (0.1909, 0.0061, 0.2028, -20.9, 0.795, 10.6),
        (0.1911, 0.0065, 0.2120, -34.0, 0.793, 10.5),
    ),
    "radiale_stylion_length": (
        (0.1525, 0.0061, 0.1608, -14.4, 0.715, 10.8),
        (0.1482, 0.0068, 0.1632, -24.5, 0.687, 11.1),
    ),
    "chest_breadth": ((0.1649, 0.0102, 0.0911, 129.4, 0.342, 17.2), (0.1655, 0.0110, 0.1002, 106.2, 0.346, 17.4)),
    "chest_depth": ((0.1446, 0.0147, 0.0843, 105.8, 0.220, 25.6), (0.1520, 0.0165, 0.0979, 88.0, 0.230, 26.6)),
}
HALF_TENTH = 0.05  # mm; both the tables above and the statistics in the package are rounded to 0.1 mm
HALF_R = 0.0005  # correlations in the package carry three decimals


def _numbers(people: Survey, measure: str) -> tuple[float, float]:
    """Return mean and SD of a measure [mm]."""
    at = people.index(measure)
    return float(people.mean[at]) * 1e3, float(people.sd[at]) * 1e3


def _r(people: Survey, one: str, other: str) -> float:
    return float(people.correlation[people.index(one), people.index(other)])


def _span(function: object, *inputs: tuple[float, float]) -> tuple[float, float]:
    """Return the least and the greatest value that inputs (value, half a digit) allow."""
    assert callable(function)
    corners = [function(*choice) for choice in product(*[(x - h, x + h) for x, h in inputs])]
    return min(corners), max(corners)


def _agree(printed: float, half: float, span: tuple[float, float]) -> bool:
    """Tell whether the printed number, with its rounding, meets the span."""
    return span[0] - half - 1e-9 <= printed <= span[1] + half + 1e-9


@pytest.mark.parametrize("measure", TABLE)
@pytest.mark.parametrize("sex", SEXES)
def test_gordon_mean_spread_and_percentiles(sex: str, measure: str) -> None:
    people = survey(sex)
    printed = TABLE[measure][SEXES.index(sex)]
    mean, sd = _numbers(people, measure)
    assert mean == pytest.approx(printed[0], abs=2 * HALF_TENTH + 1e-9)
    assert sd == pytest.approx(printed[1], abs=2 * HALF_TENTH + 1e-9)
    if len(printed) == 4:
        at = people.index(measure)
        assert people.p05[at] * 1e3 == pytest.approx(printed[2], abs=0.5 + HALF_TENTH)
        assert people.p95[at] * 1e3 == pytest.approx(printed[3], abs=0.5 + HALF_TENTH)
        assert people.percentile(measure, 5) * 1e3 == pytest.approx(printed[2], abs=0.5 + HALF_TENTH)
        assert people.percentile(measure, 95) * 1e3 == pytest.approx(printed[3], abs=0.5 + HALF_TENTH)


@pytest.mark.parametrize(("sex", "mean", "sd", "n"), [("male", 85.52, 14.22, 4082), ("female", 67.76, 10.98, 1986)])
def test_gordon_body_mass_and_number_of_people(sex: str, mean: float, sd: float, n: int) -> None:
    people = survey(sex)
    at = people.index("mass")
    assert people.mean[at] == pytest.approx(mean, abs=0.005 + 0.0005)
    assert people.sd[at] == pytest.approx(sd, abs=0.005 + 0.0005)
    assert people.n == n


@pytest.mark.parametrize("measure", ON_STATURE)
@pytest.mark.parametrize("sex", SEXES)
def test_gordon_regression_on_stature(sex: str, measure: str) -> None:
    """The slope is r sd/sd, the intercept follows from the means, the error of estimate from r."""
    people = survey(sex)
    _, _, slope, intercept, r, error = ON_STATURE[measure][SEXES.index(sex)]
    (mean, sd), (stature, stature_sd) = _numbers(people, measure), _numbers(people, "stature")
    own_r = _r(people, "stature", measure)
    assert own_r == pytest.approx(r, abs=1e-9)
    inputs = ((own_r, HALF_R), (sd, HALF_TENTH), (stature_sd, HALF_TENTH))
    slopes = _span(lambda r, y, s: r * y / s, *inputs)
    assert _agree(slope, 0.00005, slopes)
    intercepts = _span(lambda b, y, s: y - b * s, (slope, 0.00005), (mean, HALF_TENTH), (stature, HALF_TENTH))
    assert _agree(intercept, 0.05, intercepts)
    errors = _span(lambda r, y: y * math.sqrt(1 - r * r), (own_r, HALF_R), (sd, HALF_TENTH))
    assert _agree(error, 0.05, errors)


@pytest.mark.parametrize("measure", ON_STATURE)
@pytest.mark.parametrize("sex", SEXES)
def test_gordon_ratio_to_stature(sex: str, measure: str) -> None:
    """Mean and SD of the ratio, to second order in the spreads, within one more digit than rounding."""
    people = survey(sex)
    ratio, ratio_sd = ON_STATURE[measure][SEXES.index(sex)][:2]
    (mean, sd), (stature, stature_sd) = _numbers(people, measure), _numbers(people, "stature")
    r = _r(people, "stature", measure)
    one, other = sd / mean, stature_sd / stature
    assert mean / stature * (1 + other**2 - r * one * other) == pytest.approx(ratio, abs=0.0001)
    spread = mean / stature * math.sqrt(one**2 + other**2 - 2 * r * one * other)
    assert spread == pytest.approx(ratio_sd, abs=0.0002)


@pytest.mark.parametrize(
    ("name", "upper", "lower"),
    [
        ("c7_above_acromion", "cervicale_height", "acromial_height"),
        ("acromion_above_axilla", "acromial_height", "axilla_height"),
        ("c7_above_suprasternale", "cervicale_height", "suprasternale_height"),
    ],
)
@pytest.mark.parametrize("sex", SEXES)
def test_gordon_differences_within_each_person(sex: str, name: str, upper: str, lower: str) -> None:
    """The SD of a difference tests correlations that are not with stature."""
    people = survey(sex)
    printed = source(f"{name}_{'men' if sex == 'male' else 'women'}")
    assert printed.value is not None
    assert printed.sd is not None
    (high, high_sd), (low, low_sd) = _numbers(people, upper), _numbers(people, lower)
    assert high - low == pytest.approx(printed.value, abs=3 * HALF_TENTH + 1e-9)
    spreads = _span(
        lambda a, b, r: math.sqrt(a * a + b * b - 2 * r * a * b),
        (high_sd, HALF_TENTH),
        (low_sd, HALF_TENTH),
        (_r(people, upper, lower), HALF_R),
    )
    assert _agree(printed.sd, HALF_TENTH, spreads)


@pytest.mark.parametrize("sex", SEXES)
def test_gordon_correlations_are_possible(sex: str) -> None:
    """Symmetric, ones on the diagonal, positive definite: bodies can be drawn from them."""
    correlation = survey(sex).correlation
    assert np.array_equal(correlation, correlation.T)
    assert np.array_equal(np.diag(correlation), np.ones(24))
    assert np.abs(correlation - np.eye(24)).max() < 1.0
    assert np.linalg.eigvalsh(correlation).min() > 0.0
