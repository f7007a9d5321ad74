"""An exercise asks nothing of a set-up for which the straps did not settle."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from types import ModuleType
from typing import Any

import pytest

from controlkit.checking.case.cases import Value
from controlkit.exercises.ex02 import bench as second
from controlkit.exercises.ex03 import bench as third
from controlkit.exercises.ex06 import bench as sixth
from controlkit.mechanics import Pull, SingleControl, Wearer
from controlkit.units import InputError, mm

BODY = {"sex": "female", "taller": 0, "wider": 0, "amputated": "left"}
DRAWN: Mapping[ModuleType, tuple[str, Mapping[str, Value]]] = {
    second: ("_taped", {**BODY, "blade_angle": 15, "strength": 200, "effort": 50, "kept": 50, "shorter": 10}),
    third: ("_measured", {**BODY, "design_angle": 60}),
    sixth: ("_measured", BODY),
}
"""For each exercise what remembers its answers, and a draw."""


@pytest.fixture
def unsettled(monkeypatch: pytest.MonkeyPatch) -> None:
    """Straps that never settle; all else as it is."""
    whole = SingleControl.answer

    def answer(self: SingleControl, *asked: Any) -> Pull:
        return replace(whole(self, *asked), settled=False)

    monkeypatch.setattr(SingleControl, "answer", answer)


@pytest.fixture(autouse=True)
def nothing_remembered() -> Any:
    """Exercises remember what they measured: neither before nor after may that count."""
    remembering = [getattr(bench, name) for bench, (name, _) in DRAWN.items()] + [third._tried, sixth._tried]
    for one in remembering:
        one.cache_clear()
    yield
    for one in remembering:
        one.cache_clear()


@pytest.mark.parametrize("bench", DRAWN, ids=["ex02", "ex03", "ex06"])
def test_a_draw_is_refused(bench: ModuleType, monkeypatch: pytest.MonkeyPatch, request: pytest.FixtureRequest) -> None:
    monkeypatch.setattr(bench, "EDGE", 0.0)  # that a figure lies near the edge of rounding is no matter here
    values = DRAWN[bench][1]
    assert bench.measure(values) is not None
    getattr(bench, DRAWN[bench][0]).cache_clear()
    request.getfixturevalue("unsettled")
    assert bench.measure(values) is None


@pytest.mark.usefixtures("unsettled")
def test_a_design_is_refused() -> None:
    woman = Wearer.average("female")
    harness = {"ring_below_c7": mm(90), "ring_to_sound_side": mm(25), "crossbar": 0.6, "control_strap": 0.0}
    with pytest.raises(InputError, match="do not settle"):
        third.trial(woman, harness, 60)
    with pytest.raises(InputError, match="do not settle"):
        sixth.trial(woman, {**harness, "bands": 3, "housing_spare": mm(3)}, mm(30))
