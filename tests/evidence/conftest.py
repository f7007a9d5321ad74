"""Every comparison with a printed figure is watched, and held to what the page of evidence tells of it."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from tests.evidence.agreement import REWRITE, watched, writing
from tests.evidence.page import name_of, noted_tests

OWN = "evidence/test_page.py::test_a_comparison_is_watched_and_an_identity_is_not"
"""The test of the watching itself: what it compares is no evidence."""


@pytest.fixture(autouse=True)
def agreement(request: pytest.FixtureRequest) -> Iterator[None]:
    """Note how near a test came, and compare with what the page says of that test."""
    with watched() as noted:
        yield
    name, node = name_of(request.node.nodeid), request.node
    node.user_properties.append(("agreement", (name, noted.compared, noted.off)))
    if writing.is_set() or not noted.compared or name == OWN:
        return
    told = noted_tests().get(name)
    assert told is not None, f"{REWRITE}: {name}"
    assert noted.compared <= told[0], f"{REWRITE}: {name}"
    assert noted.off <= 1.05 * told[1] + 1e-4, f"{REWRITE}: {name}, {noted.off:.2g} off"
