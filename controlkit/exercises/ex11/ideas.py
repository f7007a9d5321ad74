"""Exercise 11: what learners believe, each as a model of the same case."""

from __future__ import annotations

from math import ceil, floor, sqrt
from statistics import mean, pstdev, stdev

from controlkit.checking import Case, WrongIdea
from controlkit.exercises.ex11.bench import PULLS, third
from controlkit.exercises.ex11.case import (
    LOAD,
    PLACES,
    TRIALS,
    at_device,
    at_hanger,
    efficiency,
    exact_trials,
    load,
    marks,
    slipped,
    trials,
    trials_needed,
)

_NEARER = 0.2
"""Numbers of trials that lie so far above a whole one are told from the next [-]."""
_ALIKE = 12.0
"""Loads no further apart than this come to the same slip, within what the tape shows [N]."""


def _row_below(c: Case) -> float:
    """Slip of the row below the load, taken without reading between [mm]."""
    rows = (0, *PULLS)
    return float(marks(c)[max(k for k, pull in enumerate(rows) if pull <= load(c))] - c.mark)


def _heavier(c: Case) -> float | tuple[float, ...]:
    """Slip under the heavier of the two loads; nothing to tell where they are nearly the same [mm]."""
    most = max(LOAD.si, third(c.mass))
    return slipped(c, most) if most - load(c) > _ALIKE else ()


def _other_place(c: Case) -> float:
    """Share of the opening at the place that was not asked for [%]."""
    other = next(name for name in PLACES if name != c.place)
    return float(100 * c[f"opened_{other}"] / c.full)


def _in_proportion(c: Case, error: float) -> tuple[float, float]:
    """Trials after which the doubt would be small enough if it fell as fast as they grow, also in whole trials [-]."""
    exact = TRIALS * 2 * error / c.nearer
    return exact, float(ceil(exact))


def _not_whole(c: Case, error: float) -> tuple[float, ...]:
    """The whole number below, and the number as it comes out where it is nearer to that [-]."""
    exact = exact_trials(c, error)
    return (float(floor(exact)), exact) if exact % 1 < _NEARER else (float(floor(exact)),)


