"""Running a student's function: every call ends, and comes back as plain data.

A clock stops a call that goes on too long: by an alarm in the main thread where there is one, else by
an exception sent to the thread. It cannot break into one endless step of a library, nor limit memory:
a class is graded in confinement, where both are limited from outside.
"""

from __future__ import annotations

import copy
import ctypes
import dis
import inspect
import io
import signal
import threading
import warnings
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, redirect_stderr, redirect_stdout
from dataclasses import dataclass
from types import FrameType, FunctionType
from typing import Any, Literal

import numpy as np

SECONDS = 5.0
"""Longest time for one call [s]."""

MOST_NUMBERS = 1000
"""Most numbers in one row of a result [-]."""

Data = float | tuple[Any, ...]
"""A number, or numbers in rows."""

Sort = Literal["value", "nothing", "no-number", "not-finite", "raised", "endless", "changed", "empty", "arguments"]

EMPTY = {"RESUME", "NOP", "LOAD_CONST", "RETURN_CONST", "RETURN_VALUE", "POP_TOP"}
"""Operations of a function in which only dots stand."""

AGAIN = 0.05
"""How soon a call is stopped again that caught the first stop [s]."""


@dataclass(frozen=True)
class Outcome:
    """What one call came to.

    Parameters
    ----------
    sort : str
        "value", or what went wrong
    value : float, tuple or None
        The result as plain numbers [unit]; of "arguments", how many it takes [-]
    detail : str
        Words of an error, or the sort of result
    """

    sort: Sort
    value: Data | None = None
    detail: str = ""


@dataclass(frozen=True)
class Ran:
    """A function that was run elsewhere, in confinement: what each of `Function.calls` came to.

    Parameters
    ----------
    outcomes : tuple of Outcome
        One a call, in their order
    """

    outcomes: tuple[Outcome, ...]


class Stopped(BaseException):
    """Ends a call that goes on too long; no ``except Exception`` catches it."""


class _Nowhere(io.TextIOBase):
    """Where a function's printing goes."""

    def write(self, text: str) -> int:
        return len(text)


def run(function: FunctionType, calls: Sequence[tuple[Any, ...]], *, seconds: float = SECONDS) -> tuple[Outcome, ...]:
    """Call a function with each of several inputs.

    Parameters
    ----------
    function : function
        The student's
    calls : sequence of tuple
        Inputs of each call; the function gets copies
    seconds : float
        Longest time for one call [s]

    Returns
    -------
    tuple of Outcome
        One a call; after an endless one the others are not tried. A function in which only dots stand is not called,
        nor one that does not take that many inputs: all are "empty" then, or "arguments"
    """
    unfit = _unfit(function, len(calls[0])) if calls else None
    if unfit is not None:
        return (unfit,) * len(calls)
    outcomes: list[Outcome] = []
    silence = _Nowhere()
    with redirect_stdout(silence), redirect_stderr(silence), warnings.catch_warnings():
        warnings.simplefilter("ignore")
        for given in calls:
            if outcomes and outcomes[-1].sort == "endless":
                outcomes.append(outcomes[-1])
            else:
                outcomes.append(_call(function, given, seconds))
    return tuple(outcomes)


def as_data(value: Any, rows: int = 2) -> Outcome:
    """A result as plain numbers.

    Parameters
    ----------
    value : object
        Whatever a function returned
    rows : int
        How deep rows may lie in rows [-]

    Returns
    -------
    Outcome
        A value, or why it is none

    Examples
    --------
    >>> as_data([1, 2.5]).value
    (1.0, 2.5)
    >>> as_data("12 N").detail
    'a text'
    """
    if value is None or value is ...:
        return Outcome("nothing")
    kind = type(value)
    if kind is np.ndarray and value.size <= MOST_NUMBERS and value.dtype.kind in "iuf":
        value = value.tolist()
        kind = type(value)
    if issubclass(kind, np.generic) and kind.__module__ == "numpy":
        value = np.generic.item(value)
        kind = type(value)
    if kind in (int, float):
        try:
            number = float(value)
        except OverflowError:
            number = float("inf")
        return Outcome("value", number) if abs(number) < float("inf") else Outcome("not-finite")
    if kind in (list, tuple) and rows and 0 < len(value) <= MOST_NUMBERS:
        parts = [as_data(part, rows - 1) for part in value]
        wrong = next((part for part in parts if part.value is None), None)
        return wrong or Outcome("value", tuple(part.value for part in parts))
    names = {str: "a text", bool: "a yes or no", dict: "a dict", complex: "a number with an imaginary part"}
    names[FunctionType] = "a function"
    if kind in (list, tuple) and not value:
        names[kind] = f"an empty {kind.__name__}"
    return Outcome("no-number", detail=names.get(kind, "neither a number nor a list of numbers"))


