"""What a hostile notebook tries: each succeeds in a plain process and fails behind the wall; the next is unharmed.

Each sets `got` to True where it succeeded.
"""

from __future__ import annotations

import ctypes
import os
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from controlkit.classroom.confined.job import Variable
from controlkit.classroom.confined.run import Confined
from tests.classroom.walled import HONEST, in_plain_process, job, protection, values, walled

pytestmark = pytest.mark.sandbox

SECRET = "GRADES OF THE CLASS"

_TRY = "got = False\ntry:\n{}\nexcept Exception:\n    pass"


def tried(text: str) -> str:
    """A cell in which an error is a failure of the attack."""
    return _TRY.format("\n".join(f"    {line}" for line in text.strip().splitlines()))


KEYS = "reads a key that the session keeps"
ATTACKS = {
    "reads a file of the class": "got = 'GRADES' in open({secret!r}).read()",
    "lists the folder of the class": "import os\ngot = bool(os.listdir(os.path.dirname({secret!r})))",
    "looks for the class everywhere": (
        "import os\n"
        "roots = [os.path.dirname(os.path.dirname({secret!r})), '/home', '/scratch', '/kit', '/packages']\n"
        "got = any('gradebook.db' in files for root in roots for _, folders, files in os.walk(root))"
    ),
    "reads the environment": "import os\ngot = os.environ.get('CLASS_SECRET') == 'tamarind'",
    "reads the environment of another process": (
        "got = any(b'tamarind' in open(f'/proc/{{n}}/environ', 'rb').read() for n in ('self', {parent}))"
    ),
    "reads who has an account": "got = 'root' in open('/etc/passwd').read()",
    "lists the home folder": "import os\ngot = bool(os.listdir({home!r}))",
    "reads the checkout": "import os\ngot = os.path.exists({checkout!r})",
    "calls a server on this machine": (
        "import socket\nsocket.create_connection(('127.0.0.1', {port}), timeout=2).close()\ngot = True"
    ),
    "calls a server by a hidden name": (
        "import socket\none = socket.socket(socket.AF_UNIX)\none.connect({hidden!r})\ngot = True"
    ),
    "starts forty processes": (
        "import os, time\n"
        "children = []\n"
        "try:\n"
        "    for _ in range(40):\n"
        "        child = os.fork()\n"
        "        if not child:\n"
        "            time.sleep(20); os._exit(0)\n"
        "        children.append(child)\n"
        "    got = True\n"
        "finally:\n"
        "    for child in children:\n"
        "        os.kill(child, 9); os.waitpid(child, 0)"
    ),
    "starts sixty threads": (
        "import threading\n"
        "wait = threading.Event()\n"
        "for _ in range(60):\n"
        "    threading.Thread(target=wait.wait, daemon=True).start()\n"
        "got = True"
    ),
    "takes three gigabytes": "import mmap\nbig = mmap.mmap(-1, 3 << 30)\ngot = True",
    "writes a file of 64 MB": (
        "import tempfile\n"
        "with tempfile.TemporaryFile() as file:\n"
        "    for _ in range(64):\n"
        "        file.write(bytes(1 << 20))\n"
        "    file.flush()\n"
        "    got = True"
    ),
    "fills the disk with files": (
        "import tempfile\n"
        "with tempfile.TemporaryDirectory() as folder:\n"
        "    for number in range(40):\n"
        "        open(f'{{folder}}/{{number}}', 'wb').write(bytes(1 << 20))\n"
        "    got = True"
    ),
    "keeps many files open": "import tempfile\nfiles = [tempfile.TemporaryFile() for _ in range(500)]\ngot = True",
    "looks into another process": (
        "import ctypes\n"
        "libc = ctypes.CDLL(None)\n"
        "libc.ptrace.argtypes = [ctypes.c_long] * 2 + [ctypes.c_void_p] * 2\n"
        "got = libc.ptrace(16, {sibling}, None, None) == 0"
    ),
    "ends another process": "import os\nos.kill({victim}, 15)\ngot = True",
    "sees other processes": "import os\ngot = any(name.isdigit() and int(name) > 50 for name in os.listdir('/proc'))",
    KEYS: "import ctypes\ngot = ctypes.CDLL(None).syscall({asks_key}, b'user', b'controlkit', None, 0) > 0",
    "speaks to every number of a process": (
        "import os\n"
        "def there(number):\n"
        "    try:\n"
        "        os.kill(number, 0)\n"
        "    except ProcessLookupError:\n"
        "        return False\n"
        "    except PermissionError:\n"
        "        return True\n"
        "    return True\n"
        "got = sum(there(number) for number in range(1, 4000)) > 3"
    ),
}


