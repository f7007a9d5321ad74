"""Exercise 5, terminal devices: what is asked, hints and worked steps.

Everything in this folder is for the student's eyes too. An instructor who wants to hand it out
without worked steps sets `HAND_OUT_WORKED_STEPS` to False.
"""

from __future__ import annotations

from ex05_case import (
    DRAWS,
    REPEATED,
    SCENES,
    closing_pull,
    hardest,
    measure,
    present,
    shut,
    stretched,
)
from ex05_ideas import IDEAS, ONE_MORE_BAND, PRINCIPLE

from controlkit.checking import Case, Choice, Exercise, Plan, Quantity

HAND_OUT_WORKED_STEPS = True

MINUTES = 60
"""What a student needs who has worked the lesson."""

DIFFICULTY = (22, 22)
"""Fewest and most lines of working that a case may need, counted in its worked steps: every case needs as many."""

BECOMES = {"rests": "stays", "pulls": "weakens", "lets go": "ends", "lets go, locked": "stays", "pulls on": "grows"}
"""What becomes of the grip in each scene."""

ITEMS = (
    Quantity(
        name="pull",
        points=4,
        kind="force",
        unit="N",
        asks="cable force at the device at which your hook begins to open",
        right=lambda c, _: shut(c) * c.finger / c.lever,
        relative=0.01,
        hints=(
            "Draw the moving finger with its pivot. Which two forces turn it, and at which distances?",
            "The pinch stands for the bands' moment: pinch times finger. The cable makes the same moment on its arm.",
        ),
        credible=(1.0, 500.0),
    ),
    Quantity(
        name="pinch",
        points=4,
        kind="force",
        unit="N",
        asks="grip of your hook on the object, the cable slack",
        right=lambda c, _: shut(c) * stretched(c),
        relative=0.01,
        hints=(
            "By how much has the bands' moment grown when the fingertips are so far apart?",
            "It grows evenly. Which part of the whole travel does this object keep the hook open?",
        ),
        credible=(1.0, 200.0),
    ),
    Quantity(
        name="pinch_left",
        points=3,
        kind="force",
        unit="N",
        asks="grip that is left when the cable force of the table comes unasked, from your own pinch",
        right=lambda c, mine: mine["pinch"] - c.stray * c.lever / c.finger,
        within=0.05,
        relative=0.01,
        hints=(
            "Take moments about the pivot again: bands, cable, object.",
            "The cable takes something off. What does its moment come to at the fingertip?",
        ),
        follows="pinch",
    ),
    Choice(
        name="one_more_band",
        points=2,
        asks="What changes when your hook gets one more band of the same sort",
        statements=ONE_MORE_BAND,
        right=lambda _: "both forces",
        hints=(
            "Write down force, pinch and travel of the hook. In which of the three does the number of bands stand?",
        ),
    ),
    Quantity(
        name="hardest_band",
        points=3,
        kind="force",
        unit="N",
        asks="largest pinch that one band may give, the device shut, if your wearer is to open the hook fully, all "
        "day, with as many bands as now",
        right=lambda c, _: hardest(c),
        relative=0.01,
        hints=(
            "What may she pull at the hanger, and what of it arrives at the device?",
            "What does one band ask at the device when it is fully open, for every newton that it pinches when shut?",
        ),
        credible=(0.1, 100.0),
    ),
    Quantity(
        name="closing_pull",
        points=4,
        kind="force",
        unit="N",
        asks="cable force at the other hook, with voluntary closing, that grips the object as hard as wanted",
        right=lambda c, _: closing_pull(c),
        relative=0.01,
        hints=(
            "Two things are pulled against: one before the fingertips touch the object, one after.",
            "Take moments about the pivot for the grip alone. Then add what the scale showed.",
        ),
        credible=(1.0, 500.0),
    ),
    Quantity(
        name="share",
        points=2,
        kind="ratio",
        unit="%",
        asks="share of your wearer's strength that it takes to keep up that grip, from your own closing_pull",
        right=lambda c, mine: 100 * mine["closing_pull"] / (c.arrives / 100) / c.strength,
        relative=0.01,
        hints=(
            "Where is her strength measured, and where did you compute the force?",
            "The hanger feels more than the device. How much more, if only a share arrives?",
        ),
        follows="closing_pull",
    ),
    Choice(
        name="principle",
        points=2,
        asks="What becomes of the grip in the last table of your case",
        statements=PRINCIPLE,
        right=lambda c: BECOMES[c.scene],
        hints=("Draw the fingers with the cable. Which way does the cable turn them, and what turns them back?",),
    ),
)


