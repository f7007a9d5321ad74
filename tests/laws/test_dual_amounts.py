"""How much the steps above the elbow need: what is pulled comes back, forces balance, dual control says the same."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise, product
from typing import Any

import numpy as np
import pytest

from controlkit.mechanics import DualControl, Wearer, above_elbow_eight, hook_opening
from controlkit.mechanics.bench.dual import FittedDual
from controlkit.mechanics.body.pose import Pose
from controlkit.mechanics.chain.dual import lock_motions
from controlkit.mechanics.elbow import ElbowLock, FlexionSpring, LiftLine
from controlkit.mechanics.sequence import (
    DualErrand,
    in_dual_control,
    operating_sequence,
    operating_sequence_dual,
    pose_of,
)
from controlkit.mechanics.sequence.dual import holds
from controlkit.mechanics.sequence.dual_errand import AT_MOUTH, AT_TABLE, LOW, OVER_MOUTH, OVER_TABLE, PLACES
from controlkit.units import InputError, deg, mm
from tests.laws.test_dual_sequence import ALL, GIVES, REACHES, SMALL, TAUGHT, _at, _built, _errand


@REACHES
def test_what_is_pulled_is_let_back(name: str) -> None:
    """But for what a forearm that runs up takes beyond what holds it there: that comes back unasked."""
    errand, task = _built(name)
    taken = task.judge(TAUGHT).taken
    given = [made.amount.excursion for made in taken]
    lifts = [made for made in taken if made.step.startswith("lift")]
    beyond = 0.0
    for made in lifts:
        carried = made.after["object"] == "held"
        climb = errand.climb(made.before["elbow"], made.after["elbow"], carried=carried)
        beyond += climb.generated - errand.hold(made.after["elbow"], carried=carried).generated
    assert len(lifts) == 2
    assert beyond >= -1e-12
    assert sum(given) == pytest.approx(beyond, abs=1e-9)
    assert max(given) > 0.02


@ALL
def test_an_unlocked_elbow_stands_where_the_cable_or_the_stop_holds_it(name: str) -> None:
    """Taut: captured excursion is what the forearm takes up, and tension times moment arm is its weight."""
    errand, task = _built(name)
    system = errand.system
    for state in task.states():
        bent, held = errand.flexion[state["elbow"]], holds(errand, state)
        if state["lock"] == "on":
            continue
        if held is None:
            assert bent == errand.rest
            continue
        carried = state["object"] == "held"
        table = system.capture(
            **(
                {}
                if not held.scapulae
                else dict.fromkeys(("scapular_abduction", "sound_scapular_abduction"), held.scapulae)
            )
        )
        slack = system.device.travel_for(errand.width) if carried else 0.0
        captured = float(table.at(held.arm_flexion, held.harness_force))
        assert captured == pytest.approx(
            float(system.required(bent)) + slack, abs=1.5e-4
        )  # roots lie between whole degrees
        assert errand.on_lock(
            state["elbow"], carried=carried, tension=held.lift_force, arm_flexion=held.arm_flexion
        ) == (pytest.approx(0.0, abs=1e-9))
        pose = pose_of(errand, state)
        assert (pose.elbow_flexion, pose.arm_flexion) == (bent, held.arm_flexion)


@pytest.mark.parametrize("sex", ["female", "male"])
@pytest.mark.parametrize("bands", [3, 5, 8])
def test_an_empty_lift_is_that_of_dual_control(sex: str, bands: int) -> None:
    """Two programs, one answer: arm, forces, and whether it gets there."""
    errand = _errand(sex, system={"device": hook_opening(bands)})
    found = errand.climb(LOW, OVER_TABLE)
    angles = {"scapular_abduction": found.scapulae, "sound_scapular_abduction": found.scapulae}
    way = np.append(np.arange(errand.rest, errand.table - 1e-9, deg(1.0)), errand.table)
    way[0] += deg(1e-3)  # on its stop the forearm asks for nothing
    lifted = errand.system.lift(way, **angles)
    assert found.arm_flexion == pytest.approx(lifted.arm_flexion[-1], abs=1e-6)
    assert found.harness_force == pytest.approx(lifted.harness_force[-1], rel=1e-6)
    assert found.device_force == pytest.approx(lifted.device_force[-1], rel=1e-6)
    assert found.most == pytest.approx(lifted.peak, rel=1e-3)
    assert (not found.short) == bool(lifted.lifts.all())


@pytest.mark.parametrize("where", [LOW, AT_TABLE, AT_MOUTH])
def test_opening_as_far_as_needed_is_that_of_dual_control(where: str) -> None:
    errand, _ = _built("woman")
    found = errand.open(where)
    angles = {"scapular_abduction": found.scapulae, "sound_scapular_abduction": found.scapulae}
    opened = errand.system.open_locked([errand.flexion[where]], arm_flexion=found.arm_flexion, **angles)
    assert opened.opening[0] == pytest.approx(errand.wanted, abs=2e-4)
    assert opened.harness_force[0] == pytest.approx(found.harness_force, rel=5e-3)


def test_an_object_between_the_fingers_leaves_cable_slack_that_lifting_takes_up() -> None:
    errand, _ = _built("woman")
    empty, carried = errand.hold(AT_TABLE), errand.hold(AT_TABLE, carried=True)
    assert carried.arm_flexion > empty.arm_flexion
    weightless = replace(errand, load=0.0).hold(AT_TABLE, carried=True)
    assert empty.arm_flexion < weightless.arm_flexion < carried.arm_flexion + 1e-9
    thin = replace(errand, width=mm(10), load=0.0).hold(AT_TABLE, carried=True)
    assert empty.arm_flexion < thin.arm_flexion < weightless.arm_flexion


def test_a_heavier_object_takes_more_force_and_more_of_the_grip() -> None:
    errands = [replace(_built("woman")[0], load=load) for load in (0.0, 0.1, 0.2, 0.3)]
    lifts = [errand.climb(AT_TABLE, OVER_MOUTH, carried=True) for errand in errands]
    for light, heavy in pairwise(lifts):
        assert heavy.most > light.most
        assert light.grip is not None
        assert heavy.grip is not None
        assert heavy.grip < light.grip


def test_letting_down_bears_less_than_lifting_unless_nothing_rubs() -> None:
    for name, rubs in (("woman", True), ("no friction", False)):
        errand, _ = _built(name)
        lifted = errand.climb(LOW, OVER_TABLE)
        assert (lifted.eased < lifted.most - 1e-6) == rubs
        assert lifted.eased == pytest.approx(lifted.most) or rubs


def test_from_hanging_the_lock_motion_is_the_smallest_that_does() -> None:
    errand, task = _built("woman")
    work = task.take(task.start, "unlock").amount.lock
    assert work is not None
    assert errand.catch.travel <= work.travel < errand.catch.travel + mm(1)
    assert work.force == pytest.approx(errand.catch.force)
    assert work.arm_flexion < 0.0 < work.abduction
    assert work.lift > 0.0


@pytest.mark.parametrize("name", ["woman", "man", "small", "left"])
@pytest.mark.parametrize("carried", [False, True])
@pytest.mark.parametrize("where", [OVER_TABLE, AT_TABLE, AT_MOUTH])
def test_while_the_cable_holds_the_forearm_the_lock_motion_keeps_it_drawn(name: str, where: str, carried: bool) -> None:
    """Asked anew of the lock in that pose: it triggers, the front strap gives, the lift cable is where it was."""
    errand, _ = _built(name)
    work, short = errand.lock_work(where, "taut", carried=carried)
    assert not short
    pose = Pose(
        arm_flexion=work.arm_flexion,
        arm_abduction=Pose().arm_abduction + work.abduction,
        shoulder_elevation=-work.depression,
        scapular_abduction=work.protraction,
        sound_scapular_abduction=work.protraction,
    )
    held = errand.hold(where, carried=carried)
    (done,) = lock_motions(errand.system.harness, errand.catch, [pose], errand.strap, pull=held.harness_force)
    assert done.travel == pytest.approx(work.travel, abs=mm(0.8))  # read off between poses 15 degrees apart
    assert done.travel > errand.catch.travel - mm(0.8)
    assert done.front_room > -mm(0.8)
    assert done.lift == pytest.approx(held.generated, abs=mm(1))


@pytest.mark.parametrize("name", ["woman", "tall", "small"])
def test_flexing_the_arm_alone_hangs_the_strap_of_the_lock_slack(name: str) -> None:
    """What holds the forearm takes the lock's strap out of reach of any lock motion, unless scapulae take over."""
    errand, _ = _built(name)
    held = replace(errand.hold(AT_TABLE, carried=True), scapulae=0.0)
    still = Pose(
        arm_flexion=held.arm_flexion,
        arm_abduction=Pose().arm_abduction + deg(20.0),
        shoulder_elevation=-deg(8.0),
    )
    alone, at_rest = lock_motions(
        errand.system.harness, errand.catch, [replace(still), replace(still, arm_flexion=0.0)]
    )
    assert alone.travel == 0.0
    assert alone.lengthening < at_rest.lengthening - mm(20)
    work, _ = errand.lock_work(AT_TABLE, "taut", carried=True)
    assert work.slack > mm(20)
    assert work.both


