"""Wearers as the survey has them: draws, what is known and what follows from it, bodies that cannot be."""

from __future__ import annotations

import re

import numpy as np
import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st
from scipy import stats

from controlkit.mechanics import Wearer
from controlkit.mechanics.body.credible import CREDIBLE_SPREAD, TOGETHER_SPREAD
from controlkit.mechanics.body.shape import build
from controlkit.mechanics.body.wearer import measure_names
from controlkit.sources import survey
from controlkit.units import InputError, mm

SEXES = ("female", "male")
SEED = st.integers(0, 10_000)
NAMES = measure_names()


def _values(*wearers: Wearer) -> np.ndarray:
    return np.array([[getattr(w, name) for name in NAMES] for w in wearers])


def _standard(sex: str, values: np.ndarray) -> np.ndarray:
    people = survey(sex)
    return np.asarray((values - people.mean) / people.sd)


@pytest.mark.parametrize("sex", SEXES)
def test_impossible_draws_are_rejected_whole_and_none_is_clipped(sex: str) -> None:
    """The draws of the same generator, one after the other, untouched; those left out are the refused ones."""
    people, count = survey(sex), 3000
    root = np.linalg.cholesky(people.correlation * np.outer(people.sd, people.sd))
    rng, kept, refused = np.random.default_rng(5), [], 0
    while len(kept) < count:
        values = people.mean + root @ rng.standard_normal(24)
        try:
            measures = dict(zip(people.order, map(float, values), strict=True))
            kept.append(
                Wearer(sex=sex, amputated="right", level="transradial", residual_share=0.6, name="", **measures)
            )
        except InputError:
            refused += 1
    assert Wearer.draw(sex, count, seed=5) == tuple(kept)
    # 20,000 draws of each: 22 women refused (17 of them with hardly any flesh outside the acromion) and 5 men
    assert refused / count < 0.004
    values = _values(*kept)
    assert all(len(np.unique(column)) == count for column in values.T)  # a clipped measure would repeat its bound
    assert np.abs(_standard(sex, values)).max() < CREDIBLE_SPREAD


@pytest.mark.parametrize("sex", SEXES)
def test_draws_are_as_far_from_the_mean_as_a_normal_law_says(sex: str) -> None:
    """Distance from the mean in the survey's own metric: chi-square with 24 degrees of freedom."""
    standard = _standard(sex, _values(*Wearer.draw(sex, 3000, seed=8)))
    distance = np.einsum("ki,ij,kj->k", standard, np.linalg.inv(survey(sex).correlation), standard)
    assert stats.kstest(distance, stats.chi2(24).cdf).pvalue > 0.01


def test_same_seed_same_wearers_and_a_longer_list_starts_alike() -> None:
    assert Wearer.draw("male", 7, seed=3) == Wearer.draw("male", 20, seed=3)[:7]
    assert Wearer.draw("male", 7, seed=3) != Wearer.draw("male", 7, seed=4)


@pytest.mark.parametrize("count", [400, pytest.param(10_000, marks=pytest.mark.long)])
@pytest.mark.parametrize("sex", SEXES)
def test_every_drawn_wearer_can_be_built(sex: str, count: int) -> None:
    shape = build(Wearer.draw(sex, count, seed=21))
    for name in ("joint", "clavicle_tip", "acromion", "deltoid", "arm", "upper_arm", "forearm"):
        assert np.isfinite(getattr(shape, name)).all()
    assert (shape.joint[:, 2] > shape.deltoid).all()  # the shoulder stands beside the neck
    assert (shape.upper_arm > 0.15).all()


@given(st.sampled_from(SEXES), SEED, st.sets(st.sampled_from(NAMES), min_size=1, max_size=12))
@example("female", 1, set(NAMES))
def test_known_measures_stay_and_the_rest_is_their_conditional_mean(sex: str, seed: int, known: set[str]) -> None:
    """Against the form with the precision matrix, which shares no step with the one in use.

    .. math:: m_u = \\mu_u - \\Lambda_{uu}^{-1} \\Lambda_{uk} (k - \\mu_k)
    """
    person, people = Wearer.draw(sex, 1, seed=seed)[0], survey(sex)
    wearer = Wearer.measured(sex, **{name: getattr(person, name) for name in known})
    is_known = np.array([name in known for name in NAMES])
    given_, found = _values(person)[0], _values(wearer)[0]
    assert np.array_equal(found[is_known], given_[is_known])
    precision = np.linalg.inv(people.correlation)
    of_known = _standard(sex, given_)[is_known]
    rest = -np.linalg.solve(precision[np.ix_(~is_known, ~is_known)], precision[np.ix_(~is_known, is_known)] @ of_known)
    assert np.allclose(_standard(sex, found)[~is_known], rest, atol=1e-9)


@pytest.mark.parametrize("sex", SEXES)
def test_conditional_mean_is_the_mean_of_those_who_are_so(sex: str) -> None:
    """Monte Carlo, no formula: among many drawn, those of about one stature and mass."""
    people = survey(sex)
    rng = np.random.default_rng(1)
    drawn = rng.multivariate_normal(people.mean, people.correlation * np.outer(people.sd, people.sd), 400_000)
    at = [people.index("stature"), people.index("mass")]
    wanted = people.mean[at] + np.array([1.0, -0.5]) * people.sd[at]
    like = drawn[(np.abs(drawn[:, at] - wanted) < 0.1 * people.sd[at]).all(axis=1)]
    wearer = Wearer.measured(sex, stature=float(wanted[0]), mass=float(wanted[1]))
    off = (like.mean(axis=0) - _values(wearer)[0]) / (people.sd / np.sqrt(len(like)))
    others = [k for k in range(24) if k not in at]
    assert len(like) > 800
    assert np.abs(off[others]).max() < 4.5  # 22 means; the window adds next to nothing


