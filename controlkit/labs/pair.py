"""The pair lab: what one prosthesis of two does to the other, and ways to flex the forearm of a very short limb."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace
from functools import lru_cache
from typing import Any

from controlkit.draw import pair_scene
from controlkit.draw.charts.pair import pair_bars
from controlkit.draw.charts.short_limb import short_limb_bars
from controlkit.draw.wearer.short_limb import short_limb_scene
from controlkit.draw.words.pair import apart_pair_words, crossed_words
from controlkit.draw.words.pull import SEEN_SLACK
from controlkit.draw.words.short_limb import ways_words
from controlkit.labs import ranges
from controlkit.labs.buckles import buckle
from controlkit.labs.controls import Control, Menu, Slider, Value, Values
from controlkit.labs.documented import documented
from controlkit.labs.frame import Lab
from controlkit.labs.handles import angle_handle, junction_handle
from controlkit.labs.page import Handle, Page, Reading, Units
from controlkit.labs.pair_shown import LEVER, WAYS, PairShown
from controlkit.labs.pair_tasks import PAIR_CHALLENGES, PAIR_PREDICTIONS, pair_answers, pair_verdicts
from controlkit.labs.people import people, person_of
from controlkit.labs.turned import VIEWS, ground, seen_from, turned
from controlkit.mechanics import PairArm, PairControl, Pose, Wearer, bilateral_pair, hook_closing, hook_opening
from controlkit.mechanics.body.pose import PairPose
from controlkit.mechanics.chain import PairPull
from controlkit.mechanics.elbow import ShortLimbWay, StepUpHinge, forearm_of, short_forearm
from controlkit.mechanics.harness.motion import Followed
from controlkit.mechanics.harness.outcomes import SLACK
from controlkit.units import InputError, deg, mm, show

__all__ = ["pair_lab"]

_LEVELS = (("below", "below elbow"), ("above", "above elbow"))
_LEVEL = {"below": "transradial", "above": "transhumeral"}
_FITTED = ("wearer", "pulls", "right_level", "left_level", "junction", "other_bands", "other_device", "other_strap")
"""Controls that another set-up depends on."""
_LIMB = ("way", "ratio", "limb_flexion", "limb_moment", "load")
_BOTH = ("show", "wearer")
"""Controls of the short limb, and of either part; all others are the pair's."""
_OWN_BANDS = 3
_ALWAYS_OPENED = "Above the elbow, where the cable lifts the forearm first, the other hook is one that its cable opens."
_SIZE = (320.0, 400.0)  # of the bars [picture points]
_KEPT, _POSES = 24, 400  # set-ups, and pulls, that the lab remembers [-]


