"""A file is the old one or the new one, whole."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from controlkit.classroom.records.kept import keep, keep_text, kept
from controlkit.classroom.records.literal import as_answer


def test_what_is_kept_is_read_again(tmp_path: Path) -> None:
    keep(tmp_path / "a" / "b.json", {"name": "Zoë", "points": 3.5})
    assert kept(tmp_path / "a" / "b.json") == {"name": "Zoë", "points": 3.5}
    assert kept(tmp_path / "nothing.json") is None


@pytest.mark.parametrize("stops", ["fsync", "fdopen"])
def test_a_write_that_fails_leaves_the_old_one(stops: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "marks.json"
    keep(path, {"points": 1})

    def fails(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, stops, fails)
    with pytest.raises(OSError, match="No space"):
        keep(path, {"points": 2})
    assert kept(path) == {"points": 1}
    assert [one.name for one in tmp_path.iterdir()] == ["marks.json"]


def test_half_a_character_is_kept_as_its_number(tmp_path: Path) -> None:
    keep_text(tmp_path / "a.txt", "\ud800")
    assert (tmp_path / "a.txt").read_text(encoding="utf-8") == "\\ud800"


@pytest.mark.parametrize(
    "value",
    [
        3,
        -2.5,
        "57 mm",
        True,
        None,
        ...,
        1 + 2j,
        ["pull", "let go"],
        (12, 5),
        {"ring": "45 mm", "bands": 3},
        "a\n'\"\\",
        "",
    ],
)
def test_a_value_comes_back_as_it_was(value: object) -> None:
    assert as_answer(value, "typed").value == value
    assert type(as_answer(value, "typed").value) is type(value)


@pytest.mark.parametrize(
    ("value", "sort"),
    [
        (print, "builtin_function_or_method"),
        ({1: 2}, "dict"),
        ([[[[[[1]]]]]], "list in lists in lists"),
        ({1, 2}, "set"),
    ],
)
def test_what_is_no_plain_value_is_named(value: object, sort: str) -> None:
    kept_as = as_answer(value, "ran")
    assert (kept_as.says, kept_as.sort) == ("", sort)
    assert type(kept_as.value).__name__ == sort


def test_what_is_no_number_is_a_word() -> None:
    assert [as_answer(one, "ran").value for one in (float("inf"), float("nan"), 10**400)] == ["inf", "nan", "inf"]
