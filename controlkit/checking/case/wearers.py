"""The wearer of a case: built from the few whole numbers that a case holds."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

from controlkit.checking.case.cases import Value
from controlkit.mechanics import Wearer
from controlkit.units import mm


@lru_cache(maxsize=256)
def body(sex: str, taller: int, wider: int, amputated: str = "right") -> Wearer:
    """Build a wearer from stature and chest, the rest as is most likely with these.

    Parameters
    ----------
    sex : str
        "female" or "male"
    taller : int
        Stature above the mean of the survey [mm]
    wider : int
        Chest circumference above the mean of the survey [mm]
    amputated : str
        "left" or "right"

    Returns
    -------
    Wearer
        With measures in whole millimetres where they are given

    Raises
    ------
    InputError
        If nobody in the survey's range is built like that

    Examples
    --------
    >>> round(body("female", -100, 20).stature, 3)
    1.528
    """
    mean = Wearer.average(sex)
    stature = mm(round(mean.stature / mm(1)) + taller)
    chest = mm(round(mean.chest_circumference / mm(1)) + wider)
    return Wearer.measured(sex, amputated=amputated, stature=stature, chest_circumference=chest)


def own_wearer(values: Mapping[str, Value]) -> Wearer:
    """Build the wearer of a case.

    Parameters
    ----------
    values : mapping
        Drawn values of the case: sex, amputated, and taller and wider in centimetres

    Returns
    -------
    Wearer
        The student's own

    Examples
    --------
    >>> own_wearer({"sex": "male", "taller": 3, "wider": 0, "amputated": "left"}).amputated
    'left'
    """
    return body(str(values["sex"]), 10 * int(values["taller"]), 10 * int(values["wider"]), str(values["amputated"]))