def _controls(own: Wearer | None) -> tuple[Control, ...]:
    who, _ = people(own)
    sides = (("right", "right"), ("left", "left"))
    return (
        Menu(
            "show",
            "Show",
            (("pair", "a pair"), ("limb", "short limb")),
            "pair",
        ),
        Menu("pulls", "Side that pulls", sides, "right"),
        Menu("right_level", "Right arm amputated", _LEVELS, "below"),
        Menu("left_level", "Left arm amputated", _LEVELS, "below"),
        Slider(
            "arm_flexion",
            "Arm flexion",
            "angle",
            ranges.angles("arm_flexion", -30, 90),
            start=0.0,
            hint="of the side that pulls; below zero the arm goes back",
        ),
        Slider(
            "scapular_abduction",
            "Shoulder forward",
            "angle",
            ranges.angles("scapular_abduction", -15, 25),
            start=0.0,
            hint="the scapula of the side that pulls; below zero it is drawn back",
        ),
        Slider(
            "other_flexion",
            "Other arm: flexion",
            "angle",
            ranges.angles("arm_flexion", -30, 90),
            start=0.0,
            hint="what the arm does that should keep still, or does its share",
        ),
        Slider(
            "other_scapula",
            "Other shoulder forward",
            "angle",
            ranges.angles("scapular_abduction", -15, 25),
            start=0.0,
            hint="below zero it is drawn back: the opposite motion",
        ),
        Slider(
            "elbows",
            "Both elbows",
            "angle",
            ranges.angles("elbow_flexion", 0, 120),
            start=deg(60.0),
            hint="above the elbow, where the lock holds it; what the lift has taken up of the cable stays taken up",
        ),
        Slider(
            "junction",
            "Junction below C7",
            "length",
            ranges.JUNCTION,
            start=mm(60.0),
            hint="where both harnesses are joined; no source says where",
        ),
        Menu(
            "other_device",
            "Other hook's cable",
            (("opening", "opens it"), ("closing", "closes it")),
            "opening",
        ),
        Slider(
            "other_bands",
            "Other side's bands",
            "count",
            ranges.BANDS_IN_CHAIN,
            start=3,
            hint="of a hook that the cable opens; the side that pulls has three",
        ),
        buckle("other_strap", "Other control strap", limit="control_strap"),
        replace(
            turned("front"),
            named=tuple(("other side" if name == "sound side" else name, at) for name, at in VIEWS),
            hint="how far you have gone round: 0° behind the wearer, 90° beside the arm that pulls, 180° in front",
        ),
        Menu("way", "Short limb: way", tuple((key, text) for key, (text, _) in WAYS.items()), "step-up"),
        Slider(
            "ratio",
            "Short limb: step-up",
            "coefficient",
            ranges.STEP_UP,
            start=1.0,
            hint="flexion of the forearm over that of the limb; 1 is a plain hinge",
        ),
        Slider(
            "limb_flexion",
            "Short limb: flexes",
            "angle",
            ranges.LIMB_FLEXION,
            start=deg(60.0),
            hint="as far as the limb flexes in its socket",
        ),
        Slider(
            "limb_moment",
            "Short limb: can make",
            "moment",
            ranges.LIMB_MOMENT,
            start=3.0,
            hint="largest moment with which it flexes; no figure was found: measure it",
        ),
        Slider("load", "Short limb: load in the device", "mass", ranges.LOAD, start=0.0, hint="held level", fine=0.5),
        who,
    )


class _PairSetUps:
    """Pairs of the settings seen so far, and what they were asked; remembering is faster, never different."""

    def __init__(self, own: Wearer | None) -> None:
        self._own = own
        self._worn = lru_cache(maxsize=_KEPT)(self._put_on)
        self._near: dict[tuple[bool, bool], Followed] = {}
        self._pulls: dict[tuple[PairControl, PairPose], PairPull] = {}

    def _put_on(self, *chosen: Value) -> PairControl:
        setting: dict[str, Any] = dict(zip(_FITTED, chosen, strict=True))
        side, there = ("right", "left") if setting["pulls"] == "right" else ("left", "right")
        levels = {each: _LEVEL[setting[f"{each}_level"]] for each in (side, there)}
        harness = bilateral_pair(
            replace(person_of(self._own, setting["wearer"], side), level=levels[side]),
            other_level=levels[there],
            junction_below_c7=setting["junction"],
            other_control_strap=setting["other_strap"],
        )
        closes = setting["other_device"] == "closing" and levels[there] == "transradial"
        other = PairArm(device=hook_closing() if closes else hook_opening(setting["other_bands"]))
        own = PairArm(device=hook_opening(_OWN_BANDS))
        arms = {side: own, there: other}
        return PairControl(harness=harness, left=arms["left"], right=arms["right"])

    def pair(self, setting: Values) -> PairControl:
        """Find the pair of a setting."""
        chosen = {key: setting[key] for key in _FITTED} | {"other_bands": round(float(setting["other_bands"]))}
        return self._worn(*chosen.values())

    def ask(self, setting: Values) -> PairShown:
        """Find what a setting's pull does on either side, and what its short limb can do."""
        pair = self.pair(setting)
        return PairShown(pair=pair, pull=self._pull(pair, setting), ways=self._ways(setting))

    def _pull(self, pair: PairControl, setting: Values) -> PairPull:
        there = Pose(
            arm_flexion=float(setting["other_flexion"]),
            scapular_abduction=float(setting["other_scapula"]),
            elbow_flexion=float(setting["elbows"]),
        )
        here = ("arm_flexion", "scapular_abduction")
        pose = PairPose(**{name: float(setting[name]) for name in here}, elbow_flexion=there.elbow_flexion, other=there)
        if (pair, pose) not in self._pulls:
            if len(self._pulls) > _POSES:
                self._pulls.clear()
            self._pulls[pair, pose] = self._follow(pair, str(setting["pulls"]), pose)
        return self._pulls[pair, pose]

    def _follow(self, pair: PairControl, side: str, pose: PairPose) -> PairPull:
        """Follow a motion, from the last one of a like pair if there is one."""
        levels = (pair.harness.pattern.above, pair.harness.pattern.other_above)  # type: ignore[attr-defined]
        near = self._near.get(levels)
        if near is not None:
            with suppress(InputError):  # a start must never decide whether there is an answer
                pull, self._near[levels] = pair.pull_near(side, pose, near)
                return pull
        pull, self._near[levels] = pair.pull_near(side, pose)
        return pull

    def _ways(self, setting: Values) -> tuple[ShortLimbWay, ...]:
        forearm = forearm_of(person_of(self._own, str(setting["wearer"]), str(setting["pulls"])))
        return short_forearm(
            forearm,
            limb_flexion=float(setting["limb_flexion"]),
            limb_moment=float(setting["limb_moment"]),
            lever=LEVER,
            load=float(setting["load"]),
            hinge=StepUpHinge(float(setting["ratio"])),
        )

    def page(self, setting: Values, pinned: Values | None, units: Units) -> Page:
        """Answer one setting with pictures and words."""
        shown = self.ask(setting)
        then = self.ask(pinned) if pinned is not None else None
        judged = {
            "verdicts": pair_verdicts(setting, shown, units),
            "answers": pair_answers(setting, shown, self.ask, units),
        }
        if setting["show"] == "limb":
            return _limb_page(shown, then, setting, units, **judged)
        return _pair_page(shown, then, setting, units, **judged)


