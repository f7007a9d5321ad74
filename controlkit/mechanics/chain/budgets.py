"""Budgets of excursion and of force: what there is, where it goes, and which runs out first."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.chain.effort import TASKS, endurance
from controlkit.mechanics.chain.results import Pull
from controlkit.mechanics.chain.single import SingleControl
from controlkit.mechanics.device import Device
from controlkit.mechanics.inputs import number
from controlkit.units import InputError

Array = NDArray[np.float64]


def holding_share(system: SingleControl, pinch: float, width: float = 0.0, elbow_flexion: float = math.pi / 2) -> float:
    """Share of cable strength that it takes to go on holding an object.

    Parameters
    ----------
    system : SingleControl
        Harness, cable and device
    pinch : float
        Grip wanted [N]
    width : float
        Width of the object [m]
    elbow_flexion : float
        Elbow flexion [rad]

    Returns
    -------
    float
        None with voluntary opening, or a lock; infinite where bands do not grip that hard, since no pull
        makes them [-]

    Raises
    ------
    InputError
        If a value is negative or no number

    Examples
    --------
    >>> from controlkit.mechanics import SingleControl, VoluntaryClosing, Wearer, figure_of_eight
    >>> harness = figure_of_eight(Wearer.average("female"))
    >>> holding_share(SingleControl(harness), 10.0)
    0.0
    >>> round(holding_share(SingleControl(harness, device=VoluntaryClosing()), 10.0), 2)
    0.12
    """
    pull = system.device.pull_to_hold(number("The pinch", pinch, "newton(10)"), width)
    return pull / system.line(elbow_flexion).efficiency / system.strength.cable


@dataclass(frozen=True, kw_only=True)
class Budget:
    """Excursion and force of one pose, from what there is to what the device asks.

    Attributes
    ----------
    task : str
        "once", "repeat" or "hold"
    generated, captured, required : float
        Excursions, as in `Excursion` [m]
    lost : mapping
        Where excursion went, as in `Excursion` [m]
    device_force : float
        Cable force at the device for its whole travel [N]
    friction : float
        What bends add to it on the way out [N]
    harness_force : float
        Both together: tension of the control attachment strap [N]
    force_back : float
        Tension at which the device begins to go back from there; holding takes no more [N]
    cable_share : float
        What the task takes, over the wearer's cable strength [-]
    allowed : float
        What it may take, over the wearer's cable strength [-]
    by_excursion, by_force : float
        Travel at the device that each budget pays for; force often pays for more than there is [m]
    runs_out_first : str
        "excursion", "force", or "neither" if both pay for the whole travel
    pull : Pull
        What the pose does, the shoulder's part of it

    Notes
    -----
    Force is judged by the cable share alone, as its limits were measured. Beside it stands what the pose as it is takes
    of the shoulder, and how long that can be held still: sources disagree on what a shoulder may bear over a day, so
    nothing is allowed or refused by it.
    """

    task: str
    generated: float
    captured: float
    required: float
    lost: Mapping[str, float]
    device_force: float
    friction: float
    harness_force: float
    force_back: float
    cable_share: float
    allowed: float
    by_excursion: float
    by_force: float
    runs_out_first: str
    pull: Pull = field(repr=False, compare=False)

    @property
    def shoulder_share(self) -> float:
        """What holding the pose takes, over the wearer's moment of arm flexion there [-]."""
        return self.pull.shoulder_share

    @property
    def shoulder_endurance(self) -> float | None:
        """How long that can be held still; nothing where it was not measured [s]."""
        return endurance(self.shoulder_share)


def budget(system: SingleControl, pull: Pull, task: str = "repeat") -> Budget:
    """Draw up the budgets of a pose.

    Parameters
    ----------
    system : SingleControl
        Harness, cable and device
    pull : Pull
        What the pose does
    task : str
        "once": all the wearer's cable strength; "repeat": many pulls over a day; "hold": device kept at the end of
        its travel, the pull eased until friction just holds it

    Returns
    -------
    Budget
        Both budgets

    Raises
    ------
    InputError
        If there is no such task

    Notes
    -----
    The force is that of the whole travel, whether or not the pose reaches it.

    Examples
    --------
    >>> from controlkit.mechanics import SingleControl, Wearer, figure_of_eight
    >>> system = SingleControl(figure_of_eight(Wearer.average("male")))
    >>> budget(system, system.at(elbow_flexion=1.2)).runs_out_first
    'excursion'
    """
    if task not in TASKS:
        raise InputError(
            given=f'There is no task "{task}".',
            do=f"Give one of: {', '.join(TASKS)}.",
        )
    device, line = system.device, system.line(pull.pose.elbow_flexion)
    full = device.force(device.travel)
    harness, back = full / line.efficiency, device.force_back(device.travel) * line.efficiency_back
    may = TASKS[task] * system.strength.cable
    travel, forces, back_forces = _forces(device)
    needs = back_forces * line.efficiency_back if task == "hold" else forces / line.efficiency
    enough = needs <= may
    by_force = math.inf if enough.all() else float(travel[max(int(np.argmin(enough)) - 1, 0)])
    short = min(pull.travel, by_force) < device.travel - 1e-9
    first = "neither" if not short else "force" if by_force < pull.travel else "excursion"
    return Budget(
        task=task,
        generated=pull.excursion.generated,
        captured=pull.excursion.captured,
        required=pull.excursion.required,
        lost=pull.excursion.lost,
        device_force=full,
        friction=harness - full,
        harness_force=harness,
        force_back=back,
        cable_share=(back if task == "hold" else harness) / system.strength.cable,
        allowed=TASKS[task],
        by_excursion=pull.travel,
        by_force=by_force,
        runs_out_first=first,
        pull=pull,
    )


@lru_cache(maxsize=64)
def _forces(device: Device) -> tuple[Array, Array, Array]:
    """Places along a device's travel [m], and its force there on the way out and back [N]."""
    travel = np.linspace(0.0, device.travel, 201)
    out, back = (np.array([force(float(x)) for x in travel]) for force in (device.force, device.force_back))
    return travel, out, back
