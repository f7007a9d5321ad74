"""What lesson 2 says in words is what the model computes, for women and men."""

from __future__ import annotations

from math import cos, dist, sin
from pathlib import Path

import nbformat
import numpy as np
import pytest

from controlkit.mechanics import Pose, Pull, SingleControl, Strength, Wearer, figure_of_eight, hold_device
from controlkit.mechanics.body.places import joints
from controlkit.mechanics.chain.motions import Apart, take_apart
from controlkit.mechanics.study.drivers import drivers
from controlkit.mechanics.study.population import population
from controlkit.sources import source
from controlkit.units import deg, mm

ELBOW = deg(90)
WEARERS = {
    "yusuf": Wearer.average("male", amputated="left"),
    "small woman": Wearer.at_percentile("female", 5, amputated="left"),
}
BOTH = {"scapular_abduction": deg(20), "sound_scapular_abduction": deg(20)}
ONE_AND_BOTH = {"one": {"scapular_abduction": deg(20)}, "both": BOTH}
SUPPORT, CONTROL, LOOP = "anterior support strap", "control attachment strap", "axilla loop"


@pytest.fixture(scope="module", params=["female", "male"])
def system(request: pytest.FixtureRequest) -> SingleControl:
    """Yusuf's harness, on a man and on a woman of average build."""
    return SingleControl(figure_of_eight(Wearer.average(request.param, amputated="left")))


def _made(system: SingleControl, **degrees: float) -> Apart:
    return take_apart(system, Pose(**{"elbow_flexion": ELBOW, **{name: deg(a) for name, a in degrees.items()}}))


def _held(system: SingleControl, start: Pose, **moved: float) -> Pull:
    return system.over([hold_device(system.harness.wearer, start, **moved).pose])[0]


def test_a_shrug_slackens_and_depression_pulls(system: SingleControl) -> None:
    assert _made(system, shoulder_elevation=20).shares[0].generated < 0
    assert _made(system, shoulder_elevation=-10).shares[0].generated > 0
    assert _made(system, arm_flexion=-20).shares[0].generated < 0
    assert _made(system, arm_abduction=40).shares[0].generated > 0
    crossbar = system.at(elbow_flexion=ELBOW).straps["control attachment strap"][-1]
    assert system.at(elbow_flexion=ELBOW).ring[1] > crossbar[1] + 0.05, "the ring lies higher than the crossbar"


def test_scapula_and_flexion_give_more_than_their_sum_abduction_less(system: SingleControl) -> None:
    scapula = _made(system, arm_flexion=60, scapular_abduction=20)
    assert scapula.pull.excursion.generated > scapula.summed + 0.003
    out = _made(system, arm_flexion=60, arm_abduction=60)
    assert out.pull.excursion.generated < out.summed - 0.010
    shrug = _made(system, arm_flexion=60, shoulder_elevation=20)
    assert shrug.pull.excursion.generated < system.at(arm_flexion=deg(60), elbow_flexion=ELBOW).excursion.generated


def test_why_they_do_not_add(system: SingleControl) -> None:
    """The strap at the crossbar points down with the arm hanging, forward when it is flexed, outward when out."""

    def heading(**degrees: float) -> np.ndarray:
        strap = _made(system, **degrees).pull.straps["control attachment strap"]
        last = strap[-1] - strap[-4]
        return np.asarray(last / np.linalg.norm(last))

    rest, flexed, out = heading(), heading(arm_flexion=60), heading(arm_abduction=60)
    assert -rest[1] > rest[0], "down rather than forward"
    assert flexed[0] > rest[0] + 0.2
    assert abs(out[2]) > abs(rest[2]) + 0.2


def test_flexion_gives_most_and_carries_the_device_and_the_scapula_does_not_leave_it_still(
    system: SingleControl,
) -> None:
    flexed, forward = _made(system, arm_flexion=60), _made(system, scapular_abduction=20)
    assert flexed.shares[0].generated > 1.5 * forward.shares[0].generated
    assert flexed.moved > 5 * forward.moved
    assert forward.moved > 0.040, "little, but not still"
    if system.harness.wearer.sex == "male":
        assert forward.moved == pytest.approx(mm(55), abs=mm(1))


