"""The sourced values and the survey statistics as data: complete, typed, read-only."""

from __future__ import annotations

import dataclasses
import html
import re
from dataclasses import replace

import numpy as np
import pytest

from controlkit.draw import facts
from controlkit.draw.page import tables
from controlkit.mechanics.bench import CheckoutRow, record
from controlkit.sources import FLAGS, SourcedValue, all_records, all_sources, source, survey
from controlkit.units import InputError, read

VALUES = all_sources()


def test_every_flag_has_words_of_its_own() -> None:
    """A record or a table can say of any value how it was come by."""
    assert {value.flag for value in VALUES} <= set(FLAGS)
    assert all(FLAGS.values())
    assert len(set(FLAGS.values())) == len(FLAGS)


@pytest.mark.parametrize("flag", FLAGS)
def test_a_checkout_row_and_a_table_word_every_flag(flag: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """None is left without words, whichever a criterion rests on."""
    value = replace(source("checkout_slip"), flag=flag)
    for room in (record, tables):
        monkeypatch.setattr(room, "source", lambda _: value)
    row = CheckoutRow(test="t", measured=None, kind="ratio", source=value.id, how="")
    assert FLAGS[flag] in row.cells
    assert FLAGS[flag] in str(facts(value.id))


def test_a_table_of_facts_folds_its_sources_each_once() -> None:
    """Value and flag are on show; record and remarks of several values from one source stand behind one line."""
    names = ("ring_below_c7", "ring_to_sound_side", "control_strap_level", "arm_flexion_excursion")
    table = facts(*names)
    assert [len(row) for row in table.rows] == [3, 3, 3, 3]
    records = [source(name).citation for name in names]
    assert len(set(records)) == len(table.sources) == 2
    shown, folded = table.html().split("<details>")
    assert html.unescape(folded).count(records[0]) == 1
    assert records[0] not in html.unescape(shown)
    for name in names:
        assert source(name).what in shown
        assert FLAGS[source(name).flag] in shown
        assert f"{source(name).what}: {source(name).note}" in html.unescape(folded)
    assert all(record in str(table) for record in records)
    full = facts(*names, in_full=True)
    assert not full.sources
    assert [row[3].startswith(record) for row, record in zip(full.rows, records, strict=True)] == [True] * 4


@pytest.mark.parametrize("value", VALUES, ids=lambda value: value.id)
def test_every_value_is_complete(value: SourcedValue) -> None:
    assert re.fullmatch(r"[a-z][a-z0-9_]*", value.id)
    assert value.what
    assert value.flag in FLAGS
    assert len(value.citation) > 10
    assert value.factor > 0.0
    shapes = (value.value is not None, value.low is not None, bool(value.series))
    assert sum(shapes) == 1, "one of value, range or series"
    assert (value.low is None) == (value.high is None)
    if value.low is not None and value.high is not None:
        assert value.low < value.high
    assert len(value.series) == len(value.at)
    if value.sd is not None:
        assert value.value is not None
        assert 0.0 < value.sd < value.value


@pytest.mark.parametrize("value", VALUES, ids=lambda value: value.id)
def test_no_value_names_an_address(value: SourcedValue) -> None:
    text = " ".join((value.what, value.citation, value.note))
    assert not re.search(r"https?:|www\.|\.(com|org|net|io)\b", text)


def test_common_practice_is_what_no_source_was_found_for() -> None:
    """Three values only; each says so, and those of a force or a way name the nearest figure that was found."""
    practice = {value.id: value for value in VALUES if value.flag == "practice"}
    measured = {"shoulder_flexion_force_practice", "shoulder_flexion_excursion_practice"}
    assert set(practice) == {*measured, "elbow_lock_tries"}
    for value in practice.values():
        assert value.citation == "Common practice in the trade; no source found."
        assert "o source found" in value.note
    for value in (practice[name] for name in measured):
        nearest = re.search(r"No source found; the nearest is (\w+)", value.note)
        assert nearest is not None
        assert source(nearest[1]).flag == "seen-second-hand"


@pytest.mark.parametrize("value", [v for v in VALUES if v.flag == "seen-second-hand"], ids=lambda v: v.id)
def test_second_hand_says_where_it_was_read(value: SourcedValue) -> None:
    text = f"{value.citation} {value.note}"
    assert re.search(
        r"\b[Rr]ead (in|on)\b|as quoted|Quoted there|reproduced on|\bas in\b|a worked solution|that cite", text
    )


@pytest.mark.parametrize("value", [v for v in VALUES if v.flag == "memory"], ids=lambda v: v.id)
def test_memory_does_not_claim_to_have_been_read(value: SourcedValue) -> None:
    assert not re.search(r"\babstract\b|\b[Rr]ead (in|on) (?!an unattributed)", f"{value.citation} {value.note}")


def test_no_record_and_no_note_speaks_of_how_it_was_collected() -> None:
    """What was not seen is marked "from memory" or "not read" or "not found"; nothing else is said of it."""
    for text in (*all_records(), *(value.note for value in VALUES)):
        assert not re.search(r"onfidence|not shown|matched|excerpt", text), text


def test_flags_have_words() -> None:
    assert {value.flag for value in VALUES} == set(FLAGS)
    assert len({value.how_known for value in VALUES}) == len(FLAGS)


@pytest.mark.parametrize(
    "value", [v for v in VALUES if v.value is not None and v.kind not in ("count", "time")], ids=lambda value: value.id
)
def test_si_agrees_with_reading_the_printed_figure(value: SourcedValue) -> None:
    """The loader's factor against the reader of typed answers."""
    assert value.si == pytest.approx(read(f"{value.value!r} {value.unit}".removesuffix(" -"), value.kind), rel=1e-12)


def test_figures_in_pounds_and_inches_beside_newtons_and_metres() -> None:
    """The second figure of each note, converted by hand."""
    force, travel = source("shoulder_flexion_force_practice"), source("shoulder_flexion_excursion_practice")
    assert (round(force.si_low), round(force.si_high)) == (178, 267)
    assert (round(travel.si_low, 3), round(travel.si_high, 3)) == (0.102, 0.152)
    assert round(source("pinch_per_band").si, 1) == 4.4
    assert round(source("total_travel_above_elbow").si, 3) == 0.114


def test_a_range_has_no_single_value() -> None:
    travel = source("shoulder_flexion_excursion_practice")
    with pytest.raises(InputError, match="si_low and si_high"):
        _ = travel.si
    with pytest.raises(InputError, match="no standard deviation"):
        _ = travel.si_sd
    with pytest.raises(InputError, match="ask for si"):
        _ = source("pinch_per_band").si_low


def test_an_unknown_name_suggests_near_ones() -> None:
    with pytest.raises(InputError, match="pinch_per_band"):
        source("pinch_per_bands")
    with pytest.raises(InputError, match="all_sources"):
        source("zzzz")


def test_digits_follow_the_print() -> None:
    assert source("belt_example_post").digit == 0.01
    assert source("user_maximum_force").digit == 1.0
    assert source("hand_centre_de_leva_men").digit == 0.0001  # printed 0.7900


def test_values_cannot_be_changed() -> None:
    with pytest.raises(dataclasses.FrozenInstanceError):
        source("belt_example_post").value = 1.0  # type: ignore[misc]
    people = survey("female")
    with pytest.raises(ValueError, match="read-only"):
        people.mean[0] = 1.0
    assert survey("female") is people


@pytest.mark.parametrize("sex", ["female", "male"])
def test_survey_shapes_and_order(sex: str) -> None:
    people = survey(sex)
    assert len(people.order) == len(set(people.order)) == 24
    assert people.order[0] == "stature"
    assert people.order[-1] == "mass"
    for name in ("mean", "sd", "p05", "p95"):
        assert getattr(people, name).shape == (24,)
    assert people.correlation.shape == (24, 24)
    assert np.all(people.p05 < people.mean)
    assert np.all(people.mean < people.p95)
    assert "ilitary" in people.note


def test_survey_refuses_what_it_does_not_know() -> None:
    with pytest.raises(InputError, match="female"):
        survey("other")
    with pytest.raises(InputError, match="chest_depth"):
        survey("male").index("chest")
