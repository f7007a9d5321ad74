"""Readings as people type and paste them: every cell that can be read is read, every other gets a sentence."""

from __future__ import annotations

import math
from html.parser import HTMLParser
from pathlib import Path

import numpy as np
import pytest

from controlkit.benchtable.findings import beside, cable_beside, friction_of, stiffness_of
from controlkit.benchtable.readings import BenchReadings, read_bench
from controlkit.mechanics import ControlCable
from controlkit.units import InputError, deg, lbf, mm

TABLE = [
    ("elbow [deg]", "harness [lb]", "device [N]"),
    ("0", "10.5", "40"),
    ("90", "12,5", "41,5"),
    ("135", "14", "40"),
]
WANTED = {
    "elbow": [0.0, deg(90), deg(135)],
    "harness": [lbf(10.5), lbf(12.5), lbf(14)],
    "device": [40.0, 41.5, 40.0],
}
MARKED = {
    "semicolons": "\n".join("; ".join(row) for row in TABLE),
    "tabs": "\n".join("\t".join(row) for row in TABLE),
    "bars": "\n".join(" | ".join(row) for row in TABLE),
    "wide gaps": "\n".join("   ".join(row) for row in TABLE),
    "markdown": "\n".join(["| " + " | ".join(row) + " |" for row in TABLE[:1]] + ["|:---|---:|:-:|"])
    + "\n"
    + "\n".join("| " + " | ".join(row) + " |" for row in TABLE[1:]),
    "a title above": "Bench of 3 May\n\n" + "\n".join("; ".join(row) for row in TABLE),
    "empty lines": "\n\n" + "\n\n".join("; ".join(row) for row in TABLE) + "\n\n",
    "Windows line ends": "\r\n".join("\t".join(row) for row in TABLE) + "\r\n",
    "quoted cells": "\n".join("\t".join(f'"{cell}"' for cell in row) for row in TABLE),
    "units below": "elbow\tharness\tdevice\ndeg\tlb\t[N]\n" + "\n".join("\t".join(row) for row in TABLE[1:]),
    "units behind": "elbow; harness; device\n0°; 10.5 lbf; 40 N\n90 deg; 12,5 lb; 41.5N\n135°; 14 lbs; 40 N",
    "units in round brackets": "elbow (deg); harness (lbf); device (N)\n0; 10.5; 40\n90; 12.5; 41.5\n135; 14; 40",
    "units after a comma": "elbow, deg; harness, LB; device in N\n0; 10.5; 40\n90; 12.5; 41.5\n135; 14; 40",
    "other units": "elbow [rad]; harness [kgf]; device [kN]\n"
    + "\n".join(
        f"{e!r}; {h / 9.80665!r}; {d / 1000!r}"
        for e, h, d in zip(WANTED["elbow"], WANTED["harness"], WANTED["device"], strict=True)
    ),
}


def values(bench: BenchReadings, name: str) -> list[float]:
    return list(bench.column(name).values)


@pytest.mark.parametrize("way", MARKED)
def test_one_table_written_in_many_ways_is_one_table(way: str) -> None:
    bench = read_bench(MARKED[way])
    assert not bench.troubles
    for name, wanted in WANTED.items():
        assert values(bench, name) == pytest.approx(wanted), name


def test_cells_may_come_as_cells() -> None:
    bench = read_bench([["elbow [deg]", "harness [lb]"], [0, 10.5], [np.float64(90), np.int64(12)], [None, math.nan]])
    assert not bench.troubles
    assert values(bench, "harness")[:2] == pytest.approx([lbf(10.5), lbf(12)])
    assert len(bench) == 2  # an empty row is no reading


def test_a_block_without_heading_takes_one() -> None:
    bench = read_bench("90\t40\n180\t44", heading="bend [deg]; device [N]")
    assert values(bench, "bend") == pytest.approx([deg(90), deg(180)])


@pytest.mark.parametrize("blank", ["", "   ", "-", "–", "—", "--", "___", "...", "…", "n/a", "NA"])
def test_blank_and_dashed_cells_are_left_out_without_a_word(blank: str) -> None:
    bench = read_bench(f"bend [deg]; device [N]\n90; {blank}\n180; 44")
    assert not bench.troubles
    assert math.isnan(values(bench, "device")[0])
    assert values(bench, "device")[1] == 44.0


