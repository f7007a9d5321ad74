"""Exercise 6, the whole chain: what is asked, and hints."""

from __future__ import annotations

from math import degrees, floor

from controlkit.checking import (
    Case,
    Choice,
    Criterion,
    Design,
    Diagnosis,
    Quantity,
    Setting,
    Written,
    own_wearer,
)
from controlkit.exercises.ex06.bench import BENT, LOAD, SHUT, SLIP, ChainTrial, trial
from controlkit.exercises.ex06.case import (
    FLY,
    KEEP,
    RING,
    STILL,
    TABLE,
    arrives,
    let_out,
    lost,
    may,
    short,
    there,
)
from controlkit.exercises.ex06.faults import READINGS, STATEMENTS, decides, fault_of
from controlkit.exercises.ex06.ideas import RUNS_OUT
from controlkit.exercises.shared.wearers import CONTROL_STRAP, CROSSBAR, GRADED_ON, RING_BELOW_C7, other_bodies
from controlkit.mechanics.chain import TASKS
from controlkit.units import mm

_WHICH = {(False, False): "neither", (True, False): "excursion", (False, True): "force", (True, True): "both"}


def runs_out(c: Case) -> str:
    """Which budget runs out first, as the word of a statement."""
    return _WHICH[short(c)]


def runs_out_from(c: Case, own: float) -> tuple[str, ...]:
    """The same from a student's own pull at the hanger [N]."""
    return (_WHICH[there(c) < c.needs, own > may(c)],)


def serves(done: ChainTrial) -> bool:
    """Whether a design does on a body what depends on the body."""
    opens = done.table >= TABLE and done.fly >= FLY
    return opens and done.mouth <= STILL and done.rest <= SHUT and done.stays_on


def practised(done: ChainTrial) -> bool:
    """Whether the ring lies where a ring is fitted, to a tenth of a millimetre."""
    return RING[0] - mm(0.1) <= done.ring <= RING[1] + mm(0.1)


def _percent(share: float) -> str:
    """A share as a check shows it, rounded down: what falls short by little must not look as if it reached."""
    return f"{floor(100 * share + 1e-9)} %"


