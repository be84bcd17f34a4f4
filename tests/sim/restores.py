"""Nights in which the server is restored from older backups, and phones leave and come back.

The rule of the client is played by the client itself: what it sent remains on it until two backups
of the server hold it. A restore takes one of the two newest backups.
"""

from __future__ import annotations

from typing import Any, Final

from tests.sim.network import Link
from tests.sim.night import SHORT, MakePhone, Night, Verdict
from tests.sim.phone import NOON, Event, Phone, Who
from tests.sim.real_phone import RealPhone
from tests.sim.servers import Fault, Killed, MemoryServer

BACKUPS: Final = 5
RESTORES: Final = 2
LEAVES: Final = 3
FULL: Final = 0.04  # of all requests meet a full disk
# As FAULTS of real_phone.py; only nights with restores can find it.
FORGETS: Final = (
    "store/leaving.ts",
    "return rows.every(({ at }) => at !== undefined && at <= backed_up);",
    "return rows.length >= 0 && backed_up >= 0;",
)


class BackedUpServer(MemoryServer):
    """A server in memory that knows its backups, and when it stored each fact."""

    def __init__(self) -> None:
        super().__init__()
        self._at: list[int] = []
        self.backups: list[tuple[int, list[Event], list[int]]] = []

    def exchange(self, request: Event, now: int, fault: Fault) -> Event:
        """Answer as the server does: a phone that names another last fact reads all anew."""
        before = len(self._committed)
        died = False
        try:
            super().exchange(request, now, fault)
        except Killed:
            died = True
        self._at += [now] * (len(self._committed) - before)
        if died:
            raise Killed
        since, last = request["since"], _last(request)
        known = since <= len(self._committed)
        if known and since and last:
            known = self._committed[since - 1]["id"] == last
        since = since if known else 0
        page = [*enumerate(zip(self._committed, self._at, strict=True), 1)][since : since + 50]
        return {
            "stored": [one["id"] for one in request["events"]],
            "refused": [],
            "cursor": page[-1][0] if page else since,
            "events": [{"seq": seq, "at": at, "event": event} for seq, (event, at) in page],
            "more": since + 50 < len(self._committed),
            "now": NOON + now,
            "backed_up": self.backups[-2][0] if len(self.backups) > 1 else 0,
        }

    def back_up(self, now: int) -> None:
        """Keep all that is stored before now."""
        self.backups.append((now - 1, list(self._committed), list(self._at)))

    def restore(self, which: int) -> None:
        """Be what a backup has: -1 the newest, -2 the one before."""
        del self.backups[len(self.backups) + which + 1 :]
        _, self._committed, self._at = self.backups[-1]
        self._committed, self._at = list(self._committed), list(self._at)
        self._ids = {event["id"] for event in self._committed}


def _last(request: Event) -> str:
    path: str = request.get("path", "")
    return path.partition("?last=")[2]


class RestoringNight(Night):
    """One evening with backups, restores, full disks, and phones that leave and come back.

    In odd ones one phone is alone.
    """

    server: BackedUpServer

    def __init__(self, seed: int, server: BackedUpServer, phone: MakePhone) -> None:
        super().__init__(seed, server, SHORT, phone)
        if seed % 2:  # alone: nobody else holds what it sent
            del self.phones[1:]
        self.restored = self.left = self.full = 0
        end = SHORT.facts * 9_000
        for _ in range(BACKUPS):
            self.world.later(self.random.randint(1_000, end), self.back_up)
        for _ in range(RESTORES):
            self.world.later(self.random.randint(end // 2, end), self.restore)
        for _ in range(LEAVES):
            self.world.later(self.random.randint(end // 4, end), self.leave)

    def back_up(self) -> None:
        """Back the server up."""
        self.server.back_up(self.world.now)

    def restore(self) -> None:
        """Lose what came after one of the two newest backups."""
        if len(self.server.backups) > 1:
            self.restored += 1
            self.server.restore(self.random.choice([-1, -2]))

    def lose(self, phone: Phone) -> None:
        """No storage is lost here: what only this phone knew would be gone with it."""

    def leave(self) -> None:
        """A phone with nothing unsent signs out and joins again, under a new name."""
        free = [one for one in self.phones if not one.outbox and one.log and one.asked_at is None]
        if not free:
            return
        self.left += 1
        phone = self.random.choice(free)
        assert isinstance(phone, RealPhone)
        phone.leave(self.world.now)
        self.acked |= phone.acked
        self.phones.remove(phone)
        who = self.server.enter(Who(f"{phone.who.device}y", phone.who.name, phone.who.role))
        again = self.phone_type(who, phone.random, phone.skew)
        assert isinstance(again, RealPhone)
        again.storage, again.started_at = phone.storage or phone.who.device, phone.started_at
        again.restorable = True
        again.join(NOON + self.world.now, self.world.now)
        self.phones.append(again)
        self.links[who.device] = Link(self.world, self.random, self.weather)
        self.world.later(self.random.randint(500, 20_000), lambda: self.sync(again))
        self.world.later(self.random.randint(0, 3_000), lambda: self.work(again, 2))

    def add_phone(self, device: str, role: str) -> Phone:
        """Let a phone join, on storage of its own."""
        phone = super().add_phone(device, role)
        assert isinstance(phone, RealPhone)
        phone.restorable = True
        return phone

    def serve(self, phone: Phone, request: dict[str, Any]) -> None:
        """Now and then the server's disk is full: nothing is stored, and it says so."""
        if self.random.random() < FULL and isinstance(phone, RealPhone):
            self.full += 1
            link = self.links[phone.who.device]
            asked = {"asked": request["asked"]}
            link.carry(asked, lambda got: phone.hear_full(got, self.world.now))
            return
        super().serve(phone, request)


def play(seed: int, phone: MakePhone) -> tuple[Verdict, RestoringNight]:
    """Play the night of a seed; the server is restored at least once, to be sure at the end."""
    night = RestoringNight(seed, BackedUpServer(), phone)
    return night.play(), night
