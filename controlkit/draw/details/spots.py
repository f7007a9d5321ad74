"""Where a label may point to: a place on a part that nothing drawn later covers."""

from __future__ import annotations

from collections.abc import Sequence

from controlkit.draw.page.labels import Note, cleared, dense, in_margins
from controlkit.draw.page.scene import Frame, Item, Label, Line, Scene
from controlkit.draw.page.shapes import shape_of
from controlkit.draw.page.spot import spot

__all__ = ["Part", "inset", "within"]

Part = tuple[tuple[str, ...], str, str | tuple[float, float]]
"""The words of a label, the name of the item that they name, and the margin in which they stand, or where their inner
end is as shares of the window from its left and its lower edge."""


def inset(title: str, words: str, frame: Frame, *, items: Sequence[Item], parts: Sequence[Part]) -> Scene:
    """Name the parts of a detail in its margins.

    Parameters
    ----------
    title, words : str
        As of a `Scene`.
    frame : Frame
        The window.
    items : sequence of Item
        What is drawn, the farthest first.
    parts : sequence of tuple
        Which parts are named, and where.

    Returns
    -------
    Scene
        A picture that is shown small and can be enlarged.
    """
    places = [(said, spot(items, name, frame), where) for said, name, where in parts]
    notes = [Note(said, target, where) for said, target, where in places if isinstance(where, str)]
    fixed = []
    for said, target, where in places:
        if not isinstance(where, str):
            at = frame.left + where[0] * frame.width, frame.bottom + where[1] * frame.height
            fixed.append(Label(said, at, "end" if target[0] > at[0] else "start", target))
    shapes = [shape for shape in map(shape_of, items) if shape is not None]
    shapes += [item.points for item in items if isinstance(item, Line) and item.style == "cable"]
    labels = cleared(in_margins(notes, frame), frame, dense(shapes, 0.5 * frame.text))
    return Scene(title, words, frame, (*items, *labels, *fixed), small=True)


def within(items: Sequence[Item], frame: Frame) -> tuple[Item, ...]:
    """Leave out what lies outside the window.

    Parameters
    ----------
    items : sequence of Item
        What is drawn.
    frame : Frame
        The window.

    Returns
    -------
    tuple of Item
        The rest, in its order.

    Examples
    --------
    >>> from controlkit.draw import Dot
    >>> window = Frame(0.0, 0.0, 1.0, 1.0)
    >>> [dot.name for dot in within([Dot((0.5, 0.5), name="in"), Dot((2.0, 0.5), name="out")], window)]
    ['in']
    """
    kept = []
    for item in items:
        outline = shape_of(item)
        points = getattr(item, "points", None) if outline is None else outline
        if points is None or not len(points):
            kept.append(item)
            continue
        low, high = points.min(axis=0), points.max(axis=0)
        if high[0] > frame.left and low[0] < frame.right and high[1] > frame.bottom and low[1] < frame.top:
            kept.append(item)
    return tuple(kept)
