"""Dual control over the elbow's angle, as curves: lift force, excursion, what can be held with the elbow unlocked."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from controlkit.draw.charts.drawn_in import drawn_in
from controlkit.draw.page.axes import angle_axis, held_axis, scaled
from controlkit.draw.page.curves import smooth
from controlkit.draw.page.scene import CHART, Axis, Chart, Curve, Marker, Points, Threshold
from controlkit.draw.words.dual import why_words
from controlkit.draw.words.pull import Units, degrees, joined
from controlkit.units import show

if TYPE_CHECKING:
    from controlkit.mechanics.chain import Lifted, LiveLift, Opened

__all__ = ["dual_excursion_chart", "lift_force_chart", "live_grip_chart", "live_lift_chart"]

_STEP = 2.0  # from point to point of a line [deg]
_HATCH = 1.5  # from stroke to stroke [deg]
_MOST = 600.0  # more than any wearer pulls, and room for the marks [N]


def lift_force_chart(
    lifted: Lifted,
    *,
    elbow_flexion: float | None = None,
    pinned: Lifted | None = None,
    allowed: float | None = None,
    span: tuple[float, float] | None = None,
    size: tuple[float, float] = CHART,
    units: Units = "both",
) -> Chart:
    """Draw the force that lifting takes, at the harness and at the device, against the force that opens the device.

    Parameters
    ----------
    lifted : Lifted
        What the mechanics found, elbow angle by elbow angle.
    elbow_flexion : float, optional
        The angle to mark [rad].
    pinned : Lifted, optional
        An earlier setting; its force at the harness is drawn thin and grey.
    allowed : float, optional
        What the harness may carry many times a day; drawn where it lies within the axis [N].
    span : tuple of float, optional
        Ends of the axis of force, which stands still as long as the curves lie within; none to let them decide [N].
    size : tuple of float
        Width and height of the chart, in picture points [-].
    units : str
        "metric", "inch-pound" or "both" (which draws in newtons).

    Returns
    -------
    Chart
        The curves and sentences about them; where the device would open too early, strokes fill the gap between its
        curve and the level at which it opens.
    """
    unit, scale = drawn_in(units, "force")
    drawn = _drawn(lifted)
    angle, opens = lifted.elbow_flexion[drawn], lifted.opening_force * scale
    found = (lifted.harness_force, "harness", "generated"), (lifted.device_force, "device", "captured")
    curves = [_line(angle, force[drawn], scale, (name, style)) for force, name, style in found if drawn.any()]
    marked = _marks(curves, elbow_flexion)
    early = curves[-1].y >= opens if curves else np.zeros(1, dtype=bool)
    if early.any():
        curves.append(_hatched(curves[-1], opens, early))
    if pinned is not None and (then := _drawn(pinned)).any():
        curves.insert(0, _pinned(pinned.elbow_flexion[then], pinned.harness_force[then], scale))
    upward = held_axis(f"force [{unit}]", scaled(span, scale), *(curve.y for curve in curves), opens * 1.1)
    levels = [Threshold(opens, "opens", "y", "required")]
    if allowed is not None and allowed * scale <= upward.high:
        levels.append(Threshold(allowed * scale, "often", "y"))
    return Chart(
        title="Force that lifts the forearm",
        words=_force_words(lifted, units),
        x_axis=_elbow(np.degrees(lifted.elbow_flexion)),
        y_axis=upward,
        curves=tuple(curves),
        thresholds=(*_here(elbow_flexion), *levels),
        markers=marked,
        size=size,
    )


def dual_excursion_chart(
    opened: Opened,
    *,
    elbow_flexion: float | None = None,
    pinned: Opened | None = None,
    span: tuple[float, float] | None = None,
    size: tuple[float, float] = CHART,
    units: Units = "both",
) -> Chart:
    """Draw what the harness captures, what lifting has taken up of it, and what that leaves for opening.

    Parameters
    ----------
    opened : Opened
        What the mechanics found with the elbow locked, elbow angle by elbow angle.
    elbow_flexion : float, optional
        The angle to mark [rad].
    pinned : Opened, optional
        An earlier setting; what it leaves for opening is drawn thin and grey.
    span : tuple of float, optional
        Ends of the axis of excursion, as in `lift_force_chart` [m].
    size : tuple of float
        Width and height of the chart, in picture points [-].
    units : str
        "metric", "inch-pound" or "both" (which draws in millimetres).

    Returns
    -------
    Chart
        The curves and sentences about them.
    """
    unit, scale = drawn_in(units, "length")
    degree = np.degrees(opened.elbow_flexion)
    x, lines = smooth(degree, (opened.captured, opened.taken_by_lift, opened.left_for_opening), _STEP)
    names = (("captured", "captured"), ("taken by lift", "taken"), ("left to open", "left"))
    curves = tuple(Curve(x, y * scale, name, style) for y, (name, style) in zip(lines, names, strict=True))
    marked, required = _marks(curves, elbow_flexion), opened.required * scale
    if pinned is not None:
        curves = _pinned(pinned.elbow_flexion, pinned.left_for_opening, scale), *curves
    return Chart(
        title="Excursion with the elbow locked",
        words=_excursion_words(opened, units),
        x_axis=_elbow(degree),
        y_axis=held_axis(f"excursion [{unit}]", scaled(span, scale), *(curve.y for curve in curves), required),
        curves=curves,
        thresholds=(*_here(elbow_flexion), Threshold(required, "required", "y", "required")),
        markers=marked,
        size=size,
    )


def live_lift_chart(
    live: LiveLift,
    *,
    elbow_flexion: float | None = None,
    span: tuple[float, float] | None = None,
    size: tuple[float, float] = CHART,
    units: Units = "both",
) -> Chart:
    """Draw what can be held up with the elbow unlocked, before it slips and before the device opens.

    Parameters
    ----------
    live : LiveLift
        What the mechanics found, elbow angle by elbow angle.
    elbow_flexion : float, optional
        The angle to mark [rad].
    span : tuple of float, optional
        Ends of the axis of mass, as in `lift_force_chart` [kg].
    size : tuple of float
        Width and height of the chart, in picture points [-].
    units : str
        "metric", "inch-pound" or "both" (which draws in kilograms).

    Returns
    -------
    Chart
        The curves and sentences about them.
    """
    unit, scale = drawn_in(units, "mass")
    degree = np.degrees(live.elbow_flexion)
    x, (opens, slips) = smooth(degree, (live.opens_at, live.slips_at), _STEP)
    curves = Curve(x, opens * scale, "opens", "required"), Curve(x, slips * scale, "slips", "captured")
    return Chart(
        title="Live lift: mass held up, elbow unlocked",
        words=_live_words(live, units),
        x_axis=_elbow(degree),
        y_axis=held_axis(f"mass [{unit}]", scaled(span, scale), *(curve.y for curve in curves), least=0.5 * scale),
        curves=curves,
        thresholds=_here(elbow_flexion),
        markers=_marks(curves, elbow_flexion),
        size=size,
    )


def live_grip_chart(
    live: LiveLift,
    *,
    elbow_flexion: float | None = None,
    span: tuple[float, float] | None = None,
    size: tuple[float, float] = CHART,
    units: Units = "both",
) -> Chart:
    """Draw how much grip is left on an object as it slips, beside the grip without any pull at the cable.

    Parameters
    ----------
    live : LiveLift
        What the mechanics found, elbow angle by elbow angle.
    elbow_flexion : float, optional
        The angle to mark [rad].
    span : tuple of float, optional
        Ends of the axis of force, as in `lift_force_chart` [N].
    size : tuple of float
        Width and height of the chart, in picture points [-].
    units : str
        "metric", "inch-pound" or "both" (which draws in newtons).

    Returns
    -------
    Chart
        The curve and a sentence about it.
    """
    unit, scale = drawn_in(units, "force")
    degree = np.degrees(live.elbow_flexion)
    x, (grip,) = smooth(degree, (live.grip,), _STEP)
    unpulled = live.grip_unpulled * scale
    curves = (Curve(x, grip * scale, "as it slips", "captured"),)
    low, high = (show(float(force), "force", units) for force in (live.grip.min(), live.grip.max()))
    return Chart(
        title="Grip that is left with the elbow unlocked",
        words=f"Without pull at the cable the grip is {show(live.grip_unpulled, 'force', units)}. The cable that holds "
        f"the forearm up draws the fingers apart, so that only {low if low == high else f'{low} to {high}'} are left "
        f"when the object slips, over the elbow's angles.",
        x_axis=_elbow(degree),
        y_axis=held_axis(f"grip [{unit}]", scaled(span, scale), grip * scale, unpulled),
        curves=curves,
        thresholds=(*_here(elbow_flexion), Threshold(unpulled, "no pull", "y", "required")),
        markers=_marks(curves, elbow_flexion),
        size=size,
    )


def _drawn(lifted: Lifted) -> NDArray[np.bool_]:
    """Angles whose force a line can show: what a wearer could pull, in one piece, no nought past a dead point."""
    force, dead = lifted.harness_force, np.array([limit == "dead point" for limit in lifted.limited_by])
    shown = (force < _MOST) & ~(dead & (force <= 0.0))
    pieces = np.cumsum(~shown)
    counted = np.bincount(pieces[shown], minlength=1)
    together: NDArray[np.bool_] = pieces == int(counted.argmax())
    return shown & together


def _elbow(degree: Points) -> Axis:
    return angle_axis("elbow flexion [°]", float(degree[0]), float(degree[-1]))


def _here(elbow_flexion: float | None) -> tuple[Threshold, ...]:
    """The angle on show."""
    if elbow_flexion is None:
        return ()
    return (Threshold(float(np.degrees(elbow_flexion)), degrees(round(elbow_flexion, 4))),)


def _marks(curves: tuple[Curve, ...] | list[Curve], elbow_flexion: float | None) -> tuple[Marker, ...]:
    """A marked point of each curve at the angle on show."""
    if elbow_flexion is None:
        return ()
    at = float(np.degrees(elbow_flexion))
    there = [curve for curve in curves if curve.x[0] - _STEP <= at <= curve.x[-1] + _STEP]
    return tuple(Marker(at, float(np.interp(at, curve.x, curve.y)), curve.style) for curve in there)


def _pinned(angle: Points, held: Points, scale: float) -> Curve:
    """What an earlier setting came to, where it came to anything."""
    return _line(angle, held, scale, ("pinned", "pinned curve"))


def _line(angle: Points, held: Points, scale: float, named: tuple[str, str]) -> Curve:
    """A smooth line where there is anything, with its name and style."""
    finite = np.isfinite(held)
    x, (y,) = smooth(np.degrees(angle[finite]), (held[finite],), _STEP)
    return Curve(x, y * scale, *named)


def _hatched(device: Curve, opens: float, early: NDArray[np.bool_]) -> Curve:
    """Strokes to and fro between a curve and a level, wherever the curve lies above it."""
    over = device.x[early]
    across = np.arange(float(over[0]), float(over[-1]) + 1e-9, _HATCH)
    height = np.maximum(np.interp(across, device.x, device.y), opens)
    strokes = np.stack([np.full_like(height, opens), height], axis=1)
    return Curve(np.repeat(across, 2), strokes.ravel(), "too early", "hatch")


def _over(angles: Points) -> str:
    """Say a range of angles."""
    first, last = (degrees(float(at)) for at in (angles[0], angles[-1]))
    return first if first == last else f"{first} to {last}"


def _force_words(lifted: Lifted, units: Units) -> str:
    finite = np.isfinite(lifted.lift_force)
    if not finite.any():
        return (
            f"No pull lifts the forearm anywhere over {_over(lifted.elbow_flexion)}: the cable passes through or "
            f"behind the axis. The device begins to open at {show(lifted.opening_force, 'force', units)}."
        )
    k = int(np.argmax(np.where(finite, lifted.harness_force, -1.0)))
    load = f" with {show(lifted.load, 'mass', units)} in the device" if lifted.load else ""
    text = (
        f"Lifting the forearm{load} asks most of the harness at {_over(lifted.elbow_flexion[k : k + 1])}: "
        f"{show(float(lifted.harness_force[k]), 'force', units)} there, of which "
        f"{show(float(lifted.device_force[k]), 'force', units)} come to the device. It begins to open at "
        f"{show(lifted.opening_force, 'force', units)}. "
    )
    early = finite & ~lifted.stays_shut
    if early.any():
        text += f"It opens too early over {_over(lifted.elbow_flexion[early])}, where the chart is hatched."
    else:
        text += "It stays shut at every angle."
    if not finite.all():
        stuck = joined(_over(at[None]) for at in lifted.elbow_flexion[~finite])
        text += f" At {stuck} no pull lifts: the cable passes through or behind the axis."
    stops = list(dict.fromkeys(limit for limit in lifted.limited_by if limit not in ("nothing", "rest")))
    if stops:
        first = next(k for k, limit in enumerate(lifted.limited_by) if limit == stops[0])
        where = _over(lifted.elbow_flexion[first : first + 1])
        text += f" From {where} on the control motion does not bring the forearm there: {why_words(stops[0])}."
    if lifted.jumps.any():
        text += f" Over {_over(lifted.elbow_flexion[lifted.jumps])} the forearm runs up by itself."
    return text


def _excursion_words(opened: Opened, units: Units) -> str:
    ends = [
        f"{show(float(curve[0]), 'length', units)} to {show(float(curve[-1]), 'length', units)}"
        for curve in (opened.captured, opened.taken_by_lift, opened.left_for_opening)
    ]
    text = (
        f"The arm flexed {_over(np.array([opened.arm_flexion]))}, with the elbow locked at "
        f"{_over(opened.elbow_flexion)}: the harness captures {ends[0]}; lifting has taken up {ends[1]} and keeps it; "
        f"that leaves {ends[2]} for opening, which requires {show(opened.required, 'length', units)}. "
    )
    full = np.array([limit == "nothing" for limit in opened.limited_by])
    if full.all():
        return f"{text}The device opens fully at every angle."
    if not full.any():
        return f"{text}It opens fully at no angle."
    return f"{text}It opens fully when locked at {_over(opened.elbow_flexion[full])}."


def _live_words(live: LiveLift, units: Units) -> str:
    k = int(np.argmin(live.slips_at))
    text = (
        f"With the elbow unlocked, the cable that holds the forearm up also draws at the device. The least can be held "
        f"at {_over(live.elbow_flexion[k : k + 1])}: {show(float(live.slips_at[k]), 'mass', units, 2)} slip there"
    )
    if (live.slips_at < live.opens_at).all():
        return f"{text}. At every angle an object slips before the device opens."
    if float(live.slips_at[k]) <= 0.0:
        return f"{text}: even the empty forearm opens the device."
    return f"{text}."
