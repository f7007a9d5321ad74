"""Every pattern drawn on small and large wearers, from every side."""

from __future__ import annotations

import re
from itertools import combinations

import numpy as np
import pytest

from controlkit.draw import Dot, Label, Line, Region, Scene, render_svg, wearer_scene
from controlkit.draw.page.scene import Ribbon
from controlkit.mechanics import Pull, SingleControl, Wearer, chest_strap, figure_of_eight, figure_of_nine
from controlkit.mechanics.body.places import on_skin
from controlkit.mechanics.body.pose import Pose
from controlkit.mechanics.body.remembered import stand
from controlkit.mechanics.surface import Field
from controlkit.units import deg, show
from tests.written import unpacked

VIEWS = ("back", "side", "front")
PATTERNS = {
    "ring": lambda wearer: figure_of_eight(wearer),
    "sewn": lambda wearer: figure_of_eight(wearer, crossing="sewn"),
    "no fork": lambda wearer: figure_of_eight(wearer, fork=False),
    "cross-back": lambda wearer: figure_of_eight(wearer, cross_back=0.0),
    "nine": lambda wearer: figure_of_nine(wearer),
    "chest": lambda wearer: chest_strap(wearer),
}
MEETING = {
    "ring": "ring",
    "sewn": "sewn cross-point",
    "no fork": "ring",
    "cross-back": "ring",
    "nine": "ring",
    "chest": "sewn branch",
}
WEARERS = {
    "small woman": lambda side: Wearer.at_percentile("female", 5, of="mass", amputated=side),
    "large man": lambda side: Wearer.at_percentile("male", 99, of="mass", amputated=side),
}
BODY = ("contour", "fold", "scapula", "clavicle", "spine", "waistband")
POSES = (Pose(), Pose(arm_flexion=deg(60)), Pose(arm_flexion=deg(90)))

Worn = tuple[str, SingleControl, tuple[Pull, ...]]


@pytest.fixture(scope="module", params=[(p, w) for p in PATTERNS for w in WEARERS], ids=" on a ".join)
def worn(request: pytest.FixtureRequest) -> Worn:
    """Each pattern on both wearers, right arm amputated, arm hanging, at 60 and at 90 degrees."""
    pattern, who = request.param
    system = SingleControl(PATTERNS[pattern](WEARERS[who]("right")))
    return pattern, system, system.over(POSES)


def _scenes(worn: Worn, **asked: bool) -> list[Scene]:
    _, system, pulls = worn
    return [wearer_scene(pull, view, system=system, **asked) for pull in pulls for view in VIEWS]  # type: ignore[arg-type]


@pytest.mark.parametrize("view", VIEWS)
def test_a_wearer_has_one_body_whatever_is_worn(view: str) -> None:
    """Outline, folds, landmarks and window of an average man, point by point."""
    bodies = []
    for put_on in PATTERNS.values():
        system = SingleControl(put_on(Wearer.average("male")))
        scene = wearer_scene(system.at(arm_flexion=deg(60), elbow_flexion=deg(30)), view, system=system, plain=True)  # type: ignore[arg-type]
        own = [item for item in scene.items if isinstance(item, Line | Region) and item.name in BODY]
        bodies.append((scene.frame, [(item.name, item.points.tolist()) for item in own]))
    assert len(bodies[0][1]) > 5
    assert all(body == bodies[0] for body in bodies)


def _texts(scene: Scene) -> set[str]:
    return {" ".join(item.lines) for item in scene.items if isinstance(item, Label)}


def test_no_two_labels_touch_and_none_leaves_the_window(worn: Worn) -> None:
    """With the forces in the labels they are at their longest."""
    for scene in [*_scenes(worn), *_scenes(worn, forces=True)]:
        boxes = []
        for label in (item for item in scene.items if isinstance(item, Label)):
            wide = max(map(len, label.lines)) * scene.frame.text * 0.5
            tall = len(label.lines) * scene.frame.text * 1.12
            left = {"start": label.at[0], "end": label.at[0] - wide}.get(label.anchor, label.at[0] - wide / 2)
            boxes.append((left, label.at[1] - tall / 2, left + wide, label.at[1] + tall / 2))
        for a, b in combinations(boxes, 2):
            assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1], (scene.title, _texts(scene))
        for left, low, right, high in boxes:
            assert scene.frame.left <= left
            assert right <= scene.frame.right
            assert scene.frame.bottom <= low
            assert high <= scene.frame.top


