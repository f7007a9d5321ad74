"""What the pattern lab asks: goals for three wearers, and predictions before a pattern is changed."""

from __future__ import annotations

from collections.abc import Callable

from controlkit.draw.words.patterns import PatternShown, cable_drawn_words
from controlkit.labs.asked import FORCE_ROUNDED, LENGTH_ROUNDED, MORE_OR_LESS, judged, limit, more_or_less, stands
from controlkit.labs.controls import Values
from controlkit.labs.page import Answer, Challenge, Prediction, Units, Verdict
from controlkit.mechanics.harness import Straps
from controlkit.mechanics.harness.layout import AXILLA_LOOP
from controlkit.mechanics.harness.outcomes import OPENS
from controlkit.units import deg, inch, mm, show

__all__ = ["PATTERN_CHALLENGES", "PATTERN_PREDICTIONS", "WEBBING", "pattern_answers", "pattern_verdicts"]

WEBBING: dict[str, tuple[str, float]] = {
    "half-inch": ("13 mm, ½ in", inch(0.5)),
    "inch": ("25 mm, 1 in", Straps().width),
    "inch-and-a-half": ("38 mm, 1½ in", inch(1.5)),
    "two-inch": ("51 mm, 2 in", inch(2.0)),
}
"""Widths of webbing by name in a setting: text on the page, and width [m]."""

_NEAR = 1e-6
_LIFTS, _SLIP, _BELOW, _LIFT_ARM = 220.0, mm(25.0), mm(50.0), deg(45.0)
_BAG, _BAG_SLIP, _BAG_ARM, _BAG_PRESS, _BAG_IN = 80.0, mm(15.0), deg(60.0), 1600.0, mm(-15.0)
_SOFT, _SOFT_ARM, _SOFT_BANDS, _SOFT_WIDE, _SOFT_LOAD = 21.5e3, deg(60.0), 3, inch(1.5), 50.0
_LINE_WRITTEN, _PRESSURE_WRITTEN = 5.0, 50.0  # line loads are judged in hundredths of N/mm, pressures in tenths of kPa
_ARM, _HANGS = deg(60.0), 50.0
_ALIKE = 0.1  # share by which a quantity may change and is still nearly the same [-]


def _free(units: Units) -> str:
    return (
        "For a wearer with a skin graft in the armpit, who lifts: nothing presses there. With the arm flexed by "
        f"{limit(_LIFT_ARM, 'angle', units)} at most the hook opens fully. Under {limit(_LIFTS, 'force', units)} or "
        f"more the socket slips by {limit(_SLIP, 'length', units)} at most. No strap crosses the chest in front less "
        f"than {limit(_BELOW, 'length', units)} below its fullest level."
    )


def _bag(units: Units) -> str:
    return (
        f"With a loop round the sound shoulder: {limit(_BAG, 'force', units)} or more hang at the device, the hook "
        f"stays shut, and the socket slips by {limit(_BAG_SLIP, 'length', units)} at most. The strap that carries it "
        f"is taken in by {limit(-_BAG_IN, 'length', units)} at most. With the arm flexed by "
        f"{limit(_BAG_ARM, 'angle', units)} at most the hook opens fully, and no more than "
        f"{show(_BAG_PRESS, 'line load', units)} press in the armpit, whether the pull does or the bag."
    )


def _soft(units: Units) -> str:
    return (
        f"With a loop round the sound shoulder and {_SOFT_BANDS} bands or more: the arm is flexed by "
        f"{limit(_SOFT_ARM, 'angle', units)} at most, and the hook opens fully. "
        f"{limit(_SOFT_LOAD, 'force', units)} or more hang at the device. The mean pressure in the armpit is "
        f"{show(_SOFT, 'pressure', units)} at most, whether the pull makes it or the load. "
        f"Straps are {limit(_SOFT_WIDE, 'length', units)} wide at most: a "
        "wider one folds there."
    )


PATTERN_CHALLENGES = (
    Challenge("Leave the armpit free", _free),
    Challenge("Carry the bag", _bag),
    Challenge("Press less", _soft),
)
"""Goals of the lab, in the order of `pattern_verdicts`."""

_ABOUT = (("half", "about half"), ("the same", "nearly the same"), ("double", "about double"))
PATTERN_PREDICTIONS = (
    Prediction(
        "nine",
        "All as at the start, arm flexion 60°. A figure-of-nine in place of the figure-of-eight: the strap in front is "
        "gone. Captured excursion:",
        MORE_OR_LESS,
    ),
    Prediction(
        "width",
        "All as at the start. The straps are 51 mm (2 in) wide in place of 25 mm (1 in). What the loop presses in the "
        "armpit, for each millimetre of its length:",
        _ABOUT,
    ),
    Prediction(
        "chest",
        "All as at the start. A strap at the diaphragm with a saddle in place of the figure-of-eight. Captured "
        "excursion:",
        MORE_OR_LESS,
    ),
    Prediction(
        "bag",
        "All as at the start, and 50 N (11 lbf) hang at the device, the arm down: a bag of 5 kg. Nobody pulls. Cable "
        "that is drawn at the device, against nothing hanging there:",
        MORE_OR_LESS,
    ),
)
"""Questions of the lab, in the order of `pattern_answers`."""

_SLACK = {"the same": "With the arm flexed the strap in front hangs slack: it carries, but it captures nothing."}
_LOW = {
    "more": "Its branch lies level with the armpits. Lower the ring of the figure-of-eight as far: it captures as much."
}
_TENSION = (
    "Width changes neither the pull nor the curve, so it hardly changes their ratio. What halves is the pressure."
)
_DRAGS = {
    "more": "The socket slips, and the crossbar with it: that draws the cable as a pull does, and the hook opens.",
    "the same": "The socket slips, but ring and loop follow it: the cable is not drawn so hard that the bands give.",
}


