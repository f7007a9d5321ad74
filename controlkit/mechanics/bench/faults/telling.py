"""Which bench reading tells one fault from another, and whether readings name a hidden one."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.bench.faults.changes import FAULTS
from controlkit.mechanics.bench.faults.fault import HEALTHY, Fault, S
from controlkit.mechanics.bench.instruments import InstrumentReading
from controlkit.mechanics.bench.worn import WornBench, symptoms
from controlkit.mechanics.chain.single import SingleControl
from controlkit.units import InputError, show

Array = NDArray[np.float64]

_FINE = 25  # sizes between the measured ones, for each fault


@dataclass(frozen=True)
class Pair:
    """What tells two conditions apart.

    Attributes
    ----------
    one, other : str
        Names of the faults, or "healthy"
    reading : str
        Reading that differs most where the two are most alike
    margin : float
        That difference over the reading's error; above 1 the reading tells them apart [-]
    """

    one: str
    other: str
    reading: str
    margin: float

    @property
    def told(self) -> bool:
        """Whether the difference is larger than the reading's error."""
        return self.margin > 1.0


@dataclass(frozen=True)
class Signatures:
    """What the bench reads for a healthy system and for each fault, small, middling and large.

    Attributes
    ----------
    healthy : mapping
        Readings of the healthy system by name
    faults : mapping
        Readings by name of the fault, one mapping for each of its sizes
    """

    healthy: Mapping[str, InstrumentReading]
    faults: Mapping[str, tuple[Mapping[str, InstrumentReading], ...]]

    @cached_property
    def pairs(self) -> tuple[Pair, ...]:
        """Every fault against health and against every other, each at the sizes where the two are most alike."""
        names = list(self.curves)
        return tuple(self._pair(one, other) for k, one in enumerate(names) for other in names[:k])

    @property
    def untold(self) -> tuple[Pair, ...]:
        """Pairs that no reading of this bench tells apart at every size."""
        return tuple(pair for pair in self.pairs if not pair.told)

    def name(self, readings: Mapping[str, float]) -> str:
        """Name the condition whose readings lie nearest.

        Parameters
        ----------
        readings : mapping
            Value of each reading by its name [SI]

        Returns
        -------
        str
            A fault, or "healthy"

        Raises
        ------
        InputError
            If a reading is missing

        Examples
        --------
        >>> pull = lambda force: {"pull": InstrumentReading("Pull", force, "force")}
        >>> signatures = Signatures(pull(30.0), {"dirt": (pull(40.0), pull(60.0))})
        >>> signatures.name({"pull": 48.0})
        'dirt'
        """
        missing = [name for name in self._names if name not in readings]
        if missing:
            raise InputError(
                given=f"These readings are missing: {', '.join(missing)}.",
                do="Give one for each of the bench.",
            )
        seen = np.array([readings[name] for name in self._names]) / self._errors
        away = {name: float(((curve - seen) ** 2).sum(axis=1).min()) for name, curve in self.curves.items()}
        return min(away, key=lambda name: away[name])

    def table(self) -> str:
        """What each fault does to the readings that it changes by more than their error.

        Returns
        -------
        str
            One line for each fault, at its middling size

        Examples
        --------
        >>> pull = lambda force: {"pull": InstrumentReading("Pull", force, "force")}
        >>> Signatures(pull(30.0), {"dirt": (pull(40.0), pull(60.0))}).table()
        'dirt: Pull 30.0 N (6.7 lbf) to 60.0 N (13.5 lbf)'
        """
        lines = []
        for name, sizes in self.faults.items():
            changed = []
            for key, seen in sizes[len(sizes) // 2].items():
                was = self.healthy[key]
                if abs(seen.value - was.value) > was.error:
                    changed.append(f"{was.what} {show(was.value, was.kind)} to {show(seen.value, was.kind)}")
            lines.append(f"{name}: {'; '.join(changed) or 'no reading changes by more than its error'}")
        return "\n".join(lines)

    @cached_property
    def _names(self) -> tuple[str, ...]:
        return tuple(self.healthy)

    @cached_property
    def _errors(self) -> Array:
        return np.array([reading.error for reading in self.healthy.values()])

    @cached_property
    def curves(self) -> dict[str, Array]:
        """Readings over their errors along the sizes of each fault, shape (sizes, readings)."""
        curves = {HEALTHY: self._row(self.healthy)[None]}
        for name, sizes in self.faults.items():
            rows = np.stack([self._row(size) for size in sizes])
            at, fine = np.arange(len(rows)), np.linspace(0.0, len(rows) - 1.0, _FINE)
            curves[name] = np.stack([np.interp(fine, at, column) for column in rows.T], axis=1)
        return curves

    def _row(self, readings: Mapping[str, InstrumentReading]) -> Array:
        return np.array([readings[name].value for name in self._names]) / self._errors

    def _pair(self, one: str, other: str) -> Pair:
        apart = np.abs(self.curves[one][:, None] - self.curves[other][None])
        worst = np.unravel_index(int(apart.max(axis=2).argmin()), apart.shape[:2])
        which = int(apart[worst].argmax())
        return Pair(one, other, self._names[which], float(apart[worst][which]))


def tell_apart(system: SingleControl, faults: Sequence[Fault[SingleControl]] = FAULTS) -> Signatures:
    """Measure a healthy system, and the same system with each fault.

    Parameters
    ----------
    system : SingleControl
        A healthy system
    faults : sequence of Fault
        Faults to try

    Returns
    -------
    Signatures
        Readings of all of them, and which pairs they tell apart

    Raises
    ------
    InputError
        If a fault can't be made in this system

    Notes
    -----
    Each fault is measured small, middling and large; between these sizes readings are taken to change in
    proportion.

    Examples
    --------
    >>> from controlkit.mechanics import SingleControl, Wearer, figure_of_eight
    >>> system = SingleControl(figure_of_eight(Wearer.average("male")))
    >>> found = tell_apart(system, [fault for fault in FAULTS if fault.name == "weak bands"])
    >>> found.untold
    ()
    """
    return measured(system, faults, _read_below(system))


def measured(system: S, faults: Sequence[Fault[S]], read: Callable[[S], Mapping[str, InstrumentReading]]) -> Signatures:
    """Read a healthy system, and the same with each fault at each of its sizes.

    Parameters
    ----------
    system : S
        A healthy system
    faults : sequence of Fault
        Faults to try
    read : callable
        From a system to everything that a bench reads on it

    Returns
    -------
    Signatures
        Readings of all of them
    """
    faulty = {fault.name: tuple(read(fault.at(system, size)) for size in fault.sizes) for fault in faults}
    return Signatures(read(system), faulty)


def _read_below(system: SingleControl) -> Callable[[SingleControl], Mapping[str, InstrumentReading]]:
    near = WornBench(system).found
    return lambda faulty: symptoms(faulty, near)


@dataclass(frozen=True)
class Guess:
    """One trial of the blind test.

    Attributes
    ----------
    hidden : str
        The fault that was made
    size : float
        Its size [SI]
    named : str
        What the readings name
    """

    hidden: str
    size: float
    named: str

    @property
    def right(self) -> bool:
        """Whether the readings name the fault."""
        return self.hidden == self.named


def blind(
    system: SingleControl,
    signatures: Signatures,
    *,
    trials: int,
    seed: int,
    faults: Sequence[Fault[SingleControl]] = FAULTS,
) -> tuple[Guess, ...]:
    """Change one thing at random, read the bench with its errors, and let the readings name the fault.

    Parameters
    ----------
    system : SingleControl
        The healthy system whose signatures are known
    signatures : Signatures
        What `tell_apart` has measured on it
    trials : int
        How many times [-]
    seed : int
        Start of the random draw: the same seed gives the same trials [-]
    faults : sequence of Fault
        Faults to draw from

    Returns
    -------
    tuple of Guess
        What was hidden and what was named

    Notes
    -----
    Sizes are drawn evenly over each fault's range. Readings err normally, their stated error taken as
    twice the standard deviation: an assumption.

    Examples
    --------
    >>> from controlkit.mechanics import SingleControl, Wearer, figure_of_eight
    >>> system = SingleControl(figure_of_eight(Wearer.average("male")))
    >>> one = [fault for fault in FAULTS if fault.name == "weak bands"]
    >>> blind(system, tell_apart(system, one), trials=1, seed=7, faults=one)[0].named
    'weak bands'
    """
    return guessed(system, signatures, faults, _read_below(system), trials=trials, seed=seed)


def guessed(
    system: S,
    signatures: Signatures,
    faults: Sequence[Fault[S]],
    read: Callable[[S], Mapping[str, InstrumentReading]],
    *,
    trials: int,
    seed: int,
) -> tuple[Guess, ...]:
    """Do what `blind` says with any bench.

    Parameters
    ----------
    system : S
        The healthy system whose signatures are known
    signatures : Signatures
        What was measured on it
    faults : sequence of Fault
        Faults to draw from
    read : callable
        From a system to everything that the bench reads on it
    trials : int
        How many times [-]
    seed : int
        Start of the random draw [-]

    Returns
    -------
    tuple of Guess
        What was hidden and what was named
    """
    draw, guesses = np.random.default_rng(seed), []
    for _ in range(trials):
        fault = faults[int(draw.integers(len(faults)))]
        size = fault.drawn(draw.uniform())
        seen = read(fault.at(system, size))
        noisy = {name: r.value + 0.5 * r.error * draw.standard_normal() for name, r in seen.items()}
        guesses.append(Guess(fault.name, size, signatures.name(noisy)))
    return tuple(guesses)
