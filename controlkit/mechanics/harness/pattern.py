"""Harness patterns: what a fitter chooses, and within which limits."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import TypedDict

from controlkit.mechanics.body.remembered import built
from controlkit.mechanics.body.wearer import Wearer
from controlkit.mechanics.harness.laws import Straps
from controlkit.mechanics.harness.layout import (
    Layout,
    chest_strap_layout,
    figure_of_eight_layout,
    figure_of_nine_layout,
)
from controlkit.mechanics.harness.skin import Skin
from controlkit.mechanics.inputs import kind
from controlkit.units import InputError, show

EIGHT, NINE, CHEST = "figure-of-eight", "figure-of-nine", "chest strap with saddle"
PATTERNS = (EIGHT, NINE, CHEST)
"""Patterns below the elbow."""
RING, SEWN = "ring", "sewn"
CROSSINGS = (RING, SEWN)
"""How the straps of a figure-of-eight meet on the back."""

LIMITS: dict[str, tuple[float, float]] = {
    "ring_below_c7": (0.01, 0.16),
    "ring_to_sound_side": (-0.02, 0.07),
    "crossbar": (0.25, 0.90),
    "control_strap": (-0.05, 0.10),
    "axilla_loop": (-0.03, 0.08),
    "support_strap": (-0.03, 0.08),
}
"""What may be asked of a figure-of-eight or -nine, low and high [m, and - for the crossbar]."""

CHEST_LIMITS: dict[str, tuple[float, float]] = {
    **LIMITS,
    "ring_below_c7": (0.13, 0.32),
    "ring_to_sound_side": (-0.06, 0.08),
}
"""What may be asked of a chest strap; its ring is where the control strap branches off on the back."""

_WHY = {
    "ring_below_c7": "the ring must lie on the back below C7",
    "ring_to_sound_side": "the ring must lie on the back between the shoulder blades",
    "crossbar": "the crossbar must sit on the upper arm, clear of shoulder and elbow",
    "control_strap": "a strap taken in further is too short to don, and one let out further never comes taut",
    "axilla_loop": "a loop taken in further is too short to don, and one let out further falls off the shoulder",
    "support_strap": "a strap taken in further is too short to don, and one let out further carries nothing",
}
_WHY_CHEST = {
    "ring_below_c7": "the chest strap passes under the arms, below the armpits and above the lowest ribs",
    "ring_to_sound_side": "the control strap branches off on the back, between the shoulder blades",
    "axilla_loop": "a chest strap taken in further is too short to don, and one let out further slides down",
}


class Placement(TypedDict, total=False):
    """Where a fitter puts what can be put elsewhere, to be handed on as `figure_of_eight(wearer, **placement)`.

    Attributes
    ----------
    ring_below_c7 : float
        Height of the ring under the C7 vertebra [m]
    ring_to_sound_side : float
        Its distance from the spine towards the sound side [m]
    crossbar : float
        Where the cable meets the crossbar, share of the upper arm from shoulder to elbow [-]
    control_strap : float
        Control attachment strap let out (+) or taken in (-) from just snug [m]
    axilla_loop : float
        Axilla loop let out (+) or taken in (-) from just snug [m]
    """

    ring_below_c7: float
    ring_to_sound_side: float
    crossbar: float
    control_strap: float
    axilla_loop: float


@dataclass(frozen=True)
class Harness:
    """A harness below the elbow: straps on their wearer, and where a fitter has put them.

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
        Control attachment strap let out (+) or taken in (-) at its buckle from just snug [m]
    axilla_loop : float
        Axilla loop, or chest strap, let out (+) or taken in (-) from just snug [m]
    skin : Skin
        How skin and cloth hold the ring
    support_strap : float
        Anterior support strap let out (+) or taken in (-) at its buckle from just snug [m]
    straps : Straps
        What the straps are made of
    pattern : str
        One of `PATTERNS`
    crossing : str
        "ring", or "sewn" for straps sewn to each other where they cross
    fork : bool
        Whether the anterior support strap divides into an inverted Y at a junction of its own

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
    support_strap: float = 0.0
    straps: Straps = Straps()
    pattern: str = EIGHT
    crossing: str = RING
    fork: bool = True

    def __post_init__(self) -> None:
        kind("The wearer", self.wearer, Wearer, 'Wearer.average("female")')
        for name, allowed in (("pattern", PATTERNS), ("crossing", CROSSINGS)):
            if getattr(self, name) not in allowed:
                named = " or ".join(f'"{each}"' for each in allowed)
                raise InputError(f"The harness's {name} was given as {getattr(self, name)!r}. Give {named}.")
        if self.crossing == SEWN and self.pattern != EIGHT:
            raise InputError(f"A {self.pattern} has no cross-point to sew. Choose a figure-of-eight, or a ring.")
        for name, (low, high) in self.limits.items():
            value = getattr(self, name)
            if isinstance(value, bool) or not isinstance(value, (int, float)) or not low <= value <= high:
                raise InputError(_refusal(name, value, low, high, self.pattern))

    @property
    def limits(self) -> Mapping[str, tuple[float, float]]:
        """What may be asked of this pattern, low and high [m, and - for the crossbar]."""
        return CHEST_LIMITS if self.pattern == CHEST else LIMITS

    @cached_property
    def layout(self) -> Layout:
        """The pattern as a net of runs and junctions."""
        if self.pattern == CHEST:
            return chest_strap_layout()
        if self.pattern == NINE:
            return figure_of_nine_layout()
        return figure_of_eight_layout(fork=self.fork, sewn=self.crossing == SEWN)


