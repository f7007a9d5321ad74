"""The population lab: one set-up tried on many wearers, and fitted to the one whom the average fails."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache
from time import thread_time
from typing import Any

from controlkit.draw import Scene, wearer_scene
from controlkit.draw.charts.population import served_bars, wearer_marks
from controlkit.draw.words.chain import place_words
from controlkit.draw.words.effort import percent
from controlkit.draw.words.population import ACROSS, Census, Entry, across, census_words, one_words
from controlkit.draw.words.pull import View
from controlkit.labs import ranges
from controlkit.labs.buckles import buckle
from controlkit.labs.controls import Control, Menu, Slider, Tick, Values
from controlkit.labs.documented import documented
from controlkit.labs.frame import Lab
from controlkit.labs.page import Handle, Page, Reading, Units
from controlkit.labs.people import person_of
from controlkit.labs.population_tasks import (
    POPULATION_CHALLENGES,
    POPULATION_PREDICTIONS,
    population_answers,
    population_verdicts,
)
from controlkit.labs.turned import ground, seen_from, turned
from controlkit.mechanics import (
    ControlCable,
    SingleControl,
    Wearer,
    figure_of_eight,
    figure_of_nine,
    hand_opening,
    hook_opening,
)
from controlkit.mechanics.chain import REPEATED
from controlkit.mechanics.device import Device
from controlkit.mechanics.study.fitting import (
    AGES,
    MOST,
    Trial,
    TrialNumbers,
    TrialWearer,
    TriedOn,
    candidates,
    mean_strength,
    served,
    try_on,
)
from controlkit.units import mm, show

__all__ = ["population_lab"]

_SET_UP = (
    "position", "motion", "scapular_abduction", "pattern", "ring_below_c7", "crossbar", "control_strap",
    "support_strap", "cross_back", "friction", "device", "bands",
)  # fmt: skip
"""Controls on which it depends what the mechanics is asked; all others only read what was found."""
_NAMES = {name: name for name in ("table", "mouth", "waist", "fly")}
_SEXES = {"both": ("female", "male"), "women": ("female",), "men": ("male",)}
_BUILDS = (("any", "as drawn"), ("small", "the shortest quarter"), ("large", "the tallest quarter"))
_PATTERNS = {"eight": figure_of_eight, "nine": figure_of_nine}
_DEVICES = (("hook", "opening hook"), ("hand", "opening hand"))
_MARKS, _BARS = (266.0, 250.0), (310.0, 190.0)  # of the charts [picture points]
_KEPT, _PICTURED = 80, 16  # set-ups, and wearers with all that a picture needs, that the lab remembers [-]
_AT_ONCE = 0.03
"""What is computed before a page is shown as far as it goes; processor time, and one wearer at least [s]."""


def _controls(own: Wearer) -> tuple[Control, ...]:
    whom = (("both", "both sexes"), ("women", "women"), ("men", "men"))
    return (
        Menu("whom", "Tried on", whom, "both"),
        Menu("build", "Their build", _BUILDS, "any"),
        Menu("position", "Position", tuple(_NAMES.items()), "waist"),
        Slider(
            "on_show",
            "Wearer on show",
            "count",
            ranges.ON_SHOW,
            start=0.0,
            hint=f"0 is {own.name}; 1 is the mark at the left end, and so on: arrow keys walk from mark to mark",
        ),
        Slider(
            "tried",
            "Wearers to try it on",
            "count",
            ranges.TRIED,
            start=12.0,
            hint="each takes a moment; they are shown as they come, and kept",
        ),
        Slider(
            "ring_below_c7",
            "Ring below C7",
            "length",
            ranges.RING_BELOW_C7,
            start=mm(60),
            hint="the same for everybody, down the back from the base of the neck",
        ),
        Slider(
            "crossbar",
            "Crossbar",
            "ratio",
            ranges.CROSSBAR,
            start=0.55,
            hint="share of the way from shoulder down to elbow",
        ),
        buckle("control_strap", "Control attachment strap"),
        buckle("support_strap", "Anterior support strap"),
        Slider(
            "scapular_abduction",
            "Scapular abduction",
            "angle",
            ranges.angles("scapular_abduction", 0, 25),
            start=Trial.forward,
            hint="on command, the device held",
        ),
        Slider("width", "Object", "length", ranges.OBJECT_OF_MANY, start=mm(25), hint="its width; 10 mm more open it"),
        Slider("bands", "Rubber bands", "count", ranges.BANDS_IN_CHAIN, start=3, hint="each grips with about a pound"),
        Slider(
            "friction",
            "Friction of the cable",
            "coefficient",
            ranges.USUAL_COEFFICIENTS,
            start=0.08,
            hint="in its housing; tables give 0.04 to 0.16 for steel in PTFE",
        ),
        Slider(
            "allowed",
            "Share of strength a pull may take",
            "ratio",
            ranges.ALLOWED,
            start=REPEATED[1],
            hint="sources disagree: 8 % held, 14 or 20 % repeated",
            fine=0.2,
        ),
        Slider(
            "age",
            "Age [years]",
            "count",
            ranges.AGE,
            start=50.0,
            hint="of everybody tried; below 50 it changes nothing here, then strength falls by 12 to 15 % a decade",
            fine=5.0,
        ),
        Slider(
            "strength",
            "Wearer's strongest pull",
            "force",
            ranges.STRENGTH_OF_MANY,
            start=mean_strength(own.sex, AGES[0]),
            hint=f"of {own.name}, once, at the cable; that of the others is drawn",
        ),
        Tick("cross_back", "Cross-back strap"),
        Menu("motion", "Motion", (("both", "both scapulae"), ("one", "one scapula")), "both"),
        Menu("pattern", "Harness", (("eight", "figure-of-eight"), ("nine", "figure-of-nine")), "eight"),
        Menu("device", "Device", _DEVICES, "hook"),
        Menu("across", "Laid out by", tuple((key, name) for key, (name, _) in ACROSS.items()), "stature"),
        turned("back", "View"),
    )


class _Kept:
    """One set-up and what it came to on each wearer so far."""

    def __init__(self, trial: Trial) -> None:
        self.trial = trial
        self.found: dict[str, TrialNumbers] = {}


class _Populations:
    """Set-ups seen so far, and on whom each has been tried."""

    def __init__(self, own: Wearer) -> None:
        self._own = TrialWearer(wearer=own, luck=1.0)
        self._known = lru_cache(maxsize=_KEPT)(self._set_up)
        self._pictured = lru_cache(maxsize=_PICTURED)(self._put_on)
        self._drawn = lru_cache(maxsize=_PICTURED)(self._scene)
        self._until, self._new, self._owes = 0.0, 0, False

    def _set_up(self, *chosen: Any) -> _Kept:
        """A set-up that nobody has tried yet."""
        setting = dict(zip(_SET_UP, chosen, strict=True))
        placed = {name: setting[name] for name in ("ring_below_c7", "crossbar", "control_strap")}
        if setting["pattern"] == "eight":
            placed["support_strap"] = setting["support_strap"]
            placed["cross_back"] = 0.0 if setting["cross_back"] else None
        system = SingleControl(
            _PATTERNS[setting["pattern"]](self._own.wearer, **placed),
            ControlCable(friction=setting["friction"]),
            _device(setting),
        )
        return _Kept(
            Trial(
                system=system,
                position=setting["position"],
                forward=setting["scapular_abduction"],
                both=setting["motion"] == "both",
            )
        )

    def _put_on(self, kept: _Kept, who: TrialWearer) -> TriedOn:
        return try_on(kept.trial, who.wearer)

    def _of(self, setting: Values) -> _Kept:
        bands = 3.0 if setting["device"] == "hand" else setting["bands"]  # a hand has none
        return self._known(*(bands if name == "bands" else setting[name] for name in _SET_UP))

    def _try(self, kept: _Kept, who: TrialWearer, *, pictured: bool = False) -> TrialNumbers:
        """Try a set-up on somebody, once."""
        name = who.wearer.name
        self._new += name not in kept.found
        if pictured:
            kept.found[name] = self._pictured(kept, who).tried
        elif name not in kept.found:
            kept.found[name] = try_on(kept.trial, who.wearer).tried
        return kept.found[name]

    def _entry(self, setting: Values, who: TrialWearer, tried: TrialNumbers) -> Entry:
        strength = float(setting["strength"]) if who is self._own else who.strength(float(setting["age"]))
        width, allowed = float(setting["width"]), float(setting["allowed"])
        return Entry(who=who, strength=strength, found=served(tried, strength, width=width, allowed=allowed))

    def ask(self, setting: Values) -> Census:
        """Try the set-up of a setting on its wearers, as far as there is time; notes where something is owed."""
        kept = self._of(setting)
        people = _people(setting)
        own = self._entry(setting, self._own, self._try(kept, self._own))
        entries = []
        for who in people:
            if who.wearer.name not in kept.found and self._new and thread_time() > self._until:
                self._owes = True
                continue
            entries.append(self._entry(setting, who, self._try(kept, who)))
        return Census(entries=tuple(entries), people=people, age=float(setting["age"]), own=own)

    def _on_show(self, setting: Values) -> TrialWearer:
        """Find who is on show: the one it is fitted for, or one of the row, counted from the left."""
        number = round(float(setting["on_show"]))
        if number == 0:
            return self._own
        age, key = float(setting["age"]), str(setting["across"])
        row = sorted(_people(setting), key=lambda who: across(who, who.strength(age), key))
        return row[min(number, len(row)) - 1]

    def page(self, setting: Values, pinned: Values | None, units: Units) -> Page:
        """Answer one setting with pictures and words, as far as there is time."""
        self._until, self._new, self._owes = thread_time() + _AT_ONCE, 0, False
        kept, who, key = self._of(setting), self._on_show(setting), str(setting["across"])
        shown = self._entry(setting, who, self._try(kept, who, pictured=True))
        census = self.ask(setting)
        then = self.ask(pinned) if pinned is not None else None
        answers = population_answers(setting, census, self.ask, units)
        worn = self._pictured(kept, who)
        view = self._drawn(worn, seen_from(setting["view"]), units)
        marks = wearer_marks(census, key, shown, size=_MARKS, units=units)
        of = f"at {round(float(setting['age']))} years, up to {percent(float(setting['allowed']))} of strength"
        bars = served_bars(census, then, of=of, size=_BARS, units=units)
        said = f"{_place(setting, units)} {census_words(census, key, units)} {one_words(shown, units)}"
        compared = "" if then is None else f"Of the pinned setting: {census_words(then, key, units)}"
        parts = (said, compared, "" if view is None else view.words, marks.words, bars.words)
        handles: list[Handle] = []
        if view is not None:
            handles.append(ground(setting["view"], view, worn.system.harness.wearer, picture=0))
        return Page(
            (view, marks, bars),
            " ".join(part for part in parts if part),
            " ".join(part for part in (said, compared) if part),
            readings=_readings(census, shown, units),
            handles=tuple(handles),
            verdicts=population_verdicts(setting, census, units),
            answers=(None,) * len(answers) if self._owes else answers,
            tone=census.share,
            idle=_idle(setting),
            more=self._owes,
        )

    @staticmethod
    def _scene(worn: TriedOn, view: View, units: Units) -> Scene | None:
        """The wearer on show, on command; nothing where the harness has no hold."""
        if worn.pull is None:
            return None
        return wearer_scene(worn.pull, view, system=worn.system, plain=True, scale=True, units=units)


def _people(setting: Values) -> tuple[TrialWearer, ...]:
    return candidates(_SEXES[str(setting["whom"])], round(float(setting["tried"])), str(setting["build"]))


def _device(setting: Mapping[str, Any]) -> Device:
    return hand_opening() if setting["device"] == "hand" else hook_opening(round(float(setting["bands"])))


def _idle(setting: Values) -> tuple[str, ...]:
    """What counts for nothing: bands of a hand; straps that a figure-of-nine has not."""
    bands = ("bands",) if setting["device"] == "hand" else ()
    return bands if setting["pattern"] == "eight" else (*bands, "support_strap", "cross_back")


def _place(setting: Values, units: Units) -> str:
    """Say where the device is, what the scapulae do, and how strong people are."""
    forward = show(float(setting["scapular_abduction"]), "angle", digits=0)
    moved = "both scapulae come forward" if setting["motion"] == "both" else "one scapula comes forward"
    place, age, allowed = place_words(str(setting["position"])), float(setting["age"]), float(setting["allowed"])
    women, men = (show(mean_strength(sex, age), "force", units, 0) for sex in ("female", "male"))
    return (
        f"The device is brought to {place}; there {moved} by {forward}. A pull may take {percent(allowed)} of "
        f"strength; at {age:.0f} years the strongest pull is {women} in the mean of women, {men} of men."
    )


def _readings(census: Census, shown: Entry, units: Units) -> tuple[Reading, ...]:
    """Whom it serves, and both budgets of the one on show."""
    tried, (low, high), found = len(census.entries), census.between, shown.found
    left = "" if census.done else f", {census.asked - tried} to come"
    note = f"{census.served} of {tried}{left}; {percent(low)} to {percent(high)} at large"
    name = shown.who.wearer.name
    first = Reading("Served", census.share, "share", note if tried else "nobody tried yet", share=tried / census.asked)
    if "no hold" in found.fails:
        return (first, Reading("On show", shown.who.wearer.stature, "length", f"{name}: no hold"))
    keeps = "to spare: kept" if found.keeps >= 0.0 else "too much: dropped"
    return (
        first,
        Reading("Excursion left", found.excursion_left, "length", f"{name}, on command"),
        Reading("Share of strength", found.share, "share", f"{show(found.force, 'force', units)}, {name}"),
        Reading("Object", abs(found.keeps), "length", f"of cable {keeps} on the way"),
    )


@documented
def population_lab(wearer: Wearer | None = None, *, setting: str = "", units: Units = "metric") -> Lab:
    """Open the population lab.

    Notes
    -----
    One set-up below the elbow, the same for everybody. Bodies are drawn from a survey of military adults: fit, and not
    a clinical population. Their strength is reasoned: no source splits wearers' cable force by sex or age. Wearers are
    tried one after the other; what has been found is kept, and the page says how many are still to come. Your own
    wearer, or else a small woman, is not counted among them.

    Examples
    --------
    >>> lab = population_lab(setting="tried = 4; whom = men")
    >>> lab.setting.split(";")[0]
    'whom = men'
    """
    own = person_of(None, "small-woman", "right") if wearer is None else replace(wearer, level="transradial")
    own = own if own.name else replace(own, name="your wearer")
    answers = _Populations(own)
    assert ranges.TRIED[1] <= MOST
    return Lab(
        "Population lab: one set-up on many wearers, and whom it fails",
        _controls(own),
        answers.page,
        challenges=POPULATION_CHALLENGES,
        predictions=POPULATION_PREDICTIONS,
        another="build",
        units=units,
        setting=setting,
    )
