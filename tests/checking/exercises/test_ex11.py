"""Exercise 11: its answers beside the mechanics, its shelves read anew, pairs that are left, orders played."""

from __future__ import annotations

import math
from collections import Counter
from itertools import permutations, product
from statistics import mean, stdev
from types import ModuleType
from typing import Any

import numpy as np
import pytest

from controlkit.checking import Case, judge, own_wearer
from controlkit.exercises.ex11 import retake, undecided
from controlkit.exercises.ex11 import shelf as shelves
from controlkit.exercises.ex11.bench import CABLE, PULLS, STEP, pulled
from controlkit.exercises.ex11.case import (
    HIGH,
    LOW,
    STRAY,
    at_device,
    at_hanger,
    doubt,
    efficiency,
    exact_trials,
    load,
    meets,
    standard_error,
    trials,
)
from controlkit.exercises.ex11.faults import (
    ABOVE,
    BELOW,
    MADE_ABOVE,
    MADE_BELOW,
    UNDECIDED_ABOVE,
    UNDECIDED_BELOW,
    above_fault,
    below_fault,
    found,
)
from controlkit.exercises.shared.shelf import SOUND, Shelf, noted, shelf_name
from controlkit.mechanics import POSITIONS, ControlCable, SingleControl, VoluntaryOpening, figure_of_eight
from controlkit.mechanics.bench import Bench, WornBench
from controlkit.mechanics.bench.faults import FAULTS, FAULTS_ABOVE
from controlkit.mechanics.bench.fits.line import StraightLine, far_off
from controlkit.mechanics.bench.instruments import RIGHT
from controlkit.mechanics.bench.rows import efficiency as efficiency_row
from controlkit.mechanics.bench.worn import axial_load
from controlkit.mechanics.chain.positions import on_command
from controlkit.units import mm
from tests.checking.hands import Hands

SHELVES = [(BELOW, MADE_BELOW, UNDECIDED_BELOW), (ABOVE, MADE_ABOVE, UNDECIDED_ABOVE)]
BOTH = pytest.mark.parametrize(("shelf", "made", "never"), SHELVES, ids=("below", "above"))


@pytest.fixture(scope="module")
def ex11(modules: dict[str, ModuleType]) -> ModuleType:
    return modules["ex11"]


@pytest.fixture(scope="module")
def cases(ex11: ModuleType) -> list[Case]:
    return [ex11.exercise.own_case(f"Student {number}") for number in range(16)]


def like(case: Case, **values: Any) -> Case:
    return Case("ex11", "x", 0, {**case.values, **values})


# --- Readings beside the mechanics ----------------------------------------------------------


def test_pulls_scatter_about_what_the_bench_reads(cases: list[Case]) -> None:
    for case in cases:
        harness = figure_of_eight(own_wearer(case.values))
        bench = Bench(SingleControl(harness, ControlCable(friction=case.friction), VoluntaryOpening(bands=case.bands)))
        for read, true in ((at_device(case), bench.at_device()), (at_hanger(case), bench.at_hanger(RIGHT))):
            assert len(read) == 5
            assert all(abs(one - true) <= 1.5 + STEP for one in read)
            assert mean(read) == pytest.approx(true, abs=1.3)


def test_the_stray_reading_is_the_one_that_does_not_belong(cases: list[Case]) -> None:
    """By the same statistics that the bench's own fits use: far from the others, and the only one."""
    for case in cases:
        read = np.array(at_hanger(case, stray=True))
        line = StraightLine(np.ones(6), read, np.ones(6), origin=True)
        assert far_off(line) == (case.stray - 1,)
        device, hanger, back = pulled(case.values) or (0.0, 0.0, 0.0)
        assert back < device < hanger
        assert read[case.stray - 1] == STRAY[case.happened](hanger, back)


def test_a_reading_on_the_way_back_is_that_of_the_belt(cases: list[Case]) -> None:
    """Held where it began to move, it goes back at the device's own pull, times what friction now carries."""
    for case in cases:
        device, hanger, back = pulled(case.values) or (0.0, 0.0, 0.0)
        assert back == pytest.approx(device**2 / hanger, abs=1.0)


def test_the_doubt_is_that_of_the_record(cases: list[Case]) -> None:
    """The same figure as a checkout writes beside its efficiency, but for the scale's own error."""
    for case in cases:
        row = efficiency_row(mean(at_device(case)), mean(at_hanger(case)), "", [("t", "efficiency_single_control")])[0]
        assert row.measured == pytest.approx(efficiency(case) / 100)
        assert row.error * case.scale / 2.0 == pytest.approx(doubt(case) / 100)  # a scale there may be off by 2 N


