"""Pages in a real browser: nothing of a student's runs, everybody can use them, they fit window and paper."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
import time
import urllib.request
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from controlkit.classroom.handing_back import HandedBack, enter_marks, write_report
from controlkit.classroom.records import ClassFolder
from tests.checking.school import surroundings
from tests.classroom.handing_back.conftest import SCRIPT

pytestmark = pytest.mark.browser

HOSTILE = ("s02", "s05", "s07")
"""In her written answer; in her name and her further cells; in the name of her notebook."""


def axe() -> Any:
    return pytest.importorskip("axe_playwright_python.sync_playwright").Axe()


def untouched(page: Any) -> None:
    """Nothing of a student's became a part of the page that could run, or did run."""
    page.wait_for_timeout(200)
    assert page.evaluate("window.hit") is None
    assert page.locator("[onerror], a[href^='javascript:'], img[src='x']").count() == 0


def accessible(page: Any) -> None:
    found = axe().run(page)
    assert found.response["passes"], "the scan looked at something"
    assert found.response["violations"] == [], found.generate_report()


def test_the_script_does_run_where_nobody_guards(page: Any, tmp_path: Path) -> None:
    """The control: what is tried here would work."""
    (tmp_path / "bare.html").write_text(f"<body>{SCRIPT}</body>", encoding="utf-8")
    page.goto((tmp_path / "bare.html").as_uri())
    assert page.evaluate("window.hit") == 1


@pytest.mark.parametrize("student", HOSTILE)
def test_feedback_runs_nothing(page: Any, handed_back: HandedBack, student: str) -> None:
    path = dict(handed_back.pages)[student]
    page.goto(path.as_uri())
    untouched(page)
    assert page.locator("script").count() == 0


@pytest.mark.parametrize("student", HOSTILE)
def test_nor_does_it_without_the_rule_of_the_page_itself(
    page: Any, handed_back: HandedBack, tmp_path: Path, student: str
) -> None:
    """Escaping alone holds: the page also forbids every script, which would hide a gap."""
    text = dict(handed_back.pages)[student].read_text(encoding="utf-8")
    bare = re.sub(r"<meta[^>]*Content-Security-Policy[^>]*>", "", text)
    assert bare != text
    (tmp_path / "bare.html").write_text(bare, encoding="utf-8")
    page.goto((tmp_path / "bare.html").as_uri())
    untouched(page)


def test_feedback_is_accessible_and_fits(page: Any, handed_back: HandedBack) -> None:
    for student in ("s02", "s06"):
        page.goto(dict(handed_back.pages)[student].as_uri())
        accessible(page)
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")


def test_the_report_is_accessible_runs_nothing_and_fits_window_and_paper(page: Any, marked_class: ClassFolder) -> None:
    made = write_report(marked_class, "ex03")
    for path in (made.page, made.without_names):
        page.goto(path.as_uri())
        untouched(page)
        accessible(page)
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    page.goto(made.page.as_uri())
    page.emulate_media(media="print")
    page.set_viewport_size({"width": 718, "height": 1000})  # an A4 sheet between its margins
    wide = (
        "Array.from(document.querySelectorAll('table, svg')).map(one => Math.ceil(one.getBoundingClientRect().right))"
    )
    assert max(page.evaluate(wide)) <= 718


@pytest.fixture(scope="module")
def form_class(marked_class: ClassFolder, tmp_path_factory: pytest.TempPathFactory) -> ClassFolder:
    """The same class for the form, in which marks are typed."""
    folder = tmp_path_factory.mktemp("form") / "CLASS"
    shutil.copytree(marked_class.path, folder)
    return ClassFolder(folder)


