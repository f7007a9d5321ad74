"""Body control motions as bars: what each gives, where it takes the device, what the pull asks."""

from __future__ import annotations

from typing import TYPE_CHECKING

from controlkit.draw.charts.bars import Bar, Group, bar_scene
from controlkit.draw.charts.effort import shoulder_group
from controlkit.draw.charts.ledger import arrived
from controlkit.draw.page.scene import CHART, Scene
from controlkit.draw.words.effort import percent
from controlkit.draw.words.motion import carried, cost_words, motion_words, published
from controlkit.draw.words.pull import Units
from controlkit.mechanics.chain import HELD, REPEATED
from controlkit.mechanics.harness.layout import CONTROL_STRAP

if TYPE_CHECKING:
    from controlkit.mechanics import Pull, SingleControl
    from controlkit.mechanics.chain.motions import Apart, Share

__all__ = ["motion_bars"]


def motion_bars(
    apart: Apart, *, system: SingleControl, units: Units = "both", size: tuple[float, float] = CHART
) -> tuple[Scene, Scene]:
    """Draw what each motion gives alone and all together, and in a second picture what the pull asks of the wearer.

    Parameters
    ----------
    apart : Apart
        The pose, taken apart.
    system : SingleControl
        The system that was asked; it knows what the wearer can do once.
    units : str
        "metric", "inch-pound" or "both" (which draws in millimetres and newtons).
    size : tuple of float
        Width and height of a picture, in picture points [-].

    Returns
    -------
    tuple of Scene
        Lengths; forces and moment. Each has its words.
    """
    alone = []
    for share in apart.shares:
        span = None
        for value in published(share):
            span = value.si - value.si_sd, value.si + value.si_sd
        alone.append(Bar(_short(share), share.generated, "bar generated", span=span))
    three = apart.pull.excursion
    rows = [
        *alone,
        *([Bar("added up", apart.summed, "bar lost")] if len(alone) > 1 else []),
        *([Bar("together", three.generated, "bar generated")] if len(alone) != 1 else []),
        *arrived(three),
    ]
    ways = [Bar(_short(share), share.moved, digits=0) for share in apart.shares]
    if len(ways) != 1:
        ways.append(Bar("together", apart.moved, digits=0))
    lengths = (
        Group("Excursion generated at the cable [{unit}]", tuple(rows), "length", 0.1),
        Group("How far the device moves through space [{unit}]", tuple(ways), "length", 0.6),
    )
    words = motion_words(apart, system, units)
    return bar_scene("What each motion gives", words, lengths, units, size=size), _cost(
        apart.pull, system, units, size=size
    )


def _cost(pull: Pull, system: SingleControl, units: Units, *, size: tuple[float, float]) -> Scene:
    strength = system.strength.cable
    measured, most = (share * strength for share in REPEATED)
    often = f", {percent(REPEATED[1])}"
    force = (
        Bar("this pull", pull.harness_force, "bar captured", note=f", {percent(pull.cable_share)}"),
        Bar("can be held", HELD * strength, "bar allowed", note=f", {percent(HELD)}"),
        Bar("can be repeated", most, "bar allowed", note=often, span=(measured, most)),
    )
    groups = (
        Group("Force at the harness [{unit}] and share of strongest pull", force, "force", 60.0),
        Group("What the straps carry [{unit}]", _straps(pull), "force", 60.0),
        shoulder_group(pull),
    )
    return bar_scene("What the pull costs", cost_words(pull, system, units), groups, units, size=size)


def _straps(pull: Pull) -> tuple[Bar, ...]:
    return tuple(
        Bar(name.removesuffix(" strap"), tension, "bar captured" if name == CONTROL_STRAP else "bar lost")
        for name, tension in carried(pull).items()
    )


def _short(share: Share) -> str:
    return "same, sound side" if share.motion == "sound_scapular_abduction" else share.name
