"""The letters of the course on one drawing: strap, arm, moment arm and angles."""

from __future__ import annotations

import numpy as np

from controlkit.draw.page.scene import Arrow, Dot, Frame, Item, Label, Line, Points, Scene
from controlkit.mechanics.harness.layout import CONTROL_STRAP

__all__ = ["notation_scene"]

_SHOULDER = np.array([0.0, 0.0])
_RING = np.array([-0.20, 0.04])
_ARM, _FOREARM, _CROSSBAR = 0.30, 0.34, 0.17  # lengths, and where the crossbar is on the arm [m]
_FLEXION, _ELBOW = np.deg2rad(40.0), np.deg2rad(65.0)


def notation_scene() -> Scene:
    """Draw an arm and its strap from the side with the letters that stand for lengths, angles and forces.

    Returns
    -------
    Scene
        The drawing with its words; a sketch, not to the measures of a body.

    Examples
    --------
    >>> "moment arm r" in notation_scene().words
    True
    """
    elbow = _SHOULDER + _ARM * _along(_FLEXION)
    device = elbow + _FOREARM * _along(_FLEXION + _ELBOW)
    crossbar = _SHOULDER + _CROSSBAR * _along(_FLEXION) - 0.045 * _along(_FLEXION + np.pi / 2)
    way = crossbar - _RING
    foot = _RING + way * float((_SHOULDER - _RING) @ way) / float(way @ way)
    hanging = np.stack([_SHOULDER, _SHOULDER + 0.33 * _along(0.0)])
    straight = np.stack([elbow, elbow + 0.20 * _along(_FLEXION)])
    pull = crossbar - 0.11 * way / np.linalg.norm(way)
    items: list[Item] = [
        Line(hanging, "now", "the hanging arm"),
        Line(straight, "now", "the straight elbow"),
        Line(np.stack([_SHOULDER, elbow, device]), "crossbar", "upper arm and forearm"),
        Line(np.stack([_RING, crossbar]), CONTROL_STRAP, CONTROL_STRAP),
        Line(np.stack([crossbar, _SHOULDER + _CROSSBAR * _along(_FLEXION)]), "crossbar", "crossbar"),
        Line(np.stack([_SHOULDER, foot]), "required", "moment arm"),
        Line(np.stack([_SHOULDER, device]), "pinned", "reach"),
        Line(_arc(_SHOULDER, 0.27, 0.0, _FLEXION), "axis", "arm flexion"),
        Line(_arc(elbow, 0.14, _FLEXION, _FLEXION + _ELBOW), "axis", "elbow flexion"),
        Arrow(_pair(crossbar), _pair(pull), "force", "tension"),
        Dot(_pair(_RING), 0.016, "ring", "ring"),
        Dot(_pair(_SHOULDER), 0.010, "landmark", "shoulder"),
        Dot(_pair(elbow), 0.010, "landmark", "elbow"),
        Dot(_pair(device), 0.010, "landmark", "device"),
        *(_text(words, at, anchor) for words, at, anchor in _letters(elbow, device, crossbar, foot)),
    ]
    words = (
        "A sketch from the side: the upper arm a from shoulder to elbow and the forearm b from elbow to device; arm "
        "flexion theta between the hanging and the flexed arm; elbow flexion epsilon between straight and bent; the "
        "strap of length l from the ring to the crossbar with its tension T; the moment arm r from the shoulder square "
        "to the strap; the reach R from shoulder to device."
    )
    return Scene("Letters on one drawing", words, Frame(-0.38, -0.40, 0.72, 0.14, text=0.024), tuple(items))


def _letters(elbow: Points, device: Points, crossbar: Points, foot: Points) -> tuple[tuple[str, Points, str], ...]:
    middle = 0.5 * (elbow + _SHOULDER)
    return (
        ("ring", _off(_RING, -0.03, 0.0), "end"),
        ("shoulder", _off(_SHOULDER, 0.0, 0.045), "middle"),
        ("elbow", _off(elbow, 0.0, -0.045), "middle"),
        ("device", _off(device, 0.03, 0.0), "start"),
        ("crossbar", _off(crossbar, -0.02, -0.025), "end"),
        ("a", _off(middle, 0.055, 0.03), "middle"),
        ("b", _off(0.5 * (elbow + device), 0.03, -0.03), "middle"),
        ("θ", _SHOULDER + 0.305 * _along(0.5 * _FLEXION), "middle"),
        ("ε", elbow + 0.175 * _along(_FLEXION + 0.5 * _ELBOW), "middle"),
        ("l", _off(_RING + 0.28 * (crossbar - _RING), -0.02, -0.035), "middle"),
        ("T", _off(crossbar - 0.10 * (crossbar - _RING) / np.linalg.norm(crossbar - _RING), -0.035, -0.03), "middle"),
        ("r", _off(0.5 * (foot + _SHOULDER), -0.03, 0.0), "middle"),
        ("R", _off(_SHOULDER + 0.6 * (device - _SHOULDER), 0.0, 0.03), "middle"),
    )


def _off(point: Points, right: float, up: float) -> Points:
    return np.asarray(point + np.array([right, up]))


def _along(angle: float) -> Points:
    """Direction at an angle forward of hanging."""
    return np.array([np.sin(angle), -np.cos(angle)])


def _arc(centre: Points, radius: float, first: float, last: float) -> Points:
    turn = np.linspace(first, last, 24)
    return np.asarray(centre + radius * np.stack([np.sin(turn), -np.cos(turn)], axis=1))


def _pair(point: Points) -> tuple[float, float]:
    return float(point[0]), float(point[1])


def _text(words: str, at: Points, anchor: str) -> Label:
    return Label((words,), _pair(at), anchor)
