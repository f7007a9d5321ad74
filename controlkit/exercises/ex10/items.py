"""Exercise 10, bilateral wearers and the very short limb: what is asked, and hints."""

from __future__ import annotations

from collections.abc import Mapping
from math import floor

from controlkit.checking import (
    Case,
    Choice,
    Criterion,
    Design,
    Formula,
    Order,
    Quantity,
    Setting,
    Written,
    own_wearer,
)
from controlkit.exercises.ex10.bench import SIDES, PairTrial, trial
from controlkit.exercises.ex10.case import bands_for, crosses, limb_moment, other_hook, wanted, way
from controlkit.exercises.ex10.errand import comes_to, right_orders
from controlkit.exercises.ex10.formula import FORMULAS, LAWS, RIGHT
from controlkit.exercises.ex10.words import KEEPS_APART, OF_CHANGE, OF_SCENE, OPENS, OTHER_HOOK, STEPS, WAYS
from controlkit.exercises.shared.wearers import GRADED_ON, other_bodies
from controlkit.mechanics.chain import PairPull
from controlkit.units import mm

STRONG = 9.0
"""A limb's moment with which a formula is tried, beyond what any case asks of one [N m]."""

CROSSES = Quantity(
    name="crossing_pull",
    points=3,
    kind="force",
    unit="N",
    asks="tension of the control attachment strap of the side that rests",
    right=lambda c, _: crosses(c),
    relative=0.004,
    hints=(
        "Three taut straps meet, and nothing else holds the junction. What shape do three forces make that balance?",
        (
            "Lay the three pulls end to end: a triangle. Each is to the sine of the angle between the other two "
            "as the others are to theirs."
        ),
    ),
    credible=(1.0, 400.0),
)
BANDS_SHUT = Quantity(
    name="bands_shut",
    points=2,
    kind="ratio",
    unit="",
    asks="fewest rubber bands with which the hook that rests stays shut, from your own crossing pull",
    right=lambda c, mine: bands_for(c, mine["crossing_pull"]),
    within=0.1,
    counts="bands",
    hints=(
        "How much of the strap's tension arrives at the hook, and what does each band hold before it opens?",
        "Bands come whole. Is it the next one above, or the next one below?",
    ),
    follows="crossing_pull",
    credible=(1.0, 60.0),
)

UNMEASURED = (
    Quantity(
        name="forearm_sweep",
        points=2,
        kind="angle",
        unit="deg",
        asks="angle through which the forearm of the prosthesis goes",
        right=lambda c, _: c.ratio * (c.most - c.least),
        relative=0.005,
        hints=(
            "Through which angle does the limb go, from where it begins?",
            "What does a ratio of one mean? And this one?",
        ),
        credible=(10.0, 150.0),
    ),
    Quantity(
        name="limb_moment",
        points=3,
        kind="moment",
        unit="N m",
        asks="moment that the limb must make to hold forearm and load level",
        right=lambda c, _: limb_moment(c),
        relative=0.005,
        hints=(
            "What does the forearm ask for about the elbow, its load included? A kilogram weighs 9.807 N.",
            (
                "Work is moment times angle. The limb goes through the smaller angle, and the hinge rubs: what "
                "follows for its moment?"
            ),
        ),
        credible=(0.1, 40.0),
    ),
    Quantity(
        name="couple",
        points=2,
        kind="force",
        unit="N",
        asks="force with which the limb presses on its socket at either place, from your own limb moment",
        right=lambda c, mine: 1000 * mine["limb_moment"] / c.lever,
        relative=0.005,
        hints=(
            "Two forces, equal and opposite, make the moment. How far apart are they?",
            "Moment over distance is a force. In which unit is each?",
        ),
        follows="limb_moment",
        credible=(1.0, 2000.0),
    ),
)
"""Numbers that need no harness."""


def _percent(share: float) -> str:
    """A share as a check shows it, rounded down: what falls short by little must not look as if it reached."""
    return f"{floor(100 * share + 1e-9)} %"


def _light(firm: str) -> str:
    return next(side for side in SIDES if side != firm)


def _opening(label: str, points: float, *, firm: bool) -> Criterion:
    """How far a hook opens by its own arm."""

    def side(done: PairTrial) -> str:
        return done.wanted.firm if firm else _light(done.wanted.firm)

    def share(done: PairTrial, _: Case) -> float:
        opens, wanted = done.opens(side(done)), done.wanted.of(side(done)).opens
        return 1.0 if opens >= wanted else 0.5 if opens >= wanted - 0.1 else 0.0

    return Criterion(
        label=label,
        points=points,
        share=share,
        reached=lambda done, _: (
            f"{_percent(done.opens(side(done)))}, wanted {_percent(done.wanted.of(side(done)).opens)}"
        ),
        met=f"the {'firm' if firm else 'light'} hook opens far enough.",
        ask=f"the {'firm' if firm else 'light'} hook opens too little by its own arm. What does a higher "
        f"junction cost, and what a strap that is let out?",
        because="junction too high, or slack without end; idea behind it: what keeps two sides apart is free",
    )


