"""Exercise 3, the figure-of-eight harness: what is asked, and hints."""

from __future__ import annotations

from math import cos

from controlkit.checking import (
    Criterion,
    Design,
    Quantity,
    Setting,
    Written,
    own_wearer,
)
from controlkit.exercises.ex03.bench import PARTLY, HarnessTrial, trial
from controlkit.exercises.ex03.case import (
    WITHIN,
    asked_motion,
    crossbar_to,
    generated,
    growth,
    half_opening,
    losses,
    turn,
)
from controlkit.exercises.shared.wearers import CONTROL_STRAP, CROSSBAR, GRADED_ON, RING_BELOW_C7, other_bodies
from controlkit.units import mm


def _mm(length: float) -> int:
    """A length as a check shows it [mm]."""
    return round(length / mm(1))


def opens_partly(done: HarnessTrial) -> bool:
    """Whether the device opens far enough for the rest to count."""
    return done.opening_share >= PARTLY


LOOP_TENSION = Quantity(
    name="loop_tension",
    points=4,
    kind="force",
    unit="N",
    asks="tension of the axilla loop, the same in both legs, ring in balance",
    right=lambda c, _: c.ring_pull / (2 * cos(half_opening(c))),
    relative=0.01,
    hints=(
        "Draw the ring alone with its three forces. Along which line is the sum simplest?",
        "Lay one axis along the control attachment strap: what share of each leg's tension lies along it?",
    ),
)

ITEMS = (
    Quantity(
        name="excursion",
        points=4,
        kind="length",
        unit="mm",
        asks="captured excursion at the arm flexion and pull of the table headed In use",
        right=lambda c, _: generated(c) - losses(c),
        within=WITHIN,
        hints=(
            "First: how much does the path grow with the ring held? Then: which lines of the table give, which take?",
            (
                "Three things take excursion away: slack, travel of the ring, and stretch at this pull. The "
                "table gives the stretch for so many newtons: how many times does the pull hold them?"
            ),
        ),
        credible=(5.0, 1000.0),
    ),
    Quantity(
        name="moment_arm",
        points=4,
        kind="length",
        unit="mm",
        asks="mean moment arm of the strap about the shoulder between the two angles",
        right=lambda c, _: growth(c) / turn(c),
        within=1.0,
        hints=(
            "A moment arm is a length: change of path length over change of angle.",
            "One radian is about 57 degrees. How many radians lie between your two angles?",
        ),
        credible=(5.0, 150.0),
    ),
    Quantity(
        name="shoulder_moment",
        points=2,
        kind="moment",
        unit="N m",
        asks="moment that the shoulder makes against the pull, from your own moment arm",
        right=lambda c, mine: c.pull * mine["moment_arm"] / 1000,
        relative=0.01,
        hints=("A moment is a force times its arm.", "Which of the two is in millimetres, and what was asked?"),
        follows="moment_arm",
    ),
    LOOP_TENSION,
    Design(
        name="design",
        asks="ring, crossbar and control attachment strap for your wearer",
        settings=(
            RING_BELOW_C7,
            Setting("ring_to_sound_side", "length", "mm", "distance of the ring from the spine toward the sound side"),
            CROSSBAR,
            CONTROL_STRAP,
        ),
        wearer=lambda c: own_wearer(c.values),
        simulate=lambda wearer, choice, c: trial(wearer, choice, asked_motion(c)),
        criteria=(
            Criterion(
                label="opens-fully",
                points=1.5,
                share=lambda done, _: 1.0 if done.opens_fully else 0.5 if opens_partly(done) else 0.0,
                met="the device opens fully with the motion asked for.",
                ask="the device does not open fully with the motion asked for. Which settings change the strap's "
                "moment arm about the shoulder, and which only add slack? The crossbar is a lever too, as far as "
                "the cuff leaves it room.",
                because="captured excursion short of what the device needs; ideas behind it: one placement suits "
                "everybody, a higher ring is always better, slack costs nothing",
                reached=lambda done, c: (
                    f"{_mm(done.opening)} of {_mm(done.full_opening)} mm at {c.design_angle}° and {c.design_forward}°"
                ),
            ),
            Criterion(
                label="moment-within",
                points=1.5,
                counts=lambda done: done.opens_fully,
                share=lambda done, c: 1.0 if round(done.shoulder_moment, 2) <= c.design_moment else 0.0,
                met="the strap asks no more of the shoulder than the table allows.",
                ask="the strap asks more of the shoulder than the table allows. What is the price of every millimetre "
                "of moment arm at the same pull?",
                because="moment arm larger than needed; idea behind it: a lower strap gives more excursion and more "
                "force. Of the other straps and of the arm's weight this says nothing",
                reached=lambda done, c: f"{done.shoulder_moment:.2f} N m, allowed {c.design_moment:.2f} N m",
            ),
            Criterion(
                label="shut-at-rest",
                points=0.5,
                counts=opens_partly,
                share=lambda done, _: 1.0 if done.shut_at_rest else 0.0,
                met="the device stays shut and the strap unloaded while the arm hangs.",
                ask="while the arm hangs the strap pulls, and may hold the device partly open. What does a strap do "
                "that is shorter than its path?",
                because="strap taken in: the loop presses all day, even where the bands still hold the device shut; "
                "idea behind it: a tighter harness only adds excursion",
                reached=lambda done, _: f"opening {_mm(done.opening_at_rest)} mm, pull {done.pull_at_rest:.0f} N",
            ),
            Criterion(
                label="ring-as-fitted",
                points=0.25,
                counts=opens_partly,
                share=lambda done, c: 1.0 if done.as_fitted(mm(c.ring_lowest)) else 0.0,
                met="the ring lies where it is fitted.",
                ask="the ring does not lie where it is fitted. What does it rub on the spine, what do its straps press "
                "close to the neck, and how is a strap lowered without lowering the ring?",
                because="ring higher or lower than the case allows, or closer than 15 mm to the midline; a "
                "textbook puts it about 1 in below C7 and 1 in toward the sound side, the range is of this exercise",
                reached=lambda done, _: (
                    f"{_mm(done.ring_below_c7)} mm below C7, {_mm(done.ring_to_side)} mm off the spine"
                ),
            ),
            Criterion(
                label="crossbar-in-place",
                points=0.25,
                counts=opens_partly,
                share=lambda done, c: 1.0 if c.crossbar_from <= round(done.crossbar, 3) <= crossbar_to(c) else 0.0,
                met="the crossbar sits where the cuff leaves room for it.",
                ask="the cuff leaves no room for the crossbar there. Which settings can give the excursion "
                "instead, and what does each of them cost?",
                because="crossbar outside the room of the case, which is a range of this exercise, no published "
                "figure; idea behind it: one placement suits everybody",
                reached=lambda done, c: (
                    f"at {100 * done.crossbar:.3g} %, room from {100 * c.crossbar_from:.0f} % to "
                    f"{100 * crossbar_to(c):.0f} %"
                ),
            ),
        ),
        works=lambda done: done.opens_fully and done.shut_at_rest,
        bodies=other_bodies(shorter=120, narrower=100),
        bodies_points=2.0,
        graded_on=GRADED_ON,
    ),
    Written(
        name="why",
        asks="why your design looks as it does",
        rubric=(
            (1, "names the setting that gave most excursion and ties it to the strap's moment arm about the shoulder"),
            (1, "says what that excursion costs: more moment at the shoulder for the same pull"),
            (1, "says why the strap is not simply taken in: the device at rest, and the pressure in the armpit"),
            (1, "names a body unlike this wearer, and the setting that would answer to it"),
        ),
    ),
)
