"""A split hook in space: stud, body, two fingers of which one turns, its operating lever, bands or spring."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import numpy as np

from controlkit.draw.device.mount import Mount, lever_end, turned
from controlkit.draw.device.wrist import UNIT
from controlkit.draw.page.curves import through
from controlkit.draw.page.scene import Points
from controlkit.draw.page.solids import Cord, Drum, Lump, Solid, Tube

if TYPE_CHECKING:
    from controlkit.mechanics.device import Device

__all__ = ["STUD", "split_hook"]

STUD = 0.00635
"""Radius of the threaded stud [m]: half an inch across."""
_NECK = 0.030  # least way from the pivot back to where the body ends and the stud begins [m]
_THREAD = 0.009  # of the stud, seen between wrist unit and body [m]
_TIP = 0.0034  # radius of a fingertip [m]
_FINGER = np.array(
    [[0.02, 0.062], [0.10, 0.066], [0.24, 0.094], [0.42, 0.158], [0.60, 0.165], [0.76, 0.098], [0.88, 0.044]]
)
"""Middle line of a finger up to the grip, ahead and away from the other, as shares of pivot to fingertip [-]."""
_THICK = (0.0054, 0.0054, 0.0060, 0.0058, 0.0052, 0.0046, 0.0039, _TIP, _TIP)
_BELLY = np.array([0.0, -0.004, -0.022, -0.062, -0.086, -0.060, -0.020, 0.0, 0.0])
"""How far both fingers together bow away from the operating lever, which makes a hook of tongs, as a share of their
length [-]. They meet in the middle still."""
_LIFT = np.array([0.0, 0.004, 0.030, 0.100, 0.165, 0.195, 0.185, 0.160, 0.140])
"""How far a finger stands out of the plane in which the lever swings: the fingers are canted, so that a wearer sees
past them what they grip. As a share of its length [-]; drawn for the eye."""
_LINING = 0.0016  # thickness [m]
_HUB = 0.0100  # from the plane of the pinch to the lever's root, along the pivot [m]
_BORE = ((0.0044, 0.0046), (-0.0046, -0.0044))  # where the cable end's bore is seen, along the pivot [m]
_COILS, _COIL = 9, 0.0030  # turns of a return spring [-], and their radius [m]
_SEAT = 0.012  # from the pivot to the first band [m]
_PITCH = 0.0033  # between two bands [m]
_LAYER = 6  # bands side by side; more lie on top of these [-]
_BAND = 0.00145  # radius of a stretched band [m]

Put = Callable[[Points], Points]
"""From places seen from the pivot to places in space."""


def split_hook(device: Device, mount: Mount, angle: float) -> tuple[Solid, ...]:
    """Build a split hook of a device's own measures.

    Parameters
    ----------
    device : Device
        A hook.
    mount : Mount
        Where it sits.
    angle : float
        Of the moving finger from shut [rad].

    Returns
    -------
    tuple of Solid
        Its parts, in no order.

    Examples
    --------
    >>> import numpy as np
    >>> from controlkit.mechanics.device import hook_opening
    >>> parts = split_hook(hook_opening(3), Mount(np.zeros(3), np.eye(3)[0], np.eye(3)[1], 0.16), 0.3)
    >>> sorted({part.name for part in parts if part.name.startswith("band")})
    ['band 1', 'band 2', 'band 3']
    """
    pivot = mount.reach - device.finger
    way = 1.0 if device.opens else -1.0  # the side on which the moving finger lies

    def put(local: Points) -> Points:
        return mount.space(pivot, local)

    fixed, moving = _finger(device.finger, -way), turned(_finger(device.finger, way), way * angle)
    thick = _thick()
    neck = max(_NECK, pivot - UNIT - _THREAD)
    solids: list[Solid] = [
        Drum(
            put(np.array([[0.5 * UNIT - pivot, 0.0, 0.0], [0.003 - neck, 0.0, 0.0]])), STUD, "metal", "stud", rings=13
        ),
        Lump(
            put(np.array([[0.009 - neck, 0.0, 0.0], [0.0, 0.0, 0.0], [0.004, -0.0045 * way, 0.0]])),
            np.array([0.0090, 0.0105, 0.0080]),
            "metal",
            "body",
        ),
        Tube(put(fixed), thick, "metal", "fixed finger", gleam="metal light", at=put(fixed[2:3])[0]),
        Tube(put(moving), thick, "metal", "moving finger", gleam="metal light", at=put(moving[2:3])[0]),
        *_linings(put, fixed, moving),
        *_lever(device, put, angle),
        *_pin(put),
    ]
    if device.opens:
        solids.extend(_bands(int(getattr(device, "bands", 1)), put, fixed, moving))
    else:
        solids.extend(_spring(device, put, fixed, angle))
    return tuple(solids)


_STATIONS = through(np.array([[x, 0.0] for x in (*_FINGER[:, 0], 0.94, 1.0)]), steps=4)[:, 0]


def _finger(long: float, side: float) -> Points:
    """Middle line of a shut finger: its inner face meets the other's at the fingertip."""
    grip = np.array([[0.94, _TIP / long], [1.0, _TIP / long]])
    flat = np.vstack([_FINGER, grip]) * long
    return through(np.stack([flat[:, 0], side * flat[:, 1] + _BELLY * long, _LIFT * long], axis=1), steps=4)


def _thick() -> Points:
    return np.interp(np.linspace(0.0, 1.0, 4 * (len(_THICK) - 1) + 1), np.linspace(0.0, 1.0, len(_THICK)), _THICK)


