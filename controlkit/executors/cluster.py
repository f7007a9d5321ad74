"""Workers on other machines, behind a Dask scheduler, as an executor like any other.

Each task is given to one worker, a few at a time, so that it is always known who has it: a worker that goes away loses
nothing, and one that comes later helps. When nobody has been there for a while, whatever is left is handed back.
"""

from __future__ import annotations

import importlib
import importlib.util
import logging
import platform
import re
import socket
import threading
import time
from collections import deque
from collections.abc import Callable
from concurrent.futures import BrokenExecutor, Executor, Future
from contextlib import suppress
from dataclasses import dataclass, field
from typing import Any

import numpy
import scipy

from controlkit import __version__
from controlkit.executors.program import of_package
from controlkit.units import InputError

Fit = tuple[bool, str]
"""Whether a worker is fit for what it is to do, and what it says of itself."""

_AT_ONCE = 2
"""Tasks that one worker is given at a time: one to do, and the next one [-]."""
_TRIES = 3
"""Workers that may go away under one task before it is handed back [-]."""
_CONNECT, _ANSWER, _LOOK = 10.0, 120.0, 0.5
"""How long a scheduler may take to answer, and a new worker; how often is looked who is there [s]."""
_ADDRESS = re.compile(r"(tcp|tls)://(?P<host>[^\s/]+):(?P<port>\d{1,5})")
PATIENCE = 20.0
"""How long to wait for a worker when there is none any more [s]."""


def cluster(address: str, *, fit: Callable[[], Fit] | None = None, patience: float = PATIENCE) -> Cluster:
    """The workers of a Dask scheduler.

    Parameters
    ----------
    address : str
        Of the scheduler, such as "tcp://127.0.0.1:8786"
    fit : callable, optional
        A function of a module that each worker is asked first; one that is not fit gets no task
    patience : float
        How long to wait for a worker when there is none any more [s]

    Returns
    -------
    Cluster
        An executor; close it, or use it in a `with`

    Raises
    ------
    InputError
        If Dask is not installed here, nobody answers at that address, or no worker there is of this program
    """
    client = _client(address)
    found = Cluster(client, address, fit=fit, patience=patience)
    try:
        found.look()
        if not found.workers and not any(one.same for one in found.refused.values()):
            reasons = " ".join(f"{worker}: {one.says}" for worker, one in sorted(found.refused.items()))
            raise InputError(
                given=f"A scheduler answers at {address}, and no worker that could be used. {reasons}".strip(),
                do=f"Start workers of this controlkit: dask worker {address} --nworkers -1 --nthreads 1",
            )
    except BaseException:
        found.shutdown(wait=False, cancel_futures=True)
        raise
    found.start()
    return found


def _client(address: str) -> Any:
    if importlib.util.find_spec("distributed") is None:
        raise InputError(
            given="The part for more than one machine is not installed here.",
            do="Install it with the lines for more than one machine in the instructor's guide, or leave --on out.",
        )
    named = _ADDRESS.fullmatch(address)
    if named is None:
        raise InputError(
            given=f"“{address}” is no address of a scheduler.",
            do='Write it as the scheduler does when it starts, such as "tcp://127.0.0.1:8786".',
        )
    client: Callable[..., Any] = importlib.import_module("distributed").Client
    logging.getLogger("distributed").setLevel(logging.CRITICAL)  # what goes wrong is said by us
    try:
        with socket.create_connection((named["host"].strip("[]"), int(named["port"])), timeout=_CONNECT):
            pass  # asked first, since a client that finds nobody does not always come to an end
        return client(address, timeout=_CONNECT, set_as_default=False)
    except Exception:  # noqa: BLE001 - whatever the network, or somebody else who listens there, comes to
        raise InputError(
            given=f"No scheduler answers at {address}.",
            do=(
                "See that it runs and can be reached from here (with tls:// that Dask's configuration names your "
                "certificates), or leave --on out."
            ),
        ) from None


@dataclass(frozen=True)
class Refused:
    """Why a worker gets no task.

    Parameters
    ----------
    says : str
        In a sentence
    same : bool
        Whether it is of the same program, and only not fit
    """

    says: str
    same: bool = False


@dataclass(eq=False)
class _Handed:
    """One task, and who has it."""

    future: Future[Any]
    does: Callable[..., Any]
    arguments: tuple[Any, ...]
    named: dict[str, Any]
    worker: str = ""
    remote: Any = None
    lost: int = 0


