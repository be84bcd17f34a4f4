"""Passkeys of owners (W3C Web Authentication, Level 2): what is taken, and every way it is not."""

from __future__ import annotations

from typing import Any

import pytest

from server.service import passkeys
from server.service.troubles import Conflict
from tests.api.test_account import second_owner
from tests.support.app import PASSWORD, Bench, Caller
from tests.support.authenticator import Authenticator, b64

HERE = "http://localhost"
OWNER = "/api/owner"


def asked(owner: Caller, password: str = PASSWORD) -> dict[str, Any]:
    answer = owner.post(f"{OWNER}/passkeys/options", {"password": password})
    assert answer.status_code == 200, answer.text
    options: dict[str, Any] = answer.get_json()["options"]
    return options


def with_passkey(owner: Caller, name: str = "Laptop", password: str = PASSWORD,
                 *, counts: bool = True) -> Authenticator:  # fmt: skip
    """Add a passkey to an owner's account and return it."""
    passkey = Authenticator(counts=counts)
    body = {"name": name, "credential": passkey.make(asked(owner, password), HERE)}
    assert owner.post(f"{OWNER}/passkeys", body).status_code == 200
    return passkey


def challenge(caller: Caller) -> dict[str, Any]:
    options: dict[str, Any] = caller.post(f"{OWNER}/passkey/options").get_json()["options"]
    return options


def entered(caller: Caller, credential: dict[str, Any]) -> int:
    return caller.post(f"{OWNER}/passkey", {"credential": credential}).status_code


def test_an_owner_comes_in_by_passkey_again_and_again(bench: Bench) -> None:
    owner = bench.owner()
    passkey, uncounted = with_passkey(owner), with_passkey(owner, "Key ring", counts=False)
    for _ in range(2):
        assert entered(bench.client(), uncounted.show(challenge(owner), HERE)) == 200
        caller = bench.client()
        assert entered(caller, passkey.show(challenge(caller), HERE)) == 200
        here = caller.read("/api/session")
        assert (here["name"], here["role"]) == ("Olive", "owner")
    kept = owner.read(f"{OWNER}/account")["passkeys"]
    assert {one["name"]: one["used_at"] for one in kept} == dict.fromkeys(
        ("Laptop", "Key ring"), bench.clock.at
    )
    login = {"name": "Olive", "password": PASSWORD}
    assert bench.client().post(f"{OWNER}/login", login).status_code == 200


def test_what_the_browser_is_asked_wants_a_person_verified_and_names_no_account(
    quick: Bench,
) -> None:
    owner = quick.owner()
    making = asked(owner)
    assert making["rp"]["id"] == "localhost" and making["attestation"] == "none"
    assert making["authenticatorSelection"]["userVerification"] == "required"
    assert making["authenticatorSelection"]["residentKey"] == "required"
    showing = challenge(quick.client())
    assert showing["userVerification"] == "required" and not showing["allowCredentials"]
    assert making["challenge"] != showing["challenge"] and len(showing["challenge"]) >= 86  # 64 B


def test_a_passkey_is_added_only_with_the_password_and_listed_ones_are_not_offered_twice(
    quick: Bench,
) -> None:
    owner = quick.owner()
    refused = owner.post(f"{OWNER}/passkeys/options", {"password": "not the password"})
    assert refused.status_code == 403
    first = with_passkey(owner)
    assert [one["id"] for one in asked(owner)["excludeCredentials"]] == [b64(first.id)]
    with_passkey(owner, "Key ring")
    names = [one["name"] for one in owner.read(f"{OWNER}/account")["passkeys"]]
    assert sorted(names) == ["Key ring", "Laptop"]


# what is wrong with a new passkey → how it is made
MADE_WRONG: dict[str, dict[str, Any]] = {
    "on a page of another site": {"origin": "https://evil.example"},
    "on another port": {"origin": "http://localhost:81"},
    "for another site": {"site": "evil.example"},
    "without looking who it is": {"verified": False},
}


