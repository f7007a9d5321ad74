"""Exercise 12: how a case is drawn, what is computed for it, and how it is shown."""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import cache
from itertools import chain
from math import ceil, exp, log1p, sqrt
from pathlib import Path
from typing import Any

from controlkit.checking import Case, OneOf, Range
from controlkit.checking.case.cases import Draw, Value
from controlkit.exercises.ex12.bench import PLACES, best_lining, friction, measure, share_arriving
from controlkit.exercises.ex12.diary import DIARIES
from controlkit.exercises.ex12.shelf import GROUPS, PEOPLE
from controlkit.exercises.ex12.words import HISTORIES, SIGNS, VISITORS
from controlkit.exercises.shared.readings import EDGE
from controlkit.mechanics import VoluntaryOpening
from controlkit.mechanics.chain.strength import SPREAD
from controlkit.mechanics.study import mean_strength
from controlkit.sources import source
from controlkit.units import mm

FIFTH, PUBLISHED = source("fatigue_free_share"), source("arm_flexion_force")
MOST = float(FIFTH.value)  # type: ignore[arg-type]  # it is printed as one number
"""Share of the largest pull that many pulls a day may take [%]."""
TIME, FALL, TESTED = (source(f"shoulder_endurance_{name}") for name in ("time", "fall", "tested"))
DEPTHS = {True: (34, 44, 56, 68), False: (0, 6, 12, 18)}
"""How low ring, or branch, lies of the harness that sets what a design must do, with and without a loop [mm]."""
EASED = {True: (8, 13, 18, 23), False: (0, 1, 2, 3)}
"""How far its support strap, or without a loop the suspension strap, is let out: a saddle's carries the socket by
itself, and nothing else gets easier for it [mm]."""
SPARE = 2
"""How much further than that either may be let out [mm]. Assumption."""
CABLE_MOST = float(source("user_maximum_force").si_high or 0.0)
"""Largest pull of any wearer that was measured [N]."""
MEN = mean_strength("male", 50.0)
"""Mean of the largest pull of men [N]."""
RARELY = 2.33
"""Standard deviations of the law of strength beyond which one in a hundred lies [-]."""
GAINED = 170
"""Most that somebody is taken to come to by weeks of practice who began with less than half of it [N]. Assumption."""
EACH = 6
"""People of each group on whom one harness is tried [-]."""
NINE_TIMES = 1.96
"""Standard errors within which a share lies nineteen times of twenty [-]."""

PARTS = (30, 40, 45, 55, 60, 75, 80, 85)
"""Of up to three bands, none of them near a whole number [%]."""

DRAWS: dict[str, Draw] = {
    "sex": OneOf(("female", "male")),
    "amputated": OneOf(("left", "right")),
    "taller": OneOf((-12, -8, -4, 4, 8, 12), "cm"),
    "wider": OneOf((-8, -4, 4, 8, 12), "cm"),
    "forward": Range(18, 24, 1, "deg"),
    "history": OneOf(tuple(HISTORIES)),
    "depth": Range(0, 3),
    "ease": Range(0, 3),
    "bands": Range(1, 4),
    "oil": OneOf(("nobody", "somebody")),
    "rubs": OneOf((0.16, 0.2, 0.24, 0.32, 0.34)),
    "calm": Range(0, 728),
    "slack_table": Range(8, 14, 1, "mm"),
    "slack_waist": Range(7, 12, 1, "mm"),
    "slack_fly": Range(7, 12, 1, "mm"),
    "task": Range(0, 26),
    "hardest": OneOf(PLACES),
    "part": Range(30, 85, 5, "%"),
    "next": OneOf(PARTS, "%"),
    "last": OneOf(PARTS, "%"),
    "effort": Range(110, 165, 5, "per thousand"),
    "lower": Range(8, 24, 1, "%"),
    "lowest": Range(8, 24, 1, "%"),
    "sound": Range(112, 136, 3, "%"),
    "best": Range(0, 2),
    "holding": Range(130, 202, 2, "per thousand"),
    "spare_low": Range(2, 6, 1, "mm"),
    "other_low": Range(12, 40, 1, "mm"),
    "visitor": OneOf(tuple(VISITORS)),
    "asks": Range(38, 70, 1, "N"),
    "fewer": Range(55, 75, 1, "%"),
    "room": Range(15, 60, 1, "%"),
    "lot": Range(0, 29),
    "needs": Range(20, 26, 1, "mm"),
    "diary": Range(0, len(DIARIES) - 1),
    "sign": OneOf(tuple(SIGNS)),
}

STEADY = frozenset(
    {"sex", "amputated", "taller", "wider", "forward", "history", "depth", "ease", "bands", "oil", "rubs"}
)
"""What the mechanics is asked about: one wearer serves several draws of the rest."""


