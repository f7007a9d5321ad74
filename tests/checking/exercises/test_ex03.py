"""Exercise 3 alone: its tables, its mechanics, its design. What holds for every exercise is in test_exercises.py."""

from __future__ import annotations

import re
import sys
from collections import Counter
from collections.abc import Callable
from types import ModuleType
from typing import Any

import pytest

from controlkit.checking import Case, Design, judge, own_wearer
from controlkit.classroom import private
from controlkit.exercises.ex03.bench import HIGHEST_RING, RING_FOR, ROOM, SPARE, reference, trial
from controlkit.exercises.ex03.case import asked_motion
from controlkit.units import InputError, mm

CaseOf = Callable[[int], Case]


def good(case: Case, lower: float = 0.0, further: float = 0.0) -> dict[str, Any]:
    """A design that serves a case: the harness of its bench table, or with its ring lower [mm] and crossbar further."""
    placed = reference(case.crossbar_from, *asked_motion(case))
    return {
        "ring_below_c7": f"{placed['ring_below_c7'] / mm(1) + lower:.1f} mm",
        "ring_to_sound_side": "25 mm",
        "crossbar": placed["crossbar"] + further,
        "control_strap": 0,
    }


@pytest.fixture(scope="module")
def case_of(ex03: ModuleType) -> CaseOf:
    """The case of student number so and so, computed once."""
    known: dict[int, Case] = {}

    def find(number: int) -> Case:
        if number not in known:
            known[number] = ex03.exercise.own_case(f"Student {number}")
        return known[number]

    return find


def test_case_is_drawn_anew_alike(ex03: ModuleType, case_of: CaseOf) -> None:
    known = [case_of(number) for number in range(3)]
    sys.modules["controlkit.exercises.ex03.bench"]._measured.cache_clear()
    for number in range(3):
        assert ex03.exercise.own_case(f"  STUDENT {number} ") == known[number]


def test_what_is_shown_is_what_is_judged(ex03: ModuleType, case_of: CaseOf) -> None:
    """Every number that a model uses stands in the table, exactly."""
    hidden = {"taller", "wider", "strap_direction", "loop_opening"}  # shown as stature, chest and three directions
    for number in range(5):
        case = case_of(number)
        text = " ".join(repr(part.text()) for part in ex03.exercise.present(case))
        for name, value in case.as_data().items():
            shown = f"{100 * value:.0f} %" if name == "crossbar_from" else str(value)
            assert name in hidden or shown in text, name
            assert not isinstance(value, float) or value == round(value, 2)


def test_three_directions_balance(ex03: ModuleType, case_of: CaseOf) -> None:
    """From the words of the table alone: three forces in the plane of the back that add to nothing."""
    from math import cos, radians, sin

    for number in range(10):
        case = case_of(number)
        table = ex03.exercise.present(case)[3]
        tension = ex03.exercise.right(case)["loop_tension"]
        up = across = 0.0
        for (_, heading), pull in zip(table.rows, (case.ring_pull, tension, tension), strict=True):
            level = heading.startswith("level")
            angle = 0 if level else int(re.findall(r"(\d+)°", heading)[0]) * (1 if "above" in heading else -1)
            up += pull * sin(radians(angle))
            across += pull * cos(radians(angle)) * (1 if heading.endswith("right") else -1)
        assert abs(up) < 1e-9 * case.ring_pull
        assert abs(across) < 1e-9 * case.ring_pull


def test_moment_arm_from_the_table_is_the_models_own(ex03: ModuleType, case_of: CaseOf) -> None:
    """Between two near angles growth over angle is the moment arm that the mechanics reports at their middle."""
    import numpy as np

    from controlkit.checking import own_wearer
    from controlkit.mechanics import SingleControl, figure_of_eight
    from controlkit.units import deg

    system = SingleControl(figure_of_eight(own_wearer(case_of(0).values)))
    low, middle, high = system.sweep(deg(1) * np.array([44.0, 45.0, 46.0])).pulls
    rate = (high.excursion.generated - low.excursion.generated) / deg(2)
    assert rate == pytest.approx(middle.moment_arm, rel=2e-3)


SETTINGS = ("ring_below_c7", "ring_to_sound_side", "crossbar", "control_strap")


def soonest(case_of: CaseOf) -> Case:
    """A case whose device must open with the least motion."""
    return min(map(case_of, range(30)), key=lambda case: (case.design_angle, case.design_forward))


def said(ex03: ModuleType, case: Case, **changes: Any) -> tuple[float, str]:
    judged = judge(ex03.exercise, "design", {**good(case), **changes}, case)
    return judged.points, judged.words