def test_mirrored_wearers_need_the_same() -> None:
    mine, theirs = (_built(who)[1].judge(TAUGHT).taken for who in ("woman", "left"))
    for one, other in zip(mine, theirs, strict=True):
        assert one.amount.excursion == pytest.approx(other.amount.excursion, abs=1e-6)
        assert one.amount.force == pytest.approx(other.amount.force, abs=1e-3)


def test_the_order_of_asking_changes_nothing() -> None:
    """Every question about every place: forth, back, and once more from what is kept."""
    forth, back = _errand(SMALL), _errand(SMALL)
    asked: list[Callable[[DualErrand], Any]] = [lambda errand, at=at: errand.open(at) for at in PLACES]  # type: ignore[misc]
    for carried in (False, True):
        for start, goal in product(PLACES, PLACES):
            asked.append(lambda errand, a=start, b=goal, c=carried: errand.climb(a, b, carried=c))  # type: ignore[misc]
        asked += [lambda errand, at=at, c=carried: errand.hold(at, carried=c) for at in PLACES]  # type: ignore[misc]

    def answer(errand: DualErrand, ask: Callable[[DualErrand], Any]) -> Any:
        try:
            return ask(errand)
        except InputError as refused:
            return str(refused)

    first = [answer(forth, ask) for ask in asked]
    assert first == [answer(back, ask) for ask in reversed(asked)][::-1]
    assert first == [answer(forth, ask) for ask in asked]
    held = [one for one in first if not isinstance(one, str) and one.scapulae > 0.0]
    assert held  # somewhere both scapulae help, so that an answer without them would be another


