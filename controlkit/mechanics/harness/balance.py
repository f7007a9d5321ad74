"""Where junctions balance, once it is known how runs lengthen as they move: exact laws, few unknowns.

Each run's length is taken to second order in the shift of the junctions. Webbing, device, skin and the
friction of the loop keep their own laws, so that their corners cost small steps here and not whole
passes over the straps.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.harness.cuff import Cuff
from controlkit.mechanics.harness.history import SIZE, Links, levels_of, passed_back, within
from controlkit.mechanics.harness.laws import ControlLaw, Webbing
from controlkit.mechanics.harness.layout import CONTROL, OVER, UNDER
from controlkit.mechanics.harness.loop import Creep, Loop
from controlkit.mechanics.harness.skin import SLIP, Held, Hold, Skin

Array = NDArray[np.float64]
Index = NDArray[np.intp]
Mask = NDArray[np.bool_]

STEP = 0.02  # [m] how far a station's junctions may be shifted, all together
ENOUGH = 1e-6  # [N] force left over at which small steps end
CLOSER = 1e-2  # or once they have left this share of it: the straps' next pass changes more
HANG = 0.1
"""Stiffness that draws a junction to where it hangs [N/m]: a slack one has no place of its own otherwise."""
_PAIR = slice(OVER, UNDER + 1)
CORNERS, BEYOND = 4, 1.1
"""How often a corner of a law may be passed in one solve, and how much more may be left over just behind it [-]."""
LEAST = 1e-4
"""Share of a step that is too short to try [-]."""
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
    gives : ndarray
        How far each prosthesis has moved up its limb [m], shape (stations, limbs)
    """

    length: Array
    slope: Array
    bend: Array
    value: Array
    gradient: Array
    hessian: Array
    junction: Array
    gives: Array

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
        Every run as webbing, shape (runs, stations); a control strap's row is not used
    controls : mapping
        Control strap, cable and device, by the run's place
    meets : bool
        Whether the first two runs are legs of one strap
    skin : Skin
        How the skin holds
    cuff : Cuff
        How each prosthesis holds on to its limb; where it gives, what each gives are the last unknowns
    kept : ndarray
        Stations at which something else keeps a prosthesis where it is [-], shape (stations, limbs)
    donned : ndarray
        Where the fitter put the first junction [m], shape (stations, 3)
    hung : ndarray
        Where each further junction hangs while nothing pulls on it [m], shape (stations, junctions - 1, 3); not a
        number for one that lies on a strap, which gives it a place
    rested : ndarray
        Where the skin would let each ring rest before the first station [m], shape (stations, 3)
    friction : ndarray
        Friction limit of the ring on the skin [N], shape (stations,)
    ratio : ndarray
        Largest ratio of the tensions of the loop's legs [-], shape (stations,)
    crept : ndarray
        Webbing that had crept round the sound side before the first station [m], shape (stations,)
    """

    before: Index
    webbing: Webbing
    controls: Mapping[int, ControlLaw]
    meets: bool
    skin: Skin
    cuff: Cuff
    kept: Mask
    donned: Array
    hung: Array
    rested: Array
    friction: Array
    ratio: Array
    crept: Array

    def rows(self, which: Index, rested: Array, crept: Array) -> Laws:
        """Some stations by themselves, each starting from its own past.

        Parameters
        ----------
        which : ndarray
            Stations [-], shape (picked,)
        rested : ndarray
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
            controls={run: law.pick(which) for run, law in self.controls.items()},
            meets=self.meets,
            skin=self.skin,
            cuff=self.cuff,
            kept=self.kept[which],
            donned=self.donned[which],
            hung=self.hung[which],
            rested=rested,
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
class _Contact:
    """Where junctions press on the skin: inward normals (none elsewhere), and the steps back onto it."""

    normal: Array
    back: Array
    weight: Array  # force that presses over the size of the gradient, which the skin's curvature weakens


