"""Sentences about dual control: what is worn on the arm, how hard the wearer pulls, and what lifting finds."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from controlkit.draw.words.effort import percent
from controlkit.draw.words.pull import Units, degrees, joined
from controlkit.mechanics.chain.dual import DualControl, Lifted
from controlkit.mechanics.harness.patterns.above_elbow import LATERAL_SUSPENSOR
from controlkit.mechanics.harness.patterns.chest import SUSPENSOR
from controlkit.mechanics.harness.patterns.eight import FRONT_STRAP
from controlkit.mechanics.inputs import kind, number
from controlkit.units import InputError, show

if TYPE_CHECKING:
    from controlkit.mechanics import DualPull
    from controlkit.mechanics.chain.dual import LockMotion
    from controlkit.mechanics.elbow import ElbowLock, ProstheticForearm

__all__ = ["Lifting", "arm_words", "dual_force_words", "lift_words", "lock_word", "near_words", "why_words"]

_SMALL = 0.0005  # a moment arm that is none to speak of [m]
_WHY: dict[str, str] = {
    "excursion": "the harness captures less than flexing takes up",
    "force": "it would need more force than this wearer has",
    "device opens first": "on the way the device opens first",
    "dead point": "on the way is a dead point, at which no pull lifts",
}


@dataclass(frozen=True, eq=False, kw_only=True)
class Lifting:
    """One elbow angle of a lift.

    Parameters
    ----------
    system : DualControl
        The system.
    lifted : Lifted
        What it found.
    at : int
        Which of the elbow angles asked for [-].
    raised : float, optional
        Arm flexion, where the elbow is locked and the arm has gone on by itself [rad].

    Raises
    ------
    InputError
        If the lift has no such angle, or something is of another kind.
    """

    system: DualControl
    lifted: Lifted
    at: int
    raised: float | None = None

    def __post_init__(self) -> None:
        kind("The system", self.system, DualControl, "DualControl(harness=above_elbow_eight(wearer))")
        kind("What was lifted", self.lifted, Lifted, "system.lift()")
        count = len(self.lifted.elbow_flexion)
        if isinstance(self.at, bool) or not isinstance(self.at, (int, np.integer)) or not 0 <= self.at < count:
            raise InputError(
                given=f"Which of the elbow angles is drawn was given as {self.at!r}.",
                do=f"Give a whole number from 0 to {count - 1}: the lift has {count} of them.",
            )
        if self.raised is not None:
            number("Arm flexion", self.raised, "deg(60)")

    @property
    def elbow_flexion(self) -> float:
        """The elbow's angle [rad]."""
        return float(self.lifted.elbow_flexion[self.at])

    @property
    def highest(self) -> float:
        """The largest elbow angle asked for [rad]."""
        return float(self.lifted.elbow_flexion.max())

    @property
    def inclination(self) -> float:
        """Arm flexion, at the end of the motion where that does not bring the forearm here [rad]."""
        lifted = float(self.lifted.arm_flexion[self.at]) if self.raised is None else self.raised
        return min(lifted, self.system.furthest)

    @property
    def lift_force(self) -> float:
        """Tension between housing end and lift loop [N]."""
        return float(self.lifted.lift_force[self.at])

    @property
    def moment_arm(self) -> float:
        """Moment arm of that; behind the axis it is negative [m]."""
        return float(self.system.line.moment_arm(self.elbow_flexion))

    @cached_property
    def _forearm(self) -> ProstheticForearm:
        forearm = self.system.lifted_forearm
        return forearm.carrying(self.lifted.load, forearm.pieces[-1].centre) if self.lifted.load else forearm

    @property
    def weight(self) -> float:
        """Weight of forearm and load [N]."""
        return self._forearm.weight

    @property
    def centre(self) -> float:
        """Where it acts, from the elbow axis along the forearm [m]."""
        return self._forearm.centre

    @property
    def moment(self) -> float:
        """Moment with which it extends the elbow [N m]."""
        return float(self._forearm.moment(self.elbow_flexion, self.inclination))


