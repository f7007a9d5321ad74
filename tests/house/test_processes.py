"""Which tests run in one process, when README's command shares them out."""

from __future__ import annotations

import re
import shutil
import sys
from collections import defaultdict
from pathlib import Path

FILES = ("browser/test_one", "browser/test_other", "checking/test_one", "checking/test_other", "laws/test_one")


def test_what_is_dear_to_make_is_made_in_one_process(tmp_path: Path, root: Path, run) -> None:
    """Trivial tests in folders of these names, under the real `conftest.py` and the real settings."""
    for name in ("conftest.py", "pyproject.toml"):
        shutil.copy(root / name, tmp_path)
    (tmp_path / "controlkit").mkdir()
    for name in FILES:
        file = tmp_path / "tests" / f"{name}.py"
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text("".join(f"def test_{number}() -> None:\n    pass\n\n\n" for number in range(9)))
    done = run(sys.executable, "-m", "pytest", "-n", "2", "--dist", "loadfile", "-v", cwd=tmp_path)
    assert done.returncode == 0, done.stdout + done.stderr
    ran = re.findall(r"\[(gw\d)\].* PASSED tests/(\w+)/(\w+)\.py", done.stdout)
    assert len(ran) == 9 * len(FILES)
    workers = defaultdict(set)
    for worker, folder, file in ran:
        workers[folder if folder != "laws" else file].add(worker)
    assert {len(some) for some in workers.values()} == {1}, workers
    assert workers["browser"] != workers["checking"]  # the dearest two side by side
