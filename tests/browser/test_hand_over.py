"""No network at all: events go from phone to phone as codes on a screen (issue 6)."""

from __future__ import annotations

import base64
import io
from collections.abc import Callable
from pathlib import Path
from typing import Final

import numpy as np
import pytest
from PIL import Image
from playwright.sync_api import expect

from tests.browser.film import Picture, shoot
from tests.browser.phone import Phone
from tests.support.serving import Server

EVENTS: Final = 300
LOST_ONE_IN: Final = 5
SIDE: Final = 560

# 300 facts as the phone's own, numbered, told apart and signed as real ones are
MANY: Final = """async ({ many, codes }) => {
  const db = await new Promise((done) => {
    const asked = indexedDB.open("rowcall");
    asked.onsuccess = () => done(asked.result);
  });
  const all = (name) => new Promise((done) => {
    const got = db.transaction(name).objectStore(name).getAll();
    got.onsuccess = () => done(got.result);
  });
  const [{ event: first }] = await all("log");
  const session = (await all("meta")).find(({ key }) => key === "session").value;
  const raw = Uint8Array.from(atob(session.device_key), (sign) => sign.charCodeAt(0));
  const hmac = { name: "HMAC", hash: "SHA-256" };
  const key = await crypto.subtle.importKey("raw", raw, hmac, false, ["sign"]);
  const sorted = (value) => value === null || typeof value !== "object" ? value
    : Object.fromEntries(Object.keys(value).sort().map((name) => [name, sorted(value[name])]));
  const hex = (bytes) =>
    [...crypto.getRandomValues(new Uint8Array(bytes))]
      .map((byte) => byte.toString(16).padStart(2, "0")).join("");
  const made = [];
  for (let n = 2; n <= many; n += 1) {
    const id = `${first.id.slice(0, 13)}-7${hex(2).slice(1)}-8${hex(2).slice(1)}-${hex(6)}`;
    const at = first.at + n * 37;
    const body = { kind: "seen", code: codes[n % codes.length], place: "dock", read: "camera" };
    const hlc = `${String(at).padStart(13, "0")}-00000-${first.device}`;
    const { sig, ...bare } = { ...first, id, n, at, hlc, body };
    const text = new TextEncoder().encode(JSON.stringify(sorted(bare)));
    const bytes = new Uint8Array(await crypto.subtle.sign("HMAC", key, text));
    made.push({ ...bare, sig: btoa(String.fromCharCode(...bytes)) });
  }
  const work = db.transaction(["log", "outbox"], "readwrite");
  for (const event of made) {
    work.objectStore("log").put({ id: event.id, show: event.show, seq: null, event });
    work.objectStore("outbox").put({ id: event.id, show: event.show, n: event.n, event });
  }
  await new Promise((done) => { work.oncomplete = done; });
  db.close();
}"""


def _picture(data_url: str) -> Picture:
    raw = base64.b64decode(data_url.split(",", 1)[1])
    image = Image.open(io.BytesIO(raw)).convert("L").resize((SIDE - 40, SIDE - 40))
    return np.pad(np.asarray(image, dtype=np.uint8), 20, constant_values=255)


def _frames(sender: Phone) -> list[Picture]:
    """Watch the sender's screen until every code of the run was seen, first to last."""
    canvas = sender.page.locator("canvas.codes")
    expect(canvas).to_be_visible()
    said = sender.page.locator("figcaption")
    seen: dict[int, Picture] = {}

    def look() -> bool:
        words = [int(word) for word in said.inner_text().split() if word.isdigit()]
        if len(words) == 2 and words[1] > 1 and words[0] not in seen:
            shown = canvas.evaluate("(canvas) => canvas.toDataURL()")
            # the screen may have gone on between the two looks
            if str(words[0]) in said.inner_text().split():
                seen[words[0]] = _picture(shown)
        return len(words) == 2 and words[1] > 1 and len(seen) == words[1]

    sender.until(look, "every code of the run on the screen", 90)
    return [seen[number] for number in sorted(seen)]


@pytest.mark.slow
def test_300_events_come_over_by_camera_with_one_frame_in_five_lost(
    server: Server,
    new_phone: Callable[[], Phone],
    phone_with_film: Callable[[Path], Phone],
    tmp_path: Path,
) -> None:
    sender = new_phone()
    sender.join(server.join_code, "Ana Cruz")
    sender.work()
    sender.page.context.set_offline(True)
    codes = sender.load()
    sender.scan(codes[0])
    sender.page.evaluate(MANY, {"many": EVENTS, "codes": codes})
    sender.page.reload()
    expect(sender.page.locator("#start")).to_be_visible()
    sender.open("hand_over")
    sender.page.locator(".pair button").first.click()
    frames = _frames(sender)
    rounds = [
        frame
        for turn in range(4)
        for number, frame in enumerate(frames)
        if (number + turn) % LOST_ONE_IN
    ]
    film = shoot(tmp_path / "codes.y4m", rounds, 0.2)
    taker = phone_with_film(film)
    taker.join(server.join_code, "Ben Ode")
    taker.work()
    taker.page.context.set_offline(True)
    taker.open("hand_over")
    taker.page.locator(".pair button").nth(1).click()
    sent = {event["id"] for event in sender.outbox()}
    assert len(sent) == EVENTS
    taker.grows(lambda: len(taker.outbox()), EVENTS, "every event on the other phone")
    assert {event["id"] for event in taker.outbox()} == sent
    taker.online()
    taker.until(lambda: not taker.outbox(), "the carrier sends them to the server", 30)
    assert taker.held("refused") == []
