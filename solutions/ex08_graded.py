"""Exercise 8, kept back by the instructor: the bodies on which a lock motion is graded.

They are of the same kinds as those that the student tries, but other people. They never leave this folder;
`controlkit.classroom.private("ex08")` loads them at grading.
"""

from controlkit.checking import Body, KeptBack, OtherBodies
from controlkit.mechanics import Wearer
from controlkit.units import mm


def _person(sex: str, stature: float, chest: float) -> Wearer:
    return Wearer.measured(sex, level="transhumeral", stature=mm(stature), chest_circumference=mm(chest))


kept_back = KeptBack(
    {
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
