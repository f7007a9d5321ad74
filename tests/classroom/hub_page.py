"""The page on a class on a hub, taken at its word: its files and commands, with what is a reader's own put in place."""

from __future__ import annotations

import os
import re
import shutil
import socket
import ssl
import subprocess
import sys
import tempfile
import threading
from collections.abc import Callable, Iterator, Mapping
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path

import psutil

from tests.checking.hands import ROOT

PAGE = ROOT / "solutions" / "hub.md"
INSTALL = "as root: install"
STUDENTS = ("ana", "bo", "cy")
TEACHER, OUTSIDER = "teacher", "outsider"
PASSWORDS = "first-passwords.txt"

_BLOCK = re.compile(r"```(\w+)\n(.*?)```", re.DOTALL)
_FILE = re.compile(r"`(/etc/[^`]+)`[^`\n]*:\n\n```\w+\n(.*?)```", re.DOTALL)


def needs() -> list[str]:
    """What is missing on this machine for a hub with accounts of its own."""
    programs = ("configurable-http-proxy", "useradd", "groupadd", "chpasswd", "unshare", "openssl", "prlimit", "node")
    missing = [f"the program {one}" for one in programs if shutil.which(one) is None]
    if not sys.platform.startswith("linux") or os.geteuid() != 0:
        missing.append("the rights of root, on Linux, to make accounts")
    if not Path(sys.executable).with_name("jupyterhub").is_file():
        missing.append("jupyterhub in this environment")
    return missing


@dataclass(frozen=True)
class Words:
    """What the page prints, with what is yours to set replaced by what this test sets: the one place for both."""

    place: Path
    page: str
    mark: str = f"ck{os.getpid()}"
    ports: tuple[int, int, int] = field(default_factory=lambda: (_free_port(), _free_port(), _free_port()))

    @property
    def address(self) -> str:
        return f"https://127.0.0.1:{self.ports[0]}"

    @property
    def settings(self) -> dict[str, str]:
        accounts = {one: f"{self.mark}{one}" for one in (TEACHER, *STUDENTS, OUTSIDER)}
        groups = {one: f"{self.mark}{one[4:]}" for one in ("kit-instructors", "kit-students")}
        folders = {
            "/etc/jupyterhub": self.place / "configured",
            "/etc/jupyterhub/hub.crt": self.place / "hub.crt",
            "/etc/jupyterhub/hub.key": self.place / "hub.key",
            "/srv/course": self.place / "course",
            "/srv/controlkit": sys.prefix,
            "/srv/hub": self.place / "hub",
            "/srv/exchange": self.place / "exchange",
        }
        addresses = {
            "https://:443": self.address,
            "http://127.0.0.1:8081": f"http://127.0.0.1:{self.ports[1]}",
            "http://127.0.0.1:8001": f"http://127.0.0.1:{self.ports[2]}",
        }
        return {**accounts, **groups, **{name: str(one) for name, one in folders.items()}, **addresses}

    def put(self, text: str) -> str:
        """A text of the page with every word that is yours to set replaced, whole words only, the longest first."""
        longest = sorted(self.settings, key=len, reverse=True)
        words = re.compile(rf"(?<![\w-])(?:{'|'.join(map(re.escape, longest))})(?![\w-])")
        return words.sub(lambda found: self.settings[found[0]], text)

    def account(self, name: str) -> str:
        return self.settings[name]

    def files(self) -> dict[Path, str]:
        """Every file that the page prints, and where it goes."""
        return {Path(self.put(path)): self.put(text) for path, text in _FILE.findall(self.page)}

    def commands(self, who: str) -> list[str]:
        """The lines of one block of commands, by its first line."""
        (block,) = (text for _, text in _BLOCK.findall(self.page) if text.startswith(f"# {who}\n"))
        return self.put(block).splitlines()[1:]

    def roster(self) -> str:
        (table,) = (text for kind, text in _BLOCK.findall(self.page) if kind == "csv")
        return self.put(table)


def every_block_is_used(page: str) -> list[str]:
    """First lines of the blocks that are neither a file, nor the roster, nor commands."""
    filed = {text for _, text in _FILE.findall(page)}
    blocks = [text for kind, text in _BLOCK.findall(page) if text not in filed and kind != "csv"]
    return [text.splitlines()[0] for text in blocks]


def _free_port() -> int:
    with socket.create_server(("127.0.0.1", 0)) as one:
        return int(one.getsockname()[1])


@dataclass
class Hub:
    """A hub that runs.

    Attributes
    ----------
    words : Words
        The page, and what was set
    passwords : dict
        By name as on the page
    log : list of str
        What the hub said
    """

    words: Words
    passwords: dict[str, str]
    log: list[str] = field(default_factory=list)

    @property
    def trusted(self) -> ssl.SSLContext:
        return ssl.create_default_context(cafile=str(self.words.place / "hub.crt"))


