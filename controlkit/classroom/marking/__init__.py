"""Marks from answers: judged by the function that a student's own check calls, many at a time, never twice."""
