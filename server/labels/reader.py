"""Read the labels of a photo: `read_photo(data)` → PhotoReading, or Refused with a reason.

The file is judged by its header first; only what passes goes to a decoding process that is limited
in memory, processor time and wall time. The processes are kept warm and shared by all threads of a
server process: a photo waits for a free one, and is refused as busy when none comes free in time.
This module loads no picture library itself.
"""

from __future__ import annotations

import atexit
import base64
import os
import queue
import threading
from pathlib import Path
from typing import Any, Final

from server.labels.photo_header import Header, inspect, too_big
from server.labels.photo_worker import PhotoWorker, WorkerGone
from server.labels.reading import Box, Limits, PhotoReading, Reading, Refused

DEFAULT_LIMITS: Final = Limits()
MOST_WORKERS: Final = 2
_BUSY: Final = Refused("busy", "Too many photos at once: send this one again in a moment.")
Slot = PhotoWorker | None


class PhotoReader:
    """A few decoding processes, started when first needed; `close()` ends them."""

    def __init__(self, workers: int = MOST_WORKERS) -> None:
        self.process = os.getpid()
        self._slots: queue.LifoQueue[Slot] = queue.LifoQueue()
        for _ in range(workers):
            self._slots.put(None)
        self._workers = workers

    def read(
        self,
        data: bytes,
        limits: Limits,
        name: str | None = None,
        *,
        every_kind: bool = False,
    ) -> PhotoReading | Refused:
        """Read one photo; the same processes serve all callers."""
        header = inspect(data, limits, name)
        if isinstance(header, Refused):
            return header
        answer = self._answer(header, data, limits, "read every kind" if every_kind else "read")
        return answer if isinstance(answer, Refused) else _reading(answer, header)

    def small(self, data: bytes, limits: Limits, do: str = "small") -> bytes | Refused:
        """Return a small upright JPEG of a photo; `kept`: as photos of the night are kept."""
        header = inspect(data, limits)
        if isinstance(header, Refused):
            return header
        answer = self._answer(header, data, limits, do)
        if isinstance(answer, Refused):
            return answer
        return _damage(answer, header) or base64.b64decode(answer["jpeg"])

    def _answer(
        self, header: Header, data: bytes, limits: Limits, do: str
    ) -> dict[str, Any] | Refused:
        try:
            worker = self._slots.get(timeout=limits.wall_seconds)
        except queue.Empty:
            return _BUSY
        try:
            worker = worker if worker is not None else PhotoWorker(limits)
            return worker.ask(header, data, limits, do)
        except WorkerGone as gone:
            _close(worker)
            worker = None
            return _gone(gone)
        finally:
            if worker is not None and worker.worn_out:
                _close(worker)
                worker = None
            self._slots.put(worker)

    def close(self) -> None:
        """End every decoding process that is not at work."""
        for _ in range(self._workers):
            try:
                _close(self._slots.get(timeout=1))
            except queue.Empty:
                return


def _close(worker: Slot) -> None:
    if worker is not None:
        worker.close()


def _gone(gone: WorkerGone) -> Refused:
    if gone.why == "effort":
        return Refused("too slow", "Reading this photo took too long: take it from nearer.")
    if gone.why == "time":
        return _BUSY
    return Refused("damaged", "The photo could not be decoded: take it again.")


def _damage(answer: dict[str, Any], header: Header) -> Refused | None:
    if answer.get("damaged") == "MemoryError":
        size = header.width * header.height // 1_000_000
        return Refused("too big", f"A photo of {size} megapixels needs more memory than allowed.")
    if "damaged" in answer:
        return Refused("damaged", "The photo is damaged or was cut off: take or send it again.")
    return None


def _reading(answer: dict[str, Any], header: Header) -> PhotoReading | Refused:
    return _damage(answer, header) or PhotoReading(
        width=answer["width"],
        height=answer["height"],
        readings=tuple(
            Reading(r["text"], r["symbology"], _box(r["quad"]), r["reader"], r["rung"])
            for r in answer["readings"]
        ),
        milliseconds=answer["milliseconds"],
        notes=tuple(answer["notes"]),
    )


def _box(quad: list[list[float]]) -> Box:
    """Return whole-pixel corners clockwise, from the one nearest the photo's first corner."""
    corners = [(round(x), round(y)) for x, y in quad]
    (ax, ay), (bx, by), (cx, cy), _ = corners
    if (bx - ax) * (cy - ay) < (by - ay) * (cx - ax):  # y grows downwards: this is anticlockwise
        corners.reverse()
    first = min(range(4), key=lambda i: corners[i][0] + corners[i][1])
    a, b, c, d = corners[first:] + corners[:first]
    return a, b, c, d


_shared: PhotoReader | None = None
_sharing: Final = threading.Lock()


def shared_reader() -> PhotoReader:
    """Return this server process's reader; a forked process makes its own."""
    global _shared  # noqa: PLW0603  (one set of processes a server, however many threads ask)
    with _sharing:
        if _shared is None or _shared.process != os.getpid():
            _shared = PhotoReader()
            atexit.register(_shared.close)
        return _shared


def read_photo(
    data: bytes,
    limits: Limits = DEFAULT_LIMITS,
    name: str | None = None,
    *,
    every_kind: bool = False,
) -> PhotoReading | Refused:
    """Read every label of a JPEG, PNG, WebP, HEIC or AVIF photo; safe to call from any thread.

    `every_kind`: bar codes of every kind that the reader knows, not of our labels' two kinds only.
    Whether a reading counts is for `case_code.accept` to say: this returns whatever
    text was there. `name` is the file's name if known; a wrongly named file is refused.
    """
    return shared_reader().read(data, limits, name, every_kind=every_kind)


def small_photo(data: bytes, limits: Limits = DEFAULT_LIMITS) -> bytes | Refused:
    """Return a small upright JPEG of a photo, decoded where it may be killed."""
    return shared_reader().small(data, limits)


def kept_photo(data: bytes, limits: Limits = DEFAULT_LIMITS) -> bytes | Refused:
    """Return a photo as it is kept: an upright JPEG of bounded size without anything else."""
    return shared_reader().small(data, limits, "kept")


def read_photo_file(path: Path, limits: Limits = DEFAULT_LIMITS) -> PhotoReading | Refused:
    """Read a photo from a file, whose size is looked at before it is opened; raises OSError."""
    size = path.stat().st_size
    if size > limits.file_bytes:
        return too_big(size, limits)
    return read_photo(path.read_bytes(), limits, path.name)
