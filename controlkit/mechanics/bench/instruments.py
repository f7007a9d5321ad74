"""A virtual bench: spring scale, tape and goniometer on a prosthesis that lies on the table.

Nothing is read off a part: a pull or an angle is stepped until something moves.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from controlkit.mechanics.cable import CableLine
from controlkit.mechanics.chain.dual import DualControl
from controlkit.mechanics.chain.single import SingleControl
from controlkit.units import show

SCALE = 2.0
"""How far a reading of a spring scale may be off [N]. Assumption: about one division of a common scale."""
TAPE = 0.002
"""How far a reading of a tape may be off [m]. Assumption: eye, hook and skin together."""
GONIOMETER = float(np.deg2rad(5.0))
"""How far a goniometer may be off [rad]. Assumption."""
PAPER = 0.001
"""Movement of the fingertips at which a strip of paper slips out: the device has moved [m]. Assumption."""
STRAIGHT, RIGHT, BENT = (float(np.deg2rad(angle)) for angle in (0.0, 90.0, 135.0))
"""Elbow angles of the bench [rad]."""
END = 300.0
"""End of the spring scale [N]."""


@dataclass(frozen=True)
class InstrumentReading:
    """One bench reading.

    Attributes
    ----------
    what : str
        What was read
    value : float
        The reading; the end of the scale where nothing moved [SI]
    kind : str
        "force", "length" or "angle"
    """

    what: str
    value: float
    kind: str

    @property
    def error(self) -> float:
        """How far the reading may be off [SI]."""
        return {"force": SCALE, "length": TAPE, "angle": GONIOMETER}[self.kind]

    def __str__(self) -> str:
        return f"{self.what}: {show(self.value, self.kind)}"


def creep(moved: Callable[[float], bool], coarse: float, fine: float, most: float) -> float:
    """Step up until something moves: coarse steps, then back one and fine steps.

    Parameters
    ----------
    moved : callable
        Whether it has moved at this step
    coarse, fine : float
        Steps [unit]
    most : float
        End of the scale [unit]

    Returns
    -------
    float
        First fine step at which it has moved; `most` if it never does [unit]

    Examples
    --------
    >>> round(creep(lambda pull: pull > 28.35, 5.0, 0.1, 300.0), 1)
    28.4
    """
    start = 0
    while start * coarse < most and not moved(start * coarse):
        start += 1
    low = max(start - 1, 0) * coarse
    for k in range(round(coarse / fine) + 1):
        if low + k * fine <= most and moved(low + k * fine):
            return low + k * fine
    return most


@dataclass(frozen=True)
class DeviceBench:
    """What is read on the device alone, whatever cable and joint stand above it.

    Parameters
    ----------
    system : SingleControl or DualControl
        What is measured
    """

    system: SingleControl | DualControl

    def at_device(self, gap: float = PAPER) -> float:
        """Pull with the scale hooked to the device itself, until the fingertips have moved.

        Parameters
        ----------
        gap : float
            Movement of the fingertips waited for [m]

        Returns
        -------
        float
            First pull at which they have; the end of the scale if they never do [N]

        Examples
        --------
        >>> from controlkit.mechanics import SingleControl, Wearer, figure_of_eight
        >>> bench = Bench(SingleControl(figure_of_eight(Wearer.average("male"))))
        >>> bench.at_device(0.08) > bench.at_device()
        True
        """
        return creep(lambda pull: self.gap(pull) >= gap, 5.0, 0.1, END)

    def gap(self, force: float) -> float:
        """Movement of the fingertips under a steady pull at the device.

        Parameters
        ----------
        force : float
            Pull [N]

        Returns
        -------
        float
            Movement from rest [m]

        Examples
        --------
        >>> from controlkit.mechanics import SingleControl, Wearer, figure_of_eight
        >>> bench = Bench(SingleControl(figure_of_eight(Wearer.average("male"))))
        >>> bench.gap(20.0), round(bench.gap(60.0), 4)
        (0.0, 0.0877)
        """
        device = self.system.device
        low, high = 0.0, device.travel
        if force < device.force(low):
            return 0.0
        for _ in range(30):
            middle = 0.5 * (low + high)
            low, high = (middle, high) if device.force(middle) <= force else (low, middle)
        return self.moved(high)

    def moved(self, travel: float) -> float:
        """Movement of the fingertips at a cable travel.

        Parameters
        ----------
        travel : float
            Cable travel at the device [m]

        Returns
        -------
        float
            Movement from rest [m]

        Examples
        --------
        >>> from controlkit.mechanics import SingleControl, Wearer, figure_of_eight
        >>> Bench(SingleControl(figure_of_eight(Wearer.average("male")))).moved(0.0)
        0.0
        """
        device = self.system.device
        return abs(device.opening(travel) - device.opening(0.0))


@dataclass(frozen=True)
class Bench(DeviceBench):
    """A prosthesis on the table, the harness unhooked.

    Parameters
    ----------
    system : SingleControl
        What is measured

    Notes
    -----
    Quasi-static; the cable slides steadily. `WornBench` measures on the wearer.

    Examples
    --------
    >>> from controlkit.mechanics import SingleControl, Wearer, figure_of_eight
    >>> bench = Bench(SingleControl(figure_of_eight(Wearer.average("male"))))
    >>> round(bench.at_device(), 1), bench.at_hanger(RIGHT) > bench.at_device()
    (28.4, True)
    """

    system: SingleControl

    def at_hanger(self, elbow: float, gap: float = PAPER) -> float:
        """Pull with the scale hooked to the cable hanger, until the fingertips have moved.

        Parameters
        ----------
        elbow : float
            Elbow flexion of the prosthesis on the table [rad]
        gap : float
            Movement of the fingertips waited for [m]

        Returns
        -------
        float
            First pull at which they have; the end of the scale if they never do [N]

        Examples
        --------
        >>> from controlkit.mechanics import SingleControl, Wearer, figure_of_eight
        >>> bench = Bench(SingleControl(figure_of_eight(Wearer.average("male"))))
        >>> bench.at_hanger(BENT) > bench.at_hanger(RIGHT)
        True
        """
        line = self._line(elbow)
        return creep(lambda pull: self.gap(pull * line.efficiency) >= gap, 5.0, 0.1, END)

    def let_back(self, elbow: float) -> float:
        """Pull at the cable hanger at which the device, drawn half way, begins to go back.

        Parameters
        ----------
        elbow : float
            Elbow flexion of the prosthesis on the table [rad]

        Returns
        -------
        float
            Largest pull that no longer holds it [N]

        Examples
        --------
        >>> from controlkit.mechanics import SingleControl, Wearer, figure_of_eight
        >>> bench = Bench(SingleControl(figure_of_eight(Wearer.average("male"))))
        >>> bench.let_back(RIGHT) < bench.at_hanger(RIGHT, 0.04)
        True
        """
        device, line = self.system.device, self._line(elbow)
        half = 0.5 * device.travel
        start = self.at_hanger(elbow, self.moved(half))
        holds = device.force_back(half)
        return start - creep(lambda less: (start - less) / line.efficiency_back < holds, 5.0, 0.1, start)

    def bends_to(self, own: float) -> float:
        """Elbow flexion at which the forearm stops, the cable slack.

        Parameters
        ----------
        own : float
            Where the person's own elbow stops [rad]

        Returns
        -------
        float
            Elbow flexion reached in steps of 2 degrees [rad]

        Examples
        --------
        >>> from controlkit.mechanics import SingleControl, Wearer, figure_of_eight
        >>> bench = Bench(SingleControl(figure_of_eight(Wearer.average("male"))))
        >>> round(float(np.rad2deg(bench.bends_to(BENT))))
        135
        """
        angles = np.append(np.arange(0.0, own, np.deg2rad(2.0)), own)
        lines = self.system.cable.lines(self.system.arm_line, angles)
        ends = np.stack([line.points[-1] for line in lines])  # where the forearm has come to
        turned = np.hypot(*np.diff(ends, axis=0).T) / np.hypot(*ends[1:].T)
        stopped = np.flatnonzero(turned < 0.25 * np.diff(angles))
        return float(angles[stopped[0]] if stopped.size else own)

    def to_housing(self) -> float:
        """Tape from the elbow's axis to the nearest point of cable or housing, elbow at 90 degrees.

        Returns
        -------
        float
            Distance [m]

        Examples
        --------
        >>> from controlkit.mechanics import SingleControl, Wearer, figure_of_eight
        >>> Bench(SingleControl(figure_of_eight(Wearer.average("male")))).to_housing() < 0.06
        True
        """
        points = self._line(RIGHT).points
        step = np.diff(points, axis=0)
        along = np.clip(-(points[:-1] * step).sum(axis=1) / (step * step).sum(axis=1), 0.0, 1.0)
        return float(np.hypot(*(points[:-1] + along[:, None] * step).T).min())

    def hold(self) -> float:
        """Pull with the scale at the device's root that keeps the elbow at 90 degrees, the device drawn open.

        Returns
        -------
        float
            First pull that holds it [N]

        Examples
        --------
        >>> from controlkit.mechanics import SingleControl, Wearer, figure_of_eight
        >>> Bench(SingleControl(figure_of_eight(Wearer.average("male")))).hold()
        0.0
        """
        whole = self.moved(self.system.device.travel)
        moment = abs(self.at_hanger(RIGHT, whole - PAPER) * self._line(RIGHT).elbow_arm)
        return creep(lambda pull: pull * self.system.arm_line.device >= moment, 5.0, 0.1, END)

    def _line(self, elbow: float) -> CableLine:
        return self.system.line(elbow)
