"""The bench of the lab: what is read there on a new fitting, and what stands on its shelf with a fault each.

The shelf is the same for everybody. `python -m controlkit.labs.bench_shelf` works it out and notes it anew, and a test
compares.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from importlib import resources
from pathlib import Path
from typing import Any

import numpy as np

from controlkit.labs.bench_readings import LEVELS, Level, offered
from controlkit.mechanics import DualControl, SingleControl, Strength, Wearer, above_elbow_eight, figure_of_eight
from controlkit.mechanics.bench import InstrumentReading
from controlkit.mechanics.bench.dual import FittedDual, WornDual, symptoms_above
from controlkit.mechanics.bench.faults import FAULTS, FAULTS_ABOVE, Fault, Signatures
from controlkit.mechanics.bench.faults.fault import HEALTHY
from controlkit.mechanics.bench.instruments import RIGHT, Bench
from controlkit.mechanics.bench.worn import WornBench, symptoms
from controlkit.mechanics.chain.dual import LockStrap
from controlkit.units import deg, mm

__all__ = [
    "CASES",
    "STEPS",
    "Hidden",
    "faults_of",
    "fitted_above",
    "fitted_below",
    "hidden",
    "read_all",
    "shelf",
    "shelf_wearer",
    "stronger",
]

CASES = 60
"""Prostheses on the shelf of either level [-]."""
STEPS = 5
"""Sizes of each fault that are worked out, from its smallest to its largest [-]."""
_FILE, _WHO = "bench_shelf.json", "a woman of average build"


def fitted_below(wearer: Wearer) -> SingleControl:
    """Fit a wearer below the elbow, as the lab does: nothing is wrong, and not every criterion is met.

    Parameters
    ----------
    wearer : Wearer
        Who wears it.

    Returns
    -------
    SingleControl
        Harness, cable and hook.
    """
    return SingleControl(figure_of_eight(wearer))


def fitted_above(wearer: Wearer) -> FittedDual:
    """Fit a wearer above the elbow: the front support strap let out, the lock's strap taken in, as lesson 8 has it.

    Parameters
    ----------
    wearer : Wearer
        Who wears it.

    Returns
    -------
    FittedDual
        Harness, cable, hook, elbow lock and its strap.
    """
    harness = above_elbow_eight(wearer, ring_below_c7=mm(50), support_strap=mm(15))
    return FittedDual(DualControl(harness=harness), strap=LockStrap(let_out=-mm(5)))


def read_all(system: SingleControl | FittedDual, near: Any = None) -> dict[str, float]:
    """Read everything that the bench of the lab offers, without scatter.

    Parameters
    ----------
    system : SingleControl or FittedDual
        What is measured.
    near : object, optional
        What was found of a like one; it makes this faster, never different.

    Returns
    -------
    dict
        By the name of the reading in a setting [SI].
    """
    if isinstance(system, SingleControl):
        read, bench, led = symptoms(system, near), Bench(system), WornBench(system, near)
        more = {
            "hanger-90": bench.at_hanger(RIGHT),
            "hanger-135": read["hanger bent"].value,
            "arm-90": bench.moved(system.device.travel) * led.best(RIGHT),
        }
    else:
        read, worn = symptoms_above(system, near), WornDual(system.system, near)
        more = {
            "hanger-90": read["hanger"].value,
            "hanger-135": read["hanger bent"].value,
            "live-60": worn.bench.live(deg(60.0)),
            "live-120": worn.bench.live(deg(120.0)),
            **_locked(worn),
        }
    names = offered("below" if isinstance(system, SingleControl) else "above")
    return {key: float(more[key] if key in more else read[one.bench].value) for key, one in names.items()}


def _locked(worn: WornDual) -> dict[str, float]:
    """How far the device opens with the elbow locked, both scapulae forward [m]."""
    tips = worn.bench.moved(worn.system.device.travel)
    shares = worn.opens(RIGHT, both=True), worn.opens_at("mouth"), worn.opens_at("fly")
    return {key: tips * share for key, share in zip(("locked-90", "locked-mouth", "locked-fly"), shares, strict=True)}


def stronger(
    system: SingleControl | FittedDual, strength: float, near: Any, read: dict[str, float]
) -> dict[str, float]:
    """What is read if the wearer can pull harder, or less hard.

    Parameters
    ----------
    system : SingleControl or FittedDual
        What is measured.
    strength : float
        The strongest pull at the cable [N].
    near : object
        What was found of the same system before.
    read : dict
        What was read of it [SI].

    Returns
    -------
    dict
        As `read_all`. Above the elbow what is opened with the elbow locked depends on it; below, the hook that the lab
        fits opens fully at less than any strength that its slider offers.
    """
    if isinstance(system, SingleControl):
        return read
    pulls = replace(system.system, strength=Strength(cable=strength))
    return {**read, **_locked(WornDual(pulls, near))}


def faults_of(level: str) -> tuple[Fault[Any], ...]:
    """The faults of a level.

    Parameters
    ----------
    level : str
        "below" or "above".

    Returns
    -------
    tuple of Fault
        As the mechanics has them.
    """
    return FAULTS if level == "below" else FAULTS_ABOVE


def shelf_wearer(level: Level) -> Wearer:
    """Who wore what stands on the shelf: an invented woman of average build."""
    if level == "below":
        return Wearer.average("female", amputated="right", name=_WHO)
    return Wearer.average("female", amputated="right", level="transhumeral", name=_WHO)


def worked_out(level: Level, faults: tuple[Fault[Any], ...] | None = None) -> dict[str, list[dict[str, float]]]:
    """Work out what the shelf reads: sound, and with each fault at each of its sizes.

    Parameters
    ----------
    level : str
        "below" or "above".
    faults : tuple of Fault, optional
        Those to work out; all of the level unless given.

    Returns
    -------
    dict
        By the fault's name, one set of readings a size; rounded to a hundredth of a newton, millimetre or degree.
    """
    sound: Any = fitted_below(shelf_wearer(level)) if level == "below" else fitted_above(shelf_wearer(level))
    near = WornBench(sound).found if level == "below" else WornDual(sound.system)
    found = {HEALTHY: [_rounded(read_all(sound), level)]}
    for fault in faults_of(level) if faults is None else faults:
        shares = (0.0,) if len(fault.sizes) == 1 else np.linspace(0.0, 1.0, STEPS)
        made = [fault.at(sound, fault.drawn(float(share))) for share in shares]
        found[fault.name] = [_rounded(read_all(one, near), level) for one in made]
    return found


def _rounded(read: Mapping[str, float], level: str) -> dict[str, float]:
    names = offered(level)
    digits = {"force": 2, "length": 5, "angle": 4}
    return {key: round(value, digits[names[key].kind]) for key, value in read.items()}


@cache
def shelf(level: Level) -> Signatures:
    """What the bench reads on the shelf of a level.

    Parameters
    ----------
    level : str
        "below" or "above".

    Returns
    -------
    Signatures
        Sound, and with each fault at each of its sizes.

    Examples
    --------
    >>> [len(shelf(level).faults) for level in ("below", "above")]
    [17, 14]
    """
    noted = json.loads(resources.files("controlkit.labs").joinpath(_FILE).read_text(encoding="utf-8"))[level]
    names = offered(level)

    def readings(values: list[float]) -> dict[str, InstrumentReading]:
        pairs = zip(names.items(), values, strict=True)
        return {key: InstrumentReading(one.what, value, one.kind) for (key, one), value in pairs}

    faults = {name: tuple(readings(size) for size in sizes) for name, sizes in noted.items() if name != HEALTHY}
    return Signatures(readings(noted[HEALTHY][0]), faults)


@dataclass(frozen=True)
class Hidden:
    """What is wrong with one prosthesis of the shelf.

    Parameters
    ----------
    fault : str
        Name of the fault.
    size : float
        How much is wrong [SI].
    readings : mapping
        What there is to be read, without scatter [SI].
    """

    fault: str
    size: float
    readings: Mapping[str, float]


@lru_cache(maxsize=256)
def hidden(level: Level, number: int) -> Hidden:
    """Find what is wrong with a prosthesis of the shelf.

    Parameters
    ----------
    level : str
        "below" or "above".
    number : int
        Its number, from 1 [-].

    Returns
    -------
    Hidden
        A fault and its size; each fault stands on the shelf several times, in an order that shows nothing.
    """
    faults = faults_of(level)
    draw = np.random.default_rng([list(LEVELS).index(level), 11])
    order = [int(at) for _ in range(-(-CASES // len(faults))) for at in draw.permutation(len(faults))]
    fault = faults[order[number - 1]]
    sizes = shelf(level).faults[fault.name]
    at = int(np.random.default_rng([number, list(LEVELS).index(level)]).integers(len(sizes)))
    size = fault.drawn(at / (len(sizes) - 1) if len(sizes) > 1 else 0.0)
    return Hidden(fault.name, size, {key: one.value for key, one in sizes[at].items()})


def _note() -> None:
    """Note the shelf: for each level and fault, readings in the order in which the lab offers them."""
    noted = {
        level: {name: [list(size.values()) for size in sizes] for name, sizes in worked_out(level).items()}
        for level in LEVELS
    }
    where = Path(__file__).with_name(_FILE)
    where.write_text(json.dumps(noted, separators=(",", ":")) + "\n", encoding="utf-8")


if __name__ == "__main__":
    _note()
