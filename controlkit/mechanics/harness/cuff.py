"""How the prosthesis holds on to the upper arm: flesh under pad and cuff, and the socket through its hinges."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.inputs import within

Array = NDArray[np.float64]

FAR = 0.06
"""Beyond this give the pull rises no more steeply [m]: flesh is torn long before, a search may still pass there."""


@dataclass(frozen=True, kw_only=True)
class Cuff:
    r"""How pad, hinges and crossbar, one body with the socket, hold on to the upper arm along its length.

    .. math:: F = \frac{k}{b}\left(e^{b\,|u|} - 1\right)\operatorname{sgn}(u) + k_s u

    Parameters
    ----------
    stiffness : float
        Stiffness k of the flesh under the cuff at first, 0 for a cuff that does not give at all [N/m]
    stiffening : float
        Rate b at which it stiffens with the give u [1/m]
    socket : float
        Stiffness k_s of the socket's own hold on the forearm, which the hinges hand on [N/m]

    Raises
    ------
    InputError
        If a value is outside its range

    Notes
    -----
    The cuff is measured, on the upper arm of 21 people (Schiebl and others, Sensors 2025;25:4605, appendix B): linear
    fits of 2.1 to 2.6 N/mm along the arm; an exponential fits better, its rate 0.01 per mm as rounded there. They wore
    cuffs of exoskeletons, healthy and with the arm raised. That the middle, 2.3 N/mm, is the stiffness at first is
    reasoned: over a centimetre it rises by a tenth. Nobody who was found measured the socket's hold on a forearm: by
    default it is half of the 15 N/mm at which a socket on the lower leg was drawn off (`socket_give_lower_leg`),
    reasoned from there, as a residual forearm is smaller. 0 leaves the cuff alone, 15 N/mm is the other end; the truth
    may lie beyond it, as a limb that tapers hardly lets a socket come further up.

    Examples
    --------
    >>> Cuff(socket=0.0).pull(np.array([0.0, 0.01, -0.01]))[0].round(1).tolist()
    [0.0, 24.2, -24.2]
    """

    stiffness: float = 2_300.0
    stiffening: float = 10.0
    socket: float = 7_500.0

    def __post_init__(self) -> None:
        limits = {
            "stiffness": (0.0, 1e6, "2300", "zero makes it rigid"),
            "stiffening": (0.0, 100.0, "10", "zero leaves it linear"),
            "socket": (0.0, 1e6, "7500", "zero leaves the cuff alone"),
        }
        for name, (low, high, example, hint) in limits.items():
            within(f"The cuff's {name}", getattr(self, name), low, high, example=example, hint=hint)

    @property
    def gives(self) -> bool:
        """Whether it gives at all."""
        return self.stiffness > 0.0

    def pull(self, give: Array) -> tuple[Array, Array]:
        """Force that a give along the limb takes, and its rate.

        Parameters
        ----------
        give : ndarray
            How far pad and crossbar have moved up the limb [m], shape (stations,)

        Returns
        -------
        force : ndarray
            Force up the limb that holds them there [N], shape (stations,)
        rate : ndarray
            Change of force with give, never nought where a cuff gives [N/m], shape (stations,)

        Examples
        --------
        >>> float(Cuff(stiffening=0.0, socket=0.0, stiffness=2000.0).pull(np.array([0.01]))[0][0])
        20.0
        """
        far = np.abs(give)
        near = np.minimum(far, FAR)
        rate = self.stiffness * np.exp(self.stiffening * near)
        if self.stiffening > 0.0:
            flesh = (rate - self.stiffness) / self.stiffening + rate * (far - near)
        else:
            flesh = self.stiffness * far
        return np.sign(give) * flesh + self.socket * give, rate + self.socket


RIGID = Cuff(stiffness=0.0)
"""A cuff that does not give."""
