"""Controls as data: reading what was typed, one line for a setting."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from controlkit.labs.controls import Menu, Slider, Tick
from controlkit.labs.setting import checked, read_line, write_line
from controlkit.labs.turned import VIEWS, turned
from controlkit.units import InputError, deg, mm

RING = Slider("ring", "Ring below C7", "length", (mm(10), mm(200)), start=mm(60))
ARM = Slider("arm", "Arm flexion", "angle", (0.0, deg(90)), start=deg(30))
BAR = Slider("bar", "Crossbar", "ratio", (0.25, 0.9), start=0.55)
VIEW = Menu("view", "View", (("back", "back"), ("side", "side")), "back")
SHOW = Tick("show", "Show it")
ALL = (RING, ARM, BAR, VIEW, SHOW)
START = {control.key: control.start for control in ALL}


@pytest.mark.parametrize(
    ("text", "units", "value"),
    [
        ("60", "metric", 0.060),
        ("62,5", "metric", 0.0625),
        (" 62.5 mm ", "metric", 0.0625),
        ("3 in", "metric", 0.0762),
        ("3", "inch-pound", 0.0762),
        ("12 cm", "inch-pound", 0.12),
    ],
)
def test_reads_lengths(text: str, units: str, value: float) -> None:
    """A bare number has the unit beside the field; others are read as written."""
    assert RING.typed(text, units) == pytest.approx(value, abs=1e-9)


@pytest.mark.parametrize("text", ["", "  ", "many", "900", "-5", "12 kg", "nan", "inf", "1,234", "0x3c", "6 0", "=1+1"])
def test_refuses_with_a_sentence(text: str) -> None:
    """The sentence names the control, what is allowed, and shows no program."""
    with pytest.raises(InputError) as refused:
        RING.typed(text, "metric")
    said = str(refused.value)
    assert said.startswith("Ring below C7:")
    assert "10 mm to 200 mm" in said
    assert "Error" not in said
    assert "Traceback" not in said


def test_a_named_value_is_given_by_its_name() -> None:
    """A line holds the name; in between it holds the number, and a name that there is not is refused."""
    view = turned("side")
    assert [view.to_line(at) for _, at in VIEWS] == [name for name, _ in VIEWS]
    assert [view.from_line(name) for name, _ in VIEWS] == [at for _, at in VIEWS]
    assert view.from_line(view.to_line(deg(35.0))) == pytest.approx(deg(35.0), abs=1e-9)
    with pytest.raises(InputError, match=r"Second view.*0° to 360°, back, side, front, sound side"):
        view.from_line("top")


@settings(max_examples=100)
@given(
    ring=st.floats(mm(10), mm(200)),
    arm=st.floats(0.0, deg(90)),
    bar=st.floats(0.25, 0.9),
    view=st.sampled_from(["back", "side"]),
    show=st.booleans(),
)
def test_one_line_gives_the_setting_back(ring: float, arm: float, bar: float, view: str, show: bool) -> None:
    """Write, read, write: the same line; and values to a tenth of a micrometre."""
    values = checked(ALL, {"ring": ring, "arm": arm, "bar": bar, "view": view, "show": show}, "metric")
    line = write_line(ALL, values)
    again = read_line(ALL, line, START)
    assert write_line(ALL, again) == line
    for key in ("ring", "arm", "bar"):
        assert again[key] == pytest.approx(values[key], abs=2e-6)


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("", "empty"),
        ("ring", "no entry"),
        ("rong = 3 mm", "no entry"),
        ("ring = 3 m", "3000 mm was given"),
        ("view = top", "back, side"),
        ("show = perhaps", "yes or no"),
        ("ring = 60 mm; arm = 40 kg", "angle"),
    ],
)
def test_line_refused_changes_nothing(line: str, said: str) -> None:
    """A line that cannot be read is refused whole."""
    with pytest.raises(InputError, match=said):
        read_line(ALL, line, START)


def test_setting_from_the_page_is_checked() -> None:
    """Whatever a page sends, values have the right type and lie in their range."""
    assert dict(checked(ALL, {}, "metric")) == {**START, "arm": pytest.approx(deg(30))}
    for bad in ({"ring": "60"}, {"ring": float("nan")}, {"ring": True}, {"ring": 9.0}, {"view": "top"}):
        with pytest.raises(InputError):
            checked(ALL, bad, "metric")


def test_scales_stay_inside_the_range() -> None:
    """In either unit system the slider's ends lie in the range and on its grid."""
    for slider in (RING, ARM, BAR):
        for scale in slider.scales().values():
            assert slider.low - 1e-9 <= scale["low"] * scale["factor"]
            assert scale["high"] * scale["factor"] <= slider.high + 1e-9
            steps = (scale["high"] - scale["low"]) / scale["step"]
            assert steps == pytest.approx(round(steps), abs=1e-6)


def test_plain_numbers_forces_and_counts() -> None:
    """A coefficient has no unit, a force either, a count no parts; each comes back from its line."""
    friction = Slider("friction", "Friction", "coefficient", (0.0, 0.6), start=0.08)
    pull = Slider("pull", "Pull", "force", (0.0, 120.0), start=50.0)
    bands = Slider("bands", "Bands", "count", (1.0, 10.0), start=3.0)
    assert friction.typed("0,075", "metric") == pytest.approx(0.075)
    assert pull.typed("10 lbf", "metric") == pytest.approx(44.482, abs=1e-3)
    assert pull.typed("10", "inch-pound") == pytest.approx(44.482, abs=1e-3)
    assert bands.typed("4", "inch-pound") == 4.0
    with pytest.raises(InputError, match="whole number"):
        bands.typed("3.5", "metric")
    with pytest.raises(InputError, match=r"from 0 to 0\.6"):
        friction.typed("0.7", "metric")
    controls = (friction, pull, bands)
    line = write_line(controls, {"friction": 0.08, "pull": 50.0, "bands": 3.0})
    assert line == "friction = 0.08; pull = 50 N; bands = 3"
    assert read_line(controls, line, {}) == {"friction": 0.08, "pull": 50.0, "bands": 3.0}


def test_a_slider_can_move_in_smaller_steps() -> None:
    """Where a few millimetres decide."""
    spare = Slider("spare", "Spare", "length", (mm(-10), mm(60)), start=mm(3), fine=0.2)
    assert spare.scales()["metric"]["step"] == pytest.approx(1.0)
    assert spare.scales()["inch-pound"]["step"] == pytest.approx(0.05)
