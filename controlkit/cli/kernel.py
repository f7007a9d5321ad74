"""What a kernel of the course loads as it starts: slips of typing are said in words, from the first cell on.

Nothing else is loaded before a cell fails, so that a kernel starts as fast as any.
"""

from __future__ import annotations

import os
from types import TracebackType
from typing import Any

__all__ = ["CONFIG", "load_ipython_extension"]

CONFIG = 'c = get_config()  # noqa: F821\n\nc.InteractiveShellApp.extensions = ["controlkit.cli.kernel"]\n'
"""The configuration by which a kernel loads this file."""

_SLIPS = (SyntaxError, NameError, TypeError, ValueError, ArithmeticError, AttributeError, LookupError, ImportError)
"""What a slip can be; the words for it are loaded with the first of them."""


def load_ipython_extension(shell: Any) -> None:
    """
    Have the first slip load the words for slips.

    Parameters
    ----------
    shell : InteractiveShell
        The shell of the kernel that starts.
    """

    if "NBGRADER_EXECUTION" in os.environ:
        return  # a grader sees errors as they are

    def first(
        self: Any, kind: type[BaseException], slip: BaseException, trace: TracebackType, tb_offset: int | None = None
    ) -> Any:
        from controlkit.checking.student.python_slips import listen  # heavy: all of the checking

        listen()
        return self.CustomTB(kind, slip, trace, tb_offset=tb_offset)

    shell.set_custom_exc(_SLIPS, first)
