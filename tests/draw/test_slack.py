"""Slack straps: as much as the mechanics says hangs loose, and drawn by as much."""

from __future__ import annotations

import numpy as np
import pytest

from controlkit.draw import Line, Scene, legend, wearer_scene
from controlkit.draw.page.scene import Points
from controlkit.draw.wearer.hanging import hanging
from controlkit.draw.words.pull import excursion_words
from controlkit.mechanics import Pose, Pull, SingleControl, Wearer, figure_of_eight
from controlkit.mechanics.harness.layout import AXILLA_LOOP, CONTROL_STRAP
from controlkit.mechanics.harness.patterns.eight import FRONT_STRAP
from controlkit.units import deg, mm

HANGING, RAISED = Pose(elbow_flexion=deg(90)), Pose(arm_flexion=deg(60), elbow_flexion=deg(30))
LET_OUT = {"control_strap": CONTROL_STRAP, "support_strap": FRONT_STRAP, "axilla_loop": AXILLA_LOOP}


def _worn(side: str = "right", **choices: float) -> tuple[SingleControl, tuple[Pull, ...]]:
    system = SingleControl(figure_of_eight(Wearer.average("female", amputated=side), **choices))
    return system, system.over([HANGING, RAISED])


def _length(points: Points) -> float:
    return float(np.linalg.norm(np.diff(points, axis=0), axis=1).sum())


def _strap(scene: Scene, name: str) -> Points:
    return next(item.points for item in scene.items if isinstance(item, Line) and item.name == name)


@pytest.mark.parametrize("choice", LET_OUT)
def test_a_strap_let_out_hangs_slack_by_as_much_with_the_arm_at_rest(choice: str) -> None:
    """It was just snug, so what its buckle lets out hangs loose; the cable's take-up at this elbow aside."""
    (_, snug), (_, loose) = _worn(), _worn(**{choice: mm(20)})
    name = LET_OUT[choice]
    assert loose[0].strap_slack[name] - snug[0].strap_slack[name] == pytest.approx(0.020, abs=0.0002)
    for strap in set(loose[0].strap_slack) - {name}:
        assert loose[0].strap_slack[strap] == pytest.approx(snug[0].strap_slack[strap], abs=0.0005)


def test_a_strap_that_pulls_has_no_slack() -> None:
    """Nor less than none; the anterior support strap slackens as the arm comes forward of the shoulder."""
    for side in ("left", "right"):
        _, pulls = _worn(side, control_strap=mm(8))
        for pull in pulls:
            for name, tension in pull.strap_tension.items():
                assert pull.strap_slack[name] >= 0.0
                assert tension < 1e-9 or pull.strap_slack[name] == 0.0
        assert pulls[1].strap_slack[FRONT_STRAP] > 0.02


@pytest.mark.parametrize("slack", [0.002, 0.005, 0.020, 0.060])
def test_the_bow_is_as_much_longer_as_the_strap_is_slack(slack: float) -> None:
    """Of every strap of a harness as it lies, both ends where they were."""
    _, (pull, _) = _worn()
    for run in pull.straps.values():
        bow = hanging(run, slack)
        assert _length(bow) - _length(run) == pytest.approx(slack, abs=2e-5)
        assert np.allclose(bow[[0, -1]], run[[0, -1]])


def test_what_lies_on_top_of_a_shoulder_rests_there_and_hangs_before_and_behind_it() -> None:
    """Where skin faces up nothing moves; a strap that rests all along stands off, as long as it is."""
    turn = np.linspace(0.0, np.pi, 41)
    over = 0.1 * np.stack([np.cos(turn), np.sin(turn), 0.0 * turn], axis=1)
    facing = over / 0.1
    bow = hanging(over, 0.02, facing)
    assert np.allclose(bow[facing[:, 1] > 0.66], over[facing[:, 1] > 0.66])
    assert _length(bow) - _length(over) == pytest.approx(0.02, abs=2e-5)
    assert (np.linalg.norm(bow, axis=1) > 0.1 - 1e-9).all()  # nowhere into the body
    flat = np.linspace([0.1, 0.2, 0.0], [-0.1, 0.2, 0.0], 31)
    stood = hanging(flat, 0.01, np.tile([0.0, 1.0, 0.0], (31, 1)))
    assert _length(stood) - _length(flat) == pytest.approx(0.01, abs=2e-5)
    assert stood[15, 1] > 0.2


