"""A real server on this machine, with the demo shop in a scratch folder; it may be killed."""

from __future__ import annotations

import os
import re
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from pathlib import Path
from typing import Final

ROOT: Final = Path(__file__).resolve().parents[2]
STARTS_WITHIN_S: Final = 60.0


def free_port() -> int:
    """Return a port that nobody listens on."""
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        port: int = found.getsockname()[1]
        return port


class Server:
    """One server process and its folder; started again it goes on with the same data."""

    def __init__(self, folder: Path, client: Path | None = None) -> None:
        self.folder, self.client = folder, client
        self.port = free_port()
        self.said = folder / "server.log"
        self.process: subprocess.Popen[bytes] | None = None

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def start(self) -> None:
        """Start it and wait until it answers."""
        words = [sys.executable, "-m", "server.cli", "serve", "--port", str(self.port)]
        words += ["--data", str(self.folder)]
        env = dict(os.environ)
        if self.client is not None:
            env["ROWCALL_CLIENT"] = str(self.client)
        with self.said.open("ab") as out:
            self.process = subprocess.Popen(
                words, cwd=ROOT, env=env, stdout=out, stderr=out, start_new_session=True
            )
        self._wait()

    def _wait(self) -> None:
        assert self.process is not None
        end = time.monotonic() + STARTS_WITHIN_S
        while time.monotonic() < end:
            if self.process.poll() is not None:
                break
            try:
                with urllib.request.urlopen(f"{self.url}/healthz", timeout=1):
                    return
            except (urllib.error.URLError, OSError):
                time.sleep(0.1)
        raise AssertionError(f"server: expected an answer of /healthz, got\n{self.words()[-2000:]}")

    def words(self) -> str:
        """Return everything that it printed so far."""
        return self.said.read_text(encoding="utf-8", errors="replace")

    def kill(self) -> None:
        """Kill it and its workers as a power cut would, without a chance to finish anything."""
        if self.process is not None and self.process.poll() is None:
            os.killpg(self.process.pid, signal.SIGKILL)
            self.process.wait(10)
        self.process = None

    def freeze(self) -> None:
        """Let it accept connections and never answer, as a bad network does."""
        assert self.process is not None
        os.killpg(self.process.pid, signal.SIGSTOP)

    def thaw(self) -> None:
        """Let it go on."""
        assert self.process is not None
        os.killpg(self.process.pid, signal.SIGCONT)

    def stop(self) -> None:
        """End it in an orderly way, by force if that takes long."""
        if self.process is not None and self.process.poll() is None:
            os.killpg(self.process.pid, signal.SIGTERM)
            try:
                self.process.wait(10)
            except subprocess.TimeoutExpired:
                self.kill()
        self.process = None

    @property
    def join_code(self) -> str:
        """Return the demo show's join code, as printed for the crew."""
        return _first(r"/join#([0-9A-Za-z-]{8,})", self.words(), "a join link")

    @property
    def pin(self) -> str:
        """Return the demo chief's PIN, as printed."""
        return _first(r"PIN\D{0,40}?(\d{4,})", self.words(), "the chief's PIN")


def _first(pattern: str, text: str, what: str) -> str:
    found = re.search(pattern, text)
    assert found is not None, f"server: expected {what} in what it prints, got\n{text[-2000:]}"
    return found[1]
