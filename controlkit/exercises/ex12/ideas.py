"""Exercise 12: what learners believe, each as a model of the same case."""

from __future__ import annotations

from collections.abc import Iterable
from math import exp

from controlkit.checking import Case, WrongIdea
from controlkit.exercises.ex12.bench import PLACES
from controlkit.exercises.ex12.case import (
    EACH,
    FALL,
    NINE_TIMES,
    PUBLISHED,
    TIME,
    bands,
    bands_for,
    endures,
    half_width,
    left,
    pulls,
    readings,
    served,
    sound_side,
    tray_share,
)
from controlkit.exercises.ex12.diary import SLOWER, a_step_back, anew, repeating, undeterred, worn
from controlkit.exercises.ex12.shelf import GROUPS

PEOPLE = EACH * len(GROUPS)
Answer = float | tuple[float, ...]


def _unless(value: float, others: Iterable[float], near: float = 0.0, share: float = 0.0) -> Answer:
    """An idea's answer; none where it comes to another answer in this case, so that it cannot be told from it."""
    return () if any(abs(value - one) < max(near, share * abs(one)) for one in others) else value


def _own_bands(c: Case) -> float:
    return max(pulls(c, {place: bands_for(c, place) for place in PLACES}).values())


def _upside_down(c: Case) -> float:
    return float(max(bands(c) * c[f"band_pull_{place}"] * c[f"arrives_{place}"] / 100 for place in PLACES))


def _tightest(c: Case) -> float:
    return min(left(c, place) for place in PLACES)


def _most_left(c: Case) -> float:
    return max(left(c, place) for place in PLACES)


def _halves(c: Case) -> float:
    """The hardest pull with bands as a fraction, not rounded up."""
    return max(pulls(c, float(max(c[f"grip_{place}"] / c[f"band_grip_{place}"] for place in PLACES))).values())


def _right(c: Case) -> float:
    return max(pulls(c).values())


