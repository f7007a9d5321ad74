"""Where junctions balance, once it is known how runs lengthen as they move: exact laws, few unknowns.

Each run's length is taken to second order in the shift of the junctions. Webbing, device, skin and the
friction of the loop keep their own laws, so that their corners cost small steps here and not whole
passes over the straps.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.harness.cuff import Cuff
from controlkit.mechanics.harness.history import SIZE, Links, capped, levels_of, within
from controlkit.mechanics.harness.laws import ControlLaw, Webbing
from controlkit.mechanics.harness.layout import CONTROL, OVER, UNDER
from controlkit.mechanics.harness.loop import Creep, Loop
from controlkit.mechanics.harness.skin import SLIP, Held, Hold, Skin

Array = NDArray[np.float64]
Index = NDArray[np.intp]
Mask = NDArray[np.bool_]

STEP = 0.016  # [m] longest step of a junction
ENOUGH = 1e-6  # [N] force left over at which small steps end
FINE = 1e-4  # [N] force left over that no pass over the straps would notice
CLOSER = 1e-2  # or once they have left this share of it: the straps' next pass changes more
HANG = 0.1
"""Stiffness that draws a further junction to where it hangs [N/m]. A slack one has no place of its own otherwise."""
_PAIR = slice(OVER, UNDER + 1)
SHORTER = 0.3
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
        """Lengths after a shift of the unknowns, and their rates there.

        Parameters
        ----------
        shift : ndarray
            The shift [m], shape (stations, unknowns)

        Returns
        -------
        length : ndarray
            Lengths [m], shape (runs, stations)
        slope : ndarray
            Their rates [-], shape (runs, stations, unknowns)
        """
        bent = np.matmul(self.bend, shift[..., None])[..., 0]
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
    hung : ndarray
        Where each further junction hangs while nothing pulls on it [m], shape (stations, junctions - 1, 3)
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
    hung: Array
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
            before=within(self.before, which),
            webbing=self.webbing.pick(which),
            control=self.control.pick(which),
            skin=self.skin,
            cuff=self.cuff,
            kept=self.kept[which],
            donned=donned,
            hung=self.hung[which],
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
    """Where junctions balance, as far as the model of one place tells.

    Attributes
    ----------
    shift : ndarray
        Shift of the unknowns [m], shape (stations, unknowns)
    here, there : Forces
        What pulls and holds at the present place, and after the shift
    """

    shift: Array
    here: Forces
    there: Forces


@dataclass(frozen=True, kw_only=True)
class _Pulls:
    """What pulls at a shifted place, how it changes with the lengths, and the junctions' force and stiffness."""

    shift: Array
    slope: Array
    tension: Array
    rate: Array  # of each run with its own length, nothing creeping
    given: Array  # of the junctions' force with each run's length, shape (stations, unknowns, runs)
    creep: Creep
    held: Held
    force: Array
    stiff: Array


@dataclass(frozen=True, kw_only=True)
class _Solvable:
    """Linear equations of a Newton step: junctions that press on the skin stay on it."""

    matrix: Array
    flat: Array
    onto: Array
    left: Array
    residual: Array


