"""The frame of the labs without a browser: asks and answers, errors as sentences."""

from __future__ import annotations

import ast
import asyncio
import json
import re
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from controlkit.draw import Frame, Scene
from controlkit.labs import frame, noted
from controlkit.labs.controls import Menu, Slider, Values
from controlkit.labs.film import Film
from controlkit.labs.frame import Lab, Motion
from controlkit.labs.noted import FILE, beside_the_notebook
from controlkit.labs.page import Answer, Challenge, Page, Prediction, Reading, Verdict
from controlkit.units import InputError, mm

from .asking import in_a_loop

RING = Slider("ring", "Ring", "length", (mm(10), mm(200)), start=mm(60))


def _page(values: Values, pinned: Values | None, units: str) -> Page:
    ring = float(values["ring"])
    if ring > mm(190):
        raise InputError(given="The ring cannot lie there.", do="Move it up.")
    if ring > mm(180):
        raise ZeroDivisionError
    words = f"The ring lies {ring * 1000:.0f} mm down{' (compared)' if pinned else ''}, {units}."
    return Page(
        (Scene("A ring", words, Frame(0, 0, 1, 1)),),
        words,
        words,
        readings=(Reading("Below", ring, "length"),),
        verdicts=(Verdict(() if ring > mm(160) else (f"the ring lies at {ring * 1000:.0f} mm",)),),
        answers=(
            Answer("more", f"It lies {ring * 1000:.0f} mm down, 60 mm before.", "Down is deeper.")
            if ring > mm(120)
            else None,
        ),
    )


def _small_lab() -> Lab:
    return Lab(
        "A small lab",
        [RING],
        _page,
        play="ring",
        challenges=[Challenge("Deep", lambda units: f"Below 160 mm, {units}.")],
        predictions=[Prediction("depth", "Lower it. Does it lie deeper?", (("more", "more"), ("less", "less")))],
    )


