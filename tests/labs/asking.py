"""Asking a lab as its page does, without a browser, and in a loop as a kernel's."""

from __future__ import annotations

import asyncio
from collections.abc import Coroutine
from concurrent.futures import ThreadPoolExecutor
from typing import Any

from controlkit.labs.frame import Lab


def ask(lab: Lab, units: str = "metric", pinned: dict[str, Any] | None = None, **values: Any) -> dict[str, Any]:
    """What a lab shows for a setting that differs from its start in these values."""
    setting = {**lab.plan["start"], **values}
    lab.asked = {"n": lab.shown["n"] + 1, "values": setting, "units": units, "pinned": pinned}
    assert not lab.shown["problem"], (values, lab.trouble)
    return dict(lab.shown)


def in_a_loop(walk: Coroutine[Any, Any, None]) -> None:
    """Run a walk in a loop of its own, whatever loop this thread has (the browser's tests leave theirs running)."""
    with ThreadPoolExecutor(1) as pool:
        pool.submit(asyncio.run, walk).result()
