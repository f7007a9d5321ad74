"""The lock lab: which motion works the elbow lock, what must be held meanwhile, and the operating sequence."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import replace
from functools import lru_cache, partial

from controlkit.draw import wearer_scene
from controlkit.draw.charts.lock import lock_bars
from controlkit.draw.words.lock import (
    LockShown,
    apart_lock_words,
    front_words,
    lock_motion_words,
)
from controlkit.labs import ranges
from controlkit.labs.buckles import buckle
from controlkit.labs.controls import Control, Menu, Slider, Steps, Tick, Values
from controlkit.labs.documented import documented
from controlkit.labs.frame import Lab
from controlkit.labs.handles import angle_handle
from controlkit.labs.lock_steps import STEPS, DualErrands, Errand, steps_page
from controlkit.labs.lock_tasks import LOCK_CHALLENGES, LOCK_PREDICTIONS, lock_answers, lock_verdicts
from controlkit.labs.page import Page, Reading, Units
from controlkit.labs.people import people, person_of
from controlkit.labs.turned import ground, seen_from, turned
from controlkit.mechanics import DualControl, Pose, Wearer, above_elbow_eight
from controlkit.mechanics.body.pose import posed
from controlkit.mechanics.chain.dual import IDLE, LockStrap
from controlkit.mechanics.chain.dual.lock import LockWays, answered, ways_of
from controlkit.mechanics.chain.dual.standing import DualPull, stood
from controlkit.mechanics.elbow import ElbowLock
from controlkit.mechanics.harness.motion import Followed
from controlkit.units import InputError, deg, mm, show

__all__ = ["lock_lab"]

_PARTS = {
    "extension": ("arm_extension", "arm_flexion", -1.0),
    "abduction": ("arm_abduction", "arm_abduction", 1.0),
    "depression": ("shoulder_depression", "shoulder_elevation", -1.0),
    "protraction": ("protraction", "scapular_abduction", 1.0),
}
"""Each part of the motion: its slider, which angle of the pose it is, and which way."""
_BY_MOTION, _BY_STEP = (*(slid for slid, _, _ in _PARTS.values()), "pull"), ("step", "tell")
"""What counts where the motion is shown alone, and where the operating sequence is."""
_REST = Pose(elbow_flexion=deg(70.0))
"""The forearm stands where it is lifted to; straps and cable above the elbow do not ask for it."""
_SIZE = (310.0, 200.0)  # of each list of bars [picture points]
_KEPT, _POSES = 24, 400  # set-ups, and poses of one, that the lab remembers [-]


def _controls(own: Wearer | None) -> tuple[Control, ...]:
    return (
        Menu(
            "show",
            "Show",
            (("motion", "the lock motion, part by part"), ("sequence", "the operating sequence, step by step")),
            "motion",
        ),
        Slider(
            "arm_extension", "Arm extension", "angle", ranges.EXTENSION, start=0.0, hint="upper arm back from hanging"
        ),
        Slider(
            "arm_abduction",
            "Arm abduction",
            "angle",
            ranges.angles("arm_abduction", 0, 60),
            start=_REST.arm_abduction,
            hint="upper arm away from the trunk; it hangs at 10°, below that it is adducted",
        ),
        Slider(
            "shoulder_depression",
            "Shoulder depression",
            "angle",
            ranges.DEPRESSION,
            start=0.0,
            hint="the point of the shoulder lowered",
            fine=0.2,
        ),
        Slider(
            "protraction",
            "Shoulder brought forward",
            "angle",
            ranges.angles("scapular_abduction", 0, 20),
            start=0.0,
            hint="protraction of the amputated side's scapula",
        ),
        Slider(
            "pull",
            "Pull at the control strap",
            "force",
            ranges.LOCK_PULL,
            start=5.0,
            hint="held meanwhile: 5 N keep the cable taut, a lifted forearm asks for more",
        ),
        Slider(
            "lock_strap",
            "Elbow-lock control strap",
            "length",
            ranges.LOCK_STRAP,
            start=0.0,
            hint="from just snug; above zero is let out, below is taken in",
            fine=0.2,
        ),
        buckle("support_strap", "Anterior support strap"),
        Slider(
            "lock_travel",
            "Travel that the lock needs",
            "length",
            ranges.LOCK_TRAVEL,
            start=mm(19.0),
            hint="of its cable, before it changes over on release",
            fine=0.1,
        ),
        Steps("step", "Take a step", tuple(STEPS.items())),
        Tick("tell", "Tell which steps are right now"),
        *people(own),
        turned("front"),
    )


class _Motions:
    """Motions of one harness under one pull, each followed once; a like one only makes it faster, never different."""

    def __init__(self, system: DualControl, pull: float, like: _Motions | None) -> None:
        self.system, self._pull = system, pull
        self._near: Followed | None = None if like is None else like._near
        self._ways: dict[Pose, tuple[LockWays, int]] = {}

    def at(self, poses: Sequence[Pose]) -> list[tuple[LockWays, int]]:
        """The way of the lock's strap in each pose; only those not seen yet are computed."""
        if len(self._ways) > _POSES:
            self._ways.clear()
        new = [pose for pose in dict.fromkeys(poses) if pose not in self._ways]
        if new:
            ways = self._follow(new)
            self._near = ways.found
            self._ways.update({pose: (ways, at) for at, pose in enumerate(new, 1)})
        return [self._ways[pose] for pose in poses]

    def _follow(self, poses: list[Pose]) -> LockWays:
        """Follow poses, from the last motion if there is one."""
        asked = partial(ways_of, self.system.harness, LockStrap(), poses, pull=self._pull, force=ElbowLock.force)
        if self._near is not None:
            with suppress(InputError):  # a start must never decide whether there is an answer
                return asked(near=self._near)
        return asked()


