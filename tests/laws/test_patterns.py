"""What must hold for every pattern: balance at each junction, mirror, order of moves, and what sets them apart."""

from __future__ import annotations

import pickle
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from controlkit.mechanics import Pose, SingleControl, Wearer, figure_of_eight
from controlkit.mechanics.body.placed import place
from controlkit.mechanics.body.remembered import built
from controlkit.mechanics.harness import CHEST_LIMITS, LIMITS, Harness, Skin, Straps, chest_strap, figure_of_nine
from controlkit.mechanics.harness.layout import CONTROL, OVER, UNDER
from controlkit.mechanics.harness.motion import Followed, follow
from controlkit.mechanics.states import State
from controlkit.mechanics.surface import Field
from controlkit.units import InputError, deg, mm

SEXES = ("female", "male")
ANGLES = deg(1) * np.arange(0.0, 91.0, 15.0)
PATTERNS: dict[str, Callable[..., Harness]] = {
    "ring": figure_of_eight,
    "sewn": lambda wearer, **more: figure_of_eight(wearer, crossing="sewn", **more),
    "no fork": lambda wearer, **more: figure_of_eight(wearer, fork=False, **more),
    "cross-back": lambda wearer, **more: figure_of_eight(wearer, cross_back=0.0, **more),
    "nine": figure_of_nine,
    "chest": chest_strap,
}
WORN: dict[str, Callable[[str], Wearer]] = {
    "small woman": lambda side: Wearer.at_percentile("female", 5, of="stature", amputated=side),
    "average man": lambda side: Wearer.average("male").with_(amputated=side),
    "very large man": lambda side: Wearer.measured("male", stature=1.93, mass=130.0, amputated=side),
}
FREE = Skin(stiffness=0.0, friction=0.0, loop_friction=0.0, floor=0.0)


def _followed(harness: Harness, poses: list[Pose] | None = None) -> Followed:
    return follow(harness, poses or [Pose(arm_flexion=float(a)) for a in ANGLES], SingleControl(harness).law)


def _leftover(found: Followed, at: int) -> np.ndarray:
    """Force along the skin that runs and skin leave over on each junction, taken from the drawn straps alone."""
    layout, net = found.harness.layout, found.net
    union = place(built(found.harness.wearer), np.zeros(len(found.poses), dtype=np.intp), found.poses).surface
    out = []
    for j, name in enumerate(layout.junctions):
        total = net.forces.skin[at].copy() if j == 0 else np.zeros(3)
        for k, run in enumerate(layout.runs):
            nodes = net.nodes[k][at]
            for end, first, second in ((run.start, nodes[0], nodes[1]), (run.end, nodes[-1], nodes[-2])):
                if end == name:
                    total += net.tension[k, at] * (second - first) / np.linalg.norm(second - first)
        value, gradient = Field(union, np.array([at])).slope(net.junction[at, j][:, None])
        normal = gradient[:, 0] / np.linalg.norm(gradient)
        pressing = -total @ normal
        if value[0] < 1e-4 and pressing > 0.0:
            total = total + pressing * normal
        out.append(total)
    return np.array(out)


@pytest.mark.parametrize("sex", SEXES)
@pytest.mark.parametrize("pattern", ["ring", "no fork", "cross-back", "nine", "chest"])
def test_every_junction_balances(pattern: str, sex: str) -> None:
    """Added up anew from the runs, with the load that makes every strap bear."""
    harness = PATTERNS[pattern](Wearer.average(sex))
    found = _followed(harness, [Pose(arm_flexion=deg(60)), Pose(socket_slip=mm(20))])
    for at in found.asked:
        assert np.abs(_leftover(found, at)).max() < 0.2, found.poses[at]  # [N]; a first chord is not quite the tangent
    if pattern == "ring":
        front = found.net.tension[3, found.asked[1]]
        assert front > 20.0
        assert found.net.tension[4:6, found.asked[1]].min() > 5.0  # both legs of the inverted Y carry


@pytest.mark.parametrize("pattern", PATTERNS)
def test_left_and_right_mirror(pattern: str) -> None:
    pulls = [
        SingleControl(PATTERNS[pattern](Wearer.average("female", amputated=side))).at(arm_flexion=deg(70))
        for side in ("right", "left")
    ]
    assert pulls[0].excursion == pulls[1].excursion
    for name, run in pulls[0].straps.items():
        assert np.array_equal(run, pulls[1].straps[name] * [1.0, 1.0, -1.0])


