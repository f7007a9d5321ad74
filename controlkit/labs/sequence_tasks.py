"""What the sequence lab asks: errands to be done, and predictions about the cable's travel and the grip."""

from __future__ import annotations

from collections.abc import Sequence

from controlkit.labs.asked import LENGTH_ROUNDED, MORE_OR_LESS, judged, limit, more_or_less, stands
from controlkit.labs.controls import Values
from controlkit.labs.page import Answer, Challenge, Prediction, Units, Verdict
from controlkit.mechanics.device import Device
from controlkit.mechanics.sequence import OperatingSequence, Situation, Taken
from controlkit.mechanics.sequence.amounts import CLEARANCE
from controlkit.units import mm, newton, show

__all__ = ["SEQUENCE_CHALLENGES", "SEQUENCE_PREDICTIONS", "sequence_answers", "sequence_verdicts"]

_NEAR = 1e-6
_CORK, _BALL, _TUG = mm(25.0), mm(45.0), newton(10.0)


def _errand(units: Units) -> str:
    del units
    return (
        "Take the object to the mouth, put it back and return: without one step too many, and without being told "
        "which steps are right."
    )


def _rest(units: Units) -> str:
    return (
        f"With a device that the cable closes, hold an object {limit(_BALL, 'length', units)} wide or wider at the "
        "mouth while the cable is slack. Nothing goes wrong on the way."
    )


SEQUENCE_CHALLENGES = (Challenge("There and back", _errand), Challenge("Rest at the mouth", _rest))
"""Goals of the lab, in the order of `sequence_verdicts`."""
_WIDER = "instead of a cork 25 mm (1 in) wide, a ball of 45 mm (1.8 in)."
SEQUENCE_PREDICTIONS = (
    Prediction("opening", f"Hook that the cable opens: {_WIDER} Cable travel to take it:", MORE_OR_LESS),
    Prediction("closing", f"Hook that the cable closes: {_WIDER} Cable travel to take it:", MORE_OR_LESS),
    Prediction(
        "grip",
        "The hook that the cable opens holds a glass 45 mm (1.8 in) wide, and 10 N (2.2 lbf) pull at it. Grip:",
        MORE_OR_LESS,
    ),
)
"""Questions of the lab, in the order of `sequence_answers`."""

_WAYS = {
    "more": "The cable opens this hook, and it must open past the object before it closes on it.",
    "less": "This hook stands open until the cable closes it, and on a wider object it has less far to close.",
}
_TUGGED = {"less": "The cable pulls the fingers open against the bands, so less of the bands' force is left to grip."}


def sequence_verdicts(
    setting: Values, task: OperatingSequence, taken: Sequence[Taken], state: Situation, *, units: Units
) -> tuple[Verdict, ...]:
    """Judge the goals of the lab.

    Parameters
    ----------
    setting : mapping
        The setting [SI].
    task : OperatingSequence
        The errand.
    taken : sequence of Taken
        The steps so far.
    state : Situation
        How things stand after them.
    units : str
        "metric" or "inch-pound".

    Returns
    -------
    tuple of Verdict
        One a goal.
    """
    width = float(setting["width"])
    wrong = sum(bool(one.consequence) for one in taken)
    told = not setting["tell"], "the lab tells which steps are right"
    few = len(taken) <= len(task.right_order())
    return (
        judged(
            (state.fits(task.goal), "the errand is not done"),
            (few, f"{len(taken)} steps are more than it takes"),
            told,
        ),
        judged(
            (setting["device"] != "opening", "this device is opened by the cable"),
            (width >= _BALL - LENGTH_ROUNDED, f"the object is {show(width, 'length', units, 0)} wide"),
            (state.fits({"arm": "at the mouth", "object": "held"}), "the object is not held at the mouth"),
            (state["cable"] == "slack", "the cable is pulled"),
            (wrong == 0, "something has gone wrong on the way"),
        ),
    )


def sequence_answers(setting: Values, device: Device, units: Units) -> tuple[Answer | None, ...]:
    """Answer the predictions, where a setting decides them.

    Parameters
    ----------
    setting : mapping
        The setting [SI].
    device : Device
        Its device.
    units : str
        "metric" or "inch-pound".

    Returns
    -------
    tuple of Answer or None
        One a question.
    """
    width = float(setting["width"])
    if width < _BALL - _NEAR:
        return None, None, None
    said = ("for the cork", "for the ball")
    clear = CLEARANCE if device.opens else 0.0
    ways = [device.travel_for(one + clear) for one in (_CORK, width)]
    travel = more_or_less("Travel", *ways, kind="length", units=units, said=said, why=_WAYS)
    if stands(setting, device="opening"):
        grips = device.pinch(width), device.pinch(width, _TUG)
        said = ("without the pull", "with it")
        return travel, None, more_or_less("Grip", *grips, kind="force", units=units, said=said, why=_TUGGED)
    return None, travel, None
