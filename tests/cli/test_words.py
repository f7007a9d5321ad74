"""What the command says, and how it ends, without starting anything."""

from __future__ import annotations

import socket
import subprocess
import sys
import webbrowser
from pathlib import Path

import pytest

from controlkit.cli import browser, main, release, selfcheck, server
from controlkit.cli.selfcheck import Finding
from controlkit.cli.trouble import Trouble

ROOT = Path(__file__).resolve().parents[2]


def test_without_arguments_it_says_what_it_can_do(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([]) == 0
    said = capsys.readouterr().out
    assert "controlkit start" in said
    assert "controlkit selfcheck" in said


def test_a_word_it_does_not_know_is_a_usage_error(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["stop"])
    assert ended.value.code == 2
    assert "start" in capsys.readouterr().err


def test_trouble_is_told_in_two_lines(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "letter").write_text("dear")
    assert main(["start", str(tmp_path / "letter")]) == 1
    assert capsys.readouterr().err.splitlines() == [
        f"{tmp_path / 'letter'} is a file, not a folder.",
        "Name another folder: controlkit start FOLDER",
    ]


def test_an_interruption_is_no_error_report(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def interrupt() -> int:
        raise KeyboardInterrupt

    monkeypatch.setattr(selfcheck, "selfcheck", interrupt)
    assert main(["selfcheck"]) == 130
    assert capsys.readouterr().err == "\nStopped.\n"


def test_missing_lessons_are_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(release, "__file__", str(tmp_path / "controlkit" / "cli" / "release.py"))
    with pytest.raises(Trouble, match="lessons are missing"):
        release.find_release()


@pytest.mark.parametrize("port", [0, -1, 65536])
def test_what_is_no_port(port: int) -> None:
    with pytest.raises(Trouble, match="is not a port"):
        server.free_port(port)


def test_a_free_port_is_found_when_the_usual_one_is_taken(monkeypatch: pytest.MonkeyPatch) -> None:
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        taken = other.getsockname()[1]
        monkeypatch.setattr(server, "_FIRST_PORT", taken)
        found = server.free_port(None)
    assert found != taken


def test_without_a_browser_the_address_is_printed(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def none(_: str | None = None) -> webbrowser.BaseBrowser:
        raise webbrowser.Error("no browser")

    monkeypatch.setattr(webbrowser, "get", none)
    browser.open_page("http://127.0.0.1:1/", browser=True)
    said = capsys.readouterr().out
    assert "http://127.0.0.1:1/" in said
    assert "copy that address" in said


@pytest.mark.parametrize(("name", "usable"), [("w3m", False), ("/usr/bin/www-browser", False), ("firefox", True)])
def test_a_browser_in_the_terminal_does_not_count(name: str, usable: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(webbrowser, "get", lambda: webbrowser.GenericBrowser(name))
    assert browser.has_browser() is usable


def test_selfcheck_names_one_next_step_only(capsys: pytest.CaptureFixture[str]) -> None:
    checks = (
        lambda: Finding("Ears", True, "two"),
        lambda: Finding("Tongue", False, "none", "Look in the drawer."),
        lambda: Finding("Nose", False, "none", "Buy one."),
    )
    assert selfcheck.selfcheck(checks) == 1
    said = capsys.readouterr().out
    assert said.endswith("\nNext step (Tongue): Look in the drawer.\n")
    assert "Buy one." not in said
    assert "MISSING  Nose" in said


def test_a_check_that_fails_is_a_finding(capsys: pytest.CaptureFixture[str]) -> None:
    def _broken() -> Finding:
        raise RuntimeError("no kernel died so quietly")

    assert selfcheck.selfcheck((_broken,)) == 1
    said = capsys.readouterr().out
    assert "MISSING  Broken: RuntimeError: no kernel died so quietly" in said
    assert "Traceback" not in said


def test_a_missing_library_is_named(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.setattr(selfcheck, "_NEEDED", ("numpy", "a-library-that-nobody-wrote"))
    assert selfcheck.selfcheck((selfcheck._libraries,)) == 1
    assert "missing: a-library-that-nobody-wrote" in capsys.readouterr().out


def test_selfcheck_passes_where_everything_is(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "controlkit", "selfcheck"], cwd=ROOT, capture_output=True, text=True, timeout=300
    )
    assert done.returncode == 0, done.stdout + done.stderr
    assert done.stdout.endswith("All is there. Next: controlkit start\n")
    assert done.stderr == ""
