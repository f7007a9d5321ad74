"""Exercise 8, the above-elbow harness: what is asked, and hints."""

from __future__ import annotations

from math import degrees

from controlkit.checking import Choice, Criterion, Design, Order, Quantity, Setting, Written, own_wearer
from controlkit.exercises.ex08.bench import MOST, LockTrial, trial
from controlkit.exercises.ex08.case import (
    DRIFT,
    across,
    below,
    on_lock,
    snug,
    taken_at,
    taken_up,
)
from controlkit.exercises.ex08.errand import comes_to, right_orders
from controlkit.exercises.ex08.words import COMES_OF_IT, OF_SCENE, STEPS, STRAPS
from controlkit.exercises.shared.wearers import GRADED_ON, above_elbow, other_bodies, other_people
from controlkit.units import mm

UNMEASURED = (
    Quantity(
        name="sinks",
        points=2,
        kind="angle",
        unit="deg",
        asks="angle by which the forearm sinks until the lock holds it",
        right=lambda c, _: c.held - below(c),
        within=0.2,
        hints=(
            "Where are the positions of this lock? Write them down from the first.",
            "Which way does the forearm go once the cable is eased, and which position does it meet first?",
        ),
        credible=(0.0, 60.0),
    ),
    Quantity(
        name="hangs_slack",
        points=2,
        kind="length",
        unit="mm",
        asks="cable that hangs slack then, from your own sinking",
        right=lambda c, mine: taken_at(c, c.held - mine["sinks"]),
        within=0.2,
        hints=(
            "At which elbow flexion is the forearm locked? What had the lift taken up by there?",
            "It lies between two rows. Which part of the way from one to the other?",
        ),
        follows="sinks",
        credible=(1.0, 200.0),
    ),
    Quantity(
        name="lets_go",
        points=3,
        kind="force",
        unit="N",
        asks="least tension at the lift loop with which the lock lets go",
        right=lambda c, _: 1000 * (on_lock(c) - c.free) / c.lever,
        relative=0.01,
        hints=(
            "Take moments about the elbow: the weight extends, the cable flexes, the lock bears the rest.",
            "How much may be left for the lock? And which angle does the forearm make with the vertical?",
        ),
        credible=(1.0, 300.0),
    ),
    Quantity(
        name="turns",
        points=3,
        kind="moment",
        unit="N m",
        asks="moment with which the control attachment strap turns the socket about the humerus",
        right=lambda c, _: across(c) * c.radius / 1000,
        relative=0.01,
        hints=(
            "Take the pull apart: along the arm, and across it. Which of the two can turn the socket?",
            "Take the part across apart once more: towards the axis, and along the tangent.",
        ),
        credible=(0.05, 20.0),
    ),
)
"""Numbers that need no harness."""

MEASURED = (
    Quantity(
        name="lock_travel",
        points=3,
        kind="length",
        unit="mm",
        asks="travel of the lock's cable by the whole motion",
        right=lambda c, _: snug(c) - c.let_out,
        within=0.2,
        hints=(
            "How much longer does the way of the strap become in all?",
            "Three things take something of it before it comes to the lock's cable. Which?",
        ),
        credible=(1.0, 60.0),
    ),
    Quantity(
        name="lift_cable",
        points=2,
        kind="length",
        unit="mm",
        asks="lift cable that the whole motion takes up; paid out counts as negative",
        right=lambda c, _: taken_up(c),
        within=0.2,
        hints=(
            "Each part begins where the one before it ended. Which column is that?",
            "Cable that is paid out has the other sign.",
        ),
        credible=(-60.0, 60.0),
    ),
    Quantity(
        name="forearm_moves",
        points=2,
        kind="angle",
        unit="deg",
        asks="angle by which the unlocked forearm would rise, from your own lift cable; sinking counts as negative",
        right=lambda c, mine: degrees(mine["lift_cable"] / c.arm),
        relative=0.01,
        hints=(
            "The cable runs off a circle whose radius is the moment arm. Which part of the circle is that length?",
            "Length over radius is an angle. In which unit?",
        ),
        follows="lift_cable",
        credible=(-120.0, 120.0),
    ),
    Quantity(
        name="buckle",
        points=3,
        kind="length",
        unit="mm",
        asks="how far the strap stands let out from just snug, half way between the tightest and the loosest setting, "
        "from your own travel of the lock; taken in counts as negative",
        right=lambda c, mine: (mine["lock_travel"] + c.let_out + c.walking) / 2 - c.needs,
        within=0.1,
        hints=(
            "How far does the motion draw the lock's cable with a strap that is just snug, and how far does walking?",
            (
                "Let out by one millimetre, a strap draws one less. With how much let out does each come just to "
                "the travel that the lock needs?"
            ),
        ),
        follows="lock_travel",
        credible=(-40.0, 40.0),
    ),
)
"""Numbers that the harness on the wearer gives."""


