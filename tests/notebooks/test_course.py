"""Every notebook of the course runs as a student has it, prints with its pictures, and is stored clean."""

from __future__ import annotations

import re
from collections.abc import Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from pathlib import Path

import nbformat
import pytest

from controlkit.labs.frame import Lab
from tests.installed import Student, build_wheel, install
from tests.notebooks.walked import TRIED, Walk, walk

ROOT = Path(__file__).resolve().parents[2]
COURSE = ROOT / "course"
NOTEBOOKS = sorted(COURSE.glob("*.ipynb"))
LESSONS = [path for path in NOTEBOOKS if path.stem[:2].isdigit()]
RHYTHM = (
    "A person and a task", "Predict", "Explore", "Your predictions", "Explain", "Try", "Take away", "At the bench",
    "Care", "Sources",
)  # fmt: skip
"""The headings that every lesson has, in this order."""


def _name(path: Path) -> str:
    return path.stem


@pytest.fixture(scope="module", params=NOTEBOOKS, ids=_name)
def stored(request: pytest.FixtureRequest) -> Path:
    """One notebook of the course."""
    return request.param  # type: ignore[no-any-return]


@pytest.fixture(scope="module")
def student(tmp_path_factory: pytest.TempPathFactory) -> Student:
    return install(build_wheel(tmp_path_factory.mktemp("wheel")), tmp_path_factory.mktemp("student"))


@pytest.fixture(scope="module")
def runs(request: pytest.FixtureRequest, student: Student) -> Iterator[dict[Path, Future[Walk]]]:
    """Every notebook that a test of this run asks for, installed, executed once, two kernels at a time."""
    asked = {
        item.callspec.params["stored"]  # type: ignore[attr-defined]
        for item in request.session.items
        if item.path == request.path and "walked" in getattr(item, "fixturenames", ())
    }
    course = student.lay_out() / "course"
    assert {path.name for path in course.glob("*.ipynb")} == {path.name for path in NOTEBOOKS}
    with ThreadPoolExecutor(2) as pool:
        try:
            yield {path: pool.submit(_execute, path, course, student.env) for path in sorted(asked)}
        finally:
            pool.shutdown(cancel_futures=True)


def _execute(stored: Path, course: Path, env: dict[str, str]) -> Walk:
    """Run all cells of what was laid out for a page in order, in a kernel of their own."""
    laid_out = course / stored.name
    assert laid_out.read_bytes() == stored.read_bytes()
    return walk(nbformat.read(laid_out, as_version=4), course, env, TRIED.get(stored.stem[:2], {}))


@pytest.fixture(scope="module")
def walked(stored: Path, runs: dict[Path, Future[Walk]]) -> Walk:
    """The notebook run from top to bottom in a fresh kernel, by somebody who does what it asks where it stops."""
    return runs[stored].result()


@pytest.fixture(scope="module")
def executed(walked: Walk) -> nbformat.NotebookNode:
    """The notebook after all cells have run in a fresh kernel."""
    return walked.page


def test_pages_run_with_the_installed_package(student: Student) -> None:
    page = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell("import controlkit\ncontrolkit.__file__")])
    with ThreadPoolExecutor(1) as pool:  # a browser of other tests may keep a loop of its own in this thread
        (output,) = pool.submit(walk, page, student.home, student.env, {}).result().page.cells[0].outputs
    assert str(student.home / "site" / "controlkit") in output.data["text/plain"]


def test_runs_without_error_or_warning(executed: nbformat.NotebookNode) -> None:
    """No cell fails, and nothing is written to the error stream."""
    for cell in executed.cells:
        for output in cell.get("outputs", []):
            assert output.output_type != "error", cell.source
            assert not (output.output_type == "stream" and output.name == "stderr"), output.get("text")
            data = output.get("data", {})
            assert "Traceback" not in str(data) + str(output.get("text", "")), cell.source


