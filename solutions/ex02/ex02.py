"""Exercise 2, body control motions: what is asked, hints and worked steps.

Everything in this folder is for the student's eyes too. An instructor who wants to hand it out
without worked steps sets `HAND_OUT_WORKED_STEPS` to False.
"""

from __future__ import annotations

from ex02_bench import kept_up, measure
from ex02_case import (
    DRAWS,
    MOTION,
    STEADY,
    arc,
    flexion_for,
    present,
    rows_around,
    share,
    swing,
    worth_measuring,
)
from ex02_ideas import DURATIONS, FUNCTIONS, IDEAS, MOTIONS

from controlkit.checking import Case, Choice, Exercise, Function, Law, Plan, Quantity, Written

HAND_OUT_WORKED_STEPS = True

MINUTES = 45
"""What a student needs who has worked the lesson."""

DIFFICULTY = (14, 18)
"""Fewest and most lines of working that a case may need, counted in its worked steps."""


def tried(c: Case) -> tuple[tuple[float, float, float], ...]:
    """Inputs on which a function is tried in the notebook: pull [N], efficiency and share [-]."""
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
        asks="arm flexion that gives the cable travel of item flexion, the shoulder blade at rest, nothing lost",
        right=lambda c, _: flexion_for(c, c.required),
        within=0.5,
        hints=(
            "Which column is the arm alone, and between which two of its rows does the travel lie?",
            "Which part of the step between the two rows is still needed? The angle goes the same part of its step.",
        ),
        credible=(5.0, 150.0),
    ),
    Quantity(
        name="blade",
        points=3,
        kind="length",
        unit="mm",
        asks="how much the shoulder blade, brought forward as in the bench table, adds at the flexion of item blade",
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
        "the elbow kept at 90°",
        right=lambda c, mine: arc(c, mine["flexion"]),
        relative=0.01,
        hints=(
            "The arm swings about the shoulder. How far from it are the fingertips, the elbow at a right angle?",
            "An arc is radius times angle. In which unit does the angle stand there?",
        ),
        follows="flexion",
    ),
    Quantity(
        name="share",
        points=3,
        kind="ratio",
        unit="",
        asks="the pull at the harness as a share of the largest that your wearer can make",
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
        asks="how long your wearer can keep up that pull, by the limits of endurance of lesson 2",
        statements=DURATIONS,
        right=lambda c: kept_up(share(c)),
        hints=("Three limits matter: what can be held, what can be repeated, and all there is.",),
    ),
    Function(
        name="strength_needed",
        asks="the largest pull that a wearer must be able to make [N], so that a pull at the device takes no more than "
        "a given share of it",
        arguments=(
            "pull at the device, in newtons",
            "efficiency, pull at the device over pull at the harness, as a plain number",
            "share of the strength that may be used, as a plain number",
        ),
        right=lambda pull, efficiency, share: pull / efficiency / share,
        inputs=tried,
        results_points=3,
        relative=1e-3,
        laws=(
            Law(
                "nothing-lost-all-used",
                1,
                lambda _: ((40.0, 1.0, 1.0), (75.0, 1.0, 1.0)),
                lambda found: abs(found[0] - 40.0) < 1e-6 and abs(found[1] - 75.0) < 1e-6,
                "with a cable that loses nothing, and all of the strength used, strength is pull.",
                "let the cable lose nothing and the wearer use all the strength there is. What must come out?",
                "a factor is left over, or one is forgotten",
            ),
            Law(
                "better-cable-needs-less",
                1,
                lambda c: tuple((float(c.asked), kept, 0.2) for kept in (0.5, 0.7, 0.9)),
                lambda found: found[0] > found[1] > found[2] > 0,
                "a better cable asks for less strength.",
                "make the cable better and leave the rest. Should a wearer have to be stronger?",
                "efficiency is multiplied, or not used",
            ),
        ),
        ideas=FUNCTIONS,
        hints=(
            "Two steps: from the device to the harness, then from the pull at the harness to the strength.",
            "If a fifth of the strength is the pull, the strength is five times the pull.",
        ),
    ),
    Written(
        name="why",
        asks="which motions your wearer should practise first, and why",
        rubric=(
            (1, "says what arm flexion and scapular abduction each do to the device in space"),
            (1, "says why the excursions of two motions do not simply add"),
            (1, "ties the choice to the wearer's own strength and to how often the pull is made"),
        ),
    ),
)


