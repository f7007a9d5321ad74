"""What holds for every test: property tests try the same examples in every run."""

from __future__ import annotations

import pytest
from hypothesis import settings
from hypothesis.internal.conjecture.providers import HypothesisProvider
from hypothesis.internal.constants_ast import Constants

# Even a derandomised run draws some of its numbers from the source of whatever modules of the project are loaded. Then
# the examples of a test would hang on what else is run, and change with every new number anywhere in the package.
# Hypothesis has no setting for that; `tests/house/test_examples.py` sees that this has the effect it should.
if not hasattr(HypothesisProvider, "_local_constants"):
    raise pytest.UsageError(
        "This version of Hypothesis keeps the numbers that it finds in a project's source elsewhere than conftest.py "
        "expects. Find out where, and whether it still draws them, and mend conftest.py."
    )
HypothesisProvider._local_constants = Constants()

settings.register_profile("frozen", derandomize=True, deadline=None, max_examples=40)
settings.load_profile("frozen")
