"""An open hand-out: one folder for everybody, whose checks answer at once."""

from __future__ import annotations

from pathlib import Path

from controlkit.classroom.records import ClassFolder
from controlkit.classroom.release import release


def hand_out_openly(folder: ClassFolder, exercise: str) -> Path:
    """Make the folder that every student gets.

    Parameters
    ----------
    folder : ClassFolder
        The class
    exercise : str
        Name of the exercise

    Returns
    -------
    Path
        ``release/EXERCISE``, with the notebook and whatever lies beside it; the gradebook knows the exercise now

    Raises
    ------
    InputError
        If nbgrader refuses it

    Notes
    -----
    It reveals what the package holds: right answers, wrong ideas and worked steps are in it, for whoever looks.
    """
    return release(folder.path, [exercise], into=folder.path / "release")[0]
