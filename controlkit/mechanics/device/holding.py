"""What a device does with one object for one pull of the cable; and the same device with a pivot that rubs."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeVar

from controlkit.mechanics.device.base import Device
from controlkit.mechanics.device.fingers import not_negative
from controlkit.mechanics.inputs import within
from controlkit.mechanics.states import State

Kind = TypeVar("Kind", bound=Device)


@dataclass(frozen=True, kw_only=True)
class Holding:
    """A device, an object and a pull.

    Attributes
    ----------
    travel : float
        How far the cable has moved the device [m]
    opening : float
        Distance of the fingertips [m]
    grip : float
        Grip on the object, none if it is not held [N]
    needed : float
        Cable force that opens the device to the object, or closes it on it [N]
    needed_travel : float
        Cable travel for that [m]
    fits : bool
        Whether the device opens wide enough for the object
    states : tuple of State
        Outcomes worth knowing; none of them is an error
    """

    travel: float
    opening: float
    grip: float
    needed: float
    needed_travel: float
    fits: bool
    states: tuple[State, ...]


def hold(device: Device, width: float, pull: float, *, let_go: bool = False) -> Holding:
    """What happens to an object that was put between the fingertips.

    Parameters
    ----------
    device : Device
        Terminal device
    width : float
        Width of the object at the fingertips [m]
    pull : float
        Cable force at the device [N]
    let_go : bool
        Whether the cable has been let go after that pull

    Returns
    -------
    Holding
        Travel, opening, grip

    Raises
    ------
    InputError
        If width or pull is negative or no number

    Examples
    --------
    >>> from controlkit.mechanics.device import VoluntaryClosing, VoluntaryOpening
    >>> round(hold(VoluntaryOpening(bands=3), 0.03, 0.0).grip, 1)
    15.5
    >>> hook = VoluntaryClosing()
    >>> round(hold(hook, 0.0, 33.0).grip, 1), hold(hook, 0.0, 33.0, let_go=True).grip
    (15.0, 0.0)
    """
    width, pull = not_negative("The width", width, "mm(30)"), not_negative("The cable force", pull, "newton(20)")
    fits = width <= device.full_opening * (1.0 + 1e-9)
    meets = device.travel_for(width)
    tension = 0.0 if let_go else pull
    grip = device.held(width, pull, tension) if let_go else device.pinch(width, pull)
    if device.opens:
        travel = max(meets if fits else 0.0, _reached(device, tension))
    elif let_go and not (device.locks and grip > 0.0):
        travel = 0.0
    else:
        travel = min(_reached(device, pull), meets if fits else device.travel)
    states = []
    if not fits:
        states.append(State.of("object-too-wide", width=width, opening=device.full_opening))
    elif grip <= 0.0 and device.opens:
        states.append(State.of("grip-pulled-away", force=tension))
    elif grip <= 0.0 and let_go:
        states.append(State.of("opened-again"))
    elif grip <= 0.0:
        states.append(State.of("grip-not-reached", force=pull))
    return Holding(
        travel=travel,
        opening=device.opening(travel),
        grip=grip,
        needed=device.force(meets),
        needed_travel=meets,
        fits=fits,
        states=tuple(states),
    )


def lost(device: Device) -> float:
    """Energy lost in one cycle of the empty device.

    Parameters
    ----------
    device : Device
        Terminal device

    Returns
    -------
    float
        Energy, pulling less letting back [J]

    Examples
    --------
    >>> from controlkit.mechanics.device import VoluntaryClosing
    >>> round(1000.0 * lost(VoluntaryClosing()), 0)
    53.0
    """
    gap = [device.force(x) - device.force_back(x) for x in (0.0, device.travel)]
    return 0.5 * sum(gap) * device.travel  # both forces rise in straight lines


def refit(device: Kind, friction: float = 0.0) -> Kind:
    """The same device with a pivot that rubs.

    Parameters
    ----------
    device : Device
        Terminal device
    friction : float
        Share of the moment of bands or return spring that the pivot takes in addition, each way [-]

    Returns
    -------
    Device
        The device, of the same kind; bands, spring and fingers are as they were

    Raises
    ------
    InputError
        If the share is outside its range

    Notes
    -----
    The friction of a closing device is taken of what its drag leaves of the return spring, fully open.

    Examples
    --------
    >>> from controlkit.mechanics.device import VoluntaryOpening
    >>> hook = VoluntaryOpening()
    >>> stiff = refit(hook, friction=0.2)
    >>> round(stiff.force(0.0) / hook.force(0.0), 3), round(stiff.pinch() / hook.pinch(), 3)
    (1.2, 0.8)
    """
    within("The friction of the pivot", friction, 0.0, 0.9, example="0.1")
    return device.refitted(friction)


def _reached(device: Device, pull: float) -> float:
    """How far a pull moves a device with nothing between its fingers; its force rises in a straight line [m]."""
    start, full = device.force(0.0), device.force(device.travel)
    if pull < start:
        return 0.0
    return device.travel if full <= start else min((pull - start) / (full - start), 1.0) * device.travel
