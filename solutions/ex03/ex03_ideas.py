"""Exercise 3: what learners believe, each as a model of the same case."""

from __future__ import annotations

from math import cos, degrees, radians, sin

from ex03_case import generated, growth, half_opening, losses, turn

from controlkit.checking import WrongIdea

IDEAS = (
    WrongIdea(
        "nothing-gives",
        "excursion",
        lambda c, _: generated(c),
        "That is what the shoulder generates. What gives before the cable feels it?",
        "the path is seen, the slack and the stretch are not",
        0.25,
    ),
    WrongIdea(
        "path-for-excursion",
        "excursion",
        lambda c, _: (float(c[f"strap_{c.arm_angle}"]), c[f"strap_{c.arm_angle}"] - losses(c)),
        "That is how long the path is. How long was it before the arm moved?",
        "a length is taken for a change of length",
    ),
    WrongIdea(
        "arm-length-times-angle",
        "excursion",
        lambda c, _: c.upper_arm * radians(c.arm_angle) - losses(c),
        "That is the arc of the elbow. How far from the shoulder's centre does the strap pass?",
        "the arm is seen to swing, so its length is taken for the lever",
    ),
    WrongIdea(
        "slack-adds",
        "excursion",
        lambda c, _: generated(c) + c.slack - c.ring_travel - c.stretch * c.pull / 10,
        "You counted the slack as a gain. What does the cable do while a loose strap comes taut?",
        "more strap is taken for more travel",
        0.25,
    ),
    WrongIdea(
        "stretch-without-pull",
        "excursion",
        lambda c, _: generated(c) - c.slack - c.ring_travel - c.stretch,
        "The stretch in the table is for every 10 N. How hard is the pull here?",
        "stretch is taken for a property of the strap alone",
        0.5,
    ),
    WrongIdea(
        "ring-is-fixed",
        "excursion",
        lambda c, _: generated(c) - c.slack - c.stretch * c.pull / 10,
        "Your ring stays where it is. What moves it when the strap pulls?",
        "the ring looks sewn to the back",
        0.5,
    ),
    WrongIdea(
        "straight-through-body",
        "excursion",
        lambda c, _: c[f"across_{c.arm_angle}"] - c.across_0 - losses(c),
        "You measured straight across. Can webbing pass through the chest?",
        "in a drawing a strap is a straight line",
    ),
    WrongIdea(
        "degrees-in-the-rate",
        "moment_arm",
        lambda c, _: growth(c) / (c.arm_to - c.arm_from),
        "That is growth for every degree. In which unit must the angle stand if a length is to come out?",
        "angles are read in degrees and used as they are",
        0.25,
    ),
    WrongIdea(
        "strap-length-as-arm",
        "moment_arm",
        lambda c, _: float(c[f"strap_{c.arm_to}"]),
        "That is the length along the strap. Where is the perpendicular from the shoulder to it?",
        "the lever is looked for along the pull",
    ),
    WrongIdea(
        "arm-length-as-arm",
        "moment_arm",
        lambda c, _: float(c.upper_arm),
        "That is the length of the upper arm. Which distance tells how the strap, not the arm, turns the shoulder?",
        "the arm is the lever one sees",
    ),
    WrongIdea(
        "growth-as-arm",
        "moment_arm",
        lambda c, _: growth(c),
        "That is how far the path grew. Over which angle did it grow, and what is the growth for one radian?",
        "a change is taken for a rate",
        0.25,
    ),
    WrongIdea(
        "whole-path-over-angle",
        "moment_arm",
        lambda c, _: c[f"strap_{c.arm_to}"] / turn(c),
        "You divided the whole length. Which part of it came with the angle?",
        "a ratio is taken for a rate",
    ),
    WrongIdea(
        "arm-length-as-arm",
        "shoulder_moment",
        lambda c, _: c.pull * c.upper_arm / 1000,
        "The cable pulls along the strap, not at the elbow. Which arm does that pull have about the shoulder?",
        "the arm is the lever one sees",
    ),
    WrongIdea(
        "work-for-moment",
        "shoulder_moment",
        lambda c, _: c.pull * growth(c) / 1000,
        "Force times travel is work. Which length belongs to a moment?",
        "both are newtons times metres",
    ),
    WrongIdea(
        "loop-equals-cable",
        "loop_tension",
        lambda c, _: float(c.ring_pull),
        "You gave the loop the tension of the control attachment strap. Which forces meet at the ring?",
        "one strap seems to run on into the next",
    ),
    WrongIdea(
        "loop-is-half",
        "loop_tension",
        lambda c, _: c.ring_pull / 2,
        "Two legs share the pull, but do they pull along its line?",
        "shared load is halved load",
        0.25,
    ),
    WrongIdea(
        "one-leg-only",
        "loop_tension",
        lambda c, _: c.ring_pull / cos(half_opening(c)),
        "Your balance holds with one leg. How many legs of the loop pull on the ring?",
        "the loop is counted as one strap",
        0.25,
    ),
    WrongIdea(
        "sine-for-cosine",
        "loop_tension",
        lambda c, _: c.ring_pull / (2 * sin(half_opening(c))),
        "You used the share across the line of the pull. Which share of a leg's tension lies along it?",
        "the drawing was not made",
        0.25,
    ),
    WrongIdea(
        "whole-opening",
        "loop_tension",
        lambda c, _: c.ring_pull / (2 * cos(2 * half_opening(c))),
        "You used the angle between the legs. What is the angle between one leg and the line of the pull?",
        "the angle of the drawing is taken without asking from where it is measured",
        0.25,
    ),
    WrongIdea(
        "degrees-in-the-cosine",
        "loop_tension",
        lambda c, _: c.ring_pull / (2 * cos(degrees(half_opening(c)))),
        "In which unit does the cosine of your calculator, or of Python, take its angle?",
        "angles are read in degrees and used as they are",
        0.25,
    ),
)
