"""The look of every picture, in one table.

Colours come from a palette that readers with the common kinds of colour
blindness can tell apart, and their greys differ too. No meaning hangs on
colour alone: each style differs in width, dash or the seam down its middle,
and everything that matters has a label.
"""

from __future__ import annotations

from dataclasses import KW_ONLY, dataclass

from controlkit.mechanics.harness.layout import AXILLA_LOOP, CONTROL_STRAP
from controlkit.mechanics.harness.patterns.above_elbow import LATERAL_SUSPENSOR
from controlkit.mechanics.harness.patterns.chest import CHEST_STRAP, SADDLE_STRAP, SUSPENSOR
from controlkit.mechanics.harness.patterns.eight import CROSS_BACK, FORK_INNER, FORK_OUTER, FRONT_STRAP

__all__ = ["FORK", "INK", "LOCK_STRAP", "PAGE", "STRAP_STYLES", "STYLES", "Style"]

PAGE = "#ffffff"
INK = "#1f2326"
FORK = "inverted Y"
"""Two legs together, told apart from each other in no picture."""
LOCK_STRAP = "elbow-lock control strap"
"""From the anterior support strap down to the cable of the elbow's lock."""


@dataclass(frozen=True)
class Style:
    """How one kind of line or shape is drawn.

    Parameters
    ----------
    colour : str
        Colour of the line, as a hexadecimal code.
    width : float
        Width of the line on the screen, in picture points [-].
    dash : tuple of float
        Lengths of dash and gap in picture points; empty for a full line [-].
    fill : str
        Colour inside a closed shape; empty for none.
    webbing : float
        True width of a strap [m]; 0 for a plain line.
    seam : tuple of float
        Dash and gap of the line down the middle of a strap, in picture
        points; empty for none [-].
    tint : str
        Colour of the middle of a strap.
    covered : tuple of float
        Dash and gap of the line that stands for it where something hides
        it, in picture points [-].
    """

    colour: str = INK
    width: float = 1.2
    _: KW_ONLY
    dash: tuple[float, ...] = ()
    fill: str = ""
    webbing: float = 0.0
    seam: tuple[float, ...] = ()
    tint: str = ""
    covered: tuple[float, ...] = (5.0, 4.0)


def _strap(colour: str, tint: str, seam: tuple[float, ...]) -> Style:
    """A strap an inch wide; where something hides it, its seam alone goes on."""
    return Style(colour, 1.0, webbing=0.0254, tint=tint, seam=seam, covered=seam)


