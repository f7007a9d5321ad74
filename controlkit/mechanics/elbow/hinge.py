"""Very short limbs: the step-up hinge, what it asks of the limb, and the couple that a short socket bears."""

from __future__ import annotations

from dataclasses import dataclass

from controlkit.mechanics.inputs import within
from controlkit.sources import source
from controlkit.units import deg


@dataclass(frozen=True)
class StepUpHinge:
    r"""A hinge that flexes the forearm by more than the residual limb.

    .. math:: \varepsilon = k\,\theta, \qquad M_{limb} = k\,M_{forearm}

    Parameters
    ----------
    ratio : float
        Flexion of the forearm over that of the limb [-]; as public study cards repeat it, 2

    Raises
    ------
    InputError
        If it is outside 1 to 3

    Notes
    -----
    The price follows from virtual work, whatever the hinge is made of; friction makes it worse.

    Examples
    --------
    >>> hinge = StepUpHinge()
    >>> hinge.limb_flexion(1.0), hinge.limb_moment(2.6)
    (0.5, 5.2)
    """

    ratio: float = source("step_up_ratio").si

    def __post_init__(self) -> None:
        within("The hinge's ratio", self.ratio, 1.0, 3.0, example="2")

    def limb_flexion(self, elbow_flexion: float) -> float:
        """How far the limb is flexed.

        Parameters
        ----------
        elbow_flexion : float
            Of the prosthetic forearm, 0 to 150 degrees [rad]

        Returns
        -------
        float
            Of the residual limb [rad]
        """
        return within("Elbow flexion", elbow_flexion, 0.0, deg(150.0), example="deg(100)", of="angle") / self.ratio

    def limb_moment(self, moment: float) -> float:
        """Moment that the limb must make.

        Parameters
        ----------
        moment : float
            About the elbow, of forearm and load [N m]

        Returns
        -------
        float
            Of the residual limb [N m]
        """
        return self.ratio * moment


def socket_couple(moment: float, lever: float) -> float:
    r"""Force with which a limb presses on its socket at either end to make a moment.

    .. math:: F = M / a

    Parameters
    ----------
    moment : float
        To be made [N m]
    lever : float
        Between where the limb presses in front and behind [m]

    Returns
    -------
    float
        At either end [N]

    Raises
    ------
    InputError
        If the lever is outside 5 mm to 0.5 m

    Notes
    -----
    The shorter the limb, the larger the force: why body power often fails on a very short one.

    Examples
    --------
    >>> round(socket_couple(5.2, 0.045))
    116
    """
    return abs(moment) / within("The lever in the socket", lever, 0.005, 0.5, example="mm(45)", of="length")
