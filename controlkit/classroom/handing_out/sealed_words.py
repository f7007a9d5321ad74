"""What a notebook says of its checks, as it holds for a sealed exercise: made out of the words of the open one."""

from __future__ import annotations

import re

_FOR_SEALED = (
    (
        (
            r"The line below (?:it|each answer) says at once whether it is right, and asks you something if it is not; "
            r"try as often as you like: marks do not depend on attempts, and the last answer counts\."
        ),
        (
            r"This exercise is an assessment: the line below an answer says whether it can be read, and as what, and "
            r"not whether it is right. You may change an answer as often as you like; the last one counts."
        ),
    ),
    (
        r"The last cell shows your points, what is still missing, and how to hand in\.",
        (
            r"The last cell shows which answers were read, what is still missing, and how to hand in; what they are "
            r"worth you learn when they are marked."
        ),
    ),
    (r"\n\nBelow an answer that is not full yet, a line offers the steps on a like case: [^\n]*", r""),
    (r"and your points in a file beside it", r"and what was read in a file beside it"),
    (r"on other people, of the kinds that the check names", r"on other people too"),
)


def sealed_words(text: str) -> str:
    """A text cell as a sealed exercise says it.

    Parameters
    ----------
    text : str
        Of the open notebook

    Returns
    -------
    str
        The same, with what a sealed check does in place of what an open one does

    Examples
    --------
    >>> sealed_words("what you wrote stays on this page, and your points in a file beside it.")
    'what you wrote stays on this page, and what was read in a file beside it.'
    """
    for said, instead in _FOR_SEALED:
        text = re.sub(said, instead, text)
    return text
