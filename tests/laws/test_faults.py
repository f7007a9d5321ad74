"""Set-up faults: each is one change, each shows on the bench, and the bench tells them apart or says it can't."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from itertools import pairwise

import pytest

from controlkit.mechanics import SingleControl, VoluntaryClosing, Wearer, figure_of_eight
from controlkit.mechanics.bench.faults import FAULTS, Fault, Guess, Signatures, blind, tell_apart
from controlkit.mechanics.cable import ControlCable
from controlkit.units import InputError, mm

BY_NAME = {fault.name: fault for fault in FAULTS}


@lru_cache(maxsize=2)
def healthy(sex: str = "male") -> SingleControl:
    wearer = Wearer.average("male") if sex == "male" else Wearer.at_percentile("female", 5)
    return SingleControl(figure_of_eight(wearer, ring_below_c7=mm(80)))


@lru_cache(maxsize=2)
def signatures(sex: str = "male") -> Signatures:
    return tell_apart(healthy(sex))


@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: fault.name)
def test_a_fault_changes_one_part(fault: Fault) -> None:
    for size in fault.sizes:
        faulty = fault.at(healthy(), size)
        parts = {part for part in ("harness", "cable", "device") if getattr(faulty, part) != getattr(healthy(), part)}
        moved = faulty.retainer != healthy().retainer
        assert parts == {"cable"} if moved else len(parts) == 1  # the housing stays as long as it was cut


@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: fault.name)
def test_a_fault_shows_on_the_bench_at_every_size(fault: Fault) -> None:
    for seen in signatures().faults[fault.name]:
        was = signatures().healthy
        assert max(abs(seen[name].value - was[name].value) / was[name].error for name in was) > 1.0


@pytest.mark.parametrize(
    ("name", "reading", "sign"),
    [
        ("control attachment strap slack", "fly on command", -1),
        ("control attachment strap slack", "slack", 1),
        ("control attachment strap too tight", "rest", 1),
        ("cable too long", "fly on command", -1),
        ("cable too short", "rest", 1),
        ("axilla loop too loose", "comes", 1),
        ("axilla loop too loose", "fly on command", -1),
        ("anterior support strap loose", "slip", 1),
        ("anterior support strap too tight", "slip", -1),
        ("ring riding high", "ring", -1),
        ("ring riding high", "fly on command", -1),
        ("housing missing", "hold", 1),
        ("housing missing", "mouth on command", -1),
        ("housing loose at an end", "turn bent", 1),
        ("housing too short", "elbow", -1),
        ("housing too long", "hanger straight", 1),
        ("retainer off the elbow's line", "elbow", -1),
        ("no liner, or dirt in the housing", "hanger bent", 1),
        ("no liner, or dirt in the housing", "back", -1),
        ("tight bends", "hanger straight", 1),
        ("tight bends", "back", -1),
        ("weak bands", "device", -1),
        ("dirt in the pivot", "device", 1),
        ("dirt in the pivot", "back", -1),
    ],
)
def test_symptoms_go_the_way_that_a_fitter_expects(name: str, reading: str, sign: int) -> None:
    """And the more is wrong, the more they show, until the reading comes to its end."""
    was = signatures().healthy[reading]
    values = [was.value, *(seen[reading].value for seen in signatures().faults[name])]
    assert sign * (values[-1] - was.value) > was.error
    assert all(sign * (late - early) >= -0.5 * was.error for early, late in pairwise(values))


def test_every_pair_is_told_apart() -> None:
    """A missing housing and a loose one too: the retainer still holds the bare cable."""
    assert len(signatures().pairs) == len(FAULTS) * (len(FAULTS) + 1) // 2
    assert signatures().untold == ()


@pytest.mark.long
def test_a_small_woman_s_faults_are_told_apart_too() -> None:
    assert signatures("female").untold == ()


def test_a_fault_that_does_nothing_is_not_told_from_health() -> None:
    nothing = Fault(name="nothing", remedy="none", low=0.0, high=0.0, kind="length", change=lambda system, _: system)
    pair = tell_apart(healthy(), [nothing]).untold[0]
    assert (pair.one, pair.other, pair.margin) == ("nothing", "healthy", 0.0)


def test_two_names_for_one_change_are_not_told_apart() -> None:
    """Half a fault at its largest is the whole fault at its smallest: the sizes between count."""
    weak = BY_NAME["weak bands"]
    same = replace(weak, name="tired bands", low=0.4, high=0.6)
    untold = tell_apart(healthy(), [weak, same]).untold
    assert [(pair.one, pair.other) for pair in untold] == [("tired bands", "weak bands")]


def test_readings_name_a_hidden_fault() -> None:
    guesses = blind(healthy(), signatures(), trials=12, seed=2026)
    assert len({guess.hidden for guess in guesses}) > 5
    missed = _missed(guesses)
    assert not missed, missed


@pytest.mark.long
def test_readings_name_most_of_many_hidden_faults() -> None:
    guesses = blind(healthy(), signatures(), trials=150, seed=7)
    assert {guess.hidden for guess in guesses} == set(BY_NAME)
    assert len(_missed(guesses)) <= 0.05 * len(guesses), _missed(guesses)


def _missed(guesses: tuple[Guess, ...]) -> list[Guess]:
    return [g for g in guesses if not g.right]


def test_healthy_readings_name_no_fault() -> None:
    assert signatures().name({name: reading.value for name, reading in signatures().healthy.items()}) == "healthy"


def test_the_same_seed_hides_the_same_fault() -> None:
    one = [BY_NAME["weak bands"], BY_NAME["tight bends"]]
    assert blind(healthy(), signatures(), trials=2, seed=3, faults=one) == blind(
        healthy(), signatures(), trials=2, seed=3, faults=one
    )


def test_the_table_says_what_changes() -> None:
    table = signatures().table().splitlines()
    assert len(table) == len(FAULTS)
    assert any(line.startswith("weak bands: Pull at the device") for line in table)
    assert not any("no reading changes" in line for line in table)


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(InputError, match="Give between"):
        BY_NAME["weak bands"].at(healthy(), 0.99)
    with pytest.raises(InputError, match="no housing"):
        BY_NAME["housing too long"].at(replace(healthy(), cable=ControlCable(housing=None)), 0.04)
    with pytest.raises(InputError, match="bands"):
        BY_NAME["weak bands"].at(replace(healthy(), device=VoluntaryClosing()), 0.4)
    with pytest.raises(InputError, match="missing"):
        signatures().name({"device": 30.0})


def test_a_retainer_that_no_forearm_has_is_refused() -> None:
    with pytest.raises(InputError, match="retainer"):
        replace(healthy(), retainer=0.2)