@pytest.fixture(autouse=True)
def _in_a_folder_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Notes are kept where the notebook lies."""
    monkeypatch.setattr(frame, "beside_the_notebook", lambda: tmp_path)


@pytest.fixture
def lab() -> Lab:
    """A lab with one control, a challenge and a prediction."""
    return _small_lab()


def _ask(lab: Lab, number: int, **asked: Any) -> dict[str, Any]:
    values = {"ring": asked.pop("ring", 0.06)}
    lab.asked = {"n": number, "values": values, "units": "metric", "pinned": None, **asked}
    return dict(lab.shown)


def test_an_ask_is_answered_with_its_number(lab: Lab) -> None:
    """Pictures, words, line and number follow the setting."""
    shown = _ask(lab, 7, ring=0.1)
    assert shown["n"] == 7
    assert shown["words"] == "The ring lies 100 mm down, metric."
    assert shown["line"] == "ring = 100 mm"
    assert 'role="img"' in shown["pictures"][0]
    assert shown["words"] in shown["pictures"][0], "the words are in the picture too"


def test_only_what_changed_is_sent(monkeypatch: pytest.MonkeyPatch) -> None:
    """One message a move, without pictures and words that stay; a page opened again is given all of them."""
    lasting = Scene("A frame", "It stays.", Frame(0, 0, 1, 1))

    def page(values: Values, pinned: Values | None, units: str) -> Page:
        moving = _page(values, pinned, units)
        return Page((lasting, *moving.pictures), moving.words, moving.spoken)

    lab, sent = Lab("Two pictures", [RING], page), []
    monkeypatch.setattr(lab, "_send", lambda message, **_: sent.append(set(message["state"])))
    for number, ring in enumerate((0.1, 0.1, 0.195, 0.1), start=1):
        asked = {"n": number, "values": {"ring": ring}, "units": "metric", "pinned": None}
        lab._on_wish(lab, {"do": "ask", "asked": asked}, [])
    assert sent == [{"told", "words", "picture1"}, {"told"}, {"told"}, {"told"}]
    lab._on_wish(lab, {"do": "ask", "asked": asked}, [])  # its answer got lost
    assert sent[4:] == [{"told", "words", "picture0", "picture1"}]
    state = lab.get_state()
    assert [state["picture0"], state["picture1"]] == lab.shown["pictures"]
    assert state["plan"]["pictures"] == ["picture0", "picture1"]
    assert "0 mm down" in state["words"]


def test_typed_text_is_read_or_refused_beside_its_control(lab: Lab) -> None:
    """What cannot be read is told; the value stays."""
    assert _ask(lab, 1, typed={"ring": "82,5"})["values"]["ring"] == 0.0825
    shown = _ask(lab, 2, ring=0.0825, typed={"ring": "many"})
    assert "no number" in shown["problems"]["ring"]
    assert shown["values"]["ring"] == 0.0825
    assert shown["spoken"] == shown["problems"]["ring"], "and it is announced"


@pytest.mark.parametrize(("ring", "said"), [(0.195, "cannot lie there"), (0.185, "could not be computed")])
def test_last_good_picture_stays(lab: Lab, ring: float, said: str) -> None:
    """Neither a refusal nor an error of ours reaches the page as anything but a sentence."""
    good = _ask(lab, 1, ring=0.1)
    shown = _ask(lab, 2, ring=ring)
    assert said in shown["problem"]
    assert shown["n"] == 2, "the page is not left waiting"
    assert shown["pictures"] == good["pictures"]
    assert _ask(lab, 3, ring=0.1)["problem"] == ""
    assert (lab.trouble is not None) == (ring == 0.185)


def test_setting_in_one_line(lab: Lab) -> None:
    """The line can be copied, handed in at the start, and used."""
    lab.use("ring = 4 in")
    assert lab.setting == "ring = 101.6 mm"
    assert Lab("Again", [RING], _page, play="ring", setting=lab.setting).setting == lab.setting
    assert _ask(lab, 9, line="ring = 70 mm")["line"] == "ring = 70 mm"
    refused = _ask(lab, 10, ring=0.07, line="rang = 70 mm")
    assert "no entry" in refused["problems"]["line"]
    with pytest.raises(InputError):
        lab.use("rang = 3")
    with pytest.raises(InputError):
        Lab("Bad", [RING], _page, play="ring", units="feet")  # type: ignore[arg-type]


def test_still_picture_for_print(lab: Lab) -> None:
    """A still picture with plain words and the noted readings stands above the widget."""
    lab._on_wish(lab, {"do": "note"}, [])
    bundle = lab._repr_mimebundle_()
    data = bundle[0] if isinstance(bundle, tuple) else bundle
    assert "application/vnd.jupyter.widget-view+json" in data
    assert data["text/plain"] == lab.shown["words"]
    still = lab.still()
    assert "<svg" in still
    assert "LABID" not in still
    assert lab.shown["words"] in still
    assert "press Shift+Enter" in still
    assert "<td>60.0 mm</td>" in still, "the noted reading"


def test_readings_are_noted_and_there_next_day(lab: Lab, tmp_path: Path) -> None:
    """Rows hold what was moved and what was read, in a file beside the notebook; a row can be taken away."""
    lab._on_wish(lab, {"do": "note"}, [])
    _ask(lab, 1, ring=0.1)
    lab._on_wish(lab, {"do": "note"}, [])
    expected = {"head": ["Ring", "Below"], "rows": [["60 mm", "60.0 mm"], ["100 mm", "100.0 mm"]]}
    assert lab.noted["table"] == expected
    assert (tmp_path / FILE).exists()
    again = _small_lab()
    assert again.noted["table"] == expected
    again._on_wish(again, {"do": "strike", "row": 0}, [])
    assert again.noted["table"] == {"head": ["Ring", "Below"], "rows": [["100 mm", "100.0 mm"]]}
    other = Lab("Another lab", [RING], _page)
    assert other.noted["table"]["rows"] == []
    other._on_wish(other, {"do": "note"}, [])
    assert _small_lab().noted["table"]["rows"] == [["100 mm", "100.0 mm"]], "one lab's notes leave the others alone"


@pytest.mark.parametrize(
    "text",
    [
        "",
        "{",
        "[1]",
        '{"A small lab": 3}',
        '{"A small lab": {"rows": [1], "met": []}}',
        '{"A small lab": {"rows": [{}, {"settings": {}, "readings": [1]}]}}',
        '{"A small lab": {"met": {"Deep": 3}, "predicted": {"depth": []}, "answered": {"depth": ["more", 1]}}}',
    ],
)
def test_a_spoilt_file_of_notes_loses_no_lab(tmp_path: Path, text: str) -> None:
    """What cannot be read is laid aside or left out; the lab opens, and notes again."""
    (tmp_path / FILE).write_text(text)
    lab = _small_lab()
    lab._on_wish(lab, {"do": "note"}, [])
    assert len(_small_lab().noted["table"]["rows"]) == 1
    if text in ("", "{"):
        assert (tmp_path / FILE).with_suffix(".unreadable").read_text() == text


def test_notes_that_cannot_be_opened_now_are_left_alone(tmp_path: Path) -> None:
    """Another program may hold the file for a moment: what all the labs kept must not be written over meanwhile."""
    _small_lab()._on_wish(None, {"do": "note"}, [])
    kept = (tmp_path / FILE).read_text(encoding="utf-8")
    with pytest.MonkeyPatch.context() as held:
        held.setattr(Path, "read_text", _in_use)
        other = Lab("Another lab", [RING], _page)
        other._on_wish(other, {"do": "note"}, [])
    assert len(other.noted["table"]["rows"]) == 1, "in memory"
    assert (tmp_path / FILE).read_text(encoding="utf-8") == kept
    assert [path.name for path in tmp_path.glob("*lab-notes*")] == [FILE]


def _in_use(*_: Any, **__: Any) -> str:
    raise PermissionError(13, "in use")


def test_a_prediction_is_answered_at_the_move_that_decides_it() -> None:
    """Only what was predicted is answered, once; the answer stays, in words."""
    lab = _small_lab()
    _ask(lab, 1, ring=0.15)
    assert lab.answered == {}, "nobody has predicted"
    _ask(lab, 2)
    with pytest.raises(InputError, match="Choose with the buttons"):
        lab.predict("depth", "sideways")
    lab._on_wish(lab, {"do": "predict", "key": "depth", "option": "less"}, [])
    assert (lab.predicted, lab.answered) == ({"depth": "less"}, {})
    _ask(lab, 3, ring=0.15)
    assert lab.answered == {"depth": ["more", "It lies 150 mm down, 60 mm before. Down is deeper."]}
    lab.predict("depth", "more")
    assert lab.predicted == {"depth": "less"}, "what was answered is not predicted again"
    assert _small_lab().noted["answered"] == lab.noted["answered"]


def test_a_right_prediction_is_answered_without_a_reason() -> None:
    """The numbers are enough for whoever knew it."""
    lab = _small_lab()
    lab.predict("depth", "more")
    _ask(lab, 1, ring=0.15)
    assert lab.answered == {"depth": ["more", "It lies 150 mm down, 60 mm before."]}


def test_a_prediction_is_not_answered_while_a_hand_still_drags() -> None:
    """An overshoot decides nothing; where the hand lets go, the same question is asked at rest."""
    lab = _small_lab()
    lab.predict("depth", "less")
    shown = _ask(lab, 1, ring=0.17, held=True)
    assert shown["verdicts"][0]["met"], "a challenge is judged live"
    _ask(lab, 2, ring=0.10, held=True)
    _ask(lab, 3, ring=0.10, held=False)
    assert lab.answered == {}
    _ask(lab, 4, ring=0.15, held=True)
    assert lab.answered == {}
    _ask(lab, 5, ring=0.15, held=False)
    assert lab.answered == {"depth": ["more", "It lies 150 mm down, 60 mm before. Down is deeper."]}


def test_a_challenge_is_judged_and_kept_by_body() -> None:
    """What is missing is told live; on whom it was met is there next day."""
    lab = _small_lab()
    assert lab.told["verdicts"] == [{"met": False, "missing": ["the ring lies at 60 mm"]}]
    _ask(lab, 1, ring=0.17)
    assert lab.told["verdicts"] == [{"met": True, "missing": []}]
    _ask(lab, 2)
    assert _small_lab().noted["met"] == {"Deep": [""]}


def test_every_body_on_which_a_challenge_is_met_is_told_at_once() -> None:
    """The second body too: the page names it with the picture that meets the goal."""
    who = Menu("wearer", "Wearer", (("maren", "Maren"), ("ines", "Ines")), "maren")
    goal = Challenge("Deep", lambda _: "Below 160 mm.")
    lab = Lab("Two bodies", [RING, who], _page, challenges=[goal], another="wearer")
    for number, body in enumerate(("maren", "ines"), start=1):
        lab.asked = {"n": number, "values": {"ring": 0.17, "wearer": body}, "units": "metric", "pinned": None}
        assert lab.noted["met"]["Deep"][-1] == body


def test_a_cell_run_again_shows_the_lab_as_it_was_left() -> None:
    """Setting, pin and units come back; Reset still leads to the start, and reopening decides nothing."""
    assert not _small_lab().plan["left"]
    lab = _small_lab()
    lab.predict("depth", "more")
    _ask(lab, 1, ring=0.17, units="inch-pound", pinned={"ring": 0.05}, held=True)
    assert _small_lab().setting == "ring = 60 mm", "while a hand drags, nothing is left yet"
    _ask(lab, 2, ring=0.09, units="inch-pound", pinned={"ring": 0.05})
    again = _small_lab()
    assert again.setting == "ring = 90 mm"
    assert again.told["units"] == "inch-pound"
    assert again.told["pinned"] == {"ring": 0.05}
    assert again.plan["start"] == {"ring": 0.06}
    assert "Reset" in again.plan["left"]
    assert again.noted == lab.noted
    _ask(again, 1)
    assert not _small_lab().plan["left"]


def test_a_challenge_is_not_met_by_reopening_a_lab(tmp_path: Path) -> None:
    """It was met by the move; who deletes the note of it meets it by a move again."""
    lab = _small_lab()
    _ask(lab, 1, ring=0.17)
    kept = json.loads((tmp_path / FILE).read_text(encoding="utf-8"))
    kept[lab.title]["met"] = {}
    (tmp_path / FILE).write_text(json.dumps(kept), encoding="utf-8")
    assert _small_lab().noted["met"] == {}


def test_another_call_starts_where_it_says(lab: Lab) -> None:
    """A setting or units that the call names anew come before what was left."""
    _ask(lab, 1, ring=0.09)
    assert Lab(lab.title, [RING], _page, setting="ring = 80 mm").setting == "ring = 80 mm"
    assert Lab(lab.title, [RING], _page, units="inch-pound").setting == "ring = 60 mm"


@pytest.mark.parametrize("left", [{"line": "rung = 1 m"}, {"line": 3}, {"line": "ring = 195 mm"}, {"units": []}, {}])
def test_a_setting_that_can_no_longer_be_had_gives_way_to_the_start(tmp_path: Path, left: dict[str, Any]) -> None:
    """Another wearer, another edition, a file written by hand: the lab opens all the same."""
    kept = {"call": ["", "metric"], "line": "ring = 60 mm", "pinned": "", "units": "metric", **left}
    (tmp_path / FILE).write_text(json.dumps({_small_lab().title: {"left": kept}}), encoding="utf-8")
    assert _small_lab().setting == "ring = 60 mm"


@pytest.mark.parametrize("grading", [False, True])
def test_nothing_is_kept_without_a_notebook_or_while_grading(monkeypatch: pytest.MonkeyPatch, grading: bool) -> None:
    """A kernel keeps notes beside its notebook; a graded notebook and a plain program write no file."""
    assert beside_the_notebook() is None
    monkeypatch.setattr(noted, "get_ipython", lambda: SimpleNamespace(kernel=1))
    if grading:
        monkeypatch.setenv("NBGRADER_EXECUTION", "autograde")
    assert beside_the_notebook() == (None if grading else Path.cwd())


def _filmed(motion: Motion | None) -> list[dict[str, Any]]:
    """All that is sent of a motion."""
    sent: list[dict[str, Any]] = []

    async def made() -> None:
        Film([RING], _page, motion, "ring").start("a setting", ({"ring": 0.06}, None, "metric"), sent.append)
        while not sent[-1].get("done"):
            await asyncio.sleep(0)

    in_a_loop(made())
    return sent


def test_the_motion_is_sent_page_by_page_and_once(lab: Lab) -> None:
    """Every page with its pictures and what goes with them, then the end; the lab itself does not move."""
    told = lab.told
    failed = {"film": "a setting", "done": True, "failed": True}
    assert _filmed(None)[-1] == failed, "it cannot lie beyond 190 mm"
    broken = replace(_page({"ring": 0.05}, None, "metric"), pictures=("no scene",))
    assert _filmed(lambda *_: [(0.05, broken)]) == [failed], "what cannot be drawn is told as well"
    sent = _filmed(lambda *_: [(0.05, _page({"ring": 0.05}, None, "metric"))])
    assert [message.get("at") for message in sent] == [0.05, None]
    assert sent[0]["live"]["readings"][0]["value"] == "50.0"
    assert "<svg" in sent[0]["pictures"][0]
    assert sent[-1] == {"film": "a setting", "done": True}
    assert lab.told is told


def test_a_motion_gives_way_to_a_move() -> None:
    """In a running kernel pages are made one at a time; a move in between ends it."""
    sent: list[dict[str, Any]] = []
    film = Film([RING], _page, lambda *_: ((at, _page({"ring": at}, None, "metric")) for at in (0.05, 0.06)), "ring")

    async def moved() -> None:
        film.start("a setting", ({"ring": 0.06}, None, "metric"), sent.append)
        film.stop()
        await asyncio.sleep(0.05)
        assert len(sent) == 1
        film.start("a setting", ({"ring": 0.06}, None, "metric"), sent.append)
        while not sent[-1].get("done"):
            await asyncio.sleep(0)

    in_a_loop(moved())
    assert len(sent) == 4


def test_nothing_is_fetched() -> None:
    """The front end names no address but that of the SVG standard."""
    assert "http" not in Lab._esm.replace("http://www.w3.org/2000/svg", "")
    assert "http" not in Lab._css
    assert "@import" not in Lab._css
    assert "url(" not in Lab._css


def test_labs_use_nothing_that_another_editor_lacks() -> None:
    """One widget with its own program, which asks for no module and no global of a notebook program."""
    folder = Path(frame.__file__).parent
    known = {"IPython", "anywidget", "traitlets", "numpy", "controlkit", *sys.stdlib_module_names}
    for path in folder.glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
            names += [node.module or ""] if isinstance(node, ast.ImportFrom) else []
            assert {name.partition(".")[0] for name in names} <= known, path.name
    program = re.sub(r"//.*", "", Lab._esm)
    assert not re.search(r"\b(import|require|define)\b", program)
    assert not re.search(r"jupyter|notebook|acquireVsCodeApi|\bparent\b|\btop\b", program, re.IGNORECASE)
    assert re.findall(r"export .*", program) == ["export default { render };"]


def test_matplotlib_is_not_loaded_for_a_lab() -> None:
    """A lab starts without the print renderer."""
    code = "import sys, controlkit.labs; assert 'matplotlib' not in sys.modules"
    subprocess.run([sys.executable, "-c", code], check=True)
