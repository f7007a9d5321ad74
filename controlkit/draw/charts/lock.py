"""The motion that works an elbow lock, as bars: what each part does to the lock's strap and to the lift cable."""

from __future__ import annotations

from controlkit.draw.charts.bars import Bar, Group, bar_scene
from controlkit.draw.page.scene import CHART, Scene
from controlkit.draw.words.lock import LockShown, lock_motion_words
from controlkit.draw.words.pull import Units

__all__ = ["lock_bars"]

_SHORT = {
    "walking, arm forward": "arm forward",
    "walking, arm back": "arm back",
    "abduction of 60 degrees": "abduction 60°",
}


def lock_bars(shown: LockShown, units: Units = "both", *, size: tuple[float, float] = CHART) -> tuple[Scene, Scene]:
    """Draw what each part does to the lock's strap, and in a second picture to lift cable and front support strap.

    Parameters
    ----------
    shown : LockShown
        The motion and its parts.
    units : str
        "metric", "inch-pound" or "both" (which draws in millimetres).
    size : tuple of float
        Width and height of a picture, in picture points [-].

    Returns
    -------
    tuple of Scene
        The lock; lift cable and front support strap, and what must not lock. Each has its words.
    """
    motion, more = shown.motion, len(shown.parts) != 1
    ways = [Bar(name, part.lengthening, "bar generated") for name, part in shown.parts.items()]
    cables = [Bar(name, part.lift, "bar generated") for name, part in shown.parts.items()]
    if more:
        ways.append(Bar("together", motion.lengthening, "bar generated"))
        cables.append(Bar("together", motion.lift, "bar generated"))
    taken = (
        Bar("ring, socket take", motion.yielded, "bar lost"),
        Bar("stretch takes", motion.stretch, "bar lost"),
        Bar("comes to the lock", motion.travel, "bar captured"),
        Bar("lock needs", shown.lock.travel, "bar required"),
    )
    idle = tuple(
        Bar(_SHORT.get(name, name), max(drawn, 0.0), "bar plain")
        for name, drawn in shown.idle.items()
        if name != "rest"
    )
    front = (
        Bar("is drawn by", max(motion.front_give, 0.0), "bar captured"),
        Bar("elastic part gives", motion.front_give + motion.front_room, "bar allowed"),
    )
    first = (
        Group("Way of the lock's strap: longer by [{unit}]", tuple(ways), "length", 0.025),
        Group("What of it comes to the lock's cable [{unit}]", taken, "length", 0.025),
    )
    second = (
        Group("Lift cable: taken up, below 0 paid out [{unit}]", tuple(cables), "length", 0.025),
        Group("Front support strap [{unit}]", front, "length", 0.025),
        Group("Walking, abduction: draw the lock's cable by [{unit}]", idle, "length", 0.025),
    )
    words = lock_motion_words(shown, units)
    return (
        bar_scene("What comes to the lock", words, first, units, size=size),
        bar_scene("What must be held meanwhile", words, second, units, size=size),
    )
