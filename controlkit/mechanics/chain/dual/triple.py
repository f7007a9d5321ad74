"""Triple control: a cable each for lock, forearm and device, so that lifting takes nothing from opening."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.chain.dual.control import ELBOWS, DualControl
from controlkit.mechanics.chain.dual.results import Lifted, Opened
from controlkit.mechanics.device import VoluntaryOpening
from controlkit.mechanics.inputs import kind, within
from controlkit.units import deg

Array = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True)
class TripleControl:
    r"""A transhumeral triple-control system: lock, forearm and device have a cable each.

    .. math:: l_{open} = x(\psi, T) \quad \text{instead of} \quad x(\psi, T) - l(\varepsilon)

    Parameters
    ----------
    system : DualControl
        The same parts under dual control: harness, forearm, lift loop, device, cable, wearer
    girdle : float
        Scapular abduction of either side that helps to draw the device's cable [rad]

    Raises
    ------
    InputError
        If the scapulae would go further than 40 degrees

    Notes
    -----
    Assumptions, since no source says which motion feeds which cable: arm flexion draws the cable of the forearm; arm
    flexion and both scapulae draw that of the device, once the elbow is locked; the lock has its own strap or a nudge
    control, which is not computed. Each cable is fed by a control strap that lies as the one of dual control does,
    while the other hangs slack: the same tables of what the harness captures hold. The device's cable passes the elbow
    in a housing that is whole there and follows it round, so that no flexion takes any of it up; it rubs for that turn
    instead of at the ends of a split housing. One strap more on the same shoulder, and what a wearer must do to draw
    one cable and not the other, are left out. Scapulae alone, the arm hanging, hardly open anything here: at the
    device's pull the harness takes up what they give.

    Examples
    --------
    >>> from controlkit.mechanics import Wearer
    >>> from controlkit.mechanics.harness import above_elbow_eight
    >>> dual = DualControl(harness=above_elbow_eight(Wearer.average("female", level="transhumeral")))
    >>> opened = TripleControl(system=dual).open_locked([deg(30), deg(120)])
    >>> opened.taken_by_lift.tolist()
    [0.0, 0.0]
    """

    system: DualControl
    girdle: float = deg(20.0)

    def __post_init__(self) -> None:
        kind("The system", self.system, DualControl, "DualControl(harness=above_elbow_eight(wearer))")
        within("Scapular abduction", self.girdle, 0.0, deg(40.0), example="deg(20)", of="angle")

    def lift(self, elbow_flexion: Sequence[float] | Array = ELBOWS, load: float = 0.0, **angles: float) -> Lifted:
        """Lift the forearm from hanging by flexing the arm: nothing comes to the device, which cannot open first.

        Parameters
        ----------
        elbow_flexion : sequence of float
            Elbow angles asked for [rad], shape (angles,)
        load : float
            Mass in the device [kg]
        **angles : float
            Other angles of the pose, as in `Pose` [rad]

        Returns
        -------
        Lifted
            What it takes, how far the arm has to go, what stops it

        Raises
        ------
        InputError
            If an angle or the load is outside its range
        """
        lifted = self._forearm.lift(elbow_flexion, load, **angles)
        opening_force = self.system.device.force(0.0)
        return replace(lifted, device_force=np.zeros_like(lifted.lift_force), opening_force=opening_force)

    def open_locked(
        self, elbow_flexion: Sequence[float] | Array = ELBOWS, arm_flexion: float | None = None, **angles: float
    ) -> Opened:
        """Open the device by its own cable with the elbow locked.

        Parameters
        ----------
        elbow_flexion : sequence of float
            Elbow angles at which it is locked [rad], shape (angles,)
        arm_flexion : float, optional
            Arm flexion of the control motion; to the motion's end unless given [rad]
        **angles : float
            Other angles of the pose, as in `Pose`; both scapulae drawn by `girdle` unless any is given [rad]

        Returns
        -------
        Opened
            What there is for opening, and what that does; the lift takes none of it

        Raises
        ------
        InputError
            If an angle is outside its range
        """
        drawn = angles or {"scapular_abduction": self.girdle, "sound_scapular_abduction": self.girdle}
        return self._device.open_locked(elbow_flexion, arm_flexion, **drawn)

    @cached_property
    def _forearm(self) -> DualControl:
        """The forearm's cable: no device at its end."""
        return replace(self.system, device=_Elsewhere())

    @cached_property
    def _device(self) -> _DeviceCable:
        """The device's cable."""
        return _DeviceCable(**{field.name: getattr(self.system, field.name) for field in fields(self.system)})


class _Elsewhere(VoluntaryOpening):
    """A device that another cable works: no pull of this one opens it."""

    def force(self, travel: float) -> float:  # noqa: ARG002
        return float("inf")


@dataclass(frozen=True, kw_only=True)
class _DeviceCable(DualControl):
    """A cable whose housing is whole at the elbow: flexion takes none of it up, and turns it by itself."""

    def required(self, elbow_flexion: Array | float) -> Array:
        return np.full_like(np.asarray(elbow_flexion, dtype=float), self.cable.slack)

    def bends(self, elbow_flexion: Array | float) -> tuple[Array, Array]:
        flexion = np.asarray(elbow_flexion, dtype=float)
        return np.full_like(flexion, self.bend_above), self.bend_beyond + np.abs(flexion)
