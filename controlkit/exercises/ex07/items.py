"""Exercise 7, dual control: what is asked, and hints."""

from __future__ import annotations

from math import degrees, floor, sin

from controlkit.checking import (
    Case,
    Choice,
    Criterion,
    Design,
    Formula,
    Quantity,
    Setting,
    Written,
    own_wearer,
)
from controlkit.exercises.ex07.bench import (
    LIFTS_TO,
    DualTrial,
    Wanted,
    trial,
)
from controlkit.exercises.ex07.case import (
    MAY_OPEN,
    WAY_UP,
    arm_of,
    bent_by,
    load,
    off_vertical,
    opening_force,
    taken_up,
    tension,
    weight_moment,
)
from controlkit.exercises.ex07.formula import FORMULAS, LAWS
from controlkit.exercises.ex07.words import COMES_OF_IT, LOOP_MOVED, OPENS_FIRST
from controlkit.exercises.shared.wearers import GRADED_ON, above_elbow, other_bodies, other_people
from controlkit.mechanics.chain import TASKS
from controlkit.units import mm

OF_SCENE = {
    "lifts": "rises",
    "strains": "opens",
    "locked": "opens",
    "relaxes": "sinks",
    "locked and relaxes": "stays",
    "carries": "slips",
}
"""What comes of each scene."""


def moves_first(c: Case, at_device: float) -> str:
    """What moves first under such a force at the device, as the word of a statement [N]."""
    return "forearm rises" if at_device < opening_force(c) else "device opens"


LIFT_TENSION = Quantity(
    name="lift_tension",
    points=3,
    kind="force",
    unit="N",
    asks="largest tension between housing end and lift loop in the rows of the table",
    right=lambda c, _: max(tension(c, row) for row in WAY_UP),
    relative=0.01,
    hints=(
        "In each row: which angle does the forearm make with the vertical, and what moment is that?",
        "Moment over moment arm, row by row. Which row asks for most?",
    ),
    credible=(5.0, 500.0),
)

UNMEASURED = (
    Quantity(
        name="weight_moment",
        points=3,
        kind="moment",
        unit="N m",
        asks="moment about the elbow with which the weight extends it",
        right=lambda c, _: weight_moment(c, sin(off_vertical(c))),
        relative=0.01,
        hints=(
            "Draw upper arm and forearm. Which angle does the forearm make with the vertical?",
            "Each part pulls straight down. How far from the elbow, measured level, does it hang?",
        ),
        credible=(0.05, 10.0),
    ),
    Quantity(
        name="moment_arm",
        points=3,
        kind="length",
        unit="mm",
        asks="moment arm with which the lift cable flexes the elbow",
        right=lambda c, _: arm_of(c),
        within=0.2,
        hints=(
            "Put the elbow axis at the origin. Where is the housing's end, where is the loop?",
            (
                "Twice the area of the triangle axis, loop, end can be found in two ways: from p and u, and over the "
                "cable."
            ),
        ),
        credible=(1.0, 200.0),
    ),
    LIFT_TENSION,
    Quantity(
        name="harness_pull",
        points=2,
        kind="force",
        unit="N",
        asks="pull at the hanger, the cable sliding, that brings the forearm past there, from your own lift tension",
        right=lambda c, mine: mine["lift_tension"] * bent_by(c, "above"),
        relative=0.004,
        hints=(
            "Which bends lie between hanger and lift loop, and which force is the larger while pulling?",
            "The ratio of two tensions is an exponential of friction times bend. In which unit is the bend?",
        ),
        follows="lift_tension",
        credible=(5.0, 1000.0),
    ),
    Quantity(
        name="device_pull",
        points=2,
        kind="force",
        unit="N",
        asks="force that reaches the device meanwhile, from your own harness pull",
        right=lambda c, mine: mine["harness_pull"] / bent_by(c, "above", "beyond"),
        relative=0.004,
        hints=(
            "The cable runs on from the loop to the device. Through which bends in all does the pull come to it?",
            "Each bend takes its share. From the hanger on, they multiply.",
        ),
        follows="harness_pull",
        credible=(0.1, 1e6),  # so much comes of a bend in degrees, and costs once
    ),
    Quantity(
        name="lift_travel",
        points=3,
        kind="length",
        unit="mm",
        asks="cable that the lift takes up from where the forearm hangs to where the elbow is locked",
        right=lambda c, _: taken_up(c),
        within=0.2,
        hints=(
            "How long is the free cable from housing end to loop while the forearm hangs, and how long at the lock?",
            "Put the elbow axis at the origin again, and find both places of the loop.",
        ),
        credible=(1.0, 300.0),
    ),
)
"""Numbers that need no harness."""


