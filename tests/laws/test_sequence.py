"""The operating sequence: no dead ends, wrong steps have mechanical consequences, a right order reaches the goal."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise
from typing import Any

import numpy as np
import pytest

from controlkit.mechanics import POSITIONS, SingleControl, Strength, VoluntaryOpening, Wearer, figure_of_eight
from controlkit.mechanics.device import KINDS, hand_closing, hook_closing, hook_opening
from controlkit.mechanics.sequence import (
    Amount,
    OperatingSequence,
    Situation,
    Step,
    Told,
    Wrong,
    at_device,
    in_system,
    operating_sequence,
)
from controlkit.mechanics.sequence.turned import AWAY, TURNED, arm_instead, opening_askew
from controlkit.units import InputError, deg, mm

MAN = Wearer.average("male")
OPENING, CLOSING = operating_sequence(hook_opening()), operating_sequence(hook_closing())
LOCKING = operating_sequence(hook_closing(lock=True))
ALL = pytest.mark.parametrize("task", [OPENING, CLOSING, LOCKING], ids=["opening", "closing", "locking"])

ORDER_OPENING = [
    *("pre-position", "reach out", "pull", "surround", "let go", "bring to the mouth"),
    *("lower to the table", "pull", "clear", "let go", "return"),
]
ORDER_CLOSING = [
    *("pre-position", "reach out", "surround", "pull", "bring to the mouth"),
    *("lower to the table", "let go", "clear", "return"),
]
ORDER_LOCKING = [
    *("pre-position", "reach out", "surround", "pull", "let go", "bring to the mouth"),
    *("lower to the table", "unlock", "clear", "return"),
]


def at(task: OperatingSequence, *steps: str) -> Situation:
    """The state after right steps from the start."""
    judged = task.judge(list(steps))
    assert all(taken.right for taken in judged.taken)
    return judged.taken[-1].after


@pytest.mark.parametrize(
    ("task", "order"), [(OPENING, ORDER_OPENING), (CLOSING, ORDER_CLOSING), (LOCKING, ORDER_LOCKING)]
)
def test_the_order_that_is_taught_ends_in_the_goal(task: OperatingSequence, order: list[str]) -> None:
    judged = task.judge(order)
    assert judged.right
    assert judged.words == ("The goal is reached.",)


@ALL
def test_a_right_order_is_found_and_no_step_of_it_is_idle(task: OperatingSequence) -> None:
    order = task.right_order()
    assert task.judge(order).right
    for left_out in range(len(order)):
        assert not task.judge([*order[:left_out], *order[left_out + 1 :]]).right


@ALL
def test_two_steps_the_wrong_way_round_are_told(task: OperatingSequence) -> None:
    """Unless mechanics really does not care: then the judge finds the goal reached as well."""
    order, told = list(task.right_order()), 0
    for first in range(len(order) - 1):
        swapped = [*order[:first], order[first + 1], order[first], *order[first + 2 :]]
        judged = task.judge(swapped)
        if not judged.right:
            told += 1
            assert len(judged.words) > 1 or not judged.reached
    assert told >= len(order) - 3


@ALL
def test_every_named_condition_comes_about(task: OperatingSequence) -> None:
    met = {fact for state in task.states() for fact in state.facts}
    named = {
        (part, value)
        for step in task.steps.values()
        for wrong in step.wrong
        for part, values in wrong.when.items()
        for value in ((values,) if isinstance(values, str) else values)
    }
    assert named <= met
    assert {(part, value) for part, value in task.goal.items() if isinstance(value, str)} <= met


@ALL
def test_every_consequence_can_happen(task: OperatingSequence) -> None:
    """A consequence that no state leads to would be a rule about nothing."""
    said = {made.consequence for made in task.moves() if made.consequence}
    for step in task.steps.values():
        for wrong in step.wrong:
            assert wrong.told in said, f"{step.name}: {wrong.told}"


@ALL
def test_no_state_is_a_dead_end(task: OperatingSequence) -> None:
    for state in task.states():
        assert task.legal(state)
        assert state.fits(task.goal) or task.right_order(state)


@ALL
def test_a_right_step_always_changes_something(task: OperatingSequence) -> None:
    for made in task.moves():
        if made.right:
            assert made.after != made.before, f"{made.step} in: {made.before.words}"


@ALL
def test_the_states_make_mechanical_sense(task: OperatingSequence) -> None:
    for state in task.states():
        if state["object"] == "between the fingers":  # apart, and standing on the table
            assert state["arm"] == "at the table"
            assert state["cable"] == ("pulled" if task is OPENING else "slack")
        if state["object"] == "held":
            if task is OPENING:
                assert state["cable"] == "slack"
            else:
                assert state["cable"] == "pulled" or state.fits({"lock": "on"} if task is LOCKING else {"cable": "x"})


@ALL
def test_wrong_steps_are_answered_with_mechanics(task: OperatingSequence) -> None:
    for made in task.moves():
        if made.consequence:
            assert str(made.consequence).endswith(".")
            assert "wrong" not in str(made.consequence).lower()


DROPPED = [
    (OPENING, ORDER_OPENING[:6], "pull"),
    (OPENING, ["pre-position", "reach out", "pull", "surround"], "bring to the mouth"),
    (OPENING, ["pre-position", "reach out"], "surround"),
    (CLOSING, ORDER_CLOSING[:5], "let go"),
    (CLOSING, ["pre-position", "reach out", "surround"], "bring to the mouth"),
    (LOCKING, ORDER_LOCKING[:6], "unlock"),
]


@pytest.mark.parametrize(("task", "before", "step"), DROPPED)
def test_the_object_is_lost(task: OperatingSequence, before: list[str], step: str) -> None:
    made = task.take(at(task, *before), step)
    assert made.consequence
    assert made.after["object"] == "out of reach"


def test_letting_go_on_the_way_keeps_a_voluntary_opening_grip_and_a_locked_one() -> None:
    assert "let go" not in OPENING.legal(at(OPENING, *ORDER_OPENING[:6]))  # nothing is pulled there
    locked = LOCKING.take(at(LOCKING, "pre-position", "reach out", "surround", "pull", "bring to the mouth"), "let go")
    assert locked.right
    assert locked.after["object"] == "held"


def test_carrying_costs_nothing_with_bands_or_lock_and_a_held_pull_without() -> None:
    def carrying(task: OperatingSequence, order: list[str]) -> Amount:
        return next(taken.amount for taken in task.judge(order).taken if taken.step == "bring to the mouth")

    assert carrying(OPENING, ORDER_OPENING).force == 0.0
    assert carrying(LOCKING, ORDER_LOCKING).force == 0.0
    held = carrying(CLOSING, ORDER_CLOSING)
    assert held.held
    assert held.force == pytest.approx(hook_closing().pull_for(10.5, 0.03))


@pytest.mark.parametrize("name", KINDS)
@pytest.mark.parametrize("width", [0.01, 0.03, 0.05])
def test_what_is_pulled_is_let_back(name: str, width: float) -> None:
    task = operating_sequence(KINDS[name](), width=width)
    given = [taken.amount.excursion for taken in task.judge(task.right_order()).taken]
    assert sum(given) == pytest.approx(0.0, abs=1e-12)
    assert max(given) > 0.0


def test_numbers_in_the_words_are_those_of_the_device() -> None:
    few, many = (operating_sequence(hook_opening(bands)) for bands in (1, 6))
    said = [task.take(at(task, *ORDER_OPENING[:6]), "pull").consequence for task in (few, many)]
    assert "5.2 N" in str(said[0])
    assert "31.1 N" in str(said[1])


def test_a_thin_object_needs_less_opening_and_more_closing() -> None:
    for device, more_for_wide in ((hook_opening(), True), (hook_closing(), False)):
        pulls = [
            max(taken.amount.excursion for taken in task.judge(task.right_order()).taken)
            for task in (operating_sequence(device, width=w) for w in (0.01, 0.02, 0.04))
        ]
        assert all((thin < wide) is more_for_wide for thin, wide in pairwise(pulls))


# --- the device turned to its object ---------------------------------------------------------------


@ALL
def test_pre_positioning_comes_first_and_nothing_else_is_right_before_it(task: OperatingSequence) -> None:
    """Of what moves arm or device: a pull at rest harms nothing and helps nothing."""
    assert task.right_order()[0] == "pre-position"
    assert "reach out" not in task.legal(task.start)
    assert task.take(task.start, "pre-position").amount == Amount(turn=TURNED)


@ALL
def test_without_pre_positioning_the_object_is_not_grasped(task: OperatingSequence) -> None:
    order = [step for step in task.right_order() if step != "pre-position"]
    judged = task.judge(order)
    assert not judged.reached
    assert "askew by 60.0°" in judged.words[0]
    assert any(made.step == "surround" and made.after["object"] == "out of reach" for made in judged.taken)


@ALL
def test_a_device_can_still_be_turned_at_the_table_while_the_cable_is_slack(task: OperatingSequence) -> None:
    there = task.take(task.start, "reach out").after
    assert task.take(there, "pre-position").right
    held = task.take(task.take(there, "pull").after, "pre-position")
    assert "pulled cable holds" in str(held.consequence)
    assert held.after["device"] == AWAY


@pytest.mark.parametrize("turned", [deg(20), deg(40), deg(55), deg(80)])
@pytest.mark.parametrize("width", [mm(12), mm(30)])
def test_fingers_askew_reach_farther_by_the_cosine(turned: float, width: float) -> None:
    """Drawn to scale: the line of the fingertips is cut by both sides of an upright object."""
    needed = opening_askew(width, turned)
    across, up = needed * np.cos(turned), needed * np.sin(turned)
    assert across == pytest.approx(width)
    assert np.hypot(across, up) == pytest.approx(needed)
    assert needed > width


@pytest.mark.parametrize(
    ("make", "turned", "words"),
    [
        (hook_opening, deg(30), "tip it over"),  # 34.6 mm of 40
        (hook_opening, deg(60), "60.0 mm (2.36 in) apart to pass the object. They stand 40.0 mm"),
        (hook_closing, deg(50), "tip it over"),  # open from the start
        (hook_opening, deg(90), "one above the other"),
    ],
)
def test_what_happens_depends_on_the_angle_and_on_how_far_the_device_is_open(
    make: Callable[[], VoluntaryOpening], turned: float, words: str
) -> None:
    task = operating_sequence(make(), turned=turned)
    order = [step for step in task.right_order() if step != "pre-position"]
    assert any(words in said for said in task.judge(order).words)


def test_nearly_square_needs_no_pre_positioning() -> None:
    task = operating_sequence(hook_opening(), turned=deg(5))
    assert "pre-position" not in task.right_order()
    assert "already" in str(task.take(task.start, "pre-position").consequence)


@pytest.mark.parametrize("turned", [deg(15), deg(45), deg(60), deg(90)])
@pytest.mark.parametrize("side", ["left", "right"])
def test_the_elbow_lifted_instead_squares_the_fingers(turned: float, side: str) -> None:
    """Reckoned apart, with a forearm that is level and points forward: the arm rolls as it is lifted."""
    instead = arm_instead(Wearer.average("female", amputated=side), POSITIONS["table"], turned)
    assert instead is not None
    assert instead.lift == pytest.approx(turned, rel=0.15)  # the upper arm does not stand quite square to the forearm
    assert instead.pose.arm_abduction == pytest.approx(POSITIONS["table"].arm_abduction + instead.lift)
    assert instead.moved > mm(80)


def test_lifting_instead_is_the_same_on_both_sides_and_grows_with_the_angle() -> None:
    left, right = (Wearer.average("male", amputated=side) for side in ("left", "right"))
    table = POSITIONS["table"]
    lifts = []
    for turned in (deg(20), deg(50), deg(80)):
        one, other = arm_instead(left, table, turned), arm_instead(right, table, turned)
        assert one is not None
        assert other is not None
        assert one.lift == pytest.approx(other.lift)
        lifts.append(one.lift)
    assert lifts == sorted(lifts)


def test_an_arm_that_is_lifted_already_cannot_make_up_for_the_wrist() -> None:
    high = replace(POSITIONS["table"], arm_abduction=deg(110))
    assert arm_instead(Wearer.average("male"), high, deg(60)) is None


def test_the_shoulder_that_makes_up_for_the_wrist_pulls_more() -> None:
    """Lifting the elbow to the side pulls on the cable beyond what reaching the table does."""
    system = SingleControl(figure_of_eight(MAN, ring_below_c7=mm(60)))
    task = operating_sequence(system)
    told = task.take(task.start, "reach out").consequence
    sizes = {name: size for name, size, _ in told.sizes}
    assert sizes["pulls"] > task.take(at(task, "pre-position"), "reach out").amount.inadvertent > 0.0
    assert "the shoulder: it must lift the elbow by" in told.said("metric")
    assert " in)" not in told.said("metric")


# --- a whole system --------------------------------------------------------------------------------


def test_harness_and_cable_ask_more_than_the_device() -> None:
    system = SingleControl(figure_of_eight(MAN, ring_below_c7=mm(60)))
    task = operating_sequence(system)
    pull = task.take(at(task, "pre-position", "reach out"), "pull").amount
    bare = OPENING.take(at(OPENING, "pre-position", "reach out"), "pull").amount
    assert bare.excursion < pull.excursion < 2.0 * bare.excursion
    assert pull.force == pytest.approx(bare.force / system.cable.efficiency(POSITIONS["table"].elbow_flexion), rel=1e-6)
    assert pull.arm_flexion is not None
    assert 0.0 < pull.arm_flexion < 1.0
    assert task.judge(ORDER_OPENING).right


def test_bringing_the_device_to_the_mouth_pulls_inadvertently() -> None:
    task = operating_sequence(SingleControl(figure_of_eight(MAN, ring_below_c7=mm(60))))
    steps = {taken.step: taken.amount for taken in task.judge(ORDER_OPENING).taken}
    assert steps["bring to the mouth"].inadvertent > steps["reach out"].inadvertent > 0.0


def test_a_slack_strap_falls_short_and_says_so() -> None:
    task = operating_sequence(SingleControl(figure_of_eight(MAN, control_strap=mm(100))), width=0.07)
    judged = task.judge(ORDER_OPENING)
    assert not judged.reached
    made = judged.taken[2]
    assert made.after == made.before
    assert "are needed" in str(made.consequence)
    with pytest.raises(InputError, match="no order of right steps"):
        task.right_order()


def test_a_weak_wearer_falls_short_and_says_so() -> None:
    system = SingleControl(figure_of_eight(MAN), device=VoluntaryOpening(bands=8), strength=Strength(cable=60.0))
    task = operating_sequence(system)
    told = task.take(at(task, "pre-position", "reach out"), "pull").consequence
    assert "this wearer has 60.0 N." in told.said("metric")
    assert "lbf" not in told.said("metric")
    assert " N." not in told.said("inch-pound")


# --- general enough for one cable with two jobs ----------------------------------------------------


def _no_pull(step: Step, state: Situation) -> Amount:
    return Amount()


def _dual() -> OperatingSequence:
    lock = Step(
        name="lock",
        motion="arm extension and abduction",
        first="the elbow is bent",
        does="nothing",
        changes={"lock": {"off": "on", "on": "off"}},
    )
    pull = Step(
        name="pull",
        motion="arm flexion",
        first="none",
        does="pull",
        changes={"device": "open"},
        wrong=(Wrong({"lock": "off"}, Told("The elbow is free: the cable lifts the forearm."), {"forearm": "up"}),),
    )
    start = Situation((("lock", "off"), ("forearm", "down"), ("device", "shut")))
    goal = {"forearm": "up", "device": "open"}
    return OperatingSequence(
        name="dual control", start=start, goal=goal, steps={"lock": lock, "pull": pull}, demand=_no_pull
    )


def test_another_control_needs_only_other_facts_and_steps() -> None:
    dual = _dual()
    judged = dual.judge(["pull", "lock", "pull"])
    assert judged.reached
    assert judged.taken[0].after["forearm"] == "up"
    assert not dual.judge(["lock", "pull"]).reached


def test_steps_in_vain_are_told() -> None:
    dual = _dual()
    assert "as it was at the start" in dual.judge(["lock", "lock"]).words[0]


def test_own_amounts_take_the_place_of_computed_ones() -> None:
    def twelve(step: Step, state: Situation) -> Amount:
        return Amount(force=12.0)

    own = operating_sequence(hook_opening(), demand=twelve)
    assert own.take(own.start, "reach out").amount.force == 12.0


def test_amounts_may_be_built_by_hand_for_a_system() -> None:
    system = SingleControl(figure_of_eight(MAN))
    pull = OPENING.steps["pull"]
    worn = in_system(system, 0.03, 10.5)(pull, OPENING.start)
    bare = at_device(system.device, 0.03, 10.5)(pull, OPENING.start)
    assert worn.force > bare.force


BAD: list[tuple[str, Callable[[], Any], tuple[str, ...]]] = [
    ("no device", lambda: operating_sequence("hook"), ("'hook'", "hook_opening()")),  # type: ignore[arg-type]
    ("too wide", lambda: operating_sequence(hand_closing(), width=0.12), ("120.0 mm", "58.0 mm")),
    ("no width", lambda: operating_sequence(hook_opening(), width=0.0), ("more than 0",)),
    ("text for width", lambda: operating_sequence(hook_opening(), width="cup"), ("'cup'",)),  # type: ignore[arg-type]
    ("no grip", lambda: operating_sequence(hook_closing(), pinch=-3.0), ("-3 N", "more than 0")),
    ("over the top", lambda: operating_sequence(hook_opening(), turned=deg(120)), ("120", "90 degrees")),
    ("no such step", lambda: OPENING.judge(["reach out", "grab"]), ("'grab'", "surround")),
    ("one word", lambda: OPENING.judge("pull"), ("'pull'", "list of steps")),
    ("foreign state", lambda: OPENING.legal(LOCKING.start), ("no state of this sequence", "errand to do")),
    ("text for a state", lambda: OPENING.legal("start"), ("'start'", "sequence.start")),  # type: ignore[arg-type]
]


@pytest.mark.parametrize(("ask", "words"), [(a, w) for _, a, w in BAD], ids=[name for name, _, _ in BAD])
def test_a_clear_sentence(ask: Callable[[], Any], words: tuple[str, ...]) -> None:
    with pytest.raises(InputError) as caught:
        ask()
    assert all(word in str(caught.value) for word in words)
