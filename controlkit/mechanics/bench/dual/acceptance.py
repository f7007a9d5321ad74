"""Acceptance tests of a fitted transhumeral prosthesis with dual control, measured on the model."""

from __future__ import annotations

import math

from controlkit.mechanics.bench.dual.locking import LockTried, try_lock
from controlkit.mechanics.bench.dual.table import DualBench
from controlkit.mechanics.bench.dual.worn import FULL, WornDual
from controlkit.mechanics.bench.instruments import GONIOMETER, PAPER, RIGHT, SCALE, TAPE
from controlkit.mechanics.bench.record import Checkout, CheckoutRow
from controlkit.mechanics.bench.rows import efficiency, left, slip
from controlkit.mechanics.bench.worn import axial_load
from controlkit.mechanics.chain.dual import DualControl, LockStrap, socket_rotation
from controlkit.mechanics.chain.dual.rotation import LEAST_PULL
from controlkit.mechanics.chain.positions import BOTH_FORWARD, POSITIONS
from controlkit.mechanics.elbow import ElbowLock
from controlkit.mechanics.inputs import kind
from controlkit.sources import source
from controlkit.units import show

_MEAN, _PRINTED = source("forearm_lift_mean_force"), source("forearm_flexion_force")
_BELOW = "printed for the transradial prosthesis, none for this one was found"
_FOR_THE_PERSON = (
    ("condition of the residual limb, before and after", "", "", "length", "the limb has no skin"),
    ("harness undamaged under the axial load", "checkout_axial_load", "load", "force", "nothing in it tears or opens"),
    (
        "socket resists turning, both ways",
        "rotation_resisted_older",
        "least",
        "force",
        "a socket has no grip of its own",
    ),
    ("force of the elbow lock", "elbow_lock_force", "just", "force", "it is as hard as was given"),
    ("device tip against the sound thumb tip", "checkout_length", "just", "length", "both sides are equally long"),
)
"""What is left to the person: test, source, how its figure limits, kind of quantity, and why."""


def checkout_above(system: DualControl, *, lock: ElbowLock | None = None, strap: LockStrap = LockStrap()) -> Checkout:
    """Try every acceptance test of a transhumeral prosthesis on the model, as a fitter would.

    Parameters
    ----------
    system : DualControl
        Prosthesis, harness and wearer
    lock : ElbowLock, optional
        Its elbow lock; 11 positions from where the forearm hangs unless given
    strap : LockStrap
        The strap of the lock

    Returns
    -------
    Checkout
        The record; what the model can't answer is left to be measured on the person

    Raises
    ------
    InputError
        If it is not a dual-control system

    Notes
    -----
    No published list for the transhumeral prosthesis was found. Criteria come from older lists, from memory; from study
    cards; and from transradial standards, where nothing else is known: each row says which. Some of them conflict, with
    each other or with mechanics. All stand, and the record says so. Where no list was found that asks a test, the row
    has a reading and no criterion. Positions, scapulae and elbow angles that no source names are in the row.

    Examples
    --------
    >>> from controlkit.mechanics import Wearer, above_elbow_eight
    >>> woman = Wearer.average("female", level="transhumeral")
    >>> record = checkout_above(DualControl(harness=above_elbow_eight(woman, ring_below_c7=0.05)))
    >>> record["opening, locked at 90"].outcome, record["opening, locked at 90"].flag
    ('met', 'memory')
    """
    kind("The system", system, DualControl, "DualControl(harness=above_elbow_eight(wearer))")
    catch = ElbowLock.from_stop(system.hangs_at) if lock is None else lock
    worn, wearer, load = WornDual(system), system.harness.wearer, axial_load(system)
    rows = (
        *_efficiency(worn.bench),
        *_flexing(worn.bench),
        *_drawing(worn),
        *_shut(worn),
        *_opening(worn),
        *_elbow(worn),
        *_lock(try_lock(system.harness, catch, strap), catch),
        slip(load, worn.slip(load), f", elbow straight; {_BELOW}"),
        _turned(worn),
        *left(_FOR_THE_PERSON, load),
    )
    title = f"Checkout, {wearer.amputated} side above the elbow, {system.device.kind}, dual control"
    return Checkout(title, rows, _conflicts(worn))


