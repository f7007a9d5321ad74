"""The device held in space while scapulae move, and what the sound side generates: laws, whoever the wearer is."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from controlkit.mechanics import POSITIONS, Pose, SingleControl, Wearer, figure_of_eight, joints, reach
from controlkit.mechanics.body.held import ASIDE, COMPENSATING, hold_device
from controlkit.mechanics.body.pose import POSE_RANGES
from controlkit.mechanics.body.remembered import stand
from controlkit.mechanics.chain import BACK, FORWARD, generated, on_command, one_scapula
from controlkit.mechanics.harness import chest_strap, figure_of_nine
from controlkit.mechanics.harness.layout import OVER, UNDER
from controlkit.mechanics.surface.row import path_length
from controlkit.mechanics.surface.taut import Draft, tighten
from controlkit.units import InputError, deg, mm

WEARERS = {
    "small woman": Wearer.at_percentile("female", 5),
    "average man": Wearer.average("male"),
    "very large man": Wearer.measured("male", stature=1.93, mass=130.0),
}
NEAR = ("table", "waist", "fly")
SOUND = {"sound_scapular_abduction": deg(20)}


def _way(wearer: Wearer, one: Pose, other: Pose) -> float:
    return float(np.linalg.norm(joints(wearer, one)["device"] - joints(wearer, other)["device"]))


# ---- the pose ----


@pytest.mark.parametrize("forward", [BACK, FORWARD])
@pytest.mark.parametrize("who", WEARERS)
def test_held_means_held(who: str, forward: float) -> None:
    """Within half a millimetre by the joints themselves; where an end of a range stops it, the result says how far."""
    wearer = WEARERS[who]
    for name, pose in POSITIONS.items():
        held = one_scapula(wearer, pose, forward)
        assert held.pose.scapular_abduction == forward
        assert held.missed == pytest.approx(_way(wearer, held.pose, pose), abs=1e-9)
        if name != "mouth":
            assert held.missed < mm(0.5), name
        assert _way(wearer, replace(pose, scapular_abduction=forward), pose) > mm(30), "it is not held by itself"


@pytest.mark.parametrize("who", WEARERS)
def test_what_makes_up_for_it_lies_in_range(who: str) -> None:
    for pose in POSITIONS.values():
        for forward in (deg(-25), BACK, FORWARD, deg(30)):
            held = one_scapula(WEARERS[who], pose, forward).pose
            for name in COMPENSATING:
                low, high = POSE_RANGES[name]
                assert low - 1e-9 <= np.rad2deg(getattr(held, name)) <= high + 1e-9
            assert abs(held.arm_abduction - pose.arm_abduction) <= ASIDE + 1e-9


def test_where_a_range_ends_the_miss_is_what_is_left() -> None:
    """An arm that reaches as far back as it can and an elbow that is straight: nothing goes further back."""
    man, pose = WEARERS["average man"], Pose(arm_flexion=deg(-50), elbow_flexion=deg(0))
    held = hold_device(man, pose, scapular_abduction=deg(30))
    assert held.missed > mm(5)
    assert held.pose.arm_flexion == pytest.approx(deg(-50))
    worse = replace(held.pose, arm_flexion=held.pose.arm_flexion + deg(1))
    assert _way(man, worse, pose) > held.missed


def test_nothing_moved_needs_nothing() -> None:
    pose = POSITIONS["fly"]
    held = hold_device(WEARERS["average man"], pose, scapular_abduction=0.0)
    assert held.missed < 1e-9
    assert held.pose == pose


def test_the_sound_scapula_moves_no_device() -> None:
    """Whether one or both go forward, the same arm makes up for it."""
    man, pose = WEARERS["average man"], POSITIONS["waist"]
    one, both = one_scapula(man, pose).pose, on_command(man, pose).pose
    assert both == replace(one, sound_scapular_abduction=FORWARD)


def test_forward_takes_extension_and_back_takes_flexion() -> None:
    """The shoulder goes forward, so the arm goes back; and the other way round."""
    for wearer in WEARERS.values():
        for name in NEAR:
            pose = POSITIONS[name]
            assert on_command(wearer, pose).pose.arm_flexion < pose.arm_flexion - deg(5)
            assert one_scapula(wearer, pose, BACK).pose.arm_flexion > pose.arm_flexion + deg(5)


def test_mirrored_sides_are_equal() -> None:
    left, right = (Wearer.average("female", amputated=side) for side in ("left", "right"))
    pose = POSITIONS["waist"]
    held = [on_command(wearer, pose) for wearer in (left, right)]
    assert held[0] == held[1]
    pulls = [
        SingleControl(figure_of_eight(wearer)).over([one.pose])[0].excursion
        for wearer, one in zip((left, right), held, strict=True)
    ]
    assert pulls[0] == pulls[1]


@pytest.mark.parametrize(
    ("ask", "words"),
    [
        (lambda man: hold_device(man, Pose(), arm_flexion=0.5), ("arm_flexion", "makes up")),
        (lambda man: hold_device(man, Pose(), scapular_abduction=1.0), ("57", "30")),
        (lambda man: hold_device(man, Pose(), shrugging=1.0), ("shrugging", "A pose has")),
        (lambda man: hold_device(man, Pose(), ("wrist",), scapular_abduction=0.1), ("wrist", "A pose has")),
    ],
    ids=["both", "too far", "unknown motion", "unknown angle"],
)
def test_what_cannot_be_held_is_told(ask: Callable[[Wearer], object], words: tuple[str, ...]) -> None:
    with pytest.raises(InputError) as told:
        ask(WEARERS["average man"])
    for word in words:
        assert word in str(told.value)


# ---- what is left ----


@pytest.mark.parametrize("who", WEARERS)
def test_the_arm_takes_back_part_of_what_one_scapula_gives(who: str) -> None:
    """Near the body less than half to about half is left; the second scapula adds to that, least on a small body."""
    for found in reach(SingleControl(figure_of_eight(WEARERS[who])), {name: POSITIONS[name] for name in NEAR}):
        assert 0.0 < found.one_left < 0.75 * found.one_carried
        assert found.both_left > found.one_left + mm(3 if who == "small woman" else 10)
        assert found.on_command.opening >= found.one_scapula.opening
        assert found.missed < mm(0.5)
        assert found.kept_still, "drawing back with the device held keeps it shut where little was spent"


def test_both_drawn_back_keep_still_where_one_does_not() -> None:
    """At the mouth, flexion that holds the device spends what one scapula saves."""
    (mouth,) = reach(SingleControl(figure_of_eight(WEARERS["small woman"])), {"mouth": POSITIONS["mouth"]})
    assert mouth.drawn_back.opening < mouth.reaching.opening
    assert mouth.both_back.opening < mouth.drawn_back.opening


# ---- generated ----


@pytest.mark.parametrize("who", WEARERS)
def test_captured_is_never_more_than_generated_but_for_stretch(who: str) -> None:
    """Sound side and amputated side, alone and together: the harness makes nothing."""
    system = SingleControl(figure_of_eight(WEARERS[who]))
    poses = [Pose(arm_flexion=flexion, **motion) for flexion in (0.0, deg(60)) for motion in (SOUND, {})]
    poses += [on_command(WEARERS[who], POSITIONS[name]).pose for name in POSITIONS]
    for pull in system.over(poses):
        three = pull.excursion
        assert three.captured <= max(three.generated, 0.0) + mm(2)
        assert three.generated - sum(three.lost.values()) == pytest.approx(three.captured)


def test_a_sound_side_at_rest_adds_nothing() -> None:
    """Exactly the path of the control strap, also where other poses of the same motion move the sound side."""
    system = SingleControl(figure_of_eight(WEARERS["average man"]))
    found = system.sweep([0.0, deg(60)]).guess
    length = path_length(found.held.nodes)
    assert generated(found) == pytest.approx(length - length[0], abs=1e-12)
    still, _ = system.over([Pose(arm_flexion=deg(60)), Pose(**SOUND)])
    assert still.excursion.generated == pytest.approx(float(generated(found)[-1]), abs=1e-9)


def test_the_ring_moved_so_far_gives_the_loop_its_length_back() -> None:
    """Moved by the second term against the control strap, a taut loop is as long as on donning: first order holds."""
    wearer = WEARERS["average man"]
    found = SingleControl(figure_of_eight(wearer)).sweep([0.0], sound_scapular_abduction=deg(5)).guess
    control = found.held.nodes[-1]
    first = control[1] - control[0]
    by = float(generated(found)[-1] - (found.held.length[-1] - found.held.length[0]))
    pair = np.concatenate([found.runs[OVER].nodes[-1], found.runs[UNDER].nodes[-1][::-1][1:]])
    moved = pair.copy()
    share = np.minimum(np.linspace(0, 1, len(pair)), np.linspace(1, 0, len(pair)))[:, None]
    moved -= (1.0 - 2.0 * share) * by * first / np.linalg.norm(first)
    surface = stand(wearer, found.poses[-1]).surface
    one = np.zeros(1, dtype=np.intp)
    longer, back = (float(tighten(surface, [Draft(one, nodes[None])])[0].length[0]) for nodes in (pair, moved))
    rest = float(found.runs[OVER].length[0] + found.runs[UNDER].length[0])
    assert longer > rest + mm(3)
    assert back == pytest.approx(rest, abs=0.2 * (longer - rest))


@pytest.mark.parametrize(("below", "least"), [(60, 1.3), (25, 0.95)])
def test_the_second_term_is_a_ratio_of_tensions(below: float, least: float) -> None:
    """Two legs pull against one strap: at most two of loop to each of ring, fewer where the legs stand wide.

    On bodies drawn at random, for a ring low between the scapulae and for one beside C7.
    """
    for wearer in (*Wearer.draw("female", 4, 3), *Wearer.draw("male", 4, 4)):
        harness = figure_of_eight(wearer, ring_below_c7=mm(below))
        found = SingleControl(harness).sweep([0.0, deg(60)], **SOUND).guess
        loop = found.runs[OVER].length + found.runs[UNDER].length
        own = found.held.length - found.held.length[0]
        legs = (loop - loop[0])[1:] / (generated(found) - own)[1:]
        assert (legs > least).all()
        assert (legs < 2.0).all()


def test_patterns_with_and_without_a_loop() -> None:
    """A figure-of-nine has the loop and its term; a chest strap has none, and only the control strap counts."""
    man, pose = WEARERS["average man"], Pose(**SOUND)
    nine, chest = (SingleControl(fit(man)) for fit in (figure_of_nine, chest_strap))
    assert nine.over([pose])[0].excursion.generated > mm(5)
    found = chest.sweep([0.0], **SOUND).guess
    assert generated(found)[-1] == found.held.length[-1] - found.held.length[0]
