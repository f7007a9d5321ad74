"""What lesson 6 says in words is what the model computes."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import nbformat
import pytest

from controlkit.mechanics import (
    FAULTS,
    POSITIONS,
    ControlCable,
    Housing,
    SingleControl,
    Strength,
    VoluntaryOpening,
    Wearer,
    figure_of_eight,
    reach,
    suspend,
)
from controlkit.mechanics.bench.worn import symptoms
from controlkit.mechanics.chain import budget
from controlkit.mechanics.chain.positions import BACK, FORWARD, Reach, on_command
from controlkit.sources import source
from controlkit.units import deg, mm


def _at(*places: str, **harness: Any) -> dict[str, Reach]:
    wearer = Wearer.average("female", amputated="left", name="Beatriz")
    asked = {name: POSITIONS[name] for name in places or POSITIONS}
    return {one.position: one for one in reach(SingleControl(figure_of_eight(wearer, **harness)), asked)}


@pytest.fixture(scope="module")
def snug() -> dict[str, Reach]:
    """Beatriz with her strap just snug."""
    return _at()


@pytest.fixture(scope="module")
def system() -> SingleControl:
    """Her set-up."""
    return SingleControl(figure_of_eight(Wearer.average("female", amputated="left", name="Beatriz")))


def _full(opening: float) -> float:
    return opening / VoluntaryOpening().full_opening


def test_her_three_complaints(snug: dict[str, Reach]) -> None:
    """Half open at the table, inadvertently open at the mouth, hardly open at the fly."""
    assert 0.45 < _full(snug["table"].on_command.opening) < 0.65
    assert snug["mouth"].inadvertent > snug["table"].inadvertent > mm(10)
    assert snug["mouth"].inadvertent > mm(25), "a biscuit falls"
    assert snug["mouth"].drawn_back.opening < mm(5)
    assert not snug["mouth"].kept_still
    assert snug["mouth"].both_back.opening == 0.0
    for name in ("waist", "fly"):
        assert snug[name].budget.runs_out_first == "excursion"
        assert snug[name].inadvertent == 0.0
    behind = snug["behind the back"].on_command
    assert behind.excursion.generated < 0.0
    assert behind.opening == 0.0


def test_why_the_position_decides(snug: dict[str, Reach]) -> None:
    """Flexion at table and mouth; at waist and fly scapulae, held still, against the anterior support strap."""
    table, mouth, fly = snug["table"], snug["mouth"], snug["fly"]
    generated = table.reaching.excursion.generated
    assert 0.3 < generated / table.on_command.excursion.generated < 0.7, "flexion is a good part, scapulae the rest"
    assert mouth.reaching.excursion.generated > 1.5 * generated
    assert mouth.budget.runs_out_first == "force"
    assert mouth.budget.by_excursion >= mouth.budget.required
    assert 0.25 < _full(fly.carried_along.opening) < 0.45, "one scapula, by a third"
    assert deg(8) < fly.reaching.pose.arm_flexion - fly.one_scapula.pose.arm_flexion < deg(12)
    for name in ("waist", "fly"):
        one = snug[name]
        assert one.both_left > one.one_left
        assert one.on_command.strap_tension["anterior support strap"] > 1.5 * one.on_command.harness_force
        assert one.on_command.pad_shift > mm(8)


def test_the_model_lies_outside_practice_at_the_fly(snug: dict[str, Reach]) -> None:
    """The older list's share at the mouth, and a tenth at the fly."""
    asked = source("opening_mouth_fly_below_elbow_older")
    assert asked.flag == "memory"
    assert _full(snug["mouth"].on_command.opening) > asked.si > 0.65
    assert 0.05 < _full(snug["fly"].on_command.opening) < 0.15


