"""Exercise 12: worked steps of a case, the answer in the last line."""

from __future__ import annotations

from controlkit.checking import Case
from controlkit.checking.student.siblings import Worked
from controlkit.exercises.ex12.bench import PLACES
from controlkit.exercises.ex12.case import (
    EACH,
    FALL,
    NINE_TIMES,
    TIME,
    bands,
    bands_for,
    best_pull,
    endures,
    half_width,
    left,
    lighter,
    pulls,
    readings,
    right_for,
    served,
    tray_share,
    tried,
)
from controlkit.exercises.ex12.diary import DIARIES, SECOND_WEEK, STEPS, marks, too_long, worn
from controlkit.exercises.ex12.items import runs_out, tightest
from controlkit.exercises.ex12.shelf import GROUPS
from controlkit.exercises.ex12.words import HISTORIES, SIGNS


def first_step_steps(c: Case) -> str:
    """The row that decides."""
    where, found, word = HISTORIES[c.history]
    decides = f"{where}: {found}" if where else "no row: what was found is old, healed or steady, and bears a strap"
    return (
        "  1. Ask of each row: is it new and not looked at, getting better, or a place that bears no strap?\n"
        f"  2. What decides here is {decides}.\n  3. So: {word}."
    )


def harness_pull_steps(c: Case) -> str:
    """Bands first, then the pull of each task."""
    asked = ", ".join(
        f"{place} {c[f'grip_{place}']} / {c[f'band_grip_{place}']} = {c[f'grip_{place}'] / c[f'band_grip_{place}']:.2f}"
        f" so {bands_for(c, place)}"
        for place in PLACES
    )
    each = ", ".join(
        f"{place} {bands(c)} x {c[f'band_pull_{place}']} / {c[f'arrives_{place}'] / 100:.2f} = {pull:.2f} N"
        for place, pull in pulls(c).items()
    )
    return (
        f"  1. Bands for each task: {asked}. One hook for all takes {bands(c)}.\n  2. At the harness: {each}.\n"
        f"  3. The largest of them: {max(pulls(c).values()):.2f} N."
    )


def cable_share_steps(c: Case) -> str:
    """Of the best of three pulls."""
    pull = max(pulls(c).values())
    return (
        f"  1. The largest of {', '.join(f'{one} N' for one in readings(c))} through the harness: {c.strength} N.\n"
        f"  2. {pull:.2f} / {c.strength} = {pull / c.strength:.4f}.\n"
        f"  3. In per cent: {100 * pull / c.strength:.2f} %."
    )


def spare_steps(c: Case) -> str:
    """There less needed, three times."""
    each = "\n".join(
        f"  {k}. {place}: {c[f'there_{place}']} - {c[f'travel_{place}']} = {left(c, place):.1f} mm."
        for k, place in enumerate(PLACES, 1)
    )
    return f"{each}\n  4. The smallest, what is lacking counted as negative: {tightest(c):.1f} mm."


def runs_out_steps(c: Case) -> str:
    """Both budgets beside what they may."""
    share = 100 * max(pulls(c).values()) / c.strength
    return (
        f"  1. Travel left at the tightest task: {tightest(c):.1f} mm. Less than nothing is too little.\n"
        f"  2. Share of the largest pull at the hardest task: {share:.1f} %. A fifth may be taken many times a day.\n"
        f"  3. So: {runs_out(c)}."
    )


def holds_steps(c: Case) -> str:
    """All moments over the strength at that angle, then the formula."""
    whole = c.tray_straps + c.tray_weight
    return (
        f"  1. Straps and weight: {c.tray_straps} + {c.tray_weight} = {whole:.1f} N m.\n"
        f"  2. Of {c.flexor} N m with the arm 45° forward: {tray_share(c):.2f} %.\n"
        f"  3. {TIME.value:g} times e^(-{FALL.value:g} x {tray_share(c):.2f}) = {endures(tray_share(c)):.2f} min."
    )


def right_for_steps(c: Case) -> str:
    """Wish, shoulder, then a fifth."""
    pull = best_pull(c)
    return (
        "  1. First the wish: is a grip wanted? Then the shoulder: can it pull?\n"
        f"  2. A fifth of {pull} N is {pull / 5:.1f} N; the hook asks {c.asks} N as it is, {lighter(c)} N with "
        f"fewer bands.\n  3. So: {right_for(c)}."
    )


def served_steps(c: Case) -> str:
    """Count, over all."""
    each = ", ".join(
        f"{sum(one >= c.needs + 0.5 for one in travel)} of the {group}" for group, travel in tried(c).items()
    )
    people = EACH * len(GROUPS)
    return (
        f"  1. {c.needs + 0.5} mm or more: {each}.\n  2. Together {served(c)} of {people}.\n"
        f"  3. {served(c)} / {people} = {100 * served(c) / people:.2f} %."
    )


def at_least_steps(c: Case) -> str:
    """Half the width, down from the share."""
    people = EACH * len(GROUPS)
    share = 100 * served(c) / people
    return (
        f"  1. s (100 - s) / n = {share:.2f} x {100 - share:.2f} / {people} = {share * (100 - share) / people:.2f}.\n"
        f"  2. {NINE_TIMES} times its root is {half_width(share):.2f} %.\n"
        f"  3. {share:.2f} - {half_width(share):.2f} = {share - half_width(share):.2f} %."
    )


def schedule_steps(c: Case) -> str:
    """Step by step, a step less after marks that lasted too long."""
    last, _ = DIARIES[c.diary]
    seen = [too_long(mark) for mark in marks(c.diary)]
    back = ", ".join(str(day) for day, stayed in enumerate(seen, 1) if stayed)
    days = [STEPS[sum(-1 if stayed else 1 for stayed in seen[: day - 1])] for day in range(SECOND_WEEK, last + 1)]
    return (
        f"  1. The marks lasted too long on the days {back}: they are shown, and the day after each is worn a "
        f"step less.\n"
        f"  2. So day {SECOND_WEEK} to day {last} are worn {', '.join(f'{one} min' for one in days)}, all times "
        f"of a day together.\n  3. Together {worn(c.diary)} min."
    )


def stop_steps(c: Case) -> str:
    """Goes on with everything off, numb, broken, how long."""
    told, word = SIGNS[c.sign]
    return (
        f"  1. Told: {told}.\n"
        "  2. What fails of blood or breath, and goes on so with everything off, is an emergency; else a hand "
        "that is numb, tingles, is cold or pale, also when it passes, and what makes ill, is for a physician;"
        " broken skin, or a mark that stays beyond both printed times, means off until it is seen; a mark that "
        "goes in time but lasts longer than before means less, and a look; one that goes as before means on.\n"
        f"  3. So: {word}."
    )


WORKED: dict[str, Worked] = {
    "first_step": first_step_steps,
    "harness_pull": harness_pull_steps,
    "cable_share": cable_share_steps,
    "travel_left": spare_steps,
    "runs_out_first": runs_out_steps,
    "endurance": holds_steps,
    "proposal": right_for_steps,
    "share_served": served_steps,
    "lower_end": at_least_steps,
    "schedule": schedule_steps,
    "what_next": stop_steps,
}
