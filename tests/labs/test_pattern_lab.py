"""The pattern lab: what it shows is what the mechanics answers, whatever was asked before."""

from __future__ import annotations

import math
from typing import Any

import pytest

from controlkit.labs import pattern_lab
from controlkit.labs.frame import Lab
from controlkit.labs.patterns import _PatternSetUps
from controlkit.mechanics import (
    SingleControl,
    VoluntaryOpening,
    Wearer,
    chest_strap,
    figure_of_eight,
    figure_of_nine,
    suspend,
)
from controlkit.mechanics.harness import Harness, Straps
from controlkit.units import deg, inch, mm

from .asking import ask

FLEXED = {"arm_flexion": deg(60), "elbow_flexion": deg(30)}


@pytest.fixture(scope="module")
def lab() -> Lab:
    """The lab for the module."""
    return pattern_lab()


@pytest.fixture(scope="module")
def woman() -> Wearer:
    """Its wearer at the start."""
    return Wearer.average("female", amputated="right")


def _readings(shown: dict[str, Any]) -> dict[str, float]:
    return {one["label"]: float(one["value"]) for one in shown["readings"]}


def _notes(shown: dict[str, Any]) -> dict[str, str]:
    return {one["label"]: one["note"] for one in shown["readings"]}


def _harness(pattern: str, wearer: Wearer) -> Harness:
    if pattern == "nine":
        return figure_of_nine(wearer)
    if pattern in ("chest", "diaphragm"):
        return chest_strap(wearer, strap_level=pattern)
    return figure_of_eight(wearer, cross_back=0.0 if pattern == "crossed" else None)


@pytest.mark.parametrize("pattern", ["eight", "crossed", "nine", "chest", "diaphragm"])
def test_the_readings_are_what_the_mechanics_answers(lab: Lab, woman: Wearer, pattern: str) -> None:
    """Asked for the same pose and the same load without a lab."""
    shown = ask(lab, pattern=pattern, load=30.0)
    found, harness = _readings(shown), _harness(pattern, woman)
    system = SingleControl(harness)
    pull, held = system.at(**FLEXED), suspend(harness, system.law, 30.0)
    anchor = "chest strap" if pattern in ("chest", "diaphragm") else "axilla loop"
    assert found["Captured"] == pytest.approx(1e3 * pull.excursion.captured, abs=0.06)
    assert found[anchor.capitalize()] == pytest.approx(pull.strap_tension[anchor], abs=0.06)
    assert found["In the armpit"] == pytest.approx(1e-3 * pull.axilla_line_load, abs=0.006)
    assert found["Socket slips"] == pytest.approx(1e3 * held.slip, abs=0.06)
    opened = system.device.opening(max(held.travel, 0.0))
    stays = held.travel <= mm(1)
    said = _notes(shown)["Socket slips"]
    assert said == "the hook stays shut" if stays else f"{1e3 * opened:.1f} mm" in said


def test_choices_of_a_fitter_reach_the_mechanics(lab: Lab, woman: Wearer) -> None:
    """Ring, buckle, width and bands together."""
    moved = {"lowered": mm(35), "support_strap": mm(-10), "webbing": "two-inch", "bands": 5.0, "load": 100.0}
    found = _readings(ask(lab, **moved))
    harness = figure_of_eight(woman, ring_below_c7=mm(60), support_strap=mm(-10), straps=Straps(width=inch(2)))
    system = SingleControl(harness, device=VoluntaryOpening(bands=5))
    held = suspend(harness, system.law, 100.0)
    assert found["Captured"] == pytest.approx(1e3 * system.at(**FLEXED).excursion.captured, abs=0.06)
    assert found["Socket slips"] == pytest.approx(1e3 * held.slip, abs=0.06)


def test_tension_over_the_curve_is_the_line_load(lab: Lab) -> None:
    """What a student multiplies."""
    for values in ({}, {"bands": 6.0}, {"wearer": "large-man"}):
        shown = ask(lab, **values)
        found, note = _readings(shown), _notes(shown)["Axilla loop"]
        curve = float(note.removeprefix("on a curve of ").removesuffix(" mm"))
        assert found["Axilla loop"] / curve == pytest.approx(found["In the armpit"], abs=0.01)


def test_a_wider_strap_is_nearly_the_same_load_on_more_skin(lab: Lab) -> None:
    """The prediction about width, on every wearer: decided by computing."""
    number = [one.key for one in lab.predictions].index("width")
    for wearer in ("small-woman", "average-woman", "average-man", "large-man"):
        answer = lab.page_at(f"webbing = two-inch; wearer = {wearer}").answers[number]
        assert answer is not None
        assert answer.option == "the same"
        assert "Mean pressure" in answer.words
        assert answer.to("half") == f"{answer.words} {answer.why}"
    assert lab.page_at("webbing = two-inch; bands = 5").answers[number] is None
    assert lab.page_at("webbing = inch-and-a-half").answers[number] is None


def test_a_bag_does_not_open_every_hook(lab: Lab) -> None:
    """On an average man the ring follows the socket: the same question has another answer, with its reason."""
    number = [one.key for one in lab.predictions].index("bag")
    answer = lab.page_at("load = 50 N; wearer = average-man").answers[number]
    assert answer is not None
    assert answer.option == "the same"
    assert "ring and loop follow" in answer.why


def test_a_figure_of_nine_says_that_it_carries_nothing(lab: Lab) -> None:
    shown = ask(lab, pattern="nine", load=50.0)
    assert "the straps alone do not carry that" in shown["words"]
    assert _readings(shown)["Socket slips"] == 60.0
    assert _notes(shown)["Socket slips"].startswith("not carried")
    assert "letting one out or taking it in does nothing" in ask(lab, pattern="nine", support_strap=mm(5))["words"]