def _efficiency(bench: DualBench) -> tuple[CheckoutRow, ...]:
    at_hanger = bench.at_hanger(RIGHT)
    locked = "elbow locked at 90 degrees, an assumption"
    below = "control efficiency", "efficiency_dual_control"
    older = "control efficiency, older lists", "efficiency_dual_control_older"
    return (
        *efficiency(bench.at_device(), at_hanger, f"{locked}; {_BELOW}", [below]),
        *efficiency(bench.at_device(), at_hanger, locked, [older]),
        CheckoutRow(
            test="force to open, elbow locked",
            measured=at_hanger,
            kind="force",
            source=None,
            how="spring scale at the cable hanger, elbow locked at 90 degrees",
            error=SCALE,
        ),
    )


def _flexing(bench: DualBench) -> tuple[CheckoutRow, ...]:
    """Upper arm upright: what raising the arm adds to the forearm's moment is not in these readings."""
    older, how = "forearm_flexion_force_older", "spring scale at the cable hanger, upper arm upright, largest reading"
    whole = bench.flexes(FULL)
    mean = _energy(bench.system) / (bench.drawn(FULL) - bench.system.cable.slack)
    return (
        CheckoutRow(
            test="force to flex the forearm to 90",
            measured=bench.flexes(RIGHT),
            low=_PRINTED.si_low,
            high=_PRINTED.si_high,
            kind="force",
            source=_PRINTED.id,
            how=f"{how} from hanging to 90 degrees",
            error=SCALE,
        ),
        CheckoutRow(
            test="force to flex the forearm fully",
            measured=whole,
            low=_PRINTED.si_low,
            high=_PRINTED.si_high,
            kind="force",
            source=_PRINTED.id,
            how=f"{how} from hanging to 135 degrees",
            error=SCALE,
        ),
        CheckoutRow(
            test="force to flex the forearm, mean over the way",
            measured=mean,
            low=_MEAN.si_low,
            high=_MEAN.si_high,
            kind="force",
            source=_MEAN.id,
            how="work against the weight of the forearm from hanging to 135 degrees, over the cable drawn; no friction",
            error=SCALE,
        ),
        CheckoutRow(
            test="force to flex the forearm from 90",
            measured=bench.flexes(FULL, RIGHT),
            high=source(older).si,
            kind="force",
            source=older,
            how=f"{how} from 90 to 135 degrees, device shut",
            error=SCALE,
        ),
    )


def _drawing(worn: WornDual) -> tuple[CheckoutRow, ...]:
    bench, tape = worn.bench, "tape at the cable hanger, from the forearm's stop"
    limit, total, arm = "forearm_flexion_travel_older", "total_travel_above_elbow", "arm_flexion_for_forearm"
    turned = "goniometer at the upper arm until the forearm comes to 135 degrees; "
    return (
        CheckoutRow(
            test="cable to flex the forearm to 90",
            measured=bench.drawn(RIGHT),
            kind="length",
            source=None,
            how=f"{tape} to 90 degrees",
            error=TAPE,
        ),
        CheckoutRow(
            test="cable to flex the forearm fully",
            measured=bench.drawn(FULL),
            high=source(limit).si,
            kind="length",
            source=limit,
            how=f"{tape} to 135 degrees",
            error=TAPE,
        ),
        CheckoutRow(
            test="cable that both motions give",
            measured=max(float(worn.system.open_locked([FULL], **BOTH_FORWARD).captured[0]), 0.0),
            low=source(total).si,
            kind="length",
            source=total,
            how="tape at the hanger: arm flexion to the end of the motion, both scapulae forward, against the pull "
            "that opens; the printed travels of lift and device, added",
            error=TAPE,
        ),
        *(
            CheckoutRow(
                test=test,
                measured=worn.turns(FULL, both=both),
                high=source(arm).si,
                kind="angle",
                source=arm,
                how=turned + said,
                error=GONIOMETER,
            )
            for test, both, said in (
                ("arm flexion for full flexion", False, "arm flexion alone"),
                ("the same, both scapulae forward", True, "both scapulae forward by 20 degrees, an assumption"),
            )
        ),
    )