def _percent(share: float) -> str:
    """A share as a check shows it, rounded down: what falls short by little must not look as if it reached."""
    return f"{floor(100 * share + 1e-9)} %"


def _lifting_pull(done: DualTrial) -> str:
    return f"{done.lifted.peak:.0f} N" if done.lifted.peak < 1e4 else "more than any cable bears"


def _at_device(done: DualTrial) -> str:
    return f"{done.at_device:.1f} N" if done.at_device < 1e4 else "more than any cable bears"


CRITERIA = (
    Criterion(
        label="lifts",
        points=1.5,
        share=lambda done, _: 1.0 if done.lifts else 0.5 if done.reaches >= LIFTS_TO - 0.3 else 0.0,
        reached=lambda done, _: f"to {degrees(done.reaches):.0f}°, wanted {degrees(LIFTS_TO):.0f}°",
        met="the control motion lifts the forearm.",
        ask="the motion ends before the forearm is up, or the cable cannot lift it at all. How much cable does your "
        "loop take up, and how much is there? And does the cable pass in front of the elbow's axis from the start?",
        because="loop too far out for the excursion, or a dead point; idea behind it: further out is always better",
    ),
    Criterion(
        label="stays-shut",
        points=1.5,
        share=lambda done, _: 1.0 if done.stays_shut else 0.0,
        reached=lambda done, _: f"{_at_device(done)} at most, and it opens at {done.lifted.opening_force:.1f} N",
        met="the device stays shut on the whole way up.",
        ask="the device opens before the forearm is up. What makes the tension at the loop, and which three settings "
        "answer to it besides the bands?",
        because="tension at the device above its opening force; ideas behind it: the unlocked elbow sends the pull to "
        "the loop, lifting is hardest at a right angle",
    ),
    Criterion(
        label="lifts-within-strength",
        points=0.5,
        share=lambda done, c: 1.0 if done.lifted.peak <= TASKS["repeat"] * c.strength else 0.0,
        reached=lambda done, c: f"{_lifting_pull(done)}, at most {TASKS['repeat'] * c.strength:.0f} N",
        met="the lift asks little enough of the wearer.",
        ask="the lift takes more than the wearer can give many times a day. Where on the way is that, and what would "
        "lengthen the moment arm there?",
        because="moment arm too short where the forearm begins to rise",
    ),
    Criterion(
        label="opens-locked",
        points=1.5,
        share=lambda done, _: (
            1.0 if done.opens >= done.wanted.opens else 0.5 if done.opens >= done.wanted.opens - 0.15 else 0.0
        ),
        reached=lambda done, _: f"{_percent(done.opens)}, wanted {_percent(done.wanted.opens)}",
        met="it opens far enough with the elbow locked.",
        ask="it opens too little with the elbow locked. What has the lift taken up, what gives it back, and which "
        "settings take up less?",
        because="the lift has used up the excursion; idea behind it: locking gives it back",
    ),
    Criterion(
        label="opens-within-strength",
        points=0.5,
        share=lambda done, c: 1.0 if done.opening_pull <= MAY_OPEN * c.strength else 0.0,
        reached=lambda done, c: f"{done.opening_pull:.0f} N, at most {MAY_OPEN * c.strength:.0f} N",
        met="the wearer can open it.",
        ask="opening it asks for too much. What makes that pull, and what did you want it for?",
        because="too many bands; idea behind it: more bands only keep it shut",
    ),
    Criterion(
        label="grips",
        points=0.5,
        share=lambda done, c: 1.0 if done.grip >= c.grip else 0.0,
        reached=lambda done, c: f"{floor(10 * done.grip) / 10:.1f} N, wanted {c.grip} N",
        met="it grips the object hard enough.",
        ask="it does not grip the object hard enough. What makes the grip of a device that opens by the cable?",
        because="too few bands; idea behind it: grip comes with the pull",
    ),
    Criterion(
        label="hangs-straight",
        points=0.5,
        share=lambda done, c: 1.0 if degrees(done.system.hangs_at) <= c.hangs_most + 0.05 else 0.0,
        reached=lambda done, c: f"{degrees(done.system.hangs_at):.0f}°, at most {c.hangs_most}°",
        met="the forearm hangs straight enough.",
        ask="the forearm hangs too far bent. What does pre-flexion spare the cable, and what does it cost the wearer?",
        because="pre-flexion without end; idea behind it: what eases the lift costs nothing",
    ),
    Criterion(
        label="under-a-sleeve",
        points=0.5,
        share=lambda done, c: 1.0 if done.system.line.end_ahead <= mm(c.ahead_most + 0.1) else 0.0,
        reached=lambda done, c: f"{done.system.line.end_ahead / mm(1):.0f} mm, at most {c.ahead_most} mm",
        met="the housing's end goes under a sleeve.",
        ask="the housing's end stands out too far in front. What does it do for the start of the lift, and what else "
        "does that?",
        because="housing end placed by moment arm alone",
    ),
)

