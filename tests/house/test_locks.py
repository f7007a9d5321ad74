"""The locks: a hash on every requirement, no address, all of one cut, and all that is declared."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

LOCKS = ("requirements.txt", "requirements-class.txt", "requirements-cluster.txt", "requirements-test.txt")
PINNED = re.compile(r"(?P<name>[a-z0-9-]+)==(?P<version>\S+)(?: ; (?P<marker>[^\\]+?))?")


def requirements(root: Path, lock: str) -> dict[str, list[str]]:
    """Read a lock: what is pinned (name, version, marker) and the hashes of each."""
    found = {}
    for entry in (root / lock).read_text().replace("\\\n", " ").splitlines():
        pinned, *hashes = re.split(r"\s+--hash=", entry.strip())
        found[pinned.strip()] = hashes
    return found


def names(root: Path, lock: str) -> set[str]:
    return {pinned.split("==")[0] for pinned in requirements(root, lock)}


def declared(root: Path, *extras: str) -> set[str]:
    project = tomllib.loads((root / "pyproject.toml").read_text())
    lines = list(project["project"]["dependencies"]) + list(project["build-system"]["requires"])
    for extra in extras:
        lines += project["project"]["optional-dependencies"][extra]
    found = {re.split(r"[<>=~!\[ ]", line)[0].lower().replace("_", "-") for line in lines}
    return found - {"controlkit"}


@pytest.mark.parametrize("lock", LOCKS)
def test_every_requirement_is_pinned_and_hashed(root: Path, lock: str) -> None:
    found = requirements(root, lock)
    assert len(found) > 80
    for pinned, hashes in found.items():
        assert PINNED.fullmatch(pinned), pinned
        assert hashes, f"{pinned} has no hash"
        assert all(re.fullmatch(r"sha256:[0-9a-f]{64}", one) for one in hashes), pinned


@pytest.mark.parametrize("lock", LOCKS)
def test_no_address_and_no_comment(root: Path, lock: str) -> None:
    text = (root / lock).read_text()
    for unwanted in ("://", "file:", "#", " @ ", "--index", "--extra", "--find", "--trusted"):
        assert unwanted not in text, unwanted


def test_all_that_is_declared_is_locked(root: Path) -> None:
    assert declared(root) <= names(root, "requirements.txt")
    assert declared(root, "class") <= names(root, "requirements-class.txt")
    assert declared(root, "class", "cluster") <= names(root, "requirements-cluster.txt")
    assert declared(root, "class", "cluster", "test") <= names(root, "requirements-test.txt")


def test_the_locks_are_of_one_cut(root: Path) -> None:
    student, instructor, cluster, test = (
        {pinned.split(" ;")[0] for pinned in requirements(root, lock)} for lock in LOCKS
    )
    assert student <= instructor <= cluster <= test


def test_the_students_install_stays_small(root: Path) -> None:
    """What only an instructor or a developer needs is not in it."""
    only_others = {"nbgrader", "pytest", "playwright", "mypy", "mujoco", "sympy", "torch", "docker", "sphinx"}
    assert not only_others & names(root, "requirements.txt")
