"""A body control motion: the wearer who makes it, the way of the device, and what each motion gives."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from controlkit.draw.charts.bars import Group, Row, bars
from controlkit.draw.page.labels import LETTER
from controlkit.draw.page.scene import Arrow, Dot, Label, Scene
from controlkit.draw.wearer.scene import wearer_scene
from controlkit.draw.wearer.worn import posed_joints
from controlkit.draw.words.pull import Units, View, degrees, joined
from controlkit.mechanics.body.outline import project
from controlkit.mechanics.chain import HELD, REPEATED
from controlkit.mechanics.chain.motions import hanging
from controlkit.sources import SourcedValue, source
from controlkit.units import show

if TYPE_CHECKING:
    from controlkit.mechanics import SingleControl
    from controlkit.mechanics.chain.motions import Apart, Share

__all__ = ["motion_bars", "motion_scene", "motion_words", "published"]


def motion_scene(apart: Apart, view: View, *, system: SingleControl, units: Units = "both") -> Scene:
    """Draw the wearer and how far the motions have taken the device.

    Parameters
    ----------
    apart : Apart
        The pose, taken apart.
    view : str
        "back", "side" or "front".
    system : SingleControl
        The system that was asked.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    Scene
        The drawing with its words.
    """
    wearer, pose = system.harness.wearer, apart.pull.pose
    scene = wearer_scene(apart.pull, view, system=system, units=units)
    ends = np.stack([posed_joints(wearer, one)["device"] for one in (hanging(pose), pose)])
    (start, end) = (tuple(point) for point in project(ends, view, wearer.amputated).tolist())
    seen = float(np.hypot(end[0] - start[0], end[1] - start[1]))
    way = show(apart.moved, "length", units, 0)
    items = [*scene.items, Dot(start, 0.012, "ring", "where the device was")]
    if seen > 0.03:
        items.append(Arrow(start, end, "force", "way of the device"))
    low = start[1] - 0.08
    words = f"{scene.words} The device has moved {way} through space."
    if apart.moved > 0.001:
        # beside the trunk, not across its edge
        said = f"device moved {way}"
        anchor = "middle" if view == "side" else "start" if start[0] > 0.0 else "end"
        room = LETTER * scene.frame.text * len(said)
        at = min(max(start[0], scene.frame.left + room), scene.frame.right - room) if view != "side" else start[0]
        items.append(Label((said,), (at, low + 0.02), anchor))
        words += " An open circle marks where it was, and an arrow leads from there to where it is."
    frame = replace(scene.frame, bottom=min(scene.frame.bottom, low), top=max(scene.frame.top, end[1] + 0.02))
    return Scene(scene.title, words, frame, tuple(items))


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

    def written(value: float, kind: str = "length", digits: int = 1) -> str:
        return show(value, kind, units, digits)

    said, three, pull = [], apart.pull.excursion, apart.pull
    for share in apart.shares:
        given, way = share.given, f"and moves the device {written(share.moved, digits=0)}"
        verb = f"gives {written(given)}" if given > 0.0005 else f"slackens the strap by {written(abs(given))}"
        verb = "gives nothing" if abs(given) <= 0.0005 else verb
        said.append(f"{share.name.capitalize()} of {degrees(abs(share.angle))} alone {verb} at the cable {way}.")
    if not said:
        said.append("No motion is made: the arm hangs.")
    if len(apart.shares) > 1:
        said.append(f"Added up that is {written(apart.summed)}; made together they give {written(three.generated)}.")
    said.append(
        f"The harness captures {written(three.captured)}; full opening requires {written(three.required)}. "
        f"The device opens {written(pull.opening)}."
    )
    part = f"{100 * pull.force_share:.0f} % of a strength of {written(system.strength, 'force')}"
    said.append(f"The pull of {written(pull.harness_force, 'force')} is {part} ({pull.fatigue}).")
    known = [
        f"{value.what[0].lower()}{value.what[1:]} {written(value.si)} ± {written(value.si_sd)}"
        for one in apart.shares
        for value in published(one)
    ]
    if known:
        unclear = "how they were measured, and where the strap was anchored, is unclear"
        said.append(f"Published, as whiskers: {joined(known)}; {unclear}.")
    return " ".join(said)


def _short(share: Share) -> str:
    return "same, sound side" if share.motion == "sound_scapular_abduction" else share.name
