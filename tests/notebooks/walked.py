"""A page of the course run as a student runs it: she predicts where it waits, and answers what it leaves empty."""

from __future__ import annotations

import asyncio
import re
from dataclasses import dataclass
from pathlib import Path

import nbformat

PREDICTS = "for one in lab.predictions:\n    lab.predict(one.key, one.options[0][0])\n"
TRIED = {
    "01": {"travel": "27.2 mm", "easing": "10 N"},
    "02": {"share": "23.3 %", "path": "342 mm"},
    "03": {"moment_arm": "54.4 mm", "moment": "3.26 N m"},
    "04": {"opens_at": "52 N", "back_at": "30.8 N", "most_bend": "128 deg"},
    "05": {"begins": "35.2 N", "left": "11.6 N"},
    "06": {"captured": "23 mm", "pull": "50 N", "share": "16.7 %"},
    "07": {"moment_arm": "28.7 mm", "tension": "38.3 N", "left": "34 mm"},
    "08": {"comes": "16 mm", "walking": "16 mm", "sinks": "22.9 deg"},
    "09": {"presses": "1.5 N/mm", "slips": "16 mm", "drawn": "6.8 mm"},
    "10": {"crosses": "15.2 N", "forearm": "110 deg", "limb_moment": "3.2 N m"},
    "11": {"efficiency": "75 %", "off": "6.25 %", "nine_times": "2.08 %"},
    "12": {"at_harness": "40 N", "needed": "200 N", "share": "14.8 %"},
}
"""What is right in each lesson's Try, worked by hand from the numbers in its text."""


@dataclass(frozen=True)
class Stop:
    """Where running all cells stopped, and all that was printed of it."""

    cell: str
    printed: tuple[str, ...]


@dataclass(frozen=True)
class Walk:
    """A page after all cells have run, and where it stopped on the way."""

    page: nbformat.NotebookNode
    stops: tuple[Stop, ...] = ()


def walk(notebook: nbformat.NotebookNode, where: Path, env: dict[str, str], tried: dict[str, str]) -> Walk:
    """Run all cells in a kernel of their own; where they stop, do what the sentence asks, and go on."""
    from nbclient import NotebookClient

    place = {"metadata": {"path": str(where)}}
    client = NotebookClient(notebook, timeout=180, kernel_name="python3", store_widget_state=False, resources=place)
    return asyncio.run(_walk(client, env, tried))  # a loop of its own, closed at the end


async def _walk(client, env: dict[str, str], tried: dict[str, str]) -> Walk:  # type: ignore[no-untyped-def]
    from nbclient.exceptions import CellExecutionError

    stops = []
    async with client.async_setup_kernel(env=env):
        places = {cell.id: number for number, cell in enumerate(client.nb.cells)}

        async def run(name: str, source: str) -> None:
            cell = client.nb.cells[places[name]]
            stored, cell.source = cell.source, source
            await client.async_execute_cell(cell, places[name])
            cell.source = stored

        for cell in client.nb.cells:
            try:
                await client.async_execute_cell(cell, places[cell.id])
            except CellExecutionError:
                (error,) = (output for output in cell.outputs if output.output_type == "error")
                stops.append(Stop(cell.id, tuple(error.traceback)))
                if cell.id == "go-on":
                    await run("go-on", PREDICTS + cell.source)
                elif cell.id == "try-check":
                    answers = client.nb.cells[places["try-answer"]].source
                    await run(
                        "try-answer",
                        re.sub(r"^(\w+) = \.\.\.$", lambda m: f"{m[1]} = {tried[m[1]]!r}", answers, flags=re.M),
                    )
                    await run("try-check", cell.source)
                else:
                    raise
    return Walk(client.nb, tuple(stops))
