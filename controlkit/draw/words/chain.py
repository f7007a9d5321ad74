"""Sentences about the whole chain at a functional position."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from controlkit.draw.words.pull import Units
from controlkit.units import show

if TYPE_CHECKING:
    from controlkit.mechanics import Pull, SingleControl
    from controlkit.mechanics.chain.budgets import Budget

__all__ = ["LOSSES", "TASK_WORDS", "Chain", "chain_words"]

LOSSES: Mapping[str, str] = {
    "ring": "ring travels",
    "tissue": "straps sink in",
    "pad": "pad gives",
    "stretch": "webbing and cable stretch",
    "elbow": "elbow",
    "slack": "slack",
}
"""Where excursion goes, by name in a budget."""
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
        On reaching the position, the shoulder blade left alone.
    pull : Pull
        There, with the shoulder blade where it is now.
    budget : Budget
        Budgets of that pull.
    """

    position: str
    system: SingleControl
    reaching: Pull
    pull: Pull
    budget: Budget

    @property
    def unasked(self) -> float:
        """How far the fingertips move on reaching, although nobody asked [m]."""
        return abs(self.reaching.opening - self.system.device.opening(0.0))


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

    def written(value: float, kind: str = "length") -> str:
        return show(value, kind, units)

    budget, pull = chain.budget, chain.pull
    said = [f"Position: {chain.position}. {_FIRST[budget.runs_out_first]}."]
    said.append(f"The device opens {written(pull.opening)} of {written(chain.system.device.full_opening)}.")
    if chain.unasked > _MOVED:
        said.append(f"On reaching there it opens {written(chain.unasked)} unasked.")
    else:
        said.append("On reaching there it stays shut.")
    said.append(_account(budget, units))
    needed = budget.force_back if budget.task == "hold" else budget.harness_force
    said.append(
        f"Force for full opening, {TASK_WORDS[budget.task]}: {written(needed, 'force')} at the harness, "
        f"{100 * budget.share:.0f} % of strength, where {100 * budget.allowed:.0f} % is allowed."
    )
    return " ".join(said)


def _account(budget: Budget, units: Units) -> str:
    """Say where excursion went, from what was generated to what was captured."""
    ends = f"captured {show(budget.captured, 'length', units)}, required {show(budget.required, 'length', units)}"
    if budget.generated <= 0.0:
        return f"Excursion: the motion slackens the strap by {show(-budget.generated, 'length', units)}; {ends}."
    account = [f"Excursion: generated {show(budget.generated, 'length', units)}"]
    for verb, sign in (("lost:", 1.0), ("added:", -1.0)):
        some = {name: sign * value for name, value in budget.lost.items() if sign * value > 0.0005}
        if some:
            listed = ", ".join(f"{LOSSES[name]} {show(value, 'length', units)}" for name, value in some.items())
            account.append(f"{verb} {listed}")
    return "; ".join([*account, ends]) + "."
