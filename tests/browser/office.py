"""The owner at a laptop: coming in, and what a test does in the office."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

from playwright.sync_api import Browser, BrowserContext, Page, expect

from tests.support.serving import Server

LAPTOP: Final = {"width": 1280, "height": 800}
TABLET: Final = {"width": 820, "height": 1180}
PASSWORD: Final = "three plain words"


class Office:
    """One page of the office in a browser of its own."""

    def __init__(
        self, browser: Browser, server: Server, size: dict[str, int] | None = None
    ) -> None:
        self.server = server
        viewport: Any = size or LAPTOP
        self.context: BrowserContext = browser.new_context(
            viewport=viewport, reduced_motion="reduce"
        )
        self.page: Page = self.context.new_page()
        self.page.on("dialog", lambda dialog: dialog.accept())

    def set_up(self) -> None:
        """Set the password by the link that the server printed."""
        found = re.search(r"(/office#setup=\S+)", self.server.words())
        assert found is not None, "expected a set-up link in what the server prints"
        self.page.goto(self.server.url + found[1])
        self._come_in()

    def sign_in(self) -> None:
        """Sign in by name and password."""
        self.page.goto(f"{self.server.url}/office")
        self._come_in()

    def _come_in(self) -> None:
        self.page.locator("#owner-name").fill("Olive")
        self.page.locator("#owner-password").fill(PASSWORD)
        self.page.locator("#enter").click()
        expect(self.page.locator(".rail")).to_be_visible()

    def open(self, path: str, waits_for: str) -> None:
        """Open a room by its address."""
        self.page.goto(f"{self.server.url}/office/{path}")
        expect(self.page.locator(waits_for).first).to_be_visible()

    def ask(self, path: str) -> Any:
        """Ask the server with the office's own session."""
        answer = self.context.request.get(f"{self.server.url}/api{path}")
        assert answer.ok, answer.text()
        return answer.json()


def opened(
    browser: Browser, demo: Path, folder: Path, size: dict[str, int] | None = None
) -> Iterator[Office]:
    """Yield an office with the owner in, on a server of its own, for all tests of a module."""
    shutil.copytree(demo, folder, ignore=shutil.ignore_patterns("*.log"))
    server = Server(folder).start()
    office = Office(browser, server, size)
    office.set_up()
    yield office
    office.context.close()
    server.stop()


def accept_concerns(page: Page) -> None:
    """Give every concern before issue a word, and issue."""
    expect(page.locator("#issue-now")).to_be_visible()
    for word in page.locator("#before-issue input").all():
        word.fill("agreed with the driver")
    page.locator("#issue-now").click()
