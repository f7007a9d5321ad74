"""The sequence lab: the parts of single control, and its steps taken one after the other."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import cached_property, lru_cache
from typing import Any, cast

import numpy as np

from controlkit.draw.wearer.sequence import PARTS, parts_scene, steps_scene, steps_words
from controlkit.draw.words.pull import View
from controlkit.labs.controls import Choice, Control, Slider, Steps, Tick, Values
from controlkit.labs.documented import opens
from controlkit.labs.frame import Lab, Page, Units
from controlkit.labs.people import Remembered, people, person_of
from controlkit.mechanics import (
    Pose,
    Pull,
    SingleControl,
    Wearer,
    figure_of_eight,
    hook_closing,
    hook_opening,
    operating_sequence,
)
from controlkit.mechanics.body.places import joints
from controlkit.mechanics.chain.positions import BACK
from controlkit.mechanics.device import Device
from controlkit.mechanics.sequence import Amount, OperatingSequence, Situation, Taken
from controlkit.mechanics.sequence.amounts import CLEARANCE, MOUTH, TABLE
from controlkit.units import deg, mm, show

__all__ = ["sequence_lab"]

_DEVICES: dict[str, tuple[str, Callable[[], Device]]] = {
    "opening": ("hook, voluntary opening", hook_opening),
    "closing": ("hook, voluntary closing", hook_closing),
    "closing-lock": ("hook, voluntary closing, with lock", lambda: hook_closing(lock=True)),
}
_STEPS = {name.replace(" ", "-"): name for name in dict.fromkeys((*operating_sequence(hook_closing(lock=True)).steps,))}
_PARTS = {name.replace(" ", "-"): name for name in PARTS}
_POSES = {"at rest": Pose(), "at the table": TABLE, "at the mouth": MOUTH}
_BLADE = {"slack": BACK, "pulled": deg(10.0)}  # drawn back to keep the cable slack, forward to pull it


class _Kept(SingleControl):
    """A set-up that remembers its answers; what it answers is the same."""

    @cached_property
    def _answers(self) -> dict[Any, Any]:
        return {}

    def sweep(self, arm_flexion: Any, near: Any = None, **angles: float) -> Any:
        """Answer a sweep, once."""
        key = "sweep", tuple(arm_flexion), tuple(sorted(angles.items()))
        if key not in self._answers:
            self._answers[key] = super().sweep(arm_flexion, near, **angles)
        return self._answers[key]

    def at(self, **angles: float) -> Pull:
        """Answer a pose, once."""
        key = "at", tuple(sorted(angles.items()))
        if key not in self._answers:
            self._answers[key] = super().at(**angles)
        return cast(Pull, self._answers[key])


def _controls(own: Wearer | None) -> tuple[Control, ...]:
    parts = (("none", "none"), *((key, f"{n} {name}") for n, (key, name) in enumerate(_PARTS.items(), 1)))
    return (
        Steps("step", "Take a step", tuple(_STEPS.items())),
        Tick("tell", "Tell which steps are right now"),
        Choice("device", "Device", tuple((key, text) for key, (text, _) in _DEVICES.items()), "opening"),
        Slider("width", "Width of the object", "length", mm(10), mm(50), mm(30), "it stands on the table"),
        Choice("part", "Part", parts, "none"),
        *people(own),
        Choice("view", "View", (("side", "side"), ("back", "back"), ("front", "front")), "side"),
    )


class _Bench:
    def __init__(self, own: Wearer | None) -> None:
        self._own = own
        self._system = lru_cache(maxsize=16)(self._put_on)
        self._task = lru_cache(maxsize=64)(self._set_task)

    def _put_on(self, who: str, side: str, device: str) -> tuple[_Kept, Remembered]:
        system = _Kept(figure_of_eight(person_of(self._own, who, side)), device=_DEVICES[device][1]())
        return system, Remembered(system)

    def _set_task(self, who: str, side: str, device: str, width: float) -> OperatingSequence:
        return operating_sequence(self._system(who, side, device)[0], width)

    def page(self, setting: Values, pinned: Values | None, units: Units) -> Page:
        """Answer one setting with pictures and words."""
        system, remembered, task, taken, state = self._taken(setting)
        reached = state.fits(task.goal)
        right = task.legal(state) if setting["tell"] else ()
        width = float(setting["width"])
        now = replace(_POSES[state["arm"]], scapular_abduction=_blade(state))
        (pull,) = remembered.over([now])
        shown = replace(pull, opening=_opening(system.device, state, width))
        part = _PARTS.get(str(setting["part"]), "")
        table = np.asarray(joints(system.harness.wearer, TABLE)["device"])
        view = cast(View, setting["view"])
        thing = (state["object"], width)
        picture = parts_scene(shown, view, system=system, part=part, thing=thing, table=table, units=units)
        said = steps_words(taken, state, reached, right, units)
        name = _DEVICES[str(setting["device"])][0]
        apart, wide = (show(size, "length", units) for size in (shown.opening, width))
        task_said = (
            f"Device: {name}; its fingertips are {apart} apart. "
            f"The errand: take an object {wide} wide to the mouth and put it back."
        )
        listed = steps_scene(name, taken, state, reached, right, units)
        compared = ""
        if pinned is not None:
            *_, then, there = self._taken(pinned)
            compared = f"The pinned setting has {len(then)} steps and stands at: {there.words}."
        words = " ".join(text for text in (said, task_said, compared, picture.words) if text)
        return Page((picture, listed), words, said)

    def _taken(self, setting: Values) -> tuple[_Kept, Remembered, OperatingSequence, Sequence[Taken], Situation]:
        """Take the steps of a setting from the start."""
        who, side, device = (str(setting[name]) for name in ("wearer", "amputated", "device"))
        system, remembered = self._system(who, side, device)
        task = self._task(who, side, device, float(setting["width"]))
        state, taken = task.start, []
        for key in str(setting["step"]).split(", ") if setting["step"] else ():
            name = _STEPS[key]
            if name in task.steps:
                made = task.take(state, name)
            else:
                made = Taken(
                    before=state,
                    step=name,
                    after=state,
                    amount=Amount(),
                    consequence="This device has no lock: nothing happens.",
                )
            taken.append(made)
            state = made.after
        return system, remembered, task, taken, state


def _blade(state: Situation) -> float:
    return 0.0 if state["arm"] == "at rest" and state["cable"] == "slack" else _BLADE[state["cable"]]


def _opening(device: Device, state: Situation, width: float) -> float:
    """How far the device is open in a state of the sequence [m]."""
    between = state["object"] in ("between the fingers", "held")
    locked = dict(state.facts).get("lock") == "on"
    if device.opens:
        if state["cable"] == "pulled":
            return min(width + CLEARANCE, device.full_opening)
        return width if between else 0.0
    if state["cable"] == "pulled" or locked:
        return width if between else 0.0
    return device.opening(0.0)


@opens
def sequence_lab(wearer: Wearer | None = None, *, setting: str = "", units: Units = "metric") -> Lab:
    """Open the sequence lab.

    Notes
    -----
    The picture shows a state, not a motion: the arm at rest, at the table or at the mouth, the shoulder blade back
    or forward, and the device as far open as the state says. Amounts are those of the mechanics.

    Examples
    --------
    >>> lab = sequence_lab(setting="step = reach-out, pull")
    >>> lab.setting.split(";")[0]
    'step = reach-out, pull'
    """
    bench = _Bench(wearer)
    return Lab(
        "Sequence lab: parts and steps of single control",
        _controls(wearer),
        bench.page,
        units=units,
        setting=setting,
    )
