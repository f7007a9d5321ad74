"""Functional positions: what reaching them does to the device, and what it still does there on command."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

import numpy as np

from controlkit.mechanics.body.held import HeldPose, hold_device
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
"""Scapular abduction that a wearer can add in any position [rad]. Assumption: 20 of the 30 degrees that a pose
allows."""
BOTH_FORWARD: Mapping[str, float] = MappingProxyType(
    {"scapular_abduction": FORWARD, "sound_scapular_abduction": FORWARD}
)
"""Angles of a pose with both scapulae so far forward [rad]."""
BACK = float(np.deg2rad(-15.0))
"""How far a wearer can draw a scapula back to keep the device still [rad]. Assumption: 15 of the 25 degrees that a
pose allows."""


def on_command(wearer: Wearer, pose: Pose, forward: float = FORWARD) -> HeldPose:
    """Biscapular abduction, the device held: what is taught for work near the body.

    Parameters
    ----------
    wearer : Wearer
        The wearer
    pose : Pose
        The position
    forward : float
        Abduction of both scapulae [rad]

    Returns
    -------
    HeldPose
        Both scapulae forward, humerus and elbow making up for it

    Examples
    --------
    >>> held = on_command(Wearer.average("male"), POSITIONS["fly"])
    >>> held.pose.sound_scapular_abduction == held.pose.scapular_abduction == FORWARD, held.missed < 0.0005
    (True, True)
    """
    return hold_device(wearer, pose, scapular_abduction=forward, sound_scapular_abduction=forward)


def one_scapula(wearer: Wearer, pose: Pose, forward: float = FORWARD) -> HeldPose:
    """Scapular abduction of the amputated side alone, the device held; below zero it is drawn back.

    Parameters
    ----------
    wearer : Wearer
        The wearer
    pose : Pose
        The position
    forward : float
        Abduction of the scapula [rad]

    Returns
    -------
    HeldPose
        One scapula moved, humerus and elbow making up for it

    Examples
    --------
    >>> held = one_scapula(Wearer.average("male"), POSITIONS["fly"], BACK)
    >>> held.pose.arm_flexion > POSITIONS["fly"].arm_flexion
    True
    """
    return hold_device(wearer, pose, scapular_abduction=forward)


@dataclass(frozen=True, kw_only=True)
class Reach:
    """One functional position: on reaching it, kept still, and made to work on command with the device held.

    Attributes
    ----------
    position : str
        Its name
    reaching : Pull
        The device brought there, no more
    drawn_back : Pull
        The scapula of the amputated side drawn back by `BACK`, the device held
    both_back : Pull
        Both scapulae drawn back as far, the device held
    one_scapula : Pull
        The scapula of the amputated side brought forward by `FORWARD`, the device held
    on_command : Pull
        Both scapulae brought forward as far, the device held: biscapular abduction
    carried_along : Pull
        One scapula brought forward as far while it carries arm and device along: the device does not stay
    inadvertent : float
        How far the fingertips move on reaching, not on command [m]
    kept_still : bool
        Whether drawing the one scapula back keeps them where they rest
    missed : float
        The most by which the device could not be held in any of these poses [m]
    spare_flexion : float
        Arm flexion that is left, as the range of a pose goes; it takes the device elsewhere [rad]
    budget : Budget
        Budgets on command, for many pulls over a day
    """

    position: str
    reaching: Pull
    drawn_back: Pull
    both_back: Pull
    one_scapula: Pull
    on_command: Pull
    carried_along: Pull
    inadvertent: float
    kept_still: bool
    missed: float
    spare_flexion: float
    budget: Budget

    @property
    def one_carried(self) -> float:
        """What one scapula adds to the generated excursion while the device is carried along [m]."""
        return self._added(self.carried_along)

    @property
    def one_left(self) -> float:
        """What is left of that with the device held [m]."""
        return self._added(self.one_scapula)

    @property
    def both_left(self) -> float:
        """What both scapulae add with the device held [m]."""
        return self._added(self.on_command)

    def _added(self, pull: Pull) -> float:
        return pull.excursion.generated - self.reaching.excursion.generated


def reach(system: SingleControl, positions: Mapping[str, Pose] = POSITIONS) -> tuple[Reach, ...]:
    """What happens at functional positions: inadvertently, kept still, and on command.

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
    With voluntary opening, inadvertent opening lets an object fall; with voluntary closing, the device shuts
    before it is there. A wearer keeps the device still by drawing one scapula or both back.

    Scapulae forward carry the shoulder forward. Where the device must stay, as a wearer at work keeps it, humerus and
    elbow make up for that, and arm extension takes back part of what the scapula gave.

    Examples
    --------
    >>> from controlkit.mechanics import SingleControl, Wearer, figure_of_eight
    >>> fly = reach(SingleControl(figure_of_eight(Wearer.average("male"))))[3]
    >>> fly.one_left < 0.5 * fly.one_carried, fly.both_left > 0.8 * fly.one_carried
    (True, True)
    """
    wearer, poses, missed = system.harness.wearer, list[Pose](), list[float]()
    for pose in positions.values():
        if not isinstance(pose, Pose):
            raise InputError(
                given=f"A position was given as {pose!r}.",
                do="Give a mapping of names to poses, as in POSITIONS.",
            )
        held = [move(wearer, pose, angle) for angle in (BACK, FORWARD) for move in (one_scapula, on_command)]
        poses += [pose, replace(pose, scapular_abduction=FORWARD), *(one.pose for one in held)]
        missed.append(max(one.missed for one in held))
    pulls = system.over(poses)
    still = system.device.opening(0.0)
    most = float(np.deg2rad(POSE_RANGES["arm_flexion"][1]))
    found = []
    for k, (name, pose) in enumerate(positions.items()):
        reaching, along, back, both_back, one, both = pulls[6 * k : 6 * k + 6]
        found.append(
            Reach(
                position=name,
                reaching=reaching,
                drawn_back=back,
                both_back=both_back,
                one_scapula=one,
                on_command=both,
                carried_along=along,
                inadvertent=abs(reaching.opening - still),
                kept_still=abs(back.opening - still) <= MOVED,
                missed=missed[k],
                spare_flexion=most - pose.arm_flexion,
                budget=budget(system, both),
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
