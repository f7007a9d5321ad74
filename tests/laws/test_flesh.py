"""Flesh over bone under a strap: its law against measurement, its closed forms, and what it does to a harness."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from controlkit.mechanics import SingleControl, Skin, Straps, Wearer, figure_of_eight
from controlkit.mechanics.harness.flesh import NONE, Flesh
from controlkit.mechanics.harness.laws import CableLaw, ControlLaw, Webbing
from controlkit.mechanics.harness.loop import Loop
from controlkit.mechanics.harness.suspension import Suspension, suspend
from controlkit.sources import source
from controlkit.units import deg, newton

LOAD = source("checkout_axial_load").si
FIRST, RISE = source("flesh_modulus"), source("flesh_stiffening")
SOFT = Skin(flesh_modulus=1e3 * 0.22, flesh_stiffening=RISE.si_low)
HARD = Skin(flesh_modulus=FIRST.si_high, flesh_stiffening=RISE.si_high)
PEOPLE = {
    "small woman": Wearer.at_percentile("female", 5),
    "average man": Wearer.average("male"),
    "very large man": Wearer.measured("male", stature=1.93, mass=130.0),
}

flesh_of = st.builds(
    lambda most, press, modulus, rise: Flesh(np.array([most]), np.array([press]), modulus, rise),
    st.floats(1e-4, 0.1),
    st.floats(1.0, 5_000.0),
    st.floats(200.0, 1e6),
    st.floats(0.0, 1e6),
)


def test_it_gives_under_an_indenter_as_limbs_were_measured_to() -> None:
    """Secant modulus over strain: the first modulus, rising as measured; the bone adds a tenth at a tenth of strain."""
    skin = Skin()
    assert FIRST.si_low < skin.flesh_modulus < FIRST.si_high
    assert RISE.si_low < skin.flesh_stiffening < RISE.si_high
    assert SOFT.flesh_modulus == pytest.approx(FIRST.si_low)
    flesh = Flesh(np.ones(1), np.ones(1), skin.flesh_modulus, skin.flesh_stiffening)
    pressure = np.array([1.0, 1e3, 5e3])
    strain = np.array([float(flesh.sinks(np.array([p]))[0][0]) for p in pressure])
    measured = skin.flesh_modulus + skin.flesh_stiffening * strain
    assert np.allclose(pressure / strain * (1.0 - strain), measured, rtol=1e-9)
    assert 0.05 < strain[-1] < 0.12


@given(flesh_of, st.floats(0.0, 2_000.0), st.floats(10.0, 1e7))
def test_what_a_part_in_series_bears_is_the_root_of_its_equation(flesh: Flesh, load: float, stiffness: float) -> None:
    tension, rate = flesh.eased(np.array([load]), np.array([stiffness]))
    sunk, _ = flesh.sinks(tension)
    assert 0.0 <= tension[0] <= load
    assert float((tension + stiffness * sunk)[0]) == pytest.approx(load, rel=1e-6, abs=1e-6)
    assert 0.0 < rate[0] <= 1.0
    assert 0.0 <= sunk[0] < flesh.most[0]  # nothing is pressed through bone


@given(flesh_of, st.floats(0.1, 1_000.0))
def test_it_stiffens_all_the_way(flesh: Flesh, tension: float) -> None:
    pull = tension * np.array([0.999, 1.0, 1.001])
    sunk, rate = np.array([[float(part[0]) for part in flesh.sinks(np.array([one]))] for one in pull]).T
    assert np.all(np.diff(sunk) > 0.0)
    assert np.all(np.diff(rate) <= 1e-12 * rate[0])
    assert (sunk[2] - sunk[0]) / (pull[2] - pull[0]) == pytest.approx(rate[1], rel=1e-4)


def test_soft_enough_and_even_it_is_a_spring() -> None:
    """No rise and little pressure: shortening by tension, curvature squared and thickness over modulus."""
    flesh = Flesh(np.array([0.03]), np.array([300.0]), 60e3, 0.0)
    assert float(flesh.sinks(np.array([1e-3]))[0][0]) == pytest.approx(0.03 * 300.0 * 1e-3 / 60e3, rel=1e-5)


@given(flesh_of, st.floats(0.5, 500.0))
def test_webbing_stretches_by_the_inverse_of_its_pull(flesh: Flesh, tension: float) -> None:
    strap = Webbing(np.array([0.5]), np.array([30_000.0]), flesh=flesh)
    extension, rate = strap.stretch(np.array([tension]))
    again, back = strap.pull(strap.free + extension)
    assert float(again[0]) == pytest.approx(tension, rel=1e-6)
    assert float(rate[0] * back[0]) == pytest.approx(1.0, rel=1e-5)


@given(flesh_of, st.floats(0.0, 0.2))
def test_a_cable_in_series_pulls_ever_harder_and_travels_what_is_left(flesh: Flesh, extension: float) -> None:
    law = CableLaw(stiffness=20_000.0, start=30.0, rise=300.0, full=42.0)
    cable = ControlLaw.of([law], snug=np.array([0.4]), flesh=flesh)
    length = np.array([0.4 + extension])
    tension, rate = cable.pull(length)
    step = 1e-7
    assert float(cable.pull(length + step)[0][0] - tension[0]) == pytest.approx(
        float(rate[0]) * step, rel=1e-2, abs=1e-7
    )
    assert rate[0] >= 0.0
    if tension[0] > 0.0:
        left = extension - float(cable.stretch(tension)[0])
        assert float(cable.travel(length)[0]) == pytest.approx(max(left, 0.0), abs=1e-12)


@given(flesh_of, st.floats(0.05, 20.0), st.floats(1e-6, 0.08), st.floats(1.0, 6.0))
def test_a_loop_slides_where_its_tensions_have_the_largest_ratio(
    flesh: Flesh, wide: float, stretched: float, ratio: float
) -> None:
    """Whatever it lies on: pulled on one side until it slides, one leg bears as much more as friction allows."""
    under = replace(flesh, most=np.stack([flesh.most, wide * flesh.most]), press=np.stack([flesh.press] * 2))
    legs = Webbing(np.full((2, 1), 0.3), np.full((2, 1), 40_000.0), flesh=under)
    length = np.array([[0.3 + stretched], [0.3]])
    loop = Loop(legs, np.array([-1]), donned=np.zeros(1), ratio=np.array([ratio]))
    for again in (length, length + 1e-3, length):  # wherever its search for the limit starts from
        creep = loop.creep(again)
    assert creep.slips[0]
    assert creep.pushed[0]
    over, less = legs.pull(length + np.array([-1.0, 1.0])[:, None] * creep.crept)[0]
    assert float(over[0]) == pytest.approx(ratio * float(less[0]), rel=1e-5)


@cache
def _held(who: str, skin: Skin, load: float = LOAD) -> Suspension:
    harness = figure_of_eight(PEOPLE[who], skin=skin)
    return suspend(harness, SingleControl(harness).law, load)


@pytest.mark.parametrize("who", PEOPLE)
def test_firmer_flesh_lets_down_less(who: str) -> None:
    """Soft as the softest measured it carries the load nowhere within reach; hard as the hardest it still gives."""
    slips = [_held(who, skin).slip for skin in (SOFT, Skin(), HARD, Skin(flesh=0.0))]
    assert slips == sorted(slips, reverse=True)
    assert slips[2] > 1.2 * slips[3]


@pytest.mark.parametrize("who", PEOPLE)
def test_flesh_over_bone_ends_stiffer_than_it_begins(who: str) -> None:
    """What the flesh adds to the slip, straps that hardly stretch: the second half of the load far less."""
    stiff = Straps(elastic_reach=0.0, webbing=1e6)
    more = []
    for load in (newton(111), newton(222)):
        slips = []
        for skin in (Skin(), Skin(flesh=0.0)):
            harness = figure_of_eight(PEOPLE[who], skin=skin, straps=stiff)
            slips.append(suspend(harness, SingleControl(harness).law, load).slip)
        more.append(slips[0] - slips[1])
    assert 0.0 < more[1] - more[0] < 0.6 * more[0]


def test_none_is_no_flesh() -> None:
    """A thickness of nothing, and flesh of steel, come to the same."""
    steel = replace(Skin(), flesh_modulus=1e7, flesh_stiffening=1e8)
    none, hard = (SingleControl(figure_of_eight(PEOPLE["average man"], skin=skin)) for skin in (Skin(flesh=0.0), steel))
    assert hard.at(arm_flexion=deg(60)).harness_force == pytest.approx(
        none.at(arm_flexion=deg(60)).harness_force, abs=0.2
    )
    assert NONE.eased(np.array([5.0]), np.array([1.0]))[0][0] == 5.0
