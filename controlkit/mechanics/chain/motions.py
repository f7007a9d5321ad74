"""Body control motions taken apart: what each alone gives at the cable, and how far it takes the device."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from controlkit.mechanics.body.places import joints
from controlkit.mechanics.body.pose import Pose
from controlkit.mechanics.body.wearer import Wearer
from controlkit.mechanics.chain.results import Pull
from controlkit.mechanics.chain.single import SingleControl

MOTIONS: Mapping[str, str] = {
    "arm_flexion": "arm flexion",
    "scapular_abduction": "scapular abduction",
    "sound_scapular_abduction": "scapular abduction, sound side",
    "shoulder_elevation": "shoulder elevation",
    "arm_abduction": "arm abduction",
}
"""Body control motions: name in a pose, and in words."""
BACKWARD: Mapping[str, str] = {
    "arm_flexion": "arm extension",
    "scapular_abduction": "scapular adduction",
    "sound_scapular_abduction": "scapular adduction, sound side",
    "shoulder_elevation": "shoulder depression",
    "arm_abduction": "arm adduction",
}
"""What each is called the other way."""


@dataclass(frozen=True)
class Share:
    """One motion of a pose, made alone.

    Attributes
    ----------
    motion : str
        Its name in a pose
    angle : float
        How far from where the arm hangs [rad]
    pull : Pull
        What it does to cable and device
    moved : float
        How far it takes the device through space [m]
    """

    motion: str
    angle: float
    pull: Pull
    moved: float

    @property
    def name(self) -> str:
        """What it is called, either way."""
        return (MOTIONS if self.angle > 0 else BACKWARD)[self.motion]

    @property
    def generated(self) -> float:
        """What it gives at the cable: generated, negative where it slackens [m]."""
        return self.pull.excursion.generated


@dataclass(frozen=True)
class Apart:
    """A pose taken apart into its motions.

    Attributes
    ----------
    shares : tuple of Share
        One a motion that the pose makes, each alone
    pull : Pull
        All of them together
    moved : float
        How far all of them together take the device [m]
    forward : float
        How much of that is forward; below zero it is backward [m]
    start : Pose
        Where the motions began
    """

    shares: tuple[Share, ...]
    pull: Pull
    moved: float
    forward: float
    start: Pose

    @property
    def summed(self) -> float:
        """What the motions give, each alone, added up [m]."""
        return sum(share.generated for share in self.shares)


def hanging(pose: Pose) -> Pose:
    """The pose without any body control motion; the elbow stays.

    Parameters
    ----------
    pose : Pose
        A pose

    Returns
    -------
    Pose
        The arm hanging

    Examples
    --------
    >>> hanging(Pose(arm_flexion=1.0, elbow_flexion=0.5)) == Pose(elbow_flexion=0.5)
    True
    """
    rest = Pose()
    return replace(pose, **{name: getattr(rest, name) for name in MOTIONS})


def device_moved(wearer: Wearer, pose: Pose, start: Pose | None = None) -> float:
    r"""How far the motions of a pose have taken the device through space, in a straight line.

    .. math:: s = |\mathbf{x}(pose) - \mathbf{x}(start)|

    Parameters
    ----------
    wearer : Wearer
        The wearer
    pose : Pose
        The pose
    start : Pose, optional
        Where the motions began; the arm hanging, the elbow alike, unless given

    Returns
    -------
    float
        Distance of the device from where it was [m]

    Examples
    --------
    >>> man = Wearer.average("male")
    >>> flexed, forward = (device_moved(man, p) for p in (Pose(arm_flexion=0.5), Pose(scapular_abduction=0.5)))
    >>> flexed > 3 * forward
    True
    """
    now, then = (joints(wearer, one)["device"] for one in (pose, start or hanging(pose)))
    return float(np.linalg.norm(now - then))


def take_apart(
    system: SingleControl,
    pose: Pose,
    over: Callable[[Sequence[Pose]], Sequence[Pull]] | None = None,
    start: Pose | None = None,
) -> Apart:
    """Take a pose apart into its body control motions, and put it together again.

    Parameters
    ----------
    system : SingleControl
        Harness, cable and device
    pose : Pose
        The pose
    over : callable, optional
        Answers poses in place of ``system.over``, for instance one that remembers
    start : Pose, optional
        Where the motions began; the arm hanging, the elbow alike, unless given

    Returns
    -------
    Apart
        Each motion alone, and all together

    Raises
    ------
    InputError
        If the harness has no hold on the wearer

    Notes
    -----
    Motions share joints and straps, so excursions of motions made alone do not add up to that of the pose.

    Examples
    --------
    >>> from controlkit.mechanics import figure_of_eight
    >>> system = SingleControl(figure_of_eight(Wearer.average("male")))
    >>> apart = take_apart(system, Pose(arm_flexion=0.5, shoulder_elevation=0.3))
    >>> [round(share.angle, 1) for share in apart.shares], apart.summed < apart.pull.excursion.captured + 0.01
    ([0.5, 0.3], True)
    """
    rest = start or hanging(pose)
    made = [name for name in MOTIONS if getattr(pose, name) != getattr(rest, name)]
    alone = [replace(rest, **{name: getattr(pose, name)}) for name in made]
    *singles, together = (over or system.over)([*alone, pose])
    wearer = system.harness.wearer
    shares = (
        Share(name, getattr(pose, name) - getattr(rest, name), pull, device_moved(wearer, one, rest))
        for name, one, pull in zip(made, alone, singles, strict=True)
    )
    now, then = (joints(wearer, one)["device"] for one in (pose, rest))
    way = now - then
    return Apart(tuple(shares), together, moved=float(np.linalg.norm(way)), forward=float(way[0]), start=rest)
