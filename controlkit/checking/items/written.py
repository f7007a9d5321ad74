"""A written reason, marked by a person along a rubric."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from controlkit.checking.case.cases import Case
from controlkit.checking.feedback import Feedback, Judgement
from controlkit.checking.forms.text import TextForm
from controlkit.checking.items.base import Item, Question


@dataclass(frozen=True, kw_only=True)
class Written(Item):
    """A written reason, marked by a person along a rubric.

    Parameters
    ----------
    name : str
        Name of the item, and of its cell in the notebook
    asks : str
        What is asked, in words
    rubric : tuple of (float, str)
        Points and what earns them, one line each [-]
    """

    by_hand: ClassVar[bool] = True

    name: str
    asks: str
    rubric: tuple[tuple[float, str], ...]

    @property
    def points(self) -> float:
        """Most points that the rubric gives.

        Returns
        -------
        float
            Sum over its lines [-]
        """
        return sum(points for points, _ in self.rubric)

    def heading(self) -> str:
        lines = "\n".join(f"- {line}" for line in self._lines())
        asks = f"{self.asks[:1].upper()}{self.asks[1:]}"
        return f"{asks}\n\nA person reads your answer, along these lines:\n\n{lines}"

    def stub(self) -> str:
        return f'{self.name} = """\n...\n"""'

    def form(self, case: Case) -> TextForm:  # noqa: ARG002 - the same for every case
        return TextForm(name=self.name)

    def judge(self, question: Question) -> Judgement:
        form = self.form(question.case)
        text = form.read(question.answer)
        if isinstance(text, Feedback):
            return self.judged(0.0, text)
        (said,) = form.said(question.answer, text)
        return self.judged(0.0, Feedback("written", "review", said, "marked by rubric"))

    def _lines(self) -> list[str]:
        return [f"{points:g} point{'s' * (points != 1)}: {earns}" for points, earns in self.rubric]
