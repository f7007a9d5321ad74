"""The figure-of-eight: axilla loop, control strap, and an anterior support strap that divides into an inverted Y."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import ClassVar

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.body.wearer import Wearer
from controlkit.mechanics.harness import route
from controlkit.mechanics.harness.cuff import Cuff
from controlkit.mechanics.harness.laws import Straps
from controlkit.mechanics.harness.layout import CONTROL_RUN, LOOP, SHORT, Layout, Run
from controlkit.mechanics.harness.loop import split
from controlkit.mechanics.harness.pattern import Harness, Pattern
from controlkit.mechanics.harness.route import Bodies, Fitted, Span
from controlkit.mechanics.harness.skin import Skin
from controlkit.mechanics.inputs import within
from controlkit.mechanics.surface.taut import Draft, tighten
from controlkit.units import InputError

Array = NDArray[np.float64]

FRONT_STRAP = "anterior support strap"
CROSS_BACK = "cross-back strap"
FORK_INNER, FORK_OUTER = "inner leg of the inverted Y", "outer leg of the inverted Y"

RING, SEWN = "ring", "sewn"
CROSSINGS = (RING, SEWN)
"""How the straps meet on the back."""

FORK_SHARE = 0.15
"""Where the anterior support strap divides, down the upper arm [-]. Assumption."""
FORK_SIDE = float(np.deg2rad(-12.0))
"""Where it does so, from the front of the arm towards the outer side: inward, in the deltopectoral groove [rad]."""
PAD_INNER = float(np.deg2rad(-20.0))
"""How far round the arm from its front the inner leg reaches the pad: clear of the trunk [rad]. Assumption."""
FRONT_SHARE = 0.35
"""Lower end of an anterior support strap that does not divide, down the upper arm [-]. Assumption."""

CROSSED = ("cross", "loop")
"""Junctions at both ends of a cross-back strap, on the control strap and on the axilla loop."""
CROSS_SHARE = 0.40
"""Where a cross-back strap meets the control strap, ring to crossbar [-]. Assumption."""
CROSS_LIMITS = (-0.03, 0.08)
"""How far a cross-back strap may be taken in or let out [m]."""

LIMITS: dict[str, tuple[float, float]] = {
    "ring_below_c7": (0.01, 0.16),
    "ring_to_sound_side": (-0.02, 0.07),
    "crossbar": (0.25, 0.90),
    "control_strap": (-0.05, 0.10),
    "axilla_loop": (-0.03, 0.08),
    "support_strap": (-0.03, 0.08),
}
"""What may be asked, low and high [m, and - for the crossbar]; other patterns take over what is the same for them."""

REASONS: dict[str, str] = {
    "ring_below_c7": "the ring must lie on the back below C7",
    "ring_to_sound_side": "the ring must lie on the back between the scapulae",
    "crossbar": "the crossbar must sit on the upper arm, clear of shoulder and elbow",
    "control_strap": "a strap taken in further is too short to don, and one let out further never comes taut",
    "axilla_loop": "a loop taken in further is too short to don, and one let out further falls off the shoulder",
    "support_strap": "a strap taken in further is too short to don, and one let out further carries nothing",
}
"""Why no more may be asked."""


@dataclass(frozen=True)
class FigureOfEight(Pattern):
    """What only a figure-of-eight has.

    Parameters
    ----------
    crossing : str
        "ring", or "sewn" for straps sewn to each other where they cross
    fork : bool
        Whether the anterior support strap divides into an inverted Y at a junction of its own
    cross_back : float, optional
        Cross-back strap let out (+) or taken in (-) from just snug [m]; none unless given

    Raises
    ------
    InputError
        If there is no such crossing, or no such length of a cross-back strap

    Examples
    --------
    >>> len(FigureOfEight().layout().runs)
    6
    """

    crossing: str = RING
    fork: bool = True
    cross_back: float | None = None

    name: ClassVar[str] = "figure-of-eight"
    limits: ClassVar[dict[str, tuple[float, float]]] = LIMITS
    reasons: ClassVar[dict[str, str]] = REASONS

    def __post_init__(self) -> None:
        if self.crossing not in CROSSINGS:
            named = " or ".join(f'"{each}"' for each in CROSSINGS)
            raise InputError(
                given=f"The harness's crossing was given as {self.crossing!r}.",
                do=f"Give {named}.",
            )
        check_cross_back(self.cross_back)

    def layout(self) -> Layout:
        """Axilla loop, control strap and anterior support strap, with or without the inverted Y.

        Returns
        -------
        Layout
            The net
        """
        sewn = self.crossing == SEWN
        crossing = "sewn cross-point" if sewn else "ring"
        front = Run(FRONT_STRAP, "ring", "fork", elastic=True, buckle="support_strap")
        runs: tuple[Run, ...] = (*LOOP, CONTROL_RUN, replace(front, end="pad front"))
        junctions: tuple[str, ...] = ("ring",)
        if self.fork:
            legs = (
                Run(FORK_INNER, "fork", "pad inner", SHORT, narrow=True),
                Run(FORK_OUTER, "fork", "pad outer", SHORT, narrow=True),
            )
            runs, junctions = (*LOOP, CONTROL_RUN, front, *legs), ("ring", "fork")
        if self.cross_back is not None:
            runs, junctions = crossed(runs), (*junctions, *CROSSED)
        return Layout(runs, junctions, sewn, crossing)

    def anchors(self, fitted: Fitted) -> dict[str, Array]:
        """Crossbar, and where the anterior support strap or its legs reach the arm.

        Parameters
        ----------
        fitted : Fitted
            Bodies and crossbar

        Returns
        -------
        dict
            Points by name [m], shape (bodies, 3); "fork" is where a fitter puts the fork of the inverted Y, "cross" and
            "loop" are the ends of a cross-back strap
        """
        bodies, posed, upper = fitted.bodies, fitted.bodies.posed, fitted.bodies.upper_arm
        places = {"crossbar": route.crossbar_point(posed, upper, fitted.crossbar)}
        if self.cross_back is not None:
            places |= crossed_at(fitted, places["crossbar"])
        if not self.fork:
            return {**places, "pad front": route.on_arm(posed, FRONT_SHARE * upper, 0.0)}
        return {
            **places,
            "pad inner": route.on_pad(bodies, PAD_INNER),
            "pad outer": route.on_pad(bodies, route.PAD_OUTER),
            "fork": fork_at(bodies),
        }

    def rough(self, span: Span) -> Array:
        """The anterior support strap goes over the shoulder; the legs of its inverted Y are short.

        Parameters
        ----------
        span : Span
            The strap between its ends

        Returns
        -------
        ndarray
            Nodes [m], shape (bodies, nodes, 3)
        """
        if span.run.strap == FRONT_STRAP:
            return span.through(*route.over_shoulder(span.bodies, 0))
        if span.run.end in CROSSED:
            return across_back(span)
        return super().rough(span)


def figure_of_eight(
    wearer: Wearer,
    *,
    ring_below_c7: float = Harness.ring_below_c7,
    ring_to_sound_side: float = Harness.ring_to_sound_side,
    crossbar: float = 0.55,
    control_strap: float = 0.0,
    axilla_loop: float = 0.0,
    support_strap: float = 0.0,
    crossing: str = RING,
    skin: Skin = Skin(),
    straps: Straps = Straps(),
    cuff: Cuff = Cuff(),
    fork: bool = True,
    cross_back: float | None = None,
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
    cuff : Cuff
        How the prosthesis holds on to the upper arm
    fork : bool
        Whether the anterior support strap divides into an inverted Y; without, it ends on the arm's front
    cross_back : float, optional
        Cross-back strap let out (+) or taken in (-) from just snug [m]; none unless given

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
    a result: move the ring and see. A cross-back strap runs level from the control strap to the back leg of the axilla
    loop; both its ends are junctions of their own, which slide on the skin without friction.

    Examples
    --------
    >>> figure_of_eight(Wearer.average("female"), crossbar=0.6).crossbar
    0.6
    """
    return Harness(
        wearer,
        pattern=FigureOfEight(crossing=crossing, fork=fork, cross_back=cross_back),
        ring_below_c7=ring_below_c7,
        ring_to_sound_side=ring_to_sound_side,
        crossbar=crossbar,
        control_strap=control_strap,
        axilla_loop=axilla_loop,
        support_strap=support_strap,
        skin=skin,
        straps=straps,
        cuff=cuff,
    )


