"""One set-up tried on many wearers: whom it serves, and which budget fails the others."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from controlkit.mechanics.body.wearer import Wearer
from controlkit.mechanics.chain.positions import POSITIONS, on_command, one_scapula
from controlkit.mechanics.chain.results import Pull
from controlkit.mechanics.chain.single import SingleControl
from controlkit.mechanics.chain.strength import CABLE, SPREAD, WOMEN
from controlkit.mechanics.device import Device
from controlkit.mechanics.inputs import within
from controlkit.sources import source
from controlkit.units import InputError, mm

CLEARANCE = mm(10.0)
"""How much wider than its object a device must open to surround it [m]. Assumption."""
BUILDS = ("any", "small", "large")
"""Everybody; the shortest quarter of a sex; the tallest quarter."""
AGES = 20.0, 80.0
"""Ages for which strength is reckoned [years]."""
STRONG_UNTIL = 50.0
"""Age up to which strength is taken to stay level [years]; a review says to the fourth or fifth decade."""
FALL = 0.5 * (source("strength_fall_decade").si_low + source("strength_fall_decade").si_high)
"""Share of strength that is lost with each decade after that, the middle of what is printed [-]."""
MOST = 120
"""Wearers of one sex and build that can be asked for [-]."""
_SEED, _QUARTER, _LOTS = 1, 0.25, 2000
_CALLED = {"female": "woman", "male": "man"}


@dataclass(frozen=True, kw_only=True)
class Trial:
    """What is tried on everybody, and what for.

    Attributes
    ----------
    system : SingleControl
        Harness, cable and device; on whom it is worn and how strong they are plays no part
    position : str
        One of `POSITIONS`
    forward : float
        How far a scapula is brought forward there, the device held [rad]
    both : bool
        Whether both scapulae are
    """

    system: SingleControl
    position: str = "waist"
    forward: float = float(np.deg2rad(20.0))
    both: bool = True

    def __post_init__(self) -> None:
        if self.position not in POSITIONS:
            raise InputError(
                given=f"There is no position “{self.position}”.",
                do=f"Give one of: {', '.join(POSITIONS)}.",
            )


@dataclass(frozen=True, kw_only=True)
class TrialNumbers:
    """What a trial came to on one wearer, in the few numbers that budgets ask for.

    Attributes
    ----------
    device : Device
        The device
    reached : float
        Travel at the device on reaching the position, nothing commanded [m]
    commanded : float
        The same on command there [m]
    efficiency : float
        Force at the device over that at the harness, on command [-]
    settled : bool
        Whether there is an answer; without a hold there is none
    """

    device: Device
    reached: float = math.nan
    commanded: float = math.nan
    efficiency: float = math.nan
    settled: bool = False


@dataclass(frozen=True, eq=False, kw_only=True)
class TriedOn:
    """A set-up on one wearer, with all that a picture of it needs.

    Attributes
    ----------
    system : SingleControl
        The set-up on this wearer
    reaching : Pull or None
        The device brought to the position, nothing commanded; none where the harness has no hold
    pull : Pull or None
        On command there
    missed : float
        How far off the device was that was to be held [m]
    """

    system: SingleControl
    reaching: Pull | None = None
    pull: Pull | None = None
    missed: float = 0.0

    @property
    def tried(self) -> TrialNumbers:
        """The few numbers that budgets ask for."""
        if self.pull is None or self.reaching is None:
            return TrialNumbers(device=self.system.device)
        return TrialNumbers(
            device=self.system.device,
            reached=self.reaching.travel,
            commanded=self.pull.travel,
            efficiency=self.system.line(self.pull.pose.elbow_flexion).efficiency,
            settled=self.pull.settled and self.reaching.settled,
        )


@dataclass(frozen=True, kw_only=True)
class Served:
    """Whether one wearer is served, and what each budget says.

    Attributes
    ----------
    excursion_left : float
        Travel at the device on command beyond what surrounding the object takes; below zero it is missing [m]
    force : float
        Tension of the control strap that opening so far takes [N]
    share : float
        The same over the wearer's strongest pull [-]
    keeps : float
        Travel by which reaching there stays short of dropping the object; below zero it is dropped [m]
    fails : tuple of str
        "excursion", "force", "drops", "no hold": what speaks against it; empty if the wearer is served
    """

    excursion_left: float
    force: float
    share: float
    keeps: float
    fails: tuple[str, ...]


def try_on(trial: Trial, wearer: Wearer) -> TriedOn:
    """Put a set-up on a wearer, and move.

    Parameters
    ----------
    trial : Trial
        What is tried
    wearer : Wearer
        On whom

    Returns
    -------
    TriedOn
        What it does on reaching the position, and on command

    Notes
    -----
    The whole net is settled, as for one wearer: some 0.05 s each. Valid where `SingleControl` is; the voluntary-opening
    devices alone drop what they are not commanded to.

    Examples
    --------
    >>> from controlkit.mechanics import figure_of_eight
    >>> trial = Trial(system=SingleControl(figure_of_eight(Wearer.average("male"), ring_below_c7=mm(60))))
    >>> round(1e3 * try_on(trial, Wearer.average("female")).tried.commanded, 1)
    18.7
    """
    system, there = trial.system.on(wearer), POSITIONS[trial.position]
    held = (on_command if trial.both else one_scapula)(wearer, there, trial.forward)
    try:
        reaching, pull = system.over([there, held.pose])
    except InputError:  # a harness that has no hold on this body
        return TriedOn(system=system)
    return TriedOn(system=system, reaching=reaching, pull=pull, missed=held.missed)


def served(tried: TrialNumbers, strength: float, *, width: float, allowed: float) -> Served:
    """Judge a trial: can the device surround an object, at what effort, and does the object stay in it.

    Parameters
    ----------
    tried : TrialNumbers
        What the trial came to
    strength : float
        The wearer's strongest pull [N]
    width : float
        Width of the object [m]
    allowed : float
        Share of that strength that the pull may take [-]

    Returns
    -------
    Served
        The budgets

    Raises
    ------
    InputError
        If the device does not open so far

    Notes
    -----
    The device must open by `CLEARANCE` more than the object is wide. The force is that of opening so far, whether or
    not the motion reaches it. An object drops where reaching the position alone draws the fingers off it.

    Examples
    --------
    >>> from controlkit.mechanics import figure_of_eight
    >>> low = SingleControl(figure_of_eight(Wearer.average("male"), ring_below_c7=mm(110)))
    >>> tried = try_on(Trial(system=low), Wearer.average("female")).tried
    >>> served(tried, 280.0, width=mm(25), allowed=0.2).fails, served(tried, 140.0, width=mm(65), allowed=0.2).fails
    ((), ('excursion', 'force'))
    """
    if not tried.settled:
        return Served(excursion_left=math.nan, force=math.nan, share=math.nan, keeps=math.nan, fails=("no hold",))
    device = tried.device
    needs = device.travel_for(width + CLEARANCE)
    force = device.force(needs) / tried.efficiency
    left, keeps, share = tried.commanded - needs, device.travel_for(width) - tried.reached, force / strength
    fails = {"excursion": left < 0.0, "force": share > allowed, "drops": keeps < 0.0}
    return Served(
        excursion_left=left,
        force=force,
        share=share,
        keeps=keeps,
        fails=tuple(name for name, failed in fails.items() if failed),
    )


@dataclass(frozen=True, kw_only=True)
class TrialWearer:
    """Somebody on whom a set-up is tried.

    Attributes
    ----------
    wearer : Wearer
        Measurements
    luck : float
        Strength over the mean of sex and age [-]
    """

    wearer: Wearer
    luck: float

    def strength(self, age: float) -> float:
        """Find the strongest pull at an age.

        Parameters
        ----------
        age : float
            Age [years]

        Returns
        -------
        float
            Cable force, once [N]

        Examples
        --------
        >>> one = TrialWearer(wearer=Wearer.average("female"), luck=1.0)
        >>> one.strength(30.0), round(one.strength(70.0))
        (140.0, 105)
        """
        return mean_strength(self.wearer.sex, age) * self.luck


def mean_strength(sex: str, age: float) -> float:
    """Mean of the strongest pull of a sex at an age.

    Parameters
    ----------
    sex : str
        "female" or "male"
    age : float
        From 20 to 80 [years]

    Returns
    -------
    float
        Cable force, once [N]

    Raises
    ------
    InputError
        If the age lies outside

    Notes
    -----
    Reasoned, not measured: young men as people without amputation in one survey (280 N, second-hand), women as their
    moment of arm flexion (half of the men's); level to 50 years, then less by 12 to 15 % a decade, as a review says of
    men. No source splits wearers' cable force by sex or age.

    Examples
    --------
    >>> round(mean_strength("male", 45.0)), round(mean_strength("male", 70.0))
    (280, 210)
    """
    within("The age", age, *AGES, example="65", unit="years")
    return CABLE * (WOMEN if sex == "female" else 1.0) * float((1.0 - FALL) ** (max(age - STRONG_UNTIL, 0.0) / 10.0))


def candidates(sexes: Sequence[str], count: int, build: str = "any") -> tuple[TrialWearer, ...]:
    """People on whom a set-up is tried, in the order in which they were drawn; the sexes in turn.

    Parameters
    ----------
    sexes : sequence of str
        "female", "male" or both
    count : int
        How many, 120 at most [-]
    build : str
        One of `BUILDS`

    Returns
    -------
    tuple of TrialWearer
        The same ones each time; fewer are the first of more

    Raises
    ------
    InputError
        If there is no such build, or too many are asked for

    Notes
    -----
    Bodies from a survey of military adults. Strength is spread about its mean by a log-normal law with 25 % (published:
    20 to 30 %), whatever the body: that heavier people are stronger is known, by how much was not found.

    Examples
    --------
    >>> [one.wearer.sex for one in candidates(("female", "male"), 3)]
    ['female', 'male', 'female']
    """
    if build not in BUILDS:
        raise InputError(given=f"There is no build “{build}”.", do=f"Give one of: {', '.join(BUILDS)}.")
    if not 1 <= count <= MOST:
        raise InputError(given=f"{count} wearers were asked for.", do=f"Ask for 1 to {MOST}.")
    drawn = [_drawn(sex, build) for sex in sexes]
    return tuple(drawn[k % len(drawn)][k // len(drawn)] for k in range(count))


@lru_cache(maxsize=6)
def _drawn(sex: str, build: str) -> tuple[TrialWearer, ...]:
    """Everybody of one sex and build that can be asked for."""
    everybody = 1 if build == "any" else round(1.5 / _QUARTER)  # of each quarter there will be enough
    wearers = Wearer.draw(sex, MOST * everybody, _SEED)
    spread = math.sqrt(math.log1p(float(np.mean(SPREAD)) ** 2))
    luck = np.exp(spread * np.random.default_rng([_SEED, len(sex)]).standard_normal(len(wearers)) - 0.5 * spread**2)
    low, high = np.quantile([wearer.stature for wearer in wearers], [_QUARTER, 1.0 - _QUARTER])
    wanted = {"any": (0.0, np.inf), "small": (0.0, low), "large": (high, np.inf)}[build]
    found = [
        TrialWearer(wearer=replace(wearer, name=f"{_CALLED[sex]} {k}"), luck=float(one))
        for k, (wearer, one) in enumerate(zip(wearers, luck, strict=True), start=1)
        if wanted[0] <= wearer.stature <= wanted[1]
    ]
    return tuple(found[:MOST])


def interval(hits: int, tries: int, z: float = 1.96) -> tuple[float, float]:
    r"""Between which shares the share of a whole population lies, from those tried.

    .. math:: \frac{h + z^2/2 \pm z \sqrt{h (n - h)/n + z^2/4}}{n + z^2}

    Parameters
    ----------
    hits, tries : int
        How many were served, of how many [-]
    z : float
        1.96 for an interval that is right in 95 of 100 such trials [-]

    Returns
    -------
    tuple of float
        Its ends [-]

    Raises
    ------
    InputError
        If nobody was tried, or more were served than tried

    Notes
    -----
    Wilson's interval of a binomial share (1927; from memory): unlike the plain one it is of use for few, and for none
    or all.

    Examples
    --------
    >>> [round(end, 3) for end in interval(8, 10)], [round(end, 2) for end in interval(0, 10)]
    ([0.49, 0.943], [0.0, 0.28])
    """
    if tries < 1 or not 0 <= hits <= tries:
        raise InputError(given=f"{hits} of {tries} were given.", do="Give how many of those tried, of at least one.")
    middle, half = hits + 0.5 * z * z, z * math.sqrt(hits * (tries - hits) / tries + 0.25 * z * z)
    low, high = (middle - half) / (tries + z * z), (middle + half) / (tries + z * z)
    return (0.0 if hits == 0 else low), (1.0 if hits == tries else high)


def by_lot(some: Sequence[float], others: Sequence[float]) -> float:
    """How often two groups made by lot out of the same people differ as much in their middles, or more.

    Parameters
    ----------
    some, others : sequence of float
        One quantity of each member of either group [m]

    Returns
    -------
    float
        Share of groupings by lot [-]; 1 where a group is empty

    Notes
    -----
    The test by permutation: whether the grouping told of a difference at all, whatever the law of the quantity. Two
    thousand groupings, the same ones each time; medians, their difference of either sign. The grouping itself counts as
    one of them, so it is never nought.

    Examples
    --------
    >>> round(by_lot([1.0, 2.0, 3.0, 4.0, 5.0, 6.0], [11.0, 12.0, 13.0, 14.0, 15.0, 16.0]), 2)  # 12 of 924 groupings
    0.01
    >>> by_lot([1.0, 12.0, 3.0, 14.0, 5.0, 16.0], [11.0, 2.0, 13.0, 4.0, 15.0, 6.0]) > 0.3
    True
    """
    if not len(some) or not len(others):
        return 1.0
    everybody = np.array([*some, *others])
    order = np.random.default_rng(_SEED).random((_LOTS, len(everybody))).argsort(axis=1)
    drawn = everybody[order]
    apart = np.abs(np.median(drawn[:, len(some) :], axis=1) - np.median(drawn[:, : len(some)], axis=1))
    found = abs(float(np.median(others)) - float(np.median(some)))
    return float(1 + np.count_nonzero(apart >= found - 1e-12)) / (1 + _LOTS)
