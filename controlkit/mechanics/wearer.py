"""The body measurements of one wearer, measured or drawn from the survey statistics."""

from __future__ import annotations

import re
from dataclasses import dataclass, fields, replace
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..sources import survey
from ..units import InputError, show

Array = NDArray[np.float64]

CREDIBLE_SPREAD = 4.5
"""How many standard deviations from the mean a single measurement may lie [-]."""


@dataclass(frozen=True)
class Wearer:
    """One person who wears the harness: the measurements that the mechanics needs.

    Parameters
    ----------
    sex : str
        "female" or "male"; chooses the survey that judges credibility
    amputated : str
        "left" or "right"
    level : str
        "transradial" (below the elbow) or "transhumeral" (above it)
    residual_share : float
        Length of the residual limb as a share of the sound segment [-]
    name : str
        What to call this wearer in pictures and words
    stature : float
        Standing height [m]
    cervicale_height : float
        Height of the C7 spinous process above the floor [m]
    acromial_height : float
        Height of the acromion above the floor [m]
    axilla_height : float
        Height of the front fold of the armpit above the floor [m]
    suprasternale_height : float
        Height of the notch above the breastbone over the floor [m]
    biacromial_breadth : float
        Distance between both acromia [m]
    bideltoid_breadth : float
        Largest breadth across the shoulders, muscle included [m]
    chest_breadth : float
        Breadth of the chest at the ribs [m]
    chest_depth : float
        Depth of the chest, front to back [m]
    chest_circumference : float
        Girth of the chest [m]
    waist_breadth : float
        Breadth of the waist [m]
    waist_depth : float
        Depth of the waist [m]
    waist_circumference : float
        Girth of the waist [m]
    neck_base_circumference : float
        Girth round the base of the neck [m]
    acromion_radiale_length : float
        Upper arm, acromion to the head of the radius [m]
    radiale_stylion_length : float
        Forearm, head of the radius to the wrist [m]
    shoulder_elbow_length : float
        Acromion to the tip of the elbow, elbow bent [m]
    forearm_hand_length : float
        Tip of the elbow to the fingertip [m]
    hand_length : float
        Wrist crease to the fingertip [m]
    biceps_circumference_flexed : float
        Girth of the flexed upper arm [m]
    shoulder_length : float
        Neck to acromion along the shoulder [m]
    waist_height : float
        Height of the waist (navel) above the floor [m]
    interscye : float
        Across the back from armpit fold to armpit fold [m]
    mass : float
        Body mass [kg]

    Raises
    ------
    InputError
        If a measurement, or two together, cannot belong to a person in the survey's range

    Notes
    -----
    Population figures come from a survey of military adults (ANSUR II): fit, mostly 17 to 58
    years old, and not a clinical population. Each measurement may lie 4.5 standard deviations
    from its mean; then combinations are checked.

    Examples
    --------
    >>> round(Wearer.average("female").stature, 3)
    1.629
    """

    sex: str
    amputated: str
    level: str
    residual_share: float
    name: str
    stature: float
    cervicale_height: float
    acromial_height: float
    axilla_height: float
    suprasternale_height: float
    biacromial_breadth: float
    bideltoid_breadth: float
    chest_breadth: float
    chest_depth: float
    chest_circumference: float
    waist_breadth: float
    waist_depth: float
    waist_circumference: float
    neck_base_circumference: float
    acromion_radiale_length: float
    radiale_stylion_length: float
    shoulder_elbow_length: float
    forearm_hand_length: float
    hand_length: float
    biceps_circumference_flexed: float
    shoulder_length: float
    waist_height: float
    interscye: float
    mass: float

    def __post_init__(self) -> None:
        _check_words(self)
        _check_measures(self)

    @classmethod
    def average(cls, sex: str, **who: Any) -> "Wearer":
        """The wearer with every measurement at its mean.

        Parameters
        ----------
        sex : str
            "female" or "male"
        **who : str or float
            amputated, level, residual_share, name, as in `Wearer`

        Returns
        -------
        Wearer
            The average wearer

        Examples
        --------
        >>> Wearer.average("male", amputated="left").amputated
        'left'
        """
        return cls.measured(sex, **who)

    @classmethod
    def measured(cls, sex: str, **known: Any) -> "Wearer":
        """The most likely wearer, given the measurements that are known.

        .. math:: m = \\mu + \\Sigma_{mk} \\Sigma_{kk}^{-1} (k - \\mu_k)

        Parameters
        ----------
        sex : str
            "female" or "male"
        **known : float or str
            Known measurements by name [m, kg]; and amputated, level, residual_share, name

        Returns
        -------
        Wearer
            Known measurements as given, the rest at their conditional mean

        Raises
        ------
        InputError
            If a name is not a measurement or a value is not credible

        Notes
        -----
        Multivariate normal statistics of the survey.

        Examples
        --------
        >>> round(Wearer.measured("male", stature=1.90).acromion_radiale_length, 3)
        0.364
        """
        who, measures = _split(sex, known)
        statistics = _statistics(sex)
        order = statistics.order
        values = np.array(statistics.mean)
        if measures:
            _check_single(sex, measures)
            index = [order.index(name) for name in measures]
            covariance = _covariance(sex)
            offset = np.array([measures[name] for name in measures]) - values[index]
            values = values + covariance[:, index] @ np.linalg.solve(
                covariance[np.ix_(index, index)], offset
            )
            values[index] = [measures[name] for name in measures]
        return cls(sex, *who, *(float(v) for v in values))

    @classmethod
    def at_percentile(cls, sex: str, percentile: float, of: str = "stature", **who: Any) -> "Wearer":
        """The most likely wearer at one percentile of one measurement.

        Parameters
        ----------
        sex : str
            "female" or "male"
        percentile : float
            Between 0.1 and 99.9 [-]
        of : str
            Name of the measurement
        **who : str or float
            amputated, level, residual_share, name, as in `Wearer`

        Returns
        -------
        Wearer
            That measurement at its percentile, the rest at their conditional mean

        Raises
        ------
        InputError
            If the percentile or the name is not usable

        Examples
        --------
        >>> round(Wearer.at_percentile("female", 5).stature, 3)
        1.523
        """
        from scipy.special import ndtri

        if not 0.1 <= percentile <= 99.9:
            raise InputError(
                f"A percentile of {percentile:g} was given. Give one between 0.1 and 99.9."
            )
        statistics = _statistics(sex)
        if of not in statistics.order:
            raise InputError(_unknown(of, statistics.order))
        k = statistics.order.index(of)
        value = statistics.mean[k] + statistics.sd[k] * float(ndtri(percentile / 100.0))
        return cls.measured(sex, **{of: float(value)}, **who)

    @classmethod
    def draw(cls, sex: str, count: int, seed: int, **who: Any) -> "tuple[Wearer, ...]":
        """Random wearers of the survey's population; impossible bodies are drawn again whole.

        Parameters
        ----------
        sex : str
            "female" or "male"
        count : int
            How many [-]
        seed : int
            Same seed, same wearers
        **who : str or float
            amputated, level, residual_share, name, as in `Wearer`

        Returns
        -------
        tuple of Wearer
            As many wearers as asked for

        Notes
        -----
        A draw that is not credible is rejected whole: clipping single measurements
        would make bodies that nobody has.

        Examples
        --------
        >>> len(Wearer.draw("female", 3, seed=1))
        3
        """
        place, _ = _split(sex, who)
        statistics = _statistics(sex)
        root = np.linalg.cholesky(_covariance(sex))
        rng = np.random.default_rng(seed)
        found: list[Wearer] = []
        while len(found) < count:
            values = statistics.mean + root @ rng.standard_normal(len(statistics.order))
            try:
                found.append(cls(sex, *place, *(float(v) for v in values)))
            except InputError:
                continue
        return tuple(found)

    def with_(self, **changes: Any) -> "Wearer":
        """The same wearer with some entries changed, and checked again.

        Parameters
        ----------
        **changes : float or str
            Fields to change [m, kg]

        Returns
        -------
        Wearer
            The changed wearer

        Examples
        --------
        >>> Wearer.average("male").with_(amputated="left").amputated
        'left'
        """
        return replace(self, **changes)


