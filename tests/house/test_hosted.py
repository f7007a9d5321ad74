"""A hosted notebook service can build from the repository: a dry run of such a service's builder."""

from __future__ import annotations

import shutil
import sys
from pathlib import Path


def test_the_builder_understands_the_repository(tmp_path: Path, root: Path, run) -> None:
    for name in ("environment.yml", "postBuild", "requirements.txt", "pyproject.toml"):
        shutil.copy(root / name, tmp_path)
    done = run(Path(sys.executable).parent / "jupyter-repo2docker", "--no-build", "--debug", tmp_path, cwd=tmp_path)
    plan = done.stdout + done.stderr
    assert done.returncode == 0, plan[-3000:]
    assert '--file "environment.yml"' in plan
    assert "RUN ./postBuild" in plan
