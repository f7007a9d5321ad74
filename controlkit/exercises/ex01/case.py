"""Exercise 1: how a case is drawn, what is computed for it, and how it is shown."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache

from controlkit.checking import Case, OneOf, Range
from controlkit.checking.case.cases import Draw, Value
from controlkit.exercises.shared.readings import between, rounded
from controlkit.mechanics import VoluntaryClosing, VoluntaryOpening
from controlkit.mechanics.sequence import OperatingSequence, Situation, operating_sequence
from controlkit.mechanics.sequence.turned import TO_OBJECT
from controlkit.tables import Table
from controlkit.units import mm

SEEN = {
    "axilla loop": "She pulls, and the whole harness slides toward the prosthesis instead. Nothing on the sound "
    "side holds against the pull",
    "support strap": "With a full bucket in the device the socket is dragged down her arm. While she only pulls on the "
    "cable, everything stays where it is",
    "control strap": "Her arm comes forward and the ring stays in place, but nothing tightens between the ring and the "
    "hanger of the cable",
    "crossbar": "She pulls, and the housing slides up behind the upper arm together with its cable. The device hardly "
    "moves",
    "housing": "With the elbow straight everything works. As the elbow bends, the cable stands off the arm, and the "
    "device moves inadvertently",
    "device": "The cable comes freely and moves the fingers, but whatever stands between them, they take hold of it "
    "with no force to speak of",
}
"""What is seen when one part fails to do its work."""

BEGINS = {
    "at rest": "her arm hangs, the cable is slack, the device is turned away as the task before left it, and the "
    "object stands on the table",
    "at the table": "her arm is out at the table, the cable is slack, the device is turned to the object, which stands "
    "before the fingers",
    "around the object": "the device is turned to the object, and its fingers are open around it on the table and do "
    "not touch it",
}
"""Where the task begins. It ends with the object back on the table, the arm at rest and the cable slack."""

DRAWS: dict[str, Draw] = {
    "device": OneOf(("voluntary opening", "voluntary closing", "voluntary closing with a lock")),
    "finger": Range(80, 110, 5, "mm"),
    "lever": Range(38, 52, 2, "mm"),
    "bands": Range(3, 6),
    "width": Range(16, 50, 2, "mm"),
    "clearance": Range(6, 14, 2, "mm"),
    "wanted": Range(10, 30, 2, "N"),
    "seen": OneOf(tuple(SEEN)),
    "begins": OneOf(tuple(BEGINS)),
    "moment": OneOf(("slack", "pulled")),
}

ROWS = (0, 10, 20, 30)
"""Cable travels of the bench table [mm]; the last row is the whole travel of the device."""

EDGE = 1e-6
"""A value this near to the edge of rounding is not used: machines might round it apart [mm or N]."""

Device = VoluntaryOpening | VoluntaryClosing


def opens(c: Case | Mapping[str, Value]) -> bool:
    """Whether the cable opens the device."""
    return c["device"] == "voluntary opening"


def device(values: Case | Mapping[str, Value]) -> Device:
    """The device of a case."""
    finger, lever = mm(int(values["finger"])), mm(int(values["lever"]))
    if opens(values):
        return VoluntaryOpening(bands=int(values["bands"]), finger=finger, lever=lever)
    return VoluntaryClosing(finger=finger, lever=lever, lock=str(values["device"]).endswith("lock"))


def measure(values: Mapping[str, Value]) -> dict[str, Value] | None:
    """What ruler and scale show at the device: opening in whole mm, cable force in whole N."""
    made = device(values)
    whole = int(made.travel / mm(1))
    raw: dict[str, float] = {}
    for row in (*ROWS, whole):
        raw[f"opening_{row}"] = made.opening(mm(row)) / mm(1)
        raw[f"force_{row}"] = made.force(mm(row))
    if isinstance(made, VoluntaryOpening):
        raw["pinch"] = made.pinch(mm(int(values["width"])))
    found = rounded(raw, EDGE)
    if found is None or whole <= ROWS[-1] + 2:
        return None
    return {"pinch": int(values["wanted"]), **found, "whole": whole}


def rows(c: Case) -> tuple[int, ...]:
    """The travels of the bench table [mm]."""
    return (*ROWS, c.whole)


def goal(c: Case) -> int:
    """Distance of the fingertips that the step needs [mm]."""
    return int(c.width + c.clearance if opens(c) else c.width)


def travel_to(c: Case, opening: float) -> float:
    """Cable travel at which the fingertips are so far apart, between the rows of the table [mm]."""
    return between([c[f"opening_{row}"] for row in rows(c)], rows(c), opening)


def scale(c: Case, travel: float) -> float:
    """Cable force at a travel, between the rows of the table, nothing between the fingers [N]."""
    return between(rows(c), [c[f"force_{row}"] for row in rows(c)], travel)


def task(c: Case) -> OperatingSequence:
    """The operating sequence of a case, beginning where the case begins."""
    sizes = {name: int(c[name]) for name in ("finger", "lever", "bands", "width", "wanted")}
    return _task(kind=str(c.device), begins=str(c.begins), **sizes)


@lru_cache(maxsize=32)
def _task(*, kind: str, begins: str, finger: int, lever: int, bands: int, width: int, wanted: int) -> OperatingSequence:
    made = device({"device": kind, "finger": finger, "lever": lever, "bands": bands})
    whole = operating_sequence(made, width=mm(width), pinch=float(wanted))
    facts = dict(whole.start.facts)
    if begins != "at rest":
        facts |= {"arm": "at the table", "device": TO_OBJECT}
    if begins == "around the object":
        facts |= {"object": "between the fingers", "cable": "pulled" if kind == "voluntary opening" else "slack"}
    return replace(whole, start=Situation(tuple(facts.items())))


def right_orders(c: Case) -> tuple[tuple[str, ...], ...]:
    """Every order of right steps without a detour: where two may change places, both count."""
    key = (str(c.device), str(c.begins))
    if key not in _ORDERS:  # which steps are right does not depend on sizes
        sequence = task(c)
        longest = len(sequence.right_order()) + (1 if c.device.endswith("lock") else 0)  # a lock lets the cable go
        _ORDERS[key] = tuple(_orders(sequence, longest))
    return _ORDERS[key]


_ORDERS: dict[tuple[str, str], tuple[tuple[str, ...], ...]] = {}


def _orders(sequence: OperatingSequence, longest: int) -> list[tuple[str, ...]]:
    """Orders of right steps that reach the goal and come back to no state."""
    found: list[tuple[str, ...]] = []
    ways: list[tuple[tuple[Situation, ...], tuple[str, ...]]] = [((sequence.start,), ())]
    while ways:
        states, order = ways.pop()
        if states[-1].fits(sequence.goal):
            found.append(order)
        elif len(order) < longest:
            for name in sequence.legal(states[-1]):
                then = sequence.take(states[-1], name).after
                if then not in states:
                    ways.append(((*states, then), (*order, name)))
    return sorted(found, key=lambda order: (len(order), order))


def comes_to(c: Case, order: tuple[str, ...]) -> str:
    """What an order of steps does, in words: the first thing that goes wrong."""
    sequence, state = task(c), task(c).start
    for place, step in enumerate(order, 1):
        if step not in sequence.steps:
            return f"step {place}, {step}: this device has no lock."
        taken = sequence.take(state, step)
        if taken.consequence:
            return f"step {place}, {step}: {taken.consequence}"
        state = taken.after
    return ""


def present(c: Case) -> tuple[str | Table, ...]:
    """The case as the student sees it."""
    kind = "opens" if opens(c) else "closes"
    rests = "Bands hold it shut" if opens(c) else "A weak spring holds it open"
    lock = " A lock keeps the grip when the cable is let go." if c.device.endswith("lock") else ""
    grip = (
        ("the bands then grip it with", f"{c.pinch} N at the fingertips")
        if opens(c)
        else ("grip wanted on it", f"{c.pinch} N at the fingertips")
    )
    bench = tuple((f"{row} mm", f"{c[f'opening_{row}']} mm", f"{c[f'force_{row}']} N") for row in rows(c))
    return (
        f"Your wearer's hook works by {c.device}: the cable {kind} it. {rests}.{lock}",
        Table(
            "The hook",
            ("measurement", "value"),
            (("pivot to fingertip", f"{c.finger} mm"), ("pivot to cable", f"{c.lever} mm")),
            about=("pull",),
        ),
        Table(
            "Bench table, nothing between the fingers; the last row is the whole travel",
            ("cable travel from rest", "fingertips apart", "cable pull there, at the hook"),
            bench,
            about=("travel", "pull"),
        ),
        Table("The task", ("quantity", "value"), (("it begins so", BEGINS[c.begins]),), about=("sequence",)),
        Table(
            "The object",
            ("quantity", "value"),
            (
                ("width of the object", f"{c.width} mm"),
                ("room needed beside it to reach around it without touching", f"{c.clearance} mm in all"),
            ),
            about=("travel",),
        ),
        Table("The grip", ("quantity", "value"), (grip,), about=("pull",)),
        Table("The moment", ("quantity", "value"), (("the moment asked about", _moment(c)),), about=("relaxed",)),
        Table("Another wearer comes in", ("item", "what is seen"), (("part", SEEN[c.seen]),), about=("part",)),
    )


def _moment(c: Case) -> str:
    held = "the object has been taken hold of as it should be"
    if c.moment == "pulled":
        return f"{held}; now the cable is {'pulled' if opens(c) else 'kept pulled'}"
    return f"{held}; now the cable {'is slack' if opens(c) else 'goes slack'}"


def what_holds(c: Case) -> str:
    """What holds the object at the moment asked about: the word of the statement."""
    if opens(c):
        return "bands" if c.moment == "slack" else "nothing"
    if c.moment == "pulled":
        return "pull"
    return "lock" if c.device.endswith("lock") else "nothing"
