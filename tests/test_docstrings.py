"""Documentation is data: names match the signature, quantities carry units, examples exist.

Every public function, class and method of the package is walked. What the docstring says is parsed
with numpydoc and compared with what the code says. The rules themselves are tried on bad examples.
"""

from __future__ import annotations

import ast
import dataclasses
import functools
import importlib
import inspect
import pkgutil
import re
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from types import ModuleType
from typing import Any

import numpydoc.docscrape
import pytest

import controlkit

UNIT = re.compile(r"\[([^\[\]]+)\]")
LENGTH_UNITS = {"m", "mm", "cm", "in", "1/m", "m2", "px"}
ANGLE_UNITS = {"rad", "deg", "1/rad", "m/rad"}
FORCE_UNITS = {"N", "lbf", "kgf", "N m", "N/m", "m/N", "N/rad", "N m/rad", "N/m2", "N/m3", "Pa", "kPa", "J", "1/N"}
OTHER_UNITS = {"-", "kg", "lb", "kg m", "kg m2", "s", "m/s", "m/s2", "SI", "unit"}  # [unit]: as another field says
KNOWN_UNITS = LENGTH_UNITS | ANGLE_UNITS | FORCE_UNITS | OTHER_UNITS | {"years"}
QUANTITY = re.compile(r"\b(float|ndarray|array|NDArray|ArrayLike|FloatArray|complex)\b", re.IGNORECASE)
NO_QUANTITY = re.compile(r"\b(bool|bool_|int|intp|int64|dict|Callable|Mapping|Literal)\b")
ARRAY = re.compile(r"\b(ndarray|array|NDArray|FloatArray)\b", re.IGNORECASE)
BRIEF = 8
"""Statements of a body that one line may describe, behind the doors of the package [-]."""
SHAPE = re.compile(r"shape|\(\s*[\w.+ -]*,|same|any")


def modules() -> Iterator[ModuleType]:
    """Import every module of the package that has no private name; a broken import fails here."""
    yield controlkit
    for found in pkgutil.walk_packages(controlkit.__path__, "controlkit."):
        parts = found.name.split(".")[1:]
        if parts[-1] == "__main__" or any(part.startswith("_") for part in parts):
            continue
        yield importlib.import_module(found.name)


def public() -> dict[str, Any]:
    """Return the public functions and classes by their place and name."""
    found: dict[str, Any] = {}
    for module in modules():
        for name, item in vars(module).items():
            if name.startswith("_") or not (inspect.isfunction(item) or inspect.isclass(item)):
                continue
            if not str(item.__module__).startswith("controlkit"):
                continue
            found[f"{item.__module__}.{item.__qualname__}"] = item
    return found


def on_a_door(item: Any) -> bool:
    """Tell whether a room of the package shows it: the name stands in ``__all__`` of a folder that holds it."""
    parts = str(item.__module__).split(".")
    rooms = (sys.modules[".".join(parts[:deep])] for deep in range(1, len(parts) + 1))
    return any(item.__name__ in getattr(room, "__all__", ()) for room in rooms if hasattr(room, "__path__"))


def needs_example(item: Any) -> bool:
    """Tell whether a function of mechanics is public: not one of a room's inner works."""
    return str(item.__module__).startswith("controlkit.mechanics.") and on_a_door(item)


def may_be_brief(item: Any) -> bool:
    """Tell whether a purpose line is enough: inner works of few lines, and what exercises are put together from."""
    if on_a_door(item):
        return False
    if str(item.__module__).startswith("controlkit.exercises."):
        return True
    return inspect.isfunction(item) and statements(item) <= BRIEF


def statements(item: Callable[..., Any]) -> int:
    """Count the statements of a function, those inside others too, its docstring apart."""
    function = ast.parse(inspect.cleandoc("\n" + inspect.getsource(item))).body[0]
    assert isinstance(function, ast.FunctionDef)
    return sum(isinstance(node, ast.stmt) for node in ast.walk(function)) - 1 - bool(ast.get_docstring(function))


def members(item: Any, where: str) -> Iterator[tuple[str, Any]]:
    """Yield the public methods and properties that a class itself defines."""
    for name, member in vars(item).items():
        if name.startswith("_"):
            continue
        plain = member.__func__ if isinstance(member, (classmethod, staticmethod)) else member
        if isinstance(plain, (property, functools.cached_property)) or inspect.isfunction(plain):
            yield f"{where}.{name}", plain


