"""Taut paths against exact geometry: sphere, cylinder, cone, and spheroids by geographiclib.

The bar is 0.002 % of the length, at the nodes of the labs. Paths on a surface come within 0.0001 %, paths
that leave it within 0.0003 %: what an arc needs up to the take-off point, between two nodes, is told from
the turn at the last node.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
from geographiclib.geodesic import Geodesic

from controlkit.mechanics.harness.layout import LONG as NODES
from controlkit.mechanics.surface.field import SQUARE
from controlkit.mechanics.surface.shapes import capsule, sphere
from tests.geometry.shapes import Array, cone, spheroid, taut

BAR = 2e-5  # of the length [-]
DRAWS = 40


def _way_round(start: Array, end: Array, turn: float, radius: Array, height: Array) -> Array:
    """Corners from start to end round the y axis, off the surface."""
    angle = np.linspace(0.0, turn, 9)[1:-1]
    middle = np.stack([1.15 * radius * np.cos(angle), height, 1.15 * radius * np.sin(angle)], axis=1)
    return np.vstack([start, middle, end])


def _round_a_circle(radius: float, near: float, far: float, turn: float) -> float:
    """Length of a string round a circle from a distance near to a distance far, both outside."""
    legs = math.sqrt(near**2 - radius**2) + math.sqrt(far**2 - radius**2)
    return legs + radius * (turn - math.acos(radius / near) - math.acos(radius / far))


Case = tuple[object, Array, float]  # surface, corners, exact length


def free_sphere(rng: np.random.Generator) -> Case:
    radius = rng.uniform(0.04, 0.15)
    return _free_sphere(rng, radius)


def _free_sphere(rng: np.random.Generator, radius: float) -> Case:
    near, far = radius * rng.uniform(1.1, 3.0, 2)
    turn = math.acos(radius / near) + math.acos(radius / far) + rng.uniform(0.2, 1.2)
    start, end = np.array([near, 0, 0]), far * np.array([math.cos(turn), 0, math.sin(turn)])
    corners = _way_round(start, end, turn, np.full(7, radius), np.zeros(7))
    return sphere((0, 0, 0), radius), corners, _round_a_circle(radius, near, far, turn)


def free_cylinder(rng: np.random.Generator) -> Case:
    radius = rng.uniform(0.04, 0.15)
    _, corners, flat = _free_sphere(rng, radius)
    rise = rng.uniform(0.02, 0.3)
    corners[:, 1] += np.linspace(0.0, rise, len(corners))
    return capsule((0, -2, 0), (0, 2, 0), radius), corners, math.hypot(flat, rise)


def helix(rng: np.random.Generator) -> Case:
    radius, rise, turn = rng.uniform(0.04, 0.15), rng.uniform(0.02, 0.3), rng.uniform(0.5, 2.9)
    start, end = np.array([radius, 0, 0]), np.array([radius * math.cos(turn), rise, radius * math.sin(turn)])
    corners = _way_round(start, end, turn, np.full(7, radius), np.linspace(0, rise, 9)[1:-1])
    return capsule((0, -2, 0), (0, 2, 0), radius), corners, math.hypot(radius * turn, rise)


def great_circle(rng: np.random.Generator) -> Case:
    radius, turn = rng.uniform(0.04, 0.15), rng.uniform(0.5, 2.9)
    start, end = np.array([radius, 0, 0]), radius * np.array([math.cos(turn), 0, math.sin(turn)])
    corners = _way_round(start, end, turn, np.full(7, radius), np.zeros(7))
    return sphere((0, 0, 0), radius), corners, radius * turn


def _round_a_cone(half_angle: float, heights: Array, away: Array, turn: float) -> Case:
    """A cone rolls out flat, and the tangent planes at both ends lie flat beside it."""
    tangent = math.tan(half_angle)
    start = np.array([away[0] * heights[0] * tangent, heights[0], 0.0])
    reach = away[1] * heights[1] * tangent
    end = np.array([reach * math.cos(turn), heights[1], reach * math.sin(turn)])
    flat = math.sin(half_angle) * turn
    for height, out in zip(heights, away, strict=True):
        aside = math.acos(1.0 / out)
        line = np.array([math.sin(half_angle) * math.cos(aside), math.cos(half_angle)])
        point = np.array([out * height * tangent, height])
        flat += math.acos(min(1.0, float(line @ point) / math.hypot(*point))) - math.sin(half_angle) * aside
    one, other = float(np.linalg.norm(start)), float(np.linalg.norm(end))
    exact = math.sqrt(one**2 + other**2 - 2.0 * one * other * math.cos(flat))
    along = np.linspace(*heights, 9)[1:-1]
    corners = _way_round(start, end, turn, along * tangent, along)
    return cone(half_angle), corners, exact


def free_cone(rng: np.random.Generator) -> Case:
    away = rng.uniform(1.1, 2.0, 2)
    turn = sum(math.acos(1.0 / out) for out in away) + rng.uniform(0.2, 1.2)
    return _round_a_cone(math.radians(rng.uniform(5, 25)), rng.uniform(0.25, 0.5, 2), away, turn)


def cone_itself(rng: np.random.Generator) -> Case:
    return _round_a_cone(math.radians(rng.uniform(5, 25)), rng.uniform(0.25, 0.5, 2), np.ones(2), rng.uniform(0.5, 2.9))


def _spheroid(rng: np.random.Generator, flattening: float) -> Case:
    equator, turn = rng.uniform(0.05, 0.15), rng.uniform(30, 130)
    latitude = rng.uniform(-60, 60, 2)

    def point(lat: Array, lon: Array) -> Array:
        lat, lon = np.deg2rad(lat), np.deg2rad(lon)
        squeeze = (1.0 - flattening) ** 2
        normal = equator / np.sqrt(1.0 - (1.0 - squeeze) * np.sin(lat) ** 2)
        round_ = normal * np.cos(lat)
        return np.stack([round_ * np.cos(lon), normal * squeeze * np.sin(lat), round_ * np.sin(lon)], axis=-1)

    share = np.linspace(0.0, 1.0, 11)
    corners = point(latitude[0] + share * (latitude[1] - latitude[0]), share * turn)
    corners[1:-1] *= 1.1
    exact = Geodesic(equator, flattening).Inverse(latitude[0], 0.0, latitude[1], turn)["s12"]
    return spheroid(equator, flattening), corners, exact


def oblate(rng: np.random.Generator) -> Case:
    return _spheroid(rng, rng.uniform(0.02, 0.2))


def prolate(rng: np.random.Generator) -> Case:
    return _spheroid(rng, -rng.uniform(0.02, 0.2))


def _errors(kind: Callable[[np.random.Generator], Case], nodes: int) -> list[float]:
    """Relative errors of the draws."""
    rng, found = np.random.default_rng(2012), []
    for _ in range(DRAWS):
        surface, corners, exact = kind(rng)
        path = taut(surface, corners, nodes)
        assert path.settled.all()
        found.append(abs(float(path.length[0]) / exact - 1.0))
    return found


@pytest.mark.parametrize("kind", [great_circle, helix, cone_itself, oblate, prolate])
def test_on_the_surface(kind: Callable[[np.random.Generator], Case]) -> None:
    assert max(_errors(kind, NODES)) < BAR / 20


@pytest.mark.parametrize("kind", [free_sphere, free_cylinder, free_cone])
def test_free_ends(kind: Callable[[np.random.Generator], Case]) -> None:
    assert max(_errors(kind, NODES)) < BAR / 5


@pytest.mark.parametrize("kind", [free_sphere, helix, oblate])
def test_the_error_falls_as_nodes_are_added(kind: Callable[[np.random.Generator], Case]) -> None:
    few, many = (max(_errors(kind, nodes)) for nodes in (17, 33))
    assert many < few / 5.0


@pytest.mark.parametrize("make", [lambda: cone(0.3), lambda: spheroid(0.1, 0.2), lambda: spheroid(0.1, -0.2)])
def test_gradient_and_hessian_of_the_shapes_used_here(make: Callable[[], object]) -> None:
    surface = make()
    points, step = np.random.default_rng(1).uniform(0.03, 0.15, (3, 20)), 1e-6
    value, gradient, rows = surface.curvature(points)  # type: ignore[attr-defined]
    for d in range(3):
        push = np.zeros((3, 1))
        push[d] = step
        ahead, back = surface.curvature(points + push), surface.curvature(points - push)  # type: ignore[attr-defined]
        assert gradient[d] == pytest.approx((ahead[0] - back[0]) / (2 * step), abs=1e-7)
        assert rows[SQUARE][:, d] == pytest.approx((ahead[1] - back[1]) / (2 * step), abs=1e-5)
    assert np.isfinite(value).all()
