"""Exercise 8: its answers beside the mechanics, scenes and orders played, a lock motion that serves one and not all."""

from __future__ import annotations

import json
import re
from collections import Counter
from dataclasses import replace
from itertools import product
from math import ceil, cos, degrees, radians, sin
from types import ModuleType
from typing import Any

import numpy as np
import pytest

from controlkit.checking import Case, Design, judge, own_wearer
from controlkit.classroom import private
from controlkit.exercises.ex08 import bench, errand
from controlkit.exercises.ex08 import shelf as shelves
from controlkit.exercises.ex08.bench import FRONT, LOCK, PARTS, angles
from controlkit.exercises.ex08.case import below, on_lock, positions, right_back, snug
from controlkit.exercises.ex08.errand import BEGINS, TURNED, comes_to, right_orders, shelved
from controlkit.exercises.ex08.words import OF_SCENE, SCENES
from controlkit.exercises.shared.wearers import above_elbow
from controlkit.mechanics import above_elbow_eight
from controlkit.mechanics.chain.dual import LockMotion, LockStrap, lock_motion, lock_parts, socket_rotation
from controlkit.mechanics.chain.dual import lock as lock_mechanics
from controlkit.mechanics.elbow import ElbowLock, ElbowState, LiftLine
from controlkit.mechanics.sequence import OperatingSequence, Situation, Taken
from controlkit.units import deg, mm
from tests.checking.hands import Hands
from tests.checking.shelf import ERRANDS


@pytest.fixture(scope="module")
def ex08(modules: dict[str, ModuleType]) -> ModuleType:
    return modules["ex08"]


@pytest.fixture(scope="module")
def woman() -> OperatingSequence:
    """The errand as the mechanics has it, worked out once."""
    return shelves.errand("female")


def moved(case: Case, strap: LockStrap = LockStrap(), **changes: float) -> LockMotion:
    """The lock motion of a case on its wearer, or another pose, with a lock that asks for what the case says."""
    harness = above_elbow_eight(above_elbow(own_wearer(case.values)), support_strap=FRONT)
    asked = changes or angles(*(deg(case[part]) for part in PARTS))
    return lock_motion(harness, replace(LOCK, travel=mm(case.needs)), strap, **asked)


# --- Answers beside the mechanics -----------------------------------------------------------


def test_what_comes_to_lock_and_lift_cable_is_what_the_motion_does(ex08: ModuleType, cases: list[Case]) -> None:
    for case in cases:
        right, done = ex08.exercise.right(case), moved(case, LockStrap(let_out=mm(case.let_out)))
        assert right["lock_travel"] == pytest.approx(done.travel / mm(1), abs=0.26)  # five numbers of tenths
        assert right["lift_cable"] == pytest.approx(done.lift / mm(1), abs=0.16)


def test_parts_of_the_motion_are_those_of_the_mechanics(cases: list[Case]) -> None:
    for case in cases[:4]:
        harness = above_elbow_eight(above_elbow(own_wearer(case.values)), support_strap=FRONT)
        parts = lock_parts(harness, LockStrap(), **angles(*(deg(case[part]) for part in PARTS)))
        for name, part in zip(PARTS, parts, strict=True):
            found = {"lock": part.lock_added, "lift": part.lift_added, "alone": part.lift_alone}
            for column, value in found.items():
                assert case[f"{column}_{name}"] == pytest.approx(value / mm(1), abs=0.051), (name, column)


def test_extension_pays_out_and_the_rest_takes_up_whatever_the_case(cases: list[Case]) -> None:
    for case in cases:
        assert case.lift_back < 0 < min(case.lift_away, case.lift_down)
        assert min(case[f"lock_{part}"] for part in ("back", "down")) > 4


