"""Another phone of the crew, without a screen: joins and reports over HTTP as a phone does."""

from __future__ import annotations

import http.cookiejar
import json
import secrets
import time
import urllib.request
import uuid
from typing import Any, cast


def uuid7(now_ms: int) -> str:
    """Return a UUIDv7 (RFC 9562) of a moment."""
    number = now_ms << 80 | secrets.randbits(80)
    number = number & ~(0xF << 76) | 0x7 << 76
    return str(uuid.UUID(int=number & ~(0x3 << 62) | 0x2 << 62))


class Crew:
    """One member of the crew; every report is on the server when the call returns."""

    def __init__(self, url: str, code: str, name: str, pin: str = "") -> None:
        self.url, self.n, self.count = url, 0, 0
        self.device = "t" + secrets.token_hex(5)
        jar = urllib.request.HTTPCookieProcessor(http.cookiejar.CookieJar())
        self.opener = urllib.request.build_opener(jar)
        body = {"code": code, "name": name, "device": self.device}
        joined = self.ask("/join", body | ({"pin": pin} if pin else {}))
        self.who = joined["session"]
        self.show: str = self.who["show"]

    def ask(self, path: str, body: dict[str, Any] | None = None) -> Any:
        """Call the API; a body makes it a POST."""
        data = None if body is None else json.dumps(body).encode()
        headers = {"X-Rowcall": "1", "Content-Type": "application/json"}
        request = urllib.request.Request(f"{self.url}/api{path}", data, headers)
        with self.opener.open(request, timeout=10) as answer:
            return json.load(answer)

    def bundle(self) -> dict[str, Any]:
        """Return what a phone gets for the show."""
        return cast("dict[str, Any]", self.ask(f"/shows/{self.show}/bundle"))

    def event(self, move: str, vehicle: str | None, body: dict[str, Any]) -> dict[str, Any]:
        """Make one fact as this phone would."""
        now = time.time_ns() // 1_000_000
        self.n, self.count = self.n + 1, self.count + 1
        return {
            "v": 1,
            "id": uuid7(now),
            "show": self.show,
            "move": move,
            "vehicle": vehicle,
            "device": self.device,
            "n": self.n,
            "by": {key: self.who[key] for key in ("id", "name", "role")},
            "at": now,
            "hlc": f"{now:013d}-{self.count:05d}-{self.device}",
            "revision": 1,
            "body": body,
        }

    def report(self, move: str, vehicle: str | None, *bodies: dict[str, Any]) -> None:
        """Report facts; refused ones fail the test."""
        events = [self.event(move, vehicle, body) for body in bodies]
        body = {"device": self.device, "events": events, "since": 0}
        answer = self.ask(f"/shows/{self.show}/events", body)
        assert not answer["refused"], answer["refused"]

    def put_on(self, vehicle: dict[str, Any], codes: list[str], move: str = "shop_load") -> None:
        """Put cases on as another phone would."""
        ons = [{"kind": "on", "code": code, "read": "camera", "row": None} for code in codes]
        self.report(move, vehicle["id"], *ons)

    def load(
        self, vehicle: dict[str, Any], move: str = "shop_load", but: tuple[str, ...] = ()
    ) -> None:
        """Put every planned case of a vehicle on, in order, except some."""
        self.put_on(vehicle, [code for code in vehicle["load"] if code not in but], move)

    def strap(self, vehicle: dict[str, Any], move: str = "shop_load") -> None:
        """Count the straps of every row and fill its slack."""
        rows = vehicle["rows"]
        self.report(
            move,
            vehicle["id"],
            *(
                {"kind": "strapped", "row": row["number"], "count": row["straps"], "filled": True}
                for row in rows
            ),
        )

    def check(self, vehicle: dict[str, Any], checks: list[dict[str, Any]], move: str) -> None:
        """Answer every check of a move with yes."""
        self.report(
            move,
            vehicle["id"],
            *(
                {"kind": "answered", "check": check["id"], "ok": True, "note": "none"}
                for check in checks
                if check["move"] == move
            ),
        )

    def unload(self, vehicle: dict[str, Any], move: str = "load_in") -> None:
        """Take every planned case off."""
        offs = [{"kind": "off", "code": code, "read": "camera"} for code in vehicle["unload"]]
        self.report(move, vehicle["id"], *offs)
