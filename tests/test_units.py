"""Quantities: made from other units, read from what a person wrote, shown to a person."""

from __future__ import annotations

import contextlib
import fractions
import math
import re
import subprocess
import sys
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from controlkit import units
from controlkit.units import InputError, cm, deg, inch, kg, kgf, lbf, mm, newton, pound, read, show

KINDS = {
    "length": ("m", ["mm", "cm", "m", "in", "ft"]),
    "force": ("N", ["N", "kN", "lbf", "kgf"]),
    "angle": ("rad", ["deg", "rad"]),
    "mass": ("kg", ["kg", "g", "lb", "oz"]),
    "pressure": ("Pa", ["Pa", "kPa", "MPa", "psi", "mmHg"]),
    "line load": ("N/m", ["N/m", "N/mm", "N/cm", "lbf/in"]),
    "ratio": ("1", ["%", ""]),
    "moment": ("N m", ["N m", "N mm", "lbf in", "lbf ft"]),
}
sizes = st.floats(min_value=-1e6, max_value=1e6, allow_nan=False)
PYTHON_WORDS = re.compile(r"\b(float|str|int|bool|tuple|list|NaN|None|True|False|Traceback|\w*Error|object|type)\b")


def message(given: object, kind: str = "force", unit: str | None = None) -> str:
    """Return what `read` says when it refuses."""
    with pytest.raises(InputError) as caught:
        read(given, kind, unit=unit)
    return str(caught.value)


@pytest.mark.parametrize(
    ("made", "expected"),
    [
        (deg(180), math.pi),
        (mm(25), 0.025),
        (cm(2.5), 0.025),
        (inch(1), 0.0254),
        (newton(3), 3.0),
        (lbf(1), 4.4482216152605),
        (kgf(1), 9.80665),
        (kg(2), 2.0),
        (pound(1), 0.45359237),
    ],
)
def test_makers_give_si(made: float, expected: float) -> None:
    assert isinstance(made, float)
    assert made == pytest.approx(expected, rel=1e-15)


def test_makers_take_arrays() -> None:
    assert np.allclose(deg(np.array([0.0, 90.0])), [0.0, math.pi / 2])
    assert np.allclose(mm(np.arange(3)), [0.0, 0.001, 0.002])


@pytest.mark.parametrize("bad", ["25", None, True, math.nan, math.inf, [1, 2], (12, 5), 1j, np.array(["a"])])
@pytest.mark.parametrize("maker", [deg, mm, cm, inch, newton, lbf, kgf, kg, pound])
def test_makers_refuse_what_is_not_a_number(maker: Callable[[object], object], bad: object) -> None:
    with pytest.raises(InputError, match=maker.__name__):
        maker(bad)


@settings(max_examples=100)
@given(size=sizes, data=st.data())
def test_what_is_written_is_read_in_every_unit(size: float, data: st.DataObject) -> None:
    kind = data.draw(st.sampled_from(sorted(KINDS)))
    unit = data.draw(st.sampled_from(KINDS[kind][1]))
    text = read(f"{size!r} {unit}", kind)
    assert text == pytest.approx(read(size, kind, unit=unit), rel=1e-12, abs=1e-300)
    assert text == pytest.approx(size * units.factor(unit, kind), rel=1e-12, abs=1e-300)


@settings(max_examples=100)
@given(size=st.floats(min_value=-1e4, max_value=1e4, allow_nan=False), data=st.data())
def test_what_is_shown_is_read_back_within_its_digits(size: float, data: st.DataObject) -> None:
    kind = data.draw(st.sampled_from(sorted(KINDS)))
    system = data.draw(st.sampled_from(["metric", "inch-pound"]))
    text = show(size, kind, system, digits=6)
    unit = text.lstrip("-0123456789.").strip()
    decimals = len(text.removesuffix(unit).strip().partition(".")[2])
    step = units.factor(unit, kind) * 0.5 * 10.0**-decimals
    assert abs(read(text, kind) - size) <= step * (1 + 1e-9) + abs(size) * 1e-12


@settings(max_examples=100)
@given(st.integers(1, 999), st.integers(0, 99))
def test_decimal_comma_and_point_mean_the_same(whole: int, part: int) -> None:
    assert read(f"{whole},{part:02d} N", "force") == read(f"{whole}.{part:02d} N", "force")


@settings(max_examples=100)
@given(st.integers(1, 999), st.integers(0, 999))
def test_one_comma_before_three_digits_is_asked_back(whole: int, part: int) -> None:
    said = message(f"{whole},{part:03d} N")
    assert "two ways" in said
    assert f"{whole}.{part:03d}" in said
    assert f"{whole}{part:03d}" in said


