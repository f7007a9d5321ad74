"""The pair lab: what it shows is what the mechanics answers, whatever was asked before."""

from __future__ import annotations

import math
from typing import Any

import pytest

from controlkit.labs import pair_lab
from controlkit.labs.frame import Lab
from controlkit.labs.pair import _PairSetUps
from controlkit.mechanics import PairArm, PairControl, Pose, Wearer, bilateral_pair, hook_closing, hook_opening
from controlkit.mechanics.elbow import StepUpHinge, forearm_of, short_forearm
from controlkit.units import deg, mm

from .asking import ask

BENT = deg(60)


@pytest.fixture(scope="module")
def lab() -> Lab:
    """The lab for the module."""
    return pair_lab()


def _woman(level: str = "transradial") -> Wearer:
    return Wearer.average("female", amputated="right", level=level)


def _readings(shown: dict[str, Any]) -> dict[str, float]:
    return {one["label"]: float(one["value"]) for one in shown["readings"]}


def test_the_readings_are_what_the_mechanics_answers(lab: Lab) -> None:
    """Asked for the same pull without a lab; sides, levels, bands and straps stand where the controls say."""
    asked = {"arm_flexion": deg(40), "scapular_abduction": deg(8), "other_flexion": deg(10), "other_scapula": deg(-5)}
    found = _readings(
        ask(lab, **asked, pulls="left", left_level="above", junction=mm(90), other_bands=2.0, other_strap=mm(5))
    )
    wearer = Wearer.average("female", amputated="left", level="transhumeral")
    harness = bilateral_pair(wearer, other_level="transradial", junction_below_c7=mm(90), other_control_strap=mm(5))
    pair = PairControl(harness=harness, left=PairArm(device=hook_opening(3)), right=PairArm(device=hook_opening(2)))
    other = Pose(arm_flexion=deg(10), scapular_abduction=deg(-5), elbow_flexion=BENT)
    pull = pair.pull("left", other, arm_flexion=deg(40), scapular_abduction=deg(8), elbow_flexion=BENT)
    assert pull.settled
    assert found["Own cable drawn"] == pytest.approx(1e3 * pull.own.travel, abs=0.06)
    assert found["Crosses over"] == pytest.approx(pull.crossed_force, abs=0.06)
    assert found["Other device open"] == pytest.approx(1e3 * pull.other.opening, abs=0.06)
    assert found["Junction moves"] == pytest.approx(1e3 * float((pull.junction_shift**2).sum()) ** 0.5, abs=0.06)


def test_a_shoulder_alone_works_the_other_hook_and_a_flexed_arm_its_own(lab: Lab) -> None:
    forward, flexed = ask(lab, scapular_abduction=deg(15)), ask(lab, arm_flexion=BENT)
    assert _readings(forward)["Other device open"] > 3.0 * _readings(forward)["Own cable drawn"]
    assert "cross over to the left side's control strap. Its cable is drawn by" in forward["words"]
    assert _readings(flexed)["Other device open"] == 0.0
    assert "Its device does not move" in flexed["words"]


def test_a_hook_that_is_closed_by_its_cable_is_worked_more_easily(lab: Lab) -> None:
    """It gives way at less pull; what it does not do is let go of what it holds."""
    shown = ask(lab, scapular_abduction=deg(15), other_device="closing")
    pair = _PairSetUps(None).pair({**lab.plan["start"], "other_device": "closing"})
    assert pair.left.device == hook_closing()
    rest = _readings(ask(lab, other_device="closing"))["Other device open"]
    assert _readings(shown)["Other device open"] < rest - 5.0
    assert f"{rest:.1f} mm at rest" in {one["note"] for one in shown["readings"]}


def test_a_locked_elbow_leaves_cable_loose(lab: Lab) -> None:
    """What its lift has taken up must be drawn first: the other side is not felt."""
    shown = ask(lab, scapular_abduction=deg(15), left_level="above")
    (note,) = (one["note"] for one in shown["readings"] if one["label"] == "Other device open")
    assert note.endswith("hang loose")
    straight = ask(lab, scapular_abduction=deg(15), left_level="above", elbows=deg(0))
    assert _readings(straight)["Crosses over"] > 20.0
    assert _readings(shown)["Crosses over"] == 0.0


def test_ways_of_the_short_limb_are_what_the_mechanics_answers(lab: Lab) -> None:
    limb = {"show": "limb", "ratio": 1.7, "limb_flexion": deg(55), "limb_moment": 3.5, "load": 0.15}
    ways = short_forearm(
        forearm_of(_woman()), limb_flexion=deg(55), limb_moment=3.5, lever=mm(45), load=0.15, hinge=StepUpHinge(1.7)
    )
    for key, way in zip(("step-up", "self-suspending"), ways, strict=False):
        found = _readings(ask(lab, **limb, way=key))
        assert found["Forearm comes to"] == pytest.approx(float(way.elbow_flexion) * 180 / 3.14159265, abs=0.06)
        assert found["Limb must make"] == pytest.approx(way.limb_moment, abs=0.006)
        assert found["Can hold level"] == pytest.approx(way.most_load, abs=0.006)
        assert found["Presses on its socket"] == pytest.approx(way.couple, abs=0.06)
    locked = ask(lab, **limb, way="locking")
    assert "the lock bears the forearm and 0.15 kg" in locked["words"]
    assert _readings(locked)["Limb must make"] == 0.0


