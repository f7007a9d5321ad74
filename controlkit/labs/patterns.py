"""The pattern lab: harness patterns compared on one wearer, with what presses in the armpit and what a load does."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache
from typing import Any

from controlkit.draw import wearer_scene
from controlkit.draw.charts.patterns import LOADS, pattern_bars, slip_chart
from controlkit.draw.wearer.hung import hung_scene
from controlkit.draw.words.patterns import (
    PatternShown,
    apart_pattern_words,
    beyond_published,
    cable_drawn_words,
    pattern_words,
    published_excursion,
)
from controlkit.draw.words.states import worth_knowing
from controlkit.labs import ranges
from controlkit.labs.controls import Control, Menu, Slider, Tick, Value, Values
from controlkit.labs.documented import documented
from controlkit.labs.frame import Lab
from controlkit.labs.handles import arm_handle, ring_handle
from controlkit.labs.page import Handle, Page, Reading, Units
from controlkit.labs.patterns_tasks import (
    PATTERN_CHALLENGES,
    PATTERN_PREDICTIONS,
    WEBBING,
    pattern_answers,
    pattern_verdicts,
)
from controlkit.labs.people import people, person_of
from controlkit.labs.readings import captured, reached
from controlkit.labs.remembered import Remembered
from controlkit.labs.turned import ground, seen_from, turned
from controlkit.mechanics import (
    Harness,
    Pose,
    SingleControl,
    VoluntaryOpening,
    Wearer,
    chest_strap,
    figure_of_eight,
    figure_of_nine,
)
from controlkit.mechanics.harness import Straps
from controlkit.mechanics.harness.patterns.chest import CHEST, CHEST_STRAP, DIAPHRAGM, ChestStrap, below_fullest
from controlkit.mechanics.harness.suspension import Dragged, Suspension
from controlkit.units import InputError, deg, show

__all__ = ["pattern_lab"]

_PATTERNS: dict[str, tuple[str, str]] = {
    "eight": ("figure-of-eight", "eight"),
    "crossed": ("figure-of-eight with a cross-back strap", "with cross-back"),
    "nine": ("figure-of-nine", "nine"),
    "chest": ("chest strap with a saddle", "strap on chest"),
    "diaphragm": ("strap at the diaphragm with a saddle", "diaphragm strap"),
}
"""By name in a setting: name on the page, and a short one for the bars."""
_CHOSEN = ("wearer", "amputated", "lowered", "support_strap", "webbing", "bands")
_USUAL: dict[str, Value] = {
    "lowered": 0.0,
    "support_strap": 0.0,
    "webbing": "inch",
    "bands": VoluntaryOpening().bands,
}
_ARM, _LOAD = deg(60.0), 50.0
"""Pose and load in which patterns stand side by side [rad, N]."""
_LEVEL = deg(90.0)  # of arm and elbow together: the forearm is level
_BARS, _CURVE = (270.0, 330.0), (270.0, 150.0)  # of what stands beside the wearer [picture points]
_KEPT = 24  # set-ups that the lab remembers [-]


def _controls(own: Wearer | None) -> tuple[Control, ...]:
    return (
        Menu("pattern", "Pattern", tuple((key, name) for key, (name, _) in _PATTERNS.items()), "eight"),
        Slider(
            "arm_flexion",
            "Arm flexion",
            "angle",
            ranges.angles("arm_flexion", 0, 90),
            start=_ARM,
            hint="upper arm forward of hanging; the forearm is kept level",
        ),
        Slider(
            "load",
            "Load at the device",
            "force",
            ranges.HUNG,
            start=0.0,
            hint="hangs there with the arm down, as the second picture then shows; 10 N weigh about 1 kg",
        ),
        Slider(
            "lowered",
            "Ring or branch lowered by",
            "length",
            ranges.LOWERED,
            start=0.0,
            hint="from its usual place: a ring 1 in below C7, the branch of a chest strap level with the armpits",
        ),
        Slider(
            "support_strap",
            "Strap that carries the socket",
            "length",
            ranges.CARRIER,
            start=0.0,
            hint="in front, or from the saddle: above zero is let out, below is taken in",
        ),
        Slider(
            "bands", "Rubber bands", "count", ranges.BANDS_IN_CHAIN, start=3, hint="each grips with about one pound"
        ),
        Menu("webbing", "Straps, wide", tuple((key, text) for key, (text, _) in WEBBING.items()), "inch"),
        *people(own),
        turned("front"),
        Tick("loads", "Show where straps press", True),
    )


class _WornPattern:
    """One harness on its wearer: its poses, and its socket under loads, each found once."""

    def __init__(self, harness: Harness, bands: int, like: _WornPattern | None) -> None:
        self.kept: Remembered = Remembered(
            SingleControl(harness, device=VoluntaryOpening(bands=bands)), None if like is None else like.kept
        )
        system = self.kept.system
        self._dragged: Dragged = Dragged(harness, system.law, near=None if like is None else like._dragged.found)
        self._held: dict[float, Suspension] = {}

    def under(self, load: float) -> Suspension:
        """What a load does."""
        if load not in self._held:
            self._held[load] = self._dragged.under(load)
        return self._held[load]


class _PatternSetUps:
    """Harnesses of the settings seen so far, and all patterns side by side on each wearer."""

    def __init__(self, own: Wearer | None) -> None:
        self._own = own
        self._known = lru_cache(maxsize=_KEPT)(self._put_on)
        self._table = lru_cache(maxsize=_KEPT)(self._side_by_side)
        self._latest: dict[str, _WornPattern] = {}  # by pattern

    def _put_on(self, pattern: str, *chosen: Value) -> _WornPattern:
        """Put a pattern on; the last one of the kind only makes it faster, never different."""
        setting: dict[str, Any] = dict(zip(_CHOSEN, chosen, strict=True))
        harness = _harness(pattern, person_of(self._own, setting["wearer"], setting["amputated"]), setting)
        return _WornPattern(harness, round(setting["bands"]), self._latest.get(pattern))

    def fitted(self, pattern: str, setting: Values) -> _WornPattern:
        """Find the harness of a setting, in a pattern."""
        found = self._latest[pattern] = self._known(pattern, *(setting[key] for key in _CHOSEN))
        return found

    def ask(self, setting: Values, arm: float | None = None, load: float | None = None) -> PatternShown:
        """Find what the pattern of a setting does, in its own pose and under its own load unless told otherwise."""
        pattern = str(setting["pattern"])
        fitted = self.fitted(pattern, setting)
        angles = dict.fromkeys((float(setting["arm_flexion"]) if arm is None else arm, _ARM))
        pull, *_ = fitted.kept.over([Pose(arm_flexion=each, elbow_flexion=_LEVEL - each) for each in angles])
        held = fitted.under(float(setting["load"]) if load is None else load)
        system = fitted.kept.system
        harness, device = system.harness, system.device
        laid = pull.straps.get(CHEST_STRAP)
        return PatternShown(
            name=_PATTERNS[pattern][0],
            pull=pull,
            held=held,
            opens=device.opening(max(held.travel, 0.0)) - device.opening(0.0),
            width=harness.straps.width,
            below_fullest=None if laid is None else below_fullest(harness.wearer, laid),
            saddle=isinstance(harness.pattern, ChestStrap),
        )

    def _side_by_side(self, who: str, side: str) -> dict[str, PatternShown]:
        """Every pattern as it is usually put on, in one pose and under one load."""
        usual: dict[str, Value] = {**_USUAL, "wearer": who, "amputated": side, "arm_flexion": _ARM, "load": _LOAD}
        latest = dict(self._latest)
        table = {short: self.ask({**usual, "pattern": key}) for key, (_, short) in _PATTERNS.items()}
        self._latest.update(latest)  # the harness on show stays the start for the next
        return table

    def page(self, setting: Values, pinned: Values | None, units: Units) -> Page:
        """Answer one setting with pictures and words."""
        shown, fitted = self.ask(setting), self.fitted(str(setting["pattern"]), setting)
        then = None if pinned is None else self.ask(pinned)
        system = fitted.kept.system
        wearer, second = system.harness.wearer, seen_from(setting["view"])
        ghost = None
        if pinned is not None and then is not None:
            same = all(pinned[key] == setting[key] for key in ("wearer", "amputated", "pattern"))
            ghost = then.pull if same else None
        looks: dict[str, Any] = {
            "system": system,
            "loads": bool(setting["loads"]),
            "widest": max(load.worst for one in (shown.pull, shown.held) for load in one.strap_load.values()),
            "units": units,
        }
        hangs = shown.held.load > 0.0
        back = wearer_scene(shown.pull, "back", pinned=ghost, plain=True, **looks)
        beside = (
            hung_scene(shown.held, second, **looks)
            if hangs
            else wearer_scene(shown.pull, second, pinned=ghost, plain=True, scale=second == "back", **looks)
        )
        table = self._table(str(setting["wearer"]), str(setting["amputated"]))
        bars = pattern_bars(self.ask(setting, _ARM, _LOAD), table, units, size=_BARS)
        curve = slip_chart(shown, pinned=then, span=LOADS, size=_CURVE, units=units)
        said = pattern_words(shown, units) + _beside_it(setting) + worth_knowing(shown.pull.states, units)
        compared = "" if then is None else apart_pattern_words(shown, then, units)
        parts = (said, compared, bars.words, curve.words, back.words, beside.words)
        return Page(
            (back, beside, bars, curve),
            " ".join(part for part in parts if part),
            " ".join(part for part in (said, compared) if part),
            readings=_readings(shown, units),
            handles=_handles(setting, shown, wearer, ground(setting["view"], beside, wearer, picture=1)),
            verdicts=pattern_verdicts(setting, shown, units),
            answers=pattern_answers(setting, shown, self._before, units),
            tone=min(reached(shown.pull.excursion), 1.0),
            idle=() if system.harness.pattern.suspends else ("support_strap",),
        )

    def _before(self, setting: Values) -> PatternShown:
        """Find what another setting than that on show does."""
        latest = dict(self._latest)
        try:
            return self.ask(setting)
        finally:
            self._latest.update(latest)


def _harness(pattern: str, wearer: Wearer, setting: Mapping[str, Any]) -> Harness:
    """Put a pattern on a wearer: at its usual place, then lowered and buckled."""
    lowered, let_out = setting["lowered"], setting["support_strap"]
    straps = Straps(width=WEBBING[setting["webbing"]][1])
    if pattern in (CHEST, DIAPHRAGM):
        usual = chest_strap(wearer, strap_level=pattern, straps=straps, support_strap=max(let_out, 0.0))
    elif pattern == "nine":
        usual = figure_of_nine(wearer, straps=straps)
    else:
        cross_back = 0.0 if pattern == "crossed" else None
        usual = figure_of_eight(wearer, straps=straps, support_strap=let_out, cross_back=cross_back)
    most = usual.pattern.limits["ring_below_c7"][1] - usual.ring_below_c7
    if lowered > most:
        raise InputError(
            given=f"Ring or branch would be lowered by {show(lowered, 'length')} in this pattern.",
            allowed=f"At most {show(most, 'length')}: {usual.pattern.reasons['ring_below_c7']}.",
            do="Move it back, or choose another pattern.",
        )
    return replace(usual, ring_below_c7=usual.ring_below_c7 + lowered)


def _beside_it(setting: Values) -> str:
    """What a control does not do in the pattern on show."""
    pattern, let_out = setting["pattern"], float(setting["support_strap"])
    if pattern == "nine" and let_out:
        return " A figure-of-nine has no strap that carries the socket: letting one out or taking it in does nothing."
    if pattern in (CHEST, DIAPHRAGM) and let_out < 0.0:
        return (
            " The strap from the saddle is left just snug: taken in, it would press saddle and pad together, and the "
            "model lets neither give."
        )
    return ""


def _handles(setting: Values, shown: PatternShown, wearer: Wearer, whole: Handle) -> tuple[Handle, ...]:
    """The ring from behind, the arm from the side, and the picture itself; a branch wanders too far to be held."""
    handles = []
    if not shown.saddle:
        ring = ring_handle(shown.pull, wearer, "back", picture=0)
        handles.append(replace(ring, slides=(("lowered", ring.slides[0][1]),)))
    if seen_from(setting["view"]) == "side" and shown.held.load <= 0.0:  # else the arm hangs down there
        handles.append(arm_handle(shown.pull, wearer, picture=1))
    return (*handles, whole)


def _readings(shown: PatternShown, units: Units) -> tuple[Reading, ...]:
    """What is captured, what the anchoring strap bears and presses in the armpit, and what a load does."""
    held = shown.held
    round_it = (
        f"on a curve of {show(shown.radius, 'length', units)}" if shown.tension >= 1.0 else "bears nothing of the pull"
    )
    slip = held.slip if shown.carried else float(held.slips[-1])
    does = cable_drawn_words(shown, units) if held.load > 0.0 else "nothing hangs at the device"
    got = captured(shown.pull.excursion, units)
    if beyond_published(shown.pull):
        got = replace(got, note=f"{got.note}; {_beyond(units)}")
    return (
        got,
        Reading(shown.anchor.capitalize(), shown.tension, "force", round_it),
        Reading("In the armpit", shown.worse, "line load", _pressed(shown, units)),
        Reading("Socket slips", slip, "length", does if shown.carried else f"not carried; {does}"),
    )


def _beyond(units: Units) -> str:
    """What a captured excursion beyond every published one is, in a few words."""
    mean, sd = (show(each, "length", units, 0) for each in published_excursion())
    return f"upper bound, published {mean.split()[0]} ± {sd}"


def _pressed(shown: PatternShown, units: Units) -> str:
    """Which of pull and load presses more in the armpit, with what it comes to over the width, and the other."""
    if shown.worse <= 0.0:
        return "nothing presses there"
    mean = f"mean {show(shown.pressure, 'pressure', units)}"
    if shown.held.load <= 0.0:
        return mean
    by_load = shown.hung > shown.armpit
    worse, less = ("load", "pull") if by_load else ("pull", "load")
    return f"by the {worse}, {mean}; by the {less} {show(min(shown.armpit, shown.hung), 'line load', units)}"


@documented
def pattern_lab(wearer: Wearer | None = None, *, setting: str = "", units: Units = "metric") -> Lab:
    """Open the pattern lab.

    Notes
    -----
    Patterns below the elbow, with a voluntary-opening hook. The arm pulls in one pose, and a load hangs in another, the
    arm down, which the second picture then shows: straps alone carry it, so slip is an upper bound, but for a saddle,
    which is taken not to move. The end of a chest strap in front is taken to be held. Bars compare all patterns as they
    are usually put on, at 60 degrees of arm flexion and under 50 N. Of what pull and load press in the armpit, card and
    bars show the larger. Your own wearer is fitted as one with an amputation below the elbow. Wearers of the list come
    from a survey of military adults: fit, and not a clinical population.

    Examples
    --------
    >>> lab = pattern_lab(setting="pattern = nine")
    >>> lab.setting.split(";")[0]
    'pattern = nine'
    """
    answers = _PatternSetUps(None if wearer is None else replace(wearer, level="transradial"))
    return Lab(
        "Pattern lab: other harness patterns, where they press and what they suspend",
        _controls(wearer),
        answers.page,
        play="arm_flexion",
        challenges=PATTERN_CHALLENGES,
        predictions=PATTERN_PREDICTIONS,
        another="wearer",
        units=units,
        setting=setting,
    )
