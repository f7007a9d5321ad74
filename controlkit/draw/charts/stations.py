"""An operating sequence as a road of stations: where it goes, where one stands, and the steps out of there."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from math import ceil
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from controlkit.draw.page.scene import Arrow, Dot, Frame, Item, Label, Line, Region, Scene
from controlkit.draw.words.pull import Units, joined
from controlkit.draw.words.stations import changes_words, right_words, stations_words

if TYPE_CHECKING:
    from controlkit.mechanics.sequence import Situation, Taken

__all__ = ["WIDE", "stations_scene"]

WIDE = 900.0
"""Usual width, in picture points [-]."""
_TEXT, _LINE, _LETTER = 0.0135, 0.018, 0.55  # height of letters and of a line; width of a letter over its height
_MARGIN, _NAMES = 0.006, 0.052  # at the edge, and for the names of the lanes
_PITCH, _LANE, _ROUND = 0.038, 0.032, 0.0105  # stations and lanes apart, half a station
_ABOVE, _BELOW = 0.046, 0.040  # room over the highest lane and under the lowest
_HEIGHTS = {
    "low": 0.0,
    "at rest": 0.0,
    "at the table": 1.0,
    "lifted to the table": 1.28,
    "at the mouth": 2.0,
    "lifted to the mouth": 2.28,
}
"""How high arm or elbow stand, in lanes."""
_LANES = ("down", "table", "mouth")
_FAN = 0.052  # from the present station to the words of the steps out of it


def stations_scene(
    name: str,
    road: Sequence[Taken],
    state: Situation,
    *,
    taken: Sequence[Taken] = (),
    exits: Sequence[Taken] = (),
    wrong: Sequence[int] = (),
    named: bool = True,
    width: float = WIDE,
    units: Units = "both",
) -> Scene:
    """Draw the road of right steps as stations, the present one marked, and the steps out of it.

    Parameters
    ----------
    name : str
        What is operated.
    road : sequence of Taken
        Right steps from the start to the goal; none if there is no such road.
    state : Situation
        How things stand.
    taken : sequence of Taken
        Steps so far: they say where the road was left, if it was.
    exits : sequence of Taken
        Steps out of the present state, to be told; empty to keep them.
    wrong : sequence of int
        How many wrong steps at each station, the start first, change something; empty to leave them out [-].
    named : bool
        Whether to say which step leads to which station.
    width : float
        Of the picture, 300 or more, in picture points; its height follows [-].
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    Scene
        The drawing with its words.

    Notes
    -----
    A station is square while the elbow is locked and round while it is free; where nothing locks, square while the
    cable is pulled. A dot on top is the object held. Stations stand as high as arm or elbow do. The present one has a
    second outline, an arrow and the word "here". Wrong steps are dashed stubs that end in a cross.
    """
    sheet = _StationPage(width / 1000.0)
    sheet.write(name, bold_room=True)
    places = [one.before for one in road[:1]] + [one.after for one in road]
    if road:
        _map(sheet, places, state, taken=taken, wrong=wrong)
        _key(sheet, places[0], bool(wrong))
        if named:
            _names(sheet, road, places.index(state) if state in places else None)
    else:
        sheet.write("No order of right steps leads to the goal.")
    sheet.y -= 0.5 * _LINE
    sheet.write(f"You are here: {state.words}.")
    if exits:
        _fan(sheet, state, exits, right_words(road, state))
    words = stations_words(name, road, state, exits=exits, named=named, units=units)
    frame = Frame(0.0, sheet.y - 0.004, sheet.wide, 0.0, text=_TEXT)
    return Scene("Road of steps", words, frame, tuple(sheet.items), beside=True)


@dataclass
class _StationPage:
    """A page that fills from above."""

    wide: float
    y: float = -0.006
    items: list[Item] = field(default_factory=list)

    def write(self, text: str, *, left: float = _MARGIN, bold_room: bool = False) -> None:
        """Lines of text from the left, wrapped."""
        letters = int((self.wide - left - _MARGIN) / (_LETTER * _TEXT))
        for piece in textwrap.wrap(text, letters):
            self.items.append(Label((piece,), (left, self.y - 0.5 * _LINE), "start"))
            self.y -= _LINE
        self.y -= 0.3 * _LINE if bold_room else 0.0


def _map(
    sheet: _StationPage,
    places: Sequence[Situation],
    state: Situation,
    *,
    taken: Sequence[Taken],
    wrong: Sequence[int],
) -> None:
    """The stations, in as many rows as they need."""
    most = int((sheet.wide - _NAMES - 2 * _MARGIN) / _PITCH)
    rows = ceil(len(places) / most)
    count = ceil(len(places) / rows)
    pitch = (sheet.wide - _NAMES - 2 * _MARGIN) / count
    tall = _ABOVE + max(_HEIGHTS[_height(place)] for place in places) * _LANE
    lowest = [sheet.y - tall - row * (tall + _BELOW) for row in range(rows)]
    spots = [
        np.array([_NAMES + _MARGIN + (k % count + 0.5) * pitch, lowest[k // count] + _HEIGHTS[_height(place)] * _LANE])
        for k, place in enumerate(places)
    ]
    for row in lowest:
        for lane, named in enumerate(_LANES):
            level = row + lane * _LANE
            ends = np.array([[_NAMES, level], [sheet.wide - _MARGIN, level]])
            sheet.items.append(Line(ends, "grid", f"{named} lane"))
            sheet.items.append(Label((named,), (_NAMES - 0.004, level), "end"))
    for k, (one, other) in enumerate(pairwise(spots)):
        if (k + 1) % count:
            sheet.items.append(Line(np.stack([one, other]), "scale", "right step"))
        else:  # on to the next row
            for at, start, tip in ((one, 0.0, 0.5 * pitch + 0.004), (other, -0.5 * pitch, -_ROUND)):
                begin, head = ((float(at[0] + to), float(at[1])) for to in (start, tip))
                sheet.items.append(Arrow(begin, head, "scale", "goes on in the next row"))
    here = places.index(state) if state in places else None
    left_at = None if here is not None else _left_at(places, taken)
    for k, (place, spot) in enumerate(zip(places, spots, strict=True)):
        if k < len(wrong) and wrong[k] and k != left_at:
            foot = spot - np.array([0.0, _ROUND + 0.010])
            _stub(sheet, spot, foot)
            sheet.items.append(Label((str(wrong[k]),), (foot[0] + 0.006, foot[1] - 0.001), "start"))
        _station(sheet, place, spot, number=str(k), here=k == here)
    if left_at is not None:
        spot = spots[left_at]
        off = spot - np.array([0.0, _ROUND + 0.018])
        _stub(sheet, spot, off)
        side = 1.0 if off[0] < 0.6 * sheet.wide else -1.0
        beside = (float(off[0] + side * 0.010), float(off[1]))
        sheet.items.append(Label(("here, off the road",), beside, "start" if side > 0.0 else "end"))
    sheet.y = lowest[-1] - _BELOW


def _left_at(places: Sequence[Situation], taken: Sequence[Taken]) -> int:
    """The last station that was visited."""
    seen = [places.index(one.before) for one in taken if one.before in places]
    return seen[-1] if seen else 0


def _height(place: Situation) -> str:
    """How high the arm or the elbow stands."""
    facts = dict(place.facts)
    return facts["elbow"] if "elbow" in facts else facts["arm"]


def _square(place: Situation) -> bool:
    """Whether a station is square: the elbow locked, or the cable pulled where no elbow locks."""
    facts = dict(place.facts)
    return facts["lock"] == "on" if "elbow" in facts else facts["cable"] == "pulled"


def _box(at: NDArray[np.float64], half: float) -> NDArray[np.float64]:
    """Corners of a square."""
    return at + half * np.array([[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]])


def _station(sheet: _StationPage, place: Situation, at: NDArray[np.float64], *, number: str, here: bool) -> None:
    """One station: its shape, its number, what it holds, and whether one stands there."""
    middle, square = (float(at[0]), float(at[1])), _square(place)
    named = f"station {number}: {place.words}" if number else f"here: {place.words}"
    for half in (_ROUND + 0.0038, _ROUND) if here else (_ROUND,):
        if square:
            sheet.items.append(Region(_box(at, half), "ring", named))
        else:
            sheet.items.append(Dot(middle, half * 1.08, "ring", named))
    top = at[1] + _ROUND + (0.0038 if here else 0.0)
    if place["object"] == "held":
        sheet.items.append(Dot((middle[0], top + 0.004), 0.0038, "landmark", "object held"))
        top += 0.0085
    sheet.items.append(Label((number,), middle, "middle"))
    if here:
        sheet.items.append(Arrow((middle[0], top + 0.017), (middle[0], top + 0.002), "scale", "here"))
        side = 1.0 if middle[0] < sheet.wide - 0.060 else -1.0
        beside = (middle[0] + side * 0.006, top + 0.013)
        sheet.items.append(Label(("here",), beside, "start" if side > 0.0 else "end"))


def _stub(sheet: _StationPage, start: NDArray[np.float64], end: NDArray[np.float64]) -> None:
    """A wrong step: a dashed line that ends in a cross."""
    sheet.items.append(Line(np.stack([start, end]), "now", "wrong step"))
    _cross(sheet, end)


def _cross(sheet: _StationPage, at: NDArray[np.float64]) -> None:
    for turn in (1.0, -1.0):
        slant = np.array([0.0038, 0.0038 * turn])
        sheet.items.append(Line(np.stack([at - slant, at + slant]), "whisker", "wrong step"))


def _key(sheet: _StationPage, start: Situation, wrong: bool) -> None:
    """What shapes and stubs mean."""
    locks = "elbow" in dict(start.facts)
    square, free = ("elbow locked", "unlocked") if locks else ("cable pulled", "slack")
    entries = [("square", square), ("round", free), ("dot", "object held")]
    entries += [("cross", "wrong steps that change something, and how many")] if wrong else []
    x = _MARGIN
    for mark, text in entries:
        room = 0.020 + len(text) * _LETTER * _TEXT + 0.014
        if x + room > sheet.wide and x > _MARGIN:
            x = _MARGIN
            sheet.y -= _LINE
        at = np.array([x + 0.007, sheet.y - 0.5 * _LINE])
        middle = (float(at[0]), float(at[1]))
        if mark == "square":
            sheet.items.append(Region(_box(at, 0.0055), "ring", "key"))
        elif mark == "cross":
            _cross(sheet, at)
        else:
            sheet.items.append(
                Dot(middle, 0.006 if mark == "round" else 0.0038, "ring" if mark == "round" else "landmark", "key")
            )
        sheet.items.append(Label((text,), (x + 0.018, middle[1]), "start"))
        x += room
    sheet.y -= 1.5 * _LINE


def _names(sheet: _StationPage, road: Sequence[Taken], here: int | None) -> None:
    """Which step leads to which station, in columns."""
    texts = ["0 the start", *(f"{k} {one.step}" for k, one in enumerate(road, 1))]
    for high in range(5, len(texts) + 1):
        starts = range(0, len(texts), high)
        rooms = [0.024 + max(map(len, texts[k : k + high])) * _LETTER * _TEXT for k in starts]
        if sum(rooms) <= sheet.wide - _MARGIN:
            break
    spare = (sheet.wide - _MARGIN - sum(rooms)) / len(rooms)
    for k, text in enumerate(texts):
        column = k // high
        x, y = _MARGIN + sum(rooms[:column]) + column * spare, sheet.y - (k % high + 0.5) * _LINE
        if k == here:
            sheet.items.append(Arrow((x, y), (x + 0.014, y), "scale", "here"))
        sheet.items.append(Label((text,), (x + 0.016, y), "start"))
    sheet.y -= high * _LINE


def _fan(sheet: _StationPage, state: Situation, exits: Sequence[Taken], rights: tuple[str, str, str]) -> None:
    """The steps out of a state: right ones as arrows, wrong ones as stubs."""
    sheet.y -= 0.4 * _LINE
    left = _MARGIN + _FAN + 0.012
    letters = int((sheet.wide - left - _MARGIN) / (_LETTER * _TEXT))
    onward, on, beside = rights
    ways = [(one, on if one.step == onward else beside) for one in exits if one.right]
    ways.sort(key=lambda way: way[1] != on)
    tells = [(True, f"{one.step} ({named}): {changes_words(one)}") for one, named in ways]
    tells += [(False, f"{one.step} (wrong): {changes_words(one)}") for one in exits if not one.right and _changes(one)]
    idle = [one.step for one in exits if not one.right and not _changes(one)]
    tells += [(False, f"(wrong) {joined(idle, 'or')}: nothing changes")] if idle else []
    rows = [(right, textwrap.wrap(text, letters)) for right, text in tells]
    high = sum(len(pieces) for _, pieces in rows) * _LINE
    root = np.array([_MARGIN + _ROUND + 0.004, sheet.y - 0.5 * high])
    ends = []
    for _, pieces in rows:
        ends.append(np.array([_MARGIN + _FAN, sheet.y - 0.5 * _LINE]))
        for piece in pieces:
            sheet.items.append(Label((piece,), (left, sheet.y - 0.5 * _LINE), "start"))
            sheet.y -= _LINE
    for (right, _), end in zip(rows, ends, strict=True):
        if right:
            sheet.items.append(Arrow((root[0], root[1]), (end[0] + 0.006, end[1]), "scale", "right step"))
        else:
            _stub(sheet, root, end)
    _station(sheet, state, root, number="", here=False)


def _changes(one: Taken) -> bool:
    """Whether a step leads anywhere else."""
    return one.after != one.before
