"""Exercise 7: statements to choose from, the wrong ones each with its question."""

from __future__ import annotations

from controlkit.checking import Statement

OPENS_FIRST = (
    Statement(
        "forearm rises",
        "the forearm rises past its hardest place, and the device stays shut",
        ask="Lay what reaches the device beside what it takes to open it. Which of the two is larger?",
        held_because="an unlocked elbow is thought to send the whole pull to the loop",
    ),
    Statement(
        "device opens",
        "the device opens before the forearm is past its hardest place",
        ask="Lay what reaches the device beside what it takes to open it. Which of the two is larger?",
        held_because="the device is at the end of the cable, and thought to move first",
    ),
    Statement(
        "both together",
        "forearm and device move at the same time, and share the pull",
        ask="One tension grows from nothing. Does it come to the force of the one and of the other at the same moment?",
        held_because="two loads on one cable are thought to share it",
    ),
    Statement(
        "neither",
        "neither moves until the elbow is locked",
        ask="What does the lock hold: the cable, or the elbow? And which is free here?",
        held_because="the lock is thought to switch the cable",
    ),
)

LOOP_MOVED = (
    Statement(
        "less force",
        "the lift asks for less force, and takes up more excursion",
        ask="Where is the loop now: further from the axis, or nearer to it?",
        held_because="that a change helps is expected of every change",
    ),
    Statement(
        "less travel",
        "the lift takes up less excursion, and asks for more force",
        ask="Where is the loop now: further from the axis, or nearer to it?",
        held_because="the lever is remembered without its ends",
    ),
    Statement(
        "less of both",
        "the lift asks for less force, and takes up less excursion",
        ask="The same forearm is lifted as high as before. Where would the rest of the work come from?",
        held_because="some teaching cards say so",
    ),
    Statement(
        "more of both",
        "the lift asks for more force, and takes up more excursion",
        ask="The same forearm is lifted as high as before. Where would all that work go?",
        held_because="some teaching cards say so",
    ),
)

COMES_OF_IT = (
    Statement(
        "rises",
        "the forearm rises, and the device stays shut",
        ask="What may move here: is the elbow free? And which force is reached first, the loop's or the device's?",
        held_because="a pull is thought to lift whenever the device is not wanted",
    ),
    Statement(
        "opens",
        "the device opens, and the forearm stays where it is",
        ask="Is the elbow free to move, and does the cable at the device come to its opening force?",
        held_because="a control cable is thought to be there for the device",
    ),
    Statement(
        "sinks",
        "the forearm sinks; the device stays shut",
        ask="What holds the forearm up here: the cable, or the lock?",
        held_because="what has been lifted is thought to need the pull for good",
    ),
    Statement(
        "stays",
        "the forearm stays up, and the device is shut",
        ask="What holds the forearm up here, and is it still there afterwards? And what becomes of the cable?",
        held_because="a forearm, once up, is thought to stay up",
    ),
    Statement(
        "slips",
        "the grip weakens, and the object slips from a device that has not opened",
        ask="What is there to slip, and does the cable take anything off the grip while it holds or does nothing?",
        held_because="a grip is thought to fail wherever a load is moved",
    ),
)
