"""What the goals and predictions of the labs are tried with: settings that meet, spoil and decide them."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from controlkit.labs import (
    bench_lab,
    chain_lab,
    device_lab,
    dual_lab,
    housing_lab,
    lock_lab,
    motion_lab,
    pair_lab,
    pattern_lab,
    population_lab,
    sequence_lab,
)
from controlkit.labs.frame import Lab
from controlkit.mechanics import Wearer
from controlkit.units import deg, mm

LABS: dict[str, Callable[[], Lab]] = {
    "sequence": lambda: sequence_lab(Wearer.average("male", amputated="right", name="Joost")),
    "motion": lambda: motion_lab(Wearer.average("male", amputated="left", name="Yusuf")),
    "housing": lambda: housing_lab(Wearer.average("female", amputated="left", name="Ines"), setting="friction = 0.16"),
    "device": lambda: device_lab(setting="strength = 140 N; width = 60 mm"),
    "chain": lambda: chain_lab(Wearer.average("female", amputated="left", name="Beatriz")),
    "dual": lambda: dual_lab(Wearer.average("male", amputated="right", level="transhumeral", name="Emeka")),
    "lock": lambda: lock_lab(Wearer.average("female", amputated="left", level="transhumeral", name="Amina")),
    "pattern": lambda: pattern_lab(Wearer.average("female", amputated="right", name="Halina")),
    "pair": lambda: pair_lab(Wearer.average("female", amputated="right", name="Farida")),
    "bench": lambda: bench_lab(Wearer.average("female", amputated="right", name="Halima")),
    "population": lambda: population_lab(
        Wearer.measured("female", stature=1.55, amputated="right", name="Marit"), setting="strength = 135 N"
    ),
}
"""The labs as their lessons open them."""

THERE_AND_BACK = (
    "pre-position, reach-out, pull, surround, let-go, bring-to-the-mouth, "
    "lower-to-the-table, pull, clear, let-go, return"
)
TO_THE_MOUTH = "pre-position, reach-out, surround, pull, let-go, bring-to-the-mouth"
NEAR = {"arm_flexion": deg(20), "scapular_abduction": deg(20), "sound_scapular_abduction": deg(20)}
AWAY = {"arm_flexion": deg(50), "elbow_flexion": deg(20), "scapular_abduction": deg(-10), "shoulder_elevation": deg(5)}
SPOON = {"elbow_flexion": deg(120), "fixed_bend": deg(20), "elbow_offset": mm(5)}
SWING = {"elbow_offset": mm(5), "spare": mm(5)}
JAR = {"device": "hook-closing-lock", "width": mm(40), "pull": 45.0, "let_go": True, "arrives": 0.9}
COMMAND = {"scapular_abduction": deg(20)}
MOUTH = {"position": "mouth", "control_strap": mm(25), "ring_below_c7": mm(60), **COMMAND}
FLY = {"position": "fly", "control_strap": mm(5), "ring_below_c7": mm(120), **COMMAND}
SHUT = {"loop_along": mm(45), "end_ahead": mm(45), "bands": 5.0, "elbow_flexion": deg(100)}
TWO_JOBS = {"loop_along": mm(45), "end_ahead": mm(25), "bands": 5.0, "device": "steel-hook", "scapulae": "both"}
TWO_JOBS = {**TWO_JOBS, "arm_flexion": deg(85)}
HOLD = {
    "arm_extension": deg(10),
    "arm_abduction": deg(30),
    "shoulder_depression": deg(8),
    "protraction": deg(5),
    "pull": 30.0,
}
HOLD = {**HOLD, "support_strap": mm(15), "lock_strap": mm(-1)}
LOCKED = (
    "pre-position-the-wrist, pre-position-the-turntable, unlock, lift-to-the-table, lock, ease-the-cable, "
    "open-the-device, surround, ease-the-cable, take-the-weight, unlock, lift-to-the-mouth, lock, ease-the-cable, "
    "take-the-weight, unlock, lower-to-the-table, lock, ease-the-cable, open-the-device, clear, ease-the-cable, "
    "take-the-weight, unlock, lower"
)
CUP = {"show": "sequence", "support_strap": mm(15), "step": LOCKED}
GRAFT = {"pattern": "diaphragm", "arm_flexion": deg(45), "load": 220.0}
BAG = {"lowered": mm(25), "support_strap": mm(-15), "load": 80.0}
SOFT = {"lowered": mm(40), "webbing": "inch-and-a-half", "load": 50.0}
ALONE = {"arm_flexion": deg(60), "scapular_abduction": deg(12), "junction": mm(30)}
BODY = {"arm_flexion": deg(10), "scapular_abduction": deg(23), "junction": mm(110)}
BODY = {**BODY, "other_strap": mm(10), "other_scapula": deg(-5)}
SHORT = {"show": "limb", "ratio": 2.1, "limb_flexion": deg(60), "limb_moment": 4.0}
RECORD = "device@fine, hanger-90@fine, rest@usual, arm-90@usual, mouth@usual, fly@usual, slip@usual"
RECORD_ABOVE = (
    "device@usual, device@usual, device@usual, hanger-90@usual, hanger-90@usual, hanger-90@usual, "
    "lifting-opens@usual, locked-90@usual, locked-mouth@usual, locked-fly@usual, slip@usual"
)
LONG = {"task": "search", "number": 19.0, "take": "slack@usual, cable@usual"}
NAMED = {**LONG, "named": "cable-too-long", "decides": "cable"}
TWO = {"task": "search", "number": 7.0, "take": "slack@usual", "what": "cable"}
REPEATED = ", ".join(["device@usual"] * 8)
MANY = {"cross_back": True, "ring_below_c7": mm(75), "bands": 2.0, "friction": 0.04}
BISCUIT = {"position": "mouth", "width": mm(10), "control_strap": mm(30)}

SOLVED: dict[tuple[str, int], dict[str, Any]] = {
    ("sequence", 0): {"step": THERE_AND_BACK},
    ("sequence", 1): {"step": TO_THE_MOUTH, "device": "closing-lock", "width": mm(45)},
    ("motion", 0): {**NEAR, "support_strap": mm(20)},
    ("motion", 1): AWAY,
    ("housing", 0): SPOON,
    ("housing", 1): SWING,
    ("device", 0): {"pull": 10.0, "arrives": 0.95},
    ("device", 1): JAR,
    ("chain", 0): MOUTH,
    ("chain", 1): FLY,
    ("dual", 0): SHUT,
    ("dual", 1): TWO_JOBS,
    ("lock", 0): HOLD,
    ("lock", 1): CUP,
    ("pattern", 0): GRAFT,
    ("pattern", 1): BAG,
    ("pattern", 2): SOFT,
    ("pair", 0): ALONE,
    ("pair", 1): BODY,
    ("pair", 2): SHORT,
    ("bench", 0): {"take": RECORD},
    ("bench", 1): NAMED,
    ("bench", 2): TWO,
    ("population", 0): {**MANY, "tried": 24.0},
    ("population", 1): {**MANY, "width": mm(30)},
    ("population", 2): BISCUIT,
}
"""A setting that meets each goal, in whole steps of the sliders."""

CROSSED_ON_A_LARGE_MAN = {"wearer": "large-man", "pattern": "crossed", "lowered": mm(65), "support_strap": mm(-20)}
SNUG_ON_A_MAN = {"wearer": "average-man", "lowered": mm(40), "support_strap": mm(-10), "load": 100.0}
LOW_ON_A_MAN = {"wearer": "average-man", "lowered": mm(40)}
# what is moved from there, and the one thing that is missing then
SPOILED: list[tuple[str, int, dict[str, Any], str]] = [
    ("sequence", 0, {"step": THERE_AND_BACK.removesuffix(", return")}, "the errand is not done"),
    ("sequence", 0, {"step": f"pull, let-go, {THERE_AND_BACK}"}, "13 steps are more than it takes"),
    ("sequence", 0, {"tell": True}, "the lab tells which steps are right"),
    (
        "sequence",
        1,
        {"device": "opening", "step": THERE_AND_BACK.partition(", lower")[0]},
        "this device is opened by the cable",
    ),
    ("sequence", 1, {"width": mm(40)}, "the object is 40 mm wide"),
    ("sequence", 1, {"step": TO_THE_MOUTH.removesuffix(", bring-to-the-mouth")}, "not held at the mouth"),
    ("sequence", 1, {"step": TO_THE_MOUTH.replace("let-go, ", "")}, "the cable is pulled"),
    ("sequence", 1, {"step": f"bring-to-the-mouth, {TO_THE_MOUTH}"}, "something has gone wrong"),
    ("motion", 0, {"support_strap": 0.0}, "not fully"),
    ("motion", 0, {"arm_flexion": deg(25)}, "the device moves 253 mm"),
    ("motion", 0, {"scapular_abduction": deg(25)}, "a scapula is 25° forward"),
    ("motion", 1, {"arm_flexion": deg(40)}, "mm forward"),
    ("motion", 1, {"elbow_flexion": deg(90)}, "the device is 34 mm forward"),  # lifted high instead
    ("motion", 1, {"scapular_abduction": 0.0}, "the hook opens 29"),
    ("motion", 1, {"shoulder_elevation": deg(15)}, "the shoulder rises 15°"),
    ("motion", 1, {"scapular_abduction": deg(-15)}, "the scapula is drawn back 15°"),
    ("housing", 0, {"elbow_flexion": deg(110)}, "the elbow stands at 110°"),
    ("housing", 0, {"elbow_offset": mm(10)}, "60.8 % arrives"),
    ("housing", 0, {"friction": 0.12}, "the friction coefficient is 0.12"),
    ("housing", 0, {"fixed_bend": 0.0}, "the other bends are 0°"),
    ("housing", 0, {"housing": "loose"}, "the elbow moves the cable by"),
    ("housing", 1, {"elbow_offset": mm(10)}, "somewhere only 53"),
    ("housing", 1, {"friction": 0.15}, "the friction coefficient is 0.15"),
    ("housing", 1, {"fixed_bend": deg(40)}, "the other bends are 40°"),
    ("housing", 1, {"spare": mm(3)}, "the housing has 3.0 mm to spare"),
    ("housing", 1, {"housing": "loose"}, "the elbow moves the cable by"),
    ("device", 0, {"width": mm(55)}, "the object is 55 mm wide"),
    ("device", 0, {"pull": 0.0}, "the pull is 0 N"),
    ("device", 0, {"bands": 2.0}, "the grip is 7.1 N"),
    ("device", 0, {"strength": 160.0}, "the strongest pull is 160 N"),
    ("device", 0, {"arrives": 0.8}, "38 % of the strongest pull is asked for"),
    ("device", 1, {"width": mm(30)}, "the object is 30 mm wide"),
    ("device", 1, {"let_go": False}, "the cable has not been let go"),
    ("device", 1, {"pull": 40.0}, "the grip is 23.4 N"),
    ("device", 1, {"strength": 160.0}, "the strongest pull is 160 N"),
    ("device", 1, {"arrives": 0.7}, "46 % of the strongest pull is asked for"),
    ("chain", 0, {"control_strap": mm(15)}, "inadvertently it opens"),
    ("chain", 0, {"control_strap": mm(30)}, "not fully"),
    ("chain", 0, {"ring_below_c7": mm(45), "scapular_abduction": deg(25)}, "scapular abduction is 25°"),
    ("chain", 0, {"control_strap": mm(30), "ring_below_c7": mm(70), "bands": 2.0}, "the hook has 2 bands"),
    ("chain", 1, {"position": "waist"}, "this is the waist"),
    ("chain", 1, {"ring_below_c7": mm(100)}, "on command it opens 5"),
    ("chain", 1, {"control_strap": 0.0}, "inadvertently it opens"),
    ("chain", 1, {"scapular_abduction": deg(25)}, "scapular abduction is 25°"),
    ("chain", 1, {"motion": "carried"}, "carried along"),
    ("chain", 1, {"bands": 2.0}, "the hook has 2 bands"),
    ("dual", 0, {"bands": 3.0}, "the device opens first on the way"),
    ("dual", 0, {"elbow_flexion": deg(95)}, "the elbow is asked for 95°"),
    ("dual", 0, {"loop_along": mm(50)}, "the arm is flexed 74°"),
    ("dual", 0, {"end_ahead": mm(35)}, "the pull is 4"),
    ("dual", 0, {"scapulae": "both"}, "the scapulae help"),
    ("dual", 0, {"device": "light-hook"}, "the forearm does not carry a hook"),
    ("dual", 0, {"bands": 6.0}, "the hook has 6 bands"),
    ("dual", 0, {"spring": 0.1}, "a spring helps"),
    ("dual", 1, {"end_ahead": mm(10), "bands": 4.0}, "the device opens first on the way"),
    ("dual", 1, {"elbow_flexion": deg(85)}, "the elbow is asked for 85°"),
    ("dual", 1, {"loop_along": mm(60)}, "not fully"),
    ("dual", 1, {"arm_flexion": deg(90)}, "locked, the arm is flexed 90°"),
    ("dual", 1, {"loop_along": mm(35), "end_ahead": mm(15)}, "the pull is 5"),
    ("dual", 1, {"device": "hook"}, "the forearm does not carry a steel hook"),
    ("dual", 1, {"bands": 3.0, "friction": 0.3, "loop_along": mm(50)}, "the hook has 3 bands"),
    ("dual", 1, {"spring": 0.1}, "a spring helps"),
    ("lock", 0, {"arm_extension": deg(5)}, "mm come to the lock"),
    ("lock", 0, {"lock_travel": mm(16)}, "the lock needs 16.0 mm"),
    ("lock", 0, {"lock_strap": mm(-8)}, "walking, arm back: that locks too"),
    ("lock", 0, {"pull": 25.0}, "the control strap is pulled with 25.0 N"),
    (
        "lock",
        0,
        {"arm_extension": deg(20), "arm_abduction": deg(20), "shoulder_depression": deg(2)},
        "of lift cable are paid out",
    ),
    ("lock", 0, {"arm_extension": deg(15)}, "the front support strap is taut"),
    ("lock", 0, {"support_strap": mm(20)}, "the front support strap is let out by 20.0 mm"),
    ("lock", 0, {"protraction": deg(6), "arm_extension": deg(8)}, "the shoulder is 6° forward"),
    ("lock", 1, {"show": "motion"}, "the operating sequence is not shown"),
    ("lock", 1, {"step": LOCKED.removesuffix(", lower")}, "the errand is not done"),
    ("lock", 1, {"step": f"{LOCKED}, lower"}, "26 steps are more than it takes"),
    ("lock", 1, {"support_strap": 0.0, "step": "unlock"}, "as the straps are set, no order of steps leads to the end"),
    ("lock", 1, {"tell": True}, "the lab tells which steps are right"),
    ("lock", 1, {"lock_travel": mm(18)}, "the lock needs 18.0 mm"),
    ("lock", 1, {"lock_strap": mm(-8)}, "walking, arm back: that locks too"),
    ("pattern", 0, CROSSED_ON_A_LARGE_MAN, "press in the armpit"),
    ("pattern", 0, {"arm_flexion": deg(40)}, "not fully"),
    ("pattern", 0, {"arm_flexion": deg(50)}, "the arm is flexed 50°"),
    ("pattern", 0, {"load": 215.0}, "only 215.0 N hang at the device"),
    ("pattern", 0, {"support_strap": mm(30)}, "the socket slips 32"),
    ("pattern", 0, {"pattern": "chest"}, "a strap lies 38"),
    ("pattern", 1, {"pattern": "diaphragm"}, "nothing goes round the sound shoulder"),
    ("pattern", 1, {"load": 75.0}, "only 75.0 N hang at the device"),
    ("pattern", 1, {"lowered": mm(30), "support_strap": mm(-10)}, "the hook opens 3"),
    ("pattern", 1, SNUG_ON_A_MAN, "the socket slips 17"),
    ("pattern", 1, {**LOW_ON_A_MAN, "support_strap": mm(-20)}, "the strap is taken in by 20.0 mm"),
    ("pattern", 1, {"lowered": mm(20), "support_strap": mm(-10)}, "not fully"),
    ("pattern", 1, {"arm_flexion": deg(65)}, "the arm is flexed 65°"),
    ("pattern", 1, {"lowered": mm(35)}, "press in the armpit"),
    ("pattern", 2, {"pattern": "chest"}, "nothing goes round the sound shoulder"),
    ("pattern", 2, {"wearer": "average-man", "bands": 2.0}, "only 2 bands hold the hook shut"),
    ("pattern", 2, {"wearer": "average-man", "lowered": mm(30)}, "not fully"),
    ("pattern", 2, {"load": 45.0}, "only 45.0 N hang at the device"),
    ("pattern", 2, {"lowered": mm(60)}, "the mean pressure in the armpit is 26"),
    ("pattern", 2, {"arm_flexion": deg(65)}, "the arm is flexed 65°"),
    ("pattern", 2, {"webbing": "inch"}, "the mean pressure in the armpit is 3"),
    ("pattern", 2, {"webbing": "two-inch"}, "the straps are 50.8 mm wide"),
    ("pair", 0, {"show": "limb"}, "two prostheses are not shown"),
    ("pair", 0, {"left_level": "above"}, "an arm is amputated above the elbow"),
    ("pair", 0, {"scapular_abduction": 0.0}, "the hook opens 7"),
    ("pair", 0, {"arm_flexion": deg(65)}, "the arm is flexed 65°"),
    ("pair", 0, {"junction": mm(60)}, "N cross over"),
    ("pair", 0, {"other_scapula": deg(-5)}, "the other arm and shoulder are not at rest"),
    ("pair", 0, {"other_strap": mm(10)}, "the other control strap is let out by 10.0 mm"),
    ("pair", 1, {"show": "limb"}, "two prostheses are not shown"),
    ("pair", 1, {"left_level": "above"}, "an arm is amputated above the elbow"),
    ("pair", 1, {"scapular_abduction": deg(15)}, "the hook opens 29"),
    ("pair", 1, {"arm_flexion": deg(15)}, "the arm is flexed 15°"),
    ("pair", 1, {"other_strap": 0.0, "other_scapula": deg(0)}, "the other device moves"),
    ("pair", 1, {"other_bands": 4.0}, "the other hook has 4 bands"),
    ("pair", 1, {"other_strap": mm(15)}, "the other control strap is let out by 15.0 mm"),
    ("pair", 1, {"other_scapula": deg(-6)}, "the other shoulder is drawn back 6°"),
    ("pair", 1, {"other_flexion": deg(-5)}, "the other arm does not hang"),
    ("pair", 1, {"junction": mm(120), "scapular_abduction": deg(21)}, "the junction lies 120.0 mm below C7"),
    ("pair", 2, {"show": "pair"}, "the very short limb is not shown"),
    ("pair", 2, {"way": "locking"}, "a lock bears the load"),
    ("pair", 2, {"ratio": 1.5}, "the forearm comes to 90°"),
    ("pair", 2, {"ratio": 2.6}, "it can hold 0."),
    ("pair", 2, {"limb_flexion": deg(70)}, "the limb flexes 70°"),
    ("pair", 2, {"limb_moment": 4.5}, "the limb makes 4.5"),
    ("bench", 0, {"task": "search"}, "this is no new fitting"),
    ("bench", 0, {"take": RECORD.replace("fine", "usual")}, "the efficiency at 90° is known to"),
    ("bench", 0, {"take": RECORD.removesuffix(", slip@usual")}, "not read: slip"),
    ("bench", 0, {"take": f"{RECORD}, {REPEATED}"}, "15 readings were taken"),
    ("bench", 0, {"take": f"{RECORD}, slip@fine, cable@fine"}, "a reading went beyond the end of its scale"),
    ("bench", 1, {"named": "cable-too-short"}, "what you have read does not leave this one alone"),
    ("bench", 1, {"decides": "ring"}, "the reading that you say decides is not needed, or not taken"),
    ("bench", 1, {"take": f"{LONG['take']}, {REPEATED}"}, "10 readings were taken"),
    ("bench", 1, {"tell": True}, "the lab tells what is left"),
    ("bench", 1, {"open": True}, "it has been opened"),
    ("bench", 2, {"take": "device@usual"}, "your readings leave more than two"),
    ("bench", 2, {"take": "slack@usual, cable@usual", "what": "ring"}, "your readings leave fewer than two"),
    ("bench", 2, {"what": "ring"}, "the reading that is chosen does not tell the two apart, or was taken"),
    ("bench", 2, {"take": "slack@usual, " + ", ".join(["ring@usual"] * 6)}, "7 readings were taken"),
    ("bench", 2, {"named": "cable-too-long"}, "a fault is named"),
    ("bench", 2, {"tell": True}, "the lab tells what is left"),
    ("bench", 2, {"open": True}, "it has been opened"),
    ("population", 0, {"tried": 12.0}, "10 of 12 are served, at large perhaps only 55 %"),
    ("population", 0, {"whom": "men"}, "only men are tried"),
    ("population", 0, {"position": "fly"}, "this is the fly"),
    ("population", 0, {"width": mm(20)}, "the object is 20.0 mm wide"),
    ("population", 0, {"bands": 1.0}, "the hook has 1 band"),
    ("population", 0, {"scapular_abduction": deg(25)}, "the scapulae come forward by 25°"),
    ("population", 0, {"ring_below_c7": mm(85)}, "the ring lies 85.0 mm below C7"),
    ("population", 0, {"friction": 0.03}, "friction is 0.03: no table has so little"),
    ("population", 0, {"allowed": 0.25}, "a pull may take 25 %"),
    ("population", 1, {"friction": 0.06}, "for Marit: too much force"),
    ("population", 1, {"age": 60.0}, "of the others 58 % are served"),
    ("population", 1, {"whom": "men"}, "only men are tried"),
    ("population", 1, {"position": "fly"}, "this is the fly"),
    ("population", 1, {"tried": 10.0}, "it is tried on 10"),
    ("population", 1, {"strength": 145.0}, "the strongest pull is 145.0 N"),
    ("population", 1, {"width": mm(25)}, "the object is 25.0 mm wide"),
    ("population", 1, {"bands": 1.0}, "the hook has 1 band"),
    ("population", 1, {"scapular_abduction": deg(25)}, "the scapulae come forward by 25°"),
    ("population", 1, {"ring_below_c7": mm(85)}, "the ring lies 85.0 mm below C7"),
    ("population", 1, {"friction": 0.03}, "friction is 0.03: no table has so little"),
    ("population", 1, {"allowed": 0.25}, "a pull may take 25 %"),
    ("population", 2, {"control_strap": mm(20)}, "6 drop it"),
    ("population", 2, {"control_strap": mm(60)}, "6 lack excursion"),
    ("population", 2, {"whom": "men"}, "only men are tried"),
    ("population", 2, {"position": "fly", "cross_back": True, "ring_below_c7": mm(100), "control_strap": 0.0},
     "this is the fly"),
    ("population", 2, {"tried": 10.0}, "it is tried on 10"),
    ("population", 2, {"width": mm(15)}, "the object is 15.0 mm wide"),
    ("population", 2, {"bands": 2.0}, "the hook has 2 bands"),
    ("population", 2, {"scapular_abduction": deg(25)}, "the scapulae come forward by 25°"),
]  # fmt: skip

ANOTHER: list[tuple[str, int, dict[str, Any]]] = [
    ("sequence", 0, {"device": "closing", "step": f"{TO_THE_MOUTH.replace('let-go, ', '')}, lower-to-the-table, "
                     "let-go, clear, return"}),
    ("motion", 0, {"wearer": "small-woman", **NEAR, "arm_flexion": deg(25), "shoulder_elevation": deg(-10)}),
    ("motion", 1, {"wearer": "average-woman", **AWAY, "arm_flexion": deg(42), "elbow_flexion": 0.0}),
    ("housing", 0, {"wearer": "large-man", "elbow_flexion": deg(120), "fixed_bend": deg(20), "side": "beside"}),
    ("housing", 1, {"wearer": "large-man", "side": "beside", "spare": mm(5)}),
    ("chain", 0, {"wearer": "small-woman", **MOUTH, "ring_below_c7": mm(65)}),
    ("chain", 1, {"wearer": "small-woman", **FLY, "ring_below_c7": mm(140), "support_strap": mm(20)}),
    ("dual", 0, {"wearer": "small-woman", **SHUT, "loop_along": mm(40), "end_ahead": mm(30)}),
    ("dual", 1, {"wearer": "small-woman", **TWO_JOBS, "loop_along": mm(40), "end_ahead": mm(10)}),
    ("lock", 0, {"wearer": "small-woman", **HOLD, "lock_strap": mm(-2)}),
    ("lock", 1, {"wearer": "small-woman", **CUP, "lock_strap": mm(-3)}),
    ("pattern", 0, {"wearer": "small-woman", **GRAFT, "lowered": mm(5)}),
    ("pattern", 1, {"wearer": "average-man", **BAG, "lowered": mm(40)}),
    ("pair", 0, {"wearer": "small-woman", **ALONE, "scapular_abduction": deg(5)}),
    ("pair", 1, {"wearer": "large-man", **BODY, "scapular_abduction": deg(21)}),
    ("pair", 2, {"wearer": "large-man", **SHORT, "ratio": 1.85}),
    ("bench", 0, {"level": "above", "take": RECORD_ABOVE}),
    ("population", 2, {"build": "large", **BISCUIT, "control_strap": mm(35)}),
]  # fmt: skip
"""Another body or device, met with another setting than the first."""


DOWN = "arm_extension = 10 deg; arm_abduction = 30 deg; shoulder_depression = 8 deg"
# what each lesson's page asks its lab for, and which prediction that decides
ASKED: list[tuple[str, str, str, str, str]] = [
    ("sequence", "width = 45 mm", "opening", "more", "mm for the ball"),
    ("sequence", "device = closing; width = 45 mm", "closing", "less", "mm for the ball"),
    ("sequence", "width = 45 mm", "grip", "less", "N with it"),
    ("motion", "arm_flexion = 60 deg; scapular_abduction = 20 deg", "scapula", "more", "mm together"),
    ("motion", "arm_flexion = 60 deg; arm_abduction = 60 deg", "abduction", "less", "mm together"),
    ("motion", "arm_flexion = 60 deg; shoulder_elevation = 20 deg", "shrug", "more", "mm together"),
    ("housing", "elbow_flexion = 120 deg", "arrives", "less", "N after"),
    ("housing", "friction = 0.08", "liner", "more", "N is lost now"),
    ("housing", "elbow_flexion = 120 deg; housing = none", "bare", "more", "N without"),
    ("device", "bands = 6", "travel", "the same", "mm after"),
    ("device", "pull = 10 N", "inadvertent", "less", "N with it"),
    ("device", "width = 7 mm", "width", "less", "N on the pencil"),
    ("chain", "position = mouth", "mouth", "more", "mm at the mouth"),
    ("chain", "position = fly; scapular_abduction = 20 deg; control_strap = 15 mm", "fly", "less", "mm after"),
    ("chain", "position = fly; scapular_abduction = 20 deg; support_strap = 20 mm", "ease", "more", "mm after"),
    ("chain", "bands = 5", "bands", "the same", "mm after"),
    ("dual", "end_ahead = 25 mm", "end", "less", "N after"),
    ("dual", "end_ahead = 25 mm; loop_along = 60 mm", "loop", "more", "mm after"),
    ("dual", "bands = 5", "bands", "the same", "N after"),
    ("dual", "elbow_flexion = 45 deg", "lock", "more", "mm after"),
    ("lock", "arm_extension = 10 deg", "extend", "less", "mm with it extended"),
    ("lock", DOWN, "lower", "more", "mm after"),
    ("lock", f"{DOWN}; pull = 30 N", "pull", "less", "mm after"),
    ("lock", f"{DOWN}; support_strap = 15 mm", "front", "the same", "mm after"),
    ("pattern", "pattern = nine", "nine", "the same", "mm with the figure-of-nine"),
    ("pattern", "pattern = diaphragm", "chest", "more", "mm with the strap at the diaphragm with a saddle"),
    ("pattern", "load = 50 N", "bag", "more", "mm with the load"),
    ("pair", "arm_flexion = 60 deg", "flex", "the same", "mm after"),
    ("pair", "scapular_abduction = 15 deg", "forward", "more", "mm at the left"),
    ("pair", "arm_flexion = 60 deg; junction = 100 mm", "lower", "more", "N after"),
    ("pair", "show = limb; ratio = 2", "step", "less", "kg after"),
    ("bench", "take = device@usual, hanger-90@usual, hanger-135@usual", "bent", "less", "% at 135°"),
    ("bench", f"take = {', '.join(['device@usual'] * 4)}, device@fine", "finer", "less", "N once with the small one"),
    ("bench", "level = above; take = hanger-90@usual", "heavy", "the same", "N with a heavier one"),
    ("population", "bands = 2", "bands", "more", "mm after"),
    ("population", "cross_back = yes", "cross", "less", "2 of 12 after"),
    ("population", "position = table; cross_back = yes", "table", "more", "4 of 12 after"),
    ("population", "whom = women; tried = 24; across = girth", "girth", "more", "mm in that of the other"),
]
