"""Exercise 4, cable and housing: worked steps of a case, the answer in the last line."""

from __future__ import annotations

from math import exp, radians

from controlkit.checking import Case
from controlkit.checking.student.siblings import Worked
from controlkit.exercises.ex04.case import (
    READ_AT,
    allowed,
    bends,
    fitted,
    lever,
    log_loss,
    rubbed,
    straight_across,
)
from controlkit.exercises.ex04.items import right_elbow


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
    """From the law to a formula that can be typed, and a trial of it."""
    total = sum(bends(c))
    return (
        "  1. What arrives from the first bend enters the second: the exponentials multiply, so the bends add.\n"
        "  2. Friction times bend stands in the exponent, the bend in radians, a minus sign before it since less "
        "arrives.\n"
        "  3. In typing a power of e is e^( ), and what it takes of stands before it. Half a turn is pi radians.\n"
        f"  4. By hand, with {c.load} N, {total}° and friction {c.friction}: {total}° = {radians(total):.4f} rad, and "
        f"{c.load} N times e to the -{rubbed(c):.4f} = {c.load * exp(-rubbed(c)):.2f} N."
    )


ROUTE_STEPS = (
    "  1. What a bend takes depends on friction and on its angle; radius and speed do not stand in the law.\n"
    "  2. A cable presses on its housing whichever way it turns: every bend counts with its whole size.\n"
    "  3. Which of the changes makes the sum of all bends smaller?"
)
"""What stands in the law."""


def elbow_steps(c: Case) -> str:
    """What is held, and how long it is."""
    why = {
        "held": "both ends are held, and the housing is long enough: the path is as long as the housing, always",
        "short": "both ends are held, and full flexion needs the longest way round the elbow: the housing comes taut "
        "and stops it",
        "long": "both ends are held, and what is too long must go somewhere: it stands off in a bow",
    }.get(c.set_up, "nothing leads the cable past the elbow: it takes the shortest way, across it")
    return (
        "  1. A housing held at both ends keeps the path of its cable as long as it is itself.\n"
        f"  2. Here {why}.\n  3. The statement that says so: {right_elbow(c)}."
    )


WORKED: dict[str, Worked] = {
    "harness_pull": harness_pull_steps,
    "return_pull": return_pull_steps,
    "friction": friction_steps,
    "arrives": arrives_steps,
    "most_bend": most_bend_steps,
    "route": ROUTE_STEPS,
    "elbow": elbow_steps,
    "slack": slack_steps,
    "elbow_moment": elbow_moment_steps,
}
