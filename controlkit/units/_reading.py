"""Reading a quantity that a person gave, with its unit."""

from __future__ import annotations

import difflib
import functools
import math
import numbers
import re
from typing import Any

from controlkit.units._errors import InputError
from controlkit.units._table import KINDS, Kind, Unit, factor, kind_named, tidy
from controlkit.units._text import LONGEST, clean, quoted, split

_UNIT_CHARACTERS = re.compile(r"[A-Za-zµΩ°/*^·. ()-]+(?:\^?-?[1-4](?!\d)[A-Za-zµΩ°/*^·. ()-]*)*")
_OTHER_KINDS = {
    "s": "a time",
    "m**2": "an area",
    "m**3": "a volume",
    "m/s": "a speed",
    "m/s**2": "an acceleration",
    "N*m": "a moment or a work",
    "W": "a power",
    "K": "a temperature",
    "N": "a force",
    "m": "a length",
    "kg": "a mass",
    "Pa": "a pressure",
    "N/m": "a force per length",
    "A": "an electric current",
    "V": "an electric voltage",
    "1": "a plain number",
}


def read(text: object, kind: str, *, unit: str | None = None) -> float:
    """Read one quantity as a person writes it.

    Parameters
    ----------
    text : object
        The answer: text such as ``"12.5 lbf"``, or a bare number in the stated unit
    kind : str
        What is asked for: length, force, angle, mass, pressure, line load, ratio, moment or time
    unit : str, optional
        The stated unit, which a bare number takes. Without it a bare number is refused,
        except for a ratio

    Returns
    -------
    float
        The quantity in SI; an angle in radians [SI]

    Raises
    ------
    InputError
        If it is empty, not one number, can be read in two ways, or has a unit that does not fit

    Notes
    -----
    Both decimal marks are read; ``1,234`` is asked back. In a force, "lb" means pound-force, as
    the trade writes it; "lbm" and "kg" are refused there, since they are masses. Fractions
    (``1 1/2 in``), feet with inches (``5 ft 11 in``) and times in parts (``8 min 31 s``) are read.
    Conversion factors: the inch is 25.4 mm and the pound 0.453 592 37 kg by definition, standard
    gravity 9.806 65 m/s2.

    Examples
    --------
    >>> round(read("12.5 lbf", "force"), 3)
    55.603
    >>> read("12,5 N", "force")
    12.5
    >>> read(250, "length", unit="mm")
    0.25
    """
    number, _, size = read_apart(text, kind, unit=unit)
    return number * size


def read_apart(text: object, kind: str, *, unit: str | None = None) -> tuple[float, str, float]:
    """Read one quantity as `read` does, and keep number and unit apart.

    Parameters
    ----------
    text : object
        The answer, as in `read`
    kind : str
        What is asked for, as in `read`
    unit : str, optional
        The stated unit, which a bare number takes

    Returns
    -------
    number : float
        The number as it was written [-]
    unit : str
        The unit that was written, by its symbol where it is known here; empty behind a bare number
    size : float
        Size of the unit in which it is read [SI]

    Raises
    ------
    InputError
        As `read` does

    Examples
    --------
    >>> read_apart("0.05 kilonewtons", "force")
    (0.05, 'kN', 1000.0)
    >>> read_apart(12, "pressure", unit="kPa")
    (12.0, '', 1000.0)
    """
    quantity = kind_named(kind)
    if isinstance(text, str):
        number, written = _from_text(text, quantity, _example(quantity, unit))
    else:
        number, written = _from_number(text, quantity), ""
    if written:
        size = _factor(written, quantity, quoted(text))
    elif unit is not None:
        size = factor(unit, kind)
    elif quantity.name == "ratio":
        size = 1.0
    else:
        raise InputError(
            given=f"{quoted(text)} has no unit.",
            do=f"For {quantity.phrase} write the unit behind the number: {quantity.choices}.",
        )
    if not math.isfinite(number * size):
        raise _not_measurable(text)
    known = (quantity.find(written) or quantity.find(written, exact=False)) if written else None
    return number, known.symbol if known is not None and known.factor == size else written, size


def _example(quantity: Kind, unit: str | None) -> str:
    """Return an answer as it should look: in the stated unit, else as its kind is shown."""
    return f"12.5 {unit or quantity.metric[0]}".strip()


def _from_text(text: str, quantity: Kind, example: str) -> tuple[float, str]:
    if len(text) > 10 * LONGEST:
        raise _too_long(text, example)
    plain = clean(text)
    if not plain:
        raise InputError(
            given="No answer yet.",
            do=f"Write {quantity.phrase}: a number and its unit ({quantity.choices}).",
        )
    if set(plain) <= {".", " "}:
        raise InputError(
            given="The dots still stand where the answer belongs.",
            do=f"Put {quantity.phrase} in their place: a number and its unit ({quantity.choices}).",
        )
    if len(plain) > LONGEST:
        raise _too_long(text, example)
    return split(plain, text, kind=quantity.name, example=example)


def _too_long(text: str, example: str) -> InputError:
    return InputError(
        given=f"{quoted(text)} is too long to be one number with its unit.",
        do=f"Write, for example, “{example}”.",
    )


