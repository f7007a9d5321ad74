"""The frame of the labs without a browser: asks and answers, errors as sentences."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from controlkit.draw import Frame, Scene
from controlkit.labs import frame
from controlkit.labs.controls import Slider, Values
from controlkit.labs.frame import Lab
from controlkit.labs.page import Page
from controlkit.units import InputError, mm

RING = Slider("ring", "Ring", "length", (mm(10), mm(200)), start=mm(60))


def _page(values: Values, pinned: Values | None, units: str) -> Page:
    ring = float(values["ring"])
    if ring > mm(190):
        raise InputError(given="The ring cannot lie there.", do="Move it up.")
    if ring > mm(180):
        raise ZeroDivisionError
    words = f"The ring lies {ring * 1000:.0f} mm down{' (compared)' if pinned else ''}, {units}."
    return Page((Scene("A ring", words, Frame(0, 0, 1, 1)),), words, words)


@pytest.fixture
def lab() -> Lab:
    """A lab with one control."""
    return Lab("A small lab", [RING], _page, play="ring")


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
        lab.set_state({"asked": {"n": number, "values": {"ring": ring}, "units": "metric", "pinned": None}})
    assert sent == [{"told", "words", "picture1"}, {"told"}, {"told"}, {"told"}]
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
    """The output holds plain HTML and plain words beside the widget."""
    bundle = lab._repr_mimebundle_()
    data = bundle[0] if isinstance(bundle, tuple) else bundle
    assert "application/vnd.jupyter.widget-view+json" in data
    assert "<svg" in data["text/html"]
    assert "LABID" not in data["text/html"]
    assert data["text/plain"] == lab.shown["words"]


def test_nothing_is_fetched() -> None:
    """The front end names no address but that of the SVG standard."""
    assert "http" not in Lab._esm.replace("http://www.w3.org/2000/svg", "")
    assert "http" not in Lab._css
    assert "@import" not in Lab._css
    assert "url(" not in Lab._css


def test_labs_use_nothing_that_another_editor_lacks() -> None:
    """One widget with its own program, which asks for no module and no global of a notebook program."""
    folder = Path(frame.__file__).parent
    known = {"anywidget", "traitlets", "numpy", "controlkit", *sys.stdlib_module_names}
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
