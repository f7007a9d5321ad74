"""A record of readings as a list, and the readings of one quantity with their spread."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Sequence

import numpy as np

from controlkit.draw.page.scene import CHART, Axis, Chart, Dot, Frame, Item, Label, Line, Marker, Scene, Threshold
from controlkit.draw.words.bench import BenchRow, changed_words, doubted, judged_words, record_words, row_words, written
from controlkit.draw.words.pull import Units
from controlkit.units import factor

__all__ = ["record_scene", "spread_chart"]

_LETTER, _LINE, _TEXT = 0.60, 0.0155, 0.012  # width of a letter [-]; a line and its text [m]
_UNITS = {
    "force": {"metric": "N", "inch-pound": "lbf"},
    "length": {"metric": "mm", "inch-pound": "in"},
    "angle": {"metric": "°", "inch-pound": "°"},
    "ratio": {"metric": "%", "inch-pound": "%"},
}


def record_scene(
    title: str,
    rows: Sequence[BenchRow],
    told: Sequence[str],
    units: Units = "both",
    *,
    size: tuple[float, float] = CHART,
) -> Scene:
    """Draw a record: what is said of it, and a line a quantity with what was there before and what was wished.

    Parameters
    ----------
    title : str
        Whose record it is.
    rows : sequence of BenchRow
        Its lines, the oldest first; drawn with the newest on top.
    told : sequence of str
        What else is said above it.
    units : str
        "metric", "inch-pound" or "both".
    size : tuple of float
        Width and height in picture points; a long record is higher [-].

    Returns
    -------
    Scene
        The list with its words. A dot marks what is met or unchanged, a cross what is not, a ring what is not sure.
    """
    wide = size[0] / 1000.0
    letters = int(wide / (_LETTER * _TEXT))
    items: list[Item] = []
    y = _put(items, title, (0.004, -0.012), letters)
    for text in told:
        y = _put(items, text, (0.004, y - 1.35 * _LINE), letters)
    y -= 0.4 * _LINE
    for row in reversed(rows):
        y -= 1.25 * _LINE
        often = f" ({len(row.readings)}×)" if row.readings else ""
        y = _put(items, f"{row.name}: {doubted(row.mean, row.doubt, row.kind, units)}{often}", (0.004, y), letters)
        marks = [(changed_words(row, units), _sense(row))] if row.fitted is not None else []
        marks += [(judged_words(one, units), None if one.left or one.close else one.passed) for one in row.criteria]
        for text, good in marks:
            y -= _LINE
            items.extend(_mark((0.018, y), good))
            y = _put(items, text, (0.028, y), letters - 4)
    if not rows:
        y -= 1.4 * _LINE
        items.append(Label(("Nothing has been read yet.",), (0.004, y), "start"))
    words = " ".join((f"{title}.", *told, record_words(rows, units)))
    low = min(y - _LINE, -size[1] / 1000.0)
    return Scene("Record", words, Frame(0.0, low, wide, 0.0, text=_TEXT), tuple(items), beside=True)


def _sense(row: BenchRow) -> bool | None:
    return {"same": True, "": None}.get(row.changed, False)


def _put(items: list[Item], text: str, at: tuple[float, float], letters: int) -> float:
    x, y = at
    for number, piece in enumerate(textwrap.wrap(text, letters)):
        y -= _LINE if number else 0.0
        items.append(Label((piece,), (x, y), "start"))
    return y


def _mark(at: tuple[float, float], good: bool | None) -> tuple[Item, ...]:
    if good:
        return (Dot(at, 0.0038, "landmark", "met, or unchanged"),)
    if good is None:
        return (Dot(at, 0.0036, "ring", "not sure"),)
    turned = (np.array([0.0042, 0.0042]), np.array([0.0042, -0.0042]))
    return tuple(Line(np.stack([at - slant, at + slant]), "whisker", "not met, or changed") for slant in turned)


def spread_chart(
    row: BenchRow | None,
    name: str,
    kind: str,
    error: float,
    *,
    units: Units = "both",
    size: tuple[float, float] = CHART,
) -> Chart:
    """Draw the readings of one quantity one after another, their mean and its doubt, what it was and what was wished.

    Parameters
    ----------
    row : BenchRow or None
        The quantity as it was read; nothing before it has been.
    name : str
        What it is.
    kind : str
        Its kind.
    error : float
        How far one reading may be off [SI].
    units : str
        "metric", "inch-pound" or "both" (which draws in metric units).
    size : tuple of float
        Width and height, in picture points [-].

    Returns
    -------
    Chart
        The chart with its words.
    """
    unit = _UNITS[kind]["inch-pound" if units == "inch-pound" else "metric"]
    part = factor(unit, kind)
    lines = _lines(row, units)
    read = row.readings if row is not None else ()
    shown = [*(value for value, _, _ in lines), *read, *((row.mean,) if row is not None else ())] or [0.0]
    y_axis = _axis(f"{name} [{unit}]", [value / part for value in shown], 2.5 * error / part)
    count = max(5, len(read) + 1)
    thresholds = tuple(Threshold(value / part, said, "y", style) for value, said, style in lines)
    markers = tuple(Marker(float(at), value / part, "generated") for at, value in enumerate(read, 1))
    if row is None:
        off = written(error, kind, units)
        words = f"{name}: not read yet. One reading may be off by {off}."
    else:
        spread = f" Read one after another: {', '.join(written(value, kind, units) for value in read)}." if read else ""
        words = f"{row_words(row, units)}{spread}"
    x_axis = Axis(
        "reading, one after another", 0.0, float(count), tuple(float(at) for at in range(0, count + 1, -(-count // 8)))
    )
    return Chart(
        title="Readings and their spread",
        words=words,
        x_axis=x_axis,
        y_axis=y_axis,
        thresholds=thresholds,
        markers=markers,
        size=size,
    )


def _lines(row: BenchRow | None, units: Units) -> list[tuple[float, str, str]]:
    """Straight lines across the chart: value, words and style."""
    if row is None:
        return []
    least = 0.0 if min(row.readings, default=0.0) >= 0.0 else -math.inf
    low = max(row.mean - row.doubt, least)
    lines = [(low, "", "range"), (row.mean + row.doubt, "", "range"), (row.mean, "their mean", "captured")]
    if row.fitted is not None:
        lines.append((row.fitted, "when fitted", "now"))
    for one in row.criteria:
        for limit, said in ((one.low, "at least"), (one.high, "at most")):
            if limit is not None:
                lines.append((limit, f"{said} {written(limit, row.kind, units)}", "required"))
    return lines


def _axis(label: str, values: Sequence[float], room: float) -> Axis:
    """An axis round what is shown, not from nought on, so that a small spread can be seen."""
    low, high = min(values) - room, max(values) + room
    rough = (high - low) / 5.0
    power = 10.0 ** math.floor(math.log10(rough))
    step = next(size * power for size in (1.0, 2.0, 5.0, 10.0) if size * power >= rough - 1e-12)
    low, high = max(math.floor(low / step), 0 if min(values) >= 0.0 else -99) * step, math.ceil(high / step) * step
    ticks = tuple(low + step * at for at in range(round((high - low) / step) + 1))
    return Axis(label, low, high, ticks, digits=max(0, -math.floor(math.log10(step) + 1e-9)))
