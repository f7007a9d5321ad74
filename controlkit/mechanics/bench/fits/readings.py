"""A coefficient fitted to bench readings, with its interval and what does not belong."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from controlkit.mechanics.bench.fits import rows as _rows
from controlkit.mechanics.bench.fits import slips as _slips
from controlkit.mechanics.bench.fits.line import StraightLine, far_off
from controlkit.mechanics.bench.instruments import SCALE, TAPE
from controlkit.mechanics.states import State
from controlkit.units import InputError

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Outlier:
    """A reading that does not belong with the others.

    Attributes
    ----------
    index : int
        Place among the readings, from 0 [-]
    studentised : float
        Residual over its own spread, estimated without this reading [-]
    perhaps : str
        A slip that would explain it; empty if none is known
    """

    index: int
    studentised: float
    perhaps: str


@dataclass(frozen=True, kw_only=True)
class Fit:
    """A coefficient fitted to readings.

    Attributes
    ----------
    value : float
        The coefficient [unit]
    low, high : float
        Its confidence interval [unit]
    level : float
        Confidence of the interval [-]
    start : float
        Travel before the force begins to rise; 0 for friction [m]
    studentised : ndarray
        Residual of each reading over its own spread, estimated without it [-], shape (readings,)
    leave_one_out : ndarray
        The coefficient without each reading in turn [unit], shape (readings,)
    outliers : tuple of Outlier
        Readings that do not belong; they still count in this fit
    without : Fit or None
        The same fit without them; None if there are none
    helping : tuple of int
        Places of readings in which friction seems to help, by more than the scale can be off
    states : tuple of State
        What else is worth knowing
    """

    value: float
    low: float
    high: float
    level: float
    start: float
    studentised: Array
    leave_one_out: Array
    outliers: tuple[Outlier, ...]
    without: Fit | None
    helping: tuple[int, ...]
    states: tuple[State, ...]


def fit_friction(
    device_force: ArrayLike,
    harness_force: ArrayLike,
    bend: ArrayLike,
    *,
    back: bool | Sequence[bool] | NDArray[np.bool_] = False,
    level: float = 0.95,
    scale: float = SCALE,
) -> Fit:
    r"""Friction coefficient of cable in housing, from forces at its two ends.

    .. math:: \ln(F_h/F_d) = \pm\mu\,\theta

    Parameters
    ----------
    device_force, harness_force : array_like
        Forces at the two ends while the cable slides [N], shape (readings,)
    bend : array_like
        Total bend, all bends added without sign [rad], shape (readings,)
    back : bool or sequence of bool
        True where the cable was let back, when friction holds for the harness (minus sign)
    level : float
        Confidence of the interval [-]
    scale : float
        What a reading of the spring scale may be off [N]

    Returns
    -------
    Fit
        Coefficient, interval, readings that do not belong [-]

    Raises
    ------
    InputError
        If there are fewer than three readings, no bend, a force that is not above zero, or if friction
        seems to help in most readings

    Notes
    -----
    Weighted linear regression through the origin; t interval with one degree of freedom less than
    readings. Each force is taken to be off by the same newtons, independently, so a reading weighs as
    1 / (1/F_d^2 + 1/F_h^2); bends are taken as exact, so an error in them is in the coefficient.
    Outliers: externally studentised residuals, worst first, Bonferroni limit at 5 %, for up to a
    quarter of the readings (Rosner 1983, Technometrics 25:165-172, from memory).

    Examples
    --------
    >>> fit = fit_friction([40, 40, 40, 40], [43.5, 46.9, 50.5, 54.8], np.deg2rad([45, 90, 135, 180]))
    >>> round(fit.value, 3), round(fit.low, 3), round(fit.high, 3)
    (0.1, 0.098, 0.103)
    """
    device, harness = (
        _rows.sizes("force at the device", device_force),
        _rows.sizes("force at the harness", harness_force),
    )
    angle = _rows.bends(bend)
    _rows.paired(device, harness, angle)
    _rows.uncertain("scale", scale)
    _rows.confidence(level)
    if not angle.any():
        raise InputError(
            given="Every bend is 0, and without a bend there is no friction to fit.",
            do="Read at some bends too.",
        )
    sign = np.where(_rows.strokes(back, device), -1.0, 1.0)
    loss, doubt = sign * np.log(harness / device), scale * np.hypot(1.0 / device, 1.0 / harness)
    helping = np.flatnonzero(loss < -doubt)
    weight = (scale / doubt) ** 2
    line = StraightLine(angle, loss, weight / weight.mean(), origin=True)
    found = far_off(line)
    clean = line.only(np.setdiff1d(np.arange(device.size), found))
    if 2 * helping.size > device.size or clean.slope + clean.margin(level) < 0.0:
        raise InputError(
            given=(
                f"In {np.count_nonzero(loss < 0.0)} of {device.size} readings friction seems to help: pulling, the "
                "harness must feel more than the device, and letting back less."
            ),
            do="Are two columns or the two strokes swapped, or do the columns stand in different units?",
        )
    near = doubt + 2.0 * clean.spread / np.sqrt(line.weight)
    outliers = tuple(
        Outlier(
            k,
            clean.strangeness(angle[k], loss[k], line.weight[k]),
            _slips.explains(loss[k], clean.slope * angle[k], near[k]),
        )
        for k in found
    )
    states = [State.of("one-bend", bend=float(angle[0]))] if np.ptp(angle) < 1e-9 else []
    states += _slips.misses_origin(clean)
    return _fit(
        line,
        level=level,
        outliers=outliers,
        clean=clean if found else None,
        helping=tuple(int(k) for k in helping),
        states=tuple(states),
    )


def fit_stiffness(force: ArrayLike, travel: ArrayLike, *, level: float = 0.95, tape: float = TAPE) -> Fit:
    r"""Stiffness of a strap or a cable, from its stretch under known pulls.

    .. math:: x = x_0 + F/k

    Parameters
    ----------
    force : array_like
        Pull [N], shape (readings,)
    travel : array_like
        How far the pulled end has moved [m], shape (readings,)
    level : float
        Confidence of the interval [-]
    tape : float
        What a reading of the tape may be off [m]

    Returns
    -------
    Fit
        Stiffness with its interval [N/m]; ``start`` is the slack

    Raises
    ------
    InputError
        If there are fewer than three readings or two pulls, a negative value, or travel that falls with pull

    Notes
    -----
    Linear regression of travel on force with a start of its own, since slack is no stretch; t interval
    with two degrees of freedom less than readings, turned over. Forces are taken as exact: two newtons
    stretch webbing by much less than the tape can be off. Outliers as in `fit_friction`.

    Examples
    --------
    >>> fit = fit_stiffness([20, 40, 60, 80], [0.0051, 0.0069, 0.0091, 0.0109])
    >>> round(fit.value), round(fit.start, 4)
    (10204, 0.0031)
    """
    pull, way = _rows.sizes("force", force, zero=True), _rows.sizes("travel", travel, zero=True)
    _rows.paired(pull, way)
    _rows.uncertain("tape", tape)
    _rows.confidence(level)
    if np.ptp(pull) < 1e-9:
        raise InputError(
            given=f"Every pull is {pull[0]:g} N.",
            do="Stiffness needs readings at two pulls at least; take three.",
        )
    line = StraightLine(pull, way, np.ones(pull.size), origin=False)
    found = far_off(line)
    clean = line.only(np.setdiff1d(np.arange(pull.size), found))
    if clean.slope <= 0.0:
        raise InputError(
            given="Travel does not grow with the pull.",
            do="Are the two columns swapped, or was the rest length read?",
        )
    states = []
    if np.ptp(way) < 2.0 * tape:
        states.append(State.of("travel-too-small", within=float(np.ptp(way))))
    outliers = tuple(Outlier(k, clean.strangeness(pull[k], way[k], 1.0), "") for k in found)
    return _fit(
        line,
        level=level,
        outliers=outliers,
        clean=clean if found else None,
        helping=(),
        states=tuple(states),
        turned=True,
    )


def _fit(
    line: StraightLine,
    *,
    level: float,
    outliers: tuple[Outlier, ...],
    clean: StraightLine | None,
    helping: tuple[int, ...],
    states: tuple[State, ...],
    turned: bool = False,
) -> Fit:
    """Write down a fitted line; ``turned`` gives one over the slope."""
    low, high = line.slope - line.margin(level), line.slope + line.margin(level)
    value, each = line.slope, line.leave_one_out
    more = states
    if low <= 0.0:
        more += (State.of("interval-without-end" if turned else "interval-reaches-zero"),)
    if turned:
        value, low, high = (1.0 / c if c > 0.0 else math.inf for c in (value, high, low))
        each = np.array([1.0 / c if c > 0.0 else math.inf for c in each])
    without = (
        None
        if clean is None
        else _fit(clean, level=level, outliers=(), clean=None, helping=(), states=states, turned=turned)
    )
    return Fit(
        value=float(value),
        low=float(low),
        high=float(high),
        level=float(level),
        start=line.start,
        studentised=line.studentised,
        leave_one_out=each,
        outliers=outliers,
        without=without,
        helping=helping,
        states=more,
    )
