"""What lesson 6 says in words is what the model computes."""

from __future__ import annotations

import pytest

from controlkit.mechanics import (
    FAULTS,
    POSITIONS,
    SingleControl,
    Strength,
    VoluntaryOpening,
    Wearer,
    figure_of_eight,
    reach,
)
from controlkit.mechanics.bench.worn import symptoms
from controlkit.mechanics.chain import budget
from controlkit.mechanics.chain.positions import BACK, FORWARD, Reach
from controlkit.sources import source
from controlkit.units import deg, mm


def _at(*places: str, **harness: float) -> dict[str, Reach]:
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


def test_her_three_complaints(snug: dict[str, Reach]) -> None:
    """The table serves her, the mouth opens inadvertently, the fly not fully."""
    assert snug["table"].on_command.limited_by == "nothing"
    assert snug["mouth"].inadvertent > snug["table"].inadvertent > mm(10)
    assert not snug["mouth"].kept_still
    for name in ("waist", "fly"):
        assert snug[name].budget.runs_out_first == "excursion"
        assert 0.5 < snug[name].on_command.opening / VoluntaryOpening().full_opening < 1.0, "it opens, and not fully"
    behind = snug["behind the back"].on_command
    assert behind.excursion.generated < 0.0
    assert behind.opening == 0.0


def test_figures_in_the_text_are_those_of_the_model(system: SingleControl) -> None:
    """Blade 20 degrees forward, 15 back; the published mean stands for her strength."""
    assert pytest.approx(deg(20)) == FORWARD
    assert pytest.approx(deg(-15)) == BACK
    assert system.strength.cable == source("arm_flexion_force").si


def test_slack_is_taken_from_every_position(snug: dict[str, Reach]) -> None:
    """One for one, nearly; most is missed where least was to spare."""
    loose = _at(control_strap=mm(15))
    for name in ("table", "mouth", "waist", "fly"):
        less = snug[name].on_command.excursion.captured - loose[name].on_command.excursion.captured
        assert less == pytest.approx(mm(15), abs=mm(3)), name
    assert loose["mouth"].kept_still
    assert loose["mouth"].inadvertent < snug["mouth"].inadvertent
    assert loose["fly"].on_command.opening < 0.75 * snug["fly"].on_command.opening
    assert loose["mouth"].on_command.limited_by == "nothing"


def test_a_moment_arm_is_given_to_every_position(snug: dict[str, Reach]) -> None:
    """A lower ring, or a lower crossbar: more at the fly and more at the mouth."""
    lower = _at("mouth", "fly", ring_below_c7=mm(90))
    for other in (lower, _at("mouth", "fly", crossbar=0.75)):
        assert other["fly"].on_command.opening > snug["fly"].on_command.opening
        assert other["mouth"].inadvertent > snug["mouth"].inadvertent
    both = _at("mouth", "fly", ring_below_c7=mm(90), control_strap=mm(10))
    assert 0.0 < both["mouth"].drawn_back.opening < lower["mouth"].drawn_back.opening
    assert both["mouth"].both_back.opening == 0.0
    assert both["fly"].on_command.opening < lower["fly"].on_command.opening


def test_bands_change_force_and_grip_and_not_travel(system: SingleControl) -> None:
    few, many = VoluntaryOpening(bands=3), VoluntaryOpening(bands=5)
    assert few.travel == many.travel
    assert many.force(many.travel) > 1.5 * few.force(few.travel)
    stiff = SingleControl(system.harness, device=many)
    mouth = POSITIONS["mouth"]
    before, after = system.over([mouth])[0], stiff.over([mouth])[0]
    assert after.opening > 0.85 * before.opening, "inadvertent opening nearly as far"
    assert after.harness_force > 1.3 * before.harness_force


def test_where_force_runs_out_first(system: SingleControl) -> None:
    """Question 5: five bands, or held for long, or a weaker wearer."""
    pose = POSITIONS["table"]
    asking = type(pose)(**{**vars(pose), "scapular_abduction": deg(20)})
    pull = system.over([asking])[0]
    assert budget(system, pull).runs_out_first == "neither"
    assert budget(system, pull, "hold").runs_out_first == "force"
    stiff = SingleControl(system.harness, device=VoluntaryOpening(bands=5))
    assert budget(stiff, stiff.over([asking])[0]).runs_out_first == "force"
    weak = SingleControl(system.harness, strength=Strength(cable=200.0))
    assert budget(weak, pull).runs_out_first == "force"


def test_only_the_tape_along_the_cable_tells_a_slack_strap_from_a_long_cable(system: SingleControl) -> None:
    named = {fault.name: fault for fault in FAULTS}
    strap = symptoms(named["control attachment strap slack"].at(system, mm(25)))
    cable = symptoms(named["cable too long"].at(system, mm(25)))
    apart = {key for key, read in strap.items() if abs(read.value - cable[key].value) > read.error}
    assert apart == {"cable"}
    healthy = symptoms(system)
    assert strap["slack"].value > healthy["slack"].value + mm(20)
