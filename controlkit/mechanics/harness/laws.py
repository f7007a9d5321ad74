"""How hard a strap or a cable pulls at a given length: webbing, and cable with device."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, fields

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.body.pose import Pose
from controlkit.mechanics.harness.flesh import NONE, Flesh
from controlkit.mechanics.inputs import within
from controlkit.sources import source

Array = NDArray[np.float64]

WEBBING = 15_000.0
"""Force per unit of strain of 25 mm webbing [N]. Assumption: no figure at working load was found."""
TOE = 0.002
"""Stretch over which a strap takes up its load [m]. Assumption: weave straightens, strap beds in."""
_CORNER = 0.3  # [N] rounds the corners between the branches of a pull


@dataclass(frozen=True, kw_only=True)
class Straps:
    """What the straps of a harness are made of.

    Parameters
    ----------
    webbing : float
        Force per unit of strain of the main webbing; 1e6 for webbing that hardly stretches [N]
    elastic : float
        Stiffness of the elastic section of the anterior support strap [N/m]
    elastic_reach : float
        How far that section gives before the webbing beside it is taut, 0 for none [m]
    width : float
        Width of the main straps [m]
    narrow : float
        Width of the legs of the inverted Y [m]

    Raises
    ------
    InputError
        If a value is outside its range

    Notes
    -----
    Widths: 1 in and 1/2 in (open textbook of the University of Washington, chapter 15c). Stiffnesses
    and reach are assumptions: no figure at working load was found.

    Examples
    --------
    >>> Straps().width
    0.0254
    """

    webbing: float = WEBBING
    elastic: float = 1_500.0
    elastic_reach: float = 0.010
    width: float = source("strap_width_main").si
    narrow: float = source("strap_width_inverted_y").si

    def __post_init__(self) -> None:
        limits = {
            "webbing": (3_000.0, 1e6, "15000"),
            "elastic": (0.0, 20_000.0, "1500"),
            "elastic_reach": (0.0, 0.05, "mm(10)"),
            "width": (0.01, 0.08, "mm(25)"),
            "narrow": (0.005, 0.05, "mm(13)"),
        }
        for name, (low, high, example) in limits.items():
            within(f"The straps' {name.replace('_', ' ')}", getattr(self, name), low, high, example=example)


@dataclass(frozen=True)
class Webbing:
    r"""Straps that stretch: no push, a smooth start, then a constant stiffness; in series with the flesh under them.

    An elastic section on request gives beside the webbing until that is taut.

    .. math:: T = \tau(e; s) + T_k, \quad T_k + k\,s(T_k) = \tau(e - d; k), \quad e = l - l_0, \quad
              \tau(e; k) = k\,\frac{e^2}{2 e_0} \ (0 \le e \le e_0), \
              k\left(e - \frac{e_0}{2}\right) \ (e > e_0)

    Attributes
    ----------
    free : ndarray
        Length without load l0 [m], shape (..., stations)
    stiffness : ndarray
        Stiffness k of the whole strap [N/m], shape (..., stations)
    soft : ndarray
        Stiffness s of the elastic section, 0 without one [N/m], shape (..., stations)
    reach : ndarray
        How far the elastic section gives before the webbing beside it is taut d [m], shape (..., stations)
    flesh : Flesh
        What the straps sink into, shortening by s
    toe : ndarray
        Stretch over which the webbing takes up its load e0 [m], shape (..., stations)
    """

    free: Array
    stiffness: Array
    soft: Array = field(default_factory=lambda: np.zeros(()))
    reach: Array = field(default_factory=lambda: np.zeros(()))
    flesh: Flesh = NONE
    toe: Array = field(default_factory=lambda: np.array(TOE))

    def pull(self, length: Array) -> tuple[Array, Array]:
        """Tension and its rate at a length.

        Parameters
        ----------
        length : ndarray
            Length of the path [m], shape (..., stations)

        Returns
        -------
        tension : ndarray
            Tension, never negative [N], shape (..., stations)
        rate : ndarray
            Change of tension with length [N/m], shape (..., stations)

        Examples
        --------
        >>> import numpy as np
        >>> strap = Webbing(np.array([0.6]), np.array([25000.0]))
        >>> float(strap.pull(np.array([0.604]))[0][0].round(1))
        75.0
        """
        extension = length - self.free
        load, rising = _toe(extension - self.reach, self.stiffness, self.toe)
        tension, eased = self.flesh.eased(load, self.stiffness)
        rate = rising * eased
        if np.any(self.soft):
            more, more_rate = _toe(extension, self.soft)
            tension, rate = tension + more, rate + more_rate
        return tension, rate

    def sunk(self, length: Array) -> Array:
        """How much longer a path is at its tension for the flesh that gives.

        Parameters
        ----------
        length : ndarray
            Length of the path [m], shape (..., stations)

        Returns
        -------
        ndarray
            What it would be shorter were there no flesh, the elastic section aside [m], shape (..., stations)
        """
        extension = length - self.free - self.reach
        load, _ = _toe(extension, self.stiffness)
        alone = bedded(self.flesh.eased(load, self.stiffness)[0] / self.stiffness)[0]
        return np.where(load > 0.0, extension - alone, 0.0)

    def stretch(self, tension: Array) -> tuple[Array, Array]:
        """Extension at a tension, without an elastic section, and its rate: the inverse of `pull`.

        Parameters
        ----------
        tension : ndarray
            Tension, more than nothing [N], shape (..., stations)

        Returns
        -------
        extension : ndarray
            Webbing and flesh together [m], shape (..., stations)
        rate : ndarray
            Change of extension with tension [m/N], shape (..., stations)

        Examples
        --------
        >>> import numpy as np
        >>> strap = Webbing(np.array([0.6]), np.array([25000.0]))
        >>> float(strap.stretch(np.array([75.0]))[0][0].round(6))
        0.004
        """
        sunk, sinking = self.flesh.sinks(tension)
        stretched, rate = bedded(tension / self.stiffness + sunk)
        return stretched, rate * (1.0 / self.stiffness + sinking)

    def pick(self, which: NDArray[np.intp] | int, run: int | None = None) -> Webbing:
        """Some of these straps.

        Parameters
        ----------
        which : ndarray
            Stations [-], shape (picked,)
        run : int, optional
            One run alone [-]

        Returns
        -------
        Webbing
            Those straps
        """
        rows = (...,) if run is None else (run,)

        def some(part: Array) -> Array:
            return part if part.ndim == 0 else part[(*rows, which)]

        picked = {f.name: some(getattr(self, f.name)) for f in fields(self) if f.name != "flesh"}
        return Webbing(**picked, flesh=self.flesh.pick((*rows, which)))


@dataclass(frozen=True, kw_only=True)
class CableLaw:
    """Cable and device as the control strap feels them in one pose.

    Attributes
    ----------
    stiffness : float
        Of strap and cable together [N/m]
    start : float
        Force at the harness at which the device begins to move [N]
    rise : float
        Rise of that force with travel [N/m]
    full : float
        Force at the harness for full travel [N]
    take_up : float
        Cable that the elbow has taken up [m]
    """

    stiffness: float
    start: float
    rise: float
    full: float
    take_up: float = 0.0


Law = Callable[[Pose, float], CableLaw]
"""From a pose and the give of the control strap's webbing [m/N] to the law of cable and device there."""


