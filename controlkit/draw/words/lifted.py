"""Sentences about one set-up of dual control: how far it lifts, what that takes, and what is left for opening."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from controlkit.draw.words.dual import why_words
from controlkit.draw.words.effort import percent
from controlkit.draw.words.pull import Units, degrees
from controlkit.units import show

if TYPE_CHECKING:
    from controlkit.mechanics import DualControl
    from controlkit.mechanics.chain import Lifted, LiveLift, Opened

__all__ = ["LiftAndOpen", "apart_words", "hangs_back_words", "left_words", "live_words", "reached_words"]


@dataclass(frozen=True, eq=False, kw_only=True)
class LiftAndOpen:
    """One set-up of dual control, asked for one elbow angle.

    Parameters
    ----------
    system : DualControl
        The system.
    lifted : Lifted
        Its lift, from where the forearm hangs; the angle asked for is among those of it.
    opened : Opened
        What it opens, the elbow locked; the same holds.
    live : LiveLift
        What it holds up, the elbow unlocked; the same holds.
    asked : float
        The elbow angle asked for [rad].
    """

    system: DualControl
    lifted: Lifted
    opened: Opened
    live: LiveLift
    asked: float

    @cached_property
    def at(self) -> int:
        """Which angle of the lift is asked for [-]."""
        return _nearest(self.lifted.elbow_flexion, self.asked)

    @cached_property
    def locked_at(self) -> int:
        """Which angle of the opening that is [-]."""
        return _nearest(self.opened.elbow_flexion, self.asked)

    @cached_property
    def live_at(self) -> int:
        """Which angle of the live lift that is [-]."""
        return _nearest(self.live.elbow_flexion, self.asked)

    @cached_property
    def comes_to(self) -> int:
        """Which angle of the lift the forearm comes to on the way to the one asked for [-]."""
        lifts = self.lifted.lifts[: self.at + 1]
        return self.at if lifts.all() else max(int(np.argmin(lifts)) - 1, 0)

    @property
    def there(self) -> bool:
        """Whether it comes to the angle asked for, the device shut."""
        return self.comes_to == self.at

    @cached_property
    def hardest(self) -> int:
        """At which angle on the way lifting asks most of the harness, of those at which some pull lifts [-]."""
        force = self.lifted.harness_force[: self.at + 1]
        return int(np.argmax(np.where(np.isfinite(force), force, -1.0)))

    @property
    def peak(self) -> float:
        """Pull at the harness there [N]."""
        return float(self.lifted.harness_force[self.hardest])

    @property
    def at_device(self) -> float:
        """Most that comes to the device on the way [N]."""
        force = self.lifted.device_force[: self.at + 1]
        return float(force[np.isfinite(force)].max())

    @cached_property
    def opens_instead(self) -> float:
        """How far the device opens while the forearm rests on its stop, and would take more pull to leave it [m]."""
        lifted, opened = self.lifted, self.opened
        if self.comes_to > 0 or lifted.limited_by[self.at] != "device opens first":
            return 0.0
        return float(opened.opening[0]) if opened.harness_force[0] < lifted.harness_force[1] else 0.0

    @property
    def raised(self) -> float:
        """Arm flexion at which the forearm comes so far; where it stops, how far the arm has gone on [rad]."""
        if self.opens_instead > 0.0:
            return self.opened.arm_flexion
        at = self.comes_to if self.there else self.comes_to + 1
        return min(float(self.lifted.arm_flexion[at]), self.system.furthest)

    @property
    def left(self) -> float:
        """Cable that is left for opening, locked at the angle asked for [m]."""
        return float(self.opened.left_for_opening[self.locked_at])

    @property
    def opening(self) -> float:
        """How far the device opens then [m]."""
        return float(self.opened.opening[self.locked_at])

    @property
    def full(self) -> bool:
        """Whether that is fully."""
        return self.opened.limited_by[self.locked_at] == "nothing"

    @property
    def slips(self) -> float:
        """Mass that slips from the grip at the angle asked for, the elbow unlocked [kg]."""
        return float(self.live.slips_at[self.live_at])


def _nearest(angles: np.ndarray, asked: float) -> int:
    return int(np.argmin(np.abs(angles - asked)))


def reached_words(one: LiftAndOpen, units: Units) -> str:
    """Say how far the forearm comes, and what that takes.

    Parameters
    ----------
    one : LiftAndOpen
        The set-up.
    units : str
        "metric" or "inch-pound".

    Returns
    -------
    str
        A few sentences.
    """
    lifted, k = one.lifted, one.hardest
    if lifted.limited_by[one.at] == "rest":
        return f"The forearm hangs at {degrees(one.asked)}; nothing needs to lift it."
    to = degrees(float(lifted.elbow_flexion[one.comes_to]))
    if one.there:
        said = f"The forearm comes to {to}, the arm flexed {degrees(one.raised)}, and the device stays shut."
    else:
        said = f"Asked for {degrees(one.asked)}, the forearm stops at {to}: {why_words(lifted.limited_by[one.at])}."
    if one.opens_instead > 0.0:
        instead = show(one.opens_instead, "length", units)
        said += (
            f" It stays on its stop, and with the arm flexed {degrees(one.raised)} the hook opens {instead} instead."
        )
    may = "takes" if one.there else "would take"
    return (
        f"{said} Lifting {may} up to {show(one.peak, 'force', units)} at the harness, at "
        f"{degrees(float(lifted.elbow_flexion[k]))}: {percent(float(lifted.cable_share[k]))} of the strongest pull. Of "
        f"that up to {show(one.at_device, 'force', units)} come to the device, which opens at "
        f"{show(lifted.opening_force, 'force', units)}."
    )


def left_words(one: LiftAndOpen, units: Units) -> str:
    """Say what is left for opening once the elbow is locked.

    Parameters
    ----------
    one : LiftAndOpen
        The set-up.
    units : str
        "metric" or "inch-pound".

    Returns
    -------
    str
        A sentence or two.
    """
    opened, k = one.opened, one.locked_at
    taken, left = (show(float(way), "length", units) for way in (opened.taken_by_lift[k], one.left))
    text = (
        f"Locked at {degrees(one.asked)}, the arm flexed {degrees(opened.arm_flexion)}: lifting has taken up {taken} "
        f"and keeps it; {left} are left for opening, of {show(opened.required, 'length', units)} required."
    )
    text += " The hook opens fully." if one.full else f" The hook opens {show(one.opening, 'length', units)}."
    if one.there:
        return text
    comes = degrees(float(one.lifted.elbow_flexion[one.comes_to]))
    return f"{text} The sound hand set the forearm there: the cable lifts it no further than {comes}."


def live_words(one: LiftAndOpen, units: Units) -> str:
    """Say what can be held up at the angle asked for, the elbow unlocked.

    Parameters
    ----------
    one : LiftAndOpen
        The set-up.
    units : str
        "metric" or "inch-pound".

    Returns
    -------
    str
        A sentence.
    """
    slips = show(one.slips, "mass", units, 2)
    at = f"With the elbow unlocked at {degrees(one.asked)}"
    return f"{at}, an object of {slips} slips from the hook." if one.slips > 0.0 else f"{at}, nothing can be held."


def hangs_back_words(one: LiftAndOpen) -> str:
    """Say that the angle asked for lies below where the forearm hangs, as a sentence or nothing."""
    hangs = one.system.hangs_at
    return f"The forearm hangs no lower than {degrees(hangs)}." if one.asked <= hangs + 1e-9 else ""


def apart_words(now: LiftAndOpen, then: LiftAndOpen, units: Units) -> str:
    """Compare a set-up with a pinned one.

    Parameters
    ----------
    now, then : LiftAndOpen
        Both set-ups.
    units : str
        "metric" or "inch-pound".

    Returns
    -------
    str
        A sentence.
    """

    def both(before: float, after: float, kind: str) -> str:
        return f"{show(before, kind, units)} there, {show(after, kind, units)} here"

    comes = [float(one.lifted.elbow_flexion[one.comes_to]) for one in (then, now)]
    return (
        f"Against the pinned setting: the forearm comes to {degrees(comes[0])} there, {degrees(comes[1])} here; "
        f"largest pull {both(then.peak, now.peak, 'force')}; left for opening {both(then.left, now.left, 'length')}."
    )
