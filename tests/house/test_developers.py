"""What DEVELOPERS.md names is there: files, and names in the files that are said to hold them."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

FILE = re.compile(r"`([\w./-]+\.(?:py|js|json|toml|md|ipynb|png|css))`")
NAME = re.compile(r"`([A-Za-z_][\w.]*)`")
HELD = (
    re.compile(r"`(?P<name>\w+)` (?:in|of) `(?P<file>[\w./]+\.py)`"),
    re.compile(r"`(?P<file>[\w./]+\.py)` \(`(?P<name>\w+)`"),
)
STANDS_FOR_ANY = ("NN-name", "exNN", "_NN_")
WRITTEN_LATER = {"lab-notes.json"}


@pytest.fixture(scope="module")
def page(root: Path) -> str:
    """The page without its blocks of commands."""
    text = (root / "DEVELOPERS.md").read_text(encoding="utf-8")
    return re.sub(r"```.*?```", "", text, flags=re.DOTALL)


@pytest.fixture(scope="module")
def paths(root: Path, files: list[Path]) -> list[str]:
    return ["/" + path.relative_to(root).as_posix() for path in files]


def missing(page: str, paths: list[str]) -> list[str]:
    """Files that the page names and that are nowhere."""
    named = {one for one in FILE.findall(page) if not any(each in one for each in STANDS_FOR_ANY)} - WRITTEN_LATER
    return sorted(one for one in named if not any(path.endswith("/" + one) for path in paths))


def not_held(page: str, root: Path, paths: list[str]) -> list[str]:
    """Names that are not in the file, or in none of the files of that name, in which the page says that they stand."""
    found = []
    for pair in HELD:
        for one in pair.finditer(page):
            there = [root / path[1:] for path in paths if path.endswith("/" + one["file"])]
            if not any(re.search(rf"\b{one['name']}\b", path.read_text(encoding="utf-8")) for path in there):
                found.append(f"{one['name']} in {one['file']}")
    return found


def test_every_file_that_is_named_is_there(page: str, paths: list[str]) -> None:
    assert len(FILE.findall(page)) > 150
    assert missing(page, paths) == []


def test_every_name_stands_in_the_file_that_is_named_with_it(page: str, root: Path, paths: list[str]) -> None:
    assert sum(len(pair.findall(page)) for pair in HELD) >= 10
    assert not_held(page, root, paths) == []


def test_every_name_is_used_somewhere(page: str, root: Path, files: list[Path]) -> None:
    texts = (path.read_text(encoding="utf-8") for path in files if path.suffix in {".py", ".js", ".toml", ".ipynb"})
    words = {word for text in texts for word in re.findall(r"\w+", text)}
    names = {one.rpartition(".")[2] for one in NAME.findall(page) if not FILE.fullmatch(f"`{one}`")}
    assert len(names) > 80
    assert sorted(name for name in names - words if "exNN" not in name) == []


def test_what_is_not_there_is_found(root: Path, paths: list[str]) -> None:
    page = "`labs/nowhere.py`, `labs/frame.py` (`Nothing`), `Lab` in `labs/frame.py`, `LABS` of `labs/frame.py`"
    assert missing(page, paths) == ["labs/nowhere.py"]
    assert not_held(page, root, paths) == ["LABS in labs/frame.py", "Nothing in labs/frame.py"]
