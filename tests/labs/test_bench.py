"""The bench lab: readings are what the mechanics has and their scatter, and what is said of a fault follows."""

from __future__ import annotations

import json
import re
from typing import Any

import numpy as np
import pytest

from controlkit.labs import bench_lab
from controlkit.labs.bench_readings import ABOVE, BELOW, LEVELS, Level, offered
from controlkit.labs.bench_shelf import (
    CASES,
    faults_of,
    fitted_above,
    fitted_below,
    hidden,
    read_all,
    shelf,
    shelf_wearer,
    worked_out,
)
from controlkit.labs.frame import Lab
from controlkit.labs.ranges import STRENGTH
from controlkit.mechanics import Wearer
from controlkit.mechanics.bench import Bench, WornBench, checkout
from controlkit.mechanics.bench.dual import checkout_above
from controlkit.mechanics.bench.faults import FaultsLeft, fewest
from controlkit.mechanics.bench.taken import Repeated
from controlkit.units import deg

from .asking import ask

SOUND: list[Level] = ["below", "above"]
NEAR_HEALTH = ", ".join(f"{key}@usual" for key in ("slip-opens", "lift-45", "hanger-90", "lock", "lever-90"))
EVERYTHING = ", ".join(f"{key}@usual" for key in BELOW)


@pytest.fixture(scope="module")
def lab() -> Lab:
    """The lab for the module."""
    return bench_lab()


def _truth(level: Level) -> dict[str, float]:
    wearer = shelf_wearer(level)
    return read_all(fitted_below(wearer) if level == "below" else fitted_above(wearer))


@pytest.mark.parametrize("level", SOUND)
def test_the_shelf_is_what_the_mechanics_reads(level: Level) -> None:
    """Health, and one fault of three sizes, worked out anew."""
    fault = next(fault for fault in faults_of(level) if fault.name == "control attachment strap slack")
    anew = worked_out(level, (fault,))
    noted = shelf(level)
    assert anew["healthy"][0] == {key: one.value for key, one in noted.healthy.items()}
    assert anew[fault.name] == [{key: one.value for key, one in size.items()} for size in noted.faults[fault.name]]


@pytest.mark.long
@pytest.mark.parametrize("level", SOUND)
def test_all_of_the_shelf_is_what_the_mechanics_reads(level: Level) -> None:
    anew, noted = worked_out(level), shelf(level)
    for fault in faults_of(level):
        assert anew[fault.name] == [{key: one.value for key, one in size.items()} for size in noted.faults[fault.name]]


def test_readings_are_those_of_the_checkout() -> None:
    """The same numbers as in the records of the mechanics, under other names."""
    system = fitted_below(shelf_wearer("below"))
    record, read, bench = checkout(system), _truth("below"), Bench(system)
    whole = bench.moved(system.device.travel)
    assert read["device"] / read["hanger-90"] == pytest.approx(record["control efficiency"].measured)
    assert read["mouth"] / whole == pytest.approx(record["opening at the mouth"].measured)
    assert read["fly"] / whole == pytest.approx(record["opening at the fly"].measured)
    assert read["arm-90"] / whole == pytest.approx(record["opening, elbow at 90"].measured)
    assert read["slip"] == pytest.approx(record["slip under the axial load"].measured)
    assert read["rest"] == pytest.approx(record["device still at rest"].measured)
    fitted = fitted_above(shelf_wearer("above"))
    above, there = checkout_above(fitted.system, lock=fitted.lock, strap=fitted.strap), _truth("above")
    assert there["device"] / there["hanger-90"] == pytest.approx(above["control efficiency"].measured)
    assert there["locked-90"] / whole == pytest.approx(above["opening, locked at 90"].measured)
    assert there["locked-mouth"] / whole == pytest.approx(above["opening at the mouth"].measured)
    assert there["live-90"] == pytest.approx(above["live lift"].measured)
    assert there["drawn"] == pytest.approx(above["cable to flex the forearm fully"].measured)
    assert there["lock"] == pytest.approx(above["lock reached by the lock motion"].measured)
    assert there["slip"] == pytest.approx(above["slip under the axial load"].measured)


def test_live_lift_is_least_where_the_forearm_is_low() -> None:
    read = _truth("above")
    assert read["live-60"] < read["live-90"] < read["live-120"]


def test_no_strength_of_the_slider_limits_the_hook_below_the_elbow() -> None:
    """Full opening, at the elbow angle that passes least, takes less than the least of them."""
    for wearer in (Wearer.at_percentile("female", 5), Wearer.average("male"), Wearer.at_percentile("male", 95)):
        system = fitted_below(wearer)
        full = system.device.force(system.device.travel)
        assert max(full / system.line(deg(angle)).efficiency for angle in range(0, 136, 15)) < STRENGTH[0]


