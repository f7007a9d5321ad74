"""Asking a lab as its page does, without a browser."""

from __future__ import annotations

from typing import Any

from controlkit.labs.frame import Lab


def ask(lab: Lab, units: str = "metric", pinned: dict[str, Any] | None = None, **values: Any) -> dict[str, Any]:
    """What a lab shows for a setting that differs from its start in these values."""
    setting = {**lab.plan["start"], **values}
    lab.asked = {"n": lab.shown["n"] + 1, "values": setting, "units": units, "pinned": pinned}
    assert not lab.shown["problem"], (values, lab.trouble)
    return dict(lab.shown)
