"""The housing lab without a browser."""

from __future__ import annotations

import itertools
import math
import re
from typing import Any

import pytest

from controlkit.labs.controls import Slider
from controlkit.labs.frame import Lab
from controlkit.labs.housing import housing_lab
from controlkit.mechanics import Wearer
from controlkit.units import deg, mm
from tests.written import unpacked

from .asking import ask as _ask


@pytest.fixture(scope="module")
def lab() -> Lab:
    """One lab for the module; every ask is independent of the one before."""
    return housing_lab()


def _arrives(shown: dict[str, Any]) -> float:
    """Force at the hook, as the words say it [N]."""
    return float(re.search(r"([\d.]+) N arrives", shown["words"])[1])  # type: ignore[index]


def test_no_corner_of_the_sliders_fails(lab: Lab) -> None:
    """Every slider at either end, all combinations, with every housing, on the smallest and the largest wearer."""
    ends = {c.key: (c.low, c.high) for c in lab.controls if isinstance(c, Slider)}
    for who, housing, curves in (
        ("small-woman", "held", "force"), ("large-man", "loose", "way"), ("large-man", "held", "bends"),
    ):  # fmt: skip
        for corner in itertools.product(*ends.values()):
            shown = _ask(lab, wearer=who, housing=housing, curves=curves, **dict(zip(ends, corner, strict=True)))
            assert "nan" not in unpacked("".join(shown["pictures"])), corner
            assert "inf" not in "".join(shown["pictures"]).replace("information", ""), corner


def test_the_capstan_law_can_be_found_with_the_lab(lab: Lab) -> None:
    """Twice the friction on the same bends: the share is squared. No friction: all of it arrives."""
    once, twice = (_arrives(_ask(lab, friction=mu, pull=100.0)) / 100.0 for mu in (0.08, 0.16))
    assert twice == pytest.approx(once**2, abs=0.002)
    assert _arrives(_ask(lab, friction=0.0, pull=100.0)) == 100.0


def test_letting_back_is_the_other_way_round(lab: Lab) -> None:
    """What friction took while pulling it gives while letting back."""
    out = _arrives(_ask(lab, pull=50.0))
    words = _ask(lab, pull=50.0, stroke="letting back")["words"]
    back = float(re.search(r"the hook pulls with ([\d.]+) N", words)[1])  # type: ignore[index]
    assert out * back == pytest.approx(50.0**2, rel=0.005)


def test_a_held_housing_keeps_the_way_and_a_free_cable_does_not(lab: Lab) -> None:
    """Words and curve say both; a free cable bends the elbow."""
    held = _ask(lab, curves="way")["words"]
    assert "as long as with the elbow straight" in held
    assert "equally long at every angle" in held
    for housing in ("none", "loose"):
        free = _ask(lab, housing=housing, curves="way")["words"]
        assert re.search(r"tends to bend the elbow with [\d.]+ N m", free)
        assert re.search(r"the cable's path is [\d.]+ mm shorter", free)


def test_too_short_stops_the_elbow_and_too_long_catches(lab: Lab) -> None:
    """The picture stands at the angle that was reached."""
    short = _ask(lab, spare=mm(-10), elbow_flexion=deg(90))
    assert "too short" in short["words"]
    assert "flexed 90°" not in short["words"]
    assert "too short" not in _ask(lab, spare=mm(-10), elbow_flexion=0.0)["words"]
    assert "catches" in _ask(lab, spare=mm(60), elbow_flexion=0.0)["words"]


def test_the_side_decides(lab: Lab) -> None:
    """10 mm short: led further behind, 90 degrees are free again; beside the axis the straight elbow is held."""
    short = {"spare": mm(-10), "elbow_flexion": deg(90)}
    assert "too short" in _ask(lab, **short)["words"]
    assert "too short" not in _ask(lab, elbow_offset=mm(15), **short)["words"]
    assert "too short even for the straight elbow" in _ask(lab, side="beside", **short)["words"]


def test_every_wearer_on_either_side(lab: Lab) -> None:
    """Mirrored pictures, the same numbers."""
    for who in ("small-woman", "average-man", "large-man"):
        right, left = (_ask(lab, wearer=who, amputated=side) for side in ("right", "left"))
        assert right["words"].split("Seen from")[0] == left["words"].split("Seen from")[0]
        assert right["pictures"][0] != left["pictures"][0]
        assert right["pictures"][1] == left["pictures"][1]


def test_pinned_and_compared(lab: Lab) -> None:
    """A grey line, a grey curve, and the difference in words; another body is compared without its line."""
    pinned = {**lab.plan["start"], "spare": mm(40)}
    shown = _ask(lab, pinned=pinned)
    assert "Against the pinned setting" in shown["words"]
    assert ">pinned<" in shown["pictures"][1]
    same = _ask(lab, pinned=dict(lab.plan["start"]))
    assert "the same bend and the same efficiency" in same["words"]
    other = _ask(lab, wearer="large-man", pinned=dict(lab.plan["start"]))
    assert ">pinned<" in other["pictures"][1]


@pytest.mark.parametrize("curves", ["force", "bends", "way"])
def test_units_follow_the_choice(lab: Lab, curves: str) -> None:
    """One system at a time."""
    setting = {"curves": curves, "spare": mm(60), "elbow_flexion": 0.0, "housing": "held"}
    metric, inch = _ask(lab, **setting), _ask(lab, "inch-pound", **setting)
    for text in (inch["words"], *inch["pictures"]):
        assert " mm" not in text
        assert " N " not in text
    for text in (metric["words"], *metric["pictures"]):
        assert "lbf" not in text
        assert not re.search(r"\d in\b|\[in\]", text)


def test_own_wearer_comes_first() -> None:
    """A wearer handed in is on show, on her own side."""
    own = housing_lab(Wearer.average("female", amputated="left", name="Ines"))
    assert "Seen from the side: Ines, left arm" in own.shown["words"]


def test_efficiency_falls_below_the_standard_somewhere(lab: Lab) -> None:
    """The threshold of the chart is the one that is published."""
    chart = _ask(lab)["pictures"][1]
    assert ">80 %<" in chart
    assert math.isfinite(_arrives(_ask(lab)))
