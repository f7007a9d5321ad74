"""What the pair lab asks: goals for two prostheses and for a very short limb, and predictions about both."""

from __future__ import annotations

from collections.abc import Callable

from controlkit.labs.asked import FORCE_ROUNDED, LENGTH_ROUNDED, MORE_OR_LESS, judged, limit, more_or_less, stands
from controlkit.labs.controls import Values
from controlkit.labs.page import Answer, Challenge, Prediction, Units, Verdict
from controlkit.labs.pair_shown import PairShown
from controlkit.units import deg, mm, show

__all__ = ["PAIR_CHALLENGES", "PAIR_PREDICTIONS", "pair_answers", "pair_verdicts"]

_NEAR = 1e-6
_WIDE, _RAISED, _CROSSES, _LOOSE = mm(75.0), deg(60.0), 5.0, mm(5.0)
_NEAR_BODY, _GRASP, _SHUT, _HUNG, _LOW, _FEW, _BACK = deg(10.0), mm(40.0), mm(1.0), mm(10.0), mm(110.0), 3, deg(-5.0)
_UP, _HOLD, _LIMB, _CAN = deg(110.0), 0.2, deg(60.0), 4.0
_FLEXED, _FORWARD, _JUNCTION, _RATIO = deg(60.0), deg(15.0), mm(60.0), 2.0


def _alone(units: Units) -> str:
    return (
        f"One side opens its hook {limit(_WIDE, 'length', units)} or more with the arm flexed by "
        f"{limit(_RAISED, 'angle', units)} at most. {limit(_CROSSES, 'force', units)} at most cross over. The other "
        f"arm hangs, its shoulder at rest, its control strap let out by {limit(_LOOSE, 'length', units)} at most. Both "
        "arms are amputated below the elbow."
    )


def _at_the_body(units: Units) -> str:
    return (
        f"Near the body, the arm flexed by {limit(_NEAR_BODY, 'angle', units)} at most, the shoulder opens the hook "
        f"{limit(_GRASP, 'length', units)} or more. The other device moves {limit(_SHUT, 'length', units)} at most, "
        f"with {_FEW} bands at most, its control strap let out by "
        f"{limit(_HUNG, 'length', units)} at most and its shoulder drawn back by {limit(-_BACK, 'angle', units)} at "
        f"most. The junction lies {limit(_LOW, 'length', units)} below C7 at most; both arms are amputated below the "
        "elbow."
    )


def _short(units: Units) -> str:
    return (
        f"Show the very short limb. It flexes by {limit(_LIMB, 'angle', units)} at most and makes "
        f"{limit(_CAN, 'moment', units)} at most; no lock helps it. The forearm comes to {limit(_UP, 'angle', units)} "
        f"or more, and {show(_HOLD, 'mass', units, 2)} in the device are held level."
    )


PAIR_CHALLENGES = (
    Challenge("One alone", _alone),
    Challenge("At the body", _at_the_body),
    Challenge("High and heavy", _short),
)
"""Goals of the lab, in the order of `pair_verdicts`."""
PAIR_PREDICTIONS = (
    Prediction(
        "flex",
        "All as at the start. The right arm is flexed by 60°, and its hook opens. Opening of the left hook, against "
        "before:",
        MORE_OR_LESS,
    ),
    Prediction(
        "forward",
        "All as at the start. The right shoulder is brought forward by 15°, and nothing else. Opening of the left "
        "hook, against that of the right one:",
        MORE_OR_LESS,
    ),
    Prediction(
        "lower",
        "The right arm is flexed by 60°. The junction is put 100 mm (3.94 in) below C7 in place of 60 mm (2.36 in). "
        "What crosses over to the left control strap:",
        MORE_OR_LESS,
    ),
    Prediction(
        "step",
        "Show the very short limb, all else as at the start. The split socket gets a step-up of 2 in place of 1. Mass "
        "that the limb can hold level:",
        MORE_OR_LESS,
    ),
)
"""Questions of the lab, in the order of `pair_answers`."""

_HOLDS = {
    "the same": "What crosses over is less than what the left bands ask for: the front strap takes most of the pull.",
    "more": "More crosses over than the left bands ask for.",
}
_FRONT = {"more": "The right front strap is what the left control strap pulls against: drawn forward, it pulls that."}
_KINK = {"more": "The lower the junction, the more the way from control strap to the other front strap kinks."}
_WORK = {"less": "The limb must make the ratio times the forearm's moment. What it can make does not grow."}


