"""What the laws of several formulas ask of results."""

from __future__ import annotations


def near(one: float, other: float, *, floor: float = 1.0) -> bool:
    """Whether two results are the same but for rounding; below `floor` that is absolute."""
    return abs(one - other) <= 1e-6 * max(abs(one), abs(other), floor)