_WHO: dict[str, Any] = {
    "amputated": "right", "level": "transradial", "residual_share": 0.6, "name": "",
}
_CHOICES = {
    "sex": ("female", "male"),
    "amputated": ("left", "right"),
    "level": ("transradial", "transhumeral"),
}
_ABOVE = (
    ("stature", "cervicale_height", "the C7 vertebra"),
    ("cervicale_height", "suprasternale_height", "the notch above the breastbone"),
    ("cervicale_height", "acromial_height", "the acromion"),
    ("acromial_height", "axilla_height", "the armpit"),
    ("axilla_height", "waist_height", "the waist"),
)


def _words(name: str) -> str:
    return re.sub("_", " ", name)


def _unknown(name: str, order: tuple[str, ...]) -> str:
    known = ", ".join(order)
    return f'"{name}" is not a measurement of the survey. Use one of: {known}.'


def _split(sex: str, given: dict[str, Any]) -> tuple[list[Any], dict[str, float]]:
    if sex not in _CHOICES["sex"]:
        raise InputError(f'"{sex}" was given as sex. The survey has "female" and "male".')
    order = _statistics(sex).order
    for name in given:
        if name not in _WHO and name not in order:
            raise InputError(_unknown(name, order))
    who = [given.get(name, default) for name, default in _WHO.items()]
    return who, {name: _number(name, v) for name, v in given.items() if name not in _WHO}