def test_the_doubt_is_what_many_scales_come_to(cases: list[Case]) -> None:
    """Scales drawn at random, each with an error of its own: the share spreads by as much as the formula says."""
    draw = np.random.default_rng(11)
    case = cases[0]
    off = draw.normal(0.0, case.scale, (2, 20000))
    shares = 100 * (mean(at_device(case)) + off[0]) / (mean(at_hanger(case)) + off[1])
    assert shares.std() == pytest.approx(doubt(case), rel=0.03)


@pytest.mark.long
def test_each_verdict_is_some_students_and_says_what_it_must(ex11: ModuleType) -> None:
    verdicts: Counter[str] = Counter()
    for number in range(80):
        case = ex11.exercise.own_case(f"Student {number}")
        share, off = efficiency(case), doubt(case)
        word = meets(share, off)
        verdicts[word] += 1
        worst, best = share - off, share + off
        decided = not (worst < HIGH <= best or worst < LOW <= best)
        assert (word != "not sure") == decided
        if decided:
            assert {"both": worst >= HIGH, "neither": best < LOW, "one of them": worst >= LOW and best < HIGH}[word]
    assert set(verdicts) == {"both", "neither", "one of them", "not sure"}
    assert max(verdicts.values()) <= 45


def test_a_verdict_follows_from_an_efficiency_upside_down(ex11: ModuleType, cases: list[Case]) -> None:
    for case in cases:
        own = 1e4 / efficiency(case)
        for word in ("both", "neither", "one of them", "not sure"):
            judged = judge(ex11.exercise, "verdict", word, case, earlier={"efficiency": own})
            assert (judged.points == 2) == (word in (meets(own, doubt(case)), meets(efficiency(case), doubt(case))))


def test_openings_and_slips_are_those_of_the_worn_bench(cases: list[Case]) -> None:
    """Between two steps by proportion there and here, each rounded to a millimetre."""
    for case in cases[:5]:
        wearer = own_wearer(case.values)
        harness = figure_of_eight(wearer, ring_below_c7=mm(case.ring), support_strap=-mm(case.taken_in))
        worn = WornBench(SingleControl(harness, CABLE))
        for name in ("table", "fly"):
            assert case[f"opened_{name}"] == pytest.approx(worn.gap(worn.on_command(name)) / mm(1), abs=0.6)
            assert worn.on_command(name) == on_command(wearer, POSITIONS[name]).pose
        for pull in PULLS:
            assert case[f"slip_{pull}"] == pytest.approx(worn.slip(float(pull))[0] / mm(1), abs=0.6)
        assert load(case) == pytest.approx(axial_load(worn.system), abs=1.7)  # the mass of a case is in whole kilograms


def test_slip_between_two_rows_is_that_of_the_bench(ex11: ModuleType, cases: list[Case]) -> None:
    for case in cases[:5]:
        harness = figure_of_eight(
            own_wearer(case.values), ring_below_c7=mm(case.ring), support_strap=-mm(case.taken_in)
        )
        bench = WornBench(SingleControl(harness, CABLE))
        assert ex11.exercise.right(case)["slip"] == pytest.approx(bench.slip(load(case))[0] / mm(1), abs=1.5)


def test_a_light_woman_is_pulled_with_less(cases: list[Case]) -> None:
    light = [case for case in cases if case.mass < 66]
    heavy = [case for case in cases if case.mass > 70]
    assert light
    assert heavy
    assert all(load(case) == pytest.approx(case.mass * 9.80665 / 3) for case in light)
    assert all(load(case) == pytest.approx(222.41, abs=0.01) for case in heavy)


def test_so_many_trials_decide_and_one_less_does_not(ex11: ModuleType, cases: list[Case]) -> None:
    for case in cases:
        needed = int(ex11.exercise.right(case)["trials_needed"])
        spread = stdev(trials(case))
        assert 2 * spread / math.sqrt(needed) <= case.nearer < 2 * spread / math.sqrt(needed - 1)
        assert exact_trials(case, standard_error(case)) == pytest.approx((2 * spread / case.nearer) ** 2)


