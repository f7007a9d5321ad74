"""The chain lab without a browser."""

from __future__ import annotations

import re

import pytest

from controlkit.draw import Chain, chain_bars
from controlkit.draw.charts.chain import chain_parts
from controlkit.draw.words.chain import chain_words
from controlkit.labs import chain_lab
from controlkit.labs.chain import _ChainPositions
from controlkit.labs.controls import Slider
from controlkit.labs.frame import Lab
from controlkit.mechanics import FAULTS, POSITIONS, SingleControl, Wearer, figure_of_eight, reach
from controlkit.mechanics.chain.positions import FORWARD
from controlkit.units import deg, mm
from tests.written import unpacked

from .asking import ask as _ask


@pytest.fixture(scope="module")
def lab() -> Lab:
    """One lab for the module; every ask is independent of the one before."""
    return chain_lab()


@pytest.mark.parametrize("who", ["small-woman", "large-man"])
def test_every_position_and_both_ends_of_every_slider(lab: Lab, who: str) -> None:
    """Nothing that can be set is without an answer."""
    sliders = [c for c in lab.controls if isinstance(c, Slider)]
    for position in (key for key, _ in next(c for c in lab.controls if c.key == "position").options):
        for low in (True, False):
            ends = {s.key: s.low if low else s.high for s in sliders}
            shown = _ask(lab, wearer=who, position=position, **ends)
            assert "nan" not in unpacked("".join(shown["pictures"]))
            assert "no value" not in shown["words"], (position, ends)


def test_every_fault_can_be_chosen_and_is_named(lab: Lab) -> None:
    """All faults of the mechanics are there, and each has an answer."""
    keys = [key for key, _ in next(c for c in lab.controls if c.key == "fault").options]
    assert len(keys) == len(FAULTS) + 1
    for key, fault in zip(keys[1:], FAULTS, strict=True):
        assert f"Fault of the set-up: {fault.name}" in _ask(lab, fault=key, position="mouth")["words"]


def test_the_lab_shows_what_reach_computes() -> None:
    """Inadvertent, on command and the budget are those of the mechanics, for every position."""
    bench = _ChainPositions(None)
    start = chain_lab().plan["start"]
    found = reach(SingleControl(figure_of_eight(Wearer.average("female"))))
    for one in found:
        setting = {**start, "position": one.position.replace(" ", "-"), "scapular_abduction": FORWARD}
        chain = bench.ask(setting)
        assert chain.inadvertent == pytest.approx(one.inadvertent, abs=1e-5)
        assert chain.pull.opening == pytest.approx(one.on_command.opening, abs=1e-5)
        assert chain.budget.runs_out_first == one.budget.runs_out_first
    assert {one.position for one in found} == set(POSITIONS)


def test_straps_that_hold_a_harness_change_the_fly() -> None:
    """Ease in the anterior support strap, and a cross-back strap, are those of the mechanics."""
    bench, start = _ChainPositions(None), chain_lab().plan["start"]
    at_fly = {**start, "position": "fly", "scapular_abduction": FORWARD}
    opened = {}
    for name, straps, fitted in (
        ("snug", {}, {}),
        ("ease", {"support_strap": mm(20)}, {"support_strap": mm(20)}),
        ("cross-back", {"cross_back": True}, {"cross_back": 0.0}),
    ):
        opened[name] = bench.ask({**at_fly, **straps}).pull.opening
        system = SingleControl(figure_of_eight(Wearer.average("female"), **fitted))
        (found,) = reach(system, {"fly": POSITIONS["fly"]})
        assert opened[name] == pytest.approx(found.on_command.opening, abs=1e-5), name
    assert min(opened["ease"], opened["cross-back"]) > opened["snug"] + mm(5)


def test_excursion_adds_up_in_bars_and_budget() -> None:
    """Generated less all losses is what is captured: the last loss ends where captured ends."""
    for position, strap in (("mouth", 0.02), ("fly", 0.0), ("behind-the-back", 0.0)):
        setting = {**chain_lab().plan["start"], "position": position, "control_strap": strap}
        chain: Chain = _ChainPositions(None).ask(setting)
        left = chain.budget.generated - sum(chain.budget.lost.values())
        assert left == pytest.approx(chain.budget.captured, abs=1e-9)
        lengths, effort = chain_parts(chain)
        assert chain_bars(chain).words == lengths.words == chain_words(chain)
        assert lengths.words.endswith(effort.words)


def test_the_same_setting_gives_the_same_page_whatever_came_before() -> None:
    """Set-ups that start from one another change nothing but the time."""
    goal = {"ring_below_c7": mm(64), "scapular_abduction": deg(15), "bands": 5.0, "position": "mouth"}
    pages = []
    for order in (list(goal), list(reversed(goal))):
        fresh, values = chain_lab(), {}
        for key in order:
            values[key] = goal[key]
            page = _ask(fresh, **values)
        pages.append((page["words"], page["line"]))
    assert pages[0] == pages[1]


def test_units_and_pinned_setting(lab: Lab) -> None:
    """One system at a time; a pinned setting is compared in words and drawn as a ghost."""
    inch = _ask(lab, "inch-pound", pinned={**lab.plan["start"], "control_strap": 0.02})
    assert "Against the pinned setting (table)" in inch["words"]
    assert " mm" not in inch["words"]
    *_, lengths, effort = inch["pictures"]
    assert "[in]" in lengths
    assert "[lbf]" in effort


def test_left_and_right_are_mirrored(lab: Lab) -> None:
    """The numbers do not depend on the side."""
    right, left = _ask(lab, amputated="right"), _ask(lab, amputated="left")
    assert right["words"].split("Seen from")[0] == left["words"].split("Seen from")[0]


def test_outcomes_are_told_in_the_readers_units(lab: Lab) -> None:
    """A strap let out by 20 mm: its slack is one figure in each system."""
    for units, told, other in (("metric", "by 20.0 mm at rest", "in"), ("inch-pound", "by 0.79 in at rest", "mm")):
        slack, fault = (
            _ask(lab, units, **one)["words"] for one in ({"control_strap": mm(20)}, {"fault": "cable-too-long"})
        )
        assert f"hangs slack {told}" in slack
        assert "cable too long, by" in fault
        for words in (slack, fault):
            assert not re.search(rf"\d {other}\b", words)
