"""Whom dual control serves: each wearer as dual control says, resumed alike, and why sexes and limbs differ."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import lru_cache
from typing import Any

import numpy as np
import pytest

from controlkit.mechanics import DualControl, Pose, Wearer, above_elbow_eight
from controlkit.mechanics.body.remembered import built
from controlkit.mechanics.chain.dual.capture import PULLS
from controlkit.mechanics.chain.shoulder import ELBOW as UNIT
from controlkit.mechanics.chain.shoulder import weight_moment
from controlkit.mechanics.elbow import GRAVITY, Piece, ProstheticForearm, forearm_of
from controlkit.mechanics.elbow.forearm import SHELL
from controlkit.mechanics.harness.donning import NoHoldError
from controlkit.mechanics.study import dual
from controlkit.mechanics.study.dual import BUDGETS, ELBOW, MOTIONS, DualPopulation, dual_population, tally
from controlkit.units import InputError, deg, mm

SEXES = ("female", "male")
ALONE, BOTH = MOTIONS.values()


@lru_cache(maxsize=4)
def few(sex: str) -> DualPopulation:
    return dual_population(sex, 2, 11, ring_below_c7=mm(50))


@lru_cache(maxsize=16)
def _average(sex: str, ring: float = mm(25), share: float = 0.6, forearm_from: str = "") -> DualControl:
    """The average wearer, with the forearm of the average of another sex where asked."""
    wearer = Wearer.average(sex, level="transhumeral", residual_share=share)
    other = Wearer.average(forearm_from or sex, level="transhumeral")
    return DualControl(harness=above_elbow_eight(wearer, ring_below_c7=ring), forearm=forearm_of(other))


def _systems(found: DualPopulation) -> list[DualControl]:
    wearers = Wearer.draw(found.sex, len(found.done), found.seed)
    shares = found.residual_share.tolist()
    return [
        DualControl(
            harness=above_elbow_eight(
                wearer.with_(level="transhumeral", residual_share=share), ring_below_c7=found.ring_below_c7
            )
        )
        for wearer, share in zip(wearers, shares, strict=True)
    ]


def test_each_wearer_gets_the_answer_of_dual_control() -> None:
    found = few("female")
    for k, system in enumerate(_systems(found)):
        for column, angles in enumerate((ALONE, BOTH)):
            lifted, opened = system.lift([ELBOW], **angles), system.open_locked([ELBOW], **angles)
            assert found.lift_flexion[k, column] == pytest.approx(float(lifted.arm_flexion[0]), abs=1e-12)
            assert found.generated[k, column] == pytest.approx(opened.generated, abs=1e-12)
            assert found.opening[k, column] == pytest.approx(opened.opening[0] / system.device.full_opening)
            whole = opened.limited_by[0] == "nothing"
            assert bool(found.opens[k, column]) == whole
            assert (found.captured[k, column] >= found.needed[k]) == whole


def test_the_device_is_just_open_at_the_flexion_given() -> None:
    found = few("female")
    for k, system in enumerate(_systems(found)):
        at = found.open_flexion[k, 1]
        if np.isfinite(at) and at > deg(2):
            there, before = (system.open_locked([ELBOW], a, **BOTH).limited_by[0] for a in (at, at - deg(1.1)))
            assert (there, before) == ("nothing", "excursion")


def test_the_shoulder_bears_pull_times_lever_and_the_weight() -> None:
    """By virtual work on the generated excursion: about what the control strap makes, the others nearly slack."""
    found = few("female")
    for k, system in enumerate(_systems(found)):
        flexion = min(float(found.open_flexion[k, 1]), system.furthest)
        table, step = system.capture(**BOTH), deg(2)
        low, high = max(flexion - step, 0.0), min(flexion + step, system.furthest)
        lever = float(np.diff(table.gives(np.array([low, high])))[0]) / (high - low)
        wearer = system.harness.wearer
        weight = weight_moment(wearer, Pose(arm_flexion=flexion, elbow_flexion=ELBOW, **BOTH))
        expected = float(found.open_force[k, 1]) * lever + weight
        share = expected / system.strength.flexion(wearer.sex, flexion)
        assert found.shoulder_open[k, 1] == pytest.approx(share, rel=0.2)


def test_the_arm_above_the_elbow_weighs_what_its_pieces_weigh() -> None:
    """Held level and straight: every piece at its distance. A longer residual limb weighs more."""
    man = Wearer.average("male", level="transhumeral")
    level = Pose(arm_flexion=deg(90), arm_abduction=0.0)
    bare = ProstheticForearm((Piece("nothing", 0.0, 0.0),))
    heavy = ProstheticForearm((Piece("all of it", 1.0, 0.2),))
    without, with_it = (weight_moment(man, level, forearm=forearm) for forearm in (bare, heavy))
    elbow = (with_it - without) / GRAVITY - 0.2
    assert elbow == pytest.approx(float(built(man).upper_arm[0]), rel=0.01)
    pieces = (SHELL * 0.5 + UNIT) * elbow
    limb = without / GRAVITY - pieces
    assert 0.0 < limb < 0.5 * elbow * 0.03 * man.mass  # a share of an upper arm of some 3 % of the body
    at = [weight_moment(replace(man, residual_share=share), level) for share in (0.3, 0.6, 0.9)]
    assert at == sorted(at)
    assert weight_moment(man, Pose(arm_abduction=0.0)) == pytest.approx(0.0, abs=0.2)


def test_stopped_and_taken_up_again_it_is_the_same() -> None:
    seen: list[float] = []

    def stop(share: float) -> bool:
        seen.append(share)
        return False

    whole = few("female")
    part = dual_population("female", 2, 11, ring_below_c7=mm(50), progress=stop)
    assert seen == [pytest.approx(1 / 2)]
    assert part.done.tolist() == [True, False]
    assert np.isnan(part.captured[1:]).all()
    again = dual_population("female", 2, 11, ring_below_c7=mm(50), start=part)
    for name, values in vars(whole).items():
        if isinstance(values, np.ndarray):
            assert np.array_equal(values[:1], getattr(part, name)[:1])
            assert np.array_equal(values, getattr(again, name))


def test_shares_count_who_is_served() -> None:
    found = few("female")
    assert found.spent.shape == (2, 2, len(BUDGETS))
    assert np.array_equal(found.share_served, found.served.mean(axis=0))
    weak = replace(found, cable_share=found.cable_share * 10.0)
    assert not weak.served.any()
    assert (weak.runs_out_first[found.settled] == "cable strength").all()
    opens_first = replace(found, shut=np.zeros_like(found.shut))
    assert not opens_first.lifts.any()
    halves = found.by_limb((0.2, 0.95))
    assert np.array_equal(halves[0], found.share_served)
    assert np.isnan(found.by_limb((0.2, 0.21))).all()
    assert tally({"women": found}).count("\n") == len(MOTIONS) - 1


@pytest.mark.parametrize("sex", SEXES)
def test_excursion_is_what_runs_out(sex: str) -> None:
    """Cable and shoulder take less than their strength where the cable is already too short."""
    found = few(sex)
    assert (found.runs_out_first[found.settled] == "excursion").all()
    assert (found.cable_share < 0.5).all()


def test_the_forearm_is_not_why_more_women_than_men_lift() -> None:
    """Expected: a shorter forearm. It is the harness: a man with a woman's forearm lifts no better, the ring alike."""
    own = {sex: bool(_average(sex).lift([ELBOW]).lifts[0]) for sex in SEXES}
    swapped = {
        sex: bool(_average(sex, forearm_from=other).lift([ELBOW]).lifts[0])
        for sex, other in (("female", "male"), ("male", "female"))
    }
    assert own == swapped == {"female": True, "male": False}
    light, heavy = (_average(sex).lifted_forearm.largest_moment for sex in SEXES)
    assert light < heavy  # and yet


