"""The chest strap with a shoulder saddle: nothing goes over the sound shoulder."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType
from typing import ClassVar

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.body.placed import Posed
from controlkit.mechanics.body.remembered import built
from controlkit.mechanics.body.wearer import Wearer
from controlkit.mechanics.harness import route
from controlkit.mechanics.harness.cuff import Cuff
from controlkit.mechanics.harness.laws import Straps
from controlkit.mechanics.harness.layout import CONTROL_RUN, Layout, Run
from controlkit.mechanics.harness.pattern import Harness, Pattern
from controlkit.mechanics.harness.patterns.eight import LIMITS, REASONS
from controlkit.mechanics.harness.route import AHEAD, FAR, SIDE, UP, Bodies, Fitted, Span
from controlkit.mechanics.harness.skin import Skin
from controlkit.mechanics.inputs import kind
from controlkit.mechanics.surface.field import Field
from controlkit.mechanics.surface.taut import resample
from controlkit.units import InputError

Array = NDArray[np.float64]
Index = NDArray[np.intp]

CHEST_STRAP, SADDLE_STRAP, SUSPENSOR = "chest strap", "saddle strap", "suspension strap"

CHEST_LIMITS: dict[str, tuple[float, float]] = {
    **LIMITS,
    "ring_below_c7": (0.08, 0.28),
    "ring_to_sound_side": (-0.12, 0.03),
}
"""What may be asked of a chest strap; its ring is where the control strap branches off on the back."""

DIAPHRAGM, CHEST = "diaphragm", "chest"
LEVELS: Mapping[str, float] = MappingProxyType({DIAPHRAGM: 0.45, CHEST: 0.35})
"""Level of the strap in front and under the sound arm, armpit to waist [-]. Assumption.

At the diaphragm it lies below a woman's breasts. On the chest it touches the armpit of a few women.
"""
FRONT_SHARE = 0.75
"""Where the strap ends in front below the saddle, midline to shoulder joint [-]. Assumption."""
PAD_SIDE = 0.5 * np.pi
"""How far round the arm from its front the suspensor reaches the pad: on the outer side, level with the joint [rad]."""
_STEEP = 0.2


@dataclass(frozen=True)
class ChestStrap(Pattern):
    """What only a chest strap has: a saddle on the amputated side, and how high the strap lies.

    Parameters
    ----------
    strap_level : str
        Level of the strap in front and under the sound arm, one of `LEVELS`

    Raises
    ------
    InputError
        If there is no such level

    Examples
    --------
    >>> ChestStrap().layout().junctions
    ('ring',)
    """

    strap_level: str = DIAPHRAGM

    name: ClassVar[str] = "chest strap with saddle"
    limits: ClassVar[dict[str, tuple[float, float]]] = CHEST_LIMITS
    reasons: ClassVar[dict[str, str]] = {
        **REASONS,
        "ring_below_c7": "the control strap branches off on the scapula or just below it",
        "ring_to_sound_side": "the control strap branches off between the spine and the side of the chest",
        "axilla_loop": "a chest strap taken in further is too short to don, and one let out further slides down",
    }

    def __post_init__(self) -> None:
        if self.strap_level not in LEVELS:
            named = " or ".join(f'"{each}"' for each in LEVELS)
            raise InputError(
                given=f"The level of the chest strap was given as {self.strap_level!r}.", do=f"Give {named}."
            )

    def layout(self) -> Layout:
        """A strap from the chest under the sound arm to the scapula, where control and saddle strap meet it.

        Returns
        -------
        Layout
            The net
        """
        runs = (
            Run(CHEST_STRAP, "front", "flank", laid=True),
            Run(CHEST_STRAP, "ring", "flank"),
            CONTROL_RUN,
            Run(SADDLE_STRAP, "ring", "saddle back"),
            Run(SUSPENSOR, "saddle side", "pad side", buckle="support_strap"),
        )
        return Layout(runs, ("ring",), crossing="branch of the control strap")

    def anchors(self, fitted: Fitted) -> dict[str, Array]:
        """Crossbar and pad, two places of the saddle, the strap's end in front, and the flank under the sound arm.

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
        crossbar = route.crossbar_point(bodies.posed, bodies.upper_arm, fitted.crossbar)
        return {"crossbar": crossbar, "pad side": route.on_pad(bodies, PAD_SIDE), **_on_trunk(bodies, self.strap_level)}

    def rough(self, span: Span) -> Array:
        """The strap lies on the back behind both arms, and is laid in front; the suspensor goes straight down.

        Parameters
        ----------
        span : Span
            The strap between its ends

        Returns
        -------
        ndarray
            Nodes [m], shape (bodies, nodes, 3)
        """
        middle, behind = 0.5 * (span.start + span.end), -span.bodies.back - FAR
        if span.run.laid:
            return _laid(span.bodies, span.run.nodes, self.strap_level)
        if span.run.strap == CHEST_STRAP:
            return span.through(np.stack([behind, middle[:, 1], 0.9 * span.end[:, 2]], axis=1))
        if span.run.strap == SADDLE_STRAP:
            return span.through(np.stack([behind, middle[:, 1], middle[:, 2]], axis=1))
        return super().rough(span)


