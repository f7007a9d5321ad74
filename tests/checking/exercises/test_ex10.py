"""Exercise 10: its answers beside the mechanics, scenes and meals played."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from itertools import product
from types import ModuleType
from typing import Any

import pytest

from controlkit.checking import Case, body, judge, own_wearer
from controlkit.classroom import private
from controlkit.exercises.ex10 import bench
from controlkit.exercises.ex10.bench import FLEXED, SLIPPERY
from controlkit.exercises.ex10.case import (
    crosses,
    held_by_front,
    lifted,
    limb_moment,
    other_hook,
    way,
)
from controlkit.exercises.ex10.errand import BEGINS, HANDLE, JUNCTION, THINGS, comes_to, laid, right_orders, start
from controlkit.exercises.ex10.words import CHANGES, OF_CHANGE, OF_SCENE, SCENES, STEPS
from controlkit.mechanics import (
    PairArm,
    PairControl,
    Pose,
    VoluntaryOpening,
    Wearer,
    bilateral_pair,
    hook_opening,
)
from controlkit.mechanics.chain import PairPull
from controlkit.mechanics.chain.pair import control as pair_mechanics
from controlkit.mechanics.device.bands import fewest_bands
from controlkit.mechanics.elbow import Piece, ProstheticForearm, StepUpHinge, short_forearm, socket_couple
from controlkit.units import deg, mm

FORWARD = {"scapular_abduction": deg(15)}
ARM = {"arm_flexion": FLEXED}
BUILDS = [("female", -60, -50), ("female", 60, 50), ("male", -60, 50), ("male", 60, -50)]
"""Wearers of cases that are unlike each other: sex, taller and wider than the mean [mm]."""


@pytest.fixture(scope="module")
def ex10(modules: dict[str, ModuleType]) -> ModuleType:
    return modules["ex10"]


def of(cases: list[Case], **values: Any) -> Case:
    """A case like the first, but for some values."""
    return Case("ex10", "x", 0, {**cases[0].values, **values})


def pair_on(wearer: Wearer, below: float, own: int = 3, other: int = 3, **more: Any) -> PairControl:
    """A pair whose right side pulls, its junction so far below C7 [mm]."""
    harness = bilateral_pair(wearer, junction_below_c7=mm(below), **more)
    return PairControl(
        harness=harness, right=PairArm(device=hook_opening(own)), left=PairArm(device=hook_opening(other))
    )


def band_hook(case: Case, bands: int) -> VoluntaryOpening:
    """A hook of which each band asks for what the case says, to begin to open."""
    one = hook_opening(1)
    return replace(one, bands=bands, band_pinch=case.begins * one.lever / one.finger)


# --- Answers beside the mechanics -----------------------------------------------------------


def test_what_crossing_pull_is_what_comes_to_the_other_control_strap(cases: list[Case]) -> None:
    """The triangle of three taut straps, of whole degrees, beside the harness with nothing to hold its junction."""
    for case in cases:
        pair = pair_on(body(case.sex, 10 * case.taller, 10 * case.wider), case.junction, other=12, skin=SLIPPERY)
        found = pair.pull("right", against=float(case.pull), **ARM)
        assert found.own.harness_force == pytest.approx(case.pull, abs=0.5)
        assert found.own.front_force == 0.0
        assert crosses(case) == pytest.approx(found.other.harness_force, rel=0.05, abs=0.5)
        assert held_by_front(case) == pytest.approx(found.other.front_force, rel=0.05)
        assert not found.other_opens


def test_the_cosine_of_the_angle_between_both_control_straps_is_too_much(ex10: ModuleType, cases: list[Case]) -> None:
    """What one strap's part along the other would be leaves out that the front strap pulls as well."""
    (idea,) = (one for one in ex10.exercise.ideas if one.label == "cosine-of-the-angle-between")
    for case in cases:
        (said,) = idea.values(case, {})
        assert said > 1.1 * crosses(case)


def test_the_other_hook_does_what_a_hook_does_under_such_a_pull(ex10: ModuleType, cases: list[Case]) -> None:
    width = mm(0.1)  # a sheet of paper
    for case in cases:
        hook, pull = band_hook(case, case.bands), crosses(case) * case.arrives / 100
        assert hook.force(0.0) == pytest.approx(case.bands * case.begins)
        left = hook.pinch(width, pull)
        does = "opens" if hook.force(0.0) <= pull else "grips less" if left < hook.pinch(width) else "unmoved"
        assert judge(ex10.exercise, "other_hook", does, case).points == 2


