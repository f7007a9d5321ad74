"""How an exercise was handed out: what the file of the class beside the notebook says."""

from __future__ import annotations

import tomllib
from pathlib import Path

CLASS_FILE = "class.toml"
"""Beside the notebook, if the kit was handed out otherwise than usual."""

WITHOUT_STEPS = "# How this exercise was handed out.\nworked_steps = false\n"
"""What stands in that file where worked steps were kept back."""


def with_worked_steps(folder: Path) -> bool:
    """Whether worked steps were handed out.

    Parameters
    ----------
    folder : Path
        Where the notebook stands

    Returns
    -------
    bool
        True unless the file of the class says otherwise
    """
    try:
        said = tomllib.loads((folder / CLASS_FILE).read_text(encoding="utf-8-sig"))
    except (OSError, ValueError):
        return True
    return said.get("worked_steps") is not False