@pytest.mark.parametrize(
    ("lower", "further"),
    [(2.0, 0.0), *(pytest.param(*each, marks=pytest.mark.long) for each in ((-1.0, 0.0), (0.0, 0.005), (1.0, -0.005)))],
)
def test_more_than_one_design_serves(
    ex03: ModuleType, case_of: CaseOf, root: Any, lower: float, further: float
) -> None:
    kept_back = private("ex03", root)
    for number in range(12):
        design = good(case_of(number), lower, further)
        judged = judge(ex03.exercise, "design", design, case_of(number), kept_back=kept_back)
        assert judged.points == 6, judged.words


@pytest.mark.parametrize("names", [5, pytest.param(30, marks=pytest.mark.long)])
def test_every_case_has_a_design_that_serves_it_and_all_others(
    ex03: ModuleType, case_of: CaseOf, root: Any, names: int
) -> None:
    """Whatever is asked can be met: own wearers of many names, bodies of notebook and grading."""
    kept_back = private("ex03", root)
    for number in range(names):
        case = case_of(number)
        assert said(ex03, case)[0] == 6
        assert judge(ex03.exercise, "design", good(case), case, kept_back=kept_back).points == 6


@pytest.mark.long
def test_every_demand_can_be_met_on_every_body(ex03: ModuleType, root: Any) -> None:
    """Ends and middle of the room for the crossbar with each motion: the harness behind it serves all other bodies."""
    item = ex03.exercise.item("design")
    people = [body.make() for body in (*item.bodies, *private("ex03", root).items["design"].bodies)]
    rooms = ex03.exercise.plan.draws["crossbar_from"].values()
    for room in (rooms[0], rooms[len(rooms) // 2], rooms[-1]):
        for asked in RING_FOR:
            choice = dict(reference(room, *asked))
            assert HIGHEST_RING <= choice["ring_below_c7"] <= mm(80)
            assert all(item.works(trial(person, choice, asked)) for person in people), (room, asked)


@pytest.mark.long
def test_no_one_design_serves_everybody(ex03: ModuleType, case_of: CaseOf) -> None:
    """Crossbars and rings all over their ranges, each tried on whoever of thirty names has room for the crossbar.

    Of the other bodies only the most demanding is asked: all of them would leave still fewer.
    """
    item, full = ex03.exercise.item("design"), Counter[tuple[float, int]]()
    short = item.bodies[0].make()
    for case in map(case_of, range(30)):
        asked = asked_motion(case)
        for place in range(round(100 * ROOM) + 1):
            crossbar = round(case.crossbar_from + place / 100, 2)
            needed = 1000 * reference(crossbar - ROOM / 2, *asked)["ring_below_c7"]
            for below in range(20, min(case.ring_lowest, round(needed) + 14) + 1, 2):
                if below < needed - 6:  # too high for the most demanding body, asked once more below
                    continue
                choice = {**reference(0.5, *asked), "ring_below_c7": mm(below), "crossbar": crossbar}
                if not serves_own(item, choice, case) and below > needed:
                    break
                if serves_own(item, choice, case) and item.works(trial(short, choice, asked)):
                    full[crossbar, below] += 1
    assert max(full.values()) <= 4, full.most_common(5)
    assert len(full) >= 100


@pytest.mark.long
def test_no_rule_from_the_lowest_ring_serves_everybody(ex03: ModuleType, case_of: CaseOf) -> None:
    """So much above the lowest ring allowed, crossbar in the middle of its room, nothing let out: a third at most."""
    item, served = ex03.exercise.item("design"), Counter[int]()
    short = item.bodies[0].make()
    for case in map(case_of, range(30)):
        asked, placed = asked_motion(case), reference(case.crossbar_from, *asked_motion(case))
        spare = round(case.ring_lowest - 1000 * placed["ring_below_c7"])
        assert SPARE[0] - 1 <= spare <= SPARE[1]
        for above in range(max(0, spare - 14), spare + 5):
            choice = {**placed, "ring_below_c7": mm(case.ring_lowest - above)}
            if serves_own(item, choice, case) and item.works(trial(short, choice, asked)):
                served[above] += 1
    assert max(served.values()) <= 10, served.most_common(5)
    assert len(served) >= 20


def test_what_comes_free_earns_nothing_where_the_device_stays_shut(ex03: ModuleType, case_of: CaseOf) -> None:
    """A slack harness is shut at rest, asks nothing of the shoulder and lies where it is fitted."""
    points, words = said(ex03, case_of(0), control_strap="60 mm")
    assert points == 0
    assert "So far without points: the device stays shut" in words


def serves_own(item: Design, choice: dict[str, float], case: Case) -> bool:
    done = trial(own_wearer(case.values), choice, asked_motion(case))
    return all(criterion.share(done, case) == 1.0 for criterion in item.criteria)


def test_met_lines_carry_their_figure(ex03: ModuleType, case_of: CaseOf) -> None:
    for number in range(3):
        case = case_of(number)
        _, words = said(ex03, case)
        assert re.search(
            rf"Yes: the device opens fully .*: (\d+) of \1 mm at {case.design_angle}° and {case.design_forward}°\.",
            words,
        )
        moment = re.search(r"Yes: the strap asks no more .*: (\d\.\d\d) N m, allowed (\d\.\d\d) N m\.", words)
        assert moment is not None
        assert float(moment[1]) <= float(moment[2]) == case.design_moment
        assert "Yes: the device stays shut and the strap unloaded while the arm hangs: opening 0 mm, pull" in words
        _, words = said(ex03, case, ring_below_c7="90 mm")
        assert "Not yet (90 mm below C7, 25 mm off the spine): the ring does not lie where it is fitted" in words


def test_graded_bodies_are_other_people_of_kinds_that_may_be_told(ex03: ModuleType, root: Any) -> None:
    kept_back = private("ex03", root)
    item = ex03.exercise.item("design")
    seen = {body.make() for body in item.bodies}
    assert not seen & {body.make() for body in kept_back.items["design"].bodies}
    assert {body.kind for body in item.bodies} <= {body.kind for body in kept_back.items["design"].bodies}


@pytest.mark.long
def test_a_placement_once_learned_does_not_serve_everybody(ex03: ModuleType, case_of: CaseOf) -> None:
    """Ring and crossbar of practice, on a short woman with a narrow chest."""
    points, words = said(ex03, soonest(case_of), ring_below_c7="25 mm", crossbar=0.55)
    assert "a short woman with a narrow chest" in words
    assert "does not open fully" in words
    assert points < 5


def test_a_ring_too_high_does_not_open_the_device(ex03: ModuleType, case_of: CaseOf) -> None:
    points, words = said(ex03, soonest(case_of), ring_below_c7="10 mm", crossbar=0.4)
    assert "does not open fully" in words
    assert "the ring does not lie where it is fitted" in words
    assert points < 4


def test_all_that_the_range_allows_costs_the_shoulder(ex03: ModuleType, case_of: CaseOf) -> None:
    """The lowest ring, and the crossbar at the end of its room, open every device at a moment that is not allowed."""
    for number in range(4):
        room = case_of(number).crossbar_from + ROOM
        points, words = said(ex03, case_of(number), ring_below_c7="60 mm", crossbar=room)
        assert "asks more of the shoulder than the table allows" in words
        assert "Yes: the device opens fully" in words
        assert points <= 5


def test_a_ring_lower_than_it_is_fitted_is_named_and_costs_the_shoulder(ex03: ModuleType, case_of: CaseOf) -> None:
    for number in range(4):
        points, words = said(ex03, case_of(number), ring_below_c7="110 mm", crossbar=0.6)
        assert "the ring does not lie where it is fitted" in words
        assert "asks more of the shoulder than the table allows" in words
        assert "Yes: the device opens fully" in words
        assert points <= 4.5


def test_a_lower_ring_only_pays_where_the_strap_lies_on_the_arm(ex03: ModuleType, case_of: CaseOf) -> None:
    """At the angle of the design the moment arm grows with the ring's depth; at 60 degrees it is nearly the same."""
    from controlkit.checking import own_wearer
    from controlkit.mechanics import SingleControl, figure_of_eight
    from controlkit.units import deg, mm

    case = case_of(1)
    arms = []
    for below in (25, 60):
        system = SingleControl(figure_of_eight(own_wearer(case.values), ring_below_c7=mm(below), crossbar=0.6))
        arms.append([pull.moment_arm for pull in system.sweep([deg(case.design_angle), deg(60)]).pulls])
    (high, high_60), (low, low_60) = arms
    assert low > 1.15 * high
    assert low_60 < 1.08 * high_60


def test_a_strap_taken_in_pulls_at_rest(ex03: ModuleType, case_of: CaseOf) -> None:
    for taken_in in ("-5 mm", "-15 mm", "-25 mm"):
        points, words = said(ex03, case_of(1), control_strap=taken_in)
        assert "while the arm hangs the strap pulls" in words
        assert "on another body it does not do its work" in words
        assert points <= 3.5


def test_a_ring_on_the_spine_and_a_crossbar_at_the_elbow_are_named(ex03: ModuleType, case_of: CaseOf) -> None:
    _, words = said(ex03, case_of(1), ring_to_sound_side="5 mm", crossbar=0.8)
    assert "the ring does not lie where it is fitted" in words
    assert "the cuff leaves no room for the crossbar there" in words


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"ring_below_c7": "300 mm"}, "Give between 10"),
        ({"crossbar": 12}, "Give between 25 % and 90 %"),
        ({"crossbar": "0,6 mm"}, "crossbar:"),
        ({"control_strap": "-3 in"}, "too short to don"),
        ({"ring_to_sound_side": ...}, "nothing stands here yet"),
        ({"ring_below_c7": (9, 5)}, "two numbers, 9 and 5"),
        ({"extra": 1}, "and no others"),
    ],
    ids=[
        "ring too low",
        "crossbar off the arm",
        "share with a unit",
        "strap too short",
        "half blank",
        "a pair",
        "one more",
    ],
)
def test_a_design_that_cannot_be_read_or_worn_costs_nothing(
    ex03: ModuleType, case_of: CaseOf, changes: dict[str, Any], words: str
) -> None:
    judged = judge(ex03.exercise, "design", {**good(case_of(1)), **changes}, case_of(1))
    assert words in judged.words
    assert judged.points == 0
    assert not judged.costs_attempt
    assert "Traceback" not in judged.words


