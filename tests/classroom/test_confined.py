"""Cells that compute: what comes out of them, what is said where nothing can run, and how workers go on."""

from __future__ import annotations

import ast
import os
import signal
import sys
import textwrap
import time
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import psutil
import pytest
from hypothesis import given
from hypothesis import strategies as st

from controlkit.checking import Choice, Design, Diagnosis, Exercise, Order, Quantity, judge
from controlkit.classroom.begin import module_of
from controlkit.classroom.confined import cells
from controlkit.classroom.confined.job import Confinement, Variable
from controlkit.classroom.confined.probe import probe
from controlkit.classroom.confined.reply import read_reply
from controlkit.classroom.confined.run import NOT_RUN, Confined, NothingRuns, confinement
from controlkit.classroom.confined.values import StrangeError, Stranger, TooLongError, back, out
from controlkit.classroom.records.answers import CALLS, LONGEST, ReadAnswer
from controlkit.classroom.records.literal import written
from tests.checking.efficiency import CABLE, CASE, EFFICIENCY, HIDDEN
from tests.classroom.walled import HONEST, job, protection, values, walled

BARE = confinement(unconfined=True, workers=1, seconds=20)


@pytest.fixture(params=["unconfined", pytest.param("behind the wall", marks=pytest.mark.sandbox)])
def here(request: pytest.FixtureRequest) -> Confinement:
    """Both places where cells run: what comes out must be the same."""
    return BARE if request.param == "unconfined" else walled()


# --- What comes out ------------------------------------------------------------------------------------------------


def test_cells_run_in_order_and_each_value_is_read_where_it_was_asked(here: Confinement) -> None:
    source = (
        "%matplotlib inline\nimport math\nforce = ...",
        "force = mine.case.pull * 2\nforce / 0",
        "%%time\nhalf = force / 2\nworse = [half, (1, 2.5), 'text', True, None, 1 + 2j]",
        "this is no Python",
        "def later(): return 3\nforce = later() * 1.5\nassert mine.check('x', 1) is None and mine.score('x') == 0.0",
        "mine.show(); mine.given('x'); mine.steps('x'); mine.record(); display(mine)\nwho = name + mine.name",
    )
    asked = (
        Variable("who", 6),
        Variable("force", 1),
        Variable("worse", 3),
        Variable("nowhere", 4),
        Variable("later", 5),
    )
    one = replace(job("s01", *source), asked=asked)
    (came,) = here.run("ex04", [one])
    answers = came.answers
    assert came.why == ""
    assert answers["force"] == ReadAnswer("ran", "...")
    assert answers["force"].value is ...
    assert answers["worse"].value == [40.0, (1, 2.5), "text", True, None, 1 + 2j]
    assert answers["who"].value == "AnaAna"
    assert (answers["later"].how, answers["later"].sort) == ("ran", "function")
    assert answers["nowhere"].how == "failed"
    assert answers["nowhere"].why == "The last cell before its check stops in its line 1: SyntaxError: invalid syntax."
    (came,) = here.run("ex04", [replace(one, asked=(Variable("force", 2), Variable("force", 2)))])
    assert came.answers["force"].value == 80


def test_an_answer_whose_cell_fails_says_why_in_words(here: Confinement) -> None:
    source = ("ring = ...", "x = 1\nring = x / 0", "while True:\n    x += later")
    asked = (Variable("ring", 2), Variable("lost", 3))
    (came,) = here.run("ex04", [replace(job("s01", *source), asked=asked)])
    assert (
        came.answers["ring"].why
        == "The last cell before its check stops in its line 2: ZeroDivisionError: division by zero."
    )
    assert "in its line 2: NameError: name 'later' is not defined" in came.answers["lost"].why


