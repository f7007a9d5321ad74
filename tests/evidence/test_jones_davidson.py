"""Jones LE, Davidson JH. Save that arm. Prosthet Orthot Int 1999;23:55-58.

Problems in the remaining arm: 23 of 46 replies, printed also as 50 %.
"""

from __future__ import annotations

import pytest

from controlkit.sources import source


def test_jones_davidson_share_of_replies() -> None:
    share = source("remaining_arm_problems_share")
    assert source("remaining_arm_problems").si / 46 == pytest.approx(share.si, abs=share.digit / 2 * share.factor)
