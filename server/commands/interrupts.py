"""Ctrl-C during a search: the first ends the search and the best plan is printed."""

from __future__ import annotations

import signal
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import FrameType


@contextmanager
def stop_on_interrupt() -> Iterator[Callable[[], bool]]:
    """Yield whether the user has interrupted; a second interrupt ends the program as usual."""
    asked = threading.Event()
    if threading.current_thread() is not threading.main_thread():
        yield asked.is_set  # signals reach the main thread alone
        return
    before = signal.getsignal(signal.SIGINT)

    def end(number: int, frame: FrameType | None) -> None:
        del number, frame
        asked.set()
        signal.signal(signal.SIGINT, before)

    signal.signal(signal.SIGINT, end)
    try:
        yield asked.is_set
    finally:
        signal.signal(signal.SIGINT, before)
