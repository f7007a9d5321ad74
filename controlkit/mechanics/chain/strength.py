"""How strong a wearer is: cable force in the harness, and moment of arm flexion, never one for the other."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from controlkit.mechanics.inputs import within
from controlkit.sources import source

CABLE = source("arm_flexion_force").si
"""Cable strength unless given: arm flexion of people without amputation, the method unclear; second-hand [N]."""
CABLE_MEASURED = source("user_maximum_force").si_low, source("user_maximum_force").si_high
"""Cable strength of 23 people with transradial deficiency, weakest and strongest; no split by sex was found [N]."""
MEN = source("shoulder_flexion_moment_men")
WOMEN = source("shoulder_flexion_women_of_men").si
"""Women's flexion moment over men's, without amputation; for wearers reasoned [-]."""
SPREAD = source("strength_spread").si_low, source("strength_spread").si_high
"""Standard deviation over mean of muscle strength within a group [-]."""
FURTHEST = float(np.deg2rad(MEN.at[-1]))
"""Arm flexion beyond which no flexion moment was measured [rad]."""
RAISED = 90.0
"""Arm flexion up to which the line from 0 to 45 degrees is carried on [deg]."""


@dataclass(frozen=True, kw_only=True)
class Strength:
    """What a wearer can do with all strength, once.

    Parameters
    ----------
    cable : float
        Largest cable force by arm flexion in the harness [N]
    flexion_moment : float, optional
        Largest moment of arm flexion, the arm hanging; unless given, the mean of the wearer's sex [N m]

    Raises
    ------
    InputError
        If a value is not credible

    Notes
    -----
    Cable strength: one default for all, 280 N (people without amputation, second-hand); 23 wearers reached 87 to 538 N
    whatever their size, and no source splits them by sex. Flexion moment: young people without amputation, men 89.9 N m
    hanging and 68.6 N m at 45 degrees, women on average half (elsewhere 55 %). That wearers are as strong is
    reasoned: none were measured. Within a group the standard deviation is 20 to 30 % of the mean. From 45 to 90 degrees
    the line from 0 to 45 is carried on, reasoned: so the bare arm held forward takes about the share of strength that
    was printed (`bare_arm_share_men`, `bare_arm_share_women`). Further up and behind the trunk the end is held.

    Examples
    --------
    >>> Strength(cable=110.0).cable, Strength().flexion("male", 0.0), Strength().flexion("female", 0.0)
    (110.0, 89.9, 44.95)
    """

    cable: float = CABLE
    flexion_moment: float | None = None

    def __post_init__(self) -> None:
        low, high = CABLE_MEASURED
        measured = f"{low:g} to {high:g} N have been measured"
        within("The largest cable force", self.cable, 20.0, 1000.0, example="newton(280)", of="force", hint=measured)
        if self.flexion_moment is not None:
            within("The flexion moment", self.flexion_moment, 5.0, 250.0, example="70", of="moment")

    def flexion(self, sex: str, arm_flexion: float) -> float:
        """Largest moment of arm flexion at an angle.

        Parameters
        ----------
        sex : str
            "female" or "male": whose mean it is unless `flexion_moment` was given
        arm_flexion : float
            Upper arm forward of hanging [rad]

        Returns
        -------
        float
            Moment; from 0 to 90 degrees along a straight line, outside held [N m]

        Examples
        --------
        >>> round(Strength(flexion_moment=60.0).flexion("male", np.deg2rad(45)), 1)
        45.8
        """
        (first, last), (most, less) = MEN.at, MEN.series
        turned = np.clip(np.rad2deg(arm_flexion), first, RAISED)
        curve = most + (less - most) * (turned - first) / (last - first)
        if self.flexion_moment is None:
            return float(curve) * (WOMEN if sex == "female" else 1.0)
        return float(curve) / MEN.series[0] * self.flexion_moment
