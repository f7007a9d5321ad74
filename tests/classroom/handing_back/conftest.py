"""A class of eight, marked and handed back once: right, wrong, blank, hostile, late, one who handed in nothing."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from controlkit.checking import Exercise
from controlkit.classroom import private
from controlkit.classroom.begin import module_of
from controlkit.classroom.handing_back import HandedBack, enter_marks, hand_back
from controlkit.classroom.records import ClassFolder, ReadAnswer
from controlkit.classroom.records.answers import Remark
from tests.checking.hands import ROOT, Hands
from tests.checking.school import answers_with_ideas, surroundings
from tests.classroom.a_class import hand_out, new_class, remark, take_in

SCRIPT = "<script>window.hit = 1</script><img src=x onerror='window.hit = 1'>"
"""What must never run, wherever it was written."""

FURTHER = {
    "loose": f"a = 1\n# {SCRIPT}",
    "text:mine": f"# My notes\n{SCRIPT}\n[press](javascript:window.hit=1)",
}
WHY = "Because the moment arm grows as the ring goes down."


@pytest.fixture(scope="session")
def ex03() -> Hands:
    return Hands("ex03", module_of("ex03", ROOT), private("ex03", ROOT))


@pytest.fixture(scope="session")
def marked_class(ex03: Hands, tmp_path_factory: pytest.TempPathFactory) -> ClassFolder:
    """Exercise 3 taken in and marked, and entered in the gradebook; not to be changed."""
    folder = new_class(tmp_path_factory.mktemp("handing-back") / "CLASS")
    hand_out(folder, ex03)
    right = {one.id: {**ex03.solved(one.name), "why": WHY} for one in folder.roster if one.id in ("s01", "s04", "s05")}
    ideas = {one.id: answers_with_ideas(ex03, one.name, 1) for one in folder.roster if one.id in ("s02", "s06", "s07")}
    take_in(folder, ex03, "s01", right["s01"])
    take_in(folder, ex03, "s02", {**ideas["s02"], "why": SCRIPT}, sources={"why": f'why = """{SCRIPT}\x1b[2J"""'})
    take_in(folder, ex03, "s03", {})
    take_in(folder, ex03, "s04", right["s04"], late=True, attempt=2)
    take_in(folder, ex03, "s05", right["s05"], sources=FURTHER)
    failed = {"design": ReadAnswer("not run", why="design: its cell computes, and was not run.")}
    take_in(folder, ex03, "s06", {**ideas["s06"], "why": "=1+1"}, read=failed)
    take_in(folder, ex03, "s07", ideas["s07"], name=SCRIPT)
    remark(folder, "ex03", "s01", Remark("alike", "same written answer as Ines, Okoye (s04)"))
    remark(folder, "ex03", "s07", Remark("name", f"the notebook bears the name {SCRIPT}", "Write your own name."))
    enter_marks(folder, "ex03")
    return folder


@pytest.fixture(scope="session")
def handed_back(marked_class: ClassFolder) -> HandedBack:
    return hand_back(marked_class, "ex03", processes=2)


@pytest.fixture
def own_class(marked_class: ClassFolder, tmp_path: Path) -> ClassFolder:
    """The same class to change."""
    shutil.copytree(marked_class.path, tmp_path / "OWN")
    return ClassFolder(tmp_path / "OWN")


@pytest.fixture(scope="session")
def stock() -> Callable[..., str]:
    """Run a command of nbgrader in a class folder, as a person does."""

    def run(folder: ClassFolder, *command: str) -> str:
        ran = subprocess.run(
            [sys.executable, "-m", "nbgrader", *command],
            cwd=folder.path,
            env=surroundings(folder.path.parent),
            capture_output=True,
            text=True,
            check=False,
        )
        assert ran.returncode == 0, ran.stderr
        return ran.stdout + ran.stderr

    return run


@pytest.fixture(scope="session")
def gradebook() -> Callable[[ClassFolder], dict[str, dict[str, dict[str, Any]]]]:
    """Everything that nbgrader's own interface says of the grades: by student and cell."""

    def read(folder: ClassFolder) -> dict[str, dict[str, dict[str, Any]]]:
        from nbgrader.api import Gradebook

        found: dict[str, dict[str, dict[str, Any]]] = {}
        with Gradebook(f"sqlite:///{folder.path / 'gradebook.db'}") as book:
            for submission in book.assignment_submissions("ex03"):
                (notebook,) = submission.notebooks
                found[submission.student.id] = {one.name: one.to_dict() for one in notebook.grades}
                for one in notebook.comments:
                    found[submission.student.id].setdefault(one.name, {}).update(one.to_dict())
        return found

    return read


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    """A browser that reaches this machine alone."""
    found = next(
        (path for name in ("chromium", "chromium-browser", "google-chrome") if (path := shutil.which(name))), ""
    )
    if not found:
        if os.environ.get("CI") == "true":
            pytest.fail("no Chromium on this machine, and CI must run the browser tests")
        pytest.skip("no Chromium on this machine")
    playwright = pytest.importorskip("playwright.sync_api", reason="Playwright is not installed")
    arguments = ["--no-first-run", "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1"]
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        arguments.append("--no-sandbox")
    with playwright.sync_playwright() as play:
        opened = play.chromium.launch(executable_path=found, headless=True, args=arguments)
        yield opened
        opened.close()


@pytest.fixture
def page(browser: Any) -> Iterator[Any]:
    """A page of one test; what it would fetch from outside is noted, and fails the test."""
    opened = browser.new_page(viewport={"width": 1366, "height": 768})
    outside: list[str] = []
    opened.on(
        "request",
        lambda one: (
            None if one.url.startswith(("file:", "data:", "blob:", "http://127.0.0.1")) else outside.append(one.url)
        ),
    )
    opened.set_default_timeout(60_000)
    yield opened
    opened.close()
    assert not outside, outside


@pytest.fixture(scope="session")
def as_json() -> Callable[[Path], Any]:
    """Read a file of JSON."""
    return lambda path: json.loads(path.read_text(encoding="utf-8"))


@pytest.fixture(scope="session")
def ex03_exercise(ex03: Hands) -> Exercise:
    return ex03.exercise
