"""Exercise 6: a prosthesis on the bench with one fault, and what each fault does to the readings."""

from __future__ import annotations

from controlkit.checking import Case, Statement
from controlkit.checking.case.cases import Value
from controlkit.exercises.shared.shelf import Shelf
from controlkit.mechanics import FAULTS, SingleControl
from controlkit.mechanics.bench.faults import Fault
from controlkit.mechanics.bench.instruments import SCALE, TAPE
from controlkit.units import mm

STATEMENTS = (
    Statement(
        "control attachment strap slack",
        "the control attachment strap is let out too far",
        ask="Which lengths on the bench would be as they were, if only this strap had been let out?",
        held_because="whatever opens too little is put down to a slack strap",
    ),
    Statement(
        "cable too long",
        "the cable from hanger to device is too long",
        ask="Which one length would that change, and which other lengths would it leave as they were?",
        held_because="strap and cable lie in one line, and slack in either feels alike",
    ),
    Statement(
        "axilla loop too loose",
        "the axilla loop gives way before it pulls",
        ask="What would the hanger do when you unhook and draw it?",
        held_because="a loop that is comfortable is taken for one that fits",
    ),
    Statement(
        "ring riding high",
        "the ring has ridden up toward the neck",
        ask="What would the tape from the neck to the ring read?",
        held_because="a strap that is taut is thought to lie where it was put",
    ),
    Statement(
        "housing loose at an end",
        "the housing has come off at one end",
        ask="What would a pull at the hanger do to the elbow?",
        held_because="a housing that is there is thought to work",
    ),
    Statement(
        "no liner, or dirt in the housing",
        "the cable rubs in its housing",
        ask="Which of two scales would it change, and which not: one at the device, one at the hanger?",
        held_because="a hard pull is put down to friction",
    ),
    Statement(
        "weak bands",
        "the rubber bands have tired",
        ask="Go along the chain from the device: which reading would this fault change first, and which way? Has "
        "it gone that way?",
        held_because="bands are thought to lose their grip but not their pull",
    ),
    Statement(
        "dirt in the pivot",
        "the pivot of the device is stiff",
        ask="Go along the chain from the device: which reading would this fault change first, and which way? Has "
        "it gone that way?",
        held_because="a hard pull is put down to the cable",
    ),
)
"""What may be wrong, under the names that the mechanics gives."""

READINGS = (
    Statement("scale at the device", "pull at the device itself until it begins to move"),
    Statement("share that arrives", "scale at the device over scale at the hanger, elbow at 90°"),
    Statement("scale at the wrist", "pull at the wrist that keeps the elbow still, the hanger pulled"),
    Statement("tape along the cable", "from hanger to device"),
    Statement("tape to the ring", "from C7 down to the ring as it is put on, the cable unhooked"),
    Statement("unhooked hanger", "how far it comes when it is drawn with 50 N"),
    Statement(
        "fingertips at the fly",
        "how far they open there on command",
        ask="that is what brought the wearer in. How many of the faults would show there?",
    ),
)

KEYS = ("device", "arrives", "wrist", "cable", "ring", "hanger", "fly")
"""The same readings in a case, in the same order."""

UNITS = ("N", "%", "N", "mm", "mm", "mm", "mm")

_SHARE_ERROR = 6.0
"""How far a share of two scales may be off [%]: two newtons in about thirty, at each scale."""
ERRORS = dict(zip(KEYS, (SCALE, _SHARE_ERROR, SCALE, *(TAPE / mm(1),) * 4), strict=True))
"""How far each reading may be off, in its unit."""

_BY_NAME = {fault.name: fault for fault in FAULTS}
OFFERED: tuple[Fault[SingleControl], ...] = tuple(_BY_NAME[statement.word] for statement in STATEMENTS)

SIZES = (0.4, 0.7)
"""How far between its smallest and its largest size a fault is made [-]."""

UNDECIDED = ("control attachment strap slack",)
"""Faults that are offered and never made: no single reading tells them from all others. A slack strap is what is left
when every length is as it should be."""

PROSTHESES = tuple((fault, size) for size in SIZES for fault in OFFERED if fault.name not in UNDECIDED)
"""What is wrong with each prosthesis on the shelf, by its number."""

SHELF = Shelf(
    package="controlkit.exercises.ex06",
    keys=KEYS,
    readings=READINGS,
    units=UNITS,
    errors=tuple(ERRORS.values()),
    offered=tuple(fault.name for fault in OFFERED),
    shares=(0.0, 1.0),
)
"""The shelf is the same for everybody: `shelf.taken` worked its readings out once, and a test does so anew."""


def reading(key: str, fault: str = "", share: float = 0.0) -> float:
    """What the bench reads, sound or with a fault of some size between its smallest and its largest, 0 to 1 [-]."""
    return SHELF.reading(key, fault, share)


def found(number: int) -> dict[str, Value]:
    """The readings of one prosthesis on the shelf, by its number, and of a sound one, as the case shows them."""
    fault, share = PROSTHESES[number - 1]
    return SHELF.found(fault.name, share)


def fault_of(c: Case) -> str:
    """What is wrong with the prosthesis of a case."""
    return str(PROSTHESES[c.prosthesis - 1][0].name)


def away(c: Case, key: str, fault: str) -> float:
    """How far a reading of the case lies from all that a fault could give, over the reading's error [-]."""
    return SHELF.away(c, key, fault)


def decides(c: Case) -> tuple[str, ...]:
    """The readings that no other fault, of any size, and no sound prosthesis could give, by twice their error."""
    return SHELF.decides(c, fault_of(c))
