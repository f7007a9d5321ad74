"""Exercise 8: the operating sequence above the elbow, worked out for `shelf.json`.

`python -m tests.checking.shelf` notes it anew.
"""

from __future__ import annotations

from typing import Any

from controlkit.mechanics import DualControl, Wearer, above_elbow_eight
from controlkit.mechanics.elbow import ElbowLock
from controlkit.mechanics.sequence import DualErrand, OperatingSequence, operating_sequence_dual
from controlkit.sources import source
from controlkit.units import deg, mm

SEXES = ("female", "male")
FRONT = mm(20)
"""Anterior support strap let out from just snug, so that it lets the lock have its travel [m]."""
POSITIONS = 9
"""Positions of the lock [-]: where the forearm is lifted to, none is just there."""


def errand(sex: str) -> OperatingSequence:
    """The errand of a wearer of average build, with a lock that asks for the shortest travel taught.

    Parameters
    ----------
    sex : str
        "female" or "male"

    Returns
    -------
    OperatingSequence
        Every step that may be made
    """
    harness = above_elbow_eight(Wearer.average(sex, level="transhumeral"), support_strap=FRONT)
    at = ElbowLock.evenly(POSITIONS, low=deg(10)).positions
    lock = ElbowLock(positions=at, travel=source("elbow_lock_travel").si_low)
    return operating_sequence_dual(DualErrand(system=DualControl(harness=harness), lock=lock))


def taken() -> dict[str, Any]:
    """Every step from every state of both errands, and what goes wrong.

    Returns
    -------
    dict
        By sex, the fields of `errand.Shelved`
    """
    return {sex: _noted(errand(sex)) for sex in SEXES}


def _noted(task: OperatingSequence) -> dict[str, Any]:
    states, steps = task.states(), tuple(task.steps)
    texts, leads, told = [""], [], []
    number = {state: k for k, state in enumerate(states)}
    for state in states:
        exits = task.exits(state)
        words = [str(made.consequence) for made in exits]
        texts += [text for text in dict.fromkeys(words) if text not in texts]
        leads.append([number[made.after] for made in exits])
        told.append([texts.index(text) for text in words])
    return {
        "facts": [fact for fact, _ in task.start.facts],
        "states": [[value for _, value in state.facts] for state in states],
        "steps": list(steps),
        "leads": leads,
        "told": told,
        "texts": texts,
    }
