"""A page as it is sent to the front end: pictures as SVG text, everything else as plain data."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import takewhile
from typing import Any

from controlkit.draw import Scene, legend, render_svg
from controlkit.draw.words.effort import percent
from controlkit.labs.page import Challenge, Handle, Page, Prediction, Reading, Units, Verdict
from controlkit.units import show

__all__ = ["PREFIX", "Sent", "asked_of_learner", "in_stage", "sent"]

PREFIX = "LABID"
"""Start of the identifiers in a picture; the front end puts its own in place of it."""

_TENTHS = 10000.0  # a metre in tenths of a millimetre, in which scenes are written
_NUMBER = re.compile(r"[-\u2212]?[\d.,]+")


@dataclass(frozen=True)
class Sent:
    """A page as it is sent.

    Parameters
    ----------
    pictures : tuple of str
        SVG text; empty for a picture that is not shown now.
    words, spoken : str
        As in `Page`.
    verdicts : tuple of Verdict
        As in `Page`; how they are told depends on what was given away before.
    tells : tuple of str
        As in `Page`.
    live : dict
        Readings, handles, answers, tone, legend, idle controls and whether there is more, as plain data.
    """

    pictures: tuple[str, ...]
    words: str
    spoken: str
    verdicts: tuple[Verdict, ...]
    tells: tuple[str, ...]
    live: dict[str, Any]


def sent(page: Page, units: Units) -> Sent:
    """Write a page for the front end.

    Parameters
    ----------
    page : Page
        What a lab shows.
    units : str
        "metric" or "inch-pound".

    Returns
    -------
    Sent
        The same as text and plain data.
    """
    svgs = [render_svg(picture, f"{PREFIX}-{i}") if picture else "" for i, picture in enumerate(page.pictures)]
    live = {
        "readings": [_reading(reading, units) for reading in page.readings],
        "handles": [_handle(handle, page) for handle in page.handles],
        "answers": [[answer.option, answer.words, answer.why] if answer else None for answer in page.answers],
        "tone": page.tone,
        "legend": _legend(page),
        "idle": list(page.idle),
        "more": page.more,
    }
    return Sent(tuple(svgs), page.words, page.spoken, verdicts=page.verdicts, tells=page.tells, live=live)


def in_stage(page: Page) -> int:
    """How many pictures stay in view while controls move: the views that come first, or else the first picture."""
    views = takewhile(lambda picture: isinstance(picture, Scene) and not picture.beside, page.pictures)
    return len(list(views)) or 1


def asked_of_learner(challenges: Sequence[Challenge], predictions: Sequence[Prediction]) -> dict[str, Any]:
    """Describe challenges and predictions to the front end, in both unit systems."""
    systems: tuple[Units, ...] = ("metric", "inch-pound")
    return {
        "challenges": [
            {"title": goal.title, "text": {system: goal.text(system) for system in systems}} for goal in challenges
        ],
        "predictions": [
            {"key": one.key, "question": one.question, "options": [list(option) for option in one.options]}
            for one in predictions
        ],
    }


def _legend(page: Page) -> list[list[str]]:
    """Each strap that the views draw: name, colour of its edge, colour inside."""
    views = [picture for picture in page.pictures[: in_stage(page)] if isinstance(picture, Scene)]
    names: dict[tuple[str, str], list[str]] = {}
    for key in (key for view in views for key in legend(view)):
        alike = names.setdefault((key.edge, key.tint), [])
        if key.name not in alike:
            alike.append(key.name)
    return [[", ".join(alike), edge, tint] for (edge, tint), alike in names.items()]


def _reading(reading: Reading, units: Units) -> dict[str, Any]:
    shared = reading.kind == "share"
    written = percent(reading.value) if shared else show(reading.value, reading.kind, units, reading.digits)
    number = _NUMBER.match(written)
    size = number[0] if number else written
    unit = written[len(size) :].strip()
    return {"label": reading.label, "value": size, "unit": unit, "note": reading.note, "share": reading.share}


def _handle(handle: Handle, page: Page) -> dict[str, Any]:
    scene = page.pictures[handle.picture]
    assert isinstance(scene, Scene), "a handle lies in a scene"

    def place(at: tuple[float, float]) -> list[float]:
        return [(at[0] - scene.frame.left) * _TENTHS, (scene.frame.top - at[1]) * _TENTHS]

    turn = handle.turn
    return {
        "name": handle.name,
        "picture": handle.picture,
        "at": place(handle.at),
        "slides": [[key, [way[0] * _TENTHS, -way[1] * _TENTHS]] for key, way in handle.slides],
        "turn": {"key": turn.key, "about": place(turn.about), "sense": turn.sense} if turn else None,
        "whole": handle.whole,
    }