@dataclass(eq=False)
class Cluster(Executor):
    """Workers of a Dask scheduler: made by `cluster`.

    Parameters
    ----------
    client : distributed.Client
        The connection
    address : str
        Of the scheduler
    fit : callable, optional
        What each worker is asked first
    patience : float
        How long to wait for a worker when there is none any more [s]

    Attributes
    ----------
    workers : dict of str to str
        Address to what a worker says of itself; those that are there now
    refused : dict of str to Refused
        Address to why a worker gets no task
    """

    client: Any
    address: str
    fit: Callable[[], Fit] | None = None
    patience: float = PATIENCE
    workers: dict[str, str] = field(default_factory=dict)
    refused: dict[str, Refused] = field(default_factory=dict)
    _waiting: deque[_Handed] = field(default_factory=deque)
    _running: set[_Handed] = field(default_factory=set)
    _lock: threading.RLock = field(default_factory=threading.RLock)
    _over: threading.Event = field(default_factory=threading.Event)
    _gone: bool = False
    _watch: threading.Thread | None = None

    @property
    def words(self) -> str:
        """Who works there, for a person.

        Returns
        -------
        str
            How many workers, and whom of them nothing is given
        """
        count = len(self.workers)
        told = [f"{count} worker{'s' * (count != 1)} at {self.address}."]
        told += [f"{worker} is given nothing: {one.says}" for worker, one in sorted(self.refused.items())]
        return " ".join(told)

    def submit(self, fn: Callable[..., Any], /, *args: Any, **kwargs: Any) -> Future[Any]:
        """Give a task to a worker.

        Parameters
        ----------
        fn : callable
            A function of a module
        *args, **kwargs : object
            What it takes

        Returns
        -------
        Future
            Its result; `BrokenExecutor` if every worker went away

        Raises
        ------
        BrokenExecutor
            If they have gone already
        """
        one = _Handed(Future(), fn, args, kwargs)
        with self._lock:
            if self._gone or self._over.is_set():
                raise BrokenExecutor("No worker is there any more.")
            self._waiting.append(one)
        one.future.add_done_callback(lambda future: self._not_wanted(one) if future.cancelled() else None)
        self._hand_on()
        return one.future

    def shutdown(self, wait: bool = True, *, cancel_futures: bool = False) -> None:
        """Close the connection; the workers stay.

        Parameters
        ----------
        wait : bool
            Whether tasks that were given are waited for
        cancel_futures : bool
            Whether those that wait are given up
        """
        with self._lock:
            every = [*self._waiting, *self._running]
        for one in every:
            if cancel_futures:
                one.future.cancel()
            elif wait:
                with suppress(BaseException):
                    one.future.exception()
        self._over.set()
        self._give_up()
        if self._watch is not None and self._watch is not threading.current_thread():
            self._watch.join(_CONNECT)
        with suppress(Exception):
            self.client.close(timeout=_CONNECT)

    def __exit__(self, kind: object, *_: object) -> None:
        self.shutdown(cancel_futures=kind is not None)

    def start(self) -> None:
        """Watch from now on who comes and goes."""
        self._watch = threading.Thread(target=self._watched, name="cluster", daemon=True)
        self._watch.start()

    def look(self) -> None:
        """See who is there, ask whoever is new, and take back what those had who are gone."""
        there: dict[str, int] = self.client.sync(self.client.scheduler.ncores, callback_timeout=_CONNECT)
        with self._lock:
            self.workers = {worker: says for worker, says in self.workers.items() if worker in there}
            self.refused = {worker: why for worker, why in self.refused.items() if worker in there}
            lost = [one for one in self._running if one.worker not in there]
        for one in lost:
            one.remote.cancel()  # which is told, and it is given to another
        self._ask({worker: there[worker] for worker in set(there) - set(self.workers) - set(self.refused)})
        self._hand_on()

    def _ask(self, new: dict[str, int]) -> None:
        """Ask workers what they are, and those of the same program whether they are fit."""
        answers = self._about(list(new)) if new else {}
        asked = {}
        for worker, threads in new.items():
            why = "" if threads == 1 else "it works with several threads; start it with --nthreads 1."
            why = why or differs(answers.get(worker))
            if why:
                self.refused[worker] = Refused(why)
            elif self.fit is not None:
                asked[worker] = self.client.submit(self.fit, workers=[worker], pure=False)
            else:
                self.workers[worker] = ""
        for worker, remote in asked.items():
            try:
                fit, says = remote.result(timeout=_ANSWER)
            except Exception:  # noqa: BLE001 - it went away, or what it was asked went wrong
                fit, says = False, "it did not answer."
            if fit:
                self.workers[worker] = says
            else:
                self.refused[worker] = Refused(says, same=True)

    def _about(self, workers: list[str]) -> dict[str, Any]:
        """What workers say of themselves, or an exception; asked so that one of another program survives it."""
        try:
            found: dict[str, Any] = self.client.sync(
                self.client.run, about, workers=workers, on_error="return", callback_timeout=_ANSWER
            )
        except Exception as wrong:  # noqa: BLE001 - one went away while it was asked
            return dict.fromkeys(workers, wrong)
        return found

    def _hand_on(self) -> None:
        """Give waiting tasks to workers that have room."""
        while True:
            with self._lock:
                room = dict.fromkeys(self.workers, _AT_ONCE)
                for one in self._running:
                    if one.worker in room:
                        room[one.worker] -= 1
                best = max(room, key=lambda worker: room[worker], default="")
                if not self._waiting or not best or room[best] < 1:
                    return
                one = self._waiting.popleft()
                if one.future.cancelled():
                    continue
                one.worker = best
                self._running.add(one)
                try:
                    one.remote = self.client.submit(
                        one.does, *one.arguments, workers=[best], pure=False, retries=0, **one.named
                    )
                except Exception:  # noqa: BLE001 - a connection that is closed: whoever watches finds out
                    self._running.discard(one)
                    self._waiting.appendleft(one)
                    return
            one.remote.add_done_callback(lambda _, one=one: self._came(one))

    def _not_wanted(self, one: _Handed) -> None:
        """A worker need not go on with what nobody waits for."""
        with self._lock:
            remote = one.remote if one in self._running and not self._gone else None
        if remote is not None:
            with suppress(Exception):
                remote.cancel()

    def _came(self, one: _Handed) -> None:
        """What a worker sent back, or that it is gone."""
        remote = one.remote
        status, result = remote.status, None
        if status == "finished":
            try:
                result = remote.result()
            except Exception:  # noqa: BLE001 - it went away with its result
                status = "lost"
        wrong = remote.exception() if status == "error" else None
        if wrong is not None and type(wrong).__name__ in ("KilledWorker", "NoValidWorkerError"):
            status = "lost"
        with self._lock:
            self._running.discard(one)
            if status in ("finished", "error"):
                _settle(one.future, result, wrong)
            elif one.lost + 1 >= _TRIES or self._gone or self._over.is_set():
                _settle(one.future, None, BrokenExecutor("Every worker that had this task went away."))
            else:
                one.lost += 1
                self._waiting.appendleft(one)
        self._hand_on()

    def _watched(self) -> None:
        """Look from time to time, until nobody has been there for too long."""
        seen = time.monotonic()
        while not self._over.wait(_LOOK):
            try:
                self.look()
            except Exception:  # noqa: BLE001 - the scheduler does not answer: nobody can be asked
                self.workers = {}
            if self.workers:
                seen = time.monotonic()
            elif time.monotonic() - seen >= self.patience:
                self._give_up()
                break

    def _give_up(self) -> None:
        """Hand everything back."""
        with self._lock:
            self._gone = True
            every = [*self._waiting, *self._running]
            self._waiting.clear()
        for one in every:
            _settle(one.future, None, BrokenExecutor("No worker is there any more."))


