"""`controlkit start` for real: one quiet server on the loopback address, found again, stopped cleanly."""

from __future__ import annotations

import contextlib
import json
import os
import re
import signal
import socket
import subprocess
import sys
import urllib.error
import urllib.request
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import psutil
import pytest

ROOT = Path(__file__).resolve().parents[2]


def command(home: Path, *words: str) -> dict[str, Any]:
    """Say how to run the command with a home folder of its own."""
    kept = {name: value for name, value in os.environ.items() if not name.startswith(("JUPYTER", "IPYTHON", "PYTEST"))}
    return {
        "args": [sys.executable, "-m", "controlkit", *words],
        "env": {**kept, "HOME": str(home), "PYTHONPATH": str(ROOT), "PYTHONUNBUFFERED": "1"},
        "cwd": home,
        "stdin": subprocess.DEVNULL,
        "text": True,
    }


@dataclass
class Course:
    """A running course, and what it printed until it was ready."""

    process: subprocess.Popen[str]
    home: Path
    said: str

    @property
    def address(self) -> str:
        found = re.search(r"http://\S+", self.said)
        assert found, self.said
        return found[0]

    def ask(self, path: str, data: bytes | None = None) -> Any:
        server, token = self.address.split("doc/tree")[0], self.address.split("token=")[1]
        request = urllib.request.Request(server + path, data=data, headers={"Authorization": f"token {token}"})
        with urllib.request.urlopen(request, timeout=60) as answer:
            return json.loads(answer.read())


@contextlib.contextmanager
def launched(home: Path, *words: str) -> Iterator[Course]:
    """Start the course, wait until it says that it is ready, and leave nothing running."""
    process = subprocess.Popen(**command(home, "start", *words), stdout=subprocess.PIPE, stderr=subprocess.STDOUT)
    assert process.stdout is not None
    said = ""
    try:
        for line in process.stdout:
            said += line
            if "Ctrl-C" in line:
                break
        else:
            pytest.fail(f"the course did not start; it said:\n{said}")
        yield Course(process, home, said)
    finally:
        process.kill()
        process.communicate()


@pytest.fixture(scope="module")
def course(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Course]:
    with launched(tmp_path_factory.mktemp("home"), "--no-browser") as running:
        yield running


def test_it_lays_out_the_default_folder_and_says_so(course: Course) -> None:
    assert (course.home / "my-course" / "course" / "index.ipynb").is_file()
    assert f"Your work folder: {(course.home / 'my-course').resolve()}" in course.said


def test_it_is_quiet(course: Course) -> None:
    """Work folder, how many files, address (two lines), how to stop; nothing from a library."""
    own_words = ("Your work folder", "  ", "The course is open at", "To stop", "Port 8888 is used")
    assert [line for line in course.said.splitlines() if not line.startswith(own_words)] == []


def test_the_start_page_answers_there(course: Course) -> None:
    with urllib.request.urlopen(course.address, timeout=60) as page:
        assert page.status == 200
        assert "/doc/tree/course/index.ipynb" in page.url
    assert course.ask("api/contents/course/index.ipynb?content=0")["type"] == "notebook"


def test_without_the_token_nobody_gets_in(course: Course) -> None:
    server = course.address.split("doc/tree")[0]
    with pytest.raises(urllib.error.HTTPError) as caught:
        urllib.request.urlopen(f"{server}api/contents", timeout=60)
    caught.value.close()
    assert caught.value.code == 403


def test_only_this_machine_can_reach_it(course: Course) -> None:
    listening = [c for c in psutil.Process(course.process.pid).net_connections() if c.status == psutil.CONN_LISTEN]
    assert listening
    assert {c.laddr.ip for c in listening} == {"127.0.0.1"}


def test_no_question_about_news_and_no_look_for_updates(course: Course) -> None:
    setting = course.ask("lab/api/settings/@jupyterlab/apputils-extension:notification")
    assert setting["schema"]["properties"]["fetchNews"]["default"] == "false"
    assert setting["schema"]["properties"]["checkForUpdates"]["default"] is False


def test_a_second_start_finds_the_first(course: Course) -> None:
    again = subprocess.run(**command(course.home, "start", "--no-browser"), capture_output=True, timeout=120)
    assert again.returncode == 0, again.stderr
    assert "already running for this folder" in again.stdout
    assert course.address in again.stdout


def test_settings_of_the_person_are_left_alone(course: Course) -> None:
    """Nothing is written to the home folder but the work folder (and caches)."""
    assert {place.name for place in course.home.iterdir()} <= {"my-course", ".cache"}


