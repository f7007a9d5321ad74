"""Which measurements can belong to one person, and the words for those that cannot."""

from __future__ import annotations

import re
from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.inputs import number, within
from controlkit.sources import Survey, survey
from controlkit.units import InputError, show

Array = NDArray[np.float64]

CREDIBLE_SPREAD = 4.5
"""How many standard deviations from the mean a single measurement may lie [-]."""
TOGETHER_SPREAD = 6.0
"""How many conditional standard deviations a measurement may lie from what the others let expect [-]."""
WHO: dict[str, Any] = {
    "amputated": "right",
    "level": "transradial",
    "residual_share": 0.6,
    "name": "",
}
CHOICES = {
    "sex": ("female", "male"),
    "amputated": ("left", "right"),
    "level": ("transradial", "transhumeral"),
}
ABOVE = (
    ("stature", "cervicale_height", "the C7 vertebra"),
    ("cervicale_height", "suprasternale_height", "the notch above the breastbone"),
    ("cervicale_height", "acromial_height", "the acromion"),
    ("acromial_height", "axilla_height", "the armpit"),
    ("axilla_height", "waist_height", "the waist"),
)


def _words(name: str) -> str:
    """A name as words."""
    return re.sub("_", " ", name)


def unknown_measure(name: str, order: tuple[str, ...]) -> InputError:
    """What to say of a name that is not a measurement."""
    known = ", ".join(order)
    return InputError(
        given=f'"{name}" is not a measurement of the survey.', allowed=f"one of: {known}", do=f"Use one of: {known}."
    )


def split_known(sex: str, given: dict[str, Any]) -> tuple[dict[str, Any], dict[str, float]]:
    """Part what is known of a wearer into who it is and what was measured.

    Parameters
    ----------
    sex : str
        "female" or "male"
    given : dict
        Entries by name

    Returns
    -------
    who : dict
        Side, level, residual share [-] and name, by name
    measures : dict
        Measurements by name [m, kg]

    Raises
    ------
    InputError
        If a name is not known or a value is not a number

    Examples
    --------
    >>> split_known("male", {"amputated": "left", "stature": 1.8})
    ({'amputated': 'left', 'level': 'transradial', 'residual_share': 0.6, 'name': ''}, {'stature': 1.8})
    """
    if sex not in CHOICES["sex"]:
        raise InputError(
            given=f'"{sex}" was given as sex.',
            allowed='The survey has "female" and "male".',
        )
    order = statistics_of(sex).order
    for name in given:
        if name not in WHO and name not in order:
            raise unknown_measure(name, order)
    who = {name: given.get(name, default) for name, default in WHO.items()}
    return who, {name: _number(name, v) for name, v in given.items() if name not in WHO}


def _number(name: str, value: Any) -> float:
    """One measurement [m, kg]."""
    return number(_words(name).capitalize(), value, "mm(1750)")


@cache
def statistics_of(sex: str) -> Survey:
    """Survey statistics of one sex [m, kg], read once."""
    return survey(sex)


@cache
def covariance_of(sex: str) -> Array:
    """Covariance of the survey's measurements [m2, kg2, m kg], shape (24, 24)."""
    statistics = statistics_of(sex)
    spread = np.asarray(statistics.sd)
    return np.asarray(statistics.correlation) * np.outer(spread, spread)


def check_words(wearer: Any) -> None:
    """Refuse a sex, side, level or share that does not exist.

    Parameters
    ----------
    wearer : Wearer
        The wearer to be

    Raises
    ------
    InputError
        If an entry is not one of those that exist

    Examples
    --------
    >>> from controlkit.mechanics import Wearer
    >>> check_words(Wearer.average("male"))
    """
    for name, allowed in CHOICES.items():
        if getattr(wearer, name) not in allowed:
            raise InputError(
                given=f'{_words(name).capitalize()} was given as "{getattr(wearer, name)}".',
                do=f'Use "{allowed[0]}" or "{allowed[1]}".',
            )
    within("The residual limb", wearer.residual_share, 0.2, 0.95, example="0.6", unit=" of the sound segment")


def _kind(name: str) -> str:
    """Kind of quantity by which a measurement is shown."""
    return "mass" if name == "mass" else "length"


def _shown(name: str, value: float) -> str:
    """A measurement in both unit systems."""
    return show(value, _kind(name))


def check_single(sex: str, measures: dict[str, float]) -> None:
    """Refuse a measurement that nobody in the survey's range has.

    Parameters
    ----------
    sex : str
        "female" or "male"
    measures : dict
        Measurements by name [m, kg]

    Raises
    ------
    InputError
        If one lies too far from the survey's mean

    Examples
    --------
    >>> check_single("male", {"stature": 1.8})
    """
    statistics = statistics_of(sex)
    for name, value in measures.items():
        k = statistics.order.index(name)
        reach = CREDIBLE_SPREAD * statistics.sd[k]
        low, high = float(statistics.mean[k] - reach), float(statistics.mean[k] + reach)
        within(
            _words(name).capitalize(),
            value,
            low,
            high,
            example="mm(1750)",
            of=_kind(name),
            why=f"that is not credible for a {'woman' if sex == 'female' else 'man'}",
            hint="lengths are in metres: write mm(1750) for 1750 mm" if value > 3.0 and name != "mass" else "",
        )


