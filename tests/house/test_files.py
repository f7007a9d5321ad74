"""What may stand in a file of the project."""

from __future__ import annotations

import io
import json
import re
import tokenize
from pathlib import Path

import nbformat

from controlkit.classroom.begin import LICENCE

TEXT = {".py", ".md", ".toml", ".yml", ".ipynb", ".js", ".css", ".json", ".txt", ""}
SHORT = {".py", ".js", ".css", ".md"}
LONGEST = 400
# Written in parts, so that this file does not find itself.
FOLDERS = "|".join(("work", "opt", "tmp", "root", "home", "Users", "farm"))
MACHINE = re.compile(rf"(?<![\w.:/])/(?:{FOLDERS})/\w|[A-Z]:\\\\?Users")
INDEX = re.compile(
    "|".join(
        (
            "py" + r"pi\.org",
            "pythonhosted" + r"\.org",
            "npm" + r"js\.",
            "(?<!emit-)index" + "-url ",
            "(?<!emit-)find" + "-links ",
        )
    )
)
FAIL_LATER = re.compile("|".join(("TO" + "DO", "FIX" + "ME", "coming " + "soon", "lorem " + "ipsum")), re.IGNORECASE)


def texts(files: list[Path]) -> list[tuple[Path, str]]:
    return [(path, path.read_text(encoding="utf-8")) for path in files if path.suffix in TEXT]


def hits(files: list[Path], pattern: re.Pattern[str]) -> list[str]:
    return [
        f"{path.name}:{number}: {line.strip()[:100]}"
        for path, text in texts(files)
        for number, line in enumerate(text.splitlines(), 1)
        if pattern.search(line)
    ]


def test_no_path_of_a_machine(files: list[Path]) -> None:
    assert hits(files, MACHINE) == []


def test_no_address_of_a_package_index(files: list[Path]) -> None:
    assert hits(files, INDEX) == []


def test_nothing_is_left_for_later(files: list[Path]) -> None:
    assert hits(files, FAIL_LATER) == []


def lines_of_code(source: str) -> int:
    """Count the lines of a Python file without docstrings, comments and what is empty."""
    counted: set[int] = set()
    statement: list[tokenize.TokenInfo] = []
    layout = {tokenize.COMMENT, tokenize.NL, tokenize.INDENT, tokenize.DEDENT, tokenize.ENDMARKER}
    for token in tokenize.generate_tokens(io.StringIO(source).readline):
        if token.type == tokenize.NEWLINE:
            if any(one.type != tokenize.STRING for one in statement):  # text alone is a docstring
                counted.update(row for one in statement for row in range(one.start[0], one.end[0] + 1))
            statement = []
        elif token.type not in layout:
            statement.append(token)
    return len(counted)


def lengths(root: Path, files: list[Path]) -> dict[str, int]:
    """How long each file is that should be short, by its path: two folders may hold files of one name."""
    return {
        path.relative_to(root).as_posix(): lines_of_code(text) if path.suffix == ".py" else text.count("\n")
        for path, text in texts(files)
        if path.suffix in SHORT
    }


def test_no_long_file(root: Path, files: list[Path]) -> None:
    found = lengths(root, files)
    assert len(found) == sum(path.suffix in SHORT for path in files)
    assert {name.split("/")[0] for name in found} >= {"controlkit", "tests", "solutions", "README.md"}
    assert {name: lines for name, lines in found.items() if lines > LONGEST} == {}


MADE_UP = '''"""What it is.

More of it.
"""

import math  # a comment beside code

LIMIT = 3
"""What it means."""


# a comment alone
def area(radius: float) -> float:
    """Area.

    # not a comment
    """

    return (
        math.pi
        # in between

        * radius**2
    )


TEXT = """
two lines of text that
are code"""
'''


def test_lines_of_code_are_those_that_do_something() -> None:
    """Import, limit, head of the function, the four lines of its return that hold something, and the text's three."""
    assert lines_of_code(MADE_UP) == 1 + 1 + 1 + 4 + 3
    assert lines_of_code("") == lines_of_code("# nothing\n\n") == lines_of_code('"""Nothing."""\n') == 0
    assert lines_of_code("a = 1\n" * 401) == 401
    assert lines_of_code('"""Text."""\n' + "\n# no code\n" * 300 + "a = 1") == 1


