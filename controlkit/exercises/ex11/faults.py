"""Exercise 11: two prostheses with one fault each, one below the elbow and one above it, and who may be to blame."""

from __future__ import annotations

from controlkit.checking import Case, Statement
from controlkit.checking.case.cases import Value
from controlkit.exercises.shared.shelf import Shelf
from controlkit.mechanics.bench.instruments import GONIOMETER, SCALE, TAPE
from controlkit.units import deg, mm

FAULTS_BELOW = (
    Statement(
        "cable too short",
        "the cable from hanger to device is too short",
        ask="Which one length would that change, and which other lengths would it leave as they were?",
        held_because="what pulls at rest is put down to the nearest part in that line",
    ),
    Statement(
        "control attachment strap too tight",
        "the control attachment strap is taken in too far",
        ask="Which length on the bench would be as it was, if only this strap had been taken in?",
        held_because="a harness that pulls is thought to be buckled too tight",
    ),
    Statement(
        "anterior support strap loose",
        "the strap that holds the socket up in front is let out too far",
        ask="What does that strap hold, and which way would a reading go that knows of it?",
        held_because="what looks slack on the wearer is thought to be the fault",
    ),
    Statement(
        "anterior support strap too tight",
        "the strap that holds the socket up in front is taken in too far",
        ask="What does that strap hold, and which way would a reading go that knows of it?",
        held_because="a strap that holds well is never suspected",
    ),
    Statement(
        "housing too short",
        "the housing comes to its end before the elbow is bent",
        ask="Where would the forearm stop?",
        held_because="a housing that covers the elbow is thought long enough",
    ),
    Statement(
        "housing too long",
        "the housing stands away in a bow",
        ask="How far from the elbow's axis would the housing lie?",
        held_because="too long is thought to be on the safe side",
    ),
    Statement(
        "no liner, or dirt in the housing",
        "the cable rubs in its housing",
        ask="Which of two scales would it change, and which not: one at the device, one at the hanger?",
        held_because="a hard pull is put down to friction",
    ),
    Statement(
        "tight bends",
        "the cable is led round bends that turn it far",
        ask="By how much would a bend or two more change the pull at the hanger, and has it changed so?",
        held_because="what can be seen is taken for what does most",
    ),
    Statement(
        "dirt in the pivot",
        "the pivot of the device is stiff",
        ask="Go along the chain from the device: which reading would this fault change first, and which way? Has "
        "it gone that way?",
        held_because="a hard pull is put down to the cable",
    ),
    Statement(
        "weak bands",
        "the rubber bands have tired",
        ask="Go along the chain from the device: which reading would this fault change first, and which way? Has "
        "it gone that way?",
        held_because="bands are thought to lose their grip but not their pull",
    ),
)
"""What may be wrong below the elbow, under the names that the mechanics gives."""

READINGS_BELOW = (
    Statement("scale at the device", "pull at the device itself until it begins to move"),
    Statement("scale at the hanger", "pull at the hanger until the device begins to move, elbow at 135°"),
    Statement("scale on letting back", "pull at the hanger that lets the device go back from half way, elbow at 90°"),
    Statement("goniometer at the elbow", "where the forearm stops, cable slack"),
    Statement("tape to the housing", "from the elbow's axis to the nearest of cable or housing, elbow at 90°"),
    Statement("tape along the cable", "from hanger to device"),
    Statement("fingertips at rest", "how far they stand apart, worn, arm hanging"),
    Statement("slip under the load", "how far the axial load drags the socket down; 60 mm: not held"),
    Statement(
        "fingertips at the fly",
        "how far they open there on command",
        ask="that is what the wearer would notice. How many of the faults would show there?",
    ),
)

NOTED_BELOW = (
    *(one.word for one in FAULTS_BELOW),
    "control attachment strap slack",
    "cable too long",
    "axilla loop too loose",
)
"""Faults that are noted: those that may be named, and others that a test after a repair could meet."""

