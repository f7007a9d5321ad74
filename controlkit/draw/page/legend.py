"""What the colours of a picture stand for, as data, for whoever shows it beside the picture."""

from __future__ import annotations

from dataclasses import dataclass

from controlkit.draw.page.scene import Line, Scene
from controlkit.draw.page.style import STRAP_STYLES, STYLES

__all__ = ["StrapKey", "legend"]


@dataclass(frozen=True)
class StrapKey:
    """How one strap is drawn.

    Parameters
    ----------
    name : str
        The strap.
    edge, tint : str
        Colours of its edge and of its middle, as hexadecimal codes.
    seam : tuple of float
        Dash and gap of the line down its middle, in picture points; empty for none [-].
    """

    name: str
    edge: str
    tint: str
    seam: tuple[float, ...] = ()


def legend(scene: Scene) -> tuple[StrapKey, ...]:
    """List the straps that a scene draws, each with its look.

    Parameters
    ----------
    scene : Scene
        A drawing of a wearer; others have no straps.

    Returns
    -------
    tuple of StrapKey
        One a strap, in drawing order; both legs of an inverted Y are one.

    Examples
    --------
    >>> import numpy as np
    >>> from controlkit.draw import Frame
    >>> strap = Line(np.array([[0.0, 0.0], [1.0, 1.0]]), "axilla loop", "axilla loop")
    >>> [key.name for key in legend(Scene("A strap", "One strap.", Frame(0, 0, 1, 1), (strap,)))]
    ['axilla loop']
    """
    keys: dict[str, StrapKey] = {}
    for item in scene.items:
        if isinstance(item, Line) and item.name in STRAP_STYLES and item.style == STRAP_STYLES[item.name]:
            look = STYLES[item.style]
            name = item.style if item.style not in STRAP_STYLES else item.name
            keys.setdefault(name, StrapKey(name, look.colour, look.tint, look.seam))
    return tuple(keys.values())
