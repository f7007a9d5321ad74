"""What the elbow does to a cable, as curves: force at the hook, total wrap, length of the path."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from controlkit.draw.charts.drawn_in import drawn_in
from controlkit.draw.page.axes import angle_axis, held_axis, scaled
from controlkit.draw.page.curves import smooth
from controlkit.draw.page.scene import CHART, Axis, Chart, Curve, Marker, Points, Threshold
from controlkit.draw.words.effort import percent
from controlkit.draw.words.pull import Units, degrees
from controlkit.units import show

if TYPE_CHECKING:
    from controlkit.mechanics.cable import CableLine

__all__ = ["Bent", "bend_chart", "force_chart", "path_chart"]

_DEGREE = float(np.degrees(1.0))


@dataclass(frozen=True, eq=False)
class Bent:
    """A cable over a swing of the elbow.

    Parameters
    ----------
    elbow_flexion : numpy.ndarray
        Shape (N,), rising [rad].
    lines : tuple of CableLine
        What the mechanics found at each.
    """

    elbow_flexion: Points
    lines: Sequence[CableLine]

    def reached(self) -> Bent:
        """Leave out what a housing that is too short does not let the elbow reach.

        Returns
        -------
        Bent
            The part of the swing that the elbow can make.
        """
        limit, keep = self.lines[0].elbow_limit, int(np.sum(self.elbow_flexion < self.lines[0].elbow_limit))
        if keep == len(self.lines):
            return self
        # beyond its stop the elbow stays there, and so does the line
        return Bent(np.append(self.elbow_flexion[:keep], limit), tuple(self.lines[: keep + 1]))

    def of(self, name: str) -> Points:
        """One attribute of all lines."""
        return np.array([getattr(line, name) for line in self.lines])


def _curve(bent: Bent, y: Points, name: str, style: str) -> Curve:
    x, (y,) = smooth(np.degrees(bent.elbow_flexion), (y,), 2.5)
    return Curve(x, y, name, style)


def _curves(bent: Bent, pinned: Bent | None, of: Callable[[Bent], Points], name: str) -> tuple[Curve, ...]:
    """Draw one quantity as far as the elbow reaches, before it that of an earlier setting."""
    held = [] if pinned is None else [_curve(pinned.reached(), of(pinned.reached()), "pinned", "pinned curve")]
    return *held, _curve(bent.reached(), of(bent.reached()), name, "pulling")


@dataclass(frozen=True)
class _Swing:
    """What all charts over the swing of the elbow share: the axis, and the angle on show."""

    x_axis: Axis
    at: float
    now: Threshold

    def mark(self, value: float, style: str = "pulling") -> Marker:
        """A marked point at the angle on show."""
        return Marker(self.at, value, style)


def _swing(bent: Bent, elbow_flexion: float, line: CableLine) -> _Swing:
    """Mark the angle on show; where the housing stops the elbow, that angle."""
    reached = min(elbow_flexion, line.elbow_limit)
    at = float(np.degrees(reached))
    across = angle_axis("elbow flexion [°]", 0.0, float(np.degrees(bent.elbow_flexion[-1])))
    return _Swing(across, at, Threshold(at, degrees(round(reached, 4))))


def _span(forces: Points, units: Units) -> str:
    low, high = (show(float(force), "force", units) for force in (forces.min(), forces.max()))
    return low if low == high else f"{low} to {high}"


def force_chart(
    bent: Bent,
    elbow_flexion: float,
    line: CableLine,
    *,
    pull: float,
    least: float,
    band: tuple[tuple[float, Points], ...] = (),
    pinned: Bent | None = None,
    span: tuple[float, float] | None = None,
    size: tuple[float, float] = CHART,
    units: Units = "both",
) -> Chart:
    """Draw what the hook gets, and what it holds, for one force at the harness.

    Parameters
    ----------
    bent : Bent
        The cable over the swing of the elbow.
    elbow_flexion : float
        The angle on show [rad].
    line : CableLine
        The cable there.
    pull : float
        Force at the harness [N].
    least : float
        Efficiency that is asked for [-].
    band : tuple
        Friction coefficient [-] and force that would arrive with it [N], shape (N,), for the ends of a range.
    pinned : Bent, optional
        An earlier setting.
    span : tuple of float, optional
        Ends of the upright axis, which stands still as long as the curves lie within; none to let them decide [N].
    size : tuple of float
        Width and height of the chart, in picture points [-].
    units : str
        "metric", "inch-pound" or "both" (which draws in newtons).

    Returns
    -------
    Chart
        The curves and a sentence about them.
    """
    unit, scale = drawn_in(units, "force")
    here, swing, held = bent.reached(), _swing(bent, elbow_flexion, line), pull * scale
    out, back = held * here.of("efficiency"), held / here.of("efficiency_back")
    curves = (
        *(_curve(here, force[: len(out)] * scale, f"μ {mu:g}", "range") for mu, force in band),
        *_curves(bent, pinned, lambda one: held * one.of("efficiency"), "pulling"),
        _curve(here, back, "back", "letting back"),
    )
    return Chart(
        title="Force at the hook for one pull",
        words=f"Over the swing of the elbow the hook gets {_span(out / scale, units)} while pulling and holds "
        f"{_span(back / scale, units)} while letting back.",
        x_axis=swing.x_axis,
        y_axis=held_axis(f"force at the hook [{unit}]", scaled(span, scale), *(curve.y for curve in curves), held),
        curves=curves,
        thresholds=(
            swing.now,
            Threshold(held, "harness", "y", "now"),
            Threshold(least * held, percent(least), "y", "required"),
        ),
        markers=(swing.mark(held * line.efficiency), swing.mark(held / line.efficiency_back, "letting back")),
        size=size,
    )


def bend_chart(
    bent: Bent,
    elbow_flexion: float,
    line: CableLine,
    *,
    pinned: Bent | None = None,
    span: tuple[float, float] | None = None,
    size: tuple[float, float] = CHART,
) -> Chart:
    """Draw the total wrap against the elbow's angle.

    Parameters
    ----------
    bent : Bent
        The cable over the swing of the elbow.
    elbow_flexion : float
        The angle on show [rad].
    line : CableLine
        The cable there.
    pinned : Bent, optional
        An earlier setting.
    span : tuple of float, optional
        Ends of the upright axis, which stands still as long as the curves lie within; none to let them decide [rad].
    size : tuple of float
        Width and height of the chart, in picture points [-].

    Returns
    -------
    Chart
        The curve and a sentence about it.
    """
    here, swing = bent.reached(), _swing(bent, elbow_flexion, line)
    curves = _curves(bent, pinned, lambda one: np.degrees(one.of("bend")), "bends")
    bends = np.degrees(here.of("bend"))
    least = float(np.degrees(here.elbow_flexion[int(np.argmin(bends))]))
    return Chart(
        title="Total wrap",
        words=f"Over the swing of the elbow the bends add up to {bends.min():.0f}° to {bends.max():.0f}°, "
        f"fewest at {least:.0f}°.",
        x_axis=swing.x_axis,
        y_axis=held_axis("total wrap [°]", scaled(span, _DEGREE), *(curve.y for curve in curves), least=180.0),
        curves=curves,
        thresholds=(swing.now,),
        markers=(swing.mark(float(np.degrees(line.bend))),),
        size=size,
    )


def path_chart(
    bent: Bent,
    elbow_flexion: float,
    line: CableLine,
    *,
    travel: float,
    pinned: Bent | None = None,
    span: tuple[float, float] | None = None,
    size: tuple[float, float] = CHART,
    units: Units = "both",
) -> Chart:
    """Draw how the length of the cable's path changes with the elbow's angle.

    Parameters
    ----------
    bent : Bent
        The cable over the swing of the elbow.
    elbow_flexion : float
        The angle on show [rad].
    line : CableLine
        The cable there.
    travel : float
        Cable travel that opens the hook fully [m].
    pinned : Bent, optional
        An earlier setting.
    span : tuple of float, optional
        Ends of the upright axis, which stands still as long as the curves lie within; none to let them decide [m].
    size : tuple of float
        Width and height of the chart, in picture points [-].
    units : str
        "metric", "inch-pound" or "both" (which draws in millimetres).

    Returns
    -------
    Chart
        The curve and a sentence about it.
    """
    unit, scale = drawn_in(units, "length")
    swing = _swing(bent, elbow_flexion, line)
    curves = _curves(bent, pinned, lambda one: one.of("take_up") * scale, "way")
    end = float(bent.reached().of("take_up")[-1])
    if abs(end) < 0.0005:
        said = "The cable's path is equally long at every angle of the elbow."
    else:
        said = (
            f"At the largest flexion the cable's path is {show(abs(end), 'length', units)} "
            f"{'shorter' if end < 0 else 'longer'} than at the straight elbow; the hook's whole travel is "
            f"{show(travel, 'length', units)}."
        )
    room = (-travel * scale * 1.2, 10 * scale / 1000)
    return Chart(
        title="Length of the cable's path",
        words=said,
        x_axis=swing.x_axis,
        y_axis=held_axis(
            f"longer (+), shorter (−) [{unit}]", scaled(span, scale), *(curve.y for curve in curves), *room
        ),
        curves=curves,
        thresholds=(swing.now, Threshold(-travel * scale, "−travel", "y", "required")),
        markers=(swing.mark(line.take_up * scale),),
        size=size,
    )