IDEAS = (
    WrongIdea(
        label="efficiency-upside-down",
        item="harness_pull",
        model=lambda c, _: _upside_down(c),
        ask="At the harness you need less than at the hook. Can friction help the wearer who pulls?",
        held_because="a share that arrives is multiplied wherever it turns up",
        share=0.25,
    ),
    WrongIdea(
        label="cable-without-loss",
        item="harness_pull",
        model=lambda c, _: max(bands(c) * c[f"band_pull_{place}"] for place in PLACES),
        ask="That is the pull at the hook. What happens to a pull on its way there?",
        held_because="one cable is thought to have one tension",
        share=0.25,
    ),
    WrongIdea(
        label="bands-of-each-task",
        item="harness_pull",
        model=lambda c, _: _unless(_own_bands(c), (_right(c), _halves(c)), share=0.03),
        ask="You let each task have bands of its own. With the bands on that the hardest grip asks for, which "
        "task is hardest to open for?",
        held_because="each task is looked at alone",
        share=0.5,
    ),
    WrongIdea(
        label="parts-of-a-band",
        item="harness_pull",
        model=lambda c, _: _halves(c),
        ask="Your hook has a part of a band. How many can be put on?",
        held_because="what comes out of a division is taken for what there is",
        share=0.5,
    ),
    WrongIdea(
        label="grip-is-the-pull",
        item="harness_pull",
        model=lambda c, _: _unless(
            max(c[f"grip_{place}"] / (c[f"arrives_{place}"] / 100) for place in PLACES), (_upside_down(c),), share=0.03
        ),
        ask="You let the cable pull as hard as the fingers grip. Where are pivot, cable and fingertip?",
        held_because="pinch is taken for cable force",
    ),
    WrongIdea(
        label="mean-of-the-tries",
        item="cable_share",
        model=lambda c, mine: 300 * mine["harness_pull"] / sum(readings(c)),
        ask="You took the mean of the pulls. What is asked for: how hard the wearer pulls as a rule, or the most?",
        held_because="readings of one thing are averaged",
        share=0.5,
    ),
    WrongIdea(
        label="strength-of-the-sound-arm",
        item="cable_share",
        model=lambda c, mine: 100 * mine["harness_pull"] / sound_side(c),
        ask="That is how strong the sound arm is. Which shoulder works the cable?",
        held_because="the stronger figure is taken for the person's strength",
        share=0.25,
    ),
    WrongIdea(
        label="strength-of-other-people",
        item="cable_share",
        model=lambda c, mine: _unless(
            100 * mine["harness_pull"] / PUBLISHED.si,
            [300 * mine["harness_pull"] / sum(readings(c))]
            + [100 * mine["harness_pull"] / one for one in (c.strength, sound_side(c))],
            share=0.06,
        ),
        ask="That is a mean of people without amputation. How strong is this wearer?",
        held_because="a published figure is thought to be better than a measured one",
        share=0.25,
    ),
    WrongIdea(
        label="share-of-what-is-allowed",
        item="cable_share",
        model=lambda c, mine: 500 * mine["harness_pull"] / c.strength,
        ask="You divided by a fifth of the largest pull. Of which pull is the share asked for?",
        held_because="two shares, one of the other, are run together",
        share=0.25,
    ),
    WrongIdea(
        label="share-upside-down",
        item="cable_share",
        model=lambda c, mine: 100 * c.strength / mine["harness_pull"],
        ask="By that the wearer would need more than all there is. Which of the two is the whole, which the part?",
        held_because="the larger number is put on top",
    ),
    WrongIdea(
        label="average-body",
        item="travel_left",
        model=lambda c, _: _unless(
            min(left(c, place, "mean") for place in PLACES), (_tightest(c), _most_left(c)), near=0.8
        ),
        ask="That is what is left on a wearer of average build. Who is going to wear it?",
        held_because="what does for the average is thought to do for everybody",
        share=0.25,
    ),
    WrongIdea(
        label="where-most-is-left",
        item="travel_left",
        model=lambda c, _: _most_left(c),
        ask="That is the task where most is left. At which one does the wearer notice first that it is too little?",
        held_because="a harness is judged where it works best",
        share=0.25,
    ),
    WrongIdea(
        label="width-for-travel",
        item="travel_left",
        model=lambda c, _: min(c[f"there_{place}"] - c[f"width_{place}"] for place in PLACES),
        ask="You compared travel of the cable with the width of the object. How far must the cable come for that "
        "width?",
        held_because="what one sees at the fingertips is taken for what the cable does",
        share=0.25,
    ),
    WrongIdea(
        label="share-for-per-cent",
        item="endurance",
        model=lambda c, _: endures(tray_share(c) / 100),
        ask="You put the share in as a plain number. Which p does the formula ask for?",
        held_because="a share and per cent are the same to whoever writes them",
        share=0.25,
    ),
    WrongIdea(
        label="weight-forgotten",
        item="endurance",
        model=lambda c, _: endures(100 * c.tray_straps / c.flexor),
        ask="You counted the straps. What would the shoulder hold if there were no harness at all?",
        held_because="the harness is looked at, the arm is not",
        share=0.25,
    ),
    WrongIdea(
        label="straps-forgotten",
        item="endurance",
        model=lambda c, _: endures(100 * c.tray_weight / c.flexor),
        ask="You counted the weight of the arm. What do the straps ask of the shoulder besides?",
        held_because="weight is felt, the pull of straps is not",
        share=0.5,
    ),
    WrongIdea(
        label="cable-share-for-shoulder-share",
        item="endurance",
        model=lambda c, mine: _unless(
            endures(mine["cable_share"]),
            (endures(tray_share(c)), endures(100 * c.tray_weight / c.flexor)),
            share=0.09,
        ),
        ask="You put in the share of the largest pull. For which strength was this formula measured?",
        held_because="two shares of two strengths are taken for one effort",
        share=0.25,
    ),
    WrongIdea(
        label="sign-of-the-exponent",
        item="endurance",
        model=lambda c, _: float(TIME.value) * exp(float(FALL.value) * tray_share(c)),  # type: ignore[arg-type]
        ask="By that a heavier load is held for longer. Which way should the time go?",
        held_because="a minus sign is lost on the way to the calculator",
        share=0.25,
    ),
    WrongIdea(
        label="those-who-fail",
        item="share_served",
        model=lambda c, _: _unless(100 - 100 * served(c) / PEOPLE, (100 * served(c) / PEOPLE,), near=1e-9),
        ask="You counted those whom it does not serve. Which share was asked for?",
        held_because="failures stand out",
        share=0.5,
    ),
    WrongIdea(
        label="mean-serves-all",
        item="share_served",
        model=lambda *_: 100.0,
        ask="It may serve whoever is like the mean of them. Is each of them?",
        held_because="what does for the average is thought to do for everybody",
    ),
    WrongIdea(
        label="a-count-for-a-share",
        item="share_served",
        model=lambda c, _: float(served(c)),
        ask="That many people it serves. Of how many?",
        held_because="a count is carried on with a sign for per cent behind it",
        share=0.5,
    ),
    WrongIdea(
        label="spread-of-one-for-that-of-all",
        item="lower_end",
        model=lambda _, mine: mine["share_served"] - half_width(mine["share_served"], 1),
        ask="You left out how many were tried. Would a thousand people tell no more than one?",
        held_because="the number of people is thought to matter for the share alone",
    ),
    WrongIdea(
        label="half-width-for-an-end",
        item="lower_end",
        model=lambda _, mine: half_width(mine["share_served"]),
        ask="That is how far the interval goes to either side. From where does it go down?",
        held_because="the last thing that was worked out is taken for the answer",
        share=0.5,
    ),
    WrongIdea(
        label="the-other-end",
        item="lower_end",
        model=lambda _, mine: mine["share_served"] + half_width(mine["share_served"]),
        ask="That is the end that would please whoever sells it. Which one does the wearer have to reckon with?",
        held_because="the interval is remembered with a plus sign",
        share=0.5,
    ),
    WrongIdea(
        label="one-standard-error",
        item="lower_end",
        model=lambda _, mine: mine["share_served"] - half_width(mine["share_served"]) / NINE_TIMES,
        ask="That interval is missed by about one share in three. How many times the root belongs to nineteen of "
        "twenty?",
        held_because="the root is taken for the whole of the half width",
        share=0.5,
    ),
    WrongIdea(
        label="root-forgotten",
        item="lower_end",
        model=lambda _, mine: (
            mine["share_served"] - NINE_TIMES * mine["share_served"] * (100 - mine["share_served"]) / PEOPLE
        ),
        ask="Look at your half width once more: is something missing between the product and the times?",
        held_because="a root is the last key to be pressed",
        share=0.25,
    ),
    WrongIdea(
        label="marks-change-nothing",
        item="schedule",
        model=lambda c, _: float(worn(c.diary, undeterred)),
        ask="You went on day by day as it is printed. What does the schedule say of days with marks?",
        held_because="a plan is thought to hold whatever the skin says",
        share=0.25,
    ),
    WrongIdea(
        label="back-to-the-first-day",
        item="schedule",
        model=lambda c, _: float(worn(c.diary, anew)),
        ask="You began anew after each day with marks. Does the schedule say so?",
        held_because="caution is thought to mean beginning anew",
        share=0.25,
    ),
    WrongIdea(
        label="the-same-again",
        item="schedule",
        model=lambda c, _: float(worn(c.diary, repeating)),
        ask="You let it be worn as long again after each day with marks. Does skin that was pressed too long get "
        "less that way?",
        held_because="not going on is thought to be enough for skin that does not bear it",
        share=0.5,
    ),
    WrongIdea(
        label="the-day-itself",
        item="schedule",
        model=lambda c, _: float(worn(c.diary, today=True)),
        ask="You let the marks of a day decide about that same day. When are they looked at?",
        held_because="a day and its evening are counted as one moment",
        share=0.5,
    ),
    WrongIdea(
        label="one-of-three-times",
        item="schedule",
        model=lambda c, _: worn(c.diary) / 3,
        ask="You counted one time a day. How often is it put on?",
        held_because="3 times is read over",
        share=0.5,
    ),
    WrongIdea(
        label="the-other-clinic",
        item="schedule",
        model=lambda c, _: float(worn(c.diary, a_step_back, SLOWER)),
        ask="That is how another clinic goes on. Which schedule does this question give?",
        held_because="printed schedules differ, and one of them is remembered",
        share=0.25,
    ),
)
