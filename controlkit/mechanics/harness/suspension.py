"""What holds the prosthesis up: how far a downward pull drags the socket, and what that does to the cable."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.body.placed import place, to_right
from controlkit.mechanics.body.pose import Pose
from controlkit.mechanics.body.remembered import built
from controlkit.mechanics.harness import outcomes
from controlkit.mechanics.harness.cuff import RIGID
from controlkit.mechanics.harness.laws import Law
from controlkit.mechanics.harness.layout import CONTROL
from controlkit.mechanics.harness.motion import Followed, follow
from controlkit.mechanics.harness.pattern import Harness
from controlkit.mechanics.harness.pressure import strap_loads
from controlkit.mechanics.harness.strap_load import StrapLoad
from controlkit.mechanics.inputs import within
from controlkit.mechanics.roots import illinois
from controlkit.mechanics.states import State

Array = NDArray[np.float64]

GRID = 0.005
"""Step of slip in which the answer is first looked for [m]."""
MOST = 0.06
"""Furthest slip looked at: the straps of a socket dragged down further carry all or nothing [m]."""
CLOSE = 0.5
"""How near the load carried must come to the load asked for [N]."""
MOST_LOAD = 500.0
"""Largest load asked for [N]: more than twice the published test load."""


@dataclass(frozen=True, kw_only=True)
class Suspension:
    """What a downward pull on the prosthesis does.

    Attributes
    ----------
    load : float
        Pull along the residual limb [N]
    slip : float
        How far the socket is dragged down, infinite if the harness cannot carry the load [m]
    carried : float
        What the straps carry at that slip, or at the furthest looked at [N]
    carried_by : mapping
        What of it each strap carries, by name; only straps that reach the prosthesis [N]
    travel : float
        What the slip pulls on the cable at the device; above nothing, it moves the device [m]
    strap_tension : mapping
        Tension of each strap by name [N]
    axilla_line_load : float
        Largest load of any strap in the sound armpit per length of strap [N/m]
    settled : bool
        Whether the straps settled; where they did not, the model has no answer
    states : tuple of State
        Outcomes worth knowing; none of them is an error
    slips, carries : ndarray
        The whole curve of load carried [N] against slip [m], shape (slips,)
    pose : Pose
        Pose in which it is pulled, the socket dragged down by that slip, or by the furthest looked at
    straps : mapping
        Run of each strap there, from the ring outwards, ISB axes [m], shape (nodes, 3)
    strap_slack : mapping
        How much longer than its way each strap is that bears no pull, by name [m]
    strap_load : mapping
        What each strap presses on the skin along its way, by name
    ring : ndarray
        Where the straps meet, ISB axes [m], shape (3,)
    """

    load: float
    slip: float
    carried: float
    carried_by: Mapping[str, float]
    travel: float
    strap_tension: Mapping[str, float]
    axilla_line_load: float
    settled: bool
    states: tuple[State, ...]
    slips: Array
    carries: Array
    pose: Pose
    straps: Mapping[str, Array]
    strap_slack: Mapping[str, float]
    strap_load: Mapping[str, StrapLoad]
    ring: Array


def suspend(harness: Harness, law: Law, load: float, pose: Pose = Pose()) -> Suspension:
    r"""How far a pull along the limb drags the socket down.

    .. math:: \sum_i T_i\,\hat e_i \cdot \hat a = W

    Parameters
    ----------
    harness : Harness
        The harness
    law : callable
        Law of the control strap, as `harness.motion.follow` takes it
    load : float
        Pull along the upper arm, away from the shoulder [N]
    pose : Pose
        Pose in which it is pulled

    Returns
    -------
    Suspension
        Slip, and what it does to straps and cable

    Raises
    ------
    InputError
        If the load is not credible

    Notes
    -----
    Straps alone carry: what socket, sleeve or suction hold is left out, so slip is an upper bound. The
    straps' pull on the prosthesis along the limb equals the load; pads and crossbar move down with the socket.
    The slip is looked for in steps of `GRID`, all in one run of the solver, then closed in on by the Illinois rule
    (M. Dowell and P. Jarratt, BIT 11, 1971, 168-174), twelve runs of one pose at most.
    Published test: 222 N (50 lb) or a third of body weight, slip of no more than 25 mm.

    Examples
    --------
    >>> from controlkit.mechanics import SingleControl, Wearer, figure_of_eight
    >>> harness = figure_of_eight(Wearer.average("male"))
    >>> held = suspend(harness, SingleControl(harness).law, 50.0)
    >>> 0.0 < held.slip < 0.03
    True
    """
    return Dragged(harness, law, pose).under(load)


class Dragged:
    """A socket dragged down step by step, once, for every load that is asked for.

    Parameters
    ----------
    harness : Harness
        The harness
    law : callable
        Law of the control strap, as `harness.motion.follow` takes it
    pose : Pose
        Pose in which it is pulled
    near : Followed, optional
        `found` of a similar harness; it makes that faster, never different

    Examples
    --------
    >>> from controlkit.mechanics import SingleControl, Wearer, figure_of_eight
    >>> harness = figure_of_eight(Wearer.average("male"))
    >>> dragged = Dragged(harness, SingleControl(harness).law)
    >>> dragged.under(100.0).slip > dragged.under(50.0).slip
    True
    """

    def __init__(self, harness: Harness, law: Law, pose: Pose = Pose(), near: Followed | None = None) -> None:
        self._harness, self._law, self._pose = replace(harness, cuff=RIGID), law, pose
        self._slips = np.arange(0.0, MOST + 1e-9, GRID)
        self.found = follow(self._harness, [replace(pose, socket_slip=float(s)) for s in self._slips], law, near)
        self._carries = carried(self.found)

    def under(self, load: float) -> Suspension:
        """How far a load drags the socket down, as `suspend` answers it.

        Parameters
        ----------
        load : float
            Pull along the upper arm, away from the shoulder [N]

        Returns
        -------
        Suspension
            Slip, and what it does to straps and cable

        Raises
        ------
        InputError
            If the load is not credible
        """
        within("The load", load, 0.0, MOST_LOAD, example="newton(222)", of="force")
        found, slips, carries = self.found, self._slips, self._carries
        enough = np.flatnonzero(carries >= load)
        curve = slips, carries
        if not enough.size:
            said = (_by_itself(self._harness, load), *_states(found, -1))
            return _answer(found, len(slips) - 1, (load, np.inf), said=said, curve=curve)
        k = int(enough[0])
        if k == 0:
            return _answer(found, 0, (load, 0.0), said=(), curve=curve)
        ends, missing = (slice(k - 1, k), slice(k, k + 1)), carries - load

        def miss(at: Array) -> Array:
            nonlocal found
            asked = [replace(self._pose, socket_slip=float(at[0]))]
            found = follow(self._harness, asked, self._law, found)
            return carried(found) - load

        low, high = (slips[end] for end in ends)
        below, above = (missing[end] for end in ends)
        slip = float(illinois(miss, low=low, high=high, below=below, above=above, close=CLOSE, most=12)[0])
        return _answer(found, 0, (load, slip), said=_states(found, 0), curve=curve)


def carried(found: Followed, limb: int = 0) -> Array:
    """What the straps carry along the limb in each pose asked for.

    Parameters
    ----------
    found : Followed
        Poses of one wearer
    limb : int
        0 for the own prosthesis, 1 for the other side's, of a pair [-]

    Returns
    -------
    ndarray
        Load carried [N], shape (poses,)
    """
    return np.asarray(sum(_along(found, limb).values(), np.zeros(len(found.asked))))


def _along(found: Followed, limb: int = 0) -> dict[str, Array]:
    """What each strap that reaches the prosthesis carries along the limb, in each pose asked for, by its name [N]."""
    rows = list(found.asked)
    poses = [found.poses[k] for k in rows]
    up = place(built(found.harness.wearer), np.zeros(len(rows), dtype=np.intp), poses).axes[:, limb, :, 1]
    each: dict[str, Array] = {}
    for k, run in enumerate(found.harness.layout.runs):
        if run.limb == limb:
            nodes = found.net.nodes[k][rows]
            way = nodes[:, -2] - nodes[:, -1]
            way /= np.sqrt((way * way).sum(axis=1, keepdims=True))
            bears = found.net.tension[k, rows] * (way * up).sum(axis=1)
            each[run.strap] = each.get(run.strap, np.zeros(len(rows))) + bears
    return each


def _states(found: Followed, asked: int) -> tuple[State, ...]:
    at = found.asked[asked]
    return outcomes.states(found.harness, found, at, travel_at_rest=0.0, loads=strap_loads(found, at))


def _by_itself(harness: Harness, load: float) -> State:
    if not harness.pattern.suspends:
        return State.of("nothing-carries", load=load)
    return State.of("load-not-carried", load=load, within=MOST)


def _answer(
    found: Followed, asked: int, load_slip: tuple[float, float], *, said: tuple[State, ...], curve: tuple[Array, Array]
) -> Suspension:
    at = found.asked[asked]
    travel = float(found.travel[at])
    if found.net.tension[CONTROL, at] > outcomes.SLACK and travel > outcomes.OPENS:
        said = (*said, State.of("load-moves-device", travel=travel))
    side, loads = found.harness.wearer.amputated, strap_loads(found, at)
    return Suspension(
        load=load_slip[0],
        slip=load_slip[1],
        carried=float(carried(found)[asked]),
        carried_by={strap: float(bears[asked]) for strap, bears in _along(found).items()},
        travel=travel,
        strap_tension=outcomes.strap_tensions(found, at),
        axilla_line_load=max(each.armpit for each in loads.values()),
        settled=bool(found.net.settled[at]),
        states=said,
        slips=curve[0],
        carries=curve[1],
        pose=found.poses[at],
        straps={name: to_right(run, side) for name, run in outcomes.strap_runs(found, at).items()},
        strap_slack=outcomes.strap_slack(found, at),
        strap_load={name: replace(load, places=to_right(load.places, side)) for name, load in loads.items()},
        ring=to_right(found.net.ring[at], side),
    )
