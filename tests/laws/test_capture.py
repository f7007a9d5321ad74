"""A harness never captures more than the motion generates, for wearers and placements drawn at random.

Arm flexion alone, the strap snug or let out. Nothing here asks for a usual placement: rings lie anywhere the
lab allows from the spine to the sound side. In about one setting in thirty the ring loses its hold: most lie
90 mm or more below C7, where friction alone holds them against the upward pull of loop and strap, and slide up
by 20 to 85 mm in mid-motion, which costs up to half of the captured excursion. The bar "no jump" is missed
there; the last test counts how often.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest

from controlkit.mechanics import Motion, SingleControl, Wearer, figure_of_eight
from controlkit.mechanics.body.remembered import built
from controlkit.mechanics.harness import LIMITS
from controlkit.mechanics.states import State
from controlkit.units import deg, mm

STEP = deg(7.5)
ANGLES = np.arange(0.0, deg(91), STEP)
SNAP = mm(15)  # the ring moves this much in one step only where it has lost its hold


def _motions(count: int) -> Iterator[tuple[str, float, Motion]]:
    """What was asked, the distance of the crossbar from the shoulder [m], and the motion."""
    rng = np.random.default_rng(21)
    for k in range(count):
        setting = {name: float(rng.uniform(*LIMITS[name])) for name in ("ring_below_c7", "crossbar")}
        setting["ring_to_sound_side"] = float(rng.uniform(0.0, LIMITS["ring_to_sound_side"][1]))
        setting["control_strap"] = float(rng.choice([0.0, rng.uniform(0.0, mm(40))]))
        wearer = Wearer.draw(("female", "male")[k % 2], 1, seed=300 + k)[0]
        motion = SingleControl(figure_of_eight(wearer, **setting)).sweep(ANGLES)
        lever = setting["crossbar"] * float(built(wearer).upper_arm[0])
        yield f"wearer {300 + k}, {setting}", lever, motion


def _snapped(motion: Motion) -> np.ndarray:
    ring = np.array([pull.ring for pull in motion.pulls])
    return np.linalg.norm(np.diff(ring, axis=0), axis=1) > SNAP


@pytest.mark.parametrize("count", [20, pytest.param(400, marks=pytest.mark.long)])
def test_captured_is_never_more_than_generated(count: int) -> None:
    faults = []
    for asked, lever, motion in _motions(count):
        more = float((motion.captured - motion.generated).max())
        if more > mm(2):
            faults.append(f"{asked}: {more * 1e3:.2f} mm more")
        # a strap lengthens no faster than its end moves, and hardly shortens while the arm rises
        steps, quiet = np.diff(motion.generated), np.diff(motion.captured)[~_snapped(motion)]
        if steps.max() > STEP * (lever + mm(70)) or min(steps.min(), quiet.min()) < -mm(2):
            faults.append(f"{asked}: a jump")
    assert faults == []


@pytest.mark.parametrize("count", [20, pytest.param(400, marks=pytest.mark.long)])
def test_a_ring_that_loses_its_hold_is_told(count: int) -> None:
    """It happens seldom, the outcome says so, and the net settles on both sides of it."""
    lost = 0
    for asked, _, motion in _motions(count):
        assert motion.guess.net.settled.all(), asked
        for k in np.flatnonzero(_snapped(motion)):
            assert State.of("ring-slipped", crossing="ring") in motion.pulls[k + 1].states, asked
            lost += 1
    assert lost <= max(2, 0.06 * count)