def _millimetres(value: float) -> str:
    return f"{value / mm(1):.1f} mm"


CRITERIA = (
    Criterion(
        label="locks",
        points=2,
        share=lambda done, _: 1.0 if done.locks else 0.5 if done.travel >= done.needs - mm(2) else 0.0,
        reached=lambda done, _: (
            f"{_millimetres(done.travel)} come to the lock's cable, wanted {_millimetres(done.needs)}; its strap is "
            f"{_buckled(done)}"
        ),
        met="the motion works the lock.",
        ask="the motion does not work the lock. Which of its parts lengthen the way of the strap, and what does "
        "a looser buckle cost?",
        because="a motion too small for the buckle; idea behind it: extension alone locks, or abduction does",
    ),
    Criterion(
        label="walking-leaves-it",
        points=1,
        share=lambda done, c: 1.0 if done.short >= mm(c.margin) - 1e-9 else 0.0,
        reached=lambda done, c: f"walking comes short by {_millimetres(done.short)}, wanted {c.margin} mm",
        met="walking does not work the lock.",
        ask="walking comes too near to working the lock. What does a looser buckle do to the arm that swings back?",
        because="strap buckled tight; idea behind it: the tighter, the better it locks",
    ),
    Criterion(
        label="front-strap-gives",
        points=1.5,
        share=lambda done, _: 1.0 if done.front_room >= 0.0 else 0.0,
        reached=lambda done, _: (
            f"{_millimetres(abs(done.front_room))} {'left' if done.front_room >= 0 else 'too little'}"
        ),
        met="the anterior support strap still gives at the end of the motion.",
        ask="the anterior support strap is taut before the motion ends. What else gets longer as the shoulder "
        "goes down, and what is there to let it?",
        because="front strap snug; idea behind it: each strap answers to its own motion alone",
    ),
    Criterion(
        label="front-strap-supports",
        points=0.5,
        share=lambda done, c: 1.0 if done.front <= mm(c.front_most) + 1e-9 else 0.0,
        reached=lambda done, c: f"{_millimetres(done.front)} let out, at most {c.front_most} mm",
        met="the anterior support strap still supports.",
        ask="the anterior support strap is let out too far. What is it there for while the lock rests?",
        because="front strap let out without end",
    ),
    Criterion(
        label="forearm-stays",
        points=1,
        share=lambda done, _: 1.0 if abs(done.motion.lift) <= mm(DRIFT) else 0.0,
        reached=lambda done, _: (
            f"{_millimetres(abs(done.motion.lift))} {'taken up' if done.motion.lift >= 0 else 'paid out'}, at "
            f"most {DRIFT} mm"
        ),
        met="the motion leaves the lift cable nearly as it is.",
        ask="the motion moves the forearm that the cable holds. Which of its parts pays lift cable out, and "
        "which take it up?",
        because="a part of the motion without its counterpart; idea behind it: every motion takes up",
    ),
    Criterion(
        label="extension-has-room",
        points=0.5,
        share=lambda done, c: 1.0 if _back(done) <= c.back_most + 0.05 else 0.0,
        reached=lambda done, c: f"{_back(done):.0f}°, at most {c.back_most}°",
        met="the arm has room behind it.",
        ask="the arm goes too far back. What besides extension draws the lock's strap?",
        because="extension alone; idea behind it: the lock motion is extension",
    ),
    Criterion(
        label="shoulder-comes-down",
        points=0.5,
        share=lambda done, c: 1.0 if _down(done) <= c.down_most + 0.05 else 0.0,
        reached=lambda done, c: f"{_down(done):.0f}°, at most {c.down_most}°",
        met="the shoulder comes down as far.",
        ask="this shoulder does not come down so far. What besides depression draws the lock's strap?",
        because="depression alone",
    ),
)


