"""A field bound to points: some of its points by themselves, and fields that are kept."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest

from controlkit.mechanics import Pose, Wearer
from controlkit.mechanics.body.placed import place
from controlkit.mechanics.body.shape import build
from controlkit.mechanics.surface import Field, Union, capsule, field, sphere
from controlkit.mechanics.surface.field import bound
from controlkit.units import deg

COUNT = 40
POSES = [Pose(), Pose(arm_flexion=deg(40)), Pose(arm_abduction=deg(60), scapular_abduction=deg(15))]
ONE = place(build([Wearer.average("male")]), np.zeros(3, dtype=np.intp), POSES).surface
TWO = place(build([Wearer.average("male"), Wearer.average("female")]), np.array([0, 1, 1]), POSES).surface
CAPSULE = capsule((0.0, 0.0, 0.0), (0.1, 0.2, 0.0), 0.05)
UNIONS = {"one wearer": ONE, "two wearers": TWO, "sphere": sphere((0.0, 0.1, 0.0), 0.1), "capsule": CAPSULE}


def _points(union: Union, count: int = COUNT) -> tuple[np.ndarray, np.ndarray]:
    """Bodies and points from below the waist to above the neck, where both ends of a trunk close."""
    rng = np.random.default_rng(11)
    points = rng.uniform([-0.25, -0.8, -0.35], [0.25, 0.25, 0.35], (count, 3)).T
    return rng.integers(0, union.count, count), np.ascontiguousarray(points)


def _answers(surface: Field, points: np.ndarray) -> list[np.ndarray]:
    """All that a field answers, one array after the other."""
    return [surface.value(points), *surface.slope(points), *surface.curvature(points)]


@pytest.fixture
def few(monkeypatch: pytest.MonkeyPatch) -> int:
    """Room for three fields of so many points alone, none of them there yet."""
    monkeypatch.setattr(field, "KEPT", 3 * COUNT)
    monkeypatch.setattr(field, "_BOUND", type(field._BOUND)())
    return COUNT


@pytest.mark.parametrize("name", UNIONS)
def test_a_point_answers_alone_as_among_others(name: str) -> None:
    union = UNIONS[name]
    body, points = _points(union)
    together = _answers(Field(union, body), points)
    for k in range(COUNT):
        alone = _answers(Field(union, body[k : k + 1]), points[:, k : k + 1])
        for whole, one in zip(together, alone, strict=True):
            assert np.allclose(whole[..., k], one[..., 0], rtol=1e-12, atol=1e-12)


@pytest.mark.parametrize("name", UNIONS)
def test_picked_points_answer_as_a_field_made_for_them(name: str) -> None:
    union = UNIONS[name]
    body, points = _points(union)
    whole = Field(union, body)
    whole.curvature(points)
    mask = np.random.default_rng(3).uniform(size=COUNT) < 0.4
    for keep in (mask, np.array([5, 3, 30, 3]), np.zeros(COUNT, dtype=bool)):
        made, picked = Field(union, body[keep]), whole.pick(keep)
        again = picked.pick(np.arange(len(body[keep])))
        for new, old, twice in zip(*(_answers(f, points[:, keep]) for f in (made, picked, again)), strict=True):
            assert np.array_equal(new, old)
            assert np.array_equal(new, twice)


def test_one_body_serves_whatever_is_picked() -> None:
    _, points = _points(ONE)
    serving, made = Field(ONE, np.array([1])), Field(ONE, np.ones(COUNT, dtype=np.intp))
    keep = np.array([2, 9, 4])
    for one, each in zip(_answers(serving.pick(keep), points[:, keep]), _answers(made, points), strict=True):
        assert np.allclose(one, each[..., keep], rtol=1e-12, atol=1e-12)


def test_a_bound_field_is_kept_and_answers_as_one_made_anew(few: int) -> None:
    body, points = _points(ONE)
    kept = bound(ONE, body)
    for _ in range(2):
        for old, new in zip(_answers(kept, points), _answers(Field(ONE, body), points), strict=True):
            assert np.array_equal(old, new)
        kept = bound(ONE, body.copy())
    assert kept is bound(ONE, body)
    assert bound(ONE, body[::-1].copy()) is not kept
    assert bound(TWO, body) is not kept


def test_bound_fields_are_kept_in_a_bounded_number(few: int) -> None:
    bodies = [np.full(few, k % 3, dtype=np.intp) for k in range(3)] + [np.arange(few) % 2]
    first = bound(ONE, bodies[0])
    bound(ONE, bodies[1])
    bound(ONE, bodies[2])
    assert bound(ONE, bodies[0]) is first
    bound(ONE, bodies[3])  # takes the place of the one asked for longest ago
    assert len(field._BOUND) == 3
    assert bound(ONE, bodies[0]) is first
    assert (id(ONE), bodies[1].tobytes()) not in field._BOUND
    bound(ONE, np.zeros(3 * few + 1, dtype=np.intp))  # more points than may be kept
    assert len(field._BOUND) == 3


def test_many_at_once_ask_for_bound_fields(few: int) -> None:
    _, points = _points(ONE)
    bodies = [np.roll(np.arange(few) % 3, k % 7) for k in range(7)]
    wanted = [Field(ONE, body).value(points) for body in bodies]

    def ask(turn: int) -> bool:
        return np.array_equal(bound(ONE, bodies[turn % 7]).value(points), wanted[turn % 7])

    with ThreadPoolExecutor(8) as workers:
        assert all(workers.map(ask, range(400)))
    assert len(field._BOUND) <= 3
