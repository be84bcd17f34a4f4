"""Where an owner demands passkeys no password opens the office, and there is one way back."""

from __future__ import annotations

from werkzeug.test import TestResponse

from tests.api.test_account import second_owner
from tests.api.test_passkeys import HERE, OWNER, challenge, entered, with_passkey
from tests.support.app import PASSWORD, Bench, Caller


def demanded(owner: Caller, *, demand: bool = True, password: str = PASSWORD) -> TestResponse:
    return owner.post(f"{OWNER}/passkeys/demand", {"password": password, "demand": demand})


def test_where_passkeys_are_demanded_no_password_opens_and_the_machine_itself_is_the_way_back(
    bench: Bench,
) -> None:
    owner, other = bench.owner(), bench.client()
    login = {"name": "Olive", "password": PASSWORD}
    assert other.post(f"{OWNER}/login", login).status_code == 200
    assert "without one: Olive" in demanded(owner).get_json()["detail"]
    passkey = with_passkey(owner)
    assert demanded(owner, password="wrong").status_code == 403
    assert demanded(owner).status_code == 200
    assert owner.read(f"{OWNER}/account")["passkeys_demanded"] is True
    assert other.get("/api/session").status_code == 401  # came in by the password alone
    said = set()
    for password in (PASSWORD, "wrong"):  # nobody learns which one is right
        answer = bench.client().post(f"{OWNER}/login", {"name": "Olive", "password": password})
        assert answer.status_code == 403
        said.add(answer.get_json()["detail"])
    assert said == {"This office opens by passkey only."}
    caller = bench.client()
    assert entered(caller, passkey.show(challenge(caller), HERE)) == 200
    kept = owner.read(f"{OWNER}/account")["passkeys"][0]["id"]
    body = {"password": PASSWORD, "passkey": kept}
    assert owner.post(f"{OWNER}/passkeys/remove", body).status_code == 409
    # The passkey is lost: `serve --owner-link` on the server prints a set-up link.
    back = bench.owner()
    assert demanded(back, demand=False).status_code == 200
    assert bench.client().post(f"{OWNER}/login", login).status_code == 200


def test_an_owner_who_comes_later_needs_a_passkey_too(quick: Bench) -> None:
    owner = quick.owner()
    with_passkey(owner)
    assert demanded(owner).status_code == 200
    later = second_owner(quick)
    assert later.read(f"{OWNER}/account")["passkeys_demanded"] is True
    assert demanded(owner).status_code == 409  # whoever came by link has none yet
    with quick.app.app_context():
        quick.ports.accounts.remove_owner(owner.read(f"{OWNER}/account")["owners"][0]["id"])
        assert quick.ports.accounts.passkeys_demanded()
