"""Exercise 3 through stock nbgrader, word by word: right in other units, wrong ideas, slips, blank; its feedback."""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path
from types import ModuleType

import nbformat

from controlkit.checking.student.receipt import RECORD
from controlkit.exercises.ex03 import exercise
from controlkit.exercises.ex03.ideas import IDEAS
from tests.checking.hands import NAMES
from tests.checking.school import School

PEOPLE = ("right", "idea", "tight", "slips", "blank")


def test_right_earns_every_point(school: School) -> None:
    assert school.marks["ex03"]["right"] == {
        "t-excursion": 4.0,
        "t-moment_arm": 4.0,
        "t-shoulder_moment": 2.0,
        "t-loop_tension": 4.0,
        "t-design": 6.0,
        "why": None,
    }
    for item in ("excursion", "moment_arm", "shoulder_moment", "loop_tension"):
        assert f"{item.replace('_', ' ')}: yes, that is right." in school.said("ex03", "right", f"t-{item}")
    assert "yes, this design does its work." in school.said("ex03", "right", "t-design")


def test_one_wrong_idea_earns_what_it_is_worth_and_its_question(school: School, ex03: ModuleType) -> None:
    assert school.marks["ex03"]["tight"]["t-excursion"] == 1.0  # a quarter: all right but the losses
    assert school.marks["ex03"]["tight"]["t-moment_arm"] == 0.0
    assert school.marks["ex03"]["tight"]["t-shoulder_moment"] == 2.0  # follows from her own moment arm
    assert school.marks["ex03"]["tight"]["t-loop_tension"] == 0.0
    ask = {(idea.item, idea.label): idea.ask for idea in IDEAS}
    assert ask["excursion", "nothing-gives"] in school.said("ex03", "tight", "t-excursion")
    assert ask["moment_arm", "arm-length-as-arm"] in school.said("ex03", "tight", "t-moment_arm")
    assert "it follows from your own moment arm" in school.said("ex03", "tight", "t-shoulder_moment")
    assert ask["loop_tension", "loop-equals-cable"] in school.said("ex03", "tight", "t-loop_tension")


def test_a_tight_harness_on_the_spine_earns_what_it_does(school: School) -> None:
    said = school.said("ex03", "tight", "t-design")
    assert "Yes: the device opens fully" in said
    assert "while the arm hangs the strap pulls" in said
    assert "the ring does not lie where it is fitted" in said
    assert "on another body it does not do its work" in said
    assert 1.5 <= (school.marks["ex03"]["tight"]["t-design"] or 0) <= 3.0


def test_units_and_typing_slips_are_said(school: School) -> None:
    assert school.marks["ex03"]["slips"]["t-excursion"] == 2.0
    assert school.marks["ex03"]["slips"]["t-moment_arm"] == 0.0
    assert school.marks["ex03"]["slips"]["t-shoulder_moment"] == 1.0
    assert school.marks["ex03"]["slips"]["t-loop_tension"] == 0.0
    assert school.marks["ex03"]["slips"]["t-design"] == 0.0
    assert "looks like one in metres" in school.said("ex03", "slips", "t-excursion")
    assert "two numbers, 12 and 5" in school.said("ex03", "slips", "t-moment_arm")
    assert "looks like one in newton millimetres" in school.said("ex03", "slips", "t-shoulder_moment")
    assert "This does not count as an attempt." in school.said("ex03", "slips", "t-loop_tension")
    assert "cannot be worn" in school.said("ex03", "slips", "t-design")


def test_what_a_student_changed_in_the_checks_is_put_back(school: School) -> None:
    """The locked cell that said 4.0, and the exercise file that left at once."""
    assert school.marks["ex03"]["slips"]["t-excursion"] == 2.0
    assert school.said("ex03", "slips", "t-excursion").startswith("excursion: ")


