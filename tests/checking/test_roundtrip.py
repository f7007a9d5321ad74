"""A class from release to feedback with stock nbgrader: right, one wrong idea, wrong unit, blank; marks and words.

Everything happens in a temporary class folder; the notebooks are what a student would hand in.
"""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from collections.abc import Mapping
from dataclasses import dataclass
from html import unescape
from pathlib import Path
from types import ModuleType

import nbformat
import pytest

from controlkit.classroom import make_class

PEOPLE = {"right": "Zoë Marsh", "idea": "Ana Dvořák", "slips": "José Ibarra", "blank": None}


@dataclass(frozen=True)
class Graded:
    folder: Path
    marks: Mapping[str, Mapping[str, float | None]]
    manual: Mapping[str, Mapping[str, bool]]
    log: str

    def said(self, who: str, cell: str) -> str:
        """What a student reads below a graded cell."""
        path = self.folder / "autograded" / who / "ex03" / "ex03.ipynb"
        notebook = nbformat.read(path, as_version=4)
        outputs = next(c for c in notebook.cells if c.metadata.get("nbgrader", {}).get("grade_id") == cell).outputs
        assert all(output.get("name") != "stderr" and output.output_type != "error" for output in outputs), outputs
        return "".join(output.get("text", "") for output in outputs)

    def feedback(self, who: str) -> str:
        return (self.folder / "feedback" / who / "ex03" / "ex03.html").read_text(encoding="utf-8")


def environment(root: Path, folder: Path) -> dict[str, str]:
    own = {name: str(folder / name.lower()) for name in ("IPYTHONDIR", "JUPYTER_CONFIG_DIR", "JUPYTER_RUNTIME_DIR")}
    path = os.pathsep.join([str(Path(sys.executable).parent), os.environ.get("PATH", "")])  # nbgrader calls alembic
    return {**os.environ, **own, "PATH": path, "PYTHONPATH": str(root), "PYTHONDONTWRITEBYTECODE": "1"}


def nbgrader(folder: Path, root: Path, *words: str) -> str:
    command = [sys.executable, "-m", "nbgrader", *words]
    ran = subprocess.run(
        command, cwd=folder, env=environment(root, folder.parent), capture_output=True, text=True, check=False
    )
    assert ran.returncode == 0, ran.stderr
    return ran.stderr


def gradebook(folder: Path, root: Path) -> list[tuple[str, str, float | None, bool]]:
    """Student, cell, points and whether a person must mark it, through nbgrader's own interface."""
    code = (
        "import json; from nbgrader.api import Gradebook\n"
        "with Gradebook('sqlite:///gradebook.db') as book:\n"
        "    rows = [(s.student.id, g.name, g.auto_score, bool(g.needs_manual_grade))\n"
        "            for s in book.assignment_submissions('ex03') for n in s.notebooks for g in n.grades]\n"
        "print(json.dumps(rows))"
    )
    ran = subprocess.run(
        [sys.executable, "-c", code],
        cwd=folder,
        env=environment(root, folder.parent),
        capture_output=True,
        text=True,
        check=True,
    )
    return [tuple(row) for row in json.loads(ran.stdout)]


def fill(released: Path, handed_in: Path, answers: Mapping[str, str]) -> None:
    """Write answers into a released notebook, as a student does, and hand in the folder."""
    handed_in.mkdir(parents=True)
    for path in released.iterdir():
        (handed_in / path.name).write_bytes(path.read_bytes())
    notebook = nbformat.read(released / "ex03.ipynb", as_version=4)
    for cell in notebook.cells:
        if cell.id in answers:
            cell.source = answers[cell.id]
    nbformat.write(notebook, handed_in / "ex03.ipynb")


