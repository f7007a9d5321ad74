"""Figures-of-eight above the elbow: axilla loop, control strap, front support strap and lateral suspensor."""

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
from controlkit.mechanics.harness.layout import AXILLA_LOOP, CONTROL_RUN, LOOP, Layout, Run
from controlkit.mechanics.harness.pattern import Harness, Pattern
from controlkit.mechanics.harness.patterns.eight import (
    CROSSED,
    FRONT_SHARE,
    FRONT_STRAP,
    LIMITS,
    REASONS,
    RING,
    across_back,
    check_cross_back,
    crossed,
    crossed_at,
)
from controlkit.mechanics.harness.route import Bodies, Fitted, Span
from controlkit.mechanics.harness.skin import Skin
from controlkit.mechanics.inputs import kind, within
from controlkit.mechanics.surface.field import bound
from controlkit.units import InputError, inch

Array = NDArray[np.float64]

LATERAL_SUSPENSOR = "lateral suspensor"
LATERAL_LIMITS = (-0.03, 0.08)
"""How far the lateral suspensor may be taken in or let out [m]."""
AHEAD_OF_ACROMION = inch(0.5)
"""Fixing of the lateral suspensor in front of the acromion, beside the head of the humerus [m]: as published."""
ABOVE_BONE_END = 0.025
"""Base plate above the cut end of the humerus [m]: as study cards repeat it."""
BEGINNINGS = (RING, AXILLA_LOOP)
"""Where the lateral suspensor may begin."""
BEGINS = "suspensor"
"""Junction where it begins on the axilla loop."""
BEGIN_SHARE = 0.25
"""How far up the loop's upper leg that is, from the ring to the top of the sound shoulder [-]. Assumption."""


