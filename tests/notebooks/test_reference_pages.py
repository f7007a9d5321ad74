"""Glossary, notation and sources: complete, in order, and true to the package."""

from __future__ import annotations

import math
import re
from pathlib import Path

import nbformat
import pytest

from controlkit.draw.page.scene import Label
from controlkit.draw.wearer.notation import notation_scene
from controlkit.mechanics import (
    ControlCable,
    DualControl,
    Pose,
    Pull,
    SingleControl,
    VoluntaryClosing,
    VoluntaryOpening,
    Wearer,
    above_elbow_eight,
    figure_of_eight,
    suspend,
)
from controlkit.mechanics.bench import Repeated
from controlkit.mechanics.body import places
from controlkit.mechanics.body.remembered import built
from controlkit.mechanics.chain import budget, motions
from controlkit.mechanics.chain.motions import take_apart
from controlkit.mechanics.chain.positions import reach

COURSE = Path(__file__).resolve().parents[2] / "course"
LESSONS = sorted(COURSE.glob("[0-9][0-9]-*.ipynb"))


def _text(name: str) -> str:
    return "\n\n".join(cell.source for cell in nbformat.read(COURSE / f"{name}.ipynb", as_version=4).cells)


def test_glossary_is_in_order_and_points_to_lessons() -> None:
    """One entry a word, alphabetical, each with the lessons that explain it."""
    entries = re.findall(r"^\*\*(.+?)\*\*: (.+)$", _text("glossary"), re.MULTILINE)
    words = [word.casefold() for word, _ in entries]
    assert words == sorted(words)
    assert len(set(words)) == len(words) > 40
    for word, meaning in entries:
        assert re.search(r"\. \[\d+(, \d+)*\]$", meaning), word


def test_the_words_of_the_trade_and_the_glossary_agree() -> None:
    """A word in bold in an explanation has its entry; an entry is used in the lessons that it names."""
    entries = dict(re.findall(r"^\*\*(.+?)\*\*: (.+)$", _text("glossary"), re.MULTILINE))
    known = {word.casefold() for word in entries}
    said: dict[int, str] = {}
    for path in LESSONS:
        cells = nbformat.read(path, as_version=4).cells
        said[int(path.stem[:2])] = "\n".join(cell.source for cell in cells).casefold()
        for cell in cells:
            if cell.cell_type == "markdown" and re.match(r"parts|principle|motions|positions|explain", cell.id):
                for word in re.findall(r"\*\*(.+?)\*\*", cell.source):
                    assert {word.casefold(), word.casefold().removesuffix("s")} & known, f"{path.stem}: {word}"
    for word, meaning in entries.items():
        for number in re.search(r"\[(.+)\]$", meaning)[1].split(", "):  # type: ignore[index]
            assert word.casefold() in said[int(number)], f"{word}: lesson {number}"


def test_every_letter_of_the_lessons_is_in_the_notation() -> None:
    """One letter, one meaning, one place to look it up."""
    written = re.compile(r"\*([A-Za-zα-ω])\*")
    known = set(written.findall(_text("notation")))
    for path in LESSONS:
        for cell in nbformat.read(path, as_version=4).cells:
            if cell.cell_type == "markdown":
                assert set(written.findall(cell.source)) <= known, f"{path.stem}: {cell.id}"


@pytest.fixture(scope="module")
def things() -> dict[str, object]:
    """One of each object that the notation names."""
    system = SingleControl(figure_of_eight(Wearer.average("female")))
    pose = Pose(arm_flexion=0.5)
    apart = take_apart(system, pose)
    dual = DualControl(harness=above_elbow_eight(Wearer.average("female", level="transhumeral")))
    (there,) = reach(system, {"here": pose})
    return {
        "Build": built(system.harness.wearer),
        "Pose": pose,
        "Pull": apart.pull,
        "Excursion": apart.pull.excursion,
        "ControlCable": ControlCable(),
        "CableLine": system.line(1.0),
        "VoluntaryOpening": VoluntaryOpening(),
        "VoluntaryClosing": VoluntaryClosing(),
        "Budget": budget(system, apart.pull),
        "Reach": there,
        "Harness": system.harness,
        "ProstheticForearm": dual.lifted_forearm,
        "LiftLine": dual.line,
        "Lifted": dual.lift([1.5]),
        "Opened": dual.open_locked([1.5]),
        "StrapLoad": apart.pull.strap_load["axilla loop"],
        "Suspension": suspend(system.harness, system.law, 50.0),
        "Repeated": Repeated((36.0,), (2.0,)),
    }


