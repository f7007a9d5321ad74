"""Exercise 7: how a case is drawn, what is computed for it, and how it is shown."""

from __future__ import annotations

from collections.abc import Mapping
from math import cos, exp, floor, hypot, radians, sin
from typing import Any

from controlkit.checking import Case, OneOf, Range
from controlkit.checking.case.cases import Draw, Value
from controlkit.exercises.ex07.bench import PULLED, measure
from controlkit.exercises.shared.readings import rounded
from controlkit.exercises.shared.wearers import your_wearer
from controlkit.mechanics import VoluntaryOpening
from controlkit.mechanics.chain import TASKS
from controlkit.mechanics.elbow import GRAVITY, LiftLine
from controlkit.sources import source
from controlkit.tables import Table
from controlkit.units import deg, mm

LONG = source("fatigue_free_share")
HUMAN_MASS, HUMAN_CENTRE = source("forearm_hand_mass_dempster"), source("forearm_hand_centre_dempster")
PARTS = ("shell", "wrist", "hook")
WAY_UP = (15, 35, 60, 90, 110)
"""Elbow angles of the table of a lift [deg]."""

FOR_EACH_BAND = 55
"""Largest pull of a wearer for whom so many bands are right, for each band [N]."""
MAY_OPEN = 1 / 3
"""Share of the largest pull that opening may take [-]. Assumption of this exercise."""
HEAVIER = {70: 60, 80: 25, 90: 10}
"""Load in the hook for each band above three, by the opening that is wanted [g, by %]."""

DRAWS: dict[str, Draw] = {
    "sex": OneOf(("female", "male")),
    "amputated": OneOf(("left", "right")),
    "taller": OneOf((-6, 0, 6), "cm"),
    "wider": OneOf((-5, 5), "cm"),
    "shell": Range(200, 300, 10, "g"),
    "wrist": Range(60, 100, 5, "g"),
    "hook": Range(110, 240, 10, "g"),
    "shell_at": Range(100, 140, 5, "mm"),
    "wrist_at": Range(225, 250, 5, "mm"),
    "hook_at": Range(300, 330, 5, "mm"),
    "body_mass": Range(50, 95, 1, "kg"),
    "elbow": Range(25, 50, 1, "deg"),
    "inclined": Range(12, 40, 1, "deg"),
    "loop": Range(30, 60, 1, "mm"),
    "end": Range(70, 110, 5, "mm"),
    "ahead": Range(10, 30, 1, "mm"),
    "bent": OneOf((*range(36, 66), *range(112, 131)), "deg"),
    "hangs": Range(10, 20, 1, "deg"),
    "locked": Range(80, 110, 5, "deg"),
    "level": Range(0.9, 2.0, 0.05, "N m"),
    "other_loop": Range(30, 60, 5, "mm"),
    "other_ahead": Range(0, 40, 5, "mm"),
    "lag": Range(0, 15, 5, "deg"),
    "follows": Range(30, 45, 5, "%"),
    "spring": Range(0.2, 0.4, 0.05, "N m"),
    "friction": Range(0.06, 0.12, 0.01),
    "above": Range(35, 70, 5, "deg"),
    "beyond": Range(20, 60, 5, "deg"),
    "bands": Range(3, 6),
    "begins": Range(8.6, 9.8, 0.1, "N"),
    "slack": Range(4, 12, 1, "mm"),
    "arrives": Range(70, 85, 1, "%"),
    "moved": OneOf(("outward", "inward")),
    "scene": OneOf(("lifts", "strains", "locked", "relaxes", "locked and relaxes", "carries")),
    "strength": OneOf(tuple(FOR_EACH_BAND * bands for bands in (4, 5, 6, 7)), "N"),
    "wanted": OneOf(tuple(HEAVIER), "%"),
    "hangs_most": OneOf((10, 15, 20), "deg"),
    "ahead_most": OneOf((15, 20, 25, 30), "mm"),
    "width": Range(20, 50, 10, "mm"),
}

STEADY = frozenset({"sex", "amputated", "taller", "wider"})
"""What the mechanics is asked about: one wearer serves several draws of the rest."""

SCENES = {
    "lifts": (
        "unlocked, forearm hanging",
        "the wearer pulls; the loop comes to the tension that lifts while the device is still below its opening force",
    ),
    "strains": (
        "unlocked, forearm hanging, a heavy load in the hook",
        "the wearer pulls; the device comes to its opening force before the loop comes to the tension that lifts",
    ),
    "locked": ("locked at a right angle", "the wearer pulls past the device's opening force"),
    "relaxes": ("unlocked, forearm held level by the cable", "the wearer goes back to rest, and the cable goes back"),
    "locked and relaxes": ("locked at a right angle, the cable taut", "the wearer goes back to rest"),
    "carries": (
        "unlocked, forearm held level by the cable, an object between the fingertips",
        (
            "weight is added to the object, and the wearer pulls to keep it level; at the device the cable comes "
            "near its opening force, and stays below"
        ),
    ),
}
"""How the elbow stands, and what happens."""


