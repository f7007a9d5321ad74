"""Steps of dual control above the elbow, the first of them: wrist and turntable, the lock, the cable let back."""

from __future__ import annotations

from controlkit.mechanics.sequence.dual_errand import (
    AT_MOUTH,
    AT_TABLE,
    LOW,
    OVER_MOUTH,
    OVER_TABLE,
    DualErrand,
)
from controlkit.mechanics.sequence.dual_grasp import clear, open_device, set_up_again, surround
from controlkit.mechanics.sequence.dual_lifts import lift_to_mouth, lift_to_table, lower, lower_to_table, take_weight
from controlkit.mechanics.sequence.dual_wrong import (
    RESET,
    UP,
    Changes,
    held_by_lock,
    held_or_not,
    size,
)
from controlkit.mechanics.sequence.records import Facts, LockWork, Step, Told, Wrong
from controlkit.mechanics.sequence.turned import TO_OBJECT

_LOCK_MOTION = "extension of the arm together with abduction, the point of the shoulder lowered or forward, and back"


def dual_steps(errand: DualErrand) -> list[Step]:
    """Build all steps of an errand above the elbow.

    Parameters
    ----------
    errand : DualErrand
        System, elbow lock and object

    Returns
    -------
    list of Step
        In the order in which they are first used
    """
    return [
        *_pre_position(errand),
        _unlock(errand),
        lift_to_table(errand),
        _lock(errand),
        _ease(errand),
        open_device(errand),
        surround(errand),
        take_weight(errand),
        lift_to_mouth(errand),
        lower_to_table(errand),
        clear(errand),
        lower(errand),
        set_up_again(),
    ]


def _pre_position(errand: DualErrand) -> list[Step]:
    """Turn wrist and turntable before anything else."""
    found = []
    for part, verb in (("wrist", "turns the device in its wrist unit"), ("turntable", "turns the forearm")):
        wrong = [Wrong({part: TO_OBJECT}, Told(f"The {part} is turned to the object already."))]
        for where in UP:
            bears = size("bears", errand.hold(where).device_force, "force")
            told = Told(
                f"The cable holds the forearm up and bears {{bears}} at the device: it resists the {part}.", (bears,)
            )
            wrong.append(Wrong({"cable": "taut", "elbow": where}, told))
        for where in (LOW, AT_TABLE, AT_MOUTH):
            reached = errand.open(where)
            told = Told(
                f"The arm flexed to {{arm}} holds the device open; the cable bears {{bears}} there and "
                f"resists the {part}.",
                (size("arm", reached.arm_flexion, "angle"), size("bears", reached.device_force, "force")),
            )
            wrong.append(Wrong({"cable": "pulled", "elbow": where}, told))
        found.append(
            Step(
                name=f"pre-position the {part}",
                motion=f"the sound hand {verb}, so that the fingers will meet the object square",
                first="the cable is slack",
                does="turn",
                changes={part: TO_OBJECT},
                wrong=tuple(wrong),
            )
        )
    return found


def _unlock(errand: DualErrand) -> Step:
    """Let the elbow go, its weight on the cable or on its stop."""
    wrong = _out_of_reach(errand)
    for where in (LOW, *UP):
        cable = "slack" if where == LOW else "taut"
        weight = size("weight", errand.on_lock(where, carried=False), "moment")
        at, sinks = (
            size("at", errand.flexion[where], "angle"),
            size("sinks", errand.pull_lock(where, locked=False).dropped, "angle"),
        )
        text = (
            "The lock changes over with every pull. It was off, and now it is on, at {at}, against {weight} of the "
            "forearm's weight."
        )
        if where in (OVER_TABLE, OVER_MOUTH):
            text += " Once the cable is eased the forearm will sink by {sinks} to the position below."
        wrong.append(
            Wrong({"lock": "off", "elbow": where, "cable": cable}, Told(text, (at, sinks, weight)), {"lock": "on"})
        )
    wrong += held_by_lock(errand, "")
    return Step(
        name="unlock",
        motion=_LOCK_MOTION,
        first="the lock is on, and the cable or the stop bears the forearm",
        does="lock",
        changes={"lock": "off"},
        wrong=tuple(wrong),
    )


def _out_of_reach(errand: DualErrand) -> list[Wrong]:
    """A lock that no motion of this wearer works, with the cable slack or while it must hold the forearm."""
    cases: list[tuple[Facts, tuple[LockWork, Told]]] = [({"cable": "slack"}, errand.lock_work(LOW, "slack"))]
    for where in UP:
        for when, carried in held_or_not():
            taut = errand.lock_work(where, "taut", carried=carried)
            cases.append(({**when, "elbow": where, "cable": "taut"}, taut))
    return [Wrong(when, short) for when, (_, short) in cases if short]


def _lock(errand: DualErrand) -> Step:
    """Lock the elbow where the cable or the stop holds it."""
    wrong = _out_of_reach(errand)
    weight = size("weight", errand.on_lock(LOW, carried=False), "moment")
    told = Told(
        "The lock was on: the same motion lets it go, and the forearm hangs on its stop with {weight}.", (weight,)
    )
    wrong.append(Wrong({"lock": "on", "elbow": LOW, "cable": "slack"}, told, {"lock": "off"}))
    for where in UP:
        for when, carried in held_or_not():
            bears = size("bears", errand.hold(where, carried=carried).harness_force, "force")
            told = Told(
                "The lock was on: the same motion lets it go, and nothing but {bears} at the harness holds the "
                "forearm up.",
                (bears,),
            )
            wrong.append(Wrong({**when, "lock": "on", "elbow": where, "cable": "taut"}, told, {"lock": "off"}))
    wrong += held_by_lock(errand, "The lock is on: the same motion would let it go. ")
    return Step(
        name="lock",
        motion=_LOCK_MOTION,
        first="the lock is off, and the cable or the stop holds the forearm where it is wanted",
        does="lock",
        changes={"lock": "on"},
        wrong=tuple(wrong),
    )


def _ease(errand: DualErrand) -> Step:
    """Let the cable go slack."""
    idle = Told("The cable is slack: it can only pull. The bands already close the device as hard as they can.")
    wrong = [Wrong({"cable": "slack"}, idle)]
    for where in UP:
        for when, carried in held_or_not():
            drop, way = errand.falls(where)
            told = Told(
                "Nothing but the cable holds the forearm up, against {weight}. Eased, it lets it drop by {drop}, and "
                "the device by {way}.",
                (
                    size("weight", errand.on_lock(where, carried=carried), "moment"),
                    size("drop", drop, "angle"),
                    size("way", way, "length"),
                ),
            )
            changes: Changes = {"elbow": LOW, "cable": "slack", **RESET}
            wrong.append(Wrong({**when, "lock": "off", "elbow": where, "cable": "taut"}, told, changes))
    return Step(
        name="ease the cable",
        motion="arm and scapulae ease back; the bands close the device",
        first="the cable is pulled, the elbow locked",
        does="let back",
        changes={
            "cable": "slack",
            "device": "shut",
            "elbow": {OVER_TABLE: AT_TABLE, OVER_MOUTH: AT_MOUTH},
            "object": {"between the fingers": "held"},
            "errand": {"at the mouth": "done"},
        },
        wrong=tuple(wrong),
    )
