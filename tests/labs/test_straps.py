"""The strap lab without a browser."""

from __future__ import annotations

import itertools
import re
from typing import Any

import pytest

from controlkit.labs import strap_lab
from controlkit.labs.controls import Slider
from controlkit.labs.frame import Lab
from controlkit.mechanics import Wearer

from .asking import ask as _ask

KEYS = ("ring_below_c7", "ring_to_sound_side", "control_strap", "crossbar", "arm_flexion", "scapular_abduction")


@pytest.fixture(scope="module")
def lab() -> Lab:
    """One lab for the module; every ask is independent of the one before."""
    return strap_lab()


@pytest.mark.parametrize("all_of_them", [False, pytest.param(True, marks=pytest.mark.long)], ids=["half", "all"])
def test_no_corner_of_the_sliders_fails(lab: Lab, all_of_them: bool) -> None:
    """Every slider at either end on the smallest and the largest wearer; the half holds all combinations of four."""
    ends = {c.key: (c.low, c.high) for c in lab.controls if isinstance(c, Slider) and c.key != "arm_flexion"}
    for number, who in enumerate(("small-woman", "large-man")):
        for highs in itertools.product((0, 1), repeat=len(ends)):
            if not all_of_them and sum(highs) % 2 != number:
                continue
            corner = {key: both[high] for (key, both), high in zip(ends.items(), highs, strict=True)}
            shown = _ask(lab, wearer=who, arm_flexion=1.0, **corner)
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
    assert ">pinned<" in shown["pictures"][2]
    same = _ask(lab, pinned=dict(lab.plan["start"]))
    assert "captured excursion no change" in same["words"]


def test_the_sound_scapula_comes_with_the_other(lab: Lab) -> None:
    """Biscapular abduction captures more than one scapula; ticked without any abduction it changes nothing."""
    rest, one = (_ask(lab, scapular_abduction=angle, pinned=None)["words"] for angle in (0.0, 0.35))
    assert _ask(lab, biscapular=True)["words"] == rest
    both = _ask(lab, scapular_abduction=0.35, biscapular=True, pinned={**lab.plan["start"], "scapular_abduction": 0.35})
    assert "the scapula of the sound side has moved 20.1° forward" in both["words"]
    assert re.search(r"captured excursion \d\.\d mm more", both["words"]), both["words"]
    assert "sound side has moved" not in one


def test_a_cross_back_strap_is_put_on(lab: Lab) -> None:
    """It is drawn, named, and holds the control attachment strap low."""
    plain, held = _ask(lab, arm_flexion=1.0), _ask(lab, arm_flexion=1.0, cross_back=True)
    assert "cross-back strap" in held["pictures"][0]
    assert "cross-back strap" not in plain["pictures"][0]


def test_units_follow_the_choice(lab: Lab) -> None:
    """One system at a time, in words, curves and labels."""
    metric, inch = _ask(lab, forces=True), _ask(lab, "inch-pound", forces=True)
    assert " mm" in metric["words"]
    assert " in;" not in metric["words"]
    assert " in;" in inch["words"]
    assert " mm" not in inch["words"]
    assert "excursion [in]" in inch["pictures"][2]
    assert " lbf<" in inch["pictures"][3]


def test_own_wearer_comes_first() -> None:
    """A wearer handed in is on show, on her own side."""
    own = strap_lab(Wearer.average("female", amputated="left", name="Maren"))
    assert "Maren, left arm amputated" in own.shown["words"]
    assert own.shown["values"]["wearer"] == "own"


def test_outcomes_are_told_in_the_readers_units(lab: Lab) -> None:
    """A strap let out by 20 mm: its slack is one figure in each system."""
    metric, inch = (strap_lab(setting="control_strap = 20 mm", units=units) for units in ("metric", "inch-pound"))
    for page, told, other in ((metric, "slack by 20.0 mm at rest", " in "), (inch, "slack by 0.79 in at rest", " mm")):
        words = str(page.shown["words"]).split("Seen from")[0]
        assert told in words
        assert not re.search(rf"\d{other}", words)
