"""The drawn device: as far open as computed, its lever moved the right way by the cable, its parts all there."""

from __future__ import annotations

import numpy as np
import pytest

from controlkit.draw import device_scene, render_svg
from controlkit.draw.device.mount import Mount
from controlkit.draw.device.terminal import cable_end, terminal_device
from controlkit.draw.page.labels import boxes, dense
from controlkit.draw.page.scene import Label, Region
from controlkit.draw.page.solids import (
    Cord,
    Drum,
    Lump,
    Plate,
    Solid,
    Tube,
    Viewpoint,
    depth,
    eye_of,
    far_to_near,
    seen,
)
from controlkit.draw.words.pull import Units
from controlkit.mechanics.device import (
    Device,
    VoluntaryOpening,
    hand_closing,
    hand_opening,
    hold,
    hook_closing,
    hook_opening,
)
from controlkit.units import mm

MOUNT = Mount(np.array([0.3, -0.2, 0.1]), np.array([0.0, 0.6, 0.8]), np.array([1.0, 0.0, 0.0]), 0.160)
KINDS = [
    pytest.param(hook_opening(3), False, id="opening hook"),
    pytest.param(hook_closing(), False, id="closing hook"),
    pytest.param(hand_opening(), True, id="opening hand"),
    pytest.param(hand_closing(), True, id="closing hand"),
    pytest.param(VoluntaryOpening(finger=0.120, lever=0.030), False, id="long fingers, short thumb"),
]


def _one(solids: tuple[Solid, ...], name: str) -> Tube:
    found = [solid for solid in solids if solid.name == name and isinstance(solid, Tube) and len(solid.points) > 3]
    return max(found, key=lambda solid: len(solid.points))


def _faces(solids: tuple[Solid, ...], hand: bool) -> tuple[np.ndarray, np.ndarray]:
    """Inner faces of both fingertips: from the end of each middle line towards the other by its radius."""
    ends = []
    for name in ("thumb", "index finger") if hand else ("fixed finger", "moving finger"):
        finger = _one(solids, name)
        points = np.array([[p @ MOUNT.ahead, p @ MOUNT.side] for p in finger.points - MOUNT.wrist])
        ends.append((points[-1], points[-1] - points[-2], float(np.broadcast_to(finger.radius, len(points))[-1])))
    faces = []
    for (tip, ahead, radius), (other, _, _) in ((ends[0], ends[1]), (ends[1], ends[0])):
        inward = np.array([-ahead[1], ahead[0]]) / np.hypot(*ahead)
        faces.append(tip + radius * inward * (1.0 if inward @ (other - tip) > 0.0 else -1.0))
    return faces[0], faces[1]


@pytest.mark.parametrize("share", [0.15, 0.5, 1.0])
@pytest.mark.parametrize(("device", "hand"), [kind for kind in KINDS if not kind.values[1]])
def test_a_hook_is_drawn_as_far_open_as_the_mechanics_says(device: Device, hand: bool, share: float) -> None:
    opening = share * device.full_opening
    one, other = _faces(terminal_device(device, MOUNT, opening, hand=hand), hand)
    assert np.hypot(*(one - other)) == pytest.approx(opening, abs=mm(0.6))  # the finger's last step is a chord


@pytest.mark.parametrize(("device", "hand"), KINDS)
def test_fingertips_go_apart_as_the_opening_grows(device: Device, hand: bool) -> None:
    gaps = []
    for share in (0.0, 0.3, 0.6, 1.0):
        solids = terminal_device(device, MOUNT, share * device.full_opening, hand=hand)
        names = ("thumb", "index finger") if hand else ("fixed finger", "moving finger")
        ends = [_one(solids, name).points[-1] for name in names]
        gaps.append(float(np.linalg.norm(ends[0] - ends[1])) - share * device.full_opening)
    rest = gaps[0]  # the radii of both tips, and how far apart they lie along the pivot
    assert all(abs(gap - rest) < mm(6.0) for gap in gaps)
    assert 0.0 < rest < mm(25.0)