def _pair_page(shown: PairShown, then: PairShown | None, setting: Values, units: Units, **judged: Any) -> Page:
    """Both prostheses, from behind and from where the reader stands, and bars."""
    pair, pull, second = shown.pair, shown.pull, seen_from(setting["view"])
    ghost = then.pull if then is not None and then.pair.harness.wearer == pair.harness.wearer else None
    behind, beside = (
        pair_scene(pull, view, pair=pair, pinned=ghost, plain=True, scale=scale, units=units)
        for view, scale in (("back", True), (second, False))
    )
    bars = pair_bars(pull, units, size=_SIZE)
    wearer, said = pair.harness.wearer, crossed_words(pull, units)
    compared = apart_pair_words(pull, then.pull, units) if then is not None else ""
    if setting["other_device"] == "closing" and pair.worn(pull.other.side).system.device.opens:
        said = f"{said} {_ALWAYS_OPENED}"
    grips: list[Handle] = [junction_handle(pull.junction, wearer, picture=0)]
    if second == "side":
        grips.append(angle_handle("arm", "arm_flexion", "elbow", pose=pull.pose, wearer=wearer, view="side", picture=1))
    return Page(
        (behind, beside, bars),
        " ".join(part for part in (said, compared, behind.words, beside.words) if part),
        " ".join(part for part in (said, compared) if part),
        readings=_pair_readings(pull, units),
        handles=(*grips, ground(setting["view"], beside, wearer, picture=1)),
        idle=(*_LIMB, *_idle(pair, pull)),
        tone=min(max(pull.crossed_force, 0.0) / shown.opens_other, 1.0),
        **judged,
    )


def _idle(pair: PairControl, pull: PairPull) -> tuple[str, ...]:
    """What counts for nothing of the other device: its kind above the elbow, its bands where there are none."""
    other = pair.worn(pull.other.side).system
    if other.harness.wearer.level == "transhumeral":
        return ("other_device",)
    return () if other.device.opens else ("other_bands",)


def _pair_readings(pull: PairPull, units: Units) -> tuple[Reading, ...]:
    """The own device, what crosses over, the other device, and the place where both are joined."""
    own, other, alone = pull.own, pull.other, pull.alone
    if pull.other_opens:
        note = f"{show(alone.opening, 'length', units)} at rest"
    elif other.slack > SEEN_SLACK:
        note = f"stays; {show(other.slack, 'length', units, 0)} hang loose"
    else:
        note = "stays as at rest"
    shift = float((pull.junction_shift @ pull.junction_shift) ** 0.5)
    return (
        Reading(
            "Own cable drawn",
            own.travel,
            "length",
            f"{own.side} device open {show(own.opening, 'length', units)}",
        ),
        _crossing(pull, units),
        Reading("Other device open", other.opening, "length", note),
        Reading("Junction moves", shift, "length", "since the harness was put on"),
    )


