"""What is stored, held against what clients were promised and what they read."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Any, Final, Protocol

MOST: Final = 5


class Told(Protocol):
    """What one client was promised and what it read."""

    device: str
    acked: list[str]
    read: list[tuple[int, str]]
    faults: list[str]


class Pages(Protocol):
    """Where the log is read: a page after a cursor, as phones get it."""

    def page(self, since: int) -> dict[str, Any]: ...


class Audit:
    """Reads the log on from where it was, and keeps what it read: nothing may change behind it."""

    def __init__(self, pages: Pages) -> None:
        self.pages = pages
        self.log: list[str] = []
        self._checked: dict[str, tuple[int, int]] = {}

    def look(self, clients: Sequence[Told]) -> list[str]:
        """Read what is new; return every fault found."""
        # Noted before reading: what is promised while this reads may be stored after it.
        marks = {one.device: (len(one.acked), len(one.read)) for one in clients}
        faults = self._read_on()
        there = set(self.log)
        if len(there) < len(self.log):
            faults.append(f"{len(self.log) - len(there)} facts are there twice")
        for one in clients:
            acked, read = self._checked.get(one.device, (0, 0))
            till_acked, till_read = marks[one.device]
            lost = [name for name in one.acked[acked:till_acked] if name not in there]
            if lost:
                faults.append(f"{one.device}: {len(lost)} acknowledged are lost: {lost[:MOST]}")
            for seq, name in one.read[read:till_read]:
                if not 0 < seq <= len(self.log) or self.log[seq - 1] != name:
                    faults.append(f"{one.device}: read {name} as {seq}, which it is not")
            faults += _leaps(one, read, till_read)
            faults += one.faults
            one.faults.clear()
            self._checked[one.device] = (till_acked, till_read)
        return faults

    def _read_on(self) -> list[str]:
        more, faults = True, list[str]()
        while more:
            page = self.pages.page(len(self.log))
            numbers = [one["seq"] for one in page["events"]]
            wanted = list(range(len(self.log) + 1, len(self.log) + len(numbers) + 1))
            if numbers != wanted:
                faults.append(f"after {len(self.log)} came {numbers[:MOST]}...")
            self.log += [one["event"]["id"] for one in page["events"]]
            more = page["more"]
        return faults

    def from_the_start(self) -> list[str]:
        """Read all anew; return what is not as it was read in the course of the rounds."""
        again = Audit(self.pages)
        faults = again._read_on()
        if again.log != self.log:
            faults.append(f"{len(self.log)} facts were read, {len(again.log)} are there now")
        return faults


def _leaps(one: Told, since: int, till: int) -> list[str]:
    """Return where a client's own reading left a number out or came twice."""
    numbers = [seq for seq, _ in one.read[max(0, since - 1) : till]]
    first = [] if since or not numbers or numbers[0] == 1 else [f"{one.device}: began after 1"]
    return first + [
        f"{one.device}: read {after} after {before}"
        for before, after in pairwise(numbers)
        if after != before + 1
    ]