@pytest.mark.parametrize("what", MADE_WRONG)
def test_a_passkey_made_wrong_is_not_taken(quick: Bench, what: str) -> None:
    owner = quick.owner()
    more = {"origin": HERE, **MADE_WRONG[what]}
    body = {"name": "Bad", "credential": Authenticator().make(asked(owner), **more)}
    answer = owner.post(f"{OWNER}/passkeys", body)
    assert answer.status_code == 422 and "credential" in answer.text
    assert owner.read(f"{OWNER}/account")["passkeys"] == []


def test_a_challenge_to_add_is_good_once_for_that_owner_and_not_for_long(quick: Bench) -> None:
    owner, quinn = quick.owner(), second_owner(quick)
    for_olive, passkey = asked(owner), Authenticator()
    stolen = {"name": "X", "credential": passkey.make(for_olive, HERE)}
    assert quinn.post(f"{OWNER}/passkeys", stolen).status_code == 409
    assert owner.post(f"{OWNER}/passkeys", stolen).status_code == 409  # used up by the thief
    showing = {"name": "X", "credential": passkey.make(challenge(owner), HERE)}
    assert owner.post(f"{OWNER}/passkeys", showing).status_code == 409
    late = {"name": "X", "credential": passkey.make(asked(owner), HERE)}
    quick.clock.pass_ms(passkeys.ASKED_MS + 1)
    assert owner.post(f"{OWNER}/passkeys", late).status_code == 409


def test_a_passkey_of_one_account_is_not_added_to_another(quick: Bench) -> None:
    owner, quinn = quick.owner(), second_owner(quick)
    passkey = with_passkey(owner)
    from tests.api.test_account import FRESH

    body = {"name": "Mine now", "credential": passkey.make(asked(quinn, FRESH), HERE)}
    assert quinn.post(f"{OWNER}/passkeys", body).status_code == 409
    caller = quick.client()
    assert entered(caller, passkey.show(challenge(caller), HERE)) == 200
    assert caller.read("/api/session")["name"] == "Olive"


# what is wrong with a signature → how it is made
SHOWN_WRONG: dict[str, dict[str, Any]] = {
    "on a page of another site": {"origin": "https://evil.example"},
    "without TLS where TLS is": {"origin": "https://localhost"},
    "for another site": {"site": "evil.example"},
    "without looking who it is": {"verified": False},
}


@pytest.mark.parametrize("what", SHOWN_WRONG)
def test_a_passkey_shown_wrong_opens_nothing(quick: Bench, what: str) -> None:
    passkey, caller = with_passkey(quick.owner()), quick.client()
    more = {"origin": HERE, **SHOWN_WRONG[what]}
    assert entered(caller, passkey.show(challenge(caller), **more)) == 403
    assert caller.get("/api/session").status_code == 401


def test_a_signature_is_good_once(quick: Bench) -> None:
    passkey, caller = with_passkey(quick.owner(), counts=False), quick.client()
    shown = passkey.show(challenge(caller), HERE)
    assert entered(caller, shown) == 200
    assert entered(quick.client(), shown) == 403
    late = passkey.show(challenge(caller), HERE)
    quick.clock.pass_ms(passkeys.ASKED_MS + 1)
    assert entered(quick.client(), late) == 403


def test_a_copy_of_a_passkey_is_noticed_by_its_count(quick: Bench) -> None:
    passkey, caller = with_passkey(quick.owner()), quick.client()
    assert entered(caller, passkey.show(challenge(caller), HERE)) == 200
    passkey.uses -= 1  # the copy stands where the original stood before
    assert entered(quick.client(), passkey.show(challenge(caller), HERE)) == 403


def test_a_key_of_another_person_and_a_broken_signature_open_nothing(quick: Bench) -> None:
    olive, caller = with_passkey(quick.owner()), quick.client()
    stranger = Authenticator()
    assert entered(caller, stranger.show(challenge(caller), HERE)) == 403
    stranger.id = olive.id  # calls itself hers, signs with its own key
    assert entered(caller, stranger.show(challenge(caller), HERE)) == 403
    broken = olive.show(challenge(caller), HERE)
    broken["response"]["signature"] = b64(b"nothing")
    assert entered(caller, broken) == 403
    invented = olive.show({"challenge": b64(b"x" * 64)}, HERE)
    assert entered(caller, invented) == 403


