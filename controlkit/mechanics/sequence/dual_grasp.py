"""Steps of dual control at the object: open the device, surround, clear."""

from __future__ import annotations

import numpy as np

from controlkit.mechanics.sequence.dual_errand import (
    AT_MOUTH,
    AT_TABLE,
    LOW,
    OVER_MOUTH,
    OVER_TABLE,
    DualErrand,
)
from controlkit.mechanics.sequence.dual_wrong import (
    MOTION,
    MOUTHS,
    RESET,
    UP,
    Changes,
    between,
    held_or_not,
    open_already,
    size,
)
from controlkit.mechanics.sequence.records import Step, Told, Wrong
from controlkit.mechanics.sequence.turned import ACROSS, AWAY, opening_askew


def open_device(errand: DualErrand) -> Step:
    """Open the device, the elbow locked.

    Parameters
    ----------
    errand : DualErrand
        System, elbow lock and object

    Returns
    -------
    Step
        With what it does at the wrong moment
    """
    wrong = open_already(errand)
    for when, carried in held_or_not():
        wrong += [
            Wrong({**when, "lock": "off", "elbow": where}, _rises(errand, where, carried)) for where in (LOW, *UP)
        ]
        wrong += [
            Wrong({**when, "lock": "on", "elbow": where}, between(errand, where, carried))
            for where in (OVER_TABLE, OVER_MOUTH)
        ]
    wrong += [_dropped(errand, where) for where in (LOW, AT_MOUTH)]
    return Step(
        name="open the device",
        motion=MOTION,
        first="the elbow is locked; something held is back on the table",
        does="open",
        changes={"cable": "pulled", "device": "open", "object": {"held": "between the fingers"}},
        wrong=tuple(wrong),
    )


def _rises(errand: DualErrand, where: str, carried: bool) -> Told:
    """What the pull that would open the device does to a free elbow."""
    rise, travel = errand.rises(where)
    reached = errand.climb(where, OVER_TABLE, carried=carried) if where == LOW else errand.hold(where, carried=carried)
    device = errand.system.device
    opens = device.force(device.travel_for(errand.width if carried else 0.0))
    below, above = size("asks", reached.device_force, "force"), size("opens", opens, "force")
    if reached.short:
        return reached.short
    text = (
        "The elbow is free: {travel} of cable, which would open the device, flex it by {rise} instead. {asks} come to "
        "the device, and {opens} open it: it stays shut."
    )
    sizes = (size("travel", travel, "length"), size("rise", rise, "angle"), below, above)
    if reached.grip is None:
        return Told(text, sizes)
    text += " Of the grip on the object {grip} are left."
    return Told(text, (*sizes, size("grip", reached.grip, "force")))


def _dropped(errand: DualErrand, where: str) -> Wrong:
    """Something held, away from the table, and the device opened."""
    most, left = errand.opens_at_most(where), size("left", errand.left(where), "length")
    when = {"object": "held", "lock": "on", "elbow": where}
    grip = size("grip", errand.system.device.pinch(errand.width), "force")
    at, wide = size("at", errand.flexion[where], "angle"), size("wide", errand.width, "length")
    if most <= errand.width:
        text = (
            "With the elbow locked at {at}, {left} of excursion are left: the device opens to {most} at most, and the "
            "object is {wide} wide. The bands keep hold of it with up to {grip}."
        )
        return Wrong(when, Told(text, (at, left, size("most", most, "length"), wide, grip)))
    text = (
        "With the elbow locked at {at}, {left} of excursion are left, enough to take the bands' grip of {grip} away. "
        "The object is held by nothing and falls."
    )
    changes: Changes = {"cable": "slack", "device": "shut", "object": "out of reach", **RESET}
    return Wrong(when, Told(text, (at, left, grip)), changes)


