"""The phone that crews hold, in the simulation: its own TypeScript, driven through one process.

Store, outbox, log, clock, signing and exchange are the client's; IndexedDB is in memory, time and
network are the simulation's. Some phones have two tabs open. `FAULTS` are planted in its source, to
see that the simulation finds them.
"""

from __future__ import annotations

import json
import subprocess
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from random import Random
from typing import Any, Final

from server.bootstrap.client import client_packages
from server.settings import ROOT
from tests.sim.phone import TIMEOUT_MS, Event, Phone, Who

PWA: Final = ROOT / "pwa"
TWO_TABS: Final = 0.3
# name → file of pwa/src, what stands there, what is put in its place
FAULTS: Final = {
    "leaves the outbox before the answer": (
        "sync/exchange.ts",
        "const answer = await ask",
        "await settle(batch.map((one) => one.id), []); const answer = await ask",
    ),
    "settles what it did not send": (
        "sync/exchange.ts",
        "await settle(stored, refused);",
        "await settle((await unsentEvents(show)).map((one) => one.id), refused);",
    ),
    "moves the cursor too far": (
        "sync/exchange.ts",
        "await addPulled(show, data.events, data.cursor);",
        "await addPulled(show, data.events, data.cursor + (data.events.length > 1 ? 1 : 0));",
    ),
    "moves the cursor without the facts": (
        "sync/exchange.ts",
        "await addPulled(show, data.events, data.cursor);",
        "await addPulled(show, data.events.slice(1), data.cursor);",
    ),
    "does not look whether another tab wrote": (
        "store/outbox.ts",
        "if (JSON.stringify(now) !== JSON.stringify(seen)) return false;",
        "",
    ),
    "writes no fact to the outbox": (
        "store/outbox.ts",
        'work.objectStore("outbox").put({ id, show, n, event }),\n    ]);',
        "]);",
    ),
    "keeps no log of its own": (
        "store/outbox.ts",
        'work.objectStore("log").put({ id, show, seq: null, event }),',
        "",
    ),
    "uses a number again": (
        "store/outbox.ts",
        "make({ ...last, n: last.n + 1 })",
        "make({ ...last, n: Math.max(1, last.n) })",
    ),
    "never learns the server's time": (
        "core/clock.ts",
        "offset: server_ms - wall, anchor",
        "offset: 0, anchor: null",
    ),
    "does not go on after what it has read": (
        "core/clock.ts",
        "const ms = Math.max(clock.ms, now, other?.ms ?? 0);",
        "const ms = Math.floor(now / 2);",
    ),
}


