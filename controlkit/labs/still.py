"""A lab standing still: what is left of it in print, and the next day before its cell is run again."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from html import escape
from typing import Any

from controlkit.labs.controls import Control
from controlkit.labs.sent import PREFIX

__all__ = ["still", "table"]

_AGAIN = (
    "This is a still picture. To bring the lab to life, click into the cell above it and press Shift+Enter; "
    "your noted readings and predictions come back with it."
)
# without a kernel the widget is an output with a sentence for programmers and no elements; in print all is hidden
_QUIET = (
    "<style>.jupyter-widgets:not(:has(*)){display:none}"
    ".ck-noted-still{border-collapse:collapse;font-size:12px}.ck-noted-still :is(th,td){padding:1px 8px;"
    "border-bottom:1px solid #d5d8d4;text-align:right}</style>"
)


def table(controls: Sequence[Control], rows: Sequence[Mapping[str, Any]]) -> dict[str, Any]:
    """Lay noted readings out as a table: a column for each control that was ever moved, one for each reading.

    Parameters
    ----------
    controls : sequence of Control
        The controls of the lab.
    rows : sequence of mapping
        Each with its ``settings``, by the key of a control, and its ``readings``, pairs of label and text.

    Returns
    -------
    dict
        ``head``, a list of texts, and ``rows``, lists of texts.

    Examples
    --------
    >>> from controlkit.labs.controls import Slider
    >>> ring = Slider("ring", "Ring below C7", "length", (0.0, 0.2), start=0.06)
    >>> table([ring], [{"settings": {"ring": "80 mm"}, "readings": [["Captured", "31 mm"]]}])
    {'head': ['Ring below C7', 'Captured'], 'rows': [['80 mm', '31 mm']]}
    """
    start = {control.key: control.to_line(control.start) for control in controls}
    moved = [c for c in controls if any(row["settings"].get(c.key, start[c.key]) != start[c.key] for row in rows)]
    read = list(dict.fromkeys(label for row in rows for label, _ in row["readings"]))
    return {
        "head": [*(control.label for control in moved), *read],
        "rows": [
            [
                *(row["settings"].get(c.key, "") for c in moved),
                *(dict(row["readings"]).get(label, "") for label in read),
            ]
            for row in rows
        ],
    }


def still(shown: Mapping[str, Any], noted: Mapping[str, Any], name: str) -> str:
    """Write a lab as plain HTML, for print and for a page without a kernel.

    Parameters
    ----------
    shown : mapping
        What the lab shows: pictures, words, and the setting as a line.
    noted : mapping
        The table of noted readings.
    name : str
        Its identifier, and the start of those inside.

    Returns
    -------
    str
        A `<figure>`, hidden by the living lab.
    """
    pictures = "".join(
        f'<div style="flex:1 1 15em;max-width:24em">{svg.replace(PREFIX, name)}</div>' for svg in shown["pictures"]
    )
    return (
        f'{_QUIET}<figure id="{name}" class="ck-still" '
        f'style="margin:0.5em 0;background:#ffffff;color:#1f2326;padding:0.5em">'
        f'<p class="ck-again">{_AGAIN}</p><div style="display:flex;flex-wrap:wrap;gap:1em">{pictures}</div>'
        f"<figcaption><details><summary>In words</summary><p>{escape(shown['words'])}</p></details>"
        f"<p>Setting: {escape(shown['line'])}</p>{_rows(noted)}</figcaption></figure>"
    )


def _rows(noted: Mapping[str, Any]) -> str:
    if not noted["rows"]:
        return ""
    head = "".join(f'<th scope="col">{escape(text)}</th>' for text in noted["head"])
    body = "".join(f"<tr>{''.join(f'<td>{escape(text)}</td>' for text in row)}</tr>" for row in noted["rows"])
    return (
        f'<table class="ck-noted-still"><caption>Noted readings</caption><thead><tr>{head}</tr></thead>'
        f"<tbody>{body}</tbody></table>"
    )
