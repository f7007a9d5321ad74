"""What the strap lab asks: goals for a fitter, and predictions before the ring is moved."""

from __future__ import annotations

from collections.abc import Callable

from controlkit.labs.asked import MORE_OR_LESS, judged, limit, more_or_less, stands
from controlkit.labs.controls import Values
from controlkit.labs.page import Answer, Challenge, Prediction, Units, Verdict
from controlkit.mechanics import Harness, Motion, Pull
from controlkit.units import deg, mm, show

__all__ = ["STRAP_CHALLENGES", "STRAP_PREDICTIONS", "strap_answers", "strap_moment", "strap_verdicts"]

_BOWL_ANGLE, _BOWL_MOMENT = deg(40.0), 3.5
_WAY_UP, _SPOON_ANGLE, _SPOON_MOMENT, _AJAR = deg(30.0), deg(70.0), 3.2, mm(5.0)
_NEAR, _WRITTEN = 1e-6, 0.005  # a moment is written in hundredths, and judged as written
_LOWERED, _FLEXED, _SAME_MOMENT = mm(60.0), deg(30.0), 3.0


def _bowl(units: Units) -> str:
    return (
        f"By arm flexion alone, open the hook fully at {limit(_BOWL_ANGLE, 'angle', units)} or less. "
        f"The moment of the strap is at most {limit(_BOWL_MOMENT, 'moment', units)}, "
        "and the control attachment strap is not taken in."
    )


def _spoon(units: Units) -> str:
    return (
        f"For a meal: the hook stands open by {limit(_AJAR, 'length', units)} at most until the arm is flexed "
        f"{limit(_WAY_UP, 'angle', units)}, and fully at {limit(_SPOON_ANGLE, 'angle', units)} or less. "
        f"The moment of the strap is at most {limit(_SPOON_MOMENT, 'moment', units)}."
    )


STRAP_CHALLENGES = (Challenge("Serve the bowl", _bowl), Challenge("Shut on the way up", _spoon))
"""Goals of the lab, in the order of `strap_verdicts`."""

_FURTHER = "Lower down, the strap passes further from the centre of the shoulder"
_MOVE = "Arm flexion 30°, all else as at the start. You lower the ring from 25 mm (1 in) to 60 mm (2.4 in) below C7."
STRAP_PREDICTIONS = (
    Prediction("excursion", f"{_MOVE} Captured excursion:", MORE_OR_LESS),
    Prediction(
        "pull",
        f"{_MOVE} The strap draws the flexed arm back down; the shoulder resists with 3 N m (27 lbf in), no more. "
        "The strap can then pull:",
        MORE_OR_LESS,
    ),
)
"""Questions of the lab, in the order of `strap_answers`."""


def strap_moment(pull: Pull) -> float:
    """Moment of the control attachment strap about the shoulder: pull times moment arm.

    Parameters
    ----------
    pull : Pull
        What the mechanics found.

    Returns
    -------
    float
        Moment that works against arm flexion [N m].

    Examples
    --------
    >>> from controlkit.mechanics import SingleControl, Wearer, figure_of_eight
    >>> strap_moment(SingleControl(figure_of_eight(Wearer.average("male"))).at())
    0.0
    """
    return pull.harness_force * pull.moment_arm


def strap_verdicts(setting: Values, motion: Motion, pull: Pull, units: Units) -> tuple[Verdict, ...]:
    """Judge the goals of the lab.

    Parameters
    ----------
    setting : mapping
        The setting [SI].
    motion : Motion
        Flexion of the arm in it.
    pull : Pull
        What the mechanics found at the angle on show.
    units : str
        "metric" or "inch-pound".

    Returns
    -------
    tuple of Verdict
        One a goal.
    """
    flexion, moment = float(pull.pose.arm_flexion), strap_moment(pull)
    on_the_way = motion.arm_flexion <= _WAY_UP + _NEAR
    ajar = float(motion.opening[on_the_way].max())
    alone = float(setting["scapular_abduction"]) < _NEAR
    full = (pull.limited_by == "nothing", f"the hook opens {show(pull.opening, 'length', units)}, not fully")
    written = show(moment, "moment", units)

    def flexed(most: float) -> tuple[bool, str]:
        return flexion <= most + _NEAR, f"the arm is flexed {show(flexion, 'angle', units, 0)}"

    return (
        judged(
            full,
            flexed(_BOWL_ANGLE),
            (moment <= _BOWL_MOMENT + _WRITTEN, f"the moment of the strap is {written}"),
            (float(setting["control_strap"]) > -_NEAR, "the control attachment strap is taken in"),
            (alone, "a scapula helps"),
        ),
        judged(
            full,
            flexed(_SPOON_ANGLE),
            (moment <= _SPOON_MOMENT + _WRITTEN, f"the moment of the strap is {written}"),
            (ajar <= _AJAR, f"on the way up it opens {show(ajar, 'length', units)}"),
        ),
    )


def strap_answers(
    setting: Values, pull: Pull, before: Callable[[Values], Pull], units: Units
) -> tuple[Answer | None, ...]:
    """Answer the predictions, where a setting decides them.

    Parameters
    ----------
    setting : mapping
        The setting [SI].
    pull : Pull
        What the mechanics found in it.
    before : callable
        What it finds in the setting of the question.
    units : str
        "metric" or "inch-pound".

    Returns
    -------
    tuple of Answer or None
        One a question.
    """
    fitted = {name: getattr(Harness, name) for name in ("ring_to_sound_side", "crossbar", "control_strap")}
    as_asked = stands(
        setting, **fitted, arm_flexion=_FLEXED, scapular_abduction=0.0, biscapular=False, cross_back=False
    )
    if not as_asked or float(setting["ring_below_c7"]) < _LOWERED - _NEAR:
        return None, None
    high = before({**setting, "ring_below_c7": Harness.ring_below_c7})
    arms = [one.moment_arm for one in (high, pull)]
    pulls = [_SAME_MOMENT / arm for arm in arms]
    grown = " before, ".join(show(arm, "length", units) for arm in arms)
    more = {"more": f"{_FURTHER}, so the same flexion lengthens its path by more."}
    less = {"less": f"{_FURTHER} (moment arm {grown} after), so less pull makes the same moment."}
    captured = [one.excursion.captured for one in (high, pull)]
    return (
        more_or_less("Captured", *captured, kind="length", units=units, why=more),
        more_or_less("Pull of the strap", *pulls, kind="force", units=units, why=less),
    )
