"""Bars of the lock motion: their numbers are those of the mechanics, in either unit system."""

from __future__ import annotations

import pytest

from controlkit.draw.charts.lock import lock_bars
from controlkit.draw.page.scene import Label, Region, Scene
from controlkit.draw.words.lock import LockShown, front_words, idle_words, lock_motion_words
from controlkit.mechanics import Wearer, above_elbow_eight
from controlkit.mechanics.chain.dual import lock_buckle, lock_motion
from controlkit.mechanics.elbow import ElbowLock
from controlkit.units import deg, mm, show

PARTS = {"extension": {"arm_flexion": -deg(10)}, "abduction": {"arm_abduction": deg(30)}}
WHOLE = {**PARTS["extension"], **PARTS["abduction"]}


def _shown(out: float = 15.0) -> LockShown:
    harness = above_elbow_eight(Wearer.average("female", level="transhumeral"), support_strap=mm(out))
    lock = ElbowLock.evenly(11)
    return LockShown(
        motion=lock_motion(harness, lock, **WHOLE),
        parts={name: lock_motion(harness, lock, **angles) for name, angles in PARTS.items()},
        idle=lock_buckle(harness, lock).idle,
        lock=lock,
        pull=5.0,
    )


@pytest.fixture(scope="module")
def shown() -> LockShown:
    """Extension with abduction, the front support strap let out."""
    return _shown()


def _texts(scene: Scene) -> list[str]:
    return [" ".join(item.lines) for item in scene.items if isinstance(item, Label)]


def test_every_part_and_all_together_are_written(shown: LockShown) -> None:
    ways, cables = (_texts(scene) for scene in lock_bars(shown, "metric"))
    for name, part in (*shown.parts.items(), ("together", shown.motion)):
        assert ways[ways.index(name) + 1] == show(part.lengthening, "length", "metric")
        assert cables[cables.index(name) + 1] == show(part.lift, "length", "metric")
    assert ways[ways.index("comes to the lock") + 1] == show(shown.motion.travel, "length", "metric")
    assert any("[in]" in text for text in _texts(lock_bars(shown, "inch-pound")[0]))


def test_what_is_paid_out_lies_left_of_nothing(shown: LockShown) -> None:
    """A bar on the other side of the axis than one that is taken up."""
    regions = [item for item in lock_bars(shown, "metric")[1].items if isinstance(item, Region)]
    out, up = (next(item.points[:, 0] for item in regions if item.name == name) for name in PARTS)
    assert out.max() == pytest.approx(up.min())
    assert out.min() < up.min()


def test_words_say_what_the_numbers_do(shown: LockShown) -> None:
    said = lock_motion_words(shown, "metric")
    assert "The lock does not change over" in said
    assert f"{show(-shown.parts['extension'].lift, 'length', 'metric')} of lift cable are paid out" in said
    assert "Nothing else locks; nearest comes walking, arm back" in idle_words(shown, "metric")
    assert front_words(shown.motion, "metric").startswith("slack by")
    assert front_words(_shown(0.0).motion, "metric").startswith(("its elastic part", "taut"))
