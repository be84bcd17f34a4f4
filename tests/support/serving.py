"""A real server process for tests: the serve command, on a free port; it may be killed or frozen.

Started again it goes on with the same data on the same port.
"""

from __future__ import annotations

import contextlib
import os
import re
import signal
import socket
import ssl
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Final, Self

from server.settings import ROOT
from tests.support.forked import Forked, serve_forked

START_SECONDS: Final = 300
STOP_SECONDS: Final = 20


def free_port() -> int:
    """Return a port that is free just now."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def held(port: int) -> bool:
    """Return whether somebody listens on a port."""
    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind(("127.0.0.1", port))
        except OSError:
            return True
        return False


def trusting(authority: Path) -> ssl.SSLContext:
    """Return what trusts one authority and no other."""
    trusted = ssl.create_default_context(cafile=str(authority))
    trusted.verify_flags &= ~ssl.VERIFY_X509_STRICT
    return trusted


class Server:
    """One `python3 server serve` and its folder; `words` are further words of the command.

    `variables`: on top of this process's own environment, such as ROWCALL_CLIENT.
    `fresh`: as an owner starts it, loading everything; else a copy of what is loaded already.
    """

    def __init__(
        self,
        folder: Path,
        *words: str,
        port: int | None = None,
        variables: Mapping[str, str] | None = None,
        fresh: bool = False,
    ) -> None:
        self.folder = folder
        self.port = port or free_port()
        self.tls = "--inner-tls" in words
        self.url = f"{'https://localhost' if self.tls else 'http://127.0.0.1'}:{self.port}"
        self.log = folder / f"serve-{self.port}.log"
        self._words, self._variables, self._fresh = words, dict(variables or {}), fresh
        self._process: subprocess.Popen[bytes] | Forked | None = None

    @property
    def process(self) -> subprocess.Popen[bytes] | Forked:
        """Return the process that was started last."""
        assert self._process is not None, "expected a server that was started"
        return self._process

    @property
    def alive(self) -> bool:
        return self._process is not None and self._process.poll() is None

    def start(self) -> Self:
        """Start it and wait until it answers."""
        self.folder.mkdir(parents=True, exist_ok=True)
        words = ["serve", "--data", str(self.folder), "--port", str(self.port), *self._words]
        environment = {**os.environ, "PYTHONPATH": str(ROOT), **self._variables}
        self.log.touch()
        if not self._fresh:
            self._process = serve_forked(words, self.log, environment)
        else:
            command = [sys.executable, "-P", "-m", "server.cli", *words]
            with self.log.open("ab") as out:
                self._process = subprocess.Popen(
                    command, env=environment, stdout=out, stderr=out, start_new_session=True
                )
        self.wait()
        return self

    def wait(self) -> None:
        """Wait until it answers."""
        deadline = time.monotonic() + START_SECONDS
        while True:
            try:
                trusted = trusting(self.folder / "tls-inside/authority.crt") if self.tls else None
                urllib.request.urlopen(f"{self.url}/healthz", timeout=2, context=trusted).close()
            except (urllib.error.URLError, OSError):
                ended = not self.alive or time.monotonic() > deadline
                assert not ended, f"expected an answer of /healthz, got\n{self.words()[-2000:]}"
                time.sleep(0.05)
            else:
                return

    def words(self) -> str:
        """Return everything that it printed so far."""
        return self.log.read_text(encoding="utf-8", errors="replace")

    def kill(self) -> None:
        """Kill -9 of the whole of it: no goodbye, no flush."""
        if not self.alive:
            return
        self._send_all(signal.SIGKILL)
        self.process.wait()
        # Its workers may die a moment later; until then they hold the port.
        deadline = time.monotonic() + 5
        while held(self.port) and time.monotonic() < deadline:
            time.sleep(0.01)

    def freeze(self) -> None:
        """Let it accept connections and never answer, as a bad network does."""
        self._send_all(signal.SIGSTOP)

    def thaw(self) -> None:
        """Let it go on."""
        self._send_all(signal.SIGCONT)

    def stop(self) -> float:
        """Tell it to stop as a service manager does; return the seconds it took."""
        begun = time.monotonic()
        if self.alive:
            self.process.terminate()
            try:
                self.process.wait(timeout=STOP_SECONDS)
            except subprocess.TimeoutExpired:
                self.kill()
                raise
        return time.monotonic() - begun

    def _send_all(self, number: signal.Signals) -> None:
        """Signal it and whatever it started."""
        with contextlib.suppress(ProcessLookupError):
            os.killpg(self.process.pid, number)

    @property
    def join_code(self) -> str:
        """Return the demo show's join code, as printed for the crew."""
        return self._said(r"/join#([0-9A-Za-z-]{8,})", "a join link")

    @property
    def pin(self) -> str:
        """Return the demo chief's PIN, as printed."""
        return self._said(r"PIN\D{0,40}?(\d{4,})", "the chief's PIN")

    def _said(self, pattern: str, what: str) -> str:
        found = re.search(pattern, self.words())
        assert found is not None, f"expected {what} in what it prints, got\n{self.words()[-2000:]}"
        return found[1]


def code_of(data: Path, database: str = "") -> str:
    """Return the join code, as a process of the server's own reads it."""
    script = (
        "import sys, server; from pathlib import Path; from server.settings import Settings\n"
        "app = server.create_app(Settings(data=Path(sys.argv[1]), database=sys.argv[2]))\n"
        "with app.app_context(): print(server.ports_of(app).shows.show('demo').join_code)"
    )
    words = [sys.executable, "-P", "-c", script, str(data), database]
    done = subprocess.run(
        words, env={"PYTHONPATH": str(ROOT)}, capture_output=True, text=True, check=True
    )
    return done.stdout.strip()


@contextmanager
def serving(data: Path, *words: str, port: int | None = None) -> Iterator[Server]:
    """Yield a running server, stopped afterwards whatever happens."""
    server = Server(data, *words, port=port)
    try:
        yield server.start()
    finally:
        server.kill()
