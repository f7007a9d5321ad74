"""Patterns as nets: which runs of webbing there are, what each is fixed to, and where they meet."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

OVER, UNDER, CONTROL = 0, 1, 2
"""Places of the runs that all patterns have: two legs on the sound side, or both front straps of a pair, and the
control strap [-]."""
OTHER_CONTROL = 3
"""Place of the other side's control strap where there is one [-]."""
OTHER = "other "
"""What names of straps and anchors on the other side of a pair begin with."""

AXILLA_LOOP, CONTROL_STRAP = "axilla loop", "control attachment strap"
"""Straps of more than one pattern."""

LONG, SHORT = 45, 13
"""Nodes of a strap, and of the short legs of an inverted Y [-].

Four times as many move the ring by 0.26 mm in the middle and by 0.55 mm at most (24 wearers, 0 to 90 degrees), nearly
all of it by how far straps sink into flesh, which goes with curvature squared: without flesh by 0.01 and 0.22 mm.
"""


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
    buckle : str
        Which choice of harness or pattern lets it out or takes it in at a buckle of its own [m]; none unless named
    """

    strap: str
    start: str
    end: str
    nodes: int = LONG
    narrow: bool = False
    elastic: bool = False
    laid: bool = False
    buckle: str = ""

    @property
    def limb(self) -> int:
        """The prosthesis that it ends on: 0 for the own one, 1 for the other side's, -1 for none [-].

        It does on the pad, or on the crossbar, to which the housing hands its pull.
        """
        end = self.end.removeprefix(OTHER)
        if end != "crossbar" and not end.startswith("pad"):
            return -1
        return int(self.end.startswith(OTHER))


LOOP = (Run(AXILLA_LOOP, "ring", "armpit"), Run(AXILLA_LOOP, "ring", "armpit"))
"""Both legs of an axilla loop."""
CONTROL_RUN = Run(CONTROL_STRAP, "ring", "crossbar")
"""The control attachment strap."""


@dataclass(frozen=True)
class Layout:
    """A pattern as a net.

    Attributes
    ----------
    runs : tuple of Run
        Runs; the first three are the two legs that meet on the sound side, and the control strap; of a pair the first
        four are both front straps and both control straps
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
    def meets(self) -> bool:
        """Whether the first two runs are legs of one strap, from one to the other of which webbing can creep."""
        return self.runs[OVER].end == self.runs[UNDER].end

    @property
    def limbs(self) -> int:
        """Prostheses that straps end on [-]."""
        return 1 + max(run.limb for run in self.runs)

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
        >>> Layout((*LOOP, CONTROL_RUN), ("ring",)).of("axilla loop")
        (0, 1)
        """
        return tuple(k for k, run in enumerate(self.runs) if run.strap == strap)

    def chain(self, strap: str) -> tuple[tuple[int, bool], ...]:
        """Runs of one strap from end to end.

        Parameters
        ----------
        strap : str
            Name of the strap

        Returns
        -------
        tuple of (int, bool)
            Place of each run [-], and whether it is passed from its end to its start

        Examples
        --------
        >>> Layout((*LOOP, CONTROL_RUN), ("ring",)).chain("axilla loop")
        ((0, False), (1, True))
        """
        left = list(self.of(strap))
        ends = [end for k in left for end in (self.runs[k].start, self.runs[k].end)]
        first = next((k for k in left if ends.count(self.runs[k].start) == 1), left[0])
        way, at = [(first, False)], self.runs[first].end
        left.remove(first)
        while left:
            k = next(k for k in left if at in (self.runs[k].start, self.runs[k].end))
            back = self.runs[k].end == at
            way.append((k, back))
            at = self.runs[k].start if back else self.runs[k].end
            left.remove(k)
        return tuple(way)

    def joined(self, strap: str, nodes: Sequence[Array]) -> Array:
        """One strap from end to end.

        Parameters
        ----------
        strap : str
            Name of the strap
        nodes : sequence of ndarray
            Nodes of every run [m], shape (nodes, 3)

        Returns
        -------
        ndarray
            Its nodes, those at which two of its runs meet once [m], shape (nodes, 3)
        """
        runs = [nodes[k][::-1] if back else nodes[k] for k, back in self.chain(strap)]
        return np.concatenate([runs[0], *(run[1:] for run in runs[1:])])

    def divided(self, name: str) -> tuple[int, ...]:
        """The two runs of one strap that a junction divides, in the order in which the strap passes it.

        Parameters
        ----------
        name : str
            Junction or anchor

        Returns
        -------
        tuple of int
            Places of the runs; none for an anchor or where it divides no strap [-]

        Examples
        --------
        >>> halves = Run(CONTROL_STRAP, "cross", "crossbar"), Run(CONTROL_STRAP, "ring", "cross")
        >>> Layout((*LOOP, *halves), ("ring", "cross")).divided("cross")
        (3, 2)
        """
        for strap in self.straps if name in self.junctions else ():
            for (one, back), (other, _) in itertools.pairwise(self.chain(strap)):
                if name == (self.runs[one].start if back else self.runs[one].end):
                    return one, other
        return ()

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
        >>> Layout((*LOOP, CONTROL_RUN), ("ring",)).junction("armpit")
        -1
        """
        return self.junctions.index(name) if name in self.junctions else -1