def test_every_name_of_the_notation_exists(things: dict[str, object]) -> None:
    """What stands as Thing.name is there under that name."""
    names = re.findall(r"`([A-Z]\w+)\.(\w+)`", _text("notation"))
    assert len(names) > 25
    for thing, name in names:
        assert hasattr(things[thing], name), f"{thing}.{name}"
    assert {thing for thing, _ in names} == set(things)
    assert isinstance(things["Pull"], Pull)
    plain = set(re.findall(r"`(\w+)`", _text("notation").split("The moment about")[0])) - {"show"}
    assert plain == {"joints", "device_moved"}
    assert callable(places.joints)
    assert callable(motions.device_moved)


def test_every_letter_of_the_first_table_is_on_the_drawing() -> None:
    """The table and the sketch use the same letters."""
    first = _text("notation").split("The moment about")[0]
    letters = set(re.findall(r"^\| \*(\w)\* \|", first, re.MULTILINE))
    drawn = {item.lines[0] for item in notation_scene().items if isinstance(item, Label)}
    assert letters - {"s"} <= drawn  # the way of the device has no place on a drawing that stands still


def test_sources_page_lists_every_value() -> None:
    """It asks for all of them by itself, and names the grades of knowing as the tables do."""
    from controlkit.sources import all_sources

    text = _text("sources")
    assert "facts(*(value.id for value in all_sources()), in_full=True)" in text
    assert "all_records()" in text
    for value in all_sources():
        assert f"**{value.how_known}**" in text


def test_the_sheet_of_mathematics_is_right() -> None:
    """Each worked line again, and each formula that it shows how to type."""
    text = _text("mathematics")
    cos, sin = math.cos(math.radians(45)), math.sin(math.radians(45))
    across = math.sqrt(150**2 + 100**2 - 2 * 150 * 100 * cos)
    exponent, left, between = 170 / 57.3 * 0.16, math.log(1 / 0.8), math.hypot(34.6 - 25, 80 + 20)
    for line in (
        f"10 / 57.3 = {10 / 57.3:.4f} radians; 90° are {math.pi / 2:.3f}; 150° are {math.radians(150):.3f}",
        f"2 π = {2 * math.pi:.3f}",
        f"it gives −{abs(math.sin(30)):.3f}",
        f"60 · cos 45° = {60 * cos:.1f} N, across 60 · sin 45° = {60 * sin:.1f} N",
        f"c = √11 287 = {across:.0f} mm",
        f"150 · 100 · 0.707 / {across:.1f} = {150 * 100 * 0.707 / across:.1f} mm",
        f"e is a number, {math.e:.3f}",
        f"170 / 57.3 = {170 / 57.3:.3f} radians, times 0.16 are {exponent:.3f}",
        f"So e^(−0.475) = {math.exp(-exponent):.3f}",
        f"x = ln 0.8 = −{left:.3f}",
        f"bend = 0.223 / 0.16 = {left / 0.16:.2f} radians, times 57.3 are {left / 0.16 * 57.3:.0f}°",
        f"(24.12 and 32.57). Growth {32.57 - 24.12:.2f} mm",
        f"8.45 / 0.1745 = {8.45 / 0.1745:.1f} mm",
        f"√(9.6² + 100²) = {between:.1f}",
        f"25 · (−20.0) − 80 · 34.6 = −{80 * 34.6 + 25 * 20:,.0f}".replace(",", " "),
        f"3 268 / 100.5 = {3268 / 100.5:.1f} mm",
        f"8.9 N · 0.0635 m = {8.9 * 0.0635:.3f} J",
        f"1.148 · (0.985 + 0.707) = {1.148 * (0.985 + 0.707):.2f} J",
        f"31.3 N round 33.6 mm: 31.3 / 33.6 = {31.3 / 33.6:.2f} N/mm",
        f"0.93 / 25.4 = {0.93 / 25.4:.4f} N/mm², and 1 N/mm² are 1000 kPa: {0.93 / 25.4 * 1000:.1f} kPa",
        f"(222 − 100) / (40.0 − 27.0) = {(222 - 100) / (40.0 - 27.0):.1f} N/mm",
        f"60 N, 5 N/mm: 4 + 12 = {4 + 60 / 5:.0f} mm",
        f"50 · 0.174 / 0.866 = {50 * math.sin(math.radians(10)) / math.sin(math.radians(60)):.1f} N",
    ):
        assert line in text, line
    assert round(150**2 + 100**2 - 2 * 150 * 100 * cos) == 11287
    row = {name: line for line in text.splitlines() for name in ("cosine", "sine") if line.startswith(f"| {name} |")}
    for name, function in (("cosine", math.cos), ("sine", math.sin)):
        values = [float(cell) for cell in row[name].split("|")[2:-1]]
        assert values == pytest.approx([function(math.radians(angle)) for angle in (0, 30, 45, 60, 90)], abs=5e-4)
