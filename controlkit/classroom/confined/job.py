"""What confinement is asked, and what comes back."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Protocol

from controlkit.checking import Case
from controlkit.classroom.records.answers import ReadAnswer


@dataclass(frozen=True)
class Variable:
    """A variable to read while a notebook runs.

    Parameters
    ----------
    item : str
        The item, and its variable
    after : int
        After so many cells of the job [-]
    calls : tuple, optional
        Where the item is a function: the inputs of each call, as plain numbers; None for every other kind
    seconds : float
        Longest time for one call [s]
    """

    item: str
    after: int
    calls: tuple[tuple[Any, ...], ...] | None = None
    seconds: float = 5.0


@dataclass(frozen=True)
class Job:
    """One notebook to run.

    Parameters
    ----------
    student, exercise : str
        Id and name
    case : Case
        Her case, of the class: the notebook's own is never asked
    name : str
        Her name, as on the roster
    cells : tuple of str
        Program text of her cells, in order; cells of the kit are left out, `exercise` and `mine` are there
    asked : tuple of Variable
        What to read
    """

    student: str
    exercise: str
    case: Case
    name: str
    cells: tuple[str, ...]
    asked: tuple[Variable, ...]


@dataclass(frozen=True)
class Came:
    """What running a notebook came to.

    Parameters
    ----------
    student : str
        Id
    answers : mapping
        Item to answer: "ran", or "failed" with words for the student; of a function what its calls came to
    why : str
        Empty if it ran to its end; else what stopped it, for the instructor
    """

    student: str
    answers: Mapping[str, ReadAnswer] = field(default_factory=dict)
    why: str = ""


class Confinement(Protocol):
    """A place where cells run."""

    @property
    def words(self) -> str:
        """Which protection is active, for the instructor."""

    def run(
        self, exercise: str, jobs: Iterable[Job], *, kit: Path | None = None, done: Callable[[str], None] | None = None
    ) -> Iterator[Came]:
        """Run notebooks.

        Parameters
        ----------
        exercise : str
            Of which exercise they all are
        jobs : iterable of Job
            One a notebook
        kit : Path, optional
            A folder with the files that were handed out beside the notebook; mounted for reading
        done : callable, optional
            Told the id of each student that is done

        Yields
        ------
        Came
            One a job, in any order, whatever it did
        """
