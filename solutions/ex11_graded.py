"""Exercise 11, kept back by the instructor: values on which the formula of the doubt is graded.

They never leave this folder; `controlkit.classroom.private("ex11")` loads them at grading.
"""

from controlkit.checking import Case, KeptBack


def _unseen(c: Case) -> tuple[tuple[float, ...], ...]:
    return (
        (float(c.device_1), float(c.device_1) + 11.5, float(c.scale)),
        (31.0, 58.5, 0.8),
        (112.0, 131.0, 3.0),
        (18.5, 20.5, 1.2),
    )


kept_back = KeptBack({"doubt": _unseen})
