"""Every wrong idea has a name that a teacher uses, and every moment is told as one says it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import fields
from datetime import datetime
from pathlib import Path

import pytest

from controlkit.checking import Choice, Diagnosis, Exercise, Item, Order
from controlkit.classroom.handing_back import export_marks, write_report
from controlkit.classroom.handing_back.told import NOT_MET, idea_called, moment_called, names
from controlkit.classroom.records import ClassFolder
from tests.checking.hands import Hands
from tests.classroom.handing_back.test_report import plain

EXERCISES = [f"ex{number:02}" for number in range(1, 13)]


def labels(exercise: Exercise, item: Item) -> Iterator[str]:
    """Labels of all that can be wrong with an answer: ideas, formulas, laws, criteria."""
    yield from (idea.label for idea in exercise.about(item))
    for one in fields(item):  # type: ignore[arg-type]  # every kind is a dataclass
        held = getattr(item, one.name)
        for part in held if isinstance(held, tuple) else ():
            if isinstance(label := getattr(part, "label", None), str) and label:
                yield label


@pytest.mark.parametrize("exercise", EXERCISES)
def test_every_idea_has_a_name(exercise: str, every: dict[str, Hands]) -> None:
    held = {**names()["every"], **names()[exercise]}
    sheet = every[exercise].exercise
    found = {label for item in sheet.items for label in labels(sheet, item)}
    assert found
    assert sorted(found - held.keys()) == []
    assert sorted(names()[exercise].keys() - found) == []  # and no name is left of an idea that is gone


@pytest.mark.parametrize("exercise", ["every", *EXERCISES])
def test_a_name_is_short_and_no_label(exercise: str) -> None:
    for label, name in names()[exercise].items():
        assert 8 <= len(name) <= 62, name
        assert name != label
        assert not re.search(r"[_.]|\w-\w", name.replace("figure-of-eight", "")), name
        assert not re.search(r"\d", name), name  # a class is counted by ideas, whatever the case


def test_no_two_ideas_of_one_item_bear_one_name(every: dict[str, Hands]) -> None:
    for exercise, hands in every.items():
        for item in hands.exercise.items:
            known = set(labels(hands.exercise, item))
            told = {idea_called(exercise, item, label) for label in known}
            assert len(told) == len(known), (exercise, item.name)


def test_words_of_a_list_are_told_as_chosen(every: dict[str, Hands]) -> None:
    for hands in every.values():
        for item in hands.exercise.items:
            if isinstance(item, Choice):
                word = item.statements[0].word
                assert idea_called(hands.name, item, word) == f"“{word}” chosen"
            if isinstance(item, Order):
                word = item.steps[0].word
                assert idea_called(hands.name, item, f"too-early: {word}") == f"“{word}”: too early"
            if isinstance(item, Diagnosis):
                assert idea_called(hands.name, item, "fault: worn") == "“worn”: the fault named"


def test_an_exercise_of_the_class_tells_its_labels_as_words(every: dict[str, Hands]) -> None:
    item = every["ex03"].exercise.items[0]
    assert idea_called("ex42", item, f"arms-swapped{NOT_MET}") == "arms swapped"


def test_the_report_shows_names_and_no_labels(marked_class: ClassFolder, every: dict[str, Hands]) -> None:
    section = plain(write_report(marked_class, "ex03").page).split("Wrong ideas, the most common first")[1]
    known = {idea.label for idea in every["ex03"].exercise.ideas}
    assert not [label for label in known if label in section]
    assert any(name in section for name in names()["ex03"].values())
    assert NOT_MET not in section


def test_moments_are_told_as_one_says_them(marked_class: ClassFolder, tmp_path: Path) -> None:
    utc = datetime.fromisoformat("2026-12-01T18:05:40+00:00")
    assert moment_called(utc.isoformat()).endswith(f"{utc.astimezone():%H:%M}")
    assert moment_called("no time") == "no time"
    text = export_marks(marked_class, "ex03", tmp_path / "marks.csv").read_text(encoding="utf-8-sig")
    assert " March 2026, " in text
    assert "2026-03-02T" not in text
