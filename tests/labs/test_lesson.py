"""The helpers of a lesson: waiting for a prediction, laying it beside the model, trying a number."""

from __future__ import annotations

from typing import Any

import pytest

from controlkit.draw.page.scene import Frame, Scene
from controlkit.labs import go_on, try_it
from controlkit.labs.controls import Slider, Values
from controlkit.labs.frame import Lab
from controlkit.labs.page import Answer, Page, Prediction, Units
from controlkit.units import InputError, mm, show

CLIMBS = Prediction("climbs", "What does the height do?", (("up", "it climbs"), ("down", "it falls")))
LASTS = Prediction("lasts", "For how long?", (("long", "long"), ("short", "not long")))


def _page(setting: Values, pinned: Values | None, units: Units) -> Page:
    ring = float(setting["ring"])
    there = Answer("up", f"at {show(ring, 'length')}", "It is pushed.") if ring > mm(50) else None
    last = Answer("short", "one second", "It is let go.") if ring > mm(80) else None
    picture = Scene("Ring", "A ring.", Frame(0, 0, 1, 1, text=0.1))
    return Page((picture,), "A ring.", "A ring.", answers=(there, last))


@pytest.fixture
def lab(tmp_path: Any, monkeypatch: pytest.MonkeyPatch) -> Lab:
    """A lab of two predictions, with nothing kept from another."""
    monkeypatch.chdir(tmp_path)
    ring = Slider("ring", "Ring", "length", (0.0, 0.1), start=mm(25))
    return Lab("Ring", [ring], _page, predictions=(CLIMBS, LASTS))


def test_it_waits_for_each_prediction_in_words(lab: Lab) -> None:
    """One after the other, by its question; a notebook prints that sentence and no trace."""
    with pytest.raises(InputError, match="What does the height do"):
        go_on(lab)
    lab.predict("climbs", "down")
    with pytest.raises(InputError, match="For how long") as stopped:
        go_on(lab)
    assert stopped.value._render_traceback_() == [str(stopped.value)]


def test_it_lays_predictions_beside_the_model_and_moves_nothing(lab: Lab) -> None:
    """Each from the first of the settings that decides it."""
    lab.predict("climbs", "down")
    lab.predict("lasts", "short")
    before = lab.setting
    table = go_on(lab, "ring = 60 mm", "ring = 90 mm")
    assert table.rows == (
        ("What does the height do?", "it falls", "it climbs", "at 60.0 mm (2.36 in) It is pushed."),
        ("For how long?", "not long", "not long", "one second"),
    )
    assert lab.setting == before
    assert [row[2] for row in go_on(lab).rows] == ["not decided here"] * 2


def test_a_prediction_of_an_older_edition_is_shown_as_it_was_kept(lab: Lab, monkeypatch: pytest.MonkeyPatch) -> None:
    """Its answers may have had other names; the page goes on."""
    monkeypatch.setattr(Lab, "predicted", property(lambda _: {"climbs": "sideways", "lasts": "short"}))
    rows = go_on(lab, "ring = 90 mm").rows
    assert [row[1] for row in rows] == ["sideways", "not long"]
    assert rows[0][2] == "it climbs"


def test_trying_stops_at_what_is_empty() -> None:
    with pytest.raises(InputError, match="in place of the three dots") as stopped:
        try_it(..., 0.060, "length")
    assert stopped.value._render_traceback_() == [str(stopped.value)]


@pytest.mark.parametrize("written", ["6.2 %", "6.2", 6.2, "6,25", "6 %", 0.0625, "0.0625", "6.3"])
def test_a_part_is_taken_with_or_without_its_sign(written: object) -> None:
    """In percent where the plain number would be more than the whole; what was taken is said."""
    said = try_it(written, 0.0625, "ratio", slips={0.0833: "Of what is that a share?"})
    assert said.startswith("Yes, ")
    assert "%" in said or written in (0.0625, "0.0625")


def test_a_part_turned_over_is_still_known() -> None:
    """More than the whole, as a wrong idea gives it, is no percent; of two ideas the nearer one is meant."""
    ask = {40 / 30: "Can more arrive than was pulled?"}
    assert try_it("1.33", 0.75, "ratio", slips=ask).endswith("Can more arrive than was pulled?")
    assert try_it("133 %", 0.75, "ratio", slips=ask) == "Not yet: 133 %. Can more arrive than was pulled?"
    two = {0.0833: "first", 0.0875: "second"}
    assert try_it("8.75 %", 0.0625, "ratio", slips=two).endswith("second")
    assert try_it("8.3", 0.0625, "ratio", slips=two).endswith("first")
    assert try_it("620 %", 0.0625, "ratio").startswith("Not yet: 620 % is too large.")


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("6 cm", "Yes, 60.0 mm"),
        ("2.4 in", "Yes, 61.0 mm"),
        ("90 mm", "too large"),
        ("1 mm", "In which unit is the angle?"),
        ("60 N", "length"),
        ("60", "unit"),
    ],
)
def test_trying_answers_in_words_and_never_gives_the_answer_away(written: str, said: str) -> None:
    words = try_it(written, 0.060, "length", slips={0.060 / 57.3: "In which unit is the angle?"})
    assert said in words
    assert ("60.0 mm" in words) == (written == "6 cm")
