"""Taylor CL 1954, as quoted by Hichert M, Plettenburg D, Vardy A, Proceedings of MEC'14, 2014.

Force and excursion of isolated motions, quoted in SI; the original units were worked out apart.
"""

from __future__ import annotations

import pytest

from controlkit.sources import source


@pytest.mark.parametrize("motion", ["arm_flexion", "shrug", "arm_extension"])
@pytest.mark.parametrize(("quantity", "unit"), [("force", "pounds"), ("excursion", "inches")])
def test_taylor_in_original_units(motion: str, quantity: str, unit: str) -> None:
    quoted, original = source(f"{motion}_{quantity}"), source(f"{motion}_{quantity}_{unit}")
    assert quoted.si == pytest.approx(original.si, abs=original.digit / 2 * original.factor)


def test_taylor_two_motions_fall_just_short_of_the_dual_control_demand() -> None:
    together = source("arm_flexion_excursion").si + source("shrug_excursion").si
    assert together == pytest.approx(source("two_motions_excursion").si, abs=1e-9)
    assert together < source("total_travel_above_elbow").si


def test_taylor_arm_flexion_is_far_below_common_practice() -> None:
    """The course states both figures; this is the contradiction that it teaches."""
    survey_figure, practice = source("arm_flexion_excursion"), source("shoulder_flexion_excursion_practice")
    assert survey_figure.si + 2 * survey_figure.si_sd < practice.si_low