def chest_strap(
    wearer: Wearer,
    *,
    branch_below_c7: float | None = None,
    branch_to_sound_side: float = -0.08,
    crossbar: float = 0.55,
    control_strap: float = 0.0,
    around: float = 0.0,
    support_strap: float = 0.0,
    strap_level: str = DIAPHRAGM,
    skin: Skin = Skin(),
    straps: Straps = Straps(),
    cuff: Cuff = Cuff(),
) -> Harness:
    """Put a chest strap with a shoulder saddle on a wearer: nothing goes over the sound shoulder.

    Parameters
    ----------
    wearer : Wearer
        Who wears it
    branch_below_c7 : float, optional
        Height of the place where the control strap branches off, under C7; level with the armpits unless given, to the
        millimetre [m]
    branch_to_sound_side : float
        Its distance from the spine towards the sound side; below zero is towards the prosthesis [m]
    crossbar : float
        Where the cable meets the crossbar, share of the upper arm from shoulder to elbow [-]
    control_strap : float
        Control attachment strap let out (+) or taken in (-) from just snug [m]
    around : float
        Chest strap let out (+) or taken in (-) from just snug [m]
    support_strap : float
        Suspensor between saddle and socket let out (+) or taken in (-) from just snug [m]
    strap_level : str
        Level of the strap in front and under the sound arm: "diaphragm" or "chest"
    skin : Skin
        How skin and cloth hold the strap on the back
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
    The strap runs level in front, for either sex at the diaphragm unless told otherwise, so that a woman's breasts stay
    free: a textbook says to use such a strap, alone or on a firm bra, in place of one over the chest (open textbook of
    the University of Washington, chapter 15e). Behind, it rises from under the sound arm to the lower part of the
    scapula and draws the branch down and inward, against the control strap. The saddle is taken to sit still on the
    shoulder and to go where the girdle goes. Its suspensor begins beside the joint, about which the arm turns, so that
    it neither slackens nor tightens with arm flexion. Friction, the saddle's front strap and what closes the strap
    under the amputated arm are taken to hold its front end; they are not computed. Heights and places are assumptions.

    Examples
    --------
    >>> chest_strap(Wearer.average("female")).ring_below_c7
    0.157
    """
    if branch_below_c7 is None:
        kind("The wearer", wearer, Wearer, 'Wearer.average("female")')
        height = built(wearer).height
        branch_below_c7 = round(float(height["c7"][0] - height["axilla"][0]), 3)
    return Harness(
        wearer,
        pattern=ChestStrap(strap_level),
        ring_below_c7=branch_below_c7,
        ring_to_sound_side=branch_to_sound_side,
        crossbar=crossbar,
        control_strap=control_strap,
        axilla_loop=around,
        support_strap=support_strap,
        skin=skin,
        straps=straps,
        cuff=cuff,
    )


