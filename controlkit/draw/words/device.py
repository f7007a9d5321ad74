"""Sentences about a terminal device and the object between its fingers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from controlkit.draw.words.pull import Units
from controlkit.draw.words.states import worth_knowing
from controlkit.units import show

if TYPE_CHECKING:
    from controlkit.mechanics.device import Device, Holding

__all__ = ["bands_words", "device_comparison", "device_name", "holding_words", "share_words"]

_KEPT = {
    "no effort": "no effort",
    "can be held": "can be held for an hour",
    "can be repeated": "can be repeated for an hour",
    "may tire": "may tire; the sources disagree",
    "tires": "tires if it is repeated without pauses",
    "too much": "more than there is",
}


def device_name(device: Device, hand: bool) -> str:
    """Name a device.

    Parameters
    ----------
    device : Device
        The device.
    hand : bool
        Whether it is a gloved hand.

    Returns
    -------
    str
        For instance "a voluntary-opening hook with 3 bands".
    """
    kind = f"a {device.kind.replace(' ', '-')} {'hand' if hand else 'hook'}"
    if not device.opens:
        return f"{kind} with a lock" if device.locks else kind
    if hand:
        return f"{kind} with a spring"
    bands = int(getattr(device, "bands", 0))
    return f"{kind} with {bands} band{'s' if bands > 1 else ''}"


def holding_words(
    device: Device,
    holding: Holding,
    *,
    width: float,
    pull: float,
    let_go: bool = False,
    hand: bool = False,
    units: Units = "both",
) -> str:
    """Say what the device does with the object.

    Parameters
    ----------
    device : Device
        The device.
    holding : Holding
        What the mechanics found.
    width : float
        Width of the object [m].
    pull : float
        Cable force at the device [N].
    let_go : bool
        Whether the cable has been let go.
    hand : bool
        Whether it is a gloved hand.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        A few sentences.
    """

    def said(value: float, kind: str) -> str:
        return show(value, kind, units)

    name = device_name(device, hand)
    name = name[0].upper() + name[1:]
    when = f"the cable let go after {said(pull, 'force')}" if let_go else f"{said(pull, 'force')} on the cable"
    text = f"{name}, {when}: "
    thing = f"{said(width, 'length')} object"
    text += (
        f"it grips a {thing} with {said(holding.grip, 'force')}." if holding.grip else f"it does not hold a {thing}."
    )
    opens = device.opens
    if holding.fits:
        to = "open it as wide as the object" if opens else "close it on the object"
        text += f" To {to} takes {said(holding.needed, 'force')} over {said(holding.needed_travel, 'length')} of cable"
        text += f"; to {'open' if opens else 'close'} it fully, {said(device.force(device.travel), 'force')} over "
        text += f"{said(device.travel, 'length')}."
    lost = device.pinch(width) - holding.grip
    if opens and holding.grip > 0.0 and lost > 0.05:
        text += f" The pull takes away {said(lost, 'force')} of the bands' grip."
    return text + worth_knowing(holding.states, units)


def share_words(force: float, strength: float, band: str, units: Units = "both") -> str:
    """Say what share of the wearer's strongest pull a pull takes.

    Parameters
    ----------
    force : float
        The pull at the harness [N].
    strength : float
        Largest pull at the harness [N].
    band : str
        What `fatigue` says of that share.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        One sentence.

    Examples
    --------
    >>> share_words(30.0, 120.0, "tires", "metric").partition(":")[0]
    "Pulling 30.0 N at the harness takes 25 % of the wearer's strongest pull of 120.0 N"
    """
    share = f"{100.0 * force / strength:.0f} %"
    most = show(strength, "force", units)
    pull, kept = show(force, "force", units), _KEPT.get(band, band)
    return f"Pulling {pull} at the harness takes {share} of the wearer's strongest pull of {most}: {kept}."


def bands_words(most: int, share: float) -> str:
    """Say how many bands a share of the wearer's strength opens.

    Parameters
    ----------
    most : int
        Most bands with which it opens the hook fully.
    share : float
        Share of the strength [-].

    Returns
    -------
    str
        One sentence.

    Examples
    --------
    >>> bands_words(3, 0.2)
    'With 20 % of that pull the hook opens fully with up to 3 bands.'
    >>> bands_words(0, 0.2)
    'With 20 % of that pull the hook does not open fully even with one band.'
    """
    with_ = f"With {100.0 * share:.0f} % of that pull the hook"
    if most == 0:
        return f"{with_} does not open fully even with one band."
    return f"{with_} opens fully with up to {most} band{'s' if most > 1 else ''}."


def device_comparison(now: Holding, then: Holding, units: Units = "both") -> str:
    """Say how a setting differs from the pinned one.

    Parameters
    ----------
    now, then : Holding
        The setting on show, and the pinned one.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        One sentence.
    """
    parts = []
    for name, kind, a, b in (
        ("grip", "force", now.grip, then.grip),
        ("cable force to reach the object", "force", now.needed, then.needed),
        ("cable travel to it", "length", now.needed_travel, then.needed_travel),
    ):
        change = show(abs(a - b), kind, units)
        if change == show(0.0, kind, units):
            parts.append(f"{name} no change")
        else:
            parts.append(f"{name} {change} {'more' if a > b else 'less'}")
    return f"Against the pinned setting (thin grey): {', '.join(parts)}."