@pytest.mark.parametrize("pattern", PATTERNS)
def test_a_start_from_elsewhere_changes_nothing(pattern: str) -> None:
    wearer = Wearer.average("male")
    start = SingleControl(PATTERNS[pattern](wearer)).sweep(ANGLES)
    harness = replace(start.system.harness, crossbar=0.62, ring_to_sound_side=mm(22), control_strap=mm(4))
    warm, cold = (SingleControl(harness).sweep(ANGLES, near) for near in (start.guess, None))
    assert np.abs(warm.captured - cold.captured).max() < 1e-7
    assert np.abs(warm.harness_force - cold.harness_force).max() < 2e-3
    assert np.abs(warm.guess.net.junction[:, 0] - cold.guess.net.junction[:, 0]).max() < 1e-6


def _apart(pattern: str, seed: int) -> float:
    """How far captured excursions lie apart, answered from a random neighbour and from nothing [m]."""
    rng = np.random.default_rng(seed)
    wearer = Wearer.draw(SEXES[seed % 2], 1, seed=seed)[0]
    lies = (
        {}
        if pattern == "chest"
        else {"ring_below_c7": rng.uniform(0.03, 0.14), "ring_to_sound_side": rng.uniform(0.0, 0.05)}
    )
    start = replace(PATTERNS[pattern](wearer), **lies, crossbar=rng.uniform(0.35, 0.75))
    moved = {
        name: getattr(start, name) + rng.uniform(-0.006, 0.006) for name in ("ring_below_c7", "ring_to_sound_side")
    }
    harness = replace(
        start, **moved, crossbar=start.crossbar + rng.uniform(-0.05, 0.05), control_strap=rng.uniform(-0.01, 0.01)
    )
    near = SingleControl(start).sweep(ANGLES).guess
    warm, cold = (SingleControl(harness).sweep(ANGLES, guess) for guess in (near, None))
    return float(np.abs(warm.captured - cold.captured).max())


@pytest.mark.parametrize("count", [2, pytest.param(60, marks=pytest.mark.long)])
@pytest.mark.parametrize("pattern", PATTERNS)
def test_a_random_neighbour_changes_nothing(pattern: str, count: int) -> None:
    assert max(_apart(pattern, seed) for seed in range(count)) < 1e-6


@pytest.mark.parametrize("sex", SEXES)
def test_an_anterior_strap_that_hangs_slack_might_as_well_not_be_there(sex: str) -> None:
    """On flexing the arm its lower end comes up and forward; then figure-of-eight and -nine are the same."""
    wearer = Wearer.average(sex)
    eight, nine = (SingleControl(PATTERNS[p](wearer, ring_below_c7=mm(80))).sweep(ANGLES) for p in ("ring", "nine"))
    assert eight.guess.net.tension[3:, eight.guess.asked[-1]].max() < 1.0
    assert eight.captured[-1] == pytest.approx(nine.captured[-1], abs=mm(0.5))


def _lies(system: SingleControl, run: np.ndarray) -> float:
    """How far below C7 a strap crosses the outer part of the blade, 90 mm from the spine [m]."""
    wearer = system.harness.wearer
    at = run[np.abs(run[:, 2] - mm(90)).argmin()]
    return float(wearer.cervicale_height - wearer.suprasternale_height - at[1])


@pytest.mark.parametrize("below", [25, 60])
@pytest.mark.parametrize("who", WORN)
def test_a_cross_back_strap_holds_the_control_strap_low_and_gains_excursion(who: str, below: int) -> None:
    """Study cards: more excursion, and another when the arm is abducted. By 2 to 9 mm here, just snug."""
    bare, held = (
        SingleControl(figure_of_eight(WORN[who]("right"), ring_below_c7=mm(below), cross_back=length))
        for length in (None, 0.0)
    )
    asked = (Pose(arm_flexion=deg(90)), Pose(arm_flexion=deg(30), arm_abduction=deg(45)))
    for without, with_it in zip(bare.over(asked), held.over(asked), strict=True):
        assert mm(1.5) < with_it.excursion.captured - without.excursion.captured < mm(9)
        assert with_it.strap_tension["cross-back strap"] > 10.0
        low, high = (_lies(s, p.straps["control attachment strap"]) for s, p in ((held, with_it), (bare, without)))
        assert low > high + mm(3)