def _shut(worn: WornDual) -> tuple[CheckoutRow, ...]:
    cited, paper = "checkout_shut_while_lifting", "strip of paper between the fingertips, the forearm brought up "
    tried = (
        ("device shut while lifting, on the table", worn.bench.opens_on_the_way(FULL), "by the hanger, arm upright"),
        ("device shut while lifting, worn", worn.opens_while_lifting(), "by arm flexion alone"),
    )
    return tuple(
        CheckoutRow(
            test=test,
            measured=moved,
            high=source(cited).si + PAPER,
            kind="length",
            source=cited,
            how=f"{paper}{said} to 135 degrees",
        )
        for test, moved, said in tried
    )


def _opening(worn: WornDual) -> tuple[CheckoutRow, ...]:
    at_90, away = "opening_at_90_older", "opening_mouth_fly_above_elbow_older"
    error = TAPE / worn.bench.moved(worn.system.device.travel)
    tape = "tape between the fingertips, share of full movement; "
    there = "elbow locked at the position's angle, both scapulae forward by 20 degrees: assumptions"
    return (
        *(
            CheckoutRow(
                test=test,
                measured=worn.opens(RIGHT, both=both),
                low=source(at_90).si,
                kind="ratio",
                source=at_90,
                how=f"{tape}arm flexion to the end of the motion{said}",
            )
            for test, both, said in (
                ("opening, locked at 90", True, ", both scapulae forward"),
                ("opening, locked at 90, arm flexion alone", False, " alone"),
            )
        ),
        *(
            CheckoutRow(
                test=f"opening at the {name}",
                measured=worn.opens_at(name),
                low=source(away).si,
                kind="ratio",
                source=away,
                how=tape + there + _short_of(worn, name),
                error=error,
            )
            for name in ("mouth", "fly")
        ),
        CheckoutRow(
            test="opening at the waist",
            measured=worn.opens_at("waist"),
            kind="ratio",
            source=None,
            how=tape + there + _short_of(worn, "waist"),
            error=error,
        ),
    )


def _short_of(worn: WornDual, position: str) -> str:
    """What a row says where the control motion ends before a position."""
    meant, end = POSITIONS[position].arm_flexion, worn.at(position).arm_flexion
    if end >= meant:
        return ""
    return f"; the arm flexed to the end of the control motion, {show(end, 'angle')}, and not to {show(meant, 'angle')}"


def _elbow(worn: WornDual) -> tuple[CheckoutRow, ...]:
    cited = "prosthetic_elbow_range_older"
    return (
        CheckoutRow(
            test="elbow flexion, actively",
            measured=worn.bends_to(),
            low=source(cited).si,
            kind="angle",
            source=cited,
            how="goniometer: as far as arm flexion with both scapulae forward brings the forearm, device shut, in "
            "steps of 5 degrees up to 135",
            error=GONIOMETER,
        ),
        CheckoutRow(
            test="live lift",
            measured=worn.bench.live(RIGHT),
            kind="force",
            source=None,
            how="weights hung from an object of 30 mm in the device, elbow held at 90 degrees by the cable alone, "
            "until it slips; friction of the fingers assumed",
            error=SCALE,
        ),
        CheckoutRow(
            test="pre-flexion",
            measured=worn.bench.hangs(),
            kind="angle",
            source=None,
            how="goniometer: where the forearm hangs on its stop",
            error=GONIOMETER,
        ),
    )


