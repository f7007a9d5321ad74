"""Exercise 11: what two limits say of an efficiency."""

from __future__ import annotations

from controlkit.checking import Statement

MEETS = (
    Statement(
        "both",
        "it meets both limits, whichever way the scales are off",
        ask="Take the least that your efficiency may be. Is that above the higher of the two limits?",
        held_because="a figure above a limit is taken for one that is surely above it",
    ),
    Statement(
        "one of them",
        "it meets the lower limit and not the higher, whichever way the scales are off",
        ask="Take the least and the most that it may be. Do both lie between the two limits?",
        held_because="a figure between two limits is taken for one that surely lies there",
    ),
    Statement(
        "neither",
        "it meets neither limit, whichever way the scales are off",
        ask="Take the most that it may be. Is that below the lower of the two limits?",
        held_because="a limit is read the wrong way round, or a figure below it is taken for one that is surely below",
    ),
    Statement(
        "not sure",
        "a limit lies within what the scales may be off by: these readings do not decide it",
        ask="Write down the least and the most that it may be. Does a limit lie between them?",
        held_because="doubt is thought to forbid every verdict",
    ),
)
