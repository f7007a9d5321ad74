"""Single control: grasp an object at the table, bring it to the mouth, put it back."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np

from controlkit.mechanics.device import Device
from controlkit.mechanics.inputs import number, within
from controlkit.mechanics.sequence.amounts import CLEARANCE, TABLE, SystemLike, at_device, in_system
from controlkit.mechanics.sequence.machine import OperatingSequence
from controlkit.mechanics.sequence.records import Amount, Facts, Situation, Step, Told, Wrong
from controlkit.mechanics.sequence.turned import (
    ACROSS,
    AWAY,
    SQUARE,
    TO_OBJECT,
    TURNED,
    arm_instead,
    by_name,
    opening_askew,
)
from controlkit.sources import source
from controlkit.units import InputError, show

_AT_TABLE: Facts = {"arm": "at the table"}
_ELSEWHERE: Facts = {"arm": ("at rest", "at the mouth")}


def operating_sequence(
    control: SystemLike | Device,
    width: float = 0.03,
    pinch: float | None = None,
    demand: Callable[[Step, Situation], Amount] | None = None,
    *,
    turned: float = TURNED,
) -> OperatingSequence:
    """Build the operating sequence of single control: pre-position, grasp, bring to the mouth, put back.

    Parameters
    ----------
    control : SingleControl, SystemLike or device
        A whole system, or a device alone
    width : float
        Width of the object [m]
    pinch : float, optional
        Grip wanted of a voluntary-closing device; left out, what nine of twelve tasks need [N]
    demand : callable, optional
        Own amounts, from step and state to `Amount`
    turned : float
        How far the device is turned away from the object at first, lacking pronation; so little that the
        fingers settle by themselves counts as turned to it [rad]

    Returns
    -------
    OperatingSequence
        To step through, judge, or draw

    Raises
    ------
    InputError
        If the object does not fit, or an entry is not credible

    Notes
    -----
    Steps and their order follow from the mechanics; the object is rigid, stands freely, and is taller than the
    device opens. It says what force does, not how skill grows.

    Examples
    --------
    >>> from controlkit.mechanics.device import hook_closing, hook_opening
    >>> ", ".join(operating_sequence(hook_opening()).right_order()[:5])
    'pre-position, reach out, pull, surround, let go'
    >>> ", ".join(operating_sequence(hook_closing()).right_order()[:4])
    'pre-position, reach out, surround, pull'
    """
    device = getattr(control, "device", control)
    if not isinstance(device, Device) or not (control is device or hasattr(control, "sweep")):
        raise InputError(
            given=f"{control!r} was given.",
            do="Give a SingleControl or a device, for example hook_opening(); above the elbow, ask "
            "operating_sequence_dual.",
        )
    grip = source("key_pinch_most_tasks").si if pinch is None else number("The pinch", pinch, "newton(10)")
    if not 0.0 < grip <= 200.0:
        raise InputError(
            given=f"A pinch of {grip:g} N was given.",
            do="Give more than 0 N and no more than 200 N.",
        )
    if not 0.0 < number("The width of the object", width, "mm(30)") <= device.full_opening:
        raise InputError(
            given=f"An object {show(width, 'length')} wide was given.",
            do=f"This device opens {show(device.full_opening, 'length')}; give more than 0 and no more than that.",
        )
    within("The turn of the device", float(np.rad2deg(turned)), 0.0, 90.0 + 1e-6, example="deg(60)", unit=" degrees")
    system = None if isinstance(control, Device) else control
    if demand is None and system is not None:
        demand = in_system(system, width, grip, turned=turned)
    steps = _opening(device, width) if device.opens else _closing(device, width, grip)
    steps = [_pre_position(), *_askew(steps, device, width=width, turned=turned, system=system)]
    locks = device.locks
    stands = TO_OBJECT if turned < SQUARE else AWAY
    facts = [("arm", "at rest"), ("cable", "slack"), ("device", stands), ("object", "on the table")]
    facts.append(("errand", "to do"))
    goal = {"arm": "at rest", "cable": "slack", "object": "on the table", "errand": "done"}
    if locks:
        facts, goal = [*facts, ("lock", "off")], {**goal, "lock": "off"}
    return OperatingSequence(
        name=f"single control, {device.kind}{' with lock' if locks else ''}",
        start=Situation(tuple(facts)),
        goal=goal,
        steps={step.name: step for step in steps},
        demand=demand or at_device(device, width, grip, turned),
    )


def _pre_position() -> Step:
    """Turn the device in its wrist unit before anything else."""
    return Step(
        name="pre-position",
        motion="the sound hand turns the device in its wrist unit, so that its fingers will meet the object square",
        first="the cable is slack, and the arm has not set out",
        does="turn",
        changes={"device": TO_OBJECT},
        wrong=(
            Wrong({"device": TO_OBJECT}, Told("The device is turned to the object already.")),
            Wrong({"cable": "pulled"}, Told("The pulled cable holds the device against the turn.")),
        ),
    )


def _askew(
    steps: Sequence[Step], device: Device, *, width: float, turned: float, system: SystemLike | None
) -> list[Step]:
    """Add to reaching and surrounding what happens without pre-positioning."""
    told = {
        "reach out": ({"arm": "at rest"}, _reached_askew(turned, system), {"arm": "at the table"}),
        "surround": (
            {"arm": "at the table", "object": "on the table"},
            _met_askew(device, width, turned),
            {"object": "out of reach"},
        ),
    }
    found = []
    for step in steps:
        if step.name in told:
            when, words, changes = told[step.name]
            step = replace(step, wrong=(*step.wrong, Wrong({**when, "device": AWAY}, words, changes)))
        found.append(step)
    return found


def _reached_askew(turned: float, system: SystemLike | None) -> Told:
    sizes: tuple[tuple[str, float, str], ...] = (("turned", turned, "angle"),)
    text = "The device was not pre-positioned: its fingers will meet the object askew by {turned}."
    if system is None:
        return Told(text, sizes)
    instead = arm_instead(system.harness.wearer, TABLE, turned)
    if instead is None:
        return Told(f"{text} Lifting the elbow to the side cannot make up for that.", sizes)
    pulls = max(system.at(**by_name(instead.pose)).excursion.captured, 0.0)
    return Told(
        f"{text} Squaring them without the wrist unit is left to the shoulder: it must lift the elbow by {{lift}} "
        "to the side. That takes the device {moved} from the object, which the trunk must make up for, and pulls "
        "{pulls} inadvertently.",
        (*sizes, ("lift", instead.lift, "angle"), ("moved", instead.moved, "length"), ("pulls", pulls, "length")),
    )


def _met_askew(device: Device, width: float, turned: float) -> Told:
    if turned > ACROSS:
        return Told(
            "The fingers stand one above the other, and the object is taller than they open: they push it over."
        )
    full = device.full_opening
    apart, needed = min(width + CLEARANCE, full) if device.opens else full, opening_askew(width, turned)
    if needed > apart:
        return Told(
            "Askew by {turned}, the fingers would have to stand {needed} apart to pass the object. They stand "
            "{apart} apart and push it over.",
            (("turned", turned, "angle"), ("needed", needed, "length"), ("apart", apart, "length")),
        )
    return Told(
        "The fingers pass the object askew by {turned}. As they close, one presses higher than the other, and they "
        "tip it over.",
        (("turned", turned, "angle"),),
    )


_PUSHED = "The fingers are shut and the object is {wide} wide: they push it over."


def _opening(device: Device, width: float) -> list[Step]:
    grip, wide = ("grip", device.pinch(width), "force"), ("wide", width, "length")
    falls = {"cable": "pulled", "object": "out of reach"}
    pull = Step(
        name="pull",
        motion="arm flexion, or biscapular abduction where the device must stay",
        first="the cable is slack; something held is back on the table",
        does="pull",
        changes={"cable": "pulled", "object": {"held": "between the fingers"}},
        wrong=(
            Wrong({"cable": "pulled"}, Told("The device is open already; more pull only loads harness and armpit.")),
            Wrong(
                {**_ELSEWHERE, "object": "held"},
                Told(
                    "The pull takes the bands' grip of {grip} away. The object is held by nothing and falls.", (grip,)
                ),
                falls,
            ),
        ),
    )
    let_go = Step(
        name="let go",
        motion="arm and scapulae ease back; the bands close the device",
        first="the cable is pulled",
        does="let back",
        changes={"cable": "slack", "object": {"between the fingers": "held"}},
        wrong=(
            Wrong(
                {"cable": "slack"},
                Told(
                    "The cable is slack: it can only pull, and the bands already close the device as hard as they can."
                ),
            ),
        ),
    )
    shut = ({"cable": "slack"}, Told(_PUSHED, (wide,)))
    return _arm([pull], let_go, [shut], "The bands still hold the object: it comes along.")


def _closing(device: Device, width: float, pinch: float) -> list[Step]:
    grip, wide = ("grip", pinch, "force"), ("wide", width, "length")
    least = ("least", device.force_back(device.travel_for(width)), "force")
    locks = device.locks
    pull = Step(
        name="pull",
        motion="arm flexion, or biscapular abduction where the device must stay",
        first="the object is between the fingers",
        does="pull",
        changes={"cable": "pulled", "object": {"between the fingers": "held"}},
        wrong=(
            Wrong({"cable": "pulled", "object": "held"}, Told("Grip rises with the pull: what is fragile breaks.")),
            Wrong({"cable": "pulled"}, Told("The device is shut already; more pull only loads harness and armpit.")),
            Wrong(
                {"object": ("on the table", "out of reach")},
                Told("The device shuts on nothing, and shut it gets around nothing."),
                {"cable": "pulled", **({"lock": "on"} if locks else {})},
            ),
        ),
    )
    if locks:
        pull = Step(
            name=pull.name,
            motion=pull.motion,
            first=pull.first,
            does=pull.does,
            changes={**pull.changes, "lock": "on"},
            wrong=pull.wrong,
        )
    loses = Told(
        "With the pull goes the grip: of {grip} nothing is left once the cable pulls less than {least}. "
        "The spring opens the device and the object falls.",
        (grip, least),
    )
    drops = Wrong({**_ELSEWHERE, "object": "held"}, loses, {"cable": "slack", "object": "out of reach"})
    slack = Wrong({"cable": "slack"}, Told("The cable is slack: there is nothing to let back."))
    let_go = Step(
        name="let go",
        motion="arm and scapulae ease back",
        first="the cable is pulled" if locks else "the cable is pulled; something held is back on the table",
        does="let back",
        changes={"cable": "slack"} if locks else {"cable": "slack", "object": {"held": "between the fingers"}},
        wrong=(slack,) if locks else (slack, drops),
    )
    opens: list[Step] = [pull]
    shut: list[tuple[Facts, Told]] = [({"cable": "pulled"}, Told(_PUSHED, (wide,)))]
    if locks:
        falls = Wrong(
            {**_ELSEWHERE, "object": "held"},
            Told("The lock lets go, the spring opens the device, and the object falls."),
            {"lock": "off", "cable": "slack", "object": "out of reach"},
        )
        opens.append(
            Step(
                name="unlock",
                motion="pull a little harder than before, then ease back",
                first="the lock holds; something held is back on the table",
                does="pull",
                changes={"lock": "off", "cable": "slack", "object": {"held": "between the fingers"}},
                wrong=(
                    Wrong({"lock": "off"}, Told("Nothing is locked: the device closes and opens again for nothing.")),
                    falls,
                ),
            )
        )
        shut.append(
            (
                {"lock": "on"},
                Told("The lock keeps the fingers shut and the object is {wide} wide: they push it over.", (wide,)),
            )
        )
    return _arm(opens, let_go, shut, "The device still holds the object: it comes along.")


def _arm(pulls: list[Step], let_go: Step, shut: Sequence[tuple[Facts, Told]], along: str) -> list[Step]:
    """Put the steps that move the arm around those that work the cable."""
    away = {"object": "out of reach"}
    loose = "The fingers are apart around the object and do not grip: it stays behind and is knocked over."
    reach = Step(
        name="reach out",
        motion="arm and elbow flexion; the scapula stays back",
        first="the arm is at rest",
        does="move",
        changes={"arm": "at the table"},
        wrong=(Wrong({"arm": ("at the table", "at the mouth")}, Told("The arm is out already.")),),
    )
    surround = Step(
        name="surround",
        motion="forearm and trunk bring the open fingers around the object",
        first="the device is open, the object stands on the table",
        does="nothing",
        changes={"object": "between the fingers"},
        wrong=(
            Wrong(_ELSEWHERE, Told("The object is on the table and the device is not.")),
            Wrong({"object": ("between the fingers", "held")}, Told("The object is between the fingers already.")),
            Wrong({"object": "out of reach"}, Told("There is nothing in front of the fingers.")),
            *(Wrong(when, told, away) for when, told in shut),
        ),
    )
    bring = Step(
        name="bring to the mouth",
        motion="elbow flexion and arm flexion; the scapula gives back what arm flexion pulls",
        first="the object is held",
        does="move",
        changes={"arm": "at the mouth", "errand": "done"},
        wrong=(
            Wrong(_ELSEWHERE, Told("The arm is not at the table: this step begins there.")),
            Wrong({"object": "between the fingers"}, Told(loose), {"arm": "at the mouth", **away}),
            Wrong(
                {"object": ("on the table", "out of reach")},
                Told("The device comes up empty."),
                {"arm": "at the mouth"},
            ),
        ),
    )
    lower = Step(
        name="lower to the table",
        motion="elbow and arm extend; what is held stays held",
        first="the arm is at the mouth",
        does="move",
        changes={"arm": "at the table"},
        wrong=(Wrong({"arm": ("at rest", "at the table")}, Told("The arm is not up.")),),
    )
    clear = Step(
        name="clear",
        motion="forearm and trunk draw the open fingers off the object",
        first="the object stands free between the fingers",
        does="nothing",
        changes={"object": "on the table"},
        wrong=(
            Wrong({"object": "held"}, Told(along)),
            Wrong({"object": ("on the table", "out of reach")}, Told("There is nothing between the fingers.")),
        ),
    )
    back = Step(
        name="return",
        motion="arm and elbow extend to the side",
        first="the arm is at the table, the device is free of the object",
        does="move",
        changes={"arm": "at rest"},
        wrong=(
            Wrong(_ELSEWHERE, Told("The arm is not at the table: this step begins there.")),
            Wrong({"object": "between the fingers"}, Told(loose), {"arm": "at rest", **away}),
            Wrong({"object": "held"}, Told(along), {"arm": "at rest"}),
        ),
    )
    fetch = Step(
        name="set up again",
        motion="the sound hand puts the object back",
        first="the object is out of reach",
        does="nothing",
        changes={"object": "on the table"},
        wrong=(Wrong({"object": ("on the table", "between the fingers", "held")}, Told("Nothing has fallen.")),),
    )
    return [reach, *pulls, surround, let_go, bring, lower, clear, back, fetch]
