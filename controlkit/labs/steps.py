"""A control that grows: steps taken one after the other, each by a button."""

from __future__ import annotations

from dataclasses import dataclass

from controlkit.units import InputError

__all__ = ["Steps"]


@dataclass(frozen=True)
class Steps:
    """Steps taken one after the other.

    Parameters
    ----------
    key : str
        Its name in a setting, without blanks.
    label : str
        Its name on the page.
    options : tuple of (str, str)
        Name in a setting and name on its button of each step.
    start : str
        Steps taken at first, parted by commas.
    most : int
        Steps that may be taken [-].
    """

    key: str
    label: str
    options: tuple[tuple[str, str], ...]
    start: str = ""
    most: int = 40

    def accept(self, written: str) -> str:
        """Read steps that were written in one line.

        Parameters
        ----------
        written : str
            Names parted by commas; nothing for none.

        Returns
        -------
        str
            The same, neatly written.

        Raises
        ------
        InputError
            If a step is not known, or there are too many.

        Examples
        --------
        >>> Steps("steps", "Steps", (("pull", "pull"), ("let-go", "let go"))).accept("pull,let-go")
        'pull, let-go'
        """
        taken = [name.strip() for name in written.split(",") if name.strip()]
        known = [name for name, _ in self.options]
        for name in taken:
            if name not in known:
                raise InputError(f"There is no step “{name[:40]}”. The steps are: {', '.join(known)}.")
        if len(taken) > self.most:
            raise InputError(f"More than {self.most} steps were taken. Begin again, or take some back.")
        return ", ".join(taken)