@pytest.mark.parametrize("answer", [..., None, "", 5, "low", [], dict.fromkeys(SETTINGS, ...), {}, {"crossbar": 0.6}])
def test_a_design_without_settings_is_said(ex03: ModuleType, case_of: CaseOf, answer: Any) -> None:
    judged = judge(ex03.exercise, "design", answer, case_of(1))
    assert judged.points == 0
    assert judged.feedback[0].kind in ("blank", "unreadable")


def test_units_of_a_design_may_be_mixed(ex03: ModuleType, case_of: CaseOf) -> None:
    plain = good(case_of(1))
    below = float(plain["ring_below_c7"].removesuffix(" mm"))
    shared = f"{100 * plain['crossbar']:.0f} %"
    mixed = {"ring_below_c7": below, "ring_to_sound_side": "1 in", "crossbar": shared, "control_strap": "0 cm"}
    assert judge(ex03.exercise, "design", mixed, case_of(1)).points == 6


def test_a_missing_private_file_stops_the_grading(tmp_path: Any) -> None:
    with pytest.raises(InputError, match=r"solutions/ex03_graded\.py was found neither here"):
        private("ex03", tmp_path)
    (tmp_path / "solutions").mkdir()
    (tmp_path / "solutions" / "ex03_graded.py").write_text("bodies = ()\n", encoding="utf-8")
    with pytest.raises(InputError, match="does not define `kept_back`"):
        private("ex03", tmp_path / "solutions")


