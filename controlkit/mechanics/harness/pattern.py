"""Harness patterns as straps and anchors: what a fitter chooses."""

from __future__ import annotations

from dataclasses import dataclass

from ...units import InputError, show
from .._asked import kind
from ..wearer import Wearer
from .skin import Skin

LIMITS: dict[str, tuple[float, float]] = {
    "ring_below_c7": (0.01, 0.16),
    "ring_to_sound_side": (-0.02, 0.07),
    "crossbar": (0.25, 0.90),
    "control_strap": (-0.05, 0.10),
    "axilla_loop": (-0.03, 0.08),
}
"""What may be asked of a figure-of-eight, low and high [m, and - for the crossbar]."""

_WHY = {
    "ring_below_c7": "the ring must lie on the back below C7",
    "ring_to_sound_side": "the ring must lie on the back between the shoulder blades",
    "crossbar": "the crossbar must sit on the upper arm, clear of shoulder and elbow",
    "control_strap": "a strap taken in further is too short to don, and one let out further never comes taut",
    "axilla_loop": "a loop taken in further is too short to don, and one let out further falls off the shoulder",
}


@dataclass(frozen=True)
class Harness:
    """A figure-of-eight below the elbow: axilla loop, anterior support strap, control strap, and a ring.

    Parameters
    ----------
    wearer : Wearer
        Who wears it
    ring_below_c7 : float
        Height of the ring under the C7 vertebra [m]
    ring_to_sound_side : float
        Distance of the ring from the spine towards the sound side [m]
    crossbar : float
        Where the cable meets the crossbar, share of the upper arm from shoulder to elbow [-]
    control_strap : float
        Control attachment strap let out (+) or taken in (-) from just snug [m]
    axilla_loop : float
        Axilla loop let out (+) or taken in (-) from just snug [m]
    skin : Skin
        How skin and cloth hold the ring

    Raises
    ------
    InputError
        If a value is outside its range

    Notes
    -----
    "Just snug" is the length at which a strap lies on the body with the arm hanging, without load.

    Examples
    --------
    >>> figure_of_eight(Wearer.average("male")).crossbar
    0.55
    """

    wearer: Wearer
    ring_below_c7: float = 0.06
    ring_to_sound_side: float = 0.025
    crossbar: float = 0.55
    control_strap: float = 0.0
    axilla_loop: float = 0.0
    skin: Skin = Skin()

    def __post_init__(self) -> None:
        kind("The wearer", self.wearer, Wearer, 'Wearer.average("female")')
        for name, (low, high) in LIMITS.items():
            value = getattr(self, name)
            if isinstance(value, bool) or not isinstance(value, (int, float)) or not low <= value <= high:
                raise InputError(_refusal(name, value, low, high))


def _refusal(name: str, value: object, low: float, high: float) -> str:
    said = name.replace("_", " ").capitalize().replace("c7", "C7")
    number = isinstance(value, (int, float)) and not isinstance(value, bool)
    if name == "crossbar":
        given, allowed = f"{value}", f"between {low:g} and {high:g} of the upper arm"
    else:
        given = show(float(value), "length") if number else repr(value)  # type: ignore[arg-type]
        allowed = f"between {show(low, 'length')} and {show(high, 'length')}"
    return f"{said} was given as {given}: {_WHY[name]}. Give {allowed}."


def figure_of_eight(
    wearer: Wearer,
    *,
    ring_below_c7: float = 0.06,
    ring_to_sound_side: float = 0.025,
    crossbar: float = 0.55,
    control_strap: float = 0.0,
    axilla_loop: float = 0.0,
    skin: Skin = Skin(),
) -> Harness:
    """Put a figure-of-eight harness with a ring on a wearer.

    Parameters
    ----------
    wearer : Wearer
        Who wears it
    ring_below_c7 : float
        Height of the ring under the C7 vertebra [m]
    ring_to_sound_side : float
        Distance of the ring from the spine towards the sound side [m]
    crossbar : float
        Where the cable meets the crossbar, share of the upper arm from shoulder to elbow [-]
    control_strap : float
        Control attachment strap let out (+) or taken in (-) from just snug [m]
    axilla_loop : float
        Axilla loop let out (+) or taken in (-) from just snug [m]
    skin : Skin
        How skin and cloth hold the ring

    Returns
    -------
    Harness
        The harness

    Raises
    ------
    InputError
        If a value is outside its range, in words that say which

    Notes
    -----
    Published rule of thumb: ring about 1 in below C7 and 1 in to the sound side. It is a start, not
    a result: move the ring and see.

    Examples
    --------
    >>> figure_of_eight(Wearer.average("female"), crossbar=0.6).crossbar
    0.6
    """
    return Harness(wearer, ring_below_c7, ring_to_sound_side, crossbar, control_strap, axilla_loop, skin)
