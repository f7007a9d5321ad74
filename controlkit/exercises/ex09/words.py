"""Exercise 9: what there is to choose, each with the question it gives back."""

from __future__ import annotations

from controlkit.checking import Statement

EIGHT, NINE, CHEST, DIAPHRAGM, PATCH = "eight", "nine", "chest strap", "diaphragm strap", "patch"
"""Words for the patterns."""

COMES = {
    "light work": (
        (
            "a man, office and kitchen; now and then a bag. His armpit is sound. His socket is an ordinary one "
            "with hinges and triceps pad, which slides off unless something holds it up"
        ),
        EIGHT,
    ),
    "holds by itself": (
        (
            "a woman whose socket grips above the elbow and stays on by itself, also with a full bag. Her armpit "
            "is sound. She wants as little webbing as will open the hook, and nothing in front"
        ),
        NINE,
    ),
    "sacks all day": (
        (
            "a man who carries sacks and buckets all day with the prosthesis. Until last month the loop cut into his "
            "armpit on each shift and his sound hand tingled; a physician has looked at the hand, and says that the "
            "loop must go. The skin is whole, his chest sound. His socket must be held up by straps"
        ),
        CHEST,
    ),
    "graft": (
        (
            "a man with a skin graft in the sound armpit: nothing may press there. His chest is sound. His "
            "socket must be held up by straps"
        ),
        CHEST,
    ),
    "graft of a woman": (
        (
            "a woman with a skin graft in the sound armpit: nothing may press there. Her trunk is sound. Her "
            "socket must be held up by straps"
        ),
        DIAPHRAGM,
    ),
    "burnt trunk": (
        (
            "a man with healed burns all round the trunk and in the sound armpit: no strap may press there. The "
            "skin over the scapula of the prosthesis's side is sound. His socket stays on by itself"
        ),
        PATCH,
    ),
}
"""Invented wearers who come in, and the pattern that a fitter would try first."""

PATTERNS = (
    Statement(
        EIGHT,
        "figure of eight: a loop round the sound armpit, a control strap, and a strap in front that holds the "
        "socket up",
        ask="What does this pattern press on the sound side, and what does it hold up? Can this wearer bear the "
        "one, and is the other wanted?",
        held_because="the usual pattern is taken for the right one",
    ),
    Statement(
        NINE,
        "figure of nine: a loop round the sound armpit and a control strap, nothing else",
        ask="What holds the socket of this wearer up? And what does the loop press on?",
        held_because="less webbing is taken for less of everything, the armpit's load too",
    ),
    Statement(
        CHEST,
        "chest strap with shoulder saddle: the saddle on the side of the prosthesis carries, a strap over the "
        "chest holds against the pull",
        ask="What does the saddle carry, and where does the strap cross the chest? Ask both of this wearer.",
        held_because="what spares the armpit is thought to suit everybody",
    ),
    Statement(
        DIAPHRAGM,
        "diaphragm strap with shoulder saddle: the same saddle, the strap at the level of the diaphragm or on a "
        "firm bra",
        ask="For whom is the strap laid so low, and does anything keep it from the chest, or from the trunk, here?",
        held_because="a variant is chosen for its name and not for whom it was made",
    ),
    Statement(
        PATCH,
        "skin patch: stuck over the scapula of the prosthesis's side, and the control strap runs from it; nothing goes "
        "round the body",
        ask="A patch holds against the pull. What holds the socket up, and is there a simpler way for this wearer?",
        held_because="what presses nowhere is thought to do everything",
    ),
)

CHANGES = {
    "wider": ("the loop is sewn of webbing half as wide again, and lies flat", "pressure alone"),
    "rounder": (
        "a firm pad under the loop makes it go round a larger circle; its width stays",
        "line load and pressure",
    ),
    "lighter": ("the hook gets one rubber band less; strap and course stay", "all three"),
    "stiffer": (
        "the webbing is changed for one that stretches less, as wide; the device is opened as far",
        "none of them",
    ),
}
"""What is changed at the loop, and what becomes less by it. The wearer pulls as hard as the device then asks."""

LESS = (
    Statement(
        "pressure alone",
        "tension and line load stay as they are, the mean pressure becomes less",
        ask="For that the strap must touch more skin with the same course and the same pull. Is that what was changed?",
        held_because="whatever helps is thought to spread the load",
    ),
    Statement(
        "line load and pressure",
        "the tension stays as it is, line load and mean pressure become less",
        ask="Line load is tension over the radius of the curve. Which of the two was changed here, if either?",
        held_because="line load and pressure are taken for the same thing",
    ),
    Statement(
        "all three",
        "tension, line load and mean pressure become less",
        ask="What sets the tension of the loop: the strap, the skin, or what the cable asks for? Was that changed?",
        held_because="more webbing is thought to share the pull",
    ),
    Statement(
        "tension alone",
        "the tension becomes less, line load and mean pressure stay as they are",
        ask="If the same strap on the same curve pulled less, could it press as hard as before?",
        held_because="what pulls and what presses are thought of apart",
    ),
    Statement(
        "none of them",
        "none of the three becomes less",
        ask="Go through tension, radius of the curve and width. Which of them is another one now?",
        held_because="webbing is webbing",
    ),
)

WHICH = (
    Statement(
        EIGHT,
        "the figure of eight stays as it is, with the bands that are on the hook",
        ask="Set your largest tension beside the loop's tension in the table. Which is larger?",
        held_because="what opens the device is thought to be good enough",
    ),
    Statement(
        "fewer bands",
        "the figure of eight stays, with one band less on the hook",
        ask="With one band less the loop pulls less. Is that needed here, and is it enough?",
        held_because="a middle way is thought to be right without a look at the numbers",
    ),
    Statement(
        "wider strap",
        "the figure of eight stays, with a wider loop and the bands that are on the hook",
        ask="What is allowed here is a line load. Does that change with the width of the strap?",
        held_because="a wider strap is thought to lower whatever presses",
    ),
    Statement(
        NINE,
        "a figure of nine takes its place, with the bands that are on the hook",
        ask="The strap in front is gone then. Is the loop, and what pulls at it, another one?",
        held_because="less webbing is thought to press less",
    ),
    Statement(
        CHEST,
        "a chest strap with shoulder saddle takes its place",
        ask="Is there a way to keep the loop and stay within your largest tension?",
        held_because="the pattern that spares the armpit altogether is thought safest, whatever it presses elsewhere",
    ),
)

DESIGNED = (
    Statement(EIGHT, "figure of eight: axilla loop, control strap, anterior support strap"),
    Statement(NINE, "figure of nine: axilla loop and control strap"),
    Statement(CHEST, "chest strap with shoulder saddle, the strap at the level of the diaphragm"),
)
"""Patterns of the design."""