def lock_word(locked: bool) -> str:
    """Say how the lock stands, in one word."""
    return "locked" if locked else "unlocked"


def arm_words(system: DualControl, pull: DualPull, lock: LockMotion | None = None, units: Units = "both") -> str:
    """Say what is worn on the arm above the elbow, and where both housings run.

    Parameters
    ----------
    system : DualControl
        The system.
    pull : DualPull
        What the mechanics found for one pose.
    lock : LockMotion, optional
        What the strap of the elbow's lock does there, if that is drawn.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        A few sentences.
    """
    line = system.line
    text = (
        f"On the arm: a humeral socket with its base plate and crossbar, a turntable, an elbow unit "
        f"({lock_word(pull.locked)}), a forearm shell, a wrist unit and the device. The first housing runs from the "
        f"base plate to its end on the socket, {show(line.end_above, 'length', units)} above the elbow's axis; from "
        f"there the cable crosses the elbow bare to the lift loop, {show(line.loop_along, 'length', units)} down the "
        f"forearm; the second housing leads it on towards the device. {_suspended(pull)}"
    )
    if lock is None:
        return text
    hangs = "bears no pull" if lock.force <= 0.0 else f"draws {show(lock.travel, 'length', units)} of the lock's cable"
    return (
        f"{text} The elbow-lock control strap leaves the anterior support strap at the upper end of the deltopectoral "
        f"interval and runs down the front of the socket to the lock's cable, which leads into the elbow unit; "
        f"it {hangs}."
    )


def _suspended(pull: DualPull) -> str:
    """Say which straps hold the socket up."""
    named = {LATERAL_SUSPENSOR: "", FRONT_STRAP: ", which has an elastic part,", SUSPENSOR: ""}
    holding = [f"the {name}{more}" for name, more in named.items() if name in pull.straps]
    said = joined(holding)
    return f"{said[:1].upper()}{said[1:]} {'hold' if len(holding) > 1 else 'holds'} the socket up."


def dual_force_words(pull: DualPull, units: Units = "both") -> str:
    """Say how hard the wearer pulls, and with what lever.

    Parameters
    ----------
    pull : DualPull
        What the mechanics found for one pose.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        Two sentences.
    """
    return (
        f"The harness carries {show(pull.harness_force, 'force', units)}: a cable share of "
        f"{percent(pull.cable_share)} ({pull.fatigue}). The control attachment strap's moment arm about arm flexion is "
        f"{show(pull.moment_arm, 'length', units)}."
    )


def why_words(limited_by: str) -> str:
    """Say why the control motion does not bring the forearm to an elbow angle, as the end of a sentence.

    Parameters
    ----------
    limited_by : str
        As in `Lifted`.

    Returns
    -------
    str
        A few words.

    Examples
    --------
    >>> why_words("force")
    'it would need more force than this wearer has'
    """
    return _WHY.get(limited_by, limited_by)


def _stopped(limited_by: str) -> str:
    if limited_by == "nothing":
        return "Nothing stops the forearm on the way there: the control motion brings it up with the device shut."
    return f"The control motion does not bring it here: {why_words(limited_by)}."


