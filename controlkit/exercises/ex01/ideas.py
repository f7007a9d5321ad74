"""Exercise 1: what learners believe, each as a model of the same case."""

from __future__ import annotations

from controlkit.checking import Case, WrongIdea
from controlkit.checking.items.wrong import Earlier
from controlkit.exercises.ex01.case import goal, opens, rows, scale, travel_to


def _without_grip(c: Case, mine: Earlier) -> float:
    """Pull that moves the fingers, no more [N]."""
    return scale(c, mine["travel"])


IDEAS = (
    WrongIdea(
        "opening-for-travel",
        "travel",
        lambda c, _: float(goal(c)),
        "That is how far apart the fingertips are. The cable pulls much nearer to the pivot: does it move as far?",
        "fingertip and cable seem to be the same end of the hook",
    ),
    WrongIdea(
        "whole-travel",
        "travel",
        lambda c, _: float(c.whole),
        "That moves the fingers all the way. Does this object need all of it?",
        "a device seems to know two states, open and shut",
    ),
    WrongIdea(
        "from-the-other-end",
        "travel",
        lambda c, _: c.whole - travel_to(c, goal(c)),
        "You counted from the other end. Where do the fingers stand when nobody pulls?",
        "rest is taken for shut, or for open, whichever hook was met first",
        0.25,
    ),
    WrongIdea(
        "clearance-misplaced",
        "travel",
        lambda c, _: travel_to(c, c.width if opens(c) else c.width + c.clearance),
        "Follow the fingers in this step: do they reach around the object, or do they come to touch it? How far apart "
        "are they at its end?",
        "the two principles are treated alike, or the room to reach around is forgotten",
        0.5,
    ),
    WrongIdea(
        "lever-upside-down",
        "travel",
        lambda c, _: goal(c) * abs(c[f"opening_{c.whole}"] - c.opening_0) / c.whole,
        "Your cable moves further than the fingertips. Which of the two is nearer to the pivot?",
        "a ratio is remembered, its direction is not",
    ),
    WrongIdea(
        "pinch-equals-cable-force",
        "pull",
        lambda c, _: float(c.pinch),
        "That is the force at the fingertips. Where do fingertip and cable stand from the pivot?",
        "force seems to pass through a hook unchanged",
    ),
    WrongIdea(
        "start-is-enough",
        "pull",
        lambda c, _: float(c.force_0),
        "That is the pull at which the hook begins to move. What do bands or spring do on the way?",
        "a pull that starts a motion is taken to finish it",
        0.25,
    ),
    WrongIdea(
        "end-of-the-travel",
        "pull",
        lambda c, _: c[f"force_{c.whole}"] + (0.0 if opens(c) else c.pinch * c.finger / c.lever),
        "That is read at the end of the travel. Where do the fingers stand in this step?",
        "the largest number of a table seems the safe one",
        0.25,
    ),
    WrongIdea(
        "lever-upside-down",
        "pull",
        lambda c, mine: c.pinch * c.lever / c.finger + (0.0 if opens(c) else _without_grip(c, mine)),
        "You let the shorter arm make the larger force smaller. Take moments about the pivot: which force has the "
        "longer arm?",
        "a lever is remembered as something that saves force",
        0.25,
    ),
    WrongIdea(
        "pull-and-pinch-added",
        "pull",
        lambda c, mine: _without_grip(c, mine) + c.pinch,
        "You added a force at the cable and one at the fingertips. Do they have the same arm about the pivot, and do "
        "both act in this step?",
        "forces on one part are added wherever they act",
        0.25,
    ),
    WrongIdea(
        "spring-forgotten",
        "pull",
        lambda c, _: () if opens(c) else c.pinch * c.finger / c.lever,
        "That is for the grip alone. What does the hook ask for before it grips at all?",
        "the spring is seen only while nobody pulls",
        0.5,
    ),
    WrongIdea(
        "force-in-proportion",
        "pull",
        lambda c, mine: c[f"force_{c.whole}"] * mine["travel"] / c.whole if opens(c) else (),
        "You let the pull grow from nothing. What does the scale show in the first row?",
        "proportion is the first rule that comes to mind",
        0.25,
    ),
)


def rows_around(c: Case, travel: float) -> tuple[int, int]:
    """The two rows of the table between which a travel lies [mm]."""
    every = rows(c)
    k = next((k for k in range(len(every) - 2) if travel <= every[k + 1]), len(every) - 2)
    return every[k], every[k + 1]
