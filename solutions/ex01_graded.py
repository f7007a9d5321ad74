"""Exercise 1, kept back by the instructor: nothing, since every answer belongs to the student's own case."""

from controlkit.checking import KeptBack

kept_back = KeptBack()
