"""The posed body: shoulder girdle, arms, and the surface that straps lie on.

Axes inside the mechanics: x forward, y up, z towards the *amputated* side, origin in
the middle of the trunk at the height of the notch above the breastbone. Left and right
therefore mirror exactly; results are turned into ISB axes (z to the wearer's right)
when they leave (`to_right`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.body.pose import POSE_RANGES, PairPose, Pose
from controlkit.mechanics.body.shape import ROOT, TRAPEZIUS, Build, build
from controlkit.mechanics.roots import halved
from controlkit.mechanics.surface.field import Field
from controlkit.mechanics.surface.shapes import Capsules, Union
from controlkit.sources import source

__all__ = [
    "POSE_RANGES",
    "Build",
    "Pose",
    "Posed",
    "arm_axes",
    "build",
    "girdle",
    "place",
    "to_right",
]

Array = NDArray[np.float64]

RHYTHM = source("rhythm_raising").si  # glenohumeral : scapular, bone pins, raising
OPEN = 0.008
"""Room that the sound arm leaves the loop beside the chest [m]. Assumption."""
NEAR_PIT = (0.10, 0.18)
"""Stretch of the sound arm that must not press into the chest, from the shoulder [m]. Assumption."""
MOST_ASIDE = float(np.deg2rad(85.0))
"""How far the sound arm is moved out of the way at most [rad]."""
KEPT = 256
"""Shoulder positions for which one wearer's sound arm is kept clear of the chest without finding out anew [-]."""
CLAVICLE_SHARE = 0.3  # clavicle elevation of scapular rotation [-], from memory of bone-pin work


@dataclass(frozen=True, kw_only=True)
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
    slip : ndarray
        How far each socket has been dragged down its limb, nought on a sound side [m], shape (bodies, 2)
    """

    surface: Union
    joint: Array
    elbow: Array
    axes: Array
    arm: Array
    slip: Array

    def rows(self, which: NDArray[np.intp]) -> Posed:
        """Some of these bodies.

        Parameters
        ----------
        which : ndarray
            Indices [-], shape (picked,)

        Returns
        -------
        Posed
            Those bodies, in that order
        """
        return Posed(
            surface=self.surface.rows(which),
            joint=self.joint[which],
            elbow=self.elbow[which],
            axes=self.axes[which],
            arm=self.arm[which],
            slip=self.slip[which],
        )

    def mirrored(self) -> Posed:
        """The same bodies seen in a mirror: the other side stands where the amputated one stood.

        Returns
        -------
        Posed
            Mirrored bodies

        Examples
        --------
        >>> import numpy as np
        >>> from controlkit.mechanics import Wearer
        >>> body = place(build([Wearer.average("male")]), np.zeros(1, dtype=int), [Pose()])
        >>> bool((body.mirrored().joint[:, 1] == body.joint[:, 0] * [1, 1, -1]).all())
        True
        """
        caps = self.surface.capsules
        swap = np.arange(caps.radius.shape[1]).reshape(-1, 2)[:, ::-1].ravel()
        capsules = Capsules(caps.start[:, swap] * _MIRROR, caps.end[:, swap] * _MIRROR, caps.radius[:, swap])
        return Posed(
            surface=Union(self.surface.trunks, capsules, self.surface.blend),
            joint=self.joint[:, ::-1] * _MIRROR,
            elbow=self.elbow[:, ::-1] * _MIRROR,
            axes=self.axes[:, ::-1] * _MIRROR[:, None],
            arm=self.arm,
            slip=self.slip[:, ::-1],
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
    >>> float(-arm_axes(np.array([np.pi / 2]), np.zeros(1))[0, 0, 1])
    1.0
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
    >>> from controlkit.mechanics import Wearer
    >>> b = build([Wearer.average("male")])
    >>> shift = girdle(b, np.zeros(1, dtype=int), np.array([np.deg2rad(30)]), np.zeros(1))
    >>> float(np.linalg.norm(shift).round(3))
    0.082
    """
    rest = (build_.clavicle_tip - build_.clavicle)[who]
    x, y, z = rest.T
    z, y = z * np.cos(elevation) - y * np.sin(elevation), y * np.cos(elevation) + z * np.sin(elevation)
    x, z = x * np.cos(protraction) + z * np.sin(protraction), z * np.cos(protraction) - x * np.sin(protraction)
    return np.asarray(np.stack([x, y, z], axis=-1) - rest)


_MIRROR = np.array([1.0, 1.0, -1.0])


