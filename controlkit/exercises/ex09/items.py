"""Exercise 9, other patterns: what is asked, and hints."""

from __future__ import annotations

from math import degrees, floor, inf

from controlkit.checking import Choice, Criterion, Design, Formula, Quantity, Setting, Written, own_wearer
from controlkit.exercises.ex09.bench import LEAST, SHUT, PatternTrial, trial
from controlkit.exercises.ex09.case import (
    FLAT,
    at_strap,
    borne,
    demands,
    drawn,
    forward,
    load,
    most,
    radius,
    slip,
    verdict,
)
from controlkit.exercises.ex09.formula import FORMULAS, LAWS, RIGHT
from controlkit.exercises.ex09.words import CHANGES, COMES, DESIGNED, LESS, PATTERNS, WHICH
from controlkit.exercises.shared.wearers import CONTROL_STRAP, GRADED_ON, other_bodies
from controlkit.units import mm

UNMEASURED = (
    Quantity(
        name="line_load",
        points=3,
        kind="line load",
        unit="N/mm",
        asks="line load of the loop in the armpit",
        right=lambda c, _: c.tension / radius(c),
        relative=0.01,
        hints=(
            "What makes a taut strap press: how much it pulls, or how sharply it goes round?",
            "The length and the angle of an even curve give its radius. In which unit is the angle then?",
        ),
        credible=(0.05, 80.0),
    ),
    Quantity(
        name="pressure",
        points=2,
        kind="pressure",
        unit="kPa",
        asks="mean pressure of the loop on the skin there, from your own line load",
        right=lambda c, mine: 1000 * mine["line_load"] / c.width,
        relative=0.01,
        hints=(
            "Over which measure of the strap is a line load spread?",
            "A newton on a square millimetre: how many pascals is that?",
        ),
        follows="line_load",
        credible=(1.0, 1000.0),
    ),
    Quantity(
        name="largest_tension",
        points=2,
        kind="force",
        unit="N",
        asks="largest tension of the loop with which the armpit bears it",
        right=lambda c, _: most(c),
        relative=0.01,
        hints=(
            "The law of the line load has three quantities. Which two are known?",
            "Which measure of a circle stands in it, and which was measured?",
        ),
        credible=(1.0, 300.0),
    ),
    Quantity(
        name="amplified_pull",
        points=3,
        kind="force",
        unit="N",
        asks="pull of the control strap with which the device is open",
        right=lambda c, _: at_strap(c),
        relative=0.01,
        hints=(
            "Go from the device towards the wearer. Which tension has the cable at the amplifier?",
            (
                "Travel times force is work. If the travel becomes more, what becomes of the force, and what does "
                "rubbing add?"
            ),
        ),
        credible=(5.0, 500.0),
    ),
)
"""Numbers that need no harness on the wearer."""

MEASURED = (
    Quantity(
        name="slip",
        points=3,
        kind="length",
        unit="mm",
        asks="slip of the socket under what hangs there",
        right=lambda c, _: slip(c, load(c)),
        within=0.1,
        hints=(
            "Which force do the straps hold up? All that hangs below them has a weight.",
            "That force lies between two rows of the table. Which part of the way from one to the other?",
        ),
        credible=(1.0, 60.0),
    ),
    Quantity(
        name="opens_unasked",
        points=2,
        kind="length",
        unit="mm",
        asks="how far the load parts the fingertips, from your own slip",
        right=lambda c, mine: (drawn(c, mine["slip"]) - c.let_out) * c.parts,
        within=0.3,
        relative=0.01,
        hints=(
            "As the socket goes down, does it draw the cable or give it slack? Read the table at your slip.",
            "What takes up the first of it, and what does the hook make of the rest?",
        ),
        follows="slip",
        credible=(0.0, 90.0),
    ),
    Quantity(
        name="more_cable",
        points=3,
        kind="length",
        unit="mm",
        asks="how much more cable the chest strap draws than the figure of eight let out so, from your own slip",
        right=lambda c, mine: forward(c, "chest") - forward(c, "eight") + drawn(c, mine["slip"]),
        within=0.2,
        hints=(
            "How far must the control strap of the eight be let out for the load to leave the cable alone?",
            (
                "Let out by a millimetre, a strap draws a millimetre less. What is left, and how much is that "
                "less than with the other pattern?"
            ),
        ),
        follows="slip",
        credible=(0.0, 150.0),
    ),
)
"""Numbers that two patterns on the wearer give."""


def _line(value: float) -> str:
    """A line load as a check shows it: what is above a limit by little must not look as if it were not."""
    return f"{value / 1000:.3f} N/mm"


