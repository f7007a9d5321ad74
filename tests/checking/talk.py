"""A small exercise answered in words: a choice, an order of steps, a diagnosis."""

from __future__ import annotations

from typing import Any

from controlkit.checking import Choice, Diagnosis, Exercise, OneOf, Order, Plan, Statement
from controlkit.checking.case.cases import Case
from controlkit.mechanics.device import hook_opening
from controlkit.mechanics.sequence import operating_sequence

STEPS = {
    "reach out": "bring the open or shut device to the object",
    "pull": "flex the arm so that the cable pulls",
    "surround": "put the fingers around the object",
    "let go": "ease the arm back",
    "bring to the mouth": "lift what is held",
    "back to the table": "bring it down again",
    "back to rest": "let the arm hang",
}
SEQUENCE = operating_sequence(hook_opening())


def words(text: str) -> tuple[Statement, ...]:
    return tuple(Statement(word.strip(), f"the {word.strip()} of it") for word in text.split(","))


def sheet() -> Exercise:
    return Exercise(
        name="talk",
        title="Words",
        plan=Plan("talk", {"stroke": OneOf(("out", "back"))}),
        items=(
            Choice(
                name="feels",
                points=2,
                asks="what the wearer feels at the harness beside the force at the device",
                statements=(
                    Statement(
                        "more",
                        "more than at the device",
                        ask="Which way does it move now?",
                        held_because="one stroke",
                        share=0.25,
                    ),
                    Statement(
                        "less",
                        "less than at the device",
                        ask="Which way does the cable move now?",
                        held_because="one stroke",
                    ),
                    Statement(
                        "the same",
                        "as much as at the device",
                        ask="Where does the cable touch?",
                        held_because="friction unseen",
                    ),
                ),
                right=lambda c: "more" if c.stroke == "out" else "less",
                hints=("Friction is against the motion.",),
            ),
            Order(
                name="order",
                points=5,
                asks="grasp at the table, bring to the mouth, put back",
                steps=tuple(Statement(word, STEPS.get(word, word)) for word in SEQUENCE.steps),
                right=lambda _: (SEQUENCE.right_order(),),
                comes_to=lambda _, order: SEQUENCE.judge(order).words[0],
                hints=("What does the device need to be before it gets around something?",),
            ),
            Diagnosis(
                name="fault",
                asks="what is wrong with this set-up",
                faults=(
                    Statement(
                        "dirty housing",
                        "dirt in the housing",
                        ask="Would the device itself feel it?",
                        held_because="habit",
                    ),
                    Statement(
                        "weak bands",
                        "bands that have tired",
                        ask="What would the pinch be?",
                        held_because="habit",
                        share=0.25,
                    ),
                    Statement(
                        "loose strap",
                        "a strap let out too far",
                        ask="What would the device do at rest?",
                        held_because="habit",
                    ),
                ),
                readings=(
                    Statement("harness pull", "", ask="with which other fault does that rise?"),
                    Statement("device pull", ""),
                    Statement("pinch", ""),
                ),
                fault=lambda c: "dirty housing" if c.stroke == "out" else "weak bands",
                decides=lambda c: ("device pull",) if c.stroke == "out" else ("pinch",),
                hints=("Compare both ends of the cable.",),
            ),
        ),
    )


TALK = sheet()
OUT, BACK = (Case("talk", "ana", 0, {"stroke": stroke}) for stroke in ("out", "back"))
RIGHT: dict[str, Any] = {
    "feels": "more",
    "order": list(SEQUENCE.right_order()),
    "fault": {"fault": "dirty housing", "reading": "device pull"},
}
