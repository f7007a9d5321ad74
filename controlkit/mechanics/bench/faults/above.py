"""Set-up faults above the elbow, each as one change to a healthy prosthesis, and which reading tells them apart."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from controlkit.mechanics.bench.dual.worn import FittedDual, WornDual, symptoms_above
from controlkit.mechanics.bench.faults.fault import Fault
from controlkit.mechanics.bench.faults.telling import Guess, Signatures, guessed, measured
from controlkit.mechanics.bench.instruments import InstrumentReading
from controlkit.mechanics.chain.dual import DualControl
from controlkit.mechanics.device import VoluntaryOpening
from controlkit.mechanics.harness.patterns.above_elbow import AboveElbow
from controlkit.units import InputError

Change = Callable[[FittedDual, float], FittedDual]


def _system(change: Callable[[DualControl, float], DualControl]) -> Change:
    return lambda fitted, size: replace(fitted, system=change(fitted.system, size))


def _line(name: str, sign: float) -> Change:
    def change(system: DualControl, size: float) -> DualControl:
        return replace(system, line=replace(system.line, **{name: getattr(system.line, name) + sign * size}))

    return _system(change)


def _harness(name: str, sign: float) -> Change:
    def change(system: DualControl, size: float) -> DualControl:
        moved = getattr(system.harness, name) + sign * size
        return replace(system, harness=replace(system.harness, **{name: moved}))

    return _system(change)


def _suspensor(system: DualControl, size: float) -> DualControl:
    pattern = system.harness.pattern
    if not isinstance(pattern, AboveElbow):
        raise InputError(
            given=f"The harness is a {pattern.name}: it has no lateral suspensor.",
            do="Give above_elbow_eight(wearer), or choose another fault.",
        )
    slack = replace(pattern, lateral_suspensor=pattern.lateral_suspensor + size)
    return replace(system, harness=replace(system.harness, pattern=slack))


def _inelastic(system: DualControl, _: float) -> DualControl:
    straps = replace(system.harness.straps, elastic_reach=0.0)
    return replace(system, harness=replace(system.harness, straps=straps))


def _bands(sign: float) -> Change:
    def change(system: DualControl, size: float) -> DualControl:
        if not isinstance(system.device, VoluntaryOpening):
            raise InputError(
                given="Only a voluntary-opening device has bands.",
                do="Choose one, or another fault.",
            )
        return replace(system, device=replace(system.device, bands=round(system.device.bands * (1.0 + sign * size))))

    return _system(change)


def _friction(system: DualControl, size: float) -> DualControl:
    return replace(system, cable=replace(system.cable, friction=system.cable.friction + size))


def _heavy(system: DualControl, size: float) -> DualControl:
    *others, device = system.lifted_forearm.pieces
    pieces = (*others, replace(device, mass=device.mass + size))
    return replace(system, forearm=replace(system.lifted_forearm, pieces=pieces))


def _lock_strap(fitted: FittedDual, size: float) -> FittedDual:
    return replace(fitted, strap=replace(fitted.strap, let_out=fitted.strap.let_out + size))


FAULTS_ABOVE: tuple[Fault[FittedDual], ...] = (
    Fault(
        name="lift loop too near the elbow",
        remedy="move the loop out along the forearm",
        low=0.008,
        high=0.020,
        kind="length",
        change=_line("loop_along", -1.0),
    ),
    Fault(
        name="lift loop too far from the elbow",
        remedy="move the loop in towards the elbow",
        low=0.010,
        high=0.030,
        kind="length",
        change=_line("loop_along", 1.0),
    ),
    Fault(
        name="housing end too far back",
        remedy="bring the housing's end forward",
        low=0.010,
        high=0.050,
        kind="length",
        change=_line("end_ahead", -1.0),
    ),
    Fault(
        name="housing end too low",
        remedy="move the housing's end up the socket",
        low=0.020,
        high=0.040,
        kind="length",
        change=_line("end_above", -1.0),
    ),
    Fault(
        name="control attachment strap slack",
        remedy="take the strap in",
        low=0.010,
        high=0.040,
        kind="length",
        change=_harness("control_strap", 1.0),
    ),
    Fault(
        name="control attachment strap high on the back",
        remedy="lower the ring",
        low=0.015,
        high=0.035,
        kind="length",
        change=_harness("ring_below_c7", -1.0),
    ),
    Fault(
        name="lateral suspensor slack",
        remedy="take it in",
        low=0.015,
        high=0.050,
        kind="length",
        change=_system(_suspensor),
    ),
    Fault(
        name="front support strap too tight",
        remedy="let it out by the lock's travel",
        low=0.012,
        high=0.030,
        kind="length",
        change=_harness("support_strap", -1.0),
    ),
    Fault(
        name="front support strap without its elastic part",
        remedy="put an elastic part in, or let the strap out",
        low=1.0,
        high=1.0,
        kind="ratio",
        change=_system(_inelastic),
    ),
    Fault(
        name="strap of the lock slack",
        remedy="take it in",
        low=0.006,
        high=0.030,
        kind="length",
        change=_lock_strap,
    ),
    Fault(name="too few bands", remedy="put bands on", low=0.2, high=0.4, kind="ratio", change=_bands(-1.0)),
    Fault(name="too many bands", remedy="take bands off", low=0.4, high=1.0, kind="ratio", change=_bands(1.0)),
    Fault(
        name="worn liner, or dirt in the housing",
        remedy="renew cable and liner",
        low=0.08,
        high=0.25,
        kind="ratio",
        change=_system(_friction),
    ),
    Fault(
        name="heavy device",
        remedy="choose a lighter device",
        low=0.10,
        high=0.40,
        kind="mass",
        change=_system(_heavy),
    ),
)
"""Faults of a transhumeral set-up with dual control. How much may be wrong is an assumption for each.

