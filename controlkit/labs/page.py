"""What a lab shows for one setting, and what it asks: pictures, words, readings, handles, challenges, predictions."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import KW_ONLY, dataclass
from typing import Literal

from controlkit.draw import Chart, Scene

__all__ = ["Answer", "Challenge", "Handle", "Page", "Prediction", "Reading", "Turn", "Units", "Verdict"]

Units = Literal["metric", "inch-pound"]


@dataclass(frozen=True)
class Reading:
    """One of the few numbers that stand large above the pictures.

    Parameters
    ----------
    label : str
        What it is, in one or two words.
    value : float
        The number [SI].
    kind : str
        Its kind of quantity: length, force, moment, angle, ratio, ...; share for one in percent.
    note : str
        A few words beneath it.
    share : float or None
        How far it has come on its way to what is wanted; a bar, full from 1 on [-].
    digits : int or None
        Decimals of the number in metric units; the usual ones of its kind unless given [-].
    """

    label: str
    value: float
    kind: str
    note: str = ""
    share: float | None = None
    digits: int | None = None


@dataclass(frozen=True)
class Turn:
    """A handle that turns about a point of the picture.

    Parameters
    ----------
    key : str
        The slider that it moves, an angle.
    about : tuple of float
        The point it turns about, in the scene's own coordinates [m].
    sense : int
        1 where a growing angle turns it anticlockwise on the page, else -1 [-].
    """

    key: str
    about: tuple[float, float]
    sense: int = 1


@dataclass(frozen=True)
class Handle:
    """Something in a picture that can be taken hold of.

    Parameters
    ----------
    name : str
        What it is: "ring", "crossbar", "arm".
    picture : int
        Which picture it lies in, from 0 [-].
    at : tuple of float
        Where it lies, in the scene's own coordinates [m].
    slides : tuple of (str, tuple of float)
        One slider or two that it moves, and how far it moves on the page for one unit (SI) of each [m].
    turn : Turn or None
        Instead: the slider that turns it.
    whole : bool
        Whether the picture itself is taken hold of, wherever nothing else in it is.
    """

    name: str
    picture: int
    at: tuple[float, float]
    _: KW_ONLY
    slides: tuple[tuple[str, tuple[float, float]], ...] = ()
    turn: Turn | None = None
    whole: bool = False


@dataclass(frozen=True)
class Challenge:
    """A goal to be met with the lab.

    Parameters
    ----------
    title : str
        Two or three words.
    text : callable
        From the unit system to what has to be reached, in a sentence.
    """

    title: str
    text: Callable[[Units], str]


@dataclass(frozen=True)
class Verdict:
    """Whether a challenge is met by a setting.

    Parameters
    ----------
    missing : tuple of str
        What is not yet as it should be, in the reader's units; empty if it is met.
    unless : tuple of str
        What must not have been given away before, by its names in `Page.tells`.
    spoiled : str
        What is said where it was.
    """

    missing: tuple[str, ...] = ()
    _: KW_ONLY
    unless: tuple[str, ...] = ()
    spoiled: str = ""

    @property
    def met(self) -> bool:
        """Whether nothing is missing."""
        return not self.missing


@dataclass(frozen=True)
class Prediction:
    """A question to commit oneself on before the lab answers it.

    Parameters
    ----------
    key : str
        A short name, kept when the question's wording changes.
    question : str
        What is asked, with the move that will decide it.
    options : tuple of (str, str)
        Name and text of each answer.
    """

    key: str
    question: str
    options: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Answer:
    """What the model says to a prediction, at a setting that decides it.

    Parameters
    ----------
    option : str
        Name of the right answer.
    words : str
        The numbers that show it, in the reader's units.
    why : str
        Why it is so, for whoever predicted something else.
    """

    option: str
    words: str
    why: str = ""

    def to(self, predicted: str) -> str:
        """Answer somebody who predicted an option.

        Parameters
        ----------
        predicted : str
            Name of the option.

        Returns
        -------
        str
            The numbers; and why, where the prediction was another.

        Examples
        --------
        >>> answer = Answer("more", "Grip: 2 N before, 3 N after.", "A second band closes too.")
        >>> answer.to("more"), answer.to("less")
        ('Grip: 2 N before, 3 N after.', 'Grip: 2 N before, 3 N after. A second band closes too.')
        """
        return self.words if predicted == self.option else f"{self.words} {self.why}".strip()


@dataclass(frozen=True)
class Page:
    """What a lab shows for one setting.

    Parameters
    ----------
    pictures : tuple of Scene, Chart or None
        Always as many. Views stay in view while controls move; charts, and scenes that stand ``beside``, stand in a
        column; None where a picture is not shown now.
    words : str
        The sentences of all pictures, for whoever does not look at them.
    spoken : str
        A shorter form, announced to a screen reader.
    readings : tuple of Reading
        Three or four numbers, shown large.
    handles : tuple of Handle
        What can be dragged.
    verdicts : tuple of Verdict
        One for each challenge of the lab.
    answers : tuple of Answer or None
        One for each prediction of the lab; None where this setting does not decide it.
    tells : tuple of str
        Names of what the page gives away: a goal that must be met without it is not met any more.
    tone : float or None
        Pitch of the tone that can be switched on, from 0 to 1; 1 also clicks [-].
    idle : tuple of str
        Keys of controls that count for nothing in this setting: they are not shown.
    more : bool
        Whether not all of it is computed yet: the same setting asked again goes on from there.
    """

    pictures: tuple[Scene | Chart | None, ...]
    words: str
    spoken: str
    _: KW_ONLY
    readings: tuple[Reading, ...] = ()
    handles: tuple[Handle, ...] = ()
    verdicts: tuple[Verdict, ...] = ()
    answers: tuple[Answer | None, ...] = ()
    tells: tuple[str, ...] = ()
    tone: float | None = None
    idle: tuple[str, ...] = ()
    more: bool = False