@contextmanager
def targets(folder: Path, home: Path) -> Iterator[dict[str, Any]]:
    """What an attack aims at: a class folder, a home, servers, processes of this machine."""
    (folder / "gradebook.db").write_text(SECRET, encoding="utf-8")
    (home / "diary").write_text("private", encoding="utf-8")
    adds, asks, joins = {"x86_64": (248, 249, 250)}.get(os.uname().machine, (217, 218, 219))
    libc = ctypes.CDLL(None)
    libc.syscall(joins, 1, None)
    keeps = libc.syscall(adds, b"user", b"controlkit", b"secret", 6, -3) > 0
    hidden = f"\0controlkit-{os.getpid()}"
    with socket.create_server(("127.0.0.1", 0)) as listener, socket.socket(socket.AF_UNIX) as unnamed:
        unnamed.bind(hidden)
        unnamed.listen(8)
        threading.Thread(target=_accept, args=(listener,), daemon=True).start()
        others = [subprocess.Popen(["sleep", "600"]) for _ in range(2)]
        yield {
            "secret": str(folder / "gradebook.db"),
            "home": str(home),
            "checkout": str(Path(__file__).parents[2] / "solutions"),
            "port": listener.getsockname()[1],
            "hidden": hidden,
            "parent": os.getpid(),
            "asks_key": asks,
            "keeps_keys": keeps,
            "sibling": others[0].pid,
            "victim": others[1].pid,
        }
        for one in others:
            one.kill()
            one.wait()


@pytest.fixture(scope="module")
def target(tmp_path_factory: pytest.TempPathFactory) -> Iterator[dict[str, Any]]:
    with targets(tmp_path_factory.mktemp("class"), tmp_path_factory.mktemp("home")) as found:
        yield found


def _accept(listener: socket.socket) -> None:
    while True:
        try:
            listener.accept()[0].close()
        except OSError:
            return


@pytest.fixture(scope="module")
def behind_wall(target: dict[str, Any]) -> dict[str, Any]:
    """What came of every attack behind the wall, each followed by an honest notebook; one worker serves all."""
    os.environ["CLASS_SECRET"] = "tamarind"
    try:
        here, jobs = walled(), []
        for name, attack in ATTACKS.items():
            jobs += [job(name, tried(attack.format(**target))), job(f"after: {name}", HONEST)]
        return {came.student: came for came in here.run("ex04", jobs)}
    finally:
        del os.environ["CLASS_SECRET"]


@pytest.mark.parametrize("name", ATTACKS)
def test_an_attack_fails_behind_the_wall_and_harms_nobody(
    name: str, behind_wall: dict[str, Any], target: dict[str, Any]
) -> None:
    assert values(behind_wall[name]) == {"got": False}, behind_wall[name]
    assert values(behind_wall[f"after: {name}"]) == {"got": 20.0}


@pytest.mark.parametrize("name", ATTACKS)
def test_the_same_attack_succeeds_in_a_plain_process(name: str, target: dict[str, Any]) -> None:
    protection()
    if name == KEYS and not target["keeps_keys"]:
        pytest.skip("this system keeps no keys")
    attack = tried(ATTACKS[name].format(**target))
    assert in_plain_process(attack, CLASS_SECRET="tamarind") is True


# --- What goes on too long, takes too much, or ends too early ------------------------------------------------------


ENDLESS = {
    "a loop": "while True:\n    pass",
    "a loop that catches everything": (
        "while True:\n    try:\n        while True:\n            pass\n    except BaseException:\n        pass"
    ),
    "a sleep with every signal held back": (
        "import signal, time\n"
        "signal.pthread_sigmask(signal.SIG_BLOCK, set(range(1, 60)) - {9, 19, 32, 33})\n"
        "time.sleep(600)"
    ),
    "a library's endless step": "import re\nre.fullmatch('(a|a)*b', 'a' * 60)",
    "a child that holds the pipe": "import os, time\nif not os.fork():\n    time.sleep(600)\ntime.sleep(600)",
}


def test_what_never_ends_is_ended_and_the_rest_goes_on() -> None:
    here, jobs = walled(seconds=1.5, workers=2), []
    for name, cell in ENDLESS.items():
        jobs += [
            replace(job(name, "first = 1", cell), asked=(Variable("first", 1), Variable("got", 2))),
            job(f"after {name}", HONEST),
        ]
    begun = time.monotonic()
    found = {came.student: came for came in here.run("ex04", jobs)}
    assert time.monotonic() - begun < 40
    for name in ENDLESS:
        assert values(found[name]) == {"first": 1}
        assert "do not come to an end within 1.5 s" in found[name].why
        assert "do not come to an end" in found[name].answers["got"].why
        assert values(found[f"after {name}"]) == {"got": 20.0}


