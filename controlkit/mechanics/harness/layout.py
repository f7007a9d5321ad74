"""Patterns as nets: which runs of webbing there are, what each is fixed to, and where they meet."""

from __future__ import annotations

from dataclasses import dataclass

OVER, UNDER, CONTROL = 0, 1, 2
"""Places of the runs that all patterns have: two legs that meet on the sound side, and the control strap [-]."""

AXILLA_LOOP, CHEST_STRAP = "axilla loop", "chest strap"
CONTROL_STRAP, FRONT_STRAP = "control attachment strap", "anterior support strap"
FORK_INNER, FORK_OUTER = "inner leg of the inverted Y", "outer leg of the inverted Y"
SADDLE_STRAP, SUSPENSOR = "saddle strap", "saddle suspensor"

LONG, SHORT = 45, 13
"""Nodes of a strap, and of the short legs of an inverted Y [-]."""


@dataclass(frozen=True)
class Run:
    """One run of webbing from end to end.

    Attributes
    ----------
    strap : str
        The strap that it belongs to
    start, end : str
        A junction of the net, or an anchor on the body
    nodes : int
        Nodes along it [-]
    narrow : bool
        Whether it is made of the narrow webbing of an inverted Y
    elastic : bool
        Whether an elastic section is sewn into it
    laid : bool
        Whether friction keeps it where it was laid, so that its course is not the shortest
    """

    strap: str
    start: str
    end: str
    nodes: int = LONG
    narrow: bool = False
    elastic: bool = False
    laid: bool = False


@dataclass(frozen=True)
class Layout:
    """A pattern as a net.

    Attributes
    ----------
    runs : tuple of Run
        Runs; the first three are the two legs that meet on the sound side, and the control strap
    junctions : tuple of str
        Points where runs meet and that no anchor holds; the first rests on the back
    sewn : bool
        Whether the first junction is a sewn cross-point, whose straps keep the angles they were sewn at
    crossing : str
        What a fitter calls the first junction
    """

    runs: tuple[Run, ...]
    junctions: tuple[str, ...]
    sewn: bool = False
    crossing: str = "ring"

    @property
    def loops(self) -> bool:
        """Whether the two legs on the sound side are a loop, which meet wherever it lies deepest in the armpit."""
        return self.runs[OVER].end == "armpit"

    @property
    def straps(self) -> tuple[str, ...]:
        """Names of the straps, each once."""
        return tuple(dict.fromkeys(run.strap for run in self.runs))

    def of(self, strap: str) -> tuple[int, ...]:
        """Runs of one strap.

        Parameters
        ----------
        strap : str
            Name of the strap

        Returns
        -------
        tuple of int
            Places of its runs [-]

        Examples
        --------
        >>> figure_of_eight_layout(fork=False).of("axilla loop")
        (0, 1)
        """
        return tuple(k for k, run in enumerate(self.runs) if run.strap == strap)

    def junction(self, name: str) -> int:
        """Place of a junction.

        Parameters
        ----------
        name : str
            Junction or anchor

        Returns
        -------
        int
            Its place, -1 for an anchor [-]

        Examples
        --------
        >>> figure_of_eight_layout(fork=True).junction("fork")
        1
        """
        return self.junctions.index(name) if name in self.junctions else -1


_LOOP = (Run(AXILLA_LOOP, "ring", "armpit"), Run(AXILLA_LOOP, "ring", "armpit"))
_CONTROL = Run(CONTROL_STRAP, "ring", "crossbar")


def figure_of_eight_layout(*, fork: bool, elastic: bool = True, sewn: bool = False) -> Layout:
    """Axilla loop, control strap and anterior support strap, with or without the inverted Y.

    Parameters
    ----------
    fork : bool
        Whether the anterior support strap divides into an inverted Y at a junction of its own
    elastic : bool
        Whether it has an elastic section
    sewn : bool
        Whether straps are sewn to each other where they cross, instead of meeting at a ring

    Returns
    -------
    Layout
        The net

    Examples
    --------
    >>> len(figure_of_eight_layout(fork=True).runs)
    6
    """
    crossing = "sewn cross-point" if sewn else "ring"
    if not fork:
        front = (Run(FRONT_STRAP, "ring", "pad front", elastic=elastic),)
        return Layout((*_LOOP, _CONTROL, *front), ("ring",), sewn, crossing)
    legs = (
        Run(FRONT_STRAP, "ring", "fork", elastic=elastic),
        Run(FORK_INNER, "fork", "pad inner", SHORT, narrow=True),
        Run(FORK_OUTER, "fork", "pad outer", SHORT, narrow=True),
    )
    return Layout((*_LOOP, _CONTROL, *legs), ("ring", "fork"), sewn, crossing)


def figure_of_nine_layout() -> Layout:
    """Axilla loop and control strap alone: nothing holds the socket up.

    Returns
    -------
    Layout
        The net

    Examples
    --------
    >>> figure_of_nine_layout().straps
    ('axilla loop', 'control attachment strap')
    """
    return Layout((*_LOOP, _CONTROL), ("ring",))


def chest_strap_layout() -> Layout:
    """A strap round the chest that ends on a shoulder saddle; the control strap branches off it on the back.

    Returns
    -------
    Layout
        The net

    Examples
    --------
    >>> chest_strap_layout().junctions
    ('ring',)
    """
    runs = (
        Run(CHEST_STRAP, "saddle front", "flank", laid=True),
        Run(CHEST_STRAP, "ring", "flank"),
        _CONTROL,
        Run(SADDLE_STRAP, "ring", "saddle back"),
        Run(SUSPENSOR, "saddle top", "pad outer", elastic=False),
    )
    return Layout(runs, ("ring",), crossing="branch of the control strap")
