"""An owner's own account: password, who is in by it, other owners; and what a new one may be."""

from __future__ import annotations

import argparse
import re
from pathlib import Path

import pytest

from server.commands import serve
from server.service import enter, passwords
from tests.support.app import PASSWORD, SENT, Bench, Caller

FRESH = "seven grey lanterns hum"


def signed_in(bench: Bench, password: str = PASSWORD, name: str = "Olive") -> Caller:
    caller = bench.client()
    body = {"name": name, "password": password}
    assert caller.post("/api/owner/login", body).status_code == 200
    return caller


def second_owner(bench: Bench, name: str = "Quinn") -> Caller:
    with bench.app.app_context():
        token = enter.invite_owner(bench.ports)
    caller = bench.client()
    body = {"token": token, "name": name, "password": FRESH}
    assert caller.post("/api/owner/setup", body).status_code == 200
    return caller


# what is chosen → is it refused
CHOSEN = {
    "eleven signs": ("xk3!vq9_z-p", True),
    "one of the passwords that leaked most often": ("password1234", True),
    "one of them twice": ("letmeinletmein", True),
    "two of them in a row": ("dragonmonkey1", True),
    "a row of keys": ("qwertyuiopas", True),
    "counting": ("123456789012", True),
    "one sign": ("a" * 64, True),
    "the name of the person": ("olive olive 2026", True),
    "the name of the tool": ("Rowcall Rowcall", True),
    "a season and a year": ("summer2026!!", True),
    "four plain words": (FRESH, False),
    "small letters only": ("kofferwagenpfad", False),
    "signs of any kind": ("日本語のことばを十二字以上", False),
    "64 signs": ("lantern grey hum seven " + "x7-" * 14, False),
    "256 signs": (("lantern grey hum seven " + "x7-" * 90)[:256], False),
}


@pytest.mark.parametrize("what", CHOSEN)
def test_a_password_is_judged_by_length_and_by_how_soon_it_is_guessed(what: str) -> None:
    password, refused = CHOSEN[what]
    assert (passwords.fault(password, ("Olive",)) is not None) is refused


def test_the_password_changes_only_with_the_one_that_is_and_puts_the_others_out(
    bench: Bench,
) -> None:
    owner, other = bench.owner(), signed_in(bench)
    before = owner.http.get_cookie("rowcall")
    wrong = owner.post("/api/owner/password", {"password": "x" * 12, "fresh": FRESH})
    assert wrong.status_code == 403 and wrong.get_json()["errors"][0]["field"] == "password"
    weak = owner.post("/api/owner/password", {"password": PASSWORD, "fresh": "password1234"})
    assert weak.status_code == 422
    assert other.get("/api/session").status_code == 200
    changed = owner.post("/api/owner/password", {"password": PASSWORD, "fresh": FRESH})
    assert changed.status_code == 200
    after = owner.http.get_cookie("rowcall")
    assert before is not None and after is not None and before.value != after.value
    assert owner.get("/api/session").status_code == 200
    assert other.get("/api/session").status_code == 401
    old = {"name": "Olive", "password": PASSWORD}
    assert bench.client().post("/api/owner/login", old).status_code == 403
    signed_in(bench, FRESH)


def test_a_password_counts_exactly_as_it_was_typed(quick: Bench) -> None:
    owner = quick.owner()
    strange = f" {FRESH.title()}  ü" + "y1!" * 60
    body = {"password": PASSWORD, "fresh": strange}
    assert owner.post("/api/owner/password", body).status_code == 200
    for near in (strange.strip(), strange.lower(), strange[:72], strange[:-1]):
        login = {"name": "Olive", "password": near}
        assert quick.client().post("/api/owner/login", login).status_code == 403
        quick.clock.pass_ms(60_000)
    signed_in(quick, strange)


def test_asking_for_the_password_again_is_no_way_round_the_pauses(quick: Bench) -> None:
    owner = quick.owner()
    for _ in range(5):
        answer = owner.post("/api/owner/password", {"password": "wrong", "fresh": FRESH})
        assert answer.status_code == 403
    right = {"password": PASSWORD, "fresh": FRESH}
    assert owner.post("/api/owner/password", right).status_code == 429


def test_an_owner_sees_who_is_in_and_ends_one_session_or_all_others(quick: Bench) -> None:
    owner, one, two = quick.owner(), signed_in(quick), signed_in(quick)
    seen = owner.read("/api/owner/account")
    assert len(seen["sessions"]) == 3
    here = [each["id"] for each in seen["sessions"] if each["here"]]
    assert here == [owner.read("/api/session")["id"]]
    first = one.read("/api/session")["id"]
    wrong = {"password": "not the password", "session": first}
    assert owner.post("/api/owner/sessions/end", wrong).status_code == 403
    body = {"password": PASSWORD, "session": first}
    assert owner.post("/api/owner/sessions/end", body).status_code == 200
    assert [who.get("/api/session").status_code for who in (one, two)] == [401, 200]
    assert owner.post("/api/owner/sessions/end", body).status_code == 404
    assert owner.post("/api/owner/sessions/end", {"password": PASSWORD}).status_code == 200
    assert two.get("/api/session").status_code == 401
    assert len(owner.read("/api/owner/account")["sessions"]) == 1


