"""A page that takes longer than a moment: shown as far as it goes, going on while nobody asks, stopped and resumed."""

from __future__ import annotations

import asyncio
from pathlib import Path
from threading import Thread
from time import sleep
from typing import Any

import pytest

from controlkit.draw import Frame, Scene
from controlkit.labs import frame
from controlkit.labs.controls import Slider, Values
from controlkit.labs.frame import Lab
from controlkit.labs.page import Answer, Page, Prediction, Verdict

from .asking import in_a_loop

MANY = Slider("many", "Many", "count", (1.0, 40.0), start=6.0)


class _Slow:
    """A page of which each question computes one part more, and keeps it."""

    def __init__(self) -> None:
        self.done: dict[float, int] = {}
        self.fails = False

    def page(self, values: Values, pinned: Values | None, units: str) -> Page:
        many = float(values["many"])
        if self.fails:
            raise ZeroDivisionError
        self.done[many] = min(self.done.get(many, 0) + 1, round(many))
        words = f"{self.done[many]} of {many:.0f}, {units}."
        more = self.done[many] < many
        answer = None if more else Answer("more", words)
        scene = Scene("Parts", words, Frame(0, 0, 1, 1))
        return Page((scene,), words, words, verdicts=(Verdict(),), answers=(answer,), more=more)


@pytest.fixture(autouse=True)
def _in_a_folder_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(frame, "beside_the_notebook", lambda: tmp_path)


def _lab(slow: _Slow) -> Lab:
    ask = Prediction("much", "Is it much?", (("more", "more"), ("less", "less")))
    return Lab("A slow lab", [MANY], slow.page, predictions=[ask])


def _ask(lab: Lab, number: int, many: float, **asked: Any) -> None:
    lab.asked = {"n": number, "values": {"many": many}, "units": "metric", "pinned": None, **asked}


def test_without_a_loop_the_whole_is_computed() -> None:
    slow = _Slow()
    lab = _lab(slow)
    assert (lab.words, lab.told["more"]) == ("6 of 6, metric.", False)
    _ask(lab, 1, 9.0)
    assert (lab.words, lab.told["more"]) == ("9 of 9, metric.", False)


def test_in_a_loop_it_goes_on_while_nobody_asks_and_ends() -> None:
    async def walk() -> None:
        slow = _Slow()
        lab = _lab(slow)
        assert (lab.words, lab.told["more"]) == ("1 of 6, metric.", True)
        shown = []
        lab.observe(lambda change: shown.append(change.new), names="words")
        for _ in range(200):
            await asyncio.sleep(0.005)
            if not lab.told["more"]:
                break
        assert shown == [f"{k} of 6, metric." for k in range(2, 7)]
        before = dict(slow.done)
        await asyncio.sleep(0.05)
        assert slow.done == before, "nothing is asked once it is whole"
        assert lab.told["n"] == 0

    in_a_loop(walk())


def test_a_move_comes_first_and_what_is_done_is_kept() -> None:
    async def walk() -> None:
        slow = _Slow()
        lab = _lab(slow)
        _ask(lab, 1, 20.0)
        assert lab.words == "1 of 20, metric."
        await asyncio.sleep(0.05)
        _ask(lab, 2, 6.0)
        there = slow.done[20.0]
        assert lab.words == "2 of 6, metric.", "it goes on from where it was"
        for _ in range(100):
            await asyncio.sleep(0.005)
            if not lab.told["more"]:
                break
        assert slow.done[20.0] == there, "what is not on show rests"
        _ask(lab, 3, 20.0)
        assert lab.words == f"{there + 1} of 20, metric."

    in_a_loop(walk())


def test_it_is_stopped_and_resumed_by_a_button() -> None:
    async def walk() -> None:
        slow = _Slow()
        lab = _lab(slow)
        _ask(lab, 1, 30.0)
        lab._on_wish(None, {"do": "rest"}, None)
        there = lab.words
        await asyncio.sleep(0.06)
        assert lab.words == there
        assert (lab.told["more"], lab.told["rests"]) == (True, True)
        lab._on_wish(None, {"do": "go-on"}, None)
        for _ in range(400):
            await asyncio.sleep(0.005)
            if not lab.told["more"]:
                break
        assert lab.words == "30 of 30, metric."
        assert lab.told["rests"] is False

    in_a_loop(walk())


def test_a_prediction_is_decided_by_the_whole_alone() -> None:
    async def walk() -> None:
        slow = _Slow()
        lab = _lab(slow)
        lab.predict("much", "more")
        _ask(lab, 1, 12.0)
        assert lab.answered == {}
        for _ in range(200):
            await asyncio.sleep(0.005)
            if not lab.told["more"]:
                break
        assert lab.answered["much"] == ["more", "12 of 12, metric."]
        assert lab.page_at("many = 15").answers[0] is not None, "a page of another setting is made whole"

    in_a_loop(walk())


def test_it_can_be_finished_at_once() -> None:
    async def walk() -> None:
        lab = _lab(_Slow())
        assert lab.told["more"]
        lab.finish()
        assert (lab.words, lab.told["more"]) == ("6 of 6, metric.", False)

    in_a_loop(walk())


def test_what_fails_on_the_way_is_said_and_ends_it() -> None:
    async def walk() -> None:
        slow = _Slow()
        lab = _lab(slow)
        slow.fails = True
        await asyncio.sleep(0.05)
        assert "could not be computed" in lab.told["problem"]
        assert lab.told["more"] is False
        assert isinstance(lab.trouble, ZeroDivisionError)

    in_a_loop(walk())


def test_moves_from_another_thread_end_what_the_cell_began() -> None:
    """As in a kernel that takes what the page asks in a thread and a loop of its own: the newest answer stands."""
    slow = _Slow()
    plain = slow.page

    def page(values: Values, pinned: Values | None, units: str) -> Page:
        sleep(0.002)
        return plain(values, pinned, units)

    slow.page = page  # type: ignore[method-assign]
    ends: list[tuple[int, str, bool]] = []

    async def opened() -> None:
        lab = _lab(slow)
        assert lab.told["more"]
        await asyncio.sleep(0.03)

        async def asks() -> None:
            _ask(lab, 1, 40.0)
            await asyncio.sleep(0.05)
            lab._on_wish(None, {"do": "rest"}, None)
            there = lab.words
            await asyncio.sleep(0.05)
            assert lab.words == there
            assert lab.told["rests"] is True
            _ask(lab, 2, 20.0)
            while lab.told["more"]:
                await asyncio.sleep(0.005)

        other = Thread(target=lambda: asyncio.run(asks()))
        other.start()
        while other.is_alive():
            await asyncio.sleep(0.002)
        await asyncio.sleep(0.05)
        ends.append((lab.told["n"], lab.words, lab.told["more"]))

    in_a_loop(opened())
    assert ends == [(2, "20 of 20, metric.", False)]
