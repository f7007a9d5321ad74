"""Words for where excursion comes from and where it goes: each says which way its row goes."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from controlkit.units import show

if TYPE_CHECKING:
    from controlkit.draw.words.pull import Units
    from controlkit.mechanics import Pull

__all__ = ["TAKEN_IN", "WRITTEN", "at_rest_words", "generated_words", "loss_words"]

TAKEN_IN = "strap taken in"
_LOSSES: Mapping[str, tuple[str, str]] = {
    "ring": ("ring travels", "ring comes back"),
    "tissue": ("straps sink in", "sinking adds"),
    "pad": ("pad gives", "pad comes back"),
    "stretch": ("webbing and cable", "stretch adds"),
    "elbow": ("elbow gives slack", "elbow takes up"),
    "slack": ("slack", "strap goes slack"),
}
WRITTEN = 0.00005
"""A shorter length is written as nought [m]."""


def loss_words(name: str, lost: float) -> str:
    """Name a loss of excursion by what it does.

    Parameters
    ----------
    name : str
        Its name in `Excursion.lost`.
    lost : float
        How much it takes; below zero it adds [m].

    Returns
    -------
    str
        A few words.

    Examples
    --------
    >>> loss_words("elbow", 0.002), loss_words("elbow", -0.002)
    ('elbow gives slack', 'elbow takes up')
    """
    takes, adds = _LOSSES[name]
    return adds if lost < -WRITTEN else takes


def generated_words(generated: float) -> str:
    """Name what a motion gives.

    Parameters
    ----------
    generated : float
        Generated excursion; below zero the motion slackens the strap [m].

    Returns
    -------
    str
        A few words.

    Examples
    --------
    >>> generated_words(0.03), generated_words(-0.02)
    ('generated', 'motion slackens')
    """
    return "motion slackens" if generated < -WRITTEN else "generated"


def at_rest_words(pull: Pull, units: Units = "both") -> str:
    """Say what a strap that is taken in does before any motion.

    Parameters
    ----------
    pull : Pull
        What the mechanics found for one pose.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        Two sentences; empty where no strap draws the device at rest and none is taken in.
    """
    three = pull.excursion
    said = []
    if three.taken_in > WRITTEN:
        said.append(f"Control attachment strap taken in: {show(three.taken_in, 'length', units)}.")
    if three.at_rest > WRITTEN:
        said.append(
            f"The device stands open at rest by {show(pull.opening_at_rest, 'length', units)}; "
            f"still required for full opening: {show(three.still_required, 'length', units)}."
        )
    return " ".join(said)
