"""Texts above each other, none over another."""

from __future__ import annotations

__all__ = ["spread", "stacked"]


def stacked(wanted: list[float], room: list[float], low: float, high: float) -> list[float]:
    """Set labels above each other, as near to their wishes as the room that each needs allows.

    Parameters
    ----------
    wanted : list of float
        Where the middle of each would like to be, rising [-].
    room : list of float
        What each needs, half of it on either side of its middle [-].
    low, high : float
        The room there is [-].

    Returns
    -------
    list of float
        Middles, rising [-].

    Examples
    --------
    >>> stacked([10.0, 12.0], [8.0, 8.0], 0.0, 100.0)
    [7.0, 15.0]
    """
    ahead = [sum(room[:k]) + 0.5 * room[k] for k in range(len(room))]  # its middle, were all packed from zero
    groups: list[tuple[float, int]] = []
    for mean, packed in zip(wanted, ahead, strict=True):
        mean, count = mean - packed, 1
        while groups and groups[-1][0] > mean:
            other, more = groups.pop()
            mean, count = (mean * count + other * more) / (count + more), count + more
        groups.append((mean, count))
    free = [min(max(mean, low), max(high - sum(room), low)) for mean, count in groups for _ in range(count)]
    return [at + packed for at, packed in zip(free, ahead, strict=True)]


def spread(wanted: list[float], gap: float, low: float, high: float) -> list[float]:
    """Move heights apart until no two are closer than a gap.

    Parameters
    ----------
    wanted : list of float
        Where each would like to be [-].
    gap : float
        The least distance between two [-].
    low, high : float
        The room there is [-].

    Returns
    -------
    list of float
        Heights in the order given, as near to the wish as the gap allows [-].

    Examples
    --------
    >>> spread([10.0, 12.0], 8.0, 0.0, 100.0)
    [7.0, 15.0]
    """
    order = sorted(range(len(wanted)), key=lambda i: wanted[i])
    heights = stacked([wanted[index] for index in order], [gap] * len(wanted), low - gap / 2, high + gap / 2)
    result = [0.0] * len(wanted)
    for index, height in zip(order, heights, strict=True):
        result[index] = height
    return result
