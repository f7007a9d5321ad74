"""Where the files lie that a work folder is laid out from: in the wheel, or in a checkout."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from controlkit.cli.trouble import Trouble

__all__ = ["START_PAGE", "Release", "find_release"]

START_PAGE = "course/index.ipynb"
_LEFT_OUT = {".ipynb_checkpoints", "__pycache__"}


@dataclass(frozen=True)
class Release:
    """
    The lessons and exercises of one release of the course.

    Parameters
    ----------
    course : Path
        Folder of the start page and the lessons.
    exercises : Path
        Folder of the student notebooks.
    licences : tuple of Path
        What a work folder holds beside them: the licences of the course's content and of its program text.
    """

    course: Path
    exercises: Path
    licences: tuple[Path, ...] = ()

    def files(self) -> Iterator[tuple[PurePosixPath, Path]]:
        """
        List every file: its place in the work folder, and where it lies now.

        Yields
        ------
        place : PurePosixPath
            Place relative to the work folder.
        source : Path
            The file as it was released.
        """
        for name, root in (("course", self.course), ("exercises", self.exercises)):
            for source in sorted(root.rglob("*")):
                inside = source.relative_to(root)
                if source.is_file() and not _is_left_out(inside):
                    yield PurePosixPath(name, *inside.parts), source
        for source in self.licences:
            yield PurePosixPath(source.name), source

    def holds(self, folder: Path) -> bool:
        """
        Tell whether a folder is part of the release, or is the checkout it lies in.

        Parameters
        ----------
        folder : Path
            The folder asked about.

        Returns
        -------
        bool
            True if laying out a work folder there would write into the release itself.
        """
        folder = folder.resolve()
        for root in (self.course.resolve(), self.exercises.resolve()):
            if folder == root.parent or folder == root or root in folder.parents:
                return True
        return False


def _is_left_out(inside: Path) -> bool:
    return any(part in _LEFT_OUT or part.startswith(".") for part in inside.parts) or inside.suffix == ".pyc"


def _licences(folder: Path) -> tuple[Path, ...]:
    return tuple(folder / name for name in ("LICENSE", "LICENSE-CONTENT") if (folder / name).is_file())


def find_release() -> Release:
    """
    Find the release: beside the installed package, or in the checkout it is run from.

    Returns
    -------
    Release
        The folders of lessons and exercises.

    Raises
    ------
    Trouble
        If neither place holds the start page.
    """
    package = Path(__file__).resolve().parent.parent
    beside = next(iter(sorted(package.parent.glob("controlkit-*.dist-info/licenses"))), package.parent)
    installed = Release(package / "_course", package / "_exercises", _licences(beside))
    checkout = Release(package.parent / "course", package.parent / "exercises", _licences(package.parent))
    for release in (installed, checkout):
        if (release.course / "index.ipynb").is_file():
            return release
    raise Trouble(
        "The lessons are missing from this installation of controlkit.",
        "Install it once more, as the first command of README.md does.",
    )
