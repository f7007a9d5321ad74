"""What begins anew in a lab where something else comes on to its bench."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from controlkit.labs.controls import Control, Value, Values

__all__ = ["Anew"]


@dataclass(frozen=True)
class Anew:
    """Which controls say what lies on the bench, and which of them hold what was found of it.

    Parameters
    ----------
    of : tuple of (str, str, str)
        Key of each control that says what lies there; it does so only where the control named next stands at the value
        named last; where that name is empty, it always does.
    clears : tuple of str
        Keys of the controls that go back to their start where something else lies there.

    Examples
    --------
    >>> bench = Anew((("task", "", ""), ("number", "task", "search")), ("take",))
    >>> bench.lies({"task": "search", "number": 3.0}), bench.lies({"task": "checkout", "number": 3.0})
    (('search', 3.0), ('checkout',))
    """

    of: tuple[tuple[str, str, str], ...]
    clears: tuple[str, ...]

    def lies(self, values: Values) -> tuple[Value, ...]:
        """What lies on the bench in a setting."""
        return tuple(values[key] for key, other, at in self.of if not other or values[other] == at)

    def begun(self, before: Values, after: Values, controls: Sequence[Control], keep: Collection[str] = ()) -> Values:
        """Clear what was found of something else.

        Parameters
        ----------
        before, after : mapping
            The setting that what was found belongs to, and the one that is asked for [SI].
        controls : sequence of Control
            The controls of the lab.
        keep : collection of str
            Keys of controls that were set on purpose, and stay.

        Returns
        -------
        mapping
            The setting asked for, with an empty record if something else lies on the bench [SI].
        """
        if self.lies(before) == self.lies(after):
            return after
        starts = {one.key: one.start for one in controls if one.key in self.clears and one.key not in keep}
        return MappingProxyType({**after, **starts})

    def described(self, controls: Sequence[Control]) -> dict[str, Any]:
        """Describe it to the front end."""
        return {
            "of": [list(one) for one in self.of],
            "clears": {one.key: one.start for one in controls if one.key in self.clears},
        }
