"""Sentences about body control motions: what each gives, and what the pull costs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from controlkit.draw.page.kept import kept
from controlkit.draw.words.effort import cable_share_words, shoulder_share_words
from controlkit.draw.words.ledger import at_rest_words
from controlkit.draw.words.pull import Units, degrees, joined
from controlkit.mechanics.harness.patterns.eight import FORK_INNER, FORK_OUTER
from controlkit.sources import SourcedValue, source
from controlkit.units import show

if TYPE_CHECKING:
    from controlkit.mechanics import Pull, SingleControl
    from controlkit.mechanics.chain.motions import Apart, Share

__all__ = ["carried", "cost_words", "motion_words", "published"]


def published(share: Share) -> tuple[SourcedValue, ...]:
    """Find the published excursions to lay beside a motion.

    Parameters
    ----------
    share : Share
        A motion made alone.

    Returns
    -------
    tuple of SourcedValue
        Empty where none is known.
    """
    if share.motion == "arm_flexion":
        names = ["arm_flexion_excursion" if share.angle > 0 else "arm_extension_excursion"]
    elif share.motion == "shoulder_elevation" and share.angle > 0:
        names = ["shrug_excursion"]
    else:
        names = []
    return tuple(source(name) for name in names)


def carried(pull: Pull) -> dict[str, float]:
    """What each strap carries; the legs of an inverted Y go with the strap that divides into them.

    Parameters
    ----------
    pull : Pull
        What the mechanics found for one pose.

    Returns
    -------
    dict of float
        Tensions by name [N].
    """
    return {name: tension for name, tension in pull.strap_tension.items() if name not in (FORK_INNER, FORK_OUTER)}


@kept(4)
def motion_words(apart: Apart, system: SingleControl, units: Units = "both") -> str:
    """Say what the motions give alone and together, where the device goes, and what the pull costs.

    Parameters
    ----------
    apart : Apart
        The pose, taken apart.
    system : SingleControl
        The system that was asked.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        A few sentences.
    """

    def written(value: float, digits: int = 1) -> str:
        return show(value, "length", units, digits)

    said, three, pull = [], apart.pull.excursion, apart.pull
    for share in apart.shares:
        given, way = share.generated, f"and moves the device {written(share.moved, digits=0)}"
        verb = f"gives {written(given)}" if given > 0.0005 else f"slackens the strap by {written(abs(given))}"
        verb = "gives nothing" if abs(given) <= 0.0005 else verb
        said.append(f"{share.name.capitalize()} of {degrees(abs(share.angle))} alone {verb} at the cable {way}.")
    if not said:
        said.append("No motion is made: the arm hangs.")
    if len(apart.shares) > 1:
        said.append(f"Added up that is {written(apart.summed)}; made together they give {written(three.generated)}.")
    said += [rest] if (rest := at_rest_words(pull, units)) else []
    said.append(
        f"The harness captures {written(three.captured)}; full opening requires {written(three.required)}. "
        f"The device opens {written(pull.opening)}."
    )
    said.append(cost_words(pull, system, units))
    known = [
        f"{value.what[0].lower()}{value.what[1:]} {written(value.si)} ± {written(value.si_sd)}"
        for one in apart.shares
        for value in published(one)
    ]
    if known:
        unclear = "in which pose, how they were measured, and where the strap was anchored, is unclear"
        said.append(f"Published for the motion alone: {joined(known)}; {unclear}.")
    return " ".join(said)


@kept(4)
def cost_words(pull: Pull, system: SingleControl, units: Units = "both") -> str:
    """Say what the straps carry, and what shares of the wearer's strength a pull takes.

    Parameters
    ----------
    pull : Pull
        What the mechanics found for one pose.
    system : SingleControl
        The system that was asked.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        Part of `motion_words`.
    """
    straps = joined([f"{name} {show(tension, 'force', units, 1)}" for name, tension in carried(pull).items()])
    shares = cable_share_words(pull, system.strength, units), shoulder_share_words(pull, units)
    return " ".join((f"Straps carry: {straps}.", *shares))