@pytest.mark.parametrize("slack", [0.001, 0.004, 0.008])
def test_a_straight_strap_sags_by_the_rule_of_the_shallow_arc(slack: float) -> None:
    """The square root of three eighths of span times slack, straight down between two ends of one height."""
    level = np.linspace([0.1, 0.2, -0.2], [0.1, 0.2, 0.2], 61)
    bow = hanging(level, slack)
    assert float((level - bow)[:, 1].max()) == pytest.approx(np.sqrt(3.0 / 8.0 * 0.4 * slack), rel=0.02)
    assert np.allclose(bow[:, [0, 2]], level[:, [0, 2]])


def test_without_slack_a_strap_lies_as_the_mechanics_laid_it() -> None:
    """To the last digit."""
    _, (pull, _) = _worn()
    for run in pull.straps.values():
        assert hanging(run, 0.0) is run


@pytest.mark.parametrize(("view", "side"), [("side", "left"), ("side", "right"), ("back", "right")])
def test_twenty_millimetres_can_be_seen_and_more_can_be_seen_more(view: str, side: str) -> None:
    """In a picture 300 points high the strap stands off its taut way by at least a strap's own width."""
    ways = []
    for slack in (0.0, 0.020, 0.040):
        system, (pull, _) = _worn(side, control_strap=slack)
        scene = wearer_scene(pull, view, system=system, plain=True)  # type: ignore[arg-type]
        ways.append(_strap(scene, CONTROL_STRAP))
    snug = ways[0]
    apart = [float(np.linalg.norm(way[:, None] - snug[None], axis=2).min(axis=1).max()) for way in ways[1:]]
    point = scene.frame.height / 300.0
    assert apart[0] / point > 5.0
    assert apart[1] > 1.2 * apart[0]


def test_a_slack_strap_lies_off_the_body_and_is_not_hidden_by_it() -> None:
    """From behind, what was seen of the control strap when taut is seen of it slack."""
    seen = []
    for slack in (0.0, 0.020):
        system, (pull, _) = _worn(control_strap=slack)
        scene = wearer_scene(pull, "back", system=system, plain=True)
        (hidden,) = (i.hidden for i in scene.items if isinstance(i, Line) and i.name == CONTROL_STRAP)
        assert hidden is not None
        seen.append(float((~hidden).mean()))
    assert seen[1] > seen[0] - 0.05


def test_words_say_how_slack_and_the_legend_stays() -> None:
    """What is drawn hanging is told, with its length; snug straps without pull are told apart from it."""
    system, (pull, raised) = _worn(control_strap=mm(20))
    scene = wearer_scene(pull, "back", system=system, units="metric")
    assert "Without pull, and drawn slack: control attachment strap by 20 mm." in scene.words
    assert "Without pull, but snug: axilla loop" in scene.words
    assert (
        f"anterior support strap by {1000 * raised.strap_slack[FRONT_STRAP]:.0f} mm"
        in wearer_scene(raised, "back", system=system, units="metric").words
    )
    assert len(legend(scene)) == 4


@pytest.mark.parametrize(
    "choices", [{}, {"control_strap": mm(8)}, {"support_strap": mm(20)}, {"control_strap": -mm(20)}]
)
def test_no_strap_is_called_snug_and_slack_in_one_text(choices: dict[str, float]) -> None:
    """What is worth knowing says that it bears no pull; how it lies is said once."""
    system, pulls = _worn(**choices)
    told = 0
    for pull in pulls:
        text = excursion_words(pull) + wearer_scene(pull, "back", system=system).words
        assert " is slack" not in text
        for state in pull.states:
            if state.code == "strap-slack":
                told += 1
                assert f"{state.values['strap']} bears no pull" in text
                hangs = pull.strap_slack[str(state.values["strap"])] >= mm(1)
                assert ("drawn slack" if hangs else "snug") in text
    assert told > 0
