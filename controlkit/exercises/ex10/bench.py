"""Exercise 10: every question to the mechanics about two prostheses on one harness, in one place."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from controlkit.checking import body
from controlkit.checking.case.cases import Value
from controlkit.exercises.shared import settings
from controlkit.exercises.shared.readings import rounded
from controlkit.mechanics import PairControl, Pose, Skin, VoluntaryOpening, Wearer, bilateral_pair, hook_opening
from controlkit.mechanics.chain import PairArm, PairPull, PairSide
from controlkit.mechanics.device.opening import MOST_BANDS
from controlkit.mechanics.harness import LIMITS
from controlkit.units import InputError, deg, mm

FLEXED = deg(60)
"""Arm flexion with which a side pulls [rad]."""
BOTH = deg(15)
"""Scapular abduction on both sides, for work near the body [rad]."""
SIDES = ("left", "right")
SLIPPERY = Skin(friction=0.0)
"""A slippery undershirt: skin and cloth hold the junction by nothing."""
SMALLEST = 6
"""The own control strap must kink by more at the junction, for something to cross over [deg]."""


def measure(values: Mapping[str, Value]) -> dict[str, Value] | None:
    """Angles between the straps at the junction of a case, going round it, and the wearer's measures [deg, mm]."""
    size = 10 * int(values["taller"]), 10 * int(values["wider"])
    return _measured(str(values["sex"]), size, int(values["junction"]), int(values["pull"]))


@lru_cache(maxsize=32)
def _measured(sex: str, size: tuple[int, int], junction: int, pull: int) -> dict[str, Value] | None:
    """The same from either side: a body is its own mirror image. The device of the side that rests stays shut."""
    try:
        wearer = body(sex, *size)
        harness = bilateral_pair(wearer, junction_below_c7=mm(junction), skin=SLIPPERY)
        shut = PairArm(device=hook_opening(MOST_BANDS))
        found = PairControl(harness=harness, left=shut).pull("right", against=float(pull), arm_flexion=FLEXED)
    except InputError:
        return None
    if not found.settled or found.own.front_force > 0.0 or found.other.harness_force <= 0.0:
        return None
    own, front, control = round_the_junction(found)
    read = rounded({"kink": 180.0 - own, "between": front, "round": control})
    if read is None or int(read["kink"]) < SMALLEST:
        return None
    first, second = 180 - int(read["kink"]), int(read["between"])
    return {
        "own_to_front": first,
        "front_to_control": second,
        "control_to_own": 360 - first - second,
        "stature": round(wearer.stature / mm(1)),
        "chest": round(wearer.chest_circumference / mm(1)),
    }


def round_the_junction(found: PairPull) -> tuple[float, float, float]:
    """Angles on the skin from own control strap to other front strap, on to other control strap, and back [deg]."""
    own, other = found.own.side, found.other.side
    straps = f"{own} control attachment strap", f"{other} anterior support strap", f"{other} control attachment strap"
    ways = [found.junction_forces[strap] / np.linalg.norm(found.junction_forces[strap]) for strap in straps]
    off = np.sum([np.cross(ways[k], ways[(k + 1) % 3]) for k in range(3)], axis=0)
    off = off / np.linalg.norm(off)
    flat = [way - (way @ off) * off for way in ways]
    first, second, third = (_angle(flat[k], flat[(k + 1) % 3]) for k in range(3))
    return first, second, third


def _angle(one: np.ndarray, other: np.ndarray) -> float:
    return float(np.degrees(np.arctan2(np.linalg.norm(np.cross(one, other)), one @ other)))


@dataclass(frozen=True)
class HookWanted:
    """What a case asks of one hook of a pair.

    Parameters
    ----------
    opens : float
        Opening by its own arm, as a share of full opening [-]
    grip : float
        Least grip on the object [N]
    pull : float
        Most pull of its control strap, the hook fully open [N]
    """

    opens: float
    grip: float
    pull: float


@dataclass(frozen=True)
class PairWanted:
    """What a case asks of a design.

    Parameters
    ----------
    firm : str
        The side that grips firmly, "left" or "right"
    hooks : tuple of HookWanted
        What is asked of the hook on that side, and of the other
    width : float
        Width of the object [m]
    forward : float
        How far a shoulder comes forward in reaching, and must open nothing on the other side [rad]
    """

    firm: str
    hooks: tuple[HookWanted, HookWanted]
    width: float
    forward: float

    def of(self, side: str) -> HookWanted:
        """What is asked of the hook of a side."""
        return self.hooks[side != self.firm]