def pair_verdicts(setting: Values, shown: PairShown, units: Units) -> tuple[Verdict, ...]:
    """Judge the goals of the lab.

    Parameters
    ----------
    setting : mapping
        The setting [SI].
    shown : PairShown
        What was found for it.
    units : str
        "metric" or "inch-pound".

    Returns
    -------
    tuple of Verdict
        One a goal.
    """
    pull = shown.pull
    flexed, junction, strap, back = (
        float(setting[key]) for key in ("arm_flexion", "junction", "other_strap", "other_scapula")
    )
    pair = setting["show"] == "pair", "two prostheses are not shown"
    below = stands(setting, right_level="below", left_level="below"), "an arm is amputated above the elbow"
    opens = f"the hook opens {show(pull.own.opening, 'length', units)}"
    out = f"the other control strap is let out by {show(strap, 'length', units)}"
    raised = f"the arm is flexed {show(flexed, 'angle', units, 0)}"
    other_still = stands(setting, other_flexion=0.0)
    alone = judged(
        pair,
        below,
        (pull.own.opening >= _WIDE - LENGTH_ROUNDED, opens),
        (flexed <= _RAISED + _NEAR, raised),
        (pull.crossed_force <= _CROSSES + FORCE_ROUNDED, f"{show(pull.crossed_force, 'force', units)} cross over"),
        (other_still and abs(back) < _NEAR, "the other arm and shoulder are not at rest"),
        (strap <= _LOOSE + LENGTH_ROUNDED, out),
    )
    moved = abs(pull.other.opening - pull.alone.opening)
    bands = round(float(setting["other_bands"]))
    near = judged(
        pair,
        below,
        (pull.own.opening >= _GRASP - LENGTH_ROUNDED, opens),
        (flexed <= _NEAR_BODY + _NEAR, raised),
        (moved <= _SHUT + LENGTH_ROUNDED, f"the other device moves {show(moved, 'length', units)}"),
        (bands <= _FEW, f"the other hook has {bands} bands"),
        (strap <= _HUNG + LENGTH_ROUNDED, out),
        (back >= _BACK - _NEAR, f"the other shoulder is drawn back {show(-back, 'angle', units, 0)}"),
        (other_still, "the other arm does not hang"),
        (junction <= _LOW + LENGTH_ROUNDED, f"the junction lies {show(junction, 'length', units)} below C7"),
    )
    return alone, near, _judge_short(setting, shown, units)


def _judge_short(setting: Values, shown: PairShown, units: Units) -> Verdict:
    """Judge the goal of the very short limb."""
    way = shown.way(str(setting["way"]))
    limb, can = float(setting["limb_flexion"]), float(setting["limb_moment"])
    return judged(
        (setting["show"] == "limb", "the very short limb is not shown"),
        (not shown.locked(way), "a lock bears the load"),
        (way.elbow_flexion >= _UP - _NEAR, f"the forearm comes to {show(way.elbow_flexion, 'angle', units, 0)}"),
        (way.most_load >= _HOLD - _NEAR, f"it can hold {show(way.most_load, 'mass', units, 2)}"),
        (limb <= _LIMB + _NEAR, f"the limb flexes {show(limb, 'angle', units, 0)}"),
        (can <= _CAN + 0.01, f"the limb makes {show(can, 'moment', units)}"),
    )


def pair_answers(
    setting: Values, shown: PairShown, at: Callable[[Values], PairShown], units: Units
) -> tuple[Answer | None, ...]:
    """Answer the predictions, where a setting decides them.

    Parameters
    ----------
    setting : mapping
        The setting [SI].
    shown : PairShown
        What was found for it.
    at : callable
        Finds that of another.
    units : str
        "metric" or "inch-pound".

    Returns
    -------
    tuple of Answer or None
        One a question.
    """
    fitted = stands(
        setting, show="pair", pulls="right", right_level="below", left_level="below", other_device="opening"
    ) and stands(setting, other_bands=3.0, other_strap=0.0, other_flexion=0.0, other_scapula=0.0, elbows=deg(60.0))
    flexed, forward = float(setting["arm_flexion"]), float(setting["scapular_abduction"])
    raised, hangs = flexed >= _FLEXED - _NEAR, abs(flexed) < _NEAR
    pull = shown.pull
    flex = ahead = lower = step = None
    if fitted and raised and abs(forward) < _NEAR and stands(setting, junction=_JUNCTION):
        before = at({**setting, "arm_flexion": 0.0}).pull.other.opening
        flex = more_or_less("Left hook open", before, pull.other.opening, kind="length", units=units, why=_HOLDS)
    if fitted and hangs and forward >= _FORWARD - _NEAR and stands(setting, junction=_JUNCTION):
        both, said = (pull.own.opening, pull.other.opening), ("at the right", "at the left")
        ahead = more_or_less("Hook open", *both, kind="length", units=units, said=said, why=_FRONT)
    if fitted and raised and abs(forward) < _NEAR and float(setting["junction"]) >= mm(100.0) - LENGTH_ROUNDED:
        before = at({**setting, "junction": _JUNCTION}).pull.crossed_force
        lower = more_or_less("Crosses over", before, pull.crossed_force, kind="force", units=units, why=_KINK)
    limb = stands(setting, show="limb", way="step-up", limb_flexion=deg(60.0), limb_moment=3.0)
    if limb and float(setting["ratio"]) >= _RATIO - _NEAR:
        held = (at({**setting, "ratio": 1.0}).ways[0].most_load, shown.ways[0].most_load)
        step = more_or_less("Can be held level", *held, kind="mass", units=units, why=_WORK)
    return flex, ahead, lower, step
