"""A virtual bench on the wearer above the elbow: how far the arm must go, what opens, what holds the socket up."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np

from controlkit.mechanics.bench.dual.locking import try_lock
from controlkit.mechanics.bench.dual.table import LEAVES, DualBench
from controlkit.mechanics.bench.instruments import PAPER, RIGHT, InstrumentReading
from controlkit.mechanics.bench.worn import SLIPS, axial_load, dragged, ring_of
from controlkit.mechanics.body.pose import Pose
from controlkit.mechanics.chain.dual import DualControl, Lifted, LockStrap
from controlkit.mechanics.chain.dual.amplifier import without
from controlkit.mechanics.chain.positions import BOTH_FORWARD, POSITIONS
from controlkit.mechanics.elbow import ElbowLock
from controlkit.mechanics.harness.laws import CableLaw
from controlkit.mechanics.harness.motion import Followed, follow
from controlkit.mechanics.harness.outcomes import strap_slack
from controlkit.mechanics.harness.patterns.above_elbow import LATERAL_SUSPENSOR
from controlkit.mechanics.harness.patterns.eight import FRONT_STRAP
from controlkit.mechanics.inputs import kind
from controlkit.units import InputError, deg

FULL = deg(135.0)
"""Full flexion of the forearm [rad], as older lists have it, from memory."""
_EVERY = deg(5.0)  # in which the forearm is led up


@dataclass(frozen=True)
class WornDual:
    """A transhumeral prosthesis on its wearer.

    Parameters
    ----------
    system : DualControl
        What is measured
    near : WornDual, optional
        The same of a similar system on the same wearer; it makes this faster, never different

    Notes
    -----
    A pull that would take more than the wearer's strength is not made: the device then opens only as far as that goes.

    Examples
    --------
    >>> from controlkit.mechanics import DualControl, Wearer, above_elbow_eight
    >>> woman = Wearer.average("female", level="transhumeral")
    >>> worn = WornDual(DualControl(harness=above_elbow_eight(woman, ring_below_c7=0.05)))
    >>> worn.opens(RIGHT) < worn.opens(RIGHT, both=True), round(worn.opens(RIGHT, both=True), 9)
    (True, 1.0)
    """

    system: DualControl
    near: WornDual | None = field(default=None, repr=False, compare=False)

    def __post_init__(self) -> None:
        kind("The system", self.system, DualControl, "DualControl(harness=above_elbow_eight(wearer))")
        without(self.system.amplifier, "A bench")

    def turns(self, elbow: float, *, both: bool = False) -> float:
        """Arm flexion at which the forearm, lifted from its stop, comes past an angle.

        Parameters
        ----------
        elbow : float
            Elbow flexion waited for [rad]
        both : bool
            Whether both scapulae are forward meanwhile

        Returns
        -------
        float
            Arm flexion; the end of the motion if the forearm never gets there with the device shut [rad]

        Examples
        --------
        >>> from controlkit.mechanics import DualControl, Wearer, above_elbow_eight
        >>> woman = Wearer.average("female", level="transhumeral")
        >>> worn = WornDual(DualControl(harness=above_elbow_eight(woman, ring_below_c7=0.05)))
        >>> worn.turns(RIGHT, both=True) < worn.turns(RIGHT)
        True
        """
        lifted = self._lifted(both)
        reached = np.flatnonzero((lifted.elbow_flexion >= elbow - 1e-9) & lifted.lifts)
        end = self.system.furthest
        return min(float(lifted.arm_flexion[reached[0]]), end) if reached.size else end

    def bends_to(self, *, both: bool = True) -> float:
        """Elbow flexion to which the wearer brings the forearm, the device shut.

        Parameters
        ----------
        both : bool
            Whether both scapulae are forward meanwhile

        Returns
        -------
        float
            Of 0 to 135 degrees, in steps of 5; where it hangs if it does not come up [rad]
        """
        lifted = self._lifted(both)
        reached = lifted.elbow_flexion[lifted.lifts]
        return float(reached.max()) if reached.size else self.system.hangs_at

    def opens_while_lifting(self) -> float:
        """Movement of the fingertips while the wearer brings the forearm up to full flexion by arm flexion alone.

        Returns
        -------
        float
            Movement from rest; that under the greatest tension on the way, should it go on lifting [m]
        """
        on_the_way = self._lifted(both=False).device_force
        held = on_the_way[np.isfinite(on_the_way)]
        stuck = held.size < on_the_way.size
        return self.bench.moved(self.system.device.travel) if stuck else self.bench.gap(float(held.max()))

    def opens(self, elbow: float, *, arm_flexion: float | None = None, both: bool = False, away: float = 0.0) -> float:
        """How far the device opens with the elbow locked.

        Parameters
        ----------
        elbow : float
            Elbow angle at which it is locked [rad]
        arm_flexion : float, optional
            Arm flexion meanwhile; to the motion's end unless given [rad]
        both : bool
            Whether both scapulae are forward
        away : float
            Arm abduction meanwhile [rad]

        Returns
        -------
        float
            Share of the device's whole movement [-]
        """
        angles = {**(BOTH_FORWARD if both else {}), **({"arm_abduction": away} if away else {})}
        opened = self.system.open_locked([elbow], arm_flexion, **angles)
        rest = self.system.device.opening(0.0)
        strongest = self.bench.gap(self.system.strength.cable * self.bench.arrives(elbow))
        moved = min(abs(float(opened.opening[0]) - rest), strongest)
        return moved / self.bench.moved(self.system.device.travel)

    def at(self, position: str) -> Pose:
        """The pose of a functional position, the arm flexed no further than the control motion goes.

        Parameters
        ----------
        position : str
            Name of the position

        Returns
        -------
        Pose
            As in `POSITIONS`

        Raises
        ------
        InputError
            If there is no such position

        Examples
        --------
        >>> from controlkit.mechanics import DualControl, Wearer, above_elbow_eight
        >>> harness = above_elbow_eight(Wearer.average("female", level="transhumeral"))
        >>> WornDual(DualControl(harness=harness, furthest=deg(20))).at("mouth").arm_flexion == deg(20)
        True
        """
        if not isinstance(position, str) or position not in POSITIONS:
            named = ", ".join(f'"{name}"' for name in POSITIONS)
            raise InputError(given=f"The position was given as {position!r}.", do=f"Give one of {named}.")
        pose = POSITIONS[position]
        return replace(pose, arm_flexion=min(pose.arm_flexion, self.system.furthest))

    def opens_at(self, position: str) -> float:
        """How far the device opens at a functional position, the elbow locked at its angle, both scapulae forward.

        Parameters
        ----------
        position : str
            Name of the position

        Returns
        -------
        float
            Share of the device's whole movement [-]

        Notes
        -----
        The elbow is locked and cannot make up for the scapulae: they carry the device forward. Where the control motion
        ends before the position, the arm is flexed as far as it goes.

        Examples
        --------
        >>> from controlkit.mechanics import DualControl, Wearer, above_elbow_eight
        >>> woman = Wearer.average("female", level="transhumeral")
        >>> worn = WornDual(DualControl(harness=above_elbow_eight(woman, ring_below_c7=0.08)))
        >>> worn.opens_at("mouth") < worn.opens_at("fly") < worn.opens(RIGHT, both=True)
        True
        """
        pose = self.at(position)
        return self.opens(pose.elbow_flexion, arm_flexion=pose.arm_flexion, both=True, away=pose.arm_abduction)

    def generated_at(self, position: str) -> float:
        """What the motions generate at a functional position, both scapulae forward, if nothing gives way.

        Parameters
        ----------
        position : str
            Name of the position

        Returns
        -------
        float
            Cable [m]
        """
        pose = self.at(position)
        table = self.system.capture(**BOTH_FORWARD, arm_abduction=pose.arm_abduction)
        return float(table.gives(pose.arm_flexion))

    def needs_at(self, position: str, share: float) -> float:
        """Cable for flexing the elbow as at a functional position and opening the device there.

        Parameters
        ----------
        position : str
            Name of the position
        share : float
            Share of the device's whole movement [-]

        Returns
        -------
        float
            Cable [m]
        """
        device = self.system.device
        width = device.opening(0.0) + share * self.bench.moved(device.travel)
        return float(self.system.required(self.at(position).elbow_flexion)) + device.travel_for(width)

    def slip(self, load: float) -> tuple[float, float]:
        """How far the socket is dragged down by an axial pull, the elbow held straight, and what that opens.

        Parameters
        ----------
        load : float
            Pull along the hanging arm [N]

        Returns
        -------
        tuple of float
            Slip, 60 mm if the harness doesn't carry the load, and movement of the fingertips [m]

        Notes
        -----
        The straps alone carry, see `harness.suspension`; between two steps by proportion.

        Examples
        --------
        >>> from controlkit.mechanics import DualControl, Wearer, above_elbow_eight
        >>> woman = Wearer.average("female", level="transhumeral")
        >>> worn = WornDual(DualControl(harness=above_elbow_eight(woman, ring_below_c7=0.05)))
        >>> worn.slip(50.0)[0] < worn.slip(200.0)[0] < 0.06
        True
        """
        slip, travel = dragged(self.found, range(len(SLIPS)), load)
        return slip, self.bench.moved(min(travel, self.system.device.travel))

    def play(self, strap: str = LATERAL_SUSPENSOR) -> float:
        """Tape: how much of a strap can be drawn together between two fingers, the arm hanging.

        Parameters
        ----------
        strap : str
            Its name

        Returns
        -------
        float
            What hangs loose [m]
        """
        return strap_slack(self.found, self.found.asked[0])[strap]

    @cached_property
    def bench(self) -> DualBench:
        """The same prosthesis on the table."""
        return DualBench(self.system)

    @cached_property
    def found(self) -> Followed:
        """The socket dragged down step by step, the elbow straight; found once for all readings."""
        poses = [Pose(socket_slip=slip) for slip in SLIPS]
        return follow(self.system.harness, poses, self._straight, None if self.near is None else self.near.found)

    def _straight(self, _: Pose, strap_give: float) -> CableLaw:
        """Cable and device as the control strap feels them, the elbow held where it hangs."""
        system, arrives = self.system, self.bench.arrives(self.system.hangs_at)
        start, full = system.device.force(0.0) / arrives, system.device.force(system.device.travel) / arrives
        return CableLaw(
            stiffness=1.0 / (strap_give + system.cable.length / system.cable.stiffness),
            start=start,
            rise=(full - start) / system.device.travel,
            full=full,
            take_up=-system.cable.slack,
        )

    def _lifted(self, both: bool) -> Lifted:
        return self._both if both else self._alone

    @cached_property
    def _alone(self) -> Lifted:
        return self.system.lift(self._way)

    @cached_property
    def _both(self) -> Lifted:
        return self.system.lift(self._way, **BOTH_FORWARD)

    @property
    def _way(self) -> list[float]:
        leaves = self.system.hangs_at + LEAVES
        return [leaves, *(float(at) for at in np.arange(_EVERY, FULL + 1e-9, _EVERY) if at > leaves + 1e-9)]


@dataclass(frozen=True)
class FittedDual:
    """A transhumeral prosthesis with dual control and an elbow lock, as it leaves the bench.

    Parameters
    ----------
    system : DualControl
        Prosthesis, harness and wearer
    lock : ElbowLock, optional
        The elbow lock; 11 positions from where the forearm hangs unless given
    strap : LockStrap
        Its strap

    Examples
    --------
    >>> from controlkit.mechanics import Wearer, above_elbow_eight
    >>> woman = Wearer.average("female", level="transhumeral")
    >>> len(FittedDual(DualControl(harness=above_elbow_eight(woman))).catch.positions)
    11
    """

    system: DualControl
    lock: ElbowLock | None = None
    strap: LockStrap = LockStrap()

    def __post_init__(self) -> None:
        kind("The system", self.system, DualControl, "DualControl(harness=above_elbow_eight(wearer))")
        kind("The lock", self.catch, ElbowLock, "ElbowLock.evenly(11)")
        kind("The lock's strap", self.strap, LockStrap, "LockStrap(let_out=mm(5))")

    @property
    def catch(self) -> ElbowLock:
        """The lock of the elbow."""
        return ElbowLock.from_stop(self.system.hangs_at) if self.lock is None else self.lock


def symptoms_above(fitted: FittedDual, near: WornDual | None = None) -> dict[str, InstrumentReading]:
    """Everything that the bench reads on a system with dual control.

    Parameters
    ----------
    fitted : FittedDual
        A prosthesis, healthy or not
    near : WornDual, optional
        The same of a similar system on its wearer; it makes this faster, never different

    Returns
    -------
    dict
        Readings by short name

    Examples
    --------
    >>> from controlkit.mechanics import DualControl, Wearer, above_elbow_eight
    >>> woman = Wearer.average("female", level="transhumeral")
    >>> print(symptoms_above(FittedDual(DualControl(harness=above_elbow_eight(woman))))["device"])
    Pull at the device, begins to move: 47.3 N (10.6 lbf)
    """
    kind("The prosthesis", fitted, FittedDual, "FittedDual(DualControl(harness=above_elbow_eight(wearer)))")
    system = fitted.system
    worn, tried = WornDual(system, near), try_lock(system.harness, fitted.catch, fitted.strap)
    bench, middle = worn.bench, deg(45.0)
    whole = bench.moved(system.device.travel) - PAPER
    (below, aside), (slip, opened) = ring_of(worn.found), worn.slip(axial_load(system))
    leaves, tips = system.hangs_at + LEAVES, bench.moved(system.device.travel)
    read = {
        "device": ("Pull at the device, begins to move", bench.at_device(), "force"),
        "device whole": ("Pull at the device, moved all the way", bench.at_device(whole), "force"),
        "hanger": ("Pull at the hanger, begins to open, elbow locked at 90", bench.at_hanger(RIGHT), "force"),
        "hanger bent": ("Pull at the hanger, begins to open, elbow locked at 135", bench.at_hanger(FULL), "force"),
        "leaves": ("Pull at the hanger, forearm leaves its stop", bench.lifts(leaves), "force"),
        "lift": ("Pull at the hanger, forearm goes past 45 degrees", bench.lifts(middle), "force"),
        "lift 90": ("Pull at the hanger, forearm goes past 90 degrees", bench.lifts(RIGHT), "force"),
        "lift full": ("Pull at the hanger, forearm comes to 135 degrees", bench.lifts(FULL), "force"),
        "weight": ("Pull at the wrist that carries the forearm level", bench.weighs(), "force"),
        "live": ("Weight that slips from the device, elbow held at 90 by the cable", bench.live(RIGHT), "force"),
        "drawn": ("Hanger drawn until the forearm is at 90", bench.drawn(RIGHT), "length"),
        "drawn full": ("Hanger drawn until the forearm is at 135", bench.drawn(FULL), "length"),
        "lever straight": ("Elbow axis to the cable, elbow straight", bench.lever(0.0), "length"),
        "lever": ("Elbow axis to the cable, elbow at 90", bench.lever(RIGHT), "length"),
        "hangs": ("Elbow angle at which the forearm hangs", bench.hangs(), "angle"),
        "lifting opens": ("Fingertips moved while the forearm is brought up", worn.opens_while_lifting(), "length"),
        "turn leaves": ("Arm flexion at which the forearm leaves its stop", worn.turns(leaves), "angle"),
        "turn": ("Arm flexion that brings the forearm to 90", worn.turns(RIGHT), "angle"),
        "turn both": ("The same to 135, both scapulae forward", worn.turns(FULL, both=True), "angle"),
        "opens": ("Fingertips moved, locked at 90, arm flexion alone", tips * worn.opens(RIGHT), "length"),
        "opens bent": ("Fingertips moved, locked at 135, both scapulae", tips * worn.opens(FULL, both=True), "length"),
        "ring": ("C7 to the ring", below, "length"),
        "ring aside": ("Ring to the spine", aside, "length"),
        "play": ("Lateral suspensor drawn together between two fingers", worn.play(), "length"),
        "play front": ("Front support strap drawn together likewise", worn.play(FRONT_STRAP), "length"),
        "lock": ("Lock cable drawn by the lock motion", tried.motion.travel, "length"),
        "lock idle": ("Lock cable drawn by the arm's swing back", tried.walked, "length"),
        "slip": ("Socket dragged down by the axial load", slip, "length"),
        "slip light": ("Socket dragged down by a third of that", worn.slip(axial_load(system) / 3.0)[0], "length"),
        "slip opens": ("Fingertips moved by the axial load", opened, "length"),
    }
    return {name: InstrumentReading(*one) for name, one in read.items()}
