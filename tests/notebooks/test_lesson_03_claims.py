"""What lesson 3 says in words is what the model computes."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import nbformat
import numpy as np
import pytest

from controlkit.mechanics import Pull, SingleControl, Wearer, crossing, figure_of_eight, reach, scapula
from controlkit.mechanics.body.remembered import stand
from controlkit.mechanics.states import State
from controlkit.mechanics.surface import Field
from controlkit.sources import source
from controlkit.units import deg, mm

COURSE = Path(__file__).resolve().parents[2] / "course"
ELBOW = deg(90)
BOTH: Any = {"scapular_abduction": deg(20), "sound_scapular_abduction": deg(20)}
CONTROL = "control attachment strap"


def _at(angle: float, wearer: Wearer, scapulae: bool = False, **harness: Any) -> Pull:
    system = SingleControl(figure_of_eight(wearer, **harness))
    return system.at(arm_flexion=deg(angle), elbow_flexion=ELBOW, **(BOTH if scapulae else {}))


def _reach(wearer: Wearer, scapulae: bool = False, **harness: Any) -> float:
    """Arm flexion from which on the hook is fully open [deg]."""
    system = SingleControl(figure_of_eight(wearer, **harness))
    motion = system.sweep(np.deg2rad(np.arange(0, 91, 5)), elbow_flexion=ELBOW, **(BOTH if scapulae else {}))
    return float(np.interp(motion.required[0], motion.captured, np.rad2deg(motion.arm_flexion)))


@pytest.fixture(scope="module")
def maren() -> Wearer:
    """The baker of the lesson."""
    return Wearer.average("female", amputated="right", name="Maren")


def test_maren_has_a_problem_that_both_scapulae_solve(maren: Wearer) -> None:
    """At 30 degrees a third is open, fully from nearly 70 on; by biscapular abduction before 30, a low ring 12 less."""
    bowl = _at(30, maren)
    assert bowl.limited_by == "excursion"
    assert bowl.opening / SingleControl(figure_of_eight(maren)).device.full_opening == pytest.approx(1 / 3, abs=0.02)
    alone = _reach(maren)
    assert 66 < alone < 70
    assert alone - _reach(maren, ring_below_c7=mm(60)) == pytest.approx(12, abs=1)
    assert 25 < _reach(maren, scapulae=True) < 30


def test_a_held_hook_opens_half_and_further_with_a_lower_strap(maren: Wearer) -> None:
    """At the table, fingertips held, both scapulae forward on command."""

    def commanded(**harness: Any) -> float:
        (table,) = (r for r in reach(SingleControl(figure_of_eight(maren, **harness))) if r.position == "table")
        assert table.kept_still
        return table.on_command.opening / SingleControl(figure_of_eight(maren)).device.full_opening

    practice = commanded()
    assert 0.4 < practice < 0.65
    assert commanded(cross_back=0.0) > practice + 0.1
    assert commanded(ring_below_c7=mm(60)) > practice + 0.1


def test_lower_ring_more_excursion_and_more_moment_at_small_angles(maren: Wearer) -> None:
    """Both laws hold the same moment arm, at 30 degrees; at 75 the arm is nearly the same wherever the ring lies."""
    rings = [SingleControl(figure_of_eight(maren, ring_below_c7=mm(below))) for below in (25, 40, 60, 110)]
    little, far = zip(*(ring.sweep([deg(30), deg(75)], elbow_flexion=ELBOW).pulls for ring in rings), strict=True)
    assert np.all(np.diff([p.excursion.captured for p in little]) > mm(2))
    assert [p.moment_arm for p in little] == pytest.approx([mm(48), mm(51), mm(59), mm(81)], abs=mm(1))
    assert np.all(np.diff([p.harness_force * p.moment_arm for p in little]) > 0.1)
    arms = [p.moment_arm for p in far]
    assert max(arms[:3]) - min(arms) < mm(2)
    assert arms[3] - arms[0] < 0.2 * (little[3].moment_arm - little[0].moment_arm)
    kept = [p.excursion.captured for p in far]  # what a lower ring has gained by then stays gained
    assert kept[2] - kept[0] > little[2].excursion.captured - little[0].excursion.captured


def test_far_flexed_the_strap_leaves_the_skin_at_one_place(maren: Wearer) -> None:
    """As from a pulley: its free end passes the shoulder alike for all rings at 75 degrees, not at 30."""

    def free_arm(angle: float, below: float) -> float:
        strap = _at(angle, maren, ring_below_c7=mm(below)).straps[CONTROL]
        pose = _at(angle, maren).pose
        along = (strap[-1] - strap[-2]) / np.linalg.norm(strap[-1] - strap[-2])
        from_joint = strap[-1] - stand(maren, pose).joint[0, 0]
        return abs(float(from_joint[0] * along[1] - from_joint[1] * along[0]))

    spread = {angle: np.ptp([free_arm(angle, below) for below in (25, 60, 110)]) for angle in (30, 75)}
    assert spread[75] < mm(2)
    assert spread[30] > mm(25)


def test_two_shares_stay_apart(maren: Wearer) -> None:
    """The weight asks more than all straps; a lower ring raises both shares, the shoulder's by more."""
    high, low = (_at(30, maren, ring_below_c7=mm(below)) for below in (25, 60))
    for pull in (high, low):
        assert pull.shoulder_moment.weight > pull.shoulder_moment.of_straps > pull.harness_force * pull.moment_arm
    assert low.shoulder_share - high.shoulder_share > low.cable_share - high.cable_share > 0.005
    assert high.shoulder_moment.total == pytest.approx(high.shoulder_share * high.flexion_strength)


