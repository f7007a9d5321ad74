"""Exercise 7: what learners believe, each as a model of the same case, as a formula or as a statement."""

from __future__ import annotations

from math import cos, exp, radians, sin, sqrt

from controlkit.checking import Case, Statement, WrongFormula, WrongIdea
from controlkit.exercises.ex07.case import (
    PARTS,
    WAY_UP,
    arm_of,
    bent_by,
    human,
    off_vertical,
    taken_up,
    tension,
    weight_moment,
)
from controlkit.mechanics.elbow import GRAVITY


def _at_ninety(c: Case) -> tuple[float, ...]:
    """Tension at a right angle."""
    return (tension(c, 90),)


def _at_level(c: Case) -> tuple[float, ...]:
    """Tension in the row in which the forearm is nearest to level; none where that is the right angle's row."""
    row = min(WAY_UP, key=lambda row: abs(row + c[f"tilt_{row}"] - 90))
    return () if row == 90 else (tension(c, row),)


def _supplement(c: Case) -> float:
    """Moment arm from the elbow flexion, taken for the angle between the two segments [mm]."""
    angle = radians(c.bent)
    across = sqrt(c.loop**2 + c.end**2 - 2 * c.loop * c.end * cos(angle))
    return float(c.loop * c.end * sin(angle) / across)


