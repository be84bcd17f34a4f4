"""Who is served next: clients take turns, so that one that asks much waits for itself alone.

A client is a session's cookie, a token, or an address. Posts of facts come before all else.
"""

from __future__ import annotations

import re
from collections import Counter, deque
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any, Final

AT_ONCE: Final = 3  # requests of one client at work; a browser opens six connections
WAITING_MOST: Final = 40  # of one client; more are answered with 429
BYTES_MOST: Final = 60_000_000  # of one client's that wait; the largest list has 40 MB
ALL_BYTES_MOST: Final = 200_000_000
FACTS: Final = re.compile(rb"POST /api/shows/[^/ ]{1,100}/events[? ]")
SECRET: Final = re.compile(
    rb"(?im)^(?:cookie:(?:[^\r\n]*?;)??[ \t]*(?:__Host-)?rowcall[ \t]*=([^;\r\n]*)"
    rb"|authorization:([^\r\n]*))"
)
FORWARDED: Final = re.compile(rb"(?im)^x-forwarded-for:[^\r\n]*?([^,\s]+)[ \t]*\r$")


def client_of(head: bytes, address: str, *, proxy: bool) -> bytes:
    """Return who asks, as far as the head of a request tells without looking anything up."""
    secret = SECRET.search(head)
    if secret is not None:
        return (secret[1] or secret[2] or b"")[:200].strip()
    forwarded = FORWARDED.search(head) if proxy else None
    return b"at " + (forwarded[1][:60] if forwarded else address.encode())


@dataclass
class Queue:
    """The requests of one client that wait."""

    facts: deque[tuple[Any, int]] = field(default_factory=deque)
    others: deque[tuple[Any, int]] = field(default_factory=deque)
    size: int = 0

    def __len__(self) -> int:
        return len(self.facts) + len(self.others)


class Turns:
    """Requests that wait for a thread, by client."""

    def __init__(self, threads: int) -> None:
        self.free = threads
        self.size = 0
        self.working: Counter[bytes] = Counter()
        self._queues: dict[bytes, Queue] = {}

    def __len__(self) -> int:
        return sum(map(len, self._queues.values()))

    def add(self, client: bytes, request: Any, size: int, *, facts: bool) -> bool:
        """Let a request wait for its turn; False where its client has too much waiting."""
        queue = self._queues.get(client) or Queue()
        many = len(queue) >= WAITING_MOST or queue.size + size > BYTES_MOST
        if many or self.size + size > ALL_BYTES_MOST:
            return False
        self._queues[client] = queue
        queue.size += size
        self.size += size
        (queue.facts if facts else queue.others).append((request, size))
        return True

    def done(self, client: bytes) -> None:
        """Count one request of a client as answered."""
        self.free += 1
        self.working[client] -= 1
        if self.working[client] <= 0:
            del self.working[client]

    def next(self) -> Iterator[Any]:
        """Yield the requests that may begin now: facts first, then by turns."""
        for lane in ("facts", "others"):
            served = True
            while served:
                served = False
                for client, queue in list(self._queues.items()):
                    waiting: deque[tuple[Any, int]] = getattr(queue, lane)
                    if not waiting or not self.free or self.working[client] >= AT_ONCE:
                        continue
                    served = True
                    self.free -= 1
                    self.working[client] += 1
                    del self._queues[client]  # to the end of the line
                    request, size = waiting.popleft()
                    queue.size -= size
                    self.size -= size
                    if queue:
                        self._queues[client] = queue
                    yield request