def test_so_many_bands_and_no_fewer_keep_it_shut(ex10: ModuleType, cases: list[Case]) -> None:
    for case in cases:
        pull = crosses(case) * case.arrives / 100
        assert ex10.exercise.right(case)["bands_shut"] == fewest_bands(band_hook(case, 1), 0.0, tension=pull).bands


def test_angle_moment_and_couple_are_those_of_the_hinge(ex10: ModuleType, cases: list[Case]) -> None:
    for case in cases:
        right, hinge = ex10.exercise.right(case), StepUpHinge(float(case.ratio))
        sweep = right["forearm_sweep"]
        assert hinge.limb_flexion(deg(sweep)) == pytest.approx(deg(case.most - case.least))
        moment = hinge.limb_moment(forearm(case).carrying(case.load / 1000, mm(case.reach)).largest_moment)
        assert right["limb_moment"] == pytest.approx(moment / (case.hinge / 100))
        assert right["couple"] == pytest.approx(socket_couple(right["limb_moment"], mm(case.lever)))


def forearm(case: Case) -> ProstheticForearm:
    """An empty forearm that makes the moment of a case, its last piece where the load is."""
    return ProstheticForearm((Piece("all of it", case.level / (9.80665 * mm(case.reach)), mm(case.reach)),))


def test_the_formula_is_what_a_limb_holds(ex10: ModuleType, cases: list[Case], root: Any) -> None:
    item = ex10.exercise.item("most_mass")
    for case in cases[:4]:
        for limb, ratio, efficiency, level, reach in (
            *item.inputs(case),
            *private("ex10", root).items["most_mass"](case),
        ):
            empty = ProstheticForearm((Piece("all of it", level / (9.80665 * mm(reach)), mm(reach)),))
            hinge = StepUpHinge(float(ratio))
            ways = short_forearm(empty, limb_flexion=1.0, limb_moment=limb * efficiency, lever=mm(45), hinge=hinge)
            said = 1000 * (limb * efficiency / ratio - level) / (9.807 * reach)
            assert 0.01 < said == pytest.approx(ways[0].most_load, rel=1e-3)


def test_the_way_is_the_first_that_reaches_and_holds(ex10: ModuleType) -> None:
    """Beside the mechanics of all three, whatever the case; the loss of the hinge counts for the hinge alone."""
    seen = Counter()
    for number in range(30):
        case = ex10.exercise.own_case(f"Student {number}")
        asked: dict[str, Any] = {"limb_flexion": deg(case.flexes), "lever": mm(45), "load": case.load / 1000}
        hinge = StepUpHinge(float(case.ratio))
        through, _, _ = short_forearm(
            forearm(case), limb_moment=case.limb_most * case.hinge / 100, hinge=hinge, **asked
        )
        _, itself, lock = short_forearm(forearm(case), limb_moment=float(case.limb_most), hinge=hinge, **asked)
        ways = {"self-suspending socket": itself, "step-up hinge": through, "outside locking hinge": lock}
        serves = [word for word, one in ways.items() if one.holds and one.elbow_flexion >= deg(case.to_reach) - 1e-9]
        assert way(case, limb_moment(case)) == serves[0]
        seen[serves[0]] += 1
    assert len(seen) == 3
    assert max(seen.values()) <= 18


# --- Scenes and changes ---------------------------------------------------------------------

MOVES: dict[str, tuple[float, int, int, Pose, dict[str, float]]] = {
    "arm, high junction": (25, 3, 3, Pose(), ARM),
    "arm, low junction": (100, 3, 3, Pose(), ARM),
    "strong and weak": (120, 7, 1, Pose(), ARM),
    "shoulder forward": (120, 3, 3, Pose(), FORWARD),
    "both shoulders": (60, 3, 3, Pose(**FORWARD), FORWARD),
    "arm back": (60, 3, 3, Pose(), {"arm_flexion": deg(-10)}),
    "forward and back": (60, 3, 3, Pose(scapular_abduction=deg(-15)), FORWARD),
    "reaching": (60, 3, 3, Pose(arm_flexion=deg(30)), FORWARD),
    "load": (100, 3, 3, Pose(), {"socket_slip": mm(20)}),
    "both arms": (100, 3, 3, Pose(**ARM), ARM),
}


