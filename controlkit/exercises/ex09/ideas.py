"""Exercise 9: what learners believe, each as a model of the same case."""

from __future__ import annotations

from math import pi, radians, sin

from controlkit.checking import Case, WrongIdea
from controlkit.exercises.ex09.bench import ROWS
from controlkit.exercises.ex09.case import HEAVY, at_strap, column, drawn, forward, load, radius, slip
from controlkit.exercises.shared.readings import step_of


def _rows_beside(c: Case) -> tuple[float, float]:
    """Both rows between which the load lies [mm]."""
    k = step_of(column(c, "carried"), load(c))
    return float(ROWS[k]), float(ROWS[k + 1])


def _upside_down(c: Case) -> tuple[float, ...]:
    """The amplifier's efficiency multiplied where it divides, or both [N]."""
    cable, amplifier = c.arrives / 100, c.works / 100
    return c.opens * c.ratio / cable * amplifier, c.opens * c.ratio * cable * amplifier


IDEAS = (
    WrongIdea(
        label="degrees-for-radians",
        item="line_load",
        model=lambda c, _: c.tension * c.turn / c.arc,
        ask="The length of a curve is its radius times the angle it turns by. In which unit must that angle stand?",
        held_because="angles are met in degrees, and length over angle looks right in either",
        share=0.5,
    ),
    WrongIdea(
        label="diameter-for-radius",
        item="line_load",
        model=lambda c, _: c.tension / (2 * radius(c)),
        ask="You divided by the whole width of the circle. Which of its measures stands in tension over curve?",
        held_because="a round thing is measured across",
        share=0.5,
    ),
    WrongIdea(
        label="pull-of-the-control-strap",
        item="line_load",
        model=lambda c, _: (c.tension + c.more) / radius(c),
        ask="So hard pulls the control strap. Does that strap lie in the armpit?",
        held_because="one force is thought to run through the whole harness",
        share=0.25,
    ),
    WrongIdea(
        label="shared-out-along-the-strap",
        item="line_load",
        model=lambda c, _: c.tension / c.arc,
        ask="You shared the pull out along the webbing. A straight strap pulled as hard, on as much skin: how "
        "much would it press?",
        held_because="a load per length is taken for a force divided by a length at hand",
        share=0.25,
    ),
    WrongIdea(
        label="both-ends-in-one-direction",
        item="line_load",
        model=lambda c, _: 2 * c.tension * sin(radians(c.turn) / 2) / c.arc,
        ask="That is what both ends pull together, in one direction. Does every piece of the curve press in that "
        "direction?",
        held_because="forces are put together at one point, as on a ring",
        share=0.5,
    ),
    WrongIdea(
        label="tension-times-radius",
        item="line_load",
        model=lambda c, _: c.tension * radius(c),
        ask="In your answer a wider curve presses harder. Which presses more at the same pull: a thin wire on "
        "the finger, or a loop round a bucket?",
        held_because="force and distance are multiplied by habit",
    ),
    WrongIdea(
        label="pull-over-the-area",
        item="pressure",
        model=lambda c, _: 1000 * c.tension / (c.width * c.arc),
        ask="You divided the tension by all the skin under the loop. Does the tension point into the skin?",
        held_because="pressure is force over area, and the force at hand is the tension",
        share=0.25,
    ),
    WrongIdea(
        label="times-the-width",
        item="pressure",
        model=lambda c, mine: mine["line_load"] * c.width,
        ask="In your answer a wider strap presses harder on each piece of skin. Does it?",
        held_because="width is put in as a factor without asking what more of it does",
    ),
    WrongIdea(
        label="length-for-width",
        item="pressure",
        model=lambda c, mine: 1000 * mine["line_load"] / c.arc,
        ask="A line load is already for each millimetre of length. Across which measure of the strap is it spread?",
        held_because="one measure of the strap is taken for the other",
        share=0.25,
    ),
    WrongIdea(
        label="prosthesis-weighs-nothing",
        item="slip",
        model=lambda c, _: slip(c, load(c, c.hangs)),
        ask="That is what the bucket does. What else do the straps hold up?",
        held_because="what one carries is felt as the load, not the arm that carries it",
        share=0.5,
    ),
    WrongIdea(
        label="kilograms-for-newtons",
        item="slip",
        model=lambda c, _: slip(c, load(c) / HEAVY),
        ask="The table is in newtons. In what does a mass stand?",
        held_because="scales show kilograms, and so kilograms are taken for forces",
        share=0.25,
    ),
    WrongIdea(
        label="twice-the-load-twice-the-slip",
        item="slip",
        model=lambda c, _: ROWS[-1] * load(c) / c[f"carried_{ROWS[-1]}"],
        ask="You let slip grow with the load from the first newton. Is that what the table shows?",
        held_because="harness and flesh are taken for a spring with one stiffness",
        share=0.25,
    ),
    WrongIdea(
        label="one-row-as-it-stands",
        item="slip",
        model=lambda c, _: _rows_beside(c),
        ask="That row stands for another load. Which part of the way to the next row is yours?",
        held_because="a table is taken for a list of all that can be",
        share=0.5,
    ),
    WrongIdea(
        label="slack-brings-it-forward",
        item="opens_unasked",
        model=lambda c, mine: (drawn(c, mine["slip"]) + c.let_out) * c.parts,
        ask="A strap that was let out: does it draw the cable earlier, or later?",
        held_because="more strap is thought to be more movement",
        share=0.25,
    ),
    WrongIdea(
        label="as-if-just-snug",
        item="opens_unasked",
        model=lambda c, mine: drawn(c, mine["slip"]) * c.parts,
        ask="So far it would open with a strap that is just snug. How does this one stand?",
        held_because="a setting made at the buckle is forgotten once the wearer moves",
        share=0.5,
    ),
    WrongIdea(
        label="cable-comes-as-far-as-the-socket",
        item="opens_unasked",
        model=lambda c, mine: (mine["slip"] - c.let_out) * c.parts,
        ask="You let the cable come as far as the socket goes. Is that what the table shows, and does the strap "
        "run along the arm?",
        held_because="both are drawn on the same arm, so they are thought to go the same way",
        share=0.25,
    ),
    WrongIdea(
        label="fingertips-go-with-the-cable",
        item="opens_unasked",
        model=lambda c, mine: drawn(c, mine["slip"]) - c.let_out,
        ask="So much cable comes. What does the hook make of a millimetre of it?",
        held_because="the device is taken for the end of the cable",
        share=0.5,
    ),
    WrongIdea(
        label="lever-the-wrong-way",
        item="opens_unasked",
        model=lambda c, mine: (drawn(c, mine["slip"]) - c.let_out) / c.parts,
        ask="In your answer the fingertips part by less than the cable comes. What does the table say?",
        held_because="a ratio is divided by when it should multiply",
        share=0.25,
    ),
    WrongIdea(
        label="as-both-patterns-stand",
        item="more_cable",
        model=lambda c, _: forward(c, "chest") - forward(c, "eight"),
        ask="You took both control straps just snug. What has the figure of eight paid for staying shut under "
        "the load?",
        held_because="readings are laid side by side, whatever was done in between",
        share=0.5,
    ),
    WrongIdea(
        label="letting-out-gains",
        item="more_cable",
        model=lambda c, mine: forward(c, "chest") - forward(c, "eight") - drawn(c, mine["slip"]),
        ask="In your answer the figure of eight has gained by letting out. What draws the cable while the strap "
        "is loose?",
        held_because="a longer strap is thought to reach further",
        share=0.25,
    ),
    WrongIdea(
        label="let-out-by-the-slip",
        item="more_cable",
        model=lambda c, mine: forward(c, "chest") - forward(c, "eight") + mine["slip"],
        ask="You let the strap out by as much as the socket slips. What does the table say the slip does to the cable?",
        held_because="slip and what it does to the strap are taken for one",
        share=0.5,
    ),
    WrongIdea(
        label="figure-of-eight-alone",
        item="more_cable",
        model=lambda c, mine: forward(c, "eight") - drawn(c, mine["slip"]),
        ask="That is what the figure of eight has left. What is it to be compared with?",
        held_because="a difference is asked for, and one of its parts is found",
        share=0.25,
    ),
    WrongIdea(
        label="all-across-the-pad",
        item="largest_tension",
        model=lambda c, _: c.bears * c.across,
        ask="You multiplied by the whole width of the circle. From where to where goes its radius?",
        held_because="what was measured is put in, whatever the law asks for",
        share=0.5,
    ),
    WrongIdea(
        label="line-load-times-width",
        item="largest_tension",
        model=lambda c, _: c.bears * c.webbing,
        ask="A line load is for each millimetre along the strap. Does the strap's width stand in its law?",
        held_because="a limit of the skin is thought to be multiplied by the strap's width",
        share=0.25,
    ),
    WrongIdea(
        label="all-that-presses",
        item="largest_tension",
        model=lambda c, _: c.bears * pi * c.across / 2,
        ask="You added up what half the circle presses. Does all of that point one way, against the two ends?",
        held_because="a load per length is multiplied by the length",
        share=0.25,
    ),
    WrongIdea(
        label="curve-turned-over",
        item="largest_tension",
        model=lambda c, _: 1000 * c.bears / (c.across / 2),
        ask="In your answer a loop may pull less on a rounder pad. What is a pad for?",
        held_because="the law is turned over for another of its quantities",
    ),
    WrongIdea(
        label="amplifier-that-rubs-nowhere",
        item="amplified_pull",
        model=lambda c, _: c.opens / (c.arrives / 100) * c.ratio,
        ask="That amplifier hands on all the work. Does this one?",
        held_because="the ratio is all that is drawn of an amplifier",
        share=0.5,
    ),
    WrongIdea(
        label="cable-that-rubs-nowhere",
        item="amplified_pull",
        model=lambda c, _: c.opens * c.ratio / (c.works / 100),
        ask="You began at the device. What tension has the cable at the amplifier, if only a part arrives?",
        held_because="the loss that is new in the question drives out the one that is always there",
        share=0.5,
    ),
    WrongIdea(
        label="amplifier-saves-force",
        item="amplified_pull",
        model=lambda c, _: at_strap(c) / c.ratio**2,
        ask="In your answer the amplifier gives more travel for less force. Where would the work come from?",
        held_because="amplifier sounds like more of everything",
        share=0.25,
    ),
    WrongIdea(
        label="ratio-costs-nothing",
        item="amplified_pull",
        model=lambda c, _: at_strap(c) / c.ratio,
        ask="You counted what rubs. What does more travel cost besides?",
        held_because="travel and force are thought of apart",
        share=0.25,
    ),
    WrongIdea(
        label="losses-help",
        item="amplified_pull",
        model=lambda c, _: _upside_down(c),
        ask="Somewhere you let friction spare the wearer force. At which of the two?",
        held_because="efficiencies are multiplied, whichever end one starts from",
        share=0.25,
    ),
)
