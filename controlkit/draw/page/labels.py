"""Labels in two columns beside a drawing, so that none covers another."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from controlkit.draw.page.scene import Frame, Label, Points
from controlkit.draw.page.stack import stacked

__all__ = ["LETTER", "Box", "Note", "boxes", "cleared", "dense", "first_free", "fits", "in_margins"]

Box = tuple[float, float, float, float]
"""Left, low, right and high end of a text [m]."""


@dataclass(frozen=True)
class Note:
    """Words that wait for a place in a margin.

    Parameters
    ----------
    lines : tuple of str
        The words, one entry a line of text.
    target : tuple of float
        What they point to [m].
    side : str
        "left" or "right": the margin in which they shall stand.
    level : float, optional
        Height at which they shall stand, if not that of the target [m].
    """

    lines: tuple[str, ...]
    target: tuple[float, float]
    side: str
    level: float | None = None

    @property
    def height(self) -> float:
        """Height at which the words would like to stand [m]."""
        return self.target[1] if self.level is None else self.level


LETTER = 0.62
"""Width of a letter of the widest common typeface, as a share of the height of a line [-]."""
_FOOT = 2.5  # lines of text kept free for the scale at the bottom [-]


def in_margins(notes: list[Note], frame: Frame) -> tuple[Label, ...]:
    """Give each note a place in its margin, level with its target if it can be.

    Parameters
    ----------
    notes : list of Note
        The notes, in any order.
    frame : Frame
        The window of the scene.

    Returns
    -------
    tuple of Label
        Placed labels; no two overlap while the margin has room for them.

    Examples
    --------
    >>> notes = [Note(("ring",), (0.0, 0.50), "left"), Note(("strap",), (0.0, 0.51), "left")]
    >>> low, high = in_margins(notes, Frame(-0.5, 0.0, 0.5, 1.0))
    >>> high.at[1] - low.at[1] > 0.026
    True
    """
    placed: list[Label] = []
    edge = frame.text * 0.5
    for side, x, anchor in (
        ("left", frame.left + edge, "start"),
        ("right", frame.right - edge, "end"),
    ):
        here = [note for note in notes if note.side == side]
        here.sort(key=lambda note: note.height)
        room = [_room(note, frame) for note in here]
        floor = frame.bottom + _FOOT * frame.text
        heights = stacked([note.height for note in here], room, floor, frame.top)
        for note, height in zip(here, heights, strict=True):
            # the text is set against the outer edge; its leader starts at the inner end
            longest = max(len(line) for line in note.lines) * frame.text * LETTER
            inner = x + longest if side == "left" else x - longest
            turned = "end" if anchor == "start" else "start"
            placed.append(Label(note.lines, (inner, height), turned, note.target))
    return tuple(placed)


def _room(note: Note, frame: Frame) -> float:
    return frame.text * (1.12 * len(note.lines) + 0.6)


def fits(notes: list[Note], frame: Frame) -> bool:
    """Tell whether each margin has room for its notes.

    Parameters
    ----------
    notes : list of Note
        The notes.
    frame : Frame
        The window of the scene.

    Returns
    -------
    bool
        False where some would have to leave the window.

    Examples
    --------
    >>> fits([Note(("strap",), (0.0, 0.5), "left")] * 30, Frame(-0.5, 0.0, 0.5, 1.0))
    False
    """
    free = frame.height - _FOOT * frame.text
    return all(sum(_room(note, frame) for note in notes if note.side == side) <= free for side in ("left", "right"))


def boxes(labels: Iterable[Label], frame: Frame) -> list[Box]:
    """Measure the room that texts take.

    Parameters
    ----------
    labels : iterable of Label
        The texts.
    frame : Frame
        The window, which tells how high a line is.

    Returns
    -------
    list of tuple
        Left, low, right and high end of each; a little more than most letters need [m].

    Examples
    --------
    >>> ((left, low, right, high),) = boxes([Label(("ring",), (0.0, 0.0))], Frame(0.0, 0.0, 1.0, 1.0))
    >>> left, right > 0.05, high - low > 0.026
    (0.0, True, True)
    """
    found = []
    for label in labels:
        wide = max(map(len, label.lines)) * frame.text * LETTER
        tall = len(label.lines) * frame.text * 1.12
        (x, y), share = label.at, {"start": 0.0, "end": 1.0}.get(label.anchor, 0.5)
        found.append((x - share * wide, y - 0.5 * tall, x + (1.0 - share) * wide, y + 0.5 * tall))
    return found


def dense(lines: Sequence[Points], step: float) -> Points:
    """Set points along lines so close that no text slips between two of them.

    Parameters
    ----------
    lines : sequence of numpy.ndarray
        Corners of each, shape (M, 2) [m].
    step : float
        How far apart two points may lie [m].

    Returns
    -------
    numpy.ndarray
        Points of all, shape (N, 2) [m].

    Examples
    --------
    >>> import numpy as np
    >>> len(dense([np.array([[0.0, 0.0], [1.0, 0.0]])], 0.1))
    11
    """
    if not lines:
        return np.empty((0, 2))
    first, last = np.vstack([line[:-1] for line in lines]), np.vstack([line[1:] for line in lines])
    gap = last - first
    pieces = np.maximum(np.ceil(np.hypot(gap[:, 0], gap[:, 1]) / step - 1e-9).astype(int), 1)
    place = np.repeat(np.arange(len(pieces)), pieces)
    share = (np.arange(len(place)) - np.repeat(np.cumsum(pieces) - pieces, pieces)) / pieces[place]
    along = first[place] + share[:, None] * gap[place]
    return np.vstack([along, *(line[-1:] for line in lines)])


def first_free(labels: Sequence[Label], frame: Frame, taken: Sequence[Box], points: Points) -> Label:
    """Choose the first place of a text at which it covers nothing and lies in the window.

    Parameters
    ----------
    labels : sequence of Label
        The same text in the places that it may have, the best first.
    frame : Frame
        The window.
    taken : sequence of tuple
        Room of other texts, as `boxes` gives it [m].
    points : numpy.ndarray
        What it must not cover, shape (N, 2) [m].

    Returns
    -------
    Label
        The text in its place; where none is free, in the one that covers least.

    Examples
    --------
    >>> import numpy as np
    >>> places = [Label(("r",), (0.5, 0.5)), Label(("r",), (0.2, 0.5))]
    >>> first_free(places, Frame(0.0, 0.0, 1.0, 1.0), [], np.array([[0.505, 0.5]])).at
    (0.2, 0.5)
    """
    rated = []
    for left, low, right, high in boxes(labels, frame):
        outside = left < frame.left or right > frame.right or low < frame.bottom or high > frame.top
        over = sum(left < b[2] and b[0] < right and low < b[3] and b[1] < high for b in taken)
        x, y = points[:, 0], points[:, 1]
        hit = int(((x > left) & (x < right) & (y > low) & (y < high)).sum())
        rated.append((2 * outside + over, hit))
        if rated[-1] == (0, 0):
            break
    return labels[rated.index(min(rated))]


def cleared(labels: Sequence[Label], frame: Frame, points: Points) -> tuple[Label, ...]:
    """Move texts that lie on something up or down, or to the other margin, until they lie on nothing.

    Parameters
    ----------
    labels : sequence of Label
        Placed texts.
    frame : Frame
        The window.
    points : numpy.ndarray
        What they must not cover, shape (N, 2) [m].

    Returns
    -------
    tuple of Label
        The same texts; those that lay free stay where they were.

    Examples
    --------
    >>> import numpy as np
    >>> (moved,) = cleared([Label(("r",), (0.5, 0.5))], Frame(0.0, 0.0, 1.0, 1.0), np.array([[0.505, 0.5]]))
    >>> moved.at[0], 0.5 < moved.at[1] < 0.56
    (0.5, True)
    """
    free = [label for label in labels if not _hit(boxes([label], frame)[0], points)]
    placed = {id(label): label for label in free}
    for label in labels:
        if id(label) in placed:
            continue
        x, y = label.at
        opposite = frame.left + frame.right - x, {"start": "end", "end": "start"}.get(label.anchor, label.anchor)
        steps = [0.4 * k * frame.text * way for k in range(1, int(2.5 * frame.height / frame.text)) for way in (1, -1)]
        floor = frame.bottom + _FOOT * frame.text
        places = [
            Label(label.lines, (at, y + up), anchor, label.target)
            for at, anchor in ((x, label.anchor), opposite)
            for up in steps
            if y + up > floor
        ]
        taken = boxes(placed.values(), frame)
        placed[id(label)] = first_free([label, *places], frame, taken, points)
    return tuple(placed[id(label)] for label in labels)


def _hit(box: Box, points: Points) -> bool:
    left, low, right, high = box
    x, y = points[:, 0], points[:, 1]
    return bool(((x > left) & (x < right) & (y > low) & (y < high)).any())
