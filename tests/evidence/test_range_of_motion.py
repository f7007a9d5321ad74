"""Ranges of motion against the ranges of the model's pose.

- American Academy of Orthopaedic Surgeons; Boone DC, Azen SP 1979 (109 males); both quoted in a textbook's table A.1.
- Gill TK et al. BMC Musculoskelet Disord 2020;21:676: 2,404 adults of one community, active, right side.
- Vairo GL, Duffey ML, Owens BD, Cameron KL 2012, table 4: military cadets, percentiles 5, 50 and 95 of active flexion.
- Namdari S et al. J Shoulder Elbow Surg 2012;21:1177-1183: what ten daily tasks need, 20 people.
- Soucie JM et al. Haemophilia 2011;17:500-507: passive; its values stand here from memory.
- Girdle: kinesiology texts, from memory; Rettig O et al. BMC Musculoskelet Disord 2015.

A pose may ask for what an average person reaches. It need not reach what only the most mobile do: the straps of
a harness are long off the body by then.
"""

from __future__ import annotations

import pytest

from controlkit.mechanics import Pose
from controlkit.mechanics.body.pose import POSE_RANGES
from controlkit.sources import source
from controlkit.units import deg

FLEXION, ABDUCTION, ELBOW = (POSE_RANGES[f"{name}"] for name in ("arm_flexion", "arm_abduction", "elbow_flexion"))


@pytest.mark.parametrize("who", ["men", "women"])
def test_gill_community_flexion_can_be_posed(who: str) -> None:
    printed = source(f"shoulder_flexion_community_{who}")
    assert Pose(arm_flexion=printed.si).arm_flexion == printed.si


@pytest.mark.parametrize("who", ["men", "women"])
def test_young_adults_median_flexion_can_be_posed(who: str) -> None:
    """Percentiles rise; the median lies within the range, the most mobile twentieth beyond it."""
    printed = source(f"shoulder_flexion_young_{who}")
    low, middle, high = printed.series
    assert low < middle < high
    assert middle <= FLEXION[1] <= high


def test_boone_azen_flexion_and_elbow_can_be_posed() -> None:
    assert source("shoulder_flexion_range_boone").value <= FLEXION[1]  # type: ignore[operator]
    assert source("elbow_flexion_range_boone").value <= ELBOW[1]  # type: ignore[operator]


def test_aaos_elbow_flexion_is_the_end_of_the_range() -> None:
    assert (0.0, source("elbow_flexion_range_reference").value) == ELBOW


def test_measured_people_stay_below_the_reference_flexion() -> None:
    """The reference of 180 degrees is a round number that the measured groups do not reach on average."""
    reference = source("shoulder_flexion_range_reference").si
    for name in ("range_boone", "community_men", "community_women", "soucie_men", "soucie_women"):
        assert source(f"shoulder_flexion_{name}").si < reference


def test_boone_azen_exceeds_the_reference_where_it_does() -> None:
    """Extension and abduction of the males measured are a little above the reference, as printed."""
    for motion in ("extension", "abduction"):
        measured, reference = (source(f"shoulder_{motion}_range_{who}").si for who in ("boone", "reference"))
        assert 0.0 < measured - reference < deg(5)


@pytest.mark.parametrize("who", ["men", "women"])
def test_soucie_elbow_and_shoulder_can_be_posed(who: str) -> None:
    """From memory: elbow exactly within; passive shoulder flexion of women lies 2 degrees beyond an active range."""
    assert source(f"elbow_flexion_soucie_{who}").value <= ELBOW[1]  # type: ignore[operator]
    assert source(f"shoulder_flexion_soucie_{who}").value <= FLEXION[1] + 2.0  # type: ignore[operator]


@pytest.mark.parametrize(("task", "angle"), [("flexion", 1.0), ("extension", -1.0)])
def test_namdari_sagittal_tasks_can_be_posed(task: str, angle: float) -> None:
    needed = source(f"daily_tasks_{task}")
    assert Pose(arm_flexion=angle * needed.si).arm_flexion == angle * needed.si


def test_namdari_abduction_can_be_posed() -> None:
    needed = source("daily_tasks_abduction")
    assert needed.value is not None
    assert needed.value <= ABDUCTION[1]


def test_girdle_ranges_are_the_published_ones() -> None:
    each = source("clavicle_protraction_each_way")
    for name in ("scapular_abduction", "sound_scapular_abduction"):
        low, high = POSE_RANGES[name]
        assert each.low is not None
        assert each.high is not None
        assert each.low <= -low <= each.high
        assert each.low <= high <= each.high
    low, high = POSE_RANGES["shoulder_elevation"]
    assert high >= source("shoulder_elevation_in_abduction").value  # type: ignore[operator]
    assert -low >= source("shoulder_depression_in_abduction").value  # type: ignore[operator]
