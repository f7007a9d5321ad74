"""What practice says of control above the elbow: a statement, how it is known, what the package must give for it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

from controlkit.mechanics import DualControl, Wearer, above_elbow_eight, hook_opening
from controlkit.mechanics.elbow import LiftLine, forearm_of
from controlkit.units import deg

SEXES = ("female", "male")
BOTH: dict[str, float] = {"scapular_abduction": deg(20), "sound_scapular_abduction": deg(20)}
AHEAD = LiftLine(end_ahead=0.025)


@dataclass(frozen=True)
class Said:
    """What practice says, and what the package says to it."""

    says: str
    flag: str
    low: float
    high: float
    model: Callable[[str], float]
    outside: str = ""


@cache
def dual_system(sex: str, line: LiftLine = AHEAD, bands: int = 5, device: str = "hook") -> DualControl:
    wearer = Wearer.average(sex, level="transhumeral")
    return DualControl(
        harness=above_elbow_eight(wearer), line=line, device=hook_opening(bands), forearm=forearm_of(wearer, device)
    )
