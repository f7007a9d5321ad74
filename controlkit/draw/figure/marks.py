"""Landmarks on the skin by which a fitter finds her way, and the quiet lines of a face."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from controlkit.draw.figure.body import Figure, breast_level
from controlkit.draw.figure.head import face_lines
from controlkit.draw.figure.patches import Grid
from controlkit.draw.figure.proportions import BAND, BREAST, WAISTBAND
from controlkit.draw.page.curves import through
from controlkit.draw.page.scene import Points
from controlkit.mechanics.body.pose import PairPose, Pose
from controlkit.mechanics.body.remembered import built, stand
from controlkit.mechanics.body.scapula import BORDERS

if TYPE_CHECKING:
    from controlkit.mechanics import Wearer

__all__ = ["Mark", "marks"]

Mark = tuple[str, str, Grid, Points]
"""Name, style, points in space [m] and which way each must face to be seen; inner axes."""

_SCAPULA_SPINE = ((0.032, 0.048), (0.062, 0.038), (0.090, 0.028))  # in statures, as the scapula's borders
_TURNS = 1.0 / 3.0  # of the raised arm, turned by the scapula
_PIVOT = np.array([0.060, 0.045])  # about which the drawn scapula turns, in statures
_FAR = 0.30  # from which a mark is led onto the skin [m]
_ABOVE = 0.0015  # the skin, at which marks are looked for [m]


def marks(wearer: Wearer, pose: Pose, figure: Figure) -> list[Mark]:
    """Lay landmarks on a figure.

    Parameters
    ----------
    wearer : Wearer
        The wearer.
    pose : Pose
        The pose; bones of the girdle move with it.
    figure : Figure
        The figure.

    Returns
    -------
    list of Mark
        C7, a single point; spine, scapulae with their spines, clavicles, edges of garments, face.
    """
    tall, height = wearer.stature, built(wearer).height
    c7 = float(height["c7"][0])
    body, rest = stand(wearer, pose), stand(wearer, Pose())
    lines: list[tuple[str, Points, float]] = []
    level = np.linspace(c7 - 0.02, c7 - 0.31 * tall, 26)
    lines.append(("C7", np.array([[0.0, c7]]), -1.0))
    lines.append(("spine", np.stack([0.0 * level, level], axis=1), -1.0))
    there = pose.sound_arm_abduction
    if isinstance(pose, PairPose):
        there = max(pose.other.arm_flexion, 0.0) + pose.other.arm_abduction
    raised = (max(pose.arm_flexion, 0.0) + pose.arm_abduction, there)
    for side, sign in ((0, 1.0), (1, -1.0)):
        joint = body.joint[0, side]
        shift = joint - rest.joint[0, side]
        slide = np.array([0.6 * float(np.hypot(shift[0], shift[2])), float(shift[1])])
        turn = raised[side] * _TURNS
        for corners, name in ((BORDERS, "scapula"), (_SCAPULA_SPINE, "spine of the scapula")):
            out, up = _turned(through(np.array(corners), steps=5), turn).T * tall
            lines.append((name, np.stack([sign * (out + slide[0]), c7 - up + slide[1]], axis=1), -1.0))
        tip = np.array([abs(float(joint[2])) - 0.012, float(joint[1]) + 0.028])
        inner = np.array([0.020, -0.008])
        bow = [
            inner,
            inner + np.array([0.030, 0.006]),
            0.5 * (inner + tip) + np.array([0.0, 0.003]),
            tip - np.array([0.030, -0.001]),
            tip,
        ]
        out, up = through(np.array(bow), steps=5).T
        lines.append(("clavicle", np.stack([sign * out, up], axis=1), 1.0))
    every = np.vstack([line for _, line, _ in lines])
    side_of = np.concatenate([np.full(len(line), side) for _, line, side in lines])
    laid = _onto_skin(figure, every, side_of)
    outward = figure.field.slope(np.ascontiguousarray(laid.T))[1].T
    found: list[Mark] = []
    start = 0
    for name, line, _ in lines:
        points = laid[start : start + len(line)]
        start += len(line)
        found.append((name, "landmark" if name == "C7" else "furrow", points, outward[start - len(line) : start]))
    return [*found, *_garment(wearer, figure), *face_lines(wearer)]


def _garment(wearer: Wearer, figure: Figure) -> list[Mark]:
    """Edges of what is worn in a fitting room: waistband, and a woman's band; they press on nothing."""
    height = built(wearer).height
    levels = {"waistband": float(height["waist"][0]) - WAISTBAND * wearer.stature}
    if wearer.sex == "female":
        (middle, down), radius = breast_level(wearer), BREAST[1] * wearer.chest_depth
        upper, lower = BAND
        levels |= {"band": middle + upper * radius, "band's lower edge": middle - lower * down}
    found: list[Mark] = []
    halves = [patch for patch in (*figure.moving, *figure.still) if patch.name == "trunk"]
    for patch in halves:
        for name, level in levels.items():
            row = int(np.abs(patch.points[:, 0, 1] - level).argmin())
            found.append((name, "garment", patch.points[row], patch.normals[row] * patch.sound[row][:, None]))
    return found


def _turned(corners: Points, turn: float) -> Points:
    """Swing the lower tip of a scapula outward."""
    cos, sin = np.cos(turn), np.sin(turn)
    local = corners - _PIVOT
    return np.asarray(
        np.stack([local[:, 0] * cos + local[:, 1] * sin, local[:, 1] * cos - local[:, 0] * sin], 1) + _PIVOT
    )


def _onto_skin(figure: Figure, across: Points, side: Grid) -> Grid:
    """Lead lines seen from behind or in front straight onto the skin."""
    points = np.stack([_FAR * side, across[:, 1], across[:, 0]])
    for _ in range(9):
        points[0] -= side * np.clip(figure.field.value(points) - _ABOVE, -0.03, 0.08) * 0.9
    return points.T
