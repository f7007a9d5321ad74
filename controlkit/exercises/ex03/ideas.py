"""Exercise 3: what learners believe, each as a model of the same case."""

from __future__ import annotations

from collections.abc import Callable
from math import cos, degrees, radians, sin

from controlkit.checking import Case, WrongIdea
from controlkit.checking.items.wrong import Earlier
from controlkit.exercises.ex03.case import TAKEN_OFF, generated, growth, half_opening, losses, turn


def _taken_off(label: str) -> Callable[[Case, Earlier], tuple[float, ...]]:
    """Excursion with the losses that an idea counts."""
    return lambda c, _: tuple(generated(c) - off for off in TAKEN_OFF[label](c))


IDEAS = (
    WrongIdea(
        label="nothing-gives",
        item="excursion",
        model=_taken_off("nothing-gives"),
        ask="That is what the shoulder generates. What gives before the cable feels it?",
        held_because="the path is seen; slack, stretch and what gives are not",
        share=0.25,
    ),
    WrongIdea(
        label="one-loss-only",
        item="excursion",
        model=_taken_off("one-loss-only"),
        ask="You took off one loss. What else gives before the cable feels it: strap, ring, webbing?",
        held_because="the first loss that comes to mind is taken for the whole",
        share=0.375,
    ),
    WrongIdea(
        label="slack-forgotten",
        item="excursion",
        model=_taken_off("slack-forgotten"),
        ask="The strap was let out. What does the cable do while a loose strap comes taut?",
        held_because="slack is thought to be gone once the strap is worn",
        share=0.5,
    ),
    WrongIdea(
        label="stretch-forgotten",
        item="excursion",
        model=_taken_off("stretch-forgotten"),
        ask="Slack and ring are taken off. What does the webbing itself do when it is pulled?",
        held_because="webbing looks as if it kept its length",
        share=0.5,
    ),
    WrongIdea(
        label="path-for-excursion",
        item="excursion",
        model=lambda c, _: (float(c[f"strap_{c.arm_angle}"]), c[f"strap_{c.arm_angle}"] - losses(c)),
        ask="That is how long the path is. How long was it before the arm moved?",
        held_because="a length is taken for a change of length",
    ),
    WrongIdea(
        label="arm-length-times-angle",
        item="excursion",
        model=lambda c, _: c.upper_arm * radians(c.arm_angle) - losses(c),
        ask="That is the arc of the elbow. How far from the shoulder's centre does the strap pass?",
        held_because="the arm is seen to swing, so its length is taken for the lever",
    ),
    WrongIdea(
        label="slack-adds",
        item="excursion",
        model=_taken_off("slack-adds"),
        ask="You counted the slack as a gain. What does the cable do while a loose strap comes taut?",
        held_because="more strap is taken for more travel",
        share=0.25,
    ),
    WrongIdea(
        label="stretch-without-pull",
        item="excursion",
        model=_taken_off("stretch-without-pull"),
        ask="The table gives the stretch for a smaller pull. How hard is the pull here, and how many times is that?",
        held_because="stretch is taken for a property of the strap alone",
        share=0.625,
    ),
    WrongIdea(
        label="ring-is-fixed",
        item="excursion",
        model=_taken_off("ring-is-fixed"),
        ask="Your ring stays where it is. What moves it when the strap pulls?",
        held_because="the ring looks sewn to the back",
        share=0.5,
    ),
    WrongIdea(
        label="straight-through-body",
        item="excursion",
        model=lambda c, _: c[f"across_{c.arm_angle}"] - c.across_0 - losses(c),
        ask="You measured straight across. Can webbing pass through the chest?",
        held_because="in a drawing a strap is a straight line",
    ),
    WrongIdea(
        label="degrees-in-the-rate",
        item="moment_arm",
        model=lambda c, _: growth(c) / (c.arm_to - c.arm_from),
        ask="That is growth for every degree. In which unit must the angle stand if a length is to come out?",
        held_because="angles are read in degrees and used as they are",
        share=0.25,
    ),
    WrongIdea(
        label="captured-over-angle",
        item="moment_arm",
        model=lambda c, _: (
            (generated(c) - losses(c)) / radians(c.arm_angle),
            (growth(c) - losses(c)) / turn(c),
        ),
        ask="You divided what is left for the cable. Does slack or stretch change where the strap passes the shoulder? "
        "Which length belongs to the strap's path alone?",
        held_because="the excursion just found is the number at hand",
        share=0.5,
    ),
    WrongIdea(
        label="strap-length-as-arm",
        item="moment_arm",
        model=lambda c, _: float(c[f"strap_{c.arm_to}"]),
        ask="That is the length along the strap. Where is the perpendicular from the shoulder to it?",
        held_because="the lever is looked for along the pull",
    ),
    WrongIdea(
        label="arm-length-as-arm",
        item="moment_arm",
        model=lambda c, _: float(c.upper_arm),
        ask="That is the length of the upper arm. Which distance tells how the strap, not the arm, turns the shoulder?",
        held_because="the arm is the lever one sees",
    ),
    WrongIdea(
        label="growth-as-arm",
        item="moment_arm",
        model=lambda c, _: growth(c),
        ask="That is how far the path grew. Over which angle did it grow, and what is the growth for one radian?",
        held_because="a change is taken for a rate",
        share=0.25,
    ),
    WrongIdea(
        label="straight-through-body",
        item="moment_arm",
        model=lambda c, _: growth(c, "across") / turn(c),
        ask="You took the growth straight across. Which column is measured along the strap, where the webbing lies?",
        held_because="in a drawing a strap is a straight line",
        share=0.25,
    ),
    WrongIdea(
        label="whole-path-over-angle",
        item="moment_arm",
        model=lambda c, _: c[f"strap_{c.arm_to}"] / turn(c),
        ask="You divided the whole length. Which part of it came with the angle?",
        held_because="a ratio is taken for a rate",
    ),
    WrongIdea(
        label="arm-length-as-arm",
        item="shoulder_moment",
        model=lambda c, _: c.pull * c.upper_arm / 1000,
        ask="The cable pulls along the strap, not at the elbow. Which arm does that pull have about the shoulder?",
        held_because="the arm is the lever one sees",
    ),
    WrongIdea(
        label="work-for-moment",
        item="shoulder_moment",
        model=lambda c, _: c.pull * growth(c) / 1000,
        ask="Force times travel is work. Which length belongs to a moment?",
        held_because="both are newtons times metres",
    ),
    WrongIdea(
        label="loop-equals-cable",
        item="loop_tension",
        model=lambda c, _: float(c.ring_pull),
        ask="You gave the loop the tension of the control attachment strap. Which forces meet at the ring?",
        held_because="one strap seems to run on into the next",
    ),
    WrongIdea(
        label="loop-is-half",
        item="loop_tension",
        model=lambda c, _: c.ring_pull / 2,
        ask="Two legs share the pull, but do they pull along its line?",
        held_because="shared load is halved load",
        share=0.25,
    ),
    WrongIdea(
        label="one-leg-only",
        item="loop_tension",
        model=lambda c, _: c.ring_pull / cos(half_opening(c)),
        ask="Your balance holds with one leg. How many legs of the loop pull on the ring?",
        held_because="the loop is counted as one strap",
        share=0.25,
    ),
    WrongIdea(
        label="sine-for-cosine",
        item="loop_tension",
        model=lambda c, _: c.ring_pull / (2 * sin(half_opening(c))),
        ask="You used the share across the line of the pull. Which share of a leg's tension lies along it?",
        held_because="the drawing was not made",
        share=0.25,
    ),
    WrongIdea(
        label="whole-opening",
        item="loop_tension",
        model=lambda c, _: c.ring_pull / (2 * cos(2 * half_opening(c))),
        ask="You used the angle between the legs. What is the angle between one leg and the line of the pull?",
        held_because="the angle of the drawing is taken without asking from where it is measured",
        share=0.25,
    ),
    WrongIdea(
        label="degrees-in-the-cosine",
        item="loop_tension",
        model=lambda c, _: c.ring_pull / (2 * cos(degrees(half_opening(c)))),
        ask="In which unit does the cosine of your calculator, or of Python, take its angle?",
        held_because="angles are read in degrees and used as they are",
        share=0.25,
    ),
)
