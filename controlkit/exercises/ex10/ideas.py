"""Exercise 10: what learners believe, each as a model of the same case."""

from __future__ import annotations

from math import ceil, cos, floor, radians, sin

from controlkit.checking import Case, WrongIdea
from controlkit.exercises.ex10.case import bands_for, held_by_front, lifted


def _unless(value: int, *others: int) -> int | tuple[int, ...]:
    """A count, or none where it comes to the same as another by chance [-]."""
    return value if value not in others and value > 0 else ()


def _without_loss(c: Case, own: float) -> int | tuple[int, ...]:
    return _unless(floor(own / c.begins) + 1, bands_for(c, own))


def _upside_down(c: Case, own: float) -> int | tuple[int, ...]:
    return _unless(ceil(own * 100 / c.arrives / c.begins), bands_for(c, own), floor(own / c.begins) + 1)


def _full_opening(c: Case, own: float) -> int | tuple[int, ...]:
    right = bands_for(c, own)
    return _unless(ceil(own * c.arrives / 100 / c.full), right, right - 1)


IDEAS = (
    WrongIdea(
        label="cosine-of-the-angle-between",
        item="crossing_pull",
        model=lambda c, _: c.pull * abs(cos(radians(c.control_to_own))),
        ask="That is the part of the pull along the other control strap. But the other front strap pulls as "
        "well: which two pulls together hold the first one?",
        held_because="one part of a force is taken with a cosine, as if nothing else held the rest",
    ),
    WrongIdea(
        label="runs-through",
        item="crossing_pull",
        model=lambda c, _: float(c.pull),
        ask="You let the whole pull run on to the other side. Which strap runs on straight from it, and takes "
        "its share?",
        held_because="webbing sewn through is thought to have one tension all along",
    ),
    WrongIdea(
        label="half-each",
        item="crossing_pull",
        model=lambda c, _: c.pull / 2,
        ask="You gave either strap of the other side a half. Do both stand at the same angle to the pull?",
        held_because="two that hold one are thought to share it evenly",
    ),
    WrongIdea(
        label="what-the-front-strap-takes",
        item="crossing_pull",
        model=lambda c, _: held_by_front(c),
        ask="So much the other front strap holds. Which angle lies opposite the strap that leads to the cable?",
        held_because="in the law of sines each force is laid beside its own angle and not the opposite one",
        share=0.5,
    ),
    WrongIdea(
        label="across-is-all",
        item="crossing_pull",
        model=lambda c, _: c.pull * sin(radians(c.own_to_front)),
        ask="That is the part of the pull across the other front strap. At which angle does the other control "
        "strap hold it?",
        held_because="a part is taken, and the strap that must hold it is thought to lie square",
        share=0.5,
    ),
    WrongIdea(
        label="degrees-read-as-radians",
        item="crossing_pull",
        model=lambda c, _: c.pull * sin(c.own_to_front) / sin(c.front_to_control),
        ask="In which unit did you give your sines their angles?",
        held_because="angles are read in degrees and used as they are",
        share=0.5,
    ),
    WrongIdea(
        label="cable-without-loss",
        item="bands_shut",
        model=lambda c, mine: _without_loss(c, mine["crossing_pull"]),
        ask="You laid the strap's tension beside the bands. What does the housing leave of it on the way to the hook?",
        held_because="one cable is thought to have one tension",
        share=0.5,
    ),
    WrongIdea(
        label="efficiency-upside-down",
        item="bands_shut",
        model=lambda c, mine: _upside_down(c, mine["crossing_pull"]),
        ask="More reaches your hook than was pulled. On which side of the housing is the larger force?",
        held_because="a ratio is remembered without which force stands on top",
        share=0.25,
    ),
    WrongIdea(
        label="rounded-down",
        item="bands_shut",
        model=lambda c, mine: _unless(bands_for(c, mine["crossing_pull"]) - 1),
        ask="With so many the pull is still a little more than they hold. Which whole number is enough?",
        held_because="a number of bands is rounded like any other number",
        share=0.5,
    ),
    WrongIdea(
        label="force-of-full-opening",
        item="bands_shut",
        model=lambda c, mine: _full_opening(c, mine["crossing_pull"]),
        ask="So few bands would stop it before it is fully open. From which force on has it begun?",
        held_because="the largest force of a device is taken for the one that it resists with",
        share=0.25,
    ),
    WrongIdea(
        label="ratio-divides-the-angle",
        item="forearm_sweep",
        model=lambda c, _: (c.most - c.least) / c.ratio,
        ask="Your forearm goes less far than the limb. What is a step-up hinge built for?",
        held_because="which side of a ratio is meant is forgotten",
        share=0.25,
    ),
    WrongIdea(
        label="ratio-comes-on-top",
        item="forearm_sweep",
        model=lambda c, _: (c.most - c.least) * (1 + c.ratio),
        ask="You added the hinge's angle to the limb's. Does the ratio count from the limb, or from the upper arm?",
        held_because="a gain is thought to come on top of what there is",
        share=0.25,
    ),
    WrongIdea(
        label="counted-from-straight",
        item="forearm_sweep",
        model=lambda c, _: float(c.most * c.ratio),
        ask="You began with a straight limb. Where does this limb begin?",
        held_because="flexion is counted from straight, and so is everything else",
        share=0.5,
    ),
    WrongIdea(
        label="one-degree-for-one",
        item="forearm_sweep",
        model=lambda c, _: float(c.most - c.least),
        ask="That is how far the limb goes. What lies between it and the forearm?",
        held_because="forearm and limb are thought to be one piece, as they are without a prosthesis",
    ),
    WrongIdea(
        label="hinge-gives-moment",
        item="limb_moment",
        model=lambda c, _: lifted(c) / c.ratio / (c.hinge / 100),
        ask="Through your hinge the limb gains angle and moment at once. Where would the work come from?",
        held_because="a gear is thought to help in every way",
        share=0.25,
    ),
    WrongIdea(
        label="hinge-changes-angle-only",
        item="limb_moment",
        model=lambda c, _: lifted(c),
        ask="That is what the forearm asks for. The limb goes less far for the same lift: with the same moment?",
        held_because="a hinge is seen to change the angle, and the moment is not seen",
        share=0.25,
    ),
    WrongIdea(
        label="loss-helps",
        item="limb_moment",
        model=lambda c, _: c.ratio * lifted(c) * c.hinge / 100,
        ask="A hinge that rubs more would ask your limb for less. Which side of the hinge has the loss to make up?",
        held_because="an efficiency is multiplied by, whichever way one goes",
        share=0.5,
    ),
    WrongIdea(
        label="hinge-without-loss",
        item="limb_moment",
        model=lambda c, _: c.ratio * lifted(c),
        ask="You let nothing get lost in the hinge. Which line of the table says otherwise?",
        held_because="a hinge is taken for a number of teeth",
        share=0.5,
    ),
    WrongIdea(
        label="empty-hook",
        item="limb_moment",
        model=lambda c, _: c.ratio * c.level / (c.hinge / 100),
        ask="That lifts an empty forearm. What is in the hook?",
        held_because="the prosthesis is what one thinks of, and the load is not part of it",
        share=0.25,
    ),
    WrongIdea(
        label="kilograms-for-newtons",
        item="limb_moment",
        model=lambda c, _: c.ratio * (c.level + c.load * c.reach * 1e-6) / (c.hinge / 100),
        ask="You multiplied the load's mass by its distance. With which force does a kilogram pull down?",
        held_because="what a scale shows is taken for a force",
        share=0.5,
    ),
    WrongIdea(
        label="each-end-half",
        item="couple",
        model=lambda c, mine: 1000 * mine["limb_moment"] / c.lever / 2,
        ask="You shared the moment out between both ends. A couple is one force and its opposite: how far apart "
        "are they, and what moment do they make together?",
        held_because="two forces are thought to make half each",
        share=0.5,
    ),
    WrongIdea(
        label="whole-limb-for-a-lever",
        item="couple",
        model=lambda c, mine: 1000 * mine["limb_moment"] / c.inside,
        ask="That is all of the limb in its socket. Between which two places does it press?",
        held_because="the length that is seen is taken for the lever",
        share=0.25,
    ),
    WrongIdea(
        label="lever-of-the-load",
        item="couple",
        model=lambda c, mine: 1000 * mine["limb_moment"] / c.reach,
        ask="So far out hangs the load. At which distance from each other does the limb press on its socket?",
        held_because="the longest lever in sight is used for every moment",
    ),
    WrongIdea(
        label="millimetres-for-metres",
        item="couple",
        model=lambda c, mine: mine["limb_moment"] / c.lever,
        ask="Newton metres over millimetres: how many of the one make one of the other?",
        held_because="numbers are put in as they stand",
        share=0.5,
    ),
    WrongIdea(
        label="moment-times-lever",
        item="couple",
        model=lambda c, mine: mine["limb_moment"] * c.lever / 1000,
        ask="With you a longer socket is pressed harder. Is that so?",
        held_because="that force, moment and lever belong together is remembered, not how",
        share=0.25,
    ),
)
