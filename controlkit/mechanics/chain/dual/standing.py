"""A harness above the elbow in one pose: where its straps lie, and what they bear, for a pull at the cable."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property, partial

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.body.placed import to_right
from controlkit.mechanics.body.pose import Pose, posed
from controlkit.mechanics.chain.dual.amplifier import without
from controlkit.mechanics.chain.dual.capture import PULLS, constant
from controlkit.mechanics.chain.dual.control import DualControl
from controlkit.mechanics.chain.effort import fatigue
from controlkit.mechanics.harness import outcomes
from controlkit.mechanics.harness.layout import CONTROL
from controlkit.mechanics.harness.motion import Followed, follow
from controlkit.mechanics.harness.pressure import strap_loads
from controlkit.mechanics.harness.strap_load import StrapLoad
from controlkit.mechanics.inputs import kind, within

Array = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True)
class DualPull:
    """What is worn above the elbow, in one pose and for one pull.

    Attributes
    ----------
    pose : Pose
        The pose
    locked : bool
        Whether the elbow is locked
    opening : float
        Distance of the device's fingertips [m]
    harness_force : float
        Tension of the control attachment strap; less than what was asked for where the pose does not draw it so far [N]
    cable_share : float
        `harness_force` over the wearer's cable strength [-]
    fatigue : str
        What the cable share means over a day, in words
    strap_tension : mapping
        Tension of each strap by name [N]
    strap_slack : mapping
        How much longer than its way each strap is that bears no pull, by name; the control strap's with its cable [m]
    strap_load : mapping
        What each strap presses on the skin along its way, by name
    straps : mapping
        Run of each strap from the ring outwards, ISB axes [m], shape (nodes, 3)
    ring : ndarray
        Ring, ISB axes [m], shape (3,)
    ring_travel : float
        How far the ring has moved since donning [m]
    ring_forces : mapping
        What each strap and the skin do to the ring, ISB axes [N], shape (3,)
    axilla_line_load : float
        Largest load of any strap in the sound armpit per length of strap [N/m]
    settled : bool
        Whether the straps settled; where they did not, the model has no answer
    about_flexion : callable
        Finds `moment_arm` once it is asked for
    """

    pose: Pose
    locked: bool
    opening: float
    harness_force: float
    cable_share: float
    fatigue: str
    strap_tension: Mapping[str, float]
    strap_slack: Mapping[str, float]
    strap_load: Mapping[str, StrapLoad]
    straps: Mapping[str, Array]
    ring: Array
    ring_travel: float
    ring_forces: Mapping[str, Array]
    axilla_line_load: float
    settled: bool
    about_flexion: Callable[[], float] = field(repr=False, compare=False)

    @cached_property
    def moment_arm(self) -> float:
        """Moment arm of the control strap about arm flexion, ring held [m]."""
        return self.about_flexion()


def dual_pull(
    system: DualControl, pull: float, *, opening: float = 0.0, locked: bool = False, **angles: float
) -> DualPull:
    """Say where the straps lie in one pose, the control strap under one pull.

    Parameters
    ----------
    system : DualControl
        The system
    pull : float
        Tension of the control strap, as lifting or opening asks for it [N]
    opening : float
        Distance of the device's fingertips, as opening says it [m]
    locked : bool
        Whether the elbow is locked
    **angles : float
        Angles of the pose, as in `Pose` [rad]

    Returns
    -------
    DualPull
        Straps, ring and loads

    Raises
    ------
    InputError
        If the pull is beyond those that the harness has been followed for, or an opening or angle outside its range

    Notes
    -----
    As in `capture`: the cable stood still until the motion had made the pull, and has yielded to it since. Cable,
    forearm and lock are those of `DualControl.lift` and `DualControl.open_locked`, which say what pull there is.

    Examples
    --------
    >>> from controlkit.mechanics import Wearer, above_elbow_eight
    >>> from controlkit.units import deg
    >>> system = DualControl(harness=above_elbow_eight(Wearer.average("female", level="transhumeral")))
    >>> lifted = system.lift([deg(90)])
    >>> arm, force = float(lifted.arm_flexion[0]), float(lifted.harness_force[0])
    >>> held = dual_pull(system, force, arm_flexion=arm, elbow_flexion=deg(90))
    >>> abs(held.harness_force - force) < 1.0
    True
    """
    kind("The system", system, DualControl, "DualControl(harness=above_elbow_eight(wearer))")
    without(system.amplifier, "A picture of the straps")
    within("The pull at the harness", pull, 0.0, PULLS[-1], example="newton(60)", of="force")
    within("The opening", opening, 0.0, system.device.full_opening, example="mm(30)", of="length")
    found = follow(system.harness, [posed(angles)], constant(pull, system.cable.length / system.cable.stiffness))
    return stood(system, found, found.asked[0], opening=opening, locked=locked)


def stood(system: DualControl, found: Followed, at: int, *, opening: float = 0.0, locked: bool = False) -> DualPull:
    """The same at one station of a motion that has been followed.

    Parameters
    ----------
    system : DualControl
        The system
    found : Followed
        The motion of its harness
    at : int
        The station [-]
    opening : float
        Distance of the device's fingertips [m]
    locked : bool
        Whether the elbow is locked

    Returns
    -------
    DualPull
        Straps, ring and loads
    """
    net, side = found.net, system.harness.wearer.amputated
    force, loads = float(net.tension[CONTROL, at]), strap_loads(found, at)
    share = force / system.strength.cable
    return DualPull(
        pose=found.poses[at],
        locked=locked,
        opening=opening,
        harness_force=force,
        cable_share=share,
        fatigue=fatigue(share),
        strap_tension=outcomes.strap_tensions(found, at),
        strap_slack=outcomes.strap_slack(found, at),
        strap_load={name: replace(load, places=to_right(load.places, side)) for name, load in loads.items()},
        straps={name: to_right(run, side) for name, run in outcomes.strap_runs(found, at).items()},
        ring=to_right(net.ring[at], side),
        ring_travel=float(np.linalg.norm(net.ring[at] - found.donned.ring)),
        ring_forces={name: to_right(force, side) for name, force in outcomes.ring_forces(found, at).items()},
        axilla_line_load=max(load.armpit for load in loads.values()),
        settled=bool(net.settled[at]),
        about_flexion=partial(found.moment_arm, at),
    )