def test_readings_scatter_as_said(lab: Lab) -> None:
    """Forty readings of one pull: their mean is the pull, and their spread half of what one may be off by."""
    truth = WornBench(fitted_below(Wearer.average("female"))).bench.at_device()
    told = ask(lab, take=", ".join(["device@usual"] * 40), wearer="average-woman")
    mean, doubt = (float(one["value"]) for one in told["readings"][:2])
    assert doubt == pytest.approx(2.0 / np.sqrt(40), abs=0.05)
    assert mean == pytest.approx(truth, abs=1.5 * doubt)
    spread = float(told["readings"][1]["note"].split()[1])
    assert 0.7 < spread < 1.4


def test_a_second_look_does_not_change_a_reading(lab: Lab) -> None:
    """One more reading leaves those before it as they were; another number has other ones."""
    first = ask(lab, task="search", number=3.0, take="device@usual, slack@usual")
    more = ask(lab, task="search", number=3.0, take="device@usual, slack@usual, ring@usual")
    other = ask(lab, task="search", number=5.0, take="device@usual, slack@usual")
    assert first["pictures"][3] != more["pictures"][3] != other["pictures"][3]
    for quantity in ("pull at the device", "slack"):
        assert _line(first, quantity) == _line(more, quantity)
    assert _line(first, "pull at the device") != _line(other, "pull at the device")


def _line(shown: dict[str, Any], name: str) -> str:
    words = shown["words"]
    at = words.index(f" {name}: ", words.index("The record."))
    return str(words[at : words.index(".", words.index(")", at))])


def test_what_a_scale_does_not_reach_is_no_reading_and_counts(lab: Lab) -> None:
    told = ask(lab, level="above", what="hanger-90", take="hanger-90@fine")
    assert "beyond the end of the small spring scale, 50.0 N; nothing is read. 1 reading so far." in told["words"]
    assert told["readings"][0]["label"] == "One may be off by"
    assert "off the scale" in told["pictures"][0]


def test_the_hidden_fault_is_nowhere_before_it_is_opened(lab: Lab) -> None:
    """Neither its name, nor its remedy, in anything that is sent; the same picture whatever is wrong."""
    pictures = set()
    for number in range(1, 18):
        shown = ask(lab, task="search", number=float(number), take=EVERYTHING)
        sent = json.dumps(shown, ensure_ascii=False)
        for fault in faults_of("below"):
            assert f"“{fault.name}”" not in sent
            assert fault.remedy not in sent
            assert f"named = {fault.name}" not in sent
        pictures.add((shown["pictures"][0].rpartition("<text")[0], shown["pictures"][1]))
        opened = ask(lab, task="search", number=float(number), take=EVERYTHING, open=True)
        assert f"Opened: {hidden('below', number).fault}" in opened["words"]
    assert len(pictures) == 1


@pytest.mark.parametrize("level", SOUND)
def test_every_fault_stands_on_the_shelf(level: Level) -> None:
    found = [hidden(level, number).fault for number in range(1, CASES + 1)]
    assert set(found) == {fault.name for fault in faults_of(level)}
    assert max(found.count(name) for name in found) <= 5


@pytest.mark.parametrize("level", SOUND)
def test_the_true_fault_stands_and_few_others(level: Level) -> None:
    """Read once each with scatter, all readings leave the true one in nearly every case, and it alone in most."""
    lab, kept, alone, missed = bench_lab(), 0, 0, []
    take = ", ".join(f"{key}@usual" for key in offered(level))
    for number in range(1, CASES + 1):
        told = ask(lab, level=level, task="search", number=float(number), take=take, tell=True)
        left = told["spoken"].partition("Left, ")[2].partition(". ")[0]
        wrong = hidden(level, number).fault
        if f"“{wrong}”" in left:
            kept += 1
            alone += left.count("“") == 1
        else:
            missed.append(number)
    assert kept >= 0.9 * CASES, missed
    assert alone >= 0.75 * CASES


@pytest.mark.parametrize("level", SOUND)
def test_the_fewest_readings_name_it_and_none_of_them_is_spare(level: Level) -> None:
    """Without scatter; where no reading tells, health or a neighbour is left as well."""
    signatures = shelf(level)
    for number in range(1, CASES + 1, 3):
        wrong = hidden(level, number)
        once = {key: Repeated((value,), (signatures.healthy[key].error,)) for key, value in wrong.readings.items()}
        chosen = fewest(signatures, wrong.readings)
        left = FaultsLeft(signatures, {key: once[key] for key in chosen}).left
        assert wrong.fault in left
        assert len(chosen) <= 4
        assert set(left) == set(FaultsLeft(signatures, once).left) or len(left) == 1


