"""Shapes and posed bodies kept for the next question: bodies change less often than straps."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from controlkit.mechanics.body.placed import Posed, place
from controlkit.mechanics.body.pose import Pose
from controlkit.mechanics.body.shape import Build, build
from controlkit.mechanics.body.wearer import Wearer


@lru_cache(maxsize=64)
def built(wearer: Wearer) -> Build:
    """The shape of one wearer, kept for the next question.

    Parameters
    ----------
    wearer : Wearer
        The wearer

    Returns
    -------
    Build
        Shape, arrays over one wearer

    Examples
    --------
    >>> built(Wearer.average("male")).joint.shape
    (1, 3)
    """
    return build([wearer])


@lru_cache(maxsize=64)
def stand(wearer: Wearer, pose: Pose) -> Posed:
    """One wearer in one pose, kept for the next question.

    Parameters
    ----------
    wearer : Wearer
        The wearer
    pose : Pose
        The pose

    Returns
    -------
    Posed
        The body, one row

    Examples
    --------
    >>> stand(Wearer.average("male"), Pose()).surface.count
    1
    """
    return place(built(wearer), np.zeros(1, dtype=np.intp), [pose])
