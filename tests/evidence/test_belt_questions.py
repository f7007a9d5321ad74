"""Open Knowledge Graph, question set on belt friction.

2,000 N with 2.5 turns, friction 0.25: about 39 to 40 N. Friction 0.3: tension ratio 6.6 at one
turn and about 43 at two turns.
"""

from __future__ import annotations

import math

import pytest

from controlkit.mechanics.cable import tension_ratio
from controlkit.sources import source


def test_belt_questions_two_and_a_half_turns() -> None:
    printed = source("belt_example_3")
    assert printed.low is not None
    assert printed.high is not None
    held = 2000.0 * tension_ratio(friction=0.25, bend=5 * math.pi)
    assert printed.low <= held <= printed.high


@pytest.mark.parametrize(("name", "turns"), [("belt_example_4_one_turn", 1), ("belt_example_4_two_turns", 2)])
def test_belt_questions_ratio_by_turns(name: str, turns: int) -> None:
    printed = source(name)
    assert printed.value is not None
    larger_over_smaller = 1.0 / tension_ratio(friction=0.3, bend=turns * 2 * math.pi)
    assert larger_over_smaller == pytest.approx(printed.value, abs=printed.digit / 2)
