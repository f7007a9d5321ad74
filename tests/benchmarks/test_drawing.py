"""What the pictures of each lab cost: scene, SVG and words, apart from the mechanics that they are drawn from.

Milliseconds are printed as a table; only a ratio, from one run on one machine, is asserted.
"""

from __future__ import annotations

import importlib
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from time import process_time
from types import FunctionType, MappingProxyType
from typing import Any

import numpy as np
import pytest

from controlkit.draw import render_svg, wearer_scene
from controlkit.labs import chain_lab, device_lab, dual_lab, housing_lab, lock_lab, motion_lab, sequence_lab, strap_lab
from controlkit.mechanics import Pull, SingleControl, Wearer, figure_of_eight
from controlkit.units import mm

pytestmark = pytest.mark.long

SETTINGS = 20
COLUMNS = ("scene", "SVG", "main picture", "other scenes", "other SVG", "words", "asked")

# lab, where its functions live, the setting to start from, and the control that is walked over a range [SI]
WALKS: dict[str, tuple[Callable[..., Any], str, str, str, tuple[float, float]]] = {
    "strap, ring": (strap_lab, "straps", "view = side", "ring_below_c7", (0.040, 0.135)),
    "strap, arm": (strap_lab, "straps", "view = side", "arm_flexion", (0.2, 1.5)),
    "strap, forces": (strap_lab, "straps", "forces = yes", "arm_flexion", (0.2, 1.5)),
    "motion": (motion_lab, "motions", "view = back", "arm_flexion", (-0.4, 1.3)),
    "housing": (housing_lab, "housing", "curves = force", "elbow_flexion", (0.1, 1.8)),
    "device": (device_lab, "device", "curves = grip", "width", (0.005, 0.060)),
    "chain": (chain_lab, "chain", "view = back", "ring_below_c7", (0.040, 0.135)),
    "dual": (dual_lab, "dual", "scapulae = both; bands = 6", "loop_along", (0.030, 0.070)),
    "lock": (lock_lab, "lock", "arm_extension = 10 °; view = back", "arm_abduction", (0.2, 0.9)),
    "sequence": (sequence_lab, "sequence", "step = reach-out, pull", "width", (0.010, 0.065)),
}


class Watch:
    """Processor time of the outermost calls, by what they answer [s]; what the mechanics is asked meanwhile apart."""

    def __init__(self) -> None:
        self.spent = dict.fromkeys(("scene", "other scenes", "words", "asked"), 0.0)
        self._inside = self._pictures = 0
        self._asked = 0.0

    def drawing(self, function: Callable[..., Any]) -> Callable[..., Any]:
        """Time a function of the pictures, unless another one called it."""

        def timed(*args: Any, **kwargs: Any) -> Any:
            if self._inside:
                return function(*args, **kwargs)
            self._inside, before, start = 1, self._asked, process_time()
            try:
                answer = function(*args, **kwargs)
            finally:
                took, self._inside = process_time() - start - (self._asked - before), 0
            kind = "words" if isinstance(answer, str) else "other scenes" if self._pictures else "scene"
            self._pictures += kind != "words"
            self.spent[kind] += took
            return answer

        return timed

    def asking(self, function: Callable[..., Any]) -> Callable[..., Any]:
        """Time what a result finds only once it is asked for."""

        def timed(*args: Any) -> Any:
            start = process_time()
            try:
                return function(*args)
            finally:
                took = process_time() - start
                self._asked += took
                self.spent["asked"] += took

        return timed

    def begin(self) -> None:
        """Forget what was measured of the page before."""
        self.spent, self._pictures = dict.fromkeys(self.spent, 0.0), 0


@contextmanager
def watched(module: str) -> Iterator[Watch]:
    """Time all pictures and words that a lab asks for."""
    watch, lab = Watch(), importlib.import_module(f"controlkit.labs.{module}")
    with pytest.MonkeyPatch.context() as patch:
        for name, function in list(vars(lab).items()):
            if isinstance(function, FunctionType) and function.__module__.startswith("controlkit.draw"):
                patch.setattr(lab, name, watch.drawing(function))
        moment = vars(Pull)["shoulder_moment"]
        patch.setattr(moment, "func", watch.asking(moment.func))
        yield watch


def _forget() -> None:
    """Empty what pictures and bodies keep between questions."""
    rooms = ("controlkit.draw", "controlkit.mechanics.body")
    for module in [module for name, module in sys.modules.items() if name.startswith(rooms)]:
        for keeper in [one for one in vars(module).values() if hasattr(one, "cache_clear")]:
            keeper.cache_clear()


def walk(name: str) -> dict[str, np.ndarray]:
    """Times of one page after the other, the first to warm up, by column [ms], shape (settings,)."""
    make, module, setting, key, (low, high) = WALKS[name]
    rows: list[list[float]] = []
    _forget()  # poses that another walk has passed
    with watched(module) as watch:
        lab = make(setting=setting)
        for value in np.linspace(low, high, SETTINGS + 1):
            watch.begin()
            asked = MappingProxyType({**lab.shown["values"], key: float(value)})
            pictures = [picture for picture in lab._page(asked, None, "metric").pictures if picture]
            ink = []
            for number, picture in enumerate(pictures):
                start = process_time()
                render_svg(picture, f"benchmark-{number}")
                ink.append(process_time() - start)
            spent = watch.spent
            main = spent["scene"] + ink[0]
            rows.append(
                [spent["scene"], ink[0], main, spent["other scenes"], sum(ink[1:]), spent["words"], spent["asked"]]
            )
    return dict(zip(COLUMNS, 1e3 * np.array(rows[1:]).T, strict=True))


def test_pictures_of_each_lab(capsys: pytest.CaptureFixture[str]) -> None:
    """A table by lab: median and 95th percentile; no picture is drawn for nothing."""
    lines = [f"{'processor time [ms]':<20}" + "".join(f"{column:>16}" for column in COLUMNS)]
    for name in WALKS:
        times = walk(name)
        assert (times["scene"] > 0.0).all()
        assert (times["SVG"] > 0.0).all()
        figures = (np.percentile(times[column], [50, 95]) for column in COLUMNS)
        lines.append(f"{name:<20}" + "".join(f"{f'{median:.2f} {late:.2f}':>16}" for median, late in figures))
    with capsys.disabled():
        print("\nmedian, p95; asked is what the mechanics finds only when words or bars ask for it")
        print("\n".join(lines))


def test_a_neighbouring_setting_is_cheap(capsys: pytest.CaptureFixture[str]) -> None:
    """A ring moved on the same wearer: body, window and axes stand, so the next picture costs a part of the first."""
    wearer = Wearer.average("female")
    systems = [SingleControl(figure_of_eight(wearer, ring_below_c7=mm(ring))) for ring in (60, 65)]
    motions = [system.sweep([0.0, 0.5]) for system in systems]
    times = np.empty((15, 2))
    for row in times:
        pulls = [motion.pull(1) for motion in motions]
        _forget()
        for place, (pull, system) in enumerate(zip(pulls, systems, strict=True)):
            start = process_time()
            render_svg(wearer_scene(pull, "back", system=system, units="metric"))
            row[place] = process_time() - start
    first, following = np.median(times, axis=0)
    with capsys.disabled():
        print(f"\nmain picture: first {1e3 * first:.1f} ms, at a neighbouring setting {1e3 * following:.1f} ms")
    assert first > 2.0 * following
