"""Tasks in several processes: each comes out once, whatever becomes of the process that carried it out."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import pytest

from controlkit.classroom.processes import SetApart, carry_out

_begun = ""


def _doubled(task: int) -> tuple[int, int]:
    return task, 2 * task


def _ends_at_three(task: tuple[int, int]) -> tuple[int, int]:
    """The third ends any process but the one that asked for it."""
    number, asked_by = task
    if number == 3 and os.getpid() != asked_by:
        os._exit(1)
    return number, os.getpid()


def _begin(word: str) -> None:
    global _begun
    _begun = word


def _word(task: int) -> tuple[int, str]:
    return task, _begun


def _lost(task: tuple[int, int]) -> tuple[int, int]:
    return task[0], -1


@pytest.fixture
def kept() -> tuple[dict[int, object], Callable[[tuple[int, object]], None]]:
    found: dict[int, object] = {}

    def keep(one: tuple[int, object]) -> None:
        assert one[0] not in found
        found[one[0]] = one[1]

    return found, keep


Kept = tuple[dict[int, object], Callable[[tuple[int, object]], None]]


@pytest.mark.parametrize("count", [0, 1, 9])
def test_each_task_comes_out_once(count: int, kept: Kept) -> None:
    told: list[tuple[int, int]] = []
    carry_out(_doubled, range(count), keep=kept[1], told=lambda done, of: told.append((done, of)), before=2)
    assert kept[0] == {one: 2 * one for one in range(count)}
    assert told == [(done, count + 2) for done in range(2, count + 3)]


def test_what_a_dying_process_took_along_is_carried_out_here(kept: Kept) -> None:
    carry_out(_ends_at_three, [(one, os.getpid()) for one in range(8)], keep=kept[1])
    assert sorted(kept[0]) == list(range(8))
    assert kept[0][3] == os.getpid()


def test_apart_a_process_that_dies_takes_nobody_with_it_and_spares_this_one(kept: Kept) -> None:
    apart = SetApart(begin=_begin, given=("there",), lost=_lost, most=2)
    carry_out(_ends_at_three, [(one, os.getpid()) for one in range(5)], keep=kept[1], apart=apart)
    assert sorted(kept[0]) == list(range(5))
    assert kept[0][3] == -1
    assert os.getpid() not in kept[0].values()
    assert -1 not in [pid for one, pid in kept[0].items() if one != 3]


def test_apart_each_process_begins_as_it_is_told_and_this_one_does_not(kept: Kept, tmp_path: Path) -> None:
    carry_out(_word, [1], keep=kept[1], apart=SetApart(begin=_begin, given=("there",), lost=_lost))  # one task, too
    assert kept[0] == {1: "there"}
    assert _begun == ""
