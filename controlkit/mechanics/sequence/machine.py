"""An operating sequence as a state machine: it can be stepped, searched, judged and drawn."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any

from controlkit.mechanics.inputs import kind
from controlkit.mechanics.sequence.records import Amount, Facts, Judged, Situation, Step, Taken, Told
from controlkit.units import InputError


@dataclass(frozen=True, kw_only=True)
class OperatingSequence:
    """States, steps and goal.

    Parameters
    ----------
    name : str
        What is operated, and how
    start : Situation
        Where it begins
    goal : mapping
        Facts that end it
    steps : dict
        Steps by name
    demand : callable
        From a step and the state before it to the `Amount` it needs

    Examples
    --------
    >>> from controlkit.mechanics.device import hook_opening
    >>> from controlkit.mechanics.sequence import operating_sequence
    >>> task = operating_sequence(hook_opening())
    >>> task.judge(task.right_order()).right
    True
    """

    name: str
    start: Situation
    goal: Facts
    steps: dict[str, Step]
    demand: Callable[[Step, Situation], Amount] = field(repr=False, compare=False)

    def take(self, state: Situation, step: str) -> Taken:
        """Make one step.

        Parameters
        ----------
        state : Situation
            How things stand
        step : str
            Name of the step

        Returns
        -------
        Taken
            How they stand then, what it needed, and what went wrong

        Raises
        ------
        InputError
            If there is no such step, or the state belongs to another sequence
        """
        kind("The state", state, Situation, "sequence.start")
        if dict(state.facts).keys() != dict(self.start.facts).keys():
            raise InputError(
                given=f"“{state.words}” is no state of this sequence.",
                allowed=f"Its start is: {self.start.words}.",
            )
        if not isinstance(step, str) or step not in self.steps:
            raise InputError(
                given=f"There is no step {step!r}.",
                allowed=f"The steps are: {', '.join(self.steps)}.",
            )
        made = self.steps[step]
        amount = self.demand(made, state)
        for wrong in made.wrong:
            if state.fits(wrong.when):
                return Taken(
                    before=state, step=step, after=state.after(wrong.changes), amount=amount, consequence=wrong.told
                )
        if amount.short:
            return Taken(before=state, step=step, after=state, amount=amount, consequence=amount.short)
        return Taken(before=state, step=step, after=state.after(made.changes), amount=amount)

    def exits(self, state: Situation) -> tuple[Taken, ...]:
        """Make every step from one state: the ways out of it, right and wrong.

        Parameters
        ----------
        state : Situation
            How things stand

        Returns
        -------
        tuple of Taken
            One a step
        """
        return tuple(self.take(state, name) for name in self.steps)

    def legal(self, state: Situation) -> tuple[str, ...]:
        """List the steps that are right in a state.

        Parameters
        ----------
        state : Situation
            How things stand

        Returns
        -------
        tuple of str
            Their names
        """
        return tuple(made.step for made in self.exits(state) if made.right)

    def judge(self, order: Sequence[str]) -> Judged:
        """Follow an order of steps from the start and say what it comes to.

        Parameters
        ----------
        order : sequence of str
            Names of steps

        Returns
        -------
        Judged
            Step by step, and in words

        Raises
        ------
        InputError
            If it is not a list of steps
        """
        if isinstance(order, str) or not isinstance(order, Sequence):
            raise InputError(
                given=f"The order was given as {order!r}.",
                do=f"Give a list of steps: {', '.join(self.steps)}.",
            )
        state, taken, words, seen = self.start, [], [], {self.start: 0}
        for place, step in enumerate(order, start=1):
            made = self.take(state, step)
            taken.append(made)
            state = made.after
            if made.consequence:
                words.append(f"Step {place}, {step}: {made.consequence}")
            elif state in seen:
                since = f"after step {seen[state]}" if seen[state] else "at the start"
                words.append(
                    f"Step {place}, {step}: now everything is as it was {since}; what lay between was in vain."
                )
            seen[state] = place
        reached = state.fits(self.goal)
        missing = ", ".join(
            f"{part} {state[part]}, not {value if isinstance(value, str) else ' or '.join(value)}"
            for part, value in self.goal.items()
            if not state.fits({part: value})
        )
        words.append("The goal is reached." if reached else f"The goal is not reached: {missing}.")
        return Judged(tuple(taken), reached, tuple(words))

    def moves(self) -> tuple[Taken, ...]:
        """List every step from every state that can come about: the edges of a drawing.

        Returns
        -------
        tuple of Taken
            Right steps and wrong ones
        """
        found: list[Taken] = []
        waiting, seen = deque([self.start]), {self.start}
        while waiting:
            for made in self.exits(waiting.popleft()):
                found.append(made)
                if made.after not in seen:
                    seen.add(made.after)
                    waiting.append(made.after)
        return tuple(found)

    def states(self) -> tuple[Situation, ...]:
        """List every state that can come about, right or wrong: the nodes of a drawing.

        Returns
        -------
        tuple of Situation
            In the order in which they are found
        """
        return tuple(dict.fromkeys([self.start, *(made.before for made in self.moves())]))

    def right_order(self, state: Situation | None = None) -> tuple[str, ...]:
        """Find the shortest order of right steps to the goal.

        Parameters
        ----------
        state : Situation, optional
            Where to begin; the start if left out

        Returns
        -------
        tuple of str
            Names of steps

        Raises
        ------
        InputError
            If right steps do not lead there

        Notes
        -----
        Breadth-first search: every situation is looked at once, so cost grows with situations times steps.
        """
        first = self.start if state is None else state
        waiting: deque[tuple[Situation, tuple[str, ...]]] = deque([(first, ())])
        seen: set[Any] = {first}
        short: list[Told] = []
        while waiting:
            here, order = waiting.popleft()
            if here.fits(self.goal):
                return order
            for made in self.exits(here):
                if made.amount.short and made.amount.short not in short:
                    short.append(made.amount.short)
                if made.right and made.after not in seen:
                    seen.add(made.after)
                    waiting.append((made.after, (*order, made.step)))
        raise InputError(
            given=" ".join([f"From “{first.words}” no order of right steps reaches the goal.", *map(str, short)]),
            do="Look at what each step needs: judge() says which one falls short.",
        )
