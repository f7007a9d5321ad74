"""Exercise 12: a harness that serves its wearer, a year later too; what it must do, and who tries it on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import floor

from controlkit.checking import Body, Case, Criterion, Design, Setting, body
from controlkit.exercises.ex12.bench import OILED, PLACES, SHUT, SetUpTrial, trial
from controlkit.exercises.ex12.case import MOST, armpit_most, barred, low_most, support_most
from controlkit.exercises.shared.wearers import CROSSBAR
from controlkit.units import deg, mm


@dataclass(frozen=True)
class Person:
    """The wearer of a case, or somebody else by what is different.

    Parameters
    ----------
    taller, wider : int
        Stature and chest beyond those of the case [mm]
    strength : float
        Largest pull over that of the case [-]
    forward : int
        Abduction of both scapulae beyond that of the case [deg]
    """

    taller: int = 0
    wider: int = 0
    strength: float = 1.0
    forward: int = 0


@dataclass(frozen=True)
class ServedPerson:
    """What a design does on one person of a case.

    Parameters
    ----------
    trial : SetUpTrial
        What it does
    case : Case
        The case
    strength : float
        Largest pull of that person [N]
    """

    trial: SetUpTrial
    case: Case
    strength: float

    @property
    def opens(self) -> dict[str, bool]:
        """Whether it opens as wide as the object, at each place."""
        return {place: self.trial.opening(place) >= mm(self.case[f"width_{place}"]) - 1e-6 for place in PLACES}

    @property
    def grips(self) -> dict[str, bool]:
        """Whether it grips as hard as is wanted, at each place."""
        return {
            place: self.trial.grip(mm(self.case[f"width_{place}"])) >= self.case[f"grip_{place}"] - 0.01
            for place in PLACES
        }

    @property
    def share(self) -> float:
        """Share of the largest pull that the hardest task takes [%]."""
        most = max(self.trial.pull(place, mm(self.case[f"width_{place}"])) for place in PLACES)
        return 100 * most / self.strength

    @property
    def frees(self) -> bool:
        """Whether it leaves free what came of the history."""
        return self.trial.loop == (barred(self.case) == "chest") if barred(self.case) else True

    @property
    def serves(self) -> bool:
        """Whether it does on a body what depends on the body."""
        return all(self.opens.values()) and self.share <= MOST and self.frees and self.trial.rest <= SHUT


def fitted(person: Person, choice: Mapping[str, float], c: Case) -> ServedPerson:
    """Try a design on the wearer of a case, or on somebody like that."""
    wearer = body(c.sex, 10 * c.taller + person.taller, 10 * c.wider + person.wider, c.amputated)
    return ServedPerson(trial(wearer, choice, deg(c.forward + person.forward)), c, person.strength * c.strength)


def _each(done: ServedPerson) -> str:
    return ", ".join(
        f"{place} {floor(10 * done.trial.opening(place) / mm(1) + 1e-6) / 10} of {done.case[f'width_{place}']} mm"
        for place in PLACES
    )


def _grips(done: ServedPerson) -> str:
    return ", ".join(
        f"{place} {floor(10 * done.trial.grip(mm(done.case[f'width_{place}'])) + 0.1) / 10} of "
        f"{done.case[f'grip_{place}']} N"
        for place in PLACES
    )


def _pattern(done: ServedPerson) -> str:
    return "a figure-of-eight" if done.trial.loop else "a chest strap with a saddle"


def _eased(done: ServedPerson) -> str:
    by = done.trial.support_strap / mm(1)
    return (
        f"{'let out' if by >= 0 else 'taken in'} by {abs(by):.1f} mm, let out by at most "
        f"{support_most(done.case, done.trial.loop)} mm"
    )


def _lies(done: ServedPerson) -> str:
    where = "below C7" if done.trial.loop else "below the level of the armpits"
    return f"{done.trial.low / mm(1):.1f} mm {where}, at most {low_most(done.case, done.trial.loop)} mm"


def _armpit(done: ServedPerson, c: Case) -> str:
    load = f"{done.trial.armpit / 1000:.2f} N/mm in the armpit"
    return f"{load}, none wanted" if barred(c) == "armpit" else f"{load}, at most {armpit_most(c) / 10} N/mm"


def _bears(done: ServedPerson, c: Case) -> bool:
    return done.trial.armpit / 100 <= (0.05 if barred(c) == "armpit" else armpit_most(c))


def works_somewhere(done: ServedPerson) -> bool:
    """Whether it opens as wide as the object at two places or more: what comes free where nothing moves waits."""
    return sum(done.opens.values()) >= 2


CRITERIA = (
    Criterion(
        label="respects-the-history",
        points=0.75,
        share=lambda done, _: 1.0 if done.frees else 0.0,
        counts=works_somewhere,
        reached=lambda done, _: f"loop {int(done.trial.loop)}, {_pattern(done)}",
        met="it leaves free what must stay free.",
        ask="it presses where nothing may press. What came of the history, and which pattern leaves that place free?",
        because="one pattern for everybody; idea behind it: padding makes up for it",
    ),
    Criterion(
        label="opens-at-every-task",
        points=1.75,
        share=lambda done, _: 1.0 if all(done.opens.values()) else 0.5 * sum(done.opens.values()) / 2,
        reached=lambda done, _: _each(done),
        met="it opens wide enough at every task.",
        ask="it opens too little at some task. What does this wearer's motion give there, and which settings add "
        "to it?",
        because="a set-up for the average wearer; ideas behind it: what works at the table works everywhere, "
        "slack costs nothing",
    ),
    Criterion(
        label="grips",
        points=0.5,
        share=lambda done, _: 1.0 if all(done.grips.values()) else 0.0,
        reached=lambda done, _: _grips(done),
        met="it grips hard enough at every task.",
        ask="it does not grip hard enough at some task. What makes the grip of a hook that opens by the cable?",
        because="too few bands; idea behind it: grip comes with the pull",
    ),
    Criterion(
        label="within-a-fifth",
        points=1.5,
        counts=works_somewhere,
        share=lambda done, _: 1.0 if done.share <= MOST else 0.0,
        reached=lambda done, _: f"{done.share:.1f} % of the largest pull, at most {MOST:g} %",
        met="the hardest task takes no more than a fifth of the largest pull.",
        ask="the hardest task takes too much of the largest pull. What makes the pull at the hook, and what is "
        "lost on the way to it in the worst case that was published?",
        because="too many bands, or a lining that may rub; ideas behind it: more bands only add grip, a lining "
        "is as good as its best figure",
    ),
    Criterion(
        label="armpit-bears-it",
        points=1,
        counts=works_somewhere,
        share=lambda done, c: 1.0 if _bears(done, c) else 0.0,
        reached=_armpit,
        met="the sound armpit bears it.",
        ask="it presses too hard in the sound armpit. Which strap is drawn tight by both scapulae besides the "
        "control strap, and how is it eased?",
        because="anterior support strap snug; idea behind it: only the pull that opens the hook is felt",
    ),
    Criterion(
        label="lies-where-it-can",
        points=1,
        counts=works_somewhere,
        share=lambda done, c: 1.0 if done.trial.low <= mm(low_most(c, done.trial.loop) + 0.05) else 0.0,
        reached=lambda done, _: _lies(done),
        met="it lies where it can.",
        ask="ring or branch lies too low on this back. Which other settings give travel?",
        because="ring placed by excursion alone; idea behind it: lower is always better",
    ),
    Criterion(
        label="still-supports",
        points=0.25,
        share=lambda done, c: 1.0 if done.trial.support_strap <= mm(support_most(c, done.trial.loop) + 0.05) else 0.0,
        reached=lambda done, _: _eased(done),
        counts=works_somewhere,
        met="the support strap still supports.",
        ask="the support strap is let out too far. What holds the prosthesis up then?",
        because="ease is thought to be free",
    ),
    Criterion(
        label="shut-at-rest",
        points=0.25,
        counts=works_somewhere,
        share=lambda done, _: 1.0 if done.trial.rest <= SHUT else 0.0,
        reached=lambda done, _: f"{done.trial.rest / mm(1):.1f} mm, at most {SHUT / mm(1):.1g} mm",
        met="it stays shut while the arm hangs.",
        ask="it is held partly open while the arm hangs. What does a strap do that is shorter than its path?",
        because="strap taken in; idea behind it: a tighter harness only adds excursion",
    ),
    Criterion(
        label="looked-after",
        points=0.5,
        counts=works_somewhere,
        share=lambda done, c: 1.0 if done.trial.lining != OILED or c.oil == "somebody" else 0.0,
        reached=lambda done, _: f"lining {done.trial.lining}",
        met="its lining stays as it was fitted.",
        ask="its lining does not stay as it was fitted. What does it need every few weeks, and who does that here?",
        because="the smallest figure is taken, whatever keeps it small",
    ),
)

GRADED_ON = (
    "this wearer a year later and heavier",
    "this wearer a year later and lighter",
    "somebody a little shorter and narrower",
    "somebody a little taller and broader",
)
"""Who a design is graded on; by how much they differ is kept back."""

DESIGN = Design(
    name="design",
    asks="pattern, straps, lining and bands that serve this wearer",
    settings=(
        Setting(
            "loop", "ratio", "", "1 with a loop round the sound shoulder (figure-of-eight), 0 without (chest strap)"
        ),
        Setting("low", "length", "mm", "with a loop: ring below C7; without: branch below the level of the armpits"),
        CROSSBAR,
        Setting("control_strap", "length", "mm", "control attachment strap let out, or taken in with a minus sign"),
        Setting("support_strap", "length", "mm", "support or suspension strap let out, or taken in with a minus sign"),
        Setting("lining", "ratio", "", "number of the lining in the table"),
        Setting("bands", "ratio", "", "rubber bands of the hook", counts="bands"),
    ),
    wearer=lambda c: Person(),  # noqa: ARG005 - the case says who
    simulate=fitted,
    criteria=CRITERIA,
    works=lambda done: done.serves,
    bodies=(
        Body("this wearer a year later and heavier", lambda: Person(wider=30, strength=0.92)),
        Body("somebody a little shorter and narrower", lambda: Person(taller=-20, wider=-10)),
        Body("somebody a little taller and broader", lambda: Person(taller=25, wider=20)),
    ),
    bodies_points=1.5,
    graded_on=GRADED_ON,
)
