"""What lesson 8 says in words is what the model computes."""

from __future__ import annotations

import math
from pathlib import Path

import nbformat
import pytest

from controlkit.mechanics import DualControl, Wearer, above_elbow_eight
from controlkit.mechanics.chain.dual import (
    IDLE,
    SHOULDER_DOWN,
    SHOULDER_FORWARD,
    SHOULDER_HELD,
    lock_buckle,
    lock_motion,
    lock_parts,
    smallest_lock_motion,
)
from controlkit.mechanics.elbow import ElbowLock
from controlkit.mechanics.harness import Harness
from controlkit.mechanics.sequence import DualErrand, OperatingSequence, Taken, operating_sequence_dual
from controlkit.sources import source
from controlkit.units import deg, mm

TEN = {"arm_flexion": -deg(10), "arm_abduction": deg(30), "shoulder_elevation": -deg(8)}
FORWARD = {**TEN, "scapular_abduction": deg(5)}
LONG = ElbowLock.evenly(11)


def _lock(travel: float) -> ElbowLock:
    return ElbowLock(positions=(1.2,), travel=mm(travel))


def _worn(wearer: Wearer, out: float = 15) -> Harness:
    return above_elbow_eight(wearer, support_strap=mm(out))


@pytest.fixture(scope="module")
def text() -> dict[str, str]:
    """The lesson's cells by their names."""
    path = Path(__file__).resolve().parents[2] / "course" / "08-elbow-lock.ipynb"
    return {cell.id: cell.source for cell in nbformat.read(path, as_version=4).cells}


@pytest.fixture(scope="module")
def amina() -> Wearer:
    """The stallkeeper of the lesson."""
    return Wearer.average("female", amputated="left", level="transhumeral", name="Amina")


@pytest.fixture(scope="module")
def small() -> Wearer:
    return Wearer.at_percentile("female", 5, level="transhumeral")


@pytest.fixture(scope="module")
def errand(amina: Wearer) -> DualErrand:
    return DualErrand(system=DualControl(harness=_worn(amina)))


@pytest.fixture(scope="module")
def task(errand: DualErrand) -> OperatingSequence:
    return operating_sequence_dual(errand)


@pytest.fixture(scope="module")
def road(task: OperatingSequence) -> list[Taken]:
    """Her errand, step by step."""
    state, made = task.start, []
    for name in task.right_order():
        made.append(task.take(state, name))
        state = made[-1].after
    return made


def test_her_complaint(amina: Wearer) -> None:
    """A jerk back locks nothing and pays out; the front strap snug hinders the whole motion."""
    jerk = lock_motion(_worn(amina), LONG, **IDLE["walking, arm back"])
    assert not jerk.triggers
    assert jerk.lift < -mm(20)
    assert not lock_motion(_worn(amina, 0), LONG, **FORWARD).triggers


def test_each_part_has_the_sign_that_is_told(amina: Wearer, text: dict[str, str]) -> None:
    parts = lock_parts(_worn(amina), **FORWARD)
    assert [part.part for part in parts] == ["extension", "abduction", "depression", "protraction"]
    assert all(part.lock_alone > 0.0 for part in parts)
    assert [part.lift_alone > 0.0 for part in parts] == [False, True, True, True]
    said = text["explain-signs"]
    lever = round(1e3 * float(DualControl(harness=_worn(amina)).line.moment_arm(deg(70))), 1)  # as on paper
    out = round(-1e3 * parts[0].lift_alone, 1)
    assert f"Extension of 10° alone pays out {out} mm" in said
    assert f"{out} / {lever} = {out / lever:.3f} radians: {math.degrees(out / lever):.0f}°" in said
    assert f"take up* {1e3 * sum(part.lift_added for part in parts[:3]):.1f} mm" in said


