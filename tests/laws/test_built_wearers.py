"""What must hold for the body and its harness whoever the wearer is: mirror, scale, rhythm, the sound arm."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from controlkit.mechanics import Pose, SingleControl, Wearer, figure_of_eight
from controlkit.mechanics.body.placed import CLAVICLE_SHARE, RHYTHM, arm_axes, girdle, place
from controlkit.mechanics.body.remembered import built
from controlkit.mechanics.body.wearer import measure_names
from controlkit.mechanics.surface import Field
from controlkit.mechanics.surface.shapes import Capsules, Trunks, Union
from controlkit.mechanics.surface.taut import Draft, tighten
from controlkit.units import deg, mm

WHO = np.zeros(1, dtype=np.intp)
SEXES = ("female", "male")
SEED = st.integers(0, 10_000)
LOOP, CONTROL = "axilla loop", "control attachment strap"


def _harness(wearer: Wearer, below: float = mm(80), side: float = mm(25)) -> SingleControl:
    return SingleControl(figure_of_eight(wearer, ring_below_c7=below, ring_to_sound_side=side))


@settings(max_examples=6)
@given(st.sampled_from(SEXES), SEED, st.floats(mm(20), mm(140)), st.floats(0.0, deg(90)))
def test_left_and_right_mirror_exactly(sex: str, seed: int, below: float, flexion: float) -> None:
    wearer = Wearer.draw(sex, 1, seed=seed)[0]
    right, left = (
        _harness(wearer.with_(amputated=side), below).at(arm_flexion=flexion, elbow_flexion=deg(40))
        for side in ("right", "left")
    )
    assert right.excursion == left.excursion
    assert right.strap_tension == left.strap_tension
    assert right.opening == left.opening
    assert np.array_equal(right.ring * [1.0, 1.0, -1.0], left.ring)
    for name, run in right.straps.items():
        assert np.array_equal(run * [1.0, 1.0, -1.0], left.straps[name])


def _larger(union: Union, times: float) -> Union:
    """The same bodies, every length times the same number."""
    t, caps = union.trunks, union.capsules
    assert t is not None
    curves = t.curves.copy()
    curves[:2, :, 0] += np.log(times)  # ln a and ln b; then powers of height
    curves[:, :, 1] /= times
    curves[:, :, 2:] /= times**3
    trunks = Trunks(
        knots=t.knots * times,
        curves=curves,
        scale=t.scale * times,
        top=t.top * times,
        bottom=t.bottom * times,
    )
    return Union(trunks, Capsules(caps.start * times, caps.end * times, caps.radius * times), union.blend * times)


BAR = 2e-5  # of a length: what paths are held to against exact geometry [-]


@settings(max_examples=8)
@given(st.sampled_from(SEXES), SEED, st.floats(0.85, 1.15))
def test_a_body_scaled_as_a_whole_scales_its_paths(sex: str, seed: int, times: float) -> None:
    """Every length of the surface times the same number: taut paths grow by that number and keep their shape.

    What is left, some micrometres, is the solver's own: its tolerances are lengths and do not grow.
    """
    wearer = Wearer.draw(sex, 1, seed=seed)[0]
    pull = _harness(wearer).at(arm_flexion=deg(30))
    union = place(built(wearer), WHO, [Pose(arm_flexion=deg(30))]).surface
    run = pull.straps[CONTROL]
    small, large = (
        tighten(body, [Draft(WHO, (run * factor)[None])], limit=200)[0]
        for body, factor in ((union, 1.0), (_larger(union, times), times))
    )
    assert small.settled.all()
    assert large.settled.all()
    assert large.length[0] == pytest.approx(times * small.length[0], rel=BAR)
    assert np.abs(large.nodes - times * small.nodes).max() < mm(0.01)


def _grown(wearer: Wearer, times: float) -> Wearer:
    return wearer.with_(**{n: getattr(wearer, n) * (times**3 if n == "mass" else times) for n in measure_names()})


@pytest.mark.parametrize("sex", SEXES)
def test_a_larger_wearer_has_more_excursion_though_not_in_proportion(sex: str) -> None:
    """Pad, blending and the girdle's insets stay the same size on everybody.

    Together they are some 18 mm of a lever of some 60 mm at the shoulder, so excursion grows with about the 0.7th
    power of size. The straps grow nearly in proportion: the support strap, which an inset of some 30 mm shortens on
    everybody, by somewhat more, and the loop, which goes round pads as thick on everybody, by less.
    """
    powers = {}
    answers = []
    for times in (0.95, 1.05):
        wearer = _grown(Wearer.average(sex), times)
        answers.append(_harness(wearer, times * mm(80), times * mm(25)).at(arm_flexion=deg(90)))
    per = np.log(1.05 / 0.95)
    powers["excursion"] = np.log(answers[1].excursion.generated / answers[0].excursion.generated) / per
    for name in answers[0].straps:
        lengths = [np.linalg.norm(np.diff(a.straps[name], axis=0), axis=1).sum() for a in answers]
        powers[name] = np.log(lengths[1] / lengths[0]) / per
    assert 0.6 < powers["excursion"] < 0.8
    assert 0.7 < powers[LOOP] < 1.0
    assert powers[CONTROL] == pytest.approx(1.0, abs=0.06)
    assert powers["anterior support strap"] == pytest.approx(1.07, abs=0.03)


@given(
    st.sampled_from(SEXES),
    SEED,
    st.floats(deg(-50), deg(170)),
    st.floats(0.0, deg(120)),
    st.floats(deg(-25), deg(30)),
    st.floats(deg(-10), deg(35)),
)
def test_rhythm_is_counted_once(
    sex: str, seed: int, flexion: float, abduction: float, protraction: float, shrug: float
) -> None:
    """The girdle turns by the rhythm's share of raising plus what is asked for, once; the arm's angle is the input."""
    wearer = Wearer.draw(sex, 1, seed=seed)[0]
    shape = built(wearer)
    pose = Pose(arm_flexion=flexion, arm_abduction=abduction, scapular_abduction=protraction, shoulder_elevation=shrug)
    posed = place(shape, WHO, [pose])
    arm = posed.joint[0, 0] - posed.elbow[0, 0]
    axes = arm_axes(np.array([flexion]), np.array([abduction]))[0]
    assert np.allclose(arm, shape.upper_arm[0] * axes[:, 1], atol=1e-12)  # girdle motions do not turn the arm
    raised = np.arccos(np.cos(flexion) * np.cos(abduction))
    lift = CLAVICLE_SHARE * raised / (1.0 + RHYTHM) + shrug
    shift = girdle(shape, WHO, np.array([protraction]), np.array([lift]))[0]
    assert np.allclose(posed.joint[0, 0] - shape.joint[0], shift, atol=1e-12)


def _turns(loop: np.ndarray, line: np.ndarray) -> float:
    """How often a closed loop winds round a line: the linking number, summed exactly piece by piece."""
    total = 0.0
    a, b = loop[:-1], loop[1:]
    for c, d in pairwise(line):
        corners = (c - a, c - b, d - b, d - a)  # the solid quadrilateral that both pieces span
        normals = [np.cross(corners[k], corners[(k + 1) % 4]) for k in range(4)]
        normals = [n / np.linalg.norm(n, axis=1, keepdims=True) for n in normals]
        angle = sum(np.arcsin(np.clip((normals[k] * normals[(k + 1) % 4]).sum(axis=1), -1.0, 1.0)) for k in range(4))
        total += float((angle * np.sign((np.cross(d - c, b - a) * (a - c)).sum(axis=1))).sum())
    return total / (4.0 * np.pi)


@settings(max_examples=25)
@given(
    st.sampled_from(SEXES),
    SEED,
    st.floats(mm(15), mm(150)),
    st.floats(0.0, mm(60)),
    st.floats(deg(30), deg(90)),
    st.floats(deg(-25), deg(30)),
)
def test_the_sound_arm_is_an_obstacle(
    sex: str, seed: int, below: float, side: float, abducted: float, protracted: float
) -> None:
    """The loop runs outside the sound arm and round it exactly once, through the armpit, whatever the posture."""
    wearer = Wearer.draw(sex, 1, seed=seed)[0]
    pull = _harness(wearer, below, side).at(sound_arm_abduction=abducted, sound_scapular_abduction=protracted)
    loop = pull.straps[LOOP]
    posed = place(built(wearer), WHO, [pull.pose])
    joint, elbow = posed.joint[0, 1], posed.elbow[0, 1]
    step = np.linspace(0.0, 1.0, 9)[:-1, None, None]
    dense = (loop[:-1] + step * np.diff(loop, axis=0)).reshape(-1, 3)  # chords too, not the nodes alone
    along = np.clip((dense - joint) @ (elbow - joint) / ((elbow - joint) ** 2).sum(), 0.0, 1.0)
    gap = np.linalg.norm(dense - joint - along[:, None] * (elbow - joint), axis=1) - posed.arm[0]
    assert gap.min() > -mm(2)  # a chord of 20 mm on an arm of 45 mm radius lies 1.1 mm under its arc
    value = Field(posed.surface, np.zeros(len(loop), dtype=np.intp)).value(np.ascontiguousarray(loop.T))
    assert value.min() > -mm(0.01)  # nodes lie on or above the skin
    # down the arm, up through the joint, out past the other shoulder, closed far away behind
    far = np.array([[-9.0, joint[1], 9.0], [-9.0, -9.0, -9.0]])
    line = np.stack([joint + 20.0 * (elbow - joint), joint, joint * [1.0, 1.0, -1.0] + [0, 0, 5.0], *far])
    line = np.concatenate([line, line[:1]])
    assert abs(_turns(loop, line)) == pytest.approx(1.0, abs=1e-6)


def test_winding_is_counted_rightly() -> None:
    """The counting itself, on rings that are linked, apart, and linked twice."""
    turn = np.linspace(0.0, 2.0 * np.pi, 60)
    ring = np.stack([np.cos(turn), np.sin(turn), 0.0 * turn], axis=1)
    other = np.stack([1.0 + np.cos(turn), 0.1 + 0.0 * turn, np.sin(turn)], axis=1)
    twice = np.stack([np.cos(2 * turn) * (1 + 0.1 * np.cos(turn)), np.sin(2 * turn), 0.1 * np.sin(turn)], axis=1)
    assert abs(_turns(ring, other)) == pytest.approx(1.0, abs=1e-9)
    assert _turns(ring + np.array([4.0, 0.0, 0.0]), other) == pytest.approx(0.0, abs=1e-9)
    assert abs(_turns(twice, other)) == pytest.approx(2.0, abs=1e-6)


@pytest.mark.parametrize("sex", SEXES)
def test_drawing_the_sound_shoulder_back_does_not_pull_the_cable(sex: str) -> None:
    """Back means towards the ring: the loop should ease, and the device should stay as it is.

    A wearer would feel a loop of more than the strongest device's force at rest as a blow.
    """
    pull = _harness(Wearer.average(sex)).at(sound_scapular_abduction=-deg(20))
    assert pull.strap_tension[LOOP] < 50.0
    assert pull.excursion.captured < mm(2)


def test_a_sound_arm_that_hangs_shuts_the_armpit() -> None:
    """Why the pose keeps the sound arm off the body: the range says so before a path can cut through."""
    from controlkit.units import InputError

    with pytest.raises(InputError, match="Sound arm abduction"):
        replace(Pose(), sound_arm_abduction=deg(10))
