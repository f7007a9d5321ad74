"""Steps of dual control that take the forearm up and down: by the cable, the elbow unlocked."""

from __future__ import annotations

from controlkit.mechanics.sequence.dual_errand import (
    AT_MOUTH,
    AT_TABLE,
    LOW,
    OVER_MOUTH,
    OVER_TABLE,
    DualErrand,
)
from controlkit.mechanics.sequence.dual_grasp import beside
from controlkit.mechanics.sequence.dual_wrong import (
    MOTION,
    MOUTHS,
    RESET,
    TABLES,
    UP,
    Changes,
    between,
    held_or_not,
    locked_pull,
    open_already,
    size,
)
from controlkit.mechanics.sequence.records import Step, Told, Wrong
from controlkit.mechanics.sequence.turned import AWAY


def take_weight(errand: DualErrand) -> Step:
    """Take the forearm's weight on the cable, the elbow locked.

    Parameters
    ----------
    errand : DualErrand
        System, elbow lock and object

    Returns
    -------
    Step
        With what it does at the wrong moment
    """
    wrong = []
    for where in (LOW, AT_TABLE, AT_MOUTH):
        reached, hold = errand.open(where), errand.climb(LOW, OVER_TABLE) if where == LOW else errand.hold(where)
        told = Told(
            "The device is open: the harness bears {bears}, and {holds} would hold the forearm.",
            (size("bears", reached.harness_force, "force"), size("holds", hold.harness_force, "force")),
        )
        wrong.append(Wrong({"cable": "pulled", "elbow": where}, told))
    lift = errand.climb(LOW, errand.lifted_to(OVER_TABLE))
    told = Told(
        "The forearm hangs at {at} and needs nothing to hold it; lifting it to the table would take {lift} at the "
        "harness.",
        (size("at", errand.rest, "angle"), size("lift", lift.most, "force")),
    )
    wrong.append(Wrong({"elbow": LOW}, told))
    for where in UP:
        for when, carried in held_or_not():
            hold = errand.hold(where, carried=carried)
            told = Told(
                "The cable bears the forearm already, with {bears} at the harness.",
                (size("bears", hold.harness_force, "force"),),
            )
            wrong.append(Wrong({**when, "cable": "taut", "elbow": where}, told))
    for where in (AT_TABLE, AT_MOUTH):
        hold = errand.hold(where, carried=True)
        if hold.slips and not hold.short:
            wrong.append(
                Wrong(
                    {"object": "held", "elbow": where},
                    _slipped(errand, hold.grip),
                    {"cable": "taut", "object": "out of reach", **RESET},
                )
            )
    return Step(
        name="take the weight",
        motion=MOTION,
        first="the elbow is locked with the forearm up, the cable is slack",
        does="take up",
        changes={"cable": "taut"},
        wrong=tuple(wrong),
    )


def _slipped(errand: DualErrand, grip: float | None) -> Told:
    """An object that slips from what the cable leaves of the grip."""
    return Told(
        "The cable takes of the bands' grip of {full} all but {left}: the object of {load} slips through the fingers.",
        (
            size("full", errand.system.device.pinch(errand.width), "force"),
            size("left", grip or 0.0, "force"),
            size("load", errand.load, "mass"),
        ),
    )


def lift_to_table(errand: DualErrand) -> Step:
    """Lift the forearm from hanging to the height of the table.

    Parameters
    ----------
    errand : DualErrand
        System, elbow lock and object

    Returns
    -------
    Step
        With what it does at the wrong moment
    """
    goal, wrong = errand.lifted_to(OVER_TABLE), open_already(errand)
    free = {"elbow": LOW, "lock": "off"}
    wrong += _up_already(errand, UP)
    for when, carried in held_or_not():
        reached = errand.climb(LOW, goal, carried=carried)
        wrong.append(locked_pull(errand, LOW, reached, carried))
        if reached.short:
            wrong.append(Wrong({**when, **free}, reached.short))
        elif reached.slips:
            changes: Changes = {"elbow": goal, "cable": "taut", "object": "out of reach", **RESET}
            wrong.append(Wrong({**when, **free}, _slipped(errand, reached.grip), changes))
    lifted: Changes = {"elbow": goal, "cable": "taut"}
    turned, off = size("turned", errand.turned, "angle"), beside(errand)
    arm = size("arm", errand.climb(LOW, goal).arm_flexion, "angle")
    table = "The turntable was not pre-positioned: the device comes up {off} to the side of the object."
    wrist = (
        "The wrist was not pre-positioned: with the arm at {arm} the fingers will meet the object askew by {turned}."
    )
    wrong.append(
        Wrong({**free, "wrist": AWAY, "turntable": AWAY}, Told(f"{wrist} {table}", (turned, off, arm)), lifted)
    )
    wrong.append(Wrong({**free, "wrist": AWAY}, Told(wrist, (turned, arm)), lifted))
    wrong.append(Wrong({**free, "turntable": AWAY}, Told(table, (off,)), lifted))
    return Step(
        name="lift to the table",
        motion=MOTION,
        first="the elbow is unlocked, wrist and turntable are turned to the object",
        does="lift",
        changes=lifted,
        wrong=tuple(wrong),
    )


