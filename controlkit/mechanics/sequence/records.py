"""What an operating sequence is made of: states, steps, amounts, and what came of them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from controlkit.units import System, show

Facts = Mapping[str, str | tuple[str, ...]]


@dataclass(frozen=True)
class Situation:
    """How things stand between two steps.

    Parameters
    ----------
    facts : tuple of (str, str)
        What is true of each part, such as ("cable", "slack")
    """

    facts: tuple[tuple[str, str], ...]

    def __getitem__(self, part: str) -> str:
        return dict(self.facts)[part]

    @property
    def words(self) -> str:
        """The state in one line."""
        return ", ".join(f"{part} {value}" for part, value in self.facts)

    def fits(self, when: Facts) -> bool:
        """Tell whether certain facts are true.

        Parameters
        ----------
        when : mapping
            Part to its value, or to several that will do

        Returns
        -------
        bool
            True if all of them are

        Examples
        --------
        >>> Situation((("cable", "slack"),)).fits({"cable": ("slack", "pulled")})
        True
        """
        known = dict(self.facts)
        return all(known[part] in ((value,) if isinstance(value, str) else value) for part, value in when.items())

    def after(self, changes: Mapping[str, str | Mapping[str, str]]) -> Situation:
        """Return the state after changes.

        Parameters
        ----------
        changes : mapping
            Part to its new value, or to a mapping from old values to new ones

        Returns
        -------
        Situation
            What is not named stays

        Examples
        --------
        >>> Situation((("cable", "slack"),)).after({"cable": "pulled"}).words
        'cable pulled'
        """

        def new(part: str, old: str) -> str:
            change = changes.get(part, old)
            return change if isinstance(change, str) else change.get(old, old)

        return Situation(tuple((part, new(part, old)) for part, old in self.facts))


@dataclass(frozen=True)
class Told:
    """What happens, with its sizes kept apart from the words, so that it can be said in any unit system.

    Parameters
    ----------
    text : str
        A sentence or two, with a name in braces where a size stands; empty if nothing happens
    sizes : tuple of (str, float, str)
        Name in braces, size [SI], kind of quantity as `show` knows it

    Examples
    --------
    >>> fell = Told("A grip of {grip} is gone.", (("grip", 10.0, "force"),))
    >>> fell.said("metric")
    'A grip of 10.0 N is gone.'
    >>> bool(Told())
    False
    """

    text: str = ""
    sizes: tuple[tuple[str, float, str], ...] = ()

    def __bool__(self) -> bool:
        return bool(self.text)

    def __str__(self) -> str:
        return self.said()

    def said(self, units: System = "both") -> str:
        """The sentence in a unit system.

        Parameters
        ----------
        units : str
            "metric", "inch-pound" or "both"

        Returns
        -------
        str
            The sentence
        """
        return self.text.format_map({name: show(size, kind, units) for name, size, kind in self.sizes})


@dataclass(frozen=True)
class Wrong:
    """What happens mechanically if a step is made too early or too late.

    Parameters
    ----------
    when : mapping
        The facts under which the step is wrong
    told : Told
        What happens then, and why
    changes : mapping
        What it changes; nothing if the step does nothing
    """

    when: Facts
    told: Told
    changes: Mapping[str, str | Mapping[str, str]] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True)
class Step:
    """One step of a sequence.

    Parameters
    ----------
    name : str
        What the wearer does
    motion : str
        The body motion that does it
    first : str
        What must hold before
    does : str
        What it does: "pull" the cable, "let back", "move" the arm, "turn" the device, or "nothing"
    changes : mapping
        Part to its new value, or to a mapping from old values to new ones
    wrong : tuple of Wrong
        Consequences of the wrong moment; the first that fits counts
    """

    name: str
    motion: str
    first: str
    does: str
    changes: Mapping[str, str | Mapping[str, str]]
    wrong: tuple[Wrong, ...] = ()


@dataclass(frozen=True, kw_only=True)
class LockWork:
    """What it takes to work an elbow lock.

    Parameters
    ----------
    travel : float
        Of the lock's own cable [m]
    force : float
        Of that cable [N]
    arm_flexion : float
        Where the arm goes for it; behind the trunk, extended, is negative [rad]
    abduction, depression : float
        By how much arm and shoulder leave where they hang [rad]
    protraction : float
        Of the scapula [rad]
    both : bool
        Whether both scapulae do it
    lift : float
        What that does to the lift cable meanwhile: taken up (+) or paid out (-) [m]
    slack : float
        How slack the lock's strap hangs before, because the arm is flexed [m]
    """

    travel: float
    force: float
    arm_flexion: float
    abduction: float
    depression: float
    protraction: float
    both: bool
    lift: float
    slack: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Amount:
    """How much of a motion a step needs.

    Parameters
    ----------
    excursion : float
        Cable excursion; negative is let back [m]
    force : float
        Cable force at the end of the step [N]
    held : bool
        Whether that force must be held through the step
    turn : float
        How far the device is turned in its wrist unit [rad]
    inadvertent : float
        Excursion that the motion gives though no pull is meant; the scapula must take it back [m]
    arm_flexion : float or None
        Arm flexion from hanging that gives the excursion, if it was computed [rad]
    arm_to : float or None
        Arm flexion in which the step ends, if the arm does it [rad]
    scapulae : float
        Abduction of both scapulae that goes with it [rad]
    sinks : float
        How far the forearm sinks until its lock catches [rad]
    lock : LockWork or None
        What the lock's own cable needs, if the step works it
    grip : float or None
        Least grip that the cable leaves on what is held meanwhile [N]
    short : Told
        Why the wearer or harness cannot give it; nothing if they can
    """

    excursion: float = 0.0
    force: float = 0.0
    held: bool = False
    turn: float = 0.0
    inadvertent: float = 0.0
    arm_flexion: float | None = None
    arm_to: float | None = None
    scapulae: float = 0.0
    sinks: float = 0.0
    lock: LockWork | None = None
    grip: float | None = None
    short: Told = Told()


@dataclass(frozen=True, kw_only=True)
class Taken:
    """A step that was made.

    Parameters
    ----------
    before : Situation
        How things stood
    step : str
        Which step
    after : Situation
        How they stand now
    amount : Amount
        What the step needs
    consequence : Told
        What went wrong in mechanics; nothing if it was right
    """

    before: Situation
    step: str
    after: Situation
    amount: Amount
    consequence: Told = Told()

    @property
    def right(self) -> bool:
        """Whether it was the right moment and could be done."""
        return not self.consequence


@dataclass(frozen=True)
class Judged:
    """What an order of steps comes to.

    Parameters
    ----------
    taken : tuple of Taken
        Step by step
    reached : bool
        Whether the goal stands at the end
    words : tuple of str
        A sentence for each wrong step, for steps in vain, and for the end
    """

    taken: tuple[Taken, ...]
    reached: bool
    words: tuple[str, ...]

    @property
    def right(self) -> bool:
        """Whether the goal was reached without a wrong step."""
        return self.reached and all(taken.right for taken in self.taken)
