"""What lesson 1 says in words is what the model computes."""

from __future__ import annotations

from math import asin, cos, degrees, sin
from pathlib import Path

import nbformat
import pytest

from controlkit.mechanics import (
    POSITIONS,
    SingleControl,
    Wearer,
    figure_of_eight,
    hook_closing,
    hook_opening,
    operating_sequence,
)
from controlkit.mechanics.sequence import OperatingSequence, arm_instead, opening_askew
from controlkit.sources import source
from controlkit.units import deg, mm


@pytest.fixture(scope="module")
def joost() -> SingleControl:
    """The set-up of the lesson."""
    return SingleControl(figure_of_eight(Wearer.average("male", amputated="right", name="Joost")))


@pytest.fixture(scope="module")
def opening(joost: SingleControl) -> OperatingSequence:
    """His hook and a glass of 30 mm."""
    return operating_sequence(joost, width=mm(30))


@pytest.fixture(scope="module")
def closing(joost: SingleControl) -> OperatingSequence:
    """The other principle."""
    return operating_sequence(SingleControl(joost.harness, device=hook_closing()), width=mm(30))


def test_his_three_accidents(opening: OperatingSequence) -> None:
    """A device turned away and shut fingers push the glass over; a pull at the mouth lets it fall."""
    judged = opening.judge(["reach out", "pull", "surround"])
    assert "Askew by 60.0°" in judged.words[1]
    assert "push it over" in judged.words[1]
    judged = opening.judge(["pre-position", "reach out", "surround"])
    assert "push it over" in judged.words[0]
    judged = opening.judge(["pre-position", "reach out", "pull", "surround", "let go", "bring to the mouth", "pull"])
    assert judged.taken[-1].after["object"] == "out of reach"
    assert all(made.right for made in judged.taken[:-1])


def test_pull_and_surround_change_places(opening: OperatingSequence, closing: OperatingSequence) -> None:
    first, second = opening.right_order(), closing.right_order()
    assert first[:5] == ("pre-position", "reach out", "pull", "surround", "let go")
    assert second[:4] == ("pre-position", "reach out", "surround", "pull")
    assert [name for name in first if name == "pull"] == ["pull", "pull"]


def test_what_holds_and_what_lets_fall(opening: OperatingSequence, closing: OperatingSequence) -> None:
    """The cable is slack on the way with voluntary opening, pulled with voluntary closing."""
    for task, cable in ((opening, "slack"), (closing, "pulled")):
        made = {one.step: one for one in task.judge(task.right_order()).taken}
        assert made["bring to the mouth"].before["cable"] == cable
        assert made["bring to the mouth"].before["object"] == "held"
    fallen = closing.judge(["pre-position", "reach out", "surround", "pull", "bring to the mouth", "let go"]).taken[-1]
    assert fallen.after["object"] == "out of reach"
    locked = operating_sequence(hook_closing(lock=True), width=mm(30))
    relaxed = locked.judge(["pre-position", "reach out", "surround", "pull", "let go", "bring to the mouth"]).taken
    assert all(one.right for one in relaxed)
    assert relaxed[-1].after["object"] == "held"


def test_reaching_is_itself_a_pull(opening: OperatingSequence) -> None:
    made = {one.step: one.amount for one in opening.judge(opening.right_order()).taken}
    assert made["bring to the mouth"].inadvertent > mm(5)
    assert made["reach out"].inadvertent < mm(1)  # so near, straps and pad take it up


@pytest.mark.parametrize("turned", [15, 30, 45, 60, 75])
def test_the_elbow_takes_about_as_many_degrees_as_the_wrist_was_not_given(joost: SingleControl, turned: int) -> None:
    instead = arm_instead(joost.harness.wearer, POSITIONS["table"], deg(turned))
    assert instead is not None
    assert instead.lift == pytest.approx(deg(turned), rel=0.1)


