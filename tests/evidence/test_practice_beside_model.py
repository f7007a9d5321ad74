"""Practice beside the model: the table of `practice.toml`, each row on three wearers and either side.

A row holds what practice says, how that is known, and bounds. Where the model lies outside them on any wearer, the row
says why, and names where the course tells its reader; where it lies inside on all, nothing is excused.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from controlkit.mechanics import SingleControl, figure_of_eight
from tests.evidence.agreement import as_on_the_page
from tests.evidence.practice import ROWS, SIDES, WEARERS, asked_of, model

ROOT = Path(__file__).resolve().parents[2]
FLAGS = ("seen", "second-hand", "common practice", "from memory", "reasoned", "computed")
POINTS = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 13}
"""Points of practice that have a number; words and licences have none."""


def _prose(file: str) -> str:
    text = (ROOT / file).read_text(encoding="utf-8")
    if not file.endswith(".ipynb"):
        return text
    return "\n".join("".join(cell["source"]) for cell in json.loads(text)["cells"])


def test_every_point_has_a_row_and_every_row_its_flag() -> None:
    assert {row["point"] for row in ROWS.values()} == POINTS
    for row in ROWS.values():
        assert row["flag"].startswith(FLAGS)
        assert row["low"] <= row["high"]
        assert ("outside" in row) == ("told" in row)


@pytest.mark.parametrize("row", ROWS)
def test_the_model_lies_where_practice_says_or_the_reader_is_told_why_not(row: str) -> None:
    low, high = ROWS[row]["low"], ROWS[row]["high"]
    found = {(who, side): model(row, who, side) for who in asked_of(row) for side in SIDES}
    outside = {on: value for on, value in found.items() if not low <= value <= high}
    as_on_the_page(f"{ROWS[row]['says']} [{ROWS[row]['unit']}]", list(found.values()))
    if "outside" not in ROWS[row]:
        assert not outside
        return
    assert outside, "it lies inside by now: the excuse must go"
    file, words = ROWS[row]["told"]
    assert words in _prose(file)


@pytest.mark.parametrize("row", ROWS)
def test_either_side_alike(row: str) -> None:
    for who in asked_of(row):
        right, left = (model(row, who, side) for side in SIDES)
        assert right == pytest.approx(left, rel=1e-6, abs=1e-9)


@pytest.mark.parametrize("who", WEARERS)
def test_the_straps_of_the_table_settled(who: str) -> None:
    for side in SIDES:
        assert SingleControl(figure_of_eight(WEARERS[who](side))).at().settled
