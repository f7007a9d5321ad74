"""Many wearers at once: the same answer as one by one, whoever works on it, stopped or not."""

from __future__ import annotations

import importlib
import signal
from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from scipy import stats

from controlkit.executors import processes as own
from controlkit.mechanics import SingleControl, Wearer, figure_of_eight
from controlkit.mechanics.harness.layout import LONG
from controlkit.mechanics.study import control_paths as paths
from controlkit.mechanics.study.drivers import MEASURES, drivers, measure
from controlkit.mechanics.study.population import FLEXION, Population, population
from controlkit.sources import source
from controlkit.units import InputError, deg, mm

module = importlib.import_module("controlkit.mechanics.study.population")  # the room shows its function by that name


def same(one: Population, other: Population) -> bool:
    names = ("measures", "generated", "moment_arm", "captured", "done", "settled")
    return all(np.array_equal(getattr(one, n), getattr(other, n), equal_nan=True) for n in names)


@pytest.fixture(scope="module")
def women() -> Population:
    return population("female", 120, seed=3, processes=1)


def test_each_wearer_gets_the_answer_of_single_control(women: Population, monkeypatch: pytest.MonkeyPatch) -> None:
    """With the nodes that straps of a net have to rounding; with the fewer of a population within 0.01 mm."""
    rows = (0, 57, 119)
    motions = [SingleControl(figure_of_eight(women.wearer(k))).sweep(FLEXION) for k in rows]
    generated = np.array([motion.generated for motion in motions])
    np.testing.assert_allclose(women.generated[list(rows)], generated, atol=mm(0.01))
    monkeypatch.setattr(paths, "RUN", replace(paths.RUN, nodes=LONG))
    paths._average_path.cache_clear()
    length, arm = paths.control_paths([women.wearer(k) for k in rows], women.where, FLEXION)
    paths._average_path.cache_clear()
    np.testing.assert_allclose(length - length[:, :1], generated, atol=1e-8)
    arms = [[pull.moment_arm for pull in motion.pulls] for motion in motions]
    np.testing.assert_allclose(arm, arms, rtol=1e-5)


def test_rows_are_the_wearers(women: Population) -> None:
    assert women.wearer(5).stature == women.measures[5, 0]
    assert len(np.unique(women.measures[:, 0])) == 120  # nobody twice


def test_excursion_is_what_the_moment_arm_gathers() -> None:
    """Simpson's rule over steps of three degrees; where a strap snaps over the deltoid the law does not hold."""
    some = population("female", 25, 3, arm_flexion=np.deg2rad(np.arange(0.0, 91.0, 3.0)), processes=1)
    weight = np.where(np.arange(31) % 2 == 1, 4.0, 2.0)
    weight[[0, -1]] = 1.0
    off = np.abs(some.generated[:, -1] - deg(3) / 3.0 * (some.moment_arm * weight).sum(axis=1))
    assert np.median(off) < mm(0.02)
    assert np.count_nonzero(off > mm(0.2)) <= 1


def test_the_number_of_processes_changes_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    ask: dict[str, Any] = {"arm_flexion": FLEXION[:2]}
    count = module.LOT + 30
    assert same(population("male", count, 8, processes=1, **ask), population("male", count, 8, processes=2, **ask))


def test_angles_between_the_steps_are_followed_too() -> None:
    whole = population("male", 5, 2, processes=1)
    part = population("male", 5, 2, arm_flexion=[deg(40), deg(90)], processes=1)
    assert part.generated.shape == (5, 2)
    np.testing.assert_allclose(part.generated[:, 1], whole.generated[:, -1], atol=1e-8)


@pytest.fixture
def small_lots(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "LOT", 8)


def stopped(how: Callable[[float], object], **ask: Any) -> Population:
    return population("male", 30, 4, arm_flexion=FLEXION[:2], processes=1, progress=how, **ask)


