"""Sentences computed from results: what a picture shows, in words.

They stand below the picture, serve as its text for a screen reader, and are
announced when a control has moved. Numbers come through
`controlkit.units.show`, so they follow the unit system that the reader chose.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import TYPE_CHECKING, Literal

import numpy as np
from numpy.typing import NDArray

from controlkit.draw.words.effort import percent, shoulder_share_words
from controlkit.draw.words.ledger import at_rest_words
from controlkit.draw.words.states import worth_knowing
from controlkit.mechanics.body.pose import Pose
from controlkit.mechanics.harness.outcomes import SLACK
from controlkit.units import show

if TYPE_CHECKING:
    from controlkit.mechanics import DualPull, Pull
    from controlkit.mechanics.harness.suspension import Suspension

__all__ = [
    "LEAST_LOAD",
    "SEEN_SLACK",
    "Units",
    "View",
    "comparison_words",
    "degrees",
    "excursion_words",
    "force_words",
    "forces_on_ring",
    "harness_words",
    "joined",
    "limit_words",
    "load_words",
    "posture_words",
    "seen_from",
    "view_words",
]

View = Literal["back", "side", "front"] | float
Units = Literal["both", "metric", "inch-pound"]

LEAST_LOAD = 1.0  # less is neither drawn nor told [N/m]
SEEN_SLACK = 0.001  # less, as much as webbing is thick, is drawn snug [m]

_SEEN = {"back": "from behind", "side": "from the side of the prosthesis", "front": "from the front"}
_AROUND = (
    "from behind",
    "from behind and the side of the prosthesis",
    "from the side of the prosthesis",
    "from the front and the side of the prosthesis",
    "from the front",
    "from the front and the sound side",
    "from the sound side",
    "from behind and the sound side",
)

_LIMIT: dict[str, str] = {
    "nothing": "Nothing limits it: excursion and force both suffice.",
    "excursion": "Excursion is the limit: the harness captures less than the device requires.",
    "force": "Force is the limit: the wearer cannot pull hard enough to open it further.",
    "slack": "Slack is the limit: with the strap snug the same motion would open the device fully.",
}


def degrees(angle: float) -> str:
    """Write an angle in degrees, to a tenth.

    Parameters
    ----------
    angle : float
        The angle [rad].

    Returns
    -------
    str
        For instance "60°".

    Examples
    --------
    >>> degrees(1.0471975511965976)
    '60°'
    """
    value = round(math.degrees(angle), 1) + 0.0
    return f"{value:g}°"


def joined(parts: Iterable[str], last: str = "and") -> str:
    """Join a few words as a list in a sentence.

    Parameters
    ----------
    parts : iterable of str
        The words.
    last : str
        What stands before the last of them.

    Returns
    -------
    str
        For instance "one, two and three".

    Examples
    --------
    >>> joined(["one", "two", "three"])
    'one, two and three'
    """
    words = list(parts)
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {last} {words[-1]}"


def harness_words(pattern: str, sewn: bool) -> tuple[str, str]:
    """Name a harness, and what its straps meet at.

    Parameters
    ----------
    pattern : str
        The pattern, as the harness calls it.
    sewn : bool
        Whether the straps are sewn to each other where they cross.

    Returns
    -------
    tuple of str
        What is worn, and the name of the place on the back.

    Examples
    --------
    >>> harness_words("figure-of-eight", sewn=True)
    ('a figure-of-eight harness with a sewn cross-point', 'sewn cross-point')
    """
    if sewn:
        return f"a {pattern} harness with a sewn cross-point", "sewn cross-point"
    kind, above, where = pattern.partition(" above")
    if pattern.startswith("figure"):
        return f"a {kind} harness{above}{where} with a ring", "ring"
    return f"a {pattern}", "sewn branch"


def seen_from(view: View) -> str:
    """Say from where a wearer is seen.

    Parameters
    ----------
    view : str or float
        "back", "side" or "front", or how far the viewer has gone round the wearer, from behind towards the amputated
        side [rad].

    Returns
    -------
    str
        For an angle one of eight ways round, with the angle.

    Examples
    --------
    >>> seen_from("back")
    'from behind'
    >>> seen_from(math.radians(35.0))
    'from behind and the side of the prosthesis (35°)'
    """
    if isinstance(view, str):
        return _SEEN[view]
    turned = float(view) % (2.0 * math.pi)
    return f"{_AROUND[round(turned / (0.25 * math.pi)) % 8]} ({degrees(turned)})"


def view_words(
    pull: Pull | DualPull, view: View, wearer: str, units: Units = "both", *, harness: tuple[str, str]
) -> str:
    """Say who is drawn, from where, what is worn and where the arm is.

    Parameters
    ----------
    pull : Pull
        What the mechanics found for one pose.
    view : str or float
        "back", "side" or "front", or how far the viewer has gone round the wearer, as in `seen_from` [rad].
    wearer : str
        Who it is, for instance "average woman, left arm amputated".
    units : str
        "metric", "inch-pound" or "both".
    harness : tuple of str
        What is worn, and where its straps meet, as `harness_words` gives them.

    Returns
    -------
    str
        A few sentences.
    """
    worn, middle = harness
    return (
        f"Seen {seen_from(view)}: {wearer}, in {worn}; {posture_words(pull.pose)}. "
        f"Dashed parts are hidden by the body.{_slack_words(pull, units)} "
        f"The {middle} has moved {show(pull.ring_travel, 'length', units)} since the harness was put on."
    )


def _slack_words(pull: Pull | DualPull, units: Units) -> str:
    """Say which straps bear no pull, and how far those hang."""
    loose = [name for name, tension in pull.strap_tension.items() if tension < SLACK]
    named = [name for name in loose if "leg" not in name] or loose  # legs go with the strap that they belong to
    hung = [name for name in named if pull.strap_slack[name] >= SEEN_SLACK]
    snug = [name for name in named if name not in hung]
    said = ""
    if hung:
        each = joined(f"{name} by {show(pull.strap_slack[name], 'length', units, 0)}" for name in hung)
        said = f" Without pull, and drawn slack: {each}."
    if snug:
        all_snug = len(loose) == len(pull.strap_tension) and not hung
        said += " No strap bears a pull; all are snug." if all_snug else f" Without pull, but snug: {joined(snug)}."
    return said


def posture_words(pose: Pose) -> str:
    """Say where the arm and the shoulders are, leaving out what is as at rest.

    Parameters
    ----------
    pose : Pose
        The pose.

    Returns
    -------
    str
        Words that a sentence can take up.

    Examples
    --------
    >>> posture_words(Pose(arm_flexion=math.radians(60.0)))
    'the arm is flexed 60° and the elbow is straight'
    """

    def turned(angle: float) -> bool:
        return abs(math.degrees(angle)) >= 0.5

    arm, aside = pose.arm_flexion, pose.arm_abduction - Pose().arm_abduction
    held = [f"{'flexed' if arm > 0 else 'extended'} {degrees(abs(arm))}"] if turned(arm) else []
    held += [f"abducted {degrees(pose.arm_abduction)}"] if turned(aside) else []
    said = [f"the arm is {joined(held)}" if held else "the arm hangs"]
    said.append(f"the elbow is {f'flexed {degrees(pose.elbow_flexion)}' if turned(pose.elbow_flexion) else 'straight'}")
    for name, angle, ways in (
        ("the scapula", pose.scapular_abduction, ("forward", "back")),
        ("the scapula of the sound side", pose.sound_scapular_abduction, ("forward", "back")),
        ("the shoulder", pose.shoulder_elevation, ("up", "down")),
    ):
        if turned(angle):
            said.append(f"{name} has moved {degrees(abs(angle))} {ways[angle < 0]}")
    return joined(said)


def load_words(pull: Pull | DualPull | Suspension, units: Units = "both") -> str:
    """Say where straps press most, with the caution that goes with it.

    Parameters
    ----------
    pull : Pull, DualPull or Suspension
        What the mechanics found for one pose.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        A few sentences.
    """
    most = max(pull.strap_load.values(), key=lambda load: load.worst)
    if most.worst < LEAST_LOAD:
        return "No strap presses on the skin to speak of."
    text = (
        f"The dark bands are as wide as the straps press on the skin per length of strap, all to one scale; "
        f"the {most.strap} presses most, {show(most.worst, 'line load', units)}, "
        f"a mean of {show(most.worst / most.width, 'pressure', units)} over its width."
    )
    if pull.axilla_line_load > 0.0:
        text += f" In the sound armpit it is {show(pull.axilla_line_load, 'line load', units)}."
    return (
        f"{text} An edge or a fold presses harder than the mean, and no value here is safe: "
        f"numbness or tingling in the sound hand, or redness that stays, means stop and see the fitter."
    )


def forces_on_ring(pull: Pull | DualPull) -> dict[str, NDArray[np.float64]]:
    """List all forces on the ring, the push of the back among them.

    Parameters
    ----------
    pull : Pull
        What the mechanics found for one pose; it names the straps and the skin.

    Returns
    -------
    dict
        Forces by name, ISB axes, shape (3,) each [N].

    Notes
    -----
    The ring rests on the back. What straps and skin leave over presses it
    straight onto the skin, and the back answers with as much.
    """
    forces = dict(pull.ring_forces)
    push = -np.sum(list(forces.values()), axis=0)
    if "back" not in forces and float(np.linalg.norm(push)) > 0.05:
        forces["back"] = push
    return forces


def excursion_words(pull: Pull, units: Units = "both") -> str:
    """Say what is generated, captured and required, and what that opens.

    Parameters
    ----------
    pull : Pull
        What the mechanics found for one pose.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        A few sentences.
    """
    three, rest = pull.excursion, at_rest_words(pull, units)
    return (
        f"Excursion generated by the motion: {show(three.generated, 'length', units)}; "
        f"captured by the harness: {show(three.captured, 'length', units)}; "
        f"required for full opening: {show(three.required, 'length', units)}. "
        f"{rest}{' ' if rest else ''}"
        f"The device opens {show(pull.opening, 'length', units)}. {limit_words(pull.limited_by)}"
        f"{worth_knowing(pull.states, units)}"
    )


def limit_words(limited_by: str) -> str:
    """Say which budget runs out first.

    Parameters
    ----------
    limited_by : str
        "nothing", "excursion", "force" or "slack".

    Returns
    -------
    str
        One sentence.

    Examples
    --------
    >>> limit_words("slack")
    'Slack is the limit: with the strap snug the same motion would open the device fully.'
    """
    return _LIMIT.get(limited_by, f"What limits it: {limited_by}.")


def force_words(pull: Pull, units: Units = "both") -> str:
    """Say how hard the wearer pulls, with what lever, and what both shares are.

    Parameters
    ----------
    pull : Pull
        What the mechanics found for one pose.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        A few sentences.
    """
    return (
        f"The harness carries {show(pull.harness_force, 'force', units)}: "
        f"a cable share of {percent(pull.cable_share)} ({pull.fatigue}). "
        f"The control attachment strap's moment arm about arm flexion is {show(pull.moment_arm, 'length', units)}. "
        f"{shoulder_share_words(pull, units)}"
    )


def _change(now: float, then: float, kind: str, units: Units, *, more: str = "more", less: str = "less") -> str:
    change = now - then
    written = show(abs(change), kind, units)
    if written == show(0.0, kind, units):
        return "no change"
    return f"{written} {more if change > 0 else less}"


def comparison_words(pull: Pull, pinned: Pull, units: Units = "both") -> str:
    """Say how a setting differs from the pinned one.

    Parameters
    ----------
    pull : Pull
        The setting on show.
    pinned : Pull
        The setting that was pinned.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        One sentence.
    """
    captured = _change(pull.excursion.captured, pinned.excursion.captured, "length", units)
    arm = _change(pull.moment_arm, pinned.moment_arm, "length", units, more="longer", less="shorter")
    force = _change(pull.harness_force, pinned.harness_force, "force", units)
    opening = _change(pull.opening, pinned.opening, "length", units)
    moment = _change(pull.shoulder_moment.total, pinned.shoulder_moment.total, "moment", units)
    return (
        f"Against the pinned setting (thin grey): captured excursion {captured}, "
        f"opening {opening}, moment arm {arm}, harness force {force}, moment that the shoulder makes {moment}."
    )
