"""Scenes and charts as SVG text, written directly because a lab is in a hurry.

Numbers are written as whole tenths of a millimetre (scenes) or tenths of a
picture point (charts), which keeps the text short. Line widths do not grow
with the picture, except the webbing, which is drawn at its true width.
"""

from __future__ import annotations

from base64 import b64encode
from functools import lru_cache
from html import escape
from itertools import pairwise
from struct import pack
from zlib import compress, crc32

import numpy as np
from numpy.typing import NDArray

from controlkit.draw.page.chart_layout import ChartLayout
from controlkit.draw.page.scene import Arrow, Chart, Dot, Frame, Item, Label, Line, Points, Region, Ribbon, Scene, Shade
from controlkit.draw.page.shapes import arrow_head, runs
from controlkit.draw.page.style import INK, PAGE, STYLES

__all__ = ["render_html", "render_svg"]

_TENTHS = 10000.0  # a metre in tenths of a millimetre
_DOWNWARD = np.array([_TENTHS, -_TENTHS])
_FIXED = ' vector-effect="non-scaling-stroke"'
_SHORT = 16  # of a line with fewer points none is left out [-]
_OWN = "OWN-PICTURE"  # where the start of a picture's identifiers goes, in what is written once for many pictures


def render_svg(picture: Scene | Chart, prefix: str = "picture") -> str:
    """Write a scene or a chart as SVG text with a title and a description.

    Parameters
    ----------
    picture : Scene or Chart
        What to draw.
    prefix : str
        Start of the identifiers inside, so that two pictures can share a page.

    Returns
    -------
    str
        One `<svg>` element that needs nothing from outside.

    Examples
    --------
    >>> from controlkit.draw import Frame, Scene, render_svg
    >>> text = render_svg(Scene("A bare page", "Nothing is drawn.", Frame(0, 0, 1, 1)))
    >>> 'role="img"' in text and "<title" in text
    True
    """
    if isinstance(picture, Chart):
        body = _chart(picture)
        box = f"0 0 {picture.size[0] * 10:.0f} {picture.size[1] * 10:.0f}"
    else:
        body = _scene(picture)
        frame = picture.frame
        box = f"0 0 {frame.width * _TENTHS:.0f} {frame.height * _TENTHS:.0f}"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" role="img" viewBox="{box}" '
        f'aria-labelledby="{prefix}-title {prefix}-words" '
        f'preserveAspectRatio="xMidYMid meet" '
        f'font-family="Helvetica, Arial, sans-serif" '
        f'stroke-linejoin="round" stroke-linecap="round" fill="none">'
        f'<title id="{prefix}-title">{escape(picture.title)}</title>'
        f'<desc id="{prefix}-words">{escape(picture.words)}</desc>'
        f"{body.replace(_OWN, prefix)}</svg>"
    )


_SMALL = 26  # width of a picture that can be enlarged [em]
_count = 0


def render_html(picture: Scene | Chart) -> str:
    """Write a picture for the output of a notebook cell or a printed page.

    Parameters
    ----------
    picture : Scene or Chart
        What to draw.

    Returns
    -------
    str
        A `<figure>` with the drawing, and its words folded below. One that is to be shown small stands there small,
        and once more, large, in a fold.
    """
    global _count
    _count += 1
    name = f"figure-{_count}"
    svg, wide, large = render_svg(picture, name), 40, ""
    if isinstance(picture, Scene) and picture.small:
        svg = f'<div style="max-width:{_SMALL}em"><svg id="{name}"{svg.removeprefix("<svg")}</div>'
        wide, box = 64, f"0 0 {picture.frame.width * _TENTHS:.0f} {picture.frame.height * _TENTHS:.0f}"
        large = (
            f'<details><summary style="cursor:pointer">Enlarge</summary><svg viewBox="{box}" width="100%" '
            f'aria-hidden="true"><use href="#{name}"/></svg></details>'
        )
    return (
        f'<figure style="margin:0.5em 0;max-width:{wide}em;background:{PAGE};color:{INK};'
        f'padding:0.5em">{svg}<figcaption>{large}<details><summary style="cursor:pointer">In words</summary>'
        f"{escape(picture.words)}</details></figcaption></figure>"
    )


