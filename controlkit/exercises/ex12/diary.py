"""Exercise 12: a wearing schedule as it is printed, and the diary of somebody who keeps to it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import combinations

from controlkit.sources import source

SKIN = source("skin_marks")
"""How long a mark may last before wear is cut back [min]."""
LONGEST = float(SKIN.value)  # type: ignore[arg-type]  # it is printed as one number
ELSEWHERE = source("skin_marks_elsewhere")
"""The same of another clinic; what lasts longer than its higher end is left off until it is seen [min]."""

PRINTED = (
    "3 times 30 min",
    "3 times 45 min",
    "3 times 1 h",
    "3 times 1.5 h",
    "3 times 2 h",
    "3 times 2.5 h",
    "8 h or more",
)
STEPS = (90, 135, 180, 270, 360, 450, 480)
"""A day's wear, step by step, as an arm-prosthetics clinic prints it (`wear-schedule`), of the last the least [min]."""
SLOWER = (30, 90, 135, 180)
"""The same of another clinic, for prostheses in general, as far as it is printed [min]."""

SECOND_WEEK = 8
"""Its first day, counted from 1."""

Diary = tuple[int, tuple[int, ...]]
"""The last day that is asked for, and on which days before it the marks lasted too long."""


def a_step_back(step: int, stayed: bool) -> int:
    """The step of the next day: one less where the marks lasted too long. Less is printed; by how much is assumed."""
    return step - 1 if stayed else step + 1


def repeating(step: int, stayed: bool) -> int:
    """The same step again where the marks lasted too long."""
    return step if stayed else step + 1


def undeterred(step: int, stayed: bool) -> int:  # noqa: ARG001 - the marks change nothing
    """The next step, whatever the marks."""
    return step + 1


def anew(step: int, stayed: bool) -> int:
    """The first step again where the marks lasted too long."""
    return 0 if stayed else step + 1


def _worn(
    diary: Diary,
    after: Callable[[int, bool], int] = a_step_back,
    steps: Sequence[int] = STEPS,
    *,
    today: bool = False,
) -> int:
    (last, stayed), step, whole = diary, 0, 0
    for day in range(1, last + 1):
        following = after(step, day in stayed)
        if day >= SECOND_WEEK:
            whole += steps[min(max(following if today else step, 0), len(steps) - 1)]
        step = following
    return whole


def _ways(diary: Diary) -> tuple[float, ...]:
    """What right and wrong ideas come to [min]."""
    right = _worn(diary)
    wrong = (_worn(diary, after) for after in (undeterred, anew, repeating))
    return right, right / 3, *wrong, _worn(diary, today=True), _worn(diary, steps=SLOWER)


def _goes_back(diary: Diary) -> bool:
    """Whether there is a step to go back to on each day whose marks lasted too long."""
    last, stayed = diary
    return all(day - 1 - 2 * sum(one < day for one in stayed) >= 1 for day in stayed) and last > max(stayed)


DIARIES = tuple(
    diary
    for last in (9, 10, 11)
    for many in (2, 3)
    for stayed in combinations(range(2, last), many)
    if stayed[1] < SECOND_WEEK
    and _goes_back(diary := (last, stayed))
    and _worn(diary, steps=(*STEPS[:-1], 0)) == _worn(diary)
    and len(set(_ways(diary))) == len(_ways(diary))
)
"""Diaries that tell ideas apart."""


def marks(number: int) -> tuple[int, ...]:
    """How long the marks lasted on each day of a diary: well within the printed limits, or between the two [min]."""
    last, stayed = DIARIES[number]
    return tuple(
        24 + (number + day) % 4 if day in stayed else 5 + (3 * number + 7 * day) % 11 for day in range(1, last)
    )


def too_long(mark: int) -> bool:
    """Whether a mark lasted longer than the schedule allows."""
    return mark > LONGEST


def worn(
    number: int,
    after: Callable[[int, bool], int] = a_step_back,
    steps: Sequence[int] = STEPS,
    *,
    today: bool = False,
) -> int:
    """All that is worn in the second week, up to the last day that is asked for.

    Parameters
    ----------
    number : int
        Which diary [-]
    after : callable
        From the step of a day, from 0, and whether its marks stayed, the step of the next day
    steps : sequence of int
        A day's wear by step [min]
    today : bool
        Whether a day's own marks count for that day already

    Returns
    -------
    int
        Of all those days together [min]

    Examples
    --------
    >>> DIARIES[0], worn(0), worn(0, undeterred)
    ((9, (2, 5)), 630, 960)
    """
    return _worn(DIARIES[number], after, steps, today=today)
