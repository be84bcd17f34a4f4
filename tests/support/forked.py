"""The serve command in a copy of a process that has loaded it already: a tenth of a start.

Loading the server takes seconds of a processor, and the tests start it some hundred times. The
copies come from Python's own fork server (https://docs.python.org/3/library/multiprocessing.html,
"Contexts and start methods"): it runs one thread, so that nothing is lost in a copy.
"""

from __future__ import annotations

import multiprocessing
import os
import signal
import subprocess
import sys
from collections.abc import Mapping, Sequence
from multiprocessing.context import ForkServerProcess
from pathlib import Path
from typing import Final

from server.settings import ROOT

# All that a server has loaded when it answers; nothing that starts threads, as the solver does.
LOADED: Final = (
    "tests.support.forked",
    "server.cli",
    "server.commands.serve",
    "server.commands.demo",
    "server.commands.intake",
    "server.api.wiring",
    "alembic.command",
    "gunicorn.app.wsgiapp",
)


class Forked:
    """A process that `serve_forked` started, with what `subprocess.Popen` offers of it."""

    def __init__(self, process: ForkServerProcess) -> None:
        assert process.pid is not None, "expected a process that was started"
        self._process, self.pid = process, process.pid

    def poll(self) -> int | None:
        """Return how it ended, None while it runs."""
        return self._process.exitcode

    def wait(self, timeout: float | None = None) -> int:
        """Wait until it ends and return how; TimeoutExpired when that takes longer."""
        self._process.join(timeout)
        if self._process.exitcode is None:
            raise subprocess.TimeoutExpired("serve", timeout or 0.0)
        return self._process.exitcode

    def send_signal(self, number: signal.Signals) -> None:
        """Signal it alone."""
        if self.poll() is None:
            os.kill(self.pid, number)

    def terminate(self) -> None:
        """Tell it to stop as a service manager does."""
        self.send_signal(signal.SIGTERM)


def serve_forked(words: Sequence[str], log: Path, environment: Mapping[str, str]) -> Forked:
    """Start `server.cli` with these words in a session of its own, its output added to `log`."""
    context = multiprocessing.get_context("forkserver")
    context.set_forkserver_preload(list(LOADED))
    before = Path.cwd()
    os.chdir(ROOT)  # the fork server finds the packages there
    try:
        # Ended with the tests, whatever became of the test that started it.
        process = context.Process(
            target=_become, args=(list(words), str(log), dict(environment)), daemon=True
        )
        process.start()
    finally:
        os.chdir(before)
    return Forked(process)


def _become(words: list[str], log: str, environment: dict[str, str]) -> None:
    """Be the command from here on, in the copy."""
    os.setsid()
    out = os.open(log, os.O_WRONLY | os.O_APPEND | os.O_CREAT)
    os.dup2(out, 1)
    os.dup2(out, 2)
    os.close(out)
    os.environ.clear()
    os.environ.update(environment)
    sys.argv = ["rowcall", *words]
    from server.cli import main

    sys.exit(main(words))
