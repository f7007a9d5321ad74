"""Pictures of one thing beside each other, where a page is wide enough."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from controlkit.draw.page.scene import Chart, Scene

__all__ = ["side_by_side"]


@dataclass(frozen=True)
class _SideBySide:
    """Pictures that show themselves in a row."""

    pictures: tuple[Scene | Chart, ...]

    def _repr_mimebundle_(self, **_: Any) -> dict[str, str]:
        shown = [picture._repr_mimebundle_() for picture in self.pictures]
        cells = "".join(f'<div style="flex:1 1 20em;max-width:34em">{one.get("text/html", "")}</div>' for one in shown)
        return {
            "text/html": f'<div style="display:flex;flex-wrap:wrap;align-items:flex-end">{cells}</div>',
            "text/plain": "\n".join(picture.words for picture in self.pictures),
        }


def side_by_side(*pictures: Scene | Chart) -> _SideBySide:
    """Set pictures beside each other in a notebook.

    Parameters
    ----------
    *pictures : Scene or Chart
        From left to right; a narrow page sets them below each other.

    Returns
    -------
    object
        As the last line of a cell it is shown below it, each picture with its own words.

    Examples
    --------
    >>> from controlkit.draw import notation_scene
    >>> len(side_by_side(notation_scene(), notation_scene()).pictures)
    2
    """
    return _SideBySide(pictures)