def place(
    build_: Build,
    who: NDArray[np.intp],
    poses: Sequence[Pose],
    more_flexion: float | Array = 0.0,
    girdle_held: bool = False,
) -> Posed:
    """Put wearers into poses.

    Parameters
    ----------
    build_ : Build
        Shapes
    who : ndarray
        Wearer of each body [-], shape (bodies,)
    poses : sequence of Pose
        Pose of each body
    more_flexion : float or ndarray
        Arm flexion on top of every pose, for rates of change [rad], shape (bodies,) or one for all
    girdle_held : bool
        Whether that turns the arm about the shoulder joint alone, and the girdle does not follow

    Returns
    -------
    Posed
        Bodies in their poses

    Notes
    -----
    The arm's angle to the trunk is the input. Raising it turns the scapula by a share of 1/(1 + 2)
    (scapulohumeral rhythm), the clavicle rises by a part of that; a girdle motion asked for comes
    on top and does not turn the arm again. Where both arms bear a prosthesis every pose says what either of them does.

    Examples
    --------
    >>> import numpy as np
    >>> from controlkit.mechanics import Wearer
    >>> b = build([Wearer.average("male")])
    >>> place(b, np.zeros(1, dtype=int), [Pose()]).elbow.shape
    (1, 2, 3)
    """
    a = _angles(poses)
    still = 0.0 * a["arm_flexion"]
    other = still, a["sound_arm_abduction"], a["sound_scapular_abduction"], still
    slip = np.stack([a["socket_slip"], still], axis=1)
    pair = [pose.other for pose in poses if isinstance(pose, PairPose)]
    if pair:
        b = _angles(pair)
        other = b["arm_flexion"], b["arm_abduction"], b["scapular_abduction"], b["shoulder_elevation"]
        slip[:, 1] = b["socket_slip"]
    sides = []
    for flexion, asked, protraction, shrug, sign in (
        (a["arm_flexion"] + more_flexion, a["arm_abduction"], a["scapular_abduction"], a["shoulder_elevation"], 1.0),
        (*other, -1.0),
    ):
        shift = girdle(build_, who, protraction, shrug)
        free = sign > 0 or pair  # no loop goes round it
        abduction = asked if free else _clear_of_chest(build_, who, build_.joint[who] + shift, asked)
        axes = arm_axes(flexion, abduction)
        lifting = arm_axes(flexion - more_flexion, abduction) if girdle_held and sign > 0 else axes
        raised = np.arccos(np.clip(lifting[:, 1, 1], -1.0, 1.0))
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
    return Posed(
        surface=Union(build_.trunks.rows(who), capsules),
        joint=joint,
        elbow=elbow,
        axes=axes,
        arm=arm,
        slip=slip,
    )


def _angles(poses: Sequence[Pose]) -> dict[str, Array]:
    """Angles of poses by name."""
    return {f.name: np.array([getattr(p, f.name) for p in poses]) for f in fields(Pose)}


def _clear_of_chest(build_: Build, who: NDArray[np.intp], joint: Array, abduction: Array) -> Array:
    """Abduction of the sound arm, raised where it would press into the chest and shut the armpit on the loop."""
    rows, back = np.unique(np.column_stack([who, joint, abduction]), axis=0, return_inverse=True)
    if len(build_.arm) > 1:
        return _cleared(build_, rows)[back.ravel()]
    # the amputated arm moves from pose to pose, the sound one seldom: what was found for it stays with its wearer
    kept = vars(build_).setdefault("sound arm clear of the chest", {})
    found = np.array([kept.get(row.tobytes(), np.nan) for row in rows])
    new = np.isnan(found)
    if new.any():
        found[new] = _cleared(build_, rows[new])
        if len(kept) > KEPT:
            kept.clear()
        kept.update(zip((row.tobytes() for row in rows[new]), found[new].tolist(), strict=True))
    return np.asarray(found[back.ravel()])


def _cleared(build_: Build, rows: Array) -> Array:
    """The same for some arms: whose each is, its shoulder joint, and the abduction asked for."""
    who, joint, least = rows[:, 0].astype(np.intp), rows[:, 1:4], rows[:, 4]
    far = np.full((len(who), 1, 3), 9.0)
    chest = Union(build_.trunks.rows(who), Capsules(far, far, np.zeros((len(who), 1))))
    down = np.linspace(*NEAR_PIT, 5)
    field = Field(chest, np.repeat(np.arange(len(who)), len(down)))

    def shut(angle: Array) -> NDArray[np.bool_]:
        along = arm_axes(np.zeros_like(angle), angle)[:, :, 1]
        points = joint[:, None] - down[None, :, None] * along[:, None]
        value = field.value(np.ascontiguousarray(points.reshape(-1, 3).T)).reshape(len(who), -1)
        return np.asarray(value.min(axis=1) < build_.arm[who] + OPEN)

    high = np.maximum(least, MOST_ASIDE)
    pressed = shut(least)
    if pressed.any():
        _, high = halved(shut, low=least, high=high, times=12)
    return np.asarray(np.where(pressed, high, least))


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