def _lost(sex: str, ring: float) -> float:
    """What the average wearer's harness keeps of arm flexion to 60 degrees against 35 N."""
    table = _average(sex, ring).capture()
    return float(table.gives(deg(60)) - table.at(deg(60), PULLS[2]))


def test_it_is_the_ring_that_rides_down() -> None:
    """At one inch below C7 a man's harness keeps twice as much as a woman's; with the ring lower both are alike."""
    lost = {sex: [_lost(sex, ring) for ring in (mm(25), mm(50), mm(80))] for sex in SEXES}
    assert lost["male"][0] > 1.5 * lost["female"][0]
    assert lost["male"] == sorted(lost["male"], reverse=True)
    apart = [man - woman for man, woman in zip(lost["male"], lost["female"], strict=True)]
    assert apart[2] < 0.25 * apart[0]
    assert bool(_average("male", mm(50)).lift([ELBOW]).lifts[0])


@pytest.mark.parametrize("sex", SEXES)
def test_a_longer_residual_limb_gives_more_cable(sex: str) -> None:
    """The base plate sits an inch above its end: lower down, the strap has the longer arm about the shoulder."""
    gives = [float(_average(sex, mm(50), share).capture().generated[-1]) for share in (0.4, 0.6, 0.8)]
    assert gives == sorted(gives)
    assert gives[-1] > 1.1 * gives[0]


