"""Straight lines of working, read and reckoned without running them: numbers, names, brackets, the case.

What is not of this sort is left to be run in confinement. Where a line is reckoned, its value is what Python
would have come to.
"""

from __future__ import annotations

import ast
import math
import operator
from collections.abc import Callable, Mapping
from typing import Any

from controlkit.checking import Case


class NotReckonedError(Exception):
    """A line that would have to be run."""


class Unknown:
    """In place of a value that only running can tell."""


UNKNOWN = Unknown()

_BINARY: Mapping[type, Callable[[Any, Any], Any]] = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
    ast.FloorDiv: operator.floordiv,
    ast.Mod: operator.mod,
    ast.Pow: operator.pow,
}
_UNARY: Mapping[type, Callable[[Any], Any]] = {ast.UAdd: operator.pos, ast.USub: operator.neg, ast.Not: operator.not_}
_COMPARE: Mapping[type, Callable[[Any, Any], Any]] = {
    ast.Lt: operator.lt,
    ast.LtE: operator.le,
    ast.Gt: operator.gt,
    ast.GtE: operator.ge,
    ast.Eq: operator.eq,
    ast.NotEq: operator.ne,
}
_OF_MATH = (
    *("sin", "cos", "tan", "asin", "acos", "atan", "atan2", "sqrt", "exp", "log", "log10"),
    *("radians", "degrees", "hypot", "floor", "ceil", "pi", "e", "tau"),
)
_MATH: Mapping[str, Any] = {name: getattr(math, name) for name in _OF_MATH}
_BUILT_IN: Mapping[str, Any] = {
    "abs": abs, "round": round, "min": min, "max": max, "sum": sum, "float": float, "int": int, "str": str, "len": len,
    "True": True, "False": False, "None": None,
}  # fmt: skip
_MATH_MODULE = object()
"""Stands for the module of mathematics."""

_LONGEST = 1000
"""Longest text or list that is reckoned with [-]."""

_LARGEST = 1e15
"""From there on whole numbers are left to be run: they may grow without end [-]."""


class Mine:
    """Stands for the student's own exercise: only her case can be asked of it.

    Parameters
    ----------
    case : Case
        As it was handed out to her
    name : str
        Her name
    """

    def __init__(self, case: Case, name: str) -> None:
        self.case, self.name = case, name


def names_of_import(statement: ast.stmt) -> dict[str, Any] | None:
    """What an import of mathematics brings; None for any other statement.

    Parameters
    ----------
    statement : ast.stmt
        Of a cell

    Returns
    -------
    dict or None
        Name to function or number
    """
    if isinstance(statement, ast.Import) and all(one.name == "math" for one in statement.names):
        return {one.asname or one.name: _MATH_MODULE for one in statement.names}
    if isinstance(statement, ast.ImportFrom) and statement.module == "math" and not statement.level:
        wanted = {one.asname or one.name: one.name for one in statement.names}
        if all(name in _MATH for name in wanted.values()):
            return {given: _MATH[name] for given, name in wanted.items()}
    return None


def reckon(expression: ast.expr, known: Mapping[str, Any]) -> Any:
    """The value of an expression.

    Parameters
    ----------
    expression : ast.expr
        Of a cell
    known : mapping
        Name to value, as far as they were read

    Returns
    -------
    object
        A plain value, or the case

    Raises
    ------
    NotReckonedError
        If it would have to be run; also where Python would stop with an error

    Examples
    --------
    >>> reckon(ast.parse("2 * (474 - rest) / 3", mode="eval").body, {"rest": 381})
    62.0
    """
    try:
        return _value(expression, known)
    except NotReckonedError:
        raise
    except (ArithmeticError, AttributeError, LookupError, TypeError, ValueError, RecursionError):
        raise NotReckonedError from None