def opened(pull: PairPull) -> str:
    """Which hooks a motion opens, as the word of a statement."""
    return {
        (True, True): "both hooks",
        (True, False): "this hook",
        (False, True): "other hook",
        (False, False): "neither hook",
    }[pull.own.travel > mm(1), pull.other.travel > mm(1)]


@pytest.mark.parametrize("build", BUILDS, ids=str)
def test_each_scene_opens_what_the_mechanics_opens(build: tuple[str, int, int]) -> None:
    wearer = body(*build)
    played = {}
    for scene, (below, own, other, pose, angles) in MOVES.items():
        pull = pair_on(wearer, below, own, other).pull("right", pose, **angles)
        assert pull.settled
        played[scene] = opened(pull)
    assert played == OF_SCENE
    assert set(SCENES) == set(OF_SCENE)


@pytest.mark.long
@pytest.mark.parametrize("build", [*product(("female", "male"), (-60, 0, 60), (-50, 50))], ids=str)
def test_on_every_wearer_of_a_case_too(build: tuple[str, int, int]) -> None:
    test_each_scene_opens_what_the_mechanics_opens(build)
    test_each_change_does_what_the_mechanics_does(build)
    test_what_lies_near_opens_both_and_what_lies_far_one(build)


@pytest.mark.parametrize("build", BUILDS, ids=str)
def test_each_change_does_what_the_mechanics_does(build: tuple[str, int, int]) -> None:
    """Both arms flexed in turn; the hooks are banded so firmly that neither comes to its end."""
    wearer = body(*build)

    def both(below: float, other: int = 5, **more: Any) -> tuple[PairPull, PairPull]:
        pair = pair_on(wearer, below, 5, other, **more)
        return pair.pull("right", arm_flexion=deg(50)), pair.pull("left", arm_flexion=deg(50))

    (own, back), changed = both(80), {"higher": both(40), "lower": both(120)}
    changed |= {"let out": both(80, other_control_strap=mm(10)), "bands": both(80, 7)}
    assert own.crossed_force > 1.0
    does = {}
    for change, (here, there) in changed.items():
        crossed = here.crossed_force - own.crossed_force
        mine, hers = here.own.travel - own.own.travel, there.own.travel - back.own.travel
        if change == "bands":
            assert abs(crossed) < 1.0
            assert there.own.harness_force > back.own.harness_force + 10.0
            does[change] = "later and harder"
        elif mine > mm(3):
            assert crossed > 1.0
            assert mine == pytest.approx(hers, abs=mm(0.1))
            does[change] = "more and further"
        else:
            assert crossed < -1.0
            assert hers < -mm(5)
            alike = mine == pytest.approx(hers, abs=mm(0.1))
            assert alike or mine > 0.55 * hers  # of what the other side loses, at most half and a little
            does[change] = "less and shorter" if alike else "one pays most"
    assert does == OF_CHANGE
    assert set(CHANGES) == set(OF_CHANGE)


# --- The meal -------------------------------------------------------------------------------


@pytest.mark.parametrize("build", BUILDS, ids=str)
def test_what_lies_near_opens_both_and_what_lies_far_one(build: tuple[str, int, int]) -> None:
    """A hook that holds a handle lets go once its cable is drawn further than the handle holds it open."""
    done = bench.motions(body(*build), JUNCTION)
    lets_go = hook_opening().travel_for(HANDLE)
    assert min(done.near.own.travel, done.near.other.travel) > lets_go + mm(5)
    assert done.far.own.travel > lets_go + mm(5)
    assert done.far.other.travel < mm(0.01)
    assert done.far.other.device_force < 0.9 * hook_opening().force(0.0)


def every_meal(cases: list[Case]) -> list[Case]:
    kinds = product(("left", "right"), THINGS, BEGINS, ("both", "left", "right"))
    return [of(cases, fork_on=a, near=b, meal_begins=c, away=d) for a, b, c, d in kinds]


def test_every_meal_can_be_eaten_and_nothing_shorter_will_do(cases: list[Case]) -> None:
    for case in every_meal(cases):
        orders, table = right_orders(case), laid(case)
        assert 1 <= len(orders) <= 2
        for order in orders:
            assert comes_to(case, order) == ""
            at = start(case)
            for step in order:
                at, _ = table.step(at, step)
            assert at.done
            assert not at.held
            for place in range(len(order)):  # no step can be left out
                left_out = (*order[:place], *order[place + 1 :])
                at, wrong = start(case), ""
                for step in left_out:
                    at, went = table.step(at, step)
                    wrong = wrong or went
                assert wrong or not at.done or at.held, (order, place)


