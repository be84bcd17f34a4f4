"""Tokens of other programs: scopes, end, revocation; calendars at secret addresses; counters.

RFC 6750 (Bearer), RFC 5545 (iCalendar: 3.1 folding, 3.8.4.7 UID, 3.8.7.4 SEQUENCE).
"""

from __future__ import annotations

import re
from typing import Any

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from tests.support.app import PASSWORD, Bench

DAY_MS = 86_400_000


class Program:
    """Another program: no cookie, no header of ours, its token alone."""

    def __init__(self, bench: Bench, secret: str) -> None:
        self.http: FlaskClient = bench.app.test_client()
        self.headers = {"Authorization": f"Bearer {secret}"}

    def ask(self, path: str, method: str = "GET", **more: Any) -> TestResponse:
        headers = {**self.headers, **more.pop("headers", {})}
        return self.http.open(path, method=method, headers=headers, **more)


def made(bench: Bench, scope: str, **more: Any) -> dict[str, Any]:
    owner = bench.owner("Mia" if more.pop("other", False) else "Olive")
    body = {"password": PASSWORD, "name": f"for {scope}", "scope": scope, **more}
    answer = owner.post("/api/tokens", body)
    assert answer.status_code == 201, answer.text
    token: dict[str, Any] = answer.get_json()
    return token


def test_a_token_reads_and_a_change_needs_its_own_scope(bench: Bench) -> None:
    reads = Program(bench, made(bench, "read")["secret"])
    shows = reads.ask("/api/shows")
    assert shows.status_code == 200
    assert shows.get_json()[0]["id"] == "demo"
    patch = {"json": {"name": "By a program"}, "headers": {"If-Match": "*"}}
    refused = reads.ask("/api/vehicles/T1", "PATCH", **patch)
    assert (refused.status_code, "scope change" in refused.text) == (403, True)
    changes = Program(bench, made(bench, "change", other=True)["secret"])
    patch = {"json": {"name": "By a program"}, "headers": {"If-Match": "*"}}
    assert changes.ask("/api/vehicles/T1", "PATCH", **patch).status_code == 200
    lines = changes.ask("/api/versions/vehicle/T1").get_json()
    assert lines[0]["by"] == "for change (token)"


@pytest.mark.parametrize(
    ("method", "path"),
    [
        ("GET", "/api/owner/account"),
        ("POST", "/api/owner/password"),
        ("GET", "/api/tokens"),
        ("POST", "/api/tokens"),
        ("GET", "/api/shows/demo/join"),
        ("POST", "/api/shows/demo/pin"),
        ("POST", "/api/shows/demo/out"),
        ("GET", "/api/session"),
        ("GET", "/metrics"),
        ("POST", "/api/join"),
    ],
)
def test_no_token_reaches_people_or_ways_in(quick: Bench, method: str, path: str) -> None:
    program = Program(quick, made(quick, "change")["secret"])
    answer = program.ask(path, method, **({} if method == "GET" else {"json": {}}))
    assert answer.status_code == 403, answer.text


def test_a_token_ends_and_is_revoked_and_its_secret_is_not_kept(quick: Bench) -> None:
    token = made(quick, "read", days=1)
    program = Program(quick, token["secret"])
    assert program.ask("/api/cases").status_code == 200
    owner = quick.owner("Mia")
    listed = owner.read("/api/tokens")[0]
    assert (listed["used_at"], "secret" in listed) == (quick.clock.at, False)
    from server.store import backup

    with quick.app.app_context():
        assert token["secret"] not in str(list(backup.dump()))
    quick.clock.pass_ms(DAY_MS + 1)
    ended = program.ask("/api/cases")
    assert (ended.status_code, ended.get_json()["type"]) == (401, "/api/problems/not-signed-in")
    owner, again = quick.owner("Ann"), made(quick, "read", other=True)
    wrong = owner.post(f"/api/tokens/{again['id']}/revoke", {"password": "not mine at all"})
    assert wrong.status_code == 403
    assert Program(quick, again["secret"]).ask("/api/cases").status_code == 200
    assert (
        owner.post(f"/api/tokens/{again['id']}/revoke", {"password": PASSWORD}).status_code == 200
    )
    assert Program(quick, again["secret"]).ask("/api/cases").status_code == 401


@pytest.mark.parametrize("secret", ["", "x", "rowcall_", "rowcall_" + "A" * 43, "rowcall_\u00e9"])
def test_what_is_no_token_opens_nothing(quick: Bench, secret: str) -> None:
    program = Program(quick, secret)
    program.headers = {"Authorization": f"Bearer {secret}".encode().decode("latin-1")}
    assert program.ask("/api/cases").status_code == 401


def test_a_token_sent_with_a_cookie_counts_alone(quick: Bench) -> None:
    owner = quick.owner()
    headers = {"Authorization": "Bearer rowcall_nothing"}
    assert owner.get("/api/cases", headers=headers).status_code == 401


def test_a_calendar_subscribes_without_a_cookie_and_its_events_keep_who_they_are(
    quick: Bench,
) -> None:
    token = made(quick, "calendar", show="demo")
    assert "/api/calendar/rowcall_" in token["url"]
    path = token["url"].split("localhost", 1)[1]
    nobody = quick.client()
    first = nobody.get(path)
    assert (first.status_code, first.mimetype) == (200, "text/calendar")
    owner = quick.owner("Mia")
    owner.patch("/api/shows/demo", {"date": "2027-08-09"})
    other = owner.post("/api/shows", {"name": "Other", "date": "2027-08-10"})
    assert other.status_code == 201
    later = nobody.get(path).text
    assert later.count("BEGIN:VEVENT") == 1
    assert "DTSTART;VALUE=DATE:20270809" in later
    uid, sequence = (re.compile(rf"(?m)^{name}:(.+?)\r?$") for name in ("UID", "SEQUENCE"))
    assert uid.findall(first.text) == uid.findall(later)
    assert int(sequence.findall(later)[0]) > int(sequence.findall(first.text)[0])
    assert all(len(line.encode()) <= 75 for line in later.split("\r\n"))
    wrong = path.replace("rowcall_", "rowcall_x")
    assert nobody.get(wrong).status_code == 404
    reads = made(quick, "read", other=True)["secret"]
    assert nobody.get(f"/api/calendar/{reads}.ics").status_code == 404


def test_the_counters_are_not_for_anyone_on_the_network(quick: Bench) -> None:
    far = {"REMOTE_ADDR": "192.0.2.7"}  # RFC 5737
    nobody = quick.client()
    assert nobody.get("/metrics").status_code == 200  # this machine
    assert nobody.get("/metrics", environ_base=far).status_code == 401
    program = Program(quick, made(quick, "metrics")["secret"])
    answer = program.ask("/metrics", environ_base=far)
    assert answer.status_code == 200
    assert b"rowcall_requests" in answer.data
    assert program.ask("/api/cases").status_code == 403
