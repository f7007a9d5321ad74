"""The operating sequence above the elbow: a right order, consequences in numbers of the wearer, no forbidden state."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import replace
from functools import lru_cache
from typing import Any

import numpy as np
import pytest

from controlkit.mechanics import DualControl, Strength, VoluntaryOpening, Wearer, above_elbow_eight, hook_opening
from controlkit.mechanics.cable import ControlCable
from controlkit.mechanics.chain.dual import LockStrap
from controlkit.mechanics.elbow import ElbowLock, FlexionSpring
from controlkit.mechanics.sequence import (
    DualErrand,
    OperatingSequence,
    Situation,
    Taken,
    operating_sequence_dual,
)
from controlkit.mechanics.sequence.dual_errand import AT_MOUTH, AT_TABLE, LOW, OVER_MOUTH, OVER_TABLE
from controlkit.mechanics.sequence.turned import AWAY
from controlkit.sources import source
from controlkit.units import InputError, deg, mm

GIVES = mm(20)
"""Slack of the front support strap that lets the lock have its travel [m]."""

TAUGHT = [
    *("pre-position the wrist", "pre-position the turntable", "unlock", "lift to the table", "lock", "ease the cable"),
    *("open the device", "surround", "ease the cable", "take the weight", "unlock", "lift to the mouth", "lock"),
    *("ease the cable", "take the weight", "unlock", "lower to the table", "lock", "ease the cable"),
    *("open the device", "clear", "ease the cable", "take the weight", "unlock", "lower"),
]


def _errand(who: Wearer | str = "female", /, *, system: dict[str, Any] | None = None, **other: Any) -> DualErrand:
    wearer = Wearer.average(who) if isinstance(who, str) else who
    harness = above_elbow_eight(wearer.with_(level="transhumeral"), support_strap=GIVES)
    return DualErrand(system=DualControl(harness=harness, **(system or {})), **other)


SMALL = Wearer.at_percentile("female", 1)
SHORT_LOCK = replace(ElbowLock.evenly(11, low=deg(10.0)), travel=source("elbow_lock_travel").si_low)
SET_UPS: dict[str, Callable[[], DualErrand]] = {
    "woman": lambda: _errand("female"),
    "man": lambda: _errand("male"),
    "left": lambda: _errand(Wearer.average("female", amputated="left")),
    "small": lambda: _errand(SMALL, lock=SHORT_LOCK),
    "tall": lambda: _errand(Wearer.at_percentile("male", 99)),
    "weak and small": lambda: _errand(SMALL, lock=SHORT_LOCK, system={"strength": Strength(cable=45.0)}),
    "small, long lock": lambda: _errand(SMALL),
    "three bands": lambda: _errand("female", system={"device": hook_opening(3)}),
    "nine bands": lambda: _errand("male", system={"device": VoluntaryOpening(bands=9)}),
    "heavy object": lambda: _errand("female", load=0.6),
    "slippery": lambda: _errand("female", load=0.3, rubbing=0.15),
    "few positions": lambda: _errand("male", lock=ElbowLock.evenly(6, deg(8.0))),
    "lock that lets go": lambda: _errand(
        "female", lock=ElbowLock(positions=(deg(10), deg(50), deg(95)), free_moment=2.0)
    ),
    "spring": lambda: _errand("female", system={"spring": FlexionSpring(0.5, 0.6)}),
    "no friction": lambda: _errand("male", system={"cable": ControlCable(friction=0.0)}),
    "high mouth": lambda: _errand("male", mouth=deg(140)),
    "wide object": lambda: _errand("female", width=mm(60)),
    "set already": lambda: _errand("female", turned=deg(5), swung=deg(5)),
    "lock strap let out": lambda: _errand("female", strap=LockStrap(let_out=mm(30))),
}
UNABLE = (
    *("weak and small", "small, long lock", "three bands", "heavy object", "slippery", "high mouth"),
    *("lock strap let out", "wide object"),
)
ALL = pytest.mark.parametrize("name", SET_UPS)
REACHES = pytest.mark.parametrize(
    "name", ["woman", "man", "left", "small", "tall", "nine bands", "few positions", "spring"]
)


@lru_cache(maxsize=32)
def _built(name: str) -> tuple[DualErrand, OperatingSequence]:
    errand = SET_UPS[name]()
    return errand, operating_sequence_dual(errand)


@lru_cache(maxsize=32)
def _moves(name: str) -> tuple[Taken, ...]:
    return _built(name)[1].moves()


def _at(task: OperatingSequence, *steps: str) -> Situation:
    """The state after right steps from the start."""
    judged = task.judge(list(steps))
    assert all(taken.right for taken in judged.taken)
    return judged.taken[-1].after


def _sizes(taken: Taken) -> dict[str, float]:
    return {name: size for name, size, _ in taken.consequence.sizes}


# --- the right order -------------------------------------------------------------------------------


@REACHES
def test_the_order_that_follows_from_the_mechanics_ends_in_the_goal(name: str) -> None:
    _, task = _built(name)
    assert task.judge(TAUGHT).right
    assert task.judge(task.right_order()).right
    assert [step for step in task.right_order() if step not in TAUGHT] == []


@REACHES
def test_no_step_of_the_right_order_is_idle(name: str) -> None:
    _, task = _built(name)
    order = task.right_order()
    for left_out in range(len(order)):
        assert not task.judge([*order[:left_out], *order[left_out + 1 :]]).right


def test_wrist_and_turntable_come_first() -> None:
    _, task = _built("woman")
    assert set(task.right_order()[:2]) == {"pre-position the wrist", "pre-position the turntable"}
    _, ready = _built("set already")
    assert ready.right_order()[0] == "unlock"


@pytest.mark.parametrize(
    ("name", "why"),
    [
        ("three bands", "28.2 N (6.3 lbf) open it: the device opens before the forearm lifts"),
        ("weak and small", "are the most that this wearer has"),
        ("small, long lock", "of excursion must stay drawn"),
        ("high mouth", "leans back past the upright"),
        ("wide object", "leans back past the upright"),
        ("lock strap let out", "to the lock's cable; it changes over at"),
        ("slippery", "slips through the fingers"),
        ("heavy object", "and the object asks for"),
    ],
)
def test_what_cannot_be_done_has_no_right_order_and_says_why(name: str, why: str) -> None:
    _, task = _built(name)
    said = " ".join(task.judge(TAUGHT).words)
    assert why in said
    with pytest.raises(InputError, match="no order of right steps") as caught:
        task.right_order()
    if "slips" not in why:
        assert why in str(caught.value)


def test_a_snug_front_strap_keeps_the_lock_from_its_travel() -> None:
    harness = above_elbow_eight(Wearer.average("female", level="transhumeral"))
    task = operating_sequence_dual(DualErrand(system=DualControl(harness=harness)))
    with pytest.raises(InputError, match="front support strap is taut and does not give: it would have to bear"):
        task.right_order()


# --- no forbidden state ----------------------------------------------------------------------------


def _forbidden(errand: DualErrand, state: Situation) -> list[str]:
    """What must never come about, by name."""
    up, low = state["elbow"] != LOW, state["elbow"] == LOW
    off, on = state["lock"] == "off", state["lock"] == "on"
    seats = (*errand.catch.positions, errand.rest)
    seated = any(abs(errand.flexion[state["elbow"]] - at) < 1e-6 for at in seats)
    rules = {
        "device open while the elbow is free to move under the same cable": state["device"] == "open" and off,
        "device open without a pull, or pulled and shut": (state["device"] == "open") != (state["cable"] == "pulled"),
        "object held while the device is open": state["object"] == "held" and state["device"] == "open",
        "object between fingers that are shut": state["object"] == "between the fingers" and state["device"] == "shut",
        "object between the fingers away from the table": state["object"] == "between the fingers"
        and state["elbow"] != AT_TABLE,
        "elbow between lock positions, locked and not held": on and not seated and state["cable"] != "taut",
        "forearm up with nothing that holds it": up and off and state["cable"] != "taut",
        "cable bears a forearm that hangs": low and state["cable"] == "taut",
        "brought to the mouth and not held there": state["errand"] == "at the mouth"
        and (state["object"] != "held" or state["elbow"] not in (OVER_MOUTH, AT_MOUTH)),
    }
    return [rule for rule, broken in rules.items() if broken]


@ALL
def test_no_state_that_can_come_about_is_forbidden(name: str) -> None:
    errand, task = _built(name)
    states = {made.after for made in _moves(name)} | {task.start}
    assert len(states) > 5
    assert {rule for state in states for rule in _forbidden(errand, state)} == set()


@pytest.mark.parametrize("name", ["woman", "weak and small", "three bands", "lock that lets go", "few positions"])
def test_ten_thousand_random_steps_reach_no_forbidden_state(name: str) -> None:
    errand, task = _built(name)
    dice, steps, state = random.Random(15), list(task.steps), task.start
    for _ in range(10_000):
        made = task.take(state, dice.choice(steps))
        state = made.after
        assert _forbidden(errand, state) == []
        assert made.right or made.consequence.said("metric")


def test_every_rule_of_what_is_forbidden_can_be_broken() -> None:
    """By states that are made up: a rule that nothing breaks would forbid nothing."""
    errand, task = _built("woman")
    made_up = [
        {"device": "open", "cable": "pulled", "lock": "off"},
        {"device": "open"},
        {"device": "open", "cable": "pulled", "object": "held"},
        {"object": "between the fingers"},
        {"elbow": AT_MOUTH, "cable": "pulled", "device": "open", "object": "between the fingers"},
        {"elbow": OVER_TABLE},
        {"elbow": AT_TABLE, "lock": "off"},
        {"cable": "taut"},
        {"errand": "at the mouth"},
    ]
    broken = [set(_forbidden(errand, task.start.after(facts))) for facts in made_up]
    assert all(broken)
    assert len(set().union(*broken)) == 9
    assert _forbidden(errand, task.start) == []


@ALL
def test_no_state_is_a_dead_end(name: str) -> None:
    """From everywhere some step leads on, and where the errand can be done at all it still can be."""
    _, task = _built(name)
    back: dict[Situation, list[Situation]] = {}
    for made in _moves(name):
        if made.right:
            back.setdefault(made.after, []).append(made.before)
    states = task.states()
    reaching = {state for state in states if state.fits(task.goal)}
    waiting = list(reaching)
    while waiting:
        for before in back.get(waiting.pop(), []):
            if before not in reaching:
                reaching.add(before)
                waiting.append(before)
    assert all(task.legal(state) for state in states)
    assert task.start not in reaching or reaching == set(states)
    assert (task.start in reaching) == (name not in UNABLE)


@ALL
def test_a_right_step_always_changes_something(name: str) -> None:
    for made in _moves(name):
        if made.right:
            assert made.after != made.before, f"{made.step} in: {made.before.words}"


# --- consequences in numbers -----------------------------------------------------------------------


@ALL
def test_every_consequence_that_changes_anything_names_a_number(name: str) -> None:
    for made in _moves(name):
        if made.consequence and made.after != made.before:
            assert made.consequence.sizes, made.consequence.text
            assert all(np.isfinite(size) for _, size, _ in made.consequence.sizes), made.consequence.text


def test_the_numbers_are_those_of_the_wearer() -> None:
    """Of every wrong step some number is another one on another wearer; what has no number is idle and says so."""
    one, other = ({(m.before, m.step): m for m in _moves(who)} for who in ("woman", "tall"))
    compared, idle = 0, set()
    for key in one.keys() & other.keys():
        if not one[key].consequence or one[key].consequence.text != other[key].consequence.text:
            continue
        mine, theirs = _sizes(one[key]), _sizes(other[key])
        if not mine:
            idle.add(one[key].consequence.text)
            assert one[key].after == one[key].before
            continue
        compared += 1
        assert any(abs(mine[what] - theirs[what]) > 1e-9 for what in mine), one[key].consequence.text
    assert compared > 300
    assert all("already" in text or "nothing" in text.lower() or "slack" in text for text in idle)
    assert len(idle) <= 7


@ALL
def test_every_consequence_is_said_in_both_units(name: str) -> None:
    for told in {made.consequence for made in _moves(name) if made.consequence}:
        metric, inches = told.said("metric"), told.said("inch-pound")
        assert metric.endswith(".")
        assert "{" not in metric
        assert "wrong" not in metric.lower()
        assert "no value" not in metric
        kinds = {kind for _, _, kind in told.sizes if "{" in told.text}
        assert (metric != inches) == bool(kinds - {"angle"})
        assert "lbf" not in metric
        assert " N " not in inches


@ALL
def test_every_condition_of_a_wrong_step_names_facts_that_exist(name: str) -> None:
    _, task = _built(name)
    known = {
        "elbow": {LOW, OVER_TABLE, AT_TABLE, OVER_MOUTH, AT_MOUTH},
        "lock": {"on", "off"},
        "cable": {"slack", "taut", "pulled"},
        "device": {"shut", "open"},
        "wrist": {AWAY, "turned to the object"},
        "turntable": {AWAY, "turned to the object"},
        "object": {"on the table", "between the fingers", "held", "out of reach"},
    }
    for step in task.steps.values():
        for wrong in step.wrong:
            for part, values in wrong.when.items():
                assert set((values,) if isinstance(values, str) else values) <= known[part]


def _consequence(name: str, before: list[str], step: str) -> Taken:
    _, task = _built(name)
    made = task.take(_at(task, *before), step)
    assert made.consequence
    return made


def test_pulled_with_the_elbow_unlocked_the_forearm_rises_and_the_device_stays_shut() -> None:
    for who in ("woman", "man"):
        errand, _ = _built(who)
        made = _consequence(who, TAUGHT[:3], "open the device")
        sizes = _sizes(made)
        line = errand.system.line
        assert line.travel(errand.rest + sizes["rise"], errand.rest) == pytest.approx(sizes["travel"], rel=1e-3)
        assert sizes["asks"] < sizes["opens"] == pytest.approx(errand.system.device.force(0.0))
        assert made.after == made.before


def test_eased_with_the_elbow_unlocked_the_forearm_drops() -> None:
    for who in ("woman", "small"):
        errand, _ = _built(who)
        made = _consequence(who, TAUGHT[:4], "ease the cable")
        assert made.after["elbow"] == LOW
        drop, way = (_sizes(made)[what] for what in ("drop", "way"))
        assert drop == pytest.approx(errand.table - errand.rest)
        assert way == pytest.approx(2.0 * errand.reach * np.sin(drop / 2.0))


@pytest.mark.parametrize("carried", [False, True])
def test_a_lock_under_load_does_not_unlock_and_one_that_lets_go_lets_it_drop(carried: bool) -> None:
    before = TAUGHT[:9] if carried else TAUGHT[:6]
    errand, _ = _built("woman")
    made = _consequence("woman", before, "unlock")
    sizes = _sizes(made)
    forearm = errand.system.lifted_forearm
    load = errand.load * 9.80665 * errand.reach if carried else 0.0
    weight = (forearm.largest_moment + load) * np.sin(errand.flexion[AT_TABLE])
    assert sizes["moment"] == pytest.approx(weight, rel=1e-4)
    assert sizes["moment"] > sizes["free"]
    assert made.after == made.before
    free = _consequence("lock that lets go", before, "unlock")
    assert free.after["elbow"] == LOW
    assert free.after["lock"] == "off"
    assert _sizes(free)["drop"] == pytest.approx(deg(40.0))


def test_locked_between_two_positions_it_sinks_to_the_one_below() -> None:
    for who, sinks in (("woman", deg(10.0)), ("few positions", deg(70.0) - deg(58.8))):
        _, task = _built(who)
        locked = _at(task, *TAUGHT[:5])
        assert locked["elbow"] == OVER_TABLE
        eased = task.take(locked, "ease the cable")
        assert eased.right
        assert eased.amount.sinks == pytest.approx(sinks, abs=1e-9)
        assert eased.after["elbow"] == AT_TABLE
        assert not task.take(locked, "open the device").right


@ALL
def test_the_lock_alone_says_where_a_locked_forearm_sinks(name: str) -> None:
    """Of a pull at the lock, and of the errand's places: one law, where it hangs included."""
    errand, _ = _built(name)
    for over, at in ((OVER_TABLE, AT_TABLE), (OVER_MOUTH, AT_MOUTH), (LOW, LOW)):
        done = errand.pull_lock(over, locked=False)
        assert done.after.elbow_flexion == errand.flexion[at]
        assert done.dropped == pytest.approx(errand.falls(over, at)[0], abs=1e-12)


