"""What nbgrader's own feedback command takes from here: how each item stands, beside its points.

Named in the configuration of a class folder; loads nbgrader, so nothing else imports it.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from jinja2 import FileSystemLoader
from nbgrader.preprocessors import GetGrades, NbGraderPreprocessor
from traitlets import Unicode

from controlkit.checking.feedback import in_words
from controlkit.classroom.handing_back.autograded import ABOUT
from controlkit.classroom.handing_back.book import BLANK, CHECK, item_of
from controlkit.classroom.handing_back.feedback import TEMPLATES

_WORDS = "text/plain"
READ, RUN, UNREAD = "not yet read", "could not be run here", "not read"


class GetStanding(GetGrades):  # type: ignore[misc]
    """Grades and comments as nbgrader takes them from its gradebook, and which of them still wait for a person."""

    def preprocess(self, nb: Any, resources: Any) -> tuple[Any, Any]:
        """Put the grades of one submission into its notebook.

        Parameters
        ----------
        nb : NotebookNode
            The notebook
        resources : dict
            Which exercise and which student, and where the gradebook is

        Returns
        -------
        tuple of (NotebookNode, dict)
            Both, with grades, and under ``resources["nbgrader"]["standing"]`` sums of what is settled
        """
        self._unread = bool(nb.metadata.get(ABOUT, {}).get("unread"))
        nb, resources = super().preprocess(nb, resources)
        rows: list[dict[str, Any]] = []
        for cell in nb.cells:
            held = cell.metadata.get("nbgrader", {})
            if not held.get("grade"):
                continue
            name = item_of(held["grade_id"])
            answer = next((one for one in nb.cells if one.metadata.get("nbgrader", {}).get("grade_id") == name), cell)
            held["called"] = in_words(name)
            rows.append(
                {
                    "called": held["called"],
                    "at": held["grade_id"],
                    "by_hand": not held["grade_id"].startswith(CHECK),
                    "waits": held["waits"],
                    "points": held["score"],
                    "out_of": held["points"],
                    "comment": answer.metadata.nbgrader.get("comment") not in (None, "", BLANK),
                }
            )
        settled = [row for row in rows if not row["waits"]]
        resources["nbgrader"]["standing"] = {
            "rows": rows,
            "points": sum(row["points"] for row in settled),
            "out_of": sum(row["out_of"] for row in settled),
            "waits": sum(row["out_of"] for row in rows if row["waits"]),
            "all": sum(row["out_of"] for row in rows),
        }
        return nb, resources

    def _get_score(self, cell: Any, resources: Any) -> None:
        super()._get_score(cell, resources)
        held = cell.metadata.nbgrader
        grade = self.gradebook.find_grade(held["grade_id"], self.notebook_id, self.assignment_id, self.student_id)
        by_hand = not held["grade_id"].startswith(CHECK)
        held["waits"] = ""
        if grade.needs_manual_grade and self._unread:
            held["waits"] = UNREAD
        elif grade.needs_manual_grade and by_hand:
            held["waits"] = READ
        elif grade.needs_manual_grade and grade.auto_score is None:
            held["waits"] = RUN


class OnlyOurs(NbGraderPreprocessor):  # type: ignore[misc]
    """Lets no markup through but that of the notebook that was handed out, whoever made the notebook at hand.

    A cell of text that is not one of its own becomes remarks in program text; of outputs, plain words are left.
    """

    released = Unicode("release", help="The folder with the notebooks that were handed out").tag(config=True)

    def __init__(self, **given: Any) -> None:
        super().__init__(**given)
        if self.parent is not None and self.parent.has_trait("extra_loaders"):
            # The form takes no templates of a class, and would fetch a script from outside that it waits for.
            self.parent.extra_loaders = [FileSystemLoader(str(TEMPLATES / "shared"))]

    def preprocess(self, nb: Any, resources: Any) -> tuple[Any, Any]:
        """Make a notebook harmless before it becomes a page.

        Parameters
        ----------
        nb : NotebookNode
            The notebook
        resources : dict
            Which exercise it is of

        Returns
        -------
        tuple of (NotebookNode, dict)
            Both
        """
        ours = self._ours(resources)
        for cell in nb.cells:
            if cell.cell_type != "code" and (cell.cell_type != "markdown" or cell.source not in ours):
                cell.cell_type, cell.outputs, cell.execution_count = "code", [], None
                cell.source = "\n".join(f"# {row}" for row in cell.source.split("\n"))
                cell.pop("attachments", None)
            elif cell.cell_type == "code":
                cell.outputs = [one for output in cell.outputs if (one := _plainly(output)) is not None]
        return nb, resources

    def _ours(self, resources: Any) -> set[str]:
        """Every text of the notebook that was handed out."""
        exercise = resources.get("nbgrader", {}).get("assignment") or resources.get("assignment_id", "")
        try:
            text = (Path(self.released) / exercise / f"{exercise}.ipynb").read_text(encoding="utf-8")
        except OSError:
            return set()
        cells = [cell for cell in json.loads(text)["cells"] if cell["cell_type"] == "markdown"]
        return {"".join(cell["source"]) for cell in cells}


def _plainly(output: Any) -> Any:
    """An output with plain words alone; nothing where it has none."""
    if output.output_type in ("stream", "error"):
        return output
    if _WORDS not in output.get("data", {}):
        return None
    output.data = {_WORDS: output.data[_WORDS]}
    output.metadata = {}
    return output
