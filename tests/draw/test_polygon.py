"""Forces on the ring tip to tail, against the forces of the result."""

from __future__ import annotations

from itertools import combinations, pairwise

import numpy as np
import pytest

from controlkit.draw import Arrow, Label, Line, Scene, force_polygon_scene, render_svg
from controlkit.draw.page.labels import boxes, dense
from controlkit.draw.page.style import STYLES
from controlkit.draw.wearer.polygon import LEAST_FORCE
from controlkit.draw.words.pull import forces_on_ring
from controlkit.mechanics import Pose, Pull, SingleControl, Wearer, figure_of_eight, figure_of_nine
from controlkit.mechanics.harness.layout import CONTROL_STRAP
from controlkit.units import deg, show

PATTERNS = {
    "ring": lambda wearer: figure_of_eight(wearer),
    "cross-back": lambda wearer: figure_of_eight(wearer, cross_back=0.0),
    "sewn": lambda wearer: figure_of_eight(wearer, crossing="sewn"),
    "nine": lambda wearer: figure_of_nine(wearer),
}
POSES = [Pose(arm_flexion=deg(angle), elbow_flexion=deg(90 - angle)) for angle in (25, 60, 90)]


@pytest.fixture(scope="module", params=[(p, s) for p in PATTERNS for s in ("left", "right")], ids=" ".join)
def pulls(request: pytest.FixtureRequest) -> tuple[Pull, ...]:
    """Each pattern with a ring or cross-point, either side, the arm raised."""
    pattern, side = request.param
    system = SingleControl(PATTERNS[pattern](Wearer.at_percentile("male", 95, amputated=side)))
    return system.over(POSES)


def _arrows(scene: Scene) -> list[Arrow]:
    return [item for item in scene.items if isinstance(item, Arrow)]


def _newton(scene: Scene) -> float:
    """How long a newton is, from the scale in the picture's corner."""
    (bar,) = (item.points for item in scene.items if isinstance(item, Line) and item.name == "scale")
    (said,) = (item.lines[0] for item in scene.items if isinstance(item, Label) and item.lines[0].endswith(" N"))
    return float(np.ptp(bar[:, 0])) / float(said.removesuffix(" N"))


def test_the_polygon_closes(pulls: tuple[Pull, ...]) -> None:
    """Each arrow begins where the one before ends, and what is left over is less than the width of a line."""
    for pull in pulls:
        arrows = _arrows(force_polygon_scene(pull, "metric"))
        assert len(arrows) >= 2
        for one, following in pairwise(arrows):
            assert one.end == following.start
        left = np.hypot(*np.subtract(arrows[-1].end, arrows[0].start)) * 1000.0
        assert left < min(STYLES[arrow.style].width for arrow in arrows)


def test_every_arrow_is_as_long_as_its_force(pulls: tuple[Pull, ...]) -> None:
    """By the scale in the picture, but for what goes straight into the back, which is little."""
    for pull in pulls:
        scene, forces = force_polygon_scene(pull, "metric"), forces_on_ring(pull)
        out = forces["back"] / np.linalg.norm(forces["back"])
        flat = {name: force - (force @ out) * out for name, force in forces.items() if name != "back"}
        drawn = {arrow.name.removesuffix(" on the ring"): arrow for arrow in _arrows(scene)}
        assert set(drawn) == {name for name, force in flat.items() if np.linalg.norm(force) >= LEAST_FORCE}
        for name, arrow in drawn.items():
            long = float(np.hypot(*np.subtract(arrow.end, arrow.start))) / _newton(scene)
            assert long == pytest.approx(float(np.linalg.norm(flat[name])), rel=1e-9), name
            assert long == pytest.approx(float(np.linalg.norm(forces[name])), rel=0.05), name


def test_arrows_point_as_seen_from_behind_in_the_colours_of_their_straps(pulls: tuple[Pull, ...]) -> None:
    """The control attachment strap draws the ring down and towards the prosthesis."""
    for pull in pulls:
        scene = force_polygon_scene(pull, "metric")
        arrow = next(arrow for arrow in _arrows(scene) if arrow.name.startswith(CONTROL_STRAP))
        across, up = np.subtract(arrow.end, arrow.start)
        assert up < 0.0
        assert np.sign(across) == np.sign(pull.ring_forces[CONTROL_STRAP][2])
        assert STYLES[arrow.style].colour == STYLES[CONTROL_STRAP].colour
        assert STYLES[arrow.style].dash == STYLES[CONTROL_STRAP].seam
        assert 'stroke-dasharray="7 4"' in render_svg(scene)


def test_every_arrow_bears_name_and_force_clear_of_the_others(pulls: tuple[Pull, ...]) -> None:
    """Inside 250 by 250 points, and the words hold the same numbers."""
    for pull in pulls:
        scene = force_polygon_scene(pull, "metric")
        assert (scene.frame.width, scene.frame.height) == (0.25, 0.25)
        labels = [item for item in scene.items if isinstance(item, Label)]
        taken = boxes(labels, scene.frame)
        arrows = _arrows(scene)
        along = dense([np.array([arrow.start, arrow.end]) for arrow in arrows], 0.001)
        for one, other in combinations(taken, 2):
            assert one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1]
        for left, low, right, high in taken:
            assert 0.0 <= left < right <= 0.25
            assert 0.0 <= low < high <= 0.25
            assert not ((along > [left, low]) & (along < [right, high])).all(axis=1).any()
        forces = forces_on_ring(pull)
        texts = {" ".join(label.lines) for label in labels}
        for arrow in arrows:
            name = arrow.name.removesuffix(" on the ring")
            size = show(float(np.linalg.norm(forces[name])), "force", "metric")
            assert any(text.startswith(name) and text.endswith(size) for text in texts), (name, texts)
            assert size in scene.words


def test_without_a_pull_there_is_no_polygon() -> None:
    """With the arm hanging and the strap let out nothing pulls, and the picture says so."""
    system = SingleControl(figure_of_eight(Wearer.average("female"), control_strap=0.02))
    scene = force_polygon_scene(system.at())
    assert not _arrows(scene)
    assert scene.words.startswith("No strap pulls at the ring")


def test_a_stronger_pull_is_drawn_longer() -> None:
    """The scale stands still while the arm rises, so that forces can be seen to grow."""
    system = SingleControl(figure_of_eight(Wearer.average("female")))
    scenes = [force_polygon_scene(pull, "metric") for pull in system.over(POSES)]
    assert len({_newton(scene) for scene in scenes}) == 1
    long = [
        np.hypot(*np.subtract(arrow.end, arrow.start))
        for scene in scenes
        for arrow in _arrows(scene)
        if arrow.name.startswith(CONTROL_STRAP)
    ]
    assert long == sorted(long)