def test_a_design_is_the_same_after_another_one(case_of: CaseOf) -> None:
    """A trial starts from the design tried before; that makes it faster, never different."""
    from controlkit.exercises.shared import followed

    wearer = own_wearer(case_of(0).values)
    place = {"ring_below_c7": mm(45), "ring_to_sound_side": mm(25)}
    others = [{**place, "crossbar": at, "control_strap": mm(let_out)} for at, let_out in ((0.55, 4), (0.7, -6))]
    choice, done = {**place, "crossbar": 0.62, "control_strap": mm(-1.0)}, []
    for before in ((), others[:1], others[1:], others):
        _tried_anew()
        for other in before:
            trial(wearer, other, (25, 20))
        assert bool(followed._latest(wearer)) == bool(before)
        done.append(trial(wearer, choice, (25, 20)))
    for warm in done[1:]:
        assert warm.led.travel(1) == pytest.approx(done[0].led.travel(1), abs=1e-6)
        assert warm.led.found.net.ring[-1] == pytest.approx(done[0].led.found.net.ring[-1], abs=1e-6)


def _tried_anew() -> None:
    for name in ("ex03.bench", "shared.followed"):
        for kept in vars(sys.modules[f"controlkit.exercises.{name}"]).values():
            if hasattr(kept, "cache_clear"):
                kept.cache_clear()


def test_growth_straight_across_gets_its_own_question(ex03: ModuleType, case_of: CaseOf) -> None:
    """The column of the caliper in place of that of the tape."""
    from math import radians

    for number in range(12):
        case = case_of(number)
        across = case[f"across_{case.arm_to}"] - case[f"across_{case.arm_from}"]
        judged = judge(ex03.exercise, "moment_arm", across / radians(case.arm_to - case.arm_from), case)
        assert judged.feedback[0].label == "straight-through-body"
        assert "Which column is measured along the strap" in judged.words
        assert "radian" not in judged.words


def test_the_crossbar_is_shown_in_per_cent_as_in_the_lab(ex03: ModuleType, case_of: CaseOf) -> None:
    case = case_of(2)
    room = f"{100 * case.crossbar_from:.0f} % and {100 * case.crossbar_from + 100 * ROOM:.0f} % of the upper arm"
    assert any(f"between {room}" in repr(part.text()) for part in ex03.exercise.present(case)), room
    _, words = said(ex03, case, crossbar="80 %")
    assert f"(at 80 %, room from {100 * case.crossbar_from:.0f} %" in words
    assert "The crossbar is a lever too" in said(ex03, case, ring_below_c7="20 mm")[1]
