"""Exercise 2: what learners believe, each as a model of the same case."""

from __future__ import annotations

from math import degrees, radians

from controlkit.checking import Statement, WrongFunction, WrongIdea
from controlkit.exercises.ex02.case import flexion_for, rows_around, swing

IDEAS = (
    WrongIdea(
        "arm-length-times-angle",
        "flexion",
        lambda c, _: degrees(c.required / c.upper_arm),
        "You let the strap pass as far from the shoulder as the elbow lies. Which row of the table says how fast the "
        "path grows?",
        "the arm is the lever one sees",
    ),
    WrongIdea(
        "share-of-the-whole",
        "flexion",
        lambda c, _: 90 * c.required / c.alone_90,
        "You shared out the last row evenly. Does every step of 15 degrees give the same?",
        "proportion is the first rule that comes to mind",
        0.25,
    ),
    WrongIdea(
        "blade-column",
        "flexion",
        lambda c, _: flexion_for(c, c.required, "both"),
        "In that column the shoulder blade has come forward too. Which column is the arm alone?",
        "the larger number seems the better one",
        0.25,
    ),
    WrongIdea(
        "nearest-row",
        "flexion",
        lambda c, _: tuple(float(angle) for angle in rows_around(c)),
        "That is a row of the table. What does it give there: too much, or not enough?",
        "a table is taken for all the values there are",
        0.25,
    ),
    WrongIdea(
        "motions-simply-add",
        "blade",
        lambda c, _: float(c.both_0),
        "That is what the shoulder blade adds while the arm hangs. Does this motion leave the strap where it was for "
        "the other?",
        "two motions seem to be independent of each other",
        0.25,
    ),
    WrongIdea(
        "both-for-one",
        "blade",
        lambda c, _: float(c[f"both_{c.raised}"]),
        "That is what both motions give together. How much of it is the arm's?",
        "a total is taken for the part that was added last",
    ),
    WrongIdea(
        "arm-for-blade",
        "blade",
        lambda c, _: float(c[f"alone_{c.raised}"]),
        "That is what the arm gives alone. Which two entries of one row tell the shoulder blade's share?",
        "the column is read without its heading",
    ),
    WrongIdea(
        "cable-for-device",
        "device_path",
        lambda c, _: float(c.required),
        "That is how far the cable moves. How far does the hand go when the whole arm swings?",
        "cable and device are taken to move together",
    ),
    WrongIdea(
        "upper-arm-only",
        "device_path",
        lambda c, mine: c.upper_arm * radians(mine["flexion"]),
        "That is the way of the elbow. How far from the shoulder are the fingertips of the hook?",
        "the part that is moved is taken for the part that is asked about",
        0.25,
    ),
    WrongIdea(
        "arm-stretched",
        "device_path",
        lambda c, mine: (c.upper_arm + c.reach) * radians(mine["flexion"]),
        "You added upper arm and forearm. How does the elbow stand in the bench table?",
        "the arm is drawn as one straight line",
        0.25,
    ),
    WrongIdea(
        "degrees-in-the-arc",
        "device_path",
        lambda c, mine: swing(c) * mine["flexion"],
        "That would take the hook round the world. In which unit must the angle stand if an arc is to come out?",
        "angles are read in degrees and used as they are",
        0.25,
    ),
    WrongIdea(
        "cable-without-loss",
        "share",
        lambda c, _: c.asked / c.strength,
        "That is the pull at the device. How much must the harness pull for so much to arrive?",
        "the cable seems to pass on all that it gets",
        0.5,
    ),
    WrongIdea(
        "efficiency-upside-down",
        "share",
        lambda c, _: c.asked * c.kept / 100 / c.strength,
        "With you the harness pulls less than the device gets. Where should friction have put the larger pull?",
        "a per cent is multiplied, whichever way the loss goes",
        0.25,
    ),
    WrongIdea(
        "share-upside-down",
        "share",
        lambda c, _: c.strength * c.kept / 100 / c.asked,
        "You divided the strength by the pull. Which of the two is the whole?",
        "the larger number is divided by the smaller",
        0.25,
    ),
    WrongIdea(
        "what-is-left",
        "share",
        lambda c, _: 1 - c.asked / (c.kept / 100) / c.strength,
        "That is the share that is left. Which share does the pull take?",
        "reserve and use are two names for one number",
        0.25,
    ),
)
"""`device_path` follows the student's own flexion."""

