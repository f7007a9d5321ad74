"""What a person reads who asks for something impossible: what was given, what is allowed, what to do."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import Any

import numpy as np
import pytest

from controlkit.draw import Lifting, lift_scene
from controlkit.mechanics import (
    ControlCable,
    Cuff,
    DualControl,
    Pose,
    SingleControl,
    Skin,
    Straps,
    Strength,
    VoluntaryOpening,
    Wearer,
    above_elbow_eight,
    bilateral_pair,
    chest_strap,
    dual_pull,
    figure_of_eight,
    figure_of_nine,
    suspend,
    tension_ratio,
)
from controlkit.mechanics.chain.dual import lock_motions, smallest_lock_motion
from controlkit.mechanics.elbow import ElbowLock
from controlkit.units import InputError, deg, mm

MAN = Wearer.average("male")
LOCK = ElbowLock.evenly(11)


def harness(**setting: Any) -> Any:
    return figure_of_eight(MAN, **setting)


def above(**setting: Any) -> Any:
    return above_elbow_eight(Wearer.average("male", level="transhumeral"), **setting)


@cache
def lifting(at: Any) -> Lifting:
    system = DualControl(harness=above())
    return Lifting(system=system, lifted=system.lift([deg(60), deg(90)]), at=at)


def lifted(**asked: Any) -> Any:
    return lift_scene(lifting(1), **asked)


def at(**angles: Any) -> Any:
    return SingleControl(harness()).at(**angles)


CASES: list[tuple[str, Callable[[], Any], tuple[str, ...]]] = [
    ("millimetres for metres", lambda: Wearer.measured("male", stature=1750), ("Stature", "mm(1750)", "between")),
    ("impossible waist", lambda: MAN.with_(waist_circumference=1.25), ("Waist circumference", "Measure all three")),
    ("armpit above the acromion", lambda: MAN.with_(axilla_height=1.5), ("Acromial height", "Check which")),
    ("shoulders within the acromia", lambda: MAN.with_(bideltoid_breadth=0.40), ("Bideltoid", "Measure both")),
    ("no such sex", lambda: Wearer.average("man"), ('"man"', '"female"')),
    ("no such measure", lambda: Wearer.measured("male", height=1.8), ('"height"', "stature")),
    ("text for a measure", lambda: Wearer.measured("male", stature="tall"), ("'tall'", "one number")),
    ("no such side", lambda: Wearer.average("male", amputated="both"), ('"both"', '"left"')),
    ("no such percentile", lambda: Wearer.at_percentile("male", 120), ("120", "99.9")),
    ("ring above C7", lambda: harness(ring_below_c7=-mm(20)), ("-20.0 mm", "below C7", "Give between")),
    ("ring in the armpit", lambda: harness(ring_to_sound_side=0.3), ("300.0 mm", "scapulae")),
    ("crossbar off the arm", lambda: harness(crossbar=1.2), ("1.2", "on the upper arm", "0.25 and 0.9")),
    ("crossbar in percent", lambda: harness(crossbar=55), ("55", "0.25 and 0.9")),
    ("strap too short to don", lambda: harness(control_strap=-0.2), ("-200.0 mm", "too short to don")),
    ("loop too short to don", lambda: harness(axilla_loop=-0.2), ("-200.0 mm", "too short to don")),
    ("text for the ring", lambda: harness(ring_below_c7="60"), ("'60'", "one number between")),
    ("truth for the ring", lambda: harness(ring_below_c7=True), ("True", "one number between")),
    ("chest strap up at the neck", lambda: chest_strap(MAN, branch_below_c7=mm(60)), ("60.0 mm", "scapula")),
    ("chest strap too tight", lambda: chest_strap(MAN, around=-0.2), ("-200.0 mm", "chest strap taken in")),
    ("ring of a nine above C7", lambda: figure_of_nine(MAN, ring_below_c7=-mm(20)), ("-20.0 mm", "below C7")),
    ("support strap too short", lambda: harness(support_strap=-0.2), ("-200.0 mm", "too short to don")),
    ("glued crossing", lambda: harness(crossing="glued"), ("'glued'", '"sewn"')),
    ("webbing of rubber", lambda: Straps(webbing=10.0), ("webbing", "10", "Give between")),
    ("text for a width", lambda: Straps(width="wide"), ("'wide'", "mm(25)")),  # type: ignore[arg-type]
    ("skin that pushes", lambda: Skin(stiffness=-1.0), ("skin", "-1", "switches it off")),
    ("text for skin", lambda: Skin(friction="high"), ("'high'", "one number")),  # type: ignore[arg-type]
    ("cuff that pushes", lambda: Cuff(stiffness=-1.0), ("cuff", "-1", "zero makes it rigid")),
    ("text for a socket's hold", lambda: Cuff(socket="firm"), ("'firm'", "7500")),  # type: ignore[arg-type]
    ("socket off the limb", lambda: at(socket_slip=0.5), ("500.0 mm", "come off")),
    ("text for a slip", lambda: at(socket_slip="10"), ("'10'", "mm(10)")),
    ("load of a truck", lambda: suspend(harness(), SingleControl(harness()).law, 1e5), ("100000", "Give between")),
    ("no wearer", lambda: figure_of_eight("Maren"), ("'Maren'", "Wearer.average")),  # type: ignore[arg-type]
    ("degrees for radians", lambda: at(arm_flexion=60), ("3437.75 degrees", "deg(60)")),
    ("text for an angle", lambda: at(arm_flexion="60"), ("'60'", "deg(60)")),
    ("no number for an angle", lambda: at(arm_flexion=float("nan")), ("nan", "deg(60)")),
    ("angle misspelt", lambda: at(arm_flexon=1.0), ('"arm_flexon"', "arm_flexion")),
    ("text in a sweep", lambda: SingleControl(harness()).sweep(["low"]), ("'low'", "deg(60)")),  # type: ignore[list-item]
    ("half a band", lambda: VoluntaryOpening(bands=2.5), ("2.5", "whole number")),  # type: ignore[arg-type]
    ("text for bands", lambda: VoluntaryOpening(bands="three"), ("'three'", "one number")),  # type: ignore[arg-type]
    ("hook without lever", lambda: VoluntaryOpening(lever=0.0), ("lever", "Give between")),
    ("negative friction", lambda: ControlCable(friction=-0.1), ("friction", "-0.1", "Give between")),
    ("negative bend", lambda: tension_ratio(0.1, -1.0), ("57.3 degrees", "negative")),
    ("text for a bend", lambda: tension_ratio(0.1, "90"), ("'90'", "deg(90)")),  # type: ignore[arg-type]
    ("no harness", lambda: SingleControl("harness"), ("'harness'", "figure_of_eight")),  # type: ignore[arg-type]
    ("strength of nobody", lambda: Strength(cable=5000.0), ("5000", "1000.0 N")),
    ("no system to pull", lambda: dual_pull(None, 40.0), ("None", "DualControl(")),  # type: ignore[arg-type]
    ("a pose for poses", lambda: lock_motions(above(), LOCK, Pose()), ("list of them", "[Pose(")),  # type: ignore[arg-type]
    ("text for a pose", lambda: lock_motions(above(), LOCK, ["x"]), ("'x'", "Pose(")),  # type: ignore[list-item]
    ("no motion", lambda: smallest_lock_motion(above(), LOCK, motion=None), ("lock motion", "arm_abduction")),  # type: ignore[arg-type]
    ("text for elastic", lambda: bilateral_pair(MAN, elastic="no"), ("'no'", "True or False")),  # type: ignore[arg-type]
    ("no skin", lambda: above(skin=None), ("The skin was given as None", "Skin()")),
    ("a number for straps", lambda: above(straps=1), ("straps", "given as 1", "Straps(")),
    ("a number for a cuff", lambda: harness(cuff=7500), ("The cuff was given as 7500", "Cuff()")),
    ("no lifting", lambda: lift_scene(None), ("None", "Lifting(")),  # type: ignore[arg-type]
    ("a number for a lock", lambda: lifted(lock=11), ("The lock was given as 11", "ElbowLock.evenly(11)")),
    ("text for an opening", lambda: lifted(opening="3"), ("'3'", "mm(30)")),
    ("metres for millimetres", lambda: lifted(opening=3.0), ("3000.0 mm", "Give between")),
    ("no such window", lambda: lifted(window="far"), ("'far'", '"labelled", "plain", "near"')),
    ("no such angle of a lift", lambda: lifting(99), ("99", "from 0 to 1")),
    ("half an angle of a lift", lambda: lifting(0.5), ("0.5", "whole number from 0 to 1")),
    (
        "wrong level",
        lambda: SingleControl(figure_of_eight(Wearer.average("male", level="transhumeral"))),
        ("transradial", "transhumeral"),
    ),
]


@pytest.mark.parametrize(("ask", "words"), [(a, w) for _, a, w in CASES], ids=[name for name, _, _ in CASES])
def test_a_clear_sentence(ask: Callable[[], Any], words: tuple[str, ...]) -> None:
    with pytest.raises(InputError) as caught:
        ask()
    said = str(caught.value)
    for word in words:
        assert word in said
    assert said.endswith((".", "mm(1750) for 1750 mm."))
    for jargon in ("Error", "float", "ufunc", "NoneType", "Traceback", "array", "dtype"):
        assert jargon not in said


def test_nothing_is_lost() -> None:
    """After a refused question the system answers the next one as before."""
    system = SingleControl(harness())
    before = system.at(arm_flexion=deg(30)).excursion
    with pytest.raises(InputError):
        system.at(arm_flexion=30)
    assert system.at(arm_flexion=deg(30)).excursion == before
    assert np.isfinite(before.captured)
