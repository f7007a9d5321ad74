"""The device lab: bands, lever, object and pull, with devices of both principles."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from controlkit.draw.charts.device import Loop, grip_chart, loop_chart
from controlkit.draw.device.scene import device_scene
from controlkit.draw.page.scene import Chart
from controlkit.draw.words.device import device_comparison, holding_words, share_words
from controlkit.labs.controls import Choice, Control, Slider, Tick, Values
from controlkit.labs.documented import opens
from controlkit.labs.frame import Lab, Page, Units
from controlkit.mechanics.chain import REPEATED, fatigue
from controlkit.mechanics.device import (
    Holding,
    VoluntaryClosing,
    VoluntaryOpening,
    hand_closing,
    hand_opening,
    hold,
    hook_closing,
    hook_opening,
    lost,
    refit,
)
from controlkit.sources import source
from controlkit.units import mm, newton

__all__ = ["device_lab"]

Device = VoluntaryOpening | VoluntaryClosing

_DEVICES = (
    ("hook-opening", "voluntary-opening hook"),
    ("hand-opening", "voluntary-opening hand"),
    ("hook-closing", "voluntary-closing hook"),
    ("hook-closing-lock", "voluntary-closing hook with a lock"),
    ("hand-closing", "voluntary-closing hand"),
)
_CURVES = (("grip", "grip against the object's width"), ("force", "cable force, out and back"))


def _controls() -> tuple[Control, ...]:
    strength = source("arm_flexion_force").si
    return (
        Choice("device", "Device", _DEVICES, "hook-opening"),
        Slider("bands", "Bands", "count", 1.0, 10.0, 3.0, "on the voluntary-opening hook; the others have none"),
        Slider("width", "Width of the object", "length", 0.0, mm(110.0), mm(30.0), "between the fingertips"),
        Slider("pull", "Cable force at the device", "force", 0.0, 150.0, 0.0, "wanted, or by accident"),
        Tick("let_go", "The cable has been let go again"),
        Slider("lever", "Lever", "ratio", 0.6, 1.6, 1.0, "pivot to cable, in percent of the usual"),
        Slider("friction", "More friction in the pivot", "ratio", 0.0, 0.4, 0.0, "share of what bands or spring make"),
        Slider(
            "strength", "Strength", "force", newton(20.0), newton(540.0), strength, "largest cable force at the device"
        ),
        Choice("curves", "Curves", _CURVES, "grip"),
    )


@lru_cache(maxsize=128)
def _device(kind: str, bands: int, lever: float, friction: float) -> Device:
    plain: Device
    if kind == "hook-opening":
        plain = hook_opening(bands)
    elif kind == "hand-opening":
        plain = hand_opening()
    elif kind == "hand-closing":
        plain = hand_closing()
    else:
        plain = hook_closing(lock=kind.endswith("lock"))
    return refit(plain, lever, friction)


def _of(setting: Values) -> tuple[Device, Holding]:
    lever, friction = float(setting["lever"]), float(setting["friction"])
    device = _device(str(setting["device"]), round(float(setting["bands"])), lever, friction)
    held = hold(device, float(setting["width"]), float(setting["pull"]), let_go=bool(setting["let_go"]))
    return device, held


def _loop(device: Device) -> Loop:
    travel = np.linspace(0.0, device.travel, 13)
    out, back = (np.array([force(x) for x in travel]) for force in (device.force, device.force_back))
    return Loop(travel, out, back, lost(device))


def _grips(device: Device, setting: Values) -> tuple[np.ndarray, np.ndarray]:
    widths = np.linspace(0.0, device.full_opening * (1.0 - 1e-9), 25)
    pull, let_go = float(setting["pull"]), bool(setting["let_go"])
    return widths, np.array([hold(device, w, pull, let_go=let_go).grip for w in widths])


def _page(setting: Values, pinned: Values | None, units: Units) -> Page:
    """Answer one setting with pictures and words."""
    device, held = _of(setting)
    hand = str(setting["device"]).startswith("hand")
    width, pull, let_go = float(setting["width"]), float(setting["pull"]), bool(setting["let_go"])
    strength = float(setting["strength"])
    works = device.force(device.travel) if device.kind == "voluntary opening" else max(pull, held.needed)
    said = [holding_words(device, held, width, pull, let_go, hand, units)]
    said.append(share_words(works, strength, fatigue(works / strength), units))
    other = _of(pinned) if pinned is not None else None
    if other is not None:
        said.append(device_comparison(held, other[1], units))
    spoken = " ".join(said)
    picture = device_scene(device, held, width, 0.0 if let_go else pull, hand=hand, pinned=other, units=units)
    chart: Chart
    if setting["curves"] == "grip":
        tasks = (
            (source("key_pinch_most_tasks").si, "enough for most tasks"),
            (source("key_pinch_tasks").si_high, "to push in a plug"),
        )
        ghost = _grips(other[0], pinned) if other is not None and pinned is not None else None
        chart = grip_chart(*_grips(device, setting), width, held, tasks=tasks, pinned=ghost, units=units)
    else:
        loop = _loop(other[0]) if other is not None else None
        chart = loop_chart(_loop(device), held, strength=strength, share=REPEATED[1], pinned=loop, units=units)
    return Page((picture, chart), " ".join((*said, chart.words, picture.words)), spoken)


@opens
def device_lab(*, setting: str = "", units: Units = "metric") -> Lab:
    """Open the device lab.

    Notes
    -----
    Forces are those at the device; cable and housing lose their part before it. Closing devices are derived
    from published figures, opening ones from common practice for their bands and assumed proportions.

    Examples
    --------
    >>> device_lab(setting="bands = 5").setting.split("; ")[1]
    'bands = 5'
    """
    return Lab(
        "Device lab: bands, lever, object and pull", _controls(), _page, play="pull", units=units, setting=setting
    )