def test_two_shares_are_kept_apart(snug: dict[str, Reach]) -> None:
    """What the scapulae push with, against the anterior support strap, is in neither."""
    waist, table = snug["waist"], snug["table"]
    assert waist.on_command.strap_tension["anterior support strap"] > 80.0
    assert waist.budget.shoulder_share < 0.05
    assert waist.budget.cable_share == pytest.approx(table.budget.cable_share, rel=0.05)
    assert table.budget.allowed == pytest.approx(0.20)


def test_figures_in_the_text_are_those_of_the_model(system: SingleControl) -> None:
    """Scapulae 20 degrees forward, 15 back; the published mean stands for her strength."""
    assert pytest.approx(deg(20)) == FORWARD
    assert pytest.approx(deg(-15)) == BACK
    assert system.strength.cable == source("arm_flexion_force").si


def test_the_worked_numbers_are_those_of_the_fly(snug: dict[str, Reach], system: SingleControl) -> None:
    """As the text prints them: what is lost on the way down, what is added on the way up, and its share."""
    path = Path(__file__).resolve().parents[2] / "course" / "06-whole-chain.ipynb"
    text = {cell.id: cell.source for cell in nbformat.read(path, as_version=4).cells}
    paid, down, up = snug["fly"].budget, text["explain-chain"], text["explain-force"]
    losses = [1000 * paid.lost[where] for where in ("ring", "tissue", "pad", "stretch")]
    ring, tissue, pad, stretch = (f"{loss:.1f}" for loss in losses)
    assert f"scapulae generate {1000 * paid.generated:.1f} mm" in down
    assert f"ring takes {ring}, tissue {tissue}, pad {pad}, stretch {stretch}, and no slack" in down
    parts = " − ".join(f"{part:.1f}" for part in (1000 * paid.generated, *losses))
    assert f"{parts} = {1000 * paid.captured:.1f} mm, where {1000 * paid.required:.1f} mm are required" in down
    assert paid.lost["slack"] == pytest.approx(0.0, abs=mm(0.05))
    arrives, pull = paid.device_force / paid.harness_force, paid.harness_force
    assert f"ask for {paid.device_force:.1f} N at full opening, and {arrives:.3f} of the pull arrives" in up
    assert f"{paid.device_force:.1f} / {arrives:.3f} = {pull:.1f} N" in up
    share = pull / system.strength.cable
    assert f"{pull:.1f} / {system.strength.cable:.0f} = {share:.3f}, or {100 * share:.0f} %" in up
    assert paid.cable_share == pytest.approx(share)


def test_slack_is_taken_from_every_position(snug: dict[str, Reach]) -> None:
    """Nearly one for one; where little was to spare nothing is left."""
    loose = _at(control_strap=mm(15))
    for name in ("table", "mouth"):
        less = snug[name].on_command.excursion.captured - loose[name].on_command.excursion.captured
        assert less == pytest.approx(mm(15), abs=mm(3)), name
    assert loose["mouth"].kept_still
    assert loose["mouth"].inadvertent < 0.3 * snug["mouth"].inadvertent
    assert loose["table"].on_command.opening < 0.6 * snug["table"].on_command.opening
    assert loose["fly"].on_command.opening == loose["waist"].on_command.opening == 0.0


def test_ease_in_the_support_strap_pays_at_the_fly_with_suspension(snug: dict[str, Reach]) -> None:
    eased = _at("mouth", "fly", support_strap=mm(20))
    assert eased["fly"].on_command.opening > snug["fly"].on_command.opening + mm(8)
    assert eased["mouth"].inadvertent == pytest.approx(snug["mouth"].inadvertent, abs=mm(2))
    wearer, slip = Wearer.average("female", amputated="left", name="Beatriz"), []
    for ease in (0.0, mm(20)):
        fitted = SingleControl(figure_of_eight(wearer, support_strap=ease))
        slip.append(suspend(fitted.harness, fitted.law, 100.0).slip)
    assert mm(15) < slip[1] - slip[0] < mm(22), "nearly a millimetre for each"


