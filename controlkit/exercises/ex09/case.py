"""Exercise 9: how a case is drawn, what is computed for it, and how it is shown."""

from __future__ import annotations

from collections.abc import Mapping
from math import ceil, radians

from controlkit.checking import Case, OneOf, Range
from controlkit.checking.case.cases import Draw, Value
from controlkit.exercises.ex09.bench import REACHES, ROWS, SHUT, USED, Demands, measure
from controlkit.exercises.ex09.words import CHANGES, CHEST, COMES, EIGHT
from controlkit.exercises.shared.readings import between
from controlkit.exercises.shared.wearers import your_wearer
from controlkit.tables import Table
from controlkit.units import deg, mm

HEAVY = 9.81
"""What a kilogram weighs [N/kg]."""
BAND_GRIP = 4
"""Grip that a design is asked for, for each band that gives it [N]; a band gives a little more."""
LOAD = 60
"""Pull along the limb under which a design's socket may slip by so much and no more [N]. An assumption made here."""
WIDE = 40
"""How far a design's fingertips must part [mm]. Assumption of this exercise."""
FURTHER = {EIGHT: 50, CHEST: 30}
"""From where the device must stay shut to where it must be open [deg]. Assumption of this exercise."""
BEARS = {EIGHT: {1: 0.4, 2: 0.8, 3: 1.15}, CHEST: {1: 0.32, 2: 0.55, 3: 0.72}}
"""What the place that a pattern presses bears, by the bands that a design needs [N/mm]. No value of it is safe."""
EASY = {18: 10.0, 21: 7.0, 24: 4.5}
"""Most that a strap may pull while the arm hangs, by the slip that is let [N]. Assumption of this exercise."""
FLAT = 2
"""A strap may be so much wider than it would have to be if it pressed as hard as is let [mm]."""

DRAWS: dict[str, Draw] = {
    "sex": OneOf(("female", "male")),
    "amputated": OneOf(("left", "right")),
    "taller": OneOf((-6, -1, 6), "cm"),
    "wider": OneOf((-5, 5), "cm"),
    "bands": OneOf((3, 4)),
    "comes": OneOf(tuple(COMES)),
    "tension": Range(24, 60, 1, "N"),
    "more": Range(14, 34, 1, "N"),
    "arc": Range(62, 92, 1, "mm"),
    "turn": Range(75, 105, 5, "deg"),
    "width": OneOf((25, 30, 35, 38), "mm"),
    "changed": OneOf(tuple(CHANGES)),
    "own_mass": Range(1.0, 1.6, 0.1, "kg"),
    "hangs": Range(8, 15, 0.5, "kg"),
    "let_out": Range(1, 3, 0.5, "mm"),
    "parts": Range(1.7, 2.4, 0.1, "mm"),
    "forward": OneOf(REACHES, "deg"),
    "bears": Range(0.3, 1.1, 0.05, "N/mm"),
    "across": Range(84, 120, 2, "mm"),
    "webbing": OneOf((30, 35), "mm"),
    "opens": Range(14, 28, 1, "N"),
    "arrives": Range(62, 70, 1, "%"),
    "ratio": OneOf((2, 2.5)),
    "works": Range(86, 93, 1, "%"),
    "gives": Range(0.1, 0.3, 0.02, "mm"),
    "spared": OneOf(("armpit", "side")),
    "hurts": OneOf((0, 0.15), "N/mm"),
    "grips": OneOf((1, 2, 3)),
    "still": OneOf((20, 25, 30, 35), "deg"),
    "thin": OneOf((24, 27, 30, 33, 36), "mm"),
    "slips": OneOf(tuple(EASY), "mm"),
}

STEADY = frozenset({"sex", "amputated", "taller", "wider", "bands"})
"""What the mechanics is asked about: two patterns on one wearer serve several draws of the rest."""


def radius(c: Case) -> float:
    """Radius of the curve on which the loop lies in the armpit [mm]."""
    return float(c.arc / radians(c.turn))


def load(c: Case, mass: float | None = None) -> float:
    """Weight on the socket's straps, of the prosthesis and what hangs at it; or of another mass [N]."""
    return HEAVY * float(c.own_mass + c.hangs if mass is None else mass)


def column(c: Case, name: str) -> list[float]:
    """A column of the table of the slip."""
    return [float(c[f"{name}_{row}"]) for row in ROWS]


def slip(c: Case, weight: float) -> float:
    """Slip under a load, between the rows [mm]."""
    return between(column(c, "carried"), ROWS, weight)


def drawn(c: Case, slipped: float) -> float:
    """Cable that a slip draws with the control strap just snug, between the rows [mm]."""
    return between(ROWS, column(c, "drawn"), slipped)


