"""Body control motions as bars: what each gives, where it takes the device, what the pull asks."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from controlkit.draw.charts.bars import Group, Row, bars
from controlkit.draw.page.scene import Scene
from controlkit.draw.words.motion import motion_words, published
from controlkit.draw.words.pull import Units
from controlkit.mechanics.chain.budgets import HELD, REPEATED
from controlkit.units import show

if TYPE_CHECKING:
    from controlkit.mechanics import SingleControl
    from controlkit.mechanics.chain.motions import Apart, Share

__all__ = ["motion_bars"]


def motion_bars(apart: Apart, *, system: SingleControl, units: Units = "both") -> Scene:
    """Draw what each motion gives alone, what all give together, and what the pull asks of the wearer.

    Parameters
    ----------
    apart : Apart
        The pose, taken apart.
    system : SingleControl
        The system that was asked; it knows the wearer's strength.
    units : str
        "metric", "inch-pound" or "both" (which draws in millimetres and newtons).

    Returns
    -------
    Scene
        The drawing with its words.
    """
    inch = units == "inch-pound"
    long, strong = ("in", 0.0254) if inch else ("mm", 0.001), ("lbf", 4.4482216) if inch else ("N", 1.0)

    def row(name: str, value: float, style: str, kind: str = "length", extra: str = "", digits: int = 1) -> Row:
        size = long[1] if kind == "length" else strong[1]
        note = show(value, kind, "inch-pound" if inch else "metric", digits)
        return Row(name, 0.0, value / size, note + extra, style)

    alone = []
    for share in apart.shares:
        line = row(_short(share), share.given, "bar generated")
        for value in published(share):
            line = replace(line, span=((value.si - value.si_sd) / long[1], (value.si + value.si_sd) / long[1]))
        alone.append(line)
    three = apart.pull.excursion
    rows = [
        *alone,
        *([row("added up", apart.summed, "bar lost")] if len(alone) > 1 else []),
        *([row("together", three.generated, "bar generated")] if len(alone) != 1 else []),
        row("captured", three.captured, "bar captured"),
        row("required", three.required, "bar required"),
    ]
    ways = [row(_short(share), share.moved, "bar plain", digits=0) for share in apart.shares]
    if len(ways) != 1:
        ways.append(row("together", apart.moved, "bar plain", digits=0))
    pull, strength = apart.pull, system.strength
    force = [
        row("this pull", pull.harness_force, "bar captured", "force", f", {100 * pull.force_share:.0f} %"),
        row("can be held", HELD * strength, "bar allowed", "force", f", {100 * HELD:.0f} %"),
        row("can be repeated", REPEATED[1] * strength, "bar allowed", "force", f", {100 * REPEATED[1]:.0f} %"),
    ]
    force[2] = replace(force[2], span=(REPEATED[0] * strength / strong[1], REPEATED[1] * strength / strong[1]))
    groups = (
        Group(f"Excursion generated at the cable [{long[0]}]", tuple(rows), 0.1 / long[1]),
        Group(f"Way of the device through space [{long[0]}]", tuple(ways), 0.6 / long[1]),
        Group(f"Force at the harness [{strong[0]}] and share of strength", tuple(force), 60.0 / strong[1]),
    )
    return bars("What each motion gives, and what it costs", motion_words(apart, system, units), groups)


def _short(share: Share) -> str:
    return "same, sound side" if share.motion == "sound_scapular_abduction" else share.name
