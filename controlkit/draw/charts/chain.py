"""The whole chain at a functional position: where excursion and force go, and what the device does."""

from __future__ import annotations

from controlkit.draw.charts.bars import Group, Row, bars
from controlkit.draw.page.scene import Scene
from controlkit.draw.words.chain import LOSSES, TASK_WORDS, Chain, chain_words
from controlkit.draw.words.pull import Units
from controlkit.units import show

__all__ = ["chain_bars"]


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
    for name, words in LOSSES.items():
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
        Group(f"Force: full opening {TASK_WORDS[budget.task]} [{strong[0]}]", tuple(force), 60.0 / strong[1]),
        Group(f"Opening [{long[0]}]", tuple(opening), 0.09 / long[1]),
    )
    return bars(f"Budgets: {chain.position}", chain_words(chain, units), groups)
