"""Outcomes worth knowing, as data: a code, its kind, its values. The words are made where they are read."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from numbers import Real
from types import MappingProxyType

KINDS: Mapping[str, str] = MappingProxyType(
    {
        "set-up": "how harness, cable or housing is set up; a fitter changes it",
        "strap": "where straps and ring have come to lie on the body, or that they bear nothing",
        "device": "what the device, or the object in it, does without being asked",
        "effort": "what it takes beside what the wearer, or a stiff part, can bear",
        "model": "where the model's answer ends",
        "reading": "how far bench readings carry what is fitted to them",
    }
)
"""Kinds of outcome, and what each is about."""

NAME = "name"
"""In place of a unit: the value is a name."""

VALUES: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "strap": (NAME, "the strap, as the harness calls it"),
        "crossing": (NAME, "what the straps meet at on the back"),
        "round": (NAME, "what a strap goes round"),
        "slack": ("m", "length that hangs slack, or is given"),
        "taken_up": ("m", "cable that is taken up"),
        "travel": ("m", "cable travel at the device"),
        "moved": ("m", "movement of the fingertips"),
        "aside": ("m", "distance from the midline"),
        "risen": ("m", "way up the back since donning, or up the limb"),
        "off": ("m", "distance from the limb"),
        "radius": ("m", "tightest bend"),
        "width": ("m", "width of the object"),
        "opening": ("m", "how far the device opens at most"),
        "within": ("m", "as far as was looked, or as all readings lie"),
        "load": ("N", "pull along the residual limb"),
        "force": ("N", "tension, or cable force, that it takes"),
        "strength": ("N", "largest cable force of the wearer"),
        "arm_flexion": ("rad", "angle of the arm"),
        "elbow_flexion": ("rad", "angle of the elbow"),
        "bend": ("rad", "all bends of cable and housing"),
        "ratio": ("-", "force at the harness over force at the device"),
    }
)
"""Values that an outcome may carry: unit, and what it is."""

CODES: Mapping[str, tuple[str, tuple[str, ...]]] = MappingProxyType(
    {
        "control-strap-slack": ("set-up", ("strap", "slack")),
        "no-housing": ("set-up", ()),
        "housing-loose": ("set-up", ()),
        "housing-catches": ("set-up", ("off",)),
        "housing-kinks": ("set-up", ("radius",)),
        "elbow-held-straight": ("set-up", ()),
        "elbow-stopped": ("set-up", ("elbow_flexion",)),
        "elbow-gives-slack": ("set-up", ("slack",)),
        "elbow-takes-up": ("set-up", ("taken_up",)),
        "strap-slack": ("strap", ("strap",)),
        "ring-on-spine": ("strap", ("crossing", "aside")),
        "ring-slipped": ("strap", ("crossing",)),
        "ring-ridden-up": ("strap", ("crossing", "risen")),
        "pad-ridden-up": ("strap", ("risen",)),
        "strap-crept": ("strap", ("strap", "round")),
        "chest-strap-slides-up": ("strap", ("strap",)),
        "strap-on-neck": ("strap", ("strap",)),
        "strap-on-deltoid": ("strap", ("strap",)),
        "open-at-rest": ("device", ("travel",)),
        "partly-closed-at-rest": ("device", ("travel",)),
        "moves-with-elbow": ("device", ("moved",)),
        "load-moves-device": ("device", ("travel",)),
        "object-too-wide": ("device", ("width", "opening")),
        "grip-pulled-away": ("device", ("force",)),
        "opened-again": ("device", ()),
        "grip-not-reached": ("device", ("force",)),
        "nothing-carries": ("effort", ("load",)),
        "load-not-carried": ("effort", ("load", "within")),
        "beyond-strength": ("effort", ("force", "strength")),
        "strap-beyond-strength": ("effort", ("strap", "force", "strength")),
        "arm-above-checked": ("model", ("arm_flexion",)),
        "not-settled": ("model", ()),
        "one-bend": ("reading", ("bend",)),
        "origin-missed": ("reading", ("ratio",)),
        "origin-missed-by-units": ("reading", ("ratio",)),
        "travel-too-small": ("reading", ("within",)),
        "interval-reaches-zero": ("reading", ()),
        "interval-without-end": ("reading", ()),
    }
)
"""Every outcome: its kind, and the values that it carries."""


@dataclass(frozen=True, eq=False, repr=False)
class Values(Mapping[str, float | str]):
    """Values of a state by name; they never change, and compare, hash and pickle as what they hold.

    Parameters
    ----------
    pairs : tuple of (str, float or str)
        Names and values, sorted by name [SI]
    """

    pairs: tuple[tuple[str, float | str], ...] = ()

    def __getitem__(self, name: str) -> float | str:
        for known, value in self.pairs:
            if known == name:
                return value
        raise KeyError(name)

    def __iter__(self) -> Iterator[str]:
        return (name for name, _ in self.pairs)

    def __len__(self) -> int:
        return len(self.pairs)

    def __hash__(self) -> int:
        return hash(self.pairs)

    def __repr__(self) -> str:
        return repr(dict(self.pairs))


@dataclass(frozen=True, repr=False)
class State:
    """One outcome worth knowing; none is an error.

    Parameters
    ----------
    code : str
        Which, one of `CODES`
    kind : str
        What it is about, one of `KINDS`
    values : mapping
        What `CODES` says it carries, names and numbers [SI]; units in `VALUES`

    Raises
    ------
    ValueError
        If code, kind or values are not those of `CODES`

    Examples
    --------
    >>> said = State.of("ring-on-spine", crossing="ring", aside=0.004)
    >>> said.kind, said.values["aside"]
    ('strap', 0.004)
    >>> print(said)
    ring-on-spine (strap): aside 0.004 m, crossing ring
    """

    code: str
    kind: str
    values: Mapping[str, float | str] = field(default_factory=Values)

    def __post_init__(self) -> None:
        if self.code not in CODES:
            raise ValueError(f"There is no state {self.code!r}. Use one of: {', '.join(CODES)}.")
        kind, names = CODES[self.code]
        if self.kind != kind:
            raise ValueError(f"State {self.code!r} is of kind {kind!r}, not {self.kind!r}.")
        if set(self.values) != set(names):
            raise ValueError(f"State {self.code!r} carries {sorted(names)}; given were {sorted(self.values)}.")
        pairs = tuple((name, _value(name, self.values[name])) for name in sorted(names))
        object.__setattr__(self, "values", Values(pairs))

    @classmethod
    def of(cls, code: str, **values: float | str) -> State:
        """A state by its code; the kind is that of the table.

        Parameters
        ----------
        code : str
            Which, one of `CODES`
        **values : float or str
            What it carries [SI]

        Returns
        -------
        State
            The state

        Raises
        ------
        ValueError
            If code or values are not those of `CODES`

        Examples
        --------
        >>> State.of("no-housing") == State("no-housing", "set-up")
        True
        """
        return cls(code, CODES[code][0] if code in CODES else "", values)

    def __str__(self) -> str:
        said = (f"{name} {value}{_unit(name)}" for name, value in self.values.items())
        return f"{self.code} ({self.kind}){': ' if self.values else ''}{', '.join(said)}"

    def __repr__(self) -> str:
        return f"<State {self}>"


def _unit(name: str) -> str:
    unit = VALUES[name][0]
    return "" if unit in (NAME, "-") else f" {unit}"


def _value(name: str, value: object) -> float | str:
    if VALUES[name][0] == NAME:
        if isinstance(value, str) and value:
            return value
        raise ValueError(f"{name} is a name; {value!r} was given.")
    if isinstance(value, bool) or not isinstance(value, Real) or math.isnan(value):
        raise ValueError(f"{name} is a number in {VALUES[name][0]}; {value!r} was given.")
    return float(value)