def test_a_buckle_half_way_locks_by_the_motion_and_not_in_walking(ex08: ModuleType, cases: list[Case]) -> None:
    for case in cases:
        strap = LockStrap(let_out=mm(ex08.exercise.right(case)["buckle"]))
        done, walking = moved(case, strap), moved(case, strap, **bench.WALKING)
        assert done.triggers
        assert not walking.triggers
        assert done.spare == pytest.approx(-walking.spare, abs=mm(0.4))
        loosest, tightest = snug(case) - case.needs, case.walking - case.needs
        assert not moved(case, LockStrap(let_out=mm(loosest + 0.5))).triggers
        assert moved(case, LockStrap(let_out=mm(tightest - 0.5)), **bench.WALKING).triggers


def test_the_forearm_follows_its_cable_on_a_circle(ex08: ModuleType, cases: list[Case]) -> None:
    """Turned by that angle, a point at the moment arm's distance goes as far as the cable."""
    for case in cases:
        right = ex08.exercise.right(case)
        assert radians(right["forearm_moves"]) * case.arm == pytest.approx(right["lift_cable"])


def test_it_locks_where_the_elbow_lock_does_and_what_hangs_slack_is_what_the_lift_took(
    ex08: ModuleType, cases: list[Case]
) -> None:
    for case in cases:
        right = ex08.exercise.right(case)
        lock = ElbowLock.evenly(case["count"], low=deg(case.first), high=deg(case.last))
        done = lock.pull(ElbowState(False, deg(case.held)), travel=lock.travel, force=lock.force)
        assert done.outcome == "locked"
        assert right["sinks"] == pytest.approx(degrees(done.dropped))
        assert positions(case) == pytest.approx(np.rad2deg(lock.positions).tolist())
        line = LiftLine(loop_along=mm(case.loop), end_above=mm(case.end), end_ahead=mm(case.ahead))
        taken = float(line.travel(done.after.elbow_flexion, deg(case.first))) / mm(1)
        assert right["hangs_slack"] == pytest.approx(taken, abs=1.2)  # read along a chord of 20 degrees


def test_the_lock_lets_go_from_that_tension_on_and_no_pull_at_it_helps(ex08: ModuleType, cases: list[Case]) -> None:
    for case in cases:
        lock = replace(LOCK, free_moment=case.free, force=case.works)
        held = ElbowState(True, deg(case.locked))
        tension = ex08.exercise.right(case)["lets_go"]

        beyond = 1000 * (on_lock(case) + case.free) / case.lever
        for pull, force, outcome in (
            (0.99 * tension, case.works, "held by its load"),
            (0.99 * tension, 60.0, "held by its load"),
            (1.01 * tension, case.works, "unlocked"),
            (0.99 * beyond, case.works, "unlocked"),
            (1.01 * beyond, case.works, "held by its load"),
        ):
            left = on_lock(case) - pull * mm(case.lever)
            assert lock.pull(held, travel=lock.travel, force=force, moment=left).outcome == outcome


def test_the_socket_is_turned_by_the_moment_about_the_arm(ex08: ModuleType, cases: list[Case]) -> None:
    for case in cases:
        off, leaves = radians(case.off), radians(case.leaves)
        place = np.array([mm(case.radius), 0.0, 0.0])  # the arm lies along y
        pull = case.pull * np.array([sin(leaves) * sin(off), cos(leaves), sin(leaves) * cos(off)])
        assert ex08.exercise.right(case)["turns"] == pytest.approx(abs(np.cross(place, pull)[1]))
    case = cases[0]
    turned = socket_rotation(
        above_elbow_eight(above_elbow(own_wearer(case.values))), float(case.pull), arm_flexion=deg(60)
    )
    assert 0 < turned.moment["control attachment strap"] < case.pull * mm(60)  # outward, and by a part of the pull


# --- Scenes and orders ----------------------------------------------------------------------


def at(task: OperatingSequence, **facts: str) -> Situation:
    """A situation of the errand, all turned to the object."""
    ready = {"wrist": errand.TO_OBJECT, "turntable": errand.TO_OBJECT, "device": "shut"}
    return task.start.after({"object": "on the table", "errand": "to do", **ready, **facts})


