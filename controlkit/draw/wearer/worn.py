"""Where the worn parts lie in a picture, and which of them something hides.

All straps go through the mechanics in one call, because asking whether the
body hides a point is the dearest part of a picture.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from controlkit.draw.gear.arm import Arm
from controlkit.draw.gear.humeral import HELD, Gap, lock_cable
from controlkit.draw.gear.sight import Panel, Sight
from controlkit.draw.gear.webbing import Web, web
from controlkit.draw.page.kept import kept
from controlkit.draw.page.scene import Points
from controlkit.draw.page.style import LOCK_STRAP, STYLES
from controlkit.draw.wearer.above_elbow import ElbowFit, above_elbow
from controlkit.draw.wearer.at_wrist import at_wrist
from controlkit.draw.wearer.fittings import lock_strap, meeting, pads, reaching, strap_level
from controlkit.draw.wearer.hanging import hanging
from controlkit.draw.wearer.lying import Lying
from controlkit.draw.wearer.on_arm import ArmFit, Hinges, on_arm
from controlkit.draw.wearer.seen import SeenArm, SeenHarness, SeenLine
from controlkit.draw.words.pull import View
from controlkit.mechanics import DualControl
from controlkit.mechanics.body.places import facing
from controlkit.mechanics.harness.layout import CONTROL_STRAP
from controlkit.mechanics.harness.patterns.eight import FRONT_STRAP

if TYPE_CHECKING:
    from controlkit.mechanics import DualPull, Pull, SingleControl
    from controlkit.mechanics.chain.dual import LockMotion

__all__ = ["look", "on_its_arm"]

_HANGER = 0.050  # from the crossbar back to the hanger [m]


@kept(4)
def look(
    system: SingleControl | DualControl,
    pull: Pull | DualPull | Lying,
    view: View,
    hinges: Hinges = "flexible",
    lock: LockMotion | None = None,
    beside: Arm | None = None,
) -> SeenHarness:
    """See everything that is worn from one side.

    Parameters
    ----------
    system : SingleControl or DualControl
        The system; it knows the wearer, how the straps meet and how the cable is held.
    pull : Pull, DualPull or Lying
        What the mechanics found.
    view : str or float
        "back", "side" or "front", or how far round the viewer has gone [rad].
    hinges : str
        "flexible" or "rigid"; above the elbow there are none.
    lock : LockMotion, optional
        What the strap of the elbow's lock does in that pose, for it to be seen.
    beside : Arm, optional
        The arm with the other prosthesis, whose forearm hides too.

    Returns
    -------
    SeenHarness
        Straps, ring, pads and what is fixed to the arm as the viewer sees them.
    """
    wearer, pose, sewn = system.harness.wearer, pull.pose, system.harness.layout.sewn
    arm, held = on_its_arm(system, pull, view, hinges)
    sight = arm.sight if beside is None else _behind(arm.sight, beside)
    device = at_wrist(
        arm.arm,
        arm.bare,
        system.device,
        amputated=wearer.amputated,
        opening=round(pull.opening, 3),
        held=held,
    )
    ways = {name: reaching(run, pull.ring) if sewn else run for name, run in pull.straps.items()}
    slack, half = dict(pull.strap_slack), {name: 0.5 * load.width for name, load in pull.strap_load.items()}
    if lock is not None:
        ways[LOCK_STRAP] = lock_strap(lock)
        slack[LOCK_STRAP], half[LOCK_STRAP] = max(-lock.lengthening, 0.0), 0.5 * STYLES[LOCK_STRAP].webbing
    faces = facing(wearer, pose, np.vstack([*ways.values(), pull.ring]))
    straps: dict[str, Points] = {}
    laid = 0
    for name, run in ways.items():
        straps[name] = hanging(run, slack[name], faces[laid : laid + len(run)])
        laid += len(run)
    sheets = pads(wearer, pull)
    lines = {
        **straps,
        "ring": pull.ring[None],
        "edge": meeting(pull, sewn),
        **{name: sheet.reshape(-1, 3) for name, sheet in sheets.items()},
        **({} if lock is None else {"cable of the lock": lock_cable(arm.arm, lock.way[-1])}),
    }
    stacked = np.vstack(list(lines.values()))
    flat, behind = sight.flat(stacked), sight.hides(stacked)
    runs: dict[str, SeenLine] = {}
    webs: dict[str, Web] = {}
    start = 0
    for name, points in lines.items():
        end = start + len(points)
        runs[name] = SeenLine(points, flat[start:end], behind[start:end])
        if name in straps:
            webs[name] = web(points, faces[start:end], half[name], behind[start:end])
        start = end
    control = runs[CONTROL_STRAP]
    cut = _hanger(control.space)
    seen = {name: runs[name] for name in ways}
    seen[CONTROL_STRAP] = control.cut(0, cut + 1)
    whole = webs[CONTROL_STRAP]
    webs[CONTROL_STRAP] = Web(whole.space[: cut + 1], whole.across[: cut + 1], whole.hidden[: cut + 1])
    return SeenHarness(
        sight=sight,
        straps=seen,
        webs=webs,
        lead=control.cut(cut, None),
        ring=runs["ring"],
        facing=faces[-1],
        edge=runs["edge"],
        pads={
            name: Panel(runs[name].flat.reshape(*sheet.shape[:2], 2), runs[name].covered.reshape(sheet.shape[:2]))
            for name, sheet in sheets.items()
        },
        arm=arm,
        device_under=device[0],
        device_over=device[1],
        lock_cable=runs.get("cable of the lock"),
        elastic=any(run.elastic for run in system.harness.layout.runs if run.strap == FRONT_STRAP),
    )


def on_its_arm(
    system: SingleControl | DualControl, pull: Pull | DualPull | Lying, view: View, hinges: Hinges = "flexible"
) -> tuple[SeenArm, float]:
    """What is fixed to the arm at either level, and at which share of the forearm the housing is held."""
    return _above(system, pull, view) if isinstance(system, DualControl) else _below(system, pull, view, hinges)


def _behind(sight: Sight, beside: Arm) -> Sight:
    """A view that the forearm of another prosthesis blocks too."""
    return replace(sight, hides=lambda points: sight.hides(points) | beside.behind_socket(points, sight.towards))


def _crossbar(pull: Pull | DualPull | Lying) -> bytes:
    """Where the control strap ends, rounded so that the flesh's give redraws nothing that is fixed to the arm."""
    return bytes(np.round(pull.straps[CONTROL_STRAP][-1], 3).tobytes())


