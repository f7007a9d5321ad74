"""The figure-of-nine: an axilla loop and a control strap, and nothing that holds the socket up."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.body.wearer import Wearer
from controlkit.mechanics.harness import route
from controlkit.mechanics.harness.cuff import Cuff
from controlkit.mechanics.harness.laws import Straps
from controlkit.mechanics.harness.layout import CONTROL_RUN, LOOP, Layout
from controlkit.mechanics.harness.pattern import Harness, Pattern
from controlkit.mechanics.harness.patterns.eight import LIMITS, REASONS
from controlkit.mechanics.harness.route import Fitted
from controlkit.mechanics.harness.skin import Skin

Array = NDArray[np.float64]


@dataclass(frozen=True)
class FigureOfNine(Pattern):
    """What only a figure-of-nine has: it suspends nothing.

    Examples
    --------
    >>> FigureOfNine().layout().straps
    ('axilla loop', 'control attachment strap')
    """

    name: ClassVar[str] = "figure-of-nine"
    limits: ClassVar[dict[str, tuple[float, float]]] = LIMITS
    reasons: ClassVar[dict[str, str]] = REASONS
    suspends: ClassVar[bool] = False

    def layout(self) -> Layout:
        """Axilla loop and control strap alone.

        Returns
        -------
        Layout
            The net
        """
        return Layout((*LOOP, CONTROL_RUN), ("ring",))

    def anchors(self, fitted: Fitted) -> dict[str, Array]:
        """The crossbar alone.

        Parameters
        ----------
        fitted : Fitted
            Bodies and crossbar

        Returns
        -------
        dict
            Points by name [m], shape (bodies, 3)
        """
        bodies = fitted.bodies
        return {"crossbar": route.crossbar_point(bodies.posed, bodies.upper_arm, fitted.crossbar)}


def figure_of_nine(
    wearer: Wearer,
    *,
    ring_below_c7: float = Harness.ring_below_c7,
    ring_to_sound_side: float = Harness.ring_to_sound_side,
    crossbar: float = 0.55,
    control_strap: float = 0.0,
    axilla_loop: float = 0.0,
    skin: Skin = Skin(),
    straps: Straps = Straps(),
    cuff: Cuff = Cuff(),
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
    cuff : Cuff
        How the prosthesis holds on to the upper arm

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
    >>> figure_of_nine(Wearer.average("female")).pattern.name
    'figure-of-nine'
    """
    return Harness(
        wearer,
        pattern=FigureOfNine(),
        ring_below_c7=ring_below_c7,
        ring_to_sound_side=ring_to_sound_side,
        crossbar=crossbar,
        control_strap=control_strap,
        axilla_loop=axilla_loop,
        skin=skin,
        straps=straps,
        cuff=cuff,
    )
