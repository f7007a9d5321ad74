"""Exercise 5: what learners believe, each as a model of the same case."""

from __future__ import annotations

from ex05_case import shut, stretched, whole_bands

from controlkit.checking import Statement, WrongIdea

IDEAS = (
    WrongIdea(
        "pinch-equals-cable-force",
        "pull",
        lambda c, _: shut(c),
        "You gave what the fingertips press with. Where is the pivot, and how far from it are fingertip and cable?",
        "a force seems to pass through a device as it is",
        0.25,
    ),
    WrongIdea(
        "lever-upside-down",
        "pull",
        lambda c, _: shut(c) * c.lever / c.finger,
        "Your pull is smaller than the pinch. Which of the two stands nearer to the pivot?",
        "a ratio is remembered without which length stands on top",
        0.25,
    ),
    WrongIdea(
        "one-band-only",
        "pull",
        lambda c, _: c.band * c.finger / c.lever,
        "That opens a hook with one band. Do bands share a load, or do their moments add?",
        "bands side by side are taken to share the same pull",
        0.25,
    ),
    WrongIdea(
        "end-of-the-travel",
        "pull",
        lambda c, _: shut(c) * c.finger / c.lever * (1 + c.rise / 100),
        "That holds it fully open. How far are the bands stretched at the moment when it begins to move?",
        "one force is thought to belong to a device",
        0.5,
    ),
    WrongIdea(
        "object-makes-no-difference",
        "pinch",
        lambda c, _: shut(c),
        "That is the pinch of the shut device. Are the bands longer or shorter with an object between the fingertips?",
        "so many bands, so much pinch, is the rule one is told",
        0.25,
    ),
    WrongIdea(
        "whole-growth-at-once",
        "pinch",
        lambda c, _: shut(c) * (1 + c.rise / 100),
        "That is the moment of the fully open device. How far open does this object keep it?",
        "the figure in the table is used as it stands",
        0.5,
    ),
    WrongIdea(
        "weaker-when-wider",
        "pinch",
        lambda c, _: shut(c) * (1 - c.rise / 100 * c.met / c.whole),
        "Your grip falls as the object gets wider. What does a rubber band do when it is drawn out further?",
        "far open looks like far from gripping",
        0.25,
    ),
    WrongIdea(
        "pinch-equals-cable-force",
        "pinch",
        lambda c, _: shut(c) * stretched(c) * c.finger / c.lever,
        "That is the force of the cable there. What is it at the fingertip, further from the pivot?",
        "a force seems to pass through a device as it is",
        0.25,
    ),
    WrongIdea(
        "pull-harder-grip-harder",
        "pinch_left",
        lambda c, mine: mine["pinch"] + c.stray * c.lever / c.finger,
        "You let the cable help the bands. Which way does it move the fingers of this device?",
        "with a sound hand more effort is more grip",
    ),
    WrongIdea(
        "newton-for-newton",
        "pinch_left",
        lambda c, mine: mine["pinch"] - c.stray,
        "You took the cable's newtons off the fingertip's. Do they stand at the same distance from the pivot?",
        "a force seems to pass through a device as it is",
        0.25,
    ),
    WrongIdea(
        "nothing-until-it-opens",
        "pinch_left",
        lambda _, mine: mine["pinch"],
        "The fingers do not move, that is so. But what do bands and cable each do to the moment about the pivot?",
        "a pull that moves nothing is thought to do nothing",
    ),
    WrongIdea(
        "any-pull-lets-go",
        "pinch_left",
        lambda *_: 0.0,
        "Then a touch of the harness would drop every object. How large is this pull beside the one that opens?",
        "opening is thought of as a switch",
    ),
    WrongIdea(
        "start-is-enough",
        "most_bands",
        lambda c, _: whole_bands(c, rise=False),
        "With so many she begins to open it. What does the last millimetre of travel ask?",
        "one force is thought to belong to a device",
        0.5,
    ),
    WrongIdea(
        "all-her-strength",
        "most_bands",
        lambda c, _: whole_bands(c, share=1.0),
        "She could open that once. Which share of her strength can be asked for all day?",
        "what somebody can do is taken for what she can do all day",
        0.25,
    ),
    WrongIdea(
        "pinch-equals-cable-force",
        "most_bands",
        lambda c, _: whole_bands(c, lever=False),
        "You counted pinch against pull. What do finger and lever make of one band's pinch at the cable?",
        "a force seems to pass through a device as it is",
        0.25,
    ),
    WrongIdea(
        "spring-forgotten",
        "closing_pull",
        lambda c, _: c.grip * c.closing_finger / c.closing_lever,
        "That makes the grip alone. What did the scale show before anything was gripped?",
        "only what is wanted is counted",
        0.5,
    ),
    WrongIdea(
        "spring-helps",
        "closing_pull",
        lambda c, _: c.grip * c.closing_finger / c.closing_lever - c.reading,
        "You let the spring help to close. Which way does it move the fingers when nobody pulls?",
        "a spring in a gripper is thought to grip",
        0.25,
    ),
    WrongIdea(
        "pinch-equals-cable-force",
        "closing_pull",
        lambda c, _: float(c.grip + c.reading),
        "You added newtons at the fingertip to newtons at the cable. Which stands further from the pivot?",
        "a force seems to pass through a device as it is",
        0.25,
    ),
    WrongIdea(
        "lever-upside-down",
        "closing_pull",
        lambda c, _: c.reading + c.grip * c.closing_lever / c.closing_finger,
        "For the grip alone you need less cable force than grip. Which of the two stands nearer to the pivot?",
        "a ratio is remembered without which length stands on top",
        0.25,
    ),
    WrongIdea(
        "friction-helps",
        "share",
        lambda c, mine: mine["closing_pull"] * c.arrives / c.strength,
        "At the hanger you need less than at the device. Can friction help her while she pulls?",
        "a share that arrives is multiplied wherever it turns up",
        0.25,
    ),
    WrongIdea(
        "cable-without-loss",
        "share",
        lambda c, mine: 100 * mine["closing_pull"] / c.strength,
        "That is the share of a pull at the device. Where does she pull?",
        "one cable is thought to have one tension",
        0.5,
    ),
)

