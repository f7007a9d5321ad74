"""Slips of typing: words in place of a trace, where a cell is no Python or names what is not there.

A notebook's kernel is asked to hand such slips over while an exercise is worked. A cell stays a failed
one, with another text: a grader who runs it sees an error, never a point. What a failed cell was to set is
forgotten, so that no check looks at the answer that stood there before.
"""

from __future__ import annotations

import ast
import os
import re
import sys
from collections.abc import Collection
from typing import Any

from controlkit.checking.student.missing import cells_of, words_for_missing
from controlkit.checking.student.working import WORKING, words_for_working

SLIPS: tuple[type[Exception], ...] = (SyntaxError, NameError, *WORKING)
"""What is said in words."""

CURLY = "“”„‘’«»"
"""Quotes that Python does not take."""

_ASSIGNS = re.compile(r"(\s*)([^\W\d]\w*(?:\s*,\s*[^\W\d]\w*)*)\s*(?::[^=()]*)?(?:[-+*/]|\*\*|//)?=(?!=)")
_DEFINES = re.compile(r"(\s*)(?:def|class)\s+([^\W\d]\w*)")
_PROSE = re.compile(r"[^\W\d_]+(?:,? [^\W\d_]+){3}")
_QUOTED = re.compile(r"\"[^\"]*\"|'[^']*'|#.*")


def listen(items: Collection[str] = ()) -> None:
    """Let the kernel that runs this, if one does, say such slips in words; not while an exercise is marked.

    Parameters
    ----------
    items : collection of str
        Names of the exercise's items, which are also those of its variables
    """
    if "NBGRADER_EXECUTION" in os.environ:
        return
    shell = _shell()
    if shell is None:
        return
    forget_after_slips()

    def told(self: Any, kind: type[BaseException], slip: BaseException, trace: Any, tb_offset: Any = None) -> None:
        words = words_for(slip, items, self.user_ns) or words_for_working(slip, trace)
        if words and (kind is not NameError or trace.tb_next is None or trace.tb_next.tb_next is None):
            self._showtraceback(kind, slip, [words])
        elif isinstance(slip, SyntaxError):
            self.showsyntaxerror()
        else:
            self.showtraceback((kind, slip, trace), tb_offset=tb_offset)

    shell.set_custom_exc(SLIPS, told)


def forget_after_slips() -> None:
    """From now on, forget what a cell was to set and did not: it could not be read, or it failed before.

    A name that such a cell assigns is taken out of the notebook, whatever it held before; a check then says that
    nothing stands there yet. Once for a kernel is enough, and more does no harm. Elsewhere nothing happens.
    """
    shell = _shell()
    if shell is not None:
        shell.events.register("post_run_cell", _forget)


def set_by(source: str, from_line: int = 1) -> frozenset[str]:
    """The names that a cell sets, also where Python cannot read it.

    Parameters
    ----------
    source : str
        The text of the cell
    from_line : int
        Statements that end before this line do not count; only where it can be read [-]

    Returns
    -------
    frozenset of str
        Names assigned or defined at the top of the cell

    Examples
    --------
    >>> sorted(set_by("excursion = 10 mm"))
    ['excursion']
    >>> sorted(set_by("a = 1\\nb = c = a / 0\\nprint(b == 2)", from_line=2))
    ['b', 'c']
    """
    try:
        statements = ast.parse(source).body
    except (SyntaxError, ValueError, RecursionError, MemoryError):  # the last two: ten thousand signs in a row
        return _set_in_lines(source)
    found: set[str] = set()
    waiting: list[ast.AST] = [one for one in statements if (one.end_lineno or one.lineno) >= from_line]
    while waiting:
        node = waiting.pop()
        if isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store):
            found.add(node.id)
        elif isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef):
            found.add(node.name)
        elif not isinstance(node, ast.Lambda | ast.ListComp | ast.SetComp | ast.DictComp | ast.GeneratorExp):
            waiting.extend(ast.iter_child_nodes(node))
    return frozenset(found)


def _set_in_lines(source: str) -> frozenset[str]:
    """The same line by line, for a cell that is no Python; an entry within brackets is not taken for a name."""
    found: set[str] = set()
    open_brackets = 0
    for line in source.splitlines():
        for one in (_ASSIGNS.match(line), _DEFINES.match(line)):
            if one is not None and (not one[1] or open_brackets <= 0):
                found |= {name.strip() for name in one[2].split(",")}
        bare = _QUOTED.sub("", line)
        open_brackets += sum(bare.count(sign) for sign in "([{") - sum(bare.count(sign) for sign in ")]}")
    return frozenset(found)


def _forget(result: Any) -> None:
    """Take out of the notebook what a failed cell was to set."""
    shell, failed = _shell(), result.error_before_exec or result.error_in_exec
    if shell is None or failed is None:
        return
    source, line = str(result.info.raw_cell), 1
    if result.error_before_exec is None:
        source = shell.transform_cell(source)
        trace = failed.__traceback__
        while trace is not None and trace.tb_frame.f_globals is not shell.user_ns:
            trace = trace.tb_next
        line = trace.tb_lineno if trace is not None else 1
    for name in set_by(source, line):
        shell.user_ns.pop(name, None)


def _shell() -> Any:
    """The kernel's shell; None outside a notebook."""
    ipython = sys.modules.get("IPython")
    return ipython.get_ipython() if ipython is not None else None


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
    >>> words_for(NameError(name="travel"), ["travel"]).split(":")[0]
    'travel'
    """
    if isinstance(slip, NameError):
        name = slip.name or ""
        if name in items:
            return (
                f"{name}: the cell above gave no answer: it has not been run, or could not be read. "
                "Run it with your answer in it; what stands below it then comes first."
            )
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
    if _PROSE.search(line) and not any(sign in line for sign in "\"'"):
        name = next((item for item in items if re.match(rf"{item}\s*=", line)), "")
        begin = f"{name} = " if name else ""
        return f'{where}Words stand between quotes. Type {begin}""" before the first word and """ behind the last one.'
    return (
        f'{where}A number with its unit stands between straight quotes, as in "12.5 mm"; so does a word. '
        "Are all quotes and brackets closed, and is the line indented like its neighbours?"
    )
