"""The owner's account on the glass: passkeys by Chromium's virtual authenticator, the password.

WebAuthn.addVirtualAuthenticator of the Chrome DevTools Protocol stands for a laptop that knows
its owner's finger (W3C Web Authentication, Level 2, section 11).
"""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, CDPSession, expect

from tests.browser.office import PASSWORD, Office
from tests.support.serving import Server

FRESH = "seven grey lanterns hum"


@pytest.fixture
def office(browser: Browser, server: Server) -> Iterator[Office]:
    """Yield the office at the server's name, as passkeys need it, the owner in."""
    opened = Office(browser, server)
    found = re.search(r"(/office#setup=\S+)", server.words())
    assert found is not None
    opened.page.goto(home(server) + found[1])
    opened._come_in()
    yield opened
    opened.context.close()


def home(server: Server) -> str:
    """Return the server's address by name."""
    return f"http://localhost:{server.port}"


def authenticator(office: Office) -> tuple[CDPSession, str]:
    """Give the browser an authenticator that says who is there; return how to speak to it."""
    cdp = office.context.new_cdp_session(office.page)
    cdp.send("WebAuthn.enable")
    options = {
        "protocol": "ctap2",
        "transport": "internal",
        "hasResidentKey": True,
        "hasUserVerification": True,
        "isUserVerified": True,
        "automaticPresenceSimulation": True,
    }
    made = cdp.send("WebAuthn.addVirtualAuthenticator", {"options": options})
    return cdp, made["authenticatorId"]


def add(office: Office, name: str) -> None:
    """Add a passkey on the account's page."""
    page = office.page
    page.goto(f"{home(office.server)}/office/account")
    page.locator("#account-password").fill(PASSWORD)
    page.locator("#passkey-name").fill(name)
    page.locator("#add-passkey").click()
    expect(page.locator(".done")).to_contain_text("opens the office now")


def leave(office: Office) -> None:
    office.page.get_by_role("button", name="Sign out, Olive").click()
    expect(office.page.locator("#enter-passkey")).to_be_visible()


def test_an_owner_adds_a_passkey_comes_in_by_it_and_removes_it(office: Office) -> None:
    page = office.page
    cdp, key = authenticator(office)
    add(office, "my laptop")
    expect(page.locator("#passkeys li")).to_contain_text("never used")
    expect(page.locator("#audit tbody tr").first).to_contain_text("added passkey: my laptop")
    leave(office)
    page.locator("#enter-passkey").click()
    expect(page.locator(".rail")).to_be_visible()
    page.goto(f"{home(office.server)}/office/account")
    expect(page.locator("#passkeys li")).to_contain_text("last used")
    # The same device is not asked to make a second one.
    page.locator("#account-password").fill(PASSWORD)
    page.locator("#passkey-name").fill("again")
    page.locator("#add-passkey").click()
    expect(page.locator(".trouble")).to_contain_text("has a passkey here already")
    page.get_by_role("button", name="Remove the passkey my laptop").click()
    expect(page.locator("#passkeys li")).to_have_count(0)
    assert cdp.send("WebAuthn.getCredentials", {"authenticatorId": key})["credentials"]
    leave(office)
    page.locator("#enter-passkey").click()
    expect(page.locator(".trouble")).to_contain_text("opens nothing here")
    office._come_in()  # the password stays good


def test_an_owner_lets_passkeys_alone_open_and_the_password_again(office: Office) -> None:
    page = office.page
    authenticator(office)
    expect(page.locator("#demand-passkeys")).to_have_count(0)
    add(office, "my laptop")
    page.locator("#account-password").fill(PASSWORD)
    page.locator("#demand-passkeys").click()
    expect(page.locator(".done")).to_contain_text("Passkeys alone open")
    leave(office)
    page.locator("#owner-name").fill("Olive")
    page.locator("#owner-password").fill(PASSWORD)
    page.locator("#enter").click()
    expect(page.locator(".trouble")).to_contain_text("opens by passkey only")
    page.locator("#enter-passkey").click()
    expect(page.locator(".rail")).to_be_visible()
    page.goto(f"{home(office.server)}/office/account")
    page.locator("#account-password").fill(PASSWORD)
    page.locator("#demand-passkeys").click()
    expect(page.locator(".done")).to_contain_text("The password opens the office again")


def test_a_device_that_does_not_know_its_owner_opens_nothing(office: Office) -> None:
    page = office.page
    cdp, key = authenticator(office)
    add(office, "my laptop")
    leave(office)
    cdp.send("WebAuthn.setUserVerified", {"authenticatorId": key, "isUserVerified": False})
    page.locator("#enter-passkey").click()
    expect(page.locator(".trouble")).to_contain_text("No passkey was used", timeout=20_000)
    expect(page.locator(".rail")).to_have_count(0)


def test_the_password_is_changed_and_other_browsers_are_signed_out(
    office: Office, browser: Browser
) -> None:
    other = Office(browser, office.server)
    other.sign_in()
    page = office.page
    page.goto(f"{home(office.server)}/office/account")
    expect(page.locator("#sessions li")).to_have_count(2)
    page.locator("#account-password").fill("not the password")
    page.locator("#fresh-password").fill(FRESH)
    page.locator("#change-password").click()
    expect(page.locator(".trouble")).to_contain_text("not your password")
    page.locator("#account-password").fill(PASSWORD)
    page.locator("#change-password").click()
    expect(page.locator(".done")).to_contain_text("is changed")
    expect(page.locator("#sessions li")).to_have_count(1)
    other.page.goto(f"{office.server.url}/office")
    expect(other.page.locator("#enter")).to_be_visible()
    other.context.close()


def test_a_password_is_masked_pasted_and_left_to_the_browsers_own_keeper(
    browser: Browser, server: Server
) -> None:
    office = Office(browser, server)
    office.context.grant_permissions(["clipboard-read", "clipboard-write"])
    page = office.page
    page.goto(f"{home(server)}/office")
    entry = page.locator("#owner-password")
    assert entry.get_attribute("type") == "password"
    assert entry.get_attribute("autocomplete") == "current-password"
    assert page.locator("#owner-name").get_attribute("autocomplete") == "username"
    page.evaluate("text => navigator.clipboard.writeText(text)", PASSWORD)
    entry.focus()
    page.keyboard.press("ControlOrMeta+v")
    expect(entry).to_have_value(PASSWORD)
    office.context.close()
