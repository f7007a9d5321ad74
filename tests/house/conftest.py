"""The checkout, its files, and running a program in it."""

from __future__ import annotations

import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

HERE = Path(__file__).resolve().parents[2]
NOT_OURS = {".git", ".venv", ".venv-test", "my-course", "build", "dist", "node_modules"}


@pytest.fixture(scope="session")
def root() -> Path:
    """The folder of the checkout."""
    return HERE


@pytest.fixture(scope="session")
def files() -> list[Path]:
    """Every file of the project: what git tracks, or what is there if the checkout came without git."""
    if (HERE / ".git").exists():
        listed = subprocess.run(
            ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
            cwd=HERE,
            capture_output=True,
            check=True,
        )
        names = [HERE / name for name in listed.stdout.decode().split("\0") if name]
        return [path for path in names if path.is_file()]
    return [
        path
        for path in HERE.rglob("*")
        if path.is_file()
        and not any(
            part in NOT_OURS or part.endswith(("_cache", "__pycache__")) for part in path.relative_to(HERE).parts
        )
    ]


@pytest.fixture(scope="session")
def run() -> Callable[..., subprocess.CompletedProcess[str]]:
    """Run a program in the checkout and hand back what it said."""

    def run(*words: str | Path, cwd: Path = HERE, **more: object) -> subprocess.CompletedProcess[str]:
        return subprocess.run(  # type: ignore[call-overload,no-any-return]
            [str(word) for word in words], cwd=cwd, text=True, capture_output=True, timeout=600, **more
        )

    return run
