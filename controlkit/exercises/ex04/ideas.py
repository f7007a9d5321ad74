"""Exercise 4: what learners believe, each as a model of the same case."""

from __future__ import annotations

from collections.abc import Callable
from math import cos, exp, log, log10, radians, sqrt

from controlkit.checking import Case, WrongFormula, WrongIdea
from controlkit.exercises.ex04.case import KEEP, READ_AT, allowed, bends, log_loss, rubbed, straight_across


def _readings(c: Case, one: Callable[[float, float], float], sign: int = -1) -> float:
    """The mean over the readings of what an idea makes of one: larger over smaller force, bend [rad]."""
    found = [one(exp(log_loss(angle, c.values, sign)), radians(angle)) for angle in READ_AT]
    return sum(found) / len(found)


IDEAS = (
    WrongIdea(
        label="degrees-in-the-exponential",
        item="harness_pull",
        model=lambda c, _: c.device_pull * exp(c.friction * sum(bends(c))),
        ask="No shoulder could make that pull. In which unit must a bend stand in the exponential?",
        held_because="angles are read in degrees and used as they are",
        share=0.25,
    ),
    WrongIdea(
        label="loss-in-proportion",
        item="harness_pull",
        model=lambda c, _: (c.device_pull * (1 + rubbed(c)), c.device_pull / (1 - rubbed(c))),
        ask="You let the loss grow in proportion to the bend. What would then be left after ten radians?",
        held_because="for small bends it is nearly so, and proportion is the rule one knows",
        share=0.25,
    ),
    WrongIdea(
        label="losses-of-bends-add",
        item="harness_pull",
        model=lambda c, _: c.device_pull * (1 + sum(exp(c.friction * radians(bend)) - 1 for bend in bends(c))),
        ask="You found a loss for each bend and added them. With how much pull does the cable enter the second bend?",
        held_because="losses look like amounts that are taken off one by one",
        share=0.5,
    ),
    WrongIdea(
        label="efficiency-upside-down",
        item="harness_pull",
        model=lambda c, _: c.device_pull * exp(-rubbed(c)),
        ask="The harness would pull less than the device needs. Could friction help the wearer while she pulls?",
        held_because="a ratio is remembered without which force stands on top",
        share=0.25,
    ),
    WrongIdea(
        label="opposite-bends-cancel",
        item="harness_pull",
        model=lambda c, _: (
            c.device_pull * exp(c.friction * radians(abs(c.bend_crossbar - c.bend_elbow + c.bend_wrist)))
        ),
        ask="You let bends of opposite turn cancel. Does the cable press less on its housing where it turns the other "
        "way?",
        held_because="the direction at the end is taken for the way there",
        share=0.25,
    ),
    WrongIdea(
        label="largest-bend-only",
        item="harness_pull",
        model=lambda c, _: c.device_pull * exp(c.friction * radians(c.bend_elbow)),
        ask="You counted the bend one sees. Where else does the cable change its direction?",
        held_because="the housing past the elbow is what friction is shown on",
        share=0.25,
    ),
    WrongIdea(
        label="same-sign-both-ways",
        item="return_pull",
        model=lambda _, mine: mine["harness_pull"],
        ask="That is the pull on the way out. Which way does the cable move now, and against what does friction act?",
        held_because="friction is taken for something that always makes pulling harder",
    ),
    WrongIdea(
        label="no-friction-back",
        item="return_pull",
        model=lambda c, _: float(c.device_pull),
        ask="You gave what the device pulls back with. Does it slide back through the bends for nothing?",
        held_because="letting go feels like doing nothing",
        repeats_given=True,
    ),
    WrongIdea(
        label="same-newtons-off",
        item="return_pull",
        model=lambda c, mine: 2 * c.device_pull - mine["harness_pull"],
        ask="You took off as many newtons as were lost on the way out. What is friction in a bend in proportion to?",
        held_because="friction is taken for a fixed force",
        share=0.5,
    ),
    WrongIdea(
        label="friction-for-each-degree",
        item="friction",
        model=lambda c, _: _readings(c, lambda ratio, bend: log(ratio) / bend) * radians(1),
        ask="That is what each degree takes. For which unit of angle is the coefficient asked?",
        held_because="angles are read in degrees and used as they are",
        share=0.25,
    ),
    WrongIdea(
        label="loss-over-bend",
        item="friction",
        model=lambda c, _: (
            _readings(c, lambda ratio, bend: (ratio - 1) / bend),
            _readings(c, lambda ratio, bend: (1 - 1 / ratio) / bend),
        ),
        ask="You divided the lost share by the bend. Does your largest bend then give what the smallest gives?",
        held_because="for small bends it is nearly so, and proportion is the rule one knows",
        share=0.25,
    ),
    WrongIdea(
        label="common-logarithm",
        item="friction",
        model=lambda c, _: _readings(c, lambda ratio, bend: log10(ratio) / bend),
        ask="Which logarithm undoes the exponential in the law of the bends?",
        held_because="the key marked log is the nearest one",
        share=0.5,
    ),
    WrongIdea(
        label="strokes-mixed",
        item="friction",
        model=lambda c, _: _readings(c, lambda ratio, bend: log(ratio) / bend, sign=1),
        ask="You treated every row alike. In which does friction hold for the wearer, and what does that do to the "
        "sign?",
        held_because="a table is read down without its second column",
        share=0.5,
    ),
    WrongIdea(
        label="fixed-bends-forgotten",
        item="most_bend",
        model=lambda c, _: allowed(c),
        ask="That is for the whole way. Which bends are there already?",
        held_because="the housing past the elbow is what friction is shown on",
        share=0.5,
    ),
    WrongIdea(
        label="loss-in-proportion",
        item="most_bend",
        model=lambda c, _: (1 - KEEP) / c.liner / radians(1) - c.bend_crossbar - c.bend_wrist,
        ask="You let the loss grow in proportion to the bend. Does the second half of a bend start from the whole "
        "pull?",
        held_because="for small bends it is nearly so, and proportion is the rule one knows",
        share=0.25,
    ),
    WrongIdea(
        label="lost-for-left",
        item="most_bend",
        model=lambda c, _: allowed(c, 1 - KEEP) - c.bend_crossbar - c.bend_wrist,
        ask="With that much bend, which share of the pull arrives, and which is lost?",
        held_because="an efficiency is read as a loss",
    ),
    WrongIdea(
        label="flexion-as-corner",
        item="slack",
        model=lambda c, _: c.above + c.below - straight_across(c, 180 - c.flexion),
        ask="Draw the triangle at the elbow. Is the angle in its corner the flexion, when a straight elbow counts as "
        "zero?",
        held_because="the angle that is given is put into the law of cosines",
        share=0.5,
    ),
    WrongIdea(
        label="arc-for-path",
        item="slack",
        model=lambda c, _: (c.above * radians(c.flexion), c.below * radians(c.flexion)),
        ask="That is an arc. Does a cable without housing follow the arc, or does it take the shortest way?",
        held_because="angle times arm is the formula one knows for joints",
    ),
    WrongIdea(
        label="right-corner-always",
        item="slack",
        model=lambda c, _: c.above + c.below - sqrt(c.above**2 + c.below**2),
        ask="Your formula holds for one elbow angle only. Which one, and is it yours?",
        held_because="a triangle calls up Pythagoras",
        share=0.25,
    ),
    WrongIdea(
        label="nothing-changes",
        item="slack",
        model=lambda *_: 0.0,
        ask="Then the cable would be as long on its way as before. What did the housing do that is missing here?",
        held_because="the cable itself keeps its length, so its path is thought to",
    ),
    WrongIdea(
        label="path-for-change",
        item="slack",
        model=lambda c, _: straight_across(c),
        ask="That is how long the path is now. How long was it with the elbow straight?",
        held_because="a length is taken for a change of length",
        share=0.25,
    ),
    WrongIdea(
        label="limb-as-arm",
        item="elbow_moment",
        model=lambda c, _: (c.free_pull * c.above / 1000, c.free_pull * c.below / 1000),
        ask="You measured along the limb. Which distance from the elbow axis stands square to the cable?",
        held_because="the lever is looked for along the bone",
        share=0.25,
    ),
    WrongIdea(
        label="cable-length-as-arm",
        item="elbow_moment",
        model=lambda c, _: c.free_pull * straight_across(c) / 1000,
        ask="You measured along the cable. Which distance from the elbow axis stands square to it?",
        held_because="the longest line in the drawing is taken",
    ),
    WrongIdea(
        label="cosine-for-sine",
        item="elbow_moment",
        model=lambda c, _: c.free_pull * c.above * c.below * abs(cos(radians(c.flexion))) / straight_across(c) / 1000,
        ask="With a straight elbow your moment would be largest. How far from the axis does the cable pass there?",
        held_because="the drawing was not made",
        share=0.25,
    ),
)


