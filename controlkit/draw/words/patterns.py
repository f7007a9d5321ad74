"""Sentences about a harness pattern: what it captures, where it presses, what it suspends."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from controlkit.draw.words.pull import Units, joined
from controlkit.mechanics.harness.layout import AXILLA_LOOP
from controlkit.mechanics.harness.outcomes import OPENS
from controlkit.mechanics.harness.patterns.chest import CHEST_STRAP
from controlkit.sources import source
from controlkit.units import mm, show

if TYPE_CHECKING:
    from controlkit.mechanics import Pull
    from controlkit.mechanics.harness.suspension import Suspension

__all__ = [
    "PatternShown",
    "apart_pattern_words",
    "beyond_published",
    "beyond_words",
    "cable_drawn_words",
    "pattern_words",
    "published_excursion",
    "slip_words",
]


@dataclass(frozen=True, eq=False, kw_only=True)
class PatternShown:
    """One harness pattern on a wearer: what a motion does in it, and what a load does to it.

    Parameters
    ----------
    name : str
        What the pattern is called.
    pull : Pull
        What the motion does.
    held : Suspension
        What the load does, the arm hanging.
    opens : float
        How far the load opens the hook by itself [m].
    width : float
        Width of its main straps [m].
    below_fullest : float or None
        How far below the fullest level of the chest its strap crosses the front; none where none does [m].
    saddle : bool
        Whether a shoulder saddle carries the socket.
    """

    name: str
    pull: Pull
    held: Suspension
    opens: float
    width: float
    below_fullest: float | None
    saddle: bool

    @property
    def anchor(self) -> str:
        """The strap that the control attachment strap pulls against."""
        return AXILLA_LOOP if AXILLA_LOOP in self.pull.strap_load else CHEST_STRAP

    @property
    def tension(self) -> float:
        """Its tension [N]."""
        return self.pull.strap_tension[self.anchor]

    @property
    def presses(self) -> float:
        """What it presses where it presses most [N/m]."""
        return self.pull.strap_load[self.anchor].worst

    @property
    def radius(self) -> float:
        """Radius of the curve that it lies on there, infinite where it bears nothing [m]."""
        return self.tension / self.presses if self.presses > 0.0 else math.inf

    @property
    def armpit(self) -> float:
        """What straps press in the sound armpit [N/m]."""
        return self.pull.axilla_line_load

    @property
    def hung(self) -> float:
        """What straps press there under the load, the arm hanging [N/m]."""
        return self.held.axilla_line_load

    @property
    def worse(self) -> float:
        """The larger of both, the pull's and the load's: they are not there at the same time [N/m]."""
        return max(self.armpit, self.hung)

    @property
    def pressure(self) -> float:
        """Mean of the larger one over the width of the strap [Pa]."""
        return self.worse / self.width

    @property
    def carried(self) -> bool:
        """Whether the straps carry the load at all."""
        return math.isfinite(self.held.slip)


def cable_drawn_words(shown: PatternShown, units: Units) -> str:
    """Say what a load does to cable and hook.

    Parameters
    ----------
    shown : PatternShown
        The pattern.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        A few words.
    """
    if shown.held.travel <= OPENS:
        return "the hook stays shut"
    return f"the hook opens {show(shown.opens, 'length', units)}"


def _hung_words(shown: PatternShown, units: Units) -> str:
    """Say what a load presses in the armpit."""
    if shown.hung <= 0.0:
        return ""
    return f" In the sound armpit that load presses {show(shown.hung, 'line load', units)}."


def beyond_words(pull: Pull, units: Units) -> str:
    """Say where more is captured than was measured on people.

    Parameters
    ----------
    pull : Pull
        What the motion does.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        A sentence, or nothing within what is published.
    """
    if not beyond_published(pull):
        return ""
    mean, sd = (show(each, "length", units, 0) for each in published_excursion())
    return f" That is beyond what is published, {mean} with a standard deviation of {sd}: take it as an upper bound."


def published_excursion() -> tuple[float, float]:
    """Give what was measured on people by arm flexion.

    Returns
    -------
    tuple of float
        Mean, and standard deviation [m].
    """
    printed = source("arm_flexion_excursion")
    return float(printed.si or 0.0), mm(printed.sd or 0.0)


def beyond_published(pull: Pull) -> bool:
    """Whether more is captured than the published mean for arm flexion and one standard deviation.

    Parameters
    ----------
    pull : Pull
        What the motion does.

    Returns
    -------
    bool
        True above it.
    """
    return bool(pull.excursion.captured > sum(published_excursion()))


def slip_words(shown: PatternShown, units: Units) -> str:
    """Say what a load does to socket, cable and hook.

    Parameters
    ----------
    shown : PatternShown
        The pattern.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        A few sentences.
    """
    held = shown.held
    load = show(held.load, "force", units)
    if held.load <= 0.0:
        return "Nothing hangs at the device."
    if not shown.carried:
        furthest = show(float(held.slips[-1]), "length", units)
        return (
            f"{load} hang at the device, the arm down: the straps alone do not carry that. Dragged down by {furthest}, "
            f"they carry {show(held.carried, 'force', units)}, and {cable_drawn_words(shown, units)}."
            f"{_hung_words(shown, units)}"
        )
    text = (
        f"{load} hang at the device, the arm down: held by straps alone, the socket slips by "
        f"{show(held.slip, 'length', units)}; of the cable {show(max(held.travel, 0.0), 'length', units)} are drawn, "
        f"and {cable_drawn_words(shown, units)}."
    )
    text += _hung_words(shown, units)
    if shown.saddle:
        text += " The saddle is taken not to move; a real one gives, so the socket slips further."
    return text


def pattern_words(shown: PatternShown, units: Units = "both") -> str:
    """Say what a pattern captures, where it presses and what it suspends.

    Parameters
    ----------
    shown : PatternShown
        The pattern.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        A few sentences.
    """
    pull = shown.pull
    if not pull.settled:
        return "In this pose the straps do not settle: the model has no answer."
    beyond = beyond_words(pull, units)
    captured, still = (show(each, "length", units) for each in (pull.excursion.captured, pull.excursion.still_required))
    text = f"The {shown.name} captures {captured}; full opening requires {still}.{beyond}"
    if shown.tension < 1.0:
        text += f" The {shown.anchor} bears nothing of the pull."
    elif shown.armpit > 0.0:
        text += (
            f" The {shown.anchor} bears {show(shown.tension, 'force', units)}; in the sound armpit it lies on a curve "
            f"of {show(shown.radius, 'length', units)} and presses {show(shown.armpit, 'line load', units)}, a mean "
            f"of {show(shown.armpit / shown.width, 'pressure', units)} over "
            f"{show(shown.width, 'length', units)}."
        )
    else:
        text += (
            f" The pull presses nothing in the sound armpit. The {shown.anchor} bears "
            f"{show(shown.tension, 'force', units)} and presses {show(shown.presses, 'line load', units)} where its "
            f"curve is sharpest, {show(shown.radius, 'length', units)}."
        )
    if shown.below_fullest is not None:
        where = "below" if shown.below_fullest >= 0.0 else "above"
        text += (
            f" In front it lies {show(abs(shown.below_fullest), 'length', units)} {where} the fullest level of the "
            "chest."
        )
    return f"{text} {slip_words(shown, units)}"


def apart_pattern_words(now: PatternShown, then: PatternShown, units: Units = "both") -> str:
    """Say what differs from a pinned setting.

    Parameters
    ----------
    now, then : PatternShown
        What is shown, and what was pinned.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        A sentence.
    """

    def both(what: str, before: float, after: float, kind: str) -> str:
        return f"{what} {show(before, kind, units)} there, {show(after, kind, units)} here"

    said = [
        both("captured", then.pull.excursion.captured, now.pull.excursion.captured, "length"),
        both("in the armpit by the pull", then.armpit, now.armpit, "line load"),
    ]
    if max(now.hung, then.hung) > 0.0:
        said.append(both("by the load", then.hung, now.hung, "line load"))
    if now.carried and then.carried:
        said.append(both("slip", then.held.slip, now.held.slip, "length"))
    return f"Against the pinned setting ({then.name}): {joined(said)}."
