"""A wearer with a prosthesis on either arm: both harnesses, joined on the back, both cables and both devices."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from controlkit.draw.figure import body_items
from controlkit.draw.page.kept import kept
from controlkit.draw.page.labels import Note, cleared, in_margins
from controlkit.draw.page.scene import Frame, Item, Scene
from controlkit.draw.wearer.clear import keep_clear
from controlkit.draw.wearer.half import half_of
from controlkit.draw.wearer.lying import Lying
from controlkit.draw.wearer.named import Named, own_side, sideways, thinned
from controlkit.draw.wearer.seen import SeenHarness
from controlkit.draw.wearer.straps import ghost_items, strap_items
from controlkit.draw.wearer.window import pair_window, scale_bar, window
from controlkit.draw.wearer.worn import look, on_its_arm
from controlkit.draw.words.pair import pair_seen_from, pair_view_words
from controlkit.draw.words.pull import Units, View
from controlkit.mechanics.chain.pair import PairControl, PairPull
from controlkit.mechanics.inputs import kind

if TYPE_CHECKING:
    from controlkit.mechanics import Wearer

__all__ = ["pair_scene"]

_SHARED = ("ring", "sewn", "C7")
"""First words of what both halves have: named once, where there is more room."""


@dataclass(frozen=True, eq=False, kw_only=True)
class _Half:
    """One prosthesis with its half of the harness, from where the viewer stands."""

    wearer: Wearer
    view: View
    pull: Lying
    worn: SeenHarness

    @property
    def near(self) -> float:
        """How far towards the viewer its elbow is [m]."""
        return float(self.worn.arm.arm.elbow @ self.worn.sight.towards)

    @property
    def away(self) -> bool:
        """Whether its forearm points away from the viewer, so that the socket stands before the device."""
        return float(self.worn.arm.arm.heading @ self.worn.sight.towards) < 0.0


def pair_scene(
    pull: PairPull,
    view: View = "back",
    *,
    pair: PairControl,
    pinned: PairPull | None = None,
    plain: bool = False,
    scale: bool = True,
    units: Units = "both",
) -> Scene:
    """Draw a wearer with two prostheses in one pose, with all that is worn.

    Parameters
    ----------
    pull : PairPull
        What the mechanics found: one side pulls.
    view : str or float
        "back", "side" (of the arm that pulls) or "front", or how far the viewer has gone round the wearer, from behind
        towards the arm that pulls [rad].
    pair : PairControl
        The pair that was asked; it knows the wearer.
    pinned : PairPull, optional
        An earlier setting of the same pair, its straps drawn as a thin grey ghost.
    plain : bool
        Whether to leave out the words in the margins, in a narrow window that stands still while an arm flexes.
    scale : bool
        Whether to draw the scale.
    units : str
        "metric", "inch-pound" or "both", for numbers in words.

    Returns
    -------
    Scene
        The drawing with its words.

    Raises
    ------
    InputError
        If there is no pair, or nothing that it was asked

    Examples
    --------
    >>> from controlkit.mechanics import Wearer
    >>> from controlkit.mechanics.harness import bilateral_pair
    >>> pair = PairControl(harness=bilateral_pair(Wearer.average("female")))
    >>> pair_scene(pair.pull("left"), "front", pair=pair).title
    'The wearer from the front'
    """
    kind("The pair", pair, PairControl, "PairControl(harness=bilateral_pair(wearer))")
    kind("What it was asked", pull, PairPull, 'pair.pull("right", arm_flexion=deg(60))')
    own, other = _halves(pair, pull, view)
    far, near = sorted((other, own), key=lambda half: half.near)
    frame = pair_window(own.wearer, view, pull.pose) if plain else _with_margins(own, other)
    sewn = pair.harness.layout.sewn
    items: list[Item] = [item for half in (far, near) for item in (*half.worn.arm.under, *half.worn.device_under)]
    items.extend(body_items(own.wearer, pull.pose, view, frame, other=other.wearer.level))
    if pinned is not None:
        for half in _halves(pair, pinned, view):
            items.extend(ghost_items(half.worn))
    for half in (far, near):
        items.extend((*half.worn.device_over, *half.worn.arm.over) if half.away else half.worn.arm.over)
    items.extend(strap_items(far.worn, near.worn, has_ring=not sewn))
    for half in (far, near):
        items.extend(() if half.away else half.worn.device_over)
    if not plain:
        notes = _notes(own, other, near=near, middle="sewn cross-point" if sewn else "ring", units=units)
        items.extend(cleared(in_margins(notes, frame), frame, keep_clear(items, frame)))
    if scale:
        right = own_side(view, pull.side) == "right" if isinstance(view, str) else frame.right > -frame.left
        items.extend(scale_bar(frame, units, right=right, high=plain))
    title = f"The wearer {pair_seen_from(view)}"
    return Scene(title, pair_view_words(pair, pull, view, units), frame, tuple(items))


@kept(8)
def _halves(pair: PairControl, pull: PairPull, view: View) -> tuple[_Half, _Half]:
    """Both halves as the viewer sees them, that of the arm that pulls first."""
    sides = pull.own.side, pull.other.side
    systems = [pair.worn(side).system for side in sides]
    halves = [half_of(pull, side) for side in sides]
    views = view, _from_there(view)
    arms = [on_its_arm(system, half, at)[0].arm for system, half, at in zip(systems, halves, views, strict=True)]
    own, other = (
        _Half(
            wearer=systems[k].harness.wearer,
            view=views[k],
            pull=halves[k],
            worn=look(systems[k], halves[k], views[k], beside=arms[1 - k]),
        )
        for k in (0, 1)
    )
    return own, other


def _from_there(view: View) -> View:
    """The same view, told from the other side."""
    if isinstance(view, str):
        return -0.5 * math.pi if view == "side" else view
    return -view


def _with_margins(own: _Half, other: _Half) -> Frame:
    """A window with margins that both devices fit into."""
    frame, there = (window(half.wearer, half.pull.pose, half.view) for half in (own, other))
    return replace(frame, bottom=min(frame.bottom, there.bottom))


def _notes(own: _Half, other: _Half, *, near: _Half, middle: str, units: Units) -> list[Note]:
    """What is named in the margins: from behind and from the front either half in its own, from a side the nearer."""
    narrow = sideways(own.view, own.wearer.amputated)
    found: list[Note] = []
    for half in (near,) if narrow else (own, other):
        named = Named(wearer=half.wearer, pull=half.pull, view=half.view, worn=half.worn, middle=middle, units=units)
        found += named.notes(forces=False, narrow=narrow)
    shared = {note.lines: note for note in found if note.lines[0] in _SHARED}
    found = [note for note in found if note.lines not in shared]
    emptier = min("left", "right", key=lambda side: sum(note.side == side for note in found))
    if narrow:
        return [*found, *shared.values()]
    return thinned([*found, *(replace(note, side=emptier) for note in shared.values())], emptier)
