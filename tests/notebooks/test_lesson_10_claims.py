"""What lesson 10 says in words is what the model computes."""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path
from typing import Any

import nbformat
import numpy as np
import pytest

from controlkit.mechanics import PairArm, PairControl, Pose, Wearer, bilateral_pair, hook_closing, hook_opening
from controlkit.mechanics.chain import PairPull
from controlkit.mechanics.chain.positions import POSITIONS
from controlkit.mechanics.elbow import StepUpHinge, below_axilla, forearm_of, short_forearm
from controlkit.units import deg, mm

BENT: dict[str, Any] = {"elbow_flexion": deg(60)}
STILL = Pose(**BENT)
FLEXED = {"arm_flexion": deg(60), **BENT}
FORWARD = {"scapular_abduction": deg(15), **BENT}
FARIDA = Wearer.average("female", amputated="right", name="Farida")


@pytest.fixture(scope="module")
def text() -> dict[str, str]:
    """The lesson's cells by their names."""
    path = Path(__file__).resolve().parents[2] / "course" / "10-two-prostheses.ipynb"
    return {cell.id: cell.source for cell in nbformat.read(path, as_version=4).cells}


@cache
def _pair(below: float = 60.0, device: Any = None, **setting: Any) -> PairControl:
    left = PairArm() if device is None else PairArm(device=device)
    return PairControl(harness=bilateral_pair(FARIDA, junction_below_c7=mm(below), **setting), left=left)


def _pull(motion: dict[str, float], other: Pose = STILL, **setting: Any) -> PairPull:
    return _pair(**setting).pull("right", other, **motion)


def _length(value: float) -> str:
    return f"{1e3 * value:.1f}"


def test_objectives_are_the_guides_own(text: dict[str, str]) -> None:
    guide = (Path(__file__).resolve().parents[2] / "solutions" / "guide.md").read_text(encoding="utf-8")
    for number, words in enumerate(text["title"].split("\n\n")[3].splitlines(), 1):
        assert f"- **L10.{number}** {words.partition('. ')[2]}" in guide


def test_what_crosses_by_either_way(text: dict[str, str]) -> None:
    arm, shoulder = _pull(FLEXED), _pull(FORWARD)
    starts = _pair().worn("left").gain(STILL) * _pair().left.device.force(0.0)
    assert f"with {arm.own.harness_force:.1f} N. At the junction" in text["explain-cross"]
    assert f"front strap takes {arm.other.front_force:.1f} N" in text["explain-cross"]
    assert f"left, {arm.crossed_force:.1f} N, crosses over" in text["explain-cross"]
    assert f"bands ask for {starts:.1f} N" in text["explain-cross"]
    assert arm.other.opening == arm.own.front_force == 0.0
    assert (
        f"{shoulder.crossed_force:.1f} N cross over; the left hook opens {_length(shoulder.other.opening)} mm"
        in (text["explain-cross"])
    )
    assert f"the right one itself {_length(shoulder.own.opening)}." in text["explain-cross"]
    both, back = _pull({**FLEXED, **FORWARD}), _pull({"arm_flexion": -deg(20), **BENT})
    assert not both.other_opens
    assert back.other_opens
    assert back.own.harness_force == 0.0


def test_what_the_height_of_the_junction_does(text: dict[str, str]) -> None:
    high, usual, low, lowest = (_pull(FLEXED, below=float(below)) for below in (25, 60, 100, 140))
    said = text["explain-heights"]
    ways = _length(low.own.travel), _length(usual.own.travel), low.crossed_force, usual.crossed_force
    assert "{} mm in place of {}, and *more* of it crosses over, {:.1f} N in place of {:.1f}.".format(*ways) in said
    assert f"At 140 mm it is {lowest.crossed_force:.1f} N" in said
    starts = _pair().worn("left").gain(STILL) * _pair().left.device.force(0.0)
    assert lowest.other.harness_force == pytest.approx(starts, abs=0.7)
    assert f"nothing crosses over, and {_length(high.own.travel)} mm" in said
    assert high.crossed_force == pytest.approx(0.0, abs=1e-6)


def test_the_worked_triangle_and_the_cosine(text: dict[str, str]) -> None:
    said = text["explain-heights"]
    assert f"50 · 0.174 / 0.866 = {50 * math.sin(deg(10)) / math.sin(deg(60)):.1f} N" in said
    pull = _pull(FLEXED)
    ways = [pull.straps[f"{side} control attachment strap"] for side in ("right", "left")]
    own, other = ((run[1] - run[0]) / np.linalg.norm(run[1] - run[0]) for run in ways)
    part, angle = -pull.own.harness_force * float(own @ other), math.degrees(math.acos(-float(own @ other)))
    assert f"For Farida's {pull.own.harness_force:.1f} N and {angle:.0f}° that gives {part:.1f} N" in said
    assert f"gives {pull.crossed_force:.1f}. A projection" in said


def test_how_many_wearers_it_concerns(text: dict[str, str]) -> None:
    wearers = [who for sex, seed in (("female", 1), ("male", 2)) for who in Wearer.draw(sex, 20, seed=seed)]
    pairs = [PairControl(harness=bilateral_pair(who)) for who in wearers]
    opened = sum(pair.pull("right", STILL, **FORWARD).other_opens for pair in pairs)
    assert f"Of {len(wearers)} drawn wearers, half of them women" in text["explain-apart"]
    assert f"opened the other hook in {opened}." in text["explain-apart"]


