"""Exercise 12: what is asked, and hints."""

from __future__ import annotations

from controlkit.checking import Case, Choice, Quantity, Written
from controlkit.exercises.ex12.bench import PLACES
from controlkit.exercises.ex12.case import (
    EACH,
    MOST,
    endures,
    first_step,
    half_width,
    left,
    pulls,
    right_for,
    served,
    tray_share,
)
from controlkit.exercises.ex12.design import DESIGN
from controlkit.exercises.ex12.diary import worn
from controlkit.exercises.ex12.shelf import GROUPS
from controlkit.exercises.ex12.words import FIRST_STEP, RIGHT_FOR, RUNS_OUT, SIGNS, STOP

_WHICH = {(False, False): "neither", (True, False): "excursion", (False, True): "force", (True, True): "both"}


def tightest(c: Case) -> float:
    """Travel left where least is left [mm]."""
    return min(left(c, place) for place in PLACES)


def runs_out(c: Case, own: float | None = None) -> str:
    """Which budget does not pay, as the word of a statement; from her own travel left [mm], where there is one."""
    spare = tightest(c) if own is None else own
    return _WHICH[spare < 0, 100 * max(pulls(c).values()) / c.strength > MOST]


SCREENED = (
    Quantity(
        name="share_served",
        points=2,
        kind="ratio",
        unit="%",
        asks="share of the people tried whom that harness serves",
        right=lambda c, _: 100 * served(c) / (EACH * len(GROUPS)),
        relative=0.01,
        hints=(
            "Go through the people one by one: whose travel is as much as the task needs, or more?",
            "How many are they of all who were tried?",
        ),
        credible=(1.0, 99.0),
    ),
    Quantity(
        name="lower_end",
        points=2,
        kind="ratio",
        unit="%",
        asks="lower end of the interval in which the share of all such people lies, nineteen times of twenty, "
        "from your own share served",
        right=lambda _, mine: mine["share_served"] - half_width(mine["share_served"]),
        within=0.3,
        hints=(
            "How many people were tried? That is n. Work out s (100 - s) / n first, then its root.",
            "Half the width goes down from the share that was found.",
        ),
        follows="share_served",
        credible=(0.1, 99.0),
    ),
    Quantity(
        name="schedule",
        points=3,
        kind="time",
        unit="min",
        asks="time of wear on all days of the second week that are asked for, together",
        right=lambda c, _: float(worn(c.diary)),
        within=2,
        hints=(
            (
                "Write one line a day: which step of the schedule is it? What do the marks of that day say of the "
                "next one?"
            ),
            "A step of 3 times 45 min is how many minutes?",
        ),
        credible=(30.0, 5000.0),
    ),
)
"""Numbers that need nobody measured."""

FROM_THE_WEARER = (
    Quantity(
        name="harness_pull",
        points=4,
        kind="force",
        unit="N",
        asks="pull at the harness for the hardest of the three tasks, one hook for all of them, opened just as "
        "wide as the object",
        right=lambda c, _: max(pulls(c).values()),
        relative=0.005,
        hints=(
            (
                "How many bands does each task ask for? A band cannot be halved. With how many does the hook serve "
                "all three?"
            ),
            "With so many bands, which pull does the hook ask for at each task, and which the harness?",
        ),
        credible=(3.0, 500.0),
    ),
    Quantity(
        name="cable_share",
        points=2,
        kind="ratio",
        unit="%",
        asks="share of the wearer's largest pull that this takes, from your own pull at the harness",
        right=lambda c, mine: 100 * mine["harness_pull"] / c.strength,
        relative=0.01,
        hints=(
            "Whose strength is it a share of, and measured through what?",
            "Of pulls made with all strength, which one is the largest?",
        ),
        follows="harness_pull",
        credible=(1.0, 150.0),
    ),
    Quantity(
        name="travel_left",
        points=3,
        kind="length",
        unit="mm",
        asks="cable travel left over at the task where least is left; what is lacking counts as negative",
        right=lambda c, _: tightest(c),
        within=0.15,
        hints=(
            "Three tasks, three differences: what is there on this wearer, less what the object needs.",
            "Compare travel of the cable with travel of the cable. Which of the three is the smallest, signs counted?",
        ),
        credible=(-40.0, 40.0),
    ),
    Quantity(
        name="endurance",
        points=3,
        kind="time",
        unit="min",
        asks="time until the shoulder that holds the tray is exhausted, by the printed formula",
        right=lambda c, _: endures(tray_share(c)),
        relative=0.015,
        hints=(
            (
                "Which share of the largest moment, at that angle, does it take to hold the tray? All that pulls "
                "the arm down counts."
            ),
            "In the formula p is in per cent.",
        ),
        credible=(0.2, 45.0),
    ),
)
"""Numbers that the wearer's body and strength give."""


ITEMS = (
    Choice(
        name="first_step",
        points=3,
        asks="what comes first with this wearer",
        statements=FIRST_STEP,
        right=first_step,
        hints=(
            (
                "Which rows tell of something old, healed or steady? Which one tells of something new, or of "
                "something that does not bear a strap?"
            ),
            "Does it need a look by a physician, time, or another pattern?",
        ),
    ),
    *FROM_THE_WEARER[:3],
    Choice(
        name="runs_out_first",
        points=2,
        asks="which budget does not pay for all three tasks, many times a day, from your own travel left",
        statements=RUNS_OUT,
        right=runs_out,
        follows="travel_left",
        right_from=lambda c, own: (runs_out(c, own),),
        hints=("Two numbers decide: what is left of the travel, and the share of the largest pull.",),
    ),
    FROM_THE_WEARER[3],
    Choice(
        name="proposal",
        points=2,
        asks="what to propose to the other person",
        statements=RIGHT_FOR,
        right=right_for,
        hints=(
            "Ask in this order: what is wished for, can that shoulder pull, and for how many bands does a fifth do?",
        ),
    ),
    *SCREENED,
    Choice(
        name="what_next",
        points=2,
        asks="what comes next for the wearer who tells this",
        statements=STOP,
        right=lambda c: SIGNS[c.sign][1],
        hints=(
            (
                "Ask in this order: does blood or breath fail with everything taken off? Was any hand numb, "
                "tingling, cold or "
                "pale, also if it passed, or is anybody ill? Is the skin broken, or does a mark stay? And does a "
                "mark last longer than before?"
            ),
        ),
    ),
    DESIGN,
    Written(
        name="justify",
        asks="why this harness, cable and hook serve this wearer",
        rubric=(
            (1, "names what in history, goals or examination decides for body power, and for the pattern"),
            (
                1,
                (
                    "defends the bands and the lining in numbers: grip wanted, pull at the harness, share of the "
                    "largest pull"
                ),
            ),
            (
                1,
                (
                    "says in numbers why the set-up for people of average build does or does not serve here, and "
                    "what was changed"
                ),
            ),
            (
                1,
                (
                    "says what the sources do not agree on (a fifth, minutes at that share, no load without "
                    "fatigue; rates of rejection by who was asked) and how the fitting allows for being wrong"
                ),
            ),
        ),
    ),
    Written(
        name="plan",
        asks="how wearing begins and is followed up",
        rubric=(
            (
                1,
                (
                    "donning, first day and first weeks in times, with both printed schedules or the reason for one "
                    "of them"
                ),
            ),
            (1, "which skin is looked at, when, how long a mark may stay, and what happens then; the sound hand too"),
            (1, "dates of follow-up with what is measured again, and what makes the wearer stop and whom to see"),
        ),
    ),
)
