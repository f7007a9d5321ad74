"""Labs keep what a learner notes beside the notebook: in tests, in a folder that goes."""

from __future__ import annotations

from collections.abc import Iterator

import pytest


@pytest.fixture(autouse=True, scope="module")
def _in_a_folder_that_goes(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(tmp_path_factory.mktemp("beside"))
        yield