# --- Worked steps, opened after an attempt --------------------------------------------------


def motion_steps(c: Case) -> str:
    """From the task to the motion."""
    pulled = "is not to be pulled" if MOTION[c.wants] == "blade back" else "is to be pulled"
    moves = "stays where it is" if MOTION[c.wants] == "blade forward" else "goes somewhere else"
    return f"  1. The cable {pulled}, and the hook {moves}.\n  2. That is {MOTION[c.wants]}."


def flexion_steps(c: Case) -> str:
    """From the table to the angle."""
    low, high = rows_around(c)
    below, above = c[f"alone_{low}"], c[f"alone_{high}"]
    return (
        f"  1. {c.required} mm lies between {below} mm at {low}° and {above} mm at {high}°.\n"
        f"  2. Of the step of {above - below} mm it takes {c.required - below} mm.\n"
        f"  3. Flexion: {low} + {high - low} x {c.required - below} / {above - below} = "
        f"{flexion_for(c, c.required):.2f} deg."
    )


def blade_steps(c: Case) -> str:
    """From the table to the blade's share."""
    both, alone = c[f"both_{c.raised}"], c[f"alone_{c.raised}"]
    return (
        f"  1. At {c.raised}°: {both} mm with the shoulder blade brought forward, {alone} mm without.\n"
        f"  2. The shoulder blade adds {both} - {alone} = {both - alone} mm."
    )


def device_path_steps(c: Case) -> str:
    """From the angle to the way of the hook."""
    flexion = flexion_for(c, c.required)
    return (
        f"  1. From the shoulder to the fingertips: the root of {c.upper_arm}² + {c.reach}² is {swing(c):.1f} mm.\n"
        f"  2. {flexion:.2f}° = {arc(c, flexion) / swing(c):.4f} rad.\n"
        f"  3. The way: {swing(c):.1f} x {arc(c, flexion) / swing(c):.4f} = {arc(c, flexion):.1f} mm."
    )


def share_steps(c: Case) -> str:
    """From the pull at the device to the share."""
    pull = c.asked / (c.kept / 100)
    return (
        f"  1. At the harness: {c.asked} / {c.kept / 100:g} = {pull:.2f} N.\n"
        f"  2. Share: {pull:.2f} / {c.strength} = {share(c):.4f}."
    )


def task_steps(c: Case) -> str:
    """From the share to the task."""
    return (
        "  1. Measured over an hour: about 0.08 can be held, 0.14 repeated; 0.20 is the limit in use; 1 is all.\n"
        f"  2. With {share(c):.2f} it is: {kept_up(share(c))}."
    )


def strength_needed_steps(c: Case) -> str:
    """From the device to the strength."""
    return (
        "  1. The harness pulls pull / efficiency.\n"
        "  2. That may be the given share of the strength: strength = pull / efficiency / share.\n"
        f"  3. For {c.asked} N, {c.kept / 100:g} and 0.2: {c.asked / (c.kept / 100) / 0.2:.1f} N."
    )


WORKED = {
    "motion": motion_steps,
    "flexion": flexion_steps,
    "blade": blade_steps,
    "device_path": device_path_steps,
    "share": share_steps,
    "task": task_steps,
    "strength_needed": strength_needed_steps,
}

exercise = Exercise(
    name="ex02",
    title="Body control motions",
    plan=Plan("ex02", DRAWS, derive=measure, screen=worth_measuring, steady=STEADY),
    items=ITEMS,
    ideas=IDEAS,
    present=present,
    worked=WORKED if HAND_OUT_WORKED_STEPS else {},
)
