"""A cheap look at a draw: what an item that asks nothing of the mechanics makes of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from controlkit.checking import Case, Quantity, WrongIdea
from controlkit.checking.case.cases import Value
from controlkit.checking.items.base import Given


def can_tell(item: Quantity, ideas: Sequence[WrongIdea], values: Mapping[str, Value]) -> bool:
    """Whether an item tells right from wrong in a draw of which nothing has been measured yet."""
    given = Given(
        case=Case("", "", 0, values),
        ideas=tuple(idea for idea in ideas if idea.item == item.name),
        right=lambda c: {item.name: item.number(c, {})},
    )
    return item.admits(given)
