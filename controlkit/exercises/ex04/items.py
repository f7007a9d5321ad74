"""Exercise 4, cable and housing: what is asked, and hints."""

from __future__ import annotations

from collections.abc import Sequence
from math import exp

from controlkit.checking import Case, Choice, Formula, Law, Quantity, Statement
from controlkit.exercises.ex04.case import (
    allowed,
    bends,
    fitted,
    lever,
    rubbed,
    straight_across,
)
from controlkit.exercises.ex04.ideas import FORMULAS
from controlkit.exercises.shared.laws import near

RUBS_AT = 60.0
"""Pull with which the laws ask whether anything is lost [N]."""


def right_elbow(c: Case) -> str:
    """What bending the elbow does to the colleague's set-up, as the word of a statement."""
    return {"held": "stays", "short": "stops", "long": "bows"}.get(c.set_up, "bowstrings")


def rubbing(c: Case) -> tuple[tuple[float, float, float], ...]:
    """A bend with friction, with which a law asks first whether anything is lost at all: pull [N], [deg], [-]."""
    return ((RUBS_AT, 90, c.friction), (RUBS_AT, 180, 0.2))


def loses(found: Sequence[float]) -> bool:
    """Whether something arrives there, and less than was pulled; a formula that loses nothing earns no law."""
    return all(0 < one < RUBS_AT and not near(one, RUBS_AT) for one in found)


LAWS = (
    Law(
        label="no-friction",
        points=1,
        inputs=lambda c: ((55.0, 90, 0.0), (80.0, 135, 0.0), *rubbing(c)),
        holds=lambda found: near(found[0], 55.0) and near(found[1], 80.0) and loses(found[2:]),
        met="without friction everything arrives.",
        ask="what arrives where there is no friction?",
        because="something is taken off, or added, whatever the friction",
    ),
    Law(
        label="halves-make-a-whole",
        points=1,
        inputs=lambda c: ((80.0, 120, c.friction), (80.0, 60, c.friction), (80.0, 30, c.friction), *rubbing(c)),
        holds=lambda found: (
            near(80 * found[0], found[1] ** 2) and near(80 * found[1], found[2] ** 2) and loses(found[3:])
        ),
        met="two half bends take what one whole bend takes.",
        ask="try one bend of 120°, then two of 60°. The second half starts with what the first has left. What follows?",
        because="a loss in proportion, or one that does not ask for the bend",
    ),
    Law(
        label="never-more-and-never-less-than-nothing",
        points=1,
        inputs=lambda c: (
            (60.0, 0, 0.2),
            (60.0, 90, c.friction),
            (60.0, 180, c.friction),
            (60.0, 1080, 0.3),
        ),
        holds=lambda found: near(found[0], 60.0) and 60.0 > found[1] > found[2] > found[3] > 0,
        met="each bend takes something, and never all.",
        ask="with more and more bend, what arrives must fall, never below nothing, never above the pull. Does yours, "
        "from no bend at all to three whole turns?",
        because="a loss in proportion ends below zero; a ratio upside down ends above the pull",
    ),
)