@pytest.mark.parametrize("name", ENDLESS)
def test_it_would_go_on_in_a_plain_process(name: str) -> None:
    protection()
    done = subprocess.Popen([sys.executable, "-c", ENDLESS[name]], start_new_session=True)
    with pytest.raises(subprocess.TimeoutExpired):
        done.wait(2.0)
    os.killpg(done.pid, 9)
    done.wait()


DAEMON = """
import os
if not os.fork():
    os.setsid()
    if not os.fork():
        os.execv("/bin/sleep", ["sleep", "{seconds}"])
    os._exit(0)
os.wait()
got = True
"""


def _asleep(seconds: str) -> list[int]:
    """Processes of this machine that sleep for so long."""
    found = []
    for one in Path("/proc").iterdir():
        if one.name.isdigit():
            try:
                words = (one / "cmdline").read_bytes().split(b"\0")
            except OSError:
                continue
            if words[:2] == [b"sleep", seconds.encode()]:
                found.append(int(one.name))
    return found


def test_a_daemon_does_not_outlive_its_notebook() -> None:
    inside, outside = f"700.{os.getpid()}1", f"700.{os.getpid()}2"
    seen = []
    jobs = [job("daemon", DAEMON.format(seconds=inside)), job("next", HONEST), job("last", HONEST)]
    for came in walled().run("ex04", jobs):
        seen.append(_asleep(inside))
        assert came.answers["got"].how == "ran"
    assert seen[1:] == [[], []]  # the wall still stands; the namespace of the first notebook does not
    assert in_plain_process(DAEMON.format(seconds=outside)) is True
    left = _asleep(outside)
    assert len(left) == 1
    os.kill(left[0], 9)


BOMB = """
import os, time
for _ in range(5):
    if not os.fork():
        big = bytearray(b"x") * (600 << 20)
        time.sleep(20)
        os._exit(0)
time.sleep(20)
got = True
"""


def test_many_processes_together_cannot_take_the_memory_of_the_machine() -> None:
    first, second = list(walled().run("ex04", [job("bomb", BOMB), job("next", HONEST)]))
    assert "more memory than there is for one notebook" in first.why
    assert first.answers["got"].how == "failed"
    assert values(second) == {"got": 20.0}


ENDS = {
    "os._exit": "import os\nos._exit(0)",
    "a signal": "import os\nos.kill(os.getpid(), 9)\nos.abort()",
    "a crash": "import ctypes\nctypes.string_at(0)",
    "every process in sight": "import os\ntry:\n    os.kill(-1, 9)\nfinally:\n    os._exit(1)",
    "its parent": "import os\ntry:\n    os.kill(os.getppid() or 2, 9)\nfinally:\n    os._exit(1)",
    "its output": "import os\nos.closerange(0, 200)",
    "its pipe, with another in its place": "import os\nos.dup2(os.open('/dev/null', os.O_WRONLY), 3)",
}


def test_a_notebook_that_ends_itself_loses_only_its_own_answers() -> None:
    jobs = []
    for name, cell in ENDS.items():
        jobs += [
            replace(job(name, "first = 1", cell), asked=(Variable("first", 1), Variable("got", 2))),
            job(f"after {name}", HONEST),
        ]
    found = {came.student: came for came in walled().run("ex04", jobs)}
    for name in ENDS:
        assert found[name].why, name
        assert found[name].answers["got"].how == "failed"
        assert found[name].answers["got"].value is ...
        assert values(found[f"after {name}"]) == {"got": 20.0}


def test_ends_that_are_caught_cost_nothing() -> None:
    cells = (
        "import sys, atexit, signal\natexit.register(print, 'x' * 10_000_000)\nsys.exit(3)",
        "raise KeyboardInterrupt",
        "raise GeneratorExit",
        "for number in range(200_000):\n    print('x' * 1000)",
        "import sys\nsys.stdout.close()\nsys.stderr = None\nprint('lost')",
        HONEST,
    )
    (came,) = walled().run("ex04", [job("ends", *cells)])
    assert values(came) == {"got": 20.0}
    assert came.why == ""


# --- What one notebook leaves behind for the next ------------------------------------------------------------------


LEAVES = """
import os, sys, types, builtins, json, ctypes, multiprocessing.shared_memory as shared
for place in ("/scratch", "/tmp", "/dev/shm", "/kit", "/packages", "/dev", "/", "/proc"):
    try:
        open(f"{place}/left-behind", "w").write("left behind")
    except OSError:
        pass
import numpy, controlkit.checking.judging as judging
numpy.pi = 3
judging.judge = None
json.dumps = builtins.len = lambda *_, **__: "[]"
sys.modules["left_behind"] = types.ModuleType("left_behind")
os.environ["LEFT"] = "behind"
ctypes.CDLL(None).shmget(4711, 4096, 0o1666)
marker = "left" + "-in-memory-" + "4711"
got = 1.0
"""