class Balance:
    """The junctions' equations; `solve` takes small steps until they hold."""

    def __init__(self, laws: Laws, damping: float = 0.0) -> None:
        self.laws = laws
        self.damping = damping
        webbing = laws.webbing
        self.soft = np.flatnonzero(webbing.soft.any(axis=-1)) if webbing.soft.ndim else np.empty(0, dtype=np.intp)
        self.main = replace(webbing, soft=np.zeros(()))
        if self.soft.size:
            self.elastic = Webbing(webbing.free[self.soft], webbing.soft[self.soft])
        legs = Webbing(webbing.free[_PAIR], webbing.stiffness[_PAIR], flesh=webbing.flesh.pick((_PAIR,)))
        self.loop = Loop(legs, laws.before, donned=laws.crept, ratio=laws.ratio)
        self.hold = Hold(laws.before, donned=laws.donned, stiffness=laws.skin.stiffness, limit=laws.friction)
        self.levels = [(group, laws.before[group]) for group in levels_of(laws.before)]

    def solve(self, near: Geometry, most: int = 12) -> Balanced:
        best = np.zeros(near.slope.shape[1:])
        here, links = self._evaluate(near, best)
        enough = max(ENOUGH, min(CLOSER * float(here.residual.max()), FINE))
        share, there, refused = np.ones(len(best)), here, 0
        for _ in range(1 if self.damping > 0.0 else most):
            shift = links.steps(self.levels, share=share, start=best, most=STEP)
            now, next_links = self._evaluate(near, shift)
            before, after = there.residual, now.residual
            if self.damping > 0.0 or (after**2).sum() < (before**2).sum():
                share = np.where(after < np.maximum(0.5 * before, enough), 1.0, 0.5)
                best, there, links, refused = shift, now, next_links, 0
            else:
                refused += 1
                rose = after > np.maximum(before, enough)
                less = np.where(rose, np.clip(np.sqrt(before / np.maximum(after, 1e-300)), 0.03, 0.3), 1.0)
                if refused > 1:
                    for k in range(len(less) - 1, -1, -1):
                        p = self.laws.before[k]
                        if p >= 0:
                            less[p] = min(less[p], max(less[k], 0.3))
                share = share * less
            if ((there.residual < enough) | (self._bound(best))).all() or share.max() < 1e-3:
                break
        return Balanced(shift=best, here=here, there=there)

    @staticmethod
    def _bound(shift):
        return np.sqrt((shift * shift).sum(axis=1)) > 0.999 * STEP

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
        equations = self._equations(near, now)
        pad = np.zeros((*now.shift.shape, 1))
        if self.laws.cuff.gives:
            pad[:, -1, 0] = self.laws.cuff.pull(near.give)[1]
        given = np.matmul(equations.flat, np.concatenate([now.given, pad], axis=2))
        moved = np.linalg.solve(equations.matrix, given)
        return np.asarray(-np.einsum("su,suk->ks", now.slope[CONTROL], np.matmul(equations.flat, moved)))

    def _evaluate(self, near: Geometry, shift: Array) -> tuple[Forces, Links]:
        """Forces at a shifted place, and the Newton step from there."""
        now = self._pulls(near, shift)
        equations = self._equations(near, now)
        forces = Forces(
            tension=now.tension,
            crept=now.creep.crept,
            slides=now.creep.slips,
            skin=now.held.force,
            anchor=now.held.anchor,
            slipped=now.held.slips,
            residual=equations.residual,
        )
        return forces, self._links(now, equations)

    def _pulls(self, near: Geometry, shift: Array) -> _Pulls:
        """What pulls at a shifted place, and how stiffly."""
        laws = self.laws
        length, slope = near.moved(shift)
        tension, rate, creep = self._tensions(length)
        given = slope.transpose(1, 2, 0) * rate.T[:, None, :]
        if creep.pushed.any():
            pushed = creep.pushed  # there both legs take up what either lengthens
            joint = (rate[OVER] * creep.shares(*rate[_PAIR])[1])[pushed, None]
            given[pushed, :, OVER] = joint * (slope[OVER] + slope[UNDER] / creep.bound[:, None])[pushed]
            given[pushed, :, UNDER] = given[pushed, :, OVER]
        force = -(tension[..., None] * slope).sum(axis=0)
        stiff = (tension[..., None, None] * near.bend).sum(axis=0) + np.matmul(given, slope.transpose(1, 0, 2))
        held = self.hold.at(near.junction[:, 0] + shift[:, :3])
        force[:, :3] += held.force
        stiff[:, :3, :3] += held.rate
        hung = 3 * near.junction.shape[1]
        if hung > 3:
            away = near.junction[:, 1:] - laws.hung
            force[:, 3:hung] -= HANG * (away.reshape(len(shift), -1) + shift[:, 3:hung])
            stiff[:, range(3, hung), range(3, hung)] += HANG
        if laws.cuff.gives:
            pull, more = laws.cuff.pull(near.give + shift[:, -1])
            force[:, -1] -= pull
            stiff[:, -1, -1] += more
        return _Pulls(
            shift=shift,
            slope=slope,
            tension=tension,
            rate=rate,
            given=given,
            creep=creep,
            held=held,
            force=force,
            stiff=stiff,
        )

    def _tensions(self, length: Array) -> tuple[Array, Array, Creep]:
        """Tensions of all runs, how they change with the runs' lengths while nothing creeps, and what has crept."""
        creep = self.loop.creep(length[_PAIR])
        tension, rate = self.main.pull(self._crept(length, creep.crept))
        if self.soft.size:
            more, more_rate = self.elastic.pull(length[self.soft])
            tension[self.soft] += more
            rate[self.soft] += more_rate
        tension[CONTROL], rate[CONTROL] = self.laws.control.pull(length[CONTROL])
        return tension, rate, creep

    @staticmethod
    def _crept(length: Array, crept: Array) -> Array:
        """Lengths as the webbing feels them once some has crept."""
        felt = length.copy()
        felt[OVER] -= crept
        felt[UNDER] += crept
        return felt

    def _equations(self, near: Geometry, now: _Pulls) -> _Solvable:
        """The equations of a Newton step, junctions that press on the skin staying on it."""
        shift, force, stiff = now.shift, now.force, now.stiff
        stations, unknowns = shift.shape
        junctions = near.value.shape[1]
        free = 3 * junctions
        moved, pulled = (part[:, :free].reshape(stations, junctions, 3) for part in (shift, force))
        bent = np.matmul(near.hessian, moved[..., None])[..., 0]
        normal = near.gradient + bent
        size = np.sqrt((normal * normal).sum(axis=2))
        normal /= size[..., None]
        value = near.value + ((near.gradient + 0.5 * bent) * moved).sum(axis=2)
        pressing = -(pulled * normal).sum(axis=2)
        held = pressing * _LIFT > value
        weight = np.where(held, pressing / size, 0.0)[..., None, None] * near.hessian
        back = np.where(held, -np.clip(value / size, -0.01, 0.01), 0.0)[..., None] * normal
        normal *= held[..., None]
        across = normal[..., :, None] * normal[..., None, :]
        flat, onto = np.zeros((stations, unknowns, unknowns)), np.zeros((stations, unknowns))
        flat[:, range(unknowns), range(unknowns)] = 1.0
        onto[:, :free] = back.reshape(stations, free)
        for j in range(junctions):
            at = slice(3 * j, 3 * j + 3)
            stiff[:, at, at] -= weight[:, j]
            flat[:, at, at] -= across[:, j]
        if self.laws.cuff.gives:
            flat[self.laws.kept, -1, -1] = 0.0
        both = np.stack([force, force - np.matmul(stiff, onto[..., None])[..., 0]], axis=2)
        both = np.matmul(flat, both)
        matrix = np.matmul(np.matmul(flat, stiff), flat) - 1e5 * flat
        matrix[:, range(unknowns), range(unknowns)] += 1e5 + 0.01 + self.damping
        return _Solvable(
            matrix=matrix,
            flat=flat,
            onto=onto,
            left=both[..., 1:],
            residual=np.sqrt((both[..., 0] * both[..., 0]).sum(axis=1)),
        )

    def _links(self, now: _Pulls, equations: _Solvable) -> Links:
        """Each station's Newton step, and how it follows what slips and creeps before."""
        dragged, pushed = now.held.dragged, now.creep.pushed
        moving = len(self.levels) > 1 and bool(dragged.any() or pushed.any())
        right = equations.left
        if moving:
            stations, unknowns = now.shift.shape
            push = np.zeros((stations, unknowns, SIZE))
            push[:, :3, :3] = now.held.rate
            over, under = np.where(pushed, 0.0, now.rate[_PAIR])
            push[:, :, 3] = over[:, None] * now.slope[OVER] - under[:, None] * now.slope[UNDER]
            right = np.concatenate([right, np.matmul(equations.flat, push)], axis=2)
        found = np.linalg.solve(equations.matrix, right)
        base = found[..., 0] + equations.onto
        if not moving:
            return Links(base)
        keeps, carries = np.zeros((stations, SIZE, SIZE)), np.zeros((stations, SIZE, unknowns))
        keeps[:, range(SIZE), range(SIZE)] = 1.0
        if dragged.any():
            kept = now.held.rate[dragged] / self.laws.skin.stiffness
            keeps[dragged, :3, :3] = kept
            carries[dragged, :3, :3] = np.eye(3) - kept
        keeps[pushed, 3, 3] = 0.0
        upper, lower = now.creep.shares(*now.rate[_PAIR])
        carries[:, 3] = upper[:, None] * now.slope[OVER] - lower[:, None] * now.slope[UNDER]
        carries[~pushed, 3] = 0.0
        return Links(base, found[..., 1:], keeps, carries)
