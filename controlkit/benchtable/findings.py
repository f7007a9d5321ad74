"""What bench readings say: friction or stiffness fitted to them, and where they leave the model, in words."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Generic, Protocol, TypeVar

import numpy as np
from numpy.typing import ArrayLike, NDArray

from controlkit.benchtable.readings import BenchReadings, Column
from controlkit.mechanics.bench.fits import Comparison, Fit, compare, compare_cable, fit_friction, fit_stiffness
from controlkit.mechanics.bench.instruments import SCALE, TAPE
from controlkit.mechanics.cable import tension_ratio
from controlkit.units import InputError, show

Array = NDArray[np.float64]
Result = TypeVar("Result", Fit, Comparison)
Values = Mapping[str, float | str]

BACK = ("back", "return", "returning", "letting", "release")
"""Words of a heading, or of a column “stroke”, that say the cable was let back."""


class Cable(Protocol):
    """What a cable must tell: how much it rubs, and how much it bends at an angle of the elbow."""

    @property
    def friction(self) -> float:
        """Friction coefficient.

        Returns
        -------
        float
            Of cable in housing [-]
        """

    def bend(self, elbow_flexion: float) -> float:
        """Total bend of the housing.

        Parameters
        ----------
        elbow_flexion : float
            Elbow flexion, 0 is straight [rad]

        Returns
        -------
        float
            All bends added [rad]
        """


@dataclass(frozen=True)
class BenchFinding(Generic[Result]):
    """A result with its words.

    Parameters
    ----------
    result : Fit or Comparison
        The numbers
    rows : tuple of int
        Row of the table behind each reading [-]
    words : str
        What it says, one sentence a line
    """

    result: Result
    rows: tuple[int, ...]
    words: str

    def __repr__(self) -> str:
        return self.words


def friction_of(bench: BenchReadings, cable: Cable | None = None, *, level: float = 0.95) -> BenchFinding[Fit]:
    """Friction coefficient of the cable, from forces at device and harness.

    Parameters
    ----------
    bench : BenchReadings
        With a column of forces at the device, one or two at the harness (out and back), and one of bends
    cable : ControlCable, optional
        Gives the total bend where the table holds the elbow's angle instead
    level : float
        Confidence of the interval [-]

    Returns
    -------
    BenchFinding
        The fit; its words name rows of the table

    Raises
    ------
    InputError
        If a column is missing, or as `controlkit.mechanics.bench.fits.readings.fit_friction`
    """
    cabled = _cable_rows(bench, cable)
    rows, back = cabled.rows, cabled.back
    fit = cabled.fitted(level)
    count = f"{len(rows)} readings"
    if back.any():
        count += f" ({np.count_nonzero(~back)} pulling, {np.count_nonzero(back)} letting back)"
    said = [
        f"Friction coefficient {fit.value:.3f}; {_interval(fit, '{:.3f}')}, from {count}.",
        "Method: the logarithm of harness over device against the bend, least squares through the origin, t interval.",
    ]
    if fit.value > 0.0:
        said.append(f"Over 180° of bend this leaves {100 * tension_ratio(fit.value, math.pi):.0f} % of the pull.")
    said += _strangers(fit, rows, "{:.3f}")
    if fit.helping:
        said.append(
            f"{_rows(rows[k] for k in fit.helping)}: friction seems to help there, which it cannot. "
            "Are the two forces swapped, or was it the other stroke?"
        )
    said += _notes(fit)
    said += _missing(bench, rows)
    return BenchFinding(fit, rows, "\n".join(said))


def stiffness_of(bench: BenchReadings, *, level: float = 0.95) -> BenchFinding[Fit]:
    """Stiffness of a strap or a cable, from pulls and travel.

    Parameters
    ----------
    bench : BenchReadings
        With one column of forces and one of lengths
    level : float
        Confidence of the interval [-]

    Returns
    -------
    BenchFinding
        The fit; its words name rows of the table

    Raises
    ------
    InputError
        If a column is missing, or as `controlkit.mechanics.bench.fits.readings.fit_stiffness`
    """
    pull, way = _only(bench, "force", ()), _only(bench, "length", ())
    (force, travel), rows = _complete(bench, pull, way)
    fit = fit_stiffness(force, travel, level=level)
    line = _in_mm(fit.value)
    said = [
        f"Stiffness {line}; {_interval(fit, '{:.2f}', 1000.0)}, from {len(rows)} readings.",
        f"Before the force begins to rise the end moves {show(fit.start, 'length')}: slack, or the tape's start.",
        "Method: travel against force, least squares with a start of its own, t interval turned over.",
    ]
    said += _strangers(fit, rows, "{:.2f}", 1000.0)
    said += _notes(fit)
    said += _missing(bench, rows)
    return BenchFinding(fit, rows, "\n".join(said))


def cable_beside(bench: BenchReadings, cable: Cable) -> BenchFinding[Comparison]:
    """Where the real cable differs from the model.

    Parameters
    ----------
    bench : BenchReadings
        As for `friction_of`
    cable : ControlCable
        The model

    Returns
    -------
    BenchFinding
        Force at the harness, read and computed from that at the device

    Raises
    ------
    InputError
        If a column is missing, or a reading is no size
    """
    cabled = _cable_rows(bench, cable)
    harness, bend, rows = cabled.harness, cabled.bend, cabled.rows
    side = compare_cable(cabled.device, harness, bend, cable.friction, back=cabled.back)
    off = np.flatnonzero(~side.inside)
    said = _in_all(off, rows, f"the scale can be off (about {SCALE:g} N at each end)")
    if off.size:
        worst = int(off[np.argmax(np.abs(side.residual[off]))])
        more = "more" if side.bias > 0 else "less"
        average, read, computed = (show(x, "force") for x in (abs(side.bias), harness[worst], side.modelled[worst]))
        said.append(f"The real cable takes {more} than the model at the harness: {average} on average.")
        said.append(
            f"Most in row {rows[worst]}, at {math.degrees(bend[worst]):.0f}° of bend: read {read}, computed {computed}."
        )
    said += _own_friction(cable.friction, cabled)
    return BenchFinding(side, rows, "\n".join(said + _missing(bench, rows)))


def beside(bench: BenchReadings, column: str, modelled: ArrayLike, *, along: str = "") -> BenchFinding[Comparison]:
    """Where one column of readings differs from what a model computes.

    Parameters
    ----------
    bench : BenchReadings
        The table
    column : str
        Name of the column: forces or lengths
    modelled : array_like
        What the model gives for each row of the table [SI], shape (rows,)
    along : str
        Column of what was varied, to see whether the difference grows with it

    Returns
    -------
    BenchFinding
        Read and computed

    Raises
    ------
    InputError
        If there is no such column, it holds neither forces nor lengths, or the model has other rows
    """
    read = bench.column(column)
    if read.kind not in ("force", "length"):
        raise InputError(
            given=f'Column "{read.name}" holds no forces or lengths, which scale and tape read.',
            do="Choose one that does.",
        )
    computed = np.atleast_1d(np.asarray(modelled, dtype=float))
    if computed.shape != (len(bench),):
        raise InputError(
            given=f"The table has {len(bench)} rows and the model gives {computed.size} values.",
            do="Give one a row.",
        )
    columns = [read, Column("model", read.kind, tuple(float(value) for value in computed), ())]
    columns += [bench.column(along)] if along else []
    (measured, model, *varied), rows = _complete(bench, *columns)
    doubt = SCALE if read.kind == "force" else TAPE
    side = compare(measured, model, doubt, along=varied[0] if varied else None)
    off = np.flatnonzero(~side.inside)
    tool = "scale" if read.kind == "force" else "tape"
    said = _in_all(off, rows, f"the {tool} can be off (about {show(doubt, read.kind, 'metric', 0)})")
    if off.size:
        worst = int(off[np.argmax(np.abs(side.residual[off]))])
        more = "more" if side.bias > 0 else "less"
        average, most, instead = (show(x, read.kind) for x in (abs(side.bias), measured[worst], model[worst]))
        said.append(
            f"{read.name}: read {more} than computed by {average} on average; "
            f"most in row {rows[worst]}: read {most}, computed {instead}."
        )
        if along:
            said.append(
                f"Along {along} the difference " + {"even": "stays about the same."}.get(side.trend, f"{side.trend}.")
            )
    return BenchFinding(side, rows, "\n".join(said + _missing(bench, rows)))


@dataclass(frozen=True)
class _CableRows:
    """Every complete reading of both strokes: forces [N], bend [rad], whether the cable was let back, row."""

    device: Array
    harness: Array
    bend: Array
    back: NDArray[np.bool_]
    rows: tuple[int, ...]

    def fitted(self, level: float = 0.95) -> Fit:
        return fit_friction(self.device, self.harness, self.bend, back=self.back, level=level)


def _own_friction(model: float, cabled: _CableRows) -> list[str]:
    """Whether another friction would bring the model to the readings, or none."""
    try:
        fit = cabled.fitted()
    except InputError as trouble:
        return [f"No friction could be fitted: {trouble}"]
    best = fit.without or fit
    said = (
        f"Friction fitted to these readings is {best.value:.3f} ({_interval(best, '{:.3f}')}); the model has {model:g}"
    )
    if best.low <= model <= best.high:
        return [f"{said}, which is within.", *_notes(fit)]
    rubs = "more" if best.value > model else "less"
    return [f"{said}: the real cable rubs {rubs}, or bends {rubs}.", *_notes(fit)]


def _notes(fit: Fit) -> list[str]:
    """What else is worth knowing of a fit, in words."""
    return [f"Note: {_NOTES[state.code](state.values)}." for state in fit.states]


def _far(values: Values) -> str:
    return f"the line misses the origin: without any bend the harness would feel {values['ratio']:.2g} times the device"


_NOTES: Mapping[str, Callable[[Values], str]] = {
    "one-bend": lambda _: "one bend only: whether loss follows the bend is not tested",
    "origin-missed": _far,
    "origin-missed-by-units": lambda v: f"{_far(v)}, as where one force is in pounds-force and the other in newtons",
    "travel-too-small": lambda v: (
        f"all travel lies within {show(float(v['within']), 'length')}: too little for this tape"
    ),
    "interval-reaches-zero": lambda _: "the interval reaches zero: these readings cannot tell it from none",
    "interval-without-end": lambda _: "the interval has no upper end: stretch cannot be told from none",
}


def _cable_rows(bench: BenchReadings, cable: Cable | None) -> _CableRows:
    angle = _angles(bench, cable)
    strokes = [column for column in bench.columns if column.named("stroke", "direction")]
    found: list[tuple[list[Array], tuple[int, ...], NDArray[np.bool_]]] = []
    harness = _all(bench, "force", ("harness", "hanger"))
    devices = _all(bench, "force", ("device", "hook"))
    for column in harness:
        back = column.named(*BACK)
        same = [device for device in devices if device.named(*BACK) == back] or devices
        arrays, rows = _complete(bench, same[0], column, angle)
        words = [strokes[0].words[row - 1].casefold() if strokes and not back else "" for row in rows]
        let_back = np.array([back or any(word in said for word in BACK) for said in words], dtype=bool)
        found.append((arrays, rows, let_back))
    device, force, bend = (np.concatenate([arrays[k] for arrays, _, _ in found]) for k in range(3))
    rows = tuple(row for _, found_rows, _ in found for row in found_rows)
    return _CableRows(device, force, bend, back=np.concatenate([let_back for _, _, let_back in found]), rows=rows)


def _angles(bench: BenchReadings, cable: Cable | None) -> Column:
    """The total bend in each row."""
    bends = [column for column in bench.columns if column.kind == "angle" and column.named("bend", "bends")]
    if bends:
        return bends[0]
    elbow = [column for column in bench.columns if column.kind == "angle"]
    if not elbow:
        raise InputError(
            given="The table has no angles.",
            do="Give a column “bend [deg]”: all bends of the housing, added up.",
        )
    if cable is None:
        raise InputError(
            given=f"The table holds “{elbow[0].name}”.",
            allowed="Friction needs the total bend of the housing, which is more.",
            do="Give a column “bend [deg]”, or a cable whose route tells it.",
        )
    route: Callable[[float], float] = cable.bend
    values = tuple(route(value) if math.isfinite(value) else math.nan for value in elbow[0].values)
    return Column("bend", "angle", values, elbow[0].words)


def _all(bench: BenchReadings, kind: str, names: tuple[str, ...]) -> list[Column]:
    found = [column for column in bench.columns if column.kind == kind and (not names or column.named(*names))]
    if not found:
        need = f"a column “{names[0]}” with a {kind}" if names else f"a column with a {kind}"
        there = ", ".join(f'"{column.name}"' for column in bench.columns)
        lost = [trouble.words for trouble in bench.troubles if not trouble.row]
        raise InputError(given=f"This needs {need}.", allowed=f"The table has {there}.", do=" ".join(lost))
    return found


def _only(bench: BenchReadings, kind: str, names: tuple[str, ...]) -> Column:
    found = _all(bench, kind, names)
    if len(found) > 1:
        there = ", ".join(f'"{column.name}"' for column in found)
        raise InputError(
            given=f"More than one column holds a {kind}: {there}.",
            do="Leave in the table the one that is meant.",
        )
    return found[0]


def _complete(bench: BenchReadings, *columns: Column) -> tuple[list[Array], tuple[int, ...]]:
    """The rows in which every one of some columns holds a number."""
    table = np.array([column.values for column in columns], dtype=float)
    whole = np.flatnonzero(np.isfinite(table).all(axis=0))
    if not whole.size:
        names = " and ".join(f"“{column.name}”" for column in columns)
        lost = [trouble.words for trouble in bench.troubles]
        raise InputError(given=f"No row has a number for {names}.", do=" ".join(lost[:3]))
    return [row[whole] for row in table], tuple(int(k) + 1 for k in whole)


def _in_all(off: NDArray[np.intp], rows: tuple[int, ...], tools: str) -> list[str]:
    if not off.size:
        return [f"The model explains all {len(rows)} readings within what {tools}."]
    which = _rows(rows[int(k)] for k in off)
    return [f"{off.size} of {len(rows)} readings differ from the model by more than {tools}: {which.lower()}."]


def _interval(fit: Fit, form: str, size: float = 1.0) -> str:
    high = form.format(fit.high / size) if math.isfinite(fit.high) else "no upper end"
    return f"{100 * fit.level:.0f} % interval {form.format(fit.low / size)} to {high}" + (" N/mm" if size > 1.0 else "")


def _in_mm(stiffness: float) -> str:
    return f"{stiffness / 1000.0:.2f} N/mm" if math.isfinite(stiffness) else "beyond measure"


def _strangers(fit: Fit, rows: tuple[int, ...], form: str, size: float = 1.0) -> list[str]:
    """Readings that do not belong, and what the fit is without them."""
    said = []
    for outlier in fit.outliers:
        perhaps = f" Perhaps {outlier.perhaps}." if outlier.perhaps else " Read it again before you leave it out."
        said.append(
            f"Row {rows[outlier.index]} does not belong with the others: "
            f"it lies {abs(outlier.studentised):.0f} times its spread away.{perhaps}"
        )
    if fit.without is not None:
        value = form.format(fit.without.value / size)
        said.append(f"Without {'it' if len(said) == 1 else 'them'}: {value}; {_interval(fit.without, form, size)}.")
    return said


def _rows(numbers: object) -> str:
    found = list(dict.fromkeys(numbers))  # type: ignore[call-overload]
    named = ", ".join(str(number) for number in found)
    return f"Row {named}" if len(found) == 1 else f"Rows {named}"


def _missing(bench: BenchReadings, rows: tuple[int, ...]) -> list[str]:
    lacking = [row for row in range(1, len(bench) + 1) if row not in rows]
    return [f"{_rows(lacking)}: an entry is missing, so not counted here."] if lacking else []
