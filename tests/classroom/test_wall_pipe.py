"""Whatever a hostile notebook writes on the pipe: no value, no mark, nothing in another student's name."""

from __future__ import annotations

import pytest

from tests.classroom.walled import HONEST, job, values, walled

pytestmark = pytest.mark.sandbox

FORGED = {
    "a mark": '["t-got", "mark", 4.0]',
    "another item first": '["other", "value", ["whole", "1"]]',
    "words for a value": '["got", "value", "1.0"]',
    "a call of something": '["got", "value", ["call", "exit"]]',
    "not a number": '["got", "value", ["number", NaN]]',
    "two of it": '["got", "value", ["whole", "1"]]\\n["got", "value", ["whole", "1"]]',
    "an end too soon": '["end"]',
    "a frame of the worker": '{"bytes": 3, "how": "ended"}\\n["end"]',
    "no text": "\\xff\\xfe",
    "a depth": "[" * 3000,
}

TO_ALL = """
import os
for number in range(256):
    try:
        os.write(number, {!r}.encode("latin-1") + b"\\n")
    except OSError:
        pass
"""


def test_a_forged_record_is_no_value() -> None:
    jobs = []
    for name, text in FORGED.items():
        cell = TO_ALL.format(text.encode("latin-1").decode("unicode_escape"))
        jobs += [job(name, cell, HONEST), job(f"after {name}", HONEST)]
    found = {came.student: came for came in walled().run("ex04", jobs)}
    for name in FORGED:
        assert found[name].why == "what came out is not what a notebook hands out", name
        assert found[name].answers["got"].value is ...
        assert set(found[name].answers) == {"got"}
        assert values(found[f"after {name}"]) == {"got": 20.0}


def test_whoever_forges_her_own_record_has_answered_for_herself() -> None:
    text = '["got", "value", ["whole", "7"]]\n["end"]\n'
    cell = f"import os\nos.write(3, {text!r}.encode())\nos._exit(0)"
    own, other = walled().run("ex04", [job("forges", cell), job("other", HONEST)])
    assert values(own) == {"got": 7}
    assert values(other) == {"got": 20.0}


def test_a_flood_is_cut_off() -> None:
    cell = "import os\nwhile True:\n    os.write(3, b'x' * 65536)"
    flood, other = walled().run("ex04", [job("flood", cell), job("other", HONEST)])
    assert flood.why == "its cells handed out more than an answer can hold"
    assert flood.answers["got"].value is ...
    assert values(other) == {"got": 20.0}
