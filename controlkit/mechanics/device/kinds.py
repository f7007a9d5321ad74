"""A few kinds of device, derived from published figures; none of them is a product."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from controlkit.mechanics.device.base import Device
from controlkit.mechanics.device.closing import VoluntaryClosing
from controlkit.mechanics.device.fingers import apart
from controlkit.mechanics.device.opening import VoluntaryOpening
from controlkit.sources import source

SWING = float(np.deg2rad(55.0))
"""Angle through which the finger moves [rad]. Assumption, as for the opening hook."""
CLOSING_SPAN = 0.058
"""Opening at rest of both closing kinds [m]. Assumption; wider, and the hand's work to close would be
more than eight times the hook's, which is the most that was published."""
RETURN_PULL = 5.0
"""What the return spring leaves, fully open, to draw the cable back [N]. Assumption."""


def hook_opening(bands: int = 3) -> VoluntaryOpening:
    """A hook that bands hold shut.

    Parameters
    ----------
    bands : int
        Rubber bands [-]

    Returns
    -------
    VoluntaryOpening
        The device

    Examples
    --------
    >>> round(hook_opening(5).pinch(), 1)
    22.2
    """
    return VoluntaryOpening(bands=bands)


def hand_opening() -> VoluntaryOpening:
    """A gloved hand that springs hold shut.

    Returns
    -------
    VoluntaryOpening
        The device

    Notes
    -----
    All numbers are assumptions. Published is the direction only: hands pinch less than hooks and ask
    for more force to open (Smit and others 2012; their table could not be reached). A glove pushes the
    fingers apart when shut and together when open, hence the steep rise, and it loses much.

    Examples
    --------
    >>> hand = hand_opening()
    >>> hand.pinch() < hook_opening().pinch(), hand.force(hand.travel) > hook_opening().force(1.0)
    (True, True)
    """
    return VoluntaryOpening(bands=1, band_pinch=9.0, finger=0.065, lever=0.0463, stretch=2.0, friction=0.3)


def hook_closing(lock: bool = False) -> VoluntaryClosing:
    """A hook that the cable closes: the easiest of those measured.

    Parameters
    ----------
    lock : bool
        Whether it keeps its grip by itself

    Returns
    -------
    VoluntaryClosing
        The device

    Notes
    -----
    Two printed figures (Smit and Plettenburg 2010) fix two unknowns. Energy lost in a cycle, 52 N mm,
    over twice the travel is the drag; the cable force for 15 N of pinch, 33 N, less drag and less what the
    pinch itself takes (15 N times finger over operating lever) is the spring when shut. Assumed: travel in the
    middle of the textbook's range, swing, opening, that both figures hold for closing fully, and what
    the spring leaves to draw the cable back.

    Examples
    --------
    >>> round(hook_closing().pull_for(15.0), 6)
    33.0
    """
    return _closing("lowest", lock)


def hand_closing(lock: bool = False) -> VoluntaryClosing:
    """A gloved soft hand that the cable closes: the hardest of those measured.

    Parameters
    ----------
    lock : bool
        Whether it keeps its grip by itself

    Returns
    -------
    VoluntaryClosing
        The device

    Notes
    -----
    As `hook_closing`, from 1409 N mm and 131 N. Most of its cable force goes into spring and glove.
    A linear rise stands for both; a glove's true curve is steeper near shut.

    Examples
    --------
    >>> hand = hand_closing()
    >>> round(hand.pull_for(15.0), 6), round(hand.drag, 1), round(hand.force(hand.travel), 1)
    (131.0, 15.8, 110.7)
    """
    return _closing("highest", lock)


def _closing(which: str, lock: bool) -> VoluntaryClosing:
    printed = source("vc_hook_travel")
    travel = 0.5 * (printed.si_low + printed.si_high)
    lever, finger = travel / SWING, CLOSING_SPAN / apart(1.0, SWING)
    drag = source(f"vc_energy_lost_{which}").si / (2.0 * travel)
    grip = source("vc_pinch_tested").si * finger / lever
    shut = source(f"vc_force_{which}").si - drag - grip
    rest = drag + RETURN_PULL
    return VoluntaryClosing(
        finger=finger, lever=lever, widest=SWING, spring=rest, stretch=shut / rest - 1.0, drag=drag, lock=lock
    )


KINDS: dict[str, Callable[[], Device]] = {
    "hook, voluntary opening": hook_opening,
    "hand, voluntary opening": hand_opening,
    "hook, voluntary closing": hook_closing,
    "hand, voluntary closing": hand_closing,
}
"""Kinds of device by name, each a function that makes one."""