@dataclass(frozen=True, kw_only=True)
class ControlLaw:
    """Control strap, cable and device in series: nothing, then stiff, then the device moves.

    Attributes
    ----------
    free : ndarray
        Length at which all slack is gone [m], shape (straps,)
    stiffness : ndarray
        Stiffness of strap and cable together [N/m], shape (straps,)
    start : ndarray
        Force at the harness at which the device begins to move [N], shape (straps,)
    rate : ndarray
        Rise of that force with travel [N/m], shape (straps,)
    full : ndarray
        Force at the harness for full travel; beyond it the force stays [N], shape (straps,)
    flesh : Flesh
        What the strap sinks into
    """

    free: Array
    stiffness: Array
    start: Array
    rate: Array
    full: Array
    flesh: Flesh = NONE

    @classmethod
    def of(cls, laws: Sequence[CableLaw], snug: Array, flesh: Flesh = NONE) -> ControlLaw:
        """What a strap does whose cable and device obey some laws, one a station.

        Parameters
        ----------
        laws : sequence of CableLaw
            Laws
        snug : ndarray
            Length of the strap without slack, nothing taken up at the elbow [m], shape (straps,)
        flesh : Flesh
            What the strap sinks into

        Returns
        -------
        ControlLaw
            One a law
        """
        stiffness, start, rate, full, taken = np.array(
            [(law.stiffness, law.start, law.rise, law.full, law.take_up) for law in laws]
        ).T
        return cls(free=snug - taken, stiffness=stiffness, start=start, rate=rate, full=full, flesh=flesh)

    def pull(self, length: Array) -> tuple[Array, Array]:
        """Tension and its rate at a length.

        Parameters
        ----------
        length : ndarray
            Length of the path [m], shape (straps,)

        Returns
        -------
        tension : ndarray
            Tension at the harness, never negative [N], shape (straps,)
        rate : ndarray
            Change of tension with length [N/m], shape (straps,)

        Notes
        -----
        Past full travel the pull stays at its last value: the excursion beyond is the surplus
        that a wearer would not use.

        Examples
        --------
        >>> import numpy as np
        >>> law = CableLaw(stiffness=20000.0, start=30.0, rise=300.0, full=42.0)
        >>> cable = ControlLaw.of([law], snug=np.array([0.4]))
        >>> float(cable.pull(np.array([0.42]))[0][0].round(1))
        35.2
        """
        extension = length - self.free
        load, rising = _toe(extension, self.stiffness)
        taut, eased = self.flesh.eased(load, self.stiffness)
        taut_rate = rising * eased
        moving_rate = self.rate / (1.0 + self.rate / self.stiffness)
        soft = 1.0 + self.rate / self.stiffness
        load = (self.start + self.rate * (extension - 0.5 * TOE)) / soft  # taut, the toe keeps half its length
        moving, eased = self.flesh.eased(np.maximum(load, 0.0), moving_rate)
        moving_rate = moving_rate * eased
        branches = np.stack([taut, moving, self.full * np.ones_like(taut)])
        low = branches.min(axis=0)
        weight = np.exp((low - branches) / _CORNER)
        total = weight.sum(axis=0)
        tension = np.maximum(low - _CORNER * np.log(total), 0.0)
        rate = (weight[0] * taut_rate + weight[1] * moving_rate) / total
        return tension, np.where(tension > 0.0, rate, 0.0)

    def pick(self, which: NDArray[np.intp]) -> ControlLaw:
        """Some of these pulls.

        Parameters
        ----------
        which : ndarray
            Indices [-], shape (picked,)

        Returns
        -------
        ControlLaw
            Those pulls
        """
        return ControlLaw(
            free=self.free[which],
            stiffness=self.stiffness[which],
            start=self.start[which],
            rate=self.rate[which],
            full=self.full[which],
            flesh=self.flesh.pick((which,)),
        )

    def travel(self, length: Array) -> Array:
        """How far the cable has travelled at the device's end.

        Parameters
        ----------
        length : ndarray
            Length of the path [m], shape (straps,)

        Returns
        -------
        ndarray
            Travel after slack and stretch [m], shape (straps,)

        Examples
        --------
        >>> import numpy as np
        >>> law = CableLaw(stiffness=20000.0, start=30.0, rise=300.0, full=42.0)
        >>> cable = ControlLaw.of([law], snug=np.array([0.4]))
        >>> float(cable.travel(np.array([0.42]))[0].round(4))
        0.0172
        """
        return np.asarray(np.maximum(length - self.free - self.stretch(self.pull(length)[0]), 0.0))

    def stretch(self, tension: Array) -> Array:
        """How much longer the path is at a tension than what the cable has travelled.

        Parameters
        ----------
        tension : ndarray
            Tension at the harness [N], shape (straps,)

        Returns
        -------
        ndarray
            Stretch of strap and cable, and what the strap sinks in [m], shape (straps,)
        """
        return bedded(tension / self.stiffness + self.flesh.sinks(tension)[0])[0]

    def sunk(self, tension: Array) -> Array:
        """How much of that stretch is due to the flesh.

        Parameters
        ----------
        tension : ndarray
            Tension at the harness [N], shape (straps,)

        Returns
        -------
        ndarray
            What it would be less were there no flesh [m], shape (straps,)
        """
        return self.stretch(tension) - bedded(tension / self.stiffness)[0]


def bedded(stretch: Array) -> tuple[Array, Array]:
    """Extension of webbing that has bedded in, from its stretch at constant stiffness, and its rate.

    Parameters
    ----------
    stretch : ndarray
        Stretch were there no toe [m], shape (...)

    Returns
    -------
    extension : ndarray
        Extension [m], shape (...)
    rate : ndarray
        Its change with the stretch [-], shape (...)

    Examples
    --------
    >>> [float(part[0]) for part in bedded(np.array([0.003]))]
    [0.004, 1.0]
    """
    toe = np.sqrt(2.0 * TOE * np.maximum(stretch, 1e-300))
    taut = stretch > 0.5 * TOE
    return np.where(taut, stretch + 0.5 * TOE, toe), np.where(taut, 1.0, TOE / toe)


def _toe(extension: Array, stiffness: Array, toe: Array | float = TOE) -> tuple[Array, Array]:
    """Tension and its rate where webbing takes up its load over a first stretch."""
    stretched = np.maximum(extension, 0.0)
    within = np.minimum(stretched, toe)
    return stiffness * (within * within / (2.0 * toe) + (stretched - within)), stiffness * within / toe
