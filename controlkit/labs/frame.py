"""The frame that every lab stands in: controls, pictures, words, one small widget.

A lab is a list of controls and one pure function from a setting to a page.
The frame shows the controls, asks the function, and keeps the last good page
when a setting cannot be computed, with a sentence instead of an error.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from html import escape
from importlib.resources import files
from typing import Any, Literal, cast

import anywidget
import traitlets

from controlkit.draw import Chart, Scene, render_svg
from controlkit.labs.controls import Choice, Control, Slider, Steps, Values, checked, read_line, read_typed, write_line
from controlkit.units import InputError

__all__ = ["Lab", "Page"]

_HERE = files("controlkit.labs")
_ID = "LABID"  # the front end puts its own identifier in place of this
_NOT_COMPUTED = (
    "This setting could not be computed, so the picture still shows the one before. "
    "Move the last control back, or press Reset."
)

Units = Literal["metric", "inch-pound"]


@dataclass(frozen=True)
class Page:
    """What a lab shows for one setting.

    Parameters
    ----------
    pictures : tuple of Scene or Chart
        The pictures, side by side.
    words : str
        The sentences below them.
    spoken : str
        A shorter form, announced to a screen reader.
    """

    pictures: tuple[Scene | Chart, ...]
    words: str
    spoken: str


Show = Callable[[Values, Values | None, Units], Page]


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
    shown = traitlets.Dict().tag(sync=True)

    def __init__(
        self,
        title: str,
        controls: Sequence[Control],
        page: Show,
        *,
        play: str = "",
        units: Units = "metric",
        setting: str = "",
    ) -> None:
        if units not in ("metric", "inch-pound"):
            raise InputError(f"“{units}” is not a unit system known here. Use metric or inch-pound.")
        self._controls = tuple(controls)
        self._page = page
        self.trouble: Exception | None = None  # the last unexpected error, for whoever mends it
        start = checked(self._controls, {}, units)
        if setting:
            start = read_line(self._controls, setting, start)
        first = self._shown(page(start, None, units), start, None, units, 0)
        super().__init__(
            plan={
                "title": title,
                "controls": [_described(control) for control in self._controls],
                "start": dict(start),
                "play": play,
            },
            asked={},
            shown=first,
        )

    @property
    def setting(self) -> str:
        """The present setting in one line; hand it to `use` to come back to it."""
        return cast(str, self.shown["line"])

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
        units = self.shown["units"]
        values = read_line(self._controls, setting, self.shown["values"])
        self._answer({"n": self.shown["n"] + 1, "values": values, "units": units, "pinned": self.shown["pinned"]})

    @traitlets.observe("asked")
    def _on_asked(self, change: Any) -> None:
        if change.new:
            self._answer(change.new)

    def _answer(self, asked: dict[str, Any]) -> None:
        """Turn what the page asked into what it shows; never raise."""
        number = int(asked.get("n", 0))
        units: Units = "inch-pound" if asked.get("units") == "inch-pound" else "metric"
        problems: dict[str, str] = {}
        values: Values = self.shown["values"]
        held: Values | None = None
        try:
            values = checked(self._controls, asked.get("values") or {}, units)
            pinned = asked.get("pinned")
            held = checked(self._controls, pinned, units) if pinned else None
            values = self._with_typed(asked, values, units, problems)
            page = self._page(values, held, units)
            self.shown = self._shown(page, values, held, units, number, problems)
        except InputError as error:
            self._keep(str(error), values, held, units, number, problems)
        except Exception as error:  # noqa: BLE001  a student never meets a traceback in a lab
            self.trouble = error
            self._keep(_NOT_COMPUTED, values, held, units, number, problems)

    def _with_typed(self, asked: dict[str, Any], values: Values, units: str, problems: dict[str, str]) -> Values:
        result = dict(values)
        sliders = {c.key: c for c in self._controls if isinstance(c, Slider)}
        for key, text in (asked.get("typed") or {}).items():
            try:
                result[key] = read_typed(sliders[key], str(text), units)
            except InputError as error:
                problems[key] = str(error)
        if asked.get("line") is not None:
            try:
                return read_line(self._controls, str(asked["line"]), result)
            except InputError as error:
                problems["line"] = str(error)
        return result

    def _keep(
        self,
        problem: str,
        values: Values,
        pinned: Values | None,
        units: str,
        number: int,
        problems: dict[str, str],
    ) -> None:
        """Keep the last good pictures and words; the controls stay where they were put."""
        self.shown = {
            **self.shown,
            "n": number,
            "problem": problem,
            "problems": problems,
            "spoken": problem,
            "values": dict(values),
            "pinned": dict(pinned) if pinned is not None else None,
            "units": units,
            "line": write_line(self._controls, values),
        }

    def _shown(
        self,
        page: Page,
        values: Values,
        pinned: Values | None,
        units: str,
        number: int,
        problems: dict[str, str] | None = None,
    ) -> dict[str, Any]:
        said = " ".join((problems or {}).values())
        return {
            "n": number,
            "pictures": [render_svg(picture, f"{_ID}-{i}") for i, picture in enumerate(page.pictures)],
            "words": page.words,
            "spoken": said or page.spoken,
            "line": write_line(self._controls, values),
            "values": dict(values),
            "pinned": dict(pinned) if pinned is not None else None,
            "units": units,
            "problems": problems or {},
            "problem": "",
        }

    def _repr_mimebundle_(self, **kwargs: Any) -> Any:
        """Add a still picture and its words, for print and wherever widgets cannot run."""
        bundle: Any = super()._repr_mimebundle_(**kwargs)
        data = bundle[0] if isinstance(bundle, tuple) else bundle
        data["text/html"] = self.still()
        data["text/plain"] = self.shown["words"]
        return bundle

    def still(self) -> str:
        """Write the present pictures and words as plain HTML.

        Returns
        -------
        str
            A `<figure>` that needs neither a kernel nor the network.
        """
        pictures = "".join(
            f'<div style="flex:1 1 20em">{svg.replace(_ID, f"still-{self.model_id}")}</div>'
            for svg in self.shown["pictures"]
        )
        return (
            '<figure style="margin:0.5em 0;background:#ffffff;color:#1f2326;padding:0.5em">'
            f'<div style="display:flex;flex-wrap:wrap;gap:1em">{pictures}</div>'
            f"<figcaption><p>{escape(self.shown['words'])}</p>"
            f"<p>Setting: {escape(self.shown['line'])}</p></figcaption></figure>"
        )


def _described(control: Control) -> dict[str, Any]:
    plan: dict[str, Any] = {"key": control.key, "label": control.label}
    if isinstance(control, Slider):
        return {**plan, "type": "slider", "hint": control.hint, "scales": control.scales()}
    if isinstance(control, Choice | Steps):
        kind = "choice" if isinstance(control, Choice) else "steps"
        return {**plan, "type": kind, "options": [list(option) for option in control.options]}
    return {**plan, "type": "tick"}
