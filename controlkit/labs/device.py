"""The device lab: bands, object, pull and cable, with devices of both principles."""

from __future__ import annotations

from functools import lru_cache

from controlkit.draw.charts.device import grip_chart, loop_chart
from controlkit.draw.device.scene import device_scene
from controlkit.draw.page.scene import Chart
from controlkit.draw.words.device import bands_words, device_comparison, holding_words, share_words
from controlkit.draw.words.effort import percent
from controlkit.labs import ranges
from controlkit.labs.controls import Control, Menu, Slider, Tick, Values
from controlkit.labs.device_tasks import DEVICE_CHALLENGES, DEVICE_PREDICTIONS, device_answers, device_verdicts
from controlkit.labs.documented import documented
from controlkit.labs.frame import Lab
from controlkit.labs.page import Page, Reading, Units
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
    most_bands,
    refit,
)
from controlkit.mechanics.device.curves import cycle, grips, working_force
from controlkit.sources import source
from controlkit.units import mm, show

__all__ = ["device_lab"]

Device = VoluntaryOpening | VoluntaryClosing

_DEVICES = (
    ("hook-opening", "voluntary-opening hook"),
    ("hand-opening", "voluntary-opening hand"),
    ("hook-closing", "voluntary-closing hook"),
    ("hook-closing-lock", "voluntary-closing hook with a lock"),
    ("hand-closing", "voluntary-closing hand"),
)
_SIZE = (310.0, 260.0)  # of the chart [picture points]
_CURVES = (("grip", "grip against the object's width"), ("force", "cable force, out and back"))


def _controls() -> tuple[Control, ...]:
    return (
        Menu("device", "Device", _DEVICES, "hook-opening"),
        Slider(
            "bands",
            "Bands",
            "count",
            ranges.BANDS,
            start=3.0,
            hint="that hold the hook shut",
        ),
        Slider("width", "Width of the object", "length", ranges.OBJECT, start=mm(30.0), hint="between the fingertips"),
        Slider(
            "pull",
            "Cable force at the device",
            "force",
            ranges.DEVICE_FORCE,
            start=0.0,
            hint="on command, or inadvertent",
        ),
        Tick("let_go", "The cable has been let go again"),
        Slider(
            "friction",
            "More friction in the pivot",
            "ratio",
            ranges.DRAG,
            start=0.0,
            hint="share of what bands or spring make",
        ),
        Slider(
            "arrives",
            "Efficiency of the cable",
            "ratio",
            ranges.ARRIVES,
            start=source("efficiency_single_control").si,
            hint="of a pull at the harness so much arrives at the device; a freer cable has more",
        ),
        Slider(
            "strength",
            "Wearer's strongest pull",
            "force",
            ranges.STRENGTH,
            start=source("arm_flexion_force").si,
            hint="once, at the harness",
        ),
        Menu("curves", "Curves", _CURVES, "grip"),
    )


@lru_cache(maxsize=128)
def _device(kind: str, bands: int, friction: float) -> Device:
    plain: Device
    if kind == "hook-opening":
        plain = hook_opening(bands)
    elif kind == "hand-opening":
        plain = hand_opening()
    elif kind == "hand-closing":
        plain = hand_closing()
    else:
        plain = hook_closing(lock=kind.endswith("lock"))
    return refit(plain, friction)


def _of(setting: Values) -> tuple[Device, Holding]:
    device = _device(str(setting["device"]), round(float(setting["bands"])), float(setting["friction"]))
    held = hold(device, float(setting["width"]), float(setting["pull"]), let_go=bool(setting["let_go"]))
    return device, held


def _page(setting: Values, pinned: Values | None, units: Units) -> Page:
    """Answer one setting with pictures and words."""
    device, held = _of(setting)
    hand = str(setting["device"]).startswith("hand")
    width, pull, let_go = float(setting["width"]), float(setting["pull"]), bool(setting["let_go"])
    strength, arrives = float(setting["strength"]), float(setting["arrives"])
    works = working_force(device, held, pull) / arrives
    said = [holding_words(device, held, width=width, pull=pull, let_go=let_go, hand=hand, units=units)]
    said.append(share_words(works, strength, fatigue(works / strength), units))
    if isinstance(device, VoluntaryOpening) and not hand:
        said.append(bands_words(most_bands(device, REPEATED[1] * strength * arrives), REPEATED[1]))
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
        ghost = None
        if other is not None and pinned is not None:
            ghost = grips(other[0], float(pinned["pull"]), let_go=bool(pinned["let_go"]))
        curve = grips(device, pull, let_go=let_go)
        chart = grip_chart(*curve, width, held, tasks=tasks, pinned=ghost, size=_SIZE, units=units)
    else:
        loop = cycle(other[0]) if other is not None else None
        chart = loop_chart(
            cycle(device), held, strength=strength * arrives, share=REPEATED[1], pinned=loop, size=_SIZE, units=units
        )
    return Page(
        (picture, chart),
        " ".join((*said, chart.words, picture.words)),
        spoken,
        readings=(
            Reading(
                "Grip",
                held.grip,
                "force",
                "after letting go" if let_go else f"under a pull of {show(pull, 'force', units)}",
            ),
            Reading("Fingertips apart", held.opening, "length", f"object {show(width, 'length', units)}"),
            Reading("At the harness", works, "force", f"{percent(works / strength)} of strongest pull"),
            Reading("Cable travel", held.travel, "length", f"of {show(device.travel, 'length', units)}"),
        ),
        verdicts=device_verdicts(setting, held, works, units),
        answers=device_answers(setting, device, held, units),
        tone=min(held.travel / device.travel, 1.0),
        idle=() if setting["device"] == "hook-opening" else ("bands",),
    )


@documented
def device_lab(*, setting: str = "", units: Units = "metric") -> Lab:
    """Open the device lab.

    Notes
    -----
    Forces are those at the device; the strength is that at the harness, and the cable takes its part. Closing
    devices are derived from published figures, opening ones from what study cards repeat of their bands, and
    assumed proportions.

    Examples
    --------
    >>> device_lab(setting="bands = 5").setting.split("; ")[1]
    'bands = 5'
    """
    return Lab(
        "Device lab: bands, object, pull and cable",
        _controls(),
        _page,
        play="pull",
        challenges=DEVICE_CHALLENGES,
        predictions=DEVICE_PREDICTIONS,
        units=units,
        setting=setting,
    )
