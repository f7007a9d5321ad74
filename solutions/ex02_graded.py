"""Exercise 2, kept back by the instructor: values on which the student's formula is graded.

They never leave this folder; `controlkit.classroom.private("ex02")` loads them at grading.
"""

from controlkit.checking import Case, KeptBack


def _unseen(c: Case) -> tuple[tuple[float, float, float], ...]:
    kept = c.kept / 100
    return ((41.5, kept, 0.11), (118.0, 0.55, 0.2), (27.0, 0.93, 0.079), (float(c.asked + 13), 0.81, 0.33))


kept_back = KeptBack({"strength_needed": _unseen})
