"""A picture as plain data: lines, arrows, labels and words, before any ink.

Two kinds of picture exist. A `Scene` is a drawing to scale, in metres. A
`Chart` is a set of curves between two axes. Both carry a title and the words
that say what the picture shows. The inks read these objects and nothing else;
no picture knows an ink.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import KW_ONLY, dataclass, field
from typing import Any, ClassVar

import numpy as np
from numpy.typing import NDArray

Points = NDArray[np.float64]

__all__ = [
    "CHART",
    "Arrow",
    "Axis",
    "Chart",
    "Curve",
    "Dot",
    "Frame",
    "Item",
    "Label",
    "Line",
    "Marker",
    "Region",
    "Ribbon",
    "Scene",
    "Shade",
    "Threshold",
]

CHART = (444.0, 400.0)
"""Usual width and height of a chart, in picture points [-]."""


@dataclass(frozen=True, eq=False)
class Line:
    """A line through points, part of it perhaps hidden.

    Parameters
    ----------
    points : numpy.ndarray
        Shape (M, 2), to the viewer's right and up [m].
    style : str
        Name of an entry of `controlkit.draw.page.style.STYLES`.
    name : str
        What the line stands for, as a reader would call it.
    closed : bool
        Whether the last point joins the first.
    hidden : numpy.ndarray, optional
        Shape (M,), true where the body covers the point [-].
    """

    points: Points
    style: str = "outline"
    name: str = ""
    _: KW_ONLY
    closed: bool = False
    hidden: NDArray[np.bool_] | None = None


@dataclass(frozen=True, eq=False)
class Ribbon(Line):
    """A flat band in space: a line with the width that the viewer sees of it.

    Parameters
    ----------
    points : numpy.ndarray
        Its middle line, shape (M, 2) [m].
    style : str
        Name of an entry of `controlkit.draw.page.style.STYLES`.
    name : str
        What it is.
    closed : bool
        False: it has two ends.
    hidden : numpy.ndarray, optional
        Shape (M,), true where something covers the point [-].
    across : numpy.ndarray
        Shape (M, 2), from the middle to one edge as seen; the other edge lies as far on the other side [m].
    """

    _: KW_ONLY
    across: Points


@dataclass(frozen=True, eq=False)
class Region:
    """A closed shape that covers what was drawn before it.

    Parameters
    ----------
    points : numpy.ndarray
        Shape (M, 2), to the viewer's right and up [m].
    style : str
        Name of an entry of `controlkit.draw.page.style.STYLES`.
    name : str
        What the shape stands for.
    """

    points: Points
    style: str = "body"
    name: str = ""


@dataclass(frozen=True)
class Arrow:
    """A straight arrow, used for forces.

    Parameters
    ----------
    start : tuple of float
        Where it begins [m].
    end : tuple of float
        Where its tip is [m].
    style : str
        Name of an entry of `controlkit.draw.page.style.STYLES`.
    name : str
        What it stands for.
    """

    start: tuple[float, float]
    end: tuple[float, float]
    style: str = "force"
    name: str = ""


@dataclass(frozen=True)
class Dot:
    """A round mark.

    Parameters
    ----------
    at : tuple of float
        Its centre [m].
    radius : float
        Its radius [m].
    style : str
        Name of an entry of `controlkit.draw.page.style.STYLES`.
    name : str
        What it marks.
    """

    at: tuple[float, float]
    radius: float = 0.005
    style: str = "landmark"
    name: str = ""


@dataclass(frozen=True)
class Label:
    """A few words beside the drawing, with a thin line to what they name.

    Parameters
    ----------
    lines : tuple of str
        The words, one entry a line of text.
    at : tuple of float
        The middle of the near edge of the text [m].
    anchor : str
        "start" when the text runs to the right of `at`, "end" when it runs to
        its left, "middle" when it is centred.
    target : tuple of float, optional
        What the words point to [m].
    style : str
        Style of the thin line.
    """

    lines: tuple[str, ...]
    at: tuple[float, float]
    anchor: str = "start"
    target: tuple[float, float] | None = None
    _: KW_ONLY
    style: str = "leader"


@dataclass(frozen=True, eq=False)
class Shade:
    """A body filled with its tone: light and shadow as a faint grey picture, inside closed lines.

    Parameters
    ----------
    tone : numpy.ndarray
        How dark each dot is, whole numbers from 0 to 255, the top row first, shape (rows, columns) [-].
    corner : tuple of float
        Upper left corner of the first dot [m].
    dot : float
        Breadth of a dot [m].
    loops : tuple of numpy.ndarray
        Closed lines round what is filled; one inside another is a hole, shape (M, 2) each [m].
    style : str
        Name of an entry of `controlkit.draw.page.style.STYLES`, for the fill below the tone.
    name : str
        What it stands for.
    """

    tone: NDArray[np.uint8]
    corner: tuple[float, float]
    dot: float
    loops: tuple[Points, ...]
    _: KW_ONLY
    style: str = "flesh"
    name: str = ""


Item = Line | Region | Arrow | Dot | Label | Shade


@dataclass(frozen=True)
class Frame:
    """The window through which a scene is seen.

    Parameters
    ----------
    left, bottom, right, top : float
        Its edges in the coordinates of the scene [m].
    text : float
        Height of a line of text [m].
    """

    left: float
    bottom: float
    right: float
    top: float
    _: KW_ONLY
    text: float = 0.026

    @property
    def width(self) -> float:
        """Width of the window [m]."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Height of the window [m]."""
        return self.top - self.bottom