A housing end far back takes the cable behind the elbow's axis. One a little too low is told from health by no reading:
with the loop at 40 mm the cable then passes the axis nearly as before. Sizes suit a harness whose ring lies at least
45 mm below C7."""


def tell_apart_above(fitted: FittedDual, faults: Sequence[Fault[FittedDual]] = FAULTS_ABOVE) -> Signatures:
    """Measure a healthy transhumeral prosthesis, and the same prosthesis with each fault.

    Parameters
    ----------
    fitted : FittedDual
        A healthy prosthesis
    faults : sequence of Fault
        Faults to try

    Returns
    -------
    Signatures
        Readings of all of them, and which pairs they tell apart

    Examples
    --------
    >>> from controlkit.mechanics import Wearer, above_elbow_eight
    >>> woman = Wearer.average("female", level="transhumeral")
    >>> healthy = FittedDual(DualControl(harness=above_elbow_eight(woman, ring_below_c7=0.05)))
    >>> tell_apart_above(healthy, [fault for fault in FAULTS_ABOVE if "bands" in fault.name]).untold
    ()
    """
    return measured(fitted, faults, _read_above(fitted))


def blind_above(
    fitted: FittedDual,
    signatures: Signatures,
    *,
    trials: int,
    seed: int,
    faults: Sequence[Fault[FittedDual]] = FAULTS_ABOVE,
) -> tuple[Guess, ...]:
    """Change one thing at random, read the bench with its errors, and let the readings name the fault.

    Parameters
    ----------
    fitted : FittedDual
        The healthy prosthesis whose signatures are known
    signatures : Signatures
        What `tell_apart_above` has measured on it
    trials : int
        How many times [-]
    seed : int
        Start of the random draw: the same seed gives the same trials [-]
    faults : sequence of Fault
        Faults to draw from

    Returns
    -------
    tuple of Guess
        What was hidden and what was named; sizes and errors as in `blind`

    Examples
    --------
    >>> from controlkit.mechanics import Wearer, above_elbow_eight
    >>> woman = Wearer.average("female", level="transhumeral")
    >>> healthy = FittedDual(DualControl(harness=above_elbow_eight(woman, ring_below_c7=0.05)))
    >>> heavy = [fault for fault in FAULTS_ABOVE if fault.name == "heavy device"]
    >>> blind_above(healthy, tell_apart_above(healthy, heavy), trials=1, seed=7, faults=heavy)[0].named
    'heavy device'
    """
    return guessed(fitted, signatures, faults, _read_above(fitted), trials=trials, seed=seed)


def _read_above(fitted: FittedDual) -> Callable[[FittedDual], Mapping[str, InstrumentReading]]:
    near = WornDual(fitted.system)
    return lambda faulty: symptoms_above(faulty, near)
