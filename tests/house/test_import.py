"""`import controlkit` stays light: what draws, listens or reads answers is loaded when first needed."""

from __future__ import annotations

import sys

import pytest

HEAVY = ("matplotlib", "ipywidgets", "anywidget", "pint", "IPython", "nbformat", "jupyter_server", "nbgrader")


@pytest.mark.parametrize("module", ["controlkit", "controlkit.cli", "controlkit.mechanics", "controlkit.units"])
def test_nothing_heavy_is_loaded(run, module: str) -> None:
    code = f"import sys, {module}; print(*sorted({{name.split('.')[0] for name in sys.modules}}))"
    done = run(sys.executable, "-c", code)
    assert done.returncode == 0, done.stderr
    assert set(HEAVY) & set(done.stdout.split()) == set()


def test_the_command_itself_needs_no_numbers(run) -> None:
    done = run(
        sys.executable, "-c", "import sys, controlkit.cli; print('numpy' in sys.modules, 'scipy' in sys.modules)"
    )
    assert done.stdout.split() == ["False", "False"], done.stderr


def test_every_name_that_a_lesson_uses_is_there() -> None:
    import controlkit

    for name in controlkit.__all__:
        assert getattr(controlkit, name) is not None
    assert set(controlkit.__all__) - {"__version__"} == set(controlkit._PART_OF)
    assert set(controlkit.__all__) <= set(dir(controlkit))


def test_a_name_that_is_not_there_is_said() -> None:
    import controlkit

    with pytest.raises(AttributeError, match="controlkit has no 'harmonica'"):
        _ = controlkit.harmonica


def test_the_version_is_said_once(root) -> None:
    import tomllib

    import controlkit

    project = tomllib.loads((root / "pyproject.toml").read_text())["project"]
    assert controlkit.__version__ == project["version"]
