"""What holds the socket up: work, order of magnitude, and what a fitter expects of each change."""

from __future__ import annotations

from functools import cache
from typing import Any

import numpy as np
import pytest

from controlkit.mechanics import Pose, SingleControl, Wearer, figure_of_eight
from controlkit.mechanics.harness import Skin, Straps, chest_strap, figure_of_nine
from controlkit.mechanics.harness.motion import follow
from controlkit.mechanics.harness.suspension import Dragged, Suspension, carried, suspend
from controlkit.mechanics.states import State
from controlkit.sources import source
from controlkit.units import InputError, mm, newton

SEXES = ("female", "male")
LOAD = source("checkout_axial_load").si
FREE = Skin(stiffness=0.0, friction=0.0, loop_friction=0.0, floor=0.0)


@cache
def _held(sex: str, load: float = LOAD, **more: Any) -> Suspension:
    harness = figure_of_eight(Wearer.average(sex), **more)
    return suspend(harness, SingleControl(harness).law, load)


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
    assert mm(4) < usual.slip - plain.slip < mm(10)  # the reach of the elastic section, less what it still carries
    assert loose.slip - usual.slip == pytest.approx(mm(15), abs=mm(6))  # let out, let down


@pytest.mark.parametrize("sex", SEXES)
def test_a_socket_that_is_dragged_down_pulls_on_the_cable(sex: str) -> None:
    held = _held(sex)
    assert held.travel > mm(5)
    assert State.of("load-moves-device", travel=held.travel) in held.states
    assert held.settled


@pytest.mark.parametrize("sex", SEXES)
def test_a_figure_of_nine_suspends_nothing(sex: str) -> None:
    harness = figure_of_nine(Wearer.average(sex))
    held = suspend(harness, SingleControl(harness).law, LOAD)
    assert held.slip == np.inf
    assert held.carried < 0.25 * LOAD
    assert held.states[0] == State.of("nothing-carries", load=LOAD)


@pytest.mark.parametrize("sex", SEXES)
def test_a_saddle_carries_on_the_shoulder(sex: str) -> None:
    harness = chest_strap(Wearer.average(sex))
    held = suspend(harness, SingleControl(harness).law, LOAD)
    assert held.slip < _held(sex).slip
    assert held.strap_tension["suspension strap"] > 0.9 * LOAD


@pytest.mark.parametrize("fork", [True, False])
def test_straps_take_up_the_work_of_what_drags_them(fork: bool) -> None:
    """Virtual work, all friction off: what pulls on pads and crossbar, times their way, is what the straps take up."""
    harness = figure_of_eight(Wearer.average("male"), skin=FREE, fork=fork)
    step = mm(0.25)
    found = follow(harness, [Pose(socket_slip=mm(15) + k * step) for k in range(-4, 5)], SingleControl(harness).law)
    rows = list(found.asked)
    taken = given = 0.0
    for k, run in enumerate(harness.layout.runs):
        length, tension, nodes = found.net.length[k, rows], found.net.tension[k, rows], found.net.nodes[k][rows]
        taken += float((0.5 * (tension[1:] + tension[:-1]) * np.diff(length)).sum())
        if run.limb == 0:
            way = nodes[:, -1] - nodes[:, -2]
            pull = tension[:, None] * way / np.linalg.norm(way, axis=1, keepdims=True)
            given += float((0.5 * (pull[1:] + pull[:-1]) * np.diff(nodes[:, -1], axis=0)).sum())
    assert taken > 0.025
    assert taken == pytest.approx(given, rel=5e-3)
    if not fork:  # its pads move straight down the arm
        load = carried(found)
        assert float((0.5 * (load[1:] + load[:-1]) * step).sum()) == pytest.approx(taken, rel=5e-3)


@pytest.mark.parametrize("load", [-1.0, 1e4, float("nan"), "222", None])
def test_a_load_that_is_none_is_refused_in_words(load: Any) -> None:
    harness = figure_of_eight(Wearer.average("female"))
    with pytest.raises(InputError):
        suspend(harness, SingleControl(harness).law, load)


@pytest.mark.parametrize("make", [figure_of_eight, figure_of_nine, chest_strap])
def test_one_curve_answers_every_load(make: Any) -> None:
    """Whatever was asked of it before, and wherever its solution started."""
    wider = make(Wearer.average("female"), straps=Straps(width=mm(40)))
    harness = make(Wearer.average("female"))
    law = SingleControl(harness).law
    dragged = Dragged(harness, law, near=Dragged(wider, SingleControl(wider).law).found)
    for load in (120.0, 30.0):
        alone, one = suspend(harness, law, load), dragged.under(load)
        assert (one.slip, one.travel) == pytest.approx((alone.slip, alone.travel), abs=mm(0.02))
        assert one.strap_tension == pytest.approx(alone.strap_tension, abs=0.3)


@pytest.mark.parametrize("make", [figure_of_eight, chest_strap])
def test_straps_that_reach_the_prosthesis_share_the_load(make: Any) -> None:
    """No strap carries more than it bears; what they carry is the load."""
    harness = make(Wearer.average("male"))
    held = suspend(harness, SingleControl(harness).law, 80.0)
    assert sum(held.carried_by.values()) == pytest.approx(held.carried, abs=1e-9)
    assert held.carried == pytest.approx(80.0, abs=0.5)
    for strap, share in held.carried_by.items():
        assert share <= held.strap_tension[strap] + 1e-9, strap
    assert not {"axilla loop", "chest strap", "saddle strap"} & set(held.carried_by)


@pytest.mark.parametrize("sex", SEXES)
def test_a_load_presses_in_the_armpit_unless_a_saddle_carries_it(sex: str) -> None:
    wearer = Wearer.average(sex)
    light, heavy = (_held(sex, newton(load)).axilla_line_load for load in (50, 222))
    assert 100.0 < light < 0.5 * heavy
    harness = chest_strap(wearer)
    assert suspend(harness, SingleControl(harness).law, LOAD).axilla_line_load == 0.0
