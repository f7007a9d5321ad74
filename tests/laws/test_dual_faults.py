"""Set-up faults above the elbow: each is one change, and the bench tells them apart or says that it can't."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from itertools import combinations, pairwise

import pytest

from controlkit.mechanics import DualControl, VoluntaryOpening, Wearer, above_elbow_eight
from controlkit.mechanics.bench.dual import FittedDual, symptoms_above
from controlkit.mechanics.bench.faults import FAULTS_ABOVE, Fault, Signatures, blind_above, tell_apart_above
from controlkit.mechanics.chain.dual import LockStrap
from controlkit.mechanics.elbow import LiftLine
from controlkit.units import InputError, mm

BY_NAME = {fault.name: fault for fault in FAULTS_ABOVE}


@lru_cache(maxsize=2)
def healthy(sex: str = "female") -> FittedDual:
    """The ring low enough not to ride down, the front strap let out by what the lock motion takes."""
    wearer = Wearer.average(sex, level="transhumeral")
    harness = above_elbow_eight(wearer, ring_below_c7=mm(50), support_strap=mm(16))
    return FittedDual(DualControl(harness=harness), strap=LockStrap(let_out=-mm(1)))


@lru_cache(maxsize=2)
def signatures(sex: str = "female") -> Signatures:
    return tell_apart_above(healthy(sex))


@pytest.mark.parametrize("fault", FAULTS_ABOVE, ids=lambda fault: fault.name)
def test_a_fault_changes_one_part(fault: Fault[FittedDual]) -> None:
    for size in fault.sizes:
        faulty, was = fault.at(healthy(), size), healthy()
        parts = {name for name in ("lock", "strap") if getattr(faulty, name) != getattr(was, name)}
        for name in ("harness", "line", "device", "cable", "lifted_forearm", "spring", "hangs_at"):
            if getattr(faulty.system, name) != getattr(was.system, name):
                parts.add(name)
        assert len(parts) == 1, parts


@pytest.mark.parametrize("fault", FAULTS_ABOVE, ids=lambda fault: fault.name)
def test_a_fault_shows_on_the_bench(fault: Fault[FittedDual]) -> None:
    """At every size, but for a housing end that is a little too low: there the cable runs nearly as before."""
    was = signatures().healthy
    shows = [
        max(abs(seen[name].value - was[name].value) / was[name].error for name in was) > 1.0
        for seen in signatures().faults[fault.name]
    ]
    assert shows == ([False, True, True] if fault.name == "housing end too low" else [True] * len(shows))


@pytest.mark.parametrize(
    ("name", "reading", "sign"),
    [
        ("lift loop too near the elbow", "lift 90", 1),
        ("lift loop too near the elbow", "drawn full", -1),
        ("lift loop too far from the elbow", "lift 90", -1),
        ("lift loop too far from the elbow", "drawn full", 1),
        ("lift loop too far from the elbow", "opens", -1),
        ("housing end too far back", "leaves", 1),
        ("housing end too far back", "lever straight", -1),
        ("housing end too low", "lever straight", 1),
        ("control attachment strap slack", "turn leaves", 1),
        ("control attachment strap slack", "opens", -1),
        ("control attachment strap high on the back", "ring", -1),
        ("control attachment strap high on the back", "opens bent", -1),
        ("lateral suspensor slack", "play", 1),
        ("front support strap too tight", "lock", -1),
        ("front support strap too tight", "slip", -1),
        ("front support strap without its elastic part", "slip", -1),
        ("strap of the lock slack", "lock", -1),
        ("too few bands", "device", -1),
        ("too few bands", "lifting opens", 1),
        ("too many bands", "device", 1),
        ("too many bands", "opens", -1),
        ("too many bands", "live", 1),
        ("worn liner, or dirt in the housing", "hanger bent", 1),
        ("worn liner, or dirt in the housing", "lift 90", 1),
        ("heavy device", "weight", 1),
        ("heavy device", "lift", 1),
    ],
)
def test_symptoms_go_the_way_that_a_fitter_expects(name: str, reading: str, sign: int) -> None:
    """And the more is wrong, the more they show, until the reading comes to its end."""
    was = signatures().healthy[reading]
    values = [was.value, *(seen[reading].value for seen in signatures().faults[name])]
    assert sign * (values[-1] - was.value) > was.error
    assert all(sign * (late - early) >= -0.5 * was.error for early, late in pairwise(values))


def test_what_the_bench_tells_apart_and_what_not() -> None:
    """Every fault from every other; a housing end 20 mm too low, with a loop at 40 mm, from health by no reading."""
    assert len(signatures().pairs) == len(FAULTS_ABOVE) * (len(FAULTS_ABOVE) + 1) // 2
    assert [(pair.one, pair.other) for pair in signatures().untold] == [("housing end too low", "healthy")]


@pytest.mark.parametrize(
    ("one", "other", "by"),
    [
        ("lift loop too near the elbow", "heavy device", {"weight", "drawn full", "opens bent"}),
        ("worn liner, or dirt in the housing", "too many bands", {"device", "device whole"}),
        (
            "front support strap too tight",
            "strap of the lock slack",
            {"play front", "slip", "slip light", "slip opens"},
        ),
        ("control attachment strap slack", "control attachment strap high on the back", {"ring"}),
    ],
)
def test_what_looks_alike_to_the_wearer_is_told_by_one_more_reading(one: str, other: str, by: set[str]) -> None:
    """A hard lift: cable drawn, or weight. A hard opening: cable or bands. No lock: front strap or its own."""
    pair = next(pair for pair in signatures().pairs if {pair.one, pair.other} == {one, other})
    assert pair.reading in by, pair


def test_a_hard_lift_and_an_early_opening_name_no_fault_by_themselves() -> None:
    """The wearer's complaint alone: at least four faults let the device open while the forearm comes up."""
    opens = [name for name, sizes in signatures().faults.items() if sizes[-1]["lifting opens"].value > mm(1)]
    assert len(opens) >= 4
    assert signatures().healthy["lifting opens"].value == 0.0


