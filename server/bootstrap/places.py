"""Where set-up keeps things, how it speaks, and stamps that make a second start quick."""

from __future__ import annotations

import errno
import hashlib
import os
import sys
import time
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO, Final

ROOT: Final = Path(__file__).resolve().parents[2]
STATE: Final = ROOT / ".state"
VENV: Final = ROOT / ".venv"
PYTHON: Final = VENV / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
PWA: Final = ROOT / "pwa"
LOOK_AGAIN_S: Final = 0.1
# The set-up lock of this process, for its installers too: they may outlive it.
HELD: Final[list[int]] = []


class SetUpFailed(Exception):
    """A step of set-up could not be done; the message says what to do about it."""


def say(text: str) -> None:
    """Tell the person at the terminal; on stderr, so that a command's output stays clean."""
    print(text, file=sys.stderr, flush=True)


def unusable(error: OSError) -> str:
    """Return in one sentence what set-up could not write or read, and what to do."""
    if error.errno in {errno.EROFS, errno.EACCES, errno.EPERM}:
        return (
            f"{error.filename or ROOT}: set-up may not write there ({error.strerror}): "
            "copy the checkout to a folder of yours and start it there."
        )
    if error.errno == errno.ENOSPC:
        return f"{error.filename or ROOT}: the disk is full: set-up needs about 600 MB."
    return f"{error.filename or ROOT}: set-up could not use it: {error.strerror or error}."


def digest(files: Iterable[Path], *words: str) -> str:
    """Return a digest of names and contents of files, and of further words."""
    sum_ = hashlib.sha256("\0".join(words).encode())
    for file in sorted(files):
        sum_.update(f"\0{file.relative_to(ROOT)}\0{file.stat().st_size}\0".encode())
        sum_.update(file.read_bytes())
    return sum_.hexdigest()


def stamped(stamp: Path, value: str) -> bool:
    """Return whether a step was finished for exactly this value."""
    return stamp.is_file() and stamp.read_text(encoding="utf-8") == value


def write_stamp(stamp: Path, value: str) -> None:
    """Record a finished step; always the last act of it, so that a broken one is done again."""
    stamp.parent.mkdir(parents=True, exist_ok=True)
    fresh = stamp.with_suffix(".new")
    fresh.write_text(value, encoding="utf-8")
    fresh.replace(stamp)


@contextmanager
def one_at_a_time() -> Iterator[None]:
    """Hold the set-up lock: of two first starts the second waits and then finds all done."""
    try:
        STATE.mkdir(exist_ok=True)
        lock = (STATE / "set-up.lock").open("w")
    except OSError as error:
        raise SetUpFailed(unusable(error)) from None
    with lock:
        if not _locked(lock):
            say("Another start is setting up this checkout; waiting for it.")
            while not _locked(lock):
                time.sleep(LOOK_AGAIN_S)
        HELD.append(lock.fileno())
        try:
            yield
        finally:
            HELD.remove(lock.fileno())


def _locked(lock: IO[str]) -> bool:
    """Take the lock if it is free; the system releases it when its holder ends, however."""
    if os.name == "nt":  # standard library only: nothing is installed yet
        import msvcrt

        try:
            msvcrt.locking(lock.fileno(), msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined]
        except OSError:
            return False
        return True
    import fcntl

    try:
        fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    return True
