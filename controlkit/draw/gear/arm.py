"""The amputated side's arm as the worn parts know it: axes of upper arm and forearm, and the socket's size."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from controlkit.draw.gear.sight import unit
from controlkit.draw.page.scene import Points

__all__ = ["Arm", "arm_of"]

_ROUND = (0.86, 0.90, 0.84, 0.70, 0.56)
"""Radius of the socket at equal steps from elbow to wrist, as a share of the upper arm's [-]; drawn for the eye, within
the outline that the mechanics gives the forearm's ends."""
_TRIM = (-0.11, 0.15)
"""Where the trim line runs round the elbow: behind it, over the olecranon, and in the bend, as shares of the forearm
from elbow to wrist [-]. Drawn for the eye."""


@dataclass(frozen=True, eq=False, kw_only=True)
class Arm:
    """Upper arm and forearm of the amputated side.

    Parameters
    ----------
    shoulder, elbow, wrist, tip : numpy.ndarray
        Joint centres and the end of the device, ISB axes, shape (3,) [m].
    along, heading : numpy.ndarray
        From shoulder to elbow, and from elbow to wrist, shape (3,) [-].
    out, across : numpy.ndarray
        From the upper arm's axis to the crossbar, and along the crossbar, shape (3,) [-].
    outward : numpy.ndarray
        Along the elbow's axis, away from the trunk, shape (3,) [-].
    volar : numpy.ndarray
        From the forearm's axis towards its front, shape (3,) [-].
    size : float
        Distance of the crossbar from the upper arm's axis [m].
    share : float
        Share of the way from shoulder to elbow at which the crossbar sits [-].
    length, forearm : float
        From shoulder to elbow, and from elbow to wrist [m].
    """

    shoulder: Points
    elbow: Points
    wrist: Points
    tip: Points
    along: Points
    heading: Points
    out: Points
    across: Points
    outward: Points
    volar: Points
    size: float
    share: float
    length: float
    forearm: float

    def radius(self, share: Points | float) -> Points:
        """Radius of the socket.

        Parameters
        ----------
        share : float or numpy.ndarray
            Shares of the way from elbow to wrist, shape (M,) or one [-].

        Returns
        -------
        numpy.ndarray
            Shape (M,) or one [m].
        """
        return np.asarray(self.size * np.interp(share, np.linspace(0.0, 1.0, len(_ROUND)), _ROUND))

    def held(self, down: float) -> float:
        """Say where the retainer is drawn.

        Parameters
        ----------
        down : float
            From the elbow's axis to the retainer along the forearm [m].

        Returns
        -------
        float
            Share of the way from elbow to wrist, within the socket [-].
        """
        return float(np.clip(down / self.forearm, 0.2, 0.8))

    def trim(self, way: Points) -> Points:
        """Say where the socket begins.

        Parameters
        ----------
        way : numpy.ndarray
            Directions from the forearm's axis, shape (M, 3) [-].

        Returns
        -------
        numpy.ndarray
            Share of the way from elbow to wrist, less than none behind the elbow, shape (M,) [-].
        """
        behind = np.clip(0.5 * (1.0 - way @ self.volar), 0.0, 1.0)
        return np.asarray(_TRIM[1] + (_TRIM[0] - _TRIM[1]) * behind**0.8)

    def behind_socket(self, points: Points, towards: Points) -> NDArray[np.bool_]:
        """Tell which points the forearm of the prosthesis hides from a viewer.

        Parameters
        ----------
        points : numpy.ndarray
            ISB axes, shape (M, 3) [m].
        towards : numpy.ndarray
            Towards the viewer, shape (3,) [-].

        Returns
        -------
        numpy.ndarray
            True where the socket stands before the point, shape (M,) [-].
        """
        off = points - self.elbow
        lean = float(towards @ self.heading)
        ahead, down = off @ towards, off @ self.heading
        share = np.clip((down - ahead * lean) / max(1.0 - lean * lean, 1e-3), 0.0, self.forearm)
        foot = off - share[:, None] * self.heading
        before = -(foot @ towards)  # how far before the point, towards the viewer, the forearm's axis passes
        gap = (foot * foot).sum(axis=1) - before * before
        reach = 0.97 * self.radius(share / self.forearm)
        return np.asarray((before > 0.004) & (gap < reach * reach))


def arm_of(places: dict[str, Points], bent: Points, crossbar: Points, amputated: str) -> Arm:
    """Find the axes of the amputated side's arm.

    Parameters
    ----------
    places : dict
        Joints by name, as the mechanics places them [m].
    bent : numpy.ndarray
        Where the wrist were with the elbow bent at a right angle, shape (3,) [m].
    crossbar : numpy.ndarray
        Where the control strap ends, shape (3,) [m].
    amputated : str
        "left" or "right".

    Returns
    -------
    Arm
        Its axes and sizes.
    """
    shoulder, elbow, wrist = places["shoulder"], places["elbow"], places["wrist"]
    along, heading = unit(elbow - shoulder), unit(wrist - elbow)
    sign = 1.0 if amputated == "right" else -1.0
    outward = sign * unit(np.cross(along, bent - elbow))
    bar = crossbar - shoulder
    down = float(bar @ along)
    off = bar - down * along
    out = unit(off)
    length = float(np.linalg.norm(elbow - shoulder))
    return Arm(
        shoulder=shoulder,
        elbow=elbow,
        wrist=wrist,
        tip=places["device"],
        along=along,
        heading=heading,
        out=out,
        across=np.cross(along, out),
        outward=outward,
        volar=sign * np.cross(outward, heading),
        size=float(np.linalg.norm(off)),
        share=down / length,
        length=length,
        forearm=float(np.linalg.norm(wrist - elbow)),
    )
