"""Exercise 11, checkout and fault-finding: what is asked, and hints."""

from __future__ import annotations

from statistics import mean

from controlkit.checking import Choice, Diagnosis, Formula, Order, Quantity, Written
from controlkit.exercises.ex11.case import (
    HIGH,
    LOW,
    doubt,
    efficiency,
    load,
    meets,
    slipped,
    standard_error,
    trials,
    trials_needed,
)
from controlkit.exercises.ex11.faults import (
    FAULTS_ABOVE,
    FAULTS_BELOW,
    READINGS_ABOVE,
    READINGS_BELOW,
    above_decides,
    above_fault,
    below_decides,
    below_fault,
)
from controlkit.exercises.ex11.formula import FORMULAS, LAWS, RIGHT, tried
from controlkit.exercises.ex11.retake import TESTS, comes_to, right_orders
from controlkit.exercises.ex11.undecided import NEXT, PAIRS, scene
from controlkit.exercises.ex11.words import MEETS

BY_SCALE = (
    Quantity(
        name="efficiency",
        points=4,
        kind="ratio",
        unit="%",
        asks="control efficiency, from every reading that belongs",
        right=lambda c, _: efficiency(c),
        within=0.1,
        hints=(
            "Look along the pulls at the hanger: which of them can the scale not have shown in the same place?",
            "One mean at each end of the cable. Which of them is the whole, which the share?",
        ),
        credible=(20.0, 100.0),
    ),
)
"""A number that needs the scales alone."""

BY_TAPE = (
    Quantity(
        name="opening",
        points=3,
        kind="ratio",
        unit="%",
        asks="share of the full movement of the fingers that opens there, from the mean of the trials",
        right=lambda c, _: 100 * (mean(trials(c)) - c.shut) / c.full,
        within=0.1,
        hints=(
            "How far have the fingers moved: on the table, and worn? What does the tape show while they are shut?",
            "Which of the two movements is the whole?",
        ),
        credible=(1.0, 120.0),
    ),
    Quantity(
        name="standard_error",
        points=2,
        kind="length",
        unit="mm",
        asks="standard error of the mean of your five trials",
        right=lambda c, _: standard_error(c),
        relative=0.005,
        hints=(
            (
                "How far does each trial lie from their mean? Square, add up, divide by one less than there are, "
                "draw the root."
            ),
            "That is the spread of one trial. How does the doubt of a mean fall with the number of trials?",
        ),
        credible=(0.1, 8.0),
    ),
    Quantity(
        name="trials_needed",
        points=3,
        kind="ratio",
        unit="",
        asks="whole trials in all until twice the standard error is no larger than the distance to the limit",
        right=lambda c, mine: float(trials_needed(c, mine["standard_error"])),
        within=0.15,
        counts="trials",
        hints=(
            (
                "By which factor must the standard error come down? It falls with the root of the trials, and trials "
                "are whole."
            ),
            "The square of that factor, times the trials made: which is the first whole number that is not less?",
        ),
        follows="standard_error",
    ),
    Quantity(
        name="slip",
        points=4,
        kind="length",
        unit="mm",
        asks="slip of the socket under the load of the test",
        right=lambda c, _: slipped(c, load(c)),
        within=0.2,
        hints=(
            "Which of the two loads is the lighter for this wearer, in newtons?",
            "It lies between two rows. Where did the edge stand without a pull?",
        ),
        credible=(0.5, 80.0),
    ),
)
"""Numbers that need the wearer."""

ITEMS = (
    *BY_SCALE,
    Formula(
        name="doubt",
        asks="how far an efficiency may be off [-], as a plain share, if each of two scales may be off independently",
        arguments=(
            "device, mean pull at the device [N]",
            "hanger, mean pull at the hanger [N]",
            "scale, what each scale may be off [N]",
        ),
        right=RIGHT,
        inputs=tried,
        results_points=3,
        laws=LAWS,
        ideas=FORMULAS,
        hints=(
            "Which part of itself may each of the two pulls be off by? An efficiency is their ratio.",
            "Two doubts that know nothing of each other come together like the short sides of a right angle.",
        ),
    ),
    Choice(
        name="verdict",
        points=2,
        asks="what these readings say of the two limits",
        statements=MEETS,
        right=lambda c: meets(efficiency(c), doubt(c)),
        follows="efficiency",
        right_from=lambda c, own: (meets(own, doubt(c)),),
        hints=(
            f"Write four numbers: the least and the most that it may be, {LOW:.0f} % and {HIGH:.0f} %.",
            "Where a limit lies between the least and the most, no verdict on it is sure.",
        ),
    ),
    *BY_TAPE,
    Diagnosis(
        name="fault_below",
        asks="what is wrong with the prosthesis below the elbow, and the reading that tells it from every other fault",
        faults=FAULTS_BELOW,
        readings=READINGS_BELOW,
        fault=below_fault,
        decides=below_decides,
        fault_points=2,
        reading_points=1,
        hints=(
            "Which readings have changed by more than they can be off: two newtons, two millimetres, five degrees?",
            "Go along the chain from the device to the neck: up to where is all as it was when fitted?",
        ),
    ),
    Order(
        name="retake",
        points=4,
        asks="the tests that know of what was renewed, each after those that know of some of its parts and of no "
        "others",
        steps=TESTS,
        right=right_orders,
        comes_to=comes_to,
        unfinished="Which test knows of all the parts at once?",
        hints=(
            (
                "Write beside each test the parts of which it knows: bands, housing and liner, cable, control "
                "attachment strap, axilla loop."
            ),
            "Cross out what knows of nothing that was renewed. What knows of the fewest parts comes first.",
        ),
    ),
    Diagnosis(
        name="fault_above",
        asks="what is wrong with the prosthesis above the elbow, and the reading that tells it from every other fault",
        faults=FAULTS_ABOVE,
        readings=READINGS_ABOVE,
        fault=above_fault,
        decides=above_decides,
        fault_points=2,
        reading_points=1,
        hints=(
            (
                "Which readings have changed by more than they can be off: two newtons, two millimetres, six "
                "parts of a hundred?"
            ),
            "Ask of the device, the cable, the lift, the straps, in this order: is all as it was when fitted?",
        ),
    ),
    Choice(
        name="undecided",
        points=2,
        asks="which two faults the readings so far leave undecided",
        statements=PAIRS,
        right=lambda c: scene(c).word,
        hints=(
            "Which readings have changed, and which have not? Each fault of a pair must go with all of them.",
            (
                "A fault that would have moved a reading which is as it was is out, and so is one that would "
                "have left alone what has changed."
            ),
        ),
    ),
    Choice(
        name="measure_next",
        points=2,
        asks="which reading to take next, so that it tells those two apart",
        statements=NEXT,
        right=lambda c: scene(c).next,
        hints=(
            "Write down both faults, and for each reading whether it would go up, go down or stay.",
            "Only one of these readings would come out differently for the one and for the other.",
        ),
    ),
    Written(
        name="checkout_record",
        asks="the checkout record of your own wearer's prosthesis, for a fitter who has never seen it",
        rubric=(
            (
                1,
                (
                    "each reading of the first sitting with its unit, how and in which position it was taken, and "
                    "how often"
                ),
            ),
            (1, "each with what it may be off by, and what was left out, with the reason"),
            (1, "each beside its limit, with who asks it and how that is known, and met, not met or not sure"),
            (1, "what was not measured, among it the skin before and after, and who is to do it"),
            (
                1,
                (
                    "what to do next, in which order, which reading will show that it helped, and when to see the "
                    "wearer again"
                ),
            ),
        ),
    ),
)