def test_wrong_passkeys_are_slowed_and_written_down_and_the_password_still_opens(
    quick: Bench,
) -> None:
    owner, caller = quick.owner(), quick.client()
    good = with_passkey(owner)
    for _ in range(5):
        assert entered(caller, Authenticator().show(challenge(caller), HERE)) == 403
    assert entered(caller, good.show(challenge(caller), HERE)) == 429
    login = {"name": "Olive", "password": PASSWORD}
    assert caller.post(f"{OWNER}/login", login).status_code == 200
    actions = [one["action"] for one in owner.read("/api/audit")["entries"]]
    assert actions.count("wrong passkey") == 5 and "added passkey" in actions


def test_a_password_that_others_guess_at_does_not_lock_the_passkey(quick: Bench) -> None:
    passkey, caller = with_passkey(quick.owner()), quick.client()
    for _ in range(6):
        caller.post(f"{OWNER}/login", {"name": "Olive", "password": "wrong"})
    login = {"name": "Olive", "password": PASSWORD}
    assert caller.post(f"{OWNER}/login", login).status_code == 429
    assert entered(caller, passkey.show(challenge(caller), HERE)) == 200


def test_a_removed_passkey_opens_nothing_and_only_its_owner_removes_it(quick: Bench) -> None:
    owner, quinn = quick.owner(), second_owner(quick)
    passkey = with_passkey(owner)
    from tests.api.test_account import FRESH

    theirs = {"password": FRESH, "passkey": b64(passkey.id)}
    assert quinn.post(f"{OWNER}/passkeys/remove", theirs).status_code == 404
    wrong = {"password": "x" * 12, "passkey": b64(passkey.id)}
    assert owner.post(f"{OWNER}/passkeys/remove", wrong).status_code == 403
    body = {"password": PASSWORD, "passkey": b64(passkey.id)}
    assert owner.post(f"{OWNER}/passkeys/remove", body).status_code == 200
    caller = quick.client()
    assert entered(caller, passkey.show(challenge(caller), HERE)) == 403


# address of the settings, root of the request → origin of the site, or None where there is none
SITES = [
    ("", "http://localhost/", "http://localhost"),
    ("https://shop.example", "https://shop.example/", "https://shop.example"),
    ("https://shop.example:8443", "https://shop.example:8443/", "https://shop.example:8443"),
    ("https://shop.example", "https://evil.example/", None),
    ("https://shop.example", "http://shop.example/", None),
    ("https://192.168.1.20:8080", "https://dock.local:8080/", "https://dock.local:8080"),
    ("https://192.168.1.20:8080", "https://192.168.1.20:8080/", None),
    ("", "http://[::1]:8080/", None),
]


@pytest.mark.parametrize(("address", "root", "origin"), SITES)
def test_the_site_of_a_passkey_is_the_one_of_the_settings(
    address: str, root: str, origin: str | None
) -> None:
    if origin is None:
        with pytest.raises(Conflict):
            passkeys.site(address, root)
    else:
        assert passkeys.site(address, root).origin == origin


# what a browser never sends → credential
ODD: dict[str, dict[str, Any]] = {
    "nothing in it": {},
    "no JSON inside": {
        "clientDataJSON": b64(b"\xff{"),
        "signature": "AA",
        "authenticatorData": "A",
    },
    "a list inside": {"clientDataJSON": b64(b"[]")},
    "a number as challenge": {"clientDataJSON": b64(b'{"challenge": 7}')},
    "no base64": {"clientDataJSON": "***"},
    "very deep CBOR": {"clientDataJSON": b64(b"{}"), "attestationObject": b64(b"\x81" * 9000)},
    "a very deep list": {"clientDataJSON": b64(b"[" * 2900)},
}


@pytest.mark.parametrize("what", ODD)
def test_what_no_browser_sends_is_refused_and_breaks_nothing(quick: Bench, what: str) -> None:
    owner = quick.owner()
    odd = {"id": "AAAA", "rawId": "AAAA", "type": "public-key", "response": ODD[what]}
    assert entered(quick.client(), odd) in {403, 422}
    added = owner.post(f"{OWNER}/passkeys", {"name": "Odd", "credential": odd})
    assert added.status_code in {409, 422}