def test_a_changed_step_of_the_same_name_gets_its_own_answer() -> None:
    errand, task = _built("woman")
    demand = in_dual_control(errand)
    wrist, ready = task.steps["pre-position the wrist"], task.start
    other = replace(wrist, changes={"turntable": "turned to the object"})
    idle = replace(wrist, does="nothing")
    assert [demand(step, ready).turn for step in (wrist, other, idle, wrist)] == pytest.approx(
        [errand.turned, errand.swung, 0.0, errand.turned]
    )
    assert errand.turned != errand.swung


def test_a_lift_goes_up() -> None:
    errand, _ = _built("woman")
    for low, high in pairwise((LOW, AT_TABLE, OVER_TABLE, OVER_MOUTH)):
        assert errand.climb(low, high).elbow_flexion == errand.flexion[high]
        for start, goal in ((high, low), (low, low)):
            with pytest.raises(InputError, match="goal above the start"):
                errand.climb(start, goal)


@pytest.mark.parametrize(
    ("ask", "says"),
    [
        (lambda errand: errand.climb("x", "y"), f"Allowed: {', '.join(PLACES)}"),
        (lambda errand: errand.climb(LOW, "y"), "given as 'y'"),
        (lambda errand: errand.hold("x"), "given as 'x'. Allowed"),
        (lambda errand: errand.open(["low"]), "given as ..low"),
        (lambda errand: errand.opens_at_most("x"), "given as 'x'. Allowed"),
        (lambda errand: errand.left("x"), "given as 'x'. Allowed"),
        (lambda errand: errand.rises("x"), "given as 'x'. Allowed"),
        (lambda errand: errand.falls("x"), "given as 'x'. Allowed"),
        (lambda errand: errand.falls(AT_TABLE, "x"), "given as 'x'. Allowed"),
        (lambda errand: errand.on_lock("x", carried=False), "given as 'x'. Allowed"),
        (lambda errand: errand.pull_lock("x", locked=True), "given as 'x'. Allowed"),
        (lambda errand: errand.lifted_to(LOW), f"Allowed: {OVER_TABLE}, {OVER_MOUTH}"),
        (lambda errand: errand.lock_work(LOW, "tight"), "Allowed: slack, taut, pulled"),
        (lambda errand: errand.lock_work("x", "slack"), "given as 'x'. Allowed"),
        (lambda errand: errand.lock_work(LOW, "taut"), f"while the cable is taut: {OVER_TABLE}"),
        (lambda errand: errand.lock_work(OVER_TABLE, "pulled"), f"while the cable is pulled: {LOW}"),
    ],
)
def test_an_unknown_place_is_refused_with_those_that_are_known(ask: Callable[[DualErrand], Any], says: str) -> None:
    with pytest.raises(InputError, match=says):
        ask(_built("woman")[0])