def barred(c: Case | Mapping[str, Any]) -> str:
    """Where nothing may lie on this wearer: "armpit", "chest" or nowhere."""
    history = c["history"]
    return {"graft": "armpit", "radiation": "armpit", "tingling": "armpit", "ribs": "chest", "tender": "chest"}.get(
        history, ""
    )


def first_step(c: Case) -> str:
    """The word of what comes first."""
    return HISTORIES[c.history][2]


# --- The tasks: bands, pull, share, travel ------------------------------------------------------


def bands_for(c: Case | Mapping[str, Any], place: str) -> int:
    """Fewest bands that grip hard enough at a place [-]."""
    return ceil(float(c[f"grip_{place}"] / c[f"band_grip_{place}"]) - 1e-9)


def bands(c: Case) -> int:
    """Fewest bands that grip hard enough everywhere [-]."""
    return max(bands_for(c, place) for place in PLACES)


def pulls(c: Case, many: Mapping[str, float] | float | None = None) -> dict[str, float]:
    """Pull at the harness that opens the hook at each place, with as many bands as the hardest grip asks [N]."""
    on = bands(c) if many is None else many
    each = on if isinstance(on, Mapping) else dict.fromkeys(PLACES, on)
    return {place: each[place] * c[f"band_pull_{place}"] / (c[f"arrives_{place}"] / 100) for place in PLACES}


def readings(c: Case) -> tuple[int, ...]:
    """Three pulls through the harness, in the order in which they were made [N]."""
    less = [round(c.strength * (1 - c[name] / 100)) for name in ("lower", "lowest")]
    less.insert(c.best, c.strength)
    return tuple(less)


def sound_side(c: Case) -> int:
    """Largest pull of the sound arm [N]."""
    return round(float(c.strength * c.sound / 100))


def left(c: Case, place: str, of: str = "there") -> float:
    """Cable travel that is left at a place once the object fits [mm]."""
    return float(c[f"{of}_{place}"] - c[f"travel_{place}"])


# --- The shoulder -------------------------------------------------------------------------------


def tray_share(c: Case) -> float:
    """Share of the largest moment of flexion that holding the tray takes [%]."""
    return float(100 * (c.tray_straps + c.tray_weight) / c.flexor)


def endures(percent: float) -> float:
    """How long a shoulder holds still what takes a share of its moment of flexion [min]."""
    return float(TIME.value) * exp(-float(FALL.value) * percent)  # type: ignore[arg-type]  # both are printed as one number


# --- Another person -----------------------------------------------------------------------------


def best_pull(c: Case | Mapping[str, Any]) -> int:
    """Largest pull of the other person [N]; none where the plexus is torn."""
    kind, asks, room = str(c["visitor"]), float(c["asks"]), float(c["room"]) / 100
    light = lighter(c)
    if kind == "torn plexus":
        return 0
    if kind == "middling":
        return round(5 * (light + (0.15 + 0.7 * room) * (asks - light)))
    return round(5 * light * (1 - 0.8 * room)) if kind == "weak" else round(5 * asks * (1 + room))


def lighter(c: Case | Mapping[str, Any]) -> int:
    """What the same hook asks with fewer bands [N]."""
    return round(float(c["asks"]) * float(c["fewer"]) / 100)


def right_for(c: Case) -> str:
    """What to propose to the other person."""
    if c.visitor == "looks":
        return "passive"
    may = best_pull(c) / 5
    return "body power" if may >= c.asks else "fewer bands" if may >= lighter(c) else "other power"


# --- One harness on many ------------------------------------------------------------------------


@cache
def _shelf() -> dict[str, Any]:
    return dict(json.loads(Path(__file__).with_name("shelf.json").read_text(encoding="utf-8")))


def tried(c: Case) -> dict[str, list[int]]:
    """Cable travel at the table of each person of each group, in whole numbers [mm]."""
    half = PEOPLE // 2
    return {
        group: [round(people[(c.lot * (k + 1) + (3 + 2 * k) * n) % half]) for n in range(EACH)]
        for k, (group, people) in enumerate(_shelf()["people"].items())
    }


def served(c: Case) -> int:
    """How many of them reach what the task needs [-]."""
    return sum(travel >= c.needs + 0.5 for travel in chain.from_iterable(tried(c).values()))


def half_width(percent: float, people: int = EACH * len(GROUPS)) -> float:
    """Half the width of the interval in which a share lies nineteen times of twenty [%]."""
    return NINE_TIMES * sqrt(max(percent * (100 - percent), 0.0) / people)


# --- A draw made whole --------------------------------------------------------------------------


