"""What lesson 9 says in words is what the model computes."""

from __future__ import annotations

from pathlib import Path

import nbformat
import pytest

from controlkit.mechanics import (
    Pull,
    SingleControl,
    VoluntaryOpening,
    Wearer,
    chest_strap,
    figure_of_eight,
    figure_of_nine,
    suspend,
)
from controlkit.mechanics.chain.dual import ExcursionAmplifier
from controlkit.mechanics.harness import Harness, Straps
from controlkit.mechanics.harness.patterns.chest import CHEST_STRAP, below_fullest
from controlkit.mechanics.harness.suspension import Suspension
from controlkit.sources import source
from controlkit.units import deg, inch, mm

FLEXED = {"arm_flexion": deg(60), "elbow_flexion": deg(30)}
CONTROL = "control attachment strap"


@pytest.fixture(scope="module")
def text() -> dict[str, str]:
    """The lesson's cells by their names."""
    path = Path(__file__).resolve().parents[2] / "course" / "09-other-patterns.ipynb"
    return {cell.id: cell.source for cell in nbformat.read(path, as_version=4).cells}


@pytest.fixture(scope="module")
def halina() -> Wearer:
    """The grower of the lesson."""
    return Wearer.average("female", amputated="right", name="Halina")


def _flexed(harness: Harness, bands: int = 3) -> Pull:
    return SingleControl(harness, device=VoluntaryOpening(bands=bands)).at(**FLEXED)


def _under(harness: Harness, load: float = 50.0) -> Suspension:
    return suspend(harness, SingleControl(harness).law, load)


def _captured(pull: Pull) -> str:
    return f"{1e3 * pull.excursion.captured:.1f} mm"


def _armpit(pull: Pull | Suspension) -> str:
    return f"{1e-3 * pull.axilla_line_load:.2f} N/mm"


def test_a_figure_of_nine_captures_and_presses_as_a_figure_of_eight(halina: Wearer, text: dict[str, str]) -> None:
    eight, nine = (_flexed(make(halina)) for make in (figure_of_eight, figure_of_nine))
    assert (_captured(eight), _armpit(eight)) == (_captured(nine), _armpit(nine))
    assert f"{_captured(eight)} and {_armpit(eight)}" in text["explain-nine"]
    assert eight.strap_tension["anterior support strap"] < 1.0, "the strap in front hangs slack"
    assert _under(figure_of_nine(halina)).slip == float("inf")


def test_with_the_scapula_the_strap_in_front_matters(halina: Wearer, text: dict[str, str]) -> None:
    forward = {"scapular_abduction": deg(20), "sound_scapular_abduction": deg(20)}
    eight, nine = (SingleControl(make(halina)).at(**forward) for make in (figure_of_eight, figure_of_nine))
    said = text["explain-nine"]
    assert f"figure-of-eight captures {_captured(eight)} and presses {_armpit(eight)} in the armpit" in said
    assert f"the figure-of-nine {_captured(nine)} and {_armpit(nine)}" in said
    assert eight.strap_tension["anterior support strap"] > 20.0, "the strap in front is taut"
    assert eight.excursion.lost["ring"] > 2 * nine.excursion.lost["ring"], "it holds the ring back"


def test_straps_round_the_chest_press_elsewhere_and_capture_more(halina: Wearer, text: dict[str, str]) -> None:
    eight, chest, low = (
        _flexed(each)
        for each in (figure_of_eight(halina), chest_strap(halina, strap_level="chest"), chest_strap(halina))
    )
    assert chest.axilla_line_load == low.axilla_line_load == 0.0
    assert f"{1e-3 * low.strap_load[CHEST_STRAP].worst:.2f} N/mm at the side of the back" in text["explain-nine"]
    load = low.strap_load[CHEST_STRAP]
    behind, _, aside = load.places[int(load.line_load.argmax())]
    assert behind < -0.05, "on the back"
    assert abs(aside) > 0.1, "at its side"
    assert 1.75 < low.excursion.captured / eight.excursion.captured < 2.0
    assert chest.excursion.captured > low.excursion.captured


