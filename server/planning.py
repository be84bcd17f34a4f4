"""Starts the planner's worker in a process of its own, so that planning never slows a phone."""

from __future__ import annotations

import os
import subprocess
import sys
import threading

from server.settings import ROOT, Settings

COMMAND = (sys.executable, "-P", "-m", "server.commands.planner")


class PlannerStarter:
    """Keeps at most one worker of this process running; the worker leaves when the queue is empty.

    On PostgreSQL the workers of all processes take from one queue, each job by one worker only.
    """

    def __init__(self, settings: Settings, command: tuple[str, ...] = COMMAND) -> None:
        self._settings, self._command = settings, command
        self._lock = threading.Lock()
        self._working = False
        self._asked = False

    def start(self) -> None:
        """Make sure that a worker looks at the queue; returns at once."""
        if not self._settings.planner:
            return
        with self._lock:
            self._asked = True
            if self._working:
                return  # it may be leaving just now: `_keep` looks again once it is gone
            self._working = True
        threading.Thread(target=self._keep, name="planner", daemon=True).start()

    def _keep(self) -> None:
        """Run workers until one has ended without anything asked meanwhile."""
        environment = {**os.environ, **self._settings.environment(), "PYTHONPATH": str(ROOT)}
        while self._take():
            try:
                subprocess.run(  # noqa: S603  (our own module, no shell, no user text)
                    self._command, env=environment, stdin=subprocess.DEVNULL, check=False
                )
            except OSError:
                with self._lock:
                    self._working = False
                raise

    def _take(self) -> bool:
        """Return whether a worker is asked for; else nobody works any more."""
        with self._lock:
            asked, self._asked = self._asked, False
            self._working = asked
            return asked
