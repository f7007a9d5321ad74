"""What the motion lab asks: goals for a wearer, and predictions about two motions made together."""

from __future__ import annotations

from controlkit.labs.asked import MORE_OR_LESS, judged, limit, more_or_less, stands
from controlkit.labs.controls import Values
from controlkit.labs.page import Answer, Challenge, Prediction, Units, Verdict
from controlkit.mechanics.body.pose import Pose
from controlkit.mechanics.chain.motions import MOTIONS, Apart
from controlkit.mechanics.chain.positions import FORWARD
from controlkit.units import deg, mm, show

__all__ = ["MOTION_CHALLENGES", "MOTION_PREDICTIONS", "motion_answers", "motion_verdicts"]

_NEAR = 1e-6
_BESIDE = mm(230.0)
_AHEAD, _AJAR, _SHRUG, _BACK = mm(390.0), mm(5.0), deg(5.0), deg(-10.0)


def _near_the_body(units: Units) -> str:
    return (
        f"Open the hook fully while the device moves {limit(_BESIDE, 'length', units)} at most. "
        f"Neither scapula goes further forward than {limit(FORWARD, 'angle', units)}."
    )


def _reach_shut(units: Units) -> str:
    return (
        f"Take the device {limit(_AHEAD, 'length', units)} forward or further, with the hook open by "
        f"{limit(_AJAR, 'length', units)} at most. The shoulder rises {limit(_SHRUG, 'angle', units)} at most, "
        f"and the scapula is drawn back {limit(-_BACK, 'angle', units)} at most."
    )


MOTION_CHALLENGES = (Challenge("Work near the body", _near_the_body), Challenge("Reach out, hook shut", _reach_shut))
"""Goals of the lab, in the order of `motion_verdicts`."""

_BEFORE = "Arm flexed 60°, elbow 90°, the device moves along. You add"
_ADDED_UP = "Excursion generated together, against each motion alone and added up:"
MOTION_PREDICTIONS = (
    Prediction("scapula", f"{_BEFORE} 20° of scapular abduction. {_ADDED_UP}", MORE_OR_LESS),
    Prediction("abduction", f"{_BEFORE} arm abduction out to 60°. {_ADDED_UP}", MORE_OR_LESS),
    Prediction("shrug", f"{_BEFORE} a shrug of 20°. {_ADDED_UP}", MORE_OR_LESS),
)
"""Questions of the lab, in the order of `motion_answers`."""
_PASSES = {"more": "further from", "less": "closer to"}
_ADDED = {"scapular_abduction": deg(20.0), "arm_abduction": deg(60.0), "shoulder_elevation": deg(20.0)}


def motion_verdicts(setting: Values, apart: Apart, units: Units) -> tuple[Verdict, ...]:
    """Judge the goals of the lab.

    Parameters
    ----------
    setting : mapping
        The setting [SI].
    apart : Apart
        Its pose, taken apart.
    units : str
        "metric" or "inch-pound".

    Returns
    -------
    tuple of Verdict
        One a goal.
    """
    pull, moved = apart.pull, apart.moved
    opens = show(pull.opening, "length", units)
    way, ahead = (show(value, "length", units, 0) for value in (moved, apart.forward))
    own, sound = float(setting["scapular_abduction"]), float(setting["sound_scapular_abduction"])
    forward, rises = max(own, sound), float(setting["shoulder_elevation"])
    return (
        judged(
            (pull.limited_by == "nothing", f"the hook opens {opens}, not fully"),
            (moved <= _BESIDE, f"the device moves {way}"),
            (forward <= FORWARD + _NEAR, f"a scapula is {show(forward, 'angle', units, 0)} forward"),
        ),
        judged(
            (apart.forward >= _AHEAD, f"the device is {ahead} forward"),
            (pull.opening <= _AJAR, f"the hook opens {opens}"),
            (rises <= _SHRUG + _NEAR, f"the shoulder rises {show(rises, 'angle', units, 0)}"),
            (own >= _BACK - _NEAR, f"the scapula is drawn back {show(-own, 'angle', units, 0)}"),
        ),
    )


def motion_answers(setting: Values, apart: Apart, units: Units) -> tuple[Answer | None, ...]:
    """Answer the predictions, where a setting decides them.

    Parameters
    ----------
    setting : mapping
        The setting [SI].
    apart : Apart
        Its pose, taken apart.
    units : str
        "metric" or "inch-pound".

    Returns
    -------
    tuple of Answer or None
        One a question.
    """
    rest = Pose()
    flexed: Values = {
        "arm_flexion": deg(60.0),
        "elbow_flexion": deg(90.0),
        "sound_scapular_abduction": 0.0,
        "device": "moves",
    }
    found: list[Answer | None] = []
    for added, least in _ADDED.items():
        others = {name: getattr(rest, name) for name in _ADDED if name != added}
        if stands(setting, **flexed, **others) and float(setting[added]) >= least - _NEAR:
            both = apart.summed, apart.pull.excursion.generated
            said = ("added up", "together")
            why = _why(apart, added, units)
            found.append(more_or_less("Generated", *both, kind="length", units=units, said=said, why=why))
        else:
            found.append(None)
    return tuple(found)


def _why(apart: Apart, added: str, units: Units) -> dict[str, str]:
    """Why two motions together give more or less than each alone: what arm flexion gives, alone and with the other."""
    alone = {share.motion: share.generated for share in apart.shares}
    if not {"arm_flexion", added} <= alone.keys():
        return {}
    gives = alone["arm_flexion"], apart.pull.excursion.generated - alone[added]
    first, then = (show(one, "length", units) for one in gives)
    start = f"Arm flexion gives {first} alone, {then} with {MOTIONS[added]}: the strap then passes"
    return {name: f"{start} {way} the centre of the shoulder." for name, way in _PASSES.items()}
