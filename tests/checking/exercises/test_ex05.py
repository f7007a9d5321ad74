"""Exercise 5: its answers beside the devices of the mechanics."""

from __future__ import annotations

from types import ModuleType

import pytest

from controlkit.checking import Case, judge
from controlkit.mechanics import VoluntaryClosing, VoluntaryOpening
from controlkit.units import mm


@pytest.fixture(scope="module")
def ex05(modules: dict[str, ModuleType]) -> ModuleType:
    return modules["ex05"]


@pytest.fixture(scope="module")
def cases(ex05: ModuleType) -> list[Case]:
    return [ex05.exercise.own_case(f"Student {number}") for number in range(20)]


def hook_of(case: Case, bands: int) -> VoluntaryOpening:
    lever = mm(case.lever)
    return VoluntaryOpening(
        bands=bands,
        finger=mm(case.finger),
        lever=lever,
        widest=mm(case.whole) / lever,
        stretch=case.rise / 100,
        friction=0.0,
        band_pinch=case.band,
    )


def closing_of(case: Case, lock: bool = False) -> VoluntaryClosing:
    """With a spring that pulls evenly, so that the reading of the case is that of every width."""
    return VoluntaryClosing(
        finger=mm(case.closing_finger),
        lever=mm(case.closing_lever),
        spring=case.reading - 1.0,
        stretch=0.0,
        drag=1.0,
        lock=lock,
    )


def test_right_answers_are_those_of_the_devices(ex05: ModuleType, cases: list[Case]) -> None:
    for case in cases:
        right, hook = ex05.exercise.right(case), hook_of(case, case.bands)
        width = hook.opening(mm(case.met))
        assert right["pull"] == pytest.approx(hook.force(0.0))
        assert right["pinch"] == pytest.approx(hook.pinch(width))
        assert right["pinch_left"] == pytest.approx(hook.pinch(width, case.stray))
        assert case.width == round(width / mm(1))
        assert right["closing_pull"] == pytest.approx(closing_of(case).pull_for(case.grip))
        strength = case.strength * right["share"] / 100 * case.arrives / 100
        assert strength == pytest.approx(closing_of(case).pull_for(case.grip))


def test_the_hardest_band_takes_just_what_she_can_give_all_day(ex05: ModuleType, cases: list[Case]) -> None:
    for case in cases:
        band = ex05.exercise.right(case)["hardest_band"]
        lever = mm(case.lever)
        hook = VoluntaryOpening(
            bands=case.bands,
            finger=mm(case.finger),
            lever=lever,
            widest=mm(case.whole) / lever,
            stretch=case.rise / 100,
            band_pinch=band,
        )
        assert hook.force(hook.travel) / (case.arrives / 100) == pytest.approx(0.2 * case.strength)


def test_one_more_band_does_what_the_statement_says(cases: list[Case]) -> None:
    for case in cases:
        less, more = hook_of(case, case.bands), hook_of(case, case.bands + 1)
        grows = (case.bands + 1) / case.bands
        assert more.force(0.0) / less.force(0.0) == pytest.approx(grows)
        assert more.pinch(mm(10)) / less.pinch(mm(10)) == pytest.approx(grows)
        assert more.travel == less.travel


def test_what_becomes_of_the_grip_is_what_the_devices_do(ex05: ModuleType, cases: list[Case]) -> None:
    """Each scene played: before and after, as pinch on the same object."""
    case = cases[0]
    hook, closing, locked = hook_of(case, case.bands), closing_of(case), closing_of(case, lock=True)
    peak = closing.pull_for(case.grip)
    played = {
        "rests": (hook.pinch(mm(10)), hook.pinch(mm(10), 0.0)),
        "pulls": (hook.pinch(mm(10)), hook.pinch(mm(10), 0.5 * hook.force(0.0))),
        "lets go": (closing.pinch(0.0, peak), closing.held(0.0, peak, 0.0)),
        "lets go, locked": (locked.pinch(0.0, peak), locked.held(0.0, peak, 0.0)),
        "pulls on": (closing.pinch(0.0, peak), closing.pinch(0.0, 1.3 * peak)),
    }
    for scene, (before, after) in played.items():
        becomes = "stays" if after == pytest.approx(before) else "grows" if after > before else "weakens"
        becomes = "ends" if after < 0.1 else becomes
        there = Case("ex05", "x", 0, {**case.values, "scene": scene})
        assert judge(ex05.exercise, "principle", becomes, there).points == 2, scene


def test_pinch_left_is_judged_from_her_own_pinch(ex05: ModuleType, cases: list[Case]) -> None:
    for case in cases[:5]:
        own = case.bands * case.band  # the object makes no difference
        left = own - case.stray * case.lever / case.finger
        judged = judge(ex05.exercise, "pinch_left", left, case, earlier={"pinch": own})
        assert judged.points == 3
        harder = own + case.stray * case.lever / case.finger
        judged = judge(ex05.exercise, "pinch_left", harder, case, earlier={"pinch": own})
        assert judged.feedback[0].label == "pull-harder-grip-harder"
        assert "Which way does it move the fingers of this device?" in judged.words
