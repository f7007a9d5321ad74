"""One JupyterLab server and one browser for all browser tests; nothing leaves the machine."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
import urllib.request
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest

from .labpage import LABS, open_labs

ROOT = Path(__file__).resolve().parents[2]
PROGRAMS = ("jupyterlab", "notebook7")
START = 60_000  # milliseconds within which a page, a kernel and a first picture must be there


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Everything here drives a browser. Labs take turns in both programs; with the long mark each is in both."""
    here = Path(__file__).parent
    for item in items:
        if here in item.path.parents:
            item.add_marker(pytest.mark.browser)
            asked = item.callspec.params if isinstance(item, pytest.Function) and hasattr(item, "callspec") else {}
            if {"gallery", "lab"} <= set(asked) and (
                PROGRAMS.index(asked["gallery"]) + list(LABS).index(asked["lab"])
            ) % 2:
                item.add_marker(pytest.mark.long)


def _missing(what: str) -> None:
    if os.environ.get("CI") == "true":
        pytest.fail(f"{what}, and CI must run the browser tests")
    pytest.skip(what)


@pytest.fixture(scope="package")
def chromium_path() -> str:
    """Where the system's Chromium is."""
    for name in ("chromium", "chromium-browser", "google-chrome"):
        found = shutil.which(name)
        if found:
            return found
    _missing("no Chromium on this machine")
    raise AssertionError


@dataclass
class Server:
    """A running course, the token that lets one in, and its work folder."""

    address: str
    token: str
    folder: Path


@pytest.fixture(scope="package")
def server(tmp_path_factory: pytest.TempPathFactory, chromium_path: str) -> Iterator[Server]:
    """The course as a person starts it: JupyterLab on the loopback address, Notebook 7 on the same server."""
    base = tmp_path_factory.mktemp("jupyter")
    folder = base / "work"
    _set_for_tests(folder / ".controlkit" / "jupyter" / "config")
    environment = {
        **os.environ,
        "PYTHONPATH": os.pathsep.join(filter(None, [str(ROOT), os.environ.get("PYTHONPATH", "")])),
        "PYTHONWARNINGS": "default",
        "PYTHONUNBUFFERED": "1",
    }
    command = [sys.executable, "-m", "controlkit", "start", str(folder), "--no-browser"]
    process = subprocess.Popen(
        command, env=environment, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, cwd=base, text=True
    )
    try:
        address, token = _address(process)
        yield Server(address, token, folder)
    finally:
        process.terminate()
        try:
            process.communicate(timeout=20)
        except subprocess.TimeoutExpired:
            process.kill()
            process.communicate()


def _set_for_tests(config: Path) -> None:
    """What the tests need and a person does not: pages that can be asked about themselves, and painted whole."""
    tracker = config / "lab" / "user-settings" / "@jupyterlab" / "notebook-extension"
    tracker.mkdir(parents=True)
    (tracker / "tracker.jupyterlab-settings").write_text(json.dumps({"windowingMode": "none"}))
    shown = {"expose_app_in_browser": True}
    told = {"LabApp": shown, "JupyterNotebookApp": shown}
    (config / "jupyter_server_config.json").write_text(json.dumps(told))


def _address(process: subprocess.Popen[str]) -> tuple[str, str]:
    """Read where the course is open, and the token, from what it prints when it is ready."""
    assert process.stdout is not None
    said = ""
    for line in process.stdout:
        said += line
        if "Ctrl-C" in line:
            found = re.search(r"(http://[^/]+)/\S*token=(\S+)", said)
            assert found, said
            return found[1], found[2]
    pytest.fail(f"the course did not start; it said:\n{said}")


@dataclass
class Watch:
    """What the browser tried to fetch from outside, and what went wrong in the page."""

    outside: list[str] = field(default_factory=list)
    errors: list[str] = field(default_factory=list)