def test_what_comes_of_each_scene_is_what_the_errand_does(
    ex08: ModuleType, cases: list[Case], woman: OperatingSequence
) -> None:
    """Each scene played: what the lock does, and where the forearm is then."""
    table = {"elbow": "at the table", "lock": "on", "cable": "slack"}
    held = {"elbow": "lifted to the table", "lock": "off", "cable": "taut"}

    def then(step: str, **facts: str) -> Taken:
        return woman.take(at(woman, **facts), step)

    loaded, eased = then("unlock", **table), then("unlock", **{**table, "cable": "taut"})
    rest, caught = then("ease the cable", **held), then("lock", **held)
    sunk = woman.take(caught.after, "ease the cable")
    opened = then("unlock", **{**table, "cable": "pulled", "device": "open"})
    lifted = then("lift to the mouth", **{**table, "object": "held"})
    again = then("unlock", **{**held, "elbow": "at the table"})
    played = {
        "worked under load": "stays locked" if loaded.after == loaded.before and not loaded.right else "",
        "weight on the cable": "lets go" if eased.right and eased.after["elbow"] == "at the table" else "",
        "back to rest": "drops" if rest.after["elbow"] == "low" else "",
        "locked on the cable": "catches below" if caught.right and sunk.after["elbow"] == "at the table" else "",
        "device held open": "stays locked" if opened.after["lock"] == "on" and not opened.right else "",
        "lift at a locked elbow": "opens" if lifted.after["device"] == "open" else "",
        "one time too many": "locks instead" if again.after["lock"] == "on" and not again.right else "",
    }
    assert eased.after["lock"] == "off"
    assert lifted.after["elbow"] == "at the table"
    assert played == OF_SCENE
    assert set(SCENES) == set(OF_SCENE)
    for scene, word in played.items():
        there = Case("ex08", "x", 0, {**cases[0].values, "scene": scene})
        assert judge(ex08.exercise, "comes_of_it", word, there).points == 2


def test_the_shelf_is_noted_as_the_mechanics_does_it(woman: OperatingSequence) -> None:
    """`python -m tests.checking.shelf` notes it anew where this fails for a reason."""
    noted, found = json.loads(ERRANDS.read_text(encoding="utf-8"))["female"], shelves._noted(woman)
    number = re.compile(r"\d+(?:\.\d+)?")
    for name in ("facts", "states", "steps", "leads", "told"):
        assert noted[name] == found[name], name
    for one, other in zip(noted["texts"], found["texts"], strict=True):
        assert number.sub("", one) == number.sub("", other)
        here, there = ([float(value) for value in number.findall(text)] for text in (one, other))
        assert here == pytest.approx(there, rel=0.01, abs=0.11)


@pytest.mark.long
def test_the_shelf_of_a_man_is_noted_so_too() -> None:
    noted, found = json.loads(ERRANDS.read_text(encoding="utf-8"))["male"], shelves._noted(shelves.errand("male"))
    assert {name: noted[name] for name in ("leads", "told")} == {name: found[name] for name in ("leads", "told")}


def every_errand(cases: list[Case], sex: str) -> list[Case]:
    kinds = product(BEGINS, TURNED)
    return [Case("ex08", "x", 0, {**cases[0].values, "sex": sex, "begins": one, "turned": two}) for one, two in kinds]


def test_right_orders_are_the_shortest_that_the_mechanics_takes(cases: list[Case], woman: OperatingSequence) -> None:
    for case in every_errand(cases, "female"):
        machine, goal = shelved("female"), errand._GOALS[case.begins]
        facts = dict(zip(machine.facts, machine.states[errand.start(case)], strict=True))
        task = replace(woman, start=Situation(tuple(facts.items())), goal=goal)
        orders = right_orders(case)
        assert orders
        assert {len(order) for order in orders} == {len(task.right_order())}
        for order in orders:
            assert task.judge(order).right
            assert comes_to(case, order) == ""
        assert right_orders(Case("ex08", "x", 0, {**case.values, "sex": "male"})) == orders


