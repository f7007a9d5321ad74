"""Where everything in a chart stands, for both renderers.

Coordinates are picture points, to the right and downwards, on a page of
`WIDTH` by `HEIGHT`.
"""

from __future__ import annotations

import numpy as np

from controlkit.draw.page.scene import Axis, Chart, Points
from controlkit.draw.page.stack import spread

__all__ = ["HEIGHT", "WIDTH", "ChartLayout"]

WIDTH = 444
HEIGHT = 400
_LEFT, _TOP, _RIGHT, _BOTTOM = 52.0, 52.0, 350.0, 350.0
_LINE = 16.0  # height of a line of text


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
    """

    def __init__(self, chart: Chart) -> None:
        self.lines: list[tuple[Points, str]] = []
        self.dots: list[tuple[float, float, str]] = []
        self.texts: list[tuple[str, float, float, str, bool]] = []
        self._x, self._y = chart.x_axis, chart.y_axis
        self._axes()
        self._content(chart)
        self.texts.append((chart.title, 4.0, 15.0, "start", True))

    def _across(self, value: float) -> float:
        return _LEFT + (value - self._x.low) / (self._x.high - self._x.low) * (_RIGHT - _LEFT)

    def _up(self, value: float) -> float:
        return _BOTTOM - (value - self._y.low) / (self._y.high - self._y.low) * (_BOTTOM - _TOP)

    def _axes(self) -> None:
        for tick in self._y.ticks:
            y = self._up(tick)
            self.lines.append((np.array([[_LEFT, y], [_RIGHT, y]]), "grid"))
            self.texts.append((_written(tick, self._y), _LEFT - 8.0, y + 4.5, "end", False))
        for tick in self._x.ticks:
            x = self._across(tick)
            self.lines.append((np.array([[x, _BOTTOM], [x, _BOTTOM + 5.0]]), "axis"))
            self.texts.append((_written(tick, self._x), x, _BOTTOM + 19.0, "middle", False))
        corner = np.array([[_LEFT, _TOP], [_LEFT, _BOTTOM], [_RIGHT, _BOTTOM]])
        self.lines.append((corner, "axis"))
        middle = (_LEFT + _RIGHT) / 2
        self.texts.append((self._x.label, middle, _BOTTOM + 40.0, "middle", False))
        self.texts.append((self._y.label, 4.0, _TOP - 16.0, "start", False))

    def _content(self, chart: Chart) -> None:
        ends: list[tuple[str, float, float]] = []
        for line in chart.thresholds:
            if line.along == "x":
                x = self._across(line.value)
                self.lines.append((np.array([[x, _TOP], [x, _BOTTOM]]), line.style))
                self.texts.append((line.name, x, _TOP - 3.0, "middle", False))
            else:
                y = self._up(line.value)
                self.lines.append((np.array([[_LEFT, y], [_RIGHT, y]]), line.style))
                ends.append((line.name, _RIGHT, y))
        for curve in chart.curves:
            points = np.empty((len(curve.x), 2))
            points[:, 0] = self._across(0.0) + (curve.x) * ((_RIGHT - _LEFT) / (self._x.high - self._x.low))
            points[:, 1] = _BOTTOM - (curve.y - self._y.low) * ((_BOTTOM - _TOP) / (self._y.high - self._y.low))
            self.lines.append((points, curve.style))
            ends.append((curve.name, float(points[-1, 0]), float(points[-1, 1])))
        heights = spread([y for _, _, y in ends], _LINE, _TOP + 4.0, _BOTTOM - 6.0)
        for (name, x, y), height in zip(ends, heights, strict=True):
            if abs(height - y) > 3.0:
                self.lines.append((np.array([[x + 2.0, y], [_RIGHT + 10.0, height]]), "leader"))
            self.texts.append((name, _RIGHT + 13.0, height + 4.5, "start", False))
        for mark in chart.markers:
            self.dots.append((self._across(mark.x), self._up(mark.y), mark.style))


def _written(value: float, axis: Axis) -> str:
    return f"{value:.{axis.digits}f}"
