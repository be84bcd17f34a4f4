"""Ids and order of facts: UUIDv7 (RFC 9562, 5.7) and a hybrid logical clock.

Hybrid logical clocks: Kulkarni, Demirbas, Madeppa, Avva, Leone, "Logical Physical Clocks",
OPODIS 2014 (LNCS 8878). Bounds on drift, so that a phone a day ahead does no harm:
- a phone's time is its wall clock moved by what the server's clock says at every contact;
- between contacts a leap of the wall clock is followed no further than MAX_DRIFT beyond the steady
  clock (the one that only counts elapsed time), if the caller has one;
- a reading of another phone more than MAX_DRIFT ahead of ours does not move our clock. Its event is
  taken all the same.
Without the server a clock never goes back. One that is far ahead of the server goes back to it; the
order of a phone's own facts is that of their numbers (`order.py`).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Final

MAX_DRIFT_MS: Final = 60_000
MOST_COUNT: Final = 99_999


@dataclass(frozen=True, slots=True)
class Reading:
    """Time as read once by the caller: wall clock, and elapsed time that only ever grows."""

    wall: int
    steady: int | None = None


@dataclass(frozen=True, slots=True)
class Clock:
    """A hybrid clock in milliseconds; `offset` is the server's clock minus ours.

    `anchor`: the time we believed at some steady reading; None after each start.
    """

    ms: int = 0
    count: int = 0
    offset: int = 0
    anchor: tuple[int, int] | None = None


def heard_server(clock: Clock, server_ms: int, reading: Reading) -> Clock:
    """Learn the server's time from an answer; a clock that is far ahead of it goes back to it."""
    anchor = None if reading.steady is None else (server_ms, reading.steady)
    heard = replace(clock, offset=server_ms - reading.wall, anchor=anchor)
    if clock.ms > server_ms + MAX_DRIFT_MS:
        heard = replace(heard, ms=server_ms, count=0)
    return heard


def true_ms(clock: Clock, reading: Reading) -> int:
    """Return the time we believe."""
    by_wall = max(0, reading.wall + clock.offset)
    if clock.anchor is None or reading.steady is None:
        return by_wall
    believed, steady = clock.anchor
    return min(by_wall, believed + reading.steady - steady + MAX_DRIFT_MS)


def tick(clock: Clock, reading: Reading) -> Clock:
    """Return the clock at the next reading for an event of our own."""
    return _advance(clock, true_ms(clock, reading), None)


def receive(clock: Clock, hlc: str, reading: Reading) -> Clock:
    """Take note of another's reading, so that what we say next comes after it."""
    now = true_ms(clock, reading)
    ms, count = int(hlc[:13]), int(hlc[14:19])
    if ms > now + MAX_DRIFT_MS:
        return clock
    return _advance(clock, now, (ms, count))


def receive_all(clock: Clock, heard: Iterable[str], reading: Reading) -> Clock:
    """Take note of many readings; one step for the latest that counts is enough."""
    most = true_ms(clock, reading) + MAX_DRIFT_MS
    latest = max((hlc for hlc in heard if int(hlc[:13]) <= most), default=None)
    return clock if latest is None else receive(clock, latest, reading)


def _advance(clock: Clock, now: int, other: tuple[int, int] | None) -> Clock:
    ms = max(clock.ms, now, other[0] if other else 0)
    counts = [-1]
    if ms == clock.ms:
        counts.append(clock.count)
    if other is not None and ms == other[0]:
        counts.append(other[1])
    count = max(counts) + 1
    if count > MOST_COUNT:
        ms, count = ms + 1, 0
    return Clock(ms, count, clock.offset, clock.anchor)


def hlc_text(clock: Clock, device: str) -> str:
    """Return `0001764000000-00003-phone`, which sorts as text in the order of facts."""
    return f"{clock.ms:013d}-{clock.count:05d}-{device}"


def uuid7(ms: int, random: bytes) -> str:
    """Return the UUIDv7 of a time in milliseconds and ten random bytes."""
    assert len(random) >= 10, "ten random bytes"
    bits = random[:10].hex()
    variant = f"{8 + (int(bits[3], 16) & 3):x}"
    time = f"{ms:012x}"
    return f"{time[:8]}-{time[8:12]}-7{bits[:3]}-{variant}{bits[4:7]}-{bits[7:19]}"
