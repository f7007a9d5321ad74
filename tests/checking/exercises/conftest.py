"""What the tests of single exercises share."""

from __future__ import annotations

from types import ModuleType

import pytest

from controlkit.checking import Case


@pytest.fixture(scope="module")
def cases(request: pytest.FixtureRequest, modules: dict[str, ModuleType]) -> list[Case]:
    """The first twelve cases of the exercise that a file is named for; a file that wants another number has its own."""
    exercise = modules[request.path.stem.split("_")[1]].exercise
    return [exercise.own_case(f"Student {number}") for number in range(12)]
