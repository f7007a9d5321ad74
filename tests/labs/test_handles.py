"""What is dragged in the pictures moves as it says; the strap lab's handles are in its own file."""

from __future__ import annotations

import math
from typing import Any

import pytest

from controlkit.labs import (
    chain_lab,
    device_lab,
    dual_lab,
    housing_lab,
    lock_lab,
    motion_lab,
    pair_lab,
    pattern_lab,
    sequence_lab,
)
from controlkit.labs.frame import Lab
from controlkit.units import deg, mm

from .asking import ask

LABS = {"motion": motion_lab, "housing": housing_lab, "chain": chain_lab, "dual": dual_lab, "lock": lock_lab}
LABS["pattern"] = pattern_lab
LABS |= {"pair": pair_lab}
SIDES = {"pair": "pulls"}  # what says on which side the wearer is seen, if not the amputated one
STARTS: dict[str, tuple[dict[str, Any], ...]] = {
    "motion": (
        {},
        {"arm_flexion": deg(-20)},
        {"arm_abduction": deg(60)},
        {"arm_abduction": deg(60), "elbow_flexion": 0.0},
        {"view": math.pi},
        {"view": deg(200)},
    ),
    "housing": ({}, {"elbow_flexion": deg(20)}),
    "chain": ({}, {"position": "mouth", "scapular_abduction": deg(15)}, {"position": "behind-the-back"}),
    "dual": (
        {"scapulae": "both", "bands": 6.0},
        {"scapulae": "both", "bands": 6.0, "end_ahead": mm(30), "loop_ahead": mm(10), "elbow_flexion": deg(50)},
        {"locked": True, "arm_flexion": deg(40)},
    ),
    "lock": ({}, {"arm_extension": deg(10), "arm_abduction": deg(30)}, {"view": 0.0}),
    "pattern": ({}, {"pattern": "diaphragm"}, {"view": math.pi / 2, "arm_flexion": deg(30)}),
    "pair": ({}, {"arm_flexion": deg(40), "view": deg(90)}, {"scapular_abduction": deg(15), "view": deg(200)}),
}
PARTS = ("lift loop", "housing end")
# how far off, as a share of the way: rounding; pads that give; straps that draw the ring along as they come taut;
# tension that another place of the loop changes
WITHIN = {
    "wearer": 1e-6,
    "arm": 0.02,
    "forearm": 0.02,
    "crossbar": 0.03,
    "ring": 0.2,
    "junction": 0.2,
    **dict.fromkeys(PARTS, 0.05),
}
STEPS = {"view": 0.05, "arm_abduction": 0.01, "elbow_flexion": 0.01, "crossbar": 0.02, "ring_below_c7": 0.004}
STEPS["lowered"] = 0.004
STEPS |= dict.fromkeys(("loop_along", "loop_ahead", "end_above", "end_ahead"), 0.001)
STEPS |= {"junction": 0.004, "arm_flexion": 0.01}


@pytest.fixture(scope="module")
def labs() -> dict[str, Lab]:
    """One lab of each kind for the module."""
    return {name: make() for name, make in LABS.items()}


def _handles(lab: Lab, **values: Any) -> dict[tuple[str, int], dict[str, Any]]:
    return {(one["name"], one["picture"]): one for one in ask(lab, **values)["handles"]}


@pytest.mark.parametrize("amputated", ["left", "right"])
@pytest.mark.parametrize(("name", "start"), [(name, start) for name, starts in STARTS.items() for start in starts])
def test_handles_move_as_they_say(labs: dict[str, Lab], name: str, start: dict[str, Any], amputated: str) -> None:
    """A slider moved a little takes its handle along, or turns it."""
    lab = labs[name]
    at = {**start, SIDES.get(name, "amputated"): amputated}
    before = _handles(lab, **at)
    values = dict(lab.shown["values"])
    assert before
    for which, handle in before.items():
        for key, way in handle["slides"]:
            moved = _handles(lab, **{**at, key: values[key] + STEPS[key]})[which]
            went = [(b - a) / STEPS[key] for a, b in zip(handle["at"], moved["at"], strict=True)]
            assert went == pytest.approx(way, abs=WITHIN[handle["name"]] * math.hypot(*way)), (which, key)
        turn = handle["turn"]
        if turn:
            moved = _handles(lab, **{**at, turn["key"]: values[turn["key"]] + deg(1.0)})[which]
            turned = (_angle(moved) - _angle(handle)) * turn["sense"]
            assert math.remainder(turned, 360.0) == pytest.approx(1.0, abs=0.05), which


def _angle(handle: dict[str, Any]) -> float:
    """Where a handle stands about its centre, anticlockwise; the page counts down [deg]."""
    (x, y), (x0, y0) = handle["at"], handle["turn"]["about"]
    return math.degrees(math.atan2(y0 - y, x - x0))


def test_nothing_is_dragged_that_others_make_up_for(labs: dict[str, Lab]) -> None:
    """A device that is held leaves no joint free; labs without a pose have none; a wearer can be turned anyway."""
    assert [one["name"] for one in ask(labs["motion"], device="held")["handles"]] == ["wearer"]
    assert [one["name"] for one in sequence_lab().shown["handles"]] == ["wearer"]
    assert not device_lab().shown["handles"]
