"""Shape and pose of the body: trunk, shoulder girdle, upper arms.

Axes inside the mechanics: x forward, y up, z towards the *amputated* side, origin in
the middle of the trunk at the height of the notch above the breastbone. Left and right
therefore mirror exactly; results are turned into ISB axes (z to the wearer's right)
when they leave (`to_right`).
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from ..units import InputError, show
from .surfaces import Capsules, Trunks, Union, natural_spline
from .wearer import Wearer

Array = NDArray[np.float64]

# Shape factors of the built body. Assumptions without a source, set once from anatomy, not fitted.
CHEST_SQUARENESS = 3.0  # exponent of the chest's section [-]; its breadth then follows from the girth
SHOULDER_BREADTH, SHOULDER_DEPTH = 0.62, 0.75  # trunk at the height of the acromion, of the chest [-]
HIP_SIZE, HIP_DROP = 1.03, 0.18  # of the waist [-]; below the waist [m]
CHEST_LEVEL = 0.2  # of the way from armpit to waist at which chest girth is taken [-]
ARM_RELAXED, DELTOID = 0.93, 1.05  # of the flexed girth's radius [-]
JOINT_DROP = 0.85  # shoulder joint below the acromion, of the deltoid's radius [-]
TRAPEZIUS = 0.70  # radius over the deltoid's [-]
ROOT = 0.85  # radius of the flesh between shoulder and trunk, of the deltoid's [-]
CLAVICLE_INSET = 0.025  # outer end of the clavicle inside the acromion's edge [m]
RHYTHM = 2.0  # glenohumeral : scapular, Inman 1944, from memory; bone pins gave 2.3 raising
CLAVICLE_SHARE = 0.3  # clavicle elevation of scapular rotation [-], from memory of bone-pin work


@dataclass(frozen=True)
class Pose:
    """Angles of one pose as a fitter sees them, the arm measured against the trunk.

    Parameters
    ----------
    arm_flexion : float
        Upper arm forward of hanging, amputated side; negative is extension [rad]
    arm_abduction : float
        Upper arm away from the trunk, amputated side [rad]
    elbow_flexion : float
        0 is straight [rad]
    scapular_abduction : float
        Protraction of the shoulder blade, amputated side, on top of what raising the arm does [rad]
    shoulder_elevation : float
        Shrug (+) or depression (-) of the amputated side [rad]
    sound_arm_abduction : float
        Sound arm away from the trunk: it must leave the armpit open for the loop [rad]
    sound_scapular_abduction : float
        Protraction of the sound side [rad]

    Raises
    ------
    InputError
        If an angle is outside its range

    Notes
    -----
    Ranges: flexion -50 to 170 degrees, abduction 0 to 120, elbow 0 to 150, protraction -25 to
    30 (kinesiology texts, from memory: 15 to 30 each way), elevation -10 to 35.

    Examples
    --------
    >>> Pose(arm_flexion=1.0).elbow_flexion
    0.0
    """

    arm_flexion: float = 0.0
    arm_abduction: float = float(np.deg2rad(10.0))
    elbow_flexion: float = 0.0
    scapular_abduction: float = 0.0
    shoulder_elevation: float = 0.0
    sound_arm_abduction: float = float(np.deg2rad(35.0))
    sound_scapular_abduction: float = 0.0

    def __post_init__(self) -> None:
        for name, (low, high) in POSE_RANGES.items():
            given = np.rad2deg(getattr(self, name))
            if not low - 1e-6 <= given <= high + 1e-6:
                said = name.replace("_", " ").capitalize()
                raise InputError(
                    f"{said} of {given:.4g} degrees was given. Give between {low:g} and {high:g} degrees; "
                    "write deg(60) for 60 degrees."
                )


POSE_RANGES: dict[str, tuple[float, float]] = {
    "arm_flexion": (-50.0, 170.0),
    "arm_abduction": (0.0, 120.0),
    "elbow_flexion": (0.0, 150.0),
    "scapular_abduction": (-25.0, 30.0),
    "shoulder_elevation": (-10.0, 35.0),
    "sound_arm_abduction": (30.0, 90.0),
    "sound_scapular_abduction": (-25.0, 30.0),
}
"""Range of each angle of a pose, low and high [deg]."""


@dataclass(frozen=True)
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


@dataclass(frozen=True)
class Posed:
    """Bodies in poses, one a row: joints, arm axes and the surface that straps lie on.

    Attributes
    ----------
    surface : Union
        Trunk, shoulders and upper arms
    joint : ndarray
        Shoulder joints, amputated and sound side [m], shape (bodies, 2, 3)
    elbow : ndarray
        Elbows [m], shape (bodies, 2, 3)
    axes : ndarray
        Axes of the upper arms as columns (front, up along the arm, lateral) [-],
        shape (bodies, 2, 3, 3)
    arm : ndarray
        Radius of the upper arm [m], shape (bodies,)
    """

    surface: Union
    joint: Array
    elbow: Array
    axes: Array
    arm: Array


def section_girth(depth: Array, breadth: Array, squareness: Array, points: int = 400) -> Array:
    r"""Girth of a rounded section.

    .. math:: |2x/d|^n + |2z/b|^n = 1

    Parameters
    ----------
    depth : ndarray
        Front to back [m], shape (wearers,)
    breadth : ndarray
        Side to side [m], shape (wearers,)
    squareness : ndarray
        Exponent n, 2 for an ellipse [-], shape (wearers,)
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
    x = 0.5 * np.asarray(depth)[..., None] * np.abs(np.cos(turn)) ** power
    z = 0.5 * np.asarray(breadth)[..., None] * np.sin(turn) ** power
    return np.asarray(4.0 * np.hypot(np.diff(x), np.diff(z)).sum(axis=-1))


