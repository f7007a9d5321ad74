"""Practice beside the model, computed: what a fitter of twenty years looks at first, on three wearers, either side.

`practice.toml` says what practice says, how that is known, and where the course explains a model that lies elsewhere.
`python -m tests.evidence.practice` prints the table.
"""

from __future__ import annotations

import math
import sys
import tomllib
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np

from controlkit.mechanics import (
    POSITIONS,
    ControlCable,
    Housing,
    Pose,
    Pull,
    SingleControl,
    Strength,
    VoluntaryOpening,
    Wearer,
    chest_strap,
    crossing,
    figure_of_eight,
    reach,
    scapula,
    suspend,
)
from controlkit.mechanics.bench.worn import axial_load
from controlkit.mechanics.body.remembered import built
from controlkit.mechanics.chain import Reach, weight_moment
from controlkit.mechanics.sequence.turned import arm_instead
from controlkit.units import deg, mm

WEARERS: dict[str, Callable[[str], Wearer]] = {
    "small woman": lambda side: Wearer.at_percentile("female", 5, amputated=side),
    "average man": lambda side: Wearer.average("male", amputated=side),
    "very large man": lambda side: Wearer.measured("male", stature=1.93, mass=130.0, amputated=side),
}
SIDES = ("right", "left")
FORWARD = {"scapular_abduction": deg(20), "sound_scapular_abduction": deg(20)}
ROWS: dict[str, dict[str, Any]] = tomllib.loads(Path(__file__).with_name("practice.toml").read_text(encoding="utf-8"))


@dataclass(frozen=True)
class Practised:
    """A wearer in the practised figure-of-eight, and what was asked of it so far."""

    wearer: Wearer

    @property
    def system(self) -> SingleControl:
        """The whole chain as it is set up unless told otherwise."""
        return _system(self.wearer)

    def at(self, **angles: float) -> Pull:
        """One pose."""
        return _pull(self.wearer, tuple(sorted(angles.items())))

    def reached(self, position: str) -> Reach:
        """One functional position."""
        return _reached(self.wearer, position)


@cache
def _system(wearer: Wearer) -> SingleControl:
    return SingleControl(figure_of_eight(wearer))


@cache
def _pull(wearer: Wearer, angles: tuple[tuple[str, float], ...]) -> Pull:
    return _system(wearer).at(**dict(angles))


@cache
def _reached(wearer: Wearer, position: str) -> Reach:
    return reach(_system(wearer), {position: POSITIONS[position]})[0]


def short_housing_stops(on: Practised) -> float:
    return math.degrees(_short(on).line(deg(90)).elbow_limit)


def short_housing_straight(on: Practised) -> float:
    short = _short(on)
    assert short.cable.housing is not None
    long, degrees = short.cable.housing.long(short.arm_line), np.arange(0.0, 136.0)
    return float(degrees[short.arm_line.way(np.deg2rad(degrees)) <= long].min())


def _short(on: Practised) -> SingleControl:
    return replace(on.system, cable=ControlCable(housing=Housing(spare=mm(-10))))


def same_motion_bent(on: Practised) -> float:
    return 100.0 * on.system.line(deg(135)).take_up / on.system.device.travel


def efficiency_straight(on: Practised) -> float:
    return 100.0 * on.system.line(0.0).efficiency


def support_beside_control(on: Practised) -> float:
    return _support(on, deg(10))


def support_beside_control_far(on: Practised) -> float:
    return _support(on, deg(20))


def _support(on: Practised, forward: float) -> float:
    tension = on.at(scapular_abduction=forward, elbow_flexion=deg(90)).strap_tension
    return tension["anterior support strap"] / tension["control attachment strap"]


def bare_arm(on: Practised) -> float:
    raised = deg(90)
    moment = weight_moment(on.wearer, Pose(arm_flexion=raised), bare=True)
    return 100.0 * moment / Strength().flexion(on.wearer.sex, raised)