def test_a_class_hands_out_what_the_repository_holds(school: School, root: Path) -> None:
    for name in NAMES:
        released = {path.name: path.read_bytes() for path in (school.folder / "release" / name).iterdir()}
        ours = {path.name: path.read_bytes() for path in (root / "exercises" / name).iterdir() if path.is_file()}
        assert released == ours
        own = {path.name for path in (root / "solutions" / name).glob("*.py")}  # of an exercise outside the package
        assert set(released) == {f"{name}.ipynb", *own}


def test_blank_earns_nothing_and_is_told_what_to_do(school: School) -> None:
    assert school.marks["ex03"]["blank"] == {**dict.fromkeys(school.marks["ex03"]["right"], 0.0)}
    for item in ("excursion", "moment_arm", "shoulder_moment", "loop_tension", "design"):
        assert "Your name is needed first." in school.said("ex03", "blank", f"t-{item}")


def test_the_written_answer_waits_for_a_person(school: School) -> None:
    assert school.manual["ex03"]["right"] == {**dict.fromkeys(school.marks["ex03"]["right"], False), "why": True}
    assert not any(school.manual["ex03"]["blank"].values())


def test_nothing_was_overwritten_or_refused(school: School) -> None:
    """The locked test cells come back with their hidden part; nothing else differs from what was handed out."""
    changed = set(re.findall(r"for cell (\S+) has changed", school.log_of("AutogradeApp", "ex03")))
    assert changed == {f"t-{item}" for item in ("excursion", "moment_arm", "shoulder_moment", "loop_tension", "design")}
    assert "cannot be converted" not in school.log_of("AutogradeApp", "ex03")
    assert "ERROR" not in school.log_of("AutogradeApp", "ex03")


def test_feedback_holds_marks_and_words_and_reads_offline(school: School) -> None:
    page = unescape(school.feedback("ex03", "tight"))
    assert "What gives before the cable feels it?" in page
    assert "excursion: 1 of 4 points" in page
    assert "Traceback (most recent call last)" not in page
    for who in PEOPLE:
        tag = r"<(?:script|link|img|iframe)\b[^>]*?(?:src|href)\s*=\s*[\"']?(?:https?:)?//[^>]*>"
        fetched = re.findall(tag, school.feedback("ex03", who))
        assert fetched == [], fetched


def test_a_written_answer_is_in_the_feedback_whole_and_the_receipt_tells_what_it_was_marked_from(
    school: School,
) -> None:
    page = unescape(re.sub(r"<span[^>]*>|</span>", "", school.feedback("ex03", "right")))
    assert "Because the moment arm grows as the ring goes down." in page
    assert "white-space: pre-wrap" in page  # a long line stays on the page
    assert "why: 10 words stand here. A person reads and marks it." in page
    assert "Zoë Marsh, case number " in page
    assert "So far 20 of 20 points by the checks. Your instructor gives up to 4 more for what you wrote." in page
    assert "To hand in" not in page  # it was
    assert "Show the steps" not in unescape(school.feedback("ex03", "tight"))
    path = school.folder / "autograded" / "right" / "ex03" / "ex03.ipynb"
    outputs = next(cell.outputs for cell in nbformat.read(path, as_version=4).cells if cell.id == "record")
    (held,) = [out.data[RECORD] for out in outputs if RECORD in out.get("data", {})]
    assert held["seed"] == "zoë marsh"
    assert held["case"] == exercise.own_case("Zoë Marsh").as_data()
    assert held["points"] == {"excursion": 4, "moment_arm": 4, "shoulder_moment": 2, "loop_tension": 4, "design": 6}


def test_grading_leaves_no_progress_file(school: School) -> None:
    assert not list(school.folder.glob("autograded/**/progress*.json"))


def test_the_private_file_does_not_travel(school: School) -> None:
    assert not list(school.folder.glob("release/**/*graded*"))
    text = "".join(path.read_text(encoding="utf-8") for path in school.folder.glob("release/*/*"))
    assert "HIDDEN TESTS" not in text
    assert "mine.score(" not in text
    assert "controlkit.classroom import" not in text
