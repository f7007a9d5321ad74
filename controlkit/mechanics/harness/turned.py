"""Bodies with the arm turned a little each way, for rates of change with arm flexion."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from controlkit.mechanics.body.placed import place
from controlkit.mechanics.body.pose import Pose
from controlkit.mechanics.body.remembered import built
from controlkit.mechanics.body.wearer import Wearer
from controlkit.mechanics.harness.route import Bodies

TURN = 1e-4
"""Turn of the arm each way [rad]."""


@lru_cache(maxsize=64)
def turned(wearer: Wearer, poses: tuple[Pose, ...], girdle_held: bool = False) -> Bodies:
    """One wearer in some poses with a little more arm flexion, then with a little less; kept for the next question.

    Parameters
    ----------
    wearer : Wearer
        The wearer
    poses : tuple of Pose
        Poses
    girdle_held : bool
        Whether the arm turns about the shoulder joint alone, and the girdle does not follow

    Returns
    -------
    Bodies
        Twice as many as poses

    Examples
    --------
    >>> turned(Wearer.average("male"), (Pose(), Pose(arm_flexion=0.5))).posed.surface.count
    4
    """
    who = np.zeros(2 * len(poses), dtype=np.intp)
    turn = np.repeat([TURN, -TURN], len(poses))
    posed = place(built(wearer), who, [*poses, *poses], more_flexion=turn, girdle_held=girdle_held)
    return Bodies(built(wearer), who, posed)
