"""The elbow of a wearer of average build, with flexible or with rigid hinges."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from controlkit.draw.details.spots import Part, inset, within
from controlkit.draw.page.scene import Frame, Item, Points, Region, Ribbon, Scene
from controlkit.draw.wearer.on_arm import Hinges
from controlkit.draw.wearer.posed import posed_joints
from controlkit.draw.wearer.worn import look
from controlkit.mechanics import Pose, SingleControl, Wearer, figure_of_eight
from controlkit.mechanics.body.outline import outlines, project
from controlkit.units import deg

__all__ = ["hinge_detail"]

_WINDOW = -0.19, -0.15, 0.20, 0.17  # round the elbow [m]
_BESIDE = {"flexible": (0.82, 0.62), "rigid": (0.72, 0.74)}  # where the hinge's name stands, as in `Part`
_WHAT = {
    "flexible": "a strap, riveted to pad and socket, which bends with the elbow and lets the forearm turn a little",
    "rigid": "two bars and a joint on the elbow's axis, which let it bend and keep the forearm from turning",
}


def _upper_arm(system: SingleControl, pose: Pose, frame: Frame) -> Points:
    """The outline of the upper arm alone, cut off above the window."""
    edge = next(part.points for part in outlines(system.harness.wearer, pose, "side") if part.name == "upper arm")
    return np.stack([edge[:, 0], np.minimum(edge[:, 1], frame.top + 0.01)], axis=1)


def hinge_detail(hinges: Hinges) -> Scene:
    """Draw the elbow from the side of the prosthesis.

    Parameters
    ----------
    hinges : str
        "flexible" or "rigid".

    Returns
    -------
    Scene
        The detail.
    """
    wearer = replace(Wearer.average("male"), amputated="right")
    system = SingleControl(figure_of_eight(wearer))
    pull = system.at(elbow_flexion=deg(60))
    worn = look(system, pull, "side", hinges)
    x, y = project(posed_joints(wearer, pull.pose)["elbow"], "side", wearer.amputated).tolist()
    left, low, right, high = _WINDOW
    frame = Frame(x + left, y + low, x + right, y + high, text=0.0125)
    drawn: list[Item] = [
        *worn.arm.under,
        Region(_upper_arm(system, pull.pose, frame), "body", "upper arm"),
        *worn.arm.over,
    ]
    drawn = [item for item in drawn if not (isinstance(item, Ribbon) and item.hidden is not None and item.hidden.all())]
    parts: list[Part] = [
        (("triceps pad",), "triceps pad", (0.24, 0.90)),
        (("housing",), "housing", (0.20, 0.62)),
        (("socket",), "socket", (0.62, 0.12)),
        ((f"{hinges}", "hinge"), "hinge", _BESIDE[hinges]),
    ]
    if hinges == "rigid":
        parts.append((("joint on the", "elbow's axis"), "joint of the hinge", (0.72, 0.56)))
    words = (
        f"The elbow with {hinges} hinges, close to, seen from the side of the prosthesis; a second hinge lies on the "
        f"other side. Each is {_WHAT[hinges]}. The hinges join the triceps pad to the socket, which hangs on them."
    )
    return inset(f"A {hinges} hinge", words, frame, items=within(drawn, frame), parts=parts)
