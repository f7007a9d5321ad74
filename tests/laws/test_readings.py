"""Readings beside the model: known coefficients come back, intervals hold, strangers are pointed out."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import optimize, stats

from controlkit.mechanics.bench.fits import compare, compare_cable, fit_friction, fit_stiffness
from controlkit.mechanics.bench.instruments import SCALE
from controlkit.mechanics.states import State
from controlkit.sources import all_sources, source
from controlkit.units import InputError, deg, lbf, mm

BENDS = np.deg2rad([45.0, 75.0, 90.0, 120.0, 150.0, 180.0, 240.0, 270.0])
DEVICE = np.array([40.0, 60.0, 35.0, 50.0, 45.0, 70.0, 55.0, 40.0])
MU = 0.12
ROWS = [fact.id for fact in all_sources() if fact.id.startswith("efficiency_friction_")]


def read_forces(rng: np.random.Generator, back: np.ndarray | bool = False) -> tuple[np.ndarray, np.ndarray]:
    """Both forces as a scale would show them: a normal error whose two standard deviations are SCALE."""
    exact = DEVICE * np.exp(np.where(back, -1.0, 1.0) * MU * BENDS)
    noise = rng.normal(0.0, SCALE / 2, (2, DEVICE.size))
    return DEVICE + noise[0], exact + noise[1]


def test_without_noise_friction_comes_back_on_both_strokes() -> None:
    back = np.arange(8) % 2 == 1
    fit = fit_friction(DEVICE, DEVICE * np.exp(np.where(back, -1, 1) * MU * BENDS), BENDS, back=back)
    assert fit.value == pytest.approx(MU, abs=1e-12)
    assert fit.high - fit.low < 1e-5
    assert fit.outliers == fit.helping == fit.states == ()
    assert fit.without is None


@pytest.mark.parametrize("row", ROWS)
def test_each_row_of_the_efficiency_table_gives_back_its_friction(row: str) -> None:
    """The fit may be off by what rounding the row can do to it, and no more."""
    printed = source(row)
    mu = float(row.removeprefix("efficiency_friction_").replace("_", "."))
    efficiency, bend = np.array(printed.series), np.deg2rad(printed.at)
    rounding = np.max(printed.digit / 2 / efficiency / bend)
    fit = fit_friction(efficiency, np.ones_like(efficiency), bend, scale=printed.digit / 2)
    assert abs(fit.value - mu) <= rounding < 0.0001
    assert round(fit.value, 2) == mu
    assert fit.outliers == fit.helping == ()
    back = fit_friction(np.ones_like(efficiency), efficiency, bend, back=True, scale=printed.digit / 2)
    assert back.value == pytest.approx(fit.value, rel=1e-12)


def test_the_efficiency_table_has_six_rows() -> None:
    assert len(ROWS) == 6


@pytest.mark.parametrize("level", [0.8, 0.95])
@pytest.mark.parametrize("count", [4, 8])
def test_the_interval_covers_as_often_as_it_says(level: float, count: int) -> None:
    """1,000 seeded draws: the share covered lies within four standard errors of the level."""
    rng = np.random.default_rng(20)
    draws, covered = 1000, 0
    back = np.arange(8) % 2 == 1
    for _ in range(draws):
        device, harness = read_forces(rng, back)
        fit = fit_friction(device[:count], harness[:count], BENDS[:count], back=back[:count], level=level, scale=20.0)
        covered += fit.low <= MU <= fit.high
    assert abs(covered / draws - level) < 4 * np.sqrt(level * (1 - level) / draws)


def test_the_interval_of_a_stiffness_covers_as_often_as_it_says() -> None:
    rng = np.random.default_rng(21)
    pull, draws, covered = np.array([20.0, 40.0, 60.0, 80.0, 100.0, 120.0]), 1000, 0
    for _ in range(draws):
        fit = fit_stiffness(pull, 0.010 + pull / 8000.0 + rng.normal(0.0, 0.001, 6))
        covered += fit.low <= 8000.0 <= fit.high
    assert abs(covered / draws - 0.95) < 4 * np.sqrt(0.95 * 0.05 / draws)


def test_friction_and_interval_agree_with_curve_fit() -> None:
    device, harness = read_forces(np.random.default_rng(3))
    weight = np.sqrt(1 / device**2 + 1 / harness**2)
    found, spread = optimize.curve_fit(lambda x, mu: mu * x, BENDS, np.log(harness / device), sigma=weight, p0=[0.1])
    margin = stats.t.ppf(0.975, 7) * np.sqrt(spread[0, 0])
    fit = fit_friction(device, harness, BENDS)
    assert fit.value == pytest.approx(found[0], rel=1e-6)
    assert [fit.low, fit.high] == pytest.approx([found[0] - margin, found[0] + margin], rel=1e-6)


def test_stiffness_agrees_with_linregress() -> None:
    rng = np.random.default_rng(4)
    pull = np.linspace(20, 120, 7)
    way = 0.012 + pull / 6000 + rng.normal(0, 0.001, 7)
    line = stats.linregress(pull, way)
    margin = stats.t.ppf(0.975, 5) * line.stderr
    fit = fit_stiffness(pull, way)
    assert fit.value == pytest.approx(1 / line.slope)
    assert fit.start == pytest.approx(line.intercept)
    assert [fit.low, fit.high] == pytest.approx([1 / (line.slope + margin), 1 / (line.slope - margin)])


def test_studentised_residuals_and_leave_one_out_are_what_fitting_anew_gives() -> None:
    device, harness = read_forces(np.random.default_rng(5))
    fit = fit_friction(device, harness, BENDS)
    loss, weight = np.log(harness / device), 1 / (1 / device**2 + 1 / harness**2)
    for k in range(8):
        rest = np.arange(8) != k
        x, y, w = BENDS[rest], loss[rest], weight[rest]
        mu = np.sum(w * x * y) / np.sum(w * x * x)
        variance = np.sum(w * (y - mu * x) ** 2) / 6
        off = np.sqrt(variance * (1 / weight[k] + BENDS[k] ** 2 / np.sum(w * x * x)))
        assert fit.leave_one_out[k] == pytest.approx(mu)
        assert fit.studentised[k] == pytest.approx((loss[k] - mu * BENDS[k]) / off)


def test_exactly_the_planted_stranger_is_pointed_out() -> None:
    """A force read 25 N too high at a random place is found, and others as seldom as the limit says."""
    rng = np.random.default_rng(6)
    draws, hit, exact = 400, 0, 0
    for _ in range(draws):
        device, harness = read_forces(rng)
        where = int(rng.integers(8))
        harness[where] += 25.0
        fit = fit_friction(device, harness, BENDS)
        found = [outlier.index for outlier in fit.outliers]
        hit += where in found
        if not found:
            continue
        assert fit.without is not None
        kept = np.setdiff1d(np.arange(8), found)
        assert fit.without.value == pytest.approx(fit_friction(device[kept], harness[kept], BENDS[kept]).value)
        if found == [where]:
            exact += 1
            assert fit.value > fit.without.value  # the stranger still counts in the fit itself
    assert hit / draws > 0.99
    assert exact / draws > 0.95 - 4 * np.sqrt(0.05 * 0.95 / draws)


def test_good_readings_are_pointed_out_as_seldom_as_the_limit_says() -> None:
    rng = np.random.default_rng(7)
    alarms = sum(bool(fit_friction(*read_forces(rng), BENDS).outliers) for _ in range(1000))
    assert alarms / 1000 < 0.05 + 4 * np.sqrt(0.05 * 0.95 / 1000)


def test_two_strangers_do_not_hide_each_other() -> None:
    device, harness = read_forces(np.random.default_rng(8))
    harness[[2, 5]] += [25.0, 28.0]
    assert [outlier.index for outlier in fit_friction(device, harness, BENDS).outliers] == [2, 5]


@pytest.mark.parametrize(
    ("slip", "words"),
    [
        (lambda device, harness: (device, harness / lbf(1)), "pounds-force"),
        (lambda device, harness: (device / lbf(1), harness), "pounds-force"),
        (lambda device, harness: (harness, device), "swapped"),
    ],
)
def test_a_stranger_is_explained_where_a_slip_would_do_it(slip: object, words: str) -> None:
    device, harness = read_forces(np.random.default_rng(9))
    device[6], harness[6] = slip(device[6], harness[6])  # type: ignore[operator]
    (outlier,) = fit_friction(device, harness, BENDS).outliers
    assert outlier.index == 6
    assert words in outlier.perhaps


def test_swapped_columns_are_asked_about() -> None:
    device, harness = read_forces(np.random.default_rng(10))
    with pytest.raises(InputError, match=r"friction seems to help.*swapped"):
        fit_friction(harness, device, BENDS)
    with pytest.raises(InputError, match="friction seems to help"):
        fit_friction(device, harness, BENDS, back=True)
    with pytest.raises(InputError, match="different units"):
        fit_friction(device, harness / lbf(1.0), BENDS)  # a column in pounds-force that nobody named


def test_one_reading_in_which_friction_helps_is_named() -> None:
    device, harness = read_forces(np.random.default_rng(11))
    harness[1] = device[1] - 6.0
    assert fit_friction(device, harness, BENDS).helping == (1,)
    harness[1] = device[1] - 1.0  # the scale may be off by as much
    assert fit_friction(device, harness, BENDS).helping == ()


def test_one_column_in_other_units_shows_as_loss_without_a_bend() -> None:
    device, harness = read_forces(np.random.default_rng(12))
    (state,) = fit_friction(device / lbf(1.0), harness, BENDS, scale=0.5).states
    assert state.code == "origin-missed-by-units"
    assert state.values["ratio"] == pytest.approx(lbf(1.0), rel=0.1)
    drag = fit_friction(DEVICE, 1.3 * DEVICE * np.exp(MU * BENDS), BENDS)
    assert drag.states[0].code == "origin-missed"
    assert drag.states[0].values["ratio"] == pytest.approx(1.3)


def test_one_bend_is_fitted_but_said_not_to_test_the_law() -> None:
    fit = fit_friction([40, 50, 60], [50, 62, 76], deg(180) * np.ones(3))
    assert fit.value == pytest.approx(np.log(1.25) / np.pi, abs=0.003)
    assert fit.states[0] == State.of("one-bend", bend=float(deg(180)))


def test_no_friction_to_tell_is_said() -> None:
    fit = fit_friction([40, 50, 60, 40], [41, 49.5, 60.5, 39.5], BENDS[:4])
    assert fit.low <= 0 <= fit.high
    assert fit.states[0] == State.of("interval-reaches-zero")


def test_stiffness_too_high_for_a_tape_is_said() -> None:
    """A cable of 107 N/mm stretches by less than a millimetre under 100 N."""
    fit = fit_stiffness([20, 60, 100, 120], [0.0102, 0.0109, 0.0108, 0.0113])
    assert fit.states[0].code == "travel-too-small"
    assert fit.states[0].values["within"] == pytest.approx(mm(1.1))
    assert fit.low <= 107_000 <= fit.high


def test_stiffness_points_out_a_stranger_and_keeps_slack_apart() -> None:
    pull = np.linspace(20, 140, 8)
    way = 0.015 + pull / 8000 + np.random.default_rng(13).normal(0, 0.0005, 8)
    way[4] += 0.010
    fit = fit_stiffness(pull, way)
    assert [outlier.index for outlier in fit.outliers] == [4]
    assert fit.without is not None
    assert fit.without.low <= 8000 <= fit.without.high
    assert fit.without.start == pytest.approx(0.015, abs=0.001)


@pytest.mark.parametrize(
    ("ask", "words"),
    [
        (lambda: fit_friction([40, 50], [44, 56], [1, 2]), "2 readings were given. Give at least 3"),
        (lambda: fit_friction([], [], []), "0 readings"),
        (lambda: fit_friction([40, 50, 60], [44, 56], [1, 2, 3]), "3, 2, 3 readings"),
        (lambda: fit_friction([40, 50, 60], [44, -56, 66], [1, 2, 3]), "Reading 2: the force at the harness is -56"),
        (lambda: fit_friction([40, 0, 60], [44, 56, 66], [1, 2, 3]), "Reading 2: the force at the device is 0"),
        (lambda: fit_friction([40, 50, 60], [44, 56, 66], [1, -2, 3]), "Reading 2: the bend is -2"),
        (lambda: fit_friction([40, 50, 60], [44, 56, 66], [0, 0, 0]), "Every bend is 0"),
        (lambda: fit_friction([40, 50, 60], [44, 56, 66], [45, 90, 180]), "write deg(45)"),
        (lambda: fit_friction([40, np.nan, 60], [44, 56, 66], [1, 2, 3]), "Reading 2: the force at the device is miss"),
        (lambda: fit_friction("forty", [44, 56, 66], [1, 2, 3]), "row of numbers"),
        (lambda: fit_friction([[40, 50, 60]], [44, 56, 66], [1, 2, 3]), "one row of numbers"),
        (lambda: fit_friction([40, 50, 60], [44, 56, 66], [1, 2, 3], level=95), "0.5 and below 1"),
        (lambda: fit_friction([40, 50, 60], [44, 56, 66], [1, 2, 3], scale=0.0), "above 0"),
        (lambda: fit_friction([40, 50, 60], [44, 56, 66], [1, 2, 3], back=[True]), ""),
        (lambda: fit_friction([40, 50, 60], [44, 56, 66], [1, 2, 3], back=[True, False]), "True or False"),
        (lambda: fit_stiffness([50, 50, 50], [0.01, 0.011, 0.012]), "Every pull is 50 N"),
        (lambda: fit_stiffness([20, 50, 90], [0.03, 0.02, 0.01]), "does not grow with the pull"),
        (lambda: fit_stiffness([20, 50, -90], [0.01, 0.02, 0.03]), "Reading 3: the force is -90"),
        (lambda: compare([50.0, 51.0], [50.0], 2.0), "2, 1"),
        (lambda: compare([], [], 2.0), "0 readings"),
    ],
)
def test_bad_readings_get_a_sentence(ask: object, words: str) -> None:
    with pytest.raises(InputError) as trouble:
        ask()  # type: ignore[operator]
    assert words in str(trouble.value)


def test_comparison_tells_what_the_instruments_explain() -> None:
    side = compare_cable(DEVICE, DEVICE * np.exp(0.08 * BENDS) + 1.0, BENDS, 0.08)
    assert side.residual == pytest.approx(np.ones(8))
    assert side.inside.all()
    assert side.trend == "even"
    assert side.uncertainty[0] == pytest.approx(SCALE * np.hypot(1.0, np.exp(0.08 * BENDS[0])))


def test_more_friction_than_the_model_grows_with_the_bend() -> None:
    flat = np.full(8, 50.0)
    more = compare_cable(flat, flat * np.exp(0.15 * BENDS), BENDS, 0.08)
    assert more.bias > 0
    assert more.trend == "grows"
    assert not more.inside[-1]
    less = compare_cable(flat, flat * np.exp(0.02 * BENDS), BENDS, 0.08)
    assert less.bias < 0
    assert less.trend == "grows"
    drag = compare_cable(flat, flat * np.exp(0.08 * BENDS) + 8.0, BENDS, 0.08)
    assert drag.trend == "even"
    assert drag.bias == pytest.approx(8.0)


def test_letting_back_the_model_turns_friction_round() -> None:
    out = compare_cable([50.0], [50.0 * np.exp(0.1 * np.pi)], [np.pi], 0.1)
    back = compare_cable([50.0], [50.0 * np.exp(-0.1 * np.pi)], [np.pi], 0.1, back=True)
    assert out.residual[0] == pytest.approx(0.0, abs=1e-12)
    assert back.residual[0] == pytest.approx(0.0, abs=1e-12)
    strokes = np.arange(8) % 2 == 1
    more = compare_cable(DEVICE, DEVICE * np.exp(np.where(strokes, -1, 1) * 0.15 * BENDS), BENDS, 0.08, back=strokes)
    assert more.bias > 0
    assert (more.residual[strokes] < 0).all()
