"""What stays in the picture, what is hidden by what, and whether the words say where the arm is."""

from __future__ import annotations

import math

import numpy as np
import pytest

from controlkit.draw import Arrow, Line, Region, Scene, wearer_scene
from controlkit.mechanics import Pose, Pull, SingleControl, Wearer, figure_of_eight
from controlkit.mechanics.body.outline import project
from controlkit.mechanics.body.places import joints
from controlkit.units import deg

WEARERS = {
    "small woman": lambda side: Wearer.at_percentile("female", 5, amputated=side),
    "average man": lambda side: Wearer.average("male", amputated=side),
    "very large man": lambda side: Wearer.at_percentile("male", 95, amputated=side),
}
BENT = Pose(arm_flexion=deg(60), elbow_flexion=deg(90))


@pytest.fixture(scope="module", params=[(who, side) for who in WEARERS for side in ("left", "right")], ids=" ".join)
def worn(request: pytest.FixtureRequest) -> tuple[SingleControl, Pull]:
    """A figure-of-eight harness on each wearer, either side, the arm raised."""
    who, side = request.param
    system = SingleControl(figure_of_eight(WEARERS[who](side)))
    return system, system.over([BENT])[0]


def _named(scene: Scene, start: str) -> list[Line]:
    return [item for item in scene.items if isinstance(item, Line) and item.name.startswith(start)]


@pytest.mark.parametrize("view", ["back", "front"])
def test_the_sound_arm_stays_in_the_window(worn: tuple[SingleControl, Pull], view: str) -> None:
    """Upper arm and forearm where the mechanics has them, and nothing cut off but what is below the window."""
    system, pull = worn
    scene = wearer_scene(pull, view, system=system)  # type: ignore[arg-type]
    frame, wearer = scene.frame, system.harness.wearer
    edge = np.vstack([line.points for line in _named(scene, "contour")])
    assert frame.left < edge[:, 0].min()
    assert edge[:, 0].max() < frame.right
    body = joints(wearer, pull.pose)
    for name in ("sound shoulder", "sound elbow"):
        ((x, y),) = project(body[name][None], view, wearer.amputated).tolist()
        assert frame.left < x < frame.right
        if y > frame.bottom:
            assert np.linalg.norm(edge - [x, y], axis=1).min() < 0.10, f"{name} is within the drawn body"
    assert edge[:, 1].min() < frame.bottom + 0.012, "the trunk leaves the window, and does not end in it"


def test_forces_on_a_hidden_ring_are_told_and_not_drawn(worn: tuple[SingleControl, Pull]) -> None:
    """From the front the ring is behind the body: an arrow there would look as if it pulled at the chest."""
    system, pull = worn
    back, front = (wearer_scene(pull, view, system=system, forces=True) for view in ("back", "front"))  # type: ignore[arg-type]
    assert [item for item in back.items if isinstance(item, Arrow)]
    assert "Arrows show the forces on the ring" in back.words
    assert not [item for item in front.items if isinstance(item, Arrow)]
    assert "the forces on the ring are not drawn" in front.words


def test_the_forearm_hides_what_lies_behind_it(worn: tuple[SingleControl, Pull]) -> None:
    """From the front, with the forearm raised before the shoulder, nothing worn behind it is drawn as seen."""
    system, pull = worn
    scene = wearer_scene(pull, "front", system=system)
    (socket,) = (item.points for item in scene.items if isinstance(item, Region) and item.name == "socket")
    left, right = socket.min(axis=0) + 0.015, socket.max(axis=0) - 0.015
    behind = 0
    for strap in pull.straps:
        for line in _named(scene, strap):
            inside = ((line.points > left) & (line.points < right)).all(axis=1)
            behind += int(inside.sum())
            hidden = np.zeros(len(line.points), dtype=bool) if line.hidden is None else line.hidden
            assert hidden[inside].all(), strap
    assert behind > 5


@pytest.mark.parametrize(
    ("angles", "said"),
    [
        ({}, "the arm hangs and the elbow is straight"),
        ({"arm_flexion": 30.0, "elbow_flexion": 90.0}, "the arm is flexed 30° and the elbow is flexed 90°"),
        ({"arm_flexion": -20.0}, "the arm is extended 20° and the elbow is straight"),
        ({"arm_abduction": 40.0}, "the arm is abducted 40°"),
        ({"arm_flexion": 45.0, "arm_abduction": 40.0}, "the arm is flexed 45° and abducted 40°"),
        ({"scapular_abduction": 10.0}, "the scapula has moved 10° forward"),
        ({"sound_scapular_abduction": 15.0}, "the scapula of the sound side has moved 15° forward"),
        ({"shoulder_elevation": -5.0}, "the shoulder has moved 5° down"),
    ],
)
def test_words_say_where_the_arm_is(angles: dict[str, float], said: str) -> None:
    """Whatever a control can move is in the words for those who do not see the picture."""
    system = SingleControl(figure_of_eight(Wearer.average("female")))
    pose = {name: math.radians(angle) for name, angle in angles.items()}
    pose.setdefault("elbow_flexion", 0.0)
    assert said in wearer_scene(system.at(**pose), "side", system=system).words


@pytest.mark.parametrize("view", ["back", "side", "front"])
def test_head_and_raised_device_stay_in_the_window(worn: tuple[SingleControl, Pull], view: str) -> None:
    """With the arm level and the forearm upright nothing is cut off at the top."""
    system, _ = worn
    pull = system.over([Pose(arm_flexion=deg(90), elbow_flexion=deg(90))])[0]
    scene = wearer_scene(pull, view, system=system)  # type: ignore[arg-type]
    tops: dict[str, float] = {}
    for item in scene.items:
        if isinstance(item, (Line, Region)):
            tops[item.name] = max(tops.get(item.name, -1.0), float(item.points[:, 1].max()))
    assert {"contour", "socket", "wrist unit", "moving finger"} <= set(tops), tops.keys()
    assert max(tops.values()) < scene.frame.top