def test_each_wrong_order_is_told_what_it_comes_to(ex08: ModuleType, cases: list[Case]) -> None:
    slips = {
        ("at rest", "away", "pre-position the wrist"): "askew",
        ("at rest", "away", "pre-position the turntable"): "to the side of the object",
        ("at rest", "away", "unlock"): "opens the device",
        ("at the table", "away", "take the weight"): "the lock stays on",
        ("at the table", "away", "unlock"): "stands free of it",
        ("held at the table", "away", "lock"): "drop",
        ("held at the mouth", "away", "take the weight"): "the lock stays on",
    }
    for (begins, turned, missing), words in slips.items():
        case = Case("ex08", "x", 0, {**cases[0].values, "begins": begins, "turned": turned})
        order = list(right_orders(case)[0])
        order.remove(missing)
        judged = judge(ex08.exercise, "sequence", order, case)
        assert "What it comes to: step" in judged.words, (begins, missing)
        assert words in judged.words, (begins, missing, judged.words)
        assert judged.points < 6


def test_errands_are_spread(ex08: ModuleType) -> None:
    drawn = [ex08.exercise.own_case(f"Student {number}") for number in range(40)]
    assert {case.begins for case in drawn} == set(BEGINS)
    assert len({right_orders(case) for case in drawn}) == len(BEGINS) + len(TURNED) - 1
    assert max(Counter(right_orders(case) for case in drawn).values()) <= 16


# --- Carried on -----------------------------------------------------------------------------


def test_a_slip_costs_once_along_each_chain(ex08: ModuleType, cases: list[Case]) -> None:
    chains = (
        ("lock_travel", "stretch-forgotten", "buckle"),
        ("lift_cable", "motions-simply-add", "forearm_moves"),
        ("sinks", "gaps-as-many-as-positions", "hangs_slack"),
    )
    for case, (first, label, second) in product(cases, chains):
        idea = next(one for one in ex08.exercise.ideas if (one.item, one.label) == (first, label))
        truth = ex08.exercise.right(case)
        (own,) = idea.values(case, truth)
        assert judge(ex08.exercise, first, own, case).feedback[0].label == label
        carried = ex08.exercise.item(second).right(case, {**truth, first: own})
        judged = judge(ex08.exercise, second, carried, case, earlier={first: own})
        assert judged.points == ex08.exercise.item(second).points
        assert "follows from your own" in judged.words


def test_the_forearm_stands_below_where_it_was_held(cases: list[Case]) -> None:
    assert all(case.first <= below(case) < case.held for case in cases)


# --- The design -----------------------------------------------------------------------------


def good(case: Case, **changes: Any) -> dict[str, Any]:
    back = right_back(case)
    away = max(5.0, 12 + 1.15 * (back - 16) - 1.7 * (case.down_most - 4))
    motion = {"back": f"{back} deg", "away": f"{away} deg", "down": f"{case.down_most} deg"}
    return {**motion, "short": f"{case.margin} mm", "front": "20 mm", **changes}


def said(ex08: ModuleType, case: Case, kept_back: Any = None, **changes: Any) -> tuple[float, str]:
    judged = judge(ex08.exercise, "design", good(case, **changes), case, kept_back=kept_back)
    return judged.points, judged.words


def of(cases: list[Case], **values: Any) -> Case:
    """A case like the first, but for some values."""
    made = Case("ex08", "x", 0, {**cases[0].values, **values})
    return Case("ex08", "x", 0, {**made.values, "back_most": ceil(right_back(made))})


@pytest.mark.parametrize("down", [4, 5, 6, 7])
@pytest.mark.parametrize("margin", [2, 3, 4])
def test_every_demand_can_be_met_on_every_body(
    ex08: ModuleType, cases: list[Case], root: Any, down: int, margin: int
) -> None:
    for sex, size in (("female", -1), ("male", 1)):
        who = {"sex": sex, "taller": 6 * size, "wider": 5 * size}
        case = of(cases, down_most=down, margin=margin, front_most=20, **who)
        for kept_back in (None, private("ex08", root)):
            assert said(ex08, case, kept_back)[0] == 9, said(ex08, case, kept_back)[1]


