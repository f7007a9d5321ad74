"""The wearer with the harness on: from behind, from the side, from the front.

The mechanics hands over the skin and the straps; this module chooses
the window, puts nearer parts over farther ones, dashes what the body hides,
and sets the labels in the margins.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from controlkit.draw.figure import body_items
from controlkit.draw.page.labels import cleared, fits, in_margins
from controlkit.draw.page.scene import Item, Scene
from controlkit.draw.wearer.clear import keep_clear
from controlkit.draw.wearer.fittings import has_ring
from controlkit.draw.wearer.forces import force_arrows, force_names, force_scale, ring_forces, ring_words
from controlkit.draw.wearer.lever import lever_items, lever_words
from controlkit.draw.wearer.loads import load_bands
from controlkit.draw.wearer.named import Named, own_side, sideways
from controlkit.draw.wearer.on_arm import Hinges
from controlkit.draw.wearer.seen import SeenHarness
from controlkit.draw.wearer.straps import ghost_items, strap_items
from controlkit.draw.wearer.window import plain_window, scale_bar, wide_window, window
from controlkit.draw.wearer.worn import look
from controlkit.draw.words.dual import arm_words, dual_force_words
from controlkit.draw.words.pull import Units, View, force_words, harness_words, load_words, seen_from, view_words
from controlkit.mechanics import DualControl, DualPull
from controlkit.units import InputError

if TYPE_CHECKING:
    from controlkit.mechanics import Pull, SingleControl, Wearer
    from controlkit.mechanics.chain.dual import LockMotion

__all__ = ["dressed", "person", "wearer_scene"]


def person(wearer: Wearer) -> str:
    """Say in a few words who is drawn."""
    limb = "below" if wearer.level == "transradial" else "above"
    name = wearer.name or ("a woman" if wearer.sex == "female" else "a man")
    return f"{name}, {wearer.amputated} arm amputated {limb} the elbow"


def wearer_scene(
    pull: Pull | DualPull,
    view: View = "back",
    *,
    system: SingleControl | DualControl,
    pinned: Pull | DualPull | None = None,
    forces: bool = False,
    loads: bool = False,
    widest: float = 0.0,
    plain: bool = False,
    wide: bool = False,
    lever: bool = False,
    scale: bool = True,
    hinges: Hinges = "flexible",
    lock: LockMotion | None = None,
    bottom: float = math.inf,
    units: Units = "both",
) -> Scene:
    """Draw a wearer in one pose with all that is worn.

    Parameters
    ----------
    pull : Pull or DualPull
        What the mechanics found for the pose.
    view : str or float
        "back", "side" (the amputated side) or "front", or how far the viewer has gone round the wearer, from behind
        towards the amputated side [rad].
    system : SingleControl or DualControl
        The system that was asked; it knows the wearer.
    pinned : Pull, optional
        An earlier setting, drawn as a thin grey ghost.
    forces : bool
        Whether to draw the forces on the ring, or on what stands in its place.
    loads : bool
        Whether to draw what the straps press on the skin along their course.
    widest : float
        What the widest band of it stands for, where a picture beside this one has more [N/m].
    plain : bool
        Whether to leave out the words in the margins, in a narrow window that stands still while the arm flexes; two
        such pictures stand beside each other, and `legend` tells the straps apart.
    wide : bool
        Whether the window of a plain picture holds the device wherever the arm may bring it.
    lever : bool
        Whether to draw the moment arm of the control attachment strap; only from the side, where it is to scale.
    scale : bool
        Whether to draw the scale; beside another picture to the same scale it is needed once.
    hinges : str
        "flexible" or "rigid": straps, or bars with a joint, on both sides of the elbow.
    lock : LockMotion, optional
        What the strap of the elbow's lock does in the same pose, for it to be drawn; above the elbow alone.
    bottom : float
        How low the window reaches at least, where it has margins [m].
    units : str
        "metric", "inch-pound" or "both", for numbers in labels and words.

    Returns
    -------
    Scene
        The drawing with its words.

    Raises
    ------
    InputError
        If the strap of the lock was found in another pose.
    """
    wearer = system.harness.wearer
    if lock is not None and lock.pose != pull.pose:
        raise InputError(
            given="The strap of the elbow's lock was found in another pose than the other straps.",
            do="Ask lock_motion and dual_pull for the same angles.",
        )
    if plain:
        frame = (wide_window if wide else plain_window)(wearer, pull.pose, view)
    else:
        frame = window(wearer, pull.pose, view)
        frame = replace(frame, bottom=min(frame.bottom, bottom))
    sewn = system.harness.layout.sewn
    harness = harness_words(system.harness.pattern.name, sewn)
    worn = look(system, pull, view, hinges, lock=lock)
    items: list[Item] = [*worn.arm.under, *worn.device_under, *body_items(wearer, pull.pose, view, frame)]
    if pinned is not None:
        items.extend(ghost_items(look(system, pinned, view, hinges)))
    items.extend(dressed(worn, has_ring=has_ring(pull, sewn)))
    if loads:
        items.extend(load_bands(pull, worn, widest))
    drawn = forces and not worn.ring.covered[0]
    pulls = ring_forces(pull, worn.sight) if drawn else {}
    ends = {name: tip for name, (_, tip) in pulls.items()}
    named = Named(wearer=wearer, pull=pull, view=view, worn=worn, middle=harness[1], units=units, ends=ends)
    notes = [] if plain else named.notes(forces=forces, narrow=sideways(view, wearer.amputated))
    if not fits(notes, frame):
        notes = named.notes(forces=forces)
    arrows = force_arrows(pulls, harness[1])
    items.extend(arrows)
    clear = keep_clear(items, frame) if notes or arrows else np.empty((0, 2))
    if notes:
        items.extend(cleared(in_margins(notes, frame), frame, clear))
    right = own_side(view, wearer.amputated) == "right" if isinstance(view, str) else frame.right > -frame.left
    if scale:
        lengths = scale_bar(frame, units, right=right)
        items.extend(lengths)
        if arrows:
            items.extend(force_scale(pull, frame, units, beside=lengths, right=right, drawn=items, clear=clear))
    if plain and arrows:
        items.extend(force_names(pull, pulls, frame, units, drawn=items, clear=clear))
    if lever and view == "side":
        items.extend(lever_items(wearer, pull, frame, drawn=items, units=units))
    words = view_words(pull, view, person(wearer), units, harness=harness)
    if isinstance(system, DualControl) and isinstance(pull, DualPull):
        words = f"{words} {arm_words(system, pull, lock, units)}"
    if forces:
        hard = dual_force_words(pull, units) if isinstance(pull, DualPull) else force_words(pull, units)
        words = f"{words} {ring_words(pull, harness[1], units, drawn=drawn)} {hard}"
    if loads:
        words = f"{words} {load_words(pull, units)}"
    if lever and view == "side":
        words = f"{words} {lever_words(wearer, pull, units)}"
    return Scene(f"The wearer {seen_from(view)}", words, frame, tuple(items))


def dressed(worn: SeenHarness, *, has_ring: bool) -> list[Item]:
    """What stands before the body, in drawing order."""
    away = float(worn.arm.arm.heading @ worn.sight.towards) < 0.0  # the socket stands before the device
    items = [*worn.device_over, *worn.arm.over] if away else list(worn.arm.over)
    for name, sheet in worn.pads.items():
        items.extend(sheet.regions("leather", name))
        items.extend(sheet.edges("leather edge", name, dashed=False))
        items.extend(sheet.within(0.16).edges("stitch", "stitches", dashed=False))
    items.extend(strap_items(worn, has_ring=has_ring))
    return [*items, *(() if away else worn.device_over)]