def test_a_slip_costs_once(ex11: ModuleType, cases: list[Case]) -> None:
    """The spread of a trial for the error of a mean: then more trials follow from it, in full."""
    for case in cases:
        own = stdev(trials(case))
        assert judge(ex11.exercise, "standard_error", own, case).feedback[0].label == "spread-for-standard-error"
        item, truth = ex11.exercise.item("trials_needed"), ex11.exercise.right(case)
        carried = item.right(case, {**truth, "standard_error": own})
        judged = judge(ex11.exercise, "trials_needed", carried, case, earlier={"standard_error": own})
        assert judged.points == item.points
        assert "follows from your own" in judged.words


# --- The formula ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    "formula",
    [
        "device / hanger * scale * sqrt(1 / device^2 + 1 / hanger^2)",
        "scale / hanger * sqrt(1 + (device / hanger)^2)",
        "sqrt((scale / hanger)^2 + (device * scale / hanger^2)^2)",
        "(device/hanger) sqrt((scale/device)^2 + (scale/hanger)^2)",
    ],
)
def test_a_right_formula_in_any_form_earns_all(every: dict[str, Hands], cases: list[Case], formula: str) -> None:
    hands = every["ex11"]
    for case, kept in product(cases[:3], (None, hands.kept_back)):
        judged = judge(hands.exercise, "doubt", formula, case, kept_back=kept)
        assert judged.points == 5, judged.words


def test_a_formula_that_suits_the_own_numbers_alone_earns_little(every: dict[str, Hands], cases: list[Case]) -> None:
    hands, case = every["ex11"], cases[0]
    fitted = f"{doubt(case) / 100 / case.scale:.6f} * scale + 0 * device * hanger"
    assert judge(hands.exercise, "doubt", fitted, case, kept_back=hands.kept_back).points <= 1


# --- Two shelves ----------------------------------------------------------------------------


def test_the_shelves_are_noted_as_the_bench_reads_them() -> None:
    """`python -m tests.checking.shelf` notes them anew where this fails for a reason. Every fault here, in one size."""
    kept, below, above = noted(BELOW.package), shelves.sound_below(), shelves.sound_above()
    read_below = [(shelf_name("", 0.0), below)]
    read_below += [
        (shelf_name(one.name, 0.5), one.at(below, one.drawn(0.5))) for one in FAULTS if one.name in shelves.NOTED_BELOW
    ]
    for name, system in read_below:
        read = shelves._read_below(shelves.symptoms(system))
        assert kept["below"][name] == pytest.approx(read, abs=0.06), name
    read_above = [(shelf_name("", 0.0), above)]
    read_above += [
        (shelf_name(one.name, 0.5), one.at(above, one.drawn(0.5))) for one in FAULTS_ABOVE if one.name in ABOVE.offered
    ]
    for name, fitted in read_above:
        read = shelves._read_above(shelves.symptoms_above(fitted))
        assert kept["above"][name] == pytest.approx(read, abs=0.06), name


@pytest.mark.long
def test_the_shelves_are_noted_so_in_every_size() -> None:
    kept = noted(BELOW.package)
    for level, prostheses in shelves.taken().items():
        assert set(kept[level]) == set(prostheses)
        for name, read in prostheses.items():
            assert kept[level][name] == pytest.approx(read, abs=0.06), name


def on_shelf(shelf: Shelf, made: tuple[tuple[str, float], ...], case: Case) -> list[Case]:
    key = f"shelf_{shelf.part}"
    return [like(case, **{key: k + 1, **found(shelf.part, k + 1)}) for k in range(len(made))]


@BOTH
def test_each_prosthesis_can_be_told_by_one_reading(
    ex11: ModuleType, cases: list[Case], shelf: Shelf, made: tuple[tuple[str, float], ...], never: tuple[str, ...]
) -> None:
    item = ex11.exercise.item(f"fault_{shelf.part}")
    for case, (fault, _) in zip(on_shelf(shelf, made, cases[0]), made, strict=True):
        assert item.fault(case) == fault
        assert item.admits(ex11.exercise.given(item, case)), fault
        assert shelf.readings[-1].word not in item.decides(case)
        assert fault not in str(case.as_data())
    assert {fault for fault, _ in made} | set(never) == set(shelf.offered)


@BOTH
def test_faults_that_are_never_made_are_those_that_no_reading_decides(
    shelf: Shelf, made: tuple[tuple[str, float], ...], never: tuple[str, ...]
) -> None:
    """But for what the wearer notices, or in their largest size."""
    noticed = shelf.readings[-1].word
    assert not {fault for fault, _ in made} & set(never)
    for fault, share in product(never, (0.25, 0.5, 0.75)):
        assert set(shelf.decides(shelf.found(fault, share), fault)) <= {noticed}, (fault, share)