def test_a_cell_without_end_is_ended_and_the_next_one_runs(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cells, "CELL_SECONDS", 0.2)
    said: list[list[Any]] = []
    looping = "while True:\n    try:\n        while True: pass\n    except BaseException: pass"
    monkeypatch.setattr(Exercise, "__call__", Exercise.__call__)  # put back at the end, whatever the cells set
    one = {"case": vars(CASE), "name": "Ana", "cells": [looping, "x = 1"]}
    asked = [{"item": item, "after": after, "seconds": 1.0, "calls": None} for item, after in (("x", 1), ("x", 2))]
    before = sys.modules["__main__"]
    try:
        cells.run_notebook({**one, "asked": asked}, None, said.append)
    finally:
        sys.modules["__main__"] = before
    assert said == [
        ["x", "nothing", 0, "it does not come to an end within 0.2 s"],
        ["x", "value", ["whole", "1"]],
    ]


def test_whoever_asks_for_her_exercise_again_gets_the_same_case(here: Confinement) -> None:
    cell = "from controlkit.exercises.ex04 import exercise as other\nagain = other('Bo')\n"
    cell += "got = again.case.pull + exercise('Cy').case.pull"
    (came,) = here.run("ex04", [job("s01", cell)])
    assert values(came) == {"got": 80}


def test_what_was_handed_out_beside_the_notebook_is_there_to_read(here: Confinement, tmp_path: Path) -> None:
    (tmp_path / "bench.csv").write_text("pull\n12.5\n", encoding="utf-8")
    (tmp_path / "ex42.py").write_text("class exercise:\n    title = 'Own'\n", encoding="utf-8")
    reads = "got = float(open('bench.csv').read().split()[1])\n"
    reads += "from ex42 import exercise as own\nsaid = own.title + exercise.title"
    writes = "open('bench.csv', 'a').write('x')"
    (came,) = here.run("ex42", [job("s01", reads, writes, asked=("got", "said"))], kit=tmp_path)
    assert values(came) == {"got": 12.5, "said": "OwnOwn"}
    assert (tmp_path / "bench.csv").read_text(encoding="utf-8") == "pull\n12.5\n"


FUNCTIONS = {
    "right": "import math\ndef efficiency(friction, bend):\n    return math.exp(-friction * bend)",
    "with more than it needs": "import math\ndef efficiency(a, b, c=1):\n    return math.e ** (-a * b)",
    "linear": "def efficiency(friction, bend):\n    return 1 - friction * bend",
    "stub": "def efficiency(friction, bend):\n    ...",
    "stub that says what it does": "def efficiency(friction, bend):\n    'Say how much arrives.'\n    ...",
    "hands nothing back": "def efficiency(friction, bend):\n    x = friction * bend",
    "too few arguments": "def efficiency(friction):\n    return 1.0",
    "none": "def efficiency():\n    return 1.0",
    "too many arguments": "def efficiency(a, b, c):\n    return 1.0",
    "a lambda": "efficiency = lambda *both: 0.5",
    "fails": "def efficiency(friction, bend):\n    share = friction * bend\n    return expp(-share)",
    "returns a text": "def efficiency(friction, bend):\n    return '0.5 N'",
    "returns a list": "def efficiency(friction, bend):\n    return [0.5, 0.5]",
    "not finite": "def efficiency(friction, bend):\n    return float('inf') * bend",
    "its result": "efficiency = 0.5",
    "a text": "efficiency = 'exp(-friction * bend)'",
    "dots": "efficiency = ...",
    "a class": "class efficiency:\n    pass",
    "a bound method": "efficiency = 'x'.join",
}