def test_a_wrong_fault_is_told_what_speaks_against_it(lab: Lab) -> None:
    told = ask(lab, task="search", number=19.0, take="slack@usual, cable@usual", named="control-attachment-strap-slack")
    assert "Against “control attachment strap slack” speaks “cable”: you read 77" in told["spoken"]
    assert "it is 750.0 mm." in told["spoken"]


def test_what_is_undecided_is_said(lab: Lab) -> None:
    """Two are left, and what would tell them apart; then it does."""
    told = ask(lab, task="search", number=19.0, take="slack@usual", named="control-attachment-strap-slack")
    assert "but 1 more fits as well" in told["spoken"]
    assert (
        "Undecided: “control attachment strap slack” or “cable too long”. “cable” would tell them apart."
        in told["spoken"]
    )
    told = ask(
        lab, task="search", number=19.0, take="slack@usual, cable@usual", named="cable-too-long", decides="cable"
    )
    assert "“cable” decides: without it “control attachment strap slack” would fit as well." in told["spoken"]
    told = ask(lab, level="above", task="search", number=14.0, take=NEAR_HEALTH, tell=True)
    assert hidden("above", 14).fault == "housing end too low"
    assert "“as it was fitted”" in told["spoken"]


def test_a_reading_of_the_other_level_is_refused_in_a_sentence(lab: Lab) -> None:
    told = ask(lab, level="above", what="table", take="table@usual, device@usual")
    assert "What is chosen is not read above the elbow" in told["spoken"]
    assert "1 reading so far" in told["spoken"]
    told = ask(lab, level="above", task="search", named="weak-bands")
    assert "not known at this level" in told["spoken"]


def test_the_repeat_of_the_tells_prediction(lab: Lab) -> None:
    """Of three readings only the tape along the cable lies apart for a slack strap and a long cable."""
    told = ask(lab, task="search", number=19.0, take="fly@usual, hanger-90@usual, cable@usual")
    number = [one.key for one in lab.predictions].index("tells")
    option, words, _ = told["answers"][number]
    assert (option, words.endswith("“cable” 5.0.")) == ("cable", True)


def _records(shown: dict[str, Any]) -> list[str]:
    """Names of the record's lines, from the top."""
    texts = re.findall(r"<text[^>]*>(.*?)</text>", shown["pictures"][3])
    plain = [re.sub(r"<[^>]*>", "", text) for text in texts]
    return [text.partition(":")[0] for text in plain if "±" in text]


def test_the_newest_reading_stands_on_top(lab: Lab) -> None:
    """Also where a quantity is read again; what is worked out stands below the later of its two readings."""
    device, hanger = "pull at the device", "hanger pull at 90°"
    told = ask(lab, take="device@usual, hanger-90@usual, ring@usual")
    assert _records(told)[:2] == ["C7 to ring", hanger]
    told = ask(lab, take="device@usual, hanger-90@usual, ring@usual, device@usual")
    assert _records(told) == [device, "efficiency at 90°", "C7 to ring", hanger, "share of the strongest pull"]
    told = ask(lab, take="device@usual, ring@usual, device@usual, hanger-90@usual")
    assert _records(told)[0] == hanger
    assert set(_records(told)[1:3]) == {"efficiency at 90°", "share of the strongest pull"}


def test_no_name_in_a_list_has_a_comma() -> None:
    """A list of readings that lack, or that would have been needed, is read as one."""
    for level in LEVELS:
        shorts = [one.short for one in offered(level).values()]
        assert not [short for short in shorts if "," in short]
        assert len(set(shorts)) == len(shorts)


def test_one_reading_is_one(lab: Lab) -> None:
    told = ask(lab, take="device@usual")
    assert told["readings"][0]["note"] == "1 reading of it; 1 in all"
    told = ask(lab, take="device@usual", what="ring")
    assert told["readings"][0]["note"] == "tape; 1 reading in all"
    assert "1 readings" not in json.dumps(told)


