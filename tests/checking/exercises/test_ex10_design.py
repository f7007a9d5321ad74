"""Exercise 10: a pair that serves a wearer and many bodies, and what is said of one that does not."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from types import ModuleType
from typing import Any

import pytest

from controlkit.checking import Case, Design, judge, own_wearer
from controlkit.classroom import private
from controlkit.exercises.ex10 import bench
from controlkit.exercises.ex10.bench import FLEXED
from controlkit.exercises.ex10.case import (
    FULL_PULL,
    OPENS,
    derived,
    wanted,
)
from controlkit.mechanics import (
    PairArm,
    PairControl,
    bilateral_pair,
    hook_opening,
)
from controlkit.mechanics.chain import PairPull
from controlkit.mechanics.chain.pair import control as pair_mechanics
from controlkit.units import mm
from tests.checking.hands import Hands

ARM = {"arm_flexion": FLEXED}


@pytest.fixture(scope="module")
def ex10(modules: dict[str, ModuleType]) -> ModuleType:
    return modules["ex10"]


def of(cases: list[Case], **values: Any) -> Case:
    """A case like the first, but for some values."""
    return Case("ex10", "x", 0, {**cases[0].values, **values})


def good(case: Case, **changes: Any) -> dict[str, Any]:
    """A design that serves: one band more on the light hook, the higher a junction the less alike the hooks."""
    light, far = case.light + 1, case.forward == 10
    below = max(85 - 15 * max(case.firm - light - 1, 0) - (15 if light == 2 else 0), 55)
    slack = (8 if far and case.firm <= 4 else 0, 8 if far or (light == 2 and case.firm >= 4) else 0)
    sides = ("left", "right") if case.firm_on == "left" else ("right", "left")
    bands = {f"{side}_bands": many for side, many in zip(sides, (case.firm, light), strict=True)}
    straps = {f"{side}_strap": f"{out} mm" for side, out in zip(sides, slack, strict=True)}
    return {"junction": f"{below} mm", **bands, **straps, **changes}


def demanding(cases: list[Case], forward: int, firm: int, light: int, **more: Any) -> Case:
    """A case that asks for so much."""
    case = of(cases, forward=forward, firm=firm, light=light, **more)
    return of([case], **derived(case.values))


def said(ex10: ModuleType, case: Case, kept_back: Any = None, **changes: Any) -> tuple[float, str]:
    judged = judge(ex10.exercise, "design", good(case, **changes), case, kept_back=kept_back)
    return judged.points, judged.words


def check_demand(ex10: ModuleType, cases: list[Case], root: Any, asked: tuple[int, int, int]) -> None:
    """Met by a weak small woman and a large man, a firm hook on either side, and by all other bodies."""
    for sex, size, side in (("female", -1, "left"), ("male", 1, "right")):
        who = {"sex": sex, "taller": 6 * size, "wider": 5 * size, "firm_on": side, "width": 20 + 10 * size + 10}
        case = demanding(cases, *asked, **who)
        for kept_back in (None, private("ex10", root)):
            assert said(ex10, case, kept_back)[0] == 8, said(ex10, case, kept_back)[1]


@pytest.mark.parametrize("asked", [(6, 6, 1), (10, 6, 3)], ids=str)
def test_the_hardest_demands_can_be_met_on_every_body(
    ex10: ModuleType, cases: list[Case], root: Any, asked: tuple[int, int, int]
) -> None:
    check_demand(ex10, cases, root, asked)


@pytest.mark.long
@pytest.mark.parametrize("asked", OPENS, ids=str)
def test_every_demand_can_be_met_on_every_body(
    ex10: ModuleType, cases: list[Case], root: Any, asked: tuple[int, int, int]
) -> None:
    check_demand(ex10, cases, root, asked)


def test_no_case_asks_a_woman_for_six_bands_nor_for_unlike_grips_the_wrong_way_round(ex10: ModuleType) -> None:
    for number in range(40):
        case = ex10.exercise.own_case(f"Student {number}")
        assert case.light < case.firm
        assert case.firm <= 5 or case.sex == "male"
        assert (case.forward, case.firm, case.light) in OPENS


def may_serve(design: dict[str, Any], case: Case) -> bool:
    """Whether the bands of a design grip and pull as a case asks, on the body where a cable rubs least."""
    other = "right" if case.firm_on == "left" else "left"
    for side, grip, most in ((case.firm_on, case.firm_grip, case.firm_most), (other, case.light_grip, case.light_most)):
        hook = hook_opening(design[f"{side}_bands"])
        if hook.pinch(mm(case.width)) < grip or hook.force(hook.travel) / 0.78 > most:
            return False
    return True


@pytest.mark.long
def test_no_one_design_serves_many_names(ex10: ModuleType) -> None:
    """By its bands alone: grip and pull leave one number to the firm hook, and two to the light one."""
    names = [ex10.exercise.own_case(f"Student {number}") for number in range(24)]
    for own in names:
        served = sum(may_serve(good(own), case) for case in names)
        assert 1 <= served <= 6, (good(own), served)
    other = next(case for case in names if not may_serve(good(names[0]), case))
    assert judge(ex10.exercise, "design", good(names[0]), other).points < 8


def test_graded_bodies_are_other_people_of_kinds_that_may_be_told(ex10: ModuleType, root: Any) -> None:
    item, kept_back = ex10.exercise.item("design"), private("ex10", root)
    graded = {one.make() for one in kept_back.items["design"].bodies}
    assert not {one.make() for one in item.bodies} & graded
    assert tuple(one.kind for one in kept_back.items["design"].bodies) == item.graded_on


def test_a_design_is_judged_as_the_pair_would_answer(ex10: ModuleType, cases: list[Case]) -> None:
    for case in cases[:3]:
        wearer = own_wearer(case.values)
        chosen = {"junction": mm(80), "left_bands": 4, "right_bands": 3, "left_strap": mm(6), "right_strap": 0.0}
        done = bench.trial(wearer, chosen, wanted(case))
        straps = {"left": mm(6), "right": 0.0}
        other = "left" if wearer.amputated == "right" else "right"
        harness = bilateral_pair(
            wearer,
            junction_below_c7=mm(80),
            control_strap=straps[wearer.amputated],
            other_control_strap=straps[other],
        )
        pair = PairControl(harness=harness, left=PairArm(device=hook_opening(4)), right=PairArm(device=hook_opening(3)))
        for side in bench.SIDES:
            flexed = pair.pull(side, **ARM)
            assert done.opens(side) == flexed.own.opening / hook_opening().full_opening
            assert done.flexed[side].other_opens == flexed.other_opens
            bands = {"left": 4, "right": 3}[side]
            assert done.full_pull(side) == pytest.approx(FULL_PULL * bands, rel=0.04)


DESIGNS: list[tuple[Callable[[Case, str, str], dict[str, Any]], str]] = [
    (lambda c, f, _: {f"{f}_bands": c.firm - 1}, "the firm hook grips too weakly"),
    (lambda c, _, other: {f"{other}_bands": c.light - 1 or 12}, "the light hook grips too weakly"),
    (lambda c, f, _: {f"{f}_bands": c.firm + 3}, "a hook asks its shoulder for too much"),
    (lambda _, f, __: {"junction": "20 mm", f"{f}_strap": "20 mm"}, "the firm hook opens too little by its own arm"),
    (lambda _, __, other: {f"{other}_strap": "45 mm"}, "the light hook opens too little by its own arm"),
    (lambda c, _, other: {"junction": "150 mm", f"{other}_bands": c.light}, "an arm that flexes opens the other hook"),
    (
        lambda c, _, other: {"junction": "150 mm", f"{other}_strap": "0 mm", f"{other}_bands": c.light},
        "a shoulder that comes forward opens the other hook",
    ),
    (lambda _, f, __: {f"{f}_strap": "-35 mm"}, "a hook stands open while both arms hang"),
]


@pytest.mark.parametrize(
    ("change", "words"),
    DESIGNS,
    ids=["firm weak", "light weak", "strong", "high", "slack", "low", "forward", "taken in"],
)
def test_what_a_design_does_not_do_is_asked_back(
    ex10: ModuleType, cases: list[Case], change: Callable[[Case, str, str], dict[str, Any]], words: str
) -> None:
    case = demanding(cases, 10, 5, 2, sex="male", taller=6, wider=5, firm_on="right")
    points, told = said(ex10, case, **change(case, "right", "left"))
    assert words in told
    assert points <= 7.5


@pytest.mark.long
def test_a_pair_joined_where_a_single_harness_has_its_ring_is_no_answer(ex10: ModuleType, cases: list[Case]) -> None:
    """High up neither side works the other, and a firm hook opens too little; low down one pulls the other open."""
    for asked in ((6, 5, 2), (10, 5, 1), (6, 6, 1)):
        case = demanding(cases, *asked, sex="male", taller=0, wider=5)
        high, low = said(ex10, case, junction="25 mm"), said(ex10, case, junction="130 mm")
        assert "opens too little" in high[1] or "on another body" in high[1]
        assert "opens the other hook" in low[1]
        assert max(high[0], low[0]) < 8


def test_like_hooks_are_easily_kept_apart_and_do_not_do_what_is_asked(ex10: ModuleType, cases: list[Case]) -> None:
    """Four bands each, straps snug: nothing opens what it should not, and the hooks are not those that were wanted."""
    case = demanding(cases, 10, 6, 1, sex="male", taller=6, wider=5)
    changes = {"junction": "70 mm", "left_strap": "0 mm", "right_strap": "0 mm"}
    points, told = said(ex10, case, left_bands=4, right_bands=4, **changes)
    assert "on another body it does not do its work" in told
    assert points <= 5


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"junction": "300 mm"}, "below C7"),
        ({"junction": "-5 mm"}, "below C7"),
        ({"left_bands": 0}, "whole number"),
        ({"left_bands": 2.5}, "whole number"),
        ({"right_bands": 40}, "whole number"),
        ({"left_strap": "500 mm"}, "ontrol strap"),
        ({"right_strap": "3 N"}, "right strap"),
    ],
    ids=["the loins", "the neck", "no band", "half a band", "a bundle", "off the shoulder", "a force"],
)
def test_a_design_that_cannot_be_worn_costs_nothing(
    ex10: ModuleType, cases: list[Case], changes: dict[str, Any], words: str
) -> None:
    judged = judge(ex10.exercise, "design", {**good(cases[1]), **changes}, cases[1])
    assert words in judged.words
    assert judged.points == 0
    assert not judged.costs_attempt


def test_every_line_of_a_design_carries_its_figure(every: dict[str, Hands]) -> None:
    """What was reached, and what was wanted, whether it is met or not."""
    hands = every["ex10"]
    item, case = hands.exercise.item("design"), hands.case(2)
    assert isinstance(item, Design)
    for design in (good(case), good(case, junction="150 mm"), good(case, left_bands=1, right_bands=1)):
        judged = judge(hands.exercise, "design", design, case)
        lines = {note.label.split(":")[0]: note.message for note in judged.feedback}
        for criterion in item.criteria:
            assert re.search(r"\d (N|mm|%)", lines[criterion.label]), lines


def test_the_same_design_is_not_followed_again(
    ex10: ModuleType, cases: list[Case], monkeypatch: pytest.MonkeyPatch
) -> None:
    case = cases[3]
    before = said(ex10, case)

    def never(*given: Any, **named: Any) -> Any:
        raise AssertionError("the harness was followed again")

    with monkeypatch.context() as patched:
        patched.setattr(pair_mechanics, "follow", never)
        assert said(ex10, case) == before
    bench._tried.cache_clear()
    assert said(ex10, case) == before


def test_where_straps_do_not_settle_nothing_is_drawn_or_marked(
    ex10: ModuleType, cases: list[Case], monkeypatch: pytest.MonkeyPatch
) -> None:
    case, plan, told = cases[0], ex10.exercise.plan, said(ex10, cases[0])
    drawn = {name: case[name] for name in plan.draws}
    assert plan.derive(drawn)
    pull = PairControl.pull

    def unsettled(self: PairControl, *given: Any, **named: Any) -> PairPull:
        return replace(pull(self, *given, **named), settled=False)

    def forget() -> None:
        for kept in (bench._tried, bench._measured):
            kept.cache_clear()

    forget()
    with monkeypatch.context() as patched:
        patched.setattr(PairControl, "pull", unsettled)
        assert plan.derive(drawn) is None
        judged = judge(ex10.exercise, "design", good(case), case)
        assert judged.points == 0
        assert not judged.costs_attempt
        assert "do not settle" in judged.words
    forget()
    assert said(ex10, case) == told
