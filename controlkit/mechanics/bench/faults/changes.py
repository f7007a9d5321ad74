"""Set-up faults below the elbow, each as one change to a healthy system. What it does is computed, never listed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from controlkit.mechanics.bench.faults.fault import Fault
from controlkit.mechanics.cable.housing import Housing
from controlkit.mechanics.chain.single import SingleControl
from controlkit.mechanics.device import VoluntaryOpening
from controlkit.units import InputError


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
            raise InputError(
                given="This cable has no housing to set up wrongly.",
                do="Give it one first: Housing().",
            )
        return replace(system, cable=replace(system.cable, housing=change(housing, size)))

    return changed


def _retainer(system: SingleControl, size: float) -> SingleControl:
    """The housing stays as long as it was cut."""
    moved = _housing(lambda housing, _: replace(housing, length=housing.long(system.arm_line)))(system, size)
    return replace(moved, retainer=system.retainer + size)


def _bands(system: SingleControl, size: float) -> SingleControl:
    if not isinstance(system.device, VoluntaryOpening):
        raise InputError(
            given="Only a voluntary-opening device has bands that tire.",
            do="Choose one, or another fault.",
        )
    tired = system.device.band_pinch * (1.0 - size)
    return replace(system, device=replace(system.device, band_pinch=tired))


def _pivot(system: SingleControl, size: float) -> SingleControl:
    if not isinstance(system.device, VoluntaryOpening):
        raise InputError(
            given="This fault is known for a voluntary-opening device.",
            do="Choose one, or another fault.",
        )
    return replace(system, device=replace(system.device, friction=system.device.friction + size))


FAULTS: tuple[Fault[SingleControl], ...] = (
    Fault(
        name="control attachment strap slack",
        remedy="take the strap in",
        low=0.010,
        high=0.040,
        kind="length",
        change=_harness("control_strap"),
    ),
    Fault(
        name="control attachment strap too tight",
        remedy="let it out",
        low=0.008,
        high=0.025,
        kind="length",
        change=_harness("control_strap", -1.0),
    ),
    Fault(
        name="cable too long", remedy="shorten the cable", low=0.010, high=0.040, kind="length", change=_cable("slack")
    ),
    Fault(
        name="cable too short",
        remedy="renew the cable",
        low=0.008,
        high=0.025,
        kind="length",
        change=_cable("slack", -1.0),
    ),
    Fault(
        name="axilla loop too loose",
        remedy="take the loop in",
        low=0.020,
        high=0.060,
        kind="length",
        change=_harness("axilla_loop"),
    ),
    Fault(
        name="anterior support strap loose",
        remedy="take it in",
        low=0.015,
        high=0.060,
        kind="length",
        change=_harness("support_strap"),
    ),
    Fault(
        name="anterior support strap too tight",
        remedy="let it out",
        low=0.010,
        high=0.025,
        kind="length",
        change=_harness("support_strap", -1.0),
    ),
    Fault(
        name="ring riding high",
        remedy="lower the ring",
        low=0.008,
        high=0.015,
        kind="length",
        change=_harness("ring_below_c7", -1.0),
    ),
    Fault(
        name="housing missing",
        remedy="fit a housing",
        low=1.0,
        high=1.0,
        kind="ratio",
        change=_housing(lambda _, __: None),
    ),
    Fault(
        name="housing loose at an end",
        remedy="fix the housing at crossbar and retainer",
        low=1.0,
        high=1.0,
        kind="ratio",
        change=_housing(lambda housing, _: replace(housing, fixed=False)),
    ),
    Fault(
        name="housing too short",
        remedy="fit a longer housing",
        low=0.008,
        high=0.020,
        kind="length",
        change=_housing(lambda housing, size: replace(housing, spare=housing.spare - size)),
    ),
    Fault(
        name="housing too long",
        remedy="shorten the housing",
        low=0.030,
        high=0.090,
        kind="length",
        change=_housing(lambda housing, size: replace(housing, spare=housing.spare + size)),
    ),
    Fault(
        name="retainer off the elbow's line",
        remedy="put the retainer back",
        low=0.030,
        high=0.050,
        kind="length",
        change=_retainer,
    ),
    Fault(
        name="no liner, or dirt in the housing",
        remedy="renew cable and liner",
        low=0.08,
        high=0.25,
        kind="ratio",
        change=_cable("friction"),
    ),
    Fault(
        name="tight bends",
        remedy="enlarge the bends",
        low=float(np.deg2rad(60.0)),
        high=float(np.deg2rad(180.0)),
        kind="angle",
        change=_cable("fixed_bend"),
    ),
    Fault(name="weak bands", remedy="renew the bands", low=0.25, high=0.60, kind="ratio", change=_bands),
    Fault(name="dirt in the pivot", remedy="clean and oil the pivot", low=0.15, high=0.40, kind="ratio", change=_pivot),
)
"""Faults of a transradial single-control set-up. How much may be wrong is an assumption for each."""
