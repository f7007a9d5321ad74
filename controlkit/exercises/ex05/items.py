"""Exercise 5, terminal devices: what is asked, and hints."""

from __future__ import annotations

from controlkit.checking import Choice, Quantity
from controlkit.exercises.ex05.case import (
    closing_pull,
    hardest,
    shut,
    stretched,
)
from controlkit.exercises.ex05.ideas import ONE_MORE_BAND, PRINCIPLE

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
        asks="grip that is left under the inadvertent cable force of the table, from your own pinch",
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
        asks="share of your wearer's strength that it takes to keep up that grip, from your own closing pull",
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
        asks="What becomes of the grip",
        statements=PRINCIPLE,
        right=lambda c: BECOMES[c.scene],
        hints=("Draw the fingers with the cable. Which way does the cable turn them, and what turns them back?",),
    ),
)
