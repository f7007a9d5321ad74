"""Excursion that a motion generates: at the crossbar, and round the sound shoulder."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.harness.layout import OVER, UNDER
from controlkit.mechanics.harness.motion import Followed

Array = NDArray[np.float64]

_NAME = "generated excursion"


def generated(found: Followed) -> Array:
    r"""Excursion that each pose of a motion generates, counted from donning.

    .. math:: g = \Delta l_c + \frac{\Delta l_l}{m}, \qquad
              m = -\mathbf{u}_c \cdot (\mathbf{u}_o + \mathbf{u}_u)

    Parameters
    ----------
    found : Followed
        The motion

    Returns
    -------
    ndarray
        Generated excursion [m], shape (stations,)

    Notes
    -----
    *l*\ :sub:`c` is the path of the control strap and *l*\ :sub:`l` that of the axilla loop, over and under the sound
    shoulder, both with the ring held where it was donned. *u* are the directions in which control strap and both legs
    leave the ring. A ring that moves by *s* against the control strap shortens the loop's path by *m s*; so a loop
    that does not stretch and whose path grows by *m s* draws the ring by *s*. Virtual work says the same: where only
    loop and control strap act on the ring, *T*\ :sub:`c` = *m T*\ :sub:`l`.

    Limits: of first order in *s*, with the directions of the pose and the ring held; the other straps and the skin are
    left out, and what they hold back counts as lost with the ring. A pattern without a loop has the first term alone.

    Examples
    --------
    >>> import numpy as np
    >>> from controlkit.mechanics import Pose, SingleControl, Wearer, figure_of_eight
    >>> system = SingleControl(figure_of_eight(Wearer.average("male")))
    >>> found = system.sweep([0.0], sound_scapular_abduction=np.deg2rad(20)).guess
    >>> bool(generated(found)[-1] > 0.010)
    True
    """
    kept = vars(found)  # each answer asks for it: it stays with the motion, which never changes
    if _NAME not in kept:
        kept[_NAME] = _worked_out(found)
        kept[_NAME].flags.writeable = False
    return np.asarray(kept[_NAME])


def _worked_out(found: Followed) -> Array:
    """What `generated` returns."""
    own = found.held.length - found.held.length[0]
    if not found.harness.layout.loops:
        return np.asarray(own)
    over, under = found.runs[OVER], found.runs[UNDER]
    loop = over.length + under.length
    yields = -(_heading(found.held.nodes) * (_heading(over.nodes) + _heading(under.nodes))).sum(axis=1)
    return np.asarray(own + (loop - loop[0]) / yields)


def _heading(nodes: Array) -> Array:
    """Direction in which runs leave the ring [-], shape (stations, 3)."""
    first = nodes[:, 1] - nodes[:, 0]
    return np.asarray(first / np.linalg.norm(first, axis=1, keepdims=True))
