"""Exercise 2, body control motions: worked steps of a case, the answer in the last line."""

from __future__ import annotations

from controlkit.checking import Case
from controlkit.exercises.ex02.bench import kept_up
from controlkit.exercises.ex02.case import (
    MOTION,
    arc,
    flexion_for,
    rows_around,
    share,
    swing,
)


def motion_steps(c: Case) -> str:
    """From the task to the motion."""
    pulled = "is not to be pulled" if MOTION[c.wants] == "scapula back" else "is to be pulled"
    moves = "is to stay where it is" if MOTION[c.wants] == "biscapular abduction" else "goes somewhere else"
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


def scapula_steps(c: Case) -> str:
    """From the table to the scapula's share."""
    both, alone = c[f"both_{c.raised}"], c[f"alone_{c.raised}"]
    return (
        f"  1. At {c.raised}°: {both} mm with the scapula brought forward, {alone} mm without.\n"
        f"  2. The scapula adds {both} - {alone} = {both - alone} mm."
    )


def device_path_steps(c: Case) -> str:
    """From the angle to the path of the hook."""
    flexion = flexion_for(c, c.required)
    return (
        f"  1. From the shoulder to the fingertips: the root of {c.upper_arm}² + {c.reach}² + "
        f"2 x {c.upper_arm} x {c.reach} x cos({c.elbow}°) is {swing(c):.1f} mm.\n"
        f"  2. {flexion:.2f}° = {arc(c, flexion) / swing(c):.4f} rad.\n"
        f"  3. The path: {swing(c):.1f} x {arc(c, flexion) / swing(c):.4f} = {arc(c, flexion):.1f} mm."
    )


def share_steps(c: Case) -> str:
    """From the pull at the device to the share."""
    pull = c.asked / (c.kept / 100)
    return (
        f"  1. At the harness: {c.asked} / {c.kept / 100:g} = {pull:.2f} N.\n"
        f"  2. Cable share: {pull:.2f} / {c.strength} = {share(c):.4f}."
    )


def task_steps(c: Case) -> str:
    """From the share to the task."""
    return (
        "  1. Measured over an hour: about 0.08 can be held, 0.14 repeated; 0.20 is the limit in use; 1 is all.\n"
        f"  2. Between which of them does {share(c):.2f} lie?\n  3. So it can be: {kept_up(share(c))}."
    )


def strength_needed_steps(c: Case) -> str:
    """From the device to the strength."""
    return (
        "  1. Of the pull at the harness the efficiency arrives at the device. So which pull is there at the harness?\n"
        "  2. That pull may be the given share of the strength. So which strength is there?\n"
        f"  3. By hand, for {c.asked} N, {c.kept / 100:g} and 0.2: {c.asked / (c.kept / 100) / 0.2:.1f} N."
    )


WORKED = {
    "motion": motion_steps,
    "flexion": flexion_steps,
    "scapula": scapula_steps,
    "device_path": device_path_steps,
    "share": share_steps,
    "task": task_steps,
    "strength_needed": strength_needed_steps,
}