def test_running_all_stops_where_something_is_missing_and_says_so(stored: Path, walked: Walk) -> None:
    """At the prediction, then at the first empty answer; one sentence or two each, and nothing of a program."""
    if stored not in LESSONS:
        assert walked.stops == ()
        return
    assert [stop.cell for stop in walked.stops] == ["go-on", "try-check"]
    for stop, words in zip(
        walked.stops, ("The page waits here for your prediction", "in place of the three dots"), strict=True
    ):
        (printed,) = stop.printed
        assert words in printed
        assert not re.search(r"Error|Traceback|\n|\x1b", printed)


def test_what_was_answered_is_laid_beside_the_model(stored: Path, executed: nbformat.NotebookNode) -> None:
    """Every prediction is decided; the answers worked by hand are right."""
    if stored not in LESSONS:
        pytest.skip("no lesson")
    cells = {cell.id: cell for cell in executed.cells}
    table = str(cells["go-on"].outputs)
    assert "the model says" in table
    assert "not decided here" not in table
    said = "".join(output.text for output in cells["try-check"].outputs)
    assert said.count("Yes, ") == len(TRIED[stored.stem[:2]]) == len(said.splitlines())


@pytest.mark.parametrize("lesson", LESSONS, ids=_name)
def test_the_lab_opens_by_its_cell_alone(lesson: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """As on the next day, in a fresh kernel, with no other cell run."""
    monkeypatch.chdir(tmp_path)
    source = next(cell.source for cell in nbformat.read(lesson, as_version=4).cells if cell.id == "lab")
    assert len(source.splitlines()) <= 6
    there: dict[str, object] = {}
    exec(source, there)
    assert isinstance(there["lab"], Lab)
    assert there["lab"].predictions
    assert source.splitlines()[-1] == "lab"


@pytest.mark.parametrize("lesson", LESSONS, ids=_name)
def test_program_text_is_folded_but_for_labs_and_what_is_written(lesson: Path) -> None:
    """A cell is open that a student writes into, that opens the lab, or that shows whom the lesson is about."""
    cells = [cell for cell in nbformat.read(lesson, as_version=4).cells if cell.cell_type == "code"]
    open_ids = [cell.id for cell in cells if not cell.metadata.get("jupyter", {}).get("source_hidden")]
    assert set(open_ids) - {"lab", "try-answer", "bench-table", "thoughts"} == set(), lesson.stem
    assert {"lab", "try-answer", "bench-table"} <= set(open_ids)


def test_no_answer_is_written_in_markdown(stored: Path) -> None:
    """A double click leaves the keyboard to the page, and what is typed becomes commands."""
    for cell in nbformat.read(stored, as_version=4).cells:
        assert "double-click" not in cell.source.casefold(), cell.id


def test_stored_without_outputs_and_with_lasting_ids(stored: Path) -> None:
    """What is stored is text: no outputs, no counters, ids that say what a cell is."""
    notebook = nbformat.read(stored, as_version=4)
    nbformat.validate(notebook)
    assert notebook.metadata.kernelspec.name == "python3"
    assert "version" not in notebook.metadata.get("language_info", {})
    ids = [cell.id for cell in notebook.cells]
    assert len(set(ids)) == len(ids)
    for cell in notebook.cells:
        assert re.fullmatch(r"[a-z0-9-]{3,40}", cell.id), cell.id
        if cell.cell_type == "code":
            assert not cell.outputs
            assert cell.execution_count is None


def test_prints_with_its_pictures(executed: nbformat.NotebookNode, stored: Path) -> None:
    """As HTML every picture stands still in its place, described, with nothing to fetch for it."""
    from nbconvert import HTMLExporter

    page, _ = HTMLExporter(embed_images=True).from_notebook_node(executed)
    if any(re.search(r"_lab\(", cell.source) for cell in executed.cells if cell.cell_type == "code"):
        assert "This setting in one line" not in page, "the live lab cannot be printed"
        assert "<p>Setting: " in page
    drawn = [tag for tag in re.findall(r"<svg[^>]*>", page) if 'role="img"' in tag]
    pictures = [re.search(r'aria-labelledby="([^"]+)"', tag)[1] for tag in drawn]  # type: ignore[index]
    shown = [c for c in executed.cells if c.cell_type == "code" and re.search(r"_scene\(|^lab$", c.source, re.M)]
    assert len(pictures) >= len(shown)
    for names in pictures:
        for name in names.split():
            assert page.count(f'id="{name}"') == 1, f"{stored.name}: {name}"


def test_links_lead_somewhere(stored: Path) -> None:
    """Every relative link of the text has a file at its end."""
    notebook = nbformat.read(stored, as_version=4)
    for cell in notebook.cells:
        if cell.cell_type != "markdown":
            continue
        for target in re.findall(r"\]\(([^)#\s]+)", cell.source):
            if not target.startswith(("http:", "https:", "attachment:")):
                assert (COURSE / target).exists(), target


@pytest.mark.parametrize("lesson", LESSONS, ids=_name)
def test_a_lesson_has_its_rhythm(lesson: Path) -> None:
    """Person, prediction, lab with its tasks, explanation, check, take-away, bench, care, sources."""
    cells = nbformat.read(lesson, as_version=4).cells
    text = {cell.id: cell.source for cell in cells}
    heads = re.findall(r"^##+ (.+)$", "\n".join(c.source for c in cells if c.cell_type == "markdown"), re.MULTILINE)
    assert [head for head in heads if head in RHYTHM] == list(RHYTHM)
    order = [
        name for name in text if name in ("predict", "explore", "lab", "tasks", "go-on", "try-answer", "try-check")
    ]
    assert order == ["predict", "explore", "lab", "tasks", "go-on", "try-answer", "try-check"]
    assert re.search(r"buttons?\b", text["predict"])
    assert re.search(r"^go_on\(lab, \"", text["go-on"], re.MULTILINE)
    asked = re.findall(r"^(\d)\. ", text["tasks"], re.MULTILINE)
    assert asked == list("1234")[: len(asked)]
    assert len(asked) in (2, 3, 4)
    answers = re.findall(r"^(\w+) = \.\.\.$", text["try-answer"], re.MULTILINE)
    assert answers == re.findall(r"try_it\((\w+),", text["try-check"])
    assert set(answers) == set(TRIED[lesson.stem[:2]])
    number = int(lesson.stem[:2])
    assert f"(../exercises/ex{number:02}/ex{number:02}.ipynb)" in text["take-away"]
    assert f"(bench-sheets/{lesson.stem}.html)" in text["bench"]
    assert "read_bench(" in text["bench-table"]
    assert "licensed" in text["care"]
    if "Wearer" in "\n".join(text.values()):
        assert "military adults" in text["sources"]


@pytest.mark.parametrize("lesson", LESSONS, ids=_name)
def test_a_lesson_is_read_in_an_hour(lesson: Path) -> None:
    """What only the curious need is folded: ten pages of a book are left, of which a third is to be done."""
    text = "\n".join(c.source for c in nbformat.read(lesson, as_version=4).cells if c.cell_type == "markdown")
    assert text.count("<details>") == text.count("</details>") == len(re.findall("<summary>.+</summary>", text)) > 0
    assert 1000 < len(re.sub(r"<details>.*?</details>", "", text, flags=re.DOTALL).split()) < 2500


def test_the_start_page_leads_to_every_page() -> None:
    """Lessons with their exercises and bench sheets, and the pages to look things up."""
    text = "\n".join(cell.source for cell in nbformat.read(COURSE / "index.ipynb", as_version=4).cells)
    linked = set(re.findall(r"\]\(([^)#\s]+)", text))
    pages = {path.name for path in NOTEBOOKS if path.stem != "index"}
    sheets = {f"bench-sheets/{path.stem}.html" for path in LESSONS}
    exercises = {f"../exercises/ex{path.stem[:2]}/ex{path.stem[:2]}.ipynb" for path in LESSONS}
    assert pages | sheets | exercises <= linked


def test_cells_that_a_student_sees_are_short(stored: Path) -> None:
    """Program text of a lesson reads like prose: few lines, none of them long."""
    for cell in nbformat.read(stored, as_version=4).cells:
        if cell.cell_type == "code":
            lines = cell.source.splitlines()
            assert len(lines) <= 12, cell.id
            assert max(map(len, lines), default=0) <= 120, cell.id
