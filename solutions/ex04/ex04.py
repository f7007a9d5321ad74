"""Exercise 4, cable and housing: what is asked, hints and worked steps.

Everything in this folder is for the student's eyes too. An instructor who wants to hand it out
without worked steps sets `HAND_OUT_WORKED_STEPS` to False.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import exp, radians

from ex04_case import (
    DRAWS,
    READ_AT,
    allowed,
    bends,
    fitted,
    lever,
    log_loss,
    present,
    read,
    rubbed,
    straight_across,
)
from ex04_ideas import IDEAS, WRONG_FUNCTIONS

from controlkit.checking import Case, Choice, Exercise, Function, Law, Plan, Quantity, Statement

HAND_OUT_WORKED_STEPS = True

MINUTES = 75
"""What a student needs who has worked the lesson."""

DIFFICULTY = (31, 31)
"""Fewest and most lines of working that a case may need, counted in its worked steps: every case needs as many."""


def right_arrives(pull: float, ways: Sequence[float], friction: float) -> float:
    """What arrives of a pull after several bends [N]."""
    return pull * exp(-friction * radians(sum(ways)))


def right_elbow(c: Case) -> str:
    """What bending the elbow does to the colleague's set-up, as the word of a statement."""
    return {"held": "stays", "short": "stops", "long": "bows"}.get(c.set_up, "bowstrings")


def near(one: float, other: float) -> bool:
    """Whether two results are the same but for rounding."""
    return abs(one - other) <= 1e-6 * max(abs(one), abs(other), 1.0)


LAWS = (
    Law(
        "no-friction",
        1,
        lambda _: ((55.0, [30, 60], 0.0), (80.0, [135], 0.0)),
        lambda found: near(found[0], 55.0) and near(found[1], 80.0),
        "without friction everything arrives.",
        "what arrives where there is no friction?",
        "something is taken off, or added, whatever the friction",
    ),
    Law(
        "halves-make-a-whole",
        1,
        lambda c: ((80.0, [120], c.friction), (80.0, [60, 60], c.friction), (80.0, [30, 30, 30, 30], c.friction)),
        lambda found: near(found[0], found[1]) and near(found[0], found[2]) and found[0] > 0,
        "two half bends take what one whole bend takes.",
        "try one bend of 120°, then two of 60°. The second half starts with what the first has left. What follows?",
        "losses are added, only one bend is counted, or each bend counts alike",
    ),
    Law(
        "never-more-and-never-less-than-nothing",
        1,
        lambda c: ((60.0, [], 0.2), (60.0, [90], c.friction), (60.0, [90, 90], c.friction), (60.0, [360] * 3, 0.3)),
        lambda found: near(found[0], 60.0) and 60.0 > found[1] > found[2] > found[3] > 0,
        "each bend takes something, and never all.",
        "with more and more bend, what arrives must fall, never below nothing, never above the pull. Does yours, from "
        "no bend at all to three whole turns?",
        "a loss in proportion ends below zero; a ratio upside down ends above the pull",
    ),
)

