"""What every fitter says, looked for on the model.

Taught in public study cards, or common practice for which no source was found; the sourced values say which.

Flexing the arm gives the larger excursion but carries the device through space; drawing the shoulder blade forward
works it with the device held still. Shoulder flexion lengthens the path from the ring to the crossbar. The control
strap runs below mid-scapular level. An adult man pulls 40 to 60 lb and 4 to 6 in by shoulder flexion.
"""

from __future__ import annotations

import numpy as np
import pytest

from controlkit.mechanics import Pose, SingleControl, Wearer, figure_of_eight
from controlkit.mechanics.body.places import joints
from controlkit.sources import source
from controlkit.units import deg, mm

SEXES = ("female", "male")
BLADE = {"scapular_abduction": deg(30)}


def _device(wearer: Wearer, pose: Pose) -> np.ndarray:
    return joints(wearer, pose)["device"]


@pytest.mark.parametrize("sex", SEXES)
def test_flexion_moves_the_device_and_the_shoulder_blade_hardly_does(sex: str) -> None:
    """For each millimetre of excursion the device travels several times as far by flexion, elbow bent as at a table."""
    wearer = Wearer.average(sex)
    system = SingleControl(figure_of_eight(wearer, ring_below_c7=mm(80)))
    rest = Pose(elbow_flexion=deg(90))
    flexed, drawn = Pose(arm_flexion=deg(60), elbow_flexion=deg(90)), Pose(elbow_flexion=deg(90), **BLADE)
    by_flexion = system.at(arm_flexion=deg(60), elbow_flexion=deg(90)).excursion.generated
    by_blade = system.at(elbow_flexion=deg(90), **BLADE).excursion.generated
    assert by_flexion > 1.25 * by_blade  # the larger of the two
    ways = [np.linalg.norm(_device(wearer, pose) - _device(wearer, rest)) for pose in (flexed, drawn)]
    assert ways[0] / by_flexion > 3.0 * ways[1] / by_blade
    assert ways[1] < mm(100)


@pytest.mark.parametrize("sex", SEXES)
@pytest.mark.parametrize("below", [25, 60, 110])
def test_shoulder_flexion_lengthens_the_path_from_ring_to_crossbar(sex: str, below: int) -> None:
    motion = SingleControl(figure_of_eight(Wearer.average(sex), ring_below_c7=mm(below))).sweep(
        deg(1) * np.array([0.0, 30.0, 60.0, 90.0])
    )
    assert (np.diff(motion.generated) > 0.0).all()


@pytest.mark.parametrize("sex", SEXES)
def test_usual_strap_runs_below_the_middle_of_the_scapula(sex: str) -> None:
    """Scapula from T2 to T8, 155 mm long: its middle lies 129 mm under C7."""
    first, last = source("scapula_rib_levels").si_low, source("scapula_inferior_angle_level").si
    middle = source("scapula_length").si * (first + last) / 2.0 / (last - first)
    wearer = Wearer.average(sex)
    run = SingleControl(figure_of_eight(wearer, ring_below_c7=mm(110))).at().straps["control attachment strap"]
    over = run[(run[:, 2] > source("scapula_from_midline").si) & (run[:, 2] < mm(90))]
    assert len(over) > 1
    assert (wearer.cervicale_height - wearer.suprasternale_height - over[:, 1] > middle).all()


def test_force_of_shoulder_flexion_beside_the_survey_in_use() -> None:
    """178 to 267 N in practice; the survey's mean, used as the default strength, lies within one SD above it."""
    practice, survey_figure = source("shoulder_flexion_force_practice"), source("arm_flexion_force")
    assert practice.si_high < survey_figure.si < practice.si_high + survey_figure.si_sd
    assert SingleControl(figure_of_eight(Wearer.average("male"))).strength.cable == survey_figure.si
