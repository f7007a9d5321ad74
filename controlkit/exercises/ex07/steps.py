"""Exercise 7, dual control: worked steps of a case, the answer in the last line."""

from __future__ import annotations

from math import radians, sin

from controlkit.checking import Case
from controlkit.checking.student.siblings import Worked
from controlkit.exercises.ex07.case import (
    PARTS,
    SCENES,
    WAY_UP,
    arm_of,
    bent_by,
    free,
    off_vertical,
    opening_force,
    taken_up,
    tension,
    weight_moment,
)
from controlkit.exercises.ex07.items import OF_SCENE, moves_first


def weight_moment_steps(c: Case) -> str:
    """Part by part, then the angle."""
    parts = " + ".join(f"{c[part] / 1000:g} times {c[f'{part}_at'] / 1000:g}" for part in PARTS)
    kilogram_metres = sum(c[part] * c[f"{part}_at"] for part in PARTS) * 1e-6
    return (
        f"  1. Mass times distance, part by part: {parts} = {kilogram_metres:.5f} kg m.\n"
        f"  2. A kilogram weighs 9.807 N: {weight_moment(c, 1.0):.4f} N m with the forearm level.\n"
        f"  3. Elbow and upper arm together: {c.elbow} + {c.inclined} = {c.elbow + c.inclined}° off the vertical.\n"
        f"  4. Its sine is {sin(off_vertical(c)):.4f}: {weight_moment(c, sin(off_vertical(c))):.4f} N m."
    )


def moment_arm_steps(c: Case) -> str:
    """Two places, the triangle's area, the length."""
    length, arm = free(c, c.bent), arm_of(c)
    return (
        f"  1. The elbow axis at the origin, forward and up: housing end {c.ahead} and {c.end} mm; loop"
        f" {_forward(c, c.bent):.3f} and {_up(c, c.bent):.3f} mm.\n"
        f"  2. p x u, twice the area of axis, loop and end: {arm * length:.1f} mm².\n"
        f"  3. Free cable from loop to end: {length:.3f} mm.\n  4. The one over the other: {arm:.3f} mm."
    )


def _forward(c: Case, angle: float) -> float:
    return float(c.loop * sin(radians(angle)))


def _up(c: Case, angle: float) -> float:
    return float(-c.loop * sin(radians(90 - angle)))


def lift_force_steps(c: Case) -> str:
    """From moments to a formula that can be typed, and a trial of it."""
    off = 60 + c.tilt_60
    weight = c.level * sin(radians(off))
    left = weight - c.spring
    return (
        "  1. About the elbow the weight extends; spring and cable flex. What the spring does not make, the "
        "cable must.\n"
        "  2. The weight's moment goes with the sine of the forearm's angle to the vertical: both angles together.\n"
        "  3. What is left, over the moment arm, is the tension; newton metres and millimetres do not go together.\n"
        f"  4. By hand, with {c.level} N m, {off}° in all, {c.spring} N m of spring and {c.arm_60} mm: "
        f"{weight:.4f} - {c.spring} N m are left, and that is {1000 * left / c.arm_60:.2f} N."
    )


def hardest_steps(c: Case) -> str:
    """Row by row."""
    rows = "\n".join(
        f"     {row}°: {row} + {c[f'tilt_{row}']} = {row + c[f'tilt_{row}']}° off the vertical,"
        f" {c.level * sin(radians(row + c[f'tilt_{row}'])):.4f} N m over {c[f'arm_{row}']} mm,"
        f" about {tension(c, row):.1f} N"
        for row in WAY_UP
    )
    most = max(WAY_UP, key=lambda row: tension(c, row))
    return (
        f"  1. In each row, the weight's moment over the moment arm:\n{rows}\n"
        f"  2. It is largest at {most}°: {tension(c, most):.3f} N."
    )


