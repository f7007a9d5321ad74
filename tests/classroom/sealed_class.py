"""A class of two to whom every exercise of the course, and the guide's own, is handed out sealed."""

from __future__ import annotations

import io
import shutil
from contextlib import redirect_stdout
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from controlkit.checking import Case, Exercise, sealed
from controlkit.checking.student.sealed import OwnSealed
from controlkit.classroom import begin, make_class, private, release
from controlkit.classroom.begin import module_of
from controlkit.classroom.handing_out.sealed import hand_out_sealed
from controlkit.classroom.records import ClassFolder
from tests.checking.hands import NAMES, ROOT, Hands
from tests.checking.test_guide import example_code

WHO, ID = "Zoë Dvořák", "s01"
OTHER, OTHER_ID = "Ana Lima", "s02"
OWN = "ex42"
"""The exercise of the guide, an instructor's own."""

EVERY = (*NAMES, OWN)


@dataclass
class HandedOut:
    """One exercise handed out sealed."""

    hands: Hands
    case: Case
    folder: Path
    klass: ClassFolder

    @property
    def exercise(self) -> Exercise:
        return self.hands.exercise

    def mine(self, monkeypatch: pytest.MonkeyPatch) -> OwnSealed:
        monkeypatch.chdir(self.folder)
        return sealed(self.exercise.name, WHO)

    def right(self) -> dict[str, Any]:
        """The right answer of every item: of the guide's exercise, which nobody solved, the number."""
        if self.exercise.name == OWN:
            return dict(self.exercise.right(self.case))
        return self.hands.solved(WHO)


@pytest.fixture(scope="module")
def klass(tmp_path_factory: pytest.TempPathFactory) -> ClassFolder:
    """A class of two, with every exercise of the course and the guide's own, all of them released and handed out."""
    there = tmp_path_factory.mktemp("sealed")
    made = make_class(there / "CLASS", ROOT)
    own = made / "solutions" / OWN
    own.mkdir()
    code = example_code((ROOT / "solutions" / "guide.md").read_text(encoding="utf-8"))
    (own / f"{OWN}.py").write_text(code, encoding="utf-8")
    begin(OWN, made)
    plain = there / "PLAIN"  # a release as of the repository, which fills no gradebook
    shutil.copytree(own, plain / "solutions" / OWN)
    shutil.copy(ROOT / "nbgrader_config.py", plain)
    release(plain, [OWN], into=made / "release")
    for name in NAMES:
        shutil.copytree(ROOT / "exercises" / name, made / "release" / name)
    (made / "roster.csv").write_text(f"id,name\n{ID},{WHO}\n{OTHER_ID},{OTHER}\n", encoding="utf-8")
    return ClassFolder(made)


@pytest.fixture(scope="module")
def every_given(klass: ClassFolder) -> dict[str, HandedOut]:
    return {}


@pytest.fixture(params=EVERY)
def given(request: pytest.FixtureRequest, klass: ClassFolder, every_given: dict[str, HandedOut]) -> HandedOut:
    """Each exercise in turn, handed out once."""
    return given_of(request.param, klass, every_given)


def given_of(name: str, klass: ClassFolder, every_given: dict[str, HandedOut]) -> HandedOut:
    if name not in every_given:
        hands = Hands(name, module_of(name, klass.path), private(name, klass.path))
        klass.keep_cases(name, {ID: hands.case(WHO), OTHER_ID: hands.case(OTHER)}, "1")
        own, _ = hand_out_sealed(klass, name)
        every_given[name] = HandedOut(hands, hands.case(WHO), own, klass)
    return every_given[name]


def said(mine: OwnSealed, item: str, answer: Any) -> str:
    out = io.StringIO()
    with redirect_stdout(out):
        mine.check(item, answer)
    return out.getvalue().rstrip("\n")
