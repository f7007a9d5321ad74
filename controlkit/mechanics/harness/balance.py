"""Where junctions balance, once it is known how runs lengthen as they move: exact laws, few unknowns.

Each run's length is taken to second order in the shift of the junctions. Webbing, device, skin and the
friction of the loop keep their own laws, so that their corners cost small steps here and not whole
passes over the straps.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.harness.cuff import Cuff
from controlkit.mechanics.harness.laws import ControlLaw, Webbing
from controlkit.mechanics.harness.layout import CONTROL, OVER, UNDER
from controlkit.mechanics.harness.loop import loop_pull
from controlkit.mechanics.harness.skin import SLIP, Held, Skin, hold

Array = NDArray[np.float64]
Index = NDArray[np.intp]
Mask = NDArray[np.bool_]

STEP = 0.008  # [m] longest step of a junction
ENOUGH = 1e-6  # [N] force left over at which small steps end
CLOSER = 1e-2  # or once they have left this share of it: the straps' next pass changes more
_LIFT = 1e-4  # [m/N] how far off the skin a junction may be for one newton that presses it on


@dataclass(frozen=True, kw_only=True)
class Geometry:
    """How runs lengthen, and the skin under the junctions, near the present place.

    Attributes
    ----------
    length : ndarray
        Lengths [m], shape (runs, stations)
    slope : ndarray
        Rates of length with the unknowns [-], shape (runs, stations, unknowns)
    bend : ndarray
        Second rates [1/m], shape (runs, stations, unknowns, unknowns)
    value, gradient, hessian : ndarray
        Distance of each junction from the skin [m] and its rates, shapes (stations, junctions),
        (stations, junctions, 3), (stations, junctions, 3, 3)
    junction : ndarray
        Junctions [m], shape (stations, junctions, 3)
    give : ndarray
        How far the prosthesis has moved up the limb [m], shape (stations,)
    """

    length: Array
    slope: Array
    bend: Array
    value: Array
    gradient: Array
    hessian: Array
    junction: Array
    give: Array

    def moved(self, shift: Array) -> tuple[Array, Array]:
        """Lengths after a shift and their rates there.

        Parameters
        ----------
        shift : ndarray
            Shift of the unknowns [m], shape (stations, unknowns)

        Returns
        -------
        length : ndarray
            Lengths [m], shape (runs, stations)
        slope : ndarray
            Their rates [-], shape (runs, stations, unknowns)
        """
        bent = np.matmul(self.bend, shift[None, :, :, None])[..., 0]
        return self.length + ((self.slope + 0.5 * bent) * shift).sum(axis=2), self.slope + bent


@dataclass(frozen=True, kw_only=True)
class Laws:
    """What pulls and holds at every station, and which station comes before which.

    Attributes
    ----------
    before : ndarray
        Station that precedes each in the motion, -1 after donning [-], shape (stations,)
    webbing : Webbing
        Every run as webbing, shape (runs, stations); the control strap's row is not used
    control : ControlLaw
        Control strap, cable and device
    skin : Skin
        How the skin holds
    cuff : Cuff
        How the prosthesis holds on to the limb; where it gives, its give is the last unknown
    kept : ndarray
        Stations at which something else keeps the prosthesis where it is [-], shape (stations,)
    donned : ndarray
        Where the fitter put the first junction [m], shape (stations, 3)
    friction : ndarray
        Friction limit of the ring on the skin [N], shape (stations,)
    ratio : ndarray
        Largest ratio of the tensions of the loop's legs [-], shape (stations,)
    crept : ndarray
        Webbing that had crept round the sound side before the first station [m], shape (stations,)
    """

    before: Index
    webbing: Webbing
    control: ControlLaw
    skin: Skin
    cuff: Cuff
    kept: Mask
    donned: Array
    friction: Array
    ratio: Array
    crept: Array

    def rows(self, which: Index, donned: Array, crept: Array) -> Laws:
        """Some stations by themselves, each starting from its own past.

        Parameters
        ----------
        which : ndarray
            Stations [-], shape (picked,)
        donned : ndarray
            Where the skin would let each ring rest before [m], shape (picked, 3)
        crept : ndarray
            Webbing that had crept before [m], shape (picked,)

        Returns
        -------
        Laws
            Those stations
        """
        return Laws(
            before=_within(self.before, which),
            webbing=self.webbing.pick(which),
            control=self.control.pick(which),
            skin=self.skin,
            cuff=self.cuff,
            kept=self.kept[which],
            donned=donned,
            friction=self.friction[which],
            ratio=self.ratio[which],
            crept=crept,
        )


@dataclass(frozen=True, kw_only=True)
class Forces:
    """What pulls and holds at one place of the junctions.

    Attributes
    ----------
    tension : ndarray
        Tensions [N], shape (runs, stations)
    crept : ndarray
        Webbing that has crept round the sound side [m], shape (stations,)
    slides : ndarray
        Whether it creeps at this station [-], shape (stations,)
    skin : ndarray
        Force of the skin on the ring [N], shape (stations, 3)
    anchor : ndarray
        Where the skin would let the ring rest [m], shape (stations, 3)
    slipped : ndarray
        Whether the ring slips at this station [-], shape (stations,)
    residual : ndarray
        Force left over on the junctions [N], shape (stations,)
    """

    tension: Array
    crept: Array
    slides: Mask
    skin: Array
    anchor: Array
    slipped: Mask
    residual: Array


@dataclass(frozen=True, kw_only=True)
class Balanced:
    shift: Array
    here: Forces
    there: Forces


@dataclass(frozen=True, kw_only=True)
class _Pulls:
    """What pulls at a shifted place: lengths' rates, tensions and theirs, and the junctions' force and stiffness."""

    shift: Array
    slope: Array
    tension: Array
    rates: Array
    crept: Array
    slides: Mask
    held: Held
    force: Array
    stiff: Array


class Balance:
    """The junctions' equations; `solve` takes small steps until they hold."""

    def __init__(self, laws: Laws, damping: float = 0.0) -> None:
        self.laws = laws
        self.damping = damping

    def solve(self, near, most=12):
        shift, here = self.solve_(near, most)
        return Balanced(shift=shift, here=here, there=self._evaluate(near, shift)[0])

    def solve_(self, near: Geometry, most: int = 12) -> tuple[Array, Forces]:
        """Shift of the junctions that balances them, and the forces before the shift.

        Parameters
        ----------
        near : Geometry
            Lengths and skin near the present place
        most : int
            Most small steps [-]

        Returns
        -------
        shift : ndarray
            Shift of the unknowns [m], shape (stations, unknowns)
        forces : Forces
            What pulls and holds at the present place

        Notes
        -----
        Newton's method with backtracking on the force left over (J. Nocedal and S. J. Wright, Numerical Optimization,
        2nd ed. 2006; cited from memory), in the tangent plane where a junction presses on the skin. A small step costs
        O(stations x (runs x unknowns^2 + unknowns^3)), with three unknowns a junction; straps are not touched.
        """
        shift = np.zeros(near.slope.shape[1:])
        forces, step = self._evaluate(near, shift)
        enough = max(ENOUGH, CLOSER * float(forces.residual.max()))
        if self.damping > 0.0 or forces.residual.max() <= enough:
            return _capped(step, STEP), forces
        best, best_left = shift, forces.residual
        share, tried = np.ones(len(shift)), step
        for _ in range(most):
            shift = _capped(best + share[:, None] * tried, STEP)
            now, step = self._evaluate(near, shift)
            good = now.residual < np.maximum(best_left, enough)
            best = np.where(good[:, None], shift, best)
            best_left = np.where(good, now.residual, best_left)
            tried = np.where(good[:, None], step, tried)
            share = np.where(good, 1.0, 0.3 * share)
            if best_left.max() < enough or not (good | (share > 1e-3)).any():
                break
        stuck = best_left >= forces.residual  # a kink that no short step passes: take the full step all the same
        return np.where(stuck[:, None], _capped(tried, STEP), best), forces

    def eases(self, near: Geometry) -> Array:
        r"""How much shorter the path of the control strap becomes as something else gives, all else balanced again.

        .. math:: -\frac{\partial l}{\partial x} K^{-1} \frac{\partial F}{\partial s}

        Parameters
        ----------
        near : Geometry
            Lengths and skin at the settled place

        Returns
        -------
        ndarray
            For each metre that a run sinks in or stretches, and last that the pad gives [-], shape (runs + 1, stations)

        Notes
        -----
        Skin over which the ring has been dragged would let it slip again, and has no stiffness here.
        """
        now = self._pulls(near, np.zeros(near.slope.shape[1:]))
        dragged = np.abs(now.held.anchor - self.laws.donned).max(axis=1) > SLIP
        now.stiff[dragged, :3, :3] -= now.held.rate[dragged]
        _, _, matrix, flat = self._step(near, now.shift, now.force, now.stiff)
        given = np.einsum("jsu,jks->suk", now.slope, now.rates)
        pad = np.zeros((*given.shape[:2], 1))
        if self.laws.cuff.gives:
            pad[:, -1, 0] = self.laws.cuff.pull(near.give)[1]
        moved = np.linalg.solve(matrix, np.matmul(flat, np.concatenate([given, pad], axis=2)))
        return np.asarray(-np.einsum("su,suk->ks", now.slope[CONTROL], np.matmul(flat, moved)))

    def _evaluate(self, near: Geometry, shift: Array) -> tuple[Forces, Array]:
        """Forces at a shifted place, and the Newton step from there."""
        now = self._pulls(near, shift)
        step, residual, _, _ = self._step(near, shift, now.force, now.stiff)
        forces = Forces(
            tension=now.tension,
            crept=now.crept,
            slides=now.slides,
            skin=now.held.force,
            anchor=now.held.anchor,
            slipped=now.held.slips,
            residual=residual,
        )
        return forces, step

    def _pulls(self, near: Geometry, shift: Array) -> _Pulls:
        """What pulls at a shifted place, and how stiffly."""
        bent = np.matmul(near.bend, shift[None, :, :, None])[..., 0]
        slope = near.slope + bent
        length = near.length + ((near.slope + 0.5 * bent) * shift).sum(axis=2)
        tension, rates, crept, slides = self._tensions(length)
        force = -(tension[..., None] * slope).sum(axis=0)
        stiff = (tension[..., None, None] * near.bend).sum(axis=0)
        along = slope.transpose(1, 0, 2)
        stiff += np.matmul(np.matmul(along.transpose(0, 2, 1), rates.transpose(2, 0, 1)), along)
        laws = self.laws
        ring = near.junction[:, 0] + shift[:, :3]
        held = hold(ring, laws.before, donned=laws.donned, stiffness=laws.skin.stiffness, limit=laws.friction)
        force[:, :3] += held.force
        stiff[:, :3, :3] += held.rate
        if laws.cuff.gives:
            pull, rate = laws.cuff.pull(near.give + shift[:, -1])
            force[:, -1] -= pull
            stiff[:, -1, -1] += rate
        return _Pulls(
            shift=shift,
            slope=slope,
            tension=tension,
            rates=rates,
            crept=crept,
            slides=slides,
            held=held,
            force=force,
            stiff=stiff,
        )

    def _step(self, near: Geometry, shift: Array, force: Array, stiff: Array) -> tuple[Array, Array, Array, Array]:
        """Newton step, junctions that press on the skin staying on it; the force left over, and the equations."""
        stations, unknowns = shift.shape
        flat = np.tile(np.eye(unknowns), (stations, 1, 1))
        onto = np.zeros((stations, unknowns))
        for j in range(near.value.shape[1]):
            here = slice(3 * j, 3 * j + 3)
            bent = np.matmul(near.hessian[:, j], shift[:, here, None])[..., 0]
            normal = near.gradient[:, j] + bent
            size = np.sqrt((normal * normal).sum(axis=1))
            normal = normal / size[:, None]
            value = near.value[:, j] + ((near.gradient[:, j] + 0.5 * bent) * shift[:, here]).sum(axis=1)
            pressing = -(force[:, here] * normal).sum(axis=1)
            held = _LIFT * pressing > value
            weight = np.where(held, pressing / size, 0.0)
            stiff[:, here, here] -= weight[:, None, None] * near.hessian[:, j]
            across = np.where(held, 1.0, 0.0)[:, None, None] * normal[:, :, None] * normal[:, None, :]
            flat[:, here, here] -= across
            onto[:, here] = np.where(held, -np.clip(value / size, -0.01, 0.01), 0.0)[:, None] * normal
        if self.laws.cuff.gives:
            flat[self.laws.kept, -1, -1] = 0.0
        left = np.matmul(flat, (force - np.matmul(stiff, onto[..., None])[..., 0])[..., None])
        residual = np.sqrt((np.matmul(flat, force[..., None]) ** 2).sum(axis=(1, 2)))
        matrix = np.matmul(np.matmul(flat, stiff), flat)
        matrix += 1e5 * (np.eye(unknowns) - flat) + (0.01 + self.damping) * np.eye(unknowns)
        return np.linalg.solve(matrix, left)[..., 0] + onto, residual, matrix, flat

    def _tensions(self, length: Array) -> tuple[Array, Array, Array, Mask]:
        """Tensions of all runs, how they change with the runs' lengths, and what has crept."""
        laws, runs = self.laws, len(length)
        tension, rate = laws.webbing.pull(length)
        tension[CONTROL], rate[CONTROL] = laws.control.pull(length[CONTROL])
        rates = np.zeros((runs, *rate.shape))
        rates[np.arange(runs), np.arange(runs)] = rate
        every = np.arange(length.shape[1])
        over, under = (laws.webbing.pick(every, run) for run in (OVER, UNDER))
        pair = slice(OVER, UNDER + 1)
        loop = loop_pull(over, under, length[pair], before=laws.before, donned=laws.crept, ratio=laws.ratio)
        tension[pair], rates[pair, pair] = loop.tension, loop.rate
        return tension, rates, loop.crept, loop.slips


def _within(before: Index, which: Index) -> Index:
    """Stations before some stations, counted among those; -1 where it is none of them."""
    place = np.full(len(before) + 1, -1)
    place[which] = np.arange(len(which))
    return np.asarray(place[before[which]])


def levels_of(before: Index) -> list[Index]:
    """Stations in groups that can be answered together: each group follows the one before it.

    Parameters
    ----------
    before : ndarray
        Station before each, -1 after donning [-], shape (stations,)

    Returns
    -------
    list of ndarray
        Stations of each group [-], shape (stations in the group,)

    Examples
    --------
    >>> [group.tolist() for group in levels_of(np.array([-1, 0, 0, 1]))]
    [[0], [1, 2], [3]]
    """
    depth = np.zeros(len(before), dtype=int)
    for k, b in enumerate(before):
        depth[k] = 0 if b < 0 else depth[b] + 1
    return [np.flatnonzero(depth == level) for level in range(int(depth.max()) + 1)]


def _capped(shift: Array, most: float) -> Array:
    """Shifts of at most some length, in their own directions."""
    size = np.sqrt((shift * shift).sum(axis=1))
    return np.asarray(shift * np.minimum(1.0, most / np.maximum(size, 1e-12))[:, None])
