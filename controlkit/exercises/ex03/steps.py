"""Exercise 3, the figure-of-eight harness: worked steps of a case, the answer in the last line."""

from __future__ import annotations

from math import cos, degrees

from controlkit.checking import (
    Case,
)
from controlkit.checking.student.siblings import Worked
from controlkit.exercises.ex03.case import (
    STRETCH_AT,
    generated,
    growth,
    half_opening,
    losses,
    stretched,
    turn,
)


def excursion_steps(c: Case) -> str:
    """From the table to the captured excursion."""
    return (
        f"  1. The path at {c.arm_angle}° is {c[f'strap_{c.arm_angle}']} mm, at rest {c.strap_0} mm.\n"
        f"     Generated: {generated(c):g} mm.\n"
        f"  2. Lost before the cable feels it: slack {c.slack} mm, ring travel {c.ring_travel} mm,\n"
        f"     stretch {c.stretch} mm for every {STRETCH_AT} N, at {c.pull} N {stretched(c):g} mm.\n"
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
        f"     each leg is {half:g}° from it.\n  2. Along that line: 2 S cos({half:g}°) = {c.ring_pull} N.\n"
        f"  3. S = {c.ring_pull} / {2 * cos(half_opening(c)):.4f} = {c.ring_pull / (2 * cos(half_opening(c))):.1f} N.\n"
        f"  Friction of the loop round the sound shoulder, left out here, makes the two legs differ."
    )


DESIGN_STEPS = (
    "  1. Begin as practice does: 25 mm below C7, 25 mm off the spine, just snug (0 mm), and the crossbar in the\n"
    "     middle of what your table allows.\n"
    "  2. Lower the ring in steps of 5 mm, as far as your table allows, until the device is said to open fully, on\n"
    "     your wearer and on the other bodies. Whose back is short has a short path over it, and asks for most.\n"
    "     The crossbar is a lever too: further from the shoulder, within its room, it asks for less depth of the "
    "ring.\n"
    "  3. Now the moment: more than your table allows is more moment arm than needed. Which way did the last step go?\n"
    "  4. Let out is lost millimetre for millimetre; taken in it pulls at rest."
)
"""From a first set-up to one that serves."""

WORKED: dict[str, Worked] = {
    "excursion": excursion_steps,
    "moment_arm": moment_arm_steps,
    "shoulder_moment": shoulder_moment_steps,
    "loop_tension": loop_tension_steps,
    "design": DESIGN_STEPS,
}
