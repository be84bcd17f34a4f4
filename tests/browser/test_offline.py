"""A night without network; nothing scanned is lost, whatever dies (issue 6)."""

from __future__ import annotations

import os
import signal
from contextlib import suppress
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Error, Playwright, expect

from tests.browser import steps
from tests.browser.conftest import PHONE, QUIET
from tests.browser.phone import Phone
from tests.browser.stage import Stage
from tests.support.serving import Server

KILLS = 20


def test_after_joining_a_night_goes_on_without_network(server: Server, phone: Phone) -> None:
    phone.join(server.join_code)
    phone.page.context.set_offline(True)
    phone.work()
    codes = phone.load()
    assert phone.scan(codes[0]) == "right"
    # a reload in the dark, as a phone does by itself after a while in a pocket
    phone.page.reload()
    expect(phone.page.locator("#scan, #start").first).to_be_visible()
    if phone.page.locator("#start").count():
        phone.page.locator("#start").click()
    assert phone.scan(codes[1]) == "right"
    assert phone.codes() == codes[:2]
    assert [event["n"] for event in phone.outbox()] == [1, 2]
    phone.online()
    phone.until(lambda: not phone.outbox(), "an empty outbox once the network is back")


def test_a_screen_that_never_reached_the_phone_says_so_and_comes_with_the_network(
    browser: Browser, play: Playwright, house: Stage
) -> None:
    # the network died within a second of joining, before the worker's store was filled
    context = browser.new_context(**play.devices[PHONE], service_workers="block")
    page = context.new_page()
    page.route("**/assets/late-*", lambda route: route.abort())
    phone = Phone(page, house.url)
    phone.join(house.code)
    phone.work()
    steps.tab(page, 1)
    expect(page.locator("#no-part")).to_be_visible()
    page.unroute("**/assets/late-*")
    # a browser keeps a failed import as failed: the page loads anew, and opens the same screen
    page.locator("#no-part button").click()
    expect(page.locator(".group .item").first).to_be_visible()
    # what is not on the plan is no blank screen either
    phone.open("row", "99")
    expect(page.locator("#nothing button")).to_be_visible()
    context.close()


@pytest.mark.slow
def test_twenty_kills_right_after_a_scan_lose_nothing(
    server: Server, play: Playwright, chromium_path: str, tmp_path: Path
) -> None:
    server_up = True
    scanned: list[str] = []
    for round_ in range(KILLS):
        context = _persistent(play, chromium_path, tmp_path)
        phone = Phone(context.pages[0], server.url)
        if round_ == 0:
            phone.join(server.join_code)
            phone.work()
            codes = phone.load()
        else:
            phone.page.goto(server.url)
            expect(phone.page.locator("#start")).to_be_visible()
            phone.page.locator("#start").click()
        if round_ == 1 and server_up:
            # from here on the phone stands alone: what is lost now is lost for good
            server.stop()
            server_up = False
        assert phone.scan(codes[round_]) in {"right", "not_next"}
        scanned.append(codes[round_])
        _kill(str(tmp_path / "profile"))
        with suppress(Error):  # it is dead already, as it should be
            context.close()
    server.start()
    context = _persistent(play, chromium_path, tmp_path)
    last = Phone(context.pages[0], server.url)
    last.page.goto(server.url)
    expect(last.page.locator("#start")).to_be_visible()
    assert last.codes() == scanned
    last.until(lambda: not last.outbox(), "everything sent in the end")
    context.close()


def _persistent(play: Playwright, chromium_path: str, folder: Path) -> BrowserContext:
    """Start the browser of one phone, with what it kept on its disk."""
    pixel = {k: v for k, v in play.devices[PHONE].items() if k != "default_browser_type"}
    return play.chromium.launch_persistent_context(
        str(folder / "profile"), executable_path=chromium_path, args=list(QUIET), **pixel
    )


def _kill(profile: str) -> None:
    """Kill every process of one browser at once, found by its own profile folder."""
    for folder in Path("/proc").iterdir():
        if not folder.name.isdigit():
            continue
        try:
            words = (folder / "cmdline").read_bytes().split(b"\0")
        except OSError:
            continue
        if f"--user-data-dir={profile}".encode() in words:
            os.kill(int(folder.name), signal.SIGKILL)


