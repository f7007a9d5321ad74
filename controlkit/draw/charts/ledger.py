"""Where excursion comes from and where it goes, row by row, as bars that begin where the one above ends."""

from __future__ import annotations

from typing import TYPE_CHECKING

from controlkit.draw.charts.bars import Bar
from controlkit.draw.words.ledger import TAKEN_IN, WRITTEN, generated_words, loss_words

if TYPE_CHECKING:
    from controlkit.mechanics import Excursion

__all__ = ["arrived", "ledger"]


def ledger(excursion: Excursion) -> tuple[Bar, ...]:
    """Lay excursion end to end, from what is generated to what arrives at the device.

    Parameters
    ----------
    excursion : Excursion
        What the mechanics found for one pose.

    Returns
    -------
    tuple of Bar
        Generated, taken in where the strap is, each loss, and then what `arrived` gives.

    Examples
    --------
    >>> from controlkit.mechanics import Excursion
    >>> [bar.name for bar in ledger(Excursion(0.05, 0.03, 0.043, {"ring": 0.02}))]
    ['generated', 'ring travels', 'captured', 'required']
    """
    left = excursion.generated
    rows = [Bar(generated_words(left), left, "bar generated")]
    if excursion.taken_in > WRITTEN:
        rows.append(Bar(TAKEN_IN, left + excursion.taken_in, "bar plain", start=left))
        left += excursion.taken_in
    for name, lost in excursion.lost.items():
        rows.append(Bar(loss_words(name, lost), left - lost, "bar lost", start=left))
        left -= lost
    return (*rows, *arrived(excursion))


def arrived(excursion: Excursion) -> tuple[Bar, ...]:
    """Lay what has arrived at the device beside what it needs.

    Parameters
    ----------
    excursion : Excursion
        What the mechanics found for one pose.

    Returns
    -------
    tuple of Bar
        At rest, where straps draw the device without any motion; captured, from there on; required.

    Examples
    --------
    >>> from controlkit.mechanics import Excursion
    >>> [bar.name for bar in arrived(Excursion(0.05, 0.03, 0.043, {}, taken_in=0.03, at_rest=0.01))]
    ['open at rest', 'captured', 'required']
    """
    rest = excursion.at_rest
    open_at_rest = (Bar("open at rest", rest, "bar plain"),) if max(excursion.taken_in, rest) > WRITTEN else ()
    return (
        *open_at_rest,
        Bar("captured", rest + excursion.captured, "bar captured", start=rest),
        Bar("required", excursion.required, "bar required"),
    )