class _LockSetUps:
    """Harnesses of the wearers seen so far, their motions and errands."""

    def __init__(self, own: Wearer | None) -> None:
        self._own = own
        self._worn = lru_cache(maxsize=_KEPT)(self._put_on)
        self._motions = lru_cache(maxsize=_KEPT)(self._follow)
        self._shown: _Motions | None = None
        self._errands = DualErrands()

    def _put_on(self, who: str, side: str, let_out: float) -> DualControl:
        wearer = replace(person_of(self._own, who, side), level="transhumeral")
        return DualControl(harness=above_elbow_eight(wearer, support_strap=let_out))

    def _follow(self, system: DualControl, pull: float) -> _Motions:
        return _Motions(system, pull, self._shown)

    def system(self, setting: Values) -> DualControl:
        """Find the system of a setting."""
        return self._worn(str(setting["wearer"]), str(setting["amputated"]), float(setting["support_strap"]))

    def ask(self, setting: Values) -> tuple[LockShown, DualPull]:
        """Find what a setting's motion does, and where the straps lie in it."""
        system, pull = self.system(setting), float(setting["pull"])
        strap = LockStrap(let_out=float(setting["lock_strap"]))
        lock = ElbowLock(positions=(deg(70.0),), travel=float(setting["lock_travel"]))
        angles = {name: (key, sign * float(setting[slid])) for name, (slid, key, sign) in _PARTS.items()}
        moved = {name: {key: angle} for name, (key, angle) in angles.items() if abs(angle - getattr(_REST, key)) > 1e-6}
        if angles["abduction"][1] < _REST.arm_abduction:
            moved = {"adduction" if name == "abduction" else name: part for name, part in moved.items()}
        whole = replace(_REST, **{key: angle for part in moved.values() for key, angle in part.items()})
        alone = [replace(_REST, **part) for part in moved.values()]
        idle = [posed(angles) for angles in IDLE.values()]
        self._shown = self._motions(system, pull)
        found = self._shown.at([whole, *alone, *idle])
        motion, *parts = (answered(ways, lock, strap, at=at) for ways, at in found[: len(alone) + 1])
        drawn = {
            name: float(ways.drawn[at]) - strap.let_out
            for name, (ways, at) in zip(IDLE, found[len(alone) + 1 :], strict=True)
        }
        shown = LockShown(motion=motion, parts=dict(zip(moved, parts, strict=True)), idle=drawn, lock=lock, pull=pull)
        ways, at = found[0]
        return shown, stood(system, ways.found, ways.rows[at])

    def _errand(self, setting: Values) -> Errand | None:
        """How far the errand of a setting has come, where the operating sequence is shown."""
        return self._errands.after(self.system(setting), setting) if setting["show"] == "sequence" else None

    def page(self, setting: Values, pinned: Values | None, units: Units) -> Page:
        """Answer one setting with pictures and words."""
        shown, pull = self.ask(setting)
        system = self.system(setting)
        errand = self._errand(setting)
        verdicts = lock_verdicts(setting, shown, errand, units)
        answers = lock_answers(setting, shown, lambda other: self.ask(other)[0], units)
        if errand is not None:
            then = None if pinned is None else self._errand(pinned)
            return steps_page(errand, then, setting, units, verdicts=verdicts, answers=answers, idle=_BY_MOTION)
        wearer, second = system.harness.wearer, seen_from(setting["view"])
        side, beside = (
            wearer_scene(pull, view, system=system, lock=shown.motion, plain=True, scale=scale, units=units)
            for view, scale in (("side", True), (second, False))
        )
        charts = lock_bars(shown, units, size=_SIZE)
        said = lock_motion_words(shown, units)
        compared = apart_lock_words(shown, self.ask(pinned)[0], units) if pinned is not None else ""
        return Page(
            (side, beside, *charts),
            " ".join(part for part in (said, compared, side.words, beside.words) if part),
            " ".join(part for part in (said, compared) if part),
            readings=_readings(shown, units),
            handles=(
                angle_handle("arm", "arm_abduction", "elbow", pose=pull.pose, wearer=wearer, view=second, picture=1),
                ground(setting["view"], beside, wearer, picture=1),
            ),
            verdicts=verdicts,
            answers=answers,
            tone=min(shown.motion.travel / shown.lock.travel, 1.0),
            idle=_BY_STEP,
        )


