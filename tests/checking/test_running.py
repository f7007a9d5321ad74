"""Running a student's function: every call ends, whatever it does, and comes back as plain data."""

# ruff: noqa: ARG005 - what a student's function ignores is the point

from __future__ import annotations

import signal
import threading
import time
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from controlkit.checking import Exercise, Function, judge
from controlkit.checking.items.running import Outcome, as_data, run
from tests.checking.efficiency import CABLE, CASE, EFFICIENCY, right


def endless_line(friction, bend):  # type: ignore[no-untyped-def]
    while True: pass  # noqa: E701  # fmt: skip


def endless(friction, bend):  # type: ignore[no-untyped-def]
    left = 1.0
    while bend > 0:
        left *= 1 - friction
    return left


def swallows(friction, bend):  # type: ignore[no-untyped-def]
    while True:
        try:  # noqa: SIM105
            bend += 1
        except BaseException:  # noqa: BLE001
            pass


def waits(friction, bend):  # type: ignore[no-untyped-def]
    time.sleep(30)


ENDLESS = [endless, endless_line, swallows, waits]


@pytest.mark.parametrize("answer", ENDLESS, ids=lambda answer: answer.__name__)
def test_a_function_without_end_is_ended(answer: Any) -> None:
    quick = Exercise("cable", "Cable", CABLE.plan, (replace(EFFICIENCY, seconds=0.2),))
    begun = time.monotonic()
    found = judge(quick, "efficiency", answer, CASE)
    assert time.monotonic() - begun < 5.0  # one call is waited for, not seven
    assert "it does not come to an end" in found.words
    assert not found.costs_attempt
    assert run(right, ((0.0, 1.0),))[0].value == 1.0  # nothing of it lingers in the next call


@pytest.mark.parametrize("answer", ENDLESS[:3], ids=lambda answer: answer.__name__)
def test_it_is_ended_in_any_thread(answer: Any) -> None:
    found: list[Outcome] = []

    def work() -> None:
        found.extend(run(answer, ((0.1, 1.0), (0.2, 1.0)), seconds=0.2))
        found.extend(run(right, ((0.0, 1.0),)))

    thread = threading.Thread(target=work)
    thread.start()
    thread.join(20.0)
    assert [one.sort for one in found] == ["endless", "endless", "value"]


@pytest.mark.skipif(not hasattr(signal, "setitimer"), reason="this system has no alarm to put away")
def test_the_clock_is_put_away() -> None:
    before = signal.getsignal(signal.SIGALRM), signal.getitimer(signal.ITIMER_REAL)
    run(right, ((0.1, 1.0),))
    run(endless, ((0.1, 1.0),), seconds=0.1)
    assert (signal.getsignal(signal.SIGALRM), signal.getitimer(signal.ITIMER_REAL)) == before


def test_what_a_function_is_given_stays_as_it_was() -> None:
    def sorts(bends):  # type: ignore[no-untyped-def]
        bends.sort()
        return float(sum(bends))

    given = ([3.0, 1.0],)
    assert run(sorts, (given,))[0].sort == "changed"
    assert given == ([3.0, 1.0],)
    total = Function(
        name="total",
        asks="sum",
        arguments=("bends [rad]",),
        right=sum,
        inputs=lambda c: (([3.0, 1.0],), ([2.0, 2.5],)),
        results_points=2,
    )
    adds = Exercise("adds", "Adds", CABLE.plan, (total,))
    assert "It changes what it was given." in judge(adds, "total", sorts, CASE).words
    assert judge(adds, "total", lambda bends: sum(bends), CASE).points == 2
    zeroes = np.array([1.0, 2.0])
    assert run(lambda row: row.fill(0) or 1.0, ((zeroes,),))[0].sort == "changed"
    assert zeroes.tolist() == [1.0, 2.0]


def test_results_become_plain_data() -> None:
    assert as_data(np.array([[1, 2], [3, 4]])).value == ((1.0, 2.0), (3.0, 4.0))
    assert as_data(np.int64(3)).value == 3.0
    nested: list[Any] = []
    nested.append(nested)
    assert as_data(nested).sort == "no-number"
    assert as_data([1.0, None]).sort == "nothing"
