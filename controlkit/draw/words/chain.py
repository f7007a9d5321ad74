"""Sentences about the whole chain at a functional position."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from controlkit.draw.words.effort import percent, shoulder_share_words
from controlkit.draw.words.held import held_words
from controlkit.draw.words.ledger import TAKEN_IN, WRITTEN, loss_words
from controlkit.draw.words.pull import Units
from controlkit.mechanics.chain.motions import device_moved
from controlkit.units import show

if TYPE_CHECKING:
    from controlkit.mechanics import Excursion, Pull, SingleControl
    from controlkit.mechanics.chain.budgets import Budget

__all__ = ["TASK_WORDS", "Chain", "chain_words", "effort_words", "needed", "place_words"]

TASK_WORDS: Mapping[str, str] = {"once": "once", "repeat": "many times a day", "hold": "held for long"}
"""How the device is opened, by name of a task of `budget`."""
_FIRST = {
    "excursion": "Excursion runs out first",
    "force": "Force runs out first",
    "neither": "Neither budget runs out",
}
_MOVED = 0.001  # an opening smaller than a strip of paper is none [m]


@dataclass(frozen=True, eq=False, kw_only=True)
class Chain:
    """A chain at one position.

    Parameters
    ----------
    position : str
        Name of the position.
    system : SingleControl
        Harness, cable, device and strength.
    reaching : Pull
        On reaching the position, no scapula moved.
    pull : Pull
        There, with the scapulae where they are now.
    budget : Budget
        Budgets of that pull.
    held : bool
        Whether the device was held where reaching had brought it.
    missed : float
        How far it could not be held there [m].
    """

    position: str
    system: SingleControl
    reaching: Pull
    pull: Pull
    budget: Budget
    held: bool = True
    missed: float = 0.0

    @property
    def inadvertent(self) -> float:
        """How far the fingertips move on reaching, not on command [m]."""
        return abs(self.reaching.opening - self.system.device.opening(0.0))


def place_words(position: str) -> str:
    """Name a position within a sentence.

    Parameters
    ----------
    position : str
        Name of a functional position.

    Returns
    -------
    str
        With its article, unless it says where it is by itself.

    Examples
    --------
    >>> place_words("mouth"), place_words("behind the back")
    ('the mouth', 'behind the back')
    """
    return position if " the " in position else f"the {position}"


def chain_words(chain: Chain, units: Units = "both") -> str:
    """Say what opens, what was lost, and which budget runs out first.

    Parameters
    ----------
    chain : Chain
        The chain at its position.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        A few sentences.
    """

    def written(value: float) -> str:
        return show(value, "length", units)

    budget, pull = chain.budget, chain.pull
    said = [f"Position: {chain.position}. {_FIRST[budget.runs_out_first]}."]
    said.append(f"The device opens {written(pull.opening)} of {written(chain.system.device.full_opening)}.")
    if chain.inadvertent > _MOVED:
        said.append(f"On reaching there it opens {written(chain.inadvertent)} inadvertently.")
    else:
        said.append("On reaching there it stays shut.")
    if chain.held:
        said.append(held_words(chain.reaching.pose, pull.pose, chain.missed, units))
    elif pull.pose != chain.reaching.pose:
        way = device_moved(chain.system.harness.wearer, pull.pose, chain.reaching.pose)
        said.append(f"The scapula carries the device {show(way, 'length', units, 0)} along.")
    said.append(_account(pull.excursion, units))
    said.append(effort_words(chain, units))
    return " ".join(part for part in said if part)


def effort_words(chain: Chain, units: Units = "both") -> str:
    """Say what force full opening needs at the harness, and what the shoulder bears.

    Parameters
    ----------
    chain : Chain
        The chain at its position.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        The last sentences of `chain_words`.
    """
    budget = chain.budget
    strongest = show(chain.system.strength.cable, "force", units)
    force = (
        f"Force for full opening, {TASK_WORDS[budget.task]}: {show(needed(budget), 'force', units)} at the harness, "
        f"{percent(budget.cable_share)} of the wearer's strongest pull of {strongest}, "
        f"where {percent(budget.allowed)} is allowed."
    )
    return f"{force} {shoulder_share_words(chain.pull, units)}"


def needed(budget: Budget) -> float:
    """What the task of a budget takes at the harness.

    Parameters
    ----------
    budget : Budget
        Budgets of a pose.

    Returns
    -------
    float
        To open the device fully, or to keep it there [N].

    Examples
    --------
    >>> from controlkit.mechanics import SingleControl, Wearer, figure_of_eight
    >>> from controlkit.mechanics.chain import budget
    >>> system = SingleControl(figure_of_eight(Wearer.average("male")))
    >>> open_it, keep_it = (needed(budget(system, system.at(), task)) for task in ("repeat", "hold"))
    >>> keep_it < open_it
    True
    """
    return budget.force_back if budget.task == "hold" else budget.harness_force


def _account(excursion: Excursion, units: Units) -> str:
    """Say where excursion came from and where it went, to what was captured."""

    def written(value: float) -> str:
        return show(value, "length", units)

    ends = f"captured {written(excursion.captured)}, required {written(excursion.required)}"
    if excursion.at_rest > WRITTEN:
        ends = f"open at rest by {written(excursion.at_rest)} of travel, {ends}"
    added = {TAKEN_IN: excursion.taken_in}
    added |= {loss_words(name, lost): -lost for name, lost in excursion.lost.items() if lost < 0.0}
    lost = {loss_words(name, lost): lost for name, lost in excursion.lost.items()}
    start = excursion.generated
    account = [f"the motion slackens the strap by {written(-start)}" if start <= 0.0 else f"generated {written(start)}"]
    for verb, rows in (("added:", added), ("lost:", lost)):
        some = [f"{name} {written(value)}" for name, value in rows.items() if value > 0.0005]
        if some:
            account.append(f"{verb} {', '.join(some)}")
    return f"Excursion: {'; '.join([*account, ends])}."
