"""Words of others made harmless: for a page, a terminal, a table, a gradebook whose pages escape nothing."""

from __future__ import annotations

import re

LONGEST = 60_000
"""More of one cell is not shown [characters]."""

_ESCAPES = re.compile(r"\x1b(?:\[[0-?]*[ -/]*[@-~]|\][^\x07\x1b]*(?:\x07|\x1b\\)?|[ -/]*[0-~])")
_UNSEEN = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\ud800-\udfff\u200e\u200f\u2028\u2029\u202a-\u202e\u2066-\u2069\ufeff]"
)
_COMPUTES = re.compile(r"""(^|[;,\t|"'\n])(\s*)(?=[=+\-@＝＋－＠])""")
_MARKUP = {ord("<"): "‹", ord(">"): "›", ord("&"): "＆", ord('"'): "”", ord("'"): "’", ord("`"): "’"}
_BREAKS = re.compile(r"[\s,;|]+")


def seen(text: str, most: int = LONGEST) -> str:
    """A text of several lines without anything that a screen would obey or hide.

    Parameters
    ----------
    text : str
        Of a student
    most : int
        Longest text that is shown [characters]

    Returns
    -------
    str
        The same in plain characters: no commands to a terminal, no turning of the direction of writing

    Examples
    --------
    >>> seen("12 \\x1b[31mN\\x07")
    '12 N'
    """
    lines = text.replace("\r\n", "\n").replace("\r", "\n")
    plain = _UNSEEN.sub("", _ESCAPES.sub("", lines[: 2 * most]))
    if len(lines) > 2 * most or len(plain) > most:
        return f"{plain[:most]}\n[... and more, {len(text)} characters in all]"
    return plain


def line(text: str, most: int = 200) -> str:
    """A text as one line.

    Parameters
    ----------
    text : str
        Such as a name
    most : int
        Longest line [characters]

    Returns
    -------
    str
        In plain characters, words parted by one blank

    Examples
    --------
    >>> line("Ana\\x1b]0;owned\\x07\\n Lima ")
    'Ana Lima'
    """
    whole = " ".join(_UNSEEN.sub(" ", _ESCAPES.sub("", text[: 4 * most])).split())
    return whole if len(whole) <= most else f"{whole[: most - 1]}…"


def for_table(text: str, most: int = 2000) -> str:
    """A text as one cell of a table that no spreadsheet takes for a formula, whatever it thinks parts the cells.

    Parameters
    ----------
    text : str
        Such as a name or a remark
    most : int
        Longest text [characters]

    Returns
    -------
    str
        One line, with ' before what would be worked out

    Examples
    --------
    >>> for_table('=HYPERLINK("x")'), for_table("x;=1+1"), for_table("Anne-Marie")
    ('\\'=HYPERLINK("x")', "x;'=1+1", 'Anne-Marie')
    """
    return _COMPUTES.sub(r"\1\2'", line(text, most))


def for_gradebook(name: str) -> str:
    """A name as it may stand in nbgrader's gradebook, whose pages and whose table of marks take it as it is.

    Parameters
    ----------
    name : str
        As on the roster

    Returns
    -------
    str
        Without signs of markup, commas, or a formula's beginning; at most 100 characters

    Examples
    --------
    >>> for_gradebook("<b>Lima</b>, Ana")
    '‹b›Lima‹/b› Ana'
    """
    one = _BREAKS.sub(" ", line(name, 100).translate(_MARKUP)).strip()
    return f"’{one}" if one[:1] in tuple("=+-@＝＋－＠") else one
