"""Exercise 11: how a case is drawn, what is computed for it, and how it is shown."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from math import ceil, hypot, sqrt
from statistics import mean, stdev
from typing import Any

from controlkit.checking import Case, OneOf, Range
from controlkit.checking.case.cases import Draw, Value
from controlkit.exercises.ex11.bench import PULLS, STEP, measure, pulled, third
from controlkit.exercises.ex11.faults import ABOVE, BELOW, MADE_ABOVE, MADE_BELOW, found
from controlkit.exercises.ex11.retake import RENEWED, renewed
from controlkit.exercises.ex11.undecided import LEFT, SCENES, read, rows, scene
from controlkit.exercises.shared.readings import between
from controlkit.exercises.shared.wearers import your_wearer
from controlkit.sources import source
from controlkit.tables import Table
from controlkit.units import lbf, mm

ASKED, OTHER = source("efficiency_single_control"), source("checkout_efficiency_single_variant")
LOAD, SLIP, OPENS = (
    source("checkout_axial_load"),
    source("checkout_slip"),
    source("opening_mouth_fly_below_elbow_older"),
)
HIGH, LOW = 100 * ASKED.si, 100 * OTHER.si_low
"""The two limits of the efficiency that are printed [%]."""
FEW, MANY = 5, 6
"""Readings at the device, and at the hanger, where one does not belong [-]."""
TRIALS = 5
LEAST = 15
"""An opening of less is no opening [mm]."""
PLACES = {"table": "the table", "fly": "the fly"}

STRAY: dict[str, Callable[[float, float], float]] = {
    "pounds": lambda pull, _: STEP * round(pull / lbf(1) / STEP),
    "digits": lambda pull, _: _swapped(pull),
    "back": lambda _, back: back,
}
"""What happened to the reading that does not belong: read on the other side of the scale, written down with its digits
changed about, or read while the cable was let back. Each from the pull and the pull on letting back [N]."""

DRAWS: dict[str, Draw] = {
    "sex": OneOf(("female", "male")),
    "amputated": OneOf(("left", "right")),
    "taller": OneOf((-6, 0, 6), "cm"),
    "wider": OneOf((-5, 5), "cm"),
    "ring": OneOf((40, 50, 60), "mm"),
    "taken_in": OneOf((0, 15), "mm"),
    "bands": Range(3, 7),
    "friction": Range(0.045, 0.115, 0.005),
    **{f"off_device_{k}": Range(-1, 1, STEP, "N") for k in range(1, FEW + 1)},
    **{f"off_hanger_{k}": Range(-1.5, 1.5, STEP, "N") for k in range(1, MANY + 1)},
    "stray": Range(1, MANY),
    "happened": OneOf(tuple(STRAY)),
    "scale": OneOf((0.5, 0.75, 1), "N"),
    "place": OneOf(tuple(PLACES)),
    **{f"off_trial_{k}": Range(-4, 4, 1, "mm") for k in range(1, TRIALS + 1)},
    "shut": Range(14, 24, 1, "mm"),
    "nearer": Range(0.6, 1.8, 0.1, "mm"),
    "mark": Range(12, 40, 1, "mm"),
    "shelf_below": Range(1, len(MADE_BELOW)),
    "shelf_above": Range(1, len(MADE_ABOVE)),
    "scene": Range(1, len(SCENES)),
    "renewed": OneOf(RENEWED),
}

STEADY = frozenset({"sex", "amputated", "taller", "wider", "ring", "taken_in"})
"""What the mechanics is asked about: one wearer serves several draws of the rest."""

Values = Case | Mapping[str, Any]


def _swapped(pull: float) -> float:
    tens, ones = divmod(int(pull), 10)
    return 10 * ones + tens + pull - int(pull)


# --- Efficiency -------------------------------------------------------------------------------


def at_device(c: Values) -> list[float]:
    """Readings of the scale at the device [N]."""
    return [c[f"device_{k}"] for k in range(1, FEW + 1)]


def at_hanger(c: Values, *, stray: bool = False) -> list[float]:
    """Readings of the scale at the hanger that belong; with the one that does not, if asked for [N]."""
    return [c[f"hanger_{k}"] for k in range(1, MANY + 1) if stray or k != c["stray"]]


def efficiency(c: Values) -> float:
    """Mean pull at the device over mean pull at the hanger [%]."""
    return 100 * mean(at_device(c)) / mean(at_hanger(c))


def doubt(c: Values) -> float:
    """How far the efficiency may be off for the sake of both scales [%]."""
    device, hanger = mean(at_device(c)), mean(at_hanger(c))
    return efficiency(c) * hypot(c["scale"] / device, c["scale"] / hanger)


def meets(share: float, off: float) -> str:
    """What both limits say of an efficiency that may be off so far [%], as the word of a statement."""
    if share - off >= HIGH:
        return "both"
    if share + off < LOW:
        return "neither"
    return "one of them" if share - off >= LOW and share + off < HIGH else "not sure"


# --- Opening ----------------------------------------------------------------------------------


def trials(c: Values) -> list[int]:
    """Tape over the outer edges of the fingers, worn, trial by trial [mm]."""
    return [c[f"trial_{k}"] for k in range(1, TRIALS + 1)]


def standard_error(c: Values) -> float:
    """Standard error of the mean of the trials [mm]."""
    return stdev(trials(c)) / sqrt(TRIALS)


def exact_trials(c: Values, error: float) -> float:
    """Trials after which twice the standard error is as small as the distance to the limit, not rounded [-]."""
    return float(TRIALS * (2 * error / c["nearer"]) ** 2)


def trials_needed(c: Values, error: float) -> int:
    """The same in whole trials [-]."""
    return ceil(exact_trials(c, error) - 1e-9)


# --- Slip -------------------------------------------------------------------------------------


def load(c: Values) -> float:
    """Axial load of the test: the lighter of 50 lb and a third of the body weight [N]."""
    return float(min(LOAD.si, third(c["mass"])))


def marks(c: Values) -> list[int]:
    """Where the socket's edge stood on the tape, without a pull and at each of the pulls [mm]."""
    return [c["mark"], *(c["mark"] + c[f"slip_{pull}"] for pull in PULLS)]


