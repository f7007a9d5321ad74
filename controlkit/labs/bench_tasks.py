"""What the bench lab asks: a record, a fault named by what decides, and what to read next; and its predictions."""

from __future__ import annotations

from dataclasses import replace

from controlkit.labs.asked import MORE_OR_LESS, judged, more_or_less
from controlkit.labs.bench_readings import offered
from controlkit.labs.bench_record import BenchState
from controlkit.labs.bench_shelf import shelf
from controlkit.labs.controls import Values
from controlkit.labs.page import Answer, Challenge, Prediction, Units, Verdict
from controlkit.mechanics.bench.faults import FaultsLeft

__all__ = [
    "BENCH_CHALLENGES",
    "BENCH_PREDICTIONS",
    "bench_answers",
    "bench_tells",
    "bench_verdicts",
    "key_of",
    "name_of",
]

_SURE, _RECORD, _NAMED, _NEXT = 0.03, 12, 8, 6
"""Doubt of an efficiency [-], and readings that each challenge allows [-]."""
_ASKED = {
    "below": ("rest", "arm-90", "mouth", "fly", "slip"),
    "above": ("lifting-opens", "locked-90", "locked-mouth", "locked-fly", "slip"),
}
_SLACK, _LONG, _HEAVY = "control attachment strap slack", "cable too long", "heavy device"
_SPOILED = "on this number the lab has told you before: take another number"
_TELLING = ("fly", "hanger-90", "cable")


def _record(_: Units) -> str:
    return (
        f"A new fitting, at most {_RECORD} readings. The efficiency at 90° is known to {100 * _SURE:.0f} percent "
        "points either way. Read as well: the device shut (at rest; above the elbow while lifting), the opening at "
        "90°, mouth and fly, and the slip. Whatever is read is read on its scale."
    )


def _name(_: Units) -> str:
    return (
        f"Find the fault, with at most {_NAMED} readings: the one that you name is the only one that they leave, and "
        "without the reading that you say decides another would be left. Neither opened nor told."
    )


def _next(_: Units) -> str:
    return (
        f"Find the fault: stop where at most {_NEXT} readings leave just two. Choose, and do not take, a reading that "
        "tells these two apart. Nothing is named yet, neither opened nor told."
    )


BENCH_CHALLENGES = (
    Challenge("A record", _record),
    Challenge("Name it", _name),
    Challenge("What next", _next),
)
"""Goals of the lab, in the order of `bench_verdicts`."""
BENCH_PREDICTIONS = (
    Prediction(
        "bent",
        "A new fitting below the elbow. You read the device, and the hanger with the elbow at 90° and at 135°. "
        "Efficiency at 135°, against 90°:",
        MORE_OR_LESS,
    ),
    Prediction(
        "finer",
        "The pull at the device, below the elbow: once with the small scale, in place of four times with the usual "
        "one. What the mean may be off by:",
        MORE_OR_LESS,
    ),
    Prediction(
        "heavy",
        "Above the elbow, the device is changed for a heavier one. Pull at the hanger that begins to open it, the "
        "elbow locked at 90°:",
        MORE_OR_LESS,
    ),
    Prediction(
        "tells",
        "Below the elbow something brought back opens too little. Strap let out, or cable too long? You read the fly, "
        "the hanger at 90° and the cable. What tells the two apart:",
        (("fly", "opening at the fly"), ("hanger-90", "pull at the hanger"), ("cable", "tape along the cable")),
    ),
)
"""Questions of the lab, in the order of `bench_answers`."""

_BENT = {"less": "Past a right angle the housing bends further with the elbow, and each bend adds its friction."}
_FINER = {"less": "Four readings halve what chance does; an instrument four times as fine quarters it at once."}
_LOCKED = {"the same": "The lock carries the forearm: its weight does not come to the cable any more."}
_LENGTH = "Both leave slack before the device moves; only the cable itself has another length."


def bench_verdicts(setting: Values, told: BenchState) -> tuple[Verdict, ...]:
    """Judge the goals of the lab.

    Parameters
    ----------
    setting : mapping
        The setting [SI].
    told : BenchState
        How far she has come.

    Returns
    -------
    tuple of Verdict
        One a goal.
    """
    fault, reading = _told_of(setting, told)
    named = replace(_fault_named(setting, told), unless=(fault,), spoiled=_SPOILED)
    chosen = replace(_next_chosen(setting, told), unless=(fault, reading), spoiled=_SPOILED)
    return _record_made(told), named, chosen


def bench_tells(setting: Values, told: BenchState) -> tuple[str, ...]:
    """Name what the page gives away of a hidden fault.

    Parameters
    ----------
    setting : mapping
        The setting [SI].
    told : BenchState
        How far she has come.

    Returns
    -------
    tuple of str
        Which faults are left, and what to read next; nothing on a new fitting.
    """
    fault, reading = _told_of(setting, told)
    if not told.search:
        return ()
    if setting["tell"] or setting["open"]:
        return (fault, reading)
    named = name_of(str(setting["named"]), told.level)
    return (reading,) if named in told.standing.left and len(told.standing.left) > 1 else ()


def _told_of(setting: Values, told: BenchState) -> tuple[str, str]:
    one = f"{told.level} {round(float(setting['number']))}"
    return f"fault of {one}", f"next reading of {one}"


