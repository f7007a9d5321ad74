"""Whom dual control serves: lift and opening over random transhumeral wearers, and which budget runs out first."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from concurrent.futures import Executor
from dataclasses import dataclass, replace
from itertools import product
from typing import Any

import numpy as np
from numpy.typing import NDArray

from controlkit.executors import carry_out
from controlkit.mechanics.body.pose import Pose, posed
from controlkit.mechanics.body.wearer import Wearer, measure_names
from controlkit.mechanics.chain.dual import DualControl
from controlkit.mechanics.chain.dual.capture import constant
from controlkit.mechanics.chain.positions import BOTH_FORWARD
from controlkit.mechanics.chain.shoulder import weight_moment
from controlkit.mechanics.device import VoluntaryOpening
from controlkit.mechanics.elbow import ProstheticForearm
from controlkit.mechanics.harness import Harness, above_elbow_eight
from controlkit.mechanics.harness.donning import NoHoldError
from controlkit.mechanics.harness.laws import CableLaw
from controlkit.mechanics.harness.layout import CONTROL, OVER
from controlkit.mechanics.harness.motion import Followed, follow
from controlkit.mechanics.harness.strap_moment import strap_moments
from controlkit.mechanics.inputs import kind, within
from controlkit.units import InputError, deg

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

ELBOW = deg(90.0)
"""Where the forearm is lifted to, and locked [rad]."""
MOTIONS: Mapping[str, Mapping[str, float]] = {
    "arm flexion alone": {},
    "with both scapulae": BOTH_FORWARD,
}
"""Control motions: arm flexion, and the same with both scapulae forward [rad]."""
LIMBS = (0.4, 0.9)
"""Length of residual limbs, share of the upper arm, drawn evenly between these [-]. Assumption."""
BUDGETS = ("excursion", "cable strength", "shoulder strength")
"""What may run out."""
_FINE = deg(1.0)  # of arm flexion


@dataclass(frozen=True, kw_only=True)
class DualPopulation:
    """Transhumeral wearers, and what lifting to 90 degrees and opening fully there takes of each.

    Columns are the motions of `MOTIONS`. Rows not done yet, or without an answer, hold nan.

    Attributes
    ----------
    sex : str
        "female" or "male"
    seed : int
        Of the draws
    ring_below_c7, ring_to_sound_side : float
        Where every ring lies [m]
    bands : int
        Of every hook [-]
    forearm : ProstheticForearm or None
        The same for everybody; nothing if it is as long as the wearer's own
    measures : ndarray
        Measurements in the order of `measure_names` [m, kg], shape (wearers, 24)
    residual_share : ndarray
        Length of the residual limb, share of the upper arm [-], shape (wearers,)
    kink : ndarray
        How far the control strap, the harness just donned, falls below the leg of the axilla loop that comes over the
        sound shoulder, carried on through the ring: a ring rides down until both lie in line [rad], shape (wearers,)
    needed : ndarray
        Cable for lift and full opening together [m], shape (wearers,)
    generated, captured : ndarray
        Cable that the whole motion gives: if nothing stretched, and against the pull that opens fully, nought where
        that pull is never reached [m], shape (wearers, 2)
    opening : ndarray
        Share of the device's whole movement that the whole motion opens, locked there [-], shape (wearers, 2)
    lift_flexion, open_flexion : ndarray
        Arm flexion at which the forearm is there, and the device open; infinite where not [rad], shape (wearers, 2)
    lift_force, open_force : ndarray
        Largest tension of the control strap on the way up, and that of full opening [N], shape (wearers, 2)
    cable_share : ndarray
        The larger of both over the wearer's cable strength [-], shape (wearers, 2)
    shoulder_lift, shoulder_open : ndarray
        Moment of straps and weight over the wearer's moment of arm flexion, forearm there and device open; at the end
        of the motion where that is not reached [-], shape (wearers, 2)
    shut : ndarray
        Whether the device stays shut on the way up [-], shape (wearers, 2)
    done, settled : ndarray
        Whether a wearer has been worked on, and an answer found [-], shape (wearers,)
    """

    sex: str
    seed: int
    ring_below_c7: float
    ring_to_sound_side: float
    bands: int
    forearm: ProstheticForearm | None
    measures: Array
    residual_share: Array
    kink: Array
    needed: Array
    generated: Array
    captured: Array
    opening: Array
    lift_flexion: Array
    open_flexion: Array
    lift_force: Array
    open_force: Array
    cable_share: Array
    shoulder_lift: Array
    shoulder_open: Array
    shut: Mask
    done: Mask
    settled: Mask

    @property
    def lifts(self) -> Mask:
        """Who brings the forearm up with the device shut [-], shape (wearers, 2)."""
        return np.asarray(np.isfinite(self.lift_flexion) & self.shut)

    @property
    def opens(self) -> Mask:
        """Who opens fully with the elbow locked there [-], shape (wearers, 2)."""
        return np.isfinite(self.open_flexion)

    @property
    def served(self) -> Mask:
        """Who does both within all strength [-], shape (wearers, 2)."""
        shares = np.maximum(self.cable_share, np.maximum(self.shoulder_lift, self.shoulder_open))
        return np.asarray(self.lifts & self.opens & (shares <= 1.0))

    @property
    def works(self) -> Mask:
        """Who lifts and opens at all, by a tenth or more [-], shape (wearers, 2)."""
        return np.asarray(self.lifts & (self.opening >= 0.1))

    @property
    def share_served(self) -> Array:
        """Share of the wearers with an answer that each motion serves; nan where nobody has one [-], shape (2,)."""
        return _mean(self.served[self.settled])

    @property
    def spent(self) -> Array:
        """What of each of `BUDGETS` the task takes, over what there is [-], shape (wearers, 2, 3)."""
        with np.errstate(divide="ignore"):
            excursion = self.needed[:, None] / self.captured
        return np.stack([excursion, self.cable_share, np.maximum(self.shoulder_lift, self.shoulder_open)], axis=-1)

    @property
    def runs_out_first(self) -> NDArray[np.str_]:
        """Budget that the task takes most of, enough or not; empty without an answer [-], shape (wearers, 2)."""
        first = np.where(np.isnan(self.spent), -1.0, self.spent).argmax(axis=-1)
        return np.asarray(np.where(self.settled[:, None], np.array(BUDGETS)[first], ""), dtype=np.str_)

    @property
    def lost(self) -> Array:
        """What the harness keeps of the generated excursion against the pull that opens [m], shape (wearers, 2)."""
        return self.generated - self.captured

    def by_limb(self, edges: tuple[float, ...] = (0.4, 0.55, 0.75, 0.9)) -> Array:
        """Share of wearers served by length of the residual limb.

        Parameters
        ----------
        edges : tuple of float
            Rising shares of the upper arm between which wearers are counted together [-]

        Returns
        -------
        ndarray
            Share served; nan where there is nobody [-], shape (lengths, 2)

        Examples
        --------
        >>> dual_population("female", 2, seed=1).by_limb().shape
        (3, 2)
        """
        found = np.full((len(edges) - 1, len(MOTIONS)), np.nan)
        for k in range(len(edges) - 1):
            inside = self.settled & (self.residual_share >= edges[k]) & (self.residual_share < edges[k + 1])
            found[k] = _mean(self.served[inside])
        return found


def _mean(served: Mask) -> Array:
    """Share of some wearers that each motion serves; nan of nobody."""
    return np.asarray(served.mean(axis=0)) if len(served) else np.full(len(MOTIONS), np.nan)


def dual_population(
    sex: str,
    count: int,
    seed: int,
    *,
    ring_below_c7: float = Harness.ring_below_c7,
    ring_to_sound_side: float = Harness.ring_to_sound_side,
    bands: int = 5,
    forearm: ProstheticForearm | None = None,
    limbs: tuple[float, float] = LIMBS,
    executor: Executor | None = None,
    progress: Callable[[float], object] | None = None,
    start: DualPopulation | None = None,
) -> DualPopulation:
    """Draw transhumeral wearers and find whom dual control serves.

    Parameters
    ----------
    sex : str
        "female" or "male"
    count : int
        How many wearers [-]
    seed : int
        Same seed, same wearers; the first of many are those of few
    ring_below_c7, ring_to_sound_side : float
        Where every ring lies, as in `above_elbow_eight` [m]
    bands : int
        Of every hook [-]
    forearm : ProstheticForearm, optional
        The same for everybody, instead of one as long as the wearer's own
    limbs : tuple of float
        Shortest and longest residual limb, share of the upper arm [-]
    executor : Executor, optional
        Who does the work, such as a `Cluster` of other machines; this process alone if left out
    progress : callable, optional
        Called with the share that is done [-]; returning False stops the work
    start : DualPopulation, optional
        What an earlier call for the same wearers had done; that is taken over

    Returns
    -------
    DualPopulation
        Arrays over wearers and motions; stopped early as far as it got

    Raises
    ------
    InputError
        If an argument is not usable, in words that say which, or `start` belongs to another question

    Notes
    -----
    With the ring an inch below C7 more women than men lift by arm flexion alone. Their shorter forearm is not why. It
    is the ring, which in men stands further out of line with the pull (`kink`), rides down, and takes as much cable as
    it rides. A ring lower on the back ends that. Both scapulae forward give men more cable than women.

    All set-ups are those of `DualControl` but for ring and bands. Bodies are those of the survey: military adults, fit
    and mostly young, no clinical population. Everybody has the same cable strength, and the flexion moment of their
    sex: strengths of wearers by sex were not found. Costs O(wearers), some 0.6 s each.

    Examples
    --------
    >>> women = dual_population("female", 3, seed=4, ring_below_c7=0.05)
    >>> bool(women.settled.all()), bool((women.captured[:, 1] > women.captured[:, 0]).all())
    (True, True)
    """
    for what, value, least in (("population", count, 1), ("seed", seed, 0)):
        if isinstance(value, bool) or not isinstance(value, int) or value < least:
            raise InputError(given=f"A {what} of {value!r} was given.", do=f"Give a whole number, {least} or more.")
    limbs = _limbs(limbs)
    if forearm is not None:
        kind("The forearm", forearm, ProstheticForearm, "forearm_of(wearer)")
    if progress is not None and not callable(progress):
        raise InputError(
            given=f"The progress was given as {progress!r}.",
            do="Give a function that takes the share done, such as print.",
        )
    if start is not None:
        kind("The population to start from", start, DualPopulation, 'dual_population("female", 2, seed=1)')
    VoluntaryOpening(bands=bands)  # what cannot be is refused once for everybody
    average = Wearer.average(sex, level="transhumeral")
    above_elbow_eight(average, ring_below_c7=ring_below_c7, ring_to_sound_side=ring_to_sound_side)
    share = np.random.default_rng([seed, 1]).uniform(*limbs, count)
    asked = {
        "sex": sex,
        "seed": seed,
        "ring_below_c7": float(ring_below_c7),
        "ring_to_sound_side": float(ring_to_sound_side),
        "bands": bands,
        "forearm": forearm,
    }
    found = _blank(share, asked)
    if start is not None:
        _take_over(found, start)
    everybody = enumerate(Wearer.draw(sex, count, seed))
    tasks = [(k, drawn, float(share[k]), asked) for k, drawn in everybody if not found.done[k]]

    def keep(worked: tuple[int, DualPopulation]) -> bool:
        row, one = worked
        for name, whole in vars(found).items():
            if isinstance(whole, np.ndarray):
                whole[row] = getattr(one, name)[0]
        return progress is None or progress(float(found.done.mean())) is not False

    carry_out(_work, tasks, keep=keep, executor=executor, processes=1)
    return found


def _blank(share: Array, asked: Mapping[str, Any]) -> DualPopulation:
    """A population of which nothing is done yet."""
    count = len(share)
    wide, pair = (count,), (count, len(MOTIONS))
    return DualPopulation(
        **asked,
        measures=np.full((count, len(measure_names())), np.nan),
        residual_share=share,
        kink=np.full(wide, np.nan),
        needed=np.full(wide, np.nan),
        generated=np.full(pair, np.nan),
        captured=np.full(pair, np.nan),
        opening=np.full(pair, np.nan),
        lift_flexion=np.full(pair, np.nan),
        open_flexion=np.full(pair, np.nan),
        lift_force=np.full(pair, np.nan),
        open_force=np.full(pair, np.nan),
        cable_share=np.full(pair, np.nan),
        shoulder_lift=np.full(pair, np.nan),
        shoulder_open=np.full(pair, np.nan),
        shut=np.zeros(pair, dtype=bool),
        done=np.zeros(wide, dtype=bool),
        settled=np.zeros(wide, dtype=bool),
    )


def _work(task: tuple[int, Wearer, float, Mapping[str, Any]]) -> tuple[int, DualPopulation]:
    """The row of one wearer, as a population of one."""
    row, drawn, share, asked = task
    found = _blank(np.array([share]), asked)
    wearer = drawn.with_(level="transhumeral", residual_share=share)
    found.measures[0] = [getattr(wearer, name) for name in measure_names()]
    harness = above_elbow_eight(wearer, ring_below_c7=found.ring_below_c7, ring_to_sound_side=found.ring_to_sound_side)
    try:
        _answer(found, DualControl(harness=harness, device=VoluntaryOpening(bands=found.bands), forearm=found.forearm))
    except NoHoldError:
        found.settled[0] = False
    found.done[0] = True
    return row, found


def _limbs(ends: object) -> tuple[float, float]:
    """Shortest and longest residual limb, or a sentence that says what to give."""
    if not isinstance(ends, (tuple, list)) or len(ends) != 2:
        raise InputError(
            given=f"Residual limbs were given as {ends!r}.",
            do="Give two shares of the upper arm, the shortest and the longest, for example (0.4, 0.9).",
        )
    low, high = (within("A residual limb", end, 0.2, 0.95, example="0.6", unit=" of the upper arm") for end in ends)
    return min(low, high), max(low, high)


def _take_over(found: DualPopulation, start: DualPopulation) -> None:
    """Take over what an earlier call had done; refuse the answer to another question."""
    asked = ("sex", "seed", "ring_below_c7", "ring_to_sound_side", "bands", "forearm")
    some = slice(0, min(len(found.done), len(start.done)))
    alike = all(getattr(found, name) == getattr(start, name) for name in asked)
    if not alike or not np.array_equal(found.residual_share[some], start.residual_share[some]):
        raise InputError(
            given="The population to start from was asked something else.", do="Leave `start` out, or ask the same."
        )
    for name, whole in vars(found).items():
        if isinstance(whole, np.ndarray):
            whole[some] = getattr(start, name)[some]


def _answer(found: DualPopulation, system: DualControl) -> None:
    """Fill the one row of a population of one."""
    device, bends = system.device, sum(float(bend) for bend in system.bends(ELBOW))
    opening = device.force(device.travel) * float(np.exp(system.cable.friction * bends))
    found.needed[0] = float(system.required(ELBOW)) + device.travel
    found.settled[0] = True
    flexions = np.append(np.arange(0.0, system.furthest, _FINE), system.furthest)
    for column, angles in enumerate(MOTIONS.values()):
        table = system.capture(**angles)
        way = np.append(np.arange(system.hangs_at + _FINE, ELBOW, deg(5.0)), ELBOW)
        lifted = system.lift(way, **angles)
        gives = table.at(flexions, opening)
        enough = np.flatnonzero(gives >= found.needed[0])
        found.generated[0, column] = table.gives(system.furthest)
        found.captured[0, column] = max(float(gives[-1]), 0.0)
        found.opening[0, column] = system.open_locked([ELBOW], **angles).opening[0] / device.full_opening
        found.lift_flexion[0, column] = lifted.arm_flexion[-1]
        found.shut[0, column] = bool(lifted.lifts.all())
        found.open_flexion[0, column] = flexions[enough[0]] if enough.size else np.inf
        found.lift_force[0, column], found.open_force[0, column] = lifted.peak, opening
        found.cable_share[0, column] = max(lifted.peak, opening) / system.strength.cable
        ends = (
            (float(lifted.arm_flexion[-1]), float(lifted.harness_force[-1])),
            (found.open_flexion[0, column], opening),
        )
        lift, opens, motion = _shoulder(system, angles, [(min(a, system.furthest), force) for a, force in ends])
        found.shoulder_lift[0, column], found.shoulder_open[0, column] = lift, opens
        found.settled[0] &= lifted.settled and bool(motion.net.settled.all())
        found.kink[0] = _kink(motion)


def _kink(motion: Followed) -> float:
    """Angle at the donned ring between control strap and shoulder leg carried on; positive where the strap is lower."""
    over, strap = (motion.net.nodes[run][0] for run in (OVER, CONTROL))
    on, away = ((nodes[1] - nodes[0]) / np.linalg.norm(nodes[1] - nodes[0]) for nodes in (over, strap))
    return float(np.arccos(np.clip(-on @ away, -1.0, 1.0)) * np.sign(-on[1] - away[1]))


def _shoulder(
    system: DualControl, angles: Mapping[str, float], ends: list[tuple[float, float]]
) -> tuple[float, float, Followed]:
    """Shoulder shares at two arm flexions [rad], each with its tension of the control strap [N]."""
    (low, least), (high, most) = sorted(ends)
    give = system.cable.length / system.cable.stiffness

    def law(pose: Pose, strap_give: float) -> CableLaw:
        pull = float(np.interp(pose.arm_flexion, [low, max(high, low + 1e-9)], [least, most]))
        return constant(max(pull, 0.5), give)(pose, strap_give)

    poses = [posed({**angles, "arm_flexion": flexion}) for flexion, _ in ends]
    motion = follow(system.harness, poses, law)
    wearer, shares = system.harness.wearer, []
    for at, pose in zip(motion.asked, poses, strict=True):
        bent = replace(pose, elbow_flexion=ELBOW)
        total = sum(strap_moments(motion, at).values()) + weight_moment(wearer, bent, False, system.lifted_forearm)
        shares.append(max(total, 0.0) / system.strength.flexion(wearer.sex, pose.arm_flexion))
    return shares[0], shares[1], motion


def tally(populations: Mapping[str, DualPopulation]) -> str:
    """A small table of whom dual control serves.

    Parameters
    ----------
    populations : mapping
        Populations by name

    Returns
    -------
    str
        One line a population and motion

    Examples
    --------
    >>> print(tally({"women": dual_population("female", 2, seed=4, ring_below_c7=0.08)}).splitlines()[1])
    women, with both scapulae: 2 of 2 served; lifts 2, opens too by a tenth or more 2; excursion runs out first in 2
    """
    lines = []
    for (name, found), (column, motion) in product(populations.items(), enumerate(MOTIONS)):
        known = found.settled
        count = {what: int(getattr(found, what)[known, column].sum()) for what in ("served", "lifts", "works")}
        first = found.runs_out_first[known, column]
        words, often = max(((b, int((first == b).sum())) for b in BUDGETS), key=lambda each: each[1])
        lines.append(
            f"{name}, {motion}: {count['served']} of {int(known.sum())} served; lifts {count['lifts']}, opens too by a "
            f"tenth or more {count['works']}; {words} runs out first in {often}"
        )
    return "\n".join(lines)
