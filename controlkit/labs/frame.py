"""The frame that every lab stands in: controls, pictures, words, one small widget.

A lab is a list of controls and one pure function from a setting to a page.
The frame shows the controls, asks the function, and keeps the last good page
when a setting cannot be computed, with a sentence instead of an error.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from html import escape
from importlib.resources import files
from typing import Any, cast

import anywidget
import traitlets

from controlkit.draw import render_svg
from controlkit.labs.ahead import Ahead, step_further
from controlkit.labs.controls import Control, Slider, Values
from controlkit.labs.page import Challenge, Page, Prediction, Units
from controlkit.labs.setting import checked, read_line, write_line
from controlkit.units import InputError

__all__ = ["Lab"]

_HERE = files("controlkit.labs")
_ID = "LABID"  # the front end puts its own identifier in place of this
_NOT_COMPUTED = (
    "This setting could not be computed, so the picture still shows the one before. "
    "Move the last control back, or press Reset."
)

Show = Callable[[Values, Values | None, Units], Page]
Motion = Callable[[Values, Values | None, Units], Sequence[tuple[float, Page]]]
_Question = tuple[Values, Values | None, Units]


@dataclass(frozen=True)
class _Drawn:
    """A page as it is sent."""

    pictures: tuple[str, ...]
    words: str
    spoken: str


@dataclass(frozen=True, kw_only=True)
class _Asked:
    """What the page asked, as far as it could be read, and what is told beside the controls."""

    number: int
    values: Values
    units: Units
    pinned: Values | None = None
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
        Key of the slider that "Play the motion" moves; empty if nothing plays.
    motion : callable
        From (setting, pinned setting or nothing, unit system) to the whole motion that plays: where the slider
        stands, and the page there; without it nothing plays smoothly.
    challenges : sequence of Challenge
        Goals, judged in each page.
    predictions : sequence of Prediction
        Questions to commit oneself on, answered in the page of a setting that decides them.
    another : str
        Key of the menu with other bodies, on which a challenge that was met is tried again.
    units : str
        Unit system at the start, "metric" or "inch-pound".
    setting : str
        A setting in one line to start from.

    Notes
    -----
    The same setting gives the same page, whatever was shown before.
    """

    _esm = _HERE.joinpath("frame.js").read_text(encoding="utf-8")
    _css = _HERE.joinpath("frame.css").read_text(encoding="utf-8")
    plan = traitlets.Dict().tag(sync=True)
    asked = traitlets.Dict().tag(sync=True, echo_update=False)
    told = traitlets.Dict().tag(sync=True)
    words = traitlets.Unicode().tag(sync=True)

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
        units: Units = "metric",
        setting: str = "",
    ) -> None:
        if units not in ("metric", "inch-pound"):
            raise InputError(
                given=f"“{units}” is not a unit system known here.",
                do="Use metric or inch-pound.",
            )
        self._controls = tuple(controls)
        self._page = page
        self._motion = motion
        self._challenges = tuple(challenges)
        self._predictions = tuple(predictions)
        self._another = another
        self._predicted: dict[str, str] = {}
        self._ahead: Ahead[_Question, _Drawn] = Ahead(self._drawn)
        self.trouble: Exception | None = None  # the last unexpected error, for whoever mends it
        start = checked(self.controls, {}, units)
        if setting:
            start = read_line(self.controls, setting, start)
        first = self._ahead.answer((start, None, units))
        # words and each picture are parts of their own, so that only those that changed are sent
        pictures = {f"picture{i}": svg for i, svg in enumerate(first.pictures)}
        self.add_traits(**{name: traitlets.Unicode().tag(sync=True) for name in pictures})
        super().__init__(
            plan={
                "title": title,
                "controls": [control.described() for control in self.controls],
                "start": dict(start),
                "play": play,
                "pictures": list(pictures),
            },
            asked={},
            told=self._told(first, _Asked(number=0, values=start, units=units)),
            words=first.words,
            **pictures,
        )

    @property
    def controls(self) -> tuple[Control, ...]:
        """Its controls, in reading order."""
        return self._controls

    @property
    def setting(self) -> str:
        """The present setting in one line; hand it to `use` to come back to it."""
        return cast(str, self.told["line"])

    @property
    def shown(self) -> dict[str, Any]:
        """All that the page shows: pictures, words, and what is told of the setting."""
        pictures = [getattr(self, name) for name in self.plan["pictures"]]
        return {"pictures": pictures, "words": self.words, **self.told}

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
        values = read_line(self.controls, setting, told["values"])
        self._answer({"n": told["n"] + 1, "values": values, "units": told["units"], "pinned": told["pinned"]})

    @property
    def predictions(self) -> tuple[Prediction, ...]:
        """The questions to commit oneself on."""
        return self._predictions

    @property
    def predicted(self) -> Mapping[str, str]:
        """What was chosen, by the key of the prediction."""
        return self._predicted

    def predict(self, key: str, option: str) -> None:
        """Commit to an option of a prediction.

        Parameters
        ----------
        key : str
            Key of the prediction.
        option : str
            Name of the option.
        """
        self._predicted[key] = option

    def page_at(self, setting: str) -> Page:
        """Make the page of another setting; what the lab shows stays.

        Parameters
        ----------
        setting : str
            A setting in one line; entries left out are those of the start.

        Returns
        -------
        Page
            What the lab would show.

        Raises
        ------
        InputError
            If the line cannot be read.
        """
        return self._page(read_line(self.controls, setting, self.plan["start"]), None, "metric")

    @traitlets.observe("asked")
    def _on_asked(self, change: Any) -> None:
        if change.new:
            before = self.told["values"]
            self._answer(change.new)
            pinned, units = self.told["pinned"], self.told["units"]
            further = step_further(self.controls, before, self.told["values"], units)
            if further is not None:
                self._ahead.look((further, pinned, units))

    def _answer(self, asked: dict[str, Any]) -> None:
        """Turn what the page asked into what it shows; never raise."""
        units: Units = "inch-pound" if asked.get("units") == "inch-pound" else "metric"
        read = _Asked(number=int(asked.get("n", 0)), values=self.told["values"], units=units)
        try:
            read = replace(read, values=checked(self.controls, asked.get("values") or {}, units))
            pinned = asked.get("pinned")
            read = replace(read, pinned=checked(self.controls, pinned, units) if pinned else None)
            read = replace(read, values=self._with_typed(asked, read))
            self._show(self._ahead.answer((read.values, read.pinned, units)), read)
        except InputError as error:
            self._keep(str(error), read)
        except Exception as error:  # noqa: BLE001  a student never meets a traceback in a lab
            self.trouble = error
            self._keep(_NOT_COMPUTED, read)

    def _with_typed(self, asked: dict[str, Any], read: _Asked) -> Values:
        """Read what was typed; what cannot be read is told as a problem and changes nothing."""
        result = dict(read.values)
        sliders = {c.key: c for c in self.controls if isinstance(c, Slider)}
        for key, text in (asked.get("typed") or {}).items():
            try:
                result[key] = sliders[key].typed(str(text), read.units)
            except InputError as error:
                read.problems[key] = str(error)
        if asked.get("line") is not None:
            try:
                return read_line(self.controls, str(asked["line"]), result)
            except InputError as error:
                read.problems["line"] = str(error)
        return result

    def _keep(self, problem: str, asked: _Asked) -> None:
        """Keep the last good pictures and words; the controls stay where they were put."""
        self.told = {**asked.answered(self.controls), "problem": problem, "spoken": problem}

    def _drawn(self, question: _Question) -> _Drawn:
        page = self._page(*question)
        pictures = tuple(render_svg(picture, f"{_ID}-{i}") for i, picture in enumerate(page.pictures))
        return _Drawn(pictures, page.words, page.spoken)

    def _show(self, drawn: _Drawn, asked: _Asked) -> None:
        with self.hold_sync():  # in one message
            for name, svg in zip(self.plan["pictures"], drawn.pictures, strict=True):
                setattr(self, name, svg)
            self.words = drawn.words
            self.told = self._told(drawn, asked)

    def _told(self, drawn: _Drawn, asked: _Asked) -> dict[str, Any]:
        return {
            "spoken": " ".join(asked.problems.values()) or drawn.spoken,
            "problem": "",
            **asked.answered(self.controls),
        }

    def _repr_mimebundle_(self, **kwargs: Any) -> Any:
        """Add a still picture and its words, for print and wherever widgets cannot run."""
        bundle: Any = super()._repr_mimebundle_(**kwargs)
        data = bundle[0] if isinstance(bundle, tuple) else bundle
        data["text/html"] = self.still()
        data["text/plain"] = self.words
        return bundle

    def still(self) -> str:
        """Write the present pictures and words as plain HTML.

        Returns
        -------
        str
            A `<figure>` that needs neither a kernel nor the network.
        """
        shown = self.shown
        pictures = "".join(
            f'<div style="flex:1 1 20em">{svg.replace(_ID, f"still-{self.model_id}")}</div>'
            for svg in shown["pictures"]
        )
        return (
            '<figure style="margin:0.5em 0;background:#ffffff;color:#1f2326;padding:0.5em">'
            f'<div style="display:flex;flex-wrap:wrap;gap:1em">{pictures}</div>'
            f"<figcaption><p>{escape(shown['words'])}</p>"
            f"<p>Setting: {escape(shown['line'])}</p></figcaption></figure>"
        )