@pytest.mark.parametrize(
    ("error", "words"),
    [
        # the phone is full: photos may go, events may not, and the crew is told
        ("QuotaExceededError", "full"),
        # the connection died, as iOS does in the background
        ("UnknownError", "storage"),
    ],
)
def test_storage_that_fails_is_said_and_nothing_shows_as_taken(
    server: Server, phone: Phone, error: str, words: str
) -> None:
    phone.join(server.join_code)
    phone.work()
    codes = phone.load()
    phone.page.evaluate(
        f"""() => {{
          const put = IDBObjectStore.prototype.put;
          IDBObjectStore.prototype.put = function (...rest) {{
            if (this.name === "log" && window.broken !== false)
              throw new DOMException("injected", "{error}");
            return put.apply(this, rest);
          }};
        }}"""
    )
    phone.wedge(codes[0])
    alert = phone.page.locator("[role=alert]").first
    expect(alert).to_be_visible()
    assert words in alert.inner_text().lower()
    assert phone.page.locator("[data-answer]").count() == 0
    assert phone.codes() == []
    phone.page.evaluate("window.broken = false")
    assert phone.scan(codes[0]) == "right"
    assert phone.codes() == codes[:1]
    assert [event["n"] for event in phone.events()] == [1]


def test_a_connection_that_died_once_is_opened_again_without_a_word(
    server: Server, phone: Phone
) -> None:
    phone.join(server.join_code)
    phone.work()
    code = phone.load()[0]
    phone.page.evaluate(
        """() => {
          const begin = IDBDatabase.prototype.transaction;
          let broken = true;
          IDBDatabase.prototype.transaction = function (...rest) {
            if (broken) { broken = false; throw new DOMException("injected", "InvalidStateError"); }
            return begin.apply(this, rest);
          };
        }"""
    )
    assert phone.scan(code) == "right"
    assert phone.codes() == [code]


def test_a_network_that_accepts_and_never_answers_holds_nobody_up(
    server: Server, phone: Phone
) -> None:
    phone.join(server.join_code)
    phone.work()
    codes = phone.load()
    phone.page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    server.freeze()
    try:
        assert phone.scan(codes[0]) == "right"
        phone.page.reload()
        expect(phone.page.locator("#start")).to_be_visible(timeout=3_000)
        phone.page.locator("#start").click()
        assert phone.scan(codes[1]) == "right"
        assert len(phone.outbox()) == 2
    finally:
        server.thaw()
    phone.until(lambda: not phone.outbox(), "all sent once it answers again", 60)


def test_an_emptied_phone_is_told_and_filled_again(server: Server, phone: Phone) -> None:
    phone.join(server.join_code)
    phone.work()
    codes = phone.load()
    phone.scan(codes[0])
    phone.until(lambda: not phone.outbox(), "the scan sent")
    first = phone.events()[0]["device"]
    # what a browser does that has run out of room, or whose owner clears it
    phone.page.goto("about:blank")
    session = phone.page.context.new_cdp_session(phone.page)
    session.send("Storage.clearDataForOrigin", {"origin": server.url, "storageTypes": "indexeddb"})
    phone.page.goto(server.url)
    expect(phone.page.locator("[role=alert]").first).to_be_visible()
    phone.join(server.join_code)
    phone.work()
    assert phone.codes() == codes[:1]
    assert phone.scan(codes[0]) == "already"
    assert phone.scan(codes[1]) == "right"
    mine = [event for event in phone.events() if event["device"] != first]
    assert [event["n"] for event in mine] == [1]
    phone.until(lambda: not phone.outbox(), "the new scan sent")


def test_a_newer_version_in_another_tab_takes_the_store_over_with_words(
    server: Server, phone: Phone
) -> None:
    phone.join(server.join_code)
    phone.work()
    codes = phone.load()
    assert phone.scan(codes[0]) == "right"
    phone.page.locator("#dismiss").click()
    # the upgrade goes through at once: the old tab lets go of the store
    upgraded = phone.page.evaluate(
        """new Promise((done) => {
          const asked = indexedDB.open("rowcall", 99);
          asked.onblocked = () => done("blocked");
          asked.onsuccess = () => { asked.result.close(); done("upgraded"); };
        })"""
    )
    assert upgraded == "upgraded"
    expect(phone.page.locator("[role=alert]").first).to_be_visible()
    # from here on nothing can be kept by this old page, so nothing may show as taken
    phone.wedge(codes[1])
    phone.page.wait_for_timeout(500)
    assert phone.page.locator("[data-answer]").count() == 0