ITEMS = (
    Quantity(
        name="harness_pull",
        points=4,
        kind="force",
        unit="N",
        asks="pull at the hanger that makes the device move",
        right=lambda c, _: c.device_pull * exp(rubbed(c)),
        relative=0.002,
        hints=(
            "Add up all bends, whichever way they turn. Then: which of the two forces is the larger while pulling?",
            "The ratio of the two forces is an exponential of friction times bend. In which unit is the bend?",
        ),
        credible=(1.0, 1000.0),
    ),
    Quantity(
        name="return_pull",
        points=3,
        kind="force",
        unit="N",
        asks="pull at the hanger at which the cable begins to go back, from your own harness pull",
        right=lambda c, mine: c.device_pull**2 / mine["harness_pull"],
        relative=0.002,
        hints=(
            "The device pulls back as hard as before. Which end moves first now, and which force is the larger?",
            "The law of the bends is the same, with the two ends changed about.",
        ),
        follows="harness_pull",
    ),
    Quantity(
        name="friction",
        points=3,
        kind="ratio",
        unit="",
        asks="friction coefficient of the used cable, from all its readings",
        right=lambda c, _: fitted(c.values),
        within=0.004,
        hints=(
            "From each row alone: which coefficient gives this ratio at this bend? Then put the rows together.",
            "Look at the strokes. In one row the larger force is at the device.",
        ),
        credible=(0.001, 1.0),
    ),
    Formula(
        name="arrives",
        asks="what arrives at the device [N] while the harness pulls",
        arguments=(
            "pull, at the hanger [N]",
            "bends, all of them together [deg]",
            "mu, friction coefficient [-]",
        ),
        also={"μ": "mu", "friction": "mu", "bend": "bends"},
        right="pull * e^(-mu * bends * pi / 180)",
        inputs=lambda c: ((float(c.load), sum(bends(c)), c.friction), (70.0, 180, 0.1), (50.0, 20, 0.15)),
        results_points=3,
        relative=2e-3,
        laws=LAWS,
        ideas=FORMULAS,
        hints=(
            "A power of e is written e^( ), with the whole exponent in brackets. What stands in it, and in which unit?",
            "Check it by hand on a bend of 90° with friction 0.1: about 85 of 100 N arrive.",
        ),
    ),
    Quantity(
        name="most_bend",
        points=3,
        kind="angle",
        unit="deg",
        asks="largest bend past the elbow that the new liner may be given",
        right=lambda c, _: allowed(c) - c.bend_crossbar - c.bend_wrist,
        within=1.0,
        hints=(
            "Which bend in all leaves that share? Undo the exponential. Then: what of it is spent elsewhere?",
            "A logarithm of a share is negative; friction times bend is its size, in radians.",
        ),
        credible=(1.0, 2000.0),
    ),
    Choice(
        name="route",
        points=2,
        asks="Which change lets more of the pull arrive",
        statements=(
            Statement("fewer degrees", "a route on which the bends, added without sign, come to fewer degrees"),
            Statement(
                "wider curves",
                "the same bends in curves of twice the radius",
                ask="Which quantities stand in the law of the bends? Wear and kinks are another matter.",
                held_because="a tight curve looks as if it must rub more",
            ),
            Statement(
                "a bend the other way",
                "one more bend, turned the other way, that makes up for the first",
                ask="Does the cable press less on its housing where it turns the other way?",
                held_because="the direction at the end is taken for the way there",
            ),
            Statement(
                "a slower pull",
                "the same route, pulled more slowly",
                ask="Which quantities stand in the law of the bends? Is speed among them?",
                held_because="friction is mixed up with drag in oil",
            ),
        ),
        right=lambda _: "fewer degrees",
        hints=("Compare two routes that end in the same direction. What does the cable press on along the way?",),
    ),
    Choice(
        name="elbow",
        points=2,
        asks="What the elbow does to the cable of your colleague's set-up as it bends from straight",
        statements=(
            Statement(
                "stays",
                "the cable's path stays as long as it was; only the bend changes, and with it the force",
                ask="What keeps the path as long as it is? Is it there in this set-up, and long enough to go round?",
                held_because="a housing is thought to do its work whatever its length and wherever it is held",
            ),
            Statement(
                "stops",
                "the straight elbow stays free, and the bent one comes to a stop before it is bent fully",
                ask="What would come taut behind the elbow, so that the forearm can go no further? Is it short here?",
                held_because="everything in the way of the elbow is thought to stop it",
            ),
            Statement(
                "bows",
                "the path stays as long as it was, in a wide bow that rubs more and catches on clothes",
                ask="Which length is there too much of, and is there too much of it here?",
                held_because="too long is thought to be on the safe side",
            ),
            Statement(
                "bowstrings",
                "the path becomes shorter, the device gets slack, and a pull bends the elbow",
                ask="Which way would the cable take if it could? What is there, or not, to keep it from that?",
                held_because="the way along the limb and the way across it are not told apart",
            ),
            Statement(
                "opens",
                "the path becomes longer, and the device opens by itself",
                ask="Measure along the limb and straight across the elbow. Which is longer?",
                held_because="a bent elbow is thought to stretch what runs over it",
            ),
        ),
        right=right_elbow,
        hints=("What does a housing held at both ends keep the same? Is it held here, and is it long enough?",),
    ),
    Quantity(
        name="slack",
        points=3,
        kind="length",
        unit="mm",
        asks="slack that a cable without housing gets when the elbow bends from straight",
        right=lambda c, _: c.above + c.below - straight_across(c),
        within=0.5,
        hints=(
            "Draw crossbar, elbow axis and retainer. How long is the way with a straight elbow, how long across?",
            "The corner of the triangle is at the elbow axis. How large is it with a straight elbow?",
        ),
    ),
    Quantity(
        name="elbow_moment",
        points=2,
        kind="moment",
        unit="N m",
        asks="moment with which that cable bends the elbow there, from your own slack",
        right=lambda c, mine: c.free_pull * lever(c, mine["slack"]) / 1000,
        relative=0.01,
        follows="slack",
        hints=(
            "A moment is a force times a distance square to it. From which point, and to which line?",
            "The area of the triangle can be found in two ways: from the corner at the elbow, and over the cable.",
        ),
    ),
)