def test_the_tape_finds_the_moment_arm(maren: Wearer) -> None:
    """Growth of the path over the angle, five degrees to each side."""
    before, here, after = (_at(angle, maren) for angle in (25, 30, 35))
    growth = after.excursion.generated - before.excursion.generated
    assert growth / deg(10) == pytest.approx(here.moment_arm, rel=0.02)


def test_the_worked_numbers_are_those_of_the_tape_and_of_the_ring(maren: Wearer) -> None:
    """As the text prints them: growth and angle, their quotient, the moment, the pull shared by two ends of a loop."""
    path = COURSE / "03-figure-of-eight.ipynb"
    text = {cell.id: cell.source for cell in nbformat.read(path, as_version=4).cells}
    before, after = (_at(angle, maren).excursion.generated for angle in (25, 35))
    growth = 1000 * (after - before)
    for number in (f"{1000 * before:.1f}", f"{1000 * after:.1f} mm", f"{growth:.2f} mm", f"{10 / 57.3:.4f}"):
        assert number in text["explain-arm"]
    assert f"= {growth / (10 / 57.3):.1f} mm" in text["explain-arm"]
    assert f"it would be {growth / 10:.1f} mm" in text["explain-arm"]
    arm = _at(30, maren).moment_arm
    assert f"50 N at {1000 * arm:.0f} mm" in text["explain-price"]
    assert f"= {50 * arm:.1f} N m" in text["explain-price"]
    assert f"cos 45° = {math.cos(deg(45)):.3f}" in text["explain-split"]
    assert f"60 N / (2 · 0.707) = {60 / (2 * 0.707):.1f} N" in text["explain-split"]
    assert 60 / (2 * math.cos(deg(60))) == pytest.approx(60)


def test_the_growth_in_try_is_that_of_the_model() -> None:
    man = Wearer.average("male", amputated="right")
    before, after = (_at(angle, man, ring_below_c7=mm(45)).excursion.generated for angle in (20, 50))
    path = COURSE / "03-figure-of-eight.ipynb"
    text = {cell.id: cell.source for cell in nbformat.read(path, as_version=4).cells}
    assert f"**{1000 * (after - before):.1f} mm**" in text["try"]
    assert f"mm({1000 * (after - before):.1f}) / deg(30)" in text["try-check"]


def test_work_is_the_same_on_both_sides(maren: Wearer) -> None:
    """T dl = M dtheta over a small angle, with the ring held."""
    before, here, after = (_at(angle, maren, ring_below_c7=mm(40)) for angle in (44.5, 45, 45.5))
    growth = after.excursion.generated - before.excursion.generated
    assert 50 * growth == pytest.approx(50 * here.moment_arm * deg(1), rel=0.01)


def test_forces_on_the_ring_balance(maren: Wearer) -> None:
    """Along the skin straps and skin balance; what is left presses the ring onto the back."""
    pull = _at(60, maren)
    left = np.sum([force for name, force in pull.ring_forces.items() if name != "back"], axis=0)
    surface = Field(stand(maren, pull.pose).surface, np.zeros(1, dtype=np.intp))
    _, gradient = surface.slope(pull.ring[:, None])
    outward = gradient[:, 0] / np.linalg.norm(gradient)
    pressing = -float(left @ outward)
    assert pressing > 0.0
    # strap directions are those of the first chord of a strap, which bends a little with the back
    assert np.linalg.norm(left + pressing * outward) < 0.005 * pull.harness_force
    assert pull.strap_tension["axilla loop"] != pytest.approx(pull.harness_force, rel=0.05)


def test_what_is_lost_adds_up(maren: Wearer) -> None:
    """Ring, tissue, pad and stretch each take some; nothing hangs slack while the strap is just snug."""
    for angle in (30, 60, 90):
        three = _at(angle, maren).excursion
        assert sum(three.lost.values()) == pytest.approx(three.generated - three.captured, abs=mm(0.1))
        assert min(three.lost[where] for where in ("ring", "tissue", "pad", "stretch")) > mm(1)
        assert three.lost["slack"] < mm(0.1)


