"""Details by name: what a picture of the whole wearer shows too small."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache, partial

from controlkit.draw.details.at_crossbar import crossbar_detail
from controlkit.draw.details.at_elbow import hinge_detail
from controlkit.draw.details.at_lift import lift_loop_detail
from controlkit.draw.details.at_lock import lock_detail
from controlkit.draw.details.at_ring import ring_detail
from controlkit.draw.details.at_wrist import hand_detail, hook_detail, wrist_detail
from controlkit.draw.page.scene import Scene
from controlkit.units import InputError

__all__ = ["DETAILS", "detail_scene"]

DETAILS: dict[str, Callable[[], Scene]] = {
    "ring": ring_detail,
    "crossbar": crossbar_detail,
    "flexible hinge": partial(hinge_detail, "flexible"),
    "rigid hinge": partial(hinge_detail, "rigid"),
    "lift loop": lift_loop_detail,
    "elbow lock": lock_detail,
    "wrist unit": wrist_detail,
    "hook": hook_detail,
    "hand": hand_detail,
}
"""Details that can be drawn, by name, in the order in which a pull reaches them."""


@lru_cache(maxsize=len(DETAILS))
def _drawn(name: str) -> Scene:
    return DETAILS[name]()


def detail_scene(name: str) -> Scene:
    """Draw one part close to, with the names of what it is made of.

    Parameters
    ----------
    name : str
        One of `DETAILS`: "ring", "crossbar", "flexible hinge", "rigid hinge", "lift loop", "elbow lock", "wrist unit",
        "hook" or "hand".

    Returns
    -------
    Scene
        The drawing with its words; a notebook shows it small and lets the reader enlarge it.

    Raises
    ------
    InputError
        If there is no such detail.

    Examples
    --------
    >>> from controlkit.draw import detail_scene
    >>> detail_scene("ring").title
    'The ring'
    """
    if name not in DETAILS:
        raise InputError(
            given=f'There is no detail "{name}".',
            allowed=f"There are: {', '.join(DETAILS)}.",
            do='Choose one, for example detail_scene("ring").',
        )
    return _drawn(name)
