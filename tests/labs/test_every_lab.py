"""What holds for each control of each lab, without a browser."""

from __future__ import annotations

from typing import Any

import pytest

from controlkit.labs.controls import Control, Slider, Steps, Tick
from controlkit.units import deg
from tests.browser.labpage import LABS

from .asking import ask

# what must be so for a control to matter: something to let go of, curves that show strength, a hand in the task,
# a scapula that moves, takes the device along and draws on the straps in front
BEFORE: dict[tuple[str, str], dict[str, Any]] = {
    ("device", "let_go"): {"pull": 10.0},
    ("device", "arrives"): {"curves": "force"},
    ("device", "strength"): {"curves": "force"},
    ("chain", "motion"): {"scapular_abduction": deg(20)},
    ("chain", "support_strap"): {"scapular_abduction": deg(20)},
    ("strap", "biscapular"): {"scapular_abduction": deg(20)},
    ("motion", "device"): {"scapular_abduction": deg(20)},
    ("motion", "support_strap"): {"arm_flexion": 0.0, "scapular_abduction": deg(20)},
    ("sequence", "width"): {"step": "reach-out, pull"},
    ("sequence", "device"): {"step": "reach-out, pull"},
    ("lock", "step"): {"show": "sequence"},
    ("lock", "tell"): {"show": "sequence"},
    **{("pair", key): {"scapular_abduction": deg(15)} for key in ("junction", "other_bands")},
    **{("pair", key): {"show": "limb"} for key in ("way", "ratio", "limb_flexion", "limb_moment", "load")},
    ("bench", "number"): {"task": "search", "take": "device@usual"},
    ("bench", "named"): {"task": "search"},
    ("bench", "decides"): {"task": "search"},
    ("bench", "tell"): {"task": "search"},
    ("bench", "open"): {"task": "search"},
}


LIMB = {"way", "ratio", "limb_flexion", "limb_moment", "load"}
PAIR = {
    *("pulls", "right_level", "left_level", "arm_flexion", "scapular_abduction", "other_flexion", "other_scapula"),
    *("elbows", "junction", "other_device", "other_bands", "other_strap", "view"),
}


def _elsewhere(control: Control) -> Any:
    """Another value than that at the start."""
    if isinstance(control, Slider):
        value = control.start + 0.25 * (control.high - control.start)
        return round(value) if control.kind == "count" else value
    if isinstance(control, Tick):
        return not control.start
    if isinstance(control, Steps):
        names = [name for name, _ in control.options]
        return "reach-out" if "reach-out" in names else names[0]
    return next(name for name, _ in control.options if name != control.start)


@pytest.mark.parametrize(  # the lab of many wearers takes half a minute, and is tried by keys in a browser
    "name", [pytest.param(name, marks=pytest.mark.long if name == "population" else ()) for name in LABS]
)
def test_every_control_changes_words_and_a_picture(name: str) -> None:
    """No control is idle; the same setting gives the same page afterwards."""
    lab = LABS[name]()
    for control in lab.controls:
        before = BEFORE.get((name, control.key), {})
        start = ask(lab, **before)
        moved = ask(lab, **{**before, control.key: _elsewhere(control)})
        assert moved["words"] != start["words"], control.key
        assert moved["pictures"] != start["pictures"], control.key
        again = ask(lab, **before)
        assert (again["words"], again["pictures"]) == (start["words"], start["pictures"]), control.key


@pytest.mark.parametrize(
    ("name", "setting", "idle"),
    [
        ("pattern", {}, set()),
        ("pattern", {"pattern": "nine", "load": 50.0}, {"support_strap"}),
        ("pair", {}, LIMB),
        ("pair", {"other_device": "closing"}, LIMB | {"other_bands"}),
        ("pair", {"left_level": "above"}, LIMB | {"other_device"}),
        ("pair", {"show": "limb"}, PAIR),
        ("lock", {}, {"step", "tell"}),
        (
            "lock",
            {"show": "sequence"},
            {"arm_extension", "arm_abduction", "shoulder_depression", "protraction", "pull"},
        ),
        ("bench", {"take": "device@usual"}, {"number", "named", "decides", "tell", "open"}),
        ("bench", {"task": "search", "take": "device@usual"}, {"strength", "wearer"}),
        ("device", {}, set()),
        *(("device", {"device": other}, {"bands"}) for other in ("hand-opening", "hook-closing", "hand-closing")),
        ("population", {"tried": 4.0}, set()),
        ("population", {"tried": 4.0, "device": "hand", "pattern": "nine"}, {"bands", "support_strap", "cross_back"}),
    ],
)
def test_a_control_that_is_not_shown_changes_no_picture_and_no_reading(
    name: str, setting: dict[str, Any], idle: set[str]
) -> None:
    """Whatever counts for nothing in a setting is put away there, and nothing else is."""
    lab = LABS[name]()
    shown = ask(lab, **setting)
    assert set(shown["idle"]) == idle
    for control in lab.controls:
        if control.key in idle:
            moved = ask(lab, **{**setting, control.key: _elsewhere(control)})
            assert (moved["pictures"], moved["readings"]) == (shown["pictures"], shown["readings"]), control.key


@pytest.mark.parametrize("name", LABS)
def test_the_line_reproduces_the_page(name: str) -> None:
    """Every control moved at once, written in one line, read by a fresh lab: the same words and pictures."""
    lab = LABS[name]()
    shown = ask(lab, **{control.key: _elsewhere(control) for control in lab.controls})
    fresh = LABS[name](setting=shown["line"])
    assert fresh.setting == shown["line"]
    assert fresh.shown["words"] == shown["words"]
    assert fresh.shown["pictures"] == shown["pictures"]


def test_strength_is_called_by_its_plain_name() -> None:
    """The slider, and whatever is written of it, say what is meant: how hard the wearer can pull."""
    labs = {name: make() for name, make in LABS.items()}
    sliders = [c for lab in labs.values() for c in lab.controls if c.key == "strength"]
    assert len(sliders) >= 3
    assert {slider.label for slider in sliders} == {"Wearer's strongest pull"}
    for lab in labs.values():
        shown = lab.shown
        written = " ".join([shown["words"], *shown["pictures"], *(str(one["note"]) for one in shown["readings"])])
        assert "cable strength" not in written.lower()
        assert "full strength" not in written


@pytest.mark.parametrize("name", LABS)
def test_a_lab_opened_bare_gives_nothing_away(name: str) -> None:
    """No prediction is decided and no challenge met before anything has been moved."""
    shown = LABS[name]().shown
    assert not any(shown["answers"])
    assert all(verdict["missing"] for verdict in shown["verdicts"])
