"""What has been read in the bench lab, put into a record: each reading beside its criterion and what it was before."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from controlkit.draw.words.bench import BenchRow
from controlkit.labs.bench_readings import BenchReading, offered
from controlkit.labs.bench_shelf import shelf
from controlkit.mechanics.bench import CheckoutRow
from controlkit.mechanics.bench.faults import FaultsLeft
from controlkit.mechanics.bench.instruments import GONIOMETER, PAPER
from controlkit.mechanics.bench.rows import limits
from controlkit.mechanics.bench.taken import FINE_INSTRUMENTS, INSTRUMENTS, Instrument, Repeated, all_of, share
from controlkit.sources import source
from controlkit.units import deg

__all__ = ["BenchState", "TakenReading", "instrument_of", "taken_once"]

Limit = tuple[str, float | None, float | None]
"""Source, not less and not more [SI]."""
_ANGLES = {"hanger-0": "0°", "hanger-90": "90°", "hanger-135": "135°"}


def instrument_of(one: BenchReading, fine: bool) -> Instrument:
    """The instrument of a reading, the usual or the finer one."""
    return (FINE_INSTRUMENTS if fine else INSTRUMENTS)[one.kind]


@dataclass(frozen=True)
class TakenReading:
    """One act of reading.

    Parameters
    ----------
    key : str
        What was read, by its name in a setting.
    instrument : Instrument
        With what.
    value : float or None
        What it showed; nothing beyond the end of its scale [SI].
    """

    key: str
    instrument: Instrument
    value: float | None


def taken_once(level: str, steps: str, truth: Mapping[str, float], seed: Sequence[int]) -> tuple[TakenReading, ...]:
    """Take the readings of a setting, each with a scatter of its own that a second look does not change.

    Parameters
    ----------
    level : str
        "below" or "above".
    steps : str
        What was taken, as the setting has it; what this level does not offer is passed over.
    truth : mapping
        What there is to be read, without scatter [SI].
    seed : sequence of int
        Whose prosthesis it is [-].

    Returns
    -------
    tuple of TakenReading
        In their order.
    """
    names, tries = offered(level), []
    for number, step in enumerate(steps.split(", ") if steps else ()):
        key, _, with_ = step.partition("@")
        if key not in names:
            continue
        instrument = instrument_of(names[key], with_ == "fine")
        draw = np.random.default_rng([*seed, number, list(names).index(key), with_ == "fine"])
        tries.append(TakenReading(key, instrument, instrument.read(truth[key], draw)))
    return tuple(tries)


@dataclass(frozen=True, eq=False, kw_only=True)
class BenchState:
    """How far a checkout or a search has come.

    Parameters
    ----------
    level : str
        "below" or "above".
    search : bool
        Whether a fault is looked for.
    tries : tuple of TakenReading
        What was read.
    truth : mapping
        What there is to be read, without scatter [SI].
    whole : float
        Whole movement of the fingertips [m].
    strength : float or None
        Strongest pull of the wearer of a new fitting [N].
    """

    level: str
    search: bool
    tries: tuple[TakenReading, ...]
    truth: Mapping[str, float]
    whole: float
    strength: float | None = None

    @cached_property
    def found(self) -> dict[str, Repeated]:
        """Each quantity that was read, the one read first coming first."""
        read: dict[str, list[tuple[float, float]]] = {}
        for one in self.tries:
            if one.value is not None:
                read.setdefault(one.key, []).append((one.value, one.instrument.error))
        return {key: all_of(pairs) for key, pairs in read.items()}

    @property
    def count(self) -> int:
        """Readings taken, those beyond the end of a scale included [-]."""
        return len(self.tries)

    @cached_property
    def standing(self) -> FaultsLeft:
        """What the readings leave standing of the faults of this level."""
        return FaultsLeft(shelf("below" if self.level == "below" else "above"), self.found)

    def without(self, key: str) -> FaultsLeft:
        """The same had one quantity not been read."""
        return FaultsLeft(self.standing.signatures, {name: one for name, one in self.found.items() if name != key})

    def efficiency(self, hanger: str = "hanger-90") -> tuple[float, float] | None:
        """Share of the pull that arrives, and how far it may be off; nothing until both ends were read [-]."""
        if "device" not in self.found or hanger not in self.found:
            return None
        return share(self.found["device"], self.found[hanger])

    @cached_property
    def rows(self) -> tuple[BenchRow, ...]:
        """The record: what was read last comes last, and what is worked out from it just before it."""
        names = offered(self.level)
        rows: list[BenchRow] = []
        lately = [key for key in dict.fromkeys(one.key for one in reversed(self.tries)) if key in self.found]
        for place, key in enumerate(reversed(lately), 1):
            before = set(lately[-place + 1 :]) if place > 1 else set()
            rows += [row for parts, row in self._worked if key in parts and parts <= before | {key}]
            rows.append(self._row(key, names[key]))
        return tuple(rows)

    @cached_property
    def _worked(self) -> list[tuple[set[str], BenchRow]]:
        """What is worked out from readings: which it needs, and its line."""
        worked: list[tuple[set[str], BenchRow]] = []
        for hanger, angle in _ANGLES.items():
            found = self.efficiency(hanger)
            if found is not None:
                row = self._worked_out(
                    f"efficiency at {angle}", "ratio", found, self._efficiencies if angle == "90°" else ()
                )
                worked.append(({"device", hanger}, row))
        if self.strength is not None and "hanger-90" in self.found:
            pull, long = self.found["hanger-90"], "fatigue_free_share"
            asked = pull.mean / self.strength, pull.doubt / self.strength
            row = self._worked_out("share of the strongest pull", "ratio", asked, ((long, None, source(long).si),))
            worked.append(({"hanger-90"}, row))
        if {"turn", "turn-bent"} <= self.found.keys():
            turned = self.found["turn"], self.found["turn-bent"]
            apart, doubt = abs(turned[1].mean - turned[0].mean), float(np.hypot(turned[0].doubt, turned[1].doubt))
            same: tuple[Limit, ...] = (("housing_test_elbow_flexion", None, GONIOMETER),)
            row = self._worked_out("the two arm angles differ by", "angle", (apart, doubt), same)
            worked.append(({"turn", "turn-bent"}, row))
        return worked

    @property
    def _efficiencies(self) -> tuple[Limit, ...]:
        if self.level == "below":
            cited = ("efficiency_single_control", "checkout_efficiency_single_variant")
        else:
            cited = ("efficiency_dual_control", "efficiency_dual_control_older")
        return tuple((name, limits(name)[0], None) for name in cited)

    def _row(self, key: str, one: BenchReading) -> BenchRow:
        found = self.found[key]
        used = dict.fromkeys(tried.instrument.name for tried in self.tries if tried.key == key)
        judged = tuple(
            _judged(one.short, one.kind, (found.mean, found.doubt), limit, bound=key == "slip")
            for limit in self._limits.get(key, ())
        )
        return BenchRow(
            name=one.short,
            kind=one.kind,
            mean=found.mean,
            doubt=found.doubt,
            readings=found.readings,
            with_=" and ".join(used),
            fitted=self.standing.signatures.healthy[key].value if self.search else None,
            criteria=judged,
        )

    def _worked_out(self, name: str, kind: str, found: tuple[float, float], wished: tuple[Limit, ...]) -> BenchRow:
        mean, doubt = found
        judged = tuple(_judged(name, kind, found, limit) for limit in wished)
        return BenchRow(name=name, kind=kind, mean=mean, doubt=doubt, criteria=judged)

    @cached_property
    def _limits(self) -> dict[str, tuple[Limit, ...]]:
        """What is wished of each reading, as the checkouts of the mechanics have it."""
        slip = (("checkout_slip", None, source("checkout_slip").si),)
        full = (("opening_at_90_older", self.whole * source("opening_at_90_older").si, None),)
        if self.level == "below":
            away = "opening_mouth_fly_below_elbow_older"
            own, reach = deg(135.0), source("checkout_elbow_range").si
            rest = (("checkout_shut_at_rest", None, source("checkout_shut_at_rest").si + PAPER),)
            part = ((away, self.whole * source(away).si, None),)
            elbow = (("checkout_elbow_range", own - reach, None),)
            return {"rest": rest, "arm-90": full, "mouth": part, "fly": part, "slip": slip, "elbow": elbow}
        away, lift, older = (
            "opening_mouth_fly_above_elbow_older",
            "forearm_flexion_force",
            "forearm_flexion_force_older",
        )
        part, shut = ((away, self.whole * source(away).si, None),), "checkout_shut_while_lifting"
        travel, arm, lock = "forearm_flexion_travel_older", "arm_flexion_for_forearm", "elbow_lock_travel"
        needs = limits(lock)[1]
        return {
            "lift-90": ((lift, *limits(lift)),),
            "lift-135": ((older, None, source(older).si),),
            "drawn": ((travel, None, source(travel).si),),
            "lifting-opens": ((shut, None, source(shut).si + PAPER),),
            "flexes-full": ((arm, None, source(arm).si),),
            "locked-90": full,
            "locked-mouth": part,
            "locked-fly": part,
            "lock": ((lock, needs, None),),
            "lock-idle": ((lock, None, needs),),
            "slip": slip,
        }


def _judged(name: str, kind: str, found: tuple[float, float], limit: Limit, *, bound: bool = False) -> CheckoutRow:
    mean, doubt = found
    cited, low, high = limit
    return CheckoutRow(
        test=name, measured=mean, low=low, high=high, kind=kind, source=cited, how="", error=doubt, bound=bound
    )
