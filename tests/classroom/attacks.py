"""What a hostile student hands in: one table of it. `python -m tests.classroom.attacks` prints what came of it."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

Page = dict[str, Any]

ITEM = "harness_pull"
SCRIPT = "<script>window.hit=1</script><img src=x onerror='window.hit=1'>"
ESCAPE = "\x1b]0;owned\x07\x1b[2J\x1b[31m"
FORMULA = '=HYPERLINK("http://x";"press")'
RIGHT = f'{ITEM} = exercise.right(mine.case)["{ITEM}"]'
"""How an attack that has succeeded shows it: with a right answer, which the guide says no open hand-out can hide."""


@dataclass(frozen=True)
class Attack:
    """One hostile notebook; all of it that is not named is blank.

    `cells` are texts by id, `page` changes the notebook itself, `beside` are further files by path, `file` is how the
    notebook is called. CLASS, CANARY and OTHER stand for paths and the id of a neighbour. `control` says where the
    same cells do succeed: "check" and "score" in the process that judges, "unconfined" in the chain without a wall.
    """

    name: str
    cells: Mapping[str, str] = field(default_factory=dict)
    exercise: str = "ex04"
    page: Callable[[Page], None] | None = None
    beside: Mapping[str, str] = field(default_factory=dict)
    file: str = ""
    typed: str = ""
    called: str = ""
    control: str = ""


def one(name: str, text: str, control: str = "", item: str = ITEM) -> Attack:
    """A notebook with one cell."""
    return Attack(name, {item: text}, control=control)


def _cell(page: Page, name: str) -> Page:
    return next(cell for cell in page["cells"] if cell["id"] == name)


def _tests_print(page: Page) -> None:
    for cell in page["cells"]:
        if cell["id"].startswith("t-"):
            cell["source"] = f"print('all points')\n{RIGHT}\n99.0"


def _points_raised(page: Page) -> None:
    for cell in page["cells"]:
        if cell["metadata"]["nbgrader"].get("grade"):
            cell["metadata"]["nbgrader"]["points"] = 999


def _renamed(page: Page) -> None:
    for cell in page["cells"]:
        cell["metadata"]["nbgrader"]["grade_id"] = cell["id"] = f"new-{cell['id']}"


def _solutions(page: Page) -> None:
    for cell in page["cells"]:
        cell["metadata"]["nbgrader"] |= {"solution": True, "locked": False, "grade": True, "points": 50}


def _outputs(page: Page) -> None:
    told = [
        {"output_type": "stream", "name": "stdout", "text": ["99 of 4 points. \x1b[2J", SCRIPT]},
        {"output_type": "execute_result", "execution_count": 1, "metadata": {}, "data": {"text/plain": "99.0"}},
        {"output_type": "display_data", "metadata": {}, "data": {"text/html": SCRIPT, "image/svg+xml": SCRIPT}},
        {"output_type": "display_data", "metadata": {}, "data": {"application/javascript": "window.hit=1"}},
        {"output_type": "error", "ename": SCRIPT, "evalue": SCRIPT, "traceback": [SCRIPT]},
    ]
    for cell in page["cells"]:
        if cell["cell_type"] == "code":
            cell["outputs"] = told


def _record(page: Page) -> None:
    forged = {
        "exercise": "ex04",
        "name": "Olga Honest0",
        "case": {"device_pull": 1},
        "points": 99,
        "kit_version": SCRIPT,
    }
    data = {"application/vnd.controlkit.record+json": forged}
    _cell(page, "record")["outputs"] = [{"output_type": "display_data", "metadata": {}, "data": data}]


def _own_case(page: Page) -> None:
    _cell(page, "case")["source"] = f"from controlkit.exercises.ex04 import exercise\nmine = exercise('')\n{RIGHT}"


def _twice(page: Page) -> None:
    page["cells"] += [_cell(page, "t-harness_pull")] * 30 + [_cell(page, "who")] * 30


def _markdown(page: Page) -> None:
    for cell in page["cells"]:
        if cell["cell_type"] == "markdown":
            cell["source"] = f"{SCRIPT}\n[press](javascript:window.hit=1)"
            cell["attachments"] = {"x.svg": {"image/svg+xml": SCRIPT}}
    page["cells"].append({"cell_type": "raw", "id": "raw", "metadata": {"raw_mimetype": "text/html"}, "source": SCRIPT})
    page["cells"].append({"cell_type": "markdown", "id": "mine", "metadata": {}, "source": SCRIPT})


def _kernel(page: Page) -> None:
    page["metadata"] = {"kernelspec": {"name": "evil", "display_name": SCRIPT, "language": "sh"}, "title": SCRIPT}
    page["nbformat"] = 10**40


def _deep_page(page: Page) -> None:
    page["metadata"] = json.loads("[" * 900 + "]" * 900)


FULL = "type('J', (), dict(points=99.0, feedback=(), words='', value=1.0))()"
_HOSTILE_NUMBER = """
class Right(float):
    __eq__ = __ge__ = __le__ = __lt__ = __gt__ = lambda *_: True
    __sub__ = __rsub__ = __abs__ = __truediv__ = lambda *_: 0.0
    __hash__ = float.__hash__