def test_a_table_just_at_a_position_needs_no_sinking() -> None:
    errand = _errand("female", table=deg(60.0))
    task = operating_sequence_dual(errand)
    assert _at(task, *TAUGHT[:4])["elbow"] == AT_TABLE
    assert "ease the cable" not in task.right_order()[:6]
    assert task.judge(TAUGHT).right


def test_the_lift_motion_at_a_locked_elbow_opens_the_device() -> None:
    made = _consequence("woman", TAUGHT[:9], "lift to the mouth")
    assert made.after["device"] == "open"
    assert made.after["object"] == "between the fingers"
    assert made.after["elbow"] == AT_TABLE


def test_opened_at_the_mouth_the_object_falls_if_excursion_is_left() -> None:
    """And stays where it is if none is: with a wide object there is less to spare."""
    errand, _ = _built("woman")
    made = _consequence("woman", TAUGHT[:14], "open the device")
    assert made.after["object"] == "out of reach"
    assert made.after["errand"] == "done"
    left = errand.system.open_locked(
        [errand.flexion[AT_MOUTH]], scapular_abduction=deg(20), sound_scapular_abduction=deg(20)
    )
    assert _sizes(made)["left"] == pytest.approx(left.left_for_opening[0])
    short = _errand("female", width=mm(60), system={"strength": Strength(cable=70.0)})
    kept = operating_sequence_dual(short).take(made.before, "open the device")
    assert kept.after == made.before
    assert _sizes(kept)["most"] < short.width


