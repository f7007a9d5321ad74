"""One step ahead: faster for the same question, and never another answer."""

from __future__ import annotations

import asyncio
import re
from collections.abc import Callable, Coroutine, Sequence
from time import thread_time
from typing import Any

import numpy as np
import pytest

from controlkit.draw import Frame, Scene
from controlkit.labs import ahead, device_lab, housing_lab, strap_lab
from controlkit.labs.ahead import step_further
from controlkit.labs.controls import Menu, Slider, Values
from controlkit.labs.frame import Lab
from controlkit.labs.page import Page
from controlkit.units import inch, mm

from .asking import in_a_loop

RING = Slider("ring", "Ring", "length", (mm(10), mm(200)), start=mm(60))
VIEW = Menu("view", "View", (("back", "back"), ("side", "side")), "back")
REFUSED = mm(85)


class Counted:
    """A lab's pages, and the rings for which one was computed."""

    def __init__(self, slow: float = 0.0) -> None:
        self.rings: list[float] = []
        self._slow = slow

    def page(self, values: Values, pinned: Values | None, units: str) -> Page:
        ring = float(values["ring"])
        self.rings.append(round(1000 * ring, 3))
        end = thread_time() + self._slow
        while thread_time() < end:
            pass
        if ring == REFUSED:
            raise ZeroDivisionError
        words = f"{ring:.4f} m, {units}, pinned {pinned}."
        return Page((Scene("A ring", words, Frame(0, 0, 1, 1)),), words, words)


class Hand:
    """Moves a lab's controls while a loop runs, as a kernel's does."""

    def __init__(self, lab: Lab) -> None:
        self.lab = lab

    def move(self, *, units: str = "metric", pinned: Values | None = None, **values: Any) -> None:
        """Ask as the page does."""
        setting = {**self.lab.told["values"], **values}
        self.lab.asked = {"n": self.lab.told["n"] + 1, "values": setting, "units": units, "pinned": pinned}

    async def rest(self) -> None:
        """Wait until what was to be computed ahead is computed."""
        await asyncio.sleep(2 * ahead.REST)


Walk = Callable[[Hand], Coroutine[Any, Any, None]]


def _walked(walk: Walk, slow: float = 0.0) -> tuple[Lab, list[float]]:
    counted = Counted(slow)
    lab = Lab("A small lab", [RING, VIEW], counted.page)
    escaped: list[Any] = []

    async def watched() -> None:
        asyncio.get_running_loop().set_exception_handler(lambda _, context: escaped.append(context))
        await walk(Hand(lab))

    in_a_loop(watched())
    assert not escaped
    return lab, counted.rings


def test_a_further_step_the_same_way_is_there_before_it_is_asked() -> None:
    """The page after next is computed while nobody moves; asked for, it is only shown."""

    async def walk(hand: Hand) -> None:
        hand.move(ring=mm(65))
        await hand.rest()
        hand.move(ring=mm(70))

    lab, rings = _walked(walk)
    assert rings == [60, 65, 70]
    assert lab.words == "0.0700 m, metric, pinned None."
    assert lab.setting.startswith("ring = 70 mm")


@pytest.mark.parametrize("moved", [{"view": "side"}, {"ring": mm(65), "view": "side"}, {"ring": mm(110)}, {}])
def test_without_a_way_nothing_is_computed(moved: dict[str, Any]) -> None:
    """A menu, two controls at once, a jump, and no move at all have no next step."""

    async def walk(hand: Hand) -> None:
        hand.move(**moved)
        await hand.rest()

    assert len(_walked(walk)[1]) == 2


def test_what_is_asked_comes_first() -> None:
    """While moves follow each other nothing is computed ahead: each page is computed once, and one after the last."""

    async def walk(hand: Hand) -> None:
        for ring in (65, 70, 75):
            hand.move(ring=mm(ring))
            await asyncio.sleep(0.1 * ahead.REST)
        await hand.rest()

    assert _walked(walk)[1] == [60, 65, 70, 75, 80]


