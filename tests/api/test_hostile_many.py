"""Many of everything: phones, addresses, guesses, joins, methods; names that no database takes."""

from __future__ import annotations

import re

import pytest
from werkzeug.test import TestResponse

from server.service import enter, guessing
from tests.support.app import SENT, Bench

JOIN = "/api/join"
DAY_MS = 24 * 3_600_000


def joined(bench: Bench, device: str, address: str = "10.0.0.1", **more: str) -> TestResponse:
    body = {"code": bench.code, "name": f"P {device}", "device": device, **more}
    from_there = {"REMOTE_ADDR": address}
    return bench.client().http.post(JOIN, json=body, headers=SENT, environ_overrides=from_there)


def test_a_show_has_so_many_phones_and_its_chief_all_the_same(
    quick: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(enter, "MOST_PHONES", 3)
    first = joined(quick, "phone-0").get_json()
    assert [joined(quick, f"phone-{n}").status_code for n in (1, 2)] == [200, 200]
    full = joined(quick, "phone-3")
    assert full.status_code == 409 and "has 3 phones: the chief signs out" in full.text
    assert joined(quick, "phone-0", device_key=first["device_key"]).status_code == 200
    ana = quick.phone("Ana", chief=True)
    for device in ("phone-1", "phone-2"):
        assert ana.post(f"/api/shows/demo/devices/{device}/out").status_code == 200
    assert joined(quick, "phone-3").status_code == 200


def test_one_network_brings_so_many_phones_at_once(
    quick: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(enter, "PHONES_OF_ADDRESS", 2)
    house = ("2001:db8:0:1::1", "2001:db8:0:1:ffff::9", "2001:db8:0:1::77")
    assert [joined(quick, f"six-{n}", one).status_code for n, one in enumerate(house)] == [
        200, 200, 429,
    ]  # fmt: skip
    held = joined(quick, "six-4", house[0])
    assert "let the chief join with the PIN" in held.text and "Retry-After" in held.headers
    assert joined(quick, "six-5", "2001:db8:0:2::1").status_code == 200
    assert joined(quick, "chief", house[0], pin=quick.pin).status_code == 200
    quick.clock.pass_ms(guessing.FORGET_MS + 60_000)
    assert joined(quick, "six-6", house[0]).status_code == 200


def test_a_phone_that_joins_again_and_again_waits(
    quick: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(enter, "JOINS_OF_PHONE", 3)
    key = joined(quick, "phone-0").get_json()["device_key"]
    again = [joined(quick, "phone-0", device_key=key).status_code for _ in range(4)]
    assert again == [200, 200, 200, 429]
    assert joined(quick, "phone-1").status_code == 200


@pytest.mark.parametrize(
    ("address", "counted"),
    [
        ("192.0.2.7", "192.0.2.7"),
        ("::ffff:192.0.2.7", "192.0.2.7"),
        ("2001:db8::5%eth0", "2001:db8::/64"),
        ("unknown", "unknown"),
    ],
)
def test_addresses_are_counted_by_their_network(address: str, counted: str) -> None:
    assert guessing.network(address) == counted


def test_guesses_from_many_addresses_find_nothing_and_are_forgotten(bench: Bench) -> None:
    from server.store.db import db
    from server.store.tables import GuessRow

    def kept() -> int:
        with bench.app.app_context():
            return db.session.query(GuessRow).count()

    body = {"code": "0000-0000", "name": "Xo", "device": "device-x"}
    for number in range(20):
        there = {"REMOTE_ADDR": f"10.1.0.{number}"}
        answer = bench.client().http.post(JOIN, json=body, headers=SENT, environ_overrides=there)
        assert answer.status_code == 403
    assert kept() == 20
    bench.clock.pass_ms(2 * DAY_MS)
    bench.client().post(JOIN, body)
    assert kept() == 1


def test_an_office_of_passkeys_writes_no_endless_audit_of_passwords(quick: Bench) -> None:
    from server.store.db import db
    from server.store.tables import OwnerRow

    quick.owner()
    with quick.app.app_context():
        db.session.query(OwnerRow).update({"passkey_only": True})
        db.session.commit()
    body = {"name": "Olive", "password": "whatever it is"}
    answers = [quick.client().post("/api/owner/login", body).status_code for _ in range(8)]
    assert answers == [403] * guessing.FREE + [429] * 3


def test_no_name_in_an_address_is_more_than_a_database_takes(bench: Bench) -> None:
    owner, bo = bench.owner(), bench.phone("Bo")
    asked = {
        (method, path)
        for rule in bench.app.url_map.iter_rules()
        for method in (rule.methods or set()) - {"HEAD", "OPTIONS"}
        # `demo` exists: what hangs on it is looked for
        for path in (str(rule), str(rule).replace("<show>", "demo"))
        if "<" in path and path.startswith("/api")
    }
    assert len(asked) > 60
    for method, path in sorted(asked):
        odd = re.sub("<[^>]+>", "a%00b", re.sub("<int:[^>]+>", "9" * 20, path))
        for who in (owner, bo):
            json: dict[str, str] | None = None if method == "GET" else {}
            answer = who.http.open(odd, method=method, json=json, headers=SENT)
            assert answer.status_code in {403, 404, 422}, (method, odd)


def test_texts_that_postgresql_cannot_keep_are_refused_in_words(bench: Bench) -> None:
    owner = bench.owner()
    for path, body in (
        ("/api/shows", {"name": "a\x00b"}),
        ("/api/cases", {"code": "X\x001", "name": "a\x00b"}),
        (JOIN, {"code": "a\x00b", "name": "Bo", "device": "device-bo", "pin": "\x00"}),
        ("/api/owner/login", {"name": "a\x00b", "password": "\x00"}),
        ("/api/owner/setup", {"token": "\x00", "name": "Bo", "password": "\x00" * 20}),
    ):
        assert owner.post(path, body).status_code in {403, 422}, path


def test_methods_that_nobody_knows_cost_no_memory(quick: Bench) -> None:
    for number in range(40):
        assert quick.client().http.open("/healthz", method=f"M{number}").status_code == 405
    text = quick.client().get("/metrics").text
    assert 'method="other"' in text and 'method="M1"' not in text


def test_the_counters_are_closed_to_strangers_behind_a_proxy_of_this_machine(quick: Bench) -> None:
    for name in ("Forwarded", "X-Forwarded-For", "X-Real-IP", "Via"):
        assert quick.client().get("/metrics", headers={name: "127.0.0.1"}).status_code == 401
    elsewhere = {"REMOTE_ADDR": "192.0.2.1"}
    assert quick.client().get("/metrics", environ_overrides=elsewhere).status_code == 401
    assert quick.client().get("/metrics").status_code == 200