@pytest.mark.usefixtures("small_lots")
def test_stopped_and_resumed_loses_nothing() -> None:
    shares: list[float] = []

    def until_half(share: float) -> bool:
        shares.append(share)
        return share < 0.5

    half = stopped(until_half)
    assert half.done.sum() == 16
    assert np.isnan(half.generated[16:]).all()
    whole = stopped(shares.append, start=half)
    assert shares == pytest.approx([8 / 30, 16 / 30, 24 / 30, 1.0])  # nothing was done twice
    assert same(whole, stopped(lambda _: None))


@pytest.fixture
def keyboard() -> Iterator[None]:
    """An interrupt is heard, even where the shell that started the tests has it ignored, as `nohup` does."""
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    yield
    signal.signal(signal.SIGINT, before)


@pytest.mark.usefixtures("small_lots", "keyboard")
def test_interrupted_from_the_keyboard_keeps_what_is_done() -> None:
    def press(share: float) -> None:
        if share > 0.5:
            signal.raise_signal(signal.SIGINT)

    assert stopped(press).done.sum() == 16


@pytest.mark.usefixtures("small_lots")
def test_where_no_process_can_be_started_this_one_works(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: Any, **__: Any) -> None:
        raise OSError("no more processes")

    monkeypatch.setattr(own, "ProcessPoolExecutor", refuse)
    alone = population("male", 20, 4, arm_flexion=FLEXION[:2], processes=2)
    assert alone.settled.all()


