"""What the lock lab asks: goals for the lock motion and the operating sequence, and predictions about its parts."""

from __future__ import annotations

from collections.abc import Callable

from controlkit.draw.words.lock import LockShown
from controlkit.labs.asked import FORCE_ROUNDED, LENGTH_ROUNDED, MORE_OR_LESS, judged, limit, more_or_less, stands
from controlkit.labs.controls import Values
from controlkit.labs.lock_steps import Errand
from controlkit.labs.page import Answer, Challenge, Prediction, Units, Verdict
from controlkit.mechanics import Pose
from controlkit.units import deg, mm, show

__all__ = ["LOCK_CHALLENGES", "LOCK_PREDICTIONS", "lock_answers", "lock_verdicts"]

_NEAR = 1e-6
_PULL, _NEEDS, _FORWARD, _FRONT = 30.0, mm(19.0), deg(5.0), mm(18.0)
_BACK, _AWAY, _DOWN, _MORE_PULL, _OUT = deg(10.0), deg(30.0), deg(8.0), 30.0, mm(15.0)
_START_PULL, _HANGS = 5.0, Pose().arm_abduction


def _hold(units: Units) -> str:
    return (
        f"While the control strap is pulled with {limit(_PULL, 'force', units)} or more, a lock that needs "
        f"{limit(_NEEDS, 'length', units)} changes over. No lift cable is paid out. The front support strap is not "
        f"taut, and let out by {limit(_FRONT, 'length', units)} at most. The shoulder comes forward by "
        f"{limit(_FORWARD, 'angle', units)} at most. Neither walking nor abduction locks."
    )


def _errand(units: Units) -> str:
    return (
        f"Show the operating sequence. With a lock that needs {limit(_NEEDS, 'length', units)}, take the object to the "
        "mouth, put it back and let the forearm down: without one step too many, without being told which steps are "
        "right. Walking does not lock."
    )


LOCK_CHALLENGES = (Challenge("Lock, and hold the cable", _hold), Challenge("There and back, locked", _errand))
"""Goals of the lab, in the order of `lock_verdicts`."""
LOCK_PREDICTIONS = (
    Prediction(
        "extend",
        "All as at the start. The arm is extended by 10°, and nothing else. Lift cable that is drawn, against the "
        "hanging arm:",
        MORE_OR_LESS,
    ),
    Prediction(
        "lower",
        "The arm is extended by 10° and abducted to 30°. Now the point of the shoulder is lowered by 8° as well. "
        "Travel that comes to the lock:",
        MORE_OR_LESS,
    ),
    Prediction(
        "pull",
        "All three stay, and the control strap is pulled with 30 N (6.7 lbf) in place of 5 N (1.1 lbf). Travel that "
        "comes to the lock:",
        MORE_OR_LESS,
    ),
    Prediction(
        "front",
        "All three stay, with 5 N (1.1 lbf), and the front support strap is let out by 15 mm (0.59 in). Lift cable "
        "that is drawn:",
        MORE_OR_LESS,
    ),
)
"""Questions of the lab, in the order of `lock_answers`."""

_PAYS = {"less": "The lift cable runs behind the shoulder: an arm that goes back gives it what flexion takes."}
_DRAWS = {"more": "The strap runs from the ring over the shoulder: lowered, the shoulder lengthens its way."}
_RING = {"less": "The control strap draws the ring towards itself, and with it the end of the lock's strap."}
_BOTH = {"the same": "The front support strap hinders the lock. What the motion generates at the cable is the body's."}


def lock_verdicts(setting: Values, shown: LockShown, errand: Errand | None, units: Units) -> tuple[Verdict, ...]:
    """Judge the goals of the lab.

    Parameters
    ----------
    setting : mapping
        The setting [SI].
    shown : LockShown
        What the motion does.
    errand : Errand or None
        How far the errand has come, where the operating sequence is shown.
    units : str
        "metric" or "inch-pound".

    Returns
    -------
    tuple of Verdict
        One a goal.
    """
    motion, needs, out = shown.motion, shown.lock.travel, float(setting["support_strap"])
    needed = needs >= _NEEDS - LENGTH_ROUNDED, f"the lock needs {show(needs, 'length', units)}"
    idle = not shown.locks_idly, f"{shown.nearest}: that locks too"
    forward = float(setting["protraction"])
    hold = judged(
        (motion.triggers, f"{show(motion.travel, 'length', units)} come to the lock"),
        needed,
        idle,
        (shown.pull >= _PULL - FORCE_ROUNDED, f"the control strap is pulled with {show(shown.pull, 'force', units)}"),
        (motion.lift > -_NEAR, f"{show(-motion.lift, 'length', units)} of lift cable are paid out"),
        (not motion.front_taut, "the front support strap is taut"),
        (out <= _FRONT + LENGTH_ROUNDED, f"the front support strap is let out by {show(out, 'length', units)}"),
        (forward <= _FORWARD + _NEAR, f"the shoulder is {show(forward, 'angle', units, 0)} forward"),
    )
    if errand is None:
        return hold, judged((False, "the operating sequence is not shown"))
    count, most = len(errand.taken), len(errand.road)
    undone = "the errand is not done" if errand.road else "as the straps are set, no order of steps leads to the end"
    return hold, judged(
        (errand.done, undone),
        (count <= most or not errand.road, f"{count} steps are more than it takes"),
        (not setting["tell"], "the lab tells which steps are right"),
        needed,
        idle,
    )


def lock_answers(
    setting: Values, shown: LockShown, at: Callable[[Values], LockShown], units: Units
) -> tuple[Answer | None, ...]:
    """Answer the predictions, where a setting decides them.

    Parameters
    ----------
    setting : mapping
        The setting [SI].
    shown : LockShown
        What the motion does.
    at : callable
        Finds that of another.
    units : str
        "metric" or "inch-pound".

    Returns
    -------
    tuple of Answer or None
        One a question.
    """
    buckled = stands(setting, lock_strap=0.0, lock_travel=_NEEDS, protraction=0.0)
    light, snug = stands(setting, pull=_START_PULL), stands(setting, support_strap=0.0)
    back = float(setting["arm_extension"]) >= _BACK - _NEAR
    down = (
        stands(setting, arm_extension=_BACK, arm_abduction=_AWAY)
        and float(setting["shoulder_depression"]) >= _DOWN - _NEAR
    )
    extend = lower = pull = front = None
    if buckled and light and snug and back and stands(setting, arm_abduction=_HANGS, shoulder_depression=0.0):
        before = at({**setting, "arm_extension": 0.0})
        lifts = before.motion.lift, shown.motion.lift
        said = "with the arm hanging", "with it extended"
        extend = more_or_less("Lift cable drawn", *lifts, kind="length", units=units, said=said, why=_PAYS)
    if buckled and light and snug and down:
        lower = _travel(at({**setting, "shoulder_depression": 0.0}), shown, units, _DRAWS)
    if buckled and snug and down and shown.pull >= _MORE_PULL - FORCE_ROUNDED:
        pull = _travel(at({**setting, "pull": _START_PULL}), shown, units, _RING)
    if buckled and light and down and float(setting["support_strap"]) >= _OUT - LENGTH_ROUNDED:
        lifts = at({**setting, "support_strap": 0.0}).motion.lift, shown.motion.lift
        front = more_or_less("Lift cable drawn", *lifts, kind="length", units=units, why=_BOTH)
    return extend, lower, pull, front


def _travel(before: LockShown, after: LockShown, units: Units, why: dict[str, str]) -> Answer:
    ways = before.motion.travel, after.motion.travel
    return more_or_less("Comes to the lock", *ways, kind="length", units=units, why=why)
