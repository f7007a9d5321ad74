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
from controlkit.mechanics.body.held import COMPENSATING
from controlkit.mechanics.chain import HELD, REPEATED
from controlkit.mechanics.harness.layout import CONTROL_STRAP
from controlkit.units import show

if TYPE_CHECKING:
    from controlkit.mechanics import Pull, SingleControl
    from controlkit.mechanics.chain.motions import Apart, Share

__all__ = ["motion_bars"]


def motion_bars(
    apart: Apart, *, system: SingleControl, held: bool = False, units: Units = "both", size: tuple[float, float] = CHART
) -> tuple[Scene, Scene]:
    """Draw what each motion gives alone and all together, and in a second picture what the pull asks of the wearer.

    Parameters
    ----------
    apart : Apart
        The pose, taken apart.
    system : SingleControl
        The system that was asked; it knows what the wearer can do once.
    held : bool
        Whether the device is held: joints that make up for it are not where they were set, so their angles are told.
    units : str
        "metric", "inch-pound" or "both" (which draws in millimetres and newtons).
    size : tuple of float
        Width and height of a picture, in picture points [-].

    Returns
    -------
    tuple of Scene
        Lengths; forces and moment. Each has its words.
    """
    alone = [Bar(_short(share, held=held), share.generated, "bar generated") for share in apart.shares]
    three = apart.pull.excursion
    rows = [
        *alone,
        *([Bar("added up", apart.summed, "bar lost")] if len(alone) > 1 else []),
        *([Bar("together", three.generated, "bar generated")] if len(alone) != 1 else []),
        *arrived(three),
    ]
    ways = [Bar(_short(share, held=held), share.moved, digits=0) for share in apart.shares]
    if len(ways) != 1:
        ways.append(Bar("together", apart.moved, digits=0))
    lengths = (
        Group("Excursion generated at the cable [{unit}]", tuple(rows), "length", 0.1),
        Group("How far the device moves through space [{unit}]", tuple(ways), "length", 0.6),
        *_published(apart),
    )
    words = motion_words(apart, system, units)
    return bar_scene("What each motion gives", words, lengths, units, size=size), _cost(
        apart.pull, system, units, size=size
    )


def _published(apart: Apart) -> tuple[Group, ...]:
    """Published excursions in a group of their own: they are of other people, in a pose that is not told."""
    rows = tuple(
        Bar(_short(share), value.si, "bar lost", digits=0, span=(value.si - value.si_sd, value.si + value.si_sd))
        for share in apart.shares
        for value in published(share)
    )
    heading = "Published for the motion alone, in an unknown pose, ± standard deviation [{unit}]"
    return (Group(heading, rows, "length", 0.1),) if rows else ()


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
        Group(
            "Force at the harness [{unit}], share of strongest pull; whisker: sources disagree",
            force,
            "force",
            60.0,
        ),
        Group("What the straps carry [{unit}]", _straps(pull), "force", 60.0),
        shoulder_group(pull),
    )
    return bar_scene("What the pull costs", cost_words(pull, system, units), groups, units, size=size)


def _straps(pull: Pull) -> tuple[Bar, ...]:
    return tuple(
        Bar(name.removesuffix(" strap"), tension, "bar captured" if name == CONTROL_STRAP else "bar lost")
        for name, tension in carried(pull).items()
    )


def _short(share: Share, *, held: bool = False) -> str:
    if share.motion == "sound_scapular_abduction":
        return "same, sound side"
    makes_up = held and share.motion in COMPENSATING
    return f"{share.name} {show(abs(share.angle), 'angle', 'metric', 0)}" if makes_up else share.name