def lift_words(lifting: Lifting, *, locked: bool, lock: ElbowLock | None, units: Units = "both") -> str:
    """Say what lifts the forearm at one elbow angle.

    Parameters
    ----------
    lifting : Lifting
        The system, what it found, and which elbow angle.
    locked : bool
        Whether the elbow is locked.
    lock : ElbowLock, optional
        Its positions.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        A few sentences.
    """
    system, line = lifting.system, lifting.system.line
    wearer = system.harness.wearer
    name = wearer.name or ("a woman" if wearer.sex == "female" else "a man")
    gap = show(float(line.length(lifting.elbow_flexion)), "length", units)
    text = (
        f"Seen from the side: {name}, {wearer.amputated} arm amputated above the elbow. The upper arm is flexed "
        f"{degrees(lifting.inclination)} and the elbow {degrees(lifting.elbow_flexion)}, {lock_word(locked)}. "
        f"From the end of the housing, {show(line.end_above, 'length', units)} above the elbow's axis, the cable runs "
        f"bare and straight over {gap} to the lift loop, {show(line.loop_along, 'length', units)} down the forearm; "
        f"{_lever(lifting, units)} {_weight(lifting, units)} {_held(lifting, locked, units)} {_stop(lifting)}"
    )
    if lock is not None:
        text += f" The lock holds at {len(lock.positions)} angles: {joined(degrees(at) for at in lock.positions)}."
    return text


def near_words(lifting: Lifting, units: Units = "both") -> str:
    """Say how the cable passes the elbow, for a picture of the elbow alone.

    Parameters
    ----------
    lifting : Lifting
        The system, what it found, and which elbow angle.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        A sentence.
    """
    gap = show(float(lifting.system.line.length(lifting.elbow_flexion)), "length", units)
    said = f"The elbow, seen from close to: over {gap} the cable runs bare from housing end to lift loop"
    return f"{said}; {_lever(lifting, units)}"


def _lever(lifting: Lifting, units: Units) -> str:
    """Say on which side of the axis the cable passes, and how far."""
    arm = lifting.moment_arm
    if abs(arm) < _SMALL:
        return "it passes through the axis: a dead point, at which no pull lifts."
    where, does = ("in front of", "flexes") if arm > 0.0 else ("behind", "extends")
    return f"it passes {where} the axis with a moment arm of {show(abs(arm), 'length', units)}, and {does} the elbow."


def _weight(lifting: Lifting, units: Units) -> str:
    """Say what is lifted, and which way that turns the elbow."""
    said = "Forearm and load weigh" if lifting.lifted.load else "The forearm weighs"
    turns = "extends" if lifting.moment >= 0.0 else "by now flexes"
    return (
        f"{said} {show(lifting.weight, 'force', units)}; this acts {show(lifting.centre, 'length', units)} from the "
        f"axis along the forearm and {turns} the elbow with {show(abs(lifting.moment), 'moment', units)}."
    )


def _held(lifting: Lifting, locked: bool, units: Units) -> str:
    """Say what holds the forearm, and whether the device stays shut meanwhile."""
    lifted, at, force = lifting.lifted, lifting.at, lifting.lift_force
    if locked:
        return "The lock holds it; the cable is free to open the device."
    if lifted.limited_by[at] == "rest":
        return "Here the forearm hangs on its stop; nothing needs to hold it."
    if not np.isfinite(force):
        return f"No pull of the cable holds it there. {_stopped(lifted.limited_by[at])}"
    device, opens = float(lifted.device_force[at]), lifted.opening_force
    shut = "stays shut" if device < opens else "opens too early"
    return (
        f"The cable holds it with {show(force, 'force', units)}, for which the harness carries "
        f"{show(float(lifted.harness_force[at]), 'force', units)}; {show(device, 'force', units)} come to the device, "
        f"which begins to open at {show(opens, 'force', units)}: it {shut}. {_stopped(lifted.limited_by[at])}"
    )


def _stop(lifting: Lifting) -> str:
    """Say where the forearm hangs, and where the dead points are."""
    system = lifting.system
    dead = system.line.dead_points(0.0, max(lifting.highest, system.hangs_at + 1e-3))
    text = f"The pre-flexion stop holds the forearm at {degrees(system.hangs_at)} when it hangs."
    if not dead:
        return f"{text} There is no dead point between straight and {degrees(lifting.highest)}."
    past = "before that, so that it is never reached" if max(dead) < system.hangs_at - 1e-9 else "within the range"
    return f"{text} Dead point{'s' if len(dead) > 1 else ''} at {joined(degrees(at) for at in dead)}, {past}."
