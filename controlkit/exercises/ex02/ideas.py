"""Exercise 2: what learners believe, each as a model of the same case."""

from __future__ import annotations

from math import degrees, hypot, radians

from controlkit.checking import Statement, WrongFormula, WrongIdea
from controlkit.exercises.ex02.case import flexion_for, rows_around, swing

IDEAS = (
    WrongIdea(
        label="arm-length-times-angle",
        item="flexion",
        model=lambda c, _: degrees(c.required / c.upper_arm),
        ask="You let the strap pass as far from the shoulder as the elbow lies. Which row of the table says how fast "
        "the path grows?",
        held_because="the arm is the lever one sees",
    ),
    WrongIdea(
        label="scapula-column",
        item="flexion",
        model=lambda c, _: flexion_for(c, c.required, "both"),
        ask="In that column the scapula has come forward too. Which column is the arm alone?",
        held_because="the larger number seems the better one",
        share=0.25,
    ),
    WrongIdea(
        label="nearest-row",
        item="flexion",
        model=lambda c, _: tuple(float(angle) for angle in rows_around(c)),
        ask="That is a row of the table. What does it give there: too much, or not enough?",
        held_because="a table is taken for all the values there are",
        share=0.25,
    ),
    WrongIdea(
        label="motions-simply-add",
        item="scapula",
        model=lambda c, _: float(c.both_0),
        ask="That is what the scapula adds while the arm hangs. Does this motion leave the strap where it was "
        "for the other?",
        held_because="two motions seem to be independent of each other",
        share=0.25,
    ),
    WrongIdea(
        label="both-for-one",
        item="scapula",
        model=lambda c, _: float(c[f"both_{c.raised}"]),
        ask="That is what both motions give together. How much of it is the arm's?",
        held_because="a total is taken for the part that was added last",
    ),
    WrongIdea(
        label="arm-for-scapula",
        item="scapula",
        model=lambda c, _: float(c[f"alone_{c.raised}"]),
        ask="That is what the arm gives alone. Which two entries of one row tell the scapula's share?",
        held_because="the column is read without its heading",
    ),
    WrongIdea(
        label="cable-for-device",
        item="device_path",
        model=lambda c, _: float(c.required),
        ask="That is how far the cable moves. How far does the hand go when the whole arm swings?",
        held_because="cable and device are taken to move together",
    ),
    WrongIdea(
        label="upper-arm-only",
        item="device_path",
        model=lambda c, mine: c.upper_arm * radians(mine["flexion"]),
        ask="That is the path of the elbow. How far from the shoulder are the fingertips of the hook?",
        held_because="the part that is moved is taken for the part that is asked about",
        share=0.25,
    ),
    WrongIdea(
        label="arm-stretched",
        item="device_path",
        model=lambda c, mine: (c.upper_arm + c.reach) * radians(mine["flexion"]),
        ask="You added upper arm and forearm. Is the elbow straight?",
        held_because="the arm is drawn as one straight line",
        share=0.25,
    ),
    WrongIdea(
        label="square-elbow",
        item="device_path",
        model=lambda c, mine: hypot(c.upper_arm, c.reach) * radians(mine["flexion"]),
        ask="That would be right with the elbow at a right angle. How far is it bent here?",
        held_because="the triangle one knows best is the one with a right angle",
        share=0.5,
    ),
    WrongIdea(
        label="degrees-in-the-arc",
        item="device_path",
        model=lambda c, mine: swing(c) * mine["flexion"],
        ask="That would take the hook round the world. In which unit must the angle stand if an arc is to come out?",
        held_because="angles are read in degrees and used as they are",
        share=0.25,
    ),
    WrongIdea(
        label="cable-without-loss",
        item="share",
        model=lambda c, _: c.asked / c.strength,
        ask="That is the pull at the device. How much must the harness pull for so much to arrive?",
        held_because="the cable seems to pass on all that it gets",
        share=0.5,
    ),
    WrongIdea(
        label="efficiency-upside-down",
        item="share",
        model=lambda c, _: c.asked * c.kept / 100 / c.strength,
        ask="With you the harness pulls less than the device gets. Where should friction have put the larger pull?",
        held_because="a per cent is multiplied, whichever way the loss goes",
        share=0.25,
    ),
    WrongIdea(
        label="share-upside-down",
        item="share",
        model=lambda c, _: c.strength * c.kept / 100 / c.asked,
        ask="You divided the strength by the pull. Which of the two is the whole?",
        held_because="the larger number is divided by the smaller",
        share=0.25,
    ),
    WrongIdea(
        label="what-is-left",
        item="share",
        model=lambda c, _: 1 - c.asked / (c.kept / 100) / c.strength,
        ask="That is the share that is left. Which share does the pull take?",
        held_because="reserve and use are two names for one number",
        share=0.25,
    ),
)
"""`device_path` follows the student's own flexion."""