@settings(max_examples=100)
@given(st.one_of(st.text(max_size=80), st.from_regex(r"[0-9.,/ e+-]{1,12}[A-Za-z°/^2 *]{0,12}", fullmatch=True)))
def test_no_text_breaks_the_reader(text: str) -> None:
    for kind in KINDS:
        with contextlib.suppress(InputError):  # any other error fails the test
            assert math.isfinite(read(text, kind))


@pytest.mark.parametrize(
    ("text", "kind", "expected"),
    [
        ("12.5 lbf", "force", lbf(12.5)),
        ("12,5 N", "force", 12.5),
        ("12.5N", "force", 12.5),
        (" 12 newtons. ", "force", 12.0),
        ("12 lb", "force", lbf(12)),
        ("12 LBS", "mass", pound(12)),
        ("−5 mm", "length", -0.005),
        ("1.2e3 N", "force", 1200.0),
        ("0,125 m", "length", 0.125),
        ("1,234.5 mm", "length", 1.2345),
        ("1.234,5 mm", "length", 1.2345),
        ("1,234,567 N", "force", 1234567.0),
        ("1 234 N", "force", 1234.0),
        ("1/2 in", "length", inch(0.5)),
        ("1½ in", "length", inch(1.5)),
        ('1 1/2"', "length", inch(1.5)),
        ("5 ft 11 in", "length", inch(71)),
        ("8 min 31 s", "time", 511.0),
        ("1 h 5min", "time", 3900.0),
        ("2 hours, 10 minutes and 5.5 seconds", "time", 7805.5),
        ("545.25 s", "time", 545.25),
        ("5'11\"", "length", inch(71)),
        ("5′ 11″", "length", inch(71)),
        ("-5 ft 6 in", "length", inch(-66)),
        ("5 ft", "length", inch(60)),
        ("12 MM", "length", 0.012),
        ("60°", "angle", deg(60)),
        ("60 degrees", "angle", deg(60)),
        ("1.05 rad", "angle", 1.05),
        ("80 %", "ratio", 0.8),
        ("0.8", "ratio", 0.8),
        ("12 N·m", "moment", 12.0),
        ("12 in-lb", "moment", lbf(12) * 0.0254),
        ("3 newtons per metre", "line load", 3.0),
        ("2 lb/in", "line load", lbf(2) / 0.0254),
        ("5 psi", "pressure", lbf(5) / 0.0254**2),
        ("5 kN/m²", "pressure", 5000.0),
        ("3 mPa", "pressure", 0.003),
    ],
)
def test_the_ways_people_write(text: str, kind: str, expected: float) -> None:
    assert read(text, kind) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize("number", [3, 3.0, np.float64(3), np.int32(3), np.array(3.0), fractions.Fraction(3)])
def test_a_bare_number_takes_the_stated_unit(number: object) -> None:
    assert read(number, "length", unit="mm") == pytest.approx(0.003, rel=1e-15)
    assert read(number, "length", unit="m") == 3.0
    assert read("3", "angle", unit="deg") == deg(3)
    assert read("3 rad", "angle", unit="deg") == 3.0


