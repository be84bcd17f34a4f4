"""Firefox and WebKitGTK: start without a network, keep the outbox, read a label (issues 5 and 6).

WebKitGTK lacks what iPhones lack (background sync, a detector of its own, vibration), so it stands
in for their gaps; it says nothing about their cameras or when they empty their storage.
"""

from __future__ import annotations

import base64
import io
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from tests.browser.engines import Engine, Firefox, WebKit, find_firefox, find_webkit
from tests.browser.film import label
from tests.browser.phone import BURST, READ_STORE
from tests.support.needs import lacking
from tests.support.serving import Server

pytestmark = pytest.mark.slow

FILL = """const field = document.querySelector(arguments[0]);
  field.value = arguments[1];
  field.dispatchEvent(new Event("input", { bubbles: true }));"""
PHOTO = """const bytes = Uint8Array.from(atob(arguments[0]), (sign) => sign.charCodeAt(0));
  const files = new DataTransfer();
  files.items.add(new File([bytes], "label.png", { type: "image/png" }));
  const input = document.querySelector("input[type=file]");
  input.files = files.files;
  input.dispatchEvent(new Event("change", { bubbles: true }));"""


@pytest.fixture(params=["firefox", "webkit"])
def engine(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Engine]:
    """Return each further engine in turn."""
    name, path = request.param, {"firefox": find_firefox, "webkit": find_webkit}[request.param]()
    if path is None:
        lacking(name, "firefox-esr webkit2gtk-driver xvfb dbus")
    started = Firefox(path, tmp_path) if name == "firefox" else WebKit(path, tmp_path)
    yield started
    started.close()


class Hand:
    """What a person does with such a browser, and what its storage holds."""

    def __init__(self, engine: Engine) -> None:
        self.engine = engine

    def until(self, script: str, *words: object, what: str, seconds: float = 30) -> Any:
        """Wait until a script gives something true, and return that."""
        end = time.monotonic() + seconds
        while not (found := self.engine.run(script, *words)):
            assert time.monotonic() < end, f"expected {what} within {seconds} s"
            time.sleep(0.1)
        return found

    def see(self, css: str) -> None:
        """Wait for an element."""
        self.until("return Boolean(document.querySelector(arguments[0]))", css, what=css)

    def press(self, css: str) -> None:
        """Press the first element of that kind."""
        self.see(css)
        self.engine.run("document.querySelector(arguments[0]).click()", css)

    def scan(self, code: str) -> str:
        """Scan by a scanner that types; return the kind of the answer."""
        self.engine.run(f"({BURST})(arguments[0])", [*code, "Enter"])
        script = """const found = document.querySelector("[data-answer]");
          return found?.textContent.includes(arguments[0]) ? found.dataset.answer : ''"""
        kind: str = self.until(script, code, what=f"an answer to {code}")
        return kind

    def held(self, store: str) -> list[dict[str, Any]]:
        """Return everything in one store of the phone."""
        found: list[dict[str, Any]] = self.engine.run(f"return ({READ_STORE})(arguments[0])", store)
        return found

    def sent(self) -> None:
        """Wait until the outbox is empty."""
        end = time.monotonic() + 30
        while self.held("outbox"):
            assert time.monotonic() < end, "expected an empty outbox within 30 s"
            time.sleep(0.2)


def _label_photo(code: str) -> str:
    """Return a PNG of a label on a dock wall, base64."""
    picture = Image.new("L", (400, 400), 150)
    picture.paste(Image.fromarray(label(code, 8)), (60, 60))
    out = io.BytesIO()
    picture.save(out, "PNG")
    return base64.b64encode(out.getvalue()).decode()


def test_another_engine_works_a_night_without_the_server_and_loses_nothing(
    engine: Engine, server: Server
) -> None:
    hand = Hand(engine)
    engine.go(f"{server.url}/join#{server.join_code}")
    hand.see("#join-name")
    engine.run(FILL, "#join-name", "Ana Cruz")
    hand.press("#join")
    hand.press(".tile")
    hand.press(".pick")
    hand.press("#start")
    codes = hand.held("bundles")[0]["bundle"]["vehicles"][0]["load"]
    assert hand.scan(codes[0]) == "right"
    hand.sent()
    ready = (
        "return navigator.serviceWorker.ready.then((found) => found.active.state === 'activated')"
    )
    hand.until(ready, what="the night's files kept")

    server.stop()
    engine.go(f"{server.url}/any/deep/link")
    hand.press("#start")
    assert hand.scan(codes[1]) in {"right", "not_next"}
    assert len(hand.held("outbox")) == 1
    engine.run("document.querySelector('#dismiss')?.click()")
    hand.press("#scan")
    hand.see("input[type=file]")
    engine.run(PHOTO, _label_photo(codes[2]))
    end = time.monotonic() + 40
    while len(hand.held("outbox")) < 2:
        assert time.monotonic() < end, "expected the label in the photo read by the page itself"
        time.sleep(0.2)
    engine.go(server.url)
    hand.see("#start")
    events = sorted((row["event"] for row in hand.held("log")), key=lambda event: event["hlc"])
    assert [event["body"]["code"] for event in events] == codes[:3]
    assert [event["body"]["read"] for event in events] == ["wedge", "wedge", "photo"]

    server.start()
    engine.run("dispatchEvent(new Event('online'))")
    hand.sent()
    assert hand.held("refused") == []
