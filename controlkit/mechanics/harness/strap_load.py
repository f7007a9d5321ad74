"""What one strap presses on the skin, as a record that patterns can read too."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True)
class StrapLoad:
    r"""What one strap presses on the skin along its way.

    .. math:: q = T / R, \quad p = q / w

    Attributes
    ----------
    strap : str
        Name of the strap
    places : ndarray
        Places along it, inner axes, ISB axes once part of a `Pull` [m], shape (places, 3)
    line_load : ndarray
        Load per length of strap [N/m], shape (places,)
    width : float
        Width of the strap [m]
    in_armpit : ndarray
        Which places lie in the sound armpit [-], shape (places,)
    across : ndarray
        What friction must hold, along the skin and across a strap whose course is not the shortest [N], shape (places,)
    pressing : ndarray
        What presses the strap on the skin there [N], shape (places,)

    Notes
    -----
    From the tension and the local radius of the path; where the strap is straight, over a hollow, it
    presses nothing. Edges do not dig in, so a real strap presses unevenly across its width: the mean is a
    lower bound of the worst. No value of it is safe: what an armpit bears is judged on the person, and
    numbness or tingling in the sound hand means stop.
    """

    strap: str
    places: Array
    line_load: Array
    width: float
    in_armpit: NDArray[np.bool_]
    across: Array
    pressing: Array

    @property
    def pressure(self) -> Array:
        """Mean pressure over the width [Pa], shape (places,)."""
        return self.line_load / self.width

    @property
    def worst(self) -> float:
        """Largest line load anywhere [N/m]."""
        return float(self.line_load.max(initial=0.0))

    @property
    def armpit(self) -> float:
        """Largest line load in the sound armpit, 0 where the strap runs clear of it [N/m]."""
        return float(self.line_load[self.in_armpit].max(initial=0.0))

    def holds(self, friction: float) -> bool:
        """Whether friction keeps the strap where it was laid.

        Parameters
        ----------
        friction : float
            Friction of strap on skin or cloth [-]

        Returns
        -------
        bool
            Whether what would carry it off is no more than friction times what presses it on, its whole way counted
        """
        return float(self.across.sum()) <= friction * float(self.pressing.sum())
