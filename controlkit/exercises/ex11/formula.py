"""Exercise 11: what a formula of the doubt is held against: laws, and what learners write."""

from __future__ import annotations

from collections.abc import Sequence

from controlkit.checking import Case, Law, WrongFormula
from controlkit.checking.items.laws import Inputs
from controlkit.exercises.shared.laws import near

SMALL = 1e-3
"""A doubt below which rounding is absolute [-]."""
RIGHT = "device / hanger * scale * sqrt(1 / device^2 + 1 / hanger^2)"


def tried(c: Case) -> tuple[Inputs, ...]:
    """Values on which the formula is tried in the notebook: no pulls of one's own, whose ratio is asked for before."""
    return (30.0, 45.0, float(c.scale)), (24.0, 40.0, 1.0), (90.0, 96.0, 2.5)


def _scale(found: Sequence[float]) -> bool:
    return near(found[0], 0.0, floor=SMALL) and found[1] > 0.0 and near(found[2], 2 * found[1], floor=SMALL)


def _harder(found: Sequence[float]) -> bool:
    return found[1] > 0.0 and near(found[0], 2 * found[1], floor=SMALL)


LAWS = (
    Law(
        label="doubt-comes-from-the-scales",
        points=1,
        inputs=lambda _: ((40.0, 52.0, 0.0), (40.0, 52.0, 1.0), (40.0, 52.0, 2.0)),
        holds=_scale,
        met="perfect scales leave no doubt, and scales twice as bad leave twice as much.",
        ask="try scales that are never off, then scales that are twice as bad. What should become of the doubt?",
        because="the scales' error left out, or put in where it does not multiply",
    ),
    Law(
        label="harder-pulls-are-surer",
        points=1,
        inputs=lambda _: ((30.0, 40.0, 1.0), (60.0, 80.0, 1.0)),
        holds=_harder,
        met="with twice the pulls the same scales leave half the doubt.",
        ask="let both pulls be twice as large: the efficiency stays. What should become of its doubt, with the "
        "same scales?",
        because="newtons taken for a share, or the share left out at one end",
    ),
)

FORMULAS = (
    WrongFormula(
        label="errors-added",
        formula="device / hanger * scale * (1 / device + 1 / hanger)",
        ask="You let both scales be off at once, each the worse way. How do two that are off by themselves come "
        "together?",
        held_because="the worst that can happen is taken for what is likely",
        share=0.5,
    ),
    WrongFormula(
        label="errors-cancel",
        formula=(
            "device / hanger * scale * (1 / device - 1 / hanger)",
            "device / hanger * scale * (1 / hanger - 1 / device)",
        ),
        ask="You let one scale take back what the other is off by. Do two scales know of each other?",
        held_because="what stands above and below a line is thought to cancel",
        share=0.25,
    ),
    WrongFormula(
        label="root-forgotten",
        formula="device / hanger * scale * (1 / device^2 + 1 / hanger^2)",
        ask="Two doubts stand at a right angle to each other, and you have the square of the long side. What is "
        "missing?",
        held_because="the squares are remembered, the root is not",
        share=0.25,
    ),
    WrongFormula(
        label="part-of-itself",
        formula="scale * sqrt(1 / device^2 + 1 / hanger^2)",
        ask="That is which part of itself the efficiency may be off by. How much is that part, of your efficiency?",
        held_because="parts of a whole are carried on as if the whole were one",
        share=0.5,
    ),
    WrongFormula(
        label="newtons-for-a-share",
        formula=("scale * sqrt(2)", "scale"),
        ask="That is in newtons. Is one newton as much of a small pull as of a large one?",
        held_because="errors are put together as they stand, whatever becomes of the readings",
    ),
    WrongFormula(
        label="one-scale-trusted",
        formula=("scale / hanger", "device / hanger * scale / hanger", "device / hanger^2 * scale"),
        ask="You let one scale be off and trust the other. Which of the two would you swear by?",
        held_because="the reading that is larger, or taken last, is thought to carry the error",
        share=0.25,
    ),
    WrongFormula(
        label="efficiency-upside-down",
        formula="hanger / device * scale * sqrt(1 / device^2 + 1 / hanger^2)",
        ask="Of which quantity is that the doubt? Can an efficiency exceed one?",
        held_because="the larger number is put above",
        share=0.5,
    ),
    WrongFormula(
        label="per-cent-for-a-share",
        formula="100 * device / hanger * scale * sqrt(1 / device^2 + 1 / hanger^2)",
        ask="Your formula gives per cent. What was asked for: a plain share?",
        held_because="shares are spoken of in per cent",
        share=0.5,
    ),
)
