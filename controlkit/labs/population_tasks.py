"""What the population lab asks: goals for many wearers and for one, and predictions about whom a set-up fails."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from controlkit.draw.words.effort import percent
from controlkit.draw.words.population import FAILS, Census
from controlkit.labs.asked import FORCE_ROUNDED, LENGTH_ROUNDED, MORE_OR_LESS, judged, limit, more_or_less, stands
from controlkit.labs.controls import Values
from controlkit.labs.page import Answer, Challenge, Prediction, Units, Verdict
from controlkit.mechanics.chain import REPEATED
from controlkit.mechanics.study.fitting import Trial
from controlkit.units import mm, show

__all__ = ["POPULATION_CHALLENGES", "POPULATION_PREDICTIONS", "population_answers", "population_verdicts"]

_NEAR = 1e-6
_FEWEST, _AT_LARGE, _OTHERS = 12, 0.60, 0.65
_SEX, _CHANCE = 24, 0.05
"""Of how many of one sex halves are compared, and from which share of halves made by lot on that may be chance [-]."""
_CUP, _JAR, _BISCUIT = mm(25.0), mm(30.0), mm(10.0)
_RING, _BANDS, _GRIP, _FORWARD, _WEAK, _SMOOTH = mm(80.0), 2.0, 3.0, Trial.forward, 135.0, 0.04
_START: dict[str, float | str | bool] = {
    "whom": "both",
    "build": "any",
    "ring_below_c7": mm(60.0),
    "crossbar": 0.55,
    "control_strap": 0.0,
    "support_strap": 0.0,
    "scapular_abduction": Trial.forward,
    "width": mm(25.0),
    "friction": 0.08,
    "motion": "both",
    "pattern": "eight",
    "device": "hook",
}
"""What stands as at the start where a prediction is decided."""
_ONE_SEX = {**_START, "whom": "women", "bands": 3.0, "cross_back": False, "position": "waist", "across": "girth"}
"""The same where halves by girth are compared: women alone, since among both sexes the stout are mostly men."""
_FORWARD_WORDS = limit(_FORWARD, "angle", "metric")


def _many(units: Units) -> str:
    return (
        f"At the waist, an object {limit(_CUP, 'length', units)} wide or more, hook with {_BANDS:.0f} bands or more: "
        f"of women and men at large at least {percent(_AT_LARGE)} are served, by the lower end of the interval. Ring "
        f"{limit(_RING, 'length', units)} below C7 at most, scapulae {_FORWARD_WORDS} at most, friction {_SMOOTH} or "
        f"more, and no pull takes more than {percent(REPEATED[1])} of strength."
    )


def _one(units: Units) -> str:
    return (
        f"The wearer it is fitted for pulls {limit(_WEAK, 'force', units)} at most. At the waist she grasps what is "
        f"{limit(_JAR, 'length', units)} wide or more, with {_BANDS:.0f} bands or more. Of {_FEWEST} women and men or "
        f"more on whom the same set-up is tried, it serves {percent(_OTHERS)} too. Ring, scapulae, "
        "friction and share of strength as in the first."
    )


def _none(units: Units) -> str:
    return (
        f"At the mouth, a biscuit {limit(_BISCUIT, 'length', units)} wide or less: of {_FEWEST} women and men or more "
        f"nobody drops it unasked and nobody lacks excursion, with {_GRIP:.0f} bands or more and scapulae "
        f"{_FORWARD_WORDS} at most. Let force be for once."
    )


POPULATION_CHALLENGES = (
    Challenge("Serve the many", _many),
    Challenge("Fit the one", _one),
    Challenge("Nobody drops the biscuit", _none),
)
"""Goals of the lab, in the order of `population_verdicts`."""
POPULATION_PREDICTIONS = (
    Prediction("bands", "All as at the start. From three rubber bands to two. Excursion left, in the middle of all:",
               MORE_OR_LESS),
    Prediction("cross", "Three bands again, and a cross-back strap is put on. Those who lack excursion:", MORE_OR_LESS),
    Prediction("table", "The same strap, the device brought to the table. Those who drop the object unasked, against "
               "the table without it:", MORE_OR_LESS),
    Prediction("girth", f"Without the strap, at the waist, {_SEX} women are laid out by the girth of the chest. Those "
               "with more girth have excursion left:", MORE_OR_LESS),
)  # fmt: skip
"""Questions of the lab, in the order of `population_answers`."""

_EASIER = {
    "more": "The device asks for as much travel. Under less pull the ring slips less, and flesh and webbing give less."
}
_LOWER = {"less": "It holds the control strap low on the back, and the scapulae draw more of it there."}
_UNASKED = {"more": "What captures more on command captures more on reaching too."}
_STOUT = "Thicker chests and arms lead the strap farther round"


def population_verdicts(setting: Values, census: Census, units: Units) -> tuple[Verdict, ...]:
    """Judge the goals of the lab.

    Parameters
    ----------
    setting : mapping
        The setting [SI].
    census : Census
        What the set-up came to.
    units : str
        "metric" or "inch-pound".

    Returns
    -------
    tuple of Verdict
        One a goal.
    """
    tried, low, own = len(census.entries), census.between[0], census.own
    width, bands, ring = float(setting["width"]), float(setting["bands"]), float(setting["ring_below_c7"])
    forward, allowed = float(setting["scapular_abduction"]), float(setting["allowed"])
    friction = float(setting["friction"])
    hook = setting["device"] == "hook"
    wide = f"the object is {show(width, 'length', units)} wide"
    held = f"the hook has {bands:.0f} {'band' if bands == 1.0 else 'bands'}" if hook else "this is a hand"
    all_tried = census.done, f"{census.asked - tried} are still to be tried"
    both = setting["whom"] == "both", f"only {setting['whom']} are tried"
    waist = setting["position"] == "waist", f"this is the {setting['position']}"
    stands_so = (
        (ring <= _RING + LENGTH_ROUNDED, f"the ring lies {show(ring, 'length', units)} below C7"),
        (friction >= _SMOOTH - _NEAR, f"friction is {friction:.2f}: no table has so little"),
        (allowed <= REPEATED[1] + _NEAR, f"a pull may take {percent(allowed)}"),
    )
    carried = forward <= _FORWARD + _NEAR, f"the scapulae come forward by {show(forward, 'angle', units, 0)}"
    enough = tried >= _FEWEST, f"it is tried on {tried}"
    fails = " and ".join(FAILS[reason] for reason in own.found.fails)
    return (
        judged(
            all_tried,
            (low >= _AT_LARGE, f"{census.served} of {tried} are served, at large perhaps only {percent(low)}"),
            both,
            waist,
            (width >= _CUP - LENGTH_ROUNDED, wide),
            (hook and bands >= _BANDS, held),
            carried,
            *stands_so,
        ),
        judged(
            all_tried,
            (not own.found.fails, f"for {own.who.wearer.name}: {fails}"),
            (census.share >= _OTHERS, f"of the others {percent(census.share)} are served"),
            both,
            waist,
            enough,
            (own.strength <= _WEAK + FORCE_ROUNDED, f"the strongest pull is {show(own.strength, 'force', units)}"),
            (width >= _JAR - LENGTH_ROUNDED, wide),
            (hook and bands >= _BANDS, held),
            carried,
            *stands_so,
        ),
        judged(
            all_tried,
            (not census.failed("drops"), f"{census.failed('drops')} drop it"),
            (not census.failed("excursion"), f"{census.failed('excursion')} lack excursion"),
            (not census.failed("no hold"), f"on {census.failed('no hold')} it has no hold"),
            both,
            (setting["position"] == "mouth", f"this is the {setting['position']}"),
            enough,
            (width <= _BISCUIT + LENGTH_ROUNDED, wide),
            (hook and bands >= _GRIP, held),
            carried,
        ),
    )


def population_answers(
    setting: Values, census: Census, at: Callable[[Values], Census], units: Units
) -> tuple[Answer | None, ...]:
    """Answer the predictions, where a setting decides them.

    Parameters
    ----------
    setting : mapping
        The setting [SI].
    census : Census
        What the set-up came to.
    at : callable
        Finds that of another.
    units : str
        "metric" or "inch-pound".

    Returns
    -------
    tuple of Answer or None
        One a question.
    """
    bands = cross = table = girth = None
    if census.asked >= _SEX and stands(setting, **_ONE_SEX):
        less, more = census.halves("girth")
        girth = more_or_less(
            "Excursion left", less, more, kind="length", units=units,
            said=("in the middle of the slimmer half", "in that of the other"), why={"more": _sure(census)},
        )  # fmt: skip
    if stands(setting, **_START) and census.asked >= _FEWEST:
        plain, strap = stands(setting, cross_back=False), stands(setting, cross_back=True)
        three, waist = stands(setting, bands=3.0), stands(setting, position="waist")
        if plain and waist and stands(setting, bands=2.0):
            before = at({**setting, "bands": 3.0})
            bands = more_or_less("Excursion left", before.left, census.left, kind="length", units=units, why=_EASIER)
        if three and strap and (waist or stands(setting, position="table")):
            before = at({**setting, "cross_back": False})
            if waist:
                cross = _counted(before, census, "excursion", _LOWER)
            else:
                table = _counted(before, census, "drops", _UNASKED)
    return bands, cross, table, girth


def _sure(census: Census) -> str:
    """Why the stouter half has more, and how often halves made by lot differ as much."""
    by_lot = census.by_lot("girth")
    often = "fewer than 1" if by_lot < 0.01 else f"{100 * by_lot:.0f}"
    chance = "" if by_lot < _CHANCE else ": that may be chance"
    return f"{_STOUT}; of halves made by lot, {often} in 100 differ as much{chance}."


def _counted(before: Census, after: Census, reason: str, why: Mapping[str, str]) -> Answer:
    """Answer a prediction about how many a set-up fails for a reason."""
    then, now = before.failed(reason), after.failed(reason)
    option = "the same" if then == now else "more" if now > then else "less"
    said = f"{FAILS[reason].capitalize()}: {then} of {len(before.entries)} before, {now} of {len(after.entries)} after."
    return Answer(option, said, why.get(option, ""))
