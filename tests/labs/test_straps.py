"""The strap lab without a browser."""

from __future__ import annotations

import itertools
import math
import re
from typing import Any

import numpy as np
import pytest

from controlkit.draw import Chart
from controlkit.draw.page.style import STYLES
from controlkit.labs import strap_lab
from controlkit.labs.controls import Slider
from controlkit.labs.frame import Lab
from controlkit.labs.sent import sent
from controlkit.mechanics import Wearer
from controlkit.mechanics.harness.patterns.eight import CROSS_BACK
from controlkit.units import deg, mm
from tests.written import unpacked

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
            assert "nan" not in unpacked(shown["pictures"][0])
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
    assert ">pinned<" in shown["pictures"][3]
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
    """It is drawn in a look of its own, and holds the control attachment strap low."""
    plain, held = _ask(lab, arm_flexion=1.0), _ask(lab, arm_flexion=1.0, cross_back=True)
    tint = STYLES[CROSS_BACK].tint
    assert held["pictures"][0].count(tint) > plain["pictures"][0].count(tint)
    assert held["readings"][3] != plain["readings"][3]


def test_units_follow_the_choice(lab: Lab) -> None:
    """One system at a time, in words, curves and labels."""
    metric, inch = _ask(lab, forces=True), _ask(lab, "inch-pound", forces=True)
    assert " mm" in metric["words"]
    assert " in;" not in metric["words"]
    assert " in;" in inch["words"]
    assert " mm" not in inch["words"]
    assert "excursion [in]" in inch["pictures"][3]
    assert " lbf<" in inch["pictures"][2]


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


MAREN = Wearer.average("female", amputated="left", name="Maren")


@pytest.fixture(scope="module")
def hers() -> Lab:
    """The lab as the lesson opens it."""
    return strap_lab(MAREN)


def test_the_forearm_stays_level_or_the_elbow_bent(hers: Lab) -> None:
    """Level is straighter: the same is required and hardly more captured; towards 90 degrees hardly less."""
    captured = {}
    for forearm in ("level", "bent"):
        for flexion in (45.0, 90.0):
            shown = _ask(hers, forearm=forearm, arm_flexion=deg(flexion))
            first = shown["readings"][0]
            assert first["note"] == "of 43.2 mm required"
            captured[forearm, flexion] = float(first["value"])
        bent = "the elbow is straight" if forearm == "level" else "the elbow is flexed 90°"
        assert bent in shown["words"]
    assert 0.0 < captured["level", 45.0] - captured["bent", 45.0] < 1.0
    assert -1.0 < captured["level", 90.0] - captured["bent", 90.0] < 0.0


def test_the_second_view_and_the_forces_are_chosen(hers: Lab) -> None:
    """The back is always there; the polygon only where forces are wanted."""
    side, front = (_ask(hers, view=view) for view in (deg(90), deg(180)))
    assert side["pictures"][0] == front["pictures"][0]
    assert "r = 48 mm" in side["pictures"][1]
    assert "r = " not in front["pictures"][1]
    assert [handle["name"] for handle in side["handles"]] == ["ring", "crossbar", "arm", "wearer"]
    assert [handle["name"] for handle in front["handles"]] == ["ring", "wearer"]
    assert side["pictures"][2] == ""
    assert "Forces on the ring" in _ask(hers, forces=True)["pictures"][2]


@pytest.mark.parametrize("amputated", ["left", "right"])
@pytest.mark.parametrize("flexion", [0.0, 30.0, 75.0])
def test_handles_move_as_they_say(hers: Lab, amputated: str, flexion: float) -> None:
    """A slider moved a little takes its handle along.

    The ring's own slopes are those of a ring as it is put on. Straps that come taut add or take up to a fifth there,
    wherever the ring lies between the scapulae; the crossbar gives with its pad by a hundredth.
    """
    start = {"amputated": amputated, "arm_flexion": deg(flexion), "ring_below_c7": mm(60)}
    before = {handle["name"]: handle for handle in _ask(hers, **start)["handles"]}
    values = dict(hers.shown["values"])
    for name, within in (("ring", 0.2), ("crossbar", 0.02)):
        for key, way in before[name]["slides"]:
            step = 0.004 if name == "ring" else 0.02
            moved = {handle["name"]: handle for handle in _ask(hers, **{**start, key: values[key] + step})["handles"]}
            went = [(b - a) / step for a, b in zip(before[name]["at"], moved[name]["at"], strict=True)]
            size = sum(part**2 for part in way) ** 0.5
            assert went == pytest.approx(way, abs=within * size), (name, key)