def _bisect(low: Array, high: Array, girth_of: Callable[[Array], Array], wanted: Array) -> Array:
    for _ in range(45):
        middle = 0.5 * (low + high)
        short = girth_of(middle) < wanted
        low, high = np.where(short, middle, low), np.where(short, high, middle)
    return 0.5 * (low + high)


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
    waist_n = _bisect(
        1.3 * ones, 12.0 * ones,
        lambda n: section_girth(m["waist_depth"], m["waist_breadth"], n), m["waist_circumference"],
    )
    chest = _bisect(
        0.5 * m["chest_depth"], 1.3 * m["bideltoid_breadth"],
        lambda b: section_girth(m["chest_depth"], b, CHEST_SQUARENESS * ones), m["chest_circumference"],
    )
    odd = (waist_n > 11.9) | (waist_n < 1.31)
    if odd.any():
        k = int(np.argmax(odd))
        raise InputError(
            f"A waist girth of {show(float(m['waist_circumference'][k]), 'length')} does not close round "
            f"a waist {show(float(m['waist_breadth'][k]), 'length')} broad and "
            f"{show(float(m['waist_depth'][k]), 'length')} deep. Measure all three again."
        )
    neck_radius = m["neck_base_circumference"] / (2.0 * np.pi)
    knots = np.stack(
        [height["waist"] - HIP_DROP, height["waist"], height["chest"], height["acromion"], height["c7"]], axis=1
    )
    depth = np.stack(
        [
            HIP_SIZE * m["waist_depth"], m["waist_depth"], m["chest_depth"],
            SHOULDER_DEPTH * m["chest_depth"], 2.0 * neck_radius,
        ], axis=1,
    )
    breadth = np.stack(
        [HIP_SIZE * m["waist_breadth"], m["waist_breadth"], chest, SHOULDER_BREADTH * chest, 2.0 * neck_radius],
        axis=1,
    )
    square = np.stack([waist_n, waist_n, CHEST_SQUARENESS * ones, 2.4 * ones, 2.0 * ones], axis=1)
    curves = natural_spline(knots, np.stack([np.log(depth / 2.0), np.log(breadth / 2.0), square]))
    trunks = Trunks(
        knots, curves, m["chest_depth"] / 2.0,
        np.stack([height["c7"], 0.07 * ones], axis=1),
        np.stack([height["waist"] - 0.12, 0.12 * ones], axis=1),
    )
    flexed = m["biceps_circumference_flexed"] / (2.0 * np.pi)
    deltoid = DELTOID * flexed
    joint = np.stack(
        [0.0 * ones, height["acromion"] - JOINT_DROP * deltoid, m["bideltoid_breadth"] / 2.0 - deltoid], axis=1
    )
    cape = TRAPEZIUS * deltoid
    acromion = np.stack([-0.01 * ones, height["acromion"] - cape, m["biacromial_breadth"] / 2.0 - cape], axis=1)
    neck = np.stack([-0.01 * ones, height["c7"] - cape - 0.015, 0.55 * neck_radius], axis=1)
    clavicle = np.stack([SHOULDER_DEPTH * m["chest_depth"] / 2.0 - 0.02, -0.01 * ones, 0.025 * ones], axis=1)
    clavicle_tip = np.stack(
        [0.0 * ones, height["acromion"], m["biacromial_breadth"] / 2.0 - CLAVICLE_INSET], axis=1
    )
    return Build(
        trunks, height, joint, clavicle, clavicle_tip, acromion, neck, deltoid, ARM_RELAXED * flexed,
        m["acromion_radiale_length"] - JOINT_DROP * deltoid, m["radiale_stylion_length"], neck_radius,
    )


