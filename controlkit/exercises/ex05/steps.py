"""Exercise 5, terminal devices: worked steps of a case, the answer in the last line."""

from __future__ import annotations

from controlkit.checking import Case
from controlkit.checking.student.siblings import Worked
from controlkit.exercises.ex05.case import (
    REPEATED,
    SCENES,
    closing_pull,
    hardest,
    shut,
    stretched,
)
from controlkit.exercises.ex05.items import BECOMES


def pull_steps(c: Case) -> str:
    """From the bands to the cable."""
    return (
        f"  1. Pinch of {c.bands} bands, shut: {c.bands} times {c.band} N = {shut(c):g} N at {c.finger} mm.\n"
        f"  2. The cable makes the same moment on {c.lever} mm: {shut(c):g} N times {c.finger} / {c.lever}"
        f" = {shut(c) * c.finger / c.lever:.2f} N."
    )


def pinch_steps(c: Case) -> str:
    """From the shut device to the object."""
    return (
        f"  1. Shut, {c.bands} bands pinch with {shut(c):g} N.\n"
        f"  2. The object keeps the hook open by {c.met} of {c.whole} mm: {c.met / c.whole:.4f} of the travel, so the "
        f"moment has grown by {c.rise * c.met / c.whole:.2f} %.\n"
        f"  3. Grip: {shut(c):g} N times {stretched(c):.4f} = {shut(c) * stretched(c):.2f} N."
    )


def pinch_left_steps(c: Case) -> str:
    """Bands less cable."""
    off = c.stray * c.lever / c.finger
    return (
        "  1. The cable opens this hook: an inadvertent pull works against the bands.\n"
        f"  2. At the fingertip it comes to {c.stray} N times {c.lever} / {c.finger} = {off:.2f} N.\n"
        f"  3. Grip left: {shut(c) * stretched(c):.2f} - {off:.2f} = {shut(c) * stretched(c) - off:.2f} N."
    )


ONE_MORE_BAND_STEPS = (
    "  1. The bands' moment is the sum of all. In which of opening force, pinch and travel does it stand?\n"
    "  2. The travel is thumb times angle. Does a band stand in that?\n"
    "  3. What has the bands' moment in it grows with them; what has not stays."
)
"""Where the number of bands stands."""


def hardest_band_steps(c: Case) -> str:
    """From strength to bands."""
    pulls, ratio = REPEATED * c.strength, c.finger / c.lever * (1 + c.rise / 100)
    return (
        f"  1. All day she may pull {100 * REPEATED:g} % of {c.strength} N = {pulls:g} N; {c.arrives} % of it arrives,"
        f" {pulls * c.arrives / 100:.2f} N.\n"
        f"  2. Fully open, a newton of pinch asks {c.finger} / {c.lever} times {1 + c.rise / 100:g} = {ratio:.4f} N.\n"
        f"  3. Of bands with {c.band} N each, as on the hook, that opens {int(hardest(c) * c.bands / c.band)}.\n"
        f"  4. For {c.bands} bands: {pulls * c.arrives / 100:.2f} / {ratio:.4f} / {c.bands} = {hardest(c):.3f} N."
    )


def closing_pull_steps(c: Case) -> str:
    """Spring, then grip."""
    made = c.grip * c.closing_finger / c.closing_lever
    return (
        f"  1. To bring the fingertips to the object takes {c.reading} N.\n"
        f"  2. The grip takes {c.grip} N times {c.closing_finger} / {c.closing_lever} = {made:.2f} N more.\n"
        f"  3. Together: {c.reading} + {made:.2f} = {closing_pull(c):.2f} N."
    )


def share_steps(c: Case) -> str:
    """From the device to the hanger, then to her strength."""
    hanger = closing_pull(c) / (c.arrives / 100)
    return (
        f"  1. At the hanger: {closing_pull(c):.2f} N / {c.arrives / 100:g} = {hanger:.2f} N.\n"
        f"  2. Its share of her strength: {hanger:.2f} / {c.strength} = {100 * hanger / c.strength:.2f} %."
    )


def principle_steps(c: Case) -> str:
    """What grips, and what becomes of it."""
    device, happens = SCENES[c.scene]
    grips = {"rests": "bands", "pulls": "bands", "lets go, locked": "lock"}.get(c.scene, "cable")
    return (
        f"  1. The device: {device}. What grips here: the {grips}.\n  2. What happens: {happens}.\n"
        f"  3. So the grip: {BECOMES[c.scene]}."
    )


WORKED: dict[str, Worked] = {
    "pull": pull_steps,
    "pinch": pinch_steps,
    "pinch_left": pinch_left_steps,
    "one_more_band": ONE_MORE_BAND_STEPS,
    "hardest_band": hardest_band_steps,
    "closing_pull": closing_pull_steps,
    "share": share_steps,
    "principle": principle_steps,
}