def whole(values: Mapping[str, Value]) -> dict[str, Value] | None:
    """Everything that a case shows of a draw; None if it is of no use."""
    loop = barred(values) != "armpit"
    low, eased = DEPTHS[loop][int(values["depth"])], EASED[loop][int(values["ease"])]
    found = measure({**values, "loop": int(loop), "low": low, "eased": eased})
    if found is None:
        return None
    mean = {f"mean_{place}": round(travel, 1) for place, travel in _shelf()["average"][values["sex"]].items()}
    v: dict[str, Any] = {**values, **found, **mean, "low": low, "eased": eased}
    if not _tasks(v) or not _strengths(v) or abs(min(left(Case("", "", 0, v), place) for place in PLACES)) < 0.6:
        return None
    return {name: value for name, value in v.items() if name not in values}


def _tasks(v: dict[str, Any]) -> bool:
    """Objects that the harness which sets the demands just opens wide enough for, and grips that need its bands."""
    hook = VoluntaryOpening(bands=1)
    shares = iter((v["next"], v["last"]))
    for place in PLACES:
        width = min(v[f"opens_{place}"] - v[f"slack_{place}"], 78)
        if width < 6:
            return False
        v[f"width_{place}"] = width
        v[f"travel_{place}"] = round(hook.travel_for(mm(width)) / mm(1), 1)
        v[f"band_grip_{place}"] = round(hook.pinch(mm(width)), 2)
        v[f"band_pull_{place}"] = round(hook.force(hook.travel_for(mm(width))), 2)
        hardest = place == v["hardest"]
        others = max(v["bands"] - 1, 1)
        wanted = v["bands"] - 1 + v["part"] / 100 if hardest else others * next(shares) / 100
        if abs(wanted - round(wanted)) < 0.06:
            return False
        v[f"grip_{place}"] = round(wanted * v[f"band_grip_{place}"], 1)
    return True


def strengths(sex: str) -> tuple[float, float]:
    """Between which largest pulls 98 of 100 people of a sex lie, as the lesson draws them, up to the age of 50 [N]."""
    spread = sqrt(log1p((sum(SPREAD) / len(SPREAD)) ** 2))
    mean = mean_strength(sex, 50.0)
    low, high = (mean * exp(at * spread - spread**2 / 2) for at in (-RARELY, RARELY))
    return low, min(high, CABLE_MOST)


def _strengths(v: dict[str, Any]) -> bool:
    """Strengths with which the wearer does it, today and in a year's time; whether anybody like that is so strong."""
    rubs = friction(best_lining(v["oil"]))
    new = max(v["bands"] * v[f"band_pull_{place}"] / share_arriving(v, place, rubs) for place in PLACES)
    now = max(v["bands"] * v[f"band_pull_{place}"] / (v[f"arrives_{place}"] / 100) for place in PLACES)
    least, most = (28, 60) if v["sex"] == "female" else (46, 110)
    weakest, strongest = strengths(v["sex"])
    if v["history"] == "gaining":
        weakest, strongest = 0.0, min(GAINED, strongest)
    asked = min(1000 * new / v["effort"], strongest - 5 * (v["lower"] - v["lowest"]) ** 2 / 20) / 5
    if asked < weakest / 5 or 5 * asked * v["sound"] / 100 > CABLE_MOST * mean_strength(v["sex"], 50.0) / MEN:
        return False
    held = v["tray_straps"] + v["tray_weight"]
    v["strength"], v["flexor"] = 5 * ceil(asked), min(max(round(1000 * held / v["holding"]), least), most)
    if abs(asked - round(asked)) < EDGE or abs(100 * now / v["strength"] - 20) < 0.8:
        return False
    return bool(new <= 0.168 * v["strength"] and 10.4 <= 100 * held / v["flexor"] <= 20.6)


def armpit_most(c: Case) -> int:
    """Load that the armpit of a case may bear, where it may bear any [N/cm]."""
    return ceil(1.05 * float(c.load)) + 1


def armpit_shown(c: Case) -> int:
    """The same as the table says it: a figure too where the armpit bears nothing, so that none tells of that [N/cm]."""
    return 10 + int(c.other_low) if barred(c) == "armpit" else armpit_most(c)


def support_most(c: Case, loop: bool) -> int:
    """How far the support strap, or without a loop the suspension strap, may be let out from just snug [mm]."""
    own = barred(c) != "armpit"
    return SPARE + (int(c.eased) if loop == own else EASED[loop][int(c.other_low) % 4])


def found_since(c: Case) -> bool:
    """Whether the armpit is barred by what the table says has come since."""
    # It is where a look at the hand bars it; and for every second history that waits for nothing, where nothing hangs
    # on it.
    return bool(
        c.history == "tingling" or (first_step(c) in ("fit", "free the armpit", "free the chest") and c.calm % 2)
    )


def low_most(c: Case, loop: bool) -> int:
    """How low the ring may lie below C7, or without a loop the branch below the armpits [mm]."""
    own = barred(c) != "armpit"
    if loop == own:
        return int(c.low + c.spare_low)
    return int(c.other_low) if not loop else 20 + int(c.other_low)
