"""Make a class folder: its own configuration and its own copy of the solutions, ready for nbgrader."""

from __future__ import annotations

import shutil
from pathlib import Path

from controlkit.checking.student.handed_out import CLASS_FILE, WITHOUT_STEPS
from controlkit.classroom.records.class_folder import ROSTER
from controlkit.classroom.records.kept import keep_text
from controlkit.classroom.records.roster import Roster
from controlkit.units import InputError

_CONFIG = '''"""The configuration of this class. Start nbgrader, and its formgrader, in this folder."""

from pathlib import Path

import nbgrader

from controlkit.classroom.handing_back import TEMPLATES

c = get_config()  # noqa: F821
here = Path(__file__).resolve().parent

c.CourseDirectory.source_directory = "solutions"
c.CourseDirectory.ignore = [".ipynb_checkpoints", "*.pyc*", "__pycache__", "progress*.json"]

# What a student finds where a solution stood: words, and nothing that fails.
c.ClearSolutions.code_stub = {"python": "# Replace the dots. Lines of working may stand above."}
c.ClearSolutions.text_stub = "Write your answer here."

# Feedback and the form for marking by hand need no network, and say what still waits for a person. Of what a
# notebook brought along as output or markup, whoever made it, only plain words reach a browser.
templates = Path(nbgrader.__file__).parent / "server_extensions" / "formgrader" / "templates"
c.HTMLExporter.extra_template_basedirs = [str(here / "templates"), str(TEMPLATES), str(templates)]
c.OnlyOurs.released = str(here / "release")
c.HTMLExporter.preprocessors = ["controlkit.classroom.handing_back.for_nbgrader.OnlyOurs"]
c.GenerateFeedback.preprocessors = [
    "controlkit.classroom.handing_back.for_nbgrader.OnlyOurs",
    "controlkit.classroom.handing_back.for_nbgrader.GetStanding",
]
'''


def make_class(
    folder: Path | str, root: Path | str = ".", *, worked_steps: bool = True, roster: Roster | None = None
) -> Path:
    """Make a folder for one class.

    Parameters
    ----------
    folder : Path or str
        The new folder; it must not exist, or be empty
    root : Path or str
        The folder that holds ``solutions/``
    worked_steps : bool
        Whether students may open worked steps after an attempt; without, a file beside each notebook says so
    roster : Roster, optional
        Who is in the class

    Returns
    -------
    Path
        The folder

    Raises
    ------
    InputError
        If the folder is in use, lies in the folder of the course or of another program's source, or there is no
        ``solutions/``

    Notes
    -----
    In that folder, with the environment activated (nbgrader calls a helper by its bare name),
    ``nbgrader generate_assignment ex03`` fills the gradebook; then ``nbgrader autograde ex03`` and
    ``nbgrader generate_feedback ex03`` work as ever.
    """
    target, source = Path(folder).resolve(), Path(root).resolve() / "solutions"
    if not source.is_dir():
        raise InputError(
            given="There is no folder solutions/ here.",
            do="Start in the folder that holds it.",
        )
    if target.exists() and (not target.is_dir() or any(target.iterdir())):
        raise InputError(
            given=f"{target.name} already holds something.",
            do="Name a new folder for the class.",
        )
    _refuse_checkout(target)
    target.mkdir(parents=True, exist_ok=True)
    skip = shutil.ignore_patterns("__pycache__", ".ipynb_checkpoints", "progress*.json")
    shutil.copytree(source, target / "solutions", ignore=skip)
    if not worked_steps:
        for notebook in (target / "solutions").glob("*/*.ipynb"):
            notebook.with_name(CLASS_FILE).write_text(WITHOUT_STEPS, encoding="utf-8")
    if roster is not None:
        keep_text(target / ROSTER, roster.as_text())
    (target / "nbgrader_config.py").write_text(_CONFIG, encoding="utf-8")
    (target / "templates").mkdir()  # for pages of the class's own, in place of these
    return target


def _refuse_checkout(target: Path) -> None:
    """A class holds names and marks: it does not lie where files are passed on."""
    for above in target.parents:
        if (above / ".git").exists() or (above / "pyproject.toml").is_file():
            raise InputError(
                given=f"{target.name} would lie inside {above.name}, a folder of program text that is passed on.",
                do=f"Names and marks are not passed on: name a folder beside it, such as {Path('..') / target.name}.",
            )