def _back(done: LockTrial) -> float:
    return degrees(-done.motion.pose.arm_flexion)


def _down(done: LockTrial) -> float:
    return degrees(-done.motion.pose.shoulder_elevation)


def _buckled(done: LockTrial) -> str:
    return f"{_millimetres(abs(done.let_out))} {'let out' if done.let_out >= 0 else 'taken in'} from just snug"


ITEMS = (
    Choice(
        name="strap",
        points=2,
        asks="which strap does not do its work on the wearer who comes in",
        statements=STRAPS,
        right=lambda c: str(c.seen),
        hints=(
            "What still works, and what does not: suspension, lift and device, or the lock?",
            "Which strap must hold still for what fails here?",
        ),
    ),
    *MEASURED,
    *UNMEASURED,
    Choice(
        name="comes_of_it",
        points=2,
        asks="what comes of it",
        statements=COMES_OF_IT,
        right=lambda c: OF_SCENE[c.scene],
        hints=(
            "Ask in this order: is the lock on or off, what bears the weight as it is worked, and what after that?",
        ),
    ),
    Order(
        name="sequence",
        points=6,
        asks="the steps of the errand, from where your table begins to where it ends, without a detour",
        steps=STEPS,
        right=right_orders,
        comes_to=comes_to,
        hints=(
            (
                "Say after each step what holds the forearm: the cable, the lock, or its stop. What must hold it "
                "while the lock is worked?"
            ),
            (
                "One pull lifts or opens. What decides which of them it does, and what must become of the cable "
                "after a lock?"
            ),
        ),
    ),
    Design(
        name="design",
        asks="a lock motion for your wearer, and the two straps that let it work",
        settings=(
            Setting("back", "angle", "deg", f"extension of the arm, up to {MOST['back']:.0f}°"),
            Setting("away", "angle", "deg", f"abduction of the arm beyond hanging, up to {MOST['away']:.0f}°"),
            Setting("down", "angle", "deg", f"depression of the shoulder, up to {MOST['down']:.0f}°"),
            Setting(
                "short", "length", "mm", "how far walking comes short of the lock's travel, by the lock strap's buckle"
            ),
            Setting("front", "length", "mm", "anterior support strap let out from just snug"),
        ),
        wearer=lambda c: above_elbow(own_wearer(c.values)),
        simulate=lambda wearer, choice, c: trial(wearer, choice, mm(c.needs)),
        criteria=CRITERIA,
        works=lambda done: done.serves,
        bodies=other_people(other_bodies(shorter=110, narrower=90)),
        bodies_points=2.0,
        graded_on=GRADED_ON,
    ),
    Written(
        name="teach",
        asks="how you teach a wearer to lift, lock, grasp and let go",
        rubric=(
            (
                1,
                (
                    "goes step by step: the lock alone, and lift and lower with the elbow free; then both, then the "
                    "device, then all"
                ),
            ),
            (1, "says what must hold the forearm while the lock is worked, locking and unlocking, and why"),
            (1, "says how the wearer knows how the lock stands, and what to do if it was worked once too often"),
            (
                1,
                (
                    "says when each step may be left for the next, and how wearer and bystanders are kept from a "
                    "falling forearm"
                ),
            ),
        ),
    ),
)
