"""Where everything in a chart stands, for both renderers.

Coordinates are picture points, to the right and downwards, on a page of the
chart's own size.
"""

from __future__ import annotations

import numpy as np

from controlkit.draw.page.scene import Axis, Chart, Points
from controlkit.draw.page.stack import spread

__all__ = ["ChartLayout"]

_MARGINS = (52.0, 52.0, 94.0, 50.0)  # left, above, right, below
_NARROW = 400.0  # a chart narrower than this has smaller letters and margins
_LETTER = 0.60  # width of a letter, as a share of its height [-]


class ChartLayout:
    """A chart worked out to lines, dots and texts.

    Parameters
    ----------
    chart : Chart
        The chart.

    Attributes
    ----------
    lines : list
        (points of shape (N, 2), style) of every line [-].
    dots : list
        (x, y, style) of every mark [-].
    texts : list
        (text, x, y, anchor, bold) of every piece of writing [-].
    text : float
        Height of the writing [-].
    """

    def __init__(self, chart: Chart) -> None:
        self.lines: list[tuple[Points, str]] = []
        self.dots: list[tuple[float, float, str]] = []
        self.texts: list[tuple[str, float, float, str, bool]] = []
        self._x, self._y = chart.x_axis, chart.y_axis
        wide, high = chart.size
        left, above, right, below = _MARGINS
        self.text = 13.0
        if wide < _NARROW:
            self.text = 12.0
            numbers = max(len(_written(tick, chart.y_axis)) for tick in chart.y_axis.ticks)
            names = [curve.name for curve in chart.curves]
            names += [line.name for line in chart.thresholds if line.along == "y"]
            letter = _LETTER * self.text
            left, right = 14.0 + numbers * letter, 16.0 + max(map(len, names), default=0) * letter
            above, below = 48.0, 40.0
        self._left, self._top, self._right, self._bottom = left, above, wide - right, high - below
        self._axes()
        self._content(chart)
        self.texts.append((chart.title, 4.0, 15.0, "start", True))

    def _across(self, value: float) -> float:
        return self._left + (value - self._x.low) / (self._x.high - self._x.low) * (self._right - self._left)

    def _up(self, value: float) -> float:
        return self._bottom - (value - self._y.low) / (self._y.high - self._y.low) * (self._bottom - self._top)

    def _axes(self) -> None:
        for tick in self._y.ticks:
            y = self._up(tick)
            self.lines.append((np.array([[self._left, y], [self._right, y]]), "grid"))
            self.texts.append((_written(tick, self._y), self._left - 8.0, y + 4.5, "end", False))
        for tick in self._x.ticks:
            x = self._across(tick)
            self.lines.append((np.array([[x, self._bottom], [x, self._bottom + 5.0]]), "axis"))
            self.texts.append((_written(tick, self._x), x, self._bottom + 6.0 + self.text, "middle", False))
        corner = np.array([[self._left, self._top], [self._left, self._bottom], [self._right, self._bottom]])
        self.lines.append((corner, "axis"))
        middle = (self._left + self._right) / 2
        self.texts.append((self._x.label, middle, self._bottom + 1.0 + 3.0 * self.text, "middle", False))
        self.texts.append((self._y.label, 4.0, self._top - 16.0, "start", False))

    def _content(self, chart: Chart) -> None:
        ends: list[tuple[str, float, float]] = []
        for line in chart.thresholds:
            if line.along == "x":
                x = self._across(line.value)
                self.lines.append((np.array([[x, self._top], [x, self._bottom]]), line.style))
                self.texts.append((line.name, x, self._top - 3.0, "middle", False))
            else:
                y = self._up(line.value)
                self.lines.append((np.array([[self._left, y], [self._right, y]]), line.style))
                if line.name:
                    ends.append((line.name, self._right, y))
        for curve in chart.curves:
            points = np.empty((len(curve.x), 2))
            points[:, 0] = self._across(0.0) + (curve.x) * ((self._right - self._left) / (self._x.high - self._x.low))
            points[:, 1] = self._bottom - (curve.y - self._y.low) * (
                (self._bottom - self._top) / (self._y.high - self._y.low)
            )
            self.lines.append((points, curve.style))
            ends.append((curve.name, float(points[-1, 0]), float(points[-1, 1])))
        heights = spread([y for _, _, y in ends], self.text + 3.0, self._top + 4.0, self._bottom - 6.0)
        for (name, x, y), height in zip(ends, heights, strict=True):
            if abs(height - y) > 3.0:
                self.lines.append((np.array([[x + 2.0, y], [self._right + 10.0, height]]), "leader"))
            self.texts.append((name, self._right + 13.0, height + 4.5, "start", False))
        for mark in chart.markers:
            self.dots.append((self._across(mark.x), self._up(mark.y), mark.style))


def _written(value: float, axis: Axis) -> str:
    return f"{value:.{axis.digits}f}"
