"""The strap lab: a figure-of-eight harness, its straps and its ring."""

from __future__ import annotations

from functools import lru_cache
from typing import Any, cast

import numpy as np

from controlkit.draw import excursion_scene, wearer_scene
from controlkit.draw.words.pull import View, comparison_words, excursion_words, force_words
from controlkit.labs import ranges
from controlkit.labs.buckles import buckle
from controlkit.labs.controls import Control, Menu, Slider, Tick, Value, Values
from controlkit.labs.documented import documented
from controlkit.labs.frame import Lab
from controlkit.labs.page import Page, Units
from controlkit.labs.people import people, person_of
from controlkit.labs.remembered import Remembered
from controlkit.mechanics import Harness, Motion, Pull, SingleControl, Wearer, figure_of_eight
from controlkit.units import deg

__all__ = ["strap_lab"]

_ELBOW = deg(90.0)  # the forearm is held level with the arm hanging, as at a table
_PLACEMENT = ("ring_below_c7", "ring_to_sound_side", "control_strap", "crossbar")
_SYSTEM = ("wearer", "amputated", *_PLACEMENT, "cross_back")
_GRID = tuple(
    float(angle) for angle in np.arange(0.0, 91.0, 15.0)
)  # degrees of arm flexion, the steps in which it is followed


def _controls(own: Wearer | None) -> tuple[Control, ...]:
    return (
        Slider(
            "ring_below_c7",
            "Ring below C7",
            "length",
            ranges.RING_BELOW_C7,
            start=Harness.ring_below_c7,
            hint="down the back from the bony point at the base of the neck",
        ),
        Slider(
            "ring_to_sound_side",
            "Ring to the sound side",
            "length",
            ranges.RING_TO_SOUND_SIDE,
            start=Harness.ring_to_sound_side,
            hint="from the midline; below zero is towards the prosthesis",
        ),
        buckle("control_strap", "Control attachment strap"),
        Slider(
            "crossbar",
            "Crossbar",
            "ratio",
            ranges.CROSSBAR,
            start=0.55,
            hint="share of the upper arm, from shoulder down to elbow",
        ),
        Slider(
            "arm_flexion",
            "Arm flexion",
            "angle",
            ranges.angles("arm_flexion", 0, 90),
            start=deg(30.0),
            hint="upper arm forward of hanging",
        ),
        Slider(
            "scapular_abduction",
            "Scapular abduction",
            "angle",
            ranges.angles("scapular_abduction", 0, 25),
            start=0.0,
            hint="scapula slid forward round the chest",
        ),
        Tick("biscapular", "The sound scapula too"),
        Tick("cross_back", "Cross-back strap"),
        *people(own),
        Menu("view", "View", (("back", "back"), ("side", "side"), ("front", "front")), "back"),
        Tick("forces", "Show the forces on the ring"),
    )


class _HarnessMotions:
    """Harnesses of the settings seen so far, and how the arm flexes in them."""

    def __init__(self, own: Wearer | None) -> None:
        self._own = own
        self._remembered = lru_cache(maxsize=24)(self._put_on)
        self._last: Remembered | None = None

    def _put_on(self, *chosen: Value) -> Remembered:
        setting = dict(zip(_SYSTEM, chosen, strict=True))
        wearer = person_of(self._own, str(setting["wearer"]), str(setting["amputated"]))
        placement: Any = {name: setting[name] for name in _PLACEMENT}
        placement["cross_back"] = 0.0 if setting["cross_back"] else None
        return Remembered(SingleControl(figure_of_eight(wearer, **placement)), self._last)

    def ask(self, setting: Values) -> tuple[SingleControl, Motion, Pull]:
        """Find the motion of a setting and the pull at its arm flexion."""
        known = self._last = self._remembered(*(setting[name] for name in _SYSTEM))
        angle = round(float(np.rad2deg(float(setting["arm_flexion"]))), 6)
        angles = np.deg2rad(sorted({*_GRID, angle}))
        own = float(setting["scapular_abduction"])
        sound = own if setting["biscapular"] else 0.0
        motion = known.sweep(angles, elbow_flexion=_ELBOW, scapular_abduction=own, sound_scapular_abduction=sound)
        at = int(np.argmin(np.abs(np.rad2deg(motion.arm_flexion) - angle)))
        return known.system, motion, motion.pull(at)

    def page(self, setting: Values, pinned: Values | None, units: Units) -> Page:
        """Answer one setting with pictures and words."""
        system, motion, pull = self.ask(setting)
        view = cast(View, setting["view"])
        held: Motion | None = None
        ghost: Pull | None = None
        compared = ""
        if pinned is not None:
            # the pinned setting is compared at the angle on show
            held_system, held, at_angle = self.ask({**pinned, "arm_flexion": setting["arm_flexion"]})
            compared = comparison_words(pull, at_angle, units)
            if held_system.harness.wearer == system.harness.wearer:
                ghost = at_angle
        picture = wearer_scene(pull, view, system=system, pinned=ghost, forces=bool(setting["forces"]), units=units)
        chart = excursion_scene(motion, arm_flexion=float(pull.pose.arm_flexion), pinned=held, units=units)
        said = excursion_words(pull, units)
        forces = "" if setting["forces"] else force_words(pull, units)
        words = " ".join(part for part in (said, forces, compared, chart.words, picture.words) if part)
        return Page((picture, chart), words, " ".join(part for part in (said, compared) if part))


@documented
def strap_lab(wearer: Wearer | None = None, *, setting: str = "", units: Units = "metric") -> Lab:
    """Open the strap lab.

    Notes
    -----
    Wearers of the list come from a survey of military adults: fit, and not a
    clinical population. The elbow stays at 90 degrees. Curves are computed every 15
    degrees and at the angle on show, and joined smoothly.

    Examples
    --------
    >>> lab = strap_lab(setting="ring_below_c7 = 80 mm")
    >>> lab.setting.split(";")[0]
    'ring_below_c7 = 80 mm'
    """
    answers = _HarnessMotions(wearer)
    return Lab(
        "Strap lab: the figure-of-eight harness",
        _controls(wearer),
        answers.page,
        play="arm_flexion",
        units=units,
        setting=setting,
    )