def _up_already(errand: DualErrand, places: tuple[str, ...]) -> list[Wrong]:
    """A lift of a forearm that is up."""
    found = []
    for where in places:
        for when, carried in held_or_not():
            told = Told(
                "The forearm is up already, at {at}, against {weight} of its weight.",
                (
                    size("at", errand.flexion[where], "angle"),
                    size("weight", errand.on_lock(where, carried=carried), "moment"),
                ),
            )
            found.append(Wrong({**when, "elbow": where}, told))
    return found


def lift_to_mouth(errand: DualErrand) -> Step:
    """Lift forearm and object to the height of the mouth.

    Parameters
    ----------
    errand : DualErrand
        System, elbow lock and object

    Returns
    -------
    Step
        With what it does at the wrong moment
    """
    goal, wrong = errand.lifted_to(OVER_MOUTH), open_already(errand)
    wrong += _up_already(errand, MOUTHS)
    for where in (LOW, *TABLES):
        for when, carried in held_or_not():
            reached = errand.climb(where, goal, carried=carried)
            if where == OVER_TABLE:
                wrong.append(Wrong({**when, "elbow": where, "lock": "on"}, between(errand, where, carried)))
            else:
                wrong.append(locked_pull(errand, where, reached, carried))
            if reached.short:
                wrong.append(Wrong({**when, "elbow": where}, reached.short))
            elif reached.slips:
                changes: Changes = {"elbow": goal, "cable": "taut", "object": "out of reach", **RESET}
                wrong.append(Wrong({**when, "elbow": where}, _slipped(errand, reached.grip), changes))
            elif not carried:
                told = Told(
                    "The device comes up empty, for {most} at the harness.", (size("most", reached.most, "force"),)
                )
                wrong.append(Wrong({**when, "elbow": where}, told, {"elbow": goal, "cable": "taut"}))
    return Step(
        name="lift to the mouth",
        motion=MOTION,
        first="the object is held, the elbow unlocked, the cable bears the forearm",
        does="lift",
        changes={"elbow": goal, "cable": "taut", "errand": {"to do": "at the mouth"}},
        wrong=tuple(wrong),
    )


def _rests_on_lock(errand: DualErrand, places: tuple[str, ...]) -> list[Wrong]:
    """Letting down a forearm that is locked."""
    found = []
    for where in places:
        for when, carried in held_or_not():
            weight = size("weight", errand.on_lock(where, carried=carried), "moment")
            told = Told(
                "The lock holds the forearm up, against {weight}. Letting the cable back does not lower it.", (weight,)
            )
            changes: Changes = {}
            if where in (OVER_TABLE, OVER_MOUTH):
                sinks = size("sinks", errand.pull_lock(where, locked=False).dropped, "angle")
                told = Told(
                    "The lock is on: the forearm sinks by {sinks} to the position below, where {weight} rest on it.",
                    (sinks, weight),
                )
                changes = {
                    "elbow": {OVER_TABLE: AT_TABLE, OVER_MOUTH: AT_MOUTH},
                    "cable": "slack",
                    "errand": {"at the mouth": "done"},
                }
            found.append(Wrong({**when, "lock": "on", "elbow": where}, told, changes))
    return found


def lower_to_table(errand: DualErrand) -> Step:
    """Let the forearm down from the mouth to the table.

    Parameters
    ----------
    errand : DualErrand
        System, elbow lock and object

    Returns
    -------
    Step
        With what it does at the wrong moment
    """
    wrong = []
    for where in (LOW, *TABLES):
        _, way = errand.falls(AT_MOUTH, where)
        told = Told("The forearm is not up: the mouth is {way} away from here.", (size("way", way, "length"),))
        wrong.append(Wrong({"elbow": where}, told))
    wrong += _rests_on_lock(errand, MOUTHS)
    return Step(
        name="lower to the table",
        motion="arm and scapulae ease back until the forearm is at the table",
        first="the elbow is unlocked, the cable bears the forearm",
        does="let down",
        changes={"elbow": errand.lifted_to(OVER_TABLE), "errand": {"at the mouth": "to do"}},
        wrong=tuple(wrong),
    )


def lower(errand: DualErrand) -> Step:
    """Let the forearm down until it hangs.

    Parameters
    ----------
    errand : DualErrand
        System, elbow lock and object

    Returns
    -------
    Step
        With what it does at the wrong moment
    """
    hangs = Told(
        "The forearm hangs already, at {at}; its weight turns it against the stop with {weight}.",
        (size("at", errand.rest, "angle"), size("weight", errand.on_lock(LOW, carried=False), "moment")),
    )
    wrong = [Wrong({"elbow": LOW}, hangs), *_rests_on_lock(errand, UP)]
    for where in UP:
        _, way = errand.falls(where)
        told = Told("The bands still hold the object: it comes along, {way} down.", (size("way", way, "length"),))
        wrong.append(Wrong({"object": "held", "elbow": where}, told, {"elbow": LOW, "cable": "slack", **RESET}))
    return Step(
        name="lower",
        motion="arm and scapulae ease back until the forearm hangs",
        first="the elbow is unlocked, the device is free of the object",
        does="let down",
        changes={"elbow": LOW, "cable": "slack", **RESET},
        wrong=tuple(wrong),
    )