def slipped(c: Values, pull: float) -> float:
    """How far the socket has come down at a pull, between the rows of the table [mm]."""
    return float(between((0, *PULLS), marks(c), pull) - c["mark"])


# --- The case ---------------------------------------------------------------------------------


def by_scale(values: Mapping[str, Value]) -> dict[str, Value] | None:
    """The readings of both scales; None if a draw is of no use."""
    exact = pulled(values)
    if exact is None:
        return None
    device, hanger, back = exact
    stray = STRAY[str(values["happened"])](hanger, back)
    if hanger >= 99 or abs(stray - hanger) < max(8.0, 0.12 * hanger) or (values["happened"] == "digits" and stray < 10):
        return None
    found: dict[str, Value] = {}
    for k in range(1, FEW + 1):
        found[f"device_{k}"] = device + float(values[f"off_device_{k}"])
    for k in range(1, MANY + 1):
        read = stray if k == values["stray"] else hanger + float(values[f"off_hanger_{k}"])
        found[f"hanger_{k}"] = float(read)
    v: dict[str, Any] = {**values, **found}
    share, off = efficiency(v), doubt(v)
    edges = [abs(share + sign * off - limit) for sign in (1, -1) for limit in (HIGH, LOW)]
    return None if min(edges) < 0.25 else found


def by_tape(values: Mapping[str, Value]) -> dict[str, Value] | None:
    """What is measured on the wearer, trial by trial; None if a draw is of no use."""
    worn = measure(values)
    if worn is None:
        return None
    place = str(values["place"])
    there = int(values["shut"]) + int(worn[f"opened_{place}"])
    found: dict[str, Value] = {f"trial_{k}": there + int(values[f"off_trial_{k}"]) for k in range(1, TRIALS + 1)}
    v: dict[str, Any] = {**values, **worn, **found}
    if int(worn[f"opened_{place}"]) < LEAST or stdev(trials(v)) < 1.0 or max(trials(v)) > v["shut"] + v["full"]:
        return None
    needed = exact_trials(v, standard_error(v))
    if not 8 < needed < 60 or abs(needed - round(needed)) < 0.05:
        return None
    return {**worn, **found}


def whole(values: Mapping[str, Value]) -> dict[str, Value] | None:
    """Everything that scale, tape and shelves show for a draw; None if it is of no use."""
    worn = by_tape(values)
    scales = None if worn is None else by_scale(values)
    if worn is None or scales is None:
        return None
    shelves = {**found("below", int(values["shelf_below"])), **found("above", int(values["shelf_above"]))}
    return {**worn, **scales, **shelves, **read(int(values["scene"]))}


