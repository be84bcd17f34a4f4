"""The real server for the simulation: its HTTP API over the real event log on an SQLite file.

A kill before the commit makes the commit fail, as a process that dies does; a kill after it loses
the answer. A restart is a new app on the same file.
"""

from __future__ import annotations

import json
import logging
import shutil
import tempfile
from dataclasses import replace
from pathlib import Path
from typing import Any, Final

from flask import Flask
from flask.testing import FlaskClient

import server
from server.service import secrets
from server.service.ports import Ports
from server.settings import Settings
from tests.sim.phone import NOON, Event, Who
from tests.sim.servers import Fault, Killed
from tests.support.app import SENT, Bench

# Files in memory where there is such a folder: the simulation kills processes, not the power.
SHM: Final = Path("/dev/shm")
API_LOG: Final = logging.getLogger("rowcall.api")


class Template:
    """A filled database, made once and copied for each night."""

    def __init__(self) -> None:
        where = SHM if SHM.is_dir() else None
        self.holder = tempfile.TemporaryDirectory(prefix="rowcall-sim-", dir=where)
        self.folder = Path(self.holder.name)
        bench = Bench(f"sqlite:///{self.folder / 'template.sqlite'}", self.folder).demo()
        self.pin, self.code = bench.pin, bench.code
        self.settings = bench.settings
        bench.close()
        self.nights = 0

    def server(self) -> RealServer:
        """Return a server of its own for one night."""
        self.nights += 1
        file = self.folder / f"night-{self.nights}.sqlite"
        shutil.copy(self.folder / "template.sqlite", file)
        return RealServer(self, file)

    def close(self) -> None:
        """Take the files away."""
        self.holder.cleanup()


class RealServer:
    """Our own app on one SQLite file; every phone is a browser with its cookie."""

    def __init__(self, template: Template, file: Path) -> None:
        self.template = template
        self.file = file
        self.settings: Settings = replace(template.settings, database=f"sqlite:///{file}")
        self.now = 0
        self.phones: dict[str, FlaskClient] = {}
        self.app = self._start()

    def _start(self) -> Flask:
        app = server.create_app(self.settings)
        ports: Ports = replace(server.ports_of(app), now=lambda: NOON + self.now)
        app.extensions["rowcall"] = ports
        return app

    def enter(self, who: Who) -> Who:
        """Join by code, the chief with the PIN; facts are signed with the phone's key."""
        http = self.app.test_client()
        asked = {"code": self.template.code, "name": who.name, "device": who.device}
        if who.role == "chief":
            asked["pin"] = self.template.pin
        told = self._post(http, "/api/join", asked)
        key: str = told["device_key"]
        self.phones[who.device] = http
        return replace(who, show="demo", sign=lambda event: _signed(key, event), key=key)

    def exchange(self, request: Event, now: int, fault: Fault) -> Event:
        """Send a batch over HTTP."""
        self.now = now
        body = {key: request[key] for key in ("device", "events", "since")}
        http = self.phones[request["device"]]
        path = request.get("path", "/api/shows/demo/events")
        if fault == "before":
            self._die_before_commit(http, body)
        answer = self._post(http, path, body)
        if fault == "after":
            raise Killed
        return answer

    def _die_before_commit(self, http: FlaskClient, body: Event) -> None:
        """Let the next commit fail; a batch that commits nothing leaves its answer unsaid."""
        from server.store.db import db

        def dies() -> None:
            raise Killed

        db.session.commit = dies  # type: ignore[method-assign]
        API_LOG.disabled = True  # it would tell at length what is meant to happen here
        try:
            http.post("/api/shows/demo/events", json=body, headers=SENT)
        except Killed:
            pass
        finally:
            del db.session.commit
            API_LOG.disabled = False
        raise Killed

    def _post(self, http: FlaskClient, path: str, body: Event) -> dict[str, Any]:
        answer = http.post(path, json=body, headers=SENT)
        assert answer.status_code == 200, answer.text
        told: dict[str, Any] = json.loads(answer.data)
        return told

    def restart(self) -> None:
        """A new process on the same file; the phones keep their cookies."""
        self._let_go()
        self.app = self._start()
        for http in self.phones.values():
            http.application = self.app

    def stored(self) -> list[Event]:
        """Return every stored event."""
        with self.app.app_context():
            ports = server.ports_of(self.app)
            return [json.loads(one.document) for one in ports.log.all("demo")]

    def _let_go(self) -> None:
        from server.store.db import db

        with self.app.app_context():
            db.session.remove()
            db.engine.dispose()

    def close(self) -> None:
        """Let go of the database and its files."""
        self._let_go()
        for file in self.file.parent.glob(f"{self.file.name}*"):
            file.unlink()


def _signed(key: str, event: Event) -> Event:
    return {**event, "sig": secrets.signature(key, event)}