def _limit(limit: float) -> str:
    return f"at most {limit:g} N/mm" if limit else "nothing is borne there"


def _millimetres(value: float) -> str:
    return f"{value / mm(1):.1f} mm"


def _slipped(done: PatternTrial) -> str:
    if done.slip == inf:
        return "the straps do not carry the load"
    return f"about {_millimetres(done.slip)}"


CRITERIA = (
    Criterion(
        label="spares-the-armpit",
        points=1.25,
        share=lambda done, _: 1.0 if done.pressed[0] <= max(done.demands.armpit, LEAST) else 0.0,
        reached=lambda done, c: f"{_line(done.pressed[0])}, {_limit(borne(c)[0])}",
        met="the sound armpit bears it.",
        ask="the sound armpit bears less than that. What pulls at the loop, and is there a pattern without one?",
        because="the usual pattern, or more bands than are asked for; idea behind it: width lowers a line load",
        counts=lambda done: done.opens,
    ),
    Criterion(
        label="spares-the-chest",
        points=1,
        share=lambda done, _: 1.0 if done.pressed[1] <= max(done.demands.side, LEAST) else 0.0,
        reached=lambda done, c: f"{_line(done.pressed[1])}, {_limit(borne(c)[1])}",
        met="the chest bears it.",
        ask="the chest bears less than that. Where does the chest strap take the pull that the loop no longer takes?",
        because="a chest strap where the trunk bears nothing, or more bands than are asked for; idea behind it: "
        "what spares the armpit presses nowhere",
        counts=lambda done: done.opens,
    ),
    Criterion(
        label="spreads-it",
        points=0.5,
        share=lambda done, _: 1.0 if done.pressure <= done.demands.pressure else 0.0,
        reached=lambda done, _: (
            f"mean pressure {done.pressure / 1000:.1f} kPa, at most {done.demands.pressure / 1000:.0f} kPa"
        ),
        met="the straps spread what they press.",
        ask="it is pressed on too little width. Which setting changes the pressure and leaves the line load?",
        because="narrow straps, or more bands than are asked for",
        counts=lambda done: done.opens,
    ),
    Criterion(
        label="lies-flat",
        points=0.25,
        share=lambda done, c: 1.0 if done.width <= mm(c.thin + FLAT) + 1e-9 else 0.0,
        reached=lambda done, c: f"{_millimetres(done.width)} wide, at most {c.thin + FLAT} mm",
        met="the straps lie flat.",
        ask="so wide a strap folds. How wide must it be for the pressure that is let?",
        because="width without end; idea behind it: the wider, the better",
    ),
    Criterion(
        label="grips",
        points=0.5,
        share=lambda done, _: 1.0 if done.grip >= done.demands.grip else 0.0,
        reached=lambda done, _: f"{done.grip:.1f} N, wanted {done.demands.grip:.0f} N",
        met="it grips enough.",
        ask="it grips too little. What closes this hook?",
        because="bands left off to spare the armpit",
    ),
    Criterion(
        label="opens",
        points=1,
        share=lambda done, _: 1.0 if done.opens else 0.5 if done.opening >= done.demands.opening - mm(8) else 0.0,
        reached=lambda done, _: (
            f"{_millimetres(done.opening)} at {degrees(done.demands.reach):.0f}°, wanted "
            f"{_millimetres(done.demands.opening)}"
        ),
        met="it opens where it is wanted.",
        ask="it opens too little where it is wanted. What does a strap cost that is let out, and what does each band?",
        because="control strap let out too far; idea behind it: slack costs nothing",
    ),
    Criterion(
        label="stays-shut",
        points=0.5,
        share=lambda done, _: 1.0 if done.early <= SHUT else 0.0,
        reached=lambda done, _: (
            f"{_millimetres(done.early)} up to {degrees(done.demands.still):.0f}°, at most {_millimetres(SHUT)}"
        ),
        met="it stays shut until it is wanted.",
        ask="it opens before it is wanted. Which buckle makes the cable come later?",
        because="control strap too tight; idea behind it: a tighter harness only adds excursion",
        counts=lambda done: done.opens,
    ),
    Criterion(
        label="holds-the-socket",
        points=1,
        share=lambda done, _: 1.0 if done.slip <= done.demands.slip else 0.0,
        reached=lambda done, c: f"{_slipped(done)}, at most {c.slips} mm",
        met="the straps hold the socket.",
        ask="the socket slips too far. Which strap holds it up in your pattern, and how does its buckle stand?",
        because="support strap slack, or a pattern that carries nothing",
    ),
    Criterion(
        label="load-leaves-it-shut",
        points=0.5,
        share=lambda done, _: 1.0 if done.parted <= SHUT else 0.0,
        reached=lambda done, _: f"{_millimetres(done.parted)}, at most {_millimetres(SHUT)}",
        met="the load leaves the device shut.",
        ask="the load opens the device. What does a socket that goes down do to the way of the control strap?",
        because="slip without slack; idea behind it: only the wearer works the cable",
    ),
    Criterion(
        label="easy-at-rest",
        points=0.5,
        share=lambda done, _: 1.0 if done.rest <= done.demands.easy else 0.0,
        reached=lambda done, _: f"{floor(10 * done.rest + 0.999) / 10:.1f} N, at most {done.demands.easy:g} N",
        met="the harness is easy while the arm hangs.",
        ask="a strap pulls all day while the arm hangs. Which of them is taken in further than the slip asks for?",
        because="straps taken in; idea behind it: the tighter, the better it holds",
    ),
)

