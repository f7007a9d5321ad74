"""How the path solver gets there: it settles where a path only grazes, and takes few steps."""

from __future__ import annotations

import numpy as np
import pytest

from controlkit.mechanics.harness.layout import LONG as NODES
from controlkit.mechanics.surface.row import path_length
from controlkit.mechanics.surface.shapes import capsule, sphere
from controlkit.mechanics.surface.strands import Strands
from tests.geometry.shapes import taut

RADIUS = 0.055
SHAPES = {"sphere": sphere((0, 0, 0), RADIUS), "cylinder": capsule((0, -1, 0), (0, 1, 0), RADIUS)}


@pytest.mark.parametrize("nodes", [33, NODES, 65])
@pytest.mark.parametrize("kind", SHAPES)
def test_a_path_that_grazes_settles(kind: str, nodes: int) -> None:
    """From well clear of the body to well round it in steps of 0.2 mm; contact on one or two nodes is in between."""
    touching = set()
    for depth in np.arange(-0.002, 0.014, 0.0002):
        side = RADIUS - depth
        corners = np.array([[-0.16, 0.01, side], [0.0, 0.0, RADIUS + 0.004], [0.15, -0.02, side]])
        path = taut(SHAPES[kind], corners, nodes)
        assert path.settled.all()
        assert path.iterations <= 20
        touching.add(int((path.press > 0.0).sum()))
    assert {0, 1, 2} <= touching


def test_length_of_an_arc_that_ends_between_two_nodes() -> None:
    """A circle with its tangent, sampled as the solver does; without the rule for take-off the error is up to 5 um."""
    radius, chord = 0.08, 0.012
    for share in np.linspace(-0.45, 0.5, 39):
        # nodes on the arc every `chord`; the last one lies `share` of a chord before the take-off point
        angles = np.arange(-20, 1) * chord / radius - share * chord / radius
        arc = radius * np.stack([np.sin(angles), np.cos(angles), 0.0 * angles], axis=1)
        end = np.array([40.0 * chord, radius, 0.0])
        straight = arc[-1] + np.linspace(0.0, 1.0, 41)[1:, None] * (end - arc[-1])
        exact = radius * (0.0 - angles[0]) + end[0]
        assert float(path_length(np.vstack([arc, straight])[None])[0]) == pytest.approx(exact, abs=1e-6)


def test_a_path_that_is_far_from_definite_is_stiffened_alone_until_it_is() -> None:
    """A path drawn hard over a tiny ball: its curvature outweighs webbing a hundredfold; its neighbour is calm."""
    ball, reach = sphere((0, 0, 0), 0.002), np.linspace(-0.2, 0.2, 9)
    calm = np.stack([reach, np.full(9, 0.1), np.zeros(9)], axis=1)
    drawn = np.stack([reach, np.full(9, -0.1), np.zeros(9)], axis=1)
    drawn[4] = 0.0, 0.002, 0.0
    strands = Strands.over(ball, np.zeros(2, dtype=np.intp), [np.stack([calm, drawn])])
    shift = strands.step()
    assert np.isfinite(shift).all()
    assert strands.stiffened.tolist() == [False, True]
