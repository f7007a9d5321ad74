"""The moment that shoulder flexors must make: straps, and the weight of arm and prosthesis."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from controlkit.mechanics.body.places import forearm_heading
from controlkit.mechanics.body.pose import Pose
from controlkit.mechanics.body.remembered import built, stand
from controlkit.mechanics.body.wearer import Wearer
from controlkit.mechanics.elbow.forearm import (
    GRAVITY,
    HAND_CENTRE,
    HOOK,
    HOOK_CENTRE,
    SHELL,
    SHELL_CENTRE,
    WRIST,
    ProstheticForearm,
    forearm_of,
)
from controlkit.mechanics.harness.motion import Followed
from controlkit.mechanics.harness.strap_moment import strap_moments
from controlkit.sources import source

ELBOW = 0.5 * (source("prosthesis_elbow_mass").si_low + source("prosthesis_elbow_mass").si_high)
"""Mass of an elbow unit with its turntable, the middle of a range from memory [kg]. Assumption."""


@dataclass(frozen=True)
class ShoulderMoment:
    """Moment about the axis of arm flexion through the shoulder, positive where flexors must make it.

    Attributes
    ----------
    straps : mapping
        Of each strap, by name [N m]
    weight : float
        Of the weight of arm and prosthesis [N m]
    """

    straps: Mapping[str, float]
    weight: float

    @property
    def of_straps(self) -> float:
        """Of all straps together [N m]."""
        return sum(self.straps.values())

    @property
    def total(self) -> float:
        """Of straps and weight; negative where extensors must hold the arm back [N m]."""
        return self.of_straps + self.weight


def shoulder_moment(found: Followed, at: int) -> ShoulderMoment:
    """Moment that holding a pose asks of the shoulder.

    Parameters
    ----------
    found : Followed
        The motion
    at : int
        Station [-]

    Returns
    -------
    ShoulderMoment
        Straps and weight apart

    Notes
    -----
    About the axis that a dynamometer turns about, so that it may stand beside measured flexion moments. What the
    muscles of the girdle do is not in it: a pull by the scapula alone may cost the flexors nothing.

    Examples
    --------
    >>> from controlkit.mechanics import SingleControl, figure_of_eight
    >>> found = SingleControl(figure_of_eight(Wearer.average("male"))).sweep([1.0]).guess
    >>> moment = shoulder_moment(found, found.asked[0])
    >>> 2.0 < moment.straps["control attachment strap"] < moment.weight < moment.total
    True
    """
    return ShoulderMoment(strap_moments(found, at), weight_moment(found.harness.wearer, found.poses[at]))


def weight_moment(wearer: Wearer, pose: Pose, bare: bool = False, forearm: ProstheticForearm | None = None) -> float:
    r"""Moment of the weight of arm and prosthesis about the axis of arm flexion, the trunk upright.

    .. math:: M = g \sum_i m_i\,(x_i - x_{shoulder})

    Parameters
    ----------
    wearer : Wearer
        The wearer
    pose : Pose
        The pose
    bare : bool
        Whether the arm is whole and bare instead, as people without amputation were measured
    forearm : ProstheticForearm, optional
        What hangs below a prosthetic elbow, above the elbow; shell, wrist unit and a hook on this wearer unless given

    Returns
    -------
    float
        Moment, positive where it pulls the arm down out of flexion [N m]

    Notes
    -----
    Upper arm and forearm: shares of the body's mass and centres of de Leva (1996; second-hand). Of the forearm the
    residual limb remains, its mass for each length falling evenly towards the wrist. Socket with forearm shell, wrist
    unit and hook are assumed (0.25, 0.08 and 0.18 kg); pad, hinges and cable are left out. Above the elbow the residual
    limb is the upper part of the upper arm, and an elbow unit (0.475 kg) and a humeral socket as heavy as a forearm
    shell are assumed besides. A heavy body is given a heavy arm in proportion: of a body heavy with fat that is too
    much.

    Examples
    --------
    >>> round(weight_moment(Wearer.average("male"), Pose()), 1)
    0.0
    """
    body, elbow = stand(wearer, pose), float(built(wearer).upper_arm[0])
    down, ahead = -float(body.axes[0, 0, 0, 1]), float(forearm_heading(body, pose, 0)[0])
    upper, below = _pieces(wearer, bare, forearm)
    moment = sum(mass * along * down for mass, along in upper)
    moment += sum(mass * (elbow * down + along * ahead) for mass, along in below)
    return GRAVITY * moment


Pieces = list[tuple[float, float]]


def _pieces(wearer: Wearer, bare: bool, prosthetic: ProstheticForearm | None) -> tuple[Pieces, Pieces]:
    """Masses [kg] along the upper arm from the shoulder and along the forearm from the elbow [m]."""
    sex = "men" if wearer.sex == "male" else "women"
    upper, lower = (wearer.mass * source(f"{part}_mass_de_leva_{sex}").si for part in ("upper_arm", "forearm"))
    upper_centre, lower_centre = (source(f"{part}_centre_de_leva_{sex}").si for part in ("upper_arm", "forearm"))
    shape, palm = built(wearer), wearer.hand_length
    elbow, wrist = float(shape.upper_arm[0]), float(shape.forearm[0])
    if wearer.level == "transhumeral" and not bare:
        share, centre = _residual(wearer.residual_share, upper_centre)
        own = [(share * upper, centre * elbow), (SHELL, SHELL_CENTRE * elbow), (ELBOW, elbow)]
        return own, [(piece.mass, piece.centre) for piece in (prosthetic or forearm_of(wearer)).pieces]
    whole = [(upper, upper_centre * elbow)]
    if bare:
        hand = wearer.mass * source(f"hand_mass_de_leva_{sex}").si
        return whole, [(lower, lower_centre * wrist), (hand, wrist + HAND_CENTRE * palm)]
    share, centre = _residual(wearer.residual_share, lower_centre)
    return whole, [
        (share * lower, centre * wrist),
        (SHELL, SHELL_CENTRE * wrist),
        (WRIST, wrist),
        (HOOK, wrist + HOOK_CENTRE * palm),
    ]


def _residual(length: float, centre: float) -> tuple[float, float]:
    """Mass and centre of the upper part of a segment whose mass a length changes evenly, as shares of the whole [-]."""
    fall = 12.0 * centre - 6.0
    mass = (1.0 - 0.5 * fall) * length + 0.5 * fall * length**2
    return mass, ((1.0 - 0.5 * fall) * length**2 / 2.0 + fall * length**3 / 3.0) / mass