@pytest.mark.parametrize("names", [8, pytest.param(24, marks=pytest.mark.long)])
def test_every_case_has_a_design_that_serves_it_and_all_others(ex08: ModuleType, root: Any, names: int) -> None:
    for number in range(names):
        case = ex08.exercise.own_case(f"Student {number}")
        for kept_back in (None, private("ex08", root)):
            assert said(ex08, case, kept_back)[0] == 9, said(ex08, case, kept_back)[1]


@pytest.mark.long
def test_no_one_design_serves_many_names(ex08: ModuleType) -> None:
    """Each name's own design, tried on whatever the other names ask for."""
    names = [ex08.exercise.own_case(f"Student {number}") for number in range(16)]
    for demand in {(one.down_most, one.margin) for one in names}:
        design = good(next(one for one in names if (one.down_most, one.margin) == demand))
        served = sum(judge(ex08.exercise, "design", design, case).points == 9 for case in names)
        assert 1 <= served <= 4, (design, served)


def test_graded_bodies_are_other_people_of_kinds_that_may_be_told(ex08: ModuleType, root: Any) -> None:
    item, kept_back = ex08.exercise.item("design"), private("ex08", root)
    graded = {body.make() for body in kept_back.items["design"].bodies}
    assert not {body.make() for body in item.bodies} & graded
    assert {person.level for person in graded} == {"transhumeral"}
    assert tuple(body.kind for body in kept_back.items["design"].bodies) == item.graded_on


def test_a_design_is_judged_as_the_lock_would_answer(ex08: ModuleType, cases: list[Case]) -> None:
    """The buckle that follows from the rule, put on the harness: motion and walking come to what was said."""
    for case in cases[:4]:
        wearer, needs = above_elbow(own_wearer(case.values)), mm(case.needs)
        chosen = {"back": deg(16), "away": deg(12), "down": deg(6), "short": mm(3), "front": mm(21)}
        done = bench.trial(wearer, chosen, needs)
        harness, strap = above_elbow_eight(wearer, support_strap=mm(21)), LockStrap(let_out=done.let_out)
        lock = replace(LOCK, travel=needs)
        whole = lock_motion(harness, lock, strap, **angles(deg(16), deg(12), deg(6)))
        walking = lock_motion(harness, lock, strap, **bench.WALKING)
        assert done.travel == pytest.approx(whole.travel, abs=mm(0.1))
        assert done.locks == whole.triggers
        assert -walking.spare == pytest.approx(mm(3), abs=mm(0.1))


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"down": "0 deg"}, "the motion does not work the lock"),
        ({"back": "4 deg"}, "the motion does not work the lock"),
        ({"short": "0 mm"}, "walking comes too near to working the lock"),
        ({"short": "9 mm"}, "the motion does not work the lock"),
        ({"front": "2 mm"}, "the anterior support strap is taut before the motion ends"),
        ({"front": "40 mm"}, "the anterior support strap is let out too far"),
        ({"away": "0 deg"}, "the motion moves the forearm that the cable holds"),
        ({"away": "30 deg"}, "the motion moves the forearm that the cable holds"),
        ({"back": "28 deg"}, "the arm goes too far back"),
        ({"down": "9.5 deg"}, "this shoulder does not come down so far"),
    ],
    ids=["held", "no back", "tight", "loose", "snug", "front out", "no away", "far away", "far back", "far down"],
)
def test_what_a_design_does_not_do_is_asked_back(
    ex08: ModuleType, cases: list[Case], changes: dict[str, Any], words: str
) -> None:
    for case in (of(cases, down_most=4, margin=3), of(cases, down_most=5, margin=2, sex="male", taller=6)):
        points, told = said(ex08, case, **changes)
        assert words in told
        assert points <= 8.5


