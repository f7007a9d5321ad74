"""Excursion against arm flexion: generated, captured and required."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import TYPE_CHECKING

import numpy as np

from controlkit.draw.charts.drawn_in import drawn_in
from controlkit.draw.page.axes import angle_axis, held_axis, scaled
from controlkit.draw.page.curves import smooth
from controlkit.draw.page.scene import CHART, Chart, Curve, Marker, Points, Threshold
from controlkit.draw.words.ledger import WRITTEN
from controlkit.draw.words.pull import Units, degrees
from controlkit.units import show

if TYPE_CHECKING:
    from controlkit.mechanics import Motion

__all__ = ["EXCURSIONS", "excursion_scene"]

EXCURSIONS = (0.0, 0.150)
"""A span that holds what a figure-of-eight harness gives from 0 to 90 degrees, any one setting at its limit [m]."""

_LEAST = 0.120  # the axis never ends below this, so that small changes stay small [m]
_STEP = 2.0  # from point to point of a line [deg]


def excursion_scene(
    motion: Motion,
    *,
    arm_flexion: float | None = None,
    pinned: Motion | None = None,
    span: tuple[float, float] | None = None,
    size: tuple[float, float] = CHART,
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
    span : tuple of float, optional
        Ends of the axis of excursion, which stands still as long as the curves lie within, for instance `EXCURSIONS`;
        none to let the curves decide [m].
    size : tuple of float
        Width and height of the chart, in picture points [-].
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
    unit, scale = drawn_in(units, "length")
    needed = "required" if motion.at_rest <= WRITTEN else "still required"
    computed = {name: np.asarray(getattr(motion, name)) for name in ("generated", "captured")}
    computed["required"] = motion.still_required
    degree, (required, generated, captured) = smooth(
        np.degrees(motion.arm_flexion), tuple(computed[name] for name in ("required", "generated", "captured")), _STEP
    )
    curves = [
        Curve(degree, required * scale, needed, "required"),
        Curve(degree, generated * scale, "generated", "generated"),
        Curve(degree, captured * scale, "captured", "captured"),
    ]
    shown: list[Points] = [computed[name] for name in ("generated", "captured", "required")]
    if pinned is not None:
        shown.append(pinned.captured)
        pinned_degree, (held,) = smooth(np.degrees(pinned.arm_flexion), (pinned.captured,), _STEP)
        curves.insert(0, Curve(pinned_degree, held * scale, "pinned", "pinned curve"))
    low, high = float(degree[0]), float(degree[-1])
    thresholds: tuple[Threshold, ...] = ()
    markers: tuple[Marker, ...] = ()
    if arm_flexion is not None:
        here = math.degrees(arm_flexion)
        thresholds = (Threshold(here, degrees(arm_flexion)),)
        markers = tuple(
            Marker(here, float(np.interp(arm_flexion, motion.arm_flexion, computed[style])) * scale, style)
            for style in ("generated", "captured")
        )
    return Chart(
        title="Excursion while the arm flexes",
        words=_words(motion, computed, (degree, captured), pinned=pinned, units=units),
        x_axis=angle_axis("arm flexion [°]", low, high, step=15.0 if high - low <= 120.0 else 30.0),
        y_axis=held_axis(
            f"excursion [{unit}]",
            scaled(span, scale),
            *(curve * scale for curve in shown),
            least=_LEAST * scale,
            upward=True,
        ),
        curves=tuple(curves),
        thresholds=thresholds,
        markers=markers,
        size=size,
    )


def _words(
    motion: Motion,
    computed: Mapping[str, Points],
    joined: tuple[Points, Points],
    *,
    pinned: Motion | None,
    units: Units,
) -> str:
    required = float(computed["required"][0])

    def at_end(curve: Points) -> str:
        return show(float(curve[-1]), "length", units)

    text = (
        f"As the arm flexes from {degrees(float(motion.arm_flexion[0]))} to "
        f"{degrees(float(motion.arm_flexion[-1]))}, the motion generates {at_end(computed['generated'])} "
        f"and the harness captures {at_end(computed['captured'])}; full opening requires "
        f"{at_end(motion.required)}."
    )
    if motion.at_rest > WRITTEN:
        text += f" Of that the straps draw {show(motion.at_rest, 'length', units)} at rest."
    angle, captured = joined
    if (captured >= required).any():
        text += f" Enough is captured from about {degrees(math.radians(_reached(angle, captured, required)))} on."
    else:
        text += " It is never enough for full opening."
    if pinned is not None:
        text += f" The pinned setting captures {at_end(pinned.captured)}."
    return text


def _reached(angle: Points, captured: Points, required: float) -> float:
    """Angle at which enough is first captured, on the line between two angles of the curve."""
    k = int(np.argmax(captured >= required))
    if k == 0:
        return float(angle[0])
    share = (required - captured[k - 1]) / (captured[k] - captured[k - 1])
    return float(angle[k - 1] + share * (angle[k] - angle[k - 1]))