# In the place of "your address is": be the page, and look at the server's end of the connection from inside.
ASK_FOR_A_KERNEL = """
import json, os, signal, socket, sys, urllib.request
import psutil, websocket
from controlkit.cli import main, server

def look(address, browser):
    start, token = address.split("doc/tree")[0], {"Authorization": "token " + address.split("token=")[1]}
    with urllib.request.urlopen(urllib.request.Request(start + "api/kernels", b"{}", token)) as answer:
        kernel = json.load(answer)["id"]
    way = start.replace("http", "ws", 1) + f"api/kernels/{kernel}/channels"
    page = websocket.create_connection(way, header=token, timeout=60)
    page.recv()  # the kernel has said something: all is connected
    own = page.sock.getsockname()
    (number,) = [c.fd for c in psutil.Process().net_connections() if tuple(c.raddr) == own]
    with socket.socket(fileno=os.dup(number)) as end:
        print("sent at once:", bool(end.getsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY)), flush=True)
    page.close()
    os.kill(os.getpid(), signal.SIGTERM)

server._announce = look
sys.exit(main(["start", "--no-browser"]))
"""


def test_what_a_kernel_says_is_sent_at_once(tmp_path: Path) -> None:
    """The socket between a page and its kernel does not hold a message back until it has more to send."""
    running = command(tmp_path)
    running["args"] = [sys.executable, "-c", ASK_FOR_A_KERNEL]
    said = subprocess.run(**running, capture_output=True, timeout=120)
    assert "sent at once: True" in said.stdout, said


@pytest.mark.parametrize("how", ["SIGINT", "SIGTERM"])
def test_it_stops_cleanly_and_takes_its_kernels_along(tmp_path: Path, how: str) -> None:
    with launched(tmp_path, "elsewhere", "--no-browser") as running:
        running.ask("api/kernels", data=b"{}")
        kernels = psutil.Process(running.process.pid).children(recursive=True)
        assert kernels
        running.process.send_signal(getattr(signal, how))
        rest, _ = running.process.communicate(timeout=60)
    assert running.process.returncode == 0, rest
    assert rest.strip() == f"Stopped. Your work is in {(tmp_path / 'elsewhere').resolve()}"
    assert psutil.wait_procs(kernels, timeout=30)[1] == []


def test_after_a_crash_the_folder_can_be_started_again(tmp_path: Path) -> None:
    with launched(tmp_path, "--no-browser"):
        pass  # killed, not stopped: its note stays behind
    assert list((tmp_path / "my-course" / ".controlkit" / "jupyter" / "runtime").glob("jpserver-*.json"))
    with launched(tmp_path, "--no-browser") as second:
        assert "already running" not in second.said


# Two start in the same second: what was free when one looked is taken when its server comes to listen.
TAKEN_MEANWHILE = """
import os, signal, socket, sys
from controlkit.cli import main, server

chosen = server.free_port(None)
other = socket.create_server(("127.0.0.1", chosen))

def look(address, browser):
    print("taken:", chosen, "open at:", address, flush=True)
    os.kill(os.getpid(), signal.SIGTERM)

server.free_port, server._announce = lambda wanted: chosen, look
sys.exit(main(["start", "--no-browser"]))
"""


def test_a_port_that_is_taken_meanwhile_stops_nobody(tmp_path: Path) -> None:
    running = command(tmp_path)
    running["args"] = [sys.executable, "-c", TAKEN_MEANWHILE]
    said = subprocess.run(**running, capture_output=True, timeout=120)
    found = re.search(r"taken: (\d+) open at: http://127\.0\.0\.1:(\d+)/", said.stdout)
    assert found, said
    assert found[1] != found[2]
    assert f"so port {found[2]} is taken" in said.stdout


def test_a_taken_port_is_told_and_nothing_starts(tmp_path: Path) -> None:
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = other.getsockname()[1]
        told = subprocess.run(
            **command(tmp_path, "start", "--no-browser", "--port", str(port)), capture_output=True, timeout=120
        )
    assert told.returncode == 1
    assert f"Port {port} is used by another program." in told.stderr
    assert "Leave --port out" in told.stderr
    assert "Traceback" not in told.stderr


def test_on_a_hub_the_course_is_laid_out_and_no_second_server_started(tmp_path: Path) -> None:
    """The server of a hub runs already; another on this machine would not be reached from outside."""
    how = command(tmp_path, "start", "mine")
    how["env"]["JUPYTERHUB_SERVICE_PREFIX"] = "/user/ana/"
    done = subprocess.run(**how, capture_output=True, check=False, timeout=60)
    assert done.returncode == 0, done.stderr
    assert "open mine/course/index.ipynb in the list of files" in done.stdout
    assert (tmp_path / "mine" / "course" / "index.ipynb").is_file()