IDEAS = (
    WrongIdea(
        label="stray-kept",
        item="efficiency",
        model=lambda c, _: 100 * mean(at_device(c)) / mean(at_hanger(c, stray=True)),
        ask="You let every pull at the hanger count. Is there one far from all the others, and how can it have "
        "come about?",
        held_because="what is written down is thought to have been measured",
        share=0.5,
    ),
    WrongIdea(
        label="efficiency-upside-down",
        item="efficiency",
        model=lambda c, _: 1e4 / efficiency(c),
        ask="More arrives than was pulled. Can it exceed one?",
        held_because="the larger number is put above",
        share=0.25,
    ),
    WrongIdea(
        label="loss-for-efficiency",
        item="efficiency",
        model=lambda c, _: 100 - efficiency(c),
        ask="That is the part that is lost on the way. Which part was asked for?",
        held_because="friction is thought of as what it takes",
        share=0.5,
    ),
    WrongIdea(
        label="one-reading-trusted",
        item="efficiency",
        model=lambda c, _: 100 * at_device(c)[0] / at_hanger(c)[0],
        ask="You took the first pull of each row. What were the others measured for?",
        held_because="the first reading is thought the true one, and the others to confirm it",
        share=0.25,
    ),
    WrongIdea(
        label="best-pair",
        item="efficiency",
        model=lambda c, _: 100 * max(at_device(c)) / min(at_hanger(c)),
        ask="You took the largest at one end and the least at the other. Whom does that please, and is it true?",
        held_because="a checkout is thought of as something to pass",
        share=0.25,
    ),
    WrongIdea(
        label="sums-of-unlike-counts",
        item="efficiency",
        model=lambda c, _: 100 * sum(at_device(c)) / sum(at_hanger(c, stray=True)),
        ask="You divided two sums. Are there as many pulls in each, and does each of them belong?",
        held_because="what is added up is thought to be alike",
        share=0.25,
    ),
    WrongIdea(
        label="rest-not-subtracted",
        item="opening",
        model=lambda c, _: 100 * mean(trials(c)) / (c.shut + c.full),
        ask="The tape lies over the outer edges. What does it show while the fingers are shut?",
        held_because="what a tape shows is taken for what has moved",
        share=0.25,
    ),
    WrongIdea(
        label="subtracted-at-one-end",
        item="opening",
        model=lambda c, _: 100 * (mean(trials(c)) - c.shut) / (c.shut + c.full),
        ask="You took the fingers' own width off above the line. Does it stand below the line too?",
        held_because="a correction is made once and then forgotten",
        share=0.5,
    ),
    WrongIdea(
        label="best-trial",
        item="opening",
        model=lambda c, _: 100 * (max(trials(c)) - c.shut) / c.full,
        ask="You took the best of the trials. How often does the wearer come so far?",
        held_because="what can be reached once is taken for what can be reached",
        share=0.25,
    ),
    WrongIdea(
        label="one-reading-trusted",
        item="opening",
        model=lambda c, _: 100 * (trials(c)[0] - c.shut) / c.full,
        ask="You took the first trial. What were the others made for?",
        held_because="the first reading is thought the true one, and the others to confirm it",
        share=0.25,
    ),
    WrongIdea(
        label="other-place",
        item="opening",
        model=lambda c, _: _other_place(c),
        ask="That is how far it opens somewhere else. Which row was asked for?",
        held_because="a prosthesis is thought to open alike everywhere",
    ),
    WrongIdea(
        label="share-that-is-lost",
        item="opening",
        model=lambda c, _: 100 - 100 * (mean(trials(c)) - c.shut) / c.full,
        ask="That is what is lost between table and wearer. Which share was asked for?",
        held_because="what fails is looked at before what works",
        share=0.5,
    ),
    WrongIdea(
        label="spread-for-standard-error",
        item="standard_error",
        model=lambda c, _: stdev(trials(c)),
        ask="That is how far one trial lies from the others. How far may their mean be off?",
        held_because="spread of the trials and doubt of their mean are called by the same word",
        share=0.5,
    ),
    WrongIdea(
        label="spread-over-the-count",
        item="standard_error",
        model=lambda c, _: stdev(trials(c)) / TRIALS,
        ask="In your answer four times as many trials leave a quarter of the doubt. Do errors that come by "
        "chance die out so fast?",
        held_because="a mean is a sum over the count, and so is taken to be its error",
        share=0.5,
    ),
    WrongIdea(
        label="count-in-place-of-one-less",
        item="standard_error",
        model=lambda c, _: pstdev(trials(c)) / sqrt(TRIALS),
        ask="You divided the squares by the number of trials. How many of the differences from their own mean "
        "are free?",
        held_because="a mean of squares is thought to be a mean like any other",
        share=0.5,
    ),
    WrongIdea(
        label="half-the-range",
        item="standard_error",
        model=lambda c, _: (max(trials(c)) - min(trials(c))) / 2,
        ask="That is half way from the least to the largest. What would one more wild trial do to it?",
        held_because="what lies outside is thought to bound what lies inside",
        share=0.25,
    ),
    WrongIdea(
        label="square-not-drawn",
        item="standard_error",
        model=lambda c, _: stdev(trials(c)) ** 2 / sqrt(TRIALS),
        ask="In which unit are the squares of your differences? Which step takes that back?",
        held_because="the working stops at the sum of squares",
        share=0.5,
    ),
    WrongIdea(
        label="falls-in-proportion",
        item="trials_needed",
        model=lambda c, mine: _in_proportion(c, mine["standard_error"]),
        ask="In your answer twice as many trials leave half the doubt. How does a standard error fall?",
        held_because="more of the same is thought to help in proportion",
        share=0.25,
    ),
    WrongIdea(
        label="standard-error-taken-once",
        item="trials_needed",
        model=lambda c, mine: trials_needed(c, mine["standard_error"] / 2),
        ask="You let the standard error itself be as large as the distance. How many of them were asked for?",
        held_because="an error is thought to be the most that a mean can be off",
        share=0.5,
    ),
    WrongIdea(
        label="more-for-all",
        item="trials_needed",
        model=lambda c, mine: trials_needed(c, mine["standard_error"]) - TRIALS,
        ask="So many are still to be made. How many are that in all?",
        held_because="a question for a number is answered with what is left to do",
        share=0.5,
    ),
    WrongIdea(
        label="rounded-down",
        item="trials_needed",
        model=lambda c, mine: _not_whole(c, mine["standard_error"]),
        ask="With so many it is not yet quite decided. Which whole number is the first with which it is?",
        held_because="numbers are rounded to the nearest, or cut off",
        share=0.5,
    ),
    WrongIdea(
        label="mean-for-one-trial",
        item="trials_needed",
        model=lambda c, mine: max(float(trials_needed(c, mine["standard_error"] / sqrt(TRIALS))), 1.0),
        ask="You let the standard error fall once more from one trial on. From how many trials is it already the "
        "error?",
        held_because="one figure for doubt is thought to serve everywhere",
        share=0.25,
    ),
    WrongIdea(
        label="heavier-load",
        item="slip",
        model=lambda c, _: _heavier(c),
        ask="You pulled with the heavier of the two loads. Which one does the test take, and whom does that spare?",
        held_because="a test is thought to be safer the harder it is",
        share=0.5,
    ),
    WrongIdea(
        label="kilograms-for-newtons",
        item="slip",
        model=lambda c, _: slipped(c, c.mass / 3),
        ask="A third of the mass is in kilograms. With how many newtons does that pull?",
        held_because="kilograms are what a scale for people shows",
        share=0.5,
    ),
    WrongIdea(
        label="pounds-for-newtons",
        item="slip",
        model=lambda c, _: slipped(c, float(LOAD.value or 0)),
        ask="Fifty pounds are not fifty newtons. How hard is that pull in the unit of the table?",
        held_because="a number is carried on without its unit",
        share=0.25,
    ),
    WrongIdea(
        label="mark-not-subtracted",
        item="slip",
        model=lambda c, _: slipped(c, load(c)) + c.mark,
        ask="That is where the edge stands under the load. Where did it stand before?",
        held_because="what a tape shows is taken for what has moved",
        share=0.5,
    ),
    WrongIdea(
        label="row-below",
        item="slip",
        model=lambda c, _: _row_below(c),
        ask="That row stands for a smaller pull. Which part of the way to the next row is it?",
        held_because="a table is read like a list of all there is",
        share=0.25,
    ),
)