def test_two_roads_to_one_opening(system: SingleControl) -> None:
    """With the scapula forward the same opening needs less flexion, and the device moves less."""

    def needed(scapula: float) -> tuple[float, float]:
        angles = np.arange(0.0, 91.0, 5.0)
        motion = system.sweep(np.deg2rad(angles), elbow_flexion=ELBOW, scapular_abduction=deg(scapula))
        angle = float(np.interp(motion.required[0], motion.captured, angles))
        return angle, _made(system, arm_flexion=angle, scapular_abduction=scapula).moved

    alone, helped = needed(0), needed(20)
    assert alone[0] < 89.0, "the arm alone does it"
    assert helped[0] < alone[0] - 10
    assert helped[1] < alone[1] - 0.05


@pytest.fixture(scope="module", params=list(WEARERS))
def worn(request: pytest.FixtureRequest) -> tuple[str, SingleControl]:
    """Whom the tables of the lesson show: Yusuf and a small woman."""
    return request.param, SingleControl(figure_of_eight(WEARERS[request.param]))


def test_the_second_scapula_adds_little_on_a_small_woman_and_moves_no_device(worn: tuple[str, SingleControl]) -> None:
    """About 9 mm on Yusuf, about 4 on the small woman; the device stays where the first has brought it."""
    who, system = worn
    one, both = (_made(system, arm_flexion=20, scapular_abduction=20, sound_scapular_abduction=b) for b in (0, 20))
    added = both.pull.excursion.captured - one.pull.excursion.captured
    assert added == pytest.approx(mm(9 if who == "yusuf" else 4), abs=mm(0.5))
    assert both.moved == pytest.approx(one.moved, abs=1e-6)


def test_held_still_the_arm_goes_back_and_excursion_is_lost(worn: tuple[str, SingleControl]) -> None:
    """Upper arm and elbow give about ten degrees each; both scapulae still open the hook more than half."""
    _, system = worn
    start = Pose(arm_flexion=deg(20), elbow_flexion=ELBOW)
    held = {name: _held(system, start, **moved) for name, moved in ONE_AND_BOTH.items()}
    for name, moved in ONE_AND_BOTH.items():
        pose, pull = held[name].pose, held[name]
        carried = system.at(arm_flexion=deg(20), elbow_flexion=ELBOW, **moved)
        assert pull.excursion.captured < carried.excursion.captured - 0.008
        assert np.rad2deg(start.arm_flexion - pose.arm_flexion) == pytest.approx(10, abs=1.5)
        assert np.rad2deg(pose.elbow_flexion - start.elbow_flexion) == pytest.approx(11, abs=1.5)
    assert held["both"].excursion.captured > held["one"].excursion.captured + 0.003
    assert 0.5 < held["both"].opening / system.device.opening(system.device.travel) < 0.65


def test_with_the_upper_arm_straight_down_nothing_opens_held(worn: tuple[str, SingleControl]) -> None:
    """So the model falls short of practice near the body, and a shorter control strap brings it nearer."""
    _, system = worn
    start = Pose(elbow_flexion=ELBOW)
    assert _held(system, start, **BOTH).opening < mm(1)
    waist = Pose(arm_abduction=deg(20), elbow_flexion=ELBOW)
    usual = _held(system, waist, **BOTH).opening
    for better in ({"control_strap": -mm(10)}, {"ring_below_c7": mm(60)}):
        other = SingleControl(figure_of_eight(system.harness.wearer, **better))
        assert _held(other, waist, **BOTH).opening > usual + mm(5), better


