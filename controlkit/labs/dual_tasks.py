"""What the dual-control lab asks: goals for lift and opening, and predictions about loop, housing end, bands, lock."""

from __future__ import annotations

from collections.abc import Callable

from controlkit.draw.words.lifted import LiftAndOpen
from controlkit.labs.asked import FORCE_ROUNDED, MORE_OR_LESS, judged, limit, more_or_less, stands
from controlkit.labs.controls import Values
from controlkit.labs.page import Answer, Challenge, Prediction, Units, Verdict
from controlkit.mechanics import DualControl
from controlkit.mechanics.elbow import LiftLine
from controlkit.units import deg, mm, show

__all__ = ["DUAL_CHALLENGES", "DUAL_PREDICTIONS", "dual_answers", "dual_verdicts"]

_NEAR = 1e-6
_SHUT_ANGLE, _SHUT_ARM, _SHUT_PULL, _SHUT_BANDS = deg(100.0), deg(70.0), 45.0, 5.0
_BOTH_ANGLE, _BOTH_ARM, _BOTH_PULL, _BOTH_BANDS = deg(90.0), deg(85.0), 50.0, 4.0
_FORWARD, _FURTHER, _MORE_BANDS, _LOW_LOCK = mm(25.0), mm(60.0), 5.0, deg(45.0)
_START_BANDS, _START_ELBOW, _START_ARM = 3.0, deg(90.0), deg(80.0)


def _shut(units: Units) -> str:
    return (
        f"Arm flexion alone, a hook, {_SHUT_BANDS:.0f} bands or fewer, no spring: the forearm comes to "
        f"{limit(_SHUT_ANGLE, 'angle', units)} or more, the device shut, the arm flexed "
        f"{limit(_SHUT_ARM, 'angle', units)} at most there, with a pull of at most {limit(_SHUT_PULL, 'force', units)}."
    )


def _jobs(units: Units) -> str:
    return (
        f"A steel hook, {_BOTH_BANDS:.0f} bands or more, no spring: the forearm comes to "
        f"{limit(_BOTH_ANGLE, 'angle', units)} or more, shut, with at most {limit(_BOTH_PULL, 'force', units)}; locked "
        f"there, the arm flexed {limit(_BOTH_ARM, 'angle', units)} at most, the hook opens fully."
    )


DUAL_CHALLENGES = (Challenge("Lift it shut", _shut), Challenge("One cable, two jobs", _jobs))
"""Goals of the lab, in the order of `dual_verdicts`."""
DUAL_PREDICTIONS = (
    Prediction(
        "end",
        "All as at the start. You bring the housing end 25 mm (1 in) in front of the arm's line. The largest pull that "
        "lifting to 90° asks of the harness:",
        MORE_OR_LESS,
    ),
    Prediction(
        "loop",
        "The housing end stays there, and you move the lift loop from 40 to 60 mm (1.6 to 2.4 in). Cable that lifting "
        "to 90° takes up:",
        MORE_OR_LESS,
    ),
    Prediction(
        "bands",
        "Reset first. All as at the start, but five rubber bands in place of three. The largest pull that lifting to "
        "90° asks of the harness:",
        MORE_OR_LESS,
    ),
    Prediction(
        "lock",
        "Reset first. All as at the start, but the elbow is locked at 45° and not at 90°. With the same arm flexion, "
        "cable that is left for opening:",
        MORE_OR_LESS,
    ),
)
"""Questions of the lab, in the order of `dual_answers`."""

_LEVER = {"less": "In front, the cable passes the axis at a distance from the start, so less pull makes the moment."}
_WORK = {"more": "A longer lever needs less force over a longer way: the work of lifting stays what it is."}
_BANDS = {"the same": "Weight and lever set that pull. Bands only keep the device shut under it."}
_KEPT = {"more": "What lifting has taken up stays taken up. Lifted less far, it has taken up less."}