@dataclass(frozen=True)
class PairTrial:
    """What a design does on one wearer.

    Parameters
    ----------
    wanted : PairWanted
        What was asked
    flexed, forward : mapping
        By side, what comes of flexing that arm, and of bringing that shoulder forward
    pair : PairControl
        The design on its wearer
    """

    wanted: PairWanted
    flexed: Mapping[str, PairPull]
    forward: Mapping[str, PairPull]
    pair: PairControl

    def device(self, side: str) -> VoluntaryOpening:
        """The hook of a side."""
        device = getattr(self.pair, side).device
        assert isinstance(device, VoluntaryOpening)
        return device

    def opens(self, side: str) -> float:
        """Opening by arm flexion, as a share of full opening [-]."""
        return self.flexed[side].own.opening / self.device(side).full_opening

    def full_pull(self, side: str) -> float:
        """Pull of the control strap with which the hook is fully open [N]."""
        device, own = self.device(side), self.flexed[side].own
        return device.force(device.travel) * own.harness_force / own.device_force if own.device_force else float("inf")

    def grip(self, side: str) -> float:
        """Grip on the object of the case [N]."""
        return self.device(side).pinch(self.wanted.width)

    def grips(self, side: str) -> bool:
        """Whether a hook grips as hard as it must."""
        return self.grip(side) >= self.wanted.of(side).grip

    def within(self, side: str) -> bool:
        """Whether a hook asks no more of its shoulder than it may."""
        return self.full_pull(side) <= self.wanted.of(side).pull

    def apart(self, pulls: Mapping[str, PairPull]) -> bool:
        """Whether neither side opens the other by such a motion."""
        return not any(pulls[side].other_opens for side in SIDES)

    @property
    def at_rest(self) -> dict[str, PairSide]:
        """By side, how it hangs while neither arm moves."""
        return {self.flexed[side].other.side: self.flexed[side].alone for side in SIDES}

    @property
    def rests_shut(self) -> bool:
        """Whether both hooks are shut at rest."""
        return all(side.travel <= mm(0.5) for side in self.at_rest.values())

    @property
    def serves(self) -> bool:
        """Whether it does on a body all that is asked: hooks of other bands would be another task."""
        hooks = all(self.grips(side) and self.within(side) for side in SIDES)
        enough = hooks and all(self.opens(side) >= self.wanted.of(side).opens for side in SIDES)
        return enough and self.rests_shut and self.apart(self.flexed) and self.apart(self.forward)


def trial(wearer: Wearer, choice: Mapping[str, float], wanted: PairWanted) -> PairTrial:
    """Try a design on a wearer; settings in m, and - for the bands."""
    return _tried(wearer, tuple(sorted(choice.items())), wanted)


@lru_cache(maxsize=32)
def _tried(wearer: Wearer, choice: tuple[tuple[str, float], ...], wanted: PairWanted) -> PairTrial:
    chosen = dict(choice)
    own = wearer.amputated
    (other,) = (side for side in SIDES if side != own)
    settings.length(chosen, "junction", LIMITS["ring_below_c7"], "the junction must lie on the back below C7")
    for side in SIDES:
        settings.length(chosen, f"{side}_strap", LIMITS["control_strap"], settings.STRAP)
    settings.bands(chosen, MOST_BANDS, *(f"{side}_bands" for side in SIDES))
    hooks = {side: PairArm(device=VoluntaryOpening(bands=chosen[f"{side}_bands"])) for side in SIDES}  # type: ignore[arg-type]
    harness = bilateral_pair(
        wearer,
        junction_below_c7=chosen["junction"],
        control_strap=chosen[f"{own}_strap"],
        other_control_strap=chosen[f"{other}_strap"],
    )
    pair = PairControl(harness=harness, **hooks)
    flexed = {side: pair.pull(side, arm_flexion=FLEXED) for side in SIDES}
    forward = {side: pair.pull(side, scapular_abduction=wanted.forward) for side in SIDES}
    if not all(pull.settled for pull in (*flexed.values(), *forward.values())):
        raise InputError(
            given="The straps do not settle on this wearer.",
            do="Change one setting a little and try again.",
        )
    return PairTrial(wanted, flexed, forward, pair)


@dataclass(frozen=True)
class MealMotions:
    """What the errand of a case rests on: how far each motion moves either device [m].

    Parameters
    ----------
    near : PairPull
        Both shoulders brought forward, for what lies near the body
    far : PairPull
        One arm flexed, for what lies an arm's length away
    """

    near: PairPull
    far: PairPull


@lru_cache(maxsize=32)
def motions(wearer: Wearer, junction: float) -> MealMotions:
    """Both motions of the errand on a wearer, three bands on either hook, the junction so far below C7 [m]."""
    pair = PairControl(harness=bilateral_pair(wearer, junction_below_c7=junction))
    own = wearer.amputated
    both = pair.pull(own, Pose(scapular_abduction=BOTH), scapular_abduction=BOTH)
    return MealMotions(near=both, far=pair.pull(own, arm_flexion=FLEXED))
