"""Loading the sourced values from the data files beside this module."""

from __future__ import annotations

import difflib
import functools
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from importlib import resources
from types import MappingProxyType
from typing import Any

from controlkit.units import InputError, factor

FLAGS: Mapping[str, str] = MappingProxyType(
    {
        "seen": "read in the source",
        "seen-second-hand": "read where another source quotes it",
        "practice": "common practice, no source found",
        "computed": "computed from seen data",
        "memory": "from memory, not verified",
        "reasoned": "reasoned, no source",
    }
)
"""How a value was come by: each flag, and the words for it."""
_OTHER_KINDS = {"count": 1.0, "time": 1.0}


@dataclass(frozen=True)
class SourcedValue:
    """One published, practical or worked-out value with its source.

    Parameters
    ----------
    id : str
        Name by which text, mechanics and tests ask for it
    what : str
        What it is, in words
    value : float or None
        The number as printed, in `unit`; nothing if only a range is printed [unit]
    low, high : float or None
        The range as printed [unit]
    sd : float or None
        Standard deviation as printed [unit]
    series : tuple of float, shape (N,)
        A row of a table as printed; empty otherwise [unit]
    at : tuple of float, shape (N,)
        Column headings of that row, in the unit that the note names [unit]
    digit : float
        One unit in the last printed place of the number, or of the lower end of the range [unit]
    unit : str
        Unit as printed
    kind : str
        Kind of quantity, as in `controlkit.units.read`; also "count" and "time"
    flag : str
        How far to trust it: seen (read in the source itself), seen-second-hand (read where another
        source quotes or repeats it), practice (common practice, no source found), computed (worked
        out here from others), memory (not verified), reasoned (engineering inference)
    citation : str
        Bibliographic record
    note : str
        Who was measured, what contradicts it, how to use it
    """

    id: str
    what: str
    value: float | None
    low: float | None
    high: float | None
    sd: float | None
    series: tuple[float, ...]
    at: tuple[float, ...]
    digit: float
    unit: str
    kind: str
    flag: str
    citation: str
    note: str

    @property
    def how_known(self) -> str:
        """The flag in words, as tables and exercises print it."""
        return FLAGS[self.flag]

    @property
    def si(self) -> float:
        """The value in SI [SI]."""
        return self._in_si(self.value, "single value; ask for si_low and si_high")

    @property
    def si_low(self) -> float:
        """The lower end of the range in SI [SI]."""
        return self._in_si(self.low, "range; ask for si")

    @property
    def si_high(self) -> float:
        """The upper end of the range in SI [SI]."""
        return self._in_si(self.high, "range; ask for si")

    @property
    def si_sd(self) -> float:
        """The standard deviation in SI [SI]."""
        return self._in_si(self.sd, "standard deviation")

    @property
    def factor(self) -> float:
        """Size of the printed unit in SI [-]."""
        return _OTHER_KINDS[self.kind] if self.kind in _OTHER_KINDS else factor(self.unit, self.kind)

    def _in_si(self, number: float | None, missing: str) -> float:
        if number is None:
            raise InputError(
                given=f"The source of “{self.id}” prints no {missing}.",
                do="Ask for what it prints: see its what, value, low, high and sd.",
            )
        return number * self.factor


def source(id: str) -> SourcedValue:  # noqa: A002  the word that a lesson uses
    """Return one sourced value.

    Parameters
    ----------
    id : str
        Its name in the data files

    Returns
    -------
    SourcedValue
        The value with unit, flag and citation

    Raises
    ------
    InputError
        If there is no such value

    Examples
    --------
    >>> grip = source("vc_force_lowest")
    >>> grip.value, grip.unit, grip.flag
    (33.0, 'N', 'seen')
    """
    values = _values()
    if id in values:
        return values[id]
    near = difflib.get_close_matches(str(id), values, n=3, cutoff=0.5)
    hint = f"Near to it: {', '.join(near)}." if near else "all_sources() lists what there is."
    raise InputError(
        given=f"There is no sourced value called “{id}”.",
        do=f"{hint}",
    )


def all_sources() -> tuple[SourcedValue, ...]:
    """Return every sourced value, in the order of the data files.

    Returns
    -------
    tuple of SourcedValue
        All of them

    Examples
    --------
    >>> {value.how_known for value in all_sources() if value.flag == "practice"}
    {'common practice, no source found'}
    """
    return tuple(_values().values())


def all_records() -> tuple[str, ...]:
    """Return every bibliographic record: of the sourced values, and of the methods that the package uses.

    Returns
    -------
    tuple of str
        The records, in the order of the data file

    Examples
    --------
    >>> source("vc_force_lowest").citation in all_records()
    True
    """
    return tuple(_citations().values())


@functools.cache
def _citations() -> Mapping[str, str]:
    text = (resources.files("controlkit.sources") / "citations.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


@functools.cache
def _values() -> Mapping[str, SourcedValue]:
    root, citations = resources.files("controlkit.sources"), _citations()
    found: dict[str, SourcedValue] = {}
    files = (item for item in (root / "values").iterdir() if item.name.endswith(".toml"))
    for item in sorted(files, key=lambda item: item.name):
        for id_, entry in tomllib.loads(item.read_text(encoding="utf-8")).items():
            if id_ in found:
                raise ValueError(f"{id_} stands twice in the sourced values")
            found[id_] = _value(id_, entry, citations)
    return found


def _value(id_: str, entry: Mapping[str, Any], citations: Mapping[str, str]) -> SourcedValue:
    """Build one value; numbers stand as text in the file, so that their printed digits are kept."""
    numbers = {name: float(entry[name]) if name in entry else None for name in ("value", "low", "high", "sd")}
    printed = entry.get("value", entry.get("low", (entry.get("series") or ["0"])[0]))
    return SourcedValue(
        id=id_,
        what=entry["what"],
        value=numbers["value"],
        low=numbers["low"],
        high=numbers["high"],
        sd=numbers["sd"],
        series=tuple(float(number) for number in entry.get("series", ())),
        at=tuple(float(number) for number in entry.get("at", ())),
        digit=10.0 ** -len(printed.partition(".")[2]),
        unit=entry["unit"],
        kind=entry["kind"],
        flag=entry["flag"],
        citation=citations[entry["citation"]],
        note=entry.get("note", ""),
    )
