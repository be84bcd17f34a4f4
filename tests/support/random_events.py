"""Events made at random from a seed: every kind, few people, few things, so that they clash."""

from __future__ import annotations

from collections.abc import Callable
from random import Random
from typing import Any, Final

from server.core.night.event_kinds import CHIEF_KINDS

Document = dict[str, Any]
MOVES: Final = ("shop_load", "shop_load", "load_in", "load_out", "load_out", "put_away")
NOON: Final = 1_807_000_000_000
READS: Final = ("camera", "photo", "row_photo", "wedge", "typed", "tap")

# An owner may number as he likes, and anybody may type anything.
ODD: Final = ("7", "12", "constructor", "__proto__", "Ø 1")

# How often each kind comes.
KINDS: Final = {
    "on": 40,
    "off": 14,
    "strapped": 14,
    "opened": 3,
    "took": 3,
    "answered": 6,
    "excused": 8,
    "unexcused": 2,
    "added": 3,
    "damaged": 1,
    "seen": 2,
    "hazard": 1,
    "hazard_gone": 1,
    "hands": 1,
    "ramp": 1,
    "walked": 2,
    "row_photo": 1,
    "unsent_known": 1,
    "overridden": 2,
    "released": 3,
    "recalled": 1,
    "signed_off": 1,
    "closed": 1,
    "undone": 5,
    "withdrawn": 2,
    "from_a_later_version": 1,
}


class Crew:
    """Five phones that report at random; `said` holds what they reported, in order of making."""

    def __init__(self, random: Random, bundle: Document) -> None:
        self.random = random
        self.vehicles = [*(sheet["id"] for sheet in bundle["vehicles"]), "ghost"]
        self.codes = [*bundle["cases"], "Z1", "Z2", *ODD]
        self.rows = max((len(sheet["rows"]) for sheet in bundle["vehicles"]), default=1) + 1
        self.numbers: dict[str, int] = {}
        self.said: list[Document] = []

    def report(self, role: str) -> tuple[str, str | None, Document]:
        """Return move, vehicle and body of one more fact that this role may say."""
        random = self.random
        kind = random.choices([*KINDS], [*KINDS.values()])[0]
        while role == "loader" and kind in CHIEF_KINDS:
            kind = random.choices([*KINDS], [*KINDS.values()])[0]
        vehicle = random.choice([*self.vehicles[:-1] * 4, self.vehicles[-1], None])
        return random.choice(MOVES), vehicle, {"kind": kind, **self._bodies().get(kind, dict)()}

    def say(self) -> Document:
        """Make one more event."""
        random = self.random
        phone = random.randrange(5)
        device = f"p{phone}"
        # Now and then a number is left out: a scan that has not come yet.
        n = self.numbers[device] = self.numbers.get(device, 0) + random.choice([1] * 30 + [3])
        ms = NOON + random.randint(0, 400)
        # What a loader may not say has to be left out of the fold, so anybody says anything here.
        move, vehicle, body = self.report("chief")
        event = {
            "v": 1,
            "id": f"{random.getrandbits(48):012x}-{len(self.said)}",
            "show": "show",
            "move": move,
            "vehicle": vehicle,
            "device": device,
            "n": n,
            "by": {
                "id": f"u{phone}",
                "name": f"Crew {phone}",
                "role": ("chief", "loader", "loader", "owner", "loader")[phone],
            },
            "at": ms + random.choice([0, 86_400_000]),
            "hlc": f"{ms:013d}-{random.randint(0, 2):05d}-{device}",
            "revision": 1,
            "body": body,
        }
        if self.said and random.random() < 0.4:
            event["after"] = random.choice(self.said)["id"]
        self.said.append(event)
        return event

    def _bodies(self) -> dict[str, Callable[[], Document]]:
        random = self.random
        code = random.choice(self.codes)
        row = random.randint(1, self.rows)
        signing = {"signature": "M0 0", "signers": [], "digest": "d"}
        earlier = random.choice(self.said)["id"] if self.said else "none"
        return {
            "on": lambda: {
                "code": code,
                "read": random.choice(READS),
                "row": random.choice([None, None, None, row]),
            },
            "off": lambda: {"code": code, "read": random.choice(READS)},
            "strapped": lambda: {
                "row": row,
                "count": random.randint(0, 3),
                "filled": random.random() < 0.5,
            },
            "opened": lambda: {"row": row, "why": "looking"},
            "took": lambda: {"row": row},
            "answered": lambda: {
                "check": random.choice(["ramp", "dock", "other"]),
                "ok": random.random() < 0.7,
            },
            "excused": self._excused,
            "unexcused": lambda: {"code": code},
            "added": lambda: {
                "code": random.choice(["Z1", "Z2", code]),
                "name": "added",
                "owner": "Harbour Hire",
                "travels": random.random() < 0.6,
                "mass_g": random.choice([None, 90_000]),
            },
            "damaged": lambda: {"code": code, "note": "latch"},
            "seen": lambda: {"code": code, "place": "lane 2", "read": "camera"},
            "hazard": lambda: {"hazard": random.choice("ab"), "text": "hole"},
            "hazard_gone": lambda: {"hazard": random.choice("ab")},
            "hands": lambda: {"count": random.randint(0, 9)},
            "ramp": lambda: {
                "rise_um": random.randint(0, 10**6),
                "length_um": random.randint(1, 5 * 10**6),
                "floor": random.choice(["good", "rough", "soft"]),
                **({"width_um": 762_000} if random.random() < 0.5 else {}),
            },
            "walked": lambda: {
                "stop": random.choice(["stage", "street"]),
                "ok": random.random() < 0.8,
            },
            "row_photo": lambda: {"row": row, "photo": "ph", "codes": [code, "K000"]},
            "unsent_known": lambda: {"devices": ["p1", "p2"], "note": "known"},
            "overridden": lambda: {
                "gate": random.choice(["straps", f"straps:{row}", "slack", "checks:ramp", "cases"]),
                "why": "said so",
            },
            "released": lambda: signing,
            "recalled": lambda: {"why": "not yet"},
            "signed_off": lambda: signing,
            "undone": lambda: {"event": earlier},
            "withdrawn": lambda: {"numbers": [random.randint(1, 30) for _ in range(3)]},
        }

    def _excused(self) -> Document:
        random = self.random
        body: Document = {
            "code": random.choice(self.codes),
            "why": random.choice(["left_on_purpose", "never_came", "swapped", "other_vehicle"]),
        }
        if body["why"] == "swapped":
            body["for_code"] = random.choice([*self.codes, None])
        if body["why"] == "other_vehicle":
            body["to_vehicle"] = random.choice([*self.vehicles, None])
        return body


def random_events(random: Random, bundle: Document, count: int) -> list[Document]:
    """Return so many events of one night."""
    crew = Crew(random, bundle)
    return [crew.say() for _ in range(count)]


def random_arrivals(random: Random, events: list[Document]) -> dict[str, list[int]]:
    """Return of most events, in any order, running number and time at the server: [seq, at]."""
    here = [event["id"] for event in events if random.random() < 0.8]
    random.shuffle(here)
    day = 86_400_000
    return {
        name: [seq, NOON + random.choice([-60_000, -59_800, 0, 300, day])]
        for seq, name in enumerate(dict.fromkeys(here), start=1)
    }