def test_without_pre_positioning_the_device_goes_nearly_half_a_metre_and_begins_to_open(joost: SingleControl) -> None:
    """At 60 degrees; the hook opens on the way, with the arm lifted and the scapula unmoved."""
    instead = arm_instead(joost.harness.wearer, POSITIONS["table"], deg(60))
    assert instead is not None
    assert mm(440) < instead.moved < mm(500)
    (lifted,) = joost.over([instead.pose])
    assert lifted.excursion.captured > joost.over([POSITIONS["table"]])[0].excursion.captured
    assert mm(8) < lifted.opening < mm(20)  # it begins to open
    assert opening_askew(mm(30), deg(60)) == pytest.approx(mm(60))


def test_what_hinges_pass_on_stands_with_its_flag() -> None:
    """Half with flexible ones; of rigid ones the sources disagree, from none to all."""
    half, rigid = source("checkout_rotation_share"), source("rigid_hinge_rotation")
    assert half.si == pytest.approx(0.5)
    assert (rigid.si_low, rigid.si_high) == (0.0, 1.0)
    assert half.flag == rigid.flag == "seen-second-hand"


def test_grip_falls_with_the_pull_and_rises_with_it() -> None:
    hook, other = hook_opening(), hook_closing()
    pulls = (0.0, 10.0, 20.0, 30.0, 40.0)
    opens = [hook.pinch(mm(30), pull) for pull in pulls]
    closes = [other.pinch(mm(30), pull) for pull in pulls]
    assert opens == sorted(opens, reverse=True)
    assert opens[0] > 10.0
    assert opens[-1] == 0.0
    assert closes == sorted(closes)
    assert closes[0] == 0.0


def test_a_wider_object_needs_more_travel_to_open_and_less_to_close() -> None:
    hook, other = hook_opening(), hook_closing()
    assert hook.travel_for(mm(55)) > hook.travel_for(mm(35))
    assert other.travel_for(mm(45)) < other.travel_for(mm(25))


def test_two_fingers_and_a_lever() -> None:
    """Travel = r phi, w = 2 d sin(phi / 2), against the model."""
    hook = hook_opening()
    for opening in (mm(20), mm(50), mm(70)):
        assert hook.lever * 2 * asin(opening / (2 * hook.finger)) == pytest.approx(hook.travel_for(opening))


def test_the_worked_numbers_are_those_of_hook_and_cosine() -> None:
    """As the text prints them: opening askew; half the angle, the angle in both units, and the travel."""
    path = Path(__file__).resolve().parents[2] / "course" / "01-shoulder-to-grasp.ipynb"
    text = {cell.id: cell.source for cell in nbformat.read(path, as_version=4).cells}
    assert f"cos 60° = {cos(deg(60)):.1f}, so" in text["explain-askew"]
    assert f"30 mm / 0.5 = {1000 * opening_askew(mm(30), deg(60)):.0f} mm" in text["explain-askew"]
    hook, demand = hook_opening(), text["explain-demand-2"]
    finger, lever, opening = 1000 * hook.finger, 1000 * hook.lever, 70
    assert f"*d* = {finger:.0f} mm and *r* = {lever:.0f} mm" in demand
    half = opening / (2 * finger)
    angle = 2 * round(degrees(asin(half)), 1)
    assert f"= {opening} / {2 * finger:.0f} = {half:.3f}" in demand
    assert f"makes that {angle / 2:.1f}°, so *φ* = {angle:.1f}°" in demand
    turned = angle / 57.3
    assert f"{angle:.1f} / 57.3 = {turned:.3f} radians" in demand
    assert f"{lever:.0f} mm · {turned:.3f} = {lever * turned:.1f} mm" in demand
    assert lever * turned == pytest.approx(1000 * hook.travel_for(mm(opening)), rel=0.002)
    assert sin(deg(angle) / 2) == pytest.approx(half, rel=0.002)


def test_the_hook_lies_in_what_the_textbook_states() -> None:
    hook, travel = hook_opening(), source("vo_hook_travel")
    assert travel.si_low <= hook.travel <= travel.si_high
    assert hook.pinch() / hook.bands == pytest.approx(source("pinch_per_band").si, rel=0.01)
