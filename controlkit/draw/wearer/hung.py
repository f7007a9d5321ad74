"""The wearer with the arm down and a load at the device: how the socket hangs in its straps, and what each bears."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

import numpy as np

from controlkit.draw.figure import body_items
from controlkit.draw.page.kept import kept
from controlkit.draw.page.labels import LETTER, Box, boxes, dense
from controlkit.draw.page.room import Room, room_in
from controlkit.draw.page.scene import Arrow, Frame, Item, Label, Line, Points, Scene
from controlkit.draw.wearer.clear import keep_clear
from controlkit.draw.wearer.fittings import has_ring
from controlkit.draw.wearer.loads import load_bands
from controlkit.draw.wearer.lying import Lying
from controlkit.draw.wearer.scene import dressed, person
from controlkit.draw.wearer.seen import SeenHarness
from controlkit.draw.wearer.window import trunk_window
from controlkit.draw.wearer.worn import look
from controlkit.draw.words.hung import hung_words
from controlkit.draw.words.pull import Units, View, seen_from
from controlkit.units import show

if TYPE_CHECKING:
    from controlkit.mechanics import SingleControl
    from controlkit.mechanics.harness.suspension import Suspension

__all__ = ["hung_scene"]

_LEAST = 1.0  # a tension that is written [N]
_LONG = 0.075  # of the arrow of the load, which is not to scale [m]
_TURNS = np.deg2rad(np.arange(0.0, 360.0, 30.0))
_BARE = ("contour", "face", "ear")  # of the body, what no tension is written over
_FAR = (1.1, 1.8, 2.6, 3.6)  # from a strap to its tension, in lines of text [-]


def hung_scene(
    held: Suspension,
    view: View = "front",
    *,
    system: SingleControl,
    loads: bool = False,
    widest: float = 0.0,
    units: Units = "both",
) -> Scene:
    """Draw a wearer with a load at the device, in the window that the same wearer pulls in.

    Parameters
    ----------
    held : Suspension
        What the load does.
    view : str or float
        "back", "side" or "front", or how far the viewer has gone round [rad].
    system : SingleControl
        The system that was dragged; it knows the wearer.
    loads : bool
        Whether to draw what the straps press on the skin along their course.
    widest : float
        What the widest band of it stands for, where a picture beside this one has more [N/m].
    units : str
        "metric", "inch-pound" or "both", for numbers in labels and words.

    Returns
    -------
    Scene
        The drawing with its words. The device itself is below the window; straps keep the size that they have where
        they pull.
    """
    wearer, lying = system.harness.wearer, _lying(held, system)
    frame = trunk_window(wearer, view)
    worn = look(system, lying, view)
    items: list[Item] = [*worn.arm.under, *worn.device_under, *body_items(wearer, lying.pose, view, frame)]
    items.extend(dressed(worn, has_ring=has_ring(lying, system.harness.layout.sewn)))
    if loads:
        items.extend(load_bands(lying, worn, widest))
    items.extend(_load(held, worn, frame, units))
    items.extend(_tensions(held.strap_tension, worn, frame, drawn=items, units=units))
    words = hung_words(held, view, person(wearer), units, loads=loads)
    return Scene(f"The wearer {seen_from(view)}, a load at the device", words, frame, tuple(items))


@kept(8)
def _lying(held: Suspension, system: SingleControl) -> Lying:
    """What a load does to straps and device, as a picture of them takes it."""
    return Lying(
        pose=held.pose,
        opening=system.device.opening(max(held.travel, 0.0)),
        straps=held.straps,
        strap_slack=held.strap_slack,
        strap_load=held.strap_load,
        ring=held.ring,
    )


def _load(held: Suspension, worn: SeenHarness, frame: Frame, units: Units) -> list[Item]:
    """The load, as an arrow that leaves the window beside the forearm, towards the device."""
    elbow, tip = worn.sight.flat(np.stack([worn.arm.arm.elbow, worn.arm.arm.tip]))
    low = frame.bottom + 0.4 * frame.text
    share = float(np.clip((elbow[1] - low) / max(float(elbow[1] - tip[1]), 1e-9), 0.0, 1.0))
    outward = 1.0 if elbow[0] > 0.0 else -1.0
    written: tuple[str, ...] = (show(held.load, "force", "metric" if units == "both" else units, 0),)
    if not np.isfinite(held.slip):
        written += ("not carried",)
    wide = (0.5 * max(map(len, written)) * LETTER + 0.1) * frame.text
    x = float(elbow[0] + share * (tip[0] - elbow[0])) + outward * 1.5 * worn.arm.arm.size
    x = min(max(x, frame.left + frame.text), frame.right - frame.text)
    at = min(max(x, frame.left + wide), frame.right - wide)
    return [
        Arrow((x, low + _LONG), (x, low), "force", "load at the device"),
        Label(written, (at, low + _LONG + (0.2 + 0.56 * len(written)) * frame.text), "middle"),
    ]


def _tensions(
    bears: Mapping[str, float], worn: SeenHarness, frame: Frame, *, drawn: Sequence[Item], units: Units
) -> list[Label]:
    """What each strap that is seen bears, written beside it where there is room, the hardest pulled first."""
    contours = [item.points for item in drawn if isinstance(item, Line) and item.name in _BARE]
    room = room_in(frame, np.vstack([keep_clear(drawn, frame), dense(contours, 0.4 * frame.text)]))
    taken = boxes([item for item in drawn if isinstance(item, Label)], frame)
    found: list[Label] = []
    for name in sorted(worn.straps, key=lambda one: -bears[one]):
        run = worn.straps[name]
        seen = run.flat[~run.covered & (run.flat[:, 1] > frame.bottom)]
        if bears[name] < _LEAST or len(seen) < 3:
            continue
        written = show(bears[name], "force", "metric" if units == "both" else units, 0)
        half = np.array([0.5 * len(written) * LETTER, 0.56]) * frame.text
        middle_first = seen[np.argsort(np.abs(np.arange(len(seen)) - len(seen) // 2))]
        at = _first_free(middle_first, half, line=frame.text, room=room, taken=taken)
        if at is not None:
            x, y, to_x, to_y = at
            found.append(Label((written,), (x, y), "middle", (to_x, to_y)))
            taken.extend(boxes(found[-1:], frame))
    return found


def _first_free(
    places: Points, half: Points, *, line: float, room: Room, taken: Sequence[Box]
) -> tuple[float, float, float, float] | None:
    """Where words stand that cover nothing, and the place on the strap that they are led to, the best first."""
    ways = np.stack([np.cos(_TURNS), np.sin(_TURNS)], axis=1)
    reach = (half / np.maximum(np.abs(ways), 1e-9)).min(axis=1)
    for far in _FAR:
        off = (reach + far * line)[:, None] * ways
        middle = (places[:, None] + off[None]).reshape(-1, 2)
        free = room.free(np.hstack([middle - half, middle + half]))
        for left, low, right, high in taken:
            apart = (np.abs(middle - [0.5 * (left + right), 0.5 * (low + high)]) - half) * 2.0
            free &= (apart >= [right - left, high - low]).any(axis=1)
        if free.any():
            k = int(free.argmax())
            x, y = middle[k].tolist()
            to_x, to_y = places[k // len(ways)].tolist()
            return x, y, to_x, to_y
    return None
