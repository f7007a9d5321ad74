"""Steps of an operating sequence as a list, right and wrong, and how things stand."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from controlkit.draw.page.scene import CHART, Dot, Frame, Item, Label, Line, Scene
from controlkit.draw.words.pull import Units, joined
from controlkit.draw.words.sequence import amount_short, steps_words

if TYPE_CHECKING:
    from controlkit.mechanics.sequence import Situation, Taken

__all__ = ["steps_scene"]

_STEPS = 14  # steps that have room in the picture
_USUAL, _SMALL = (0.424, 0.0135, 0.020), (0.310, 0.012, 0.0155)  # width, text and line of a picture
_LETTER = 0.60  # width of a letter, as a share of its height [-]


def steps_scene(
    name: str,
    taken: Sequence[Taken],
    state: Situation,
    *,
    reached: bool,
    right: Sequence[str] = (),
    size: tuple[float, float] = CHART,
    units: Units = "both",
) -> Scene:
    """Draw the steps taken as a list, right and wrong, and how things stand.

    Parameters
    ----------
    name : str
        What is operated.
    taken : sequence of Taken
        Steps so far.
    state : Situation
        How things stand.
    reached : bool
        Whether the goal stands.
    right : sequence of str
        Steps that are right now, to be told; empty to keep them.
    size : tuple of float
        Width and height, in picture points; a long list needs more height [-].
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    Scene
        The drawing with its words.
    """
    wide, text_height, line = _USUAL if size[0] >= CHART[0] else (size[0] / 1000.0, *_SMALL[1:])
    letters = int(wide / (_LETTER * text_height))
    items: list[Item] = [Label((name,), (0.004, -0.012), "start")]
    y = -0.040
    items.append(Label(("How things stand",), (0.004, y), "start"))
    parts = max(0.062, 0.004 + _LETTER * text_height * max(len(part) for part, _ in state.facts))
    for part, value in state.facts:
        y -= line
        items.append(Label((part,), (parts, y), "end"))
        items.append(Label((value,), (parts + 0.012, y), "start"))
    y -= 0.034
    items.append(Label(("Steps taken",), (0.004, y), "start"))
    hidden = max(len(taken) - _STEPS, 0)
    for number, one in enumerate(taken[hidden:], hidden + 1):
        y -= line
        at = np.array([0.016, y])
        if one.right:
            items.append(Dot((0.016, y), 0.0042, "landmark", "right step"))
        else:
            for turn in (1.0, -1.0):
                slant = np.array([0.0045, 0.0045 * turn])
                items.append(Line(np.stack([at - slant, at + slant]), "whisker", "wrong step"))
        text = f"{number}. {one.step}"
        if one.right:
            text += f": {amount_short(one.amount, units)}"
        pieces = textwrap.wrap(text, letters - 5)
        for piece in pieces:
            items.append(Label((piece,), (0.028, y), "start"))
            y -= line
        y += line
    words = steps_words(taken, state, reached=reached, right=right, units=units)
    y -= 0.034
    wrong = taken[-1].consequence.said(units) if taken else ""
    told = [wrong] if wrong else ["The errand is done."] if reached and taken else []
    told += [f"Right now: {joined(right, 'or')}."] if right else []
    for text in told:
        for piece in textwrap.wrap(text, letters - 1):
            items.append(Label((piece,), (0.004, y), "start"))
            y -= line
    low = -0.40 if size[0] >= CHART[0] else -size[1] / 1000.0
    return Scene("Steps", words, Frame(0.0, min(y, low), wide, 0.0, text=text_height), tuple(items), beside=True)
