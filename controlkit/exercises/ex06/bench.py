"""Exercise 6: every question to the mechanics about the chain on a wearer, in one place."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

from controlkit.checking import body
from controlkit.checking.case.cases import Value
from controlkit.exercises.shared import settings
from controlkit.exercises.shared.followed import Led, lead, try_on
from controlkit.exercises.shared.readings import rounded
from controlkit.mechanics import (
    POSITIONS,
    ControlCable,
    Housing,
    Pose,
    SingleControl,
    VoluntaryOpening,
    Wearer,
    figure_of_eight,
)
from controlkit.mechanics.chain.positions import BACK, FORWARD, on_command, one_scapula
from controlkit.mechanics.harness import LIMITS, RIGID, Placement, follow
from controlkit.mechanics.harness.suspension import carried
from controlkit.units import InputError, deg, mm

AS_FITTED: Placement = {
    "ring_below_c7": mm(60),
    "ring_to_sound_side": mm(25),
    "crossbar": 0.64,
    "control_strap": 0.0,
}
EASE = mm(20)
"""The harness of the tables, as the wearer comes in [m, and - for the crossbar], and how far its anterior support strap
is let out. It opens at the mouth."""

CABLE = ControlCable(friction=0.06)
"""A cable that runs freely in its liner. Assumption: with it a housing of the right length passes what is asked."""

SHUT = mm(0.5)
"""Movement of the fingertips that counts as none [m]."""

LOAD = 100.0
"""Pull along the limb under which the prosthesis is to stay [N]. Assumption of this exercise."""

SLIP = mm(55)
"""How far the prosthesis may slip under the load [m]. Assumption of this exercise: straps alone hold it."""

RIGHT, BENT = deg(90), deg(135)
"""Elbow angles at which cable and housing are tried [rad]."""


def commanded(wearer: Wearer, position: str) -> Pose:
    """A position with both scapulae brought forward, the device held: it works on command."""
    return on_command(wearer, POSITIONS[position]).pose


def drawn_back(wearer: Wearer, position: str) -> Pose:
    """A position with the scapula of the amputated side drawn back, the device held."""
    return one_scapula(wearer, POSITIONS[position], BACK).pose


def worn(wearer: Wearer, placement: Placement = AS_FITTED) -> SingleControl:
    """A harness with that ease in its anterior support strap, its cable and hook."""
    return SingleControl(figure_of_eight(wearer, support_strap=EASE, **placement), CABLE)


def measure(values: Mapping[str, Value]) -> dict[str, Value] | None:
    """What tape and scale show on the wearer of a case, on coming in, in whole numbers [mm and %]."""
    return _measured(str(values["sex"]), 10 * int(values["taller"]), 10 * int(values["wider"]))


@lru_cache(maxsize=32)
def _measured(sex: str, taller: int, wider: int) -> dict[str, Value] | None:
    """The same for either side: a body is its own mirror image."""
    try:
        wearer = body(sex, taller, wider)
        poses = {
            "rest": Pose(),
            "scapulae": Pose(scapular_abduction=FORWARD, sound_scapular_abduction=FORWARD),
            "table": POSITIONS["table"],
            "table_commanded": commanded(wearer, "table"),
            "mouth": POSITIONS["mouth"],
            "mouth_back": drawn_back(wearer, "mouth"),
            "waist_commanded": commanded(wearer, "waist"),
            "fly_commanded": commanded(wearer, "fly"),
        }
        system = worn(wearer)
        led = lead(system, tuple(poses.values()))
    except InputError:
        return None
    at = {name: k for k, name in enumerate(poses)}
    if not led.settled or led.opening(at["rest"]) > SHUT:
        return None
    raw = {f"generated_{name}": led.generated(at[name]) / mm(1) for name in ("scapulae", "table", "table_commanded")}
    lost = system.answer(led.found, at["table_commanded"]).excursion.lost
    ring = lost["ring"] + lost["tissue"] + lost["pad"]
    raw |= {"ring_lost": ring / mm(1), "stretch_lost": lost["stretch"] / mm(1)}
    for name in ("table_commanded", "mouth", "mouth_back", "waist_commanded", "fly_commanded"):
        raw[f"travel_{name}"] = led.travel(at[name]) / mm(1)
        raw[f"opening_{name}"] = led.opening(at[name]) / mm(1)
    for name in ("table", "waist", "fly"):
        raw[f"arrives_{name}"] = 100 * system.line(POSITIONS[name].elbow_flexion).efficiency
    found = rounded(raw)
    if found is None:
        return None
    return found | {"stature": round(wearer.stature / mm(1)), "chest": round(wearer.chest_circumference / mm(1))}


@dataclass(frozen=True)
class ChainTrial:
    """What a design does on one wearer, worked out when it is asked for.

    Parameters
    ----------
    led : Led
        The arm hanging, elbow straight and bent, then table, fly and mouth as a design is tried there
    elbow : float
        How far the elbow bends, at most 135 degrees [rad]
    grip : float
        Grip on the object of the case [N]
    """

    led: Led
    elbow: float
    grip: float

    @property
    def table(self) -> float:
        """Opening at the table on command, as a share of full opening [-]."""
        return self.led.opening(2) / self.led.system.device.full_opening

    @property
    def fly(self) -> float:
        """The same at the fly [-]."""
        return self.led.opening(3) / self.led.system.device.full_opening

    @property
    def mouth(self) -> float:
        """Inadvertent opening at the mouth, the scapula drawn back, device held [m]."""
        return self.led.opening(4)

    @property
    def rest(self) -> float:
        """Opening while the arm hangs, elbow straight or at 90 degrees [m]."""
        return max(self.led.opening(0), self.led.opening(1))

    @property
    def ring(self) -> float:
        """How far the ring lies below C7 [m]."""
        return self.led.system.harness.ring_below_c7

    @cached_property
    def carries(self) -> float:
        """What straps alone carry along the limb once the prosthesis has slipped by `SLIP` [N].

        It rises with the slip, so one pose tells; see `suspend`, which looks for the slip itself.
        """
        system = self.led.system
        slipped = (Pose(socket_slip=SLIP),)
        found = follow(replace(system.harness, cuff=RIGID), slipped, system.law, self.led.found)
        return float(carried(found)[0])

    @property
    def stays_on(self) -> bool:
        """Whether they carry `LOAD` before the prosthesis has slipped so far."""
        return self.carries >= LOAD

    @property
    def arrives(self) -> float:
        """Share of the pull that arrives at the device, elbow at 90 degrees [-]."""
        return self.led.system.line(RIGHT).efficiency

    @property
    def pull(self) -> float:
        """Pull at the hanger that opens the device fully, elbow at 90 degrees [N]."""
        device = self.led.system.device
        return device.force(device.travel) / self.arrives


def trial(wearer: Wearer, choice: Mapping[str, float], width: float) -> ChainTrial:
    """Try a design on a wearer; settings in m, and - for crossbar and bands, an object so wide to be held [m]."""
    return _tried(wearer, tuple(sorted(choice.items())), width)


@lru_cache(maxsize=32)
def _tried(wearer: Wearer, choice: tuple[tuple[str, float], ...], width: float) -> ChainTrial:
    chosen = dict(choice)
    settings.crossbar(chosen, LIMITS["crossbar"])
    harness = figure_of_eight(
        wearer,
        ring_below_c7=chosen["ring_below_c7"],
        ring_to_sound_side=AS_FITTED["ring_to_sound_side"],
        crossbar=chosen["crossbar"],
        control_strap=chosen["control_strap"],
        support_strap=chosen["support_strap"],
    )
    device = VoluntaryOpening(bands=chosen["bands"])  # type: ignore[arg-type]  # it asks for whole numbers itself
    system = SingleControl(harness, replace(CABLE, housing=Housing(spare=chosen["housing_spare"])), device)
    at = (commanded(wearer, "table"), commanded(wearer, "fly"), drawn_back(wearer, "mouth"))
    led = try_on(system, (Pose(), Pose(elbow_flexion=RIGHT), *at))
    return ChainTrial(led, elbow=min(BENT, system.line(BENT).elbow_limit), grip=device.pinch(width))
