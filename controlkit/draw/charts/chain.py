"""The whole chain at a functional position: where excursion and force go, and what the device does."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from controlkit.draw.charts.bars import Group, Row, bars
from controlkit.draw.page.scene import Scene
from controlkit.draw.words.pull import Units
from controlkit.units import show

if TYPE_CHECKING:
    from controlkit.mechanics import Pull, SingleControl
    from controlkit.mechanics.chain import Budget

__all__ = ["Chain", "chain_bars", "chain_words"]

_LOST = {"ring": "ring moves", "stretch": "stretch", "elbow": "elbow", "slack": "slack"}
_TASKS = {"once": "once", "repeat": "many times a day", "hold": "held for long"}
_FIRST = {
    "excursion": "Excursion runs out first",
    "force": "Force runs out first",
    "neither": "Neither budget runs out",
}
_MOVED = 0.001  # an opening smaller than a strip of paper is none [m]


@dataclass(frozen=True, eq=False)
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


def chain_bars(chain: Chain, units: Units = "both") -> Scene:
    """Draw the budgets of a chain as bars, from what there is to what is needed.

    Parameters
    ----------
    chain : Chain
        The chain at its position.
    units : str
        "metric", "inch-pound" or "both" (which draws in millimetres and newtons).

    Returns
    -------
    Scene
        The drawing with its words.
    """
    inch = units == "inch-pound"
    system: Units = "inch-pound" if inch else "metric"
    long, strong = ("in", 0.0254) if inch else ("mm", 0.001), ("lbf", 4.4482216) if inch else ("N", 1.0)
    budget, strength = chain.budget, chain.system.strength

    def row(name: str, start: float, end: float, style: str, kind: str = "length", extra: str = "") -> Row:
        size = long[1] if kind == "length" else strong[1]
        return Row(name, start / size, end / size, show(end - start, kind, system) + extra, style)

    left = budget.generated
    excursion = [row("generated", 0.0, left, "bar generated")]
    for name, words in _LOST.items():
        excursion.append(row(words, left, left - budget.lost[name], "bar lost"))
        left -= budget.lost[name]
    excursion.append(row("captured", 0.0, budget.captured, "bar captured"))
    excursion.append(row("required", 0.0, budget.required, "bar required"))
    held = budget.task == "hold"
    needed = budget.force_back if held else budget.harness_force
    allowed = budget.allowed * strength
    force = [
        row("device, fully open", 0.0, budget.device_force, "bar plain", "force"),
        row("friction", budget.device_force, needed, "bar lost", "force"),
        row("at the harness", 0.0, needed, "bar captured", "force", f", {100 * budget.share:.0f} %"),
        row("allowed", 0.0, allowed, "bar allowed", "force", f", {100 * budget.allowed:.0f} %"),
    ]
    opening = [
        row("full", 0.0, chain.system.device.full_opening, "bar required"),
        row("unasked", 0.0, chain.unasked, "bar lost"),
        row("now", 0.0, chain.pull.opening, "bar captured"),
    ]
    groups = (
        Group(f"Excursion: there is, is lost, arrives [{long[0]}]", tuple(excursion), 0.1 / long[1]),
        Group(f"Force: full opening {_TASKS[budget.task]} [{strong[0]}]", tuple(force), 60.0 / strong[1]),
        Group(f"Opening [{long[0]}]", tuple(opening), 0.09 / long[1]),
    )
    return bars(f"Budgets: {chain.position}", chain_words(chain, units), groups)


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
        f"Force for full opening, {_TASKS[budget.task]}: {written(needed, 'force')} at the harness, "
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
            listed = ", ".join(f"{_LOST[name]} {show(value, 'length', units)}" for name, value in some.items())
            account.append(f"{verb} {listed}")
    return "; ".join([*account, ends]) + "."
