"""Exercise 7: answers beside the mechanics, scenes played, designs that serve one and not all, forms of a formula."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace
from math import radians
from types import ModuleType
from typing import Any

import numpy as np
import pytest

from controlkit.checking import Case, Design, judge, own_wearer
from controlkit.classroom import private
from controlkit.exercises.ex07 import bench
from controlkit.exercises.ex07.bench import MOTION, PULLED, worn
from controlkit.exercises.ex07.case import PARTS, WAY_UP, load, right_bands, tension
from controlkit.exercises.ex07.formula import FORMULAS
from controlkit.exercises.ex07.items import OF_SCENE, moves_first
from controlkit.exercises.shared.wearers import above_elbow
from controlkit.mechanics import DualControl, hook_opening
from controlkit.mechanics.chain.dual import capture, control
from controlkit.mechanics.elbow import FlexionSpring, LiftLine, Piece, ProstheticForearm, lift
from controlkit.units import deg, mm
from tests.checking.hands import Hands


@pytest.fixture(scope="module")
def ex07(modules: dict[str, ModuleType]) -> ModuleType:
    return modules["ex07"]


def line_of(case: Case, ahead: float | None = None, loop: float | None = None) -> LiftLine:
    return LiftLine(
        loop_along=mm(case.loop if loop is None else loop),
        end_above=mm(case.end),
        end_ahead=mm(case.ahead if ahead is None else ahead),
    )


# --- Answers beside the mechanics -----------------------------------------------------------


def test_weight_is_that_of_the_parts(ex07: ModuleType, cases: list[Case]) -> None:
    for case in cases:
        forearm = ProstheticForearm(tuple(Piece(part, case[part] / 1000, mm(case[f"{part}_at"])) for part in PARTS))
        moment = forearm.moment(deg(case.elbow), deg(case.inclined))
        assert ex07.exercise.right(case)["weight_moment"] == pytest.approx(moment)


def test_a_human_forearm_would_weigh_more(ex07: ModuleType, cases: list[Case]) -> None:
    """What the comparison in the table is there for: always more, mostly twice as much or more."""
    idea = next(idea for idea in ex07.exercise.ideas if idea.label == "human-forearm")
    times = [idea.values(case, {})[0] / ex07.exercise.right(case)["weight_moment"] for case in cases]
    assert min(times) > 1.0
    assert np.median(times) > 1.7


def test_moment_arm_and_travel_are_those_of_the_lift_line(ex07: ModuleType, cases: list[Case]) -> None:
    for case in cases:
        right, line = ex07.exercise.right(case), line_of(case)
        rate = (line.length(deg(case.bent) - 1e-5) - line.length(deg(case.bent) + 1e-5)) / 2e-5
        assert right["moment_arm"] * mm(1) == pytest.approx(rate, rel=1e-6)
        assert right["lift_travel"] * mm(1) == pytest.approx(line.travel(deg(case.locked), deg(case.hangs)))


def test_formula_and_table_are_those_of_the_lift(ex07: ModuleType, cases: list[Case]) -> None:
    for case in cases:
        other = LiftLine(loop_along=mm(case.other_loop), end_above=mm(80), end_ahead=mm(case.other_ahead))
        whole = ProstheticForearm((Piece("all of it", case.level / 9.80665 / 0.2, 0.2),))
        rows, tilts = deg(1) * np.array(WAY_UP), deg(1) * np.array([case[f"tilt_{row}"] for row in WAY_UP])
        way = lift(other, whole, rows, arm_inclination=tilts)
        tenth = 0.05 / min(case[f"arm_{row}"] for row in WAY_UP)  # what rounding an arm to a tenth can do
        assert ex07.exercise.right(case)["lift_tension"] == pytest.approx(way.peak, rel=1.01 * tenth)
        helped = lift(other, whole, rows, arm_inclination=tilts, spring=FlexionSpring(case.spring))
        item = ex07.exercise.item("lift_force")
        for k, row in enumerate(WAY_UP):
            call = (case.level, row, case[f"tilt_{row}"], case.spring, 1000 * float(way.moment_arm[k]))
            told = item._truth(item.right, [call])[0]
            assert max(told, 0.0) == pytest.approx(float(helped.force[k]), abs=1e-6)


def test_pulls_at_hanger_and_device_are_those_of_dual_control(ex07: ModuleType, cases: list[Case]) -> None:
    """With bends of the case in place of those of a line: the same two exponentials."""
    case = cases[0]
    system = worn(above_elbow(own_wearer(case.values)))
    lifted = system.lift([deg(40)], **MOTION)
    above, beyond = (float(bend[0]) for bend in system.bends([deg(40)]))
    there = Case("ex07", "x", 0, {**case.values, "friction": system.cable.friction})
    there = replace(there, values={**there.values, "above": np.rad2deg(above), "beyond": np.rad2deg(beyond)})
    pull, device = (ex07.exercise.item(name) for name in ("harness_pull", "device_pull"))
    at_hanger = pull.right(there, {"lift_tension": float(lifted.lift_force[0])})
    assert at_hanger == pytest.approx(float(lifted.harness_force[0]))
    assert device.right(there, {"harness_pull": at_hanger}) == pytest.approx(float(lifted.device_force[0]))


def test_what_is_left_is_what_the_model_leaves(ex07: ModuleType, cases: list[Case]) -> None:
    """On her own wearer and line, the pull of the table: what the lift took up is not there for the device."""
    for case in cases[:4]:
        system = worn(above_elbow(own_wearer(case.values)))
        system = replace(system, line=line_of(case), hangs_at=deg(case.hangs))
        captured = float(system.capture(**MOTION).at(bench.FURTHEST, PULLED))
        left = (captured - float(system.required(deg(case.locked)))) / mm(1) - case.slack
        assert ex07.exercise.right(case)["left_to_open"] == pytest.approx(left, abs=0.51)
        opened = system.open_locked([deg(case.locked)], **MOTION)
        assert opened.captured[0] - opened.left_for_opening[0] == pytest.approx(opened.taken_by_lift[0])


def test_a_loop_moved_does_what_the_statement_says(ex07: ModuleType, cases: list[Case]) -> None:
    weight = ProstheticForearm((Piece("all of it", 0.4, 0.25),))
    way = deg(1) * np.linspace(20.0, 100.0, 400)
    for case in cases:
        assert (
            ex07.exercise.item("loop_moved").right(case)
            == {"outward": "less force", "inward": "less travel"}[case.moved]
        )
        near, far = (lift(line_of(case, loop=case.loop + more), weight, way) for more in (0, 10))
        assert far.travel[-1] > near.travel[-1]
        assert far.work == pytest.approx(near.work)
        assert far.work / far.travel[-1] < near.work / near.travel[-1]


def test_what_comes_of_each_scene_is_what_dual_control_does(ex07: ModuleType, cases: list[Case]) -> None:
    """Each scene played on a wearer: what rises, opens, sinks, stays or slips."""
    system = worn(above_elbow(own_wearer(cases[0].values)))
    system = replace(system, device=hook_opening(5), line=LiftLine(end_ahead=mm(25)))
    light, heavy = system.lift([deg(90)], **MOTION), system.lift([deg(90)], 1.5, **MOTION)
    locked = system.open_locked([deg(90)], **MOTION)
    held = system.live_lift([deg(90)], width=mm(30))
    shut = system.device.force(system.device.travel_for(mm(30)))
    played = {
        "lifts": "rises" if light.limited_by == ("nothing",) and light.stays_shut.all() else "",
        "strains": "opens" if heavy.limited_by == ("device opens first",) else "",
        "locked": "opens" if locked.opening[0] > mm(5) else "",
        # without a pull no moment holds the unlocked forearm: its weight extends it
        "relaxes": "sinks" if float(system.lifted_forearm.moment(deg(90))) > 0 and light.lift_force[0] > 0 else "",
        # the lock holds the elbow, and a cable without tension does not open the hook
        "locked and relaxes": "stays" if system.device.opening(0.0) == 0.0 and system.device.force(0.0) > 0 else "",
        "carries": "slips" if 0 < held.slips_at[0] < held.opens_at[0] and held.grip[0] < held.grip_unpulled else "",
    }
    assert played == OF_SCENE
    assert shut > 0
    for scene, word in played.items():
        there = Case("ex07", "x", 0, {**cases[0].values, "scene": scene})
        assert judge(ex07.exercise, "comes_of_it", word, there).points == 2


def test_lifting_is_hardest_in_more_than_one_row(ex07: ModuleType) -> None:
    rows = Counter(
        max(WAY_UP, key=lambda row: tension(case, row))
        for case in (ex07.exercise.own_case(f"Student {number}") for number in range(30))
    )
    assert len(rows) >= 2
    assert 90 not in rows
    assert max(rows.values()) <= 24


# --- Carried on -----------------------------------------------------------------------------


def test_a_slip_in_the_tension_costs_once_along_the_chain(ex07: ModuleType, cases: list[Case]) -> None:
    """A right angle taken for the hardest place, carried to hanger, device, and what moves first."""
    other = 0
    for case in cases:
        truth = ex07.exercise.right(case)
        hers = {"lift_tension": tension(case, 90)}
        judged = judge(ex07.exercise, "lift_tension", hers["lift_tension"], case)
        assert judged.feedback[0].label == "hardest-at-a-right-angle"
        for name in ("harness_pull", "device_pull"):
            hers[name] = ex07.exercise.item(name).right(case, {**truth, **hers})
            judged = judge(ex07.exercise, name, hers[name], case, earlier=dict(hers))
            assert judged.points == 2
            assert "follows from your own" in judged.words
        word = moves_first(case, hers["device_pull"])
        assert judge(ex07.exercise, "opens_first", word, case, earlier=hers).points == 2
        other += word != ex07.exercise.item("opens_first").right(case)
    assert other >= 2  # for some the slip turns the statement round


def test_locking_gives_nothing_back_from_her_own_travel_either(ex07: ModuleType, cases: list[Case]) -> None:
    for case in cases:
        own = case.loop * radians(case.locked - case.hangs)  # as far as the loop goes on its circle
        earlier = {"lift_travel": own}
        assert judge(ex07.exercise, "lift_travel", own, case).feedback[0].label == "arm-length-times-angle"
        left = case.captured - case.slack - own
        assert judge(ex07.exercise, "left_to_open", left, case, earlier=earlier).points == 2
        judged = judge(ex07.exercise, "left_to_open", case.captured - case.slack, case, earlier=earlier)
        assert judged.feedback[0].label == "locking-gives-it-back"
        assert judged.points == 0


# --- The formula ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    "right",
    [
        "1000 * (level * sin((elbow + tilt)°) - spring) / arm",
        "(level·sin((elbow + tilt)·π/180) − spring) / (arm / 1000)",
        "lift_force = (level sin(radians(flexion + inclined)) - spring) / (moment_arm/1000)",
        "(sin(elbow° + tilt°) level - spring) 1000 / arm",
        "1000 level / arm * cos((90 - elbow - tilt)°) - 1000 spring / arm",
    ],
)
def test_the_lift_may_be_written_in_any_usual_way(ex07: ModuleType, cases: list[Case], root: Any, right: str) -> None:
    for case in cases[:4]:
        for kept_back in (None, private("ex07", root)):
            judged = judge(ex07.exercise, "lift_force", right, case, kept_back=kept_back)
            assert judged.points == 6, judged.words


@pytest.mark.parametrize(
    ("wrong", "label", "points"),
    [
        ("1000 (level * sin(elbow°) - spring) / arm", "inclination-forgotten", 1.5 + 2),
        ("1000 (level * sin((elbow - tilt)°) - spring) / arm", "inclination-taken-off", 0.75 + 1),
        ("1000 (level * cos((elbow + tilt)°) - spring) / arm", "cosine-for-sine", 0.75),
        ("1000 (level * sin((elbow + tilt)°) + spring) / arm", "spring-against-the-lift", 0.75 + 2),
        ("1000 level * sin((elbow + tilt)°) / arm - spring", "spring-off-the-force", 1.5 + 1),
        ("(level * sin((elbow + tilt)°) - spring) / arm", "millimetres-for-metres", 1.5 + 3),
        ("(level * sin((elbow + tilt)°) - spring) * arm", "moment-times-arm", 0.75 + 2),
        ("1000 (level * sin(elbow + tilt) - spring) / arm", "degrees-for-radians", 1.5 + 1),
        ("1000 level / arm", "results", 1),
        ("40 + 0 level", "results", 0),
    ],
)
def test_a_wrong_formula_gets_its_question_and_what_its_laws_earn(
    ex07: ModuleType, cases: list[Case], root: Any, wrong: str, label: str, points: float
) -> None:
    asks = {idea.label: idea.ask for idea in FORMULAS}
    for case in cases[:3]:
        for kept_back in (None, private("ex07", root)):
            judged = judge(ex07.exercise, "lift_force", wrong, case, kept_back=kept_back)
            assert judged.feedback[0].label == label
            assert judged.points == pytest.approx(points), judged.words
            assert asks.get(label, "not yet") in judged.words


# --- The design -----------------------------------------------------------------------------


def good(case: Case, further: float = 0.0, **changes: Any) -> dict[str, Any]:
    bands = right_bands(case)
    loop = 61 - 0.9 * (case.wanted - 70) - 4.5 * (bands - 4) + further
    return {"loop_along": f"{loop} mm", "end_ahead": "15 mm", "hangs_at": "10 deg", "bands": bands, **changes}


def said(ex07: ModuleType, case: Case, kept_back: Any = None, **changes: Any) -> tuple[float, str]:
    judged = judge(ex07.exercise, "design", good(case, **changes), case, kept_back=kept_back)
    return judged.points, judged.words


def of(cases: list[Case], **values: Any) -> Case:
    """A case like the first, but for some values."""
    return Case("ex07", "x", 0, {**cases[0].values, **values})


@pytest.mark.parametrize("strength", [220, 275, 330, 385])
@pytest.mark.parametrize("wanted", [70, 80, 90])
def test_every_demand_can_be_met_on_every_body(
    ex07: ModuleType, cases: list[Case], root: Any, strength: int, wanted: int
) -> None:
    """Whatever strength and opening a case may ask for, at the narrowest limits for the rest."""
    case = of(cases, strength=strength, wanted=wanted, hangs_most=10, ahead_most=15, grip=1)
    for kept_back in (None, private("ex07", root)):
        assert said(ex07, case, kept_back)[0] == 9, said(ex07, case, kept_back)[1]


@pytest.mark.parametrize("names", [8, pytest.param(24, marks=pytest.mark.long)])
def test_every_case_has_a_design_that_serves_it_and_all_others(ex07: ModuleType, root: Any, names: int) -> None:
    for number in range(names):
        case = ex07.exercise.own_case(f"Student {number}")
        assert said(ex07, case)[0] == 9, said(ex07, case)[1]
        assert said(ex07, case, private("ex07", root))[0] == 9


def test_other_set_ups_serve_too(ex07: ModuleType, cases: list[Case], root: Any) -> None:
    """The end further forward and the loop nearer, or the forearm bent as far as it may hang."""
    for case in cases:
        for changes in (
            {"end_ahead": f"{case.ahead_most} mm", "further": 0.55 * (15 - case.ahead_most)},
            {"further": 1},
        ):
            assert said(ex07, case, private("ex07", root), **changes)[0] == 9, said(ex07, case, **changes)[1]
        bent = {"hangs_at": f"{case.hangs_most} deg"}
        assert said(ex07, case, private("ex07", root), **bent)[0] == 9, said(ex07, case, **bent)[1]


@pytest.mark.long
def test_no_one_design_serves_many_names(ex07: ModuleType) -> None:
    """Each name's own design, tried on whatever the other names ask for."""
    names = [ex07.exercise.own_case(f"Student {number}") for number in range(24)]
    item = ex07.exercise.item("design")
    for bands, loop in {(right_bands(one), good(one)["loop_along"]) for one in names}:
        design = {"loop_along": loop, "end_ahead": "15 mm", "hangs_at": "10 deg", "bands": bands}
        served = sum(judge(ex07.exercise, item.name, design, case).points == 9 for case in names)
        assert 1 <= served <= 6, (design, served)


