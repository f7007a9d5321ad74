"""What the housing lab asks: goals for a route, and predictions about elbow, liner and housing."""

from __future__ import annotations

from collections.abc import Callable

from controlkit.draw.charts.cable import Bent
from controlkit.draw.words.effort import percent
from controlkit.labs.asked import LENGTH_ROUNDED, MORE_OR_LESS, judged, limit, more_or_less, stands
from controlkit.labs.controls import Values
from controlkit.labs.page import Answer, Challenge, Prediction, Units, Verdict
from controlkit.mechanics import SingleControl
from controlkit.mechanics.cable import CableLine
from controlkit.units import deg, mm, newton, show

__all__ = ["HOUSING_CHALLENGES", "HOUSING_PREDICTIONS", "housing_answers", "housing_verdicts"]

_NEAR = 1e-6
_RUBS, _SPOON, _BENT, _LED = 0.16, 0.62, deg(120.0), deg(20.0)
_EVERYWHERE, _USUAL, _SPARE = 0.54, deg(45.0), mm(5.0)
_STAYS = mm(2.0)


def _spoon(units: Units) -> str:
    bent, led = (limit(angle, "angle", units) for angle in (_BENT, _LED))
    return (
        f"Elbow at {bent} or more, as with a spoon at the mouth: {percent(_SPOON)} of the pull arrives. "
        f"The friction coefficient is {_RUBS} or more, the other bends are {led} or more, and the elbow moves the "
        f"cable by {limit(_STAYS, 'length', units)} at most."
    )


def _everywhere(units: Units) -> str:
    return (
        f"From the straight elbow to 135°, {percent(_EVERYWHERE)} of the pull arrives everywhere. The friction "
        f"coefficient is {_RUBS} or more, the other bends are {limit(_USUAL, 'angle', units)} or more, the "
        f"housing has {limit(_SPARE, 'length', units)} to spare, and the elbow moves the cable by "
        f"{limit(_STAYS, 'length', units)} at most."
    )


HOUSING_CHALLENGES = (Challenge("Spoon to the mouth", _spoon), Challenge("The whole swing", _everywhere))
"""Goals of the lab, in the order of `housing_verdicts`."""
HOUSING_PREDICTIONS = (
    Prediction(
        "arrives", "The elbow bends from 30° to 120°. Of the same pull, what arrives at the hook:", MORE_OR_LESS
    ),
    Prediction(
        "liner",
        "Elbow at 90°. A new liner halves the friction coefficient from 0.16 to 0.08. "
        "Lost on the way now, against half of what was lost before:",
        MORE_OR_LESS,
    ),
    Prediction(
        "bare", "Elbow at 120°. The housing is taken off. Of the same pull, what arrives at the hook:", MORE_OR_LESS
    ),
)
"""Questions of the lab, in the order of `housing_answers`."""
_PULL = newton(50.0)
_SHARED = {
    "more": "Every bit of bend takes its share of what is left, so half the friction costs more than half the loss."
}


def housing_verdicts(setting: Values, line: CableLine, bent: Bent, units: Units) -> tuple[Verdict, ...]:
    """Judge the goals of the lab.

    Parameters
    ----------
    setting : mapping
        The setting [SI].
    line : CableLine
        The cable at the elbow angle on show.
    bent : Bent
        The cable over the whole swing of the elbow.
    units : str
        "metric" or "inch-pound".

    Returns
    -------
    tuple of Verdict
        One a goal.
    """
    friction, bends, spare = (float(setting[name]) for name in ("friction", "fixed_bend", "spare"))
    elbow = min(float(setting["elbow_flexion"]), line.elbow_limit)
    ways = [one.take_up for one in bent.lines]
    moves, least = max(ways) - min(ways), min(one.efficiency for one in bent.lines)
    rubs = friction >= _RUBS - _NEAR, f"the friction coefficient is {friction:.2f}"
    stays = moves <= _STAYS, f"the elbow moves the cable by {show(moves, 'length', units)}"

    def led(least_bends: float) -> tuple[bool, str]:
        return bends >= least_bends - _NEAR, f"the other bends are {show(bends, 'angle', units, 0)}"

    return (
        judged(
            (elbow >= _BENT - _NEAR, f"the elbow stands at {show(elbow, 'angle', units, 0)}"),
            (line.efficiency >= _SPOON, f"{_tenths(line.efficiency)} arrives"),
            rubs,
            led(_LED),
            stays,
        ),
        judged(
            (least >= _EVERYWHERE, f"somewhere only {_tenths(least)} arrives"),
            rubs,
            led(_USUAL),
            (spare >= _SPARE - LENGTH_ROUNDED, f"the housing has {show(spare, 'length', units)} to spare"),
            stays,
        ),
    )


def housing_answers(
    setting: Values, system: SingleControl, at: Callable[[Values], SingleControl], units: Units
) -> tuple[Answer | None, ...]:
    """Answer the predictions, where a setting decides them.

    Parameters
    ----------
    setting : mapping
        The setting [SI].
    system : SingleControl
        The system of it.
    at : callable
        Finds that of another.
    units : str
        "metric" or "inch-pound".

    Returns
    -------
    tuple of Answer or None
        One a question.
    """
    if not stands(setting, side="behind", elbow_offset=mm(10.0), spare=mm(3.0), fixed_bend=deg(45.0)):
        return None, None, None
    angle, held = float(setting["elbow_flexion"]), setting["housing"] == "held"
    line = system.line(angle)
    arrives = liner = bare = None
    if held and angle >= _BENT - _NEAR:
        arriving = [_PULL * one.efficiency for one in (system.line(deg(30.0)), line)]
        what = f"Of {show(_PULL, 'force', units, 0)} arrives"
        turned = _bends(system.line(deg(30.0)), line, ("before", "after"))
        why = {"less": f"{turned} The cable rubs along every bend."}
        arrives = more_or_less(what, *arriving, kind="force", units=units, why=why)
    if held and stands(setting, elbow_flexion=deg(90.0), friction=0.08):
        worn = at({**setting, "friction": 0.16}).line(angle)
        losses = 0.5 * _PULL * (1.0 - worn.efficiency), _PULL * (1.0 - line.efficiency)
        said = ("is half the loss", "is lost now")
        what = f"Of {show(_PULL, 'force', units, 0)}"
        liner = more_or_less(what, *losses, kind="force", units=units, said=said, why=_SHARED)
    if stands(setting, housing="none", elbow_flexion=_BENT):
        covered = at({**setting, "housing": "held"}).line(angle)
        arriving = [_PULL * one.efficiency for one in (covered, line)]
        what, said = f"Of {show(_PULL, 'force', units, 0)} arrives", ("with housing", "without")
        why = {"more": f"{_bends(covered, line, said)} The bare cable cuts across the elbow, and rubs along less."}
        bare = more_or_less(what, *arriving, kind="force", units=units, said=said, why=why)
    return arrives, liner, bare


def _bends(one: CableLine, other: CableLine, said: tuple[str, str]) -> str:
    """All bends of two lines of the cable, side by side."""
    first, then = (show(line.bend, "angle", "metric", 0) for line in (one, other))
    return f"The bends add up to {first} {said[0]}, {then} {said[1]}."


def _tenths(share: float) -> str:
    return f"{100.0 * share:.1f} %"
