"""Thousands of wearers in one call: excursion and moment arm of the control path, and what they depend on.

The control path with the ring held where it was donned needs no net, so many wearers are pulled taut
at once. Wearers come in lots: a lot has a seed of its own, so that nothing depends on how many
processes share the work, on which machine, and what is done stays done when it is stopped.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import Executor
from contextlib import suppress
from dataclasses import asdict, dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from controlkit.executors import carry_out
from controlkit.mechanics.body.pose import Pose
from controlkit.mechanics.body.wearer import Wearer, measure_names
from controlkit.mechanics.chain.single import SingleControl
from controlkit.mechanics.harness import Harness, figure_of_eight
from controlkit.mechanics.harness.donning import NoHoldError
from controlkit.mechanics.inputs import number
from controlkit.mechanics.study.control_paths import RingPlacement, control_paths
from controlkit.units import InputError

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

FLEXION = tuple(float(a) for a in np.deg2rad(np.arange(0.0, 91.0, 15.0)))
"""Angles of arm flexion that a population takes unless told otherwise [rad]."""
LOT, NET_LOT = 200, 10
"""Wearers that are worked on together: the control path, the whole net [-]."""
STEP = float(np.deg2rad(15.0))
"""Longest step in which a path is followed [rad]."""


@dataclass(frozen=True, kw_only=True)
class Population:
    """Wearers and what each motion gives them; rows not done yet, or without an answer, hold nan.

    Attributes
    ----------
    sex : str
        "female" or "male"
    seed : int
        Of the draws
    where : RingPlacement
        Where every harness lies
    arm_flexion : ndarray
        Angles [rad], shape (poses,)
    measures : ndarray
        Measurements in the order of `measure_names` [m, kg], shape (wearers, 24)
    generated : ndarray
        Excursion with the ring held [m], shape (wearers, poses)
    moment_arm : ndarray
        Of the control strap about arm flexion, ring held [m], shape (wearers, poses)
    captured : ndarray
        Excursion that arrives at the device, where the whole net was asked for [m], shape (wearers, poses) or (0, 0)
    done : ndarray
        Whether a wearer has been worked on [-], shape (wearers,)
    settled : ndarray
        Whether an answer was found for a wearer [-], shape (wearers,)
    """

    sex: str
    seed: int
    where: RingPlacement
    arm_flexion: Array
    measures: Array
    generated: Array
    moment_arm: Array
    captured: Array
    done: Mask
    settled: Mask

    def wearer(self, which: int) -> Wearer:
        """One wearer of the population.

        Parameters
        ----------
        which : int
            Row [-]

        Returns
        -------
        Wearer
            With the measurements of that row

        Examples
        --------
        >>> population("female", 2, seed=1, processes=1).wearer(1).sex
        'female'
        """
        return Wearer.measured(self.sex, **dict(zip(measure_names(), map(float, self.measures[which]), strict=True)))


def population(
    sex: str,
    count: int,
    seed: int,
    *,
    arm_flexion: Sequence[float] = FLEXION,
    ring_below_c7: float = Harness.ring_below_c7,
    ring_to_sound_side: float = Harness.ring_to_sound_side,
    crossbar: float = 0.55,
    net: bool = False,
    processes: int = 2,
    executor: Executor | None = None,
    progress: Callable[[float], object] | None = None,
    start: Population | None = None,
) -> Population:
    """Draw wearers and find what arm flexion gives each of them.

    Parameters
    ----------
    sex : str
        "female" or "male"
    count : int
        How many wearers [-]
    seed : int
        Same seed, same wearers
    arm_flexion : sequence of float
        Rising angles from 0 [rad], shape (poses,)
    ring_below_c7, ring_to_sound_side : float
        Where every ring lies, as in `figure_of_eight` [m]
    crossbar : float
        Where every crossbar sits, share of the upper arm [-]
    net : bool
        Whether to settle ring, straps and skin too, for the captured excursion; some sixty times slower
    processes : int
        Processes that share the work [-]; where none can be started, this one does it all
    executor : Executor, optional
        Who does the work instead, such as a `Cluster` of other machines; what it loses, those processes do
    progress : callable, optional
        Called with the share that is done [-]; returning False stops the work
    start : Population, optional
        What an earlier call for the same wearers had done; that is taken over

    Returns
    -------
    Population
        Arrays over wearers and poses; stopped early (or interrupted from the keyboard) as far as it got

    Raises
    ------
    InputError
        If an angle, a place of the ring or the count is not usable, or `start` belongs to another question

    Notes
    -----
    The survey is of military adults, fit and mostly young: no clinical population. Generated excursion is
    counted from the hanging arm. Every path is followed from there, so that a strap stays on its side of
    the shoulder. Costs O(wearers x poses), shared among the processes.

    Examples
    --------
    >>> some = population("male", 3, seed=1, processes=1)
    >>> some.generated.shape, bool(some.settled.all())
    ((3, 7), True)
    """
    if isinstance(count, bool) or not isinstance(count, int) or count < 1:
        raise InputError(
            given=f"A population of {count!r} was given.",
            do="Give a whole number of wearers, at least 1.",
        )
    if isinstance(seed, bool) or not isinstance(seed, int) or seed < 0:
        raise InputError(
            given=f"A seed of {seed!r} was given.",
            do="Give a whole number, 0 or more.",
        )
    figure_of_eight(
        Wearer.average(sex), ring_below_c7=ring_below_c7, ring_to_sound_side=ring_to_sound_side, crossbar=crossbar
    )
    where = RingPlacement(
        ring_below_c7=float(ring_below_c7), ring_to_sound_side=float(ring_to_sound_side), crossbar=float(crossbar)
    )
    angles = tuple(number("Arm flexion", angle, "deg(60)") for angle in arm_flexion)
    stations, asked = _stations(angles)
    size = (count, len(angles))
    found = Population(
        sex=sex,
        seed=seed,
        where=where,
        arm_flexion=np.array(angles),
        measures=np.full((count, len(measure_names())), np.nan),
        generated=np.full(size, np.nan),
        moment_arm=np.full(size, np.nan),
        captured=np.full(size if net else (0, 0), np.nan),
        done=np.zeros(count, dtype=bool),
        settled=np.zeros(count, dtype=bool),
    )
    if start is not None:
        _take_over(found, start)
    step = NET_LOT if net else LOT
    lots = [
        _Lot(
            sex=sex,
            seed=seed,
            first=first,
            count=min(step, count - first),
            where=where,
            stations=stations,
            asked=asked,
            net=net,
        )
        for first in range(0, count, step)
        if not found.done[first : first + step].all()
    ]

    def keep(worked: tuple[_Lot, tuple[Array, ...]]) -> bool:
        lot, results = worked
        for whole, part in zip(_results(found), results, strict=True):
            whole[lot.rows] = part
        found.done[lot.rows] = True
        found.settled[lot.rows] = np.all([np.isfinite(part).all(axis=1) for part in results], axis=0)
        return progress is None or progress(float(found.done.mean())) is not False

    with suppress(KeyboardInterrupt):
        carry_out(_work, lots, keep=keep, executor=executor, processes=processes)
    return found


@dataclass(frozen=True, kw_only=True)
class _Lot:
    """Some wearers of a population, and what is asked of them."""

    sex: str
    seed: int
    first: int
    count: int
    where: RingPlacement
    stations: tuple[float, ...]
    asked: tuple[int, ...]
    net: bool

    @property
    def rows(self) -> slice:
        return slice(self.first, self.first + self.count)

    def wearers(self) -> tuple[Wearer, ...]:
        lot, before = divmod(self.first, LOT)
        own = np.random.SeedSequence([self.seed, lot]).generate_state(1, np.uint64)
        return Wearer.draw(self.sex, before + self.count, int(own[0]))[before:]


def _results(found: Population) -> tuple[Array, ...]:
    """What a lot hands back, in that order."""
    every = (found.measures, found.generated, found.moment_arm, found.captured)
    return every if found.captured.size else every[:3]


def _stations(angles: tuple[float, ...]) -> tuple[tuple[float, ...], tuple[int, ...]]:
    """Angles on the way from the hanging arm, in steps that a path can follow, and where the asked ones stand."""
    if not angles or angles[0] < 0.0 or any(b <= a for a, b in pairwise(angles)):
        raise InputError(
            given=f"Angles of arm flexion were given as {angles!r:.60}.",
            do="Give rising angles of arm flexion from 0 on, for example deg(0), deg(45), deg(90).",
        )
    Pose(arm_flexion=angles[-1])  # says what is out of range
    stations, asked = [0.0], []
    for angle in angles:
        steps = int(np.ceil((angle - stations[-1]) / STEP - 1e-9))
        stations += [float(a) for a in np.linspace(stations[-1], angle, steps + 1)[1:]]
        asked.append(len(stations) - 1)
    return tuple(stations), tuple(asked)


def _take_over(found: Population, start: Population) -> None:
    """Take over what an earlier call had done; refuse the answer to another question."""
    alike = all(getattr(found, name) == getattr(start, name) for name in ("sex", "seed", "where"))
    alike = alike and np.array_equal(found.arm_flexion, start.arm_flexion)
    if not alike or bool(found.captured.size) != bool(start.captured.size):
        raise InputError(
            given="The population to start from was asked something else.",
            do="Leave `start` out, or ask the same.",
        )
    some = slice(0, min(len(found.done), len(start.done)))
    for whole, part in zip(_results(found), _results(start), strict=True):
        whole[some] = part[some]
    found.done[some], found.settled[some] = start.done[some], start.settled[some]


def _work(lot: _Lot) -> tuple[_Lot, tuple[Array, ...]]:
    """Of a lot measurements, generated excursion, moment arm and, where asked for, captured excursion."""
    wearers = lot.wearers()
    measures = np.array([[getattr(w, name) for name in measure_names()] for w in wearers])
    length, arm = control_paths(wearers, lot.where, lot.stations)
    asked = list(lot.asked)
    found = measures, length[:, asked] - length[:, :1], arm[:, asked]
    return lot, (*found, np.stack([_capture(wearer, lot) for wearer in wearers])) if lot.net else found


def _capture(wearer: Wearer, lot: _Lot) -> Array:
    """Captured excursion of one wearer; nan without an answer."""
    harness = figure_of_eight(wearer, **asdict(lot.where))
    try:
        motion = SingleControl(harness).sweep([lot.stations[k] for k in lot.asked])
    except NoHoldError:
        return np.full(len(lot.asked), np.nan)
    settled = motion.guess.net.settled[list(motion.guess.asked)]
    return np.asarray(np.where(settled, motion.captured, np.nan))
