"""What one student handed in, as data: the answers are the record, not the notebook."""

from __future__ import annotations

import ast
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from typing import Any, Literal

from controlkit.checking import Ran
from controlkit.checking.items.running import Outcome

How = Literal["typed", "ran", "blank", "not run", "failed", "not read"]
"""How an answer was come by: read as it stands, worked out in confinement; or nothing was typed, its cell could
not be run here, or came to no value; or nobody has read it, because its file is no notebook that can be read."""

CALLS = "calls of a function"

LONGEST = 200_000
"""A longer answer is not kept [characters]."""


@dataclass(frozen=True)
class ReadAnswer:
    """One answer.

    Parameters
    ----------
    how : str
        How it was come by
    says : str
        The value as a literal of Python: text, number, list, dict of such; empty where there is none
    sort : str
        Where it is something else, what sort of thing; then `says` is empty. `CALLS` where it is a function:
        then `says` lists what each call came to, as (sort, value, detail)
    why : str
        Where there is no value, what to tell the student
    """

    how: How
    says: str = ""
    sort: str = ""
    why: str = ""

    @property
    def value(self) -> Any:
        """The answer as judging takes it.

        Returns
        -------
        object
            Ellipsis where there is none; a stranger of the same sort where it is no plain value
        """
        if self.sort == CALLS:
            return Ran(tuple(Outcome(*one) for one in ast.literal_eval(self.says)))
        if self.sort:
            return type(self.sort[:40], (), {})()
        return ast.literal_eval(self.says) if self.says else ...

    @property
    def awaited(self) -> bool:
        """Whether it can still come: its cell computes, and was not run here."""
        return self.how == "not run"


@dataclass(frozen=True)
class Remark:
    """Something about a submission that a person should know.

    Parameters
    ----------
    label : str
        Fixed name, so that a class can be counted
    says : str
        For the instructor
    do : str
        For the student: what to do; empty for nothing
    """

    label: str
    says: str
    do: str = ""


@dataclass(frozen=True, kw_only=True)
class Submission:
    """One exercise as one student handed it in.

    Parameters
    ----------
    exercise, student : str
        Name of the exercise, id of the student on the roster
    name : str
        As it was typed in the notebook
    kit : str
        Version of the package that its receipt names; empty without one
    case : mapping
        The case that its receipt shows, to be compared with the one handed out; empty without one
    answers : mapping
        Item to answer
    sources : mapping
        Item to the text of its cell, for the person who marks
    remarks : tuple of Remark
        What is not as it should be
    handed_in : str
        When, as far as is known: ISO 8601; empty if not
    late : bool
        Whether that was after the time set
    attempt : int
        Which submission of this student it is, from 1 [-]
    file : str
        From which file it was read, and `digest` of its content
    digest : str
        SHA-256 of the file
    before : tuple of str
        The same of everything that she handed in before and that does not count
    """

    exercise: str
    student: str
    name: str = ""
    kit: str = ""
    case: Mapping[str, Any] = field(default_factory=dict)
    answers: Mapping[str, ReadAnswer] = field(default_factory=dict)
    sources: Mapping[str, str] = field(default_factory=dict)
    remarks: tuple[Remark, ...] = ()
    handed_in: str = ""
    late: bool = False
    attempt: int = 1
    file: str = ""
    digest: str = ""
    before: tuple[str, ...] = ()

    @property
    def unread(self) -> str:
        """Why nothing of it was read.

        Returns
        -------
        str
            A sentence; empty where its answers were read
        """
        return next((one.why for one in self.answers.values() if one.how == "not read"), "")

    def as_data(self) -> dict[str, Any]:
        """The same as plain data.

        Returns
        -------
        dict
            For JSON
        """
        return {**asdict(self), "case": dict(self.case), "sources": dict(self.sources)}

    @classmethod
    def from_data(cls, data: Mapping[str, Any]) -> Submission:
        """A submission from its plain data.

        Parameters
        ----------
        data : mapping
            As `as_data` gave it

        Returns
        -------
        Submission
            The same
        """
        answers = {name: ReadAnswer(**one) for name, one in data["answers"].items()}
        remarks = tuple(Remark(**one) for one in data["remarks"])
        return cls(**{**data, "answers": answers, "remarks": remarks, "before": tuple(data["before"])})
