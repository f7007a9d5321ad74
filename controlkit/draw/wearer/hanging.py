"""A strap without pull, drawn as it hangs: the mechanics knows how much of it hangs loose, and along which way."""

from __future__ import annotations

import numpy as np

from controlkit.draw.page.scene import Points
from controlkit.draw.words.pull import SEEN_SLACK

__all__ = ["hanging"]

_FLAT = 0.004  # a way that leaves its chord by less is taken to be straight [m]
_CLOSE = 1e-5  # of the drawn length to the true one [m]
_TURNS = 20  # of the search, at most
_HEAVY = 13.0  # of hanging down against standing off the body [-]
_OVER = (0.60, 0.85)  # how far up a bend must point for its strap to rest on the shoulder: not yet, and wholly [-]
_TOP = (0.35, 0.65)  # how far up skin faces on which a strap rests: not yet, and wholly [-]
_OFF = 0.35  # of standing off the skin against hanging down it [-]
_LEAST = 0.05  # of a strap that hangs at all [-]
_DOWN = np.array([0.0, -1.0, 0.0])


def hanging(run: Points, slack: float, facing: Points | None = None) -> Points:
    """Draw a strap off its way by a bow that makes it as long as it is.

    Parameters
    ----------
    run : numpy.ndarray
        The way that it would lie along if it were snug, ISB axes, shape (M, 3) [m].
    slack : float
        How much longer than this way it is [m].
    facing : numpy.ndarray, optional
        Which way the skin below faces, shape (M, 3): what lies on top of a shoulder rests there, the rest hangs before
        and behind it [-].

    Returns
    -------
    numpy.ndarray
        The strap, its ends where they were, shape (M, 3) [m].

    Notes
    -----
    A parabola along the way, off the body and down. Its height is the one at which the line is longer by the slack:
    for a straight way that is nearly sqrt(3/8 span slack), the rule of the shallow arc; round a bend less,
    because every point that lifts off a bend needs length.

    Examples
    --------
    >>> level = np.linspace([0.0, 0.0, 0.0], [0.0, 0.0, 0.4], 41)
    >>> float(-hanging(level, 0.01)[:, 1].min().round(3)), round((3 / 8 * 0.4 * 0.01) ** 0.5, 3)
    (0.039, 0.039)
    """
    if slack < SEEN_SLACK:
        return run
    step = np.linalg.norm(np.diff(run, axis=0), axis=1)
    share = np.concatenate([[0.0], np.cumsum(step)]) / step.sum()
    way = _way(run, share) if facing is None else _over_skin(run, facing)
    arc = (4.0 * share * (1.0 - share))[:, None]
    bow = way * arc
    if facing is not None and np.linalg.norm(bow, axis=1).max() < _LEAST:  # all of it rests, and stands off instead
        bow = facing * arc
    bow /= np.linalg.norm(bow, axis=1).max()
    wanted = float(step.sum()) + slack
    gap, turned = np.diff(run, axis=0), np.diff(bow, axis=0)
    high = float(np.sqrt(3.0 / 8.0 * step.sum() * slack))
    for _ in range(_TURNS):  # the length is convex in the height: Newton's steps come down to it from above
        pieces = gap + high * turned
        length = np.linalg.norm(pieces, axis=1)
        over = float(length.sum()) - wanted
        if abs(over) < _CLOSE:
            break
        rate = float(((pieces * turned).sum(axis=1) / length).sum())
        high = high - over / rate if rate > 0.0 else 2.0 * high
    return np.asarray(run + high * bow)


def _over_skin(run: Points, facing: Points) -> Points:
    """Which way each point goes over skin: down along it and a little off it, across the strap; on top it rests."""
    along = np.gradient(run, axis=0)
    along /= np.maximum(np.linalg.norm(along, axis=1, keepdims=True), 1e-9)
    low, high = _TOP
    rests = np.clip((facing[:, 1:2] - low) / (high - low), 0.0, 1.0)
    down = _DOWN - np.minimum(facing @ _DOWN, 0.0)[:, None] * facing
    way = down + _OFF * facing
    way -= (way * along).sum(axis=1, keepdims=True) * along
    return np.asarray((1.0 - rests) * way)


def _way(run: Points, share: Points) -> Points:
    """Which way each point goes: off the body, and down but not into it."""
    off = run - (run[0] + share[:, None] * (run[-1] - run[0]))
    away, most = off.mean(axis=0), float(np.linalg.norm(off, axis=1).max())
    chord = run[-1] - run[0]
    reach = float(np.linalg.norm(chord))
    down = _DOWN - (_DOWN @ chord) / reach**2 * chord if reach > _FLAT else _DOWN
    if most < _FLAT:
        if float(np.linalg.norm(down)) > 0.2:
            return np.tile(down, (len(run), 1))
        return np.tile(run.mean(axis=0) * [1.0, 0.0, 1.0], (len(run), 1))  # it hangs upright: away from the spine
    away = away / float(np.linalg.norm(away))
    down = down - min(float(down @ away), 0.0) * away
    rests = float(np.clip((away[1] - _OVER[0]) / (_OVER[1] - _OVER[0]), 0.0, 1.0))  # what rests there cannot hang
    return np.asarray(off / most + (1.0 + _HEAVY * (1.0 - rests)) * down)
