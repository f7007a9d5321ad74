"""A terminal device from its operating lever and finger, with bands or spring, cable, object and the forces."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from controlkit.draw.page.curves import through
from controlkit.draw.page.labels import Note, in_margins
from controlkit.draw.page.scene import Arrow, Dot, Frame, Item, Line, Points, Region, Scene
from controlkit.draw.words.device import device_name
from controlkit.draw.words.pull import Units, degrees
from controlkit.units import show

if TYPE_CHECKING:
    from controlkit.mechanics.device import Device, Holding

__all__ = ["device_scene"]

_FRAME = Frame(-0.155, -0.095, 0.200, 0.120, text=0.0095)
_LONGEST = 0.055  # of the longest force arrow [m]
_SCALE = 50.0  # forces up to this are drawn to one scale; beyond, the greatest has the longest arrow [N]
_FROM = -0.112  # where the drawn cable begins [m]
_FINGER = np.array([[0.0, 0.008], [0.12, 0.016], [0.45, 0.020], [0.80, 0.013], [1.0, 0.0]])
"""Edge of a finger, along it as a share of its length, and outward [m]."""
_BAND_GAP = 0.0052  # between two bands [m]


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
    angle = _angle(device, holding.opening)
    opens = device.kind == "voluntary opening"
    pulled = "thumb" if opens and not hand else "operating lever"
    tip, base = device.finger * _turn(angle), np.array([device.finger, 0.0])
    lever = _lever(device, angle)
    items: list[Item] = [_wrist()]
    if pinned is not None:
        items.extend(_ghost(*pinned))
    held = holding.grip > 0.0
    centre = _object_at(device, holding, width, tip)
    round_ = np.linspace(0.0, 2.0 * np.pi, 49)[:-1]
    circle = centre + 0.5 * width * np.stack([np.cos(round_), np.sin(round_)], axis=1)
    if width > 0.0:
        items.append(Region(circle, "object", "object"))
    style = "glove" if hand else "hook"
    items.append(Line(lever, "lever", "lever"))
    items.append(Line(_finger(device, 0.0, -1.0), style, "fixed finger"))
    items.append(Line(_finger(device, angle, 1.0), style, "moving finger"))
    items.extend(_closer(device, angle, hand))
    items.append(Dot((0.0, 0.0), 0.005, "ring", "pivot"))
    cable = np.array([[_FROM, lever[1, 1]], lever[1]])
    items.append(Line(cable, "cable", "cable"))
    items.append(Dot(_at(lever[1]), 0.003, "hanger", "end of the operating lever"))
    items.extend(_forces((tip, base), lever[1], pull=pull, grip=holding.grip))
    notes = [
        Note(("pivot",), (0.0, 0.0), "left"),
        Note((pulled, show(device.lever, "length", units)), _at(0.5 * lever[1]), "left"),
        Note(("cable", show(pull, "force", units)), (_FROM, float(lever[1, 1])), "left"),
        Note(("finger", show(device.finger, "length", units)), _at(_finger(device, 0.0, -1.0)[6]), "right"),
    ]
    if held:
        notes.append(Note(("grip", show(holding.grip, "force", units)), _at(tip), "right"))
    if width > 0.0:
        said = "object" if held else "object, not held"
        notes.append(Note((said, show(width, "length", units)), _at(centre), "right"))
    notes.append(_closer_note(device, angle, hand))
    items.extend(in_margins(notes, _FRAME))
    way = "opens" if opens else "closes"
    stands = f"stands {degrees(round(angle, 3))} from shut" if angle > 0.001 else "is shut"
    words = (
        f"Seen from the side: {device_name(device, hand)}; the cable comes from the left, pulls the {pulled} back and "
        f"{way} the upper finger, which {stands}. The fingertips are "
        f"{show(holding.opening, 'length', units)} apart."
    )
    return Scene("The device and the object", words, _FRAME, tuple(items))


def _turn(angle: float) -> Points:
    return np.array([np.cos(angle), np.sin(angle)])


def _at(point: Points) -> tuple[float, float]:
    return float(point[0]), float(point[1])


def _angle(device: Device, opening: float) -> float:
    """Angle of the moving finger for a distance of the fingertips [rad]."""
    return float(2.0 * np.arcsin(min(opening / (2.0 * device.finger), 1.0)))


def _lever(device: Device, angle: float) -> Points:
    """From pivot to cable: up where the pull shall open, down where it shall close, upright in mid-swing."""
    middle = 0.5 * np.pi if device.kind == "voluntary opening" else -0.5 * np.pi
    return np.stack([np.zeros(2), device.lever * _turn(middle + angle - 0.5 * device.widest)])


def _finger(device: Device, angle: float, side: float) -> Points:
    """One finger with its outward curve, from pivot to tip."""
    edge = through(_FINGER * np.array([device.finger, side]), steps=4)
    along, out = _turn(angle), np.array([-np.sin(angle), np.cos(angle)])
    return np.asarray(edge[:, :1] * along + edge[:, 1:] * out)


def _wrist() -> Region:
    return Region(
        np.array([[-0.058, -0.017], [-0.006, -0.017], [-0.006, 0.017], [-0.058, 0.017]]), "cuff", "wrist unit"
    )


def _closer(device: Device, angle: float, hand: bool) -> list[Item]:
    """Bands round both fingers, or a spring."""
    if device.kind == "voluntary opening":
        many = 1 if hand else int(getattr(device, "bands", 1))
        fixed, moving = _finger(device, 0.0, -1.0), _finger(device, angle, 1.0)
        items: list[Item] = []
        for number in range(many):
            share = (0.014 + _BAND_GAP * number) / device.finger
            ends = [_along(line, share) for line in (fixed, moving)]
            run = _spring(ends[0], ends[1]) if hand else np.stack(ends)
            items.append(Line(run, "spring" if hand else "band", "spring" if hand else "band"))
        return items
    post = np.array([0.55 * device.lever, -0.9 * device.lever])
    stay = np.stack([_along(_finger(device, 0.0, -1.0), 0.3), post])
    return [
        Line(stay, "lever", "post of the spring"),
        Line(_spring(_lever(device, angle)[1], post), "spring", "spring"),
    ]


def _along(line: Points, share: float) -> Points:
    at = share * (len(line) - 1)
    first = min(int(at), len(line) - 2)
    return np.asarray(line[first] + (at - first) * (line[first + 1] - line[first]))


def _spring(start: Points, end: Points) -> Points:
    """A coil as a zigzag."""
    way = end - start
    long = max(float(np.hypot(*way)), 1e-6)
    across = np.array([-way[1], way[0]]) / long * 0.004
    share = np.linspace(0.12, 0.88, 13)
    middle = start + share[:, None] * way + (np.where(np.arange(13) % 2, 1.0, -1.0))[:, None] * across
    return np.vstack([start, middle, end])


def _closer_note(device: Device, angle: float, hand: bool) -> Note:
    if device.kind == "voluntary closing":
        return Note(("return", "spring"), _at(np.array([0.4, -0.95]) * device.lever), "right")
    if hand:
        return Note(("spring",), _at(_along(_finger(device, angle, 1.0), 0.16)), "right")
    bands = int(getattr(device, "bands", 1))
    share = (0.014 + _BAND_GAP * (bands - 1)) / device.finger
    here = 0.5 * (_along(_finger(device, 0.0, -1.0), share) + _along(_finger(device, angle, 1.0), share))
    return Note((f"{bands} band{'s' if bands > 1 else ''}",), _at(here), "right")


def _object_at(device: Device, holding: Holding, width: float, tip: Points) -> Points:
    """Between the fingertips when held; before them when too wide; else lying on the fixed finger."""
    base = np.array([device.finger, 0.0])
    if not holding.fits:
        return np.array([max(device.finger, float(tip[0])) + 0.5 * width + 0.008, 0.5 * holding.opening])
    if holding.grip > 0.0:
        return np.asarray(0.5 * (tip + base))
    return np.array([0.86 * device.finger, 0.5 * width - 0.008])


def _ghost(device: Device, holding: Holding) -> list[Item]:
    angle = _angle(device, holding.opening)
    return [
        Line(_finger(device, 0.0, -1.0), "pinned", "pinned fixed finger"),
        Line(_finger(device, angle, 1.0), "pinned", "pinned moving finger"),
        Line(_lever(device, angle), "pinned", "pinned lever"),
    ]


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