def test_words_and_labels_name_what_is_worn_and_nothing_else(worn: Worn) -> None:
    """No ring is told of or drawn where straps are sewn, and each strap that is drawn is one of the result."""
    pattern, _, pulls = worn
    for scene, pull in zip(_scenes(worn, forces=True), np.repeat(np.array(pulls, dtype=object), 3), strict=True):
        assert f"The {MEETING[pattern]} has moved {show(pull.ring_travel, 'length')}" in scene.words
        assert f"the forces on the {MEETING[pattern]}" in scene.words
        said = " ".join([scene.words, *_texts(scene)])
        if MEETING[pattern] != "ring":
            assert not {"ring", "ring."} & set(said.replace(";", "").replace(",", "").split())
        assert ("axilla loop" in said) == (pattern != "chest")
        assert ("anterior support strap" in said) == (pattern not in ("nine", "chest"))
        lines = {item.name for item in scene.items if isinstance(item, Line)}
        assert set(pull.straps) <= lines
    back = _scenes(worn)[0]
    shapes = {item.name for item in back.items if isinstance(item, (Dot, Region))}
    assert ("ring" in shapes) == (MEETING[pattern] == "ring")
    assert ("sewn patch" in shapes) == (MEETING[pattern] != "ring")
    assert ("saddle" in shapes) == (pattern == "chest")
    front = {item.name for item in _scenes(worn)[2].items if isinstance(item, Region)}
    assert ("band of the pad" in front) == (pattern != "nine")


def _inks(scene: Scene, name: str) -> set[str]:
    """The colours in which one strap is drawn."""
    lines = tuple(item for item in scene.items if isinstance(item, Line) and item.name == name)
    drawn = render_svg(Scene(scene.title, scene.words, scene.frame, lines))
    return set(re.findall(r'stroke="(#[0-9a-f]{6})"', drawn))


def _job(name: str) -> str:
    """What a strap is there for: to pull, to hold on to the sound side, or to hold the socket up."""
    return {
        "control attachment strap": "pulls",
        "axilla loop": "holds on",
        "chest strap": "holds on",
        "cross-back strap": "holds on",
    }.get(name, "bears")


def test_straps_that_do_different_jobs_have_different_colours(worn: Worn) -> None:
    """Seen or dashed, edge and middle; those that do one job share them."""
    _, _, pulls = worn
    for scene in _scenes(worn):
        inks = {name: _inks(scene, name) for name in pulls[0].straps}
        assert {_job(name) for name in inks} >= {"pulls", "holds on"}
        for one, other in combinations(inks, 2):
            assert bool(inks[one] & inks[other]) == (_job(one) == _job(other)), (scene.title, one, other)


def test_straps_without_pull_are_said_to_be_snug_or_slack(worn: Worn) -> None:
    """With the arm hanging no strap pulls; the control strap does once the arm is raised."""
    scenes = _scenes(worn)
    assert "No strap bears a pull" in scenes[0].words
    assert "No strap bears a pull" not in scenes[3].words
    said = [part.split(".")[0] for part in scenes[3].words.split("Without pull")[1:]]
    assert not [part for part in said if "control attachment strap" in part]


@pytest.mark.parametrize("pattern", PATTERNS)
def test_left_and_right_are_mirror_images_from_behind(pattern: str) -> None:
    """Every shape and line, pads and patches too."""
    right, left = (SingleControl(PATTERNS[pattern](WEARERS["small woman"](side))) for side in ("right", "left"))
    ours, theirs = (
        wearer_scene(system.at(arm_flexion=deg(60)), "back", system=system, loads=True) for system in (right, left)
    )
    compared = 0
    for name in (*right.harness.layout.straps, "triceps pad", "saddle", "crossbar", "socket", "hinge", "housing"):
        one, other = (
            [item.points for item in scene.items if isinstance(item, (Line, Region)) and item.name == name]
            for scene in (ours, theirs)
        )
        assert len(one) == len(other), name
        if one:
            mirrored, points = np.vstack(one) * [-1, 1], np.vstack(other)
            extent = mirrored.min(axis=0), mirrored.max(axis=0)
            assert np.allclose(extent, (points.min(axis=0), points.max(axis=0)), atol=1e-6), name
            compared += 1
    assert compared >= 7