def lower_ring_costs(on: Practised) -> float:
    """At one pull: moments over their own pull."""
    high = on.at(arm_flexion=deg(30), elbow_flexion=deg(90))
    low = SingleControl(figure_of_eight(on.wearer, ring_below_c7=mm(60))).at(arm_flexion=deg(30), elbow_flexion=deg(90))
    each = [pull.shoulder_moment.straps["control attachment strap"] / pull.harness_force for pull in (low, high)]
    return each[0] / each[1]


def held_at_the_fly(on: Practised) -> float:
    return 100.0 * on.reached("fly").on_command.opening / on.system.device.full_opening


def two_scapulae_beat_one(on: Practised) -> float:
    table = on.reached("table")
    return (table.on_command.opening - table.one_scapula.opening) / mm(1)


def crossing_of_the_scapula(on: Practised) -> float:
    over = crossing(on.wearer, on.at().straps["control attachment strap"])
    return (over.lateral - scapula(on.wearer).third) / mm(1)


def excursion_as_used(on: Practised) -> float:
    return on.at(arm_flexion=deg(90), elbow_flexion=deg(90), **FORWARD).excursion.captured / mm(1)


def slip_under_load(on: Practised) -> float:
    return suspend(on.system.harness, on.system.law, axial_load(on.system)).slip / mm(1)


def three_bands_open(_: Practised) -> float:
    return VoluntaryOpening(bands=3).force(0.0)


def nothing_lost_unseen(on: Practised) -> float:
    parts = on.at(arm_flexion=deg(60), elbow_flexion=deg(90), **FORWARD).excursion
    return (parts.generated - parts.captured - sum(parts.lost.values())) / mm(1)


def chest_strap_under_the_breasts(on: Practised) -> float:
    strap = SingleControl(chest_strap(on.wearer)).at(arm_flexion=deg(60)).straps["chest strap"]
    front = strap[strap[:, 0] > 0.0, 1].max()
    return float(built(on.wearer).height["chest"][0] - front) / mm(1)


def chest_branch_climbs(on: Practised) -> float:
    rest, raised = SingleControl(chest_strap(on.wearer)).over([Pose(), Pose(arm_flexion=deg(90))])
    return max(float(raised.ring[1] - rest.ring[1]), 0.0) / mm(1)


def turned_away(on: Practised) -> float:
    found = arm_instead(on.wearer, POSITIONS["table"], deg(30))
    assert found is not None
    return math.degrees(found.lift)


def clavicle(on: Practised) -> float:
    shape = built(on.wearer)
    return float(np.linalg.norm(shape.clavicle_tip[0] - shape.clavicle[0])) / mm(1)


def model(row: str, who: str, side: str) -> float:
    """The model's side of one row, in the row's unit."""
    computed: Callable[[Practised], float] = globals()[row]
    return computed(Practised(WEARERS[who](side)))


def asked_of(row: str) -> list[str]:
    """Wearers of whom a row speaks."""
    sex = ROWS[row].get("sex")
    return [who for who, make in WEARERS.items() if sex is None or make("right").sex == sex]


def main() -> None:
    """Print the table, right and left beside each other where they differ in what is printed."""
    lines = [
        "| point | practice | says | how known | " + " | ".join(WEARERS) + " | |",
        "|" + "---|" * (5 + len(WEARERS)),
    ]
    for name, row in ROWS.items():
        cells = []
        for who in WEARERS:
            values = [f"{model(name, who, side):.3g}" for side in SIDES] if who in asked_of(name) else ["-"]
            cells.append(" / ".join(dict.fromkeys(values)))
        bounds = f"{row['low']:g} to {row['high']:g} {row['unit']}"
        outside = f"outside: {row['outside']}" if "outside" in row else ""
        lines.append(f"| {row['point']} | {bounds} | {row['says']} | {row['flag']} | {' | '.join(cells)} | {outside} |")
    sys.stdout.write("\n".join(lines) + "\n")


if __name__ == "__main__":
    main()
