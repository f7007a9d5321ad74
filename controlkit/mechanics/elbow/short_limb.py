"""Very short limbs: ways to flex a forearm that a short limb hardly can, and how much of a humeral socket is left."""

from __future__ import annotations

import math
from dataclasses import dataclass

from controlkit.mechanics.body.wearer import Wearer
from controlkit.mechanics.elbow.forearm import GRAVITY, ProstheticForearm
from controlkit.mechanics.elbow.hinge import StepUpHinge, socket_couple
from controlkit.mechanics.elbow.loop import RANGE
from controlkit.mechanics.inputs import kind, within
from controlkit.sources import source
from controlkit.units import InputError, deg

SPLIT_SOCKET = source("split_socket_flexion").si
"""Forearm flexion with a split socket and step-up hinges [rad]."""
SELF_SUSPENDING = source("checkout_self_suspending_flexion").si_high
"""Forearm flexion at most with a self-suspending socket, whose rim meets the upper arm [rad]."""


@dataclass(frozen=True, kw_only=True)
class ShortLimbWay:
    """One way to flex the forearm of a very short transradial limb.

    Attributes
    ----------
    name : str
        What it is
    elbow_flexion : float
        How far the forearm flexes [rad]
    limb_flexion : float
        How far the limb flexes in it, which may be less than it could [rad]
    rises_to : float
        How far it flexes the forearm with the load, the upper arm hanging: less where the limb is too weak [rad]
    limb_moment : float
        What the limb must make to hold forearm and load level [N m]
    couple : float
        With what it presses on its socket at either end for that [N]
    most_load : float
        Largest mass in the device that it holds level; infinite where a lock bears it [kg]
    holds : bool
        Whether it holds the load asked for
    one_piece : bool
        Whether limb and forearm are in one socket, with no hinge between them
    """

    name: str
    elbow_flexion: float
    limb_flexion: float
    rises_to: float
    limb_moment: float
    couple: float
    most_load: float
    holds: bool
    one_piece: bool = False


def short_forearm(
    forearm: ProstheticForearm,
    *,
    limb_flexion: float,
    limb_moment: float,
    lever: float,
    load: float = 0.0,
    hinge: StepUpHinge = StepUpHinge(),
) -> tuple[ShortLimbWay, ...]:
    r"""Compare three ways to flex the forearm of a very short transradial limb.

    .. math:: \varepsilon = \min(k\,\theta, \varepsilon_{most}), \qquad k\,(M_0 + m g c) \le M_{limb}

    Parameters
    ----------
    forearm : ProstheticForearm
        What is flexed; a load is held where its last piece is
    limb_flexion : float
        How far the limb flexes in its socket [rad]
    limb_moment : float
        Largest moment with which it flexes; no figure was found for short limbs [N m]
    lever : float
        Between where the limb presses in front and behind [m]
    load : float
        Mass in the device [kg]
    hinge : StepUpHinge
        Of the split socket

    Returns
    -------
    tuple of ShortLimbWay
        Split socket with step-up hinge, self-suspending socket, outside locking hinge with split housing

    Raises
    ------
    InputError
        If a number is outside its range

    Notes
    -----
    The step-up hinge makes much flexion of little and hands on less of the limb's moment; the self-suspending socket
    hands on all of it, as far as its rim allows. With the outside locking hinge the limb need not lift: the cable does,
    as in dual control, and the lock bears. What harness and cable must do for that is not computed here, nor are the
    lock's own strength, the weight of hinges, and comfort. Forearm and load pull most when level, and by the sine of
    the flexion below that: a limb too weak for level holds them up to where its moment is enough.

    Examples
    --------
    >>> from controlkit.mechanics.elbow.forearm import Piece
    >>> light = ProstheticForearm((Piece("all of it", 0.4, 0.25),))
    >>> ways = short_forearm(light, limb_flexion=deg(70), limb_moment=4.0, lever=0.045)
    >>> [(way.name, round(way.most_load, 2)) for way in ways[:2]]
    [('split socket with step-up hinge', 0.42), ('self-suspending socket', 1.23)]
    """
    kind("The forearm", forearm, ProstheticForearm, 'forearm_of(Wearer.average("male"))')
    kind("The hinge", hinge, StepUpHinge, "StepUpHinge()")
    within("The limb's flexion", limb_flexion, 0.0, deg(150.0), example="deg(70)", of="angle")
    within("The limb's moment", limb_moment, 0.0, 120.0, example="4", unit=" N m")
    within("The load", load, 0.0, 20.0, example="0.5", unit=" kg")
    reach, bare = GRAVITY * forearm.pieces[-1].centre, forearm.largest_moment

    def by_limb(name: str, geared: StepUpHinge, furthest: float, one_piece: bool = False) -> ShortLimbWay:
        asks = geared.limb_moment(bare + reach * load)
        furthest = min(geared.ratio * limb_flexion, furthest)
        holds = asks <= limb_moment
        most = max(limb_moment / geared.ratio - bare, 0.0) / reach
        return ShortLimbWay(
            name=name,
            elbow_flexion=furthest,
            limb_flexion=furthest / geared.ratio,
            rises_to=furthest if holds else min(furthest, math.asin(limb_moment / asks)),
            limb_moment=asks,
            couple=socket_couple(asks, lever),
            most_load=most,
            holds=holds,
            one_piece=one_piece,
        )

    return (
        by_limb("split socket with step-up hinge", hinge, SPLIT_SOCKET),
        by_limb("self-suspending socket", StepUpHinge(1.0), SELF_SUSPENDING, one_piece=True),
        ShortLimbWay(
            name="outside locking hinge, split housing",
            elbow_flexion=RANGE[1],
            limb_flexion=0.0,
            rises_to=RANGE[1],
            limb_moment=0.0,
            couple=0.0,
            most_load=float("inf"),
            holds=True,
        ),
    )


def below_axilla(wearer: Wearer) -> float:
    """How much of a transhumeral limb is left below the axilla: the lever that its socket has.

    Parameters
    ----------
    wearer : Wearer
        Whose limb

    Returns
    -------
    float
        Length; below zero where the bone ends above the axilla [m]

    Raises
    ------
    InputError
        If the wearer's level is not transhumeral

    Notes
    -----
    The limb is its share of the upper arm from acromion to radiale; the axilla is the front fold, measured hanging.

    Examples
    --------
    >>> round(1e3 * below_axilla(Wearer.average("female", level="transhumeral", residual_share=0.5)))
    60
    """
    kind("The wearer", wearer, Wearer, 'Wearer.average("female", level="transhumeral")')
    if wearer.level != "transhumeral":
        raise InputError(
            given=f'The wearer\'s level is "{wearer.level}".', do='Choose a wearer with level "transhumeral".'
        )
    fold = wearer.acromial_height - wearer.axilla_height
    return float(wearer.residual_share * wearer.acromion_radiale_length - fold)
