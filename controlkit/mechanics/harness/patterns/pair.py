"""The bilateral pair: no axilla loop; each control strap runs on across the back as the other side's front strap."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, ClassVar

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.body.wearer import Wearer
from controlkit.mechanics.harness import route
from controlkit.mechanics.harness.cuff import Cuff
from controlkit.mechanics.harness.laws import Straps
from controlkit.mechanics.harness.layout import CONTROL_RUN, OTHER, SHORT, Layout, Run
from controlkit.mechanics.harness.pattern import Harness, Pattern
from controlkit.mechanics.harness.patterns.above_elbow import (
    LATERAL_LIMITS,
    LATERAL_SUSPENSOR,
    base_plate_on,
    beside_joint,
)
from controlkit.mechanics.harness.patterns.eight import (
    CROSSINGS,
    FORK_INNER,
    FORK_OUTER,
    FRONT_SHARE,
    FRONT_STRAP,
    LIMITS,
    PAD_INNER,
    REASONS,
    RING,
    SEWN,
    fork_at,
)
from controlkit.mechanics.harness.route import Bodies, Fitted, Span
from controlkit.mechanics.harness.skin import Skin
from controlkit.mechanics.inputs import kind
from controlkit.units import InputError

Array = NDArray[np.float64]

CROSSBAR = 0.55
"""Where the cable meets the crossbar below the elbow unless told otherwise [-]."""
ASIDE = 0.04
"""How far from the spine the junction of a pair may lie [m]."""
_MIRROR = np.array([1.0, 1.0, -1.0])


@dataclass(frozen=True)
class BilateralPair(Pattern):
    """What only a pair of harnesses joined on the back has: everything twice.

    Parameters
    ----------
    above, other_above : bool
        Whether the own side is worn above the elbow, with a lateral suspensor, or below it, its front strap divided;
        and the other side
    other_crossbar : float
        Where the other side's cable meets its crossbar or base plate, share of the upper arm from shoulder to elbow [-]
    crossing : str
        "ring", or "sewn" for straps sewn to each other where they cross
    elastic : bool
        Whether an elastic section is sewn into each anterior support strap
    other_control_strap : float
        Control attachment strap of the other side let out (+) or taken in (-) from just snug [m]
    other_support_strap : float
        Anterior support strap of the other side let out (+) or taken in (-) from just snug [m]
    lateral_suspensor : float
        Both lateral suspensors, above the elbow, let out (+) or taken in (-) from just snug [m]

    Raises
    ------
    InputError
        If the crossing is of no known kind, or `elastic` neither true nor false

    Examples
    --------
    >>> BilateralPair().layout().limbs
    2
    """

    above: bool = False
    other_above: bool = False
    other_crossbar: float = CROSSBAR
    crossing: str = RING
    elastic: bool = False
    other_control_strap: float = 0.0
    other_support_strap: float = 0.0
    lateral_suspensor: float = 0.0

    name: ClassVar[str] = "bilateral pair"
    limits: ClassVar[dict[str, tuple[float, float]]] = {
        **LIMITS,
        "ring_to_sound_side": (-ASIDE, ASIDE),
        "axilla_loop": (0.0, 0.0),
        "other_crossbar": LIMITS["crossbar"],
        "other_control_strap": LIMITS["control_strap"],
        "other_support_strap": LIMITS["support_strap"],
        "lateral_suspensor": LATERAL_LIMITS,
    }
    reasons: ClassVar[dict[str, str]] = {
        **REASONS,
        "axilla_loop": "a pair has none",
        "other_crossbar": REASONS["crossbar"],
        "other_control_strap": REASONS["control_strap"],
        "other_support_strap": REASONS["support_strap"],
        "lateral_suspensor": REASONS["support_strap"],
    }
    paired: ClassVar[bool] = True

    def __post_init__(self) -> None:
        if self.crossing not in CROSSINGS:
            raise InputError(
                given=f"{self.crossing!r} was given as the crossing.",
                allowed='"ring" or "sewn"',
                do='Give "ring" or "sewn".',
            )
        if not isinstance(self.elastic, bool):
            raise InputError(
                given=f"Whether the anterior support straps are elastic was given as {self.elastic!r}.",
                do="Give True or False.",
            )

    def layout(self) -> Layout:
        """Both front straps, both control straps, and what else holds each prosthesis up; all meet at one junction.

        Returns
        -------
        Layout
            The net
        """
        (front, *more), (front_there, *more_there) = (self._holds(above) for above in (self.above, self.other_above))
        runs = (front, _other(front_there), CONTROL_RUN, _other(CONTROL_RUN), *more, *map(_other, more_there))
        forks = [name for name, above in (("fork", self.above), (OTHER + "fork", self.other_above)) if not above]
        sewn = self.crossing == SEWN
        return Layout(runs, ("ring", *forks), sewn, "sewn cross-point" if sewn else "ring")

    def anchors(self, fitted: Fitted) -> dict[str, Array]:
        """Crossbar or base plate and pads of either side: the other side's as the own ones in a mirror.

        Parameters
        ----------
        fitted : Fitted
            Bodies and crossbar

        Returns
        -------
        dict
            Points by name [m], shape (bodies, 3)
        """
        own = _places(fitted.bodies, self.above, fitted.crossbar)
        mirrored = _places(fitted.bodies.mirrored, self.other_above, self.other_crossbar)
        return own | {OTHER + name: point * _MIRROR for name, point in mirrored.items()}

    def rough(self, span: Span) -> Array:
        """Front straps go over their shoulders, control straps under them.

        Parameters
        ----------
        span : Span
            The strap between its ends

        Returns
        -------
        ndarray
            Nodes [m], shape (bodies, nodes, 3)
        """
        if span.run.strap.startswith(OTHER):
            own = replace(span.run, strap=span.run.strap.removeprefix(OTHER))
            ends = {"start": span.start * _MIRROR, "end": span.end * _MIRROR}
            return np.asarray(self.rough(Span(run=own, bodies=span.bodies.mirrored, **ends)) * _MIRROR)
        if span.run.strap == FRONT_STRAP:
            return span.through(*route.over_shoulder(span.bodies, 0))
        if span.run.strap == LATERAL_SUSPENSOR:
            return span.through(route.over_shoulder(span.bodies, 0)[0])
        return super().rough(span)

    def _holds(self, above: bool) -> tuple[Run, ...]:
        """What holds one prosthesis up, its front strap first."""
        ends = "pad front" if above else "fork"
        front = Run(FRONT_STRAP, "ring", ends, elastic=self.elastic, buckle="support_strap")
        if above:
            return front, Run(LATERAL_SUSPENSOR, "ring", "pad side", buckle="lateral_suspensor")
        inner = Run(FORK_INNER, "fork", "pad inner", SHORT, narrow=True)
        return front, inner, Run(FORK_OUTER, "fork", "pad outer", SHORT, narrow=True)


def bilateral_pair(
    wearer: Wearer,
    *,
    other_level: str | None = None,
    junction_below_c7: float = 0.06,
    junction_aside: float = 0.0,
    crossbar: float | None = None,
    other_crossbar: float | None = None,
    control_strap: float = 0.0,
    support_strap: float = 0.0,
    other_control_strap: float | None = None,
    other_support_strap: float | None = None,
    lateral_suspensor: float = 0.0,
    crossing: str = RING,
    elastic: bool = False,
    skin: Skin = Skin(),
    straps: Straps = Straps(),
    cuff: Cuff = Cuff(),
) -> Harness:
    """Put a pair of harnesses, joined on the back, on a wearer with both arms amputated.

    Parameters
    ----------
    wearer : Wearer
        Who wears it; the residual limb is that of both arms, the amputated side is the one called "own" below
    other_level : str, optional
        "transradial" or "transhumeral" for the other side; the wearer's level unless given
    junction_below_c7 : float
        Height of the junction under the C7 vertebra [m]
    junction_aside : float
        Its distance from the spine, away from the own side [m]
    crossbar, other_crossbar : float, optional
        Where each cable meets its crossbar, or base plate above the elbow, share of the upper arm from shoulder to
        elbow; 0.55, or an inch above the cut end of the humerus, unless given; the other side as the own one if their
        levels are the same [-]
    control_strap, support_strap : float
        Control attachment strap and anterior support strap of the own side let out (+) or taken in (-) from just
        snug [m]
    other_control_strap, other_support_strap : float, optional
        The same of the other side; as on the own one unless given [m]
    lateral_suspensor : float
        Both lateral suspensors, above the elbow, let out (+) or taken in (-) from just snug [m]
    crossing : str
        "ring", or "sewn" for straps sewn to each other where they cross
    elastic : bool
        Whether an elastic section is sewn into each anterior support strap
    skin : Skin
        How skin and cloth hold the junction
    straps : Straps
        What the straps are made of
    cuff : Cuff
        How each prosthesis holds on to its upper arm

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
    Each control attachment strap runs on beyond the junction as the anterior support strap of the other side, as one
    length of webbing (from memory: no drawing with measures was found). Both are fixed there, to a ring or to each
    other, so that each part has a tension of its own. Front straps are of plain webbing, since each is also what the
    other side's control strap pulls on; one with an elastic section is there to compare. Where the junction lies is an
    assumption, in the middle of the back.

    Examples
    --------
    >>> bilateral_pair(Wearer.average("female")).pattern.name
    'bilateral pair'
    """
    kind("The wearer", wearer, Wearer, 'Wearer.average("female")')
    own: dict[str, Any] = {"control_strap": control_strap, "support_strap": support_strap}
    others = {"control_strap": other_control_strap, "support_strap": other_support_strap}
    there = wearer if other_level is None else wearer.with_(level=other_level)
    if crossbar is not None and other_crossbar is None and there.level == wearer.level:
        other_crossbar = crossbar
    pattern = BilateralPair(
        above=wearer.level == "transhumeral",
        other_above=there.level == "transhumeral",
        other_crossbar=_usual_crossbar(there) if other_crossbar is None else other_crossbar,
        crossing=crossing,
        elastic=elastic,
        **{f"other_{name}": own[name] if value is None else value for name, value in others.items()},
        lateral_suspensor=lateral_suspensor,
    )
    return Harness(
        wearer,
        pattern=pattern,
        ring_below_c7=junction_below_c7,
        ring_to_sound_side=junction_aside,
        crossbar=_usual_crossbar(wearer) if crossbar is None else crossbar,
        **own,
        skin=skin,
        straps=straps,
        cuff=cuff,
    )


def seen_from(harness: Harness, side: str) -> Harness:
    """A pair as it is seen from one side: what is fitted there comes first.

    Parameters
    ----------
    harness : Harness
        The pair
    side : str
        "left" or "right"

    Returns
    -------
    Harness
        The same pair; both sides of it changed places if it was seen from the other side

    Examples
    --------
    >>> pair = bilateral_pair(Wearer.average("male"), control_strap=0.02, other_control_strap=0.0)
    >>> seen_from(pair, "left").control_strap, seen_from(pair, "left").choice("other_control_strap")
    (0.0, 0.02)
    """
    if side == harness.wearer.amputated:
        return harness
    names, pattern = ("control_strap", "support_strap", "crossbar"), harness.pattern
    assert isinstance(pattern, BilateralPair)
    return replace(
        harness,
        wearer=harness.wearer.with_(amputated=side, level=level_of(pattern.other_above)),
        ring_to_sound_side=-harness.ring_to_sound_side,
        pattern=replace(
            pattern,
            above=pattern.other_above,
            other_above=pattern.above,
            **{f"other_{name}": getattr(harness, name) for name in names},
        ),
        **{name: harness.choice(f"other_{name}") for name in names},
    )


def level_of(above: bool) -> str:
    """The level of an amputation above the elbow, or below it."""
    return "transhumeral" if above else "transradial"


def _usual_crossbar(wearer: Wearer) -> float:
    """Where a crossbar, or a base plate, sits unless told otherwise [-]."""
    return base_plate_on(wearer, "bilateral_pair") if wearer.level == "transhumeral" else CROSSBAR


def _places(bodies: Bodies, above: bool, crossbar: float) -> dict[str, Array]:
    """Places of the own side's prosthesis by name."""
    places = {"crossbar": route.crossbar_point(bodies.posed, bodies.upper_arm, crossbar)}
    if above:
        front = route.on_arm(bodies.posed, FRONT_SHARE * bodies.upper_arm, 0.0)
        return {**places, "pad front": front, "pad side": beside_joint(bodies)}
    pads = {"pad inner": route.on_pad(bodies, PAD_INNER), "pad outer": route.on_pad(bodies, route.PAD_OUTER)}
    return {**places, **pads, "fork": fork_at(bodies)}


def _other(run: Run) -> Run:
    """The run of the other side that answers to one of the own."""
    start = run.start if run.start == "ring" else OTHER + run.start
    buckle = OTHER.strip() + "_" + run.buckle if run.buckle == "support_strap" else run.buckle
    return replace(run, strap=OTHER + run.strap, start=start, end=OTHER + run.end, buckle=buckle)
