"""The housing that carries the cable past the elbow."""

from __future__ import annotations

from dataclasses import dataclass

from controlkit.mechanics.cable.route import ArmLine
from controlkit.mechanics.inputs import within
from controlkit.units import InputError


@dataclass(frozen=True)
class Housing:
    """A housing between crossbar and retainer.

    Parameters
    ----------
    spare : float
        Length beyond the shortest that lets the elbow bend to 135 degrees; negative is too short [m]
    length : float, optional
        Length from crossbar to retainer; where it is given, `spare` is not used [m]
    fixed : bool
        Held at crossbar and retainer. A housing that has come off its retainer no longer leads the cable
    stiffness : float
        Force per unit of strain in compression [N]

    Raises
    ------
    InputError
        If a value is outside its range

    Notes
    -----
    All values are assumptions.

    Examples
    --------
    >>> round(Housing().long(ArmLine()), 4)
    0.2774
    """

    spare: float = 0.003
    length: float | None = None
    fixed: bool = True
    stiffness: float = 200_000.0

    def __post_init__(self) -> None:
        within("The housing's spare length", self.spare, -0.2, 0.3, example="mm(3)", of="length")
        within("The housing's stiffness", self.stiffness, 1_000.0, 1e7, example="200000")
        if self.length is not None:
            within("The housing's length", self.length, 0.02, 1.0, example="mm(255)", of="length")
        if not isinstance(self.fixed, bool):
            raise InputError(
                given=f"fixed was given as {self.fixed!r}.",
                do="Write True for held at both ends, or False.",
            )

    def long(self, arm: ArmLine) -> float:
        """Its length on this arm.

        Parameters
        ----------
        arm : ArmLine
            Where it is held

        Returns
        -------
        float
            Length from crossbar to retainer [m]

        Examples
        --------
        >>> Housing(length=0.3).long(ArmLine())
        0.3
        """
        return self.length if self.length is not None else arm.needed() + self.spare
