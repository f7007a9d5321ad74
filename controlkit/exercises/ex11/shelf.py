"""Exercise 11: what the bench reads on the prostheses of both shelves, worked out for `shelf.json`.

`python -m tests.checking.shelf` notes it anew.
"""

from __future__ import annotations

from collections.abc import Mapping

from controlkit.exercises.ex11.faults import ABOVE, BELOW, NOTED_BELOW
from controlkit.exercises.shared.shelf import shelf_name
from controlkit.mechanics import ControlCable, DualControl, SingleControl, Wearer, above_elbow_eight, figure_of_eight
from controlkit.mechanics.bench.dual import FittedDual, WornDual, symptoms_above
from controlkit.mechanics.bench.faults import FAULTS, FAULTS_ABOVE
from controlkit.mechanics.bench.instruments import InstrumentReading
from controlkit.mechanics.bench.worn import WornBench, symptoms
from controlkit.mechanics.chain.dual import LockStrap
from controlkit.units import deg, mm

_UNIT = {"force": 1.0, "length": mm(1), "angle": deg(1)}


def sound_below() -> SingleControl:
    """A prosthesis below the elbow, its ring low enough for the fly, its cable running freely."""
    return SingleControl(figure_of_eight(Wearer.average("female"), ring_below_c7=mm(60)), ControlCable(friction=0.06))


def sound_above() -> FittedDual:
    """One above the elbow, its front support strap let out by what the lock motion takes."""
    wearer = Wearer.average("female", level="transhumeral")
    harness = above_elbow_eight(wearer, ring_below_c7=mm(50), support_strap=mm(16))
    return FittedDual(DualControl(harness=harness), strap=LockStrap(let_out=-mm(1)))


def taken() -> dict[str, dict[str, dict[str, float]]]:
    """Every reading of both shelves by level and prosthesis, on an average woman, each in its unit.

    Returns
    -------
    dict
        By "below" and "above", then by `shelf_name`, the readings by their keys [N, %, mm or deg]
    """
    below, above = sound_below(), sound_above()
    led, worn = WornBench(below).found, WornDual(above.system)
    found = {
        "below": {shelf_name("", 0.0): _read_below(symptoms(below, led))},
        "above": {shelf_name("", 0.0): _read_above(symptoms_above(above, worn))},
    }
    for fault in FAULTS:
        for share in BELOW.shares if fault.name in NOTED_BELOW else ():
            read = symptoms(fault.at(below, fault.drawn(share)), led)
            found["below"][shelf_name(fault.name, share)] = _read_below(read)
    for other in FAULTS_ABOVE:
        for share in ABOVE.shares if other.name in ABOVE.offered else ():
            read = symptoms_above(other.at(above, other.drawn(share)), worn)
            found["above"][shelf_name(other.name, share)] = _read_above(read)
    return found


_BELOW = {
    "device": "device",
    "hanger": "hanger bent",
    "back": "back",
    "elbow": "elbow",
    "housing": "housing",
    "cable": "cable",
    "rest": "rest",
    "draw": "slack",
    "comes": "comes",
    "slip": "slip",
    "fly": "fly on command",
}
"""Readings below the elbow, each with its name at the bench."""

_ABOVE = {
    "device": "device",
    "hanger": "hanger",
    "lift": "lift 90",
    "leaves": "leaves",
    "drawn": "drawn full",
    "ring": "ring",
    "play": "play",
    "front": "play front",
    "lock": "lock",
    "slip": "slip",
    "opens": "opens",
    "lifting": "lifting opens",
}
"""The same above the elbow."""


def _read_below(read: Mapping[str, InstrumentReading]) -> dict[str, float]:
    return {key: _in_unit(read[name]) for key, name in _BELOW.items()}


def _read_above(read: Mapping[str, InstrumentReading]) -> dict[str, float]:
    found = {key: _in_unit(read[name]) for key, name in _ABOVE.items()}
    return found | {"arrives": round(100 * read["device"].value / read["hanger"].value, 4)}


def _in_unit(reading: InstrumentReading) -> float:
    return round(reading.value / _UNIT[reading.kind], 4)
