"""Spaulding S. Upper Limb Prosthetics and Orthotics: Techniques, chapters 5 and 15c, on the model.

Its rules of harness geometry are words and inches: ring an inch below C7 and an inch to the sound side, control
strap over the distal third of the scapula, anterior strap through the deltopectoral groove. Here they are looked for
where the model's straps run. The built body has no bones under its skin, so the scapula is laid on it:

- von Schroeder HP and others. Osseous anatomy of the scapula. Clin Orthop Relat Res 2001: length 155 mm, SD 16.
- Cooperstein R, Haneline M, Young M. Chiropr Man Therap 2015;23:7: inferior angle level with T8.
- Posture-assessment pages that cite Kendall: medial border 5 cm from the midline, superior angle at the second rib.
- Brown University, anatomy laboratory guide: the deltoid arises from the lateral third of the clavicle.

From T2 to T8 are six levels, as long as the scapula; two such levels lie above it. That puts the average scapula
between 52 and 207 mm under C7, its lower third from 155 mm on. The scapula that the course lays on a back grows with
stature and begins at the second rib: `controlkit.mechanics.body.scapula`.
"""

from __future__ import annotations

import numpy as np
import pytest

from controlkit.mechanics import Pose, Pull, SingleControl, Wearer, crossing, figure_of_eight, scapula
from controlkit.mechanics.body.placed import place
from controlkit.mechanics.body.remembered import built
from controlkit.mechanics.harness import LIMITS
from controlkit.mechanics.harness.outcomes import SPINE
from controlkit.sources import source
from controlkit.units import deg, mm

SEXES = ("female", "male")
INCH_BELOW, INCH_ASIDE = source("ring_below_c7").si, source("ring_to_sound_side").si


def _pull(sex: str, below: float, crossbar: float = 0.55, **angles: float) -> Pull:
    return _pull_of(Wearer.average(sex), below, crossbar, **angles)


def _pull_of(wearer: Wearer, below: float, crossbar: float = 0.55, **angles: float) -> Pull:
    harness = figure_of_eight(wearer, ring_below_c7=below, ring_to_sound_side=INCH_ASIDE, crossbar=crossbar)
    return SingleControl(harness).at(**angles)


def _levels(length: float) -> tuple[float, float, float]:
    """Upper edge of the scapula, upper and lower edge of its lower third, under C7 [m]."""
    first, last = source("scapula_rib_levels").si_low, source("scapula_inferior_angle_level").si
    level = length / (last - first)
    low = last * level
    return first * level, low - source("control_strap_level").si_high * length, low


def test_lower_third_of_the_scapula() -> None:
    top, third, low = _levels(source("scapula_length").si)
    assert [top, third, low] == pytest.approx([mm(51.7), mm(155.1), mm(206.7)], abs=mm(0.1))


@pytest.mark.parametrize("sex", SEXES)
@pytest.mark.parametrize("amputated", ["right", "left"])
def test_textbook_inch_and_lower_third_agree(sex: str, amputated: str) -> None:
    """From an inch below C7 and an inch aside the strap leaves the scapula where its lower third begins.

    It comes over the medial border in the upper half and runs down and outward. How near the lateral border's crossing
    comes to the lower third lies well within one SD of a scapula's length.
    """
    wearer = Wearer.average(sex, amputated=amputated)
    over = crossing(wearer, _pull_of(wearer, INCH_BELOW).straps["control attachment strap"])
    bones, spread = scapula(wearer), source("scapula_length").si_sd
    assert bones.top < over.medial < bones.middle < over.lateral
    assert over.lateral == pytest.approx(bones.third, abs=0.6 * spread)


@pytest.mark.parametrize("sex", SEXES)
def test_a_ring_110_mm_below_c7_is_no_practice(sex: str) -> None:
    """The whole strap then lies in the lower part of the scapula; nobody fits that, the strap is lowered otherwise."""
    wearer = Wearer.average(sex)
    over = crossing(wearer, _pull_of(wearer, mm(110)).straps["control attachment strap"])
    bones = scapula(wearer)
    assert bones.third < over.lateral < bones.tip
    assert over.medial > bones.middle + mm(20)


@pytest.mark.parametrize("sex", SEXES)
def test_textbook_anterior_strap_in_the_deltopectoral_groove(sex: str) -> None:
    """With the textbook's ring the strap comes over the front where the groove begins; a lower ring draws it outward.

    The groove begins at the inner edge of the deltoid, two thirds along the clavicle. There it must lie under the
    strap's width of an inch, or right beside it: on the straight clavicle of the model it runs 10 mm (woman) and 15 mm
    (man) outside, half a strap's width being 13 mm.
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
    assert outside == sorted(outside)
    assert mm(9) < outside[0] < mm(16)  # outside the beginning of the groove on this body, and said so


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
    """Both scapulae drawn forward give more than the amputated side's alone: the loop anchors the ring."""
    one = _pull(sex, mm(80), scapular_abduction=deg(25)).excursion.captured
    both = _pull(sex, mm(80), scapular_abduction=deg(25), sound_scapular_abduction=deg(25)).excursion.captured
    assert both > one + mm(5)