@pytest.mark.parametrize(("device", "hand"), KINDS)
def test_the_cable_draws_the_lever_back_while_it_does_its_work(device: Device, hand: bool) -> None:
    before, after = (0.1, 0.9) if device.opens else (0.9, 0.1)
    ends = [cable_end(device, MOUNT, share * device.full_opening, hand=hand) for share in (before, after)]
    assert (ends[1] - ends[0]) @ MOUNT.ahead < -0.5 * device.lever * device.widest * 0.8
    assert all(end @ MOUNT.side > MOUNT.wrist @ MOUNT.side for end in ends)  # on the side where the cable comes from


@pytest.mark.parametrize(("device", "hand"), KINDS)
def test_the_lever_turns_with_the_moving_finger(device: Device, hand: bool) -> None:
    """Both turn about one pivot by one angle, in the same sense."""
    name = ("index finger" if device.opens else "thumb") if hand else "moving finger"
    pivot = MOUNT.reach - device.finger

    def angles(opening: float) -> tuple[float, float]:
        solids = terminal_device(device, MOUNT, opening, hand=hand)
        places = []
        for point in (_one(solids, name).points[-1], cable_end(device, MOUNT, opening, hand=hand)):
            off = point - MOUNT.wrist
            ahead = 0.108 if hand else pivot
            places.append(float(np.arctan2(off @ MOUNT.side, off @ MOUNT.ahead - ahead)))
        return places[0], places[1]

    shut, wide = angles(0.0), angles(0.7 * device.full_opening)
    turned = wide[0] - shut[0], wide[1] - shut[1]
    assert turned[0] == pytest.approx(turned[1], abs=0.02)
    assert (turned[0] > 0.2) if device.opens else (turned[0] < -0.2)


@pytest.mark.parametrize("bands", [1, 3, 7, 12])
def test_as_many_bands_are_drawn_as_the_hook_has(bands: int) -> None:
    hook = hook_opening(bands)
    solids = terminal_device(hook, MOUNT, 0.03)
    assert len({solid.name for solid in solids if solid.name.startswith("band")}) == bands
    scene = device_scene(hook, hold(hook, 0.0, 0.0), 0.0, 0.0)
    shown = {item.name for item in scene.items if isinstance(item, Region) and item.name.startswith("band")}
    assert len(shown) == bands
    assert any(label.lines == (f"{bands} band{'s' if bands > 1 else ''}",) for label in _labels(scene.items))


def _labels(items: tuple[object, ...]) -> list[Label]:
    return [item for item in items if isinstance(item, Label)]


@pytest.mark.parametrize("name", ["wrist unit", "stud", "body", "pivot", "operating lever", "cable end"])
def test_a_hook_has_the_parts_that_a_fitter_looks_for(name: str) -> None:
    for azimuth in np.linspace(0.0, 2.0 * np.pi, 7):
        drawn = far_to_near(terminal_device(hook_opening(), MOUNT, 0.02), eye_of(float(azimuth), "right"))
        assert name in {item.name for item in drawn if isinstance(item, Region)}


@pytest.mark.parametrize(("device", "hand"), KINDS)
def test_left_is_right_mirrored(device: Device, hand: bool) -> None:
    flip = np.array([1.0, 1.0, -1.0])
    other = Mount(MOUNT.wrist * flip, MOUNT.ahead * flip, MOUNT.side * flip, MOUNT.reach, arm="left")
    pairs = zip(*(terminal_device(device, mount, 0.03, hand=hand) for mount in (MOUNT, other)), strict=True)
    for right, left in pairs:
        assert right.name == left.name
        assert np.allclose(right.points * flip, left.points, atol=1e-12)


def test_the_same_setting_gives_the_same_text() -> None:
    hook = hook_opening(4)
    texts = {render_svg(device_scene(hook, hold(hook, mm(30), 12.0), mm(30), 12.0)) for _ in range(2)}
    assert len(texts) == 1


# ---------------------------------------------------------------- solids

FRONT = Viewpoint(np.array([1.0, 0.0, 0.0]), np.array([0.0, 1.0, 0.0]), np.array([0.0, 0.0, 1.0]))


def test_the_nearer_of_two_things_is_drawn_later() -> None:
    balls = [Tube(np.array([[0.0, 0.0, z]]), 0.01, "metal", f"{z}") for z in (0.3, 0.1, 0.2)]
    assert [item.name for item in far_to_near(balls, FRONT)] == ["0.1", "0.2", "0.3"]  # type: ignore[union-attr]
    behind = Viewpoint(-FRONT.right, FRONT.up, -FRONT.towards)
    assert [item.name for item in far_to_near(balls, behind)] == ["0.3", "0.2", "0.1"]  # type: ignore[union-attr]
    assert depth(balls[0], behind) == pytest.approx(-0.3)


