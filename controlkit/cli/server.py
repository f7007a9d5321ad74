"""One quiet JupyterLab for one work folder: own settings, loopback only, nothing fetched from outside.

Settings, logs and the note of the running server lie in the work folder's `.controlkit/jupyter`.
The person's other Jupyter settings are neither read nor changed.
"""

from __future__ import annotations

import contextlib
import errno
import json
import os
import secrets
import signal
import socket
import sys
import threading
import urllib.error
import urllib.request
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from types import FrameType
from typing import TYPE_CHECKING

from controlkit.cli import kernel
from controlkit.cli.browser import open_page
from controlkit.cli.trouble import Trouble
from controlkit.cli.workfolder import OWN_FOLDER

if TYPE_CHECKING:
    from jupyter_server.serverapp import ServerApp

__all__ = ["Running", "free_port", "running_for", "serve"]

_LOOPBACK = "127.0.0.1"
_FIRST_PORT = 8888
_PORTS = 20
# No question about news, no look for updates: the box would cover the picture, and nothing is fetched.
# Long lines of a written answer, which stands in a code cell, stay in view.
_CALM = {
    "@jupyterlab/apputils-extension:notification": {"fetchNews": "false", "checkForUpdates": False},
    "@jupyterlab/notebook-extension:tracker": {"codeCellConfig": {"lineNumbers": False, "lineWrap": True}},
}


@dataclass(frozen=True)
class Running:
    """
    A running server.

    Parameters
    ----------
    url : str
        Address of the server, ending in a slash.
    token : str
        What the address must carry to be let in.
    """

    url: str
    token: str

    def page(self, path: str) -> str:
        """
        Give the address of one notebook, shown on its own page.

        Parameters
        ----------
        path : str
            Path of the notebook in the work folder.

        Returns
        -------
        str
            The whole address.
        """
        return f"{self.url}doc/tree/{path}?token={self.token}"


def _own(folder: Path) -> Path:
    return folder / OWN_FOLDER / "jupyter"


def _use_own_settings(folder: Path) -> None:
    """Point Jupyter, for this process and its kernels, at the work folder's own settings."""
    own = _own(folder)
    for variable, name in (
        ("JUPYTER_CONFIG_DIR", "config"),
        ("JUPYTER_DATA_DIR", "data"),
        ("JUPYTER_RUNTIME_DIR", "runtime"),
        ("IPYTHONDIR", "ipython"),
    ):
        (own / name).mkdir(parents=True, exist_ok=True)
        os.environ[variable] = str(own / name)
    os.environ["JUPYTER_PREFER_ENV_PATH"] = "1"  # the kernel of this environment, not of another
    os.environ["PYDEVD_DISABLE_FILE_VALIDATION"] = "1"  # a debugger's warning that would worry a student
    calm = own / "config" / "labconfig" / "default_setting_overrides.json"
    calm.parent.mkdir(exist_ok=True)
    calm.write_text(json.dumps(_CALM, indent=1), encoding="utf-8")
    profile = own / "ipython" / "profile_default"
    profile.mkdir(exist_ok=True)
    (profile / "ipython_kernel_config.py").write_text(kernel.CONFIG, encoding="utf-8")


def running_for(folder: Path) -> Running | None:
    """
    Find a server that already runs for a work folder.

    Parameters
    ----------
    folder : Path
        The work folder, resolved.

    Returns
    -------
    Running or None
        The server, if one answers.
    """
    from jupyter_server.serverapp import list_running_servers

    for info in list_running_servers(str(_own(folder) / "runtime")):
        found = Running(url=info["url"], token=info["token"])
        if Path(info["root_dir"]) == folder and _answers(found):
            return found
    return None


def _answers(running: Running) -> bool:
    asked = urllib.request.Request(f"{running.url}api/status", headers={"Authorization": f"token {running.token}"})
    direct = urllib.request.build_opener(urllib.request.ProxyHandler({}))
    try:
        with direct.open(asked, timeout=5) as answer:
            return bool(answer.status == 200)
    except (urllib.error.URLError, OSError):
        return False


def free_port(wanted: int | None) -> int:
    """
    Choose the port to listen at.

    Parameters
    ----------
    wanted : int or None
        Exactly this one, or any.

    Returns
    -------
    int
        A port that is free now.

    Raises
    ------
    Trouble
        If the wanted port is no port, not allowed, or taken.
    """
    if wanted is not None and not 1 <= wanted <= 65535:
        raise Trouble(f"{wanted} is not a port.", "Give a number from 1024 to 65535, or leave --port out.")
    for port in [wanted] if wanted is not None else [*range(_FIRST_PORT, _FIRST_PORT + _PORTS), 0]:
        with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as trial:
            if os.name == "posix":  # as the server itself does: a port just left is free
                trial.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            try:
                trial.bind((_LOOPBACK, port))
            except OSError as error:
                if wanted is not None:
                    raise _port_trouble(wanted, error) from error
                continue
            return int(trial.getsockname()[1])
    raise Trouble(
        "No port is free on this machine.",
        "Close other programs that serve pages, such as other notebooks, and start again.",
    )