@dataclass(frozen=True)
class AboveElbow(Pattern):
    """What only a figure-of-eight above the elbow has.

    Parameters
    ----------
    lateral_suspensor : float
        Lateral suspensor let out (+) or taken in (-) from just snug [m]
    suspensor_from : str
        Where it begins: at the "ring", or on the back upper part of the "axilla loop"
    cross_back : float, optional
        Cross-back strap let out (+) or taken in (-) from just snug [m]; none unless given

    Raises
    ------
    InputError
        If suspensor or cross-back strap cannot be as long, or nothing can begin there

    Examples
    --------
    >>> AboveElbow().layout().straps[-1]
    'lateral suspensor'
    """

    lateral_suspensor: float = 0.0
    suspensor_from: str = RING
    cross_back: float | None = None

    name: ClassVar[str] = "figure-of-eight above the elbow"
    limits: ClassVar[dict[str, tuple[float, float]]] = LIMITS
    reasons: ClassVar[dict[str, str]] = {**REASONS, "crossbar": "the base plate must sit on the humeral socket"}

    def __post_init__(self) -> None:
        what = "taken in further it is too short to don, and let out further it carries nothing"
        within("The lateral suspensor", self.lateral_suspensor, *LATERAL_LIMITS, example="mm(0)", of="length", why=what)
        check_cross_back(self.cross_back)
        if self.suspensor_from not in BEGINNINGS:
            named = " or ".join(f'"{each}"' for each in BEGINNINGS)
            raise InputError(
                given=f"The lateral suspensor was to begin at {self.suspensor_from!r}.", do=f"Give {named}."
            )

    def layout(self) -> Layout:
        """Axilla loop, control strap, front support strap, lateral suspensor, and a cross-back strap if it has one.

        Returns
        -------
        Layout
            The net
        """
        front = Run(FRONT_STRAP, "ring", "pad front", elastic=True, buckle="support_strap")
        lateral = Run(LATERAL_SUSPENSOR, "ring", "pad side", buckle="lateral_suspensor")
        over, under = LOOP
        runs: tuple[Run, ...] = (over, under, CONTROL_RUN, front, lateral)
        junctions: tuple[str, ...] = ("ring",)
        if self.suspensor_from == AXILLA_LOOP:
            begun = replace(over, start=BEGINS), under, CONTROL_RUN, front, replace(lateral, start=BEGINS)
            runs, junctions = (*begun, replace(over, end=BEGINS)), (*junctions, BEGINS)
        if self.cross_back is not None:
            runs, junctions = crossed(runs), (*junctions, *CROSSED)
        return Layout(runs, junctions)

    def anchors(self, fitted: Fitted) -> dict[str, Array]:
        """Base plate, and where front strap and suspensor reach the socket.

        Parameters
        ----------
        fitted : Fitted
            Bodies and base plate

        Returns
        -------
        dict
            Points by name [m], shape (bodies, 3); of junctions but the ring, where a fitter puts them
        """
        bodies, posed, upper = fitted.bodies, fitted.bodies.posed, fitted.bodies.upper_arm
        places = {
            "crossbar": route.crossbar_point(posed, upper, fitted.crossbar),
            "pad front": route.on_arm(posed, FRONT_SHARE * upper, 0.0),
            "pad side": beside_joint(bodies),
        }
        if self.suspensor_from == AXILLA_LOOP:
            top, _ = route.over_shoulder(bodies, 1)
            places[BEGINS] = route.onto(posed, fitted.ring + BEGIN_SHARE * (top - fitted.ring))
        if self.cross_back is not None:
            places |= crossed_at(fitted, places["crossbar"])
        return places

    def rough(self, span: Span) -> Array:
        """The front strap goes over the shoulder and down before it, the suspensor round its outer edge.

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
        if span.run.strap == LATERAL_SUSPENSOR:
            beside = _above_joint(span.bodies)
            behind = 0.5 * (span.start + beside)
            behind[:, 0] = -span.bodies.back - route.FAR
            return span.through(beside) if span.run.start == "ring" else span.through(behind, beside)
        if span.run.end in (BEGINS, *CROSSED):
            return across_back(span)
        return super().rough(span)


def above_elbow_eight(
    wearer: Wearer,
    *,
    ring_below_c7: float = Harness.ring_below_c7,
    ring_to_sound_side: float = Harness.ring_to_sound_side,
    base_plate: float | None = None,
    control_strap: float = 0.0,
    axilla_loop: float = 0.0,
    support_strap: float = 0.0,
    lateral_suspensor: float = 0.0,
    suspensor_from: str = RING,
    cross_back: float | None = None,
    skin: Skin = Skin(),
    straps: Straps = Straps(),
    cuff: Cuff = Cuff(),
) -> Harness:
    """Put a figure-of-eight harness on a wearer with a transhumeral amputation.

    Parameters
    ----------
    wearer : Wearer
        Who wears it
    ring_below_c7 : float
        Height of the ring under the C7 vertebra [m]
    ring_to_sound_side : float
        Its distance from the spine towards the sound side [m]
    base_plate : float, optional
        Where the control strap reaches the base plate on the humeral socket, share of the upper arm from shoulder to
        elbow; an inch above the cut end of the humerus unless given [-]
    control_strap : float
        Control attachment strap let out (+) or taken in (-) from just snug [m]
    axilla_loop : float
        Axilla loop let out (+) or taken in (-) from just snug [m]
    support_strap : float
        Front support strap let out (+) or taken in (-) from just snug [m]
    lateral_suspensor : float
        Lateral suspensor let out (+) or taken in (-) from just snug [m]
    suspensor_from : str
        Where it begins: at the "ring", or on the back upper part of the "axilla loop"
    cross_back : float, optional
        Cross-back strap let out (+) or taken in (-) from just snug [m]; none unless given
    skin : Skin
        How skin and cloth hold the ring
    straps : Straps
        What the straps are made of
    cuff : Cuff
        How the socket holds on to the residual limb

    Returns
    -------
    Harness
        The harness

    Raises
    ------
    InputError
        If the wearer's level is not transhumeral, or a value is outside its range, in words that say which

    Notes
    -----
    The lateral suspensor is the main suspension. Its fixing is as an open textbook has it (University of Washington,
    chapter 15c): at the point of rotation, beside the head of the humerus and 1/2 in in front of the acromion. There it
    begins on the back upper part of the axilla loop and crosses the front strap. It may do so here too; unless told
    otherwise it begins at the ring, which is near: on the average woman and man an axial load drags the socket down as
    far within 5 mm, the harness captures as much within 2 mm, and a junction of its own takes a quarter to twice more
    time. Straps cross without touching. The front strap has an elastic part. The prosthetic upper arm is as long and as
    thick as the sound one; the cuff's give is that of one measured on upper arms. The strap of the elbow lock hangs
    slack but for the lock motion and takes no part in the net. A cross-back strap is that of `figure_of_eight`.

    Unless told otherwise every buckle is just snug and the ring high, as a harness is first laid on. A fitter goes on
    from there: on this model a lower ring and a control strap taken in give more cable, a front strap let out by some
    16 mm lets the elbow lock have its travel, and a lateral suspensor taken in holds the socket against turning.

    Examples
    --------
    >>> round(above_elbow_eight(Wearer.average("female", level="transhumeral", residual_share=0.7)).crossbar, 2)
    0.62
    """
    on_socket = base_plate_on(wearer, "figure_of_eight")
    return Harness(
        wearer,
        pattern=AboveElbow(lateral_suspensor, suspensor_from, cross_back),
        ring_below_c7=ring_below_c7,
        ring_to_sound_side=ring_to_sound_side,
        crossbar=on_socket if base_plate is None else base_plate,
        control_strap=control_strap,
        axilla_loop=axilla_loop,
        support_strap=support_strap,
        skin=skin,
        straps=straps,
        cuff=cuff,
    )


def base_plate_on(wearer: Wearer, below: str) -> float:
    """Where the base plate of a humeral socket sits, share of the upper arm from shoulder to elbow [-]."""
    kind("The wearer", wearer, Wearer, 'Wearer.average("female", level="transhumeral")')
    if wearer.level != "transhumeral":
        raise InputError(
            given=f'This harness serves a transhumeral amputation; the wearer\'s level is "{wearer.level}".',
            do=f'Choose a wearer with level "transhumeral", or {below}(wearer).',
        )
    low, high = LIMITS["crossbar"]
    return min(max(wearer.residual_share - ABOVE_BONE_END / wearer.acromion_radiale_length, low), high)


def _above_joint(bodies: Bodies) -> Array:
    """Above and beside the shoulder joint, clear of the deltoid: a first guess nearer to the skin can go astray."""
    clear = (bodies.build.deltoid[bodies.who] + route.FAR) / np.sqrt(2.0)
    return np.asarray(bodies.posed.joint[:, 0] + clear[:, None] * (route.UP + route.SIDE))


@lru_cache(maxsize=64)
def beside_joint(bodies: Bodies) -> Array:
    """On the socket's rim beside the shoulder joint, a little in front of the acromion, on the skin."""
    posed = bodies.posed
    front = posed.axes[:, 0, :, 0]
    points = route.on_arm(posed, np.zeros(len(posed.arm)), 0.5 * np.pi) + AHEAD_OF_ACROMION * front
    field = bound(posed.surface, np.arange(len(points)))
    return np.ascontiguousarray(field.onto(np.ascontiguousarray(points.T), 4, gap=0.004).T)
