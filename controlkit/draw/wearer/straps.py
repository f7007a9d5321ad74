"""Straps with all that is on them: folds round the ring, buckles, seams, the hanger with its cable."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from controlkit.draw.gear.metal import RING, hanger, ring
from controlkit.draw.gear.sight import disc, unit
from controlkit.draw.gear.webbing import Web, buckle, folded, ribbon, sewn_end
from controlkit.draw.page.scene import Dot, Item, Line, Region
from controlkit.draw.page.style import LOCK_STRAP, STRAP_STYLES
from controlkit.draw.wearer.seen import SeenHarness
from controlkit.mechanics.harness.layout import AXILLA_LOOP, CONTROL_STRAP
from controlkit.mechanics.harness.patterns.above_elbow import LATERAL_SUSPENSOR
from controlkit.mechanics.harness.patterns.chest import CHEST_STRAP, SADDLE_STRAP, SUSPENSOR
from controlkit.mechanics.harness.patterns.eight import CROSS_BACK, FORK_INNER, FORK_OUTER, FRONT_STRAP

if TYPE_CHECKING:
    from controlkit.draw.page.scene import Points

__all__ = ["ghost_items", "strap_items"]

_LEGS = (FORK_INNER, FORK_OUTER)
_NARROWEST_FIRST = (
    *_LEGS,
    SUSPENSOR,
    SADDLE_STRAP,
    CHEST_STRAP,
    CROSS_BACK,
    AXILLA_LOOP,
    FRONT_STRAP,
    LATERAL_SUSPENSOR,
    LOCK_STRAP,
    CONTROL_STRAP,
)
_WRAPPED = RING - 0.003  # webbing led round the ring's wire begins this far from its middle [m]
_BUCKLES = {
    FRONT_STRAP: 0.28,
    SUSPENSOR: 0.5,
    LATERAL_SUSPENSOR: 0.30,
    CROSS_BACK: 0.5,
    AXILLA_LOOP: 0.20,
    LOCK_STRAP: 0.5,
}
"""Share of a strap's length, from its far end, at which its buckle sits [-]; the control strap's is its hanger."""
_ELASTIC = (0.36, 0.56)  # of the front strap above the elbow, from the ring: where it is elastic [-]
_ELSEWHERE = 0.04  # a strap that begins farther from the ring is sewn to another [m]
_RIBS = 12  # drawn across elastic webbing [-]
_LEG_BUCKLE = 0.018  # from the end of a leg of the inverted Y to its buckle on the pad [m]


def strap_items(*sides: SeenHarness, has_ring: bool) -> list[Item]:
    """Draw the straps and what joins them.

    Parameters
    ----------
    *sides : SeenHarness
        What the viewer sees: one, or both halves of a pair, which meet at one place, the farther one first.
    has_ring : bool
        Whether straps meet at a ring, and are not sewn to each other.

    Returns
    -------
    list
        Items in drawing order.
    """
    middle = sides[-1]
    sight, centre = middle.sight, middle.ring.space[0]
    shown = has_ring and not middle.ring.covered[0]
    items: list[Item] = ring(centre, middle.facing, sight) if shown else []
    on_top: list[Item] = []
    every = ((name, worn) for worn in sides for name in worn.webs)
    for name, worn in sorted(every, key=lambda one: _NARROWEST_FIRST.index(one[0])):
        laid, style = worn.webs[name], STRAP_STYLES[name]
        ends = [float(np.linalg.norm(laid.space[k] - centre)) < 0.001 for k in (0, -1)]
        if has_ring:
            long = float(laid.along[-1])
            laid = laid.cut(_WRAPPED if ends[0] else 0.0, long - _WRAPPED if ends[1] else long)
        items.append(ribbon(laid, sight, style, name))
        for from_end, at_ring in ((laid, ends[0]), (laid.turned(), ends[1])):
            if has_ring and at_ring:
                on_top.extend(folded(from_end, sight, style, name))
        on_top.extend(_on_strap(name, laid, worn, style))
    items.extend(on_top)
    if not has_ring and not middle.ring.covered[0]:
        items.extend(_patch(middle))
    for worn in sides:
        items.extend(_lead(worn))
        items.extend(_lock_cable(worn))
    return items


def _on_strap(name: str, laid: Web, worn: SeenHarness, style: str) -> list[Item]:
    """Buckle and seams of one strap."""
    sight = worn.sight
    items: list[Item] = []
    if name in _LEGS:
        items += sewn_end(laid, sight, style, name, long=0.018)
        items += buckle(laid.turned(), _LEG_BUCKLE, sight, style=style, name=name)
    elif name in _BUCKLES:
        items += buckle(laid.turned(), _BUCKLES[name] * float(laid.along[-1]), sight, style=style, name=name)
    if name == FRONT_STRAP and LATERAL_SUSPENSOR in worn.webs and worn.elastic:
        items += _elastic(laid, worn)
    if name == LATERAL_SUSPENSOR and float(np.linalg.norm(laid.space[0] - worn.ring.space[0])) > _ELSEWHERE:
        items += sewn_end(laid, sight, style, name)
    if name == CROSS_BACK:
        for end in (laid, laid.turned()):
            items += sewn_end(end, sight, style, name)
    if name == FRONT_STRAP and any(leg in worn.webs for leg in _LEGS):
        items += sewn_end(laid.turned(), sight, style, name)
    elif name == LOCK_STRAP:
        items += sewn_end(laid, sight, style, name, long=0.014)
    elif name in (FRONT_STRAP, SUSPENSOR, SADDLE_STRAP, CHEST_STRAP, LATERAL_SUSPENSOR):
        items += sewn_end(laid.turned() if name != CHEST_STRAP else laid, sight, style, name)
    return items


def _elastic(laid: Web, worn: SeenHarness) -> list[Item]:
    """Ribs across the part of a strap that is elastic."""
    items: list[Item] = []
    for place in np.linspace(*_ELASTIC, _RIBS) * float(laid.along[-1]):
        point, _, across, out_of_sight = laid.at(float(place))
        if not out_of_sight:
            items.append(Line(worn.sight.flat(np.array([point - across, point + across])), "rib", "elastic webbing"))
    return items


def _patch(worn: SeenHarness) -> list[Item]:
    """The sewn patch: straps one over the other, held by a box of stitches with a cross."""
    edge, middle = worn.edge.flat, worn.ring.flat[0]
    box = middle + 0.74 * (edge - middle)
    return [
        Region(edge, "patch", "sewn patch"),
        Line(box, "stitch", "stitches", closed=True),
        Line(box[[0, 2, 3, 1]], "stitch", "stitches"),
    ]


def _lead(worn: SeenHarness) -> list[Item]:
    """The cable from the hanger to the crossbar, and the hanger that the strap is led through."""
    laid = worn.webs[CONTROL_STRAP]
    items: list[Item] = [Line(worn.lead.flat, "cable", "cable to the crossbar", hidden=worn.lead.covered)]
    end, heading, across, hidden = laid.at(float(laid.along[-1]))
    if hidden:
        return items
    back = laid.turned().cut(0.008, 0.045)
    if not back.hidden.any():
        items += sewn_end(back, worn.sight, STRAP_STYLES[CONTROL_STRAP], CONTROL_STRAP, long=0.037)
    return items + hanger(end, heading, unit(across), worn.sight)


def _lock_cable(worn: SeenHarness) -> list[Item]:
    """The cable of the elbow's lock, from its strap down the front of the socket."""
    line = worn.lock_cable
    if line is None:
        return []
    items: list[Item] = [Line(line.flat, "cable", "cable of the lock", hidden=line.covered)]
    if not line.covered[0]:
        items.append(Dot(line.place(0), 0.0042, "plate", "end of the cable of the lock"))
    return items


def ghost_items(worn: SeenHarness) -> list[Item]:
    """Draw an earlier setting thin and grey.

    Parameters
    ----------
    worn : SeenHarness
        What the viewer saw of it.

    Returns
    -------
    list
        Lines alone.
    """
    items: list[Item] = [
        Line(run.flat, "pinned", f"pinned {name}", hidden=run.covered) for name, run in worn.straps.items()
    ]
    items.append(Line(worn.lead.flat, "pinned", "pinned cable", hidden=worn.lead.covered))
    edge: Points = worn.edge.flat
    name = "pinned patch"
    if not len(edge):
        edge, name = worn.sight.flat(disc(worn.ring.space[0], worn.facing, RING, 24)), "pinned ring"
    items.append(Line(edge, "pinned", name, closed=True))
    return items
