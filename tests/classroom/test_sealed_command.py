"""`controlkit class hand-out --sealed`, as an instructor types it."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from controlkit.classroom import make_class
from controlkit.classroom.handing_out import openly
from controlkit.classroom.records import ClassFolder
from controlkit.cli import main
from tests.checking.hands import ROOT
from tests.classroom.handed_in import ROSTER


def test_each_student_gets_her_own(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    made = make_class(tmp_path / "CLASS", ROOT, roster=ROSTER)
    monkeypatch.chdir(made)

    def released(_: ClassFolder, exercise: str) -> Path:  # what nbgrader does is tried elsewhere
        return Path(shutil.copytree(ROOT / "exercises" / exercise, made / "release" / exercise, dirs_exist_ok=True))

    monkeypatch.setattr(openly, "hand_out_openly", released)
    assert main(["class", "hand-out", "ex05", "--sealed"]) == 0
    said = capsys.readouterr().out
    assert f"{len(ROSTER)} folders are sealed: give each student her own, handed-out/ID/ex05." in said
    assert "the same for everybody" not in said
    for student in ROSTER:
        files = {path.name for path in (made / "handed-out" / student.id / "ex05").iterdir()}
        assert files == {"ex05.ipynb", "ex05-sealed.json"}
    assert main(["class", "hand-out", "ex05"]) == 0
    assert "the same for everybody" in capsys.readouterr().out