class Shown:
    """A picture that shows itself in a notebook, with its words, once an ink is there to write it."""

    _ink: ClassVar[Callable[[Any], str] | None] = None
    words: str

    @staticmethod
    def written_by(ink: Callable[[Any], str]) -> None:
        """Name the ink in which every picture shows itself in a notebook."""
        Shown._ink = ink

    def _repr_mimebundle_(self, **_: Any) -> dict[str, str]:
        ink = Shown._ink
        drawn = {} if ink is None else {"text/html": ink(self)}
        return {**drawn, "text/plain": self.words}


@dataclass(frozen=True, eq=False)
class Scene(Shown):
    """A drawing to scale.

    Parameters
    ----------
    title : str
        What is drawn, in a few words.
    words : str
        What the drawing shows, in sentences; also its text for a screen reader.
    frame : Frame
        The window.
    items : tuple
        What is drawn, from the furthest to the nearest.
    beside : bool
        Whether it stands beside other pictures, as a chart does: bars and lists, not a view of something.
    small : bool
        Whether a page shows it small and lets the reader enlarge it: a part close to.
    """

    title: str
    words: str
    frame: Frame
    items: tuple[Item, ...] = ()
    _: KW_ONLY
    beside: bool = False
    small: bool = False


@dataclass(frozen=True)
class Axis:
    """One axis of a chart.

    Parameters
    ----------
    label : str
        Quantity and unit.
    low, high : float
        The ends, in the unit of the label [-].
    ticks : tuple of float
        Where numbers stand, in the unit of the label [-].
    digits : int
        Decimals of these numbers [-].
    """

    label: str
    low: float
    high: float
    ticks: tuple[float, ...]
    _: KW_ONLY
    digits: int = 0


@dataclass(frozen=True, eq=False)
class Curve:
    """One curve of a chart, named where it ends.

    Parameters
    ----------
    x, y : numpy.ndarray
        Shape (N,), in the units of the axes [-].
    name : str
        Its name, written beside its end.
    style : str
        Name of an entry of `controlkit.draw.page.style.STYLES`.
    """

    x: Points
    y: Points
    name: str
    style: str


@dataclass(frozen=True)
class Marker:
    """A marked point of a chart.

    Parameters
    ----------
    x, y : float
        Where, in the units of the axes [-].
    style : str
        Name of an entry of `controlkit.draw.page.style.STYLES`.
    """

    x: float
    y: float
    style: str


@dataclass(frozen=True)
class Threshold:
    """A straight line across a chart at one value.

    Parameters
    ----------
    value : float
        Where it crosses its axis, in the unit of that axis [-].
    name : str
        Its name, written beside it.
    along : str
        "x" for an upright line at an x value, "y" for a level line at a y value.
    style : str
        Name of an entry of `controlkit.draw.page.style.STYLES`.
    """

    value: float
    name: str = ""
    along: str = "x"
    style: str = "now"


@dataclass(frozen=True, eq=False, kw_only=True)
class Chart(Shown):
    """Curves between two axes.

    Parameters
    ----------
    title : str
        What is drawn, in a few words.
    words : str
        What the chart shows, in sentences.
    x_axis, y_axis : Axis
        The axes.
    curves : tuple of Curve
        Drawn in this order.
    thresholds : tuple of Threshold
        Straight lines across the chart.
    markers : tuple of Marker
        Marked points.
    size : tuple of float
        Width and height; text is 13 high, 12 where a chart is narrower than usual; in picture points [-].
    """

    title: str
    words: str
    x_axis: Axis
    y_axis: Axis
    curves: tuple[Curve, ...] = ()
    thresholds: tuple[Threshold, ...] = ()
    markers: tuple[Marker, ...] = field(default=())
    size: tuple[float, float] = CHART