def _linings(put: Put, fixed: Points, moving: Points) -> list[Solid]:
    """Line the inner faces of the tips, so that they grip."""
    solids: list[Solid] = []
    for finger, other, name in ((fixed, moving, "fixed finger"), (moving, fixed, "moving finger")):
        tip = finger[-6:]
        ahead = (tip[-1] - tip[-2])[:2]
        ahead = ahead / np.hypot(*ahead)
        inward = np.array([-ahead[1], ahead[0], 0.0])
        inward = inward if float(inward @ (other[-1] - tip[-1])) >= 0.0 else -inward
        face = tip + (_TIP - 0.5 * _LINING) * inward
        solids.append(
            Tube(put(face), 0.5 * _LINING, "lining", f"lining of the {name}", cut=True, at=put(finger[2:3])[0])
        )
    return solids


def _lever(device: Device, put: Put, angle: float) -> list[Solid]:
    """The operating lever on the moving finger's root, and what the cable ends in."""
    end = lever_end(device, angle)
    ahead = np.array([end[1], -end[0], 0.0]) / device.lever
    level = np.array([0.0, 0.0, 1.0])
    run = np.stack([_HUB * level, 0.30 * end + 0.003 * ahead + _HUB * level, 0.68 * end + 0.0035 * ahead, end])
    run[2] += 0.4 * _HUB * level
    arm = through(run, steps=4)
    root = put(_HUB * level[None])[0]
    ball = put(end + np.outer([-0.0045, 0.0045], level))
    sleeve = put(end - np.outer([0.003, 0.017], [1.0, 0.0, 0.0]))
    return [
        Drum(put(np.outer([_HUB - 0.0022, _HUB + 0.0022], level)), 0.0078, "metal", "operating lever", at=root),
        Tube(put(arm), np.linspace(0.0050, 0.0036, len(arm)), "metal", "operating lever", gleam="metal light", at=root),
        Tube(sleeve, 0.0023, "metal", "cable end", cut=True),
        Drum(ball, 0.0052, "metal", "cable end", over=0.0002),
        *(Drum(put(end + np.outer(at, level)), 0.0020, "bore", "cable end", over=0.0003) for at in _BORE),
    ]


def _pin(put: Put) -> list[Solid]:
    """Both heads of the bolt about which the finger turns."""
    heads = [(_HUB + 0.002, _HUB + 0.0045), (-_HUB - 0.0025, -_HUB + 0.0005)]
    level = np.array([0.0, 0.0, 1.0])
    return [Drum(put(np.outer(ends, level)), 0.0040, "metal", "pivot", over=0.001) for ends in heads]


def _bands(many: int, put: Put, fixed: Points, moving: Points) -> list[Solid]:
    """Bands round both fingers, side by side at their roots; what finds no room there lies on top."""
    level, thick = np.array([0.0, 0.0, 1.0]), _thick()
    solids: list[Solid] = []
    for number in range(many):
        layer, place = divmod(number, _LAYER)
        here = (_SEAT + _PITCH * (place + 0.5 * layer)) / float(np.linalg.norm(fixed[-1]))
        one, other = (_along(finger, here) for finger in (fixed, moving))
        far = float(_along(thick[:, None], here)[0]) + _BAND * (1.0 + 1.6 * layer)
        apart = (other - one) / np.linalg.norm(other - one)
        name = f"band {number + 1}"
        bend = np.linspace(-0.5 * np.pi, 0.5 * np.pi, 7)[:, None]
        for centre, out in ((one, -apart), (other, apart)):
            arc = centre + far * (np.cos(bend) * out + np.sin(bend) * level)
            solids.append(Tube(put(arc), _BAND, "rubber", name, cut=True))
        sides = (np.stack([one, other]) + far * face for face in (-level, level))
        solids.extend(Tube(put(side), _BAND, "rubber", name, cut=True, over=0.0003) for side in sides)
    return solids


def _along(line: Points, share: float) -> Points:
    """A point of a finger at a share of its way ahead; both fingers are laid out alike."""
    at = np.interp(share, _STATIONS, np.arange(len(_STATIONS)))
    first = min(int(at), len(line) - 2)
    return np.asarray(line[first] + (at - first) * (line[first + 1] - line[first]))


def _spring(device: Device, put: Put, fixed: Points, angle: float) -> list[Solid]:
    """A coil from the operating lever forward to a post on the fixed finger: it draws the lever ahead again."""
    level = np.array([0.0, 0.0, 1.0])
    side = 1.0 if fixed[8, 1] > 0.0 else -1.0
    post = _along(fixed, 0.50) + np.array([0.0, 0.0075 * side, 0.0])
    hook = 0.60 * lever_end(device, angle)
    way = (post - hook) / np.linalg.norm(post - hook)
    across = np.array([-way[1], way[0], 0.0])
    turn = np.linspace(0.0, 2.0 * np.pi * _COILS, 10 * _COILS + 1)[:, None]
    coil = (
        hook + (0.12 + 0.76 * turn / turn[-1]) * (post - hook) + _COIL * (np.cos(turn) * across + np.sin(turn) * level)
    )
    return [
        Cord(put(np.vstack([hook, coil, post])), "spring", "return spring", over=0.002),
        Tube(put(np.stack([_along(fixed, 0.50), post])), 0.0022, "metal", "post of the spring"),
        Tube(put(hook[None]), 0.0024, "metal", "post of the spring", over=0.012),
    ]
