"""An app on a fresh database, phones and owners that talk to it, and a clock that tests move."""

from __future__ import annotations

import functools
import gzip
import json
import tempfile
from dataclasses import replace
from pathlib import Path
from typing import Any

from flask import Flask
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

import server
from server.commands import demo
from server.service.ports import Ports
from server.settings import Settings

NOON = 1_800_000_000_000
SENT = {"X-Rowcall": "1"}
PASSWORD = "correct horse battery"  # a test's own


def build(client: Path) -> None:
    """Put a client in place that is small enough to look through."""
    (client / "assets").mkdir(parents=True)
    pages = {"index.html": "<!doctype html>crew", "office.html": "<!doctype html>office"}
    script = {"sw.js": "worker", "assets/main-DVca1Q69.js": "script", "assets/scan.wasm": "wasm"}
    for name, text in {**pages, **script}.items():
        (client / name).write_text(text, encoding="utf-8")
        (client / f"{name}.gz").write_bytes(gzip.compress(text.encode()))


class Clock:
    """Time that stands still until a test moves it; ms since 1970."""

    def __init__(self) -> None:
        self.at = NOON

    def __call__(self) -> int:
        return self.at

    def pass_ms(self, ms: int) -> None:
        self.at += ms


class Buffered(FlaskClient):
    """Reads every answer to its end, so that no file stays open; streams say otherwise."""

    def open(self, *args: Any, **kwargs: Any) -> TestResponse:
        return super().open(*args, **{"buffered": True, **kwargs})


class Bench:
    """One app with its clock; `demo()` fills it."""

    def __init__(self, database_url: str, folder: Path, **settings: Any) -> None:
        client = folder / "client"
        build(client)
        self.clock = Clock()
        self.settings = Settings(
            data=folder, database=database_url, client=client, planner=False, **settings
        )
        self.app: Flask = server.create_app(self.settings)
        self.app.test_client_class = Buffered
        server.bring_up_to_date(self.app)
        self.ports: Ports = replace(server.ports_of(self.app), now=self.clock)
        self.app.extensions["rowcall"] = self.ports
        self.pin = ""

    def close(self) -> None:
        """Let go of the database."""
        from server.store.db import db

        with self.app.app_context():
            db.session.remove()
            db.engine.dispose()

    def demo(self) -> Bench:
        """Fill in the demo shop and show, as they were made once in this process."""
        lines, self.pin = demo_rows()
        server.load(self.app, iter(lines), "the demo")
        demo.remember_pin(self.settings.data, self.pin)
        return self

    @property
    def code(self) -> str:
        with self.app.app_context():
            show = self.ports.shows.show("demo")
        assert show is not None and show.join_code is not None
        return show.join_code

    def client(self) -> Caller:
        return Caller(self.app.test_client())

    def phone(self, name: str = "Bo", *, chief: bool = False) -> Phone:
        """Return a phone that has joined the demo show."""
        return Phone(self, f"device-{name.lower()}", name, self.pin if chief else None)

    def owner(self, name: str = "Olive") -> Caller:
        """Return a browser in which an owner is in."""
        from server.service import enter

        with self.app.app_context():
            token = enter.invite_owner(self.ports)
        caller = self.client()
        body = {"token": token, "name": name, "password": PASSWORD}
        assert caller.post("/api/owner/setup", body).status_code == 200
        return caller


@functools.cache
def demo_rows() -> tuple[list[dict[str, Any]], str]:
    """Return the demo as a backup has it, and the chief's PIN: planning takes a second."""
    with tempfile.TemporaryDirectory() as folder:
        bench = Bench(f"sqlite:///{folder}/rowcall.sqlite", Path(folder))
        with bench.app.app_context():
            pin = demo.fill(bench.ports, bench.settings.data, seconds=0.2)
        lines = list(server.dump(bench.app))
        bench.close()
    return lines, pin


def filled(database_url: str, folder: Path) -> str:
    """Fill a database with the demo, quicker than the server itself; return the join code."""
    bench = Bench(database_url, folder).demo()
    code = bench.code
    bench.close()
    return code


class Caller:
    """A browser: keeps its cookie and sends what our own client sends."""

    def __init__(self, client: FlaskClient) -> None:
        self.http = client

    def get(self, path: str, **more: Any) -> TestResponse:
        return self.http.get(path, **more)

    def read(self, path: str) -> Any:
        """Return what an address answers, as JSON."""
        answer = self.get(path)
        assert answer.status_code == 200, answer.text
        return json.loads(answer.data)

    def post(self, path: str, body: object = None, **more: Any) -> TestResponse:
        return self.http.post(path, json={} if body is None else body, headers=SENT, **more)

    def issue(self, show: str, revision: int, **more: object) -> TestResponse:
        """Issue a plan with a word for whatever speaks against it."""
        address = f"/api/shows/{show}/plans/{revision}"
        found = self.get(f"{address}/concerns").get_json()
        words = {one["key"]: "agreed" for one in found} if isinstance(found, list) else {}
        return self.post(f"{address}/issue", {"words": words, **more})

    def put(self, path: str, body: object, version: str = "") -> TestResponse:
        """Replace a document: the version that is named, or else the one that is there now."""
        seen = version or self.get(path).headers.get("ETag", "*")
        return self.http.put(path, json=body, headers={**SENT, "If-Match": seen})

    def patch(self, path: str, body: object, version: str = "") -> TestResponse:
        """Change fields of a document, as `put` does."""
        seen = version or self.get(path).headers.get("ETag", "*")
        return self.http.patch(path, json=body, headers={**SENT, "If-Match": seen})

    def delete(self, path: str, version: str = "*") -> TestResponse:
        """Delete what is there: the version that is named, or whichever."""
        return self.http.delete(path, headers={**SENT, "If-Match": version})

    def send(self, path: str, content: bytes, kind: str) -> TestResponse:
        return self.http.post(path, data=content, content_type=kind, headers=SENT)


class Phone(Caller):
    """A phone on the demo show; numbers its facts and keeps its clock."""

    def __init__(self, bench: Bench, device: str, name: str, pin: str | None) -> None:
        super().__init__(bench.app.test_client())
        self.device, self.name = device, name
        self.n = 0
        self.ms = bench.clock.at
        asked = {"code": bench.code, "name": name, "device": device}
        answer = self.post("/api/join", asked | ({} if pin is None else {"pin": pin}))
        assert answer.status_code == 200, answer.text
        told = json.loads(answer.data)
        self.role: str = told["session"]["role"]
        self.key: str = told["device_key"]

    def fact(self, body: dict[str, Any], /, **more: Any) -> dict[str, Any]:
        """Return the next fact of this phone."""
        self.n += 1
        self.ms += 1
        return {
            "v": 1,
            "id": f"{self.device}-{self.n}",
            "show": "demo",
            "move": "shop_load",
            "vehicle": "T1",
            "device": self.device,
            "n": self.n,
            "by": {"id": self.device, "name": self.name, "role": self.role},
            "at": self.ms,
            "hlc": f"{self.ms:013d}-00000-{self.device}",
            "revision": 1,
            "body": body,
            **more,
        }

    def tell(self, *facts: dict[str, Any], since: int = 0) -> dict[str, Any]:
        """Send facts; return the answer."""
        body = {"device": self.device, "events": list(facts), "since": since}
        answer = self.post("/api/shows/demo/events", body)
        assert answer.status_code == 200, answer.text
        told: dict[str, Any] = json.loads(answer.data)
        return told


def on(code: str, row: int | None = None) -> dict[str, Any]:
    """Return the body of a fact: a case came on board."""
    return {"kind": "on", "code": code, "read": "typed", "row": row}
