"""What came out of a worker, read strictly: bare data or nothing, and never anything for another student."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, get_args

from controlkit.checking.items.running import Outcome, Sort, as_data
from controlkit.classroom.confined.job import Came, Job, Variable
from controlkit.classroom.confined.values import StrangeError, Stranger, back
from controlkit.classroom.records.answers import CALLS, LONGEST, ReadAnswer
from controlkit.classroom.records.literal import written

STOPPED: Mapping[str, str] = {
    "time": "its cells do not come to an end within {seconds:g} s",
    "memory": "its cells need more memory than there is for one notebook",
    "bytes": "its cells handed out more than an answer can hold",
    "stopped": "running its cells ended before their end",
}
"""By the word of a worker, what stopped a notebook."""

_STRANGE = "what came out is not what a notebook hands out"
_MOST_WORDS = 200


@dataclass(frozen=True)
class Reply:
    """What came of one job, before it is read: it can be sent from another machine.

    Parameters
    ----------
    held : bytes
        All that came out; from whomever
    how : str
        How it ended, from the process that watched
    why : str
        Why nothing came, where the worker went away or never started
    ran : bool
        Whether its cells were run at all
    """

    held: bytes = b""
    how: str = ""
    why: str = ""
    ran: bool = True

    def read(self, job: Job, seconds: float) -> Came:
        """Read it, strictly.

        Parameters
        ----------
        job : Job
            What was asked
        seconds : float
            Longest time for a notebook [s]

        Returns
        -------
        Came
            For each item an answer
        """
        if self.why:
            return nothing(job, self.why, ran=self.ran)
        return read_reply(job, self.held, self.how, seconds)


def in_order(asked: tuple[Variable, ...]) -> tuple[Variable, ...]:
    """What is asked, in the order in which it comes out.

    Parameters
    ----------
    asked : tuple of Variable
        In any order

    Returns
    -------
    tuple of Variable
        By the cells before it
    """
    return tuple(sorted(asked, key=lambda one: one.after))


def read_reply(job: Job, held: bytes, how: str, seconds: float) -> Came:
    """What one job came to.

    Parameters
    ----------
    job : Job
        What was asked
    held : bytes
        All that came out; from whomever
    how : str
        How it ended, from the process that watched
    seconds : float
        Longest time for a notebook [s]

    Returns
    -------
    Came
        For each item an answer
    """
    asked = in_order(job.asked)
    lines = held.split(b"\n")
    ended = how == "ended"
    try:
        records = [_record(line) for line in lines[:-1]]
        if len(records) > len(asked) + 1 or (ended and (lines[-1] or len(records) <= len(asked))):
            raise StrangeError
        if len(records) > len(asked) and records.pop() != ["end"]:
            raise StrangeError
        answers = {one.item: _answer(one, record) for one, record in zip(asked, records, strict=False)}
    except StrangeError:
        return nothing(job, _STRANGE if ended or how == "stopped" else _because(how, seconds))
    if len(answers) == len(asked):
        return Came(job.student, answers, "" if ended else _because(how, seconds))
    return nothing(job, _because(how, seconds), answers)


def nothing(job: Job, why: str, answers: Mapping[str, ReadAnswer] | None = None, *, ran: bool = True) -> Came:
    """A job of which nothing came, or not all.

    Parameters
    ----------
    job : Job
        What was asked
    why : str
        What stopped it, as the rest of a sentence
    answers : mapping, optional
        What did come
    ran : bool
        Whether it was run at all

    Returns
    -------
    Came
        For each item an answer
    """
    said = f"This answer did not come out: {why}." if ran else why
    missing = ReadAnswer("failed" if ran else "not run", why=said)
    return Came(job.student, {one.item: (answers or {}).get(one.item, missing) for one in job.asked}, why)


def _because(how: str, seconds: float) -> str:
    return STOPPED.get(how, STOPPED["stopped"]).format(seconds=seconds)


def _record(line: bytes) -> Any:
    try:
        return json.loads(line.decode("ascii"), parse_constant=_no_number)
    except (ValueError, RecursionError):
        raise StrangeError from None


def _no_number(_: str) -> None:
    raise StrangeError


def _answer(one: Variable, record: Any) -> ReadAnswer:
    """One answer from one record, which must be the one that is next."""
    if type(record) is not list or not 2 <= len(record) <= 4 or record[0] != one.item:
        raise StrangeError
    kind, held = record[1], record[2:]
    if kind == "value" and len(held) == 1:
        value = back(held[0])
        return ReadAnswer("ran", sort=value.name) if type(value) is Stranger else _kept(written(value))
    if kind == "calls" and len(held) == 1 and one.calls is not None:
        if type(held[0]) is not list or len(held[0]) != len(one.calls):
            raise StrangeError
        return _kept(repr([_outcome(outcome) for outcome in held[0]]), CALLS)
    if kind == "long" and not held:
        return _kept(" " * (LONGEST + 1))
    if kind == "nothing" and len(held) == 2 and type(held[0]) is int and type(held[1]) is str:
        words = "".join(char for char in held[1][:_MOST_WORDS] if char.isprintable())
        where = f" in its line {held[0]}" if 0 < held[0] < 10_000 else ""
        why = (
            f"The last cell before its check stops{where}: {words}" if words else f"No cell gives `{one.item}` a value"
        )
        return ReadAnswer("failed", why=f"{why.rstrip('.')}.")
    raise StrangeError


def _kept(says: str, sort: str = "") -> ReadAnswer:
    if len(says) > LONGEST:
        return ReadAnswer("failed", why=f"This answer is longer than {LONGEST:,} characters.")
    return ReadAnswer("ran", says, sort)


def _outcome(record: Any) -> tuple[str, Any, str]:
    """What a call came to, as plain numbers and bounded words."""
    if type(record) is not list or len(record) != 3 or type(record[0]) is not str or type(record[2]) is not str:
        raise StrangeError
    sort, value, detail = record
    found = as_data(value)
    numbers = found.sort == "value" and (sort == "value" or (sort == "arguments" and type(found.value) is float))
    if sort not in get_args(Sort) or numbers != (sort in ("value", "arguments")) or (value is not None and not numbers):
        raise StrangeError
    words = "".join(char for char in detail[:_MOST_WORDS] if char.isprintable())
    outcome = Outcome(sort, found.value if numbers else None, words)
    return outcome.sort, outcome.value, outcome.detail