FUNCTIONS = (
    WrongFunction(
        "efficiency-upside-down",
        lambda pull, efficiency, share: pull * efficiency / share,
        "With a worse cable your function asks for less strength. Which side of the cable has the larger pull?",
        "a per cent is multiplied, whichever way the loss goes",
        0.25,
    ),
    WrongFunction(
        "share-multiplied",
        lambda pull, efficiency, share: pull / efficiency * share,
        "With you a wearer may be weaker than the pull itself. If a fifth of the strength is the pull, how large is "
        "the strength?",
        "a share is multiplied, since shares always were",
        0.25,
    ),
    WrongFunction(
        "cable-without-loss",
        lambda pull, _efficiency, share: pull / share,
        "Your result does not depend on the cable. What does friction change?",
        "the cable seems to pass on all that it gets",
        0.5,
    ),
    WrongFunction(
        "all-of-the-strength",
        lambda pull, efficiency, _share: pull / efficiency,
        "That is the pull at the harness. Which share of the strength may it be?",
        "what can be done once is taken for what can be done all day",
        0.25,
    ),
    WrongFunction(
        "loss-of-the-wrong-end",
        lambda pull, efficiency, share: pull * (2 - efficiency) / share,
        "You added the loss to the pull at the device. Of which pull is the loss a share: the one that goes in, or the "
        "one that comes out?",
        "a discount and its reverse seem to be the same per cent",
        0.5,
    ),
    WrongFunction(
        "share-in-per-cent",
        lambda pull, efficiency, share: pull / efficiency / (share / 100),
        "Your result is a hundred times too large. Is the share given in per cent?",
        "shares are met as per cent",
        0.5,
    ),
)

MOTIONS = (
    Statement(
        "arm flexion",
        "the arm comes forward: it works the cable and takes the device with it",
        "That takes the hook somewhere else. Does this task want it to move?",
        "arm flexion gives the most, so it is used for everything",
    ),
    Statement(
        "blade forward",
        "scapular abduction, the arm as it is: it works the cable, and the device stays",
        "That works the cable while the hook stays where it is. Is the hook where it is wanted, and is the cable to be "
        "pulled?",
        "the motion that does not move the device is thought to serve always",
    ),
    Statement(
        "blade back",
        "the shoulder blade drawn back while the arm comes forward: it gives back what the arm pulls",
        "That lets the cable go slack. Does this task want the hook to stay shut?",
        "drawing back is taken for a way to pull",
    ),
    Statement(
        "elbow flexion",
        "the elbow bends: it brings the device nearer",
        "With a housing fixed at both ends, what does the elbow do to the cable?",
        "the elbow is what one bends to bring things near",
    ),
)

DURATIONS = (
    Statement(
        "hold on",
        "this pull can be kept up without a pause for most of an hour",
        "How large is the share of the strength that people could hold for an hour? Is yours below it?",
        "what feels easy once is thought to be easy all day",
    ),
    Statement(
        "repeat",
        "this pull cannot be held for long, but made again and again over an hour",
        "For holding and for repeating there are two limits. Between which of them does your share lie?",
        "one limit is known, and it is taken for all tasks",
    ),
    Statement(
        "now and then",
        "this pull can be made, but tires if it is made often",
        "Your share lies on one side of two limits of endurance. What do they say about it?",
        "what can be pulled is thought to be what can be used",
    ),
    Statement(
        "too much",
        "this wearer cannot make this pull",
        "Can a pull be too much that is smaller than the largest one the wearer can make at the harness?",
        "what tires is taken for what cannot be done",
    ),
)
