"""Sentences for outcomes: each code has one, in the reader's units."""

from __future__ import annotations

import re

import pytest

from controlkit.benchtable import findings
from controlkit.draw.words.states import WORDS, state_sentence, worth_knowing
from controlkit.mechanics.states import CODES, NAME, VALUES, State

METRIC = re.compile(r"\d (mm|cm|m|N|kg|kPa)\b")
INCH_POUND = re.compile(r"\d (in|lbf|lb|psi)\b")


def a_state(code: str) -> State:
    """A state of a code, with some values."""
    return State.of(code, **{name: "chest strap" if VALUES[name][0] == NAME else 0.0254 for name in CODES[code][1]})


def test_every_code_has_words_in_one_room() -> None:
    """What bench readings say is worded where readings are answered, all else here."""
    reading = {code for code, (kind, _) in CODES.items() if kind == "reading"}
    assert set(WORDS) == set(CODES) - reading
    assert set(findings._NOTES) == reading


@pytest.mark.parametrize("code", WORDS)
def test_a_sentence_speaks_the_readers_units(code: str) -> None:
    state = a_state(code)
    metric, inch, both = (state_sentence(state, units) for units in ("metric", "inch-pound", "both"))
    assert not INCH_POUND.search(metric)
    assert not METRIC.search(inch)
    assert bool(METRIC.search(metric)) == bool(INCH_POUND.search(inch))
    if METRIC.search(metric):
        assert METRIC.search(both)
        assert INCH_POUND.search(both)
        assert metric != inch != both
    for said in (metric, inch, both):
        assert "{" not in said
        assert said[0].islower()
        assert said[-1] not in ".;"


@pytest.mark.parametrize("code", list(findings._NOTES))
def test_a_note_on_readings_has_both_systems_or_none(code: str) -> None:
    said = findings._NOTES[code](a_state(code).values)
    assert bool(METRIC.search(said)) == bool(INCH_POUND.search(said))


def test_two_sentences_as_they_are_read() -> None:
    slack = State.of("control-strap-slack", strap="control attachment strap", slack=0.02)
    assert state_sentence(slack, "metric") == "the control attachment strap hangs slack by 20.0 mm at rest"
    assert state_sentence(slack) == "the control attachment strap hangs slack by 20.0 mm (0.79 in) at rest"
    risen = State.of("ring-ridden-up", crossing="ring", risen=0.031)
    assert state_sentence(risen, "inch-pound") == "the ring has ridden up by 1.2 in"
    stopped = State.of("elbow-stopped", elbow_flexion=1.5707963)
    assert (
        state_sentence(stopped)
        == "the housing is too short: where pad and retainer do not give, it stops the elbow at 90 degrees"
    )
    assert worth_knowing([risen, stopped], "metric").startswith(" Worth knowing: the ring has ridden up by 31 mm; the ")
    assert worth_knowing([]) == ""
