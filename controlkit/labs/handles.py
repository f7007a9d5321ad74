"""What can be dragged in pictures of the wearer: ring, crossbar and arm."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from controlkit.draw.wearer.posed import posed_joints
from controlkit.draw.words.pull import View
from controlkit.labs.page import Handle, Turn
from controlkit.mechanics import Pose, Pull, Wearer
from controlkit.mechanics.body.outline import project
from controlkit.mechanics.body.pose import POSE_RANGES
from controlkit.mechanics.harness.layout import CONTROL_STRAP
from controlkit.units import deg

__all__ = ["angle_handle", "arm_handle", "crossbar_handle", "forearm_handle", "junction_handle", "ring_handle"]

_DOWN, _ACROSS = np.array([0.0, -1.0, 0.0]), np.array([0.0, 0.0, -1.0])  # ISB axes
_LITTLE = 0.002  # over which a slope is taken [rad]


def ring_handle(pull: Pull, wearer: Wearer, view: View, *, picture: int) -> Handle:
    """Make the ring a handle that moves the place where it is put on.

    Parameters
    ----------
    pull : Pull
        What the mechanics found; the ring is where it has settled.
    wearer : Wearer
        Who wears it.
    view : str
        "back".
    picture : int
        Which picture it lies in, from 0 [-].

    Returns
    -------
    Handle
        It follows the height below C7 and the distance to the sound side.

    Notes
    -----
    Both are measured straight down and straight across the back, not along the skin, so a ring as it is put on
    moves just as far on the page. Straps that come taut draw it on, a little less or more in each place: that is left
    out of how far it is said to move.

    Examples
    --------
    >>> from controlkit.mechanics import SingleControl, figure_of_eight
    >>> woman = Wearer.average("female", amputated="right")
    >>> handle = ring_handle(SingleControl(figure_of_eight(woman)).at(), woman, "back", picture=0)
    >>> handle.slides
    (('ring_below_c7', (0.0, -1.0)), ('ring_to_sound_side', (-1.0, 0.0)))
    """
    sound = _ACROSS if wearer.amputated == "right" else -_ACROSS
    slides = (
        ("ring_below_c7", _flat(_DOWN, view, wearer)),
        ("ring_to_sound_side", _flat(sound, view, wearer)),
    )
    return Handle("ring", picture, _flat(pull.ring, view, wearer), slides=slides)


def junction_handle(junction: NDArray[np.float64], wearer: Wearer, *, picture: int) -> Handle:
    """Make the place where both harnesses of a pair are joined a handle, seen from behind.

    Parameters
    ----------
    junction : numpy.ndarray
        Where it has settled, ISB axes, shape (3,) [m].
    wearer : Wearer
        Who wears it.
    picture : int
        Which picture it lies in, from 0 [-].

    Returns
    -------
    Handle
        It follows the height below C7, as `ring_handle` does.

    Examples
    --------
    >>> junction_handle(np.zeros(3), Wearer.average("female"), picture=0).slides
    (('junction', (0.0, -1.0)),)
    """
    slides = (("junction", _flat(_DOWN, "back", wearer)),)
    return Handle("junction", picture, _flat(junction, "back", wearer), slides=slides)


def crossbar_handle(pull: Pull, wearer: Wearer, view: View, *, picture: int) -> Handle:
    """Make the crossbar a handle that moves it along the upper arm.

    Parameters
    ----------
    pull : Pull
        What the mechanics found; the crossbar is where the control strap ends.
    wearer : Wearer
        Who wears it.
    view : str
        "back", "side" or "front".
    picture : int
        Which picture it lies in, from 0 [-].

    Returns
    -------
    Handle
        It follows the crossbar's share of the upper arm.

    Examples
    --------
    >>> from controlkit.mechanics import SingleControl, figure_of_eight
    >>> man = Wearer.average("male")
    >>> handle = crossbar_handle(SingleControl(figure_of_eight(man)).at(), man, "side", picture=1)
    >>> -0.4 < handle.slides[0][1][1] < -0.2
    True
    """
    body = posed_joints(wearer, pull.pose)
    along = _flat(body["elbow"] - body["shoulder"], view, wearer)
    return Handle(
        "crossbar", picture, _flat(pull.straps[CONTROL_STRAP][-1], view, wearer), slides=(("crossbar", along),)
    )


def arm_handle(pull: Pull, wearer: Wearer, *, picture: int) -> Handle:
    """Make the elbow a handle that flexes the arm about the shoulder.

    Parameters
    ----------
    pull : Pull
        What the mechanics found.
    wearer : Wearer
        Who wears it.
    picture : int
        Which picture it lies in, from 0; a view from the side [-].

    Returns
    -------
    Handle
        It turns arm flexion.

    Examples
    --------
    >>> from controlkit.mechanics import SingleControl, figure_of_eight
    >>> man = Wearer.average("male", amputated="left")
    >>> arm_handle(SingleControl(figure_of_eight(man)).at(), man, picture=1).turn.sense
    -1
    """
    return _hinge("arm", ("arm_flexion", "shoulder", "elbow"), pull.pose, wearer, picture=picture)


def forearm_handle(pull: Pull, wearer: Wearer, *, picture: int) -> Handle:
    """Make the hook a handle that flexes the elbow.

    Parameters
    ----------
    pull : Pull
        What the mechanics found.
    wearer : Wearer
        Who wears it.
    picture : int
        Which picture it lies in, from 0; a view from the side [-].

    Returns
    -------
    Handle
        It turns elbow flexion.

    Examples
    --------
    >>> from controlkit.mechanics import SingleControl, figure_of_eight
    >>> man = Wearer.average("male", amputated="right")
    >>> forearm_handle(SingleControl(figure_of_eight(man)).at(), man, picture=0).turn.key
    'elbow_flexion'
    """
    return _hinge("forearm", ("elbow_flexion", "elbow", "device"), pull.pose, wearer, picture=picture)


def angle_handle(name: str, key: str, joint: str, *, pose: Pose, wearer: Wearer, view: View, picture: int) -> Handle:
    """Make a joint a handle that follows an angle of the pose.

    Parameters
    ----------
    name : str
        What is taken hold of.
    key : str
        The angle, as a pose and a slider call it.
    joint : str
        The joint, as `joints` calls it.
    pose : Pose
        The pose.
    wearer : Wearer
        Who wears it.
    view : str
        "back", "side" or "front".
    picture : int
        Which picture it lies in, from 0 [-].

    Returns
    -------
    Handle
        It slides as the joint moves on the page at this pose.

    Examples
    --------
    >>> from controlkit.mechanics import Pose
    >>> man = Wearer.average("male", amputated="right")
    >>> elbow = {"pose": Pose(), "wearer": man, "view": "back", "picture": 1}
    >>> (key, (across, up)), = angle_handle("arm", "arm_abduction", "elbow", **elbow).slides
    >>> across > up > 0.0
    True
    """
    least, most = (deg(end) for end in POSE_RANGES[key])
    low = min(max(getattr(pose, key) - _LITTLE / 2.0, least), most - _LITTLE)
    before, after = (
        _flat(posed_joints(wearer, replace(pose, **{key: angle}))[joint], view, wearer)
        for angle in (low, low + _LITTLE)
    )
    way = ((after[0] - before[0]) / _LITTLE, (after[1] - before[1]) / _LITTLE)
    return Handle(name, picture, _flat(posed_joints(wearer, pose)[joint], view, wearer), slides=((key, way),))


def _hinge(name: str, moved: tuple[str, str, str], pose: Pose, wearer: Wearer, *, picture: int) -> Handle:
    """A joint that turns about another, seen from the side: the angle, what it turns about, and what is held."""
    key, about, held = moved
    body = posed_joints(wearer, pose)
    turn = Turn(key, _flat(body[about], "side", wearer), 1 if wearer.amputated == "right" else -1)
    return Handle(name, picture, _flat(body[held], "side", wearer), turn=turn)


def _flat(point: NDArray[np.float64], view: View, wearer: Wearer) -> tuple[float, float]:
    """A point or a way in the picture."""
    x, y = (float(value) + 0.0 for value in project(point, view, wearer.amputated))
    return x, y