ITEMS = (
    Quantity(
        name="harness_pull",
        points=4,
        kind="force",
        unit="N",
        asks="pull at the hanger that makes the device move",
        right=lambda c, _: c.device_pull * exp(rubbed(c)),
        relative=0.002,
        hints=(
            "Add up all bends, whichever way they turn. Then: which of the two forces is the larger while pulling?",
            "The ratio of the two forces is an exponential of friction times bend. In which unit is the bend?",
        ),
        credible=(1.0, 1000.0),
    ),
    Quantity(
        name="return_pull",
        points=3,
        kind="force",
        unit="N",
        asks="pull at the hanger at which the cable begins to go back, from your own harness_pull",
        right=lambda c, mine: c.device_pull**2 / mine["harness_pull"],
        relative=0.002,
        hints=(
            "The device pulls back as hard as before. Which end moves first now, and which force is the larger?",
            "The law of the bends is the same, with the two ends changed about.",
        ),
        follows="harness_pull",
    ),
    Quantity(
        name="friction",
        points=3,
        kind="ratio",
        unit="",
        asks="friction coefficient of the used cable, from all its readings",
        right=lambda c, _: fitted(c.values),
        within=0.004,
        hints=(
            "From each row alone: which coefficient gives this ratio at this bend? Then put the rows together.",
            "Look at the strokes. In one row the larger force is at the device.",
        ),
        credible=(0.001, 1.0),
    ),
    Function(
        name="arrives",
        asks="what arrives at the device [N]",
        arguments=(
            "pull, at the hanger [N]",
            "bends, a list with the size of each [deg]",
            "friction, coefficient [-]",
        ),
        right=right_arrives,
        inputs=lambda c: (
            (float(c.load), list(bends(c)), c.friction),
            (70.0, [45, 45, 90], 0.1),
            (50.0, [150], 0.15),
        ),
        results_points=3,
        relative=5e-4,
        laws=LAWS,
        ideas=WRONG_FUNCTIONS,
        hints=(
            "What arrives from the first bend enters the second. What does that make of their exponents?",
            "Check it by hand on one bend of 90° with friction 0.1: about 85 of 100 N arrive.",
        ),
    ),
    Quantity(
        name="most_bend",
        points=3,
        kind="angle",
        unit="deg",
        asks="largest bend past the elbow that the new liner may be given",
        right=lambda c, _: allowed(c) - c.bend_crossbar - c.bend_wrist,
        within=1.0,
        hints=(
            "Which bend in all leaves that share? Undo the exponential. Then: what of it is spent elsewhere?",
            "A logarithm of a share is negative; friction times bend is its size, in radians.",
        ),
        credible=(1.0, 2000.0),
    ),
    Choice(
        name="route",
        points=2,
        asks="Which change lets more of the pull arrive",
        statements=(
            Statement("fewer degrees", "a route on which the bends, added without sign, come to fewer degrees"),
            Statement(
                "wider curves",
                "the same bends in curves of twice the radius",
                "Which quantities stand in the law of the bends? Wear and kinks are another matter.",
                "a tight curve looks as if it must rub more",
            ),
            Statement(
                "a bend the other way",
                "one more bend, turned the other way, that makes up for the first",
                "Does the cable press less on its housing where it turns the other way?",
                "the direction at the end is taken for the way there",
            ),
            Statement(
                "a slower pull",
                "the same route, pulled more slowly",
                "Which quantities stand in the law of the bends? Is speed among them?",
                "friction is mixed up with drag in oil",
            ),
        ),
        right=lambda _: "fewer degrees",
        hints=("Compare two routes that end in the same direction. What does the cable press on along the way?",),
    ),
    Choice(
        name="elbow",
        points=2,
        asks="What the elbow does to the cable of your colleague's set-up as it bends from straight",
        statements=(
            Statement(
                "stays",
                "the cable's path stays as long as it was; only the bend changes, and with it the force",
                "What keeps the path as long as it is? Is it there in this set-up, and long enough to go round?",
                "a housing is thought to do its work whatever its length and wherever it is held",
            ),
            Statement(
                "stops",
                "the elbow comes to a stop before it is bent",
                "What would be pulled taut, so that the forearm can go no further? Is it short here?",
                "everything in the way of the elbow is thought to stop it",
            ),
            Statement(
                "bows",
                "the path stays as long as it was, in a wide bow that rubs more and catches on clothes",
                "Which length is there too much of, and is there too much of it here?",
                "too long is thought to be on the safe side",
            ),
            Statement(
                "bowstrings",
                "the path becomes shorter, the device gets slack, and a pull bends the elbow",
                "Which way would the cable take if it could? What is there, or not, to keep it from that?",
                "the way along the limb and the way across it are not told apart",
            ),
            Statement(
                "opens",
                "the path becomes longer, and the device opens by itself",
                "Measure along the limb and straight across the elbow. Which is longer?",
                "a bent elbow is thought to stretch what runs over it",
            ),
        ),
        right=right_elbow,
        hints=("What does a housing held at both ends keep the same? Is it held here, and is it long enough?",),
    ),
    Quantity(
        name="slack",
        points=3,
        kind="length",
        unit="mm",
        asks="slack that a cable without housing gets when the elbow bends from straight",
        right=lambda c, _: c.above + c.below - straight_across(c),
        within=0.5,
        hints=(
            "Draw crossbar, elbow axis and retainer. How long is the way with a straight elbow, how long across?",
            "The corner of the triangle is at the elbow axis. How large is it with a straight elbow?",
        ),
    ),
    Quantity(
        name="elbow_moment",
        points=2,
        kind="moment",
        unit="N m",
        asks="moment with which that cable bends the elbow there",
        right=lambda c, _: c.free_pull * lever(c) / 1000,
        relative=0.01,
        hints=(
            "A moment is a force times a distance square to it. From which point, and to which line?",
            "The area of the triangle can be found in two ways: from the corner at the elbow, and over the cable.",
        ),
    ),
)


# --- Worked steps, opened after an attempt --------------------------------------------------


def harness_pull_steps(c: Case) -> str:
    """From the device to the hanger, pulling."""
    total = sum(bends(c))
    return (
        f"  1. All bends, whichever way they turn: {' + '.join(str(bend) for bend in bends(c))} = {total}°"
        f" = {radians(total):.4f} rad.\n"
        f"  2. Friction times bend: {c.friction} times {radians(total):.4f} = {rubbed(c):.4f}.\n"
        f"  3. Pulling, the hanger has the larger force: {c.device_pull} N times e to the {rubbed(c):.4f}"
        f" = {c.device_pull * exp(rubbed(c)):.2f} N."
    )


