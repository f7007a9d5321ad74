"""The strap lab: a figure-of-eight harness, its three straps and its ring."""

from __future__ import annotations

from functools import lru_cache
from typing import Any, cast

import numpy as np

from controlkit.draw import excursion_scene, wearer_scene
from controlkit.draw.words.pull import View, comparison_words, excursion_words, force_words
from controlkit.labs.controls import Choice, Control, Slider, Tick, Values
from controlkit.labs.documented import opens
from controlkit.labs.frame import Lab, Page, Units
from controlkit.labs.people import people, person_of
from controlkit.mechanics import Motion, Pull, SingleControl, Wearer, figure_of_eight
from controlkit.mechanics.harness.pattern import LIMITS
from controlkit.units import InputError, deg, mm

__all__ = ["strap_lab"]

_ELBOW = deg(90.0)  # the forearm is held level with the arm hanging, as at a table
_GRID = tuple(
    float(angle) for angle in np.arange(0.0, 91.0, 15.0)
)  # degrees of arm flexion, the steps in which it is followed


def _controls(own: Wearer | None) -> tuple[Control, ...]:
    def slider(key: str, label: str, kind: str, start: float, hint: str) -> Slider:
        low, high = LIMITS[key]
        return Slider(key, label, kind, low, high, start, hint)

    return (
        slider(
            "ring_below_c7",
            "Ring below C7",
            "length",
            mm(60),
            "down the back from the bony point at the base of the neck",
        ),
        slider(
            "ring_to_sound_side",
            "Ring to the sound side",
            "length",
            mm(25),
            "from the midline; below zero is towards the prosthesis",
        ),
        slider(
            "control_strap",
            "Control attachment strap",
            "length",
            0.0,
            "from just snug; above zero is let out, below is taken in",
        ),
        slider("crossbar", "Crossbar", "ratio", 0.55, "share of the way from shoulder down to elbow"),
        Slider("arm_flexion", "Arm flexion", "angle", 0.0, deg(90.0), deg(30.0), "upper arm forward of hanging"),
        Slider(
            "scapular_abduction",
            "Scapular abduction",
            "angle",
            0.0,
            deg(25.0),
            0.0,
            "shoulder blade slid forward round the chest",
        ),
        *people(own),
        Choice("view", "View", (("back", "back"), ("side", "side"), ("front", "front")), "back"),
        Tick("forces", "Show the forces on the ring"),
    )


class _Bench:
    """Systems and motions of the settings seen so far.

    Remembering makes the lab faster and never different: every motion starts
    from donning.
    """

    def __init__(self, own: Wearer | None) -> None:
        self.wearer = lru_cache(maxsize=16)(lambda who, side: person_of(own, who, side))
        self.system = lru_cache(maxsize=64)(self._system)
        self.motion = lru_cache(maxsize=128)(self._motion)
        self._near: Any = None

    def _system(self, who: str, side: str, below: float, across: float, strap: float, bar: float) -> SingleControl:
        return SingleControl(
            figure_of_eight(
                self.wearer(who, side),
                ring_below_c7=below,
                ring_to_sound_side=across,
                control_strap=strap,
                crossbar=bar,
            )
        )

    def _motion(self, system: SingleControl, protraction: float, extra: float | None) -> Motion:
        angles = sorted({*_GRID} | ({extra} if extra is not None else set()))
        sweep, others = np.deg2rad(angles), {"elbow_flexion": _ELBOW, "scapular_abduction": protraction}
        try:
            motion = system.sweep(sweep, self._near, **others)
        except InputError:
            if self._near is None:
                raise
            motion = system.sweep(sweep, None, **others)  # a start must never decide whether there is an answer
        self._near = motion.guess
        return motion

    def ask(self, setting: Values) -> tuple[SingleControl, Motion, Pull]:
        """Find the motion of a setting and the pull at its arm flexion."""
        system = self.system(
            *(
                cast(Any, setting[key])
                for key in ("wearer", "amputated", "ring_below_c7", "ring_to_sound_side", "control_strap", "crossbar")
            )
        )
        angle = round(float(np.rad2deg(float(setting["arm_flexion"]))), 6)
        extra = None if angle in _GRID else angle
        motion = self.motion(system, float(setting["scapular_abduction"]), extra)
        at = int(np.argmin(np.abs(np.rad2deg(motion.arm_flexion) - angle)))
        return system, motion, motion.pull(at)

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


@opens
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
    bench = _Bench(wearer)
    return Lab(
        "Strap lab: the figure-of-eight harness",
        _controls(wearer),
        bench.page,
        play="arm_flexion",
        units=units,
        setting=setting,
    )