def test_nobody_ends_the_session_of_another_owner(quick: Bench) -> None:
    owner, quinn = quick.owner(), second_owner(quick)
    theirs = quinn.read("/api/session")["id"]
    body = {"password": PASSWORD, "session": theirs}
    assert owner.post("/api/owner/sessions/end", body).status_code == 404
    assert quinn.get("/api/session").status_code == 200


def test_an_owner_who_leaves_is_out_at_once_on_every_show(bench: Bench) -> None:
    owner, quinn = bench.owner(), second_owner(bench)
    joined = quinn.post("/api/join", {"code": bench.code, "name": "Q", "device": "device-q"})
    assert joined.get_json()["session"]["role"] == "owner"
    again = signed_in(bench, FRESH, "Quinn")
    owners = {one["name"]: one for one in owner.read("/api/owner/account")["owners"]}
    assert owners["Olive"]["own"] and not owners["Quinn"]["own"]
    mine = {"password": PASSWORD, "owner": owners["Olive"]["id"]}
    assert owner.post("/api/owner/remove", mine).status_code == 409
    body = {"password": PASSWORD, "owner": owners["Quinn"]["id"]}
    assert owner.post("/api/owner/remove", body).status_code == 200
    assert [who.get("/api/session").status_code for who in (quinn, again)] == [401, 401]
    login = {"name": "Quinn", "password": FRESH}
    assert bench.client().post("/api/owner/login", login).status_code == 403
    said = [one["action"] for one in owner.read("/api/audit")["entries"]]
    assert "removed owner" in said


def test_a_new_set_up_link_for_the_same_name_puts_everyone_of_that_account_out(
    quick: Bench,
) -> None:
    owner = quick.owner()
    other = signed_in(quick)
    again = quick.owner()  # the same name, by another link
    assert [who.get("/api/session").status_code for who in (owner, other)] == [401, 401]
    assert again.get("/api/session").status_code == 200


def test_signing_in_anew_ends_the_session_of_that_browser(quick: Bench) -> None:
    owner = quick.owner()
    before = owner.http.get_cookie("rowcall")
    assert owner.post(
        "/api/owner/login", {"name": "Olive", "password": PASSWORD}
    ).status_code == 200  # fmt: skip
    old = quick.app.test_client()
    assert before is not None
    old.set_cookie("rowcall", before.value)
    assert old.get("/api/session").status_code == 401


def test_the_office_closes_when_nobody_uses_it_and_a_phone_of_the_crew_does_not(
    quick: Bench,
) -> None:
    owner, bo = quick.owner(), quick.phone("Bo")
    for _ in range(3):
        quick.clock.pass_ms(enter.OFFICE_IDLE_MS - 1000)
        assert owner.get("/api/session").status_code == 200
    quick.clock.pass_ms(enter.OFFICE_IDLE_MS + 6 * 60_000)
    assert owner.get("/api/session").status_code == 401
    assert bo.get("/api/session").status_code == 200
    late = signed_in(quick)
    quick.clock.pass_ms(enter.OWNER_MS + 1)
    assert late.get("/api/session").status_code == 401


def test_a_cookie_that_was_made_up_opens_nothing(quick: Bench) -> None:
    for made_up in ("x" * 43, "../../etc/passwd" * 3, "' OR 1=1 --" * 3, "x" * 3000):
        http = quick.app.test_client()
        http.set_cookie("rowcall", made_up)
        assert http.get("/api/shop", headers=SENT).status_code == 401


def test_a_fresh_server_has_no_account(sqlite_url: str, tmp_path: Path) -> None:
    bench = Bench(sqlite_url, tmp_path / "data")
    for name in ("admin", "root", "owner", "rowcall", "Olive"):
        with bench.app.app_context():
            assert bench.ports.accounts.owners() == []
        answer = bench.client().post("/api/owner/login", {"name": name, "password": "rowcall"})
        assert answer.status_code in {403, 429}
    bench.close()


def test_a_hash_of_older_figures_is_made_anew_when_its_owner_comes_in(quick: Bench) -> None:
    from argon2 import PasswordHasher

    quick.owner()
    with quick.app.app_context():
        (owner,) = quick.ports.accounts.owners()
        weak = PasswordHasher(time_cost=1, memory_cost=8_192).hash(PASSWORD)
        quick.ports.accounts.set_password(owner.id, weak)
    signed_in(quick)
    with quick.app.app_context():
        (owner,) = quick.ports.accounts.owners()
    assert owner.password.startswith("$argon2id$v=19$m=65536,t=3,p=4$")
    signed_in(quick)


def test_a_forgotten_password_is_set_anew_by_a_link_from_the_machine_itself(
    quick: Bench, capsys: pytest.CaptureFixture[str]
) -> None:
    quick.owner()
    parser = argparse.ArgumentParser()
    serve.add(parser)

    def said(*words: str) -> str:
        with quick.app.app_context():
            serve._say(quick.app, quick.settings, parser.parse_args([*words]))
        return capsys.readouterr().out

    assert "#setup=" not in said()  # an owner is there: nobody is invited by chance
    (token,) = re.findall(r"#setup=(\S+)", said("--owner-link"))
    body = {"token": token, "name": "Olive", "password": FRESH}
    assert quick.client().post("/api/owner/setup", body).status_code == 200
    signed_in(quick, FRESH)
    with quick.app.app_context():
        assert len(quick.ports.accounts.owners()) == 1
