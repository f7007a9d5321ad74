"""The checkout record: whose criteria, what was tried, what it must be, how that is known, and what it was."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from textwrap import wrap

from controlkit.sources import SourcedValue, source
from controlkit.units import show

_STANDARDS = source("efficiency_single_control")
"""Of the textbook's list of standards, which also names tests without a figure."""
_HEADS = ("Test", "Measured", "Criterion", "Outcome", "Who says so", "How")


@dataclass(frozen=True, kw_only=True)
class CheckoutRow:
    """One acceptance test.

    Attributes
    ----------
    test : str
        What is tried
    measured : float or None
        What was measured on the model; nothing where the model cannot answer [SI]
    low, high : float or None
        Criterion: not less, not more [SI]
    kind : str
        Kind of quantity: "ratio", "force", "length", "angle"
    source : str or None
        Sourced value that the criterion comes from; empty where the textbook's list of standards names the test
        without a figure, nothing where no list that names it was found
    how : str
        How it was measured, or why it must be measured on the person
    error : float
        How far the measured value may be off with a spring scale, tape and goniometer [SI]
    bound : bool
        Whether what was measured is an upper bound, below which the person's own value lies
    """

    test: str
    measured: float | None
    low: float | None = None
    high: float | None = None
    kind: str
    source: str | None
    how: str
    error: float = 0.0
    bound: bool = False

    @property
    def printed(self) -> SourcedValue | None:
        """The value that the criterion comes from; one of the same list where the test has no figure."""
        return None if self.source is None else source(self.source) if self.source else _STANDARDS

    @property
    def flag(self) -> str:
        """How far to trust the criterion, as in `controlkit.sources`; empty where no list names the test."""
        return "" if self.printed is None else self.printed.flag

    @property
    def passed(self) -> bool | None:
        """Whether the criterion is met; None without measurement or figure, or where a bound lies beyond it."""
        if self.measured is None or (self.low is None and self.high is None):
            return None
        met = not (self._short(self.low, 1.0) or self._short(self.high, -1.0))
        return True if met else None if self.bound else False

    @property
    def left(self) -> bool:
        """Whether the test is left to be done on the person."""
        return self.measured is None or (self.bound and self.passed is None)

    @property
    def close(self) -> bool:
        """Whether the limit lies within the reading's error: on a real bench the outcome could turn."""
        limits = (limit for limit in (self.low, self.high) if limit is not None)
        return self.measured is not None and any(abs(self.measured - limit) < self.error for limit in limits)

    @property
    def outcome(self) -> str:
        """The outcome in words."""
        if self.measured is None:
            return "left to the person: not modelled"
        if self.left:
            return "left to the person: the bound lies beyond the limit"
        if self.passed is None:
            return "no figure to judge it by"
        if self.close:
            return "not sure: nearer to the limit than the reading may be off"
        return "met" if self.passed else "not met"

    @property
    def criterion(self) -> str:
        """The criterion in words."""
        low, high = (None if v is None else show(v, self.kind) for v in (self.low, self.high))
        if low and high:
            return low if low == high else f"{low} to {high}"
        return f"at least {low}" if low else f"at most {high}" if high else "no figure"

    @property
    def cells(self) -> tuple[str, ...]:
        """The row as words, in the order of the table."""
        measured = "-" if self.measured is None else f"{'at most ' * self.bound}{show(self.measured, self.kind)}"
        said = "no list found that asks it" if self.printed is None else self.printed.how_known
        return self.test, measured, self.criterion, self.outcome, said, self.how

    def _short(self, limit: float | None, sign: float) -> bool:
        return limit is not None and self.measured is not None and sign * (self.measured - limit) < -1e-9


@dataclass(frozen=True)
class Checkout:
    """The record of one checkout.

    Attributes
    ----------
    title : str
        What was checked
    rows : tuple of CheckoutRow
        One for each acceptance test
    conflicts : tuple of str
        Where criteria disagree with each other or with mechanics, a sentence each; all of them stand
    """

    title: str
    rows: tuple[CheckoutRow, ...]
    conflicts: tuple[str, ...] = ()

    def __getitem__(self, test: str) -> CheckoutRow:
        return next(row for row in self.rows if row.test == test)

    @property
    def passed(self) -> bool:
        """Whether every test that the model can answer is met; the rest is still to be done on the person."""
        return all(row.passed is not False for row in self.rows)

    @property
    def words(self) -> str:
        """The outcome in a sentence or two."""
        failed = [row.test for row in self.rows if row.passed is False]
        left = sum(row.left for row in self.rows)
        said = f"Not met: {'; '.join(failed)}." if failed else "Every test that the model can answer is met."
        return f"{said} {left} tests are left to be done on the person."

    @property
    def criteria(self) -> tuple[str, ...]:
        """Whose criteria these are: a sentence for each source, the source of most tests first."""
        tests: dict[str, list[str]] = {}
        for row in self.rows:
            if row.printed is not None:
                tests.setdefault(row.printed.citation, []).append(row.test)
        most, *others = sorted(tests, key=lambda citation: -len(tests[citation]))
        first = f"Criteria, where nothing else is said here ({len(tests[most])} of {len(self.rows)}): {most}"
        return first, *(f"{'; '.join(tests[citation])}: {citation}" for citation in others)

    def __str__(self) -> str:
        table = _aligned((_HEADS, *(row.cells for row in self.rows)))
        said = [line for sentence in self.criteria for line in wrap(sentence, 120)]
        against = [line for sentence in self.conflicts for line in wrap(f"Disagreement: {sentence}", 120)]
        return "\n".join([self.title, "", *said, "", *table, "", *against, self.words])

    def markdown(self) -> str:
        """The record as markdown: whose criteria and where they conflict, then the table.

        Returns
        -------
        str
            A list of sources, an empty line, and the table

        Examples
        --------
        >>> row = CheckoutRow(test="slip", measured=0.02, kind="length", source="checkout_slip", how="tape")
        >>> print(Checkout("A", (row,)).markdown().splitlines()[2])
        | Test | Measured | Criterion | Outcome | Who says so | How |
        """
        against = (f"Disagreement: {sentence}" for sentence in self.conflicts)
        said = "\n".join(f"- {sentence}" for sentence in (*self.criteria, *against))
        lines = [_HEADS, ("---",) * len(_HEADS), *(row.cells for row in self.rows)]
        return (
            said
            + "\n\n"
            + "\n".join("| " + " | ".join(cell.replace("|", "/") for cell in line) + " |" for line in lines)
        )


def _aligned(rows: Sequence[tuple[str, ...]], gap: str = "  ", most: int = 30) -> list[str]:
    """Columns of equal width; a long cell is broken over several lines."""
    broken = [[wrap(cell, most) or [""] for cell in row] for row in rows]
    width = [max(len(line) for row in broken for line in row[k]) for k in range(len(rows[0]))]
    lines = []
    for number, row in enumerate(broken):
        for k in range(max(map(len, row))):
            cells = (cell[k] if k < len(cell) else "" for cell in row)
            lines.append(gap.join(cell.ljust(w) for cell, w in zip(cells, width, strict=True)).rstrip())
        if number == 0:
            lines.append(gap.join("-" * w for w in width))
    return lines
