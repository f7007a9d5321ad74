"""Exercise 6, the whole chain: worked steps of a case, the answer in the last line."""

from __future__ import annotations

from controlkit.checking import (
    Case,
)
from controlkit.exercises.ex06.case import (
    arrives,
    lost,
    may,
    there,
)
from controlkit.exercises.ex06.faults import decides, fault_of
from controlkit.exercises.ex06.items import runs_out


def captured_steps(c: Case) -> str:
    """From the two tables to the captured excursion."""
    return (
        f"  1. Both motions together generate {c.generated_table_commanded} mm, not the sum of the two rows above:\n"
        "     the device is held, and arm extension takes back part of what the scapulae give.\n"
        f"  2. Lost: ring, tissue and pad {c.ring_lost} mm, stretch {c.stretch_lost} mm, slack {c.slack} mm. Friction\n"
        "     takes force, no travel.\n"
        f"  3. Captured: {c.generated_table_commanded} - {lost(c)} = {c.generated_table_commanded - lost(c)} mm."
    )


def harness_force_steps(c: Case) -> str:
    """From the device to the hanger."""
    return (
        f"  1. Opened so far, the device asks {c.full_force} N.\n"
        f"  2. Of the pull, {round(100 * arrives(c))} % arrives: {c.full_force} N / {arrives(c):g}"
        f" = {c.full_force / arrives(c):.2f} N."
    )


def runs_out_first_steps(c: Case) -> str:
    """Two budgets side by side."""
    return (
        f"  1. Excursion: {c.needs} mm needed, {there(c)} mm there.\n"
        f"  2. Force: {c.full_force / arrives(c):.1f} N asked, {may(c):g} N allowed for this task.\n"
        f"  3. So what runs out: {runs_out(c)}."
    )


def buckle_steps(c: Case) -> str:
    """What arrives inadvertently."""
    return (
        f"  1. Reaching the mouth brings {c.travel_mouth} mm to the device. The wearer can take some of it back.\n"
        f"  2. With the scapula drawn back, {c.travel_mouth_back} mm are left to let out.\n"
        f"  3. The buckle then stands at {c.snug_at} + {c.travel_mouth_back} = {c.snug_at + c.travel_mouth_back} mm."
    )


def fly_left_steps(c: Case) -> str:
    """What slack costs elsewhere."""
    return (
        f"  1. With the strap just snug, {c.travel_fly_commanded} mm arrive at the fly on command.\n"
        f"  2. It is the same strap, {c.travel_mouth_back} mm longer, and the cable is {c.longer} mm longer.\n"
        f"  3. {c.travel_fly_commanded} - {c.travel_mouth_back} - {c.longer}"
        f" = {c.travel_fly_commanded - c.travel_mouth_back - c.longer} mm."
    )


def diagnosis_steps(c: Case) -> str:
    """The reading that only one fault could give."""
    return (
        "  1. Mark every reading that has changed by more than its error. Ask of each fault whether it could do that.\n"
        f"  2. Only one could give this reading: {' and '.join(decides(c))}.\n  3. The fault: {fault_of(c)}."
    )


WORKED = {
    "captured": captured_steps,
    "harness_force": harness_force_steps,
    "runs_out_first": runs_out_first_steps,
    "buckle": buckle_steps,
    "fly_left": fly_left_steps,
    "diagnosis": diagnosis_steps,
}
