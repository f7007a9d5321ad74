"""Exercise 10, kept back by the instructor: values on which a formula is graded, bodies on which a design is.

The bodies are of the same kinds as those that the student tries, but other people. They never leave
this folder; `controlkit.classroom.private("ex10")` loads them at grading.
"""

from controlkit.checking import Body, Case, KeptBack, OtherBodies
from controlkit.mechanics import Wearer
from controlkit.units import mm


def _unseen(c: Case) -> tuple[tuple[float, ...], ...]:
    return (
        (6.4, c.ratio, c.hinge / 100, c.level, c.reach),
        (8.2, 2.4, 0.78, 1.15, 285.0),
        (3.1, 1.3, 0.96, 0.85, 355.0),
        (5.6, 1.9, 0.88, 1.45, 240.0),
    )


def _person(sex: str, stature: float, chest: float) -> Wearer:
    return Wearer.measured(sex, stature=mm(stature), chest_circumference=mm(chest))


kept_back = KeptBack(
    {
        "most_mass": _unseen,
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