def test_outcomes_are_called_alike_in_the_list_and_in_the_record(lab: Lab) -> None:
    """Met, not met, not sure, left to the person; and against the fitting more, less, unchanged or not sure."""
    told = ask(lab, take="device@usual, hanger-90@usual, rest@usual, fly@usual, slip@usual")
    said = set(re.findall(r"\): ([^;.]+)[;.]", told["words"].partition("The record.")[2]))
    assert said <= {"met", "not met", "not sure", "left to the person"}
    assert len(said) == 4
    of_the_list = {row.outcome.partition(":")[0] for row in checkout(fitted_below(shelf_wearer("below"))).rows}
    assert of_the_list <= {"met", "not met", "not sure", "left to the person", "no figure to judge it by"}
    told = ask(lab, task="search", number=19.0, take="device@usual, slack@usual")
    assert re.findall(r"when fitted [^:]+: ([^.;]+)[.;]", told["words"].partition("The record.")[2])[:2] == [
        "unchanged",
        "more now",
    ]


def test_tell_lists_what_is_left_and_counts_what_is_ruled_out(lab: Lab) -> None:
    """However many: all of the list before anything has been read."""
    every = ask(lab, task="search", number=19.0, tell=True)["spoken"]
    assert f"Left, {len(faults_of('below')) + 1} of {len(faults_of('below')) + 1}:" in every
    assert all(f"“{fault.name}”" in every for fault in faults_of("below"))
    few = ask(lab, task="search", number=19.0, take="slack@usual", tell=True)["spoken"]
    assert "Left, 2 of 18: “control attachment strap slack” and “cable too long”. Ruled out: 16." in few


FOUND = {"task": "search", "number": 19.0, "take": "slack@usual, cable@usual", "named": "cable-too-long"}
FOUND = {**FOUND, "decides": "cable", "tell": True}


@pytest.mark.parametrize("moved", ["number = 20", "level = above", "task = checkout"])
def test_another_number_begins_with_an_empty_record(moved: str) -> None:
    """By a line, and typed: nothing is read, named or told; a line that names readings keeps those."""
    lab = bench_lab()
    ask(lab, **FOUND)
    lab.use(moved)
    assert "take = ;" in lab.setting
    assert "named = none; decides = none; tell = no; open = no" in lab.setting
    assert "Nothing has been read yet." in lab.shown["spoken"]
    lab.use("task = search; level = below; number = 7; take = slack@usual")
    assert "take = slack@usual;" in lab.setting


def test_a_number_that_is_typed_begins_with_an_empty_record() -> None:
    lab = bench_lab()
    ask(lab, **FOUND)
    values = lab.shown["values"]
    lab.asked = {"n": 99, "values": values, "units": "metric", "pinned": None, "typed": {"number": "20"}}
    assert "take = ;" in lab.setting
    assert "number = 20;" in lab.setting
    assert "named = none" in lab.setting
    ask(lab, **FOUND)
    lab.asked = {"n": 199, "values": values, "units": "metric", "pinned": None, "typed": {"strength": "300"}}
    assert "take = slack@usual, cable@usual;" in lab.setting, "the same prosthesis keeps its record"


@pytest.mark.parametrize("shown", ["tell", "open"])
def test_what_the_lab_has_told_meets_no_goal(shown: str) -> None:
    """Told, or opened, and hidden again: neither its fault nor its next reading counts on that number any more."""
    found = {**FOUND, "tell": False}
    two = {"task": "search", "number": 7.0, "take": "slack@usual", "what": "cable"}
    lab = bench_lab()
    assert ask(lab, **found)["verdicts"][1]["met"]
    assert ask(lab, **two)["verdicts"][2]["met"]
    ask(lab, **{"task": "search", "number": 19.0, "take": "", shown: True})
    again = ask(lab, **found)["verdicts"][1]
    assert again == {"met": False, "missing": ["on this number the lab has told you before: take another number"]}
    assert ask(lab, **two)["verdicts"][2]["met"], "another number is not spoiled"
    ask(lab, **{**two, shown: True})
    assert not ask(lab, **two)["verdicts"][2]["met"]


def test_a_named_fault_tells_the_next_reading_and_spoils_the_goal() -> None:
    two = {"task": "search", "number": 7.0, "take": "slack@usual", "what": "cable"}
    lab = bench_lab()
    told = ask(lab, **two, named="cable-too-long")
    assert "would tell them apart" in told["spoken"]
    assert not ask(lab, **two)["verdicts"][2]["met"]


def test_all_that_is_offered_can_be_read() -> None:
    for level in LEVELS:
        truth = hidden(level, 1).readings
        assert list(truth) == list(offered(level))
        assert all(np.isfinite(value) for value in truth.values())
    assert set(BELOW) & set(ABOVE) >= {"device", "hanger-90", "slip", "ring"}
