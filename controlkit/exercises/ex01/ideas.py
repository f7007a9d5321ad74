"""Exercise 1: what learners believe, each as a model of the same case."""

from __future__ import annotations

from controlkit.checking import Case, WrongIdea
from controlkit.checking.items.wrong import Earlier
from controlkit.exercises.ex01.case import goal, opens, rows, scale, travel_to
from controlkit.exercises.shared.readings import step_of


def _without_grip(c: Case, mine: Earlier) -> float:
    """Pull that moves the fingers, no more [N]."""
    return scale(c, mine["travel"])


IDEAS = (
    WrongIdea(
        label="opening-for-travel",
        item="travel",
        model=lambda c, _: float(goal(c)),
        ask="That is how far apart the fingertips are. The cable pulls much nearer to the pivot: does it move as far?",
        held_because="fingertip and cable seem to be the same end of the hook",
    ),
    WrongIdea(
        label="whole-travel",
        item="travel",
        model=lambda c, _: float(c.whole),
        ask="That moves the fingers all the way. Does this object need all of it?",
        held_because="a device seems to know two states, open and shut",
    ),
    WrongIdea(
        label="from-the-other-end",
        item="travel",
        model=lambda c, _: c.whole - travel_to(c, goal(c)),
        ask="You counted from the other end. Where do the fingers stand when nobody pulls?",
        held_because="rest is taken for shut, or for open, whichever hook was met first",
        share=0.25,
    ),
    WrongIdea(
        label="clearance-misplaced",
        item="travel",
        model=lambda c, _: travel_to(c, c.width if opens(c) else c.width + c.clearance),
        ask="Follow the fingers in this step: do they reach around the object, or do they come to touch it? How far "
        "apart are they at its end?",
        held_because="the two principles are treated alike, or the room to reach around is forgotten",
        share=0.5,
    ),
    WrongIdea(
        label="lever-upside-down",
        item="travel",
        model=lambda c, _: goal(c) * abs(c[f"opening_{c.whole}"] - c.opening_0) / c.whole,
        ask="Your cable moves further than the fingertips. Which of the two is nearer to the pivot?",
        held_because="a ratio is remembered, its direction is not",
    ),
    WrongIdea(
        label="pinch-equals-cable-force",
        item="pull",
        model=lambda c, _: float(c.pinch),
        ask="That is the force at the fingertips. Where do fingertip and cable stand from the pivot?",
        held_because="force seems to pass through a hook unchanged",
    ),
    WrongIdea(
        label="start-is-enough",
        item="pull",
        model=lambda c, _: float(c.force_0),
        ask="That is the pull at which the hook begins to move. What do bands or spring do on the way?",
        held_because="a pull that starts a motion is taken to finish it",
        share=0.25,
    ),
    WrongIdea(
        label="end-of-the-travel",
        item="pull",
        model=lambda c, _: c[f"force_{c.whole}"] + (0.0 if opens(c) else c.pinch * c.finger / c.lever),
        ask="That is read at the end of the travel. Where do the fingers stand in this step?",
        held_because="the largest number of a table seems the safe one",
        share=0.25,
    ),
    WrongIdea(
        label="lever-upside-down",
        item="pull",
        model=lambda c, mine: c.pinch * c.lever / c.finger + (0.0 if opens(c) else _without_grip(c, mine)),
        ask="You let the shorter arm make the larger force smaller. Take moments about the pivot: which force has the "
        "longer arm?",
        held_because="a lever is remembered as something that saves force",
        share=0.25,
    ),
    WrongIdea(
        label="pull-and-pinch-added",
        item="pull",
        model=lambda c, mine: _without_grip(c, mine) + c.pinch,
        ask="You added a force at the cable and one at the fingertips. Do they have the same arm about the pivot, and "
        "do both act in this step?",
        held_because="forces on one part are added wherever they act",
        share=0.25,
    ),
    WrongIdea(
        label="spring-forgotten",
        item="pull",
        model=lambda c, _: () if opens(c) else c.pinch * c.finger / c.lever,
        ask="That is for the grip alone. What does the hook ask for before it grips at all?",
        held_because="the spring is seen only while nobody pulls",
        share=0.5,
    ),
    WrongIdea(
        label="force-in-proportion",
        item="pull",
        model=lambda c, mine: c[f"force_{c.whole}"] * mine["travel"] / c.whole if opens(c) else (),
        ask="You let the pull grow from nothing. What does the scale show in the first row?",
        held_because="proportion is the first rule that comes to mind",
        share=0.25,
    ),
)


def rows_around(c: Case, travel: float) -> tuple[int, int]:
    """The two rows of the table between which a travel lies [mm]."""
    every = rows(c)
    k = step_of(every, travel)
    return every[k], every[k + 1]