def test_slack_costs_and_taking_in_generates_nothing(maren: Wearer) -> None:
    """Let out: lost one for one, nearly. Taken in 10 mm: shut, but it pulls all day; 20 mm: open at rest."""
    snug, loose = (_at(90, maren, control_strap=mm(out)) for out in (0, 20))
    assert snug.excursion.captured - loose.excursion.captured == pytest.approx(mm(20), abs=mm(4))
    rest, taken, more = (_at(0, maren, control_strap=mm(out)) for out in (0, -10, -20))
    assert rest.harness_force < 1.0
    assert taken.harness_force == pytest.approx(20.0, abs=4.0)
    assert taken.opening < mm(0.01) < mm(4) < more.opening
    assert taken.axilla_line_load > 300.0
    (said,) = (state for state in more.states if state.code == "open-at-rest")
    assert said.values["travel"] == pytest.approx(more.travel, abs=mm(0.5))  # at rest the elbow is straight
    taken_in = _at(90, maren, control_strap=mm(-10)).excursion
    assert taken_in.generated == pytest.approx(snug.excursion.generated, rel=1e-6)
    assert taken_in.captured < taken_in.generated
    gained = taken_in.captured - snug.excursion.captured
    assert 0.0 < gained < mm(10), "the give of what is loaded already, not the strap's length"


def test_support_strap_is_slack_without_a_load_and_tightens_with_the_scapula(maren: Wearer) -> None:
    """Nothing pulls the prosthesis down in this lab; a scapula that comes forward draws the strap."""
    assert State.of("strap-slack", strap="anterior support strap") in _at(60, maren).states
    one = SingleControl(figure_of_eight(maren)).at(elbow_flexion=ELBOW, scapular_abduction=deg(20))
    assert one.strap_tension["anterior support strap"] > 20.0


WEARERS = {
    "Maren": Wearer.average("female", amputated="right"),
    "small woman": Wearer.at_percentile("female", 5),
    "average man": Wearer.average("male"),
    "very large man": Wearer.measured("male", stature=1.93, mass=130.0),
}


@pytest.mark.parametrize("who", WEARERS)
def test_both_rules_are_one_placement(who: str) -> None:
    """Over the medial border in the upper half, over the lateral one where the lower third begins or a little above."""
    wearer = WEARERS[who]
    over, bone = crossing(wearer, _at(0, wearer).straps[CONTROL]), scapula(wearer)
    assert bone.top < over.medial < bone.middle < over.lateral
    above = bone.third - over.lateral
    assert mm(1.5) < above < (mm(8) if who != "very large man" else mm(17))
    assert above < source("scapula_length").si_sd


@pytest.mark.parametrize("who", WEARERS)
def test_neither_much_higher_nor_much_lower(who: str) -> None:
    """At 10 mm straps lie on the neck, at 25 mm not; at 110 mm all lies low and the ring rides up."""
    wearer = WEARERS[who]
    on_neck = {below: _at(0, wearer, ring_below_c7=mm(below)).states for below in (10, 25)}
    assert "strap-on-neck" in {state.code for state in on_neck[10]}
    assert "strap-on-neck" not in {state.code for state in on_neck[25]}
    low, forward = _at(0, wearer, ring_below_c7=mm(110)), _at(30, wearer, scapulae=True, ring_below_c7=mm(110))
    assert crossing(wearer, low.straps[CONTROL]).medial > scapula(wearer).middle + mm(15)
    assert forward.ring[1] - low.ring[1] > mm(15)
    if who == "Maren":
        here = _at(30, wearer, scapulae=True)
        assert abs(here.ring[1] - _at(0, wearer).ring[1]) < mm(3)
        assert "strap-on-neck" in {state.code for state in here.states}


def test_a_cross_back_strap_gains_with_both_scapulae_and_spares_no_force(maren: Wearer) -> None:
    """A millimetre or two by the arm, much with the scapulae; the ring wanders less, loop and shoulder carry more."""
    bare, held = ([_at(30, maren, both, cross_back=strap) for both in (False, True)] for strap in (None, 0.0))
    gain = [
        with_it.excursion.captured - without.excursion.captured for without, with_it in zip(bare, held, strict=True)
    ]
    assert mm(0.5) < gain[0] < mm(2.5)
    assert gain[1] > mm(10)
    assert held[1].ring_travel < bare[1].ring_travel
    assert held[1].harness_force == pytest.approx(bare[1].harness_force, rel=0.01)
    assert held[1].strap_tension["axilla loop"] > 1.5 * bare[1].strap_tension["axilla loop"]
    assert held[1].shoulder_moment.of_straps > 1.2 * bare[1].shoulder_moment.of_straps


def test_practice_is_excursion_as_used() -> None:
    """Flexing the arm alone gives what a survey of single motions printed; with both scapulae practice is reached."""
    practice, survey = source("shoulder_flexion_excursion_practice"), source("arm_flexion_excursion")
    man = Wearer.average("male", amputated="right")
    alone, both = (_at(90, man, scapulae).excursion.captured for scapulae in (False, True))
    assert survey.si - survey.si_sd < alone < survey.si + survey.si_sd
    assert alone < 0.6 * practice.si_low
    assert practice.si_low < both < practice.si_high