def _below(system: SingleControl, pull: Pull | DualPull | Lying, view: View, hinges: Hinges) -> tuple[SeenArm, float]:
    """What is fixed to the arm below the elbow, and at which share of the forearm the housing is held."""
    wearer, housing = system.harness.wearer, system.cable.housing
    fitted = ArmFit(
        crossbar=_crossbar(pull),
        level=round(strap_level(wearer, pull), 3),
        held=system.arm_line.forearm,
        housing="none" if housing is None else "held" if housing.fixed else "loose",
        hinges=hinges,
    )
    arm = on_arm(wearer, pull.pose, view, fitted)
    return arm, arm.arm.held(fitted.held)


def _above(system: DualControl, pull: Pull | DualPull | Lying, view: View) -> tuple[SeenArm, float]:
    """The same above the elbow."""
    line = system.line
    gap = Gap(
        end_above=line.end_above, end_ahead=line.end_ahead, loop_along=line.loop_along, loop_ahead=line.loop_ahead
    )
    fitted = ElbowFit(crossbar=_crossbar(pull), gap=gap)
    return above_elbow(system.harness.wearer, pull.pose, view, fitted), HELD


def _hanger(points: Points) -> int:
    """Find the node of the control attachment strap where the hanger sits."""
    steps = np.linalg.norm(np.diff(points, axis=0), axis=1)
    left = np.append(steps[::-1].cumsum()[::-1], 0.0)  # from each node to the crossbar
    return int(np.argmin(np.abs(left - _HANGER)))