def _readings(shown: LockShown, units: Units) -> tuple[Reading, ...]:
    """What comes to the lock, what the lift cable does, how the front strap stands, and what must not lock."""
    motion, needs = shown.motion, shown.lock.travel
    does = "locks" if motion.triggers else "does not lock"
    idle = shown.idle[shown.nearest]
    return (
        Reading(
            "Comes to the lock",
            motion.travel,
            "length",
            f"of {show(needs, 'length', units)}: {does}",
            share=round(motion.travel / needs, 4),
        ),
        Reading("Lift cable", motion.lift, "length", _does(motion.lift)),
        Reading("Front support strap", motion.front_tension, "force", front_words(motion, units)),
        Reading(
            "Must not lock", max(idle, 0.0), "length", f"{shown.nearest}: {'locks' if shown.locks_idly else 'does not'}"
        ),
    )


def _does(lift: float) -> str:
    return "taken up" if lift > 0.0 else "paid out" if lift < 0.0 else "stays"


@documented
def lock_lab(wearer: Wearer | None = None, *, setting: str = "", units: Units = "metric") -> Lab:
    """Open the lock lab.

    Notes
    -----
    A figure-of-eight harness above the elbow. Where the lock's strap leaves the front support strap is published;
    where it reaches the lock's cable, and how far the front strap's elastic part gives, are assumptions. The pictures
    show a pose, not a motion, in the first part; in the second, how things stand after a step. Your own wearer is
    fitted as one with an amputation above the elbow. Wearers of the list come from a survey of military adults: fit,
    and not a clinical population.

    Examples
    --------
    >>> lab = lock_lab(setting="arm_extension = 12°")
    >>> "arm_extension = 12 °" in lab.setting
    True
    """
    answers = _LockSetUps(wearer)
    return Lab(
        "Lock lab: the motion that works the elbow lock, and the operating sequence",
        _controls(wearer),
        answers.page,
        play="arm_abduction",
        challenges=LOCK_CHALLENGES,
        predictions=LOCK_PREDICTIONS,
        another="wearer",
        units=units,
        setting=setting,
    )