def test_bands_are_as_wide_as_the_load_and_words_carry_the_caution(worn: Worn) -> None:
    """Nothing at rest; under load the band's width follows the line load, and no value is called safe."""
    _, system, pulls = worn
    rest, loaded = (wearer_scene(pull, "back", system=system, loads=True) for pull in pulls[:2])
    assert not [item for item in rest.items if getattr(item, "style", "") == "load"]
    bands = [item for item in loaded.items if isinstance(item, Region) and item.style == "load"]
    assert len(bands) >= 2
    widest: dict[str, list[float]] = {}
    for band in bands:
        one, other = np.split(band.points, [len(band.points) // 2])
        widest.setdefault(band.name, []).append(float(np.linalg.norm(one - other[::-1], axis=1).max()))
    assert max(max(wide) for wide in widest.values()) == pytest.approx(0.016, rel=1e-3)
    for name, wide in widest.items():
        assert wide[::2] == pytest.approx(wide[1::2]), f"{name}: as wide on either side of the strap"
        (strap,) = (
            item for item in loaded.items if isinstance(item, Ribbon) and item.name == name[len("load of the ") :]
        )
        for band in (item for item in bands if item.name == name):
            inner = np.split(band.points, 2)[0]
            near = np.linalg.norm(strap.points - inner[len(inner) // 2], axis=1).min()
            assert near > 0.002, f"{name}: beside the strap, and not on it"
    most = max(load.worst for load in pulls[1].strap_load.values())
    assert show(most, "line load") in loaded.words
    assert "no value here is safe" in loaded.words
    assert "means stop" in loaded.words


def test_sewn_patch_turns_with_its_straps() -> None:
    """One of its edges runs along the control attachment strap, as that leaves it."""
    system = SingleControl(PATTERNS["sewn"](WEARERS["large man"]("right")))
    pull = system.at(arm_flexion=deg(60))
    scene = wearer_scene(pull, "back", system=system)
    patch = next(item.points for item in scene.items if isinstance(item, Region) and item.name == "sewn patch")
    way = (pull.straps["control attachment strap"][0] - pull.ring)[[2, 1]]
    edge = patch[0] - patch[3]
    assert abs(edge[0] * way[1] - edge[1] * way[0]) < 0.15 * np.linalg.norm(edge) * np.linalg.norm(way)


def test_points_laid_on_the_skin_are_on_it() -> None:
    """On either side, to a hundredth of a millimetre, and no further from where they were than they had to be."""
    near = np.array([[-0.15, -0.1, 0.02], [-0.12, -0.2, -0.05], [0.02, 0.05, 0.16]])
    for side, sign in (("left", -1.0), ("right", 1.0)):
        wearer = WEARERS["small woman"](side)
        skin = on_skin(wearer, Pose(), near)
        surface = Field(stand(wearer, Pose()).surface, np.zeros(1, dtype=np.intp))
        value = surface.value(np.ascontiguousarray((skin * [1.0, 1.0, sign]).T))
        assert np.abs(value).max() < 1e-5
        assert np.linalg.norm(skin - near, axis=1).max() < 0.08


def test_every_picture_is_small_enough_to_travel(worn: Worn) -> None:
    """Also with forces and loads."""
    for scene in _scenes(worn, forces=True, loads=True):
        text = render_svg(scene)
        assert len(text) < 72_000
        assert "nan" not in unpacked(text)


@pytest.mark.parametrize("mass", [None, 110.0])
def test_a_strap_at_the_diaphragm_is_seen_below_a_woman_s_breasts(mass: float | None) -> None:
    """From the front nothing that the figure adds to the mechanics' chest covers it, slight or heavy."""
    slight = Wearer.at_percentile("female", 5)
    wearer = slight if mass is None else Wearer.measured("female", stature=1.75, mass=mass)
    system = SingleControl(chest_strap(wearer))
    (strap,) = (
        item
        for item in wearer_scene(system.at(arm_flexion=deg(30)), "front", system=system, plain=True).items
        if isinstance(item, Ribbon) and item.name == "chest strap"
    )
    laid = len(strap.points) // 2 + 1  # from its end below the saddle to under the sound arm
    assert strap.hidden is not None
    assert not strap.hidden[1 : laid - 3].any()


@pytest.mark.parametrize("who", ["average woman", "heavy woman", "average man"])
def test_pieces_of_a_chest_strap_hang_together_from_the_front(who: str) -> None:
    """The saddle's front strap is one piece over the bust, and ends below the seam at the end of the chest strap."""
    wearers = {
        "average woman": Wearer.average("female"),
        "heavy woman": Wearer.measured("female", stature=1.75, mass=110.0),
        "average man": Wearer.average("male"),
    }
    system = SingleControl(chest_strap(wearers[who]))
    front, side = (
        wearer_scene(system.at(elbow_flexion=deg(90)), view, system=system, plain=True) for view in (deg(190), "side")
    )  # type: ignore[arg-type]

    def shapes(scene: Scene, name: str) -> list[np.ndarray]:
        return [item.points for item in scene.items if isinstance(item, Region) and item.name == name]

    (strap,), (seam,), saddle = (
        shapes(front, name) for name in ("front strap of the saddle", "sewn end of the chest strap", "saddle")
    )
    assert strap[:, 1].max() > min(points[:, 1].min() for points in saddle) - 0.01
    low = strap[strap[:, 1] < strap[:, 1].min() + 0.01]
    assert low[:, 0].min() > seam[:, 0].min() - 0.008
    assert low[:, 0].max() < seam[:, 0].max() + 0.008
    assert seam[:, 1].min() < strap[:, 1].min() < seam[:, 1].max()
    assert shapes(side, "sewn end of the saddle strap")
