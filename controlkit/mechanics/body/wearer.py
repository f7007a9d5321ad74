"""The body measurements of one wearer, measured or drawn from the survey statistics."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.body.credible import (
    WHO,
    check_measures,
    check_single,
    check_together,
    check_words,
    covariance_of,
    split_known,
    statistics_of,
    unknown_measure,
)
from controlkit.units import InputError


@dataclass(frozen=True, kw_only=True)
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
    from its mean, and 6 conditional ones from what all the others let expect; heights must stand
    in their order and girths must close.

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
        check_words(self)
        check_measures(self)

    @classmethod
    def average(cls, sex: str, **who: Any) -> Wearer:
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
    def measured(cls, sex: str, **known: Any) -> Wearer:
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
            If a name is not a measurement, or a value is not credible alone or beside the others

        Notes
        -----
        Conditional mean of the multivariate normal (T. W. Anderson, An Introduction to Multivariate Statistical
        Analysis, 3rd ed. 2003; cited from memory) with the statistics of the survey. Costs O(known^3).

        Examples
        --------
        >>> round(Wearer.measured("male", stature=1.90).acromion_radiale_length, 3)
        0.364
        """
        who, measures = split_known(sex, known)
        statistics = statistics_of(sex)
        order = statistics.order
        values = np.array(statistics.mean)
        if measures:
            check_single(sex, measures)
            check_together(sex, measures)
            index = [order.index(name) for name in measures]
            covariance = covariance_of(sex)
            offset = np.array([measures[name] for name in measures]) - values[index]
            values = values + covariance[:, index] @ np.linalg.solve(covariance[np.ix_(index, index)], offset)
            values[index] = [measures[name] for name in measures]
        return cls._of(sex, who, values)

    @classmethod
    def at_percentile(cls, sex: str, percentile: float, of: str = "stature", **who: Any) -> Wearer:
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

        Notes
        -----
        Percentiles 5 and 95 are the survey's, counted; the others lie on a curve through both that keeps the mean
        (`controlkit.sources.Survey.percentile`). Measures are skewed: the 50th percentile is not the average wearer.

        Examples
        --------
        >>> round(Wearer.at_percentile("female", 5).stature, 3)
        1.525
        """
        statistics = statistics_of(sex)
        if of not in statistics.order:
            raise unknown_measure(of, statistics.order)
        return cls.measured(sex, **{of: statistics.percentile(of, percentile)}, **who)

    @classmethod
    def draw(cls, sex: str, count: int, seed: int, **who: Any) -> tuple[Wearer, ...]:
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
        person, _ = split_known(sex, who)
        statistics = statistics_of(sex)
        root = np.linalg.cholesky(covariance_of(sex))
        rng = np.random.default_rng(seed)
        found: list[Wearer] = []
        while len(found) < count:
            values = statistics.mean + root @ rng.standard_normal(len(statistics.order))
            try:
                found.append(cls._of(sex, person, values))
            except InputError:
                continue
        return tuple(found)

    @classmethod
    def _of(cls, sex: str, person: dict[str, Any], values: NDArray[np.float64]) -> Wearer:
        """A wearer from measurements in the survey's order [m, kg]."""
        measures: dict[str, Any] = dict(zip(statistics_of(sex).order, map(float, values), strict=True))
        return cls(sex=sex, **person, **measures)

    def with_(self, **changes: Any) -> Wearer:
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
    skip = {"sex", *WHO}
    return tuple(f.name for f in fields(Wearer) if f.name not in skip)
