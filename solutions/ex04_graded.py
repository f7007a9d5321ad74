"""Exercise 4, kept back by the instructor: the values on which a formula is graded.

They never leave this folder; `controlkit.classroom.private("ex04")` loads them at grading.
"""

from controlkit.checking import Case, KeptBack


def _unseen(c: Case) -> tuple[tuple[float, float, float], ...]:
    return (
        (float(c.device_pull), c.bend_wrist + c.bend_elbow + c.bend_crossbar, 0.07),
        (37.5, 146.5, 0.19),
        (118.0, 0, 0.12),
        (64.0, 205, 0.03),
    )


kept_back = KeptBack({"arrives": _unseen})
