"""A terminal device seen from the side, with its cable, the object and the forces."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from controlkit.draw.device.mount import Mount, finger_angle, lever_end
from controlkit.draw.device.terminal import fingertips, pivot_ahead, terminal_device
from controlkit.draw.page.labels import Note, cleared, dense, in_margins
from controlkit.draw.page.scene import Arrow, Frame, Item, Line, Points, Region, Scene
from controlkit.draw.page.shapes import shape_of
from controlkit.draw.page.solids import Solid, Viewpoint, far_to_near, seen
from controlkit.draw.words.device import device_name
from controlkit.draw.words.pull import Units, degrees
from controlkit.units import show

if TYPE_CHECKING:
    from controlkit.mechanics.device import Device, Holding

__all__ = ["device_scene"]

_FRAME = Frame(-0.200, -0.100, 0.200, 0.125, text=0.0105)
_LONGEST = 0.055  # of the longest force arrow [m]
_SCALE = 50.0  # forces up to this are drawn to one scale; beyond, the greatest has the longest arrow [N]
_FROM = -0.086  # where the drawn cable begins [m]
_BEHIND = 0.062  # from the wrist to the pivot of a hook [m]
_SIDE = Viewpoint(np.array([1.0, 0.0, 0.0]), np.array([0.0, 1.0, 0.0]), np.array([0.0, 0.0, 1.0]))
_MOVED = {
    (True, False): "upper finger, which stands",
    (False, False): "lower finger, which stands",
    (True, True): "leading fingers, which stand",
    (False, True): "thumb of the hand, which stands",
}
_NAMED = "fixed finger", "index finger"
_GHOSTED = "fixed finger", "moving finger", "operating lever", "index finger", "thumb"


def device_scene(
    device: Device,
    holding: Holding,
    width: float,
    pull: float,
    *,
    hand: bool = False,
    pinned: tuple[Device, Holding] | None = None,
    units: Units = "both",
) -> Scene:
    """Draw a device seen from the side, the cable coming from the left.

    Parameters
    ----------
    device : Device
        The device.
    holding : Holding
        What the mechanics found for the object and the pull.
    width : float
        Width of the object [m].
    pull : float
        Cable force that is there now [N].
    hand : bool
        Whether it is a gloved hand.
    pinned : tuple, optional
        Device and holding of an earlier setting, drawn grey.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    Scene
        The drawing with its words.
    """
    angle = finger_angle(device, holding.opening)
    opens = device.kind == "voluntary opening"
    pulled = "thumb" if opens and not hand else "operating lever"
    base, tip = (point[:2] for point in fingertips(device, angle, hand))
    lever = lever_end(device, angle)[:2]
    items: list[Item] = []
    if pinned is not None:
        items.extend(_ghost(*pinned, hand))
    centre = _object_at(holding, width, (base, tip))
    if width > 0.0:
        round_ = np.linspace(0.0, 2.0 * np.pi, 49)[:-1]
        circle = centre + 0.5 * width * np.stack([np.cos(round_), np.sin(round_)], axis=1)
        items.append(Region(circle, "object", "object"))
    cable = np.array([[_FROM, lever[1]], lever])
    items.append(Line(cable, "cable", "cable"))
    solids = _solids(device, holding.opening, hand)
    items.extend(far_to_near(solids, _SIDE))
    if hand:
        items.append(_inside(device, angle))
    items.extend(_forces((tip, base), lever, pull=pull, grip=holding.grip))
    notes = [
        Note(("wrist", "unit"), (-pivot_ahead(device, _mount(device, hand), hand) + 0.014, -0.012), "left"),
        Note((*pulled.split(), show(device.lever, "length", units)), _at(0.55 * lever), "left"),
        Note(("cable", show(pull, "force", units)), (_FROM, float(lever[1])), "left"),
        Note(("pivot",), (0.0, 0.0), "left", -0.060),
        Note(("finger", show(device.finger, "length", units)), _spot(solids, _NAMED[hand], 0.5), "right"),
    ]
    if holding.grip > 0.0:
        notes.append(Note(("grip", show(holding.grip, "force", units)), _at(tip), "right"))
    if width > 0.0:
        said = "object" if holding.grip > 0.0 else "object, not held"
        notes.append(Note((said, show(width, "length", units)), _at(centre), "right"))
    notes.append(_closer_note(device, angle, solids, hand))
    shapes = [shape for shape in map(shape_of, items) if shape is not None]
    lines = [cable, *(np.array([item.start, item.end]) for item in items if isinstance(item, Arrow))]
    items.extend(cleared(in_margins(notes, _FRAME), _FRAME, dense([*shapes, *lines], 0.2 * _FRAME.text)))
    way, stands = "opens" if opens else "closes", f"{degrees(round(angle, 3))} from shut"
    words = (
        f"Seen from the side: {device_name(device, hand)}; the cable comes from the left, pulls the {pulled} back and "
        f"{way} the {_MOVED[opens, hand]} {stands}. The fingertips are {show(holding.opening, 'length', units)} apart."
    )
    return Scene("The device and the object", words, _FRAME, tuple(items))


def _at(point: Points) -> tuple[float, float]:
    return float(point[0]), float(point[1])


def _mount(device: Device, hand: bool) -> Mount:
    """Put the pivot at the origin, the thumb of a hand nearer to the viewer."""
    along, up = np.array([1.0, 0.0, 0.0]), np.array([0.0, 1.0, 0.0])
    mount = Mount(np.zeros(3), along, up, _BEHIND + device.finger, arm="left")
    return Mount(-pivot_ahead(device, mount, hand) * along, along, up, mount.reach, arm="left")


def _solids(device: Device, opening: float, hand: bool) -> tuple[Solid, ...]:
    return terminal_device(device, _mount(device, hand), opening, hand=hand)


def _spot(solids: tuple[Solid, ...], name: str, share: float) -> tuple[float, float]:
    """A place on the part of that name that is nearest to the viewer."""
    part = max((one for one in solids if one.name == name), key=lambda one: float(one.points[:, 2].mean()))
    return _at(part.points[round(share * (len(part.points) - 1))])


def _inside(device: Device, angle: float) -> Line:
    """The spring in the palm: dashed, because the glove covers it."""
    arm = -0.26 * lever_end(device, angle)[:2]
    rest = np.array([-0.062, -0.004])
    way = rest - arm
    long = float(np.hypot(*way))
    across = np.array([-way[1], way[0]]) / long * 0.004
    share = np.linspace(0.12, 0.88, 13)
    middle = arm + share[:, None] * way + (np.where(np.arange(13) % 2, 1.0, -1.0))[:, None] * across
    run = np.vstack([0.30 * lever_end(device, angle)[:2], arm, middle, rest])
    return Line(run, "spring", "spring", hidden=np.ones(len(run), dtype=np.bool_))


def _closer_note(device: Device, angle: float, solids: tuple[Solid, ...], hand: bool) -> Note:
    if hand:
        at = 0.5 * (-0.26 * lever_end(device, angle)[:2] + np.array([-0.062, -0.004]))
        return Note(("spring", "inside"), _at(at), "left", -0.040)
    if device.kind == "voluntary closing":
        return Note(("return", "spring"), _spot(solids, "return spring", 0.5), "right")
    bands = int(getattr(device, "bands", 1))
    return Note((f"{bands} band{'s' if bands > 1 else ''}",), _spot(solids, f"band {bands}", 0.5), "right")


def _object_at(holding: Holding, width: float, tips: tuple[Points, Points]) -> Points:
    """Between the fingertips when held; before them when too wide; else lying on the lower one."""
    if not holding.fits:
        reach = max(float(tips[0][0]), float(tips[1][0]))
        return np.array([reach + 0.5 * width + 0.008, 0.5 * float(tips[0][1] + tips[1][1])])
    if holding.grip > 0.0:
        return np.asarray(0.5 * (tips[0] + tips[1]))
    low = tips[0] if tips[0][1] <= tips[1][1] else tips[1]
    return np.asarray(0.86 * low + np.array([0.0, 0.5 * width - 0.008]))


def _ghost(device: Device, holding: Holding, hand: bool) -> list[Item]:
    """Outlines of the fingers and the lever of an earlier setting."""
    parts = [solid for solid in _solids(device, holding.opening, hand) if solid.name in _GHOSTED]
    shapes = [item for solid in parts for item in seen(solid, _SIDE) if isinstance(item, Region)]
    return [Line(item.points, "pinned", f"pinned {item.name}", closed=True) for item in shapes]


def _forces(tips: tuple[Points, Points], end: Points, *, pull: float, grip: float) -> list[Item]:
    """Draw cable force and grip to one scale."""
    tip, base = tips
    most = max(pull, grip, _SCALE)
    items: list[Item] = []
    if pull > 0.02 * most:
        items.append(Arrow(_at(end), _at(end - np.array([_LONGEST * pull / most, 0.0])), "force", "cable force"))
    if grip > 0.02 * most:
        between = base - tip
        apart = float(np.hypot(*between))
        inward = between / apart if apart > 1e-4 else np.array([0.0, -1.0])
        size = _LONGEST * grip / most
        for point, way in ((tip, inward), (base, -inward)):
            items.append(Arrow(_at(point - way * size), _at(point), "force", "grip"))
    return items
