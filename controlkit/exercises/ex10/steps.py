"""Exercise 10: worked steps of a case, the answer in the last line."""

from __future__ import annotations

from math import radians, sin

from controlkit.checking import Case
from controlkit.checking.student.siblings import Worked
from controlkit.exercises.ex10.case import bands_for, begins, crosses, lifted, limb_moment, other_hook, way
from controlkit.exercises.ex10.errand import right_orders
from controlkit.exercises.ex10.words import CHANGES, OF_CHANGE, OF_SCENE, SCENES
from controlkit.mechanics.elbow import GRAVITY
from controlkit.mechanics.elbow.short_limb import SELF_SUSPENDING, SPLIT_SOCKET
from controlkit.units import deg


def crosses_steps(c: Case) -> str:
    """A triangle of three pulls."""
    return (
        "  1. Three pulls balance: laid end to end they make a triangle, and each goes with the sine of the "
        "angle between the other two straps.\n"
        f"  2. The strap that pulls lies opposite {c.front_to_control}°, whose sine is "
        f"{sin(radians(c.front_to_control)):.4f};"
        f" the one that leads to the other cable opposite {c.own_to_front}°, sine {sin(radians(c.own_to_front)):.4f}.\n"
        f"  3. {c.pull} N times {sin(radians(c.own_to_front)):.4f} / {sin(radians(c.front_to_control)):.4f} ="
        f" {crosses(c):.3f} N."
    )


def other_hook_steps(c: Case) -> str:
    """What arrives, beside what the bands hold."""
    at_hook = crosses(c) * c.arrives / 100
    return (
        f"  1. Of {crosses(c):.1f} N at the strap, {c.arrives} % arrive: {at_hook:.1f} N at the hook.\n"
        f"  2. It begins to open at {c.bands} times {c.begins} N = {c.bands * c.begins:.1f} N.\n"
        "  3. Below that it stays shut, but what pulls on the cable is taken off the grip.\n"
        f"  4. So: {other_hook(c, crosses(c))}."
    )


def bands_shut_steps(c: Case) -> str:
    """What arrives, over one band, rounded up."""
    at_hook = crosses(c) * c.arrives / 100
    return (
        f"  1. Of {crosses(c):.2f} N at the strap, {c.arrives} % arrive: {at_hook:.2f} N at the hook.\n"
        f"  2. One band holds {c.begins} N before it opens: {at_hook:.2f} / {c.begins} = {at_hook / c.begins:.2f}.\n"
        f"  3. Bands come whole, and fewer would let it open: {bands_for(c, crosses(c))}"
    )


def opens_steps(c: Case) -> str:
    """Which straps, which cables."""
    harness, moves = SCENES[c.scene]
    return (
        f"  1. The harness: {harness}.\n  2. What happens: {moves}.\n"
        "  3. Which straps get a longer way, and which go slack? A front strap leads on to the other side's cable.\n"
        f"  4. So: {OF_SCENE[c.scene]}."
    )


def keeps_apart_steps(c: Case) -> str:
    """What arrives, what is left."""
    return (
        f"  1. The change: {CHANGES[c.change]}.\n"
        "  2. What comes to the other cable: less through a straighter junction, less through slack, as much "
        "otherwise.\n"
        "  3. What is left to open by: a straighter strap is drawn less, slack is drawn first and that side "
        "loses most of it, bands ask for force.\n"
        f"  4. So: {OF_CHANGE[c.change]}."
    )


def meal_steps(c: Case) -> str:
    """A right order; the last line is where it began."""
    lines = [f"  {place}. {step}" for place, step in enumerate(right_orders(c)[0], 1)]
    other = "  Where two steps may change places, either order is good."
    lay = f"the {c.fork_on} hook took the fork, the {c.near} lay near, and at the beginning {begins(c)}"
    return "\n".join([*lines, f"{other} Here {lay}. It took {len(lines)} steps."])


def forearm_sweep_steps(c: Case) -> str:
    """The limb's way, times the ratio."""
    limb = c.most - c.least
    return (
        f"  1. The limb goes through {c.most} - {c.least} = {limb}°.\n"
        f"  2. The forearm goes {c.ratio} times as far: {c.ratio * limb:.2f}°."
    )


def limb_moment_steps(c: Case) -> str:
    """Forearm and load, then the hinge."""
    load = c.load * c.reach * 1e-6 * GRAVITY
    return (
        f"  1. The load: {c.load / 1000:g} kg times 9.807 N/kg times {c.reach / 1000:g} m = {load:.4f} N m.\n"
        f"  2. With the empty forearm: {c.level} + {load:.4f} = {lifted(c):.4f} N m about the elbow.\n"
        f"  3. The limb goes through the smaller angle, so it must make {c.ratio} times as much, and what the "
        f"hinge rubs away besides: {c.ratio} times {lifted(c):.4f} / {c.hinge / 100:g} = {limb_moment(c):.4f} N m."
    )


def couple_steps(c: Case) -> str:
    """Moment over lever."""
    return (
        f"  1. The limb makes {limb_moment(c):.4f} N m by two forces, equal and opposite, {c.lever / 1000:g} m apart.\n"
        f"  2. Either is the moment over that distance: {1000 * limb_moment(c) / c.lever:.3f} N."
    )


def most_mass_steps(c: Case) -> str:
    """From the limb to the load, and a trial of it."""
    limb = 2 * limb_moment(c)
    out = limb * c.hinge / 100 / c.ratio
    left = out - c.level
    return (
        "  1. What the limb makes comes out of the hinge made smaller twice: by the ratio, and by what the hinge "
        "rubs away.\n  2. Of that, the empty forearm takes its moment first. What is left holds the load.\n"
        "  3. That moment is a weight times its distance; a weight is a mass times 9.807 N/kg, and a metre has "
        "1000 mm.\n"
        f"  4. By hand, with {limb:.3f} N m of the limb: {out:.4f} N m come out, {left:.4f} N m are left, and "
        f"{c.reach} mm from the axis that holds {1000 * left / GRAVITY / c.reach:.3f} kg."
    )


def way_steps(c: Case) -> str:
    """Angle and moment of each way."""
    rim, most = SELF_SUSPENDING / deg(1), SPLIT_SOCKET / deg(1)
    return (
        f"  1. By itself the limb brings the forearm to {min(c.flexes, rim):.0f}°, through the hinge to"
        f" {min(c.ratio * c.flexes, most):.1f}°; {c.to_reach}° are wanted.\n"
        f"  2. By itself it must make {lifted(c):.2f} N m, through the hinge {limb_moment(c):.2f} N m; it has"
        f" {c.limb_most} N m.\n"
        "  3. The first that reaches and holds, by itself before the hinge, the lock only where neither does.\n"
        f"  4. So: {way(c, limb_moment(c))}."
    )


WORKED: dict[str, Worked] = {
    "crossing_pull": crosses_steps,
    "other_hook": other_hook_steps,
    "bands_shut": bands_shut_steps,
    "which_opens": opens_steps,
    "keeps_apart": keeps_apart_steps,
    "meal": meal_steps,
    "forearm_sweep": forearm_sweep_steps,
    "limb_moment": limb_moment_steps,
    "couple": couple_steps,
    "most_mass": most_mass_steps,
    "way": way_steps,
}