def test_low_captures_not_the_pattern(halina: Wearer, text: dict[str, str]) -> None:
    usual = chest_strap(halina)
    assert f"level with the armpits, {1e3 * usual.ring_below_c7:.0f} mm below C7" in text["explain-low"]
    low = figure_of_eight(halina, ring_below_c7=usual.ring_below_c7)
    branch, ring = _flexed(usual), _flexed(low)
    assert ring.excursion.captured >= branch.excursion.captured
    said = text["explain-low-2"]
    rings = {below: figure_of_eight(halina, ring_below_c7=mm(below)) for below in (25, 60, 85, 105)} | {157: low}
    pulls, hung = ({at: make(one) for at, one in rings.items()} for make in (_flexed, _under))
    bears = [pulls[at].strap_tension["axilla loop"] for at in (85, 25)]
    assert f"the loop bears {bears[0]:.1f} N of the pull in place of {bears[1]:.1f}" in said
    assert f"presses {_armpit(pulls[85])} in the armpit in place of {_armpit(pulls[25])[:4]}" in said
    assert abs(pulls[105].axilla_line_load / pulls[25].axilla_line_load - 1.0) < 0.03, "the gain is gone"
    assert f"at 157 mm it is {_armpit(pulls[157])[:4]}" in said
    by_load = [_armpit(hung[at])[:4] for at in (60, 85, 157)]
    assert (
        f"50 N press {_armpit(hung[25])} at 25 mm, {by_load[0]} at 60, {by_load[1]} at 85, {by_load[2]} at 157" in said
    )
    assert all(abs(hung[at].slip - hung[25].slip) < mm(1.5) for at in (60, 85, 105)), "slip hardly changes"
    assert f"at 157 it is {1e3 * hung[157].slip:.0f} mm" in said
    high = _flexed(chest_strap(halina, branch_below_c7=mm(120)))
    assert f"{_captured(high)} are left of {_captured(branch)[:4]}" in said
    assert high.ring_travel > mm(35), "it is drawn along the back"
    assert f"{_captured(branch)} are an upper bound" in said
    survey = source("arm_flexion_excursion")
    assert f"above the published {survey.value:g} ± {survey.sd:g} mm of arm flexion, read second-hand" in said
    assert branch.excursion.captured > survey.si + mm(survey.sd)


def test_the_worked_line_loads(halina: Wearer, text: dict[str, str]) -> None:
    said, eight, low = text["explain-line"], _flexed(figure_of_eight(halina)), _flexed(chest_strap(halina))
    tension, load = eight.strap_tension["axilla loop"], eight.axilla_line_load
    assert f"{tension:.1f} N / {1e3 * tension / load:.1f} mm = {_armpit(eight)}" in said
    tension, worst = low.strap_tension[CHEST_STRAP], low.strap_load[CHEST_STRAP].worst
    assert f"{tension:.1f} / {1e3 * tension / worst:.1f} = {1e-3 * worst:.2f} N/mm" in said
    assert f"over 25.4 mm, {1e-3 * load / Straps().width:.1f} kPa" in said
    assert round(31.3 / 33.6, 2) == 0.93
    assert round(65.8 / 86.3, 2) == 0.76


def test_width_halves_the_pressure_and_not_the_load(halina: Wearer, text: dict[str, str]) -> None:
    said, wide = text["explain-wide"], Straps(width=inch(2))
    for wearer in (Wearer.at_percentile("female", 5), halina, Wearer.average("male")):
        one, two = (_flexed(figure_of_eight(wearer, straps=each)) for each in (Straps(), wide))
        assert 1.0 <= two.axilla_line_load / one.axilla_line_load <= 1.035, "within 3 %, as it is rounded"
        tension = [pull.strap_tension["axilla loop"] / pull.axilla_line_load for pull in (one, two)]
        assert tension[0] == pytest.approx(tension[1], abs=mm(0.1)), "the curve stays"
    one, two = (_flexed(figure_of_eight(halina, straps=each)) for each in (Straps(), wide))
    means = 1e-3 * two.axilla_line_load / wide.width, 1e-3 * one.axilla_line_load / Straps().width
    assert f"{means[0]:.1f} kPa in place of {means[1]:.1f}" in said
    assert f"{_captured(two)} in place of {_captured(one)[:4]}" in text["explain-practice-2"]
    man = _flexed(figure_of_eight(Wearer.average("male", amputated="right")))
    tension = man.strap_tension["axilla loop"]
    assert f"bears more, {tension:.1f} N, but on a curve of {1e3 * tension / man.axilla_line_load:.1f} mm" in said
    assert f": {_armpit(man)}." in said
    assert f"five in place of three make Halina's {_armpit(_flexed(figure_of_eight(halina), 5))}" in said


def test_who_carries_and_what_it_does_to_the_cable(halina: Wearer, text: dict[str, str]) -> None:
    said, held = text["explain-slip"], _under(figure_of_eight(halina))
    cable, *legs = (held.carried_by[name] for name in (CONTROL, *sorted(set(held.carried_by) - {CONTROL})))
    slip, bears = 1e3 * held.slip, held.strap_tension[CONTROL]
    assert f"slips by {slip:.1f} mm" in said
    assert f"carries {cable:.1f} N, and the two legs in front {legs[0]:.1f} and {legs[1]:.1f}: together 50" in said
    cosine = round(cable / bears, 2)
    assert f"bears {bears:.1f} N and carries {cable:.1f} of them" in said
    assert f"{cable:.1f} / {bears:.1f} = {cosine:.2f}" in said
    way = slip * cable / bears
    assert f"{slip:.1f} · {cosine:.2f} = {way:.1f} mm" in said
    assert f"take {way - 1e3 * held.travel:.1f} of these; {1e3 * held.travel:.1f} mm draw the device" in said
    opened = VoluntaryOpening().opening(held.travel)
    assert f"opens {1e3 * opened:.1f} mm by itself" in said
    assert cable > sum(legs), "the cable carries more than the strap in front"