def test_the_worked_sum_of_the_locks_way(amina: Wearer, text: dict[str, str]) -> None:
    said, done = text["explain-signs"], lock_motion(_worn(amina), LONG, **TEN)
    added = [1e3 * part.lock_added for part in lock_parts(_worn(amina), **TEN)]
    assert f"{' + '.join(f'{way:.1f}' for way in added)} = {1e3 * done.lengthening:.1f} mm" in said
    whole, gives, stretch, comes = (1e3 * way for way in (done.lengthening, done.yielded, done.stretch, done.travel))
    assert f"yield {gives:.1f} mm to the lock's force, and the strap stretches by {stretch:.1f}" in said
    assert f"{whole:.1f} − {gives:.1f} − {stretch:.1f} = {comes:.1f} mm come" in said
    assert not lock_motion(_worn(amina), _lock(16), **TEN).triggers
    held = lock_motion(_worn(amina), LONG, pull=30.0, **TEN)
    assert f"of those {comes:.1f} mm {1e3 * held.travel:.1f} are left" in text["explain-held"]


def test_a_snug_front_strap_hinders(amina: Wearer, text: dict[str, str]) -> None:
    said = text["explain-front"]
    found = {out: lock_motion(_worn(amina, out), LONG, **TEN) for out in (0, 15)}
    assert found[0].front_taut
    assert lock_motion(_worn(amina, 0), LONG, **FORWARD).front_taut
    assert not found[15].front_taut
    assert f"{1e3 * found[0].travel:.1f} mm where 15 mm of slack bring {1e3 * found[15].travel:.1f}" in said
    gives = found[0].front_give + found[0].front_room
    assert f"the elastic part gives {1e3 * gives:.0f} mm" in said


def test_walking_comes_nearest_and_a_buckle_tells_them_apart(
    amina: Wearer, small: Wearer, text: dict[str, str]
) -> None:
    walks = lock_buckle(_worn(amina), LONG)
    assert walks.works_against == "walking, arm back"
    assert f"draws {1e3 * walks.idle['walking, arm back']:.1f} mm" in text["explain-idle"]
    assert f"swings {math.degrees(source('arm_swing_back').si):.0f}° back" in text["explain-idle"]
    man = Wearer.average("male", level="transhumeral")
    for who in (small, amina, man):
        for travel in (16, 19):
            found = lock_buckle(_worn(who), _lock(travel))
            assert found.most - found.least == pytest.approx(mm(3), abs=mm(0.6))
    needs = lock_buckle(_worn(amina), _lock(19))
    assert f"by {-1e3 * needs.most:.1f} mm at least for Amina" in text["explain-small"]
    assert f"by more than {-1e3 * needs.least:.1f} mm walking locks" in text["explain-small"]


def test_a_small_woman_does_not_reach_a_long_lock(amina: Wearer, small: Wearer, text: dict[str, str]) -> None:
    assert smallest_lock_motion(_worn(small), _lock(19), motion=SHOULDER_DOWN) is None
    assert smallest_lock_motion(_worn(small), _lock(16), motion=SHOULDER_DOWN) is not None
    said, ends = text["explain-small"], []
    for travel in (16, 19):
        found = smallest_lock_motion(_worn(amina), _lock(travel), motion=SHOULDER_DOWN)
        assert found is not None
        ends.append([-found.pose.arm_flexion, found.pose.arm_abduction, -found.pose.shoulder_elevation])
    short, long = ([f"{math.degrees(angle):.0f}°" for angle in end] for end in ends)
    assert f"16 mm takes {short[0]} of extension, abduction to {short[1]} and {short[2]} of depression" in said
    assert f"one of 19 mm {', '.join(long[:2])} and {long[2]}" in said
    drawn = [lock_motion(_worn(who), LONG, **SHOULDER_DOWN).travel for who in (small, amina)]
    assert drawn[0] < drawn[1]


