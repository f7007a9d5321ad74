"""Exercise 1: what there is to choose and to put in order, each with the question it gives back."""

from __future__ import annotations

from controlkit.checking import Statement

PARTS = (
    Statement(
        "axilla loop",
        "the loop round the sound shoulder does not do its work",
        ask="That loop is what everything pulls against. If it gave way, what would become of the ring and of every "
        "other strap?",
        held_because="the loop is the part one sees, so it is blamed first",
    ),
    Statement(
        "support strap",
        "the anterior support strap does not do its work",
        ask="That strap holds the prosthesis up. Is it a load or a pull of the cable that brings the trouble here?",
        held_because="straps are taken for one strap",
    ),
    Statement(
        "control strap",
        "the control attachment strap does not do its work",
        ask="That strap lies between the ring and the hanger of the cable. Does the cable get its pull here, or not?",
        held_because="the strap that works is blamed for whatever does not work",
    ),
    Statement(
        "crossbar",
        "crossbar and triceps pad do not do their work",
        ask="The crossbar holds the upper end of the housing. Is it the housing that moves here?",
        held_because="the crossbar is taken for a guide of the cable, not for what takes the reaction of the housing",
    ),
    Statement(
        "housing",
        "the cable runs without a housing past the elbow",
        ask="A housing keeps the cable's path past the elbow the same. Does the elbow have a part in what is seen?",
        held_because="housing is taken for a cover",
    ),
    Statement(
        "device",
        "bands or spring, or the lever inside the device, do not do their work",
        ask="What reaches the device here, the whole travel of the cable or none of it?",
        held_because="the trouble shows at the hook, so it is looked for there",
    ),
)

STEPS = (
    Statement("pre-position", "the sound hand turns the device in its wrist unit to suit the object"),
    Statement("reach out", "arm and elbow bring the device to the table, the scapula stays back"),
    Statement("pull", "arm flexion or biscapular abduction pulls on the cable"),
    Statement("surround", "forearm and trunk bring the fingers to both sides of the object"),
    Statement("let go", "arm and scapulae ease back, the cable goes slack"),
    Statement("bring to the mouth", "elbow and arm bring the device up"),
    Statement("lower to the table", "elbow and arm bring the device down again"),
    Statement("clear", "forearm and trunk draw the fingers away from the object"),
    Statement("return", "the arm goes back to the side"),
    Statement("unlock", "a little more pull than before, then easing back, for a device with a lock"),
)

HOLDS = (
    Statement(
        "bands",
        "bands close the fingers on it",
        ask="Bands close a device that the cable opens, while nobody pulls. Is that so here?",
        held_because="every hook seems to have bands, and bands always to win",
    ),
    Statement(
        "pull",
        "the pull of the cable closes the fingers on it",
        ask="Which way does the cable move these fingers, and is it pulling at that moment?",
        held_because="pulling harder is taken for gripping harder, whatever the device",
    ),
    Statement(
        "lock",
        "a lock keeps the fingers where they are",
        ask="Does this device have one?",
        held_because="a grip that stays is taken for a lock",
    ),
    Statement(
        "nothing",
        "nothing holds it: it falls",
        ask="Something does hold it. Which force on the fingers is left at that moment?",
        held_because="relaxing is taken for letting fall, whatever the device",
    ),
)
