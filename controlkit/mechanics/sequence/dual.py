"""Dual control above the elbow: grasp an object at the table, hold it at the mouth, put it back."""

from __future__ import annotations

from collections.abc import Callable

from controlkit.mechanics.body.pose import Pose
from controlkit.mechanics.inputs import kind
from controlkit.mechanics.sequence.dual_errand import (
    AT_MOUTH,
    AT_TABLE,
    LOW,
    OVER_MOUTH,
    OVER_TABLE,
    DualErrand,
)
from controlkit.mechanics.sequence.dual_reach import Reached, posture
from controlkit.mechanics.sequence.dual_steps import dual_steps
from controlkit.mechanics.sequence.machine import OperatingSequence
from controlkit.mechanics.sequence.records import Amount, Situation, Step, Told
from controlkit.mechanics.sequence.turned import AWAY, SQUARE, TO_OBJECT

_GOALS = {"lift to the table": OVER_TABLE, "lift to the mouth": OVER_MOUTH}
_BELOW = {OVER_TABLE: (LOW,), OVER_MOUTH: (LOW, AT_TABLE, OVER_TABLE)}
_SEATED = (LOW, AT_TABLE, AT_MOUTH)


def operating_sequence_dual(errand: DualErrand) -> OperatingSequence:
    """Build the operating sequence of dual control: pre-position, lift, lock, grasp, lift on, lock, put back.

    Parameters
    ----------
    errand : DualErrand
        System, elbow lock and object

    Returns
    -------
    OperatingSequence
        To step through, judge, or draw

    Raises
    ------
    InputError
        If no errand was given

    Notes
    -----
    Steps and their order follow from the mechanics: no published list was found. That wrist and turntable come first is
    common practice, no source. The elbow begins locked where the forearm hangs. At the mouth the object is held with
    the elbow locked and the cable eased, so that the shoulder is at rest. Lock and unlock are one motion: which of them
    it does depends on how the lock stood. While the cable holds the forearm the arm cannot just go back for it: arm
    flexion that is given up is made up for by both scapulae, so that the lift cable stays drawn.

    Examples
    --------
    >>> from controlkit.mechanics import DualControl, Wearer, above_elbow_eight
    >>> harness = above_elbow_eight(Wearer.average("female", level="transhumeral"), support_strap=0.016)
    >>> task = operating_sequence_dual(DualErrand(system=DualControl(harness=harness)))
    >>> ", ".join(task.right_order()[2:8])
    'unlock, lift to the table, lock, ease the cable, open the device, surround'
    >>> task.judge(task.right_order()).right
    True
    """
    kind("The errand", errand, DualErrand, "DualErrand(system=DualControl(harness=above_elbow_eight(wearer)))")
    start = Situation(
        (
            ("elbow", LOW),
            ("lock", "on"),
            ("cable", "slack"),
            ("device", "shut"),
            ("wrist", TO_OBJECT if errand.turned < SQUARE else AWAY),
            ("turntable", TO_OBJECT if errand.swung < SQUARE else AWAY),
            ("object", "on the table"),
            ("errand", "to do"),
        )
    )
    steps = dual_steps(errand)
    return OperatingSequence(
        name=f"dual control, {errand.system.device.kind}",
        start=start,
        goal={"elbow": LOW, "cable": "slack", "object": "on the table", "errand": "done"},
        steps={step.name: step for step in steps},
        demand=in_dual_control(errand),
    )


