"""What the readings taken so far leave standing: which faults, what speaks against the others, what to read next."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.bench.faults.fault import HEALTHY
from controlkit.mechanics.bench.faults.telling import Signatures
from controlkit.mechanics.bench.taken import Repeated
from controlkit.units import InputError

Array = NDArray[np.float64]

LIMIT = 1.5
"""How many times its doubt a reading must lie off before it speaks against a fault: three standard deviations, so
that a dozen readings rarely put out the true one. An assumption [-]."""


@dataclass(frozen=True)
class Against:
    """What speaks against a fault.

    Attributes
    ----------
    reading : str
        Name of the reading that lies furthest off, at the size of the fault that suits all readings best
    read : float
        What was read [SI]
    expected : float
        What it would be with that fault [SI]
    margin : float
        The difference over the doubt of what was read; above `LIMIT` it speaks against the fault [-]
    """

    reading: str
    read: float
    expected: float
    margin: float

    @property
    def excludes(self) -> bool:
        """Whether it puts the fault out."""
        return self.margin > LIMIT


@dataclass(frozen=True, eq=False)
class FaultsLeft:
    """What readings leave standing.

    Parameters
    ----------
    signatures : Signatures
        What the bench reads sound and with each fault
    taken : mapping
        What was read, by the name of the reading

    Raises
    ------
    InputError
        If a reading is not one of the bench

    Notes
    -----
    A fault stands as long as one and the same size of it lies within `LIMIT` doubts of every reading. Between the sizes
    that were worked out, readings are taken to change in proportion. One fault at a time is supposed.

    Examples
    --------
    >>> from controlkit.mechanics.bench import InstrumentReading
    >>> bench = lambda pull, tape: {
    ...     "pull": InstrumentReading("Pull", pull, "force"), "tape": InstrumentReading("Tape", tape, "length")}
    >>> signatures = Signatures(bench(30.0, 0.75), {"dirt": (bench(36.0, 0.75), bench(50.0, 0.75)),
    ...     "long": (bench(30.0, 0.76), bench(30.0, 0.79))})
    >>> FaultsLeft(signatures, {"pull": Repeated((41.0,), (2.0,))}).left
    ('dirt',)
    """

    signatures: Signatures
    taken: Mapping[str, Repeated]

    def __post_init__(self) -> None:
        unknown = [name for name in self.taken if name not in self.signatures.healthy]
        if unknown:
            raise InputError(
                given=f"There is no reading of the name {unknown[0]!r}.",
                allowed=f"The bench reads: {', '.join(self.signatures.healthy)}.",
            )

    @property
    def names(self) -> tuple[str, ...]:
        """Health and every fault, in order."""
        return tuple(self.signatures.curves)

    @cached_property
    def against(self) -> Mapping[str, Against | None]:
        """What speaks most against each, or least for it; nothing before anything has been read."""
        return {name: self._against(name) for name in self.names}

    @cached_property
    def left(self) -> tuple[str, ...]:
        """Health and faults that still stand."""
        return tuple(name for name, one in self.against.items() if one is None or not one.excludes)

    def decides(self, reading: str, one: str, other: str) -> bool:
        """Whether one more reading could tell two that stand apart, whatever their sizes that still stand.

        Parameters
        ----------
        reading : str
            Name of the reading
        one, other : str
            Two of those that stand

        Returns
        -------
        bool
            Whether their values lie further apart than `LIMIT` errors of a reading of the usual instrument

        Notes
        -----
        Where one of the two does not stand any more, nothing is left to be told.
        """
        return self.apart(reading, one, other) > LIMIT

    def apart(self, reading: str, one: str, other: str) -> float:
        """How far two that stand lie apart in a reading, where they are most alike.

        Parameters
        ----------
        reading : str
            Name of the reading
        one, other : str
            Two of those that stand

        Returns
        -------
        float
            Difference over the error of one reading; nought where one of them does not stand [-]
        """
        at = list(self.signatures.healthy).index(reading)
        ways = [self.signatures.curves[name][self._fits(name)][:, at] for name in (one, other)]
        if not all(way.size for way in ways):
            return 0.0
        (low, high), (least, most) = ((float(way.min()), float(way.max())) for way in ways)
        return max(least - high, low - most, 0.0)

    def next(self) -> tuple[str, float]:
        """The reading that would put out most of those that stand.

        Returns
        -------
        tuple of str and float
            Its name, empty if none would, and the share of pairs that it would tell apart [-]
        """
        pairs = [(one, other) for k, one in enumerate(self.left) for other in self.left[:k]]
        if not pairs:
            return "", 0.0
        told = {name: sum(self.decides(name, *pair) for pair in pairs) for name in self.signatures.healthy}
        best = max(told, key=lambda name: told[name])
        return (best, told[best] / len(pairs)) if told[best] else ("", 0.0)

    def _away(self, name: str) -> Array:
        """How far each reading lies from each size of a fault, over its doubt, shape (sizes, readings taken)."""
        columns = [list(self.signatures.healthy).index(key) for key in self.taken]
        curve = self.signatures.curves[name][:, columns] * self._errors
        seen = np.array([one.mean for one in self.taken.values()])
        doubt = np.array([one.doubt for one in self.taken.values()])
        return np.asarray(np.abs(curve - seen) / doubt)

    def _fits(self, name: str) -> NDArray[np.bool_]:
        if not self.taken:
            return np.ones(len(self.signatures.curves[name]), dtype=bool)
        return np.asarray(self._away(name).max(axis=1) <= LIMIT)

    @cached_property
    def _errors(self) -> Array:
        return np.array([self.signatures.healthy[key].error for key in self.taken])

    def _against(self, name: str) -> Against | None:
        if not self.taken:
            return None
        away = self._away(name)
        size = int(away.max(axis=1).argmin())
        worst = int(away[size].argmax())
        reading, read = list(self.taken.items())[worst]
        at = list(self.signatures.healthy).index(reading)
        expected = float(self.signatures.curves[name][size, at] * self._errors[worst])
        return Against(reading, read.mean, expected, float(away[size, worst]))


def fewest(signatures: Signatures, readings: Mapping[str, float], among: Iterable[str] = ()) -> tuple[str, ...]:
    """The readings with which somebody who knew where to look would have named a condition.

    Parameters
    ----------
    signatures : Signatures
        What the bench reads sound and with each fault
    readings : mapping
        What there is to be read, without scatter [SI]
    among : iterable of str
        Readings to choose from; all of the bench unless given

    Returns
    -------
    tuple of str
        Names, each taken once, the one that puts out most first; with them no other reading puts out more

    Notes
    -----
    Each step takes what puts out most then: rarely one more than the fewest that would do.

    Examples
    --------
    >>> from controlkit.mechanics.bench import InstrumentReading
    >>> pull = lambda force: {"pull": InstrumentReading("Pull", force, "force")}
    >>> fewest(Signatures(pull(30.0), {"dirt": (pull(40.0), pull(60.0))}), {"pull": 48.0})
    ('pull',)
    """
    offered, chosen = tuple(among) or tuple(signatures.healthy), list[str]()
    once = {name: Repeated((readings[name],), (signatures.healthy[name].error,)) for name in offered}
    left = len(signatures.curves)
    while left > 1:
        tried = {
            name: len(FaultsLeft(signatures, {key: once[key] for key in (*chosen, name)}).left)
            for name in offered
            if name not in chosen
        }
        best = min(tried, key=lambda name: tried[name], default="")
        if not best or tried[best] >= left:
            break
        chosen.append(best)
        left = tried[best]
    return tuple(chosen)


__all__ = ["HEALTHY", "LIMIT", "Against", "FaultsLeft", "fewest"]