# --- Worked steps, opened after an attempt --------------------------------------------------


def pull_steps(c: Case) -> str:
    """From the bands to the cable."""
    return (
        f"  1. Pinch of {c.bands} bands, shut: {c.bands} times {c.band} N = {shut(c):g} N at {c.finger} mm.\n"
        f"  2. The cable makes the same moment on {c.lever} mm: {shut(c):g} N times {c.finger} / {c.lever}"
        f" = {shut(c) * c.finger / c.lever:.2f} N."
    )


def pinch_steps(c: Case) -> str:
    """From the shut device to the object."""
    return (
        f"  1. Shut, {c.bands} bands pinch with {shut(c):g} N.\n"
        f"  2. The object keeps the hook open by {c.met} of {c.whole} mm: {c.met / c.whole:.4f} of the way, so the "
        f"moment has grown by {c.rise * c.met / c.whole:.2f} %.\n"
        f"  3. Grip: {shut(c):g} N times {stretched(c):.4f} = {shut(c) * stretched(c):.2f} N."
    )


def pinch_left_steps(c: Case) -> str:
    """Bands less cable."""
    off = c.stray * c.lever / c.finger
    return (
        "  1. The cable opens this hook: what comes unasked works against the bands.\n"
        f"  2. At the fingertip it comes to {c.stray} N times {c.lever} / {c.finger} = {off:.2f} N.\n"
        f"  3. Grip left: {shut(c) * stretched(c):.2f} - {off:.2f} = {shut(c) * stretched(c) - off:.2f} N."
    )


def one_more_band_steps(_: Case) -> str:
    """Where the number of bands stands."""
    return (
        "  1. The bands' moment is the sum of all: it stands in the opening force and in the pinch.\n"
        "  2. The travel is lever times angle: no band stands in it.\n"
        "  3. So the first two grow alike, and the third stays: both forces."
    )


def hardest_band_steps(c: Case) -> str:
    """From strength to bands."""
    pulls, ratio = REPEATED * c.strength, c.finger / c.lever * (1 + c.rise / 100)
    return (
        f"  1. All day she may pull {100 * REPEATED:g} % of {c.strength} N = {pulls:g} N; {c.arrives} % of it arrives,"
        f" {pulls * c.arrives / 100:.2f} N.\n"
        f"  2. Fully open, a newton of pinch asks {c.finger} / {c.lever} times {1 + c.rise / 100:g} = {ratio:.4f} N.\n"
        f"  3. For {c.bands} bands: {pulls * c.arrives / 100:.2f} / {ratio:.4f} / {c.bands} = {hardest(c):.3f} N."
    )


def closing_pull_steps(c: Case) -> str:
    """Spring, then grip."""
    made = c.grip * c.closing_finger / c.closing_lever
    return (
        f"  1. To bring the fingertips to the object takes {c.reading} N.\n"
        f"  2. The grip takes {c.grip} N times {c.closing_finger} / {c.closing_lever} = {made:.2f} N more.\n"
        f"  3. Together: {c.reading} + {made:.2f} = {closing_pull(c):.2f} N."
    )


def share_steps(c: Case) -> str:
    """From the device to the hanger, then to her strength."""
    hanger = closing_pull(c) / (c.arrives / 100)
    return (
        f"  1. At the hanger: {closing_pull(c):.2f} N / {c.arrives / 100:g} = {hanger:.2f} N.\n"
        f"  2. Its share of her strength: {hanger:.2f} / {c.strength} = {100 * hanger / c.strength:.2f} %."
    )


def principle_steps(c: Case) -> str:
    """What grips, and what becomes of it."""
    device, happens = SCENES[c.scene]
    grips = {"rests": "bands", "pulls": "bands", "lets go, locked": "lock"}.get(c.scene, "cable")
    return (
        f"  1. The device: {device}. What grips here: the {grips}.\n"
        f"  2. What happens: {happens}.\n"
        f"  3. So the grip: {BECOMES[c.scene]}."
    )


WORKED = {
    "pull": pull_steps,
    "pinch": pinch_steps,
    "pinch_left": pinch_left_steps,
    "one_more_band": one_more_band_steps,
    "hardest_band": hardest_band_steps,
    "closing_pull": closing_pull_steps,
    "share": share_steps,
    "principle": principle_steps,
}

exercise = Exercise(
    name="ex05",
    title="Terminal devices",
    plan=Plan("ex05", DRAWS, derive=measure),
    items=ITEMS,
    ideas=IDEAS,
    present=present,
    worked=WORKED if HAND_OUT_WORKED_STEPS else {},
)