@pytest.mark.parametrize(
    ("given", "kind", "words"),
    [
        ("", "force", ["No answer yet", "N, kN, lbf or kgf"]),
        ("   ", "force", ["No answer yet"]),
        (None, "force", ["No answer yet"]),
        ("...", "length", ["dots", "mm"]),
        ("…", "length", ["dots"]),
        (..., "length", ["three dots"]),
        ("twelve", "force", ["no number", "digits"]),
        ("nan", "force", ["not a size", "division by zero"]),
        (math.nan, "force", ["not a size", "division by zero"]),
        (math.inf, "force", ["not a size"]),
        (10**400, "force", ["not a size"]),
        (fractions.Fraction(10**5000), "force", ["not a size", "thousands of digits"]),
        ("1e999 N", "force", ["not a size"]),
        (1 + 2j, "force", ["imaginary part"]),
        (np.complex128(1), "force", ["imaginary part"]),
        ([1.0], "force", ["several values"]),
        ((1, 2, 3), "force", ["several values"]),
        (np.array([1.0]), "force", ["several values"]),
        ({}, "force", ["several values"]),
        (True, "force", ["yes or no"]),
        (np.bool_(False), "force", ["yes or no"]),
        ((12, 5), "force", ["two numbers, 12 and 5", "12.5"]),
        (math.sqrt, "force", ["name of a calculation", "brackets"]),
        (b"12", "force", ["not a number"]),
        ("12,5,1 N", "force", ["points and commas"]),
        ("8 min 75 s", "time", ["60 and more", "8 min 30 s"]),
        ("8.5 min 31 s", "time", ["a part of a minute"]),
        ("31 s 8 min", "time", ["not a unit known here"]),
        ("5-7 N", "force", ["more than one number"]),
        ("5 ± 1 N", "force", ["more than one number"]),
        ("N 12", "force", ["number first"]),
        ("1/0 in", "length", ["divides by zero"]),
        ("12 nweton", "force", ["Did you mean N?"]),
        ("12 milimetres", "length", ["Did you mean mm?"]),
        ("12 kg", "force", ["kilogram measures a mass", "a force is asked for", "write kgf"]),
        ("12 lbm", "force", ["pound measures a mass", "pound-force (lbf)"]),
        ("12 lbf", "mass", ["pound-force measures a force", "write lb"]),
        ("12 mm", "force", ["millimetre measures a length"]),
        ("60 mm", "angle", ["millimetre measures a length", "an angle is asked for"]),
        ("12 s", "length", ["measures a time"]),
        ("5 J", "moment", ["a work"]),
        ("0.8 deg", "ratio", ["degree measures an angle"]),
        ("80 %", "force", ["Percent measures a ratio"]),
        ("5 N**9**9**9", "force", ["not a unit known here"]),
        ("5 " + "N" * 1000, "force", ["too long"]),
        ("5 <b>N</b>", "force", ["not a unit known here"]),
        ("12", "force", ["has no unit", "N, kN, lbf or kgf"]),
        (12, "force", ["has no unit"]),
    ],
)
def test_what_is_refused_says_what_to_do(given: object, kind: str, words: list[str]) -> None:
    unit = "N" if kind == "force" and not isinstance(given, (str, int)) else None
    said = message(given, kind, unit)
    for word in words:
        assert word in said
    assert not PYTHON_WORDS.search(said)
    assert len(said) < 300


@pytest.mark.parametrize("kind", ["speed", "", None, 3])
def test_an_unknown_kind_lists_the_known_ones(kind: str) -> None:
    with pytest.raises(InputError, match="length, force, angle"):
        read("1 m", kind)


def test_a_stated_unit_that_does_not_fit_is_refused() -> None:
    assert "not a unit for a force" in message(3, "force", unit="mm")


@pytest.mark.parametrize(
    ("value", "kind", "expected"),
    [
        (0.1016, "length", "101.6 mm (4.00 in)"),
        (lbf(12), "force", "53.4 N (12.0 lbf)"),
        (deg(60), "angle", "60.0°"),
        (70.0, "mass", "70.0 kg (154.3 lb)"),
        (3000.0, "pressure", "3.0 kPa (0.44 psi)"),
        (1200.0, "line load", "1.20 N/mm (6.9 lbf/in)"),
        (0.79012, "ratio", "0.790"),
        (5.4, "moment", "5.40 N m (47.8 lbf in)"),
        (-1e-9, "length", "0.0 mm (0.00 in)"),
        (math.nan, "length", "no value"),
    ],
)
def test_shown_in_both_systems(value: float, kind: str, expected: str) -> None:
    assert show(value, kind) == expected


def test_shown_in_one_system_and_with_other_digits() -> None:
    assert show(1.7, "length", "metric", digits=0) == "1700 mm"
    assert show(1.7, "length", "inch-pound", digits=0) == "66.9 in"
    with pytest.raises(InputError, match="unit system"):
        show(1.0, "length", "imperial")  # type: ignore[arg-type]
    with pytest.raises(InputError, match="whole number"):
        show(1.0, "length", digits=-1)
    with pytest.raises(InputError, match="Only a number"):
        show("1", "length")  # type: ignore[arg-type]


def test_a_notebook_shows_the_sentence_and_no_traceback(capsys: pytest.CaptureFixture[str]) -> None:
    from IPython.core.interactiveshell import InteractiveShell

    shell = InteractiveShell()
    shell.run_cell("from controlkit.units import read\nread('12 kg', 'force')", store_history=False)
    shown = capsys.readouterr()
    text = shown.out + shown.err
    assert "A kilogram measures a mass" in text
    assert "Traceback" not in text
    assert "line 2" not in text


def test_the_library_of_units_is_loaded_only_when_needed() -> None:
    code = (
        "import sys, controlkit.units as u; u.read('12 lbf', 'force'); u.show(1.0, 'length');"
        "assert 'pint' not in sys.modules; u.read('3 kip', 'force'); assert 'pint' in sys.modules"
    )
    subprocess.run([sys.executable, "-c", code], check=True)
