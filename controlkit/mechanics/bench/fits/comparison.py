"""Bench readings beside what a model computes for them: residuals, and whether the instruments explain them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from controlkit.mechanics.bench.fits import rows as _rows
from controlkit.mechanics.bench.fits.line import StraightLine
from controlkit.mechanics.bench.instruments import SCALE
from controlkit.mechanics.cable.friction import tension_ratio

Array = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True)
class Comparison:
    """Readings beside what a model computes for them.

    Attributes
    ----------
    measured, modelled : ndarray
        Read and computed [SI], shape (readings,)
    uncertainty : ndarray
        What each difference may be for the instruments' sake [SI], shape (readings,)
    residual : ndarray
        Read less computed [SI], shape (readings,)
    inside : ndarray of bool
        Whether the instruments explain the difference, shape (readings,)
    bias : float
        Mean residual, letting back with the other sign [SI]
    trend : str
        Along the motion the difference "grows", "shrinks", or is "even" as far as these readings tell
    """

    measured: Array
    modelled: Array
    uncertainty: Array
    residual: Array
    inside: NDArray[np.bool_]
    bias: float
    trend: str


def compare(
    measured: ArrayLike,
    modelled: ArrayLike,
    uncertainty: ArrayLike,
    *,
    along: ArrayLike | None = None,
    sense: ArrayLike = 1.0,
) -> Comparison:
    """Put readings beside what a model computes for them.

    Parameters
    ----------
    measured, modelled : array_like
        Read and computed [SI], shape (readings,)
    uncertainty : array_like
        What each difference may be for the instruments' sake; one for all, or one each [SI], shape (readings,)
    along : array_like, optional
        What was varied, to see whether the difference grows with it [SI], shape (readings,)
    sense : array_like
        1, or -1 where less counts as more, as when a cable is let back [-], shape (readings,)

    Returns
    -------
    Comparison
        Residuals, and whether the instruments explain them

    Raises
    ------
    InputError
        If readings are missing, not finite, or not as many as computed values

    Examples
    --------
    >>> compare([50.0, 61.0], [51.0, 55.0], SCALE).inside.tolist()
    [True, False]
    """
    read, computed = _rows.series("reading", measured), _rows.series("computed value", modelled)
    doubt = _rows.sizes("uncertainty", uncertainty)
    doubt = np.full_like(read, doubt[0]) if doubt.size == 1 else doubt
    _rows.paired(read, computed, doubt, fewest=1)
    residual = read - computed
    excess = residual * np.asarray(sense)
    bias = float(excess.mean())
    trend = "even"
    if along is not None:
        varied = _rows.series("value along the motion", along)
        _rows.paired(read, varied, fewest=1)
        if read.size > 3 and np.ptp(varied) > 1e-9:
            line = StraightLine(varied, excess, np.ones(read.size), origin=False)
            if abs(line.slope) > line.margin(0.95):
                trend = "grows" if line.slope * bias > 0 else "shrinks"
    return Comparison(
        measured=read,
        modelled=computed,
        uncertainty=doubt,
        residual=residual,
        inside=np.abs(residual) <= doubt,
        bias=bias,
        trend=trend,
    )


def compare_cable(
    device_force: ArrayLike,
    harness_force: ArrayLike,
    bend: ArrayLike,
    friction: float,
    *,
    back: bool | Sequence[bool] | NDArray[np.bool_] = False,
    scale: float = SCALE,
) -> Comparison:
    r"""Put measured forces at the harness beside those that the model computes from the device's end.

    .. math:: F_h = F_d\,e^{\pm\mu\theta}

    Parameters
    ----------
    device_force, harness_force : array_like
        Forces at the two ends while the cable slides [N], shape (readings,)
    bend : array_like
        Total bend [rad], shape (readings,)
    friction : float
        Friction coefficient of the model [-]
    back : bool or sequence of bool
        True where the cable was let back
    scale : float
        What a reading of the spring scale may be off [N]

    Returns
    -------
    Comparison
        Force at the harness, read and computed [N]; the scale is off at both ends, independently

    Raises
    ------
    InputError
        As `fit_friction`, but from one reading on

    Examples
    --------
    >>> side = compare_cable([40.0], [52.0], [np.pi], 0.08)
    >>> round(float(side.residual[0]), 1), bool(side.inside[0])
    (0.6, True)
    """
    device, harness = (
        _rows.sizes("force at the device", device_force),
        _rows.sizes("force at the harness", harness_force),
    )
    angle = _rows.bends(bend)
    _rows.paired(device, harness, angle, fewest=1)
    _rows.uncertain("scale", scale)
    out = np.array([1.0 / tension_ratio(friction, theta) for theta in angle])
    let_back = _rows.strokes(back, device)
    ratio = np.where(let_back, 1.0 / out, out)
    sense = np.where(let_back, -1.0, 1.0)
    return compare(harness, device * ratio, scale * np.hypot(1.0, ratio), along=angle, sense=sense)
