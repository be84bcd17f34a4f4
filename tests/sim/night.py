"""One simulated night: a crew, its links, a server that dies now and then; at the end a reckoning.

Everything comes from one seed, so a night that fails is played again from its number.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from random import Random
from typing import Final

from server.core.crew.bundle import read_bundle
from server.core.night.events import read_event
from server.core.night.fold import fold
from tests.phone_model.clock import MAX_DRIFT_MS
from tests.sim.network import Link, Message, Weather, World
from tests.sim.phone import NOON, Event, Phone, Who
from tests.sim.servers import Fault, Killed, Server
from tests.support.random_bundle import random_bundle
from tests.support.random_events import Crew

DAY: Final = 86_400_000
MakePhone = Callable[[Who, Random, int], Phone]
ROLES: Final = ("chief", "loader", "loader", "loader", "chief", "loader", "loader")


@dataclass(frozen=True, slots=True)
class Size:
    """How large a night is: planned cases, and facts that each phone reports at most."""

    cases: int
    facts: int


SHORT: Final = Size(cases=25, facts=14)
LONG: Final = Size(cases=200, facts=120)


@dataclass(slots=True)
class Verdict:
    """What a night came to: facts lost, replicas that differ, and the first words about why."""

    lost: int = 0
    different: int = 0
    events: int = 0
    why: list[str] = field(default_factory=list)


class Night:
    """One evening from its seed."""

    def __init__(
        self, seed: int, server: Server, size: Size = SHORT, phone: MakePhone = Phone
    ) -> None:
        self.random = Random(f"night {seed}")
        self.world = World()
        self.server = server
        self.size = size
        self.bundle = random_bundle(self.random, self.random.randint(1, size.cases))
        self.crew = Crew(self.random, self.bundle)
        self.weather = Weather.of(self.random)
        self.phone_type = phone
        self.phones: list[Phone] = []
        self.links: dict[str, Link] = {}
        self.acked: set[str] = set()
        self.made: list[Event] = []
        self.down_until = 0
        for number in range(self.random.randint(5, 7)):
            self.add_phone(f"phone-{number}", ROLES[number])

    def add_phone(self, device: str, role: str) -> Phone:
        """Let one more phone join; its wall clock may be days wrong."""
        skew = self.random.choice([0, 0, 300, -4_000, DAY, -DAY])
        who = self.server.enter(Who(device, f"Crew {device}", role))
        phone = self.phone_type(who, Random(self.random.random()), skew)
        phone.started_at = self.world.now
        phone.join(NOON + self.world.now, self.world.now)
        self.phones.append(phone)
        self.links[device] = Link(self.world, self.random, self.weather)
        left = self.random.randint(1, self.size.facts)
        self.world.later(self.random.randint(0, 3_000), lambda: self.work(phone, left))
        self.world.later(self.random.randint(0, 3_000), lambda: self.sync(phone))
        self.world.later(self.random.randint(0, 60_000), lambda: self.cut(phone))
        return phone

    def work(self, phone: Phone, left: int) -> None:
        """Report a fact, then go on to the next."""
        if phone not in self.phones:
            return
        move, vehicle, body = self.crew.report(phone.who.role)
        if body["kind"] == "closed":  # it ends the join code, and a phone may still come back empty
            body = {"kind": "hands", "count": 2}
        self.made.append(phone.say(self.world.now, move, vehicle, body))
        self.crew.said.append(self.made[-1])
        chance = self.random.random()
        if chance < 0.02:
            phone.reload(self.world.now)
        elif chance < 0.04:
            phone.hand_over(self.random.choice(self.phones), self.world.now)
        elif chance < 0.044 and len(self.phones) > 5:
            self.lose(phone)
        if left > 1:
            pause = self.random.randint(200, 9_000)
            self.world.later(pause, lambda: self.work(phone, left - 1))

    def lose(self, phone: Phone) -> None:
        """A phone comes back empty: what it had not sent is gone, and it joins under a new name."""
        self.acked |= phone.acked
        self.phones.remove(phone)
        self.add_phone(f"{phone.who.device}x", phone.who.role)

    def sync(self, phone: Phone) -> None:
        """Try to send and to read on, again and again."""
        if phone not in self.phones:
            return
        request = phone.ask(self.world.now)
        if request is not None:
            self.links[phone.who.device].carry(request, lambda got: self.serve(phone, got))
        self.world.later(self.random.randint(1_000, 8_000), lambda: self.sync(phone))

    def cut(self, phone: Phone) -> None:
        """Take the link away for a while, or bring it back."""
        link = self.links[phone.who.device]
        link.up = not link.up or self.random.random() > link.weather.cuts
        self.world.later(self.random.randint(2_000, 40_000), lambda: self.cut(phone))

    def serve(self, phone: Phone, request: Message) -> None:
        """The server takes a request, if it is there, and dies over one in thirty."""
        if self.world.now < self.down_until:
            return
        fault: Fault = self.random.choice(["before", "after"])
        try:
            chance = self.random.random() < 1 / 30
            answer = self.server.exchange(request, self.world.now, fault if chance else "")
        except Killed:
            self.server.restart()
            self.down_until = self.world.now + self.random.randint(100, 5_000)
            return
        answer["asked"] = request["asked"]
        link = self.links[phone.who.device]
        link.carry(answer, lambda got: phone.hear(got, self.world.now))

    def play(self) -> Verdict:
        """Play the night to its end, mend every link, settle, and reckon."""
        self.world.run(self.size.facts * 9_000)
        for link in self.links.values():
            link.mend()
        self.world.run(self.world.now + 120_000)
        rounds = 0
        while self.unsettled() and rounds < 400:
            rounds += 1
            for phone in self.phones:
                self.settle(phone)
        return self.reckon()

    def unsettled(self) -> bool:
        """Return whether a phone still has to send or to read."""
        last = len(self.server.stored())
        return any(phone.outbox or phone.cursor < last for phone in self.phones)

    def settle(self, phone: Phone) -> None:
        """Exchange once over a good link."""
        phone.asked_at = None
        request = phone.ask(self.world.now)
        assert request is not None
        answer = self.server.exchange(request, self.world.now, "")
        phone.hear({**answer, "asked": request["asked"]}, self.world.now)

    def reckon(self) -> Verdict:
        """Hold every phone to the server, and the server to every promise."""
        stored = self.server.stored()
        verdict = Verdict(events=len(stored))
        held = {event["id"]: event for event in stored}
        if len(held) != len(stored):
            verdict.different += 1
            verdict.why.append("the server holds an event twice")
        numbers = {(event["device"], event["n"]) for event in stored}
        if len(numbers) != len(stored):
            verdict.different += 1
            verdict.why.append("a phone used a number twice")
        promised = self.acked.union(*(phone.acked for phone in self.phones))
        unsent = {name for phone in self.phones for name in phone.outbox}
        written = {
            event["id"]
            for event in self.made
            if any(event["device"] == phone.who.device for phone in self.phones)
        }
        refused = {name for phone in self.phones for name in phone.refused}
        lost = (promised | unsent | (written - refused)) - held.keys()
        verdict.lost = len(lost)
        verdict.why += [f"lost: {name}" for name in sorted(lost)[:3]]
        self.compare(verdict, stored, held)
        for phone in self.phones:
            self.check_clock(phone, verdict)
            verdict.different += len(phone.broken)
            verdict.why += [f"{phone.who.device}: {words}" for words in phone.broken[:3]]
        return verdict

    def compare(self, verdict: Verdict, stored: list[Event], held: dict[str, Event]) -> None:
        """Fold every replica in its own order of arrival and compare all of them."""
        bundle = read_bundle(self.bundle)
        read = {event["id"]: read_event(event) for event in stored}
        truth = fold(bundle, [read[event["id"]] for event in stored])
        for phone in self.phones:
            if phone.log != held:
                verdict.different += 1
                extra, short = phone.log.keys() - held.keys(), held.keys() - phone.log.keys()
                words = f"{phone.who.device}: {len(extra)} events too many, {len(short)} too few"
                verdict.why.append(words)
            elif fold(bundle, [read[name] for name in phone.log]) != truth:
                verdict.different += 1
                verdict.why.append(f"{phone.who.device}: same events, another fold")

    def check_clock(self, phone: Phone, verdict: Verdict) -> None:
        """What a phone says is later than all it knew, and near the true time."""
        if any(before >= after for before, after in phone.causes):
            verdict.different += 1
            verdict.why.append(f"{phone.who.device}: said before what it knew")
        off = [int(after[:13]) - NOON for _, after in phone.causes]
        if any(not -MAX_DRIFT_MS <= ms <= self.world.now + MAX_DRIFT_MS for ms in off):
            verdict.different += 1
            verdict.why.append(f"{phone.who.device}: its hybrid clock ran away")


def play(seed: int, make: Callable[[], Server], size: Size, phone: MakePhone = Phone) -> Verdict:
    """Play the night of a seed on a fresh server."""
    server = make()
    try:
        return Night(seed, server, size, phone).play()
    finally:
        server.close()