SHARES = (0.0, 0.25, 0.5, 0.75, 1.0)
"""Sizes at which a fault is noted, between its smallest and its largest [-]."""
_MADE = (0.25, 0.5, 0.75)
"""Sizes in which a fault is handed out [-]."""
_DEGREES = GONIOMETER / deg(1)
_LENGTH = TAPE / mm(1)
_SHARE_ERROR = 6.0
"""How far a share of two scales may be off [%]: two newtons in about fifty, at each scale."""

BELOW = Shelf(
    package="controlkit.exercises.ex11",
    part="below",
    keys=("device", "hanger", "back", "elbow", "housing", "cable", "rest", "slip", "fly"),
    readings=READINGS_BELOW,
    units=("N", "N", "N", "°", "mm", "mm", "mm", "mm", "mm"),
    errors=(SCALE, SCALE, SCALE, _DEGREES, *(_LENGTH,) * 5),
    offered=tuple(one.word for one in FAULTS_BELOW),
    shares=SHARES,
    before="below_",
)

FAULTS_ABOVE = (
    Statement(
        "lift loop too near the elbow",
        "the lift loop sits too far in, towards the elbow",
        ask="Which readings know of the lift, and which way would each of them go?",
        held_because="a short lever is thought to be quick, not hard",
    ),
    Statement(
        "lift loop too far from the elbow",
        "the lift loop sits too far out along the forearm",
        ask="Which readings know of the lift, and which way would each of them go?",
        held_because="what is easy to lift is thought to have no fault",
    ),
    Statement(
        "housing end too far back",
        "the cable leaves its housing too far behind the elbow",
        ask="What would the scale read as the forearm leaves its stop?",
        held_because="where the housing ends is thought to matter for looks only",
    ),
    Statement(
        "control attachment strap slack",
        "the control attachment strap is let out too far",
        ask="Which readings on the bench would be as they were, if only this strap had been let out?",
        held_because="whatever opens too little is put down to a slack strap",
    ),
    Statement(
        "control attachment strap high on the back",
        "the control attachment strap lies too high on the scapula",
        ask="What would the tape from the neck to the ring read?",
        held_because="a strap that is taut is thought to lie where it was put",
    ),
    Statement(
        "lateral suspensor slack",
        "the strap from the ring to the side of the socket is let out too far",
        ask="What could two fingers do with that strap?",
        held_because="suspension is blamed wherever a prosthesis does not work",
    ),
    Statement(
        "front support strap too tight",
        "the strap down the front is taken in too far",
        ask="How much of that strap could two fingers draw together?",
        held_because="a strap that holds well is never suspected",
    ),
    Statement(
        "strap of the lock slack",
        "the strap of the elbow lock is let out too far",
        ask="How much of its cable would the lock motion draw?",
        held_because="the strap of the lock is looked at last, since it looks like a part of the front strap",
    ),
    Statement(
        "too few bands",
        "the hook has lost bands",
        ask="Go along the chain from the device: which reading would this fault change first, and which way? Has "
        "it gone that way?",
        held_because="bands are thought to lose their grip but not their pull",
    ),
    Statement(
        "too many bands",
        "the hook carries more bands than it was fitted with",
        ask="Go along the chain from the device: which reading would this fault change first, and which way? Has "
        "it gone that way?",
        held_because="more bands are thought to add grip and nothing else",
    ),
    Statement(
        "worn liner, or dirt in the housing",
        "the cable rubs in its housing",
        ask="Which share of the pull would arrive at the device?",
        held_because="a hard pull is put down to friction",
    ),
    Statement(
        "heavy device",
        "a heavier device hangs at the wrist",
        ask="What would the scale read at the hanger while the forearm comes up, and what would the tape read?",
        held_because="a forearm that is hard to lift is thought to be heavy",
    ),
)
"""What may be wrong above the elbow, under the names that the mechanics gives."""

