"""The whole chain at a functional position: where excursion and force go, and what the device does."""

from __future__ import annotations

from controlkit.draw.charts.bars import Bar, Group, bar_scene
from controlkit.draw.charts.effort import shoulder_group
from controlkit.draw.charts.ledger import ledger
from controlkit.draw.page.scene import CHART, Scene
from controlkit.draw.words.chain import TASK_WORDS, Chain, chain_words, effort_words, needed
from controlkit.draw.words.effort import percent
from controlkit.draw.words.pull import Units

__all__ = ["chain_bars", "chain_parts"]


def chain_bars(chain: Chain, units: Units = "both", *, size: tuple[float, float] = CHART) -> Scene:
    """Draw the budgets of a chain as bars, from what there is to what is needed.

    Parameters
    ----------
    chain : Chain
        The chain at its position.
    units : str
        "metric", "inch-pound" or "both" (which draws in millimetres and newtons).
    size : tuple of float
        Width and height of a picture, in picture points [-].

    Returns
    -------
    Scene
        The drawing with its words.
    """
    excursion, force, shoulder, opening = _groups(chain)
    words = chain_words(chain, units)
    return bar_scene(f"Budgets: {chain.position}", words, (excursion, force, shoulder, opening), units, size=size)


def chain_parts(chain: Chain, units: Units = "both", *, size: tuple[float, float] = CHART) -> tuple[Scene, Scene]:
    """Draw the same bars in two pictures, low enough for a small screen: lengths, and effort.

    Parameters
    ----------
    chain : Chain
        The chain at its position.
    units : str
        "metric", "inch-pound" or "both" (which draws in millimetres and newtons).
    size : tuple of float
        Width and height of a picture, in picture points [-].

    Returns
    -------
    tuple of Scene
        Excursion and opening; force and moment. Each has its words.
    """
    excursion, force, shoulder, opening = _groups(chain)
    return (
        bar_scene(
            f"Budget of excursion: {chain.position}", chain_words(chain, units), (excursion, opening), units, size=size
        ),
        bar_scene(
            f"Budget of force: {chain.position}", effort_words(chain, units), (force, shoulder), units, size=size
        ),
    )


def _groups(chain: Chain) -> tuple[Group, Group, Group, Group]:
    """Excursion, force, shoulder and opening."""
    budget, strength = chain.budget, chain.system.strength.cable
    takes = needed(budget)
    force = (
        Bar("at the device", budget.device_force),
        Bar("friction", takes, "bar lost", start=budget.device_force),
        Bar("at the harness", takes, "bar captured", note=f", {percent(budget.cable_share)}"),
        Bar("allowed", budget.allowed * strength, "bar allowed", note=f", {percent(budget.allowed)}"),
    )
    opening = (
        Bar("full", chain.system.device.full_opening, "bar required"),
        Bar("on reaching", chain.inadvertent, "bar lost"),
        Bar("now", chain.pull.opening, "bar captured"),
    )
    return (
        Group("Excursion: there is, is lost, arrives [{unit}]", ledger(chain.pull.excursion), "length", 0.1),
        Group(f"Force: full opening {TASK_WORDS[budget.task]} [{{unit}}]", force, "force", 60.0),
        shoulder_group(chain.pull),
        Group("Opening [{unit}]", opening, "length", 0.09),
    )
