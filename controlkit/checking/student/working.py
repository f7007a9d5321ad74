"""Slips in a line of working: a cell that Python can read and cannot work out."""

from __future__ import annotations

import linecache
from types import TracebackType

WORKING: tuple[type[Exception], ...] = (
    TypeError,
    ValueError,
    ArithmeticError,
    AttributeError,
    LookupError,
    ImportError,
)
"""What a line of working can end in."""

_SAY: tuple[tuple[type[Exception], str], ...] = (
    (ZeroDivisionError, "It divides by nought."),
    (ImportError, "What it asks for is not installed here. Is it spelled right?"),
    (AttributeError, "What stands behind the dot is not there. Is it spelled right?"),
    (LookupError, "What it looks up is not there. Is it spelled right?"),
    (OverflowError, "Its number becomes too large. Is an angle or an exponent in the right unit?"),
    (TypeError, "Numbers to work with stand without quotes and units, as in 474 - 381. Do dots still stand in it?"),
    (ValueError, "One of its numbers cannot be used so. Numbers to work with stand without quotes and units."),
)


def words_for_working(slip: BaseException, trace: TracebackType | None) -> str:
    """What to say of a line that cannot be worked out.

    Parameters
    ----------
    slip : BaseException
        What it ended in
    trace : traceback or None
        Where that was: the program that runs cells first, then the cell

    Returns
    -------
    str
        Empty where the line is not one of the cell itself, or the slip is not known here
    """
    cell = trace.tb_next if trace is not None else None
    if cell is None or cell.tb_next is not None:
        return ""
    say = next((words for kind, words in _SAY if isinstance(slip, kind)), "")
    if not say:
        return ""
    line = linecache.getline(cell.tb_frame.f_code.co_filename, cell.tb_lineno).strip()
    where = f"Python cannot work out line {cell.tb_lineno} of this cell: {line}\n" if line else ""
    return f"{where}{say}\nIn its own words: {slip}."