@pytest.mark.parametrize(
    ("cell", "words"),
    [
        ("1,234", "two ways: 1.234 or 1234"),
        ("1.2.3", "do not make one number"),
        ("44 kg", "mass"),
        ("44 mm", "a force is asked for"),
        ("44 pnd", "not a unit known here"),
        ("40 to 44", "more than one number"),
        ("x4", "number"),
        ("-44", "a scale reads how hard it pulls"),
        ("1e999", "not a size that can be measured"),
        ("4" * 900, "too long"),
    ],
)
def test_one_bad_cell_is_listed_and_costs_nothing_else(cell: str, words: str) -> None:
    bench = read_bench(f"bend [deg]; device [N]\n90; 40\n135; {cell}\n180; 44")
    (trouble,) = bench.troubles
    assert (trouble.row, trouble.column) == (2, "device")
    assert words in trouble.words
    assert trouble.words.startswith("Row 2, device: ")
    assert "Error" not in trouble.words
    assert values(bench, "bend") == pytest.approx([deg(90), deg(135), deg(180)])
    assert [values(bench, "device")[k] for k in (0, 2)] == [40.0, 44.0]
    assert trouble.words in repr(bench)


@pytest.mark.parametrize("cell", [True, (12, 5), 1j, [44, 45], math.inf, print])
def test_cells_that_are_no_reading_get_a_sentence(cell: object) -> None:
    bench = read_bench([["bend [deg]", "device [N]"], [90, 40], [180, cell]])
    assert [trouble.row for trouble in bench.troubles] in ([2], [])
    assert values(bench, "device")[0] == 40.0
    assert math.isnan(values(bench, "device")[1])


def test_a_row_with_too_many_entries_is_left_out_alone() -> None:
    bench = read_bench("bend [deg]; device [N]\n90; 40\n135; 41; 42\n180; 44")
    assert "Row 2: it has 3 entries and the heading 2" in bench.troubles[0].words
    assert values(bench, "device")[2] == 44.0


def test_numbers_without_any_unit_are_asked_about_once_a_column() -> None:
    bench = read_bench("bend [deg]; device\n90; 40\n180; 44")
    (trouble,) = bench.troubles
    assert trouble.words == "Column device: its numbers have no unit. Write it in the heading, as in “device [N]”."
    one = read_bench("bend [deg]; device\n90; 40 N\n180; 44")
    assert [trouble.row for trouble in one.troubles] == [2]


@pytest.mark.parametrize(("heading", "words"), [("harness [kg]", "write kgf"), ("harness [pnd]", "Write N, lb or kgf")])
def test_a_unit_in_the_heading_that_does_not_fit_is_said(heading: str, words: str) -> None:
    bench = read_bench(f"bend [deg]; {heading}\n90; 40")
    assert words in bench.troubles[0].words
    assert values(bench, "bend") == pytest.approx([deg(90)])


def test_a_cell_in_another_unit_than_its_heading_is_read_and_noted() -> None:
    bench = read_bench("bend [deg]; device [N]\n90; 9 lb\n180; 44 N\n270; 2 1/4 lbf")
    assert values(bench, "device") == pytest.approx([lbf(9), 44.0, lbf(2.25)])
    assert [note.split(",")[0] for note in bench.notes] == ["Row 1", "Row 3"]
    assert "“9 lb” was read in its own unit, as 40.0 N (9.0 lbf), not in the N of the heading" in bench.notes[0]


@pytest.mark.parametrize(
    ("table", "words"),
    [
        ("", "There is no table"),
        ("   \n ;; \n", "There is no table"),
        ("bend [deg]; device [N]", "no reading below it"),
        ("90; 40\n180; 44", "holds no names"),
        ("bend,device\n90,40", "Only commas stand between"),
        (7, "Give a text"),
        (None, "Give a text"),
        ("x" * 300_000, "too long"),
        ("bend [deg]; device [N]\n" + "90; 40\n" * 1001, "at most 1000"),
    ],
)
def test_no_table_gets_a_sentence(table: object, words: str) -> None:
    with pytest.raises(InputError, match=words):
        read_bench(table)  # type: ignore[arg-type]


def test_columns_are_found_by_name_or_by_a_word_of_it() -> None:
    bench = read_bench("elbow [deg]; harness out [N]; harness back [N]\n90; 50; 30")
    assert bench.column("back").values == (30.0,)
    with pytest.raises(InputError, match="more than one column"):
        bench.column("harness")
    with pytest.raises(InputError, match=r'no column "device".*"elbow", "harness out", "harness back"'):
        bench.column("device")


def test_a_table_shows_both_unit_systems_and_escapes() -> None:
    bench = read_bench("<b>; device [N]\nfirst; 44,5")
    assert "44.5 N (10.0 lbf)" in repr(bench)
    assert "&lt;b&gt;" in bench._repr_html_()
    assert "<b>" not in bench._repr_html_()


# --- The bench sheet of lesson 3 -------------------------------------------------------------