@pytest.mark.parametrize("amputated", ["left", "right"])
def test_the_arm_turns_as_its_handle_says(hers: Lab, amputated: str) -> None:
    """About the shoulder, the way that flexes it: forward is to the right of a right wearer seen from the side."""
    places = {}
    for flexion in (30.0, 40.0):
        shown = _ask(hers, amputated=amputated, arm_flexion=deg(flexion))
        arm = next(handle for handle in shown["handles"] if handle["name"] == "arm")
        (x, y), (x0, y0) = arm["at"], arm["turn"]["about"]
        places[flexion] = math.degrees(math.atan2(-(y - y0), x - x0))  # the page counts down
    turned = (places[40.0] - places[30.0]) * arm["turn"]["sense"]
    assert turned == pytest.approx(10.0, abs=0.1)
    assert arm["turn"]["key"] == "arm_flexion"


def test_the_motion_plays_as_the_slider_would(hers: Lab) -> None:
    """Nineteen whole pages from one run; each says what the page says where the slider stands there."""
    asked = (dict(_ask(hers)["values"]), None, "metric")
    pages = dict(hers._film.pages(asked))
    assert [round(math.degrees(at)) for at in pages] == list(range(0, 91, 5))
    for at in (0.0, deg(45.0), deg(90.0)):
        shown = _ask(hers, arm_flexion=at)
        page = sent(pages[min(pages, key=lambda angle: abs(angle - at))], "metric")
        live = page.live
        parts = ("label", "value", "unit", "note")
        written = [[[entry[part] for part in parts] for entry in one["readings"]] for one in (live, shown)]
        assert written[0] == written[1]
        assert [hers._judged(verdict) for verdict in page.verdicts] == shown["verdicts"]
        assert len(live["handles"]) == 4


def test_the_curve_stays_as_it_is_when_the_motion_begins_to_play(hers: Lab) -> None:
    """Between its corners too: drawn through the angles of rest, to a last digit."""
    bent = {"control_strap": mm(10)}  # the captured curve leaves the axis at a bend
    pages = dict(hers._film.pages((dict(_ask(hers, **bent)["values"]), None, "metric")))
    for at in (deg(20.0), deg(50.0)):
        shown, played = (
            next(one for one in page.pictures if isinstance(one, Chart))
            for page in (
                hers._page({**hers.plan["start"], **bent, "arm_flexion": at}, None, "metric"),
                pages[min(pages, key=lambda angle: abs(angle - at))],
            )
        )
        for one, other in zip(shown.curves, played.curves, strict=True):
            assert np.allclose(one.x, other.x, atol=1e-6)
            assert np.allclose(one.y, other.y, atol=0.05), one.name


def _verdict(lab: Lab, goal: int, **values: Any) -> list[str]:
    return list(_ask(lab, **values)["verdicts"][goal]["missing"])


BOWL = {"ring_below_c7": mm(70), "crossbar": 0.85, "arm_flexion": deg(40)}
SPOON = {"ring_below_c7": mm(110), "control_strap": mm(30), "arm_flexion": deg(70)}


@pytest.mark.parametrize(("goal", "solved"), [(0, BOWL), (1, SPOON)])
def test_a_goal_is_out_of_reach_at_the_start_and_can_be_met(hers: Lab, goal: int, solved: dict[str, float]) -> None:
    """Nowhere on the way of the arm at first; met by a setting of whole slider steps, on either side."""
    for flexion in range(0, 91, 15):
        assert _verdict(hers, goal, arm_flexion=deg(flexion)), flexion
    for amputated in ("left", "right"):
        assert _verdict(hers, goal, amputated=amputated, **solved) == []


