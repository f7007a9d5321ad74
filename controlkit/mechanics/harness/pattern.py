"""What every harness pattern answers, and a harness: straps of one pattern on their wearer."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Mapping
from dataclasses import KW_ONLY, dataclass
from functools import cached_property
from typing import Any, ClassVar, TypedDict

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.body.wearer import Wearer
from controlkit.mechanics.harness import route
from controlkit.mechanics.harness.cuff import Cuff
from controlkit.mechanics.harness.laws import Straps
from controlkit.mechanics.harness.layout import CONTROL_STRAP, Layout
from controlkit.mechanics.harness.route import Fitted, Span
from controlkit.mechanics.harness.skin import Skin
from controlkit.mechanics.inputs import kind, within

Array = NDArray[np.float64]

_LENGTH, _SHARE = {"example": "mm(25)", "of": "length"}, {"example": "0.55", "unit": " of the upper arm"}


class Pattern(ABC):
    """One way of laying straps: a frozen record of what only this pattern has, and answers that all patterns give.

    A pattern stands in a file of its own in `patterns`, with the function that puts it on a wearer. It knows bodies and
    straps but no harness; nothing else in the harness asks which pattern it is.

    Attributes
    ----------
    name : str
        What a fitter calls it
    limits : mapping
        What may be asked, low and high [m, and - for the crossbar]; choices of the pattern's own among them
    reasons : mapping
        Why no more may be asked
    suspends : bool
        Whether any strap beside the control strap holds the prosthesis up
    paired : bool
        Whether either arm bears a prosthesis, each with a control strap of its own
    """

    name: ClassVar[str]
    limits: ClassVar[Mapping[str, tuple[float, float]]]
    reasons: ClassVar[Mapping[str, str]]
    suspends: ClassVar[bool] = True
    paired: ClassVar[bool] = False

    @abstractmethod
    def layout(self) -> Layout:
        """The pattern as a net of runs and junctions.

        Returns
        -------
        Layout
            The net
        """

    @abstractmethod
    def anchors(self, fitted: Fitted) -> dict[str, Array]:
        """The places of body and prosthesis that the straps are fixed to.

        Parameters
        ----------
        fitted : Fitted
            Bodies and crossbar

        Returns
        -------
        dict
            Points by name [m], shape (bodies, 3); of a junction but the first, where a fitter puts it
        """

    def rough(self, span: Span) -> Array:
        """A rough run of one strap that already goes round the right side of everything.

        Parameters
        ----------
        span : Span
            The strap between its ends

        Returns
        -------
        ndarray
            Nodes [m], shape (bodies, nodes, 3)
        """
        return route.control_strap(span) if span.run.strap == CONTROL_STRAP else span.through()


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
    """A harness: straps on their wearer, and where a fitter has put them.

    Parameters
    ----------
    wearer : Wearer
        Who wears it
    pattern : Pattern
        How its straps are laid, with what only this pattern has
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
    support_strap : float
        Anterior support strap let out (+) or taken in (-) at its buckle from just snug [m]
    skin : Skin
        How skin and cloth hold the ring
    straps : Straps
        What the straps are made of
    cuff : Cuff
        How the prosthesis holds on to the upper arm

    Raises
    ------
    InputError
        If a value is outside its range

    Notes
    -----
    "Just snug" is the length at which a strap lies on the body with the arm hanging, without load. What may be asked,
    and the usual places, depend on the pattern: `figure_of_eight` and its neighbours put one on.

    Examples
    --------
    >>> from controlkit.mechanics import figure_of_eight
    >>> figure_of_eight(Wearer.average("male")).pattern.name
    'figure-of-eight'
    """

    wearer: Wearer
    _: KW_ONLY
    pattern: Pattern
    ring_below_c7: float = 0.025
    ring_to_sound_side: float = 0.025
    crossbar: float = 0.55
    control_strap: float = 0.0
    axilla_loop: float = 0.0
    support_strap: float = 0.0
    skin: Skin = Skin()
    straps: Straps = Straps()
    cuff: Cuff = Cuff()

    def __post_init__(self) -> None:
        kind("The wearer", self.wearer, Wearer, 'Wearer.average("female")')
        kind("The pattern", self.pattern, Pattern, "figure_of_eight(wearer).pattern")
        kind("The skin", self.skin, Skin, "Skin()")
        kind("What the straps are made of", self.straps, Straps, "Straps(width=mm(25))")
        kind("The cuff", self.cuff, Cuff, "Cuff()")
        for name, (low, high) in self.pattern.limits.items():
            what = name.replace("_", " ").capitalize().replace("c7", "C7")
            shown = _SHARE if name.endswith("crossbar") else _LENGTH
            within(what, self.choice(name), low, high, **shown, why=self.pattern.reasons[name])

    def choice(self, name: str) -> Any:
        """What a fitter has chosen, of the harness or of the pattern's own.

        Parameters
        ----------
        name : str
            A field of either

        Returns
        -------
        object
            The choice

        Examples
        --------
        >>> from controlkit.mechanics import figure_of_eight
        >>> harness = figure_of_eight(Wearer.average("male"), crossing="sewn")
        >>> harness.choice("crossbar"), harness.choice("crossing")
        (0.55, 'sewn')
        """
        return getattr(self.pattern if hasattr(self.pattern, name) else self, name)

    @cached_property
    def layout(self) -> Layout:
        """The pattern as a net of runs and junctions."""
        return self.pattern.layout()