def test_what_keeps_them_apart_and_what_it_costs(text: dict[str, str]) -> None:
    said = text["explain-apart-2"]
    assert not _pull(FORWARD, device=hook_opening(5)).other_opens
    assert _pull(FORWARD, device=hook_opening(3)).other_opens
    slack = _pair(other_control_strap=mm(10))
    assert not slack.pull("right", STILL, **FORWARD).other_opens
    snug, out = (pair.pull("left", STILL, **FLEXED).own.travel for pair in (_pair(), slack))
    assert f"costs the left side {_length(snug - out)} of its own {_length(snug)} mm" in said
    this = [pair.pull("right", STILL, **FLEXED).own.travel for pair in (_pair(), slack)]
    drawn_wearers = [who for sex, seed in (("female", 1), ("male", 2)) for who in Wearer.draw(sex, 20, seed=seed)]
    pays = []
    for who in drawn_wearers:
        pair, let_out = (PairControl(harness=bilateral_pair(who, other_control_strap=mm(way))) for way in (0.0, 10.0))
        pays.append(np.subtract(*(one.pull("right", STILL, **FLEXED).own.travel for one in (pair, let_out))))
    assert f"and the right side {_length(this[0] - this[1])}: in 40 drawn wearers up to {_length(max(pays))}." in said
    assert len(pays) == 40
    drawn = _pull(FORWARD, Pose(scapular_abduction=-deg(10), **BENT))
    assert not drawn.other_opens
    assert drawn.own.travel == 0.0
    locked = _pull(FORWARD, other_level="transhumeral")
    assert f"{1e3 * locked.other.slack:.0f} mm hang loose" in said
    assert locked.crossed_force == 0.0
    closing = _pull(FORWARD, device=hook_closing())
    assert f"*moves more*, {_length(closing.alone.opening - closing.other.opening)} mm" in said
    assert f"gives way at {closing.crossed_force:.0f} N" in said
    loose = _pull(FLEXED, other_control_strap=mm(100), other_support_strap=mm(80))
    assert f"draws its cable by {_length(loose.own.travel)} mm in place of {_length(snug)}" in said
    both = _pull(FORWARD, Pose(**FORWARD))
    assert f"forward open both hooks by {_length(both.own.opening)} mm" in said
    assert both.other.opening == pytest.approx(both.own.opening, abs=1e-4)


def test_at_the_places_of_the_day(text: dict[str, str]) -> None:
    near, found = {"scapular_abduction": deg(20)}, {}
    for place in ("table", "mouth", "waist", "fly"):
        to = {name: getattr(POSITIONS[place], name) for name in ("arm_flexion", "arm_abduction", "elbow_flexion")}
        found[place] = _pull({**to, **near}).other.opening
    assert max(found["table"], found["mouth"]) < mm(0.05)
    assert "the left hook opens by 20 to 30 mm" in text["explain-day-2"]
    assert sorted(round(100 * found[place]) for place in ("waist", "fly")) == [2, 3]


def test_a_spoon_on_its_way_to_the_mouth(text: dict[str, str]) -> None:
    to = {name: getattr(POSITIONS["mouth"], name) for name in ("arm_flexion", "arm_abduction", "elbow_flexion")}

    def opens(bands: int = 3, out: float = 0.0, motion: dict[str, float] = to, who: Wearer = FARIDA) -> float:
        arm = PairArm(device=hook_opening(bands))
        pair = PairControl(harness=bilateral_pair(who, control_strap=mm(out)), right=arm)
        return pair.pull("right", STILL, **motion).own.opening

    said = text["explain-day"]
    assert f"opens by {_length(opens())} mm with three bands, and by {_length(opens(8))} with eight" in said
    assert "in the model it does, with eight bands too" in said
    assert "let out by 25 mm, three bands keep it shut" in said
    assert opens(out=25.0) < mm(0.05) < opens(out=20.0)
    ways = opens(out=25.0, motion=FLEXED), opens(motion=FLEXED)
    assert "60° opens it {} mm in place of {}.".format(*map(_length, ways)) in said
    drawn = [who for sex, seed in (("female", 1), ("male", 2)) for who in Wearer.draw(sex, 20, seed=seed)]
    assert f"more than 1 mm in all of {len(drawn)} drawn wearers" in said
    assert min(opens(who=who) for who in drawn) > mm(1)
    assert "cold spoon first, nothing hot" in said


def test_the_worked_short_limb(text: dict[str, str]) -> None:
    forearm = forearm_of(FARIDA)
    step, plain, _ = short_forearm(
        forearm, limb_flexion=deg(65), limb_moment=4.0, lever=mm(45), load=0.2, hinge=StepUpHinge(2.0)
    )
    bare, said = forearm.largest_moment, text["explain-hinge"]
    assert f"asks for {bare:.2f} N m, and 0.2 kg in the hook for {plain.limb_moment - bare:.2f} more: " in said
    assert f"more: {plain.limb_moment:.2f} N m together" in said
    assert f"comes to {math.degrees(step.elbow_flexion):.0f}°, the limb must make {step.limb_moment:.2f} N m" in said
    assert f"3.31 / 0.045 = {step.couple:.1f} N at either end. It can hold {step.most_load:.2f} kg" in said
    assert f"65°, {plain.limb_moment:.2f} N m, {plain.couple:.1f} N, {plain.most_load:.2f} kg" in said
    short = Wearer.average("female", level="transhumeral", residual_share=0.35)
    assert f"{1e3 * below_axilla(short):.0f} mm are left below the axilla" in text["explain-above"]