ITEMS = (
    Choice(
        name="pattern",
        points=2,
        asks="which pattern you try first on the wearer who comes in",
        statements=PATTERNS,
        right=lambda c: COMES[c.comes][1],
        hints=(
            "Where may nothing press, and does anything else hold this socket up?",
            "Of the patterns that are left: which asks least of this wearer?",
        ),
    ),
    *UNMEASURED[:2],
    Choice(
        name="changes",
        points=2,
        asks="which of tension, line load and mean pressure become less",
        statements=LESS,
        right=lambda c: CHANGES[c.changed][1],
        hints=(
            "What sets the tension? What, besides, sets the line load? What, besides, the pressure?",
            "Which one quantity is changed here, and which of the three does it stand in?",
        ),
    ),
    *MEASURED,
    UNMEASURED[2],
    Choice(
        name="which",
        points=2,
        asks="which harness your wearer gets, the least changed that the armpit bears, from your own largest tension",
        statements=WHICH,
        right=lambda c: verdict(c, most(c)),
        hints=(
            "Which tension of the loop in the table is within your largest?",
            "What may be changed without losing a grip that is needed?",
        ),
        follows="largest_tension",
        right_from=lambda c, own: (verdict(c, own),),
    ),
    UNMEASURED[3],
    Formula(
        name="amplified_travel",
        asks="the travel that comes to the cable beyond an excursion amplifier [mm]",
        arguments=(
            "generated, what the wearer's motion generates at the control strap [mm]",
            "give, how far straps and skin give for each newton of the control strap's pull [mm/N]",
            "pull, tension of the cable beyond the amplifier [N]",
            "ratio, millimetres of cable for each millimetre of strap [-]",
            "efficiency, work that the amplifier hands on, share of what goes in [-]",
        ),
        right=RIGHT,
        inputs=lambda c: (
            (60, c.gives, c.opens, c.ratio, c.works / 100),
            (45, 0.1, 30, 1.5, 0.8),
            (80, 0.3, 25, 2.2, 0.85),
        ),
        results_points=2,
        relative=2e-3,
        laws=LAWS,
        ideas=FORMULAS,
        hints=(
            "What does the control strap pull before the amplifier, and how much do straps and skin give by that?",
            "Take the give off where it happens: before the amplifier. What does the amplifier make of the rest?",
        ),
    ),
    Design(
        name="design",
        asks="a pattern for the wearer of your table, and its settings",
        settings=(
            Setting("pattern", "", "", "a word from the list", words=DESIGNED),
            Setting("bands", "ratio", "", "bands on the hook", counts="bands"),
            CONTROL_STRAP,
            Setting(
                "support_strap",
                "length",
                "mm",
                "anterior support strap, or suspensor of the saddle, let out, or taken in with a minus sign",
            ),
            Setting("width", "length", "mm", "width of the straps"),
        ),
        wearer=lambda c: own_wearer(c.values),
        simulate=lambda wearer, choice, c: trial(wearer, choice, demands(c)),
        criteria=CRITERIA,
        works=lambda done: done.serves,
        bodies=other_bodies(shorter=110, narrower=90),
        bodies_points=2.0,
        graded_on=GRADED_ON,
    ),
    Written(
        name="recommend",
        asks="what you recommend to your wearer, and why",
        rubric=(
            (
                1,
                (
                    "names a pattern, and what it suspends, what it captures and where it presses, with numbers of "
                    "the tables"
                ),
            ),
            (1, "says what the wearer gives up with it, against at least one other pattern"),
            (1, "says what the load does to socket and cable, and which buckle answers to that"),
            (1, "says what is looked at on the skin, how soon and by whom, what means stop, and what no table can say"),
        ),
    ),
)
