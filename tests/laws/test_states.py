"""Outcomes as data: one table, and nothing that is not in it."""

from __future__ import annotations

import copy
import pickle
from dataclasses import FrozenInstanceError

import numpy as np
import pytest

from controlkit.mechanics.states import CODES, KINDS, NAME, VALUES, State, Values


def any_of(code: str) -> State:
    """A state of a code, with some values."""
    return State.of(code, **{name: "ring" if VALUES[name][0] == NAME else 0.02 for name in CODES[code][1]})


def test_the_table_is_whole() -> None:
    """Every code has a kind that is explained, its values have units, and nothing is explained for nothing."""
    assert {kind for kind, _ in CODES.values()} == set(KINDS)
    assert {name for _, names in CODES.values() for name in names} == set(VALUES)
    assert {unit for unit, _ in VALUES.values()} <= {NAME, "m", "N", "rad", "-"}
    assert all(meaning for _, meaning in VALUES.values())
    assert all(code == code.lower() and " " not in code for code in CODES)


@pytest.mark.parametrize("code", CODES)
def test_a_state_is_a_value(code: str) -> None:
    """Equal, hashed, copied and pickled as what it holds; nothing in it can be changed."""
    state = any_of(code)
    assert state.kind == CODES[code][0]
    assert set(state.values) == set(CODES[code][1])
    same = State(code, state.kind, dict(reversed(list(state.values.items()))))
    for other in (same, copy.deepcopy(state), pickle.loads(pickle.dumps(state))):
        assert other == state
        assert hash(other) == hash(state)
        assert {state: 1}[other] == 1
    with pytest.raises(FrozenInstanceError):
        state.code = "no-housing"  # type: ignore[misc]
    with pytest.raises(TypeError):
        state.values["strap"] = "other"  # type: ignore[index]


def test_other_values_make_another_state() -> None:
    near, far = (State.of("ring-on-spine", crossing="ring", aside=aside) for aside in (0.001, 0.002))
    assert near != far
    assert near != State.of("ring-slipped", crossing="ring")
    assert len({near, far}) == 2


def test_numbers_are_plain_floats() -> None:
    state = State.of("ring-ridden-up", crossing="ring", risen=np.float64(0.03))
    assert type(state.values["risen"]) is float
    assert state.values == {"crossing": "ring", "risen": 0.03}


def test_a_developer_can_read_it() -> None:
    state = State.of("elbow-stopped", elbow_flexion=0.5)
    assert str(state) == "elbow-stopped (set-up): elbow_flexion 0.5 rad"
    assert repr(state) == f"<State {state}>"
    assert str(State.of("not-settled")) == "not-settled (model)"


@pytest.mark.parametrize(
    ("code", "kind", "values", "told"),
    [
        ("ring-on-the-spine", "strap", {}, "no state"),
        ("not-settled", "strap", {}, "kind 'model'"),
        ("not-settled", "model", {"slack": 0.1}, "carries"),
        ("ring-slipped", "strap", {}, "carries"),
        ("ring-slipped", "strap", {"crossing": 1.0}, "is a name"),
        ("elbow-stopped", "set-up", {"elbow_flexion": "much"}, "in rad"),
        ("elbow-stopped", "set-up", {"elbow_flexion": True}, "in rad"),
        ("elbow-stopped", "set-up", {"elbow_flexion": float("nan")}, "in rad"),
    ],
)
def test_what_is_not_in_the_table_is_refused(code: str, kind: str, values: dict[str, float | str], told: str) -> None:
    with pytest.raises(ValueError, match=told):
        State(code, kind, values)


def test_a_state_by_its_code_is_checked_too() -> None:
    with pytest.raises(ValueError, match="no state"):
        State.of("ring-on-the-spine")
    with pytest.raises(ValueError, match="carries"):
        State.of("no-housing", slack=0.1)


def test_values_are_found_by_name() -> None:
    values = Values((("aside", 0.001),))
    assert values["aside"] == 0.001
    assert "slack" not in values
    with pytest.raises(KeyError):
        values["slack"]
