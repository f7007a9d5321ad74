"""What one submission earned, item by item, with the words for the student."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any

from controlkit.classroom.records.answers import Remark


@dataclass(frozen=True)
class Noted:
    """One thing that judging found.

    Parameters
    ----------
    label, kind : str
        Fixed name and sort of the outcome
    because : str
        For the instructor: what the answer matched
    """

    label: str
    kind: str
    because: str


@dataclass(frozen=True, kw_only=True)
class ItemMark:
    """What one item earned.

    Parameters
    ----------
    item : str
        Its name
    points : float or None
        Points earned [-]; None where a person marks it, or its cell was not run here
    out_of : float
        Most points [-]
    by_hand : bool
        Whether a person marks it
    how : str
        How the answer was come by
    words : str
        For the student, as the check says them
    noted : tuple of Noted
        What judging found, the most important first
    value : float or None
        The answer as it was read, for later items [unit]
    """

    item: str
    points: float | None
    out_of: float
    by_hand: bool = False
    how: str = "typed"
    words: str = ""
    noted: tuple[Noted, ...] = ()
    value: float | None = None


@dataclass(frozen=True, kw_only=True)
class Marked:
    """What one submission earned.

    Parameters
    ----------
    exercise, student : str
        Name of the exercise, id of the student
    digest : str
        SHA-256 of the submission's data, by which a mark is known to be of this submission
    kit : str
        Version of the package that judged
    items : tuple of ItemMark
        In the order of the exercise
    remarks : tuple of Remark
        What is not as it should be with the submission
    """

    exercise: str
    student: str
    digest: str
    kit: str
    items: tuple[ItemMark, ...]
    remarks: tuple[Remark, ...] = ()

    @property
    def points(self) -> float:
        """Points by the checks, of what is judged so far [-]."""
        return sum(one.points for one in self.items if one.points is not None)

    @property
    def out_of(self) -> float:
        """Most points by the checks [-]."""
        return sum(one.out_of for one in self.items if not one.by_hand)

    @property
    def unread(self) -> bool:
        """Whether nothing of the submission was read, so that it has no marks yet."""
        return any(one.how == "not read" for one in self.items)

    @property
    def awaited(self) -> tuple[ItemMark, ...]:
        """Items whose cell was not run here."""
        return tuple(one for one in self.items if one.points is None and not one.by_hand and one.how != "not read")

    def as_data(self) -> dict[str, Any]:
        """The same as plain data.

        Returns
        -------
        dict
            For JSON
        """
        return asdict(self)

    @classmethod
    def from_data(cls, data: Mapping[str, Any]) -> Marked:
        """Marks from their plain data.

        Parameters
        ----------
        data : mapping
            As `as_data` gave it

        Returns
        -------
        Marked
            The same
        """
        items = tuple(
            ItemMark(**{**one, "noted": tuple(Noted(**note) for note in one["noted"])}) for one in data["items"]
        )
        return cls(**{**data, "items": items, "remarks": tuple(Remark(**one) for one in data["remarks"])})