@pytest.fixture(scope="package")
def browser(chromium_path: str) -> Iterator[Any]:
    """One headless browser for all."""
    playwright = pytest.importorskip("playwright.sync_api", reason="Playwright is not installed")
    arguments = [
        "--disable-background-networking", "--disable-component-update", "--disable-sync", "--no-first-run",
        "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1",
    ]  # fmt: skip
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        arguments.append("--no-sandbox")
    with playwright.sync_playwright() as play:
        opened = play.chromium.launch(executable_path=chromium_path, headless=True, args=arguments)
        yield opened
        opened.close()


@pytest.fixture
def watch() -> Watch:
    """The record of one test."""
    return Watch()


def _open_page(browser: Any, server: Server, watch: Watch) -> Any:
    """Open a page in a context of its own that may talk to the loopback address alone."""
    context = browser.new_context(viewport={"width": 1400, "height": 1000}, reduced_motion="reduce")
    context.grant_permissions(["clipboard-read", "clipboard-write"], origin=server.address)

    def judge(route: Any) -> None:
        address = urlsplit(route.request.url)
        if address.hostname in ("127.0.0.1", None) or address.scheme in ("data", "blob"):
            route.continue_()
        else:
            watch.outside.append(route.request.url)
            route.abort()

    context.route("**/*", judge)
    opened = context.new_page()
    # the widget's program lives in a blob; errors of the notebook programs themselves are foreign
    opened.on("pageerror", lambda error: watch.errors.append(str(error)) if "blob:" in (error.stack or "") else None)
    opened.set_default_timeout(START)
    return opened


@pytest.fixture
def page(browser: Any, server: Server, watch: Watch) -> Iterator[Any]:
    """A page of one test."""
    before = _sessions(server)
    opened = _open_page(browser, server, watch)
    yield opened
    opened.context.close()
    _stop_kernels(server, _sessions(server) - before)
    assert not watch.outside, f"requests that would have left the machine: {watch.outside}"


@dataclass
class Gallery:
    """All labs below each other in one notebook of one program, and what happened in the page."""

    program: str
    page: Any
    watch: Watch
    labs: dict[str, Any]


@pytest.fixture(scope="package")
def galleries(browser: Any, server: Server) -> Iterator[Callable[[str], Gallery]]:
    """Each program's notebook with all labs, opened when it is first asked for and kept: opening is what costs."""
    opened: dict[str, Gallery] = {}

    def gallery(program: str) -> Gallery:
        if program not in opened:
            watch = Watch()
            page = _open_page(browser, server, watch)
            opened[program] = Gallery(program, page, watch, open_labs(page, server, program))
        return opened[program]

    yield gallery
    for one in opened.values():
        one.page.context.close()
    _stop_kernels(server, _sessions(server))
    outside = [address for one in opened.values() for address in one.watch.outside]
    assert not outside, f"requests that would have left the machine: {outside}"


def _sessions(server: Server) -> set[str]:
    with urllib.request.urlopen(_request(server, "api/sessions")) as answer:
        return {session["id"] for session in json.load(answer)}


def _stop_kernels(server: Server, sessions: set[str]) -> None:
    """End kernels that a page has started."""
    for session in sessions:
        with urllib.request.urlopen(_request(server, f"api/sessions/{session}", method="DELETE")):
            pass


def _request(server: Server, path: str, method: str = "GET") -> urllib.request.Request:
    headers = {"Authorization": f"token {server.token}"}
    return urllib.request.Request(f"{server.address}/{path}", method=method, headers=headers)


@pytest.fixture(params=PROGRAMS)
def gallery(request: pytest.FixtureRequest, galleries: Callable[[str], Gallery]) -> Gallery:
    """All labs in one program."""
    return galleries(request.param)


@pytest.fixture(params=LABS)
def lab(request: pytest.FixtureRequest, gallery: Gallery) -> Any:
    """One of them, as it starts."""
    return gallery.labs[request.param].begin()
