"""The strap lab without a browser."""

from __future__ import annotations

import itertools
from typing import Any

import pytest

from controlkit.labs import strap_lab
from controlkit.labs.controls import Choice, Slider, Tick
from controlkit.labs.frame import Lab
from controlkit.mechanics import Wearer

KEYS = ("ring_below_c7", "ring_to_sound_side", "control_strap", "crossbar", "arm_flexion", "scapular_abduction")


@pytest.fixture(scope="module")
def lab() -> Lab:
    """One lab for the module; every ask is independent of the one before."""
    return strap_lab()


def _ask(lab: Lab, units: str = "metric", pinned: dict[str, Any] | None = None, **values: Any) -> dict[str, Any]:
    setting = {**lab.plan["start"], **values}
    lab.asked = {"n": lab.shown["n"] + 1, "values": setting, "units": units, "pinned": pinned}
    assert not lab.shown["problem"], (values, lab.trouble)
    return dict(lab.shown)


def test_every_control_changes_words_and_picture(lab: Lab) -> None:
    """No control is idle."""
    start = _ask(lab)
    for control in lab._controls:
        if isinstance(control, Slider):
            value: Any = control.start + 0.2 * (control.high - control.start)
        elif isinstance(control, Tick):
            value = not control.start
        else:
            assert isinstance(control, Choice)
            value = next(name for name, _ in control.options if name != control.start)
        moved = _ask(lab, **{control.key: value})
        assert moved["words"] != start["words"], control.key
        assert moved["pictures"][0] != start["pictures"][0], control.key


def test_no_corner_of_the_sliders_fails(lab: Lab) -> None:
    """Every slider at either end, all combinations, on the smallest and the largest wearer."""
    ends = {c.key: (c.low, c.high) for c in lab._controls if isinstance(c, Slider) and c.key != "arm_flexion"}
    for who in ("small-woman", "large-man"):
        for corner in itertools.product(*ends.values()):
            shown = _ask(lab, wearer=who, arm_flexion=1.0, **dict(zip(ends, corner, strict=True)))
            assert "nan" not in shown["pictures"][0]
            assert "no value" not in shown["words"], corner


def test_two_orders_of_moves_give_the_same_page(lab: Lab) -> None:
    """What was shown before does not matter."""
    goal = {"ring_below_c7": 0.11, "control_strap": 0.015, "crossbar": 0.7, "arm_flexion": 1.0}
    pages = []
    for order in (list(goal), list(reversed(goal))):
        fresh = strap_lab()
        values: dict[str, Any] = {}
        for key in order:
            values[key] = goal[key]
            page = _ask(fresh, **values)
        pages.append((page["words"], page["line"]))
    assert pages[0] == pages[1]


def test_left_and_right_are_mirrored(lab: Lab) -> None:
    """The numbers do not depend on the side."""
    right, left = _ask(lab, amputated="right"), _ask(lab, amputated="left")
    assert right["words"].split("Seen from")[0] == left["words"].split("Seen from")[0]
    assert right["pictures"][0] != left["pictures"][0]


def test_pinned_setting_is_drawn_and_compared(lab: Lab) -> None:
    """A grey ghost, a grey curve, and the difference in words."""
    pinned = {**lab.plan["start"], "ring_below_c7": 0.12}
    shown = _ask(lab, pinned=pinned)
    assert "Against the pinned setting" in shown["words"]
    assert ">pinned<" in shown["pictures"][1]
    same = _ask(lab, pinned=dict(lab.plan["start"]))
    assert "captured excursion no change" in same["words"]


def test_units_follow_the_choice(lab: Lab) -> None:
    """One system at a time, in words, curves and labels."""
    metric, inch = _ask(lab, forces=True), _ask(lab, "inch-pound", forces=True)
    assert " mm" in metric["words"]
    assert " in;" not in metric["words"]
    assert " in;" in inch["words"]
    assert " mm" not in inch["words"]
    assert "excursion [in]" in inch["pictures"][1]
    assert " lbf<" in inch["pictures"][0]


def test_own_wearer_comes_first() -> None:
    """A wearer handed in is on show, on her own side."""
    own = strap_lab(Wearer.average("female", amputated="left", name="Maren"))
    assert "Maren, left arm amputated" in own.shown["words"]
    assert own.shown["values"]["wearer"] == "own"
