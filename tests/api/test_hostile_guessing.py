"""Guesses made at once, locks and who they hold, hashing beside the crew's posts, closed shows."""

from __future__ import annotations

import threading
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

import pytest

from server.service import enter, guessing, secrets
from server.service.troubles import Busy
from tests.support.app import PASSWORD, SENT, Bench, on

JOIN = "/api/join"


@pytest.mark.untraced
def test_of_ninety_guesses_at_once_no_more_are_tried_than_are_free(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    tried, lock = list[str](), threading.Lock()

    def holds(_kept: str, secret: str) -> bool:
        with lock:
            tried.append(secret)
        return False

    monkeypatch.setattr(secrets, "password_holds", holds)
    code = bench.code

    def guess(number: int) -> int:
        body = {"code": code, "name": "Xo", "device": f"device-{number}", "pin": f"{number:06d}"}
        return bench.app.test_client().post(JOIN, json=body, headers=SENT).status_code

    with ThreadPoolExecutor(24) as pool:
        answers = list(pool.map(guess, range(90)))
    assert len(tried) <= guessing.FREE and answers.count(403) == len(tried)
    assert set(answers) == {403, 429}


def test_a_chiefs_own_phone_is_never_locked_out_by_others(quick: Bench) -> None:
    ana = quick.phone("Ana", chief=True)
    for number in range(7):
        body = {"code": quick.code, "name": "Xo", "device": f"device-x{number}", "pin": "000000"}
        quick.client().post(JOIN, body)
    fresh = {"code": quick.code, "name": "Ana", "device": "device-new", "pin": quick.pin}
    assert quick.client().post(JOIN, fresh).status_code == 429
    again = {"code": quick.code, "name": "Ana", "device": ana.device, "device_key": ana.key}
    answer = quick.client().post(JOIN, {**again, "pin": quick.pin})
    assert answer.status_code == 200 and answer.json["session"]["role"] == "chief"  # type: ignore[index]
    wrong = [quick.client().post(JOIN, {**again, "pin": "1"}).status_code for _ in range(6)]
    assert wrong == [403] * 5 + [429]  # its own slips count all the same


def test_the_owners_new_pin_lets_the_chief_guess_anew(quick: Bench) -> None:
    for number in range(5):
        quick.app.test_client().post(
            JOIN,
            json={"code": quick.code, "name": "X", "device": f"device-{number}", "pin": "000000"},
            headers=SENT,
            environ_overrides={"REMOTE_ADDR": f"10.0.0.{number}"},
        )
    body = {"code": quick.code, "name": "Ana", "device": "device-a", "pin": quick.pin}
    assert quick.client().post(JOIN, body).status_code == 429
    pin = quick.owner().post("/api/shows/demo/pin", {}).get_json()["pin"]
    assert quick.client().post(JOIN, {**body, "pin": pin}).status_code == 200


def test_an_owners_own_browser_is_never_locked_out_by_others(quick: Bench) -> None:
    owner = quick.owner()
    wrong = {"name": "Olive", "password": "no such password"}
    stranger = quick.client()
    assert [stranger.post("/api/owner/login", wrong).status_code for _ in range(6)][-1] == 429
    right = {"name": "Olive", "password": PASSWORD}
    assert quick.client().post("/api/owner/login", right).status_code == 429
    assert owner.post("/api/owner/login", right).status_code == 200


def test_many_sign_ins_at_once_leave_the_crew_its_threads(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    release, waiting = threading.Event(), threading.Semaphore(0)

    class Slow:
        def verify(self, _kept: str, _password: str) -> bool:
            waiting.release()
            release.wait(30)
            return True

    monkeypatch.setattr(secrets, "_hasher", Slow())
    ends = list[int]()

    def sign_in(number: int) -> None:
        with bench.app.app_context():
            try:
                secrets.password_holds("kept", f"guess {number}")
                ends.append(200)
            except Busy:
                ends.append(503)

    threads = [threading.Thread(target=sign_in, args=(number,)) for number in range(60)]
    for thread in threads:
        thread.start()
    assert waiting.acquire(timeout=20)
    release.set()
    for thread in threads:
        thread.join(30)
    assert len(ends) == 60 and ends.count(503) >= 60 - 2 * secrets.HASHES_WAITING


HIDDEN = ["A\u202ena", "A\u200bna", "\u2066Ana", "Ana\u3164", "\u2800", "A\x07na", "\ue000Ana"]


@pytest.mark.parametrize("name", HIDDEN)
def test_a_name_with_a_sign_that_nobody_sees_is_refused(quick: Bench, name: str) -> None:
    body = {"code": quick.code, "name": name, "device": "device-x"}
    answer = quick.client().post(JOIN, body)
    assert answer.status_code == 422, answer.text
    assert {one["field"] for one in answer.json["errors"]} == {"name"}  # type: ignore[index]


@pytest.mark.parametrize("name", ["Ana", " ana ", "\u0410n\u0430", "\u0391na", "An\u00e1", "A n-a"])
def test_no_loader_takes_a_name_that_reads_as_the_chiefs(quick: Bench, name: str) -> None:
    quick.phone("Ana", chief=True)
    body = {"code": quick.code, "name": name, "device": "device-x"}
    answer = quick.client().post(JOIN, body)
    assert answer.status_code == 422 and "surname" in answer.text
    assert quick.client().post(JOIN, {**body, "name": "Ana B."}).status_code == 200


def test_names_are_kept_in_one_form(quick: Bench) -> None:
    body = {"code": quick.code, "name": " Jose\u0301  Luis ", "device": "device-x"}
    answer = quick.client().post(JOIN, body)
    assert answer.get_json()["session"]["name"] == "Jos\u00e9 Luis"


def test_a_loader_of_a_closed_show_hands_in_what_is_left_and_nothing_more(quick: Bench) -> None:
    bo, ana = quick.phone("Bo"), quick.phone("Ana", chief=True)
    ana.tell(ana.fact({"kind": "closed"}, vehicle=None, move="put_away"))
    assert len(bo.tell(bo.fact(on("BL-002-C")))["stored"]) == 1
    for path in ("bundle", "stream", "sheet.pdf"):
        assert bo.get(f"/api/shows/demo/{path}").status_code in {404, 409}, path
    quick.clock.pass_ms(enter.CLOSED_GRACE_MS + 1)
    assert bo.get("/api/session").status_code == ana.get("/api/session").status_code == 401


def test_a_server_clock_two_days_ahead_puts_no_crew_out(quick: Bench) -> None:
    bo = quick.phone("Bo")
    quick.clock.pass_ms(2 * 24 * enter.HOUR_MS)
    assert len(bo.tell(bo.fact(on("BL-002-C")))["stored"]) == 1
    quick.clock.pass_ms(-2 * 24 * enter.HOUR_MS)
    assert len(bo.tell(bo.fact(on("BL-003-A")))["stored"]) == 1


def test_a_loader_reads_of_the_fleet_what_a_scan_needs(quick: Bench) -> None:
    owner, bo = quick.owner(), quick.phone("Bo")
    quick.phone("Ana", chief=True)
    path = "/api/shows/demo/bundle"
    called = {one["code"] for one in owner.read("/api/shows/demo")["cases"]}
    with quick.app.app_context():
        from server.service.records import NewEvent

        code = min(called)
        show = quick.ports.shows.show("demo")
        assert show is not None
        quick.ports.shows.put(replace(show, id="other", join_code=None), (), ())
        body = '{"body":{"kind":"seen","place":"Bay 9"},"vehicle":null,"at":1,"by":{"name":"Zoe"}}'
        fact = NewEvent("x", "d", 1, "seen", code, "h", body)
        quick.ports.log.append("other", [fact], quick.clock.at, "d")
    cards = bo.read(path)["cases"]
    assert cards[code]["last_seen"] is None and cards[code]["name"]
    others = [card for name, card in cards.items() if name not in called]
    assert others and not any(one["name"] or one["home"] or one["owner"] for one in others)
    assert all(one["mass_g"] for one in others)  # the weights of what comes on board all the same
