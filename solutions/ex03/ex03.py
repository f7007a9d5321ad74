"""Exercise 3, the figure-of-eight harness: what is asked, hints and worked steps.

Everything in this folder is for the student's eyes too. An instructor who wants to hand it out
without worked steps sets `HAND_OUT_WORKED_STEPS` to False.
"""

from __future__ import annotations

from math import cos, degrees

from ex03_bench import measure, trial
from ex03_case import DRAWS, STEADY, generated, growth, half_opening, losses, present, turn, worth_measuring
from ex03_ideas import IDEAS

from controlkit.checking import (
    Body,
    Case,
    Criterion,
    Design,
    Exercise,
    Plan,
    Quantity,
    Setting,
    Written,
    body,
    own_wearer,
)

HAND_OUT_WORKED_STEPS = True

MINUTES = 45
"""What a student needs who has worked the lesson."""

DIFFICULTY = (20, 22)
"""Fewest and most lines of working that a case may need, counted in its worked steps."""

ITEMS = (
    Quantity(
        name="excursion",
        points=4,
        kind="length",
        unit="mm",
        asks="captured excursion at the arm flexion and pull of the table headed In use",
        right=lambda c, _: generated(c) - losses(c),
        within=1.0,
        hints=(
            "First: how much does the path grow with the ring held? Then: which lines of the table give, which take?",
            "Three things take excursion away: slack, travel of the ring, and stretch at this pull.",
        ),
        credible=(5.0, 1000.0),
    ),
    Quantity(
        name="moment_arm",
        points=4,
        kind="length",
        unit="mm",
        asks="mean moment arm of the strap about the shoulder between the two angles",
        right=lambda c, _: growth(c) / turn(c),
        within=1.0,
        hints=(
            "A moment arm is a length: change of path length over change of angle.",
            "One radian is about 57 degrees. How many radians lie between your two angles?",
        ),
        credible=(5.0, 1000.0),
    ),
    Quantity(
        name="shoulder_moment",
        points=2,
        kind="moment",
        unit="N m",
        asks="moment that the shoulder makes against the pull, from your own moment arm",
        right=lambda c, mine: c.pull * mine["moment_arm"] / 1000,
        relative=0.01,
        hints=("A moment is a force times its arm.", "Which of the two is in millimetres, and what was asked?"),
        follows="moment_arm",
    ),
    Quantity(
        name="loop_tension",
        points=4,
        kind="force",
        unit="N",
        asks="tension of the axilla loop, the same in both legs, ring in balance",
        right=lambda c, _: c.ring_pull / (2 * cos(half_opening(c))),
        relative=0.01,
        hints=(
            "Draw the ring alone with its three forces. Along which line is the sum simplest?",
            "Lay one axis along the control attachment strap: what share of each leg's tension lies along it?",
        ),
    ),
    Design(
        name="design",
        asks="ring, crossbar and control attachment strap for your wearer",
        settings=(
            Setting("ring_below_c7", "length", "mm", "distance of the ring below the vertebra C7"),
            Setting("ring_to_sound_side", "length", "mm", "distance of the ring from the spine toward the sound side"),
            Setting("crossbar", "ratio", "", "place of the crossbar, as a share of the upper arm from the shoulder"),
            Setting("control_strap", "length", "mm", "control attachment strap let out, or taken in with a minus sign"),
        ),
        wearer=lambda c: own_wearer(c.values),
        simulate=lambda wearer, choice, c: trial(wearer, choice, c.design_angle),
        criteria=(
            Criterion(
                "opens-fully",
                1.5,
                lambda done, _: 1.0 if done.opens_fully else 0.5 if done.opening_share >= 0.7 else 0.0,
                "the device opens fully at the arm flexion asked for.",
                "the device does not open fully at the arm flexion asked for. Which settings change the strap's moment "
                "arm about the shoulder, and which only add slack?",
                "captured excursion short of what the device needs; ideas behind it: the published spot suits "
                "everybody, a higher ring is always better, slack costs nothing",
            ),
            Criterion(
                "moment-within",
                1.0,
                lambda done, c: 1.0 if done.shoulder_moment <= c.design_moment else 0.0,
                "the shoulder is asked for no more than the table allows.",
                "the shoulder is asked for more than the table allows. What is the price of every millimetre of moment "
                "arm at the same pull?",
                "moment arm larger than needed; idea behind it: a lower strap gives more excursion and more force",
            ),
            Criterion(
                "shut-at-rest",
                0.5,
                lambda done, _: 1.0 if done.shut_at_rest else 0.0,
                "the device stays shut while the arm hangs.",
                "the device is held partly open while the arm hangs. What does a strap do that is shorter than its "
                "path?",
                "strap taken in too far; idea behind it: a tighter harness only adds excursion",
            ),
            Criterion(
                "ring-off-spine",
                0.5,
                lambda done, _: 1.0 if done.ring_to_sound_side >= 0.015 else 0.0,
                "the ring lies clear of the spine.",
                "the ring lies on or beside the spine, or on the other side of it. What would it rub there?",
                "ring closer than 15 mm to the midline; common practice is about 1 in toward the sound side",
            ),
            Criterion(
                "crossbar-in-place",
                0.5,
                lambda done, _: 1.0 if 0.4 <= done.crossbar <= 0.7 else 0.0,
                "the crossbar sits clear of shoulder and elbow.",
                "the crossbar sits too near a joint. What happens to cuff and cable there when the joint bends?",
                "crossbar outside 0.4 to 0.7 of the upper arm; credible range of this exercise, no published figure",
            ),
        ),
        works=lambda done: done.opens_fully and done.shut_at_rest,
        bodies=(
            Body("a short woman with a narrow chest", lambda: body("female", -120, -100)),
            Body("a tall man", lambda: body("male", 130, 0)),
            Body("a man of average height with a very large chest", lambda: body("male", 0, 140)),
        ),
        bodies_points=2.0,
    ),
    Written(
        name="why",
        asks="why your design looks as it does",
        rubric=(
            (1, "names the setting that gave most excursion and ties it to the strap's moment arm about the shoulder"),
            (1, "says what that excursion costs: more moment at the shoulder for the same pull"),
            (1, "says why the strap is not simply taken in: the device at rest, and the pressure in the armpit"),
            (1, "names a body unlike this wearer, and the setting that would answer to it"),
        ),
    ),
)