def pattern_verdicts(setting: Values, shown: PatternShown, units: Units) -> tuple[Verdict, ...]:
    """Judge the goals of the lab.

    Parameters
    ----------
    setting : mapping
        The setting [SI].
    shown : PatternShown
        What the pattern does.
    units : str
        "metric" or "inch-pound".

    Returns
    -------
    tuple of Verdict
        One a goal.
    """
    pull, held = shown.pull, shown.held
    flexed, wide = float(pull.pose.arm_flexion), shown.width
    full = pull.limited_by == "nothing", f"the hook opens {show(pull.opening, 'length', units)}, not fully"
    loop = shown.anchor == AXILLA_LOOP, "nothing goes round the sound shoulder"
    presses = f"{show(shown.worse, 'line load', units)} press in the armpit"
    slips = f"the socket slips {show(held.slip, 'length', units)}" if shown.carried else "the load is not carried"
    crosses = shown.below_fullest

    def arm(most: float) -> tuple[bool, str]:
        return flexed <= most + _NEAR, f"the arm is flexed {show(flexed, 'angle', units, 0)}"

    def hangs(least: float) -> tuple[bool, str]:
        return held.load >= least - FORCE_ROUNDED, f"only {show(held.load, 'force', units)} hang at the device"

    let_out = float(setting["support_strap"])
    return (
        judged(
            (shown.worse < 1.0, presses),
            full,
            arm(_LIFT_ARM),
            hangs(_LIFTS),
            (held.slip <= _SLIP + LENGTH_ROUNDED, slips),
            (
                crosses is None or crosses >= _BELOW - LENGTH_ROUNDED,
                "" if crosses is None else f"a strap lies {show(crosses, 'length', units)} below the fullest level",
            ),
        ),
        judged(
            loop,
            hangs(_BAG),
            (held.travel <= OPENS, cable_drawn_words(shown, units)),
            (held.slip <= _BAG_SLIP + LENGTH_ROUNDED, slips),
            (let_out >= _BAG_IN - LENGTH_ROUNDED, f"the strap is taken in by {show(-let_out, 'length', units)}"),
            full,
            arm(_BAG_ARM),
            (shown.worse <= _BAG_PRESS + _LINE_WRITTEN, presses),
        ),
        judged(
            loop,
            (round(float(setting["bands"])) >= _SOFT_BANDS, f"only {setting['bands']:g} bands hold the hook shut"),
            full,
            arm(_SOFT_ARM),
            hangs(_SOFT_LOAD),
            (
                shown.pressure <= _SOFT + _PRESSURE_WRITTEN,
                f"the mean pressure in the armpit is {show(shown.pressure, 'pressure', units)}",
            ),
            (wide <= _SOFT_WIDE + LENGTH_ROUNDED, f"the straps are {show(wide, 'length', units)} wide"),
        ),
    )


def pattern_answers(
    setting: Values, shown: PatternShown, at: Callable[[Values], PatternShown], units: Units
) -> tuple[Answer | None, ...]:
    """Answer the predictions, where a setting decides them.

    Parameters
    ----------
    setting : mapping
        The setting [SI].
    shown : PatternShown
        What the pattern does.
    at : callable
        Finds that of another setting.
    units : str
        "metric" or "inch-pound".

    Returns
    -------
    tuple of Answer or None
        One a question.
    """
    nine = width = chest = bag = None
    placed = stands(setting, lowered=0.0, support_strap=0.0, bands=3.0, arm_flexion=_ARM)
    usual = placed and stands(setting, webbing="inch")
    idle = stands(setting, load=0.0)
    if usual and idle and setting["pattern"] in ("nine", "diaphragm"):
        before = at({**setting, "pattern": "eight"})
        ways = before.pull.excursion.captured, shown.pull.excursion.captured
        said = "with the figure-of-eight", f"with the {shown.name}"
        if setting["pattern"] == "nine":
            nine = more_or_less("Captured", *ways, kind="length", units=units, said=said, why=_SLACK)
        else:
            chest = more_or_less("Captured", *ways, kind="length", units=units, said=said, why=_LOW)
    if placed and idle and setting["webbing"] == "two-inch" and setting["pattern"] == "eight":
        width = _changed(at({**setting, "webbing": "inch"}), shown, units)
    if usual and setting["pattern"] == "eight" and float(setting["load"]) >= _HANGS - FORCE_ROUNDED:
        ways = max(at({**setting, "load": 0.0}).held.travel, 0.0), max(shown.held.travel, 0.0)
        said = "with nothing hanging", "with the load"
        bag = more_or_less("Cable drawn", *ways, kind="length", units=units, said=said, why=_DRAGS)
    return nine, width, chest, bag


def _changed(before: PatternShown, after: PatternShown, units: Units) -> Answer:
    """What became of the line load in the armpit: about half, nearly the same, or about double."""
    share = after.armpit / before.armpit
    option = "the same" if abs(share - 1.0) <= _ALIKE else "half" if share < 1.0 else "double"
    line = [show(one.armpit, "line load", units) for one in (before, after)]
    mean = [show(one.armpit / one.width, "pressure", units) for one in (before, after)]
    words = f"Line load: {line[0]} before, {line[1]} after. Mean pressure: {mean[0]} before, {mean[1]} after."
    return Answer(option, words, _TENSION if option == "the same" else "")
