"""The dual-control lab: what it shows is what the mechanics answers, whatever was asked before."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from controlkit.labs import dual_lab
from controlkit.labs.dual import _DualSetUps
from controlkit.labs.frame import Lab
from controlkit.mechanics import DualControl, Wearer, above_elbow_eight, hook_opening
from controlkit.mechanics.elbow import LiftLine
from controlkit.units import deg, mm

from .asking import ask

SHUT = {"loop_along": mm(45), "end_ahead": mm(45), "bands": 5.0}


@pytest.fixture(scope="module")
def lab() -> Lab:
    """The lab for the module."""
    return dual_lab()


def _readings(shown: dict[str, Any]) -> dict[str, float]:
    return {one["label"]: float(one["value"]) for one in shown["readings"]}


def test_the_readings_are_what_the_mechanics_answers(lab: Lab) -> None:
    """Asked for the same set-up without a lab, angle by angle."""
    found = _readings(ask(lab, **SHUT))
    system = DualControl(
        harness=above_elbow_eight(Wearer.average("female", amputated="right", level="transhumeral")),
        line=LiftLine(loop_along=mm(45), end_ahead=mm(45)),
        device=hook_opening(5),
    )
    lifted = system.lift([deg(angle) for angle in range(10, 91)])
    opened = system.open_locked([deg(90)], arm_flexion=deg(80))
    assert found["Forearm comes to"] == 90.0
    assert found["Largest pull"] == pytest.approx(lifted.peak, abs=0.06)
    assert found["Comes to the device"] == pytest.approx(float(lifted.device_force.max()), abs=0.06)
    assert found["Left for opening"] == pytest.approx(1e3 * float(opened.left_for_opening[0]), abs=0.06)


def test_a_forearm_that_stops_is_drawn_where_it_stops(lab: Lab) -> None:
    """On its stop with the hook open at the start; further up where the hook begins to open on the way."""
    start = ask(lab)
    assert _readings(start)["Forearm comes to"] == 10.0
    assert "the hook opens" in start["words"]
    assert "instead" in start["words"]
    on_the_way = ask(lab, scapulae="both", end_ahead=mm(25))
    assert 10.0 < _readings(on_the_way)["Forearm comes to"] < 90.0
    assert "instead" not in on_the_way["words"]
    lifted = ask(lab, **SHUT)
    assert "stays shut" in lifted["words"]
    assert len({shown["pictures"][1] for shown in (start, on_the_way, lifted)}) == 3


def test_what_opens_while_the_forearm_rests_takes_less_than_lifting_it() -> None:
    """Else it would have left its stop."""
    answers, start = _DualSetUps(None), dual_lab().plan["start"]
    for bands in (1.0, 3.0, 6.0, 10.0):
        for raised in (40, 60, 80, 90):
            one = answers.ask({**start, "bands": bands, "arm_flexion": deg(raised)})
            if one.opens_instead > 0.0:
                system = one.system
                tension = system.lifted_forearm.moment(system.hangs_at, deg(raised)) / system.line.moment_arm(
                    system.hangs_at
                )
                assert one.opened.device_force[0] < tension


def test_the_same_whatever_was_asked_before() -> None:
    """Captures are kept from set-up to set-up; another order of moves gives the same page."""
    moves = ({"loop_along": mm(60)}, {"scapulae": "both"}, {"device": "hand"}, {"load": 0.3}, {"friction": 0.2})
    pages = []
    for order in (moves, moves[::-1]):
        fresh, values = dual_lab(), {}
        for move in order:
            values |= move
            shown = ask(fresh, **values)
        pages.append((shown["words"], shown["pictures"], shown["readings"]))
    assert pages[0] == pages[1]


def test_locked_the_elbow_stays_and_the_arm_goes_on(lab: Lab) -> None:
    """What is lifted does not depend on the lock; the picture does, and on how far the arm goes."""
    free, locked = (ask(lab, **SHUT, locked=locked) for locked in (False, True))
    assert _readings(free) == _readings(locked)
    assert free["pictures"][0] != locked["pictures"][0]
    further = ask(lab, **SHUT, locked=True, arm_flexion=deg(40))
    assert further["pictures"][1] != locked["pictures"][1]
    assert {one["name"] for one in locked["handles"]} - {one["name"] for one in free["handles"]} == {"arm"}


def test_below_its_stop_the_forearm_hangs(lab: Lab) -> None:
    shown = ask(lab, elbow_flexion=0.0, hangs_at=deg(20))
    assert _readings(shown)["Forearm comes to"] == 20.0
    assert "hangs no lower than 20°" in shown["words"]
    assert _readings(shown)["Largest pull"] == 0.0


def test_a_pinned_setting_is_told_and_drawn(lab: Lab) -> None:
    start = dict(lab.plan["start"])
    shown = ask(lab, pinned=start, **SHUT)
    assert "Against the pinned setting: the forearm comes to 10° there, 90° here" in shown["words"]
    assert all("pinned" in picture for picture in shown["pictures"][2:4])


def test_any_wearer_of_ones_own_is_fitted_above_the_elbow() -> None:
    below = Wearer.average("male", amputated="left", name="Hugo")
    assert below.level == "transradial"
    answers = _DualSetUps(below)
    system = answers.system({**dual_lab(below).plan["start"]})
    assert system.harness.wearer.level == "transhumeral"
    assert system.harness.wearer.name == "Hugo"


def test_charts_start_where_the_forearm_hangs() -> None:
    """Of each question the angle asked for is among the answers, once."""
    answers, start = _DualSetUps(None), dual_lab().plan["start"]
    for asked, hangs in ((90.0, 10.0), (10.0, 10.0), (37.3, 20.0), (135.0, 0.0)):
        one = answers.ask({**start, "elbow_flexion": deg(asked), "hangs_at": deg(hangs)})
        for angles in (one.lifted.elbow_flexion, one.opened.elbow_flexion, one.live.elbow_flexion):
            assert np.all(np.diff(angles) > 0.0)
            assert angles[0] == pytest.approx(deg(hangs), abs=1e-8)
            assert angles[-1] == pytest.approx(deg(135.0), abs=1e-8)
            assert np.isclose(angles, deg(asked), atol=1e-8).sum() == 1
