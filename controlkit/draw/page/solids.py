"""Simple things in space, turned into what a viewer sees of them: tubes, drums, lumps, plates and cords.

Each is drawn as a filled outline with its edge, so that a list of them, drawn
from far to near, hides what lies behind without further ado.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import KW_ONLY, dataclass
from functools import cached_property, lru_cache

import numpy as np

from controlkit.draw.page.scene import Item, Line, Points, Region
from controlkit.draw.page.swept import ROUND, around_discs, lit, reaches, strips, swept
from controlkit.mechanics.body.outline import directions

__all__ = ["Cord", "Drum", "Lump", "Plate", "Solid", "Tube", "Viewpoint", "depth", "eye_of", "far_to_near", "seen"]


class _Alike:
    """What is the same as another of its kind with the same numbers, so that what was drawn of one serves the other."""

    @cached_property
    def _told(self) -> tuple[object, ...]:
        return tuple(one.tobytes() if isinstance(one, np.ndarray) else one for one in vars(self).values())

    def __eq__(self, other: object) -> bool:
        """Whether the other is alike in all numbers and names."""
        return isinstance(other, type(self)) and self._told == other._told

    def __hash__(self) -> int:
        """Hash numbers and names."""
        return hash(self._told)


@dataclass(frozen=True, eq=False)
class Viewpoint(_Alike):
    """From where a picture is seen.

    Parameters
    ----------
    right, up, towards : numpy.ndarray
        Directions of the picture and towards the viewer, each at a right angle to the others, shape (3,) [-].
    """

    right: Points
    up: Points
    towards: Points

    def flat(self, points: Points) -> Points:
        """Where points lie in the picture, shape (M, 2) [m]."""
        return np.asarray(points @ np.array([self.right, self.up]).T)

    def near(self, points: Points) -> Points:
        """How near to the viewer points are, shape (M,) [m]."""
        return np.asarray(points @ self.towards)


@dataclass(frozen=True, eq=False)
class Tube(_Alike):
    """A round bar along any line, thicker or thinner as it goes.

    Parameters
    ----------
    points : numpy.ndarray
        Its middle line, shape (M, 3); a single point is a ball [m].
    radius : float or numpy.ndarray
        Its radius, shape (M,) where it differs from point to point [m].
    style : str
        Name of an entry of `controlkit.draw.page.style.STYLES`, with a fill.
    name : str
        What it is, as a reader would call it.
    gleam : str
        Style of the line of light along it; empty for none.
    cut : bool
        Whether its ends are cut off square and not rounded.
    over : float
        How much nearer than it lies it counts when things are put in order [m].
    at : numpy.ndarray, optional
        The place that counts when things are put in order, if not its middle, shape (3,) [m].
    """

    points: Points
    radius: float | Points
    style: str
    name: str
    _: KW_ONLY
    gleam: str = ""
    cut: bool = False
    over: float = 0.0
    at: Points | None = None


@dataclass(frozen=True, eq=False)
class Drum(_Alike):
    """A straight round thing cut off square: a cylinder, a stud, a nut, a cone.

    Parameters
    ----------
    points : numpy.ndarray
        Its axis, shape (M, 3) [m].
    radius : float or numpy.ndarray
        Its radius, shape (M,) where it differs from point to point [m].
    style : str
        Name of an entry of `controlkit.draw.page.style.STYLES`, with a fill.
    name : str
        What it is.
    rings, flutes : int
        Lines round it, evenly along its axis, as of a thread; and along it, as of a knurled ring [-].
    over : float
        As of a `Tube` [m].
    at : numpy.ndarray, optional
        As of a `Tube`, shape (3,) [m].
    """

    points: Points
    radius: float | Points
    style: str
    name: str
    _: KW_ONLY
    rings: int = 0
    flutes: int = 0
    over: float = 0.0
    at: Points | None = None


@dataclass(frozen=True, eq=False)
class Lump(_Alike):
    """What a skin tight round some balls would enclose: a palm, a cast body.

    Parameters
    ----------
    points : numpy.ndarray
        Centres of the balls, shape (M, 3) [m].
    radius : float or numpy.ndarray
        Their radius, shape (M,) where they differ [m].
    style : str
        Name of an entry of `controlkit.draw.page.style.STYLES`, with a fill.
    name : str
        What it is.
    over : float
        As of a `Tube` [m].
    at : numpy.ndarray, optional
        As of a `Tube`, shape (3,) [m].
    """

    points: Points
    radius: float | Points
    style: str
    name: str
    _: KW_ONLY
    over: float = 0.0
    at: Points | None = None


@dataclass(frozen=True, eq=False)
class Plate(_Alike):
    """A flat or gently bent thing within a closed line.

    Parameters
    ----------
    points : numpy.ndarray
        Its corners in turn, in the middle of its thickness, shape (M, 3) [m].
    style : str
        Name of an entry of `controlkit.draw.page.style.STYLES`, with a fill.
    name : str
        What it is.
    thick : numpy.ndarray, optional
        From its one face to its other, shape (3,) or (M, 3); none for a sheet [m].
    side : str
        Style of its narrow sides; empty for that of its faces.
    over : float
        As of a `Tube` [m].
    at : numpy.ndarray, optional
        As of a `Tube`, shape (3,) [m].
    """

    points: Points
    style: str
    name: str
    _: KW_ONLY
    thick: Points | None = None
    side: str = ""
    over: float = 0.0
    at: Points | None = None


@dataclass(frozen=True, eq=False)
class Cord(_Alike):
    """A thin line in space: a cable, a stitch row, a crease.

    Parameters
    ----------
    points : numpy.ndarray
        Where it runs, shape (M, 3) [m].
    style : str
        Name of an entry of `controlkit.draw.page.style.STYLES`.
    name : str
        What it is.
    over : float
        As of a `Tube` [m].
    at : numpy.ndarray, optional
        As of a `Tube`, shape (3,) [m].
    """

    points: Points
    style: str
    name: str
    _: KW_ONLY
    over: float = 0.0
    at: Points | None = None


Solid = Tube | Drum | Lump | Plate | Cord


def eye_of(view: str | float, amputated: str) -> Viewpoint:
    """Look at a wearer as the pictures do.

    Parameters
    ----------
    view : str or float
        "back", "side" or "front", or an azimuth as in `controlkit.mechanics.body.outline.directions` [rad].
    amputated : str
        "left" or "right".

    Returns
    -------
    Viewpoint
        The directions of that picture.

    Examples
    --------
    >>> eye_of("front", "right").towards.tolist()
    [1.0, 0.0, 0.0]
    """
    right, towards = directions(view, amputated)
    return Viewpoint(right, np.array([0.0, 1.0, 0.0]), towards)


def depth(solid: Solid, eye: Viewpoint) -> float:
    """How near to the viewer a thing counts when things are put in order.

    Parameters
    ----------
    solid : Solid
        The thing.
    eye : Viewpoint
        From where it is seen.

    Returns
    -------
    float
        The middle of its points, or the place that counts, towards the viewer, and what it counts nearer [m].

    Examples
    --------
    >>> import numpy as np
    >>> ball = Tube(np.array([[0.1, 0.0, 0.0]]), 0.01, "hanger", "ball")
    >>> round(depth(ball, eye_of("front", "right")), 3)
    0.1
    """
    counts = solid.points if solid.at is None else solid.at
    return float(eye.near(counts).mean()) + solid.over


def far_to_near(solids: Iterable[Solid], eye: Viewpoint) -> tuple[Item, ...]:
    """Draw things so that the nearer hide the further.

    Parameters
    ----------
    solids : iterable of Solid
        The things, in any order; of two at one depth the later is drawn over the earlier.
    eye : Viewpoint
        From where they are seen.

    Returns
    -------
    tuple of Item
        What a scene takes.

    Examples
    --------
    >>> import numpy as np
    >>> near, far = (Tube(np.array([[x, 0.0, 0.0]]), 0.01, "hanger", name) for x, name in ((0.1, "near"), (0.0, "far")))
    >>> [item.name for item in far_to_near([near, far], eye_of("front", "right"))]
    ['far', 'near']
    """
    ordered = sorted(solids, key=lambda solid: depth(solid, eye))
    return tuple(item for solid in ordered for item in seen(solid, eye))


@lru_cache(maxsize=1024)
def seen(solid: Solid, eye: Viewpoint) -> tuple[Item, ...]:
    """Draw one thing; those that stand still are drawn once.

    Parameters
    ----------
    solid : Solid
        The thing.
    eye : Viewpoint
        From where it is seen.

    Returns
    -------
    tuple of Item
        Its outline and what is drawn on it.

    Examples
    --------
    >>> import numpy as np
    >>> bar = Tube(np.array([[0.0, 0.0, 0.0], [0.0, 0.1, 0.0]]), 0.01, "hanger", "bar")
    >>> region, = seen(bar, eye_of("front", "right"))
    >>> region.points.max(axis=0).round(3).tolist()
    [0.01, 0.11]
    """
    if isinstance(solid, Cord):
        return (Line(eye.flat(solid.points), solid.style, solid.name),)
    if isinstance(solid, Plate):
        return _plate(solid, eye)
    if isinstance(solid, Drum):
        return _drum(solid, eye)
    if isinstance(solid, Lump):
        radius = np.broadcast_to(np.asarray(solid.radius, dtype=np.float64), len(solid.points))
        ball = np.array([1.0, 0.0]), np.array([0.0, 1.0])
        return (Region(around_discs(eye.flat(solid.points), radius, ball), solid.style, solid.name),)
    return _tube(solid, eye)


# ---------------------------------------------------------------- tubes


def _tube(tube: Tube, eye: Viewpoint) -> tuple[Item, ...]:
    flat, near = eye.flat(tube.points), eye.near(tube.points)
    radius = np.broadcast_to(np.asarray(tube.radius, dtype=np.float64), len(flat))
    items: list[tuple[float, list[Item]]] = []
    for first, last in reaches(flat, radius):
        part = slice(first, last + 1)
        drawn: list[Item] = [Region(swept(flat[part], radius[part], tube.cut), tube.style, tube.name)]
        if tube.gleam and float(np.ptp(flat[part], axis=0).max()) > 2.0 * float(radius[part].max()):
            drawn.append(Line(lit(flat[part], radius[part]), tube.gleam, tube.name))
        items.append((float(near[part].mean()), drawn))
    return tuple(item for _, drawn in sorted(items, key=lambda one: one[0]) for item in drawn)


# ---------------------------------------------------------------- drums


_HALF_ROUND, _END_TO_END = np.linspace(0.0, np.pi, 9), np.array([0.0, 1.0])
_CIRCLE = np.stack([np.cos(ROUND), np.sin(ROUND)], axis=1)


def _drum(drum: Drum, eye: Viewpoint) -> tuple[Item, ...]:
    axis = drum.points[-1] - drum.points[0]
    axis = axis / np.sqrt(axis @ axis)
    flat, lean = eye.flat(axis), float(axis @ eye.towards)
    size = float(np.hypot(flat[0], flat[1]))
    along = flat / size if size > 1e-6 else np.array([1.0, 0.0])
    wide, deep = np.array([-along[1], along[0]]), -lean * along  # a circle's half-axes; the second to its seen side
    middle = eye.flat(drum.points)
    radius = np.broadcast_to(np.asarray(drum.radius, dtype=np.float64), len(middle))

    items: list[Item] = [Region(around_discs(middle, radius, (wide, deep)), drum.style, drum.name)]
    if size > 0.15 and (drum.rings or drum.flutes):
        items.extend(Line(run, "outline", drum.name) for run in _lines_on(drum, middle, radius, (wide, deep)))
    if abs(lean) > 0.08:
        end = -1 if lean > 0.0 else 0
        items.append(Region(middle[end] + radius[end] * (_CIRCLE @ np.array([wide, deep])), drum.style, drum.name))
    return tuple(items)


def _lines_on(drum: Drum, middle: Points, radius: Points, axes: tuple[Points, Points]) -> list[Points]:
    """Rings and flutes on the seen side of a drum."""
    rings, flutes = _evenly(drum.rings)[:, None], np.pi * _evenly(drum.flutes)[:, None]
    stations = np.linspace(0.0, 1.0, len(middle))
    lines: list[Points] = []
    for share, turn in (np.broadcast_arrays(rings, _HALF_ROUND), np.broadcast_arrays(_END_TO_END, flutes)):
        at = np.stack([np.interp(share, stations, middle[:, axis]) for axis in (0, 1)], axis=-1)
        round_it = np.cos(turn)[..., None] * axes[0] + np.sin(turn)[..., None] * axes[1]
        lines.extend(at + np.interp(share, stations, radius)[..., None] * round_it)
    return lines


def _evenly(many: int) -> Points:
    return (np.arange(many) + 0.5) / max(many, 1)


# ---------------------------------------------------------------- plates


def _plate(plate: Plate, eye: Viewpoint) -> tuple[Item, ...]:
    if plate.thick is None:
        return (Region(eye.flat(plate.points), plate.style, plate.name),)
    half = 0.5 * np.broadcast_to(plate.thick, plate.points.shape)
    if float(eye.near(half).sum()) < 0.0:
        half = -half
    face, back = eye.flat(plate.points + half), eye.flat(plate.points - half)
    around = face[:, 0] @ np.roll(face[:, 1], -1) - np.roll(face[:, 0], -1) @ face[:, 1]
    along, down = np.roll(face, -1, axis=0) - face, back - face
    turned = along[:, 0] * down[:, 1] - along[:, 1] * down[:, 0]
    visible = turned < 0.0 if around > 0.0 else turned > 0.0  # the side between a corner and the next faces the viewer
    sides = [Region(strip, plate.side or plate.style, plate.name) for strip in strips(face, back, visible)]
    return (*sides, Region(face, plate.style, plate.name))