class Sheet(HTMLParser):
    """Tables of a bench sheet as lists of cells."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tables: list[list[list[str]]] = []
        self._inside = False
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: object) -> None:
        if tag == "table":
            self.tables.append([])
        elif tag == "tr":
            self.tables[-1].append([])
        elif tag in ("th", "td"):
            self.tables[-1][-1].append("")
        self._inside = tag in ("th", "td")

    def handle_endtag(self, tag: str) -> None:
        self._inside = False

    def handle_data(self, data: str) -> None:
        if self._inside:
            self.tables[-1][-1][-1] += data


def as_pasted(rows: list[list[str]]) -> str:
    return "\n".join("\t".join(row) for row in rows)


def as_markdown(rows: list[list[str]]) -> str:
    lines = ["| " + " | ".join(row) + " |" for row in rows]
    return "\n".join([lines[0], "|" + "---|" * len(rows[0]), *lines[1:]])


@pytest.mark.parametrize("write", [as_pasted, as_markdown])
def test_the_bench_sheet_of_the_harness_is_read(root: Path, write: object) -> None:
    held, free = Sheet((root / "course/bench-sheets/03-figure-of-eight.html").read_text(encoding="utf-8")).tables
    empty = read_bench(write(held))  # type: ignore[operator]
    assert not empty.troubles
    assert values(empty, "ring below C7") == pytest.approx([mm(25), mm(40), mm(60)])
    assert len(empty.columns) == 7

    for row, way in zip(held[1:], (210, 230, 250), strict=True):
        ways = [f"{way} mm", f"{way / 10 + 3.1:.1f} cm".replace(".", ","), f"{(way + 65) / 25.4:.3f} in"]
        row[1:] = ["128 mm", *ways, "-", "-"]
    bench = read_bench(write(held))  # type: ignore[operator]
    assert not bench.troubles
    assert values(bench, "path 30°") == pytest.approx([mm(241), mm(261), mm(281)])
    assert values(bench, "path 60°") == pytest.approx([mm(275), mm(295), mm(315)], abs=mm(0.02))
    assert all(math.isnan(value) for value in values(bench, "r 30° to 60°"))

    for row in free[1:]:
        row[1:] = ["12 mm", "48 mm", "65 mm", "17 mm"]
    other = read_bench(write(free))  # type: ignore[operator]
    assert not other.troubles
    assert values(other, "generated") == pytest.approx([mm(65)] * 3)
    lost = beside(other, "lost", np.array(values(other, "generated")) - np.array(values(other, "cable travel")[:]))
    assert lost.result.inside.all()


# --- What the readings say --------------------------------------------------------------------


class Route:
    """A cable whose housing makes 60 degrees of bend, and what the elbow adds."""

    friction = 0.08

    def bend(self, elbow_flexion: float) -> float:
        return deg(60) + elbow_flexion


def readings(mu: float, *, drag: float = 1.0, odd: int = -1, seed: int = 3) -> str:
    """A table of both strokes, in pounds-force with decimal commas, with the noise of a scale."""
    rng = np.random.default_rng(seed)
    lines = ["elbow [deg]; device [N]; harness out [lb]; harness back [lb]"]
    for row, elbow in enumerate((0, 30, 60, 90, 120, 135)):
        bend = deg(60) + deg(elbow)
        device, out, back = 45 + rng.normal(0, 0.5, 3) + [0, 45 * (drag * np.exp(mu * bend) - 1), 45 * (
            np.exp(-mu * bend) / drag - 1)]  # fmt: skip
        out += 25.0 if row == odd else 0.0
        lines.append(f"{elbow}; {device:.1f}; {out / lbf(1):.2f}; {back / lbf(1):.2f}".replace(".", ","))
    return "\n".join(lines)


def test_friction_comes_back_from_both_strokes() -> None:
    found = friction_of(read_bench(readings(0.13)), Route())
    assert found.result.low <= 0.13 <= found.result.high
    assert found.rows == (1, 2, 3, 4, 5, 6) * 2
    assert "12 readings (6 pulling, 6 letting back)" in repr(found)
    assert "does not belong" not in found.words


def test_a_stranger_is_named_by_its_row_and_the_fit_told_with_and_without() -> None:
    found = friction_of(read_bench(readings(0.13, odd=3)), Route())
    assert "Row 4 does not belong with the others" in found.words
    assert found.result.without is not None
    assert f"Without it: {found.result.without.value:.3f}" in found.words
    assert found.result.without.low <= 0.13 <= found.result.without.high


def test_a_column_of_strokes_tells_out_from_back() -> None:
    lines = ["bend [deg]; stroke; device [N]; harness [N]"]
    for bend in (60, 120, 180):
        lines += [f"{bend}; out; 45; {45 * np.exp(0.1 * deg(bend)):.2f}"]
        lines += [f"{bend}; letting back; 45; {45 * np.exp(-0.1 * deg(bend)):.2f}"]
    found = friction_of(read_bench("\n".join(lines)))
    assert found.result.value == pytest.approx(0.1, abs=0.0005)
    assert "3 pulling, 3 letting back" in found.words


def test_swapped_columns_are_asked_about_in_words() -> None:
    with pytest.raises(InputError, match="swapped"):
        friction_of(read_bench("bend [deg]; harness [N]; device [N]\n90; 40; 46\n180; 40; 53\n270; 40; 61"))


def test_rows_with_a_gap_do_not_count_and_are_named() -> None:
    table = "bend [deg]; device [N]; harness [N]\n90; 40; 46\n120; -; 50\n180; 40; 53\n270; 4x; 61\n270; 40; 61"
    found = friction_of(read_bench(table))
    assert found.rows == (1, 3, 5)
    assert "Rows 2, 4: an entry is missing" in found.words


def test_the_elbow_is_not_the_bend() -> None:
    bench = read_bench(readings(0.13))
    with pytest.raises(InputError, match="Friction needs the total bend"):
        friction_of(bench)
    with pytest.raises(InputError, match="needs a column “device” with a force"):
        friction_of(read_bench("bend [deg]; harness [N]\n90; 40\n180; 41\n270; 42"))
    with pytest.raises(InputError, match="Column device: its numbers have no unit"):
        friction_of(read_bench("bend [deg]; harness [N]; device\n90; 40; 36\n180; 41; 35\n270; 42; 33"))
    with pytest.raises(InputError, match="no angles"):
        friction_of(read_bench("device [N]; harness [N]\n40; 44\n41; 45\n42; 46"))


def test_readings_of_the_model_itself_are_explained() -> None:
    found = cable_beside(read_bench(readings(0.08)), Route())
    assert found.result.inside.all()
    assert "The model explains all 12 readings within what the scale can be off" in found.words
    assert "which is within" in found.words


@pytest.mark.parametrize(("mu", "more"), [(0.2, "more"), (0.01, "less")])
def test_another_friction_than_the_models_is_said(mu: float, more: str) -> None:
    found = cable_beside(read_bench(readings(mu)), Route())
    assert f"The real cable takes {more} than the model" in found.words
    assert f"rubs {more}, or bends {more}" in found.words
    assert "Most in row 6, at 195° of bend" in found.words


def test_the_bends_of_a_real_route_serve() -> None:
    """The housing's own route gives the bend at each angle of the elbow; it is not the elbow's angle."""
    cable = ControlCable(friction=0.08)
    angles = (0, 45, 90, 120, 135)
    pulls = [45 * np.exp(0.15 * cable.bend(deg(angle))) for angle in angles]
    lines = [f"{angle}; 45; {pull:.1f}" for angle, pull in zip(angles, pulls, strict=True)]
    bench = read_bench("\n".join(["elbow [deg]; device [N]; harness [N]", *lines]))
    assert friction_of(bench, cable).result.value == pytest.approx(0.15, abs=0.001)
    assert "the real cable rubs more" in cable_beside(bench, cable).words


def test_a_drag_that_no_bend_makes_is_told_from_friction() -> None:
    found = cable_beside(read_bench(readings(0.08, drag=1.3)), Route())
    assert "misses the origin" in found.words
    assert "pounds" not in found.words


def test_stiffness_of_a_strap_in_inches_and_pounds() -> None:
    lines = ["pull [lb]; travel [in]"]
    rng = np.random.default_rng(5)
    pulls = (5, 10, 15, 20, 25, 30)
    lines += [f"{pull}; {(0.012 + lbf(pull) / 6000 + rng.normal(0, 0.0005)) / 0.0254:.3f}" for pull in pulls]
    found = stiffness_of(read_bench("\n".join(lines)))
    assert found.result.low <= 6000 <= found.result.high
    assert found.words.startswith("Stiffness ")
    assert "N/mm" in found.words
    with pytest.raises(InputError, match="More than one column holds a force"):
        stiffness_of(read_bench("pull [N]; device [N]; travel [mm]\n5; 4; 1\n6; 5; 2\n7; 6; 3"))


def test_any_column_can_stand_beside_a_model() -> None:
    bench = read_bench("arm [deg]; travel [mm]\n0; 0\n30; 24\n60; -\n90; 80")
    found = beside(bench, "travel", [0.0, 0.025, 0.05, 0.095], along="arm")
    assert found.rows == (1, 2, 4)
    assert found.result.inside.tolist() == [True, True, False]
    assert "differ from the model by more than the tape can be off (about 2 mm): row 4" in found.words
    assert "read less than computed" in found.words
    for column, model, words in (
        ("arm", [0, 1, 2, 3], "holds no forces or lengths"),
        ("travel", [0, 1], "4 rows and the model gives 2"),
        ("way", [0, 1, 2, 3], "no column"),
    ):
        with pytest.raises(InputError, match=words):
            beside(bench, column, model)