def line(c: Case | Mapping[str, Any], ahead: float | None = None) -> LiftLine:
    """The lift line of a case; with the housing end so far in front instead [mm]."""
    forward = float(c["ahead"]) if ahead is None else ahead
    return LiftLine(loop_along=mm(c["loop"]), end_above=mm(c["end"]), end_ahead=mm(forward))


def weight_moment(c: Case, sine: float) -> float:
    """Moment of the three parts about the elbow, the forearm by such an angle off the vertical [N m]."""
    return float(sum(c[part] * c[f"{part}_at"] for part in PARTS) * 1e-6 * GRAVITY * sine)


def off_vertical(c: Case) -> float:
    """Angle of the forearm to the vertical [rad]."""
    return radians(c.elbow + c.inclined)


def human(c: Case | Mapping[str, Any]) -> tuple[int, int]:
    """Mass and centre of a person's own forearm and hand, for comparison [g and mm]."""
    return round(1000 * HUMAN_MASS.si * c["body_mass"]), round(HUMAN_CENTRE.si * c["wrist_at"])


def arm_of(c: Case, *, angle: float | None = None, ahead: float | None = None) -> float:
    """Moment arm of the lift line at the elbow angle asked for, or at another [mm]."""
    return float(line(c, ahead).moment_arm(deg(c.bent if angle is None else angle))) / mm(1)


def free(c: Case, angle: float, ahead: float | None = None) -> float:
    """Free cable from housing end to lift loop [mm]."""
    forward = c.ahead if ahead is None else ahead
    return hypot(forward - c.loop * sin(radians(angle)), c.end + c.loop * cos(radians(angle)))


def taken_up(c: Case, start: float | None = None, ahead: float | None = None) -> float:
    """Cable that the lift takes up, up to where the elbow is locked [mm]."""
    return free(c, c.hangs if start is None else start, ahead) - free(c, c.locked, ahead)