def _from_number(given: object, quantity: Kind) -> float:
    """Return a bare number given without quotation marks."""
    write = f"Give one number, or text with a unit such as “12.5” and one of {quantity.choices}."
    if given is None:
        raise InputError(
            given="No answer yet.",
            do=f"{write}",
        )
    if given is Ellipsis:
        raise InputError(
            given="The three dots still stand where the answer belongs.",
            do=f"{write}",
        )
    if type(given).__name__ in ("bool", "bool_"):
        raise InputError(
            given=f"You gave a yes or no, and {quantity.phrase} is asked for.",
            do=f"{write}",
        )
    if isinstance(given, numbers.Real):
        try:
            number = float(given)
        except OverflowError:
            number = math.inf
        if not math.isfinite(number):
            raise _not_measurable(given)
        return number
    if isinstance(given, numbers.Complex):
        raise InputError(
            given=f"{quoted(given)} has an imaginary part, as the root of a negative number has.",
            do="Look at the calculation before it and give an ordinary number.",
        )
    if isinstance(given, tuple) and len(given) == 2 and all(type(part) is int for part in given):
        first, second = given
        comma = f"{first},{abs(second)}"
        raise InputError(
            given=f"{comma} without quotation marks is read as two numbers, {first} and {second}.",
            do=f"Write a point, {first}.{abs(second)}, or put it in quotation marks with its unit.",
        )
    single = _only_element(given)
    if single is not None:
        return _from_number(single, quantity)
    if isinstance(given, (list, tuple, set, dict)) or hasattr(given, "ndim"):
        raise InputError(
            given="You gave several values, and one is asked for.",
            do=f"{write}",
        )
    if callable(given):
        raise InputError(
            given="You gave the name of a calculation, not its result.",
            do="Write brackets with the values behind the name, so that it is carried out.",
        )
    raise InputError(
        given="What you gave is not a number.",
        do=f"{write}",
    )


def _only_element(given: object) -> Any:
    """Return the element of an array without dimensions, as a calculation may leave it."""
    if getattr(given, "ndim", None) == 0 and type(given).__module__ == "numpy":
        return given.item()  # type: ignore[attr-defined]
    return None


def _not_measurable(given: object) -> InputError:
    return InputError(
        given=f"{quoted(given)} is not a size that can be measured.",
        do="Look at the calculation before it (a division by zero?) and give an ordinary number.",
    )


def _factor(written: str, quantity: Kind, given: str) -> float:
    """Return the size in SI of the unit that was written, or say why it does not fit."""
    found = quantity.find(written)
    if found is not None:
        return found.factor
    others = quantity.name in ("ratio", "angle")
    parsed = None if others or _in_another_kind(written, quantity) else _from_library(written, quantity.si)
    if isinstance(parsed, float):
        return parsed
    found = quantity.find(written, exact=False)
    if found is not None:
        return found.factor
    raise _misfit(written, quantity, given)


def _in_another_kind(written: str, quantity: Kind) -> tuple[Unit, Kind] | None:
    """Return the unit and its kind, if the text is a unit of another kind."""
    for exact in (True, False):
        for kind in KINDS.values():
            unit = kind.find(written, exact=exact) if kind is not quantity and written else None
            if unit is not None:
                return unit, kind
    return None


def _misfit(written: str, quantity: Kind, given: str) -> InputError:
    ask = f"and {quantity.phrase} is asked for. Use {quantity.choices}."
    other = _in_another_kind(written, quantity)
    if other is not None:
        unit, kind = other
        hint = ""
        if quantity.name == "force" and kind.name == "mass":
            hint = (
                " Pound-mass (lbm) measures how much there is, pound-force (lbf) how hard it pulls."
                if unit.symbol == "lb"
                else " If you mean the weight of that mass, write kgf."
            )
        if quantity.name == "mass" and kind.name == "force" and unit.symbol in ("lbf", "kgf"):
            hint = f" If you mean the mass with that weight, write {unit.symbol[:-1]}."
        return InputError(
            given=f"You gave {given}.", do=f"{unit.name.capitalize()} measures {kind.phrase}, {ask}{hint}"
        )
    foreign = _from_library(written, quantity.si)
    if isinstance(foreign, str) and quantity.name != "ratio":
        return InputError(given=f"You gave {given}.", do=f"The unit “{written}” measures {foreign}, {ask}")
    near = _nearest(written, quantity)
    hint = f"Did you mean {near.symbol}? " if near is not None else ""
    return InputError(
        given=f"You gave {given}, and “{written[:20]}” is not a unit known here.",
        do=f"{hint}Use {quantity.choices}.",
    )


def _nearest(written: str, quantity: Kind) -> Unit | None:
    names = {tidy(spelling).casefold(): unit for unit in quantity.units for spelling in (unit.symbol, *unit.spellings)}
    close = difflib.get_close_matches(tidy(written).casefold(), names, n=1, cutoff=0.6)
    return names[close[0]] if close else None


@functools.cache
def _library() -> Any:
    """Return the registry of all units, loaded when first needed."""
    import pint

    return pint.UnitRegistry()


def _from_library(written: str, si: str) -> float | str | None:
    """Return the size in SI, or in words what it measures, or nothing if unknown."""
    if not _UNIT_CHARACTERS.fullmatch(written) or "**" in written or not re.search(r"[^\W\d_]", written):
        return None
    library = _library()
    try:
        parsed = library.parse_units(written.replace("·", "*").replace("-", "*"))
        target = library.parse_units("" if si == "-" else si.replace(" ", "*"))
        if parsed.dimensionality == target.dimensionality:
            if re.search(r"joule|calorie|british|volt|erg|watt", str(parsed)):
                return "a work or an energy"
            return float(library.Quantity(1.0, parsed).to(target).magnitude)
        for unit, phrase in _OTHER_KINDS.items():
            if parsed.dimensionality == library.parse_units("" if unit == "1" else unit).dimensionality:
                return phrase
    except Exception:  # noqa: BLE001  whatever the library cannot read is an unknown unit
        return None
    return None
