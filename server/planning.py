"""Starts the planner's worker in a process of its own, so that planning never slows a phone."""

from __future__ import annotations

import os
import subprocess
import sys
import threading

from server.settings import ROOT, Settings


class PlannerStarter:
    """Keeps at most one worker of this process running; the worker leaves when the queue is empty.

    On PostgreSQL the workers of all processes take from one queue, each job by one worker only.
    """

    def __init__(self, settings: Settings) -> None:
        self._settings = settings
        self._lock = threading.Lock()
        self._worker: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        """Make sure that a worker looks at the queue; returns at once."""
        if not self._settings.planner:
            return
        with self._lock:
            if self._worker is not None and self._worker.poll() is None:
                return
            environment = {**os.environ, **self._settings.environment(), "PYTHONPATH": str(ROOT)}
            self._worker = subprocess.Popen(
                [sys.executable, "-P", "-m", "server.commands.planner"],
                env=environment,
                stdin=subprocess.DEVNULL,
            )
