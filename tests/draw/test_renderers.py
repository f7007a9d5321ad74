"""Scenes and charts through both renderers."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from html import escape
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from IPython.core.formatters import DisplayFormatter

from controlkit.draw import (
    Arrow,
    Axis,
    Chart,
    Curve,
    Dot,
    Frame,
    Label,
    Line,
    Marker,
    Region,
    Scene,
    Threshold,
    notation_scene,
    render_html,
    render_matplotlib,
    render_svg,
    side_by_side,
)
from controlkit.draw.page.axes import nice_ticks
from controlkit.draw.page.labels import Note, in_margins
from controlkit.draw.page.shapes import runs
from controlkit.draw.page.stack import spread
from controlkit.draw.page.style import STYLES

SVG = "{http://www.w3.org/2000/svg}"
FRAME = Frame(-0.5, -0.5, 0.5, 0.5)


@pytest.fixture
def scene() -> Scene:
    """One of everything."""
    line = np.array([[-0.4, 0.0], [-0.2, 0.1], [0.0, 0.0], [0.2, 0.1], [0.4, 0.0], [0.45, 0.0]])
    square = np.array([[-0.1, -0.1], [0.1, -0.1], [0.1, 0.1], [-0.1, 0.1]])
    return Scene(
        "Straps & ring <test>",
        "A strap, 5 > 4.",
        FRAME,
        (
            Region(square),
            Line(line, "axilla loop", "axilla loop", hidden=np.array([False, False, True, False, False, False])),
            Arrow((0.0, 0.0), (0.2, 0.2)),
            Dot((0.0, 0.0), 0.02, "ring"),
            Label(("a", "label & more"), (-0.3, 0.3), "end", (0.0, 0.0)),
        ),
    )


@pytest.fixture
def chart() -> Chart:
    """Two curves that end close together."""
    x = np.linspace(0.0, 90.0, 19)
    return Chart(
        title="Excursion", words="It grows.",
        x_axis=Axis("angle", 0, 90, (0, 45, 90)), y_axis=Axis("mm", 0, 100, (0, 50, 100)),
        curves=(Curve(x, x, "generated", "generated"), Curve(x, x * 0.98, "captured", "captured")),
        thresholds=(Threshold(30, "30°"), Threshold(45, "required", "y", "required")),
        markers=(Marker(30, 30, "captured"),),
    )  # fmt: skip


def test_svg_is_well_formed_and_described(scene: Scene, chart: Chart) -> None:
    """A picture has a role, a title and a description, and asks for nothing from outside."""
    for picture in (scene, chart):
        text = render_svg(picture, "x")
        root = ET.fromstring(text)
        assert root.get("role") == "img"
        assert root.find(f"{SVG}title").text == picture.title  # type: ignore[union-attr]
        assert root.find(f"{SVG}desc").text == picture.words  # type: ignore[union-attr]
        assert root.get("aria-labelledby") == "x-title x-words"
        assert "href" not in text
        assert "<image" not in text
        assert "<script" not in text


def test_hidden_part_is_dashed_and_under_the_seen_part(scene: Scene) -> None:
    """The body covers one point of the strap: one dashed piece, two full ones."""
    colour = STYLES["axilla loop"].colour
    paths = [p for p in ET.fromstring(render_svg(scene)).iter(f"{SVG}path") if p.get("stroke") == colour]
    dashed = [p for p in paths if p.get("stroke-dasharray")]
    assert len(dashed) == 1
    assert len(paths) == 3
    assert paths[0] is dashed[0]


def test_runs_cover_the_line_and_share_their_ends() -> None:
    """Cutting a line where it is covered loses nothing."""
    assert runs(np.array([False, False, True, True, False, False])) == [(0, 1, False), (1, 4, True), (4, 5, False)]
    assert runs(np.array([True, True])) == [(0, 1, True)]
    assert runs(np.array([False, True, False])) == [(0, 2, True)]


def test_line_widths_do_not_grow_with_the_picture(scene: Scene) -> None:
    """All but the webbing, which is drawn at its true width."""
    for node in ET.fromstring(render_svg(scene)).iter(f"{SVG}path"):
        if node.get("stroke-width") and float(node.get("stroke-width", "0")) < 10:
            assert node.get("vector-effect") == "non-scaling-stroke"


def test_matplotlib_draws_the_same_things(scene: Scene, chart: Chart) -> None:
    """Both renderers carry every text, and the print keeps the frame."""
    for picture in (scene, chart):
        ax = render_matplotlib(picture)
        written = {line for text in ax.texts for line in text.get_text().split("\n")} | {ax.get_title()}
        for node in ET.fromstring(render_svg(picture)).iter(f"{SVG}text"):
            assert node.text in written
    ax = render_matplotlib(scene)
    assert ax.get_xlim() == (FRAME.left, FRAME.right)
    assert len(ax.lines) >= 5


def test_matplotlib_draws_on_axes_that_are_given(scene: Scene) -> None:
    """A print page may hold several."""
    from matplotlib.figure import Figure

    figure = Figure()
    ax = figure.subplots()
    assert render_matplotlib(scene, ax) is ax


def test_html_ids_differ(scene: Scene) -> None:
    """Two pictures on one page do not share identifiers."""
    first, second = (re.findall(r'id="([^"]+)"', render_html(scene)) for _ in range(2))
    assert not set(first) & set(second)


def test_a_picture_shows_itself_in_a_notebook(scene: Scene, chart: Chart) -> None:
    """Scenes and charts, drawn and in words, although neither knows an ink."""
    for picture in (scene, chart):
        shown, _ = DisplayFormatter().format(picture)
        assert shown["text/html"].startswith("<figure")
        assert f"</summary>{escape(picture.words)}</details></figcaption>" in shown["text/html"]
        assert shown["text/plain"] == picture.words


@example([74.0, 82.0, 92.0, 100.0], 9.0)  # pushed down from the top, on to those below
@settings(max_examples=100)
@given(st.lists(st.floats(0, 100), min_size=1, max_size=7), st.floats(1, 12))
def test_spread_keeps_apart_and_in_order(wanted: list[float], gap: float) -> None:
    """Labels never overlap while there is room, and keep their order."""
    placed = spread(wanted, gap, 0.0, 100.0)
    for (_, a), (_, b) in pairwise(sorted(zip(wanted, placed, strict=True))):
        assert b - a >= gap - 1e-6
    assert min(placed) >= -1e-6
    assert max(placed) <= 100 + 1e-6


@settings(max_examples=100)
@given(st.lists(st.tuples(st.floats(-0.3, 0.3), st.floats(-0.4, 0.4)), min_size=1, max_size=6))
def test_labels_in_margins_do_not_overlap(targets: list[tuple[float, float]]) -> None:
    """Two lines of text each, all on one side."""
    labels = in_margins([Note(("one", "two"), target, "left") for target in targets], FRAME)
    heights = sorted(label.at[1] for label in labels)
    assert all(b - a >= 2 * FRAME.text for a, b in pairwise(heights))
    assert all(FRAME.bottom <= height <= FRAME.top for height in heights)


@settings(max_examples=100)
@given(st.floats(1e-6, 1e6))
def test_ticks_are_round_and_reach_far_enough(high: float) -> None:
    """Few, even, and the last one at or above the value."""
    end, ticks = nice_ticks(high)
    assert end >= high * (1 - 1e-9)
    assert 3 <= len(ticks) <= 8
    assert np.allclose(np.diff(ticks), ticks[1])


def _luminance(colour: str) -> float:
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [p / 12.92 if p <= 0.03928 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def test_lines_that_matter_stand_out_from_the_page() -> None:
    """Contrast of at least 3 to 1 against white, as graphics need."""
    for name in ("body", "axilla loop", "anterior support strap", "control attachment strap", "generated", "captured",
                 "required", "pinned", "pinned curve", "leader", "force", "cable"):  # fmt: skip
        assert 1.05 / (_luminance(STYLES[name].colour) + 0.05) >= 3.0, name


def test_meaning_never_hangs_on_colour_alone() -> None:
    """Straps and curves differ in seam, width or dash as well."""
    straps = [STYLES[n] for n in ("axilla loop", "anterior support strap", "control attachment strap")]
    assert len({s.seam for s in straps}) == 3
    curves = [STYLES[n] for n in ("generated", "captured", "required", "pinned curve")]
    assert len({(c.width, c.dash) for c in curves}) == 4


def test_pictures_beside_each_other_keep_their_own_words() -> None:
    """Both are drawn, each described once, under names of its own; as text the words follow each other."""
    pictures = notation_scene(), notation_scene()
    shown = side_by_side(*pictures)._repr_mimebundle_()
    named = re.findall(r'<desc id="([^"]+)"', shown["text/html"])
    assert len(named) == len(set(named)) == 2
    assert shown["text/plain"] == "\n".join(picture.words for picture in pictures)
