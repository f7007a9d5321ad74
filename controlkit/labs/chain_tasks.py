"""What the chain lab asks: goals at mouth and fly, and predictions about inadvertent opening, straps and bands."""

from __future__ import annotations

from collections.abc import Callable

from controlkit.draw.words.chain import Chain, place_words
from controlkit.labs.asked import MORE_OR_LESS, judged, limit, more_or_less, stands
from controlkit.labs.controls import Values
from controlkit.labs.page import Answer, Challenge, Prediction, Units, Verdict
from controlkit.mechanics import Harness
from controlkit.units import deg, mm, show

__all__ = ["CHAIN_CHALLENGES", "CHAIN_PREDICTIONS", "chain_answers", "chain_verdicts"]

_NEAR = 1e-6
_BISCUIT, _BANDS, _FORWARD = mm(8.0), 3.0, deg(20.0)
_ZIP, _FLY_AJAR = mm(60.0), mm(1.0)
_LET_OUT, _EASED, _MORE_BANDS = mm(15.0), mm(20.0), 5.0


def _mouth(units: Units) -> str:
    return (
        f"At the mouth: the hook opens by {limit(_BISCUIT, 'length', units)} at most inadvertently, and fully on "
        f"command with {_FORWARD_WORDS} of scapular abduction or less. "
        f"It keeps {_BANDS:.0f} bands or more, and has no fault."
    )


def _fly(units: Units) -> str:
    return (
        f"At the fly: the hook opens by {limit(_ZIP, 'length', units)} or more on command, with {_FORWARD_WORDS} of "
        f"scapular abduction or less, the device held. Inadvertently it opens by "
        f"{limit(_FLY_AJAR, 'length', units)} at most. It keeps {_BANDS:.0f} bands or more, and has no fault."
    )


_FORWARD_WORDS = limit(_FORWARD, "angle", "metric")
CHAIN_CHALLENGES = (Challenge("A biscuit at the mouth", _mouth), Challenge("Close the fly", _fly))
"""Goals of the lab, in the order of `chain_verdicts`."""
CHAIN_PREDICTIONS = (
    Prediction("mouth", "The hook is brought from table to mouth, nothing is commanded. It stands open:", MORE_OR_LESS),
    Prediction(
        "fly",
        "At the fly, both scapulae at 20°, the device held. The control attachment strap is let out by 15 mm (0.6 in). "
        "The hook opens:",
        MORE_OR_LESS,
    ),
    Prediction(
        "ease",
        "There, the control attachment strap snug, the anterior support strap is let out by 20 mm (0.8 in) instead. "
        "The hook opens:",
        MORE_OR_LESS,
    ),
    Prediction("bands", "From three rubber bands to five. Cable travel for full opening:", MORE_OR_LESS),
)
"""Questions of the lab, in the order of `chain_answers`."""

_FLEXED = {"more": "The arm is flexed further there, and arm flexion takes up cable whether it is meant or not."}
_SLACK = {"less": "What is let out must be taken up first, before the cable moves."}
_TRAVEL = {"the same": "Lever and fingers set the travel; bands change only how hard the cable must pull."}


def chain_verdicts(setting: Values, chain: Chain, units: Units) -> tuple[Verdict, ...]:
    """Judge the goals of the lab.

    Parameters
    ----------
    setting : mapping
        The setting [SI].
    chain : Chain
        The chain of it.
    units : str
        "metric" or "inch-pound".

    Returns
    -------
    tuple of Verdict
        One a goal.
    """
    bands, forward = float(setting["bands"]), float(setting["scapular_abduction"])
    opens, ajar = (show(value, "length", units) for value in (chain.pull.opening, chain.inadvertent))
    shared = (
        (forward <= _FORWARD + _NEAR, f"scapular abduction is {show(forward, 'angle', units, 0)}"),
        (bands >= _BANDS - _NEAR, f"the hook has {bands:.0f} band{'s' if bands > 1.5 else ''}"),
        (setting["fault"] == "none", "the set-up has a fault"),
    )
    return (
        judged(
            (chain.position == "mouth", f"this is {place_words(chain.position)}"),
            (chain.inadvertent <= _BISCUIT, f"inadvertently it opens {ajar}"),
            (chain.pull.limited_by == "nothing", f"on command it opens {opens}, not fully"),
            *shared,
        ),
        judged(
            (chain.position == "fly", f"this is {place_words(chain.position)}"),
            (chain.pull.opening >= _ZIP, f"on command it opens {opens}"),
            (chain.inadvertent <= _FLY_AJAR, f"inadvertently it opens {ajar}"),
            (chain.held, "the device is carried along"),
            *shared,
        ),
    )


def chain_answers(
    setting: Values, chain: Chain, at: Callable[[Values], Chain], units: Units
) -> tuple[Answer | None, ...]:
    """Answer the predictions, where a setting decides them.

    Parameters
    ----------
    setting : mapping
        The setting [SI].
    chain : Chain
        The chain of it.
    at : callable
        Finds that of another.
    units : str
        "metric" or "inch-pound".

    Returns
    -------
    tuple of Answer or None
        One a question.
    """
    fitted = stands(setting, ring_below_c7=Harness.ring_below_c7, crossbar=0.55, cross_back=False, fault="none")
    control, support = (float(setting[name]) for name in ("control_strap", "support_strap"))
    mouth = fly = ease = bands = None
    if fitted and stands(setting, position="mouth", control_strap=0.0, support_strap=0.0):
        table = at({**setting, "position": "table"})
        both = table.inadvertent, chain.inadvertent
        said = ("at the table", "at the mouth")
        mouth = more_or_less("Inadvertent opening", *both, kind="length", units=units, said=said, why=_FLEXED)
    if fitted and stands(setting, position="fly", motion="both", scapular_abduction=_FORWARD):
        out = stands(setting, support_strap=0.0) and control >= _LET_OUT - _NEAR
        eased = stands(setting, control_strap=0.0) and support >= _EASED - _NEAR
        if out or eased:
            snug = at({**setting, "control_strap": 0.0, "support_strap": 0.0})
            both = snug.pull.opening, chain.pull.opening
            why = _SLACK if out else _eased(snug, chain, units)
            answer = more_or_less("Opening on command", *both, kind="length", units=units, why=why)
            fly, ease = (answer, None) if out else (None, answer)
    if float(setting["bands"]) >= _MORE_BANDS - _NEAR:
        few = at({**setting, "bands": _BANDS}).pull.excursion.required
        travel = chain.pull.excursion.required
        bands = more_or_less("Travel for full opening", few, travel, kind="length", units=units, why=_TRAVEL)
    return mouth, fly, ease, bands


def _eased(snug: Chain, eased: Chain, units: Units) -> dict[str, str]:
    """Why ease in the anterior support strap opens further, where less is lost by travel of the ring."""
    lost = [one.pull.excursion.lost["ring"] for one in (snug, eased)]
    if lost[1] >= lost[0]:
        return {}
    before, after = (show(one, "length", units) for one in lost)
    why = f"Snug, the anterior support strap pulls the ring along: {before} lost by it before, {after} after."
    return {"more": why}
