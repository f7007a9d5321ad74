"""Exercise 9: its answers beside the mechanics, and designs that serve one wearer and not all."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace
from itertools import product
from types import ModuleType
from typing import Any

import numpy as np
import pytest

from controlkit.checking import Case, Design, judge, own_wearer
from controlkit.classroom import private
from controlkit.exercises.ex09 import bench
from controlkit.exercises.ex09.bench import ROWS, USED
from controlkit.exercises.ex09.case import BEARS, at_strap, borne, drawn, forward, load, most, radius, serving, slip
from controlkit.exercises.ex09.words import CHANGES, COMES
from controlkit.mechanics import Pose, SingleControl, VoluntaryOpening, chest_strap, figure_of_eight, figure_of_nine
from controlkit.mechanics.chain.dual.amplifier import ExcursionAmplifier
from controlkit.mechanics.harness import Straps
from controlkit.mechanics.harness.pressure import line_load, tension_from
from controlkit.mechanics.harness.suspension import suspend
from controlkit.units import deg, mm
from tests.checking.hands import Hands


@pytest.fixture(scope="module")
def ex09(modules: dict[str, ModuleType]) -> ModuleType:
    return modules["ex09"]


def worn(case: Case, pattern: Any, bands: int | None = None, **settings: Any) -> SingleControl:
    """A pattern on the wearer of a case."""
    hook = VoluntaryOpening(bands=case.bands if bands is None else bands)
    return SingleControl(pattern(own_wearer(case.values), **settings), device=hook)


# --- Answers beside the mechanics -----------------------------------------------------------


def test_line_load_and_its_inverse_are_those_of_the_mechanics(ex09: ModuleType, cases: list[Case]) -> None:
    for case in cases:
        right = ex09.exercise.right(case)
        pressed = line_load(float(case.tension), mm(radius(case)))
        assert right["line_load"] == pytest.approx(pressed / 1000)
        assert right["pressure"] == pytest.approx(pressed / mm(case.width) / 1000)
        assert right["largest_tension"] == pytest.approx(tension_from(1000 * case.bears, mm(case.across / 2)))


def test_a_curve_presses_back_as_hard_as_both_ends_pull(cases: list[Case]) -> None:
    """Summed along the arc, the line load makes the force that holds both ends of the loop."""
    for case in cases:
        half = deg(case.turn) / 2
        angles = np.linspace(-half, half, 2001)
        pressed = case.tension / radius(case)
        along = np.trapezoid(pressed * np.cos(angles) * radius(case), angles)
        assert along == pytest.approx(2 * case.tension * np.sin(half), rel=1e-5)


def test_what_changes_at_a_loop_is_what_the_laws_say() -> None:
    """Each change made to one loop on one curve: the words say which of the three become less."""
    before = {"tension": 40.0, "radius": 0.04, "width": 0.025}
    made = {"wider": {"width": 0.0375}, "rounder": {"radius": 0.05}, "lighter": {"tension": 30.0}, "stiffer": {}}
    words = {
        (): "none of them",
        ("p",): "pressure alone",
        ("q", "p"): "line load and pressure",
        ("T", "q", "p"): "all three",
    }
    for name, change in made.items():
        after = {**before, **change}
        three = []
        for one in (before, after):
            pressed = line_load(one["tension"], one["radius"])
            three.append({"T": one["tension"], "q": pressed, "p": pressed / one["width"]})
        less = tuple(key for key in three[0] if three[1][key] < three[0][key])
        assert words[less] == CHANGES[name][1]


def test_stretchy_webbing_hardly_changes_what_the_loop_presses(cases: list[Case]) -> None:
    """On the wearer, at full opening: the pull is the device's."""
    case = cases[0]
    loads = []
    for webbing in (15_000.0, 45_000.0):
        system = worn(case, figure_of_eight, bands=1, straps=Straps(webbing=webbing))
        pull = system.sweep([deg(90)]).pulls[0]
        assert pull.limited_by == "nothing"
        loads.append(pull.axilla_line_load)
    assert loads[1] == pytest.approx(loads[0], rel=0.05)


def test_slip_is_that_of_the_mechanics(ex09: ModuleType, cases: list[Case]) -> None:
    for case in cases[:6]:
        system = worn(case, figure_of_eight)
        found = suspend(system.harness, system.law, load(case))
        assert ex09.exercise.right(case)["slip"] == pytest.approx(found.slip / mm(1), abs=0.6)  # between rows of 5 mm


def test_a_strap_let_out_by_what_the_slip_draws_leaves_the_device_shut(cases: list[Case]) -> None:
    """And one that is less let out does not; what comes then is what the exercise says comes."""
    for case in cases[:6]:
        comes = drawn(case, slip(case, load(case)))
        for out in (comes + 1.0, case.let_out):
            system = worn(case, figure_of_eight, control_strap=mm(out))
            found = suspend(system.harness, system.law, load(case))
            assert found.travel / mm(1) == pytest.approx(max(comes - out, 0.0), abs=0.8), case.sex


