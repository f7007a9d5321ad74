"""Wearers and systems that tests share."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from typing import Any

import numpy as np
import pytest

from controlkit.mechanics import Motion, SingleControl, Wearer, figure_of_eight
from controlkit.units import deg

ANGLES = deg(1) * np.arange(0.0, 91.0, 5.0)


@lru_cache(maxsize=64)
def _swept(sex: str, side: str, **harness: Any) -> tuple[SingleControl, Motion]:
    system = SingleControl(figure_of_eight(Wearer.average(sex, amputated=side), **harness))
    return system, system.sweep(ANGLES)


@pytest.fixture
def swept() -> Callable[..., tuple[SingleControl, Motion]]:
    """A system and its sweep from 0 to 90 degrees in steps of 5, kept for the next test."""
    return _swept
