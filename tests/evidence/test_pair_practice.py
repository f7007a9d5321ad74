"""The bilateral pair: what practice says beside what the package says; `python -m` prints the table.

No text was found that says in newtons or millimetres what one side's pull does to the other. What is said without
numbers stands here, with how it is known and what the package must give for it to hold on an average woman and man.
Where the package says otherwise, the row says why; should it come to agree, the excuse must go.

Cross-operation: Maples, Inter-Clinic Information Bulletin 11(9). Joined harnesses, donning unaided: Lehneis HR, Dickey
R, Fitting and training the bilateral upper-limb amputee, Atlas of Limb Prosthetics, 2nd ed., ch. 12B.
"""

from __future__ import annotations

import sys
from functools import cache
from typing import Any

import numpy as np
import pytest

from controlkit.mechanics import PairControl, Pose, Wearer, bilateral_pair
from controlkit.mechanics.chain import PairPull
from controlkit.units import deg, mm
from tests.evidence.agreement import as_on_the_page
from tests.evidence.said import SEXES, Said

FLEXED = {"arm_flexion": deg(60)}
FORWARD = {"scapular_abduction": deg(15)}
LOOSE = {"other_control_strap": mm(100), "other_support_strap": mm(80)}
CONTROL = "control attachment strap"


def _pull(sex: str, motion: dict[str, float], other: Pose = Pose(), **settings: Any) -> PairPull:
    harness = bilateral_pair(Wearer.average(sex), **settings)
    return PairControl(harness=harness).pull("right", other, **motion)


@cache
def _flexed(sex: str) -> PairPull:
    return _pull(sex, FLEXED)


def _in_line(pull: PairPull) -> float:
    """What of the own pull points along the other control strap [N]."""
    ways = [pull.straps[f"{side} {CONTROL}"] for side in ("right", "left")]
    own, other = ((nodes[1] - nodes[0]) / np.linalg.norm(nodes[1] - nodes[0]) for nodes in ways)
    return -pull.own.harness_force * float(own @ other)


ROWS: dict[str, Said] = {
    "cross-operation": Said(
        "one side works the other: cable that one shoulder 15 degrees forward draws at the other device [mm]",
        "seen (that it happens); no figure found",
        1.0,
        100.0,
        lambda sex: 1e3 * _pull(sex, FORWARD).crossed_travel,
    ),
    "by flexion": Said(
        "the same, one arm flexed by 60 degrees",
        "seen (that it happens); no figure found",
        1.0,
        100.0,
        lambda sex: 1e3 * _flexed(sex).crossed_travel,
        outside="a flexed arm slackens its own front strap, and the other device's bands hold against what is left",
    ),
    "front strap takes most": Said(
        "the control strap runs on as the other side's front strap, which takes most of its pull: share",
        "from memory",
        0.5,
        1.0,
        lambda sex: _flexed(sex).other.front_force / _flexed(sex).own.harness_force,
    ),
    "cosine": Said(
        "the other control strap feels the pull times the cosine of the angle out of line: felt, over that",
        "from memory",
        0.9,
        1.1,
        lambda sex: _flexed(sex).crossed_force / _in_line(_flexed(sex)),
        outside="a projection is no balance: the front strap takes most, and the rest closes the triangle of forces",
    ),
    "joined": Said(
        "harnesses are preferably joined: share of one flexed arm's travel that is lost with the other side let out",
        "seen (preferably joined); computed (share)",
        0.9,
        1.0,
        lambda sex: 1.0 - _pull(sex, FLEXED, **LOOSE).own.travel / _flexed(sex).own.travel,
    ),
    "both shoulders": Said(
        "both shoulders forward work both devices alike: difference of travel over either",
        "common practice",
        -1e-3,
        1e-3,
        lambda sex: _unlike(_pull(sex, FORWARD, Pose(**FORWARD))),
    ),
}


def _unlike(pull: PairPull) -> float:
    assert pull.own.travel > mm(5)
    return (pull.own.travel - pull.other.travel) / pull.own.travel


@pytest.mark.parametrize("row", ROWS)
def test_the_pair_as_practice_says_or_why_not(row: str) -> None:
    said = ROWS[row]
    found = [said.model(sex) for sex in SEXES]
    outside = [value for value in found if not said.low <= value <= said.high]
    assert bool(outside) == bool(said.outside), found
    as_on_the_page(said.says, found)


if __name__ == "__main__":
    for said in ROWS.values():
        shown = ", ".join(f"{sex} {said.model(sex):.4g}" for sex in SEXES)
        sys.stdout.write(f"{said.says} | {said.flag} | {said.low:.4g} to {said.high:.4g} | {shown} | {said.outside}\n")