def check_cross_back(length: float | None) -> None:
    """Refuse a length that no cross-back strap can have [m]; patterns above the elbow ask too."""
    if length is not None:
        what = "let out further it holds nothing, taken in further it lifts the axilla loop off the back"
        within("The cross-back strap", length, *CROSS_LIMITS, example="mm(0)", of="length", why=what)


def crossed(runs: tuple[Run, ...]) -> tuple[Run, ...]:
    """The same runs, a cross-back strap between the control strap and the loop's lower leg, which it divides."""
    over, under, control, *others = runs
    held = (
        replace(control, end="cross"),
        replace(under, end="loop"),
        Run(CROSS_BACK, "cross", "loop", buckle="cross_back"),
    )
    return (over, replace(under, start="loop"), replace(control, start="cross"), *others, *held)


def across_back(span: Span) -> Array:
    """A rough run that crosses the back and goes over no shoulder."""
    middle = 0.5 * (span.start + span.end)
    middle[:, 0] = -span.bodies.back - route.FAR
    return span.through(middle)


def crossed_at(fitted: Fitted, crossbar: Array) -> dict[str, Array]:
    """Ends of a cross-back strap: on the control strap as it lies by itself, and level on the loop's back leg.

    Parameters
    ----------
    fitted : Fitted
        Bodies and ring
    crossbar : ndarray
        Where the control strap ends [m], shape (bodies, 3)

    Returns
    -------
    dict
        Both ends by the names of their junctions [m], shape (bodies, 3)
    """
    bodies, ring = fitted.bodies, fitted.ring
    every = np.arange(len(ring))
    surface = bodies.posed.surface
    span = Span(run=CONTROL_RUN, bodies=bodies, start=ring, end=crossbar)
    control, loop = tighten(
        surface,
        [
            Draft(every, route.control_strap(span)),
            Draft(every, route.axilla_loop(Span(run=LOOP[0], bodies=bodies, start=ring, end=ring))),
        ],
    )
    cross = control.nodes[:, round(CROSS_SHARE * (CONTROL_RUN.nodes - 1))]
    _, under = split(loop.nodes, LOOP[1].nodes)
    level = np.abs(under[:, 5:-10, 1] - cross[:, None, 1]).argmin(axis=1) + 5
    return {"cross": cross, "loop": under[every, level]}


@lru_cache(maxsize=64)
def fork_at(bodies: Bodies) -> Array:
    """Where a fitter puts the fork of the inverted Y."""
    over_it = route.on_arm(bodies.posed, FORK_SHARE * bodies.upper_arm, FORK_SIDE, 0.02)
    return route.onto(bodies.posed, over_it)
