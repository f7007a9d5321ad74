"""Exercise 7: what learners believe, each as a model of the same case."""

from __future__ import annotations

from math import cos, exp, radians, sin, sqrt

from controlkit.checking import Case, WrongIdea
from controlkit.exercises.ex07.case import (
    PARTS,
    WAY_UP,
    arm_of,
    bent_by,
    free,
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
        label="free-cable-for-taken-up",
        item="lift_travel",
        model=lambda c, _: free(c, c.locked),
        ask="That is the cable that still lies free. How much lay free before the lift?",
        held_because="a length is taken for the change of a length",
        share=0.25,
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
        label="friction-shortens-what-is-left",
        item="left_to_open",
        model=lambda c, mine: (c.captured - c.slack - mine["lift_travel"]) * c.arrives / 100,
        ask="Your last step takes a share off a length. What does friction take a share of?",
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