FORMULAS = (
    WrongFormula(
        label="degrees-in-the-exponential",
        formula="pull * e^(-mu * bends)",
        ask="Hardly anything arrives. In which unit must a bend stand in the exponential?",
        held_because="angles are read in degrees and used as they are",
        share=0.25,
    ),
    WrongFormula(
        label="radians-the-wrong-way-round",
        formula="pull * e^(-mu * bends * 180 / pi)",
        ask="Your formula makes the number of the bend larger. Is half a turn more radians than degrees, or fewer?",
        held_because="the factor between degrees and radians is remembered, not which way it goes",
        share=0.5,
    ),
    WrongFormula(
        label="loss-in-proportion",
        formula="pull * (1 - mu * bends°)",
        ask="You let the loss grow in proportion to the bend. What would then be left after ten radians?",
        held_because="for small bends it is nearly so, and proportion is the rule one knows",
        share=0.25,
    ),
    WrongFormula(
        label="efficiency-upside-down",
        formula="pull * e^(mu * bends°)",
        ask="More arrives than was pulled. Where would it come from?",
        held_because="a ratio is remembered without which force stands on top",
        share=0.25,
    ),
    WrongFormula(
        label="brackets-forgotten",
        formula=("pull * e^(-mu) * bends°", "pull * e^(-mu) * bends"),
        ask="Only friction stands in your exponent, and the bend is multiplied. What belongs up there together, "
        "and what keeps it together in typing?",
        held_because="on paper small letters show what stands in an exponent; in typing brackets do",
        share=0.5,
    ),
    WrongFormula(
        label="lost-for-left",
        formula="pull * (1 - e^(-mu * bends°))",
        ask="With no bend at all, what does your formula give: what arrives, or what is lost?",
        held_because="an efficiency is read as a loss",
        share=0.25,
    ),
    WrongFormula(
        label="share-for-force",
        formula="e^(-mu * bends°)",
        ask="That is which share arrives. Of what?",
        held_because="the ratio is the law one remembers, and the force it belongs to is left out",
        share=0.5,
    ),
    WrongFormula(
        label="loss-whatever-the-bend",
        formula=("pull * (1 - mu)", "pull * e^(-mu)", "pull * mu"),
        ask="The bend does not stand in your formula. Does a bend of a few degrees rub like one of ninety?",
        held_because="the coefficient is taken for the share that a bend loses",
    ),
)