def test_turned_round_the_answer_is_that_of_the_question() -> None:
    """A step back is no step further: what lies ahead is left alone."""

    async def walk(hand: Hand) -> None:
        hand.move(ring=mm(65))
        await hand.rest()
        hand.move(ring=mm(60))

    lab, rings = _walked(walk)
    assert rings == [60, 65, 70, 60]
    assert lab.words.startswith("0.0600 m")


def test_the_same_step_asked_otherwise_is_computed() -> None:
    """Another pinned setting or unit system is another question."""

    async def walk(hand: Hand) -> None:
        hand.move(ring=mm(65))
        await hand.rest()
        hand.move(ring=mm(70), pinned={"ring": mm(60), "view": "back"})
        await hand.rest()
        hand.move(ring=mm(75), units="inch-pound", pinned={"ring": mm(60), "view": "back"})

    lab, rings = _walked(walk)
    assert rings == [60, 65, 70, 70, 75, 75]
    assert "inch-pound" in lab.words


def test_an_error_ahead_is_told_only_to_who_asks() -> None:
    """A page that cannot be computed is no trouble until somebody asks for it."""
    seen: list[str] = []

    async def walk(hand: Hand) -> None:
        hand.move(ring=mm(75))
        hand.move(ring=mm(80))
        await hand.rest()
        seen.extend([hand.lab.told["problem"], str(hand.lab.trouble)])
        hand.move(ring=REFUSED)
        seen.append(hand.lab.told["problem"])

    _, rings = _walked(walk)
    assert rings == [60, 75, 80, 85, 85]
    assert seen[:2] == ["", "None"]
    assert "could not be computed" in seen[2]


def test_what_takes_long_is_not_begun() -> None:
    """Whoever turns round never waits for a long answer to a question that nobody asked."""

    async def walk(hand: Hand) -> None:
        hand.move(ring=mm(65))
        await hand.rest()

    assert _walked(walk, slow=1.1 * ahead.LONGEST)[1] == [60, 65]
    assert _walked(walk, slow=0.1 * ahead.LONGEST)[1] == [60, 65, 70]


TURNED = Slider(
    "around", "Around", "angle", (0.0, 2.0 * np.pi), start=0.0, fine=6.0, turns=True
)  # 12 stops, and 24 between


class Turning:
    """A lab that can be turned: how often each side was drawn."""

    def __init__(self, slow: float = 0.0) -> None:
        self.drawn: list[tuple[float, float]] = []
        self._slow = slow
        self.lab = Lab("A lab to turn", [RING, TURNED], self._page)

    def _page(self, values: Values, pinned: Values | None, units: str) -> Page:
        seen = round(1000 * float(values["ring"])), round(float(np.rad2deg(float(values["around"]))))
        end = thread_time() + self._slow
        while thread_time() < end:
            pass
        self.drawn.append(seen)
        return Page((Scene("A ring", f"{seen}", Frame(0, 0, 1, 1)),), f"{seen}", f"{seen}")


def test_all_sides_are_drawn_while_nobody_asks_and_once() -> None:
    """After one turn, or the wish of a hand above the picture, every side is there before it is asked for."""
    for wish in (False, True):
        made = Turning()

        async def walk(made: Turning = made, wish: bool = wish) -> None:
            hand = Hand(made.lab)
            if wish:
                made.lab._on_wish(None, {"do": "round"}, None)
            else:
                hand.move(around=float(np.deg2rad(30.0)))
            while len(set(made.drawn)) < 37 and await hand.rest() is None:  # all places from 0 to 360 degrees
                pass
            await hand.rest()
            before = len(made.drawn)
            for degrees in (250, 10, 360, 120):
                hand.move(around=float(np.deg2rad(degrees)))
                assert made.lab.words == f"(60, {degrees})"
            assert len(made.drawn) == before, "no side is drawn when it is asked for"

        in_a_loop(asyncio.wait_for(walk(), 20.0))
        assert len(made.drawn) <= 37 + 2, "each side once, and again those that were on show before"
        stops = [degrees for _, degrees in made.drawn[2 if not wish else 1 :]]
        assert all(degrees % 30 == 0 for degrees in stops[:10]), "the slider's own stops come first"