def _refusal(name: str, value: object, low: float, high: float, pattern: str) -> str:
    said = name.replace("_", " ").capitalize().replace("c7", "C7")
    why = _WHY_CHEST.get(name, _WHY[name]) if pattern == CHEST else _WHY[name]
    number = isinstance(value, (int, float)) and not isinstance(value, bool)
    if name == "crossbar":
        given, allowed = f"{value}", f"between {low:g} and {high:g} of the upper arm"
    else:
        given = show(float(value), "length") if number else repr(value)  # type: ignore[arg-type]
        allowed = f"between {show(low, 'length')} and {show(high, 'length')}"
    return f"{said} was given as {given}: {why}. Give {allowed}."


def figure_of_eight(
    wearer: Wearer,
    *,
    ring_below_c7: float = 0.06,
    ring_to_sound_side: float = 0.025,
    crossbar: float = 0.55,
    control_strap: float = 0.0,
    axilla_loop: float = 0.0,
    support_strap: float = 0.0,
    crossing: str = RING,
    skin: Skin = Skin(),
    straps: Straps = Straps(),
    fork: bool = True,
) -> Harness:
    """Put a figure-of-eight harness on a wearer.

    Parameters
    ----------
    wearer : Wearer
        Who wears it
    ring_below_c7 : float
        Height of the ring, or of the sewn cross-point, under the C7 vertebra [m]
    ring_to_sound_side : float
        Its distance from the spine towards the sound side [m]
    crossbar : float
        Where the cable meets the crossbar, share of the upper arm from shoulder to elbow [-]
    control_strap : float
        Control attachment strap let out (+) or taken in (-) from just snug [m]
    axilla_loop : float
        Axilla loop let out (+) or taken in (-) from just snug [m]
    support_strap : float
        Anterior support strap let out (+) or taken in (-) from just snug [m]
    crossing : str
        "ring", or "sewn" for straps sewn to each other where they cross
    skin : Skin
        How skin and cloth hold the ring
    straps : Straps
        What the straps are made of
    fork : bool
        Whether the anterior support strap divides into an inverted Y; without, it ends on the arm's front

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
    places = (ring_below_c7, ring_to_sound_side, crossbar, control_strap, axilla_loop)
    return Harness(wearer, *places, skin, support_strap, straps, EIGHT, crossing, fork)


def figure_of_nine(
    wearer: Wearer,
    *,
    ring_below_c7: float = 0.06,
    ring_to_sound_side: float = 0.025,
    crossbar: float = 0.55,
    control_strap: float = 0.0,
    axilla_loop: float = 0.0,
    skin: Skin = Skin(),
    straps: Straps = Straps(),
) -> Harness:
    """Put a figure-of-nine harness on a wearer: axilla loop and control strap, no anterior support strap.

    Parameters
    ----------
    wearer : Wearer
        Who wears it
    ring_below_c7 : float
        Height of the ring under the C7 vertebra [m]
    ring_to_sound_side : float
        Its distance from the spine towards the sound side [m]
    crossbar : float
        Where the cable meets the crossbar, share of the upper arm from shoulder to elbow [-]
    control_strap : float
        Control attachment strap let out (+) or taken in (-) from just snug [m]
    axilla_loop : float
        Axilla loop let out (+) or taken in (-) from just snug [m]
    skin : Skin
        How skin and cloth hold the ring
    straps : Straps
        What the straps are made of

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
    It carries nothing: the socket must hold on to the residual limb by itself.

    Examples
    --------
    >>> figure_of_nine(Wearer.average("female")).pattern
    'figure-of-nine'
    """
    places = (ring_below_c7, ring_to_sound_side, crossbar, control_strap, axilla_loop)
    return Harness(wearer, *places, skin, straps=straps, pattern=NINE)


def chest_strap(
    wearer: Wearer,
    *,
    strap_below_c7: float | None = None,
    branch_to_sound_side: float = 0.02,
    crossbar: float = 0.55,
    control_strap: float = 0.0,
    around: float = 0.0,
    support_strap: float = 0.0,
    skin: Skin = Skin(),
    straps: Straps = Straps(),
) -> Harness:
    """Put a chest strap with a shoulder saddle on a wearer: nothing goes over the sound shoulder.

    Parameters
    ----------
    wearer : Wearer
        Who wears it
    strap_below_c7 : float, optional
        Height of the chest strap under C7; where a chest is measured unless given, to the millimetre [m]
    branch_to_sound_side : float
        Distance of the place where the control strap branches off from the spine towards the sound side [m]
    crossbar : float
        Where the cable meets the crossbar, share of the upper arm from shoulder to elbow [-]
    control_strap : float
        Control attachment strap let out (+) or taken in (-) from just snug [m]
    around : float
        Chest strap let out (+) or taken in (-) from just snug [m]
    support_strap : float
        Suspensor between saddle and socket let out (+) or taken in (-) from just snug [m]
    skin : Skin
        How skin and cloth hold the strap on the back
    straps : Straps
        What the straps are made of

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
    The saddle is taken to sit still on the shoulder and to go where the girdle goes; its front flap reaches down to
    the strap. The strap lies level round the chest, as laid, because friction keeps it there; a state says so where
    friction would not. With the arm raised the control strap pulls the branch up the back. Heights are assumptions:
    no published figure for the course of a chest strap was found.

    Examples
    --------
    >>> chest_strap(Wearer.average("female")).ring_below_c7
    0.208
    """
    if strap_below_c7 is None:
        kind("The wearer", wearer, Wearer, 'Wearer.average("female")')
        height = built(wearer).height
        strap_below_c7 = round(float(height["c7"][0] - height["chest"][0]), 3)
    places = (strap_below_c7, branch_to_sound_side, crossbar, control_strap, around)
    return Harness(wearer, *places, skin, support_strap, straps, CHEST)
