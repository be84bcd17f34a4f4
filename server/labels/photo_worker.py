"""The parent's hold on one decoding process: start it, ask it, kill it when it takes too long."""

from __future__ import annotations

import contextlib
import json
import os
import signal
import subprocess
import sys
import threading
from pathlib import Path
from typing import IO, Any, Final, Literal

from server.labels.photo_header import Header
from server.labels.reading import Limits

_ROOT: Final = Path(__file__).parents[2]
# a process that passed its limit of processor time (signal(7)); other systems have no such limit
OUT_OF_EFFORT: Final = frozenset({-signal.SIGXCPU} if hasattr(signal, "SIGXCPU") else set[int]())
_PHOTOS_A_LIFE: Final = 200  # then the process is renewed, whatever memory its libraries kept


class WorkerGone(Exception):
    """The process ended before it answered: out of processor time, out of time, or by itself."""

    def __init__(self, why: Literal["effort", "time", "ended"]) -> None:
        super().__init__(f"decoding ended early: {why}")
        self.why = why


class PhotoWorker:
    """One process, asked one photo at a time."""

    def __init__(self, limits: Limits) -> None:
        # the libraries read these as they load: a bomb that slips by is stopped, threads are one
        bounds = {
            "OPENCV_IO_MAX_IMAGE_PIXELS": str(limits.pixels),
            "OMP_NUM_THREADS": "1",
            "OPENBLAS_NUM_THREADS": "1",
        }
        self._process = subprocess.Popen(  # noqa: S603  (our own module, no shell, no user text)
            [sys.executable, "-m", "server.labels.worker", str(limits.memory_bytes)],
            env=os.environ | bounds,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            cwd=_ROOT,
        )
        self._asked = 0
        self._ready = False

    @property
    def worn_out(self) -> bool:
        return self._asked >= _PHOTOS_A_LIFE or self._process.poll() is not None

    def ask(self, header: Header, data: bytes, limits: Limits, do: str) -> dict[str, Any]:
        """Send one photo and return the answer; WorkerGone when none comes in time."""
        request = {
            "do": do,
            "kind": header.kind,
            "width": header.width,
            "height": header.height,
            "cpu_seconds": limits.effort(header.width * header.height),
            "most_cpu_seconds": limits.most_cpu_seconds,
            "size": len(data),
        }
        self._asked += 1
        late = threading.Event()
        timer = threading.Timer(limits.wall_seconds, self._end, [late])
        timer.start()
        try:
            if not self._ready:
                self._ready = bool(self._line())
            stdin = self._pipe(self._process.stdin)
            stdin.write(json.dumps(request).encode() + b"\n")
            stdin.write(data)
            stdin.flush()
            answer: dict[str, Any] = json.loads(self._line())
        except (BrokenPipeError, ValueError) as trouble:
            raise WorkerGone("time" if late.is_set() else self._why()) from trouble
        finally:
            timer.cancel()
        return answer

    def _end(self, late: threading.Event) -> None:
        late.set()
        self._process.kill()

    def _why(self) -> Literal["effort", "ended"]:
        """Say whether the system ended the process for its processor time."""
        with contextlib.suppress(subprocess.TimeoutExpired):
            self._process.wait(1)
        return "effort" if self._process.returncode in OUT_OF_EFFORT else "ended"

    def _line(self) -> bytes:
        line = self._pipe(self._process.stdout).readline()
        if not line:
            raise BrokenPipeError
        return line

    @staticmethod
    def _pipe(pipe: IO[bytes] | None) -> IO[bytes]:
        assert pipe is not None
        return pipe

    def close(self) -> None:
        """End the process and wait until it is gone."""
        self._process.kill()
        for pipe in (self._process.stdin, self._process.stdout):
            with contextlib.suppress(OSError):
                self._pipe(pipe).close()
        self._process.wait()