def shape(value: Data) -> tuple[int, ...]:
    """How many numbers there are in each row of a result; empty for one number [-]."""
    return () if isinstance(value, float) else (len(value), *shape(value[0]))


def _unfit(function: FunctionType, inputs: int) -> Outcome | None:
    """Why a function cannot be called with so many inputs."""
    code = function.__code__
    consts = {step.argval for step in dis.get_instructions(code) if step.opname in ("LOAD_CONST", "RETURN_CONST")}
    if {step.opname for step in dis.get_instructions(code)} <= EMPTY and consts <= {None, ...}:
        return Outcome("empty")
    has, needs = code.co_argcount, code.co_argcount - len(function.__defaults__ or ())
    if not needs <= inputs or (has < inputs and not code.co_flags & inspect.CO_VARARGS):
        return Outcome("arguments", float(has))
    return None


def _call(function: FunctionType, given: tuple[Any, ...], seconds: float) -> Outcome:
    """One call, watched by a clock."""
    own = copy.deepcopy(given)
    try:
        with clock(seconds), np.errstate(all="ignore"):
            outcome = as_data(function(*own))
    except Stopped:
        return Outcome("endless")
    except BaseException as trouble:  # noqa: BLE001 - whatever a student's function raises
        return Outcome("raised", detail=_told(trouble, function))
    if outcome.sort == "value" and not all(_same(one, other) for one, other in zip(own, given, strict=True)):
        return Outcome("changed")
    return outcome


@contextmanager
def clock(seconds: float) -> Iterator[None]:
    """Raise `Stopped` in the running thread after some time, and again as long as it goes on.

    Parameters
    ----------
    seconds : float
        That time [s]

    Yields
    ------
    None
        While it runs
    """
    if threading.current_thread() is threading.main_thread() and hasattr(signal, "setitimer"):
        yield from _alarm(seconds)
    else:
        yield from _sent(seconds)


def _alarm(seconds: float) -> Iterator[None]:
    going = True

    def ring(_number: int, _frame: FrameType | None) -> None:
        if going:
            raise Stopped

    before = signal.signal(signal.SIGALRM, ring)
    try:
        signal.setitimer(signal.ITIMER_REAL, seconds, AGAIN)
        yield
    finally:
        going = False
        signal.setitimer(signal.ITIMER_REAL, 0.0)
        signal.signal(signal.SIGALRM, before)


def _sent(seconds: float) -> Iterator[None]:
    thread, over, turn = ctypes.c_ulong(threading.get_ident()), threading.Event(), threading.Lock()

    def watch() -> None:
        wait = seconds
        while not over.wait(wait):
            wait = AGAIN
            with turn:
                if not over.is_set():
                    ctypes.pythonapi.PyThreadState_SetAsyncExc(thread, ctypes.py_object(Stopped))

    threading.Thread(target=watch, daemon=True).start()
    try:
        yield
    finally:
        with turn:
            over.set()
            ctypes.pythonapi.PyThreadState_SetAsyncExc(thread, None)


def _told(trouble: BaseException, function: FunctionType) -> str:
    """An error in words, with the line of the function, and nothing else of a trace."""
    if type(trouble) is RecursionError:
        return "it calls itself without end"
    if type(trouble) in (SystemExit, KeyboardInterrupt):
        return "it ends the program instead of returning"
    line, trace = 0, trouble.__traceback__
    while trace is not None:
        if trace.tb_frame.f_code is function.__code__:
            line = trace.tb_lineno - function.__code__.co_firstlineno + 1
        trace = trace.tb_next
    where = f"it stops in its line {line}" if line else "it stops"
    if type(trouble).__module__ != "builtins":  # its words may do anything
        return where
    said = "".join(char for char in str(trouble)[:120] if char.isprintable())
    return f"{where}: {said}" if said else where


def _same(one: Any, other: Any) -> bool:
    """Whether an input is still as it was given."""
    if type(one) is not type(other):
        return False
    return bool(np.array_equal(one, other)) if isinstance(one, np.ndarray) else bool(one == other)
