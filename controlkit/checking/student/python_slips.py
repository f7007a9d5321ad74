"""Slips of typing: words in place of a trace, where a cell of an exercise is no Python or names what is not there.

A notebook's kernel is asked to hand such slips over while an exercise is worked. A cell stays a failed
one, with another text: a grader who runs it sees an error, never a point.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Collection
from typing import Any

from controlkit.checking.student.missing import cells_of, words_for_missing
from controlkit.checking.student.working import WORKING, words_for_working

SLIPS: tuple[type[Exception], ...] = (SyntaxError, NameError, *WORKING)
"""What is said in words."""

CURLY = "“”„‘’«»"
"""Quotes that Python does not take."""


def listen(items: Collection[str] = ()) -> None:
    """Let the kernel that runs this, if one does, say such slips in words; not while an exercise is marked.

    Parameters
    ----------
    items : collection of str
        Names of the exercise's items, which are also those of its variables
    """
    if "NBGRADER_EXECUTION" in os.environ:
        return
    ipython = sys.modules.get("IPython")
    shell = ipython.get_ipython() if ipython is not None else None
    if shell is None:
        return

    def told(self: Any, kind: type[BaseException], slip: BaseException, trace: Any, tb_offset: Any = None) -> None:
        words = words_for(slip, items, self.user_ns) or words_for_working(slip, trace)
        if words and (kind is not NameError or trace.tb_next is None or trace.tb_next.tb_next is None):
            self._showtraceback(kind, slip, [words])
        elif isinstance(slip, SyntaxError):
            self.showsyntaxerror()
        else:
            self.showtraceback((kind, slip, trace), tb_offset=tb_offset)

    shell.set_custom_exc(SLIPS, told)


def words_for(slip: BaseException, items: Collection[str], known: Collection[str] = ()) -> str:
    """What to say of a slip.

    Parameters
    ----------
    slip : BaseException
        A SyntaxError or a NameError
    items : collection of str
        Names of the exercise's items
    known : collection of str
        Names that have a value

    Returns
    -------
    str
        Empty for a slip that is not known here

    Examples
    --------
    >>> words_for(NameError(name="travel"), ["travel"])
    'travel: nothing stands here yet. Run the cell above first, with your answer in it.'
    """
    if isinstance(slip, NameError):
        name = slip.name or ""
        if name in items:
            return f"{name}: nothing stands here yet. Run the cell above first, with your answer in it."
        if words := words_for_missing(name, cells_of(), known):
            return words
        if name in ("mine", "exercise", "name"):
            return "Run the cells from the top first: your name and your case come before this one."
        return (
            f"Python knows no {name} here. If it is a word of an answer, put it between straight quotes: "
            f'"{name}". If it is a value of your own, give it a value in a cell above, and run that cell.'
        )
    if not isinstance(slip, SyntaxError):
        return ""
    line = (slip.text or "").strip()
    where = (
        f"Python cannot read line {slip.lineno} of this cell: {line}\n" if line else "Python cannot read this cell. "
    )
    if any(char in line for char in CURLY):
        return f'{where}Its quotes are curly. Type straight ones, as in "12.5 mm".'
    return (
        f'{where}A number with its unit stands between straight quotes, as in "12.5 mm"; so does a word. '
        "Are all quotes and brackets closed, and is the line indented like its neighbours?"
    )
