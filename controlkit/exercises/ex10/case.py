"""Exercise 10: how a case is drawn, what is computed for it, and how it is shown."""

from __future__ import annotations

from collections.abc import Mapping
from math import ceil, floor, radians, sin

from controlkit.checking import Case, OneOf, Range
from controlkit.checking.case.cases import Draw, Value
from controlkit.exercises.ex10.bench import HookWanted, PairWanted, measure
from controlkit.exercises.ex10.errand import BEGINS, HANDLE, JUNCTION, THINGS
from controlkit.exercises.ex10.words import CHANGES, SCENES
from controlkit.mechanics import hook_opening
from controlkit.mechanics.elbow import GRAVITY
from controlkit.mechanics.elbow.short_limb import SELF_SUSPENDING, SPLIT_SOCKET
from controlkit.sources import source
from controlkit.tables import Table
from controlkit.units import deg, mm

RATIO = source("step_up_ratio")
STEP_UP_FLEXION, RIM = source("split_socket_flexion"), source("checkout_self_suspending_flexion")
FULL_PULL = 18.9
"""Pull at a control strap, for each band, with which a hook is fully open: what the mechanics asks for at most [N]."""
OPENS: dict[tuple[int, int, int], tuple[int, int]] = {
    (6, 3, 1): (85, 95),
    (6, 4, 1): (65, 70),
    (6, 5, 1): (55, 70),
    (6, 6, 1): (50, 70),
    (6, 3, 2): (95, 95),
    (6, 4, 2): (85, 95),
    (6, 5, 2): (65, 85),
    (6, 6, 2): (50, 75),
    (6, 4, 3): (85, 85),
    (6, 5, 3): (75, 85),
    (6, 6, 3): (60, 75),
    (10, 3, 1): (65, 70),
    (10, 4, 1): (50, 70),
    (10, 5, 1): (55, 70),
    (10, 6, 1): (50, 70),
    (10, 3, 2): (70, 70),
    (10, 4, 2): (65, 70),
    (10, 5, 2): (60, 70),
    (10, 6, 2): (50, 60),
    (10, 4, 3): (65, 65),
    (10, 5, 3): (70, 70),
    (10, 6, 3): (55, 60),
}
"""Opening by arm flexion that a design must reach on either side, by how far a shoulder comes forward in reaching and
by the bands that either grip takes: as much as leaves a way, on every body that it is tried on [%, by deg]."""
STRONG = {"weak": 0.3, "fair": 0.75, "strong": 1.3}
"""Largest moment of another limb, as a share of what a step-up hinge asks for."""

DRAWS: dict[str, Draw] = {
    "sex": OneOf(("female", "male")),
    "amputated": OneOf(("left", "right")),
    "taller": OneOf((-6, 0, 6), "cm"),
    "wider": OneOf((-5, 5), "cm"),
    "junction": OneOf((90, 110, 120, 140), "mm"),
    "pull": Range(80, 125, 5, "N"),
    "arrives": Range(66, 80, 1, "%"),
    "bands": Range(2, 7),
    "begins": Range(8.6, 9.8, 0.1, "N"),
    "full": Range(12.8, 14.6, 0.2, "N"),
    "scene": OneOf(tuple(SCENES)),
    "change": OneOf(tuple(CHANGES)),
    "fork_on": OneOf(("left", "right")),
    "near": OneOf(THINGS),
    "meal_begins": OneOf(BEGINS),
    "away": OneOf(("both", "left", "right")),
    "ratio": Range(1.5, 2.2, 0.1),
    "least": Range(6, 16, 1, "deg"),
    "most": Range(46, 62, 1, "deg"),
    "hinge": Range(82, 94, 1, "%"),
    "level": Range(0.7, 1.5, 0.05, "N m"),
    "load": Range(150, 500, 10, "g"),
    "reach": Range(260, 340, 5, "mm"),
    "lever": Range(36, 58, 1, "mm"),
    "inside": Range(80, 105, 1, "mm"),
    "limb": OneOf(("weak", "fair", "strong", "strong", "strong")),
    "flexes": OneOf((62, 66, 70, 96, 100, 104), "deg"),
    "to_reach": OneOf((84, 90, 94, 116, 124), "deg"),
    "firm_on": OneOf(("left", "right")),
    "firm": Range(3, 6),
    "light": Range(1, 3),
    "forward": OneOf((6, 10), "deg"),
    "width": Range(20, 50, 10, "mm"),
}

