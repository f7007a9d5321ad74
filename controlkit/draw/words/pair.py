"""Sentences about two prostheses on one harness: who wears them, and what one side's pull does to the other."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from controlkit.draw.words.pull import SEEN_SLACK, Units, View, degrees, joined, posture_words
from controlkit.draw.words.states import worth_knowing
from controlkit.mechanics.harness.outcomes import SLACK
from controlkit.units import show

if TYPE_CHECKING:
    from controlkit.mechanics.chain.pair import PairControl, PairPull

__all__ = ["apart_pair_words", "crossed_words", "pair_seen_from", "pair_view_words"]

_SEEN = {"back": "from behind", "side": "from the side of the arm that pulls", "front": "from the front"}
_AROUND = (
    "from behind",
    "from behind and the side of the arm that pulls",
    "from the side of the arm that pulls",
    "from the front and the side of the arm that pulls",
    "from the front",
    "from the front and the side of the other arm",
    "from the side of the other arm",
    "from behind and the side of the other arm",
)
_LEVELS = {"transradial": "below", "transhumeral": "above"}


def pair_seen_from(view: View) -> str:
    """Say from where a wearer with two prostheses is seen.

    Parameters
    ----------
    view : str or float
        "back", "side" or "front", or how far the viewer has gone round, from behind towards the arm that pulls [rad].

    Returns
    -------
    str
        For an angle one of eight ways round, with the angle.

    Examples
    --------
    >>> pair_seen_from("side")
    'from the side of the arm that pulls'
    """
    if isinstance(view, str):
        return _SEEN[view]
    turned = float(view) % (2.0 * math.pi)
    return f"{_AROUND[round(turned / (0.25 * math.pi)) % 8]} ({degrees(turned)})"


def pair_view_words(pair: PairControl, pull: PairPull, view: View, units: Units = "both") -> str:
    """Say who is drawn, from where, what is worn and where both arms are.

    Parameters
    ----------
    pair : PairControl
        The pair; it knows the wearer.
    pull : PairPull
        What the mechanics found.
    view : str or float
        As in `pair_seen_from` [rad].
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        A few sentences.
    """
    wearer = pair.harness.wearer
    name = wearer.name or ("a woman" if wearer.sex == "female" else "a man")
    levels = {side: _LEVELS[pair.worn(side).system.harness.wearer.level] for side in ("right", "left")}
    limbs = (
        f"both arms amputated {levels['right']} the elbow"
        if len(set(levels.values())) == 1
        else f"right arm amputated {levels['right']} and left arm {levels['left']} the elbow"
    )
    middle = "sewn cross-point" if pair.harness.layout.sewn else "ring"
    own, other = pull.own.side, pull.other.side
    moved = math.sqrt(float(pull.junction_shift @ pull.junction_shift))
    return (
        f"Seen {pair_seen_from(view)}: {name}, {limbs}, with a prosthesis on either, both harnesses joined on the back "
        f"by a {middle}. On the {own} side, which pulls, {posture_words(pull.pose)}; on the {other} side "
        f"{posture_words(pull.pose.other)}. Dashed parts are hidden by the body.{_slack_words(pull, units)} "
        f"The {middle} has moved {show(moved, 'length', units)} since the harness was put on."
    )


def _slack_words(pull: PairPull, units: Units) -> str:
    """Say which straps bear no pull, and how far those hang."""
    loose = [name for name, pulled in pull.strap_tension.items() if pulled < SLACK and "leg" not in name]
    hung = [name for name in loose if pull.strap_slack[name] >= SEEN_SLACK]
    snug = [name for name in loose if name not in hung]
    said = ""
    if hung:
        each = joined(f"{name} by {show(pull.strap_slack[name], 'length', units, 0)}" for name in hung)
        said = f" Without pull, and drawn slack: {each}."
    return said + (f" Without pull, but snug: {joined(snug)}." if snug else "")


def crossed_words(pull: PairPull, units: Units = "both") -> str:
    """Say what one side's pull does to its own device, and to the other one.

    Parameters
    ----------
    pull : PairPull
        What the mechanics found.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        A few sentences.
    """
    own, other, alone = pull.own, pull.other, pull.alone
    force, travel = (show(pull.crossed_force, "force", units), show(pull.crossed_travel, "length", units))
    said = (
        f"The {own.side} side pulls its cable by {show(own.travel, 'length', units)} with "
        f"{show(own.harness_force, 'force', units)} at the control strap: its device stands open by "
        f"{show(own.opening, 'length', units)}."
    )
    if abs(pull.crossed_force) < SLACK:
        said += f" Nothing crosses over to the {other.side} side's control strap."
    elif pull.crossed_force < 0.0:
        taken = show(-pull.crossed_force, "force", units)
        said += f" It takes {taken} off the {other.side} side's control strap: the crossing goes the other way."
    else:
        said += f" {force} cross over to the {other.side} side's control strap."
    if pull.other_opens:
        said += (
            f" Its cable is drawn by {travel}: its device goes from {show(alone.opening, 'length', units)} to "
            f"{show(other.opening, 'length', units)}."
        )
    elif other.slack >= SEEN_SLACK:
        said += f" There {show(other.slack, 'length', units)} of strap and cable hang loose; its device does not move."
    else:
        said += " Its device does not move."
    if not pull.other_opens:
        said += f" It stands open by {show(other.opening, 'length', units)}."
    if not pull.settled:
        said += " The straps did not settle: the model has no answer here."
    return said + worth_knowing(pull.states, units)


def apart_pair_words(pull: PairPull, pinned: PairPull, units: Units = "both") -> str:
    """Say how a setting differs from the pinned one.

    Parameters
    ----------
    pull, pinned : PairPull
        What the mechanics found for either.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        One sentence.
    """
    return (
        f"Against the pinned setting: own cable {show(pinned.own.travel, 'length', units)} there, "
        f"{show(pull.own.travel, 'length', units)} here; crossing over {show(pinned.crossed_force, 'force', units)} "
        f"there, {show(pull.crossed_force, 'force', units)} here; other device open "
        f"{show(pinned.other.opening, 'length', units)} there, {show(pull.other.opening, 'length', units)} here."
    )
