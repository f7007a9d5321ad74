"""Wearers amputated above the elbow, drawn: every part named, words on no strap, left as right, no arm of flesh."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest

from controlkit.draw import Arrow, Label, Line, Region, Scene, force_polygon_scene, legend, render_svg, wearer_scene
from controlkit.draw.page.labels import boxes
from controlkit.draw.page.scene import Ribbon
from controlkit.draw.page.style import LOCK_STRAP, STRAP_STYLES, STYLES
from controlkit.draw.wearer.above_elbow import above_elbow
from controlkit.draw.wearer.lifting import elbow_plane
from controlkit.draw.wearer.worn import look
from controlkit.mechanics import DualControl, DualPull, Wearer, above_elbow_eight, dual_pull
from controlkit.mechanics.chain.dual import SHOULDER_DOWN, lock_motion
from controlkit.mechanics.elbow import ElbowLock, LiftLine
from controlkit.units import InputError, deg, mm, show

VIEWS = ("back", "side", "front", 0.8, 2.2)
ELBOWS = (10.0, 90.0, 135.0)
PARTS = (
    "humeral socket",
    "base plate",
    "turntable",
    "elbow unit",
    "forearm shell",
    "wrist unit",
    "first housing",
    "second housing",
    "lift loop",
    "lateral suspensor",
    "anterior support strap",
    "elastic",
    "figure-of-eight harness above the elbow",
)

Worn = tuple[DualControl, tuple[DualPull, ...]]


def _system(side: str, sex: str = "female", percentile: float = 5) -> DualControl:
    wearer = Wearer.at_percentile(sex, percentile, of="mass", amputated=side, level="transhumeral")
    return DualControl(harness=above_elbow_eight(wearer))


def _pulls(system: DualControl) -> tuple[DualPull, ...]:
    """Locked at three elbow angles, the arm flexed by 30 degrees, and the device opened as far as that does."""
    opened = system.open_locked(deg(1) * np.array(ELBOWS), arm_flexion=deg(30))
    return tuple(
        dual_pull(
            system,
            float(force),
            opening=float(opening),
            locked=at != ELBOWS[0],
            arm_flexion=deg(30) if at != ELBOWS[0] else 0.0,
            elbow_flexion=deg(at),
        )
        for at, force, opening in zip(ELBOWS, opened.harness_force, opened.opening, strict=True)
    )


@pytest.fixture(scope="module", params=[("left", "female", 5), ("right", "male", 99)], ids=["small woman", "large man"])
def worn(request: pytest.FixtureRequest) -> Worn:
    """A small woman, left, and a very large man, right."""
    system = _system(*request.param)
    return system, _pulls(system)


def _scenes(worn: Worn, **asked: bool) -> list[Scene]:
    system, pulls = worn
    return [wearer_scene(pull, view, system=system, **asked) for pull in pulls for view in VIEWS]  # type: ignore[arg-type]


def _straps(scene: Scene) -> np.ndarray:
    """Points all over the straps that can be seen."""
    found = [np.empty((0, 2))]
    for item in scene.items:
        if isinstance(item, Ribbon) and item.name in STRAP_STYLES:
            seen = np.ones(len(item.points), dtype=bool) if item.hidden is None else ~item.hidden
            found += [(item.points + share * item.across)[seen] for share in np.linspace(-1.0, 1.0, 7)]
    return np.vstack(found)


@pytest.mark.parametrize("forces", [False, True])
def test_words_lie_on_no_strap_and_on_no_other_words(worn: Worn, forces: bool) -> None:
    for scene in _scenes(worn, forces=forces):
        straps = _straps(scene)
        assert len(straps) > 100
        rooms = boxes([item for item in scene.items if isinstance(item, Label)], scene.frame)
        for left, low, right, high in rooms:
            x, y = straps.T
            assert not ((x > left) & (x < right) & (y > low) & (y < high)).any(), scene.title
            assert low > scene.frame.bottom
            assert high < scene.frame.top + 0.5 * scene.frame.text, scene.title
        for a, b in combinations(rooms, 2):
            assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1], scene.title


def test_every_part_is_named_in_words(worn: Worn) -> None:
    for scene in _scenes(worn):
        assert not [part for part in PARTS if part not in scene.words]
        for label in (item for item in scene.items if isinstance(item, Label) and item.target is not None):
            said = " ".join(label.lines).replace(" unlocked", "").replace(" locked", "")
            assert said in (*PARTS, "C7", "ring", "end of the housing", *STRAP_STYLES), said


def test_how_the_lock_stands_is_said_beside_the_elbow_and_in_words(worn: Worn) -> None:
    system, pulls = worn
    for pull in pulls:
        scene = wearer_scene(pull, "side", system=system)
        state = "locked" if pull.locked else "unlocked"
        assert f"an elbow unit ({state})" in scene.words
        assert ("elbow unit", state) in [item.lines for item in scene.items if isinstance(item, Label)]


def test_there_is_no_arm_of_flesh_below_the_socket_and_nothing_of_a_forearm_cuff(worn: Worn) -> None:
    for scene in _scenes(worn):
        names = {getattr(item, "name", "") for item in scene.items}
        assert not names & {"triceps pad", "band of the pad", "hinge", "socket", "far side of the socket"}
        assert {"housing", "bare cable across the elbow", "second housing"} <= names
        assert "humeral socket" in names


def test_the_lateral_suspensor_has_a_style_a_seam_and_a_name_of_its_own(worn: Worn) -> None:
    style = STYLES[STRAP_STYLES["lateral suspensor"]]
    for other in ("anterior support strap", "control attachment strap", "axilla loop"):
        assert style.seam != STYLES[STRAP_STYLES[other]].seam
        assert style.tint != STYLES[STRAP_STYLES[other]].tint
    back = _scenes(worn)[0]
    assert ("lateral", "suspensor") in [item.lines for item in back.items if isinstance(item, Label)]


def test_forces_and_loads_are_drawn_as_below_the_elbow() -> None:
    """A socket dragged down: the suspensor pulls on the ring, beside the wearer and in the polygon."""
    system = _system("right")
    pull = dual_pull(system, 20.0, socket_slip=mm(10))
    assert pull.strap_tension["lateral suspensor"] > 5.0
    scene, polygon = wearer_scene(pull, "back", system=system, forces=True, loads=True), force_polygon_scene(pull)
    said = show(pull.strap_tension["lateral suspensor"], "force", "both", 0)
    assert ("lateral", "suspensor", said) in [item.lines for item in scene.items if isinstance(item, Label)]
    for picture in (scene, polygon):
        arrows = {item.name for item in picture.items if isinstance(item, Arrow)}
        assert "lateral suspensor on the ring" in arrows
        assert "lateral suspensor" in picture.words
        assert render_svg(picture)
    assert [item for item in scene.items if getattr(item, "name", "") == "load of the lateral suspensor"]
    assert [key.seam for key in legend(scene) if key.name == "lateral suspensor"] == [(10.0, 3.0, 1.5, 3.0)]


def test_the_elastic_part_of_the_front_strap_is_ribbed(worn: Worn) -> None:
    system, pulls = worn
    scenes = [wearer_scene(pulls[0], view, system=system) for view in VIEWS]
    ribs = [sum(isinstance(item, Line) and item.name == "elastic webbing" for item in scene.items) for scene in scenes]
    assert max(ribs) >= 6


def test_the_same_picture_has_the_same_bytes(worn: Worn) -> None:
    system, pulls = worn
    first = render_svg(wearer_scene(pulls[1], "side", system=system))
    above_elbow.cache_clear()
    look(system, pulls[0], "back")
    assert render_svg(wearer_scene(pulls[1], "side", system=system)) == first


def test_left_and_right_are_mirror_images() -> None:
    right, left = (_system(side) for side in ("right", "left"))
    ours, theirs = (wearer_scene(_pulls(system)[1], "back", system=system) for system in (right, left))
    compared = 0
    names = ("humeral socket", "turntable", "elbow unit", "forearm shell", "housing", "second housing", "crossbar")
    for name in (*right.harness.layout.straps, "bare cable across the elbow", *names):
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
    assert compared >= 10


@pytest.mark.parametrize("side", ["left", "right"])
@pytest.mark.parametrize("bent", [0.0, 40.0, 110.0])
def test_the_gap_is_drawn_where_the_mechanics_has_it(side: str, bent: float) -> None:
    """As long as the line says, its ends as far from the axis; seen in the plane in which the elbow bends."""
    system = _system(side, "male", 50)
    for line in (LiftLine(), LiftLine(loop_along=0.06, loop_ahead=0.015, end_above=0.10, end_ahead=-0.02)):
        moved = DualControl(harness=system.harness, line=line)
        seen, axis = elbow_plane(moved, arm_flexion=deg(35), elbow_flexion=deg(bent))
        (cable,) = (
            item.points for item in seen.over if isinstance(item, Line) and item.name == "bare cable across the elbow"
        )
        assert np.hypot(*(cable[-1] - cable[0])) == pytest.approx(float(line.length(deg(bent))), abs=2e-4)
        ends = [np.hypot(*(end - axis)) for end in (cable[0], cable[-1])]
        assert ends[0] == pytest.approx(np.hypot(line.end_above, line.end_ahead), abs=2e-4)
        assert ends[1] == pytest.approx(np.hypot(line.loop_along, line.loop_ahead), abs=2e-4)


def test_the_strap_of_the_lock_is_drawn_where_it_was_computed() -> None:
    """From the front support strap at the deltopectoral interval to the lock's cable, and only where asked for."""
    wearer = Wearer.average("female", level="transhumeral")
    system = DualControl(harness=above_elbow_eight(wearer, support_strap=0.016))
    pull, lock = (
        dual_pull(system, 5.0, **SHOULDER_DOWN),
        lock_motion(system.harness, ElbowLock.evenly(11), **SHOULDER_DOWN),
    )
    plain, drawn = (wearer_scene(pull, "front", system=system, lock=one) for one in (None, lock))
    assert LOCK_STRAP not in plain.words
    assert LOCK_STRAP in drawn.words
    assert "deltopectoral" in drawn.words
    (strap,) = (item for item in drawn.items if isinstance(item, Ribbon) and item.name == LOCK_STRAP)
    ends = look(system, pull, "front", lock=lock).sight.flat(np.stack([lock.anchor, lock.way[-1]]))
    assert np.allclose(strap.points[[0, -1]], ends, atol=1e-6)
    (cable,) = (item for item in drawn.items if isinstance(item, Line) and item.name == "cable of the lock")
    assert np.allclose(cable.points[0], strap.points[-1], atol=1e-6)
    assert ("elbow-lock", "control strap") in [item.lines for item in drawn.items if isinstance(item, Label)]
    with pytest.raises(InputError, match="another pose"):
        wearer_scene(dual_pull(system, 5.0), "front", system=system, lock=lock)
