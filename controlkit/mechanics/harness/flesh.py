"""Flesh over bone under a strap: how far runs sink into it and so shorten, and what that leaves of a pull."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Flesh:
    r"""What runs shorten by as they sink into flesh that stiffens towards the bone under it.

    .. math:: p = \frac{E_0 \varepsilon + E_1 \varepsilon^2}{1 - \varepsilon}, \quad p = c\,T, \quad s = D\,\varepsilon

    Parameters
    ----------
    most : ndarray
        Shortening D of each run, were it pressed down to the bone [m], shape (..., stations), or () for no flesh
    press : ndarray
        Pressure c on the flesh at one newton of tension [Pa], shape (..., stations)
    modulus : float
        Modulus E0 at first [Pa]
    stiffening : float
        Its rise E1 with strain [Pa]

    Notes
    -----
    The numerator is what indentation of limbs gave (Zheng and Mak 1999); the denominator, reasoned, lets nothing be
    pressed through bone. Both a pull for a shortening and what a stiff part in series makes of it are roots of
    quadratics, in closed form.

    Examples
    --------
    >>> flesh = Flesh(np.array([0.02]), np.array([250.0]), 30e3, 280e3)
    >>> float(flesh.sinks(np.array([45.0]))[0][0].round(4))
    0.0028
    """

    most: Array
    press: Array
    modulus: float = 1.0
    stiffening: float = 0.0

    def sinks(self, tension: Array) -> tuple[Array, Array]:
        """Shortening at a tension, and its rate.

        Parameters
        ----------
        tension : ndarray
            Tension, not negative [N], shape (..., stations)

        Returns
        -------
        shortening : ndarray
            How much the run is shorter [m], shape (..., stations)
        rate : ndarray
            Change of shortening with tension [m/N], shape (..., stations)
        """
        if not self.most.ndim:
            return np.zeros_like(tension), np.zeros_like(tension)
        pressure = self.press * tension
        linear = self.modulus + pressure
        strain = 2.0 * pressure / (linear + np.sqrt(linear * linear + 4.0 * self.stiffening * pressure))
        return self.most * strain, self.most * self.press / self._slope(strain)

    def eased(self, load: Array, stiffness: Array) -> tuple[Array, Array]:
        r"""Tension that a part of some stiffness, stretched for a load, bears in series with flesh.

        .. math:: T + k\,s(T) = F

        Parameters
        ----------
        load : ndarray
            Tension F that the part alone would bear [N], shape (..., stations)
        stiffness : ndarray
            Its stiffness k [N/m], shape (..., stations)

        Returns
        -------
        tension : ndarray
            Tension with the flesh [N], shape (..., stations)
        rate : ndarray
            Its change with the load [-], shape (..., stations)

        Examples
        --------
        >>> flesh = Flesh(np.array([0.02]), np.array([250.0]), 30e3, 280e3)
        >>> tension = flesh.eased(np.array([60.0]), np.array([5000.0]))[0]
        >>> float((tension + 5000.0 * flesh.sinks(tension)[0])[0].round(9))
        60.0
        """
        if not self.most.ndim:
            return load, np.ones_like(load)
        pressure, give = self.press * load, self.press * stiffness * self.most
        linear, square = self.modulus + give + pressure, self.stiffening - give
        root = np.sqrt(np.maximum(linear * linear + 4.0 * square * pressure, 0.0))
        strain = 2.0 * pressure / (linear + root)
        slope = self._slope(strain)
        return np.maximum(load - stiffness * self.most * strain, 0.0), slope / (slope + give)

    def pick(self, rows: tuple[object, ...]) -> Flesh:
        """Flesh under some of these runs.

        Parameters
        ----------
        rows : tuple
            Index of the arrays

        Returns
        -------
        Flesh
            Under those runs
        """
        if not self.most.ndim:
            return self
        return Flesh(self.most[rows], self.press[rows], self.modulus, self.stiffening)  # type: ignore[index]

    def _slope(self, strain: Array) -> Array:
        """Rise of pressure with strain [Pa]."""
        rise = self.modulus + self.stiffening * strain * (2.0 - strain)
        return np.asarray(rise / (1.0 - strain) ** 2)


NONE = Flesh(np.zeros(()), np.zeros(()))
"""No flesh: nothing sinks."""
