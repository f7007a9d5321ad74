"""Make the student notebooks: `exercises/` from `solutions/`, by nbgrader's own release step."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

from controlkit.classroom.stock import WITHOUT_GRAMMAR, with_tools
from controlkit.units import InputError

_ONE_PROCESS = """
import sys
from nbgrader.apps import GenerateAssignmentApp
for name in sys.argv[2:]:
    print(name, flush=True)
    app = GenerateAssignmentApp()
    app.initialize([name, "--force", sys.argv[1]])
    app.start()
"""
"""The command of nbgrader for one exercise after the other: the program itself is loaded once."""


def release(root: Path | str = ".", names: Sequence[str] | None = None, into: Path | str | None = None) -> list[Path]:
    """Generate the student version of exercises.

    Parameters
    ----------
    root : Path or str
        The folder that holds ``nbgrader_config.py`` and ``solutions/``
    names : sequence of str, optional
        Which exercises; every folder of ``solutions/`` if left out
    into : Path or str, optional
        Where they go; ``exercises/`` beside ``solutions/`` if left out

    Returns
    -------
    list of Path
        The folders that were written

    Raises
    ------
    InputError
        If there is nothing to release, or the release step refuses a notebook

    Notes
    -----
    Does what ``nbgrader generate_assignment NAME --force`` does in ``root``, for all names in one process.
    """
    base = Path(root).resolve()
    if not (base / "nbgrader_config.py").is_file():
        raise InputError(
            given=f"There is no nbgrader_config.py in {base.name}.",
            do="Start in the folder that holds solutions/.",
        )
    sources = sorted(path.parent.name for path in base.glob("solutions/*/*.ipynb"))
    wanted = list(sources if names is None else names)
    unknown = [name for name in wanted if name not in sources]
    if unknown or not wanted:
        raise InputError(
            given=f"There is no exercise {', '.join(unknown) or 'at all'} in solutions/.",
            allowed=f"There are: {', '.join(sources)}.",
        )
    target = base / "exercises" if into is None else Path(into).resolve()
    option = f"--CourseDirectory.release_directory={os.path.relpath(target, base)}"
    command = [sys.executable, "-c", WITHOUT_GRAMMAR + _ONE_PROCESS, option, *wanted]
    ran = subprocess.run(command, cwd=base, env=with_tools(), capture_output=True, text=True, check=False)
    if ran.returncode:
        begun = [line for line in ran.stdout.splitlines() if line in wanted]
        name = begun[-1] if begun else wanted[0]
        raise InputError(given=f"Exercise {name} was not released.", do=f"nbgrader said:\n{ran.stderr.strip()[-2000:]}")
    return [target / name for name in wanted]