def test_a_full_bar_says_that_the_limb_can(lab: Lab) -> None:
    """The bar below what the limb must make is full where it can, and the shorter the less it can."""

    def bar(can: float) -> float:
        shown = ask(lab, show="limb", limb_moment=can, load=1.0)
        return next(one["share"] for one in shown["readings"] if one["label"] == "Limb must make")

    assert bar(10.0) == 1.0
    assert bar(1.0) == pytest.approx(bar(2.0) / 2, rel=0.01)
    assert bar(2.0) < 1.0


def test_both_parts_show_as_many_pictures(lab: Lab) -> None:
    pair, limb = ask(lab), ask(lab, show="limb")
    assert len(pair["pictures"]) == len(limb["pictures"]) == 3
    assert pair["pictures"][1]
    assert not limb["pictures"][1]
    assert not limb["handles"]


def test_the_same_whatever_was_asked_before() -> None:
    """Pulls start from the last one of a like pair; another order of moves gives the same page."""
    moves = (
        {"arm_flexion": deg(60)},
        {"scapular_abduction": deg(10)},
        {"junction": mm(100)},
        {"left_level": "above"},
        {"wearer": "large-man"},
        {"pulls": "left"},
    )
    pages = []
    for order in (moves, moves[::-1]):
        fresh, values = pair_lab(), {}
        for move in order:
            values |= move
            shown = ask(fresh, **values)
        pages.append((shown["words"], shown["pictures"], shown["readings"]))
    assert pages[0] == pages[1]


def test_a_pinned_setting_is_told(lab: Lab) -> None:
    start = dict(lab.plan["start"])
    shown = ask(lab, pinned=start, scapular_abduction=deg(15))
    assert "Against the pinned setting: own cable 0.0 mm there" in shown["words"]
    limb = ask(lab, pinned={**start, "show": "limb"}, show="limb", ratio=2.0)
    assert "In the pinned setting: Forearm's angle" in limb["words"]


def test_any_wearer_of_ones_own_gets_a_pair() -> None:
    above = Wearer.average("male", amputated="left", level="transhumeral", name="Hugo")
    pair = _PairSetUps(above).pair(pair_lab(above).plan["start"])
    assert pair.harness.wearer.name == "Hugo"
    assert [pair.worn(side).system.harness.wearer.level for side in ("left", "right")] == ["transradial"] * 2


def test_what_crosses_over_stands_beside_what_either_strap_bears(lab: Lab) -> None:
    """No share of nothing, and no force below nought: where the pull takes some off, the card says so."""
    cards = [
        {one["label"]: one for one in ask(lab, **moved)["readings"]}
        for moved in ({"arm_flexion": deg(-20)}, {"other_scapula": deg(-10), "other_flexion": deg(60)})
    ]
    assert float(cards[0]["Crosses over"]["value"]) > 30.0
    assert cards[0]["Crosses over"]["note"].startswith("right strap 0.0 N, left strap 35")
    drawn_back = ask(lab, scapular_abduction=deg(-10), other_flexion=deg(60))
    taken = {one["label"]: one for one in drawn_back["readings"]}["Taken off"]
    assert float(taken["value"]) > 1.0
    assert taken["note"].startswith("off the left strap, which still bears")
    assert "off the left side's control strap: the crossing goes the other way" in drawn_back["words"]
    assert all(float(one["value"]) >= 0.0 for card in cards for one in card.values())


def test_the_lab_shows_what_the_lesson_reads(lab: Lab) -> None:
    """An angle that is typed is rounded; the answer stays."""
    shown = lab.page_at("scapular_abduction = 15 deg")
    found = {one.label: one.value for one in shown.readings}
    pull = PairControl(harness=bilateral_pair(_woman())).pull(
        "right", Pose(elbow_flexion=BENT), scapular_abduction=deg(15), elbow_flexion=BENT
    )
    assert found["Other device open"] == pytest.approx(pull.other.opening, abs=mm(0.01))


def test_a_limb_flexes_no_further_than_its_socket_and_no_higher_than_its_strength(lab: Lab) -> None:
    """The one-piece socket stops it at its rim; a weak limb holds the forearm hanging, not up."""
    stopped = ask(lab, show="limb", way="self-suspending", limb_flexion=deg(140))
    assert "the limb flexes 110° of the 140° that it could" in stopped["words"]
    assert {one["label"]: one["note"] for one in stopped["readings"]}["Forearm comes to"] == "limb 110°"
    weak = {"show": "limb", "limb_flexion": deg(140), "limb_moment": 1.0, "ratio": 2.0}
    shown = ask(lab, **weak)
    asks = 2.0 * forearm_of(_woman()).largest_moment
    rises = math.degrees(math.asin(1.0 / asks))
    assert _readings(shown)["Forearm comes to"] == pytest.approx(rises, abs=0.6)
    assert f"it rises to {rises:.0f}° and no further" in shown["words"]
