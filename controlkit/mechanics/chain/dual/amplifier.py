"""An excursion amplifier between control strap and cable: more travel for more force, and less work than went in."""

from __future__ import annotations

from dataclasses import dataclass, replace

from controlkit.mechanics.chain.dual.capture import PULLS, Capture
from controlkit.mechanics.inputs import kind, within
from controlkit.units import InputError

AMPLIFIED_PULLS = (*PULLS, 240.0, 320.0)
"""Pulls at the control strap for which the straps are settled where an amplifier asks for more [N]."""
EFFICIENCY = 0.9
"""Work that an amplifier hands on, share of what goes in [-]. Assumption: no figure was found."""


def without(amplifier: ExcursionAmplifier | None, where: str) -> None:
    """Refuse an amplifier where what is asked counts with none.

    Parameters
    ----------
    amplifier : ExcursionAmplifier or None
        What the system has
    where : str
        What asks, beginning a sentence

    Raises
    ------
    InputError
        If there is one

    Examples
    --------
    >>> without(None, "A checkout")
    """
    if amplifier is not None:
        raise InputError(
            given="The system has an excursion amplifier.",
            allowed=f"{where} counts with a cable that is joined to its strap without one.",
            do="Ask DualControl itself, or take it out: replace(system, amplifier=None).",
        )


@dataclass(frozen=True)
class ExcursionAmplifier:
    r"""A movable pulley or a lever that makes much cable travel of little.

    .. math:: x_c = k\,x_h, \qquad T_h = k\,T_c / \eta, \qquad T_c\,dx_c = \eta\,T_h\,dx_h

    Parameters
    ----------
    ratio : float
        Travel of the cable over travel of the control strap; 2 for a movable pulley, its arms' ratio for a lever [-]
    efficiency : float
        Work that comes out over work that goes in; an assumption [-]

    Raises
    ------
    InputError
        If the ratio is outside 1 to 4, or the efficiency outside 0.3 to 1

    Notes
    -----
    It takes the place of a plain joint between control strap and cable: lift and opening both pass through it, so both
    take the greater force. That it doubles both is taught on study cards; its efficiency was not found anywhere.
    Its mass, its size, and what of its way hits the socket are left out.

    Examples
    --------
    >>> pulley = ExcursionAmplifier(efficiency=0.8)
    >>> pulley.travel(0.05), pulley.force(40.0)
    (0.1, 100.0)
    """

    ratio: float = 2.0
    efficiency: float = EFFICIENCY

    def __post_init__(self) -> None:
        within("The amplifier's ratio", self.ratio, 1.0, 4.0, example="2")
        within("The amplifier's efficiency", self.efficiency, 0.3, 1.0, example="0.9")

    def travel(self, drawn: float) -> float:
        """Travel of the cable.

        Parameters
        ----------
        drawn : float
            Travel of the control strap [m]

        Returns
        -------
        float
            That of the cable [m]
        """
        return self.ratio * drawn

    def force(self, tension: float) -> float:
        """What the control strap must pull.

        Parameters
        ----------
        tension : float
            Tension of the cable beyond the amplifier, pulled [N]

        Returns
        -------
        float
            That of the control strap [N]
        """
        return tension * self.ratio / self.efficiency

    def felt_give(self, cable_give: float) -> float:
        """Give of the cable as the control strap feels it: less pull comes there, and less of it shows.

        Parameters
        ----------
        cable_give : float
            How much the cable stretches by its own tension [m/N]

        Returns
        -------
        float
            How far the strap is drawn for that by its own tension [m/N]
        """
        return cable_give * self.efficiency / self.ratio**2

    def beyond(self, table: Capture) -> Capture:
        """What a harness captures, as the cable beyond the amplifier gets it.

        Parameters
        ----------
        table : Capture
            At the control strap

        Returns
        -------
        Capture
            Longer travel against smaller pulls; what the motion generates stays what it is
        """
        kind("The table", table, Capture, "system.capture()")
        return replace(table, pull=table.pull / self.force(1.0), travel=self.ratio * table.travel)