def test_which_straps_pay(worn: tuple[str, SingleControl]) -> None:
    """At 10 degrees the support strap carries less than the control strap, at 20 more; let out, less again."""
    who, system = worn
    ten = system.at(elbow_flexion=ELBOW, scapular_abduction=deg(10), sound_scapular_abduction=deg(10)).strap_tension
    snug = system.at(elbow_flexion=ELBOW, **BOTH)
    eased, across = (
        SingleControl(figure_of_eight(system.harness.wearer, **changed)).at(elbow_flexion=ELBOW, **BOTH)
        for changed in ({"support_strap": mm(20)}, {"cross_back": 0.0})
    )
    assert ten[SUPPORT] < 0.7 * ten[CONTROL]
    assert snug.strap_tension[SUPPORT] > (3.0 if who == "yusuf" else 1.2) * snug.strap_tension[CONTROL]
    assert eased.strap_tension[SUPPORT] < 0.6 * eased.strap_tension[CONTROL]
    assert eased.excursion.captured > snug.excursion.captured + 0.004
    assert eased.strap_tension[LOOP] < 0.8 * snug.strap_tension[LOOP], "the loop carries less as well"
    assert across.excursion.captured > snug.excursion.captured + 0.004
    assert across.strap_tension[SUPPORT] > snug.strap_tension[SUPPORT], "a cross-back strap does not relieve it"
    assert across.strap_tension[LOOP] > 1.1 * snug.strap_tension[LOOP]
    assert min(pull.axilla_line_load for pull in (snug, eased, across)) > 500.0, "the armpit is loaded in each case"


def test_twenty_degrees_are_45_to_55_mm_at_the_shoulder(worn: tuple[str, SingleControl]) -> None:
    _, system = worn
    assert mm(45) < _made(system, scapular_abduction=20).moved < mm(55.5)


def test_the_shoulder_share_is_mostly_weight_and_leaves_the_scapula_out(worn: tuple[str, SingleControl]) -> None:
    who, system = worn
    flexed, forward = system.at(arm_flexion=deg(60), elbow_flexion=ELBOW), system.at(elbow_flexion=ELBOW, **BOTH)
    assert flexed.shoulder_moment.weight > 1.5 * flexed.shoulder_moment.of_straps
    assert sum(forward.strap_tension[name] for name in (CONTROL, SUPPORT, LOOP)) > 1.2 * sum(
        flexed.strap_tension[name] for name in (CONTROL, SUPPORT, LOOP)
    )
    assert forward.shoulder_share < 0.35 * flexed.shoulder_share
    if who == "small woman":
        man = SingleControl(figure_of_eight(WEARERS["yusuf"])).at(arm_flexion=deg(60), elbow_flexion=ELBOW)
        assert flexed.shoulder_share > 1.2 * man.shoulder_share


def test_excursion_as_used_beside_practice(worn: tuple[str, SingleControl]) -> None:
    """Flexion alone stays below it; with both scapulae Yusuf captures its lower end, the small woman less."""
    who, system = worn
    practice, survey = source("shoulder_flexion_excursion_practice"), source("arm_flexion_excursion")
    alone = system.at(arm_flexion=deg(90), elbow_flexion=ELBOW).excursion
    both = system.at(arm_flexion=deg(90), elbow_flexion=ELBOW, **BOTH).excursion
    assert alone.generated < practice.si_low
    if who == "yusuf":
        assert abs(alone.captured - survey.si) < survey.si_sd
        assert practice.si_low < both.captured < practice.si_low + mm(10)
    else:
        assert both.captured < practice.si_low


def test_a_straight_elbow_takes_the_device_further_for_the_same_excursion(system: SingleControl) -> None:
    bent, straight = (_made(system, arm_flexion=45, elbow_flexion=np.rad2deg(e)) for e in (ELBOW, 0.0))
    assert straight.moved > 1.2 * bent.moved
    assert straight.shares[0].generated == pytest.approx(bent.shares[0].generated, rel=1e-6)


def test_strength_changes_the_share_and_not_the_pull(system: SingleControl) -> None:
    weak = SingleControl(system.harness, strength=Strength(cable=source("user_maximum_force").si_low))
    pull, other = _made(system, arm_flexion=60).pull, _made(weak, arm_flexion=60).pull
    assert other.harness_force == pytest.approx(pull.harness_force)
    assert other.cable_share > 2 * pull.cable_share


