"""Exercise 8, the above-elbow harness: worked steps of a case, the answer in the last line."""

from __future__ import annotations

from math import cos, degrees, radians, sin

from controlkit.checking import Case
from controlkit.checking.student.siblings import Worked
from controlkit.exercises.ex08.bench import PARTS
from controlkit.exercises.ex08.case import (
    across,
    below,
    lengthened,
    on_lock,
    positions,
    rows,
    snug,
    taken_at,
    taken_up,
)
from controlkit.exercises.ex08.errand import right_orders
from controlkit.exercises.ex08.words import OF_SCENE, SCENES, SEEN
from controlkit.exercises.shared.readings import step_of


def strap_steps(c: Case) -> str:
    """From what is seen to the strap."""
    return (
        f"  1. Seen: {SEEN[c.seen]}.\n"
        "  2. Ask of each strap what would be different without it: suspension, lift and device, the lock, or a path.\n"
        f"  3. Only without the work of this strap would it be so: {c.seen}."
    )


def lock_travel_steps(c: Case) -> str:
    """All that lengthens, then all that takes of it."""
    parts = " + ".join(f"{c[f'lock_{part}']}" for part in PARTS)
    return (
        f"  1. The way of the strap lengthens by {parts} = {lengthened(c):.1f} mm.\n"
        f"  2. Ring and socket yield {c.yielded} mm, the strap gives {c.stretch} mm: a strap just snug would draw"
        f" {snug(c):.1f} mm.\n  3. Let out by {c.let_out} mm, it is tight so much later: {snug(c) - c.let_out:.1f} mm."
    )


def lift_cable_steps(c: Case) -> str:
    """The second column, sign by sign."""
    parts = " ".join(f"{'+' if c[f'lift_{part}'] >= 0 else '-'} {abs(c[f'lift_{part}'])}" for part in PARTS)
    return (
        "  1. Each part begins where the one before ended: the last column.\n"
        f"  2. Paid out counts as negative: {parts} = {taken_up(c):.1f} mm."
    )


def forearm_moves_steps(c: Case) -> str:
    """Length over radius."""
    turn = taken_up(c) / c.arm
    return (
        f"  1. The motion takes {taken_up(c):.1f} mm of lift cable, on a circle of radius {c.arm} mm.\n"
        f"  2. {taken_up(c):.1f} / {c.arm} = {turn:.4f} rad.\n"
        f"  3. A radian is 57.30°: {degrees(turn):.2f}°. The lift cable must be kept as it is while the lock is worked."
    )


def buckle_steps(c: Case) -> str:
    """The loosest, the tightest, and between them."""
    loosest, tightest = snug(c) - c.needs, c.walking - c.needs
    return (
        f"  1. With a strap just snug the motion draws {snug(c) - c.let_out:.1f} + {c.let_out} = {snug(c):.1f} mm,"
        f" walking {c.walking} mm.\n"
        f"  2. The motion comes to {c.needs} mm with up to {loosest:.1f} mm let out, walking with up to"
        f" {tightest:.1f} mm.\n  3. Half way between, taken in counted as negative: {(loosest + tightest) / 2:.2f} mm."
    )


def sinks_steps(c: Case) -> str:
    """Positions, and the one below."""
    each = positions(c)[1] - c.first
    return (
        f"  1. {c.count} positions have {c.count - 1} gaps: ({c.last} - {c.first}) / {c.count - 1} = {each:.2f}° "
        f"each.\n  2. The nearest below {c.held}° is {below(c):.2f}°.\n"
        f"  3. The forearm sinks by {c.held} - {below(c):.2f} = {c.held - below(c):.2f}°."
    )


def hangs_slack_steps(c: Case) -> str:
    """Between two rows."""
    at, every = below(c), rows(c)
    k = step_of(every, at)
    low, high = every[k], every[k + 1]
    first, last = c[f"taken_{low}"], c[f"taken_{high}"]
    return (
        f"  1. The forearm is locked at {at:.2f}°, between {low}° ({first} mm) and {high}° ({last} mm).\n"
        "  2. Back at rest, all that the lift took up by there hangs slack: the lock holds the elbow, not the cable.\n"
        f"  3. {first} + ({last} - {first}) x ({at:.2f} - {low}) / {high - low} = {taken_at(c, at):.2f} mm."
    )


def lets_go_steps(c: Case) -> str:
    """The weight's moment, less what the lock lets go of."""
    off = c.locked + c.tilt
    return (
        f"  1. The forearm is {c.locked} + {c.tilt} = {off}° off the vertical: {c.level} times "
        f"{sin(radians(off)):.4f} = {on_lock(c):.4f} N m.\n"
        f"  2. The lock lets go of {c.free} N m, so the cable must make {on_lock(c) - c.free:.4f} N m.\n"
        f"  3. With {c.lever / 1000} m: {1000 * (on_lock(c) - c.free) / c.lever:.2f} N."
    )


def turns_steps(c: Case) -> str:
    """Across the arm, along the tangent, times the radius."""
    side = c.pull * sin(radians(c.leaves))
    return (
        f"  1. Across the arm: {c.pull} times {sin(radians(c.leaves)):.4f} = {side:.3f} N; what runs along it "
        f"does not turn.\n  2. Along the tangent: {side:.3f} times {cos(radians(c.off)):.4f} = {across(c):.3f} N.\n"
        f"  3. Times {c.radius / 1000} m: {across(c) * c.radius / 1000:.4f} N m."
    )


def comes_of_it_steps(c: Case) -> str:
    """How the lock stands, what bears, what comes."""
    stands, happens = SCENES[c.scene]
    return (
        f"  1. At first: {stands}.\n  2. Then: {happens}.\n"
        "  3. The lock changes over with every pull, unless it bears too much; easing lets go of what the cable held.\n"
        f"  4. So: {OF_SCENE[c.scene]}."
    )


def sequence_steps(c: Case) -> str:
    """A right order; the last line is where it began."""
    lines = [f"  {place}. {step}" for place, step in enumerate(right_orders(c)[0], 1)]
    other = "  Where two steps may change places, either order is good."
    return "\n".join([*lines, f"{other} This errand began {c.begins}, and took {len(lines)} steps."])


WORKED: dict[str, Worked] = {
    "strap": strap_steps,
    "lock_travel": lock_travel_steps,
    "lift_cable": lift_cable_steps,
    "forearm_moves": forearm_moves_steps,
    "buckle": buckle_steps,
    "sinks": sinks_steps,
    "hangs_slack": hangs_slack_steps,
    "lets_go": lets_go_steps,
    "turns": turns_steps,
    "comes_of_it": comes_of_it_steps,
    "sequence": sequence_steps,
}
