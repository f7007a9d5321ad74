"""What the device lab asks: goals for a grip, and predictions about bands, pull and object."""

from __future__ import annotations

from controlkit.draw.words.effort import percent
from controlkit.labs.asked import FORCE_ROUNDED, LENGTH_ROUNDED, MORE_OR_LESS, judged, limit, more_or_less, stands
from controlkit.labs.controls import Values
from controlkit.labs.page import Answer, Challenge, Prediction, Units, Verdict
from controlkit.mechanics.device import Device, Holding, hook_opening
from controlkit.units import mm, newton, show

__all__ = ["DEVICE_CHALLENGES", "DEVICE_PREDICTIONS", "device_answers", "device_verdicts"]

_NEAR = 1e-6
_STRENGTH = newton(140.0)
_CUP, _TUG, _CUP_GRIP, _CUP_SHARE = mm(60.0), newton(10.0), newton(12.0), 0.33
_JAR, _JAR_GRIP, _JAR_SHARE = mm(40.0), newton(25.0), 0.40
_BANDS, _PENCIL, _ABOUT = 3.0, mm(7.0), mm(1.0)


def _cup(units: Units) -> str:
    return (
        f"A cup {limit(_CUP, 'length', units)} wide is gripped with {limit(_CUP_GRIP, 'force', units)} or more "
        f"while {limit(_TUG, 'force', units)} pull at the device inadvertently. A strongest pull of "
        f"{limit(_STRENGTH, 'force', units)} is enough, and opening takes {percent(_CUP_SHARE)} of it at most."
    )


def _jar(units: Units) -> str:
    return (
        f"An object {limit(_JAR, 'length', units)} wide or wider stays gripped with "
        f"{limit(_JAR_GRIP, 'force', units)} or more after the cable has been let go. A strongest pull of "
        f"{limit(_STRENGTH, 'force', units)} is enough, and the device asks {percent(_JAR_SHARE)} of it at most."
    )


DEVICE_CHALLENGES = (Challenge("Carry the cup", _cup), Challenge("Let go, and it stays", _jar))
"""Goals of the lab, in the order of `device_verdicts`."""
_HOOK = "Voluntary-opening hook"
DEVICE_PREDICTIONS = (
    Prediction("travel", f"{_HOOK}: from three bands to six. Cable travel that opens it fully:", MORE_OR_LESS),
    Prediction(
        "inadvertent",
        f"{_HOOK}, three bands, a cup 60 mm (2.4 in) wide. An inadvertent pull of 10 N (2.2 lbf) comes on the cable. "
        "Grip:",
        MORE_OR_LESS,
    ),
    Prediction(
        "width",
        f"{_HOOK}, three bands, no pull. Instead of the cup 60 mm (2.4 in) wide it holds a pencil of 7 mm (0.3 in). "
        "Grip:",
        MORE_OR_LESS,
    ),
)
"""Questions of the lab, in the order of `device_answers`."""

_TRAVEL = {"the same": "Lever and fingers set the travel; bands change only how hard the cable must pull."}
_TUGGED = {"less": "The cable pulls the fingers open against the bands, so less of the bands' force is left to grip."}
_THIN = {"less": "The less the fingers stand open, the less the bands are stretched."}


def device_verdicts(setting: Values, held: Holding, at_harness: float, units: Units) -> tuple[Verdict, ...]:
    """Judge the goals of the lab.

    Parameters
    ----------
    setting : mapping
        The setting [SI].
    held : Holding
        The device with its object.
    at_harness : float
        What working the device asks at the harness [N].
    units : str
        "metric" or "inch-pound".

    Returns
    -------
    tuple of Verdict
        One a goal.
    """
    width, pull, strength = (float(setting[name]) for name in ("width", "pull", "strength"))
    share = at_harness / strength
    wide = f"the object is {show(width, 'length', units, 0)} wide"
    gripped = f"the grip is {show(held.grip, 'force', units)}"
    strong = strength <= _STRENGTH + FORCE_ROUNDED, f"the strongest pull is {show(strength, 'force', units, 0)}"
    asks = f"{percent(share)} of the strongest pull is asked for"
    tugged = pull >= _TUG - FORCE_ROUNDED and not setting["let_go"]
    return (
        judged(
            (width >= _CUP - LENGTH_ROUNDED, wide),
            (tugged, f"the pull is {show(0.0 if setting['let_go'] else pull, 'force', units, 0)}"),
            (held.grip >= _CUP_GRIP, gripped),
            strong,
            (share <= _CUP_SHARE, asks),
        ),
        judged(
            (width >= _JAR - LENGTH_ROUNDED, wide),
            (bool(setting["let_go"]), "the cable has not been let go"),
            (held.grip >= _JAR_GRIP, gripped),
            strong,
            (share <= _JAR_SHARE, asks),
        ),
    )


def device_answers(setting: Values, device: Device, held: Holding, units: Units) -> tuple[Answer | None, ...]:
    """Answer the predictions, where a setting decides them.

    Parameters
    ----------
    setting : mapping
        The setting [SI].
    device : Device
        Its device.
    held : Holding
        The device with its object.
    units : str
        "metric" or "inch-pound".

    Returns
    -------
    tuple of Answer or None
        One a question.
    """
    if not stands(setting, device="hook-opening", friction=0.0, let_go=False):
        return None, None, None
    bands, width, pull = (float(setting[name]) for name in ("bands", "width", "pull"))
    before = hook_opening(round(_BANDS))
    travel = tugged = thin = None
    if bands >= 2.0 * _BANDS - _NEAR:
        ways = before.travel, device.travel
        travel = more_or_less("Travel for full opening", *ways, kind="length", units=units, why=_TRAVEL)
    if bands == _BANDS and abs(width - _CUP) <= _ABOUT and pull >= _TUG - FORCE_ROUNDED:
        said = ("without the pull", "with it")
        tugged = more_or_less("Grip", before.pinch(width), held.grip, kind="force", units=units, said=said, why=_TUGGED)
    if bands == _BANDS and stands(setting, pull=0.0) and width <= _PENCIL + _ABOUT:
        said = ("on the cup", "on the pencil")
        thin = more_or_less("Grip", before.pinch(_CUP), held.grip, kind="force", units=units, said=said, why=_THIN)
    return travel, tugged, thin
