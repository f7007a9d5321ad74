"""Excursion against arm flexion: generated, captured and required."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from controlkit.draw.page.axes import nice_ticks
from controlkit.draw.page.curves import monotone
from controlkit.draw.page.scene import Axis, Chart, Curve, Marker, Points, Threshold
from controlkit.draw.words.pull import Units, degrees
from controlkit.units import show

if TYPE_CHECKING:
    from controlkit.mechanics import Motion

__all__ = ["excursion_scene"]

_LEAST = 0.120  # the axis never ends below this, so that small changes stay small [m]


def excursion_scene(
    motion: Motion,
    *,
    arm_flexion: float | None = None,
    pinned: Motion | None = None,
    units: Units = "both",
) -> Chart:
    """Draw the three excursions of a motion against the angle of the arm.

    Parameters
    ----------
    motion : Motion
        What the mechanics found for a sweep of arm flexion.
    arm_flexion : float, optional
        The angle to mark [rad].
    pinned : Motion, optional
        An earlier setting; its captured excursion is drawn thin and grey.
    units : str
        "metric", "inch-pound" or "both" (which draws in millimetres).

    Returns
    -------
    Chart
        The curves and a sentence about them.

    Notes
    -----
    Points are the computed ones; the line joins them by a monotone cubic.
    """
    inch = units == "inch-pound"
    scale = 1.0 / 0.0254 if inch else 1000.0
    angle, (required, generated, captured) = _joined(
        motion.arm_flexion, motion.required, motion.generated, motion.captured
    )
    shown: list[Points] = [motion.generated, motion.captured, motion.required]
    if pinned is not None:
        shown.append(pinned.captured)
    most = max(float(np.max(curve)) for curve in shown)
    high, ticks = nice_ticks(max(most, _LEAST) * scale)
    curves = [
        Curve(angle, required * scale, "required", "required"),
        Curve(angle, generated * scale, "generated", "generated"),
        Curve(angle, captured * scale, "captured", "captured"),
    ]
    if pinned is not None:
        pinned_angle, (held,) = _joined(pinned.arm_flexion, pinned.captured)
        curves.insert(0, Curve(pinned_angle, held * scale, "pinned", "pinned curve"))
    low_x, high_x = float(angle[0]), float(angle[-1])
    step = 15.0 if high_x - low_x <= 120.0 else 30.0
    first = math.ceil(low_x / step - 1e-9) * step
    x_ticks = tuple(float(tick) for tick in np.arange(first, high_x + 1e-6, step))
    low = min(0.0, *(float(np.min(curve)) * scale for curve in shown))
    if low < 0.0:
        below = math.floor(low / ticks[1]) * ticks[1]
        ticks = (*(float(t) for t in np.arange(below, -1e-9, ticks[1])), *ticks)
        low = below
    thresholds: tuple[Threshold, ...] = ()
    markers: tuple[Marker, ...] = ()
    if arm_flexion is not None:
        here = math.degrees(arm_flexion)
        thresholds = (Threshold(here, degrees(arm_flexion)),)
        markers = tuple(
            Marker(here, float(np.interp(arm_flexion, motion.arm_flexion, curve)) * scale, style)
            for curve, style in (
                (motion.generated, "generated"),
                (motion.captured, "captured"),
            )
        )
    return Chart(
        title="Excursion while the arm flexes",
        words=_words(motion, pinned, units),
        x_axis=Axis("arm flexion [°]", low_x, high_x, x_ticks),
        y_axis=Axis(f"excursion [{'in' if inch else 'mm'}]", low, high, ticks),
        curves=tuple(curves),
        thresholds=thresholds,
        markers=markers,
    )


def _joined(angles: Points, *curves: Points) -> tuple[Points, tuple[Points, ...]]:
    """Join computed points by a smooth line that adds no bump of its own; angles come back in degrees."""
    degree = np.degrees(angles)
    if len(degree) < 3:
        return degree, curves
    fine = np.union1d(np.arange(degree[0], degree[-1], 2.0), degree)
    return fine, tuple(monotone(degree, curve, fine) for curve in curves)


def _words(motion: Motion, pinned: Motion | None, units: Units) -> str:
    def at_end(curve: Points) -> str:
        return show(float(curve[-1]), "length", units)

    text = (
        f"As the arm flexes from {degrees(float(motion.arm_flexion[0]))} to "
        f"{degrees(float(motion.arm_flexion[-1]))}, the motion generates {at_end(motion.generated)} "
        f"and the harness captures {at_end(motion.captured)}; full opening requires "
        f"{at_end(motion.required)}."
    )
    angle, (captured,) = _joined(motion.arm_flexion, motion.captured)
    enough = np.flatnonzero(captured >= motion.required[0])
    if enough.size:
        text += f" Enough is captured from about {degrees(math.radians(float(angle[enough[0]])))} on."
    else:
        text += " It is never enough for full opening."
    if pinned is not None:
        text += f" The pinned setting captures {at_end(pinned.captured)}."
    return text
