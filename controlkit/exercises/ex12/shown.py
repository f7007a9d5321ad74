"""Exercise 12: how a case is shown."""

from __future__ import annotations

from controlkit.checking import Case
from controlkit.exercises.ex12.bench import LININGS, PLACES
from controlkit.exercises.ex12.case import (
    EACH,
    FALL,
    FIFTH,
    NINE_TIMES,
    PUBLISHED,
    TESTED,
    TIME,
    armpit_shown,
    best_pull,
    found_since,
    lighter,
    low_most,
    readings,
    sound_side,
    support_most,
    tried,
)
from controlkit.exercises.ex12.diary import DIARIES, ELSEWHERE, PRINTED, SKIN, marks
from controlkit.exercises.ex12.shelf import GROUPS
from controlkit.exercises.ex12.words import CALM, FINDINGS, HISTORIES, SIGNS, SINCE, TASKS, VISITORS
from controlkit.exercises.shared.wearers import your_wearer
from controlkit.mechanics.cable import lining
from controlkit.tables import Table


def calm(c: Case, finding: int) -> str:
    """What is found there that stands in no harness's way."""
    return CALM[FINDINGS[finding]][c.calm // 3**finding % 3]


def present(c: Case) -> tuple[str | Table, ...]:
    """The case as the student sees it."""
    return (
        your_wearer(c, c.chest, ("both scapulae come forward by", f"{c.forward}°"), ("this person is", "invented")),
        *_first_sitting(c),
        *_second_sitting(c),
        _wanted(c),
    )


def _history(c: Case) -> Table:
    where, found, _ = HISTORIES[c.history]
    rows = [(name, found if name == where else calm(c, k)) for k, name in enumerate(FINDINGS)]
    wish = "; ".join(task(c, place) for place in PLACES)
    return Table(
        "History and examination",
        ("where", "what was found"),
        (*rows, ("wish", f"to hold with it, many times a day: {wish}")),
        about=("first_step",),
    )


def task(c: Case, place: str) -> str:
    """What the wearer wants to do at a place, with a thing that there is in this width."""
    things = [thing for thing, narrow, wide in TASKS[place] if narrow <= c[f"width_{place}"] <= wide]
    return things[int(c.task // 3 ** PLACES.index(place)) % len(things)]


def _first_sitting(c: Case) -> tuple[Table, ...]:
    return (
        _history(c),
        Table(
            "What the wearer wants to hold, many times a day",
            ("where", "object", "how wide", "grip wanted"),
            tuple((place, task(c, place), f"{c[f'width_{place}']} mm", f"{c[f'grip_{place}']} N") for place in PLACES),
            about=("harness_pull", "travel_left"),
        ),
        Table(
            "The hook, opened just as wide as the object",
            ("where", "cable travel", "grip of each band on it", "pull at the hook for each band"),
            tuple(
                (
                    place,
                    f"{c[f'travel_{place}']} mm",
                    f"{c[f'band_grip_{place}']} N",
                    f"{c[f'band_pull_{place}']} N",
                )
                for place in PLACES
            ),
            about=("harness_pull", "travel_left", "design"),
        ),
        Table(
            "The cable that the wearer comes with",
            ("where", "share of the pull that arrives at the hook"),
            tuple((place, f"{c[f'arrives_{place}']} %") for place in PLACES),
            about=("harness_pull",),
        ),
        Table(
            "How strong the wearer is",
            ("quantity", "value"),
            (
                (
                    "three pulls through the harness, with all strength, at the time of the fitting",
                    ", ".join(f"{one} N" for one in readings(c)),
                ),
                ("largest pull of the sound arm, on the same scale", f"{sound_side(c)} N"),
                (
                    f"people without amputation, taken for men in the lesson ({PUBLISHED.how_known})",
                    f"{PUBLISHED.value:g} N",
                ),
            ),
            about=("cable_share",),
        ),
        Table(
            "A figure-of-eight set up for people of average build: cable travel on command, device held",
            ("where", "there, on a wearer of average build", "there, on your wearer"),
            tuple((place, f"{c[f'mean_{place}']} mm", f"{c[f'there_{place}']} mm") for place in PLACES),
            about=("travel_left",),
        ),
        Table(
            "Two budgets",
            ("quantity", "value"),
            (
                ("cable travel left at the tightest task", "your answer to question 4"),
                ("share of the largest pull at the hardest task", "your answer to question 3"),
                (f"share for many pulls a day ({FIFTH.how_known}; contested)", f"{FIFTH.value:g} %"),
            ),
            about=("runs_out_first",),
        ),
        Table(
            "The wearer holds a tray, the arm 45° forward",
            ("quantity", "value"),
            (
                ("moment that the straps ask of the flexors", f"{c.tray_straps} N m"),
                ("moment of the weight of arm and prosthesis; the tray rests on the other arm", f"{c.tray_weight} N m"),
                ("largest moment of flexion, arm 45° forward", f"{c.flexor} N m"),
                (
                    f"minutes to exhaustion, p in per cent of the largest moment ({TIME.how_known})",
                    f"{TIME.value:g} times e^(-{FALL.value:g} p), from p = {TESTED.low:g} to {TESTED.high:g}",
                ),
            ),
            about=("endurance",),
        ),
    )


def _second_sitting(c: Case) -> tuple[Table, ...]:
    shoulder, wish = VISITORS[c.visitor]
    last, _ = DIARIES[c.diary]
    return (
        Table(
            "Another person, invented too, on the same day",
            ("quantity", "value"),
            (
                ("the wish", wish),
                ("shoulder of the amputated side", shoulder),
                ("largest pull through a harness", f"{best_pull(c)} N"),
                ("the hook asks of the harness, as it is banded now", f"{c.asks} N"),
                ("the same hook with fewer bands asks", f"{lighter(c)} N"),
                (f"share for many pulls a day ({FIFTH.how_known}; contested)", f"{FIFTH.value:g} %"),
            ),
            about=("proposal",),
        ),
        Table(
            f"One harness on {EACH * len(GROUPS)} people: cable travel at the table, on command",
            ("people", "travel of each [mm]"),
            tuple((group, ", ".join(str(one) for one in travel)) for group, travel in tried(c).items()),
            about=("share_served",),
        ),
        Table(
            "The task, and how sure a share is",
            ("quantity", "value"),
            (
                ("cable travel that the task needs", f"{c.needs + 0.5} mm"),
                (
                    "half width of the interval, nineteen times of twenty; s in per cent, n people",
                    f"{NINE_TIMES} times the square root of s (100 - s) / n",
                ),
                ("a rough rule", "good enough where five or more are served, and five or more are not"),
            ),
            about=("share_served", "lower_end"),
        ),
        Table(
            f"A schedule as one arm-prosthetics clinic prints it ({SKIN.how_known})",
            ("day of the plan", "worn"),
            (*((f"{k}", text) for k, text in enumerate(PRINTED, 1)), *_stays()),
            about=("schedule",),
        ),
        Table(
            "The diary: how long the marks lasted after the last period of the day; each one over the limit was "
            "shown, and wear let on",
            ("day", "marks lasted"),
            tuple((f"{day}", f"{mark} min") for day, mark in enumerate(marks(c.diary), 1)),
            about=("schedule",),
        ),
        Table(
            "What is asked",
            ("quantity", "value"),
            (("the second week so far", f"day 8 to day {last}"),),
            about=("schedule",),
        ),
        Table("A wearer tells", ("part", "what it is"), (("what happened", SIGNS[c.sign][0]),), about=("what_next",)),
    )


def _breasts(c: Case) -> tuple[tuple[str, str], ...]:
    """What is looked at by hand and eye where a strap goes round the chest of a woman; no setting decides it."""
    if c.sex != "female":
        return ()
    return (
        (
            "cross no breast",
            "a chest strap lies below them, at the diaphragm, or on a firm bra; the fitter looks, no check here can",
        ),
    )


def _stays() -> tuple[tuple[str, str], ...]:
    longest = f"{ELSEWHERE.high:g} min"
    return (
        (
            f"a mark lasts longer than {SKIN.value:g} min",
            (
                "it is shown to the prosthetist, and worn less; how much less is not printed: here the next day "
                "is one step back (assumed), and goes on from there"
            ),
        ),
        (
            f"a mark lasts longer than {longest} ({ELSEWHERE.how_known}, of the other clinic)",
            "it is left off until it is seen; none of this diary does",
        ),
    )


def _wanted(c: Case) -> Table:
    armpit = (
        f"at most {armpit_shown(c) / 10} N/mm of strap (none is published; assumed from one harness that "
        f"serves, its support strap eased: it tells whether a design spares the armpit as far as it can, and not "
        f"what skin or nerve bears, nor what is comfortable), and nothing where nothing may press there"
    )
    oils = "the wearer can have it oiled" if c.oil == "somebody" else "nobody will oil it"
    linings = "; ".join(
        f"{k} {name} ({lining(name).kinetic[0]:g} to {lining(name).kinetic[1]:g})" for k, name in enumerate(LININGS, 1)
    )
    return Table(
        "Your design",
        ("what it must do", "how much"),
        (
            ("respect the history of question 1, and what has come of it", SINCE[found_since(c)]),
            *_breasts(c),
            (
                "open at every task, both scapulae forward as far as they come",
                ", ".join(f"{place} {c[f'width_{place}']} mm" for place in PLACES),
            ),
            ("grip at every task", ", ".join(f"{place} {c[f'grip_{place}']} N" for place in PLACES)),
            (
                f"ask little enough, many times a day ({FIFTH.how_known}; contested)",
                (
                    f"at most {FIFTH.value:g} % of the largest of three pulls "
                    f"({', '.join(f'{one} N' for one in readings(c))})"
                ),
            ),
            ("press little enough in the sound armpit", armpit),
            (
                "lie where it can",
                (
                    f"a ring at most {low_most(c, True)} mm below C7, a branch at most {low_most(c, False)} mm below "
                    f"the level of the armpits (assumed)"
                ),
            ),
            (
                "still support the prosthesis",
                (
                    f"with a loop: support strap let out by at most {support_most(c, True)} mm; without: suspension "
                    f"strap by at most {support_most(c, False)} mm, since it carries the socket by itself (assumed)"
                ),
            ),
            ("stay shut while the arm hangs", "straps no shorter than their path"),
            ("linings by number, with published friction; judged with the highest", linings),
            ("be looked after", oils),
            (
                "serve this wearer a year later, weaker by then, and people built nearly so",
                "open at every task, within a fifth, pressing nowhere that is barred",
            ),
        ),
        about=("design",),
    )