# ---------------------------------------------------------------- scenes


def _scene(scene: Scene) -> str:
    return "".join([_drawn(item, scene.frame) for item in scene.items])


@lru_cache(maxsize=2048)
def _drawn(item: Item, frame: Frame) -> str:
    """Write one item; those that stand still are written once."""
    if isinstance(item, Ribbon):
        return _ribbon(item, frame)
    if isinstance(item, Line):
        return _line(item, frame)
    if isinstance(item, Region):
        return f'<path d="M{_flat(item.points, frame)}Z"{_pen(item.style)}/>'
    if isinstance(item, Label):
        return _label(item, frame)
    if isinstance(item, Arrow):
        return _arrow(item, frame)
    if isinstance(item, Shade):
        return _shade(item, frame)
    return _dot(item, frame)


def _flat(points: Points, frame: Frame) -> str:
    """Write points as the rest of a path after its M: the first place, and steps from each to the next."""
    if len(points) < _SHORT:  # too few for arrays to pay
        left, top = frame.left, frame.top
        places = [(round((x - left) * _TENTHS), round((top - y) * _TENTHS)) for x, y in points.tolist()]
        steps = [step for (a, b), (x, y) in pairwise(places) for step in (x - a, y - b)]
        return ("%d %dl" + "%d " * len(steps)) % (*places[0], *steps)
    whole = np.rint(_thinned((points - _corner(frame)) * _DOWNWARD)).astype(np.int64)
    start, steps = whole[0].tolist(), (whole[1:] - whole[:-1]).ravel().tolist()
    return ("%d %dl" + "%d " * len(steps)) % (*start, *steps)


def _thinned(places: Points) -> Points:
    """Leave out every other point that lies straight between its neighbours, to a tenth of a millimetre, twice."""
    on_plane = np.ascontiguousarray(places).view(np.complex128)[:, 0]
    for _ in range(2):
        if len(on_plane) < _SHORT:
            break
        before, here, after = on_plane[:-2:2], on_plane[1:-1:2], on_plane[2::2]
        chord = after - before
        turned = (here - before) * chord.conj()  # how far along it, and aside, by the chord's length
        along, apart, square = turned.real, turned.imag, chord.real**2 + chord.imag**2
        straight = (apart * apart <= square) & (along >= 0.0) & (along <= square)
        if not straight.any():
            break
        keep = np.ones(len(on_plane), dtype=bool)
        np.logical_not(straight, out=keep[1:-1:2])
        on_plane = on_plane[keep]
    return on_plane.view(np.float64).reshape(-1, 2)


@lru_cache(maxsize=64)
def _corner(frame: Frame) -> Points:
    return np.array([frame.left, frame.top])


def _joined(places: Points) -> str:
    """Write whole numbers with spaces between, all in one go."""
    whole = np.rint(places).astype(np.int64).ravel().tolist()
    return ("%d " * len(whole) % tuple(whole))[:-1]


@lru_cache(maxsize=256)
def _pen(style: str, filled: bool = True) -> str:
    look = STYLES[style]
    dash = f' stroke-dasharray="{_numbers(look.dash)}"' if look.dash else ""
    fill = f' fill="{look.fill}"' if filled and look.fill else ""
    return f' stroke="{look.colour}" stroke-width="{look.width:g}"{dash}{fill}{_FIXED}'


def _numbers(values: tuple[float, ...]) -> str:
    return " ".join(f"{value:g}" for value in values)


