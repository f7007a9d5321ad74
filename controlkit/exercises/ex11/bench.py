"""Exercise 11: every question to the mechanics about the own wearer's checkout, in one place."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from itertools import pairwise

import numpy as np

from controlkit.checking import body
from controlkit.checking.case.cases import Value
from controlkit.exercises.shared.readings import rounded
from controlkit.mechanics import POSITIONS, ControlCable, Pose, SingleControl, VoluntaryOpening, figure_of_eight
from controlkit.mechanics.bench import Bench
from controlkit.mechanics.bench.instruments import RIGHT
from controlkit.mechanics.bench.worn import SLIPS
from controlkit.mechanics.chain.positions import on_command
from controlkit.mechanics.harness.suspension import carried
from controlkit.units import InputError, kgf, mm

PULLS = (60, 120, 180, 240)
"""Pulls along the limb at which the socket's place was read [N]."""
STEP = 0.5
"""Division of the scale [N]."""
CABLE = ControlCable(friction=0.06)
"""The cable with which the wearer opens the device."""


def pulled(values: Mapping[str, Value]) -> tuple[float, float, float] | None:
    """What a scale shows at the device, at the hanger, and at the hanger on letting back, to its nearest division.

    The device just begins to move; on letting back it is held there, and just begins to go back.

    Parameters
    ----------
    values : mapping
        The drawn values of a case

    Returns
    -------
    tuple of float or None
        The three pulls; nothing on the edge of rounding [N]
    """
    return _pulled(int(values["bands"]), float(values["friction"]), _person(values))


@lru_cache(maxsize=256)
def _pulled(bands: int, friction: float, person: tuple[str, int, int]) -> tuple[float, float, float] | None:
    try:
        harness = figure_of_eight(body(*person))
        device = VoluntaryOpening(bands=bands)
        system = SingleControl(harness, ControlCable(friction=friction), device)
    except InputError:
        return None
    bench = Bench(system)
    line = system.line(RIGHT)
    exact = (bench.at_device(), bench.at_hanger(RIGHT), device.force_back(0.0) * line.efficiency_back)
    read = rounded({str(k): value / STEP for k, value in enumerate(exact)}, edge=0.02)
    return None if read is None else (STEP * int(read["0"]), STEP * int(read["1"]), STEP * int(read["2"]))


def measure(values: Mapping[str, Value]) -> dict[str, Value] | None:
    """What tape and goniometer show on the wearer of a case, in whole millimetres, and the body mass [kg]."""
    return _measured(_person(values), int(values["ring"]), int(values["taken_in"]))


def _person(values: Mapping[str, Value]) -> tuple[str, int, int]:
    return str(values["sex"]), 10 * int(values["taller"]), 10 * int(values["wider"])


@lru_cache(maxsize=32)
def _measured(person: tuple[str, int, int], ring: int, taken_in: int) -> dict[str, Value] | None:
    """The same for either side: a body is its own mirror image."""
    try:
        wearer = body(*person)
        harness = figure_of_eight(wearer, ring_below_c7=mm(ring), support_strap=-mm(taken_in))
        system = SingleControl(harness, CABLE)
        at = [on_command(wearer, POSITIONS[name]).pose for name in ("table", "fly")]
        found = system.follow([*at, *(Pose(socket_slip=slip) for slip in SLIPS)])
    except InputError:
        return None
    asked = list(found.asked)
    if not found.net.settled[asked].all():
        return None
    device = system.device
    opened = [device.opening(float(found.travel[k])) - device.opening(0.0) for k in asked[:2]]
    loads = carried(found)[2:]
    if any(later <= earlier for earlier, later in pairwise(loads)) or loads[-1] < PULLS[-1]:
        return None
    slips = np.interp(PULLS, loads, SLIPS)
    raw = {"opened_table": opened[0], "opened_fly": opened[1]}
    raw |= {f"slip_{pull}": float(slip) for pull, slip in zip(PULLS, slips, strict=True)}
    raw |= {"full": device.opening(device.travel) - device.opening(0.0)}
    read = rounded({name: value / mm(1) for name, value in raw.items()})
    if read is None:
        return None
    sizes = {"stature": wearer.stature, "chest": wearer.chest_circumference}
    return {
        **read,
        **{name: round(value / mm(1)) for name, value in sizes.items()},
        "mass": round(wearer.mass),
    }


def third(mass: float) -> float:
    """A third of a body weight [N]."""
    return kgf(mass) / 3.0
