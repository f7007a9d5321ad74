"""Exercise 12: one harness on many people, and another on an average one, worked out for `shelf.json`.

`python -m tests.checking.shelf` notes it anew.
"""

from __future__ import annotations

import numpy as np

from controlkit.exercises.ex12.bench import AVERAGE, BANDS, PLACES, poses, worn
from controlkit.exercises.shared.followed import lead
from controlkit.mechanics import POSITIONS, SingleControl, VoluntaryOpening, Wearer
from controlkit.mechanics.chain.positions import FORWARD, on_command
from controlkit.units import mm

PEOPLE = 60
"""How many women, and how many men [-]."""
SEEDS = {"female": 12, "male": 13}
"""Of the draws."""
SET_UP = {"low": mm(25), "crossbar": 0.55, "control_strap": 0.0, "support_strap": 0.0}
"""The figure-of-eight that all of them wear, as a textbook begins: an inch below C7 [m, and - for the crossbar]."""
GROUPS = ("shorter women", "taller women", "shorter men", "taller men")
"""Each half of its sex by stature."""


def taken() -> dict[str, list[float]]:
    """Cable travel at the table on command, of each person of each group.

    Returns
    -------
    dict
        Group to travel, in the order in which people were drawn [mm]
    """
    found: dict[str, list[float]] = {}
    for sex, seed in SEEDS.items():
        people = Wearer.draw(sex, PEOPLE, seed)
        travel = np.array([_travel(wearer) for wearer in people])
        taller = np.array([wearer.stature for wearer in people])
        tall = taller > np.median(taller)
        called = "women" if sex == "female" else "men"
        for name, which in ((f"shorter {called}", ~tall), (f"taller {called}", tall)):
            found[name] = [round(float(value), 2) for value in travel[which] / mm(1)]
    return found


def average(sex: str) -> dict[str, float]:
    """Cable travel at every place on somebody of average build, with the harness set up for such people.

    Parameters
    ----------
    sex : str
        "female" or "male"

    Returns
    -------
    dict
        Place to travel [mm]
    """
    system = SingleControl(worn(Wearer.average(sex), loop=True, **AVERAGE), device=VoluntaryOpening(bands=BANDS))
    led = lead(system, poses(system.harness.wearer, FORWARD))
    return {place: round(led.travel(k) / mm(1), 2) for k, place in enumerate(PLACES, 1)}


def noted() -> dict[str, dict[str, list[float]] | dict[str, dict[str, float]]]:
    """All of it, for the shelf.

    Returns
    -------
    dict
        People tried, and average builds
    """
    return {"people": taken(), "average": {sex: average(sex) for sex in SEEDS}}


def _travel(wearer: Wearer) -> float:
    system = SingleControl(worn(wearer, loop=True, **SET_UP), device=VoluntaryOpening(bands=BANDS))
    return lead(system, (on_command(wearer, POSITIONS["table"]).pose,)).travel(0)
