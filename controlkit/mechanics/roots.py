"""Roots of growing functions, and ends of conditions, many at once."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]


def illinois(
    miss: Callable[[Array], Array],
    *,
    low: Array,
    high: Array,
    below: Array | None = None,
    above: Array | None = None,
    close: float = 0.0,
    still: float = 0.0,
    most: int = 40,
) -> Array:
    r"""Where growing functions pass through nought, by false position with the Illinois rule.

    .. math:: x = a - f_a \frac{b - a}{f_b - f_a}

    Parameters
    ----------
    miss : callable
        From places [unit], shape (roots,), to values there [unit], shape (roots,); it is asked at every place once,
        and last where the answer lies
    low, high : ndarray
        Ends a and b between which each root lies [unit], shape (roots,)
    below, above : ndarray, optional
        Values at the ends, where they are known [unit], shape (roots,)
    close : float
        A value so near to nought, at every root, ends the search [unit]
    still : float
        So does a step that is shorter at every root [unit]
    most : int
        Most steps [-]

    Returns
    -------
    ndarray
        Roots, the nearer end where there is none between them [unit], shape (roots,)

    Notes
    -----
    False position alone keeps one end for good where the function bends. The Illinois rule halves the value at an end
    that has stayed twice running; the order of convergence is then 1.44 (M. Dowell and P. Jarratt, A modified regula
    falsi method for computing the root of an equation, BIT 11, 168-174, 1971; cited from memory). One evaluation of
    all roots a step; it goes on until the slowest root is found.

    Examples
    --------
    >>> illinois(lambda x: x**3 - np.array([1.0, 8.0]), low=np.zeros(2), high=3.0 + np.zeros(2), still=1e-12).round(9)
    array([1., 2.])
    """
    below = miss(low) if below is None else below
    above = miss(high) if above is None else above
    stayed = np.zeros_like(
        low
    )  # -1 where the last step moved the low end, so that the high one stayed, 1 the other way
    found = np.where(below > 0.0, low, high)
    for _ in range(most):
        last, found = found, np.clip(low - below * (high - low) / np.maximum(above - below, 1e-300), low, high)
        value = miss(found)
        if np.abs(value).max() < close:
            break
        short = value < 0.0
        above = np.where(short, np.where(stayed < 0.0, 0.5 * above, above), value)
        below = np.where(short, value, np.where(stayed > 0.0, 0.5 * below, below))
        low, high = np.where(short, found, low), np.where(short, high, found)
        stayed = np.where(short, -1.0, 1.0)
        if np.abs(found - last).max() < still:
            break
    return found


def halved(holds: Callable[[Array], Mask], *, low: Array, high: Array, times: int = 40) -> tuple[Array, Array]:
    r"""Where conditions that hold at the low end cease to, by halving.

    .. math:: b - a \to 2^{-n} (b - a)

    Parameters
    ----------
    holds : callable
        From places [unit], shape (places,), to whether the condition holds there [-], shape (places,)
    low, high : ndarray
        Ends a and b between which each ceases to hold [unit], shape (places,)
    times : int
        How often what lies between is halved, n [-]

    Returns
    -------
    low, high : ndarray
        The last place found at which it holds, and the first at which it does not [unit], shape (places,)

    Notes
    -----
    A condition that holds throughout moves the low end to the high one, and one that never does the other way.

    Examples
    --------
    >>> low, _ = halved(lambda x: x**2 < np.array([1.0, 2.0]), low=np.zeros(2), high=2.0 + np.zeros(2))
    >>> low.round(6)
    array([1.      , 1.414214])
    """
    for _ in range(times):
        middle = 0.5 * (low + high)
        more = holds(middle)
        low, high = np.where(more, middle, low), np.where(more, high, middle)
    return low, high


def first_above(x: Array, y: Array) -> Array:
    r"""Where each of some sampled courses first rises above nought, by proportion between two samples.

    .. math:: x = x_k - y_k \frac{x_k - x_{k-1}}{y_k - y_{k-1}}

    Parameters
    ----------
    x : ndarray
        Samples, rising [unit], shape (samples,)
    y : ndarray
        Values there, minus infinity where there is none [unit], shape (courses, samples)

    Returns
    -------
    ndarray
        Places; the first sample where a course begins above nought, or follows on none, and infinite where it never
        rises so far [unit], shape (courses,)

    Examples
    --------
    >>> first_above(np.array([0.0, 1.0, 2.0]), np.array([[-1.0, 3.0, 5.0], [-3.0, -2.0, -1.0]])).tolist()
    [0.25, inf]
    """
    above = y > 0.0
    k = above.argmax(axis=1)
    rows = np.arange(len(y))
    before, after = y[rows, np.maximum(k - 1, 0)], y[rows, k]
    inside = (k > 0) & np.isfinite(before) & above[rows, k]
    before, after = np.where(inside, before, -1.0), np.where(inside, after, 0.0)
    share = after / (after - before)
    return np.where(above.any(axis=1), x[k] - share * (x[k] - x[np.maximum(k - 1, 0)]), np.inf)
