"""When a result says that it has no answer, that the ring lies on the spine, or that the skin lets it slip."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from controlkit.mechanics import Motion, Pose, Pull, SingleControl, Wearer, figure_of_eight
from controlkit.mechanics.harness import Skin
from controlkit.units import deg, mm

SEXES = ("female", "male")


def _says(pull: Pull, what: str) -> bool:
    """Whether a result names an outcome."""
    return any(state.code == what for state in pull.states)


def _unsettled(motion: Motion, which: int) -> Motion:
    """The same motion, as if the straps had not settled at one of its angles."""
    settled = motion.guess.net.settled.copy()
    settled[motion.guess.asked[which]] = False
    return replace(motion, guess=replace(motion.guess, net=replace(motion.guess.net, settled=settled)))


def test_where_straps_have_not_settled_the_result_says_so_and_nowhere_else() -> None:
    motion = SingleControl(figure_of_eight(Wearer.average("male"))).sweep([0.0, deg(40), deg(80)])
    assert not any(_says(pull, "not-settled") for pull in motion.pulls)
    told = [_says(pull, "not-settled") for pull in _unsettled(motion, 1).pulls]
    assert told == [False, True, False]


@pytest.mark.parametrize("sex", SEXES)
@pytest.mark.parametrize("side", [1, -1], ids=["sound side", "amputated side"])
def test_a_ring_lies_on_the_spine_up_to_12_mm_from_the_midline(sex: str, side: int) -> None:
    """With the arm hanging a ring is where it was put: a centimetre off the midline is too near, 14 mm is not."""
    for off, told in ((0, True), (10, True), (11.9, True), (12.1, False), (14, False), (17, False)):
        rest = SingleControl(figure_of_eight(Wearer.average(sex), ring_to_sound_side=side * mm(off))).at()
        assert abs(rest.ring[2]) == pytest.approx(mm(off), abs=1e-6)
        assert _says(rest, "ring-on-spine") == told, off


@pytest.mark.parametrize("sex", SEXES)
@pytest.mark.parametrize("floor", [None, 2.0, 8.0])
def test_without_a_pull_skin_holds_the_ring_up_to_friction_times_what_presses_it_anyway(
    sex: str, floor: float | None
) -> None:
    """The loop, taken in far, drags the ring away under a control strap that hangs slack; 5 N press where none is said.

    A ring that is hardly pulled stays.
    """
    skin = Skin() if floor is None else Skin(floor=floor)
    slack = figure_of_eight(Wearer.average(sex), control_strap=mm(100), skin=skin)
    dragged = SingleControl(replace(slack, axilla_loop=-mm(20))).at()
    assert dragged.harness_force == 0.0
    assert _says(dragged, "ring-slipped")
    held = float(np.linalg.norm(dragged.ring_forces["skin"]))
    assert held == pytest.approx(skin.friction * (5.0 if floor is None else floor), rel=1e-6)
    stays = SingleControl(slack).at()
    assert not _says(stays, "ring-slipped")
    assert np.linalg.norm(stays.ring_forces["skin"]) < held


@pytest.mark.parametrize("sex", SEXES)
def test_the_practised_ring_keeps_straps_off_the_neck_and_a_higher_one_does_not(sex: str) -> None:
    """Neck above C7 behind and the notch in front: skin of the upper back under the ring is not neck."""
    poses = [Pose(), Pose(arm_flexion=deg(60)), Pose(arm_flexion=deg(90))]
    kept, high = (
        SingleControl(figure_of_eight(Wearer.average(sex), ring_below_c7=mm(below))).over(poses) for below in (25, 10)
    )
    assert not any(said.code == "strap-on-neck" for pull in kept for said in pull.states)
    assert any(said.code == "strap-on-neck" for said in high[0].states)
