"""Sentences about dual control: what is worn on the arm, how hard the wearer pulls, and what lifting finds."""

from __future__ import annotations

from typing import TYPE_CHECKING

from controlkit.draw.words.effort import percent
from controlkit.draw.words.pull import Units
from controlkit.units import show

if TYPE_CHECKING:
    from controlkit.mechanics import DualControl, DualPull

__all__ = ["arm_words", "dual_force_words", "lock_word"]


def lock_word(locked: bool) -> str:
    """Say how the lock stands, in one word."""
    return "locked" if locked else "unlocked"


def arm_words(system: DualControl, pull: DualPull, units: Units = "both") -> str:
    """Say what is worn on the arm above the elbow, and where both housings run.

    Parameters
    ----------
    system : DualControl
        The system.
    pull : DualPull
        What the mechanics found for one pose.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        A few sentences.
    """
    line = system.line
    return (
        f"On the arm: a humeral socket with its base plate and crossbar, a turntable, an elbow unit "
        f"({lock_word(pull.locked)}), a forearm shell, a wrist unit and the device. The first housing runs from the "
        f"base plate to its end on the socket, {show(line.end_above, 'length', units)} above the elbow's axis; from "
        f"there the cable crosses the elbow bare to the lift loop, {show(line.loop_along, 'length', units)} down the "
        f"forearm; the second housing leads it on towards the device. The lateral suspensor and the anterior support "
        f"strap, which has an elastic part, hold the socket up."
    )


def dual_force_words(pull: DualPull, units: Units = "both") -> str:
    """Say how hard the wearer pulls, and with what lever.

    Parameters
    ----------
    pull : DualPull
        What the mechanics found for one pose.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        Two sentences.
    """
    return (
        f"The harness carries {show(pull.harness_force, 'force', units)}: a cable share of "
        f"{percent(pull.cable_share)} ({pull.fatigue}). The control attachment strap's moment arm about arm flexion is "
        f"{show(pull.moment_arm, 'length', units)}."
    )
