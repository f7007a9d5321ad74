"""Exercise 2, body control motions: what is asked, and hints."""

from __future__ import annotations

from controlkit.checking import Case, Choice, Formula, Law, Quantity, Written
from controlkit.exercises.ex02.bench import kept_up, may_be_kept_up
from controlkit.exercises.ex02.case import (
    MOTION,
    arc,
    flexion_for,
    share,
)
from controlkit.exercises.ex02.ideas import DURATIONS, FORMULAS, MOTIONS


def tried(c: Case) -> tuple[tuple[float, float, float], ...]:
    """Values on which a formula is tried in the notebook: pull [N], efficiency and share [-]."""
    kept = c.kept / 100
    return ((float(c.asked), kept, 0.2), (float(c.asked), 0.6, 0.14), (2.0 * c.asked, kept, 0.08), (33.0, 0.85, 0.5))


ITEMS = (
    Choice(
        name="motion",
        points=2,
        asks="which motion serves what your wearer wants to do with a voluntary-opening hook",
        statements=MOTIONS,
        right=lambda c: MOTION[c.wants],
        hints=(
            "Ask two things: is the cable to be pulled, and is the hook to go somewhere else?",
            "Where is the hook at the beginning, and where at the end?",
        ),
    ),
    Quantity(
        name="flexion",
        points=4,
        kind="angle",
        unit="deg",
        asks="arm flexion that gives the cable travel in the table, the scapula at rest, nothing lost",
        right=lambda c, _: flexion_for(c, c.required),
        within=0.5,
        hints=(
            "Which column is the arm alone, and between which two of its rows does the travel lie?",
            "Which part of the step between the two rows is still needed? The angle goes the same part of its step.",
        ),
        credible=(5.0, 150.0),
    ),
    Quantity(
        name="scapula",
        points=3,
        kind="length",
        unit="mm",
        asks="how much the scapula, brought forward as in the bench table, adds at the flexion in the table",
        right=lambda c, _: float(c[f"both_{c.raised}"] - c[f"alone_{c.raised}"]),
        within=0.5,
        hints=(
            "Both columns, one row: what is the difference between them?",
            "The row is that of the arm flexion asked for, not that of the hanging arm.",
        ),
    ),
    Quantity(
        name="device_path",
        points=3,
        kind="length",
        unit="mm",
        asks="how far the fingertips of the hook travel, along their arc about the shoulder, during your own flexion, "
        "the elbow kept as the table says",
        right=lambda c, mine: arc(c, mine["flexion"]),
        relative=0.01,
        hints=(
            "The arm swings about the shoulder. How far from it are the fingertips? Lesson 2 has the triangle.",
            "An arc is radius times angle. In which unit does the angle stand there?",
        ),
        follows="flexion",
    ),
    Quantity(
        name="share",
        points=3,
        kind="ratio",
        unit="",
        asks="the cable share: the pull at the harness as a share of the largest that your wearer can make",
        right=lambda c, _: share(c),
        relative=0.01,
        hints=(
            "First the pull at the harness: more than at the device, or less?",
            "Then the share: what is the whole here?",
        ),
    ),
    Choice(
        name="task",
        points=2,
        asks="how long your wearer can keep up that cable share, by the limits of endurance of lesson 2",
        statements=DURATIONS,
        right=lambda c: kept_up(share(c)),
        follows="share",
        right_from=lambda _, own: may_be_kept_up(own),
        hints=("Three limits matter: what can be held, what can be repeated, and all there is.",),
    ),
    Formula(
        name="strength_needed",
        asks="the largest pull that a wearer must be able to make [N], so that a pull at the device takes no more than "
        "a given share of it",
        arguments=(
            "pull, at the device [N]",
            "efficiency, pull at the device over pull at the harness [-]",
            "share, of the strength, that may be used [-]",
        ),
        right="pull / efficiency / share",
        inputs=tried,
        results_points=3,
        relative=1e-3,
        laws=(
            Law(
                label="nothing-lost-all-used",
                points=1,
                inputs=lambda _: ((40.0, 1.0, 1.0), (75.0, 1.0, 1.0), (40.0, 0.5, 0.4)),
                holds=lambda found: abs(found[0] - 40.0) < 1e-6 and abs(found[1] - 75.0) < 1e-6 and found[2] > 40.01,
                met="with a cable that loses nothing, and all of the strength used, strength is pull.",
                ask="let the cable lose nothing and the wearer use all the strength there is. What must come out?",
                because="a factor is left over, or one is forgotten",
            ),
            Law(
                label="better-cable-needs-less",
                points=1,
                inputs=lambda c: tuple((float(c.asked), kept, 0.2) for kept in (0.5, 0.7, 0.9)),
                holds=lambda found: found[0] > found[1] > found[2] > 0,
                met="a better cable asks for less strength.",
                ask="make the cable better and leave the rest. Should a wearer have to be stronger?",
                because="efficiency is multiplied, or not used",
            ),
        ),
        ideas=FORMULAS,
        hints=(
            "Two steps: from the device to the harness, then from the pull at the harness to the strength.",
            "If a fifth of the strength is the pull, the strength is five times the pull.",
        ),
    ),
    Written(
        name="why",
        asks="which motions your wearer should practise first, and why",
        rubric=(
            (
                1,
                (
                    "says what arm flexion does to the device in space, and what must make up for biscapular "
                    "abduction if it is to stay"
                ),
            ),
            (1, "says why the excursions of two motions do not simply add"),
            (
                1,
                (
                    "ties the choice to the wearer's own strength, and says that the cable share leaves shoulder and "
                    "scapula out"
                ),
            ),
        ),
    ),
)
