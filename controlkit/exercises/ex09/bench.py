"""Exercise 9: every question to the mechanics about patterns on a wearer, in one place."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from math import inf

import numpy as np
from numpy.typing import NDArray

from controlkit.checking import body
from controlkit.checking.case.cases import Value
from controlkit.exercises.ex09.words import CHEST, EIGHT, NINE
from controlkit.exercises.shared.followed import Led, lead, try_on
from controlkit.exercises.shared.readings import rounded
from controlkit.mechanics import (
    Harness,
    Pose,
    SingleControl,
    VoluntaryOpening,
    Wearer,
    chest_strap,
    figure_of_eight,
    figure_of_nine,
)
from controlkit.mechanics.harness import RIGID, Straps, follow
from controlkit.mechanics.harness.layout import AXILLA_LOOP
from controlkit.mechanics.harness.patterns.chest import CHEST_STRAP
from controlkit.mechanics.harness.suspension import carried
from controlkit.mechanics.inputs import within
from controlkit.units import InputError, deg, mm

Array = NDArray[np.float64]

STEP = 5
"""Step of slip in the table of a case [mm]."""
ROWS = tuple(range(0, 41, STEP))
"""Slips of the table of a case [mm]."""
SLIPS = np.arange(0.0, 0.0601, 0.0025)
"""Slips at which a design is looked at [m]."""
REACHES = (45, 60, 75)
"""Arm flexions in the table of both patterns [deg]."""
USED = 75
"""Arm flexion at which loop and strap are read [deg]."""


def opened(harness: Harness, bands: float) -> SingleControl:
    """A harness with its cable and a hook so banded."""
    return SingleControl(harness, device=VoluntaryOpening(bands=bands))  # type: ignore[arg-type]  # it asks for whole numbers


def measure(values: Mapping[str, Value]) -> dict[str, Value] | None:
    """What scale and tape show of two patterns on the wearer of a case, in whole numbers."""
    return _measured(str(values["sex"]), 10 * int(values["taller"]), 10 * int(values["wider"]), int(values["bands"]))


@lru_cache(maxsize=32)
def _measured(sex: str, taller: int, wider: int, bands: int) -> dict[str, Value] | None:
    """The same for either side: a body is its own mirror image."""
    poses = [Pose(), *(Pose(arm_flexion=deg(angle)) for angle in REACHES)]
    used = 1 + REACHES.index(USED)
    try:
        wearer = body(sex, taller, wider)
        eight, chest = figure_of_eight(wearer), chest_strap(wearer)
        led = {
            EIGHT: lead(opened(eight, bands), poses),
            "fewer": lead(opened(eight, bands - 1), poses),
            CHEST: lead(opened(chest, bands), poses),
        }
        slipped = dragged(opened(eight, bands), np.array(ROWS) * mm(1))
    except InputError:
        return None
    if not (slipped.settled and all(one.settled for one in led.values())):
        return None
    raw: dict[str, float] = {}
    for name, word in ((EIGHT, "eight"), (CHEST, "chest")):
        for k, angle in enumerate(REACHES, 1):
            raw[f"{word}_{angle}"] = 10 * led[name].travel(k) / mm(1)
    for name, word in ((EIGHT, "loop"), ("fewer", "loop_fewer")):
        raw[word] = 10 * _tension(led[name], used, AXILLA_LOOP)
    raw["around"] = 10 * _tension(led[CHEST], used, CHEST_STRAP)
    for name, word in ((EIGHT, "eight"), (CHEST, "chest")):
        armpit, side = presses(led[name], used)
        raw |= {
            f"armpit_{word}": armpit / 10,
            f"side_{word}": side / 10,
            f"arm_{word}": led[name].moment_arm(used) / mm(1),
        }
    for k, row in enumerate(ROWS):
        raw |= {f"carried_{row}": float(slipped.carries[k]), f"drawn_{row}": 10 * float(slipped.travel[k]) / mm(1)}
    found = rounded(raw)
    if found is None:
        return None
    tenths: dict[str, Value] = {name: _shown(name, int(value)) for name, value in found.items()}
    sizes = {"stature": wearer.stature, "chest": wearer.chest_circumference}
    return {**tenths, **{name: round(value / mm(1)) for name, value in sizes.items()}}


def _shown(name: str, whole: int) -> Value:
    """A rounded reading as the case shows it: whole N and mm, hundredths of N/mm, tenths of the rest."""
    if name.startswith(("carried", "arm_")):
        return whole
    return whole / (100 if name.startswith(("armpit", "side")) else 10)


def _tension(led: Led, pose: int, strap: str) -> float:
    """Tension of a strap [N]."""
    return float(led.system.answer(led.found, pose).strap_tension[strap])


def presses(led: Led, pose: int) -> tuple[float, float]:
    """Largest line load at the sound armpit, and of a strap round the chest [N/m]."""
    pull = led.system.answer(led.found, pose)
    around = pull.strap_load.get(CHEST_STRAP)
    return pull.axilla_line_load, 0.0 if around is None else around.worst


@dataclass(frozen=True)
class SocketDragged:
    """A socket dragged down step by step.

    Parameters
    ----------
    slips, carries : ndarray
        How far it is dragged [m], and what the straps carry then [N], shape (slips,)
    travel : ndarray
        Travel of the cable at the device [m], shape (slips,)
    settled : bool
        Whether the straps settled at every slip
    """

    slips: Array
    carries: Array
    travel: Array
    settled: bool

    def slip(self, load: float) -> float:
        """Slip under a load, infinite where the straps do not carry it [m]."""
        enough = np.flatnonzero(self.carries >= load)
        if not enough.size:
            return inf
        k = int(enough[0])
        if k == 0:
            return 0.0
        low, high = self.carries[k - 1], self.carries[k]
        return float(self.slips[k - 1] + (self.slips[k] - self.slips[k - 1]) * (load - low) / (high - low))

    def drawn(self, slip: float) -> float:
        """Travel of the cable at a slip, or at the furthest looked at [m]."""
        return float(np.interp(slip, self.slips, self.travel))


def dragged(system: SingleControl, slips: Array = SLIPS) -> SocketDragged:
    """Drag the socket of a system down, one run of the straps for all slips."""
    found = follow(replace(system.harness, cuff=RIGID), [Pose(socket_slip=float(slip)) for slip in slips], system.law)
    at = list(found.asked)
    return SocketDragged(
        slips=slips,
        carries=carried(found),
        travel=found.travel[at],
        settled=bool(found.net.settled[at].all()),
    )


@dataclass(frozen=True, kw_only=True)
class Demands:
    """What a design must do, as a case asks.

    Parameters
    ----------
    armpit, side : float
        Most that a strap may press at the sound armpit, and round the chest [N/m]
    pressure : float
        Most mean pressure at either place [Pa]
    grip : float
        Grip on a thin object [N]
    still, reach : float
        Arm flexion up to which the device stays shut, and at which it is open [rad]
    opening : float
        How far it is open then [m]
    load, slip : float
        A pull along the limb [N], and how far the socket may slip under it [m]
    easy : float
        Most that any strap may pull while the arm hangs [N]
    """

    armpit: float
    side: float
    pressure: float
    grip: float
    still: float
    reach: float
    opening: float
    load: float
    slip: float
    easy: float


SHUT = mm(3)
"""How far fingertips may part where the device is to stay shut [m]. Assumption of this exercise."""
WIDTHS = (mm(10), mm(80))
"""Narrowest and widest strap that can be had [m]."""
LEAST = 1.0
"""Line load that counts as none [N/m]."""


@dataclass(frozen=True)
class PatternTrial:
    """What a design does on one wearer, worked out when it is asked for.

    Parameters
    ----------
    led : Led
        The arm hanging, brought forward as far as the device must stay shut, and as far as it must be open
    demands : Demands
        What is asked
    """

    led: Led
    demands: Demands

    @property
    def width(self) -> float:
        """Width of the straps [m]."""
        return self.led.system.harness.straps.width

    @cached_property
    def pressed(self) -> tuple[float, float]:
        """Largest line load at the armpit, and round the chest, in any of the poses [N/m]."""
        found = [presses(self.led, pose) for pose in range(3)]
        return max(one for one, _ in found), max(other for _, other in found)

    @property
    def pressure(self) -> float:
        """Largest mean pressure at either place [Pa]."""
        return max(self.pressed) / self.width

    @property
    def grip(self) -> float:
        """Grip on a thin object [N]."""
        return self.led.system.device.pinch(0.0)

    @cached_property
    def early(self) -> float:
        """Opening before it is wanted: the arm hanging, or as far forward as it must stay shut [m]."""
        return max(self.led.opening(0), self.led.opening(1))

    @cached_property
    def opening(self) -> float:
        """Opening where it is wanted [m]."""
        return self.led.opening(2)

    @cached_property
    def rest(self) -> float:
        """Largest tension of any strap while the arm hangs [N]."""
        return max(self.led.system.answer(self.led.found, 0).strap_tension.values())

    @cached_property
    def _dragged(self) -> SocketDragged:
        return dragged(self.led.system)

    @cached_property
    def slip(self) -> float:
        """Slip under the load; infinite if the straps do not carry it [m]."""
        return self._dragged.slip(self.demands.load)

    @cached_property
    def parted(self) -> float:
        """How far the load parts the fingertips, at the slip or at the furthest looked at [m]."""
        return self.led.system.device.opening(self._dragged.drawn(min(self.slip, float(SLIPS[-1]))))

    @property
    def opens(self) -> bool:
        """Whether it opens where it is wanted."""
        return self.opening >= self.demands.opening

    @property
    def spares(self) -> bool:
        """Whether armpit and side bear what presses there."""
        armpit, side = self.pressed
        asked = self.demands
        borne = armpit <= max(asked.armpit, LEAST) and side <= max(asked.side, LEAST)
        return borne and self.pressure <= asked.pressure

    @property
    def serves(self) -> bool:
        """Whether it does on a body what depends on the body."""
        holds = self.slip <= self.demands.slip and self.parted <= SHUT and self.rest <= self.demands.easy
        return self.opens and self.early <= SHUT and self.spares and holds


def trial(wearer: Wearer, choice: Mapping[str, float | str], demands: Demands) -> PatternTrial:
    """Try a design on a wearer; settings in m, and - for bands, the pattern by its word."""
    return _tried(wearer, tuple(sorted(choice.items())), demands)


@lru_cache(maxsize=32)
def _tried(wearer: Wearer, choice: tuple[tuple[str, float | str], ...], demands: Demands) -> PatternTrial:
    chosen = dict(choice)
    pattern = str(chosen.pop("pattern"))
    asked = {name: float(value) for name, value in chosen.items()}
    within("The strap's width", asked["width"], *WIDTHS, example='"25 mm"', of="length")
    straps = Straps(width=asked["width"])
    control, support = asked["control_strap"], asked["support_strap"]
    if pattern == NINE:
        harness = figure_of_nine(wearer, control_strap=control, straps=straps)
    elif pattern == CHEST:
        harness = chest_strap(wearer, control_strap=control, support_strap=support, straps=straps)
    else:
        harness = figure_of_eight(wearer, control_strap=control, support_strap=support, straps=straps)
    poses = (Pose(), Pose(arm_flexion=demands.still), Pose(arm_flexion=demands.reach))
    return PatternTrial(try_on(opened(harness, asked["bands"]), poses), demands)