@BOTH
def test_two_by_two_a_reading_speaks_against_every_other_fault(
    ex11: ModuleType, cases: list[Case], shelf: Shelf, made: tuple[tuple[str, float], ...], never: tuple[str, ...]
) -> None:
    """A wrong fault is contradicted, and told so alike whatever the right one is: guesses lead nowhere."""
    name = f"fault_{shelf.part}"
    item = ex11.exercise.item(name)
    told: dict[str, set[str]] = {}
    for case, (fault, _) in zip(on_shelf(shelf, made, cases[0]), made, strict=True):
        reading = item.decides(case)[0]
        assert judge(ex11.exercise, name, {"fault": fault, "reading": reading}, case).points == 3
        for statement in item.faults:
            if statement.word == fault:
                continue
            judged = judge(ex11.exercise, name, {"fault": statement.word, "reading": reading}, case)
            assert judged.points == 0
            assert statement.ask in judged.words
            assert any(shelf.away(case, key, statement.word) > 1.0 for key in shelf.keys), (
                fault,
                statement.word,
                never,
            )
            assert fault not in judged.words
            assert not any(one.word in judged.words for one in shelf.readings)
            told.setdefault(statement.word, set()).add(judged.words)
    assert {len(words) for words in told.values()} == {1}


@BOTH
def test_what_the_wearer_notices_does_not_decide(
    ex11: ModuleType, cases: list[Case], shelf: Shelf, made: tuple[tuple[str, float], ...], never: tuple[str, ...]
) -> None:
    for case, (fault, _) in zip(on_shelf(shelf, made, cases[0])[:4], made[:4], strict=True):
        answer = {"fault": fault, "reading": shelf.readings[-1].word}
        judged = judge(ex11.exercise, f"fault_{shelf.part}", answer, case)
        assert judged.points == 2
        assert "How many of the faults would show there?" in judged.words
        assert fault not in never


@pytest.mark.long
def test_every_fault_comes_to_somebody(ex11: ModuleType) -> None:
    drawn = [ex11.exercise.own_case(f"Student {number}") for number in range(120)]
    assert {below_fault(case) for case in drawn} == {fault for fault, _ in MADE_BELOW}
    assert {above_fault(case) for case in drawn} == {fault for fault, _ in MADE_ABOVE}
    assert {undecided.scene(case).word for case in drawn} == set(undecided.LEFT)


# --- Two faults left ------------------------------------------------------------------------


def scenes(case: Case) -> list[Case]:
    plain = {name: value for name, value in case.values.items() if not name.startswith("left_")}
    return [
        Case("ex11", "x", 0, {**plain, "scene": k + 1, **undecided.read(k + 1)}) for k in range(len(undecided.SCENES))
    ]


def test_just_the_two_faults_of_a_pair_go_with_what_was_read(cases: list[Case]) -> None:
    """Every other fault, of any size between its smallest and its largest, is off by more than the errors allow."""
    for case in scenes(cases[0]):
        pair = undecided.LEFT[undecided.scene(case).word]
        now = {key: float(case[f"left_now_{key}"]) for key in pair.taken}
        left = undecided.fitting(pair.taken, now)
        assert left is not None
        assert set(left) == set(pair.faults)
        for fault in set(undecided.CANDIDATES) - set(pair.faults):
            for share in undecided.SHARES:
                off = [abs(ABOVE.reading(key, fault, share) - now[key]) / undecided.error(key) for key in pair.taken]
                assert max(off) > 1.0, (fault, share)


def test_one_further_reading_tells_and_the_others_do_not(cases: list[Case]) -> None:
    for case in scenes(cases[0]):
        one = undecided.scene(case)
        pair = undecided.LEFT[one.word]
        left = undecided.fitting(pair.taken, {key: float(case[f"left_now_{key}"]) for key in pair.taken})
        assert left is not None
        keys = {word: key for key, (word, _, _) in undecided.WORDS.items()}
        for statement in undecided.NEXT:
            if keys[statement.word] not in pair.taken:
                assert undecided.tells(keys[statement.word], left) is (statement.word == one.next)


