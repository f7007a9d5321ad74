"""The sequence lab without a browser."""

from __future__ import annotations

import pytest

from controlkit.draw import PARTS
from controlkit.labs import sequence_lab
from controlkit.labs.frame import Lab
from controlkit.labs.remembered import Remembered
from controlkit.labs.sequence import _STEPS
from controlkit.labs.setting import read_line, write_line
from controlkit.mechanics import (
    Pose,
    SingleControl,
    Wearer,
    figure_of_eight,
    hook_closing,
    hook_opening,
    operating_sequence,
)
from controlkit.units import InputError, deg, mm

from .asking import ask as _ask

DEVICES = {"opening": hook_opening(), "closing": hook_closing(), "closing-lock": hook_closing(lock=True)}


@pytest.fixture(scope="module")
def lab() -> Lab:
    """One lab for the module; every ask is independent of the one before."""
    return sequence_lab()


def _written(order: tuple[str, ...]) -> str:
    return ", ".join(name.replace(" ", "-") for name in order)


@pytest.mark.parametrize("device", DEVICES)
def test_the_right_order_reaches_the_goal(lab: Lab, device: str) -> None:
    """What the mechanics finds is right step by step, for each device."""
    order = operating_sequence(SingleControl(figure_of_eight(Wearer.average("female")), device=DEVICES[device]))
    right = order.right_order()
    for count in range(1, len(right) + 1):
        shown = _ask(lab, device=device, step=_written(right[:count]))
        assert f"Step {count}, {right[count - 1]}: right." in shown["words"]
    assert "The errand is done and all is back where it was, without a wrong step." in shown["words"]
    assert shown["pictures"][2].count("<circle") == len(right)


@pytest.mark.parametrize("device", DEVICES)
def test_a_wrong_step_says_its_consequence(lab: Lab, device: str) -> None:
    """Every single step from the start: right, or told what it does; a missing lock is said."""
    task = operating_sequence(DEVICES[device])
    for key, name in _STEPS.items():
        words = _ask(lab, device=device, step=key)["words"]
        if name not in task.steps:
            assert "This device has no lock" in words
        elif task.take(task.start, name).consequence:
            assert task.take(task.start, name).consequence.said("metric") in words
            assert "lbf" not in words
            assert ": right." not in words
        else:
            assert f"Step 1, {name}: right." in words


def test_what_falls_lies_on_the_table_and_can_be_set_up_again(lab: Lab) -> None:
    """Pulling at the mouth with voluntary opening, letting go there with voluntary closing."""
    opening = "pre-position, reach-out, pull, surround, let-go, bring-to-the-mouth, pull"
    closing = "pre-position, reach-out, surround, pull, bring-to-the-mouth, let-go"
    for device, steps in (("opening", opening), ("closing", closing)):
        assert "object out of reach" in _ask(lab, device=device, step=steps)["words"]
        words = _ask(lab, device=device, step=f"{steps}, lower-to-the-table, set-up-again", tell=True)["words"]
        assert "object on the table" in words
        assert "Right now would be:" in words


def test_every_part_is_named_and_numbered(lab: Lab) -> None:
    """From behind all parts are seen, each with the number that the menu gives it; each says what it is for."""
    menu = dict(next(control["options"] for control in lab.plan["controls"] if control["key"] == "part"))
    for number, (part, purpose) in enumerate(PARTS.items(), 1):
        shown = _ask(lab, part=part.replace(" ", "-"), view=0.0)
        assert f"Part {number}, {part} (ringed in the picture): it {purpose}." in shown["words"]
        assert menu[part.replace(" ", "-")] == f"{number} {part}"
        assert f">{number}</text>" in shown["pictures"][0]
    assert "(hidden in this view)" in _ask(lab, part="axilla-loop", view=deg(90))["words"]