STYLES: dict[str, Style] = {
    # the body and what is worn
    "body": Style(INK, 1.3, fill=PAGE),
    "body edge": Style(INK, 2.8),
    "body far edge": Style("#6b7177", 2.4),
    "skin": Style(PAGE, 0.0, fill=PAGE),
    "flesh": Style(PAGE, 0.0, fill="#fbf9f5"),
    "contour": Style(INK, 1.7),
    "fold": Style(PAGE, 0.0, fill=INK),
    "garment": Style("#8b9096", 1.0),
    "limb": Style(INK, 1.4),
    "furrow": Style("#a3a8ac", 1.0),
    "prosthesis": Style(INK, 1.3, fill="#eceae4"),
    "spring": Style(INK, 1.0),
    "shell": Style("#eceae4", 0.0, fill="#eceae4"),
    "shell shade": Style("#d3d0c6", 0.0, fill="#d3d0c6"),
    "shell edge": Style(INK, 1.3),
    "lamination": Style("#8b9096", 0.9),
    "cuff": Style(INK, 1.1, fill="#d9d6cc"),
    "leather": Style("#d8c3a5", 0.0, fill="#d8c3a5"),
    "leather edge": Style("#4a3826", 1.2),
    "outline": Style("#8b9096", 1.0),
    "landmark": Style(INK, 1.2, fill=INK),
    "ring": Style(INK, 2.2, fill=PAGE),
    "wire": Style(INK, 1.0, webbing=0.0045, tint="#c3c8cc"),
    "buckle": Style(INK, 1.0, fill="#c3c8cc"),
    "bar": Style(INK, 1.0),
    "plate": Style(INK, 1.0, fill="#c3c8cc"),
    "rivet": Style(INK, 0.7, fill="#5b6167"),
    "patch": Style(INK, 1.4, fill="#f4f1e8"),
    "stitch": Style(INK, 0.8, dash=(2.0, 1.6)),
    "rib": Style("#00573d", 0.9),
    "load": Style("#2d0833", 0.6, fill="#5c2d68"),
    "crossbar": Style(INK, 1.0, webbing=0.007, tint="#8b9096"),
    "hinge": Style("#4a3826", 1.0, webbing=0.019, tint="#c2a684"),
    "hinge bar": Style(INK, 1.0, webbing=0.010, tint="#c3c8cc"),
    "hanger": Style(INK, 1.1, fill="#c3c8cc"),
    "cable": Style(INK, 1.6),
    "housing": Style("#4b5157", 1.0, webbing=0.0075, tint="#dcd8ca", seam=(0.8, 1.8)),
    "ferrule": Style(INK, 1.0, webbing=0.0095, tint="#c3c8cc"),
    "object": Style(INK, 1.3, fill="#e6eef4"),
    # the terminal device
    "metal": Style(INK, 1.1, fill="#c4cace"),
    "metal light": Style("#f3f6f8", 1.4),
    "bore": Style(INK, 0.9, fill="#3c4246"),
    "lining": Style(INK, 0.7, fill="#5b4a42"),
    "rubber": Style("#5a2410", 0.8, fill="#d98a5f"),
    "gloved": Style(INK, 1.2, fill="#efe6dd"),
    "glove inside": Style("#efe6dd", 0.0, fill="#efe6dd"),
    "crease": Style("#8d7f73", 0.9),
    "collar": Style(INK, 1.2, fill="#dcdad3"),
    # straps: true width, told apart by the seam as well as by the colour
    AXILLA_LOOP: Style("#00507f", 1.0, webbing=0.0254, tint="#7fb8dc", covered=(16.0, 3.0)),
    CROSS_BACK: _strap("#00507f", "#a3cde8", seam=(12.0, 4.0, 1.5, 4.0)),
    FRONT_STRAP: _strap("#00573d", "#b5dccb", seam=(1.5, 3.5)),
    FORK: Style("#00573d", 1.0, webbing=0.0127, tint="#b5dccb", covered=(1.5, 3.5)),
    LOCK_STRAP: Style("#5c4a00", 1.0, webbing=0.0127, tint="#e3d27a", seam=(3.0, 1.5), covered=(3.0, 1.5)),
    LATERAL_SUSPENSOR: _strap("#00573d", "#8cc7ab", seam=(10.0, 3.0, 1.5, 3.0)),
    CONTROL_STRAP: _strap("#8f3a00", "#f2c19b", seam=(7.0, 4.0)),
    # a second layer of the same webbing: folded back, or sewn on
    f"{AXILLA_LOOP} fold": Style("#00507f", 1.1, fill="#a3cde8"),
    f"{CROSS_BACK} fold": Style("#00507f", 1.1, fill="#c6e0f1"),
    f"{FRONT_STRAP} fold": Style("#00573d", 1.1, fill="#cfeadf"),
    f"{LOCK_STRAP} fold": Style("#5c4a00", 1.1, fill="#f0e6b0"),
    f"{LATERAL_SUSPENSOR} fold": Style("#00573d", 1.1, fill="#b3dcc8"),
    f"{FORK} fold": Style("#00573d", 1.1, fill="#cfeadf"),
    f"{CONTROL_STRAP} fold": Style("#8f3a00", 1.1, fill="#f8d9c0"),
    # lines that explain
    "leader": Style("#5b6167", 0.8),
    "force": Style("#a3003c", 3.0, fill="#a3003c"),
    f"force {AXILLA_LOOP}": Style("#00507f", 3.0),
    f"force {FRONT_STRAP}": Style("#00573d", 3.0, dash=(2.0, 3.0)),
    f"force {FORK}": Style("#00573d", 2.0),
    f"force {LATERAL_SUSPENSOR}": Style("#00573d", 3.0, dash=(10.0, 3.0, 1.5, 3.0)),
    f"force {CONTROL_STRAP}": Style("#8f3a00", 3.0, dash=(7.0, 4.0)),
    "force skin": Style("#5b6167", 2.0),
    "slides": Style("#00507f", 1.6, fill="#00507f"),
    "scale": Style(INK, 1.2),
    "moment arm": Style("#6a2c8f", 3.6),
    "line of pull": Style("#6a2c8f", 1.2, dash=(5.0, 3.0)),
    "pinned": Style("#767b80", 1.3),
    # curves
    "generated": Style("#00507f", 1.8, fill="#00507f"),
    "captured": Style("#b34a00", 3.2, fill="#b34a00"),
    "required": Style(INK, 1.6, dash=(7.0, 4.0), fill=INK),
    "pinned curve": Style("#767b80", 1.6, dash=(2.0, 3.0), fill="#767b80"),
    "pulling": Style("#b34a00", 3.2, fill="#b34a00"),
    "letting back": Style("#00507f", 1.8, dash=(9.0, 3.0), fill="#00507f"),
    "range": Style("#8b9096", 1.1, dash=(1.5, 2.5), fill="#8b9096"),
    "taken": Style("#6a2c8f", 1.8, dash=(9.0, 3.0, 2.0, 3.0), fill="#6a2c8f"),
    "left": Style("#00507f", 2.4, dash=(3.0, 2.0), fill="#00507f"),
    "hatch": Style("#a3003c", 1.0),
    "now": Style("#5b6167", 1.0, dash=(3.0, 3.0)),
    "grid": Style("#e3e3df", 1.0),
    "axis": Style(INK, 1.0),
    # bars; each says its name and its number beside it
    "bar generated": Style("#00507f", 1.0, fill="#7fb8dc"),
    "bar captured": Style("#8f3a00", 1.4, fill="#f2c19b"),
    "bar required": Style(INK, 1.4, dash=(6.0, 3.0), fill=PAGE),
    "bar lost": Style("#5b6167", 1.0, dash=(2.0, 2.0), fill="#e3e3df"),
    "bar plain": Style("#3c4246", 1.0, fill="#b9bec2"),
    "bar allowed": Style("#00573d", 1.0, fill="#dff0e8"),
    "whisker": Style(INK, 1.6),
}

STRAP_STYLES: dict[str, str] = {
    AXILLA_LOOP: AXILLA_LOOP,
    FRONT_STRAP: FRONT_STRAP,
    CONTROL_STRAP: CONTROL_STRAP,
    FORK_INNER: FORK,
    FORK_OUTER: FORK,
    CHEST_STRAP: AXILLA_LOOP,
    CROSS_BACK: CROSS_BACK,
    SADDLE_STRAP: FRONT_STRAP,
    SUSPENSOR: FRONT_STRAP,
    LATERAL_SUSPENSOR: LATERAL_SUSPENSOR,
    LOCK_STRAP: LOCK_STRAP,
}
"""The entry of `STYLES` in which each strap is drawn."""
