"""The device lab without a browser."""

from __future__ import annotations

import itertools
import re
from typing import Any

import pytest

from controlkit.labs.controls import Slider
from controlkit.labs.device import device_lab
from controlkit.labs.frame import Lab
from controlkit.units import mm
from tests.written import unpacked

from .asking import ask as _ask


@pytest.fixture(scope="module")
def lab() -> Lab:
    """One lab for the module; every ask is independent of the one before."""
    return device_lab()


def _grip(shown: dict[str, Any]) -> float:
    """Grip, as the words say it [N]."""
    found = re.search(r"object with ([\d.]+) N", shown["words"])
    if found is None:
        assert "does not hold" in shown["words"]
        return 0.0
    return float(found[1])


def _takes(shown: dict[str, Any]) -> tuple[float, float]:
    """Force [N] and travel [mm] of full opening or closing, as the words say them."""
    force, travel = re.search(r"it fully, ([\d.]+) N over ([\d.]+) mm", shown["words"]).groups()  # type: ignore[union-attr]
    return float(force), float(travel)


def test_no_corner_of_the_sliders_fails(lab: Lab) -> None:
    """Every slider at either end, all combinations, every device, cable pulled and let go."""
    ends = {c.key: (c.low, c.high) for c in lab.controls if isinstance(c, Slider)}
    (devices,) = (c.options for c in lab.controls if c.key == "device")  # type: ignore[union-attr]
    for (device, _), let_go in itertools.product(devices, (False, True)):
        for corner in itertools.product(*ends.values()):
            values = dict(zip(ends, corner, strict=True))
            shown = _ask(lab, device=device, let_go=let_go, curves="force" if let_go else "grip", **values)
            assert "nan" not in unpacked("".join(shown["pictures"])), values


def test_opening_grips_less_and_closing_grips_more_for_a_pull(lab: Lab) -> None:
    """The two principles."""
    opening = [_grip(_ask(lab, pull=pull)) for pull in (0.0, 10.0, 20.0, 60.0)]
    closing = [_grip(_ask(lab, device="hook-closing", pull=pull)) for pull in (0.0, 10.0, 20.0, 60.0)]
    assert opening == sorted(opening, reverse=True)
    assert opening[-1] == 0.0
    assert closing == sorted(closing)
    assert closing[0] == 0.0


def test_what_is_left_when_the_pull_ends(lab: Lab) -> None:
    """Bands grip on, a closing hook opens, a lock holds."""
    for device, left in (("hook-opening", True), ("hook-closing", False), ("hook-closing-lock", True)):
        assert (_grip(_ask(lab, device=device, pull=60.0, let_go=True)) > 0.0) == left, device


def test_bands_change_force_and_not_travel(lab: Lab) -> None:
    """Each band adds the same."""
    loads = [_takes(_ask(lab, bands=bands)) for bands in (2.0, 3.0, 4.0)]
    assert len({travel for _, travel in loads}) == 1
    steps = loads[1][0] - loads[0][0], loads[2][0] - loads[1][0]
    assert steps[0] == pytest.approx(steps[1], abs=0.15)


def _share(shown: dict[str, Any]) -> tuple[float, float]:
    """Pull at the harness [N] and its share of the strength [%], as the words say them."""
    pull, share = re.search(r"Pulling ([\d.]+) N at the harness takes (\d+) %", shown["words"]).groups()  # type: ignore[union-attr]
    return float(pull), float(share)


def test_a_freer_cable_asks_less_at_the_harness_and_nothing_else(lab: Lab) -> None:
    """The device does not know what was lost before it."""
    usual, freer = _ask(lab, arrives=0.8), _ask(lab, arrives=0.95)
    assert _share(usual)[0] == pytest.approx(_takes(usual)[0] / 0.8, abs=0.1)
    assert _share(freer)[0] == pytest.approx(_takes(freer)[0] / 0.95, abs=0.1)
    assert _share(freer)[1] < _share(usual)[1]
    assert (_takes(freer), _grip(freer)) == (_takes(usual), _grip(usual))


def test_how_many_bands_a_fifth_of_the_strength_opens(lab: Lab) -> None:
    """Said for the hook with bands, of the pull that arrives; a weak wearer has not even one."""
    said = [re.search(r"opens fully with up to (\d+) band", _ask(lab, strength=s)["words"]) for s in (538.0, 280.0)]
    assert [int(one[1]) for one in said if one] == [6, 3]
    assert "does not open fully even with one band" in _ask(lab, strength=87.0)["words"]
    assert "opens fully with up to" not in _ask(lab, device="hand-opening", strength=538.0)["words"]


def test_friction_widens_the_loop_both_ways(lab: Lab) -> None:
    """More to open, and less grip."""
    plain, stiff = _ask(lab, curves="force"), _ask(lab, curves="force", friction=0.2)
    lost = [float(re.search(r"them, (\d+) mJ", shown["words"])[1]) for shown in (plain, stiff)]  # type: ignore[index]
    assert lost[0] == 0.0 < lost[1]
    assert _takes(stiff)[0] > _takes(plain)[0]
    assert _grip(stiff) < _grip(plain)


def test_too_wide_is_not_held(lab: Lab) -> None:
    """Said, and drawn before the fingertips."""
    shown = _ask(lab, width=mm(110))
    assert "wider than the device opens" in shown["words"]
    assert _grip(shown) == 0.0


def test_pinned_and_compared(lab: Lab) -> None:
    """The difference in words, a grey hook and a grey curve."""
    pinned = {**lab.plan["start"], "bands": 5.0}
    for curves in ("grip", "force"):
        shown = _ask(lab, pinned=pinned, curves=curves)
        assert "Against the pinned setting" in shown["words"]
        assert ">pinned<" in shown["pictures"][1]
    assert "grip no change" in _ask(lab, pinned=dict(lab.plan["start"]))["words"]


@pytest.mark.parametrize("curves", ["grip", "force"])
def test_units_follow_the_choice(lab: Lab, curves: str) -> None:
    """One system at a time."""
    setting = {"curves": curves, "pull": 20.0, "strength": 100.0}
    metric, inch = _ask(lab, **setting), _ask(lab, "inch-pound", **setting)
    for text in (inch["words"], *inch["pictures"]):
        assert " mm" not in text
        assert " N" not in text
    for text in (metric["words"], *metric["pictures"]):
        assert "lbf" not in text
        assert not re.search(r"\d in\b|\[in\]", text)


def test_half_a_band_is_refused_beside_its_control(lab: Lab) -> None:
    """Bands are counted."""
    lab.asked = {"n": 900, "values": dict(lab.plan["start"]), "units": "metric", "typed": {"bands": "3.5"}}
    assert "whole number" in lab.shown["problems"]["bands"]
    assert lab.shown["values"]["bands"] == 3.0
