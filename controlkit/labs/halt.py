"""Where a page stops until its reader has done something: the sentence that says so, brought into view."""

from __future__ import annotations

from importlib.resources import files

import anywidget
import traitlets

from controlkit.units import InputError

__all__ = ["halted"]


class _Halt(anywidget.AnyWidget):
    """Never shown: it lives in the page long enough to scroll to the sentence."""

    _esm = files("controlkit.labs").joinpath("front", "halt.js").read_text(encoding="utf-8")
    sentence = traitlets.Unicode().tag(sync=True)

    def __init__(self, sentence: str) -> None:
        super().__init__(sentence=sentence)
        self.on_msg(lambda *_: self.close())  # else it would scroll again when the page is loaded anew


def halted(given: str, do: str) -> InputError:
    """Make what stops a page that runs all its cells.

    Parameters
    ----------
    given : str
        A sentence: what is missing.
    do : str
        A sentence: what to do.

    Returns
    -------
    InputError
        To be raised; a notebook shows its sentences alone, and scrolls to them.

    Examples
    --------
    >>> str(halted("An answer is still empty.", "Write it."))
    'An answer is still empty. Write it.'
    """
    stop = InputError(given=given, do=do)
    _Halt(str(stop))
    return stop
