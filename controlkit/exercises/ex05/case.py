"""Exercise 5: how a case is drawn, what is computed for it, and how it is shown."""

from __future__ import annotations

from collections.abc import Mapping

from controlkit.checking import Case, OneOf, Range
from controlkit.checking.case.cases import Draw, Value
from controlkit.mechanics import VoluntaryOpening
from controlkit.sources import source
from controlkit.tables import Table
from controlkit.units import mm

LONG = source("fatigue_free_share")
REPEATED = LONG.si
"""Share of strength that can be asked for all day [-]."""

DRAWS: dict[str, Draw] = {
    "bands": Range(2, 6),
    "band": Range(4.0, 5.0, 0.1, "N"),
    "finger": Range(85, 110, 5, "mm"),
    "lever": Range(40, 54, 2, "mm"),
    "rise": Range(30, 70, 5, "%"),
    "whole": Range(38, 50, 2, "mm"),
    "met": Range(14, 38, 2, "mm"),
    "stray": Range(4, 24, 1, "N"),
    "strength": Range(200, 400, 10, "N"),
    "arrives": Range(70, 85, 1, "%"),
    "closing_finger": Range(60, 84, 4, "mm"),
    "closing_lever": Range(38, 52, 2, "mm"),
    "reading": Range(8, 20, 1, "N"),
    "grip": Range(10, 30, 1, "N"),
    "scene": OneOf(("rests", "pulls", "lets go", "lets go, locked", "pulls on")),
}

SCENES = {
    "rests": ("voluntary opening", "the wearer relaxes her shoulder"),
    "pulls": ("voluntary opening", "the wearer pulls the cable, but less than it takes to move the fingers"),
    "lets go": ("voluntary closing, no lock", "the wearer lets the cable go slack"),
    "lets go, locked": ("voluntary closing, its lock engaged", "the wearer lets the cable go slack"),
    "pulls on": ("voluntary closing, no lock", "the wearer pulls harder than before"),
}
"""Device, and what happens while it grips an object."""


def opening_hook(values: Mapping[str, Value]) -> VoluntaryOpening:
    """The voluntary-opening hook of a case, as the mechanics knows it."""
    return VoluntaryOpening(
        bands=int(values["bands"]),
        finger=mm(float(values["finger"])),
        lever=mm(float(values["lever"])),
        widest=float(values["whole"]) / float(values["lever"]),
        stretch=float(values["rise"]) / 100,
        band_pinch=float(values["band"]),
    )


def measure(values: Mapping[str, Value]) -> dict[str, Value] | None:
    """How wide the object is at which the fingers stop [mm]; None where the draw is of no use."""
    met, whole = int(values["met"]), int(values["whole"])
    hook = opening_hook(values)
    left = hook.pinch(hook.opening(mm(met))) - int(values["stray"]) * hook.lever / hook.finger
    if met > whole - 4 or left < 3.0:
        return None
    return {"width": round(hook.opening(mm(met)) / mm(1))}


def stretched(c: Case) -> float:
    """By how much the bands' moment has grown at the object, 1 when shut [-]."""
    return float(1 + c.rise / 100 * c.met / c.whole)


def shut(c: Case) -> float:
    """Pinch of all bands, the device shut [N]."""
    return float(c.bands * c.band)


def hardest(c: Case, rise: bool = True, lever: bool = True, bands: bool = True, share: float = REPEATED) -> float:
    """How hard one band may pinch for her to open so many so often; a switch leaves out what an idea forgets [N]."""
    asks = (c.bands if bands else 1) * (c.finger / c.lever if lever else 1.0) * (1 + c.rise / 100 if rise else 1.0)
    return float(share * c.strength * c.arrives / 100 / asks)


def closing_pull(c: Case) -> float:
    """Cable force at the device that grips so hard [N]."""
    return float(c.reading + c.grip * c.closing_finger / c.closing_lever)


def present(c: Case) -> tuple[str | Table, ...]:
    """The case as the student sees it."""
    device, happens = SCENES[c.scene]
    return (
        Table(
            "Your hook with voluntary opening",
            ("quantity", "value"),
            (
                ("rubber bands", f"{c.bands}"),
                ("pinch that one band gives at the fingertips, device shut", f"{c.band} N"),
                ("pivot to fingertip", f"{c.finger} mm"),
                ("pivot to cable, along the thumb", f"{c.lever} mm"),
                ("whole cable travel, shut to fully open", f"{c.whole} mm"),
                ("growth of the bands' moment over the whole travel, evenly", f"{c.rise} %"),
            ),
            about=("pull", "pinch", "pinch_left", "one_more_band", "hardest_band"),
        ),
        Table(
            "An object between its fingertips",
            ("quantity", "value"),
            (
                ("width of the object", f"{c.width} mm"),
                ("cable travel at which the fingertips just meet it", f"{c.met} mm"),
                ("inadvertent cable force at the device as she reaches up", f"{c.stray} N"),
            ),
            about=("pinch", "pinch_left"),
        ),
        Table(
            "Your wearer",
            ("quantity", "value"),
            (
                ("largest pull at the hanger", f"{c.strength} N"),
                ("share of a pull at the hanger that arrives at the device", f"{c.arrives} %"),
                (
                    "share of her strength that she can be asked for all day",
                    f"{100 * REPEATED:g} % ({LONG.how_known}; contested)",
                ),
            ),
        ),
        Table(
            "Another hook, with voluntary closing",
            ("quantity", "value"),
            (
                ("pivot to fingertip", f"{c.closing_finger} mm"),
                ("pivot to cable, along the operating lever", f"{c.closing_lever} mm"),
                ("scale at the device as the fingertips come to the object, just before they grip", f"{c.reading} N"),
                ("grip wanted on the object", f"{c.grip} N"),
            ),
            about=("closing_pull", "share"),
        ),
        Table(
            "What happens to the grip?",
            ("part", "what it is"),
            (("device, gripping an object", device), ("what happens", happens)),
            about=("principle",),
        ),
    )