@pytest.fixture(scope="module")
def formgrader(form_class: ClassFolder, tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """nbgrader's form, started in the class folder as the guide says; its address with the key."""
    home = tmp_path_factory.mktemp("server")
    ports = home / "runtime"
    env = {**surroundings(home), "JUPYTER_RUNTIME_DIR": str(ports)}
    command = [sys.executable, "-m", "jupyterlab", "--no-browser", "--ServerApp.port=0", "--ServerApp.token=key"]
    command += ["--ServerApp.open_browser=False"]
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        command.append("--allow-root")
    log = (home / "log").open("w")
    process = subprocess.Popen(command, cwd=form_class.path, env=env, stdout=log, stderr=subprocess.STDOUT)
    try:
        yield _address(process, ports, home / "log")
    finally:
        process.terminate()
        process.wait(20)
        log.close()


def _address(process: subprocess.Popen[bytes], ports: Path, log: Path) -> str:
    for _ in range(600):
        assert process.poll() is None, log.read_text(encoding="utf-8")
        for path in ports.glob("jpserver-*.json"):
            try:
                address = json.loads(path.read_text(encoding="utf-8"))["url"].replace("localhost", "127.0.0.1")
                with urllib.request.urlopen(f"{address}api?token=key"):
                    return str(address)
            except (OSError, ValueError):
                pass
        time.sleep(0.1)
    pytest.fail(log.read_text(encoding="utf-8"))


@pytest.fixture
def form(page: Any, formgrader: str) -> str:
    """The address, for a page that may come in."""
    page.set_extra_http_headers({"Authorization": "token key"})
    return f"{formgrader}formgrader"


def _submission(folder: ClassFolder, student: str) -> str:
    from nbgrader.api import Gradebook

    with Gradebook(f"sqlite:///{folder.path / 'gradebook.db'}") as book:
        return str(book.find_submission_notebook("ex03", "ex03", student).id)


@pytest.mark.parametrize("student", HOSTILE)
def test_the_form_runs_nothing_of_a_student(page: Any, form: str, form_class: ClassFolder, student: str) -> None:
    page.goto(f"{form}/submissions/{_submission(form_class, student)}/")
    page.locator("#why").wait_for()
    untouched(page)
    assert "excursion" in page.locator("#notebook-container").last.inner_text()
    if student == "s02":
        assert SCRIPT in page.locator("#notebook-container").last.inner_text()  # it is there to be read


def test_the_lists_of_the_form_run_nothing_and_show_names(page: Any, form: str) -> None:
    for place in ("manage_students", "gradebook/ex03/ex03", "manage_submissions/ex03"):
        page.goto(f"{form}/{place}")
        page.wait_for_load_state("networkidle")
        untouched(page)
    page.goto(f"{form}/manage_students")
    page.get_by_text("Lima, Ana").wait_for()


def test_a_person_marks_in_the_form_and_it_stays(
    page: Any, form: str, form_class: ClassFolder, gradebook: Callable[..., Any]
) -> None:
    assert gradebook(form_class)["s04"]["why"]["manual_score"] is None
    page.goto(f"{form}/submissions/{_submission(form_class, 's04')}/")
    page.wait_for_load_state("networkidle")
    with page.expect_response(lambda one: "/api/grade/" in one.url and one.request.method == "PUT"):
        page.locator("#why").press_sequentially("2.5")
        page.locator("#why").blur()
    with page.expect_response(lambda one: "/api/comment/" in one.url and one.request.method == "PUT"):
        page.locator("#why-comment").press_sequentially("Which way does it run?")
        page.locator("#why-comment").blur()
    enter_marks(form_class, "ex03")
    cell = gradebook(form_class)["s04"]["why"]
    assert (cell["manual_score"], cell["needs_manual_grade"]) == (2.5, False)
    assert cell["manual_comment"] == "Which way does it run?"


def test_stock_marking_too_brings_no_markup_of_a_student_into_the_form(
    page: Any, form: str, form_class: ClassFolder
) -> None:
    """A notebook that nbgrader itself made, with what the student had stored in it."""
    path = form_class.path / "autograded" / "s07" / "ex03" / "ex03.ipynb"
    before = path.read_text(encoding="utf-8")
    stored = json.loads(before)
    output = {"output_type": "display_data", "metadata": {}, "data": {"text/html": SCRIPT, "text/plain": "plain words"}}
    script = {**output, "data": {"application/javascript": "window.hit = 1", "text/plain": "more words"}}
    mark = {"cell_type": "markdown", "id": "hers", "metadata": {}, "source": f"Look: {SCRIPT} [a](javascript:alert(1))"}
    code = {"cell_type": "code", "id": "too", "metadata": {}, "source": "", "outputs": [output, script]}
    raw = {"cell_type": "raw", "id": "raw", "metadata": {}, "source": SCRIPT}
    stored["cells"] += [mark, {**code, "execution_count": None}, raw]
    path.write_text(json.dumps(stored), encoding="utf-8")
    try:
        page.goto(f"{form}/submissions/{_submission(form_class, 's07')}/")
        page.get_by_text("plain words").wait_for()
        untouched(page)
    finally:
        path.write_text(before, encoding="utf-8")