def check_together(sex: str, measures: dict[str, float]) -> None:
    r"""Refuse a measurement that does not fit the others.

    .. math:: z_i = (K^{-1} d)_i / \sqrt{(K^{-1})_{ii}}

    Parameters
    ----------
    sex : str
        "female" or "male"
    measures : dict
        Measurements by name [m, kg]

    Raises
    ------
    InputError
        If one lies too far from its mean given the others

    Notes
    -----
    K is the survey's covariance of these measurements, d their distance from the means: z is how many
    conditional standard deviations each lies from what all the others let expect.

    Examples
    --------
    >>> check_together("male", {"stature": 1.80, "cervicale_height": 1.56})
    """
    if len(measures) < 2:
        return
    statistics, inverse = statistics_of(sex), _precision(sex, tuple(measures))
    index = [statistics.order.index(name) for name in measures]
    values = np.array(list(measures.values()))
    spread = 1.0 / np.sqrt(np.diag(inverse))
    off = (inverse @ (values - statistics.mean[index])) * spread
    k = int(np.argmax(np.abs(off)))
    if abs(off[k]) <= TOGETHER_SPREAD:
        return
    name = list(measures)[k]
    expected, reach = float(values[k] - off[k] * spread[k]), TOGETHER_SPREAD * float(spread[k])
    near = sorted((n for n in measures if n != name), key=lambda n: -abs(inverse[k, list(measures).index(n)]))[0]
    others = f"{_words(near)} of {_shown(near, measures[near])}"
    if len(measures) > 2:
        others += f" and the other {len(measures) - 2}" if len(measures) > 3 else " and the other one"
    raise InputError(
        given=(
            f"{_words(name).capitalize()} of {_shown(name, float(values[k]))} does not fit {others}: beside them it "
            f"would lie between {_shown(name, expected - reach)} and {_shown(name, expected + reach)}."
        ),
        do="Check which of them was misread.",
    )


@cache
def _precision(sex: str, names: tuple[str, ...]) -> Array:
    """Inverse covariance of some measurements."""
    index = [statistics_of(sex).order.index(name) for name in names]
    return np.asarray(np.linalg.inv(covariance_of(sex)[np.ix_(index, index)]))


def check_measures(wearer: Any) -> None:
    """Refuse measurements that cannot belong to one body.

    Parameters
    ----------
    wearer : Wearer
        The wearer to be

    Raises
    ------
    InputError
        If one measurement, or two together, are not credible

    Examples
    --------
    >>> from controlkit.mechanics import Wearer
    >>> check_measures(Wearer.average("male"))
    """
    statistics = statistics_of(wearer.sex)
    measures = {name: _number(name, getattr(wearer, name)) for name in statistics.order}
    check_single(wearer.sex, measures)
    for upper, lower, what in ABOVE:
        if measures[upper] - measures[lower] < 0.01:
            raise InputError(
                given=(
                    f"{_words(upper).capitalize()} of {_shown(upper, measures[upper])} is not above {what} at "
                    f"{_shown(lower, measures[lower])}."
                ),
                do="Check which of the two was misread.",
            )
    for place in ("chest", "waist"):
        depth, girth = measures[f"{place}_depth"], measures[f"{place}_circumference"]
        breadth = measures[f"{place}_breadth"]
        least, most = np.pi * np.sqrt((depth**2 + breadth**2) / 2.0) * 0.97, 1.94 * (depth + breadth)
        if place == "chest":  # folds of muscle beside the armpit are in the girth, not in the breadth
            most = 2.0 * (depth + measures["bideltoid_breadth"])
        if not least <= girth <= most:
            raise InputError(
                given=(
                    f"{place.capitalize()} circumference of {show(girth, 'length')} does not fit a {place} "
                    f"{show(breadth, 'length')} broad and {show(depth, 'length')} deep: it must lie between "
                    f"{show(float(least), 'length')} and {show(float(most), 'length')}."
                ),
                do="Measure all three again.",
            )
    overhang = measures["bideltoid_breadth"] - measures["biacromial_breadth"]
    if overhang < 0.01:
        raise InputError(
            given=(
                f"Bideltoid breadth of {show(measures['bideltoid_breadth'], 'length')} is hardly more than the "
                f"biacromial breadth of {show(measures['biacromial_breadth'], 'length')}: the deltoid muscles lie "
                "outside the acromia."
            ),
            do="Measure both again.",
        )
    check_together(wearer.sex, measures)