def test_bands_too_weak_let_the_device_open_before_the_forearm_lifts() -> None:
    errand, task = _built("three bands")
    made = task.take(_at(task, *TAUGHT[:3]), "lift to the table")
    assert made.after == made.before
    sizes = _sizes(made)
    assert sizes["asks"] >= sizes["opens"] == pytest.approx(errand.system.device.force(0.0))


def test_the_pull_that_opens_loads_the_lock_the_other_way() -> None:
    errand, _ = _built("woman")
    made = _consequence("woman", TAUGHT[:7], "unlock")
    opened = errand.open(AT_TABLE)
    pull = opened.lift_force * float(errand.system.line.moment_arm(errand.flexion[AT_TABLE]))
    weight = errand.system.lifted_forearm.moment(errand.flexion[AT_TABLE], opened.arm_flexion)
    assert _sizes(made)["moment"] == pytest.approx(abs(weight - pull))
    assert made.after == made.before


def test_without_pre_positioning_the_object_is_not_grasped() -> None:
    for who in ("woman", "man"):
        errand, task = _built(who)
        for part in ("wrist", "turntable"):
            judged = task.judge([step for step in TAUGHT if step != f"pre-position the {part}"])
            assert not judged.reached
            assert f"{part} was not pre-positioned" in judged.words[0]
    off = _sizes(_consequence("woman", ["pre-position the wrist", "unlock"], "lift to the table"))["off"]
    errand, _ = _built("woman")
    across = errand.reach * np.sin(errand.flexion[AT_TABLE])
    assert off == pytest.approx(np.hypot(across * (1.0 - np.cos(errand.swung)), across * np.sin(errand.swung)))