def _number(name: str, value: Any) -> float:
    try:
        number = float(value)
    except (TypeError, ValueError):
        number = float("nan")
    if isinstance(value, (bool, str)) or not np.isfinite(number):
        raise InputError(
            f"{_words(name).capitalize()} was given as {value!r}. Give one number, for example mm(1750)."
        )
    return number


@lru_cache(maxsize=None)
def _statistics(sex: str) -> Any:
    return survey(sex)


@lru_cache(maxsize=None)
def _covariance(sex: str) -> Array:
    statistics = _statistics(sex)
    spread = np.asarray(statistics.sd)
    return np.asarray(statistics.correlation) * np.outer(spread, spread)


def _check_words(wearer: Wearer) -> None:
    for name, allowed in _CHOICES.items():
        if getattr(wearer, name) not in allowed:
            raise InputError(
                f'{_words(name).capitalize()} was given as "{getattr(wearer, name)}". '
                f'Use "{allowed[0]}" or "{allowed[1]}".'
            )
    if not 0.2 <= _number("residual_share", wearer.residual_share) <= 0.95:
        raise InputError(
            f"The residual limb was given as {wearer.residual_share:g} of the sound segment. "
            "Give a share between 0.2 and 0.95."
        )


def _shown(name: str, value: float) -> str:
    return show(value, "mass" if name == "mass" else "length")


def _check_single(sex: str, measures: dict[str, float]) -> None:
    statistics = _statistics(sex)
    for name, value in measures.items():
        k = statistics.order.index(name)
        reach = CREDIBLE_SPREAD * statistics.sd[k]
        low, high = float(statistics.mean[k] - reach), float(statistics.mean[k] + reach)
        if not low <= value <= high:
            hint = " Lengths are in metres: write mm(1750) for 1750 mm." if value > 3.0 and name != "mass" else ""
            raise InputError(
                f"{_words(name).capitalize()} of {_shown(name, value)} is not credible for a "
                f"{'woman' if sex == 'female' else 'man'}: give between {_shown(name, low)} and "
                f"{_shown(name, high)}.{hint}"
            )


def _check_measures(wearer: Wearer) -> None:
    statistics = _statistics(wearer.sex)
    measures = {name: _number(name, getattr(wearer, name)) for name in statistics.order}
    _check_single(wearer.sex, measures)
    for upper, lower, what in _ABOVE:
        if measures[upper] - measures[lower] < 0.01:
            raise InputError(
                f"{_words(upper).capitalize()} of {_shown(upper, measures[upper])} is not above {what} "
                f"at {_shown(lower, measures[lower])}. Check which of the two was misread."
            )
    for place in ("chest", "waist"):
        depth, girth = measures[f"{place}_depth"], measures[f"{place}_circumference"]
        breadth = measures[f"{place}_breadth"]
        least, most = np.pi * np.sqrt((depth**2 + breadth**2) / 2.0) * 0.97, 1.94 * (depth + breadth)
        if place == "chest":  # folds of muscle beside the armpit are in the girth, not in the breadth
            most = 2.0 * (depth + measures["bideltoid_breadth"])
        if not least <= girth <= most:
            raise InputError(
                f"{place.capitalize()} circumference of {show(girth, 'length')} does not fit a {place} "
                f"{show(breadth, 'length')} broad and {show(depth, 'length')} deep: it must lie between "
                f"{show(float(least), 'length')} and {show(float(most), 'length')}. Measure all three again."
            )
    overhang = measures["bideltoid_breadth"] - measures["biacromial_breadth"]
    if overhang < 0.01:
        raise InputError(
            f"Bideltoid breadth of {show(measures['bideltoid_breadth'], 'length')} is hardly more than the "
            f"biacromial breadth of {show(measures['biacromial_breadth'], 'length')}: the deltoid muscles lie "
            "outside the acromia. Measure both again."
        )


def measure_names() -> tuple[str, ...]:
    """Names of the survey's measurements, in its order.

    Returns
    -------
    tuple of str
        The names

    Examples
    --------
    >>> len(measure_names())
    24
    """
    skip = {"sex", *_WHO}
    return tuple(f.name for f in fields(Wearer) if f.name not in skip)