@pytest.mark.long
def test_more_women_than_men_lift_with_the_ring_high_and_as_many_with_it_low() -> None:
    """A test of direction over 25 wearers of either sex; long residual limbs serve better than short ones."""
    high = {sex: dual_population(sex, 25, 4, ring_below_c7=mm(25)) for sex in SEXES}
    low = {sex: dual_population(sex, 25, 4, ring_below_c7=mm(80)) for sex in SEXES}
    lifts = {ring: {sex: found[sex].lifts[:, 0].mean() for sex in SEXES} for ring, found in (("h", high), ("l", low))}
    assert lifts["h"]["female"] > lifts["h"]["male"] + 0.15
    assert abs(lifts["l"]["female"] - lifts["l"]["male"]) < 0.5 * (lifts["h"]["female"] - lifts["h"]["male"])
    assert high["male"].kink.mean() > high["female"].kink.mean() > low["female"].kink.mean()
    kink, lost = (np.concatenate([getattr(high[sex], name) for sex in SEXES]) for name in ("kink", "lost"))
    assert np.corrcoef(kink, lost[:, 0])[0, 1] > 0.5
    for found in (*high.values(), *low.values()):
        assert found.settled.all()
        assert (found.captured[:, 1] >= found.captured[:, 0]).all()
        assert found.share_served[1] > found.share_served[0] + 0.3
        assert found.by_limb()[-1, 1] >= found.by_limb()[0, 1]
    assert high["male"].share_served[1] > high["female"].share_served[1]  # their scapulae take the strap further
    assert high["male"].generated[:, 1].mean() > high["female"].generated[:, 1].mean()


@pytest.mark.parametrize(
    ("ask", "says"),
    [
        ({"count": 0}, "whole number"),
        ({"seed": -1}, "whole number"),
        ({"limbs": (0.1, 0.9)}, "residual limb"),
        ({"bands": 40}, "1 to 12"),
        ({"sex": "man"}, '"female"'),
        ({"ring_below_c7": "3"}, "'3'.* Give one number between"),
        ({"ring_below_c7": 9.0}, "9000.0 mm.* Give between"),
        ({"ring_to_sound_side": None}, "None.* one number between"),
        ({"forearm": 3}, "The forearm was given as 3. Make one first"),
        ({"limbs": 0.5}, "given as 0.5. Give two shares"),
        ({"limbs": (0.4, 0.6, 0.9)}, "Give two shares"),
        ({"limbs": (0.4, "long")}, "'long'. Give one number"),
        ({"start": 3}, "to start from was given as 3. Make one first"),
        ({"progress": 3}, "The progress was given as 3. Give a function"),
    ],
)
def test_what_cannot_be_asked_is_said(ask: dict[str, Any], says: str) -> None:
    with pytest.raises(InputError, match=says):
        dual_population(**{"sex": "female", "count": 1, "seed": 1, **ask})


def test_a_start_of_another_question_is_refused() -> None:
    with pytest.raises(InputError, match="something else"):
        dual_population("female", 2, 12, ring_below_c7=mm(50), start=few("female"))
    with pytest.raises(InputError, match="something else"):
        dual_population("female", 2, 11, ring_below_c7=mm(25), start=few("female"))


def test_a_loop_without_hold_is_the_one_thing_that_a_wearer_may_not_answer(monkeypatch: pytest.MonkeyPatch) -> None:
    """A harness that slides off leaves a row without answer; any other refusal is the asker's to read."""
    monkeypatch.setattr(dual, "_answer", _refusing(NoHoldError(given="It slides off.")))
    found = dual_population("female", 2, 11)
    assert found.done.all()
    assert not found.settled.any()
    assert (found.runs_out_first == "").all()
    monkeypatch.setattr(dual, "_answer", _refusing(InputError(given="Something else.")))
    with pytest.raises(InputError, match="Something else"):
        dual_population("female", 2, 11)


def _refusing(refused: InputError) -> Callable[..., None]:
    def refuse(*_: Any) -> None:
        raise refused

    return refuse


@pytest.mark.filterwarnings("error")
def test_without_any_answer_no_budget_runs_out_and_nobody_is_counted() -> None:
    found = few("female")
    nobody = replace(found, settled=np.zeros_like(found.settled))
    assert (nobody.runs_out_first == "").all()
    assert np.isnan(nobody.share_served).all()
    assert nobody.share_served.shape == found.share_served.shape
    one = replace(found, settled=np.array([True, False]))
    assert set(one.runs_out_first[0]) <= set(BUDGETS)
    assert (one.runs_out_first[1] == "").all()