def in_dual_control(errand: DualErrand) -> Callable[[Step, Situation], Amount]:
    """Return what each step demands of the wearer, harness, cable and weight counted.

    Parameters
    ----------
    errand : DualErrand
        System, elbow lock and object

    Returns
    -------
    callable
        From step and state to `Amount`

    Notes
    -----
    Excursion is what the motion generates at the harness, from how the state before holds the cable. Force is the
    largest of the step; letting down, the largest that the harness still bears, friction helping.

    Examples
    --------
    >>> from controlkit.mechanics import DualControl, Wearer, above_elbow_eight
    >>> harness = above_elbow_eight(Wearer.average("female", level="transhumeral"), support_strap=0.016)
    >>> errand = DualErrand(system=DualControl(harness=harness))
    >>> task, demand = operating_sequence_dual(errand), in_dual_control(errand)
    >>> unlocked = task.take(task.start, "unlock").after
    >>> round(demand(task.steps["lift to the table"], unlocked).force)
    40
    """

    def demand(step: Step, state: Situation) -> Amount:
        carried, lock_off = state["object"] == "held", state["lock"] == "off"
        before = holds(errand, state)
        drawn = before.generated if before else 0.0
        held = Amount() if before is None else Amount(force=before.harness_force, held=True)
        if step.does == "turn":
            return Amount(turn=errand.turned if "wrist" in step.changes else errand.swung)
        if step.does == "lock":
            work, short = errand.lock_work(state["elbow"], state["cable"], carried=carried)
            return Amount(force=held.force, held=held.held, lock=work, short=short)
        if step.name in _GOALS:
            goal = _GOALS[step.name]
            if not lock_off or state["elbow"] not in _BELOW[goal]:
                return held
            return _pulled(errand.climb(state["elbow"], errand.lifted_to(goal), carried=carried), drawn)
        if step.does == "open":
            if lock_off or state["cable"] == "pulled" or state["elbow"] not in _SEATED:
                return held
            return _pulled(errand.open(state["elbow"]), drawn)
        if step.does == "take up":
            if state["cable"] != "slack" or state["elbow"] not in (AT_TABLE, AT_MOUTH):
                return held
            return _pulled(errand.hold(state["elbow"], carried=carried), drawn)
        if step.does == "let back":
            after = state.after(step.changes)
            sinks = errand.flexion[state["elbow"]] - errand.flexion[after["elbow"]] if not lock_off else 0.0
            return Amount(excursion=-drawn, sinks=sinks)
        if step.does == "let down":
            goal = state.after(step.changes)["elbow"]
            if before is None or not lock_off or errand.flexion[goal] >= errand.flexion[state["elbow"]]:
                return held
            rests = 0.0 if goal == LOW else errand.hold(goal, carried=carried).generated
            way = errand.climb(goal, state["elbow"], carried=carried)
            return Amount(excursion=rests - drawn, force=way.eased, held=True, grip=way.grip)
        return held

    return demand


def holds(errand: DualErrand, state: Situation) -> Reached | None:
    """What the cable holds in a state.

    Parameters
    ----------
    errand : DualErrand
        System, elbow lock and object
    state : Situation
        How things stand

    Returns
    -------
    Reached or None
        The device open, or the forearm's weight; nothing where the cable is slack
    """
    if state["cable"] == "slack":
        return None
    if state["cable"] == "pulled":
        return errand.open(state["elbow"])
    return errand.hold(state["elbow"], carried=state["object"] == "held")


def pose_of(errand: DualErrand, state: Situation) -> Pose:
    """Where arm, scapulae and elbow are in a state.

    Parameters
    ----------
    errand : DualErrand
        System, elbow lock and object
    state : Situation
        How things stand

    Returns
    -------
    Pose
        The arm hanging where the cable is slack

    Examples
    --------
    >>> from controlkit.mechanics import DualControl, Wearer, above_elbow_eight
    >>> harness = above_elbow_eight(Wearer.average("female", level="transhumeral"), support_strap=0.016)
    >>> errand = DualErrand(system=DualControl(harness=harness))
    >>> task = operating_sequence_dual(errand)
    >>> pose_of(errand, task.start).arm_flexion
    0.0
    """
    held = holds(errand, state)
    return Pose(elbow_flexion=errand.flexion[state["elbow"]]) if held is None else posture(held)


def _pulled(reached: Reached, drawn: float) -> Amount:
    """What a pull needs beyond what is drawn already."""
    return Amount(
        excursion=reached.generated - drawn,
        force=reached.most,
        arm_to=reached.arm_flexion,
        scapulae=reached.scapulae,
        grip=reached.grip,
        short=reached.short or Told(),
    )