def test_both_patterns_draw_what_the_table_says(cases: list[Case]) -> None:
    for case, (word, pattern) in product(cases[:4], (("eight", figure_of_eight), ("chest", chest_strap))):
        pull = worn(case, pattern).sweep([deg(case.forward)]).pulls[0]
        assert forward(case, word) == pytest.approx(pull.travel / mm(1), abs=0.06)
        used = worn(case, pattern).sweep([deg(USED)]).pulls[0]
        assert case[f"armpit_{word}"] == pytest.approx(used.axilla_line_load / 1000, abs=0.006)
        assert (case[f"armpit_{word}"] > 0) == (word == "eight")
        assert (case[f"side_{word}"] > 0) == (word == "chest")


def test_slip_draws_the_cable_by_less_than_itself(cases: list[Case]) -> None:
    for case in cases:
        rows = [case[f"drawn_{row}"] for row in ROWS]
        assert all(np.diff(rows) >= 0)
        assert 0 == rows[0] < rows[-1] < ROWS[-1]


def test_a_figure_of_nine_has_the_same_loop(cases: list[Case]) -> None:
    for case in cases[:3]:
        eight, nine = (worn(case, one).sweep([deg(USED)]).pulls[0] for one in (figure_of_eight, figure_of_nine))
        assert nine.strap_tension["axilla loop"] == pytest.approx(eight.strap_tension["axilla loop"], rel=0.02)
        assert case.loop == pytest.approx(eight.strap_tension["axilla loop"], abs=0.06)


def test_the_amplifier_is_that_of_the_mechanics(ex09: ModuleType, cases: list[Case]) -> None:
    for case in cases:
        amplifier = ExcursionAmplifier(ratio=case.ratio, efficiency=case.works / 100)
        right = ex09.exercise.right(case)["amplified_pull"]
        assert right == pytest.approx(amplifier.force(case.opens / (case.arrives / 100)))
        assert right == at_strap(case) < 130.0
        formula = ex09.exercise.item("amplified_travel")
        for generated, give, pull, ratio, efficiency in formula.inputs(case):
            one = ExcursionAmplifier(ratio=ratio, efficiency=efficiency)
            travel = one.travel(generated - give * one.force(pull))
            assert formula._truth(formula.right, [(generated, give, pull, ratio, efficiency)])[0] == pytest.approx(
                travel
            )


def test_every_wearer_who_comes_in_has_one_pattern_and_every_pattern_a_wearer(ex09: ModuleType) -> None:
    words = {one.word for one in ex09.exercise.item("pattern").statements}
    assert {word for _, word in COMES.values()} == words
    drawn = [ex09.exercise.own_case(f"Student {number}") for number in range(40)]
    assert {case.comes for case in drawn} == set(COMES)
    which = Counter(ex09.exercise.item("which").right(case) for case in drawn)
    assert set(which) == {"eight", "fewer bands", "chest strap"}
    assert max(which.values()) <= 26


# --- Carried on -----------------------------------------------------------------------------


def test_a_slip_costs_once_along_each_chain(ex09: ModuleType, cases: list[Case]) -> None:
    chains = (
        ("line_load", "degrees-for-radians", "pressure"),
        ("slip", "prosthesis-weighs-nothing", "opens_unasked"),
        ("slip", "twice-the-load-twice-the-slip", "more_cable"),
    )
    for case, (first, label, second) in product(cases, chains):
        idea = next(one for one in ex09.exercise.ideas if (one.item, one.label) == (first, label))
        truth = ex09.exercise.right(case)
        (own,) = idea.values(case, truth)
        assert judge(ex09.exercise, first, own, case).feedback[0].label == label
        carried = ex09.exercise.item(second).right(case, {**truth, first: own})
        judged = judge(ex09.exercise, second, carried, case, earlier={first: own})
        assert judged.points == ex09.exercise.item(second).points
        assert "follows from your own" in judged.words


def test_a_harness_chosen_from_the_own_tension_counts(ex09: ModuleType, cases: list[Case]) -> None:
    item = ex09.exercise.item("which")
    for case in cases:
        for own in (case.loop + 5, (case.loop + case.loop_fewer) / 2, case.loop_fewer - 5):
            (word,) = item.right_from(case, own)
            assert judge(ex09.exercise, "which", word, case, earlier={"largest_tension": own}).points == 2
        assert item.right(case) == item.right_from(case, most(case))[0]


# --- The design -----------------------------------------------------------------------------


