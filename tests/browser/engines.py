"""Two further browser engines, spoken to in their own protocols with the standard library alone.

Firefox: the Marionette protocol, JSON with its length before it over TCP. WebKitGTK: W3C WebDriver
over HTTP by WebKitWebDriver, under a screen of its own (xvfb-run). Neither can be told to go
offline: a test stops the server instead.
"""

from __future__ import annotations

import json
import os
import shutil
import signal
import socket
import subprocess
import time
import urllib.error
import urllib.request
from pathlib import Path
from typing import Any, Final, Protocol

from tests.support.serving import free_port

MINI_BROWSER: Final = "/usr/lib/{}-linux-gnu/webkit2gtk-4.1/MiniBrowser"
STARTS_WITHIN_S: Final = 60.0
SCRIPT_MS: Final = 30_000


class Engine(Protocol):
    """A browser with one page."""

    def go(self, url: str) -> None:
        """Load an address."""

    def run(self, body: str, *words: object) -> Any:
        """Run the body of an async function in the page; `arguments` are the words."""

    def close(self) -> None:
        """End the browser."""


def find_firefox() -> str | None:
    """Return the system's Firefox."""
    return shutil.which("firefox-esr") or shutil.which("firefox")


def find_webkit() -> str | None:
    """Return WebKitGTK's small browser, if its driver and a screen to run on are here too."""
    tools = ("WebKitWebDriver", "xvfb-run", "dbus-run-session")
    found = Path(MINI_BROWSER.format(os.uname().machine))
    return str(found) if found.is_file() and all(map(shutil.which, tools)) else None


def _spawn(words: list[str], log: Path, env: dict[str, str]) -> subprocess.Popen[bytes]:
    with log.open("wb") as out:
        return subprocess.Popen(
            words, stdout=out, stderr=out, env={**os.environ, **env}, start_new_session=True
        )


def _end(process: subprocess.Popen[bytes]) -> None:
    """End a browser with everything that it started: it leads a process group of its own."""
    for sign in (signal.SIGTERM, signal.SIGKILL):
        try:
            os.killpg(process.pid, sign)
        except ProcessLookupError:
            break
        time.sleep(0.5)
    process.wait(10)


def _wrapped(body: str) -> str:
    """Return a script that answers through the last argument, as async scripts of WebDriver do."""
    return (
        "const done = arguments[arguments.length - 1];"
        f"(async function () {{ {body} }}).apply(null, arguments)"
        ".then((value) => done({ value }), (error) => done({ error: String(error) }));"
    )


def _unwrapped(answer: Any) -> Any:
    assert "error" not in answer, answer["error"]
    return answer.get("value")


class Firefox:
    """Firefox by Marionette."""

    def __init__(self, path: str, folder: Path) -> None:
        port = free_port()
        profile = folder / "firefox"
        profile.mkdir()
        prefs = {"marionette.port": port, "app.update.enabled": False}
        lines = [
            f"user_pref({json.dumps(key)}, {json.dumps(value)});" for key, value in prefs.items()
        ]
        (profile / "user.js").write_text("\n".join(lines), encoding="utf-8")
        words = [path, "--headless", "--marionette", "--no-remote", "--profile", str(profile)]
        self.process = _spawn(words, folder / "firefox.log", {"HOME": str(folder)})
        self.number = 0
        self.wire = self._connect(port)
        self._read()  # it greets first
        self._ask("WebDriver:NewSession", {"capabilities": {"alwaysMatch": {}}})
        self._ask("WebDriver:SetTimeouts", {"script": SCRIPT_MS})

    def _connect(self, port: int) -> socket.socket:
        end = time.monotonic() + STARTS_WITHIN_S
        while True:
            try:
                return socket.create_connection(("127.0.0.1", port), timeout=60)
            except OSError:
                assert time.monotonic() < end, "expected Firefox to listen within a minute"
                time.sleep(0.2)

    def _read(self) -> Any:
        length = b""
        while not length.endswith(b":"):
            length += self._some(1)
        return json.loads(self._some(int(length[:-1])))

    def _some(self, count: int) -> bytes:
        got = b""
        while len(got) < count:
            part = self.wire.recv(count - len(got))
            assert part, "expected more from Firefox, it hung up"
            got += part
        return got

    def _ask(self, name: str, words: dict[str, Any]) -> Any:
        self.number += 1
        text = json.dumps([0, self.number, name, words]).encode()
        self.wire.sendall(str(len(text)).encode() + b":" + text)
        _kind, number, error, result = self._read()
        assert number == self.number
        assert error is None, error
        return result

    def go(self, url: str) -> None:
        """Load an address; never `refresh`, which goes past the service worker."""
        self._ask("WebDriver:Navigate", {"url": url})

    def run(self, body: str, *words: object) -> Any:
        """Run the body of an async function in the page itself, not in a sandbox beside it."""
        script = {"script": _wrapped(body), "args": list(words), "sandbox": None}
        return _unwrapped(self._ask("WebDriver:ExecuteAsyncScript", script)["value"])

    def close(self) -> None:
        """End the browser."""
        self.wire.close()
        _end(self.process)


class WebKit:
    """WebKitGTK's small browser by its WebDriver."""

    def __init__(self, path: str, folder: Path) -> None:
        self.at = f"http://127.0.0.1:{(port := free_port())}"
        words = ["xvfb-run", "-a", "dbus-run-session", "--", "WebKitWebDriver", f"--port={port}"]
        self.process = _spawn(words, folder / "webkit.log", {"HOME": str(folder)})
        wanted = {"webkitgtk:browserOptions": {"binary": path, "args": ["--automation"]}}
        self.session = ""
        made = self._when_up({"capabilities": {"alwaysMatch": wanted}})
        self.session = f"/session/{made['sessionId']}"
        self._ask("/timeouts", {"script": SCRIPT_MS})

    def _when_up(self, body: dict[str, Any]) -> Any:
        end = time.monotonic() + STARTS_WITHIN_S
        while True:
            try:
                return self._ask("/session", body)
            except (ConnectionError, urllib.error.URLError):
                assert time.monotonic() < end, "expected WebKitWebDriver within a minute"
                time.sleep(0.2)

    def _ask(self, path: str, body: dict[str, Any] | None, method: str = "POST") -> Any:
        data = None if body is None else json.dumps(body).encode()
        request = urllib.request.Request(
            self.at + self.session + path,
            data=data,
            method=method,
            headers={"Content-Type": "application/json"},
        )
        with urllib.request.urlopen(request, timeout=90) as answer:
            return json.load(answer)["value"]

    def go(self, url: str) -> None:
        """Load an address."""
        self._ask("/url", {"url": url})

    def run(self, body: str, *words: object) -> Any:
        """Run the body of an async function in the page."""
        script = {"script": _wrapped(body), "args": list(words)}
        return _unwrapped(self._ask("/execute/async", script))

    def close(self) -> None:
        """End the browser and its screen."""
        try:
            self._ask("", None, "DELETE")
        finally:
            _end(self.process)