def test_a_cross_back_strap_does_not_spare_the_pull_on_the_cable() -> None:
    """One card says less force: what the device asks for at one travel is the same, only less arm flexion brings it."""
    pull = []
    for length in (None, 0.0, -mm(20)):
        system = SingleControl(figure_of_eight(Wearer.average("male"), cross_back=length))
        motion = system.sweep(deg(1) * np.arange(20.0, 71.0, 5.0))
        travels = motion.captured + SingleControl(system.harness).at().travel
        assert travels[0] < mm(20) < travels[-1]
        pull.append(float(np.interp(mm(20), travels, motion.harness_force)))
    assert pull == pytest.approx([pull[0]] * 3, rel=0.02)


@pytest.mark.parametrize("who", WORN)
def test_a_cross_back_strap_keeps_the_ring_from_wandering_while_it_is_just_snug(who: str) -> None:
    """So says a card: by up to 6 mm here with a high ring, most where it wanders most.

    Taken in 20 mm, it draws the ring along on two of three.
    """
    travel = [
        SingleControl(figure_of_eight(WORN[who]("right"), ring_below_c7=mm(25), cross_back=length))
        .at(arm_flexion=deg(60))
        .ring_travel
        for length in (None, 0.0, -mm(20))
    ]
    assert mm(0.2) < travel[0] - travel[1] < mm(7)
    assert (travel[2] > travel[0]) == (who != "average man")


def test_a_cross_back_strap_let_out_holds_nothing() -> None:
    """Then the harness is the plain one, to half a millimetre."""
    wearer = Wearer.average("male")
    plain, loose = (
        SingleControl(figure_of_eight(wearer, cross_back=length)).sweep(ANGLES) for length in (None, mm(80))
    )
    assert loose.captured == pytest.approx(plain.captured, abs=mm(0.5))
    with pytest.raises(InputError, match="let out further it holds nothing"):
        figure_of_eight(wearer, cross_back=mm(200))


@pytest.mark.parametrize("who", WORN)
def test_a_chest_strap_leaves_the_armpit_free(who: str) -> None:
    wearer = WORN[who]("right")
    for angle in deg(1) * np.array([0.0, 60.0, 90.0]):
        assert SingleControl(chest_strap(wearer)).at(arm_flexion=angle).axilla_line_load == 0.0
    assert SingleControl(figure_of_eight(wearer)).at(arm_flexion=deg(60)).axilla_line_load > 100.0


@pytest.mark.parametrize("side", ["left", "right"])
@pytest.mark.parametrize("who", WORN)
def test_a_chest_strap_keeps_its_branch_low_and_its_straps_taut(who: str, side: str) -> None:
    """The branch stays off the spine and does not ride up; the saddle's strap bears.

    Its suspensor shortens by what pad and socket ride up, and is as long as it was for all that turns with the arm.
    """
    harness = chest_strap(WORN[who](side))
    found = _followed(harness)
    rows = list(found.asked)
    assert found.net.ring[rows, 1].max() - found.donned.ring[1] < mm(5)
    assert np.linalg.norm(found.net.ring[rows] - found.donned.ring, axis=1).max() < mm(20)
    assert found.net.ring[rows, 2].min() > mm(50)  # towards the amputated side, spine at zero
    assert found.net.tension[3, rows[2:]].min() > 14.0
    assert np.ptp(found.net.length[4, rows] + found.net.give[rows]) < mm(0.1)
    dragged = _followed(harness, [Pose(arm_flexion=float(a), socket_slip=mm(1)) for a in ANGLES])
    bears = dragged.net.tension[4, list(dragged.asked)]
    assert bears.min() > 15.0  # a prosthesis of 1.5 kg drags it down by less than a millimetre, at any angle
    assert np.ptp(bears) < 0.05 * bears.max()