def dual_verdicts(setting: Values, one: LiftAndOpen, units: Units) -> tuple[Verdict, ...]:
    """Judge the goals of the lab.

    Parameters
    ----------
    setting : mapping
        The setting [SI].
    one : LiftAndOpen
        What it lifts and opens.
    units : str
        "metric" or "inch-pound".

    Returns
    -------
    tuple of Verdict
        One a goal.
    """
    bands, alone = float(setting["bands"]), setting["scapulae"] == "alone"
    pulled = f"the pull is {show(one.peak, 'force', units)}"
    stops = "the device opens first" if one.lifted.limited_by[one.at] == "device opens first" else "the forearm stops"
    on_the_way = one.there, f"{stops} on the way"
    counted = f"the hook has {bands:.0f} band{'s' if bands > 1.5 else ''}"
    spring = float(setting["spring"]) < _NEAR, "a spring helps"
    raised = float(setting["arm_flexion"])

    def asked(least: float) -> tuple[bool, str]:
        return one.asked >= least - _NEAR, f"the elbow is asked for {show(one.asked, 'angle', units, 0)}"

    def carries(key: str, words: str) -> tuple[bool, str]:
        return setting["device"] == key, f"the forearm does not carry {words}"

    return (
        judged(
            on_the_way,
            asked(_SHUT_ANGLE),
            (one.raised <= _SHUT_ARM + _NEAR, f"the arm is flexed {show(one.raised, 'angle', units, 0)}"),
            (one.peak <= _SHUT_PULL + FORCE_ROUNDED, pulled),
            (alone, "the scapulae help"),
            carries("hook", "a hook"),
            (bands <= _SHUT_BANDS + _NEAR, counted),
            spring,
        ),
        judged(
            on_the_way,
            asked(_BOTH_ANGLE),
            (one.full, f"locked, the hook opens {show(one.opening, 'length', units)}, not fully"),
            (raised <= _BOTH_ARM + _NEAR, f"locked, the arm is flexed {show(raised, 'angle', units, 0)}"),
            (one.peak <= _BOTH_PULL + FORCE_ROUNDED, pulled),
            carries("steel-hook", "a steel hook"),
            (bands >= _BOTH_BANDS - _NEAR, counted),
            spring,
        ),
    )


def dual_answers(
    setting: Values, one: LiftAndOpen, at: Callable[[Values], LiftAndOpen], units: Units
) -> tuple[Answer | None, ...]:
    """Answer the predictions, where a setting decides them.

    Parameters
    ----------
    setting : mapping
        The setting [SI].
    one : LiftAndOpen
        What it lifts and opens.
    at : callable
        Finds that of another.
    units : str
        "metric" or "inch-pound".

    Returns
    -------
    tuple of Answer or None
        One a question.
    """
    still = stands(
        setting,
        loop_ahead=0.0,
        end_above=LiftLine.end_above,
        hangs_at=DualControl.hangs_at,
        device="hook",
        load=0.0,
        spring=0.0,
        scapulae="alone",
    )
    near, in_line = stands(setting, loop_along=LiftLine.loop_along), stands(setting, end_ahead=0.0)
    high, three = stands(setting, elbow_flexion=_START_ELBOW), stands(setting, bands=_START_BANDS)
    forward = float(setting["end_ahead"]) >= _FORWARD - _NEAR
    end = loop = bands = lock = None
    if still and near and high and three and forward:
        before = at({**setting, "end_ahead": 0.0})
        end = more_or_less("Largest pull", before.peak, one.peak, kind="force", units=units, why=_LEVER)
    if still and high and forward and float(setting["loop_along"]) >= _FURTHER - _NEAR:
        taken = [_taken(each) for each in (at({**setting, "loop_along": LiftLine.loop_along}), one)]
        loop = more_or_less("Taken up", *taken, kind="length", units=units, why=_WORK)
    if still and near and in_line and high and float(setting["bands"]) >= _MORE_BANDS - _NEAR:
        before = at({**setting, "bands": _START_BANDS})
        bands = more_or_less("Largest pull", before.peak, one.peak, kind="force", units=units, why=_BANDS)
    low = one.asked <= _LOW_LOCK + _NEAR and stands(setting, arm_flexion=_START_ARM)
    if still and near and in_line and three and low:
        before = at({**setting, "elbow_flexion": _START_ELBOW})
        lock = more_or_less("Left for opening", before.left, one.left, kind="length", units=units, why=_KEPT)
    return end, loop, bands, lock


def _taken(one: LiftAndOpen) -> float:
    """Cable that lifting to the angle asked for takes up [m]."""
    return float(one.lifted.required[one.at])