IDEAS = (
    WrongIdea(
        label="human-forearm",
        item="weight_moment",
        model=lambda c, _: human(c)[0] * human(c)[1] * 1e-6 * GRAVITY * sin(off_vertical(c)),
        ask="That is the forearm of a person. Is there muscle and bone in this one?",
        held_because="the figures one finds in books are those of bodies",
    ),
    WrongIdea(
        label="all-at-the-tip",
        item="weight_moment",
        model=lambda c, _: sum(c[part] for part in PARTS) * c.hook_at * 1e-6 * GRAVITY * sin(off_vertical(c)),
        ask="You let all of it hang at the hook. How far from the elbow is the shell?",
        held_because="what is lifted is thought to hang where the hand is",
        share=0.25,
    ),
    WrongIdea(
        label="device-alone",
        item="weight_moment",
        model=lambda c, _: c.hook * c.hook_at * 1e-6 * GRAVITY * sin(off_vertical(c)),
        ask="You lifted the device. What else goes up with it?",
        held_because="shell and wrist unit look like part of the wearer",
        share=0.25,
    ),
    WrongIdea(
        label="cosine-for-sine",
        item="weight_moment",
        model=lambda c, _: (weight_moment(c, cos(off_vertical(c))), weight_moment(c, abs(cos(off_vertical(c))))),
        ask="Let the forearm hang straight down. What would your moment be there, and what is it really?",
        held_because="angles are mostly taken from the horizontal",
        share=0.25,
    ),
    WrongIdea(
        label="inclination-forgotten",
        item="weight_moment",
        model=lambda c, _: weight_moment(c, sin(radians(c.elbow))),
        ask="That is for an upper arm that hangs. What does the control motion do to it, and with it to the forearm?",
        held_because="the elbow's angle is what one looks at, and the upper arm is taken for a fixed frame",
        share=0.5,
    ),
    WrongIdea(
        label="level-whatever-the-angle",
        item="weight_moment",
        model=lambda c, _: weight_moment(c, 1.0),
        ask="That is the moment with the forearm level. Is it level here?",
        held_because="the largest moment is taken for the moment",
        share=0.5,
    ),
    WrongIdea(
        label="kilograms-for-newtons",
        item="weight_moment",
        model=lambda c, _: weight_moment(c, sin(off_vertical(c))) / GRAVITY,
        ask="You multiplied masses by lengths. With which force does a kilogram pull down?",
        held_because="what a scale shows is taken for a force",
        share=0.5,
    ),
    WrongIdea(
        label="distance-for-moment-arm",
        item="moment_arm",
        model=lambda c, _: float(c.loop),
        ask="That is how far the loop is from the axis. Which distance from the axis counts for a line of pull?",
        held_because="the lever is taken for the part that it is fixed to",
        share=0.25,
    ),
    WrongIdea(
        label="cable-along-the-upper-arm",
        item="moment_arm",
        model=lambda c, _: c.loop * sin(radians(c.bent)),
        ask="You let the cable run along the upper arm. Does it, from this loop to that housing end?",
        held_because="a cable is drawn along the limb that it belongs to",
        share=0.25,
    ),
    WrongIdea(
        label="end-on-the-arms-line",
        item="moment_arm",
        model=lambda c, _: arm_of(c, ahead=0.0),
        ask="Your housing ends on the line of the upper arm. Where does this one end?",
        held_because="the arm is drawn as a line, and everything on it",
        share=0.5,
    ),
    WrongIdea(
        label="length-for-moment-arm",
        item="moment_arm",
        model=lambda c, _: c.end * c.loop * sin(radians(c.bent)) / arm_of(c, ahead=0.0),
        ask="That is the length of the free cable. Which line from the axis meets the cable squarely?",
        held_because="the cable's own length is the one that can be seen",
    ),
    WrongIdea(
        label="flexion-for-the-angle-between",
        item="moment_arm",
        model=lambda c, _: _supplement(c),
        ask="At a straight elbow, what is the angle between upper arm and forearm? And what does your figure say?",
        held_because="flexion is counted from straight, a triangle's angle from folded",
        share=0.5,
    ),
    WrongIdea(
        label="hardest-at-a-right-angle",
        item="lift_tension",
        model=lambda c, _: _at_ninety(c),
        ask="You looked at the right angle. What are moment and moment arm in the other rows?",
        held_because="without a prosthesis a forearm is heaviest there",
        share=0.25,
    ),
    WrongIdea(
        label="hardest-where-level",
        item="lift_tension",
        model=lambda c, _: _at_level(c),
        ask="There the weight's moment is largest. Is the tension, too? What else stands in it?",
        held_because="the moment is taken for the force",
        share=0.25,
    ),
    WrongIdea(
        label="upper-arm-hangs",
        item="lift_tension",
        model=lambda c, _: max(tension(c, row, tilt=0.0) for row in WAY_UP),
        ask="You let the upper arm hang all the way. What brings the forearm up, if not the arm's own flexion?",
        held_because="the arm is thought to stand still while the forearm is lifted",
        share=0.5,
    ),
    WrongIdea(
        label="worst-of-both",
        item="lift_tension",
        model=lambda c, _: 1000 * c.level / min(c[f"arm_{row}"] for row in WAY_UP),
        ask="You took the largest moment and the smallest moment arm. Do they come at the same angle?",
        held_because="the worst case is put together from two",
        share=0.25,
    ),
    WrongIdea(
        label="efficiency-upside-down",
        item="harness_pull",
        model=lambda c, mine: mine["lift_tension"] / bent_by(c, "above"),
        ask="At the hanger you need less than at the loop. Can friction help the wearer who pulls?",
        held_because="a ratio is remembered without which force stands on top",
        share=0.25,
    ),
    WrongIdea(
        label="cable-without-loss",
        item="harness_pull",
        model=lambda _, mine: mine["lift_tension"],
        ask="That is the tension at the loop. What happens to a pull on its way there?",
        held_because="one cable is thought to have one tension",
        share=0.25,
    ),
    WrongIdea(
        label="all-bends-before-the-lift",
        item="harness_pull",
        model=lambda c, mine: mine["lift_tension"] * bent_by(c, "above", "beyond"),
        ask="You counted every bend. Through which of them does the pull come before it reaches the lift loop?",
        held_because="bends are added up whatever is asked",
        share=0.5,
    ),
    WrongIdea(
        label="degrees-in-the-exponential",
        item="harness_pull",
        model=lambda c, mine: mine["lift_tension"] * exp(c.friction * c.above),
        ask="No shoulder could make that pull. In which unit must a bend stand in the exponential?",
        held_because="angles are read in degrees and used as they are",
        share=0.25,
    ),
    WrongIdea(
        label="last-bends-only",
        item="device_pull",
        model=lambda c, mine: mine["harness_pull"] / bent_by(c, "beyond"),
        ask="You began at the hanger and left out the first bends. Is the pull there what it is at the loop?",
        held_because="the bends on the way to the device are looked for on the forearm alone",
        share=0.5,
    ),
    WrongIdea(
        label="tension-grows-on-the-way",
        item="device_pull",
        model=lambda c, mine: mine["harness_pull"] * bent_by(c, "above", "beyond"),
        ask="More arrives at the device than was pulled. Which way does friction act on a cable that is pulled?",
        held_because="the factor of the step before is used again",
        share=0.25,
    ),
    WrongIdea(
        label="the-loop-takes-all",
        item="device_pull",
        model=lambda *_: 0.0,
        ask="Does the cable end at the lift loop, or run on to the device? What holds there while the forearm rises?",
        held_because="one cable is thought to do one job at a time",
    ),
    WrongIdea(
        label="one-tension-all-along",
        item="device_pull",
        model=lambda _, mine: mine["harness_pull"],
        ask="That is what the harness pulls with. What do the bends leave of it?",
        held_because="one cable is thought to have one tension",
        share=0.25,
    ),
    WrongIdea(
        label="arm-length-times-angle",
        item="lift_travel",
        model=lambda c, _: c.loop * radians(c.locked - c.hangs),
        ask="That is how far the loop goes on its circle. By how much does it come nearer to the housing's end?",
        held_because="where a loop goes is taken for what a cable takes up",
        share=0.25,
    ),
    WrongIdea(
        label="begun-from-straight",
        item="lift_travel",
        model=lambda c, _: taken_up(c, start=0.0),
        ask="You began with a straight elbow. Where does this forearm hang?",
        held_because="flexion is counted from straight, and so is everything else",
        share=0.5,
    ),
    WrongIdea(
        label="end-on-the-arms-line",
        item="lift_travel",
        model=lambda c, _: taken_up(c, ahead=0.0),
        ask="Your housing ends on the line of the upper arm. Where does this one end?",
        held_because="the arm is drawn as a line, and everything on it",
        share=0.5,
    ),
    WrongIdea(
        label="locking-gives-it-back",
        item="left_to_open",
        model=lambda c, _: float(c.captured - c.slack),
        ask="You gave the device all of it. Where is the cable that the lift took up, once the elbow is locked?",
        held_because="a lock is thought to start the count anew",
    ),
    WrongIdea(
        label="nothing-gives",
        item="left_to_open",
        model=lambda c, mine: c.generated - c.slack - mine["lift_travel"],
        ask="You began with what the shoulder generates. What gives before the cable feels it?",
        held_because="the path is seen, what gives is not",
        share=0.25,
    ),
    WrongIdea(
        label="slack-costs-nothing",
        item="left_to_open",
        model=lambda c, mine: c.captured - mine["lift_travel"],
        ask="The strap is let out from just snug. What does the motion do first?",
        held_because="slack looks like spare length",
        share=0.5,
    ),
    WrongIdea(
        label="friction-shortens-travel",
        item="left_to_open",
        model=lambda c, mine: (c.captured - c.slack) * c.arrives / 100 - mine["lift_travel"],
        ask="You let a share of the force stand for a share of the travel. Is a cable shorter because it rubs?",
        held_because="one efficiency is thought to serve for force and travel",
        share=0.25,
    ),
    WrongIdea(
        label="lift-counted-twice",
        item="left_to_open",
        model=lambda c, mine: c.captured - c.slack - 2 * mine["lift_travel"],
        ask="You took the lift off twice. Must the cable come up again once the lock holds the forearm?",
        held_because="lifting and holding are thought to cost each its own",
        share=0.5,
    ),
)