@pytest.mark.parametrize("sex", SEXES)
def test_a_chest_strap_can_be_put_on_anybody_and_moved_both_ways(sex: str) -> None:
    low, high = CHEST_LIMITS["ring_below_c7"]
    for wearer in Wearer.draw(sex, 300, seed=5):
        assert low + mm(10) < chest_strap(wearer).ring_below_c7 < high - mm(10)


@pytest.mark.parametrize("who", WORN)
def test_a_chest_strap_runs_at_the_diaphragm_below_the_breasts(who: str) -> None:
    """Level in front and under the sound arm; it rises on the back alone. Chest girth is taken over the breasts."""
    wearer = WORN[who]("right")
    height = built(wearer).height
    for angle in deg(1) * np.array([0.0, 60.0, 90.0]):
        strap = SingleControl(chest_strap(wearer)).at(arm_flexion=angle).straps["chest strap"]
        laid = strap[: len(strap) // 2 + 1]  # from its end below the saddle to under the sound arm
        assert np.ptp(laid[:, 1]) < mm(1)
        assert height["chest"][0] - laid[:, 1].max() > mm(50)
        assert laid[:, 1].min() > height["waist"][0] + mm(100)
        assert strap[strap[:, 0] > 0.0, 1].max() < height["chest"][0] - mm(50)
        assert strap[:, 0].max() > 0.05  # it goes round
        assert strap[:, 0].min() < -0.05


def test_friction_keeps_a_chest_strap_or_a_state_says_that_it_slides() -> None:
    wearer, slides = Wearer.average("male"), State.of("chest-strap-slides-up", strap="chest strap")
    rough, smooth = (
        SingleControl(chest_strap(wearer, skin=Skin(friction=mu))).at(arm_flexion=deg(60)).states
        for mu in (Skin().friction, 0.1)
    )
    assert slides not in rough
    assert slides in smooth


def test_states_call_the_crossing_what_it_is() -> None:
    wearer = Wearer.average("male")
    said = {name: SingleControl(make(wearer)).at(arm_flexion=deg(90)).states for name, make in PATTERNS.items()}
    low = chest_strap(wearer, branch_below_c7=mm(270), branch_to_sound_side=mm(20))  # where the pull leads it up
    said["chest"] = SingleControl(low).at(arm_flexion=deg(90)).states
    (risen,) = (state for state in said["chest"] if state.code == "ring-ridden-up")
    assert risen.values["crossing"] == "branch of the control strap"
    assert float(risen.values["risen"]) > mm(20)
    for state in said["chest"] + said["sewn"]:
        assert state.values.get("crossing") != "ring"


def test_a_sewn_crossing_keeps_its_straps_at_their_angles() -> None:
    """A ring lets straps realign on the way to the mouth; a sewn cross-point turns as a whole instead."""
    wearer = Wearer.average("male")
    mouth = Pose(arm_flexion=deg(70), arm_abduction=deg(20), elbow_flexion=deg(120))
    angles = {}
    for crossing in ("ring", "sewn"):
        found = _followed(figure_of_eight(wearer, ring_below_c7=mm(80), crossing=crossing), [mouth])
        spread = []
        for at in (0, found.asked[0]):
            first = [found.net.nodes[k][at, 0] for k in (OVER, UNDER, CONTROL)]
            if crossing == "ring":
                first = [found.net.nodes[k][at, 1] for k in (OVER, UNDER, CONTROL)]
            ways = [p - found.net.ring[at] for p in first]
            ways = [w / np.linalg.norm(w) for w in ways]
            spread.append(np.arccos([ways[0] @ ways[2], ways[1] @ ways[2]]))
        angles[crossing] = np.abs(spread[1] - spread[0])
        if crossing == "sewn":
            assert abs(found.net.turn[found.asked[0]]) > mm(0.5)
    assert angles["sewn"].max() < deg(2)
    assert angles["ring"].max() > 2.0 * angles["sewn"].max()


def test_a_sewn_crossing_bears_no_moment() -> None:
    """Moment of its straps about the middle, taken from the drawn straps."""
    found = _followed(figure_of_eight(Wearer.average("female"), ring_below_c7=mm(80), crossing="sewn"))
    at = found.asked[-1]
    union = place(built(found.harness.wearer), np.zeros(len(found.poses), dtype=np.intp), found.poses).surface
    _, gradient = Field(union, np.array([at])).slope(found.net.ring[at][:, None])
    normal = gradient[:, 0] / np.linalg.norm(gradient)
    moment = size = 0.0
    for k, run in enumerate(found.harness.layout.runs):
        if run.start == "ring":
            nodes = found.net.nodes[k][at]
            pull = found.net.tension[k, at] * (nodes[1] - nodes[0]) / np.linalg.norm(nodes[1] - nodes[0])
            moment += np.cross(nodes[0] - found.net.ring[at], pull) @ normal
            size += np.linalg.norm(pull) * mm(30)
    assert abs(moment) < 0.01 * size


def test_without_skin_and_friction_the_ring_goes_further() -> None:
    """Each effect can be switched off to see what it does."""
    wearer = Wearer.average("male")

    def at_60(**more: Any) -> Any:
        return SingleControl(figure_of_eight(wearer, ring_below_c7=mm(80), **more)).sweep([deg(60)])

    whole, bare = at_60(), at_60(skin=FREE)
    assert bare.pull(0).ring_travel > 1.5 * whole.pull(0).ring_travel
    assert bare.captured[0] < whole.captured[0]
    loop = bare.guess.net.tension[:2, bare.guess.asked[0]]
    assert loop[0] == pytest.approx(loop[1], rel=1e-6)  # without friction one tension all round
    rubbing = whole.guess.net.tension[:2, whole.guess.asked[0]]
    assert max(rubbing) > 1.2 * min(rubbing)
    stiff = at_60(straps=Straps(webbing=1e6))
    assert stiff.captured[0] > whole.captured[0]


def test_an_elastic_section_gives_its_reach_and_no_more() -> None:
    slip = Pose(socket_slip=mm(20))
    front = {}
    for reach in (0.0, mm(10)):
        harness = figure_of_eight(Wearer.average("male"), straps=Straps(elastic_reach=reach))
        found = _followed(harness, [slip])
        front[reach] = float(found.net.tension[3, found.asked[0]])
    assert front[0.0] > 2.0 * front[mm(10)] > 0.0


def test_unknown_patterns_are_refused_in_words() -> None:
    with pytest.raises(InputError, match=r"'figure-of-ten'.*for example figure_of_eight"):
        Harness(Wearer.average("female"), pattern="figure-of-ten")  # type: ignore[arg-type]


@pytest.mark.parametrize("bad", ["glued", None])
def test_unknown_crossings_are_refused_in_words(bad: Any) -> None:
    with pytest.raises(InputError, match='Give "ring" or "sewn"'):
        figure_of_eight(Wearer.average("female"), crossing=bad)


@pytest.mark.parametrize("pattern", PATTERNS)
def test_a_harness_is_a_value(pattern: str) -> None:
    """Equal settings make equal harnesses with one hash, in this process and the next; another setting another one."""
    one, same = (PATTERNS[pattern](Wearer.average("female")) for _ in range(2))
    sent = pickle.loads(pickle.dumps(one))
    assert one == same == sent
    assert hash(one) == hash(same) == hash(sent)
    assert one != replace(one, crossbar=0.6)
    assert one != PATTERNS["nine" if pattern != "nine" else "ring"](Wearer.average("female"))


def _failures(pattern: str, count: int, seed: int) -> list[str]:
    rng, failed = np.random.default_rng(seed), []
    limits = CHEST_LIMITS if pattern == "chest" else LIMITS
    for k in range(count):
        wearer = Wearer.draw(SEXES[k % 2], 1, seed=seed + k)[0].with_(amputated=("left", "right")[rng.integers(2)])
        drawn = [name for name in limits if name not in ("axilla_loop", "support_strap")]
        asked = {name: float(rng.uniform(*limits[name])) for name in drawn}
        harness = replace(PATTERNS[pattern](wearer), **asked)
        net = _followed(harness).net
        if not (net.settled.all() and net.residual.max() < 1e-3):
            failed.append(f"{asked}: {net.residual.max():.2g} N")
    return failed


@pytest.mark.parametrize("pattern", ["sewn", "cross-back", "nine", "chest"])
@pytest.mark.parametrize("count", [10, pytest.param(1000, marks=pytest.mark.long)])
def test_no_wearer_and_no_placement_fails(pattern: str, count: int) -> None:
    assert _failures(pattern, count, seed=40) == []