def test_functions_are_judged_as_if_they_had_run_here(here: Confinement) -> None:
    unseen = HIDDEN.items["efficiency"]
    some = list(FUNCTIONS)[:: 5 if here is BARE else 1]  # each takes a process of its own there
    for kept_back, calls in ((None, EFFICIENCY.calls(CASE)), (HIDDEN, EFFICIENCY.calls(CASE, unseen))):
        asked = (Variable("efficiency", 1, calls),)
        jobs = [replace(job(name, FUNCTIONS[name]), asked=asked) for name in some]
        for came in here.run("ex04", jobs):
            names: dict[str, Any] = {}
            exec(FUNCTIONS[came.student], names)
            direct = judge(CABLE, "efficiency", names["efficiency"], CASE, kept_back=kept_back)
            through = judge(CABLE, "efficiency", came.answers["efficiency"].value, CASE, kept_back=kept_back)
            assert (through.words, through.points) == (direct.words, direct.points), came.student


class Loud(str):
    """A text that minds being looked at."""

    def __repr__(self) -> str:
        raise AssertionError("looked at")

    __str__ = __len__ = __eq__ = __hash__ = __repr__  # type: ignore[assignment]


class Stirring:
    """An object that minds being touched."""

    def __getattribute__(self, name: str) -> Any:
        raise AssertionError(f"touched: {name}")

    def __repr__(self) -> str:
        raise AssertionError("looked at")

    __eq__ = __bool__ = __len__ = __iter__ = __repr__  # type: ignore[assignment]


ODD = [
    ...,
    None,
    "",
    " … ",
    "57 mm",
    57,
    57.25,
    -0.0,
    np.float64(3.5),
    np.int32(4),
    True,
    float("nan"),
    float("-inf"),
    10**5000,
    1 + 2j,
    (12, 5),
    [1, 2],
    [],
    {"a": 1},
    np.array([1.0, 2.0]),
    object(),
    Stirring(),
    print,
    lambda: 3,
    int,
    Loud("57 mm"),
    "x" * 5000,
    "\ud800 mm",
    "12\x1b[31m N",
    ["lock", "raise"],
    ("lock", ...),
    [Loud("lock")],
    "lock, raise",
    {"fault": "weak bands", "reading": "pinch"},
    {"fault": ..., "reading": Stirring()},
    {number: number for number in range(100)},
    [[[[[[[1]]]]]]],
]


def carried(value: Any) -> Any:
    """A value as it comes back from the confinement."""
    found = back(out(value))
    if type(found) is Stranger:
        return ReadAnswer("ran", sort=found.name).value
    return ReadAnswer("ran", written(found)).value


@pytest.mark.parametrize("exercise", ["ex04", "ex06", "ex08"])
def test_odd_values_are_judged_as_if_they_had_never_gone_through_a_pipe(exercise: str) -> None:
    sheet = module_of(exercise).exercise
    case = sheet.own_case("Ana")
    kinds = {type(item): item for item in sheet.items if isinstance(item, (Quantity, Choice, Order, Diagnosis, Design))}
    for item in kinds.values():
        for value in ODD:
            direct, through = (judge(sheet, item.name, one, case) for one in (value, carried(value)))
            assert through.points == direct.points
            assert through.feedback[0].kind == direct.feedback[0].kind, (item.name, type(value))


def test_bare_data_is_exact_and_nothing_of_a_foreign_object_is_called() -> None:
    class Name(str):
        __slots__ = ()

    assert carried(Name("57 mm")) == "57 mm"
    assert carried([Stirring(), Loud("a")]) == ["something of the sort Stirring", "a"]
    assert type(carried(Stirring())).__name__ == "Stirring"
    assert carried({"a": (1, [2.5, None])}) == {"a": (1, [2.5, None])}
    with pytest.raises(TooLongError):
        out("x" * (LONGEST + 1))
    with pytest.raises(TooLongError):
        out([["x" * 2000] * 200] * 200)
    loop: list[Any] = []
    loop.append(loop)
    assert "something of the sort list" in repr(carried(loop))


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=5), inner, max_size=3),
    max_leaves=20,
)
WORDS = st.sampled_from(["plain", "dots", "whole", "number", "complex", "text", "list", "tuple", "dict", "sort"])


