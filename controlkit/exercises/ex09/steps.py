"""Exercise 9, other patterns: worked steps of a case, the answer in the last line."""

from __future__ import annotations

from math import radians

from controlkit.checking import Case
from controlkit.checking.student.siblings import Worked
from controlkit.exercises.ex09.bench import ROWS
from controlkit.exercises.ex09.case import HEAVY, at_strap, column, drawn, forward, load, most, radius, slip, verdict
from controlkit.exercises.ex09.words import CHANGES, COMES, PATTERNS
from controlkit.exercises.shared.readings import step_of

_CALLED = {one.word: one.says for one in PATTERNS}


def pattern_steps(c: Case) -> str:
    """From the wearer to the pattern."""
    who, word = COMES[c.comes]
    return (
        f"  1. Known: {who}.\n"
        "  2. Ask in this order: what may press where, what holds the socket up, what is to be lifted.\n"
        f"  3. What serves all three with the least of it is the {_CALLED[word].split(',')[0].split(':')[0]}. "
        f"Its word: {word}."
    )


def line_load_steps(c: Case) -> str:
    """Radius, then tension over radius."""
    return (
        f"  1. {c.turn}° are {radians(c.turn):.4f} rad.\n"
        f"  2. The radius is length over angle: {c.arc} / {radians(c.turn):.4f} = {radius(c):.2f} mm.\n"
        f"  3. The loop pulls with {c.tension} N: {c.tension} / {radius(c):.2f} = {c.tension / radius(c):.4f} N/mm."
    )


def pressure_steps(c: Case) -> str:
    """Line load over width."""
    load_ = c.tension / radius(c)
    return (
        f"  1. {load_:.4f} N on each millimetre of length, spread over {c.width} mm of width.\n"
        f"  2. {load_:.4f} / {c.width} = {load_ / c.width:.5f} N/mm².\n"
        f"  3. One N/mm² is 1000 kPa: {1000 * load_ / c.width:.2f} kPa."
    )


def changes_steps(c: Case) -> str:
    """Tension, radius, width."""
    done, word = CHANGES[c.changed]
    return (
        f"  1. Changed: {done}.\n"
        "  2. Line load is tension over radius, pressure is line load over width. The tension is what the cable "
        "asks for.\n"
        f"  3. So less becomes: {word}."
    )


def slip_steps(c: Case) -> str:
    """Weight, then between two rows."""
    carried = column(c, "carried")
    k = step_of(carried, load(c))
    low, high = c[f"carried_{ROWS[k]}"], c[f"carried_{ROWS[k + 1]}"]
    return (
        f"  1. {c.own_mass} + {c.hangs} = {c.own_mass + c.hangs:.1f} kg weigh {HEAVY} x {c.own_mass + c.hangs:.1f} ="
        f" {load(c):.2f} N.\n  2. That lies between {low} N ({ROWS[k]} mm) and {high} N ({ROWS[k + 1]} mm).\n"
        f"  3. {ROWS[k]} + {ROWS[k + 1] - ROWS[k]} x ({load(c):.2f} - {low}) / {high - low} = "
        f"{slip(c, load(c)):.2f} mm."
    )


def _drawn_by(c: Case) -> str:
    """How the cable's travel is read between two rows."""
    down = slip(c, load(c))
    k = step_of(ROWS, down)
    low, high = c[f"drawn_{ROWS[k]}"], c[f"drawn_{ROWS[k + 1]}"]
    return (
        f"  1. At {down:.2f} mm of slip the cable is drawn by {low} + ({high} - {low}) x ({down:.2f} - {ROWS[k]})"
        f" / {ROWS[k + 1] - ROWS[k]} = {drawn(c, down):.2f} mm.\n"
    )


def opens_unasked_steps(c: Case) -> str:
    """Cable drawn, less slack, times the hook."""
    cable = drawn(c, slip(c, load(c))) - c.let_out
    return (
        f"{_drawn_by(c)}  2. The first {c.let_out} mm take up slack: {cable:.2f} mm of cable come to the device.\n"
        f"  3. Each parts the fingertips by {c.parts} mm: {cable * c.parts:.2f} mm."
    )


def more_cable_steps(c: Case) -> str:
    """What letting out costs, and the difference."""
    out = drawn(c, slip(c, load(c)))
    left = forward(c, "eight") - out
    return (
        f"{_drawn_by(c)}  2. Let out by that, the eight draws {forward(c, 'eight')} - {out:.2f} = {left:.2f} mm.\n"
        f"  3. The chest strap draws {forward(c, 'chest')} mm, which is more by {forward(c, 'chest') - left:.2f} mm."
    )


def largest_tension_steps(c: Case) -> str:
    """Line load times radius."""
    return (
        f"  1. The radius is half of what is measured across: {c.across / 2:g} mm.\n"
        "  2. Line load is tension over radius, so tension is line load times radius; the width has no part in it.\n"
        f"  3. {c.bears} x {c.across / 2:g} = {most(c):.2f} N."
    )


def which_steps(c: Case) -> str:
    """The loop's tension beside what is allowed."""
    return (
        f"  1. The loop may pull with {most(c):.2f} N. With {c.bands} bands it pulls with {c.loop} N, with one less"
        f" {c.loop_fewer} N.\n"
        "  2. One band less still grips enough here. A wider strap changes no line load, a figure of nine has "
        "the same loop.\n"
        f"  3. So: {verdict(c, most(c))}."
    )


def amplified_pull_steps(c: Case) -> str:
    """From the device to the strap."""
    cable = 100 * c.opens / c.arrives
    return (
        f"  1. At the amplifier the cable must have {c.opens} / {c.arrives / 100} = {cable:.3f} N.\n"
        f"  2. {c.ratio} times the travel costs {c.ratio} times the force: {cable * c.ratio:.3f} N, if nothing rubs.\n"
        f"  3. Of the work {c.works} % are handed on: {cable * c.ratio:.3f} / {c.works / 100} = {at_strap(c):.2f} N."
    )


def amplified_travel_steps(c: Case) -> str:
    """From the strap to the cable, and a trial of it."""
    pull = c.opens * c.ratio / (c.works / 100)
    lost = c.gives * pull
    return (
        "  1. More travel costs more force, and rubbing costs more still: that is what the control strap must pull.\n"
        "  2. By that pull straps and skin give; so much of what is generated never comes to the amplifier.\n"
        "  3. Whatever comes to it is made larger. Rubbing has no more part in it: it takes force, and no length.\n"
        f"  4. By hand, with 60 mm, {c.gives} mm/N, {c.opens} N, {c.ratio} and {c.works / 100}: the strap pulls "
        f"{pull:.2f} N, {lost:.2f} mm are lost, and {c.ratio * (60 - lost):.2f} mm come."
    )


WORKED: dict[str, Worked] = {
    "pattern": pattern_steps,
    "line_load": line_load_steps,
    "pressure": pressure_steps,
    "changes": changes_steps,
    "slip": slip_steps,
    "opens_unasked": opens_unasked_steps,
    "more_cable": more_cable_steps,
    "largest_tension": largest_tension_steps,
    "which": which_steps,
    "amplified_pull": amplified_pull_steps,
    "amplified_travel": amplified_travel_steps,
}
