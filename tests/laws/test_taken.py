"""Laws of readings as they are taken, and of what they leave standing."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as some

from controlkit.mechanics.bench import InstrumentReading
from controlkit.mechanics.bench.faults import FaultsLeft, Signatures, fewest
from controlkit.mechanics.bench.taken import (
    FINE_INSTRUMENTS,
    INSTRUMENTS,
    Instrument,
    Repeated,
    all_of,
    clear_of,
    share,
)
from controlkit.units import InputError

EVERY = [*INSTRUMENTS.values(), *FINE_INSTRUMENTS.values()]


@pytest.mark.parametrize("instrument", EVERY, ids=lambda one: one.name)
def test_readings_scatter_by_half_their_error(instrument: Instrument) -> None:
    """About what there is, and evenly to both sides."""
    chance, value = np.random.default_rng(5), 0.4 * min(instrument.end, 50.0)
    read = np.array([instrument.read(value, chance) for _ in range(4000)], dtype=float)
    assert read.mean() == pytest.approx(value, abs=0.05 * instrument.error + 0.5 * instrument.grain)
    assert read.std() == pytest.approx(math.hypot(instrument.error / 2, instrument.grain / math.sqrt(12)), rel=0.05)
    assert np.allclose(read / instrument.grain, np.round(read / instrument.grain), atol=1e-6)


def test_a_scale_ends_and_does_not_show_less_than_nothing() -> None:
    chance = np.random.default_rng(5)
    small = FINE_INSTRUMENTS["force"]
    assert small.read(51.0, chance) is None
    assert all(INSTRUMENTS["length"].read(0.0, chance) >= 0.0 for _ in range(200))  # type: ignore[operator]
    behind = INSTRUMENTS["length"].read(-0.020, chance)
    assert behind is not None
    assert -0.025 < behind < -0.015


@given(some.integers(1, 40), some.floats(0.1, 5.0), some.floats(1.0, 100.0))
def test_repeating_divides_the_doubt_by_the_root(count: int, error: float, value: float) -> None:
    many = Repeated((value,) * count, (error,) * count)
    assert many.mean == pytest.approx(value)
    assert many.doubt == pytest.approx(error / math.sqrt(count))
    assert many.spread == pytest.approx(0.0, abs=1e-9)


@given(some.floats(10.0, 50.0), some.floats(10.0, 50.0), some.floats(0.1, 4.0), some.floats(0.1, 4.0))
def test_the_finer_reading_counts_more_and_none_makes_it_worse(a: float, b: float, one: float, other: float) -> None:
    both = Repeated((a, b), (one, other))
    assert min(a, b) - 1e-9 <= both.mean <= max(a, b) + 1e-9
    assert both.doubt < min(one, other)
    nearer = a if one < other else b
    assert abs(both.mean - nearer) <= 0.5 * abs(a - b) + 1e-9


def test_a_share_is_off_as_chance_would_have_it() -> None:
    """The formula against ten thousand draws."""
    chance = np.random.default_rng(8)
    device, hanger = 28.4 + chance.standard_normal(10_000), 36.0 + chance.standard_normal(10_000)
    found, doubt = share(Repeated((28.4,), (2.0,)), Repeated((36.0,), (2.0,)))
    assert found == pytest.approx(28.4 / 36.0)
    assert doubt == pytest.approx(2.0 * float((device / hanger).std()), rel=0.03)


def test_what_lies_nearer_than_its_doubt_is_not_sure() -> None:
    assert not clear_of(Repeated((36.0,), (2.0,)), 37.0)
    assert clear_of(all_of([(36.0, 2.0)] * 9), 37.0)


@pytest.mark.parametrize(
    ("readings", "errors"), [((), ()), ((1.0,), ()), ((1.0,), (0.0,)), ((math.nan,), (1.0,)), ((1.0,), (-2.0,))]
)
def test_what_is_no_reading_is_refused(readings: tuple[float, ...], errors: tuple[float, ...]) -> None:
    with pytest.raises(InputError):
        Repeated(readings, errors)


def _bench(pull: float, tape: float) -> dict[str, InstrumentReading]:
    return {"pull": InstrumentReading("Pull", pull, "force"), "tape": InstrumentReading("Tape", tape, "length")}


@pytest.fixture
def signs() -> Signatures:
    """Dirt raises a pull; two faults lengthen a tape, one of them the pull with it."""
    return Signatures(
        _bench(30.0, 0.75),
        {
            "dirt": (_bench(40.0, 0.75), _bench(60.0, 0.75)),
            "long": (_bench(30.0, 0.76), _bench(30.0, 0.80)),
            "both": (_bench(40.0, 0.76), _bench(60.0, 0.80)),
        },
    )


def test_nothing_read_leaves_all_and_more_readings_never_more(signs: Signatures) -> None:
    assert FaultsLeft(signs, {}).left == ("healthy", "dirt", "long", "both")
    pull = FaultsLeft(signs, {"pull": Repeated((50.0,), (2.0,))})
    assert pull.left == ("dirt", "both")
    assert pull.next() == ("tape", 1.0)
    both = FaultsLeft(signs, {"pull": Repeated((50.0,), (2.0,)), "tape": Repeated((0.78,), (0.002,))})
    assert both.left == ("both",)
    assert both.next() == ("", 0.0)


def test_one_size_must_fit_all_readings(signs: Signatures) -> None:
    """Each alone fits a size of it, both together none: a strong pull and a tape hardly longer."""
    apart = {"pull": Repeated((59.0,), (2.0,)), "tape": Repeated((0.761,), (0.002,))}
    assert "both" in FaultsLeft(signs, {"pull": apart["pull"]}).left
    assert "both" in FaultsLeft(signs, {"tape": apart["tape"]}).left
    assert FaultsLeft(signs, apart).left == ()


def test_what_speaks_against_a_fault_is_said_with_both_numbers(signs: Signatures) -> None:
    against = FaultsLeft(signs, {"pull": Repeated((30.0,), (2.0,))}).against["dirt"]
    assert against is not None
    assert (against.reading, against.read, against.expected) == ("pull", 30.0, pytest.approx(40.0))
    assert against.margin == pytest.approx(5.0)
    assert against.excludes


def test_a_reading_that_cannot_tell_decides_nothing(signs: Signatures) -> None:
    standing = FaultsLeft(signs, {})
    assert not standing.decides("pull", "dirt", "both")
    assert standing.apart("tape", "dirt", "long") == pytest.approx(5.0)
    assert fewest(signs, {"pull": 50.0, "tape": 0.78}) == ("pull", "tape")


def test_a_reading_of_another_bench_is_refused(signs: Signatures) -> None:
    with pytest.raises(InputError, match="no reading of the name"):
        FaultsLeft(signs, {"weight": Repeated((3.0,), (2.0,))})
