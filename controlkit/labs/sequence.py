"""The sequence lab: the parts of single control, and its steps taken one after the other."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import lru_cache

import numpy as np

from controlkit.draw.charts.steps import steps_scene
from controlkit.draw.device.askew import askew_scene
from controlkit.draw.wearer.parts import PARTS, parts_scene
from controlkit.draw.words.sequence import steps_words
from controlkit.labs import ranges
from controlkit.labs.controls import Control, Menu, Slider, Steps, Tick, Values
from controlkit.labs.documented import documented
from controlkit.labs.frame import Lab
from controlkit.labs.page import Page, Reading, Units
from controlkit.labs.people import people, person_of
from controlkit.labs.remembered import Remembered
from controlkit.labs.sequence_tasks import (
    SEQUENCE_CHALLENGES,
    SEQUENCE_PREDICTIONS,
    sequence_answers,
    sequence_verdicts,
)
from controlkit.labs.turned import ground, seen_from, turned
from controlkit.mechanics import (
    SingleControl,
    Wearer,
    figure_of_eight,
    hook_closing,
    hook_opening,
    operating_sequence,
)
from controlkit.mechanics.body.places import joints
from controlkit.mechanics.device import Device
from controlkit.mechanics.sequence import Amount, OperatingSequence, Situation, Taken, Told
from controlkit.mechanics.sequence.amounts import TABLE
from controlkit.mechanics.sequence.stands import askew_in, opening_in, pose_in
from controlkit.mechanics.sequence.turned import TURNED, opening_askew
from controlkit.units import mm, show

__all__ = ["sequence_lab"]

_DEVICES: dict[str, tuple[str, Callable[[], Device]]] = {
    "opening": ("hook, voluntary opening", hook_opening),
    "closing": ("hook, voluntary closing", hook_closing),
    "closing-lock": ("hook, voluntary closing, with lock", lambda: hook_closing(lock=True)),
}
_STEPS = {name.replace(" ", "-"): name for name in dict.fromkeys((*operating_sequence(hook_closing(lock=True)).steps,))}
_SIZE = (310.0, 260.0)  # of the list of steps [picture points]
_PARTS = {name.replace(" ", "-"): name for name in PARTS}


def _controls(own: Wearer | None) -> tuple[Control, ...]:
    parts = (("none", "none"), *((key, f"{n} {name}") for n, (key, name) in enumerate(_PARTS.items(), 1)))
    return (
        Steps("step", "Take a step", tuple(_STEPS.items())),
        Tick("tell", "Tell which steps are right now"),
        Menu("device", "Device", tuple((key, text) for key, (text, _) in _DEVICES.items()), "opening"),
        Slider(
            "width", "Width of the object", "length", ranges.OBJECT_HELD, start=mm(30), hint="it stands on the table"
        ),
        Slider(
            "turned",
            "Device turned away from the object",
            "angle",
            ranges.TURNED_AWAY,
            start=TURNED,
            hint="as the task before left it, lacking pronation; below 10° the fingers settle by themselves",
        ),
        Menu("part", "Part", parts, "none"),
        *people(own),
        turned("side", "View"),
    )


class _Errands:
    """Set-ups and tasks of the settings seen so far, and the steps taken in them."""

    def __init__(self, own: Wearer | None) -> None:
        self._own = own
        self._system = lru_cache(maxsize=16)(self._put_on)
        self._task = lru_cache(maxsize=64)(self._set_task)

    def _put_on(self, who: str, side: str, device: str) -> Remembered:
        harness = figure_of_eight(person_of(self._own, who, side))
        return Remembered(SingleControl(harness, device=_DEVICES[device][1]()))

    def _set_task(self, who: str, side: str, device: str, *, width: float, turned: float) -> OperatingSequence:
        return operating_sequence(self._system(who, side, device), width, turned=turned)

    def page(self, setting: Values, pinned: Values | None, units: Units) -> Page:
        """Answer one setting with pictures and words."""
        known, task, taken, state = self._taken(setting)
        system = known.system
        reached = state.fits(task.goal)
        right = task.legal(state) if setting["tell"] else ()
        width = float(setting["width"])
        (pull,) = known.over([pose_in(state)])
        shown = replace(pull, opening=opening_in(state, system.device, width))
        part = _PARTS.get(str(setting["part"]), "")
        table = np.asarray(joints(system.harness.wearer, TABLE)["device"])
        view = seen_from(setting["view"])
        thing = (state["object"], width)
        picture = parts_scene(shown, view, system=system, part=part, thing=thing, table=table, plain=True, units=units)
        askew = askew_in(state, float(setting["turned"]))
        needed = opening_askew(width, askew)
        along = askew_scene(askew, width, opening=shown.opening, needed=needed, units=units)
        said = steps_words(taken, state, reached=reached, right=right, units=units)
        name = _DEVICES[str(setting["device"])][0]
        apart, wide = (show(size, "length", units) for size in (shown.opening, width))
        task_said = (
            f"Device: {name}; its fingertips are {apart} apart. "
            f"The errand: take an object {wide} wide to the mouth and put it back."
        )
        listed = steps_scene(name, taken, state, reached=reached, right=right, size=_SIZE, units=units)
        compared = ""
        if pinned is not None:
            *_, then, there = self._taken(pinned)
            compared = f"The pinned setting has {len(then)} steps and stands at: {there.words}."
        words = " ".join(text for text in (said, task_said, compared, along.words, picture.words) if text)
        return Page(
            (picture, along, listed),
            words,
            said,
            readings=(
                Reading("Fingertips apart", shown.opening, "length", f"object {wide}"),
                Reading("Opening needed", needed, "length", "to pass the object"),
                Reading("Device turned away", askew, "angle", "from the object"),
                Reading("Harness pull", pull.harness_force, "force", f"the arm is {state['arm']}"),
            ),
            verdicts=sequence_verdicts(setting, task, taken, state, units=units),
            handles=(ground(setting["view"], picture, system.harness.wearer, picture=0),),
            answers=sequence_answers(setting, system.device, units),
        )

    def _taken(self, setting: Values) -> tuple[Remembered, OperatingSequence, Sequence[Taken], Situation]:
        """Take the steps of a setting from the start."""
        who, side, device = (str(setting[name]) for name in ("wearer", "amputated", "device"))
        known = self._system(who, side, device)
        task = self._task(who, side, device, width=float(setting["width"]), turned=float(setting["turned"]))
        state, taken = task.start, []
        for key in str(setting["step"]).split(", ") if setting["step"] else ():
            name = _STEPS[key]
            if name in task.steps:
                made = task.take(state, name)
            else:
                nothing = "This device has no lock: nothing happens."
                made = Taken(before=state, step=name, after=state, amount=Amount(), consequence=Told(nothing))
            taken.append(made)
            state = made.after
        return known, task, taken, state


@documented
def sequence_lab(wearer: Wearer | None = None, *, setting: str = "", units: Units = "metric") -> Lab:
    """Open the sequence lab.

    Notes
    -----
    The pictures show a state, not a motion: the arm at rest, at the table or at the mouth, the scapula back or
    forward, the device as far open as the state says, and its fingers against the object, seen along the forearm.
    Amounts are those of the mechanics.

    Examples
    --------
    >>> lab = sequence_lab(setting="step = pre-position, reach-out")
    >>> lab.setting.split(";")[0]
    'step = pre-position, reach-out'
    """
    answers = _Errands(wearer)
    return Lab(
        "Sequence lab: parts and steps of single control",
        _controls(wearer),
        answers.page,
        challenges=SEQUENCE_CHALLENGES,
        predictions=SEQUENCE_PREDICTIONS,
        another="device",
        units=units,
        setting=setting,
    )
