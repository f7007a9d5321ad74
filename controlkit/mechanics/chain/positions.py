"""Functional positions: what reaching them does to the device, and what can still be asked for there."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

import numpy as np

from controlkit.mechanics.body.pose import POSE_RANGES, Pose
from controlkit.mechanics.body.wearer import Wearer
from controlkit.mechanics.chain.budgets import Budget, budget
from controlkit.mechanics.chain.results import Pull
from controlkit.mechanics.chain.single import MOVED, SingleControl
from controlkit.units import InputError


def _pose(flexion: float, elbow: float, abduction: float = 10.0) -> Pose:
    arm, away, bent = (float(np.deg2rad(angle)) for angle in (flexion, abduction, elbow))
    return Pose(arm_flexion=arm, arm_abduction=away, elbow_flexion=bent)


POSITIONS: Mapping[str, Pose] = MappingProxyType(
    {
        "table": _pose(20.0, 70.0),
        "mouth": _pose(35.0, 130.0),
        "waist": _pose(0.0, 90.0, 20.0),
        "fly": _pose(5.0, 60.0, 15.0),
        "behind the back": _pose(-40.0, 70.0, 15.0),
    }
)
"""Where a device is used most, as poses that reach there without any pull meant.

Angles are assumptions: those at which the device of an average man comes to the height of a table at his
elbow, of his mouth, and so on. Turning the upper arm about its own axis, which brings the device to the
middle, is left out: it hardly moves the crossbar."""

EXPLORED: Mapping[str, Pose] = MappingProxyType({"overhead": _pose(150.0, 20.0), "floor": _pose(80.0, 10.0)})
"""Two more to explore. At the floor the trunk is bent, and the arm hangs forward of it. Assumptions as above;
overhead, straps and girdle are far from where anything was checked."""

FORWARD = float(np.deg2rad(20.0))
"""Scapular abduction that a wearer can add in any position, the device staying where it is [rad].
Assumption: 20 of the 30 degrees that a pose allows."""
BACK = float(np.deg2rad(-15.0))
"""How far a wearer can draw the shoulder blade back to keep the device still [rad]. Assumption: 15 of the 25
degrees that a pose allows."""


@dataclass(frozen=True, kw_only=True)
class Reach:
    """One functional position: on reaching it, drawn back to keep the device still, and asked to work.

    Attributes
    ----------
    position : str
        Its name
    reaching : Pull
        The device brought there, no more
    drawn_back : Pull
        The same with the shoulder blade drawn back by `BACK`
    asking : Pull
        The same with the shoulder blade brought forward by `FORWARD`, which asks the device to work
    unasked : float
        How far the fingertips move on reaching, although nobody asked [m]
    kept_still : bool
        Whether drawing the shoulder blade back keeps them where they rest
    spare_flexion : float
        Arm flexion that is left, as the range of a pose goes; it takes the device elsewhere [rad]
    budget : Budget
        Budgets when asked, for many pulls over a day
    """

    position: str
    reaching: Pull
    drawn_back: Pull
    asking: Pull
    unasked: float
    kept_still: bool
    spare_flexion: float
    budget: Budget


def reach(system: SingleControl, positions: Mapping[str, Pose] = POSITIONS) -> tuple[Reach, ...]:
    """What happens at functional positions: asked and unasked.

    Parameters
    ----------
    system : SingleControl
        Harness, cable and device
    positions : mapping of str to Pose
        Positions by name

    Returns
    -------
    tuple of Reach
        One a position, in the same order; one run of the solver for all

    Raises
    ------
    InputError
        If one of them is not a pose

    Notes
    -----
    With voluntary opening, opening unasked lets an object fall; with voluntary closing, the device shuts
    before it is there. A wearer keeps the device still by drawing the shoulder blade back.

    Examples
    --------
    >>> from controlkit.mechanics import SingleControl, Wearer, figure_of_eight
    >>> mouth = reach(SingleControl(figure_of_eight(Wearer.average("male"))))[1]
    >>> mouth.unasked > 0.02, mouth.asking.limited_by
    (True, 'nothing')
    """
    poses = []
    for pose in positions.values():
        if not isinstance(pose, Pose):
            raise InputError(
                given=f"A position was given as {pose!r}.",
                do="Give a mapping of names to poses, as in POSITIONS.",
            )
        poses += [pose, replace(pose, scapular_abduction=BACK), replace(pose, scapular_abduction=FORWARD)]
    pulls = system.over(poses)
    still = system.device.opening(0.0)
    most = float(np.deg2rad(POSE_RANGES["arm_flexion"][1]))
    found = []
    for k, (name, pose) in enumerate(positions.items()):
        reaching, back, asking = pulls[3 * k : 3 * k + 3]
        found.append(
            Reach(
                position=name,
                reaching=reaching,
                drawn_back=back,
                asking=asking,
                unasked=abs(reaching.opening - still),
                kept_still=abs(back.opening - still) <= MOVED,
                spare_flexion=most - pose.arm_flexion,
                budget=budget(system, asking),
            )
        )
    return tuple(found)


def over_wearers(
    system: SingleControl,
    wearers: Sequence[Wearer],
    poses: Sequence[Pose],
    progress: Callable[[float], object] | None = None,
) -> tuple[tuple[Pull, ...], ...]:
    """The same set-up on many wearers, one after the other.

    Parameters
    ----------
    system : SingleControl
        What is fitted to each
    wearers : sequence of Wearer
        Who wears it
    poses : sequence of Pose
        Poses, reached from donning
    progress : callable, optional
        Told after each wearer which share is done [-]

    Returns
    -------
    tuple of tuple of Pull
        One row a wearer, in it one result a pose

    Raises
    ------
    InputError
        If the harness has no hold on one of them

    Examples
    --------
    >>> from controlkit.mechanics import SingleControl, Wearer, figure_of_eight
    >>> system = SingleControl(figure_of_eight(Wearer.average("male")))
    >>> rows = over_wearers(system, Wearer.draw("female", 2, 1), [Pose(arm_flexion=0.5)])
    >>> len(rows), len(rows[0])
    (2, 1)
    """
    rows = []
    for done, wearer in enumerate(wearers, start=1):
        rows.append(system.on(wearer).over(poses))
        if progress is not None:
            progress(done / len(wearers))
    return tuple(rows)
