"""The bench lab: readings taken one by one, a record beside its criteria, and a hidden fault to be named."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import Any

from controlkit.draw import Scene, wearer_scene
from controlkit.draw.charts.record import record_scene, spread_chart
from controlkit.draw.wearer.measured import measured_scene
from controlkit.draw.words.bench import written
from controlkit.draw.words.pull import View
from controlkit.draw.words.searched import against_words, fault_words, left_words, rival_words
from controlkit.labs import ranges
from controlkit.labs.anew import Anew
from controlkit.labs.bench_readings import ABOVE, BELOW, LEVELS, BenchReading, Level, offered
from controlkit.labs.bench_record import BenchState, instrument_of, taken_once
from controlkit.labs.bench_shelf import (
    CASES,
    faults_of,
    fitted_above,
    fitted_below,
    hidden,
    read_all,
    shelf,
    shelf_wearer,
    stronger,
)
from controlkit.labs.bench_tasks import (
    BENCH_CHALLENGES,
    BENCH_PREDICTIONS,
    bench_answers,
    bench_tells,
    bench_verdicts,
    key_of,
    name_of,
)
from controlkit.labs.controls import Control, Menu, Slider, Steps, Tick, Values
from controlkit.labs.documented import documented
from controlkit.labs.frame import Lab
from controlkit.labs.page import Page, Reading, Units
from controlkit.labs.people import people, person_of
from controlkit.labs.turned import ground, seen_from, turned
from controlkit.mechanics import DualControl, DualPull, Pose, Pull, SingleControl, Wearer
from controlkit.mechanics.bench.dual import FittedDual, WornDual
from controlkit.mechanics.bench.faults import fewest
from controlkit.mechanics.bench.instruments import DeviceBench
from controlkit.mechanics.bench.worn import WornBench
from controlkit.mechanics.chain import dual_pull
from controlkit.mechanics.chain.positions import POSITIONS
from controlkit.sources import source
from controlkit.units import deg, show

__all__ = ["bench_lab"]

_SIZE, _CHART = (310.0, 260.0), (310.0, 190.0)  # of the record, and of the chart [picture points]
_PULL = 5.0  # that keeps the cable taut while the wearer is drawn [N]
_RAISED = deg(60.0)  # arm flexion in the picture of a reading that leads the arm up [rad]
_KEPT = 24
_PLACES = {"table": "table", "mouth": "mouth", "mouth-alone": "mouth", "fly": "fly"}
_PLACES |= {"locked-mouth": "mouth", "locked-fly": "fly"}
_ANEW = Anew(
    (("task", "", ""), ("level", "", ""), ("number", "task", "search"), ("wearer", "task", "checkout")),
    ("take", "named", "decides", "tell", "open"),
)
"""Each number of the shelf, and each new fitting, has a record of its own."""
_FITTED, _SEARCHED = ("strength", "wearer"), ("number", "named", "decides", "tell", "open")
"""What counts for a new fitting alone, and where a fault is looked for alone."""
_LED = ("turn", "turn-bent", "arm-90", "lifting-opens", "flexes", "flexes-full")


def _groups() -> tuple[tuple[tuple[str, str], ...], tuple[tuple[str, int], ...]]:
    """All readings for a menu: those of either level first."""
    parts = {
        "At either level": [key for key in BELOW if key in ABOVE],
        "Below the elbow": [key for key in BELOW if key not in ABOVE],
        "Above the elbow": [key for key in ABOVE if key not in BELOW],
    }
    every = {**ABOVE, **BELOW}
    options = tuple((key, every[key].what) for keys in parts.values() for key in keys)
    return options, tuple((title, len(keys)) for title, keys in parts.items())


def _fault_options() -> tuple[tuple[tuple[str, str], ...], tuple[tuple[str, int], ...]]:
    names = {level: [fault.name for fault in faults_of(level)] for level in LEVELS}
    either = [name for name in names["below"] if name in names["above"]]
    parts = {
        "Not named yet": [("none", "none yet")],
        "At either level": [("healthy", "nothing: as it was fitted"), *((key_of(name), name) for name in either)],
        **{
            text.capitalize(): [(key_of(name), name) for name in names[level] if name not in either]
            for level, text in LEVELS.items()
        },
    }
    options = tuple(option for listed in parts.values() for option in listed)
    return options, tuple((title, len(listed)) for title, listed in parts.items())


def _controls(own: Wearer | None) -> tuple[Control, ...]:
    readings, groups = _groups()
    faults, headings = _fault_options()
    steps = tuple((f"{key}@{with_}", text) for key, text in readings for with_ in ("usual", "fine"))
    return (
        Menu(
            "task",
            "Task",
            (("checkout", "a new fitting: its checkout"), ("search", "brought back: find the fault")),
            "checkout",
        ),
        Menu("level", "Prosthesis", tuple(LEVELS.items()), "above" if own and own.level != "transradial" else "below"),
        Menu("what", "What you read", readings, "device", groups=groups),
        Menu(
            "with",
            "With",
            (("usual", "spring scale, tape, goniometer"), ("fine", "small scale, calliper, long goniometer")),
            "usual",
            groups=(("Instruments", 2),),
        ),
        Steps("take", "Readings", steps, chosen=("what", "with"), does="Take this reading"),
        Slider(
            "strength",
            "Wearer's strongest pull",
            "force",
            ranges.STRENGTH,
            start=source("arm_flexion_force").si,
            hint="of a new fitting, once, at the cable; at first a survey's mean, not this wearer's own",
        ),
        Slider(
            "number",
            "Number on the shelf",
            "count",
            (1.0, float(CASES)),
            start=1.0,
            hint="which prosthesis has been brought back; each has one fault, and two numbers rarely have the same",
        ),
        Menu("named", "The fault, you say", faults, "none", groups=headings),
        Menu(
            "decides",
            "The reading that decides",
            (("none", "none yet"), *readings),
            "none",
            groups=(("Not named yet", 1), *groups),
        ),
        Tick("tell", "Tell which faults are left"),
        Tick("open", "Open it: show what is wrong"),
        *people(own),
        turned("back"),
    )


class _BenchSetUps:
    """Prostheses on the bench: those of the wearers seen so far, and those of the shelf."""

    def __init__(self, own: Wearer | None) -> None:
        self._own = own
        self._fitted = lru_cache(maxsize=_KEPT)(self._fit)
        self._first = lru_cache(maxsize=_KEPT)(self._read_first)
        self._read = lru_cache(maxsize=4 * _KEPT)(self._read_all)
        self._drawn = lru_cache(maxsize=4 * _KEPT)(self._draw)
        self._stood = lru_cache(maxsize=4 * _KEPT)(self._stand)

    def _fit(self, level: Level, who: str, side: str) -> SingleControl | FittedDual:
        wearer = shelf_wearer(level) if who == "shelf" else person_of(self._own, who, "right")
        wearer = replace(wearer, amputated=side, level="transradial" if level == "below" else "transhumeral")
        return fitted_below(wearer) if level == "below" else fitted_above(wearer)

    def _read_first(self, level: Level, who: str) -> tuple[dict[str, float], Any]:
        """All readings of a fitting, and what was found on its wearer; a body is its own mirror image."""
        fitted = self._fitted(level, who, "right")
        near: Any = WornBench(fitted).found if isinstance(fitted, SingleControl) else WornDual(fitted.system)
        return read_all(fitted, near), near

    def _read_all(self, level: Level, who: str, strength: float) -> dict[str, float]:
        read, near = self._first(level, who)
        return stronger(self._fitted(level, who, "right"), strength, near, read)

    def _stand(self, level: Level, who: str, side: str, pose: Pose) -> Pull | DualPull:
        fitted = self._fitted(level, who, side)
        angles = {name: value for name, value in vars(pose).items() if name != "socket_slip"}
        if isinstance(fitted, SingleControl):
            return fitted.at(**angles)
        return dual_pull(fitted.system, _PULL, **angles)

    def _draw(self, level: Level, who: str, side: str, pose: Pose, *, view: View, scale: bool, units: Units) -> Scene:
        pull, system = self._stood(level, who, side, pose), _system(self._fitted(level, who, side))
        return wearer_scene(pull, view, system=system, plain=True, scale=scale, units=units)

    def ask(self, setting: Values) -> BenchState:
        """Take the readings of a setting."""
        level: Level = "below" if setting["level"] == "below" else "above"
        search, number = setting["task"] == "search", round(float(setting["number"]))
        who = "shelf" if search else str(setting["wearer"])
        truth = hidden(level, number).readings if search else self._read(level, who, float(setting["strength"]))
        seed = (list(LEVELS).index(level), number if search else 1000 + sum(map(ord, who)))
        system = _system(self._fitted(level, who, "right"))
        return BenchState(
            level=level,
            search=search,
            tries=taken_once(level, str(setting["take"]), truth, seed),
            truth=truth,
            whole=DeviceBench(system).moved(system.device.travel),
            strength=None if search else float(setting["strength"]),
        )

    def page(self, setting: Values, pinned: Values | None, units: Units) -> Page:
        """Answer one setting with pictures and words."""
        told = self.ask(setting)
        key, names = str(setting["what"]), offered(told.level)
        one = names.get(key)
        side, beside, wearer = self._views(setting, told, one, units)
        shown = one or next(iter(names.values()))
        row = next((row for row in told.rows if one is not None and row.name == one.short), None)
        error = instrument_of(shown, setting["with"] == "fine").error
        chart = spread_chart(row, shown.short, shown.kind, error, units=units, size=_CHART)
        said = _said(setting, told, one, units)
        title = _title(setting, told, wearer.name or "your wearer", units)
        record = record_scene(title, told.rows, said, units, size=_SIZE)
        compared = f"The pinned setting has {self.ask(pinned).count} readings." if pinned is not None else ""
        spoken = " ".join(text for text in (_last(told, units), *said, compared) if text)
        return Page(
            (side, beside, chart, record),
            " ".join(text for text in (spoken, record.words, chart.words, side.words, beside.words) if text),
            spoken,
            readings=_readings(setting, told, one, units),
            handles=(ground(setting["view"], beside, wearer, picture=1),),
            verdicts=bench_verdicts(setting, told),
            tells=bench_tells(setting, told),
            answers=bench_answers(told, units),
            idle=_FITTED if told.search else _SEARCHED,
        )

    def _views(
        self, setting: Values, told: BenchState, one: BenchReading | None, units: Units
    ) -> tuple[Scene, Scene, Wearer]:
        level: Level = "below" if told.level == "below" else "above"
        who, side = "shelf" if told.search else str(setting["wearer"]), str(setting["amputated"])
        pose, second = _pose(str(setting["what"]), one), seen_from(setting["view"])
        wearer = _system(self._fitted(level, who, side)).harness.wearer
        views: tuple[tuple[View, bool], ...] = (("side", True), (second, False))
        scenes = [self._drawn(level, who, side, pose, view=view, scale=scale, units=units) for view, scale in views]
        if one is not None:
            pull, name = self._stood(level, who, side, pose), instrument_of(one, setting["with"] == "fine").name
            last = next((tried for tried in reversed(told.tries) if tried.key == setting["what"]), None)
            said = (
                "not read yet"
                if last is None
                else "off the scale"
                if last.value is None
                else show(last.value, one.kind, units)
            )
            scenes = [
                measured_scene(
                    scene, pull, wearer, view, spot=one.spot, name=name, said=f"{name}: {said}" if scale else ""
                )
                for scene, (view, scale) in zip(scenes, views, strict=True)
            ]
        return scenes[0], scenes[1], wearer


def _system(fitted: SingleControl | FittedDual) -> SingleControl | DualControl:
    return fitted if isinstance(fitted, SingleControl) else fitted.system


def _pose(key: str, one: BenchReading | None) -> Pose:
    """How the wearer stands in the picture while something is read."""
    if key in _PLACES:
        return POSITIONS[_PLACES[key]]
    return Pose(elbow_flexion=0.0 if one is None else one.elbow, arm_flexion=_RAISED if key in _LED else 0.0)


def _title(setting: Values, told: BenchState, who: str, units: Units) -> str:
    where = LEVELS["below" if told.level == "below" else "above"]
    if told.search:
        return f"Number {round(float(setting['number']))}, {where}, fitted to {who}"
    return f"A new fitting, {who}, {where}; strongest pull {show(float(setting['strength']), 'force', units)}"


def _last(told: BenchState, units: Units) -> str:
    """The newest reading, and how many there are."""
    if not told.tries:
        return "Nothing has been read yet."
    last = told.tries[-1]
    one = offered(told.level)[last.key]
    count = f"{_counted(told.count)} so far."
    if last.value is None:
        end = show(last.instrument.end, one.kind, units)
        return f"{one.short}: beyond the end of the {last.instrument.name}, {end}; nothing is read. {count}"
    return f"{one.short}, {last.instrument.name}: {show(last.value, one.kind, units)}. {count}"


def _counted(count: int) -> str:
    return f"{count} reading{'' if count == 1 else 's'}"


def _said(setting: Values, told: BenchState, one: BenchReading | None, units: Units) -> list[str]:
    """What is said below the record: of the choice, and of the search."""
    said = []
    if one is None:
        where = LEVELS["below" if told.level == "below" else "above"]
        said.append(f"What is chosen is not read {where}: choose another reading.")
    if not told.search:
        return said
    if setting["tell"]:
        said.append(left_words(told.standing.left, len(told.standing.names)))
        if len(told.standing.left) == 2:
            said.append(_undecided(told, *told.standing.left))
    said += _judged(setting, told, units)
    if setting["open"]:
        said += _opened(setting, told, units)
    return list(dict.fromkeys(said))


def _undecided(told: BenchState, one: str, other: str) -> str:
    names = offered(told.level)
    best = max(names, key=lambda key: told.standing.apart(key, one, other))
    return rival_words(one, other, names[best].short if told.standing.decides(best, one, other) else "")


def _judged(setting: Values, told: BenchState, units: Units) -> list[str]:
    """Answer to the fault that is named: what speaks against it, or what else fits."""
    names, standing, decides = offered(told.level), told.standing, str(setting["decides"])
    named = name_of(str(setting["named"]), told.level)
    if setting["named"] == "none":
        return ["Name the fault first."] if decides != "none" else []
    if not named:
        return ["That fault is not known at this level."]
    against = standing.against[named]
    if against is not None and against.excludes:
        one = names[against.reading]
        return [against_words(named, against, one.short, one.kind, units=units)]
    others = [name for name in standing.left if name != named]
    if others:
        more = "1 more fits" if len(others) == 1 else f"{len(others)} more fit"
        fits = f"Nothing that you have read speaks against {fault_words(named)}, but {more} as well."
        nearest = max(others, key=lambda name: -max(standing.apart(key, named, name) for key in names))
        return [fits, _undecided(told, named, nearest)]
    said = [f"{fault_words(named)[:-1]}”: of the list, nothing else fits what you have read."]
    if decides in told.found:
        rivals = [name for name in told.without(decides).left if name != named]
        short = names[decides].short
        if rivals:
            said.append(f"“{short}” decides: without it {fault_words(rivals[0])} would fit as well.")
        else:
            said.append(f"“{short}” does not decide: without it nothing else would fit either.")
    elif decides != "none":
        said.append("The reading that you say decides has not been taken.")
    return said


@lru_cache(maxsize=256)
def _needed(level: Level, number: int) -> tuple[str, ...]:
    return fewest(shelf(level), hidden(level, number).readings)


def _opened(setting: Values, told: BenchState, units: Units) -> list[str]:
    """What was wrong, and what somebody who knew where to look would have read."""
    level: Level = "below" if told.level == "below" else "above"
    number = round(float(setting["number"]))
    wrong, names = hidden(level, number), offered(level)
    fault = next(fault for fault in faults_of(level) if fault.name == wrong.fault)
    size = "" if fault.low == fault.high else f", {written(wrong.size, fault.kind, units)}"
    needed = [f"“{names[key].short}”" for key in _needed(level, number)]
    took = _counted(len(needed))
    return [
        f"Opened: {wrong.fault}{size}. To try first: {fault.remedy}.",
        f"Somebody who knew where to look would have needed {took}: {', '.join(needed)}.",
    ]


def _readings(setting: Values, told: BenchState, one: BenchReading | None, units: Units) -> tuple[Reading, ...]:
    """The mean of what is chosen, how far it may be off, and the efficiency."""
    shown: list[Reading] = []
    if one is not None:
        found, instrument = told.found.get(str(setting["what"])), instrument_of(one, setting["with"] == "fine")
        if found is not None:
            note = f"{_counted(found.count)} of it; {told.count} in all"
            spread = f"spread {show(found.spread, one.kind, units)}" if found.count > 1 else "read once, no spread"
            shown.append(Reading("Mean", found.mean, one.kind, note))
            shown.append(Reading("May be off by", found.doubt, one.kind, spread))
        else:
            shown.append(
                Reading(
                    "One may be off by", instrument.error, one.kind, f"{instrument.name}; {_counted(told.count)} in all"
                )
            )
    efficiency = told.efficiency()
    if efficiency is not None:
        share, doubt = efficiency
        shown.append(Reading("Efficiency at 90°", share, "ratio", f"off by up to {100 * doubt:.1f} percent points"))
    return tuple(shown)


@documented
def bench_lab(wearer: Wearer | None = None, *, setting: str = "", units: Units = "metric") -> Lab:
    """Open the bench lab.

    Notes
    -----
    Each reading has a scatter of its own, drawn normally, with the instrument's error as twice its standard deviation:
    an assumption, as are the errors. A prosthesis of the shelf has one fault, of a size from a list of assumptions; it
    was fitted to an invented woman of average build, and pictures show it as it was fitted. Another number, level or
    task, and another wearer of a new fitting, begin with an empty record. Wearers of the list come from a survey of
    military adults: fit, and not a clinical population.

    Examples
    --------
    >>> lab = bench_lab(setting="take = device@usual, device@usual")
    >>> "device@usual, device@usual" in lab.setting
    True
    """
    answers = _BenchSetUps(wearer)
    return Lab(
        "Bench lab: checkout, and the search for a fault",
        _controls(wearer),
        answers.page,
        challenges=BENCH_CHALLENGES,
        predictions=BENCH_PREDICTIONS,
        another="level",
        anew=_ANEW,
        units=units,
        setting=setting,
    )