def below_fullest(wearer: Wearer, run: Array) -> float:
    """How far below the fullest level of the chest a strap crosses its front.

    Parameters
    ----------
    wearer : Wearer
        Who wears it
    run : ndarray
        Run of the strap, forward of the trunk's middle at least in part [m], shape (nodes, 3)

    Returns
    -------
    float
        From the level at which the girth of the chest is taken, over a woman's breasts, down to the strap; below zero
        it lies higher [m]

    Examples
    --------
    >>> below_fullest(Wearer.average("female"), np.array([[0.1, -0.2, 0.0]])) > 0.05
    True
    """
    return float(built(wearer).height["chest"][0] - run[run[:, 0] > 0.0, 1].max())


@lru_cache(maxsize=64)
def _on_trunk(bodies: Bodies, strap_level: str) -> dict[str, Array]:
    """Two places of the saddle, and both ends of the strap in front, wherever the cable meets the crossbar."""
    build, who, posed = bodies.build, bodies.who, bodies.posed
    joint, far = posed.joint[:, 0], build.deltoid[who][:, None]
    inward = 0.25 * build.joint[who, 2:] * SIDE
    each = np.arange(len(who))
    armpit, waist = build.height["axilla"][who], build.height["waist"][who]
    level = armpit - LEVELS[strap_level] * (armpit - waist)
    ahead = np.stack([bodies.back, level, FRONT_SHARE * build.joint[who, 2]], axis=1)
    return {
        "flank": _level(posed, each, _flank(posed, level)),
        "front": _level(posed, each, ahead),
        "saddle back": route.onto(posed, joint - far * (AHEAD + 0.4 * UP) - inward),
        "saddle side": route.onto(posed, joint + far * SIDE),
    }


def _flank(posed: Posed, level: Array) -> Array:
    """Under the sound arm at a height: the first skin met on the way out from the spine."""
    out = np.linspace(0.05, 0.30, 51)
    spots = np.stack(np.broadcast_arrays(0.0, level[:, None], -out), axis=-1)
    field = Field(posed.surface, np.repeat(np.arange(len(level)), len(out)))
    clear = field.value(np.ascontiguousarray(spots.reshape(-1, 3).T)).reshape(len(level), -1) > 0.0
    return np.asarray(spots[np.arange(len(level)), clear.argmax(axis=1)])


def _level(posed: Posed, body: Index, points: Array) -> Array:
    """Points moved onto the skin straight towards or away from the spine, each at its own height."""
    at = np.ascontiguousarray(points.T)
    out = at * [[1.0], [0.0], [1.0]] / np.hypot(at[0], at[2])
    return np.ascontiguousarray(Field(posed.surface, body).onto(at, 8, along=out, least=_STEEP).T)


@lru_cache(maxsize=64)
def _laid(bodies: Bodies, nodes: int, strap_level: str) -> Array:
    """The strap laid round the front of the chest, at every turn as high as its ends: the skin there."""
    places = _on_trunk(bodies, strap_level)
    start, end = places["front"], places["flank"]
    share = np.linspace(0.0, 1.0, 2 * nodes)[:, None]
    first, last = (np.stack([np.arctan2(p[:, 2], p[:, 0]), np.hypot(p[:, 0], p[:, 2]), p[:, 1]]) for p in (start, end))
    turn, far, level = first[:, None] + share * (last - first)[:, None]
    points = np.stack([far * np.cos(turn), level, far * np.sin(turn)], axis=-1)
    body = np.tile(np.arange(len(start)), len(share))
    laid = _level(bodies.posed, body, points.reshape(-1, 3)).reshape(points.shape).transpose(1, 0, 2)
    laid[:, 0], laid[:, -1] = start, end
    return resample(laid, nodes)
