"""A page for a browser and for paper: no script, nothing from outside, every word escaped."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from controlkit.classroom.records.harmless import line

_LOOK = """
body { font: 16px/1.45 system-ui, sans-serif; color: #1a1a1a; background: #fff; max-width: 80rem; margin: 1rem auto;
  padding: 0 1.2rem }
h1 { font-size: 1.6rem; line-height: 1.25; margin: .6rem 0 } h2 { font-size: 1.25rem; margin: 1.6rem 0 .3rem }
p { margin: .4rem 0; max-width: 48rem }
table { border-collapse: collapse; margin: .5rem 0 } caption { text-align: left; font-weight: bold }
th, td { border-bottom: 1px solid #8a8a8a; padding: .2rem .8rem .2rem 0; text-align: left; vertical-align: top;
  font-weight: normal; overflow-wrap: break-word }
thead th { font-weight: bold; border-bottom: 2px solid #1a1a1a }
td.number, th.number { text-align: right; font-variant-numeric: tabular-nums; white-space: nowrap }
td.wide { min-width: 14rem }
.roll { overflow-x: auto; max-width: 100% }
.roll:focus-visible, a:focus-visible { outline: 3px solid #0b5394; outline-offset: 2px } a { color: #0b4a8a }
svg { max-width: 100%; height: auto; font: 13px system-ui, sans-serif }
svg rect { fill: #2f6690 } svg text { fill: #1a1a1a } svg line { stroke: #1a1a1a }
@page { margin: 14mm }
@media print { body { margin: 0; padding: 0; max-width: none; font-size: 10pt } tr, svg { break-inside: avoid }
  h2 { break-after: avoid } .roll { overflow: visible } thead { display: table-header-group } td.wide { min-width: 0 }
  th, td { padding-right: .5rem } svg rect { print-color-adjust: exact; -webkit-print-color-adjust: exact }
  nav { display: none } }
"""

_HIGH, _BAR, _GAP = 150, 56, 8


def text(words: object) -> str:
    """Words as they may stand anywhere in a page.

    Parameters
    ----------
    words : object
        A text, or a number

    Returns
    -------
    str
        One line, escaped

    Examples
    --------
    >>> text("<b>Ana & Bo")
    '&lt;b&gt;Ana &amp; Bo'
    """
    return escape(line(str(words), 1000), quote=True)


def page(title: str, body: Sequence[str]) -> str:
    """A whole page.

    Parameters
    ----------
    title : str
        Its heading
    body : sequence of str
        HTML, made by the functions of this file

    Returns
    -------
    str
        HTML that forbids itself to load or run anything
    """
    nothing = "default-src 'none'; style-src 'unsafe-inline'"
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{nothing}">\n'
        f"<title>{text(title)}</title>\n<style>{_LOOK}</style>\n</head>\n<body>\n<main>\n<h1>{text(title)}</h1>\n"
        + "\n".join(body)
        + "\n</main>\n</body>\n</html>\n"
    )


def heading(words: str, at: str) -> str:
    """A heading that can be linked to.

    Parameters
    ----------
    words, at : str
        What it says, and its id

    Returns
    -------
    str
        HTML
    """
    return f'<h2 id="{text(at)}">{text(words)}</h2>'


def paragraph(*words: str) -> str:
    """A paragraph.

    Parameters
    ----------
    *words : str
        Sentences

    Returns
    -------
    str
        HTML
    """
    return f"<p>{text(' '.join(words))}</p>"


def links(to: Sequence[tuple[str, str]]) -> str:
    """Where on the page what is.

    Parameters
    ----------
    to : sequence of (str, str)
        Words and id of each heading

    Returns
    -------
    str
        HTML; left out on paper
    """
    inner = " · ".join(f'<a href="#{text(at)}">{text(words)}</a>' for words, at in to)
    return f'<nav aria-label="On this page"><p>{inner}</p></nav>'


def table(caption: str, header: Sequence[str], rows: Sequence[Sequence[str]], *, numbers: Sequence[int] = ()) -> str:
    """A table that can be moved sideways with the keyboard where it is wider than the window.

    Parameters
    ----------
    caption : str
        What it holds
    header : sequence of str
        Names of the columns; what stands behind a line break is for the ear only
    rows : sequence of sequence of str
        The first cell names the row
    numbers : sequence of int
        Which columns are set as numbers, from 0 [-]

    Returns
    -------
    str
        HTML
    """
    wide = max((len(cell) for row in rows for cell in row), default=0) > 60

    def cell(place: int, words: str) -> str:
        if place == 0:
            return f'<th scope="row">{text(words)}</th>'
        look = ' class="number"' if place in numbers else ' class="wide"' if wide and len(words) > 60 else ""
        return f"<td{look}>{text(words)}</td>"

    head = "".join(_column(words, place in numbers) for place, words in enumerate(header))
    inner = "".join("<tr>" + "".join(cell(place, one) for place, one in enumerate(row)) + "</tr>\n" for row in rows)
    return (
        f'<div class="roll" role="region" tabindex="0" aria-label="{text(caption)}">'
        f"<table><caption>{text(caption)}</caption>\n<thead><tr>{head}</tr></thead>\n<tbody>\n{inner}</tbody></table></div>"
    )


def _column(words: str, number: bool) -> str:
    short, _, whole = words.partition("\n")
    look = ' class="number"' if number else ""
    inner = f'<abbr title="{text(whole)}">{text(short)}</abbr>' if whole else text(short)
    return f'<th scope="col"{look}>{inner}</th>'


def histogram(caption: str, shares: Sequence[float]) -> str:
    """How many lie where between nothing and all, in ten steps.

    Parameters
    ----------
    caption : str
        What is counted
    shares : sequence of float
        From 0 to 1 [-]

    Returns
    -------
    str
        A picture, with all that it shows in words for those who do not see it
    """
    counts = [0] * 10
    for share in shares:
        counts[min(max(int(share * 10 + 1e-9), 0), 9)] += 1
    names = [f"{10 * step} to {10 * step + 10} %" for step in range(10)]
    most = max([*counts, 1])
    wide = 10 * (_BAR + _GAP) + _GAP
    drawn = []
    for step, count in enumerate(counts):
        left, high = _GAP + step * (_BAR + _GAP), _HIGH * count / most
        middle = left + _BAR / 2
        drawn.append(f'<rect x="{left}" y="{20 + _HIGH - high:.1f}" width="{_BAR}" height="{high:.1f}"/>')
        if count:
            drawn.append(f'<text x="{middle:g}" y="{14 + _HIGH - high:.1f}" text-anchor="middle">{count}</text>')
    for step in range(11):
        x = _GAP / 2 + step * (_BAR + _GAP)
        drawn.append(f'<line x1="{x:g}" y1="{20 + _HIGH}" x2="{x:g}" y2="{25 + _HIGH}"/>')
        drawn.append(f'<text x="{min(x, wide - 16):g}" y="{40 + _HIGH}" text-anchor="middle">{10 * step} %</text>')
    drawn.append(f'<line x1="0" y1="{20 + _HIGH}" x2="{wide}" y2="{20 + _HIGH}"/>')
    spoken = text(f"{caption}: " + "; ".join(f"{name}: {count}" for name, count in zip(names, counts, strict=True)))
    size = f'viewBox="-14 0 {wide + 28} {46 + _HIGH}" width="{wide + 28}" height="{46 + _HIGH}"'
    return (
        f'<figure style="margin:.5rem 0"><svg role="img" aria-label="{spoken}" {size}>{"".join(drawn)}</svg>'
        f"<figcaption>{text(caption)}</figcaption></figure>"
    )
