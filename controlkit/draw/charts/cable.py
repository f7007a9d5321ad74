"""What the elbow does to a cable, as curves: force at the hook, sum of bends, length of the way."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from controlkit.draw.page.axes import axis
from controlkit.draw.page.curves import monotone
from controlkit.draw.page.scene import Axis, Chart, Curve, Marker, Points, Threshold
from controlkit.draw.words.pull import Units, degrees
from controlkit.units import factor, show

if TYPE_CHECKING:
    from controlkit.mechanics.cable import CableLine

__all__ = ["Bent", "bend_chart", "force_chart", "way_chart"]

_TICKS = (0.0, 30.0, 60.0, 90.0, 120.0)


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
        """One attribute of all lines.

        Parameters
        ----------
        name : str
            An attribute of `CableLine` that is a number.

        Returns
        -------
        numpy.ndarray
            Its values in the unit of that attribute [-], shape (N,).
        """
        return np.array([getattr(line, name) for line in self.lines])


def _curve(bent: Bent, y: Points, name: str, style: str) -> Curve:
    x = np.degrees(bent.elbow_flexion)
    if len(x) > 2:
        fine = np.union1d(np.arange(x[0], x[-1], 2.5), x)
        x, y = fine, monotone(x, y, fine)
    return Curve(x, y, name, style)


def _across(bent: Bent) -> Axis:
    return Axis("elbow flexion [°]", 0.0, float(np.degrees(bent.elbow_flexion[-1])), _TICKS)


def _here(elbow_flexion: float, line: CableLine) -> tuple[float, tuple[Threshold, ...]]:
    """Mark the angle on show; where the housing stops the elbow, that angle."""
    reached = min(elbow_flexion, line.elbow_limit)
    at = float(np.degrees(reached))
    return at, (Threshold(at, degrees(round(reached, 4))),)


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
    units : str
        "metric", "inch-pound" or "both" (which draws in newtons).

    Returns
    -------
    Chart
        The curves and a sentence about them.
    """
    unit = "lbf" if units == "inch-pound" else "N"
    scale = 1.0 / factor(unit, "force")
    here, held = bent.reached(), pull * scale
    out, back = held * here.of("efficiency"), held / here.of("efficiency_back")
    curves = [_curve(here, force[: len(out)] * scale, f"μ {mu:g}", "range") for mu, force in band]
    if pinned is not None:
        then = pinned.reached()
        curves.append(_curve(then, held * then.of("efficiency"), "pinned", "pinned curve"))
    curves += [_curve(here, out, "pulling", "pulling"), _curve(here, back, "back", "letting back")]
    at, now = _here(elbow_flexion, line)
    return Chart(
        "Force at the hook for one pull",
        f"Over the swing of the elbow the hook gets {_span(out / scale, units)} while pulling and holds "
        f"{_span(back / scale, units)} while letting back.",
        _across(bent),
        axis(f"force at the hook [{unit}]", *(curve.y for curve in curves), held),
        tuple(curves),
        (
            *now,
            Threshold(held, "harness", "y", "now"),
            Threshold(least * held, f"{100 * least:.0f} %", "y", "required"),
        ),
        (Marker(at, held * line.efficiency, "pulling"), Marker(at, held / line.efficiency_back, "letting back")),
    )


def bend_chart(bent: Bent, elbow_flexion: float, line: CableLine, *, pinned: Bent | None = None) -> Chart:
    """Draw the sum of all bends against the elbow's angle.

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

    Returns
    -------
    Chart
        The curve and a sentence about it.
    """
    here = bent.reached()
    bends = np.degrees(here.of("bend"))
    curves = [_curve(here, bends, "bends", "pulling")]
    if pinned is not None:
        then = pinned.reached()
        curves.insert(0, _curve(then, np.degrees(then.of("bend")), "pinned", "pinned curve"))
    at, now = _here(elbow_flexion, line)
    least = float(np.degrees(here.elbow_flexion[int(np.argmin(bends))]))
    return Chart(
        "Sum of all bends",
        f"Over the swing of the elbow the bends add up to {bends.min():.0f}° to {bends.max():.0f}°, "
        f"fewest at {least:.0f}°.",
        _across(bent),
        axis("sum of bends [°]", *(curve.y for curve in curves), least=180.0),
        tuple(curves),
        now,
        (Marker(at, float(np.degrees(line.bend)), "pulling"),),
    )


def way_chart(
    bent: Bent,
    elbow_flexion: float,
    line: CableLine,
    *,
    travel: float,
    pinned: Bent | None = None,
    units: Units = "both",
) -> Chart:
    """Draw how the length of the cable's way changes with the elbow's angle.

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
    units : str
        "metric", "inch-pound" or "both" (which draws in millimetres).

    Returns
    -------
    Chart
        The curve and a sentence about it.
    """
    unit = "in" if units == "inch-pound" else "mm"
    scale = 1.0 / factor(unit, "length")
    here = bent.reached()
    way = here.of("take_up") * scale
    curves = [_curve(here, way, "way", "pulling")]
    if pinned is not None:
        then = pinned.reached()
        curves.insert(0, _curve(then, then.of("take_up") * scale, "pinned", "pinned curve"))
    at, now = _here(elbow_flexion, line)
    end = float(way[-1]) / scale
    if abs(end) < 0.0005:
        said = "The cable's way is equally long at every angle of the elbow."
    else:
        said = (
            f"At the largest flexion the cable's way is {show(abs(end), 'length', units)} "
            f"{'shorter' if end < 0 else 'longer'} than at the straight elbow; the hook's whole travel is "
            f"{show(travel, 'length', units)}."
        )
    return Chart(
        "Length of the cable's way",
        said,
        _across(bent),
        axis(
            f"longer (+), shorter (−) [{unit}]",
            *(curve.y for curve in curves),
            -travel * scale * 1.2,
            10 * scale / 1000,
        ),
        tuple(curves),
        (*now, Threshold(-travel * scale, "−travel", "y", "required")),
        (Marker(at, line.take_up * scale, "pulling"),),
    )
