"""The sourced values and the survey statistics as data: complete, typed, read-only."""

from __future__ import annotations

import dataclasses
import re
from dataclasses import replace

import numpy as np
import pytest

from controlkit.draw import facts
from controlkit.draw.page import tables
from controlkit.mechanics.bench import CheckoutRow, record
from controlkit.sources import FLAGS, SourcedValue, all_sources, source, survey
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


@pytest.mark.parametrize("value", [v for v in VALUES if v.flag in ("memory", "practice")], ids=lambda v: v.id)
def test_what_is_not_published_says_so(value: SourcedValue) -> None:
    if value.flag == "memory":
        assert "onfidence" in value.note
    else:
        assert value.citation.startswith("Common practice")


@pytest.mark.parametrize(
    "value", [v for v in VALUES if v.value is not None and v.kind not in ("count", "time")], ids=lambda value: value.id
)
def test_si_agrees_with_reading_the_printed_figure(value: SourcedValue) -> None:
    """The loader's factor against the reader of typed answers."""
    assert value.si == pytest.approx(read(f"{value.value!r} {value.unit}".removesuffix(" -"), value.kind), rel=1e-12)


def test_practice_rows_that_print_both_unit_systems() -> None:
    """The second figure of each row as common practice states it."""
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
    assert source("belt_example_1").digit == 0.01
    assert source("user_maximum_force").digit == 1.0
    assert source("hand_centre_de_leva_men").digit == 0.0001  # printed 0.7900


def test_values_cannot_be_changed() -> None:
    with pytest.raises(dataclasses.FrozenInstanceError):
        source("belt_example_1").value = 1.0  # type: ignore[misc]
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
