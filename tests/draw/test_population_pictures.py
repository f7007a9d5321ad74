"""Marks and bars of many wearers: one mark each, where its numbers say, its form telling what became of it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from controlkit.draw import render_svg
from controlkit.draw.charts.population import served_bars, wearer_marks
from controlkit.draw.page.scene import Dot, Label, Line, Region
from controlkit.draw.words.population import FAILS, SEVERAL, Census, Entry, census_words, one_words, outcome
from controlkit.mechanics import Wearer
from controlkit.mechanics.study import Served, candidates, interval
from controlkit.mechanics.study.fitting import TrialWearer
from controlkit.units import mm

SIZE = (266.0, 250.0)
REASONS = ((), ("excursion",), ("force",), ("drops",), ("excursion", "force"), ("no hold",))


def _found(left: float, fails: tuple[str, ...]) -> Served:
    nothing = float("nan")
    if "no hold" in fails:
        return Served(excursion_left=nothing, force=nothing, share=nothing, keeps=nothing, fails=fails)
    return Served(excursion_left=mm(left), force=30.0, share=0.2, keeps=mm(4), fails=fails)


@pytest.fixture(scope="module")
def census() -> Census:
    """Six wearers, each with another outcome."""
    people = candidates(("female", "male"), 6)
    entries = tuple(
        Entry(who=who, strength=who.strength(30.0), found=_found(4.0 * k - 8.0, fails))
        for k, (who, fails) in enumerate(zip(people, REASONS, strict=True))
    )
    own = TrialWearer(wearer=Wearer.average("female", name="Ines"), luck=1.0)
    return Census(
        entries=entries, people=people, age=30.0, own=Entry(who=own, strength=140.0, found=_found(3.0, ("force",)))
    )


def test_the_form_tells_what_became_of_each(census: Census) -> None:
    """A full dot, a triangle, a square, a diamond, a cross of two strokes; nothing where there is no hold."""
    scene = wearer_marks(replace(census, entries=census.entries), "stature", size=SIZE, units="metric")
    corners = {}
    for item in scene.items:
        if isinstance(item, Region):
            corners[item.name] = len(item.points)
    assert corners[FAILS["excursion"]] == 3
    assert corners[FAILS["force"]] == corners[FAILS["drops"]] == 4
    assert corners["the one it is fitted for"] == 10
    assert [item.name for item in scene.items if isinstance(item, Dot)] == ["served"] * 2  # the mark and its key
    assert sum(isinstance(item, Line) and item.name == SEVERAL for item in scene.items) == 4
    assert not any(getattr(item, "name", "") == FAILS["no hold"] for item in scene.items)


def test_marks_stand_where_their_numbers_say(census: Census) -> None:
    """To the right by the measure, upwards by what is left; each to scale."""
    scene = wearer_marks(census, "stature", size=SIZE, units="metric")
    regions = {item.name: item.points.mean(axis=0) for item in reversed(scene.items) if isinstance(item, Region)}
    force, star = regions[FAILS["force"]], regions["the one it is fitted for"]
    entry = census.entries[2]
    ticks = {
        item.lines[0]: item.at for item in scene.items if isinstance(item, Label) and item.anchor in ("end", "middle")
    }
    zero, twenty = ticks["0"][1], ticks["20"][1]
    assert (force[1] - zero) / (twenty - zero) == pytest.approx(1e3 * entry.found.excursion_left / 20.0, abs=0.02)
    assert (star[1] - zero) / (twenty - zero) == pytest.approx(3.0 / 20.0, abs=0.02)
    right = force[0] > star[0]
    assert right == (entry.who.wearer.stature > census.own.who.wearer.stature)


def test_the_axis_stands_still_while_wearers_come(census: Census) -> None:
    few = replace(census, entries=census.entries[:1])
    labels = [
        [(item.lines, item.at) for item in wearer_marks(one, "girth", size=SIZE).items
         if isinstance(item, Label) and item.at[1] > -0.19]
        for one in (few, census)
    ]  # fmt: skip
    assert labels[0] == labels[1]


def test_bars_have_the_interval_of_their_share(census: Census) -> None:
    scene = served_bars(census, size=SIZE, units="metric")
    notes = [item.lines[0] for item in scene.items if isinstance(item, Label) and item.lines[0].endswith("%")]
    assert notes == ["17 %", "33 %", "33 %", "17 %", "17 %"]
    whiskers = [item.points for item in scene.items if isinstance(item, Line) and item.style == "whisker"]
    low, high = interval(1, 6)
    wide = whiskers[0][:, 0].max() - whiskers[0][:, 0].min()
    other = whiskers[1][:, 0].max() - whiskers[1][:, 0].min()
    assert wide / other == pytest.approx((high - low) / np.subtract(*interval(2, 6)[::-1]), rel=1e-6)


def test_words_count_all_and_speak_the_readers_units(census: Census) -> None:
    said = census_words(census, "stature", "metric")
    assert "1 of 6 wearers tried are served: 17 %" in said
    for words in (*FAILS.values(), SEVERAL):
        assert f"{words} in 1" in said
    inches = census_words(census, "stature", "inch-pound") + one_words(census.own, "inch-pound")
    assert " mm" not in inches
    assert "Ines" in inches
    assert "still to be tried" in census_words(replace(census, entries=census.entries[:4]), "girth", "metric")
    assert [outcome(one.found) for one in census.entries] == ["served", *list(FAILS.values())[:3], SEVERAL, "no hold"]


@pytest.mark.parametrize("key", ["girth", "arm", "stature", "breadth", "strength"])
@pytest.mark.parametrize("units", ["metric", "inch-pound"])
def test_every_layout_is_drawn(census: Census, key: str, units: str) -> None:
    scene = wearer_marks(census, key, census.own, size=SIZE, units=units)  # type: ignore[arg-type]
    svg = render_svg(scene)
    assert "nan" not in svg
    assert ("[mm]" in svg) == (units == "metric")
    empty = wearer_marks(replace(census, entries=()), key, None, size=SIZE, units=units)  # type: ignore[arg-type]
    assert "none yet" in empty.words
