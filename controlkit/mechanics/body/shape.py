"""The fixed shape of wearers: trunk surface, shoulders and arms, from their measurements.

Axes inside the mechanics: x forward, y up, z towards the *amputated* side, origin in
the middle of the trunk at the height of the notch above the breastbone.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.body.wearer import Wearer
from controlkit.mechanics.roots import illinois
from controlkit.mechanics.surface.shapes import BLEND, Trunks, natural_spline
from controlkit.units import InputError, show

Array = NDArray[np.float64]

# Shape factors of the built body. Assumptions without a source, set once from anatomy, not fitted.
CHEST_SQUARENESS = 3.0  # exponent of the chest's section [-]; its breadth then follows from the girth
SHOULDER_BREADTH, SHOULDER_DEPTH = 0.62, 0.75  # trunk at the height of the acromion, of the chest [-]
HIP_SIZE, HIP_DROP = 1.03, 0.18  # of the waist [-]; below the waist [m]
CHEST_LEVEL = 0.2  # of the way from armpit to waist at which chest girth is taken [-]
ARM_RELAXED, DELTOID = 0.93, 1.05  # of the flexed girth's radius [-]
JOINT_DROP = 0.85  # shoulder joint below the acromion, of the deltoid's radius [-]
ROOT = 0.85  # radius of the flesh between shoulder and trunk, of the deltoid's [-]
TRAPEZIUS = 0.70  # radius over the deltoid's [-]
ARMPIT_SHARE = 0.5  # how far the trunk narrows from the chest to the ribs at the height of the armpit [-]
NECK_LENGTH = 0.05  # least height of the trunk's top above the acromion: nearer knots make its outline swing out [m]

# From measurement: with it the clavicles of the survey's average man and woman are together as long, end to end, as the
# 149.4 mm of Bernat and others (both sexes pooled); the shoulder keeps its surveyed breadth.
CLAVICLE_INSET = 0.105  # outer end of the clavicle inside the acromion's edge, of the biacromial breadth [-]


@dataclass(frozen=True, kw_only=True)
class Build:
    """The fixed shape of some wearers, as arrays over wearers.

    Attributes
    ----------
    trunks : Trunks
        Trunk surfaces
    height : dict
        Heights above the notch of c7, acromion, axilla, chest, waist [m], shape (wearers,)
    joint : ndarray
        Shoulder joint at rest, amputated side [m], shape (wearers, 3)
    clavicle : ndarray
        Sternoclavicular joint, amputated side [m], shape (wearers, 3)
    clavicle_tip : ndarray
        Outer end of the clavicle at rest [m], shape (wearers, 3)
    acromion : ndarray
        Lateral end of the trapezius line [m], shape (wearers, 3)
    neck : ndarray
        Medial end of the trapezius line [m], shape (wearers, 3)
    deltoid : ndarray
        Radius of the deltoid [m], shape (wearers,)
    arm : ndarray
        Radius of the upper arm [m], shape (wearers,)
    upper_arm : ndarray
        Shoulder joint to elbow [m], shape (wearers,)
    forearm : ndarray
        Elbow to wrist [m], shape (wearers,)
    neck_radius : ndarray
        Radius of the neck's base [m], shape (wearers,)
    """

    trunks: Trunks
    height: dict[str, Array]
    joint: Array
    clavicle: Array
    clavicle_tip: Array
    acromion: Array
    neck: Array
    deltoid: Array
    arm: Array
    upper_arm: Array
    forearm: Array
    neck_radius: Array


def section_girth(depth: Array, breadth: Array, squareness: Array, points: int = 400) -> Array:
    r"""Girth of a rounded section, a superellipse.

    .. math:: |2x/d|^n + |2z/b|^n = 1

    Parameters
    ----------
    depth : ndarray
        Front to back [m], shape (wearers,)
    breadth : ndarray
        Side to side [m], shape (wearers,)
    squareness : ndarray
        Exponent n, 2 for an ellipse [-], shape (wearers,) or (1,)
    points : int
        Points on a quarter of the girth [-]

    Returns
    -------
    ndarray
        Girth [m], shape (wearers,)

    Examples
    --------
    >>> import numpy as np
    >>> float(section_girth(np.array([0.2]), np.array([0.2]), np.array([2.0]))[0].round(4))
    0.6283
    """
    turn = np.linspace(0.0, np.pi / 2.0, points)
    power = 2.0 / np.asarray(squareness, dtype=float)[..., None]
    along, across = np.log(np.abs(np.cos(turn))), np.log(np.maximum(np.sin(turn), 1e-300))
    x = 0.5 * np.asarray(depth)[..., None] * np.exp(power * along)
    z = 0.5 * np.asarray(breadth)[..., None] * np.exp(power * across)
    return np.asarray(4.0 * np.sqrt(np.diff(x) ** 2 + np.diff(z) ** 2).sum(axis=-1))


def build(wearers: Sequence[Wearer]) -> Build:
    """Shape the bodies of some wearers from their measurements.

    Parameters
    ----------
    wearers : sequence of Wearer
        The wearers

    Returns
    -------
    Build
        Arrays over wearers

    Raises
    ------
    InputError
        If a girth cannot close round its depth and breadth

    Notes
    -----
    At the waist depth, breadth and girth all hold: the section's squareness is solved for. At the
    chest depth and girth hold and the breadth follows, because the survey's chest breadth leaves
    out the folds of muscle beside the armpit that its girth contains. Heights, bideltoid breadth and
    the arm's girth place the shoulders. The rest are assumptions, named at the top of this file.

    Examples
    --------
    >>> b = build([Wearer.average("male")])
    >>> float(b.upper_arm[0].round(3))
    0.284
    """
    m = {f.name: np.array([getattr(w, f.name) for w in wearers]) for f in fields(Wearer)}
    zero = m["suprasternale_height"]
    height = {
        "c7": m["cervicale_height"] - zero,
        "acromion": m["acromial_height"] - zero,
        "axilla": m["axilla_height"] - zero,
        "waist": m["waist_height"] - zero,
    }
    height["chest"] = height["axilla"] - CHEST_LEVEL * (height["axilla"] - height["waist"])
    ones = np.ones(len(wearers))
    waist_n = illinois(
        lambda n: section_girth(m["waist_depth"], m["waist_breadth"], n) - m["waist_circumference"],
        low=1.3 * ones,
        high=12.0 * ones,
        still=1e-13,
    )
    chest = illinois(
        lambda b: section_girth(m["chest_depth"], b, CHEST_SQUARENESS * ones[:1]) - m["chest_circumference"],
        low=0.5 * m["chest_depth"],
        high=1.3 * m["bideltoid_breadth"],
        still=1e-13,
    )
    girth = section_girth(m["waist_depth"], m["waist_breadth"], waist_n)
    odd = np.abs(girth - m["waist_circumference"]) > 1e-4
    if odd.any():
        k = int(np.argmax(odd))
        raise InputError(
            given=(
                f"A waist girth of {show(float(m['waist_circumference'][k]), 'length')} does not close round a waist "
                f"{show(float(m['waist_breadth'][k]), 'length')} broad and "
                f"{show(float(m['waist_depth'][k]), 'length')} deep."
            ),
            do="Measure all three again.",
        )
    neck_radius = m["neck_base_circumference"] / (2.0 * np.pi)
    level = (height["axilla"] - height["chest"]) / (height["acromion"] - height["chest"])
    # towards the armpit the folds of muscle before and behind it end: there the trunk comes near the ribs' breadth
    knots = [
        height["waist"] - HIP_DROP,
        height["waist"],
        height["chest"],
        height["axilla"],
        height["acromion"],
        np.maximum(height["c7"], height["acromion"] + NECK_LENGTH),
    ]
    depth = [
        HIP_SIZE * m["waist_depth"],
        m["waist_depth"],
        m["chest_depth"],
        (1.0 - (1.0 - SHOULDER_DEPTH) * level) * m["chest_depth"],
        SHOULDER_DEPTH * m["chest_depth"],
        2.0 * neck_radius,
    ]
    breadth = [
        HIP_SIZE * m["waist_breadth"],
        m["waist_breadth"],
        chest,
        chest + ARMPIT_SHARE * np.minimum(m["chest_breadth"] - chest, 0.0),
        SHOULDER_BREADTH * chest,
        2.0 * neck_radius,
    ]
    square = [waist_n, waist_n, CHEST_SQUARENESS * ones, CHEST_SQUARENESS * ones, 2.4 * ones, 2.0 * ones]
    knots_, depth_, breadth_, square_ = (np.stack(rows, axis=1) for rows in (knots, depth, breadth, square))
    curves = natural_spline(knots_, np.stack([np.log(depth_ / 2.0), np.log(breadth_ / 2.0), square_]))
    trunks = Trunks(
        knots=knots_,
        curves=curves,
        scale=m["chest_depth"] / 2.0,
        top=np.stack([height["c7"], 0.07 * ones], axis=1),
        bottom=np.stack([height["waist"] - 0.12, 0.12 * ones], axis=1),
    )
    flexed = m["biceps_circumference_flexed"] / (2.0 * np.pi)
    deltoid = DELTOID * flexed
    # blending with the arm and the shoulder's root lifts the skin over the deltoid by this much
    parts = np.exp(-(deltoid - ARM_RELAXED * flexed) / BLEND) + np.exp(-(1.0 - ROOT) * deltoid / BLEND)
    swell = BLEND * np.log1p(parts)
    joint = np.stack(
        [0.0 * ones, height["acromion"] - JOINT_DROP * deltoid, m["bideltoid_breadth"] / 2.0 - deltoid - swell], axis=1
    )
    cape = TRAPEZIUS * deltoid
    acromion = np.stack([-0.01 * ones, height["acromion"] - cape, m["biacromial_breadth"] / 2.0 - cape], axis=1)
    neck = np.stack([-0.01 * ones, height["c7"] - cape - 0.015, 0.55 * neck_radius], axis=1)
    clavicle = np.stack([SHOULDER_DEPTH * m["chest_depth"] / 2.0 - 0.02, -0.01 * ones, 0.025 * ones], axis=1)
    clavicle_tip = np.stack([0.0 * ones, height["acromion"], (0.5 - CLAVICLE_INSET) * m["biacromial_breadth"]], axis=1)
    return Build(
        trunks=trunks,
        height=height,
        joint=joint,
        clavicle=clavicle,
        clavicle_tip=clavicle_tip,
        acromion=acromion,
        neck=neck,
        deltoid=deltoid,
        arm=ARM_RELAXED * flexed,
        upper_arm=m["acromion_radiale_length"] - JOINT_DROP * deltoid,
        forearm=m["radiale_stylion_length"],
        neck_radius=neck_radius,
    )
