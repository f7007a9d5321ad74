"""The house's own rules: style, types, and imports that go down the floors only."""

from __future__ import annotations

import shutil
import sys
from pathlib import Path

import pytest

BIN = Path(sys.executable).parent


def test_style(root, run) -> None:
    done = run(sys.executable, "-m", "ruff", "check", "--no-cache", ".")
    assert done.returncode == 0, done.stdout


def test_layout_of_the_code(root, run) -> None:
    done = run(sys.executable, "-m", "ruff", "format", "--no-cache", "--check", "--diff", ".")
    assert done.returncode == 0, f"run `ruff format`\n{done.stdout}"


def test_style_looks_at_every_file_but_what_is_generated(root, run, files) -> None:
    """A folder left out by its name alone is left out wherever one of that name stands."""
    done = run(sys.executable, "-m", "ruff", "check", "--no-cache", "--show-files", ".")
    looked_at = {Path(line).resolve() for line in done.stdout.splitlines()}
    ours = {path for path in files if path.suffix == ".py" and path.relative_to(root).parts[0] != "exercises"}
    assert len(ours) > 500
    assert sorted(str(path.relative_to(root)) for path in ours - looked_at) == []


def test_types(root, run) -> None:
    done = run(sys.executable, "-m", "mypy")
    assert done.returncode == 0, done.stdout


def test_imports_go_down_the_floors(root, run) -> None:
    done = run(BIN / "lint-imports", "--no-cache")
    assert done.returncode == 0, done.stdout


@pytest.mark.parametrize(
    ("lower", "line"),
    [
        ("mechanics", "import controlkit.draw"),
        ("mechanics", "import matplotlib"),
        ("draw", "import controlkit.checking"),
        ("draw/page", "import controlkit.draw.ink"),
        ("draw/words", "import controlkit.draw.charts"),
        ("draw/charts", "import controlkit.draw.wearer"),
        ("draw/device", "import controlkit.draw.charts"),
        ("draw/wearer", "import controlkit.draw.ink"),
        ("checking", "import controlkit.draw"),
        ("labs", "import controlkit.classroom"),
        ("units", "import controlkit.mechanics"),
        ("executors", "import controlkit.mechanics"),
        ("exercises", "import controlkit.labs"),
        ("benchtable", "import controlkit.draw"),
        ("mechanics/surface", "import controlkit.mechanics.body"),
        ("mechanics/body", "import controlkit.mechanics.harness"),
        ("mechanics/harness", "import controlkit.mechanics.cable"),
        ("mechanics/device", "import controlkit.mechanics.chain"),
        ("mechanics/chain", "import controlkit.mechanics.bench"),
        ("mechanics/sequence", "import controlkit.mechanics.bench"),
        ("mechanics/bench", "import controlkit.mechanics.study"),
    ],
)
def test_an_import_that_goes_up_is_caught(tmp_path: Path, root, run, lower: str, line: str) -> None:
    shutil.copytree(root / "controlkit", tmp_path / "controlkit", ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(root / "pyproject.toml", tmp_path)
    (tmp_path / "controlkit" / lower / "_climbs.py").write_text(line + "\n")
    done = run(BIN / "lint-imports", "--no-cache", cwd=tmp_path)
    assert done.returncode == 1, done.stdout
    assert "_climbs" in done.stdout