def test_a_long_file_is_found_beside_a_short_one_of_its_name(tmp_path: Path) -> None:
    for folder, lines in (("one", 401), ("other", 2)):
        (tmp_path / folder).mkdir()
        (tmp_path / folder / "bench.py").write_text("a = 1\n" * lines)
    (tmp_path / "page.md").write_text("words\n" * 5)
    found = lengths(tmp_path, sorted(tmp_path.rglob("*.*")))
    assert found == {"one/bench.py": 401, "other/bench.py": 2, "page.md": 5}


def test_the_patterns_find_what_they_are_for() -> None:
    """A pattern that finds nothing would pass every file."""
    for line in ("x = '/" + "tmp/a'", "(/" + "home/ana/course)", "C:\\" + "Users\\ana"):
        assert MACHINE.search(line), line
    for line in ("course/tmp/a", "https://example.org/" + "home/x", "a/work/b"):
        assert not MACHINE.search(line), line
    assert INDEX.search("https://py" + "pi.org/simple")
    assert FAIL_LATER.search("# TO" + "DO")


def notebooks(files: list[Path]) -> list[Path]:
    found = [path for path in files if path.suffix == ".ipynb"]
    assert found
    return found


def test_notebooks_are_stored_without_outputs(files: list[Path]) -> None:
    for path in notebooks(files):
        for cell in json.loads(path.read_text(encoding="utf-8"))["cells"]:
            if cell["cell_type"] == "code":
                assert cell["outputs"] == [], f"{path.name}: {cell['id']}"
                assert cell["execution_count"] is None, f"{path.name}: {cell['id']}"


def test_notebooks_are_valid_and_ask_for_no_kernel(files: list[Path]) -> None:
    for path in notebooks(files):
        notebook = nbformat.read(path, as_version=4)
        nbformat.validate(notebook)
        assert (notebook.nbformat, notebook.nbformat_minor >= 5) == (4, True), path.name
        assert notebook.metadata.kernelspec.name == "python3", path.name
        assert "version" not in notebook.metadata.get("language_info", {}), path.name
        assert "widgets" not in notebook.metadata, path.name


def test_cell_ids_are_names_that_stay(files: list[Path]) -> None:
    """An id is a word or two that somebody chose, and stands once."""
    for path in notebooks(files):
        ids = [cell.id for cell in nbformat.read(path, as_version=4).cells]
        assert len(ids) == len(set(ids)), path.name
        for one in ids:
            assert re.fullmatch(r"[a-z][a-z0-9]*(?:[-_][a-z0-9]+)*", one), f"{path.name}: {one}"
            assert not re.fullmatch(r"[0-9a-f]{8}", one), f"{path.name}: {one} looks drawn by chance"


def test_every_notebook_says_its_licence_once(files: list[Path]) -> None:
    """The same sentence everywhere, and no other word on it."""
    for path in notebooks(files):
        cells = nbformat.read(path, as_version=4).cells
        text = "\n".join(cell.source for cell in cells if cell.cell_type == "markdown")
        assert text.splitlines().count(LICENCE) == 1, path.name
        assert len(re.findall(r"CC BY|LICEN[CS]E", text)) == len(re.findall(r"CC BY|LICEN[CS]E", LICENCE)), path.name


def test_every_picture_in_a_page_has_words(files: list[Path]) -> None:
    for path, text in texts(files):
        if path.suffix in {".md", ".ipynb"}:
            assert not re.search(r"!\[\s*\]\(", text), path.name
            for tag in re.findall(r"<img\b[^>]*>", text):
                assert re.search(r"alt=\\?[\"'][^\"']{10,}", tag), f"{path.name}: {tag}"


def test_links_between_pages_lead_somewhere(files: list[Path]) -> None:
    for path, text in texts(files):
        if path.suffix in {".md", ".ipynb"} and "solutions" not in path.parts:
            for target in re.findall(r"\]\((?!https?:|#|attachment:)([^)#\s]+)", text):
                assert (path.parent / target).exists(), f"{path.name} leads to {target}"