def _crossing(pull: PairPull, units: Units) -> Reading:
    """What the pull adds to the other control strap or takes off it, with what either strap bears."""
    own, other = pull.own, pull.other
    here, there = (show(side.harness_force, "force", units) for side in (own, other))
    if pull.crossed_force <= -SLACK:
        note = f"off the {other.side} strap, which still bears {there}"
        return Reading("Taken off", -pull.crossed_force, "force", note)
    note = f"{own.side} strap {here}, {other.side} strap {there}"
    return Reading("Crosses over", max(pull.crossed_force, 0.0), "force", note)


def _limb_page(shown: PairShown, then: PairShown | None, setting: Values, units: Units, **judged: Any) -> Page:
    """A very short limb from the side, and bars of every way."""
    way, load, flexes = shown.way(str(setting["way"])), float(setting["load"]), float(setting["limb_flexion"])
    scene = short_limb_scene(way, limb_flexion=flexes, load=load, lever=LEVER, units=units)
    can = float(setting["limb_moment"])
    bars = short_limb_bars(shown.ways, can, units, size=_SIZE)
    compared = f"In the pinned setting: {ways_words(then.ways, units)}" if then is not None else ""
    said = ways_words(shown.ways, units)
    return Page(
        (scene, None, bars),
        " ".join(part for part in (scene.words, said, compared) if part),
        " ".join(part for part in (scene.words, compared) if part),
        readings=_limb_readings(shown, setting, units),
        idle=tuple(key for key in setting if key not in (*_LIMB, *_BOTH)),
        **judged,
    )


def _limb_readings(shown: PairShown, setting: Values, units: Units) -> tuple[Reading, ...]:
    way, load, can = shown.way(str(setting["way"])), float(setting["load"]), float(setting["limb_moment"])
    flexes = show(way.limb_flexion, "angle", units, 0)
    if shown.locked(way):
        return (
            Reading("Forearm comes to", way.elbow_flexion, "angle", "the cable lifts it"),
            Reading("Limb must make", 0.0, "moment", "the lock bears it"),
            Reading("Load asked for", load, "mass", "the lock bears it", digits=2),
        )
    holds = "held" if way.holds else "not held"
    furthest = show(way.elbow_flexion, "angle", units, 0)
    stands = f"limb {flexes}" if way.rises_to >= way.elbow_flexion else f"too heavy for {furthest}"
    return (
        Reading("Forearm comes to", way.rises_to, "angle", stands),
        Reading(
            "Limb must make",
            way.limb_moment,
            "moment",
            f"of {show(can, 'moment', units)}: {holds}",
            share=min(can / way.limb_moment, 1.0),  # full where the limb can
        ),
        Reading("Can hold level", way.most_load, "mass", f"asked: {show(load, 'mass', units, 2)}", digits=2),
        Reading("Presses on its socket", way.couple, "force", "at either end"),
    )


@documented
def pair_lab(wearer: Wearer | None = None, *, setting: str = "", units: Units = "metric") -> Lab:
    """Open the pair lab.

    Notes
    -----
    Both arms bear a prosthesis, and one junction on the back joins both harnesses. Each control strap runs on as the
    other side's front strap (from memory), and where the junction lies is an assumption. Above the elbow the lock holds
    the forearm where the slider says. The second part is about a very short limb below the elbow: the moment that it
    can make has no source. Wearers of the list come from a survey of military adults with two arms: fit, and not a
    clinical population.

    Examples
    --------
    >>> lab = pair_lab(setting="arm_flexion = 60°")
    >>> "arm_flexion = 60 °" in lab.setting
    True
    """
    answers = _PairSetUps(wearer)
    return Lab(
        "Pair lab: two prostheses on one harness, and the very short limb",
        _controls(wearer),
        answers.page,
        play="arm_flexion",
        challenges=PAIR_CHALLENGES,
        predictions=PAIR_PREDICTIONS,
        another="wearer",
        units=units,
        setting=setting,
    )
