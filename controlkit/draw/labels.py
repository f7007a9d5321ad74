"""Labels in two columns beside a drawing, so that none covers another."""

from __future__ import annotations

from dataclasses import dataclass

from controlkit.draw.chart_layout import spread
from controlkit.draw.scene import Frame, Label

__all__ = ["Note", "in_margins"]


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
    """

    lines: tuple[str, ...]
    target: tuple[float, float]
    side: str


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
        most = max((len(note.lines) for note in here), default=1)
        gap = frame.text * (1.12 * most + 0.6)
        half = frame.text * 0.62 * most
        heights = spread([note.target[1] for note in here], gap, frame.bottom + half, frame.top - half)
        for note, height in zip(here, heights, strict=True):
            # the text is set against the outer edge; its leader starts at the inner end
            longest = max(len(line) for line in note.lines) * frame.text * 0.53
            inner = x + longest if side == "left" else x - longest
            turned = "end" if anchor == "start" else "start"
            placed.append(Label(note.lines, (inner, height), turned, note.target))
    return tuple(placed)
