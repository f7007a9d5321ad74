"""The lock lab: what it shows is what the mechanics answers, whatever was asked before."""

from __future__ import annotations

import re
from typing import Any

import pytest

from controlkit.labs import lock_lab
from controlkit.labs.frame import Lab
from controlkit.labs.lock import _LockSetUps
from controlkit.labs.lock_steps import STEPS
from controlkit.mechanics import DualControl, Wearer, above_elbow_eight
from controlkit.mechanics.chain.dual import LockStrap, dual_pull, lock_buckle, lock_motion, lock_parts
from controlkit.mechanics.elbow import ElbowLock
from controlkit.mechanics.sequence import DualErrand, operating_sequence_dual
from controlkit.units import deg, mm

from .asking import ask

DOWN = {"arm_extension": deg(10), "arm_abduction": deg(30), "shoulder_depression": deg(8)}
POSE = {"arm_flexion": -deg(10), "arm_abduction": deg(30), "shoulder_elevation": -deg(8)}
OUT = {"support_strap": mm(15)}
LIFTED = "pre-position-the-wrist, pre-position-the-turntable, unlock, lift-to-the-table"


@pytest.fixture(scope="module")
def lab() -> Lab:
    """The lab for the module."""
    return lock_lab()


@pytest.fixture(scope="module")
def woman() -> DualControl:
    """The same wearer without a lab, her front support strap let out."""
    wearer = Wearer.average("female", amputated="right", level="transhumeral")
    return DualControl(harness=above_elbow_eight(wearer, support_strap=mm(15)))


def _readings(shown: dict[str, Any]) -> dict[str, float]:
    return {one["label"]: float(one["value"]) for one in shown["readings"]}


def test_the_readings_are_what_the_mechanics_answers(lab: Lab, woman: DualControl) -> None:
    """Asked for the same motion without a lab."""
    found = _readings(ask(lab, **DOWN, **OUT, pull=30.0, lock_strap=mm(-2)))
    lock, strap = ElbowLock(positions=(1.2,)), LockStrap(let_out=mm(-2))
    done = lock_motion(woman.harness, lock, strap, pull=30.0, **POSE)
    buckle = lock_buckle(woman.harness, lock, pull=30.0, motion=POSE)
    assert done.settled
    assert found["Comes to the lock"] == pytest.approx(1e3 * done.travel, abs=0.06)
    assert found["Lift cable"] == pytest.approx(1e3 * done.lift, abs=0.06)
    assert found["Front support strap"] == pytest.approx(done.front_tension, abs=0.06)
    assert found["Must not lock"] == pytest.approx(1e3 * (buckle.idle[buckle.works_against] - strap.let_out), abs=0.06)


def test_each_part_alone_is_what_the_mechanics_answers(woman: DualControl) -> None:
    answers, start = _LockSetUps(None), lock_lab().plan["start"]
    shown, pull = answers.ask({**start, **DOWN, **OUT})
    parts = {part.part: part for part in lock_parts(woman.harness, **POSE)}
    assert list(shown.parts) == list(parts) == ["extension", "abduction", "depression"]
    for name, part in shown.parts.items():
        assert part.lengthening == pytest.approx(parts[name].lock_alone, abs=1e-5)
        assert part.lift == pytest.approx(parts[name].lift_alone, abs=1e-5)
    there = dual_pull(woman, 5.0, **POSE)
    assert pull.strap_tension == pytest.approx(there.strap_tension, abs=0.01)


def test_the_forearm_plays_no_part_in_it(woman: DualControl) -> None:
    """It is drawn flexed; what is asked of the harness is the same with a straight elbow."""
    lock = ElbowLock(positions=(1.2,))
    flexed, straight = (lock_motion(woman.harness, lock, elbow_flexion=deg(at), **POSE) for at in (70, 0))
    assert (flexed.travel, flexed.lift, flexed.front_tension) == (
        straight.travel,
        straight.lift,
        straight.front_tension,
    )


def test_the_same_whatever_was_asked_before() -> None:
    """Motions start from the last one; another order of moves gives the same page."""
    moves = (
        {"arm_extension": deg(10)},
        {"arm_abduction": deg(30)},
        {"pull": 30.0},
        {"support_strap": mm(15)},
        {"lock_strap": mm(2)},
    )
    pages = []
    for order in (moves, moves[::-1]):
        fresh, values = lock_lab(), {}
        for move in order:
            values |= move
            shown = ask(fresh, **values)
        pages.append((shown["words"], shown["pictures"], shown["readings"]))
    assert pages[0] == pages[1]


