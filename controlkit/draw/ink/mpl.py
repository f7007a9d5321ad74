"""The same scenes and charts through matplotlib, for print.

Matplotlib is loaded only when something is drawn.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from controlkit.draw.page.chart_layout import ChartLayout
from controlkit.draw.page.scene import Arrow, Chart, Dot, Frame, Label, Line, Points, Region, Ribbon, Scene, Shade
from controlkit.draw.page.shapes import arrow_head, runs
from controlkit.draw.page.style import INK, PAGE, STYLES

if TYPE_CHECKING:
    from matplotlib.axes import Axes

__all__ = ["render_matplotlib"]

_POINT = 0.75  # a picture point on paper, in typographic points


def render_matplotlib(picture: Scene | Chart, ax: Axes | None = None) -> Axes:
    """Draw a scene or a chart on matplotlib axes.

    Parameters
    ----------
    picture : Scene or Chart
        What to draw.
    ax : matplotlib.axes.Axes, optional
        Where; a new figure of fitting shape if left out.

    Returns
    -------
    matplotlib.axes.Axes
        The axes drawn on. `ax.figure.savefig` writes them to a file.

    Examples
    --------
    >>> from controlkit.draw import Frame, Scene, render_matplotlib
    >>> ax = render_matplotlib(Scene("A bare page", "Nothing is drawn.", Frame(0, 0, 1, 1)))
    >>> ax.get_title()
    'A bare page'
    """
    wide, high = picture.size if isinstance(picture, Chart) else (picture.frame.width, picture.frame.height)
    shape = high / wide
    if ax is None:
        from matplotlib.figure import Figure

        figure = Figure(figsize=(6.4, 6.4 * shape), dpi=150)
        ax = figure.add_axes((0.0, 0.0, 1.0, 0.94))
    ax.set_aspect("equal")
    ax.set_axis_off()
    ax.set_title(picture.title, fontsize=10, color=INK)
    if isinstance(picture, Chart):
        ax.set_xlim(0, wide)
        ax.set_ylim(high, 0)
    else:
        frame = picture.frame
        ax.set_xlim(frame.left, frame.right)
        ax.set_ylim(frame.bottom, frame.top)
    box = ax.get_window_extent()
    # typographic points for one unit of the picture
    scale = min(box.width / wide, box.height / (wide * shape)) * 72.0 / float(ax.figure.dpi)
    if isinstance(picture, Chart):
        _chart(picture, ax, scale)
    else:
        _scene(picture, ax, scale)
    return ax


def _pen(style: str) -> dict[str, Any]:
    look = STYLES[style]
    pen: dict[str, Any] = {
        "color": look.colour,
        "linewidth": look.width * _POINT,
        "solid_joinstyle": "round",
    }
    if look.dash:
        pen["dashes"] = tuple(value / max(look.width, 1.0) for value in look.dash)
    return pen


def _plot(ax: Axes, points: Points, order: float, **pen: Any) -> None:
    ax.plot(points[:, 0], points[:, 1], zorder=order, scalex=False, scaley=False, **pen)


def _scene(scene: Scene, ax: Axes, scale: float) -> None:
    frame = scene.frame
    for number, item in enumerate(scene.items):
        order = 2.0 + number
        if isinstance(item, Ribbon):
            _ribbon(item, ax, order)
        elif isinstance(item, Line):
            _line(item, ax, scale, order)
        elif isinstance(item, Region):
            look = STYLES[item.style]
            ax.fill(
                item.points[:, 0],
                item.points[:, 1],
                facecolor=look.fill or "none",
                edgecolor=look.colour,
                linewidth=look.width * _POINT,
                zorder=order,
            )
        elif isinstance(item, Dot):
            _dot(item, ax, order)
        elif isinstance(item, Arrow):
            _arrow(item, ax, frame.text, order)
        elif isinstance(item, Shade):
            _shade(item, ax, order)
        else:
            _label(item, ax, frame, scale=scale, order=order)


def _line(line: Line, ax: Axes, scale: float, order: float) -> None:
    look = STYLES[line.style]
    points = np.vstack([line.points, line.points[:1]]) if line.closed else line.points
    if line.hidden is None or not line.hidden.any():
        pieces = [(points, False)]
    else:
        pieces = [(line.points[a : b + 1], covered) for a, b, covered in runs(line.hidden)]
    for piece, covered in pieces:
        if covered:
            _plot(ax, piece, order, color=look.colour, linewidth=0.8, dashes=look.covered)
        elif look.webbing:
            wide = look.webbing * scale
            flat = {"solid_capstyle": "butt", "solid_joinstyle": "round"}
            _plot(ax, piece, order + 0.1, color=look.colour, linewidth=wide, **flat)
            _plot(ax, piece, order + 0.2, color=look.tint, linewidth=wide * 0.72, **flat)
            if look.seam:
                _plot(ax, piece, order + 0.3, color=look.colour, linewidth=0.8, dashes=look.seam)
        else:
            _plot(ax, piece, order + 0.1, **_pen(line.style))


def _ribbon(band: Ribbon, ax: Axes, order: float) -> None:
    look = STYLES[band.style]
    hidden = np.zeros(len(band.points), dtype=bool) if band.hidden is None else band.hidden
    for a, b, covered in runs(hidden):
        middle, across = band.points[a : b + 1], band.across[a : b + 1]
        if covered:
            _plot(ax, middle, order, color=look.colour, linewidth=0.8, dashes=look.covered)
            continue
        edges = np.vstack([middle + across, (middle - across)[::-1]])
        ax.fill(*edges.T, facecolor=look.tint, edgecolor=look.colour, linewidth=look.width * _POINT, zorder=order + 0.1)
        if look.seam:
            _plot(ax, middle, order + 0.2, color=look.colour, linewidth=0.8, dashes=look.seam)


def _shade(shade: Shade, ax: Axes, order: float) -> None:
    from matplotlib.patches import PathPatch
    from matplotlib.path import Path

    path = Path.make_compound_path(*(Path(loop, closed=True) for loop in map(_joined_up, shade.loops)))
    fill = PathPatch(path, facecolor=STYLES[shade.style].fill, edgecolor="none", zorder=order)
    ax.add_patch(fill)
    rows, columns = shade.tone.shape
    left, top = shade.corner
    black = np.zeros((rows, columns, 4))
    black[..., 3] = shade.tone / 255.0
    box = (left, left + columns * shade.dot, top - rows * shade.dot, top)
    limits = ax.get_xlim(), ax.get_ylim()
    picture = ax.imshow(black, extent=box, aspect="auto", interpolation="bilinear", zorder=order + 0.1)
    ax.set(xlim=limits[0], ylim=limits[1], aspect="equal")
    picture.set_clip_path(fill)


def _joined_up(loop: Points) -> Points:
    return np.vstack([loop, loop[:1]])


def _dot(dot: Dot, ax: Axes, order: float) -> None:
    from matplotlib.patches import Circle

    look = STYLES[dot.style]
    ax.add_patch(
        Circle(
            dot.at,
            dot.radius,
            facecolor=look.fill or "none",
            edgecolor=look.colour,
            linewidth=look.width * _POINT,
            zorder=order,
        )
    )


def _arrow(arrow: Arrow, ax: Axes, text: float, order: float) -> None:
    neck, corners = arrow_head(arrow.start, arrow.end, text * 0.9)
    look = STYLES[arrow.style]
    shaft = np.array([arrow.start, neck])
    if look.fill:
        _plot(ax, shaft, order, color=PAGE, linewidth=(look.width + 3) * _POINT)
    _plot(ax, shaft, order + 0.1, **_pen(arrow.style))
    ax.fill(corners[:, 0], corners[:, 1], facecolor=look.colour, edgecolor=PAGE, linewidth=0.6, zorder=order + 0.2)


def _label(label: Label, ax: Axes, frame: Frame, *, scale: float, order: float) -> None:
    from matplotlib.patheffects import withStroke

    text, size = frame.text, scale * frame.text
    x, y = label.at
    if label.target is not None:
        side = {"start": -1, "end": 1}.get(label.anchor, 0)
        near = (x + side * text * 0.3, y)
        _plot(ax, np.array([near, label.target]), order, **_pen(label.style))
        _plot(
            ax,
            np.array([label.target]),
            order,
            marker="o",
            markersize=size * 0.26,
            color=STYLES[label.style].colour,
        )
    across = {"start": "left", "end": "right"}.get(label.anchor, "center")
    # a pale edge keeps words readable where they cross a line
    halo = [withStroke(linewidth=size * 0.28, foreground=PAGE)]
    ax.text(
        x,
        y,
        "\n".join(label.lines),
        path_effects=halo,
        fontsize=size * 0.95,
        ha=across,
        va="center",
        linespacing=1.1,
        color=INK,
        zorder=order,
    )


def _chart(chart: Chart, ax: Axes, scale: float) -> None:
    lay = ChartLayout(chart)
    size = 0.96 * lay.text * scale
    for number, (points, style) in enumerate(lay.lines):
        _plot(ax, points, 2.0 + number * 0.01, **_pen(style))
    for x, y, style in lay.dots:
        look = STYLES[style]
        _plot(
            ax,
            np.array([[x, y]]),
            5.0,
            marker="o",
            markersize=9 * scale,
            markerfacecolor=PAGE,
            markeredgecolor=look.colour,
            markeredgewidth=1.6,
        )
    for text, x, y, anchor, bold in lay.texts:
        if bold:  # the title already stands above the axes
            continue
        across = {"start": "left", "end": "right"}.get(anchor, "center")
        ax.text(x, y, text, fontsize=size, ha=across, va="baseline", color=INK, zorder=6.0)
