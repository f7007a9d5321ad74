"""End of the housing, bare cable and lift loop at the elbow of a wearer of average build."""

from __future__ import annotations

import numpy as np

from controlkit.draw.details.spots import Part, inset, within
from controlkit.draw.page.scene import Frame, Item, Ribbon, Scene
from controlkit.draw.wearer.lifting import elbow_plane
from controlkit.mechanics import DualControl, Wearer, above_elbow_eight
from controlkit.units import deg

__all__ = ["lift_loop_detail"]

_WINDOW = -0.200, -0.105, 0.195, 0.155  # round the elbow [m]
_BENT = deg(78.0)


def lift_loop_detail() -> Scene:
    """Draw the elbow of dual control from the side of the prosthesis.

    Returns
    -------
    Scene
        The detail.
    """
    wearer = Wearer.average("male", level="transhumeral", amputated="right")
    system = DualControl(harness=above_elbow_eight(wearer))
    seen, axis = elbow_plane(system, arm_flexion=0.0, elbow_flexion=_BENT)
    left, low, right, high = _WINDOW
    x, y = axis.tolist()
    frame = Frame(x + left, y + low, x + right, y + high, text=0.0122)
    drawn: list[Item] = [
        item
        for item in seen.over
        if not (isinstance(item, Ribbon) and item.hidden is not None and bool(np.all(item.hidden)))
    ]
    parts: list[Part] = [
        (("humeral socket",), "humeral socket", (0.27, 0.92)),
        (("housing",), "housing", (0.27, 0.68)),
        (("end of the", "housing"), "end of the housing", (0.74, 0.90)),
        (("bare cable",), "bare cable across the elbow", (0.74, 0.77)),
        (("lift loop",), "lift loop", (0.77, 0.66)),
        (("second housing",), "second housing", (0.60, 0.08)),
        (("turntable",), "turntable", (0.26, 0.46)),
        (("elbow axis",), "elbow axis", (0.26, 0.32)),
        (("forearm shell",), "forearm shell", (0.975, 0.585)),
    ]
    words = (
        "Housing end and lift loop, close to, seen from the side of the prosthesis. The housing is split at the elbow: "
        "the first ends on the humeral socket above the elbow's axis, the second begins in the lift loop on the "
        "forearm shell. Between them the bare cable crosses the elbow in a straight line. Pulled, it shortens this gap "
        "and flexes the elbow; with the elbow locked the gap cannot shorten, and the same pull goes on through the "
        "second housing and opens the device. The farther the line passes from the elbow axis, the less force lifts "
        "the forearm, and the more cable that takes."
    )
    return inset("Lift loop and housing end", words, frame, items=within(drawn, frame), parts=parts)