def test_a_strap_from_a_saddle_is_not_taken_in(lab: Lab) -> None:
    """The model would press saddle and pad together without either giving; the words say so."""
    snug, taken_in = (ask(lab, pattern="diaphragm", load=100.0, support_strap=mm(at)) for at in (0, -10))
    assert _readings(snug) == _readings(taken_in)
    assert "is left just snug" in taken_in["words"]
    assert "is left just snug" not in snug["words"]
    assert "a real one gives" in snug["words"]


def test_a_place_that_no_fitter_chooses_is_refused_in_words(lab: Lab) -> None:
    """A branch that would lie below the waist: the last picture stays, and a sentence says what is allowed."""
    shown = ask(lab, pattern="diaphragm")
    lab.asked = {"n": lab.shown["n"] + 1, "values": {**lab.shown["values"], "lowered": mm(130)}, "units": "metric"}
    assert "branches off on the scapula or just below it" in lab.shown["problem"]
    assert lab.shown["pictures"] == shown["pictures"]


def test_patterns_stand_side_by_side_under_one_load() -> None:
    """Every bar is asked for 60 degrees and 50 N, whatever the setting; remembered for a wearer."""
    answers, start = _PatternSetUps(None), pattern_lab().plan["start"]
    answers.page({**start, "arm_flexion": deg(20), "load": 200.0, "lowered": mm(40)}, None, "metric")
    table = answers._table("average-woman", "right")
    assert answers._table.cache_info().hits == 1
    assert {one.held.load for one in table.values()} == {50.0}
    assert {one.pull.pose.arm_flexion for one in table.values()} == {deg(60)}
    assert table["eight"].pull.excursion.captured == pytest.approx(table["nine"].pull.excursion.captured, abs=mm(0.01))
    assert not table["nine"].carried
    assert table["diaphragm strap"].armpit == 0.0 < table["with cross-back"].armpit < table["eight"].armpit


def test_the_same_whatever_was_asked_before() -> None:
    """Harnesses start from the last one; another order of moves gives the same page."""
    moves = ({"lowered": mm(30)}, {"webbing": "two-inch"}, {"bands": 5.0}, {"load": 75.0}, {"pattern": "crossed"})
    pages = []
    for order in (moves, moves[::-1]):
        fresh, values = pattern_lab(), {}
        for move in order:
            values |= move
            shown = ask(fresh, **values)
        pages.append((shown["words"], shown["pictures"], shown["readings"]))
    assert pages[0] == pages[1]


def test_a_pinned_setting_is_told_and_drawn(lab: Lab) -> None:
    start = dict(lab.plan["start"])
    shown = ask(lab, pinned=start, lowered=mm(30), load=50.0)
    assert "Against the pinned setting (figure-of-eight): captured 36.9 mm there" in shown["words"]
    assert "pinned" in shown["pictures"][3]
    other = ask(lab, pinned={**start, "pattern": "nine", "load": 50.0}, pattern="chest", load=50.0)
    assert "Against the pinned setting (figure-of-nine)" in other["words"]
    assert "slip" not in other["words"].split("Against the pinned setting")[1].split(".")[0]


def test_any_wearer_of_ones_own_is_fitted_below_the_elbow() -> None:
    above = Wearer.average("male", amputated="left", level="transhumeral", name="Hugo")
    shown = pattern_lab(above).shown
    assert not shown["problem"]
    assert "Hugo, left arm amputated below the elbow" in shown["words"]
    assert math.isfinite(_readings(shown)["Captured"])


def test_the_armpit_is_told_by_the_worse_of_pull_and_load(lab: Lab, woman: Wearer) -> None:
    """With the arm down nothing is pulled, and a bag presses all the same: card, bars and words say it."""
    hung = suspend(figure_of_eight(woman), SingleControl(figure_of_eight(woman)).law, 50.0).axilla_line_load
    shown = ask(lab, arm_flexion=0.0, load=50.0)
    assert hung > 900.0
    assert _readings(shown)["In the armpit"] == pytest.approx(1e-3 * hung, abs=0.006)
    assert _notes(shown)["In the armpit"].startswith("by the load, mean ")
    assert _notes(shown)["In the armpit"].endswith("by the pull 0.00 N/mm")
    assert f"that load presses {1e-3 * hung:.2f} N/mm" in shown["words"]
    assert f"0.93 N/mm by the pull and {1e-3 * hung:.2f} N/mm by the load" in shown["words"]
    table = _PatternSetUps(None)._table("average-woman", "right")
    assert table["eight"].worse == pytest.approx(hung)
    assert table["eight"].armpit < hung
    pulled = ask(lab, load=10.0)
    assert _readings(pulled)["In the armpit"] == 0.93
    assert _notes(pulled)["In the armpit"].startswith("by the pull, mean 36.6 kPa; by the load 0.")


def test_what_is_beyond_every_published_excursion_is_called_an_upper_bound(lab: Lab) -> None:
    usual, low = ask(lab), ask(lab, pattern="diaphragm", lowered=mm(20), arm_flexion=deg(90))
    assert _readings(usual)["Captured"] < 63.0 < _readings(low)["Captured"]
    assert "upper bound" not in usual["words"] + _notes(usual)["Captured"]
    assert _notes(low)["Captured"].endswith("upper bound, published 53 ± 10 mm")
    assert "53 mm with a standard deviation of 10 mm: take it as an upper bound" in low["words"]
