"""The resting scapula laid on a wearer's back, and where a strap crosses it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.body.places import joints
from controlkit.mechanics.body.pose import Pose
from controlkit.mechanics.body.wearer import Wearer
from controlkit.sources import source

Array = NDArray[np.float64]

BORDERS = ((0.040, 0.026), (0.031, 0.050), (0.031, 0.085), (0.041, 0.114), (0.052, 0.108), (0.078, 0.068))
"""Corners seen from behind, outward from the midline and down from C7, in parts of stature [-]: upper angle, medial
border, lower angle, lateral border up to the socket. Read off posture texts, as `scapula` says."""


@dataclass(frozen=True, kw_only=True)
class Scapula:
    """A resting scapula, seen from behind.

    Attributes
    ----------
    top, middle, third, tip : float
        Its upper edge, its middle, where its lower third begins and its lower tip, below C7 [m]
    medial, lateral : ndarray
        Borders: below C7 and out from the midline [m], shape (corners, 2)
    """

    top: float
    middle: float
    third: float
    tip: float
    medial: Array
    lateral: Array


@dataclass(frozen=True)
class Crossing:
    """Where a strap crosses a scapula.

    Attributes
    ----------
    medial, lateral : float
        Below C7, where it comes over the medial border and leaves over the lateral one; not a number where it
        does not cross that border [m]
    """

    medial: float
    lateral: float


def scapula(wearer: Wearer) -> Scapula:
    """Lay a resting scapula of average proportions on a wearer's back.

    Parameters
    ----------
    wearer : Wearer
        The wearer

    Returns
    -------
    Scapula
        Its levels and borders

    Notes
    -----
    Grows with stature, 155 mm for an average man (von Schroeder and others 2001). Medial border about 5 cm from the
    midline, upper angle at the second rib, lower one at the seventh (posture texts, second-hand). People differ by
    16 mm (one SD) in its length alone: a landmark, not a measurement of this wearer.

    Examples
    --------
    >>> levels = scapula(Wearer.average("male"))
    >>> [round(1000 * level) for level in (levels.top, levels.third, levels.tip)]
    [46, 149, 200]
    """
    corners = wearer.stature * np.array(BORDERS)[:, ::-1]
    top, tip = float(corners[0, 0]), float(corners[3, 0])
    share = source("control_strap_level").si_high
    return Scapula(
        top=top,
        middle=(top + tip) / 2.0,
        third=tip - share * (tip - top),
        tip=tip,
        medial=corners[:4],
        lateral=corners[:2:-1],
    )


def crossing(wearer: Wearer, strap: Array) -> Crossing:
    """Where a strap crosses the resting scapula of the amputated side.

    Parameters
    ----------
    wearer : Wearer
        The wearer, arm hanging
    strap : ndarray
        The strap's run, ISB axes [m], shape (nodes, 3)

    Returns
    -------
    Crossing
        Levels below C7

    Examples
    --------
    >>> from controlkit.mechanics import SingleControl, figure_of_eight
    >>> man = Wearer.average("male")
    >>> strap = SingleControl(figure_of_eight(man)).at().straps["control attachment strap"]
    >>> over = crossing(man, strap)
    >>> scapula(man).top < over.medial < over.lateral
    True
    """
    side = 1.0 if wearer.amputated == "right" else -1.0
    bones, c7 = scapula(wearer), float(joints(wearer, Pose())["c7"][1])
    below, out = c7 - strap[:, 1], side * strap[:, 2]
    return Crossing(_first(below, out, bones.medial), _first(below, out, bones.lateral))


def _first(below: Array, out: Array, border: Array) -> float:
    """Level at which a run first passes outward over a border, which is carried on straight up and down."""
    gap = out - np.interp(below, border[:, 0], border[:, 1])
    passed = np.flatnonzero((gap[:-1] < 0.0) & (gap[1:] >= 0.0))
    if not passed.size:
        return float("nan")
    k = int(passed[0])
    return float(below[k] + gap[k] / (gap[k] - gap[k + 1]) * (below[k + 1] - below[k]))
