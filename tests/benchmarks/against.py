"""This code against older commits, in one run on one machine.

`python -m tests.benchmarks.against 4dedf5c` lays the old tree out in a temporary folder and starts a process for it and
one for the checkout, changes that are not committed included. Both get the same question in turn, so that a busy
machine hits both alike, and what counts is processor time. Printed are medians, how many times faster this code is, and
how far rings and captured excursions lie apart. Nothing is asserted.

Starts: "new wearer" knows nothing; "cold" knows the body, but no strap on it; a slider's row is a small move from the
motion before, 1 mm or 0.005 of the crossbar, always the same way. "stiff" is without flesh and with a cuff that does
not give, where a commit knows such a thing: what commits have in common. "as is" leaves each commit what it has.
"""

from __future__ import annotations

import argparse
import io
import json
import os
import subprocess
import sys
import tarfile
from collections.abc import Iterator, Sequence
from contextlib import ExitStack, contextmanager
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from typing import Any

import numpy as np

ROOT = Path(__file__).resolve().parents[2]
PATTERNS = (
    "figure-of-eight",
    "without fork",
    "sewn cross-point",
    "figure-of-nine",
    "chest strap",
    "cross-back strap",
)
STARTS = ("new wearer", "cold", "ring_below_c7", "control_strap", "crossbar")
EXERCISES = tuple(f"ex{number:02d}" for number in range(1, 7))
NOW = "now"


class Commit:
    """A process that answers under one tree."""

    def __init__(self, name: str, tree: Path) -> None:
        one_thread = dict.fromkeys(("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"), "1")
        script = str(Path(__file__).with_name("answering.py"))
        self.name = name
        self.process = subprocess.Popen(
            [sys.executable, "-P", script],
            env={**os.environ, **one_thread, "PYTHONPATH": str(tree)},
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        if self.ask(ask="where")["from"] != str(tree.resolve() / "controlkit"):
            raise SystemExit(f"{name} took the package from elsewhere.")

    def ask(self, **question: Any) -> dict[str, Any]:
        """One question, one answer."""
        assert self.process.stdin
        assert self.process.stdout
        self.process.stdin.write(json.dumps(question) + "\n")
        self.process.stdin.flush()
        line = self.process.stdout.readline()
        if not line:
            raise SystemExit(f"{self.name} broke off at {question}; what it said stands above.")
        answer: dict[str, Any] = json.loads(line)
        return answer

    def close(self) -> None:
        """Let it end."""
        self.process.communicate()


@contextmanager
def commits(names: Sequence[str]) -> Iterator[list[Commit]]:
    """The checkout first, then each older commit in a folder of its own."""
    with ExitStack() as stack:
        trees = {NOW: ROOT}
        for name in names:
            packed = subprocess.run(["git", "archive", name, "controlkit", "solutions"], cwd=ROOT, capture_output=True)
            if packed.returncode:
                raise SystemExit(f"There is no commit {name}: {packed.stderr.decode().strip()}")
            trees[name] = Path(stack.enter_context(TemporaryDirectory()))
            with tarfile.open(fileobj=io.BytesIO(packed.stdout)) as archive:
                archive.extractall(trees[name], filter="data")
        asked = []
        for name, tree in trees.items():
            asked.append(Commit(name, tree))
            stack.callback(asked[-1].close)
        yield asked


def in_turns(asked: Sequence[Commit], rounds: int, **question: Any) -> dict[str, list[dict[str, Any]]]:
    """What each commit answers in every round; the order changes from round to round."""
    found: dict[str, list[dict[str, Any]]] = {commit.name: [] for commit in asked}
    for turn in range(rounds):
        for commit in asked[:: 1 if turn % 2 else -1]:
            told = {} if question["ask"] == "population" else {"turn": turn}
            found[commit.name].append(commit.ask(**question, **told))
    return found


def row(title: str, found: dict[str, list[dict[str, Any]]]) -> None:
    """Print medians, ratios and differences of one question."""
    if "absent" in found[NOW][0]:
        print(f"{title:<62}  left out: {found[NOW][0]['absent']}")
        return
    mine = median(each["seconds"] for each in found[NOW])
    cells = [f"{title:<62}  {mine * 1e3:9.1f}"]
    for name, answers in found.items():
        if name == NOW:
            continue
        if "absent" in answers[0]:
            cells.append(f"{'-':>9}        left out: {answers[0]['absent']}")
            continue
        other = median(each["seconds"] for each in answers)
        cells.append(f"{other * 1e3:9.1f}  {other / mine:5.2f}x")
        if "ring" in answers[0]:
            ring = max(
                float(np.linalg.norm(np.subtract(one["ring"], two["ring"]), axis=1).max())
                for one, two in zip(found[NOW], answers, strict=True)
            )
            captured = max(
                float(np.abs(np.subtract(one["captured"], two["captured"])).max())
                for one, two in zip(found[NOW], answers, strict=True)
            )
            cells.append(f"{ring * 1e3:9.4f}  {captured * 1e3:9.4f}")
    unsettled = [name for name, answers in found.items() if not all(each.get("settled", True) for each in answers)]
    print("  ".join(cells) + (f"   not settled: {', '.join(unsettled)}" if unsettled else ""), flush=True)


def main(words: Sequence[str] | None = None) -> None:
    """Ask all that was wanted, and print a row a question."""
    parser = argparse.ArgumentParser(description="This code against older commits, in turns.")
    parser.add_argument("commits", nargs="+", help="older commits")
    parser.add_argument("--rounds", type=int, default=9, help="how often each question is asked")
    parser.add_argument("--patterns", nargs="*", default=PATTERNS, choices=PATTERNS)
    parser.add_argument("--poses", nargs="*", type=int, default=[19, 7])
    parser.add_argument("--starts", nargs="*", default=STARTS, choices=STARTS)
    parser.add_argument("--flesh", nargs="*", default=["stiff", "as is"], choices=["stiff", "as is"])
    parser.add_argument("--population", type=int, default=0, metavar="COUNT", help="wearers in seven poses, once")
    parser.add_argument("--exercises", nargs="*", default=[], choices=EXERCISES, help="draw cases, judge designs")
    wanted = parser.parse_args(words)
    with commits(wanted.commits) as asked:
        others = "".join(f"  {name[:9]:>9}   ratio    ring mm    capt. mm" for name in wanted.commits)
        print(f"{'processor time [ms]':<62}  {NOW:>9}{others}", flush=True)
        for pattern in wanted.patterns:
            for flesh in wanted.flesh:
                for poses in wanted.poses:
                    for start in wanted.starts:
                        question = {"pattern": pattern, "poses": poses, "start": start, "flesh": flesh == "as is"}
                        found = in_turns(asked, wanted.rounds, ask="sweep", **question)
                        row(f"{pattern}, {flesh}, {poses} poses, {start}", found)
        if wanted.population:
            title = f"population, {wanted.population} wearers x 7 poses, one process"
            row(title, in_turns(asked, 1, ask="population", count=wanted.population))
        for exercise in wanted.exercises:
            row(f"{exercise}, a case drawn", in_turns(asked, wanted.rounds, ask="case", exercise=exercise))
            for title, first in (("a design judged", True), ("the next one, changed a little", False)):
                question = {"ask": "design", "exercise": exercise, "first": first}
                row(f"{exercise}, {title}", in_turns(asked, wanted.rounds, **question))


if __name__ == "__main__":
    main()