def _lock(tried: LockTried, lock: ElbowLock) -> tuple[CheckoutRow, ...]:
    cited, quiet, front = "elbow_lock_travel", "no_locking_abduction_older", tried.motion
    taut = "is taut" if front.front_taut else f"bears {show(front.front_tension, 'force')}"
    return (
        CheckoutRow(
            test="lock reached by the lock motion",
            measured=front.travel,
            low=lock.travel,
            kind="length",
            source=cited,
            how="tape at the lock cable: extension of 12 degrees, abduction of 20 more and depression of 8, amounts "
            f"assumed; the front support strap {taut} there",
            error=TAPE,
        ),
        CheckoutRow(
            test="no locking unasked, walking",
            measured=tried.walked,
            high=lock.travel,
            kind="length",
            source=cited,
            how="tape at the lock cable, arm swung forward by 20 degrees and back as far as people without amputation "
            "were seen to: less than the lock needs",
            error=TAPE,
        ),
        CheckoutRow(
            test="no locking unasked on abduction",
            measured=tried.quiet_to,
            low=source(quiet).si,
            kind="angle",
            source=quiet,
            how="goniometer: as far as the arm is abducted, in steps of 15 degrees up to 60, until the lock is worked",
        ),
    )


def _turned(worn: WornDual) -> CheckoutRow:
    """No list says how far: older ones ask what it resists by its own grip, which the model leaves out."""
    pull = float(worn.system.open_locked([RIGHT], **BOTH_FORWARD).harness_force[0])
    if pull < LEAST_PULL:
        turned, found = 0.0, ": nothing turns it"
    else:
        lifted = worn.turns(RIGHT, both=True)
        turned = abs(socket_rotation(worn.system.harness, pull, arm_flexion=lifted, **BOTH_FORWARD).angle)
        found = "" if math.isfinite(turned) else ": they do not within 60 degrees"
    return CheckoutRow(
        test="socket turned by the control strap",
        measured=turned if math.isfinite(turned) else None,
        kind="angle",
        source=None,
        how=f"goniometer: opening with the elbow locked at 90 degrees, {show(pull, 'force')} at the control strap; an "
        f"upper bound, straps and flesh alone hold it, not the socket's own grip{found}",
        error=GONIOMETER,
    )


def _energy(system: DualControl) -> float:
    """Work against the weight of the forearm from hanging to full flexion, upper arm upright [J]."""
    return system.lifted_forearm.largest_moment * (math.cos(system.hangs_at) - math.cos(FULL))


def _conflicts(worn: WornDual) -> tuple[str, ...]:
    """Criteria of the record that cannot all be right, from this system's own figures."""
    system, cable = worn.system, worn.bench.drawn(FULL) - worn.system.cable.slack
    mean = _energy(system) / cable
    said = []
    if mean > _PRINTED.si_low:
        printed = f"{show(_PRINTED.si_low, 'force')} to {show(_PRINTED.si_high, 'force')}"
        short = "the whole range" if mean > _PRINTED.si_high else "its low end"
        said.append(
            f"a study card prints {printed} to flex the forearm. This forearm gains {_energy(system):.1f} J over "
            f"{show(cable, 'length')} of cable: {show(mean, 'force')} on average, whatever loop and housing end take "
            f"up so much, and more with friction. With {short} it does not lift so far."
        )
    lever = source("elbow_flexion_travel").si / source("arm_flexion_for_forearm").si
    has = float(system.capture().generated[-1]) / system.furthest
    if lever > has:
        said.append(
            f"full flexion within {show(source('arm_flexion_for_forearm').si, 'angle')} of arm flexion and "
            f"{show(source('elbow_flexion_travel').si, 'length')} of cable ask arm flexion for "
            f"{show(lever, 'length')} a radian; this harness generates {show(has, 'length')}. The scapulae must give "
            "the rest."
        )
    for name in ("mouth", "fly"):
        gives, needs = worn.generated_at(name), worn.needs_at(name, source("opening_mouth_fly_above_elbow_older").si)
        if gives < needs:
            said.append(
                f"opening by half at the {name} needs {show(needs, 'length')} of cable, that of the lift with it; as "
                f"the position is assumed here, the motions generate {show(gives, 'length')} even if nothing gave "
                f"way{_short_of(worn, name)}."
            )
    said.append(
        "50 % efficiency is printed for dual control below the elbow, 70 % above it is from memory: they may be two "
        "levels and need not contradict each other."
    )
    return tuple(said)
