"""Set-up faults below the elbow, each as one change to a healthy system. What it does is computed, never listed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from controlkit.mechanics.cable.housing import Housing
from controlkit.mechanics.chain.single import SingleControl
from controlkit.mechanics.device import VoluntaryOpening
from controlkit.units import InputError, show

HEALTHY = "healthy"


@dataclass(frozen=True)
class Fault:
    """One thing set up wrongly, more or less.

    Parameters
    ----------
    name : str
        What is wrong
    remedy : str
        What to try first; reasoned, no source
    low, high : float
        How much may be wrong [SI]
    kind : str
        Kind of that quantity
    change : callable
        From a healthy system and a size [SI] to the system with the fault

    Examples
    --------
    >>> FAULTS[0].name, FAULTS[0].low
    ('control attachment strap slack', 0.01)
    """

    name: str
    remedy: str
    low: float
    high: float
    kind: str
    change: Callable[[SingleControl, float], SingleControl]

    @property
    def sizes(self) -> tuple[float, ...]:
        """Small, middling, large; one size where it can't be more or less [SI]."""
        if self.low == self.high:
            return (self.low,)
        return self.low, 0.5 * (self.low + self.high), self.high

    def drawn(self, share: float) -> float:
        """A size between the smallest and the largest.

        Parameters
        ----------
        share : float
            Part of the way, 0 to 1 [-]

        Returns
        -------
        float
            Size [SI]

        Examples
        --------
        >>> round(FAULTS[0].drawn(0.5), 4)
        0.025
        """
        return self.low + share * (self.high - self.low)

    def at(self, system: SingleControl, size: float) -> SingleControl:
        """The system with this fault.

        Parameters
        ----------
        system : SingleControl
            A healthy system
        size : float
            How much is wrong [SI]

        Returns
        -------
        SingleControl
            The same with one change

        Raises
        ------
        InputError
            If the fault can't be made in this system or of this size

        Examples
        --------
        >>> from controlkit.mechanics import SingleControl, Wearer, figure_of_eight
        >>> FAULTS[0].at(SingleControl(figure_of_eight(Wearer.average("male"))), 0.02).harness.control_strap
        0.02
        """
        if not self.low - 1e-9 <= size <= self.high + 1e-9:
            raise InputError(
                f'The fault "{self.name}" was asked for at {show(size, self.kind)}. Give between '
                f"{show(self.low, self.kind)} and {show(self.high, self.kind)}."
            )
        return self.change(system, size)


def _harness(name: str, sign: float = 1.0) -> Callable[[SingleControl, float], SingleControl]:
    def change(system: SingleControl, size: float) -> SingleControl:
        moved = getattr(system.harness, name) + sign * size
        return replace(system, harness=replace(system.harness, **{name: moved}))

    return change


def _cable(name: str, sign: float = 1.0) -> Callable[[SingleControl, float], SingleControl]:
    def change(system: SingleControl, size: float) -> SingleControl:
        return replace(system, cable=replace(system.cable, **{name: getattr(system.cable, name) + sign * size}))

    return change


def _housing(change: Callable[[Housing, float], Housing | None]) -> Callable[[SingleControl, float], SingleControl]:
    def changed(system: SingleControl, size: float) -> SingleControl:
        housing = system.cable.housing
        if housing is None:
            raise InputError("This cable has no housing to set up wrongly. Give it one first: Housing().")
        return replace(system, cable=replace(system.cable, housing=change(housing, size)))

    return changed


def _retainer(system: SingleControl, size: float) -> SingleControl:
    """The housing stays as long as it was cut."""
    moved = _housing(lambda housing, _: replace(housing, length=housing.long(system.arm_line)))(system, size)
    return replace(moved, retainer=system.retainer + size)


def _bands(system: SingleControl, size: float) -> SingleControl:
    if not isinstance(system.device, VoluntaryOpening):
        raise InputError("Only a voluntary-opening device has bands that tire. Choose one, or another fault.")
    tired = system.device.band_pinch * (1.0 - size)
    return replace(system, device=replace(system.device, band_pinch=tired))


def _pivot(system: SingleControl, size: float) -> SingleControl:
    if not isinstance(system.device, VoluntaryOpening):
        raise InputError("This fault is known for a voluntary-opening device. Choose one, or another fault.")
    return replace(system, device=replace(system.device, friction=system.device.friction + size))


FAULTS = (
    Fault("control attachment strap slack", "take the strap in", 0.010, 0.040, "length", _harness("control_strap")),
    Fault("control attachment strap too tight", "let it out", 0.008, 0.025, "length", _harness("control_strap", -1.0)),
    Fault("cable too long", "shorten the cable", 0.010, 0.040, "length", _cable("slack")),
    Fault("cable too short", "renew the cable", 0.008, 0.025, "length", _cable("slack", -1.0)),
    Fault("axilla loop too loose", "take the loop in", 0.020, 0.060, "length", _harness("axilla_loop")),
    Fault("anterior support strap loose", "take it in", 0.015, 0.060, "length", _harness("support_strap")),
    Fault("anterior support strap too tight", "let it out", 0.010, 0.025, "length", _harness("support_strap", -1.0)),
    Fault("ring riding high", "lower the ring", 0.020, 0.045, "length", _harness("ring_below_c7", -1.0)),
    Fault("housing missing", "fit a housing", 1.0, 1.0, "ratio", _housing(lambda _, __: None)),
    Fault(
        "housing loose at an end",
        "fix the housing at crossbar and retainer",
        1.0,
        1.0,
        "ratio",
        _housing(lambda housing, _: replace(housing, fixed=False)),
    ),
    Fault(
        "housing too short",
        "fit a longer housing",
        0.004,
        0.012,
        "length",
        _housing(lambda housing, size: replace(housing, spare=housing.spare - size)),
    ),
    Fault(
        "housing too long",
        "shorten the housing",
        0.030,
        0.090,
        "length",
        _housing(lambda housing, size: replace(housing, spare=housing.spare + size)),
    ),
    Fault("retainer off the elbow's line", "put the retainer back", 0.030, 0.050, "length", _retainer),
    Fault("no liner, or dirt in the housing", "renew cable and liner", 0.08, 0.25, "ratio", _cable("friction")),
    Fault(
        "tight bends",
        "enlarge the bends",
        float(np.deg2rad(60.0)),
        float(np.deg2rad(180.0)),
        "angle",
        _cable("fixed_bend"),
    ),
    Fault("weak bands", "renew the bands", 0.25, 0.60, "ratio", _bands),
    Fault("dirt in the pivot", "clean and oil the pivot", 0.15, 0.40, "ratio", _pivot),
)
"""Faults of a transradial single-control set-up. How much may be wrong is an assumption for each."""