def _port_trouble(port: int, error: OSError) -> Trouble:
    why = "is used by another program" if error.errno == errno.EADDRINUSE else "may not be used here"
    return Trouble(
        f"Port {port} {why}.", "Leave --port out and a free one is found, or give another number from 1024 to 65535."
    )


def serve(folder: Path, page: str, *, port: int | None, browser: bool) -> int:
    """
    Serve a work folder until it is stopped.

    Parameters
    ----------
    folder : Path
        The work folder, resolved.
    page : str
        Path of the page to open first.
    port : int or None
        Exactly this port, or a free one.
    browser : bool
        Whether to open a browser.

    Returns
    -------
    int
        0 once it was stopped.

    Raises
    ------
    Trouble
        If the port cannot be had.
    """
    chosen = free_port(port)
    _use_own_settings(folder)
    token = secrets.token_urlsafe(24)
    log = _own(folder) / "server.log"
    with _stderr_to(log):
        try:
            # another program may take the chosen port meanwhile: unless it must be this one, the server looks on
            lab = _prepare_server(folder, chosen, token, others=_PORTS if port is None else 0)
        except SystemExit as error:
            raise Trouble(
                "JupyterLab did not start.", f"What it said lies in {log}. Run: controlkit selfcheck"
            ) from error
        if port is None and lab.port != _FIRST_PORT:
            print(f"Port {_FIRST_PORT} is used by another program, so port {lab.port} is taken.")
        address = Running(url=f"http://{_LOOPBACK}:{lab.port}/", token=token).page(page)
        announcing = threading.Thread(target=_announce, args=(address, browser), daemon=True)
        lab.io_loop.add_callback(announcing.start)  # behind the server's own first step, which is to listen
        _stop_cleanly_on_signals(lab)
        lab.start()
    print(f"\nStopped. Your work is in {folder}")
    return 0


@contextlib.contextmanager
def _stderr_to(log: Path) -> Iterator[None]:
    """Send what libraries and kernels have to say to a file; it would worry a student."""
    sys.stderr.flush()
    terminal = os.dup(2)
    with log.open("wb") as written:
        os.dup2(written.fileno(), 2)
    try:
        yield
    finally:
        sys.stderr.flush()
        os.dup2(terminal, 2)
        os.close(terminal)


def _announce(address: str, browser: bool) -> None:
    open_page(address, browser=browser)
    print("To stop: save your work, then press Ctrl-C here.", flush=True)


def _prepare_server(folder: Path, port: int, token: str, *, others: int) -> ServerApp:
    import zmq
    from jupyterlab.labapp import LabApp

    prepared: ServerApp = LabApp.initialize_server(
        argv=[
            f"--ServerApp.ip={_LOOPBACK}",
            f"--ServerApp.port={port}",
            f"--ServerApp.port_retries={others}",
            f"--ServerApp.root_dir={folder}",
            f"--ServerApp.preferred_dir={folder}",
            f"--IdentityProvider.token={token}",
            "--ServerApp.open_browser=False",
            "--ServerApp.allow_root=True",  # containers; the address is loopback and needs the token
            "--ServerApp.log_level=WARN",
            # what a cell says to its kernel stays private on a shared machine, where the library can do it
            f"--KernelManager.transport_encryption={'auto' if zmq.has('curve') else 'disabled'}",
            "--ServerApp.kernel_websocket_connection_class=controlkit.cli.websocket.PromptConnection",
            "--LanguageServerManager.autodetect=False",  # looks for other programs, and leaves traces at home
            "--LabApp.news_url=None",
            "--LabApp.check_for_updates_class=jupyterlab.NeverCheckForUpdate",
            "--LabApp.extension_manager=readonly",
        ]
    )
    return prepared


def _stop_cleanly_on_signals(lab: ServerApp) -> None:
    """Stop server and kernels on Ctrl-C, on a closed terminal and on a polite kill; a second Ctrl-C is rude."""

    def stop(_number: int, _frame: FrameType | None) -> None:
        signal.signal(signal.SIGINT, signal.default_int_handler)
        lab.stop(from_signal=True)

    for name in ("SIGINT", "SIGTERM", "SIGHUP"):
        if hasattr(signal, name):
            signal.signal(getattr(signal, name), stop)
