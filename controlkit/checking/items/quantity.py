"""What an exercise asks: a quantity with its unit, a design that is simulated, a written reason.

Choices, orders, functions and diagnoses stand in files of their own.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from controlkit.checking.case.cases import Case
from controlkit.checking.items.choice import Choice
from controlkit.checking.items.diagnosis import Diagnosis
from controlkit.checking.items.function import Function, Inputs
from controlkit.checking.items.order import Order
from controlkit.checking.items.wrong import Earlier
from controlkit.checking.reading import sizes
from controlkit.units import InputError


@dataclass(frozen=True)
class Quantity:
    """One number with a unit.

    Parameters
    ----------
    name : str
        Name of the item, and of the variable in the notebook
    points : float
        What the right answer earns [-]
    kind : str
        Kind of quantity, as `controlkit.units.read` knows it
    unit : str
        Unit in which a bare number is taken, and in which all models of the item compute
    asks : str
        What is asked, in words
    right : callable
        From the case and the student's earlier answers, the right answer in ``unit``
    within : float
        How far an answer may lie from the right one [unit]
    relative : float
        The same as a share of the right answer; the larger of both counts [-]
    hints : tuple of str
        What to say at the first, second, ... attempt that matches nothing known
    follows : str
        Item whose own earlier value this one is computed from; empty for none
    credible : tuple of float
        Between these a wrong value of this item may still be carried forward [unit]
    """

    name: str
    points: float
    kind: str
    unit: str
    asks: str
    right: Callable[[Case, Earlier], float]
    within: float = 0.0
    relative: float = 0.0
    hints: tuple[str, ...] = ()
    follows: str = ""
    credible: tuple[float, float] = (-float("inf"), float("inf"))

    def __post_init__(self) -> None:
        if self.within <= 0 and self.relative <= 0:
            raise InputError(f"Item {self.name} has no tolerance: give within or relative.")
        if self.unit not in sizes(self.kind):
            raise InputError(f"Item {self.name} asks for a {self.kind} in {self.unit!r}, which is not a unit of it.")

    def tolerance(self, value: float, right: float) -> float:
        """How far from a value still counts as that value.

        Parameters
        ----------
        value : float
            The right answer or that of a wrong idea [unit]
        right : float
            The right answer [unit]

        Returns
        -------
        float
            Smaller for a value far below the right one, as when metres are taken for millimetres [unit]
        """
        finer = min(1.0, abs(value / right)) if right else 1.0
        return max(self.within * finer, self.relative * abs(value))

    @property
    def asks_in_full(self) -> str:
        """What is asked, in which unit a bare number is taken, and how near it must be.

        Returns
        -------
        str
            For example "the excursion; in mm, within 1 mm"
        """
        near = [f"{self.within:g} {self.unit}"] if self.within > 0 else []
        near += [f"{100 * self.relative:g} %"] if self.relative > 0 else []
        stands = f"in {self.unit}" if self.unit else "a plain number"
        return f"{self.asks}; {stands}, within {' or '.join(part.strip() for part in near)}"


@dataclass(frozen=True)
class Setting:
    """One number that the student chooses in a design.

    Parameters
    ----------
    name : str
        Name of the setting
    kind : str
        Kind of quantity, as `controlkit.units.read` knows it
    unit : str
        Unit in which a bare number is taken
    meaning : str
        What it is, in words
    """

    name: str
    kind: str
    unit: str
    meaning: str


@dataclass(frozen=True)
class Criterion:
    """One thing that a design must do.

    Parameters
    ----------
    label : str
        Fixed name, free of numbers
    points : float
        What it earns [-]
    share : callable
        From the result of the simulation and the case, how far it is met, 0 to 1 [-]
    met : str
        What to say when it is met
    ask : str
        What to ask when it is not
    because : str
        For the instructor: what lies behind a failure
    """

    label: str
    points: float
    share: Callable[[Any, Case], float]
    met: str
    ask: str
    because: str


@dataclass(frozen=True)
class Body:
    """Another wearer on whom a design is tried.

    Parameters
    ----------
    kind : str
        What sort of body it is, in words that may be told to the student
    make : callable
        Makes the wearer
    """

    kind: str
    make: Callable[[], Any]


@dataclass(frozen=True)
class Design:
    """Settings chosen by the student, simulated, and judged against criteria and on other bodies.

    Parameters
    ----------
    name : str
        Name of the item, and of the variable in the notebook
    asks : str
        What is asked, in words
    settings : tuple of Setting
        What is chosen
    wearer : callable
        From the case, the student's own wearer
    simulate : callable
        From a wearer, the chosen settings in SI units and the case, one result. Raises
        `controlkit.units.InputError` where the settings cannot be worn
    criteria : tuple of Criterion
        Judged on the result for the own wearer
    works : callable
        From a result, whether the design serves that body
    bodies : tuple of Body
        On whom it is tried in the notebook; graded ones replace them
    bodies_points : float
        Points for serving all of them, shared out evenly [-]
    """

    name: str
    asks: str
    settings: tuple[Setting, ...]
    wearer: Callable[[Case], Any]
    simulate: Callable[[Any, Mapping[str, float], Case], Any]
    criteria: tuple[Criterion, ...]
    works: Callable[[Any], bool]
    bodies: tuple[Body, ...]
    bodies_points: float

    @property
    def points(self) -> float:
        """Most points that the design can earn.

        Returns
        -------
        float
            Criteria and other bodies together [-]
        """
        return sum(criterion.points for criterion in self.criteria) + self.bodies_points


@dataclass(frozen=True)
class Graded:
    """What the instructor keeps back: other bodies and, where they differ, other criteria; unseen inputs.

    Parameters
    ----------
    bodies : tuple of Body
        They replace the bodies of the notebook; empty to keep them
    criteria : tuple of Criterion
        They replace those of the notebook, for the same total of points; empty to keep them
    inputs : mapping
        Name of a function's item to its unseen inputs, from the case; they replace those of the notebook
    """

    bodies: tuple[Body, ...] = ()
    criteria: tuple[Criterion, ...] = ()
    inputs: Mapping[str, Callable[[Case], tuple[Inputs, ...]]] = field(default_factory=dict)


@dataclass(frozen=True)
class Written:
    """A written reason, marked by a person along a rubric.

    Parameters
    ----------
    name : str
        Name of the item, and of its cell in the notebook
    asks : str
        What is asked, in words
    rubric : tuple of (float, str)
        Points and what earns them, one line each [-]
    """

    name: str
    asks: str
    rubric: tuple[tuple[float, str], ...]

    @property
    def points(self) -> float:
        """Most points that the rubric gives.

        Returns
        -------
        float
            Sum over its lines [-]
        """
        return sum(points for points, _ in self.rubric)


Item = Quantity | Design | Written | Choice | Order | Function | Diagnosis
"""Any of the kinds."""


def asked_in_full(item: Item, case: Case) -> str:
    """What is asked, with everything that an answer needs to know.

    Parameters
    ----------
    item : Item
        Any kind
    case : Case
        The student's case

    Returns
    -------
    str
        For the table of items
    """
    if isinstance(item, Quantity):
        return item.asks_in_full
    return item.asks if isinstance(item, Design | Written) else item.asked(case)
