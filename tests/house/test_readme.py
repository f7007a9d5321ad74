"""The two commands of README.md: one line each, and what `.ci/run` runs is the second of them."""

from __future__ import annotations

import os
import re
import shutil
from pathlib import Path

import pytest


@pytest.fixture(scope="module")
def readme(root: Path) -> str:
    return (root / "README.md").read_text(encoding="utf-8")


def blocks(readme: str, language: str) -> list[str]:
    return [block.strip() for block in re.findall(rf"```{language}\n(.*?)```", readme, re.DOTALL)]


def steps(line: str) -> list[str]:
    return line.split(" && ")


def test_the_job_comes_first_and_the_commands_next(readme: str) -> None:
    title, job = readme.split("\n\n")[:2]
    assert title.startswith("# ")
    assert "\n" not in job
    assert len(job.split()) > 40
    assert readme.index("venv .venv ") < readme.index("## ")
    assert readme.index("venv .venv-test ") < readme.index("## ")


@pytest.mark.parametrize(
    ("number", "environment", "lock", "last"),
    [
        (0, ".venv", "requirements.txt", ".venv/bin/controlkit start"),
        (1, ".venv", "requirements-class.txt", ".venv/bin/controlkit class"),
        (2, ".venv-test", "requirements-test.txt", ".venv-test/bin/python -m pytest -n 3 --dist loadfile"),
    ],
)
def test_each_command_is_one_line_that_does_all(
    readme: str, root: Path, run, number: int, environment: str, lock: str, last: str
) -> None:
    command = blocks(readme, "bash")[number]
    assert "\n" not in command
    assert run("bash", "-n", "-c", command).returncode == 0
    assert (root / lock).is_file()
    python = f"{environment}/bin/python"
    assert steps(command) == [
        f"python3 -m venv {environment}",
        f"{python} -m pip install --require-hashes -r {lock}",
        f"{python} -m pip install --no-deps --no-build-isolation .",
        last,
    ]


def test_windows_takes_the_same_steps(readme: str) -> None:
    (command,) = blocks(readme, "powershell")
    assert "\n" not in command
    for part in ("-m venv .venv", "--require-hashes -r requirements.txt", "--no-deps --no-build-isolation .", "start"):
        assert part in command


def test_conda_installs_the_package_too(readme: str, root: Path) -> None:
    (command,) = [block for block in blocks(readme, "bash") if block.startswith("conda")]
    assert steps(command)[1].endswith("python -m pip install --no-deps --no-build-isolation .")
    assert steps(command)[1].removeprefix("conda run -n controlkit ") in (root / "postBuild").read_text()
    assert "-r requirements.txt" in (root / "environment.yml").read_text()


def house_with(tmp_path: Path, root: Path, readme: str, tools: dict[str, str]) -> dict[str, object]:
    """Lay out `.ci/run`, a README and a path on which only the given tools are found."""
    (tmp_path / "house" / ".ci").mkdir(parents=True)
    shutil.copy(root / ".ci" / "run", tmp_path / "house" / ".ci")
    (tmp_path / "house" / "README.md").write_text(readme)
    tools_folder = tmp_path / "tools"
    tools_folder.mkdir()
    for name in ("bash", "sed", "grep", "dirname", "cat"):
        found = shutil.which(name)
        assert found
        (tools_folder / name).symlink_to(found)
    for name, script in tools.items():
        (tools_folder / name).write_text(f"#!{shutil.which('bash')}\n{script}\n")
        (tools_folder / name).chmod(0o755)
    env = {name: value for name, value in os.environ.items() if name != "CI"}
    return {"cwd": tmp_path / "house", "env": {**env, "PATH": str(tools_folder)}}


ALL_THERE = {"chromium": "", "bwrap": "", "fc-list": "echo DejaVu Sans", "python3": 'echo "python3 $*"'}
COMMAND = "text\n\n```bash\npython3 -m venv .venv-test && echo CI=$CI && exit 7\n```\n"


def test_ci_runs_the_readmes_line_and_leaves_with_its_code(tmp_path: Path, root: Path, run) -> None:
    where = house_with(tmp_path, root, COMMAND, ALL_THERE)
    done = run("bash", ".ci/run", **where)
    assert done.returncode == 7, done.stderr
    assert "CI=true" in done.stdout
    assert "apt-get" not in done.stdout


def test_ci_installs_what_is_missing(tmp_path: Path, root: Path, run) -> None:
    tools = {
        "python3": 'if [[ $1 == -c ]]; then exit 1; fi; echo "python3 $*"',
        "apt-get": 'echo "apt-get $*"',
        "sudo": '"$@"',
    }
    done = run("bash", ".ci/run", **house_with(tmp_path, root, COMMAND, tools))
    assert done.returncode == 7, done.stderr
    (installed,) = [line for line in done.stdout.splitlines() if line.startswith("apt-get install")]
    assert set(installed.split()) >= {"chromium", "bubblewrap", "python3-venv", "fonts-dejavu-core"}


@pytest.mark.parametrize("broken", ["no command here", COMMAND + COMMAND])
def test_ci_does_not_guess(tmp_path: Path, root: Path, run, broken: str) -> None:
    done = run("bash", ".ci/run", **house_with(tmp_path, root, broken, ALL_THERE))
    assert done.returncode == 1
    assert "exactly one line" in done.stderr


def test_the_real_readme_has_that_one_line(readme: str) -> None:
    assert len(re.findall(r"^python3 -m venv \.venv-test && ", readme, re.MULTILINE)) == 1
