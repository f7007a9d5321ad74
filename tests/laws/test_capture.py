"""A harness never captures more than the motion generates, for wearers and placements drawn at random.

Arm flexion alone, the strap snug or let out. Nothing here asks for a usual placement: rings lie anywhere the
lab allows from the spine to the sound side. In about one setting in thirty the ring loses its hold: most lie
90 mm or more below C7, where friction alone holds them against the upward pull of loop and strap, and slide up
by 20 to 85 mm in mid-motion, which costs up to half of the captured excursion. The bar "no jump" is missed
there; the last test counts how often.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import pytest

from controlkit.mechanics import SingleControl, Wearer, figure_of_eight
from controlkit.mechanics.body.remembered import built
from controlkit.mechanics.harness import LIMITS
from controlkit.mechanics.states import State
from controlkit.units import deg, mm

STEP = deg(7.5)
ANGLES = np.arange(0.0, deg(91), STEP)
SNAP = mm(15)  # the ring moves this much in one step only where it has lost its hold


SLIPPED = State.of("ring-slipped", crossing="ring")


@dataclass(frozen=True)
class _Swept:
    """What was asked and what came of it, kept for both tests without the motion itself."""

    asked: str
    lever: float  # from the shoulder to the crossbar [m]
    generated: np.ndarray
    captured: np.ndarray
    snapped: np.ndarray  # steps in which the ring has lost its hold
    settled: bool
    told: tuple[bool, ...]  # whether the outcome of each angle says that the ring has slipped


@lru_cache(maxsize=1)
def _swept(count: int) -> tuple[_Swept, ...]:
    rng = np.random.default_rng(21)
    found = []
    for k in range(count):
        setting = {name: float(rng.uniform(*LIMITS[name])) for name in ("ring_below_c7", "crossbar")}
        setting["ring_to_sound_side"] = float(rng.uniform(0.0, LIMITS["ring_to_sound_side"][1]))
        setting["control_strap"] = float(rng.choice([0.0, rng.uniform(0.0, mm(40))]))
        wearer = Wearer.draw(("female", "male")[k % 2], 1, seed=300 + k)[0]
        motion = SingleControl(figure_of_eight(wearer, **setting)).sweep(ANGLES)
        ring = np.array([pull.ring for pull in motion.pulls])
        found.append(
            _Swept(
                asked=f"wearer {300 + k}, {setting}",
                lever=setting["crossbar"] * float(built(wearer).upper_arm[0]),
                generated=motion.generated,
                captured=motion.captured,
                snapped=np.linalg.norm(np.diff(ring, axis=0), axis=1) > SNAP,
                settled=bool(motion.guess.net.settled.all()),
                told=tuple(SLIPPED in pull.states for pull in motion.pulls),
            )
        )
    return tuple(found)


@pytest.mark.parametrize("count", [20, pytest.param(400, marks=pytest.mark.long)])
def test_captured_is_never_more_than_generated(count: int) -> None:
    faults = []
    for one in _swept(count):
        more = float((one.captured - one.generated).max())
        if more > mm(2):
            faults.append(f"{one.asked}: {more * 1e3:.2f} mm more")
        # a strap lengthens no faster than its end moves, and hardly shortens while the arm rises
        steps, quiet = np.diff(one.generated), np.diff(one.captured)[~one.snapped]
        if steps.max() > STEP * (one.lever + mm(70)) or min(steps.min(), quiet.min()) < -mm(2):
            faults.append(f"{one.asked}: a jump")
    assert faults == []


@pytest.mark.parametrize("count", [20, pytest.param(400, marks=pytest.mark.long)])
def test_a_ring_that_loses_its_hold_is_told(count: int) -> None:
    """It happens seldom, the outcome says so, and the net settles on both sides of it."""
    lost = 0
    for one in _swept(count):
        assert one.settled, one.asked
        for k in np.flatnonzero(one.snapped):
            assert one.told[k + 1], one.asked
            lost += 1
    assert lost <= max(2, 0.06 * count)
