"""What is common to wrong steps above the elbow: a lock that bears a load, and a pull at a locked elbow."""

from __future__ import annotations

from collections.abc import Mapping

from controlkit.mechanics.sequence.dual_errand import (
    AT_MOUTH,
    AT_TABLE,
    LOW,
    OVER_MOUTH,
    OVER_TABLE,
    DualErrand,
)
from controlkit.mechanics.sequence.dual_reach import Reached
from controlkit.mechanics.sequence.records import Facts, Told, Wrong

Changes = Mapping[str, str | Mapping[str, str]]
Size = tuple[str, float, str]

TABLES, MOUTHS = (OVER_TABLE, AT_TABLE), (OVER_MOUTH, AT_MOUTH)
UP = (*TABLES, *MOUTHS)
"""Where the forearm is up."""
EMPTY = ("on the table", "between the fingers", "out of reach")
"""Where the object is while the bands do not hold it."""
MOTION = "arm flexion; where that falls short, both scapulae forward as well"
"""What lifts, and opens."""
RESET: Changes = {"errand": {"at the mouth": "to do"}}
"""What is not held at the mouth any more was not brought there."""


def size(name: str, value: float, kind: str) -> Size:
    """A size for `Told`.

    Parameters
    ----------
    name : str
        In braces
    value : float
        Size [SI]
    kind : str
        Kind of quantity

    Returns
    -------
    tuple of (str, float, str)
        As `Told` takes it [SI]
    """
    return name, float(value), kind


def held_or_not() -> tuple[tuple[Facts, bool], ...]:
    """Both cases of what the device carries.

    Returns
    -------
    tuple of (mapping, bool)
        The facts, and whether the object's weight counts
    """
    return ({"object": "held"}, True), ({"object": EMPTY}, False)


def held_by_lock(errand: DualErrand, before: str) -> list[Wrong]:
    """Working the lock's cable while the lock bears the weight, or the pull that opens the device.

    Parameters
    ----------
    errand : DualErrand
        System, elbow lock and object
    before : str
        What to say first

    Returns
    -------
    list of Wrong
        What the lock does, by its own law
    """
    found = []
    free = size("free", errand.catch.free_moment, "moment")
    for where in (AT_TABLE, AT_MOUTH):
        for when, carried in held_or_not():
            moment = errand.on_lock(where, carried=carried)
            sizes = size("moment", moment, "moment"), free
            state = {**when, "lock": "on", "elbow": where, "cable": "slack"}
            if errand.pull_lock(where, locked=True, moment=moment).outcome == "held by its load":
                bears = size("bears", errand.hold(where, carried=carried).harness_force, "force")
                told = Told(
                    f"{before}The forearm rests on the lock with {{moment}}; it lets go of no more than {{free}}. The "
                    "cable, which would bear it with {bears} at the harness, is slack: the lock stays on.",
                    (*sizes, bears),
                )
                found.append(Wrong(state, told))
            else:
                drop, way = errand.falls(where)
                told = Told(
                    f"{before}The lock lets go under {{moment}}, and the cable is slack: the forearm drops by "
                    "{drop}, and the device by {way}.",
                    (*sizes, size("drop", drop, "angle"), size("way", way, "length")),
                )
                found.append(Wrong(state, told, {"lock": "off", "elbow": LOW, **RESET}))
    return [*found, *(lets_go(errand, where, before) for where in (LOW, AT_TABLE, AT_MOUTH))]


def lets_go(errand: DualErrand, where: str, before: str) -> Wrong:
    """Working the lock's cable while the device is held open.

    Parameters
    ----------
    errand : DualErrand
        System, elbow lock and object
    where : str
        Where the elbow is locked
    before : str
        What to say first

    Returns
    -------
    Wrong
        The pull loads the lock; if that is little enough, the elbow yields and the device shuts
    """
    pulled = errand.open(where)
    _, short = errand.lock_work(where, "pulled")
    if short:
        return Wrong({"lock": "on", "elbow": where, "cable": "pulled"}, short)
    moment = errand.on_lock(where, carried=False, tension=pulled.lift_force, arm_flexion=pulled.arm_flexion)
    state = {"lock": "on", "elbow": where, "cable": "pulled"}
    sizes = size("moment", abs(moment), "moment"), size("free", errand.catch.free_moment, "moment")
    if errand.pull_lock(where, locked=True, moment=moment).outcome == "held by its load":
        told = Told(
            f"{before}The pull that holds the device open flexes the elbow against the lock with {{moment}}; it lets "
            "go of no more than {free}. It stays on.",
            sizes,
        )
        return Wrong(state, told)
    told = Told(
        f"{before}Pull and weight leave {{moment}} on the lock, and it lets go of up to {{free}}. The "
        "elbow is free; let back until the cable bears no more than the weight, the device shuts.",
        sizes,
    )
    changes: Changes = {
        "lock": "off",
        "cable": "slack" if where == LOW else "taut",
        "device": "shut",
        "object": {"between the fingers": "held"},
    }
    return Wrong(state, told, changes)


