"""The controls of a lab as data: sliders, menus, ticks and steps, each one way to read and to write."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import KW_ONLY, dataclass
from typing import Any, Protocol

from controlkit.units import InputError, factor, read

__all__ = ["Control", "Menu", "Slider", "Steps", "Tick", "Value", "Values"]

Value = float | str | bool
Values = Mapping[str, Value]


class Control(Protocol):
    """What a lab asks of a control, whatever its kind."""

    @property
    def key(self) -> str:
        """Its name in a setting, without blanks."""

    @property
    def label(self) -> str:
        """Its name on the page."""

    @property
    def start(self) -> Value:
        """Its value at first."""

    def described(self) -> dict[str, Any]:
        """Describe it to the front end."""

    def to_line(self, value: Value) -> str:
        """Write a value into a line of text."""

    def from_line(self, written: str) -> Value:
        """Read a value from a line of text, or refuse it with a sentence."""

    def from_page(self, sent: Any, units: str) -> Value:
        """Check what the page sent, or refuse it with a sentence."""


def _described(control: Control, kind: str, **more: Any) -> dict[str, Any]:
    return {"key": control.key, "label": control.label, "type": kind, **more}


# kind: unit of the number, step of the slider there, decimals of the typed field
_SCALES: dict[str, dict[str, tuple[str, float, int]]] = {
    "length": {"metric": ("mm", 5.0, 0), "inch-pound": ("in", 0.25, 2)},
    "angle": {"metric": ("°", 5.0, 0), "inch-pound": ("°", 5.0, 0)},
    "ratio": {"metric": ("%", 5.0, 0), "inch-pound": ("%", 5.0, 0)},
    "force": {"metric": ("N", 5.0, 0), "inch-pound": ("lbf", 1.0, 1)},
    "coefficient": {"metric": ("", 0.01, 2), "inch-pound": ("", 0.01, 2)},
    "count": {"metric": ("", 1.0, 0), "inch-pound": ("", 1.0, 0)},
    "mass": {"metric": ("kg", 0.1, 2), "inch-pound": ("lb", 0.2, 2)},
    "moment": {"metric": ("N m", 0.1, 2), "inch-pound": ("lbf in", 1.0, 1)},
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
        "length", "angle", "force", "mass", "moment", "ratio" (in percent), "coefficient" (a plain number) or "count".
    ends : tuple of float
        The ends of its range [SI].
    start : float
        Where it stands at first [SI].
    hint : str
        One line below it: where it is measured, which way is which.
    fine : float
        Part of the usual step by which it slides [-].
    named : tuple of (str, float)
        Values that have a name, with which a line or the field may give them, and a button each [SI].
    turns : bool
        Whether it turns what is seen, which is then drawn from every side while nobody asks.
    """

    key: str
    label: str
    kind: str
    ends: tuple[float, float]
    _: KW_ONLY
    start: float
    hint: str = ""
    fine: float = 1.0
    named: tuple[tuple[str, float], ...] = ()
    turns: bool = False

    @property
    def low(self) -> float:
        """Lower end of its range [SI]."""
        return self.ends[0]

    @property
    def high(self) -> float:
        """Upper end of its range [SI]."""
        return self.ends[1]

    @property
    def parts(self) -> int:
        """Into how many parts a hand that drags in a picture divides a step; fewer where each is drawn ahead [-]."""
        return 3 if self.turns else 5

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
        """Name the unit of a bare number."""
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
        """Check a value against the range; what lies beyond it by rounding alone is taken to its end.

        Parameters
        ----------
        value : float
            The value [SI].
        units : str
            Unit system for the sentence if it does not fit.

        Returns
        -------
        float
            The value, rounded to nine decimals [SI].

        Raises
        ------
        InputError
            If it lies outside the range, or is no whole number where things are counted.
        """
        slack = 1e-6 * (self.high - self.low)
        if not self.low - slack <= value <= self.high + slack:
            raise InputError(
                given=f"{self.label}: {self.written(value, units)} was given.",
                do=f"Type a value from {self.written(self.low, units)} to {self.written(self.high, units)}.",
            )
        if self.kind == "count" and abs(value - round(value)) > 1e-6:
            raise InputError(
                given=f"{self.label}: {value:g} was given.",
                do="Type a whole number.",
            )
        return round(min(max(value, self.low), self.high), 9)  # one setting, one number, however it was given

    def typed(self, text: str, units: str) -> float:
        """Read what was typed beside it.

        Parameters
        ----------
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
        >>> Slider("ring", "Ring below C7", "length", (0.0, 0.2), start=0.06).typed("62,5", "metric")
        0.0625
        """
        low, high = self.written(self.low, units), self.written(self.high, units)
        if not text.strip():
            raise InputError(
                given=f"{self.label}: the field is empty.",
                do=f"Type a value from {low} to {high}.",
            )
        if text.strip() in dict(self.named):
            return dict(self.named)[text.strip()]
        try:
            value = read(text, self.reads, unit=self.unit(units))
        except InputError as error:
            raise InputError(
                given=f"{self.label}: {error}",
                allowed=f"Allowed here: {', '.join((f'{low} to {high}', *dict(self.named)))}.",
            ) from None
        return self.accept(value, units)

    def described(self) -> dict[str, Any]:
        """Describe it to the front end."""
        named = [list(one) for one in self.named]
        return _described(self, "slider", hint=self.hint, scales=self.scales(), parts=self.parts, named=named)

    def to_line(self, value: Value) -> str:
        """Write a value by its name, or with as many decimals as it takes to read the same setting back."""
        for name, at in self.named:
            if math.isclose(float(value), at, abs_tol=1e-6):
                return name
        unit = self.unit("metric")
        number = f"{float(value) / factor(unit, self.reads):.{4 if unit else 6}f}".rstrip("0").rstrip(".")
        number = "0" if number in ("-0", "") else number
        return f"{number} {unit}".rstrip()

    def from_line(self, written: str) -> float:
        """Read a value from a line of text."""
        return self.typed(written, "metric")

    def from_page(self, sent: Any, units: str) -> float:
        """Check what the page sent."""
        if isinstance(sent, bool) or not isinstance(sent, int | float) or not math.isfinite(sent):
            raise InputError(
                given=f"{self.label}: the page sent no number.",
                do="Move the control once more.",
            )
        return self.accept(float(sent), units)


