"""Labels in two columns beside a drawing, so that none covers another."""

from __future__ import annotations

from dataclasses import dataclass

from controlkit.draw.page.scene import Frame, Label
from controlkit.draw.page.stack import stacked

__all__ = ["LETTER", "Note", "fits", "in_margins"]


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
