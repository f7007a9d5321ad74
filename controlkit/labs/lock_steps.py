"""The operating sequence of dual control in the lock lab: its steps taken one after the other, right and wrong."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

from controlkit.draw import wearer_scene
from controlkit.draw.charts.stations import stations_scene
from controlkit.draw.charts.steps import steps_scene
from controlkit.draw.words.sequence import steps_words
from controlkit.labs.controls import Values
from controlkit.labs.page import Page, Reading, Units
from controlkit.labs.turned import ground, seen_from
from controlkit.mechanics import DualControl
from controlkit.mechanics.chain import dual_pull
from controlkit.mechanics.chain.dual import LockStrap, lock_motion
from controlkit.mechanics.elbow import ElbowLock
from controlkit.mechanics.sequence import (
    DualErrand,
    OperatingSequence,
    Situation,
    Taken,
    operating_sequence_dual,
    pose_of,
)
from controlkit.mechanics.sequence.dual import holds
from controlkit.units import InputError, show

__all__ = ["STEPS", "DualErrands", "Errand", "steps_page"]

STEPS = {
    name.replace(" ", "-"): name
    for name in (
        "pre-position the wrist",
        "pre-position the turntable",
        "unlock",
        "lift to the table",
        "lock",
        "ease the cable",
        "open the device",
        "surround",
        "take the weight",
        "lift to the mouth",
        "lower to the table",
        "clear",
        "lower",
        "set up again",
    )
}
"""Steps by their name in a setting."""
_SIZE = (310.0, 260.0)  # of the list of steps [picture points]
_SLACK = 0.5  # pull for which the lock's strap is drawn where the cable is slack [N]


@dataclass(frozen=True, eq=False, kw_only=True)
class Errand:
    """How far an errand has come.

    Parameters
    ----------
    errand : DualErrand
        System, elbow lock and object.
    task : OperatingSequence
        Its steps.
    road : tuple of Taken
        Right steps from its start to its goal; none if there are none.
    taken : tuple of Taken
        Steps so far.
    """

    errand: DualErrand
    task: OperatingSequence
    road: tuple[Taken, ...]
    taken: tuple[Taken, ...]

    @property
    def state(self) -> Situation:
        """How things stand."""
        return self.taken[-1].after if self.taken else self.task.start

    @property
    def done(self) -> bool:
        """Whether the goal stands."""
        return self.state.fits(self.task.goal)


class DualErrands:
    """DualErrands of the set-ups seen so far."""

    def __init__(self) -> None:
        self._known = lru_cache(maxsize=8)(_set_out)

    def after(self, system: DualControl, setting: Values) -> Errand:
        """Take the steps of a setting from the start."""
        errand, task, road = self._known(system, float(setting["lock_travel"]), float(setting["lock_strap"]))
        state, taken = task.start, []
        for key in str(setting["step"]).split(", ") if setting["step"] else ():
            taken.append(task.take(state, STEPS[key]))
            state = taken[-1].after
        return Errand(errand=errand, task=task, road=road, taken=tuple(taken))


def _set_out(
    system: DualControl, travel: float, let_out: float
) -> tuple[DualErrand, OperatingSequence, tuple[Taken, ...]]:
    """An errand, its steps, and the road of right ones."""
    lock = replace(ElbowLock.from_stop(system.hangs_at), travel=travel)
    errand = DualErrand(system=system, lock=lock, strap=LockStrap(let_out=let_out))
    task = operating_sequence_dual(errand)
    order: Sequence[str] = ()
    with suppress(InputError):  # no order of right steps is an answer too
        order = task.right_order()
    state, road = task.start, []
    for name in order:
        road.append(task.take(state, name))
        state = road[-1].after
    return errand, task, tuple(road)


def steps_page(one: Errand, then: Errand | None, setting: Values, units: Units, **judged: Any) -> Page:
    """Show the wearer as the last step has left her, the road of stations, and the steps taken.

    Parameters
    ----------
    one : Errand
        How far the errand has come.
    then : Errand or None
        How far that of a pinned setting has come.
    setting : mapping
        The setting [SI].
    units : str
        "metric" or "inch-pound".
    **judged : Any
        Verdicts, answers and idle controls of the page.

    Returns
    -------
    Page
        Pictures and words.
    """
    errand, task, state = one.errand, one.task, one.state
    system, pose, held = errand.system, pose_of(errand, state), holds(errand, state)
    force = held.harness_force if held else 0.0
    apart = errand.wanted if state["device"] == "open" else errand.width if state["object"] == "held" else 0.0
    locked = state["lock"] == "on"
    angles = {name: value for name, value in vars(pose).items() if name != "socket_slip"}
    pull = dual_pull(system, force, opening=apart, locked=locked, **angles)
    strap = lock_motion(system.harness, errand.catch, errand.strap, pull=max(force, _SLACK), **angles)
    view = seen_from(setting["view"])
    side, beside = (
        wearer_scene(pull, way, system=system, lock=strap, plain=True, scale=scale, units=units)
        for way, scale in (("side", True), (view, False))
    )
    right = task.legal(state) if setting["tell"] else ()
    exits = task.exits(state) if setting["tell"] else ()
    name = "dual control with an elbow lock"
    stations = stations_scene(
        name, one.road, state, taken=one.taken, exits=exits, named=bool(setting["tell"]), width=_SIZE[0], units=units
    )
    listed = steps_scene(name, one.taken, state, reached=one.done, right=right, size=_SIZE, units=units)
    said = steps_words(one.taken, state, reached=one.done, right=right, units=units)
    wide, needs = (show(size, "length", units) for size in (errand.width, errand.catch.travel))
    task_said = (
        f"The errand: take an object {wide} wide from the table to the mouth and put it back, with a lock that needs "
        f"{needs}."
    )
    compared = f"The pinned setting has {len(then.taken)} steps and stands at: {then.state.words}." if then else ""
    last = one.taken[-1].amount if one.taken else None
    grip = last.grip if last is not None else None
    work = last.lock if last is not None else None
    readings = (
        Reading("Elbow flexion", errand.flexion[state["elbow"]], "angle", "locked" if locked else "unlocked"),
        Reading("Harness pull", force, "force", f"cable {state['cable']}"),
        *(() if grip is None else (Reading("Grip left", grip, "force", "on the way"),)),
        *(() if work is None else (Reading("Comes to the lock", work.travel, "length", f"of {needs}"),)),
    )
    return Page(
        (side, beside, listed, stations),
        " ".join(text for text in (said, task_said, compared, stations.words, side.words, beside.words) if text),
        said,
        readings=readings,
        handles=(ground(setting["view"], beside, system.harness.wearer, picture=1),),
        **judged,
    )