def test_graded_bodies_are_other_people_of_kinds_that_may_be_told(ex07: ModuleType, root: Any) -> None:
    item, kept_back = ex07.exercise.item("design"), private("ex07", root)
    graded = {body.make() for body in kept_back.items["design"].bodies}
    assert not {body.make() for body in item.bodies} & graded
    assert {person.level for person in graded} == {"transhumeral"}
    assert {body.kind for body in item.bodies} <= {body.kind for body in kept_back.items["design"].bodies}


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"loop_along": "240 mm"}, "the motion ends before the forearm is up"),
        ({"further": 40}, "it opens too little with the elbow locked"),
        ({"further": -25}, "the device opens before the forearm is up"),
        ({"further": -27, "bands": 9}, "the lift takes more than the wearer can give many times a day"),
        ({"end_ahead": "-20 mm"}, "does the cable pass in front of the elbow's axis from the start?"),
        ({"bands": 10}, "opening it asks for too much"),
        ({"bands": 2}, "it does not grip the object hard enough"),
        ({"hangs_at": "45 deg"}, "the forearm hangs too far bent"),
        ({"end_ahead": "50 mm"}, "the housing's end stands out too far"),
    ],
    ids=["too far out", "nothing left", "too near", "too hard", "behind", "many bands", "few bands", "bent", "ahead"],
)
def test_what_a_design_does_not_do_is_asked_back(
    ex07: ModuleType, cases: list[Case], changes: dict[str, Any], words: str
) -> None:
    short = {"sex": "female", "taller": -6, "wider": -5}
    for case in (of(cases, strength=275, wanted=70, **short), of(cases, strength=330, wanted=80, **short)):
        points, told = said(ex07, case, **changes)
        assert words in told
        assert points <= 8.5


