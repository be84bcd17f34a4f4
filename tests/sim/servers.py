"""Servers for the simulation: one in memory, and the port that the real one fills too."""

from __future__ import annotations

from typing import Any, Final, Literal, Protocol

from tests.sim.phone import NOON, Event, Who

PAGE: Final = 50
Fault = Literal["", "before", "after"]


class Killed(Exception):
    """The server died over this request; no answer leaves."""


class Server(Protocol):
    """What the simulation asks of a server."""

    def enter(self, who: Who) -> Who:
        """Let a phone in; return how it is known there."""

    def exchange(self, request: Event, now: int, fault: Fault) -> Event:
        """Store a batch and answer; Killed when the fault strikes."""

    def restart(self) -> None:
        """Start anew with what is stored."""

    def stored(self) -> list[Event]:
        """Return every stored event in the order of arrival."""

    def close(self) -> None:
        """Let go of everything."""


class MemoryServer:
    """Append-only log with idempotent insert; what is committed survives, the rest does not."""

    def __init__(self) -> None:
        self._committed: list[Event] = []
        self._ids: set[str] = set()
        self._phones: set[str] = set()

    def enter(self, who: Who) -> Who:
        """Let a phone in."""
        self._phones.add(who.device)
        return who

    def exchange(self, request: Event, now: int, fault: Fault) -> Event:
        """Store what is new once, answer with what this phone has not seen."""
        assert request["device"] in self._phones
        new = {one["id"]: one for one in request["events"] if one["id"] not in self._ids}
        if fault == "before":
            raise Killed
        self._committed.extend(new.values())
        self._ids |= new.keys()
        if fault == "after":
            raise Killed
        since = request["since"]
        page = [*enumerate(self._committed, 1)][since : since + PAGE]
        return {
            "stored": [one["id"] for one in request["events"]],
            "refused": [],
            "cursor": page[-1][0] if page else since,
            "events": [{"seq": seq, "event": event} for seq, event in page],
            "more": since + PAGE < len(self._committed),
            "now": NOON + now,
        }

    def restart(self) -> None:
        """Nothing but what is committed is kept anyway."""

    def stored(self) -> list[Event]:
        """Return every stored event."""
        return list(self._committed)

    def close(self) -> None:
        """Nothing is held."""


class SkippingServer(MemoryServer):
    """A server with a fault, to see that the simulation finds it: now and then a cursor too far.

    So it is where numbers are allotted before the commit: 202 is seen before 201 is there.
    """

    def exchange(self, request: Event, now: int, fault: Fault) -> Event:
        """Answer with a page that lacks its first event every fourth time."""
        answer: dict[str, Any] = super().exchange(request, now, fault)
        if len(self._committed) % 4 == 0:
            answer["events"] = answer["events"][1:]
        return answer
