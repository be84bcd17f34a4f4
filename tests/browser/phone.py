"""A phone in the hands of one person: what a test does on it, and what it holds."""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Any, Final, cast

from playwright.sync_api import Page, expect

STANDSTILL_S: Final = 90.0
MOVES: Final = ("shop_load", "load_in", "load_out", "put_away")
# The page's rules forbid code made from text, so nothing here waits by `wait_for_function`.
READ_STORE: Final = """store => new Promise((done, failed) => {
  const asked = indexedDB.open("rowcall");
  asked.onerror = () => failed(asked.error);
  asked.onsuccess = () => {
    const all = asked.result.transaction(store).objectStore(store).getAll();
    all.onsuccess = () => { asked.result.close(); done(all.result); };
  };
})"""

BURST: Final = """keys => { for (const key of keys)
  (document.activeElement ?? document.body).dispatchEvent(
    new KeyboardEvent("keydown", { key, bubbles: true, cancelable: true })); }"""


class Phone:
    """One page of one phone."""

    def __init__(self, page: Page, url: str) -> None:
        self.page, self.url = page, url

    def join(self, code: str, name: str = "Ana Cruz", pin: str = "") -> None:
        """Join by the link, as loader or with a PIN as chief."""
        self.page.goto(f"{self.url}/join#{code}")
        self.page.locator("#join-name").fill(name)
        if pin:
            self.page.locator("form button[aria-pressed]").first.click()
            self.page.locator("#join-pin").fill(pin)
        self.page.locator("#join").click()
        expect(self.page.locator("#start")).to_be_visible()

    def work(self, move: str = "shop_load", vehicle: int = 0) -> None:
        """Choose move and vehicle and begin."""
        self.page.locator(".tile").nth(MOVES.index(move)).click()
        self.page.locator(".pick").nth(vehicle).click()
        self.page.locator("#start").click()
        expect(self.page.locator("#scan").first).to_be_visible()

    def open(self, screen: str, arg: str = "") -> None:
        """Open a screen by its name, whatever buttons lead there."""
        self.page.evaluate(
            "state => dispatchEvent(new PopStateEvent('popstate', { state }))",
            {"name": screen, "arg": arg},
        )

    def wedge(self, text: str) -> None:
        """Scan by a scanner that types; on a busy machine the driver's own keys are too slow."""
        self.page.evaluate(BURST, [*text, "Enter"])

    def answer(self) -> str:
        """Return the kind of the answer on the glass."""
        return self.page.locator("[data-answer]").get_attribute("data-answer") or ""

    def scan(self, text: str) -> str:
        """Scan by wedge and wait for the answer to this code; return its kind."""
        self.wedge(text)
        expect(self.page.locator("[data-answer]").filter(has_text=text)).to_be_visible()
        return self.answer()

    def held(self, store: str) -> list[dict[str, Any]]:
        """Return everything in one store of the phone."""
        return cast("list[dict[str, Any]]", self.page.evaluate(READ_STORE, store))

    def outbox(self) -> list[dict[str, Any]]:
        """Return the events that the server has not answered for."""
        return [row["event"] for row in self.held("outbox")]

    def events(self) -> list[dict[str, Any]]:
        """Return every event that the phone knows."""
        return [row["event"] for row in self.held("log")]

    def codes(self, kind: str = "on") -> list[str]:
        """Return the codes that the phone's events of one kind name, in the order of the clock."""
        events = sorted(self.events(), key=lambda event: event["hlc"])
        return [event["body"]["code"] for event in events if event["body"]["kind"] == kind]

    def load(self, vehicle: int = 0) -> list[str]:
        """Return the loading order of a vehicle, from the bundle that the phone holds."""
        return cast("list[str]", self.held("bundles")[0]["bundle"]["vehicles"][vehicle]["load"])

    def until(self, ready: Callable[[], object], what: str, seconds: float = 10) -> None:
        """Wait until something is so; fail with its name when it never is.

        The page waits, not this process: what the browser says meanwhile would not be heard.
        """
        end = time.monotonic() + seconds
        while not ready():
            assert time.monotonic() < end, f"expected {what} within {seconds} s"
            self.page.wait_for_timeout(50)

    def grows(self, count: Callable[[], int], enough: int, what: str) -> None:
        """Wait until a count is reached; fail once it has stood still for long.

        A busy machine is slow, but never without any progress.
        """
        last, end = count(), time.monotonic() + STANDSTILL_S
        while last < enough:
            assert time.monotonic() < end, f"expected {what}: {enough}, got {last}"
            self.page.wait_for_timeout(200)
            now = count()
            if now > last:
                last, end = now, time.monotonic() + STANDSTILL_S

    def online(self) -> None:
        """Give the network back, and say so as a phone does."""
        self.page.context.set_offline(False)
        self.page.evaluate("dispatchEvent(new Event('online'))")