def test_a_design_that_is_lucky_on_one_body_is_told_on_which_it_fails(ex08: ModuleType, cases: list[Case]) -> None:
    """Walking kept as far away as the wearer allows on whom the motion gives most: others have less."""
    case = of(cases, sex="male", taller=6, wider=5, down_most=5, margin=3)
    wearer = above_elbow(own_wearer(case.values))
    own = good(case)
    chosen = {part: deg(float(own[part].split()[0])) for part in PARTS} | {"short": mm(3), "front": mm(20)}
    room = (bench.trial(wearer, chosen, mm(case.needs)).travel / mm(1)) - case.needs
    points, words = said(ex08, case, short=f"{3 + room - 0.05} mm")
    assert "Not yet" not in words.split("Partly: on another body")[0]
    assert "Partly: on another body it does not do its work" in words
    assert 7 <= points < 9


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"back": "60 deg"}, "Extension"),
        ({"back": "-5 deg"}, "Extension"),
        ({"down": "25 deg"}, "Depression"),
        ({"short": "40 mm"}, "How far walking comes short"),
        ({"front": "300 mm"}, ""),
        ({"away": "3 N"}, "away:"),
    ],
    ids=["behind", "forward", "out of joint", "never", "off the shoulder", "a force"],
)
def test_a_design_that_cannot_be_worn_costs_nothing(
    ex08: ModuleType, cases: list[Case], changes: dict[str, Any], words: str
) -> None:
    judged = judge(ex08.exercise, "design", {**good(cases[1]), **changes}, cases[1])
    assert words in judged.words
    assert judged.points == 0
    assert not judged.costs_attempt


def test_every_line_of_a_design_carries_its_figure(every: dict[str, Hands]) -> None:
    """What was reached, and what was wanted, whether it is met or not."""
    hands = every["ex08"]
    item, case = hands.exercise.item("design"), hands.case(2)
    assert isinstance(item, Design)
    for design in (good(case), good(case, back="0 deg", down="0 deg"), good(case, front="0 mm", short="0 mm")):
        judged = judge(hands.exercise, "design", design, case)
        lines = {note.label.split(":")[0]: note.message for note in judged.feedback}
        for criterion in item.criteria:
            assert re.search(r"\d (N|mm)|\d°", lines[criterion.label]), lines


def test_the_same_design_is_not_followed_again(
    ex08: ModuleType, cases: list[Case], monkeypatch: pytest.MonkeyPatch
) -> None:
    case = cases[3]
    before = said(ex08, case)

    def never(*given: Any, **named: Any) -> Any:
        raise AssertionError("the harness was followed again")

    with monkeypatch.context() as patched:
        patched.setattr(lock_mechanics, "follow", never)
        assert said(ex08, case) == before
    bench._tried.cache_clear()
    assert said(ex08, case) == before


def test_where_straps_do_not_settle_nothing_is_drawn_or_marked(
    ex08: ModuleType, cases: list[Case], monkeypatch: pytest.MonkeyPatch
) -> None:
    case, plan, told = cases[0], ex08.exercise.plan, said(ex08, cases[0])
    drawn = {name: case[name] for name in plan.draws}
    assert plan.derive(drawn)
    moves = bench.lock_motions

    def unsettled(*given: Any, **named: Any) -> Any:
        return tuple(replace(one, settled=False) for one in moves(*given, **named))

    def forget() -> None:
        for kept in (bench.worn, bench._tried, bench._measured):
            kept.cache_clear()

    forget()
    with monkeypatch.context() as patched:
        patched.setattr(bench, "lock_motions", unsettled)
        assert plan.derive(drawn) is None
        judged = judge(ex08.exercise, "design", good(case), case)
        assert judged.points == 0
        assert not judged.costs_attempt
        assert "do not settle" in judged.words
    forget()
    assert said(ex08, case) == told


def test_a_case_asks_for_few_motions_of_the_harness(ex08: ModuleType, monkeypatch: pytest.MonkeyPatch) -> None:
    """All that needs no harness has been looked at before."""
    inside, runs = lock_mechanics.follow, Counter[str]()
    for number in range(8):
        bench._measured.cache_clear()

        def counted(*given: Any, who: str = str(number), **named: Any) -> Any:
            runs[who] += 1
            return inside(*given, **named)

        monkeypatch.setattr(lock_mechanics, "follow", counted)
        ex08.exercise.own_case(f"Student {number}")
    assert len(runs) == 8
    assert max(runs.values()) <= 5