def test_the_worked_numbers_are_those_of_cosine_swing_and_share() -> None:
    """As the text prints them: a step askew to the strap; the device's path; one pull as a share of two strengths."""
    path = Path(__file__).resolve().parents[2] / "course" / "02-body-control-motions.ipynb"
    text = {cell.id: cell.source for cell in nbformat.read(path, as_version=4).cells}
    for angle, part in ((0, "1"), (60, "0.5"), (90, "0"), (120, "−0.5")):
        assert f"cos {angle}° = {part}," in text["explain-gives"]
        assert cos(deg(angle)) == pytest.approx(float(part.replace("−", "-")))
    yusuf, swing = WEARERS["yusuf"], text["explain-space"]
    at = joints(yusuf, Pose())
    upper, fore = (1000 * dist(at[one], at[other]) for one, other in (("shoulder", "elbow"), ("elbow", "device")))
    assert f"*a* = {upper:.0f} mm and *b* = {fore:.0f} mm" in swing
    bent, straight, half = (upper**2 + fore**2) ** 0.5, upper + fore, sin(deg(15))
    assert f"√({upper:.0f}² + {fore:.0f}²) = {bent:.0f} mm" in swing
    assert f"{2 * round(bent)} mm · {half:.4f} = {2 * bent * half:.0f} mm" in swing
    assert f"= {straight:.0f} mm, and the device goes {2 * straight * half:.0f} mm" in swing
    system, force = SingleControl(figure_of_eight(yusuf)), text["explain-force"]
    shrugs = ({"arm_flexion": 60.0}, {"arm_flexion": 60.0, "shoulder_elevation": 20.0})
    alone, shrugged = (1000 * _made(system, **angles).pull.excursion.generated for angles in shrugs)
    assert f"flexion alone generates {alone:.0f} mm, with it {shrugged:.0f} mm" in text["explain-sum"]
    pull, strong = _made(system, arm_flexion=60).pull.harness_force, source("arm_flexion_force").si
    assert f"pulled with {pull:.0f} N. Whoever can pull {strong:.0f} N" in force
    assert f"{pull:.0f} / {strong:.0f} = {pull / strong:.2f}, or {pull / strong:.0%}".replace("%", " %") in force
    weakest = source("user_maximum_force").si_low
    assert f"with {weakest:.0f} N, the same pull is {100 * round(pull) / weakest:.0f} %" in force


def test_figures_in_the_text_are_those_of_the_sources() -> None:
    """About 8 % held, 14 % repeated, 20 % in use; practice 102 to 152 mm; 87 to 538 N; women about half."""
    shares = [source(f"fatigue_{name}").si for name in ("share_sustained", "share_intermittent", "free_share")]
    assert [round(100 * share) for share in shares] == [8, 14, 20]
    practice, strongest = source("shoulder_flexion_excursion_practice"), source("user_maximum_force")
    assert [round(end / mm(1)) for end in (practice.si_low, practice.si_high)] == [102, 152]
    assert (strongest.si_low, strongest.si_high) == (87.0, 538.0)
    assert source("shoulder_flexion_women_of_men").si == pytest.approx(0.5)
    assert source("shrug_excursion").si > 2 * 0.0254


def test_the_upper_arm_matters_most_then_the_slope_of_the_shoulders_and_stature_hardly() -> None:
    """The table that the lesson prints, of the people it draws."""
    for sex in ("female", "male"):
        found = drivers(population(sex, 200, seed=1, arm_flexion=(0.0, deg(60)), processes=1))
        depends = dict(zip(found.measures, found.coefficient, strict=True))
        assert found.unanswered == 0
        first, second, *_ = sorted(depends, key=lambda name: -abs(depends[name]))
        assert (first, second) == ("biceps_circumference_flexed", "c7_above_acromion")
        assert depends[first] > 0.4
        assert depends[second] < -0.25
        assert abs(depends["stature"]) < 0.1
