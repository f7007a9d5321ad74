"""How hard a strap or a cable pulls at a given length: webbing, and cable with device."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

WEBBING = 15_000.0
"""Force per unit of strain of 25 mm webbing [N]. Assumption: no figure at working load was found."""
TOE = 0.002
"""Stretch over which a strap takes up its load [m]. Assumption: weave straightens, strap beds in."""
_CORNER = 0.3  # [N] rounds the corners between the branches of a pull


@dataclass(frozen=True)
class Webbing:
    r"""Straps that stretch: no push, a smooth start, then a constant stiffness.

    .. math:: T = k\,\frac{e^2}{2 e_0} \ (0 \le e \le e_0), \quad
              T = k\left(e - \frac{e_0}{2}\right) \ (e > e_0), \quad e = l - l_0

    Attributes
    ----------
    free : ndarray
        Length without load l0 [m], shape (straps,)
    stiffness : ndarray
        Stiffness k of the whole strap [N/m], shape (straps,)
    """

    free: Array
    stiffness: Array

    def pull(self, length: Array) -> tuple[Array, Array]:
        """Tension and its rate at a length.

        Parameters
        ----------
        length : ndarray
            Length of the path [m], shape (straps,)

        Returns
        -------
        tension : ndarray
            Tension, never negative [N], shape (straps,)
        rate : ndarray
            Change of tension with length [N/m], shape (straps,)

        Examples
        --------
        >>> import numpy as np
        >>> strap = Webbing(np.array([0.6]), np.array([25000.0]))
        >>> float(strap.pull(np.array([0.604]))[0][0].round(1))
        75.0
        """
        return _toe(length - self.free, self.stiffness)

    def pick(self, which: NDArray[np.intp]) -> Webbing:
        """Some of these straps.

        Parameters
        ----------
        which : ndarray
            Indices [-], shape (picked,)

        Returns
        -------
        Webbing
            Those straps
        """
        return Webbing(self.free[which], self.stiffness[which])


@dataclass(frozen=True)
class Pull:
    """Control strap, cable and device in series: nothing, then stiff, then the device moves.

    Attributes
    ----------
    free : ndarray
        Length at which all slack is gone [m], shape (straps,)
    stiffness : ndarray
        Stiffness of strap and cable together [N/m], shape (straps,)
    start : ndarray
        Force at the harness at which the device begins to move [N], shape (straps,)
    rate : ndarray
        Rise of that force with travel [N/m], shape (straps,)
    full : ndarray
        Force at the harness for full travel; beyond it the force stays [N], shape (straps,)
    """

    free: Array
    stiffness: Array
    start: Array
    rate: Array
    full: Array

    def pull(self, length: Array) -> tuple[Array, Array]:
        """Tension and its rate at a length.

        Parameters
        ----------
        length : ndarray
            Length of the path [m], shape (straps,)

        Returns
        -------
        tension : ndarray
            Tension at the harness, never negative [N], shape (straps,)
        rate : ndarray
            Change of tension with length [N/m], shape (straps,)

        Notes
        -----
        Past full travel the pull stays at its last value: the excursion beyond is the surplus
        that a wearer would not use.

        Examples
        --------
        >>> import numpy as np
        >>> cable = Pull(*(np.array([v]) for v in (0.4, 20000.0, 30.0, 300.0, 42.0)))
        >>> float(cable.pull(np.array([0.42]))[0][0].round(1))
        35.2
        """
        extension = length - self.free
        taut, taut_rate = _toe(extension, self.stiffness)
        soft = 1.0 + self.rate / self.stiffness
        moving = (self.start + self.rate * (extension - 0.5 * TOE)) / soft  # taut, the toe keeps half its length
        moving_rate = self.rate / soft
        branches = np.stack([taut, moving, self.full * np.ones_like(taut)])
        low = branches.min(axis=0)
        weight = np.exp((low - branches) / _CORNER)
        total = weight.sum(axis=0)
        tension = np.maximum(low - _CORNER * np.log(total), 0.0)
        rate = (weight[0] * taut_rate + weight[1] * moving_rate) / total
        return tension, np.where(tension > 0.0, rate, 0.0)

    def pick(self, which: NDArray[np.intp]) -> Pull:
        """Some of these pulls.

        Parameters
        ----------
        which : ndarray
            Indices [-], shape (picked,)

        Returns
        -------
        Pull
            Those pulls
        """
        return Pull(self.free[which], self.stiffness[which], self.start[which], self.rate[which], self.full[which])

    def travel(self, length: Array) -> Array:
        """How far the cable has travelled at the device's end.

        Parameters
        ----------
        length : ndarray
            Length of the path [m], shape (straps,)

        Returns
        -------
        ndarray
            Travel after slack and stretch [m], shape (straps,)

        Examples
        --------
        >>> import numpy as np
        >>> cable = Pull(*(np.array([v]) for v in (0.4, 20000.0, 30.0, 300.0, 42.0)))
        >>> float(cable.travel(np.array([0.42]))[0].round(4))
        0.0172
        """
        stretch = self.pull(length)[0] / self.stiffness
        bedded = np.where(stretch > 0.5 * TOE, stretch + 0.5 * TOE, np.sqrt(2.0 * TOE * stretch))
        return np.asarray(np.maximum(length - self.free - bedded, 0.0))


def _toe(extension: Array, stiffness: Array) -> tuple[Array, Array]:
    stretched = np.maximum(extension, 0.0)
    within = np.minimum(stretched, TOE)
    return stiffness * (within * within / (2.0 * TOE) + (stretched - within)), stiffness * within / TOE