def _grips(label: str, *, firm: bool) -> Criterion:
    """How hard a hook grips."""

    def side(done: PairTrial) -> str:
        return done.wanted.firm if firm else _light(done.wanted.firm)

    def figures(done: PairTrial) -> tuple[float, float]:
        return done.grip(side(done)), done.wanted.of(side(done)).grip

    return Criterion(
        label=label,
        points=0.5,
        share=lambda done, _: 1.0 if done.grips(side(done)) else 0.0,
        reached=lambda done, _: "{:.1f} N, wanted {:g} N".format(
            *(floor(10 * one + 1e-9) / 10 for one in figures(done))
        ),
        met=f"the {'firm' if firm else 'light'} hook grips hard enough.",
        ask=f"the {'firm' if firm else 'light'} hook grips too weakly. What makes the grip of a hook that the "
        f"cable opens?",
        because="too few bands; idea behind it: grip comes with the pull",
    )


def _pulls(done: PairTrial, _: Case) -> str:
    sides = (done.wanted.firm, _light(done.wanted.firm))
    return "; ".join(
        f"{side} {done.full_pull(side):.0f} N, at most {done.wanted.of(side).pull:.0f} N" for side in sides
    )


def _apart(pulls: Mapping[str, PairPull], done: PairTrial) -> str:
    """What reaches either hook as the other side moves, and from what on it opens."""
    lines = []
    for side in SIDES:
        other = pulls[side].other
        if pulls[side].other_opens:
            lines.append(f"{side} side: the {other.side} cable is drawn by {pulls[side].crossed_travel / mm(1):.1f} mm")
        else:
            begins = done.device(other.side).force(0.0)
            lines.append(f"{side} side: {other.device_force:.0f} N at the {other.side} hook, opens from {begins:.0f} N")
    return "; ".join(lines)


CRITERIA = (
    _grips("firm-grips", firm=True),
    _grips("light-grips", firm=False),
    Criterion(
        label="within-strength",
        points=0.5,
        share=lambda done, _: 1.0 if all(done.within(side) for side in SIDES) else 0.0,
        reached=_pulls,
        met="neither shoulder is asked for too much.",
        ask="fully open, a hook asks its shoulder for too much. What makes that pull, and what did you want it for?",
        because="too many bands; idea behind it: more bands only keep it shut",
    ),
    _opening("firm-opens", 1.0, firm=True),
    _opening("light-opens", 1.0, firm=False),
    Criterion(
        label="flexed-apart",
        points=1.0,
        share=lambda done, _: 1.0 if done.apart(done.flexed) else 0.0,
        reached=lambda done, _: _apart(done.flexed, done),
        met="an arm that flexes leaves the other hook shut.",
        ask="an arm that flexes opens the other hook. How straight does the control strap run on through the "
        "junction, and what holds the weaker hook?",
        because="junction low beside unlike bands; idea behind it: the lower, the more excursion, and nothing else",
    ),
    Criterion(
        label="forward-apart",
        points=1.0,
        share=lambda done, _: 1.0 if done.apart(done.forward) else 0.0,
        reached=lambda done, _: _apart(done.forward, done),
        met="a shoulder that comes forward leaves the other hook shut.",
        ask="a shoulder that comes forward opens the other hook. Which strap does it draw on, whose cable hangs "
        "on that, and what would have to be drawn first?",
        because="no slack where the front strap works the other cable; idea behind it: each side works its own device",
    ),
    Criterion(
        label="shut-at-rest",
        points=0.5,
        share=lambda done, _: 1.0 if done.rests_shut else 0.0,
        reached=lambda done, _: ", ".join(
            f"{side} cable drawn by {at_rest.travel / mm(1):.1f} mm" for side, at_rest in sorted(done.at_rest.items())
        ),
        met="both hooks are shut at rest.",
        ask="a hook stands open while both arms hang. What draws its cable then?",
        because="control straps taken in; idea behind it: a tighter harness adds excursion",
    ),
)


