"""Guessing is counted before it is tried, slowed after a few honest slips, and never for ever.

Guesses of one address, one account or one show are counted under a key each. A known device (it
held the right secret before, and shows so) has a key of its own: nobody else's guesses lock it out.
"""

from __future__ import annotations

import ipaddress
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Final

from server.service.ports import Ports
from server.service.troubles import Locked, WrongGuess

FREE: Final = 5  # honest slips
FIRST_MS: Final = 2_000
LONGEST_MS: Final = 15 * 60_000
FORGET_MS: Final = 15 * 60_000
PACED_MS: Final = 60_000  # the longest pause of what is no guess, but costs the server something


def pause_ms(wrong: int) -> int:
    """Return how long to wait after so many wrong guesses: none, then twice as long each time."""
    if wrong < FREE:
        return 0
    return min(FIRST_MS << min(wrong - FREE, 20), LONGEST_MS)


@contextmanager
def guarded(ports: Ports, keys: list[str]) -> Iterator[None]:
    """Refuse while a key is held; count one guess against every key, back if it was right.

    Of guesses made at once no more are tried than are free: each is counted before its secret is
    looked at.
    """
    now = ports.now()
    counted: list[str] = []
    try:
        for key in keys:
            held = ports.guesses.begin(key, now, FORGET_MS, pause_ms)
            if held:
                raise _locked(held - now)
            counted.append(key)
        yield
    except WrongGuess:
        counted.clear()
        raise
    finally:
        for key in counted:
            ports.guesses.right(key)


@contextmanager
def slowed(ports: Ports, key: str) -> Iterator[None]:
    """Refuse while a key is held; count a WrongGuess that is raised inside.

    For secrets too long to guess: many people behind one address may be right at once.
    """
    now = ports.now()
    wait = ports.guesses.free_at(key) - now
    if wait > 0:
        raise _locked(wait)
    try:
        yield
    except WrongGuess:
        ports.guesses.begin(key, now, FORGET_MS, pause_ms)
        raise


def paced(ports: Ports, key: str, free: int, words: str) -> None:
    """Count something that anyone may do, `free` times at once; Locked, with words, beyond that."""
    now = ports.now()
    held = ports.guesses.begin(
        key, now, FORGET_MS, lambda count: min(pause_ms(count - free + FREE), PACED_MS)
    )
    if held:
        raise _locked(held - now, words)


def network(address: str) -> str:
    """Return under what an address is counted: IPv6 by its /64, which one household holds whole."""
    try:
        number = ipaddress.ip_address(address.partition("%")[0])
    except ValueError:
        return address[:60]
    if number.version == 4:
        return str(number)
    if number.ipv4_mapped is not None:
        return str(number.ipv4_mapped)
    return str(ipaddress.ip_network((int(number), 64), strict=False))


def _locked(wait_ms: int, words: str = "Too many wrong guesses") -> Locked:
    seconds = -(-wait_ms // 1000)
    return Locked(f"{words}: try again in {seconds} s.", seconds)