@pytest.mark.parametrize(
    ("goal", "solved", "spoiled", "said"),
    [
        (0, BOWL, {"ring_below_c7": mm(60)}, "not fully"),
        (0, BOWL, {"ring_below_c7": mm(60), "arm_flexion": deg(45)}, "the arm is flexed 45°"),
        (0, BOWL, {"ring_below_c7": mm(80)}, "the moment of the strap is 3.72 N m"),
        (0, BOWL, {"ring_below_c7": mm(60), "control_strap": mm(-5)}, "the control attachment strap is taken in"),
        (0, BOWL, {"ring_below_c7": mm(60), "scapular_abduction": deg(10)}, "a scapula helps"),
        (1, SPOON, {"control_strap": mm(45)}, "not fully"),
        (1, SPOON, {"control_strap": mm(35), "arm_flexion": deg(75)}, "the arm is flexed 75°"),
        (1, SPOON, {"crossbar": 0.75, "control_strap": mm(50), "ring_below_c7": mm(140)}, "the moment of the strap"),
        (1, SPOON, {"control_strap": mm(20)}, "on the way up it opens"),
    ],
)
def test_each_clause_of_a_goal_binds_alone(
    hers: Lab, goal: int, solved: dict[str, float], spoiled: dict[str, float], said: str
) -> None:
    """Somewhere it is all that is missing."""
    missing = _verdict(hers, goal, **{**solved, **spoiled})
    assert len(missing) == 1
    assert said in missing[0]


def test_no_single_slider_meets_a_goal(hers: Lab) -> None:
    """At the largest angle that counts, one slider of the harness moved alone over its whole range leaves it unmet."""
    sliders = [c for c in hers.controls if isinstance(c, Slider)][:4]
    for goal, flexion in ((0, 40), (1, 70)):
        for slider in sliders:
            for at in np.linspace(slider.low, slider.high, 9):
                assert _verdict(hers, goal, arm_flexion=deg(flexion), **{slider.key: float(at)}), (goal, slider.key, at)


def test_predictions_are_answered_where_the_question_is_decided(hers: Lab) -> None:
    """Only with all else as the question has it; the answer is that of the mechanics, before and after."""
    assert _ask(hers)["answers"] == [None, None]
    assert _ask(hers, ring_below_c7=mm(55))["answers"] == [None, None]
    for other in ({"crossbar": 0.6}, {"arm_flexion": deg(35)}, {"scapular_abduction": deg(5)}, {"cross_back": True}):
        assert _ask(hers, ring_below_c7=mm(60), **other)["answers"] == [None, None]
    before = _ask(hers)["readings"]
    after = _ask(hers, ring_below_c7=mm(60))
    (option, words, why), (pull, told, because) = after["answers"]
    values = [float(readings[0]["value"]) for readings in (before, after["readings"])]
    assert words == f"Captured: {values[0]} mm before, {values[1]} mm after."
    assert option == ("more" if values[1] > values[0] else "less")
    arms = [float(readings[3]["note"].split()[2]) for readings in (before, after["readings"])]
    assert pull == ("less" if arms[1] > arms[0] else "more")
    pulls = [float(number) for number in re.findall(r"(\d+\.\d) N", told)]
    assert "further from the centre of the shoulder" in why
    assert [float(arm) for arm in re.findall(r"(\d+\.\d) mm", because)] == arms
    assert pulls == pytest.approx([3000.0 / arm for arm in arms], abs=0.15), "3 N m over the moment arm"
    assert {option, pull} == {"more", "less"}, "whoever presses one button throughout is wrong somewhere"


@pytest.mark.parametrize(
    ("goal", "who", "solved", "fails"),
    [
        (0, "large-man", {**BOWL, "ring_to_sound_side": mm(45)}, BOWL),
        (1, "average-man", {**SPOON, "ring_below_c7": mm(140), "control_strap": mm(35)}, SPOON),
    ],
)
def test_another_body_needs_another_setting(
    hers: Lab, goal: int, who: str, solved: dict[str, float], fails: dict[str, float]
) -> None:
    """What serves Maren does not serve him; something else does."""
    assert _verdict(hers, goal, wearer=who, amputated="right", **fails)
    assert _verdict(hers, goal, wearer=who, amputated="right", **solved) == []