ITEMS = (
    CROSSES,
    Choice(
        name="other_hook",
        points=2,
        asks="what the hook that rests does, from your own crossing pull",
        statements=OTHER_HOOK,
        right=lambda c: other_hook(c, crosses(c)),
        hints=("What arrives at the hook of that tension? And what do its bands hold before it opens?",),
        follows="crossing_pull",
        right_from=lambda c, own: (other_hook(c, own),),
    ),
    BANDS_SHUT,
    Choice(
        name="which_opens",
        points=2,
        asks="which hook opens",
        statements=OPENS,
        right=lambda c: OF_SCENE[c.scene],
        hints=(
            (
                "Each front strap runs on through the junction to the other side's control strap. Which of the "
                "four straps does the motion draw, and which does it slacken?"
            ),
        ),
    ),
    Choice(
        name="keeps_apart",
        points=2,
        asks="what the change does, when either arm is flexed",
        statements=KEEPS_APART,
        right=lambda c: OF_CHANGE[c.change],
        hints=("Ask two things: what comes to the other cable, and what is left for each hook to open by?",),
    ),
    Order(
        name="meal",
        points=4,
        asks="the steps of the meal, from where your table begins to where it ends, without a detour",
        steps=STEPS,
        right=right_orders,
        comes_to=comes_to,
        hints=(
            (
                "Which hook turns which wrist unit, and must it be empty for that? Then: which of the two motions "
                "opens both?"
            ),
            "What is taken by a motion that opens both hooks must be taken while the other is empty. And laid down?",
        ),
    ),
    *UNMEASURED,
    Formula(
        name="most_mass",
        asks="the largest mass in the hook that a limb holds level through a step-up hinge [kg]",
        arguments=(
            "limb, largest moment with which the limb flexes [N m]",
            "ratio, flexion of the forearm over that of the limb [-]",
            "efficiency, of the hinge, a share such as 0.9 [-]",
            "level, moment of the empty forearm about the elbow, forearm level [N m]",
            "reach, from the elbow's axis to the load [mm]",
        ),
        also={"eta": "efficiency", "k": "ratio"},
        right=RIGHT,
        inputs=lambda c: (
            (STRONG, c.ratio, c.hinge / 100, c.level, c.reach),
            (5.0, 2.0, 0.9, 0.9, 300.0),
            (7.5, 1.6, 0.85, 1.3, 330.0),
        ),
        results_points=2,
        relative=2e-3,
        laws=LAWS,
        ideas=FORMULAS,
        hints=(
            (
                "What comes out of the hinge at the forearm, of all that the limb makes? What of it does the empty "
                "forearm take?"
            ),
            (
                "The rest is a moment. Which force, so far from the axis, makes it, and which mass weighs that? "
                "A kilogram weighs 9.807 N; and the distance is in millimetres."
            ),
        ),
    ),
    Choice(
        name="way",
        points=2,
        asks="which way serves this limb: of those that reach and hold, the one that asks least of it; from your own "
        "limb moment",
        statements=WAYS,
        right=lambda c: way(c, limb_moment(c)),
        hints=(
            (
                "For each way ask: how far does the forearm come? And which moment must the limb make, with the "
                "hinge and without it?"
            ),
        ),
        follows="limb_moment",
        right_from=lambda c, own: (way(c, own),),
    ),
    Design(
        name="design",
        asks="junction, bands and control straps of a pair for your wearer",
        settings=(
            Setting("junction", "length", "mm", "the junction, below the vertebra C7"),
            Setting("left_bands", "ratio", "", "rubber bands of the left hook", counts="bands"),
            Setting("right_bands", "ratio", "", "rubber bands of the right hook", counts="bands"),
            Setting("left_strap", "length", "mm", "left control strap let out from just snug"),
            Setting("right_strap", "length", "mm", "right control strap let out from just snug"),
        ),
        wearer=lambda c: own_wearer(c.values),
        simulate=lambda wearer, choice, c: trial(wearer, choice, wanted(c)),
        criteria=CRITERIA,
        works=lambda done: done.serves,
        bodies=other_bodies(shorter=110, narrower=90),
        bodies_points=2.0,
        graded_on=GRADED_ON,
    ),
    Written(
        name="day",
        asks="the day of a wearer with two prostheses",
        rubric=(
            (1, "gives each side its work, and says which pattern, bands and strap settings follow from that, and why"),
            (
                1,
                (
                    "chooses devices and wrist units for eating, dressing and the toilet, and says why hooks, and "
                    "wrists that flex"
                ),
            ),
            (1, "says how the wearer puts the pair on and takes it off unaided, and what happens if that fails"),
            (
                1,
                (
                    "names a moment of the day when one side would work the other, and says what the wearer or the "
                    "fitter does"
                ),
            ),
        ),
    ),
)
