"""What holds for every test: the same examples in every run, and which tests share a process."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import settings
from hypothesis.internal.conjecture.providers import HypothesisProvider
from hypothesis.internal.constants_ast import Constants
from xdist.scheduler import LoadFileScheduling

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

SHARED = ("tests/browser", "tests/checking", "tests/classroom/handing_back")
"""Folders whose files share what is dear to make: a server, a browser and a page with every lab; a class that stock
nbgrader has marked, and the cases of many names; a class that is handed back. What lies in a folder within is apart."""


class Shared(LoadFileScheduling):
    """Gives a process whole files, and whole folders where files share something."""

    def _split_scope(self, nodeid: str) -> str:
        file = super()._split_scope(nodeid)
        folder = file.rpartition("/")[0]
        return folder if folder in SHARED else file


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: Any) -> Shared | None:
    """Share out tests so under README's command."""
    return Shared(config, log) if config.getvalue("dist") == "loadfile" else None