FORMULAS = (
    WrongFormula(
        label="inclination-forgotten",
        formula="1000 * (level * sin(elbow°) - spring) / arm",
        ask="The upper arm does not stand in it. Swing it forward with a bent elbow: what does the forearm do?",
        held_because="the elbow's angle is what one looks at, and the upper arm is taken for a fixed frame",
        share=0.5,
    ),
    WrongFormula(
        label="inclination-taken-off",
        formula="1000 * (level * sin((elbow - tilt)°) - spring) / arm",
        ask="In your formula an arm swung forward makes the forearm hang steeper. Draw it: does it?",
        held_because="two angles are put together without a drawing",
        share=0.25,
    ),
    WrongFormula(
        label="cosine-for-sine",
        formula="1000 * (level * cos((elbow + tilt)°) - spring) / arm",
        ask="Which force does your formula ask for when the forearm hangs straight down?",
        held_because="angles are mostly taken from the horizontal",
        share=0.25,
    ),
    WrongFormula(
        label="spring-against-the-lift",
        formula="1000 * (level * sin((elbow + tilt)°) + spring) / arm",
        ask="In your formula the spring adds to the weight. What is it built in for?",
        held_because="a spring is thought of as something one pulls against",
        share=0.25,
    ),
    WrongFormula(
        label="spring-off-the-force",
        formula="1000 * level * sin((elbow + tilt)°) / arm - spring",
        ask="You took newton metres off newtons. What does the spring make about the elbow: a force, or a moment?",
        held_because="what helps is taken off at the end",
        share=0.5,
    ),
    WrongFormula(
        label="moment-times-arm",
        formula=(
            "(level * sin((elbow + tilt)°) - spring) * arm",
            "(level * sin((elbow + tilt)°) - spring) * arm / 1000",
            "1000 * (level * sin((elbow + tilt)°) - spring) * arm",
        ),
        ask="In your formula a longer moment arm asks for more force. Does a longer lever?",
        held_because="that force, moment and arm belong together is remembered, not how",
        share=0.25,
    ),
    WrongFormula(
        label="millimetres-for-metres",
        formula=("(level * sin((elbow + tilt)°) - spring) / arm", "(level * sin((elbow + tilt)°) - spring) / (1000 * arm)"),
        ask="Newton metres over millimetres: how many of the one make one of the other?",
        held_because="numbers are put in as they stand",
        share=0.5,
    ),
)

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