def test_readings_name_a_hidden_fault() -> None:
    few = [BY_NAME[name] for name in ("heavy device", "too few bands", "lift loop too far from the elbow")]
    guesses = blind_above(healthy(), signatures(), trials=4, seed=2026, faults=few)
    assert all(guess.right for guess in guesses), guesses


@pytest.mark.long
@pytest.mark.parametrize("sex", ["female", "male"])
def test_readings_name_most_of_many_hidden_faults(sex: str) -> None:
    guesses = blind_above(healthy(sex), signatures(sex), trials=80, seed=7)
    missed = [guess for guess in guesses if not guess.right]
    assert len({guess.hidden for guess in guesses}) > 12
    assert len(missed) <= 0.05 * len(guesses), missed


@pytest.mark.long
def test_a_man_s_faults_are_told_apart_as_a_woman_s() -> None:
    assert [(p.one, p.other) for p in signatures("male").untold] == [("housing end too low", "healthy")]


def test_healthy_readings_name_no_fault() -> None:
    read = {name: reading.value for name, reading in signatures().healthy.items()}
    assert signatures().name(read) == "healthy"
    assert read == {name: reading.value for name, reading in symptoms_above(replace(healthy())).items()}


def test_a_fault_is_a_change_of_its_own() -> None:
    """No fault is another's change to a larger size: each pair differs in what it does at one size that both allow."""
    for one, other in combinations(FAULTS_ABOVE, 2):
        if one.kind == other.kind:
            assert _done(one) != _done(other), (one.name, other.name)


def _done(fault: Fault[FittedDual]) -> FittedDual:
    """The prosthesis with a size of the fault that all of its kind can have."""
    return fault.change(healthy(), {"length": mm(8), "ratio": 1.0 / 5.0, "mass": 0.1}[fault.kind])


def test_a_housing_end_far_back_takes_the_cable_behind_the_axis() -> None:
    near, middle, far = (seen["lever straight"].value for seen in signatures().faults["housing end too far back"])
    assert near > middle > far
    assert far < 0.0


def test_two_names_for_one_change_are_not_told_apart() -> None:
    few = BY_NAME["too few bands"]
    untold = tell_apart_above(healthy(), [few, replace(few, name="bands lost")]).untold
    assert [(pair.one, pair.other) for pair in untold] == [("bands lost", "too few bands")]


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(InputError, match="Give between"):
        BY_NAME["heavy device"].at(healthy(), 5.0)
    many = replace(healthy().system, device=VoluntaryOpening(bands=10))
    with pytest.raises(InputError, match="1 to 12"):
        BY_NAME["too many bands"].at(replace(healthy(), system=many), 1.0)
    high = above_elbow_eight(healthy().system.harness.wearer)
    fitted = replace(healthy(), system=replace(healthy().system, harness=high))
    with pytest.raises(InputError, match="ring"):
        BY_NAME["control attachment strap high on the back"].at(fitted, mm(35))
    low = replace(healthy().system, line=LiftLine(loop_along=mm(15), end_ahead=mm(25)))
    with pytest.raises(InputError, match="lift loop"):
        BY_NAME["lift loop too near the elbow"].at(replace(healthy(), system=low), mm(20))