class Pages:
    """One Node process with the pages of every phone."""

    def __init__(self, fault: str = "") -> None:
        file, old, new = FAULTS.get(fault, ("", "", ""))
        planted = {"file": f"src/{file}", "old": old, "new": new} if fault else {}
        node = client_packages()
        self._node = subprocess.Popen(
            [str(node.node), str(PWA / "tools/sim-phones.mjs"), json.dumps(planted)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            encoding="utf-8",
            env=node.env(),
        )

    def tell(self, do: str, **more: Any) -> list[dict[str, Any]]:
        """Let something happen; return what came of it once every page waits or has ended."""
        assert self._node.stdin is not None and self._node.stdout is not None
        self._node.stdin.write(json.dumps({"do": do, **more}) + "\n")
        self._node.stdin.flush()
        line = self._node.stdout.readline()
        assert line, "expected an answer of the phones' process, got its end"
        told: list[dict[str, Any]] = json.loads(line)
        return told

    def close(self) -> None:
        """End the process."""
        assert self._node.stdin is not None and self._node.stdout is not None
        self._node.stdin.close()
        self._node.wait(20)
        self._node.stdout.close()


@dataclass
class RealPhone(Phone):
    """One phone with one page or two, on storage that outlives them."""

    pages: Pages = field(default=None, repr=False)  # type: ignore[assignment]
    tabs: int = 1
    waits: int = 0  # for the answer to which request
    request: Event = field(default_factory=dict)
    storage: str = ""  # whose it was before, where a phone left and came back
    restorable: bool = False  # the server may be restored: it reads anew from an earlier place

    def _call(self, name: str, now: int, given: Event | None = None, tab: int = 0) -> Any:
        """Call a function of a page; return what it gave, or the request that it waits for."""
        told = self._tell("call", now, tab=tab, name=name, **{"with": given or {}})
        return next((one["value"] for one in told if "value" in one), None)

    def _tell(self, do: str, now: int, **more: Any) -> list[dict[str, Any]]:
        read = self.reading(now)
        clock = {"wall": read.wall, "steady": read.steady}
        name = self.storage or self.who.device
        told = self.pages.tell(do, phone=name, now=clock, **more)
        errors = [one["error"] for one in told if "error" in one and "Refusal" not in one["error"]]
        assert not [error for error in errors if "Unreachable" not in error], errors
        for one in told:
            if "fetch" in one:
                self.waits = one["fetch"]
                self.request = one
        return told

    def join(self, server_ms: int, now: int) -> None:
        """Join with the session that the server gave."""
        self.tabs = 2 if self.random.random() < TWO_TABS else 1
        session = {
            "id": self.who.device, "name": self.who.name, "role": self.who.role, "code": "",
            "show": self.who.show, "device": self.who.device, "device_key": self.who.key or None,
        }  # fmt: skip
        self._call("join", now, {"as": session, "server_ms": server_ms})
        for tab in range(1, self.tabs):
            self._call("open", now, tab=tab)

    def say(self, now: int, move: str, vehicle: str | None, body: Event) -> Event:
        """Write down one more fact, in either tab."""
        scene = {"move": move, "vehicle": vehicle, "revision": 1}
        newest = max((one["hlc"] for one in self.log.values()), default="")
        tab = self.random.randrange(self.tabs)
        event: Event = self._call("say", now, {"scene": scene, "body": body}, tab)
        assert event is not None, "expected the fact that was written"
        self.causes.append((newest, event["hlc"]))
        self._look(now)
        if event["id"] not in self.log or event["id"] not in self.outbox:
            self.broken.append(f"{event['id']} was said, and is not there")
        return event

    def ask(self, now: int) -> Event | None:
        """Return the next request; None while one is under way and not given up."""
        if self.asked_at is not None and now - self.asked_at < TIMEOUT_MS:
            return None
        self._give_up(now)
        self.asked_at = now
        self._call("sync", now)
        assert self.waits, "expected a request of the exchange"
        body: Event = self.request["body"]
        return {**body, "path": self.request["path"], "asked": now}

    def hear(self, answer: Event, now: int) -> None:
        """Take in an answer; one that was given up is no longer heard, as in a browser."""
        if not self.waits or self.asked_at != answer["asked"]:
            return
        before = set(self.outbox)
        fetch, self.waits, self.asked_at = self.waits, 0, None
        text = json.dumps({key: value for key, value in answer.items() if key != "asked"})
        self._tell("answer", now, fetch=fetch, text=text)
        self.acked |= before & set(answer["stored"])
        self._look(now)

    def hear_full(self, answer: Event, now: int) -> None:
        """Hear that the server's disk is full: nothing was stored."""
        if not self.waits or self.asked_at != answer["asked"]:
            return
        fetch, self.waits, self.asked_at = self.waits, 0, None
        problem = json.dumps({"status": 507, "detail": "full", "errors": []})
        self._tell("answer", now, fetch=fetch, text=problem, status=507)
        self._look(now)

    def leave(self, now: int) -> None:
        """Sign out, as from the settings of the phone."""
        self._give_up(now)
        self._call("leave", now)

    def _give_up(self, now: int) -> None:
        if self.waits:
            fetch, self.waits = self.waits, 0
            self._tell("fail", now, fetch=fetch)

    def reload(self, now: int) -> None:
        """Kill the pages, whatever they are doing, and open them anew."""
        for tab in range(self.tabs):
            self._tell("kill", now, tab=tab, fetch=self.waits if tab == 0 else 0)
        self.waits, self.asked_at, self.started_at = 0, None, now
        for tab in range(self.tabs):
            self._call("open", now, tab=tab)

    def hand_over(self, other: Phone, now: int) -> None:
        """Show what is not sent yet to another phone, which carries it too."""
        assert isinstance(other, RealPhone)
        events = [self.log[name] for name in self.outbox if name in self.log]
        if events and other is not self:
            other._call("carry", now, {"events": events})
            other._look(now)

    def _look(self, now: int) -> None:
        seen = self._call("look", now)
        self.log = {event["id"]: event for event in seen["log"]}
        fell = seen["cursor"] < self.cursor and not self.restorable
        if fell or self.acked - self.log.keys() - self.refused.keys():
            self.broken.append("what was read or acknowledged is gone")
        self.outbox, self.cursor = seen["outbox"], seen["cursor"]
        self.refused |= seen["refused"]


@contextmanager
def real_phones(fault: str = "") -> Iterator[Callable[[Who, Random, int], Phone]]:
    """Yield what makes phones; their process is started with the first."""
    made: list[Pages] = []

    def make(who: Who, random: Random, skew: int) -> Phone:
        if not made:
            made.append(Pages(fault))
        if who.device == "phone-0":
            made[0].tell("clear", seed=random.randrange(2**32))
        return RealPhone(who, random, skew, pages=made[0])

    try:
        yield make
    finally:
        for pages in made:
            pages.close()
