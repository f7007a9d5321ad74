"""Crossbar and base plate on the triceps pad, with the end of the housing, the cable and the hanger."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from controlkit.draw.details.spots import Part, inset
from controlkit.draw.gear.metal import hanger
from controlkit.draw.gear.sight import Sight, unit
from controlkit.draw.gear.webbing import ribbon, sewn_end, web
from controlkit.draw.page.curves import through
from controlkit.draw.page.scene import Frame, Item, Points, Scene
from controlkit.draw.page.solids import Cord, Drum, Plate, Solid, Tube, Viewpoint, seen
from controlkit.mechanics.harness.layout import CONTROL_STRAP

__all__ = ["crossbar_detail"]

_PAD = np.array([[-0.058, -0.046], [0.050, -0.050], [0.056, 0.028], [0.020, 0.044], [-0.030, 0.042], [-0.056, 0.026]])
_TURNED = -0.38  # that the viewer has gone round [rad]
_PULL = unit(np.array([0.42, -0.91, 0.0]))  # the cable's way from the hanger to the crossbar
_STRAP = unit(_PULL + np.array([0.25, 0.0, 0.0]))  # the strap comes from further behind
_BAR = np.array([-_PULL[1], _PULL[0], 0.0])


def _eye() -> Viewpoint:
    right = np.array([np.cos(_TURNED), 0.0, np.sin(_TURNED)])
    return Viewpoint(right, np.array([0.0, 1.0, 0.0]), np.array([-np.sin(_TURNED), 0.0, np.cos(_TURNED)]))


def _open(points: Points) -> NDArray[np.bool_]:
    return np.zeros(points.shape[:-1], dtype=np.bool_)


def _level(height: float, points: Points) -> Points:
    return np.column_stack([points, np.full(len(points), height)])


def _on_pad() -> list[Solid]:
    """Pad, base plate and crossbar, the lowest first."""
    edge = through(_PAD, closed=True, steps=6)
    turn = np.linspace(0.0, 2.0 * np.pi, 33)[:-1, None]
    oval = 0.021 * np.cos(turn) * _BAR + 0.013 * np.sin(turn) * _PULL
    up = np.array([0.0, 0.0, 1.0])
    end = through(np.array([0.004 * _PULL, 0.030 * _PULL, [0.026, -0.062, 0.0], [0.030, -0.085, -0.004]]), steps=6)
    return [
        Plate(_level(0.0, edge), "leather", "triceps pad"),
        Cord(_level(0.0, np.vstack([edge, edge[:1]])), "leather edge", "edge of the pad"),
        Cord(_level(0.0, 0.90 * np.vstack([edge, edge[:1]])), "stitch", "stitches of the pad"),
        Plate(oval + 0.002 * up, "plate", "base plate", thick=0.0022 * up, side="hanger"),
        *(Drum(way * 0.0155 * _BAR + np.outer([0.0030, 0.0046], up), 0.0026, "rivet", "rivet") for way in (-1.0, 1.0)),
        Drum(np.outer([0.0030, 0.0080], up), 0.0050, "metal", "swivel"),
        Cord(end + 0.0105 * up, "housing", "housing"),
        Drum(np.outer([-0.010, 0.017], _PULL) + 0.0105 * up, 0.0046, "metal", "end of the housing", rings=8),
        Tube(np.outer([-0.030, 0.030], _BAR) + 0.0105 * up, 0.0042, "plate", "crossbar", gleam="metal light"),
    ]


def crossbar_detail() -> Scene:
    """Draw the crossbar on its base plate.

    Returns
    -------
    Scene
        The detail.
    """
    eye = _eye()
    sight = Sight(right=eye.right, towards=eye.towards, hides=_open)
    items: list[Item] = [item for solid in _on_pad() for item in seen(solid, eye)]
    lift = np.array([0.0, 0.0, 0.0105])
    begins = -0.060 * _PULL + lift
    items.extend(seen(Cord(np.linspace(begins, -0.010 * _PULL + lift, 3), "cable", "cable"), eye))
    line = begins - np.outer(np.linspace(0.010, 0.090, 9), _STRAP)
    strap = web(line, np.tile([0.0, 0.0, 1.0], (len(line), 1)), 0.0127, _open(line))
    items.append(ribbon(strap, sight, CONTROL_STRAP, CONTROL_STRAP))
    items.extend(sewn_end(strap, sight, CONTROL_STRAP, CONTROL_STRAP, long=0.036))
    items.extend(hanger(line[0], _PULL, unit(strap.across[0]), sight))
    parts: list[Part] = [
        (tuple(CONTROL_STRAP.split(" ", 1)), CONTROL_STRAP, (0.49, 0.93)),
        (("hanger",), "hanger", (0.57, 0.82)),
        (("cable",), "cable", (0.63, 0.74)),
        (("crossbar",), "crossbar", (0.84, 0.58)),
        (("base plate,", "riveted on"), "base plate", (0.24, 0.44)),
        (("end of", "the housing"), "end of the housing", (0.78, 0.36)),
        (("housing",), "housing", (0.79, 0.10)),
        (("triceps pad",), "triceps pad", (0.25, 0.24)),
    ]
    words = (
        "The crossbar, close to. A base plate is riveted on the triceps pad. The crossbar swivels on it and holds the "
        "end of the housing; the cable comes out of the housing there and runs bare to the hanger on the control "
        "attachment strap. So the housing stays where it is while the cable slides in it."
    )
    frame = Frame(-0.130, -0.078, 0.120, 0.100, text=0.0080)
    return inset("Crossbar and base plate", words, frame, items=items, parts=parts)