def answers(ex03: ModuleType, who: str) -> dict[str, str]:
    name = PEOPLE[who]
    if name is None:
        return {}
    exercise = ex03.exercise
    case = exercise.own_case(name)
    right = exercise.right(case)
    design = 'design = dict(ring_below_c7="95 mm", ring_to_sound_side="1 in", crossbar=0.65, control_strap=0)'
    if who == "right":
        return {
            "who": f'name = "{name}"',
            "excursion": f'excursion = "{right["excursion"]} mm"',
            "moment_arm": f"moment_arm = {right['moment_arm']:.1f}",
            "shoulder_moment": f'shoulder_moment = "{right["shoulder_moment"]:.2f} N m"'.replace(".", ","),
            "loop_tension": f'loop_tension = "{right["loop_tension"] / 4.4482216:.2f} lbf"',
            "design": design,
            "why": "Because the moment arm grows as the ring goes down.",
        }
    if who == "idea":
        ideas = {(idea.item, idea.label): idea.values(case, right)[0] for idea in exercise.ideas}
        arm = ideas["moment_arm", "arm-length-as-arm"]
        return {
            "who": f'name = "{name}"',
            "excursion": f"excursion = {ideas['excursion', 'nothing-gives']}",
            "moment_arm": f"moment_arm = {arm}",
            "shoulder_moment": f"shoulder_moment = {case.pull} * moment_arm / 1000",
            "loop_tension": f'loop_tension = "{ideas["loop_tension", "loop-equals-cable"]} N"',
            "design": design.replace("control_strap=0", 'control_strap="-15 mm"').replace('"1 in"', '"0 mm"'),
        }
    return {
        "who": f'name = "{name}"',
        "excursion": f"excursion = {right['excursion'] / 1000}",
        "moment_arm": "moment_arm = 12,5",
        "shoulder_moment": f"shoulder_moment = {1000 * right['shoulder_moment']}",
        "loop_tension": "import warnings\nwarnings.warn('noise')\nloop_tension = 'about 1,234'",
        "design": design.replace("0.6", "12"),
        "why": "",
        "t-excursion": "4.0",  # a locked cell made to give full marks
    }


@pytest.fixture(scope="module")
def graded(root: Path, ex03: ModuleType, tmp_path_factory: pytest.TempPathFactory) -> Graded:
    folder = make_class(tmp_path_factory.mktemp("school") / "CLASS", root)
    nbgrader(folder, root, "generate_assignment", "ex03")
    for who in PEOPLE:
        fill(folder / "release" / "ex03", folder / "submitted" / who / "ex03", answers(ex03, who))
    (folder / "submitted" / "slips" / "ex03" / "ex03.py").write_text("raise SystemExit\n", encoding="utf-8")
    log = nbgrader(folder, root, "autograde", "ex03")
    nbgrader(folder, root, "generate_feedback", "ex03")
    marks: dict[str, dict[str, float | None]] = {who: {} for who in PEOPLE}
    manual: dict[str, dict[str, bool]] = {who: {} for who in PEOPLE}
    for who, cell, points, by_hand in gradebook(folder, root):
        marks[who][cell], manual[who][cell] = points, by_hand
    return Graded(folder, marks, manual, log)


def test_right_earns_every_point(graded: Graded) -> None:
    assert graded.marks["right"] == {
        "t-excursion": 4.0,
        "t-moment_arm": 4.0,
        "t-shoulder_moment": 2.0,
        "t-loop_tension": 4.0,
        "t-design": 6.0,
        "why": None,
    }
    for item in ("excursion", "moment_arm", "shoulder_moment", "loop_tension"):
        assert f"{item}: yes, that is right." in graded.said("right", f"t-{item}")
    assert "yes, this design does its work." in graded.said("right", "t-design")


def test_one_wrong_idea_earns_what_it_is_worth_and_its_question(graded: Graded, ex03: ModuleType) -> None:
    assert graded.marks["idea"]["t-excursion"] == 1.0  # a quarter: all right but the losses
    assert graded.marks["idea"]["t-moment_arm"] == 0.0
    assert graded.marks["idea"]["t-shoulder_moment"] == 2.0  # follows from her own moment arm
    assert graded.marks["idea"]["t-loop_tension"] == 0.0
    ask = {(idea.item, idea.label): idea.ask for idea in ex03.IDEAS}
    assert ask["excursion", "nothing-gives"] in graded.said("idea", "t-excursion")
    assert ask["moment_arm", "arm-length-as-arm"] in graded.said("idea", "t-moment_arm")
    assert "it follows from your own moment_arm" in graded.said("idea", "t-shoulder_moment")
    assert ask["loop_tension", "loop-equals-cable"] in graded.said("idea", "t-loop_tension")


