"""What can be read at the bench of the lab, below and above the elbow: names, how it is done, where in the picture."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from controlkit.units import deg

__all__ = ["ABOVE", "BELOW", "LEVELS", "BenchReading", "Level", "Spot", "offered"]

Level = Literal["below", "above"]
LEVELS: dict[Level, str] = {"below": "below the elbow", "above": "above the elbow"}
"""Both levels by their name in a setting."""
Spot = Literal[
    "device",
    "hanger",
    "wrist",
    "cable",
    "drawn",
    "axis",
    "forearm",
    "fingers",
    "ring",
    "strap",
    "load",
    "arm",
    "lock",
    "hung",
]
"""Where in the picture the instrument is put."""


@dataclass(frozen=True, kw_only=True)
class BenchReading:
    """One quantity that can be read.

    Parameters
    ----------
    what : str
        What it is, as the menu says it.
    short : str
        The same in the record, without a comma: a list of them stays a list.
    bench : str
        Its name at the bench of the mechanics.
    kind : str
        Kind of quantity: "force", "length" or "angle".
    spot : str
        Where the instrument is put.
    elbow : float
        Elbow flexion meanwhile [rad].
    """

    what: str
    short: str
    bench: str
    kind: str
    spot: Spot
    elbow: float = 0.0


def _force(what: str, short: str, bench: str, spot: Spot, *, at: float) -> BenchReading:
    return BenchReading(what=what, short=short, bench=bench, kind="force", spot=spot, elbow=deg(at))


def _length(what: str, short: str, bench: str, spot: Spot, *, at: float = 0.0) -> BenchReading:
    return BenchReading(what=what, short=short, bench=bench, kind="length", spot=spot, elbow=deg(at))


def _angle(what: str, short: str, bench: str, spot: Spot, *, at: float = 0.0) -> BenchReading:
    return BenchReading(what=what, short=short, bench=bench, kind="angle", spot=spot, elbow=deg(at))


_EITHER = {
    "device": _force("Device, pull that begins to open", "pull at the device", "device", "device", at=90),
    "hanger-90": _force("Hanger, pull that opens, elbow 90°", "hanger pull at 90°", "", "hanger", at=90),
    "hanger-135": _force("Hanger, pull that opens, elbow 135°", "hanger pull at 135°", "", "hanger", at=135),
    "ring": _length("Ring, down from C7", "C7 to ring", "ring", "ring"),
    "slip": _length("Slip of the socket, axial load", "slip", "slip", "load"),
    "slip-opens": _length("Fingertips moved by the axial load", "opened by the slip", "slip opens", "load"),
}
BELOW: dict[str, BenchReading] = {
    "device": _EITHER["device"],
    "hanger-0": _force("Hanger, pull that opens, straight", "hanger pull at 0°", "hanger straight", "hanger", at=0),
    "hanger-90": _EITHER["hanger-90"],
    "hanger-135": _EITHER["hanger-135"],
    "back": _force("Hanger, pull that lets back, elbow 90°", "pull going back", "back", "hanger", at=90),
    "hold": _force("Wrist, pull that keeps the elbow still", "pull at the wrist", "hold", "wrist", at=90),
    "cable": _length("Cable, from hanger to device", "cable", "cable", "cable", at=90),
    "housing": _length("Elbow axis to housing, elbow 90°", "axis to housing", "housing", "axis", at=90),
    "elbow": _angle("Elbow flexion where the forearm stops", "elbow stops", "elbow", "forearm", at=135),
    "rest": _length("Fingertips apart, arm hanging", "fingers apart at rest", "rest", "fingers"),
    "rest-bent": _length(
        "Fingertips moved by bending the elbow", "opened by the elbow", "rest bent", "fingers", at=135
    ),
    "slack": _length("Slack: draw until the device moves", "slack", "slack", "strap"),
    "comes": _length("Unhooked hanger comes, drawn with 50 N", "hanger comes", "comes", "strap"),
    "ring": _EITHER["ring"],
    "slip": _EITHER["slip"],
    "slip-opens": _EITHER["slip-opens"],
    "turn": _angle("Arm flexion to half way, elbow straight", "arm half way", "turn straight", "arm"),
    "turn-bent": _angle("Arm flexion to half way, elbow 135°", "arm half way at 135°", "turn bent", "arm", at=135),
    "arm-90": _length("Fingertips, arm led up, elbow at 90°", "opening at 90°", "", "fingers", at=90),
    "table": _length(
        "Fingertips at the table, on command", "opening at the table", "table on command", "fingers", at=90
    ),
    "mouth": _length(
        "Fingertips at the mouth, on command", "opening at the mouth", "mouth on command", "fingers", at=130
    ),
    "fly": _length("Fingertips at the fly, on command", "opening at the fly", "fly on command", "fingers", at=75),
    "mouth-alone": _length(
        "Fingertips at the mouth, unasked", "opening at the mouth unasked", "mouth", "fingers", at=130
    ),
}
"""Below the elbow, by their name in a setting."""
ABOVE: dict[str, BenchReading] = {
    "device": _EITHER["device"],
    "hanger-90": _EITHER["hanger-90"],
    "hanger-135": _EITHER["hanger-135"],
    "lift-45": _force("Hanger, pull that lifts past 45°", "lift at 45°", "lift", "hanger", at=45),
    "lift-90": _force("Hanger, pull that lifts past 90°", "lift at 90°", "lift 90", "hanger", at=90),
    "lift-135": _force("Hanger, pull that lifts to 135°", "lift at 135°", "lift full", "hanger", at=135),
    "weight": _force("Wrist, pull that carries the forearm", "forearm's weight", "weight", "wrist", at=90),
    "live-60": _force("Live lift, elbow held at 60° by cable", "live lift at 60°", "", "hung", at=60),
    "live-90": _force("Live lift, elbow held at 90°", "live lift at 90°", "live", "hung", at=90),
    "live-120": _force("Live lift, elbow held at 120°", "live lift at 120°", "", "hung", at=120),
    "drawn": _length("Cable drawn for full flexion", "cable for full flexion", "drawn full", "drawn", at=135),
    "lever-0": _length(
        "Elbow axis to cable, straight; below 0: behind", "axis to cable at 0°", "lever straight", "axis", at=0
    ),
    "lever-90": _length("Elbow axis to cable, elbow 90°", "axis to cable at 90°", "lever", "axis", at=90),
    "lifting-opens": _length("Fingertips moved while lifting", "opened by lifting", "lifting opens", "fingers", at=60),
    "flexes": _angle("Arm flexion, forearm at 90°", "arm for forearm at 90°", "turn", "arm", at=90),
    "flexes-full": _angle(
        "Arm flexion, forearm at 135°, scapulae", "arm for forearm at 135°", "turn both", "arm", at=135
    ),
    "locked-90": _length("Fingertips, locked at 90°, scapulae", "opening locked at 90°", "", "fingers", at=90),
    "locked-mouth": _length("Fingertips at the mouth, locked", "opening at the mouth", "", "fingers", at=130),
    "locked-fly": _length("Fingertips at the fly, locked", "opening at the fly", "", "fingers", at=75),
    "ring": _EITHER["ring"],
    "play": _length("Lateral suspensor, what hangs loose", "suspensor play", "play", "strap"),
    "play-front": _length("Front support strap, what hangs loose", "front strap play", "play front", "strap"),
    "lock": _length("Lock cable drawn by the lock motion", "lock motion draws", "lock", "lock", at=90),
    "lock-idle": _length("Lock cable drawn in walking", "walking draws", "lock idle", "lock"),
    "slip": _EITHER["slip"],
    "slip-opens": _EITHER["slip-opens"],
}
"""Above the elbow, by their name in a setting."""


def offered(level: str) -> dict[str, BenchReading]:
    """What can be read at a level.

    Parameters
    ----------
    level : str
        "below" or "above".

    Returns
    -------
    dict
        Readings by their name in a setting.

    Examples
    --------
    >>> offered("below")["ring"].short, offered("above")["ring"].kind
    ('C7 to ring', 'length')
    """
    return BELOW if level == "below" else ABOVE
