"""A scheduler and its workers: who is asked, who is refused and why, who goes away, who comes later."""

from __future__ import annotations

import importlib
import importlib.util
import os
from collections.abc import Iterator
from concurrent.futures import BrokenExecutor
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from controlkit.executors import Cluster, carry_out, cluster
from controlkit.executors.cluster import about, differs
from controlkit.mechanics import population
from controlkit.mechanics.study.population import FLEXION, LOT, Population
from controlkit.units import InputError
from tests.executors.machines import Machines, machines

module = importlib.import_module("controlkit.executors.cluster")  # the door shows its function by that name


def test_without_dask_that_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(importlib.util, "find_spec", lambda *_: None)
    with pytest.raises(InputError, match=r"not installed here.*leave --on out"):
        cluster("tcp://127.0.0.1:8786")


@pytest.mark.parametrize(
    "address", ["", "what", "what://127.0.0.1:9", "127.0.0.1:9", "tcp://127.0.0.1", "inproc://1:9"]
)
def test_what_is_no_address_is_said(address: str) -> None:
    with pytest.raises(InputError, match="is no address of a scheduler"):
        cluster(address)


@pytest.mark.parametrize("address", ["tcp://127.0.0.1:9", "tls://[::1]:9", "tcp://127.0.0.1:99999"])
def test_where_nobody_answers_that_is_said(address: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "_CONNECT", 0.5)
    with pytest.raises(InputError, match="No scheduler answers at"):
        cluster(address)


@pytest.mark.parametrize(
    ("theirs", "told"),
    [
        ({"controlkit": "0.0.1"}, "it has another controlkit 0.0.1, and here is "),
        ({"program text of controlkit": "0" * 64}, "it has another program text of controlkit; install"),
        ({"numpy": "1.26.4"}, "it has another numpy 1.26.4, and here is "),
        ({"Python": "3.9"}, "it has another Python 3.9, and here is "),
    ],
)
def test_a_worker_with_another_program_is_told_apart(theirs: dict[str, str], told: str) -> None:
    assert told in differs({**about(), **theirs})
    assert differs(about()) == ""


def test_so_is_one_without_it() -> None:
    for found in (ModuleNotFoundError("no controlkit"), None):
        assert "no controlkit like the one here" in differs(found)


# --- With a scheduler ----------------------------------------------------------------------------------------------


@pytest.fixture
def there() -> Iterator[Machines]:
    with machines() as found:
        yield found


@pytest.fixture
def workers(there: Machines) -> Iterator[Cluster]:
    with cluster(there.address, patience=2.0) as found:
        yield found


def double(number: int) -> int:
    return 2 * number


def walled() -> tuple[bool, str]:
    """Whether a worker is fit: told by what the test laid into its surroundings."""
    return "UNFIT" not in os.environ, "has a wall" if "UNFIT" not in os.environ else "has no wall."


@pytest.mark.long
def test_population_is_the_same_bitwise_and_a_killed_worker_loses_nothing(there: Machines, workers: Cluster) -> None:
    count = 4 * LOT
    ask: dict[str, Any] = {"arm_flexion": FLEXION[:2]}
    here = population("male", count, 4, processes=1, **ask)
    shares: list[float] = []

    def pull_a_plug(share: float) -> None:
        if not shares:
            there.kill(there.processes[1])
        shares.append(share)

    assert len(workers.workers) == 2
    whole = population("male", count, 4, executor=workers, progress=pull_a_plug, **ask)
    assert_same(here, whole)
    assert shares == pytest.approx([0.25, 0.5, 0.75, 1.0])
    half = population("male", count, 4, executor=workers, progress=lambda share: share < 0.5, **ask)
    assert half.done.sum() == count / 2
    assert_same(here, population("male", count, 4, executor=workers, start=half, **ask))


@pytest.mark.long
def test_when_all_have_gone_this_machine_goes_on(there: Machines, workers: Cluster) -> None:
    kept: list[int] = []

    def pull_every_plug(result: int) -> None:
        if not kept:
            for one in there.processes[1:]:
                there.kill(one)
        kept.append(result)

    carry_out(double, range(30), keep=pull_every_plug, executor=workers, processes=1)
    assert sorted(kept) == [2 * number for number in range(30)]
    with pytest.raises(BrokenExecutor):
        workers.submit(double, 1)


@pytest.mark.long
def test_when_the_scheduler_goes_too(there: Machines, workers: Cluster) -> None:
    kept: list[int] = []

    def pull_its_plug(result: int) -> None:
        if not kept:
            there.kill(there.scheduler)
        kept.append(result)

    carry_out(double, range(30), keep=pull_its_plug, executor=workers, processes=1)
    assert sorted(kept) == [2 * number for number in range(30)]


@pytest.mark.long
def test_who_is_there_is_asked_and_who_comes_later_helps(tmp_path: Path) -> None:
    (tmp_path / "controlkit").mkdir()
    (tmp_path / "controlkit" / "__init__.py").write_text('__version__ = "0.0.1"\n', encoding="utf-8")
    with machines(0) as found:
        with pytest.raises(InputError, match="no worker that could be used"):
            cluster(found.address)
        found.worker("--nthreads", "2")
        found.worker(cwd=tmp_path, surroundings={"PYTHONPATH": str(tmp_path)})
        with pytest.raises(InputError, match="several threads") as refused:
            cluster(found.address)
        assert "no controlkit like the one here" in str(refused.value)
        found.worker(surroundings={"UNFIT": "1"})
        with cluster(found.address, fit=walled) as workers:
            assert not workers.workers
            assert "is given nothing: has no wall." in workers.words
            found.worker()
            assert workers.submit(double, 4).result(60.0) == 8
            assert list(workers.workers.values()) == ["has a wall"]
            assert len(workers.refused) == 3


@pytest.mark.long
def test_an_error_of_a_task_comes_back(workers: Cluster) -> None:
    with pytest.raises(TypeError):
        workers.submit(double, {}, {}).result(60.0)
    waiting = [workers.submit(double, number) for number in range(20)]
    assert [one.result(60.0) for one in waiting] == [2 * number for number in range(20)]


def assert_same(one: Population, other: Population) -> None:
    for name, value in vars(one).items():
        if isinstance(value, np.ndarray):
            np.testing.assert_array_equal(value, getattr(other, name), err_msg=name)
