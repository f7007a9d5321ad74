"""Answers the questions of `against`, one a line, under the commit that PYTHONPATH holds.

It asks only what old commits had too, and probes for what came later. Run by `against`, never by hand.
"""

from __future__ import annotations

import gc
import importlib
import inspect
import json
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from time import process_time
from typing import Any

import numpy as np

import controlkit
from controlkit import mechanics
from controlkit.mechanics import SingleControl, Skin, Wearer
from controlkit.units import mm

RING = {"ring_below_c7": mm(80), "ring_to_sound_side": mm(25)}  # given, since defaults have changed
PATTERNS: dict[str, tuple[str, dict[str, Any]]] = {
    "figure-of-eight": ("figure_of_eight", RING),
    "without fork": ("figure_of_eight", {**RING, "fork": False}),
    "sewn cross-point": ("figure_of_eight", {**RING, "crossing": "sewn"}),
    "figure-of-nine": ("figure_of_nine", RING),
    "chest strap": ("chest_strap", {}),
    "cross-back strap": ("figure_of_eight", {**RING, "cross_back": 0.0}),
}
STEPS = {"ring_below_c7": mm(1), "control_strap": mm(1), "crossbar": 0.005}
DESIGN: dict[str, Any] = {
    "ring_to_sound_side": "25 mm",
    "crossbar": 0.55,
    "control_strap": "0 mm",
    "support_strap": "0 mm",
    "bands": 3,
    "housing_spare": "20 mm",
}


class AbsentError(Exception):
    """This commit does not have what is asked about."""


def timed(ask: Callable[[], Any]) -> tuple[Any, float]:
    """The answer, and the processor time that it took [s]."""
    gc.collect()
    gc.disable()
    start = process_time()
    answer = ask()
    spent = process_time() - start
    gc.enable()
    return answer, spent


class Answers:
    """What one commit answers; a slider's last motion is kept for its next move."""

    def __init__(self) -> None:
        self.last: dict[str, Any] = {}

    def where(self) -> dict[str, Any]:
        """Which code this is."""
        return {"from": str(Path(controlkit.__file__).resolve().parent)}

    def sweep(self, pattern: str, poses: int, start: str, flesh: bool, turn: int) -> dict[str, Any]:
        """One sweep of arm flexion from 0 to 90 degrees, with everything that it must find first."""
        angles = np.linspace(0.0, np.pi / 2, poses)
        average = Wearer.average("male")
        if start == "new wearer":
            wearer = replace(average, stature=average.stature + 1e-4 * (turn + 1))
            motion, spent = timed(lambda: _system(wearer, pattern, flesh).sweep(angles))
        elif start == "cold":
            _system(average, pattern, flesh).sweep(angles) if turn == 0 else None  # the body is known
            motion, spent = timed(lambda: _system(average, pattern, flesh).sweep(angles))
        else:
            key = json.dumps([pattern, poses, start, flesh])
            if turn == 0:
                self.last = {key: _system(average, pattern, flesh).sweep(angles)}
            base = _harness(average, pattern, flesh)
            moved = replace(base, **{start: getattr(base, start) + (turn + 1) * STEPS[start]})
            near = self.last[key].guess
            motion, spent = timed(lambda: SingleControl(moved).sweep(angles, near))
            self.last[key] = motion
        found = motion.guess
        ring = found.net.ring[list(found.asked)]
        settled = bool(found.net.settled.all())
        return {"seconds": spent, "ring": ring.tolist(), "captured": motion.captured.tolist(), "settled": settled}

    def population(self, count: int) -> dict[str, Any]:
        """Many wearers in seven poses, in this one process."""
        try:
            module = importlib.import_module("controlkit.mechanics.study.population")
        except ModuleNotFoundError:
            module = importlib.import_module("controlkit.mechanics.population")
        return {"seconds": timed(lambda: module.population("male", count, 1, processes=1, **RING))[1]}

    def case(self, exercise: str, turn: int) -> dict[str, Any]:
        """Draw a case as a kernel does that has just begun."""
        own = _exercise(exercise).own_case
        if turn == 0:
            own("warming up")
        _forget()
        return {"seconds": timed(lambda: own(f"Student {turn}"))[1]}

    def design(self, exercise: str, first: bool, turn: int) -> dict[str, Any]:
        """Judge a design that was not judged before: the first of all, or a small change after another."""
        from controlkit.checking import judging

        asked = _exercise(exercise)
        items = [item for item in asked.items if item.name == "design"]
        if not items:
            raise AbsentError("no design in it")
        choice = {**DESIGN, "ring_below_c7": f"{80 + 0.1 * turn:.1f} mm"}
        names = {setting.name for setting in items[0].settings}
        answer, case = {name: value for name, value in choice.items() if name in names}, asked.own_case("Solution")
        if first:
            _forget()
        sheet = next((own for own in vars(asked).values() if hasattr(own, "own_case")), asked)
        return {"seconds": timed(lambda: judging.judge(sheet, "design", answer, case))[1]}


def _harness(wearer: Wearer, pattern: str, flesh: bool) -> Any:
    name, given = PATTERNS[pattern]
    make = getattr(mechanics, name, None)
    if make is None or not set(given) <= set(inspect.signature(make).parameters):
        raise AbsentError("this pattern came later")
    if flesh:
        return make(wearer, **given)
    stiff: dict[str, Any] = {"skin": Skin(flesh=0.0)}
    if "cuff" in inspect.signature(make).parameters:
        stiff["cuff"] = importlib.import_module("controlkit.mechanics.harness").RIGID
    return make(wearer, **given, **stiff)


def _system(wearer: Wearer, pattern: str, flesh: bool) -> SingleControl:
    return SingleControl(_harness(wearer, pattern, flesh))


def _forget() -> None:
    """Let go of all that was remembered."""
    for name, module in list(sys.modules.items()):
        if name.startswith(("controlkit", "ex0")):
            getattr(module, "_ORDERS", {}).clear()  # those of exercise 1
            for kept in list(vars(module).values()):
                if hasattr(kept, "cache_clear"):
                    kept.cache_clear()


def _exercise(name: str) -> Any:
    folder = Path(controlkit.__file__).resolve().parents[1] / "solutions" / name
    beside = (folder / f"{name}.py").is_file()
    if beside and str(folder) not in sys.path:
        sys.path.insert(0, str(folder))
    return importlib.import_module(name if beside else f"controlkit.exercises.{name}").exercise


def main() -> None:
    """Answer line by line until there are no more."""
    answers, out = Answers(), sys.stdout
    sys.stdout = sys.stderr  # whatever prints does not come between the answers
    for line in sys.stdin:
        asked = json.loads(line)
        try:
            said = getattr(answers, asked.pop("ask"))(**asked)
        except AbsentError as why:
            said = {"absent": str(why)}
        print(json.dumps(said), file=out, flush=True)


if __name__ == "__main__":
    main()