def test_the_order_of_steps(road: list[Taken], text: dict[str, str]) -> None:
    names = [one.step for one in road]
    assert all(one.right for one in road)
    assert (names.count("unlock"), names.count("lock")) == (4, 3)
    assert "unlocked four times and locked three times" in text["explain-sequence"]
    assert all(names[k - 1] == "take the weight" for k, name in enumerate(names) if name == "unlock" and k > 2)
    assert all(names[k + 1] == "ease the cable" for k, name in enumerate(names) if name == "lock")
    assert names[9:12] == ["take the weight", "unlock", "lift to the mouth"]


def test_locking_while_the_cable_holds(road: list[Taken], text: dict[str, str]) -> None:
    """The lift cable stays; arm flexion that is given up is made up for by both scapulae."""
    said, locks = text["explain-wrong"], [one.amount.lock for one in road if one.step == "lock"]
    table, mouth = locks[0], locks[1]
    assert table is not None
    assert mouth is not None
    for work in (table, mouth):
        assert work.lift == 0.0
        assert work.both
        assert math.degrees(work.protraction) == pytest.approx(20.0)
    assert f"the arm ends {-math.degrees(table.arm_flexion):.0f}° behind hanging" in said
    assert f"still flexed by {math.degrees(mouth.arm_flexion):.0f}°" in said


def test_wrong_steps_do_what_is_told(task: OperatingSequence) -> None:
    state = task.take(task.take(task.start, "unlock").after, "lift to the table").after
    dropped = task.take(state, "ease the cable")
    assert dropped.after["elbow"] == "low"
    locked = task.take(state, "lock").after
    assert task.take(locked, "lock").after["lock"] == "off"
    eased = task.take(locked, "ease the cable").after
    assert task.take(eased, "unlock").after["lock"] == "on", "under load the lock does not let go"


def test_grip_falls_while_a_load_is_lifted(errand: DualErrand, road: list[Taken], text: dict[str, str]) -> None:
    said, device = text["explain-grip"], errand.system.device
    whole, taken, lifted = device.pinch(errand.width), road[9].amount.grip, road[11].amount.grip
    assert taken is not None
    assert lifted is not None
    assert whole > taken > lifted
    assert f"Of a grip of {whole:.1f} N, five bands" in said
    assert f"{taken:.1f} N are left as the cable takes the weight, and {lifted:.1f} N on the way" in said


def test_beside_practice(amina: Wearer, text: dict[str, str]) -> None:
    said, worn = text["explain-practice-2"], _worn(amina)
    usual = [1e3 * lock_motion(worn, LONG, **motion).travel for motion in (SHOULDER_FORWARD, SHOULDER_DOWN)]
    assert f"brings {usual[0]:.0f} to {usual[1]:.0f} mm to the lock" in said
    printed = 1e3 * source("elbow_lock_travel").si_low
    assert all(way == pytest.approx(printed, rel=0.10) for way in usual)
    held = 1e3 * lock_motion(worn, LONG, **SHOULDER_HELD).travel
    assert f"bring {held:.1f} mm to the lock" in said
    assert smallest_lock_motion(worn, _lock(16), motion=SHOULDER_HELD) is None
    down, out = lock_parts(worn, shoulder_elevation=-deg(8), arm_abduction=deg(30))
    assert f"it is {1e3 * down.lift_alone / 8:.1f} and {1e3 * out.lift_alone / 20:.1f}:" in said
    left = lock_motion(worn, LONG, **SHOULDER_DOWN)
    gives = left.front_give + left.front_room
    assert f"{1e3 * left.front_room:.0f} mm of {1e3 * gives:.0f} are left" in said


def test_the_try_is_right(text: dict[str, str]) -> None:
    comes = 8 + 4 + 9 - 4 - 1
    assert (comes, 13 + (19 - comes), round(math.degrees(14 / 35), 1)) == (16, 16, 22.9)
    for given in ("8, 4 and 9 mm", "**4 mm**", "**1 mm**", "**19 mm**", "**13 mm**", "**14 mm**", "**35 mm**"):
        assert given in text["try"]
