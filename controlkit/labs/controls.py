"""The controls of a lab as data, and the one line of text that stands for a setting."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from controlkit.labs.steps import Steps
from controlkit.units import InputError, factor, read

__all__ = ["Choice", "Control", "Slider", "Steps", "Tick", "Value", "Values", "read_line", "read_typed", "write_line"]

Value = float | str | bool
Values = Mapping[str, Value]

# kind: unit of the number, step of the slider there, decimals of the typed field
_SCALES: dict[str, dict[str, tuple[str, float, int]]] = {
    "length": {"metric": ("mm", 5.0, 0), "inch-pound": ("in", 0.25, 2)},
    "angle": {"metric": ("°", 5.0, 0), "inch-pound": ("°", 5.0, 0)},
    "ratio": {"metric": ("%", 5.0, 0), "inch-pound": ("%", 5.0, 0)},
    "force": {"metric": ("N", 5.0, 0), "inch-pound": ("lbf", 1.0, 1)},
    "coefficient": {"metric": ("", 0.01, 2), "inch-pound": ("", 0.01, 2)},
    "count": {"metric": ("", 1.0, 0), "inch-pound": ("", 1.0, 0)},
}
_READ_AS = {"coefficient": "ratio", "count": "ratio"}  # plain numbers


@dataclass(frozen=True)
class Slider:
    """A quantity that can be slid or typed.

    Parameters
    ----------
    key : str
        Its name in a setting, without blanks.
    label : str
        Its name on the page.
    kind : str
        "length", "angle", "force", "ratio" (in percent), "coefficient" (a plain number) or "count".
    low, high : float
        The ends of its range [SI].
    start : float
        Where it stands at first [SI].
    hint : str
        One line below it: where it is measured, which way is which.
    fine : float
        Part of the usual step by which it slides [-].
    """

    key: str
    label: str
    kind: str
    low: float
    high: float
    start: float
    hint: str = ""
    fine: float = 1.0

    @property
    def reads(self) -> str:
        """Kind of quantity as `read` knows it."""
        return _READ_AS.get(self.kind, self.kind)

    def scales(self) -> dict[str, dict[str, Any]]:
        """Describe the slider in each unit system, for the front end.

        Returns
        -------
        dict
            By unit system: unit, its size [SI], ends and step of the slider
            in that unit, and decimals of the field.
        """
        scales: dict[str, dict[str, Any]] = {}
        for system, (unit, usual, digits) in _SCALES[self.kind].items():
            size, step = factor(unit, self.reads), usual * self.fine
            scales[system] = {
                "unit": unit,
                "factor": size,
                "low": math.ceil(self.low / size / step - 1e-9) * step,
                "high": math.floor(self.high / size / step + 1e-9) * step,
                "step": step,
                "digits": digits,
            }
        return scales

    def unit(self, units: str) -> str:
        """Name the unit of a bare number.

        Parameters
        ----------
        units : str
            "metric" or "inch-pound".

        Returns
        -------
        str
            Its symbol.
        """
        return _SCALES[self.kind][units][0]

    def written(self, value: float, units: str) -> str:
        """Write a value as the page does.

        Parameters
        ----------
        value : float
            The value [SI].
        units : str
            "metric" or "inch-pound".

        Returns
        -------
        str
            Number and unit.
        """
        unit, _, digits = _SCALES[self.kind][units]
        number = f"{value / factor(unit, self.reads):.{max(digits, 1)}f}"
        number = number.rstrip("0").rstrip(".") if "." in number else number
        number = "0" if number == "-0" else number
        return f"{number}{'' if unit in ('°', '') else ' '}{unit}"

    def accept(self, value: float, units: str) -> float:
        """Check a value against the range.

        Parameters
        ----------
        value : float
            The value [SI].
        units : str
            Unit system for the sentence if it does not fit.

        Returns
        -------
        float
            The value, unchanged [SI].

        Raises
        ------
        InputError
            If it lies outside the range.
        """
        slack = 1e-6 * (self.high - self.low)
        if not self.low - slack <= value <= self.high + slack:
            raise InputError(
                f"{self.label}: {self.written(value, units)} was given. Type a value from "
                f"{self.written(self.low, units)} to {self.written(self.high, units)}."
            )
        if self.kind == "count" and abs(value - round(value)) > 1e-6:
            raise InputError(f"{self.label}: {value:g} was given. Type a whole number.")
        return round(min(max(value, self.low), self.high), 9)  # one setting, one number, however it was given


@dataclass(frozen=True)
class Choice:
    """One of a few named possibilities.

    Parameters
    ----------
    key : str
        Its name in a setting, without blanks.
    label : str
        Its name on the page.
    options : tuple of (str, str)
        Name in a setting and name on the page of each possibility.
    start : str
        The one chosen at first.
    """

    key: str
    label: str
    options: tuple[tuple[str, str], ...]
    start: str


@dataclass(frozen=True)
class Tick:
    """A yes or no.

    Parameters
    ----------
    key : str
        Its name in a setting, without blanks.
    label : str
        Its name on the page.
    start : bool
        Whether it is ticked at first.
    """

    key: str
    label: str
    start: bool = False


Control = Slider | Choice | Tick | Steps


def read_typed(slider: Slider, text: str, units: str) -> float:
    """Read what was typed beside a slider.

    Parameters
    ----------
    slider : Slider
        The control.
    text : str
        What was typed; a bare number is in the unit beside the field.
    units : str
        "metric" or "inch-pound".

    Returns
    -------
    float
        The value [SI].

    Raises
    ------
    InputError
        If it is no quantity of the right kind or outside the range.

    Examples
    --------
    >>> ring = Slider("ring", "Ring below C7", "length", 0.0, 0.2, 0.06)
    >>> read_typed(ring, "62,5", "metric")
    0.0625
    """
    unit = slider.unit(units)
    if not text.strip():
        raise InputError(
            f"{slider.label}: the field is empty. Type a value from "
            f"{slider.written(slider.low, units)} to {slider.written(slider.high, units)}."
        )
    try:
        value = read(text, slider.reads, unit=unit)
    except InputError as error:
        raise InputError(
            f"{slider.label}: {error} Allowed here: {slider.written(slider.low, units)} to "
            f"{slider.written(slider.high, units)}."
        ) from None
    return slider.accept(value, units)


def write_line(controls: Sequence[Control], values: Values) -> str:
    """Write a setting as one line of text.

    Parameters
    ----------
    controls : sequence of Control
        The controls of the lab.
    values : mapping
        A value for each [SI].

    Returns
    -------
    str
        Such as ``"ring = 60 mm; view = back"``; always metric, so that it
        stands for exactly this setting. `read_line` takes it back.

    Examples
    --------
    >>> ring = Slider("ring", "Ring below C7", "length", 0.0, 0.2, 0.06)
    >>> write_line([ring], {"ring": 0.06})
    'ring = 60 mm'
    """
    parts = []
    for control in controls:
        value = values[control.key]
        if isinstance(control, Slider):
            written = _exact(control, float(value))
        elif isinstance(control, Tick):
            written = "yes" if value else "no"
        else:
            written = str(value)
        parts.append(f"{control.key} = {written}")
    return "; ".join(parts)


def _exact(slider: Slider, value: float) -> str:
    """Write a value with as many decimals as it takes to read the same setting back."""
    unit = slider.unit("metric")
    number = f"{value / factor(unit, slider.reads):.{4 if unit else 6}f}".rstrip("0").rstrip(".")
    number = "0" if number in ("-0", "") else number
    return f"{number} {unit}".rstrip()


def read_line(controls: Sequence[Control], text: str, values: Values) -> Values:
    """Read a setting that was written in one line.

    Parameters
    ----------
    controls : sequence of Control
        The controls of the lab.
    text : str
        The line; entries that it leaves out keep their value.
    values : mapping
        The present setting [SI].

    Returns
    -------
    mapping
        The new setting [SI].

    Raises
    ------
    InputError
        If an entry is not known or its value not allowed; nothing is changed then.

    Examples
    --------
    >>> ring = Slider("ring", "Ring below C7", "length", 0.0, 0.2, 0.06)
    >>> dict(read_line([ring], "ring = 3 in", {"ring": 0.06}))
    {'ring': 0.0762}
    """
    known = {control.key: control for control in controls}
    result = dict(values)
    entries = [entry.strip() for entry in re.split(r"[;\n]", text) if entry.strip()]
    if not entries:
        raise InputError("The line is empty. Paste a setting that was copied from this lab.")
    for entry in entries:
        key, equals, written = (part.strip() for part in entry.partition("="))
        if not equals or key not in known:
            shown = entry if len(entry) <= 40 else entry[:40] + "…"
            raise InputError(
                f"“{shown}” is no entry of this lab. Write name = value, entries parted by a "
                f"semicolon; the names are {', '.join(known)}."
            )
        result[key] = _read_entry(known[key], written)
    return MappingProxyType(result)


def _read_entry(control: Control, written: str) -> Value:
    if isinstance(control, Slider):
        return read_typed(control, written, "metric")
    if isinstance(control, Tick):
        if written.casefold() in ("yes", "no"):
            return written.casefold() == "yes"
        raise InputError(f"{control.key} = {written[:40]} was given. Write yes or no.")
    if isinstance(control, Steps):
        return control.accept(written)
    names = [name for name, _ in control.options]
    if written in names:
        return written
    raise InputError(f"{control.key} = {written[:40]} was given. Write one of: {', '.join(names)}.")


def checked(controls: Sequence[Control], given: Mapping[str, Any], units: str) -> Values:
    """Check a setting that came from the page.

    Parameters
    ----------
    controls : sequence of Control
        The controls of the lab.
    given : mapping
        What the page sent [SI].
    units : str
        Unit system for sentences.

    Returns
    -------
    mapping
        The setting, each value of the right type and in its range [SI].

    Raises
    ------
    InputError
        If a value is missing or not allowed.
    """
    result: dict[str, Value] = {}
    for control in controls:
        value = given.get(control.key, control.start)
        if isinstance(control, Slider):
            if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
                raise InputError(f"{control.label}: the page sent no number. Move the control once more.")
            value = control.accept(float(value), units)
        elif isinstance(control, Tick):
            value = bool(value)
        else:
            value = _read_entry(control, str(value))
        result[control.key] = value
    return MappingProxyType(result)
