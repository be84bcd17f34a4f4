"""Coming in: codes, PINs, passwords, guesses, cookies, and going out again."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from server.core.base.units import Units
from server.core.shop.show import Rules
from server.service import enter, guessing
from server.service.join_life import join_ends_at
from server.service.records import ShowRecord
from tests.support.app import PASSWORD, SENT, Bench

JOIN = "/api/join"


def asked(bench: Bench, device: str = "device-x", **more: str) -> dict[str, str]:
    return {"code": bench.code, "name": "Xo", "device": device, **more}


def test_a_join_code_is_read_as_people_type_it(quick: Bench) -> None:
    code = quick.code
    for typed in (code.lower(), f" {code[:4]}-{code[4:]} "):
        answer = quick.client().post(JOIN, asked(quick, f"device-{len(typed)}", code=typed))
        assert answer.status_code == 200 and answer.json["session"]["role"] == "loader"  # type: ignore[index]


def test_join_codes_hold_forty_bits_without_look_alikes() -> None:
    from server.service import secrets

    codes = {secrets.join_code() for _ in range(2000)}
    assert len(codes) == 2000 and {len(code) for code in codes} == {8}
    assert len(secrets.JOIN_SIGNS) == 32 and not set("01IO") & set(secrets.JOIN_SIGNS)


def test_the_pin_makes_a_chief_and_a_wrong_one_does_not(bench: Bench) -> None:
    assert bench.phone("Ana", chief=True).role == "chief"
    answer = bench.client().post(JOIN, asked(bench, pin="000000"))
    assert answer.status_code == 403 and answer.json["errors"][0]["field"] == "pin"  # type: ignore[index]


def test_wrong_codes_are_slowed_then_locked_for_that_address_only(bench: Bench) -> None:
    def guess(code: str, address: str) -> int:
        body = {"code": code, "name": "Xo", "device": "device-x"}
        where = {"REMOTE_ADDR": address}
        return bench.app.test_client().post(
            JOIN, json=body, headers=SENT, environ_overrides=where
        ).status_code  # fmt: skip

    assert [guess("ZZZZZZZZ", "10.0.0.9") for _ in range(guessing.FREE)] == [403] * 5
    assert guess("ZZZZZZZZ", "10.0.0.9") == 429
    assert guess(bench.code, "10.0.0.9") == 429  # the right one does not get through either
    assert guess(bench.code, "10.0.0.8") == 200  # and nobody else is held up
    bench.clock.pass_ms(guessing.FIRST_MS + 1)
    assert guess("ZZZZZZZZ", "10.0.0.9") == 403
    bench.clock.pass_ms(guessing.FIRST_MS + 1)
    assert guess("ZZZZZZZZ", "10.0.0.9") == 429  # the second pause is longer


def test_guessing_the_pin_is_locked_for_the_show_whatever_the_address(quick: Bench) -> None:
    def guess(pin: str, place: int) -> int:
        return quick.app.test_client().post(
            JOIN,
            json=asked(quick, f"device-{place}", pin=pin),
            headers=SENT,
            environ_overrides={"REMOTE_ADDR": f"10.0.1.{place}"},
        ).status_code  # fmt: skip

    assert [guess("111111", place) for place in range(5)] == [403] * 5
    assert guess(quick.pin, 77) == 429
    assert quick.client().post(JOIN, asked(quick, "device-l")).status_code == 200  # loaders get in


@pytest.mark.parametrize(("wrong", "seconds"), [(4, 0), (5, 2), (6, 4), (9, 32), (60, 900)])
def test_each_wrong_guess_waits_twice_as_long_up_to_a_quarter_hour(
    wrong: int, seconds: int
) -> None:
    assert guessing.pause_ms(wrong) == seconds * 1000


def test_the_cookie_is_out_of_reach_of_scripts_and_bound_to_tls(quick: Bench) -> None:
    plain = quick.client().post(JOIN, asked(quick)).headers["Set-Cookie"]
    assert plain.startswith("rowcall=") and "HttpOnly" in plain and "SameSite=Lax" in plain
    safe = quick.client().post(JOIN, asked(quick, "device-y"), base_url="https://localhost")
    cookie = safe.headers["Set-Cookie"]
    assert cookie.startswith("__Host-rowcall=") and "Secure" in cookie and "Path=/" in cookie
    assert (
        "Domain" not in cookie and "max-age=31536000" in (safe.headers["Strict-Transport-Security"])
    )


def test_a_cookie_ends_with_its_time_and_with_signing_out(bench: Bench) -> None:
    bo = bench.phone("Bo")
    assert bo.get("/api/session").json["name"] == "Bo"  # type: ignore[index]
    bench.clock.pass_ms(enter.CREW_MS + 1)
    assert bo.get("/api/session").status_code == 401
    cy = bench.phone("Cy")
    assert cy.delete("/api/session").status_code == 200
    assert cy.get("/api/session").status_code == 401


def test_the_chief_signs_a_phone_out_at_once(bench: Bench) -> None:
    ana, bo = bench.phone("Ana", chief=True), bench.phone("Bo")
    assert ana.post("/api/shows/demo/devices/device-bo/out").status_code == 200
    assert bo.get("/api/session").status_code == 401
    heard = {one["device"]: one for one in ana.get("/api/shows/demo/devices").get_json()}
    assert heard["device-bo"]["out"] and not heard["device-ana"]["out"]


def test_what_a_phone_is_called_cannot_be_taken_over_by_another(bench: Bench) -> None:
    bench.phone("Ana", chief=True)
    thief = bench.client().post(JOIN, asked(bench, "device-ana"))
    assert thief.status_code == 409


def test_a_phone_that_lost_its_cookie_proves_itself_by_its_key(bench: Bench) -> None:
    bo = bench.phone("Bo")
    again = bench.client().post(JOIN, asked(bench, "device-bo", device_key=bo.key))
    assert again.status_code == 200 and again.json["device_key"] == bo.key  # type: ignore[index]


def test_a_loader_becomes_chief_with_a_new_cookie(quick: Bench) -> None:
    bo = quick.phone("Bo")
    before = bo.http.get_cookie("rowcall")
    assert bo.post(JOIN, asked(quick, "device-bo", pin=quick.pin)).status_code == 200
    after = bo.http.get_cookie("rowcall")
    assert before is not None and after is not None and before.value != after.value
    old = quick.app.test_client()
    old.set_cookie("rowcall", before.value)
    assert old.get("/api/session").status_code == 401
    # joining again without the PIN does not make a loader of a chief who is in
    assert bo.post(JOIN, asked(quick, "device-bo")).json["session"]["role"] == "chief"  # type: ignore[index]


def test_a_renewed_join_code_kills_the_one_before(quick: Bench) -> None:
    owner, before, bo = quick.owner(), quick.code, quick.phone("Bo")
    card = owner.post("/api/shows/demo/join/renew").json
    assert card is not None and card["code"] != before and card["url"].endswith(card["code"])
    assert card["qr_svg"].startswith("<svg") and "style=" not in card["qr_svg"]
    assert quick.client().post(JOIN, asked(quick, code=before)).status_code == 403
    assert quick.client().post(JOIN, asked(quick, code=card["code"])).status_code == 200
    assert bo.get("/api/session").status_code == 200  # who is in stays in


def test_a_join_code_lives_until_a_day_after_the_show(quick: Bench) -> None:
    body, owner = asked(quick), quick.owner()
    ends_at = owner.read("/api/shows/demo/join")["ends_at"]
    day = owner.read("/api/shows/demo")["date"]
    # Noon of the second day after, by UTC: the day after has then ended everywhere on Earth.
    wanted = datetime.fromisoformat(f"{day}T12:00+00:00") + timedelta(days=2)
    assert ends_at == wanted.timestamp() * 1000
    quick.clock.pass_ms(ends_at - quick.clock.at - 1)
    assert quick.client().post(JOIN, body).status_code == 200
    quick.clock.pass_ms(1)
    assert quick.client().post(JOIN, asked(quick, "device-late")).status_code == 403


@pytest.mark.parametrize("day", ["", "in spring", "2027-02-30"])
def test_a_join_code_of_a_show_without_a_date_lives_a_week(day: str) -> None:
    rules, units = Rules(), Units()
    assert join_ends_at(ShowRecord("s", "Gala", day, rules, units, 0, join_ends_at=7)) == 7


def test_a_set_up_link_works_once_and_wants_a_long_password(bench: Bench) -> None:
    with bench.app.app_context():
        token = enter.invite_owner(bench.ports)
    body = {"token": token, "name": "Olive", "password": "short"}
    new = bench.client()
    assert new.post("/api/owner/setup", body).json["errors"][0]["field"] == "password"  # type: ignore[index]
    assert new.post("/api/owner/setup", {**body, "password": "aaaaaaaaaaaaaa"}).status_code == 422
    assert new.post("/api/owner/setup", {**body, "password": PASSWORD}).status_code == 200
    assert new.get("/api/session").json["role"] == "owner"  # type: ignore[index]
    assert new.post("/api/owner/setup", {**body, "password": PASSWORD}).status_code == 403


def test_an_owner_signs_in_with_the_password_and_not_without(bench: Bench) -> None:
    bench.owner()
    login = {"name": "olive", "password": PASSWORD}
    assert bench.client().post("/api/owner/login", login).status_code == 200
    for wrong in ({**login, "password": "not this one"}, {**login, "name": "nobody"}):
        answer = bench.client().post("/api/owner/login", wrong)
        assert answer.status_code == 403 and answer.json["detail"] == (  # type: ignore[index]
            "Name or password is wrong."
        )


def test_passwords_and_pins_are_kept_as_argon2id_and_tokens_as_digests(quick: Bench) -> None:
    from sqlalchemy import text

    from server.store.db import db

    owner = quick.owner()
    cookie = owner.http.get_cookie("rowcall")
    assert cookie is not None
    with quick.app.app_context():
        tables = ("owner", "session", "show", "invitation", "device", "audit", "guess")
        rows = [db.session.execute(text(f'SELECT * FROM "{table}"')).all() for table in tables]
        kept = repr(rows)
    assert PASSWORD not in kept and cookie.value not in kept and f"'{quick.pin}'" not in kept
    assert kept.count("$argon2id$v=19$m=65536,t=3,p=4$") == 2  # owner's password, chief's PIN


def test_what_people_do_is_written_down(quick: Bench) -> None:
    owner = quick.owner()
    quick.phone("Ana", chief=True)
    quick.client().post(JOIN, asked(quick, pin="999999"))
    actions = [one["action"] for one in owner.get("/api/audit").json["entries"]]  # type: ignore[index]
    assert actions[:3] == ["wrong PIN", "joined", "set up owner"]


def test_an_emptied_phone_is_told_what_it_said_last(bench: Bench) -> None:
    bo, owner = bench.phone("Bo"), bench.owner()
    bo.post("/api/shows/demo/heartbeat", {"device": bo.device, "unsent": 3, "last_n": 17})
    here = bo.read("/api/session")
    assert (here["device"], here["last_n"], here["unsent"]) == (bo.device, 17, 3)
    assert owner.read("/api/session") | {"id": ""} == {
        "id": "", "name": "Olive", "role": "owner", "show": None,
        "device": None, "last_n": 0, "unsent": 0,
    }  # fmt: skip


def test_signing_out_tells_the_browser_to_let_go_of_pictures_but_not_of_unsent_facts(
    quick: Bench,
) -> None:
    answer = quick.phone("Bo").delete("/api/session")
    assert answer.headers["Clear-Site-Data"] == '"cache"'
    assert "Max-Age=0" in answer.headers["Set-Cookie"]


def test_who_is_refused_is_logged_without_what_was_typed(
    quick: Bench, caplog: pytest.LogCaptureFixture
) -> None:
    login = {"name": "Olive\nFAKE", "password": "typed secret"}
    with caplog.at_level("WARNING", logger="rowcall.api"):
        quick.client().post("/api/owner/login", {**login, "name": "Olive"})
        quick.phone("Bo").get("/api/audit")
    kinds = [one.fields["kind"] for one in caplog.records if hasattr(one, "fields")]
    assert kinds == ["WrongGuess", "NotAllowed"]
    assert "typed secret" not in caplog.text + repr([vars(one) for one in caplog.records])


def test_a_line_of_the_log_stays_one_line_whatever_stands_in_it() -> None:
    import json
    import logging

    from server.commands.gunicorn_conf import Lines

    fields = {"path": '/x\n{"level": "info"}\r\u2028'}
    record = logging.makeLogRecord({"msg": "a\nb", "levelname": "WARNING", "fields": fields})
    line = Lines().format(record)
    assert len(line.splitlines()) == 1
    assert json.loads(line)["path"] == fields["path"]
