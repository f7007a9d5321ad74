"""Exercise 11, checkout and fault-finding: worked steps of a case, the answer in the last line."""

from __future__ import annotations

from statistics import mean, stdev

from controlkit.checking import Case
from controlkit.checking.student.siblings import Worked
from controlkit.exercises.ex11.bench import PULLS, third
from controlkit.exercises.ex11.case import (
    HIGH,
    LOAD,
    LOW,
    TRIALS,
    at_device,
    at_hanger,
    doubt,
    efficiency,
    exact_trials,
    load,
    marks,
    meets,
    slipped,
    standard_error,
    trials,
    trials_needed,
)
from controlkit.exercises.ex11.faults import above_decides, above_fault, below_decides, below_fault
from controlkit.exercises.ex11.retake import renewed, right_orders, touched, wanted
from controlkit.exercises.ex11.undecided import LEFT, changes, scene, would_read
from controlkit.exercises.shared.readings import step_of


def efficiency_steps(c: Case) -> str:
    """Strike one out, two means, one ratio."""
    out = at_hanger(c, stray=True)[c.stray - 1]
    device, hanger = mean(at_device(c)), mean(at_hanger(c))
    return (
        f"  1. At the hanger {out:g} N does not belong: the others lie within a few newtons of each other. It is "
        f"struck out,\n     and the record says so.\n"
        f"  2. Mean at the device {device:.3f} N, at the hanger {hanger:.3f} N.\n"
        f"  3. {device:.3f} / {hanger:.3f} = {efficiency(c):.2f} %."
    )


DOUBT_STEPS = (
    "  1. Each pull may be off by a part of itself: what the scale may be off, over the pull.\n"
    "  2. Both parts come together like the short sides of a right angle: square them, add, draw the root.\n"
    "  3. That is which part of itself the efficiency may be off by. Multiply by the efficiency: device over hanger."
)


def verdict_steps(c: Case) -> str:
    """The least, the most, two limits."""
    share, off = efficiency(c), doubt(c)
    return (
        f"  1. The efficiency is {share:.2f} %, and may be off by {off:.2f} %.\n"
        f"  2. At least {share - off:.2f} %, at most {share + off:.2f} %; limits {LOW:.0f} % and {HIGH:.0f} %.\n"
        f"  3. Hold both against both limits: {meets(share, off)}."
    )


def opening_steps(c: Case) -> str:
    """Two movements, one share."""
    there = mean(trials(c))
    return (
        f"  1. Shut, the tape shows {c.shut} mm: that is the fingers' own width.\n"
        f"  2. Worn they move by {there:g} - {c.shut} = {there - c.shut:.1f} mm, on the table by {c.full} mm.\n"
        f"  3. {there - c.shut:.1f} / {c.full} = {100 * (there - c.shut) / c.full:.2f} %."
    )


def standard_error_steps(c: Case) -> str:
    """Differences, squares, root, root."""
    there = mean(trials(c))
    squares = sum((one - there) ** 2 for one in trials(c))
    return (
        f"  1. The mean is {there:g} mm; the differences from it, squared and added up, are {squares:.2f} mm².\n"
        f"  2. Over {TRIALS - 1}, and the root of it: one trial lies {stdev(trials(c)):.4f} mm from the others.\n"
        f"  3. The mean of {TRIALS}: over the root of {TRIALS}, {standard_error(c):.4f} mm."
    )


def trials_needed_steps(c: Case) -> str:
    """By which factor, its square, up to the next whole one."""
    error = standard_error(c)
    return (
        f"  1. Twice the standard error is {2 * error:.4f} mm; it must come down to {c.nearer} mm.\n"
        f"  2. That is by a factor of {2 * error / c.nearer:.4f}, and it falls with the root: {TRIALS} times the "
        f"square of the factor is {exact_trials(c, error):.2f}.\n"
        f"  3. Trials are whole, and that many are the fewest: {trials_needed(c, error)}."
    )


def slip_steps(c: Case) -> str:
    """The lighter load, between two rows, from the first mark."""
    pulls, where, at = (0, *PULLS), marks(c), load(c)
    k = step_of(pulls, at)
    reads = slipped(c, at) + c.mark
    return (
        f"  1. A third of the weight is {third(c.mass):.1f} N, fifty pounds are {LOAD.si:.1f} N: the test takes "
        f"{at:.1f} N.\n  2. Between {pulls[k]} and {pulls[k + 1]} N: {where[k]} + ({where[k + 1]} - {where[k]}) x"
        f" ({at:.1f} - {pulls[k]}) / {pulls[k + 1] - pulls[k]} = {reads:.2f} mm.\n"
        f"  3. Without a pull it stood at {c.mark} mm: {slipped(c, at):.2f} mm."
    )


def fault_below_steps(c: Case) -> str:
    """The reading that only one fault could give."""
    return (
        "  1. Mark every reading that has changed by more than its error. Ask of each fault whether it could do that.\n"
        f"  2. Only one could give this reading: {' and '.join(below_decides(c))}.\n  3. The fault: {below_fault(c)}."
    )


def fault_above_steps(c: Case) -> str:
    """The same above the elbow."""
    return (
        "  1. Mark every reading that has changed by more than its error. Ask of each fault whether it could do that.\n"
        f"  2. Only one could give this reading: {' and '.join(above_decides(c))}.\n  3. The fault: {above_fault(c)}."
    )


def retake_steps(c: Case) -> str:
    """What each test knows of, then a right order."""
    first = right_orders(c)[0]
    knows = "".join(f"     {test}: {'; '.join(sorted(touched(test)))}\n" for test in wanted(c))
    return (
        f"  1. Renewed: {'; '.join(renewed(c))}. Tests that know of one of them, and all that each knows of:\n{knows}"
        "  2. What knows of fewer parts, and of no others, comes first; where neither is so, either may.\n"
        f"  3. {', then '.join(first)}."
    )


def undecided_steps(c: Case) -> str:
    """What both faults would do."""
    left = scene(c)
    changed, same = changes(c)
    return (
        f"  1. Changed by more than its error: {changed}. As it was: {same}.\n"
        "  2. A fault is out if it would have moved what is as it was, or left alone what has changed.\n"
        f"  3. Two are left: {' and '.join(LEFT[left.word].faults)}."
    )


def measure_next_steps(c: Case) -> str:
    """Where they part."""
    left = scene(c)
    return (
        f"  1. Two faults are left: {' and '.join(LEFT[left.word].faults)}.\n"
        f"  2. In the sizes that go with what was read: {would_read(c)}.\n"
        f"  3. Only this reading comes out differently for the two: {left.next}."
    )


WORKED: dict[str, Worked] = {
    "efficiency": efficiency_steps,
    "doubt": DOUBT_STEPS,
    "verdict": verdict_steps,
    "opening": opening_steps,
    "standard_error": standard_error_steps,
    "trials_needed": trials_needed_steps,
    "slip": slip_steps,
    "fault_below": fault_below_steps,
    "retake": retake_steps,
    "fault_above": fault_above_steps,
    "undecided": undecided_steps,
    "measure_next": measure_next_steps,
}