@dataclass(frozen=True, kw_only=True)
class _Pulls:
    """What pulls at a shifted place."""

    shift: Array
    slope: Array
    tension: Array
    rate: Array  # of each run with its own length, nothing creeping
    creep: Creep
    held: Held
    force: Array
    contact: _Contact


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
        if laws.meets:
            legs = Webbing(webbing.free[_PAIR], webbing.stiffness[_PAIR], flesh=webbing.flesh.pick((_PAIR,)))
            self.loop = Loop(legs, laws.before, donned=laws.crept, ratio=laws.ratio)
        self.own = slice(-laws.kept.shape[1], None)  # what each cuff gives, among the unknowns
        self.hold = Hold(laws.before, donned=laws.rested, stiffness=laws.skin.stiffness, limit=laws.friction)
        home = laws.hung.reshape(len(laws.before), -1)
        self.hung = np.flatnonzero(np.isfinite(home).all(axis=0)) + 3
        self.home = home[:, self.hung - 3]
        self.levels = [(group, laws.before[group]) for group in levels_of(laws.before)]

    def solve(self, near: Geometry, most: int = 12) -> Balanced:
        """Shift of the junctions that balances them.

        Parameters
        ----------
        near : Geometry
            Lengths and skin near the present place
        most : int
            Most small steps [-]; with damping it is one

        Returns
        -------
        Balanced
            The shift, and the forces before and after it

        Notes
        -----
        Newton's method for all stations at once, with backtracking on the force left over (J. Nocedal and S. J. Wright,
        Numerical Optimization, 2nd ed. 2006; cited from memory), in the tangent plane where a junction presses on the
        skin. Only stations at which more is left over step less, and those after follow what they do; the few steps
        that no shorter one betters pass a corner of a law. A small step costs O(stations x (runs x unknowns^2 +
        unknowns^3)), with three unknowns a junction; straps are not touched.
        """
        shift = np.zeros(near.slope.shape[1:])
        last = self._pulls(near, shift)
        here = self._forces(last)
        best, at = Balanced(shift=shift, here=here, there=here), here
        enough = max(ENOUGH, CLOSER * float(here.residual.max()))
        share, refused, corners = np.ones(len(shift)), 0, CORNERS
        first = links = self._links(near, last)
        for _ in range(1 if self.damping else most):
            trial = links.steps(self.levels, share=share, start=shift, most=STEP)
            last = self._pulls(near, trial)
            now = self._forces(last)
            old, new = at.residual, now.residual
            better = self.damping > 0.0 or _less(new, old)
            corner = not better and corners > 0 and refused > 1 and _less(new, BEYOND * old)
            if better or corner:
                share = np.where(corner | (new < np.maximum((1.0 - 0.5 * share) * old, enough)), 1.0, 0.5)
                shift, at, refused, corners = trial, now, 0, corners - corner
                if better and (self.damping > 0.0 or _less(new, best.there.residual)):
                    best = Balanced(shift=shift, here=here, there=now)
            else:
                rose = new > np.maximum(old, enough)
                less = np.where(rose, np.clip(np.sqrt(old / np.maximum(new, 1e-300)), 0.03, 0.3), 1.0)
                share = share * (passed_back(less, self.laws.before) if refused else less)
                refused += 1
            bound = (shift * shift).sum(axis=1) > (0.999 * STEP) ** 2
            if ((at.residual < enough) | bound).all() or share.max() < LEAST:
                break
            if not refused:
                links = self._links(near, last)
        if best.there is here and here.residual.max() > enough:  # a corner that no short step passes: a whole one then
            shift = first.steps(self.levels, share=np.ones(len(shift)), start=best.shift, most=STEP)
            best = Balanced(shift=shift, here=here, there=self._forces(self._pulls(near, shift)))
        return best

    def eases(self, near: Geometry, shift: Array) -> Array:
        r"""How much shorter the path of the control strap becomes as something else gives, all else balanced again.

        .. math:: -\frac{\partial l}{\partial x} K^{-1} \frac{\partial F}{\partial s}

        Parameters
        ----------
        near : Geometry
            Lengths and skin near the settled place
        shift : ndarray
            From there to it [m], shape (stations, unknowns)

        Returns
        -------
        ndarray
            For each metre that a run sinks in or stretches, and last that the pad gives [-], shape (runs + 1, stations)

        Notes
        -----
        Skin over which the ring has been dragged would let it slip again, and has no stiffness here.
        """
        now = self._pulls(near, shift)
        given, stiff = self._stiffness(near, now)
        dragged = np.abs(now.held.anchor - self.laws.donned).max(axis=1) > SLIP
        stiff[dragged, :3, :3] -= now.held.rate[dragged]
        matrix, flat = self._matrix(near, now, stiff)
        pad = np.zeros((*now.shift.shape, 1))
        if self.laws.cuff.gives:
            first = self.own.start
            pad[:, first, 0] = self.laws.cuff.pull(near.gives[:, 0] + shift[:, first])[1]
        moved = np.linalg.solve(matrix, np.matmul(flat, np.concatenate([given, pad], axis=2)))
        return np.asarray(-np.einsum("su,suk->ks", now.slope[CONTROL], np.matmul(flat, moved)))

    def _forces(self, now: _Pulls) -> Forces:
        """Forces at a place, what the skin bears left out of what is left over."""
        left, normal = now.force.copy(), now.contact.normal
        free = left[:, : normal[0].size].reshape(normal.shape)
        free -= (free * normal).sum(axis=2)[..., None] * normal
        left[:, : normal[0].size] = free.reshape(len(left), -1)
        if self.laws.cuff.gives:
            left[:, self.own][self.laws.kept] = 0.0
        return Forces(
            tension=now.tension,
            crept=now.creep.crept,
            slides=now.creep.slips,
            skin=now.held.force,
            anchor=now.held.anchor,
            slipped=now.held.slips,
            residual=np.sqrt((left * left).sum(axis=1)),
        )

    def _pulls(self, near: Geometry, shift: Array) -> _Pulls:
        """What pulls at a shifted place."""
        length, slope = near.moved(shift)
        tension, rate, creep = self._tensions(length)
        force = -(tension[..., None] * slope).sum(axis=0)
        held = self.hold.at(near.junction[:, 0] + shift[:, :3])
        force[:, :3] += held.force
        if self.hung.size:
            hangs = near.junction.reshape(len(shift), -1)[:, self.hung] + shift[:, self.hung]
            force[:, self.hung] -= HANG * (hangs - self.home)
        if self.laws.cuff.gives:
            force[:, self.own] -= self.laws.cuff.pull(near.gives + shift[:, self.own])[0]
        return _Pulls(
            shift=shift,
            slope=slope,
            tension=tension,
            rate=rate,
            creep=creep,
            held=held,
            force=force,
            contact=self._contact(near, shift, force),
        )

    def _tensions(self, length: Array) -> tuple[Array, Array, Creep]:
        """Tensions of all runs, how they change with the runs' lengths while nothing creeps, and what has crept."""
        creep = self.loop.creep(length[_PAIR]) if self.laws.meets else Creep.none(length.shape[1])
        felt = length.copy()
        felt[OVER] -= creep.crept
        felt[UNDER] += creep.crept
        tension, rate = self.main.pull(felt)
        if self.soft.size:
            more, more_rate = self.elastic.pull(length[self.soft])
            tension[self.soft] += more
            rate[self.soft] += more_rate
        for run, law in self.laws.controls.items():
            tension[run], rate[run] = law.pull(length[run])
        return tension, rate, creep

    @staticmethod
    def _contact(near: Geometry, shift: Array, force: Array) -> _Contact:
        """Where junctions press on the skin."""
        free = near.value[0].size * 3
        moved, pulled = (part[:, :free].reshape(near.gradient.shape) for part in (shift, force))
        bent = np.matmul(near.hessian, moved[..., None])[..., 0]
        normal = near.gradient + bent
        size = np.sqrt((normal * normal).sum(axis=2))
        normal /= size[..., None]
        value = near.value + ((near.gradient + 0.5 * bent) * moved).sum(axis=2)
        pressing = -(pulled * normal).sum(axis=2)
        held = pressing * _LIFT > value
        normal *= held[..., None]
        back = -np.minimum(np.maximum(value / size, -0.01), 0.01)[..., None] * normal
        return _Contact(normal=normal, back=back, weight=np.where(held, pressing / size, 0.0))

    def _stiffness(self, near: Geometry, now: _Pulls) -> tuple[Array, Array]:
        """How the junctions' force falls with each run's length, and with their own shift."""
        slope, rate, creep = now.slope, now.rate, now.creep
        given = slope.transpose(1, 2, 0) * rate.T[:, None, :]
        if creep.pushed.any():  # there both legs take up what either lengthens
            pushed = creep.pushed
            joint = (rate[OVER] * creep.shares(*rate[_PAIR])[1])[pushed, None]
            given[pushed, :, OVER] = joint * (slope[OVER] + slope[UNDER] / creep.bound[:, None])[pushed]
            given[pushed, :, UNDER] = given[pushed, :, OVER]
        stiff = (now.tension[..., None, None] * near.bend).sum(axis=0)
        stiff += np.matmul(given, slope.transpose(1, 0, 2))
        stiff[:, :3, :3] += now.held.rate
        if now.held.dragged.any():
            # a ring that skin alone drags home is told how far that is: the same force would take it anywhere
            alone = now.held.dragged & (now.force[:, :3] == now.held.force).all(axis=1)
            pulled = 0.5 * np.trace(now.held.rate[alone], axis1=1, axis2=2)
            stiff[alone, :3, :3] += pulled[:, None, None] * np.eye(3) - now.held.rate[alone]
        stiff[:, self.hung, self.hung] += HANG
        if self.laws.cuff.gives:
            last = np.arange(*self.own.indices(stiff.shape[1]))
            stiff[:, last, last] += self.laws.cuff.pull(near.gives + now.shift[:, self.own])[1]
        return given, stiff

    def _matrix(self, near: Geometry, now: _Pulls, stiff: Array) -> tuple[Array, Array]:
        """The equations of a Newton step, junctions that press on the skin staying on it, and the projector onto it."""
        normal = now.contact.normal
        every = np.arange(stiff.shape[1])
        flat = np.zeros_like(stiff)
        flat[:, every, every] = 1.0
        across = normal[..., :, None] * normal[..., None, :]
        curved = now.contact.weight[..., None, None] * near.hessian
        for j in range(normal.shape[1]):
            at = slice(3 * j, 3 * j + 3)
            stiff[:, at, at] -= curved[:, j]
            flat[:, at, at] -= across[:, j]
        if self.laws.cuff.gives:
            for unknown, kept in enumerate(self.laws.kept.T, self.own.start):
                flat[kept, unknown, unknown] = 0.0
        matrix = np.matmul(np.matmul(flat, stiff), flat) - 1e5 * flat
        matrix[:, every, every] += 1e5 + 0.01 + self.damping
        return matrix, flat

    def _links(self, near: Geometry, now: _Pulls) -> Links:
        """Each station's Newton step, and how it follows what slips and creeps before."""
        dragged, pushed = now.held.dragged, now.creep.pushed
        stations, unknowns = now.shift.shape
        _, stiff = self._stiffness(near, now)
        matrix, flat = self._matrix(near, now, stiff)
        onto = np.zeros_like(now.shift)
        onto[:, : now.contact.back[0].size] = now.contact.back.reshape(stations, -1)
        moving = len(self.levels) > 1 and bool(dragged.any() or pushed.any())
        right = np.zeros((stations, unknowns, 1 + SIZE * moving))
        right[..., 0] = now.force - np.matmul(stiff, onto[..., None])[..., 0]
        if moving:
            right[:, :3, 1:SIZE] = now.held.rate
            over, under = np.where(pushed, 0.0, now.rate[_PAIR])
            right[..., SIZE] = over[:, None] * now.slope[OVER] - under[:, None] * now.slope[UNDER]
        found = np.linalg.solve(matrix, np.matmul(flat, right))
        base = np.asarray(found[..., 0] + onto)
        if not moving:
            return Links(base)
        keeps, carries = np.zeros((stations, SIZE, SIZE)), np.zeros((stations, SIZE, unknowns))
        keeps[:, range(SIZE), range(SIZE)] = 1.0
        if dragged.any():
            kept = now.held.rate[dragged] / self.hold.stiffness
            keeps[dragged, :3, :3] = kept
            carries[dragged, :3, :3] = np.eye(3) - kept
        keeps[pushed, 3, 3] = 0.0
        upper, lower = np.where(pushed, now.creep.shares(*now.rate[_PAIR]), 0.0)
        carries[:, 3] = upper[:, None] * now.slope[OVER] - lower[:, None] * now.slope[UNDER]
        return Links(base, np.asarray(found[..., 1:]), keeps, carries)


def _less(one: Array, other: Array) -> bool:
    """Whether less force is left over on all stations together."""
    return float(one @ one) < float(other @ other)