def documented(parsed: Any, *sections: str) -> list[tuple[str, str, str]]:
    """Return name, type and description of each documented parameter; names joined by commas apart."""
    return [
        (name.strip().lstrip("*"), entry.type, " ".join(entry.desc).strip())
        for section in sections
        for entry in parsed[section]
        for name in entry.name.split(",")
    ]


def unit_faults(rows: list[tuple[str, str, str]], kinds: dict[str, str]) -> list[str]:
    """Return what is wrong with the units and shapes of documented quantities."""
    faults = []
    for name, written, text in rows:
        kind, label = written or kinds.get(name, ""), name or written
        if not QUANTITY.search(kind) or NO_QUANTITY.search(kind):
            continue
        units = [part.strip() for found in UNIT.findall(text) for part in found.split(",")]
        if not units:
            faults.append(f"{label}: a quantity without its unit in brackets")
        faults += [f"{label}: [{unit}] is not among the units used here" for unit in units if unit not in KNOWN_UNITS]
        if ARRAY.search(kind) and not SHAPE.search(f"{written} {text}"):
            faults.append(f"{label}: an array without its shape")
    return faults


def summary_faults(parsed: Any) -> list[str]:
    """Return what is wrong with the purpose line."""
    lines = [line for line in parsed["Summary"] if line.strip()]
    if not lines:
        return ["no purpose line"]
    faults = [] if len(lines) == 1 else ["the purpose takes more than one line"]
    if not lines[-1].rstrip().endswith((".", "]")):
        faults.append("the purpose does not end with a full stop")
    return faults


def source_of(item: Any) -> str:
    try:
        return inspect.getsource(item)
    except (OSError, TypeError):
        return ""


def function_faults(item: Callable[..., Any], *, example: bool = False, brief: bool = False) -> list[str]:
    """Return what is wrong with the docstring of a function or method."""
    text = inspect.getdoc(item)
    if not text:
        return ["no docstring"]
    parsed = numpydoc.docscrape.NumpyDocString(text)
    faults = summary_faults(parsed)
    if brief and len(text.strip().splitlines()) == 1:
        return faults
    signature = inspect.signature(item)
    names = [name for name in signature.parameters if name not in ("self", "cls")]
    rows = documented(parsed, "Parameters", "Other Parameters")
    told = [name for name, _, _ in rows]
    if told != names:
        faults.append(f"documented {told}, signature {names}")
    kinds = {name: str(part.annotation) for name, part in signature.parameters.items()}
    loose = {name for name, part in signature.parameters.items() if part.kind is part.VAR_KEYWORD}
    faults += unit_faults([row for row in rows if row[0] not in loose], kinds)
    returns = documented(parsed, "Returns", "Yields")
    answer = str(signature.return_annotation)
    if not returns and answer not in ("None", "<class 'inspect._empty'>", "NoReturn"):
        faults.append(f"returns {answer} and does not say what")
    faults += unit_faults(returns, {})
    raised = set(re.findall(r"^\s+raise (InputError)\b", source_of(item), re.MULTILINE))
    if raised - {entry.type or entry.name for entry in parsed["Raises"]}:
        faults.append("raises InputError and has no Raises section that says when")
    if example and ">>>" not in "\n".join(parsed["Examples"]):
        faults.append("no example that runs")
    return faults


def property_faults(item: Any) -> list[str]:
    """Return what is wrong with the docstring of a property."""
    getter = item.fget if isinstance(item, property) else item.func
    text = inspect.getdoc(getter)
    if not text:
        return ["no docstring"]
    parsed = numpydoc.docscrape.NumpyDocString(text)
    kind = str(inspect.signature(getter).return_annotation)
    if not QUANTITY.search(kind) or NO_QUANTITY.search(kind):
        return []
    returns = documented(parsed, "Returns")
    if returns:
        return unit_faults(returns, {})
    return [] if UNIT.search(text) else ["a quantity without its unit in brackets"]