# --- Worked steps, opened after an attempt --------------------------------------------------


def excursion_steps(c: Case) -> str:
    """From the table to the captured excursion."""
    return (
        f"  1. The path at {c.arm_angle}° is {c[f'strap_{c.arm_angle}']} mm, at rest {c.strap_0} mm.\n"
        f"     Generated: {generated(c):g} mm.\n"
        f"  2. Lost before the cable feels it: slack {c.slack} mm, ring travel {c.ring_travel} mm,\n"
        f"     stretch {c.stretch} mm for every 10 N at {c.pull} N, which is {c.stretch * c.pull / 10:g} mm.\n"
        f"  3. Captured: {generated(c):g} - {losses(c):g} = {generated(c) - losses(c):g} mm."
    )


def moment_arm_steps(c: Case) -> str:
    """From the table to the mean moment arm."""
    return (
        f"  1. Between {c.arm_from}° and {c.arm_to}° the path grows by {growth(c):g} mm.\n"
        f"  2. The angle between them is {c.arm_to - c.arm_from}° = {turn(c):.4f} rad.\n"
        f"  3. Moment arm: {growth(c):g} / {turn(c):.4f} = {growth(c) / turn(c):.1f} mm."
    )


def shoulder_moment_steps(c: Case) -> str:
    """From the moment arm to the moment."""
    arm = growth(c) / turn(c)
    return (
        f"  1. The moment arm is {arm:.1f} mm = {arm / 1000:.4f} m.\n"
        f"  2. Moment: {c.pull} N times {arm / 1000:.4f} m = {c.pull * arm / 1000:.2f} N m."
    )


def loop_tension_steps(c: Case) -> str:
    """From the directions to the tension of the loop."""
    half = degrees(half_opening(c))
    return (
        f"  1. The legs of the loop stand {c.loop_opening}° apart, and the pull lies along the line between them:\n"
        f"     each leg is {half:g}° from it.\n"
        f"  2. Along that line: 2 S cos({half:g}°) = {c.ring_pull} N.\n"
        f"  3. S = {c.ring_pull} / {2 * cos(half_opening(c)):.4f} = {c.ring_pull / (2 * cos(half_opening(c))):.1f} N.\n"
        f"  Friction of the loop round the sound shoulder, left out here, makes the two legs differ."
    )


def design_steps(c: Case) -> str:
    """From a first set-up to one that serves."""
    return (
        f"  1. Begin just snug (0 mm) and off the spine (25 mm). Lower the ring in steps of 20 mm until the device is\n"
        f"     said to open fully at {c.design_angle}°: the moment arm grows with each step.\n"
        f"  2. Now the moment: more than {c.design_moment} N m is more moment arm than needed; go back half a step.\n"
        "  3. Let out is lost millimetre for millimetre; taken in opens the device at rest. So stay near 0 mm.\n"
        "  4. Last the other bodies: one that is not served has the shortest way over its back. A crossbar further\n"
        "     down the arm gives it more, and costs this wearer little."
    )


WORKED = {
    "excursion": excursion_steps,
    "moment_arm": moment_arm_steps,
    "shoulder_moment": shoulder_moment_steps,
    "loop_tension": loop_tension_steps,
    "design": design_steps,
}

exercise = Exercise(
    name="ex03",
    title="The figure-of-eight harness",
    plan=Plan("ex03", DRAWS, derive=measure, screen=worth_measuring, steady=STEADY),
    items=ITEMS,
    ideas=IDEAS,
    present=present,
    worked=WORKED if HAND_OUT_WORKED_STEPS else {},
)