def _ribbon(band: Ribbon, frame: Frame) -> str:
    look = STYLES[band.style]
    hidden = np.zeros(len(band.points), dtype=bool) if band.hidden is None else band.hidden
    out: list[str] = []
    for a, b, covered in sorted(runs(hidden), key=lambda piece: not piece[2]):
        middle, across = band.points[a : b + 1], band.across[a : b + 1]
        if covered:
            out.append(
                f'<path d="M{_flat(middle, frame)}" stroke="{look.colour}" stroke-width="1.1" '
                f'stroke-dasharray="{_numbers(look.covered)}"{_FIXED}/>'
            )
            continue
        one, other = middle + across, (middle - across)[::-1]
        whole = _flat(np.vstack([one, other]), frame)
        pen = f'stroke="{look.colour}" stroke-width="{look.width:g}"{_FIXED}'
        if b - a + 1 == len(band.points):
            out.append(f'<path d="M{whole}Z" {pen} fill="{look.tint}"/>')
        else:  # no edge across it where something hides it from there on
            edges = f"M{_flat(one, frame)}M{_flat(other, frame)}"
            out.append(f'<path d="M{whole}Z" fill="{look.tint}"/><path d="{edges}" {pen}/>')
        if look.seam:
            out.append(
                f'<path d="M{_flat(middle, frame)}" stroke="{look.colour}" stroke-width="1.1" '
                f'stroke-dasharray="{_numbers(look.seam)}"{_FIXED}/>'
            )
    return "".join(out)


def _line(line: Line, frame: Frame) -> str:
    look = STYLES[line.style]
    end = "Z" if line.closed else ""
    if line.hidden is None or not line.hidden.any():
        pieces = [(line.points, False)]
    else:
        pieces = [(line.points[a : b + 1], covered) for a, b, covered in runs(line.hidden)]
    out: list[str] = []
    for points, covered in sorted(pieces, key=lambda piece: not piece[1]):
        path = f'<path d="M{_flat(points, frame)}{end}"'
        if covered:
            dash = _numbers(look.covered)
            out.append(f'{path} stroke="{look.colour}" stroke-width="1.1" stroke-dasharray="{dash}"{_FIXED}/>')
        elif look.webbing:
            wide = look.webbing * _TENTHS
            # dark edge, pale middle, seam: a strap of true width
            out.append(f'{path} stroke="{look.colour}" stroke-width="{wide:.0f}" stroke-linecap="butt"/>')
            out.append(f'{path} stroke="{look.tint}" stroke-width="{wide * 0.72:.0f}" stroke-linecap="butt"/>')
            if look.seam:
                out.append(
                    f'{path} stroke="{look.colour}" stroke-width="1.1" '
                    f'stroke-dasharray="{_numbers(look.seam)}"{_FIXED}/>'
                )
        else:
            out.append(f"{path}{_pen(line.style, False)}/>")
    return "".join(out)


def _shade(shade: Shade, frame: Frame) -> str:
    """Fill a body and lay its tone over it; the clip is named after picture and lines, always alike."""
    path = "".join(f"M{_flat(loop, frame)}Z" for loop in shade.loops)
    name = f"{_OWN}-body-{crc32(path.encode()):08x}"
    (left, top), size = _place(shade.corner, frame), shade.dot * _TENTHS
    rows, columns = shade.tone.shape
    return (
        f'<clipPath id="{name}"><path d="{path}" clip-rule="evenodd"/></clipPath>'
        f'<path d="{path}" fill-rule="evenodd" fill="{STYLES[shade.style].fill}"/>'
        f'<image x="{left}" y="{top}" width="{columns * size:.0f}" height="{rows * size:.0f}" '
        f'preserveAspectRatio="none" clip-path="url(#{name})" href="data:image/png;base64,{_png(shade.tone)}"/>'
    )


def _png(tone: NDArray[np.uint8]) -> str:
    """Write shadow as a picture of black dots, as opaque as the tone says (PNG, ISO/IEC 15948)."""
    rows, columns = tone.shape
    dots = np.zeros((rows, 1 + 2 * columns), dtype=np.uint8)  # each row begins with the number of its filter: none
    dots[:, 2::2] = tone

    def chunk(kind: bytes, data: bytes) -> bytes:
        return pack(">I", len(data)) + kind + data + pack(">I", crc32(kind + data))

    head = pack(">II", columns, rows) + bytes([8, 4, 0, 0, 0])  # grey with alpha, a byte each
    text = (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", compress(dots.tobytes(), 6)) + chunk(b"IEND", b"")
    )
    return b64encode(text).decode("ascii")


