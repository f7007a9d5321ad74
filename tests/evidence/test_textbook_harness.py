"""Spaulding S. Upper Limb Prosthetics and Orthotics: Techniques, chapters 5 and 15c, on the model.

Its rules of harness geometry are words and inches: ring an inch below C7 and an inch to the sound side, control
strap over the distal third of the scapula, anterior strap through the deltopectoral groove. Here they are looked for
where the model's straps run. The built body has no bones under its skin, so the scapula is laid on it:

- von Schroeder HP and others. Osseous anatomy of the scapula. Clin Orthop Relat Res 2001: length 155 mm, SD 16.
- Cooperstein R, Haneline M, Young M. Chiropr Man Therap 2015;23:7: inferior angle level with T8.
- Posture-assessment pages that cite Kendall: medial border 5 cm from the midline, superior angle at the second rib.
- Brown University, anatomy laboratory guide: the deltoid arises from the lateral third of the clavicle.

From T2 to T8 are six levels, as long as the scapula; two such levels lie above it. That puts the average scapula
between 52 and 207 mm under C7, its lower third from 155 mm on. A scapula one SD shorter has it from 139 to 185 mm.
"""

from __future__ import annotations

import numpy as np
import pytest

from controlkit.mechanics import Pose, Pull, SingleControl, Wearer, figure_of_eight
from controlkit.mechanics.body.placed import place
from controlkit.mechanics.body.remembered import built
from controlkit.mechanics.harness import LIMITS
from controlkit.mechanics.harness.outcomes import SPINE
from controlkit.sources import source
from controlkit.units import deg, mm

SEXES = ("female", "male")
INCH_BELOW, INCH_ASIDE = source("ring_below_c7").si, source("ring_to_sound_side").si
ACROSS = mm(1) * np.arange(50, 91)
"""From the medial border outward over the blade, which narrows downwards [m]."""


def _pull(sex: str, below: float, crossbar: float = 0.55, **angles: float) -> Pull:
    harness = figure_of_eight(
        Wearer.average(sex), ring_below_c7=below, ring_to_sound_side=INCH_ASIDE, crossbar=crossbar
    )
    return SingleControl(harness).at(**angles)


def _levels(length: float) -> tuple[float, float, float]:
    """Upper edge of the scapula, upper and lower edge of its lower third, under C7 [m]."""
    first, last = source("scapula_rib_levels").si_low, source("scapula_inferior_angle_level").si
    level = length / (last - first)
    low = last * level
    return first * level, low - source("control_strap_level").si_high * length, low


def _crossing(sex: str, pull: Pull) -> np.ndarray:
    """How far under C7 the control strap runs, over the blade of the amputated side [m]."""
    wearer = Wearer.average(sex)
    run = pull.straps["control attachment strap"]
    order = np.argsort(run[:, 2])
    assert source("scapula_from_midline").si == pytest.approx(ACROSS[0])
    height = np.interp(ACROSS, run[order, 2], run[order, 1])
    return np.asarray(wearer.cervicale_height - wearer.suprasternale_height - height)


def test_lower_third_of_the_scapula() -> None:
    top, third, low = _levels(source("scapula_length").si)
    assert [top, third, low] == pytest.approx([mm(51.7), mm(155.1), mm(206.7)], abs=mm(0.1))


@pytest.mark.parametrize("sex", SEXES)
def test_textbook_control_strap_over_the_lower_third_of_the_scapula(sex: str) -> None:
    """A ring some 110 mm below C7 does it, with the crossbar well down the arm: the course's usual placement.

    Within the spread of scapulae (one SD either way) the whole crossing lies in the lower third.
    """
    spread = source("scapula_length")
    thirds = [_levels(spread.si + k * spread.si_sd)[1:] for k in (-1.0, 0.0, 1.0)]
    highest, lowest = thirds[0][0], thirds[-1][1]
    for crossbar in (0.6, 0.7):
        under = _crossing(sex, _pull(sex, mm(110), crossbar))
        assert highest < under.min() < under.max() < lowest
        assert under.mean() > thirds[1][0]  # most of it over the lower third of an average blade