def test_a_wider_object_needs_more_travel(lab: Lab) -> None:
    """With voluntary opening; with voluntary closing it needs less."""

    def travel(device: str, width: float, steps: str) -> float:
        words = _ask(lab, device=device, width=width, step=steps)["words"]
        return float(words.split("It needs: pull ")[1].split(" mm")[0])

    assert travel("opening", mm(40), "pre-position, reach-out, pull") > (
        travel("opening", mm(20), "pre-position, reach-out, pull") + 3
    )
    assert travel("closing", mm(40), "pre-position, reach-out, surround, pull") < travel(
        "closing", mm(20), "pre-position, reach-out, surround, pull"
    )


def test_a_device_that_was_not_turned_is_seen_askew_and_told(lab: Lab) -> None:
    """The second picture stands with its angle until the device is pre-positioned; the arm would have to lift."""
    before = _ask(lab, step="reach-out")
    assert "askew by 60°" in before["pictures"][1]
    assert "it must lift the elbow by" in before["words"]
    after = _ask(lab, step="pre-position, reach-out")
    assert "square to the object" in after["pictures"][1]
    assert "askew" not in after["words"]
    assert "the device turned by 60°" in _ask(lab, step="pre-position")["words"]


@pytest.mark.parametrize(("turned", "words"), [(0, "square to the object"), (90, "no opening of this device passes")])
def test_how_far_it_is_turned_away_is_a_control(lab: Lab, turned: int, words: str) -> None:
    """From square, where the step is not needed, to one finger above the other."""
    assert words in _ask(lab, turned=deg(turned))["words"]


def test_steps_are_read_back_from_the_line_and_bad_ones_refused(lab: Lab) -> None:
    """The setting in one line holds the steps."""
    line = _ask(lab, step="reach-out, pull")["line"]
    assert line.startswith("step = reach-out, pull; ")
    values = read_line(lab.controls, line, lab.plan["start"])
    assert write_line(lab.controls, values) == line
    assert read_line(lab.controls, "step = ", lab.plan["start"])["step"] == ""
    with pytest.raises(InputError, match="There is no step “jump”"):
        read_line(lab.controls, "step = jump", lab.plan["start"])
    with pytest.raises(InputError, match=r"41 steps were taken\. At most 40"):
        read_line(lab.controls, "step = " + "pull, " * 41, lab.plan["start"])


def test_a_long_row_of_steps_keeps_the_last_in_the_picture(lab: Lab) -> None:
    """Only the last ones have room; the words count them all."""
    shown = _ask(lab, step=", ".join(["reach-out"] * 30))
    assert ">30. reach out" in shown["pictures"][2]
    assert "Step 30, reach out" in shown["words"]


def test_a_set_up_that_remembers_answers_the_same() -> None:
    """Asked twice, and beside one that does not remember."""
    harness = figure_of_eight(Wearer.average("male"))
    plain = SingleControl(harness)
    kept, poses = Remembered(plain), [Pose(arm_flexion=0.1), Pose(arm_flexion=0.5)]
    for _ in range(2):
        assert kept.at(arm_flexion=deg(30)).opening == plain.at(arm_flexion=deg(30)).opening
        assert list(kept.sweep([0.1, 0.5]).captured) == list(plain.sweep([0.1, 0.5]).captured)
    assert kept.through(poses) is kept.sweep([0.1, 0.5])
    assert operating_sequence(kept).right_order() == operating_sequence(plain).right_order()


def test_left_and_right_are_mirrored_and_units_followed(lab: Lab) -> None:
    """The numbers do not depend on the side; amounts follow the unit system."""
    steps = "pre-position, reach-out, pull"
    right, left = _ask(lab, step=steps, amputated="right"), _ask(lab, step=steps, amputated="left")
    assert right["words"].split("Seen from")[0] == left["words"].split("Seen from")[0]
    inch = _ask(lab, "inch-pound", step=steps, pinned=dict(lab.plan["start"]))
    assert " mm" not in inch["words"]
    assert "The pinned setting has 0 steps" in inch["words"]
