"""The control cable in its housing, from the crossbar to the device."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ...units import InputError
from .._asked import number
from .friction import tension_ratio


@dataclass(frozen=True)
class ControlCable:
    """A control cable that runs through a housing past the elbow.

    Parameters
    ----------
    friction : float
        Sliding friction coefficient of cable in housing [-]
    fixed_bend : float
        Bends that are there whatever the elbow does, added without sign [rad]
    elbow_share : float
        Share of the elbow's flexion that the housing bends with it [-]
    stiffness : float
        Force per unit of strain of the cable [N]

    Raises
    ------
    InputError
        If a value is outside its range

    Notes
    -----
    Published friction coefficients scatter from 0.04 to above 0.3: metal on metal, lubricated, 0.06
    (kinetic) to 0.15 (static); PTFE on steel 0.04 to 0.18. The default lies among them. The bends and the
    cable's stiffness are assumptions. A housing holds the path length whatever the elbow does.

    Examples
    --------
    >>> round(ControlCable().efficiency(elbow_flexion=1.5707963), 3)
    0.811
    """

    friction: float = 0.08
    fixed_bend: float = float(np.deg2rad(60.0))
    elbow_share: float = 1.0
    stiffness: float = 80_000.0

    def __post_init__(self) -> None:
        limits = {
            "friction": (0.0, 1.0),
            "fixed_bend": (0.0, 4.0 * np.pi),
            "elbow_share": (0.0, 2.0),
            "stiffness": (1_000.0, 1e7),
        }
        for name, (low, high) in limits.items():
            value = number(f"The cable's {name.replace('_', ' ')}", getattr(self, name), "0.08")
            if not low <= value <= high:
                raise InputError(
                    f"The cable's {name.replace('_', ' ')} was given as {value:g}. Give between {low:g} and {high:.4g}."
                )

    def bend(self, elbow_flexion: float) -> float:
        """Total bend of the housing.

        Parameters
        ----------
        elbow_flexion : float
            Elbow flexion, 0 is straight [rad]

        Returns
        -------
        float
            Sum of all bends [rad]

        Examples
        --------
        >>> round(ControlCable().bend(0.0), 4)
        1.0472
        """
        return self.fixed_bend + self.elbow_share * max(elbow_flexion, 0.0)

    def efficiency(self, elbow_flexion: float) -> float:
        r"""Force at the device over force at the harness, while pulling.

        .. math:: \eta = e^{-\mu\,\theta}

        Parameters
        ----------
        elbow_flexion : float
            Elbow flexion, 0 is straight [rad]

        Returns
        -------
        float
            Efficiency, never above 1 [-]

        Examples
        --------
        >>> round(ControlCable(friction=0.0).efficiency(1.0), 3)
        1.0
        """
        return tension_ratio(self.friction, self.bend(elbow_flexion))
