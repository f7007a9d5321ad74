"""Collecting from an exchange in which strangers lay files."""

from __future__ import annotations

import logging
import os
import pwd
import sys
from dataclasses import dataclass
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from controlkit.classroom.stock import make_ready

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="nbgrader has no exchange on Windows")

WHEN = "2026-03-02 09:30:00.000000 UTC"
LATER = "2026-03-02 10:30:00.000000 UTC"


@dataclass
class Exchange:
    """An exchange in a folder, whose accounts are made up: everything laid in it belongs to "ana"."""

    inbound: Path
    own: Path
    said: pytest.LogCaptureFixture

    def lay(self, name: str, **files: str) -> Path:
        folder = self.inbound / name
        folder.mkdir()
        for file, text in files.items():
            (folder / file.replace("_", ".")).write_text(text)
        return folder

    def collect(self) -> list[str]:
        """Collect anew, and list what lies in the class then."""
        from nbgrader.apps import CollectApp
        from traitlets.config import Config

        from controlkit.classroom.taking_in.collected import CollectOwn

        config = Config()
        config.Exchange.root = str(self.inbound.parents[1])
        config.CourseDirectory.root = str(self.own)
        config.CourseDirectory.course_id = "c"
        config.CourseDirectory.db_url = "sqlite://"  # nobody reads it again
        app = CollectApp(config=config)
        app.initialize([])
        app.log.addHandler(self.said.handler)
        app.coursedir.assignment_id = "ex04"
        CollectOwn(coursedir=app.coursedir, parent=app, update=True).start()
        return sorted(str(path.relative_to(self.own / "submitted")) for path in self.own.glob("submitted/*/ex04/*"))

    def left(self) -> list[str]:
        return [one for one in self.said.messages if "left in the exchange" in one]


@pytest.fixture
def exchange(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture) -> Exchange:
    numbers = {"ana": os.getuid(), "bo": os.getuid() + 1}

    def account(name: str) -> Any:
        return SimpleNamespace(pw_uid=numbers[name])

    monkeypatch.setattr(pwd, "getpwnam", account)
    make_ready()
    monkeypatch.setattr("nbgrader.api.get_alembic_version", lambda: "any")  # a program, for a gradebook that is empty
    caplog.set_level(logging.WARNING)
    inbound = tmp_path / "exchange" / "c" / "inbound"
    inbound.mkdir(parents=True)
    (tmp_path / "class").mkdir()
    monkeypatch.chdir(tmp_path / "class")
    return Exchange(inbound, tmp_path / "class", caplog)


def test_her_own_last_submission_is_collected(exchange: Exchange) -> None:
    exchange.lay(f"ana+ex04+{WHEN}+aa", ex04_ipynb="first", timestamp_txt=WHEN)
    exchange.lay(f"ana+ex04+{LATER}+bb", ex04_ipynb="second", timestamp_txt=LATER, picture_png="not asked for")
    assert exchange.collect() == ["ana/ex04/ex04.ipynb", "ana/ex04/timestamp.txt"]
    assert (exchange.own / "submitted/ana/ex04/ex04.ipynb").read_text() == "second"
    assert exchange.left() == []


def test_what_bears_anothers_name_is_left_and_said(exchange: Exchange) -> None:
    """The control: nbgrader's own, without the check, collects it."""
    exchange.lay(f"bo+ex04+{WHEN}+aa", ex04_ipynb="forged", timestamp_txt=WHEN)
    exchange.lay(f"ana+ex04+{WHEN}+aa", ex04_ipynb="hers")
    assert exchange.collect() == ["ana/ex04/ex04.ipynb"]
    (said,) = exchange.left()
    assert "bo+ex04" in said
    assert "not to bo" in said

    from nbgrader.exchange.default import ExchangeCollect

    from controlkit.classroom.taking_in.collected import CollectOwn

    with pytest.MonkeyPatch.context() as patch:
        for name in ("init_src", "do_copy", "_path_to_record"):
            patch.setattr(CollectOwn, name, getattr(ExchangeCollect, name))
        assert "bo/ex04/ex04.ipynb" in exchange.collect()


@pytest.mark.parametrize(
    "name",
    [f"nobody+ex04+{WHEN}+aa", "ana+ex04+yesterday?+aa", "ana+ex04+99999999999999999999+aa", f"\x1b[2Jx+ex04+{WHEN}+a"],
)
def test_a_name_that_cannot_be_read_stops_nobody(name: str, exchange: Exchange) -> None:
    exchange.lay(name, ex04_ipynb="odd")
    exchange.lay(f"ana+ex04+{WHEN}+aa", ex04_ipynb="hers")
    assert exchange.collect() == ["ana/ex04/ex04.ipynb"]
    (said,) = exchange.left()
    assert "\x1b" not in said


def test_no_link_is_followed(exchange: Exchange, tmp_path: Path) -> None:
    """Neither as a file, nor as the whole submission; nor does a pipe keep the instructor waiting."""
    secret = tmp_path / "secret"
    secret.mkdir()
    (secret / "ex04.ipynb").write_text("the instructor's")
    folder = exchange.lay(f"ana+ex04+{WHEN}+aa", timestamp_txt=WHEN)
    (folder / "ex04.ipynb").symlink_to(secret / "ex04.ipynb")
    os.mkfifo(folder / "other.ipynb")
    assert exchange.collect() == ["ana/ex04/timestamp.txt"]
    (exchange.inbound / f"ana+ex04+{LATER}+bb").symlink_to(secret)
    assert exchange.collect() == ["ana/ex04/timestamp.txt"]
    assert "it is no folder" in exchange.left()[0]


def test_a_folder_that_cannot_be_opened_stops_nobody(exchange: Exchange, monkeypatch: pytest.MonkeyPatch) -> None:
    """As if a student had taken the right to read it away, between the look and the copy."""
    exchange.lay(f"ana+ex04+{WHEN}+aa", ex04_ipynb="hers")
    real = os.open

    def refused(path: Any, *more: Any, **named: Any) -> int:
        if str(path).endswith("+aa"):
            raise PermissionError(13, "Permission denied")
        return real(path, *more, **named)

    monkeypatch.setattr(os, "open", refused)
    assert exchange.collect() == []
    assert "Permission denied" in exchange.left()[0]
