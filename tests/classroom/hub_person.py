"""One person on a hub, as her browser has her: logged in by the form, with her server, notebooks, kernel, terminal."""

from __future__ import annotations

import json
import re
import uuid
from contextlib import closing
from dataclasses import dataclass, field
from typing import Any

import requests
import websocket

from tests.classroom.hub_page import Hub

COURSE = "controlkit"
_PATIENCE = 240
_COLOURS = re.compile(r"\x1b\[[0-9;?]*[A-Za-z]|\x1b[\]>=()][^\x07\x1b]*\x07?")


@dataclass
class Person:
    """Somebody with an account.

    Attributes
    ----------
    hub : Hub
        The hub
    name : str
        As on the page
    """

    hub: Hub
    name: str
    _web: requests.Session = field(default_factory=requests.Session)
    _kernel: str = ""
    _terminal: Any = None

    @property
    def account(self) -> str:
        return self.hub.words.account(self.name)

    @property
    def server(self) -> str:
        return f"{self.hub.words.address}/user/{self.account}"

    def log_in(self, password: str | None = None) -> int:
        """Fill in the form; what the hub answers."""
        self._web.trust_env = False  # no proxy, and no certificates but the hub's own
        self._web.verify = str(self.hub.words.place / "hub.crt")
        form = f"{self.hub.words.address}/hub/login"
        asked = self._web.get(form, timeout=_PATIENCE)
        (token,) = set(re.findall(r'name="_xsrf"\s+value="([^"]+)"', asked.text))
        filled = {"username": self.account, "password": password or self.hub.passwords[self.name], "_xsrf": token}
        return self._web.post(form, data=filled, allow_redirects=False, timeout=_PATIENCE).status_code

    def close(self) -> None:
        """Close what is open to the hub."""
        self._web.close()
        if self._terminal is not None:
            self._terminal.close()

    def start(self) -> None:
        """Have the server started, open JupyterLab in it, and go on with a token of one's own, as a program does."""
        there = f"{self.hub.words.address}/hub/api/users/{self.account}"
        home = self._web.get(f"{self.hub.words.address}/hub/home", timeout=_PATIENCE)
        (token,) = set(re.findall(r'xsrf_token: "([^"]+)"', home.text))
        said = {"X-XSRFToken": token, "Referer": f"{self.hub.words.address}/hub/home"}
        asked = self._web.post(f"{there}/tokens", json={"note": "test"}, headers=said, timeout=_PATIENCE)
        assert asked.status_code == 201, asked.text
        own = {"Authorization": f"token {asked.json()['token']}"}
        started = self._web.post(f"{there}/server", headers={**said, **own}, timeout=_PATIENCE)
        assert started.status_code in (201, 202), started.text
        with self._web.get(f"{there}/server/progress", headers=own, stream=True, timeout=_PATIENCE) as told:
            steps = [json.loads(line[5:]) for line in told.iter_lines() if line.startswith(b"data:")]
        assert steps[-1].get("ready"), steps
        lab = self._web.get(f"{self.server}/lab", timeout=_PATIENCE)
        assert lab.status_code == 200, lab.text
        assert "jupyter-config-data" in lab.text, "JupyterLab opens for who logged in by the form"
        self._web.cookies.clear()
        self._web.headers.update(own)

    def ask(self, path: str, how: str = "GET", **more: Any) -> requests.Response:
        return self._web.request(how, f"{self.server}/{path}", timeout=_PATIENCE, **more)

    def visit(self, address: str) -> int:
        """Try any address of the hub as oneself; what it answers."""
        return self._web.get(address, timeout=_PATIENCE).status_code

    def api(self, path: str, how: str = "GET", **more: Any) -> Any:
        """An answer of the own server, as data."""
        answer = self.ask(path, how, **more)
        assert answer.ok, f"{how} {path}: {answer.status_code} {answer.text[:2000]}"
        return answer.json() if answer.text else None

    def assignments(self, action: str, exercise: str) -> list[dict[str, Any]]:
        """What the list of assignments does when one of its buttons is pressed."""
        asked = {"course_id": COURSE, "assignment_id": exercise}
        done = self.api(f"assignments/{action}", "POST", json=asked)
        assert done["success"], done["value"]
        found: list[dict[str, Any]] = done["value"]
        return found

    def read(self, path: str) -> Any:
        return self.api(f"api/contents/{path}")["content"]

    def write(self, path: str, content: Any, kind: str = "notebook") -> None:
        form = "json" if kind == "notebook" else "text"
        self.api(f"api/contents/{path}", "PUT", json={"type": kind, "format": form, "content": content})

    def run(self, code: str, folder: str = "") -> str:
        """Run a cell in the own kernel, which begins in a folder of the home; what it printed."""
        if not self._kernel:
            self._kernel = self.api("api/kernels", "POST", json={"name": "python3", "path": folder})["id"]
        head = {"msg_id": uuid.uuid4().hex, "msg_type": "execute_request", "username": "", "session": uuid.uuid4().hex}
        asked = {"code": code, "silent": False, "store_history": False, "allow_stdin": False}
        out = []
        with closing(self._socket(f"api/kernels/{self._kernel}/channels")) as line:
            message = {"header": head, "parent_header": {}, "metadata": {}, "content": asked, "channel": "shell"}
            line.send(json.dumps(message))
            while True:
                said = json.loads(line.recv())
                if said["parent_header"].get("msg_id") != head["msg_id"]:
                    continue
                content = said["content"]
                if said["msg_type"] == "stream":
                    out.append(content["text"])
                elif said["msg_type"] == "error":
                    raise AssertionError("\n".join(content["traceback"]))
                elif said["msg_type"] == "status" and content["execution_state"] == "idle":
                    return "".join(out)

    def type(self, line: str) -> str:
        """Type a line in the own terminal; what it says until it is done, which must be without an error."""
        if self._terminal is None:
            name = self.api("api/terminals", "POST")["name"]
            self._terminal = self._socket(f"terminals/websocket/{name}")
            self._terminal.send(json.dumps(["set_size", 50, 500]))
        said = ""
        self._terminal.send(json.dumps(["stdin", f"{line}; echo DO''NE $?\r"]))
        while not (done := re.search(r"DONE (\d+)\r?\n", said)):
            kind, *rest = json.loads(self._terminal.recv())
            said += _COLOURS.sub("", rest[0]) if kind == "stdout" else ""
        assert done[1] == "0", said
        return said

    def _socket(self, path: str) -> websocket.WebSocket:
        return websocket.create_connection(
            f"{self.server.replace('https:', 'wss:')}/{path}",
            header={"Authorization": str(self._web.headers["Authorization"])},
            sslopt={"context": self.hub.trusted},
            timeout=_PATIENCE,
        )