def test_signs_of_the_parts_are_told(lab: Lab) -> None:
    """Extension alone pays out, the whole motion takes up; what is below nothing says so."""
    back, whole = ask(lab, arm_extension=deg(10)), ask(lab, **DOWN)
    notes = [{one["label"]: one["note"] for one in shown["readings"]} for shown in (back, whole)]
    assert [note["Lift cable"] for note in notes] == ["paid out", "taken up"]
    assert _readings(back)["Lift cable"] < 0.0 < _readings(whole)["Lift cable"]
    assert "of lift cable are paid out" in back["words"]
    assert "Alone: extension draws" in whole["words"]
    assert notes[1]["Front support strap"].startswith("taut")


def test_an_arm_nearer_the_trunk_is_adducted(lab: Lab) -> None:
    """The part is called by what it is, and alone it does what the mechanics says."""
    shown, _ = _LockSetUps(None).ask({**lab.plan["start"], **OUT, "arm_abduction": deg(5)})
    assert list(shown.parts) == ["adduction"]
    assert shown.parts["adduction"].lift < 0.0
    assert list(_LockSetUps(None).ask({**lab.plan["start"], **OUT})[0].parts) == []


def test_a_strap_taken_in_locks_in_walking(lab: Lab) -> None:
    """As the buckle's range says, on either side of it."""
    system = _LockSetUps(None).system({**lab.plan["start"], **OUT})
    least = lock_buckle(system.harness, ElbowLock(positions=(1.2,), travel=mm(19)), motion=POSE).least
    for let_out, locks in ((least - mm(0.5), True), (least + mm(0.5), False)):
        shown = ask(lab, **DOWN, **OUT, lock_strap=let_out)
        (note,) = (one["note"] for one in shown["readings"] if one["label"] == "Must not lock")
        assert note == f"walking, arm back: {'locks' if locks else 'does not'}"
        assert ("that locks too" in shown["words"]) == locks


def test_steps_of_the_lab_are_those_of_the_sequence(lab: Lab, woman: DualControl) -> None:
    task = operating_sequence_dual(DualErrand(system=woman))
    assert set(STEPS.values()) == set(task.steps)
    shown = ask(lab, show="sequence", **OUT, step=LIFTED)
    state = task.start
    for key in LIFTED.split(", "):
        state = task.take(state, STEPS[key]).after
    assert f"Now: {state.words}." in shown["words"]
    assert _readings(shown)["Elbow flexion"] == 70.0
    assert len(shown["pictures"]) == len(ask(lab)["pictures"])


def test_a_wrong_step_is_told_by_what_it_does(lab: Lab) -> None:
    """Eased before it is locked, the forearm drops; the lock is worked twice, and lets go."""
    dropped = ask(lab, show="sequence", **OUT, step=f"{LIFTED}, ease-the-cable")
    assert "Eased, it lets it drop by 60.0°" in dropped["words"]
    twice = ask(lab, show="sequence", **OUT, step=f"{LIFTED}, lock, lock")
    assert "The lock was on: the same motion lets it go" in twice["words"]


def test_right_steps_are_told_on_request_alone(lab: Lab) -> None:
    quiet, told = (ask(lab, show="sequence", **OUT, step=LIFTED, tell=tell) for tell in (False, True))
    assert "Right now would be" in told["words"]
    assert "Next from here: lock" in told["words"]
    assert "Right now would be" not in quiet["words"]
    assert not re.search(r"\d by (lock|open the device|lower)", quiet["words"])
    assert "26 stations; which steps lead to them is not told" in quiet["words"]


def test_a_lock_that_a_small_wearer_does_not_reach(lab: Lab) -> None:
    """No order of right steps leads to the goal; her strap taken in by 3 mm, one does."""
    small = {"show": "sequence", "wearer": "small-woman", **OUT}
    never = ask(lab, **small, step=f"{LIFTED}, lock")
    assert "No order of right steps leads to the goal" in never["words"]
    reached = ask(lab, **small, lock_strap=mm(-3), step=f"{LIFTED}, lock")
    assert "Step 5, lock: right" in reached["words"]


def test_a_pinned_setting_is_told(lab: Lab) -> None:
    start = dict(lab.plan["start"])
    assert "Against the pinned setting: to the lock 0.0 mm there" in ask(lab, pinned=start, **DOWN)["words"]
    pinned = {**start, "show": "sequence", **OUT, "step": "unlock"}
    shown = ask(lab, pinned=pinned, show="sequence", **OUT)
    assert "The pinned setting has 1 steps and stands at: elbow low, lock off" in shown["words"]


def test_any_wearer_of_ones_own_is_fitted_above_the_elbow() -> None:
    below = Wearer.average("male", amputated="left", name="Hugo")
    system = _LockSetUps(below).system(lock_lab(below).plan["start"])
    assert (system.harness.wearer.level, system.harness.wearer.name) == ("transhumeral", "Hugo")