FINDS = """
import os, sys, gc, json, ctypes, numpy, controlkit.checking.judging as judging
places = ("/scratch", "/tmp", "/dev/shm", "/kit", "/packages", "/dev", "/", "/proc")
found = [place for place in places if os.path.exists(f"{place}/left-behind")]
found += ["numpy"] * (numpy.pi == 3) + ["judge"] * (judging.judge is None) + ["len"] * (len("abc") != 3)
found += ["module"] * ("left_behind" in sys.modules) + ["environment"] * ("LEFT" in os.environ)
found += ["shared memory"] * (ctypes.CDLL(None).shmget(4711, 4096, 0o666) >= 0)
texts = (one for one in gc.get_referents(*gc.get_objects()) if type(one) is str)
found += ["memory"] * any("".join(("left-", "in-", "memory")) in one for one in texts)
got = found
"""


def test_nothing_of_one_notebook_is_seen_by_the_next() -> None:
    first, second = walled().run("ex04", [job("leaves", LEAVES), job("finds", FINDS)])
    assert first.answers["got"].how == "failed"
    assert values(second) == {"got": []}


PUTS_BACK = """
json.dumps, builtins.len = kept
libc = ctypes.CDLL(None)
libc.shmctl(libc.shmget(4711, 4096, 0o666), 0, None)
for place in found:
    if os.path.exists(f"{place}/left-behind"):
        os.remove(f"{place}/left-behind")
"""


def test_in_one_plain_process_it_would_be() -> None:
    protection()
    keeps = "import json, builtins\nkept = json.dumps, len"
    found = in_plain_process("\n".join((keeps, LEAVES, FINDS, PUTS_BACK)))
    expected = {"/tmp", "/dev/shm", "numpy", "judge", "len", "module", "environment", "shared memory", "memory"}
    assert expected <= set(found)


# --- Rights --------------------------------------------------------------------------------------------------------


RIGHTS = """
import ctypes, os, sys
libc = ctypes.CDLL(None, use_errno=True)
got = []
for place in (sys.executable, os.path.__file__, "/packages/controlkit/__init__.py", "/usr/bin/env", "/dev/null"):
    try:
        open(place, "r+b").close()
        got += [place] * (place != "/dev/null")
    except OSError:
        pass
for name, code in (
    ("user namespace", lambda: libc.unshare(0x10000000)),
    ("mounts", lambda: libc.unshare(0x00020000)),
    ("unmount", lambda: libc.umount2(b"/proc", 2)),
    ("mount", lambda: libc.mount(b"tmpfs", b"/scratch", b"tmpfs", 0, None)),
    ("remount", lambda: libc.mount(b"none", b"/", None, 0x1000 | 32, None)),
    ("root", lambda: libc.setuid(0)),
    ("new root", lambda: libc.chroot(b"/scratch")),
    ("host name", lambda: libc.sethostname(b"mine", 4)),
    ("more processes", lambda: libc.setrlimit(6, (ctypes.c_ulong * 2)(4000, 4000))),
    ("clock", lambda: libc.settimeofday((ctypes.c_long * 2)(0, 0), None)),
    ("device", lambda: libc.mknod(b"/scratch/disk", 0o60666, 0x0800)),
):
    if code() == 0:
        got.append(name)
"""


def test_a_notebook_has_no_rights_to_give_itself_more() -> None:
    found = protection()
    (came,) = walled().run("ex04", [job("rights", RIGHTS)])
    allowed = set() if found.mode == "apart" else {"user namespace"}
    assert set(values(came)["got"]) <= allowed


def test_the_same_holds_where_each_notebook_has_a_wall_of_its_own(target: dict[str, Any]) -> None:
    found = protection()
    here = Confined(mode="once", words="", bubblewrap=found.bubblewrap, workers=2, seconds=10.0)
    names = [
        "reads a file of the class",
        "calls a server on this machine",
        "starts forty processes",
        "sees other processes",
    ]
    jobs = [job(name, tried(ATTACKS[name].format(**target))) for name in names[:3]]
    jobs += [job("ends", ENDS["every process in sight"]), job("next", HONEST)]
    came = {one.student: one for one in here.run("ex04", jobs)}
    assert [values(came[name]) for name in names[:3]] == [{"got": False}] * 3
    assert came["ends"].answers["got"].how == "failed"
    assert values(came["next"]) == {"got": 20.0}