def arm_axes(flexion: Array, abduction: Array) -> Array:
    """Axes of an upper arm for a flexion (sweep in the sagittal plane) of an abducted arm.

    Parameters
    ----------
    flexion : ndarray
        Forward sweep [rad], shape (bodies,)
    abduction : ndarray
        Away from the trunk [rad], shape (bodies,)

    Returns
    -------
    ndarray
        Columns front, up along the arm, lateral [-], shape (bodies, 3, 3)

    Notes
    -----
    The ISB sequence (plane of elevation, elevation) is singular at the hanging arm and knows
    no flexion; flexion here is elevation in the plane near 90 degrees.

    Examples
    --------
    >>> import numpy as np
    >>> (-arm_axes(np.array([np.pi / 2]), np.zeros(1))[0, :, 1]).round(6).tolist()
    [1.0, 0.0, 0.0]
    """
    cf, sf, ca, sa = np.cos(flexion), np.sin(flexion), np.cos(abduction), np.sin(abduction)
    front = np.stack([cf, sf, 0.0 * cf], axis=-1)
    along = np.stack([-sf * ca, cf * ca, -sa], axis=-1)
    lateral = np.stack([-sf * sa, cf * sa, ca], axis=-1)
    return np.stack([front, along, lateral], axis=-1)


def girdle(build_: Build, who: NDArray[np.intp], protraction: Array, elevation: Array) -> Array:
    """How far the shoulder girdle carries the shoulder when the clavicle turns.

    Parameters
    ----------
    build_ : Build
        Shapes
    who : ndarray
        Wearer of each body [-], shape (bodies,)
    protraction : ndarray
        Turn of the clavicle forward about the vertical [rad], shape (bodies,)
    elevation : ndarray
        Turn of the clavicle upward [rad], shape (bodies,)

    Returns
    -------
    ndarray
        Shift of the outer end of the clavicle, amputated side [m], shape (bodies, 3)

    Notes
    -----
    The clavicle turns about the sternoclavicular joint; the scapula turns back against it so that
    the socket of the shoulder keeps facing outward, and the shoulder shifts without turning.

    Examples
    --------
    >>> import numpy as np
    >>> b = build([Wearer.average("male")])
    >>> shift = girdle(b, np.zeros(1, dtype=int), np.array([np.deg2rad(30)]), np.zeros(1))
    >>> float(np.linalg.norm(shift).round(3))
    0.09
    """
    rest = (build_.clavicle_tip - build_.clavicle)[who]
    x, y, z = rest.T
    z, y = z * np.cos(elevation) - y * np.sin(elevation), y * np.cos(elevation) + z * np.sin(elevation)
    x, z = x * np.cos(protraction) + z * np.sin(protraction), z * np.cos(protraction) - x * np.sin(protraction)
    return np.asarray(np.stack([x, y, z], axis=-1) - rest)


