"""A rule of the student's own, tried on values and held against laws: what a formula and a function have in common."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from controlkit.checking.case.cases import Case
from controlkit.checking.feedback import Feedback, Judgement
from controlkit.checking.items.base import Item
from controlkit.checking.items.laws import Law, held, near, varies
from controlkit.checking.items.running import Data

RIGHT_TIMES = 5.0
"""So many tolerances must lie between results of two ideas somewhere, or a case cannot tell them apart [-]."""


class Tried(Item):
    """A rule to write, judged by its results and by laws.

    A kind derives from this and has, as fields, ``results_points`` and ``laws``, ``within`` and ``relative``.
    """

    if TYPE_CHECKING:  # read-only here: fields in both kinds

        @property
        def results_points(self) -> float: ...
        @property
        def laws(self) -> tuple[Law, ...]: ...
        @property
        def within(self) -> float: ...
        @property
        def relative(self) -> float: ...

    @property
    def points(self) -> float:
        """Most points that it can earn.

        Returns
        -------
        float
            Results and laws together [-]
        """
        return self.results_points + sum(law.points for law in self.laws)

    def near(self, one: Data, other: Data, times: float = 1.0) -> bool:
        """Whether a result is taken for another.

        Parameters
        ----------
        one, other : float or tuple
            Two results [unit]
        times : float
            How many tolerances may lie between them [-]

        Returns
        -------
        bool
            True within the larger of both tolerances
        """
        return near(one, other, within=self.within, relative=self.relative, times=times)

    def told_apart(self, results: Sequence[tuple[str, Sequence[Data]]]) -> bool:
        """Whether right results vary, and differ somewhere from those of every other label.

        Parameters
        ----------
        results : sequence of (str, sequence)
            The right results first, then those of each form of a wrong idea under its label [unit]

        Returns
        -------
        bool
            True if a case with these results can be handed out
        """
        return varies(results[0][1]) and not any(
            label != other and all(self.near(a, b, RIGHT_TIMES) for a, b in zip(one, two, strict=True))
            for place, (label, one) in enumerate(results)
            for other, two in results[:place]
        )

    def all_right(self) -> tuple[Feedback, ...]:
        """What to say where all results are right."""
        return (Feedback("right", "right", f"{self.called}: yes, its results are right.", "all results right"),)

    def with_laws(
        self,
        case: Case,
        share: float,
        notes: tuple[Feedback, ...],
        *,
        results: Sequence[Data],
        lawful: Sequence[Data | None],
    ) -> Judgement:
        """Points of results and laws, and what to say to each.

        Parameters
        ----------
        case : Case
            The student's case
        share : float
            Share of the points for right results [-]
        notes : tuple of Feedback
            What to say to the results
        results : sequence
            Results on the values [unit]
        lawful : sequence
            Results of the laws' calls, one after the other; None where a call came to none [unit]

        Returns
        -------
        Judgement
            Right results that break a law are right, but not everywhere
        """
        points, said = held(self.laws, case, lawful, depends=varies(results))
        if share == 1.0 and any(note.kind != "right" for note in said):
            first = f"{self.called}: its results are right, but not everywhere."
            notes = (Feedback("partly", "partly", first, "a law broken"),)
        return self.judged(round(share * self.results_points + points, 2), *notes, *said)
