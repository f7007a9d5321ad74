"""Sentences about the steps of an operating sequence."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from controlkit.draw.words.pull import Units, joined
from controlkit.units import show

if TYPE_CHECKING:
    from controlkit.mechanics.sequence import Amount, LockWork, Situation, Taken

__all__ = ["amount_short", "amount_words", "lock_words", "steps_words"]


def amount_words(amount: Amount, units: Units = "both") -> str:
    """Say how much of a motion a step needs.

    Parameters
    ----------
    amount : Amount
        The amount.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        A few words.
    """
    said = []
    if amount.turn:
        said.append(f"the device turned by {show(amount.turn, 'angle', units, 0)}")
    if amount.excursion:
        does = "pull" if amount.excursion > 0 else "let back"
        shoulder = amount.arm_flexion is not None or amount.arm_to is not None
        at = " at the shoulder" if shoulder else ""  # losses on the path included
        said.append(f"{does} {show(abs(amount.excursion), 'length', units)}{at}")
    if amount.arm_flexion is not None:
        said.append(f"as much as {show(amount.arm_flexion, 'angle', units, 0)} of arm flexion gives")
    if amount.arm_to is not None:
        both = f", both scapulae {show(amount.scapulae, 'angle', units, 0)} forward" if amount.scapulae else ""
        said.append(f"the arm flexed to {show(amount.arm_to, 'angle', units, 0)}{both}")
    if amount.force:
        said.append(f"{'holding' if amount.held else 'up to'} {show(amount.force, 'force', units)}")
    if amount.grip is not None:
        said.append(f"{show(amount.grip, 'force', units)} of the grip are left meanwhile")
    if amount.lock is not None:
        said.append(lock_words(amount.lock, units))
    if amount.sinks > 1e-6:
        said.append(f"the forearm sinks by {show(amount.sinks, 'angle', units, 0)} until the lock catches")
    if amount.inadvertent > 0.0005:
        pulls = show(amount.inadvertent, "length", units)
        said.append(f"the motion itself pulls {pulls} inadvertently, and the scapula must take it back")
    return ", ".join(said) or "no pull"


def lock_words(work: LockWork, units: Units = "both") -> str:
    """Say what it takes to work an elbow lock.

    Parameters
    ----------
    work : LockWork
        What it takes.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        A few words.
    """
    parts = [
        f"{show(angle, 'angle', units, 0)} of {name}"
        for name, angle in (
            ("abduction", work.abduction),
            ("depression of the shoulder", work.depression),
            ("protraction of both scapulae" if work.both else "protraction of the scapula", work.protraction),
        )
        if abs(angle) > 1e-6
    ]
    where = "extended" if work.arm_flexion < 0.0 else "flexed"
    if abs(work.lift) < 5e-5:
        cable = "the lift cable stays drawn as far as it is"
    else:
        does = "takes up" if work.lift > 0.0 else "pays out"
        cable = f"that {does} {show(abs(work.lift), 'length', units)} of lift cable"
    slack = f"; before, its strap hangs slack by {show(work.slack, 'length', units)}" if work.slack > 0.0005 else ""
    return (
        f"the lock's cable drawn by {show(work.travel, 'length', units)} with {show(work.force, 'force', units)}: "
        f"the arm {where} by {show(abs(work.arm_flexion), 'angle', units, 0)}, with {joined(parts, 'and')}; "
        f"{cable}{slack}"
    )


def amount_short(amount: Amount, units: Units) -> str:
    """Say the pull of a step in a few letters, in one unit system.

    Parameters
    ----------
    amount : Amount
        The amount.
    units : str
        "metric", "inch-pound" or "both" (which says it in metric units).

    Returns
    -------
    str
        For instance "pull 19.1 mm, 34.4 N".
    """
    one: Units = "metric" if units == "both" else units
    said = []
    if amount.turn:
        said.append(f"turn {show(amount.turn, 'angle', one, 0)}")
    if amount.excursion:
        arrow = "pull" if amount.excursion > 0 else "back"
        said.append(f"{arrow} {show(abs(amount.excursion), 'length', one)}")
    if amount.force:
        said.append(show(amount.force, "force", one))
    if amount.lock is not None:
        said.append(f"lock cable {show(amount.lock.travel, 'length', one)}, {show(amount.lock.force, 'force', one)}")
    if amount.sinks > 1e-6:
        said.append(f"sinks {show(amount.sinks, 'angle', one, 0)}")
    if amount.inadvertent > 0.0005:
        said.append(f"inadvertent {show(amount.inadvertent, 'length', one)}")
    return ", ".join(said) or "no pull"


def steps_words(
    taken: Sequence[Taken], state: Situation, *, reached: bool, right: Sequence[str] = (), units: Units = "both"
) -> str:
    """Say what the last step did, how things stand, and, on request, what is right now.

    Parameters
    ----------
    taken : sequence of Taken
        Steps so far.
    state : Situation
        How things stand.
    reached : bool
        Whether the goal stands.
    right : sequence of str
        Steps that are right now, to be told; empty to keep them.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        A few sentences.
    """
    said = []
    if taken:
        last = taken[-1]
        if last.consequence:
            said.append(f"Step {len(taken)}, {last.step}: {last.consequence.said(units)}")
        else:
            said.append(f"Step {len(taken)}, {last.step}: right. It needs: {amount_words(last.amount, units)}.")
    else:
        said.append("No step has been taken.")
    said.append(f"Now: {state.words}.")
    if reached and taken:
        wrong = sum(not one.right for one in taken)
        after = "without a wrong step" if not wrong else f"after {wrong} wrong step{'s' if wrong > 1 else ''}"
        said.append(f"The errand is done and all is back where it was, {after}.")
    if right:
        said.append(f"Right now would be: {joined(right, 'or')}.")
    return " ".join(said)
