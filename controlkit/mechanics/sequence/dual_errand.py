"""An errand above the elbow with dual control: where the elbow stands, what its lock and each stage take."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.chain.dual import DualControl, LockStrap, lock_motions
from controlkit.mechanics.chain.dual.amplifier import without
from controlkit.mechanics.chain.positions import BOTH_FORWARD
from controlkit.mechanics.elbow import ElbowLock, ElbowState, Pulled
from controlkit.mechanics.elbow.lift import CHECKED
from controlkit.mechanics.inputs import kind, within
from controlkit.mechanics.sequence.amounts import CLEARANCE, TABLE
from controlkit.mechanics.sequence.dual_lock import from_hanging, lock_table
from controlkit.mechanics.sequence.dual_reach import FINE, DualReach, Reached, posture
from controlkit.mechanics.sequence.records import LockWork, Told
from controlkit.mechanics.sequence.turned import TURNED
from controlkit.units import InputError, deg, show

Array = NDArray[np.float64]

SWUNG = deg(45.0)
"""How far the turntable is turned away by the task before [rad]. Assumption."""
UPRIGHT = deg(110.0)
"""Elbow flexion that brings the device to the height of the mouth, the arm flexed by the control motion: the forearm
then stands nearly upright [rad]. Assumption."""
LOW, OVER_TABLE, AT_TABLE, OVER_MOUTH, AT_MOUTH = (
    "low",
    "lifted to the table",
    "at the table",
    "lifted to the mouth",
    "at the mouth",
)
"""Where the elbow can stand: lifted on the cable, or at the lock's position below that."""
_HELD: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {"taut": (OVER_TABLE, AT_TABLE, OVER_MOUTH, AT_MOUTH), "pulled": (LOW, AT_TABLE, AT_MOUTH)}
)
"""Where the elbow can stand while the cable bears the forearm, and while it holds the device open."""
_FROM = {(AT_TABLE, False): LOW, (OVER_TABLE, False): LOW, (AT_MOUTH, True): AT_TABLE, (OVER_MOUTH, True): AT_TABLE}
"""From where a forearm, empty or not, has been lifted to a place."""
PLACES = LOW, OVER_TABLE, AT_TABLE, OVER_MOUTH, AT_MOUTH
"""All of them."""