def _settle(future: Future[Any], result: Any, wrong: BaseException | None) -> None:
    """Give a future what it waits for, unless it has it, or nobody wants it."""
    if future.done() or not future.set_running_or_notify_cancel():
        return
    if wrong is not None:
        future.set_exception(wrong)
    else:
        future.set_result(result)


def about() -> dict[str, str]:
    """What must be the same here and there, so that answers are.

    Returns
    -------
    dict of str to str
        Versions, and a fingerprint of the program
    """
    return {
        "controlkit": __version__,
        "program text of controlkit": of_package(),
        "Python": ".".join(platform.python_version_tuple()[:2]),
        "numpy": numpy.__version__,
        "scipy": scipy.__version__,
    }


def differs(theirs: Any) -> str:
    """Why a worker cannot be used, from what it says of itself.

    Parameters
    ----------
    theirs : object
        What `about` came to there, or what went wrong

    Returns
    -------
    str
        A sentence; empty if all is the same

    Examples
    --------
    >>> differs(about()), differs({**about(), "numpy": "1.0"})[:25]
    ('', 'it has another numpy 1.0,')
    """
    if not isinstance(theirs, dict):
        return f"it has no controlkit like the one here ({type(theirs).__name__})."
    for what, ours in about().items():
        found = theirs.get(what)
        if found != ours:
            names = "" if len(ours) == 64 else f" {found}, and here is {ours}"
            return f"it has another {what}{names}; install there what is installed here."
    return ""