def harness_pull_steps(c: Case) -> str:
    """Back through the bends above the gap."""
    at_loop = max(tension(c, row) for row in WAY_UP)
    return (
        f"  1. Between hanger and loop lie {c.above}° = {radians(c.above):.4f} rad of bends.\n"
        f"  2. Pulling, the hanger has the larger force: {at_loop:.3f} N times e to the"
        f" {c.friction * radians(c.above):.4f} = {at_loop * bent_by(c, 'above'):.3f} N."
    )


def device_pull_steps(c: Case) -> str:
    """On through all bends."""
    hanger = max(tension(c, row) for row in WAY_UP) * bent_by(c, "above")
    bend = radians(c.above + c.beyond)
    return (
        f"  1. From hanger to device lie {c.above} + {c.beyond} = {c.above + c.beyond}° = {bend:.4f} rad.\n"
        f"  2. Each takes something: {hanger:.3f} N times e to the -{c.friction * bend:.4f}"
        f" = {hanger / bent_by(c, 'above', 'beyond'):.3f} N."
    )


def opens_first_steps(c: Case) -> str:
    """Two forces beside each other."""
    there = max(tension(c, row) for row in WAY_UP) / bent_by(c, "beyond")
    return (
        f"  1. It takes {c.bands} times {c.begins} N = {opening_force(c):.1f} N to open the device.\n"
        f"  2. While the forearm is held at its hardest place, {there:.1f} N reach it.\n"
        f"  3. So what happens: {moves_first(c, there)}."
    )


def taken_steps(c: Case) -> str:
    """Free cable before and after."""
    before, after = free(c, c.hangs), free(c, c.locked)
    return (
        f"  1. Hanging at {c.hangs}°, the loop is {_forward(c, c.hangs):.3f} mm forward and "
        f"{_up(c, c.hangs):.3f} mm up; to the housing's end {before:.3f} mm.\n"
        f"  2. Locked at {c.locked}°, the loop is {_forward(c, c.locked):.3f} mm forward and "
        f"{_up(c, c.locked):.3f} mm up; to the housing's end {after:.3f} mm.\n"
        f"  3. Taken up: {before:.3f} - {after:.3f} = {taken_up(c):.3f} mm."
    )


def left_steps(c: Case) -> str:
    """What the lift and the slack leave."""
    return (
        f"  1. By the whole motion {c.captured} mm are captured. Friction takes force, no travel.\n"
        f"  2. Slack takes {c.slack} mm, the lift {taken_up(c):.3f} mm; locked, the cable stays taken up.\n"
        f"  3. Left: {c.captured} - {c.slack} - {taken_up(c):.3f} = {c.captured - c.slack - taken_up(c):.3f} mm."
    )


def loop_moved_steps(c: Case) -> str:
    """The moment arm, then the work."""
    longer = c.moved == "outward"
    return (
        f"  1. The loop is moved {c.moved}: the moment arm becomes {'longer' if longer else 'shorter'}.\n"
        "  2. The forearm's weight and its way are the same, and so is the work: what one gains, the other loses.\n"
        f"  3. The lift asks for {'less' if longer else 'more'} force over {'more' if longer else 'less'} excursion."
    )


def comes_of_it_steps(c: Case) -> str:
    """What is free, what holds, what reaches the device."""
    elbow, happens = SCENES[c.scene]
    return (
        f"  1. The elbow: {elbow}.\n  2. What happens: {happens}.\n"
        "  3. The lock holds the elbow, the cable only what it pulls; at the device it works against the bands.\n"
        f"  4. So: {OF_SCENE[c.scene]}."
    )


WORKED: dict[str, Worked] = {
    "weight_moment": weight_moment_steps,
    "moment_arm": moment_arm_steps,
    "lift_force": lift_force_steps,
    "lift_tension": hardest_steps,
    "harness_pull": harness_pull_steps,
    "device_pull": device_pull_steps,
    "opens_first": opens_first_steps,
    "lift_travel": taken_steps,
    "left_to_open": left_steps,
    "loop_moved": loop_moved_steps,
    "comes_of_it": comes_of_it_steps,
}
