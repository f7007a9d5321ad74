"""What lesson 3 says in words is what the model computes."""

from __future__ import annotations

import numpy as np
import pytest

from controlkit.mechanics import Pull, SingleControl, Wearer, figure_of_eight
from controlkit.mechanics.outline import stand
from controlkit.units import deg, mm

ELBOW = deg(90)


def _at(angle: float, wearer: Wearer, **harness: float) -> Pull:
    return SingleControl(figure_of_eight(wearer, **harness)).at(arm_flexion=deg(angle), elbow_flexion=ELBOW)


@pytest.fixture(scope="module")
def maren() -> Wearer:
    """The baker of the lesson."""
    return Wearer.average("female", amputated="right", name="Maren")


def test_lower_ring_more_excursion_and_more_moment(maren: Wearer) -> None:
    """Both laws hold the same moment arm."""
    pulls = [_at(60, maren, ring_below_c7=mm(below)) for below in (40, 60, 80, 100, 120)]
    assert np.all(np.diff([p.excursion.captured for p in pulls]) > 0)
    assert pulls[-1].moment_arm > pulls[1].moment_arm


def test_the_tape_finds_the_moment_arm(maren: Wearer) -> None:
    """Growth of the way over the angle, five degrees to each side."""
    before, here, after = (_at(angle, maren, ring_below_c7=mm(60)) for angle in (55, 60, 65))
    growth = after.excursion.generated - before.excursion.generated
    assert growth / deg(10) == pytest.approx(here.moment_arm, rel=0.02)


def test_work_is_the_same_on_both_sides(maren: Wearer) -> None:
    """T dl = M dtheta over a small angle, with the ring held."""
    before, here, after = (_at(angle, maren, ring_below_c7=mm(100)) for angle in (44.5, 45, 45.5))
    growth = after.excursion.generated - before.excursion.generated
    assert 50 * growth == pytest.approx(50 * here.moment_arm * deg(1), rel=0.01)


def test_forces_on_the_ring_balance(maren: Wearer) -> None:
    """Along the skin straps and skin balance; what is left presses the ring onto the back."""
    pull = _at(60, maren, ring_below_c7=mm(60))
    left = np.sum([force for name, force in pull.ring_forces.items() if name != "back"], axis=0)
    surface = stand(maren, pull.pose).surface.at(np.zeros(1, dtype=np.intp))
    _, gradient = surface.slope(pull.ring[:, None])
    outward = gradient[:, 0] / np.linalg.norm(gradient)
    pressing = -float(left @ outward)
    assert pressing > 0.0
    # strap directions are those of the first chord of a strap, which bends a little with the back
    assert np.linalg.norm(left + pressing * outward) < 0.005 * pull.harness_force
    assert pull.strap_tension["axilla loop"] != pytest.approx(pull.harness_force, rel=0.05)


def test_captured_is_not_more_than_generated(maren: Wearer) -> None:
    """The ring travels and straps stretch."""
    for angle in (30, 60, 90):
        three = _at(angle, maren, ring_below_c7=mm(60)).excursion
        assert three.captured < three.generated


def test_slack_costs_and_taking_in_generates_nothing(maren: Wearer) -> None:
    """Let out: lost one for one, nearly. Taken in: the device opens at rest."""
    snug, loose = (_at(90, maren, control_strap=mm(out)) for out in (0, 20))
    assert snug.excursion.captured - loose.excursion.captured == pytest.approx(mm(20), abs=mm(4))
    tight = _at(0, maren, control_strap=mm(-10))
    assert "the device stands open at rest" in tight.states
    assert tight.opening > mm(5)
    assert _at(0, maren).opening < mm(0.01)
    taken_in = _at(90, maren, control_strap=mm(-10)).excursion
    assert taken_in.generated == pytest.approx(snug.excursion.generated, rel=1e-6)
    assert taken_in.captured < taken_in.generated
    gained = taken_in.captured - snug.excursion.captured
    assert 0.0 < gained < 0.75 * mm(10), "the give of what is loaded already, not the strap's length"


def test_support_strap_is_slack_without_a_load(maren: Wearer) -> None:
    """Nothing pulls the prosthesis down in this lab."""
    assert "the anterior support strap is slack" in _at(60, maren).states


def test_maren_has_a_problem_that_the_ring_solves(maren: Wearer) -> None:
    """At 30 degrees the hook does not open fully; a lower ring needs less reach."""
    assert _at(30, maren, ring_below_c7=mm(60)).limited_by == "excursion"

    def reach(below: float) -> float:
        system = SingleControl(figure_of_eight(maren, ring_below_c7=mm(below)))
        motion = system.sweep(np.deg2rad(np.arange(0, 91, 5)), elbow_flexion=ELBOW)
        return float(np.interp(motion.required[0], motion.captured, np.rad2deg(motion.arm_flexion)))

    assert reach(120) < reach(60) - 5