@given(st.lists(WORDS | JSON | st.lists(WORDS | JSON, max_size=3), max_size=3))
def test_whatever_comes_back_is_plain_or_strange(data: list[Any]) -> None:
    try:
        found = back(data)
    except StrangeError:
        return
    if type(found) is not Stranger:
        assert repr(ast.literal_eval(written(found))) == repr(found)


@given(st.binary(max_size=200), st.sampled_from(["ended", "time", "memory", "bytes", "stopped", "what"]))
def test_whatever_bytes_come_the_reply_is_of_this_job_and_of_no_other(held: bytes, how: str) -> None:
    came = read_reply(job("s01", HONEST), held, how, 5.0)
    assert came.student == "s01"
    assert set(came.answers) == {"got"}
    assert came.answers["got"].how == "failed"
    assert came.answers["got"].value is ...


@pytest.mark.parametrize(
    "outcomes",
    [
        '[["value", 1.0]]',
        '[["value", true, ""], ["value", 1.0, ""]]',
        '[["right", 1.0, ""], ["value", 1.0, ""]]',
        '[["value", null, ""], ["value", 1.0, ""]]',
        '[["raised", 1.0, ""], ["value", 1.0, ""]]',
        '[["arguments", [1.0], ""], ["value", 1.0, ""]]',
        '[["value", 1e999, ""], ["value", 1.0, ""]]',
        '[["value", 1.0, ""]]',
        "{}",
    ],
)
def test_outcomes_of_calls_are_read_strictly(outcomes: str) -> None:
    one = replace(job("s01", ""), asked=(Variable("f", 1, ((1.0,), (2.0,))),))
    came = read_reply(one, f'["f", "calls", {outcomes}]\n["end"]\n'.encode(), "ended", 5.0)
    assert came.answers["f"].how == "failed"
    good = '[["value", 1, ""], ["raised", null, "it stops\\u001b"]]'
    came = read_reply(one, f'["f", "calls", {good}]\n["end"]\n'.encode(), "ended", 5.0)
    assert came.answers["f"] == ReadAnswer("ran", "[('value', 1.0, ''), ('raised', None, 'it stops')]", CALLS)


# --- Where nothing protects ----------------------------------------------------------------------------------------


def test_without_bubblewrap_nothing_is_run_and_the_words_say_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", "")
    _nothing_runs(confinement(), "bwrap")
    _nothing_runs(confinement(bubblewrap="/nowhere/bwrap"), "does not work" if sys.platform == "linux" else "Linux")
    for system in ("darwin", "win32"):
        monkeypatch.setattr(sys, "platform", system)
        _nothing_runs(confinement(), "not Linux")


def _nothing_runs(here: Confinement, why: str) -> None:
    assert isinstance(here, NothingRuns)
    assert here.words.startswith("Cells that compute are not run: ")
    assert why in here.words or sys.platform != "linux"
    done: list[str] = []
    came = list(here.run("ex04", [job("s01", "raise SystemExit"), job("s02", HONEST)], done=done.append))
    assert done == [one.student for one in came] == ["s01", "s02"]
    for one in came:
        assert one.answers["got"] == ReadAnswer("not run", why=NOT_RUN)
        assert one.answers["got"].awaited


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="only Linux has such a program")
@pytest.mark.parametrize(
    ("said", "why"),
    [
        ('{"apart": true, "unseen": false, "alone": true, "few": true}', "a file that is private could be seen"),
        ('{"apart": true, "unseen": true, "alone": false, "few": true}', "the network could be reached"),
        ('{"apart": true, "unseen": true, "alone": true, "few": false}', "the number of processes is not limited"),
        ("{}", "could be seen and the network could be reached"),
        ("[]", "does not work here"),
        ("no answer", "does not work here"),
    ],
)
def test_a_wall_that_does_not_hold_is_none(said: str, why: str, tmp_path: Path) -> None:
    tmp_path.chmod(0o755)
    program = tmp_path / "bwrap"
    program.write_text(f"#!/bin/sh\necho '{said}'\n", encoding="utf-8")
    program.chmod(0o755)
    for folder in (tmp_path, *tmp_path.parents[:2]):
        folder.chmod(0o755)
    found = probe(str(program))
    assert found.mode is None
    assert why in found.words or "Permission denied" in found.words