@dataclass(frozen=True, kw_only=True)
class DualErrand:
    """Grasp an object at the table, hold it at the mouth, put it back: with dual control and an elbow lock.

    Parameters
    ----------
    system : DualControl
        Harness, cable, forearm, device, strength
    lock : ElbowLock, optional
        Of the elbow; 11 positions from where the forearm hangs unless given
    strap : LockStrap
        Of the lock
    width : float
        Width of the object [m]
    load : float
        Its mass [kg]
    table, mouth : float
        Elbow flexion to which the forearm is lifted [rad]
    turned : float
        How far the wrist is turned away from the object at first [rad]
    swung : float
        How far the turntable is turned away from it [rad]
    rubbing : float
        Friction of the object between the fingers. Assumption, as for a live lift [-]

    Raises
    ------
    InputError
        If a number is outside its range, or no lock position lies where the errand needs one

    Notes
    -----
    Where the forearm hangs on its stop the lock holds it as well. An object between the fingers keeps the device's
    lever pulled: its part of the cable hangs slack, and must be taken up before the forearm lifts. The object's weight
    acts at the device's centre, as in a lift. Arm flexion is tried alone, and with both scapulae if it falls short.
    Where the motion would lean the forearm back past the upright its own weight flexes it, and the cable no longer
    says where it stands: lifting ends there. The lock is worked from hanging where the cable is slack; where it holds
    the forearm, so that the lift cable stays drawn as far as it is.

    Examples
    --------
    >>> from controlkit.mechanics import DualControl, Wearer, above_elbow_eight
    >>> harness = above_elbow_eight(Wearer.average("female", level="transhumeral"), support_strap=0.016)
    >>> woman = DualErrand(system=DualControl(harness=harness))
    >>> [round(float(np.rad2deg(woman.flexion[where]))) for where in (LOW, OVER_TABLE, AT_TABLE)]
    [10, 70, 60]
    >>> round(float(np.rad2deg(woman.climb(LOW, OVER_TABLE).arm_flexion)))
    43
    """

    system: DualControl
    lock: ElbowLock | None = None
    strap: LockStrap = LockStrap()
    width: float = 0.03
    load: float = 0.1
    table: float = TABLE.elbow_flexion
    mouth: float = UPRIGHT
    turned: float = TURNED
    swung: float = SWUNG
    rubbing: float = 0.4

    def __post_init__(self) -> None:
        kind("The system", self.system, DualControl, "DualControl(harness=above_elbow_eight(wearer))")
        without(self.system.amplifier, "An operating sequence")
        if self.lock is not None:
            kind("The lock", self.lock, ElbowLock, "ElbowLock.evenly(11)")
        full = self.system.device.full_opening
        within("The width of the object", self.width, 1e-3, full, example="mm(30)", of="length")
        within("The mass of the object", self.load, 0.0, 10.0, example="0.1", unit=" kg")
        within("The table's elbow flexion", self.table, 0.0, CHECKED[1], example="deg(70)", of="angle")
        within("The mouth's elbow flexion", self.mouth, 0.0, CHECKED[1], example="deg(110)", of="angle")
        within("The turn of the wrist", self.turned, 0.0, deg(90.0) + 1e-6, example="deg(60)", of="angle")
        within("The turn of the turntable", self.swung, 0.0, deg(180.0), example="deg(45)", of="angle")
        within("The friction of the object", self.rubbing, 0.0, 2.0, example="0.4")
        if not self.rest + 1e-6 < self.table < self.mouth:
            raise InputError(
                given=f"The forearm hangs at {show(self.rest, 'angle')}; the table was given as "
                f"{show(self.table, 'angle')}, the mouth as {show(self.mouth, 'angle')}.",
                do="Give a table above where the forearm hangs, and a mouth above the table.",
            )
        low, high = self._sunk(self.table), self._sunk(self.mouth)
        if not self.rest + 1e-6 < low < high:
            shown = ", ".join(show(at, "angle", digits=0) for at in self.catch.positions)
            raise InputError(
                given=f"The lock's positions are {shown}: locked at the table the forearm would sink to "
                f"{show(low, 'angle', digits=0)}, locked at the mouth to {show(high, 'angle', digits=0)}.",
                do="Give a lock with a position between hanging and table, and another between table and mouth.",
            )

    @cached_property
    def catch(self) -> ElbowLock:
        """The lock of the elbow."""
        return ElbowLock.from_stop(self.system.hangs_at) if self.lock is None else self.lock

    @cached_property
    def rest(self) -> float:
        """Where the forearm hangs with the cable slack: on its stop, or on its spring [rad]."""
        falls = np.arange(self.system.hangs_at, CHECKED[1], 0.1 * FINE)
        held = falls[self._reaching.weight(falls, 0.0, carried=False) <= 0.0]
        return float(held[-1]) if len(held) else self.system.hangs_at

    @cached_property
    def flexion(self) -> Mapping[str, float]:
        """Elbow flexion by where the elbow stands [rad]."""
        low, high = self._sunk(self.table), self._sunk(self.mouth)
        return {
            LOW: self.rest,
            OVER_TABLE: float(self.table),
            AT_TABLE: low,
            OVER_MOUTH: float(self.mouth),
            AT_MOUTH: high,
        }

    def lifted_to(self, over: str) -> str:
        """Where the elbow stands once lifted: at a lock position if there is one just there, else above it.

        Parameters
        ----------
        over : str
            `OVER_TABLE` or `OVER_MOUTH`

        Returns
        -------
        str
            That, or the position's name
        """
        _known("The place to which the forearm is lifted", over, (OVER_TABLE, OVER_MOUTH))
        at = {OVER_TABLE: AT_TABLE, OVER_MOUTH: AT_MOUTH}[over]
        return over if self.flexion[over] - self.flexion[at] > 1e-6 else at

    def lock_work(self, where: str, cable: str, *, carried: bool = False) -> tuple[LockWork, Told]:
        """What it takes to work the lock.

        Parameters
        ----------
        where : str
            Where the elbow stands
        cable : str
            "slack", "taut" with the forearm's weight, or "pulled" to hold the device open
        carried : bool
            Whether the device holds the object

        Returns
        -------
        work : LockWork
            The smallest motion that does, or what comes nearest
        short : Told
            Why it does not do; nothing if it does
        """
        _known("The cable", cable, ("slack", *_HELD))
        _known("The elbow's place", where, _HELD.get(cable, PLACES), when=f" while the cable is {cable}")
        return self._from_hanging if cable == "slack" else self._locking[where, cable, carried and cable == "taut"]

    @cached_property
    def _from_hanging(self) -> tuple[LockWork, Told]:
        """The lock worked with the arm hanging, the lift cable slack."""
        return from_hanging(self.system.harness, self.catch, self.strap)

    @cached_property
    def _locking(self) -> Mapping[tuple[str, str, bool], tuple[LockWork, Told]]:
        """The lock worked while the lift cable stays drawn."""
        held = {
            (where, "taut", carried): self.hold(where, carried=carried)
            for where in _HELD["taut"]
            for carried in (False, True)
        }
        held |= {(where, "pulled", False): self.open(where) for where in _HELD["pulled"]}
        poses = [posture(one) for one in held.values()]
        before = lock_motions(self.system.harness, self.catch, poses, self.strap)
        table = lock_table(self.system.harness, self.catch, self.strap)
        return {
            asked: table.held(one.generated, one.harness_force, max(-motion.lengthening, 0.0))
            for (asked, one), motion in zip(held.items(), before, strict=True)
        }

    @property
    def reach(self) -> float:
        """Elbow axis to the device's centre [m]."""
        return self.system.lifted_forearm.pieces[-1].centre

    @property
    def wanted(self) -> float:
        """Opening that passes the object [m]."""
        return min(self.width + CLEARANCE, self.system.device.full_opening)

    def pull_lock(self, where: str, *, locked: bool, moment: float = 0.0) -> Pulled:
        """Work the lock's cable far and hard enough.

        Parameters
        ----------
        where : str
            Where the elbow stands
        locked : bool
            Whether it is locked
        moment : float
            On the lock [N m]

        Returns
        -------
        Pulled
            What that does
        """
        state = ElbowState(locked, self._at(where))
        travel, force = self.catch.travel, self.catch.force
        return self.catch.pull(state, travel=travel, force=force, moment=moment, stop=self.rest)

    def on_lock(self, where: str, *, carried: bool, tension: float = 0.0, arm_flexion: float = 0.0) -> float:
        """Moment that the lock bears.

        Parameters
        ----------
        where : str
            Where the elbow stands
        carried : bool
            Whether the object hangs in the device
        tension : float
            Of the cable at the lift loop [N]
        arm_flexion : float
            Inclination of the upper arm [rad]

        Returns
        -------
        float
            Positive where it keeps the forearm from sinking [N m]
        """
        flexion = np.array([self._at(where)])
        arm = float(self.system.line.moment_arm(flexion)[0])
        return float(self._reaching.weight(flexion, arm_flexion, carried=carried)[0]) - tension * arm

    def falls(self, where: str, to: str = LOW) -> tuple[float, float]:
        """How far forearm and device drop between two places.

        Parameters
        ----------
        where, to : str
            Where the elbow stands, before and after

        Returns
        -------
        tuple of float
            Angle of the forearm [rad], straight way of the device [m]
        """
        drop = self._at(where) - self._at(to)
        return drop, 2.0 * self.reach * abs(float(np.sin(0.5 * drop)))

    def climb(self, start: str, goal: str, *, carried: bool = False) -> Reached:
        """Lift the forearm from one place to another, the elbow unlocked.

        Parameters
        ----------
        start, goal : str
            Where the elbow stands, before and after
        carried : bool
            Whether the device holds the object

        Returns
        -------
        Reached
            At the goal, with the largest force on the way

        Raises
        ------
        InputError
            If there is no such place, or the goal is not above the start
        """
        low, high = self._at(start), self._at(goal)
        if not low < high:
            raise InputError(
                given=f"A lift was asked from “{start}” to “{goal}”: from {show(low, 'angle')} to "
                f"{show(high, 'angle')}.",
                do="Give a goal above the start; hold() says what holds the forearm where it is.",
            )
        way = np.append(np.arange(low, high - 1e-9, FINE), high)
        way[0] += 1e-3 * FINE if start == LOW else 0.0  # off the stop, which bears the weight itself
        return self._kept(("climb", start, goal, carried), way)

    def hold(self, where: str, *, carried: bool = False) -> Reached:
        """Take the weight of the forearm on the cable, with the scapulae as they came there.

        Parameters
        ----------
        where : str
            Where the elbow stands
        carried : bool
            Whether the device holds the object

        Returns
        -------
        Reached
            What holds it there
        """
        flexion, start = self._at(where), _FROM.get((where, carried))
        both = start is not None and self.climb(start, where, carried=carried).scapulae > 0.0
        return self._kept(("hold", where, where, carried), np.array([flexion]), both=both)

    def open(self, where: str) -> Reached:
        """Open the device as far as the object needs, the elbow locked.

        Parameters
        ----------
        where : str
            Where the elbow stands

        Returns
        -------
        Reached
            What that takes
        """
        _known("The elbow's place", where, PLACES)
        asked = "open", where, where, False, False
        if asked not in self._found:
            alone = self._reaching.open(self._at(where), both=False)
            self._found[asked] = self._reaching.open(self._at(where), both=True) if alone.short else alone
        return self._found[asked]

    def opens_at_most(self, where: str, arm_flexion: float | None = None, *, both: bool = True) -> float:
        """How far the device opens at a locked elbow, with what excursion and strength are there.

        Parameters
        ----------
        where : str
            Where the elbow stands
        arm_flexion : float, optional
            To which the arm goes; to the motion's end unless given [rad]
        both : bool
            Whether both scapulae help

        Returns
        -------
        float
            Distance of the fingertips [m]
        """
        system = self.system
        far = None if arm_flexion is None else min(arm_flexion, system.furthest)
        done = system.open_locked([self._at(where)], arm_flexion=far, **(BOTH_FORWARD if both else {}))
        above, beyond = system.bends(self._at(where))
        bears = system.strength.cable * float(np.exp(-system.cable.friction * (above + beyond)))
        strong = [w for w in np.linspace(0.0, float(done.opening[0]), 50) if self._reaching.asks(float(w)) <= bears]
        return float(strong[-1]) if strong else 0.0

    def left(self, where: str) -> float:
        """Excursion that is left for opening at a locked elbow, both scapulae forward [m].

        Parameters
        ----------
        where : str
            Where the elbow stands

        Returns
        -------
        float
            Excursion [m]
        """
        return self._reaching.left(self._at(where))

    def rises(self, where: str) -> tuple[float, float]:
        """How far the pull that would open the device flexes a free elbow instead.

        Parameters
        ----------
        where : str
            Where the elbow stands

        Returns
        -------
        tuple of float
            Angle, up to where lifts are computed [rad]; the cable's travel [m]
        """
        start, travel = self._at(where), self.system.device.travel_for(self.wanted)
        way = np.arange(start, CHECKED[1], 0.1 * FINE)
        taken = np.asarray(self.system.line.travel(way, start))
        return float(np.interp(travel, np.maximum.accumulate(taken), way)) - start, travel

    @cached_property
    def _reaching(self) -> DualReach:
        """What lifts, holds and opens for this errand."""
        return DualReach(
            system=self.system,
            width=self.width,
            wanted=self.wanted,
            load=self.load,
            reach=self.reach,
            rubbing=self.rubbing,
        )

    @cached_property
    def _found(self) -> dict[tuple[str, str, str, bool, bool], Reached]:
        """Answers found so far, by question, both places, load and scapulae: the same as found anew, only sooner."""
        return {}

    def _at(self, where: str) -> float:
        """Elbow flexion at a place [rad]."""
        _known("The elbow's place", where, PLACES)
        return self.flexion[where]

    def _sunk(self, flexion: float) -> float:
        """Where the forearm comes to rest when it is locked and the cable eased."""
        return self.catch.sunk(float(flexion), self.rest)

    def _kept(self, question: tuple[str, str, str, bool], way: Array, *, both: bool = False) -> Reached:
        """The answer along a way, found once: with the arm alone if that is enough."""
        asked, carried = (*question, both), question[3]
        if asked not in self._found:
            tried = self._reaching.along(way, carried=carried, both=both)
            self._found[asked] = (
                self._reaching.along(way, carried=carried, both=True) if tried.short and not both else tried
            )
        return self._found[asked]


def _known(what: str, given: str, allowed: tuple[str, ...], *, when: str = "") -> None:
    """Refuse a name that is none of those allowed."""
    if not isinstance(given, str) or given not in allowed:
        raise InputError(given=f"{what} was given as {given!r}.", allowed=f"Allowed{when}: {', '.join(allowed)}.")