def locked_pull(errand: DualErrand, where: str, reached: Reached, carried: bool) -> Wrong:
    """The motion that would lift the forearm, at a locked elbow.

    Parameters
    ----------
    errand : DualErrand
        System, elbow lock and object
    where : str
        Where the elbow is locked
    reached : Reached
        The lift that was meant
    carried : bool
        Whether the device holds the object

    Returns
    -------
    Wrong
        The device opens, as far as the pull goes
    """
    apart = errand.opens_at_most(where, reached.arm_flexion, both=reached.scapulae > 0.0)
    held, empty = held_or_not()
    state: Facts = {**(held[0] if carried else empty[0]), "lock": "on", "elbow": where}
    at, arm = size("at", errand.flexion[where], "angle"), size("arm", reached.arm_flexion, "angle")
    wide, open_to = size("wide", errand.width, "length"), size("apart", apart, "length")
    text = "The lock holds the elbow at {at}. The pull of a lift, the arm at {arm}, "
    if apart <= (errand.width if carried else 1e-4):
        return Wrong(state, Told(text + "moves neither forearm nor fingers.", (at, arm)))
    if not carried:
        changes: Changes = {"cable": "pulled", "device": "open"} if apart >= errand.wanted else {}
        return Wrong(state, Told(text + "opens the device to {apart} instead.", (at, arm, open_to)), changes)
    if where == LOW:
        told = Told(
            text + "opens the device to {apart}; the object is {wide} wide and falls.", (at, arm, open_to, wide)
        )
        return Wrong(state, told, {"cable": "slack", "device": "shut", "object": "out of reach", **RESET})
    told = Told(
        text + "opens the device to {apart} instead; the object, {wide} wide, stands free of it.",
        (at, arm, open_to, wide),
    )
    return Wrong(state, told, {"cable": "pulled", "device": "open", "object": "between the fingers"})


def open_already(errand: DualErrand) -> list[Wrong]:
    """A pull on a device that is open already.

    Parameters
    ----------
    errand : DualErrand
        System, elbow lock and object

    Returns
    -------
    list of Wrong
        Where the elbow is locked
    """
    found = []
    for where in (LOW, AT_TABLE, AT_MOUTH):
        reached = errand.open(where)
        told = Told(
            "The device is open already, with the arm at {arm} and {bears} at the harness: more pull opens it further "
            "and moves nothing else.",
            (size("arm", reached.arm_flexion, "angle"), size("bears", reached.harness_force, "force")),
        )
        found.append(Wrong({"cable": "pulled", "elbow": where}, told))
    return found


def between(errand: DualErrand, where: str, carried: bool) -> Told:
    """A pull while the lock has not caught yet.

    Parameters
    ----------
    errand : DualErrand
        System, elbow lock and object
    where : str
        Where the elbow stands
    carried : bool
        Whether the device holds the object

    Returns
    -------
    Told
        How far it flexes the elbow
    """
    flexion = errand.flexion[where]
    above = [at for at in errand.catch.positions if at > flexion + 1e-6]
    up = size("up", above[0] - flexion, "angle") if above else None
    pull = size("pull", errand.hold(where, carried=carried).harness_force, "force")
    if up is None:
        return Told(
            "The lock has not caught: beyond {pull} at the harness the pull flexes the elbow, not the device.", (pull,)
        )
    return Told(
        "The lock has not caught: it stands between two positions. Beyond {pull} at the harness the pull flexes the "
        "elbow by {up} to the position above, and the device stays shut.",
        (pull, up),
    )
