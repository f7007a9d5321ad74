"""Exercise 9, kept back by the instructor: values on which a formula is graded, bodies on which a design is.

The bodies are of the same kinds as those that the student tries, but other people. They never leave this folder;
`controlkit.classroom.private("ex09")` loads them at grading.
"""

from controlkit.checking import Body, Case, KeptBack, OtherBodies
from controlkit.mechanics import Wearer
from controlkit.units import mm


def _unseen(c: Case) -> tuple[tuple[float, ...], ...]:
    return (
        (52, c.gives, c.opens, c.ratio, c.works / 100),
        (70, 0.22, 36, 2.0, 0.75),
        (38, 0.06, 18, 3.0, 0.92),
        (64, 0.4, 22, 1.6, 0.6),
    )


def _person(sex: str, stature: float, chest: float) -> Wearer:
    return Wearer.measured(sex, stature=mm(stature), chest_circumference=mm(chest))


kept_back = KeptBack(
    {
        "amplified_travel": _unseen,
        "design": OtherBodies(
            bodies=(
                Body("a short woman with a narrow chest", lambda: _person("female", 1530, 870)),
                Body("a tall man", lambda: _person("male", 1885, 1045)),
                Body("a man of average height with a very large chest", lambda: _person("male", 1755, 1180)),
                Body("a woman of average height with a broad back", lambda: _person("female", 1635, 1005)),
            ),
        ),
    }
)
