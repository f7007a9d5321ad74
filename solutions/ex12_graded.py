"""Exercise 12, kept back by the instructor: on whom a design is graded, and how much they differ from the wearer.

The kinds are told beforehand; by how much is not. They never leave this folder;
`controlkit.classroom.private("ex12")` loads them at grading.
"""

from controlkit.checking import Body, KeptBack, OtherBodies
from controlkit.exercises.ex12.design import GRADED_ON, Person

_PEOPLE = (
    Person(wider=40, strength=0.88, forward=-1),
    Person(wider=-15, strength=0.9),
    Person(taller=-15, wider=-15),
    Person(taller=35, wider=25),
)

kept_back = KeptBack(
    {
        "design": OtherBodies(
            bodies=tuple(
                Body(kind, lambda person=person: person) for kind, person in zip(GRADED_ON, _PEOPLE, strict=True)
            ),
        ),
    }
)