PRINCIPLE = (
    Statement(
        "stays",
        "the grip stays as it was",
        "What grips in this device: bands, cable or lock? Is it the same afterwards as before?",
        "a hand, once closed, is thought to stay closed",
    ),
    Statement(
        "weakens",
        "the grip becomes weaker, and the object may fall",
        "Which way does the cable move the fingers of this device, and does that change here?",
        "any disturbance is thought to loosen a grip",
    ),
    Statement(
        "ends",
        "the grip ends, and the object falls",
        "What grips in this device when nobody pulls? Look at bands, spring and lock.",
        "what the wearer does not hold is thought not to be held",
    ),
    Statement(
        "grows",
        "the grip becomes stronger",
        "Which way does the cable move the fingers of this device, and does that change here?",
        "with a sound hand more effort is more grip",
    ),
)

ONE_MORE_BAND = (
    Statement("both forces", "opening force and pinch grow, both in the same proportion; the travel stays"),
    Statement(
        "travel too",
        "opening force, pinch and cable travel grow",
        "What sets how far the cable must go until the fingers are fully open: bands, or lever and angle?",
        "more resistance is taken for a longer way",
    ),
    Statement(
        "pinch only",
        "the pinch grows; what it takes to open it stays",
        "Against what does the cable work when it opens this device?",
        "bands grip and the cable opens, and the two are thought of apart",
    ),
    Statement(
        "travel for force",
        "opening force and pinch grow, and the travel becomes shorter",
        "A lever trades force for travel. Has the lever changed?",
        "the rule of the lever is applied to what is no lever",
    ),
)
