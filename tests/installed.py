"""The package as a student has it: built from the checkout, unpacked somewhere else, its course laid out."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import zipfile
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
LEFT_BEHIND = (".git", ".venv*", "my-course", "solutions", "tests", "*_cache", "__pycache__", "*.egg-info")
LAY_OUT = """
from pathlib import Path
from controlkit.cli.release import find_release
from controlkit.cli.workfolder import lay_out, prepare
folder = prepare(Path("my-course"), find_release())
print(len(lay_out(folder, find_release()).copied))
"""


@dataclass(frozen=True)
class Student:
    """A person with the installed package only.

    Attributes
    ----------
    home : Path
        Her home folder
    env : dict
        Environment in which a program of hers runs
    """

    home: Path
    env: dict[str, str]

    def lay_out(self) -> Path:
        """Lay the course out as the command does, and say where."""
        command = [sys.executable, "-c", LAY_OUT]
        done = subprocess.run(command, cwd=self.home, env=self.env, capture_output=True, text=True, check=False)
        assert done.returncode == 0, done.stderr
        return self.home / "my-course"


def build_wheel(made: Path) -> Path:
    """Build the wheel from a copy of the checkout in which `solutions/` and `tests/` were deleted."""
    shutil.copytree(ROOT, made / "checkout", ignore=shutil.ignore_patterns(*LEFT_BEHIND))
    build = [sys.executable, "-m", "pip", "wheel", "--no-deps", "--no-build-isolation", "--no-index", "-w", made]
    done = subprocess.run([*build, made / "checkout"], capture_output=True, text=True, cwd=made, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    (found,) = made.glob("controlkit-*.whl")
    assert not (made / "checkout" / "build").exists(), "a build folder could bring deleted files back"
    return found


def install(wheel: Path, home: Path) -> Student:
    """Unpack a wheel where nothing else of the project is."""
    with zipfile.ZipFile(wheel) as packed:
        packed.extractall(home / "site")
    kept = {name: value for name, value in os.environ.items() if not name.startswith(("PYTEST", "PYTHON"))}
    return Student(home, {**kept, "HOME": str(home), "PYTHONPATH": str(home / "site")})
