"""Sentences about effort: cable share and shoulder share, never one for the other."""

from __future__ import annotations

from typing import TYPE_CHECKING

from controlkit.mechanics.chain.effort import ENDURED, endurance
from controlkit.mechanics.chain.strength import FURTHEST
from controlkit.units import show

if TYPE_CHECKING:
    from controlkit.draw.words.pull import Units
    from controlkit.mechanics import Pull, Strength

__all__ = ["cable_share_words", "percent", "shoulder_share_words"]


def percent(share: float) -> str:
    """Write a share in whole percent.

    Parameters
    ----------
    share : float
        The share [-].

    Returns
    -------
    str
        For instance "18 %".

    Examples
    --------
    >>> percent(0.184)
    '18 %'
    """
    return f"{100.0 * share:.0f} %"


def cable_share_words(pull: Pull, strength: Strength, units: Units = "both") -> str:
    """Say what share of the wearer's strongest pull a pull takes, and what that means over a day.

    Parameters
    ----------
    pull : Pull
        What the mechanics found for one pose.
    strength : Strength
        What the wearer can do once.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        One sentence.
    """
    most = show(strength.cable, "force", units)
    part = f"{percent(pull.cable_share)} of the wearer's strongest pull of {most}"
    return f"Cable share: the pull of {show(pull.harness_force, 'force', units)} is {part} ({pull.fatigue})."


def shoulder_share_words(pull: Pull, units: Units = "both") -> str:
    """Say what straps and weight ask of the shoulder, and how long that can be held still.

    Parameters
    ----------
    pull : Pull
        What the mechanics found for one pose.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        A few sentences.
    """

    def written(moment: float) -> str:
        return show(moment, "moment", units)

    moment = pull.shoulder_moment
    parts = f"all straps {written(moment.of_straps)}, arm and prosthesis by their weight {written(moment.weight)}"
    girdle = "" if _still(pull) else " What the muscles that move the scapula do is not in this share."
    if moment.total <= 0.0:
        return f"Shoulder share: none; {parts}, together no work for the muscles that flex the arm.{girdle}"
    most = written(pull.flexion_strength)
    said = f"Shoulder share: {parts}, together {percent(pull.shoulder_share)} of a flexion moment of {most}"
    if pull.pose.arm_flexion > FURTHEST:
        said += ", reckoned on from what was measured between 0° and 45°"
    return f"{said}. {_held(pull.shoulder_share)}{girdle}"


def _still(pull: Pull) -> bool:
    """Whether the scapula of the amputated side goes only where the arm takes it."""
    return pull.pose.scapular_abduction == pull.pose.shoulder_elevation == 0.0


def _held(share: float) -> str:
    """How long a shoulder holds a share of its moment; sources disagree, so the sentence says what was measured."""
    low, high = ENDURED
    time = endurance(min(share, high))
    if time is not None:
        how = "less than" if share > high else "about"
        return f"As much was kept up for {how} {time / 60.0:.0f} minutes where people held still, without pauses."
    return f"How long less than {percent(low)} can be held still was not measured alike; for ever it cannot."
