"""Exercise 6: what the bench reads on the prostheses of the shelf, worked out for `shelf.json`.

`python -m tests.checking.shelf` notes it anew.
"""

from __future__ import annotations

from controlkit.exercises.ex06.bench import RIGHT, commanded, worn
from controlkit.exercises.ex06.faults import KEYS, OFFERED, SIZES
from controlkit.exercises.shared.followed import lead
from controlkit.exercises.shared.shelf import shelf_name
from controlkit.mechanics import SingleControl, Wearer
from controlkit.mechanics.bench.instruments import Bench
from controlkit.mechanics.bench.worn import WornBench
from controlkit.units import mm

ENDS = (0.0, 1.0)
"""A fault at its smallest and at its largest: what it can do lies between [-]."""


def taken() -> dict[str, dict[str, float]]:
    """Every reading of the shelf by prosthesis, on an average man, each in its unit.

    Returns
    -------
    dict
        By `shelf_name`, the readings by their keys [N, % or mm]
    """
    sound = worn(Wearer.average("male"))
    found = {shelf_name("", 0.0): _read(sound)}
    for fault in OFFERED:
        for share in sorted((*ENDS, *SIZES)):
            found[shelf_name(fault.name, share)] = _read(fault.at(sound, fault.drawn(share)))
    return found


def _read(system: SingleControl) -> dict[str, float]:
    bench = Bench(system)
    lengths = {
        "cable": system.cable.length + system.cable.slack,
        "ring": system.harness.ring_below_c7,
        "hanger": WornBench(system).comes(),
        "fly": lead(system, (commanded(system.harness.wearer, "fly"),)).opening(0),
    }
    forces = {
        "device": bench.at_device(),
        "arrives": 100 * bench.at_device() / bench.at_hanger(RIGHT),
        "wrist": bench.hold(),
    }
    read = forces | {key: length / mm(1) for key, length in lengths.items()}
    return {key: round(read[key], 4) for key in KEYS}
