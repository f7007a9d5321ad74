"""Exercise 7, kept back by the instructor: values on which a formula is graded, bodies on which a design is.

The bodies are of the same kinds as those that the student tries, but other people. They never leave
this folder; `controlkit.classroom.private("ex07")` loads them at grading.
"""

from controlkit.checking import Body, Case, KeptBack, OtherBodies
from controlkit.mechanics import Wearer
from controlkit.units import mm


def _unseen(c: Case) -> tuple[tuple[float, ...], ...]:
    return (
        (c.level, 35, c.tilt_35, 0.0, c.arm_35),
        (1.35, 72, 31, 0.25, 33.5),
        (0.95, 20, 12, 0.1, 12.5),
        (1.8, 105, 40, 0.5, 47.0),
    )


def _person(sex: str, stature: float, chest: float) -> Wearer:
    return Wearer.measured(sex, level="transhumeral", stature=mm(stature), chest_circumference=mm(chest))


kept_back = KeptBack(
    {
        "lift_force": _unseen,
        "design": OtherBodies(
            bodies=(
                Body("a short woman with a narrow chest", lambda: _person("female", 1525, 865)),
                Body("a tall man", lambda: _person("male", 1880, 1040)),
                Body("a man of average height with a very large chest", lambda: _person("male", 1760, 1185)),
                Body("a woman of average height with a broad back", lambda: _person("female", 1640, 1010)),
            ),
        ),
    }
)