def surround(errand: DualErrand) -> Step:
    """Bring the open fingers around the object.

    Parameters
    ----------
    errand : DualErrand
        System, elbow lock and object

    Returns
    -------
    Step
        With what it does at the wrong moment
    """
    wide = size("wide", errand.width, "length")
    away: Changes = {"object": "out of reach"}
    wrong = [
        Wrong({"object": ("between the fingers", "held")}, Told("The object is between the fingers already.")),
        Wrong({"object": "out of reach"}, Told("There is nothing in front of the fingers.")),
    ]
    for where in (LOW, *MOUTHS):
        rise = errand.reach * abs(float(np.cos(errand.flexion[where]) - np.cos(errand.flexion[AT_TABLE])))
        side = "below" if where == LOW else "above"
        told = Told(
            f"The object stands at the table, and the device {{rise}} {side} that.", (size("rise", rise, "length"),)
        )
        wrong.append(Wrong({"elbow": where}, told))
    shut = Told(
        "The fingers are shut and the object is {wide} wide: they push it over. With the elbow locked here, the "
        "arm at {arm} would open them far enough.",
        (wide, size("arm", errand.open(AT_TABLE).arm_flexion, "angle")),
    )
    wrong.append(Wrong({"device": "shut"}, shut, away))
    wrong.append(
        Wrong({"turntable": AWAY}, Told("The turntable points {off} to the side of the object.", (beside(errand),)))
    )
    wrong.append(Wrong({"wrist": AWAY}, _askew(errand), away))
    return Step(
        name="surround",
        motion="trunk and shoulder bring the open fingers around the object",
        first="the device is open at the table, wrist and turntable are turned to the object",
        does="nothing",
        changes={"object": "between the fingers"},
        wrong=tuple(wrong),
    )


def beside(errand: DualErrand) -> tuple[str, float, str]:
    """How far from the object a turntable that was not set takes the device.

    Parameters
    ----------
    errand : DualErrand
        System, elbow lock and object

    Returns
    -------
    tuple of (str, float, str)
        Distance as `Told` takes it [m]
    """
    across = errand.reach * float(np.sin(errand.flexion[AT_TABLE]))
    return size("off", 2.0 * across * float(np.sin(0.5 * errand.swung)), "length")


def _askew(errand: DualErrand) -> Told:
    """What the fingers do with an object that they meet askew."""
    reached = errand.open(AT_TABLE)
    turned, arm = size("turned", errand.turned, "angle"), size("arm", reached.arm_flexion, "angle")
    if errand.turned > ACROSS:
        return Told(
            "The fingers that the arm at {arm} holds open stand one above the other, and the object is taller: they "
            "push it over.",
            (arm,),
        )
    needed = opening_askew(errand.width, errand.turned)
    sizes = turned, arm, size("needed", needed, "length"), size("apart", errand.wanted, "length")
    if needed > errand.wanted:
        return Told(
            "Askew by {turned}, the fingers would have to stand {needed} apart to pass the object. The arm at {arm} "
            "holds them {apart} apart, and they push it over.",
            sizes,
        )
    return Told(
        "The fingers, which the arm at {arm} holds open, pass the object askew by {turned}. As they close, one presses "
        "higher than the other, and they tip it over.",
        sizes,
    )


def clear(errand: DualErrand) -> Step:
    """Draw the open fingers off the object.

    Parameters
    ----------
    errand : DualErrand
        System, elbow lock and object

    Returns
    -------
    Step
        With what it does at the wrong moment
    """
    reached = errand.open(AT_TABLE)
    held = Told(
        "The bands hold the object with {grip}: it comes along. The arm would have to open the device at {arm}.",
        (size("grip", errand.system.device.pinch(errand.width), "force"), size("arm", reached.arm_flexion, "angle")),
    )
    return Step(
        name="clear",
        motion="trunk and shoulder draw the open fingers off the object",
        first="the object stands free between the fingers",
        does="nothing",
        changes={"object": "on the table"},
        wrong=(
            Wrong({"object": "held"}, held),
            Wrong({"object": ("on the table", "out of reach")}, Told("There is nothing between the fingers.")),
        ),
    )


def set_up_again() -> Step:
    """Put back what has fallen.

    Returns
    -------
    Step
        Done by the sound hand
    """
    return Step(
        name="set up again",
        motion="the sound hand puts the object back",
        first="the object is out of reach",
        does="nothing",
        changes={"object": "on the table"},
        wrong=(Wrong({"object": ("on the table", "between the fingers", "held")}, Told("Nothing has fallen.")),),
    )
