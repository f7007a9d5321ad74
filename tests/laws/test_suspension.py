"""What holds the socket up: work, order of magnitude, and what a fitter expects of each change."""

from __future__ import annotations

from functools import cache
from typing import Any

import numpy as np
import pytest

from controlkit.mechanics import Pose, SingleControl, Wearer, figure_of_eight
from controlkit.mechanics.harness import Skin, Straps, chest_strap, figure_of_nine
from controlkit.mechanics.harness.layout import CONTROL
from controlkit.mechanics.harness.suspension import Suspension, carried, suspend
from controlkit.sources import source
from controlkit.units import InputError, mm, newton

SEXES = ("female", "male")
LOAD = source("checkout_axial_load").si
FREE = Skin(stiffness=0.0, friction=0.0, loop_friction=0.0, floor=0.0)


@cache
def _held(sex: str, load: float = LOAD, **more: Any) -> Suspension:
    harness = figure_of_eight(Wearer.average(sex), **more)
    return suspend(harness, SingleControl(harness)._law, load)


@pytest.mark.parametrize("sex", SEXES)
def test_straps_carry_the_load_asked_for(sex: str) -> None:
    held = _held(sex)
    assert held.carried == pytest.approx(LOAD, abs=0.5)
    assert mm(5) < held.slip < mm(60)
    assert max(held.strap_tension.values()) < 2.0 * LOAD
    assert np.interp(held.slip, held.slips, held.carries) == pytest.approx(LOAD, rel=0.1)


@pytest.mark.parametrize("sex", SEXES)
def test_more_load_more_slip(sex: str) -> None:
    slips = [_held(sex, newton(load)).slip for load in (0, 40, 111, 222)]
    assert slips[0] == 0.0
    assert slips[0] < slips[1] < slips[2] < slips[3]


@pytest.mark.parametrize("sex", SEXES)
def test_what_lets_it_down(sex: str) -> None:
    usual = _held(sex)
    plain = _held(sex, straps=Straps(elastic_reach=0.0))
    stiff = _held(sex, straps=Straps(elastic_reach=0.0, webbing=1e6))
    loose = _held(sex, support_strap=mm(15))
    assert stiff.slip < plain.slip < usual.slip
    assert usual.slip - plain.slip == pytest.approx(mm(10), abs=mm(3))  # the reach of the elastic section
    assert loose.slip - usual.slip == pytest.approx(mm(15), abs=mm(6))  # let out, let down


@pytest.mark.parametrize("sex", SEXES)
def test_a_socket_that_is_dragged_down_pulls_on_the_cable(sex: str) -> None:
    held = _held(sex)
    assert held.travel > mm(5)
    assert "the load pulls on the cable and moves the device" in held.states


@pytest.mark.parametrize("sex", SEXES)
def test_a_figure_of_nine_suspends_nothing(sex: str) -> None:
    harness = figure_of_nine(Wearer.average(sex))
    held = suspend(harness, SingleControl(harness)._law, LOAD)
    assert held.slip == np.inf
    assert held.carried < 0.25 * LOAD
    assert any("must hold on by itself" in said for said in held.states)


@pytest.mark.parametrize("sex", SEXES)
def test_a_saddle_carries_on_the_shoulder(sex: str) -> None:
    harness = chest_strap(Wearer.average(sex))
    held = suspend(harness, SingleControl(harness)._law, LOAD)
    assert held.slip < _held(sex).slip
    assert held.strap_tension["saddle suspensor"] > 0.9 * LOAD


def test_load_carried_is_the_rate_of_the_straps_energy() -> None:
    """Virtual work, with all friction off: the load times a little slip is what straps and cable take up."""
    harness = figure_of_eight(Wearer.average("male"), skin=FREE)
    system, step = SingleControl(harness), mm(0.25)
    found = system._follow([Pose(socket_slip=mm(15) + k * step) for k in range(-4, 5)], None)
    rows = list(found.asked)
    work = np.zeros(len(rows))
    for run in range(len(harness.layout.runs)):
        length, tension = found.net.length[run, rows], found.net.tension[run, rows]
        middle = 0.5 * (tension[1:] + tension[:-1])
        work[1:] += np.cumsum(middle * np.diff(length))
    load = carried(found)
    expected = np.concatenate([[0.0], np.cumsum(0.5 * (load[1:] + load[:-1]) * step)])
    assert load[4] > 20.0
    assert work[-1] == pytest.approx(expected[-1], rel=5e-3)
    assert found.net.tension[CONTROL, rows].min() > 0.0


@pytest.mark.parametrize("load", [-1.0, 1e4, float("nan"), "222", None])
def test_a_load_that_is_none_is_refused_in_words(load: Any) -> None:
    harness = figure_of_eight(Wearer.average("female"))
    with pytest.raises(InputError):
        suspend(harness, SingleControl(harness)._law, load)
