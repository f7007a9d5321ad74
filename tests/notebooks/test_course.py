"""Every notebook of the course runs from a fresh kernel, prints with its pictures, and is stored clean."""

from __future__ import annotations

import os
import re
from pathlib import Path

import nbformat
import pytest

ROOT = Path(__file__).resolve().parents[2]
COURSE = ROOT / "course"
NOTEBOOKS = sorted(COURSE.glob("*.ipynb"))


def _name(path: Path) -> str:
    return path.stem


@pytest.fixture(scope="module", params=NOTEBOOKS, ids=_name)
def stored(request: pytest.FixtureRequest) -> Path:
    """One notebook of the course."""
    return request.param  # type: ignore[no-any-return]


@pytest.fixture(scope="module")
def executed(stored: Path, tmp_path_factory: pytest.TempPathFactory) -> nbformat.NotebookNode:
    """The notebook after all cells have run in a kernel of their own."""
    from nbclient import NotebookClient

    notebook = nbformat.read(stored, as_version=4)
    before = os.environ.get("PYTHONPATH", "")
    os.environ["PYTHONPATH"] = os.pathsep.join(filter(None, [str(ROOT), before]))
    try:
        client = NotebookClient(
            notebook,
            timeout=180,
            kernel_name="python3",
            store_widget_state=False,
            resources={"metadata": {"path": str(tmp_path_factory.mktemp("run"))}},
        )
        client.execute()
    finally:
        os.environ["PYTHONPATH"] = before
    return notebook


def test_runs_without_error_or_warning(executed: nbformat.NotebookNode) -> None:
    """No cell fails, and nothing is written to the error stream."""
    for cell in executed.cells:
        for output in cell.get("outputs", []):
            assert output.output_type != "error", cell.source
            assert not (output.output_type == "stream" and output.name == "stderr"), output.get("text")
            data = output.get("data", {})
            assert "Traceback" not in str(data) + str(output.get("text", "")), cell.source


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


def test_cells_that_a_student_sees_are_short(stored: Path) -> None:
    """Program text of a lesson reads like prose: few lines, none of them long."""
    for cell in nbformat.read(stored, as_version=4).cells:
        if cell.cell_type == "code":
            lines = cell.source.splitlines()
            assert len(lines) <= 12, cell.id
            assert max(map(len, lines), default=0) <= 120, cell.id
