"""Harness patterns side by side, as bars, and the slip of a socket against the load that hangs on it."""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np

from controlkit.draw.charts.bars import Bar, Group, bar_scene
from controlkit.draw.charts.drawn_in import drawn_in
from controlkit.draw.page.axes import held_axis
from controlkit.draw.page.scene import CHART, Chart, Curve, Marker, Scene, Threshold
from controlkit.draw.words.patterns import PatternShown, slip_words
from controlkit.draw.words.pull import Units, degrees, joined
from controlkit.units import show

__all__ = ["LOADS", "pattern_bars", "slip_chart"]

LOADS = (0.0, 250.0)
"""A span that holds the loads that a lab hangs at a device [N]."""

_FALLS = "+"
"""Behind a slip at which the straps do not carry the load yet."""


def pattern_bars(
    now: PatternShown, usual: Mapping[str, PatternShown], units: Units = "both", *, size: tuple[float, float] = CHART
) -> Scene:
    """Draw patterns side by side: what they capture, the larger of what pull and load press in the armpit, slip.

    Parameters
    ----------
    now : PatternShown
        The pattern as it is set.
    usual : mapping
        Every pattern as it is usually put on, by a short name; all in the same pose and under the same load.
    units : str
        "metric", "inch-pound" or "both" (which draws in metric units).
    size : tuple of float
        Width and height, in picture points; many bars need more height [-].

    Returns
    -------
    Scene
        The bars, with their words.
    """
    shown = {"as set now": now, **usual}
    captured, armpit, slips = [], [], []
    for name, one in shown.items():
        set_now = one is now
        captured.append(
            Bar(name, one.pull.excursion.captured, "bar captured" if set_now else "bar generated"),
        )
        armpit.append(Bar(name, one.worse, "bar captured" if set_now else "bar lost", digits=2))
        slip = one.held.slip if one.carried else float(one.held.slips[-1])
        style = "bar captured" if set_now else "bar plain"
        slips.append(Bar(name, slip, style, note="" if one.carried else _FALLS))
    load = show(now.held.load, "force", "inch-pound" if units == "inch-pound" else "metric")
    angle = degrees(float(now.pull.pose.arm_flexion))
    groups = (
        Group(f"Captured, arm at {angle} [{{unit}}]", tuple(captured), "length", 0.06),
        Group(f"In the armpit, by that or by {load} [{{unit}}]", tuple(armpit), "line load", 500.0),
        Group(f"Slips under {load} [{{unit}}]; {_FALLS} not carried", tuple(slips), "length", 0.03),
    )
    return bar_scene("Patterns side by side", _words(usual, angle, load, units), groups, units, size=size)


def slip_chart(
    shown: PatternShown,
    *,
    pinned: PatternShown | None = None,
    span: tuple[float, float] | None = None,
    size: tuple[float, float] = CHART,
    units: Units = "both",
) -> Chart:
    """Draw how far loads drag the socket down.

    Parameters
    ----------
    shown : PatternShown
        The pattern, under the load to mark.
    pinned : PatternShown, optional
        An earlier setting; its slip is drawn thin and grey.
    span : tuple of float, optional
        Ends of the axis of the load, for instance `LOADS`; none to let the curve decide [N].
    size : tuple of float
        Width and height of the chart, in picture points [-].
    units : str
        "metric", "inch-pound" or "both" (which draws in metric units).

    Returns
    -------
    Chart
        The curve and sentences about it.

    Notes
    -----
    Points are the computed ones, every 5 mm of slip, and straight lines join them; the point that is marked is computed
    for its own load.
    """
    long, force = drawn_in(units, "length"), drawn_in(units, "force")
    most = (span or LOADS)[1]

    def curve(one: PatternShown, name: str, style: str) -> Curve:
        loads, slips = one.held.carries, one.held.slips
        if loads[-1] > most:
            k = int(np.argmax(loads > most))
            slips = np.append(slips[:k], np.interp(most, loads[k - 1 : k + 1], slips[k - 1 : k + 1]))
            loads = np.append(loads[:k], most)
        return Curve(loads * force[1], slips * long[1], name, style)

    curves = [curve(shown, "slip", "captured")]
    if pinned is not None:
        curves.insert(0, curve(pinned, "pinned", "pinned curve"))
    held = shown.held
    at = held.load * force[1]
    markers = (Marker(at, held.slip * long[1], "captured"),) if math.isfinite(held.slip) else ()
    words = f"Slip against load, straps alone. {slip_words(shown, units)}"
    if not shown.carried:
        words += f" They carry {show(float(held.carries.max()), 'force', units)} at most."
    return Chart(
        title="Slip of the socket under a load",
        words=words,
        x_axis=held_axis(f"load at the device [{force[0]}]", (0.0, most * force[1]), at),
        y_axis=held_axis(f"slip [{long[0]}]", (0.0, float(held.slips[-1]) * long[1]), 0.0, upward=True),
        curves=tuple(curves),
        thresholds=(Threshold(at, show(held.load, "force", "inch-pound" if units == "inch-pound" else "metric")),),
        markers=markers,
        size=size,
    )


def _words(usual: Mapping[str, PatternShown], angle: str, load: str, units: Units) -> str:

    def pressed(one: PatternShown) -> str:
        by_pull, by_load = (show(each, "line load", units) for each in (one.armpit, one.hung))
        return f"{by_pull} by the pull and {by_load} by the load"

    each = []
    for name, one in usual.items():
        slip = f"slip {show(one.held.slip, 'length', units)}" if one.carried else "not carried"
        captured = show(one.pull.excursion.captured, "length", units)
        each.append(f"{name}: {captured}, {pressed(one)}, {slip}")
    return (
        f"Side by side, each as it is usually put on, arm at {angle}: captured, in the armpit, and slip under {load}; "
        "of what presses in the armpit the bar shows the larger. "
        f"{joined(each)}."
    )
