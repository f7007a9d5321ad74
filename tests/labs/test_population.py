"""The population lab: what it shows is what the mechanics answers, whoever is on show and whatever was asked before."""

from __future__ import annotations

import asyncio
import re
from itertools import product
from typing import Any

import pytest

from controlkit.draw.words.population import ACROSS
from controlkit.labs import population_lab, ranges
from controlkit.labs.frame import Lab
from controlkit.labs.population import _DEVICES
from controlkit.mechanics import ControlCable, SingleControl, Wearer, figure_of_eight, figure_of_nine, hand_opening
from controlkit.mechanics.study import Trial, TriedOn, candidates, interval, mean_strength, served, try_on
from controlkit.units import mm

from .asking import ask, in_a_loop

FEW = {"tried": 6.0}


@pytest.fixture(scope="module")
def lab() -> Lab:
    """The lab for the module, on few wearers."""
    return population_lab(Wearer.average("female", amputated="left", name="Marit"), setting="tried = 6")


def _readings(shown: dict[str, Any]) -> dict[str, str]:
    return {one["label"]: one["value"] for one in shown["readings"]}


def _trial(**worn: Any) -> Trial:
    harness = figure_of_eight(Wearer.average("male"), **{"ring_below_c7": mm(60), **worn})
    return Trial(system=SingleControl(harness, ControlCable(friction=0.08)))


def test_the_counts_are_what_the_mechanics_answers(lab: Lab) -> None:
    """Each wearer asked for without a lab."""
    shown = ask(lab, cross_back=True, **FEW)
    found = [
        served(try_on(_trial(cross_back=0.0), one.wearer).tried, one.strength(50.0), width=mm(25), allowed=0.2)
        for one in candidates(("female", "male"), 6)
    ]
    good = sum(not one.fails for one in found)
    low, high = interval(good, 6)
    (note,) = (one["note"] for one in shown["readings"] if one["label"] == "Served")
    assert note == f"{good} of 6; {100 * low:.0f} % to {100 * high:.0f} % at large"
    assert f"{good} of 6 wearers tried are served" in shown["words"]
    for reason, words in (("excursion", "too little excursion"), ("force", "too much force")):
        count = sum(reason in one.fails for one in found)
        assert f"{words} {100 * count / 6:.0f} %" in shown["words"]


def test_the_one_it_is_fitted_for_is_read_and_not_counted(lab: Lab) -> None:
    shown = ask(lab, strength=150.0, **FEW)
    one = served(try_on(_trial(), Wearer.average("female", amputated="left")).tried, 150.0, width=mm(25), allowed=0.2)
    found = _readings(shown)
    assert float(found["Excursion left"]) == pytest.approx(1e3 * one.excursion_left, abs=0.06)
    assert found["Share of strength"] == f"{100 * one.share:.0f}"
    assert float(found["Object"]) == pytest.approx(1e3 * one.keeps, abs=0.06)
    others = [ask(lab, strength=pull, **FEW)["readings"][0] for pull in (100.0, 400.0)]
    assert others[0] == others[1], "her strength is nobody else's"


def test_arrow_keys_walk_along_the_row(lab: Lab) -> None:
    """From the left end to the right, whatever the row is laid out by; each once."""
    people = candidates(("female", "male"), 6)
    for key, size in (
        ("stature", lambda one: one.wearer.stature),
        ("strength", lambda one: one.strength(50.0)),
        ("girth", lambda one: one.wearer.chest_circumference),
    ):
        expected = [one.wearer.name for one in sorted(people, key=size)]
        walked = []
        for number in range(1, 7):
            (note,) = (
                one["note"]
                for one in ask(lab, across=key, on_show=float(number), **FEW)["readings"]
                if one["label"] == "Excursion left"
            )
            walked.append(note.partition(",")[0])
        assert walked == expected
    last, beyond = (ask(lab, on_show=at, **FEW)["readings"] for at in (6.0, 60.0))
    assert last == beyond, "there is nobody beyond the last"


def test_what_only_reads_asks_the_mechanics_nothing(lab: Lab, monkeypatch: pytest.MonkeyPatch) -> None:
    """Object, share, age, strength, the row: all of it from what was found."""
    ask(lab, **FEW)

    def never(*_: object, **__: object) -> None:
        raise AssertionError("nothing is to be tried")

    monkeypatch.setattr("controlkit.labs.population.try_on", never)
    for moved in ({"width": mm(40)}, {"allowed": 0.1}, {"age": 75.0}, {"strength": 300.0}, {"across": "arm"}):
        ask(lab, **FEW, **moved)
    assert " of 4;" in ask(lab, tried=4.0)["readings"][0]["note"], "fewer are the first of more"


def test_strength_falls_with_age_and_only_force_fails_more(lab: Lab) -> None:
    young, old = (ask(lab, age=age, **FEW) for age in (50.0, 80.0))
    assert f"{mean_strength('female', 80.0):.0f} N in the mean of women" in old["words"]
    both = r"too little excursion (\d+) %, too much force (\d+) %"
    shares = [re.findall(both, one["words"])[0] for one in (young, old)]
    assert shares[0][0] == shares[1][0]
    assert int(shares[1][1]) > int(shares[0][1])