@dataclass(frozen=True)
class _Options:
    """What menus and steps share: names in a setting, each with one on the page."""

    key: str
    label: str
    options: tuple[tuple[str, str], ...]

    @property
    def _names(self) -> list[str]:
        return [name for name, _ in self.options]

    def to_line(self, value: Value) -> str:
        """Write a value into a line of text."""
        return str(value)


@dataclass(frozen=True)
class Menu(_Options):
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
    groups : tuple of (str, int)
        Headings in a long menu, and how many possibilities stand below each [-]; none for a short one.
    """

    start: str
    _: KW_ONLY
    groups: tuple[tuple[str, int], ...] = ()

    def described(self) -> dict[str, Any]:
        """Describe it to the front end."""
        groups = {"groups": [list(group) for group in self.groups]} if self.groups else {}
        return _described(self, "choice", options=[list(option) for option in self.options], **groups)

    def from_line(self, written: str) -> str:
        """Read a value from a line of text.

        Parameters
        ----------
        written : str
            Name of a possibility.

        Returns
        -------
        str
            The same.

        Raises
        ------
        InputError
            If there is none of that name.
        """
        if written in self._names:
            return written
        raise InputError(
            given=f"{self.key} = {written[:40]} was given.",
            do=f"Write one of: {', '.join(self._names)}.",
        )

    def from_page(self, sent: Any, units: str) -> str:  # noqa: ARG002  it has none
        """Check what the page sent."""
        return self.from_line(str(sent))


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

    def described(self) -> dict[str, Any]:
        """Describe it to the front end."""
        return _described(self, "tick")

    def to_line(self, value: Value) -> str:
        """Write a value into a line of text."""
        return "yes" if value else "no"

    def from_line(self, written: str) -> bool:
        """Read a value from a line of text."""
        if written.casefold() in ("yes", "no"):
            return written.casefold() == "yes"
        raise InputError(
            given=f"{self.key} = {written[:40]} was given.",
            do="Write yes or no.",
        )

    def from_page(self, sent: Any, units: str) -> bool:  # noqa: ARG002  it has none
        """Check what the page sent."""
        return bool(sent)


@dataclass(frozen=True)
class Steps(_Options):
    """Steps taken one after the other.

    Parameters
    ----------
    key : str
        Its name in a setting, without blanks.
    label : str
        Its name on the page.
    options : tuple of (str, str)
        Name in a setting and name on its button of each step.
    start : str
        Steps taken at first, parted by commas.
    most : int
        Steps that may be taken [-].
    chosen : tuple of str
        Keys of menus where a step is chosen, in place of a button for each: the names chosen there, joined by "@".
    does : str
        What the one button says that takes it then.
    """

    _: KW_ONLY
    start: str = ""
    most: int = 40
    chosen: tuple[str, ...] = ()
    does: str = ""

    def from_line(self, written: str) -> str:
        """Read steps that were written in one line.

        Parameters
        ----------
        written : str
            Names parted by commas; nothing for none.

        Returns
        -------
        str
            The same, neatly written.

        Raises
        ------
        InputError
            If a step is not known, or there are too many.

        Examples
        --------
        >>> Steps("steps", "Steps", (("pull", "pull"), ("let-go", "let go"))).from_line("pull,let-go")
        'pull, let-go'
        """
        taken = [name.strip() for name in written.split(",") if name.strip()]
        for name in taken:
            if name not in self._names:
                several = f"{', '.join(self._names[:6])} and others" if self.chosen else ", ".join(self._names)
                raise InputError(
                    given=f"There is no step “{name[:40]}”.",
                    allowed=f"The steps are: {several}.",
                )
        if len(taken) > self.most:
            raise InputError(
                given=f"{len(taken)} steps were taken.",
                allowed=f"At most {self.most} are.",
                do="Begin again, or take some back.",
            )
        return ", ".join(taken)

    def from_page(self, sent: Any, units: str) -> str:  # noqa: ARG002  they have none
        """Check what the page sent."""
        return self.from_line(str(sent))

    def described(self) -> dict[str, Any]:
        """Describe them to the front end."""
        if self.chosen:
            return _described(self, "steps", options=[], chosen=list(self.chosen), does=self.does)
        return _described(self, "steps", options=[list(option) for option in self.options])
