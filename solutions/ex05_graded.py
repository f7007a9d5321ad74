"""Exercise 5, kept back by the instructor: nothing. Every answer is judged on the student's own case."""

from controlkit.checking import KeptBack

kept_back = KeptBack()
