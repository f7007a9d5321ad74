"""Designs of a class simulated before it is judged, wherever that is: the dear part, which holds no verdict.

What travels is a body, the settings chosen and the case; what comes back lies on disk where judging looks first. Right
answers, criteria and judging stay here.
"""

from __future__ import annotations

import importlib
import warnings
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Executor
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any

import numpy as np

from controlkit.checking import Case, Design, KeptBack, OtherBodies, Sheet, read_settings
from controlkit.checking.feedback import Feedback
from controlkit.classroom.marking.simulated import OnDisk, keep_result, simulated
from controlkit.classroom.records import Submission
from controlkit.executors import carry_out


@dataclass(frozen=True, kw_only=True)
class Simulation:
    """One design on one body: it can be sent to another machine.

    Parameters
    ----------
    exercise, item : str
        Whose simulation it is
    wearer : Wearer
        The body
    settings : dict
        What was chosen
    case : Case
        The student's
    """

    exercise: str
    item: str
    wearer: Any
    settings: dict[str, Any]
    case: Case


def simulate_ahead(
    sheet: Sheet,
    work: Iterable[tuple[Submission, Case]],
    kept_back: KeptBack,
    *,
    store: Path,
    executor: Executor,
    told: Callable[[int, int], None] | None = None,
) -> int:
    """Simulate every design of a class that was not simulated before.

    Parameters
    ----------
    sheet : Sheet
        An exercise of the package: any other is simulated where it is judged
    work : iterable
        Submissions, each with its case
    kept_back : KeptBack
        What is kept back: its bodies are tried, nothing else of it is sent
    store : Path
        Where results lie
    executor : Executor
        Who simulates
    told : callable, optional
        Hears how many are done, and of how many

    Returns
    -------
    int
        How many were simulated; what an executor could make nothing of is left to judging [-]
    """
    tasks = {
        OnDisk(item.simulate, store).path(one.wearer, one.settings, one.case): one
        for submission, case in work
        for item, one in _asked(sheet, submission, case, kept_back)
    }
    waiting = {path.name: one for path, one in tasks.items() if not path.is_file()}

    simulated_now: set[str] = set()

    def keep(came: tuple[str, bytes | None]) -> None:
        name, content = came
        if name in waiting and type(content) is bytes:
            keep_result(store / name, content)
            simulated_now.add(name)

    carry_out(
        simulate_one,
        list(waiting.items()),
        keep=keep,
        executor=executor,
        told=told,
        before=len(tasks) - len(waiting),
    )
    return len(simulated_now)


def _asked(
    sheet: Sheet, submission: Submission, case: Case, kept_back: KeptBack
) -> Iterator[tuple[Design, Simulation]]:
    """What judging a submission will ask of the mechanics."""
    for item in sheet.items:
        answer = submission.answers.get(item.name)
        if not isinstance(item, Design) or answer is None or answer.awaited or answer.how == "failed":
            continue
        kept = kept_back.items.get(item.name) or OtherBodies()
        try:
            choice = read_settings(item, answer.value, case)
        except Exception:  # noqa: BLE001 - judging finds out, and says so
            continue
        if isinstance(choice, Feedback):
            continue
        for make in (partial(item.wearer, case), *(body.make for body in kept.bodies or item.bodies)):
            try:
                wearer = make()
            except Exception:  # noqa: BLE001 - as above
                continue
            one = Simulation(exercise=sheet.name, item=item.name, wearer=wearer, settings=choice, case=case)
            yield item, one


def simulate_one(task: tuple[str, Simulation]) -> tuple[str, bytes | None]:
    """Simulate one design, on whatever machine.

    Parameters
    ----------
    task : tuple
        By which name its result is asked back, and what is asked

    Returns
    -------
    str
        That name
    bytes or None
        The result, packed; None where that cannot be, and judging finds out itself
    """
    name, one = task
    sheet = importlib.import_module(f"controlkit.exercises.{one.exercise}").exercise
    with warnings.catch_warnings(), np.errstate(all="ignore"):
        warnings.simplefilter("ignore")
        try:
            return name, simulated(sheet.item(one.item).simulate, one.wearer, one.settings, one.case)
        except Exception:  # noqa: BLE001 - one design stops no class
            return name, None
