"""One set-up on many wearers: a mark for each, and how many are served."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from controlkit.draw.charts.bars import Bar, Group, bar_scene
from controlkit.draw.charts.drawn_in import drawn_in
from controlkit.draw.page.axes import nice_ticks
from controlkit.draw.page.scene import Dot, Frame, Item, Label, Line, Points, Region, Scene
from controlkit.draw.words.effort import percent
from controlkit.draw.words.population import ACROSS, FAILS, SEVERAL, outcome
from controlkit.draw.words.pull import Units
from controlkit.mechanics.study.fitting import interval

if TYPE_CHECKING:
    from controlkit.draw.words.population import Census, Entry

__all__ = ["served_bars", "wearer_marks"]

_POINT = 0.001  # of the page for a picture point, so that text is as large as in a chart of the same size
_TEXT, _LETTER = 0.012, 0.0066  # height of letters, and width of one
_LEFT, _RIGHT, _ABOVE, _BELOW = 0.040, 0.020, 0.046, 0.084  # round the field of marks
_HALF = 0.0042  # half a mark
_LEAST = 0.040  # excursion that the upright axis holds at least, either way [m]
_KEY = ("served", *FAILS.values(), SEVERAL)
_SHORT = {"served": "served", SEVERAL: "more than one"} | {words: name for name, words in FAILS.items()}


def wearer_marks(
    census: Census, across: str, shown: Entry | None = None, *, size: tuple[float, float], units: Units = "both"
) -> Scene:
    """Draw a mark for each wearer: a body measure to the right, what is left of excursion upwards.

    Parameters
    ----------
    census : Census
        The wearers.
    across : str
        What they are laid out by, a key of `ACROSS`.
    shown : Entry, optional
        The one on show, who gets a ring round the mark.
    size : tuple of float
        Width and height, in picture points [-].
    units : str
        "metric", "inch-pound" or "both" (which draws in metric units).

    Returns
    -------
    Scene
        The drawing and its words.

    Notes
    -----
    What became of a wearer is told by the form of the mark: a full dot is served, a triangle that points down lacks
    excursion, a square takes too much force, a diamond drops the object, a cross fails for more than one reason. The
    wearer for whom the set-up is fitted is a star, dark where she is served.
    """
    wide, high = (points * _POINT for points in size)
    kind = "force" if across == "strength" else "length"
    unit, scale = drawn_in(units, kind)
    upright, tall = drawn_in(units, "length")
    everybody = [one for one in (*census.entries, census.own) if "no hold" not in one.found.fails]
    lefts = [tall * one.found.excursion_left for one in everybody] or [0.0]
    x_low, x_high, x_ticks = _span(*(scale * end for end in census.ends(across)))
    y_low, y_high, y_ticks = _span(min(*lefts, -tall * _LEAST), max(*lefts, tall * _LEAST))
    box = (_LEFT, -high + _BELOW, wide - _RIGHT, -_ABOVE)

    def at(one: Entry) -> tuple[float, float]:
        share = (scale * one.across(across) - x_low) / (x_high - x_low)
        up = (tall * one.found.excursion_left - y_low) / (y_high - y_low)
        return box[0] + share * (box[2] - box[0]), box[1] + up * (box[3] - box[1])

    name = ACROSS[across][0]
    items: list[Item] = [
        Label(("Each wearer: excursion left",), (0.004, -0.012), "start"),
        Label((f"on command [{upright}]",), (0.004, -0.030), "start"),
        Label((f"{name} [{unit}]",), (0.5 * (box[0] + box[2]), box[1] - 0.031), "middle"),
    ]
    for tick in y_ticks:
        y = box[1] + (tick - y_low) / (y_high - y_low) * (box[3] - box[1])
        style = "axis" if abs(tick) < 1e-9 else "grid"
        items.append(Line(np.array([[box[0], y], [box[2], y]]), style, "scale"))
        items.append(Label((f"{tick:g}".replace("-", "\u2212"),), (box[0] - 0.006, y), "end"))
    for tick in x_ticks:
        x = box[0] + (tick - x_low) / (x_high - x_low) * (box[2] - box[0])
        items.append(Line(np.array([[x, box[1]], [x, box[1] - 0.004]]), "axis", "scale"))
        items.append(Label((f"{tick:g}",), (x, box[1] - 0.014), "middle"))
    for one in census.entries:
        if "no hold" not in one.found.fails:
            items.extend(_mark(at(one), outcome(one.found)))
    if "no hold" not in census.own.found.fails:
        items.extend(_star(at(census.own), bool(census.own.found.fails)))
    if shown is not None and "no hold" not in shown.found.fails:
        items.append(Line(_ring(at(shown)), "force", "on show", closed=True))
    items.extend(_key(census, wide, box[1] - 0.047))
    counted = Counter(outcome(one.found) for one in census.entries)
    parts = [f"{what} {counted[what]}" for what in _KEY if counted[what]]
    words = f"A mark for each wearer, excursion left by {name}, its form telling what became of her or him"
    words += f": {', '.join(parts)}." if parts else "; none yet."
    return Scene("Each wearer by body measure and excursion left", words, Frame(0.0, -high, wide, 0.0, text=_TEXT),
                 tuple(items))  # fmt: skip


def served_bars(
    census: Census, pinned: Census | None = None, *, of: str = "", size: tuple[float, float], units: Units = "both"
) -> Scene:
    """Draw which share is served, with its interval, and which share each budget fails.

    Parameters
    ----------
    census : Census
        The wearers.
    pinned : Census, optional
        Those of an earlier setting.
    of : str
        Of whom, and what a pull may take.
    size : tuple of float
        Width and height, in picture points [-].
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    Scene
        The drawing and its words.
    """
    tried = max(len(census.entries), 1)
    bars = [Bar("served", census.share, "bar captured", digits=0, span=census.between)]
    if pinned is not None and pinned.entries:
        bars.append(Bar("pinned: served", pinned.share, "bar plain", digits=0, span=pinned.between))
    said = [f"served {percent(census.share)}"]
    for reason, words in FAILS.items():
        count = census.failed(reason)
        if count or reason != "no hold":
            span = interval(count, tried)
            bars.append(Bar(words, count / tried, "bar lost", digits=0, span=span))
            said.append(f"{words} {percent(count / tried)}")
    heading = f"Share of {len(census.entries)} tried {of} [{{unit}}]"
    return bar_scene(
        "Whom it serves",
        f"Bars of shares, each with the interval in which that of such people at large lies: {', '.join(said)}. "
        "Who fails for two reasons counts in both.",
        (Group(heading, tuple(bars), "ratio", 1.0),),
        units,
        size=size,
    )


def _span(low: float, high: float) -> tuple[float, float, tuple[float, ...]]:
    """Ends of an axis that hold two values, and round numbers between."""
    wide = max(high - low, 1e-9)
    step = nice_ticks(wide, 5)[1][1]
    first, last = math.floor(low / step + 1e-9), math.ceil(high / step - 1e-9)
    last = max(last, first + 1)
    return first * step, last * step, tuple(round(step * k, 9) for k in range(first, last + 1))


def _corners(at: tuple[float, float], way: Sequence[tuple[float, float]]) -> Points:
    return np.array([[at[0] + _HALF * x, at[1] + _HALF * y] for x, y in way])


def _ring(at: tuple[float, float]) -> Points:
    turn = np.linspace(0.0, 2.0 * np.pi, 25)[:-1]
    return np.stack([at[0] + 2.1 * _HALF * np.cos(turn), at[1] + 2.1 * _HALF * np.sin(turn)], axis=1)


def _star(at: tuple[float, float], fails: bool) -> list[Item]:
    turn = np.pi / 2.0 + np.arange(10) * np.pi / 5.0
    far = np.where(np.arange(10) % 2 == 0, 1.9, 0.8) * _HALF
    points = np.stack([at[0] + far * np.cos(turn), at[1] + far * np.sin(turn)], axis=1)
    return [Region(points, "bar captured" if fails else "landmark", "the one it is fitted for")]


def _mark(at: tuple[float, float], what: str) -> list[Item]:
    """A mark whose form says what became of a wearer."""
    if what == "served":
        return [Dot(at, _HALF, "landmark", what)]
    if what == FAILS["excursion"]:
        return [Region(_corners(at, ((-1.1, 0.9), (1.1, 0.9), (0.0, -1.1))), "bar captured", what)]
    if what == FAILS["force"]:
        return [Region(_corners(at, ((-0.9, -0.9), (0.9, -0.9), (0.9, 0.9), (-0.9, 0.9))), "bar generated", what)]
    if what == FAILS["drops"]:
        return [Region(_corners(at, ((0.0, -1.3), (1.1, 0.0), (0.0, 1.3), (-1.1, 0.0))), "bar allowed", what)]
    ways = (((-1.0, -1.0), (1.0, 1.0)), ((-1.0, 1.0), (1.0, -1.0)))
    return [Line(_corners(at, way), "axis", what) for way in ways]


def _key(census: Census, wide: float, top: float) -> list[Item]:
    """Each mark that occurs, with its meaning, in two columns."""
    counted = Counter(outcome(one.found) for one in census.entries)
    named = [what for what in _KEY if counted[what] and what != FAILS["no hold"]]
    items: list[Item] = []
    for place, what in enumerate([*named, "star"]):
        x, y = 0.010 + 0.52 * wide * (place % 2), top - 0.015 * (place // 2)
        star = what == "star"
        items.extend(_star((x, y), bool(census.own.found.fails)) if star else _mark((x, y), what))
        name = census.own.who.wearer.name if star else f"{_SHORT[what]}: {counted[what]}"
        items.append(Label((name,), (x + 0.012, y), "start"))
    return items