def test_a_wrong_order_is_told_what_it_comes_to(ex10: ModuleType, cases: list[Case]) -> None:
    empty = of(cases, fork_on="left", near="fork", meal_begins="both hooks empty", away="both")
    ready = ["pre-position left", "pre-position right"]
    held = of(cases, fork_on="left", near="fork", meal_begins="near thing held", away="both")
    for case, order, words in (
        (empty, [*ready, "take the knife", "take the fork"], "on the right by"),
        (empty, [*ready, "take the knife", "take the fork"], "the knife falls"),
        (empty, ["take the fork"], "meets the fork askew"),
        (empty, ["pre-position left", "take the fork", "pre-position right"], "cannot turn the right wrist unit"),
        (empty, [*ready, "take the fork", "cut"], "both are not held yet"),
        (empty, [*ready, "take the fork", "take the knife", "cut", "lay down the fork"], "the knife falls"),
        (held, ["pre-position right"], "the left hook holds the fork, and cannot turn"),
    ):
        judged = judge(ex10.exercise, "meal", order, case)
        assert words in judged.words, (order, judged.words)
        assert judged.points < 4


def test_meals_are_spread(ex10: ModuleType) -> None:
    drawn = [ex10.exercise.own_case(f"Student {number}") for number in range(40)]
    assert {case.meal_begins for case in drawn} == set(BEGINS)
    assert len({right_orders(case) for case in drawn}) >= 10
    assert max(Counter(right_orders(case) for case in drawn).values()) <= 10
    assert {step.word for step in STEPS} == {step for case in drawn for order in right_orders(case) for step in order}


# --- Carried on -----------------------------------------------------------------------------


def test_a_slip_costs_once_along_each_chain(ex10: ModuleType, cases: list[Case]) -> None:
    chains = (
        ("crossing_pull", "cosine-of-the-angle-between", ("other_hook", "bands_shut")),
        ("crossing_pull", "what-the-front-strap-takes", ("other_hook", "bands_shut")),
        ("limb_moment", "hinge-gives-moment", ("couple", "way")),
    )
    for case, (first, label, then) in product(cases, chains):
        idea = next(one for one in ex10.exercise.ideas if (one.item, one.label) == (first, label))
        truth = ex10.exercise.right(case)
        (own,) = idea.values(case, truth)
        assert judge(ex10.exercise, first, own, case).feedback[0].label == label
        for name in then:
            item = ex10.exercise.item(name)
            carried = item.right_from(case, own)[0] if name in ("other_hook", "way") else None
            answer = carried or item.right(case, {**truth, first: own})
            assert judge(ex10.exercise, name, answer, case, earlier={first: own}).points == item.points


def test_lifting_costs_more_through_the_hinge_whatever_the_case(cases: list[Case]) -> None:
    assert all(limb_moment(case) > case.ratio * lifted(case) for case in cases)


# --- Costs ----------------------------------------------------------------------------------


def test_a_case_asks_for_few_motions_of_the_harness(ex10: ModuleType, monkeypatch: pytest.MonkeyPatch) -> None:
    """All that needs no harness has been looked at before."""
    inside, runs = pair_mechanics.follow, Counter[str]()
    for number in range(8):
        bench._measured.cache_clear()

        def counted(*given: Any, who: str = str(number), **named: Any) -> Any:
            runs[who] += 1
            return inside(*given, **named)

        monkeypatch.setattr(pair_mechanics, "follow", counted)
        ex10.exercise.own_case(f"Student {number}")
    assert len(runs) == 8
    assert max(runs.values()) <= 4


def test_both_shoulders_come_forward_alike(cases: list[Case]) -> None:
    """What the errand calls near the body works either hook as much as the other."""
    done = bench.motions(own_wearer(cases[0].values), JUNCTION).near
    assert done.own.travel == pytest.approx(done.other.travel, abs=mm(0.05))


def test_no_word_is_right_for_most_hooks_that_rest(ex10: ModuleType) -> None:
    drawn = [ex10.exercise.own_case(f"Student {number}") for number in range(60)]
    words = Counter(other_hook(c, crosses(c)) for c in drawn)
    assert max(words.values()) <= 0.7 * len(drawn), words