def _value(node: ast.expr, known: Mapping[str, Any]) -> Any:
    match node:
        case ast.Constant(value=value):
            return value
        case ast.Name(id=name):
            return _named(name, known)
        case ast.BinOp(left=left, op=op, right=right) if type(op) in _BINARY:
            return _reckoned(_BINARY[type(op)], _value(left, known), _value(right, known))
        case ast.UnaryOp(op=op, operand=operand) if type(op) in _UNARY:
            return _UNARY[type(op)](_value(operand, known))
        case ast.Compare(left=left, ops=[op], comparators=[right]) if type(op) in _COMPARE:
            return _COMPARE[type(op)](_value(left, known), _value(right, known))
        case ast.IfExp(test=test, body=body, orelse=orelse):
            return _value(body if _value(test, known) else orelse, known)
        case ast.List(elts=parts):
            return [_value(part, known) for part in parts]
        case ast.Tuple(elts=parts):
            return tuple(_value(part, known) for part in parts)
        case ast.Dict(keys=keys, values=values) if all(key is not None for key in keys):
            return {_value(key, known): _value(one, known) for key, one in zip(keys, values, strict=True) if key}
        case ast.JoinedStr(values=parts):
            return _short("".join(_part(part, known) for part in parts))
        case ast.Attribute(value=inner, attr=name):
            return _attribute(_value(inner, known), name)
        case ast.Subscript(value=inner, slice=index) if not isinstance(index, ast.Slice):
            return _entry(_value(inner, known), _value(index, known))
        case ast.Call(func=function, args=given, keywords=keywords):
            return _called(_value_of_function(function, known), given, keywords, known)
    raise NotReckonedError


def _named(name: str, known: Mapping[str, Any]) -> Any:
    value = known[name] if name in known else _BUILT_IN.get(name, UNKNOWN)
    if value is UNKNOWN:
        raise NotReckonedError
    return value


def _value_of_function(node: ast.expr, known: Mapping[str, Any]) -> Any:
    if isinstance(node, ast.Name) and node.id == "dict" and "dict" not in known:
        return dict
    return _value(node, known)


def _reckoned(does: Callable[[Any, Any], Any], one: Any, other: Any) -> Any:
    """Two numbers, or two texts, joined; small enough that nothing grows without end."""
    if does is operator.add and type(one) is type(other) and type(one) in (str, list, tuple):
        return _short(one + other)
    if any(type(number) not in (int, float, bool) for number in (one, other)):
        raise NotReckonedError
    if does is operator.pow and type(one) is int and type(other) is int and abs(one) > 1 and abs(other) > 64:
        raise NotReckonedError
    value = does(one, other)
    if type(value) is complex or (type(value) is int and abs(value) > _LARGEST):
        raise NotReckonedError
    return value


def _part(part: ast.expr, known: Mapping[str, Any]) -> str:
    """A part of a text with values in it."""
    if isinstance(part, ast.Constant):
        return str(part.value)
    if not isinstance(part, ast.FormattedValue) or part.conversion != -1:
        raise NotReckonedError
    value = _value(part.value, known)
    form = ""
    if part.format_spec is not None:
        form = str(_value(part.format_spec, known))
        if len(form) > 6 or type(value) not in (int, float):
            raise NotReckonedError
    if type(value) not in (int, float, str, bool):
        raise NotReckonedError
    return format(value, form)


def _attribute(value: Any, name: str) -> Any:
    if isinstance(value, Mine) and name in ("case", "name"):
        return value.case if name == "case" else value.name
    if isinstance(value, Case):
        return value.values[name]
    if value is _MATH_MODULE:
        return _MATH[name]
    raise NotReckonedError


def _entry(value: Any, index: Any) -> Any:
    if isinstance(value, Case):
        return value.values[index]
    if type(value) in (list, tuple, dict):
        return value[index]
    raise NotReckonedError


def _called(function: Any, given: list[ast.expr], keywords: list[ast.keyword], known: Mapping[str, Any]) -> Any:
    if function is dict and not given and all(one.arg for one in keywords):
        return {str(one.arg): _value(one.value, known) for one in keywords}
    allowed = [*_MATH.values(), *(one for one in _BUILT_IN.values() if callable(one))]
    if keywords or not any(function is one for one in allowed) or any(isinstance(one, ast.Starred) for one in given):
        raise NotReckonedError
    values = [_value(one, known) for one in given]
    plain = (int, float, bool, str, list, tuple)
    if any(type(one) not in plain for one in values):
        raise NotReckonedError
    return _short(function(*values))


def _short(value: Any) -> Any:
    if type(value) in (str, list, tuple) and len(value) > _LONGEST:
        raise NotReckonedError
    return value