def return_pull_steps(c: Case) -> str:
    """From the device to the hanger, letting back."""
    return (
        f"  1. The device still pulls back with {c.device_pull} N. Now its end moves first, and friction holds for the "
        f"wearer.\n"
        f"  2. The ratio is the same, with the ends changed about: {c.device_pull} N times e to the -{rubbed(c):.4f}"
        f" = {c.device_pull * exp(-rubbed(c)):.2f} N."
    )


def friction_steps(c: Case) -> str:
    """Row by row, then together."""
    rows = "\n".join(
        f"     {angle}°: {log_loss(angle, c.values):.4f} over {radians(angle):.4f} rad,"
        f" about {log_loss(angle, c.values) / radians(angle):.3f}"
        for angle in READ_AT
    )
    return (
        f"  1. In each row, the logarithm of larger over smaller force, over the bend in radians:\n{rows}\n"
        f"  2. In the row of {c.let_back}° the device has the larger force, as it must while letting back.\n"
        f"  3. All rows together, a line through the origin: friction = {fitted(c.values):.4f}."
    )


def most_bend_steps(c: Case) -> str:
    """From the share to the bend that is left."""
    total = allowed(c)
    return (
        f"  1. The share that arrives is e to the minus friction times bend. Undone: friction times bend"
        f" = {c.liner * radians(total):.4f}.\n"
        f"  2. All bends: {c.liner * radians(total):.4f} / {c.liner} = {radians(total):.4f} rad = {total:.1f}°.\n"
        f"  3. Less crossbar and wrist: {total:.1f} - {c.bend_crossbar} - {c.bend_wrist}"
        f" = {total - c.bend_crossbar - c.bend_wrist:.1f} deg."
    )


def slack_steps(c: Case) -> str:
    """The triangle at the elbow."""
    across = straight_across(c)
    return (
        f"  1. With a straight elbow the way is {c.above} + {c.below} = {c.above + c.below} mm.\n"
        f"  2. Bent by {c.flexion}°, the corner at the elbow axis is {180 - c.flexion}°; across it: {across:.2f} mm.\n"
        f"  3. Slack: {c.above + c.below} - {across:.2f} = {c.above + c.below - across:.2f} mm."
    )


def elbow_moment_steps(c: Case) -> str:
    """The distance square to the cable, then the moment."""
    return (
        f"  1. Twice the area of the triangle: {c.above} times {c.below} times the sine of {180 - c.flexion}°.\n"
        f"  2. Over the cable, {straight_across(c):.2f} mm: the cable passes {lever(c):.2f} mm from the axis.\n"
        f"  3. Moment: {c.free_pull} N times {lever(c) / 1000:.5f} m = {c.free_pull * lever(c) / 1000:.3f} N m."
    )


def arrives_steps(c: Case) -> str:
    """From one bend to any number, on the first inputs of the case."""
    total = sum(bends(c))
    return (
        "  1. What arrives from the first bend enters the second: the exponentials multiply, so the bends add.\n"
        f"  2. With {c.load} N, bends of {', '.join(str(bend) for bend in bends(c))}° and friction {c.friction}: "
        f"{total}° = {radians(total):.4f} rad.\n"
        f"  3. {c.load} N times e to the -{rubbed(c):.4f} = {right_arrives(c.load, bends(c), c.friction):.2f} N."
    )


def route_steps(_: Case) -> str:
    """What stands in the law."""
    return (
        "  1. What a bend takes depends on friction and on its angle; radius and speed do not stand in the law.\n"
        "  2. A cable presses on its housing whichever way it turns: every bend counts with its whole size.\n"
        "  3. So only a route with fewer degrees in all lets more arrive."
    )


def elbow_steps(c: Case) -> str:
    """What is held, and how long it is."""
    why = {
        "held": "both ends are held, and the housing is long enough: the path is as long as the housing, always",
        "short": "both ends are held, and the housing cannot go round a bent elbow: it is pulled taut and stops it",
        "long": "both ends are held, and what is too long must go somewhere: it stands off in a bow",
    }.get(c.set_up, "nothing holds the cable along the limb: it takes the shortest way, across the elbow")
    return (
        "  1. A housing held at both ends keeps the path of its cable as long as it is itself.\n"
        f"  2. Here {why}.\n"
        f"  3. The statement that says so: {right_elbow(c)}."
    )


WORKED = {
    "harness_pull": harness_pull_steps,
    "return_pull": return_pull_steps,
    "friction": friction_steps,
    "arrives": arrives_steps,
    "most_bend": most_bend_steps,
    "route": route_steps,
    "elbow": elbow_steps,
    "slack": slack_steps,
    "elbow_moment": elbow_moment_steps,
}

exercise = Exercise(
    name="ex04",
    title="Cable and housing",
    plan=Plan("ex04", DRAWS, derive=read),
    items=ITEMS,
    ideas=IDEAS,
    present=present,
    worked=WORKED if HAND_OUT_WORKED_STEPS else {},
)
