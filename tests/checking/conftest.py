"""Every exercise there is, found by its folder; and a small one without mechanics, for the tests of checking itself."""

from __future__ import annotations

from pathlib import Path
from types import ModuleType

import pytest

from controlkit.checking import Exercise, Plan, Quantity, Range, Written, WrongIdea
from controlkit.classroom import private
from controlkit.classroom.begin import module_of
from tests.checking.hands import NAMES, ROOT, Hands
from tests.checking.school import SHORT, School, mark, sorts, third_exercise


@pytest.fixture(scope="session")
def root() -> Path:
    return ROOT


@pytest.fixture(scope="session")
def modules() -> dict[str, ModuleType]:
    """Every exercise, found as a notebook finds it."""
    return {name: module_of(name, ROOT) for name in NAMES}


@pytest.fixture(scope="session")
def exercises(modules: dict[str, ModuleType]) -> dict[str, Exercise]:
    return {name: module.exercise for name, module in modules.items()}


@pytest.fixture(scope="session")
def every(modules: dict[str, ModuleType]) -> dict[str, Hands]:
    """All exercises by name."""
    return {name: Hands(name, modules[name], private(name, ROOT)) for name in NAMES}


@pytest.fixture(scope="session", params=NAMES)
def hands(request: pytest.FixtureRequest, every: dict[str, Hands]) -> Hands:
    """Each exercise in turn."""
    return every[request.param]


@pytest.fixture(scope="session")
def school(every: dict[str, Hands], tmp_path_factory: pytest.TempPathFactory) -> School:
    """Every exercise handed out by stock nbgrader; the short choice of them handed in in several sorts, and marked."""
    handed_in = {name: sorts(hands) if name in SHORT else {} for name, hands in every.items()}
    handed_in["ex03"] |= third_exercise(every["ex03"])
    return mark(tmp_path_factory.mktemp("school") / "CLASS", handed_in, feedback=["ex03"])


@pytest.fixture(scope="session")
def ex03(modules: dict[str, ModuleType]) -> ModuleType:
    return modules["ex03"]


@pytest.fixture(autouse=True)
def in_a_folder_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Progress is written where the notebook stands: never into the repository."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("NBGRADER_EXECUTION", raising=False)


@pytest.fixture
def lever() -> Exercise:
    """A lever: which force at its end, and which moment that is about the pivot."""
    return Exercise(
        name="lever",
        title="A lever",
        plan=Plan(
            "lever", {"load": Range(40, 90, 5, "N"), "short": Range(20, 60, 5, "mm"), "long": Range(100, 200, 10)}
        ),
        items=(
            Quantity(
                name="effort",
                points=4,
                kind="force",
                unit="N",
                asks="the force that holds the load",
                right=lambda c, _: c.load * c.short / c.long,
                within=0.2,
                hints=("Take moments about the pivot.", "Which arm is longer?"),
                credible=(0.1, 500),
            ),
            Quantity(
                name="moment",
                points=2,
                kind="moment",
                unit="N m",
                asks="its moment about the pivot",
                right=lambda c, mine: mine["effort"] * c.long / 1000,
                relative=0.01,
                follows="effort",
            ),
            Written(name="why", asks="Why is it so?", rubric=((2, "names both arms"), (1, "says what stays the same"))),
        ),
        ideas=(
            WrongIdea(
                label="arms-swapped",
                item="effort",
                model=lambda c, _: c.load * c.long / c.short,
                ask="Which arm is the load's?",
                held_because="names",
                share=0.25,
            ),
            WrongIdea(
                label="no-lever",
                item="effort",
                model=lambda c, _: (c.load, -c.load),
                ask="What does the lever change?",
                held_because="habit",
            ),
            WrongIdea(
                label="short-arm",
                item="moment",
                model=lambda c, mine: mine["effort"] * c.short / 1000,
                ask="Whose arm?",
                held_because="mixed up",
            ),
        ),
        worked={"effort": lambda c: f"moments about the pivot: {c.load * c.short / c.long:.2f} N"},
    )
