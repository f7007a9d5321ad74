"""How far runs of webbing turn, and how hard that presses them into flesh."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


def turning(nodes: Array, reach: float | None = None) -> Array:
    """How far runs turn in all, or over a first stretch of them.

    Parameters
    ----------
    nodes : ndarray
        Runs [m], shape (runs, nodes, 3)
    reach : float, optional
        Length of the stretch from the first node [m]

    Returns
    -------
    ndarray
        Sum of the turns, without sign [rad], shape (runs,)

    Examples
    --------
    >>> float(turning(np.array([[[0.0, 0, 0], [1, 0, 0], [1, 1, 0]]]))[0].round(4))
    1.5708
    """
    way = np.diff(nodes, axis=1)
    chord = np.sqrt((way * way).sum(axis=2, keepdims=True))
    way = way / np.maximum(chord, 1e-12)
    turn = np.arccos(np.clip((way[:, 1:] * way[:, :-1]).sum(axis=2), -1.0, 1.0))
    if reach is not None:
        turn = turn * np.clip(reach / chord[:, :-1, 0] - np.arange(turn.shape[1]) - 0.5, 0.0, 1.0)
    return np.asarray(turn.sum(axis=1))


def sinking(nodes: Array) -> Array:
    r"""How much a run presses on flesh along its way, for each newton of its tension, weighed with what it shortens.

    .. math:: \int \kappa^2\,ds

    Parameters
    ----------
    nodes : ndarray
        Runs [m], shape (runs, nodes, 3)

    Returns
    -------
    ndarray
        Squared curvature added up along each run [1/m], shape (runs,)

    Examples
    --------
    Half a circle of radius 0.1 m turns by pi:

    >>> at = np.linspace(0.0, np.pi, 200)
    >>> half = 0.1 * np.stack([np.cos(at), np.sin(at), 0.0 * at], axis=1)
    >>> float(sinking(half[None])[0].round(1))
    31.3
    """
    way = np.diff(nodes, axis=1)
    chord = np.sqrt((way * way).sum(axis=2))
    heading = way / np.maximum(chord, 1e-12)[..., None]
    turn = np.sqrt((np.diff(heading, axis=1) ** 2).sum(axis=2))
    return np.asarray((turn * turn / (0.5 * (chord[:, 1:] + chord[:, :-1]))).sum(axis=1))
