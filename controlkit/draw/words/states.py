"""Sentences for outcomes worth knowing, in the reader's units."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from controlkit.units import show

if TYPE_CHECKING:
    from controlkit.draw.words.pull import Units
    from controlkit.mechanics.states import State

__all__ = ["WORDS", "state_sentence", "worth_knowing"]

WORDS: dict[str, str] = {
    "control-strap-slack": "the {strap} hangs slack by {slack:length} at rest",
    "no-housing": "the cable has no housing and bowstrings across the elbow",
    "housing-loose": "the housing is not held at both ends: the cable bowstrings across the elbow",
    "housing-catches": "the housing is too long: it stands {off:length} off the elbow and catches",
    "housing-kinks": "the housing is bent so tightly that it kinks",
    "elbow-held-straight": "the housing is too short even for the straight elbow",
    "elbow-stopped": "the housing is too short: where pad and retainer do not give, it stops the elbow at "
    "{elbow_flexion:degrees} degrees",
    "elbow-gives-slack": "the elbow's bending gives the cable {slack:length} of slack",
    "elbow-takes-up": "the elbow's bending takes up {taken_up:length} of cable and can open the device",
    "strap-slack": "the {strap} bears no pull",
    "ring-on-spine": "the {crossing} lies on the spine",
    "ring-slipped": "the {crossing} has slipped on the skin",
    "ring-ridden-up": "the {crossing} has ridden up by {risen:length 0}",
    "pad-ridden-up": "pad and socket have ridden up the limb by {risen:length 0}, and drag on the skin",
    "strap-crept": "the {strap} has crept round the {round}",
    "chest-strap-slides-up": "the {strap} would slide up the chest: friction does not hold it there",
    "strap-on-neck": "the {strap} lies on the neck",
    "strap-on-deltoid": "the {strap} lies on the deltoid",
    "open-at-rest": "the device stands open at rest",
    "partly-closed-at-rest": "the device stands partly closed at rest",
    "moves-with-elbow": "the device moves inadvertently as the elbow bends",
    "load-moves-device": "the load pulls on the cable and moves the device",
    "object-too-wide": "the object is wider than the device opens",
    "grip-pulled-away": "the pull takes all of the grip, and the object falls",
    "opened-again": "the device has opened again, and the object falls",
    "grip-not-reached": "the pull does not yet press on the object",
    "nothing-carries": "a figure-of-nine carries nothing but what its cable takes: the socket must hold on by itself",
    "load-not-carried": "the straps do not carry this load within {within:length} of slip",
    "beyond-strength": "this takes a stronger pull than the wearer has",
    "strap-beyond-strength": "the {strap} pulls harder than the wearer can: what is stiff here would give",
    "arm-above-checked": "the arm is raised beyond what the model was checked for",
    "not-settled": "the straps did not settle: this setting is outside what the model can answer",
}
"""Words of each state by its code; a number in them names its kind, and its decimals where they are not the usual.

What bench readings say stands in `controlkit.benchtable`, which alone answers them.
"""


@dataclass(frozen=True)
class _ValueShown:
    """A value that writes itself as the place in the sentence asks: by kind, in the reader's units."""

    value: float | str
    units: Units

    def __format__(self, spec: str) -> str:
        if isinstance(self.value, str):
            return self.value
        if spec == "degrees":
            return f"{math.degrees(self.value):.0f}"
        kind, _, digits = spec.partition(" ")
        return show(self.value, kind, self.units, int(digits) if digits else None)


def state_sentence(state: State, units: Units = "both") -> str:
    """Say one outcome.

    Parameters
    ----------
    state : State
        What the mechanics found.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        A sentence without capital and full stop, to be put after a colon.

    Examples
    --------
    >>> from controlkit.mechanics.states import State
    >>> state_sentence(State.of("elbow-gives-slack", slack=0.0104), "inch-pound")
    "the elbow's bending gives the cable 0.41 in of slack"
    """
    return WORDS[state.code].format_map({name: _ValueShown(value, units) for name, value in state.values.items()})


def worth_knowing(states: Iterable[State], units: Units = "both") -> str:
    """List outcomes after what has been said, or nothing.

    Parameters
    ----------
    states : iterable of State
        What the mechanics found.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        One sentence with a blank before it, or an empty text.

    Examples
    --------
    >>> from controlkit.mechanics.states import State
    >>> worth_knowing([State.of("housing-loose"), State.of("not-settled")]).startswith(" Worth knowing: the housing")
    True
    """
    said = "; ".join(state_sentence(state, units) for state in states)
    return f" Worth knowing: {said}." if said else ""
