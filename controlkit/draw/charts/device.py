"""A device as curves: cable force out and back, and grip against the width of the object."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from controlkit.draw.charts.drawn_in import drawn_in
from controlkit.draw.page.axes import axis, held_axis, scaled
from controlkit.draw.page.scene import CHART, Chart, Curve, Marker, Points, Threshold
from controlkit.draw.words.effort import percent
from controlkit.draw.words.pull import Units
from controlkit.units import show

if TYPE_CHECKING:
    from controlkit.mechanics.device.curves import Cycle
    from controlkit.mechanics.device.holding import Holding

__all__ = ["grip_chart", "loop_chart"]


def _span(forces: Points, units: Units) -> str:
    return f"{show(float(forces[0]), 'force', units)} to {show(float(forces[-1]), 'force', units)}"


def loop_chart(
    loop: Cycle,
    holding: Holding,
    *,
    strength: float,
    share: float,
    pinned: Cycle | None = None,
    span: tuple[float, float] | None = None,
    size: tuple[float, float] = CHART,
    units: Units = "both",
) -> Chart:
    """Draw the cable force of moving the empty device, out and back.

    Parameters
    ----------
    loop : Cycle
        The device's cable force.
    holding : Holding
        The object on show.
    strength : float
        Largest cable force of the wearer [N].
    share : float
        Share of it that can be repeated [-].
    pinned : Cycle, optional
        An earlier setting.
    span : tuple of float, optional
        Ends of the upright axis, which stands still as long as the curves lie within; none to let them decide [N].
    size : tuple of float
        Width and height of the chart, in picture points [-].
    units : str
        "metric", "inch-pound" or "both" (which draws in newtons and millimetres).

    Returns
    -------
    Chart
        The curves and a sentence about them.
    """
    force, newton = drawn_in(units, "force")
    length, metre = drawn_in(units, "length")
    curves = []
    if pinned is not None:
        curves.append(Curve(pinned.travel * metre, pinned.out * newton, "pinned", "pinned curve"))
    curves.append(Curve(loop.travel * metre, loop.back * newton, "back", "letting back"))
    curves.append(Curve(loop.travel * metre, loop.out * newton, "pulling", "pulling"))
    top = max(float(curve.y.max()) for curve in curves)
    across = max(float(curve.x[-1]) for curve in curves)
    levels = [(share * strength * newton, percent(share)), (strength * newton, "strength")]
    lines = [Threshold(value, name, "y", "required") for value, name in levels if value < 1.8 * top]
    marks = [Marker(holding.needed_travel * metre, holding.needed * newton, "pulling")] if holding.fits else []
    return Chart(
        title="Cable force of the empty device",
        words=f"Moving the empty device through its {show(float(loop.travel[-1]), 'length', units)} of travel takes "
        f"{_span(loop.out, units)} while pulling; letting back, it returns {_span(loop.back, units)}. "
        f"The loop between them, {1000.0 * loop.lost:.0f} mJ, is lost in each cycle.",
        x_axis=axis(f"cable travel [{length}]", across),
        y_axis=held_axis(
            f"cable force [{force}]",
            scaled(span, newton),
            *(curve.y for curve in curves),
            *(line.value for line in lines),
        ),
        curves=tuple(curves),
        thresholds=tuple(lines),
        markers=tuple(marks),
        size=size,
    )


def grip_chart(
    widths: Points,
    grips: Points,
    width: float,
    holding: Holding,
    *,
    tasks: Sequence[tuple[float, str]] = (),
    pinned: tuple[Points, Points] | None = None,
    span: tuple[float, float] | None = None,
    size: tuple[float, float] = CHART,
    units: Units = "both",
) -> Chart:
    """Draw the grip against the width of the object.

    Parameters
    ----------
    widths, grips : numpy.ndarray
        Shape (N,), width [m] and grip at the same pull [N].
    width : float
        The object on show [m].
    holding : Holding
        What happens to it.
    tasks : sequence of (float, str)
        Grips that tasks need [N], and their names.
    pinned : tuple of numpy.ndarray, optional
        Widths [m] and grips [N] of an earlier setting, shape (N,) each.
    span : tuple of float, optional
        Ends of the upright axis, which stands still as long as the curves lie within; none to let them decide [N].
    size : tuple of float
        Width and height of the chart, in picture points [-].
    units : str
        "metric", "inch-pound" or "both" (which draws in newtons and millimetres).

    Returns
    -------
    Chart
        The curve and a sentence about it.
    """
    force, newton = drawn_in(units, "force")
    length, metre = drawn_in(units, "length")
    curves = [Curve(widths * metre, grips * newton, "grip", "pulling")]
    if pinned is not None:
        curves.insert(0, Curve(pinned[0] * metre, pinned[1] * newton, "pinned", "pinned curve"))
    change = float(grips[-1] - grips[0])
    said = "is the same at every width" if grips.any() else "is nothing, at every width"
    if abs(change) > 0.05:
        said = f"{'rises' if change > 0 else 'falls'} from {show(float(grips[0]), 'force', units)} on a thin object to "
        said += f"{show(float(grips[-1]), 'force', units)} on one of {show(float(widths[-1]), 'length', units)}"
    needs = "".join(f" {name[0].upper()}{name[1:]}: {show(value, 'force', units)}." for value, name in tasks)
    return Chart(
        title="Grip at this pull",
        words=f"At this pull the grip {said}.{needs}",
        x_axis=axis(f"width of the object [{length}]", *(curve.x for curve in curves), width * metre),
        y_axis=held_axis(
            f"grip [{force}]",
            scaled(span, newton),
            *(curve.y for curve in curves),
            *(value * newton for value, _ in tasks),
        ),
        curves=tuple(curves),
        thresholds=(
            Threshold(width * metre, show(width, "length", "metric" if units == "both" else units)),
            *(Threshold(value * newton, name.split()[-1], "y", "range") for value, name in tasks),
        ),
        markers=(Marker(width * metre, holding.grip * newton, "pulling"),),
        size=size,
    )