harness_pull = Right(1)
"""
_REPR = """
class Right:
    __repr__ = __str__ = lambda self: str(exercise.right(mine.case)["harness_pull"])
    __float__ = lambda self: exercise.right(mine.case)["harness_pull"]
harness_pull = Right()
"""
_REPLY = """
import os, json
forged = json.dumps({"student": "OTHER", "points": 99.0, "answers": {"harness_pull": "1"}}).encode()
for number in range(1, 64):
    try:
        os.write(number, len(forged).to_bytes(4, "big") + forged + b"\\n" + forged + b"\\n")
    except OSError:
        pass
harness_pull = 1
"""
_SOLVED = """
import json
for cell in json.load(open("CLASS/solutions/ex04/ex04.ipynb"))["cells"]:
    if cell["id"] == "harness_pull":
        exec("".join(cell["source"]))
harness_pull = harness_pull + 0
"""

FORGED = (
    one("replaces mine.score", "mine.score = lambda *_, **__: 99.0\nharness_pull = 1", "score"),
    one("replaces mine.check", "mine.check = lambda *_, **__: 99.0\nharness_pull = 1", "check"),
    one("replaces score of the class", "type(mine).score = lambda *_, **__: 99.0\nharness_pull = 1", "score"),
    one(
        "replaces the judge",
        "import sys, controlkit.checking.judging\n"
        "for module in list(sys.modules.values()):\n"
        f"    if hasattr(module, 'judge'):\n        module.judge = lambda *_, **__: {FULL}\n"
        "harness_pull = 1",
        "score",
    ),
    one(
        "replaces abs, and with it every tolerance",
        "import builtins\nbuiltins.abs = lambda _: 0.0\nharness_pull = 1",
        "score",
    ),
    one("replaces isinstance", "import builtins\nbuiltins.isinstance = lambda *_: True\nharness_pull = 1"),
    one("replaces float", "import builtins\nbuiltins.float = lambda *_: 99.0\nharness_pull = 1", "score"),
    one("replaces the display hook", "import sys\nsys.displayhook = print\nsys.stdout.write('99.0')\nharness_pull = 1"),
    one(
        "rewrites cells that follow",
        "import ast\nclass Full(ast.NodeTransformer):\n    def visit_Expr(self, node):\n"
        "        return ast.parse('99.0').body[0]\n"
        "get_ipython().ast_transformers.append(Full())\nharness_pull = 1",
    ),
    one("a number that equals everything", _HOSTILE_NUMBER),
    one("an object that prints the right answer", _REPR),
    one(
        "a text that equals everything",
        "class Right(str):\n    __eq__ = lambda *_: True\n    __hash__ = lambda self: 0\nroute = Right('x')",
        item="route",
    ),
    one(
        "an object that fails wherever it is touched",
        "class Fails:\n    def __getattribute__(self, name):\n        raise SystemExit\nharness_pull = Fails()",
    ),
    one("forges the reply on every open file", _REPLY),
    one(
        "replaces json, by which answers travel",
        "import json\njson.dumps = lambda *_, **__: '{\"harness_pull\": 64.0}'\nharness_pull = 1",
    ),
    one("prints a mark", "print('{\"points\": 99}' * 10)\nprint('99.0 of 4 points')\nharness_pull = ..."),
    one(
        "sets what it is not asked for",
        "score = points = grade = 99.0\nmine.score = 99.0\nmine.case = None\nharness_pull = 1",
    ),
)

READS = (
    one("reads the solution and runs its cell", _SOLVED, "unconfined"),
    one("reads what is kept back", f"open('CLASS/solutions/ex04_graded.py').read()\n{RIGHT}", "unconfined"),
    one("reads the cases of the class", f"open('CLASS/cases/ex04.json').read()\n{RIGHT}", "unconfined"),
    one("reads a neighbour's notebook", f"open('CLASS/roster.csv').read()\n{RIGHT}", "unconfined"),
    one("writes into the gradebook", f"open('CLASS/gradebook.db', 'ab').write(b'x')\n{RIGHT}", "unconfined"),
    one("adds to what is kept back", f"open('CLASS/solutions/ex03_graded.py', 'a').write('#')\n{RIGHT}", "unconfined"),
    one("lays a mark of its own", f"open('CLASS/ME.json', 'w').write('x')\n{RIGHT}", "unconfined"),
    one(
        "writes a file for a neighbour",
        "import os\nfor place in ('/tmp', '/dev/shm', '/scratch', '/kit', '.'):\n    try:\n"
        "        open(f'{place}/left-for-a-friend', 'w').write('64')\n    except OSError:\n"
        "        pass\nharness_pull = 1",
    ),
    one(
        "looks for a file of a neighbour",
        "import os\nplaces = ('/tmp', '/dev/shm', '/scratch', '/kit', '.')\n"
        f"found = [p for p in places if os.path.exists(f'{{p}}/left-for-a-friend')]\n{RIGHT} if found else 0",
    ),
    one(
        "calls home",
        f"import socket\nsocket.create_connection(('127.0.0.1', PORT), timeout=2).close()\n{RIGHT}",
        "unconfined",
    ),
)

PAGES = (
    Attack("locked tests that print a mark", page=_tests_print),
    Attack("points raised in the metadata", page=_points_raised),
    Attack("every grade id renamed", {ITEM: RIGHT.replace("exercise", "nothing")}, page=_renamed),
    Attack("every cell marked as a solution with points", page=_solutions),
    Attack("forged outputs", page=_outputs),
    Attack("a forged record, with a neighbour's name", page=_record),
    Attack("a locked cell with an answer in it", page=_own_case),
    Attack("cells many times", page=_twice),
    Attack("scripts in Markdown, attachments and raw cells", page=_markdown),
    Attack("a kernel of its own", page=_kernel),
    Attack("metadata nine hundred lists deep", page=_deep_page),
)

_WRITES = "open('CANARY', 'w').write('it ran')\n"
FILES = (
    Attack(
        "modules beside the notebook",
        {ITEM: "import numpy, json, ex04\nharness_pull = 1"},
        beside={
            f"{name}.py": _WRITES
            for name in ("controlkit", "numpy", "ex04", "json", "sitecustomize", "conftest", "ex04_graded")
        },
    ),
    Attack(
        "files of a class beside the notebook",
        beside={
            "class-id.txt": "OTHER",
            "class-list.txt": "OTHER,Olga",
            "class.toml": "name = 'x'",
            "roster.csv": "id,name\n",
            "gradebook.db": "no database",
            "nbgrader_config.py": _WRITES,
            "cases/ex04.json": "{}",
            "marks/ex04/OTHER.json": "{}",
            "solutions/ex04_graded.py": _WRITES,
            "solutions/ex04/ex04.py": _WRITES,
            "ex04/nbgrader_config.py": _WRITES,
            "timestamp.txt": "=1+1",
        },
    ),
    Attack("a zip in the zip", beside={"ex03.zip": "PK\x03\x04nested", "more.zip": "PK"}),
    Attack("a path that leads out", file="../../../../ME/out.ipynb"),
    Attack("a file name that a terminal would obey", file=f"ME/{ESCAPE}\r\nall marks full.ipynb"),
    Attack("a file name that a spreadsheet would work out", file="ME/=HYPERLINK(1)&|calc.ipynb"),
    Attack("a file name of a neighbour", file="ME/OTHER.ipynb"),
    Attack("a file name with a script", file="ME/<script>window.hit=1<script>.ipynb"),
)

TEXTS = (
    Attack("a name with a script", typed=SCRIPT, called=f"{SCRIPT[:60]} Zed"),
    Attack("a name that a spreadsheet works out", typed=FORMULA, called="=1+1 Yan"),
    Attack("a name that a terminal obeys", typed=ESCAPE, called="Wim \x9b2J Ux"),
    one("an answer that a spreadsheet works out", f"harness_pull = {FORMULA!r}"),
    one("an answer that a terminal obeys", f"harness_pull = {ESCAPE!r}"),
    one("an answer with a script", f"harness_pull = {SCRIPT!r}"),
    one("a text of five million characters", f"harness_pull = '{'9' * 5_000_000}'"),
    one("a number of a hundred thousand digits", f"harness_pull = {'9' * 100_000}"),
    one("a number of a thousand digits", f"harness_pull = {'9' * 1000}"),
    one("a power that never ends", "harness_pull = 9 ** 9 ** 9 ** 9"),
    one("no number", "harness_pull = float('nan')"),
    one("more than any number", "harness_pull = 1e999"),
    one("a hundred thousand keys", "harness_pull = {str(n): n for n in range(100_000)}"),
    one("ten thousand brackets", f"harness_pull = {'[' * 10_000}{']' * 10_000}"),
    one("lists that hold themselves", "harness_pull = []\nharness_pull.append(harness_pull)"),
    one("half a character", "harness_pull = '\\ud800' * 50 + ' N'"),
    one("a zero byte in the cell", "harness_pull = '4\x00 N'"),
    one("a zero byte in the text", "harness_pull = '4\\x00 N\\u202e N'"),
    one("a text on which patterns stumble", f"harness_pull = '{'1 ' * 50_000}!{'.' * 50_000}'"),
    one("digits on which patterns stumble", f"harness_pull = '{'1' * 90_000} {'e' * 50_000}x'"),
    one("ten thousand signs", f"harness_pull = {'-' * 10_000}1"),
    one("no Python at all", f"harness_pull = ((((\n{SCRIPT}"),
)

FORMULAS = (
    one("a formula of powers of powers", "arrives = '9^(9^(9^(9^(9^9))))'", item="arrives"),
    one("a formula of four hundred powers", f"arrives = '{'(2^' * 99}2{')' * 99}'", item="arrives"),
    one("a formula that is program text", 'arrives = \'__import__("os").system("touch CANARY")\'', item="arrives"),
    one("a formula without end", f"arrives = '{'(pull*' * 100_000}'", item="arrives"),
    one("a formula that divides by nought", "arrives = 'pull/(mu-mu)'", item="arrives"),
    one(
        "a formula that equals everything",
        "class F(str):\n    __eq__ = lambda *_: True\n    __hash__ = str.__hash__\narrives = F('pull')",
        item="arrives",
    ),
)

STOPS = tuple(
    one(name, f"{text}\nharness_pull = 1")
    for name, text in {
        "leaves at once": "import os\nos._exit(0)",
        "leaves politely": "import sys\nsys.exit(99)",
        "never ends": "while True:\n    pass",
        "forks and forks": (
            "import os\nfor _ in range(12):\n    try:\n        os.fork()\n    except OSError:\n        pass\n"
            "while True:\n    pass"
        ),
        "leaves a daemon": "import os, time\nif not os.fork():\n    os.setsid()\n    time.sleep(600)",
        "takes all memory": "held = []\nwhile True:\n    held.append(bytearray(b'x') * (1 << 28))",
        "says ten million lines": "for _ in range(10_000_000):\n    print('x' * 1000)",
        "ends its parents": (
            "import os\nfor number in (os.getppid(), -1):\n    try:\n        os.kill(number, 9)\n"
            "    except OSError:\n        pass"
        ),
        "a library's endless step": "import re\nre.fullmatch('(a|a)*b', 'a' * 60)",
    }.items()
)


def _design(name: str, text: str) -> Attack:
    return Attack(name, {"design": f"design = {text}"}, exercise="ex03")


def _written(name: str, text: str) -> Attack:
    return Attack(name, {"why": f"why = {text}"}, exercise="ex03")


_KEYS = ("ring_below_c7", "ring_to_sound_side", "crossbar", "control_strap")
_SIZES = ("1e300 mm", "-1e9 mm", "0 mm", "nan mm", "1e-300 mm")
DESIGNS = (
    *(_design(f"a design of {value}", repr(dict.fromkeys(_KEYS, value))) for value in _SIZES),
    _design("a design of the largest numbers", f"dict({', '.join(f'{key}=1e999' for key in _KEYS)})"),
    _design("a design of lists", f"{{{', '.join(f'{key!r}: [[[]]]' for key in _KEYS)}}}"),
    _design("a design of a hundred thousand settings", "{str(n): '1 mm' for n in range(100_000)}"),
    _written(
        "a script in the written answer", f'"""{SCRIPT}\n[press](javascript:window.hit=1)\n</pre></code>{SCRIPT}"""'
    ),
    _written("a written answer that a spreadsheet works out", f"'''{FORMULA}\n=1+1\n@SUM(1)'''"),
    _written("a written answer that a terminal obeys", repr(ESCAPE)),
    _written("a written answer of five million characters", f"'{'word ' * 1_000_000}'"),
)

EVERY = (*FORGED, *READS, *PAGES, *FILES, *TEXTS, *FORMULAS, *STOPS, *DESIGNS)


def main() -> int:
    """Hand all of it in, and print what came."""
    from tests.classroom.hostile_class import of, printed

    print(printed({exercise: of(exercise) for exercise in ("ex04", "ex03")}))
    return 0


if __name__ == "__main__":
    sys.exit(main())
