"""A real server process for tests: the serve command, on a free port, stopped at the end."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from server.settings import ROOT

START_SECONDS: Final = 60


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


class Server:
    """One `python3 server serve`; `kill` is kill -9 of the whole of it."""

    def __init__(self, data: Path, *words: str, port: int | None = None) -> None:
        self.port = port or free_port()
        self.url = f"http://127.0.0.1:{self.port}"
        self.log = data / f"serve-{self.port}.log"
        data.mkdir(parents=True, exist_ok=True)
        command = [sys.executable, "-P", "-m", "server.cli", "serve", "--data", str(data),
                   "--port", str(self.port), *words]  # fmt: skip
        environment = {**os.environ, "PYTHONPATH": str(ROOT)}
        with self.log.open("ab") as out:
            self.process = subprocess.Popen(
                command, env=environment, stdout=out, stderr=out, start_new_session=True
            )
        self.wait()

    def wait(self) -> None:
        """Wait until it answers."""
        deadline = time.monotonic() + START_SECONDS
        while True:
            try:
                urllib.request.urlopen(f"{self.url}/healthz", timeout=2).close()
            except (urllib.error.URLError, OSError):
                ended = self.process.poll() is not None or time.monotonic() > deadline
                assert not ended, self.log.read_text(encoding="utf-8")[-2000:]
                time.sleep(0.05)
            else:
                return

    def kill(self) -> None:
        """Kill -9: no goodbye, no flush."""
        os.killpg(self.process.pid, signal.SIGKILL)
        self.process.wait()
        # Its workers may die a moment later; until then they hold the port.
        deadline = time.monotonic() + 5
        while held(self.port) and time.monotonic() < deadline:
            time.sleep(0.01)

    def stop(self) -> float:
        """Tell it to stop as a service manager does; return the seconds it took."""
        begun = time.monotonic()
        if self.process.poll() is None:
            self.process.terminate()
            try:
                self.process.wait(timeout=20)
            except subprocess.TimeoutExpired:
                self.kill()
                raise
        return time.monotonic() - begun


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
        yield server
    finally:
        if server.process.poll() is None:
            server.kill()
