"""A virtual bench above the elbow: scale, tape and goniometer, the harness unhooked and the upper arm upright."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from controlkit.mechanics.bench.instruments import END, PAPER, RIGHT, DeviceBench, creep
from controlkit.mechanics.chain.dual import DualControl
from controlkit.mechanics.elbow import GRAVITY
from controlkit.mechanics.inputs import kind
from controlkit.units import deg

LEAVES = deg(2.0)
"""Flexion by which a forearm is seen to have left its stop [rad]. Assumption."""
_STEP = deg(1.0)  # in which the forearm is followed upwards
_MOST_LOAD = 5.0  # [kg] hung from an object in the device


@dataclass(frozen=True)
class DualBench(DeviceBench):
    """A transhumeral prosthesis on the table: the upper arm clamped upright, the forearm hanging on its stop.

    Parameters
    ----------
    system : DualControl
        What is measured

    Notes
    -----
    Quasi-static; the cable slides steadily. `WornDual` measures on the wearer.

    Examples
    --------
    >>> from controlkit.mechanics import DualControl, Wearer, above_elbow_eight
    >>> bench = DualBench(DualControl(harness=above_elbow_eight(Wearer.average("male", level="transhumeral"))))
    >>> round(bench.at_device(), 1), bench.lifts(RIGHT) < bench.at_hanger(RIGHT)
    (47.3, True)
    """

    system: DualControl

    def __post_init__(self) -> None:
        kind("The system", self.system, DualControl, "DualControl(harness=above_elbow_eight(wearer))")

    def at_hanger(self, elbow: float, gap: float = PAPER) -> float:
        """Pull at the cable hanger, the elbow locked, until the fingertips have moved.

        Parameters
        ----------
        elbow : float
            Elbow angle at which it is locked [rad]
        gap : float
            Movement of the fingertips waited for [m]

        Returns
        -------
        float
            First pull at which they have; the end of the scale if they never do [N]

        Examples
        --------
        >>> from controlkit.mechanics import DualControl, Wearer, above_elbow_eight
        >>> bench = DualBench(DualControl(harness=above_elbow_eight(Wearer.average("male", level="transhumeral"))))
        >>> bench.at_hanger(RIGHT) > 1.2 * bench.at_device()
        True
        """
        arrives = self.arrives(elbow)
        return creep(lambda pull: self.gap(pull * arrives) >= gap, 5.0, 0.1, END)

    def arrives(self, elbow: float) -> float:
        """Share of a pull at the hanger that comes to the device.

        Parameters
        ----------
        elbow : float
            Elbow flexion [rad]

        Returns
        -------
        float
            Belt friction round both lengths of housing [-]
        """
        above, beyond = self.system.bends(elbow)
        return float(np.exp(-self.system.cable.friction * (above + beyond)))

    def lifts(self, elbow: float) -> float:
        """Pull at the cable hanger under which the forearm goes on upwards past an angle, the elbow unlocked.

        Parameters
        ----------
        elbow : float
            Elbow flexion passed [rad]

        Returns
        -------
        float
            First pull at which it does; the end of the scale if no pull lifts it there [N]

        Examples
        --------
        >>> from controlkit.mechanics import DualControl, Wearer, above_elbow_eight
        >>> bench = DualBench(DualControl(harness=above_elbow_eight(Wearer.average("male", level="transhumeral"))))
        >>> 30.0 < bench.lifts(RIGHT) < 44.0
        True
        """
        above, _ = self.system.bends(elbow)
        arm = float(self.system.line.moment_arm(elbow)) * float(np.exp(-self.system.cable.friction * above))
        against = self._against(elbow)
        return creep(lambda pull: pull * arm > against, 5.0, 0.1, END)

    def flexes(self, elbow: float, start: float | None = None) -> float:
        """Largest pull at the cable hanger on the whole way up to an angle.

        Parameters
        ----------
        elbow : float
            Elbow flexion at the end of the way [rad]
        start : float, optional
            Where the way begins; where the forearm hangs unless given [rad]

        Returns
        -------
        float
            What the scale shows at most, in steps of a degree [N]

        Examples
        --------
        >>> from controlkit.mechanics import DualControl, Wearer, above_elbow_eight
        >>> bench = DualBench(DualControl(harness=above_elbow_eight(Wearer.average("male", level="transhumeral"))))
        >>> bench.flexes(deg(135)) >= bench.lifts(deg(60))
        True
        """
        first = self.system.hangs_at if start is None else start
        way = np.linspace(first, elbow, max(int(np.ceil((elbow - first) / _STEP)), 1) + 1)
        return max(self.lifts(float(at)) for at in way)

    def opens_on_the_way(self, elbow: float) -> float:
        """Movement of the fingertips while a pull at the hanger brings the forearm up to an angle.

        Parameters
        ----------
        elbow : float
            Elbow flexion at the end of the way [rad]

        Returns
        -------
        float
            Movement from rest, should it go on lifting [m]

        Examples
        --------
        >>> from controlkit.mechanics import DualControl, Wearer, above_elbow_eight
        >>> bench = DualBench(DualControl(harness=above_elbow_eight(Wearer.average("male", level="transhumeral"))))
        >>> bench.opens_on_the_way(RIGHT)
        0.0
        """
        first = self.system.hangs_at
        way = np.linspace(first, elbow, max(int(np.ceil((elbow - first) / _STEP)), 1) + 1)
        return max(self.gap(self.lifts(float(at)) * self.arrives(float(at))) for at in way)

    def drawn(self, elbow: float) -> float:
        """Tape at the cable hanger: how far it is drawn until the forearm, from its stop, has come to an angle.

        Parameters
        ----------
        elbow : float
            Elbow flexion [rad]

        Returns
        -------
        float
            Length, slack of the cable with it [m]

        Examples
        --------
        >>> from controlkit.mechanics import DualControl, Wearer, above_elbow_eight
        >>> bench = DualBench(DualControl(harness=above_elbow_eight(Wearer.average("male", level="transhumeral"))))
        >>> 0.06 < bench.drawn(deg(135)) < 0.08
        True
        """
        return float(self.system.required(elbow))

    def lever(self, elbow: float) -> float:
        """Tape from the elbow's axis to the cable in the gap between the housings.

        Parameters
        ----------
        elbow : float
            Elbow flexion [rad]

        Returns
        -------
        float
            Distance; below zero where the cable passes behind the axis [m]
        """
        return float(self.system.line.moment_arm(elbow))

    def weighs(self) -> float:
        """Pull with the scale at the wrist that carries the forearm level, the cable unhooked.

        Returns
        -------
        float
            First pull that carries it [N]

        Examples
        --------
        >>> from controlkit.mechanics import DualControl, Wearer, above_elbow_eight
        >>> bench = DualBench(DualControl(harness=above_elbow_eight(Wearer.average("male", level="transhumeral"))))
        >>> 2.0 < bench.weighs() < 6.0
        True
        """
        wrist = max(piece.centre for piece in self.system.lifted_forearm.pieces[:-1])
        moment = self._against(RIGHT)
        return creep(lambda pull: pull * wrist >= moment, 5.0, 0.1, END)

    def hangs(self) -> float:
        """Goniometer: elbow angle at which the forearm hangs on its stop.

        Returns
        -------
        float
            Pre-flexion [rad]
        """
        return self.system.hangs_at

    def live(self, elbow: float) -> float:
        """Weight hung from an object between the fingertips at which it slips, the elbow held by the cable alone.

        Parameters
        ----------
        elbow : float
            Elbow flexion [rad]

        Returns
        -------
        float
            Weight [N]

        Examples
        --------
        >>> from controlkit.mechanics import DualControl, Wearer, above_elbow_eight
        >>> bench = DualBench(DualControl(harness=above_elbow_eight(Wearer.average("male", level="transhumeral"))))
        >>> 1.0 < bench.live(RIGHT) < 10.0
        True
        """
        return GRAVITY * min(float(self.system.live_lift([elbow]).slips_at[0]), _MOST_LOAD)

    def _against(self, elbow: float) -> float:
        """Moment against which the forearm comes up, the upper arm upright [N m]."""
        spring = 0.0 if self.system.spring is None else float(self.system.spring.at(elbow))
        return float(self.system.lifted_forearm.moment(elbow)) - spring
