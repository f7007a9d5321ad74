"""What an exercise costs whoever opens, answers or marks it; only ratios within the run are asserted.

A student's kernel starts from nothing and so does each notebook that is marked, so everything remembered is forgotten
before every measurement. The strap solver's part is shown apart.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from statistics import median
from time import process_time
from typing import Any

import pytest

from controlkit.checking import Exercise, judge
from controlkit.classroom import private
from controlkit.classroom.begin import module_of
from controlkit.mechanics import SingleControl, Wearer, figure_of_eight
from controlkit.mechanics.chain.dual.capture import PULLS
from controlkit.mechanics.harness import motion
from controlkit.units import deg
from tests.checking.hands import NAMES, ROOT, Hands

pytestmark = pytest.mark.long

DESIGNED = ("ex03", "ex06", "ex07", "ex08", "ex09", "ex10", "ex12")
TABLES = {"ex07": len(PULLS), "ex10": 4}
"""Runs of the solver for one wearer: as many as a table of dual control has pulls, or two motions of either side of a
pair [-]."""
STUDENTS = 9


def _loaded() -> Iterator[Any]:
    return (module for name, module in list(sys.modules.items()) if name.startswith("controlkit"))


def _forget() -> None:
    """As in a process that has just begun."""
    for module in _loaded():
        for kept in list(vars(module).values()):
            if hasattr(kept, "cache_clear"):
                kept.cache_clear()


class Clock:
    """Processor time of a question, and how much of it the strap solver took."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.solver, self.runs, inside = 0.0, 0, motion.follow

        def follow(*given: Any, **named: Any) -> Any:
            start = process_time()
            try:
                return inside(*given, **named)
            finally:
                self.solver += process_time() - start
                self.runs += 1

        for module in _loaded():
            if vars(module).get("follow") is inside:
                monkeypatch.setattr(module, "follow", follow)

    def __call__(self, ask: Callable[[], Any]) -> tuple[float, float, int]:
        """Everything, the solver's part [ms], and how often it was asked [-]."""
        self.solver, self.runs = 0.0, 0
        start = process_time()
        ask()
        return 1e3 * (process_time() - start), 1e3 * self.solver, self.runs


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Clock:
    for name in NAMES:
        module_of(name, ROOT)
    return Clock(monkeypatch)


def _row(title: str, times: list[tuple[float, float, int]]) -> str:
    whole, solver, runs = (median(column) for column in zip(*times, strict=True))
    return f"{title:<24}{whole:9.1f}{solver:9.1f}{whole - solver:9.1f}{runs:7g}"


def _asked(exercise: Exercise, who: str) -> Callable[[], object]:
    return lambda: exercise.own_case(who)


def _sheet(hands: Hands, answers: dict[str, Any], who: str) -> Callable[[], object]:
    case = hands.case(who)
    return lambda: [
        judge(hands.exercise, item.name, answers[item.name], case, kept_back=hands.kept_back)
        for item in hands.exercise.items
    ]


def test_what_exercises_cost(clock: Clock, capsys: pytest.CaptureFixture[str]) -> None:
    """A case asks for a motion or three, not for dozens; the same design is not worked out twice."""
    lines = [f"\nmedian processor time [ms]{'whole':>7}{'solver':>9}{'rest':>9}{'runs':>7}"]
    drawn: dict[str, list[tuple[float, float, int]]] = {}
    designed: dict[str, list[tuple[float, float, int]]] = {}
    for name in NAMES:
        hands = Hands(name, module_of(name, ROOT), private(name, ROOT))
        hands.exercise.own_case("warming up")
        drawn[name] = []
        for number in range(STUDENTS):
            _forget()
            drawn[name].append(clock(_asked(hands.exercise, f"Student {number}")))
        lines.append(_row(f"{name}: a case drawn", drawn[name]))
        answers = hands.solved("Student 1")
        marked = _sheet(hands, answers, "Student 1")
        sheets = []
        for _ in range(3):
            _forget()
            sheets.append(clock(marked))
        lines.append(_row(f"{name}: right answers", sheets))
        if name in DESIGNED:
            case, design = hands.case("Student 1"), answers["design"]
            _forget()
            designed[name] = [
                clock(lambda h=hands, d=design, c=case: judge(h.exercise, "design", d, c)) for _ in range(2)
            ]
            lines += [
                _row(f"{name}: a design judged", designed[name][:1]),
                _row(f"{name}: the same again", designed[name][1:]),
            ]
    sweeps = []
    for number in range(5):
        _forget()
        sweeps.append(clock(lambda n=number: _led(n)))
    lines.append(_row("7 poses, a new wearer", sweeps))
    with capsys.disabled():
        print("\n".join(lines))
    led = median(whole for whole, _, _ in sweeps)
    for name, times in drawn.items():
        assert max(runs for _, _, runs in times) <= TABLES.get(name, 5), name
        assert median(whole for whole, _, _ in times) < 5.0 * led, name
    for name, (first, again) in designed.items():
        others = len(Hands(name, module_of(name, ROOT), private(name, ROOT)).exercise.item("design").bodies)
        assert first[2] <= TABLES.get(name, 2) * (1 + others), name
        assert again[2] == 0, name
        assert again[0] < 0.1 * first[0], name


def _led(number: int) -> object:
    """What a case could be measured in: a wearer not met before led through seven poses."""
    wearer = Wearer.measured("male", stature=1.70 + 0.01 * number)
    return SingleControl(figure_of_eight(wearer)).sweep([deg(angle) for angle in range(0, 91, 15)])
