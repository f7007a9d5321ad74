"""A virtual bench on the wearer: what the harness does to the device, read with tape and goniometer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property, lru_cache

import numpy as np

from controlkit.mechanics.bench.instruments import BENT, PAPER, RIGHT, STRAIGHT, Bench, InstrumentReading, creep
from controlkit.mechanics.body.pose import Pose
from controlkit.mechanics.body.remembered import built
from controlkit.mechanics.chain.dual import DualControl
from controlkit.mechanics.chain.positions import POSITIONS, on_command
from controlkit.mechanics.chain.single import SingleControl
from controlkit.mechanics.harness.laws import CableLaw
from controlkit.mechanics.harness.layout import CONTROL
from controlkit.mechanics.harness.motion import Followed, follow
from controlkit.mechanics.harness.pattern import Harness
from controlkit.mechanics.harness.suspension import carried
from controlkit.sources import source
from controlkit.units import kgf

FLEXED = tuple(float(np.deg2rad(angle)) for angle in range(0, 91, 15))
"""Arm flexion through which the wearer is led [rad]."""
TRIED = ("table", "mouth", "fly")
"""Functional positions in which the device is tried."""
DRAW = 50.0
"""Pull at the unhooked hanger with which the harness is tried [N]."""
SLIPS = (0.0, 0.010, 0.020, 0.025, 0.030, 0.040, 0.050, 0.060)
"""Steps in which the socket is dragged down; 60 mm is as far as it is tried [m]."""
_LONGEST = 0.25  # [m] as far as a hanger is drawn by hand


@dataclass(frozen=True)
class WornBench:
    """A prosthesis on its wearer.

    Parameters
    ----------
    system : SingleControl
        What is measured
    near : Followed, optional
        `found` of a similar system; it makes that faster, never different

    Notes
    -----
    The motion follows the same fixed rule as all other results. A pull that would take more than the
    wearer's strength is not made: the device then moves only as far as the strength goes.

    Examples
    --------
    >>> from controlkit.mechanics import SingleControl, Wearer, figure_of_eight
    >>> worn = WornBench(SingleControl(figure_of_eight(Wearer.average("male"))))
    >>> worn.best(RIGHT), worn.gap(Pose())
    (1.0, 0.0)
    """

    system: SingleControl
    near: Followed | None = field(default=None, repr=False, compare=False)

    def gap(self, pose: Pose) -> float:
        """Movement of the fingertips in a pose.

        Parameters
        ----------
        pose : Pose
            One of those through which the wearer is led

        Returns
        -------
        float
            Movement from rest [m]

        Examples
        --------
        >>> from controlkit.mechanics import SingleControl, Wearer, figure_of_eight
        >>> worn = WornBench(SingleControl(figure_of_eight(Wearer.average("female"))))
        >>> worn.gap(worn.on_command("mouth")) > 0.08
        True
        """
        return self._gap(self.found, self._poses.index(pose))

    def on_command(self, position: str) -> Pose:
        """A functional position in which both scapulae are brought forward and the device is held.

        Parameters
        ----------
        position : str
            Its name

        Returns
        -------
        Pose
            One of those through which the wearer is led

        Examples
        --------
        >>> from controlkit.mechanics import SingleControl, Wearer, figure_of_eight
        >>> WornBench(SingleControl(figure_of_eight(Wearer.average("male")))).on_command("fly").arm_flexion < 0.0
        True
        """
        return on_command(self.system.harness.wearer, POSITIONS[position]).pose

    def best(self, elbow: float) -> float:
        """Largest movement of the fingertips while the arm is led from hanging to 90 degrees.

        Parameters
        ----------
        elbow : float
            Elbow flexion meanwhile [rad]

        Returns
        -------
        float
            Share of the device's whole movement [-]

        Examples
        --------
        >>> from controlkit.mechanics import SingleControl, Wearer, figure_of_eight
        >>> WornBench(SingleControl(figure_of_eight(Wearer.average("male")))).best(STRAIGHT)
        1.0
        """
        led = self._led(elbow)
        found = follow(self.system.harness, led, self.system.law, self.found)
        return max(self._gap(found, k) for k in range(len(led))) / self.bench.moved(self.system.device.travel)

    def turn(self, share: float, elbow: float) -> float:
        """Arm flexion through which the arm is led until the device has moved so far.

        Parameters
        ----------
        share : float
            Share of the device's whole movement waited for [-]
        elbow : float
            Elbow flexion meanwhile: 0 or 135 degrees [rad]

        Returns
        -------
        float
            Arm flexion, between two steps by proportion; 90 degrees if it never does [rad]

        Examples
        --------
        >>> from controlkit.mechanics import SingleControl, Wearer, figure_of_eight
        >>> 0.8 < WornBench(SingleControl(figure_of_eight(Wearer.average("male")))).turn(0.5, STRAIGHT) < 1.0
        True
        """
        gaps = [self.gap(pose) for pose in self._led(elbow)]
        wanted = share * self.bench.moved(self.system.device.travel)
        k = next((k for k, gap in enumerate(gaps) if gap >= wanted), None)
        if k is None or k == 0:
            return FLEXED[-1] if k is None else FLEXED[0]
        part = (wanted - gaps[k - 1]) / (gaps[k] - gaps[k - 1])
        return FLEXED[k - 1] + part * (FLEXED[k] - FLEXED[k - 1])

    def slack(self) -> float:
        """How far the hanger is drawn by hand, arm hanging and ring held, until the device moves.

        Returns
        -------
        float
            First draw at which it has; nothing if the device stands open already [m]

        Examples
        --------
        >>> from controlkit.mechanics import SingleControl, Wearer, figure_of_eight
        >>> WornBench(SingleControl(figure_of_eight(Wearer.average("male")))).slack() < 0.006
        True
        """
        law, length = self.found.law.pick(np.array([0])), self.found.net.length[CONTROL, :1]
        arrives = self.system.line(STRAIGHT).efficiency

        def moved(draw: float) -> bool:
            return self.bench.gap(float(law.pull(length + draw)[0][0]) * arrives) >= PAPER

        return creep(moved, 0.01, 0.0005, _LONGEST)

    def comes(self) -> float:
        """How far the unhooked hanger comes from where it lies snug when it is drawn with 50 N.

        Returns
        -------
        float
            Tape along the cable's line [m]

        Examples
        --------
        >>> from controlkit.mechanics import SingleControl, Wearer, figure_of_eight
        >>> 0.04 < WornBench(SingleControl(figure_of_eight(Wearer.average("male")))).comes() < 0.05
        True
        """
        return _comes(
            replace(self.system.harness, control_strap=self.system.harness.pattern.limits["control_strap"][0])
        )

    def ring(self) -> tuple[float, float]:
        """Tape from the ring up to the height of C7, and from the ring to the spine, arm hanging.

        Returns
        -------
        tuple of float
            Both distances [m]

        Examples
        --------
        >>> from controlkit.mechanics import SingleControl, Wearer, figure_of_eight
        >>> [round(d, 3) for d in WornBench(SingleControl(figure_of_eight(Wearer.average("male")))).ring()]
        [0.025, 0.025]
        """
        return ring_of(self.found)

    def slip(self, load: float) -> tuple[float, float]:
        """How far the socket is dragged down by an axial pull, and what that does to the device.

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
        >>> from controlkit.mechanics import SingleControl, Wearer, figure_of_eight
        >>> worn = WornBench(SingleControl(figure_of_eight(Wearer.average("male"))))
        >>> 0.02 < worn.slip(222.0)[0] < 0.06
        True
        """
        first = self._poses.index(Pose())
        asked = [first if slip == 0.0 else self._poses.index(Pose(socket_slip=slip)) for slip in SLIPS]
        slip, travel = dragged(self.found, asked, load)
        return slip, self.bench.moved(travel)

    @cached_property
    def bench(self) -> Bench:
        """The same prosthesis on the table."""
        return Bench(self.system)

    def _gap(self, found: Followed, asked: int) -> float:
        at = found.asked[asked]
        arrives = self.system.line(found.poses[at].elbow_flexion).efficiency
        strongest = self.bench.gap(self.system.strength.cable * arrives)
        return min(self.bench.moved(float(found.travel[at])), strongest)

    def _led(self, elbow: float) -> tuple[Pose, ...]:
        return tuple(Pose(arm_flexion=flexion, elbow_flexion=elbow) for flexion in FLEXED)

    @cached_property
    def _poses(self) -> tuple[Pose, ...]:
        led = (pose for elbow in (STRAIGHT, BENT) for pose in self._led(elbow))
        dragged = (Pose(socket_slip=slip) for slip in SLIPS[1:])
        return (*led, *(POSITIONS[name] for name in TRIED), *(self.on_command(name) for name in TRIED), *dragged)

    @cached_property
    def found(self) -> Followed:
        """The motion through which the wearer is led, followed once for all readings."""
        return follow(self.system.harness, self._poses, self.system.law, self.near)


@lru_cache(maxsize=64)
def _comes(unhooked: Harness) -> float:
    def drawn(_: Pose, give: float) -> CableLaw:
        return CableLaw(stiffness=1.0 / give, start=DRAW, rise=0.0, full=DRAW)

    found = follow(unhooked, [Pose()], drawn)
    snug = float(found.donned.length[CONTROL])
    return snug - float(found.net.length[CONTROL, 0]) + float(found.law.stretch(np.array([DRAW]))[0])


def ring_of(found: Followed) -> tuple[float, float]:
    """Tape from the ring up to the height of C7, and from the ring to the spine, at the first station [m]."""
    ring, shape = found.net.ring[0], built(found.harness.wearer)
    return float(shape.height["c7"][0] - ring[1]), abs(float(ring[2]))


def dragged(found: Followed, asked: Sequence[int], load: float) -> tuple[float, float]:
    """Slip of the socket under a load, and travel of the cable there, from poses asked for at `SLIPS` [m]."""
    carries, travel = carried(found)[list(asked)], found.travel[[found.asked[k] for k in asked]]
    slip = float(np.interp(load, np.maximum.accumulate(carries), SLIPS))
    return slip, float(np.interp(slip, SLIPS, travel))


def axial_load(system: SingleControl | DualControl) -> float:
    """Pull of the axial load test [N]: 50 lb or a third of body weight; that the lesser is meant is an assumption."""
    return min(source("checkout_axial_load").si, kgf(system.harness.wearer.mass) / 3.0)


def symptoms(system: SingleControl, near: Followed | None = None) -> dict[str, InstrumentReading]:
    """Everything that the bench reads on a system.

    Parameters
    ----------
    system : SingleControl
        A system, healthy or not
    near : Followed, optional
        `found` of a similar system on its wearer; it makes this faster, never different

    Returns
    -------
    dict
        Readings by short name

    Notes
    -----
    Every reading but the tape along the cable is found by moving something until something else moves.

    Examples
    --------
    >>> from controlkit.mechanics import SingleControl, Wearer, figure_of_eight
    >>> print(symptoms(SingleControl(figure_of_eight(Wearer.average("male"))))["device"])
    Pull at the device, begins to move: 28.4 N (6.4 lbf)
    """
    worn, bench = WornBench(system, near), Bench(system)
    whole = bench.moved(system.device.travel) - PAPER
    (below, aside), (slip, opened) = worn.ring(), worn.slip(axial_load(system))
    read = {
        "device": ("Pull at the device, begins to move", bench.at_device(), "force"),
        "device whole": ("Pull at the device, moved all the way", bench.at_device(whole), "force"),
        "hanger straight": ("Pull at the hanger, elbow straight", bench.at_hanger(STRAIGHT), "force"),
        "hanger bent": ("Pull at the hanger, elbow at 135 degrees", bench.at_hanger(BENT), "force"),
        "hanger whole": ("Pull at the hanger, moved all the way, elbow at 90", bench.at_hanger(RIGHT, whole), "force"),
        "back": ("Pull at the hanger that lets it go back, elbow at 90", bench.let_back(RIGHT), "force"),
        "hold": ("Pull at the wrist that keeps the elbow still", bench.hold(), "force"),
        "cable": ("Tape along the cable, hanger to device", system.cable.length + system.cable.slack, "length"),
        "housing": ("Elbow axis to the housing, elbow at 90", bench.to_housing(), "length"),
        "elbow": ("Elbow flexion where the forearm stops", bench.bends_to(BENT), "angle"),
        "rest": ("Fingertips apart at rest", worn.gap(Pose()), "length"),
        "rest bent": ("Fingertips moved when the elbow is bent at rest", worn.gap(Pose(elbow_flexion=BENT)), "length"),
        "slack": ("Draw of the hanger until the device moves", worn.slack(), "length"),
        "comes": ("Unhooked hanger drawn with 50 N comes", worn.comes(), "length"),
        "ring": ("C7 to the ring", below, "length"),
        "ring aside": ("Ring to the spine", aside, "length"),
        "slip": ("Socket dragged down by the axial load", slip, "length"),
        "slip opens": ("Fingertips moved by the axial load", opened, "length"),
        "turn straight": ("Arm flexion to half way, elbow straight", worn.turn(0.5, STRAIGHT), "angle"),
        "turn bent": ("Arm flexion to half way, elbow at 135", worn.turn(0.5, BENT), "angle"),
    }
    for name in TRIED:
        read[name] = (f"Fingertips moved at the {name}, inadvertently", worn.gap(POSITIONS[name]), "length")
        commanded = worn.gap(worn.on_command(name))
        read[f"{name} on command"] = (f"Fingertips moved at the {name}, on command", commanded, "length")
    return {name: InstrumentReading(*one) for name, one in read.items()}