@pytest.mark.long
@pytest.mark.usefixtures("small_lots")
def test_processes_that_die_leave_the_work_to_this_one(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(own, "_leave_to_parent", _die)
    alone = population("male", 20, 4, arm_flexion=FLEXION[:2], processes=2)
    assert alone.settled.all()


def _die() -> None:
    raise SystemExit("a process that cannot work")


def test_a_larger_population_begins_with_the_smaller_one(women: Population) -> None:
    np.testing.assert_allclose(population("female", 7, 3, processes=1).generated, women.generated[:7], atol=1e-9)


def test_one_impossible_body_takes_nobody_along(monkeypatch: pytest.MonkeyPatch) -> None:
    wearers = Wearer.draw("male", 9, seed=6)
    bad, build = wearers[4], paths.build

    def refuse(some: Any) -> Any:
        if bad in some:
            raise InputError(given="does not close")
        return build(some)

    where = paths.RingPlacement(ring_below_c7=0.025, ring_to_sound_side=0.025, crossbar=0.55)
    right = paths.control_paths(wearers, where, FLEXION[:2])[0]
    monkeypatch.setattr(paths, "build", refuse)
    length = paths.control_paths(wearers, where, FLEXION[:2])[0]
    assert np.isnan(length[4]).all()
    np.testing.assert_allclose(np.delete(length, 4, axis=0), np.delete(right, 4, axis=0), atol=1e-9)


def test_a_path_that_is_led_astray_is_brought_back(monkeypatch: pytest.MonkeyPatch) -> None:
    """One of the few whose strap, looking ahead, lands beyond the arm; its length then does not fit its rate."""
    where = paths.RingPlacement(ring_below_c7=0.06, ring_to_sound_side=0.025, crossbar=0.55)
    lot = module._Lot(sex="female", seed=1, first=8131, count=1, where=where, stations=FLEXION, asked=(), net=False)
    wearers = lot.wearers()
    right = SingleControl(figure_of_eight(wearers[0], ring_below_c7=0.06)).sweep(FLEXION).generated
    length = paths.control_paths(wearers, lot.where, FLEXION)[0][0]
    np.testing.assert_allclose(length - length[0], right, atol=mm(0.01))
    monkeypatch.setattr(paths, "JUMP", np.inf)
    astray = paths.control_paths(wearers, lot.where, FLEXION)[0][0]
    assert (astray - length).max() > mm(20)


def test_the_whole_net_of_everybody() -> None:
    some = population("female", 2, 5, arm_flexion=[0.0, deg(60)], net=True, processes=1)
    motion = SingleControl(figure_of_eight(some.wearer(1))).sweep([0.0, deg(60)])
    np.testing.assert_allclose(some.captured[1], motion.captured, atol=1e-12)
    assert (some.captured[:, 1] < some.generated[:, 1]).all()


@pytest.mark.parametrize(
    ("ask", "words"),
    [
        ({"count": 0}, "at least 1"),
        ({"count": 2.5}, "at least 1"),
        ({"seed": -1}, "0 or more"),
        ({"sex": "both"}, "female"),
        ({"arm_flexion": []}, "rising"),
        ({"arm_flexion": [0.5, 0.2]}, "rising"),
        ({"arm_flexion": [-0.5]}, "rising"),
        ({"arm_flexion": [deg(175)]}, "170"),
        ({"arm_flexion": ["wide"]}, "deg"),
        ({"ring_below_c7": 0.5}, "below C7"),
        ({"crossbar": 2.0}, "upper arm"),
    ],
)
def test_what_cannot_be_asked(ask: dict[str, Any], words: str) -> None:
    with pytest.raises(InputError, match=words):
        population(**{"sex": "male", "count": 3, "seed": 1, "processes": 1, **ask})


def test_a_start_from_another_question_is_refused(women: Population) -> None:
    with pytest.raises(InputError, match="something else"):
        population("female", 120, seed=4, processes=1, start=women)


def test_drivers_against_statistics_done_another_way(women: Population) -> None:
    """Simple shares from scipy, coefficients from raw measures with an intercept, the whole share from its residual."""
    table = drivers(women)
    bodies = np.stack([measure(women, name) for name in MEASURES], axis=1)
    excursion = women.generated[:, -1]
    alone = [stats.linregress(column, excursion).rvalue ** 2 for column in bodies.T]
    np.testing.assert_allclose(table.alone, alone, rtol=1e-10)
    raw, residual, _, _ = np.linalg.lstsq(np.column_stack([np.ones(len(bodies)), bodies]), excursion, rcond=None)
    np.testing.assert_allclose(table.coefficient, raw[1:] * bodies.std(axis=0) / excursion.std(), rtol=1e-8)
    assert table.together == pytest.approx(1.0 - residual[0] / ((excursion - excursion.mean()) ** 2).sum(), rel=1e-9)
    assert (table.wearers, table.unanswered) == (120, 0)


def test_drivers_have_the_signs_that_mechanics_says(women: Population) -> None:
    """Sloping shoulders bring the ring nearer to the shoulder's height; a thick arm and deltoid carry the strap out."""
    sign = dict(zip(MEASURES, drivers(women).coefficient, strict=True))
    assert sign["c7_above_acromion"] < 0.0 < sign["biceps_circumference_flexed"]
    with pytest.raises(InputError, match="50 wearers"):
        drivers(population("male", 4, 1, processes=1))
    with pytest.raises(InputError, match="shoe"):
        drivers(women, ("shoe",))


@pytest.mark.long
@pytest.mark.parametrize("sex", ["female", "male"])
def test_ten_thousand_wearers_give_the_stored_table(sex: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Nobody without an answer; the table in the sources is what comes out, digit for digit."""
    everybody = population(sex, 10_000, seed=1)
    assert everybody.settled.all()
    table = drivers(everybody)
    half = 0.5 + 1e-6
    stored = source(f"population_excursion_{sex}")
    assert table.mean == pytest.approx(stored.si, abs=half * mm(0.1))
    assert table.sd == pytest.approx(stored.si_sd, abs=half * mm(0.1))
    assert table.together == pytest.approx(source(f"excursion_drivers_together_{sex}").si, abs=half * 0.01)
    for name, found in (("", table.coefficient), ("alone_", table.alone)):
        np.testing.assert_allclose(found, source(f"excursion_drivers_{name}{sex}").series, atol=half * 0.01)
    gathered = 0.5 * deg(15) * (everybody.moment_arm[:, 1:] + everybody.moment_arm[:, :-1])
    snaps = (np.abs(np.diff(everybody.generated) - gathered) > mm(2)).any(axis=1)
    with capsys.disabled():
        print(f"\n{sex}: {table}\nstraps that snap over the deltoid on the way: {snaps.mean():.2%}")
    assert not snaps.any()  # below a ring beside C7 the strap comes over the deltoid from the start