def present(c: Case) -> tuple[str | Table, ...]:
    """The case as the student sees it."""
    shelf = ("reading", "how it was taken", "when fitted", "now")
    return (
        your_wearer(c, c.chest, ("body mass", f"{c.mass} kg")),
        *_on_the_table(c),
        *_worn(c),
        Table(
            f"Prosthesis {c.shelf_below} of the shelf: below the elbow", shelf, BELOW.rows(c), about=("fault_below",)
        ),
        Table(
            "Back from the bench, below the elbow",
            ("what", "how it is"),
            (
                ("renewed", "; ".join(renewed(c))),
                ("last tested", "a year ago; any part may have changed since"),
                ("time today", "for the tests that know of what was renewed, and for no others"),
            ),
            about=("retake",),
        ),
        Table(
            f"Prosthesis {c.shelf_above} of the shelf: above the elbow", shelf, ABOVE.rows(c), about=("fault_above",)
        ),
        Table(
            f"A wearer with dual control says: {LEFT[scene(c).word].complaint}. Read so far",
            shelf,
            rows(c),
            about=("undecided", "measure_next"),
        ),
    )


def _newtons(pulls: list[float]) -> str:
    return "; ".join(f"{pull:g}" for pull in pulls) + " N"


def _on_the_table(c: Case) -> tuple[Table, ...]:
    """What two scales showed, and what is asked of an efficiency."""
    return (
        Table(
            "Your wearer's prosthesis on the table, elbow at 90°: pulls at which the device begins to move",
            ("where the scale was hooked", "pulls as they were written down, one after the other"),
            (
                ("the device itself", _newtons(at_device(c))),
                ("the cable hanger; one of them does not belong", _newtons(at_hanger(c, stray=True))),
            ),
            about=("efficiency",),
        ),
        Table(
            "What the efficiency must be",
            ("quantity", "value"),
            (
                (
                    f"it may be off, since each scale may be off by {c.scale} N, by",
                    f"{doubt(c):.2f} % of the pull at the hanger, to either side",
                ),
                (f"a limit ({ASKED.how_known})", f"at least {HIGH:.0f} %"),
                (f"another usage ({OTHER.how_known}), its lower end", f"at least {LOW:.0f} %"),
            ),
            about=("verdict",),
        ),
        Table(
            "Your scales",
            ("quantity", "value"),
            (("each of the two may be off, independently of the other, by", f"{c.scale} N, up or down"),),
            about=("doubt",),
        ),
    )


def _worn(c: Case) -> tuple[Table, ...]:
    """What tape and scale showed on the wearer."""
    other = next(name for name in PLACES if name != c.place)
    return (
        Table(
            "Tape over the outer edges of the fingers",
            ("where", "reading"),
            (
                ("shut", f"{c.shut} mm"),
                ("opened fully by hand, on the table", f"{c.shut + c.full} mm"),
                (f"worn, at {PLACES[c.place]} on command, five trials", f"{'; '.join(map(str, trials(c)))} mm"),
                (f"worn, at {PLACES[other]} on command, one trial", f"{c.shut + c[f'opened_{other}']} mm"),
            ),
            about=("opening", "standard_error"),
        ),
        Table(
            "Another wearer, measured so too: as many trials, spread just like yours",
            ("quantity", "value"),
            (
                ("trials made so far", f"{TRIALS}"),
                (
                    f"their mean lies above the limit, {100 * OPENS.si:.0f} % of full movement ({OPENS.how_known}), by",
                    f"{c.nearer} mm",
                ),
            ),
            about=("trials_needed",),
        ),
        Table(
            "The socket's edge on a tape along the hanging arm",
            ("pull along the limb", "reading of the tape"),
            tuple((f"{pull} N", f"{mark} mm") for pull, mark in zip((0, *PULLS), marks(c), strict=True)),
            about=("slip",),
        ),
        Table(
            "The load of the test, and its limit",
            ("quantity", "value"),
            (
                (
                    f"load ({LOAD.how_known}; that the lighter is meant: assumption)",
                    f"{LOAD.value:g} lb ({LOAD.si:.1f} N) or a third of the body weight, whichever is the lighter",
                ),
                ("body mass, and what a kilogram weighs", f"{c.mass} kg, 9.81 N"),
                (f"the socket may slip ({SLIP.how_known})", f"at most {SLIP.si / mm(1):.1f} mm"),
            ),
            about=("slip",),
        ),
    )