def on_the_way(values: Mapping[str, Value]) -> dict[str, Value]:
    """Inclination and moment arm of the other system at each row of its table [deg, mm]; none on a rounding's edge."""
    other = LiftLine(
        loop_along=mm(int(values["other_loop"])), end_above=mm(80), end_ahead=mm(int(values["other_ahead"]))
    )
    tenths = {f"arm_{row}": 10 * float(other.moment_arm(deg(row))) / mm(1) for row in WAY_UP}
    read = rounded(tenths)
    if read is None:
        return {}
    arms = {name: int(value) / 10 for name, value in read.items()}
    tilts = {f"tilt_{row}": int(values["lag"]) + (int(values["follows"]) * row + 50) // 100 for row in WAY_UP}
    return {**arms, **tilts}


def tension(c: Case, row: int, tilt: float | None = None) -> float:
    """Tension between housing end and loop at one row; with the upper arm so far inclined instead [N]."""
    off = radians(row + (c[f"tilt_{row}"] if tilt is None else tilt))
    return float(1000 * c.level * sin(off) / c[f"arm_{row}"])


def bent_by(c: Case, *names: str) -> float:
    """What some bends make of a tension, e to the friction times bend [-]."""
    return exp(c.friction * radians(sum(c[name] for name in names)))


def opening_force(c: Case) -> float:
    """Cable force at which the hook begins to open [N]."""
    return float(c.bands * c.begins)


def load(c: Case | Mapping[str, Any]) -> int:
    """Load in the hook that a design must lift [g]."""
    return int(HEAVIER[c["wanted"]] * (right_bands(c) - 3))


def right_bands(c: Case | Mapping[str, Any]) -> int:
    """How many bands suit the strength of the wearer of a case [-]."""
    return int(c["strength"]) // FOR_EACH_BAND


def worth_measuring(values: Mapping[str, Value]) -> bool:
    """A cheap look at a draw: every row of the table can be read, and the device decides clearly."""
    table = on_the_way(values)
    if not table:
        return False
    c = Case("", "", 0, {**values, **table})
    at_device = max(tension(c, row) for row in WAY_UP) / bent_by(c, "beyond")
    return abs(at_device / opening_force(c) - 1) > 0.08


def whole(values: Mapping[str, Value]) -> dict[str, Value] | None:
    """Everything that tape, scale and harness show for a draw, in whole numbers; None if it is of no use."""
    found = measure(values)
    if found is None:
        return None
    table, c = on_the_way(values), Case("", "", 0, {**values, **found})
    if c.captured - c.slack - taken_up(c) < 6:
        return None
    grip = floor(0.9 * VoluntaryOpening(bands=right_bands(c)).pinch(mm(c.width)))
    mass, at = human(c)
    return {**found, **table, "grip": grip, "human_mass": mass, "human_at": at}


def present(c: Case) -> tuple[str | Table, ...]:
    """The case as the student sees it."""
    elbow, happens = SCENES[c.scene]
    return (
        your_wearer(c, c.chest, ("largest pull at the hanger", f"{c.strength} N"), level="above"),
        Table(
            "The forearm of the prosthesis as the wearer comes in",
            ("part", "mass", "centre, from the elbow axis"),
            (
                ("forearm shell", f"{c.shell} g", f"{c.shell_at} mm"),
                ("wrist unit", f"{c.wrist} g", f"{c.wrist_at} mm"),
                ("hook", f"{c.hook} g", f"{c.hook_at} mm"),
                (
                    f"for comparison: forearm and hand of a person of {c.body_mass} kg ({HUMAN_MASS.how_known})",
                    f"{c.human_mass} g",
                    f"{c.human_at} mm",
                ),
            ),
            about=("weight_moment",),
        ),
        Table(
            "How it is held",
            ("angle", "value"),
            (
                ("elbow flexion, 0° is straight", f"{c.elbow}°"),
                ("upper arm inclined forward from the vertical", f"{c.inclined}°"),
            ),
            about=("weight_moment",),
        ),
        Table(
            "Its lift line",
            ("quantity", "value"),
            (
                ("lift loop, on the forearm's line, from the elbow axis", f"{c.loop} mm"),
                ("housing end, from the elbow axis up the upper arm", f"{c.end} mm"),
                ("housing end, in front of the upper arm's line", f"{c.ahead} mm"),
            ),
            about=("moment_arm", "lift_travel"),
        ),
        Table("Its elbow", ("angle", "value"), (("elbow flexion", f"{c.bent}°"),), about=("moment_arm",)),
        Table(
            f"Another system on its way up; its forearm's weight makes {c.level} N m when level",
            ("elbow flexion", "upper arm inclined forward by then", "moment arm of its lift cable"),
            tuple((f"{row}°", f"{c[f'tilt_{row}']}°", f"{c[f'arm_{row}']} mm") for row in WAY_UP),
            about=("lift_tension",),
        ),
        Table(
            "Its cable, where the lift is hardest",
            ("quantity", "value"),
            (
                ("friction coefficient, cable in housing", f"{c.friction}"),
                ("bends from the hanger to the gap, added without sign", f"{c.above}°"),
                ("bends from the gap on to the device, added without sign", f"{c.beyond}°"),
            ),
            about=("harness_pull", "device_pull"),
        ),
        Table(
            "Its hook, opened by the cable",
            ("quantity", "value"),
            (
                ("rubber bands", f"{c.bands}"),
                ("cable force at the device, to begin to open, for each band", f"{c.begins} N"),
            ),
            about=("opens_first",),
        ),
        Table(
            "From hanging to the lock",
            ("angle", "value"),
            (
                ("elbow flexion at which the forearm hangs on its stop", f"{c.hangs}°"),
                ("elbow flexion at which the elbow is locked", f"{c.locked}°"),
            ),
            about=("lift_travel",),
        ),
        Table(
            "Excursion of the whole control motion, arm flexed to 90° and both scapulae forward",
            ("quantity", "value"),
            (
                ("generated", f"{c.generated} mm"),
                (f"captured by the harness, strap just snug, against a pull of {PULLED:g} N", f"{c.captured} mm"),
                ("control attachment strap let out from just snug", f"{c.slack} mm"),
                ("share of the pull that arrives at the device", f"{c.arrives} %"),
            ),
            about=("left_to_open",),
        ),
        Table(
            "A change to your wearer's prosthesis",
            ("part", "change"),
            (("lift loop, along the forearm", f"moved {c.moved} by 10 mm; all else stays"),),
            about=("loop_moved",),
        ),
        Table(
            "What comes of it?",
            ("part", "what it is"),
            (("elbow", elbow), ("what happens", happens)),
            about=("comes_of_it",),
        ),
        Table(
            "Your design",
            ("what it must do", "how much"),
            (
                ("lift the forearm by the control motion, the arm flexed by no more than 90°", "to an elbow at 110°"),
                ("with a load in the hook", f"{load(c)} g"),
                ("stay shut on the whole way up", "at the device, below the force at which it opens"),
                (
                    "ask little of the wearer on the way up",
                    f"at most {100 * TASKS['repeat']:g} % of the largest pull ({LONG.how_known}; contested)",
                ),
                (
                    "open with the elbow locked at 90°, the whole motion made",
                    f"at least {c.wanted} % of full opening (assumption of this exercise)",
                ),
                (
                    "open fully there",
                    "with at most a third of the largest pull (assumption of this exercise; not for all day)",
                ),
                (f"grip an object {c.width} mm wide", f"with at least {c.grip} N"),
                (
                    "let the forearm hang nearly straight",
                    f"bent by at most {c.hangs_most}° (assumed: reach, and looks)",
                ),
                ("keep the housing's end under a sleeve", f"at most {c.ahead_most} mm in front (assumed)"),
                (
                    "suit its parts",
                    (
                        "housing end 80 mm above the elbow; shell, wrist unit and hook 250, 80 and 180 g, as "
                        "long as the sound forearm (assumed)"
                    ),
                ),
            ),
            about=("design",),
        ),
    )