def test_taken_in_the_hook_stays_shut_and_stiffness_is_a_quotient(halina: Wearer, text: dict[str, str]) -> None:
    said = text["explain-stiff"]
    assert _under(figure_of_eight(halina, support_strap=mm(-10))).travel < mm(0.05)
    first, second = (1e3 * _under(figure_of_eight(halina), load).slip for load in (100.0, 222.0))
    assert f"Under 100 N her socket slips by {first:.1f} mm, under 222 N by {second:.1f}" in said
    assert f"(222 − 100) / ({second:.1f} − {first:.1f}) = {122 / (second - first):.1f} N/mm" in said


def test_weight_loads_an_armpit_more_than_the_pull(halina: Wearer, text: dict[str, str]) -> None:
    said, heavy = text["explain-heavy"], _under(figure_of_eight(halina), 222.0)
    assert f"the loop presses {1e-3 * heavy.axilla_line_load:.1f} N/mm" in said
    assert heavy.axilla_line_load > 4.0 * _flexed(figure_of_eight(halina)).axilla_line_load
    hung, pulled = _under(figure_of_eight(halina)), _flexed(figure_of_eight(halina))
    assert f"50 N make {_armpit(hung)}, little more than her pull" in said
    assert 1.0 < hung.axilla_line_load / pulled.axilla_line_load < 1.2
    saddle = _under(chest_strap(halina), 222.0)
    assert f"it slips by {1e3 * saddle.slip:.1f} mm" in said
    assert f"So {1e3 * saddle.slip:.1f} mm is the least" in said
    assert (saddle.axilla_line_load, round(1e3 * saddle.travel, 2)) == (0.0, 0.0)


def test_what_helps_a_sore_armpit(halina: Wearer, text: dict[str, str]) -> None:
    eight, crossed = (_flexed(figure_of_eight(halina, cross_back=at)) for at in (None, 0.0))
    assert (
        f"cross-back strap, the ring high: here {_armpit(crossed)} in place of {_armpit(eight)[:4]}"
        in text["explain-choose"]
    )
    said = text["explain-practice-2"]
    assert f"here {_captured(crossed)} in place of {_captured(eight)[:4]}" in said
    low = [_flexed(figure_of_eight(halina, ring_below_c7=mm(55), cross_back=at)) for at in (0.0, None)]
    assert f"{_armpit(low[0])} in place of {_armpit(low[1])[:4]}" in said
    assert low[0].strap_tension["cross-back strap"] > 0.5 * low[0].strap_tension[CONTROL], "it takes most of the pull"
    loose = _flexed(figure_of_eight(halina, ring_below_c7=mm(55), cross_back=mm(10)))
    assert loose.axilla_line_load <= low[1].axilla_line_load, "let out by 10 mm it does not"
    ribs = source("axilla_pad_ribs")
    assert f"ribs {ribs.low:g} to {ribs.high:g}" in text["explain-choose"]
    users, ages = source("skin_patch_users"), source("skin_patch_ages")
    assert f"of {users.value:g} users, from {ages.low:g} to {ages.high:g} years old" in text["explain-choose"]


def test_excursion_is_paid_for(text: dict[str, str]) -> None:
    amplifier = ExcursionAmplifier(efficiency=0.9)
    assert f"50 mm become {1e3 * amplifier.travel(mm(50)):.0f}" in text["explain-short"]
    assert f"2 · 40 / 0.9 = {amplifier.force(40.0):.0f} N" in text["explain-short"]


def test_beside_practice(halina: Wearer, text: dict[str, str]) -> None:
    said, slip = text["explain-practice-2"], _under(figure_of_eight(halina), 222.0).slip
    assert f"slips by {1e3 * slip:.1f} mm" in said
    assert slip > source("checkout_slip").si, "straps alone: an upper bound"
    man = _under(figure_of_eight(Wearer.average("male", amputated="right")))
    assert man.travel < mm(0.05), "on an average man the ring follows"


def test_where_the_strap_lies_in_front(halina: Wearer, text: dict[str, str]) -> None:
    levels = [
        below_fullest(halina, _flexed(chest_strap(halina, strap_level=level)).straps[CHEST_STRAP])
        for level in ("diaphragm", "chest")
    ]
    said = f"{1e3 * levels[0]:.0f} mm below the fullest level of the chest on Halina, or {1e3 * levels[1]:.0f} mm"
    assert said in text["explain-model"]


def test_the_three_of_try(text: dict[str, str]) -> None:
    assert "**45 N**" in text["try"]
    assert 45 / 30 == 1.5
    assert 4 + 60 / 5 == 16
    assert round(16 * 0.8 - 6, 1) == 6.8