@pytest.mark.parametrize("of", NAMES)
@pytest.mark.parametrize("sex", SEXES)
def test_a_percentile_that_was_counted_is_the_one_counted(sex: str, of: str) -> None:
    people = survey(sex)
    k = people.index(of)
    for percentile, counted in ((5, people.p05[k]), (95, people.p95[k])):
        assert getattr(Wearer.at_percentile(sex, percentile, of), of) == pytest.approx(counted, rel=1e-12)


@given(st.sampled_from(SEXES), st.floats(0.1, 99.9), st.floats(0.1, 99.9), st.sampled_from(NAMES))
def test_a_higher_percentile_is_a_larger_measure(sex: str, one: float, other: float, of: str) -> None:
    low, high = sorted((one, other))
    assert survey(sex).percentile(of, low) <= survey(sex).percentile(of, high)


@pytest.mark.parametrize("of", NAMES)
@pytest.mark.parametrize("sex", SEXES)
def test_people_spread_evenly_over_the_percentiles_have_the_survey_s_mean_and_spread(sex: str, of: str) -> None:
    """The spread went into none of it. It must come out within three standard errors of what two counts can say.

    A counted percentile of n people is off by sqrt(p (1 - p) / n) over the density there; the two go into a slope.
    """
    people = survey(sex)
    k = people.index(of)
    values = np.array([people.percentile(of, percentile) for percentile in np.arange(0.5, 500.0) / 5.0])
    assert values.mean() == pytest.approx(people.mean[k], abs=0.01 * people.sd[k])
    counted = stats.norm.ppf(0.95)
    off = np.sqrt(0.05 * 0.95 / people.n) / stats.norm.pdf(counted)
    assert values.std() == pytest.approx(people.sd[k], rel=3.0 * off / np.sqrt(2.0) / counted)


def test_the_middle_of_a_skewed_measure_is_below_its_mean() -> None:
    """Waist and mass lean to the heavy side; the average wearer stays the mean."""
    for sex in SEXES:
        for of in ("mass", "waist_circumference", "waist_depth"):
            assert getattr(Wearer.at_percentile(sex, 50, of), of) < getattr(Wearer.average(sex), of)
        assert np.allclose(_values(Wearer.average(sex))[0], survey(sex).mean)


@given(st.sampled_from(SEXES), SEED, st.sampled_from(NAMES), st.floats(1.05, 3.0), st.booleans())
def test_a_measure_that_does_not_fit_the_others_is_refused_in_words(
    sex: str, seed: int, name: str, times: float, up: bool
) -> None:
    """One measure of a real body misread by more than the others allow: refused, and the words hold the range."""
    person, people = Wearer.draw(sex, 1, seed=seed)[0], survey(sex)
    k = people.index(name)
    precision = np.linalg.inv(people.correlation * np.outer(people.sd, people.sd))
    spread = 1.0 / np.sqrt(precision[k, k])
    z = (_values(person)[0] - people.mean) @ precision[k] * spread
    expected = getattr(person, name) - z * spread
    wrong = expected + (1.0 if up else -1.0) * times * TOGETHER_SPREAD * spread
    assume(abs(wrong - people.mean[k]) < CREDIBLE_SPREAD * people.sd[k])  # else it is refused alone
    with pytest.raises(InputError) as caught:
        person.with_(**{name: float(wrong)})
    assert re.search(r"does not fit|is not above|hardly more|is not credible", str(caught.value))


@pytest.mark.parametrize(
    ("known", "low", "high"),
    [
        ({"stature": mm(1600), "cervicale_height": mm(1550)}, 1717.7, 1864.4),
        ({"biacromial_breadth": mm(360), "bideltoid_breadth": mm(600)}, 370.2, 535.1),
        ({"acromion_radiale_length": mm(390), "stature": mm(1600)}, 239.8, 367.2),
    ],
)
def test_two_measures_that_nobody_has_together(known: dict[str, float], low: float, high: float) -> None:
    """Each alone is credible; together they made a man of 127 kg with a head as long as a hand's breadth."""
    for name, value in known.items():
        Wearer.measured("male", **{name: value})
    with pytest.raises(InputError) as caught:
        Wearer.measured("male", **known)
    said = str(caught.value)
    assert "does not fit" in said
    assert f"between {low} mm" in said
    assert f"{high} mm" in said
    assert said.endswith("Check which of them was misread.")


@settings(max_examples=15)
@given(st.sampled_from(SEXES), SEED)
def test_which_side_is_amputated_changes_no_measure_and_no_shape(sex: str, seed: int) -> None:
    right, left = (Wearer.draw(sex, 1, seed=seed, amputated=side)[0] for side in ("right", "left"))
    assert right.with_(amputated="left") == left
    one, other = build([right]), build([left])
    for name in ("joint", "clavicle", "clavicle_tip", "acromion", "neck", "deltoid", "arm", "upper_arm", "forearm"):
        assert np.array_equal(getattr(one, name), getattr(other, name))
    assert np.array_equal(one.trunks.curves, other.trunks.curves)
