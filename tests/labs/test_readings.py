"""What stands large above the pictures, and the rows of a budget: each says what its number is."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from typing import Any

import pytest

from controlkit.draw.charts.ledger import ledger
from controlkit.labs import chain_lab, motion_lab, strap_lab
from controlkit.labs.frame import Lab
from controlkit.mechanics import POSITIONS, Pose, SingleControl, Wearer, figure_of_eight
from controlkit.mechanics.chain import TASKS
from controlkit.units import deg, mm

from .asking import ask

ADDS = {"generated", "strap taken in", "strap goes slack", "elbow takes up"}
ADDS |= {"ring comes back", "sinking adds", "pad comes back", "stretch adds"}
POSES = [Pose(), Pose(arm_flexion=deg(60)), Pose(arm_flexion=deg(-25)), *POSITIONS.values()]


def _reading(shown: dict[str, Any], label: str) -> list[dict[str, Any]]:
    return [one for one in shown["readings"] if one["label"] == label]


@pytest.mark.parametrize("make", [strap_lab, chain_lab])
def test_a_short_strap_has_its_own_reading(make: Callable[..., Lab]) -> None:
    """What it opens at rest is told beside what is captured, and what is still required is as much less."""
    lab = make(Wearer.average("female", amputated="left", name="Maren"))
    snug = ask(lab)
    assert not _reading(snug, "Open at rest")
    (captured,) = _reading(snug, "Captured")
    assert captured["note"] == "of 43.2 mm required"
    short = ask(lab, control_strap=-mm(40))
    (rest,), (captured,) = _reading(short, "Open at rest"), _reading(short, "Captured")
    assert (rest["value"], rest["unit"], rest["note"]) == ("42.5", "mm", "strap taken in: 40.0 mm")
    assert captured["note"] == "of 22.9 mm still required"
    assert captured["share"] > 20.3 / 43.2


def test_the_curve_shows_what_is_still_required() -> None:
    """Where the captured curve crosses it, the hook is fully open."""
    lab = strap_lab(setting="wearer = average-woman; control_strap = -40 mm")
    assert ">still required<" in lab.shown["pictures"][3]
    assert ">still required<" not in ask(lab, control_strap=0.0)["pictures"][3]
    from_where = lab.shown["words"].partition("Enough is captured from about ")[2].partition("°")[0]
    fully = ask(lab, control_strap=-mm(40), arm_flexion=deg(float(from_where) + 1.0))
    (opens,) = _reading(fully, "Hook opens")
    assert opens["note"] == "fully"


def test_a_support_strap_that_draws_the_ring_has_it_too() -> None:
    """In the motion lab nothing but the anterior support strap is set; where it opens nothing, nothing is said."""
    lab = motion_lab(Wearer.average("male", amputated="left", name="Yusuf"))
    for strap in (0.0, mm(-30)):
        shown = ask(lab, support_strap=strap)
        assert ("stands open at rest" in shown["words"]) == bool(_reading(shown, "Open at rest"))


@pytest.mark.parametrize("strap", [-40, 0, 20])
def test_rows_of_a_budget_add_up_and_go_the_way_their_names_say(strap: float) -> None:
    """Each begins where the one above ends; what arrives is at rest and captured together."""
    system = SingleControl(figure_of_eight(Wearer.average("female"), control_strap=mm(strap)))
    seen = set()
    for pull in system.over(POSES):
        *rows, captured, required = ledger(pull.excursion)
        if strap < 0.0:
            rest = rows.pop()
            assert (rest.name, rest.start, rest.end) == ("open at rest", 0.0, captured.start)
        assert rows[0].start == 0.0
        for above, below in pairwise(rows):
            assert below.start == above.end
        assert rows[-1].end == pytest.approx(captured.end, abs=1e-12) == pull.travel
        assert required.end == system.device.travel
        for row in rows:
            if abs(row.end - row.start) > mm(0.05):
                assert (row.end > row.start) == (row.name in ADDS), row
                seen.add(row.name)
    assert seen >= {"generated", "motion slackens", "ring travels", "straps sink in", "strap goes slack"}
    assert ("strap taken in" in seen, "slack" in seen) == (strap < 0, strap > 0)


@pytest.mark.parametrize("task", ["once", "repeat", "hold"])
def test_what_full_opening_takes_is_laid_beside_what_the_task_allows(task: str) -> None:
    """The share is above a whole exactly where force runs out."""
    lab = chain_lab(Wearer.average("female", amputated="left", name="Beatriz"))
    for bands in (1, 3, 8):
        shown = ask(lab, task=task, bands=float(bands))
        (takes,) = _reading(shown, "Full opening takes")
        share, allowed = (float(part.split()[0]) for part in takes["note"].removesuffix(" allowed").split(" % of "))
        assert allowed == pytest.approx(TASKS[task] * 280.0, abs=0.06)
        assert share == pytest.approx(100.0 * float(takes["value"]) / allowed, abs=1.0)
        assert f"{takes['value']} N at the harness" in shown["words"]


def test_a_position_has_an_article_only_where_it_needs_one() -> None:
    """At the mouth and behind the back."""
    lab = chain_lab()
    for position in POSITIONS:
        shown = ask(lab, position=position.replace(" ", "-"))
        (reading,) = _reading(shown, "Inadvertent")
        said = reading["note"] + " ".join(shown["verdicts"][0]["missing"])
        assert "the behind" not in said
        assert f"reaching {'the ' if position != 'behind the back' else ''}{position}" in reading["note"]