def good(case: Case, **changes: Any) -> dict[str, Any]:
    loose, each, support = {
        "armpit": ({1: 29.2, 2: 25, 3: 22}[case.grips], 1.69, 0),
        "side": ({1: 18.5, 2: 14.5, 3: 10.7}[case.grips], 0.9, case.slips - 28),
    }[case.spared]
    settings = {
        "pattern": serving(case),
        "bands": case.grips,
        "control_strap": f"{loose + each * (case.still - 20):.1f} mm",
        "support_strap": f"{support} mm",
        "width": f"{case.thin + 1} mm",
    }
    return {**settings, **changes}


def said(ex09: ModuleType, case: Case, kept_back: Any = None, **changes: Any) -> tuple[float, str]:
    judged = judge(ex09.exercise, "design", good(case, **changes), case, kept_back=kept_back)
    return judged.points, judged.words


def of(cases: list[Case], **values: Any) -> Case:
    """A case like the first, but for some values."""
    return Case("ex09", "x", 0, {**cases[0].values, **values})


@pytest.mark.parametrize("still", [20, *(pytest.param(each, marks=pytest.mark.long) for each in (25, 30)), 35])
@pytest.mark.parametrize("spared", ["armpit", "side"])
def test_every_demand_can_be_met_on_every_body(
    ex09: ModuleType, cases: list[Case], root: Any, spared: str, still: int
) -> None:
    sizes = (("female", -6, -5), ("male", 6, 5), ("male", -6, -5))
    for place, (grips, thin, slips) in enumerate(((1, 24, 18), (2, 36, 21), (3, 27, 24))):
        sex, taller, wider = sizes[(place + still // 5) % 3]
        who = {"sex": sex, "taller": taller, "wider": wider}
        case = of(cases, spared=spared, still=still, grips=grips, thin=thin, slips=slips, hurts=0, **who)
        for kept_back in (None, private("ex09", root)):
            assert said(ex09, case, kept_back)[0] == 9, said(ex09, case, kept_back)[1]


@pytest.mark.long
def test_no_one_design_serves_many_names(ex09: ModuleType) -> None:
    """Each name's own design, tried on whatever the other names ask for."""
    names = [ex09.exercise.own_case(f"Student {number}") for number in range(14)]
    for own in names[:6]:
        served = sum(judge(ex09.exercise, "design", good(own), case).points == 9 for case in names)
        assert 1 <= served <= 3, (good(own), served)


def test_the_other_pattern_presses_where_nothing_is_borne(ex09: ModuleType, cases: list[Case]) -> None:
    words = {"armpit": "the sound armpit bears less than that", "side": "the chest bears less than that"}
    for spared, other in (("armpit", "eight"), ("side", "chest strap")):
        for hurts in (0, 0.15):
            points, told = said(ex09, of(cases, spared=spared, hurts=hurts, grips=1, still=20), pattern=other)
            assert words[spared] in told
            assert points <= 7


def test_more_bands_than_the_grip_asks_for_press_too_hard_on_some_body(ex09: ModuleType, cases: list[Case]) -> None:
    for grips in (1, 2, 3):
        points, told = said(ex09, of(cases, spared="side", grips=grips, still=20, sex="male"), bands=grips + 1)
        assert points < 9, told


def test_graded_bodies_are_other_people_of_kinds_that_may_be_told(ex09: ModuleType, root: Any) -> None:
    item, kept_back = ex09.exercise.item("design"), private("ex09", root)
    graded = {body.make() for body in kept_back.items["design"].bodies}
    assert not {body.make() for body in item.bodies} & graded
    assert tuple(body.kind for body in kept_back.items["design"].bodies) == item.graded_on


def test_a_design_is_judged_as_the_whole_chain_would_answer(ex09: ModuleType, cases: list[Case]) -> None:
    for case in (of(cases, spared="side", grips=2, still=25), of(cases, spared="armpit", grips=2, still=25)):
        chosen = {
            "pattern": serving(case),
            "bands": 2.0,
            "control_strap": mm(20),
            "support_strap": mm(-4),
            "width": mm(30),
        }
        asked = ex09.exercise.item("design").simulate(own_wearer(case.values), chosen, case)
        pattern = figure_of_eight if serving(case) == "eight" else chest_strap
        straps = Straps(width=mm(30))
        system = worn(case, pattern, 2, control_strap=mm(20), support_strap=mm(-4), straps=straps)
        pull = system.sweep([asked.demands.reach]).pulls[0]
        assert asked.opening == pytest.approx(pull.opening, abs=mm(0.1))
        held = suspend(system.harness, system.law, asked.demands.load)
        assert asked.slip == pytest.approx(held.slip, abs=mm(0.8))
    assert bench.dragged(replace(system, harness=figure_of_nine(own_wearer(case.values)))).slip(60.0) == np.inf


@pytest.mark.parametrize(
    ("spared", "changes", "words"),
    [
        ("side", {"support_strap": "10 mm"}, "the socket slips too far"),
        ("side", {"support_strap": "-25 mm"}, "a strap pulls all day"),
        ("side", {"pattern": "nine"}, "the straps do not carry the load"),
        ("side", {"control_strap": "0 mm"}, "it opens before it is wanted"),
        ("side", {"control_strap": "60 mm"}, "it opens too little where it is wanted"),
        ("side", {"width": "10 mm"}, "it is pressed on too little width"),
        ("side", {"width": "60 mm"}, "so wide a strap folds"),
        ("armpit", {"bands": 1}, "it grips too little"),
        ("armpit", {"control_strap": "0 mm"}, "it opens before it is wanted"),
        ("armpit", {"support_strap": "-10 mm"}, "a strap pulls all day"),
        ("armpit", {"support_strap": "30 mm"}, "the socket slips too far"),
    ],
)
def test_what_a_design_does_not_do_is_asked_back(
    ex09: ModuleType, cases: list[Case], spared: str, changes: dict[str, Any], words: str
) -> None:
    for who in ({"sex": "female", "taller": -6, "wider": -5}, {"sex": "male", "taller": 6, "wider": 5}):
        points, told = said(ex09, of(cases, spared=spared, grips=2, still=30, **who), **changes)
        assert words in told
        assert points < 9


def test_a_harness_on_which_nothing_opens_earns_nothing_for_what_it_spares(ex09: ModuleType, cases: list[Case]) -> None:
    points, told = said(ex09, of(cases, spared="armpit"), control_strap="100 mm")
    assert told.count("So far without points") >= 3
    assert points <= 4


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"pattern": "eigth"}, "If you mean “eight”"),
        ({"pattern": "figure-of-eight: axilla loop"}, "is none of the words"),
        ({"pattern": 8}, "A word is needed here"),
        ({"pattern": ...}, "Replace the dots"),
        ({"pattern": ["eight"]}, "A word is needed here"),
        ({"bands": 2.5}, "whole number"),
        ({"bands": 0}, "whole number"),
        ({"bands": 900}, "whole number"),
        ({"control_strap": "1 m"}, "this cannot be worn"),
        ({"support_strap": "-200 mm"}, "this cannot be worn"),
        ({"width": "200 mm"}, "this cannot be worn"),
        ({"width": "3 N"}, "width"),
    ],
)
def test_a_design_that_cannot_be_read_or_worn_costs_nothing(
    ex09: ModuleType, cases: list[Case], changes: dict[str, Any], words: str
) -> None:
    judged = judge(ex09.exercise, "design", {**good(cases[1]), **changes}, cases[1])
    assert words in judged.words, judged.words
    assert judged.points == 0
    assert not judged.costs_attempt


