"""How many bands a task takes, what they ask for, and how many a wearer can open."""

from __future__ import annotations

from dataclasses import dataclass, replace

from controlkit.mechanics.device.fingers import not_negative
from controlkit.mechanics.device.opening import MOST_BANDS, VoluntaryOpening
from controlkit.mechanics.inputs import within
from controlkit.units import InputError


@dataclass(frozen=True)
class Banded:
    """A hook with the fewest bands that serve, and what they ask for.

    Attributes
    ----------
    hook : VoluntaryOpening
        The hook, so banded
    begins, opens : float
        Cable force at the hook with which it begins to open, and is fully open [N]
    at_harness : float
        Pull at the harness with which it is fully open [N]
    """

    hook: VoluntaryOpening
    begins: float
    opens: float
    at_harness: float

    @property
    def bands(self) -> int:
        """Number of bands [-]."""
        return self.hook.bands


def fewest_bands(
    hook: VoluntaryOpening, pinch: float, *, width: float = 0.0, tension: float = 0.0, efficiency: float = 1.0
) -> Banded:
    """Fewest bands with which a hook grips so hard, and stays shut, under a tension of its cable.

    Parameters
    ----------
    hook : VoluntaryOpening
        The hook; its own number of bands does not matter
    pinch : float
        Grip that must be left on the object; nothing if it need only stay shut [N]
    width : float
        Width of the object [m]
    tension : float
        Cable force at the hook that is not meant to open it: above the elbow, the pull that lifts the forearm [N]
    efficiency : float
        Force at the hook over force at the harness [-]

    Returns
    -------
    Banded
        Hook and forces

    Raises
    ------
    InputError
        If no number of bands does it

    Examples
    --------
    >>> light = fewest_bands(VoluntaryOpening(), 10.5, efficiency=0.8)
    >>> light.bands, round(light.begins, 1), round(light.opens, 1), round(light.at_harness, 1)
    (3, 28.2, 42.3, 52.8)
    >>> fewest_bands(VoluntaryOpening(), 10.5, tension=38.0).bands
    7
    """
    wanted, pulled = not_negative("The pinch", pinch, "newton(10)"), not_negative("The tension", tension, "newton(30)")
    within("The efficiency", efficiency, 0.05, 1.0, example="0.8")
    for bands in range(1, MOST_BANDS + 1):
        one = replace(hook, bands=bands)
        left = one.pinch(width, pulled)
        if left > 0.0 and left >= wanted:
            opens = one.force(one.travel)
            return Banded(one, one.force(0.0), opens, opens / efficiency)
    raise InputError(
        given=f"A grip of {wanted:g} N on {1000.0 * width:g} mm was asked for, with {pulled:g} N on the cable.",
        allowed=f"No hook of this kind does that with up to {MOST_BANDS} bands.",
        do="Ask for less grip, less tension or an object that fits.",
    )


def most_bands(hook: VoluntaryOpening, cable_force: float) -> int:
    """Most bands with which a cable force opens a hook fully.

    Parameters
    ----------
    hook : VoluntaryOpening
        The hook; its own number of bands does not matter
    cable_force : float
        Cable force at the hook [N]

    Returns
    -------
    int
        Number of bands; none if it does not open even with one [-]

    Examples
    --------
    >>> most_bands(VoluntaryOpening(), 0.2 * 538.0), most_bands(VoluntaryOpening(), 0.2 * 87.0 * 0.8)
    (7, 0)
    """
    pull = not_negative("The cable force", cable_force, "newton(20)")
    one = replace(hook, bands=1)
    return min(int(pull / one.force(one.travel) + 1e-9), MOST_BANDS)


def two_loads(hook: VoluntaryOpening, light: int, heavy: int) -> tuple[VoluntaryOpening, VoluntaryOpening]:
    """A hook whose load the sound hand switches, at either of its two loads.

    Parameters
    ----------
    hook : VoluntaryOpening
        The hook; its own number of bands does not matter
    light, heavy : int
        Load by which it closes, in bands [-]

    Returns
    -------
    tuple of VoluntaryOpening
        The hook at its light and at its heavy load

    Raises
    ------
    InputError
        If the heavy load is not the greater

    Notes
    -----
    Such hooks exist, with springs or bands of which one set can be laid by; one stood among the hooks that Smit and
    others tested in 2012. Thumb, fingers and travel are the same at both loads. The loads are the fitter's choice.

    Examples
    --------
    >>> light, heavy = two_loads(VoluntaryOpening(), 2, 6)
    >>> round(heavy.pinch() / light.pinch(), 3), heavy.travel == light.travel
    (3.0, True)
    """
    at_light, at_heavy = replace(hook, bands=light), replace(hook, bands=heavy)
    if not light < heavy:
        raise InputError(
            given=f"A light load of {light} bands and a heavy one of {heavy} were given.",
            do="Give fewer bands for the light load than for the heavy one.",
        )
    return at_light, at_heavy
