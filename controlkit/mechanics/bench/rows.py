"""Rows that a checkout below the elbow and one above it share."""

from __future__ import annotations

import math
from collections.abc import Sequence

from controlkit.mechanics.bench.instruments import SCALE, TAPE
from controlkit.mechanics.bench.record import CheckoutRow
from controlkit.mechanics.bench.worn import SLIPS
from controlkit.sources import source
from controlkit.units import show

Left = tuple[str, str, str, str, str]
"""A test left to the person: its name, source, how the figure limits, kind of quantity, and why."""


def efficiency(
    at_device: float, at_hanger: float, how: str, asked: Sequence[tuple[str, str]]
) -> tuple[CheckoutRow, ...]:
    """Control efficiency from two readings of the spring scale, beside each criterion.

    Parameters
    ----------
    at_device, at_hanger : float
        Pull at which the device begins to move [N]
    how : str
        How it was measured
    asked : sequence of tuple of str
        Test and source of each criterion

    Returns
    -------
    tuple of CheckoutRow
        One a criterion

    Examples
    --------
    >>> efficiency(40.0, 50.0, "elbow at 90 degrees", [("efficiency", "efficiency_single_control")])[0].measured
    0.8
    """
    share = at_device / at_hanger
    error = share * math.hypot(SCALE / at_device, SCALE / at_hanger)
    said = (
        f"spring scale: {show(at_device, 'force')} at the device and {show(at_hanger, 'force')} at the cable hanger "
        f"until the device begins to move; {how}"
    )
    return tuple(
        CheckoutRow(test=test, measured=share, low=limits(cited)[0], kind="ratio", source=cited, how=said, error=error)
        for test, cited in asked
    )


def slip(load: float, found: tuple[float, float], how: str) -> CheckoutRow:
    """The bound of slip under the axial load: whoever carries besides the straps, the socket slips less.

    Parameters
    ----------
    load : float
        Axial load [N]
    found : tuple of float
        Slip, and movement of the fingertips [m]
    how : str
        What more was done

    Returns
    -------
    CheckoutRow
        The row

    Examples
    --------
    >>> slip(222.0, (0.02, 0.0), "").outcome, slip(222.0, (0.04, 0.0), "").left
    ('met', True)
    """
    down, moved = found
    carries = down < SLIPS[-1]
    opens = f"the pull moves the fingertips by {show(moved, 'length')}" if carries else "they do not within 60 mm"
    cited = "checkout_slip"
    return CheckoutRow(
        test="slip under the axial load",
        measured=down if carries else None,
        high=source(cited).si,
        kind="length",
        source=cited,
        how=f"spring scale and tape: the hanging arm pulled down with {show(load, 'force')}{how}; an upper bound, "
        f"the straps alone carry and nothing that the socket holds: {opens}",
        error=TAPE,
        bound=True,
    )


def left(tests: Sequence[Left], load: float) -> tuple[CheckoutRow, ...]:
    """The rows for the person.

    Parameters
    ----------
    tests : sequence of Left
        What is left
    load : float
        Axial load: the lighter of 50 lb and a third of the body weight [N]

    Returns
    -------
    tuple of CheckoutRow
        One a test

    Examples
    --------
    >>> left([("device level", "checkout_length", "just", "length", "both sides are equally long")], 222.0)[0].how
    'in the model both sides are equally long'
    """
    rows = []
    for test, cited, limited, what, why in tests:
        low, high = (load, load) if limited == "load" else limits(cited) if limited else (None, None)
        rows.append(
            CheckoutRow(
                test=test,
                measured=None,
                low=low,
                high=high if limited in ("just", "range") else None,
                kind=what,
                source=cited,
                how=f"in the model {why}",
            )
        )
    return tuple(rows)


def limits(cited: str) -> tuple[float, float]:
    """Both ends of a printed range, or its one figure twice.

    Parameters
    ----------
    cited : str
        A sourced value

    Returns
    -------
    tuple of float
        Lower and upper end [SI]

    Examples
    --------
    >>> limits("opening_at_90_older")
    (1.0, 1.0)
    """
    printed = source(cited)
    if printed.value is None:
        return printed.si_low, printed.si_high
    return printed.si, printed.si