CRITERIA = (
    Criterion(
        label="opens-at-the-table",
        points=0.75,
        share=lambda done, _: 1.0 if done.table >= TABLE else 0.0,
        reached=lambda done, _: f"{_percent(done.table)}, wanted {_percent(TABLE)}",
        met="it opens far enough at the table on command.",
        ask="it opens too little at the table, where the arm gives most. Which settings add excursion, and which "
        "only take it?",
        because="captured excursion short everywhere; ideas behind it: the published spot suits everybody, slack "
        "costs nothing",
    ),
    Criterion(
        label="opens-at-the-fly",
        points=1.25,
        share=lambda done, _: 1.0 if done.fly >= FLY else 0.5 if done.fly >= FLY - 0.2 else 0.0,
        reached=lambda done, _: f"{_percent(done.fly)}, wanted {_percent(FLY)}",
        met="it opens far enough at the fly on command.",
        ask="it opens too little at the fly, where only the scapulae are left. Which strap takes up their motion, "
        "which settings give the control strap more travel, and what does slack cost there?",
        because="captured excursion short at the fly; idea behind it: what works at the table works everywhere",
    ),
    Criterion(
        label="still-at-the-mouth",
        points=1.25,
        share=lambda done, _: 1.0 if done.mouth <= STILL else 0.5 if done.mouth <= 3 * STILL else 0.0,
        reached=lambda done, _: f"{done.mouth / mm(1):.1f} mm, at most {STILL / mm(1):.0f} mm",
        met="it stays shut at the mouth while the wearer draws the scapula back.",
        ask="it opens inadvertently at the mouth, although the wearer draws the scapula back. Which settings give "
        "less for the arm's motion, and which give it back as slack?",
        because="inadvertent opening; ideas behind it: more excursion is always better, a strap "
        "must be snug in every pose",
    ),
    Criterion(
        label="shut-at-rest",
        points=0.5,
        share=lambda done, _: 1.0 if done.rest <= SHUT else 0.0,
        reached=lambda done, _: f"{done.rest / mm(1):.1f} mm, at most {SHUT / mm(1):.1g} mm",
        met="it stays shut while the arm hangs.",
        ask="it is held partly open while the arm hangs. What does a strap do that is shorter than its path?",
        because="strap taken in too far; idea behind it: a tighter harness only adds excursion",
    ),
    Criterion(
        label="ring-as-practised",
        points=0.5,
        share=lambda done, _: 1.0 if practised(done) else 0.0,
        reached=lambda done, _: (
            f"{done.ring / mm(1):.0f} mm below C7, from {RING[0] / mm(1):.0f} to {RING[1] / mm(1):.0f} mm"
        ),
        met="the ring lies where a ring is fitted.",
        ask="the ring lies where no ring is fitted. What does the strap cross there, and which other settings give "
        "travel?",
        because="ring placed by excursion alone; idea behind it: lower is always better",
    ),
    Criterion(
        label="stays-on",
        points=0.75,
        share=lambda done, _: 1.0 if done.stays_on else 0.0,
        reached=lambda done, _: f"{floor(done.carries)} N at {SLIP / mm(1):.0f} mm of slip, wanted {LOAD:.0f} N",
        met="the prosthesis stays on under the load.",
        ask="the prosthesis slips too far under the load. Which strap holds it up, and what does its ease cost?",
        because="anterior support strap let out too far; idea behind it: ease is free",
    ),
    Criterion(
        label="pull-arrives",
        points=0.5,
        share=lambda done, _: 1.0 if done.arrives >= KEEP else 0.0,
        reached=lambda done, _: f"{_percent(done.arrives)}, wanted {_percent(KEEP)}",
        met="enough of the pull arrives, the elbow at a right angle.",
        ask="too little of the pull arrives. What does a housing do with length that it does not need?",
        because="housing too long; idea behind it: too long is on the safe side",
    ),
    Criterion(
        label="elbow-bends",
        points=0.5,
        share=lambda done, _: 1.0 if degrees(done.elbow) >= 134.9 else 0.0,
        reached=lambda done, _: f"{floor(degrees(done.elbow) + 0.1)}°, wanted {degrees(BENT):.0f}°",
        met="the elbow bends as far as it must.",
        ask="the elbow is stopped before it is bent fully. What comes taut behind it?",
        because="housing too short",
    ),
    Criterion(
        label="within-strength",
        points=0.5,
        share=lambda done, c: 1.0 if done.pull <= TASKS["repeat"] * c.strength else 0.0,
        reached=lambda done, c: f"{done.pull:.0f} N, at most {TASKS['repeat'] * c.strength:.0f} N",
        met="the wearer can open it fully many times a day.",
        ask="opening it fully takes more than the wearer can give many times a day. What makes the pull, and what is "
        "lost of it?",
        because="too many bands, or a housing that rubs; idea behind it: more bands only add grip",
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
)

ITEMS = (
    Quantity(
        name="captured",
        points=4,
        kind="length",
        unit="mm",
        asks="excursion captured at the table on command, arm and scapulae together",
        right=lambda c, _: float(c.generated_table_commanded - lost(c)),
        within=0.5,
        hints=(
            "First: how much do both motions generate together? Then: what takes some of it?",
            "Three rows of the next table take excursion, one takes force.",
        ),
        credible=(1.0, 200.0),
    ),
    Quantity(
        name="harness_force",
        points=3,
        kind="force",
        unit="N",
        asks="pull at the hanger that opens the other device as far as the task asks, in the position of the budget",
        right=lambda c, _: c.full_force / arrives(c),
        relative=0.003,
        hints=(
            "Which end of the cable has the larger force while the wearer pulls?",
            "A share of the pull arrives. Which force is the whole, which the share?",
        ),
    ),
    Choice(
        name="runs_out_first",
        points=2,
        asks="Which budget does not pay for that opening in that position, as often as the task asks",
        statements=RUNS_OUT,
        right=runs_out,
        follows="harness_force",
        right_from=runs_out_from,
        hints=("Write four numbers in two rows: travel needed and there, pull asked and allowed.",),
    ),
    Quantity(
        name="buckle",
        points=3,
        kind="length",
        unit="mm",
        asks="mark at which the buckle must stand so that the device just stays shut at the mouth, the wearer drawing "
        "the scapula back",
        right=lambda c, _: float(c.snug_at + c.travel_mouth_back),
        within=0.5,
        hints=(
            "How much travel arrives at the device there, inadvertently?",
            "Which row of the table is it in which the wearer does something about it?",
        ),
        credible=(0.1, 300.0),
    ),
    Quantity(
        name="fly_left",
        points=2,
        kind="length",
        unit="mm",
        asks="cable travel that is left at the fly on command, with the buckle there and the new cable, every "
        "millimetre of slack counted as lost, from your own buckle",
        right=lambda c, mine: c.travel_fly_commanded - let_out(c, mine["buckle"]) - c.longer,
        within=0.5,
        hints=(
            "How much was there with the strap just snug?",
            "Before the device moves, strap and cable must come taut. How much of the motion does that take?",
        ),
        follows="buckle",
    ),
    Diagnosis(
        name="diagnosis",
        asks="what is wrong with the prosthesis on the shelf, and the reading that tells it from every other fault",
        faults=STATEMENTS,
        readings=READINGS,
        fault=fault_of,
        decides=decides,
        fault_points=2,
        reading_points=1,
        hints=(
            "Which readings have changed by more than a scale or a tape can be off, two newtons or two millimetres?",
            "Go along the chain from neck to fingertips: up to where is all as it was when fitted?",
        ),
    ),
    Design(
        name="design",
        asks="ring, crossbar, both straps, bands and housing for your wearer",
        settings=(
            RING_BELOW_C7,
            CROSSBAR,
            CONTROL_STRAP,
            Setting("support_strap", "length", "mm", "anterior support strap let out, or taken in with a minus sign"),
            Setting("bands", "ratio", "", "rubber bands of the hook", counts="bands"),
            Setting("housing_spare", "length", "mm", "housing beyond the shortest that lets the elbow bend"),
        ),
        wearer=lambda c: own_wearer(c.values),
        simulate=lambda wearer, choice, c: trial(wearer, choice, mm(c.width)),
        criteria=CRITERIA,
        works=serves,
        bodies=other_bodies(shorter=110, narrower=90),
        bodies_points=2.0,
        graded_on=GRADED_ON,
    ),
    Written(
        name="why",
        asks="why your design looks as it does",
        rubric=(
            (1, "says why the same excursion that is wanted at the fly is unwanted at the mouth"),
            (
                1,
                "names a setting that changes the two unequally, and why: arm and scapulae move different points",
            ),
            (1, "says what one more band would have changed, in force and in grip, and what not"),
            (1, "says what the wearer must learn to do at the mouth and at the fly, and what to report"),
        ),
    ),
)
