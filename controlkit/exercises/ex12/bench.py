"""Exercise 12: every question to the mechanics about a wearer and a harness, in one place."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache

from controlkit.checking import body
from controlkit.checking.case.cases import Value
from controlkit.exercises.shared import settings
from controlkit.exercises.shared.followed import Led, lead, try_on
from controlkit.exercises.shared.readings import rounded
from controlkit.mechanics import (
    POSITIONS,
    ControlCable,
    Harness,
    Pose,
    SingleControl,
    VoluntaryOpening,
    Wearer,
    chest_strap,
    figure_of_eight,
)
from controlkit.mechanics.cable import lining
from controlkit.mechanics.chain.positions import on_command
from controlkit.mechanics.chain.shoulder import shoulder_moment
from controlkit.mechanics.device.opening import MOST_BANDS
from controlkit.mechanics.harness import CHEST_LIMITS, LIMITS
from controlkit.mechanics.harness.pressure import strap_loads
from controlkit.units import InputError, deg, mm

PLACES = ("table", "waist", "fly")
"""Where a case has a task; everywhere both scapulae are brought forward, the device held where it is."""

AVERAGE = {"low": mm(46), "crossbar": 0.60, "control_strap": 0.0, "support_strap": mm(15)}
"""A figure-of-eight set up for people of average build [m, and - for the crossbar]. Assumption of this exercise."""
BANDS = 3
"""Bands of the hook with which that harness is tried [-]."""
TRAY = Pose(arm_flexion=deg(45), elbow_flexion=deg(60))
"""An arm that holds a tray in front. Assumption of this exercise."""

LININGS = ("steel in steel, dry", "steel in steel, oiled", "steel in PTFE", "steel in UHMWPE")
"""Linings by their number, from 1."""
OILED = 2
"""The one that somebody must oil."""
SHUT = mm(0.5)
"""Opening that counts as none [m]."""

CROSSBAR = 0.60
"""Where the crossbar of the harness sits that sets what a design must do [-]."""


def friction(number: int) -> float:
    """Highest published friction of a lining by its number, sliding [-]."""
    return lining(LININGS[number - 1]).kinetic[1]


def poses(wearer: Wearer, forward: float) -> tuple[Pose, ...]:
    """The hanging arm, and every place with both scapulae so far forward [rad], the device held."""
    return (Pose(), *(on_command(wearer, POSITIONS[place], forward).pose for place in PLACES))


def worn(
    wearer: Wearer, loop: bool, low: float, crossbar: float, control_strap: float, support_strap: float
) -> Harness:
    """A figure-of-eight, or without a loop a chest strap with saddle, on a wearer.

    Parameters
    ----------
    wearer : Wearer
        Who wears it
    loop : bool
        Whether a loop goes round the sound shoulder
    low : float
        How far the ring lies below C7; without a loop, how far the control strap branches off below the level of the
        armpits [m]
    crossbar : float
        As in `figure_of_eight` [-]
    control_strap, support_strap : float
        Let out from just snug; the second is the suspension strap where there is no loop [m]

    Returns
    -------
    Harness
        The harness

    Examples
    --------
    >>> worn(Wearer.average("female"), False, 0.01, 0.6, 0.0, 0.0).pattern.name
    'chest strap with saddle'
    """
    if loop:
        return figure_of_eight(
            wearer, ring_below_c7=low, crossbar=crossbar, control_strap=control_strap, support_strap=support_strap
        )
    level = chest_strap(wearer).ring_below_c7
    return chest_strap(
        wearer,
        branch_below_c7=level + low,
        crossbar=crossbar,
        control_strap=control_strap,
        support_strap=support_strap,
    )


def measure(values: Mapping[str, Value]) -> dict[str, Value] | None:
    """What tape and scale show on the wearer of a case, in tenths; None where nobody is built so, or nothing settles.

    Parameters
    ----------
    values : mapping
        The steady values of a draw

    Returns
    -------
    dict or None
        Travel and opening [mm], moments [N m], shares that arrive [%], the load in the armpit [N/cm]

    Examples
    --------
    >>> sizes = {"sex": "female", "taller": -8, "wider": 4, "forward": 20, "rubs": 0.2, "eased": 15}
    >>> measure({**sizes, "loop": 0, "low": 10, "bands": 2, "oil": "nobody"})["load"]
    0
    """
    who = str(values["sex"]), 10 * int(values["taller"]), 10 * int(values["wider"])
    forward = int(values["forward"])
    best = best_lining(str(values["oil"]))
    hers = _average(*who, forward)
    if hers is None:
        return None
    set_up = {name: int(values[name]) for name in ("loop", "low", "eased", "bands")}
    served = _serving(*who, forward, best=best, **set_up)
    if served is None:
        return None
    arrives = _arrives(*who, float(values["rubs"]))
    raw = {f"there_{place}": hers[place] for place in PLACES}
    raw |= {"tray_straps": hers["straps"], "tray_weight": hers["weight"]}
    tenths = rounded({name: 10 * value for name, value in raw.items()})
    whole = rounded({**served, **{f"arrives_{place}": 100 * share for place, share in arrives.items()}})
    if tenths is None or whole is None:
        return None
    wearer = body(*who)
    sizes = {"stature": wearer.stature, "chest": wearer.chest_circumference}
    found: dict[str, Value] = {name: int(value) / 10 for name, value in tenths.items()}
    return found | whole | {name: round(value / mm(1)) for name, value in sizes.items()}


def best_lining(oil: str) -> int:
    """The number of the lining whose highest published friction is least, of those that may be used [-]."""
    return min((k for k in range(1, 5) if oil != "nobody" or k != OILED), key=friction)


@lru_cache(maxsize=64)
def _average(sex: str, taller: int, wider: int, forward: int) -> dict[str, float] | None:
    """Travel at each place with `AVERAGE` [mm], and the moments of straps and weight with a tray [N m]."""
    try:
        wearer = body(sex, taller, wider)
        system = SingleControl(worn(wearer, loop=True, **AVERAGE), device=VoluntaryOpening(bands=BANDS))
        led = lead(system, (*poses(wearer, deg(forward)), TRAY))
    except InputError:
        return None
    if not led.settled or led.opening(0) > SHUT:
        return None
    tray = shoulder_moment(led.found, led.found.asked[4])
    travel = {place: led.travel(k) / mm(1) for k, place in enumerate(PLACES, 1)}
    return travel | {"straps": tray.of_straps, "weight": tray.weight}


@lru_cache(maxsize=64)
def _serving(
    sex: str, taller: int, wider: int, forward: int, *, best: int, loop: int, low: int, eased: int, bands: int
) -> dict[str, float] | None:
    """What a harness that sets the demands opens on a wearer [mm], and its load in the armpit [N/cm]."""
    choice = {
        "loop": float(loop),
        "low": mm(low),
        "crossbar": CROSSBAR,
        "control_strap": 0.0,
        "support_strap": mm(eased),
        "lining": float(best),
        "bands": float(bands),
    }
    try:
        done = trial(body(sex, taller, wider), choice, deg(forward), fresh=True)
    except InputError:
        return None
    if not done.led.settled:
        return None
    opens = {f"opens_{place}": done.opening(place) / mm(1) for place in PLACES}
    return opens | {"load": done.armpit / 100}


@lru_cache(maxsize=64)
def _arrives(sex: str, taller: int, wider: int, rubs: float) -> dict[str, float]:
    """Share of the pull that arrives at each place through a cable that rubs so [-]."""
    system = SingleControl(worn(body(sex, taller, wider), loop=True, **AVERAGE), ControlCable(friction=rubs))
    return {place: system.line(POSITIONS[place].elbow_flexion).efficiency for place in PLACES}


def share_arriving(values: Mapping[str, Value], place: str, rubs: float) -> float:
    """Share of the pull that arrives at a place on the wearer of a case, through a cable that rubs so [-]."""
    return _arrives(str(values["sex"]), 10 * int(values["taller"]), 10 * int(values["wider"]), rubs)[place]


@dataclass(frozen=True)
class SetUpTrial:
    """What a design does on one wearer.

    Parameters
    ----------
    led : Led
        The arm hanging, then each place of `PLACES`
    loop : bool
        Whether a loop goes round the sound shoulder
    low, support_strap : float
        As in `worn` [m]
    lining : int
        Number of the lining [-]
    """

    led: Led = field(repr=False)
    loop: bool
    low: float
    support_strap: float
    lining: int

    def opening(self, place: str) -> float:
        """How far the fingertips come apart there [m]."""
        return self.led.opening(1 + PLACES.index(place))

    def pull(self, place: str, width: float) -> float:
        """Pull at the hanger that opens the device so wide there [N]."""
        device = self.led.system.device
        return device.force(device.travel_for(width)) / self.led.system.line(POSITIONS[place].elbow_flexion).efficiency

    def grip(self, width: float) -> float:
        """Grip on an object so wide [N]."""
        return self.led.system.device.pinch(width)

    @property
    def rest(self) -> float:
        """Opening while the arm hangs [m]."""
        return self.led.opening(0)

    @property
    def armpit(self) -> float:
        """Largest load of a strap in the sound armpit at any place, per length of strap [N/m]."""
        found = self.led.found
        return max(load.armpit for at in found.asked[1:4] for load in strap_loads(found, at).values())


def trial(wearer: Wearer, choice: Mapping[str, float], forward: float, *, fresh: bool = False) -> SetUpTrial:
    """Try a design on a wearer who brings both scapulae so far forward.

    Parameters
    ----------
    wearer : Wearer
        Who wears it
    choice : mapping
        Settings: loop, low, crossbar, control_strap, support_strap, lining and bands [m and -]
    forward : float
        Abduction of both scapulae [rad]
    fresh : bool
        Whether it must depend on nothing that was tried before

    Returns
    -------
    SetUpTrial
        What it does

    Raises
    ------
    InputError
        If it cannot be worn

    Examples
    --------
    >>> choice = dict(loop=1, low=0.05, crossbar=0.6, control_strap=0, support_strap=0.015, lining=3, bands=2)
    >>> trial(Wearer.average("female"), choice, 0.35).rest < 0.0005
    True
    """
    return _tried(wearer, tuple(sorted(choice.items())), forward, fresh)


def _within(wearer: Wearer, chosen: Mapping[str, float]) -> None:
    """Refuse what no harness takes, by the names of the settings; a branch lies below the level of the armpits."""
    settings.bands(chosen, MOST_BANDS, "bands")
    settings.crossbar(chosen, LIMITS["crossbar"])
    low, why = LIMITS["ring_below_c7"], "the ring must lie on the back below C7"
    if not chosen["loop"]:
        level, (first, last) = chest_strap(wearer).ring_below_c7, CHEST_LIMITS["ring_below_c7"]
        low, why = (first - level, last - level), "the control strap must branch off on the scapula or just below it"
    settings.length(chosen, "low", low, why)
    settings.length(chosen, "control_strap", LIMITS["control_strap"], settings.STRAP)
    settings.length(chosen, "support_strap", LIMITS["support_strap"], settings.SUPPORT_STRAP)


@lru_cache(maxsize=64)
def _tried(wearer: Wearer, choice: tuple[tuple[str, float], ...], forward: float, fresh: bool) -> SetUpTrial:
    chosen = dict(choice)
    for name, called, last in (("loop", "The loop", 1), ("lining", "The lining", len(LININGS))):
        first = 0 if name == "loop" else 1
        if chosen[name] not in range(first, last + 1):
            raise InputError(
                given=f"{called} was given as {chosen[name]:g}.",
                do=f"Give {'1 with it or 0 without' if last == 1 else f'its number in the table, from 1 to {last}'}.",
            )
    _within(wearer, chosen)
    straps = {name: chosen[name] for name in ("low", "crossbar", "control_strap", "support_strap")}
    harness = worn(wearer, loop=bool(chosen["loop"]), **straps)
    number = int(chosen["lining"])
    device = VoluntaryOpening(bands=chosen["bands"])  # type: ignore[arg-type]  # it asks for whole numbers itself
    system = SingleControl(harness, ControlCable(friction=friction(number)), device)
    stands = poses(wearer, forward)
    led = lead(system, stands) if fresh else try_on(system, stands)
    return SetUpTrial(
        led=led,
        loop=bool(chosen["loop"]),
        low=chosen["low"],
        support_strap=chosen["support_strap"],
        lining=number,
    )