@pytest.mark.parametrize("angle", [0.0, 0.4, 1.0, 1.5])
def test_a_tube_is_as_wide_as_its_radius_from_any_side(angle: float) -> None:
    eye = Viewpoint(
        np.array([np.cos(angle), 0.0, -np.sin(angle)]), FRONT.up, np.array([np.sin(angle), 0.0, np.cos(angle)])
    )
    bar = Tube(np.linspace([-0.1, 0.0, 0.0], [0.1, 0.0, 0.0], 9), 0.02, "metal", "bar")
    edge = np.vstack([item.points for item in seen(bar, eye) if isinstance(item, Region)])
    assert np.ptp(edge[:, 1]) == pytest.approx(0.04, rel=0.01)
    assert np.ptp(edge[:, 0]) == pytest.approx(0.2 * np.cos(angle) + 0.04, rel=0.03)


def test_a_drum_seen_from_its_end_is_a_disc_and_from_its_side_a_rectangle() -> None:
    drum = Drum(np.array([[0.0, 0.0, -0.1], [0.0, 0.0, 0.1]]), 0.03, "metal", "drum")
    end = seen(drum, FRONT)[0]
    side = seen(drum, Viewpoint(np.array([0.0, 0.0, 1.0]), FRONT.up, np.array([-1.0, 0.0, 0.0])))
    assert isinstance(end, Region)
    assert np.hypot(*end.points.T) == pytest.approx(0.03, rel=0.01)
    assert len(side) == 1  # no end is seen
    assert np.ptp(side[0].points, axis=0) == pytest.approx([0.2, 0.06], rel=0.01)  # type: ignore[union-attr]


def test_a_lump_encloses_its_balls_and_no_more() -> None:
    lump = Lump(np.array([[0.0, 0.0, 0.0], [0.1, 0.0, 0.0]]), np.array([0.02, 0.01]), "metal", "lump")
    edge = seen(lump, FRONT)[0].points  # type: ignore[union-attr]
    assert edge.min(axis=0) == pytest.approx([-0.02, -0.02], rel=0.01)
    assert edge.max(axis=0) == pytest.approx([0.11, 0.02], rel=0.01)


def test_a_plate_shows_the_narrow_sides_that_face_the_viewer() -> None:
    square = np.array([[0.0, 0.0, 0.0], [0.1, 0.0, 0.0], [0.1, 0.1, 0.0], [0.0, 0.1, 0.0]])
    plate = Plate(square, "plate", "plate", thick=np.array([0.0, 0.0, 0.02]), side="hanger")
    assert [item.style for item in seen(plate, FRONT)] == ["plate"]  # type: ignore[union-attr]
    turned = Viewpoint(np.array([0.8, 0.0, -0.6]), FRONT.up, np.array([0.6, 0.0, 0.8]))
    side, face = seen(plate, turned)
    assert (side.style, face.style) == ("hanger", "plate")  # type: ignore[union-attr]
    assert side.points[:, 0].max() > face.points[:, 0].max() - 1e-9  # type: ignore[union-attr]


def test_a_cord_is_a_line() -> None:
    assert seen(Cord(np.zeros((2, 3)), "cable", "cable"), FRONT)[0].name == "cable"  # type: ignore[union-attr]


@pytest.mark.parametrize(("device", "hand"), KINDS[:4])
@pytest.mark.parametrize("width", [0.0, 0.03, 0.06])
@pytest.mark.parametrize("units", ["metric", "both"])
def test_no_words_lie_on_the_device(device: Device, hand: bool, width: float, units: Units) -> None:
    for pull in (0.0, 30.0, 120.0):
        scene = device_scene(device, hold(device, width, pull), width, pull, hand=hand, units=units)
        drawn = [item.points for item in scene.items if isinstance(item, Region)]
        for room in boxes(_labels(scene.items), scene.frame):
            assert room[0] >= scene.frame.left
            assert room[2] <= scene.frame.right
            points = dense([np.vstack([edge, edge[:1]]) for edge in drawn], 0.003)
            x, y = points.T
            assert not ((x > room[0]) & (x < room[2]) & (y > room[1]) & (y < room[3])).any()