def test_a_cross_back_strap_serves_the_fly_and_hardly_the_mouth(snug: dict[str, Reach]) -> None:
    held = _at("mouth", "fly", cross_back=0.0)
    assert held["fly"].on_command.opening > snug["fly"].on_command.opening + mm(12)
    assert held["mouth"].inadvertent < snug["mouth"].inadvertent + mm(5)
    loop = [one["fly"].on_command.strap_tension["axilla loop"] for one in (snug, held)]
    assert loop[1] > 1.1 * loop[0]


def test_a_strap_taken_in_and_a_lower_ring_give_to_every_position(snug: dict[str, Reach]) -> None:
    for other in (_at("mouth", "fly", control_strap=mm(-10)), _at("mouth", "fly", ring_below_c7=mm(45))):
        assert other["fly"].on_command.opening > snug["fly"].on_command.opening + mm(10)
        assert other["mouth"].inadvertent > snug["mouth"].inadvertent + mm(7)


def test_a_higher_crossbar_acts_unequally(snug: dict[str, Reach]) -> None:
    higher = _at("mouth", "fly", crossbar=0.40)
    assert higher["mouth"].inadvertent < snug["mouth"].inadvertent - mm(5)
    assert higher["fly"].on_command.opening > snug["fly"].on_command.opening


def test_bands_change_force_and_grip_and_not_the_travel_needed(system: SingleControl) -> None:
    few, many = VoluntaryOpening(bands=3), VoluntaryOpening(bands=5)
    assert few.travel == many.travel
    assert many.force(many.travel) > 1.5 * few.force(few.travel)
    stiff = SingleControl(system.harness, device=many)
    mouth = POSITIONS["mouth"]
    before, after = system.over([mouth])[0], stiff.over([mouth])[0]
    assert 0.6 < after.opening / before.opening < 0.75, "a third less, since more gives"
    assert 1.4 < after.harness_force / before.harness_force < 1.7, "half as much again"


def test_where_force_runs_out_first(system: SingleControl) -> None:
    """Question 4: five bands, or a cable that rubs, or held for long, or a weaker wearer."""
    asking = on_command(system.harness.wearer, POSITIONS["table"]).pose
    pull = system.over([asking])[0]
    assert budget(system, pull).runs_out_first == "excursion"
    rough = SingleControl(system.harness, ControlCable(friction=0.20))
    assert budget(rough, rough.over([asking])[0]).runs_out_first == "force"
    assert budget(system, pull, "hold").runs_out_first == "force"
    stiff = SingleControl(system.harness, device=VoluntaryOpening(bands=5))
    assert budget(stiff, stiff.over([asking])[0]).runs_out_first == "force"
    weak = SingleControl(system.harness, strength=Strength(cable=200.0))
    assert budget(weak, pull).runs_out_first == "force"


def test_a_short_housing_stops_the_elbow_before_the_mouth(system: SingleControl) -> None:
    """Two millimetres too short, and not noticed at the table."""
    short = SingleControl(system.harness, ControlCable(housing=Housing(spare=mm(-2))))
    elbow = {name: POSITIONS[name].elbow_flexion for name in ("table", "mouth")}
    assert elbow["table"] < short.line(elbow["table"]).elbow_limit < elbow["mouth"]
    assert system.line(elbow["mouth"]).elbow_limit > elbow["mouth"]


def test_only_the_tape_along_the_cable_tells_a_slack_strap_from_a_long_cable(system: SingleControl) -> None:
    named = {fault.name: fault for fault in FAULTS}
    strap = symptoms(named["control attachment strap slack"].at(system, mm(25)))
    cable = symptoms(named["cable too long"].at(system, mm(25)))
    apart = {key for key, read in strap.items() if abs(read.value - cable[key].value) > read.error}
    assert apart == {"cable"}
    healthy = symptoms(system)
    assert strap["slack"].value > healthy["slack"].value + mm(20)
