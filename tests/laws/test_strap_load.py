"""What straps press on the skin: against a circle, and added up along a whole strap."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from controlkit.mechanics import SingleControl, Wearer, figure_of_eight
from controlkit.mechanics.harness import Skin, Straps, chest_strap
from controlkit.mechanics.harness.motion import Followed
from controlkit.mechanics.harness.pressure import _curvature as curvature
from controlkit.mechanics.harness.pressure import strap_loads
from controlkit.units import deg, mm

FREE = Skin(loop_friction=0.0)


def _found(sex: str = "male", **more: object) -> Followed:
    return SingleControl(figure_of_eight(Wearer.average(sex), **more)).sweep([deg(60)]).guess  # type: ignore[arg-type]


@given(radius=st.floats(0.02, 0.5), turn=st.floats(0.5, 3.0))
def test_curvature_of_a_circle(radius: float, turn: float) -> None:
    at = np.linspace(0.0, turn, 9)
    circle = radius * np.stack([np.cos(at), np.sin(at), 0.0 * at], axis=1)
    assert curvature(circle) == pytest.approx(1.0 / radius, rel=1e-9)


@pytest.mark.parametrize("sex", ["female", "male"])
def test_the_loads_of_a_loop_add_up_to_what_its_ends_pull(sex: str) -> None:
    """A strap without friction: what it presses on the body is what its two ends pull, all directions counted."""
    found = _found(sex, skin=FREE)
    at = found.asked[0]
    load = strap_loads(found, at)["axilla loop"]
    path = np.concatenate([found.net.nodes[0][at], found.net.nodes[1][at][-2::-1]])
    tension = float(found.net.tension[0, at])
    before, after = path[1:-1] - path[:-2], path[2:] - path[1:-1]
    way = np.linalg.norm(before, axis=1), np.linalg.norm(after, axis=1)
    bend = after / way[1][:, None] - before / way[0][:, None]
    inward = bend / np.maximum(np.linalg.norm(bend, axis=1), 1e-12)[:, None]
    pressed = (load.line_load * 0.5 * (way[0] + way[1]))[:, None] * inward
    ends = tension * (after[-1] / way[1][-1] - before[0] / way[0][0])
    assert np.linalg.norm(pressed.sum(axis=0) - ends) < 0.02 * np.linalg.norm(ends)


def test_the_armpit_bears_most_and_a_wider_strap_halves_pressure_not_load() -> None:
    usual = _found()
    load = strap_loads(usual, usual.asked[0])["axilla loop"]
    assert load.armpit > 0.5 * load.worst
    assert load.armpit > 3.0 * np.median(load.line_load)
    tension = float(usual.net.tension[:2, usual.asked[0]].max())
    assert mm(20) < tension / load.armpit < mm(90)  # the radius that it goes round: the fold of an armpit
    bare = Skin(flesh=0.0)  # under a wider strap flesh gives less, and tensions change with it
    usual, wide = (_found(skin=bare, straps=Straps(width=times * Straps().width)) for times in (1.0, 2.0))
    load = strap_loads(usual, usual.asked[0])["axilla loop"]
    wider = strap_loads(wide, wide.asked[0])["axilla loop"]
    assert wider.armpit == pytest.approx(load.armpit, rel=1e-4)
    assert wider.pressure.max() == pytest.approx(0.5 * load.pressure.max(), rel=1e-4)


@pytest.mark.parametrize("sex", ["female", "male"])
def test_where_the_legs_of_a_loop_meet_the_harder_pull_presses(sex: str) -> None:
    """Friction lets one leg pull harder than the other; what presses where they meet must not be told too low."""
    found = _found(sex)
    at = found.asked[0]
    load, over = strap_loads(found, at)["axilla loop"], found.net.nodes[0][at]
    path = np.concatenate([over, found.net.nodes[1][at][-2::-1]])
    less, more = sorted(found.net.tension[:2, at].tolist())
    assert more > 1.1 * less
    meet = len(over) - 2  # among the inner nodes
    assert load.places[meet] == pytest.approx(over[-1])
    assert load.line_load[meet] == pytest.approx(more * curvature(path)[meet], rel=1e-9)
    assert load.armpit >= load.line_load[meet] > 0.0


def test_harder_pull_harder_press() -> None:
    from controlkit.mechanics import VoluntaryOpening

    harness = figure_of_eight(Wearer.average("female"))
    loads = []
    for bands in (1, 3, 6):
        found = SingleControl(harness, device=VoluntaryOpening(bands=bands)).sweep([deg(60)]).guess
        loads.append(strap_loads(found, found.asked[0])["axilla loop"].armpit)
    assert loads == sorted(loads)
    assert loads[2] > 2.0 * loads[0]


def test_a_slack_strap_presses_nothing_and_a_narrow_leg_is_narrow() -> None:
    found = _found()
    loads = strap_loads(found, found.asked[0])
    assert loads["anterior support strap"].worst < 1.0
    assert loads["inner leg of the inverted Y"].width == Straps().narrow
    assert loads["axilla loop"].width == Straps().width


def test_a_chest_strap_spreads_its_load_over_flatter_ground() -> None:
    chest = chest_strap(Wearer.average("male"))
    found = SingleControl(replace(chest, skin=FREE)).sweep([deg(30)]).guess
    load = strap_loads(found, found.asked[0])["chest strap"]
    tension = float(found.net.tension[:2, found.asked[0]].max())
    side = load.places[:, 2] < 0.0  # near the saddle the strap turns over its edge
    usual = _found(skin=FREE)
    loop = strap_loads(usual, usual.asked[0])["axilla loop"]
    radius = tension / load.line_load[side].max()
    assert radius > 1.1 * float(usual.net.tension[:2, usual.asked[0]].max()) / loop.armpit  # flatter than an armpit


def test_a_laid_strap_parts_its_pull_into_what_presses_and_what_friction_holds() -> None:
    """All directions counted, both together are what its ends pull: no force is lost on the way."""
    found = SingleControl(chest_strap(Wearer.average("female"), skin=FREE)).sweep([deg(60)]).guess
    at = found.asked[0]
    load, path = (
        strap_loads(found, at)["chest strap"],
        np.concatenate([found.net.nodes[0][at], found.net.nodes[1][at][-2::-1]]),
    )
    tension = float(found.net.tension[0, at])
    assert tension == pytest.approx(found.net.tension[1, at], rel=1e-6)
    way = np.diff(path, axis=0) / np.linalg.norm(np.diff(path, axis=0), axis=1)[:, None]
    turned = tension * np.linalg.norm(np.diff(way, axis=0), axis=1)
    assert np.hypot(load.across, load.pressing) == pytest.approx(turned, abs=0.02 * tension)
    assert load.across.sum() > 0.0
    assert load.holds(10.0)
    assert not load.holds(0.01)
