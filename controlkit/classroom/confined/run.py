"""The confinement to use on this machine, and how it is used."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterable, Iterator
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path
from typing import IO

from controlkit.classroom.confined import wall
from controlkit.classroom.confined.job import Came, Confinement, Job
from controlkit.classroom.confined.pool import Pool, Start, as_sent
from controlkit.classroom.confined.probe import Mode, probe, stage
from controlkit.classroom.confined.reply import Reply, nothing

SECONDS = 60.0
"""Longest time for one notebook [s]."""

NOT_RUN = (
    "Your cells compute this answer, and cells could not be run here. Your instructor knows; nothing is lost by it."
)
"""For the student, where nothing is run."""

_UNCONFINED = (
    "Cells that compute run UNCONFINED, as was asked: nothing protects this machine, the class and its marks from what "
    "a notebook does. Only time is limited."
)


def confinement(
    *, workers: int | None = None, seconds: float = SECONDS, unconfined: bool = False, bubblewrap: str | None = None
) -> Confinement:
    """The place where cells run on this machine.

    Parameters
    ----------
    workers : int, optional
        How many notebooks run side by side; as many as there are cores if left out [-]
    seconds : float
        Longest time for one notebook [s]
    unconfined : bool
        Whether cells shall run although nothing protects from them; where there is protection, without it
    bubblewrap : str, optional
        Where bubblewrap is, if not where programs are

    Returns
    -------
    Confinement
        It says in words what protects; without protection it runs nothing, unless `unconfined`

    Examples
    --------
    >>> from controlkit.classroom.confined.job import Variable, Job
    >>> from controlkit.checking import Case
    >>> here = confinement(unconfined=True)
    >>> case = Case("ex00", "ana", 0, {"pull": 40})
    >>> cells = ("half = ...", "half = mine.case.pull / 2")
    >>> job = Job("s01", "ex00", case, "Ana", cells, (Variable("half", after=2),))
    >>> [one.answers["half"].value for one in here.run("ex00", [job])]
    [20.0]
    """
    count = max(1, workers if workers is not None else _cores())
    if unconfined:
        return Confined(mode="bare", words=_UNCONFINED, workers=count, seconds=seconds)
    found = probe(bubblewrap)
    if found.mode is None:
        return NothingRuns(found.words)
    return Confined(mode=found.mode, words=found.words, bubblewrap=found.bubblewrap, workers=count, seconds=seconds)


@dataclass(frozen=True)
class NothingRuns:
    """Where nothing protects, nothing is run.

    Parameters
    ----------
    words : str
        Why, for the instructor
    """

    words: str

    def run(
        self,
        exercise: str,  # noqa: ARG002
        jobs: Iterable[Job],
        *,
        kit: Path | None = None,  # noqa: ARG002
        done: Callable[[str], None] | None = None,
    ) -> Iterator[Came]:
        """Every answer comes back as not run.

        Parameters
        ----------
        exercise : str
            Of which exercise they all are
        jobs : iterable of Job
            One a notebook
        kit : Path, optional
            Not looked at
        done : callable, optional
            Told the id of each student that is done

        Yields
        ------
        Came
            One a job
        """
        for job in jobs:
            yield nothing(job, NOT_RUN, ran=False)
            if done is not None:
                done(job.student)


@dataclass(frozen=True, kw_only=True)
class Confined:
    """Workers in which cells run.

    Parameters
    ----------
    mode : str
        How notebooks are kept apart
    words : str
        Which protection is active, for the instructor
    bubblewrap : str
        Where bubblewrap is
    workers : int
        How many notebooks run side by side [-]
    seconds : float
        Longest time for one notebook [s]
    """

    mode: Mode
    words: str
    bubblewrap: str = ""
    workers: int = 1
    seconds: float = SECONDS

    def run(
        self,
        exercise: str,
        jobs: Iterable[Job],
        *,
        kit: Path | None = None,
        done: Callable[[str], None] | None = None,
    ) -> Iterator[Came]:
        """Run notebooks.

        Parameters
        ----------
        exercise : str
            Of which exercise they all are
        jobs : iterable of Job
            One a notebook
        kit : Path, optional
            A folder with the files that were handed out beside the notebook; for reading
        done : callable, optional
            Told the id of each student that is done

        Yields
        ------
        Came
            One a job, in the order in which they end
        """
        taken: list[Job] = []

        def sent() -> Iterator[bytes]:
            for job in jobs:
                taken.append(job)
                yield as_sent(job, self.seconds)

        for number, reply in self.replies(exercise, sent(), kit=kit):
            yield reply.read(taken[number], self.seconds)
            if done is not None:
                done(taken[number].student)

    def replies(self, exercise: str, jobs: Iterable[bytes], *, kit: Path | None = None) -> Iterator[tuple[int, Reply]]:
        """Run notebooks for somebody else, who reads what comes.

        Parameters
        ----------
        exercise : str
            Of which exercise they all are
        jobs : iterable of bytes
            From `as_sent`
        kit : Path, optional
            As in `run`

        Yields
        ------
        int
            Which job [-]
        Reply
            What came of it, not read
        """
        kit = kit if kit is not None and kit.is_dir() else None
        with ExitStack() as stack:
            if self.mode == "bare":
                place = stack.enter_context(tempfile.TemporaryDirectory(ignore_cleanup_errors=True))
                start = _bare(exercise, kit, Path(place))
            else:
                empty = stack.enter_context(stage())
                if kit is not None and empty is not None:
                    kit = _readable(kit, Path(stack.enter_context(tempfile.TemporaryDirectory(dir=empty.parent))))
                start = self._behind_wall(exercise, kit, empty)
            pool = Pool(start, workers=self.workers, seconds=self.seconds, once=self.mode != "apart")
            yield from pool.run(jobs)

    def _behind_wall(self, exercise: str, kit: Path | None, empty: Path | None) -> Start:
        program = ["-c", _BEGIN, wall.PACKAGES, exercise, wall.KIT if kit else "", wall.SCRATCH]
        program += [self.mode, *(str(one) for one in wall.site_folders())]
        once = self.mode == "once"
        line = wall.command(program, bubblewrap=self.bubblewrap, kit=kit, stage=empty, once=once)

        def start(trouble: IO[bytes]) -> subprocess.Popen[bytes]:
            return subprocess.Popen(line, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=trouble, cwd="/")

        return start


_BEGIN = (
    "import sys; sys.path[:0] = sys.argv[1:2]; sys.path += sys.argv[6:]; "
    "from controlkit.classroom.confined.worker import main; sys.exit(main(*sys.argv[2:6]))"
)
"""What Python is told, inside or not: where the package lies, then what `worker` takes, then folders of packages."""


def _readable(kit: Path, place: Path) -> Path:
    """A copy that somebody else than root can read."""
    shutil.copytree(kit, place, symlinks=True, dirs_exist_ok=True)
    for one in (place, *(inside for inside in place.rglob("*") if not inside.is_symlink())):
        one.chmod(0o755 if one.is_dir() else 0o644)
    return place


def _bare(exercise: str, kit: Path | None, place: Path) -> Start:
    """A worker without any wall, in a folder with a copy of what was handed out."""
    program = [sys.executable, "-I", "-B", "-c", _BEGIN, str(wall.package_folder().parent), exercise]
    folders = [str(one) for one in wall.site_folders()]

    def start(trouble: IO[bytes]) -> subprocess.Popen[bytes]:
        scratch = Path(tempfile.mkdtemp(dir=place))
        if kit is not None:
            shutil.copytree(kit, scratch, dirs_exist_ok=True)
        line = [*program, str(scratch) if kit else "", str(scratch), "bare", *folders]
        own = {"HOME": str(scratch), "TMPDIR": str(scratch), "MPLCONFIGDIR": str(scratch)}
        surroundings = {**os.environ, **wall.environment(), "PATH": os.environ.get("PATH", ""), **own}
        return subprocess.Popen(
            line, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=trouble, cwd=scratch, env=surroundings
        )

    return start


def _cores() -> int:
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1
