"""Which strap has which colours, told beside pictures without words in their margins."""

from __future__ import annotations

from controlkit.draw.page.style import STRAP_STYLES, STYLES
from controlkit.mechanics.harness.layout import AXILLA_LOOP, CONTROL_STRAP
from controlkit.mechanics.harness.patterns.eight import CROSS_BACK, FRONT_STRAP

__all__ = ["strap_legend"]


def strap_legend() -> tuple[tuple[str, str, str], ...]:
    """List the straps of a figure-of-eight harness with their colours.

    Returns
    -------
    tuple of (str, str, str)
        Name, colour of the edge, colour inside.

    Examples
    --------
    >>> [name for name, _, _ in strap_legend()]
    ['control attachment strap', 'anterior support strap', 'axilla loop and cross-back strap']
    """
    also = {AXILLA_LOOP: f"{AXILLA_LOOP} and {CROSS_BACK}"}
    looks = ((name, STYLES[STRAP_STYLES[name]]) for name in (CONTROL_STRAP, FRONT_STRAP, AXILLA_LOOP))
    return tuple((also.get(name, name), look.colour, look.tint) for name, look in looks)
