"""Acceptance tests of a fitted transradial prosthesis with single control, measured on the model."""

from __future__ import annotations

import numpy as np

from controlkit.mechanics.bench.instruments import BENT, GONIOMETER, PAPER, RIGHT, STRAIGHT, TAPE, Bench
from controlkit.mechanics.bench.record import Checkout, CheckoutRow
from controlkit.mechanics.bench.rows import efficiency, left, slip
from controlkit.mechanics.bench.worn import WornBench, axial_load
from controlkit.mechanics.body.pose import Pose
from controlkit.mechanics.chain.single import SingleControl
from controlkit.mechanics.inputs import kind, number
from controlkit.sources import source
from controlkit.units import InputError, show

OWN_FLEXION = source("elbow_flexion_range_reference").si
"""Elbow flexion of a person for whom it was not measured [rad]. A reference range."""

_FOR_THE_PERSON = (
    ("condition of the residual limb, before and after", "", "", "length", "the limb has no skin"),
    ("harness undamaged under the axial load", "checkout_axial_load", "load", "force", "nothing in it tears or opens"),
    (
        "socket turns minimally, if at all, under a transverse force",
        "checkout_rotation_force",
        "least",
        "force",
        "the socket can't turn",
    ),
    ("elbow flexion, self-suspending socket", "checkout_self_suspending_flexion", "least", "angle", "it has no brim"),
    ("forearm rotation left by flexible hinges", "checkout_rotation_share", "least", "ratio", "no forearm rotates"),
    ("flexible hinge strap anchor to the wrist", "checkout_hinge_anchor", "just", "length", "there are no hinges"),
    ("humeral cuff to olecranon, rigid hinges", "checkout_cuff_to_olecranon", "just", "length", "there is no cuff"),
    ("device tip against the sound thumb tip", "checkout_length", "just", "length", "both sides are equally long"),
)
"""What is left to the person: test, source, how its figure limits, kind of quantity, and why.

Seven of the eight come from one list of standards, that of the University of Washington's open textbook; what flexible
hinges leave of rotation comes from public study cards.
"""


def checkout(system: SingleControl, own_elbow_flexion: float = OWN_FLEXION) -> Checkout:
    """Try every acceptance test of a transradial prosthesis on the model, as a fitter would.

    Parameters
    ----------
    system : SingleControl
        Prosthesis, harness and wearer
    own_elbow_flexion : float
        Elbow flexion of the person without the prosthesis [rad]

    Returns
    -------
    Checkout
        The record; what the model can't answer is left to be measured on the person

    Raises
    ------
    InputError
        If the elbow flexion is not between 60 and 150 degrees

    Notes
    -----
    Most criteria are those of one open textbook, *Transradial Body-Powered Standards* (University of Washington);
    the record names it first, and the sources of the others after it. Each has its flag: those of the older lists
    are from memory and not verified. Where a source names no position, elbow angle or tolerance, the row says which
    was taken.

    Examples
    --------
    >>> from controlkit.mechanics import SingleControl, Wearer, figure_of_eight
    >>> record = checkout(SingleControl(figure_of_eight(Wearer.average("male"))))
    >>> record["opening, elbow at 90"].measured, record["opening, elbow at 90"].flag
    (1.0, 'memory')
    """
    kind("The system", system, SingleControl, "SingleControl(figure_of_eight(wearer))")
    if not np.deg2rad(60.0) <= number("The person's own elbow flexion", own_elbow_flexion, "deg(140)") <= OWN_FLEXION:
        raise InputError(
            given=f"An elbow flexion of the person of {show(own_elbow_flexion, 'angle')} was given.",
            do=f"Give between 60 and {show(OWN_FLEXION, 'angle')}; write deg(140) for 140 degrees.",
        )
    worn, wearer, load = WornBench(system), system.harness.wearer, axial_load(system)
    rows = (
        *_efficiency(Bench(system)),
        *_openings(worn),
        *_elbow(worn, own_elbow_flexion),
        slip(load, worn.slip(load), ""),
        *left(_FOR_THE_PERSON, load),
    )
    return Checkout(f"Checkout, {wearer.amputated} side below the elbow, {system.device.kind}", rows)


def _efficiency(bench: Bench) -> tuple[CheckoutRow, ...]:
    asked = (
        ("control efficiency", "efficiency_single_control"),
        ("control efficiency, another usage", "checkout_efficiency_single_variant"),
    )
    return efficiency(bench.at_device(), bench.at_hanger(RIGHT), "elbow at 90 degrees, an assumption", asked)


def _openings(worn: WornBench) -> tuple[CheckoutRow, ...]:
    whole = worn.bench.moved(worn.system.device.travel)
    at_90, away, rest = "opening_at_90_older", "opening_mouth_fly_below_elbow_older", "checkout_shut_at_rest"
    does = "opening" if worn.system.device.opens else "closing"
    led = "tape between the fingertips, the arm led from hanging to 90 degrees of flexion; share of full movement"
    commanded = (
        "tape between the fingertips, both scapulae brought forward, device held; angles of the position assumed"
    )
    snug = "strip of paper between the fingertips, arm hanging"
    share = source(away).si
    return (
        CheckoutRow(
            test="device still at rest",
            measured=worn.gap(Pose()),
            high=source(rest).si + PAPER,
            kind="length",
            source=rest,
            how=snug,
        ),
        CheckoutRow(
            test=f"{does}, elbow at 90",
            measured=worn.best(RIGHT),
            low=source(at_90).si,
            kind="ratio",
            source=at_90,
            how=led,
        ),
        *(
            CheckoutRow(
                test=f"{does} at the {name}",
                measured=gap / whole,
                low=share,
                kind="ratio",
                source=away,
                how=commanded,
                error=TAPE / whole,
            )
            for name in ("mouth", "fly")
            for gap in [worn.gap(worn.on_command(name))]
        ),
    )


def _elbow(worn: WornBench, own: float) -> tuple[CheckoutRow, ...]:
    same, reach = "housing_test_elbow_flexion", "checkout_elbow_range"
    straight, bent = worn.turn(0.5, STRAIGHT), worn.turn(0.5, BENT)
    moved = (
        f"goniometer: arm flexion until the device is half way, {show(straight, 'angle')} with the elbow straight and "
        f"{show(bent, 'angle')} at 135 degrees; printed as the same, here within the goniometer's error"
    )
    swung = f"goniometer: forearm bent until it stops, of {show(own, 'angle')} of the person's own; housing only"
    reached = worn.bench.bends_to(own)
    return (
        CheckoutRow(
            test="same motion at any elbow",
            measured=abs(bent - straight),
            high=GONIOMETER,
            kind="angle",
            source=same,
            how=moved,
        ),
        CheckoutRow(
            test="elbow flexion worn",
            measured=reached,
            low=own - source(reach).si,
            kind="angle",
            source=reach,
            how=swung,
            error=GONIOMETER,
        ),
    )