def forward(c: Case, pattern: str) -> float:
    """Cable that a pattern draws with the control strap just snug, the arm as far forward as asked [mm]."""
    return float(c[f"{pattern}_{c.forward}"])


def most(c: Case) -> float:
    """Largest tension of a loop round the pad with which the armpit bears it [N]."""
    return float(c.bears * c.across / 2)


def verdict(c: Case, allowed: float) -> str:
    """Which harness a wearer gets whose loop may pull so much [N], as the word of a statement."""
    if c.loop <= allowed:
        return EIGHT
    return "fewer bands" if c.loop_fewer <= allowed else CHEST


def at_strap(c: Case) -> float:
    """Pull of the control strap before the amplifier [N]."""
    return float(c.opens / (c.arrives / 100) * c.ratio / (c.works / 100))


def serving(c: Case) -> str:
    """The pattern of a design that the case leaves."""
    return CHEST if c.spared == "armpit" else EIGHT


def borne(c: Case) -> tuple[float, float]:
    """What armpit and side of the chest bear in a design [N/mm]."""
    pattern = serving(c)
    limit = BEARS[pattern][c.grips]
    return (float(c.hurts), limit) if pattern == CHEST else (limit, float(c.hurts))


def pressure(c: Case) -> int:
    """Largest mean pressure that is let in a design [kPa]."""
    return ceil(1000 * max(borne(c)) / int(c.thin))


def demands(c: Case) -> Demands:
    """What a design must do, in SI units."""
    armpit, side = borne(c)
    return Demands(
        armpit=1000 * armpit,
        side=1000 * side,
        pressure=1000.0 * pressure(c),
        grip=float(BAND_GRIP * c.grips),
        still=deg(c.still),
        reach=deg(c.still + FURTHER[serving(c)]),
        opening=mm(WIDE),
        load=float(LOAD),
        slip=mm(c.slips),
        easy=EASY[c.slips],
    )


def screen(values: Mapping[str, Value]) -> bool:
    """A cheap look at a draw: what hangs there is no heavier than a strap of the table carries."""
    c = Case("", "", 0, values)
    return load(c) <= 160 and 12 < c.bears * c.across / 2 < 62


def whole(values: Mapping[str, Value]) -> dict[str, Value] | None:
    """Everything that tape and scale show for a draw; None if it is of no use."""
    found = measure(values)
    if found is None:
        return None
    c = Case("", "", 0, {**values, **found})
    decides = min(abs(most(c) - c.loop), abs(most(c) - c.loop_fewer))
    comes = drawn(c, slip(c, load(c)))
    return found if decides >= 1 and comes >= 2 + c.let_out and forward(c, "eight") > 4 + comes else None


def present(c: Case) -> tuple[str | Table, ...]:
    """The case as the student sees it."""
    return (
        your_wearer(c, c.chest),
        Table(
            "A wearer comes in, invented",
            ("item", "what is known"),
            (("wearer", COMES[c.comes][0]),),
            about=("pattern",),
        ),
        *_armpit(c),
        *_slip(c),
        _two(c),
        *_limits(c),
        _wanted(c),
    )


def _armpit(c: Case) -> tuple[Table, ...]:
    """A loop in the armpit, and what is changed at it."""
    return (
        Table(
            "A figure of eight, the device held open",
            ("quantity", "value"),
            (
                ("pull of the control strap", f"{c.tension + c.more} N"),
                ("tension of the loop in the armpit", f"{c.tension} N"),
                ("length of loop that lies on the skin there", f"{c.arc} mm"),
                ("angle by which the loop turns along that length, on one even curve", f"{c.turn}°"),
                ("width of the loop", f"{c.width} mm"),
            ),
            about=("line_load", "pressure"),
        ),
        Table(
            "What is changed at that loop",
            ("item", "what is done"),
            (("change", CHANGES[c.changed][0]),),
            about=("changes",),
        ),
    )


def _slip(c: Case) -> tuple[Table, ...]:
    """A socket under a load, and the cable."""
    return (
        Table(
            f"Figure of eight on your wearer, {c.bands} bands: the socket pulled down along the limb, straps alone",
            ("slip of the socket", "straps carry", "cable drawn, control strap just snug"),
            tuple((f"{row} mm", f"{c[f'carried_{row}']} N", f"{c[f'drawn_{row}']} mm") for row in ROWS),
            about=("slip", "opens_unasked", "more_cable"),
        ),
        Table(
            "What hangs there",
            ("quantity", "value"),
            (
                ("mass of the prosthesis", f"{c.own_mass} kg"),
                ("mass of the bucket in the device, the arm hanging", f"{c.hangs} kg"),
                ("what a kilogram weighs", f"{HEAVY} N"),
                ("grip of the socket on the limb", "left out: your slip is an upper bound"),
            ),
            about=("slip",),
        ),
        Table(
            "The control strap and the hook",
            ("quantity", "value"),
            (
                ("control strap let out from just snug; the cable comes so much later", f"{c.let_out} mm"),
                ("fingertips part for each millimetre of cable by", f"{c.parts} mm"),
            ),
            about=("opens_unasked",),
        ),
    )


