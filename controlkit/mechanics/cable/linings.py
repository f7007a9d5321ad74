"""Friction of cables in housings and liners: published coefficients as ranges."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from controlkit.mechanics.cable.friction import tension_ratio
from controlkit.sources import SourcedValue, source
from controlkit.units import InputError

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Lining:
    """Cable and inside of its housing: what has been published about their friction.

    Attributes
    ----------
    name : str
        Cable and lining
    kinetic : tuple of float
        Lowest and highest published coefficient, sliding [-]
    static : tuple of float
        Lowest and highest published coefficient, at rest [-]
    published : tuple of SourcedValue
        The values, each with its source and how far to trust it
    """

    name: str
    kinetic: tuple[float, float]
    static: tuple[float, float]
    published: tuple[SourcedValue, ...]

    @property
    def flags(self) -> tuple[str, ...]:
        """How the values were come by, without repeats."""
        return tuple(sorted({value.flag for value in self.published}))

    @property
    def how_known(self) -> str:
        """The flags in words."""
        return "; ".join(dict.fromkeys(value.how_known for value in self.published))

    def arriving(self, pull: float, bend: ArrayLike) -> tuple[tuple[float, Array], ...]:
        """What is left of a pull while the cable slides, with the least and the most published friction.

        Parameters
        ----------
        pull : float
            Force at the harness [N]
        bend : array_like
            Sums of all bends [rad], any shape

        Returns
        -------
        tuple
            Coefficient [-], and forces at the device [N], shape as the bends; the least friction first

        Examples
        --------
        >>> [(mu, round(float(force), 1)) for mu, force in lining("steel in PTFE").arriving(50.0, 1.0)]
        [(0.04, 48.0), (0.16, 42.6)]
        """
        bends = np.asarray(bend, dtype=float)
        return tuple(
            (mu, pull * np.reshape([tension_ratio(mu, one) for one in bends.flat], bends.shape)) for mu in self.kinetic
        )


_PAIRS = {
    "steel in steel, dry": (
        ("steel_on_steel_dry_kinetic", "steel_on_steel_dry_kinetic_b", "steel_on_steel_kinetic_handbook"),
        ("steel_on_steel_dry_static", "steel_on_steel_dry_static_b", "steel_on_steel_static_handbook"),
    ),
    "steel in steel, oiled": (
        ("metal_lubricated_kinetic", "steel_oiled_kinetic"),
        ("metal_lubricated_static", "steel_oiled_static"),
    ),
    "steel in PTFE": (
        ("ptfe_on_steel_kinetic", "ptfe_on_steel_kinetic_handbook"),
        ("ptfe_on_steel_static", "ptfe_on_steel_static_handbook"),
    ),
    "steel in UHMWPE": (("uhmwpe_on_steel",), ("uhmwpe_on_steel",)),
}
LININGS = tuple(_PAIRS)
"""Names of the pairs for which figures were found."""


@lru_cache(maxsize=len(_PAIRS))
def _lining(name: str) -> Lining:
    sliding, resting = ([source(key) for key in keys] for keys in _PAIRS[name])
    return Lining(name, _range(sliding), _range(resting), tuple(dict.fromkeys((*sliding, *resting))))


def _range(values: list[SourcedValue]) -> tuple[float, float]:
    single = [v.si for v in values if v.value is not None]
    low = single + [v.si_low for v in values if v.value is None]
    high = single + [v.si_high for v in values if v.value is None]
    return min(low), max(high)


def lining(name: str) -> Lining:
    """Published friction of a cable in a lining.

    Parameters
    ----------
    name : str
        One of `LININGS`

    Returns
    -------
    Lining
        Ranges with their sources

    Raises
    ------
    InputError
        If there is no such pair

    Notes
    -----
    The figures are for flat samples, not for cables in housings, and scatter widely: take the range, not its
    middle. For UHMWPE at rest and sliding only one range is at hand. For a polymer cord in a lined housing no
    figure was found, so none stands here.

    Examples
    --------
    >>> lining("steel in PTFE").kinetic
    (0.04, 0.16)
    """
    if name not in LININGS:
        raise InputError(
            given=f"There is no lining {name!r}.",
            do=f"Choose one of: {'; '.join(LININGS)}.",
        )
    return _lining(name)