@pytest.mark.parametrize("sex", SEXES)
def test_textbook_inch_below_c7_does_not_reach_the_lower_third(sex: str) -> None:
    """Two rules of one chapter that a straight strap cannot both keep: from an inch below C7 it runs too high.

    It crosses upper and middle third, even of a scapula one SD shorter than the average.
    """
    spread = source("scapula_length")
    for crossbar in (0.4, 0.55, 0.7):
        under = _crossing(sex, _pull(sex, INCH_BELOW, crossbar))
        assert under.min() > _levels(spread.si)[0]  # it does cross the blade
        assert under.max() < _levels(spread.si - spread.si_sd)[1]


@pytest.mark.parametrize("sex", SEXES)
def test_textbook_anterior_strap_in_the_deltopectoral_groove(sex: str) -> None:
    """With the textbook's ring the strap comes over the front where the groove begins; a lower ring draws it outward.

    The groove begins at the inner edge of the deltoid, two thirds along the clavicle. There it must lie under the
    strap's width of an inch. With the ring 110 mm below C7 the strap runs 11 mm (woman) and 13 mm (man) outside it.
    """
    shape = built(Wearer.average(sex))
    inner, outer = shape.clavicle[0], shape.clavicle_tip[0]
    groove = inner + source("deltoid_origin_on_clavicle").si_low * (outer - inner)
    outside = []
    for below in (INCH_BELOW, mm(60), mm(110)):
        run = _pull(sex, below).straps["anterior support strap"]
        front = run[(run[:, 0] > 0.0) & (run[:, 1] < outer[1] + mm(30))]
        order = np.argsort(-front[:, 1])
        outside.append(float(np.interp(-groove[1], -front[order, 1], front[order, 2])) - groove[2])
        # below, it stays in front of the arm, short of the deltoid's outer side
        joint = place(shape, np.zeros(1, dtype=np.intp), [Pose()]).joint[0, 0]
        lower = front[front[:, 1] < groove[1]]
        assert (lower[:, 0] > mm(20)).all()
        assert (lower[:, 2] < joint[2] + shape.deltoid[0]).all()
    half = source("strap_width_main").si / 2
    assert outside == sorted(outside)
    assert -half < outside[0] < half
    assert -half < outside[1] < half


@pytest.mark.parametrize("sex", SEXES)
def test_textbook_ring_position_sets_loop_and_control_path(sex: str) -> None:
    """Further to the sound side: a smaller loop; lower: the control strap turns further below the shoulder."""
    wearer = Wearer.average(sex)
    loops = []
    for aside in (mm(15), INCH_ASIDE, mm(50)):
        pull = SingleControl(figure_of_eight(wearer, ring_below_c7=mm(60), ring_to_sound_side=aside)).at()
        loops.append(float(np.linalg.norm(np.diff(pull.straps["axilla loop"], axis=0), axis=1).sum()))
    assert loops == sorted(loops, reverse=True)
    lower = (INCH_BELOW, mm(60), mm(110))
    swings = [_pull(sex, below, arm_flexion=deg(60)).excursion.generated for below in lower]
    assert swings == sorted(swings)


@pytest.mark.parametrize("sex", SEXES)
def test_textbook_ring_on_the_spine_is_said(sex: str) -> None:
    """Common practice: off the spine, so that the spinous process is not rubbed."""
    on, off = (
        SingleControl(figure_of_eight(Wearer.average(sex), ring_below_c7=INCH_BELOW, ring_to_sound_side=aside)).at()
        for aside in (0.0, INCH_ASIDE)
    )
    (said,) = (state for state in on.states if state.code == "ring-on-spine")
    assert said.values["aside"] < SPINE < INCH_ASIDE
    assert "ring-on-spine" not in {state.code for state in off.states}


def test_textbook_inch_is_within_what_a_fitter_may_ask() -> None:
    for name, value in (("ring_below_c7", INCH_BELOW), ("ring_to_sound_side", INCH_ASIDE)):
        low, high = LIMITS[name]
        assert low < value < high


@pytest.mark.parametrize("sex", SEXES)
def test_textbook_axilla_loop_captures_scapular_motion(sex: str) -> None:
    """Both shoulder blades drawn forward give more than the amputated side's alone: the loop anchors the ring."""
    one = _pull(sex, mm(80), scapular_abduction=deg(25)).excursion.captured
    both = _pull(sex, mm(80), scapular_abduction=deg(25), sound_scapular_abduction=deg(25)).excursion.captured
    assert both > one + mm(5)