STEADY = frozenset({"sex", "taller", "wider", "junction", "pull"})
"""What the mechanics is asked about: one wearer serves several draws of the rest."""


def crosses(c: Case) -> float:
    """Tension of the other side's control strap: the law of sines in the triangle of forces [N]."""
    return float(c.pull * sin(radians(c.own_to_front)) / sin(radians(c.front_to_control)))


def held_by_front(c: Case) -> float:
    """Tension of the other side's front strap [N]."""
    return float(c.pull * sin(radians(c.control_to_own)) / sin(radians(c.front_to_control)))


def other_hook(c: Case, tension: float) -> str:
    """What the other hook does under such a tension of its control strap, as the word of a statement."""
    at_hook = tension * c.arrives / 100
    return "unmoved" if at_hook <= 0 else "grips less" if at_hook < c.bands * c.begins else "opens"


def bands_for(c: Case, tension: float) -> int:
    """Fewest bands that keep the other hook shut under such a tension of its control strap [-]."""
    return max(int(tension * c.arrives / 100 // c.begins) + 1, 1)


def lifted(c: Case) -> float:
    """Moment of forearm and load about the elbow, the forearm level [N m]."""
    return float(c.level + c.load * c.reach * 1e-6 * GRAVITY)


def limb_moment(c: Case) -> float:
    """Moment that the limb must make through the hinge [N m]."""
    return float(c.ratio * lifted(c) / (c.hinge / 100))


def way(c: Case, through_the_hinge: float) -> str:
    """Which of the ways serves the other limb, by the moment that the hinge would ask of it, as a statement's word."""
    itself = through_the_hinge * c.hinge / 100 / c.ratio
    if min(c.flexes, SELF_SUSPENDING / deg(1)) >= c.to_reach and itself <= c.limb_most:
        return "self-suspending socket"
    if min(c.ratio * c.flexes, SPLIT_SOCKET / deg(1)) >= c.to_reach and through_the_hinge <= c.limb_most:
        return "step-up hinge"
    return "outside locking hinge"


def derived(values: Mapping[str, Value]) -> dict[str, Value]:
    """What needs no harness: the other limb's largest moment, and what grips, pulls and openings a design must have."""
    c = Case("", "", 0, values)
    grips = {side: hook_opening(int(c[side])).pinch(mm(c.width)) for side in ("firm", "light")}
    opens = OPENS[c.forward, c.firm, c.light]
    return {
        "limb_most": round(STRONG[c.limb] * limb_moment(c), 1),
        **{f"{side}_grip": floor(9 * grip) / 10 for side, grip in grips.items()},
        "firm_most": ceil((c.firm + 0.3) * FULL_PULL / 5) * 5,
        "light_most": ceil((c.light + 1.3) * FULL_PULL / 5) * 5,
        "firm_opens": opens[0],
        "light_opens": opens[1],
    }


def wanted(c: Case) -> PairWanted:
    """What a case asks of a design."""
    hooks = (
        HookWanted(c.firm_opens / 100, c.firm_grip, c.firm_most),
        HookWanted(c.light_opens / 100, c.light_grip, c.light_most),
    )
    return PairWanted(firm=c.firm_on, hooks=hooks, width=mm(c.width), forward=deg(c.forward))


def worth_measuring(values: Mapping[str, Value]) -> bool:
    """A cheap look at a draw: the sides differ, the hinge's forearm has room, and the ways are told apart clearly."""
    c = Case("", "", 0, values)
    if c.light >= c.firm or (c.sex == "female" and c.firm == 6) or c.ratio * c.most > SPLIT_SOCKET / deg(1) - 2:
        return False
    reached = (min(c.flexes, SELF_SUSPENDING / deg(1)), min(c.ratio * c.flexes, SPLIT_SOCKET / deg(1)))
    return all(abs(angle - c.to_reach) >= 2 for angle in reached)


def whole(values: Mapping[str, Value]) -> dict[str, Value] | None:
    """Everything that goniometer and scale show for a draw; None if it is of no use."""
    found = measure(values)
    if found is None:
        return None
    c = Case("", "", 0, {**values, **found})
    if abs(crosses(c) * c.arrives / 100 / (c.bands * c.begins) - 1) < 0.04:
        return None
    share = crosses(c) * c.arrives / 100 / c.begins
    if abs(share - round(share)) < 0.04:
        return None
    return {**found, **derived(values)}


def own_wearer_table(c: Case) -> Table:
    """Who the wearer of a case is."""
    return Table(
        "Your wearer",
        ("measurement", "value"),
        (
            ("sex", str(c.sex)),
            ("amputated", "both arms, below the elbow"),
            ("stature", f"{c.stature} mm"),
            ("chest circumference", f"{c.chest} mm"),
        ),
    )


def present(c: Case) -> tuple[str | Table, ...]:
    """The case as the student sees it."""
    return (own_wearer_table(c), *_crossing(c), *_scenes(c), *_short_limb(c), _design(c))


def _crossing(c: Case) -> tuple[Table, ...]:
    """The junction, and the hook behind it."""
    rests = "left" if c.amputated == "right" else "right"
    return (
        Table(
            f"At the junction, {c.junction} mm below C7; the {c.amputated} arm is flexed to 60° and pulls",
            ("quantity", "value"),
            (
                (f"pull of the {c.amputated} control attachment strap", f"{c.pull} N"),
                (f"{c.amputated} anterior support strap", "hangs slack"),
                (f"angle from the {c.amputated} control strap to the {rests} front strap", f"{c.own_to_front}°"),
                (f"angle from the {rests} front strap to the {rests} control strap", f"{c.front_to_control}°"),
                (f"angle from the {rests} control strap to the {c.amputated} control strap", f"{c.control_to_own}°"),
                ("undershirt", "slippery: take the friction as nothing"),
            ),
            about=("crossing_pull",),
        ),
        Table(
            f"The {rests} hook, which rests, shut on a sheet of paper; the cable opens it",
            ("quantity", "value"),
            (
                ("share of a pull at its control strap that arrives at the hook", f"{c.arrives} %"),
                ("rubber bands", f"{c.bands}"),
                ("cable force at the hook, to begin to open, for each band", f"{c.begins} N"),
                ("cable force at the hook, fully open, for each band", f"{c.full} N"),
            ),
            about=("other_hook", "bands_shut"),
        ),
    )


def _scenes(c: Case) -> tuple[Table, ...]:
    """What opens, what a change does, and how the table is laid."""
    harness, moves = SCENES[c.scene]
    knife_on = "left" if c.fork_on == "right" else "right"
    return (
        Table(
            "Which hook opens?",
            ("part", "what it is"),
            (
                ("harness", f"{harness}; all straps just snug"),
                ("what the wearer does", moves),
            ),
            about=("which_opens",),
        ),
        Table(
            "A change",
            ("part", "what is changed; all else stays"),
            (("your wearer's pair, the junction now 80 mm below C7", CHANGES[c.change]),),
            about=("keeps_apart",),
        ),
        Table(
            "The table is laid",
            ("what", "how it is"),
            (
                ("the fork", f"for the {c.fork_on} hook, {_lies(c, 'fork')}"),
                ("the knife", f"for the {knife_on} hook, {_lies(c, 'knife')}"),
                ("what lies near the body", "is taken, and laid down there, by bringing both shoulders forward"),
                ("what lies an arm's length away", "is taken, and laid down there, by flexing that arm"),
                (
                    "pair (assumption of this exercise)",
                    (
                        f"junction {JUNCTION / mm(1):.0f} mm below C7, three bands on either hook; handles"
                        f" {HANDLE / mm(1):.0f} mm thick"
                    ),
                ),
                (
                    "wrist units",
                    (
                        "each is turned by the other hook, which must be empty (common practice, no source; "
                        "others push against a table's edge or a knee)"
                    ),
                ),
                ("at the beginning", begins(c)),
                ("at the end", "the food is cut, both things lie where they lay, and nothing has fallen"),
            ),
            about=("meal",),
        ),
    )


def _lies(c: Case, thing: str) -> str:
    return "near the body" if thing == c.near else "an arm's length away"


def begins(c: Case) -> str:
    """How the meal begins, in words."""
    if c.meal_begins == "both hooks empty":
        away = "both devices stand" if c.away == "both" else f"the {c.away} device stands"
        return f"both hooks are empty; {away} turned away from what it is to take"
    held = c.near if c.meal_begins == "near thing held" else next(thing for thing in THINGS if thing != c.near)
    return f"the {held} is held already, its device turned as it should be; the other hook is empty and turned away"


def _short_limb(c: Case) -> tuple[Table, ...]:
    """A very short limb below the elbow, on another wearer."""
    hinge = (
        (
            (
                f"ratio, flexion of the forearm over that of the limb ({RATIO.si:g}: {RATIO.how_known}; others: "
                f"assumption)"
            ),
            f"{c.ratio}",
        ),
        ("efficiency of the hinge, moment (assumption of this exercise)", f"{c.hinge} %"),
    )
    lifts = (
        ("moment of the empty forearm about the elbow, forearm level", f"{c.level} N m"),
        ("load in the hook", f"{c.load} g"),
        ("load, from the elbow's axis", f"{c.reach} mm"),
    )
    return (
        Table(
            "Another wearer: a very short residual limb below the elbow, split socket with a step-up hinge",
            ("quantity", "value"),
            (
                *hinge,
                ("the limb goes from a flexion of", f"{c.least}°"),
                ("to a flexion of", f"{c.most}°"),
                ("the forearm of the prosthesis is straight", "where the limb is straight"),
            ),
            about=("forearm_sweep",),
        ),
        Table("The same hinge, forearm level", ("quantity", "value"), (*hinge, *lifts), about=("limb_moment",)),
        Table(
            "The limb in its socket",
            ("quantity", "value"),
            (
                ("length of the limb inside the socket", f"{c.inside} mm"),
                ("between the place where it presses in front and the one behind", f"{c.lever} mm"),
                ("the load hangs from the elbow's axis, as before", f"{c.reach} mm"),
            ),
            about=("couple",),
        ),
        Table(
            "One more limb, for the same forearm, load and hinge",
            ("quantity", "value"),
            (
                ("it flexes in a socket up to", f"{c.flexes}°"),
                ("largest moment with which it flexes", f"{c.limb_most} N m"),
                ("flexion of the forearm that is wanted", f"{c.to_reach}°"),
                (
                    f"a self-suspending socket's rim lets the forearm flex to, at most ({RIM.how_known})",
                    f"{SELF_SUSPENDING / deg(1):.0f}°",
                ),
                (
                    f"a split socket with step-up hinges, at most ({STEP_UP_FLEXION.how_known})",
                    f"{SPLIT_SOCKET / deg(1):.0f}°",
                ),
                ("an outside locking hinge", "needs no moment of the limb, and cable for a lift"),
            ),
            about=("way",),
        ),
    )


def _design(c: Case) -> Table:
    light_on = "left" if c.firm_on == "right" else "right"
    return Table(
        "Your design",
        ("what it must do, on your wearer", "how much"),
        (
            (f"grip an object {c.width} mm wide with the {c.firm_on} hook, the firm one", f"at least {c.firm_grip} N"),
            (f"grip as wide an object with the {light_on} hook, the light one", f"at least {c.light_grip} N"),
            (
                "ask no more of either shoulder, the hook fully open, at its control strap",
                (
                    f"{c.firm_most} N for the {c.firm_on} hook, {c.light_most} N for the {light_on} one "
                    f"(assumptions of this exercise)"
                ),
            ),
            (f"open the {c.firm_on} hook, its arm flexed to 60°", f"at least {c.firm_opens} % of full opening"),
            (f"open the {light_on} hook, its arm flexed to 60°", f"at least {c.light_opens} % of full opening"),
            ("keep the other hook shut meanwhile, either way", "it moves by no more than a strip of paper"),
            (
                f"keep the other hook shut as a shoulder comes forward by {c.forward}° in reaching, either way",
                "it moves by no more than a strip of paper",
            ),
            ("leave both hooks shut at rest", "both arms hanging"),
        ),
        about=("design",),
    )