def test_taken_it_names_the_fault(ex11: ModuleType, cases: list[Case]) -> None:
    """With the reading that tells, read on the very prosthesis, just the fault that it has goes with all."""
    keys = {word: key for key, (word, _, _) in undecided.WORDS.items()}
    for case in scenes(cases[0]):
        one = undecided.scene(case)
        taken = (*undecided.LEFT[one.word].taken, keys[one.next])
        now = {key: float(round(ABOVE.reading(key, one.fault, one.share))) for key in taken}
        left = undecided.fitting(taken, now)
        assert left is not None
        assert set(left) == {one.fault}
        assert judge(ex11.exercise, "undecided", one.word, case).points == 2
        assert judge(ex11.exercise, "measure_next", one.next, case).points == 2


def test_pairs_come_alike_often() -> None:
    often = Counter(one.word for one in undecided.SCENES)
    assert set(often) == set(undecided.LEFT)
    assert len(set(often.values())) == 1
    for word in often:
        assert len({one.fault for one in undecided.SCENES if one.word == word}) == 2, word


# --- Tests after a repair -------------------------------------------------------------------


def renewals(cases: list[Case]) -> list[Case]:
    return [like(cases[0], renewed=parts) for parts in retake.RENEWED]


def test_a_test_is_wanted_if_a_fault_of_what_was_renewed_moves_it(cases: list[Case]) -> None:
    kept = noted(BELOW.package)["below"]
    for case in renewals(cases):
        for test, key in retake._KEYS.items():
            faults = [fault for part in retake.renewed(case) for fault in retake.PARTS[part]]
            moved = max(abs(kept[f"{fault}, 0.5"][key] - kept["sound"][key]) for fault in faults)
            error = retake._ERRORS.get(key, 2.0)
            assert (test in retake.wanted(case)) == (moved > error), (case.renewed, test)
            assert not 0.8 < moved / error < 1.25, (case.renewed, test, moved)  # none is a matter of taste


def test_an_order_is_right_if_each_test_comes_after_those_that_know_less(ex11: ModuleType, cases: list[Case]) -> None:
    """Every order of the tests that are wanted, tried one by one."""
    for case in renewals(cases):
        tests = retake.wanted(case)
        assert 4 <= len(tests) <= 5
        rights = set(retake.right_orders(case))
        for order in permutations(tests):
            good = all(
                order.index(one) < order.index(other)
                for one, other in product(tests, tests)
                if retake.touched(one) < retake.touched(other)
            )
            assert (order in rights) == good
            assert (retake.comes_to(case, order) == "") == good
            judged = judge(ex11.exercise, "retake", order, case)
            assert (judged.points == 4) == good
            assert good or "What it comes to: step" in judged.words


def test_a_test_that_knows_nothing_new_is_told_so(ex11: ModuleType, cases: list[Case]) -> None:
    for case in renewals(cases):
        right = retake.right_orders(case)[0]
        idle = next(test for test in retake._KEYS if test not in right)
        judged = judge(ex11.exercise, "retake", [idle, *right], case)
        assert "it knows of nothing that was renewed" in judged.words
        assert judged.points < 4
        judged = judge(ex11.exercise, "retake", right[:-1], case)
        assert "Which test knows of all the parts at once?" in judged.words
        assert "1 more of the tests" in judged.words


def test_repairs_are_spread(ex11: ModuleType) -> None:
    drawn = [ex11.exercise.own_case(f"Student {number}") for number in range(60)]
    assert {case.renewed for case in drawn} == set(retake.RENEWED)
    assert max(Counter(retake.right_orders(case) for case in drawn).values()) <= 20


def test_no_prosthesis_of_a_shelf_reads_as_a_sound_one() -> None:
    for shelf, made, _ in SHELVES:
        for fault, share in made:
            now = shelf.found(fault, share)
            assert max(shelf.away(now, key, SOUND) for key in shelf.keys) > 2.0


# --- What comes back ------------------------------------------------------------------------


def test_slips_of_unit_are_told(every: dict[str, Hands]) -> None:
    hands = every["ex11"]
    for who in range(3):
        case = hands.case(who)
        right = hands.exercise.right(case)
        for name, typed in (
            ("slip", f"{right['slip'] / 10:.3f} mm"),
            ("standard_error", f"{right['standard_error'] / 1000:.6f} mm"),
            ("efficiency", f"{right['efficiency'] / 100:.5f} %"),
        ):
            judged = judge(hands.exercise, name, typed, case)
            assert judged.points == 0.5 * hands.exercise.item(name).points, (name, judged.words)
            assert "unit" in judged.words or "%" in judged.words
        assert judge(hands.exercise, "efficiency", right["efficiency"] / 100, case).points == 4
        assert judge(hands.exercise, "slip", f"{right['slip'] / 25.4:.4f} in", case).points == 4
