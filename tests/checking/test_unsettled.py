"""Where straps do not settle the model has no answer: no case is drawn from there, and no design is marked."""

from __future__ import annotations

import sys
from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
import pytest

from controlkit.checking import judge
from controlkit.mechanics import Pose, SingleControl
from controlkit.mechanics.harness.motion import Followed
from tests.checking.hands import Hands
from tests.checking.school import WHO


def _forget(name: str) -> None:
    """Drop what the modules of an exercise remember."""
    for module in list(sys.modules):
        if any(part.startswith(name) for part in module.split(".")):
            for thing in list(vars(sys.modules[module]).values()):
                if hasattr(thing, "cache_clear"):
                    thing.cache_clear()


@pytest.fixture
def asked(request: pytest.FixtureRequest, every: dict[str, Hands]) -> Iterator[Hands]:
    """An exercise that asks the harness; it remembers nothing before and after."""
    _forget(request.param)
    yield every[request.param]
    _forget(request.param)


def _never(monkeypatch: pytest.MonkeyPatch) -> None:
    follow = SingleControl.follow

    def unsettled(self: SingleControl, poses: Sequence[Pose], near: Followed | None = None) -> Followed:
        found = follow(self, poses, near)
        return replace(found, net=replace(found.net, settled=np.zeros_like(found.net.settled)))

    monkeypatch.setattr(SingleControl, "follow", unsettled)


@pytest.mark.parametrize("asked", ["ex02", "ex03", "ex06"], indirect=True)
def test_no_case_is_drawn_where_straps_do_not_settle(asked: Hands, monkeypatch: pytest.MonkeyPatch) -> None:
    plan, case = asked.exercise.plan, asked.exercise.own_case(WHO)
    assert plan.derive is not None
    drawn = {name: case[name] for name in plan.draws}
    derived = plan.derive(drawn)
    assert derived
    own = {name: value for name, value in derived.items() if name not in plan.draws}  # others replace what was drawn
    assert own
    assert own == {name: case[name] for name in own}
    _forget(asked.name)
    _never(monkeypatch)
    assert plan.derive(drawn) is None


@pytest.mark.parametrize("asked", ["ex03", "ex06"], indirect=True)
def test_no_design_is_marked_where_straps_do_not_settle(asked: Hands, monkeypatch: pytest.MonkeyPatch) -> None:
    case, design = asked.case(WHO), asked.solved(WHO)["design"]
    good = judge(asked.exercise, "design", design, case)
    assert good.points == asked.exercise.item("design").points
    _forget(asked.name)
    _never(monkeypatch)
    judged = judge(asked.exercise, "design", design, case)
    assert judged.points == 0
    assert not judged.costs_attempt
    assert "do not settle" in judged.words
