"""Exercise 4: what learners believe, each as a model of the same case."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import cos, exp, log, log10, radians, sqrt

from controlkit.checking import Case, WrongFunction, WrongIdea
from controlkit.exercises.ex04.case import KEEP, READ_AT, allowed, bends, log_loss, rubbed, straight_across


def _readings(c: Case, one: Callable[[float, float], float], sign: int = -1) -> float:
    """The mean over the readings of what an idea makes of one: larger over smaller force, bend [rad]."""
    found = [one(exp(log_loss(angle, c.values, sign)), radians(angle)) for angle in READ_AT]
    return sum(found) / len(found)


IDEAS = (
    WrongIdea(
        "degrees-in-the-exponential",
        "harness_pull",
        lambda c, _: c.device_pull * exp(c.friction * sum(bends(c))),
        "No shoulder could make that pull. In which unit must a bend stand in the exponential?",
        "angles are read in degrees and used as they are",
        0.25,
    ),
    WrongIdea(
        "loss-in-proportion",
        "harness_pull",
        lambda c, _: (c.device_pull * (1 + rubbed(c)), c.device_pull / (1 - rubbed(c))),
        "You let the loss grow in proportion to the bend. What would then be left after ten radians?",
        "for small bends it is nearly so, and proportion is the rule one knows",
        0.25,
    ),
    WrongIdea(
        "losses-of-bends-add",
        "harness_pull",
        lambda c, _: c.device_pull * (1 + sum(exp(c.friction * radians(bend)) - 1 for bend in bends(c))),
        "You found a loss for each bend and added them. With how much pull does the cable enter the second bend?",
        "losses look like amounts that are taken off one by one",
        0.5,
    ),
    WrongIdea(
        "efficiency-upside-down",
        "harness_pull",
        lambda c, _: c.device_pull * exp(-rubbed(c)),
        "The harness would pull less than the device needs. Could friction help the wearer while she pulls?",
        "a ratio is remembered without which force stands on top",
        0.25,
    ),
    WrongIdea(
        "opposite-bends-cancel",
        "harness_pull",
        lambda c, _: c.device_pull * exp(c.friction * radians(abs(c.bend_crossbar - c.bend_elbow + c.bend_wrist))),
        "You let bends of opposite turn cancel. Does the cable press less on its housing where it turns the other way?",
        "the direction at the end is taken for the way there",
        0.25,
    ),
    WrongIdea(
        "largest-bend-only",
        "harness_pull",
        lambda c, _: c.device_pull * exp(c.friction * radians(c.bend_elbow)),
        "You counted the bend one sees. Where else does the cable change its direction?",
        "the housing past the elbow is what friction is shown on",
        0.25,
    ),
    WrongIdea(
        "same-sign-both-ways",
        "return_pull",
        lambda _, mine: mine["harness_pull"],
        "That is the pull on the way out. Which way does the cable move now, and against what does friction act?",
        "friction is taken for something that always makes pulling harder",
    ),
    WrongIdea(
        "no-friction-back",
        "return_pull",
        lambda c, _: float(c.device_pull),
        "You gave what the device pulls back with. Does it slide back through the bends for nothing?",
        "letting go feels like doing nothing",
    ),
    WrongIdea(
        "same-newtons-off",
        "return_pull",
        lambda c, mine: 2 * c.device_pull - mine["harness_pull"],
        "You took off as many newtons as were lost on the way out. What is friction in a bend in proportion to?",
        "friction is taken for a fixed force",
        0.5,
    ),
    WrongIdea(
        "friction-for-each-degree",
        "friction",
        lambda c, _: _readings(c, lambda ratio, bend: log(ratio) / bend) * radians(1),
        "That is what each degree takes. For which unit of angle is the coefficient asked?",
        "angles are read in degrees and used as they are",
        0.25,
    ),
    WrongIdea(
        "loss-over-bend",
        "friction",
        lambda c, _: (
            _readings(c, lambda ratio, bend: (ratio - 1) / bend),
            _readings(c, lambda ratio, bend: (1 - 1 / ratio) / bend),
        ),
        "You divided the lost share by the bend. Does your largest bend then give what the smallest gives?",
        "for small bends it is nearly so, and proportion is the rule one knows",
        0.25,
    ),
    WrongIdea(
        "common-logarithm",
        "friction",
        lambda c, _: _readings(c, lambda ratio, bend: log10(ratio) / bend),
        "Which logarithm undoes the exponential in the law of the bends?",
        "the key marked log is the nearest one",
        0.5,
    ),
    WrongIdea(
        "strokes-mixed",
        "friction",
        lambda c, _: _readings(c, lambda ratio, bend: log(ratio) / bend, sign=1),
        "You treated every row alike. In which does friction hold for the wearer, and what does that do to the sign?",
        "a table is read down without its second column",
        0.5,
    ),
    WrongIdea(
        "fixed-bends-forgotten",
        "most_bend",
        lambda c, _: allowed(c),
        "That is for the whole way. Which bends are there already?",
        "the housing past the elbow is what friction is shown on",
        0.5,
    ),
    WrongIdea(
        "loss-in-proportion",
        "most_bend",
        lambda c, _: (1 - KEEP) / c.liner / radians(1) - c.bend_crossbar - c.bend_wrist,
        "You let the loss grow in proportion to the bend. Does the second half of a bend start from the whole pull?",
        "for small bends it is nearly so, and proportion is the rule one knows",
        0.25,
    ),
    WrongIdea(
        "lost-for-left",
        "most_bend",
        lambda c, _: allowed(c, 1 - KEEP) - c.bend_crossbar - c.bend_wrist,
        "With that much bend, which share of the pull arrives, and which is lost?",
        "an efficiency is read as a loss",
    ),
    WrongIdea(
        "flexion-as-corner",
        "slack",
        lambda c, _: c.above + c.below - straight_across(c, 180 - c.flexion),
        "Draw the triangle at the elbow. Is the angle in its corner the flexion, when a straight elbow counts as zero?",
        "the angle that is given is put into the law of cosines",
        0.5,
    ),
    WrongIdea(
        "arc-for-path",
        "slack",
        lambda c, _: (c.above * radians(c.flexion), c.below * radians(c.flexion)),
        "That is an arc. Does a cable without housing follow the arc, or does it take the shortest way?",
        "angle times arm is the formula one knows for joints",
    ),
    WrongIdea(
        "right-corner-always",
        "slack",
        lambda c, _: c.above + c.below - sqrt(c.above**2 + c.below**2),
        "Your formula holds for one elbow angle only. Which one, and is it yours?",
        "a triangle calls up Pythagoras",
        0.25,
    ),
    WrongIdea(
        "nothing-changes",
        "slack",
        lambda *_: 0.0,
        "Then the cable would be as long on its way as before. What did the housing do that is missing here?",
        "the cable itself keeps its length, so its path is thought to",
    ),
    WrongIdea(
        "path-for-change",
        "slack",
        lambda c, _: straight_across(c),
        "That is how long the path is now. How long was it with the elbow straight?",
        "a length is taken for a change of length",
        0.25,
    ),
    WrongIdea(
        "limb-as-arm",
        "elbow_moment",
        lambda c, _: (c.free_pull * c.above / 1000, c.free_pull * c.below / 1000),
        "You measured along the limb. Which distance from the elbow axis stands square to the cable?",
        "the lever is looked for along the bone",
        0.25,
    ),
    WrongIdea(
        "cable-length-as-arm",
        "elbow_moment",
        lambda c, _: c.free_pull * straight_across(c) / 1000,
        "You measured along the cable. Which distance from the elbow axis stands square to it?",
        "the longest line in the drawing is taken",
    ),
    WrongIdea(
        "cosine-for-sine",
        "elbow_moment",
        lambda c, _: c.free_pull * c.above * c.below * abs(cos(radians(c.flexion))) / straight_across(c) / 1000,
        "With a straight elbow your moment would be largest. How far from the axis does the cable pass there?",
        "the drawing was not made",
        0.25,
    ),
)


def in_degrees(pull: float, ways: Sequence[float], friction: float) -> float:
    """Degrees in the exponential."""
    return pull * exp(-friction * sum(ways))


def in_proportion(pull: float, ways: Sequence[float], friction: float) -> float:
    """Loss in proportion to the bend."""
    return pull * (1 - friction * radians(sum(ways)))


def added(pull: float, ways: Sequence[float], friction: float) -> float:
    """Losses of bends added."""
    return pull * (1 - sum(1 - exp(-friction * radians(bend)) for bend in ways))


def helped(pull: float, ways: Sequence[float], friction: float) -> float:
    """Friction that adds to the pull."""
    return pull * exp(friction * radians(sum(ways)))


def largest(pull: float, ways: Sequence[float], friction: float) -> float:
    """Only the largest bend."""
    return pull * exp(-friction * radians(max(ways, default=0.0)))


def once_for_each(pull: float, ways: Sequence[float], friction: float) -> float:
    """A fixed share lost in each bend, whatever its angle."""
    return pull * (1 - friction) ** len(ways)


WRONG_FUNCTIONS = (
    WrongFunction(
        "degrees-in-the-exponential",
        in_degrees,
        "Hardly anything arrives. In which unit must a bend stand in the exponential?",
        "angles are read in degrees and used as they are",
        0.25,
    ),
    WrongFunction(
        "loss-in-proportion",
        in_proportion,
        "You let the loss grow in proportion to the bend. What would then be left after ten radians?",
        "for small bends it is nearly so, and proportion is the rule one knows",
        0.25,
    ),
    WrongFunction(
        "losses-of-bends-add",
        added,
        "You found a loss for each bend and added them. With how much pull does the cable enter the second bend?",
        "losses look like amounts that are taken off one by one",
        0.5,
    ),
    WrongFunction(
        "efficiency-upside-down",
        helped,
        "More arrives than was pulled. Where would it come from?",
        "a ratio is remembered without which force stands on top",
        0.25,
    ),
    WrongFunction(
        "largest-bend-only",
        largest,
        "You counted the largest bend. What do the others do?",
        "the housing past the elbow is what friction is shown on",
        0.25,
    ),
    WrongFunction(
        "loss-for-each-bend",
        once_for_each,
        "Each bend takes the same share, whatever its angle. Does a bend of a few degrees rub like one of ninety?",
        "the coefficient is taken for the share that one bend loses",
    ),
)