FORMULAS = (
    WrongFormula(
        label="efficiency-upside-down",
        formula="pull * efficiency / share",
        ask="With a worse cable your formula asks for less strength. Which side of the cable has the larger pull?",
        held_because="a per cent is multiplied, whichever way the loss goes",
        share=0.25,
    ),
    WrongFormula(
        label="share-multiplied",
        formula="pull / efficiency * share",
        ask="With you a wearer may be weaker than the pull itself. If a fifth of the strength is the pull, how large "
        "is the strength?",
        held_because="a share is multiplied, since shares always were",
        share=0.25,
    ),
    WrongFormula(
        label="cable-without-loss",
        formula="pull / share",
        ask="Your result does not depend on the cable. What does friction change?",
        held_because="the cable seems to pass on all that it gets",
        share=0.5,
    ),
    WrongFormula(
        label="all-of-the-strength",
        formula="pull / efficiency",
        ask="That is the pull at the harness. Which share of the strength may it be?",
        held_because="what can be done once is taken for what can be done all day",
        share=0.25,
    ),
    WrongFormula(
        label="loss-of-the-wrong-end",
        formula="pull * (2 - efficiency) / share",
        ask="You added the loss to the pull at the device. Of which pull is the loss a share: the one that goes in, "
        "or the one that comes out?",
        held_because="a discount and its reverse seem to be the same per cent",
        share=0.5,
    ),
    WrongFormula(
        label="share-in-per-cent",
        formula="pull / efficiency / (share / 100)",
        ask="Your result is a hundred times too large. Is the share given in per cent?",
        held_because="shares are met as per cent",
        share=0.5,
    ),
)

MOTIONS = (
    Statement(
        "arm flexion",
        "the arm comes forward: it works the cable and takes the device with it",
        ask="That takes the hook somewhere else. Does this task want it to move?",
        held_because="arm flexion gives the most, so it is used for everything",
    ),
    Statement(
        "biscapular abduction",
        "both scapulae brought forward, while the arm goes back a little to hold the device: it works the cable "
        "near the body, and gives less",
        ask="That works the cable while the hook is held where it is. Is the hook where it is wanted, and is the cable "
        "to be pulled?",
        held_because="the motion that lets the device stay is thought to serve always",
    ),
    Statement(
        "scapula back",
        "the scapula drawn back while the arm comes forward: it gives back some of what the arm pulls",
        ask="That lets the cable go slack. Does this task want the hook to stay shut?",
        held_because="drawing back is taken for a way to pull",
    ),
    Statement(
        "elbow flexion",
        "the elbow bends: it brings the device nearer",
        ask="With a housing fixed at both ends, what does the elbow do to the cable?",
        held_because="the elbow is what one bends to bring things near",
    ),
)

DURATIONS = (
    Statement(
        "hold on",
        "this pull can be kept up without a pause for most of an hour",
        ask="How large is the share of the strength that people could hold for an hour? Is yours below it?",
        held_because="what feels easy once is thought to be easy all day",
    ),
    Statement(
        "repeat",
        "this pull cannot be held for long, but made again and again over an hour",
        ask="For holding and for repeating there are two limits. Between which of them does your share lie?",
        held_because="one limit is known, and it is taken for all tasks",
    ),
    Statement(
        "now and then",
        "this pull can be made, but tires if it is made often",
        ask="Your share lies on one side of two limits of endurance. What do they say about it?",
        held_because="what can be pulled is thought to be what can be used",
    ),
    Statement(
        "too much",
        "this wearer cannot make this pull",
        ask="Can a pull be too much that is smaller than the largest one the wearer can make at the harness?",
        held_because="what tires is taken for what cannot be done",
    ),
)