def class_faults(item: type) -> list[str]:
    """Return what is wrong with the docstring of a class: purpose, fields, units."""
    text = item.__dict__.get("__doc__") or ""
    if not text or (dataclasses.is_dataclass(item) and text.startswith(f"{item.__name__}(")):
        return ["no docstring"]
    parsed = numpydoc.docscrape.NumpyDocString(inspect.cleandoc(text))
    faults = summary_faults(parsed)
    rows = documented(parsed, "Parameters", "Attributes")
    if dataclasses.is_dataclass(item):
        fields = {field.name: str(field.type) for field in dataclasses.fields(item) if not field.name.startswith("_")}
        told = [name for name, _, _ in rows]
        missing = [name for name in fields if name not in told]
        unknown = [name for name in told if name not in fields and not hasattr(item, name)]
        if missing:
            faults.append(f"fields without a description: {missing}")
        if unknown:
            faults.append(f"described but not there: {unknown}")
        faults += unit_faults(rows, fields)
    else:
        faults += unit_faults(rows, {})
    return faults


ITEMS = public()


def test_the_walk_finds_the_package() -> None:
    """Guard against a walk that finds nothing and so passes."""
    for name in ("controlkit.units.read", "controlkit.sources.source", "controlkit.units.InputError"):
        assert name in ITEMS
    assert needs_example(ITEMS["controlkit.mechanics.cable.friction.tension_ratio"])
    assert not needs_example(ITEMS["controlkit.units.read"])


@pytest.mark.parametrize("where", sorted(ITEMS))
def test_docstring_agrees_with_the_code(where: str) -> None:
    item = ITEMS[where]
    if inspect.isclass(item):
        faults = [f"{where}: {fault}" for fault in class_faults(item)]
        for name, member in members(item, where):
            brief = not on_a_door(item) and inspect.isfunction(member) and may_be_brief(member)
            found = function_faults(member, brief=brief) if inspect.isfunction(member) else property_faults(member)
            faults += [f"{name}: {fault}" for fault in found]
    else:
        faults = [
            f"{where}: {fault}"
            for fault in function_faults(item, example=needs_example(item), brief=may_be_brief(item))
        ]
    assert not faults, "\n".join(faults)


def test_every_module_says_what_it_is_for() -> None:
    root = Path(controlkit.__path__[0])
    silent = [
        str(path.relative_to(root))
        for path in root.rglob("*.py")
        if path.read_text(encoding="utf-8").strip()
        and not re.match(r'(#.*\n|\s)*r?"""\S', path.read_text(encoding="utf-8"))
    ]
    assert not silent


# --- the rules, tried on bad examples --------------------------------------------------------------


def _good(bend: float, cable: str) -> float:
    """Return the part of the pull that is left.

    Parameters
    ----------
    bend : float
        Total bend [rad]
    cable : str
        Name of the cable

    Returns
    -------
    float
        Share left [-]

    Examples
    --------
    >>> 1 + 1
    2
    """
    return bend


def _changed(old: str, new: str) -> Callable[..., Any]:
    text = _good.__doc__ or ""
    assert old in text

    def bad(bend: float, cable: str) -> float:
        return bend

    bad.__doc__ = text.replace(old, new)
    return bad


def test_a_good_docstring_passes() -> None:
    assert function_faults(_good, example=True) == []


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ("bend : float", "angle : float", "documented"),
        ("Total bend [rad]", "Total bend", "bend: a quantity"),
        ("Total bend [rad]", "Total bend [furlong]", "not among the units"),
        ("bend : float\n        Total bend [rad]", "bend : ndarray\n        All bends [rad]", "without its shape"),
        ("Share left [-]", "Share left", "float: a quantity"),
        ("that is left.", "that is left", "full stop"),
        ("that is left.", "that\n    is left.", "more than one line"),
        ("    Returns\n    -------\n    float\n        Share left [-]\n", "", "does not say what"),
        (">>> 1 + 1", "one and one", "no example"),
    ],
)
def test_a_bad_docstring_is_caught(old: str, new: str, fault: str) -> None:
    assert any(fault in found for found in function_faults(_changed(old, new), example=True))


def test_a_field_without_description_or_unit_is_caught() -> None:
    @dataclasses.dataclass(frozen=True)
    class Strap:
        """One strap.

        Parameters
        ----------
        width : float
            Width of the webbing
        colour : str
            Not a field
        """

        width: float
        length: float

    faults = " ".join(class_faults(Strap))
    assert "['length']" in faults
    assert "['colour']" in faults
    assert "width: a quantity" in faults


def test_an_error_that_is_not_announced_is_caught() -> None:
    def strict(bend: float) -> None:
        """Refuse.

        Parameters
        ----------
        bend : float
            Bend [rad]
        """
        from controlkit.units import InputError

        raise InputError(given="No.")

    assert any("Raises" in fault for fault in function_faults(strict))