def test_other_harness_and_other_device() -> None:
    """A figure-of-nine has neither front strap nor cross-back strap; a hand has no bands."""
    lab = population_lab(setting="tried = 4")
    plain, strap = (ask(lab, tried=4.0, pattern="nine", cross_back=on) for on in (False, True))
    assert plain["readings"] == strap["readings"]
    few, many = (ask(lab, tried=4.0, device="hand", bands=bands)["readings"] for bands in (1.0, 5.0))
    assert few == many
    own = Wearer.at_percentile("female", 5, name="a small woman")
    nine = Trial(system=SingleControl(figure_of_nine(own, ring_below_c7=mm(60)), ControlCable(friction=0.08)))
    hand = Trial(system=SingleControl(figure_of_eight(own, ring_below_c7=mm(60)), ControlCable(friction=0.08),
                                      hand_opening()))  # fmt: skip
    for shown, trial in ((plain["readings"], nine), (few, hand)):
        one = served(try_on(trial, own).tried, 140.0, width=mm(25), allowed=0.2)
        (found,) = (float(entry["value"]) for entry in shown if entry["label"] == "Excursion left")
        assert found == pytest.approx(1e3 * one.excursion_left, abs=0.06)


def test_the_same_whatever_was_asked_before() -> None:
    moves = ({"cross_back": True}, {"bands": 2.0}, {"on_show": 2.0}, {"age": 70.0})
    pages = []
    for order in (moves, moves[::-1]):
        fresh, values = population_lab(setting="tried = 4"), {"tried": 4.0}
        for move in order:
            values |= move  # type: ignore[arg-type]
            shown = ask(fresh, **values)
        pages.append((shown["words"], shown["pictures"], shown["readings"]))
    assert pages[0] == pages[1]


def test_the_first_answer_comes_at_once_and_the_others_one_by_one() -> None:
    """In a kernel: the one on show first, then wearer after wearer, told as they come; whole, it says the same."""
    whole = population_lab(setting="tried = 5").words

    async def walk() -> None:
        lab, tried = population_lab(setting="tried = 5"), []
        assert lab.told["more"]
        assert lab.told["readings"][0]["note"] == "nobody tried yet"
        assert "Nobody has been tried yet." in lab.words
        assert all(lab.told["verdicts"][k]["missing"][0].endswith("still to be tried") for k in range(3))
        lab.observe(lambda change: tried.append(change.new["readings"][0]["note"]), names="told")
        while lab.told["more"]:
            await asyncio.sleep(0.01)
        assert [note.partition(" of ")[2].partition(";")[0] for note in tried] == [
            *(f"{k}, {5 - k} to come" for k in range(1, 5)), "5",
        ]  # fmt: skip
        assert lab.words == whole

    in_a_loop(walk())


def test_a_pinned_setting_is_laid_beside(lab: Lab) -> None:
    start = dict(lab.plan["start"])
    shown = ask(lab, pinned=start, cross_back=True, **FEW)
    assert "Of the pinned setting:" in shown["words"]
    assert "pinned: served" in shown["pictures"][2]


def test_sides_and_levels_of_a_wearer_of_ones_own() -> None:
    """Hers is the prosthesis that is drawn; any level is taken as below the elbow."""
    above = Wearer.average("male", amputated="left", level="transhumeral", name="Hugo")
    shown = population_lab(above, setting="tried = 4").shown
    assert "Hugo, left arm amputated below the elbow" in shown["words"]


def test_where_a_harness_has_no_hold_it_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    """No picture, a word, and nobody served."""

    def none(trial: Trial, wearer: Wearer) -> TriedOn:
        return TriedOn(system=trial.system.on(wearer))

    monkeypatch.setattr("controlkit.labs.population.try_on", none)
    lab = population_lab(setting="tried = 4")
    assert lab.shown["pictures"][0] == ""
    assert lab.told["readings"][0]["note"].startswith("0 of 4")
    assert "no hold" in lab.words
    assert lab.told["readings"][1]["note"].endswith("no hold")


def test_whoever_is_drawn_and_whoever_was_measured_can_be_set() -> None:
    """The strongest pull is moved, and typed, over one range, whatever the age."""
    drawn = [
        one.strength(age)
        for build, age in product(("any", "small", "large"), (20.0, 80.0))
        for one in candidates(("female", "male"), 120, build)
    ]
    low, high = ranges.STRENGTH_OF_MANY
    assert low <= min(*drawn, *ranges.STRENGTH)
    assert high >= max(*drawn, *ranges.STRENGTH)
    for typed in ("40 N", "68 N", "87 N", "538 N", "540 N"):
        assert f"strength = {typed}" in population_lab(setting=f"tried = 4; strength = {typed}").setting


def test_options_are_short_enough_for_their_menus() -> None:
    """Longer ones are cut off beside the charts; a picture of it decides, this only keeps it so."""
    names = [name for name, _ in ACROSS.values()] + [name for _, name in _DEVICES]
    assert max(map(len, names)) <= 16