def test_unconfined_is_asked_for_by_name_and_said_plainly() -> None:
    assert "UNCONFINED" in BARE.words
    assert "nothing protects" in BARE.words


@pytest.mark.sandbox
def test_the_words_say_what_protects() -> None:
    words = protection().words
    for part in ("bubblewrap", "no file of this machine but Python's", "no network", "limits"):
        assert part in words
    assert ("not as root" in words) == (os.getuid() == 0)


# --- Workers -------------------------------------------------------------------------------------------------------


def _under(program: str) -> list[psutil.Process]:
    """Processes below this one whose command holds a word."""
    found = []
    for one in psutil.Process().children(recursive=True):
        try:
            if any(program in word for word in one.cmdline()):
                found.append(one)
        except psutil.Error:
            continue
    return found


@pytest.mark.sandbox
def test_a_worker_that_dies_is_started_again_and_everybody_gets_an_answer() -> None:
    here, found = walled(workers=1), {}
    for number, came in enumerate(here.run("ex04", [job(f"s{n}", HONEST) for n in range(12)])):
        found[came.student] = came
        if number in (2, 5):
            for one in _under("confined.worker"):
                with suppress(psutil.NoSuchProcess):  # the walls around it ended first, and took it along
                    one.send_signal(signal.SIGKILL)
    assert len(found) == 12
    assert [values(found[f"s{n}"]) for n in range(12)] == [{"got": 20.0}] * 12
    assert _under("confined.worker") == []


@pytest.mark.sandbox
def test_whoever_stops_asking_leaves_nothing_running() -> None:
    def jobs() -> Iterator[Any]:
        yield job("s01", HONEST)
        for number in range(100):
            yield job(f"x{number}", "import time\ntime.sleep(30)")

    running = walled(workers=2).run("ex04", jobs())
    assert next(running).student == "s01"
    begun = time.monotonic()
    running.close()  # type: ignore[attr-defined]
    assert time.monotonic() - begun < 8
    assert _under("confined.worker") == []


def test_trouble_in_the_list_of_jobs_is_told(here: Confinement) -> None:
    def jobs() -> Iterator[Any]:
        yield job("s01", HONEST)
        raise OSError("the disk is gone")

    with pytest.raises(OSError, match="the disk is gone"):
        list(here.run("ex04", jobs()))


def test_no_jobs_start_no_worker(here: Confinement) -> None:
    begun = time.monotonic()
    assert list(here.run("ex04", [])) == []
    assert time.monotonic() - begun < 0.5


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="only Linux has such a program")
def test_a_wall_that_falls_later_leaves_answers_not_run(tmp_path: Path) -> None:
    program = tmp_path / "bwrap"
    program.write_text(textwrap.dedent("#!/bin/sh\necho it fell >&2\nexit 1\n"), encoding="utf-8")
    program.chmod(0o755)
    for folder in (tmp_path, *tmp_path.parents[:2]):
        folder.chmod(0o755)
    here = Confined(mode="apart", words="", bubblewrap=str(program), workers=2, seconds=5.0)
    came = list(here.run("ex04", [job(f"s{n}", HONEST) for n in range(4)]))
    assert {one.answers["got"].how for one in came} == {"not run"}
    assert all("did not start" in one.answers["got"].why for one in came)


def test_an_endless_notebook_ends_where_nothing_else_protects() -> None:
    here = confinement(unconfined=True, workers=1, seconds=0.1)
    first, second = here.run("ex04", [job("loop", "while True:\n    pass"), job("next", HONEST)])
    assert "do not come to an end" in first.answers["got"].why
    assert values(second) == {"got": 20.0}