def test_more_bands_keep_it_shut_and_lift_nothing(ex07: ModuleType, cases: list[Case]) -> None:
    """With a loop too near, bands alone make the device stay shut; the pulls say what that costs."""
    case = of(cases, strength=275, wanted=70)
    assert "Not yet" in said(ex07, case, further=-18)[1]
    words = said(ex07, case, further=-18, bands=12)[1]
    assert "Yes: the device stays shut on the whole way up" in words
    assert "opening it asks for too much" in words


def test_a_design_that_is_lucky_on_one_body_is_told_on_which_it_fails(
    ex07: ModuleType, cases: list[Case], root: Any
) -> None:
    """As far out as the wearer with the largest chest has excursion for: a narrow chest has less."""
    case = of(cases, sex="male", taller=6, wider=5, strength=275, wanted=80, grip=20)
    for kept_back in (None, private("ex07", root)):
        points, words = said(ex07, case, kept_back, further=12)
        assert "Not yet" not in words.split("Partly: on another body")[0]
        assert "Partly: on another body it does not do its work: a short woman with a narrow chest" in words
        assert 7 < points < 9


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"bands": 2.5}, "whole number"),
        ({"bands": 0}, "whole number from 1 to 12"),
        ({"loop_along": "400 mm"}, "The lift loop"),
        ({"loop_along": "2 in"}, ""),
        ({"end_ahead": "3 N"}, "end ahead:"),
        ({"hangs_at": "120 deg"}, "Where the forearm hangs"),
        ({"end_ahead": "90 mm"}, "The housing's end"),
    ],
    ids=["half a band", "no band", "loop at the wrist", "inches", "a force", "folded", "off the arm"],
)
def test_a_design_that_cannot_be_worn_costs_nothing(
    ex07: ModuleType, cases: list[Case], changes: dict[str, Any], words: str
) -> None:
    judged = judge(ex07.exercise, "design", {**good(cases[1]), **changes}, cases[1])
    if not words:  # another unit is as good
        assert judged.points > 0
        return
    assert words in judged.words
    assert judged.points == 0
    assert not judged.costs_attempt


