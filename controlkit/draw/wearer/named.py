"""What is named in the margins beside a wearer."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

import numpy as np

from controlkit.draw.gear.metal import RING
from controlkit.draw.page.labels import Note
from controlkit.draw.page.scene import Points
from controlkit.draw.page.style import FORK, LOCK_STRAP, STRAP_STYLES
from controlkit.draw.wearer.forces import force_text
from controlkit.draw.wearer.lying import Lying
from controlkit.draw.wearer.posed import posed_joints
from controlkit.draw.wearer.seen import Place, SeenHarness
from controlkit.draw.words.dual import lock_word
from controlkit.draw.words.pull import Units, View, forces_on_ring
from controlkit.mechanics import DualPull
from controlkit.mechanics.body.outline import directions
from controlkit.mechanics.body.pose import Pose
from controlkit.mechanics.harness.layout import AXILLA_LOOP, CONTROL_STRAP
from controlkit.mechanics.harness.patterns.above_elbow import LATERAL_SUSPENSOR
from controlkit.mechanics.harness.patterns.chest import CHEST_STRAP, SADDLE_STRAP, SUSPENSOR
from controlkit.mechanics.harness.patterns.eight import CROSS_BACK, FRONT_STRAP

if TYPE_CHECKING:
    from controlkit.mechanics import Pull, Wearer

__all__ = ["LIFT", "Named", "own_side", "sideways", "thinned"]

LIFT = 0.045
"""Of words beside the sound arm, which stands off, as a share of stature [-]."""
_ASIDE = 0.18  # of words over an arm held out to the side, as a share of stature [-]
_SADDLE = "saddle"  # a pad, no strap
_LABELS: dict[str, tuple[str, ...]] = {
    **{name: (name,) for name in (AXILLA_LOOP, CHEST_STRAP, CROSS_BACK, SADDLE_STRAP, FORK)},
    **{name: tuple(name.split(" ", 1)) for name in (SUSPENSOR, LATERAL_SUSPENSOR, FRONT_STRAP, CONTROL_STRAP)},
    _SADDLE: ("shoulder", "saddle"),
    LOCK_STRAP: ("elbow-lock", "control strap"),
}
"""Words beside a part, line by line."""
_PARTS: dict[str, tuple[str, ...]] = {
    "crossbar": ("crossbar",),
    "humeral socket": ("humeral", "socket"),
    "base plate": ("base plate",),
    "end of the housing": ("end of the", "housing"),
    "lift loop": ("lift loop",),
    "turntable": ("turntable",),
    "elbow unit": ("elbow unit",),
    "forearm shell": ("forearm", "shell"),
}
"""What is fixed to the arm, below the elbow or above it, and its words."""
_PLAIN = ("humeral socket", "end of the housing", "turntable", "forearm shell")
"""What is left without words where words say forces, or a margin is full."""
_MOST = 10  # words in a margin from behind or from the front [-]
_AHEAD = (
    "end of the housing",
    "lift loop",
    "turntable",
    "elbow unit",
    "forearm shell",
)  # their words stand where the prosthesis reaches


def thinned(notes: list[Note], side: str) -> list[Note]:
    """Leave out of a margin what needs no words, where it is too full from behind or from the front."""
    if sum(note.side == side for note in notes) <= _MOST:
        return notes
    plain = [_PARTS[part] for part in _PLAIN]
    return [note for note in notes if note.side != side or note.lines not in plain]


def sideways(view: View, amputated: str) -> bool:
    """Tell whether a wearer is seen more from a side than from behind or from the front."""
    _, towards = directions(view, amputated)
    return abs(float(towards[2])) > abs(float(towards[0]))


def own_side(view: View, amputated: str) -> str:
    """Say on which side of the picture the prosthesis is, or from a side, where it reaches."""
    right, _ = directions(view, amputated)
    if sideways(view, amputated):  # forward
        return "right" if float(right[0]) > 0.0 else "left"
    return "right" if (float(right[2]) > 0.0) == (amputated == "right") else "left"


@dataclass(frozen=True, eq=False, kw_only=True)
class Named:
    """A wearer from one side, with what is named.

    Parameters
    ----------
    wearer : Wearer
        The wearer.
    pull : Pull, DualPull or Lying
        What the mechanics found.
    view : str or float
        From where the wearer is seen [rad].
    worn : SeenHarness
        What the viewer sees of what is worn.
    middle : str
        What the straps meet at.
    units : str
        "metric", "inch-pound" or "both".
    ends : dict
        By name the tips of the arrows of forces; where words say a force they point there.
    """

    wearer: Wearer
    pull: Pull | DualPull | Lying
    view: View
    worn: SeenHarness
    middle: str
    units: Units
    ends: Mapping[str, Points] = field(default_factory=dict)

    def notes(self, *, forces: bool, narrow: bool = False) -> list[Note]:
        """Choose what is labelled, and in which margin.

        Parameters
        ----------
        forces : bool
            Whether labels say the forces.
        narrow : bool
            Whether there is little room beside the wearer.

        Returns
        -------
        list of Note
            The labels, without a place yet.
        """
        worn = self.worn
        aside = sideways(self.view, self.wearer.amputated)
        own = own_side(self.view, self.wearer.amputated)
        sound = "left" if own == "right" else "right"
        if aside:  # the prosthesis reaches forward: words stand behind the back
            own = sound
        told = None if isinstance(self.pull, Lying) else self.pull
        on_ring = forces_on_ring(told) if forces and told is not None else {}
        notes: list[Note] = []
        for name in worn.straps:
            target = _seen_middle(worn, name)
            if target is None or name not in _LABELS:
                continue
            lines = _LABELS[name]
            if narrow:  # little room between the margin and the back
                lines = tuple(word for line in lines for word in line.split(" "))
            if told is not None and name in on_ring:
                lines = (*lines, *force_text(told, name, self.units))
                target = self._end(name, target)
            notes.append(Note(lines, target, sound if name in (AXILLA_LOOP, CHEST_STRAP, CROSS_BACK) else own))
        notes += self._others(own, sound, on_ring=on_ring)
        if aside:
            return notes
        notes = thinned(notes, own)
        out = max(math.sin(self.pull.pose.arm_abduction) - math.sin(Pose().arm_abduction), 0.0)
        _, towards = directions(self.view, self.wearer.amputated)
        beside = LIFT if towards[0] < 0.0 else 0.0  # the device, seen past the arm
        lift = {sound: LIFT * self.wearer.stature, own: (beside + _ASIDE * out) * self.wearer.stature}
        return [replace(note, level=note.height + lift[note.side]) for note in notes]

    def _others(self, own: str, sound: str, *, on_ring: dict[str, np.ndarray]) -> list[Note]:
        worn, middle = self.worn, self.middle
        ahead = own_side(self.view, self.wearer.amputated)
        notes: list[Note] = []
        legs = [name for name in worn.straps if STRAP_STYLES.get(name) == FORK]
        target = next(filter(None, (_seen_middle(worn, name) for name in legs[::-1])), None)
        if target is not None:
            notes.append(Note(_LABELS[FORK], target, own))
        if _SADDLE in worn.pads and (~worn.pads[_SADDLE].hidden).sum() > 6:
            saddle = worn.pads[_SADDLE]
            x, y = saddle.flat[~saddle.hidden].mean(axis=0).tolist()
            notes.append(Note(_LABELS[_SADDLE], (x, y), own))
        ring = worn.ring.place(0)
        if not worn.ring.covered[0]:
            notes.append(Note(("sewn", "cross-point") if middle == "sewn cross-point" else (middle,), ring, sound))
        for part, lines in _PARTS.items():
            spot = worn.arm.place(part)
            if spot is not None and not (part in _PLAIN and on_ring):
                if part == "elbow unit" and isinstance(self.pull, DualPull):
                    lines = *lines, lock_word(self.pull.locked)
                notes.append(Note(lines, spot, ahead if part in _AHEAD else own))
        if not sideways(self.view, self.wearer.amputated) and worn.sight.towards[0] < 0.0:
            x, y = worn.sight.flat(posed_joints(self.wearer, self.pull.pose)["c7"]).tolist()
            notes.append(Note(("C7",), (x, y), sound))
        pull = self.pull
        if isinstance(pull, Lying):
            return notes
        if on_ring and not worn.ring.covered[0] and float(np.linalg.norm(on_ring["skin"])) > 0.5:
            lines = (f"skin on {middle.split()[-1]}", *force_text(pull, "skin", self.units))
            notes.append(Note(lines, self._end("skin", (ring[0], ring[1] - RING)), sound))
        return notes

    def _end(self, name: str, otherwise: Place) -> Place:
        """Point to the tip of a force's arrow, where one is drawn."""
        tip = self.ends.get(name)
        return otherwise if tip is None else (float(tip[0]), float(tip[1]))


def _seen_middle(worn: SeenHarness, name: str) -> Place | None:
    """Find the middle of the longest piece of a strap that the viewer sees."""
    run = worn.straps[name]
    away = np.linalg.norm(run.space - worn.ring.space[0], axis=1) < RING
    best: tuple[int, int] = (0, -1)
    start: int | None = None
    for index, out_of_sight in enumerate([*(run.covered | away).tolist(), True]):
        if not out_of_sight and start is None:
            start = index
        elif out_of_sight and start is not None:
            if index - start > best[1] - best[0] + 1:
                best = (start, index - 1)
            start = None
    if best[1] - best[0] < 2:
        return None
    return run.place((best[0] + best[1]) // 2)
