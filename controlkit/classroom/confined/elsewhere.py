"""Cells that compute, run by workers of a cluster, each behind a wall of its own machine; what comes is read here."""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Iterable, Iterator, Mapping
from concurrent.futures import BrokenExecutor, Future, as_completed
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from controlkit.classroom.confined.job import Came, Confinement, Job
from controlkit.classroom.confined.pool import as_sent
from controlkit.classroom.confined.probe import Protection, probe
from controlkit.classroom.confined.reply import Reply
from controlkit.classroom.confined.run import SECONDS, Confined, confinement
from controlkit.executors import Cluster
from controlkit.executors.cluster import Fit

MOST = 10
"""Notebooks that travel together: a wall is warmed once for them, and they are lost together [-]."""


def protected() -> Fit:
    """What protects on the machine that is asked.

    Returns
    -------
    bool
        Whether cells may be run there
    str
        The protection, or what is missing, for the instructor
    """
    found = _protection()
    return found.mode is not None, found.words


@cache
def _protection() -> Protection:
    return probe()


@dataclass(frozen=True, kw_only=True)
class Batch:
    """Notebooks on their way to a worker.

    Parameters
    ----------
    exercise : str
        Of which exercise they all are
    beside : mapping
        Path to content of what was handed out beside a notebook
    jobs : tuple of bytes
        From `as_sent`
    seconds : float
        Longest time for one [s]
    """

    exercise: str
    beside: Mapping[str, bytes]
    jobs: tuple[bytes, ...]
    seconds: float


def run_batch(batch: Batch) -> list[Reply]:
    """Run notebooks on the machine to which they were sent.

    Parameters
    ----------
    batch : Batch
        What was sent

    Returns
    -------
    list of Reply
        One a job, in their order, not read. Nothing is run where nothing protects
    """
    found = _protection()
    if found.mode is None:
        return [Reply(why=found.words, ran=False)] * len(batch.jobs)
    here = Confined(mode=found.mode, words="", bubblewrap=found.bubblewrap, seconds=batch.seconds)
    with tempfile.TemporaryDirectory() as place:
        for path, content in batch.beside.items():
            file = Path(place, path)
            file.parent.mkdir(parents=True, exist_ok=True)
            file.write_bytes(content)
        replies = dict(here.replies(batch.exercise, batch.jobs, kit=Path(place) if batch.beside else None))
    return [replies[number] for number in range(len(batch.jobs))]


class OtherMachines:
    """Workers of a cluster in place of this machine.

    Parameters
    ----------
    cluster : Cluster
        Its workers were asked whether they are `protected`
    here : callable
        The confinement of this machine, for what they do not answer
    seconds : float
        Longest time for one notebook [s]
    """

    def __init__(
        self, cluster: Cluster, *, here: Callable[[], Confinement] = confinement, seconds: float = SECONDS
    ) -> None:
        self._cluster, self._make, self._seconds = cluster, here, seconds
        self._told = self._who()
        self._here: Confinement | None = None
        self._left = 0

    @property
    def words(self) -> str:
        """Which protection each worker has, for the instructor; and what was not run by them.

        Returns
        -------
        str
            Sentences
        """
        if self._here is None:
            return self._told
        return f"{self._told} What {self._left} of the notebooks compute was left to this machine. {self._here.words}"

    def _who(self) -> str:
        by_words: dict[str, list[str]] = {}
        for worker, says in sorted(self._cluster.workers.items()):
            by_words.setdefault(says, []).append(worker)
        told = [f"{len(them)} of the workers at {self._cluster.address}: {says}" for says, them in by_words.items()]
        told += [f"{worker} is given no cells. {one.says}" for worker, one in sorted(self._cluster.refused.items())]
        return "\n".join(told)

    def run(
        self, exercise: str, jobs: Iterable[Job], *, kit: Path | None = None, done: Callable[[str], None] | None = None
    ) -> Iterator[Came]:
        """Run notebooks.

        Parameters
        ----------
        exercise : str
            Of which exercise they all are
        jobs : iterable of Job
            One a notebook
        kit : Path, optional
            A folder with the files that were handed out beside the notebook
        done : callable, optional
            Told the id of each student that is done

        Yields
        ------
        Came
            One a job, read here, in the order in which they come
        """
        every = list(jobs)
        left: list[Job] = []
        for job, reply in self._replies(exercise, every, kit):
            if reply is None:
                left.append(job)
                continue
            yield reply.read(job, self._seconds)
            if done is not None:
                done(job.student)
        if left:
            self._here, self._left = self._make(), len(left)
            yield from self._here.run(exercise, left, kit=kit, done=done)

    def _replies(self, exercise: str, jobs: list[Job], kit: Path | None) -> Iterator[tuple[Job, Reply | None]]:
        """What came of each job; None where no worker answered for it."""
        beside = _files(kit)
        size = min(MOST, max(1, -(-len(jobs) // max(1, 2 * len(self._cluster.workers)))))
        futures: dict[Future[list[Reply]], list[Job]] = {}
        try:
            for first in range(0, len(jobs), size):
                some = jobs[first : first + size]
                sent = tuple(as_sent(job, self._seconds) for job in some)
                batch = Batch(exercise=exercise, beside=beside, jobs=sent, seconds=self._seconds)
                if not self._cluster.workers:
                    yield from ((job, None) for job in some)
                    continue
                try:
                    futures[self._cluster.submit(run_batch, batch)] = some
                except BrokenExecutor:
                    yield from ((job, None) for job in some)
            for future in as_completed(futures):
                yield from zip(futures[future], _read(future, len(futures[future])), strict=True)
        finally:
            for future in futures:
                future.cancel()


def _read(future: Future[list[Reply]], count: int) -> list[Reply | None]:
    """What a worker sent, if it is what a worker sends; None for each notebook that it did not run."""
    try:
        found = future.result()
    except Exception:  # noqa: BLE001 - a disk that is full there, or nobody there any more: this machine does it
        return [None] * count
    sound = type(found) is list and len(found) == count and all(type(one) is Reply for one in found)
    return [one if one.ran else None for one in found] if sound else [None] * count


def _files(kit: Path | None) -> dict[str, bytes]:
    """Everything that was handed out beside a notebook."""
    if kit is None or not kit.is_dir():
        return {}
    return {path.relative_to(kit).as_posix(): path.read_bytes() for path in sorted(kit.rglob("*")) if path.is_file()}