def test_every_line_of_a_design_carries_its_figure(every: dict[str, Hands]) -> None:
    """What was reached, and what was wanted, whether it is met or not."""
    hands = every["ex07"]
    item, case = hands.exercise.item("design"), hands.case(2)
    assert isinstance(item, Design)
    for design in (
        good(case),
        good(case, bands=1, end_ahead="45 mm"),
        good(case, end_ahead="-20 mm", hangs_at="0 deg"),
    ):
        judged = judge(hands.exercise, "design", design, case)
        lines = {note.label.split(":")[0]: note.message for note in judged.feedback}
        for criterion in item.criteria:
            assert re.search(r"\d (%|N|mm)|\d°|more than any cable bears", lines[criterion.label]), lines
        assert "inf" not in judged.words.lower().replace("information", "")


def test_the_same_design_is_not_followed_again(
    ex07: ModuleType, cases: list[Case], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Another loop on the same wearers asks nothing more of the harness, and comes to the same as from nothing."""
    case = cases[3]
    before = said(ex07, case)
    inside = capture.follow

    def never(*given: Any, **named: Any) -> Any:
        raise AssertionError("the harness was followed again")

    monkeypatch.setattr(capture, "follow", never)
    other = said(ex07, case, further=1)
    monkeypatch.setattr(capture, "follow", inside)
    worn.cache_clear()
    bench._tried.cache_clear()
    assert said(ex07, case, further=1) == other
    assert said(ex07, case) == before


def test_where_straps_do_not_settle_nothing_is_drawn_or_marked(
    ex07: ModuleType, cases: list[Case], monkeypatch: pytest.MonkeyPatch
) -> None:
    case, plan, told = cases[0], ex07.exercise.plan, said(ex07, cases[0])
    drawn = {name: case[name] for name in plan.draws}
    assert plan.derive(drawn)
    followed = DualControl.capture

    def unsettled(self: DualControl, **angles: float) -> Any:
        return replace(followed(self, **angles), settled=False)

    def forget() -> None:
        for kept in (worn, bench._tried, bench._measured):
            kept.cache_clear()

    forget()
    with monkeypatch.context() as patched:
        patched.setattr(DualControl, "capture", unsettled)
        assert plan.derive(drawn) is None
        judged = judge(ex07.exercise, "design", good(case), case)
        assert judged.points == 0
        assert not judged.costs_attempt
        assert "do not settle" in judged.words
    forget()
    assert said(ex07, case) == told


def test_a_case_asks_for_one_table_of_the_harness(ex07: ModuleType, monkeypatch: pytest.MonkeyPatch) -> None:
    """The dear part of a draw is asked once; all that needs no harness has been looked at before."""
    inside, runs = capture.follow, Counter[str]()
    for number in range(8):
        worn.cache_clear()
        bench._measured.cache_clear()
        control._captured.cache_clear()

        def counted(*given: Any, who: str = str(number), **named: Any) -> Any:
            runs[who] += 1
            return inside(*given, **named)

        monkeypatch.setattr(capture, "follow", counted)
        ex07.exercise.own_case(f"Student {number}")
    assert max(runs.values()) <= len(capture.PULLS)


def test_a_load_is_always_lifted(ex07: ModuleType, cases: list[Case]) -> None:
    assert all(10 <= load(case) <= 240 for case in cases)
    assert len({load(case) for case in cases}) >= 4