def test_every_line_of_a_design_carries_its_figure(every: dict[str, Hands]) -> None:
    hands = every["ex09"]
    item, case = hands.exercise.item("design"), hands.case(2)
    assert isinstance(item, Design)
    for design in (good(case), good(case, control_strap="0 mm", width="60 mm"), good(case, support_strap="40 mm")):
        judged = judge(hands.exercise, "design", design, case)
        lines = {note.label.split(":")[0]: note.message for note in judged.feedback}
        for criterion in item.criteria:
            assert re.search(r"\d (N|mm|kPa)|\d N/mm", lines[criterion.label]), lines


def test_what_may_press_is_more_than_presses_and_less_than_a_band_more_presses(cases: list[Case]) -> None:
    """On the body that presses hardest, the control strap as a design may let it out."""
    small = bench.body("female", -110, -90)
    for bands, limit in BEARS["eight"].items():
        pressed = []
        for count in (bands, bands + 1):
            system = SingleControl(figure_of_eight(small, control_strap=mm(9)), device=VoluntaryOpening(bands=count))
            pressed.append(system.sweep([deg(70)]).pulls[0].axilla_line_load / 1000)
        assert pressed[0] < limit < pressed[1]
    assert {borne(case)[0 if case.spared == "armpit" else 1] for case in cases} == {0.0, 0.15}


def test_poses_of_a_design_are_those_of_its_table(ex09: ModuleType, cases: list[Case]) -> None:
    for case in cases[:3]:
        done = ex09.exercise.item("design").simulate(
            own_wearer(case.values),
            {"pattern": "eight", "bands": 1.0, "control_strap": 0.0, "support_strap": 0.0, "width": mm(25)},
            case,
        )
        asked = [done.led.found.poses[k] for k in done.led.found.asked]
        assert asked[0] == Pose()
        assert [one.arm_flexion for one in asked[1:]] == pytest.approx([done.demands.still, done.demands.reach])