def test_a_tight_harness_on_the_spine_earns_what_it_does(graded: Graded) -> None:
    said = graded.said("idea", "t-design")
    assert "Yes: the device opens fully" in said
    assert "held partly open while the arm hangs" in said
    assert "on or beside the spine" in said
    assert "on another body it does not do its work" in said
    assert 1.5 <= (graded.marks["idea"]["t-design"] or 0) <= 3.0


def test_units_and_typing_slips_are_said(graded: Graded) -> None:
    assert graded.marks["slips"]["t-excursion"] == 2.0
    assert graded.marks["slips"]["t-moment_arm"] == 0.0
    assert graded.marks["slips"]["t-shoulder_moment"] == 1.0
    assert graded.marks["slips"]["t-loop_tension"] == 0.0
    assert graded.marks["slips"]["t-design"] == 0.0
    assert "looks like one in metres" in graded.said("slips", "t-excursion")
    assert "two numbers, 12 and 5" in graded.said("slips", "t-moment_arm")
    assert "looks like one in newton millimetres" in graded.said("slips", "t-shoulder_moment")
    assert "This does not count as an attempt." in graded.said("slips", "t-loop_tension")
    assert "cannot be worn" in graded.said("slips", "t-design")


def test_what_a_student_changed_in_the_checks_is_put_back(graded: Graded) -> None:
    """The locked cell that said 4.0, and the exercise file that left at once."""
    assert graded.marks["slips"]["t-excursion"] == 2.0
    assert graded.said("slips", "t-excursion").startswith("excursion: ")


def test_a_class_hands_out_what_the_repository_holds(graded: Graded, root: Path) -> None:
    released = {path.name: path.read_bytes() for path in (graded.folder / "release" / "ex03").iterdir()}
    ours = root / "exercises" / "ex03"
    assert released == {name: (ours / name).read_bytes() for name in released}
    assert set(released) >= {"ex03.ipynb", "ex03.py", "ex03_bench.py", "ex03_case.py", "ex03_ideas.py"}


def test_blank_earns_nothing_and_is_told_what_to_do(graded: Graded) -> None:
    assert graded.marks["blank"] == {**dict.fromkeys(graded.marks["right"], 0.0)}
    for item in ("excursion", "moment_arm", "shoulder_moment", "loop_tension", "design"):
        assert "Your name is needed first." in graded.said("blank", f"t-{item}")


def test_the_written_answer_waits_for_a_person(graded: Graded) -> None:
    assert graded.manual["right"] == {**dict.fromkeys(graded.marks["right"], False), "why": True}
    assert not any(graded.manual["blank"].values())


def test_nothing_was_overwritten_or_refused(graded: Graded) -> None:
    """The locked test cells come back with their hidden part; nothing else differs from what was handed out."""
    changed = set(re.findall(r"for cell (\S+) has changed", graded.log))
    assert changed == {f"t-{item}" for item in ("excursion", "moment_arm", "shoulder_moment", "loop_tension", "design")}
    assert "cannot be converted" not in graded.log
    assert "ERROR" not in graded.log


def test_feedback_holds_marks_and_words_and_reads_offline(graded: Graded) -> None:
    page = unescape(graded.feedback("idea"))
    assert "What gives before the cable feels it?" in page
    assert "(Score: 1.0 / 4.0)" in page
    assert "Traceback (most recent call last)" not in page
    for who in PEOPLE:
        tag = r"<(?:script|link|img|iframe)\b[^>]*?(?:src|href)\s*=\s*[\"']?(?:https?:)?//[^>]*>"
        fetched = re.findall(tag, graded.feedback(who))
        assert fetched == [], fetched


def test_grading_leaves_no_progress_file(graded: Graded) -> None:
    assert not list(graded.folder.glob("autograded/**/progress*.json"))


def test_the_private_file_does_not_travel(graded: Graded) -> None:
    assert not list(graded.folder.glob("release/**/*graded*"))
    text = "".join(path.read_text(encoding="utf-8") for path in graded.folder.glob("release/ex03/*"))
    assert "HIDDEN TESTS" not in text
    assert "mine.score(" not in text
    assert "controlkit.classroom import" not in text
