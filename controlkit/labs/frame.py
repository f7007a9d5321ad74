"""The frame that every lab stands in: controls, pictures, words, one small widget.

A lab is a list of controls and one pure function from a setting to a page.
The frame shows the controls, asks the function, and keeps the last good page
when a setting cannot be computed, with a sentence instead of an error.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, field, replace
from importlib.resources import files
from itertools import chain
from threading import RLock
from types import MappingProxyType
from typing import Any, cast
from uuid import uuid4

import anywidget
import traitlets
from IPython import display

from controlkit.labs.ahead import LONGEST_ROUND, Ahead, all_round, step_further
from controlkit.labs.anew import Anew
from controlkit.labs.controls import Control, Slider, Values
from controlkit.labs.film import Film
from controlkit.labs.growing import Growing, in_a_loop
from controlkit.labs.noted import LabNotes, beside_the_notebook
from controlkit.labs.page import Answer, Challenge, Page, Prediction, Units, Verdict
from controlkit.labs.sent import Sent, asked_of_learner, in_stage, sent
from controlkit.labs.setting import checked, named_in, read_line, write_line
from controlkit.labs.still import still, table
from controlkit.units import InputError

__all__ = ["Lab"]

_FRONT = files("controlkit.labs").joinpath("front")
_PROGRAM = (
    "make",
    "records",
    "controls",
    "asking",
    "stage",
    "film",
    "grips",
    "tasks",
    "notes",
    "sound",
    "room",
    "frame",
)
_NOT_COMPUTED = (
    "This setting could not be computed, so the picture still shows the one before. "
    "Move the last control back, or press Reset."
)

_AS_LEFT = "As you left it. Reset leads to the start."

_output: Any = display  # it has no types

Show = Callable[[Values, Values | None, Units], Page]
Motion = Callable[[Values, Values | None, Units], Iterable[tuple[float, Page]]]
_Question = tuple[Values, Values | None, Units]


@dataclass(frozen=True, kw_only=True)
class _Asked:
    """What the page asked, as far as it could be read, and what is told beside the controls."""

    number: int
    values: Values
    units: Units
    pinned: Values | None = None
    held: bool = False  # a hand still drags
    problems: dict[str, str] = field(default_factory=dict)

    def answered(self, controls: Sequence[Control]) -> dict[str, Any]:
        """What every answer repeats."""
        return {
            "n": self.number,
            "line": write_line(controls, self.values),
            "values": dict(self.values),
            "pinned": dict(self.pinned) if self.pinned is not None else None,
            "units": self.units,
            "problems": self.problems,
        }


class Lab(anywidget.AnyWidget):
    """A lab: named controls beside pictures and words that follow them.

    Parameters
    ----------
    title : str
        What the lab is about.
    controls : sequence of Control
        Its controls, in reading order.
    page : callable
        From (setting, pinned setting or nothing, unit system) to a `Page`.
    play : str
        Key of the slider that "Play" moves; empty if nothing plays.
    motion : callable
        From the same to the whole motion that plays: where the slider stands [SI], and the page there; without it
        each page is asked for.
    challenges : sequence of Challenge
        Goals, judged in each page.
    predictions : sequence of Prediction
        Questions to commit oneself on, answered in the page of a setting that decides them.
    another : str
        Key of the menu with other bodies, on which a challenge that was met is tried again.
    anew : Anew, optional
        What begins anew where something else comes on to the bench; nothing does unless given.
    units : str
        Unit system at the start, "metric" or "inch-pound".
    setting : str
        A setting in one line to start from.

    Notes
    -----
    The same setting gives the same page, whatever was shown before. Opened again by the same call, a lab stands as it
    was left, pin and units included, and "Reset" leads to its start; a call that names another setting or other units
    begins there.
    """

    _esm = "\n".join(_FRONT.joinpath(f"{name}.js").read_text(encoding="utf-8") for name in _PROGRAM)
    _css = _FRONT.joinpath("frame.css").read_text(encoding="utf-8")
    plan = traitlets.Dict().tag(sync=True)
    asked = traitlets.Dict()
    told = traitlets.Dict().tag(sync=True)
    words = traitlets.Unicode().tag(sync=True)
    noted = traitlets.Dict().tag(sync=True)

    def __init__(
        self,
        title: str,
        controls: Sequence[Control],
        page: Show,
        *,
        play: str = "",
        motion: Motion | None = None,
        challenges: Sequence[Challenge] = (),
        predictions: Sequence[Prediction] = (),
        another: str = "",
        anew: Anew | None = None,
        units: Units = "metric",
        setting: str = "",
    ) -> None:
        if units not in ("metric", "inch-pound"):
            raise InputError(
                given=f"“{units}” is not a unit system known here.",
                do="Use metric or inch-pound.",
            )
        self._controls = tuple(controls)
        self._sliders = [control for control in self._controls if isinstance(control, Slider)]
        self._make, self._one = page, RLock()
        self._challenges, self._predictions, self._another = tuple(challenges), tuple(predictions), another
        self._anew = anew
        self._ahead: Ahead[_Question, Sent] = Ahead(self._drawn)
        self._film = Film(self.controls, self._page, motion, play)
        self._growing = Growing(self._further)
        self._notes = LabNotes(title, beside_the_notebook())
        self._still: Any = None
        self.trouble: Exception | None = None  # the last unexpected error, for whoever mends it
        start = checked(self.controls, {}, units)
        if setting:
            start = read_line(self.controls, setting, start)
        self._call = [setting, units]
        asked, opened = self._opened(_Asked(number=0, values=start, units=units))
        first = sent(opened, asked.units)
        if first.live["more"]:
            self._growing.start()
        # words and each picture are parts of their own, so that only those that changed are sent
        pictures = {f"picture{i}": svg for i, svg in enumerate(first.pictures)}
        self.add_traits(**{name: traitlets.Unicode().tag(sync=True) for name in pictures})
        super().__init__(
            plan={
                "title": title,
                "still": f"still-{uuid4().hex}",
                "controls": [control.described() for control in self.controls],
                "start": dict(start),
                "left": _AS_LEFT if asked.values != start or asked.pinned else "",
                "play": play,
                "pictures": list(pictures),
                "stage": in_stage(opened),
                "another": another,
                "anew": anew.described(self.controls) if anew is not None else None,
                **asked_of_learner(challenges, predictions),
            },
            asked={},
            told=self._told(first, asked),
            words=first.words,
            noted=self._all_noted(),
            **pictures,
        )
        self.on_msg(self._on_wish)

    def _opened(self, start: _Asked) -> tuple[_Asked, Page]:
        """Find what is shown first: the setting that was left, if it can still be had, or else the start."""
        left = self._notes.left(self._call)
        with suppress(Exception):  # the file is the learner's, and the wearer of that day may be another
            lines = [str(left[name]) for name in ("line", "pinned")]
            values, pinned = (read_line(self.controls, line, start.values) if line else None for line in lines)
            units: Units = "inch-pound" if left["units"] == "inch-pound" else "metric"
            asked = replace(start, values=values or start.values, pinned=pinned, units=units)
            return asked, self._now(asked.values, asked.pinned, asked.units)
        return start, self._now(start.values, None, start.units)

    @property
    def controls(self) -> tuple[Control, ...]:
        """Its controls, in reading order."""
        return self._controls

    @property
    def title(self) -> str:
        """What the lab is about."""
        return cast(str, self.plan["title"])

    @property
    def setting(self) -> str:
        """The present setting in one line; hand it to `use` to come back to it."""
        return cast(str, self.told["line"])

    @property
    def shown(self) -> dict[str, Any]:
        """All that the page shows: pictures, words, and what is told of the setting."""
        pictures = [getattr(self, name) for name in self.plan["pictures"]]
        return {"pictures": pictures, "words": self.words, **self.told}

    @property
    def predictions(self) -> tuple[Prediction, ...]:
        """The questions to commit oneself on."""
        return self._predictions

    @property
    def predicted(self) -> Mapping[str, str]:
        """What was predicted, by the key of the prediction."""
        return MappingProxyType(self._notes.predicted)

    @property
    def answered(self) -> Mapping[str, list[str]]:
        """What the lab answered to a prediction: name of the answer, and its words."""
        return MappingProxyType(self._notes.answered)

    def predict(self, key: str, option: str) -> None:
        """Commit oneself to an answer, as the buttons do.

        Parameters
        ----------
        key : str
            Key of the prediction.
        option : str
            Name of the answer.

        Raises
        ------
        InputError
            If there is no such prediction or answer.
        """
        known = {one.key: [name for name, _ in one.options] for one in self._predictions}
        if option not in known.get(key, []):
            given = f"“{option}” for “{key}” is no prediction of this lab."
            allowed = "; ".join(f"{name}: {', '.join(options)}" for name, options in known.items())
            raise InputError(given=given, allowed=allowed, do="Choose with the buttons above the pictures.")
        self._notes.predict(key, option)
        self._settle(self.told)
        self._noted_anew()

    def page_at(self, setting: str) -> Page:
        """Make the page of another setting; what the lab shows stays.

        Parameters
        ----------
        setting : str
            A setting in one line; entries left out are those of the start.

        Returns
        -------
        Page
            What the lab would show, in the unit system of now.

        Raises
        ------
        InputError
            If the line cannot be read.
        """
        return self._whole(read_line(self.controls, setting, self.plan["start"]), None, self.told["units"])

    def finish(self) -> None:
        """Compute the whole of the page on show, and show it; where nothing is left to do, do nothing."""
        self._growing.stop()
        while self.told["more"]:
            self._further()

    def _page(self, *question: Any) -> Page:
        """Make a page; one at a time, whichever thread of the kernel asks."""
        with self._one:
            return self._make(*question)

    def _whole(self, *question: Any) -> Page:
        """Make a page until there is nothing more to compute."""
        page = self._page(*question)
        while page.more:
            page = self._page(*question)
        return page

    def _now(self, *question: Any) -> Page:
        """Make a page as far as it goes at once where it can go on later, or else the whole of it."""
        return self._page(*question) if in_a_loop() else self._whole(*question)

    def use(self, setting: str) -> None:
        """Show a setting that was written in one line.

        Parameters
        ----------
        setting : str
            The line; entries left out keep their value.

        Raises
        ------
        InputError
            If the line cannot be read.
        """
        told = self.told
        values = self._moved(told["values"], read_line(self.controls, setting, told["values"]), named_in(setting))
        self._answer({"n": told["n"] + 1, "values": values, "units": told["units"], "pinned": told["pinned"]})

    @traitlets.observe("asked")
    def _on_asked(self, change: Any) -> None:
        if change.new:
            self._film.stop()
            before = self.told["values"]
            self._answer(change.new)
            values, pinned, units = (self.told[name] for name in ("values", "pinned", "units"))
            if any(slider.turns and before[slider.key] != values[slider.key] for slider in self._sliders):
                self._look_round()
            elif self.told["more"]:
                return  # first things first
            elif (further := step_further(self.controls, before, values, units)) is not None:
                self._ahead.look(iter([(further, pinned, units)]))

    def _look_round(self) -> None:
        """Draw the wearer from every side while nobody asks."""
        values, pinned, units = (self.told[name] for name in ("values", "pinned", "units"))
        views = (all_round(slider, values, units) for slider in self._sliders if slider.turns)
        self._ahead.look(((setting, pinned, units) for setting in chain.from_iterable(views)), LONGEST_ROUND)

    def _answer(self, asked: dict[str, Any]) -> None:
        """Turn what the page asked into what it shows; never raise."""
        self._growing.stop()
        units: Units = "inch-pound" if asked.get("units") == "inch-pound" else "metric"
        read = _Asked(
            number=int(asked.get("n", 0)), values=self.told["values"], units=units, held=bool(asked.get("held"))
        )
        try:
            read = replace(read, values=checked(self.controls, asked.get("values") or {}, units))
            pinned = asked.get("pinned")
            read = replace(read, pinned=checked(self.controls, pinned, units) if pinned else None)
            read = replace(read, values=self._with_typed(asked, read))
            self._show(self._ahead.answer((read.values, read.pinned, units)), read)
            if self.told["more"]:
                self._growing.start()
        except InputError as error:
            self._keep(str(error), read)
        except Exception as error:  # noqa: BLE001  a student never meets a traceback in a lab
            self.trouble = error
            self._keep(_NOT_COMPUTED, read)

    def _with_typed(self, asked: dict[str, Any], read: _Asked) -> Values:
        """Read what was typed; what cannot be read is told as a problem and changes nothing."""
        result = dict(read.values)
        sliders = {slider.key: slider for slider in self._sliders}
        for key, text in (asked.get("typed") or {}).items():
            try:
                result[key] = sliders[key].typed(str(text), read.units)
            except InputError as error:
                read.problems[key] = str(error)
        if asked.get("line") is not None:
            try:
                line = str(asked["line"])
                return self._moved(read.values, read_line(self.controls, line, result), named_in(line))
            except InputError as error:
                read.problems["line"] = str(error)
        return self._moved(read.values, result)

    def _moved(self, before: Values, after: Values, keep: Collection[str] = ()) -> Values:
        """What is meant where controls were moved from one setting to another."""
        return after if self._anew is None else self._anew.begun(before, after, self.controls, keep)

    def _keep(self, problem: str, asked: _Asked) -> None:
        """Keep the last good pictures and words; the controls stay where they were put."""
        known = {**self.told, **asked.answered(self.controls)}
        self.told = {**known, "problem": problem, "spoken": problem, "more": False}

    def _drawn(self, question: _Question) -> Sent:
        return sent(self._now(*question), question[2])

    def _further(self) -> bool:
        """Compute a little more of the page on show, and show it; say whether there is more."""
        told = self.told
        there = _Asked(number=told["n"], values=told["values"], units=told["units"], pinned=told["pinned"])
        try:
            self._show(self._drawn((there.values, there.pinned, there.units)), there, anew=False)
        except Exception as error:  # noqa: BLE001  what stands there already stays
            self.trouble = error
            self.told = {**told, "more": False, "problem": _NOT_COMPUTED}
        return bool(self.told["more"])

    def _show(self, drawn: Sent, asked: _Asked, *, anew: bool = True) -> None:
        with self.hold_sync():  # in one message
            for name, svg in zip(self.plan["pictures"], drawn.pictures, strict=True):
                setattr(self, name, svg)
            self.words = drawn.words
            self.told = self._told(drawn, asked)
            if self._settle(self.told, at_rest=not asked.held):
                self.noted = self._all_noted()
        if anew and not asked.held:
            pinned = write_line(self.controls, asked.pinned) if asked.pinned is not None else ""
            self._notes.leave(self._call, self.setting, pinned, asked.units)

    def _told(self, drawn: Sent, asked: _Asked) -> dict[str, Any]:
        self._notes.give_away(drawn.tells)
        return {
            "spoken": " ".join(asked.problems.values()) or drawn.spoken,
            "problem": "",
            "rests": False,
            **drawn.live,
            "verdicts": [self._judged(verdict) for verdict in drawn.verdicts],
            **asked.answered(self.controls),
        }

    def _judged(self, verdict: Verdict) -> dict[str, Any]:
        """A verdict as it is told: what the lab has given away before meets no goal."""
        given = verdict.met and not self._notes.given.isdisjoint(verdict.unless)
        missing = (verdict.spoiled,) if given else verdict.missing
        return {"met": not missing, "missing": list(missing)}

    # ---- what the learner keeps ------------------------------------------------

    def _settle(self, told: Mapping[str, Any], *, at_rest: bool = True) -> bool:
        """Keep which challenges this setting meets and, at rest, which predictions it answers; say if any is new."""
        body = str(told["values"].get(self._another, ""))
        judged = zip(self._challenges, told["verdicts"], strict=False)
        new = [self._notes.meet(goal.title, body) for goal, verdict in judged if verdict["met"]]
        decided = zip(self._predictions, told["answers"], strict=False) if at_rest else ()
        for one, answer in decided:
            predicted = self._notes.predicted.get(one.key)
            if answer and predicted:
                new.append(self._notes.answer(one.key, answer[0], Answer(*answer).to(predicted)))
        return any(new)

    def _all_noted(self) -> dict[str, Any]:
        notes = self._notes
        return {
            "table": table(self.controls, notes.rows),
            "predicted": notes.predicted,
            "answered": notes.answered,
            "met": notes.met,
        }

    def _noted_anew(self) -> None:
        self.noted = self._all_noted()
        if self._still is not None:
            self._still.update(_output.HTML(self.still()))

    def _on_wish(self, _: Any, wish: dict[str, Any], __: Any) -> None:
        """Answer a question of the page, or do what a button wishes that changes no setting."""
        told = self.told
        if wish.get("do") == "ask" and wish.get("asked") != self.asked:
            self.asked = wish["asked"]
        elif wish.get("do") == "ask":  # it was heard: the answer got lost
            self.send_state(["told", "words", *self.plan["pictures"]])
        elif wish.get("do") == "note":
            readings = [[entry["label"], f"{entry['value']} {entry['unit']}".strip()] for entry in told["readings"]]
            settings = {control.key: control.to_line(told["values"][control.key]) for control in self.controls}
            self._notes.note({"settings": settings, "readings": readings})
            self._noted_anew()
        elif wish.get("do") == "strike":
            self._notes.strike(int(wish.get("row", -1)))
            self._noted_anew()
        elif wish.get("do") == "predict":
            self.predict(str(wish.get("key")), str(wish.get("option")))
        elif wish.get("do") == "round":
            self._look_round()
        elif wish.get("do") == "rest":
            self._growing.stop()
            self.told = {**self.told, "rests": True}
        elif wish.get("do") == "go-on":
            self.told = {**self.told, "rests": False}
            self._growing.start()
        elif wish.get("do") == "film":
            self._film.start(str(wish.get("of")), (told["values"], told["pinned"], told["units"]), self.send)

    # ---- without a kernel ------------------------------------------------------

    def _ipython_display_(self) -> None:
        """Show a still picture, which the living lab hides, and the lab."""
        self._still = _output.display(_output.HTML(self.still()), display_id=self.plan["still"])
        _output.display(self._repr_mimebundle_(), raw=True)

    def _repr_mimebundle_(self, **kwargs: Any) -> Any:
        """Add the words to the widget, for wherever it cannot run."""
        bundle: Any = super()._repr_mimebundle_(**kwargs)
        data = bundle[0] if isinstance(bundle, tuple) else bundle
        data["text/plain"] = self.words
        return data

    def still(self) -> str:
        """Write the present pictures, words and notes as plain HTML.

        Returns
        -------
        str
            A `<figure>` that needs neither a kernel nor the network.
        """
        return still(self.shown, self._all_noted()["table"], self.plan["still"])