ITEMS = (
    UNMEASURED[0],
    UNMEASURED[1],
    Formula(
        name="lift_force",
        asks="the tension at the lift loop that holds the forearm [N]",
        arguments=(
            "level, moment of the weight about the elbow when the forearm is level [N m]",
            "elbow, elbow flexion from straight [deg]",
            "tilt, upper arm inclined forward from the vertical [deg]",
            "spring, moment with which a spring flexes the elbow [N m]",
            "arm, moment arm of the lift cable [mm]",
        ),
        also={"flexion": "elbow", "inclined": "tilt", "moment_arm": "arm"},
        right="1000 * (level * sin((elbow + tilt)°) - spring) / arm",
        inputs=lambda c: (
            (c.level, 60, c.tilt_60, c.spring, c.arm_60),
            (1.15, 90, 25, 0.0, 35.0),
            (1.6, 35, 10, 0.3, 24.0),
        ),
        results_points=3,
        relative=2e-3,
        laws=LAWS,
        ideas=FORMULAS,
        hints=(
            (
                "Take moments about the elbow: the weight extends it, spring and cable flex it. What is left for the "
                "cable?"
            ),
            (
                "Which angle does the forearm make with the vertical? A degree sign after a bracket, as in "
                "sin((a + b)°), is read; and the moment arm is in millimetres."
            ),
        ),
    ),
    *UNMEASURED[2:5],
    Choice(
        name="opens_first",
        points=2,
        asks="What moves when the wearer pulls with the elbow unlocked, from your own device pull",
        statements=OPENS_FIRST,
        right=lambda c: moves_first(c, max(tension(c, row) for row in WAY_UP) / bent_by(c, "beyond")),
        hints=("How many newtons reach the device, and how many does it take to open it?",),
        follows="device_pull",
        right_from=lambda c, own: (moves_first(c, own),),
    ),
    UNMEASURED[5],
    Quantity(
        name="left_to_open",
        points=2,
        kind="length",
        unit="mm",
        asks="cable travel that is left to open the device with the elbow locked, every millimetre of slack counted as "
        "lost, from your own lift travel",
        right=lambda c, mine: c.captured - c.slack - mine["lift_travel"],
        within=0.2,
        hints=(
            "What arrives at the cable by the whole motion? Then: what is used up before the device can move?",
            "One row of the table takes force and no travel, one is what the shoulder gives before anything yields.",
        ),
        follows="lift_travel",
    ),
    Choice(
        name="loop_moved",
        points=2,
        asks="What that does to lifting the forearm as high as before",
        statements=LOOP_MOVED,
        right=lambda c: "less force" if c.moved == "outward" else "less travel",
        hints=("What becomes of the moment arm? And of the work, force times way?",),
    ),
    Choice(
        name="comes_of_it",
        points=2,
        asks="What comes of it, at the elbow and at the device",
        statements=COMES_OF_IT,
        right=lambda c: OF_SCENE[c.scene],
        hints=("Ask in this order: is the elbow free, what holds the forearm, what reaches the device?",),
    ),
    Design(
        name="design",
        asks="lift loop, housing end, pre-flexion and bands for your wearer",
        settings=(
            Setting("loop_along", "length", "mm", "lift loop, from the elbow axis along the forearm"),
            Setting("end_ahead", "length", "mm", "housing end in front of the upper arm's line"),
            Setting("hangs_at", "angle", "deg", "elbow flexion at which the forearm hangs on its stop"),
            Setting("bands", "ratio", "", "rubber bands of the hook", counts="bands"),
        ),
        wearer=lambda c: above_elbow(own_wearer(c.values)),
        simulate=lambda wearer, choice, c: trial(
            wearer, choice, Wanted(load=load(c) / 1000, opens=c.wanted / 100, width=mm(c.width))
        ),
        criteria=CRITERIA,
        works=lambda done: done.serves,
        bodies=other_people(other_bodies(shorter=110, narrower=90)),
        bodies_points=2.0,
        graded_on=GRADED_ON,
    ),
    Written(
        name="why",
        asks="why your design looks as it does",
        rubric=(
            (1, "says why one cable can do both jobs, and what decides which of the two it does"),
            (
                1,
                (
                    "says what a loop further out would have changed, in force and in excursion, and why not both "
                    "for the better"
                ),
            ),
            (1, "says where on the way up the lift was hardest, and why there: weight, upper arm and moment arm"),
            (1, "says where the excursion of the lift is once the elbow is locked, and what that leaves to the wearer"),
        ),
    ),
)
