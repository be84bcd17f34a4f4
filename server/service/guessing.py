"""Wrong guesses are slowed, then locked: per address, per show and per account."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Final

from server.service.ports import Ports
from server.service.troubles import Locked, WrongGuess

FREE: Final = 5  # honest slips
FIRST_MS: Final = 2_000
LONGEST_MS: Final = 15 * 60_000
FORGET_MS: Final = 15 * 60_000


def pause_ms(wrong: int) -> int:
    """Return how long to wait after so many wrong guesses: none, then twice as long each time."""
    if wrong < FREE:
        return 0
    return min(FIRST_MS << min(wrong - FREE, 20), LONGEST_MS)


@contextmanager
def guarded(ports: Ports, keys: list[str]) -> Iterator[None]:
    """Refuse while a key is held; count a WrongGuess that is raised inside against every key."""
    now = ports.now()
    wait = ports.guesses.free_at(keys) - now
    if wait > 0:
        seconds = -(-wait // 1000)
        raise Locked(f"Too many wrong guesses: try again in {seconds} s.", seconds)
    try:
        yield
    except WrongGuess:
        for key in keys:
            pause = pause_ms(ports.guesses.wrong(key, now, FORGET_MS))
            if pause:
                ports.guesses.hold(key, now + pause)
        raise