def _two(c: Case) -> Table:
    """Both patterns on the wearer of a case."""
    draws = tuple(
        (
            f"cable drawn, arm {angle}° forward, control strap just snug",
            f"{c[f'eight_{angle}']} mm",
            f"{c[f'chest_{angle}']} mm",
        )
        for angle in REACHES
    )
    return Table(
        f"Two patterns on your wearer, with {c.bands} bands on the hook",
        ("quantity", EIGHT, CHEST),
        (
            *draws,
            (f"line load at the sound armpit, arm {USED}° forward", f"{c.armpit_eight} N/mm", f"{c.armpit_chest} N/mm"),
            (
                f"line load of the strap round the chest, arm {USED}° forward",
                f"{c.side_eight} N/mm",
                f"{c.side_chest} N/mm",
            ),
            (
                f"moment arm of the control strap about the shoulder, arm {USED}° forward",
                f"{c.arm_eight} mm",
                f"{c.arm_chest} mm",
            ),
            (f"tension of the strap on the sound side, arm {USED}° forward", f"{c.loop} N", f"{c.around} N"),
            ("the same with one band less", f"{c.loop_fewer} N", "not asked"),
            ("what carries the socket", "a strap in front, elastic in part", "the saddle"),
            ("taken for granted", "the loop stays where it lies", "strap and saddle stay where they are laid"),
        ),
        about=("more_cable", "which"),
    )


def _limits(c: Case) -> tuple[Table, ...]:
    """What an armpit bears, and an amplifier."""
    return (
        Table(
            "Where both are compared",
            ("quantity", "value"),
            (
                ("arm flexion", f"{c.forward}°"),
                ("eight: control strap let out", "just so far that the load of question 5 does not draw the cable"),
                ("chest strap: control strap", "just snug; the saddle holds the socket"),
            ),
            about=("more_cable",),
        ),
        Table(
            "What is wanted at most, an invented figure",
            ("quantity", "value"),
            (
                ("line load at the sound armpit, at most", f"{c.bears} N/mm"),
                ("the loop goes round a firm round pad; its diameter with the loop's", f"{c.across} mm"),
                ("width of the loop", f"{c.webbing} mm"),
            ),
            about=("largest_tension",),
        ),
        Table(
            "The hook, and what it is for",
            ("quantity", "value"),
            (
                ("bands on the hook", f"{c.bands}"),
                ("bands that are enough for what your wearer grips", f"{c.bands - 1}"),
            ),
            about=("which",),
        ),
        Table(
            "A cable with an excursion amplifier",
            ("quantity", "value"),
            (
                ("the device is open with a force of", f"{c.opens} N at its own end of the cable"),
                ("of the cable's tension at the amplifier arrives at the device", f"{c.arrives} %"),
                ("the amplifier makes of each millimetre of strap", f"{c.ratio} mm of cable"),
                ("of the work that goes in, the amplifier hands on (assumed)", f"{c.works} %"),
            ),
            about=("amplified_pull",),
        ),
    )


def _wanted(c: Case) -> Table:
    asked, (armpit, side) = demands(c), borne(c)
    return Table(
        "Your design",
        ("what it must do", "how much"),
        (
            ("spare the sound armpit", _at_most(armpit)),
            ("spare the chest, front, side and back", _at_most(side)),
            ("spread what it presses there", f"mean pressure of at most {pressure(c)} kPa"),
            ("lie flat", f"straps at most {c.thin + FLAT} mm wide"),
            ("grip a thin object", f"with at least {asked.grip:.0f} N"),
            (
                "stay shut, the arm hanging and up to",
                f"{c.still}° of arm flexion (fingertips at most {SHUT / mm(1):.0f} mm apart)",
            ),
            ("be open at", f"{c.still + FURTHER[serving(c)]}° of arm flexion, by at least {WIDE} mm"),
            (f"hold the socket under a pull of {LOAD} N", f"slip of at most {c.slips} mm, straps alone"),
            ("leave the device shut under that pull", f"fingertips at most {SHUT / mm(1):.0f} mm apart"),
            ("be easy while the arm hangs", f"no strap pulls with more than {asked.easy:g} N"),
            ("serve other bodies", "all of that, but for the grip and the width"),
        ),
        about=("design",),
    )


def _at_most(limit: float) -> str:
    """A limit of a line load, in words where it is none."""
    return f"line load of at most {limit:g} N/mm (invented)" if limit else "no strap may press there at all (invented)"
