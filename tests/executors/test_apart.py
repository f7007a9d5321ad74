"""Tasks that are set apart: what they load, and what becomes of their process, stays away from the others."""

from __future__ import annotations

import os
import signal
from collections.abc import Callable

import pytest

from controlkit.executors import SetApart, carry_out

_begun = ""


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


def test_a_process_that_dies_takes_nobody_with_it_and_spares_this_one(kept: Kept) -> None:
    apart = SetApart(begin=_begin, given=("there",), lost=_lost, most=2)
    carry_out(_ends_at_three, [(one, os.getpid()) for one in range(5)], keep=kept[1], apart=apart)
    assert sorted(kept[0]) == list(range(5))
    assert kept[0][3] == -1
    assert os.getpid() not in kept[0].values()
    assert -1 not in [pid for one, pid in kept[0].items() if one != 3]


_heard_at_birth = None if not hasattr(signal, "pthread_sigmask") else signal.pthread_sigmask(signal.SIG_BLOCK, ())
"""What this process did not hear when it loaded this file: before anybody told it anything."""


def _deaf_at_birth(task: int) -> tuple[int, bool]:
    return task, signal.SIGINT in (_heard_at_birth or ())


@pytest.mark.skipif(_heard_at_birth is None, reason="no such thing on Windows")
def test_a_process_hears_no_ctrl_c_from_its_first_moment_on_and_this_one_does(kept: Kept) -> None:
    """Else one that is still loading ends with a trace, where the instructor pressed Ctrl-C."""
    carry_out(_deaf_at_birth, [1, 2, 3], keep=kept[1], apart=SetApart(begin=_begin, given=("",), lost=_lost, most=2))
    assert kept[0] == {1: True, 2: True, 3: True}
    assert signal.SIGINT not in signal.pthread_sigmask(signal.SIG_BLOCK, ())


@pytest.mark.parametrize("count", [0, 1, 3])
def test_each_process_begins_as_it_is_told_and_this_one_does_not(kept: Kept, count: int) -> None:
    carry_out(_word, range(count), keep=kept[1], apart=SetApart(begin=_begin, given=("there",), lost=_lost))
    assert kept[0] == dict.fromkeys(range(count), "there")
    assert _begun == ""