def test_a_spring_that_holds_the_forearm_lets_it_hang_higher() -> None:
    plain, sprung = _built("woman")[0], _built("spring")[0]
    assert sprung.rest > plain.rest
    assert sprung.on_lock(LOW, carried=False) == pytest.approx(0.0, abs=2e-3)


@pytest.mark.parametrize("count", [4])
def test_no_random_wearer_fails(count: int) -> None:
    for sex in ("female", "male"):
        for wearer in Wearer.draw(sex, count // 2, seed=15):
            errand = _errand(wearer)
            task = operating_sequence_dual(errand)
            judged = task.judge(TAUGHT)
            assert judged.reached or any(taken.consequence for taken in judged.taken)


@pytest.mark.parametrize("hangs_at", [deg(5), deg(10), deg(15)])
def test_bench_and_errand_have_the_same_lock_unless_another_is_given(hangs_at: float) -> None:
    system = replace(SYSTEM, hangs_at=hangs_at)
    assert FittedDual(system).catch == DualErrand(system=system).catch
    assert FittedDual(system).catch.positions[0] == hangs_at
    given = ElbowLock.evenly(5)
    assert FittedDual(system, lock=given).catch == given


# --- bad input -------------------------------------------------------------------------------------

SYSTEM = DualControl(harness=above_elbow_eight(Wearer.average("female", level="transhumeral"), support_strap=GIVES))
BAD: list[tuple[Callable[[], Any], str]] = [
    (lambda: operating_sequence_dual(SYSTEM), "The errand"),  # type: ignore[arg-type]
    (lambda: DualErrand(system="woman"), "The system"),  # type: ignore[arg-type]
    (lambda: DualErrand(system=SYSTEM, lock="on"), "The lock"),  # type: ignore[arg-type]
    (lambda: DualErrand(system=SYSTEM, width=0.2), "The width"),
    (lambda: DualErrand(system=SYSTEM, load=-0.1), "The mass"),
    (lambda: DualErrand(system=SYSTEM, table=deg(5)), "hangs at 10.0°"),
    (lambda: DualErrand(system=SYSTEM, table=deg(100), mouth=deg(80)), "mouth above the table"),
    (lambda: DualErrand(system=SYSTEM, mouth=deg(170)), "The mouth's elbow flexion"),
    (lambda: DualErrand(system=SYSTEM, turned=deg(120)), "The turn of the wrist"),
    (lambda: DualErrand(system=SYSTEM, swung=deg(200)), "The turn of the turntable"),
    (lambda: DualErrand(system=SYSTEM, rubbing=-1.0), "The friction"),
    (lambda: DualErrand(system=SYSTEM, lock=ElbowLock.evenly(2)), "a position between hanging and table"),
    (lambda: DualErrand(system=replace(SYSTEM, spring=FlexionSpring(5.0))), "hangs at"),
    (lambda: operating_sequence(SYSTEM), "a SingleControl or a device"),  # type: ignore[arg-type]
]


@pytest.mark.parametrize(("ask", "says"), BAD, ids=[says for _, says in BAD])
def test_what_cannot_be_asked_is_said(ask: Callable[[], Any], says: str) -> None:
    with pytest.raises(InputError, match=says):
        ask()


def test_a_cable_behind_the_axis_lifts_nothing_and_says_so() -> None:
    task = operating_sequence_dual(_errand("female", system={"line": LiftLine(end_ahead=-0.03)}))
    made = task.take(_at(task, *TAUGHT[:3]), "lift to the table")
    assert "behind the elbow's axis" in made.consequence.said("metric")