def _record_made(told: BenchState) -> Verdict:
    names, found = offered(told.level), told.efficiency()
    lacking = [names[key].short for key in _ASKED[told.level] if key not in told.found]
    off = [one for one in told.tries if one.value is None]
    doubt = "not known" if found is None else f"known to {100 * found[1]:.1f} percent points"
    return judged(
        (not told.search, "this is no new fitting"),
        (found is not None and found[1] <= _SURE, f"the efficiency at 90° is {doubt}"),
        (not lacking, f"not read: {', '.join(lacking)}"),
        (told.count <= _RECORD, f"{told.count} readings were taken"),
        (not off, "a reading went beyond the end of its scale"),
    )


def _fault_named(setting: Values, told: BenchState) -> Verdict:
    named, decides = str(setting["named"]), str(setting["decides"])
    alone = told.standing.left == (name_of(named, told.level),)
    needed = decides in told.found and len(told.without(decides).left) > 1
    return judged(
        (told.search, "no fault is looked for"),
        (alone, "nothing is named" if named == "none" else "what you have read does not leave this one alone"),
        (needed, "the reading that you say decides is not needed, or not taken"),
        (told.count <= _NAMED, f"{told.count} readings were taken"),
        (not setting["tell"], "the lab tells what is left"),
        (not setting["open"], "it has been opened"),
    )


def _next_chosen(setting: Values, told: BenchState) -> Verdict:
    left, chosen = told.standing.left, str(setting["what"])
    fresh = chosen in offered(told.level) and chosen not in told.found
    tells = len(left) != 2 or (fresh and told.standing.decides(chosen, *left))
    return judged(
        (told.search, "no fault is looked for"),
        (
            len(left) == 2,
            "your readings leave more than two" if len(left) > 2 else "your readings leave fewer than two",
        ),
        (tells, "the reading that is chosen does not tell the two apart, or was taken"),
        (told.count <= _NEXT, f"{told.count} readings were taken"),
        (setting["named"] == "none", "a fault is named"),
        (not setting["tell"], "the lab tells what is left"),
        (not setting["open"], "it has been opened"),
    )


def name_of(key: str, level: str) -> str:
    """Name of a fault from its key in a setting; empty if none is named, or this level does not know it."""
    return next((name for name in shelf("below" if level == "below" else "above").curves if key_of(name) == key), "")


def key_of(name: str) -> str:
    """A fault's name as a setting writes it."""
    return name.replace(" ", "-").replace("'", "").replace(",", "")


def bench_answers(told: BenchState, units: Units) -> tuple[Answer | None, ...]:
    """Answer the predictions, where a setting decides them.

    Parameters
    ----------
    told : BenchState
        How far she has come.
    units : str
        "metric" or "inch-pound".

    Returns
    -------
    tuple of Answer or None
        One a question.
    """
    bent = finer = heavy = tells = None
    below, read = told.level == "below", told.found.keys()
    if below and not told.search and {"device", "hanger-90", "hanger-135"} <= read:
        shares = [told.truth["device"] / told.truth[hanger] for hanger in ("hanger-90", "hanger-135")]
        said = "at 90°", "at 135°"
        option = more_or_less("", *shares, kind="ratio", units=units).option
        then, now = (f"{100 * share:.1f} %" for share in shares)
        bent = Answer(
            option, f"Efficiency, scatter left out: {then} {said[0]}, {now} {said[1]}.", _BENT.get(option, "")
        )
    if below and _usual_and_small(told) is not None:
        finer = _finer(told, units)
    if not below and "hanger-90" in read:
        sound, faulty = shelf("above").healthy, shelf("above").faults[_HEAVY]
        pulls = sound["hanger-90"].value, faulty[len(faulty) // 2]["hanger-90"].value
        said = "with the device as fitted", "with a heavier one"
        heavy = more_or_less("Pull at the hanger", *pulls, kind="force", units=units, said=said, why=_LOCKED)
    if below and told.search and set(_TELLING) <= read:
        bench = FaultsLeft(shelf("below"), {})
        apart = {key: bench.apart(key, _SLACK, _LONG) for key in _TELLING}
        best = max(apart, key=lambda key: apart[key])
        names = offered("below")
        words = ", ".join(f"“{names[key].short}” {size:.1f}" for key, size in apart.items())
        tells = Answer(best, f"Apart at the least, in errors of a reading: {words}.", _LENGTH)
    return bent, finer, heavy, tells


def _usual_and_small(told: BenchState) -> tuple[float, float] | None:
    """Doubt of four usual readings of the device, and of one with the small scale, once both were taken [N]."""
    usual = [one for one in told.tries if one.key == "device" and one.instrument.name == "spring scale"]
    small = [one for one in told.tries if one.key == "device" and one.instrument.name != "spring scale"]
    if len(usual) < 4 or not any(one.value is not None for one in small):
        return None
    return usual[0].instrument.error / 2.0, small[0].instrument.error


def _finer(told: BenchState, units: Units) -> Answer:
    doubts = _usual_and_small(told)
    assert doubts is not None, "asked where both were taken"
    said = "four times with the usual scale", "once with the small one"
    return more_or_less("May be off by", *doubts, kind="force", units=units, said=said, why=_FINER)
