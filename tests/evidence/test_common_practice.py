"""What every fitter says, looked for on the model.

Taught in public study cards, or common practice for which no source was found; the sourced values say which.

Flexing the arm gives the larger excursion but carries the device through space; drawing the scapula forward
works it with the device held still. Shoulder flexion lengthens the path from the ring to the crossbar. The control
strap runs below mid-scapular level. An adult man pulls 40 to 60 lb and 4 to 6 in by shoulder flexion.
"""

from __future__ import annotations

import numpy as np
import pytest

from controlkit.mechanics import Pose, SingleControl, Wearer, crossing, figure_of_eight, scapula
from controlkit.mechanics.body.places import joints
from controlkit.sources import source
from controlkit.units import deg, mm

SEXES = ("female", "male")
PROTRACTED = {"scapular_abduction": deg(30)}


def _device(wearer: Wearer, pose: Pose) -> np.ndarray:
    return joints(wearer, pose)["device"]


@pytest.mark.parametrize("sex", SEXES)
def test_flexion_moves_the_device_and_the_scapula_hardly_does(sex: str) -> None:
    """For each millimetre of excursion the device travels several times as far by flexion, elbow bent as at a table."""
    wearer = Wearer.average(sex)
    system = SingleControl(figure_of_eight(wearer, ring_below_c7=mm(80)))
    rest = Pose(elbow_flexion=deg(90))
    flexed, drawn = Pose(arm_flexion=deg(60), elbow_flexion=deg(90)), Pose(elbow_flexion=deg(90), **PROTRACTED)
    by_flexion = system.at(arm_flexion=deg(60), elbow_flexion=deg(90)).excursion.generated
    by_scapula = system.at(elbow_flexion=deg(90), **PROTRACTED).excursion.generated
    assert by_flexion > 1.25 * by_scapula  # the larger of the two
    ways = [np.linalg.norm(_device(wearer, pose) - _device(wearer, rest)) for pose in (flexed, drawn)]
    assert ways[0] / by_flexion > 3.0 * ways[1] / by_scapula
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
    """Where it leaves the scapula; over the medial border it still lies above the middle, since it runs downward."""
    wearer = Wearer.average(sex)
    over = crossing(wearer, SingleControl(figure_of_eight(wearer)).at().straps["control attachment strap"])
    assert over.lateral > scapula(wearer).middle


def test_force_of_shoulder_flexion_beside_the_survey_in_use() -> None:
    """178 to 267 N in practice; the survey's mean, used as the default strength, lies within one SD above it."""
    practice, survey_figure = source("shoulder_flexion_force_practice"), source("arm_flexion_force")
    assert practice.si_high < survey_figure.si < practice.si_high + survey_figure.si_sd
    assert SingleControl(figure_of_eight(Wearer.average("male"))).strength.cable == survey_figure.si