READINGS_ABOVE = (
    Statement("scale at the device", "pull at the device itself until it begins to move"),
    Statement("share that arrives", "scale at the device over scale at the hanger, elbow locked at 90°"),
    Statement("scale for the lift", "pull at the hanger that takes the forearm past 90°"),
    Statement("scale at the stop", "pull at the hanger as the forearm leaves its stop"),
    Statement("cable for the lift", "how far the hanger is drawn until the forearm is at 135°"),
    Statement("tape to the ring", "from C7 down to the ring"),
    Statement("lateral suspensor between fingers", "how much of it can be drawn together, arm hanging"),
    Statement("front strap between fingers", "how much of the front support strap can be drawn together, arm hanging"),
    Statement("cable of the lock", "how far the lock motion draws it"),
    Statement("slip under the load", "how far the axial load drags the socket down; 60 mm: not held"),
    Statement(
        "fingertips, elbow locked",
        "how far arm flexion alone opens them, elbow locked at 90°",
        ask="that is what the wearer would notice. How many of the faults would show there?",
    ),
)

ABOVE = Shelf(
    package="controlkit.exercises.ex11",
    part="above",
    keys=("device", "arrives", "lift", "leaves", "drawn", "ring", "play", "front", "lock", "slip", "opens"),
    readings=READINGS_ABOVE,
    units=("N", "%", "N", "N", *("mm",) * 7),
    errors=(SCALE, _SHARE_ERROR, SCALE, SCALE, *(_LENGTH,) * 7),
    offered=tuple(one.word for one in FAULTS_ABOVE),
    shares=SHARES,
    before="above_",
)

UNDECIDED_BELOW = ("control attachment strap too tight", "tight bends")
UNDECIDED_ABOVE = ("control attachment strap slack", "heavy device")
"""Faults that are offered and never made: no single reading tells them from all others, but for what the wearer
notices."""


def _made(shelf: Shelf, undecided: tuple[str, ...]) -> tuple[tuple[str, float], ...]:
    """Faults and sizes that a reading decides which no other fault moves so far, and not what the wearer notices."""
    noticed, made = shelf.readings[-1].word, []
    for share in _MADE:
        for fault in shelf.offered:
            decided = shelf.decides(shelf.found(fault, share), fault) if fault not in undecided else ()
            if noticed not in decided and any(_furthest(shelf, one, fault, share) for one in decided):
                made.append((fault, share))
    return tuple(made)


def _furthest(shelf: Shelf, word: str, fault: str, share: float) -> bool:
    """Whether a reading lies beyond all that other faults could give, and not between them."""
    key = next(key for key, one in zip(shelf.keys, shelf.readings, strict=True) if one.word == word)
    others = [shelf.reading(key, name, size) for name in shelf.offered if name != fault for size in shelf.shares]
    return not min(others) <= shelf.reading(key, fault, share) <= max(others)


MADE_BELOW, MADE_ABOVE = _made(BELOW, UNDECIDED_BELOW), _made(ABOVE, UNDECIDED_ABOVE)
"""What is wrong with each prosthesis on the two shelves, and how much, by its number less one."""


def found(level: str, number: int) -> dict[str, Value]:
    """The readings of one prosthesis on a shelf, by its number, and of a sound one, as the case shows them."""
    shelf, made = (BELOW, MADE_BELOW) if level == "below" else (ABOVE, MADE_ABOVE)
    return shelf.found(*made[number - 1])


def below_fault(c: Case) -> str:
    """What is wrong with the prosthesis below the elbow of a case."""
    return str(MADE_BELOW[c.shelf_below - 1][0])


def above_fault(c: Case) -> str:
    """What is wrong with the prosthesis above the elbow of a case."""
    return str(MADE_ABOVE[c.shelf_above - 1][0])


def below_decides(c: Case) -> tuple[str, ...]:
    """The readings that tell the fault below the elbow from every other."""
    return BELOW.decides(c, below_fault(c))


def above_decides(c: Case) -> tuple[str, ...]:
    """The readings that tell the fault above the elbow from every other."""
    return ABOVE.decides(c, above_fault(c))
