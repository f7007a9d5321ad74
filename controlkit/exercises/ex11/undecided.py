"""Exercise 11: readings that leave two faults undecided, and the one that tells them apart."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from controlkit.checking import Case, Statement
from controlkit.checking.case.cases import Value
from controlkit.exercises.ex11.faults import ABOVE, SHARES
from controlkit.exercises.shared.shelf import SOUND
from controlkit.mechanics.bench.instruments import SCALE, TAPE
from controlkit.units import mm

Array = NDArray[np.float64]

PAIRS = (
    Statement(
        "loop or weight",
        "the lift loop sits too near the elbow, or a heavier device hangs at the wrist",
        ask="Both of these make the lift harder. Is it harder here?",
        held_because="whatever troubles the wearer above the elbow is put down to the lift",
    ),
    Statement(
        "bands or liner",
        "the hook carries too many bands, or the cable rubs in a worn or dirty housing",
        ask="Both of these make the hanger pull harder until the device opens. Does it?",
        held_because="what opens too little is thought to open too hard",
    ),
    Statement(
        "front strap or lock strap",
        "the front support strap is too tight, or the strap of the lock is slack",
        ask="Both of these keep the lock's cable from its travel. Was that read, and has it changed?",
        held_because="straps are blamed wherever a prosthesis does not work",
    ),
    Statement(
        "slack or high",
        "the control attachment strap is let out too far, or lies too high on the back",
        ask="Has anything been read that one of these two would have changed by more, or would have left alone?",
        held_because="whatever opens too little is put down to this strap",
    ),
    Statement(
        "loop or slack",
        "the lift loop sits too far from the elbow, or the control attachment strap is let out too far",
        ask="Has anything been read that one of these two would have changed by more, or would have left alone?",
        held_because="whatever opens too little is put down to travel that is lost",
    ),
    Statement(
        "bands or slack",
        "the hook has lost bands, or the control attachment strap is let out too far",
        ask="Both of these let the device open while the forearm comes up. Was that read, and does it?",
        held_because="that a strap can do the same as bands is not thought of",
    ),
)
"""Two faults each."""


@dataclass(frozen=True)
class TwoFaults:
    """Two faults that some readings leave undecided.

    Parameters
    ----------
    faults : tuple of str
        Their names
    taken : tuple of str
        Keys of the readings that were taken
    complaint : str
        What the wearer says
    """

    faults: tuple[str, str]
    taken: tuple[str, ...]
    complaint: str


_SLACK, _HIGH = "control attachment strap slack", "control attachment strap high on the back"
_NEAR, _FAR = "lift loop too near the elbow", "lift loop too far from the elbow"
_FEW, _MANY, _LINER = "too few bands", "too many bands", "worn liner, or dirt in the housing"

LEFT: dict[str, TwoFaults] = {
    "loop or weight": TwoFaults((_NEAR, "heavy device"), ("lift", "hanger", "ring"), "the forearm is hard to lift"),
    "bands or liner": TwoFaults((_MANY, _LINER), ("hanger", "ring", "front"), "the device is hard to open"),
    "front strap or lock strap": TwoFaults(
        ("front support strap too tight", "strap of the lock slack"),
        ("lock", "hanger", "lift"),
        "the lock does not change over",
    ),
    "slack or high": TwoFaults((_SLACK, _HIGH), ("opens", "hanger", "lift"), "the device opens too little"),
    "loop or slack": TwoFaults((_FAR, _SLACK), ("opens", "hanger", "ring"), "the device opens too little"),
    "bands or slack": TwoFaults(
        (_FEW, _SLACK), ("lifting", "lift", "ring"), "the device opens while the forearm comes up"
    ),
}
"""What each pair is, by its word."""

WORDS = {
    "device": ("scale at the device", "pull at the device itself until it begins to move", "N"),
    "hanger": ("scale at the hanger", "pull at the hanger until the device begins to open, elbow locked at 90°", "N"),
    "lift": ("scale for the lift", "pull at the hanger that takes the forearm past 90°", "N"),
    "drawn": ("cable for the lift", "how far the hanger is drawn until the forearm is at 135°", "mm"),
    "ring": ("tape to the ring", "from C7 down to the ring", "mm"),
    "front": ("front strap between fingers", "how much of the front support strap can be drawn together", "mm"),
    "lock": ("cable of the lock", "how far the lock motion draws it", "mm"),
    "opens": ("fingertips, elbow locked", "how far arm flexion alone opens them, elbow locked at 90°", "mm"),
    "lifting": ("fingertips on the way up", "how far they move while arm flexion brings the forearm up", "mm"),
}
"""Readings by their keys: word, how it is taken, unit."""

CANDIDATES = tuple(dict.fromkeys(name for pair in LEFT.values() for name in pair.faults))
"""The faults that come into question."""

NEXT = (
    Statement(
        "scale at the device",
        WORDS["device"][1],
        ask="That scale knows the device alone. Which of the two faults would it feel, and would it differ "
        "between them?",
        held_because="what is measured first elsewhere is measured next here",
    ),
    Statement(
        "cable for the lift",
        WORDS["drawn"][1],
        ask="How much cable the lift takes is a matter of its lever. Does either of the two faults move the lever?",
        held_because="travel is looked at for whatever fails",
    ),
    Statement(
        "tape to the ring",
        WORDS["ring"][1],
        ask="That tape tells where the ring lies. Was it taken already, and would the two faults leave it at two "
        "places?",
        held_because="a harness that looks right is measured once more to be sure",
    ),
    Statement(
        "front strap between fingers",
        WORDS["front"][1],
        ask="That tells the play of one strap. Was it taken already, and would the two faults leave it different?",
        held_because="what is quick to feel is tried first",
    ),
    Statement(
        "cable of the lock",
        WORDS["lock"][1],
        ask="That tells what comes to the lock. Was it taken already, and would the two faults differ in it?",
        held_because="the lock is thought to show every fault of the harness",
    ),
)
"""Readings that could be taken next."""

_OFFERED = {WORDS[key][0]: key for key in ("device", "drawn", "ring", "front", "lock")}
_ERRORS = {"device": SCALE, "hanger": SCALE, "lift": SCALE}
_FINE = 41
_FITS, _NOT = 1.0, 1.5
"""A reading fits a fault within its error; it speaks against one from there on [errors]."""
_SAME, _APART = 0.75, 2.0
"""A reading that differs by less tells nothing; one that differs by more tells two faults apart [errors]."""


def error(key: str) -> float:
    """How far a reading may be off, in its unit."""
    return _ERRORS.get(key, TAPE / mm(1))


def _read(key: str, fault: str, share: float = 0.0) -> float:
    return ABOVE.reading(key, fault, share)


@cache
def _curve(fault: str, key: str) -> Array:
    """A reading over its error along the sizes of a fault, between noted ones by proportion."""
    read = [_read(key, fault, share) for share in SHARES]
    return np.interp(np.linspace(0.0, 1.0, _FINE), SHARES, read) / error(key)


def fitting(taken: Sequence[str], now: Mapping[str, float]) -> dict[str, NDArray[np.bool_]] | None:
    """Faults that go with all readings, and in which sizes; none where one is neither in nor out.

    Parameters
    ----------
    taken : sequence of str
        Keys of the readings that were taken
    now : mapping
        What they are, by their keys

    Returns
    -------
    dict or None
        By fault, for which of its sizes every reading lies within its error
    """
    found: dict[str, NDArray[np.bool_]] = {}
    for fault in CANDIDATES:
        off = np.max([np.abs(_curve(fault, key) - now[key] / error(key)) for key in taken], axis=0)
        if off.min() <= _FITS:
            found[fault] = off <= _FITS
        elif off.min() < _NOT:
            return None
    return found


def tells(key: str, left: Mapping[str, NDArray[np.bool_]]) -> bool | None:
    """Whether a further reading tells two faults apart in the sizes that are left; none where it is neither."""
    one, other = (_curve(fault, key)[sizes] for fault, sizes in left.items())
    apart = float(np.abs(one[:, None] - other[None]).min())
    return False if apart < _SAME else True if apart > _APART else None


@dataclass(frozen=True)
class LeftOpen:
    """A prosthesis with a fault, some readings taken, two faults left.

    Parameters
    ----------
    word : str
        The pair that is left
    fault : str
        What is wrong
    share : float
        How much, between smallest and largest [-]
    next : str
        The one offered reading that tells the two apart
    """

    word: str
    fault: str
    share: float
    next: str


def _scene(word: str, fault: str, share: float) -> LeftOpen | None:
    """The scene of a fault, if just the pair is left and just one further reading tells it apart."""
    pair = LEFT[word]
    now = {key: float(round(_read(key, fault, share))) for key in pair.taken}
    if all(abs(now[key] - _read(key, SOUND)) <= _APART * error(key) for key in pair.taken):
        return None
    left = fitting(pair.taken, now)
    if left is None or set(left) != set(pair.faults):
        return None
    told = {name: tells(key, left) for name, key in _OFFERED.items() if key not in pair.taken}
    if None in told.values() or sum(map(bool, told.values())) != 1:
        return None
    return LeftOpen(word, fault, share, next(name for name, one in told.items() if one))


def _every() -> tuple[LeftOpen, ...]:
    """As many scenes of each pair, over and over where it has fewer."""
    found = {
        word: [scene for fault in pair.faults for share in SHARES if (scene := _scene(word, fault, share)) is not None]
        for word, pair in LEFT.items()
    }
    most = max(map(len, found.values()))
    return tuple(scenes[k % len(scenes)] for k in range(most) for scenes in found.values())


SCENES = _every()
"""What a case draws from, by its number less one."""


def scene(c: Case) -> LeftOpen:
    """The scene of a case."""
    return SCENES[int(c.scene) - 1]


def read(number: int) -> dict[str, Value]:
    """The readings that were taken, and those of a sound prosthesis, as the case shows them.

    Parameters
    ----------
    number : int
        Which of `SCENES`, from 1 [-]

    Returns
    -------
    dict
        What was read when fitted and now, by the names of a case [N or mm]
    """
    one = SCENES[number - 1]
    taken = LEFT[one.word].taken
    now: dict[str, Value] = {f"left_now_{key}": round(_read(key, one.fault, one.share)) for key in taken}
    return now | {f"left_sound_{key}": round(_read(key, SOUND)) for key in taken}


def rows(c: Case) -> tuple[tuple[str, str, str, str], ...]:
    """Rows of a table: reading, how it was taken, when fitted, now."""
    found = []
    for key in LEFT[scene(c).word].taken:
        word, how, unit = WORDS[key]
        found.append((word, how, f"{c[f'left_sound_{key}']} {unit}", f"{c[f'left_now_{key}']} {unit}"))
    return tuple(found)


def changes(c: Case) -> tuple[str, str]:
    """Readings that have changed by more than their error, and those that have not, in words."""
    taken = LEFT[scene(c).word].taken
    moved = [key for key in taken if abs(c[f"left_now_{key}"] - c[f"left_sound_{key}"]) > error(key)]
    words = [[WORDS[key][0] for key in taken if (key in moved) == new] for new in (True, False)]
    return ", ".join(words[0]), ", ".join(words[1])


def would_read(c: Case) -> str:
    """What the reading that tells would come to with either fault, in words."""
    one = scene(c)
    key = _OFFERED[one.next]
    word, _, unit = WORDS[key]
    taken = LEFT[one.word].taken
    left = fitting(taken, {name: float(c[f"left_now_{name}"]) for name in taken}) or {}
    found = []
    for fault, sizes in left.items():
        read = _curve(fault, key)[sizes] * error(key)
        low, high = round(float(read.min())), round(float(read.max()))
        found.append(f"{low if low == high else f'{low} to {high}'} {unit} with “{fault}”")
    return f"{word} {', '.join(found)}"