def _dot(dot: Dot, frame: Frame) -> str:
    x, y = _place(dot.at, frame)
    return f'<circle cx="{x}" cy="{y}" r="{dot.radius * _TENTHS:.0f}"{_pen(dot.style)}/>'


def _place(at: tuple[float, float], frame: Frame) -> tuple[int, int]:
    return round((at[0] - frame.left) * _TENTHS), round((frame.top - at[1]) * _TENTHS)


def _arrow(arrow: Arrow, frame: Frame) -> str:
    neck, corners = arrow_head(arrow.start, arrow.end, frame.text * 0.9)
    x0, y0 = _place(arrow.start, frame)
    x1, y1 = _place(neck, frame)
    look = STYLES[arrow.style]
    shaft = f'<path d="M{x0} {y0} {x1} {y1}"'
    head = f'<path d="M{_flat(corners, frame)}Z"'
    dash = f' stroke-linecap="butt" stroke-dasharray="{_numbers(look.dash)}"' if look.dash else ""
    # a pale edge keeps a filled arrow readable over the drawing
    pale = (
        f'{shaft} stroke="{PAGE}" stroke-width="{look.width + 3:g}"{_FIXED}/>'
        f'{head} stroke="{PAGE}" stroke-width="3"{_FIXED}/>'
    )
    return (
        f"{pale if look.fill else ''}"
        f'{shaft} stroke="{look.colour}" stroke-width="{look.width:g}"{dash}{_FIXED}/>'
        f'{head} fill="{look.colour}"/>'
    )


def _label(label: Label, frame: Frame) -> str:
    x, y = _place(label.at, frame)
    size = frame.text * _TENTHS
    gap = size * 1.12
    top = y - (len(label.lines) - 1) * gap / 2 + size * 0.35
    # a pale edge keeps words readable where they cross a line
    halo = f' stroke="{PAGE}" stroke-width="{size * 0.28:.0f}" paint-order="stroke"'
    out: list[str] = []
    if label.target is not None:
        tx, ty = _place(label.target, frame)
        side = {"start": -1, "end": 1}.get(label.anchor, 0)
        sx = round(x + side * size * 0.3)
        out.append(f'<path d="M{sx} {y} {tx} {ty}"{_pen(label.style, False)}/>')
        out.append(f'<circle cx="{tx}" cy="{ty}" r="{size * 0.13:.0f}" fill="{STYLES[label.style].colour}"/>')
    for number, text in enumerate(label.lines):
        out.append(
            f'<text x="{x}" y="{top + number * gap:.0f}" font-size="{size:.0f}" '
            f'text-anchor="{label.anchor}" fill="{INK}"{halo}>{escape(text, False)}</text>'
        )
    return "".join(out)


# ---------------------------------------------------------------- charts


def _chart(chart: Chart) -> str:
    lay = ChartLayout(chart)
    out: list[str] = []
    for text, x, y, anchor, bold in lay.texts:
        weight = ' font-weight="bold"' if bold else ""
        out.append(
            f'<text x="{x * 10:.0f}" y="{y * 10:.0f}" font-size="{lay.text * 10:.0f}" '
            f'text-anchor="{anchor}" fill="{INK}"{weight}>{escape(text, False)}</text>'
        )
    for points, style in lay.lines:
        out.append(f'<path d="M{_joined(points * 10.0)}"{_pen(style, False)}/>')
    for x, y, style in lay.dots:
        look = STYLES[style]
        out.append(
            f'<circle cx="{x * 10:.0f}" cy="{y * 10:.0f}" r="48" fill="{PAGE}" '
            f'stroke="{look.colour}" stroke-width="2.2"{_FIXED}/>'
        )
    return "".join(out)