def test_sides_of_an_old_setting_are_given_up() -> None:
    """Whoever moves something else no longer waits for the sides of what was before."""
    made = Turning()

    async def walk() -> None:
        hand = Hand(made.lab)
        hand.move(around=float(np.deg2rad(30.0)))
        await hand.rest()
        hand.move(ring=mm(65))
        for _ in range(4):
            await hand.rest()

    in_a_loop(walk())
    assert [ring for ring, _ in made.drawn[-2:]] == [65, 70]
    assert [degrees for _, degrees in made.drawn[-2:]] == [30, 30]


def test_slow_sides_are_not_begun() -> None:
    """What would keep a hand waiting is drawn when it is asked for."""
    made = Turning(slow=1.1 * ahead.LONGEST_ROUND)

    async def walk() -> None:
        hand = Hand(made.lab)
        hand.move(around=float(np.deg2rad(30.0)))
        for _ in range(4):
            await hand.rest()

    in_a_loop(walk())
    assert len(made.drawn) == 2


@pytest.mark.parametrize(
    ("before", "now", "units", "further"),
    [
        (mm(60), mm(65), "metric", mm(70)),
        (mm(60), mm(55), "metric", mm(50)),
        (mm(60), mm(70), "metric", None),  # a jump
        (mm(60), inch(2.5), "inch-pound", inch(2.75)),
        (mm(15), mm(10), "metric", None),  # its end
    ],
)
def test_one_step_further(before: float, now: float, units: str, further: float | None) -> None:
    """From where the slider stands now to its next stop, in the unit system on show."""
    found = step_further([RING], {"ring": before}, {"ring": now}, units)
    assert found == (None if further is None else {"ring": round(further, 9)})


WALKS: dict[str, tuple[Callable[..., Lab], Sequence[dict[str, Any]]]] = {
    "strap": (
        strap_lab,
        [
            *({"ring_below_c7": mm(ring)} for ring in (65, 70, 75, 70, 65, 60)),
            *({"crossbar": share} for share in (0.6, 0.65, 0.7)),
            {"wearer": "average-woman"},
            *({"ring_below_c7": mm(ring)} for ring in (65, 70)),
            {"units": "inch-pound"},
            *({"ring_below_c7": inch(ring), "units": "inch-pound"} for ring in (3.0, 3.25, 3.5, 3.25)),
        ],
    ),
    "housing": (housing_lab, [{"friction": share / 100} for share in (9, 10, 11, 10, 9, 8)]),
    "device": (device_lab, [{"width": mm(width)} for width in (35, 40, 45, 40)]),
}


def _same_lines(pictures: Sequence[str], others: Sequence[str]) -> bool:
    """Whether pictures are the same, but for a last digit (0.1 mm on the wearer) that the order of asking may round."""
    number = r"-?\d+(?:\.\d+)?"
    if [re.sub(number, "0", picture) for picture in pictures] != [re.sub(number, "0", other) for other in others]:
        return False
    here, there = (np.array([float(n) for n in re.findall(number, " ".join(some))]) for some in (pictures, others))
    return bool(np.max(np.abs(here - there)) <= 1.0 and np.mean(here != there) < 0.01)


@pytest.mark.parametrize("name", WALKS)
def test_ahead_or_anew_the_page_is_the_same(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Along a walk with turns, other controls, another wearer and other units: word for word, line for line."""
    monkeypatch.setattr(ahead, "LONGEST", 60.0)  # a slow machine looks ahead as well
    open_lab, moves = WALKS[name]
    walked, used = open_lab(), []

    async def walk(hand: Hand) -> None:
        computed: list[Values] = []
        page = hand.lab._page
        hand.lab._page = lambda *question: (computed.append(question[0]), page(*question))[1]
        for move in moves:
            computed.clear()
            hand.move(**move)
            used.append(not computed)
            anew = open_lab(setting=hand.lab.setting, units=move.get("units", "metric"))
            assert hand.lab.words == anew.words, move
            assert _same_lines(hand.lab.shown["pictures"], anew.shown["pictures"]), move
            await hand.rest()

    in_a_loop(walk(Hand(walked)))
    assert sum(used) >= len(moves) // 3, "the walk uses what was computed ahead"