_MIRROR = np.array([1.0, 1.0, -1.0])


def place(build_: Build, who: NDArray[np.intp], poses: Sequence[Pose], more_flexion: float = 0.0) -> Posed:
    """Put wearers into poses.

    Parameters
    ----------
    build_ : Build
        Shapes
    who : ndarray
        Wearer of each body [-], shape (bodies,)
    poses : sequence of Pose
        Pose of each body
    more_flexion : float
        Arm flexion on top of every pose, for rates of change [rad]

    Returns
    -------
    Posed
        Bodies in their poses

    Notes
    -----
    The arm's angle to the trunk is the input. Raising it turns the scapula by a share of 1/(1 + 2)
    (scapulohumeral rhythm), the clavicle rises by a part of that; a girdle motion asked for comes
    on top and does not turn the arm again.

    Examples
    --------
    >>> import numpy as np
    >>> b = build([Wearer.average("male")])
    >>> place(b, np.zeros(1, dtype=int), [Pose()]).elbow.shape
    (1, 2, 3)
    """
    a = {f.name: np.array([getattr(p, f.name) for p in poses]) for f in fields(Pose)}
    still = 0.0 * a["arm_flexion"]
    sides = []
    for flexion, abduction, protraction, shrug, sign in (
        (a["arm_flexion"] + more_flexion, a["arm_abduction"], a["scapular_abduction"], a["shoulder_elevation"], 1.0),
        (still, a["sound_arm_abduction"], a["sound_scapular_abduction"], still, -1.0),
    ):
        axes = arm_axes(flexion, abduction)
        raised = np.arccos(np.clip(axes[:, 1, 1], -1.0, 1.0))
        lift = CLAVICLE_SHARE * raised / (1.0 + RHYTHM) + shrug
        shift = girdle(build_, who, protraction, lift)
        joint, tip = build_.joint[who] + shift, build_.acromion[who] + shift
        elbow = joint - build_.upper_arm[who][:, None] * axes[:, :, 1]
        flip = _MIRROR if sign < 0 else np.ones(3)
        sides.append((joint * flip, tip * flip, elbow * flip, axes * flip[:, None], build_.neck[who] * flip))
    joint, tip, elbow, axes, neck = (np.stack([s[k] for s in sides], axis=1) for k in range(5))
    deltoid, arm = build_.deltoid[who], build_.arm[who]
    cape = TRAPEZIUS * deltoid
    # the root of each shoulder joins it to the trunk wherever the girdle carries it
    root = build_.joint[who][:, None] * np.array([[1.0, 1.0, 0.35], [1.0, 1.0, -0.35]])
    capsules = Capsules(
        np.concatenate([neck, joint, joint, root], axis=1),
        np.concatenate([tip, joint, elbow, joint], axis=1),
        np.stack([cape, cape, deltoid, deltoid, arm, arm, *2 * [ROOT * deltoid]], axis=1),
    )
    t = build_.trunks
    trunks = Trunks(t.knots[who], t.curves[:, who], t.scale[who], t.top[who], t.bottom[who])
    return Posed(Union(trunks, capsules), joint, elbow, axes, arm)


def to_right(points: Array, amputated: str) -> Array:
    """Turn inner axes (z to the amputated side) into ISB axes (z to the wearer's right), or back.

    Parameters
    ----------
    points : ndarray
        Points or directions [m], shape (..., 3)
    amputated : str
        "left" or "right"

    Returns
    -------
    ndarray
        The same points in the other axes [m], shape (..., 3)

    Examples
    --------
    >>> import numpy as np
    >>> to_right(np.array([0.0, 0.0, 1.0]), "left").tolist()
    [0.0, 0.0, -1.0]
    """
    return np.asarray(points * _MIRROR if amputated == "left" else points)
