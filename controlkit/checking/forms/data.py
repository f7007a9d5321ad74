"""A form as plain data, and back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from typing import Any

import numpy as np

from controlkit.checking.forms.base import AnyForm, Form
from controlkit.checking.forms.calls import CallsForm
from controlkit.checking.forms.entries import EntriesForm
from controlkit.checking.forms.formula import FormulaForm
from controlkit.checking.forms.number import NumberForm
from controlkit.checking.forms.text import TextForm
from controlkit.checking.forms.words import OrderForm, WordForm

_SORTS: dict[str, type[Form[Any]]] = {
    kind.sort: kind
    for kind in (AnyForm, CallsForm, EntriesForm, FormulaForm, NumberForm, OrderForm, TextForm, WordForm)
}


def form_data(form: Form[Any]) -> dict[str, Any]:
    """A form as plain data.

    Parameters
    ----------
    form : Form
        Of a kind that the package has

    Returns
    -------
    dict
        For JSON

    Raises
    ------
    ValueError
        If it holds something else than texts, numbers and rows of such, or is of a kind of its own

    Examples
    --------
    >>> form_data(NumberForm(name="pull", kind="force", unit="N"))
    {'form': 'number', 'name': 'pull', 'kind': 'force', 'unit': 'N', 'counts': ''}
    """
    if type(form) is not _SORTS.get(form.sort):
        raise ValueError(f"a form of the sort {type(form).__name__} cannot be kept")
    names = [one.name for one in fields(form)]  # type: ignore[arg-type]  # every kind is a dataclass
    return {"form": form.sort, **{name: _plain(getattr(form, name)) for name in names}}


def form_from(data: Mapping[str, Any]) -> Form[Any]:
    """A form from its plain data.

    Parameters
    ----------
    data : mapping
        As `form_data` gave it

    Returns
    -------
    Form
        The same

    Raises
    ------
    ValueError, TypeError, KeyError
        If it is none

    Examples
    --------
    >>> form_from({"form": "text", "name": "why"})
    TextForm(name='why')
    """
    kind = _SORTS[data["form"]]
    return kind(**{name: _back(value) for name, value in data.items() if name != "form"})


def _plain(value: Any) -> Any:
    """A tuple as a row; a list or an array, which are rarer, by its name."""
    if isinstance(value, Form):
        return form_data(value)
    if isinstance(value, tuple):
        return [_plain(part) for part in value]
    if type(value) is list:
        return {"list": [_plain(part) for part in value]}
    if type(value) is np.ndarray and value.dtype.kind in "iuf":
        return {"array": value.tolist()}
    if isinstance(value, np.generic):
        value = value.item()
    if value is None or type(value) in (str, bool, int, float):
        return value
    raise ValueError(f"something of the sort {type(value).__name__} cannot be kept")


def _back(value: Any) -> Any:
    if isinstance(value, list):
        return tuple(_back(part) for part in value)
    if isinstance(value, dict):
        if set(value) == {"list"}:
            return [_back(part) for part in value["list"]]
        return np.array(value["array"]) if set(value) == {"array"} else form_from(value)
    return value
