"""Sentences about a cable in its housing."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from controlkit.draw.words.effort import percent
from controlkit.draw.words.pull import Units, degrees, joined
from controlkit.draw.words.states import worth_knowing
from controlkit.units import show

if TYPE_CHECKING:
    from controlkit.mechanics import SingleControl
    from controlkit.mechanics.cable import CableLine, Lining

__all__ = ["STROKES", "Stroke", "at_device", "cable_comparison", "force_words", "lining_words", "route_words"]

Stroke = Literal["pulling", "letting back"]

STROKES: dict[str, str] = {
    "pulling": "The small arrow shows the cable sliding towards the harness; friction acts against it.",
    "letting back": "The small arrow shows the cable sliding towards the hook; friction acts against it.",
}

_SAID = ("elbow-gives-slack", "elbow-takes-up")  # what the cable's path has said already
_HIDDEN = 0.0005  # a path that changes less is said to stay the same [m]


def at_device(line: CableLine, pull: float, stroke: Stroke) -> float:
    """Force at the device for a force at the harness [N], while "pulling" or "letting back"."""
    return pull * line.efficiency if stroke == "pulling" else pull / line.efficiency_back


def route_words(line: CableLine, elbow_flexion: float, system: SingleControl, units: Units = "both") -> str:
    """Say who is drawn, and where cable and housing run.

    Parameters
    ----------
    line : CableLine
        What the mechanics found.
    elbow_flexion : float
        The angle that was asked for [rad].
    system : SingleControl
        The system that was asked.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        A few sentences.
    """
    wearer = system.harness.wearer
    name = wearer.name or ("a woman" if wearer.sex == "female" else "a man")
    reached = min(elbow_flexion, line.elbow_limit)
    text = f"Seen from the side: {name}, {wearer.amputated} arm; the elbow is flexed {degrees(reached)}."
    housing = system.cable.housing
    if housing is not None and housing.fixed:
        long = show(housing.long(system.arm_line), "length", units)
        behind = system.elbow_offset
        side = "beside" if behind is None else f"{show(behind, 'length', units)} behind"
        return (
            f"{text} A housing of {long} runs from crossbar to retainer, is held at both and led {side} the elbow axis."
        )
    if housing is not None:
        return f"{text} The housing has come off the retainer; the cable runs free from the crossbar to the hook."
    return f"{text} There is no housing; the cable runs free from the crossbar to the retainer."


def force_words(line: CableLine, pull: float, stroke: Stroke, units: Units = "both") -> str:
    """Say what arrives at the other end, and what the elbow does to the cable.

    Parameters
    ----------
    line : CableLine
        What the mechanics found.
    pull : float
        Force at the harness [N].
    stroke : str
        "pulling" or "letting back".
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        A few sentences.
    """
    harness, device = show(pull, "force", units), show(at_device(line, pull, stroke), "force", units)
    if stroke == "pulling":
        text = f"Pulling: the harness gives {harness}, and {device} arrives at the hook ({percent(line.efficiency)})."
    else:
        text = (
            f"Letting back: with the harness eased to {harness}, the hook pulls with {device} as the cable slides back "
            f"({percent(1.0 / line.efficiency_back)}): friction now helps the harness."
        )
    text += f" All bends add up to {degrees(round(line.bend, 3))}."
    if line.elbow_arm:
        turns = "bend" if line.elbow_arm > 0 else "straighten"
        moment = show(pull * abs(line.elbow_arm), "moment", units)
        text += (
            f" It passes the elbow axis at {show(abs(line.elbow_arm), 'length', units)}, so this pull tends to "
            f"{turns} the elbow with {moment}."
        )
    if abs(line.take_up) > _HIDDEN:
        change = "shorter" if line.take_up < 0 else "longer"
        text += f" Against the straight elbow the cable's path is {show(abs(line.take_up), 'length', units)} {change}."
    elif not line.elbow_arm:
        text += " The cable's path is as long as with the elbow straight."
    return text + worth_knowing((state for state in line.states if state.code not in _SAID), units)


def lining_words(lining: Lining, friction: float, *, worst: float, best: float, units: Units = "both") -> str:
    """Say how far published coefficients let a lining's friction be known.

    Parameters
    ----------
    lining : Lining
        Cable and lining with what was published.
    friction : float
        The coefficient that was set [-].
    worst, best : float
        What arrives at the hook with the highest and the lowest of them [N].
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        One sentence.
    """
    low, high = lining.kinetic
    where = "below" if friction < low - 1e-9 else "above" if friction > high + 1e-9 else "inside"
    return (
        f"Published friction of {lining.name}: {low:g} to {high:g}, with which {show(worst, 'force', units)} to "
        f"{show(best, 'force', units)} would arrive while pulling; {friction:g} lies {where}."
    )


def cable_comparison(line: CableLine, pinned: CableLine, units: Units = "both") -> str:
    """Say how a setting differs from the pinned one.

    Parameters
    ----------
    line, pinned : CableLine
        The setting on show, and the one that was pinned, at the same elbow angle.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        One sentence.
    """
    bend = round(line.bend - pinned.bend, 3)
    points = 100.0 * (line.efficiency - pinned.efficiency)
    longer = line.take_up - pinned.take_up
    parts = [
        f"{degrees(abs(bend))} {'more' if bend > 0 else 'less'} bend" if bend else "the same bend",
        f"{abs(points):.0f} points {'more' if points > 0 else 'less'} efficiency"
        if abs(points) >= 0.5
        else "the same efficiency",
    ]
    if abs(longer) > _HIDDEN:
        parts.append(f"the cable's path {show(abs(longer), 'length', units)} {'longer' if longer > 0 else 'shorter'}")
    return f"Against the pinned setting (thin grey): {joined(parts)}."
