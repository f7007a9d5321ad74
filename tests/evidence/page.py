"""What the page of evidence tells, gathered from the rows, the tests and the places that use a value.

`python -m tests.evidence.page` writes it anew, in some minutes: it runs the tests of this folder and watches them.
"""

from __future__ import annotations

import ast
import json
import sys
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Any

import nbformat
import pytest

from controlkit.sources import all_sources
from tests.evidence.agreement import writing

ROOT = Path(__file__).resolve().parents[2]
PACKAGE, COURSE = ROOT / "controlkit", ROOT / "course"
PAGE = PACKAGE / "sources" / "evidence.json"
ROWS = ROOT / "tests" / "evidence" / "rows"
FATES = ("tested", "range", "declined")


class Writer:
    """Gathers what the tests of this folder set beside printed numbers."""

    def __init__(self) -> None:
        self.tests: dict[str, tuple[int, float]] = {}

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Add up a test's parameters."""
        if report.when == "teardown":
            for name, compared, off in (said for key, said in report.user_properties if key == "agreement"):
                before = self.tests.get(name, (0, 0.0))
                self.tests[name] = (before[0] + compared, max(before[1], off))


def name_of(nodeid: str) -> str:
    """A test as the rows name it: file below ``tests``, and function."""
    return nodeid.removeprefix("tests/").partition("[")[0]


@cache
def noted() -> Mapping[str, Any]:
    """The page's data as they stand."""
    data: Mapping[str, Any] = json.loads(PAGE.read_text(encoding="utf-8"))
    return data


def noted_tests() -> Mapping[str, Sequence[Any]]:
    """How near each test came when the page was written."""
    tests: Mapping[str, Sequence[Any]] = noted()["tests"]
    return tests


def subjects() -> dict[str, list[dict[str, Any]]]:
    """All that the page tells of published values, without running a test."""
    found = {
        path.stem: [
            {"about": section["about"], "rows": [_row(row) for key, row in section.items() if key != "about"]}
            for section in _toml(path).values()
        ]
        for path in sorted(ROWS.glob("*.toml"))
        if path.stem != "records"
    }
    return found | {"model": [{"about": "What sets the model, or stands beside it", "rows": list(_inputs())}]}


def practice() -> Iterator[dict[str, Any]]:
    """Statements of practice and the package's answers; slow, for it computes them."""
    from tests.evidence import practice as single
    from tests.evidence import test_dual_control as dual
    from tests.evidence import test_pair_practice as pair

    for name, row in single.ROWS.items():
        answers = [single.model(name, who, side) for who in single.asked_of(name) for side in single.SIDES]
        says = f"{row['says']} [{row['unit']}]"
        yield _beside(says, row["flag"], (row["low"], row["high"]), answers, row.get("outside", ""))
    for said in (*dual.ROWS.values(), *pair.ROWS.values()):
        answers = [said.model(sex) for sex in dual.SEXES]
        yield _beside(said.says, said.flag, (said.low, said.high), answers, said.outside)


def written(tests: Mapping[str, Sequence[Any]]) -> str:
    """The page's data as text."""
    told_of = subjects()
    named = {test for part in told_of.values() for section in part for row in section["rows"] for test in row["tests"]}
    kept = sorted(name for name, (compared, _) in tests.items() if compared or name in named)
    told = {name: [tests[name][0], float(f"{tests[name][1]:.2g}")] for name in kept}
    data = {"subjects": told_of, "tests": told, "practice": list(practice())}
    return json.dumps(data, ensure_ascii=False, indent=1) + "\n"


def _toml(path: Path) -> dict[str, Any]:
    return tomllib.loads(path.read_text(encoding="utf-8"))


def _row(row: Mapping[str, Any]) -> dict[str, Any]:
    fate = next(fate for fate in FATES if fate in row)
    tests = row["tested"] if fate == "tested" else []
    return _told(
        what=row["is"],
        values=row.get("sources", []),
        fate=fate,
        why="" if fate == "tested" else row[fate],
        leaves_out=row.get("but", ""),
        tests=[tests] if isinstance(tests, str) else tests,
    )


def _inputs() -> Iterator[dict[str, Any]]:
    records = _toml(Path(str(resources.files("controlkit.sources") / "citations.toml")))
    for key, what in _toml(ROWS / "records.toml")["values"].items():
        values = [value.id for value in all_sources() if value.citation == records[key]]
        yield _told(what=what, values=values, fate="input")


def _told(**row: Any) -> dict[str, Any]:
    """A row with the places that use one of its values."""
    used = [(kind, place) for kind, place, words in _places() if words & set(row["values"])]
    places = {kind: sorted({place for found, place in used if found == kind}) for kind in ("lessons", "rooms")}
    return {"why": "", "leaves_out": "", "tests": []} | row | places


@cache
def _places() -> tuple[tuple[str, Any, frozenset[str]], ...]:
    """Lessons and parts of the package, each with the words that its program text holds."""
    lessons = [
        ("lessons", int(path.name[:2]), _words("\n".join(_code(path)))) for path in sorted(COURSE.glob("[0-9][0-9]-*"))
    ]
    files = [path for path in sorted(PACKAGE.rglob("*.py")) if "sources" not in path.relative_to(PACKAGE).parts]
    rooms = [("rooms", _room(path.relative_to(PACKAGE)), _words(path.read_text(encoding="utf-8"))) for path in files]
    return (*lessons, *rooms)


def _code(path: Path) -> Iterator[str]:
    for cell in nbformat.read(path, as_version=4).cells:
        if cell.cell_type == "code":
            yield cell.source


def _words(program: str) -> frozenset[str]:
    """Its texts; an example in a docstring is part of a longer one."""
    constants = [node.value for node in ast.walk(ast.parse(program)) if isinstance(node, ast.Constant)]
    return frozenset(value for value in constants if isinstance(value, str))


def _room(path: Path) -> str:
    return path.parent.as_posix() if len(path.parts) > 1 else path.stem


def _beside(
    says: str, flag: str, bounds: tuple[float, float], answers: Sequence[float], outside: str
) -> dict[str, Any]:
    low, high, least, most = (float(f"{value:.4g}") for value in (*bounds, min(answers), max(answers)))
    ends = {"low": low, "high": high, "least": least, "most": most}
    return {"says": says, "flag": flag, **ends, "outside": outside}


def main() -> int:
    """Run the tests of this folder, watched, and write the page's data."""
    writer = Writer()
    writing.set()
    command = ["-q", "-p", "no:cacheprovider", "-n", "0", str(ROOT / "tests" / "evidence")]
    sys.stdout.write("The tests of this folder are run and watched ...\n")
    gathered = pytest.main([*command, "--deselect", "tests/evidence/test_page.py"], plugins=[writer])
    sys.stdout.write("Now what practice says, computed ...\n")
    PAGE.write_text(written(writer.tests), encoding="utf-8")
    return int(gathered)


if __name__ == "__main__":
    sys.exit(main())
