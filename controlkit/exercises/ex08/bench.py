"""Exercise 8: every question to the mechanics about the lock motion on a wearer, in one place."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from controlkit.checking import body
from controlkit.checking.case.cases import Value
from controlkit.exercises.shared.readings import rounded
from controlkit.exercises.shared.wearers import above_elbow
from controlkit.mechanics import Harness, Pose, Wearer, above_elbow_eight
from controlkit.mechanics.chain.dual import IDLE, LockMotion, lock_motions
from controlkit.mechanics.elbow import ElbowLock
from controlkit.mechanics.inputs import within
from controlkit.sources import source
from controlkit.units import InputError, deg, mm

FRONT = mm(16)
"""Anterior support strap let out from just snug, where a case is measured [m]."""
LOCK = ElbowLock.evenly(11)
"""A lock with the force that is taught; how far its cable must come is asked of the case."""
PARTS = ("back", "away", "down")
"""The lock motion, part by part: extension, abduction, depression."""
WALKING = dict(IDLE["walking, arm back"])
"""The arm where walking swings it furthest back [rad]."""
SWING = source("arm_swing_back")
MOST = {"back": 40.0, "away": 60.0, "down": 10.0}
"""How far a design may ask for a part of the motion [deg]."""

_ALONG = np.tri(3)  # the motion as it grows, part by part


def angles(back: float, away: float, down: float) -> dict[str, float]:
    """The pose that a lock motion comes to, from its parts [rad]."""
    return {"arm_flexion": -back, "arm_abduction": Pose().arm_abduction + away, "shoulder_elevation": -down}


def drawn(done: LockMotion) -> float:
    """How far a strap that is just snug draws the lock's cable; below nothing it hangs slack [m]."""
    return done.lengthening - done.yielded - done.stretch


def measure(values: Mapping[str, Value]) -> dict[str, Value] | None:
    """What the lock motion of a case does on its wearer, in tenths of a millimetre, and walking with it [mm]."""
    back, away, down = (int(values[part]) for part in PARTS)
    return _measured(str(values["sex"]), (10 * int(values["taller"]), 10 * int(values["wider"])), (back, away, down))


@lru_cache(maxsize=32)
def _measured(sex: str, size: tuple[int, int], motion: tuple[int, int, int]) -> dict[str, Value] | None:
    """The same for either side: a body is its own mirror image."""
    moved = [deg(part) for part in motion]
    along, alone = ([angles(*row) for row in made @ np.diag(moved)] for made in (_ALONG, np.eye(3)))
    try:
        wearer = above_elbow(body(sex, *size))
        poses = [Pose(**asked) for asked in (*along, *alone, WALKING)]
        done = lock_motions(above_elbow_eight(wearer, support_strap=FRONT), LOCK, poses)
    except InputError:
        return None
    if not all(one.settled for one in done):
        return None
    whole, walking = done[2], done[-1]
    raw = {"yielded": whole.yielded, "stretch": whole.stretch, "walking": drawn(walking)}
    lock, lift = (np.diff([getattr(one, name) for one in done[:3]], prepend=0.0) for name in ("lengthening", "lift"))
    for k, name in enumerate(PARTS):
        raw |= {f"lock_{name}": lock[k], f"lift_{name}": lift[k], f"alone_{name}": done[3 + k].lift}
    read = rounded({name: 10 * value / mm(1) for name, value in raw.items()})
    if read is None:
        return None
    tenths = {name: int(value) / 10 for name, value in read.items()}
    sizes = {"stature": wearer.stature, "chest": wearer.chest_circumference}
    return {**tenths, **{name: round(value / mm(1)) for name, value in sizes.items()}}


@dataclass(frozen=True)
class LockTrial:
    """What a design does on one wearer.

    Parameters
    ----------
    motion, walking : LockMotion
        The lock motion of the design, and the arm where walking swings it furthest back
    front : float
        Anterior support strap let out from just snug [m]
    short : float
        How far walking comes short of the lock's travel, the lock's strap buckled so [m]
    needs : float
        Travel of the lock's cable at which the lock changes over [m]
    """

    motion: LockMotion
    walking: LockMotion
    front: float
    short: float
    needs: float

    @property
    def let_out(self) -> float:
        """The lock's strap, from just snug: let out, or taken in below nothing [m]."""
        return drawn(self.walking) - (self.needs - self.short)

    @property
    def travel(self) -> float:
        """Of the lock's cable, by the lock motion [m]."""
        return max(drawn(self.motion) - self.let_out, 0.0)

    @property
    def locks(self) -> bool:
        """Whether the lock motion works the lock."""
        return self.travel >= self.needs

    @property
    def front_room(self) -> float:
        """How far the anterior support strap would still give in the motion; below nothing it is taut [m]."""
        return self.motion.front_room

    @property
    def serves(self) -> bool:
        """Whether it does on a body what depends on the body."""
        return self.locks and self.front_room >= 0.0


def trial(wearer: Wearer, choice: Mapping[str, float], needs: float) -> LockTrial:
    """Try a design on a wearer; settings in rad and m."""
    return _tried(wearer, tuple(sorted(choice.items())), needs)


@lru_cache(maxsize=32)
def _tried(wearer: Wearer, choice: tuple[tuple[str, float], ...], needs: float) -> LockTrial:
    chosen = dict(choice)
    for name, called in (("back", "Extension"), ("away", "Abduction"), ("down", "Depression")):
        within(called, chosen[name], 0.0, deg(MOST[name]), example='"10 deg"', of="angle")
    within("How far walking comes short", chosen["short"], 0.0, mm(15), example='"3 mm"', of="length")
    motion = angles(*(chosen[part] for part in PARTS))
    done, walking = lock_motions(worn(wearer, chosen["front"]), LOCK, [Pose(**motion), Pose(**WALKING)])
    if not (done.settled and walking.settled):
        raise InputError(
            given="The straps do not settle on this wearer.",
            do="Change one setting a little and try again.",
        )
    return LockTrial(done, walking, front=chosen["front"], short=chosen["short"], needs=needs)


@lru_cache(maxsize=32)
def worn(wearer: Wearer, front: float) -> Harness:
    """The harness above the elbow on a wearer, its anterior support strap let out so far [m]."""
    return above_elbow_eight(wearer, support_strap=front)
