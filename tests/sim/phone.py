"""A model of a phone: outbox, log, cursor, hybrid clock; it keeps what the client keeps.

What a phone has written down survives a reload. An event leaves the outbox only when the server's
answer names it. Answers may come late, twice or in another order.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from random import Random
from typing import Any, Final

from tests.phone_model.clock import Clock, Reading, heard_server, hlc_text, receive, tick, uuid7

Event = dict[str, Any]
Sign = Callable[[Event], Event]
NOON: Final = 1_800_000_000_000  # as in tests/support/app.py
BATCH: Final = 20
TIMEOUT_MS: Final = 8_000


def unsigned(event: Event) -> Event:
    """Leave an event as it is."""
    return event


@dataclass(frozen=True, slots=True)
class Who:
    """Whose phone it is, on which show; `sign`, by `key`, adds what proves that it said so."""

    device: str
    name: str
    role: str
    show: str = "show"
    sign: Sign = unsigned
    key: str = ""


@dataclass
class Phone:
    """One phone; `skew` is how wrong its wall clock is, in milliseconds."""

    who: Who
    random: Random
    skew: int
    log: dict[str, Event] = field(default_factory=dict)
    outbox: list[str] = field(default_factory=list)
    acked: set[str] = field(default_factory=set)
    refused: dict[str, str] = field(default_factory=dict)
    cursor: int = 0
    n: int = 0
    clock: Clock = field(default_factory=Clock)
    asked_at: int | None = None
    started_at: int = 0
    causes: list[tuple[str, str]] = field(default_factory=list)
    broken: list[str] = field(default_factory=list)  # promises, as they were broken

    def reading(self, now: int) -> Reading:
        """Read the phone's own clocks."""
        return Reading(NOON + now + self.skew, now - self.started_at)

    def join(self, server_ms: int, now: int) -> None:
        """Hear the server's time in the answer to joining."""
        self.clock = heard_server(self.clock, server_ms, self.reading(now))

    def say(self, now: int, move: str, vehicle: str | None, body: Event) -> Event:
        """Write down one more fact: log, outbox, number and clock in one go."""
        self.n += 1
        self.clock = tick(self.clock, self.reading(now))
        bare: Event = {
            "v": 1,
            "id": uuid7(NOON + now, self.random.randbytes(10)),
            "show": self.who.show,
            "move": move,
            "vehicle": vehicle,
            "device": self.who.device,
            "n": self.n,
            "by": {"id": self.who.device, "name": self.who.name, "role": self.who.role},
            "at": self.reading(now).wall,
            "hlc": hlc_text(self.clock, self.who.device),
            "revision": 1,
            "body": body,
        }
        event = self.who.sign(bare)
        newest = max((one["hlc"] for one in self.log.values()), default="")
        self.causes.append((newest, event["hlc"]))
        self.log[event["id"]] = event
        self.outbox.append(event["id"])
        return event

    def ask(self, now: int) -> Event | None:
        """Return the next request; None while one is under way and not given up."""
        if self.asked_at is not None and now - self.asked_at < TIMEOUT_MS:
            return None
        self.asked_at = now
        events = [self.log[name] for name in self.outbox[:BATCH]]
        return {"device": self.who.device, "events": events, "since": self.cursor, "asked": now}

    def hear(self, answer: Event, now: int) -> None:
        """Take in an answer, however old."""
        quick = now - answer["asked"] < 2_000
        if quick:
            self.clock = heard_server(self.clock, answer["now"], self.reading(now))
        if self.asked_at == answer["asked"]:
            self.asked_at = None
        own = {name for name in self.outbox if name in set(answer["stored"])}
        self.acked |= own
        for one in answer["refused"]:
            if one["id"] in self.outbox:
                self.refused[one["id"]] = one["reason"]
                self.log.pop(one["id"], None)
        settled = own | set(self.refused)
        self.outbox = [name for name in self.outbox if name not in settled]
        for item in answer["events"]:
            self._take(item["event"], now)
        # An old answer reads on from an older cursor: together they leave no hole.
        self.cursor = max(self.cursor, answer["cursor"])

    def _take(self, event: Event, now: int) -> None:
        self.log.setdefault(event["id"], event)
        self.clock = receive(self.clock, event["hlc"], self.reading(now))

    def reload(self, now: int) -> None:
        """The page starts anew: what was under way is forgotten, what was written down is not."""
        self.asked_at = None
        self.started_at = now
        self.clock = Clock(self.clock.ms, self.clock.count, self.clock.offset)

    def hand_over(self, other: Phone, now: int) -> None:
        """Show what is not sent yet to another phone, which carries it too."""
        for name in self.outbox:
            if name not in other.log and name not in other.refused:
                other.outbox.append(name)
            other._take(self.log[name], now)


class ForgetfulPhone(Phone):
    """A phone with a fault, to see that the simulation finds it: it forgets at sending."""

    def ask(self, now: int) -> Event | None:
        """Return a request and empty the outbox as if it had arrived."""
        request = super().ask(now)
        if request is not None:
            sent = {event["id"] for event in request["events"]}
            self.acked |= sent
            self.outbox = [name for name in self.outbox if name not in sent]
        return request


class HastyPhone(Phone):
    """A phone with a fault: it takes the cursor before the events, so a reload leaves a hole."""

    def hear(self, answer: Event, now: int) -> None:
        """Take in the cursor, and the events only most of the time."""
        if self.random.random() < 0.2:
            answer = {**answer, "events": []}
        super().hear(answer, now)