@contextmanager
def running() -> Iterator[Hub]:
    """Make accounts, folders and files as the page says, and start the hub; leave nothing behind."""
    with ExitStack() as after:
        place = Path(tempfile.mkdtemp(prefix="hub-"))
        after.callback(shutil.rmtree, place, ignore_errors=True)
        place.chmod(0o755)
        words = Words(place, PAGE.read_text(encoding="utf-8"))
        shutil.copytree(ROOT / "solutions", place / "course" / "solutions")
        after.callback(_remove_accounts, words)
        _as_root(words.commands("as root: accounts and folders"), place)
        _as_root([f"useradd --create-home {words.account(OUTSIDER)}"], place)
        for path, text in words.files().items():
            if path.name != "jupyterhub.service":
                path.write_text(text, encoding="utf-8")
                path.chmod(0o644)
        passwords = {one: f"{one}-{os.urandom(9).hex()}" for one in (TEACHER, *STUDENTS, OUTSIDER)}
        first = "".join(f"{words.account(one)}:{said}\n" for one, said in passwords.items())
        (place / PASSWORDS).write_text(first, encoding="utf-8")
        _as_root(words.commands("as root: first passwords"), place)
        assert not (place / PASSWORDS).exists()
        named = ["-subj", "/CN=127.0.0.1", "-addext", "subjectAltName=IP:127.0.0.1", "-days", "2"]
        key = ["-newkey", "rsa:2048", "-nodes", "-keyout", place / "hub.key", "-out", place / "hub.crt"]
        subprocess.run(["openssl", "req", "-x509", *key, *named], check=True, capture_output=True)
        hub = Hub(words, passwords)
        after.enter_context(_started(hub))
        yield hub


def _as_root(lines: list[str], place: Path) -> None:
    done = subprocess.run(
        ["bash", "-eu"], input="\n".join(lines), cwd=place, text=True, capture_output=True, check=False
    )
    assert done.returncode == 0, done.stderr


@contextmanager
def _started(hub: Hub) -> Iterator[None]:
    """Start what the unit of the page starts, where it starts it; go on once the hub says that it runs."""
    (unit,) = (text for path, text in hub.words.files().items() if path.name == "jupyterhub.service")
    said = dict(re.findall(r"^(\w+)=(.+)$", unit, re.MULTILINE))
    path = said["Environment"].removeprefix("PATH=")
    proxy = shutil.which("configurable-http-proxy")
    assert proxy
    beside = os.pathsep.join((path, str(Path(proxy).parent), str(Path(shutil.which("node") or "").parent)))
    seen = [Path(sys.prefix), Path(sys.base_prefix), Path(proxy).resolve().parents[1]]
    script = "\n".join([*_opened(seen, hub.words.place / "stage"), f"exec {said['ExecStart']}"])
    process = subprocess.Popen(
        ["unshare", "--mount", "--propagation", "private", "bash", "-euc", script],
        cwd=said["WorkingDirectory"],
        env={"PATH": beside},
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )
    ready = threading.Event()

    def listen() -> None:
        assert process.stdout
        for line in process.stdout:
            hub.log.append(line.rstrip())
            if "JupyterHub is now running" in line:
                ready.set()
        ready.set()

    listener = threading.Thread(target=listen, daemon=True)
    listener.start()
    try:
        assert ready.wait(180), "\n".join(hub.log)
        assert process.poll() is None, "\n".join(hub.log)
        yield
    finally:
        family = psutil.Process(process.pid).children(recursive=True) if process.poll() is None else []
        process.terminate()
        try:
            process.wait(60)
        except subprocess.TimeoutExpired:
            process.kill()
        for one in family:
            _end(one.kill)
        listener.join(10)
        if process.stdout:
            process.stdout.close()


def _opened(seen: list[Path], stage: Path) -> list[str]:
    """Commands that let everybody reach this Python, for the hub alone, where it lies in a folder that is root's own.

    On a server it does not. Where nothing has to be opened, there are none.
    """
    closed: dict[Path, list[Path]] = {}
    for one in dict.fromkeys(seen):
        above = [path for path in (*reversed(one.parents), one) if not path.stat().st_mode & 0o001]
        if above:
            closed.setdefault(above[0], []).append(one)
    lines = []
    for number, (folder, inside) in enumerate(closed.items()):
        kept = [stage / f"{number}-{place}" for place in range(len(inside))]
        for one, there in zip(inside, kept, strict=True):
            lines += [f"mkdir -p '{there}'", f"mount --rbind '{one}' '{there}'"]
        lines.append(f"mount -t tmpfs -o mode=755 tmpfs '{folder}'")
        for one, there in zip(inside, kept, strict=True):
            lines += [f"mkdir -p '{one}'", f"mount --rbind '{there}' '{one}'"]
    return lines


def _remove_accounts(words: Words) -> None:
    """End what still runs as one of the accounts, and remove them with their homes, and the groups."""
    numbers: Mapping[str, int] = {one: _number(words.account(one)) for one in (TEACHER, *STUDENTS, OUTSIDER)}
    there = {number for number in numbers.values() if number > 0}
    for process in psutil.process_iter():
        _end(lambda one=process: one.kill() if one.uids().real in there else None)
    for name, number in numbers.items():
        if number > 0:
            subprocess.run(["userdel", "--remove", words.account(name)], check=False, capture_output=True)
    for group in ("kit-instructors", "kit-students"):
        subprocess.run(["groupdel", words.settings[group]], check=False, capture_output=True)


def _end(how: Callable[[], object]) -> None:
    with suppress(psutil.Error):
        how()


def _number(account: str) -> int:
    import pwd

    try:
        return pwd.getpwnam(account).pw_uid
    except KeyError:
        return -1
